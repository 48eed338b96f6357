"""Questions of lesson 05: the battery at rest and under load, its posts, its ohms, and two of them in a row.

Raise a question's ``version`` with any change here: marking refuses answers given to another version.
"""

from kit.exercises.batteries import ChargeAtRest, InnerOhms, LoadTestSays
from kit.exercises.choice import Choice, ExplainsAll, Option
from kit.exercises.explain import Explain
from kit.exercises.figures import MeterVolts, Network, PathAmps, Setup
from kit.exercises.job_question import JobQuestion
from kit.exercises.number import Number, Slip
from kit.exercises.ordered import InThisOrder, Ordered
from kit.exercises.prediction import Column
from kit.exercises.question import Picture
from kit.exercises.several import Several
from kit.exercises.volts_table import VoltsTable

BIKE, MOWER, LOADER = "orchard-bike", "ride-on-mower", "compact-loader"
BIKE_FEED = Picture(machine=BIKE, stage="main feed")
MOWER_FEED = Picture(machine=MOWER, stage="main feed")
PAIR = Picture(machine=LOADER, stage="batteries")
SOURCE_WITH_OHMS = "OpenStax, University Physics, vol. 2, electromotive force"
# A clamp that is loose on its post: the fault, and which two points have the joint between them.
CLAMPS = {
    "X1 high resistance 0.5 ohm": {"clamp": "plus clamp", "joint": "X1", "upper": "G1.+", "lower": "X1.clamp"},
    "X2 high resistance 0.5 ohm": {"clamp": "minus clamp", "joint": "X2", "upper": "X2.clamp", "lower": "G1.-"},
}
CLAMP_LOOSE = Setup(machine=BIKE, faults=("{loose}",), positions={"key": "on"})
CRANKED = {"key": "on", "seat_bar": "down", "start_button": "pressed"}

CHARGE = Number(
    id="05.1", version=1, title="How full is it?", picture=MOWER_FEED, unit="share", criteria=("battery", "figures"),
    within=0.08,
    prompt="A 12 V battery ({build}) stood overnight with nothing switched on. In the morning its posts show {volts} "
    "V. How much of its charge has it left, in percent? Read it off the table.",
    given={"case": ("flooded 12.0", "flooded 12.2", "flooded 12.4", "AGM 12.2", "AGM 12.4")},
    words={
        "flooded 12.0": {"build": "flooded", "volts": "12.0"}, "flooded 12.2": {"build": "flooded", "volts": "12.2"},
        "flooded 12.4": {"build": "flooded", "volts": "12.4"}, "AGM 12.2": {"build": "AGM", "volts": "12.2"},
        "AGM 12.4": {"build": "AGM", "volts": "12.4"},
    },
    asks=ChargeAtRest(volts="{volts}", build="{build}"),
    why="Less than one volt lies between full and empty. So every tenth counts, and only a rested battery tells.",
    hint="Find the column of this kind of battery, go down to its volts, and read the charge at the left.",
    hints=(
        "The table has two columns of volts. Which one is for this battery?",
        "Go down that column to {volts} V. The charge stands at the left of the line.",
        "A flooded battery at 11.7 V would be empty, and so would an AGM battery at 11.9 V.",
    ),
    slips={
        "other build": Slip(points=1, reason="That is what the other column says. An AGM battery rests two tenths of "
                            "a volt higher than a flooded one with the same charge."),
        "share of full": Slip(reason="That is its volts as a part of a full battery's volts. A battery with 12 V is "
                              "not nearly full: an empty one still rests at almost 12 V. Only the table tells."),
    },
)

WITH_OHMS_INSIDE = Number(
    id="05.2", version=1, title="Twelve volts, and what is left of them", picture=MOWER_FEED, unit="V",
    criteria=("figures", "battery"), within=0.02,
    prompt="On paper: a battery of 12 V has {inside} Ω inside. You connect a load of {load} Ω. What does a meter show "
    "across the posts now?",
    given={"case": ("0.1 and 0.5", "0.1 and 1", "0.5 and 10", "0.5 and 2")},
    words={
        "0.1 and 0.5": {"inside": "0.1", "load": "0.5", "sum": "0.6"},
        "0.1 and 1": {"inside": "0.1", "load": "1", "sum": "1.1"},
        "0.5 and 10": {"inside": "0.5", "load": "10", "sum": "10.5"},
        "0.5 and 2": {"inside": "0.5", "load": "2", "sum": "2.5"},
    },
    asks=Network(volts="12", resistors={"inside": "1 2 {inside}", "load": "2 0 {load}"}, asks="volts 2 0",
                 source=SOURCE_WITH_OHMS),
    why="12 V over {sum} Ω is the current. Times {load} Ω is what the load gets; the rest is lost inside. The smaller "
    "the load's ohms, the more is lost.",
    hint="First the current: 12 V divided by both resistances together, {sum} Ω. Then that current times {load} Ω.",
    hints=(
        "The ohms inside and the load stand one behind the other. One current goes through both.",
        "The current is 12 V divided by {sum} Ω. The load's volts are that current times {load} Ω.",
        "With 1 Ω inside and a load of 5 Ω: 12 V over 6 Ω is 2 A, and 2 A times 5 Ω is 10 V.",
    ),
    slips={
        "nominal": Slip(reason="12 V is what you would read with nothing connected. As soon as a current flows, the "
                        "ohms inside take their share. Crank the mower on the bay with the meter on the posts."),
        "equal share": Slip(idea="equal-share", reason="6 V is what you would read if inside and load got the same. "
                            "Volts go by ohms, not by count."),
        "rest": Slip(points=1, reason="That is what is lost inside. The posts show what is left for the load."),
        "thousand": Slip(points=2, reason="Look at the unit: the battery has 12 V, not thousands."),
    },
)

OHMS_INSIDE = Number(
    id="05.3", version=1, title="How many ohms inside?", picture=MOWER_FEED, unit="ohm",
    criteria=("battery", "figures"),
    prompt="{whose} battery rests at {rest} V. The load tester takes {amps} A, and the posts show {volts} V. How many "
    "ohms has the battery inside? Milliohms (mΩ) are fine.",
    given={"battery": ("bike", "mower", "boat", "generator", "loader")},
    words={
        "bike": {"whose": "The orchard bike's", "rest": "12.8", "volts": "11.3", "amps": "75", "lost": "1.5"},
        "mower": {"whose": "The ride-on mower's", "rest": "12.7", "volts": "10.95", "amps": "125", "lost": "1.75"},
        "boat": {"whose": "The boat's", "rest": "12.7", "volts": "10.6", "amps": "300", "lost": "2.1"},
        "generator": {"whose": "The generator's", "rest": "12.7", "volts": "10.78", "amps": "320", "lost": "1.92"},
        "loader": {"whose": "Each loader", "rest": "12.7", "volts": "10.7", "amps": "400", "lost": "2"},
    },
    asks=InnerOhms(rest="{rest}", volts="{volts}", amps="{amps}"),
    why="{lost} V are lost inside while {amps} A flow: {lost} divided by {amps}. Only thousandths of an ohm; and with "
    "eight times as many no starter turns.",
    hint="Ohms are volts divided by amps. Take the volts that are lost inside: those at rest less those under load.",
    hints=(
        "Under load the posts show less than at rest. Where are the missing volts?",
        "{rest} V less {volts} V is lost inside. Divide that by {amps} A. A thousandth of an ohm is 1 mΩ.",
        "A battery that falls from 12.6 V to 11.6 V under 50 A has 1 V over 50 A: 0.02 Ω, which is 20 mΩ.",
    ),
    slips={
        "loaded volts": Slip(points=1, reason="Those are the volts the tester has, over its amps: the ohms of the "
                             "tester. Inside the battery only the lost volts stand."),
        "rest volts": Slip(points=1, reason="That divides all the battery's volts. Inside it only those stand that go "
                           "missing under load."),
        "volts only": Slip(points=1, reason="Those are the lost volts. Divide them by the amps, and you have ohms."),
        "upside down": Slip(reason="Upside down: ohms are volts divided by amps, not amps by volts."),
        "thousand": Slip(points=2, reason="The figure is right: now the unit. These are milliohms (mΩ), thousandths of "
                         "an ohm."),
    },
)

VERDICT = Choice(
    id="05.4", version=1, title="What does the load test say?", picture=MOWER_FEED, criteria=("battery",),
    prompt="A 12 V battery, {cca} A cold cranking, at {celsius} °C. It rested at {rest} V. The tester took {amps} A. "
    "After 15 seconds the posts show {volts} V. What does that say?",
    given={"case": ("strong", "cold", "warm", "weak", "low", "half", "small", "hand tester")},
    words={
        "strong": {"rest": "12.7", "volts": "10.9", "amps": "125", "cca": "250", "celsius": "21"},
        "cold": {"rest": "12.6", "volts": "9.35", "amps": "125", "cca": "250", "celsius": "-1"},
        "warm": {"rest": "12.6", "volts": "9.35", "amps": "125", "cca": "250", "celsius": "21"},
        "weak": {"rest": "12.7", "volts": "7.2", "amps": "75", "cca": "150", "celsius": "21"},
        "low": {"rest": "12.1", "volts": "9.2", "amps": "125", "cca": "250", "celsius": "21"},
        "half": {"rest": "12.1", "volts": "8.6", "amps": "300", "cca": "600", "celsius": "10"},
        "small": {"rest": "12.7", "volts": "11.1", "amps": "100", "cca": "600", "celsius": "21"},
        "hand tester": {"rest": "12.7", "volts": "11.8", "amps": "100", "cca": "800", "celsius": "21"},
    },
    right=LoadTestSays(rest="{rest}", volts="{volts}", amps="{amps}", cca="{cca}", celsius="{celsius}"),
    options=(
        Option(id="holds", text="It holds: a good battery",
               feedback="It holds if three things are so: charged before, a load of half its cranking amps, and at the "
               "end still the least volts for its temperature."),
        Option(id="fails", text="It fails: renew it",
               feedback="It fails if it was charged before, and under half its cranking amps falls below the least "
               "volts for its temperature."),
        Option(id="charge it first", text="Nothing yet: charge it, let it rest, test again",
               feedback="A battery that rests below 12.4 V is not charged enough. A good one would give way too; so "
               "the test proves nothing, and drains it further."),
        Option(id="tester too small", text="Nothing: the tester is too small for this battery",
               feedback="A load far below half the cranking amps is no work for it. Even a weak battery can look "
                        "good."),
    ),
    hints=(
        "Three questions, in this order: charged before? load big enough? volts enough?",
        "Charged is 12.4 V or more. Big enough is half the cranking amps. The least volts stand beside the "
        "temperature.",
        "A battery of 300 A that rested at 12.6 V and shows 9.8 V under 150 A at 21 °C would hold.",
    ),
)

# Where the battery comes from: only straight off a charger, or out of a running machine, is there surface charge on it.
COMES = {
    "charger": {"comes": "A battery comes off the charger.", "surface": "surface", "out": "Two",
                "flatters": "Before this the volts flatter it: the charger has only just let go."},
    "ride": {"comes": "A battery comes out of a bike that was ridden here, and charged all the way.",
             "surface": "surface", "out": "Two",
             "flatters": "Before this the volts flatter it: the engine has only just stopped charging it."},
    "shelf": {"comes": "A battery has stood on the shelf for a week, with nothing joined to it.", "surface": "",
              "out": "Three", "flatters": "After a week with nothing joined to it no surface charge is left on it."},
    "spark": {"bold": "Touch a spanner to both posts: a fat spark means it is strong",
              "harm": "Never: it throws metal and acid in your face, and can light the gas."},
    "ammeter": {"bold": "The meter on amps, across both posts: many amps mean it is strong",
                "harm": "Never: on amps the meter is a short. It burns leads and hands, and proves nothing."},
    "age": {"guess": "Renew it if it is over four years old",
            "no_reading": "Age is a hint, no reading. Good old batteries exist, and bad new ones."},
    "volts": {"guess": "12.6 V or more: hand it back as good",
              "no_reading": "Volts at rest tell how full it is. A sulphated one shows 12.6 V, too, and gives way under "
              "load."},
}
STEP_BY_STEP = Ordered(
    id="05.5", version=2, title="A battery judged, step by step", picture=MOWER_FEED, criteria=("battery", "safe"),
    prompt="{comes} Its owner asks whether it is still good. Put the steps in order, and leave out those that have no "
    "place here.",
    given={"comes": ("charger", "ride", "shelf"), "danger": ("spark", "ammeter"), "guess": ("age", "volts")},
    words=COMES,
    options=(
        Option(id="look", text="Look: bulged, leaking, frozen? Then stop. Posts and clamps clean?",
               feedback="The look comes first of all: from a bulged or frozen battery you stay away."),
        Option(id="surface", text="Take the surface charge off, and let it rest", feedback="{flatters}"),
        Option(id="rest volts", text="Volts at the posts, nothing switched on",
               feedback="Volts at rest mean something on a battery that was looked at, and that really rests."),
        Option(id="charge", text="Below 12.4 V: charge it, let it rest, begin again",
               feedback="This hangs on the volts at rest, so they come before it."),
        Option(id="load", text="Half its cranking amps for 15 seconds; read the volts before you let go",
               feedback="A load test of a battery that is not charged proves nothing."),
        Option(id="compare", text="Compare with the least volts for its temperature",
               feedback="There is nothing to compare yet."),
        Option(id="danger", text="{bold}", feedback="{harm}"),
        Option(id="guess", text="{guess}", feedback="{no_reading}"),
    ),
    right=InThisOrder(
        options=("look", "{surface}", "rest volts", "charge", "load", "compare"), source="common practice",
    ),
    why="Look, rest, charge, load. Each step makes the next one worth something.",
    hints=(
        "{out} of them have no place here. One of these is dangerous, and one judges without a test.",
        "What makes the volts at rest true? What makes the load test fair? Those come before them.",
        "For a lamp it would be: look at the glass, prove it on a good battery, only then believe it.",
    ),
)

CLATTER = Several(
    id="05.6", version=1, title="Who could it be?", picture=BIKE_FEED, criteria=("suspects", "battery"),
    prompt="The orchard bike, key on: both lamps are bright. {seen} One fault does all this. Tick every one that "
    "could.",
    given={"hidden": ("X1 high resistance 0.5 ohm", "G1 half charged")},
    words={
        "X1 high resistance 0.5 ohm": {"seen": "Start pressed: the relay clatters, and both lamps pulse with it."},
        "G1 half charged": {"seen": "Start pressed: one click, and the engine turns, but slower than it should. The "
                            "lamps stay lit."},
    },
    right=ExplainsAll(
        seen=Setup(machine=BIKE, faults=("{hidden}",)), moves=({"key": "on"}, {"key": "on", "start_button": "pressed"}),
        watch=("E1", "P1", "K1", "engine"),
    ),
    options=(
        Option(id="G1 sulphated", text="battery G1 sulphated: high ohms inside",
               feedback="So many ohms inside leave nothing for the relay once the starter pulls: it lets go, and "
               "clatters."),
        Option(id="X1 high resistance 0.5 ohm", text="plus clamp loose on its post (X1)",
               feedback="All current goes through this clamp, the lamps' too. Once the starter pulls, all of them "
               "lose: it clatters and pulses."),
        Option(id="X2 high resistance 0.5 ohm", text="minus clamp loose on its post (X2)",
               feedback="All current comes home through this clamp, the lamps' too: it clatters and pulses."),
        Option(id="G1 half charged", text="battery G1 half charged",
               feedback="Half charged still holds the relay and turns the engine, only slowly."),
        Option(id="W8 high resistance 0.05 ohm", text="starter's feed cable W8 bad inside: 0.05 Ω",
               feedback="That cable is the starter's alone: it turns slowly, and nothing clatters."),
        Option(id="M1 worn", text="starter M1 worn",
               feedback="A worn starter turns slowly, and takes nothing from relay and lamps."),
        Option(id="K1 contacts burnt 0.5 ohm", text="starter relay's contacts burnt (K1)",
               feedback="Burnt contacts let too little through: one click, and the engine stands still."),
        Option(id="F1 blown", text="main fuse F1 blown", feedback="Then no lamp would be lit."),
    ),
    why="Lamps and relay share battery and clamps; the starter's cable is the starter's alone. What they suffer "
    "together comes from what they share.",
    hints=(
        "Do the lamps suffer too, or only the starter?",
        "If lamps and relay suffer with the starter, look at what all three share. If not, at what slows the starter.",
        "With a head lamp that pulses alone, and all the rest steady, you would look at the head lamp's own wires.",
    ),
)

ACROSS_THE_CLAMP = Number(
    id="05.7", version=1, title="One lead on the post, one on the clamp", picture=BIKE_FEED, unit="V",
    criteria=("predict", "drop", "battery"),
    prompt="The {clamp} of the bike is loose: its joint has 0.5 Ω. The key is on, nothing else; {amps} flow through "
    "the joint. You put the red lead on {red} and the black one on {black}. What does the meter show?",
    given={"loose": tuple(CLAMPS), "leads": ("straight", "swapped")},
    words=CLAMPS | {
        "straight": {"red": "{upper}", "black": "{lower}"}, "swapped": {"red": "{lower}", "black": "{upper}"},
    },
    told={"amps": PathAmps(setup=CLAMP_LOOSE, path="{joint}")},
    asks=MeterVolts(setup=CLAMP_LOOSE, red="{red}", black="{black}"),
    why="{amps} times 0.5 Ω. Between a post and its clamp there should be next to nothing: here is the loose joint, "
    "and no battery was changed for it.",
    hint="Volts are amps times ohms: {amps} through 0.5 Ω. Then the sign: which lead stands nearer to battery plus?",
    hints=(
        "The same current goes through everything in its way, the bad joint too.",
        "Volts are amps times ohms. With the red lead on the side nearer to battery minus the meter shows a minus.",
        "With 3 A through a joint of 0.4 Ω it would be 1.2 V one way round, and -1.2 V the other.",
    ),
    slips={
        "nothing": Slip(idea="wires-never-drop", reason="0 V is what you would read across a sound joint. This one has "
                        "0.5 Ω, and {amps} go through it. Put the meter there on the bay, key on."),
        "reversed": Slip(points=2, reason="The size is right. Now the sign: the meter shows red against black. Plus "
                         "stands higher than what comes behind it."),
        "nominal": Slip(reason="12 V would stand across a joint that is open. Then no lamp would be lit. This one "
                        "still lets {amps} through."),
        "thousand": Slip(points=2, reason="A thousand times too much: look at the unit."),
    },
)

TWO_IN_A_ROW = VoltsTable(
    id="05.8", version=1, title="Two batteries in a row", picture=PAIR, criteria=("predict", "battery"),
    prompt="The compact loader has two batteries in a row, G2 and then G1. Both are sound. At rest each has {each}. "
    "While it cranks, the pair has {pair} from {black} to G1.+. The black lead stays on {black}. What does the meter "
    "show at each point? The table locks before you see the readings.",
    given={"black": ("G2.-", "X2.clamp"),
           "points": ("G2.+ G1.- G1.+", "G2.+ X3.clamp G1.+", "X4.clamp G1.- G1.+", "G2.+ G1.- X1.clamp")},
    told={
        "each": MeterVolts(setup=Setup(machine=LOADER), red="G2.+", black="G2.-"),
        "pair": MeterVolts(setup=Setup(machine=LOADER, positions=CRANKED), red="G1.+", black="{black}"),
    },
    setup=Setup(machine=LOADER), black="{black}", points_listed="{points}", load="M1",
    columns=(Column(title="at rest", positions={"key": "off"}), Column(title="cranking", positions=CRANKED)),
    why="Each battery lifts the volts by its own. Two sound ones share the load evenly: the middle has half.",
    next="Begin at the black lead and go up: through a battery you gain its volts, through a sound link nothing. G1.- "
    "is a minus post, and yet it stands at the volts of one battery: the link joins it to G2.+.",
    hints=(
        "Start where the black lead is: 0 V. Which battery do you meet first?",
        "Up through G2 you gain what it has. The link adds nothing. Up through G1 you gain the same again.",
        "With two batteries of 6 V the link would stand at 6 V, and the top at 12 V.",
    ),
)

THE_CARD = JobQuestion(
    id="05.9", version=1, title="Like a machine gun", picture=BIKE_FEED, card="J3",
    criteria=("battery", "find", "cause", "repair", "measure"),
    prompt="The picker's bike stood all winter, and now it clatters. Work the card: see the complaint, find what it "
    "is, show it by readings, put it right, and try the complaint again.",
)

REST_IS_NOT_ENOUGH = Explain(
    id="05.10", version=1, title="Say it to the owner", picture=MOWER_FEED, criteria=("report", "battery"),
    prompt="An owner says: “I measured it myself: 12.8 volts. So the battery is full, and it must be the starter.” "
    "Answer in two or three plain sentences.",
    rubric=(
        "says that volts at rest show the charge (or the surface charge), and not what it can give",
        "says that the ohms inside cost volts only when a current flows",
        "names the test that tells: volts under load, with what counts as good",
        "says that clamps or cables can do the same, and are measured too",
    ),
    model="At rest nothing flows, so nothing is lost inside, and even a worn-out battery can show 12.8 volts. I load "
    "it with half its cranking amps for fifteen seconds: a good one keeps 9.6 volts or more. And I measure from each "
    "post to its clamp while it works, because a loose clamp does just the same.",
)

QUESTIONS = (
    CHARGE, WITH_OHMS_INSIDE, OHMS_INSIDE, VERDICT, STEP_BY_STEP, CLATTER, ACROSS_THE_CLAMP, TWO_IN_A_ROW, THE_CARD,
    REST_IS_NOT_ENOUGH,
)
