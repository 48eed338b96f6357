"""Questions of lesson 02: blocks and diagram, stage by stage, and the list of suspects.

Raise a question's ``version`` with any change here: marking refuses answers given to another version.
"""

from kit.exercises.choice import Choice, ExplainsAll, Option
from kit.exercises.explain import Explain
from kit.exercises.figures import Network, Setup
from kit.exercises.number import Number, Slip
from kit.exercises.ordered import CurrentPath, Ordered
from kit.exercises.prediction import Column, Prediction
from kit.exercises.question import Picture
from kit.exercises.several import Several

BIKE, MOWER = "orchard-bike", "ride-on-mower"
START_REQUEST = Picture(machine=MOWER, stage="start request")
LOOP = "Kuphaldt, Lessons in Electric Circuits, vol. I, component failure analysis"

STAGE_BY_STAGE = Ordered(
    id="02.1", version=1, title="From block to block", picture=Picture(machine=BIKE, stage="main feed"),
    criteria=("trace",),
    prompt="{doing} Put the stages in the order in which the current of the {load} meets them, from the battery on. "
    "Leave out the stages it does not pass.",
    given={"load part": ("E1", "M1")},
    words={
        "E1": {"load": "head lamp E1", "doing": "The key is on, nothing else.", "pressed": "released"},
        "M1": {"load": "starter motor M1", "doing": "The key is on, in neutral, and the start button is held.",
               "pressed": "pressed"},
    },
    options=(
        Option(id="main feed", text="main feed", feedback="It holds the battery: everything begins there."),
        Option(id="key feed", text="key feed", feedback="The key feeds what the key switches on. The thick cable to "
               "the starter does not ask it."),
        Option(id="start request", text="start request", feedback="Only the small current of the relay's coil goes "
               "through here, and only while the button is held."),
        Option(id="starter relay", text="starter relay", feedback="Its contact is for the starter's big current, and "
               "for nothing else."),
        Option(id="cranking circuit", text="cranking circuit", feedback="Thick cables, for the starter alone."),
        Option(id="loads", text="loads", feedback="Head lamp and control unit, each on a branch of its own."),
        Option(id="grounds", text="grounds", feedback="The way home: nothing stands behind it but the battery."),
    ),
    right=CurrentPath(
        setup=Setup(machine=BIKE, positions={"key": "on", "start_button": "{pressed}"}), load="{load part}",
        by_stage=True,
    ),
    why="Each stage hands the current on to the next, and the grounds take it home. Know the row, and you know which "
    "stages a dead lamp leaves under suspicion.",
    hints=(
        "Begin at the battery, and follow the arrows of the blocks towards the {load}.",
        "Does this current need the key? Does it need the relay's contact? What takes it home?",
        "For the control unit it would be: main feed, key feed, start request, loads, grounds.",
    ),
)

WHICH_STAGE = Choice(
    id="02.2", version=1, title="Which of these stages?", picture=Picture(machine=BIKE, stage="start request"),
    criteria=("suspects",),
    prompt="The orchard bike, key on: the head lamp is bright and so is the neutral lamp. {seen} One break does all "
    "this. In which of these stages is it?",
    given={"hidden": ("S2 stuck open", "R1 open", "B1 stuck open")},
    words={
        "S2 stuck open": {"seen": "Start pressed in neutral: not a sound. Start pressed in gear, lever pulled, stand "
                                  "up: not a sound either."},
        "R1 open": {"seen": "Start pressed in neutral: not a sound. Start pressed in gear, lever pulled, stand up: it "
                            "cranks."},
        "B1 stuck open": {"seen": "Start pressed in neutral: it cranks. Start pressed in gear, lever pulled, stand up: "
                                  "not a sound."},
    },
    right=ExplainsAll(
        seen=Setup(machine=BIKE, faults=("{hidden}",)),
        moves=(
            {"key": "on"}, {"key": "on", "start_button": "pressed"},
            {"key": "on", "start_button": "pressed", "gear": "first", "clutch_lever": "pulled", "stand": "up"},
        ),
        watch=("E1", "P1", "K1", "M1"),
    ),
    options=(
        Option(id="main feed", text="Main feed: battery, main fuse, and on to the key",
               feedback="Both lamps hang on the main feed, and both are bright: it is cleared."),
        Option(id="start request", text="Start request: stop switch, button, and the wire to the coil",
               feedback="The start request is asked for in neutral and in gear alike: broken, it is silent in both."),
        Option(id="ground side", text="Ground side: clutch switch and stand switch",
               feedback="The ground side is the coil's way home in gear. In neutral it has another."),
        Option(id="neutral interlock", text="Neutral interlock: diode and neutral switch",
               feedback="The interlock is the coil's way home in neutral only."),
        Option(id="cranking circuit", text="Cranking circuit: thick cables and starter",
               feedback="With a break in the thick cables the relay would still click. Here not even that is heard."),
    ),
    hints=(
        "What works clears every stage it needs.",
        "Compare the two ways to start: which stages does each of them need? Which are needed by both?",
        "Had the relay clicked each time and nothing turned, only the thick cables and the starter would be left.",
    ),
)

ROW = Number(
    id="02.3", version=1, title="Two in a loop", picture=START_REQUEST, unit="A", criteria=("figures",),
    prompt="A paper board: 150 Ω and 300 Ω stand one behind the other on 9 V. {state} What current flows?",
    given={"second": ("300", "1e-6")},
    words={
        "300": {"state": "Both are sound.", "way": "9 V over 450 Ω"},
        "1e-6": {"state": "A wire lies across the 300 Ω and shorts it.", "way": "9 V over the 150 Ω that are left"},
    },
    asks=Network(volts="9", resistors={"R1": "1 2 150", "R2": "2 0 {second}"}, asks="amps R1", source=LOOP),
    why="{way}: volts divided by ohms. A short takes its part out of the loop, and the current rises.",
    hint="Add the ohms that are left in the loop, then divide the volts by them.",
    hints=(
        "How many ohms are in the one loop there is?",
        "Amps are volts divided by ohms. Answer in amps or in milliamps (mA): a thousandth.",
        "12 V over 600 Ω would be 0.02 A, which is 20 mA.",
    ),
    slips={
        "nothing": Slip(reason="Nothing would flow if the loop were open. It is closed."),
        "thousand": Slip(points=2, reason="The figures are right: now the unit. Volts over ohms are amps; a thousandth "
                         "of an amp is a milliamp."),
        "own ohms only": Slip(points=1, idea="only-upstream-matters",
                              reason="That is 9 V over 150 Ω, as if the first part alone decided. What comes behind it "
                              "holds the current back as much: the loop is one thing."),
        "half": Slip(reason="Half is what you would get if the current were shared out. There is one loop: all of it "
                     "goes through both.", idea="current-shared-out"),
    },
)

BREAK = Number(
    id="02.4", version=1, title="Where the volts are", picture=START_REQUEST, unit="V", criteria=("figures", "predict"),
    prompt="The same board: 150 Ω and 300 Ω on 9 V. {state} What does a meter show across the place of the 300 Ω?",
    given={"second": ("300", "1e12")},
    words={
        "300": {"state": "Both are sound.",
                "way": "Two thirds of the ohms, so two thirds of the volts"},
        "1e12": {"state": "The 300 Ω one is burnt through: an open break.",
                 "way": "No current, so the 150 Ω loses nothing, and all 9 V stand across the break"},
    },
    asks=Network(volts="9", resistors={"R1": "1 2 150", "R2": "2 0 {second}"}, asks="volts 2 0", source=LOOP),
    why="{way}. That is how a break is found: look for volts where there should be few.",
    hint="Does a current flow? If so, share the volts by ohms. If not, ask who loses volts at all.",
    hints=(
        "Is the loop closed or open?",
        "Closed: each takes its share, by ohms. Open: nothing flows, so nothing is lost on the way to the break.",
        "With 100 Ω and 200 Ω on 12 V: 4 V and 8 V. With one of them open: 12 V across it.",
    ),
    slips={
        "equal share": Slip(idea="equal-share", reason="4.5 V is what you would read if both got the same. Ohms "
                            "decide, not the count."),
        "nothing": Slip(idea="no-current-no-volts", reason="0 V is what you would read if volts needed a current. "
                        "Across an open break stands all the battery has; lay the meter across one on the bay."),
        "rest": Slip(points=1, reason="That is what the other one has."),
        "nominal": Slip(reason="9 V is what both have together."),
        "thousand": Slip(points=2, reason="Look at the unit: it is a 9 V battery."),
    },
)

SUSPECTS = Several(
    id="02.5", version=1, title="The list of suspects", picture=START_REQUEST, criteria=("suspects",),
    prompt="The mower, seat taken, brake down, blades off. Key at run: the hour counter is lit. Key at start: {seen} "
    "One fault does all this. Tick every one that could.",
    given={"hidden": ("B1 stuck open", "W8 open")},
    words={
        "B1 stuck open": {"seen": "not a sound."},
        "W8 open": {"seen": "the solenoid clicks, and nothing turns."},
    },
    right=ExplainsAll(
        seen=Setup(machine=MOWER, faults=("{hidden}",), positions={"brake_pedal": "down", "seat": "taken"}),
        moves=({"key": "run"}, {"key": "start"}), watch=("K3", "K1", "M1"),
    ),
    options=(
        Option(id="F1 blown", text="main fuse F1 blown", feedback="The hour counter hangs on it, and it is lit."),
        Option(id="F2 blown", text="branch fuse F2 blown", feedback="It feeds the hour counter, and that is lit."),
        Option(id="B1 stuck open", text="brake switch B1 does not close", feedback="It stands in the start request: "
               "with it open the solenoid is silent."),
        Option(id="W7 open", text="wire W7 to the solenoid broken", feedback="Without it the solenoid is silent."),
        Option(id="X10 open", text="solenoid case has no ground at X10", feedback="The case is the coil's way home: "
               "without it the solenoid is silent."),
        Option(id="K1 contacts open", text="solenoid contacts K1 burnt away", feedback="Then the solenoid still "
               "clicks, and the starter gets nothing."),
        Option(id="W8 open", text="starter cable W8 broken", feedback="Then the solenoid still clicks."),
        Option(id="M1 open", text="brushes of the starter M1 worn out", feedback="Then the solenoid still clicks."),
    ),
    why="What works clears what it needs: the hour counter clears the feed. A click clears the start request; silence "
    "clears nothing behind it.",
    hints=(
        "What does the lit hour counter clear? Strike that out.",
        "Click or no click parts the rest in two: what asks the solenoid, and what it switches.",
        "On the bike, head lamp bright and a click without cranking would leave: contacts, thick cable, starter.",
    ),
)

THREE_IN_A_ROW = Prediction(
    id="02.6", version=1, title="Three contacts in a row", picture=START_REQUEST, criteria=("predict", "trace"),
    prompt="The mower is sound. The clip of the lamp is on battery minus, G1.-. The key is held at start, blades "
    "{blades}. What does the lamp do at each point, brake pedal up and brake pedal down? The table locks before you "
    "see the readings.",
    given={"blades": ("off", "on"), "points": ("S2.2 B1.1 B1.2 B2.2", "S2.1 S2.2 B1.2 K1.86", "S2.2 B1.2 B2.1 K1.86")},
    setup=Setup(machine=MOWER, positions={"key": "start", "blades": "{blades}", "seat": "taken"}),
    clip="G1.-", points_listed="{points}",
    columns=(
        Column(title="brake up", positions={"brake_pedal": "up"}),
        Column(title="brake down", positions={"brake_pedal": "down"}),
    ),
    feed="K1.coil",
    why="Plus walks as far as the first open contact and no further. Behind it the solenoid's coil joins the wire to "
    "ground, and the lamp is out.",
    next="Walk from the key switch on: at each switch ask whether it is closed just now. The first open one is the end "
    "of plus.",
    hints=(
        "Three switches stand in a row: start contact of the key, brake switch, blade switch.",
        "Brake up opens B1, blades on open B2. Which points lie before the first open one?",
        "With the key only at run, plus would end at the first contact, and all four points behind it would be out.",
    ),
)

WHY_STAGES = Explain(
    id="02.7", version=1, title="Say it to the owner", picture=START_REQUEST, criteria=("report", "suspects"),
    prompt="The owner of the mower says: “You have not even touched it, and you say it is not the battery. How can you "
    "know?” Answer in two or three plain sentences.",
    rubric=(
        "names something that was seen to work (hour counter, lamp, click)",
        "says that it needs the battery and the main feed too",
        "says what is left to look at",
    ),
    model="The hour counter lights up, and it gets its current from the same battery, through the same main fuse. So "
    "that far all is well. What is left is the small circuit that asks the solenoid to pull in, and there I begin.",
)

QUESTIONS = (STAGE_BY_STAGE, WHICH_STAGE, ROW, BREAK, SUSPECTS, THREE_IN_A_ROW, WHY_STAGES)
