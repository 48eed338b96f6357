"""Questions of lesson 11: silence, clicks, clatter, slow cranks and grunts, told apart by ear, by lamp and in time.

Raise a question's ``version`` with any change here: marking refuses answers given to another version.
"""

from kit.exercises.choice import Choice, ExplainsAll, Option, StripOf
from kit.exercises.courses import CoilRise
from kit.exercises.explain import Explain
from kit.exercises.figures import MeterVolts, OnStrip, Setup
from kit.exercises.job_question import JobQuestion
from kit.exercises.number import Number, Slip
from kit.exercises.ordered import ByTheClock, Ordered
from kit.exercises.prediction import Column
from kit.exercises.question import Picture
from kit.exercises.several import Several
from kit.exercises.volts_table import VoltsTable

BIKE, MOWER, GENERATOR = "orchard-bike", "ride-on-mower", "site-generator"
BIKE_CRANKING = Picture(machine=BIKE, stage="cranking circuit")
BIKE_READY, BIKE_PRESSED = {"key": "on"}, {"start_button": "pressed"}

BY_EAR = Several(
    id="11.1", version=1, title="By ear and by head lamp", picture=BIKE_CRANKING, criteria=("suspects", "starting"),
    prompt="An orchard bike in neutral, key on, start pressed. {seen} One fault does it. Tick every one that could.",
    given={"hidden": ("S2 stuck open", "M1 open", "G1 sulphated", "X8 high resistance 0.5 ohm", "M1 seized")},
    words={
        "S2 stuck open": {"seen": "Not a sound. The head lamp stays as it is."},
        "M1 open": {"seen": "One click, no more. The head lamp stays as it is."},
        "G1 sulphated": {"seen": "It clatters like a sewing machine. The head lamp pulses with it."},
        "X8 high resistance 0.5 ohm": {"seen": "A click, and the engine turns over slowly. The head lamp gets a "
                                               "little weaker and stays lit."},
        "M1 seized": {"seen": "A click, one clunk, then quiet. The head lamp goes dim and stays dim."},
    },
    right=ExplainsAll(
        seen=Setup(machine=BIKE, faults=("{hidden}",)), moves=(BIKE_READY | BIKE_PRESSED,), watch=("K1", "M1", "E1"),
    ),
    options=(
        Option(id="S2 stuck open", text="the stop switch S2 does not close",
               feedback="Then nobody asks the relay: silence, and the lamp does not care."),
        Option(id="K1 coil open", text="the coil of the starter relay K1 is broken",
               feedback="Then the relay cannot move: silence, and the lamp does not care."),
        Option(id="K1 contacts open", text="the contacts of the relay K1 are burnt away",
               feedback="Then the coil works: one click. No big current flows, so the lamp stays."),
        Option(id="M1 open", text="the starter's brushes are worn to the end",
               feedback="Then the relay clicks and the starter takes nothing, so the lamp stays."),
        Option(id="G1 sulphated", text="the battery is worn out: it cannot give a starter's amps",
               feedback="Then its volts fall as soon as the contact closes. The relay lets go, and it begins again."),
        Option(id="X1 high resistance 0.5 ohm", text="the clamp on the plus post is loose",
               feedback="Then the volts behind the clamp fall as soon as the contact closes: clatter."),
        Option(id="X8 high resistance 0.5 ohm", text="the engine strap sits on paint",
               feedback="Then some current still gets home by another way, and the engine turns slowly."),
        Option(id="M1 seized", text="the starter is stuck and cannot turn",
               feedback="Then the current is as big as it can be, and stays: a clunk, and a dim lamp."),
    ),
    why="The sound says how far the current came, the head lamp how much of it. Each pair leaves two suspects or one.",
    hints=(
        "Does the relay click? Then its coil is fed. Does the lamp get weaker? Then a big current flows.",
        "No click: the asking side. Click and a steady lamp: nothing flows behind the relay. Clatter: volts that fall.",
        "A click with a lamp that goes dim and an engine that turns slowly could be a battery that is a quarter full.",
    ),
)

BOAT_STATES = {
    "E1 open": {"state": "All that starts her is sound."},
    "G1 quarter charged": {"state": "Her battery is a quarter full: she turns, and never at full speed."},
    "M1 seized": {"state": "Her starter is stuck: it cannot turn."},
    "Q1 contacts burnt 0.02 ohm": {"state": "Her isolator is burnt: she turns, and never at full speed."},
}
COMES_FIRST = Ordered(
    id="11.2", version=1, title="One second, step by step",
    picture=Picture(machine="harbour-tender", stage="cranking circuit"), criteria=("predict", "starting"),
    prompt="A tender, key on. {state} Start is pressed, held for a second and let go. Put in order what happens. Leave "
    "out what does not happen on her.",
    given={"hidden": tuple(BOAT_STATES)},
    words=BOAT_STATES,
    options=(
        Option(id="small in", text="the start relay pulls in: a small click",
               feedback="The button feeds the coil of the start relay. It is the first that moves."),
        Option(id="big in", text="the starter solenoid pulls in: a big click",
               feedback="The contact of the start relay feeds the starter solenoid. So the small click comes first."),
        Option(id="full", text="the engine turns at full speed",
               feedback="It needs the big contact first, then a good battery and feed, and a fifth of a second."),
        Option(id="small out", text="the start relay lets go",
               feedback="It lets go as soon as nobody asks it any more: after the button."),
        Option(id="big out", text="the starter solenoid lets go",
               feedback="It lets go when the start relay does not feed it any more."),
        Option(id="still", text="the engine stands still again",
               feedback="It stands still only some time after the big contact opened, and only if it turned before."),
        Option(id="pop", text="the main fuse F1 melts",
               feedback="The main fuse does not carry the starter's current: no starter needs a fuse to live."),
    ),
    right=ByTheClock(
        setup=Setup(machine="harbour-tender", faults=("{hidden}",), positions={"isolator": "on", "key": "on"}),
        held=BIKE_PRESSED,
        events={
            "small in": "K1 pulls in", "big in": "K3 pulls in", "full": "M1 full speed", "small out": "K1 lets go",
            "big out": "K3 lets go", "still": "M1 still", "pop": "F1 melts",
        },
    ),
    why="Small click, big click 25 thousandths of a second later: you hear one. Then the engine. Let go, and it all "
    "falls in the same order. What does not come shows how far it got.",
    hints=(
        "Each thing is fed by the one before it. Who feeds whom?",
        "The button feeds the small relay, its contact feeds the big one, and that feeds the starter. Does this "
        "starter turn?",
        "On a sound bike, with one relay only: it pulls in, full speed, it lets go, stands still.",
    ),
)

# Published: 7.50 mH and 3.00 ohm make 2.50 ms (OpenStax College Physics, RL circuits); the others by L over R.
COIL_IS_SLOW = Number(
    id="11.3", version=1, title="Why a click comes late", picture=Picture(machine=BIKE, stage="starter relay"),
    criteria=("figures",), unit="s",
    prompt="A coil has {henries} mH and {ohms} Ω. It is switched on. Its current does not jump: it rises, and after "
    "one time constant it has 63 % of all it will have. One time constant is the henries divided by the ohms. How "
    "long is that for this coil? Write the unit too: a thousandth of a second is 1 ms.",
    given={"coil": ("7.50 3.00", "9.00 2.00", "24.0 6.00", "60.0 4.00")},
    words={
        "7.50 3.00": {"henries": "7.50", "ohms": "3.00"}, "9.00 2.00": {"henries": "9.00", "ohms": "2.00"},
        "24.0 6.00": {"henries": "24.0", "ohms": "6.00"}, "60.0 4.00": {"henries": "60.0", "ohms": "4.00"},
    },
    asks=CoilRise(henries="{henries}e-3", ohms="{ohms}"),
    why="{henries} mH divided by {ohms} Ω. After three such times it has 95 %. A relay pulls in somewhere on the way, "
    "so its click comes some thousandths of a second after the press.",
    hint="Divide the millihenries by the ohms: that gives milliseconds.",
    hints=(
        "Which of the two makes the rise slower: more henries or more ohms?",
        "Henries divided by ohms are seconds; millihenries divided by ohms are milliseconds.",
        "For 20 mH and 5 Ω: 20 divided by 5 is 4, so 4 ms.",
    ),
    slips={
        "upside down": Slip(reason="That is ohms divided by millihenries. Turn it round: more ohms end the rise "
                            "sooner."),
        "multiplied": Slip(reason="That is millihenries times ohms. More ohms make the rise shorter, so divide."),
        "share of it": Slip(points=2, reason="That is 63 % of the time. The 63 % are of the current, after the whole "
                            "of this time."),
        "thousand": Slip(points=2, reason="Look at the unit: millihenries divided by ohms are thousandths of a "
                         "second. Write ms behind it."),
    },
)

LOOKED = (
    ("volts G1.+", "0"), ("volts G1.+", "lowest 0 0.2"), ("volts G1.+", "lowest 0.5 1"),
    ("volts G1.+", "highest 0.5 1"), ("amps M1", "highest 0 1"), ("amps M1", "lowest 0.5 1"),
    ("amps M1", "highest 0.5 1"),
)
WHOSE = Setup(machine=BIKE, faults=("{hidden}",), positions=BIKE_READY)


def _told(number: int) -> OnStrip:
    of, take = LOOKED[number]
    return OnStrip(setup=WHOSE, held=BIKE_PRESSED, of=of, take=take)


COMES_BACK = Number(
    id="11.4", version=1, title="A moment later", picture=BIKE_CRANKING, criteria=("figures", "battery"),
    unit="V",
    prompt="An orchard bike that cranks. {state} Start is pressed. In the first moment the starter stands and takes "
    "{most}; the battery falls from {rest} to {low}. After {after} s the engine turns and the starter takes {then}. "
    "How many volts has the battery then?",
    given={"hidden": ("B1 stuck open", "G1 half charged"), "after": ("0.1", "0.2", "0.3")},
    words={
        "B1 stuck open": {"state": "All that it cranks with is sound."},
        "G1 half charged": {"state": "Its battery is half full."},
    },
    told={
        "rest": OnStrip(setup=WHOSE, held=BIKE_PRESSED, of="volts G1.+", take="0"),
        "low": OnStrip(setup=WHOSE, held=BIKE_PRESSED, of="volts G1.+", take="lowest 0 0.2"),
        "most": OnStrip(setup=WHOSE, held=BIKE_PRESSED, of="amps M1", take="highest 0 0.2"),
        "then": OnStrip(setup=WHOSE, held=BIKE_PRESSED, of="amps M1", take="{after}"),
    },
    asks=OnStrip(setup=WHOSE, held=BIKE_PRESSED, of="volts G1.+", take="{after}", load="M1"),
    why="What the battery loses inside goes with the amps: fewer amps, smaller loss. The strip shows a little less "
    "than you work out, for a battery also tires. A dip that comes back is a starter that turns.",
    hint="The loss goes with the amps. In the first moment {most} cost the volts from {rest} to {low}. What do {then} "
    "cost?",
    hints=(
        "A starter that turns takes fewer amps than one that stands. Does the battery then stand higher or lower?",
        "First the loss at {most}: {rest} less {low}. Then its share for {then}. Take that from {rest}.",
        "With 200 A costing 3.0 V, 100 A cost 1.5 V: from 12.6 V that leaves 11.1 V.",
    ),
    slips={
        "stays low": Slip(reason="That is the first moment, with the starter standing. It turns now, takes fewer amps, "
                          "and the battery comes back. On the bay the strip shows it."),
        "as before": Slip(idea="wires-never-drop", reason="That is what you would read if the battery lost nothing "
                          "inside. {then} flow in it now. Hold start on the bay and read."),
        "what is lost": Slip(points=2, reason="That is what it loses. Take it from {rest}."),
        "thousand": Slip(points=2, reason="Look at the unit: it is a 12 V bike."),
    },
)

WHOSE_STRIP = Choice(
    id="11.5", version=2, title="Whose strip is this?", picture=BIKE_CRANKING, criteria=("starting", "measure"),
    prompt="A recorder with a fast pen was on an orchard bike while start was held. Here is what it wrote. Which fault "
    "is in the bike?",
    table=(
        " | before the press | just after it | from 0.5 to 1 s after it",
        "battery volts | {v0} | {v1} at the lowest | {v2} to {v3}",
        "starter amps | none | {a4} at the highest | {a5} to {a6}",
    ),
    given={"hidden": ("M1 open", "G1 sulphated", "G1 quarter charged", "W9 high resistance 0.05 ohm", "M1 seized")},
    told={"v0": _told(0), "v1": _told(1), "v2": _told(2), "v3": _told(3), "a4": _told(4), "a5": _told(5),
          "a6": _told(6)},
    right=StripOf(seen=WHOSE, held=BIKE_PRESSED, looked=LOOKED),
    options=(
        Option(id="M1 open", text="the starter's brushes are worn to the end",
               feedback="No amps in the starter, and the battery does not feel a thing."),
        Option(id="G1 sulphated", text="the battery is worn out: it cannot give a starter's amps",
               feedback="Its volts fall to nearly nothing and come back, again and again."),
        Option(id="G1 quarter charged", text="the battery is a quarter full",
               feedback="It rests low, falls low, and the engine still turns: the usual amps, far fewer volts."),
        Option(id="W9 high resistance 0.05 ohm", text="the starter cable is bad",
               feedback="The battery holds its volts well. The starter turns, slowly, and takes its usual amps."),
        Option(id="M1 seized", text="the starter is stuck and cannot turn",
               feedback="The amps of the first moment never come down, and the volts never come back."),
    ),
    hints=(
        "Look at the amps first: none, big and steady, big and falling, or on and off?",
        "Amps that stay at their top: it does not turn. Amps that come down to about 90: it turns. Then the volts: "
        "does the battery hold them?",
        "A sound bike: 12.7 V, then 9.6 V for a moment, then 11.2 V; 220 A for a moment, then 90 A.",
    ),
)

STUCK = {
    "K1 contacts welded": {"cause": "The contact of its solenoid K1 has welded together."},
    "S2 stuck closed": {"cause": "The start contact S2 in its key switch hangs closed."},
}
WILL_NOT_STOP = VoltsTable(
    id="11.6", version=2, title="It will not stop cranking", picture=Picture(machine=MOWER, stage="cranking circuit"),
    criteria=("predict", "starting"),
    prompt="A ride-on mower cranks on with the key out. You may know why. {cause} The black lead is on the engine "
    "block. What does the meter show with the red lead on each point, key out, first with the brake pedal down, then "
    "up? At rest the battery brings {rest} to K1.30, while it cranks {big}. The table locks.",
    given={"broken": tuple(STUCK), "points": ("K1.30 K1.86 K1.87 M1.stud", "K1.30 K1.86 X4.lug M1.stud")},
    words=STUCK,
    told={
        "rest": MeterVolts(setup=Setup(machine=MOWER, positions={"key": "off"}), red="K1.30", black="X7.block"),
        "big": MeterVolts(setup=Setup(machine=MOWER, faults=("{broken}",),
                                      positions={"key": "off", "brake_pedal": "down"}), red="K1.30", black="X7.block"),
    },
    setup=Setup(machine=MOWER, faults=("{broken}",), positions={"key": "off"}), black="X7.block",
    points_listed="{points}",
    columns=(Column(title="pedal down", positions={"brake_pedal": "down"}),
             Column(title="pedal up", positions={"brake_pedal": "up"})),
    load="M1",
    why="The trigger post K1.86 parts the two. No volts there, and it cranks: the solenoid itself. Volts there: "
    "somebody still asks it.",
    next="Walk the way of the trigger: key switch, brake switch, blade switch, K1.86. With the pedal up the brake "
    "switch opens it. But a welded contact needs no trigger.",
    hints=(
        "Does the engine turn, with the pedal down? With it up? Only then K1.30 falls below 12 V.",
        "Welded: the trigger has no volts, and K1.87 is joined to K1.30 for good. Key switch: K1.86 is fed while the "
        "pedal is down.",
        "On a sound mower, key out: K1.30 at 12.7 V, all the others at 0. A good cable keeps next to nothing.",
    ),
)

WHO_TAKES_PART = Several(
    id="11.7", version=2, title="Who takes part in the clatter?", picture=Picture(machine=GENERATOR, stage="starter"),
    criteria=("suspects", "starting", "battery"),
    prompt="A site generator. Key to start: {seen} One fault does it. Tick every one that could.",
    given={"hidden": ("K2 hold coil open", "G1 sulphated", "W9 open")},
    words={
        "K2 hold coil open": {"seen": "the starter solenoid clatters, and it alone. The start relay clicks once. The "
                                      "panel stays lit; the charge lamp flickers with it."},
        "G1 sulphated": {"seen": "start relay and starter solenoid clatter. The panel goes dark and comes back, over "
                                 "and over, and the charge lamp pulses."},
        "W9 open": {"seen": "the start relay clicks once, and that is all. The panel and the charge lamp stay lit."},
    },
    right=ExplainsAll(
        seen=Setup(machine=GENERATOR, faults=("{hidden}",)), moves=({"key": "start"},),
        watch=("K1", "K2", "K5", "M1", "P1"),
    ),
    options=(
        Option(id="K2 hold coil open", text="the hold winding of the starter solenoid is broken",
               feedback="Then the solenoid pulls in and has nothing to hold it. The battery's volts stay up."),
        Option(id="G1 sulphated", text="the battery is worn out: it cannot give a starter's amps",
               feedback="Then the volts of the whole machine fall, and all takes part, the panel with the rest."),
        Option(id="G1 flat", text="the battery is empty",
               feedback="Then the volts of the whole machine fall, and all takes part, the panel with the rest."),
        Option(id="X10 high resistance 5 ohm", text="the control unit's ground eyelet sits on paint",
               feedback="Then the unit loses its ground, and what it asks for: the panel takes part, too."),
        Option(id="W8 open", text="the feed wire of the start relay's contact is broken",
               feedback="Then the start relay clicks, and passes nothing on."),
        Option(id="W9 open", text="the wire from the start relay to the solenoid is broken",
               feedback="Then the solenoid is never asked: the start relay clicks, and no more."),
        Option(id="M1 seized", text="the starter is stuck and cannot turn",
               feedback="Then nothing clatters: the current is big and stays big, and the charge lamp goes dim."),
    ),
    why="Ask who takes part. All of them: the battery, its clamps, or the ground they share. One alone: look at that "
    "one.",
    hints=(
        "What do those that clatter have in common? What do those that stay calm have instead?",
        "A unit that starts again and again lets go of all it grounds. What clicks once has its volts all the time.",
        "If the panel stayed dark and nothing clicked at all, it would be no clatter: look at the main feed.",
    ),
)

FIND_IT = JobQuestion(
    id="11.8", version=1, title="Job card J33: it clatters like a machine gun",
    picture=Picture(machine=GENERATOR, stage="starter"), card="J33",
    criteria=("find", "starting", "cause", "repair"),
    prompt="A generator that clatters; a new battery did not help. Say what you suspect, and why, before you test. "
    "Prove it by readings, find out why it happened, put it right, then the complaint and the interlock.",
)

EXPLAIN = Explain(
    id="11.9", version=1, title="Tell the picker", picture=BIKE_CRANKING, criteria=("report", "battery"),
    prompt="The picker says: “It clatters, so the relay is broken. I will bring you a new one.” In two or three plain "
    "sentences: what makes a relay clatter, and which one reading shows who is to blame?",
    rubric=(
        "says that the relay pulls in, its contact lets the big current flow, and then the volts that hold it fall",
        "says that a weak battery or a loose clamp does that, and the relay does as it must",
        "names a reading while it clatters: volts across the battery's posts (low: battery; high: clamp, cable or the "
        "relay's own coil)",
    ),
    model="The relay pulls in, the starter takes the big current, the volts fall, the relay lets go, and it begins "
    "again. So mostly the battery or a clamp is to blame, not the relay. Measure across the battery's posts while it "
    "clatters: low is the battery, high is something behind it.",
)

QUESTIONS = (
    BY_EAR, COMES_FIRST, COIL_IS_SLOW, COMES_BACK, WHOSE_STRIP, WILL_NOT_STOP, WHO_TAKES_PART, FIND_IT, EXPLAIN,
)
