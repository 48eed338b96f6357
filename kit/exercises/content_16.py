"""Questions of lesson 16: the final job. Six complaints on six machines.

Raise a question's ``version`` with any change here: marking refuses answers given to another version.
"""

from collections.abc import Mapping

from kit.exercises.batteries import ChargeAtRest
from kit.exercises.choice import Best, Choice, Option
from kit.exercises.explain import Explain
from kit.exercises.figures import MeterVolts, PathAmps, Setup
from kit.exercises.job_question import JobQuestion
from kit.exercises.number import Number, Slip
from kit.exercises.ordered import InThisOrder, Ordered
from kit.exercises.question import Picture
from kit.exercises.several import AllOf, Several

MOWER, LOADER = "ride-on-mower", "compact-loader"
MACHINES = {"bike": "orchard-bike", "boat": "harbour-tender", "set": "site-generator", "loader": LOADER}
MOWER_CRANKING = Picture(machine=MOWER, stage="cranking circuit")

OWN_FORM = "common practice; the form of the kit's own job card"
# What is no step of the form.
NO_STEPS = {
    "swap": {"no_step": "Fit a new part and see whether that was it",
             "because": "That is no step of the form. A part is renewed when readings have shown it bad."},
    "order": {"no_step": "Order the likeliest part at once, so that no day is lost",
              "because": "That is no step of the form. Nothing is ordered before readings have shown what is bad."},
    "fuse": {"no_step": "Put in a bigger fuse, so that it holds while you work",
             "because": "That is no step of any form: the fuse guards the wire, and a bigger one lets it burn."},
    "bridge": {"no_step": "Bridge the interlocks, so that they are out of the way",
               "because": "That is no step of the form. An interlock out of the way is how people get hurt."},
}
ONE_FORM = Ordered(
    id="16.1", version=2, title="One form for every job", picture=MOWER_CRANKING, criteria=("safe", "find", "repair"),
    prompt="The same form serves all six machines. Put its steps in the order in which you do them. One of them is no "
    "step of it: leave it out.",
    given={"never": tuple(NO_STEPS)},
    words=NO_STEPS,
    options=(
        Option(id="ask", text="Ask the owner what happened, and when",
               feedback="He has known the machine for years; you have known it for a minute. Ask first."),
        Option(id="safe", text="Make the machine safe, prove the instrument",
               feedback="Nothing is touched and no reading is believed before that."),
        Option(id="see", text="See the complaint for yourself",
               feedback="You cannot say that it is gone later if you have never seen it."),
        Option(id="suspects", text="Write down what you suspect, and why",
               feedback="A test without a suspect has nobody to rule out."),
        Option(id="test", text="Test: what does each outcome leave?",
               feedback="First the suspects, then a test that parts them."),
        Option(id="swap", text="{no_step}", feedback="{because}"),
        Option(id="find", text="State the finding, and why it failed",
               feedback="Say it before you mend it: afterwards nothing can be shown any more."),
        Option(id="mend", text="Mend it, measure again, try the complaint and every interlock",
               feedback="Mended is not the same as well: try what the owner tried, and what must stay shut."),
    ),
    right=InThisOrder(options=("ask", "safe", "see", "suspects", "test", "find", "mend"), source=OWN_FORM),
    why="Ask, make safe, see it, suspect, test, find, mend and verify; then tidy up and tell the owner. On a bench "
    "board that takes ten minutes, on a loader an hour. The form is the same.",
    hints=(
        "What can you do before you touch the machine at all?",
        "Suspects come before tests, the finding before the repair, and proof after it.",
        "It begins: ask the owner, make it safe, see the complaint.",
    ),
)

# Five lines of a sound report, and three that have no place there; the readings are the machines' own.
REPORTS = {
    "bike": {
        "unit": "Starter relay K1: contacts burnt", "seen": "Key on, start held: {bike} from K1.30 to K1.87",
        "cause": "Long cranking in the cold, on a weak battery",
        "done": "Relay renewed; {bike_after} at the same place",
        "tried": "It starts in neutral. In gear, lever out, it stays still", "guess": "I thought of the battery first",
        "blame": "The owner should treat it better", "luck": "Good that there was a relay on the shelf",
    },
    "boat": {
        "unit": "Socket clip X12 of the start relay: green with salt",
        "seen": "Key on, neutral, start held: {boat} from X12.socket to K1.86",
        "cause": "Sea water ran along the loom into the socket",
        "done": "Clip cleaned and greased; {boat_after} at the same place",
        "tried": "She starts in neutral. Lever ahead, she stays still", "guess": "At first it looked like the relay",
        "blame": "Whoever laid that loom was careless", "luck": "A pity: it was the last place I looked at",
    },
    "generator": {
        "unit": "Ground eyelet X10 of the control unit: sits on paint",
        "seen": "Key on: {set} from K5.ground to battery minus", "cause": "Painted over when the frame was done up",
        "done": "Paint off, tightened, greased; {set_after} at the same place",
        "tried": "It starts. Emergency stop pressed, it stays still", "guess": "Everybody took it for the control unit",
        "blame": "The painters never think of that", "luck": "Found before lunch, luckily",
    },
    "loader": {
        "unit": "Neutral switch B1: does not close", "seen": "Key on, lever in neutral: {loader} at K2.neutral",
        "cause": "A stone has bent its bracket", "done": "Bracket straightened; {loader_after} at the same place",
        "tried": "It starts. In gear, or with the bar up, it stays still", "guess": "My first idea was the relay",
        "blame": "The driver is rough with it", "luck": "With some luck it holds for years",
    },
}


def _read(name: str, fault: str, red: str, black: str, **positions: str) -> Mapping[str, MeterVolts]:
    """A reading with the fault in, and the same after the repair."""
    return {
        key: MeterVolts(setup=Setup(machine=of, faults=faults, positions=positions), red=red, black=black)
        for key, of, faults in ((name, MACHINES[name], (fault,)), (f"{name}_after", MACHINES[name], ()))
    }


REPORT = Several(
    id="16.2", version=2, title="The finding report", picture=MOWER_CRANKING, criteria=("report", "find"),
    prompt="Somebody else will read your finding report in two years. Here are eight lines about one machine. Which of "
    "them belong into it? Tick all that do.",
    given={"case": tuple(REPORTS)},
    words=REPORTS,
    told={
        **_read("bike", "K1 contacts burnt 0.5 ohm", "K1.30", "K1.87", key="on", start_button="pressed"),
        **_read("boat", "X12 high resistance 50 kohm", "X12.socket", "K1.86", isolator="on", key="on",
                start_button="pressed"),
        **_read("set", "X10 high resistance 5 ohm", "K5.ground", "G1.-", key="on"),
        **_read("loader", "B1 stuck open", "K2.neutral", "G2.-", key="on"),
    },
    options=(
        Option(id="unit", text="{unit}", feedback="It belongs: without the part and what was wrong with it there is no "
               "finding."),
        Option(id="readings", text="{seen}", feedback="It belongs: a reading with its points, and how the machine "
               "stood."),
        Option(id="cause", text="{cause}", feedback="It belongs: without the cause it fails again."),
        Option(id="done", text="{done}", feedback="It belongs: what was done, and a reading that shows that it holds."),
        Option(id="verified", text="{tried}", feedback="It belongs: the complaint and an interlock were tried."),
        Option(id="guess", text="{guess}",
               feedback="A first idea is no finding. It stands among your notes, not in the report."),
        Option(id="blame", text="{blame}",
               feedback="Say what happened to the part. Who is to blame is not for you to write."),
        Option(id="luck", text="{luck}", feedback="Nobody can use that in two years."),
    ),
    right=AllOf(options=("unit", "readings", "cause", "done", "verified"), source="common practice"),
    why="Part and fault, readings, cause, repair with its reading, and what was tried. Five lines, and whoever comes "
    "after you need not begin again.",
    hints=(
        "Ask of each line: could another person check it, or use it?",
        "Five of the eight belong. A guess, blame and luck help nobody.",
        "A good first line: “Minus cable W3, lug corroded: 2.1 V lug to lug at 200 A, limit 0.2 V.”",
    ),
    points=5,
)

STARTING = Setup(machine=MOWER, faults=("{hidden}",), positions={
    "key": "start", "brake_pedal": "down", "seat": "taken"})
AS_IT_SHOULD = "By hand the engine turns as it should."
MINE_OR_NOT = Choice(
    id="16.3", version=2, title="Mine, or somebody else's?", picture=MOWER_CRANKING,
    criteria=("starting", "report", "drop"),
    prompt="A mower cranks slowly or not at all. {hand} Here is what you read with the key held at start, and what its "
    "sheet says of a sound one. What do you do?",
    table=(
        "where | you read | its sheet",
        "across the battery | {battery} | 10.5 V or more",
        "lost on the plus side | {plus} | 0.5 V at most",
        "lost on the ground side | {ground} | 0.3 V at most",
        "across the starter | {starter} | ",
        "clamp on its cable | {amps} | about 100 A",
    ),
    given={"hidden": ("M1 engine too stiff", "M1 open", "G1 quarter charged", "W8 high resistance 0.05 ohm",
                      "W9 high resistance 0.05 ohm")},
    words={
        "M1 engine too stiff": {"side": "refer", "hand": "By hand the engine turns hard up to compression, and springs "
                                "back."},
        "M1 open": {"side": "starter", "hand": AS_IT_SHOULD}, "G1 quarter charged": {"side": "battery",
                                                                                     "hand": AS_IT_SHOULD},
        "W8 high resistance 0.05 ohm": {"side": "plus", "hand": AS_IT_SHOULD},
        "W9 high resistance 0.05 ohm": {"side": "ground", "hand": AS_IT_SHOULD},
    },
    told={
        "battery": MeterVolts(setup=STARTING, red="G1.+", black="G1.-"),
        "plus": MeterVolts(setup=STARTING, red="G1.+", black="M1.stud"),
        "ground": MeterVolts(setup=STARTING, red="M1.body", black="G1.-"),
        "starter": MeterVolts(setup=STARTING, red="M1.stud", black="M1.body"),
        "amps": PathAmps(setup=STARTING, path="M1"),
    },
    right=Best(option="{side}", source="the limits of the mower's own data"),
    options=(
        Option(id="refer", text="Refer it: the starter gets all it can use, and the engine holds it",
               feedback="To refer it you must have shown that nothing electrical is wrong. Here: {amps}, where about "
               "100 A are usual. {hand}"),
        Option(id="battery", text="Charge the battery, then load-test it",
               feedback="The battery has {battery} while {amps} are taken. It is next when it falls below 10.5 V at "
               "the usual amps."),
        Option(id="plus", text="Go on along the plus side, part by part",
               feedback="The plus side keeps {plus}. More amps lose more, on a sound mower "
               "too: compare the amps with the usual 100 A first."),
        Option(id="ground", text="Go on along the ground side, part by part",
               feedback="The ground side keeps {ground}. More amps lose more, on a sound "
               "mower too: compare the amps with the usual 100 A first."),
        Option(id="starter", text="Take the starter off and look into it",
               feedback="The starter is next when it has the volts and does not take the amps. Here: {starter}, "
               "{amps}."),
    ),
    hints=(
        "Amps first. None, about 100, or far more?",
        "About 100 A, and slow: somebody keeps the volts. None with full volts: the starter. Far more: something holds "
        "it.",
        "With 12.6 V across the starter and 0 A, you would look into the starter.",
    ),
)

HOW_FULL = Number(
    id="16.4", version=2, title="Flat by Friday", picture=Picture(machine=LOADER, stage="batteries"), unit="share",
    criteria=("battery", "charging"), within=0.08,
    prompt="The loader's two batteries, flooded, of 12 V each, have stood overnight with nothing on. Across both "
    "together you read {pair} V, and each of them has the same. Here is a published table for one such battery, "
    "rested. How full is each, in percent?",
    table=(
        "one battery, rested | how full", "12.6 V and more | 100 %", "12.4 V | 75 %", "12.2 V | 50 %", "12.0 V | 25 %",
        "11.7 V | empty",
    ),
    given={"pair": ("24.0", "24.4", "24.8", "24.2")},
    words={"24.0": {"each": "12.0"}, "24.4": {"each": "12.2"}, "24.8": {"each": "12.4"}, "24.2": {"each": "12.1"}},
    asks=ChargeAtRest(volts="{each}", build="flooded"),
    why="Half of {pair} V is {each} V; the rest is in the table. And a pair that is never full again wears out: charge "
    "it, then find out why.",
    hint="Two alike in a row: each has half of the volts. Then read the table.",
    hints=(
        "The table is for one battery. What has each of the two?",
        "Each has {each} V. Find that line, or the two lines around it.",
        "25.2 V across both would be 12.6 V each, and full.",
    ),
    slips={
        "both as one": Slip(reason="The table is for one battery of 12 V. These are two in a row: halve the volts "
                            "first. And only the table tells: an empty battery still rests at 11.7 V."),
        "other build": Slip(points=1, reason="That would be so for AGM batteries, which rest 0.2 V higher. These are "
                            "flooded."),
    },
)


def _job(number: int, card: str, title: str, machine: str, stage: str, prompt: str, *criteria: str) -> JobQuestion:
    return JobQuestion(
        id=f"16.{number}", version=1, title=f"Job card {card}: {title}", card=card, efficiency=5, prompt=prompt,
        picture=Picture(machine=machine, stage=stage), criteria=("find", "next-test", "cause", "repair", *criteria),
    )


JOBS = (
    _job(5, "J54", "the third fuse today", "bench-board", "lamp circuit",
         "A lamp board that eats fuses. Find out where the current goes, without feeding it a fourth.", "suspects"),
    _job(6, "J5", "the lamp that lies", "orchard-bike", "neutral interlock",
         "A bike whose neutral lamp comes on in gear. That lamp stands for an interlock: find out why it lies.",
         "starting", "suspects"),
    _job(7, "J14", "it grunts", MOWER, "cranking circuit",
         "A mower that grunts and stops. Show whether the electrics are to blame; if they are not, say whose it is.",
         "starting", "report"),
    _job(8, "J28", "slow, and one cable warm", "harbour-tender", "cranking circuit",
         "A tender that turns slowly. Find what keeps the volts, while she cranks.", "drop", "starting"),
    _job(9, "J36", "the panel goes dark", "site-generator", "control unit",
         "A generator whose panel dies at every start. Show what its control unit gets, before anybody buys one.",
         "units", "starting"),
    _job(10, "J45", "flat again", LOADER, "charging",
         "A loader whose batteries are flat every week. Find out why nothing ever warned the driver.", "charging",
         "battery"),
)

HAND_OVER = Explain(
    id="16.11", version=1, title="A report for the neighbour", picture=MOWER_CRANKING, criteria=("report", "starting"),
    prompt="The mower's owner reads your report. His neighbour says: “They only did not want to change the starter.” "
    "In three plain sentences: what did you find, how do you know, and why do you not mend it?",
    rubric=(
        "says that the starter gets its volts and takes its amps, with at least one reading",
        "names what was seen by hand or eye: the engine holds it",
        "says whose work it is, and that it is beyond one's own authority (not: that it is too hard)",
    ),
    model="Your starter gets nearly eight volts and takes two and a half times its usual amps, so it pulls with all it "
    "has. By hand the engine turns hard up to compression and springs back: it is the engine that holds it. Valves are "
    "set by the engine shop, not by us; a new starter would stand still in the same place.",
)

QUESTIONS = (ONE_FORM, REPORT, MINE_OR_NOT, HOW_FULL, *JOBS, HAND_OVER)
