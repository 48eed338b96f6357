"""Marks for a folder of records: everything recomputed from raw answers and acts, nothing a learner wrote is run."""

from kit.marking.folder import find_records
from kit.marking.markbook import LearnerMarks, MarkBook, Row, Trouble, mark_folder, plain_name
from kit.marking.pages import write_pages
from kit.marking.tables import write_tables

__all__ = [
    "LearnerMarks", "MarkBook", "Row", "Trouble", "find_records", "mark_folder", "plain_name", "write_pages",
    "write_tables",
]
