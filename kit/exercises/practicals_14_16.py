"""Practicals beside lessons 14 to 16: strategy, faults that come and go, the final job."""

from kit.exercises.practicals import Planting, Practical, Watched, lamp, meter, sign
from kit.exercises.practicals_watched import CRANKING_STOPS, STOPS, find, measure, prove, repair, safe

START = {"key": "on", "start_button": "pressed"}
CLUTCH_START = {"key": "on", "gear": "first", "clutch": "pulled", "start_button": "pressed"}
ROW_OWNER = "I press start: not a sound. The lamps are fine."
OPEN_ONLY = "An interlock may be planted open, never bridged: then nothing starts."

PRACTICALS = (
    Practical(
        lesson="14", title="Fewest tests", minutes=35,
        task=(
            "Gear in first, clutch pulled. See the complaint. Write down all that fits it: parts, wires, links.",
            "For the next test write before you take it: what is left if lit, what is left if out?",
            "Take the test that leaves least whichever way it comes out. Count your tests.",
            "Stop when what is left cannot be told apart from where you stand. Say so, and take the next step.",
            "Compare: your count, and the count from one end.",
        ),
        cautions=(
            "Fewer tests, not faster hands. Nobody stands beside you with a watch.",
            "On a machine holding start cranks: made safe first, hands clear, said aloud.",
        ),
        needs=("test lamp 3 W", "multimeter", "a helper for the button", "the board's drawing"),
        plantings=(
            Planting(
                id="14a", title="Wire to the start button open", faults=("W7 open",), minutes=2, owner=ROW_OWNER,
                put_in=("Key off.", "Sleeve on the stop switch's out tab, spade on over it."),
                take_out="Sleeve off. Start pressed: the starter lamp lights.",
                machine="A pin backed out between two switches of the row. " + OPEN_ONLY,
                tests=(
                    sign("K1", "at rest", **CLUTCH_START), lamp("G1.-", "X4.a", "out", **CLUTCH_START),
                    lamp("G1.-", "S2.2", "bright", **CLUTCH_START), lamp("G1.-", "S3.1", "out", **CLUTCH_START),
                ),
            ),
            Planting(
                id="14b", title="Dead plug in the trigger link", faults=("X4 open",), minutes=1, owner=ROW_OWNER,
                put_in=("Key off.", "Trigger link out, a dead link plug in."),
                take_out="Good link plug in. Start pressed: the starter lamp lights.",
                machine="A pin backed out at the start relay's trigger.",
                tests=(
                    sign("K1", "at rest", **CLUTCH_START), lamp("G1.-", "X4.a", "bright", **CLUTCH_START),
                    lamp("G1.-", "X4.b", "out", **CLUTCH_START),
                    meter("volts", "X4.b", "X4.a", "12.3 to 12.9 V", **CLUTCH_START),
                ),
            ),
            Planting(
                id="14c", title="Relay whose coil is open", faults=("K1 coil open",), minutes=1, owner=ROW_OWNER,
                put_in=("Key off.", "Plug in the relay with one coil end unsoldered."),
                take_out="The good relay back in. Start pressed: it clicks.",
                machine="The same relay in place of a plug-in start relay.",
                tests=(
                    sign("K1", "at rest", **CLUTCH_START), lamp("G1.-", "X4.a", "bright", **CLUTCH_START),
                    meter("volts", "K1.85", "K1.86", "12.3 to 12.9 V", **CLUTCH_START),
                    meter("ohms", "K1.85", "K1.86", "OL", off=("W9", "W10", "W12")),
                ),
            ),
            Planting(
                id="14d", title="Wire from the coil to the clutch switch open", faults=("W10 open",), minutes=2,
                owner=ROW_OWNER,
                put_in=("Key off.", "Sleeve on the clutch switch's tab on the coil side, spade on over it."),
                take_out="Sleeve off. In first, clutch pulled: it starts; released: it does not.",
                machine="The clutch switch unplugged and dressed. " + OPEN_ONLY,
                tests=(
                    sign("K1", "at rest", **CLUTCH_START), lamp("G1.-", "X4.a", "bright", **CLUTCH_START),
                    meter("volts", "K1.85", "K1.86", "under 0.1 V", **CLUTCH_START),
                    lamp("G1.+", "B1.1", "bright", key="on", gear="first", clutch="pulled"),
                ),
            ),
        ),
        watched=(
            safe(),
            Watched(criterion="suspects", seen=(
                "The list is written before the first test, and holds wires and joints as well as parts.",
                "Strikes out after every reading what no longer fits.",
            )),
            Watched(criterion="next-test", seen=(
                "Says what each outcome would leave before the tip touches.",
                "Finds it with four tests or fewer, or says why one more was worth it.",
                "Does not repeat a reading that can tell nothing new.",
            )),
            find("Says which two cannot be told apart from there, and what would part them."),
        ),
        never=(OPEN_ONLY, "No stop watch: counting seconds teaches haste."),
        stops=(*STOPS, *CRANKING_STOPS),
        goes_wrong=(
            "All four sound alike on purpose. Change the board between learners, or the count is gossip.",
            "14a from the button's side looks like a bad stop switch: one more reading at its tab parts them.",
        ),
    ),
    Practical(
        lesson="15", title="Comes and goes, and two at once", minutes=45,
        task=(
            "Ask the owner: when, how often, warm or cold, after rain, after work? Your assessor answers.",
            "Make it happen. Move one thing at a time, with the lamp or min/max hold watching.",
            "When you have found one fault: is the whole complaint explained? If not, go on.",
            "Put the first right, and test again before you touch the second.",
            "Report: what was wrong, what was done, what stays open, and what is beyond you.",
        ),
        cautions=(
            "Wiggle with start released or on the board only: on a machine it may crank under your hand.",
            "Move a loom by hand, never with a tool.",
        ),
        needs=("test lamp 3 W", "multimeter, best with min/max hold", "a helper for the button"),
        plantings=(
            Planting(
                id="15a", title="Opened-up spade at the stop switch", faults=("S2 open when wiggled",), minutes=3,
                owner="Sometimes it starts, sometimes nothing. Never when you look.",
                put_in=("Key off.", "The opened-up spade on the stop switch's out tab, its wire tied so that a touch "
                                    "moves it."),
                take_out="The good spade back, tugged. Shake the wire with start held: the starter lamp stays lit.",
                machine="An opened-up spade in a lamp's feed. Not in what stops or holds a machine.",
                tests=(
                    sign("K1", "pulled in", **CLUTCH_START),
                    sign("K1", "at rest", wiggled=("S2",), **CLUTCH_START),
                    meter("volts", "S2.2", "S2.1", "12.3 to 12.9 V", wiggled=("S2",), **CLUTCH_START),
                ),
            ),
            Planting(
                id="15b", title="Lamp fuse taped, and clutch switch sleeved", faults=("F3 blown", "B1 stuck open"),
                minutes=3, owner="Since the wash: no work lamp, and in gear with the clutch it will not start.",
                put_in=("Key off.", "Taped 2 A fuse as the lamp fuse.",
                        "Sleeve on the clutch switch's tab on the coil side, spade on over it."),
                take_out="Good fuse in, sleeve off. Key on: work lamp lit. In first, clutch pulled: it starts.",
                machine="A taped lamp fuse, and a clutch switch unplugged and dressed. " + OPEN_ONLY,
                tests=(
                    sign("E2", "out", **CLUTCH_START), sign("K1", "at rest", **CLUTCH_START),
                    meter("volts", "F3.2", "F3.1", "12.3 to 12.9 V", **CLUTCH_START),
                    lamp("G1.+", "B1.1", "out", key="on", gear="first", clutch="pulled"),
                ),
            ),
            Planting(
                id="15c", title="100 Ω in the trigger link, and relay with its contact bent back",
                faults=("X4 100 ohm", "K1 contacts open"), minutes=2,
                owner="I press start: not a sound. The lamps are fine.",
                put_in=("Key off.", "The 100 Ω in the trigger link.", "The relay with its contact bent back."),
                take_out="Link and good relay back. Start pressed: one click, the starter lamp lights.",
                machine="Nothing like it on a machine.",
                tests=(
                    sign("K1", "at rest", **CLUTCH_START),
                    meter("volts", "X4.b", "X4.a", "6.0 to 7.4 V", **CLUTCH_START),
                    sign("E1", "out", **CLUTCH_START),
                ),
            ),
        ),
        watched=(
            safe("Says \"release\" before a hand goes to the loom."),
            measure("Writes down what was moved when the reading changed."),
            find("Goes on after the first fault until the whole complaint is explained."),
            repair("Shakes, warms or repeats what brought the fault out, and it stays away."),
            Watched(criterion="report", seen=(
                "Tells it so that the owner understands, without a word of jargon left unexplained.",
                "Says what was not found or not proved, and what to watch.",
                "Names what is beyond them, and to whom it goes.",
            )),
        ),
        never=(OPEN_ONLY, "No intermittent fault in anything that stops a machine or holds it."),
        stops=(*STOPS, *CRANKING_STOPS),
        goes_wrong=(
            "15a tightens itself after a few pulls: open the spade up again between learners.",
            "15c: after the link it clicks, and many hand back. Ask what the owner would say to that.",
        ),
    ),
    Practical(
        lesson="16", title="The final job", minutes=60,
        task=(
            "Two stations: one board, one real machine. Your assessor names them.",
            "Work the job card from top to bottom: interview, prepare, prove, reproduce, inspect, suspects, tests.",
            "Finding, root cause, repair, verify the owner's own complaint, retest every interlock.",
            "Explain it to the owner. Clear up; waste goes where it belongs.",
            "Hand in test sheet and report. Nobody helps; you may ask for the machine's manual.",
        ),
        cautions=(
            "Made safe before anything else, and kept so. An unsafe act ends the station.",
            "On a machine: fuel or ignition as its manual says, hands clear, said aloud, 5 s on, 60 s off.",
        ),
        needs=("your own choice of instruments", "a blank job card", "the machine's manual and drawing"),
        plantings=(
            Planting(
                id="16a", title="Neutral switch sleeved", faults=("B2 stuck open",), minutes=2,
                owner="It starts with the clutch in, and not otherwise. And I never know when I am in neutral.",
                put_in=("Key off.", "Sleeve on the neutral switch's tab on the rail side, spade on over it."),
                take_out="Sleeve off. In neutral: lamp lit, starts with the clutch released.",
                machine="The neutral switch unplugged and dressed. " + OPEN_ONLY,
                tests=(
                    sign("K1", "at rest", **START), sign("K1", "pulled in", **CLUTCH_START),
                    sign("P1", "out", key="on"), lamp("G1.+", "B2.2", "bright", key="on"),
                    meter("volts", "B2.2", "B2.1", "12.3 to 12.9 V", key="on"),
                ),
            ),
            Planting(
                id="16b", title="Dead plug in the return link", faults=("X10 open",), minutes=1,
                owner="Completely dead. The battery is new, and the fuse at its clip is good.",
                put_in=("Minus clip off.", "Return link out, a dead link plug in.", "Minus clip on."),
                take_out="Good link plug in. Key on: all as it should be.",
                machine="Never in a ground cable. Take a sleeved ground spade of one circuit.",
                tests=(
                    sign("E2", "out", key="on"), lamp("G1.-", "F1.2", "bright", key="on"),
                    meter("volts", "G1.-", "X11.rail", "12.0 to 12.9 V", key="on"),
                    meter("volts", "X10.b", "X10.a", "12.0 to 12.9 V", key="on"),
                ),
            ),
            Planting(
                id="16c", title="Dead plug in the starter link", faults=("X6 open",), minutes=1,
                owner="One click, and that is all. A friend says it wants a new relay.",
                put_in=("Key off.", "Starter link out, a dead link plug in."),
                take_out="Good link plug in. Start pressed: the starter lamp lights.",
                machine="Never in a starter cable. Take a taped control fuse, a relay from the box or a pin.",
                tests=(
                    sign("K1", "pulled in", **START), sign("E1", "out", **START),
                    lamp("G1.-", "X6.a", "bright", **START), lamp("G1.-", "X6.b", "out", **START),
                    meter("volts", "K1.87", "K1.30", "under 0.1 V", **START),
                ),
            ),
        ),
        watched=(
            safe("Keeps it so to the end: nothing lifted, bridged or left off that should be on."),
            prove("Chooses the instruments without being told."),
            measure("The sheet alone would let another find the fault."),
            find("Asks, looks and feels before the first reading."),
            Watched(criterion="cause", seen=(
                "Says why it failed, from what was seen; or that no cause can be seen, and what was ruled out.",
            )),
            repair(),
            Watched(criterion="report", seen=(
                "Complaint, finding, readings that prove it, repair, verified how, what to watch.",
                "Repair or replace, with a reason; and what is referred, and to whom.",
            )),
        ),
        never=(OPEN_ONLY, "On the real machine only what its row \"on a real machine\" allows; tried by you first.",
               "No planting that a learner has met before, on that station."),
        stops=(*STOPS, *CRANKING_STOPS),
        goes_wrong=(
            "One learner tells the next. Have six plantings ready from the practicals before, and draw lots.",
            "An assessor who nods gives the answer away. Write, and look at the machine.",
        ),
    ),
)
