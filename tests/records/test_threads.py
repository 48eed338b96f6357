"""Jupyter handles messages of widgets in threads of their own; a record must not tear between them."""

from concurrent.futures import ThreadPoolExecutor

from kit.records import Record, read_record


def test_entries_appended_by_threads_at_once_are_whole_and_in_a_chain(tmp_path):
    record = Record.open(folder=tmp_path, course="autumn", learner="wren")
    with ThreadPoolExecutor(4) as pool:
        list(pool.map(lambda n: record.append("act", act="operate", control="key", position=str(n)), range(100)))
    found = read_record(record.path)
    assert not found.problems
    assert sorted(int(entry.fields["position"]) for entry in found.entries[1:]) == list(range(100))
