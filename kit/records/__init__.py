"""The learner's record: entries, appending them safely, reading them without trusting them."""

from kit.records.entries import KINDS, SCHEMA, Entry, digest
from kit.records.places import course_name, learner_name, records_folder, sign
from kit.records.reader import MAX_BYTES, MAX_LINE, Problem, RecordFile, read_record
from kit.records.record import Record, all_entries, earlier_entries, kernel_record

__all__ = [
    "KINDS", "MAX_BYTES", "MAX_LINE", "SCHEMA", "Entry", "Problem", "Record", "RecordFile", "all_entries",
    "course_name", "digest", "earlier_entries", "kernel_record", "learner_name", "read_record", "records_folder",
    "sign",
]
