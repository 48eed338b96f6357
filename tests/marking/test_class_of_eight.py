"""Eight invented learners, each with a way of their own, working through the very messages the widgets send.

Their marks were worked out by hand from the rules; the sums stand beside each.
"""

import csv

import pytest
from click.testing import CliRunner

from kit.bay import MachineBay, QuestionSheet, judging
from kit.cli.commands import kit
from kit.exercises import question, truth, variant
from kit.exercises.cards import card
from kit.exercises.choice import shown_options
from kit.records import Record

QUESTIONS = ("06.1", "06.2", "06.3", "06.4", "06.5", "06.6")


class Desk:
    """A learner's screen: what is clicked and typed goes in as the browser would send it."""

    def __init__(self, folder, name):
        self.record = Record.open(course="autumn", learner=name, folder=folder / name)
        self.bay = None

    def variant(self, question_id):
        return variant(question(question_id), "autumn", self.record.learner)

    def say(self, question_id, raw):
        sheet = QuestionSheet(question(question_id), record=self.record)
        sheet._handle_custom_msg({"number": 1, "raw": raw}, [])
        return sheet.view

    def choose(self, question_id, option_id):
        options = shown_options(question(question_id), self.variant(question_id))
        return self.say(question_id, next(key for key, option in options.items() if option.id == option_id))

    def right(self, *question_ids):
        for question_id in question_ids:
            item = question(question_id)
            right = truth(item, self.variant(question_id))
            if item.kind == "choice":
                self.choose(question_id, right)
            else:
                table = item.kind == "prediction"
                self.say(question_id, {p: list(row) for p, row in right.items()} if table else f"{right:.2f} V")

    def do(self, act, **fields):
        if self.bay is None:
            job = card("J1")
            faults = job.faults(self.record.learner, "autumn")
            self.bay = MachineBay(job.machine, record=self.record, card=job, faults=faults)
        number = self.bay.view["number"] + 1
        self.bay._handle_custom_msg({"number": number, "act": act, **fields}, [])
        assert self.bay.view["number"] == number

    def lamp(self, clip, tip):
        self.do("probe", instrument="lamp", leads=[clip, tip])

    def prepare(self):
        """Every step of getting ready, and the lamp proved on the battery."""
        for step in ("secure", "protect", "battery"):
            self.do("prepare", step=step)
        self.lamp("G1.-", "G1.+")

    def walk_to_the_fuse(self):
        """See the complaint, then the lamp on both sides of the main fuse."""
        self.do("operate", control="key", position="on")
        self.lamp("G1.-", "F1.1")
        self.lamp("G1.-", "F1.2")

    def state_the_fuse(self):
        """F1 blown, with every lamp reading and look so far ticked."""
        ticked = [line["number"] for line in self.bay.view["sheet"] if line["done"].startswith(("test lamp", "looked"))]
        self.do("find", role="fault", part="F1", fault="blown", readings=ticked)

    def find_the_cause(self):
        """Lamp across the empty holder, branch fuses out, key on and off, then look at the wire it points to."""
        for fuse in ("F1", "F2", "F3"):
            self.do("fuse", part=fuse, to="out")
        self.lamp("F1.2", "F1.1")
        self.do("operate", control="key", position="off")
        wire = "W2" if self.bay.view["probe"]["reading"] == "bright" else "W3"
        self.do("look", part=wire)
        self.do("find", role="cause", part=wire, fault="shorted to ground", readings=[])
        self.do("repair", part=wire)
        for fuse, to in (("F1", "new"), ("F2", "in"), ("F3", "in")):
            self.do("fuse", part=fuse, to=to)
        self.do("operate", control="key", position="on")

    def try_the_interlock(self):
        for control, position in (("gear", "first"), ("start_button", "pressed"), ("start_button", "released")):
            self.do("operate", control=control, position=position)

    def hand_back(self):
        self.do("hand back")
        return self.bay.view["review"]["points"]


def ash(desk):
    """Does everything right."""
    desk.right(*QUESTIONS)
    desk.prepare()
    desk.walk_to_the_fuse()
    desk.do("look", part="F1")
    desk.state_the_fuse()
    desk.find_the_cause()
    desk.try_the_interlock()
    desk.do("verify")
    desk.hand_back()


def birch(desk):
    """Believes that where no current flows there are no volts; has not done the job."""
    desk.right("06.1", "06.2", "06.4", "06.5", "06.6")
    desk.say("06.3", "0 V")


def cedar(desk):
    """Reads well, then fits a bigger fuse."""
    desk.right("06.1", "06.2", "06.3", "06.4", "06.5")
    desk.choose("06.6", "bigger")
    desk.prepare()
    desk.walk_to_the_fuse()
    desk.do("look", part="F1")
    desk.state_the_fuse()
    desk.do("fuse", part="F1", to="bigger")
    desk.hand_back()


def dogwood(desk):
    """Guesses the fuse, measures nothing, fits a new one and gives up."""
    desk.right("06.1", "06.2")
    desk.do("operate", control="key", position="on")
    desk.do("find", role="fault", part="F1", fault="blown", readings=[])
    desk.do("fuse", part="F1", to="new")
    desk.hand_back()


def elder(desk):
    """Proves the fuse, but feeds the short two new ones."""
    desk.right(*QUESTIONS)
    desk.prepare()
    desk.walk_to_the_fuse()
    desk.state_the_fuse()
    desk.do("fuse", part="F1", to="new")
    desk.do("fuse", part="F1", to="new")
    desk.hand_back()


def fir(desk):
    """Does not see the break: every lamp bright."""
    desk.right("06.1", "06.2", "06.3", "06.5", "06.6")
    desk.say("06.4", {point: ["bright", "bright"] for point in truth(question("06.4"), desk.variant("06.4"))})


def gorse(desk):
    """Types what cannot be read first, and commas after."""
    desk.right("06.1", "06.2", "06.4", "06.6")
    assert desk.say("06.3", "lots")["mark"] is None
    for question_id in ("06.3", "06.5"):
        right = truth(question(question_id), desk.variant(question_id))
        desk.say(question_id, f"{right * 1000:.0f} mV".replace(".", ","))


def hazel(desk):
    """Works well, but prepares nothing, never proves the lamp and forgets the interlock."""
    desk.right(*QUESTIONS)
    desk.walk_to_the_fuse()
    desk.do("look", part="F1")
    desk.state_the_fuse()
    desk.find_the_cause()
    desk.do("verify")
    desk.hand_back()


# Points of 06.1 (4), 06.2 (10), 06.3 (4), 06.4 (10), 06.5 (4), 06.6 (4) and the job 06.7 (100).
BY_HAND = {
    # Job: 15 + 10 + 30 + 15 + 15 + 5 + 10.
    ash: (4, 10, 4, 10, 4, 4, 100),
    birch: (4, 10, 0, 10, 4, 4, 0),
    # Job: 15 + 10 + 30 + 0 cause + 0 (it pops again) + 5 − 2 popped + 10 = 68, stopped at 40 by the bigger fuse.
    cedar: (4, 10, 4, 10, 4, 0, 40),
    # Job: 0 + 5 seen + 10 right but not shown + 0 + 0 + 5 − 2 popped + 0.
    dogwood: (4, 10, 0, 0, 0, 0, 18),
    # Job: 15 + 5 (nothing looked at) + 30 + 0 + 0 + 5 − 4 popped + 10.
    elder: (4, 10, 4, 10, 4, 4, 61),
    # 06.4, fuse F1 blown, points F1.1 F1.2 S1.1 S1.2 F2.1: only the two cells of F1.1 are bright in truth.
    fir: (4, 10, 4, 2, 4, 4, 0),
    gorse: (4, 10, 4, 10, 4, 4, 0),
    # Job: 0 (nothing prepared, lamp not proved) + 10 + 30 + 15 + 12 (no interlock) + 5 + 10.
    hazel: (4, 10, 4, 10, 4, 4, 82),
}
PASSED = {"ash": True, "cedar": False, "dogwood": False, "elder": False, "hazel": True}


@pytest.fixture(scope="module")
def marked(tmp_path_factory):
    folder = tmp_path_factory.mktemp("handed-in")
    reviews = {}
    with pytest.MonkeyPatch.context() as patch:
        # However busy the computer is, each waits for its mark.
        patch.setattr(judging, "PATIENCE", 300.0)
        for learner in BY_HAND:
            desk = Desk(folder, learner.__name__)
            learner(desk)
            if desk.bay is not None:
                reviews[learner.__name__] = desk.bay.view["review"]
    out = tmp_path_factory.mktemp("marks")
    result = CliRunner().invoke(kit, ["mark", str(folder), "--out", str(out)])
    assert result.exit_code == 0, result.output
    with (out / "marks.csv").open(encoding="utf-8-sig", newline="") as file:
        rows = list(csv.DictReader(file))
    return rows, reviews, out


@pytest.mark.parametrize("learner", BY_HAND, ids=lambda learner: learner.__name__)
def test_the_marks_are_those_worked_out_by_hand(marked, learner):
    rows, _, _ = marked
    mine = {row["question"]: int(row["points"]) for row in rows if row["learner"] == learner.__name__}
    assert tuple(mine[name] for name in (*QUESTIONS, "06.7")) == BY_HAND[learner]


def test_what_the_learner_saw_is_what_the_assessor_gets(marked):
    rows, reviews, _ = marked
    jobs = {row["learner"]: int(row["points"]) for row in rows if row["question"] == "06.7"}
    assert {name: review["points"] for name, review in reviews.items()} == {name: jobs[name] for name in reviews}
    assert {name: review["passed"] for name, review in reviews.items()} == PASSED


def test_each_learner_gets_a_page(marked):
    _, _, out = marked
    pages = {path.stem for path in out.rglob("*.html")}
    assert {learner.__name__ for learner in BY_HAND} <= pages
