"""What moves contacts by its amps, as plain loops like ``kit.solve.kernel``: which moves next, and what a rattle heats.

Relays are named by number; ``coil``, ``second``, ``contact``, ``rest`` name branches. ``flips`` has two numbers a
relay: first how often each has moved since the state that came round again (−1: it swings the other way round), then,
after all of those, what it has done while others chattered. ``pace`` has three a relay: the seconds it stays in, and
away, when it rattles, and how many times what melts a fuse in the end one carries till this relay has pulled in.
"""

# What a relay has done while others chattered: moved once, swung with them, or the other way round, or been too slow.
MOVED, WITH, AGAINST, BEHIND = 1, 2, 3, 4
ALIKE = 0.98  # share of one coil's amps another must have to move with it
QUICKER = 2.0  # a relay is quicker if a fuse carries so many times as much till it is in (a quarter of the time)
BESIDE_CALM, BESIDE_MOVED, BESIDE_JOINED = 0, 1, 2


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


def _twin(moved, shut, amps, coil, second, contact, pull, drop, pace):
    """Another relay like the one that has just moved, with as many amps: the two move at once; −1 for none."""
    current = magnet_amps(amps, coil[moved], second[moved])
    for r in range(len(coil)):
        if (shut[contact[r]] != shut[contact[moved]] and pull[r] == pull[moved] and drop[r] == drop[moved]
                and pace[3 * r + 2] == pace[3 * moved + 2]
                and abs(magnet_amps(amps, coil[r], second[r]) - current) <= (1.0 - ALIKE) * current):
            return r
    return -1


def magnet_amps(amps, coil, second):
    """What pulls on a relay's iron: the amps of its coil, and of a second one on the same iron."""
    return abs(amps[coil] + amps[second]) if second >= 0 else abs(amps[coil])


def throw(shut, contact, rest, pulled):
    """Move a relay's contacts: 1 pulled in, 0 let go."""
    shut[contact] = pulled
    if rest >= 0:
        shut[rest] = 1 - pulled


def _came_round(pattern, visited, seen, flips):
    """Whether the relays have been in this state before; then ``flips`` has how often each has moved since."""
    relays = len(flips) // 2
    for k in range(visited):
        if seen[2 * k] == pattern:
            for r in range(relays):
                flips[r] = 0
            for m in range(k, visited):
                flips[seen[2 * m + 1]] += 1
            for r in range(relays):
                if flips[r] == 0 and (flips[relays + r] == WITH or flips[relays + r] == AGAINST):
                    flips[r] = 1 if flips[relays + r] == WITH else -1
            return True
    return False


def _left_behind(shut, second, contact, rest, pace, flips):
    """Let go of the fuel solenoids that swing with quicker relays: those are away before a long stroke is done."""
    relays = len(flips) // 2
    for r in range(relays):
        if flips[r] != 0 and second[r] >= 0 and rest[r] >= 0:
            for other in range(relays):
                if flips[other] != 0 and pace[3 * other + 2] > QUICKER * pace[3 * r + 2]:
                    flips[r], flips[relays + r] = 0, BEHIND
                    throw(shut, contact[r], rest[r], 0)
                    break


def _swing(shut, contact, rest, flips, pulled):
    """Move all the relays that chatter: 1 pulled in, 0 let go (the other way round where ``flips`` is below nought)."""
    for r in range(len(contact)):
        if flips[r] != 0:
            throw(shut, contact[r], rest[r], pulled if flips[r] > 0 else 1 - pulled)


def _calm(flips):
    """Nothing chatters any more."""
    for r in range(len(flips) // 2):
        flips[r] = 0


def _beside(half, shut, amps, coil, second, contact, rest, pull, drop, pace, flips):
    """What one half of a swing (0 in, 1 away) does to the relays that do not swing; gives BESIDE_*.

    The one pushed hardest moves. One that has moved so before takes part in the rattle from now on, unless it is twice
    as slow or more: then it stays where it is. One that was left behind takes part again where it is
    still pulled when the others are in, and they leave it the time.
    """
    relays = len(flips) // 2
    stays, away = _slowest(flips, pace)
    worst, push = -1, 0.0
    for r in range(len(coil)):
        share = 0.5 if flips[relays + r] == BEHIND else 2.0
        slow = flips[relays + r] != 0 and pace[3 * r] + pace[3 * r + 1] >= share * (stays + away)
        if flips[r] != 0 or slow or (flips[relays + r] == BEHIND and half == 1):
            continue
        current = magnet_amps(amps, coil[r], second[r])
        if shut[contact[r]] != 0:
            over = drop[r] / (current + 1e-12) if current < drop[r] else 0.0
        else:
            over = current / pull[r] if current >= pull[r] else 0.0
        if over > push:
            worst, push = r, over
    if worst < 0:
        return BESIDE_CALM
    pulled, mark = shut[contact[worst]], relays + worst
    if flips[mark] == 0:
        _calm(flips)
        while worst >= 0:
            flips[relays + worst] = MOVED
            throw(shut, contact[worst], rest[worst], 1 - pulled)
            worst = _twin(worst, shut, amps, coil, second, contact, pull, drop, pace)
        return BESIDE_MOVED
    flips[mark] = WITH if (half == 0) == (pulled == 0) else AGAINST
    flips[worst] = 1 if flips[mark] == WITH else -1
    return BESIDE_JOINED


def _slowest(flips, pace):
    """The seconds the slowest of the relays that chatter stays in, and away: it sets the pace."""
    stays, away = 0.0, 0.0
    for r in range(len(flips) // 2):
        if flips[r] != 0 and pace[3 * r] + pace[3 * r + 1] > stays + away:
            stays, away = pace[3 * r], pace[3 * r + 1]
    return stays, away


def _heat(half, amps, flips, fuse, melt, pace):
    """Add what one half of a swing (0 in, 1 away) heats each fuse, in shares of what melts it, for its share of time.

    A current that comes and goes faster than a fuse warms heats it like its effective amps: the mean of their square
    over a round (the definition of the root-mean-square value, IEC 60050-103; ``kit.solve.fuses`` is linear in the
    square). The sums stand in the end of ``pace``.
    """
    stays, away = _slowest(flips, pace)
    share = 0.5
    if stays + away > 0.0:
        share = (stays if half == 0 else away) / (stays + away)
    for f in range(len(fuse)):
        times = amps[fuse[f]] / melt[f]
        here = 3 * (len(flips) // 2) + f
        pace[here] = share * times * times + (pace[here] if half == 1 else 0.0)


def _keep_amps(amps, flips, fuse, pace):
    """Note in the end of ``pace`` what each fuse carries before a relay moves."""
    for f in range(len(fuse)):
        pace[3 * (len(flips) // 2) + f] = abs(amps[fuse[f]])


def _blown_first(last, shut, amps, contact, rest, flips, fuse, melt, pace):
    """Whether a relay that has just pulled in never got there: a fuse had melted by what its stroke took.

    Its own are the amps its moving ends, by half or more. Then the fuse melts, and the relay is back at rest.
    """
    hottest, most = -1, 1.0
    if last >= 0 and shut[contact[last]] != 0:
        for f in range(len(fuse)):
            before = pace[3 * (len(flips) // 2) + f]
            share = before / (melt[f] * pace[3 * last + 2])
            if shut[fuse[f]] != 0 and share >= most and abs(amps[fuse[f]]) < before / 2.0:
                hottest, most = f, share
    if hottest < 0:
        return False
    shut[fuse[hottest]] = 0
    throw(shut, contact[last], rest[last], 0)
    return True


def _hottest(shut, flips, fuse, pace):
    """The fuse a chatter melts first, by what ``_heat`` has summed; −1 where it melts none."""
    hottest, most = -1, 1.0
    for f in range(len(fuse)):
        heat = pace[3 * (len(flips) // 2) + f]
        if shut[fuse[f]] != 0 and heat >= most:
            hottest, most = f, heat
    return hottest
