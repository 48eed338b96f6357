"""Questions of lesson 15: faults that come and go, and two faults at once.

Raise a question's ``version`` with any change here: marking refuses answers given to another version.
"""

from kit.exercises.boxes import BoxesAlone
from kit.exercises.choice import Best, Choice, ExplainsAll, Option
from kit.exercises.explain import Explain
from kit.exercises.figures import MeterVolts, Setup
from kit.exercises.job_question import JobQuestion
from kit.exercises.next_test import NextTest
from kit.exercises.number import Number, Slip
from kit.exercises.ordered import InThisOrder, Ordered
from kit.exercises.prediction import Column, Prediction
from kit.exercises.question import Picture
from kit.exercises.several import Several

BIKE, BOAT, LOADER = "orchard-bike", "harbour-tender", "compact-loader"
UNIT = Picture(machine=LOADER, stage="control unit")
BOAT_START = Picture(machine=BOAT, stage="start request")
BOAT_ON = {"isolator": "on", "key": "on", "kill_cord": "pulled"}
BOAT_HELD = BOAT_ON | {"start_button": "pressed"}
READY = {"key": "on", "seat_bar": "down", "lever": "neutral"}

SCENES = {
    "loader": {"scene": "The loader starts just now. Bar down, its pin K2.seat_bar reads 0.0 V, as it should be."},
    "bike": {"scene": "The bike cranks in the cool shed. You read about 4 Ω in its relay's coil, as it should be."},
    "boat": {"scene": "The tender starts just now. Start held, you read 11 V at the relay's pin 86, as it should be."},
    "set": {"scene": "The generator starts just now. Key on, you read 0.0 V from its unit's ground to battery minus, "
            "as it should be."},
}
GOOD_NOW = Choice(
    id="15.1", version=1, title="A good reading on a good day", picture=Picture(machine=BIKE, stage="starter relay"),
    criteria=("suspects", "measure"),
    prompt="The owner says: only sometimes. {scene} What does that reading prove?",
    given={"where": tuple(SCENES)}, words=SCENES,
    right=Best(option="now", source="common practice: a good reading weakens such a suspect, and never clears it"),
    options=(
        Option(id="now", text="That this place is good just now. Of the hour when it fails it says nothing",
               feedback="So it stays on the list. Bring about what the owner described, and read again."),
        Option(id="cleared", text="That this place is good: strike it off the list",
               feedback="It is good now, and now the machine works anyway. Every fault that comes and goes reads like "
               "a sound part while it is away."),
        Option(id="elsewhere", text="That the fault sits in the next part along the wire",
               feedback="Nothing here points to the next part either: it would read well too, just now."),
        Option(id="gone", text="That the fault has gone by itself: hand the machine back",
               feedback="It has gone before, and it came back each time. It will come back at the worst place."),
        Option(id="meter", text="That the meter is not to be trusted, for a fault there must be",
               feedback="Prove the meter, yes. But a sound meter reads a sound value while the fault is away."),
    ),
    hints=(
        "Does the machine fail at this moment, or does it work?",
        "Think of a wire that is broken only while the bar moves. What would you read while nobody moves it?",
        "A dry shed and a good reading say nothing of a wet morning.",
    ),
)

SEAT = {"one": "K2.seat_bar", "two": "B2.1", "three": "B2.2", "first": "the wire from the unit to the seat-bar switch",
        "middle": "the seat-bar switch", "last": "the wire from the seat-bar switch to the frame"}
GEAR = {"one": "K2.neutral", "two": "B1.1", "three": "B1.2", "first": "the wire from the unit to the neutral switch",
        "middle": "the neutral switch", "last": "the wire from the neutral switch to the frame"}


def _loader(point: str, *faults: str) -> MeterVolts:
    return MeterVolts(setup=Setup(machine=LOADER, faults=faults, positions=READY), red=point, black="G2.-")


MIN_MAX = Choice(
    id="15.2", version=2, title="The lowest and the highest", picture=UNIT, criteria=("find", "measure", "units"),
    prompt="The loader works just now: key on, neutral, bar down. The meter is on volts, min and max, black lead on "
    "battery minus. With the red lead on each of three points you bend the same stretch of loom. Here is what it "
    "keeps. What opens when it is bent?",
    table=(
        "red lead on | lowest | highest", "{one} | {one_low} | {one_high}", "{two} | {two_low} | {two_high}",
        "{three} | {three_low} | {three_high}",
    ),
    given={"hidden": ("W24 open", "B2 stuck open", "W25 open", "W22 open", "B1 stuck open", "W23 open")},
    words={
        "W24 open": SEAT | {"spot": "first"}, "B2 stuck open": SEAT | {"spot": "middle"},
        "W25 open": SEAT | {"spot": "last"}, "W22 open": GEAR | {"spot": "first"},
        "B1 stuck open": GEAR | {"spot": "middle"}, "W23 open": GEAR | {"spot": "last"},
    },
    told={
        **{f"{name}_low": _loader(f"{{{name}}}") for name in ("one", "two", "three")},
        **{f"{name}_high": _loader(f"{{{name}}}", "{hidden}") for name in ("one", "two", "three")},
    },
    right=Best(option="{spot}", source="the machine with that part open"),
    options=(
        Option(id="first", text="{first}",
               feedback="Then only {one} would jump. {two} lies beyond that wire and would stay at 0 V."),
        Option(id="middle", text="{middle}",
               feedback="Then {one} and {two} would jump together, and {three}, behind the switch, would stay at 0 V."),
        Option(id="last", text="{last}",
               feedback="Then nothing in the row would find ground, and all three would jump."),
        Option(id="feed", text="the unit's own feed",
               feedback="Without its feed the unit could not lift the pin to 25 V; and the display would go out."),
    ),
    hints=(
        "Which points jump to the unit's volts, and which keep ground?",
        "From the unit towards the frame: before the break the pull-up lifts all, behind it all stays on ground.",
        "If only the pin at the unit jumped, it would be the stretch between that pin and the next point.",
    ),
)

# When it fails and what brings that about; and what is no step of a hunt.
HUNTS = {
    "wet": {"when": "after rain", "bring": "a fine spray of water", "move": "Wet", "same": "wetting"},
    "hot": {"when": "when it is hot", "bring": "hot air", "move": "Warm", "same": "warming"},
    "rough": {"when": "on rough ground", "bring": "rocking and tapping", "move": "Bend or press", "same": "bending"},
    "renew": {"no_step": "Renew the likeliest part, and wait whether it comes back",
              "because": "That is a bet, and the owner pays for it. If it stays away for a week, nobody knows why."},
    "all": {"no_step": "Clean and tighten all that can be reached, and hand it back",
            "because": "Then it is gone, or it is not, and nobody knows what it was. It will come back at the worst "
            "place."},
    "home": {"no_step": "It starts here: send it home until it fails for good",
             "because": "The owner has seen it fail. It starts here because you have not brought that about yet."},
}
THE_HUNT = Ordered(
    id="15.3", version=2, title="Hunting what comes and goes", picture=Picture(machine=BIKE, stage="main feed"),
    criteria=("next-test", "repair"),
    prompt="“It fails only sometimes,” says the owner. Asked, he adds: {when}. Put the steps in order. One of them is "
    "no step at all: leave it out.",
    given={"trouble": ("wet", "hot", "rough"), "bet": ("renew", "all", "home")},
    words=HUNTS,
    right=InThisOrder(options=("ask", "again", "hold", "one", "mend", "try"), source="common practice"),
    options=(
        Option(id="ask", text="Ask the owner: when, how often, hot, wet, shaken, in which position",
               feedback="The owner has seen it fail and you have not. Ask first."),
        Option(id="again", text="Bring just that about, by {bring}, and see it fail yourself",
               feedback="As long as it works no reading tells anything. First see it fail, with what the owner told "
               "you."),
        Option(id="hold", text="Leads on one point, meter on min and max",
               feedback="You cannot watch a meter and a loom at once; it remembers for you. It comes before "
               "anything is touched."),
        Option(id="one", text="{move} one thing at a time, and look at what the meter kept",
               feedback="One thing at a time: only then do you know which one it was."),
        Option(id="mend", text="Mend what made the figure jump",
               feedback="Only what was seen to make the figure jump is mended."),
        Option(id="try", text="The same {same} once more, then the owner's own complaint",
               feedback="The last step: what made it fail before must do nothing to it now."),
        Option(id="renew", text="{no_step}", feedback="{because}"),
    ),
    why="Owner's words, the same conditions, a meter that remembers, one thing at a time. And the proof is the same "
    "{same}, with nothing happening.",
    hints=(
        "Who has seen it fail? And what is worth a reading while it works?",
        "First make it fail. Then let the meter remember. Then move one thing at a time.",
        "For a plug that fails when it is knocked: ask, knock it, leads on it, pin by pin, mend one, knock again.",
    ),
)

PAIRS = {
    "S2 stuck open": {"first_said": "The start button S2 does not close"},
    "W12 open": {"first_said": "Wire W12, from the start button to the neutral switch, is broken"},
    "B1 stuck open": {"first_said": "The neutral switch B1 does not close"},
    "W13 open": {"second_said": "wire W13, from the neutral switch to the relay's socket, is broken as well"},
    "X12 high resistance 50 kohm": {"second_said": "the socket clip of pin 86, X12, is green with salt as well: 50 kΩ"},
}
TWO_IN_A_ROW = Prediction(
    id="15.4", version=1, title="Two breaks in one row", picture=BOAT_START, criteria=("predict", "starting"),
    prompt="A tender with two faults at once. {first_said}, and {second_said}. Lever in neutral. The lamp's clip is on "
    "battery minus, G1.-. What does the lamp do with its tip on each point, key on, and then with start held? The "
    "table locks.",
    given={"first": ("S2 stuck open", "W12 open", "B1 stuck open"),
           "second": ("W13 open", "X12 high resistance 50 kohm")},
    words=PAIRS, setup=Setup(machine=BOAT, faults=("{first}", "{second}")), clip="G1.-",
    points_listed="S2.1 S2.2 B1.1 B1.2 X12.socket",
    columns=(Column(title="key on", positions=BOAT_ON), Column(title="start held", positions=BOAT_HELD)),
    feed="K1.coil",
    why="Bright as far as the first break, and out from there on. Take the second one away, and not one cell changes: "
    "the first hides it.",
    next="Walk from S2.1 towards the relay. At the first break the light ends. What is wrong behind it makes no "
    "difference to any cell.",
    hints=(
        "With the start button not held, how far does plus come?",
        "Start held: which of the two faults do you meet first?",
        "With only the relay's coil broken all five would be bright while start is held.",
    ),
)

# What was mended first, the last point that is bright before it, and the five that are left: one's own work among them.
MENDED = {
    "W11 open": {"found": "You found wire W11 broken and mended it.", "bright": "S1.2", "one": "S2.1",
                 "five": "W11 open, S2 stuck open, W12 open, B1 stuck open, W13 open"},
    "S2 stuck open": {"found": "You found the start button S2 dead and renewed it.", "bright": "S2.1", "one": "S2.2",
                      "five": "S2 stuck open, W12 open, B1 stuck open, W13 open, X12 high resistance 50 kohm"},
    "W12 open": {"found": "You found wire W12 broken and mended it.", "bright": "S2.2", "one": "B1.1",
                 "five": "W12 open, B1 stuck open, W13 open, X12 high resistance 50 kohm, K1 coil open"},
    "B1 stuck open": {"found": "You found the neutral switch B1 out of reach and set it.", "bright": "B1.1",
                      "one": "B1.2",
                      "five": "B1 stuck open, W13 open, X12 high resistance 50 kohm, K1 coil open, W14 open"},
}
AFTER_THE_FIRST = NextTest(
    id="15.5", version=2, title="Mended, and still silent", picture=BOAT_START, criteria=("next-test", "suspects"),
    prompt="{found} Key on, neutral, start held: still not a sound. {bright} was bright before, and is. One of the "
    "five below it is, your own repair among them. The lamp's clip is on battery minus, G1.-. Where does the tip go "
    "first, and who is left if it is lit (dim or bright), and if it is out?",
    given={"first": tuple(MENDED)},
    words=MENDED,
    seen=Setup(machine=BOAT, positions=BOAT_HELD), clip="G1.-",
    tips=("S2.1", "S2.2", "B1.1", "B1.2", "X12.socket", "K1.86"),
    suspects={
        "W11 open": "wire W11, key switch to start button, does not conduct",
        "S2 stuck open": "the start button S2 does not close",
        "W12 open": "wire W12, start button to neutral switch, does not conduct",
        "B1 stuck open": "the neutral switch B1 does not close",
        "W13 open": "wire W13, neutral switch to relay socket, does not conduct",
        "X12 high resistance 50 kohm": "the socket clip X12 of pin 86 is green with salt",
        "K1 coil open": "the start relay's coil is broken",
        "W14 open": "wire W14, relay coil to ground, does not conduct",
    },
    chosen="{five}", count=5,
    why="Two on one side, three on the other. Lit also says: your repair is good, and something else is wrong too. Out "
    "says: look at your own work first.",
    hints=(
        "Begin anew, as with a fresh complaint. Your own repair is one of the suspects.",
        "A break before the tip puts the lamp out. Which tip has two or three of the five before it?",
        "At {one} only your own repair would put the lamp out: one on one side, four on the other.",
    ),
)

SILENT, CLICKS, SLOW = (
    "With it the tender would still be silent.", "With it the start relay would click, and nothing would turn.",
    "With it the tender would crank, and slowly.",
)
CHANGED = Several(
    id="15.6", version=1, title="The complaint has changed", picture=Picture(machine=BOAT, stage="start relay"),
    criteria=("suspects", "starting"),
    prompt="The tender was silent. You found the neutral switch out of reach and set it; the lamp behind it is bright "
    "now. Start held: {seen} There is a second fault. Tick every one that it could be, by what you see now.",
    given={"hidden": ("X12 high resistance 50 kohm", "K1 contacts open", "W2 high resistance 0.02 ohm")},
    words={
        "X12 high resistance 50 kohm": {"seen": "still not a sound."},
        "K1 contacts open": {"seen": "now the start relay clicks once, and nothing turns."},
        "W2 high resistance 0.02 ohm": {"seen": "now it cranks, and slowly."},
    },
    right=ExplainsAll(seen=Setup(machine=BOAT, faults=("{hidden}",), positions=BOAT_ON), moves=(BOAT_ON, BOAT_HELD),
                      watch=("K1", "M1")),
    options=(
        Option(id="X12 high resistance 50 kohm", text="the socket clip of pin 86 is green", feedback=SILENT),
        Option(id="K1 coil open", text="the start relay's coil is broken", feedback=SILENT),
        Option(id="W14 open", text="wire W14, relay coil to ground, is broken", feedback=SILENT),
        Option(id="K1 contacts open", text="the start relay's contacts do not touch", feedback=CLICKS),
        Option(id="W16 open", text="wire W16, relay to starter solenoid, is broken", feedback=CLICKS),
        Option(id="W2 high resistance 0.02 ohm", text="a lug of the starter cable W2 is corroded inside",
               feedback=SLOW),
        Option(id="Q1 contacts burnt 0.02 ohm", text="the isolator's contacts are burnt", feedback=SLOW),
        Option(id="X10 high resistance 0.02 ohm", text="the minus cable's lug on the block is loose", feedback=SLOW),
    ),
    why="What it does now is a new complaint, with suspects of its own. What it did before belongs to the fault that "
    "you have mended.",
    hints=(
        "Forget what it did before the repair. What does it do now?",
        "Silent: nobody asks the coil. A click: the coil is asked, the big current does not come. Slow: it comes, and "
        "volts are lost.",
        "If it cranked well and did not fire, the run circuit would be next.",
    ),
)

# The published board: three boxes multiply, two add (de Kleer & Williams, Artificial Intelligence 32, 1987).
SHOWS = {
    "10 12": {"f": "10", "g": "12", "told": "G is right, so the middle box and the lower ones are right: M1 or A1."},
    "12 10": {"f": "12", "g": "10", "told": "F is right, so the middle box and the upper ones are right: M3 or A2."},
    "10 10": {"f": "10", "g": "10", "told": "Both are 2 short, and only the middle box M2 feeds both."},
    "15 15": {"f": "15", "g": "15", "told": "Both are 3 over, and only the middle box M2 feeds both."},
    "10 13": {"f": "10", "g": "13", "told": "One is 2 short, the other 1 over. Not even the middle box can do both: "
              "here there are two faults."},
    "14 11": {"f": "14", "g": "11", "told": "One is 2 over, the other 1 short. Not even the middle box can do both: "
              "here there are two faults."},
}
FIVE_BOXES = Number(
    id="15.7", version=1, title="Five boxes", picture=BOAT_START, criteria=("suspects", "figures"), unit="suspects",
    prompt="A published riddle. Three boxes multiply: M1 gives 3 × 2, M2 gives 2 × 3, M3 gives 2 × 3. Two boxes add: "
    "A1 adds M1 and M2 and shows F; A2 adds M2 and M3 and shows G. Sound, F and G both show 12. Now F shows {f} and G "
    "shows {g}. How many of the five boxes could do that each alone, with the other four sound?",
    given={"shows": tuple(SHOWS)}, words=SHOWS,
    asks=BoxesAlone(inputs="3 2 2 3 3", first="{f}", second="{g}"),
    why="{told} One fault is the first thing to think of, for it is far more common. When no single one explains "
    "everything you have read, think of two.",
    hint="Take each box by itself: if it alone were wrong, what would F and G show? The middle box M2 feeds both of "
    "them.",
    hints=(
        "Which boxes does F hang on? Which does G? Which box do both hang on?",
        "If M2 alone were wrong, F and G would be wrong by the same amount.",
        "With F at 12 and G at 7 it would be two: M3 or A2, for F clears M2.",
    ),
    slips={
        "on the way": Slip(points=2, reason="Those are all the boxes on the way to a wrong reading. Now use the other "
                           "reading as well: what does it say of M2?"),
        "with pairs": Slip(points=1, reason="You have counted pairs too. The question is which box could do it alone."),
        "all five": Slip(reason="Each box alone: M1 alone, say, can never change G."),
    },
)

FIND_IT = JobQuestion(
    id="15.8", version=1, title="Job card J50: only sometimes", picture=UNIT, card="J50", efficiency=5,
    criteria=("find", "next-test", "starting", "cause", "repair"),
    prompt="A loader that starts, and an hour later does not. Ask the owner what the hour has to do with it. Say what "
    "you suspect, and why, before you test. Make it fail, prove what does it, mend it, and bend the same place again.",
)

BOTH = JobQuestion(
    id="15.10", version=1, title="Job card J61: not a click", picture=BOAT_START, card="J61", efficiency=5,
    criteria=("find", "next-test", "starting", "cause", "repair"),
    prompt="A tender that says nothing at all. Prove what silences her, mend it, try her again. Is the repair proved "
    "by its own reading, and she still does not start? Then keep it, and begin anew from what she does now: prove that "
    "as well, state it and its cause like the first, and mend it. You are done when the complaint is gone.",
)

EXPLAIN = Explain(
    id="15.9", version=1, title="“So it wasn't the switch”", picture=BOAT_START, criteria=("report", "suspects"),
    prompt="You set the neutral switch of the tender, and she is still silent. The harbour hand says: “So it wasn't "
    "the switch. Put it back as it was, I won't pay for that.” In two or three plain sentences: what do you answer, "
    "and what do you do next?",
    rubric=(
        "says that the repair is proved by its own reading: behind the switch the lamp was out and is bright now",
        "says that a second fault was hidden behind the first, or that two faults can be there at once",
        "says that the search begins anew from the same complaint, and that it ends when the complaint is gone",
    ),
    model="The switch was bad: before, the lamp was out behind it, and now it is bright there. A second fault sits "
    "behind it, and the first one hid it. I keep the switch as it is now, look for the second with the same complaint, "
    "and I am done when she starts.",
)

QUESTIONS = (
    GOOD_NOW, MIN_MAX, THE_HUNT, TWO_IN_A_ROW, AFTER_THE_FIRST, CHANGED, FIVE_BOXES, FIND_IT, EXPLAIN, BOTH,
)
