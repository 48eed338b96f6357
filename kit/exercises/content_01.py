"""Questions of lesson 01: the closed path, on the bench board.

Raise a question's ``version`` with any change here: marking refuses answers given to another version.
"""

from kit.exercises.choice import Choice, ExplainsAll, Option
from kit.exercises.explain import Explain
from kit.exercises.figures import Network, PathAmps, Setup
from kit.exercises.number import Number, Slip
from kit.exercises.ordered import CurrentPath, Ordered
from kit.exercises.prediction import Column, Prediction
from kit.exercises.question import Picture
from kit.exercises.several import Several
from kit.exercises.standing import Standing
from kit.exercises.times import TimesAsMuch
from kit.exercises.volts_table import VoltsTable

BOARD = "bench-board"
LAMP_CIRCUIT = Picture(machine=BOARD, stage="lamp circuit")
RELAY_LOAD = Picture(machine=BOARD, stage="relay load")
OFF = Column(title="switch off", positions={"switch": "off"})
ON = Column(title="switch on", positions={"switch": "on"})

NOT_YET = "It is on the way, but not yet. What does the current pass between the part before and this lamp?"
NOT_ON_THE_WAY = "It has a branch of its own. Ask at every part: could I cut this one out and the lamp still burn?"

TRACE = Ordered(
    id="01.1", version=1, title="Once round", picture=LAMP_CIRCUIT, criteria=("trace",),
    prompt="{doing} Put the parts in the order in which the current of the {lamp} meets them, from the battery round "
    "to the battery again. Leave out what that current does not pass.",
    given={"way": ("E1", "E2")},
    words={
        "E1": {"doing": "The lamp switch is on; the button is not touched.", "lamp": "lamp E1", "switch": "on",
               "button": "released", "e1": NOT_YET, "e2": NOT_ON_THE_WAY},
        "E2": {"doing": "The lamp switch is off; the button is held.", "lamp": "second lamp E2", "switch": "off",
               "button": "pressed", "e1": NOT_ON_THE_WAY, "e2": NOT_YET},
    },
    pictures={"E2": RELAY_LOAD},
    options=(
        Option(id="G1", text="battery G1", feedback="Every current here comes out of the battery's plus and goes back "
               "into its minus. Begin there."),
        Option(id="F1", text="fuse F1", feedback="All that leaves the battery passes the fuse first: that is what it "
               "is there for."),
        Option(id="S1", text="lamp switch S1", feedback="The switch feeds lamp E1, and nothing else."),
        Option(id="K1", text="contact of relay K1", feedback="The relay's contact carries the current of the second "
               "lamp, and of nothing else."),
        Option(id="E1", text="lamp E1", feedback="{e1}"),
        Option(id="E2", text="second lamp E2", feedback="{e2}"),
        Option(id="X4", text="minus rail X4", feedback="The rail is the way home. A lamp lights only if its current "
               "can get back to the battery."),
    ),
    right=CurrentPath(setup=Setup(machine=BOARD, positions={"switch": "{switch}", "button": "{button}"}), load="{way}"),
    why="One closed way, out of plus and back into minus. Break it anywhere, before the lamp or behind it, and the "
    "lamp is dark.",
    hints=(
        "Put your finger on battery plus, and follow the line on the drawing.",
        "Where the line divides, take the branch that leads to the {lamp}. Stop only when you are back at the battery.",
        "For the other lamp it would go: battery, fuse, its own switch or contact, the lamp, the rail.",
    ),
)

LAMP_ON_SOUND = Prediction(
    id="01.2", version=1, title="A test lamp along the way", picture=LAMP_CIRCUIT, criteria=("predict",),
    prompt="Nothing is wrong with the board. The clip of the test lamp is on battery minus, {clip}. Say what the test "
    "lamp does with its tip on each point, switch off and switch on. The table locks before you see the readings.",
    given={
        "points": ("F1.2 S1.2 E1.1 E1.2", "F1.1 S1.1 X2.b E1.2", "F1.2 S1.1 S1.2 X3.tag", "F1.1 X7.b E1.1 X3.tag"),
        "clip": ("G1.-", "X5.clip"),
    },
    setup=Setup(machine=BOARD), clip="{clip}", points_listed="{points}", columns=(OFF, ON), feed="E1",
    why="Plus reaches as far as the open switch, and with the switch on as far as the lamp. Behind the lamp you are on "
    "the way home: both ends of the test lamp stand on minus, so it is out.",
    next="Follow plus with your finger: it stops at an open switch, and it is used where the lamp is. Behind the lamp "
    "the wire is joined to minus. Try two of the points on the board.",
    hints=(
        "The test lamp lights where its tip finds plus, for its clip has minus already.",
        "Switch off: which points are still joined to plus? Switch on: how far does plus reach now?",
        "At the fuse it is lit either way. At the minus rail it is out either way.",
    ),
)

BROKEN = {
    "X3 open": {"cause": "The minus screw X3 of the lamp holder is loose, so the way home is broken there."},
    "E1 open": {"cause": "The filament of lamp E1 is broken."},
    "S1 stuck open": {"cause": "The contact of the lamp switch S1 no longer closes."},
    "W5 open": {"cause": "Wire W5, from the lamp holder to the minus rail, is broken inside its insulation."},
}

STANDINGS = Standing(
    id="01.3", version=1, title="Live, ground or floating?", picture=LAMP_CIRCUIT, criteria=("trace", "predict"),
    prompt="{cause} How does each point stand: joined to plus (live), joined to minus (ground), or joined to neither "
    "(floating)? Say it for the switch off and the switch on.",
    given={"broken": tuple(BROKEN), "points": ("F1.2 S1.2 E1.1 E1.2", "S1.1 X2.b E1.2 X4.rail")},
    words=BROKEN,
    setup=Setup(machine=BOARD, faults=("{broken}",)), points_listed="{points}", columns=(OFF, ON),
    why="A break cuts a loop in two: one piece hangs on plus, one on minus. With a second gap, an open switch say, the "
    "piece between the two hangs on nothing.",
    next="From each point, walk both ways on the drawing, through lamps too, until you meet a post or a gap. Plus met: "
    "live. Minus met: ground. Gaps on both sides: floating.",
    hints=(
        "A lamp that is whole joins its two pins, lit or not.",
        "Mark the gaps first: the break, and the switch while it is off. Then see which piece each point lies on.",
        "On a sound board with the switch off, both pins of the lamp are ground: through the filament and home.",
    ),
)

# Published: nine volts over three, ten and five kilohms in a row.
# Kuphaldt, Lessons in Electric Circuits, vol. I, series circuits.
IN_A_ROW = {"R1": "1 2 3000", "R2": "2 3 10000", "R3": "3 0 5000"}
SERIES = Number(
    id="01.4", version=1, title="Three in a row", picture=LAMP_CIRCUIT, criteria=("figures",), unit="V",
    prompt="A paper board: three resistors stand one behind the other across a 9 V battery. R1 has 3 kΩ, R2 has 10 kΩ, "
    "R3 has 5 kΩ. How many volts does a meter show across {which}?",
    given={"which": ("R1", "R2", "R3")},
    words={"R1": {"between": "1 2", "own": "3 kΩ"}, "R2": {"between": "2 3", "own": "10 kΩ"},
           "R3": {"between": "3 0", "own": "5 kΩ"}},
    asks=Network(volts="9", resistors=IN_A_ROW, asks="volts {between}",
                 source="Kuphaldt, Lessons in Electric Circuits, vol. I, series circuits"),
    why="One loop, one current: 9 V over 18 kΩ is 0.5 mA, and {which} takes 0.5 mA times {own}. Volts go by "
    "resistance; all three together make 9 V.",
    hint="Add the three resistances. What share of the sum has {which}? That share of the 9 V stands across it.",
    hints=(
        "The same current goes through all three: there is only one way.",
        "Add up the resistances: 3 + 10 + 5. {which} gets its share of the 9 V, by resistance.",
        "Another row: 12 V over 1 kΩ and 3 kΩ. The first has a quarter of the ohms, so a quarter of the volts: 3 V.",
    ),
    slips={
        "equal share": Slip(
            idea="equal-share",
            reason="3 V is what you would read if each part got the same. Volts go by resistance: 10 kΩ takes twice "
            "what 5 kΩ takes. Share the 9 V by 3, 10 and 5.",
        ),
        "nominal": Slip(
            reason="9 V is what the battery gives to all three together. {which} alone gets its share.",
        ),
        "rest": Slip(
            points=2,
            reason="That is what the other two have together. You found the way; now take what is left of the 9 V.",
        ),
        "nothing": Slip(
            idea="no-current-no-volts",
            reason="0 V would mean no current through {which}. The loop is closed, so a current flows, and it costs "
            "volts in every resistor.",
        ),
        "thousand": Slip(points=2, reason="The figure is right and the unit a thousand off. It is a 9 V battery."),
    },
)

SAME_CURRENT = Number(
    id="01.5", version=1, title="Before and behind the lamp", picture=LAMP_CIRCUIT, criteria=("figures",), unit="A",
    prompt="The {lamp} is lit. An ammeter in the wire before it, {before}, shows {amps}. What does an ammeter show in "
    "the wire behind it, {behind}?",
    given={"way": ("E1", "E2")},
    words={
        "E1": {"lamp": "lamp E1", "before": "W4", "behind": "W5", "switch": "on", "button": "released"},
        "E2": {"lamp": "second lamp E2", "before": "W10", "behind": "W11", "switch": "off", "button": "pressed"},
    },
    pictures={"E2": RELAY_LOAD},
    told={"amps": PathAmps(
        setup=Setup(machine=BOARD, positions={"switch": "{switch}", "button": "{button}"}), path="{before}")},
    asks=PathAmps(setup=Setup(machine=BOARD, positions={"switch": "{switch}", "button": "{button}"}), path="{behind}"),
    why="What goes in at one pin comes out at the other. The lamp uses volts up, never current.",
    hint="Think of a belt that runs round: as much comes back as goes out. Which number says that?",
    hints=(
        "Where could some of the current have gone, between the two wires?",
        "There is one way through the lamp and no branch. So count what goes in, and what comes out.",
        "In the fuse, before everything, the same holds: as many amps leave the battery as come home to it.",
    ),
    slips={
        "nothing": Slip(
            idea="current-used-up",
            reason="0 A is what you would read if the lamp ate all the current. Then nothing would come home to the "
            "battery. Put an ammeter on the board behind the lamp: it shows the same as before it.",
        ),
        "half": Slip(
            idea="current-used-up",
            reason="Half is what you would read if the lamp kept some of the current. It keeps none: it takes volts. "
            "Measure on the board before and behind the lamp.",
        ),
        "twice": Slip(reason="More cannot come out than goes in: there is only one way in."),
        "thousand": Slip(points=2, reason="The figure is right; look at the unit once more: A, not kA."),
    },
)

MEET = Choice(
    id="01.9", version=1, title="Do they meet in the lamp?", picture=LAMP_CIRCUIT, criteria=("predict", "trace"),
    prompt="“One current comes from plus and one from minus,” says the apprentice, “and where they meet there is "
    "light.” Try it. An ammeter stands in {there}, and the {lamp} is lit. Now {break} comes loose, on the {far} side "
    "of the lamp. What does the ammeter show?",
    given={"way": ("E1 return", "E1 feed", "E2 return", "E2 feed")},
    words={
        "E1 return": {"lamp": "lamp E1", "path": "W4", "there": "W4, before the lamp", "break": "W5", "far": "minus",
                      "switch": "on", "button": "released"},
        "E1 feed": {"lamp": "lamp E1", "path": "W5", "there": "W5, behind the lamp", "break": "W4", "far": "plus",
                    "switch": "on", "button": "released"},
        "E2 return": {"lamp": "second lamp E2", "path": "W10", "there": "W10, before the lamp", "break": "W11",
                      "far": "minus", "switch": "off", "button": "pressed"},
        "E2 feed": {"lamp": "second lamp E2", "path": "W11", "there": "W11, behind the lamp", "break": "W10",
                    "far": "plus", "switch": "off", "button": "pressed"},
    },
    pictures={"E2 return": RELAY_LOAD, "E2 feed": RELAY_LOAD},
    right=TimesAsMuch(
        before=PathAmps(setup=Setup(machine=BOARD, positions={"switch": "{switch}", "button": "{button}"}),
                        path="{path}"),
        now=PathAmps(setup=Setup(machine=BOARD, faults=("{break} open",),
                                 positions={"switch": "{switch}", "button": "{button}"}), path="{path}"),
    ),
    options=(
        Option(id="1", text="As much as before: its own current still arrives", idea="clashing-currents",
               feedback="That is what you would read if each post sent a current of its own. There is one current, and "
               "it goes all the way round. On the bay, loosen that wire with the lid off and put the lamp on either "
               "side of it."),
        Option(id="0.5", text="Half: the other half came from the other side", idea="clashing-currents",
               feedback="Half is what you would read if two currents met in the lamp. Loosen the wire on the bay, lid "
               "off: nothing is left to flow, on either side."),
        Option(id="0", text="Nothing", feedback="One loop, opened anywhere, carries nothing anywhere. The far side "
               "counts as much as the near one."),
        Option(id="2", text="Twice as much, with nothing to hold it back", feedback="An open wire holds everything "
               "back. Twice as much would need another way home; there is none."),
    ),
    hints=(
        "How many ways lead out of the lamp, once that wire is loose?",
        "Follow the current all the way round with a finger. Where does the finger stop?",
        "With the fuse out, far away from the lamp, the ammeter shows nothing as well.",
    ),
)

FEEDS = "It feeds both lamps. With it broken the other one would be dark as well."
SUSPECTS = Several(
    id="01.6", version=1, title="Who could it be?", picture=LAMP_CIRCUIT, criteria=("suspects",),
    prompt="{seen} One single fault does all this. Tick every fault that could.",
    given={"hidden": ("E1 open", "E2 open")},
    words={
        "E1 open": {"seen": "Switch on: lamp E1 stays dark. Button held: the relay clicks, and the second lamp E2 "
                            "lights."},
        "E2 open": {"seen": "Switch on: lamp E1 lights. Button held: the relay clicks, and the second lamp E2 stays "
                            "dark."},
    },
    pictures={"E2 open": RELAY_LOAD},
    right=ExplainsAll(
        seen=Setup(machine=BOARD, faults=("{hidden}",)),
        moves=({"switch": "on"}, {"switch": "on", "button": "pressed"}),
        watch=("E1", "E2", "K1"),
    ),
    options=(
        Option(id="F1 blown", text="fuse F1 is blown", feedback=FEEDS),
        Option(id="W12 open", text="wire W12, from the minus rail to the battery, is broken",
               feedback="Every current comes home through it, so it would take both lamps."),
        Option(id="S1 stuck open", text="the lamp switch S1 does not close",
               feedback="It stands in the way of lamp E1 alone: E1 dark, everything else well."),
        Option(id="X3 open", text="the minus screw X3 of lamp E1 is loose",
               feedback="It breaks the way home of lamp E1 alone. A break behind a lamp counts like one before it."),
        Option(id="E1 open", text="the filament of lamp E1 is broken",
               feedback="It breaks the way of lamp E1, and of nothing else."),
        Option(id="K1 contacts open", text="the contacts of relay K1 do not close",
               feedback="The relay still clicks, and the second lamp gets nothing: E2 dark, E1 well."),
        Option(id="W11 open", text="wire W11, from the second lamp to the minus rail, is broken",
               feedback="It breaks the way home of the second lamp alone."),
        Option(id="K1 coil open", text="the coil of relay K1 is broken",
               feedback="Then the relay would not click; here it does."),
    ),
    why="Each of these breaks the one lamp's own way, and nothing that anything else needs. Before or behind the lamp "
    "makes no difference.",
    hints=(
        "What works clears everything it needs.",
        "Strike out first what the working lamp and the click need. Then see what is left on the dark lamp's own way.",
        "If both lamps were dark, only what both need would be left: battery, fuse, rail and the wires between.",
    ),
)

VOLTS = VoltsTable(
    id="01.7", version=1, title="The same break with a meter", picture=LAMP_CIRCUIT, criteria=("predict",),
    prompt="{cause} The battery has about 12.7 V. The meter's black lead is on battery minus, G1.-. What does it show "
    "with its red lead on each point, switch off and switch on? The table locks before you see the readings.",
    given={"broken": tuple(BROKEN), "points": ("F1.2 S1.2 E1.1 E1.2", "S1.1 X2.b E1.2 X4.rail")},
    words=BROKEN,
    setup=Setup(machine=BOARD, faults=("{broken}",)), black="G1.-", points_listed="{points}", columns=(OFF, ON),
    load="E1",
    why="Up to the break the meter shows the battery, through a cold lamp too, for no current flows and nothing is "
    "lost. On the far side it shows 0.",
    next="No current flows, so nothing on the way loses volts: every point that is still joined to plus shows all the "
    "battery has, and the rest show 0.",
    hints=(
        "Mark the break, and the switch while it is off. What is still joined to plus?",
        "A lamp that carries no current loses no volts: the same shows on both of its pins.",
        "With only a switch open, all points before it show the battery and all behind it show 0 V.",
    ),
)

WHY_NOT_THE_LAMP = Explain(
    id="01.8", version=1, title="Say it to a friend", picture=LAMP_CIRCUIT, criteria=("report", "next-test"),
    prompt="A friend holds the meter: “12 V on this pin of the lamp holder, and it is dark. So the lamp is dead.” In "
    "two or three sentences: why is that too soon, and which reading comes next?",
    rubric=(
        "says that a lamp needs a way in and a way home",
        "names the other pin, or the way to minus, as what has not been tested",
        "gives a next reading and what its outcomes would mean",
    ),
    model="One pin with plus is half of a closed path; the way home may be broken. Measure the other pin too, lamp in "
    "and switch on: 0 V there means plus on one side, minus on the other and no light between, so the lamp is broken. "
    "12 V on both pins means the current gets through the lamp and not home.",
)

QUESTIONS = (TRACE, LAMP_ON_SOUND, STANDINGS, SERIES, SAME_CURRENT, MEET, SUSPECTS, VOLTS, WHY_NOT_THE_LAMP)
