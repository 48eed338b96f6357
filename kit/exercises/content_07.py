"""Questions of lesson 07: switches in a row, on the ride-on mower's start request.

Raise a question's ``version`` with any change here: marking refuses answers given to another version.
"""

from kit.exercises.choice import Option
from kit.exercises.explain import Explain
from kit.exercises.figures import MeterVolts, Network, Setup
from kit.exercises.job_question import JobQuestion
from kit.exercises.next_test import NextTest
from kit.exercises.number import Number, Slip
from kit.exercises.ordered import CurrentPath, Ordered
from kit.exercises.prediction import Column, Prediction
from kit.exercises.question import Picture
from kit.exercises.standing import Standing

MOWER = "ride-on-mower"
START_REQUEST = Picture(machine=MOWER, stage="start request")
# As the owner sits on it: key held at start, somebody on the seat.
HELD = {"key": "start", "seat": "taken"}
READY = HELD | {"brake_pedal": "down", "blades": "off"}

OTHER_COIL = "It belongs to the other coil's way. Two small currents leave the same fuse and never meet again."

TWO_COILS = Ordered(
    id="07.1", version=1, title="Which switches ask which coil?", picture=START_REQUEST, criteria=("trace",),
    prompt="The mower is sound. Seat taken, brake down, blades off. {doing} From the main fuse on: put the parts in "
    "the order in which the current of {coil} meets them. Leave out what that current does not pass.",
    given={"way": ("B1", "B3")},
    words={
        "B1": {"doing": "The key is held at start.", "coil": "the starter solenoid's coil", "key": "start"},
        "B3": {"doing": "The key is at run.", "coil": "the run relay's coil", "key": "run"},
    },
    options=(
        Option(id="F1", text="main fuse F1", feedback="All small currents of the mower pass the main fuse. Begin "
               "there."),
        Option(id="S1", text="run contact S1 of the key switch", feedback=OTHER_COIL),
        Option(id="S2", text="start contact S2 of the key switch", feedback=OTHER_COIL),
        Option(id="B1", text="brake switch B1", feedback=OTHER_COIL),
        Option(id="B2", text="blade switch B2", feedback=OTHER_COIL),
        Option(id="B3", text="seat switch B3", feedback="The seat switch sits behind the run relay's coil. The "
               "starter solenoid does not ask the seat."),
        Option(id="K1", text="coil of the starter solenoid K1", feedback=OTHER_COIL),
        Option(id="K2", text="coil of the run relay K2", feedback=OTHER_COIL),
    ),
    right=CurrentPath(
        setup=Setup(machine=MOWER, positions={"key": "{key}", "seat": "taken", "brake_pedal": "down"}), load="{way}",
    ),
    why="Each part of that row can silence this coil, and nothing outside it can. So a silent coil has a short list "
    "of suspects: its own row, and its way home.",
    hints=(
        "Put your finger on the main fuse, and follow the line towards {coil}.",
        "At the key switch the line parts in two. Which contact leads to this coil?",
        "The head lamps' row would be: main fuse, run contact, lamp fuse, light switch, lamps.",
    ),
)

GAPS = Standing(
    id="07.2", version=1, title="Which piece hangs on nothing?", picture=START_REQUEST, criteria=("trace", "predict"),
    prompt="The mower is sound. Somebody sits on it, the key is {where}, and the brake pedal is up. How does each "
    "point stand: joined to plus (live), joined to minus (ground), or to neither (floating)? Say it for the blade "
    "lever off and on. The table locks before you see how they stand.",
    given={"key": ("start", "run"), "points": ("B1.1 B1.2 B2.1 K1.86", "S2.2 B1.2 B2.2 K1.86", "S2.2 B1.1 B2.1 B2.2")},
    words={
        "start": {"where": "held at start", "how far": "Plus comes as far as the brake switch"},
        "run": {"where": "at run", "how far": "At run the start contact S2 is open, so plus ends at the key switch"},
    },
    setup=Setup(machine=MOWER, positions={"key": "{key}", "seat": "taken"}), points_listed="{points}",
    columns=(
        Column(title="blades off", positions={"brake_pedal": "up", "blades": "off"}),
        Column(title="blades on", positions={"brake_pedal": "up", "blades": "on"}),
    ),
    why="{how far}. From the other end, minus comes back through the solenoid's coil as far as the first gap it "
    "meets. What lies between two gaps is joined to nothing.",
    next="Mark the open switches first. Then walk from plus to the first gap, and from ground, through the coil, back "
    "to the first gap. What is left over floats.",
    hints=(
        "Which of S2, B1 and B2 are open just now? Each of them is a gap.",
        "A coil is a wire: through it K1.86 is joined to the case, and so to minus.",
        "Brake down and blades on, key at start: plus comes as far as B2.1, and only B2.2 and K1.86 are ground.",
    ),
)

ACROSS_OPEN = Number(
    id="07.3", version=1, title="A meter across an open switch", picture=START_REQUEST, unit="V",
    criteria=("predict", "figures"),
    prompt="The mower is sound; its battery shows {battery}. The key is held at start and {doing}. Red lead on {red}, "
    "black lead on {black}, across the {switch}. What does the meter show?",
    given={"open": ("B1", "B2"), "leads": ("straight", "swapped")},
    words={
        "B1": {"doing": "the brake pedal is up, the blade lever off", "switch": "brake switch", "brake": "up",
               "blades": "off", "in": "B1.1", "out": "B1.2"},
        "B2": {"doing": "the brake pedal is down, the blade lever on", "switch": "blade switch", "brake": "down",
               "blades": "on", "in": "B2.1", "out": "B2.2"},
        "straight": {"red": "{in}", "black": "{out}"},
        "swapped": {"red": "{out}", "black": "{in}"},
    },
    told={"battery": MeterVolts(setup=Setup(machine=MOWER, positions={"key": "run"}), red="G1.+", black="G1.-")},
    asks=MeterVolts(
        setup=Setup(machine=MOWER, positions=HELD | {"brake_pedal": "{brake}", "blades": "{blades}"}),
        red="{red}", black="{black}",
    ),
    why="{in} is live. {out} is ground, through the solenoid's coil, and with no current the coil costs nothing. So "
    "all the battery stands across the one open switch. The sign says which lead is nearer to plus.",
    hint="Ask of each lead where it is still joined to: {in} to battery plus, {out} through the coil to battery minus. "
    "Nothing flows, so nothing is lost on the way.",
    hints=(
        "Is {in} live, ground or floating? And {out}?",
        "No current flows. So nothing on the way loses volts, and the meter sees both ends of the battery.",
        "Across the open key contact, with all else closed, it would be the same: all that the battery has.",
    ),
    slips={
        "nothing": Slip(
            idea="no-current-no-volts",
            reason="0 V is what you would read if volts needed a current, and it is what a closed switch shows. Here "
            "it is open: {in} is joined to plus, {out} to minus. Hold the meter across it on the bay.",
        ),
        "reversed": Slip(points=2, reason="The size is right. Now the sign: which lead is nearer to battery plus? The "
                         "meter shows red against black."),
        "nominal": Slip(points=2, reason="All the battery has: that is the idea. 12 V is only its name, and you were "
                        "told what it shows today."),
        "half": Slip(
            idea="equal-share",
            reason="That gives half to the gap and half to the coil. Volts go by resistance. A gap has more than "
            "anything else, so it takes all of them.",
        ),
        "thousand": Slip(points=2, reason="A thousand times too much: look at the k before the V."),
    },
)

# Two resistances in a row share the volts: Kuphaldt, Lessons in Electric Circuits, vol. I, voltage divider circuits.
DIVIDER = "Kuphaldt, Lessons in Electric Circuits, vol. I, voltage divider circuits"
DIRTY = Number(
    id="07.4", version=1, title="Closed, and yet not good", picture=START_REQUEST, unit="V",
    criteria=("figures", "drop"),
    prompt="Wet grass has got into a switch of the row. It closes, but its dirty contact has {dirt} Ω. The solenoid's "
    "coil has 4 Ω; leave the wires out. The battery has {battery} V. Key at start: what does a meter show across the "
    "closed, dirty switch?",
    given={"dirt": ("5", "6", "8", "12"), "battery": ("12.4", "12.6")},
    words={"5": {"sum": "9"}, "6": {"sum": "10"}, "8": {"sum": "12"}, "12": {"sum": "16"}},
    told={"coil": Network(volts="{battery}", resistors={"R1": "1 2 {dirt}", "R2": "2 0 4"}, asks="volts 2 0",
                          source=DIVIDER)},
    asks=Network(volts="{battery}", resistors={"R1": "1 2 {dirt}", "R2": "2 0 4"}, asks="volts 1 2", source=DIVIDER),
    why="{dirt} of the {sum} Ω sit in the dirt, so it takes {dirt} of every {sum} volts. The coil is left with "
    "{coil}, and needs about 7 V to pull in: silence. And yet a lamp behind the switch is not quite out.",
    hint="One row, one current: {battery} V over {sum} Ω. That current, times {dirt} Ω, is what the dirt takes.",
    hints=(
        "Dirt and coil stand in one row: the same current goes through both.",
        "Add the ohms: {dirt} and 4. What share of them has the dirt? It takes that share of the volts.",
        "With 4 Ω of dirt it would be half and half: 4 of 8 Ω.",
    ),
    slips={
        "nothing": Slip(
            idea="wires-never-drop",
            reason="0 V is what you would read across a clean contact. This one has {dirt} Ω and carries more than "
            "half an amp: that costs volts, closed or not.",
        ),
        "equal share": Slip(
            idea="equal-share",
            reason="That is what you would read if both got the same. Volts go by resistance: {dirt} Ω takes more than "
            "4 Ω.",
        ),
        "nominal": Slip(
            reason="All the battery is what you would read across an open switch. This one is closed: a current flows, "
            "and the coil takes its share.",
        ),
        "rest": Slip(points=2, reason="That is what the coil has. You found the way; the dirt has what is left."),
        "thousand": Slip(points=2, reason="The figure is right and the unit a thousand off."),
    },
)

BREAKS = {
    "B1 stuck open": {"cause": "The brake switch B1 does not close any more.", "before": "B1.1", "after": "B1.2"},
    "W6 open": {"cause": "Wire W6, from the brake switch to the blade switch, is broken inside its insulation.",
                "before": "B1.2", "after": "B2.1"},
    "B2 stuck open": {"cause": "The blade switch B2 does not close any more.", "before": "B2.1", "after": "B2.2"},
    "W7 open": {"cause": "Wire W7, from the blade switch to the solenoid, is broken inside its insulation.",
                "before": "B2.2", "after": "K1.86"},
}

WALK = Prediction(
    id="07.5", version=1, title="The walk, with a break in the row", picture=START_REQUEST,
    criteria=("predict", "find"),
    prompt="{cause} Seat taken, blades off, the key held at start. The lamp's clip is on {clip}. Say what the lamp "
    "does with its tip on each point, pedal up and pedal down. The table locks before you see the readings.",
    given={"broken": tuple(BREAKS), "clip": ("G1.-", "X9.frame")},
    words=BREAKS,
    setup=Setup(machine=MOWER, faults=("{broken}",), positions=HELD | {"blades": "off"}), clip="{clip}",
    points_listed="S2.2 B1.1 B1.2 B2.1 B2.2 K1.86",
    columns=(
        Column(title="pedal up", positions={"brake_pedal": "up"}),
        Column(title="pedal down", positions={"brake_pedal": "down"}),
    ),
    feed="K1.coil",
    why="Pedal up, the light ends at the brake switch, as it should. Pedal down it should go all the way, and it ends "
    "between {before} and {after}. Lit into it and out behind it: that is the break.",
    next="With the pedal up an open brake switch is no fault. Ask for pedal down: how far does plus get now? The break "
    "is between {before} and {after}.",
    hints=(
        "Pedal up first: where does plus end on a sound mower?",
        "Pedal down: plus goes on from switch to switch, up to the break and no further.",
        "With the start contact broken all six points would be out, pedal up or down.",
    ),
)

# What is cleared before you begin, and the six that are left: three of them before the best tip.
ROWS = {
    "coil sound": {"known": "The solenoid is cleared: measured dead, coil and case are sound.",
                   "six": "S2 stuck open, W5 open, B1 stuck open, W6 open, B2 stuck open, W7 open"},
    "key and case sound": {"known": "S2.2 is bright, and the solenoid's case has a good ground.",
                           "six": "W5 open, B1 stuck open, W6 open, B2 stuck open, W7 open, K1 coil open"},
    "key side sound": {"known": "B1.1 is bright, so all up to there is sound.",
                       "six": "B1 stuck open, W6 open, B2 stuck open, W7 open, K1 coil open, X10 open"},
    "blade side sound": {"known": "The blade switch and the wire behind it are cleared: unplugged and measured, "
                         "both are sound.",
                         "six": "S2 stuck open, W5 open, B1 stuck open, W6 open, K1 coil open, X10 open"},
}
HALF_SPLIT = NextTest(
    id="07.6", version=2, title="Cut the row in half", picture=START_REQUEST, criteria=("next-test", "suspects"),
    prompt="A silent mower: seat taken, brake down, blades off, key held at start, not a sound. The hour counter is "
    "lit. {known} One of the six suspects below it is. The clip of the lamp is on battery minus, G1.-. Where do you "
    "put the tip first, and which suspects are left if it is lit (dim or bright), and if it is out?",
    given={"cleared": tuple(ROWS)}, words=ROWS,
    seen=Setup(machine=MOWER, positions=READY), clip="G1.-",
    tips=("S2.2", "B1.1", "B1.2", "B2.1", "B2.2", "K1.86"),
    suspects={
        "S2 stuck open": "start contact S2 of the key switch does not close",
        "W5 open": "wire W5, key switch to brake switch, is broken",
        "B1 stuck open": "brake switch B1 does not close",
        "W6 open": "wire W6, brake switch to blade switch, is broken",
        "B2 stuck open": "blade switch B2 does not close",
        "W7 open": "wire W7, blade switch to solenoid, is broken",
        "K1 coil open": "the solenoid's coil K1 is broken",
        "X10 open": "the solenoid's case has no ground, X10",
    },
    chosen="{six}", count=6,
    why="As many suspects before the point as behind it: whatever the lamp says, half of them go. Three such tests at "
    "most find one of six; one after another it could take five.",
    hints=(
        "A suspect before the tip puts the lamp out. A suspect behind it leaves the lamp lit.",
        "Write the six in the order of the drawing, from the key to the case. Where is their middle?",
        "With only S2, W5, B1 and W6 left, the tip would go on B1.1: two before it, two behind.",
    ),
)

# Published: nine volts over ten, two and one kilohm side by side.
# Kuphaldt, Lessons in Electric Circuits, vol. I, parallel circuits.
SIDE_BY_SIDE = {"R1": "1 0 10000", "R2": "1 0 2000", "R3": "1 0 1000"}
BRANCHES = Number(
    id="07.7", version=1, title="Side by side", picture=Picture(machine=MOWER, stage="run interlock"), unit="A",
    criteria=("figures",),
    prompt="A paper board: three resistors stand side by side across a 9 V battery, each joined to both posts. R1 has "
    "10 kΩ, R2 has 2 kΩ, R3 has 1 kΩ. How much current flows through {which}? (A milliamp, mA, is a thousandth of an "
    "amp; volts over kilohms are milliamps.)",
    given={"which": ("R1", "R2", "R3")},
    words={"R1": {"own": "10 kΩ"}, "R2": {"own": "2 kΩ"}, "R3": {"own": "1 kΩ"}},
    asks=Network(volts="9", resistors=SIDE_BY_SIDE, asks="amps {which}",
                 source="Kuphaldt, Lessons in Electric Circuits, vol. I, parallel circuits"),
    why="Side by side each has the whole 9 V, as if it were alone. 9 V over {own}: that is its current, whatever the "
    "others take.",
    hint="How many volts stand across {which}? Both its ends are joined to the posts. Then volts over ohms.",
    hints=(
        "In a row the current is the same. Side by side the volts are the same.",
        "All three have 9 V. Divide by the ohms of {which} alone.",
        "A fourth one of 3 kΩ beside them would take 9 V over 3 kΩ: 3 mA, and the others would not notice.",
    ),
    slips={
        "as if in one row": Slip(
            idea="series-rule-in-parallel",
            reason="That is what you would read if they stood in one row, 13 kΩ in all. Side by side each has a way of "
            "its own to both posts.",
        ),
        "equal share": Slip(
            idea="current-shared-out",
            reason="That is what you would read if the current were shared out evenly. Each branch takes what its own "
            "resistance lets through.",
        ),
        "the whole current": Slip(points=1, reason="That is what all three take together. Now {which} alone."),
        "nothing": Slip(reason="Both its ends are joined to the battery: a current flows."),
        "thousand": Slip(points=2, reason="The figure is right and the unit a thousand off: volts over kilohms are "
                         "milliamps."),
    },
)

FIND_IT = JobQuestion(
    id="07.8", version=1, criteria=("find", "cause", "repair", "starting"), title="Job card J12: dead since Saturday",
    picture=START_REQUEST, card="J12",
    prompt="A mower with a fault that nobody tells you. Make it safe, see the complaint for yourself, halve the row "
    "until one part is left, find out why it failed, put it right, and try every interlock.",
)

WHY_NOT_THE_SOLENOID = Explain(
    id="07.9", version=1, title="Say it to the gardener", picture=START_REQUEST, criteria=("report", "next-test"),
    prompt="The gardener holds a new solenoid in his hand: “No click, so it is the solenoid. I have bought one.” In "
    "two or three plain sentences: why is that too soon, and which one reading would tell?",
    rubric=(
        "says that a solenoid can only click when it is asked, through every switch in the row",
        "names a reading at the solenoid's small post (or the middle of the row) with the key held at start",
        "says what each outcome of it would mean",
    ),
    model="The solenoid clicks only if key, brake and blade switch all let the current through to it. Hold the key at "
    "start, brake down, blades off, and put the lamp on its small post, K1.86. Lit: it is asked and does not answer, "
    "so look at the solenoid and its ground. Out: nobody asks it, and the break is in the row before it.",
)

QUESTIONS = (
    TWO_COILS, GAPS, ACROSS_OPEN, DIRTY, WALK, HALF_SPLIT, BRANCHES, FIND_IT, WHY_NOT_THE_SOLENOID,
)
