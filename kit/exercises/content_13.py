"""Questions of lesson 13: control units and sensors. What may be probed and with what, and the box as the last suspect.

Raise a question's ``version`` with any change here: marking refuses answers given to another version.
"""

from kit.exercises.choice import Best, Choice, ExplainsAll, Option
from kit.exercises.content_13_pins import (
    ASKED,
    DIVIDER,
    GENERATOR_UNIT,
    LIVES_ON,
    LOADER,
    PLUG_OFF,
    UNIT,
    WHAT_MAY_GO_WHERE,
    WHAT_THE_PIN_SAYS,
)
from kit.exercises.explain import Explain
from kit.exercises.figures import MeterVolts, Setup
from kit.exercises.job_question import JobQuestion
from kit.exercises.ordered import InThisOrder, Ordered
from kit.exercises.several import Several

SAW = ExplainsAll(
    seen=Setup(machine=LOADER, faults=("{hidden}",), positions={"lever": "neutral", "seat_bar": "down"}),
    moves=({"key": "on", "work_lamps": "on"}, {"key": "on", "work_lamps": "on", "start_button": "pressed"}),
    watch=("K2", "P1", "E1", "K1"),
)
AWAKE = "Then the unit would be fed, and its display lit."
WHAT_THE_DISPLAY_TELLS = Several(
    id="13.6", version=1, title="What the display tells", picture=UNIT, criteria=("suspects", "units"),
    prompt="The loader, neutral, bar down, work lamps switched on. Key on: {seen} Start held: no click. One fault does "
    "all this. Tick every one that could.",
    given={"hidden": ("B1 stuck open", "W20 open", "F4 blown")},
    words={
        "B1 stuck open": {"seen": "display, charge lamp and work lamps are lit."},
        "W20 open": {"seen": "the display is dark; charge lamp and work lamps are lit."},
        "F4 blown": {"seen": "display, charge lamp and work lamps are dark; the main relay clicks."},
    },
    right=SAW,
    options=(
        Option(id="B1 stuck open", text="neutral switch B1 does not close", feedback=AWAKE),
        Option(id="W24 open", text="wire W24, unit to seat-bar switch, is broken", feedback=AWAKE),
        Option(id="F3 blown", text="start fuse F3 is blown", feedback="F3 feeds the start button and nothing else. The "
               "display hangs on F4."),
        Option(id="W20 open", text="wire W20, fuse box to unit, is broken", feedback="That wire feeds the unit alone: "
               "its display would be dark, and all the lamps lit."),
        Option(id="W21 open", text="wire W21, unit to frame, is broken", feedback="Without its ground the unit sleeps: "
               "its display would be dark, and all the lamps lit."),
        Option(id="K2 dead", text="the unit itself is dead", feedback="Then its display would be dark, and all the "
               "lamps lit."),
        Option(id="F4 blown", text="fuse F4, control, fuel and lamps, is blown", feedback="Work lamps and charge lamp "
               "hang on that fuse too. Are they lit?"),
        Option(id="W8 open", text="link W8 in the fuse box is broken", feedback="Behind that link sit fuse F4 and all "
               "it feeds: work lamps and charge lamp as well. Are they lit?"),
    ),
    why="A lit display clears feed, ground and the box's own life in one look. A dark one beside lit lamps leaves the "
    "unit's own two wires, and the unit. Three suspects, and only one of them is expensive.",
    hints=(
        "Is the unit awake? If so, what must be sound?",
        "Who else hangs on the same fuse as the unit? Their lamps tell of the fuse.",
        "On the generator a lit panel at a dead start clears the unit's feed; the emergency stop was open.",
    ),
)

FIVE = Setup(machine=LOADER, faults=("{hidden}",), positions=ASKED)
FIVE_READINGS = Choice(
    id="13.7", version=2, title="Four readings, then a verdict", picture=UNIT, criteria=("units", "next-test", "find"),
    prompt="The loader again, silent. Key on, neutral, bar down, start held. Here is what the meter shows. Where is "
    "the fault?",
    table=(
        "black lead on | red lead on | shows",
        "K2.ground | K2.supply | {across}",
        "battery minus | K2.neutral | {neutral}",
        "battery minus | K2.seat_bar | {bar}",
        "battery minus | K2.start | {start}",
    ),
    given={"hidden": ("B1 stuck open", "W22 open", "B2 stuck open", "W24 open", "W20 open", "W21 open",
                      "K2 output start dead", "K1 coil open", "F3 blown", "W17 open")},
    words={
        "B1 stuck open": {"spot": "neutral"}, "W22 open": {"spot": "neutral"}, "B2 stuck open": {"spot": "bar"},
        "W24 open": {"spot": "bar"}, "W20 open": {"spot": "feed"}, "W21 open": {"spot": "feed"},
        "K2 output start dead": {"spot": "unit"}, "K1 coil open": {"spot": "coil"}, "F3 blown": {"spot": "coil"},
        "W17 open": {"spot": "coil"},
    },
    told={
        "across": MeterVolts(setup=FIVE, red="K2.supply", black="K2.ground"),
        "neutral": MeterVolts(setup=FIVE, red="K2.neutral", black="G2.-"),
        "bar": MeterVolts(setup=FIVE, red="K2.seat_bar", black="G2.-"),
        "start": MeterVolts(setup=FIVE, red="K2.start", black="G2.-"),
    },
    right=Best(option="{spot}", source="what each pin of the sound unit shows"),
    options=(
        Option(id="feed", text="In the unit's feed or its ground",
               feedback="Across its two pins the unit had {across}. About 25 V is sound; 0 V means that feed or ground "
               "is gone."),
        Option(id="neutral", text="In the neutral switch or its wire",
               feedback="K2.neutral showed {neutral}. Near 0 V the unit is told “neutral”; about 25 V, and it is not."),
        Option(id="bar", text="In the seat-bar switch or its wire",
               feedback="K2.seat_bar showed {bar}. Near 0 V the unit is told “bar down”; about 25 V, and it is not."),
        Option(id="coil", text="In the start relay's coil, its feed, or the wire from there to the unit",
               feedback="K2.start showed {start}. About 25 V would mean: the asking comes through the coil as far as "
               "the unit. 0 V means that it does not, or that the unit grounds the pin. No click tells which."),
        Option(id="unit", text="In the unit itself",
               feedback="It is the unit's turn only when it is fed and grounded, both inputs are near 0 V, and "
               "K2.start stays at about 25 V all the same. Here: {across}, {neutral}, {bar}, {start}."),
    ),
    hints=(
        "Take them in order: fed and grounded? told all it needs? asked? Then: does it answer?",
        "Fed, told and asked, and no answer: the unit. Not fed, not told or not asked: leave the box alone.",
        "With 25.3 V, 0.0 V, 0.0 V and 25.4 V it would be the unit.",
    ),
)

# What is never done to a control unit, and what the complaint was.
NEVERS = {
    "plus on an output": {
        "never": "Battery plus on its output pin, to see whether it still works",
        "harm": "Never: the output is made to pull down. As soon as it does, plus and ground meet in it: it dies.",
    },
    "lamp on the pins": {
        "never": "The test lamp from battery plus to one pin after another, all plugged in",
        "harm": "Never: through the lamp battery volts get into pins made for thousandths of an amp. They die of it.",
    },
    "ohms when live": {
        "never": "Ohms between its pins, plugged in and key on, to see which one is shorted",
        "harm": "Never: ohms are for what is dead and unplugged. On a live pin the figure means nothing, and meter or "
        "unit may suffer.",
    },
    "dark": {"complaint": "The panel is dark now and then"},
    "stops": {"complaint": "Now and then it stops by itself, and the panel goes out"},
}
LAST_SUSPECT = Ordered(
    id="13.8", version=2, title="The box is the last suspect", picture=GENERATOR_UNIT, criteria=("units", "cause"),
    prompt="{complaint}, and everybody says: the control unit. Put the tests in order: first what all the rest hangs "
    "on. One of them you never do: leave it out.",
    given={"forbidden": ("plus on an output", "lamp on the pins", "ohms when live"), "story": ("dark", "stops")},
    words=NEVERS,
    right=InThisOrder(options=("look", "feed", "drop", "inputs", "output", "unit"), source="common practice"),
    options=(
        Option(id="look", text="Look and ask: its plug, its pins, water, who worked there last",
               feedback="Eyes and questions come first. They cost nothing, and many a unit dies of a wet plug."),
        Option(id="feed", text="Plug off: the lamp across the loom's supply and ground pins",
               feedback="Without feed and ground nothing else means anything."),
        Option(id="drop", text="Plug on, all at work: volts from its ground pin to battery minus",
               feedback="The lamp is content with a poor ground. At work the meter finds what it costs. That comes "
               "before any signal."),
        Option(id="inputs", text="Each input: volts at the pin, its switch open and closed",
               feedback="Is it told what it needs to know? It must be fed before you ask that."),
        Option(id="output", text="The output: does the pin go to ground when all is asked for?",
               feedback="Only a unit that is fed and told all can be blamed for not answering."),
        Option(id="unit", text="A unit known to be good in its place; or send this one to somebody who has its papers",
               feedback="That costs most, so it comes last. A new unit on a bad ground resets or dies too."),
        Option(id="jump", text="{never}", feedback="{harm}"),
    ),
    why="Looked, fed, grounded, told, asked: five times “yes”, and no answer. Only now is it the box.",
    hints=(
        "What costs nothing comes first. What costs a month's hire comes last.",
        "Feed, then ground under load, then what it is told, then what it does.",
        "For a relay it was the same: look, feed, coil's ground, then the contact, then a new relay.",
    ),
)

FIND_IT = JobQuestion(
    id="13.9", version=1, title="Job card J42: rock the lever", picture=UNIT, card="J42",
    criteria=("find", "units", "starting", "cause", "repair"),
    prompt="A loader that will not start any more, and a control unit that everybody suspects. Say what you suspect, "
    "and why, before you test. A meter on the pins, never a lamp. Prove it, find the cause, put it right, and try both "
    "interlocks.",
)

EXPLAIN = Explain(
    id="13.10", version=1, title="Before a month's hire is spent", picture=GENERATOR_UNIT, criteria=("report", "units"),
    prompt="The site foreman holds a new control unit in his hand: “Fit it, the old one resets.” You have read 3 V "
    "from the unit's ground pin to battery minus. In two or three plain sentences: why do you not fit it, and what do "
    "you do instead?",
    rubric=(
        "says that the unit lives on what is left between its supply pin and its ground pin",
        "says that 3 V on the ground side is a bad ground, and that a new unit would reset on it too",
        "says what comes next: clean the ground point, measure again at work, then try the complaint",
    ),
    model="Three volts are lost between the unit's ground and the battery, so the unit gets three volts less than "
    "it should and resets when it starts work. A new one would do the same on that ground. I clean the ground point "
    "to bare metal, measure again while it works, and then try the complaint.",
)

QUESTIONS = (
    WHAT_THE_PIN_SAYS, DIVIDER, WHAT_MAY_GO_WHERE, PLUG_OFF, LIVES_ON, WHAT_THE_DISPLAY_TELLS, FIVE_READINGS,
    LAST_SUSPECT, FIND_IT, EXPLAIN,
)
