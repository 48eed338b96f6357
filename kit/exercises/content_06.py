"""Questions of lesson 06: the main feed. Key on, nothing at all, and why the fuse blew.

Raise a question's ``version`` with any change here: marking refuses answers given to another version.
"""

from kit.exercises.choice import Best, Choice, ExplainsAll, Option
from kit.exercises.figures import AmpsIfHeld, MeterVolts, MilliohmsPerMetre, Setup, WireDrop
from kit.exercises.job_question import JobQuestion
from kit.exercises.number import Number, Slip
from kit.exercises.prediction import Column, Prediction
from kit.exercises.question import Picture

BIKE = "orchard-bike"
MAIN_FEED = Picture(machine=BIKE, stage="main feed")
KEY_OFF = Column(title="key off", positions={"key": "off"})
KEY_ON = Column(title="key on", positions={"key": "on"})

# Where the one way from the battery can be broken, in words for the questions that pick one.
BREAKS = {
    "F1 blown": {
        "cause": "The main fuse F1 has blown.", "upper": "F1.1", "lower": "F1.2",
        "place": "the main fuse", "before": "the battery side of the fuse",
    },
    "W2 open": {
        "cause": "The wire W2, from the main fuse to the key switch, has broken inside its insulation.",
        "upper": "F1.2", "lower": "S1.1", "place": "the wire W2", "before": "the load side of the fuse",
    },
    "S1 stuck open": {
        "cause": "The contact of the key switch S1 no longer closes.", "upper": "S1.1", "lower": "S1.2",
        "place": "the key switch", "before": "the feed side of the key switch",
    },
}

BROKEN_KEY_ON = Setup(machine=BIKE, faults=("{broken}",), positions={"key": "on"})

FIRST_STAGE = Choice(
    id="06.1", version=1, criteria=("suspects",), title="Which stage first?", picture=MAIN_FEED,
    prompt="The orchard bike stands in neutral, stop switch on run. {seen} The meter shows {battery} between "
    "the battery's posts, key off, and both clamps are tight. One break somewhere does all this. Which stage "
    "do you suspect first?",
    given={"hidden": ("F1 blown", "W9 open")},
    words={
        "F1 blown": {
            "seen": "Key on: the neutral lamp stays dark and so does the head lamp. Start button pressed: not a sound.",
        },
        "W9 open": {
            "seen": "Key on: the neutral lamp and the head lamp are bright. Start button pressed: the starter relay "
            "clicks, but the engine does not move.",
        },
    },
    told={"battery": MeterVolts(setup=Setup(machine=BIKE, faults=("{hidden}",)), red="G1.+", black="G1.-")},
    right=ExplainsAll(
        seen=Setup(machine=BIKE, faults=("{hidden}",)),
        moves=({"key": "on"}, {"key": "on", "start_button": "pressed"}),
        watch=("P1", "E1", "K1", "M1"),
    ),
    options=(
        Option(
            id="main feed", text="Main feed: battery, main fuse, and the wires up to the key switch",
            feedback="The main feed is the one road that both lamps and the relay's coil share. A break in it takes "
            "all of them at once, and none of them alone.",
        ),
        Option(
            id="start request", text="Start request: stop switch, start button, and the wire to the relay's coil",
            feedback="The start request carries the wish to start to the relay. The lamps get their feed before it, "
            "and a break in it leaves the relay silent.",
        ),
        Option(
            id="ground side", text="Ground side: clutch switch and stand switch behind the relay's coil",
            feedback="The ground side lets the coil find ground in gear. In neutral the coil has another way, through "
            "the diode, and the lamps have grounds of their own.",
        ),
        Option(
            id="cranking circuit", text="Cranking circuit: thick cables and starter motor",
            feedback="The thick cables carry the starter's current and nothing else. They can keep a clicking relay "
            "from turning the engine, but no lamp is fed through them.",
        ),
        Option(
            id="loads", text="Loads: head lamp and ignition control unit",
            feedback="Each load hangs on its own branch. One that fails goes dark alone and takes nothing with it.",
        ),
    ),
)

LAMP_ON_SOUND = Prediction(
    id="06.2", version=1, criteria=("predict", "prove"), title="The sound main feed, point by point", picture=MAIN_FEED,
    prompt="Nothing is wrong with the bike yet. The lamp's clip is on {clip_said}. Say what the lamp does with "
    "its tip on each point, first with the key off, then with the key on. The table locks before you see the readings.",
    given={
        "points": ("G1.+ F1.1 F1.2 S1.1 S1.2", "X1.clamp F1.1 F1.2 S1.1 S1.2", "F1.1 F1.2 S1.1 S1.2 F2.1",
                   "F1.1 F1.2 S1.1 S1.2 F3.2"),
        "clip": ("G1.-", "X2.clamp"),
    },
    words={
        "G1.-": {"clip_said": "the battery's minus post, G1.-"},
        "X2.clamp": {"clip_said": "the clamp of the battery's minus post, X2.clamp"},
    },
    setup=Setup(machine=BIKE), clip="{clip}", points_listed="{points}", columns=(KEY_OFF, KEY_ON), feed="F1",
    why="Up to the key switch the feed is live whether the key is on or off; behind it, only with the key on.",
    next="Walk the feed with your finger, from battery plus: as far as you get without lifting it at an open switch, "
    "the lamp lights. Then try two of the points on the bay.",
)

METER_ACROSS_BREAK = Number(
    id="06.3", version=1, criteria=("predict", "figures"), title="A meter across the break", picture=MAIN_FEED,
    unit="V",
    prompt="{cause} The key is on, and nothing works. Between the battery's posts the meter shows {battery}. Now you "
    "put its red lead on {red} and its black lead on {black}, across {place}. What does it show?",
    given={"broken": tuple(BREAKS), "leads": ("straight", "swapped")},
    words=BREAKS | {
        "straight": {"red": "{upper}", "black": "{lower}"},
        "swapped": {"red": "{lower}", "black": "{upper}"},
    },
    told={"battery": MeterVolts(setup=BROKEN_KEY_ON, red="G1.+", black="G1.-")},
    asks=MeterVolts(setup=BROKEN_KEY_ON, red="{red}", black="{black}"),
    why="{upper} is still joined to battery plus. {lower} is joined to ground through the lamps, and with no current "
    "flowing they lose no volts. So the whole battery stands across {place}, and the sign tells which lead is nearer "
    "to plus. That is how you find a break with a meter: look for the battery's volts where there should be none.",
    hint="Ask where each lead is still joined to: {upper} to one post of the battery; {lower}, through the cold "
    "lamps, to the other. No current flows, so nothing on the way loses volts. Put a lamp on each of the two, clip on "
    "G1.-, and think again.",
    slips={
        "nothing": Slip(
            idea="no-current-no-volts",
            reason="0 V would mean that {upper} and {lower} are at the same volts, as on a sound feed. Nothing flows "
            "here, that is true, but volts need no current: {upper} is still joined to battery plus, and {lower} "
            "hangs on ground through the lamps. Put the lamp on each of the two and compare.",
        ),
        "reversed": Slip(
            points=2,
            reason="The size is right. Now the sign: a meter shows red against black, so it shows minus when the black "
            "lead is the one nearer to battery plus. Look again which lead is on {upper}.",
        ),
        "nominal": Slip(
            points=2,
            reason="The idea is right: it is all the battery has. 12 V is only its name, though. You were told what it "
            "shows at its posts today.",
        ),
        "equal share": Slip(
            idea="equal-share",
            reason="That shares the volts out among the break and the loads, each the same. Volts go by resistance: "
            "the break has all of it, the lamps next to none, so one of them gets everything.",
        ),
        "half": Slip(
            idea="equal-share",
            reason="That gives half to the break and half to the rest. Volts go by resistance: a break has more than "
            "anything else in the loop, so there is nothing to share.",
        ),
        "thousand": Slip(points=2, reason="A thousand times too much for a 12 V machine: look at the k before the V."),
    },
)

LAMP_ON_BROKEN = Prediction(
    id="06.4", version=1, criteria=("predict", "find"), title="The same walk with a break in it", picture=MAIN_FEED,
    prompt="{cause} The lamp's clip is on the battery's minus post, G1.-. Say what the lamp does with its tip on each "
    "point, key off and key on. The table locks before you see the readings.",
    given={"broken": tuple(BREAKS), "points": ("G1.+ F1.1 F1.2 S1.1 S1.2", "F1.1 F1.2 S1.1 S1.2 F2.1")},
    words=BREAKS,
    setup=Setup(machine=BIKE, faults=("{broken}",)), clip="G1.-", points_listed="{points}", columns=(KEY_OFF, KEY_ON),
    feed="F1",
    why="The lamp lights as far as {before} and nowhere behind it, with the key on or off. Lit before and out behind: "
    "that pair of readings proves the break.",
    next="The last point that lights and the first that does not have the break between them. Here that is {place}: "
    "put the lamp on {upper}, then on {lower}, on the bay.",
)

WIRE_LOSS = Number(
    id="06.5", version=1, criteria=("figures", "drop"), title="What a wire costs", picture=MAIN_FEED, unit="V",
    prompt="A feed wire of {mm2} mm² copper is {metres} m long, one way. At 20 °C it has {per_metre} in every metre "
    "(IEC 60228). It carries {amps} A. How many volts are lost from one end of it to the other?",
    given={"mm2": ("1", "1.5", "2.5"), "metres": ("2.4", "3.5", "4.5"), "amps": ("6", "8", "11")},
    told={"per_metre": MilliohmsPerMetre(mm2="{mm2}"),
          "drop": WireDrop(mm2="{mm2}", metres="{metres}", amps="{amps}")},
    asks=WireDrop(mm2="{mm2}", metres="{metres}", amps="{amps}"),
    why="{per_metre} a metre, times {metres} m, times {amps} A: {drop}. Common practice allows about 0.5 V on the "
    "whole plus side while cranking and 0.1 V at a joint; the machine's manual has the last word.",
    hint="Two steps. The wire's resistance: {per_metre} for each of its {metres} metres. Then volts are amps times "
    "ohms; mind the milli.",
    slips={
        "nothing": Slip(
            idea="wires-never-drop",
            reason="0 V would need a wire without resistance, or no current. This one has {per_metre} in every metre "
            "and carries {amps} A. Put a meter on both ends of a loaded wire and you see it.",
        ),
        "one metre": Slip(
            points=1,
            reason="That is what one metre loses. The wire is {metres} m long, and every metre costs the same.",
        ),
        "there and back": Slip(
            points=2,
            reason="That is there and back. Here only the feed wire itself was asked for; the way back goes through "
            "the frame and loses little.",
        ),
        "ohms only": Slip(
            points=1, reason="That is the wire's resistance, in ohms. The volts it loses are the amps times that.",
        ),
        "thousand": Slip(points=2, reason="A thousand times too much: the table is in milliohms."),
    },
)

NEW_FUSE_POPS = Choice(
    id="06.6", version=1, criteria=("next-test", "safe"), title="The new fuse pops as well", picture=MAIN_FEED,
    prompt="F1, the 30 A main fuse, had blown. With the key off you fit a new one of 30 A. {seen} What do you do next?",
    given={"hidden": ("W3 shorted to ground", "W2 shorted to ground")},
    words={
        "W3 shorted to ground": {"seen": "It holds. You turn the key on, and it pops at once.", "key": "on"},
        "W2 shorted to ground": {"seen": "It pops the moment it is in, with the key still off.", "key": "off"},
    },
    told={"flood": AmpsIfHeld(
        setup=Setup(machine=BIKE, faults=("{hidden}",), positions={"key": "on"}), path="W2", fuse="F1")},
    right=Best(option="loading lamp", source="common practice"),
    options=(
        Option(
            id="loading lamp",
            text="Pull the branch fuses, put a 21 W loading lamp in place of F1, and unplug the feed step by step",
            feedback="The lamp lets through less than two amps, whatever is wrong behind it, so nothing gets hot. The "
            "branch fuses are out because a sound head lamp alone would keep it bright. While it is bright the short "
            "is still joined; the step at which it goes out has just taken the short away. Look there for bare "
            "copper, mend it, and only then fit a fuse, of 30 A.",
        ),
        Option(
            id="bigger", idea="short-not-seen",
            text="Fit a 60 A fuse, so that it holds long enough to see what gets hot",
            feedback="Stop: this is how machines burn. The fuse is there for the wire. Behind it there is a "
            "way to ground with next to no resistance; with nothing to stop it W2 would carry about {flood}, and its "
            "insulation goes first. Never a bigger fuse. Look for a way to find the short with a small current.",
        ),
        Option(
            id="same again", idea="short-not-seen", text="Fit another 30 A fuse; the last one may have been a bad one",
            feedback="One fuse may be tired. Two in a row are a message: more than 30 A flowed, at once. The next one "
            "would only pop as well, with a spark. What could hold the current down while you look?",
        ),
        Option(
            id="battery", idea="constant-current-battery", text="Renew the battery: it pushes too much current",
            feedback="A battery does not push a current of its own; what hangs on it decides. This one is "
            "well. Too many amps mean too little resistance behind the fuse. Look there.",
        ),
        Option(
            id="ohms live", text="Leave the battery connected, set the meter to ohms and measure from F1.2 to ground",
            feedback="Ohms are for dead circuits. With the battery still connected the reading means nothing, "
            "and one slip of a lead can cost you the meter. With the minus clamp off it could tell you that there is "
            "a short, but hardly where.",
        ),
    ),
)

FIND_IT = JobQuestion(
    id="06.7", version=1, criteria=("find", "cause", "repair"), title="Job card J1: nothing at all",
    picture=MAIN_FEED, card="J1",
    prompt="A bike with a fault that nobody tells you. Make it safe, see the complaint for yourself, find the fault "
    "and prove it with readings, find out why it happened, put it right, and show that the complaint is gone.",
)

QUESTIONS = (FIRST_STAGE, LAMP_ON_SOUND, METER_ACROSS_BREAK, LAMP_ON_BROKEN, WIRE_LOSS, NEW_FUSE_POPS, FIND_IT)
