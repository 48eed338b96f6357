"""The time kernel: the steady kernel's network, its devices replaced step by step by what they are for that instant.

Backward Euler. A motor, a filament, a winding and a battery each become a conductance and a source that hold for one
step; then the very same elimination solves the network. Where a time constant is known beforehand (winding, battery,
fuse) the step is stretched so that an exponential comes out exact. Plain loops over flat sequences, compiled by
``kit.solve.fast_time`` for long work. What moves by itself (a contact, a fuse's wire) moves between two steps, and the
step after it is a short one again.
"""

import math

from kit.solve.fuses import BLADE_SECONDS, BLADE_SHARE, WIRE_SECONDS, WIRE_SHARE
from kit.solve.kernel import CHARGED, LINEAR, SETTLED, _newton
from kit.solve.movers import magnet_amps, throw
from kit.solve.turn_kernel import HEAT, MEAN_VOLTS, OVER_DONE, SWING, charged_turn

DONE, FULL, NO_END = 0, 1, 2
PULLS_IN, LETS_GO, MELTS = 1, 2, 3

SHORTEST, LONGEST = 1e-4, 5e-2  # seconds a step may last
SLOW_SHARE, SLOW_SECONDS = 0.3, 1.5  # of a battery's ohms, the part that takes its time (sag and recovery)
# How far a device may move in one step; twice as far and the step is done again at half its length.
EMF_STEP, WARM_STEP, PULL_STEP, HEAT_STEP, SAG_STEP = 0.25, 0.05, 0.07, 0.07, 0.1


def advance(n, row, col, fill, a, b, slot, kind, p0, p1, p2, shut, u, amps, g, j, w, h, x, live, base,
            winding, henries, core, full, wound_amps, first, second, contact, rest, pull, drop, closes, opens, falls,
            left, due, flux, battery, slow_volts, motor, inertia, emf, way, lamp, warm, lamp_seconds, fuse, rating,
            wire, blades, beat, values, ends, known, work, space, charging, charge,
            clock, end, kinds, q0, q1, q2,
            out_time, out_x, out_amps, out_slow, event_time, event_kind, event_who, counts):
    """Run from ``clock[0]`` to ``end``; returns DONE, FULL (no room for more samples: go on after emptying) or NO_END.

    The network is that of ``kernel.solve``; ``kinds``, ``q0`` to ``q2`` are work space for what it is during one step.
    Windings: their branch, ``henries`` (0: what it does follows its amps at once), the ohms of the iron's losses
    (``core``), the amps that count as a full step (``full``), and ``wound_amps``, what magnetises. Relays: ``first``
    and ``second`` name windings (−1: none), ``closes`` and ``opens`` seconds of the contact, ``falls`` those its
    armature takes back to rest (0: at once), ``left`` the moment it last let go, ``due`` the moment it moves (negative:
    it rests), ``flux`` work space. Batteries: ``slow_volts``. Motors: ``inertia`` (amp-seconds a
    volt), ``emf``, ``way`` (work space: 1 forwards, −1 backwards, 0 stands). Lamps: ``warm``, share of the hot
    resistance. Fuses: heat of ``wire`` and ``blades``. ``beat`` … ``charge``: what turns and how, as for
    ``turn_kernel.charged_turn``; a turn is over within a step, which then goes by its means. ``clock`` holds the time
    and the next step, ``counts`` the number of samples and of events written.
    """
    branches = len(a)
    room = len(out_time)
    step = clock[1]
    while clock[0] < end - 1e-12:
        if counts[0] >= room or counts[1] >= len(event_time) - len(first) - len(fuse):
            clock[1] = step
            return FULL
        dt = min(step, end - clock[0])
        for r in range(len(first)):
            if due[r] >= 0.0:
                dt = min(dt, max(due[r] - clock[0], SHORTEST))
        for i in range(branches):
            kinds[i] = kind[i]
            q0[i] = p0[i]
            q1[i] = p1[i]
            q2[i] = p2[i]
        for k in range(len(battery)):
            i = battery[k]
            if p0[i] > 0.0:
                share = _stretched(dt, SLOW_SECONDS) / SLOW_SECONDS
                ohms = 1.0 / p0[i]
                q0[i] = 1.0 / (ohms * (1.0 - SLOW_SHARE) + ohms * SLOW_SHARE * share / (1.0 + share))
                q1[i] = q0[i] * (p1[i] / p0[i] - slow_volts[k] / (1.0 + share))
                if kind[i] == CHARGED:
                    q2[i] = 1.0 / (1.0 / p2[i] - ohms + 1.0 / q0[i])
        for k in range(len(lamp)):
            i = lamp[k]
            kinds[i] = LINEAR
            q0[i] = 1.0 / (p0[i] * warm[k])
            q1[i] = 0.0
        for k in range(len(winding)):
            i = winding[k]
            if p0[i] > 0.0 and henries[k] > 0.0:
                keeps = _keeps(henries[k], core[k], p0[i], dt)
                q0[i] = 1.0 / (1.0 / p0[i] + keeps)
                q1[i] = q0[i] * keeps * wound_amps[k]
        for k in range(len(motor)):
            # A motor at rest sets off the way it is pushed.
            pushed = emf[k] if emf[k] != 0.0 else u[motor[k]]
            way[k] = -1 if pushed < 0.0 else 1
        again = True
        while again:
            for k in range(len(motor)):
                i = motor[k]
                kinds[i] = LINEAR
                if way[k] != 0:
                    denominator = inertia[k] / dt + p2[i] + 1.0 / p0[i]
                    q0[i] = (1.0 - 1.0 / (p0[i] * denominator)) / p0[i]
                    q1[i] = -(inertia[k] / dt * emf[k] - way[k] * p1[i]) / denominator / p0[i]
                else:
                    q0[i] = 1.0 / p0[i]
                    q1[i] = 0.0
            if len(beat) == 0:
                if _newton(n, row, col, fill, a, b, slot, kinds, q0, q1, q2, shut, u, amps, g, j, w, h, x,
                           live, base) != 0:
                    return NO_END
            elif charged_turn(n, row, col, fill, a, b, slot, kinds, q0, q1, q2, shut, u, amps, g, j, w, h,
                              x, live, base, beat, values, ends, known, work, space, charging, charge,
                              OVER_DONE) != SETTLED:
                return NO_END
            again = False
            for k in range(len(motor)):
                # A step that would make it turn against its push is done again with the motor standing.
                if way[k] != 0 and way[k] * _emf(x, a, b, motor[k], amps, p0, shut) < 0.0:
                    way[k] = 0
                    again = True
        if len(beat) != 0:
            for i in range(branches):
                u[i] = work[MEAN_VOLTS][i]
            for k in range(len(lamp)):
                u[lamp[k]] = math.sqrt(u[lamp[k]] * u[lamp[k]] + work[SWING][lamp[k]] * work[SWING][lamp[k]])
        # How far each device moved, in shares of what it may move in one step.
        reach = 0.0
        for k in range(len(battery)):
            if p0[battery[k]] > 0.0:
                reach = max(reach, abs(_sag(k, battery, slow_volts, amps, p0, dt) - slow_volts[k]) / SAG_STEP)
        for k in range(len(motor)):
            reach = max(reach, abs(_emf(x, a, b, motor[k], amps, p0, shut) - emf[k]) / EMF_STEP)
        for k in range(len(lamp)):
            reach = max(reach, abs(_warmer(k, lamp, warm, lamp_seconds, p1, p2, u, dt) - warm[k]) / WARM_STEP)
        for k in range(len(winding)):
            if henries[k] > 0.0:
                more = _magnetised(k, winding, henries, core, wound_amps, amps, p0, dt) - wound_amps[k]
                reach = max(reach, abs(more) / (PULL_STEP * full[k]))
        for f in range(len(fuse)):
            if shut[fuse[f]] != 0:
                share = (amps[fuse[f]] if len(beat) == 0 else work[HEAT][fuse[f]]) / rating[f]
                more = WIRE_SHARE * (_hotter(wire[f], share, WIRE_SECONDS, dt) - wire[f])
                reach = max(reach, abs(more) / HEAT_STEP)
        if reach > 1.5 and dt > SHORTEST * 1.01:
            step = max(SHORTEST, dt / 2.0)
            continue
        clock[0] += dt
        for k in range(len(battery)):
            if p0[battery[k]] > 0.0:
                slow_volts[k] = _sag(k, battery, slow_volts, amps, p0, dt)
        for k in range(len(motor)):
            emf[k] = _emf(x, a, b, motor[k], amps, p0, shut) if way[k] != 0 else 0.0
        for k in range(len(lamp)):
            warm[k] = _warmer(k, lamp, warm, lamp_seconds, p1, p2, u, dt)
        moved = False
        for f in range(len(fuse)):
            share = (amps[fuse[f]] if len(beat) == 0 else work[HEAT][fuse[f]]) / rating[f]
            wire[f] = _hotter(wire[f], share, WIRE_SECONDS, dt)
            blades[f] = _hotter(blades[f], share, BLADE_SECONDS, dt)
            if shut[fuse[f]] != 0 and WIRE_SHARE * wire[f] + BLADE_SHARE * blades[f] >= 1.0:
                shut[fuse[f]] = 0
                moved = _event(counts, event_time, event_kind, event_who, clock[0], MELTS, f)
        for r in range(len(first)):
            # What pulled before this step waits in ``flux`` until every winding has been moved on.
            flux[r] = magnet_amps(wound_amps, first[r], second[r])
        for k in range(len(winding)):
            wound_amps[k] = _magnetised(k, winding, henries, core, wound_amps, amps, p0, dt)
        for r in range(len(first)):
            pulls = magnet_amps(wound_amps, first[r], second[r])
            pulled = shut[contact[r]] != 0
            if due[r] >= 0.0 and clock[0] >= due[r] - 1e-12:
                throw(shut, contact[r], rest[r], 0 if pulled else 1)
                due[r] = -1.0
                if pulled:
                    left[r] = clock[0]
                moved = _event(counts, event_time, event_kind, event_who, clock[0], LETS_GO if pulled else PULLS_IN, r)
            elif due[r] < 0.0 and (pulls < drop[r] if pulled else pulls >= pull[r]):
                limit = drop[r] if pulled else pull[r]
                # The moment it crossed, between the two ends of the step; one that starts beyond has crossed already.
                late = (pulls - limit) / (pulls - flux[r]) if (flux[r] - limit) * (pulls - limit) < 0.0 else 1.0
                crossed = max(0.0, clock[0] - late * dt)
                takes = opens[r] if pulled else closes[r]
                if not pulled and crossed - left[r] < falls[r]:
                    # Caught before it was back at rest, it has only the way it fell to make up.
                    takes *= max(0.0, crossed - left[r]) / falls[r]
                due[r] = crossed + takes
            elif due[r] >= 0.0 and (pulls >= pull[r] if pulled else pulls < (pull[r] if falls[r] > 0.0 else drop[r])):
                due[r] = -1.0  # Turned back on its way: a short one falls on, a long one must be pulled all along.
        out_time[counts[0]] = clock[0]
        for k in range(n):
            out_x[counts[0]][k] = x[k]
        for i in range(branches):
            out_amps[counts[0]][i] = amps[i]
        for k in range(len(motor)):
            out_slow[counts[0]][k] = emf[k]
        for k in range(len(lamp)):
            out_slow[counts[0]][len(motor) + k] = warm[k]
        counts[0] += 1
        step = SHORTEST if moved else min(LONGEST, dt * 1.5 if reach < 0.7 else dt)
    clock[1] = step
    return DONE


def _stretched(dt, seconds):
    """The step with which backward Euler moves an exponential of so many seconds as far as it goes in ``dt``."""
    return seconds * (math.exp(min(dt / seconds, 30.0)) - 1.0)


def _pace(henries, core, siemens, dt):
    """The stretched step of a winding over its inductance, in siemens."""
    return _stretched(dt, henries * (siemens + 1.0 / core)) / henries


def _keeps(henries, core, siemens, dt):
    """Ohms that stand for a winding's iron during one step: its inductance beside its losses."""
    return 1.0 / (_pace(henries, core, siemens, dt) + 1.0 / core)


def _magnetised(k, winding, henries, core, wound_amps, amps, p0, dt):
    """The amps that magnetise, one step on: those of the wire less those the losses take."""
    i = winding[k]
    if henries[k] == 0.0:
        return amps[i]
    across = _keeps(henries[k], core[k], p0[i], dt) * (amps[i] - wound_amps[k])
    return wound_amps[k] + _pace(henries[k], core[k], p0[i], dt) * across


def _sag(k, battery, slow_volts, amps, p0, dt):
    """A battery's slow volts one step on."""
    share = _stretched(dt, SLOW_SECONDS) / SLOW_SECONDS
    i = battery[k]
    return (slow_volts[k] + share * SLOW_SHARE / p0[i] * amps[i]) / (1.0 + share)


def _emf(x, a, b, i, amps, p0, shut):
    """Back-EMF that leaves these amps for these volts."""
    return (x[a[i]] - x[b[i]]) * shut[i] - amps[i] * p0[i]


def _warmer(k, lamp, warm, lamp_seconds, p1, p2, u, dt):
    """A filament's resistance share one step on; at rest it is that of the steady law."""
    r = warm[k]
    volts = u[lamp[k]] / p1[lamp[k]]
    q = volts * volts + p2[lamp[k]]
    rate = dt / lamp_seconds[k]
    cools = math.pow(r, 1.0 / 0.225 - 1.0)
    slope = q / (r * r) + (1.0 / 0.225 - 1.0) * cools / r
    return max(r + rate * (q / r - cools) / (1.0 + rate * slope), math.pow(p2[lamp[k]], 0.225))


def _hotter(heat, share, seconds, dt):
    """A stage of a fuse's heat one step on, in (amps/rating)²."""
    return share * share + (heat - share * share) * math.exp(-dt / seconds)


def _event(counts, event_time, event_kind, event_who, now, what, who):
    event_time[counts[1]] = now
    event_kind[counts[1]] = what
    event_who[counts[1]] = who
    counts[1] += 1
    return True
