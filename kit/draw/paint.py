"""Painting: a sheet and what may be shown, as SVG text. No schemdraw here, so it is cheap enough to do on every click.

For a browser that repaints by itself, the text carries data attributes: ``data-part`` on each part's group;
``data-when`` on the variants of a part with states (``open``/``closed``; ``sound``/``blown``/``out``); ``data-node`` on
conductors (and ``data-extra``: px to add to the state's width); ``data-point`` on test points; ``data-letter`` on their
letters.
"""

from collections.abc import Iterable, Iterator
from html import escape

from kit.draw.labels import LINE, SIZES, Label, Words
from kit.draw.palette import PALETTE, STATES
from kit.draw.sheet import Ink, Sheet
from kit.draw.shown import Shown
from kit.draw.symbols import Paint

# DejaVu Sans and Verdana are the widest of the common fonts: what fits with them fits with the others.
FONTS = "DejaVu Sans, Verdana, Segoe UI, Helvetica, Arial, sans-serif"
# The legend: what an entry takes, margin at the left, rows and the room around them, all in px.
LEGEND_STEP, LEGEND_LEFT, LEGEND_ROW, LEGEND_ROOM = 160.0, 20, 22, 14


def paint(sheet: Sheet, shown: Shown, ground: str, words: Words, *, title: str, description: str) -> str:
    """The SVG text of a sheet, all colours inlined."""
    colours = PALETTE[ground]
    body: list[str] = []
    parts = {name for name, *_ in sheet.parts}
    inks: dict[str, list[Ink]] = {}
    for ink in sheet.inks:
        if ink.paint is not Paint.POINT:
            inks.setdefault(ink.of, []).append(ink)
    labels: dict[str, list[Label]] = {}
    for label in sheet.labels:
        if label.said(words):
            labels.setdefault(label.of if label.of in parts else "", []).append(label)
    for owner, mine in inks.items():
        body.append(f'<g data-part="{escape(owner)}">' if owner in parts else "<g>")
        body += _variants(mine, shown, colours)
        body += (_text(label, words, colours) for label in labels.get(owner, ()))
        body.append("</g>")
    body += (_text(label, words, colours) for label in labels.get("", ()))
    for ink in sheet.inks:
        if ink.paint is Paint.POINT:
            body.append(_shape(ink, shown, colours))
    for terminal, x, y in sheet.points:
        body.append(_letter(terminal, x, y, shown.nodes.get(terminal, "plain"), colours))
    if shown.nodes:
        body += _legend(sheet.height, sheet.width, colours)
    return frame(body, sheet.width, painted_height(sheet, shown), ground, title=title, description=description)


def painted_height(sheet: Sheet, shown: Shown) -> float:
    """The height in px: the sheet's, and room for the legend where states are told."""
    if not shown.nodes:
        return sheet.height
    return sheet.height + LEGEND_ROOM + LEGEND_ROW * -(-len(STATES) // _abreast(sheet.width))


def _abreast(width: float) -> int:
    """How many entries of the legend stand side by side: all, two, or one on a narrow sheet."""
    fit = int((width - LEGEND_LEFT) // LEGEND_STEP)
    return len(STATES) if fit >= len(STATES) else 2 if fit >= 2 else 1


def frame(body: Iterable[str], width: float, height: float, ground: str, *, title: str, description: str) -> str:
    """The SVG element around a body: size, text alternative, and paper of its own under any page."""
    return "\n".join((
        f'<svg xmlns="http://www.w3.org/2000/svg" role="img" width="{width:g}" height="{height:g}" '
        f'viewBox="0 0 {width:g} {height:g}" font-family="{FONTS}" style="max-width:100%;height:auto">',
        f"<title>{escape(title)}</title>", f"<desc>{escape(description)}</desc>",
        f'<rect width="{width:g}" height="{height:g}" rx="6" fill="{PALETTE[ground]["paper"]}"/>',
        *body, "</svg>",
    ))


def variant(part: str, shown: Shown, *, is_fuse: bool) -> str:
    """Which variant of a part is seen."""
    if is_fuse:
        return "out" if part in shown.out else "blown" if part in shown.blown else "sound"
    return "closed" if part in shown.closed else "open"


def _variants(inks: list[Ink], shown: Shown, colours: dict) -> Iterator[str]:
    whens = list(dict.fromkeys(ink.when for ink in inks))
    for when in whens:
        shapes = [_shape(ink, shown, colours) for ink in inks if ink.when == when]
        if not when:
            yield from shapes
            continue
        seen = variant(inks[0].of, shown, is_fuse="sound" in whens) == when
        yield f'<g data-when="{when}">' if seen else f'<g data-when="{when}" display="none">'
        yield from shapes
        yield "</g>"


def _shape(ink: Ink, shown: Shown, colours: dict) -> str:
    look = colours["looks"][shown.nodes.get(ink.node, "plain")]
    match ink.paint:
        case Paint.CONDUCTOR:
            style = (
                f'data-node="{escape(ink.node)}" fill="none" stroke="{look["colour"]}" '
                f'stroke-width="{look["width"] + ink.extra}" stroke-linejoin="round"'
            )
            if ink.offset:
                style += f' stroke-dashoffset="{ink.offset:g}"'
            if ink.extra:
                style += f' data-extra="{ink.extra}"'
            if look["dash"]:
                style += f' stroke-dasharray="{look["dash"]}"'
        case Paint.POINT:
            style = (
                f'data-point="{escape(ink.node)}" fill="{colours["paper"]}" stroke="{look["colour"]}" '
                f'stroke-width="2"'
            )
        case Paint.SOLID:
            style = f'fill="{colours["ink"]}"'
        case Paint.LINK:
            style = f'fill="none" stroke="{colours["soft"]}" stroke-width="1.5" stroke-dasharray="4 3"'
        case Paint.HATCH:
            style = f'fill="none" stroke="{colours["soft"]}" stroke-width="1"'
        case _:
            style = (
                f'fill="none" stroke="{colours["ink"]}" stroke-width="2" '
                f'stroke-linecap="round" stroke-linejoin="round"'
            )
    return f"<{ink.tag} {ink.geometry} {style}/>"


def _text(label: Label, words: Words, colours: dict) -> str:
    colour = colours["ink" if label.role in ("id", "wire", "title") else "soft"]
    weight = ' font-weight="700"' if label.role == "id" else ' font-style="italic"' if label.role == "tag" else ""
    start = (
        f'<text x="{label.x:g}" y="{label.y:g}" font-size="{SIZES[label.role]}" text-anchor="{label.anchor}" '
        f'fill="{colour}"{weight} data-label="{escape(label.said(words))}">'
    )
    if len(label.lines) == 1:
        said = escape(label.said(words))
        if label.role == "wire":
            name, space, rest = said.partition(" ")
            said = f'<tspan font-weight="700">{name}</tspan>{space}{rest}'
        return f"{start}{said}</text>"
    spans = (
        f'<tspan x="{label.x:g}" dy="{LINE if number else 0}">{escape(line)}</tspan>'
        for number, line in enumerate(label.lines)
    )
    return f"{start}{''.join(spans)}</text>"


def _letter(terminal: str, x: float, y: float, state: str, colours: dict) -> str:
    look = colours["looks"][state]
    return (
        f'<text data-letter="{escape(terminal)}" x="{x:g}" y="{y + 5:g}" font-size="13" font-weight="700" '
        f'text-anchor="middle" fill="{look["colour"]}">{look["letter"]}</text>'
    )


def _legend(top: float, width: float, colours: dict) -> Iterator[str]:
    """What colours, dashes and letters mean, under a picture that tells all."""
    abreast = _abreast(width)
    yield '<g data-legend="states">'
    for number, state in enumerate(STATES):
        look = colours["looks"][state]
        x, y = LEGEND_LEFT + LEGEND_STEP * (number % abreast), top + LEGEND_ROW * (number // abreast) + LEGEND_ROOM
        dash = f' stroke-dasharray="{look["dash"]}"' if look["dash"] else ""
        yield (
            f'<path d="M {x:g},{y:g} L {x + 44:g},{y:g}" stroke="{look["colour"]}" '
            f'stroke-width="{look["width"]}"{dash}/>'
        )
        yield (
            f'<text x="{x + 52:g}" y="{y + 5:g}" font-size="13" font-weight="700" fill="{look["colour"]}">'
            f'{look["letter"]}</text>'
        )
        yield f'<text x="{x + 68:g}" y="{y + 5:g}" font-size="13" fill="{colours["ink"]}">{state}</text>'
    yield "</g>"
