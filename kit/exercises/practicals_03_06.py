"""Practicals beside lessons 03 to 06: the test lamp, the meter, the battery, the main feed."""

from kit.exercises.practicals import Planting, Practical, Watched, lamp, loading_lamp, meter, sign
from kit.exercises.practicals_watched import STOPS, find, measure, prove, repair, safe

ON = {"key": "on"}
START = {"key": "on", "start_button": "pressed"}
ALWAYS_NEVER = ("Nothing on the battery side of the main fuse.",)

PRACTICALS = (
    Practical(
        lesson="03", title="The test lamp from both sides", minutes=25,
        task=(
            "Prove your test lamp on the battery: clip on minus, tip on plus.",
            "See the complaint for yourself. Say what you suspect, and write it down.",
            "Predict, then test both pins of the work lamp, first with the clip on minus, then with the clip on plus.",
            "Walk on until two neighbouring points differ. What lies between them?",
            "Prove the lamp again. Show your assessor the two readings. Only then take anything out.",
        ),
        cautions=(
            "A clip on plus must touch nothing on minus: that is a short. Hold it by its sleeve.",
            "Lamps burn fingers. Key off and wait before you touch a bulb.",
        ),
        needs=("test lamp 3 W, 12 V", "eye protection", "the board's drawing"),
        plantings=(
            Planting(
                id="03a", title="Minus screw of the work lamp loose", faults=("X9 open",), minutes=2,
                owner="The work lamp is dark. There is plus at its pin, so I changed the bulb. Twice.",
                put_in=(
                    "Minus clip off.",
                    "Undo the minus screw of the work lamp holder, sleeve its tag, put the screw back over it.",
                    "Minus clip on.",
                ),
                take_out="Sleeve off, screw tight, tug at the tag. Key on: the work lamp lights.",
                machine="A head or work lamp's ground spade, sleeved. Not a lamp that must burn on the road that day.",
                tests=(
                    sign("E2", "out", **ON), lamp("G1.-", "E2.1", "bright", **ON), lamp("G1.+", "E2.2", "out", **ON),
                    lamp("G1.+", "X9.tag", "bright", **ON),
                ),
            ),
            Planting(
                id="03b", title="Broken bulb in the work lamp", faults=("E2 open",), minutes=1,
                owner="The work lamp is dark. I have tested it, there is plus.",
                put_in=("Key off, lamp cold.", "Fit the broken 5 W lamp from the box."),
                take_out="The good 5 W lamp back in. Key on: it lights.",
                machine="A broken bulb of the right watts in any lamp. Glass down in a cloth, lamp cold.",
                tests=(
                    sign("E2", "out", **ON), lamp("G1.-", "E2.1", "bright", **ON), lamp("G1.+", "E2.2", "bright", **ON),
                ),
            ),
            Planting(
                id="03c", title="Lamp link out", faults=("X8 open",), minutes=2,
                owner="The work lamp went dark while I was looking at it. I have touched nothing.",
                put_in=("Key off.", "Lamp link out, the dead link plug from the box in: it looks whole."),
                take_out="The good link plug back in. Key on: the work lamp lights.",
                machine="A sleeved spade in the feed of a lamp.",
                tests=(
                    sign("E2", "out", **ON), lamp("G1.-", "X8.a", "bright", **ON), lamp("G1.-", "X8.b", "out", **ON),
                    lamp("G1.+", "X8.b", "dim or bright", **ON),
                ),
            ),
        ),
        watched=(
            safe("Keeps a clip on plus clear of everything on minus."),
            prove("Takes the 3 W lamp, and says why not the 21 W one on a relay's wire."),
            Watched(criterion="predict", seen=(
                "Says out loud what the lamp will do before the tip touches.",
                "When it does otherwise, says so, and does not alter the prediction.",
            )),
            measure("Says \"clip on minus\" or \"clip on plus\" with every reading."),
        ),
        never=(*ALWAYS_NEVER, "No test lamp at the unit's signal pin."),
        stops=STOPS,
        goes_wrong=(
            "03c: with the clip on plus the test lamp is dim behind the gap: it finds minus through the filament. Let "
            "them be surprised, then ask for the way home.",
            "The 5 W work lamp may glow while a 3 W test lamp feeds it. Nobody should count that as lit.",
        ),
    ),
    Practical(
        lesson="04", title="The meter, and volts that carry nothing", minutes=30,
        task=(
            "Prove the meter on the battery. Check the range and where the red lead sits. Every time.",
            "See the complaint. Write down what you suspect.",
            "Measure at the work lamp's feed pin, bulb in, then bulb out. Put the test lamp on the same pin.",
            "Measure a point you think hangs on nothing, against minus and against plus.",
            "Name the part, with the two readings that show it.",
        ),
        cautions=(
            "A meter on amps across the battery is a short. Red lead in the volts socket, range on volts.",
            "Ohms only when it is dead: minus clip off, charger unplugged, and taken out what you measure.",
        ),
        needs=("multimeter", "test lamp 3 W", "eye protection", "the board's drawing"),
        plantings=(
            Planting(
                id="04a", title="47 kΩ in the lamp link", faults=("X8 47 kohm",), minutes=1,
                owner="Bulb out, twelve volts at the holder. New bulb in: dark.",
                put_in=("Key off.", "Lamp link out, the 47 kΩ on its plugs in."),
                take_out="Resistor out, link in. Key on: the work lamp lights.",
                machine="Nothing like it on a machine. Show a corroded socket from the box instead.",
                tests=(
                    sign("E2", "out", **ON), meter("volts", "G1.-", "E2.1", "under 0.1 V", **ON),
                    meter("volts", "G1.-", "E2.1", "12.3 to 12.9 V", off=("E2",), **ON),
                    lamp("G1.-", "E2.1", "out", off=("E2",), **ON),
                ),
            ),
            Planting(
                id="04b", title="Two gaps: the lamp floats", faults=("X8 open", "X9 open"), minutes=3,
                owner="Dark. And my meter says 0.00 V at the lamp, so it is grounded, and still dark.",
                put_in=("Minus clip off.", "Dead link plug in as in 03c, minus screw sleeved as in 03a.",
                        "Minus clip on."),
                take_out="Good link plug in, sleeve off, screw tight, tugged. Key on: the work lamp lights.",
                machine="Two sleeved spades at one lamp.",
                tests=(
                    sign("E2", "out", **ON), meter("volts", "G1.-", "E2.1", "under 0.05 V", **ON),
                    meter("volts", "E2.1", "G1.+", "under 0.05 V", **ON), lamp("G1.+", "E2.1", "out", **ON),
                ),
            ),
            Planting(
                id="04c", title="Lamp fuse taped", faults=("F3 blown",), minutes=1,
                owner="The work lamp is dark. The fuse is good, I looked at it.",
                put_in=("Key off.", "Fit the taped 2 A fuse as the lamp fuse."),
                take_out="The good 2 A fuse back in. Key on: the work lamp lights.",
                machine="A taped fuse in a lamp's own circuit.",
                tests=(
                    sign("E2", "out", **ON), meter("volts", "F3.2", "F3.1", "12.3 to 12.9 V", **ON),
                    meter("volts", "G1.-", "F3.1", "12.3 to 12.9 V", **ON), lamp("G1.-", "F3.2", "out", **ON),
                ),
            ),
        ),
        watched=(
            safe("Takes the fuse or the minus clip out before ohms, and says so."),
            prove("Reads range and socket aloud before each touch; leads back to volts at the end.",
                  "Does not believe 12 V on a meter until a lamp has lit there."),
            measure("Names where black sat and where red sat."),
            find("Shows a floating point by a reading against both posts."),
        ),
        never=(*ALWAYS_NEVER, "No ohms on a live board, and no amps across anything."),
        stops=(*STOPS, "Ohms on a live circuit after having been told once."),
        goes_wrong=(
            "Damp fingers across two points make a floating pin read some volts. Let go and read again.",
            "A meter of ten megohms shows 12.7 V behind 47 kΩ; an old moving-coil one shows less, and the lesson is "
            "lost. Try yours first.",
        ),
    ),
    Practical(
        lesson="05", title="A battery at rest and at work", minutes=40,
        task=(
            "Look at the battery before you touch it. Say whether it may be worked on.",
            "Read it at rest, at its own tags. Hold the figure against the table on its data sheet.",
            "Press start for five seconds and read it again, at the tags. Then read from the tags to the plus rail.",
            "Say whether the battery is weak, or something between it and the board; show the reading that tells.",
        ),
        cautions=(
            "Eyes protected. No tool, ring or lead across the tags.",
            "The resistor in the link gets hot. Start for five seconds, then let go; never touch its plate.",
        ),
        needs=("multimeter", "eye protection", "the battery's data sheet"),
        plantings=(
            Planting(
                id="05a", title="Battery half charged", faults=("G1 half charged",), minutes=3,
                owner="It was on charge all night. I think. The lamps are not what they were.",
                put_in=("Minus clip off first, then plus.",
                        "Set the half-charged battery into the tray; plus on first, minus last."),
                take_out="Minus off first. The full battery back in. The other one goes on charge the same day.",
                machine="A battery you have run down with its own lamps and rested for an hour. Never a frozen or "
                        "bulged one.",
                caution="To make it: 21 W lamp on a full 7 Ah battery for about 2 hours, then an hour of rest.",
                tests=(
                    meter("volts", "G1.-", "G1.+", "12.1 to 12.5 V"),
                    meter("volts", "G1.-", "G1.+", "11.9 to 12.4 V", **START),
                    meter("volts", "X3.rail", "G1.+", "under 0.3 V", **START),
                ),
            ),
            Planting(
                id="05b", title="4.7 Ω in the supply link", faults=("X2 4.7 ohm",), minutes=1,
                owner="Everything dims when I press start. I want a new battery.",
                put_in=("Minus clip off.", "Supply link out, the 4.7 Ω 50 W in, plate clear of everything.",
                        "Minus clip on."),
                take_out="Wait for it to cool. Resistor out, link in. Start pressed: nothing dims.",
                machine="Never: it would heat in the way of the starter's current. Take the reading post to clamp on a "
                        "sound machine instead.",
                caution="About 9 W while start is held: hot within a minute. Off after each reading.",
                tests=(
                    meter("volts", "G1.-", "G1.+", "12.5 to 12.9 V", **START),
                    meter("volts", "X2.b", "X2.a", "5.5 to 7.2 V", **START), sign("E1", "dim", **START),
                    meter("volts", "G1.-", "G1.+", "12.5 to 13.0 V"),
                ),
            ),
        ),
        watched=(
            safe("Looks at the battery first, and says bulged, leaking, frozen: stop.",
                 "Plus on before minus; nothing laid across the tags."),
            prove("Chooses volts, and says what the meter should show before it touches."),
            Watched(criterion="battery", seen=(
                "Reads at the tags themselves, at rest and under load, and says which of the two decides.",
                "Says how long it has rested, and what surface charge would do to the figure.",
            )),
            measure("Writes rest or load beside every figure, and how long the load was on."),
        ),
        never=("No battery drained below 11.8 V: a sealed one does not come back.",
               "No resistor or loose clamp in the cable of a machine.", "No load tester on a 7 Ah battery."),
        stops=(*STOPS, "Leans over a battery that bulges or leaks."),
        goes_wrong=(
            "A bench supply has no rest and no age: 05a needs the second battery.",
            "Ten boards and one half-charged battery: pass it on, and let it rest ten minutes each time.",
        ),
    ),
    Practical(
        lesson="06", title="Key on, nothing: the main feed", minutes=35,
        task=(
            "Put the controls as the owner did. See the complaint for yourself.",
            "From the drawing: which stage do all dead things share? Write the suspects down.",
            "Prove the lamp. Clip on minus. Test where it halves what is left.",
            "Shut the break in between two readings. Look there. Why did it fail?",
            "Put the cause right first. A new fuse has the rating that is printed beside its holder.",
        ),
        cautions=(
            "A fuse that blows says that something is wrong. Never a bigger one, never wire.",
            "Hunting a short: the 21 W lamp in the fuse's place. It gets hot; hold it by its base.",
        ),
        needs=("test lamp 3 W", "loading lamp 21 W", "fuses of 2, 3 and 5 A", "the board's drawing"),
        plantings=(
            Planting(
                id="06a", title="Control fuse taped", faults=("F2 blown",), minutes=1,
                owner="Key on, nothing. No lamps, no click, not a thing.",
                put_in=("Key off.", "Fit the taped 3 A fuse as the control fuse."),
                take_out="The good 3 A fuse back in. Key on: work lamp and unit light are lit.",
                machine="A taped fuse in the key's feed. Battery ground lead off while you fit it.",
                tests=(
                    sign("E2", "out", **ON), lamp("G1.-", "F2.1", "bright", **ON), lamp("G1.-", "F2.2", "out", **ON),
                    meter("volts", "F2.2", "F2.1", "12.5 to 12.9 V", **ON),
                ),
            ),
            Planting(
                id="06b", title="Main fuse blown", faults=("F1 blown",), minutes=1,
                owner="Completely dead, and the lamp under the lid as well.",
                put_in=("Minus clip off.", "Fit the blown 5 A fuse in the holder at the plus clip.", "Minus clip on."),
                take_out="Minus clip off, the good 5 A fuse in, minus clip on. Lid open: its lamp lights.",
                machine="Not in the main fuse of a machine; take a branch fuse.",
                tests=(
                    sign("E3", "out", lid="open"), lamp("G1.-", "F1.1", "bright"), lamp("G1.-", "F1.2", "out"),
                    meter("volts", "F1.2", "F1.1", "12.4 to 12.9 V", lid="open"),
                ),
            ),
            Planting(
                id="06c", title="Short in the work lamp's feed, lamp fuse blown",
                faults=("W25 shorted to ground", "F3 blown"), minutes=3,
                owner="The work lamp's fuse goes as soon as I fit one. The third today.",
                put_in=(
                    "Minus clip off. Blown 2 A fuse in as the lamp fuse.",
                    "Joining lead from the work lamp's feed pin to the minus rail, laid where it can be found.",
                    "Minus clip on.",
                ),
                take_out="Minus clip off, joining lead out and back into the box, good 2 A fuse in. Key on: lit.",
                machine="Never: no short on a machine.",
                caution="The one short there is. Only behind the 2 A fuse. On a bench supply the limit hides the pop.",
                tests=(
                    lamp("G1.-", "F3.1", "bright", **ON), lamp("G1.-", "F3.2", "out", **ON),
                    loading_lamp("F3.2", "F3.1", "bright", off=("F3",), **ON),
                    loading_lamp("F3.2", "F3.1", "out", off=("F3", "X8"), **ON),
                ),
            ),
        ),
        watched=(
            safe("Key off before a fuse is pulled; fits the rating that is printed there, and reads it aloud."),
            prove("Takes the loading lamp for the short, and says why a second fuse tells nothing."),
            measure("Tests both blades of a fuse."),
            find("Begins with what all dead things share, not at one end."),
            Watched(criterion="cause", seen=(
                "Asks why it blew before a new one goes in.",
                "Finds the joining lead, or says \"no cause found: rating right, load measured\" and the amps.",
            )),
            repair(),
        ),
        never=("No short but 06c.", "No second short, and none before the lamp fuse."),
        stops=STOPS,
        goes_wrong=(
            "06c: two fuses each at most, counted; then the loading lamp, whoever it is.",
            "A taped fuse slides its tape up when it is pulled and pushed often: look at it between learners.",
        ),
    ),
)
