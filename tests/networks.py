"""Small circuits for tests: nodes are numbers, 0 is the reference; resistors are joints, nodes bare metal."""

from fractions import Fraction

from kit.circuit import Battery, Circuit, Joint, Metal, Part, Terminal

STIFF = 1e-6  # ohms inside a source, or in a lead, that a textbook draws without any


def node(number: int) -> Terminal:
    return Terminal(f"N{number}", "t")


def resistor(name: str, start: int, end: int, ohms: float) -> list[Part]:
    return [Joint(id=name, title=name, start=node(start), end=node(end), ohms=ohms)]


def source(name: str, minus: int, plus: int, volts: float, ohms: float = STIFF) -> list[Part]:
    """A battery from node ``minus`` to node ``plus``, its leads of a micro-ohm each; its own ohms are ``ohms``."""
    return [
        Battery(id=name, title=name, volts=volts, ohms=ohms),
        Joint(id=f"{name}-", title=name, start=Terminal(name, "-"), end=node(minus), ohms=STIFF),
        Joint(id=f"{name}+", title=name, start=Terminal(name, "+"), end=node(plus), ohms=STIFF),
    ]


def between(part: Part, start: int, end: int) -> list[Part]:
    """A two-ended part of its own terminals, led to two nodes through a micro-ohm each."""
    first, last = part.terminals
    return [
        part,
        Joint(id=f"{part.id}<", title=part.id, start=node(start), end=first, ohms=STIFF),
        Joint(id=f"{part.id}>", title=part.id, start=last, end=node(end), ohms=STIFF),
    ]


def circuit(*groups: list[Part]) -> Circuit:
    """A circuit of these parts with every node they name."""
    parts = [part for group in groups for part in group]
    ends = {end for part in parts if isinstance(part, Joint) for end in (part.start, part.end)}
    numbers = sorted({int(end.part[1:]) for end in ends if end.part.startswith("N")} | {0})
    metals = [Metal(id=f"N{number}", title=f"node {number}", terminal="t") for number in numbers]
    return Circuit(parts=(*metals, *parts), reference=node(0))


def exact_volts(n: int, reference: int, edges: list[tuple[int, int, Fraction, Fraction]]) -> list[Fraction | None]:
    """Node volts in exact fractions by plain Gauss elimination; None where nothing leads to the reference.

    ``edges`` are (from, to, siemens, amps): siemens·(V_from − V_to) + amps runs from ``from`` to ``to``.
    """
    near: dict[int, dict[int, Fraction]] = {k: {} for k in range(n)}
    into = [Fraction(0)] * n
    for a, b, siemens, amps in edges:
        if a == b:
            continue
        into[a] -= amps
        into[b] += amps
        if siemens:
            near[a][b] = near[b][a] = near[a].get(b, Fraction(0)) + siemens
    home, todo = {reference}, [reference]
    while todo:
        for k in near[todo.pop()]:
            if k not in home:
                home.add(k)
                todo.append(k)
    rows = {k: {k: sum(near[k].values()), **{m: -s for m, s in near[k].items() if m != reference}} for k in home}
    order, left = [], home - {reference}
    while left:
        k = min(left, key=lambda m: (len(rows[m]), m))
        left.remove(k)
        order.append(k)
        for m in [m for m in rows[k] if m in left]:
            factor = rows[m].pop(k) / rows[k][k]
            for q, value in rows[k].items():
                if q != k:
                    rows[m][q] = rows[m].get(q, Fraction(0)) - factor * value
            into[m] -= factor * into[k]
    volts: list[Fraction | None] = [None] * n
    volts[reference] = Fraction(0)
    for k in reversed(order):
        volts[k] = (into[k] - sum(value * volts[q] for q, value in rows[k].items() if q != k)) / rows[k][k]
    return volts
