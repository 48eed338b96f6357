"""Newton's method with a line search: slower than the kernel's own, and certain to arrive.

Several limited sources side by side can send the kernel's Newton round in a circle. Every law here rises with its
volts, so the sum of ∫ amps d(volts) over all branches is a convex function of the node volts with its one lowest point
where the currents balance; a step that goes past the lowest point on its line is cut short (Millar's co-content, 1951).
Plain loops over flat sequences, as the kernel's: they run on lists, and compiled in sweeps.
"""

import math

from kit.solve.elimination import _eliminate
from kit.solve.kernel import CHARGED, DIODE, HOTTEST, LAMP, LEAK, LINEAR, NO_END, SETTLED, STILL

LAPS, HALVINGS = 400, 60
SLACK = 0.5  # how steeply the line may rise again where a step ends, as a share of how it fell at its start


def settle_carefully(n, row, col, fill, a, b, slot, kind, p0, p1, p2, shut, u, amps, g, j, w, h, x, live, base,
                     here, step):
    """Node volts for the given switch states, arguments as for ``kernel.solve``; SETTLED or NO_END.

    ``here`` and ``step`` are work space, one number a branch each: where it stands, and where Newton would go.
    """
    branches = len(a)
    for i in range(branches):
        here[i] = 0.0
    for _ in range(LAPS):
        for k in range(len(w)):
            w[k] = 0.0
            h[k] = 0.0
        for i in range(branches):
            if shut[i] == 0:
                g[i] = 0.0
                j[i] = 0.0
                continue
            flow, g[i] = law(kind[i], p0[i], p1[i], p2[i], here[i])
            j[i] = flow - g[i] * here[i]
            if slot[i] >= 0:
                w[slot[i]] += g[i]
                h[slot[i]] += j[i] if a[i] < b[i] else -j[i]
        _eliminate(n, row, col, fill, w, h, x)
        still = True
        for i in range(branches):
            step[i] = x[a[i]] - x[b[i]] - here[i]
            if shut[i] != 0 and kind[i] != LINEAR and abs(step[i]) > STILL:
                still = False
        if still:
            for i in range(branches):
                u[i] = here[i] + step[i]
                amps[i] = g[i] * u[i] + j[i]
            return SETTLED
        share, low, high = 1.0, 0.0, 1.0
        fall = abs(_slope(0.0, kind, p0, p1, p2, shut, here, step))
        for _ in range(HALVINGS):
            rise = _slope(share, kind, p0, p1, p2, shut, here, step)
            if abs(rise) <= SLACK * fall or (share == 1.0 and rise <= 0.0):
                break
            if rise > 0.0:
                high = share
            else:
                low = share
            share = (low + high) / 2.0
        for i in range(branches):
            here[i] += share * step[i]
    return NO_END


def _slope(share, kind, p0, p1, p2, shut, here, step):
    """How steeply the co-content rises along the step, so much of it done."""
    total = 0.0
    for i in range(len(kind)):
        if shut[i] != 0:
            flow, _ = law(kind[i], p0[i], p1[i], p2[i], here[i] + share * step[i])
            total += flow * step[i]
    return total


def law(kind, p0, p1, p2, u):
    """Amps and siemens of a branch at ``u`` volts: the kernel's laws, a diode's going on straight from ``HOTTEST``."""
    if kind == LINEAR:
        return p0 * u + p1, p0
    if kind == DIODE:
        power = math.exp(min(u / p1, HOTTEST))
        over = max(0.0, u / p1 - HOTTEST)
        return p0 * (power * (1.0 + over) - 1.0) + LEAK * u, p0 / p1 * power + LEAK
    if kind == LAMP:
        q = (u / p1) * (u / p1)
        per_volt = 1.0 / (p0 * math.pow(q + p2, 0.225))
        return per_volt * u, per_volt * (1.0 - 0.45 * q / (q + p2))
    if kind == CHARGED:
        flow = p0 * u + p1
        if flow >= 0.0:
            return flow, p0
        return flow / p0 * p2, p2
    if abs(u) <= p0 * p1:
        return u / p0, 1.0 / p0
    flat = p2 / (1.0 + p0 * p2)
    return flat * u + math.copysign(p1, u) * (1.0 - flat * p0), flat
