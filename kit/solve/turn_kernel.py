"""Turning circuits, the plain loops of it: one turn at each of its angles, a charged battery's overvoltage, relays.

Like ``kit.solve.kernel`` these functions run on lists for one case and compiled on arrays for many; ``network`` below
stands for the kernel's arguments ``n`` … ``x``. What it means is told in ``kit.solve.turning``.
"""

import math

from kit.solve.careful import settle_carefully
from kit.solve.kernel import CHARGED, CHATTERS, LINEAR, NO_END, SETTLED, _newton, _pattern, _pushed, throw

OVER_DONE, OVER_LIMIT = 5e-4, 60  # volts of overvoltage that are near enough; turns at most
OVER_DECIDED = 2e-2  # the same where only a relay's next move is asked for
# Rows of the work space ``work``, one number a branch: means of amps and volts over a turn, their effective values
# (of the volts, of what alternates about the mean), two for a careful Newton, and ``p1`` of what beats meanwhile.
MEAN_AMPS, HEAT, MEAN_VOLTS, SWING, HERE, STEP, KEPT = range(7)
WORK_ROWS = 7
# Rows of ``charge``, one number a battery that charges: overvoltage (negative: not known yet), the ohms it comes from,
# its branch's own ``p1``, the bounds it lies in and what is lacking at each (nought: not known), and the step before.
OVER, OHMS, OWN, LOW, LOW_LACKS, HIGH, HIGH_LACKS, LAST_OVER, LAST_LACKS = range(9)
CHARGE_ROWS = 9
MOST = 0.5  # of its rest volts, where the search for it ends at first: it boils long before


def settle_turning(n, row, col, fill, a, b, slot, kind, p0, p1, p2, shut, u, amps, g, j, w, h, x,
                   coil, second, contact, rest, pull, drop, flips, seen, fuse, melt,
                   beat, values, ends, known, work, mean, slow, charge):
    """Settle a case that turns; returns as ``kernel.solve``, whose first arguments these are.

    ``beat`` names the branches that beat, ``values`` their ``p1``, angle by angle, one branch after the other;
    ``ends[angle]`` are the volts each branch had at that angle, read where ``known[0]`` is 1. ``slow`` names the
    batteries that charge (``CHARGED``), ``charge`` is their work space, its first row read as where to start. ``amps``
    and ``x`` are left as the means of a turn, ``work[HEAT]`` as effective amps, ``work[SWING]`` as the effective volts
    of what alternates. ``mean`` is work space, one number a node.
    """
    visited = 0
    while True:
        pattern = _pattern(shut, contact)
        for k in range(visited):
            if seen[2 * k] == pattern:
                for r in range(len(coil)):
                    flips[r] = 0
                for m in range(k, visited):
                    flips[seen[2 * m + 1]] += 1
                return CHATTERS
        if charged_turn(n, row, col, fill, a, b, slot, kind, p0, p1, p2, shut, u, amps, g, j, w, h, x,
                        beat, values, ends, known, work, mean, slow, charge, OVER_DONE) != SETTLED:
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
        hottest, most = -1, 1.0
        for f in range(len(fuse)):
            if shut[fuse[f]] != 0:
                share = work[HEAT][fuse[f]] / melt[f]
                if share >= most:
                    hottest, most = f, share
        if hottest < 0:
            return SETTLED
        shut[fuse[hottest]] = 0
        visited = 0


def turning_rests_elsewhere(n, row, col, fill, a, b, slot, kind, p0, p1, p2, shut, u, amps, g, j, w, h, x,
                            coil, second, contact, rest, pull, drop, seen, pulled,
                            beat, values, ends, known, work, mean, slow, charge):
    """As ``kernel.rests_elsewhere``, for a case that turns and has just been settled."""
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
        if charged_turn(n, row, col, fill, a, b, slot, kind, p0, p1, p2, shut, u, amps, g, j, w, h, x,
                        beat, values, ends, known, work, mean, slow, charge, OVER_DECIDED) != SETTLED:
            return False
        worst = _pushed(shut, amps, coil, second, contact, pull, drop)
        if worst < 0:
            return True
        seen[visited] = pattern
        visited += 1
        throw(shut, contact[worst], rest[worst], 1 - shut[contact[worst]])


def charged_turn(n, row, col, fill, a, b, slot, kind, p0, p1, p2, shut, u, amps, g, j, w, h, x,
                 beat, values, ends, known, work, mean, slow, charge, done):
    """A turn whose batteries' overvoltage fits the mean of what is charged into them, within ``done`` volts.

    Gives SETTLED or NO_END.
    """
    fresh = False
    for k in range(len(slow)):
        fresh = fresh or charge[OVER][k] < 0.0
    if fresh or len(slow) == 0:
        # First as if the overvoltage followed at once; that is near where the ripple is small.
        if _turn(n, row, col, fill, a, b, slot, kind, p0, p1, p2, shut, u, amps, g, j, w, h, x,
                 beat, values, ends, known, work, mean) != SETTLED:
            return NO_END
        if len(slow) == 0:
            return SETTLED
    for k in range(len(slow)):
        i = slow[k]
        charge[OHMS][k] = 1.0 / p2[i] - 1.0 / p0[i]
        charge[OWN][k] = p1[i]
        if fresh:
            charge[OVER][k] = max(0.0, -amps[i]) * charge[OHMS][k]
        _look_afresh(k, charge, MOST * abs(p1[i]) / p0[i])
        charge[LAST_OVER][k] = -1.0
    code = NO_END
    for _ in range(OVER_LIMIT):
        for k in range(len(slow)):
            kind[slow[k]] = LINEAR
            p1[slow[k]] = charge[OWN][k] + p0[slow[k]] * charge[OVER][k]
        if _turn(n, row, col, fill, a, b, slot, kind, p0, p1, p2, shut, u, amps, g, j, w, h, x,
                 beat, values, ends, known, work, mean) != SETTLED:
            break
        moved = 0.0
        for k in range(len(slow)):
            moved = max(moved, _overvoltage(k, amps[slow[k]], p0[slow[k]], charge))
        if moved < done:
            code = SETTLED
            break
    for k in range(len(slow)):
        kind[slow[k]] = CHARGED
        p1[slow[k]] = charge[OWN][k]
    return code


def _look_afresh(k, charge, most):
    charge[LOW][k], charge[LOW_LACKS][k], charge[HIGH][k], charge[HIGH_LACKS][k] = 0.0, 0.0, most, 0.0


def _overvoltage(k, amps, siemens, charge):
    """Move a battery's overvoltage one step to where it asks for no more and no less; returns the volts still missing.

    The more there is of it, the less goes in: between a side where it lacks and one where it has too much the answer
    is found by false position (the Illinois rule), before that by secants.
    """
    over, ohms = charge[OVER][k], charge[OHMS][k]
    lacks = -amps * ohms - over
    if lacks == 0.0 or (over == 0.0 and lacks < 0.0):
        return 0.0
    steepest = -1.0 - ohms * siemens
    slope = steepest
    if charge[LAST_OVER][k] >= 0.0 and over != charge[LAST_OVER][k]:
        slope = (lacks - charge[LAST_LACKS][k]) / (over - charge[LAST_OVER][k])
        slope = min(-1.0, max(steepest, slope))
    same_side = charge[LAST_OVER][k] >= 0.0 and (lacks > 0.0) == (charge[LAST_LACKS][k] > 0.0)
    charge[LAST_OVER][k], charge[LAST_LACKS][k] = over, lacks
    if lacks > 0.0 and over >= charge[HIGH][k]:
        _look_afresh(k, charge, 2.0 * over + 1.0)
    elif lacks < 0.0 and over <= charge[LOW][k]:
        _look_afresh(k, charge, charge[HIGH][k])  # another battery has moved the answer out of it
    if lacks > 0.0:
        charge[LOW][k], charge[LOW_LACKS][k] = over, lacks
        if same_side:
            charge[HIGH_LACKS][k] /= 2.0
    else:
        charge[HIGH][k], charge[HIGH_LACKS][k] = over, lacks
        if same_side:
            charge[LOW_LACKS][k] /= 2.0
    low, high = charge[LOW][k], charge[HIGH][k]
    new = over - lacks / slope
    missing = abs(new - over)
    if charge[LOW_LACKS][k] > 0.0 > charge[HIGH_LACKS][k] and missing > OVER_DONE:
        new = low + (high - low) * charge[LOW_LACKS][k] / (charge[LOW_LACKS][k] - charge[HIGH_LACKS][k])
    if amps >= 0.0 and low == 0.0 and charge[LOW_LACKS][k] == 0.0:
        new, missing = 0.0, over  # perhaps nothing is charged into it at all
    elif not low <= new <= high or (charge[HIGH_LACKS][k] == 0.0 and new > (low + high) / 2.0):
        new = (low + high) / 2.0
    charge[OVER][k] = new
    return missing


def _turn(n, row, col, fill, a, b, slot, kind, p0, p1, p2, shut, u, amps, g, j, w, h, x,
          beat, values, ends, known, work, mean):
    """One turn with everything held: means into ``amps`` and ``x``, the rest into ``work``; SETTLED or NO_END."""
    branches, angles = len(a), len(ends)
    for i in range(branches):
        work[MEAN_AMPS][i] = work[HEAT][i] = work[MEAN_VOLTS][i] = work[SWING][i] = 0.0
    for k in range(n):
        mean[k] = 0.0
    for k in range(len(beat)):
        work[KEPT][k] = p1[beat[k]]
    code = 0
    for angle in range(angles):
        for k in range(len(beat)):
            p1[beat[k]] = values[k * angles + angle]
        if known[0] != 0:
            for i in range(branches):
                u[i] = ends[angle][i]
        code = _newton(n, row, col, fill, a, b, slot, kind, p0, p1, p2, shut, u, amps, g, j, w, h, x)
        if code != 0:
            code = settle_carefully(n, row, col, fill, a, b, slot, kind, p0, p1, p2, shut, u, amps, g, j, w, h, x,
                                    work[HERE], work[STEP])
        if code != 0:
            break
        for k in range(n):
            mean[k] += x[k] / angles
        for i in range(branches):
            across = x[a[i]] - x[b[i]]
            ends[angle][i] = u[i]
            work[MEAN_AMPS][i] += amps[i] / angles
            work[HEAT][i] += amps[i] * amps[i] / angles
            work[MEAN_VOLTS][i] += across / angles
            work[SWING][i] += across * across / angles
    for k in range(len(beat)):
        p1[beat[k]] = work[KEPT][k]
    if code != 0:
        known[0] = 0
        return NO_END
    known[0] = 1
    for k in range(n):
        x[k] = mean[k]
    for i in range(branches):
        amps[i] = work[MEAN_AMPS][i]
        work[HEAT][i] = math.sqrt(work[HEAT][i])
        work[SWING][i] = math.sqrt(max(0.0, work[SWING][i] - work[MEAN_VOLTS][i] * work[MEAN_VOLTS][i]))
    return SETTLED
