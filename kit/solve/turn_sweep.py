"""What turns, by the thousand: one case of a sweep and all its readings, compiled (``kit.solve.turning`` says how).

A voltmeter's reading is taken from what the circuit is at each angle, seen from its leads, as ``kit.solve.probes`` does
it where nothing turns; wherever a device's bend or a relay could matter, and for every lamp, the whole turn is solved
with the instrument in the circuit, from the volts it had without.
"""

import math

import numpy as np

from kit.solve.kernel import CHATTERS, LAMP, LATCHED, LINEAR, SETTLED, _newton, islands
from kit.solve.movers import _swing
from kit.solve.thevenin import _across, _columns, _doubtful, _lay_out
from kit.solve.turn_kernel import CHARGE_ROWS, OVER, SWING, WORK_ROWS, settle_turning, turning_rests_elsewhere


def _turned_case(n, row, col, fill, a, b, slot, kind, p0, p1, p2, edges, shut, coil, second, contact, rest, pull, drop,
                 pace, fuse, melt, room, start, beat, values, angles, slow, whole, place, path, relay, blade, volts,
                 other, amps_out, across_out, closed, chattering, melted):
    """One case that turns, as ``kit.solve.settle`` does it: into the arrays of a sweep; gives how it ended."""
    branches, relays = len(a), len(coil)
    u, amps, g, j = start.copy(), np.zeros(branches), np.zeros(branches), np.zeros(branches)
    w, h, x = np.zeros(edges), np.zeros(edges), np.zeros(n)
    live, base = np.zeros(max(n, branches), np.int64), np.zeros((2, edges))
    flips, seen, isle = np.zeros(2 * relays, np.int64), np.zeros(room, np.int64), np.zeros(n, np.int64)
    ends, known, work = np.zeros((angles, branches)), np.zeros(1, np.int64), np.zeros((WORK_ROWS, branches))
    space, charge = _space(n, branches, angles), np.zeros((CHARGE_ROWS, len(slow)))
    no_relays, no_fuses = coil[:0], fuse[:0]
    charge[OVER] = -1.0
    idle, began = True, shut.copy()
    for r in range(relays):
        idle = idle and shut[contact[r]] == 0
    code = settle_turning(n, row, col, fill, a, b, slot, kind, p0, p1, p2, shut, u, amps, g, j, w, h, x, live, base,
                          coil, second, contact, rest, pull, drop, pace, flips, seen, fuse, melt,
                          beat, values, ends, known, work, space, slow, charge)
    start[:] = u
    for f in range(len(fuse)):
        melted[blade[f]] = shut[fuse[f]] == 0
        idle = idle and shut[fuse[f]] == began[fuse[f]]
    if code == CHATTERS:
        for swing in range(2):
            for r in range(relays):
                if flips[r] != 0:
                    chattering[relay[r]] = True
            _swing(shut, contact, rest, flips, 1 - swing)
            charge[OVER] = -1.0
            held = settle_turning(n, row, col, fill, a, b, slot, kind, p0, p1, p2, shut, u, amps, g, j, w, h,
                                  x, live, base,
                                  no_relays, second, no_relays, rest, pull, drop, pace, flips, seen, no_fuses, melt,
                                  beat, values, ends, known, work, space, slow, charge)
            if held != SETTLED:
                return held
            if swing == 0:
                _keep(n, a, b, kind, shut, g, amps, x, isle, whole, place, path, volts, amps_out, across_out)
                for r in range(relays):
                    closed[relay[r]] = shut[contact[r]] != 0
            else:
                islands(n, a, b, kind, shut, g, amps, x, isle)
                for t in range(len(place)):
                    if isle[place[t]] == isle[n - 1]:
                        other[t] = x[place[t]]
        return code
    if code != SETTLED:
        return code
    _keep(n, a, b, kind, shut, g, amps, x, isle, whole, place, path, volts, amps_out, across_out)
    for r in range(relays):
        closed[relay[r]] = shut[contact[r]] != 0
    settled, where = shut.copy(), u.copy()
    for pulled in range(2):
        same = True
        for r in range(relays):
            same = same and (settled[contact[r]] != 0) == (pulled == 1)
        if same or (idle and pulled == 0):
            continue  # from there it has just come
        shut[:] = settled
        u[:] = where
        if turning_rests_elsewhere(n, row, col, fill, a, b, slot, kind, p0, p1, p2, shut, u, amps, g, j, w, h,
                                   x, live, base, coil, second, contact, rest, pull, drop, seen, pulled,
                                   beat, values, ends, known, work, space, slow, charge):
            code = LATCHED
    return code


def _turned_probes(n, row, col, fill, a, b, slot, kind, p0, p1, p2, edges, shut, coil, second, contact, rest, pull,
                   drop, pace, fuse, melt, room, start, beat, values, angles, slow, lead_a, lead_b, law_kind, law_p0,
                   law_p1, law_p2, felt, eased, near, stirred, volts, other, alternating, in_full):
    """Every instrument on every pair of leads of one case that turns; gives how it ended."""
    branches, laws = len(a), len(law_kind)
    u, amps, g, j = start.copy(), np.zeros(branches), np.zeros(branches), np.zeros(branches)
    w, h, x = np.zeros(edges), np.zeros(edges), np.zeros(n)
    live, base = np.zeros(max(n, branches), np.int64), np.zeros((2, edges))
    flips, seen = np.zeros(2 * len(coil), np.int64), np.zeros(room, np.int64)
    ends, known, work = np.zeros((angles, branches)), np.zeros(1, np.int64), np.zeros((WORK_ROWS, branches))
    space, charge = _space(n, branches, angles), np.zeros((CHARGE_ROWS, len(slow)))
    no_relays, no_fuses = coil[:0], fuse[:0]
    charge[OVER] = -1.0
    code = settle_turning(n, row, col, fill, a, b, slot, kind, p0, p1, p2, shut, u, amps, g, j, w, h, x, live, base,
                          coil, second, contact, rest, pull, drop, pace, flips, seen, fuse, melt,
                          beat, values, ends, known, work, space, slow, charge)
    start[:] = u
    chatters = code == CHATTERS
    if chatters:
        # Goes on from the half with its relays closed, as a reading does.
        _swing(shut, contact, rest, flips, 1)
        charge[OVER] = -1.0
        code = settle_turning(n, row, col, fill, a, b, slot, kind, p0, p1, p2, shut, u, amps, g, j, w, h, x, live, base,
                              no_relays, second, no_relays, rest, pull, drop, pace, flips, seen, no_fuses, melt,
                              beat, values, ends, known, work, space, slow, charge)
    if code != SETTLED:
        return code
    struck = np.zeros((laws, len(lead_a)), np.bool_)
    if chatters or felt < 0.0:
        in_full[:] = True
        struck[:] = True
    else:
        middle, swing = np.zeros((laws, len(lead_a))), np.zeros((laws, len(lead_a)))
        root = np.zeros(n, np.int64)
        z, bent, bend, touch = np.zeros((n, n)), np.zeros(branches, np.int64), np.zeros(branches), np.zeros(branches)
        held, count = p1.copy(), 0
        for i in range(branches):
            if kind[i] != LINEAR and shut[i] != 0:
                bent[count] = i
                count += 1
        kinds = kind.copy()
        for k in range(len(slow)):
            # A meter's microamps move no battery's overvoltage.
            held[slow[k]] += p0[slow[k]] * charge[OVER, k]
            kinds[slow[k]] = LINEAR
        means = amps.copy()
        for angle in range(angles):
            for k in range(len(beat)):
                held[beat[k]] = values[k * angles + angle]
            u[:] = ends[angle]
            # One more pass brings back what the circuit was at this angle.
            if _newton(n, row, col, fill, a, b, slot, kinds, p0, held, p2, shut, u, amps, g, j, w, h, x,
                       live, base) != 0:
                in_full[:] = True
                struck[:] = True
                break
            _columns(n, row, col, w, z, root)
            for k in range(len(lead_a)):
                p, q = lead_a[k], lead_b[k]
                open_volts = x[p] - x[q]
                ohms = (z[p, p] - z[q, p]) + (z[q, q] - z[p, q])
                for m in range(laws):
                    if in_full[m, k] and struck[m, k]:
                        continue
                    lit = law_kind[m] == LAMP
                    in_full[m, k] = in_full[m, k] or lit
                    if root[p] == root[q]:
                        siemens = 1.0 / (law_p0[m] * math.pow(law_p2[m], 0.225)) if lit else law_p0[m]
                        loop = max(ohms + 1.0 / siemens, 1e-9)
                        doubt = _doubtful((open_volts + (0.0 if lit else law_p1[m] / law_p0[m])) / loop, loop, z, p, q,
                                          a, b, kinds, p0, held, p2, shut, u, g, j, means, bent[:count], bend, touch,
                                          coil, second, contact, pull, drop, no_fuses, melt,
                                          np.inf if lit else felt, eased, near, stirred)
                        struck[m, k] = struck[m, k] or (lit and doubt)
                        in_full[m, k] = in_full[m, k] or doubt
                    if not in_full[m, k]:
                        across = _across(law_kind[m], law_p0[m], law_p1[m], law_p2[m], open_volts, ohms,
                                         root[p] == root[q])
                        middle[m, k] += across / angles
                        swing[m, k] += across * across / angles
        for m in range(laws):
            for k in range(len(lead_a)):
                volts[m, k] = middle[m, k]
                alternating[m, k] = math.sqrt(max(0.0, swing[m, k] - middle[m, k] * middle[m, k]))
    mark, lead_row, lead_col = np.zeros(n * n, np.int64), np.zeros(n + 1, np.int64), np.zeros(n * n, np.int64)
    for k in range(len(lead_a)):
        if not in_full[:, k].any():
            continue
        wires, lead_fill, lead_slot = _lay_out(n, row, col, a, b, lead_a[k], lead_b[k], mark, lead_row, lead_col)
        for m in range(laws):
            if in_full[m, k]:
                code = _put_on_turning(
                    n, lead_row, lead_col[:wires], lead_fill, a, b, lead_slot, kind, p0, p1, p2, shut, ends, coil,
                    second, contact, rest, pull, drop, pace, fuse, melt, seen, beat, values, slow, charge, lead_a[k],
                    lead_b[k], struck[m, k], law_kind[m], law_p0[m], law_p1[m], law_p2[m], volts[m], other[m],
                    alternating[m], k)
                if code != SETTLED:
                    return code
    return SETTLED


def _put_on_turning(n, row, col, fill, a, b, slot, kind, p0, p1, p2, shut, ends, coil, second, contact, rest, pull,
                    drop, pace, fuse, melt, seen, beat, values, slow, charge, p, q, struck, law_kind, law_p0, law_p1,
                    law_p2, volts, other, alternating, k):
    """One reading solved in full, step by step as ``kit.instruments.reading.put_on`` has it; gives how it ended."""
    branches, edges, angles = len(a), len(col), len(ends)
    ends_a, ends_b = np.append(a, p), np.append(b, q)
    kinds, q0 = np.append(kind, law_kind), np.append(p0, law_p0)
    q1, q2 = np.append(p1, law_p1), np.append(p2, law_p2)
    shuts, u = np.append(shut, 1), np.zeros(branches + 1)
    amps, g, j = np.zeros(branches + 1), np.zeros(branches + 1), np.zeros(branches + 1)
    w, h, x, flips = np.zeros(edges), np.zeros(edges), np.zeros(n), np.zeros(2 * len(coil), np.int64)
    live, base = np.zeros(max(n, branches + 1), np.int64), np.zeros((2, edges))
    now, known, work = np.zeros((angles, branches + 1)), np.ones(1, np.int64), np.zeros((WORK_ROWS, branches + 1))
    space, over = _space(n, branches + 1, angles), charge.copy()
    now[:, :branches] = ends
    no_relays, no_fuses = coil[:0], fuse[:0]
    if struck and law_kind == LAMP:
        # The inrush first: what the relays do while the filament is cold.
        kinds[branches], q0[branches] = LINEAR, 1.0 / (law_p0 * math.pow(law_p2, 0.225))
        q1[branches] = 0.0
        code = settle_turning(n, row, col, fill, ends_a, ends_b, slot, kinds, q0, q1, q2, shuts, u, amps, g, j, w, h,
                              x, live, base, coil, second, contact, rest, pull, drop, pace, flips, seen, no_fuses, melt,
                              beat, values, now, known, work, space, slow, over)
        if code != SETTLED:
            shuts[:branches] = shut
        kinds[branches], q0[branches], q1[branches] = law_kind, law_p0, law_p1
        now[:, branches] = 0.0
    flips[:] = 0
    code = settle_turning(n, row, col, fill, ends_a, ends_b, slot, kinds, q0, q1, q2, shuts, u, amps, g, j, w, h,
                          x, live, base, coil, second, contact, rest, pull, drop, pace, flips, seen, fuse, melt,
                          beat, values, now, known, work, space, slow, over)
    volts[k], alternating[k] = x[p] - x[q], work[SWING, branches]
    if code != CHATTERS:
        return code
    for swing in range(2):
        _swing(shuts, contact, rest, flips, 1 - swing)
        over[OVER] = -1.0
        held = settle_turning(n, row, col, fill, ends_a, ends_b, slot, kinds, q0, q1, q2, shuts, u, amps, g, j, w, h,
                              x, live, base,
                              no_relays, second, no_relays, rest, pull, drop, pace, flips, seen, no_fuses, melt,
                              beat, values, now, known, work, space, slow, over)
        if held != SETTLED:
            return held
        if swing == 0:
            volts[k] = x[p] - x[q]
            alternating[k] = work[SWING, branches]
        else:
            other[k] = x[p] - x[q]
            alternating[k] = max(alternating[k], work[SWING, branches])
    return SETTLED


def _space(n, branches, angles):
    """As ``kit.solve.turning.space``, in arrays."""
    return (np.zeros(angles, np.int64), np.zeros(angles), np.zeros((angles, n)), np.zeros((angles, branches)),
            np.zeros(n))


def _keep(n, a, b, kind, shut, g, amps, x, isle, whole, place, path, volts, amps_out, across_out):
    islands(n, a, b, kind, shut, g, amps, x, isle)
    for t in range(len(place)):
        if isle[place[t]] == isle[n - 1]:
            volts[t] = x[place[t]]
    for i in range(len(a)):
        amps_out[path[i]] = amps[i]
        across_out[path[i]] = x[a[i]] - x[b[i]] if whole[i] else 0.0
