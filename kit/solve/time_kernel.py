"""The time kernel: the steady kernel's network, its devices replaced step by step by what they are for that instant.

Backward Euler. A motor, a filament, a coil and a battery each become a conductance and a source that hold for one step;
then the very same elimination solves the network. Plain loops over flat sequences, compiled for long work.
"""

import math

from kit.solve.kernel import LINEAR, _newton, magnet_amps, throw

DONE, FULL, NO_END = 0, 1, 2
PULLS_IN, LETS_GO, MELTS = 1, 2, 3

SHORTEST, LONGEST = 1e-4, 2e-2  # seconds a step may last
FUSE_SECONDS = 2.2  # how fast a fuse's wire warms: with MELT_HEAT it keeps inside the usual band of a blade fuse
MELT_HEAT = 1.44  # (amps/rating)² that melts it in the long run: 1.2 times the rating
SLOW_SHARE, SLOW_SECONDS = 0.3, 1.5  # of a battery's ohms, the part that takes its time (sag and recovery)


def advance(n, row, col, fill, a, b, slot, kind, p0, p1, p2, shut, u, amps, g, j, w, h, x,
            coil, second, contact, rest, pull, drop, lag, closes, opens, due, coil_amps,
            battery, slow_volts, motor, inertia, emf, stands, lamp, warm, lamp_seconds, fuse, rating, heat,
            clock, end, kinds, q0, q1, out_time, out_x, out_amps, out_heat, event_time, event_kind, event_who, counts):
    """Run from ``clock[0]`` to ``end``; returns DONE, FULL (no room for more samples: go on after emptying) or NO_END.

    The network is that of ``kernel.solve``; ``kinds``, ``q0``, ``q1`` are work space for what it is during one step.
    Relays: ``lag`` seconds of the coil (L/R), ``closes`` and ``opens`` seconds of the contact, ``due`` the moment it
    moves (negative: it rests), ``coil_amps``. Batteries: ``slow_volts``. Motors: ``inertia`` (amp-seconds a volt),
    ``emf``, ``stands`` (work space). Lamps: ``warm``, share of the hot resistance. Fuses: ``heat``. ``clock`` holds
    the time and the next step, ``counts`` the number of samples and of events written.
    """
    branches = len(a)
    room = len(out_time)
    step = clock[1]
    while clock[0] < end - 1e-12:
        if counts[0] >= room or counts[1] >= len(event_time) - len(coil) - len(fuse):
            clock[1] = step
            return FULL
        dt = min(step, end - clock[0])
        for r in range(len(coil)):
            if due[r] >= 0.0:
                dt = min(dt, max(due[r] - clock[0], SHORTEST))
        for i in range(branches):
            kinds[i] = kind[i]
            q0[i] = p0[i]
            q1[i] = p1[i]
        for k in range(len(battery)):
            i = battery[k]
            if p0[i] > 0.0:
                share = dt / SLOW_SECONDS
                ohms = 1.0 / p0[i]
                q0[i] = 1.0 / (ohms * (1.0 - SLOW_SHARE) + ohms * SLOW_SHARE * share / (1.0 + share))
                q1[i] = q0[i] * (p1[i] / p0[i] - slow_volts[k] / (1.0 + share))
        for k in range(len(lamp)):
            i = lamp[k]
            if kind[i] != LINEAR:
                kinds[i] = LINEAR
                q0[i] = 1.0 / (p0[i] * warm[k])
                q1[i] = 0.0
        for r in range(len(coil)):
            i = coil[r]
            if p0[i] > 0.0:
                keeps = lag[r] / dt / p0[i]
                q0[i] = 1.0 / (1.0 / p0[i] + keeps)
                q1[i] = q0[i] * keeps * coil_amps[r]
        for k in range(len(motor)):
            stands[k] = 0
        again = True
        while again:
            for k in range(len(motor)):
                i = motor[k]
                if kind[i] == LINEAR:
                    continue
                kinds[i] = LINEAR
                if stands[k] == 0:
                    denominator = inertia[k] / dt + p2[i] + 1.0 / p0[i]
                    q0[i] = (1.0 - 1.0 / (p0[i] * denominator)) / p0[i]
                    q1[i] = -(inertia[k] / dt * emf[k] - p1[i]) / denominator / p0[i]
                else:
                    q0[i] = 1.0 / p0[i]
                    q1[i] = 0.0
            if _newton(n, row, col, fill, a, b, slot, kinds, q0, q1, p2, shut, u, amps, g, j, w, h, x) != 0:
                return NO_END
            again = False
            for k in range(len(motor)):
                # A step that would make it turn backwards is done again with the motor standing.
                if kind[motor[k]] != LINEAR and stands[k] == 0 and _emf(x, a, b, motor[k], amps, p0, shut) < 0.0:
                    stands[k] = 1
                    again = True
        # How far each device moved, in shares of what it may move in one step.
        reach = 0.0
        for k in range(len(motor)):
            i = motor[k]
            if kind[i] != LINEAR:
                reach = max(reach, abs(_emf(x, a, b, i, amps, p0, shut) - emf[k]) / 0.25)
        for k in range(len(lamp)):
            reach = max(reach, abs(_warmer(k, lamp, warm, lamp_seconds, p1, p2, u, dt) - warm[k]) / 0.05)
        for r in range(len(coil)):
            reach = max(reach, abs(amps[coil[r]] - coil_amps[r]) / (0.1 * pull[r]))
        for f in range(len(fuse)):
            reach = max(reach, abs(_hotter(f, fuse, rating, heat, amps, dt) - heat[f]) / 0.1)
        if reach > 1.5 and dt > SHORTEST * 1.01:
            step = max(SHORTEST, dt / 2.0)
            continue
        clock[0] += dt
        for k in range(len(battery)):
            i = battery[k]
            if p0[i] > 0.0:
                share = dt / SLOW_SECONDS
                slow_volts[k] = (slow_volts[k] + share * SLOW_SHARE / p0[i] * amps[i]) / (1.0 + share)
        for k in range(len(motor)):
            i = motor[k]
            if kind[i] != LINEAR:
                emf[k] = max(0.0, _emf(x, a, b, i, amps, p0, shut))
        for k in range(len(lamp)):
            warm[k] = _warmer(k, lamp, warm, lamp_seconds, p1, p2, u, dt)
        for f in range(len(fuse)):
            heat[f] = _hotter(f, fuse, rating, heat, amps, dt)
        moved = False
        for f in range(len(fuse)):
            if shut[fuse[f]] != 0 and heat[f] >= MELT_HEAT:
                shut[fuse[f]] = 0
                moved = _event(counts, event_time, event_kind, event_who, clock[0], MELTS, f)
        for r in range(len(coil)):
            coil_amps[r] = amps[coil[r]]
            pulls = magnet_amps(amps, coil[r], second[r])
            pulled = shut[contact[r]] != 0
            if due[r] >= 0.0 and clock[0] >= due[r] - 1e-12:
                throw(shut, contact[r], rest[r], 0 if pulled else 1)
                due[r] = -1.0
                moved = _event(counts, event_time, event_kind, event_who, clock[0], LETS_GO if pulled else PULLS_IN, r)
            elif due[r] < 0.0 and (pulls < drop[r] if pulled else pulls >= pull[r]):
                due[r] = clock[0] + (opens[r] if pulled else closes[r])
            elif due[r] >= 0.0 and (pulls >= pull[r] if pulled else pulls < drop[r]):
                due[r] = -1.0
        out_time[counts[0]] = clock[0]
        for k in range(n):
            out_x[counts[0]][k] = x[k]
        for i in range(branches):
            out_amps[counts[0]][i] = amps[i]
        for k in range(len(motor)):
            out_heat[counts[0]][k] = emf[k]
        for k in range(len(lamp)):
            out_heat[counts[0]][len(motor) + k] = warm[k]
        counts[0] += 1
        step = SHORTEST if moved else min(LONGEST, dt * 1.5 if reach < 0.7 else dt)
    clock[1] = step
    return DONE


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


def _hotter(f, fuse, rating, heat, amps, dt):
    """A fuse's heat one step on, in (amps/rating)²."""
    share = amps[fuse[f]] / rating[f]
    k = dt / FUSE_SECONDS
    return (heat[f] + k * share * share) / (1.0 + k)


def _event(counts, event_time, event_kind, event_who, now, what, who):
    event_time[counts[1]] = now
    event_kind[counts[1]] = what
    event_who[counts[1]] = who
    counts[1] += 1
    return True
