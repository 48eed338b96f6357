"""Turning circuits, the plain loops of it: one turn at each of its angles, a charged battery's overvoltage, relays.

Like ``kit.solve.kernel`` these functions run on lists for one case and compiled on arrays for many; ``network`` below
stands for the kernel's arguments ``n`` … ``x``. What it means is told in ``kit.solve.turning``.
"""

import math

from kit.solve.careful import law, settle_carefully
from kit.solve.elimination import _backward, _straight
from kit.solve.kernel import (
    CHARGED,
    CHATTERS,
    LINEAR,
    NO_END,
    SETTLED,
    STILL,
    _all_moved,
    _devices,
)
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
WAY_ROUND = 0.15  # siemens of all the way a charging current takes, as a share of the battery's own: a first guess
MOST = 0.5  # of its rest volts, where the search for it ends at first: it boils long before


def settle_turning(n, row, col, fill, a, b, slot, kind, p0, p1, p2, shut, u, amps, g, j, w, h, x, live, base,
                   coil, second, contact, rest, pull, drop, pace, flips, seen, fuse, melt,
                   beat, values, ends, known, work, space, slow, charge):
    """Settle a case that turns; returns as ``kernel.solve``, whose first arguments these are.

    ``beat`` names the branches that beat, ``values`` their ``p1``, angle by angle, one branch after the other;
    ``ends[angle]`` are the volts each branch had at that angle, read where ``known[0]`` is 1. ``slow`` names the
    batteries that charge (``CHARGED``), ``charge`` is their work space, its first row read as where to start. ``amps``
    and ``x`` are left as the means of a turn, ``work[HEAT]`` as effective amps, ``work[SWING]`` as the effective volts
    of what alternates. ``space`` is work space (``kit.solve.turning.space``).
    """
    visited, last = 0, -1
    for r in range(len(coil)):
        flips[len(flips) // 2 + r] = 0
    while True:
        pattern = _pattern(shut, contact)
        if _came_round(pattern, visited, seen, flips):
            visited, half, last = 0, 0, -1
            _left_behind(shut, second, contact, rest, pace, flips)
            while half < 2:
                _swing(shut, contact, rest, flips, 1 - half)
                for k in range(len(slow)):
                    charge[OVER][k] = -1.0
                if charged_turn(n, row, col, fill, a, b, slot, kind, p0, p1, p2, shut, u, amps, g, j, w, h, x, live,
                                base, beat, values, ends, known, work, space, slow, charge, OVER_DECIDED) != SETTLED:
                    return NO_END
                moved = _beside(half, shut, amps, coil, second, contact, rest, pull, drop, pace, flips)
                if moved == BESIDE_MOVED:
                    break
                _heat(half, work[HEAT], flips, fuse, melt, pace)
                half = half + 1 if moved == BESIDE_CALM else 0
            if half < 2:
                continue
            hottest = _hottest(shut, flips, fuse, pace)
            if hottest < 0:
                return CHATTERS
            shut[fuse[hottest]] = 0
            _calm(flips)
            continue
        if charged_turn(n, row, col, fill, a, b, slot, kind, p0, p1, p2, shut, u, amps, g, j, w, h, x, live, base,
                        beat, values, ends, known, work, space, slow, charge, OVER_DONE) != SETTLED:
            return NO_END
        if _blown_first(last, shut, work[HEAT], contact, rest, flips, fuse, melt, pace):
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
            _keep_amps(work[HEAT], flips, fuse, pace)
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
        visited, last = 0, -1


def turning_rests_elsewhere(n, row, col, fill, a, b, slot, kind, p0, p1, p2, shut, u, amps, g, j, w, h, x, live, base,
                            coil, second, contact, rest, pull, drop, seen, pulled,
                            beat, values, ends, known, work, space, slow, charge):
    """As ``kernel.rests_elsewhere``, for a case that turns and has just been settled."""
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
        if charged_turn(n, row, col, fill, a, b, slot, kind, p0, p1, p2, shut, u, amps, g, j, w, h, x, live, base,
                        beat, values, ends, known, work, space, slow, charge, OVER_DECIDED) != SETTLED:
            return False
        worst = _pushed(shut, amps, coil, second, contact, pull, drop)
        if worst < 0:
            return True
        seen[visited] = pattern
        visited += 1
        throw(shut, contact[worst], rest[worst], 1 - shut[contact[worst]])


def charged_turn(n, row, col, fill, a, b, slot, kind, p0, p1, p2, shut, u, amps, g, j, w, h, x, live, base,
                 beat, values, ends, known, work, space, slow, charge, done):
    """A turn whose batteries' overvoltage fits the mean of what is charged into them, within ``done`` volts.

    Gives SETTLED or NO_END.
    """
    fresh = False
    for k in range(len(slow)):
        # One that was not charged tells nothing of what it will have once it is.
        fresh = fresh or charge[OVER][k] <= 0.0
    count = _lively(a, kind, beat, live)
    _shares(beat, values, space[0], space[1])
    first, filled = _straight(n, row, fill, a, b, slot, p0, p1, shut, g, j, w, h, live, base, count)
    if fresh or len(slow) == 0:
        # First as if the overvoltage followed at once; that is near where the ripple is small.
        if _turn(n, row, col, fill, a, b, slot, kind, p0, p1, p2, shut, u, amps, g, j, w, h, x, live, base,
                 beat, values, ends, known, work, space, count, first, filled) != SETTLED:
            return NO_END
        if len(slow) == 0:
            _sum_up(n, row, col, a, b, kind, p0, p1, p2, shut, amps, g, j, w, h, x, live, ends, work, space,
                    count, first)
            return SETTLED
    for k in range(len(slow)):
        i = slow[k]
        charge[OHMS][k] = 1.0 / p2[i] - 1.0 / p0[i]
        charge[OWN][k] = p1[i]
        if fresh:
            charge[OVER][k] = _driven(i, space) * charge[OHMS][k]
        _look_afresh(k, charge, MOST * abs(p1[i]) / p0[i])
        charge[LAST_OVER][k] = -1.0
    code = NO_END
    for _ in range(OVER_LIMIT):
        for k in range(len(slow)):
            kind[slow[k]] = LINEAR
            p1[slow[k]] = charge[OWN][k] + p0[slow[k]] * charge[OVER][k]
        if _turn(n, row, col, fill, a, b, slot, kind, p0, p1, p2, shut, u, amps, g, j, w, h, x, live, base,
                 beat, values, ends, known, work, space, count, first, filled) != SETTLED:
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
    if code == SETTLED:
        _sum_up(n, row, col, a, b, kind, p0, p1, p2, shut, amps, g, j, w, h, x, live, ends, work, space, count, first)
    return code


def _driven(battery, space):
    """The mean amps driven into a battery while any are: what would hold its volts up where they stand then."""
    alike, shares, flows = space[0], space[1], space[3]
    amps = while_any = 0.0
    for angle in range(len(alike)):
        if alike[angle] == angle and flows[angle][battery] < 0.0:
            amps -= shares[angle] * flows[angle][battery]
            while_any += shares[angle]
    return amps / while_any if while_any > 0.0 else 0.0


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
    slope = -1.0 - WAY_ROUND * ohms * siemens
    first_look = charge[LAST_OVER][k] < 0.0
    if not first_look and over != charge[LAST_OVER][k]:
        slope = (lacks - charge[LAST_LACKS][k]) / (over - charge[LAST_OVER][k])
        slope = min(-1.0, max(steepest, slope))
    same_side = not first_look and (lacks > 0.0) == (charge[LAST_LACKS][k] > 0.0)
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
    if amps >= 0.0 and low == 0.0 and charge[LOW_LACKS][k] == 0.0 and not (first_look and new > over / 2.0):
        new, missing = 0.0, over  # perhaps nothing is charged into it at all
    elif not low <= new <= high or (charge[HIGH_LACKS][k] == 0.0 and new > (low + high) / 2.0):
        new = (low + high) / 2.0
    charge[OVER][k] = new
    return missing


def _lively(a, kind, beat, live):
    """The branches that are not the same at every angle, into ``live``; gives how many."""
    count = 0
    for i in range(len(a)):
        alive = kind[i] != LINEAR
        for k in range(len(beat)):
            alive = alive or beat[k] == i
        if alive:
            live[count] = i
            count += 1
    return count


def _shares(beat, values, alike, shares):
    """The angles with one earlier that is just like them, and what share of a turn each is."""
    angles = len(alike)
    for angle in range(angles):
        shares[angle] = 0.0
        alike[angle] = angle
        for other in range(angle):
            same = True
            for k in range(len(beat)):
                here, there = values[k * angles + angle], values[k * angles + other]
                same = same and abs(here - there) <= 1e-12 * abs(here)
            if same:
                alike[angle] = other
                break
        shares[alike[angle]] += 1.0 / angles


def _turn(n, row, col, fill, a, b, slot, kind, p0, p1, p2, shut, u, amps, g, j, w, h, x, live, base,
          beat, values, ends, known, work, space, count, first, filled):
    """One turn with everything held, after ``_straight``; leaves the mean amps of its live branches in ``amps``.

    What stands at each angle is left in ``ends`` and ``space``, for ``_sum_up``; gives SETTLED or NO_END.
    """
    alike, shares, spots, flows = space[0], space[1], space[2], space[3]
    angles = len(alike)
    for c in range(count):
        work[MEAN_AMPS][live[c]] = 0.0
    for k in range(len(beat)):
        work[KEPT][k] = p1[beat[k]]
    code = 0
    for angle in range(angles):
        if alike[angle] != angle:
            continue
        for k in range(len(beat)):
            p1[beat[k]] = values[k * angles + angle]
        if known[0] != 0:
            for c in range(count):
                u[live[c]] = ends[angle][live[c]]
        elif _turned_round(angle, beat, values, angles):
            for c in range(count):
                u[live[c]] = 0.0
        code = _devices(n, row, col, fill, a, b, slot, kind, p0, p1, p2, shut, u, amps, g, j, w, h, x, live, base,
                        count, first, filled, STILL)
        if code != 0:
            code = settle_carefully(n, row, col, fill, a, b, slot, kind, p0, p1, p2, shut, u, amps, g, j, w, h,
                                    x, live, base, work[HERE], work[STEP])
        if code != 0:
            break
        for k in range(first, n):
            spots[angle][k] = x[k]
        for c in range(count):
            i = live[c]
            ends[angle][i] = u[i]
            flows[angle][i] = amps[i]
            work[MEAN_AMPS][i] += shares[angle] * amps[i]
    for k in range(len(beat)):
        p1[beat[k]] = work[KEPT][k]
    if code != 0:
        known[0] = 0
        return NO_END
    known[0] = 1
    for c in range(count):
        amps[live[c]] = work[MEAN_AMPS][live[c]]
    return SETTLED


def _turned_round(angle, beat, values, angles):
    """Whether something that beats has changed sides since the angle before."""
    for k in range(len(beat)):
        if angle > 0 and values[k * angles + angle] * values[k * angles + angle - 1] < 0.0:
            return True
    return False


def _sum_up(n, row, col, a, b, kind, p0, p1, p2, shut, amps, g, j, w, h, x, live, ends, work, space, count, first):
    """The whole circuit over the turn just done: means into ``amps`` and ``x``, the rest into ``work``.

    ``g`` of what bends is left as it is at the last angle.
    """
    alike, shares, spots, flows, mean = space
    mean_amps, heat, mean_volts, swing = work[MEAN_AMPS], work[HEAT], work[MEAN_VOLTS], work[SWING]
    for i in range(len(a)):
        mean_amps[i] = heat[i] = mean_volts[i] = swing[i] = 0.0
    for k in range(n):
        mean[k] = 0.0
    for angle in range(len(alike)):
        if alike[angle] != angle:
            for c in range(count):
                ends[angle][live[c]] = ends[alike[angle]][live[c]]
            continue
        share = shares[angle]
        for k in range(first, n):
            x[k] = spots[angle][k]
        _backward(row, col, w, h, x, 0, first)
        for k in range(n):
            mean[k] += share * x[k]
        for c in range(count):
            flow = flows[angle][live[c]]
            mean_amps[live[c]] += share * flow
            heat[live[c]] += share * flow * flow
        c = 0
        for i in range(len(a)):
            across = x[a[i]] - x[b[i]]
            mean_volts[i] += share * across
            swing[i] += share * across * across
            if c < count and live[c] == i:
                c += 1
            elif g[i] != 0.0:
                flow = g[i] * across + j[i]
                mean_amps[i] += share * flow
                heat[i] += share * flow * flow
    for k in range(n):
        x[k] = mean[k]
    for c in range(count):
        i = live[c]
        if shut[i] != 0 and kind[i] != CHARGED:
            _, g[i] = law(kind[i], p0[i], p1[i], p2[i], ends[len(alike) - 1][i])
    for i in range(len(a)):
        amps[i] = mean_amps[i]
        heat[i] = math.sqrt(heat[i])
        swing[i] = math.sqrt(max(0.0, swing[i] - mean_volts[i] * mean_volts[i]))
