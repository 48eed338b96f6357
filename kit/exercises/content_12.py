"""Questions of lesson 12: charging and standing drain. Why the battery was flat.

Raise a question's ``version`` with any change here: marking refuses answers given to another version.
"""

from kit.exercises.charging import Lasts, Running
from kit.exercises.choice import Band, Best, Choice, Option
from kit.exercises.explain import Explain
from kit.exercises.figures import MeterVolts, Setup
from kit.exercises.job_question import JobQuestion
from kit.exercises.number import Number, Slip
from kit.exercises.ordered import InThisOrder, Ordered
from kit.exercises.prediction import Column
from kit.exercises.question import Picture
from kit.exercises.volts_table import VoltsTable

BOAT, LOADER, GENERATOR = "harbour-tender", "compact-loader", "site-generator"
BOAT_CHARGING = Picture(machine=BOAT, stage="charging")
LOADER_CHARGING = Picture(machine=LOADER, stage="charging")

# Limits: the machines' own data, common practice; US Army TM 9-2330-356-14 has 13.6 to 14.2 V for a 12 V battery.
WHO_RUNS = {
    "boat well": {"which": BOAT, "hidden": "", "whose": "A tender", "low": "13.8", "high": "14.5"},
    "boat brushes": {"which": BOAT, "hidden": "G2 brushes worn open", "whose": "A tender", "low": "13.8",
                     "high": "14.5"},
    "boat full on": {"which": BOAT, "hidden": "G2 regulator full on", "whose": "A tender", "low": "13.8",
                     "high": "14.5"},
    "loader well": {"which": LOADER, "hidden": "", "whose": "A loader", "low": "27.6", "high": "28.8"},
    "loader brushes": {"which": LOADER, "hidden": "G3 brushes worn open", "whose": "A loader", "low": "27.6",
                       "high": "28.8"},
    "loader full on": {"which": LOADER, "hidden": "G3 regulator full on", "whose": "A loader", "low": "27.6",
                       "high": "28.8"},
}
POSTS = {name: {"minus": "G1.-" if words["which"] == BOAT else "G2.-"} for name, words in WHO_RUNS.items()}
RUNNING_VOLTS = Choice(
    id="12.1", version=1, title="Running volts", picture=BOAT_CHARGING, criteria=("charging", "measure"),
    prompt="{whose}, engine running. Across the battery posts the meter shows {volts}. Its manual says {low} to {high} "
    "V. What does that tell you?",
    given={"who": tuple(WHO_RUNS)},
    words={name: words | POSTS[name] for name, words in WHO_RUNS.items()},
    told={"volts": Running(machine="{which}", fault="{hidden}", instrument="volts", leads=("{minus}", "G1.+"))},
    right=Band(
        figure=Running(machine="{which}", fault="{hidden}", instrument="volts", leads=("{minus}", "G1.+")),
        low="{low}", high="{high}",
    ),
    options=(
        Option(id="within", text="It charges as it should. Whether the battery is good is another question",
               feedback="That is so between {low} and {high} V, with the engine running. You read {volts}. The battery "
               "itself is judged at rest and under load."),
        Option(id="below", text="Nothing comes in, or too little: the engine runs off the battery",
               feedback="That is so under {low} V, with the engine running. You read {volts}."),
        Option(id="above", text="It charges too much: the battery gasses and dries out",
               feedback="That is so over {high} V, with the engine running. You read {volts}."),
        Option(id="full", text="The battery is full and healthy",
               feedback="With the engine running the meter shows the charging, not the battery. Switch off, let it "
               "rest, then read."),
        Option(id="flat", text="The battery is worn out",
               feedback="With the engine running the meter shows the charging, not the battery. Rest it, load it, then "
               "judge."),
    ),
    hints=(
        "Who makes these volts, while the engine runs?",
        "Hold the figure against the two limits: under, between, over?",
        "A generator with limits of 13.8 and 14.5 V that shows 12.5 V gets nothing.",
    ),
)

LAMP_STATES = {
    "P1 open": {"state": "Its charge lamp P1 is blown."},
    "W29 open": {"state": "Wire W29, from the charge lamp to the alternator, is broken."},
    "G3 brushes worn open": {"state": "The brushes in its alternator are worn to the end: D+ finds no way on."},
    "W28 open": {"state": "Wire W28, from the fuse box to the charge lamp, is broken."},
}
LAMP_WAKES = VoltsTable(
    id="12.2", version=2, title="The lamp that wakes the alternator", picture=LOADER_CHARGING,
    criteria=("predict", "charging"),
    prompt="A 24 V loader, engine not running. {state} On a sound one, key on, the lamp is lit, with {feed} at P1.1 "
    "and {sound} at D+. The black lead is on battery minus. What does the meter show here with the red lead on each "
    "point, key off, and then key on? The table locks.",
    given={"broken": tuple(LAMP_STATES), "points": ("G3.B+ P1.1 P1.2 G3.D+", "G3.D+ P1.2 P1.1 G3.B+")},
    words=LAMP_STATES,
    told={
        "sound": MeterVolts(setup=Setup(machine=LOADER, positions={"key": "on"}), red="G3.D+", black="G2.-"),
        "feed": MeterVolts(setup=Setup(machine=LOADER, positions={"key": "on"}), red="P1.1", black="G2.-"),
    },
    setup=Setup(machine=LOADER, faults=("{broken}",)), black="G2.-", points_listed="{points}",
    columns=(Column(title="key off", positions={"key": "off"}), Column(title="key on", positions={"key": "on"})),
    load="P1",
    why="One thin way: key, lamp, wire, D+, brushes, ground. Broken anywhere, the lamp stays out and the alternator "
    "sleeps on. The point where the volts end is the place.",
    next="Walk it with the key on: P1.1, the lamp, P1.2, W29, D+, the brushes. Before the break stands the battery; "
    "behind it nothing. B+ is on the battery all the time.",
    hints=(
        "Does any current flow on that way now? So does anything lose volts?",
        "Before the break: the battery's volts. Behind it, nothing pushes: about 0.",
        "With a broken filament in a work lamp: battery volts on its feed, 0 on its ground side.",
    ),
)

# Wires 1 to 2, 2 to 3 and 3 to 1, AC volts; then each to ground, and the speed.
STATORS = {
    "12.1 12.0 12.2, OL": {"verdict": "rest", "speed": "as stated"},
    "12.0 12.2 12.1, OL": {"verdict": "rest", "speed": "as stated"},
    "12.2 7.1 7.0, OL": {"verdict": "stator", "speed": "as stated"},
    "7.0 7.1 12.1, OL": {"verdict": "stator", "speed": "as stated"},
    "12.0 12.1 12.1, 0.3 Ω": {"verdict": "ground", "speed": "as stated"},
    "12.2 12.1 12.2, 0.4 Ω": {"verdict": "ground", "speed": "as stated"},
    "5.9 6.0 6.0, OL": {"verdict": "speed", "speed": "half of what is stated"},
    "6.1 6.0 6.1, OL": {"verdict": "speed", "speed": "half of what is stated"},
}
for _shown, _case in STATORS.items():
    _case |= dict(zip(("first", "second", "third", "each"), _shown.replace(",", "").split(" ", 3), strict=True))
# Published: stator phase to phase low, phase to ground open (US Army TM 9-2320-266-34). Equal AC volts between phases,
# unplugged, at the stated speed: common practice. In a star one dead winding leaves each pair it shares with a good one
# that one's own volts, 1/√3 of what two good ones have: 12.2/1.732 = 7.0 V.
THREE_WIRES = Choice(
    id="12.3", version=3, title="Three yellow wires",
    picture=Picture(machine="ride-on-mower", stage="charging", look="three wires"),
    criteria=("charging", "next-test"),
    prompt="A small engine has a magnet stator with three wires and a regulator. It does not charge. The plug between "
    "them is off. The manual says: 12 V AC between any two wires at the stated speed, and no wire to ground. Here is "
    "what you find. What now?",
    table=(
        "measured | you read", "wire 1 to 2 | {first} V AC", "wire 2 to 3 | {second} V AC",
        "wire 3 to 1 | {third} V AC", "each to ground, engine off | {each}", "speed of the AC volts | {speed}",
    ),
    given={"readings": tuple(STATORS)},
    words=STATORS,
    right=Best(option="{verdict}", source="US Army TM 9-2320-266-34, and common practice"),
    options=(
        Option(id="rest", text="The stator is good: go on behind it, at the regulator and its way to the battery",
               feedback="The stator is good when all three are alike, as high as the manual says, and none has a way "
               "to ground."),
        Option(id="stator", text="The stator is bad: one of its windings gives next to nothing",
               feedback="It is a bad winding when one pair is right and the two that share a wire are not."),
        Option(id="ground", text="The stator is bad: its winding touches the iron",
               feedback="That is it when a wire has ohms to ground. The AC volts can be quite right all the same."),
        Option(id="speed", text="Nothing is proved yet: read again at the stated speed",
               feedback="AC volts go with the speed. All alike and all low at a low speed says nothing bad."),
    ),
    hints=(
        "Are the three alike? As high as asked for? At which speed? And to ground?",
        "Alike, high, at the speed, OL to ground: good. One of these wrong: that one tells.",
        "0 V between all three would be a stator that gives nothing, or a magnet that does not turn.",
    ),
)

# Two things that a drain test never has, each in two forms.
NEVERS = {
    "crank": {"heavy": "Crank once, to see whether the meter holds"},
    "wake": {"heavy": "Key to start for a second, so that all of it wakes up"},
    "both posts": {"short": "Hold the meter's amps leads on both posts for a moment"},
    "plus to frame": {"short": "Meter on amps from the plus post to the frame, to see what comes"},
}
DRAIN_STEPS = Ordered(
    id="12.4", version=2, title="Measuring a drain", picture=Picture(machine=GENERATOR, stage="main feed"),
    criteria=("safe", "charging", "measure"),
    prompt="You have no clamp meter for small currents. So you measure the drain with the meter in series, and a "
    "bypass link beside it. Put the steps in order. Two of them belong to no drain test: leave them out.",
    given={"cranked": ("crank", "wake"), "across": ("both posts", "plus to frame")},
    words=NEVERS,
    options=(
        Option(id="off", text="Key off, everything off, nothing plugged in",
               feedback="Begin with all off: what you want is what still runs then."),
        Option(id="link", text="A bypass link on, from the minus post to the minus clamp",
               feedback="The link goes on before the clamp comes off, so that no unit loses its feed."),
        Option(id="clamp", text="Take the minus clamp off its post",
               feedback="The link must be on before that, and the meter comes after: on a clamp that still sits on its "
               "post it sees nothing."),
        Option(id="meter", text="The fused meter on its biggest amps range, from post to clamp",
               feedback="It must be in place before the link comes off, and after the clamp did."),
        Option(id="unlink", text="Take the link off: now all of it goes through the meter",
               feedback="Not before the meter is in place, or everything loses its feed."),
        Option(id="read", text="Wait until every control unit sleeps, then read",
               feedback="First everything has to go through the meter. Then you wait, and read."),
        Option(id="crank", text="{heavy}",
               feedback="Never: two hundred amps through a meter. Its fuse goes, or the meter does."),
        Option(id="across", text="{short}",
               feedback="Never: on amps the meter is a short. That burns meter, leads and hands."),
    ),
    right=InThisOrder(
        options=("off", "link", "clamp", "meter", "unlink", "read"),
        source="common practice; the drain cautions of the machine files",
    ),
    why="Then one fuse after another comes out, and you watch where the amps stop. At the end the other way round: "
    "link on, meter off, clamp on. Nobody turns a key in between.",
    hints=(
        "What must never be without a feed, not even for a moment?",
        "The link goes on first and comes off last but one.",
        "With a clamp meter that reads milliamps it is shorter: all off, wait, put it round the cable, read.",
    ),
)

# Published: 5 A for 20 hours are 100 ampere-hours (US Army Ordnance subcourse OD0010, battery ratings).
HOW_LONG = Number(
    id="12.5", version=1, title="Amps times hours", picture=BOAT_CHARGING, criteria=("figures", "charging"), unit="h",
    prompt="A battery of {capacity} Ah gives {amps} A all the time. How many hours does it last till it is empty?",
    given={"pair": ("100 5", "80 2.5", "90 6", "60 2.5")},
    words={"100 5": {"capacity": "100", "amps": "5"}, "80 2.5": {"capacity": "80", "amps": "2.5"},
           "90 6": {"capacity": "90", "amps": "6"}, "60 2.5": {"capacity": "60", "amps": "2.5"}},
    asks=Lasts(amp_hours="{capacity}", amps="{amps}", unit="h"),
    why="{capacity} Ah over {amps} A. The figure on the label holds for some twenty hours; a starter's big current "
    "empties it much sooner.",
    hint="Ampere-hours are amps times hours. Which number do you have to divide by which?",
    hints=(
        "Twice the amps: does it last longer, or not so long?",
        "Ampere-hours over amps gives hours.",
        "40 Ah at 2 A last 20 h.",
    ),
    slips={
        "multiplied": Slip(reason="That is ampere-hours times amps. More amps would then make it last longer."),
        "upside down": Slip(points=1, reason="That is amps over ampere-hours, the wrong way up."),
    },
)

DRAINS = {
    "generator": {"whose": "The site generator stands still", "capacity": "70", "milliamps": "160"},
    "boat": {"whose": "The tender lies at its mooring", "capacity": "75", "milliamps": "250"},
    "loader": {"whose": "The loader stands in the yard", "capacity": "100", "milliamps": "120"},
    "mower": {"whose": "The mower stands in its shed", "capacity": "24", "milliamps": "20"},
    "bike": {"whose": "The orchard bike stands in the barn", "capacity": "10", "milliamps": "15"},
}
DAYS = Number(
    id="12.6", version=1, title="How many days?", picture=BOAT_CHARGING, criteria=("figures", "charging"), unit="d",
    prompt="{whose}, all off. In series with battery minus you measure {milliamps} mA. Its battery has {capacity} Ah. "
    "When half of that is gone, it will not crank any more. After how many days is that?",
    given={"who": tuple(DRAINS)},
    words=DRAINS,
    asks=Lasts(amp_hours="{capacity}", amps="{milliamps}e-3", unit="d", share="0.5"),
    why="Half of {capacity} Ah over {milliamps} mA gives the hours, and 24 of them are a day. A few milliamps for a "
    "clock are half a year; a tenth of an amp is a fortnight.",
    hint="Three steps: milliamps to amps. Half the ampere-hours over the amps: hours. Over 24: days.",
    hints=(
        "A thousand milliamps are one amp.",
        "Half the ampere-hours, over the amps, gives hours. Over 24 gives days.",
        "50 Ah and 100 mA: 25 Ah over 0.1 A are 250 h, a bit over 10 days.",
    ),
    slips={
        "all of it": Slip(points=2, reason="By then it is empty. Half gone is enough to keep it from cranking."),
        "hours": Slip(points=2, reason="Those are the hours. 24 of them are a day."),
        "thousand": Slip(points=1, reason="A thousand times too short: those were milliamps, not amps."),
    },
)

FIND_IT = JobQuestion(
    id="12.7", version=1, title="Job card J26: flat by Monday", picture=BOAT_CHARGING, card="J26",
    criteria=("find", "charging", "cause", "repair", "safe"),
    prompt="A tender whose battery is flat every Monday. Say what you suspect, and why, before you test. Prove it by "
    "amps, find out why it happened, put it right, measure the drain again, then the complaint and the interlock.",
)

EXPLAIN = Explain(
    id="12.8", version=1, title="Tell the harbour hand", picture=BOAT_CHARGING, criteria=("report", "charging"),
    prompt="The harbour hand says: “The engine was running and I had 14.2 volts at the battery, so the battery is "
    "good.” In two or three plain sentences: what does that reading show, what not, and what would you measure next?",
    rubric=(
        "says that running volts show the charging, not the battery",
        "says that the battery is judged at rest, and under load",
        "says that a drain with all off has to be measured as well, and how (in series or with a clamp)",
    ),
    model="With the engine running the alternator makes those volts, so 14.2 V says that it charges well. How good the "
    "battery is, it shows at rest and under load. And if it is flat by Monday all the same, I measure with all off "
    "what still runs out, in series with the minus clamp.",
)

QUESTIONS = (
    RUNNING_VOLTS, LAMP_WAKES, THREE_WIRES, DRAIN_STEPS, HOW_LONG, DAYS, FIND_IT, EXPLAIN,
)
