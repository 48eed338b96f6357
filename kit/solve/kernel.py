"""The solving kernel: plain loops over flat sequences, with nothing but ``math``.

The very same functions run on Python lists for one case and, compiled by numba in ``kit.solve.sweep``, on arrays for
many. So they take every array they touch, make none, and are never decorated here.

Elimination is subtraction-free (Grassmann, Taksar & Heyman 1985; star-mesh): the diagonal is never formed, so milliohms
beside open switches lose no digits. A source stays on the edge it sits in and is never paid into its two nodes: what
goes in at one end would have to cancel what comes out at the other, and a battery tied to ground through a megohm only
would be microvolts out. The reference is the last node and is never eliminated.
"""

import math

# Kinds of branch; current runs from node a to node b, u = volts(a) − volts(b).
LINEAR = 0  # amps = p0·u + p1                                      (conductance, source)
DIODE = 1   # amps = p0·(exp(u/p1) − 1) + LEAK·u                    (saturation amps, emission · thermal volts)
LAMP = 2    # amps = u / (p0·((u/p1)² + p2)^0.225)                  (hot ohms, rated volts, how cold it starts)
MOTOR = 3   # amps = u/p0 up to p1, then rising by p2 a volt of EMF (ohms, load amps, drag)
CHARGED = 4  # amps = p0·u + p1 while that is out of it (plus at b), p2·(u + p1/p0) while it is into it (a battery)
LIMITED = 5  # MOTOR's law for a source that can give no more than p1 amps (ohms, amps, siemens beyond)

LEAK = 1e-11  # siemens a blocking diode leaks: keeps its far side defined, too small for any meter to show
COLD = 13 ** (-2 / 0.45)  # p2 of a filament lamp: makes the cold filament a thirteenth of the hot one

FORWARD = 1.0  # volts a diode may need before it passes what a lamp or a meter could show

SETTLED, CHATTERS, NO_END = 0, 1, 2  # how a case ended
LATCHED = 3  # settled, and it would rest in another state too
NEWTON_LIMIT = 200
# Volts no device moves by more than between the last two passes. Newton squares its error, so what is left of a diode's
# after the last one is below 1e-12 V.
STILL = 1e-7
DECIDED = 1e-4  # the same where only a relay's next move is asked for


def solve(n, row, col, fill, a, b, slot, kind, p0, p1, p2, shut, u, amps, g, j, w, h, x,
          coil, second, contact, rest, pull, drop, flips, seen, fuse, melt):
    """Settle one case; returns SETTLED, CHATTERS or NO_END.

    ``n`` nodes, the last the reference; ``row``/``col``/``fill`` from ``kit.solve.ordering``; branches ``a``, ``b``,
    ``slot`` (edge of the pair; −1 where both ends are one node), ``kind``, ``p0`` … ``p2``. ``shut`` (1 conducts) and
    ``u`` (volts across nonlinear branches) are read as the starting state and left as the final one; ``amps``, ``x``
    are results; ``g``, ``j`` (siemens and amps of each branch as last linearised), ``w``, ``h``, ``seen`` are work
    space. ``coil``/``contact`` name branches of each relay, ``pull``/``drop`` its amps; ``second`` a further coil on
    the same iron, whose amps add, and ``rest`` a contact that is shut at rest (−1: none). ``flips`` counts its changes
    since the state that came round again (all zero unless it chatters). ``fuse`` names branches, ``melt`` amps.
    """
    relays, fuses = len(coil), len(fuse)
    visited = 0
    while True:
        # Relays move one at a time, the one pushed hardest past its threshold first: that is the one that moves first.
        pattern = _pattern(shut, contact)
        for k in range(visited):
            if seen[2 * k] == pattern:
                for r in range(relays):
                    flips[r] = 0
                for m in range(k, visited):
                    flips[seen[2 * m + 1]] += 1
                return CHATTERS
        if _newton(n, row, col, fill, a, b, slot, kind, p0, p1, p2, shut, u, amps, g, j, w, h, x) != 0:
            return NO_END
        worst = _pushed(shut, amps, coil, second, contact, pull, drop)
        if worst >= 0:
            if 2 * visited + 1 >= len(seen):
                return NO_END
            seen[2 * visited] = pattern
            seen[2 * visited + 1] = worst
            visited += 1
            throw(shut, contact[worst], rest[worst], 1 - shut[contact[worst]])
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
        visited = 0


def rests_elsewhere(n, row, col, fill, a, b, slot, kind, p0, p1, p2, shut, u, amps, g, j, w, h, x,
                    coil, second, contact, rest, pull, drop, seen, pulled):
    """Whether a settled case would rest in another state too, had its relays all been ``pulled`` in (1; 0: let go).

    Arguments as for ``solve``, which has just settled the case; fuses stay as they are. ``shut`` is left in the state
    the relays went to, ``u`` with its volts. A chatter between other states is no rest.
    """
    settled = _pattern(shut, contact)
    for r in range(len(coil)):
        throw(shut, contact[r], rest[r], pulled)
    visited = 0
    while True:
        pattern = _pattern(shut, contact)
        if pattern == settled or 2 * visited >= len(seen):
            return False
        for k in range(visited):
            if seen[k] == pattern:
                return False
        if _approach(n, row, col, fill, a, b, slot, kind, p0, p1, p2, shut, u, amps, g, j, w, h, x, DECIDED) != 0:
            return False
        worst = _pushed(shut, amps, coil, second, contact, pull, drop)
        if worst < 0:
            return True
        seen[visited] = pattern
        visited += 1
        throw(shut, contact[worst], rest[worst], 1 - shut[contact[worst]])


def _pattern(shut, contact):
    """The relays' states as the bits of a number: 1 pulled in."""
    pattern = 0
    for r in range(len(contact)):
        if shut[contact[r]] != 0:
            pattern += 1 << r
    return pattern


def _pushed(shut, amps, coil, second, contact, pull, drop):
    """The relay pushed hardest past its threshold, −1 where none wants to move."""
    worst, push = -1, 0.0
    for r in range(len(coil)):
        current = magnet_amps(amps, coil[r], second[r])
        if shut[contact[r]] != 0:
            over = drop[r] / (current + 1e-12) if current < drop[r] else 0.0
        else:
            over = current / pull[r] if current >= pull[r] else 0.0
        if over > push:
            worst, push = r, over
    return worst


def magnet_amps(amps, coil, second):
    """What pulls on a relay's iron: the amps of its coil, and of a second one on the same iron."""
    return abs(amps[coil] + amps[second]) if second >= 0 else abs(amps[coil])


def throw(shut, contact, rest, pulled):
    """Move a relay's contacts: 1 pulled in, 0 let go."""
    shut[contact] = pulled
    if rest >= 0:
        shut[rest] = 1 - pulled


def _newton(n, row, col, fill, a, b, slot, kind, p0, p1, p2, shut, u, amps, g, j, w, h, x):
    """Node volts for the given switch states; 0 when every device stands still, 1 when it never does."""
    return _approach(n, row, col, fill, a, b, slot, kind, p0, p1, p2, shut, u, amps, g, j, w, h, x, STILL)


def _approach(n, row, col, fill, a, b, slot, kind, p0, p1, p2, shut, u, amps, g, j, w, h, x, still):
    branches = len(a)
    for lap in range(NEWTON_LIMIT):
        if lap == NEWTON_LIMIT // 2:
            # From volts of another state it may go round in a circle; from nothing it arrives.
            for i in range(branches):
                u[i] = 0.0
        for k in range(len(w)):
            w[k] = 0.0
            h[k] = 0.0
        for i in range(branches):
            if shut[i] == 0:
                g[i] = 0.0
                j[i] = 0.0
                continue
            if kind[i] == LINEAR:
                g[i] = p0[i]
                j[i] = p1[i]
            elif kind[i] == DIODE:
                e = math.exp(u[i] / p1[i])
                g[i] = p0[i] / p1[i] * e + LEAK
                j[i] = p0[i] * (e - 1.0) + LEAK * u[i] - g[i] * u[i]
            elif kind[i] == LAMP:
                q = (u[i] / p1[i]) * (u[i] / p1[i])
                per_volt = 1.0 / (p0[i] * math.pow(q + p2[i], 0.225))
                g[i] = per_volt * (1.0 - 0.45 * q / (q + p2[i]))
                j[i] = (per_volt - g[i]) * u[i]
            elif kind[i] == CHARGED:
                into = p0[i] * u[i] + p1[i] < 0.0
                g[i] = p2[i] if into else p0[i]
                j[i] = p1[i] / p0[i] * p2[i] if into else p1[i]
            elif abs(u[i]) <= p0[i] * p1[i]:
                g[i] = 1.0 / p0[i]
                j[i] = 0.0
            else:
                g[i] = p2[i] / (1.0 + p0[i] * p2[i])
                j[i] = math.copysign(p1[i], u[i]) * (1.0 - g[i] * p0[i])
            if slot[i] >= 0:
                w[slot[i]] += g[i]
                h[slot[i]] += j[i] if a[i] < b[i] else -j[i]
        _eliminate(n, row, col, fill, w, h, x)
        moved = False
        for i in range(branches):
            new = x[a[i]] - x[b[i]]
            old = u[i]
            if kind[i] == LINEAR or shut[i] == 0:
                u[i] = new
                continue
            if abs(new - old) > still:
                moved = True
            if kind[i] == DIODE:
                # Logarithmic damping above the knee, or exp() runs away.
                knee = p1[i] * math.log(p1[i] / (1.4142135623730951 * p0[i]))
                if new > knee and abs(new - old) > 2.0 * p1[i]:
                    if old > 0.0:
                        step = 1.0 + (new - old) / p1[i]
                        new = old + p1[i] * math.log(step) if step > 0.0 else knee
                    else:
                        new = p1[i] * math.log(new / p1[i])
            elif new * old < 0.0 and kind[i] != CHARGED:
                new = 0.0
            u[i] = new
        if not moved:
            for i in range(branches):
                amps[i] = g[i] * (x[a[i]] - x[b[i]]) + j[i]
            return 0
    return 1


def _eliminate(n, row, col, fill, w, h, x):
    """Node volts of a graph whose edge from k to a later q carries w·(x[k] − x[q]) + h amps.

    A node with no way on is the root of an island, 0 V.
    """
    _forward(row, fill, w, h, 0, n - 1, 0)
    x[n - 1] = 0.0
    _backward(row, col, w, h, x, 0, n - 1)


def _forward(row, fill, w, h, start, end, f):
    """Eliminate the nodes from ``start`` up to ``end``, the first of them at ``fill[f]``; gives where the next is."""
    for k in range(start, end):
        first, last = row[k], row[k + 1]
        s = 0.0
        for p in range(first, last):
            s += w[p]
        for p in range(first, last):
            if w[p] == 0.0:
                f += last - p - 1
                continue
            share = w[p] / s
            source = h[p] / s
            for q in range(p + 1, last):
                edge = fill[f]
                w[edge] += share * w[q]
                h[edge] += share * h[q] - source * w[q]
                f += 1
    return f


def _backward(row, col, w, h, x, start, end):
    """The volts of eliminated nodes, from those of later ones."""
    for k in range(end - 1, start - 1, -1):
        s = 0.0
        total = 0.0
        for p in range(row[k], row[k + 1]):
            s += w[p]
            total += w[p] * x[col[p]] - h[p]
        x[k] = total / s if s != 0.0 else 0.0


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
