"""Rows that a class has in common are worked out, written and read back once: and nobody's marks know of it."""

import pickle
import random
from dataclasses import replace

import pytest

from kit.exercises import question, questions, right_answer
from kit.exercises.choice import LETTERS
from kit.marking import learner as of_learner
from kit.marking import mark_folder, together
from kit.marking import marks as values
from kit.marking.marks import SHARED, LearnerMarks, Source, as_line, from_line, name_of
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
    assert line.text.count(b"\n") == 1 and line.text.endswith(b"\n")
    names = [SHARED.kept(row)[0] for row in (shared, other)]
    assert list(line.rows) == names and len({name_of(text) for text in line.rows.values()} | set(names)) == 2
    back = from_line(line.text, line.rows.__getitem__)
    assert back == one and back.rows[1] is back.rows[5] is back.rows[3].common is shared
    state = State(tmp_path, "rubric")
    state.add("wren", "abc", line)
    # A row that stands there is not written again.
    state.add("heron", "abd", as_line(replace(one, learner="heron")))
    state.close()
    whole = (tmp_path / NAME).read_bytes()
    assert whole.count(b"\nrow ") == 2 and whole.count(b"\n") == 5
    kept, first = line.rows[names[0]], names[0].encode()
    for broken in (
        whole.replace(b'"%b"' % first, b"[]", 1), whole.replace(b'"%b"' % first, b'"nobody"', 1),
        whole.replace(kept, b"[]", 1), whole.replace(kept, kept.replace(b'"points":1', b'"points":2'), 1),
        whole.replace(b"row %b" % first, b"row nobody", 1), whole.replace(b"row ", b"raw ", 1),
        whole[: whole.index(b"\nabd")], whole.replace(b'",{"answer"', b'",0,{"answer"', 1),
        whole.replace(b',{"answer"', b',{"points"', 1), whole.replace(b"\nabc ", b"\nabc", 1),
    ):
        assert broken != whole
        (tmp_path / NAME).write_bytes(broken)
        again = State(tmp_path, "rubric")
        known = again.known("wren"), again.known("heron")
        again.add("heron", "abd", as_line(replace(one, learner="heron")))
        again.finish(["heron"])
        assert known in (("", ""), ("abc", "")) and list(again) == [replace(one, learner="heron")]


def test_a_row_that_hardly_differs_is_filled_in_when_it_is_looked_at():
    shared = SHARED.share(row_of("a"))
    own = shared.varied({"variant": "abc"})
    with pytest.raises(AttributeError):
        _ = own.length
    assert (own.variant, own.points, own.raw) == ("abc", shared.points, shared.raw)
    assert replace(shared.varied({"variant": "x"}), points=0) == replace(shared, variant="x", points=0)
    assert pickle.loads(pickle.dumps(shared.varied({"variant": "abc"}))) == own == shared.varied({"variant": "abc"})
