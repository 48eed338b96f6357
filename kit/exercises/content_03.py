"""Questions of lesson 03: the test lamp both ways, and where it lies.

Raise a question's ``version`` with any change here: marking refuses answers given to another version.
"""

from kit.exercises.choice import Best, Choice, Option
from kit.exercises.explain import Explain
from kit.exercises.figures import Network, Setup
from kit.exercises.job_question import JobQuestion
from kit.exercises.next_test import NextTest
from kit.exercises.number import Number, Slip
from kit.exercises.prediction import Column, Prediction
from kit.exercises.question import Picture
from kit.exercises.several import AllOf, Several

BOARD = "bench-board"
LAMP_CIRCUIT = Picture(machine=BOARD, stage="lamp circuit")
RELAY_COIL = Picture(machine=BOARD, stage="relay coil")
OFF = Column(title="switch off", positions={"switch": "off"})
ON = Column(title="switch on", positions={"switch": "on"})

LAMP_TO_PLUS = Prediction(
    id="03.1", version=1, title="The clip on plus", picture=LAMP_CIRCUIT, criteria=("predict", "prove"),
    prompt="Nothing is wrong with the board. Now the clip of the test lamp is on battery plus, {clip}. Say what the "
    "test lamp does with its tip on each point, switch off and switch on. The table locks before you see the readings.",
    given={
        "points": ("F1.2 S1.2 E1.1 E1.2", "S1.1 X7.b E1.1 X3.tag", "F1.2 X2.b E1.2 X4.rail", "X6.a S1.2 X2.a E1.2"),
        "clip": ("G1.+", "X1.clip"),
    },
    setup=Setup(machine=BOARD), clip="{clip}", points_listed="{points}", columns=(OFF, ON), feed="E1",
    why="With its clip on plus the test lamp looks for minus. It finds it behind lamp E1, and through its filament "
    "even before it, as long as the switch is off.",
    next="Now ask of every point: is it joined to minus, straight or through lamp E1? Switch on, plus takes the place "
    "of minus as far as lamp E1. Try two of the points on the board.",
    hints=(
        "Everything is the other way round: the clip has plus, so the tip looks for minus.",
        "Switch off: walk from the point, through lamp E1 if it lies on the way, to battery minus. Do you get there?",
        "At the fuse it is out either way: plus on the clip, plus on the tip. At the minus rail it is bright either "
        "way.",
    ),
)

# Where the clip sits, and what has been proved: the more is proved, the fewer reasons are left for a lamp that is out.
CLIPS = {
    "minus": {"side": "minus", "wanted": "plus", "Wanted": "Plus",
              "clip_bad": "The clip sits on paint or rust: it has no minus",
              "part": "The part behind this point, towards minus, is surely broken",
              "look": "What lies behind the point was not asked. Plus is missing here, so look on the way from plus."},
    "plus": {"side": "plus", "wanted": "minus", "Wanted": "Minus",
             "clip_bad": "The clip sits on a dead wire, or on dirt: it has no plus",
             "part": "The part before this point, towards plus, is surely broken",
             "look": "What lies before the point was not asked. Minus is missing here, so look on the way to minus."},
    "nothing": {
        "before": "Nothing else has been tested.", "and_clip": "no clip", "and_lamp": "no lamp", "lamp_is": "",
        "clip_is": "", "known": "Nobody has proved any of the four yet.",
        "flat": "A flat battery is one way to leave a lamp dark, and there are many. The lamp on the posts tells.",
        "then": "Out can have four reasons here. Leave the clip where it is and put the tip on battery {wanted}: "
        "bright, and two of them are gone. The lamp is sound, and the clip has {side}. Then only the point is left.",
    },
    "lamp": {
        "before": "A moment ago, with clip and tip on the battery's posts, it was bright.", "and_clip": "no clip",
        "and_lamp": "", "lamp_is": "It was bright on the battery a moment ago. A broken lamp is dark there, too.",
        "clip_is": "", "known": "Bright on the posts: one of the four is proved.",
        "flat": "Across its posts it was bright a moment ago. A flat battery would have left it dark.",
        "then": "The lamp is proved, so three reasons are left. Leave the clip where it is and put the tip on battery "
        "{wanted}: bright, and the clip has its {side}. Then only the point is left to ask.",
    },
    "both": {
        "before": "A moment ago, with the clip where it is now and the tip on battery {wanted}, it was bright.",
        "and_clip": "", "and_lamp": "", "lamp_is": "It was bright a moment ago. A broken lamp never is.",
        "clip_is": "With the clip in this very place it was bright a moment ago. So the clip has its {side}.",
        "known": "Bright a moment ago, with this clip: two of the four are proved.",
        "flat": "With the tip on its post it was bright a moment ago. A flat battery would have left it dark.",
        "then": "Lamp and clip are proved, so only the point is left: {wanted} does not get there, or too weakly for a "
        "lamp. That is why one reading on the battery before the others is worth so much.",
    },
}
OUT_MEANS = Several(
    id="03.2", version=2, title="Out: what may it mean?", picture=LAMP_CIRCUIT, criteria=("prove", "suspects"),
    prompt="The clip of a test lamp sits on something that you take for {side}. {before} Now you put the tip on a "
    "point, and the lamp stays out. Tick all that it may mean.",
    given={"clip": ("minus", "plus"), "proved": ("nothing", "lamp", "both")}, words=CLIPS,
    right=AllOf(
        options=("not here", "{and_clip}", "{and_lamp}", "thin"),
        source="common practice (trade.md, what must be right)",
    ),
    options=(
        Option(id="not here", text="{Wanted} does not reach this point"),
        Option(id="no clip", text="{clip_bad}", feedback="{clip_is}"),
        Option(id="no lamp", text="The test lamp itself is broken", feedback="{lamp_is}"),
        Option(id="thin", text="{Wanted} gets here through a bad joint, too weak to feed a lamp"),
        Option(id="same", text="This point is surely joined to {side}",
               feedback="Out with the clip on {side} fits a point that is joined to {side}. It fits one that is joined "
               "to nothing as well. To know, test the other way: clip on {wanted}."),
        Option(id="part", text="{part}", idea="only-upstream-matters", feedback="{look}"),
        Option(id="flat", text="The battery is surely flat", feedback="{flat}"),
    ),
    why="{then}",
    hints=(
        "For light the lamp needs four things at once. Which?",
        "It needs plus at one end, minus at the other, a sound filament, and a way that can carry its current. {known}",
        "Bright, on the other hand, has one meaning only: plus at one end, minus at the other, and a good lamp between "
        "them.",
    ),
)

BROKEN = {
    "X3 open": {"cause": "The minus screw X3 of the lamp holder is loose, so the way home is broken there."},
    "E1 open": {"cause": "The filament of lamp E1 is broken."},
    "W5 open": {"cause": "Wire W5, from the lamp holder to the minus rail, is broken inside its insulation."},
    "S1 stuck open": {"cause": "The contact of the lamp switch S1 no longer closes."},
}

BOTH_WAYS = Prediction(
    id="03.3", version=1, title="A break, from one side or the other", picture=LAMP_CIRCUIT,
    criteria=("predict", "find"),
    prompt="{cause} The clip of the test lamp is on {clip_said}. Say what it does with its tip on each point, switch "
    "off and switch on. The table locks before you see the readings.",
    given={
        "broken": tuple(BROKEN), "clip": ("G1.-", "G1.+"),
        "points": ("F1.2 E1.1 E1.2 X4.rail", "S1.1 X2.b E1.2 X4.rail"),
    },
    words=BROKEN | {
        "G1.-": {"clip_said": "battery minus, G1.-", "sought": "plus"},
        "G1.+": {"clip_said": "battery plus, G1.+", "sought": "minus"},
    },
    setup=Setup(machine=BOARD, faults=("{broken}",)), clip="{clip}", points_listed="{points}", columns=(OFF, ON),
    feed="E1",
    why="The lamp finds {sought} as far as it is joined, through lamp E1 too. At the break, or at an open switch, it "
    "ends. A piece between two gaps is out whichever way you test.",
    next="Here you look for {sought}. Mark the gaps: the break, and the switch while it is off. From each point walk "
    "towards {sought}, through lamp E1 if it is whole. If you meet a gap first, the lamp is out.",
    hints=(
        "Which post does the clip stand on? The tip looks for the other one.",
        "A whole filament lets the current of a small lamp through: both of its pins are then joined to the same post.",
        "With only the fuse blown, clip on minus, all behind the fuse is out. Clip on plus, it is bright as far as the "
        "open switch.",
    ),
)

ON_A_COIL = Prediction(
    id="03.4", version=1, title="On the way to a coil", picture=RELAY_COIL, criteria=("predict", "prove"),
    prompt="The board is sound. The clip of the test lamp, three watts, is on battery plus, {clip}. The coil of the "
    "relay has 90 Ω, more than the lamp. Say what the lamp does at each point, push button released and push button "
    "pressed. The table locks before you see the readings.",
    given={"points": ("S2.1 S2.2 K1.85", "K1.30 K1.86 K1.85", "S2.1 K1.86 X4.rail", "F1.2 S2.2 X4.rail"),
           "clip": ("G1.+", "X1.clip")},
    setup=Setup(machine=BOARD), clip="{clip}", points_listed="{points}",
    columns=(
        Column(title="released", positions={"button": "released"}),
        Column(title="pressed", positions={"button": "pressed"}),
    ),
    feed="K1.coil",
    why="Button released, lamp and coil stand in one row from plus to minus and share the volts by their ohms. The "
    "coil has most of both, so the lamp only glows.",
    next="Before the coil, button released, the lamp's current must go through the coil as well. The coil has more "
    "ohms, so it takes most of the volts. What is left for the lamp?",
    hints=(
        "Clip on plus: the tip looks for minus. Where is something else on the way to minus?",
        "Lamp and coil in a row share the 12 V by their ohms. Hot, a 3 W lamp has about 60 Ω on 12 V, less when it "
        "only glows; the coil has 90 Ω.",
        "With a lamp of 21 W in the coil's place, which has next to no ohms while it is cold, it would be bright.",
    ),
)

# Published: 24 V, 100 and 250 ohms side by side, in a row with 350 and 200 ohms side by side.
# Kuphaldt, Lessons in Electric Circuits, vol. I, series-parallel circuits.
LOADED = Number(
    id="03.5", version=1, title="What a load does to the volts", picture=LAMP_CIRCUIT, unit="V", criteria=("figures",),
    prompt="A paper board on 24 V. Two parts stand in a row. The first is 100 Ω, {hung}. The second is 350 Ω and 200 Ω "
    "side by side, which act like one of 127 Ω. How many volts does a meter show across {pair}?",
    given={"beside": ("250", "1e12"), "between": ("1 2", "2 0")},
    words={
        "250": {"hung": "with a load of 250 Ω hung on beside it: the two act like one of 71.4 Ω", "first": "71.4 Ω"},
        "1e12": {"hung": "with nothing beside it", "first": "100 Ω"},
        "1 2": {"pair": "the first part", "share": "{first} out of {first} and 127 Ω"},
        "2 0": {"pair": "the second part", "share": "127 Ω out of {first} and 127 Ω"},
    },
    asks=Network(
        volts="24", resistors={"R1": "1 2 100", "R2": "1 2 {beside}", "R3": "2 0 350", "R4": "2 0 200"},
        asks="volts {between}", source="Kuphaldt, Lessons in Electric Circuits, vol. I, series-parallel circuits",
    ),
    why="{share}: that is its share of the 24 V. Hang a load beside a part and the two together have fewer ohms, so "
    "their share falls. A test lamp does the same to the point it touches.",
    hint="Two parts in a row share the volts by ohms. Add {first} and 127 Ω; what share of that is the one you want?",
    hints=(
        "Make it two parts in a row: {first} and 127 Ω.",
        "Volts of one part = 24 V times its ohms, divided by the ohms of both.",
        "With 60 Ω and 180 Ω on 24 V: the first has 60 of 240, a quarter, so 6 V.",
    ),
    slips={
        "half the source": Slip(
            idea="equal-share",
            reason="12 V is what you would read if both had the same ohms. They have {first} and 127 Ω; the larger one "
            "takes more. On the board, measure across a dim lamp and across the joint before it.",
        ),
        "nominal": Slip(reason="24 V is what both have together. Each gets its share by ohms."),
        "rest": Slip(points=2, reason="That is what the other one has. You found the way; now take what is left of 24 "
                                      "V."),
        "nothing": Slip(
            idea="wires-never-drop",
            reason="0 V would mean that no current flows, or that the part has no ohms. It has some, and the loop is "
            "closed.",
        ),
        "thousand": Slip(points=2, reason="The figure is right and the unit a thousand off."),
    },
)

NEEDS = {
    "small": {
        "job": "On the harbour tender the wire to the start relay's coil (85 Ω) comes off the relay now and then. You "
        "want to know whether the coil is joined to minus: clip on plus, tip on the coil's pin. The meter is lent out, "
        "and nobody stands clear yet, so nothing may turn.",
        "right": "led",
        "led_said": "Here that will do: the coil needs about 80 mA to pull in, so the relay lies still.",
        "probe_said": "Tried on the tender: the lamp glows, the relay pulls in, and the starter turns the engine.",
        "loading_said": "Tried on the tender: the lamp is out, and all the same the relay pulls in and the engine "
        "turns.",
        "none_said": "So it would be good here. But it is lent out, and one of the lamps asks for nearly as little.",
    },
    "real": {
        "job": "On the orchard bike you ask whether the start relay's coil (4 Ω) has a way to minus that can carry a "
        "load: clip on plus, tip on the coil's wire. A ghost of a way must not fool you, and nothing may turn.",
        "right": "probe",
        "led_said": "It finds its 5 mA through a green joint of some kilohms too. You want to know more "
        "than that.",
        "probe_said": "Here it is not: a fifth of an amp is far too little for a coil of 4 Ω to pull in.",
        "loading_said": "Tried on the bike: through 4 Ω it lets so much through that the relay pulls in and the engine "
        "turns, key off.",
        "none_said": "A ghost of a way is enough for it. A lamp may be asked here, if it is small enough.",
    },
    "load": {
        "job": "The head lamp of 55 W is dim. At its plug, taken off, your test lamp of 3 W is bright, as on the "
        "battery. You want to see, with a lamp, whether the wire holds up under a load.",
        "right": "loading",
        "led_said": "It will be lit, and you know no more.",
        "probe_said": "You have had its answer: bright. A quarter of an amp loses next to nothing in a joint of half "
        "an ohm.",
        "loading_said": "Such a current shows what a bad joint loses. Compare it with the battery, or measure the "
        "volts at the plug while it is on.",
        "none_said": "With the plug off it shows all the battery has, bad joint or not. A lamp's feed can take a lamp.",
    },
    "signal": {
        "job": "The wire of a sensor leads to a control unit that is plugged in. You want to know what is on it.",
        "right": "none",
        "led_said": "Even 5 mA may be too much for a signal, and what it does to the unit nobody knows.",
        "probe_said": "A filament pulls a signal down to nothing and can kill the output behind it.",
        "loading_said": "An amp and a half out of a pin made for milliamps: that is how units die.",
        "none_said": "Here that is just what you want. Whether and how the pin may be touched stands in the manual.",
    },
}

WHICH_LAMP = Choice(
    id="03.6", version=1, title="Which one do you take?", picture=LAMP_CIRCUIT, criteria=("prove", "safe"),
    prompt="{job} What do you take up?",
    given={"need": tuple(NEEDS)}, words=NEEDS,
    right=Best(option="{right}", source="common practice; trade.md, what must be right, 3 and 8"),
    options=(
        Option(id="led", text="The LED lamp, about 5 mA",
               feedback="It asks for so little that next to nothing moves by it, and next to nothing is proved by it. "
               "{led_said}"),
        Option(id="probe", text="The test lamp of 3 W, about a quarter of an amp",
               feedback="It asks for enough to see through a ghost, and can be too much for what stands behind it. "
               "{probe_said}"),
        Option(id="loading", text="The loading lamp of 21 W, about one and a half amps",
               feedback="It asks for a real load's current, and that current goes through all that stands in its way. "
               "{loading_said}"),
        Option(id="none", text="No lamp: the meter on volts, where the manual allows it",
               feedback="It asks for about a microamp: it disturbs nothing, and does not prove that anything can flow. "
               "{none_said}"),
    ),
    hints=(
        "How much current does each of them ask for, and what will that current do here?",
        "More amps tell more about the way, and move more at its end. Ask first what must not move, or break.",
        "For the fuses of a lamp circuit, for example, the 3 W lamp is right: it can carry something, and harms "
        "nothing.",
    ),
)

E1_DARK = "Lamp E1 stays dark; the second lamp works."
# Which lamp is dark, what has been cleared before, and the four that are left; the best tip has two on either side.
DARK = {
    "E1 first": {"tale": E1_DARK, "left": "S1 stuck open, X2 open, E1 open, X3 open", "best": "E1.1",
                 "asks": "filament, screw and the whole way home at once, and leaves the feed aside"},
    "E1 home": {"tale": E1_DARK + " With the clip on minus, X2.a is bright when the switch is on.",
                "left": "X2 open, E1 open, X3 open, W5 open", "best": "E1.2",
                "asks": "screw and wire home at once, and leaves joint and filament aside"},
    "E1 feed": {"tale": E1_DARK + " E1.2, its minus pin, has been proved: from there the way home is whole.",
                "left": "S1 stuck open, W3 open, X2 open, E1 open", "best": "X2.a",
                "asks": "joint and filament at once, and leaves switch and wire aside"},
    "E2 load": {"tale": "Lamp E2 stays dark; lamp E1 works, and with the button pressed the relay clicks.",
                "left": "W9 open, W10 open, E2 open, W11 open", "best": "E2.1",
                "asks": "filament and wire home at once, and leaves the feed aside"},
}
for _which, _case in DARK.items():
    _tips = ("K1.30", "K1.87", "E2.1", "E2.2") if _which == "E2 load" else ("X2.a", "E1.1", "E1.2", "X3.tag")
    _case |= dict(zip(("tip_a", "tip_b", "tip_c", "tip_d"), _tips, strict=True))
DARK_LAMP = NextTest(
    id="03.7", version=2, title="One reading from the plus side", picture=LAMP_CIRCUIT, criteria=("next-test",),
    prompt="{tale} Four suspects are left. Now nothing is switched on, and the clip of the test lamp is on battery "
    "plus, G1.+. Where do you put the tip, and who is left if it is lit, and if it is out?",
    given={"case": tuple(DARK)}, words=DARK, pictures={"E2 load": Picture(machine=BOARD, stage="relay load")},
    seen=Setup(machine=BOARD, positions={"switch": "off"}), clip="G1.+",
    tips=("{tip_a}", "{tip_b}", "{tip_c}", "{tip_d}"),
    suspects={
        "S1 stuck open": "the lamp switch S1 does not close",
        "W3 open": "wire W3, from the switch to joint X2, is broken",
        "X2 open": "joint X2 in the feed is open",
        "E1 open": "lamp E1 is broken",
        "X3 open": "the minus screw X3 is loose",
        "W5 open": "wire W5, from the lamp holder to the minus rail, is broken",
        "W9 open": "wire W9, from the fuse to the relay's contact, is broken",
        "W10 open": "wire W10, from the contact to lamp E2, is broken",
        "E2 open": "lamp E2 is broken",
        "W11 open": "wire W11, from lamp E2 to the minus rail, is broken",
    },
    chosen="{left}", count=4,
    why="At {best} one reading asks {asks}.",
    hints=(
        "Clip on plus: lit means that there is a way from the tip to minus. What lies on that way?",
        "For each tip, go through the four suspects: which of them cuts the way from there to minus?",
        "With the tip on X4.rail, no suspect would cut the way: lit, whoever it is. That test tells nothing.",
    ),
)

FIND_IT = JobQuestion(
    id="03.8", version=1, title="Job card J53: twelve volts, and dark", picture=LAMP_CIRCUIT, card="J53",
    criteria=("find", "cause", "repair", "prove"),
    prompt="The board with a fault that nobody tells you. Make it safe, see the complaint for yourself, find the fault "
    "with the lamp both ways, prove it with readings, put it right, and show that the complaint is gone.",
)

WHY_BOTH_WAYS = Explain(
    id="03.9", version=1, title="Say it to a friend", picture=LAMP_CIRCUIT, criteria=("report", "prove"),
    prompt="A friend says: “My test lamp is out at this pin, so the pin is joined to minus.” In two or three "
    "sentences: what else may it be, and what should your friend do next?",
    rubric=(
        "says that out has more than one meaning (no plus, no minus at the clip, no lamp, or floating)",
        "says that the lamp is to be proved on the battery's posts",
        "says to test the other way, clip on plus, and what lit would mean then",
        "warns of a coil, or of a control unit, on the way (for a full answer)",
    ),
    model="Out only says that no plus gets here that can feed a lamp, and a broken lamp says the same to everything. "
    "So prove the lamp on the posts first. Then put the clip on plus: if it is bright now, the pin is joined to minus; "
    "if it is out again, the pin hangs on nothing. On a relay's coil take care, for the lamp can pull it in.",
)

QUESTIONS = (
    LAMP_TO_PLUS, OUT_MEANS, BOTH_WAYS, ON_A_COIL, LOADED, WHICH_LAMP, DARK_LAMP, FIND_IT, WHY_BOTH_WAYS,
)
