"""Paper: worksheets with their answers, job cards, fault-finding charts, data sheets, as HTML that prints anywhere."""

from kit.paper.press import Paper, Pictures, write_papers

__all__ = ["Paper", "Pictures", "write_papers"]
