"""Practicals beside lessons 07 to 10: switches in a row, the relay, the ground side, the volts under load."""

from kit.exercises.practicals import Planting, Practical, Watched, lamp, meter, sign
from kit.exercises.practicals_watched import CRANKING_STOPS, STOPS, find, measure, repair, safe

START = {"key": "on", "start_button": "pressed"}
GEAR = {"key": "on", "gear": "first"}
CLUTCH = {"key": "on", "gear": "first", "clutch": "pulled"}
CLUTCH_START = CLUTCH | {"start_button": "pressed"}
HOT = "A 50 W resistor is in: hot within a minute. Hold start for five seconds, then let go; touch no metal plate."
OPEN_ONLY = "An interlock may be planted open, never bridged: then nothing starts."

PRACTICALS = (
    Practical(
        lesson="07", title="Switches in a row", minutes=35,
        task=(
            "See the complaint. Is it silent, or does something click?",
            "Write the row down: every switch and wire between the key and the relay's coil.",
            "Prove the lamp, clip on minus. A helper holds start. Begin in the middle of the row.",
            "All other switches as they should be: now the meter across the one you suspect.",
            "Name the part by two readings. Put it right, and try every interlock.",
        ),
        cautions=(
            "On a machine holding start cranks: made safe first, hands clear, said aloud. On the board a lamp lights.",
            "A bridged interlock is not a test. It ends the practical.",
        ),
        needs=("test lamp 3 W", "multimeter", "a helper for the button", "the board's drawing"),
        plantings=(
            Planting(
                id="07a", title="Stop switch sleeved", faults=("S2 stuck open",), minutes=2,
                owner="I press start: not a sound. The lamps are fine.",
                put_in=("Key off.", "Sleeve on the stop switch's out tab, spade pushed on over it."),
                take_out="Sleeve off. Start pressed: the starter lamp lights; stop switch at stop: it goes out.",
                machine="A sleeved spade at a clutch, brake, seat or neutral switch that must be closed to start. "
                        "Check that the engine does not crank. " + OPEN_ONLY,
                tests=(
                    sign("K1", "at rest", **START), lamp("G1.-", "S2.1", "bright", **START),
                    lamp("G1.-", "S2.2", "out", **START), meter("volts", "S2.2", "S2.1", "12.3 to 12.9 V", **START),
                ),
            ),
            Planting(
                id="07b", title="100 Ω in the trigger link", faults=("X4 100 ohm",), minutes=1,
                owner="Silent. It used to click if I pressed often enough.",
                put_in=("Key off.", "Trigger link out, the 100 Ω on its plugs in."),
                take_out="Resistor out, link in. Start pressed: the relay clicks, the starter lamp lights.",
                machine="Nothing like it on a machine: half the volts may let a start relay chatter and burn.",
                tests=(
                    sign("K1", "at rest", **START), meter("volts", "X4.b", "X4.a", "6.0 to 7.4 V", **START),
                    meter("volts", "K1.85", "K1.86", "5.0 to 6.5 V", **START),
                    meter("volts", "S2.2", "S2.1", "under 0.1 V", **START),
                ),
            ),
            Planting(
                id="07c", title="Start button's pin backed out", faults=("S3 stuck open",), minutes=3,
                owner="I press start: not a sound. The lamps are fine.",
                put_in=("Key off.", "Sleeve on the start button's out tab, or its pin backed out of the plug."),
                take_out="Sleeve off or pin home, tugged. Start pressed: the starter lamp lights.",
                machine="The pin of the start button's wire backed out of its plug.",
                tests=(
                    sign("K1", "at rest", **START), lamp("G1.-", "S3.1", "bright", **START),
                    lamp("G1.-", "S3.2", "out", **START), meter("volts", "S3.2", "S3.1", "12.3 to 12.9 V", **START),
                ),
            ),
        ),
        watched=(
            safe("Announces before start is pressed, and lets go at once when told.",
                 "Bridges no switch, not even \"only to see\"."),
            Watched(criterion="suspects", seen=(
                "Writes the whole row before the first test.",
                "Strikes out what each reading clears, and says why.",
            )),
            measure("Writes down how every other switch stood."),
            find("Starts in the middle, not at the key."),
            repair(),
        ),
        never=(OPEN_ONLY, "No jumper over a switch, fused or not, in this practical."),
        stops=(*STOPS, *CRANKING_STOPS),
        goes_wrong=(
            "The helper lets go of start early and the row looks dead from there on. Have them count aloud.",
            "07b: the relay of your board may pull in at 5.5 V. Then take 150 Ω.",
        ),
    ),
    Practical(
        lesson="08", title="The relay: trigger, click, contact", minutes=35,
        task=(
            "Press start and listen. Silence, one click, or more? What do the other lamps do?",
            "Say which of the three is in doubt: is it asked, does it move, does it pass?",
            "One reading across the coil, start held. One across the contact, start held, everything connected.",
            "Name the part. Say what a lamp at the contact, with its wire off, would have shown.",
            "Put it right. Measure the contact's drop again.",
        ),
        cautions=(
            HOT, "On a machine battery ground comes off before a starter cable is touched. On the board no cable is.",
        ),
        needs=("multimeter", "test lamp 3 W", "the board's drawing"),
        plantings=(
            Planting(
                id="08a", title="Relay whose contact is bent back", faults=("K1 contacts open",), minutes=1,
                owner="One click, and that is all.",
                put_in=("Key off.", "Plug in the relay with its contact bent back."),
                take_out="The good relay back in. Start pressed: the starter lamp lights.",
                machine="The same relay, where the start relay is a plug-in one of the same kind. Nothing cranks then.",
                tests=(
                    sign("K1", "pulled in", **START), sign("E1", "out", **START),
                    meter("volts", "K1.87", "K1.30", "12.3 to 12.9 V", **START),
                    meter("volts", "K1.85", "K1.86", "11.0 to 12.9 V", **START),
                ),
            ),
            Planting(
                id="08b", title="Adapter with 4.7 Ω in the contact", faults=("K1 contact 4.7 ohm",), minutes=2,
                owner="One click, and the starter lamp only glimmers. My own lamp was bright, so the relay is good.",
                put_in=("Minus clip off.", "Adapter between relay and socket, its plate clear of everything.",
                        "Minus clip on."),
                take_out="Wait for it to cool. Adapter out, relay straight in. Start pressed: bright.",
                machine="Never: no resistor in a circuit that cranks.",
                caution="About 6 W while start is held.",
                tests=(
                    sign("E1", "dim", **START), meter("volts", "K1.87", "K1.30", "5.0 to 7.0 V", **START),
                    lamp("G1.-", "K1.87", "bright", off=("X6",), **START), sign("E2", "lit", **START),
                ),
            ),
            Planting(
                id="08c", title="Relay whose coil is open", faults=("K1 coil open",), minutes=1,
                owner="I press start: not a sound.",
                put_in=("Key off.", "Plug in the relay with one coil end unsoldered."),
                take_out="The good relay back in. Start pressed: it clicks.",
                machine="The same relay in place of a plug-in start relay.",
                tests=(
                    sign("K1", "at rest", **START), meter("volts", "K1.85", "K1.86", "11.0 to 12.9 V", **START),
                    meter("ohms", "K1.85", "K1.86", "OL", off=("W9", "W10", "W12")),
                ),
            ),
        ),
        watched=(
            safe("Lets go of start before a lead is moved."),
            measure("Across the contact with everything connected; not with the wire off."),
            find("Tells \"asked\", \"moves\" and \"passes\" apart, a reading for each."),
            Watched(criterion="starting", seen=(
                "Says what the click clears and what it does not.",
                "Watches the other lamps while start is held, and uses it.",
            )),
            repair("Measures the drop across the new contact: 0.2 V or less."),
        ),
        never=("No resistor in the contact's circuit on a machine.", "No relay of another kind plugged in to try."),
        stops=(*STOPS, *CRANKING_STOPS),
        goes_wrong=(
            "A relay case that was opened rattles: glue it, or everybody knows which it is.",
            "Open coil, and somebody measures ohms with the coil's wires on: the diode and the switches are in it too.",
        ),
    ),
    Practical(
        lesson="09", title="The ground side", minutes=35,
        task=(
            "See the complaint in neutral and in first, clutch released and pulled. Make a small table of it.",
            "Which of the two ways home fails? Write down what is only in that way.",
            "Clip on plus, tip on each point from the coil to the minus rail. Start is not pressed for these.",
            "The diode: off at both ends, then the meter's diode test both ways.",
            "Put it right, and fill the small table in again. All of it.",
        ),
        cautions=(
            "A machine in gear jumps when it cranks: driven wheel off the ground, nobody in front. Better: board only.",
            "A clip on plus must touch nothing on minus.",
        ),
        needs=("test lamp 3 W", "multimeter with diode test", "the board's drawing"),
        plantings=(
            Planting(
                id="09a", title="Clutch switch sleeved", faults=("B1 stuck open",), minutes=2,
                owner="In neutral it starts. In gear, clutch pulled, not a click.",
                put_in=("Key off.", "Sleeve on the clutch switch's tab on the coil side, spade on over it."),
                take_out="Sleeve off. In first with the clutch pulled it starts, released it does not.",
                machine="The clutch switch unplugged and dressed so that it looks plugged. " + OPEN_ONLY,
                tests=(
                    sign("K1", "at rest", **CLUTCH_START), sign("K1", "pulled in", **START),
                    lamp("G1.+", "B1.1", "out", **CLUTCH), lamp("G1.+", "B1.2", "bright", **CLUTCH),
                ),
            ),
            Planting(
                id="09b", title="Diode the wrong way round", faults=("R1 reversed",), minutes=2,
                owner="In gear with the clutch it starts. In neutral it does not. Somebody has been at it.",
                put_in=("Minus clip off.", "Turn the diode round in its terminal.", "Minus clip on."),
                take_out="Ring to the neutral switch. In neutral it starts with the clutch released.",
                machine="Nothing like it on a machine: diodes there break their legs.",
                tests=(
                    sign("K1", "at rest", **START), sign("K1", "pulled in", **CLUTCH_START),
                    meter("diode test", "R1.A", "R1.K", "0.3 to 0.8 V", off=("W12", "W13")),
                    meter("diode test", "R1.K", "R1.A", "OL", off=("W12", "W13")),
                ),
            ),
            Planting(
                id="09c", title="Wire beside the diode", faults=("R1 shorted",), minutes=2,
                owner="The neutral lamp lies: it is lit in gear when I pull the clutch.",
                put_in=("Minus clip off.", "A short bare wire into the same two terminals as the diode, under it.",
                        "Minus clip on."),
                take_out="Wire out. In first, clutch pulled: the neutral lamp is out.",
                machine="Nothing like it on a machine.",
                tests=(
                    sign("P1", "lit", **CLUTCH), sign("P1", "out", **GEAR),
                    meter("diode test", "R1.K", "R1.A", "under 0.1 V", off=("W12", "W13")),
                    meter("diode test", "R1.A", "R1.K", "under 0.1 V", off=("W12", "W13")),
                ),
            ),
        ),
        watched=(
            safe("Leaves start alone while testing in gear."),
            measure("Writes gear and clutch beside every reading."),
            find("Clip on plus for the ground side, and says why minus would tell nothing."),
            repair("In gear with the clutch released nothing starts: tried, and written down."),
        ),
        never=(OPEN_ONLY, "No clutch, neutral or stand switch stuck closed on a machine, ever."),
        stops=(*STOPS, *CRANKING_STOPS),
        goes_wrong=(
            "Start held and the test lamp from minus at B1.1: now the lamp is the coil's way home, and the relay pulls "
            "in. Nobody has found the fault yet; ask what the lamp did.",
            "0.8 V at the coil's ground pin in neutral is the diode's, and healthy.",
        ),
    ),
    Practical(
        lesson="10", title="Volts under load", minutes=40,
        task=(
            "Start held: battery, plus side, ground side, starter lamp. Four readings first.",
            "Hold each against the limits on the data sheet. Which side keeps too much?",
            "Along that side, part by part, one reading across each. Never two readings and a sum.",
            "Name the place and its volts. From volts and amps work out its ohms.",
            "Put it right, and measure that place again.",
        ),
        cautions=(HOT, "On a machine: fuel or ignition off as its manual says, hands clear, 5 s on, 60 s off."),
        needs=("multimeter", "a helper for the button", "the data sheet's limits"),
        plantings=(
            Planting(
                id="10a", title="0.5 Ω in the ground link", faults=("X7 high resistance 0.5 ohm",), minutes=1,
                owner="The starter lamp is a shade weaker than the one on the next board.",
                put_in=("Key off.", "Ground link out, the 0.5 Ω 50 W in, plate clear of everything."),
                take_out="Resistor out, link in. Start held: under 0.1 V across the link.",
                machine="Never in a cable. On a sound machine learners take the four readings, and all are good.",
                caution="About 1 W: warm.",
                tests=(
                    meter("volts", "X7.b", "X7.a", "0.6 to 0.85 V", **START),
                    meter("volts", "G1.-", "E1.2", "0.6 to 0.95 V", **START),
                    meter("volts", "E1.1", "G1.+", "under 0.3 V", **START),
                    meter("volts", "G1.-", "G1.+", "12.5 to 12.9 V", **START),
                ),
            ),
            Planting(
                id="10b", title="0.5 Ω in the feed link", faults=("X5 high resistance 0.5 ohm",), minutes=1,
                owner="The starter lamp is a shade weaker than the one on the next board.",
                put_in=("Key off.", "Feed link out, the 0.5 Ω 50 W in, plate clear of everything."),
                take_out="Resistor out, link in. Start held: under 0.1 V across the link.",
                machine="Never in a cable.",
                caution="About 1 W: warm.",
                tests=(
                    meter("volts", "X5.b", "X5.a", "0.6 to 0.85 V", **START),
                    meter("volts", "E1.1", "G1.+", "0.65 to 1.1 V", **START),
                    meter("volts", "G1.-", "E1.2", "under 0.2 V", **START),
                ),
            ),
            Planting(
                id="10c", title="4.7 Ω in the ground link", faults=("X7 4.7 ohm",), minutes=1,
                owner="It clicks, and the starter lamp only glimmers. The other lamps stay bright.",
                put_in=("Key off.", "Ground link out, the 4.7 Ω 50 W in, plate clear of everything."),
                take_out="Wait for it to cool. Resistor out, link in. Start pressed: bright.",
                machine="Never in a cable.",
                caution="About 6 W while start is held: hot.",
                tests=(
                    sign("E1", "dim", **START), meter("volts", "X7.b", "X7.a", "5.0 to 7.0 V", **START),
                    meter("volts", "E1.1", "G1.+", "under 0.3 V", **START), sign("E2", "lit", **START),
                ),
            ),
        ),
        watched=(
            safe("Keeps start to five seconds, and hands off what is hot."),
            measure("One reading across the part, under load; says \"volts, black here, red there\"."),
            Watched(criterion="drop", seen=(
                "Battery, plus side, ground side, starter: these four before any part.",
                "Holds each against its limit, and follows the side that breaks it.",
            )),
            repair("Measures the mended place again, under load."),
        ),
        never=("Nothing in a cable or a clamp of a machine.", "No test without load counted as one."),
        stops=(*STOPS, *CRANKING_STOPS),
        goes_wrong=(
            "Without start held every drop is 0.00 V, and somebody will write that all is good.",
            "Leads pressed on the resistor's plugs, not on the link's own points, read the same: let them.",
            "A lamp of 18 W from the drawer gives 0.6 V, not 0.75: read the base before class.",
        ),
    ),
)
