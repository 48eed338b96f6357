"""A circuit: parts, the terminal all volts are measured from, and the faults planted in it."""

from collections.abc import Iterable
from copy import copy
from dataclasses import dataclass, field, fields, replace

from kit.circuit.faults import Change, Fault, Reversed, ShortTo, Spare, Welded
from kit.circuit.figures import Part
from kit.circuit.parts import LED, Battery, Diode, Instrument, Joint, Wire
from kit.circuit.terminals import Terminal
from kit.errors import CircuitError, FaultError


@dataclass(frozen=True, slots=True, kw_only=True)
class Circuit:
    """Parts and faults, checked when made. Every terminal is a node of its own; wires and joints are parts.

    Raises CircuitError for a repeated id, a wire or joint to nowhere, or a reference that is no terminal; FaultError
    for a fault that does not fit its part.
    """

    parts: tuple[Part, ...]
    reference: Terminal
    faults: tuple[Fault, ...] = ()
    _by_id: dict[str, Part] = field(init=False, repr=False, compare=False, hash=False)
    _terminals: tuple[Terminal, ...] = field(init=False, repr=False, compare=False, hash=False)
    _known: frozenset[Terminal] = field(init=False, repr=False, compare=False, hash=False)

    def __post_init__(self) -> None:
        by_id: dict[str, Part] = {}
        for part in self.parts:
            if part.id in by_id:
                raise CircuitError(f"{part.word} {part.id}: there are two parts called {part.id}; ids must differ.")
            by_id[part.id] = part
        terminals = tuple(terminal for part in self.parts for terminal in part.terminals)
        known = frozenset(terminals)
        object.__setattr__(self, "_by_id", by_id)
        object.__setattr__(self, "_terminals", terminals)
        object.__setattr__(self, "_known", known)
        for part in self.parts:
            if isinstance(part, (Wire, Joint, Instrument)):
                for end in (part.start, part.end):
                    if end not in known:
                        raise CircuitError(f"{part.word} {part.id} goes to {end}: {self.explain_missing(end)}")
        if self.reference not in known:
            raise CircuitError(f"reference {self.reference}: {self.explain_missing(self.reference)}")
        for fault in self.faults:
            self._check(fault)

    @property
    def terminals(self) -> tuple[Terminal, ...]:
        """Every terminal, in the order of the parts."""
        return self._terminals

    def __contains__(self, part_id: str) -> bool:
        return part_id in self._by_id

    def __getitem__(self, part_id: str) -> Part:
        if part_id not in self._by_id:
            raise CircuitError(f"there is no part {part_id}; there are {', '.join(self._by_id)}.")
        return self._by_id[part_id]

    def explain_missing(self, terminal: Terminal) -> str:
        """Why a terminal does not exist, in words."""
        if terminal.part not in self._by_id:
            return f"there is no part {terminal.part}."
        part = self._by_id[terminal.part]
        if not part.terminals:
            return f"a {part.word} has no terminals of its own; name the terminals it joins."
        return f"{part.word} {part.id} has no terminal '{terminal.name}'; it has {_names(part)}."

    def plant(self, *faults: Fault) -> "Circuit":
        """The same circuit with these faults as well."""
        # Suspects are planted by the hundred: the parts are this circuit's own, and need no second check.
        planted = copy(self)
        object.__setattr__(planted, "faults", self.faults + tuple(faults))
        for fault in faults:
            planted._check(fault)
        return planted

    def add(self, parts: Iterable[Part]) -> "Circuit":
        """The same circuit with more parts (an instrument, say)."""
        return replace(self, parts=self.parts + tuple(parts))

    def _check(self, fault: Fault) -> None:
        if fault.part not in self._by_id:
            raise FaultError(f"fault '{fault.id}': there is no part {fault.part}.")
        part = self._by_id[fault.part]
        match fault.edit:
            case ShortTo(start=start, end=end):
                for terminal in (start, end):
                    if terminal not in self._known:
                        raise FaultError(f"fault '{fault.id}': {self.explain_missing(terminal)}")
            case Change(field=name, value=value):
                self._check_figures(fault, part, ((name, value),))
            case Spare(figures=figures):
                self._check_figures(fault, part, figures)
            case edit:
                if edit.at not in part.inside:
                    places = " or ".join(f"at={name}" for name in part.inside)
                    use = f"say {places}" if any(part.inside) else "leave 'at' out"
                    raise FaultError(f"fault '{fault.id}': a {part.word} has no path '{edit.at}'; {use}.")
                if isinstance(edit, Reversed) and not (isinstance(part, (Battery, Diode, LED)) or edit.at == "diode"):
                    raise FaultError(f"fault '{fault.id}': a {part.word} works either way round.")
                if isinstance(edit, Welded) and not ("rest" in part.inside and edit.at in ("contact", "rest")):
                    raise FaultError(f"fault '{fault.id}': only a change-over relay's contact or rest can weld.")

    def _check_figures(self, fault: Fault, part: Part, figures: tuple[tuple[str, float], ...]) -> None:
        known = [item.name for item in fields(part) if "unit" in item.metadata]
        for name, _ in figures:
            if name not in known:
                raise FaultError(
                    f"fault '{fault.id}': a {part.word} has no figure '{name}'; it has {', '.join(known)}."
                )
        try:
            replace(part, **dict(figures))
        except CircuitError as error:
            raise FaultError(f"fault '{fault.id}': {error}") from error


def _names(part: Part) -> str:
    return ", ".join(terminal.name for terminal in part.terminals)
