"""The learner's record: entries, appending them safely, reading them without trusting them."""

from kit.records.entries import KINDS, SCHEMA, Entry, digest
from kit.records.finder import find_records
from kit.records.places import course_name, learner_name, records_folder, sign
from kit.records.reader import MAX_BYTES, MAX_LINE, Problem, RecordFile, read_opening, read_record, read_stream
from kit.records.record import Record, all_entries, earlier_entries, kernel_record

__all__ = [
    "KINDS", "MAX_BYTES", "MAX_LINE", "SCHEMA", "Entry", "Problem", "Record", "RecordFile", "all_entries",
    "course_name", "digest", "earlier_entries", "find_records", "kernel_record", "learner_name", "read_opening",
    "read_record", "read_stream", "records_folder", "sign",
]
