"""Questions of lesson 14: strategy. Half-split, best next test, ambiguity.

Raise a question's ``version`` with any change here: marking refuses answers given to another version.
"""

from collections.abc import Mapping

from kit.diagnose.handful import Handful
from kit.exercises.choice import Choice, Option
from kit.exercises.content_14_handfuls import (
    BOAT,
    BOAT_BOOKS,
    BOAT_HELD,
    BOAT_ROW,
    DARK_PANEL,
    LOADER,
    SET,
    SET_BOOKS,
    SILENT_LOADER,
)
from kit.exercises.content_14_orders import PANEL_FEED, WHAT_AN_ORDER_COSTS, WHICH_LOOK_FIRST
from kit.exercises.explain import Explain
from kit.exercises.figures import Setup
from kit.exercises.job_question import JobQuestion
from kit.exercises.next_test import NextTest
from kit.exercises.number import Number, Slip
from kit.exercises.ordered import Ordered
from kit.exercises.question import Picture
from kit.exercises.several import Several
from kit.exercises.strategy import (
    ChartWay,
    LeftAtWorst,
    MostTests,
    OfTrial,
    QuickestTest,
    SameTo,
)

BOAT_START = Picture(machine=BOAT, stage="start request")

# Six of the eight suspects in each variant, and a tip that leaves two of them if it is out.
SIX = {
    "from the key": {"six": (0, 1, 2, 3, 4, 5), "near": "S2.2"},
    "in the middle": {"six": (1, 2, 3, 4, 5, 6), "near": "B1.1"},
    "to ground": {"six": (2, 3, 4, 5, 6, 7), "near": "B1.2"},
    "key and coil": {"six": (0, 1, 2, 3, 6, 7), "near": "S2.2"},
    "lever and coil": {"six": (0, 3, 4, 5, 6, 7), "near": "B1.2"},
}
HALVE_IT = NextTest(
    id="14.1", version=2, title="First, cut it in half", picture=BOAT_START, criteria=("next-test", "suspects"),
    prompt="The tender: panel lit, lever in neutral, start held, not a sound. One of the six suspects below it is; all "
    "else is known to be sound. The lamp's clip is on battery minus, G1.-. Where do you put the tip, and which "
    "suspects are left if it is lit (dim or bright), and if it is out?",
    given={"row": tuple(SIX)},
    words={name: {"six": ", ".join(tuple(BOAT_ROW)[place] for place in one["six"]), "near": one["near"]}
           for name, one in SIX.items()},
    seen=Setup(machine=BOAT, positions=BOAT_HELD), clip="G1.-",
    tips=("S2.1", "S2.2", "B1.1", "B1.2", "X12.socket", "K1.86"), suspects=BOAT_ROW, chosen="{six}", count=6,
    why="Three before the point, three behind it: whatever the lamp says, half of them go. That is the half-split. It "
    "is the best test as long as all suspects are alike, and all points as easy to reach.",
    hints=(
        "A suspect before the tip puts the lamp out. One behind it leaves the lamp lit.",
        "Write the six in a row, from the key to ground. Where is the middle of the row?",
        "On {near} two would be left if it is out, and four if it is lit. Go on along the row until both are alike.",
    ),
)

# Twelve things, one of them too heavy or too light: three weighings suffice, and the first puts four against four
# (MacKay, Information Theory, Inference and Learning Algorithms, example 4.1).
HOW_MANY = Number(
    id="14.2", version=1, title="How many tests at most?", picture=BOAT_START, criteria=("next-test",), unit="tests",
    prompt="{suspects} suspects stand in one row, with a test point between every two. Every test leaves you those "
    "on one side of it, or those on the other. How many tests do you need at most until one suspect is left?",
    given={"suspects": ("6", "8", "12", "16", "24", "30")},
    words={"6": {"halves": "6, 3, 2, 1"}, "8": {"halves": "8, 4, 2, 1"}, "12": {"halves": "12, 6, 3, 2, 1"},
           "16": {"halves": "16, 8, 4, 2, 1"}, "24": {"halves": "24, 12, 6, 3, 2, 1"},
           "30": {"halves": "30, 15, 8, 4, 2, 1"}},
    asks=MostTests(suspects="{suspects}"),
    why="Halve and halve again, the larger half each time: {halves}. Twice as many suspects cost one test more. One "
    "after another you would need up to one test for every suspect but the last.",
    hint="Halve the number, again and again, always the larger half, until one is left. Count the halvings.",
    hints=(
        "After the first test half of them are left, if the number is even. And after the second?",
        "Where a number is odd, count the larger part: that is the worst that can happen.",
        "For 20 it would be 20, 10, 5, 3, 2, 1: five tests.",
    ),
    slips={
        "one by one": Slip(reason="That is one after another, from the start of the row. Halving is far quicker: each "
                           "test throws out half of all that is left."),
        "all": Slip(reason="That is a test for every suspect. Each test can throw out half of all that is left."),
        "half of them": Slip(points=1, reason="That is what one test leaves. Halve it again, and again."),
        "one short": Slip(points=2, reason="Nearly. Count once more: {halves}. Each step is a test."),
        "one more": Slip(points=2, reason="Nearly. Count once more: {halves}. The last one needs no test of its own."),
    },
)

BEARINGS = Number(
    id="14.3", version=1, title="Twelve bearing balls", picture=BOAT_START, criteria=("next-test",), unit="suspects",
    prompt="A puzzle from a textbook. Twelve bearing balls look alike. One of them is a little too heavy or a little "
    "too light. So there are 24 suspects: each ball may be too heavy, and each may be too light. You have a pan scale. "
    "First you put {each} balls on each side. How many suspects are left at worst?",
    given={"each": ("2", "3", "4", "5", "6")},
    words={"2": {"tips": "4", "level": "16", "rest": "8"}, "3": {"tips": "6", "level": "12", "rest": "6"},
           "4": {"tips": "8", "level": "8", "rest": "4"}, "5": {"tips": "10", "level": "4", "rest": "2"},
           "6": {"tips": "12", "level": "0", "rest": "0"}},
    asks=LeftAtWorst(things="12", each="{each}"),
    why="If it tips, {tips} are left: the balls on one side too heavy, those on the other too light. If it stays "
    "level, {level} are left: the other {rest} balls, each too heavy or too light. Four against four is best: 8 are "
    "left whichever way it goes. A test with three outcomes can leave a third.",
    hint="Go through the outcomes. It stays level: which balls are left, and what may be wrong with each? It tips: the "
    "same. Take the larger figure.",
    hints=(
        "The scale has three outcomes: left side down, right side down, level. What does each of them leave?",
        "Level: the odd ball is among those not on the scale, and each of them may be too heavy or too light. It tips: "
        "those on the low side may be too heavy, those on the high side too light.",
        "With 1 against 1: level leaves ten balls, 20 suspects; tipped leaves 2. At worst 20.",
    ),
    slips={
        "the better outcome": Slip(points=1, reason="That is what the kinder outcome leaves. At worst it is the other "
                                   "one: {tips} if it tips, {level} if it stays level."),
        "things": Slip(points=1, reason="That counts balls. Each of them may be too heavy or too light, as far as you "
                       "know."),
        "all": Slip(reason="That many there are before you weigh. Every outcome throws out some of them."),
        "one side": Slip(reason="That is how many lie on one side. If it tips, both sides are suspect; if not, all "
                         "the others are."),
    },
)


SLOTS = ("one", "two", "three", "four")
LEAVES = "It leaves {@_leaves}. With this test first, the job takes {@_minutes} on average"


def _options(more: str) -> tuple[Option, ...]:
    """Four options whose trials the variant picks, each with its own figures; the quickest stands first here."""
    worse = f"; with the best one first, {{best}}. {more}"
    return tuple(
        Option(id=f"{{{slot}}}", text=f"{{{slot}_says}}", feedback=LEAVES.replace("@", slot) + end)
        for slot, end in zip(SLOTS, (", and no plan is quicker.", *3 * (worse,)), strict=True)
    )


def _told(few: Mapping[str, Handful]) -> Mapping[str, OfTrial]:
    """The figures both choices tell: of each option what it says, leaves and costs; the suspects; the best."""
    found = {
        f"{slot}_{asks}": OfTrial(few=few, which="{book}", asks=asks, trial=f"{{{slot}}}")
        for slot in SLOTS for asks in ("says", "leaves", "minutes")
    }
    return found | {asks: OfTrial(few=few, which="{book}", asks=asks) for asks in ("suspects", "best")}


def _offered(*trials: str) -> Mapping[str, str]:
    return dict(zip(SLOTS, trials, strict=True))


WHAT_FAILS_OFTEN = Choice(
    id="14.4", version=2, title="The same row, and a book", picture=BOAT_START, criteria=("next-test", "suspects"),
    prompt="The silent tender again. The workshop has kept its last 20 cards with this complaint. Which of these tests "
    "comes first, if the whole job is to take as few minutes as can be?",
    table=("cards | the fault was", "{suspects}"),
    given={"book": tuple(BOAT_BOOKS)},
    words={
        "salt": _offered("X12.socket", "B1.2", "B1.1", "S2.2"), "damp": _offered("X12.socket", "B1.1", "K1.85", "S2.2"),
        "relay": _offered("K1.86", "B1.2", "B1.1", "S2.2"), "lever": _offered("B1.2", "K1.85", "S2.2", "S2.1"),
    },
    told=_told(BOAT_BOOKS),
    right=QuickestTest(few=BOAT_BOOKS, which="{book}"),
    options=_options("Count cards, not only suspects."),
    hints=(
        "One suspect has most of the cards. Which of the points lies right beside it?",
        "A test beside the likely one finds it in two steps: lit before it, out behind it. Then look at the minutes.",
        "If wire W14 had 13 of the 20 cards, you would begin at the relay's ground side, K1.85.",
    ),
)

WHAT_IS_QUICK = Choice(
    id="14.5", version=2, title="Minutes count too", picture=Picture(machine=SET, stage="start request"),
    criteria=("next-test",),
    prompt="A generator: panel lit, key held at start, not a sound. Its fuel relay gets its plus behind the emergency "
    "stop, as the start contact does. Here are the last 20 cards. In brackets behind each test: the minutes to get "
    "there and back with a reading. Which comes first, if the whole job is to take as few minutes as can be?",
    table=("cards | the fault was", "{suspects}"),
    given={"book": tuple(SET_BOOKS)},
    words={
        "stop": _offered("K4", "S2.1", "S2.2", "K1.86"), "heat": _offered("K4", "S3.1", "S2.2", "K1.86"),
        "relays": _offered("K1.86", "S3.2", "S2.1", "S2.2"), "contact": _offered("S2.1", "S3.1", "S3.2", "K1.86"),
    },
    told=_told(SET_BOOKS),
    right=QuickestTest(few=SET_BOOKS, which="{book}"),
    options=_options("Weigh three things: suspects left, cards they have, minutes."),
    hints=(
        "Which suspects have most of the cards, and which test stands beside them?",
        "Ears cost a minute, four screws cost five. A cheap test may come first even if it does not halve the row.",
        "If wire W7 had nearly all the cards, the meter on K1.85 would come first: 4 minutes, and it says yes or no.",
    ),
)

_CHART = {"loader": SILENT_LOADER}
READ_THE_CHART = Ordered(
    id="14.8", version=2, title="Through the chart", picture=Picture(machine=LOADER, stage="start request"),
    criteria=("next-test", "measure"),
    prompt="A fault-finding chart for a loader: charge lamp lit, lever in neutral, bar down, start held, not a sound. "
    "Start is held in every test; the lamp's clip, or the meter's black lead, is on battery minus, G2.-. On this "
    "loader the fault is: {said}. Which tests do you come through, one after another? Leave out those the chart "
    "never sends you to.",
    table=("box | test | it shows | then", "{chart}"),
    given={"hidden": ("S2 stuck open", "W16 open", "W15 open", "K1 coil open", "B1 stuck open", "B2 stuck open")},
    words={fault: {"said": words} for fault, words in SILENT_LOADER.suspects.items()},
    told={"chart": OfTrial(few=_CHART, which="loader", asks="chart")},
    options=tuple(
        Option(id=trial.id, text=trial.says, feedback="Go back one box: what does that test show with this fault, and "
               "to which box does the chart send you then?")
        for trial in SILENT_LOADER.trials
    ),
    right=ChartWay(few=SILENT_LOADER, suspect="{hidden}"),
    why="A chart is a plan that somebody thought through beforehand: in each box one test, and for each outcome where "
    "to go. You never do them all. At its end one suspect is left, and you still prove it.",
    hints=(
        "Begin in box 1. Ask of the fault: what does this test show with it?",
        "A lamp before the break is lit, behind it out. An input that is missing: then the unit does not ground the "
        "coil, and the meter shows battery volts at the coil's far end, K1.85.",
        "With the start fuse blown you would come through boxes 1 and 2, and be at the end.",
    ),
)

_PANEL = {"panel": DARK_PANEL}


def _shown(tip: str) -> OfTrial:
    return OfTrial(few=_PANEL, which="panel", asks="shows", trial=f"{{tool}} {tip}", suspect="{hidden}")


WHO_IS_LEFT = Several(
    id="14.9", version=1, title="One tool, three readings", picture=PANEL_FEED, criteria=("suspects", "prove"),
    prompt="The tender's panel is dark. Isolator on, key off. You have only the {tool}, one lead on battery minus. It "
    "shows at F2.1: {first}; at F2.2: {second}; at S1.1: {third}. Which of the five suspects could still be the one?",
    given={"hidden": ("F2 blown", "F2 high resistance 50 kohm", "S1 stuck open"), "tool": ("lamp", "meter")},
    words={"lamp": {"kind": "lamp", "other": "meter"}, "meter": {"kind": "volts", "other": "lamp"}},
    told={"first": _shown("F2.1"), "second": _shown("F2.2"), "third": _shown("S1.1")},
    options=(
        Option(id="W9 open", text="The long wire W9 to the panel is broken",
               feedback="Then nothing would get as far as F2.1, on any instrument."),
        Option(id="F2 blown", text="The panel fuse F2 is blown",
               feedback="A blown fuse lets nothing through: lit before it and out behind it, and on the meter 12 V "
               "before it and 0 V behind it."),
        Option(id="F2 high resistance 50 kohm", text="A film of salt in the holder of F2",
               feedback="Through the film the meter still sees its 12 V. A lamp asks for current and stays out."),
        Option(id="W10 open", text="Wire W10, panel fuse to key switch, is broken",
               feedback="Then F2.2 would have plus on any instrument, and S1.1 none."),
        Option(id="S1 stuck open", text="The key switch S1 does not close",
               feedback="Then plus gets as far as S1.1: lit at all three points, and 12 V at all three."),
    ),
    right=SameTo(few=DARK_PANEL, suspect="{hidden}", tools="{kind}"),
    why="Suspects that show the same in every test you have are an ambiguity group. More readings with the {tool} part "
    "none of them. The other instrument does: the lamp asks for current, the meter hardly any.",
    hints=(
        "Take the five one by one: what would the {tool} show at each of the three points?",
        "Strike out whoever would show something else at any of the three. Whoever is left is left, be it one or two.",
        "A film of salt, seen with the meter: 12 V at all three points. So it looks like a good fuse.",
    ),
)

FIND_IT = JobQuestion(
    id="14.10", version=1, title="Job card J4: lights, and no starter", card="J4", efficiency=5,
    picture=Picture(machine="orchard-bike", stage="start request"),
    criteria=("find", "suspects", "next-test", "starting", "cause", "repair"),
    prompt="A bike with a fault that nobody tells you. From this lesson on the order of your tests earns points as "
    "well. Say what you suspect, and why. Choose each test by what it leaves and what it costs. Prove the fault, find "
    "out why it happened, put it right, and try the interlocks.",
)

LUCK = Explain(
    id="14.11", version=1, title="Tell the apprentice", picture=BOAT_START, criteria=("report", "next-test"),
    prompt="The apprentice says: “I changed the start relay straight away, and she starts. You measured for ten "
    "minutes. So my way is better.” In two or three plain sentences: what do you tell him?",
    rubric=(
        "says that one lucky guess says nothing about the next job: on other cards the relay was good",
        "names what a wrong guess costs (part, minutes, a second fault, or not knowing why it failed)",
        "says what a plan gives: each test leaves fewer suspects, and the end is proved",
    ),
    model="You were lucky: on most cards with this complaint the relay was good, and then you would have paid for a "
    "relay and still had a dead boat. My tests throw out half of the suspects each time, whatever it is, so I am never "
    "more than a few minutes from the end. And I know why it failed; you only know that it starts today.",
)

QUESTIONS = (
    HALVE_IT, HOW_MANY, BEARINGS, WHAT_FAILS_OFTEN, WHAT_IS_QUICK, WHICH_LOOK_FIRST, WHAT_AN_ORDER_COSTS,
    READ_THE_CHART, WHO_IS_LEFT, FIND_IT, LUCK,
)
