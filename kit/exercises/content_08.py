"""Questions of lesson 08: the starter relay, from its trigger and its click to its contacts under load.

Raise a question's ``version`` with any change here: marking refuses answers given to another version.
"""

from kit.exercises.choice import ExplainsAll, Option
from kit.exercises.explain import Explain
from kit.exercises.figures import MeterVolts, PathAmps, Setup, WarmCopper
from kit.exercises.job_question import JobQuestion
from kit.exercises.next_test import NextTest
from kit.exercises.number import Number, Slip
from kit.exercises.ordered import InThisOrder, Ordered
from kit.exercises.prediction import Column, Prediction
from kit.exercises.question import Picture
from kit.exercises.several import Several
from kit.exercises.volts_table import VoltsTable

BIKE = "orchard-bike"
RELAY = Picture(machine=BIKE, stage="starter relay")
CRANKING = Picture(machine=BIKE, stage="cranking circuit")
PRESSED = {"key": "on", "start_button": "pressed"}
WATCHED = (Column(title="start released", positions={"key": "on"}), Column(title="start pressed", positions=PRESSED))

SILENT = "Without it the coil gets no current, and the relay is silent."
CLICKS = "The coil gets its current without it: the relay clicks, and the big current does not come."

SUSPECTS = Several(
    id="08.1", version=1, title="A click, or none", picture=RELAY, criteria=("suspects", "starting"),
    prompt="The orchard bike in neutral, key on: head lamp and neutral lamp are bright. Start pressed: {seen} One "
    "fault does all this. Tick every one that could.",
    given={"hidden": ("W9 open", "W7 open")},
    words={
        "W9 open": {"seen": "the relay clicks once, nothing turns, and the lamps stay as bright as they were."},
        "W7 open": {"seen": "not a sound, and the lamps stay as bright as they were."},
    },
    right=ExplainsAll(
        seen=Setup(machine=BIKE, faults=("{hidden}",)), moves=({"key": "on"}, PRESSED), watch=("E1", "P1", "K1", "M1"),
    ),
    options=(
        Option(id="S3 stuck open", text="start button S3 does not close", feedback=SILENT),
        Option(id="W7 open", text="wire W7, from the button to the relay, is broken", feedback=SILENT),
        Option(id="K1 coil open", text="the relay's coil is broken", feedback=SILENT),
        Option(id="K1 contacts burnt 0.5 ohm", text="the relay's contacts are burnt", feedback=CLICKS),
        Option(id="W9 open", text="starter cable W9 is broken", feedback=CLICKS),
        Option(id="M1 open", text="the starter's brushes are worn to the end", feedback=CLICKS),
        Option(id="M1 seized", text="the starter is stuck fast", feedback="Then it would draw a huge current, and the "
               "lamps would go dim. Watch them while you press."),
        Option(id="F2 blown", text="fuse F2, ignition and start, is blown", feedback="The neutral lamp hangs on that "
               "fuse, and it is lit."),
    ),
    why="A click clears all that asks the relay: button, wires, coil and its way home. Silence puts just these under "
    "suspicion. And lamps that do not dim say that no big current flows.",
    hints=(
        "Did the coil get its current, or did it not? The click tells.",
        "Strike out one side: either all that asks the coil, or all that its contact feeds. Then watch the lamps.",
        "Lamps gone dim, with one clunk, would leave a starter stuck fast, or a very weak battery.",
    ),
)

# What is cleared of those who ask, and of those who should answer; three are left of each.
CLEARED = {
    "S2": {"asking": "S2.2 is bright.", "ask": "W6 open, S3 stuck open, W7 open"},
    "W7": {"asking": "Wire W7 is cleared: measured dead, it is whole.", "ask": "S2 stuck open, W6 open, S3 stuck open"},
    "W18": {"answering": "With the clip on plus, R1.K is bright.", "answer": "K1 coil open, W17 open, R1 open",
            "behind": "coil or ground side"},
    "coil": {"answering": "The relay's coil is cleared: measured dead, it has its 4 Ω.",
             "answer": "W17 open, R1 open, W18 open", "behind": "the ground side"},
}
TRIGGER = NextTest(
    id="08.2", version=2, title="Asked, or not asked?", picture=RELAY, criteria=("next-test", "suspects"),
    prompt="Another bike is silent. Neutral, key on, neutral lamp lit, start held: no click. {asking} {answering} One "
    "of the six suspects below it is. The lamp's clip is on battery minus, G1.-. Where does the tip go first, and who "
    "is left if it is lit (dim or bright), and if it is out?",
    given={"of those who ask": ("S2", "W7"), "of those who answer": ("W18", "coil")}, words=CLEARED,
    seen=Setup(machine=BIKE, positions=PRESSED), clip="G1.-", tips=("S2.2", "S3.1", "S3.2", "K1.86", "K1.85"),
    suspects={
        "S2 stuck open": "stop switch S2 does not close",
        "W6 open": "wire W6, stop switch to start button, is broken",
        "S3 stuck open": "start button S3 does not close",
        "W7 open": "wire W7, start button to relay, is broken",
        "K1 coil open": "the relay's coil is broken",
        "W17 open": "wire W17, relay to diode, is broken",
        "R1 open": "the diode R1 is broken",
        "W18 open": "wire W18, diode to neutral switch, is broken",
    },
    chosen="{ask}, {answer}", count=6,
    why="86 is where the asking ends and the relay begins. Lit there: it is asked, so {behind}. Out: nobody "
    "asks it. One reading, and half of the list is gone.",
    hints=(
        "Some of them stand before the relay's coil: they ask it. The others are the coil and what stands behind it.",
        "A break before the tip puts the lamp out. Which tip has three before it?",
        "On the mower's row of switches it was the same: the point with as many before it as behind it.",
    ),
)

# The cable comes off for the test, or goes back on after it; and what is never done with it.
CABLE_JOBS = {
    "off": {
        "job": "To see whether the relay switches, you take the starter cable off the starter and put the lamp on the "
        "cable's lug.",
        "begin": "Key off", "cable": "Starter cable off; its lug wrapped and clear of metal",
        "cable_why": "Only with minus off: the lug becomes live the moment the relay pulls in.",
        "minus_why": "Without minus nothing can be tested. But first the lug must be clear of metal.",
        "test": "Key on, start pressed, lamp on the lug", "test_why": "The test itself: after all is safe and joined.",
        "end": "Key off, minus off, cable on and tight, minus on",
        "end_why": "The same the other way round, at the very end.",
    },
    "back on": {
        "job": "The relay is proved, with the cable off and its lug wrapped. Now the starter cable goes back on the "
        "starter, and you see whether it cranks.",
        "begin": "Key off, lamp off the lug",
        "cable": "Wrapping off; starter cable on its stud, tight, its boot over it",
        "cable_why": "Only with minus off: until it is tight, the bare lug must not be able to become live.",
        "minus_why": "Without minus it cannot crank. But first the cable must be on, and covered.",
        "test": "Neutral, hands clear, say it aloud; key on, start pressed",
        "test_why": "The trial itself: after all is tight and joined.", "end": "Key off; write down what it did",
        "end_why": "At the very end: there is something to write down only after the trial.",
    },
    "bridge": {"never": "A screwdriver across the relay's two studs",
               "harm": "Never. It goes past every interlock, it welds, and the machine can drive off."},
    "spark": {"never": "The lug against the frame for a moment: a spark shows that it is live",
              "harm": "Never. That is a short of hundreds of amps, beside battery and fuel. The lamp tells it better."},
}
CABLE_OFF = Ordered(
    id="08.3", version=2, title="The thick cable, without a spark", picture=CRANKING, criteria=("safe",),
    prompt="{job} Put the steps in order. One of them you never do: leave it out.",
    given={"job": ("off", "back on"), "forbidden": ("bridge", "spark")}, words=CABLE_JOBS,
    right=InThisOrder(options=("off", "minus off", "cable", "minus on", "test", "end"),
                      source="HSE leaflet INDG139 and common practice"),
    options=(
        Option(id="off", text="{begin}", feedback="First nothing may draw current."),
        Option(id="minus off", text="Battery minus off", feedback="That cable can carry hundreds of amps. Minus comes "
               "off before a spanner touches it."),
        Option(id="cable", text="{cable}", feedback="{cable_why}"),
        Option(id="minus on", text="Battery minus on again", feedback="{minus_why}"),
        Option(id="test", text="{test}", feedback="{test_why}"),
        Option(id="end", text="{end}", feedback="{end_why}"),
        Option(id="never", text="{never}", feedback="{harm}"),
    ),
    why="Minus off before the thick cable is touched, minus on only when no bare lug is left. The manual may ask for "
    "more.",
    hints=(
        "Which post comes off first, before a thick cable is touched?",
        "Between minus off and minus on the cable is handled. After minus on comes the test.",
        "For a new starter the order would be the same, with the starter changed in the middle.",
    ),
)

OFF_AT = {
    "X5 open": {"where": "at the starter; its lug, X5.lug, is held clear", "points": "K1.86 K1.30 K1.87 X5.lug"},
    "X4 open": {"where": "at the relay; its lug hangs on the starter alone, X4.lug",
                "points": "K1.86 K1.30 K1.87 X4.lug"},
}

LAMP_CABLE_OFF = Prediction(
    id="08.4", version=1, title="The lamp, with the cable off", picture=CRANKING, criteria=("predict", "prove"),
    prompt="The relay's contact is burnt: it closes, but has half an ohm. The starter cable is off {where}. In "
    "neutral; the lamp's clip is on {clip}. What does the lamp do with its tip on each point? The table locks before "
    "you see the readings.",
    given={"cable": tuple(OFF_AT), "clip": ("G1.-", "X9.frame")},
    words=OFF_AT,
    setup=Setup(machine=BIKE, faults=("K1 contacts burnt 0.5 ohm", "{cable}")), clip="{clip}",
    points_listed="{points}", columns=WATCHED, feed="K1.coil",
    why="Bright at 87, through the burnt contact. The lamp asks for a quarter of an amp, and half an ohm does not "
    "mind. So with the cable off the lamp proves coil and click, and no more.",
    next="How much current does the lamp ask for? A quarter of an amp through half an ohm loses an eighth of a volt. "
    "And a point that hangs on the starter alone is joined to ground.",
    hints=(
        "Is the contact open or closed, released and pressed? Burnt is not open.",
        "A quarter of an amp through half an ohm: how many volts are lost?",
        "With a contact that never closes, 87 would be out, pressed or not.",
    ),
)

PLACES = {
    "K1 contacts burnt 0.5 ohm": {
        "bad": "The contact of the relay K1 is burnt", "up": "K1.30", "down": "K1.87", "place": "the relay's contact",
    },
    "X3 high resistance 0.5 ohm": {
        "bad": "The cable lug on the relay's stud, X3, is loose", "up": "X3.lug", "down": "K1.30",
        "place": "that joint",
    },
    "X4 high resistance 0.5 ohm": {
        "bad": "The starter cable's lug on the relay, X4, is loose", "up": "K1.87", "down": "X4.lug",
        "place": "that joint",
    },
    "X5 high resistance 0.5 ohm": {
        "bad": "The cable lug on the starter, X5, is corroded", "up": "X5.lug", "down": "M1.stud",
        "place": "that joint",
    },
}
HALF_AN_OHM = Setup(machine=BIKE, faults=("{broken}",), positions=PRESSED)

UNDER_LOAD = Number(
    id="08.5", version=1, title="Half an ohm, with the starter asking", picture=CRANKING, unit="V",
    criteria=("drop", "figures"),
    prompt="{bad}: it has 0.5 Ω. Cable on, start pressed: the relay clicks, nothing turns. The clamp meter on the "
    "starter cable says {amps}. Red lead on {red}, black lead on {black}, across {place}: what does the meter show?",
    given={"broken": tuple(PLACES), "leads": ("straight", "swapped")},
    words=PLACES | {"straight": {"red": "{up}", "black": "{down}"}, "swapped": {"red": "{down}", "black": "{up}"}},
    told={"amps": PathAmps(setup=HALF_AN_OHM, path="M1")},
    asks=MeterVolts(setup=HALF_AN_OHM, red="{red}", black="{black}"),
    why="Volts are amps times ohms: {amps} through 0.5 Ω. Nearly all the battery has stays here, and the starter gets "
    "less than a volt. A good contact loses 0.2 V at most while it cranks (common practice).",
    hint="Amps times ohms: {amps} times 0.5. Then the sign: which lead is nearer to battery plus?",
    hints=(
        "The same current goes through the bad place and the starter.",
        "Multiply: {amps} times half an ohm. The red lead nearer to plus means no sign.",
        "With 90 A through 1.5 thousandths of an ohm, as on a sound contact, it would be 0.14 V.",
    ),
    slips={
        "nothing": Slip(
            idea="wires-never-drop",
            reason="0 V is what you would read with no current, cable off. Now {amps} flow through half an ohm, and "
            "that costs volts. Hold start on the bay and measure across it.",
        ),
        "reversed": Slip(points=2, reason="The size is right. Now the sign: which lead is nearer to battery plus?"),
        "nominal": Slip(points=1, reason="Nearly. All the battery has would stand across a contact that is open. Here "
                        "a current flows: multiply."),
        "half": Slip(
            idea="equal-share",
            reason="That is what you would read if bad place and starter shared evenly. The starter, standing still, "
            "has far less than half an ohm, so it gets far less of the volts.",
        ),
        "thousand": Slip(points=2, reason="A thousand times too much: look at the k before the V."),
    },
)

WALK = {
    "K1 contacts burnt 0.5 ohm": {"where": "the relay's contact, from K1.30 to K1.87", "up": "K1.30", "down": "K1.87"},
    "X3 high resistance 0.5 ohm": {"where": "the lug on the relay's stud 30, from X3.lug to K1.30", "up": "X3.lug",
                                   "down": "K1.30"},
    "X5 high resistance 0.5 ohm": {"where": "the lug on the starter, from X5.lug to M1.stud", "up": "X5.lug",
                                   "down": "M1.stud"},
}

VOLTS_WALK = VoltsTable(
    id="08.6", version=1, title="The walk under load", picture=CRANKING, criteria=("predict", "drop"),
    prompt="A bike clicks once and does not turn. Start released, its battery shows {rest}; start held, {held}. The "
    "fault is {where}: while start is held, {drop} are lost there, and next to nothing anywhere else on the plus "
    "side. The black lead is on G1.-. What does the meter show at each point? The table locks before you see the "
    "readings.",
    given={"broken": tuple(WALK), "points": ("G1.+ K1.30 K1.87 M1.stud", "X3.lug K1.30 X4.lug M1.stud")},
    words=WALK,
    told={
        "rest": MeterVolts(setup=Setup(machine=BIKE, faults=("{broken}",), positions={"key": "on"}),
                           red="G1.+", black="G1.-"),
        "held": MeterVolts(setup=HALF_AN_OHM, red="G1.+", black="G1.-"),
        "drop": MeterVolts(setup=HALF_AN_OHM, red="{up}", black="{down}"),
    },
    setup=Setup(machine=BIKE, faults=("{broken}",)), black="G1.-", points_listed="{points}", columns=WATCHED,
    load="M1",
    why="Released, plus stands as far as the open contact, bad place or not: no current, no loss. Held, the volts fall "
    "where the bad place is, and there alone.",
    next="Released: the contact is open, and before it nothing is lost. Held: before the bad place nearly {held}, "
    "behind it what is left when {drop} are gone.",
    hints=(
        "Released: where is the gap? Which points lie before it?",
        "Held: walk from plus. Every point shows what the battery has, until you pass the bad place.",
        "With a bad ground instead, all four points would stay high while held, and the starter's body as well.",
    ),
)

# Published: a copper winding of 320 Ω at 25 °C has 443.3 Ω at 125 °C, for ohms grow as 234.5 plus the temperature.
WARM = Number(
    id="08.7", version=1, title="A coil gets hot", picture=RELAY, unit="ohm", criteria=("figures", "starting"),
    prompt="The coil of {whose} has {ohms} Ω at {cold} °C. After a day behind a hot engine it is at {hot} °C. Copper "
    "wire has more ohms when it is warm: add 234.5 to each temperature, and the ohms grow as these two sums do. How "
    "many ohms has it now?",
    given={"coil": ("loader", "generator", "bike", "run relay")},
    words={
        "loader": {"whose": "the compact loader's start relay", "ohms": "320", "cold": "25", "hot": "125",
                   "sums": "359.5 over 259.5"},
        "generator": {"whose": "the site generator's start relay", "ohms": "85", "cold": "20", "hot": "105",
                      "sums": "339.5 over 254.5"},
        "bike": {"whose": "the orchard bike's starter relay", "ohms": "4", "cold": "20", "hot": "95",
                 "sums": "329.5 over 254.5"},
        "run relay": {"whose": "the ride-on mower's run relay", "ohms": "90", "cold": "15", "hot": "110",
                      "sums": "344.5 over 249.5"},
    },
    asks=WarmCopper(ohms="{ohms}", cold="{cold}", hot="{hot}"), within=0.02,
    why="{ohms} Ω times {sums}. More ohms, less current, less pull: the volts it needs to pull in grow by as much. "
    "That is why a weak relay fails hot, and is well again next morning.",
    hint="Two sums: 234.5 + {cold}, and 234.5 + {hot}. Divide the second by the first, and multiply by {ohms} Ω.",
    hints=(
        "Is it more or less than {ohms} Ω? Warm copper holds the current back more.",
        "234.5 + {hot}, divided by 234.5 + {cold}: about how many times as much?",
        "A coil of 60 Ω at 20 °C, at 70 °C: 304.5 over 254.5 is 1.2, so 72 Ω.",
    ),
    slips={
        "unchanged": Slip(reason="That is what you would read on the cold coil. Warm copper has more."),
        "by degrees": Slip(points=1, reason="That takes the degrees alone. Ice is not the beginning: add 234.5 to "
                           "each temperature first."),
        "colder": Slip(points=2, reason="You divided the other way round: warm copper has more ohms, not fewer."),
        "thousand": Slip(points=2, reason="The figure is right; look at the unit: Ω, not kΩ."),
    },
)

FIND_IT = JobQuestion(
    id="08.8", version=1, criteria=("find", "cause", "repair", "starting", "drop"), title="Job card J6: one click",
    picture=CRANKING, card="J6",
    prompt="A bike with a fault that nobody tells you. Make it safe, see the complaint, write “I suspect … because …”, "
    "measure under load, find why it failed, put it right, and try the interlocks.",
)

LAMP_SAID_GOOD = Explain(
    id="08.9", version=1, title="Say it to a friend", picture=CRANKING, criteria=("report", "next-test"),
    prompt="A friend took the starter cable off, pressed start, and the lamp was bright on the relay's stud. “So the "
    "relay is good, and the starter is dead.” In two or three sentences: what did the lamp prove, what did it not "
    "prove, and which reading would you take?",
    rubric=(
        "says that the lamp proves coil and click, or that the contact closes at all",
        "says that the lamp takes so little current that a burnt contact does not show",
        "names volts across the contact, 30 to 87, with the starter connected and start pressed",
        "says what the outcomes mean: 0.2 V at most is good, many volts is burnt",
    ),
    model="The lamp shows that the coil pulls in and the contact closes. It takes a quarter of an amp, so half an ohm "
    "of burnt contact does not show. I put the cable back, red on 30, black on 87, and press start: up to 0.2 V is a "
    "good contact; many volts, and the contact keeps what the starter should have.",
)

QUESTIONS = (
    SUSPECTS, TRIGGER, CABLE_OFF, LAMP_CABLE_OFF, UNDER_LOAD, VOLTS_WALK, WARM, FIND_IT, LAMP_SAID_GOOD,
)
