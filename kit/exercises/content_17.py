"""The extra page on drawings that lie: names for a drawing that has none, and wrong drawings held against machines.

Its questions have a number of their own, 17, so that whoever leaves the page out misses no points of lesson 13 or 14.
"""

from kit.exercises.choice import Option
from kit.exercises.explain import Explain
from kit.exercises.figures import Setup
from kit.exercises.mark_up import WHOLE, Correct, MarkUp, NameThem
from kit.exercises.ordered import CurrentPath, Ordered
from kit.exercises.question import Picture

BOARD, BIKE, MOWER, BOAT = "bench-board", "orchard-bike", "ride-on-mower", "harbour-tender"
MEASURED = "Each line says what the drawing claims. Measure both of its points with the lamp, first clipped to "
WRITE = (
    "Then say of every line: right, wrong, or not shown, where no lamp and no meter can tell. Last, say what is really "
    "so."
)

NAMES = MarkUp(
    id="17.1", version=2, title="Names washed off", picture=Picture(machine=BOARD, stage=WHOLE),
    criteria=("trace",),
    prompt="This is the drawing of the bench board. Rain has taken every letter off it. What are the numbered things? "
    "The second lamp is the one that the relay feeds. Two of the names fit no number.",
    task=NameThem(names=("F1", "S1", "E1", "S2", "E2", "K1.86", "K1.85", "K1.30", "K1.87"), count=7),
    why="The symbol says what kind of thing it is, the lines say which one. That is all a drawing needs.",
    next="Two of a kind are told apart by their way: go back from each towards the battery.",
    hints=(
        "First the symbols: which is a fuse, a lamp, a switch, a relay's coil, a relay's contact?",
        "Two lamps: one comes behind a switch, the other behind the relay's contact.",
        "A relay's coil has 86 on its plus side and 85 on its ground side. Its contact has 30 towards the battery and "
        "87 towards the load.",
    ),
)

# Whose current it is, named by a part of its loop that the other loop does not have.
LOOPS = {
    "E2": {"whose": "the second lamp E2", "piece": "contact", "sheet": "the one that has the lamp",
           "other": "The coil's loop begins: fuse F1, push button S2."},
    "W7": {"whose": "the relay's coil", "piece": "coil", "sheet": "the one that has the coil",
           "other": "The lamp's loop begins: fuse F1, wire W9."},
}
TWO_SHEETS = Ordered(
    id="17.2", version=2, title="Over two sheets", picture=Picture(machine=BOARD, stage="relay coil", look="split"),
    criteria=("trace",),
    prompt="The relay's coil is on sheet 1, its contact on sheet 2. The button is pressed, the second lamp E2 is lit. "
    "Put in order what the current of {whose} passes, from the fuse on. Leave out what it does not pass.",
    given={"load": tuple(LOOPS)},
    words=LOOPS,
    options=(
        Option(id="F1", text="fuse F1", feedback="Every current of the board comes through the fuse first."),
        Option(id="W9", text="wire W9", feedback="W9 brings the lamp's current from the fuse to the relay's contact."),
        Option(id="K1", text="relay K1, one piece of it", feedback="The contact carries the lamp's current, the coil "
               "its own. Here it is the {piece}: what feeds that comes before it."),
        Option(id="W10", text="wire W10", feedback="W10 takes the lamp's current on from the contact to the lamp."),
        Option(id="E2", text="second lamp E2", feedback="The lamp is a load; it comes behind the contact."),
        Option(id="S2", text="push button S2", feedback="The button's current goes through the coil and home. It is "
               "another loop than the lamp's."),
        Option(id="W7", text="wire W7", feedback="W7 goes on from the button to the coil. The lamp's current never "
               "comes there."),
        Option(id="W8", text="wire W8", feedback="W8 takes the coil's current home. The lamp's goes home by another "
               "wire."),
    ),
    right=CurrentPath(setup=Setup(machine=BOARD, positions={"button": "pressed"}), load="{load}"),
    why="The letters K1 stand on both sheets: one relay, two places. The button works the coil on sheet 1, and that "
    "shuts the contact on sheet 2.",
    hints=(
        "Find K1 on both sheets. Which piece of it is in the loop that is asked for?",
        "Both sheets are fed from F1.2. Follow {sheet}.",
        "{other}",
    ),
)

FED_FROM = MarkUp(
    id="17.3", version=2, title="Where is it fed from?", picture=Picture(machine=BIKE, stage="loads"),
    criteria=("trace", "measure", "prove"),
    prompt="A drawing of the orchard bike’s loads. One wire is drawn to a wrong place. " + MEASURED + "battery minus, "
    "then to battery plus. Try key on, then the stop switch at stop. " + WRITE,
    given={
        "mistake": ("W21 from F2.2", "W21 from F3.2", "W19 from S2.2", "W19 from S3.2"),
        "hidden": ("W20 mm2", "W22 mm2", "W20 colour"),
    },
    task=Correct(
        claims=("W19", "W20", "W21", "W22", "{hidden}"),
        positions=({"key": "on"}, {"key": "on", "stop_switch": "stop"}, {}),
    ),
    why="Joined points go together, in every position. These two did not, so the drawing is wrong there.",
    next="Do not ask if a reading is good. Ask if both ends of one line show the same, in every position.",
    hints=(
        "Take one line at a time. Put the lamp on one end, then on the other.",
        "Both bright proves little as long as all is live. Find a position that makes one end dead.",
        "Say the drawing joins F3.2 and S2.1. Stop switch at stop, and both stay bright: that line can be right.",
    ),
)

WHICH_WAY = MarkUp(
    id="17.4", version=1, title="Open or closed?", picture=Picture(machine=MOWER, stage="start request"),
    criteria=("trace", "measure", "starting"),
    prompt="A drawing of the mower’s start request, with everything at rest. One contact is drawn the wrong way round: "
    "closed where it is open. " + MEASURED + "battery minus. Leave one of the three conditions unmet, so that nothing "
    "cranks. " + WRITE,
    given={
        "mistake": ("S2 other way", "B1 other way", "B2 other way"),
        "hidden": ("W5 colour", "W6 colour", "W7 mm2"),
    },
    task=Correct(
        claims=("S2", "W5", "B1", "W6", "B2", "{hidden}"),
        positions=(
            {"key": "start", "brake_pedal": "up"}, {"key": "start", "brake_pedal": "down", "blades": "on"},
            {"key": "run", "brake_pedal": "down"}, {"key": "run", "blades": "on"},
            {"key": "start", "brake_pedal": "up", "blades": "on"},
        ),
    ),
    why="Closed means: both sides show the same. Bright before it and out behind it is open, whatever the paper says.",
    next="A contact that is closed shows the same on both sides. Ask that of the position the drawing calls closed.",
    hints=(
        "Go along the line from the key: S2, B1, B2. Where does the light stop, and in which position?",
        "For each contact: put its control where the drawing says closed. Is the lamp the same on both sides?",
        "Bright on S2.1 and out on S2.2 with the key at run: there S2 is open.",
    ),
)

FUSE_LEFT_OUT = MarkUp(
    id="17.5", version=1, title="A fuse left out", picture=Picture(machine=MOWER, stage="loads"),
    criteria=("trace", "measure", "prove"),
    prompt="A drawing of the mower’s loads. For one of them the fuse F2 is left out: its wire is drawn straight to the "
    "feed. " + MEASURED + "battery minus, key at run. Then pull F2 out, and measure again. " + WRITE,
    given={
        "mistake": ("W21 from F2.1", "W26 from F2.1", "W21 from S1.2", "W26 from S1.2"),
        "hidden": ("F2 amps", "W25 colour", "W27 mm2"),
    },
    task=Correct(
        claims=("W21", "W22", "W25", "W26", "W27", "{hidden}"),
        positions=({"key": "run", "lights": "on"}, {"key": "run"}, {}), fuses=("F2",),
    ),
    why="A good fuse is but a piece of wire, and no lamp sees it. Out it comes, and what went through it goes dark.",
    next="With the fuse in, both its sides are bright and nothing tells them apart. Pull it, and compare both ends of "
    "each line again.",
    hints=(
        "With everything live all points look alike. What could you take away?",
        "Pull F2. Which of the points stay bright, and what does the drawing say of them?",
        "If a line joins S1.2 to a point that goes dark when F2 is out, then that line is wrong.",
    ),
)

CHANGED_OVER = MarkUp(
    id="17.6", version=1, title="Two wires changed over", picture=Picture(machine=BOAT, stage="start request"),
    criteria=("trace", "measure", "prove", "starting"),
    prompt="A drawing of the tender’s start request. The ends of two wires are drawn one for the other, so two lines "
    "are wrong. Isolator on, key on, kill cord pulled, lever ahead: then nothing can crank. " + MEASURED
    + "battery minus, the button up and pressed. " + WRITE,
    given={
        "mistake": ("W11 to x W12 from", "W12 to x W13 from", "W11 to x W13 from"),
        "hidden": ("W12 colour", "W13 mm2", "W11 colour"),
    },
    task=Correct(
        claims=("W11", "S2", "W12", "B1", "W13", "{hidden}"),
        positions=tuple(
            {"isolator": "on", "key": "on", "kill_cord": "pulled", "lever": lever, "start_button": button}
            for lever, button in (("ahead", "released"), ("ahead", "pressed"), ("neutral", "released"))
        ),
    ),
    why="Two wires, two wrong lines, and each of them has a reading against it. The machine may still work; the next "
    "one who trusts the paper will measure at the wrong pin.",
    next="Compare the two ends of each line, button up and button pressed. A line is wrong if its ends ever differ.",
    hints=(
        "Start at the feed, S1.2. Which points are bright with the button up?",
        "A line from a bright point to a dark one cannot be there.",
        "Lever ahead, button pressed: bright up to B1.1, dark behind it. Where does the drawing put these points?",
    ),
)

EXPLAIN = Explain(
    id="17.7", version=1, title="Tell the next one", picture=Picture(machine=BOAT, stage="start request"),
    criteria=("report", "measure"),
    prompt="You found a wrong line in the workshop’s only drawing. A workmate says: “The drawing is from the maker, "
    "so your lamp must be broken.” In two or three plain sentences: what do you say, and what do you write on the "
    "drawing?",
    rubric=(
        "says that the lamp was proved before and after, so it can be believed",
        "says which two points were compared, in which position, and what the lamp showed",
        "writes the correction on the drawing, with date and name, and leaves open what was not measured",
    ),
    model="I proved the lamp on the battery before and after. With the button up it is bright on one end of this line "
    "and dark on the other, so these two points are not joined. I mark the line, write what I measured with date and "
    "name, and leave alone what I have not measured.",
)

QUESTIONS = (NAMES, TWO_SHEETS, FED_FROM, WHICH_WAY, FUSE_LEFT_OUT, CHANGED_OVER, EXPLAIN)
