"""Questions of lesson 10: cranking. Volts lost under load, cables, the engine's ground, the starter.

Raise a question's ``version`` with any change here: marking refuses answers given to another version.
"""

from kit.exercises.choice import Best, Choice, Option
from kit.exercises.explain import Explain
from kit.exercises.figures import MeterVolts, Network, PathAmps, Setup, SmallestCable
from kit.exercises.job_question import JobQuestion
from kit.exercises.number import Number, Slip
from kit.exercises.ordered import CurrentPath, Ordered
from kit.exercises.prediction import Column, Prediction
from kit.exercises.question import Picture
from kit.exercises.volts_table import VoltsTable

BIKE, BOAT = "orchard-bike", "harbour-tender"
BOAT_CRANKING = Picture(machine=BOAT, stage="cranking circuit")
BIKE_CRANKING = Picture(machine=BIKE, stage="cranking circuit")
KEY_ON = Column(title="key on", positions={"isolator": "on", "key": "on"})
HELD = Column(title="start held", positions={"isolator": "on", "key": "on", "start_button": "pressed"})
BIKE_CRANKED = {"key": "on", "start_button": "pressed"}

THIN = ("W2 wrong spare 10 mm2", "W3 wrong spare 10 mm2")
LAMP_IS_CONTENT = Prediction(
    id="10.1", version=1, title="The lamp and the thin cables", picture=BOAT_CRANKING, criteria=("predict", "prove"),
    prompt="This tender cranks slowly, and you may know why: its two long cables are much too thin. The lamp's clip "
    "is on {clip_said}. What does the lamp do with its tip on each point, key on, and then with start held? The table "
    "locks before you see the readings.",
    given={
        "clip": ("G1.-", "X2.clamp"),
        "points": ("X4.lug X5.lug M1.stud X9.block", "Q1.2 K3.30 M1.stud X10.lug", "X3.lug X5.lug M1.stud M1.body"),
    },
    words={
        "G1.-": {"clip_said": "the minus post, G1.-"},
        "X2.clamp": {"clip_said": "the clamp of the minus post, X2.clamp"},
    },
    setup=Setup(machine=BOAT, faults=THIN), clip="{clip}", points_listed="{points}", columns=(KEY_ON, HELD), feed="M1",
    why="And a sound tender gives the very same table. One volt less of eleven: who sees that on a lamp?",
    next="Ask of each point: is it joined to plus just now, or to minus? The thin cables are no break. The lamp is lit "
    "through them, and out behind the starter.",
    hints=(
        "A thin cable is still a cable. What would the lamp do on a sound boat?",
        "Key on: plus ends at the open contact of the starter solenoid. Start held: it goes on to the starter.",
        "At the main fuse F1.1 it would be bright, key on and start held. At the minus bar it would be out both times.",
    ),
)

ACROSS = {
    "Q1": {"part": "battery isolator Q1", "one": "Q1.1", "two": "Q1.2"},
    "W2": {"part": "starter cable W2", "one": "X4.lug", "two": "X5.lug"},
    "W3": {"part": "minus cable W3", "one": "X10.lug", "two": "X2.clamp"},
    "X10": {"part": "joint X10, the minus cable's lug on the block", "one": "X9.block", "two": "X10.lug"},
}
WHERE_THE_LEADS_GO = Choice(
    id="10.2", version=1, title="Where do the leads go?", picture=BOAT_CRANKING, criteria=("drop", "measure"),
    prompt="You want to know what is lost in the {part} of the tender while she cranks. The meter is on volts. Where "
    "do the leads go, and when do you read?",
    given={"place": tuple(ACROSS)},
    words=ACROSS,
    right=Best(option="across", source="common practice"),
    options=(
        Option(
            id="across", text="One lead on {one}, one on {two}; read while start is held",
            feedback="One reading, across the one part, while the big current flows. What you read is what the part "
            "keeps for itself.",
        ),
        Option(
            id="at rest", idea="wires-never-drop", text="One lead on {one}, one on {two}; read with the key on only",
            feedback="The right place at the wrong time. Without the big current even a bad joint shows next to 0. "
            "Try it on the bay, and then hold start.",
        ),
        Option(
            id="from minus", text="Black on battery minus, red on {two}; read with the key on only",
            feedback="That is what the point stands at, not what the part loses. And nothing big flows yet: a bad part "
            "looks like a good one.",
        ),
        Option(
            id="ohms", text="On ohms from {one} to {two}, with the battery off",
            feedback="A bad joint has a few thousandths of an ohm. The meter's own leads have more. It would show the "
            "same for good and bad.",
        ),
        Option(
            id="amps", text="On amps, one lead on {one} and one on {two}; start held",
            feedback="Stop: on amps the meter is a short. Two hundred amps would look for a way through it; its fuse "
            "would go at once.",
        ),
    ),
    hints=(
        "A loss is a difference between two points. Which two?",
        "Volts are lost only while amps flow. When do the big amps flow?",
        "For the starter's own stud it would be: one lead on the cable lug, one on the stud, read while she cranks.",
    ),
)

STEP = {
    "X10 high resistance 0.02 ohm": {"upper": "X9.block", "lower": "X10.lug",
                                     "place": "joint X10, between engine block and cable lug"},
    "X8 high resistance 0.02 ohm": {"upper": "M1.body", "lower": "X9.block",
                                    "place": "joint X8, between starter body and engine block"},
    "X2 high resistance 0.02 ohm": {"upper": "X2.clamp", "lower": "G1.-",
                                    "place": "joint X2, between the minus clamp and its post"},
}
ADD_UP = VoltsTable(
    id="10.3", version=2, title="The ground side, lead by lead", picture=Picture(machine=BOAT, stage="grounds"),
    criteria=("predict", "drop"),
    prompt="Another tender, start held. {lost} stand across {place}. The minus cable W3, from X10.lug to X2.clamp, "
    "takes {cable}. All else on the ground side takes next to nothing. The black lead stays on battery minus, G1.-. "
    "What does the meter show with the red lead on each point, key on, and then with start held? The table locks.",
    given={"broken": tuple(STEP), "points": ("M1.body X9.block X10.lug X2.clamp", "X2.clamp X10.lug X9.block M1.body")},
    words=STEP,
    told={
        "lost": MeterVolts(setup=Setup(machine=BOAT, faults=("{broken}",), positions=HELD.positions),
                           red="{upper}", black="{lower}"),
        "cable": MeterVolts(setup=Setup(machine=BOAT, faults=("{broken}",), positions=HELD.positions),
                            red="X10.lug", black="X2.clamp"),
    },
    setup=Setup(machine=BOAT, faults=("{broken}",)), black="G1.-", points_listed="{points}", columns=(KEY_ON, HELD),
    load="M1",
    why="Losses add up along the way: each point stands higher by what lies between it and battery minus. Where the "
    "figure jumps, there is the bad joint.",
    next="Start at battery minus and walk back towards the starter. Each thing you pass adds what it loses. With only "
    "the key on nothing big flows, and nothing is lost.",
    hints=(
        "Key on, start not held: how many amps flow in the minus cable? So what does it lose?",
        "Walk from G1.- to the starter, in this order: X2, W3, X10, X8. Add what each of them takes.",
        "A sound boat, start held: clamp 0.0 V, lug of the cable 0.2 V, block 0.3 V.",
    ),
)

# ≤ 0.20 V for every 100 A of cable: US Army TM 10-3930-671-24. Milliohms a metre: IEC 60228, class 5, 20 °C.
CABLE = Number(
    id="10.4", version=1, title="Which cable?", picture=BOAT_CRANKING, criteria=("figures", "drop"), unit="mm2",
    prompt="A starter takes {amps} A. It sits {way} m from the battery; the plus cable and the minus cable are each "
    "{way} m long. A published rule allows 0.20 V for every 100 A, so the two together may lose {drop} V. In every "
    "metre, cable has 3.30 mΩ (6 mm²), 1.91 (10), 1.21 (16), 0.780 (25), 0.554 (35) or 0.386 (50 mm²). Which is the "
    "smallest that will do, in mm²?",
    given={"way": ("0.8", "1.2", "1.7", "2.4"), "amps": ("90", "150", "200", "250")},
    words={
        "0.8": {"both": "1.6"}, "1.2": {"both": "2.4"}, "1.7": {"both": "3.4"}, "2.4": {"both": "4.8"},
        "90": {"drop": "0.18"}, "150": {"drop": "0.30"}, "200": {"drop": "0.40"}, "250": {"drop": "0.50"},
    },
    asks=SmallestCable(metres="{both}", amps="{amps}", drop="{drop}"),
    why="{drop} V over {amps} A is 2 mΩ, and {both} m have to share them. The current goes there and comes back, so "
    "both cables count. A real machine's manual may ask for less loss, and then for more copper.",
    hint="Three steps. Ohms allowed: {drop} V over {amps} A. Length: there and back. Ohms allowed for one metre: the "
    "first over the second. Then look along the list.",
    hints=(
        "How many metres does the current pass, there and back?",
        "{drop} V over {amps} A gives the ohms that are allowed. Share them out over all the metres.",
        "For 2 m in all and 0.20 V at 100 A: 2 mΩ, so 1 mΩ a metre. 16 mm² has 1.21, too much; 25 mm² will do.",
    ),
    slips={
        "one way only": Slip(
            points=1, idea="one-wire-is-enough",
            reason="That would do for one of the two cables alone. The current comes home through the other one, and "
            "loses volts there too: count {both} m.",
        ),
        "one smaller": Slip(points=1, reason="Close, but it loses more than {drop} V. Work it out for this size once."),
        "one larger": Slip(points=2, reason="It will do, and it is not the smallest that does."),
    },
)

# Published: a series motor on 120 V with 2.0 Ω inside; at 10 A it pushes back 100 V, at 20 A 80 V
# (OpenStax University Physics). The turning part is drawn as the ohms that take as many volts at those amps.
MOTOR = Number(
    id="10.5", version=1, title="A motor pushes back", picture=BIKE_CRANKING, criteria=("figures", "starting"),
    unit="V",
    prompt="A motor on 120 V has 2.0 Ω in its windings. It turns, and takes {amps} A. A part of the 120 V is lost in "
    "the windings. The rest is what the turning motor pushes back with. How many volts are that?",
    given={"amps": ("8", "10", "12", "15", "20")},
    words={"8": {"turning": "13", "loss": "16 V"}, "10": {"turning": "10", "loss": "20 V"},
           "12": {"turning": "8", "loss": "24 V"}, "15": {"turning": "6", "loss": "30 V"},
           "20": {"turning": "4", "loss": "40 V"}},
    asks=Network(volts="120", resistors={"R1": "1 2 2", "R2": "2 0 {turning}"}, asks="volts 2 0",
                 source="OpenStax University Physics, series motor"),
    why="{amps} A through 2.0 Ω lose {loss}; the rest of the 120 V is pushed back. More load, slower, more amps, less "
    "push. Held still it pushes nothing, and only 2.0 Ω are left: 60 A. That is why a stuck starter eats so much.",
    hint="Volts lost in the windings are amps times ohms. Take them from 120 V.",
    hints=(
        "What does the current cost in 2.0 Ω?",
        "Amps times ohms gives the loss. What is left of the 120 V?",
        "At 5 A it would lose 10 V, and push back 110 V.",
    ),
    slips={
        "rest": Slip(points=2, reason="That is what the windings lose. Now take it from 120 V."),
        "nominal": Slip(idea="wires-never-drop", reason="120 V would be left if the windings lost nothing. They have "
                        "2.0 Ω, and {amps} A flow in them."),
        "equal share": Slip(idea="equal-share", reason="60 V is what you would read if both got the same. Work out the "
                            "loss first: amps times ohms."),
        "nothing": Slip(reason="0 V is a motor that is held still. This one turns."),
        "thousand": Slip(points=2, reason="Look at the unit: there are only 120 V."),
    },
)

TWO_WAYS_HOME = Ordered(
    id="10.6", version=1, title="The way home", picture=Picture(machine=BIKE, stage="grounds"),
    criteria=("trace", "starting"),
    prompt="The orchard bike, start held. {cause} Which way does most of the starter's current go? Put the parts in "
    "the order in which it meets them, from the relay on. Leave out what it does not pass.",
    given={"broken": ("X8 high resistance 0.5 ohm", "W10 open", "X10 high resistance 0.5 ohm", "W11 open")},
    words={
        "X8 high resistance 0.5 ohm": {"cause": "The lug of the engine strap W10 is bad where it sits on the block."},
        "W10 open": {"cause": "The engine strap W10 is torn."},
        "X10 high resistance 0.5 ohm": {"cause": "The lug of the frame strap W11 is bad where it sits on the frame."},
        "W11 open": {"cause": "The frame strap W11 is torn."},
    },
    options=(
        Option(id="F1", text="main fuse F1", feedback="No starter current goes through a fuse: it would melt at once."),
        Option(id="K1", text="contact of relay K1", feedback="The relay's contact lets the big current through."),
        Option(id="M1", text="starter motor M1", feedback="The starter comes after the relay's contact."),
        Option(id="X7", text="engine block X7", feedback="The starter's body sits on the block: that is its way home."),
        Option(id="W10", text="engine strap W10", feedback="Thick, and made for it. Is it sound here?"),
        Option(id="X11", text="clutch cable sheath X11", feedback="It joins block and frame by chance, and it is poor. "
               "Current takes it only when the strap fails."),
        Option(id="X9", text="frame X9", feedback="The frame is the loom's ground. Starter current has no need of it "
               "while the engine strap is sound."),
        Option(id="W11", text="frame strap W11", feedback="It takes home what the loom brings to the frame. Is there a "
               "better way from the block?"),
    ),
    right=CurrentPath(setup=Setup(machine=BIKE, faults=("{broken}",), positions=BIKE_CRANKED), load="M1"),
    why="Current takes every way there is, and most of it the easy one. With a good strap, that is the strap. With a "
    "bad one it finds another way home, and that one gets hot.",
    hints=(
        "From the block two ways lead to battery minus. One is thick cable, the other is an accident.",
        "Which of the two is hurt here? Most of the current takes the other one.",
        "On a sound bike nearly all of it goes: relay, starter, block, engine strap.",
    ),
)

FOUR_READINGS = Setup(machine=BIKE, faults=("{hidden}",), positions=BIKE_CRANKED)
WHERE_NEXT = Choice(
    id="10.7", version=1, title="Three readings, one place", picture=BIKE_CRANKING, criteria=("drop", "next-test"),
    prompt="An orchard bike cranks slowly. Start held, you read: {battery} across the battery's posts, {plus} from "
    "plus post to starter stud, {ground} from starter body to minus post. The clamp meter shows {amps}. Its manual "
    "says: 10.0 V or more while cranking, about 90 A, plus side 0.5 V at most, ground side 0.3 V. Where do you look "
    "next?",
    given={"hidden": ("G1 half charged", "G1 quarter charged", "W9 high resistance 0.05 ohm",
                      "W10 high resistance 0.05 ohm", "M1 worn")},
    words={
        "G1 half charged": {"side": "battery"}, "G1 quarter charged": {"side": "battery"},
        "W9 high resistance 0.05 ohm": {"side": "plus"}, "W10 high resistance 0.05 ohm": {"side": "ground"},
        "M1 worn": {"side": "starter"},
    },
    told={
        "battery": MeterVolts(setup=FOUR_READINGS, red="G1.+", black="G1.-"),
        "plus": MeterVolts(setup=FOUR_READINGS, red="G1.+", black="M1.stud"),
        "ground": MeterVolts(setup=FOUR_READINGS, red="M1.body", black="G1.-"),
        "amps": PathAmps(setup=FOUR_READINGS, path="M1"),
    },
    right=Best(option="{side}", source="the limits of the bike's own data"),
    options=(
        Option(id="battery", text="At the battery: charge it, then test it under load",
               feedback="The battery had {battery} across its posts, and 10.0 V are asked for. The plus side took "
               "{plus}, the ground side {ground}."),
        Option(id="plus", text="On the plus side: joint by joint, from the plus post to the starter stud",
               feedback="The plus side took {plus}, and 0.5 V are allowed. Compare the other two readings with their "
               "limits as well."),
        Option(id="ground", text="On the ground side: joint by joint, from the starter body to the minus post",
               feedback="The ground side took {ground}, and 0.3 V are allowed. Compare the other two readings with "
               "their limits as well."),
        Option(id="starter", text="At the starter and the engine it has to turn",
               feedback="The starter is next only when the battery holds its volts and both sides keep to their "
               "limits. Here: {battery}, {plus} and {ground}."),
    ),
    hints=(
        "Hold each reading against its own limit.",
        "Over the limit: that is where volts stay. All within: then the starter gets all it needs.",
        "With 10.9 V, 0.3 V and 1.5 V it would be the ground side.",
    ),
)

FIND_IT = JobQuestion(
    id="10.8", version=1, title="Job card J2: it turns over slowly", picture=BIKE_CRANKING, card="J2",
    criteria=("find", "drop", "starting", "cause", "repair"),
    prompt="A bike that cranks slowly. Say what you suspect, and why, before you test. Prove it by readings taken "
    "while it cranks, find out why it happened, put it right, measure again, and try the interlocks.",
)

EXPLAIN = Explain(
    id="10.9", version=1, title="Tell the harbour hand", picture=BOAT_CRANKING, criteria=("report", "drop"),
    prompt="The harbour hand says: “I had 12.7 volts at the starter, so the cables are good.” He measured with the key "
    "on, start not held. In two or three plain sentences: what did that reading show, and what should he do instead?",
    rubric=(
        "says that a bad joint loses volts only while a current flows",
        "says where the leads go (across the cable or joint) and when (while it cranks)",
        "names a limit, or says that the machine's manual has one",
    ),
    model="With the key on alone next to no current flows in the thick cables, so even a bad one loses nothing, and "
    "the meter shows the battery. Put one lead on each end of the cable and hold start. What you read then is what the "
    "cable keeps back; the manual says how much it may be.",
)

QUESTIONS = (
    LAMP_IS_CONTENT, WHERE_THE_LEADS_GO, ADD_UP, CABLE, MOTOR, TWO_WAYS_HOME, WHERE_NEXT, FIND_IT, EXPLAIN,
)
