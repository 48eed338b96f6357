"""Which fault shows what in which test: a table as a picture, faults that no test here can tell apart in one row."""

import textwrap
from collections.abc import Iterator, Mapping, Sequence
from html import escape

from kit.draw.paint import frame
from kit.draw.palette import PALETTE, check_ground
from kit.draw.picture import Picture
from kit.draw.widths import text_width
from kit.errors import DrawingError

SIZE, LINE, PAD, SIDE = 12, 16.0, 7.0, 12.0
NAME_WRAP, HEAD_WRAP, WORD_WRAP = 34, 15, 15
# Outcomes that fewer suspects share stand on a darker ground; the words alone would do.
SHADES = (0.0, 0.09, 0.18, 0.27)


def fault_table(
    faults: Sequence[str], tests: Sequence[str], outcomes: Sequence[Sequence[str]], *,
    seen: Mapping[str, str] | None = None, title: str = "Which fault shows what", ground: str = "light",
) -> Picture:
    """Rows are faults, columns tests, cells the words for what a test would show: ``outcomes[fault][test]``.

    ``seen`` are tests already done and the word each showed: a row it contradicts is struck out, its cell framed.
    Raises DrawingError for no rows or columns, a row of another length, or a test in ``seen`` that is no column.
    """
    check_ground(ground)
    if not faults or not tests:
        raise DrawingError("a fault table needs a fault and a test at least.")
    if len(outcomes) != len(faults) or any(len(row) != len(tests) for row in outcomes):
        raise DrawingError(
            f"a fault table of {len(faults)} faults and {len(tests)} tests needs {len(faults)} rows of {len(tests)} "
            f"words."
        )
    seen = dict(seen or {})
    for test in seen:
        if test not in tests:
            raise DrawingError(f"there is no test '{test}' in the table; there are {'; '.join(tests)}.")
    rows = _groups(faults, outcomes)
    colours = PALETTE[ground]
    names = [_name(together) for together, _ in rows]
    heads = [_wrap(test, HEAD_WRAP) for test in tests]
    cells = [[_wrap(word, WORD_WRAP) for word in words] for _, words in rows]
    first = max(_wide(name, bold=True) for name in names) + 2 * PAD
    wides = [
        max(_wide(heads[at]), *(_wide(row[at]) for row in cells)) + 2 * PAD for at in range(len(tests))
    ]
    highs = [
        max(len(name), *(len(cell) for cell in row)) * LINE + 2 * PAD for name, row in zip(names, cells, strict=True)
    ]
    head = max(len(lines) for lines in heads) * LINE + 2 * PAD
    width, height = round(SIDE * 2 + first + sum(wides), 1), SIDE * 2 + head + sum(highs)
    body: list[str] = []
    x = SIDE + first
    for lines, wide in zip(heads, wides, strict=True):
        body += _words(x + PAD, SIDE + PAD, lines, colours["soft"])
        x += wide
    y = SIDE + head
    out: list[str] = []
    for (together, words), name, row, high in zip(rows, names, cells, highs, strict=True):
        against = [test for test, word in zip(tests, words, strict=True) if test in seen and seen[test] != word]
        out += together if against else []
        body.append(_rule(SIDE, y, width - SIDE, y, colours))
        x = SIDE + first
        for at, (cell, wide) in enumerate(zip(row, wides, strict=True)):
            shade = _shade(words[at], [word[at] for _, word in rows])
            if shade:
                body.append(
                    f'<rect x="{x:.1f}" y="{y:g}" width="{wide:.1f}" height="{high:g}" fill="{colours["soft"]}" '
                    f'fill-opacity="{shade:g}"/>'
                )
            if tests[at] in against:
                body.append(
                    f'<rect x="{x + 2:.1f}" y="{y + 2:g}" width="{wide - 4:.1f}" height="{high - 4:g}" fill="none" '
                    f'stroke="{colours["looks"]["selected"]["colour"]}" stroke-width="2"/>'
                )
            body += _words(x + PAD, y + PAD, cell, colours["soft" if against else "ink"])
            x += wide
        colour = colours["soft" if against else "ink"]
        body += _words(SIDE + PAD, y + PAD, name, colour, bold=not against, struck=bool(against))
        y += high
    said = " ".join(_say(together, tests, words) for together, words in rows)
    if seen:
        said += " Seen: " + "; ".join(f"{test}: {word}" for test, word in seen.items()) + "."
        said += f" Ruled out: {', '.join(out)}." if out else " Nothing is ruled out."
    return Picture(
        title=title, width=width, height=height, labels=tuple(sorted([*faults, *tests])),
        svg=frame(body, width, height, ground, title=title, description=said),
    )


def _groups(faults: Sequence[str], outcomes: Sequence[Sequence[str]]) -> list[tuple[list[str], tuple[str, ...]]]:
    """Faults with the same words in every test together, in the order of the first of each."""
    groups: dict[tuple[str, ...], list[str]] = {}
    for fault, words in zip(faults, outcomes, strict=True):
        groups.setdefault(tuple(words), []).append(fault)
    return [(together, words) for words, together in groups.items()]


def _name(together: Sequence[str]) -> list[str]:
    """The lines that name a row; faults told in words with commas of their own start a line each, behind a dot."""
    if len(together) > 1 and any("," in fault for fault in together):
        return [line for fault in together for line in _wrap(f"· {fault}", NAME_WRAP)]
    return _wrap(", ".join(together), NAME_WRAP)


def _shade(word: str, column: Sequence[str]) -> float:
    """The commonest outcome of a column on plain paper, the others darker the rarer they are."""
    ordered = sorted(dict.fromkeys(column), key=lambda known: (-column.count(known), known))
    return SHADES[min(ordered.index(word), len(SHADES) - 1)]


def _say(together: Sequence[str], tests: Sequence[str], words: Sequence[str]) -> str:
    return f"{', '.join(together)}: {'; '.join(f'{test} {word}' for test, word in zip(tests, words, strict=True))}."


def _wrap(text: str, width: int) -> tuple[str, ...]:
    return tuple(textwrap.wrap(text, width)) or ("",)


def _wide(lines: Sequence[str], *, bold: bool = False) -> float:
    return max(text_width(line, SIZE, bold=bold) for line in lines)


def _rule(x0: float, y0: float, x1: float, y1: float, colours: dict) -> str:
    return (
        f'<path d="M {x0:.1f},{y0:g} L {x1:.1f},{y1:g}" fill="none" stroke="{colours["soft"]}" stroke-opacity="0.5"/>'
    )


def _words(
    x: float, y: float, lines: Sequence[str], colour: str, *, bold: bool = False, struck: bool = False
) -> Iterator[str]:
    """Lines of text from a top edge down."""
    style = (' font-weight="700"' if bold else "") + (' text-decoration="line-through"' if struck else "")
    for number, line in enumerate(lines):
        yield (
            f'<text x="{x:.1f}" y="{y + LINE * number + 12:g}" font-size="{SIZE}" fill="{colour}"{style} '
            f'data-label="{escape(line)}">{escape(line)}</text>'
        )
