"""A line written as the kit writes it is read faster; and never other than it would be without that."""

import pytest

from kit.records.entries import KEPT, check_fields, entry_from, next_entry

PREV = "5f" * 32
HEAD = '{"n":7,"prev":"' + PREV + '","at":"2031-05-04T09:12:33.120415Z",'
USUAL = HEAD + '"kind":"answer","question":"06.3","version":2,"variant":"abc","raw":["a",0.5,{"é":null}]}'
SIGNS = ('"', "\\", ",", ":", "{", "}", "[", "]", " ", "\t", "0", "9", "e", "T", "Z", "-", "é", "\x00", "\\ud800",
         "NaN", '"n":1,', '"at":"",', '"kind":"act",')


def both(line, n=7, prev=PREV):
    """What is read the fast way and the slow one: entry and what is wrong, or the words of refusal."""
    found = []
    for read in (lambda: next_entry(line, n, prev), lambda: slow(line)):
        try:
            entry, wrong = read()
            found.append((entry, type(entry.fields).__name__, wrong))
        except ValueError as reason:
            found.append(str(reason))
    return found


def slow(line):
    entry = entry_from(line)
    return entry, check_fields(entry.kind, entry.fields)


def test_every_spoiled_line_is_read_alike():
    different = set()
    for at in range(len(USUAL) + 1):
        for sign in SIGNS:
            for line in (USUAL[:at] + sign + USUAL[at:], USUAL[:at] + sign + USUAL[at + 1 :], USUAL[:at]):
                fast, usual = both(line.encode())
                assert fast == usual, line
                different.add(str(usual)[:20])
    assert len(different) > 8  # not all refused for the same reason


@pytest.mark.parametrize("line", [
    USUAL, USUAL + "\r\n", USUAL + " \n", " " + USUAL, USUAL[:-1] + ',"more":"' + "x" * KEPT + '"}',
    HEAD + '"kind":"act"}', HEAD + '"kind":"closed"}', HEAD + '"kind":7}', HEAD + '"kind":"dance","act":1}',
    HEAD.replace("T09", '"09') + '"kind":"closed"}', HEAD.replace("T09", " 09") + '"kind":"closed"}',
    HEAD.replace("-05-", "-13-") + '"kind":"closed"}', HEAD.replace("Z", "+") + '"kind":"closed"}',
    HEAD.replace('"n":7', '"n":8') + '"kind":"closed"}', HEAD.replace(PREV, "") + '"kind":"closed"}',
    HEAD + '"kind":"closed","kind":"closed"}', HEAD + '"kind":"closed","prev":"x"}', HEAD + '"kind":"closed"}{}',
])
def test_odd_lines_are_read_alike(line):
    fast, usual = both(line.encode())
    assert fast == usual


def test_what_was_read_once_is_one_value_and_cannot_be_changed():
    one, other = (next_entry(USUAL.replace("09:12", moment).encode(), 7, PREV)[0] for moment in ("09:12", "10:12"))
    assert one.at != other.at and one.fields is other.fields
    with pytest.raises(TypeError):
        one.fields["raw"] = "b"
