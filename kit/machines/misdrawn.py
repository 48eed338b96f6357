"""A drawing that is wrong: the drawing of another circuit, made from the machine's own by one mistake.

A mistake is written as text, so that a question can pick one: ``W12 to B1.2`` (the wire's far end is drawn there),
``W13 from B1.1`` (its near end), ``W11 to x W12 from`` (these two ends are drawn one for the other), ``B1 other way``
(the switch is drawn closed where it is open, and open where it is closed).
"""

import re
from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import assert_never

from kit.circuit import Part, Switch, Terminal, Wire
from kit.errors import CircuitError, OperationError
from kit.machines.machine import Control, Machine

ENDS = {"from": "start", "to": "end"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Moved:
    """One end of a wire (``from`` or ``to``) drawn at another terminal."""

    wire: str
    end: str
    at: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Crossed:
    """Two ends of wires, each a wire and ``from`` or ``to``, drawn one for the other."""

    one: tuple[str, str]
    other: tuple[str, str]


@dataclass(frozen=True, slots=True, kw_only=True)
class OtherWay:
    """A switch drawn closed in the positions in which it is open, and open in those in which it is closed."""

    switch: str


Mistake = Moved | Crossed | OtherWay


def read_mistake(text: str) -> Mistake:
    """A mistake from its text; raises OperationError for what is none.

    >>> read_mistake("W12 to B1.2")
    Moved(wire='W12', end='to', at='B1.2')
    """
    if found := re.fullmatch(r"(\w+) (from|to) (\w+\.\S+)", text):
        return Moved(wire=found[1], end=found[2], at=found[3])
    if found := re.fullmatch(r"(\w+) (from|to) x (\w+) (from|to)", text):
        return Crossed(one=(found[1], found[2]), other=(found[3], found[4]))
    if found := re.fullmatch(r"(\w+) other way", text):
        return OtherWay(switch=found[1])
    raise OperationError(
        f"'{text}' is no mistake of a drawing; expected one like 'W12 to B1.2', 'W11 to x W12 from' or 'B1 other way'."
    )


def misdrawn(machine: Machine, *mistakes: Mistake) -> Machine:
    """The machine as a drawing with these mistakes has it; its places are worked out, for it has other ways now.

    Raises OperationError where a mistake does not fit the machine or changes nothing.
    """
    for mistake in mistakes:
        machine = _with(machine, mistake)
    return machine


def undone(mistake: Mistake, machine: Machine) -> Mistake:
    """What takes a mistake back, on a drawing of this machine that has it."""
    if isinstance(mistake, Moved):
        return replace(mistake, at=str(_end(machine, (mistake.wire, mistake.end))))
    return mistake


def parts_of(mistake: Mistake) -> tuple[str, ...]:
    """The parts that a mistake is about."""
    match mistake:
        case Moved():
            return (mistake.wire,)
        case Crossed():
            return tuple(dict.fromkeys((mistake.one[0], mistake.other[0])))
        case OtherWay():
            return (mistake.switch,)
        case _:
            assert_never(mistake)


def in_words(mistake: Mistake, machine: Machine) -> str:
    """A sentence that tells what becomes of a machine, or a drawing, by a mistake: ``W12 goes to B1.2, not to B1.1.``
    """
    match mistake:
        case Moved(wire=wire, end=end, at=at):
            verb, word = ("goes", "to") if end == "to" else ("comes", "from")
            return f"{wire} {verb} {word} {at}, not {word} {_end(machine, (wire, end))}."
        case Crossed(one=one, other=other):
            first, second = _end(machine, other), _end(machine, one)
            return f"{one[0]} and {other[0]} are changed over: {one[0]} sits on {first}, {other[0]} on {second}."
        case OtherWay(switch=switch):
            return _standing_of(_turned(machine, switch), switch)
        case _:
            assert_never(mistake)


def switch_in_words(machine: Machine, switch: str) -> str:
    """``B1 is closed with clutch lever pulled, open with clutch lever released.``"""
    return _standing_of(_control_of(machine, switch), switch)


def closed_in(machine: Machine, switch: str) -> tuple[str, tuple[str, ...]]:
    """The control that works a switch, and the positions in which it is closed."""
    control = _control_of(machine, switch)
    return control.id, tuple(position for position in control.positions if switch in control.closes.get(position, ()))


def _standing_of(control: Control, switch: str) -> str:
    shut = [position for position in control.positions if switch in control.closes.get(position, ())]
    free = [position for position in control.positions if position not in shut]
    said = f"{switch} is closed with {control.title} {' or '.join(shut)}"
    return f"{said}, open with {control.title} {' or '.join(free)}."


def _with(machine: Machine, mistake: Mistake) -> Machine:
    match mistake:
        case Moved(wire=wire, end=end, at=at):
            changed = {(wire, end): Terminal.read(at)}
        case Crossed(one=one, other=other):
            changed = {one: _end(machine, other), other: _end(machine, one)}
        case OtherWay(switch=switch):
            control = _turned(machine, switch)
            controls = MappingProxyType({**machine.controls, control.id: control})
            return replace(machine, controls=controls, places=MappingProxyType({}))
        case _:
            assert_never(mistake)
    if all(_end(machine, key) == terminal for key, terminal in changed.items()):
        raise OperationError(f"{machine.id}: {mistake} changes nothing; the machine is so.")
    parts = tuple(_moved(part, changed) for part in machine.circuit.parts)
    try:
        circuit = replace(machine.circuit, parts=tuple(_retitled(part, machine) for part in parts))
    except CircuitError as error:
        raise OperationError(f"{machine.id} cannot be drawn so: {error}") from error
    return replace(machine, circuit=circuit, places=MappingProxyType({}))


def _moved(part: Part, changed: dict[tuple[str, str], Terminal]) -> Part:
    ends = {ENDS[end]: terminal for (wire, end), terminal in changed.items() if wire == part.id}
    return replace(part, **ends) if ends else part


def _retitled(part: Part, machine: Machine) -> Part:
    """A wire's title tells where it goes, so all of them are written anew from where they are drawn."""
    if not isinstance(part, Wire):
        return part
    one, other = (machine.circuit[end.part].title for end in (part.start, part.end))
    return replace(part, title=f"{one} to {other}")


def _end(machine: Machine, key: tuple[str, str]) -> Terminal:
    wire, end = key
    if wire not in machine.circuit or not isinstance(machine.circuit[wire], Wire):
        raise OperationError(f"{machine.id} has no wire {wire} to draw wrongly.")
    return getattr(machine.circuit[wire], ENDS[end])


def _control_of(machine: Machine, switch: str) -> Control:
    if switch not in machine.circuit or not isinstance(machine.circuit[switch], Switch):
        raise OperationError(f"{machine.id} has no switch {switch} to draw wrongly.")
    for control in machine.controls.values():
        if any(switch in shut for shut in control.closes.values()):
            return control
    raise OperationError(f"{machine.id}: no control works switch {switch}.")


def _turned(machine: Machine, switch: str) -> Control:
    """The control of a switch, with this switch closed where it was open."""
    control = _control_of(machine, switch)
    closes = {}
    for position in control.positions:
        shut = control.closes.get(position, ())
        closes[position] = tuple(one for one in shut if one != switch) if switch in shut else (*shut, switch)
    return replace(control, closes=MappingProxyType(closes))
