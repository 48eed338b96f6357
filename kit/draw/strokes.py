"""From places to strokes and labels, for a sheet that is worked out."""

from dataclasses import dataclass, field
from itertools import pairwise

from kit.circuit import Battery, FuelSolenoid, Metal, Part, Terminal, Wire
from kit.draw.arrange import Arrangement
from kit.draw.emblems import HALF, draw_emblem
from kit.draw.labels import LINE, RING, Body, Label, label_wire
from kit.draw.layout import BAR_HALF, HEAVY_EXTRA, RING_RADIUS, TURNS, Item, is_heavy
from kit.draw.links import UNDER, Link
from kit.draw.measure import METAL_OVER, Drawn, wrap
from kit.draw.net import Kind, box_of, changes_over
from kit.draw.pieces import ARM_LIFT, COIL_HALF, COILS
from kit.draw.places import UNIT, Spot
from kit.draw.symbols import Paint, draw_letter_m, is_motor
from kit.draw.symbols import make_circle as circle
from kit.draw.symbols import make_path as path
from kit.draw.symbols import make_polygon as polygon
from kit.draw.throw import COMMON, SPREAD, arm_offsets, draw_throw
from kit.draw.tracks import (
    BOX_AIR,
    BOX_HIGH,
    BOX_OVER,
    Tracks,
    box_wide,
    box_words,
    drawn_at,
    emblem_room,
    is_metal,
    name_of,
    set_tracks,
    symbol_start,
    throw_pins,
    throw_words,
)

DOT, JOINT_DOT, STUB = 0.16, 0.22, 1.3
METAL_GAP = 0.5
# How far a contact's arm stands off its line where the link meets it, in each variant.
LIFTS = (("open", ARM_LIFT), ("closed", 0.0))


@dataclass(kw_only=True)
class Board:
    """Strokes and labels as they come to be; ``heavy`` are the terminals where thick cable is bolted on."""

    tracks: Tracks
    heavy: frozenset[str]
    items: list[Item] = field(default_factory=list)
    labels: list[Label] = field(default_factory=list)


def ink_tracks(plan: Arrangement, push_buttons: frozenset[str]) -> Board:
    """Everything a worked-out sheet carries; no circuit makes it raise."""
    tracks = set_tracks(plan, push_buttons)
    heavy = frozenset(str(end) for part in plan.circuit.parts if is_heavy(part) for end in (part.start, part.end))
    board = Board(tracks=tracks, heavy=heavy)
    for net in sorted(tracks.rows.bars, key=plan.rank.__getitem__):
        if not net.name:
            _put_box(board, net)
        elif net not in plan.arrows:
            _put_bar(board, net)
    for number in range(len(plan.chains)):
        _put_chain(board, number)
    for link in tracks.links:
        _put_link(board, link)
    for terminal in tracks.levels:
        if terminal.name and terminal not in plan.arrows:
            _put_ring(board, terminal)
    return board


def _put_bar(board: Board, net: Terminal) -> None:
    """A net's bar over its columns: a thin line with dots, or a body of metal."""
    low, high = board.tracks.rows.reach[net]
    part, y = board.tracks.plan.circuit[net.part], board.tracks.y(board.tracks.rows.bars[net])
    if isinstance(part, Metal):
        _put_metal(board, part, net, y)
        return
    ways: dict[int, set[str]] = {}
    thick: set[int] = set()
    for run, drawn in zip(board.tracks.runs, board.tracks.dressed, strict=True):
        for end, near, way in ((run.top, drawn[0], "down"), (run.bottom, drawn[-1], "up")):
            if end == net:
                ways.setdefault(run.column, set()).add(way)
                if _carries(board, near, net):
                    thick.add(run.column)
    for left, right in pairwise(sorted(ways)):
        heavy = any(column <= left for column in thick) and any(column >= right for column in thick)
        stroke = path([(board.tracks.x(left), -y), (board.tracks.x(right), -y)], Paint.CONDUCTOR, node=str(net))
        board.items.append(Item(of=str(net), stroke=stroke, extra=HEAVY_EXTRA if heavy else 0))
    for column, here in sorted(ways.items()):
        lines = len(here) + (column > low) + (column < high)
        if lines > 2 and column != board.tracks.rings[net]:
            board.items.append(Item(of=str(net), stroke=circle((board.tracks.x(column), -y), DOT, Paint.SOLID)))


def _carries(board: Board, near: Drawn, net: Terminal) -> bool:
    """Whether what is drawn at a net carries the big current there: a thick cable, a battery, a part bolted to one."""
    if near.element.kind is Kind.ARROW:
        return False
    part = board.tracks.plan.circuit[near.element.part]
    ends = {str(near.element.start), str(near.element.end)}
    bolted = near.element.kind is Kind.SYMBOL and near.element.piece not in COILS and ends <= board.heavy
    return is_heavy(part) or isinstance(part, Battery) or bolted


def _put_metal(board: Board, part: Metal, net: Terminal, y: float) -> None:
    """A body of metal: a hatched bar, open where a line that is not joined to it passes in front."""
    low, high = board.tracks.rows.reach[net]
    rank = board.tracks.plan.rank
    start, end = board.tracks.x(low) - METAL_OVER, board.tracks.x(high) + METAL_OVER
    passing = sorted({
        board.tracks.x(run.column) for run in board.tracks.runs
        if low < run.column < high and rank[run.top] < rank[net] < rank[run.bottom]
    })
    edges = [start, *(x + side * METAL_GAP for x in passing for side in (-1, 1)), end]
    for left, right in zip(edges[::2], edges[1::2], strict=True):
        corners = [(left, -y - BAR_HALF), (right, -y - BAR_HALF), (right, -y + BAR_HALF), (left, -y + BAR_HALF)]
        board.items.append(Item(of=part.id, stroke=polygon(corners, Paint.CONDUCTOR, node=str(net))))
        for step in range(1, int(right - left) + 1):
            if left + step + 0.25 < right:
                hatch = path([(left + step - 0.25, -y - BAR_HALF), (left + step + 0.25, -y + BAR_HALF)], Paint.HATCH)
                board.items.append(Item(of=part.id, stroke=hatch))
    body = Body((end, y), across=-2, down=UNIT * BAR_HALF)
    _name_part(board, part, wrap(part.title), body)


def _put_throw(board: Board, net: Terminal) -> None:
    """A change-over contact and its name, under where a link may pass."""
    tracks = board.tracks
    part, top, pins = tracks.plan.circuit[net.part], tracks.y(tracks.rows.bars[net]), throw_pins(tracks, net)
    for stroke in draw_throw(part.id, pins, top, BOX_HIGH):
        extra = HEAVY_EXTRA if stroke.node in board.heavy else 0
        board.items.append(Item(of=part.id, stroke=stroke, extra=extra, piece="contact"))
    if not any(link.contact == str(net) for link in tracks.links):
        x, y = pins[COMMON][0], top + BOX_HIGH / 2
        for when, off in arm_offsets(pins).items():
            dash = path([(x + off, -y), (x - 1.2, -y)], Paint.LINK, when=when)
            board.items.append(Item(of=part.id, stroke=dash, aside=True))
    x = max(tracks.x(tracks.rows.reach[net][1]), pins[COMMON][0] + SPREAD) * UNIT + 14
    y = (top + BOX_HIGH / 2) * UNIT + LINE + 2
    board.labels.append(Label(role="id", of=part.id, lines=(part.id,), x=x, y=y))
    board.labels.append(Label(role="title", of=part.id, lines=throw_words(part), x=x, y=y + LINE))


def _put_box(board: Board, net: Terminal) -> None:
    low, high = board.tracks.rows.reach[net]
    part, top = board.tracks.plan.circuit[net.part], board.tracks.y(board.tracks.rows.bars[net])
    if changes_over(part):
        _put_throw(board, net)
        return
    words, start = box_words(part), board.tracks.x(low) - BOX_OVER
    end = max(board.tracks.x(high) + BOX_OVER, start + box_wide(part) / UNIT)
    corners = [(start, -top), (end, -top), (end, -top - BOX_HIGH), (start, -top - BOX_HIGH)]
    board.items.append(Item(of=part.id, stroke=polygon(corners)))
    room = emblem_room(part)
    x, y = (start + end) / 2 * UNIT + room / 2, (top + BOX_HIGH / 2) * UNIT
    emblem = (x - (box_wide(part) - BOX_AIR) / 2 + room / 2) / UNIT - room / UNIT + HALF
    for stroke in draw_emblem(part):
        board.items.append(Item(of=part.id, stroke=stroke, at=(emblem, -top - BOX_HIGH / 2), turn=0))
    board.labels.append(Label(role="id", of=part.id, lines=words[:1], x=x, y=y - 3, anchor="middle"))
    board.labels.append(Label(role="title", of=part.id, lines=words[1:], x=x, y=y + 14, anchor="middle"))


def _put_chain(board: Board, number: int) -> None:
    tracks = board.tracks
    chain, run, starts = tracks.plan.chains[number], tracks.runs[number], tracks.rows.starts[number]
    middles = {block.key: tracks.y(starts[block.key] + block.size / 2) for block in run.blocks}
    x = tracks.x(run.column)
    for place, drawn in enumerate(tracks.dressed[number]):
        top, bottom = (_edge(board, chain.terminals[place + n], lower=not n) for n in (0, 1))
        match drawn.element.kind:
            case Kind.SYMBOL:
                start = tracks.y(symbol_start(chain, place, starts))
                _put_symbol(board, drawn, x, start, chain.terminals[place], chain.terminals[place + 1], top, bottom)
            case Kind.RUN:
                _put_run(board, drawn, x, top, bottom, middles[drawn.element.id])
            case Kind.PIN:
                board.items.append(_line(board, drawn.element.part, x, top, bottom, drawn.element.start))
            case Kind.ARROW:
                _put_arrow(board, drawn, x, top, bottom, middles[drawn.element.id])


def _edge(board: Board, terminal: Terminal, *, lower: bool) -> float:
    """Where an element ends at a terminal: a box and a body of metal have two edges."""
    y = board.tracks.y(board.tracks.levels[terminal])
    if not terminal.name:
        return y + BOX_HIGH if lower else y
    if is_metal(board.tracks.plan, terminal):
        return y + BAR_HALF if lower else y - BAR_HALF
    return y


def _line(board: Board, of: str, x: float, top: float, bottom: float, node: Terminal, *, thin: bool = False) -> Item:
    extra = HEAVY_EXTRA if str(node) in board.heavy and not thin else 0
    return Item(of=of, stroke=path([(x, -top), (x, -bottom)], Paint.CONDUCTOR, node=str(node)), extra=extra, aside=True)


def _put_symbol(
    board: Board, drawn: Drawn, x: float, start: float, first: Terminal, last: Terminal, top: float, bottom: float
) -> None:
    part, symbol = board.tracks.plan.circuit[drawn.element.part], drawn.symbol
    end = start + symbol.length
    linked = any(drawn.element.id in (link.coil, link.contact) for link in board.tracks.links)
    from_right = any(_link_on_right(link, drawn.element.id) for link in board.tracks.links)
    at, (_, _, turn) = ((x, -end), TURNS["up"]) if drawn.up else ((x, -start), TURNS["down"])
    # Half a symbol thick and half thin would look like a fault; and no coil carries the big current.
    thin = drawn.element.piece in COILS or not {str(first), str(last)} <= board.heavy
    for stroke in symbol.strokes:
        extra = HEAVY_EXTRA if stroke.node in board.heavy and not thin else 0
        board.items.append(Item(of=part.id, stroke=stroke, at=at, turn=turn, extra=extra, piece=drawn.element.piece))
    if is_motor(part):
        board.items.append(Item(of=part.id, stroke=draw_letter_m(x, -(start + end) / 2)))
    if top < start:
        board.items.append(_line(board, part.id, x, top, start, first, thin=thin))
    if end < bottom:
        board.items.append(_line(board, part.id, x, end, bottom, last, thin=thin))
    if drawn.element.piece == "contact" and not linked:
        mid = (start + end) / 2 + (UNDER if drawn.up else -UNDER)
        for when, lift in LIFTS:
            dash = path([(x - lift, -mid), (x - STUB, -mid)], Paint.LINK, when=when)
            board.items.append(Item(of=part.id, stroke=dash))
    body = Body((x, (start + end) / 2), across=UNIT * symbol.reach, down=UNIT * symbol.length / 2)
    # The link passes over the name: 16 px a line, half of which centring took away.
    shift = (0.0, 0.45 + 0.1 * len(drawn.title)) if from_right else (0.0, 0.0)
    _name_part(board, part, drawn.title, body, shift)


def _name_part(board: Board, part: Part, title: tuple[str, ...], body: Body, shift: Spot = (0.0, 0.0)) -> None:
    """The id in bold and its title right of a body, the lines as they were wrapped."""
    x, y = (body.middle[0] + shift[0]) * UNIT + body.across + 12, (body.middle[1] + shift[1]) * UNIT
    y += 5 - LINE * len(title) / 2
    board.labels.append(Label(role="id", of=part.id, lines=(part.id,), x=x, y=y))
    board.labels.append(Label(role="title", of=part.id, lines=title, x=x, y=y + LINE))


def _link_on_right(link: Link, element: str) -> bool:
    to_right = link.contact_column > link.coil_column
    return element == (link.coil if to_right else link.contact)


def _put_run(board: Board, drawn: Drawn, x: float, top: float, bottom: float, middle: float) -> None:
    """A wire or joint: two halves, each taking the state of the terminal at its end."""
    part = board.tracks.plan.circuit[drawn.element.part]
    half, extra = (top + bottom) / 2, HEAVY_EXTRA if is_heavy(part) else 0
    first, last = (bottom, top) if drawn.up else (top, bottom)
    # The second half's dashes go on where the first half's end, so that one state looks like one line.
    for start, end, node, offset in ((first, half, part.start, 0.0), (half, last, part.end, (bottom - top) / 2 * UNIT)):
        stroke = path([(x, -start), (x, -end)], Paint.CONDUCTOR, node=str(node))
        board.items.append(Item(of=part.id, stroke=stroke, extra=extra, offset=offset))
    if isinstance(part, Wire):
        board.labels.append(label_wire(part, Body((x, middle), across=4, down=10), "right", (0.0, 0.0)))
        return
    board.items.append(Item(of=part.id, stroke=circle((x, -middle), JOINT_DOT, Paint.SOLID)))
    _name_part(board, part, drawn.title, Body((x, middle), across=4, down=10))


def _put_arrow(board: Board, drawn: Drawn, x: float, top: float, bottom: float, middle: float) -> None:
    arrow = board.tracks.plan.arrows[drawn.element.end]
    if not arrow.stages:
        return
    ring, loose = (bottom, top) if drawn.up else (top, bottom)
    way = 1 if loose > ring else -1
    tip = ring + way * (RING_RADIUS + 0.1) if arrow.inward else loose
    back = tip + way * 0.55 if arrow.inward else tip - way * 0.55
    # The line stops inside the head, so that it never shows beyond the tip.
    line = path(
        [(x, -(loose if arrow.inward else ring)), (x, -(tip + back) / 2)], Paint.CONDUCTOR, node=str(arrow.terminal)
    )
    head = polygon([(x, -tip), (x - 0.26, -back), (x + 0.26, -back)], Paint.SOLID)
    board.items += [Item(of=str(arrow.terminal), stroke=line), Item(of=str(arrow.terminal), stroke=head)]
    y = middle * UNIT + 4 - 8 * (len(drawn.title) - 1)
    board.labels.append(Label(role="tag", of=str(arrow.terminal), lines=drawn.title, x=x * UNIT + 12, y=y))


def _put_link(board: Board, link: Link) -> None:
    """The dashed line from a coil to the contact it moves."""
    y = board.tracks.y(link.level)
    coil, contact = board.tracks.x(link.coil_column), board.tracks.x(link.contact_column)
    side = 1 if contact > coil else -1
    part, _, piece = link.contact.partition(".")
    ends = [(when, contact - lift) for when, lift in LIFTS]
    if isinstance(board.tracks.plan.circuit[part], FuelSolenoid):
        ends = [("open", contact), ("closed", contact - ARM_LIFT)]
    elif piece in COILS:
        ends = [("", contact - side * COIL_HALF)]
    elif not piece:
        pins = throw_pins(board.tracks, box_of(part))
        ends = [(when, pins[COMMON][0] + off) for when, off in arm_offsets(pins).items()]
    for when, end in ends:
        dash = path([(coil + side * COIL_HALF, -y), (end, -y)], Paint.LINK, when=when)
        board.items.append(Item(of=part, stroke=dash, aside=True))


def _put_ring(board: Board, terminal: Terminal) -> None:
    """The ring a lead goes on, and its name to the left of its column."""
    plan = board.tracks.plan
    y = board.tracks.y(board.tracks.levels[terminal])
    if terminal in board.tracks.rings:
        column, near = board.tracks.rings[terminal], drawn_at(board.tracks, terminal)
        own_above = any(
            drawn.element.part == terminal.part and run.bottom == terminal
            for run, dressed in zip(board.tracks.runs, board.tracks.dressed, strict=True) if run.column == column
            for drawn in (dressed[-1],) if drawn.element.kind is Kind.SYMBOL
        )
        x, side = board.tracks.x(column), "below" if own_above else "above"
        if board.tracks.rows.reach[terminal][0] == column:
            side = "left"
        if isinstance(plan.circuit[terminal.part], Metal):
            x, side = x - METAL_OVER, "metal"
    else:
        number, place = next(
            (number, chain.terminals.index(terminal)) for number, chain in enumerate(plan.chains)
            if terminal in chain.terminals
        )
        near = board.tracks.dressed[number][place - 1:place + 1]
        x, side = board.tracks.x(board.tracks.runs[number].column), "left"
    px, py = x * UNIT, y * UNIT
    spot = {
        "left": (px - RING - 5, py + 4), "above": (px - 8, py - 14), "below": (px - 8, py + 20),
        "metal": (px + RING, py + 24),
    }[side]
    text = name_of(board.tracks, terminal, near)
    board.labels.append(
        Label(role="terminal", of=str(terminal), lines=(text,), x=spot[0], y=spot[1], anchor="end")
    )
    ring = circle((x, -y), RING_RADIUS, Paint.POINT, node=str(terminal))
    board.items.append(Item(of=str(terminal), stroke=ring))
