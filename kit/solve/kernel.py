"""The solving kernel: plain loops over flat sequences, with nothing but ``math``.

The very same functions run on Python lists for one case and, compiled by numba in ``kit.solve.sweep``, on arrays for
many. So they take every array they touch, make none, and are never decorated here. The sums are those of
``kit.solve.elimination``.
"""

import math

from kit.solve.elimination import _backward, _forward, _straight
from kit.solve.movers import (
    BESIDE_CALM,
    BESIDE_MOVED,
    _beside,
    _blown_first,
    _calm,
    _came_round,
    _heat,
    _hottest,
    _keep_amps,
    _left_behind,
    _pattern,
    _pushed,
    _swing,
    _twin,
    throw,
)

# Kinds of branch; current runs from node a to node b, u = volts(a) − volts(b).
LINEAR = 0  # amps = p0·u + p1                                      (conductance, source)
DIODE = 1   # amps = p0·(exp(u/p1) − 1) + LEAK·u                    (saturation amps, emission · thermal volts)
LAMP = 2    # amps = u / (p0·((u/p1)² + p2)^0.225)                  (hot ohms, rated volts, how cold it starts)
MOTOR = 3   # amps = u/p0 up to p1, then rising by p2 a volt of EMF (ohms, load amps, drag)
CHARGED = 4  # amps = p0·u + p1 while that is out of it (plus at b), p2·(u + p1/p0) while it is into it (a battery)
LIMITED = 5  # MOTOR's law for a source that can give no more than p1 amps (ohms, amps, siemens beyond)

LEAK = 1e-11  # siemens a blocking diode leaks: keeps its far side defined, too small for any meter to show
COLD = 13 ** (-2 / 0.45)  # p2 of a filament lamp: makes the cold filament a thirteenth of the hot one

HOTTEST = 80.0  # a diode's exponent beyond which no guess of its volts may lead
FORWARD = 1.0  # volts a diode may need before it passes what a lamp or a meter could show

SETTLED, CHATTERS, NO_END = 0, 1, 2  # how a case ended
LATCHED = 3  # settled, and it would rest in another state too
NEWTON_LIMIT = 200
# Volts no device moves by more than between the last two passes. Newton squares its error, so what is left of a diode's
# after the last one is below 1e-12 V.
STILL = 1e-7
DECIDED = 1e-4  # the same where only a relay's next move is asked for


def solve(n, row, col, fill, a, b, slot, kind, p0, p1, p2, shut, u, amps, g, j, w, h, x, live, base,
          coil, second, contact, rest, pull, drop, pace, flips, seen, fuse, melt):
    """Settle one case; returns SETTLED, CHATTERS or NO_END.

    ``n`` nodes, the last the reference; ``row``/``col``/``fill`` from ``kit.solve.ordering``; branches ``a``, ``b``,
    ``slot`` (edge of the pair; −1 where both ends are one node), ``kind``, ``p0`` … ``p2``. ``shut`` (1 conducts) and
    ``u`` (volts across nonlinear branches) are read as the starting state and left as the final one; ``amps``, ``x``
    are results; ``g``, ``j`` (siemens and amps of each branch as last linearised), ``w``, ``h``, ``live``, ``base``
    (two rows as long as ``w``) and ``seen`` are work space. ``coil``/``contact`` name branches of each relay,
    ``pull``/``drop`` its amps; ``second`` a further coil on the same iron, whose amps add, and ``rest`` a contact that
    is shut at rest (−1: none). ``flips`` counts its changes since the state that came round again (all zero unless it
    chatters; −1: it is in when the others are away), and has room for as many numbers again. ``fuse`` names branches,
    ``melt`` amps. ``pace``: three numbers a relay (``kit.solve.movers``), and after them room for a number a fuse.
    """
    fuses = len(fuse)
    visited, last = 0, -1
    for r in range(len(coil)):
        flips[len(flips) // 2 + r] = 0
    while True:
        # Relays move one at a time, the one pushed hardest past its threshold first: that is the one that moves first.
        pattern = _pattern(shut, contact)
        if _came_round(pattern, visited, seen, flips):
            # What the two halves of the swing do to the other relays, and heat the fuses between them.
            visited, half, last = 0, 0, -1
            _left_behind(shut, second, contact, rest, pace, flips)
            while half < 2:
                _swing(shut, contact, rest, flips, 1 - half)
                if _newton(n, row, col, fill, a, b, slot, kind, p0, p1, p2, shut, u, amps, g, j, w, h, x, live,
                           base) != 0:
                    return NO_END
                moved = _beside(half, shut, amps, coil, second, contact, rest, pull, drop, pace, flips)
                if moved == BESIDE_MOVED:
                    break
                _heat(half, amps, flips, fuse, melt, pace)
                half = half + 1 if moved == BESIDE_CALM else 0
            if half < 2:
                continue
            hottest = _hottest(shut, flips, fuse, pace)
            if hottest < 0:
                return CHATTERS
            shut[fuse[hottest]] = 0
            _calm(flips)
            continue
        if _newton(n, row, col, fill, a, b, slot, kind, p0, p1, p2, shut, u, amps, g, j, w, h, x, live, base) != 0:
            return NO_END
        if _blown_first(last, shut, amps, contact, rest, flips, fuse, melt, pace):
            visited, last = 0, -1
            continue
        worst = _pushed(shut, amps, coil, second, contact, pull, drop)
        if worst >= 0:
            if 2 * visited + 1 >= len(seen):
                return NO_END
            last = worst
            while worst >= 0 and 2 * visited + 1 < len(seen):
                seen[2 * visited] = _pattern(shut, contact)
                seen[2 * visited + 1] = worst
                visited += 1
                throw(shut, contact[worst], rest[worst], 1 - shut[contact[worst]])
                worst = _twin(worst, shut, amps, coil, second, contact, pull, drop, pace)
            _keep_amps(amps, flips, fuse, pace)
            continue
        hottest, heat = -1, 1.0
        for f in range(fuses):
            if shut[fuse[f]] != 0:
                share = abs(amps[fuse[f]]) / melt[f]
                if share >= heat:
                    hottest, heat = f, share
        if hottest < 0:
            return SETTLED
        shut[fuse[hottest]] = 0
        visited, last = 0, -1


def rests_elsewhere(n, row, col, fill, a, b, slot, kind, p0, p1, p2, shut, u, amps, g, j, w, h, x, live, base,
                    coil, second, contact, rest, pull, drop, seen, pulled):
    """Whether a settled case would rest in another state too, had its relays all been ``pulled`` in (1; 0: let go).

    Arguments as for ``solve``, which has just settled the case; fuses stay as they are. ``shut`` is left in the state
    the relays went to, ``u`` with its volts. A chatter between other states is no rest.
    """
    settled = _pattern(shut, contact)
    _all_moved(n, a, b, kind, p0, shut, coil, second, contact, rest, drop, live, pulled)
    visited = 0
    while True:
        pattern = _pattern(shut, contact)
        if pattern == settled or 2 * visited >= len(seen):
            return False
        for k in range(visited):
            if seen[k] == pattern:
                return False
        if _approach(n, row, col, fill, a, b, slot, kind, p0, p1, p2, shut, u, amps, g, j, w, h, x, live, base,
                     DECIDED) != 0:
            return False
        worst = _pushed(shut, amps, coil, second, contact, pull, drop)
        if worst < 0:
            return True
        seen[visited] = pattern
        visited += 1
        throw(shut, contact[worst], rest[worst], 1 - shut[contact[worst]])


def _all_moved(n, a, b, kind, p0, shut, coil, second, contact, rest, drop, live, pulled):
    """Move every relay: all let go (0), or all pulled in (1) but those that would be the first to let go again.

    Those are the ones no amps can reach, however the others stand: one end of the coil lies where nothing else that
    conducts leads away from, every contact taken as shut.
    """
    for r in range(len(coil)):
        throw(shut, contact[r], rest[r], pulled)
    if pulled == 0 or len(coil) == 0:
        return
    for k in range(n):
        live[k] = k
    for i in range(len(a)):
        on = shut[i] != 0 and (kind[i] != LINEAR or p0[i] != 0.0)
        for r in range(len(coil)):
            if i == coil[r] or i == second[r]:
                on = False
            elif i == rest[r]:
                on = p0[i] != 0.0
            elif kind[i] == DIODE and min(a[i], b[i]) == min(a[coil[r]], b[coil[r]]) and (
                max(a[i], b[i]) == max(a[coil[r]], b[coil[r]])
            ):
                on = False  # one across the coil feeds it nothing
        if on:
            _join(live, a[i], b[i])
    for r in range(len(coil)):
        if drop[r] > 0.0 and (p0[coil[r]] == 0.0 or _dead_end(coil[r], a, b, coil, second, live)) and (
            second[r] < 0 or p0[second[r]] == 0.0 or _dead_end(second[r], a, b, coil, second, live)
        ):
            throw(shut, contact[r], rest[r], 0)


def _dead_end(winding, a, b, coil, second, isle):
    """Whether one end of a winding lies where no other winding leads to, and nothing else from its other end."""
    start, end = _root(isle, a[winding]), _root(isle, b[winding])
    if start == end:
        return False
    from_start = from_end = False
    for r in range(len(coil)):
        for turns in (coil[r], second[r]):
            if turns >= 0 and turns != winding:
                here, there = _root(isle, a[turns]), _root(isle, b[turns])
                from_start = from_start or here == start or there == start
                from_end = from_end or here == end or there == end
    return not (from_start and from_end)


def _newton(n, row, col, fill, a, b, slot, kind, p0, p1, p2, shut, u, amps, g, j, w, h, x, live, base):
    """Node volts for the given switch states; 0 when every device stands still, 1 when it never does."""
    return _approach(n, row, col, fill, a, b, slot, kind, p0, p1, p2, shut, u, amps, g, j, w, h, x, live, base, STILL)


def _approach(n, row, col, fill, a, b, slot, kind, p0, p1, p2, shut, u, amps, g, j, w, h, x, live, base, still):
    count = 0
    for i in range(len(a)):
        if kind[i] != LINEAR:
            live[count] = i
            count += 1
    first, filled = _straight(n, row, fill, a, b, slot, p0, p1, shut, g, j, w, h, live, base, count)
    if _devices(n, row, col, fill, a, b, slot, kind, p0, p1, p2, shut, u, amps, g, j, w, h, x, live, base,
                count, first, filled, still) != 0:
        return 1
    _backward(row, col, w, h, x, 0, first)
    for i in range(len(a)):
        if kind[i] == LINEAR:
            u[i] = x[a[i]] - x[b[i]]
            amps[i] = g[i] * u[i] + j[i]
    return 0


def _devices(n, row, col, fill, a, b, slot, kind, p0, p1, p2, shut, u, amps, g, j, w, h, x, live, base,
             count, first, filled, still):
    """Newton's method on the ``live`` branches, from what ``_straight`` left; 0 when all stand still, 1 when never.

    Leaves volts from node ``first`` on, and the amps of the live branches.
    """
    wires = row[first]
    for lap in range(NEWTON_LIMIT):
        if lap == NEWTON_LIMIT // 2:
            # From volts of another state it may go round in a circle; from nothing it arrives.
            for c in range(count):
                u[live[c]] = 0.0
        w[wires:] = base[0][wires:]
        h[wires:] = base[1][wires:]
        for c in range(count):
            i = live[c]
            if shut[i] == 0:
                g[i] = 0.0
                j[i] = 0.0
                continue
            law, size, across = kind[i], p0[i], u[i]
            if law == DIODE:
                power = across / p1[i]
                e = math.exp(power if power < HOTTEST else HOTTEST)
                slope = size / p1[i] * e + LEAK
                source = size * (e - 1.0) + LEAK * across - slope * across
            elif law == LAMP:
                q = (across / p1[i]) * (across / p1[i])
                per_volt = 1.0 / (size * math.pow(q + p2[i], 0.225))
                slope = per_volt * (1.0 - 0.45 * q / (q + p2[i]))
                source = (per_volt - slope) * across
            elif law == LINEAR:
                slope = size
                source = p1[i]
            elif law == CHARGED:
                into = size * across + p1[i] < 0.0
                slope = p2[i] if into else size
                source = p1[i] / size * p2[i] if into else p1[i]
            elif abs(across) <= size * p1[i]:
                slope = 1.0 / size
                source = 0.0
            else:
                slope = p2[i] / (1.0 + size * p2[i])
                source = math.copysign(p1[i], across) * (1.0 - slope * size)
            g[i] = slope
            j[i] = source
            edge = slot[i]
            if edge >= 0:
                w[edge] += slope
                h[edge] += source if a[i] < b[i] else -source
        _forward(row, fill, w, h, first, n - 1, filled)
        x[n - 1] = 0.0
        _backward(row, col, w, h, x, first, n - 1)
        moved = False
        for c in range(count):
            i = live[c]
            new = x[a[i]] - x[b[i]]
            if shut[i] != 0 and kind[i] != LINEAR:
                old = u[i]
                if abs(new - old) > still:
                    moved = True
                    new = _damped(kind[i], p0[i], p1[i], old, new)
            u[i] = new
        if not moved:
            for c in range(count):
                i = live[c]
                amps[i] = g[i] * (x[a[i]] - x[b[i]]) + j[i]
            return 0
    return 1


def _damped(kind, p0, p1, old, new):
    """Where a device's volts go when Newton's method asks for ``new``."""
    if kind == DIODE:
        # Logarithmic damping above the knee, or exp() runs away.
        if abs(new - old) > 2.0 * p1 and new > p1 * math.log(p1 / (1.4142135623730951 * p0)):
            if old > 0.0:
                step = 1.0 + (new - old) / p1
                return old + p1 * math.log(step) if step > 0.0 else p1 * math.log(p1 / (1.4142135623730951 * p0))
            return p1 * math.log(new / p1)
    elif new * old < 0.0 and kind != CHARGED and kind != LINEAR:
        return 0.0
    return new


def islands(n, a, b, kind, shut, g, amps, x, isle):
    """Label each node with the island it conducts to; the reference's island has the label ``isle[n - 1]``.

    A diode joins its ends only while it carries current, or where current could flow on from the known side with a
    diode's drop to spare: a dead end behind a cathode is live when the anode is, and one behind an anode is grounded
    when the cathode is. With less to spare no lamp would light there from either post: it floats.
    """
    for k in range(n):
        isle[k] = k
    dead_ends = 0
    for i in range(len(a)):
        if shut[i] == 0 or (kind[i] == LINEAR and g[i] == 0.0):
            continue
        if kind[i] == DIODE and amps[i] <= 1e-9:
            dead_ends += 1
            continue
        _join(isle, a[i], b[i])
    while dead_ends > 0:
        dead_ends = 0
        home = _root(isle, n - 1)
        top = 0.0
        for k in range(n):
            if x[k] > top and _root(isle, k) == home:
                top = x[k]
        for i in range(len(a)):
            if kind[i] != DIODE or shut[i] == 0 or abs(x[a[i]] - x[b[i]]) > 1e-3:
                continue
            anode, cathode = _root(isle, a[i]), _root(isle, b[i])
            onward = anode == home and cathode != home and x[a[i]] > FORWARD
            back = cathode == home and anode != home and x[b[i]] < top - FORWARD
            if onward or back:
                _join(isle, a[i], b[i])
                dead_ends += 1
    for k in range(n):
        isle[k] = _root(isle, k)


def _root(isle, k):
    while isle[k] != k:
        isle[k] = isle[isle[k]]
        k = isle[k]
    return k


def _join(isle, k, m):
    isle[_root(isle, k)] = _root(isle, m)
