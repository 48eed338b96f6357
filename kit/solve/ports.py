"""A settled circuit seen from the ends of its devices: the few volts that move when an instrument is put on.

Everything straight in a circuit is known once it is settled: volts anywhere for an amp in anywhere (``z`` of
``kit.solve.thevenin``). So an instrument, and the devices whose bend matters, are a handful of equations among
themselves, u = rest − Z·extra(u), with ``extra`` the amps each carries beside what its slope says. Newton's method on
those takes the very steps it would take on the whole circuit. With them the amps of every relay's coil and of every
fuse are known too: where none comes to its threshold, nothing more would happen in the whole circuit either.

Plain loops, to be compiled. Devices are counted through ``bent``; ``sight[k, c]`` are the volts across device c for an
amp into node k, ``watch[k, r]`` the amps more in relay r's coils, and after the relays in each fuse, for the same.
"""


from kit.solve.careful import law
from kit.solve.kernel import CHARGED, DIODE, LAMP, _damped

STEPS, STEADY = 60, 1e-6  # of Newton's method at most; volts a step may still have at the end
LOST = 1e-4       # volts that rounding may cost
ROUNDING = 1e-14  # share of the ohms between far islands that elimination may have lost
THINNEST = 1e-8   # least pivot that leaves digits enough
CLOSE = 1e-3      # share of a threshold within which a relay or a fuse is left to the full solve


def _ports(z, a, b, bent, count, g, coil, second, fuse, sight, cross, watch):
    """Fill ``sight`` and ``watch``, and ``cross[c, d]``: volts across device c for an amp through device d."""
    for k in range(len(z)):
        for c in range(count):
            sight[k, c] = z[k, a[bent[c]]] - z[k, b[bent[c]]]
        for r in range(len(coil)):
            watch[k, r] = g[coil[r]] * (z[k, a[coil[r]]] - z[k, b[coil[r]]])
            if second[r] >= 0:
                watch[k, r] += g[second[r]] * (z[k, a[second[r]]] - z[k, b[second[r]]])
        for f in range(len(fuse)):
            watch[k, len(coil) + f] = g[fuse[f]] * (z[k, a[fuse[f]]] - z[k, b[fuse[f]]])
    for d in range(count):
        i = bent[d]
        for c in range(count):
            cross[c, d] = sight[a[i], c] - sight[b[i], c]


def _quiet(bent, count, cross, kind, p0, p1, p2, u, g, j, unfelt, eased, quiet):
    """How far each device's volts may move, up or down, before it feels its own bend: into ``quiet``."""
    for c in range(count):
        i = bent[c]
        if kind[i] != DIODE and kind[i] != LAMP:
            # Straight to the kink, and on the edge of it the least push decides.
            kink = p1[i] / p0[i] if kind[i] == CHARGED else p0[i] * p1[i]
            quiet[c] = max(abs(abs(u[i]) - kink) - 0.1 * eased, 0.01 * unfelt)
            continue
        reach = 1e-4
        while reach < 100.0:
            for side in (-2.0, 2.0):
                then, slope = law(kind[i], p0[i], p1[i], p2[i], u[i] + side * reach)
                extra = abs(then - g[i] * (u[i] + side * reach) - j[i])
                if slope < g[i]:
                    # One that eases as it moves gives way to itself.
                    extra /= max(1.0 - cross[c, c] * (g[i] - slope), 1e-9)
                if extra * cross[c, c] > unfelt:
                    reach = -reach
                    break
            if reach < 0.0:
                break
            reach *= 2.0
        quiet[c] = abs(reach)


def _allowed(quiet, own, touch):
    """How far a device may move whose bend the instrument feels more than itself: an amp of it is ``touch`` there."""
    return quiet * own / abs(touch) if abs(touch) > own else quiet


def _margins(amps, shut, coil, second, contact, pull, drop, fuse, melt, near, stirred, least):
    """The change of each relay's and fuse's amps that asks for a closer look, into ``least``.

    A third of what is left to its threshold; or, within a share ``near`` of the threshold, a share ``stirred`` of it.
    """
    for r in range(len(coil)):
        now = abs(amps[coil[r]] + amps[second[r]]) if second[r] >= 0 else abs(amps[coil[r]])
        edge = drop[r] if shut[contact[r]] != 0 else pull[r]
        left = now - edge if shut[contact[r]] != 0 else edge - now
        least[r] = min(left / 3.0, max(stirred * edge, left - near * edge))
    for f in range(len(fuse)):
        least[len(coil) + f] = max((1.0 - near) * melt[f] - abs(amps[fuse[f]]), 0.0)


def _seated(law_kind, law_p0, law_p1, law_p2, open_volts, ohms, across, p, q, a, b, kind, p0, p1, p2, u, g, j, amps,
            bent, count, quiet, sight, cross, watch, z, shut, coil, second, contact, pull, drop, fuse, melt,
            fuses, active, here, extra, slopes, matrix, lead):
    """Put an instrument on ``p`` and ``q``: whether its volts are known now, and no relay or fuse would move.

    ``across`` is where to start; the volts are left in ``lead[0]``. ``fuses``: how many of them are looked at. Work
    space, ``count`` numbers or one more: ``active``, ``here``, ``extra``, ``slopes``, ``matrix``.
    """
    for c in range(count):
        active[c] = 0
        extra[c] = 0.0
        here[c] = u[bent[c]]
    draws, slope = law(law_kind, law_p0, law_p1, law_p2, across)
    # A device that eases, such as a motor that begins to turn, makes more of whatever others leave out.
    gives = 1.0
    while True:
        # Those whose bend is felt join in, until none is left out that should not be.
        more = False
        for c in range(count):
            if active[c] == 0:
                move = -(sight[p, c] - sight[q, c]) * draws
                for d in range(count):
                    move -= cross[c, d] * extra[d]
                if abs(move) * gives > _allowed(quiet[c], cross[c, c], sight[p, c] - sight[q, c]):
                    active[c] = 1
                    more = True
        if not more:
            break
        steady = False
        for _ in range(STEPS):
            draws, slope = law(law_kind, law_p0, law_p1, law_p2, across)
            slopes[count] = slope
            for c in range(count):
                if active[c] != 0:
                    i = bent[c]
                    flow, slope = law(kind[i], p0[i], p1[i], p2[i], here[c])
                    extra[c] = flow - g[i] * here[c] - j[i]
                    slopes[c] = slope - g[i]
            size = _equations(open_volts, ohms, across, draws, p, q, u, bent, count, active, here, extra, slopes,
                              sight, cross, matrix)
            if not _solved(matrix, size):
                return False
            steady = True
            row = 0
            for c in range(count):
                if active[c] != 0:
                    i = bent[c]
                    new = here[c] + matrix[row, size]
                    if abs(new - here[c]) > STEADY:
                        steady = False
                    extra[c] += slopes[c] * (new - here[c])
                    here[c] = _damped(kind[i], p0[i], p1[i], here[c], new)
                    row += 1
            new = across + matrix[row, size]
            if abs(new - across) > STEADY:
                steady = False
            draws += slopes[count] * (new - across)
            across = 0.0 if new * across < 0.0 and law_kind == LAMP and not steady else new
            if steady:
                break
        if not steady:
            return False
        gives = 1.0
        for c in range(count):
            if active[c] != 0 and slopes[c] < 0.0:
                gives /= max(1.0 + cross[c, c] * slopes[c], 1e-9)
    # Where far islands' great ohms meet great amps, digits are lost.
    lost = max(z[p, p], z[q, q]) * abs(draws)
    for c in range(count):
        i = bent[c]
        lost = max(lost, max(z[a[i], a[i]], z[b[i], b[i]]) * abs(extra[c]))
    if lost * ROUNDING > LOST:
        return False
    lead[0] = across
    for r in range(len(coil) + fuses):
        change = -draws * (watch[p, r] - watch[q, r])
        for c in range(count):
            if extra[c] != 0.0:
                change -= extra[c] * (watch[a[bent[c]], r] - watch[b[bent[c]], r])
                if r < len(coil) and (bent[c] == coil[r] or bent[c] == second[r]):
                    change += extra[c]
        if r < len(coil):
            now = amps[coil[r]] + amps[second[r]] if second[r] >= 0 else amps[coil[r]]
            edge = drop[r] if shut[contact[r]] != 0 else pull[r]
            left = (abs(now + change) - edge) * (1.0 if shut[contact[r]] != 0 else -1.0)
        else:
            f = fuse[r - len(coil)]
            edge = melt[r - len(coil)]
            left = edge - abs(amps[f] + change) if shut[f] != 0 else edge
        if left < min(CLOSE * edge, 3.0 * abs(change)):
            return False
    return True


def _equations(open_volts, ohms, across, draws, p, q, u, bent, count, active, here, extra, slopes, sight, cross,
               matrix):
    """One Newton step's equations into ``matrix``, what they come to in its last column; gives how many.

    A row for each device that joins in, and the last for the instrument.
    """
    size = 1
    for c in range(count):
        size += active[c]
    row = 0
    miss = open_volts - ohms * draws - across
    column = 0
    for c in range(count):
        if active[c] == 0:
            continue
        touch = sight[p, c] - sight[q, c]
        off = u[bent[c]] - touch * draws - here[c]
        column = 0
        for d in range(count):
            if active[d] != 0:
                off -= cross[c, d] * extra[d]
                matrix[row, column] = cross[c, d] * slopes[d]
                column += 1
        matrix[row, row] += 1.0
        matrix[row, size - 1] = touch * slopes[count]
        matrix[row, size] = off
        matrix[size - 1, row] = touch * slopes[c]
        miss -= touch * extra[c]
        row += 1
    matrix[row, row] = 1.0 + ohms * slopes[count]
    matrix[row, size] = miss
    return size


def _solved(matrix, size):
    """Elimination with the greatest pivot, what comes out left in the last column; False where it is too thin."""
    for k in range(size):
        best = k
        for m in range(k + 1, size):
            if abs(matrix[m, k]) > abs(matrix[best, k]):
                best = m
        if abs(matrix[best, k]) < THINNEST:
            return False
        if best != k:
            for m in range(k, size + 1):
                matrix[k, m], matrix[best, m] = matrix[best, m], matrix[k, m]
        for m in range(k + 1, size):
            share = matrix[m, k] / matrix[k, k]
            if share != 0.0:
                for n in range(k + 1, size + 1):
                    matrix[m, n] -= share * matrix[k, n]
    for k in range(size - 1, -1, -1):
        for m in range(k + 1, size):
            matrix[k, size] -= matrix[k, m] * matrix[m, size]
        matrix[k, size] /= matrix[k, k]
    return True
