"""Faults a machine file declares for itself, beside the catalogue's: places that touch, figures that are off.

Written under ``faults:`` with words of their own::

    X6 bridged to X7: {bridge: [X6.a, X7.b], looks: …, cause: …, repair: …}
    M1 hard to turn: {change: {load_amps: 160 A}, looks: …, cause: …, repair: …}
"""

from collections.abc import Collection
from dataclasses import fields

from kit.circuit import Change, Circuit, Fault, ShortTo, Spare, Terminal, part_of
from kit.errors import CircuitError, QuantityError
from kit.machines.yamlfile import Section
from kit.quantities import read_quantity

OWN_FAULTS = ("bridge", "change")
BRIDGE_OHMS = 0.02  # of two places that touch, as of a chafed wire


def own_fault(fault_id: str, entry: Section, circuit: Circuit, known: Collection[str]) -> Fault:
    """The fault a machine file declares; its id begins with the part it sits on."""
    part = part_of(fault_id)
    if part not in circuit or fault_id == part:
        entry.fail(f"'{fault_id}' should begin with the id of the part it sits on, like 'X1 bridged'.")
    if fault_id in known:
        entry.fail(f"'{fault_id}' is a fault already; leave {' and '.join(OWN_FAULTS)} out, or give it another name.")
    if "bridge" in entry and "change" in entry:
        entry.fail(f"faults {fault_id}: a bridge or a change, not both; a case may name two faults.", "change")
    edit = _bridge(fault_id, entry, circuit) if "bridge" in entry else _change(fault_id, entry, circuit)
    return Fault(id=fault_id, part=part, edit=edit)


def _bridge(fault_id: str, entry: Section, circuit: Circuit) -> ShortTo:
    places = entry.words("bridge")
    if len(places) != 2 or places[0] == places[1]:
        entry.fail(f"faults {fault_id}: a bridge joins two places, like [X1.a, X2.b].", "bridge")
    ends = []
    for place in places:
        try:
            ends.append(Terminal.read(place))
        except CircuitError as error:
            entry.fail(f"faults {fault_id}: {error}", "bridge")
        if ends[-1] not in circuit.terminals:
            entry.fail(f"faults {fault_id}: {place} is not a terminal: {circuit.explain_missing(ends[-1])}", "bridge")
    return ShortTo(start=ends[0], end=ends[1], ohms=BRIDGE_OHMS)


def _change(fault_id: str, entry: Section, circuit: Circuit) -> Change | Spare:
    part, figures = circuit[part_of(fault_id)], entry.section("change")
    units = {item.name: item.metadata["unit"] for item in fields(part) if "unit" in item.metadata}
    values = []
    for name in figures.keys():  # noqa: SIM118 (a Section is no mapping)
        if name not in units:
            figures.fail(f"faults {fault_id}: a {part.word} has no figure '{name}'; it has {', '.join(units)}.", name)
        try:
            values.append((name, read_quantity(figures.text(name), units[name], unit_required=True)))
        except QuantityError as error:
            figures.fail(f"faults {fault_id}, {name}: {error}", name)
    if not values:
        entry.fail(f"faults {fault_id}: say which figure changes, like {{ohms: 3 ohm}}.", "change")
    return Change(field=values[0][0], value=values[0][1]) if len(values) == 1 else Spare(figures=tuple(values))
