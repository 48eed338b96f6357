"""Newton's method with a line search: slower than the kernel's own, and certain to arrive.

Several limited sources side by side can send the kernel's Newton round in a circle. Every law here rises with its
volts, so the sum of ∫ amps d(volts) over all branches is a convex function of the node volts with its one lowest point
where the currents balance; a step that goes past the lowest point on its line is cut short (Millar's co-content, 1951).
"""

import math

from kit.solve import kernel

LAPS, HALVINGS = 400, 60
SLACK = 0.5  # how steeply the line may rise again where a step ends, as a share of how it fell at its start
HOTTEST = 80.0  # a diode's exponent beyond which its law goes on straight


def settle(n, row, col, fill, a, b, slot, kind, p0, p1, p2, shut, u, amps, g, j, w, h, x) -> int:
    """Node volts for the given switch states, arguments as for ``kernel.solve``; SETTLED or NO_END."""
    branches = [i for i in range(len(a)) if shut[i]]
    here = [0.0] * len(a)
    x[:] = [0.0] * n
    for _ in range(LAPS):
        w[:], h[:] = [0.0] * len(w), [0.0] * len(h)
        for i in range(len(a)):
            g[i] = j[i] = 0.0
        for i in branches:
            flow, g[i] = law(kind[i], p0[i], p1[i], p2[i], here[i])
            j[i] = flow - g[i] * here[i]
            if slot[i] >= 0:
                w[slot[i]] += g[i]
                h[slot[i]] += j[i] if a[i] < b[i] else -j[i]
        kernel._eliminate(n, row, col, fill, w, h, x)
        step = [x[a[i]] - x[b[i]] - here[i] for i in range(len(a))]
        if all(abs(step[i]) <= kernel.STILL for i in branches if kind[i] != kernel.LINEAR):
            for i in range(len(a)):
                u[i] = here[i] + step[i]
                amps[i] = g[i] * u[i] + j[i]
            return kernel.SETTLED

        def slope(share: float, step=step) -> float:
            return sum(law(kind[i], p0[i], p1[i], p2[i], here[i] + share * step[i])[0] * step[i] for i in branches)

        share, low, high, fall = 1.0, 0.0, 1.0, abs(slope(0.0))
        for _ in range(HALVINGS):
            rise = slope(share)
            if abs(rise) <= SLACK * fall or (share == 1.0 and rise <= 0.0):
                break
            low, high = (low, share) if rise > 0.0 else (share, high)
            share = (low + high) / 2
        for i in range(len(a)):
            here[i] += share * step[i]
    return kernel.NO_END


def law(kind: int, p0: float, p1: float, p2: float, u: float) -> tuple[float, float]:
    """Amps and siemens of a branch at ``u`` volts: the kernel's laws (``kit.solve.kernel``)."""
    if kind == kernel.LINEAR:
        return p0 * u + p1, p0
    if kind == kernel.DIODE:
        power = math.exp(min(u / p1, HOTTEST))
        over = max(0.0, u / p1 - HOTTEST)
        return p0 * (power * (1.0 + over) - 1.0) + kernel.LEAK * u, p0 / p1 * power + kernel.LEAK
    if kind == kernel.LAMP:
        q = (u / p1) ** 2
        per_volt = 1.0 / (p0 * (q + p2) ** 0.225)
        return per_volt * u, per_volt * (1.0 - 0.45 * q / (q + p2))
    if kind == kernel.CHARGED:
        flow = p0 * u + p1
        return (flow, p0) if flow >= 0.0 else (flow / p0 * p2, p2)
    if abs(u) <= p0 * p1:
        return u / p0, 1.0 / p0
    flat = p2 / (1.0 + p0 * p2)
    return flat * u + math.copysign(p1, u) * (1.0 - flat * p0), flat
