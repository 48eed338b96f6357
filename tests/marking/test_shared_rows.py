"""Rows that a class has in common are worked out, written and read back once: and nobody's marks know of it."""

import random
from dataclasses import replace

import pytest

from kit.exercises import question, questions, right_answer
from kit.exercises.choice import LETTERS
from kit.marking import learner as of_learner
from kit.marking import mark_folder, together
from kit.marking import marks as values
from kit.marking.marks import SHARED, LearnerMarks, Source, as_line, from_line
from kit.marking.rubric import rubric_from
from kit.marking.state import NAME, State

# By itself each learner's every row is worked out anew: lateness, even where nobody is late, is one learner's own.
BY_ITSELF = "[late]\ndue = \"2999-01-01T00:00:00Z\"\npercent_a_day = 10\n"
LESSONS = ("00", "03", "06")


def answers(item, mine, chance):
    """An answer to a question with letters: right, any letters, too many, one twice, the text of one, or nonsense."""
    letters = list(LETTERS[:item.to_order])
    some = chance.sample(letters, chance.randint(1, len(letters)))
    kind = chance.randrange(8)
    if kind == 0:
        return right_answer(item, mine)
    if item.kind == "choice":
        return (chance.choice(letters), f"Option {letters[0]})", item.options[0].text, "12", "h", letters[:1],
                chance.choice(letters))[kind - 1]
    return (some, some, ", ".join(some), [some[0], some[0]], [*some, "z"], [item.options[0].text], [])[kind - 1]


@pytest.fixture
def class_of_twelve(learner):
    chance = random.Random(4)
    lettered = [one for one in questions().values() if one.kind in ("choice", "several", "ordered")
                and one.lesson in LESSONS][:14]
    for number in range(12):
        one = learner(f"learner-{number}")
        for item in lettered:
            one.say(item.id, answers(*one.asked(item.id), chance))
        one.say("06.3", "3.1 V")
        words = next(item for item in questions().values() if item.kind == "explain" and item.lesson in LESSONS)
        one.say(words.id, "A tab\tand a line\nend, in words of my own.")


def test_rows_are_the_same_shared_and_each_worked_out_by_itself(class_of_twelve, handed_in, tmp_path, monkeypatch):
    alone = mark_folder(handed_in, rubric=rubric_from("by-itself.toml", BY_ITSELF)).learners
    together = mark_folder(handed_in).learners
    assert [one.rows for one in together] == [one.rows for one in alone]
    objects = {id(row): row for one in together for row in one.rows}
    assert len(objects) < sum(len(one.rows) for one in together) * 0.8
    # Too many to hold are gathered anew, in the middle of a learner as well.
    monkeypatch.setattr(values, "MOST_SHARED", 5)
    monkeypatch.setattr(of_learner, "MOST_SHARED", 5)
    read_back = mark_folder(handed_in, out=tmp_path / "marks", jobs=1)
    assert [one.rows for one in read_back.learners] == [one.rows for one in alone]
    assert [one.sources for one in read_back.learners] == [one.sources for one in together]
    for one in alone:
        assert all(together[alone.index(one)].sources[name] == source for name, source in one.sources.items())


def test_two_processes_say_the_same_and_name_the_same_troubles(
    class_of_twelve, handed_in, learner, tmp_path, monkeypatch
):
    learner("late").say("06.3", "3 V", question="99.9")
    dealt, real = [], together._together

    def counted(waiting, *more):
        dealt.append(len(waiting))
        return real(waiting, *more)

    monkeypatch.setattr(together, "_together", counted)
    monkeypatch.setattr(together, "WORTH", dict.fromkeys(together.WORTH, 1e9))
    mark_folder(handed_in, jobs=2)
    assert not dealt, "for what is soon done no other process is begun"
    monkeypatch.setattr(together, "WORTH", dict.fromkeys(together.WORTH, 0))
    here, there = (mark_folder(handed_in, out=tmp_path / str(jobs), jobs=jobs) for jobs in (1, 2))
    assert dealt == [12]
    assert list(here.learners) == list(there.learners) and here.troubles == there.troubles
    assert [one.learner for one in here.troubles] == ["late"]
    again = mark_folder(handed_in, out=tmp_path / "1")
    assert again.troubles == here.troubles and list(again.learners) == list(here.learners)


def row_of(text):
    item = question("06.3")
    return values.Row(
        question=item.id, version=1, title="t", prompt="p\tq", answer=text, points=1, of=2, attempts=1, note="",
        reason="\u2028é\ud800", ideas=(), raw={"cells": [text, 1, 0.5, None]}, steps=("one", "two"), criteria=("safe",),
    )


def test_a_line_keeps_shared_and_lone_rows_in_their_order_and_is_only_believed_whole(tmp_path):
    shared, lone = SHARED.share(row_of("a\tb\nc")), row_of("lone")
    other = SHARED.share(replace(shared, question="06.4"))
    own = shared.varied({"answer": "in own words\t", "raw": ["c", 1], "variant": "abc"})
    assert own == replace(shared, answer="in own words\t", raw=["c", 1], variant="abc") and own.common is shared
    one = LearnerMarks(
        learner="wren", rows=(lone, shared, other, own, lone, shared), troubles=(), course="autumn",
        sources={"06.3": Source(file="a\tb.zip/wren.jsonl", n=3, at="2031-05-04T09:12:33.120415Z")},
    )
    line = as_line(one)
    assert line.count(b"\n") == 1 and line.endswith(b"\n")
    back = from_line(line)
    assert back == one and back.rows[1] is back.rows[5] is back.rows[3].common is shared
    _head, *texts = line.rstrip(b"\n").split(b"\t")
    assert len(texts) == 4
    state = State(tmp_path, "rubric")
    state.add("wren", "abc", line)
    state.close()
    whole = (tmp_path / NAME).read_bytes()
    for broken in (
        whole.replace(b"\t" + texts[1], b"", 1), whole.replace(texts[1], b"[]", 1), whole[:-1],
        whole.replace(b'[{"answer"', b'[{"points"', 1), whole.replace(b'[{"answer"', b'[0,{"answer"', 1),
    ):
        assert broken != whole
        (tmp_path / NAME).write_bytes(broken)
        again = State(tmp_path, "rubric")
        again.close()
        assert again.known("wren") == ""
