"""What a learner is to be able to do, as criteria that exercises give evidence for.

The criteria and their ids are our own. ``standards`` names public competency standards that ask for something of the
kind, in the lessons' plan of which standard goes with which lesson; whoever assesses against one uses its own text.
``STANDARDS`` says of each what it is about, in our words, and which lessons go with it (source: codes and titles as the
public registers print them; where only remembered, "from memory").
"""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType


@dataclass(frozen=True, slots=True, kw_only=True)
class Criterion:
    """One criterion: its id, what the learner does, and the codes of public standards that ask for it.

    ``by_hand`` is True where a person has to see it done on real metal: the kit alone is never enough evidence.
    """

    id: str
    does: str
    standards: tuple[str, ...]
    by_hand: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Standard:
    """A public competency standard: its code, what it is about in our words, the lessons that go with it.

    ``recalled`` is True where the code was remembered and not seen: look it up before you rely on it.
    """

    code: str
    about: str
    lessons: tuple[str, ...]
    recalled: bool = False


CRITERIA: Mapping[str, Criterion] = MappingProxyType({
    one.id: one
    for one in (
        Criterion(id="safe", does="Makes the machine safe before working on it, and keeps it so.",
                  standards=("IMICA01", "AURETR112"), by_hand=True),
        Criterion(id="prove", does="Chooses the instrument, proves it before and after, and knows where it lies.",
                  standards=("AURETK001", "AURETR112"), by_hand=True),
        Criterion(id="trace", does="Traces a current's closed path on the drawing, stage by stage.",
                  standards=("AURETR007",)),
        Criterion(id="predict", does="Says before measuring what a lamp or a meter will show.",
                  standards=("AURETR007", "AURETK001")),
        Criterion(id="figures", does="Works out volts, amps, ohms, a fuse or a cable from the figures at hand.",
                  standards=("AURETR007",)),
        Criterion(id="suspects", does="Lists the suspects that fit the complaint, and strikes out those that do not.",
                  standards=("AURATA001", "AURETR112")),
        Criterion(id="next-test", does="Chooses the next test by what each outcome would leave.",
                  standards=("AURATA001", "LANLEO30")),
        Criterion(id="measure", does="Measures and writes down point, reading and condition.",
                  standards=("AURETK001", "AURETR112"), by_hand=True),
        Criterion(id="find", does="Locates a fault and shows it by readings before any part is renewed.",
                  standards=("AURETR112", "AURETR130", "LANLEO30")),
        Criterion(id="cause", does="Finds why it failed: a blown fuse is a symptom.",
                  standards=("AURETR112", "AURATA001")),
        Criterion(id="repair", does="Mends to a standard, verifies the owner's complaint, retests the interlocks.",
                  standards=("AURETR112", "AURETR130"), by_hand=True),
        Criterion(id="report", does="Explains in plain words what was wrong, what was done, and what is beyond them.",
                  standards=("AURETR130", "IMICA01")),
        Criterion(id="battery", does="Judges a battery at rest, under load and in the cold.",
                  standards=("AURETR014", "AURETR013", "AURETR129")),
        Criterion(id="starting", does="Tells apart the faults of a starting circuit on more than one machine.",
                  standards=("AURETR130", "AURETR014", "G-21.01", "D-18")),
        Criterion(id="drop", does="Finds a bad joint, cable or contact by the volts it takes under load.",
                  standards=("AURETR130", "AURETR112")),
        Criterion(id="charging", does="Finds why a battery goes flat: charging and standing drain.",
                  standards=("AURETR013", "AURETR129", "G-21.01", "D-18")),
        Criterion(id="units", does="Tests at control units and sensors only where and how it does no harm.",
                  standards=("LANLEO23",)),
    )
})

STANDARDS: Mapping[str, Standard] = MappingProxyType({
    one.code: one
    for one in (
        Standard(code="AURETR007", about="how circuits work, put to use in service work", lessons=("01", "02")),
        Standard(code="AURETK001", about="choosing, proving and using electrical test gear", lessons=("03", "04")),
        Standard(code="AURETR112", about="testing and repairing basic circuits",
                 lessons=("00", "03", "06", "07", "09", "16")),
        Standard(code="AURETR014", about="servicing starting systems", lessons=("05",)),
        Standard(code="AURETR130", about="finding and repairing faults of starting systems",
                 lessons=("07", "08", "09", "10", "11", "16")),
        Standard(code="AURETR013", about="servicing charging systems", lessons=("05", "12")),
        Standard(code="AURETR129", about="finding and repairing faults of charging systems", lessons=("05", "12"),
                 recalled=True),
        Standard(code="AURATA001", about="a method of finding faults", lessons=("14", "15")),
        Standard(code="LANLEO30", about="inspecting and testing land-based machines", lessons=("14", "15")),
        Standard(code="LANLEO23", about="electronic control on land-based machines", lessons=("13",)),
        Standard(code="IMICA01", about="an orderly and safe workplace", lessons=("00",)),
        Standard(code="G-21.01", about="motorcycle trade: starting and charging faults", lessons=("12", "16")),
        Standard(code="D-18", about="heavy duty trade: starting and charging faults", lessons=("12", "16")),
    )
})
