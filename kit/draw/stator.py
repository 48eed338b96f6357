"""A stator of three windings, joined in the middle, and the three pairs of wires that are compared at its plug."""

from html import escape

from kit.draw.paint import frame
from kit.draw.palette import PALETTE, check_ground
from kit.draw.picture import Picture

# So narrow that a phone shows all of it (``kit.draw.picture.SMALLEST``).
WIDE, HIGH, TOP, ROW = 370, 244, 58, 58  # px; the middle of the first winding, and from one to the next
STAR, COIL, PLUG = 40, 64, 190  # px from the left: where the windings are joined, where they begin, their wires' ends
TURNS, TURN = 6, 14  # of a winding: how many half-rings, and how wide each
BOX, BOX_WIDE = 18, 146
PAIRS = (("1", "2", 0, 1, 236), ("2", "3", 1, 2, 236), ("3", "1", 2, 0, 300))


def three_wires(ground: str = "light") -> Picture:
    """The stator with its plug off: windings, wires 1 to 3, and where the meter goes. It holds no reading.

    Three windings in a star are how magnet stators with three wires are mostly made (common practice).
    """
    check_ground(ground)
    ink, soft = PALETTE[ground]["ink"], PALETTE[ground]["soft"]

    def line(*points: tuple[float, float], dash: str = "", colour: str = ink, width: float = 2) -> str:
        path = " ".join(f"{x:g},{y:g}" for x, y in points)
        dashed = f' stroke-dasharray="{dash}"' if dash else ""
        return f'<polyline points="{path}" fill="none" stroke="{colour}" stroke-width="{width:g}"{dashed}/>'

    def text(x: float, y: float, words: str, *, anchor: str = "start", weight: int = 400, colour: str = ink) -> str:
        return (f'<text x="{x:g}" y="{y:g}" font-size="13" text-anchor="{anchor}" font-weight="{weight}" '
                f'fill="{colour}">{escape(words)}</text>')

    rows, iron = [TOP + ROW * place for place in range(3)], BOX + BOX_WIDE / 2
    body = [
        f'<rect x="{BOX}" y="{TOP - 30}" width="{BOX_WIDE}" height="{2 * ROW + 60}" rx="8" fill="none" '
        f'stroke="{soft}" stroke-dasharray="6 4"/>',
        text(BOX + BOX_WIDE / 2, TOP - 38, "stator", anchor="middle", colour=soft),
        line((STAR, rows[0]), (STAR, rows[2])),
        f'<circle cx="{STAR}" cy="{rows[1]}" r="3.5" fill="{ink}"/>',
        # The iron is the machine's metal, and so ground.
        line((iron, rows[2] + 30), (iron, rows[2] + 44)),
        *(line((iron - half, rows[2] + 44 + 5 * place), (iron + half, rows[2] + 44 + 5 * place))
          for place, half in enumerate((12, 8, 4))),
        text(iron + 20, rows[2] + 52, "its iron: ground", colour=soft),
    ]
    for name, y in zip("123", rows, strict=True):
        rings = " ".join(f"a {TURN / 2:g} {TURN / 2:g} 0 0 1 {TURN:g} 0" for _ in range(TURNS))
        body += [
            f'<path d="M {STAR:g},{y:g} L {COIL:g},{y:g} {rings} L {PLUG:g},{y:g}" fill="none" stroke="{ink}" '
            'stroke-width="2"/>',
            f'<circle cx="{PLUG + 6}" cy="{y}" r="6" fill="none" stroke="{ink}" stroke-width="2"/>',
            text(PLUG + 6, y - 12, name, anchor="middle", weight=700),
        ]
    body.append(text(PLUG + 6, TOP - 38, "plug, off", anchor="middle", colour=soft))
    body.append(text(PAIRS[0][-1] + 8, TOP - 38, "meter, AC volts", colour=soft))
    for one, other, first, last, x in PAIRS:
        top, bottom = sorted((rows[first], rows[last]))
        body += [
            line((PLUG + 18, top + 5), (x, top + 5), (x, bottom - 5), (PLUG + 18, bottom - 5), dash="3 4", colour=soft,
                 width=1.5),
            text(x + 8, (top + bottom) / 2 + 4, f"{one} to {other}"),
        ]
    return Picture(
        title="A stator with three wires", width=WIDE, height=HIGH, labels=("1", "2", "3"),
        svg=frame(
            body, WIDE, HIGH, ground, title="A stator with three wires",
            description="Three windings are joined at one end. Their other ends are the wires 1, 2 and 3 at a plug "
            "that is off. The meter goes from 1 to 2, from 2 to 3 and from 3 to 1 on AC volts, and from each wire to "
            "the iron, which is ground, on ohms.",
        ),
    )
