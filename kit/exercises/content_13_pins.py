"""Questions of lesson 13, the first half: what a pin shows, what may be put on it, and what is left for the unit.

Raise a question's ``version`` with any change here: marking refuses answers given to another version.
"""

from kit.exercises.choice import Best, Choice, Option
from kit.exercises.figures import MeterVolts, Network, Setup
from kit.exercises.number import Number, Slip
from kit.exercises.prediction import Column, Prediction
from kit.exercises.question import Picture
from kit.exercises.volts_table import VoltsTable

LOADER, GENERATOR = "compact-loader", "site-generator"
UNIT = Picture(machine=LOADER, stage="control unit")
GENERATOR_UNIT = Picture(machine=GENERATOR, stage="control unit")
READY = {"key": "on", "seat_bar": "down", "lever": "neutral"}
ASKED = READY | {"start_button": "pressed"}

WHAT_THE_PIN_SAYS = VoltsTable(
    id="13.1", version=1, title="What the pins say", picture=UNIT, criteria=("predict", "units"),
    prompt="The sound loader, key on, engine stopped. It is a 24 V machine; with the key on the pair gives 25.3 V. "
    "The black lead stays on battery minus, G2.-. What does the meter show with the red lead back-probed on each "
    "point: once in neutral with the bar down, once with the lever forward and the bar up? The table locks before you "
    "see the readings.",
    given={"points": (
        "K2.supply K2.neutral K2.seat_bar", "K2.ground K2.neutral B1.1", "K2.supply K2.seat_bar B2.1",
        "K2.supply K2.ground K2.neutral", "K2.ground K2.seat_bar B2.2", "K2.supply K2.neutral B1.2",
    )},
    setup=Setup(machine=LOADER), black="G2.-", points_listed="{points}",
    columns=(Column(title="neutral, bar down", positions=READY),
             Column(title="forward, bar up", positions={"key": "on", "seat_bar": "up", "lever": "forward"})),
    load="B1",
    why="A pin that listens is held up by the unit from inside. The closed switch pulls it down to 0 V; the open one "
    "leaves it up. Here 0 V means “yes”.",
    next="Ask of each pin: who holds it up, and who pulls it down? The switch sits between pin and frame. Closed, it "
    "joins the pin to ground. Open, the unit's own volts are left on it.",
    hints=(
        "The supply pin and the ground pin do not care about lever and bar.",
        "In neutral the neutral switch is closed; with the bar down so is the other. A closed switch joins its pin to "
        "the frame.",
        "An oil pressure switch that is open while the engine stands leaves its pin at the unit's own volts, just so.",
    ),
)

# Published: 15 V across 10 kΩ and 20 kΩ in a row; 0.5 mA, 5 V and 10 V (the open textbook Circuit Analysis,
# circuit-analysis.github.io, chapter Dividers). With other volts the same thirds.
DIVIDER = Number(
    id="13.2", version=1, title="A sensor shares the volts", picture=UNIT, criteria=("figures", "units"), unit="V",
    prompt="A unit puts {volts} V on a sensor's wire through a resistor inside: {inside} kΩ. The sensor has {sensor} "
    "kΩ just now, from the wire to ground. How many volts does the unit read on that wire?",
    given={"volts": ("15", "12", "24", "6"), "inside": ("10", "20")},
    words={"10": {"sensor": "20", "share": "two thirds"}, "20": {"sensor": "10", "share": "one third"}},
    asks=Network(volts="{volts}", resistors={"R1": "1 2 {inside}e3", "R2": "2 0 {sensor}e3"}, asks="volts 2 0",
                 source="Circuit Analysis (circuit-analysis.github.io), chapter Dividers"),
    why="The two share the volts as they share the ohms: the sensor has {share} of the ohms, so {share} of the volts. "
    "Wet or green contacts in its plug change the ohms. The unit then reads a wrong figure, and cannot know it.",
    hint="The same current passes both. Ohms of both together, then the sensor's part of them, then the same part of "
    "{volts} V.",
    hints=(
        "In a row each takes volts by its ohms. How many ohms are there together?",
        "Divide the sensor's ohms by all the ohms: that part of the {volts} V stands on the wire.",
        "With 9 V, 30 kΩ inside and a sensor of 60 kΩ it would be 6 V.",
    ),
    slips={
        "rest": Slip(points=2, reason="That is what the resistor inside keeps for itself. The wire has the sensor's "
                     "part."),
        "half the source": Slip(idea="equal-share", reason="Half each is what you would read if both had the same "
                                "ohms. Here it is {inside} kΩ and {sensor} kΩ: count ohms, not parts."),
        "nominal": Slip(reason="All {volts} V are on the wire only when the sensor is unplugged: then nothing flows "
                        "and the resistor inside takes nothing."),
        "nothing": Slip(reason="0 V would be a sensor wire that touches ground."),
        "thousand": Slip(points=2, reason="Look at the unit: there are only {volts} V to share."),
    },
)

ONTO_A_PIN = {
    "lamp_harm": "that sends battery volts through the lamp into {pin}. A pin made for thousandths of an amp gets a "
    "hundred times that. On a job card it costs you, and on the machine a unit.",
    "jump_harm": "the fuse is far too slow to save a chip. Battery volts on {pin} are how good units become bad ones.",
}
ONTO_AN_OUTPUT = {
    "lamp_harm": "the lamp would join plus to an output that pulls down. It then has to carry the lamp besides its "
    "relay, and it was made for the relay. A meter takes nothing and tells more.",
    "jump_harm": "the moment the output pulls down, plus and ground meet in it. The fuse is far too slow to save a "
    "chip.",
}
ONTO_A_KILL_WIRE = {
    "lamp_harm": "that sends battery volts through the lamp into the ignition module. No battery volts on a kill wire, "
    "ever.",
    "jump_harm": "battery volts on a kill wire go straight into the ignition module. It would not survive that.",
}
ONTO_A_FEED = {
    "lamp_harm": "from plus to a feed the lamp tells nothing, and the next pin is very close. One slip, and "
    "battery volts are on a signal.",
    "jump_harm": "on your wire the unit would live, and hide the very fault you look for. One slip to the next pin, "
    "and it is dead.",
}
PLACES = {
    "feed": {"place": "the loader's control unit K2: can its feed and its ground carry a load?", "fit": "lamp off",
             "pin": "K2.supply"} | ONTO_A_FEED,
    "panel": {"place": "the generator's control unit K5: can its feed and its ground carry a load?", "fit": "lamp off",
              "pin": "K5.supply"} | ONTO_A_FEED,
    "lever": {"place": "the loader's pin K2.neutral: what is the unit told at this moment, all at work?",
              "fit": "meter on", "pin": "K2.neutral"} | ONTO_A_PIN,
    "oil": {"place": "the generator's pin K5.oil: what is the unit told at this moment, all at work?",
            "fit": "meter on", "pin": "K5.oil"} | ONTO_A_PIN,
    "start": {"place": "the loader's pin K2.start: does the unit pull it to ground while start is held?",
              "fit": "meter on", "pin": "K2.start"} | ONTO_AN_OUTPUT,
    "kill": {"place": "the mower's kill wire: does it touch ground somewhere, key at run, somebody on the seat?",
             "fit": "ohms off", "pin": "X15.tab"} | ONTO_A_KILL_WIRE,
}
WHAT_MAY_GO_WHERE = Choice(
    id="13.3", version=1, title="What may go where?", picture=UNIT, criteria=("units", "prove", "safe"),
    prompt="You want to know this of {place} What do you do?",
    given={"site": tuple(PLACES)}, words=PLACES, right=Best(option="{fit}", source="common practice"),
    options=(
        Option(
            id="lamp off",
            text="Key off, plug off. Then key on, and the test lamp across two pins of the loom's plug: supply and "
            "ground",
            feedback="With the plug off, the lamp loads the loom and cannot hurt the unit. It is the test for a feed "
            "and a ground; a signal it cannot tell.",
        ),
        Option(
            id="meter on",
            text="All plugged in and at work. Meter on volts, black on battery minus, red back-probed at {pin}",
            feedback="A meter takes next to nothing, so it may sit on a pin that is at work. That also means that it "
            "loads nothing: a green joint shows full volts.",
        ),
        Option(
            id="ohms off",
            text="Engine stopped, the wire or plug off at the unit. Meter on ohms, from the wire's loose end to "
            "ground",
            feedback="Ohms are for what is dead and unplugged. So a kill wire or a switch is tested; what a unit is "
            "told at work, or what a feed can carry, ohms do not tell.",
        ),
        Option(
            id="lamp on", text="All plugged in. Test lamp: clip on battery plus, tip at {pin}",
            feedback="Stop: {lamp_harm}",
        ),
        Option(
            id="jump", text="A fused wire from battery plus to {pin}, to see whether it wakes up",
            feedback="Stop: {jump_harm}",
        ),
    ),
    hints=(
        "First: does it stay plugged in for this? Then: may anything draw current there?",
        "To load a feed you want a lamp, and the unit out of the way. To listen to a pin you want a meter, and all at "
        "work. A kill wire you want dead and loose.",
        "The boat's kill cord switch, does it close? Key off, its wires off, ohms across it.",
    ),
)

PLUG_OFF = Prediction(
    id="13.4", version=1, title="The lamp in the empty plug", picture=UNIT, criteria=("predict", "units", "prove"),
    prompt="A loader whose display stays dark. The unit's plug is off, so nothing can be hurt. You happen to know why "
    "it is dark: {cause}. The lamp's clip is on {clip_said}. What does the lamp do with its tip on each point, key off "
    "and key on? The table locks.",
    given={
        "clip": ("K2.ground", "G2.-"),
        "broken": ("W20 open", "F4 blown", "F4 high resistance 50 kohm", "W8 open"),
    },
    words={
        "K2.ground": {"clip_said": "the ground pin of the loom's plug, K2.ground"},
        "G2.-": {"clip_said": "battery minus, G2.-"},
        "W20 open": {"cause": "wire W20, from the fuse box to the unit, is broken"},
        "F4 blown": {"cause": "fuse F4 is blown"},
        "F4 high resistance 50 kohm": {"cause": "fuse F4 is whole, but a film on its blades has 50 kΩ"},
        "W8 open": {"cause": "the link W8 in the fuse box, between F3.1 and F4.1, is broken"},
    },
    # A dead unit conducts nowhere, just like one that is unplugged.
    setup=Setup(machine=LOADER, faults=("K2 dead", "{broken}")), clip="{clip}",
    points_listed="F1.2 F4.1 F4.2 K2.supply",
    columns=(Column(title="key off", positions={"key": "off"}), Column(title="key on", positions={"key": "on"})),
    feed="W20",
    why="The lamp asks the loom for a load, and the loom answers honestly. No unit was in the way, and none was at "
    "risk.",
    next="The unit is off, but the lamp itself is a load: bright wherever a sound way leads from battery plus to the "
    "tip. With the key off the main relay lets nothing into the fuse box.",
    hints=(
        "Which of these points sit behind the main relay? They have nothing while the key is off.",
        "Key on: walk from F1.2 to the plug. Where does the way end?",
        "On a sound loader all four are bright with the key on, and only F1.2 with the key off.",
    ),
)

LIVES_ON = Number(
    id="13.5", version=1, title="What is left to live on", picture=GENERATOR_UNIT, unit="V",
    criteria=("figures", "units", "drop"),
    prompt="You check the feed of the generator's control unit. Key on, panel lit, emergency stop {stop_said}. Black "
    "lead on battery minus: {supply} at the supply pin K5.supply, {ground} at the ground pin K5.ground. How many volts "
    "does the unit itself get?",
    given={
        "broken": ("X10 high resistance 5 ohm", "W19 high resistance 5 ohm", "X10 high resistance 0.5 ohm"),
        "stop": ("released", "pressed"),
    },
    words={"released": {"stop_said": "released"}, "pressed": {"stop_said": "pressed"}},
    told={
        "supply": MeterVolts(setup=Setup(machine=GENERATOR, faults=("{broken}",),
                                         positions={"key": "on", "emergency_stop": "{stop}"}),
                             red="K5.supply", black="G1.-"),
        "ground": MeterVolts(setup=Setup(machine=GENERATOR, faults=("{broken}",),
                                         positions={"key": "on", "emergency_stop": "{stop}"}),
                             red="K5.ground", black="G1.-"),
    },
    asks=MeterVolts(setup=Setup(machine=GENERATOR, faults=("{broken}",),
                                positions={"key": "on", "emergency_stop": "{stop}"}),
                    red="K5.supply", black="K5.ground"),
    within=0.005,
    why="A unit lives between its two pins. {supply} less {ground}: that is all it gets. With both leads across the "
    "two pins you read it in one go, and that is the better way.",
    hint="The unit does not know battery minus. It knows its own two pins: what stands between them?",
    hints=(
        "Volts are a difference between two points. Which two points matter to the unit?",
        "Take what its ground pin stands at from what its supply pin stands at.",
        "With 12.2 V at the supply pin and 4.0 V at the ground pin it would be 8.2 V.",
    ),
    slips={
        "from minus": Slip(
            idea="wires-never-drop",
            reason="That is the supply pin against battery minus. The unit's own ground stands {ground} above battery "
            "minus, so it gets that much less. Put the black lead on K5.ground and read again.",
        ),
        "nothing": Slip(reason="With 0 V the panel would be dark."),
        "thousand": Slip(points=2, reason="Look at the unit: volts, not thousandths."),
    },
)
