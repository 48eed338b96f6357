"""A solved circuit seen from two leads, as plain loops to be compiled: Thévenin, and whether that can be trusted.

Seen from two leads a settled circuit is a voltage behind a resistance, once its diodes, filaments and motors stand for
their slopes. ``_doubtful`` measures what that leaves out.
"""

import math

import numpy as np

from kit.solve.careful import law
from kit.solve.kernel import CHARGED, DIODE, LAMP, LINEAR


def _columns(n, row, col, w, z, root):
    """Volts at every node for an amp into each: ``z[p, k]`` at k for one into p, out at the root of p's island.

    ``w`` is as elimination left it. Like it, no subtraction.
    """
    for k in range(n - 1, -1, -1):
        root[k] = k
        if k < n - 1:
            for p in range(row[k], row[k + 1]):
                if w[p] != 0.0:
                    root[k] = root[col[p]]
                    break
    whole, share = np.zeros(n), np.zeros(len(w))
    for k in range(n - 1):
        for p in range(row[k], row[k + 1]):
            whole[k] += w[p]
        for p in range(row[k], row[k + 1]):
            share[p] = w[p] / whole[k] if w[p] != 0.0 else 0.0
    for at in range(n):
        z[at, :] = 0.0
        z[at, at] = 1.0
        for k in range(at, n - 1):
            if z[at, k] == 0.0 or root[k] == k:
                continue
            for p in range(row[k], row[k + 1]):
                z[at, col[p]] += share[p] * z[at, k]
        z[at, n - 1] = 0.0
        for k in range(n - 2, -1, -1):
            total = z[at, k]
            for p in range(row[k], row[k + 1]):
                total += w[p] * z[at, col[p]]
            z[at, k] = total / whole[k] if whole[k] != 0.0 else 0.0


def _across(kind, p0, p1, p2, open_volts, ohms, joined):
    """Volts across an instrument fed from ``open_volts`` behind ``ohms``; ``joined`` 0: from nothing at all."""
    if kind == LINEAR:
        return (open_volts - ohms * p1) / (1.0 + ohms * p0) if joined else -p1 / p0
    if not joined:
        return 0.0
    # A filament's amps rise ever more slowly, so from below Newton's steps never pass the answer.
    size = abs(open_volts)
    u = size
    for _ in range(60):
        amps, slope = law(kind, p0, p1, p2, u)
        step = (u + ohms * amps - size) / (1.0 + ohms * slope)
        u = max(u - step, 0.0)
        if abs(step) < 1e-5:  # and so the next is below a tenth of a nanovolt
            break
    return math.copysign(u, open_volts)


def _doubtful(draws, loop, z, p, q, a, b, kind, p0, p1, p2, shut, u, g, j, amps, bent, bend, touch, coil, second,
              contact, pull, drop, fuse, melt, felt, eased, near, stirred):
    """Whether an instrument that draws so many amps from p to q could move a device, a relay or a fuse.

    ``loop``: ohms all around, the instrument's with them. ``bend`` and ``touch`` are work space: the amps each bent
    device may carry beside what its slope says, and the volts it has from an amp through the instrument.
    """
    for k in range(len(bent)):
        i = bent[k]
        a_i, b_i = a[i], b[i]
        touch[k] = (z[p, a_i] - z[p, b_i]) - (z[q, a_i] - z[q, b_i])
        moves = -draws * touch[k]
        if abs(moves) < 1e-4 and (kind[i] == DIODE or kind[i] == LAMP):
            bend[k] = 0.0  # smooth laws, and their bend goes with the square of the move
            continue
        own = (z[a_i, a_i] - z[a_i, b_i]) + (z[b_i, b_i] - z[b_i, a_i])
        then, slope = law(kind[i], p0[i], p1[i], p2[i], u[i] + moves)
        extra = abs(then - g[i] * (u[i] + moves) - j[i])
        if slope < g[i]:
            # One that eases as it moves gives way to itself; a motor that begins to turn may run away.
            extra /= max(1.0 - own * (g[i] - slope), 1e-9)
            if extra * own > eased:
                return True
        if extra * own > felt:
            return True
        kink = p1[i] / p0[i] if kind[i] == CHARGED else p0[i] * p1[i]
        if kind[i] != DIODE and kind[i] != LAMP and abs(moves) > 1e-6 and abs(abs(u[i] + moves) - kink) < 0.1 * eased:
            return True  # on the edge of turning, the least push decides
        # One that stiffens holds itself back: it carries no more than what undoes its move, with the instrument on.
        held = own - touch[k] * touch[k] / loop
        bend[k] = min(extra, abs(moves) / held) if slope >= g[i] and held > 1e-6 * own else extra
    for r in range(len(coil)):
        now, reach = 0.0, 0.0
        for winding in range(2):
            i = coil[r] if winding == 0 else second[r]
            if i < 0 or g[i] == 0.0:
                continue
            a_i, b_i = a[i], b[i]
            now += amps[i]
            touched = (z[p, a_i] - z[p, b_i]) - (z[q, a_i] - z[q, b_i])
            reach += g[i] * abs(draws * touched)
            for k in range(len(bent)):
                # By itself, and by what it makes the instrument draw.
                d = bent[k]
                straight = (z[a[d], a_i] - z[a[d], b_i]) - (z[b[d], a_i] - z[b[d], b_i])
                reach += g[i] * bend[k] * abs(straight - touch[k] * touched / loop)
        edge = drop[r] if shut[contact[r]] != 0 else pull[r]
        gap = abs(now) - edge if shut[contact[r]] != 0 else edge - abs(now)
        if gap < 3.0 * reach or (reach > stirred * edge and gap - reach < near * edge):
            return True
    for f in range(len(fuse)):
        i = fuse[f]
        change = draws * g[i] * ((z[p, a[i]] - z[p, b[i]]) - (z[q, a[i]] - z[q, b[i]]))
        if shut[i] != 0 and abs(amps[i] - change) > (1.0 - near) * melt[f]:
            return True
    return False


def _lay_out(n, row, col, a, b, p, q, mark, lead_row, lead_col):
    """The elimination plan with one more edge, from p to q, in the same order; the new branch's slot is the last.

    Fills ``lead_row`` and ``lead_col``; gives the number of edges, the fill list, and each branch's slot.
    """
    mark[:] = 0
    for k in range(n - 1):
        for at in range(row[k], row[k + 1]):
            mark[k * n + col[at]] = 1
    if p != q:
        mark[min(p, q) * n + max(p, q)] = 1
    wires, pairs = 0, 0
    for k in range(n - 1):
        lead_row[k] = wires
        for m in range(k + 1, n):
            if mark[k * n + m] != 0:
                for at in range(lead_row[k], wires):
                    mark[lead_col[at] * n + m] = 1
                    pairs += 1
                lead_col[wires] = m
                wires += 1
    lead_row[n - 1] = wires
    for k in range(n - 1):
        for at in range(lead_row[k], lead_row[k + 1]):
            mark[k * n + lead_col[at]] = at
    lead_fill = np.zeros(pairs, np.int64)
    f = 0
    for k in range(n - 1):
        for first in range(lead_row[k], lead_row[k + 1]):
            for last in range(first + 1, lead_row[k + 1]):
                lead_fill[f] = mark[lead_col[first] * n + lead_col[last]]
                f += 1
    slot = np.full(len(a) + 1, -1, np.int64)
    for i in range(len(a)):
        if a[i] != b[i]:
            slot[i] = mark[min(a[i], b[i]) * n + max(a[i], b[i])]
    if p != q:
        slot[len(a)] = mark[min(p, q) * n + max(p, q)]
    return wires, lead_fill, slot
