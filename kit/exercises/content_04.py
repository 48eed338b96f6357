"""Questions of lesson 04: the meter, floating points and ghost volts, and ohms only when dead.

Raise a question's ``version`` with any change here: marking refuses answers given to another version.
"""

from kit.exercises.choice import Best, Choice, Option
from kit.exercises.explain import Explain
from kit.exercises.figures import MeterVolts, Network, Setup
from kit.exercises.job_question import JobQuestion
from kit.exercises.number import Number, Slip
from kit.exercises.ordered import InThisOrder, Ordered
from kit.exercises.prediction import Column
from kit.exercises.question import Picture
from kit.exercises.standing import Standing
from kit.exercises.times import TimesAsMuch
from kit.exercises.volts_table import VoltsTable

BOARD, TENDER = "bench-board", "harbour-tender"
LAMP_CIRCUIT = Picture(machine=BOARD, stage="lamp circuit")
RELAY_LOAD = Picture(machine=BOARD, stage="relay load")
OFF = Column(title="switch off", positions={"switch": "off"})
ON = Column(title="switch on", positions={"switch": "on"})
SOUND_OFF = Setup(machine=BOARD, positions={"switch": "off"})

TWO_ENDS = Number(
    id="04.1", version=1, title="A reading has two ends", picture=LAMP_CIRCUIT, unit="V",
    criteria=("predict", "figures"),
    prompt="The board is sound, the lamp switch is off. Across the battery's posts the meter shows {battery}. Now its "
    "red lead goes on {red}, and its black lead on {black}. What does it show?",
    given={"pair": ("S1.1 S1.2", "F1.2 X2.b", "X6.a E1.1"), "leads": ("straight", "swapped")},
    words={
        "S1.1 S1.2": {"upper": "S1.1", "lower": "S1.2"}, "F1.2 X2.b": {"upper": "F1.2", "lower": "X2.b"},
        "X6.a E1.1": {"upper": "X6.a", "lower": "E1.1"},
        "straight": {"red": "{upper}", "black": "{lower}"}, "swapped": {"red": "{lower}", "black": "{upper}"},
    },
    told={"battery": MeterVolts(setup=SOUND_OFF, red="G1.+", black="G1.-")},
    asks=MeterVolts(setup=SOUND_OFF, red="{red}", black="{black}"),
    why="{upper} is joined to plus, {lower} to minus through the cold lamp. No current flows, so nothing is lost on "
    "the way: all the battery's volts stand across the open switch. The sign says which lead is nearer to plus.",
    hint="Which post is each lead joined to? Lamp E1 is whole, and a whole lamp joins its two pins. Then: red against "
    "black.",
    hints=(
        "The open switch lies between the two leads. To which post is the piece on either side joined?",
        "One piece hangs on plus. The other hangs on minus, through lamp E1, which is cold and loses nothing.",
        "Across the battery itself it is the same: red on plus shows +, red on minus shows −.",
    ),
    slips={
        "nothing": Slip(
            idea="no-current-no-volts",
            reason="0 V is what you would read if volts needed a current. None flows here, that is true. Lay the meter "
            "across the open switch on the board: all the battery's volts stand there, waiting.",
        ),
        "reversed": Slip(
            points=2,
            reason="The size is right. Now the sign: the meter shows red against black, so it shows minus when red is "
            "the one nearer to minus.",
        ),
        "nominal": Slip(
            points=2,
            reason="The idea is right: all that the battery has. But 12 V is only its name. What did the meter show at "
            "its posts?",
        ),
        "half": Slip(
            idea="equal-share",
            reason="Half is what you would read if switch and lamp got the same. An open switch has more ohms than "
            "anything else, so it gets it all.",
        ),
        "thousand": Slip(points=2, reason="A thousand times too much for a 12 V board: look at the unit."),
    },
)

FLOATERS = {
    "W11 open": {"cause": "Wire W11, from the second lamp to the minus rail, is broken inside its insulation."},
    "E2 open": {"cause": "The filament of the second lamp E2 is broken."},
    "W10 open": {"cause": "Wire W10, from the relay's contact to the second lamp, is broken inside its insulation."},
    "W9 open": {"cause": "Wire W9, from the fuse to the relay's contact, is broken inside its insulation."},
}

NEITHER = Standing(
    id="04.2", version=1, title="Who hangs on nothing?", picture=RELAY_LOAD, criteria=("trace", "predict"),
    prompt="{cause} How does each point stand: joined to plus (live), joined to minus (ground), or joined to neither "
    "(floating)? Say it for the push button released, so that the relay's contact is open, and for pressed.",
    given={"broken": tuple(FLOATERS), "points": ("K1.30 K1.87 E2.1 E2.2", "F1.2 K1.30 K1.87 E2.2")},
    words=FLOATERS,
    setup=Setup(machine=BOARD, faults=("{broken}",)), points_listed="{points}",
    columns=(
        Column(title="released", positions={"button": "released"}),
        Column(title="pressed", positions={"button": "pressed"}),
    ),
    why="Two gaps, and the piece between them hangs on nothing. Close one of the gaps, and the piece belongs to a post "
    "again.",
    next="Mark the gaps: the break, and the relay's contact while it is open. Walk from the point both ways. Plus met: "
    "live. Minus met: ground. Gaps on both sides: floating.",
    hints=(
        "The relay's contact between K1.30 and K1.87 is closed only while the button is pressed.",
        "A whole lamp joins its two pins. So what about the piece with the lamp in it?",
        "On the sound board, released: K1.30 is live, and K1.87 is ground, through the second lamp.",
    ),
)

# What four readings at a point tell. Each spot is one of the board; ``was`` and ``too`` are the faults it has there.
SPOTS = {
    "sound feed": {"was": "E2 open", "too": "K1 coil open", "switch": "on", "spot": "S1.2", "lamps": "bright",
                   "other": "out", "is": "live"},
    "way home": {"was": "E2 open", "too": "K1 coil open", "switch": "on", "spot": "E1.2", "lamps": "out",
                 "other": "bright", "is": "ground"},
    "between": {"was": "X3 open", "too": "E2 open", "switch": "off", "spot": "E1.1", "lamps": "out", "other": "out",
                "is": "floating"},
    "green plus": {"was": "X2 high resistance 50 kohm", "too": "E1 open", "switch": "on", "spot": "E1.1",
                   "lamps": "out", "other": "out", "is": "ghost of plus"},
    "green minus": {"was": "X2 high resistance 50 kohm", "too": "E2 open", "switch": "off", "spot": "S1.2",
                    "lamps": "out", "other": "out", "is": "ghost of minus"},
}
AT_THE_SPOT = Setup(machine=BOARD, faults=("{was}", "{too}"), positions={"switch": "{switch}"})

ONE_LAMP = {"switch": "{switch}", "button": "{button}"}
TWICE_THE_AMPS = Choice(
    id="04.9", version=1, title="Twice the amps", picture=LAMP_CIRCUIT, criteria=("predict",),
    prompt="The {first} is lit, and the meter lies {where}. Then the {second} is switched on beside it. Each lamp asks "
    "for the same current, so the battery now gives twice the amps. What does the meter show?",
    given={"first one": ("E1", "E2"), "place": ("posts", "fuse and rail", "plus post and rail")},
    words={
        "E1": {"first": "lamp E1", "second": "second lamp E2", "switch": "on", "button": "released"},
        "E2": {"first": "second lamp E2", "second": "lamp E1", "switch": "off", "button": "pressed"},
        "posts": {"where": "across the battery's posts", "red": "G1.+", "black": "G1.-"},
        "fuse and rail": {"where": "between the fuse, F1.2, and the minus rail, X4.rail", "red": "F1.2",
                          "black": "X4.rail"},
        "plus post and rail": {"where": "between the plus post, G1.+, and the minus rail, X4.rail", "red": "G1.+",
                               "black": "X4.rail"},
    },
    right=TimesAsMuch(
        before=MeterVolts(setup=Setup(machine=BOARD, positions=ONE_LAMP), red="{red}", black="{black}"),
        now=MeterVolts(setup=Setup(machine=BOARD, positions={"switch": "on", "button": "pressed"}), red="{red}",
                       black="{black}"),
    ),
    options=(
        Option(id="2", text="Twice the volts", idea="volts-follow-current",
               feedback="Twice is what you would read if volts belonged to the current. They do not: they are a "
               "difference between two points, there even when nothing flows. Try it on the bay, switch and button "
               "together: the number hardly moves."),
        Option(id="1", text="Nearly the same, a little less", feedback="The amps have doubled, and the volts sag by a "
               "few hundredths. Volts push; how many amps come of it is up to the lamps."),
        Option(id="0.5", text="Half: the two lamps share them", idea="equal-share",
               feedback="Half is what you would read if the lamps stood in a row. They stand side by side, each with "
               "the whole battery across it. Watch the first lamp on the bay: it stays as bright as it was."),
        Option(id="0", text="Nothing: the lamps use it all", feedback="Then no lamp could burn. Lay the leads there on "
               "the bay, with both lamps lit."),
    ),
    hints=(
        "What did the meter show at the posts while no lamp was lit at all?",
        "Does the first lamp get darker when the second one comes on?",
        "Between the fuse and the rail, nothing lit: 12.70 V. One lamp lit: 12.6 V or so. And two?",
    ),
)

FOUR_READINGS = Choice(
    id="04.3", version=1, title="Four readings, one verdict", picture=LAMP_CIRCUIT, criteria=("measure", "find"),
    prompt="A point on the board, and four readings. The meter against minus: {minus}. The meter against plus: {plus}. "
    "The test lamp, clip on minus: {lamps}. The test lamp, clip on plus: {other}. What is the point?",
    given={"place": tuple(SPOTS)}, words=SPOTS,
    told={"minus": MeterVolts(setup=AT_THE_SPOT, red="{spot}", black="G1.-"),
          "plus": MeterVolts(setup=AT_THE_SPOT, red="G1.+", black="{spot}")},
    right=Best(option="{is}", source="common practice; trade.md, what must be right, 1"),
    options=(
        Option(id="live", text="Joined to plus, well enough to feed a lamp",
               feedback="That would be: volts against minus, none against plus, and the lamp bright with its clip on "
               "minus. Compare it with the four you have."),
        Option(id="ground", text="Joined to minus, well enough to feed a lamp",
               feedback="That would be: volts against plus, none against minus, and the lamp bright with its clip on "
               "plus. Compare it with the four you have."),
        Option(id="floating", text="Joined to neither: it floats", idea="",
               feedback="That would be: 0.00 V against either post, and the lamp out both ways. Only both ways show "
               "it, for the meter has no word for floating."),
        Option(id="ghost of plus", text="Joined to plus, but so badly that only the meter notices",
               feedback="That would be: volts against minus on the meter, and yet the lamp out on both sides. "
               "Something with very many ohms lies on the way to plus."),
        Option(id="ghost of minus", text="Joined to minus, but so badly that only the meter notices",
               feedback="That would be: volts against plus on the meter, and yet the lamp out on both sides. Something "
               "with very many ohms lies on the way to minus."),
    ),
    hints=(
        "Begin with the meter: against which post does it show volts? The point is joined to the other one.",
        "Then the lamp: does it agree with the meter? If not, the way is there, and it carries next to nothing.",
        "Meter 12.70 V against minus and lamp bright with its clip there: joined to plus, and well.",
    ),
)

# Published: 24 V across two resistances of 250 megohms, and a meter of 10 megohms on one of them.
# Kuphaldt, Lessons in Electric Circuits, vol. I, DC metering circuits.
METER_LOADS = Number(
    id="04.4", version=1, title="The meter is a load as well", picture=LAMP_CIRCUIT, unit="V", criteria=("figures",),
    prompt="A paper board: {source} V across two resistances in a row, each of {each}. A megohm, MΩ, is a million "
    "ohms. Without a meter each has half the volts. Your meter has 10 MΩ inside, and you lay it across the second one. "
    "{each} and 10 MΩ side by side act like {both}. What does the meter show?",
    given={"source": ("24", "12"), "ohms": ("250e6", "50e6")},
    words={"250e6": {"each": "250 MΩ", "both": "9.62 MΩ"}, "50e6": {"each": "50 MΩ", "both": "8.33 MΩ"}},
    asks=Network(
        volts="{source}", resistors={"R1": "1 2 {ohms}", "R2": "2 0 {ohms}", "meter": "2 0 10e6"}, asks="volts 2 0",
        source="Kuphaldt, Lessons in Electric Circuits, vol. I, DC metering circuits",
    ),
    why="{both} out of {each} and {both}: that share of {source} V. Where there are very many ohms on the way, even a "
    "meter pulls the volts down. In a sound circuit its 10 MΩ are nothing.",
    hint="With the meter on, the second part has {both}. What share is that of the whole row?",
    hints=(
        "The meter stands beside the second resistance. The row is now {each} and {both}.",
        "Volts = {source} V times {both}, divided by the sum of the two.",
        "With 30 MΩ and, meter on, 6 MΩ on 12 V: 6 of 36, a sixth, so 2 V.",
    ),
    slips={
        "half the source": Slip(
            reason="That is what was there before you came. The meter's own 10 MΩ stand beside the second resistance "
            "now, and pull its share down. On the board, see it with joint X2 green: the lamp pulls the ghost down to "
            "nothing, the meter only a little.",
        ),
        "rest": Slip(points=2, reason="That is what the first resistance has. You found the way; the meter is on the "
                     "second."),
        "nominal": Slip(reason="That is what both have together. Each gets its share, by ohms."),
        "nothing": Slip(
            idea="no-current-no-volts",
            reason="0 V would need no way at all to plus. There is one, through many megohms, and a little comes "
            "through it.",
        ),
        "thousand": Slip(points=2, reason="The figure is right and the unit a thousand off."),
    },
)

BULBS = {
    "E1 open": {"bulb": "Bulb E1 is out of its holder.", "tale": "Bulb out, the meter finds the battery through the "
                "green joint, for it asks for a microamp. It looks as if all were well."},
    "E2 open": {"bulb": "Bulb E1 is in its holder; only that of the second lamp is out.", "tale": "Bulb in, the "
                "filament asks for a real current, the joint does not let it through, and the ghost is gone: 0 V "
                "behind it."},
}

GHOST = VoltsTable(
    id="04.5", version=1, title="Twelve volts, or none?", picture=LAMP_CIRCUIT, criteria=("predict",),
    prompt="Joint X2 is green with salt: 50 kΩ where there should be next to none. {bulb} The battery has about 12.7 "
    "V. The meter's black lead is on battery minus, G1.-. What does it show with its red lead on each point, switch "
    "off and switch on? The table locks before you see the readings.",
    given={"out": tuple(BULBS), "points": ("S1.1 X2.a X2.b E1.1", "F1.2 S1.2 X2.b E1.1")},
    words=BULBS,
    setup=Setup(machine=BOARD, faults=("X2 high resistance 50 kohm", "{out}")), black="G1.-", points_listed="{points}",
    columns=(OFF, ON), load="X2", why="{tale}",
    next="Volts go by ohms. Behind the joint: is there a way on to minus? The meter alone has 10 MΩ, next to which 50 "
    "kΩ are small. A cold bulb has less than an ohm, next to which 50 kΩ are all.",
    hints=(
        "Switch off, nothing behind the switch is joined to plus. Switch on, the joint X2 is the question.",
        "Joint and what stands behind it are two in a row. Who has more ohms: 50 kΩ, or what is behind?",
        "With a joint as good as new and the bulb in, all points before the bulb show the battery.",
    ),
)

# What is to be measured, how it is made dead and taken apart; and what is never done on the way.
OHMS_OF = {
    "bulb": {"what": "bulb E1", "dead": "Switch off and take the fuse out", "apart": "Take the bulb out of its holder",
             "like": "For a relay's coil it is the same, with the relay drawn out of its socket."},
    "coil": {"what": "the coil of relay K1", "dead": "Let go of the button and take the fuse out",
             "apart": "Draw the relay out of its socket",
             "like": "For a bulb it is the same, with the bulb taken out of its holder."},
    "wire": {"what": "wire W5, lamp holder to minus rail", "dead": "Switch off and take the minus clip off",
             "apart": "Take one of its ends off", "like": "For a relay's coil it is the same, with the relay drawn out "
             "of its socket."},
    "fed": {"never": "Switch on, so that a current flows through it",
            "because": "Ohms on a live circuit are nonsense, and can cost you the meter: it sends its own small "
            "current, and none other may be there."},
    "by ohms": {"never": "See on ohms whether it is dead",
                "because": "Ohms on a live circuit are nonsense, and can cost you the meter. Whether it is live only "
                "volts can tell."},
}
OHMS_DEAD = Ordered(
    id="04.6", version=2, title="Ohms, in this order", picture=LAMP_CIRCUIT, criteria=("safe", "prove"),
    prompt="You want to know the ohms of {what}, with the meter. Put the steps in order. Leave out what does not "
    "belong.",
    given={"part": ("bulb", "coil", "wire"), "forbidden": ("fed", "by ohms")}, words=OHMS_OF,
    pictures={"coil": Picture(machine=BOARD, stage="relay coil")},
    right=InThisOrder(
        options=("off", "dead", "apart", "together", "measure", "back"), source="common practice (trade.md, safety)",
    ),
    options=(
        Option(id="off", text="{dead}", feedback="First take the battery away from it: fuse out, or minus clip off."),
        Option(id="dead", text="On volts, see that there is nothing across it",
               feedback="You believe it is dead when the meter says so, on volts, before it is set to ohms."),
        Option(id="apart", text="{apart}",
               feedback="With both ends on, the meter also finds every other way round. Dead first, then apart."),
        Option(id="together", text="Set to ohms, hold the leads together, note what they have",
               feedback="The leads have a few tenths of an ohm of their own: see what, before you measure."),
        Option(id="measure", text="Measure, and take the leads' ohms off",
               feedback="Before that there is something to make sure of, and something to note."),
        Option(id="back", text="Set the meter back to volts",
               feedback="That is for the end, so that nobody lays it on a battery while it is on ohms."),
        Option(id="live", text="{never}", feedback="{because}"),
    ),
    why="Off, proved dead, apart; then the leads, the part, and back to volts. On ohms the meter feeds the part "
    "itself, so nothing else may.",
    hints=(
        "On ohms the meter sends a small current of its own. What must not be there then?",
        "First make it dead, then prove it dead, then take it apart. The leads come before the part.",
        "{like}",
    ),
)

FIND_IT = JobQuestion(
    id="04.7", version=1, title="Job card J30: twelve volts at the panel", card="J30",
    picture=Picture(machine=TENDER, stage="panel feed"), criteria=("find", "cause", "repair", "prove", "measure"),
    prompt="The harbour tender with a fault that nobody tells you. Make it safe, see the complaint for yourself, find "
    "the fault with meter and lamp, prove it with readings, put it right, and show that the complaint is gone.",
)

WHY_DARK = Explain(
    id="04.8", version=1, title="Say it to the harbour hand", picture=LAMP_CIRCUIT, criteria=("report", "prove"),
    prompt="The harbour hand holds the meter under your nose: “Twelve volts! And you say that nothing gets there?” In "
    "two or three plain sentences: how can the meter show twelve volts where a lamp stays dark?",
    rubric=(
        "says that the meter asks for next to no current",
        "says that a bad joint lets that little through, and not what a lamp asks for",
        "says how to tell: a lamp, or the meter with the load on",
        "uses words an owner understands",
    ),
    model="Your meter is right: there are twelve volts, as long as nobody wants anything from them. It asks for a "
    "millionth of an amp, and even a joint full of salt lets that through. The lamp asks for a quarter of an amp, and "
    "then nothing is left. So measure with the load on, or take the test lamp: it shows what can be used.",
)

QUESTIONS = (TWO_ENDS, TWICE_THE_AMPS, NEITHER, FOUR_READINGS, METER_LOADS, GHOST, OHMS_DEAD, FIND_IT, WHY_DARK)
