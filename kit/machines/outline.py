"""A drawing without its names, in words: what each numbered thing is drawn as, and what it is joined to.

It tells those who do not see a drawing just what the others see: the symbols and the lines between them.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence

from kit.circuit import Battery, Circuit, Joint, Metal, Part, Relay, Switch, Terminal, Wire
from kit.machines.machine import Machine

# What a symbol shows of a part of these ids' letters; else the word for its kind.
BY_HAND = "SQ"


def outline(machine: Machine, parts: Sequence[str], numbers: Mapping[str, int]) -> Mapping[str, str]:
    """What each numbered part (``F1``) or terminal (``K1.86``) of a sheet is, told by symbol and lines alone.

    ``parts`` are those on the sheet, ``numbers`` the number of each numbered thing.
    """
    pushed = {
        switch for control in machine.controls.values() if control.springs_back
        for shut in control.closes.values() for switch in shut
    }
    nets = _nets(machine.circuit, parts)
    found = {}
    for name, number in numbers.items():
        if "." in name:
            found[name] = f"Number {number} is {_place(machine.circuit, Terminal.read(name), parts, nets, numbers)}."
            continue
        part = machine.circuit[name]
        ends = [f"{_end_word(part, end)} {_joined(machine.circuit, part, end, nets, numbers, parts)}"
                for end in part.terminals if end in nets]
        found[name] = f"Number {number} is drawn as {symbol_word(part, pushed)}: {'; '.join(ends)}."
    return found


def symbol_word(part: Part, pushed: Iterable[str] = ()) -> str:
    """What a part is drawn as, with its article: ``a fuse``, ``a push button``, ``a switch worked by hand``."""
    word = part.word
    if isinstance(part, Switch):
        word = "push button" if part.id in pushed else (
            "switch worked by hand" if part.id[0] in BY_HAND else "switch that a part of the machine works")
    elif isinstance(part, Battery):
        word = "battery"
    elif isinstance(part, Metal):
        word = "hatched bar of bare metal"
    return f"{'an' if word[0] in 'aeiou' else 'a'} {word}"


def _end_word(part: Part, end: Terminal) -> str:
    """Terminals tell nothing where the drawing has no names, but for what the symbol itself shows."""
    known = {"86": "one end of its coil", "85": "the other end of its coil", "30": "one end of its contact",
             "87": "the other end of its contact", "+": "the long line", "-": "the short line", "A": "the arrow's base",
             "K": "the arrow's tip"}
    if end.name in known:
        return known[end.name]
    if isinstance(part, Metal):
        return "it"
    return "one end" if end == part.terminals[0] else "the other end"


def _joined(
    circuit: Circuit, part: Part, end: Terminal, nets: Mapping[Terminal, int], numbers: Mapping[str, int],
    parts: Sequence[str],
) -> str:
    """``is joined to 2, 3 and a lamp``, or that its line leads to another sheet, or nowhere."""
    net = [other for other in nets if nets[other] == nets[end] and other != end]
    near = sorted({
        number for other in net for number in (numbers.get(str(other)), numbers.get(other.part))
        if number is not None and (other.part != part.id or str(other) in numbers)
    })
    # What has no number of its own is told by its symbol.
    bare = dict.fromkeys(
        _piece_word(circuit[other.part], other) for other in net
        if other.part in parts and other.part != part.id and other.part not in numbers and str(other) not in numbers
    )
    texts = [*map(str, near), *(word for word in bare if word)]
    if texts:
        return f"is joined to {_listed(texts)}"
    return "has an arrow to another sheet" if _leads_on(circuit, end, nets, parts) else "is joined to nothing"


def _piece_word(part: Part, end: Terminal) -> str:
    """What is drawn at a terminal: ``a relay's contact``, ``a lamp``; nothing for joints and the like."""
    if isinstance(part, Relay):
        return "a relay's coil" if end.name in ("85", "86") else "a relay's contact"
    return "" if isinstance(part, (Wire, Joint)) else symbol_word(part)


def _leads_on(circuit: Circuit, end: Terminal, nets: Mapping[Terminal, int], parts: Sequence[str]) -> bool:
    here = {other for other in nets if nets[other] == nets[end]}
    return any(
        isinstance(part, (Wire, Joint)) and part.id not in parts and here & {part.start, part.end}
        for part in circuit.parts
    ) or any(other.part not in parts for other in here)


def _place(
    circuit: Circuit, terminal: Terminal, parts: Sequence[str], nets: Mapping[Terminal, int], numbers: Mapping[str, int]
) -> str:
    part = circuit[terminal.part]
    way = _joined(circuit, part, terminal, nets, numbers, parts)
    first = terminal == part.terminals[0] or terminal.name in ("86", "30")
    side = "upper, where the current comes in" if first else "lower, where the current goes out"
    kind = {"30": "contact", "87": "contact", "86": "coil", "85": "coil"}.get(terminal.name, part.word)
    return f"an end of a {kind}, the {side}; it {way}"


def _listed(texts: Sequence[str]) -> str:
    return texts[0] if len(texts) == 1 else f"{', '.join(texts[:-1])} and {texts[-1]}"


def _nets(circuit: Circuit, parts: Sequence[str]) -> dict[Terminal, int]:
    """Which terminals the wires and joints of a sheet join: the same number for all of one net."""
    home: dict[Terminal, Terminal] = {}

    def root(terminal: Terminal) -> Terminal:
        while home[terminal] != terminal:
            terminal = home[terminal]
        return terminal

    for terminal in _on_sheet(circuit, parts):
        home.setdefault(terminal, terminal)
    for name in parts:
        part = circuit[name]
        if isinstance(part, (Wire, Joint)):
            home[root(part.start)] = root(part.end)
    numbers: dict[Terminal, int] = {}
    return {terminal: numbers.setdefault(root(terminal), len(numbers)) for terminal in home}


def _on_sheet(circuit: Circuit, parts: Sequence[str]) -> Iterator[Terminal]:
    for name in parts:
        part = circuit[name]
        yield from part.terminals
        if isinstance(part, (Wire, Joint)):
            yield from (part.start, part.end)
