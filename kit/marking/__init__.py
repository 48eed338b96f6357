"""Marks for a folder of records: everything recomputed from raw answers and acts, nothing a learner wrote is run."""

from kit.marking.audit import write_audit
from kit.marking.markbook import LearnerMarks, MarkBook, Row, Trouble, forget_state, mark_folder, plain_name
from kit.marking.pages import write_pages
from kit.marking.rubric import Rubric, default_rubric, read_rubric
from kit.marking.sheet_by_hand import write_sheet
from kit.marking.tables import write_tables
from kit.marking.workbook import write_workbook
from kit.records import find_records

__all__ = [
    "LearnerMarks", "MarkBook", "Row", "Rubric", "Trouble", "default_rubric", "find_records", "forget_state",
    "mark_folder", "plain_name", "read_rubric", "write_audit", "write_pages", "write_sheet", "write_tables",
    "write_workbook",
]
