"""Practicals beside lessons 11 to 13: clicks and chatter, charging and drain, a box in a control unit's place."""

from kit.exercises.practicals import Planting, Practical, Watched, lamp, meter, sign
from kit.exercises.practicals_watched import CRANKING_STOPS, STOPS, find, measure, prove, safe

ON = {"key": "on"}
CLUTCH = {"key": "on", "gear": "first", "clutch": "pulled"}
CLUTCH_START = CLUTCH | {"start_button": "pressed"}
CHARGING = {"charger_plug": "plugged"}
CHARGING_ON = {"key": "on", "lid": "open", "charger_plug": "plugged"}
PLUG = ("X12", "X13", "X14")
HOT = "A 50 W resistor is in: hot within a minute. Hold start for three seconds, then let go; touch no metal plate."

PRACTICALS = (
    Practical(
        lesson="11", title="One click, chatter, slow: told apart by ear and eye", minutes=35,
        task=(
            "Gear in first, clutch pulled. Press start for three seconds. Close your eyes and listen.",
            "Again, with your eyes on the work lamp: stays bright, dims, pulses?",
            "Say which of the three it is, and what that clears.",
            "Battery volts at its tags while start is held. Use the meter's min/max hold if it has one.",
            "One more reading decides. Take it, and name the place.",
        ),
        cautions=(
            HOT, "Chatter burns contacts. Three seconds, then let go, on the board as on a machine.",
        ),
        needs=("multimeter, best with min/max hold", "a helper for the button"),
        plantings=(
            Planting(
                id="11a", title="15 Ω in the supply link: chatter", faults=("X2 15 ohm",), minutes=2,
                owner="It rattles at me like a machine gun.",
                put_in=("Minus clip off.", "Supply link out, the 15 Ω 50 W in, plate clear of everything.",
                        "Gear in first, clutch pulled. Minus clip on."),
                take_out="Wait for it to cool. Resistor out, link in. Start pressed: one click, and it lights.",
                machine="Never: chatter burns the start relay, and the battery's way heats.",
                caution="About 10 W while it chatters.",
                tests=(
                    sign("K1", "chatters", **CLUTCH_START), sign("E1", "pulses", **CLUTCH_START),
                    meter("volts", "X2.b", "X2.a", "3.0 to 6.0 V", **CLUTCH),
                    meter("volts", "G1.-", "G1.+", "12.5 to 13.0 V", **CLUTCH),
                ),
            ),
            Planting(
                id="11b", title="Relay whose contact is bent back: one click", faults=("K1 contacts open",), minutes=1,
                owner="One click. The lamps do not even blink.",
                put_in=("Key off.", "Plug in the relay with its contact bent back."),
                take_out="The good relay back in. Start pressed: the starter lamp lights.",
                machine="The same relay, where the start relay is a plug-in one of the same kind.",
                tests=(
                    sign("K1", "pulled in", **CLUTCH_START), sign("E1", "out", **CLUTCH_START),
                    sign("E2", "lit", **CLUTCH_START),
                    meter("volts", "K1.87", "K1.30", "12.3 to 12.9 V", **CLUTCH_START),
                ),
            ),
            Planting(
                id="11c", title="4.7 Ω in the supply link: everything dims", faults=("X2 4.7 ohm",), minutes=1,
                owner="It clicks, and then all the lamps go weak together.",
                put_in=("Minus clip off.", "Supply link out, the 4.7 Ω 50 W in, plate clear of everything.",
                        "Minus clip on."),
                take_out="Wait for it to cool. Resistor out, link in. Start pressed: nothing dims.",
                machine="Never in a cable. On a sound machine: watch its lamps while it cranks, and measure.",
                caution="About 9 W while start is held.",
                tests=(
                    sign("E1", "dim", **CLUTCH_START), sign("E2", "dim", **CLUTCH_START),
                    meter("volts", "X2.b", "X2.a", "5.5 to 7.2 V", **CLUTCH_START),
                    meter("volts", "G1.-", "G1.+", "12.5 to 12.9 V", **CLUTCH_START),
                ),
            ),
        ),
        watched=(
            safe("Lets go of start within three seconds, every time."),
            Watched(criterion="starting", seen=(
                "Names silence, one click, chatter or slow without a meter, and what each clears.",
                "Watches a second lamp while start is held.",
            )),
            measure("Takes volts while it happens, not before or after."),
            find(),
        ),
        never=("No chatter and no slow cranking planted on a machine.", "No tired battery where people lift or lean."),
        stops=(*STOPS, *CRANKING_STOPS),
        goes_wrong=(
            "11a chatters about 20 times a second by the kit. A relay that lets go below 2 V stays in and the lamps "
            "only glow: take 18 Ω. One that lets go above 4 V chatters with 10 Ω already.",
            "In neutral the neutral lamp takes so much that the relay never pulls in: gear in first.",
            "A meter cannot follow chatter: the figure jumps, and that is the reading.",
        ),
    ),
    Practical(
        lesson="12", title="Why is the battery flat?", minutes=45,
        task=(
            "Battery at rest: its volts, at the tags. Write down how long it has stood.",
            "Charger plugged in: volts at the tags again. Do they rise, and how far?",
            "Key on and lid open: the volts the charging way keeps for itself, part by part.",
            "Charger out, key off, lid shut: amps in the main fuse's place. What may it be?",
            "Pull branch fuses one by one until it falls. Name the part, and say why it did that.",
        ),
        cautions=(
            "Amps in series, in the fuse's place, and never pressed start through it. Leads back to volts at once.",
            "The charger stays shut. Unplug it before anything is taken off the board.",
            "Charging: eyes protected, room aired, no spark.",
        ),
        needs=("multimeter with a good 10 A fuse", "eye protection", "the data sheet"),
        plantings=(
            Planting(
                id="12a", title="Charge fuse blown", faults=("F5 blown",), minutes=1,
                owner="It stands on the charger all night and is flat by Wednesday.",
                put_in=("Charger unplugged.", "Fit a blown 2 A fuse as the charge fuse."),
                take_out="Charger unplugged. Good 2 A fuse in. Plugged: the volts at the tags rise.",
                machine="A broken bulb as the charge lamp, where its manual says that this lamp wakes the alternator. "
                        "Never a fuse, plug or cable of the charging circuit: opened while it runs, it can destroy "
                        "what it feeds.",
                tests=(
                    meter("volts", "G1.-", "G1.+", "12.5 to 12.9 V", **CHARGING),
                    lamp("G1.-", "F5.1", "bright", **CHARGING), lamp("G1.-", "F5.2", "bright", **CHARGING),
                    meter("volts", "F5.2", "F5.1", "0.7 to 1.7 V", **CHARGING),
                ),
            ),
            Planting(
                id="12b", title="0.5 Ω in the charge link", faults=("X15 high resistance 0.5 ohm",), minutes=1,
                owner="It charges, the lamp on the charger says so. It is never full.",
                put_in=("Charger unplugged.", "Charge link out, the 0.5 Ω 50 W in."),
                take_out="Charger unplugged. Resistor out, link in. Loads on: under 0.1 V across the link.",
                machine="Never: it carries all the alternator gives.",
                caution="Half a watt at most: hardly warm.",
                tests=(
                    meter("volts", "X15.b", "T1.+", "0.3 to 0.6 V", **CHARGING_ON),
                    meter("volts", "T1.-", "T1.+", "13.3 to 14.1 V", **CHARGING_ON),
                    meter("volts", "F5.2", "F5.1", "under 0.15 V", **CHARGING_ON),
                ),
            ),
            Planting(
                id="12c", title="Lid switch jammed: drain", faults=("B3 stuck closed",), minutes=1,
                owner="Full on Friday, flat by Monday. Nothing was on.",
                put_in=("Lid shut over a small wedge, so that its switch stays on and nobody sees the lamp.",),
                take_out="Wedge out. Key off, lid shut: 0.000 A.",
                machine="A tool-box or cab lamp left on behind its cover. Note the time: it is out the same hour.",
                caution="The lamp gets warm under its lid: out within the hour.",
                tests=(
                    meter("amps", "F1.2", "F1.1", "0.12 to 0.17 A", off=("F1",)),
                    meter("amps", "F1.2", "F1.1", "under 0.002 A", off=("F1", "F4")), sign("E3", "lit"),
                ),
            ),
        ),
        watched=(
            safe("Never cranks through the meter, never lays amps across the battery.",
                 "Unplugs the charger before a clip comes off."),
            measure("Volts at the battery's own tags; amps with the red lead's socket named aloud."),
            Watched(criterion="charging", seen=(
                "Parts \"it does not charge\" from \"something empties it\" before hunting for either.",
                "Compares volts at the charger with volts at the battery, loads on.",
                "Pulls fuses until the drain falls, and counts what may be left.",
            )),
            Watched(criterion="cause", seen=("Says how long this drain takes to empty 7 Ah, with the sum.",)),
        ),
        never=("No mains: nothing of the charger's mains side is opened, cut or planted.",
               "No battery cable or isolator off while an engine runs.",
               "Nothing at a stator or a magneto: an unplugged stator gives 65 V and more."),
        stops=(*STOPS, *CRANKING_STOPS, "Opens the charger, or touches its mains side."),
        goes_wrong=(
            "Half the class's meters have a blown amps fuse from the last class. Test each: amps through a 2 W lamp.",
            "A bench supply in the battery's place does not take charge: 12a and 12b need the battery.",
            "A clever charger gives nothing until it feels a battery: in 12a its side of the fuse is then dead. Take a "
            "plain one, or tell them.",
        ),
    ),
    Practical(
        lesson="13", title="At the unit's plug", minutes=35,
        task=(
            "Key off. Which pins are supply, ground and signal? From the drawing, not from a try.",
            "Unplug the unit. Key on: test lamp between supply and ground, on the harness side.",
            "Plugged in again: volts at the signal pin, meter only. What should they be?",
            "Sender unplugged: its ohms. Compare with the data sheet.",
            "Name the wire, joint or part. Say what you may not probe, and why.",
        ),
        cautions=(
            "A lamp goes on the unplugged supply and ground only. On a signal pin the meter, and nothing else.",
            "Never battery volts onto a signal pin. Probe beside the seal or at an adapter; no pierced insulation.",
        ),
        needs=("multimeter", "test lamp 3 W", "the drawing with the plug's pins"),
        plantings=(
            Planting(
                id="13a", title="47 kΩ in the unit's ground", faults=("X17 47 kohm",), minutes=2,
                owner="The unit's light hardly glows. I measured twelve volts at its plug, so it is broken.",
                put_in=("Minus clip off.", "The sleeved 47 kΩ between the unit's ground tag and the rail.",
                        "Minus clip on."),
                take_out="Resistor out, tag on the rail, screw tight. Key on: the unit's light is lit.",
                machine="Only the unit's own supply fuse, taped. Never its ground: the current then looks for a way "
                        "home through its other pins.",
                tests=(
                    sign("P2", "dim", **ON), meter("volts", "X14.pin", "X12.pin", "12.3 to 12.9 V", off=PLUG, **ON),
                    lamp("X14.pin", "X12.pin", "out", off=PLUG, **ON),
                    lamp("G1.-", "X12.pin", "bright", off=PLUG, **ON),
                ),
            ),
            Planting(
                id="13b", title="Signal wire open", faults=("W30 open",), minutes=2,
                owner="The display says cold, whatever the engine does.",
                put_in=("Key off.", "Sleeve on the sender's signal tab, spade on over it."),
                take_out="Sleeve off. Key on: about 4 V at the signal pin.",
                machine="The sender's own plug pulled, where the manual says that this does no harm; codes noted "
                        "before, and cleared after.",
                tests=(
                    meter("volts", "X14.pin", "X13.pin", "12.3 to 12.9 V", **ON),
                    meter("volts", "R3.2", "R3.1", "under 0.05 V", **ON),
                    meter("ohms", "R3.2", "R3.1", "2.0 to 2.4 kohm", off=("W30",)),
                ),
            ),
            Planting(
                id="13c", title="Signal wire on minus", faults=("X13 bridged to X11",), minutes=2,
                owner="The display says hot at once, engine cold.",
                put_in=("Key off.", "The joining lead from the signal pin's tab, harness side, to the minus rail."),
                take_out="Joining lead out and back into the box. Key on: about 4 V at the signal pin.",
                machine="Never: no short on a machine.",
                caution="Behind 4.7 kΩ: less than 3 mA flow.",
                tests=(
                    meter("volts", "X14.pin", "X13.pin", "under 0.1 V", **ON),
                    meter("volts", "X14.pin", "X13.pin", "under 0.1 V", off=("W30",), **ON),
                    meter("ohms", "R3.2", "R3.1", "2.0 to 2.4 kohm", off=("W30",)),
                ),
            ),
        ),
        watched=(
            safe("Key off before a plug is pulled or pushed."),
            prove("Says for each pin which instrument may touch it."),
            Watched(criterion="units", seen=(
                "Lamp only on unplugged supply and ground, harness side.",
                "Meter only on the signal; no lamp, no battery volts, no pierced wire.",
                "Tests supply and ground under load before saying that the unit is dead.",
            )),
            measure("Plugged or unplugged stands beside every reading."),
        ),
        never=("Nothing at a pin of a real control unit; nothing on an air bag, ever.",
               "No signal wire on plus, on a board or on a machine."),
        stops=(*STOPS, "A lamp or battery volts on the signal pin, or about to be."),
        goes_wrong=(
            "The box is no control unit: it only holds the signal up. Say so, or they look for its processor.",
            "13a: a meter of ten megohms shows 12.7 V behind 47 kΩ; the lamp tells.",
        ),
    ),
)
