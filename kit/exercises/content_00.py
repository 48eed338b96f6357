"""Questions of lesson 00: being safe, and instruments that can be believed.

Raise a question's ``version`` with any change here: marking refuses answers given to another version.
"""

from kit.exercises.choice import Best, Choice, Option
from kit.exercises.explain import Explain
from kit.exercises.figures import MeterVolts, Setup
from kit.exercises.number import Number, Slip
from kit.exercises.ordered import InThisOrder, Ordered
from kit.exercises.prediction import Column, Prediction
from kit.exercises.question import Picture
from kit.exercises.several import AllOf, Several

BOARD, BIKE = "bench-board", "orchard-bike"
FEED = Picture(machine=BOARD, stage="feed")
MAIN_FEED = Picture(machine=BIKE, stage="main feed")
# Health and Safety Executive, leaflet INDG139, on batteries; the rest is common practice.
HSE = "HSE leaflet INDG139 and common practice"
COMMON = "common practice"

ON_THE_BIKE = "On the bike it would be: key out, in neutral, on its stand, nobody in front, rings off, eyes protected."
# How each machine is made still, as its own cautions have it, and who else could be hurt; and what is done in a hurry.
MACHINES = {
    BIKE: {
        "there": "The orchard bike stands in the workshop", "key": "Key out, and in your pocket",
        "still": "Gear in neutral, on its stand, on level ground", "people": "See that nobody stands in front of it",
        "other": "On a mower it would be: key out, blades off, brake set, nobody near, rings off, eyes protected.",
    },
    "ride-on-mower": {
        "there": "Now another machine: the ride-on mower stands in the yard", "key": "Key out, and in your pocket",
        "still": "Brake set, blade lever off, on level ground", "people": "Send bystanders away from the blades",
        "other": ON_THE_BIKE,
    },
    "compact-loader": {
        "there": "Now another machine: the compact loader stands at the gate", "key": "Key out, and in your pocket",
        "still": "Arms down or strutted, lever in neutral, wheels chocked",
        "people": "See that nobody stands under the arms or near the wheels",
        "other": ON_THE_BIKE,
    },
    "site-generator": {
        "there": "Now another machine: the site generator stands behind the shed",
        "key": "Key out, and the emergency stop pressed",
        "still": "Auto-start off and locked, so that it cannot start by itself",
        "people": "See that nobody has a hand near fan and belts",
        "other": ON_THE_BIKE,
    },
    "harbour-tender": {
        "there": "Now another machine: the harbour tender lies at the quay",
        "key": "Nose first: no smell of fuel; then key out",
        "still": "Moored fast, lever in neutral, shore power off", "people": "See that nobody is near the propeller",
        "other": ON_THE_BIKE,
    },
}
HURRIES = {
    "spark": {"first": "Touch a spanner from plus to the frame, to see whether there is a spark",
              "harm": "A spark tells you nothing that a lamp does not tell better, and it can set off the battery's "
              "gas. Never do that."},
    "crank": {"first": "Turn it to start for a moment, to hear what it does",
              "harm": "Never before it is made safe: this may be the one time that it starts. First make it "
              "still."},
    "fuse": {"second": "Fit a new fuse, in case it is that",
             "waste": "Nothing has been found yet. A new fuse on an old fault is a fuse less."},
    "bridge": {"second": "Lay a wire across its safety switch, so that this one is out of the way",
               "waste": "Never: that switch is there for the day somebody makes a mistake. And nothing says that it is "
               "at fault."},
    "charger": {"second": "Join a charger to it at once, in case the battery is flat",
                "waste": "Nobody has looked yet. On a bulged, leaking or frozen battery no charger is put."},
}
BEFORE_TOUCHING = Several(
    id="00.1", version=2, title="Before the first touch", picture=MAIN_FEED, criteria=("safe",),
    prompt="{there} and will not start. Before you touch it: tick all that you do first.",
    given={"machine": tuple(MACHINES), "risk": ("spark", "crank"), "guess": ("fuse", "bridge", "charger")},
    words=MACHINES | HURRIES,
    pictures={
        "ride-on-mower": Picture(machine="ride-on-mower", stage="main feed"),
        "compact-loader": Picture(machine="compact-loader", stage="batteries"),
        "site-generator": Picture(machine="site-generator", stage="main feed"),
        "harbour-tender": Picture(machine="harbour-tender", stage="panel feed"),
    },
    right=AllOf(options=("key", "stand", "rings", "eyes", "battery", "people"), source=HSE),
    options=(
        Option(id="key", text="{key}"),
        Option(id="stand", text="{still}"),
        Option(id="rings", text="Rings, watch and chain off"),
        Option(id="eyes", text="Eye protection on"),
        Option(id="battery", text="Look at the battery: not bulged, not leaking, no flame near"),
        Option(id="people", text="{people}"),
        Option(id="risk", text="{first}", feedback="{harm}"),
        Option(id="guess", text="{second}", feedback="{waste}"),
    ),
    why="All of it costs a minute or two. The machine's own manual and your workshop's rules may ask for more.",
    hints=(
        "Think of four things: the machine, the battery, the others, and you.",
        "Six of the eight make it safer. Two are things people do in a hurry.",
        "{other}",
    ),
)

# The same six steps, begun with the battery on or with it out; and what is never done.
ROUNDS = {
    "off and on": {
        "asked": "The battery has to come off the bike for a moment, and go back on.",
        "begin": "Key off, everything off",
        "begin_why": "First nothing may draw current: a clamp taken off under load makes a spark.",
        "second": "minus off", "third": "plus off", "fourth": "plus on", "fifth": "minus on", "last": "try",
        "try": "Try the machine, note what was done", "try_why": "At the very end: does it do what it did?",
        "like": "A charger's clips on a battery: minus first off, last on.",
    },
    "on and off": {
        "asked": "The bike has stood all winter, its battery on a shelf. The battery goes on for a trial, and then "
        "comes off again.",
        "begin": "See that the key and everything else is off",
        "begin_why": "First nothing may draw current: a clamp put on under load makes a spark.",
        "second": "plus on", "third": "minus on", "fourth": "try", "fifth": "minus off", "last": "plus off",
        "try": "Try the machine, then key off again",
        "try_why": "The trial stands in the middle: with both clamps on, and before one of them comes off.",
        "like": "A charger's clips on a battery: plus first on, last off.",
    },
    "both posts": {"never": "Lay the spanner across both posts, to empty the battery",
                   "harm": "Never. That is hundreds of amps through a spanner, and a battery that may burst."},
    "hammer": {"never": "Knock a tight clamp down on its post with a hammer",
               "harm": "Never: a post can break loose inside, and a spark there meets the battery's gas. Open the "
               "clamp wide, and it slips on by hand."},
    "running": {"never": "Take a clamp off while the engine runs, to see whether it charges",
                "harm": "Never: it sparks beside the battery's gas, and the volts jump and kill what is switched on."},
}
MINUS_FIRST = Ordered(
    id="00.2", version=2, title="Off and on again", picture=MAIN_FEED, criteria=("safe",),
    prompt="{asked} Put the steps in a row. One of them you never do: leave it out.",
    given={"round": ("off and on", "on and off"), "forbidden": ("both posts", "hammer", "running")}, words=ROUNDS,
    right=InThisOrder(options=("off", "{second}", "{third}", "{fourth}", "{fifth}", "{last}"), source=HSE),
    options=(
        Option(id="off", text="{begin}", feedback="{begin_why}"),
        Option(id="minus off", text="Take the minus clamp off", feedback="While minus is on, a spanner on plus that "
               "touches the frame makes a short. So of the two minus comes off first."),
        Option(id="plus off", text="Take the plus clamp off", feedback="Plus is safe to work on only with minus off: "
               "then the frame is no longer joined to the battery, and the spanner can do no harm there."),
        Option(id="plus on", text="Put the plus clamp on", feedback="Going on, plus comes first, while the frame is "
               "not yet joined to anything."),
        Option(id="minus on", text="Put the minus clamp on", feedback="Minus goes on after plus: while a spanner works "
               "on plus, the frame must not be joined to the battery."),
        Option(id="try", text="{try}", feedback="{try_why}"),
        Option(id="never", text="{never}", feedback="{harm}"),
    ),
    why="Minus off first, on last. The one post you may touch the frame at is the one that is joined to the frame.",
    hints=(
        "Which post is joined to the frame? A spanner there can touch the frame and nothing happens.",
        "Off: the harmless one first. On: the harmless one last.",
        "{like}",
    ),
)

PROVING = Prediction(
    id="00.3", version=1, title="Prove the lamp", picture=FEED, criteria=("prove", "predict"),
    prompt="A test lamp is proved across the battery itself. On the bench board its clip is on {clip}. What does a "
    "sound test lamp do with its tip on each point? The switch is off. The table locks before you see the readings.",
    given={"clip": ("G1.-", "G1.+"), "points": ("G1.+ G1.- F1.1 X4.rail", "X1.clip X5.clip F1.2 X4.rail")},
    setup=Setup(machine=BOARD), clip="{clip}", points_listed="{points}",
    columns=(Column(title="sound lamp", positions={}),), feed="W1",
    why="Clip and tip on different posts: bright, and the lamp is proved. Both on the same post: out, as it should be. "
    "So a lamp that is out at the posts, one on each, is dead, and everything it told you before counts for nothing.",
    next="Ask of each point: to which post is it joined? If that is not the post the clip is on, the lamp lights.",
    hints=(
        "A lamp lights if one end is joined to plus and the other to minus. Which end is which does not matter.",
        "Follow the drawing from each point to a post. Is it the post with the clip, or the other one?",
        "With the clip on the minus rail it would be the same as with the clip on battery minus.",
    ),
)

DEAD_LAMP = Choice(
    id="00.4", version=1, title="Out at the posts", picture=MAIN_FEED, criteria=("prove",),
    prompt="You have tested three points on the bike, and the lamp was out at all of them. Now you hold it across the "
    "battery's posts, to be sure: {seen} What does that mean?",
    given={"seen at the posts": ("out", "bright")},
    words={
        "out": {"seen": "out. The meter shows {battery} there.", "means": "dead",
                "not flat": "A flat one does not show {battery}, and even on a flat one a lamp would at least glow."},
        "bright": {"seen": "bright.", "means": "real",
                   "not flat": "On a flat battery the lamp would be dim, or only glow. It is bright."},
    },
    told={"battery": MeterVolts(setup=Setup(machine=BIKE), red="G1.+", black="G1.-")},
    right=Best(option="{means}", source=COMMON),
    options=(
        Option(id="dead", text="The lamp is broken; the three readings count for nothing", feedback="A lamp that is "
               "out where the battery is good is dead, and a dead lamp is out everywhere. Mend it, prove it, test "
               "again."),
        Option(id="real", text="The lamp is sound; the three points really had no plus", feedback="Proved afterwards "
               "as well, the lamp can be believed: those points were joined to plus by nothing that could feed it."),
        Option(id="flat", text="The battery is flat", feedback="{not flat}"),
        Option(id="nothing", text="Nothing: a lamp is either new or broken", feedback="Lamps break while you work, and "
               "leads come off their clips. That is why it is proved before and after."),
    ),
    hints=(
        "What should a sound lamp do across a good battery?",
        "If it does that, its other readings stand. If it does not, they never did.",
        "It is the same with a meter: on volts across the posts, before and after.",
    ),
)

METER_AT_POSTS = Number(
    id="00.5", version=1, title="Prove the meter", picture=FEED, unit="V", criteria=("prove", "figures"),
    prompt="The bench board's battery has {battery} at its posts. You prove your meter on it, on volts, with the red "
    "lead on {red} and the black lead on {black}. What does it show?",
    given={"leads": ("straight", "swapped", "clips", "clips swapped")},
    words={
        "straight": {"red": "plus, G1.+", "black": "minus, G1.-", "r": "G1.+", "b": "G1.-"},
        "swapped": {"red": "minus, G1.-", "black": "plus, G1.+", "r": "G1.-", "b": "G1.+"},
        "clips": {"red": "the plus clip, X1.clip", "black": "the minus clip, X5.clip", "r": "X1.clip", "b": "X5.clip"},
        "clips swapped": {"red": "the minus clip, X5.clip", "black": "the plus clip, X1.clip", "r": "X5.clip",
                          "b": "X1.clip"},
    },
    told={"battery": MeterVolts(setup=Setup(machine=BOARD), red="G1.+", black="G1.-")},
    asks=MeterVolts(setup=Setup(machine=BOARD), red="{r}", black="{b}"),
    why="A meter shows red against black. Red on plus: the battery's volts. Leads swapped: the same, with a minus "
    "before it. Nothing is broken by that.",
    hint="How many volts stand between the two posts? And which lead is on the higher side? Red above black shows no "
    "sign, black above red a minus.",
    hints=(
        "How many volts are there between the two posts?",
        "The sign says which lead is on the higher side: red higher, no sign; black higher, a minus.",
        "Both leads on the same post would show 0.00 V.",
    ),
    slips={
        "reversed": Slip(points=2, reason="The size is right. Look at the colours: the meter shows red against black, "
                         "and a minus where black is on plus."),
        "nothing": Slip(reason="0 V is what you would read with both leads on the same post. Here each has its own."),
        "nominal": Slip(points=2, reason="12 V is its name. You were told what it has today."),
        "half": Slip(reason="There is nothing in between to share the volts with: all of it stands between the posts."),
        "thousand": Slip(points=2, reason="A thousand times too much: look at the unit."),
    },
)

# Four places that are too delicate or too strong, and three that can spare the current: each in a few forms.
PLACES = {
    "sensor": {"one": "on the wire of a sensor"}, "temperature": {"one": "on a temperature sensor's wire"},
    "speed": {"one": "on the wire of a speed sensor"},
    "pin": {"two": "on a control unit's signal or output pin"},
    "five volts": {"two": "on a control unit's 5 V pin"},
    "input": {"two": "on the pin by which a control unit listens to a switch"},
    "spinning": {"three": "on a magneto's kill wire while the engine spins"},
    "cranking": {"three": "on the kill wire of a magneto, engine being cranked"},
    "stator": {"four": "on the three wires of a stator, engine running, unplugged"},
    "fast": {"four": "on the two wires of a magnet stator, unplugged, at full speed"},
    "blades": {"five": "on both blades of a fuse", "why_five": "That is where a lamp is at its best: lit on both, the "
               "fuse is sound and fed."},
    "key switch": {"five": "on both sides of the key switch", "why_five": "A key switch carries amps for all that is "
                   "behind it; a lamp is nothing to it."},
    "supply": {"six": "on the control unit's own supply wire, plug pulled off", "why_six": "On the unplugged supply "
               "a lamp is good practice: it asks for current, as the unit will."},
    "ground": {"six": "on the control unit's ground wire, plug pulled off, clip on plus", "why_six": "On the unplugged "
               "ground a lamp is good practice: it asks for current, as the unit will."},
    "posts": {"seven": "across the battery's posts", "why_seven": "That is where it is proved."},
    "head lamp": {"seven": "on the feed wire of a head lamp", "why_seven": "Amps flow there, and a quarter of an "
                  "amp more is not noticed."},
}
WHERE_NO_LAMP = Several(
    id="00.6", version=2, title="Where a lamp has no business", picture=Picture(machine=BIKE, stage="loads"),
    criteria=("prove", "units", "safe"),
    prompt="A filament test lamp draws a quarter of an amp. That is nothing to a battery and far too much for some "
    "other places. Tick every place where you do NOT put it.",
    given={
        "delicate": ("sensor", "temperature", "speed"), "unit": ("pin", "five volts", "input"),
        "kill wire": ("spinning", "cranking"), "engine running": ("stator", "fast"),
        "switched": ("blades", "key switch"), "unplugged": ("supply", "ground"), "heavy": ("posts", "head lamp"),
    },
    words=PLACES,
    right=AllOf(options=("sensor", "signal", "kill", "running"), source=COMMON),
    options=(
        Option(id="sensor", text="{one}"),
        Option(id="signal", text="{two}"),
        Option(id="kill", text="{three}"),
        Option(id="running", text="{four}"),
        Option(id="switched", text="{five}", feedback="{why_five}"),
        Option(id="unplugged", text="{six}", feedback="{why_six}"),
        Option(id="heavy", text="{seven}", feedback="{why_seven}"),
    ),
    why="Feeds and grounds can spare a quarter of an amp; signals, sensors and magnetos cannot. There a meter goes, or "
    "nothing at all: the manual says which.",
    hints=(
        "Ask of each place: what usually flows there? Amps, or next to nothing?",
        "Four places are too delicate, or too strong. Three are everyday places for a lamp.",
        "On the wire to a horn, where amps flow, a quarter of an amp is not noticed.",
    ),
)

TELL_A_VISITOR = Explain(
    id="00.7", version=1, title="Say it to a visitor", picture=MAIN_FEED, criteria=("report", "safe"),
    prompt="A visitor asks: “Why do you hold that lamp on the battery first? You know that the battery is good.” "
    "Answer in two or three sentences, in plain words.",
    rubric=(
        "says that it is the lamp that is tested there, not the battery",
        "says what a dead lamp would make one believe",
        "says that it is proved again afterwards",
    ),
    model="I am not testing the battery, I am testing the lamp. If it were broken it would be out everywhere, and I "
    "would go looking for a fault that is not there. So I prove it before, and again at the end, and believe it only "
    "then.",
)

QUESTIONS = (
    BEFORE_TOUCHING, MINUS_FIRST, PROVING, DEAD_LAMP, METER_AT_POSTS, WHERE_NO_LAMP, TELL_A_VISITOR,
)
