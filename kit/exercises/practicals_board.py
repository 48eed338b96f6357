"""The training board as a thing to build: its parts, its proof, the box of faults, and what is never planted.

Sizes and prices are common practice; the figures the board is solved with stand in its machine file. Watts of the
resistors are worked out in ``tests/exercises/test_practicals.py``.
"""

from dataclasses import dataclass

from kit.exercises.practicals import meter, sign
from kit.machines.cases import CaseTest

FIRST = "The machine's own manual and your workshop's rules come first."


@dataclass(frozen=True, slots=True, kw_only=True)
class Item:
    """A line of the parts list: how many, what, and which parts of the board it is (empty: tools and fault box)."""

    count: str
    what: str
    parts: tuple[str, ...] = ()


PARTS: tuple[Item, ...] = (
    Item(count="1", what="Board, about 600 × 400 mm, with the drawing glued on; wires on its face, none behind it"),
    Item(count="1", what="Sealed battery 12 V, 7 Ah, in a tray; or a bench supply at 12.8 V, limited to 4 A",
         parts=("G1",)),
    Item(count="2", what="Insulated clips, red and black, that fit the battery's tags", parts=("X1", "X16")),
    Item(count="1", what="Fuse holder in the plus lead, within 10 cm of its clip; 5 A blade fuse", parts=("F1",)),
    Item(count="4", what="Blade fuse holders on the board, with fuses of 3, 2, 2 and 2 A",
         parts=("F2", "F3", "F4", "F5")),
    Item(count="2", what="Rails: a strip of screw terminals each, plus (under a cover) and minus", parts=("X3", "X11")),
    Item(count="7", what="Links: two 4 mm safety sockets 19 mm apart and a shorting plug",
         parts=("X2", "X4", "X5", "X6", "X7", "X8", "X10")),
    Item(count="1", what="The same link in the charger's plus lead", parts=("X15",)),
    Item(count="4", what="Toggle switches 12 V, 5 A with blade tabs: key, stop, clutch, neutral",
         parts=("S1", "S2", "B1", "B2")),
    Item(count="1", what="Push button, normally open, blade tabs", parts=("S3",)),
    Item(count="1", what="Micro switch that a small hinged lid holds open while it is shut", parts=("B3",)),
    Item(count="1", what="Relay 12 V, four pins, coil 90 Ω, with a resistor across its coil, and socket. Without the "
                         "resistor its pins sting when start is let go",
         parts=("K1",)),
    Item(count="1", what="Diode 1 A, 400 V or more, in a two-way screw terminal", parts=("R1",)),
    Item(count="4", what="Lamp holders; lamps 12 V: 21 W (starter), 5 W (work), 2 W (neutral), 2 W (under the lid)",
         parts=("E1", "E2", "P1", "E3")),
    Item(count="1", what="Small closed box as the unit: LED 12 V, 10 mA; 4.7 kΩ from supply to signal; three-pin plug",
         parts=("P2", "R2", "X12", "X13", "X14", "X17")),
    Item(count="1", what="Resistor 2.2 kΩ, ¼ W, in a sleeve with two tabs, as the sender", parts=("R3",)),
    Item(count="1", what="Charger 13.8 V, 1 A for sealed 12 V batteries, bought complete, moulded mains plug",
         parts=("T1",)),
    Item(count="12 m", what="Stranded copper wire: 1.5 mm² in the heavy ways, 1 mm² elsewhere; insulated spades"),
)
FAULT_BOX: tuple[Item, ...] = (
    Item(count="3 each", what="Blown blade fuses of 2, 3 and 5 A, collected from the workshop, their wire seen melted"),
    Item(count="2 each", what="Good fuses of 2 and 3 A, one blade wrapped in one layer of clear tape"),
    Item(count="1 each", what="Resistors 0.5, 4.7 and 15 Ω, 50 W, each screwed to a 100 × 100 × 3 mm aluminium plate, "
                              "on two shrouded 4 mm plugs that fit a link"),
    Item(count="2", what="Dead link plugs: the bridge inside is cut, from outside they look like the others"),
    Item(count="1", what="Resistor 100 Ω, 2 W, on two shrouded plugs that fit a link"),
    Item(count="2", what="Resistors 47 kΩ, ¼ W: one on shrouded plugs, one in a sleeve with two spades"),
    Item(count="1", what="Relay with its fixed contact bent back, so that it clicks and joins nothing"),
    Item(count="1", what="Relay with one end of its coil unsoldered and no resistor left across it: its pins read OL"),
    Item(count="1", what="Adapter between relay and socket with 4.7 Ω, 50 W in the lead to 30"),
    Item(count="1 each", what="Lamps with a broken filament, 5 W and 21 W"),
    Item(count="6", what="Insulating sleeves that slip over a blade tab under its spade"),
    Item(count="1", what="Spade opened up with a screwdriver, so that it holds and does not grip"),
    Item(count="1", what="Joining lead with insulated spades, 0.3 m, for practicals 06 and 13 only"),
    Item(count="1", what="A second 7 Ah battery, kept half charged, marked inside the tray"),
    Item(count="1", what="Corroded lugs and sockets, to be looked at and felt; they carry no current"),
)

# Before the class comes in: nothing planted, everything in its place. Bands are what real parts may differ by.
PROOF: tuple[CaseTest, ...] = (
    meter("volts", "G1.-", "G1.+", "12.5 to 13.0 V"),
    sign("E2", "lit", key="on"),
    sign("P1", "lit", key="on"),
    sign("E1", "lit", key="on", start_button="pressed"),
    sign("E1", "out", key="on", start_button="pressed", gear="first"),
    meter("volts", "X3.rail", "G1.+", "under 0.3 V", key="on", start_button="pressed"),
    meter("volts", "G1.-", "X11.rail", "under 0.3 V", key="on", start_button="pressed"),
    meter("amps", "F1.2", "F1.1", "0.45 to 0.6 A", off=("F1",), key="on"),
    meter("amps", "F1.2", "F1.1", "under 0.002 A", off=("F1",)),
)
PROVING: tuple[str, ...] = (
    "Read the figure on every fuse: 5 A at the clip, 3 A control, 2 A lamp, lid and charge. Nothing else.",
    "Tug at every spade and clip. No bare metal on the plus side that a finger or a tool can reach.",
    "On a bench supply: 12.8 V, limit at 4 A, read both on its own display before the board is joined. With a limit "
    "set, a short does not blow a fuse; the supply's display falls instead.",
    "Sealed battery: not bulged, not leaking, in its tray. Charger unplugged.",
    "Then the sound readings below. A board that does not give them is mended before anything is planted.",
)
METHODS: tuple[tuple[str, str], ...] = (
    ("Taped fuse", "A good fuse, one blade in one layer of clear tape. It looks sound and it feeds nothing. Control "
                   "and branch fuses only."),
    ("Blown fuse", "From the box, of the rating that belongs there."),
    ("Sleeved spade", "Pull the spade, slip an insulating sleeve over the tab, push the spade on again over it."),
    ("Pin backed out", "With the proper tool, 5 mm back in its plug, so that the plug still goes in."),
    ("Relay changed", "Contact bent back, or coil end unsoldered. It carries a mark inside its cap only."),
    ("Resistor in a link", "Plug out, resistor in. 50 W ones get hot: on their plate, clear of hands and wires, off "
                           "within a minute."),
    ("Broken lamp", "A lamp of the right watts whose filament is broken."),
)
NEVER: tuple[str, ...] = (
    "Nothing between battery and main fuse; nothing on a post, a clamp or a battery cable.",
    "Nothing that heats a battery, starter or ground cable: no resistor in any circuit that cranks an engine.",
    "No short on a real machine. On the board only behind the 2 A lamp fuse, or a signal behind its 4.7 kΩ.",
    "No bridged, jammed or stuck-closed switch on a machine that can move or cut. An interlock may be planted open "
    "only: then nothing starts.",
    "Nothing on brakes, steering, fuel, kill switch or kill wire: what stops a machine keeps stopping it.",
    "No mains, no AC side of a generator, no inside of a charger. Those are for licensed persons.",
    "No pierced insulation, no cut wire, nothing at a pin of a control unit.",
    "Nothing in a machine that goes out the same day; and never without its line in the planting log.",
)
ON_A_MACHINE: tuple[str, ...] = (
    "Key out, on its stand or chocked, blades off, arms down, auto-start off. Battery ground lead off while you plant.",
    "Write the line in the log first: machine, what, where, when, by whom. Hang the tag \"planted\" on the key.",
    "A test lamp at a start relay's wire can crank the engine: safe as for cranking before any lamp goes there.",
    "Try it yourself before the learner comes: it does what the sheet says, and nothing else.",
    "Afterwards take it out, strike the line, start the machine, try every interlock, and sign. No tag, no key.",
)
