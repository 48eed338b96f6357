"""Questions of lesson 13: control units and sensors. What may be probed and with what, and the box as the last suspect.

Raise a question's ``version`` with any change here: marking refuses answers given to another version.
"""

from kit.exercises.choice import Best, Choice, ExplainsAll, Option
from kit.exercises.explain import Explain
from kit.exercises.figures import MeterVolts, Network, Setup
from kit.exercises.job_question import JobQuestion
from kit.exercises.number import Number, Slip
from kit.exercises.ordered import InThisOrder, Ordered
from kit.exercises.prediction import Column, Prediction
from kit.exercises.question import Picture
from kit.exercises.several import Several
from kit.exercises.volts_table import VoltsTable

LOADER, GENERATOR = "compact-loader", "site-generator"
UNIT = Picture(machine=LOADER, stage="control unit")
GENERATOR_UNIT = Picture(machine=GENERATOR, stage="control unit")
READY = {"key": "on", "seat_bar": "down", "lever": "neutral"}
ASKED = READY | {"start_button": "pressed"}

WHAT_THE_PIN_SAYS = VoltsTable(
    id="13.1", version=1, title="What the pins say", picture=UNIT, criteria=("predict", "units"),
    prompt="The sound loader, key on, engine stopped. It is a 24 V machine; with the key on the pair gives 25.3 V. "
    "The black lead stays on battery minus, G2.-. What does the meter show with the red lead back-probed on each "
    "point: once in neutral with the bar down, once with the lever forward and the bar up? The table locks before you "
    "see the readings.",
    given={"points": (
        "K2.supply K2.neutral K2.seat_bar", "K2.ground K2.neutral B1.1", "K2.supply K2.seat_bar B2.1",
        "K2.supply K2.ground K2.neutral", "K2.ground K2.seat_bar B2.2", "K2.supply K2.neutral B1.2",
    )},
    setup=Setup(machine=LOADER), black="G2.-", points_listed="{points}",
    columns=(Column(title="neutral, bar down", positions=READY),
             Column(title="forward, bar up", positions={"key": "on", "seat_bar": "up", "lever": "forward"})),
    load="B1",
    why="A pin that listens is held up by the unit from inside. The closed switch pulls it down to 0 V; the open one "
    "leaves it up. Here 0 V means “yes”.",
    next="Ask of each pin: who holds it up, and who pulls it down? The switch sits between pin and frame. Closed, it "
    "joins the pin to ground. Open, the unit's own volts are left on it.",
    hints=(
        "The supply pin and the ground pin do not care about lever and bar.",
        "In neutral the neutral switch is closed; with the bar down so is the other. A closed switch joins its pin to "
        "the frame.",
        "An oil pressure switch that is open while the engine stands leaves its pin at the unit's own volts, just so.",
    ),
)

# Published: 15 V across 10 kΩ and 20 kΩ in a row; 0.5 mA, 5 V and 10 V (the open textbook Circuit Analysis,
# circuit-analysis.github.io, chapter Dividers). With other volts the same thirds.
DIVIDER = Number(
    id="13.2", version=1, title="A sensor shares the volts", picture=UNIT, criteria=("figures", "units"), unit="V",
    prompt="A unit puts {volts} V on a sensor's wire through a resistor inside: {inside} kΩ. The sensor has {sensor} "
    "kΩ just now, from the wire to ground. How many volts does the unit read on that wire?",
    given={"volts": ("15", "12", "24", "6"), "inside": ("10", "20")},
    words={"10": {"sensor": "20", "share": "two thirds"}, "20": {"sensor": "10", "share": "one third"}},
    asks=Network(volts="{volts}", resistors={"R1": "1 2 {inside}e3", "R2": "2 0 {sensor}e3"}, asks="volts 2 0",
                 source="Circuit Analysis (circuit-analysis.github.io), chapter Dividers"),
    why="The two share the volts as they share the ohms: the sensor has {share} of the ohms, so {share} of the volts. "
    "Wet or green contacts in its plug change the ohms. The unit then reads a wrong figure, and cannot know it.",
    hint="The same current passes both. Ohms of both together, then the sensor's part of them, then the same part of "
    "{volts} V.",
    hints=(
        "In a row each takes volts by its ohms. How many ohms are there together?",
        "Divide the sensor's ohms by all the ohms: that part of the {volts} V stands on the wire.",
        "With 9 V, 30 kΩ inside and a sensor of 60 kΩ it would be 6 V.",
    ),
    slips={
        "rest": Slip(points=2, reason="That is what the resistor inside keeps for itself. The wire has the sensor's "
                     "part."),
        "half the source": Slip(idea="equal-share", reason="Half each is what you would read if both had the same "
                                "ohms. Here it is {inside} kΩ and {sensor} kΩ: count ohms, not parts."),
        "nominal": Slip(reason="All {volts} V are on the wire only when the sensor is unplugged: then nothing flows "
                        "and the resistor inside takes nothing."),
        "nothing": Slip(reason="0 V would be a sensor wire that touches ground."),
        "thousand": Slip(points=2, reason="Look at the unit: there are only {volts} V to share."),
    },
)

ONTO_A_PIN = {
    "lamp_harm": "that sends battery volts through the lamp into {pin}. A pin made for thousandths of an amp gets a "
    "hundred times that. On a job card it costs you, and on the machine a unit.",
    "jump_harm": "the fuse is far too slow to save a chip. Battery volts on {pin} are how good units become bad ones.",
}
ONTO_AN_OUTPUT = {
    "lamp_harm": "the lamp would join plus to an output that pulls down. It then has to carry the lamp besides its "
    "relay, and it was made for the relay. A meter takes nothing and tells more.",
    "jump_harm": "the moment the output pulls down, plus and ground meet in it. The fuse is far too slow to save a "
    "chip.",
}
ONTO_A_KILL_WIRE = {
    "lamp_harm": "that sends battery volts through the lamp into the ignition module. No battery volts on a kill wire, "
    "ever.",
    "jump_harm": "battery volts on a kill wire go straight into the ignition module. It would not survive that.",
}
ONTO_A_FEED = {
    "lamp_harm": "from plus to a feed the lamp tells nothing, and the next pin is very close. One slip, and "
    "battery volts are on a signal.",
    "jump_harm": "on your wire the unit would live, and hide the very fault you look for. One slip to the next pin, "
    "and it is dead.",
}
PLACES = {
    "feed": {"place": "the loader's control unit K2: can its feed and its ground carry a load?", "fit": "lamp off",
             "pin": "K2.supply"} | ONTO_A_FEED,
    "panel": {"place": "the generator's control unit K5: can its feed and its ground carry a load?", "fit": "lamp off",
              "pin": "K5.supply"} | ONTO_A_FEED,
    "lever": {"place": "the loader's pin K2.neutral: what is the unit told at this moment, all at work?",
              "fit": "meter on", "pin": "K2.neutral"} | ONTO_A_PIN,
    "oil": {"place": "the generator's pin K5.oil: what is the unit told at this moment, all at work?",
            "fit": "meter on", "pin": "K5.oil"} | ONTO_A_PIN,
    "start": {"place": "the loader's pin K2.start: does the unit pull it to ground while start is held?",
              "fit": "meter on", "pin": "K2.start"} | ONTO_AN_OUTPUT,
    "kill": {"place": "the mower's kill wire: does it touch ground somewhere, key at run, somebody on the seat?",
             "fit": "ohms off", "pin": "X15.tab"} | ONTO_A_KILL_WIRE,
}
WHAT_MAY_GO_WHERE = Choice(
    id="13.3", version=1, title="What may go where?", picture=UNIT, criteria=("units", "prove", "safe"),
    prompt="You want to know this of {place} What do you do?",
    given={"site": tuple(PLACES)}, words=PLACES, right=Best(option="{fit}", source="common practice"),
    options=(
        Option(
            id="lamp off",
            text="Key off, plug off. Then key on, and the test lamp across two pins of the loom's plug: supply and "
            "ground",
            feedback="With the plug off, the lamp loads the loom and cannot hurt the unit. It is the test for a feed "
            "and a ground; a signal it cannot tell.",
        ),
        Option(
            id="meter on",
            text="All plugged in and at work. Meter on volts, black on battery minus, red back-probed at {pin}",
            feedback="A meter takes next to nothing, so it may sit on a pin that is at work. That also means that it "
            "loads nothing: a green joint shows full volts.",
        ),
        Option(
            id="ohms off",
            text="Engine stopped, the wire or plug off at the unit. Meter on ohms, from the wire's loose end to "
            "ground",
            feedback="Ohms are for what is dead and unplugged. So a kill wire or a switch is tested; what a unit is "
            "told at work, or what a feed can carry, ohms do not tell.",
        ),
        Option(
            id="lamp on", text="All plugged in. Test lamp: clip on battery plus, tip at {pin}",
            feedback="Stop: {lamp_harm}",
        ),
        Option(
            id="jump", text="A fused wire from battery plus to {pin}, to see whether it wakes up",
            feedback="Stop: {jump_harm}",
        ),
    ),
    hints=(
        "First: does it stay plugged in for this? Then: may anything draw current there?",
        "To load a feed you want a lamp, and the unit out of the way. To listen to a pin you want a meter, and all at "
        "work. A kill wire you want dead and loose.",
        "The boat's kill cord switch, does it close? Key off, its wires off, ohms across it.",
    ),
)

PLUG_OFF = Prediction(
    id="13.4", version=1, title="The lamp in the empty plug", picture=UNIT, criteria=("predict", "units", "prove"),
    prompt="A loader whose display stays dark. The unit's plug is off, so nothing can be hurt. You happen to know why "
    "it is dark: {cause}. The lamp's clip is on {clip_said}. What does the lamp do with its tip on each point, key off "
    "and key on? The table locks.",
    given={
        "clip": ("K2.ground", "G2.-"),
        "broken": ("W20 open", "F4 blown", "F4 high resistance 50 kohm", "W8 open"),
    },
    words={
        "K2.ground": {"clip_said": "the ground pin of the loom's plug, K2.ground"},
        "G2.-": {"clip_said": "battery minus, G2.-"},
        "W20 open": {"cause": "wire W20, from the fuse box to the unit, is broken"},
        "F4 blown": {"cause": "fuse F4 is blown"},
        "F4 high resistance 50 kohm": {"cause": "fuse F4 is whole, but a film on its blades has 50 kΩ"},
        "W8 open": {"cause": "the link W8 in the fuse box, between F3.1 and F4.1, is broken"},
    },
    # A dead unit conducts nowhere, just like one that is unplugged.
    setup=Setup(machine=LOADER, faults=("K2 dead", "{broken}")), clip="{clip}",
    points_listed="F1.2 F4.1 F4.2 K2.supply",
    columns=(Column(title="key off", positions={"key": "off"}), Column(title="key on", positions={"key": "on"})),
    feed="W20",
    why="The lamp asks the loom for a load, and the loom answers honestly. No unit was in the way, and none was at "
    "risk.",
    next="The unit is off, but the lamp itself is a load: bright wherever a sound way leads from battery plus to the "
    "tip. With the key off the main relay lets nothing into the fuse box.",
    hints=(
        "Which of these points sit behind the main relay? They have nothing while the key is off.",
        "Key on: walk from F1.2 to the plug. Where does the way end?",
        "On a sound loader all four are bright with the key on, and only F1.2 with the key off.",
    ),
)

LIVES_ON = Number(
    id="13.5", version=1, title="What is left to live on", picture=GENERATOR_UNIT, unit="V",
    criteria=("figures", "units", "drop"),
    prompt="You check the feed of the generator's control unit. Key on, panel lit, emergency stop {stop_said}. Black "
    "lead on battery minus: {supply} at the supply pin K5.supply, {ground} at the ground pin K5.ground. How many volts "
    "does the unit itself get?",
    given={
        "broken": ("X10 high resistance 5 ohm", "W19 high resistance 5 ohm", "X10 high resistance 0.5 ohm"),
        "stop": ("released", "pressed"),
    },
    words={"released": {"stop_said": "released"}, "pressed": {"stop_said": "pressed"}},
    told={
        "supply": MeterVolts(setup=Setup(machine=GENERATOR, faults=("{broken}",),
                                         positions={"key": "on", "emergency_stop": "{stop}"}),
                             red="K5.supply", black="G1.-"),
        "ground": MeterVolts(setup=Setup(machine=GENERATOR, faults=("{broken}",),
                                         positions={"key": "on", "emergency_stop": "{stop}"}),
                             red="K5.ground", black="G1.-"),
    },
    asks=MeterVolts(setup=Setup(machine=GENERATOR, faults=("{broken}",),
                                positions={"key": "on", "emergency_stop": "{stop}"}),
                    red="K5.supply", black="K5.ground"),
    within=0.005,
    why="A unit lives between its two pins. {supply} less {ground}: that is all it gets. With both leads across the "
    "two pins you read it in one go, and that is the better way.",
    hint="The unit does not know battery minus. It knows its own two pins: what stands between them?",
    hints=(
        "Volts are a difference between two points. Which two points matter to the unit?",
        "Take what its ground pin stands at from what its supply pin stands at.",
        "With 12.2 V at the supply pin and 4.0 V at the ground pin it would be 8.2 V.",
    ),
    slips={
        "from minus": Slip(
            idea="wires-never-drop",
            reason="That is the supply pin against battery minus. The unit's own ground stands {ground} above battery "
            "minus, so it gets that much less. Put the black lead on K5.ground and read again.",
        ),
        "nothing": Slip(reason="With 0 V the panel would be dark."),
        "thousand": Slip(points=2, reason="Look at the unit: volts, not thousandths."),
    },
)

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
    id="13.7", version=1, title="Four readings, then a verdict", picture=UNIT, criteria=("units", "next-test", "find"),
    prompt="The loader again, silent. Key on, neutral, bar down, start held. The meter shows {across} from K2.ground "
    "to K2.supply. From battery minus it shows {neutral} at K2.neutral, {bar} at K2.seat_bar and {start} at K2.start. "
    "Where is the fault?",
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

LAST_SUSPECT = Ordered(
    id="13.8", version=1, title="The box is the last suspect", picture=GENERATOR_UNIT, criteria=("units", "cause"),
    prompt="The panel is dark now and then, and everybody says: the control unit. Put the tests in order: first what "
    "all the rest hangs on. One of them you never do: leave it out.",
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
        Option(id="jump", text="Battery plus on its output pin, to see whether it still works",
               feedback="Never: the output is made to pull down. As soon as it does, plus and ground meet in it: it "
               "dies."),
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
