"""Questions of lesson 09: the ground side. Clutch, stand and neutral switches, and the interlock diode.

Raise a question's ``version`` with any change here: marking refuses answers given to another version.
"""

from kit.exercises.choice import Best, Choice, ExplainsAll, Option
from kit.exercises.diodes import DiodeKeeps
from kit.exercises.explain import Explain
from kit.exercises.figures import MeterVolts, Setup
from kit.exercises.job_question import JobQuestion
from kit.exercises.next_test import NextTest
from kit.exercises.number import Number, Slip
from kit.exercises.ordered import CurrentPath, Ordered
from kit.exercises.prediction import Column, Prediction
from kit.exercises.question import Picture
from kit.exercises.several import Several

BIKE = "orchard-bike"
GROUND_SIDE = Picture(machine=BIKE, stage="ground side")
NEUTRAL = Picture(machine=BIKE, stage="neutral interlock")
IN_GEAR = {"gear": "first", "clutch_lever": "pulled", "stand": "up"}

ONLY_IN_GEAR = "That is the way home in gear: lever pulled and stand up close it."
ONLY_IN_NEUTRAL = "That is the way home in neutral."
WAY_HOME = Ordered(
    id="09.1", version=1, title="Two ways home", picture=GROUND_SIDE, criteria=("trace",),
    prompt="{doing} Which way does the current of the {load} go home? Put the parts in the order in which it meets "
    "them. Leave out what it does not pass.",
    given={"passes": ("B1", "R1", "P1")},
    words={
        "B1": {"doing": "First gear, stand up, clutch lever pulled, and the start button is held.",
               "load": "relay's coil", "gear": "first", "lever": "pulled", "stand": "up", "button": "pressed"},
        "R1": {"doing": "Neutral, stand down, clutch lever out, and the start button is held.",
               "load": "relay's coil", "gear": "neutral", "lever": "released", "stand": "down", "button": "pressed"},
        "P1": {"doing": "Neutral, stand down, clutch lever out, key on. The start button is not touched.",
               "load": "neutral lamp", "gear": "neutral", "lever": "released", "stand": "down", "button": "released"},
    },
    options=(
        Option(id="K1", text="coil of relay K1", feedback="The coil has current only while the start button is held."),
        Option(id="P1", text="neutral lamp P1", feedback="The lamp is on a branch of its own."),
        Option(id="B1", text="clutch switch B1", feedback=ONLY_IN_GEAR),
        Option(id="B3", text="stand switch B3", feedback=ONLY_IN_GEAR),
        Option(id="X9", text="frame X9", feedback="The stand switch is grounded on the frame, the neutral switch on "
               "the engine."),
        Option(id="R1", text="interlock diode R1", feedback="The diode joins the coil to the neutral switch. It lets "
               "the coil's current through, and none the other way."),
        Option(id="B2", text="neutral switch B2", feedback=ONLY_IN_NEUTRAL),
        Option(id="X7", text="engine block X7", feedback="The neutral switch sits in the gear case: the block is its "
               "way home."),
    ),
    right=CurrentPath(
        setup=Setup(machine=BIKE, positions={
            "key": "on", "gear": "{gear}", "clutch_lever": "{lever}", "stand": "{stand}", "start_button": "{button}"}),
        load="{passes}",
    ),
    why="Plus is at one end of the coil as soon as the button is held. What decides is the other end: it must find a "
    "way home, through the lever and the stand, or in neutral through the diode.",
    hints=(
        "Which switches are closed just now?",
        "From K1.85 two ways lead on: W12 to the clutch switch, and W17 to the diode. Which of them gets to ground?",
        "For the head lamp it would be: lamp, loom ground, frame.",
    ),
)

COLUMNS = (
    Column(title="lever pulled", positions={"clutch_lever": "pulled", "stand": "up"}),
    Column(title="lever out", positions={"clutch_lever": "released", "stand": "up"}),
    Column(title="stand down", positions={"clutch_lever": "pulled", "stand": "down"}),
)
CLIP_ON_PLUS = Prediction(
    id="09.2", version=1, title="The clip on plus", picture=GROUND_SIDE, criteria=("predict", "prove"),
    prompt="The bike is sound. Key on, first gear; start is not touched. The clip is on battery PLUS, {clip}. First "
    "the stand is up, with the lever pulled, then out; last the stand is down, with the lever pulled. What does the "
    "lamp do with its tip on each point? The table locks before you see the readings.",
    given={
        "clip": ("G1.+", "X1.clamp"),
        "points": ("B1.1 B1.2 B3.2", "K1.85 B1.2 B3.2", "B1.1 B3.1 X12.eye", "K1.85 B3.1 B3.2"),
    },
    setup=Setup(machine=BIKE, positions={"key": "on", "gear": "first"}), clip="{clip}",
    points_listed="{points}", columns=COLUMNS, feed="K1.coil",
    why="The clip brings plus, so the tip looks for ground. It finds it from the frame back as far as the first open "
    "switch. Beyond that the wire floats, and the lamp is out.",
    next="Start at the frame and walk back towards the coil. At each switch ask: closed just now? The first open one "
    "is the end of ground.",
    hints=(
        "With the clip on plus the lamp is lit where the tip finds a way to minus.",
        "Lever pulled closes B1, stand up closes B3. From the frame back: where is the first gap?",
        "At the frame itself, X9.frame, it is bright whatever you do with lever and stand.",
    ),
)

# What of the way home in gear is cleared, and the four that are left, from the coil to the frame.
HOMES = {
    "W14": {"known": "With the tip on B3.2 the lamp is bright.", "one": "B1.1", "only": "wire W12",
            "four": "W12 open, B1 stuck open, W13 open, B3 stuck open"},
    "W12": {"known": "Wire W12, from the coil, is whole: it was measured dead.", "one": "B3.2", "only": "wire W14",
            "four": "B1 stuck open, W13 open, B3 stuck open, W14 open"},
    "W13": {"known": "Wire W13, between the switches, is whole: it was measured dead.", "one": "B3.2",
            "only": "wire W14", "four": "W12 open, B1 stuck open, B3 stuck open, W14 open"},
    "B1": {"known": "The clutch switch is sound: unplugged and measured, it closes.", "one": "B3.2", "only": "wire W14",
           "four": "W12 open, W13 open, B3 stuck open, W14 open"},
    "B3": {"known": "The stand switch is sound: unplugged and measured, it closes.", "one": "B3.2", "only": "wire W14",
           "four": "W12 open, B1 stuck open, W13 open, W14 open"},
}
NEXT = NextTest(
    id="09.3", version=2, title="Half the way", picture=GROUND_SIDE, criteria=("next-test", "suspects"),
    prompt="In gear, lever pulled, stand up: no click. In neutral it cranks. The lamp's clip is on G1.+, the key on. "
    "{known} Four suspects are left, all on the coil's way home. Where do you put the tip, and whom does each outcome "
    "leave?",
    given={"cleared": tuple(HOMES)}, words=HOMES,
    seen=Setup(machine=BIKE, positions={"key": "on", **IN_GEAR}), clip="G1.+",
    tips=("K1.85", "B1.1", "B1.2", "B3.1", "B3.2"),
    suspects={
        "W12 open": "wire W12, from the coil to the clutch switch, is broken",
        "B1 stuck open": "clutch switch B1 does not close",
        "W13 open": "wire W13, between the two switches, is broken",
        "B3 stuck open": "stand switch B3 does not close",
        "W14 open": "wire W14, from the stand switch to the ground eyelet, is broken",
    },
    chosen="{four}", count=4,
    why="On the ground side lit means: from here home all is well, so look towards the coil. Out means: the gap lies "
    "between here and the frame. That is the other way round than on the plus side.",
    hints=(
        "Write the four in a row, from the coil to the frame. Which test point cuts the row in half?",
        "Lit: the way from here to the frame is whole. So who is left?",
        "On {one} it would be {only} alone on the one side, and three on the other.",
    ),
)

COIL_HOME = Setup(machine=BIKE, faults=("W9 open",), positions={
    "key": "on", "start_button": "pressed", "gear": "{gear}", "clutch_lever": "{lever}", "stand": "{stand}"})
NOT_ZERO = Number(
    id="09.4", version=1, title="A sound ground is not zero", picture=NEUTRAL, criteria=("predict", "drop"), unit="V",
    prompt="The bike is sound; its starter cable is off, so that nothing cranks. {doing}, start held: the relay "
    "clicks, and the coil takes about 3 A. The meter shows {first} across {what}, and {rest} from there on to {black}. "
    "Now the black lead is on {black}, and the red one on the coil's ground pin, K1.85. What does it show?",
    given={"way": ("neutral", "first"), "black": ("G1.-", "X2.clamp", "X9.frame")},
    words={
        "neutral": {"doing": "Neutral", "gear": "neutral", "lever": "released", "stand": "down", "there": "R1.K",
                    "what": "the interlock diode with its wire, from K1.85 to R1.K"},
        "first": {"doing": "First gear, lever pulled, stand up", "gear": "first", "lever": "pulled", "stand": "up",
                  "there": "B1.2", "what": "the clutch switch with its wire, from K1.85 to B1.2"},
    },
    told={"first": MeterVolts(setup=COIL_HOME, red="K1.85", black="{there}"),
          "rest": MeterVolts(setup=COIL_HOME, red="{there}", black="{black}")},
    asks=MeterVolts(setup=COIL_HOME, red="K1.85", black="{black}"),
    why="{first} and {rest} one behind the other. In gear a few tenths of a volt are healthy. In neutral about 0.8 V "
    "are, for the diode keeps most of them. Far more would be a bad contact; battery volts would be no way home.",
    hint="Walk from {black} back to K1.85, and add what you pass.",
    hints=(
        "A current flows. Does everything on its way keep a little?",
        "The two readings lie one behind the other on the way home. Add them.",
        "With 0.75 V and 0.30 V it would show 1.05 V.",
    ),
    slips={
        "nothing": Slip(
            idea="wires-never-drop",
            reason="0 V is what you would read if nothing on the way home kept anything, or if no current flowed. Here "
            "3 A do. Hold start on the bay, and read.",
        ),
        "nominal": Slip(
            reason="12 V is what you would read if the way home were broken: then the coil passes no current and loses "
            "nothing. Here the relay has clicked.",
        ),
        "reversed": Slip(points=2, reason="The size is right. The red lead is on the higher point, so no minus sign."),
        "thousand": Slip(points=2, reason="A thousand times too much: look at the unit."),
    },
)

# Published: a diode with 18.8 nA and emission 2 at 27 °C passes 14.16 mA at 0.7 V, 0.6765 A at 0.9 V, 4.676 A at 1.0 V
# (Kuphaldt, Lessons in Electric Circuits, vol. III, diode model).
DIODE = Number(
    id="09.5", version=1, title="Ten times the amps", picture=NEUTRAL, criteria=("figures",), unit="V",
    prompt="From a textbook: a certain diode keeps {told} V when {known} go through it. For every ten times the amps "
    "it keeps 0.12 V more; for a tenth of the amps, 0.12 V less. How many volts does it keep at {asked}?",
    given={"pair": ("1.416 A", "0.1416 A", "46.76 mA", "467.6 mA", "6.765 A", "6.765 mA")},
    words={
        "1.416 A": {"asked": "1.416 A", "amps": "1.416", "known": "14.16 mA", "from": "0.01416", "told": "0.70",
                    "sum": "0.70 V and twice 0.12 V"},
        "0.1416 A": {"asked": "0.1416 A", "amps": "0.1416", "known": "14.16 mA", "from": "0.01416", "told": "0.70",
                     "sum": "0.70 V and once 0.12 V"},
        "467.6 mA": {"asked": "0.4676 A", "amps": "0.4676", "known": "4.676 A", "from": "4.676", "told": "1.00",
                     "sum": "1.00 V less once 0.12 V"},
        "46.76 mA": {"asked": "46.76 mA", "amps": "0.04676", "known": "4.676 A", "from": "4.676", "told": "1.00",
                     "sum": "1.00 V less twice 0.12 V"},
        "6.765 A": {"asked": "6.765 A", "amps": "6.765", "known": "0.6765 A", "from": "0.6765", "told": "0.90",
                    "sum": "0.90 V and once 0.12 V"},
        "6.765 mA": {"asked": "6.765 mA", "amps": "0.006765", "known": "0.6765 A", "from": "0.6765", "told": "0.90",
                     "sum": "0.90 V less twice 0.12 V"},
    },
    asks=DiodeKeeps(amps="{amps}", from_amps="{from}", saturation_amps="18.8e-9", emission="2"),
    why="{sum}. A diode is no resistor: its volts hardly care how many amps there are. So about 0.8 V at a relay's "
    "coil is the mark of a sound diode, whatever the coil.",
    hint="Count how many times you go by ten from {known} to {asked}. Each time is 0.12 V.",
    hints=(
        "Is it more amps than {known}, or fewer? Then it is more volts, or fewer.",
        "Count the steps of ten from {known} to {asked}, and take 0.12 V for each.",
        "At 0.80 V and 0.1 A, it would be 1.04 V at 10 A: two steps of ten.",
    ),
    slips={
        "as a resistor": Slip(
            reason="That would be a resistor: ten times the amps, ten times the volts. A diode adds only 0.12 V for "
            "each step of ten. Measure one on the bay with the coil on: well under one volt.",
        ),
        "one step": Slip(points=2, reason="That is one step of ten. From {known} to {asked} there are more."),
        "wrong way": Slip(points=1, reason="The size of the step is right, and its direction is not: more amps, more "
                          "volts."),
        "as told": Slip(points=1, reason="Nearly: it hardly changes, but 0.12 V for each step of ten it does."),
        "nothing": Slip(idea="wires-never-drop", reason="A valve without any loss would be fine; there is none. Put a "
                        "meter across the diode on the bay, with start held."),
        "thousand": Slip(points=2, reason="Look at the unit once more: volts, or millivolts?"),
    },
)

WHOSE_FAULT = Several(
    id="09.6", version=1, title="What does the lamp tell?", picture=NEUTRAL, criteria=("suspects", "starting"),
    prompt="The bike in gear, stand up, key on; then in neutral. {seen} One fault does all this. Tick every one that "
    "could.",
    given={"hidden": ("R1 open", "R1 shorted", "R1 reversed", "B2 stuck closed")},
    words={
        "R1 open": {"seen": "Gear in: the neutral lamp is out, lever out or pulled. Neutral: it is lit, and start "
                            "pressed with the lever out gives no click."},
        "R1 shorted": {"seen": "Gear in, lever out: the neutral lamp is out. Gear in, lever pulled: it is lit. "
                               "Neutral: it is lit, and with start pressed it cranks."},
        "R1 reversed": {"seen": "Gear in, lever out: the neutral lamp is out. Gear in, lever pulled: it is lit. "
                                "Neutral: it is lit, and start pressed with the lever out gives no click."},
        "B2 stuck closed": {"seen": "Gear in: the neutral lamp is lit, lever out or pulled. Neutral: it is lit, and "
                                    "with start pressed it cranks."},
    },
    right=ExplainsAll(
        seen=Setup(machine=BIKE, faults=("{hidden}",), positions={"key": "on"}),
        moves=(
            {"gear": "first", "stand": "up"}, {"gear": "first", "stand": "up", "clutch_lever": "pulled"},
            {"gear": "neutral"}, {"gear": "neutral", "start_button": "pressed"},
        ),
        watch=("P1", "K1", "M1"),
    ),
    options=(
        Option(id="R1 open", text="the interlock diode R1 passes neither way",
               feedback="Then the coil has no way home in neutral, and the lamp is right in every gear."),
        Option(id="R1 shorted", text="the interlock diode R1 passes both ways",
               feedback="Then the lamp finds a second way home: back through the diode, when lever and stand close."),
        Option(id="R1 reversed", text="the interlock diode R1 was put in the wrong way round",
               feedback="Then the coil has no way home in neutral, and the lamp finds one through lever and stand."),
        Option(id="W17 open", text="wire W17, from the coil to the diode, is broken",
               feedback="Then the coil has no way home in neutral, and the lamp is right in every gear."),
        Option(id="W18 open", text="wire W18, from the diode to the neutral switch, is broken",
               feedback="Then the coil has no way home in neutral, and the lamp is right in every gear."),
        Option(id="B2 stuck closed", text="the neutral switch B2 does not open any more",
               feedback="Then the lamp is lit in every gear, lever in or out."),
        Option(id="W16 shorted to ground", text="wire W16, from the lamp to the neutral switch, is rubbed through",
               feedback="Then the lamp is lit in every gear, lever in or out."),
        Option(id="B2 stuck open", text="the neutral switch B2 does not close any more",
               feedback="Then the lamp is out in neutral too."),
    ),
    why="Lamp and coil share the neutral switch; the diode lets the coil's current in and keeps the lamp's from going "
    "out to the clutch switch. So watch both, lever out and lever pulled.",
    hints=(
        "When is the lamp right, and when does it lie? What does the lever change?",
        "Take the suspects one by one: lamp in gear, lever out; lever pulled; then the click in neutral.",
        "With the neutral switch dead open, the lamp would be out in every gear, and neutral would not crank.",
    ),
)

BRIDGED = Choice(
    id="09.7", version=1, title="It is needed by noon", picture=GROUND_SIDE, criteria=("safe", "report"),
    prompt="The {switch} is worn out; the new one comes on Thursday. The picker needs the bike by noon. “Put a wire "
    "across it,” he says, “it is only a switch.” What do you do?",
    given={"part": ("B1", "B2", "B3")},
    words={
        "B1": {"switch": "clutch switch", "then": "jumps forward in gear when somebody touches start"},
        "B2": {"switch": "neutral switch", "then": "cranks in gear, and jumps, when somebody touches start"},
        "B3": {"switch": "stand switch", "then": "is ridden off with its stand down, and throws its rider"},
    },
    right=Best(option="out of use", source="common practice"),
    options=(
        Option(
            id="out of use", text="No bridge. Tag it out of use until Thursday, tell him why, and write it down",
            feedback="Right. An interlock is there for the day somebody makes a mistake. With a bridge the bike "
            "{then}. For a test you may lay a fused link across it, with you beside it, written down, and taken off "
            "again.",
        ),
        Option(
            id="till thursday", text="Bridge it with a good soldered wire, just until Thursday",
            feedback="Thursday comes, and the wire stays. Until then the bike {then}. The work would be yours.",
        ),
        Option(
            id="with note", text="Bridge it, and hang a note on the handlebar that says so",
            feedback="A note is read by those who can read it and look at it. The bike {then} all the same.",
        ),
        Option(
            id="fused", text="Leave a fused link across it; with a fuse nothing can happen",
            feedback="The fuse is there for the wire; it saves no person. A fused link is for a test with you beside "
            "it, and comes off before anybody rides.",
        ),
    ),
    hints=(
        "What is this switch for?",
        "Think of the one person who does not know about the wire.",
        "A guard off a saw would be the same question.",
    ),
)

FIND_IT = JobQuestion(
    id="09.8", version=1, title="Job card J7: only in neutral", picture=GROUND_SIDE, card="J7",
    criteria=("find", "starting", "cause", "repair", "safe"),
    prompt="A bike that starts in neutral and not in gear. Say what you suspect, and why, before you test. Prove it "
    "with the clip on plus, find out why it happened, put it right, and try every interlock.",
)

EXPLAIN = Explain(
    id="09.9", version=1, title="Tell a friend", picture=GROUND_SIDE, criteria=("report", "prove"),
    prompt="A friend tests the clutch switch with the clip on battery minus. The lamp is out, lever in and lever out. "
    "“The switch is dead,” he says. In two or three plain sentences: what do his readings tell, and what should he do?",
    rubric=(
        "says that both ends of the lamp stand on minus, or on a wire that floats, so that it is out either way",
        "puts the clip on battery plus, so that the tip looks for ground",
        "says what a sound switch shows: out with the lever out, lit with the lever pulled",
    ),
    model="They tell nothing: with the clip on minus a switch on the ground side leaves the lamp out, closed or open. "
    "Put the clip on battery plus and the tip on the coil's side of the switch. A sound one lights the lamp with the "
    "lever pulled, and leaves it out with the lever out.",
)

QUESTIONS = (WAY_HOME, CLIP_ON_PLUS, NEXT, NOT_ZERO, DIODE, WHOSE_FAULT, BRIDGED, FIND_IT, EXPLAIN)
