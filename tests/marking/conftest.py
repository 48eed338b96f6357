"""Records of invented learners, written the way the kit writes them."""

import pytest

from kit.exercises import question, truth, variant
from kit.exercises.choice import shown_options
from kit.records import Record


class Learner:
    """An invented learner at work: answers go into a record of their own."""

    def __init__(self, folder, name, course="autumn"):
        self.record = Record.open(course=course, learner=name, folder=folder)

    def asked(self, question_id):
        item = question(question_id)
        return item, variant(item, self.record.course, self.record.learner)

    def say(self, question_id, raw, **changes):
        item, one = self.asked(question_id)
        fields = {"question": item.id, "version": item.version, "variant": one.key, "raw": raw} | changes
        return self.record.append("answer", **fields)

    def choose(self, question_id, option_id):
        options = shown_options(*self.asked(question_id))
        return self.say(question_id, next(key for key, option in options.items() if option.id == option_id))

    def right(self, question_id):
        item, one = self.asked(question_id)
        right = truth(item, one)
        if item.kind == "choice":
            return self.choose(question_id, right)
        return self.say(question_id, f"{right:.3f} V" if item.kind == "number" else right)

    def do(self, act, **fields):
        return self.record.append("act", job="J1", act=act, **fields)


@pytest.fixture
def handed_in(tmp_path):
    folder = tmp_path / "handed-in"
    folder.mkdir()
    return folder


@pytest.fixture
def learner(handed_in):
    def begin(name, sub="", course="autumn"):
        return Learner(handed_in / sub, name, course)

    return begin
