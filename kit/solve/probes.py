"""Instruments put on many cases: every circuit × switch set × instrument × pair of leads, compiled.

Most readings need no solve of their own. Seen from two leads a settled circuit is a voltage behind a resistance
(Thévenin), once its diodes, filaments and motors stand for their slopes; the instrument's law meets that in closed form
or in a few steps. What this leaves out is measured, not hoped for: the amps each device would really carry beside those
its slope gives. Where they could be felt, those devices and the instrument are solved together, a handful of equations
(``kit.solve.ports``). Only where a relay would move or a fuse melt, or digits run out, is the reading solved in full
with the instrument as one more branch.
"""

import math
from collections.abc import Collection, Sequence
from dataclasses import dataclass

import numpy as np

from kit.circuit import Circuit, Instrument, Terminal
from kit.errors import SolveError
from kit.solve import kernel
from kit.solve.branches import paths
from kit.solve.compiling import compiled
from kit.solve.kernel import CHATTERS, LAMP, LINEAR, SETTLED, solve
from kit.solve.movers import _swing
from kit.solve.ports import _allowed, _margins, _ports, _quiet, _seated
from kit.solve.solution import AT_REST, State
from kit.solve.sweep import Cases, Progress, _still, unwatched
from kit.solve.thevenin import _across, _columns, _doubtful, _lay_out
from kit.solve.turn_sweep import _put_on_turning, _space, _turned_probes

# Volts a device's bend may come to, felt by the device itself, before it is looked at.
UNFELT = 1e-4
FELT = 5e-4     # the same where something turns, before the reading is solved in full; below zero all are, everywhere
EASED = 0.05    # the same there in a filament's inrush, of a device that eases; a tenth of it is near a kink
NEAR = 0.05     # share of a threshold within which a relay or a fuse is looked at
STIRRED = 1e-3  # share of a threshold by which an instrument must change a relay's amps for that


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Probes:
    """Volts across each instrument, from its first lead to its second.

    ``volts[c, s, i, k]``: circuit, switch set, instrument, pair of leads. ``other_volts`` is nan but where a relay
    chatters with the instrument on: then the two are the halves of the swing, relay closed and open. ``alternating``
    are the effective volts of what alternates about them where something turns (``kit.solve.turning``). ``in_full``
    tells which readings were solved in full. Volts are float32: good to a microvolt.
    """

    volts: np.ndarray
    other_volts: np.ndarray
    alternating: np.ndarray
    in_full: np.ndarray


def probe(
    circuits: Sequence[Circuit], switch_sets: Sequence[Collection[str]], bodies: Sequence[Instrument],
    leads: Sequence[tuple[Terminal, Terminal]], before: State = AT_REST, progress: Progress = unwatched,
) -> Probes:
    """Put every instrument on every pair of leads of every case, as ``kit.instruments`` puts one on one.

    ``bodies`` are instruments wherever their leads are; a filament goes on cold, and its inrush may move a relay.
    Where something turns a voltmeter's reading takes some 20 µs, a lamp's ten times that. Raises SolveError for
    leads on no terminal, or where a case finds no end.
    """
    cases = Cases(circuits, switch_sets, before)
    known = {terminal: number for number, terminal in enumerate(cases.terminals)}
    for pair in leads:
        for lead in pair:
            if lead not in known:
                raise SolveError(f"there is no terminal {lead} in this circuit.")
    laws = [branch for body in bodies for branch in paths(body)]
    law_kind = np.array([law.kind for law in laws], np.int64)
    law_p0, law_p1, law_p2 = (np.array([getattr(law, name) for law in laws], np.float64) for name in ("p0", "p1", "p2"))
    ends = [np.array([known[pair[side]] for pair in leads], np.int64) for side in (0, 1)]
    shape = (len(circuits), len(switch_sets), len(bodies), len(leads))
    volts, other = np.full(shape, np.nan, np.float32), np.full(shape, np.nan, np.float32)
    alternating, in_full = np.zeros(shape, np.float32), np.zeros(shape, np.bool_)
    codes = np.zeros(shape[:2], np.int64)
    run = compiled(_columns, _across, _lay_out, _put_on, _probes)
    for c in range(len(circuits)):
        laid, turns = cases.laid_out(c), cases.turns(c)
        asked = (laid.place[ends[0]], laid.place[ends[1]], law_kind, law_p0, law_p1, law_p2, FELT, EASED, NEAR, STIRRED)
        still = _still(turns, shape[1])
        run(*laid.arrays, laid.starts, *asked, UNFELT, still, volts[c], other[c], in_full[c], codes[c])
        for s, turn in turns.items():
            codes[c, s] = compiled(
                _columns, _across, _doubtful, _lay_out, _space, _put_on_turning, _turned_probes
            )(
                *laid.of_set(s), *turn, *asked, volts[c, s], other[c, s], alternating[c, s], in_full[c, s],
            )
        if (codes[c] == kernel.NO_END).any():
            raise cases.without_end(c, int(np.argmax(codes[c] == kernel.NO_END)))
        cases.remember(c, laid.starts)
        progress(c + 1, len(circuits), cases.name(c))
    return Probes(volts=volts, other_volts=other, alternating=alternating, in_full=in_full)


def _probes(n, row, col, fill, a, b, slot, kind, p0, p1, p2, edges, shuts, coil, second, contact, rest, pull, drop,
            pace, fuse, melt, room, starts, start, end, law_kind, law_p0, law_p1, law_p2,
            felt, eased, near, stirred, unfelt, still, volts, other, in_full, codes):
    """One circuit with every switch set, instrument and pair of leads."""
    branches, cases, laws = len(a), len(shuts), len(law_kind)
    amps, g, j = np.zeros(branches), np.zeros(branches), np.zeros(branches)
    w, h, x = np.zeros(edges), np.zeros(edges), np.zeros(n)
    live, base = np.zeros(max(n, branches), np.int64), np.zeros((2, edges))
    z, root = np.zeros((n, n)), np.zeros(n, np.int64)
    flips, seen = np.zeros(2 * len(coil), np.int64), np.zeros(room, np.int64)
    shut_in, u_in = shuts.copy(), starts[0].copy()
    most_bent = 0
    for i in range(branches):
        most_bent += kind[i] != LINEAR
    watched = len(coil) + len(fuse)
    bent, active = np.zeros(branches, np.int64), np.zeros(most_bent, np.int64)
    sight, cross, watch = np.zeros((n, most_bent)), np.zeros((most_bent, most_bent)), np.zeros((n, watched))
    quiet, here, extra = np.zeros(most_bent), np.zeros(most_bent), np.zeros(most_bent)
    slopes, matrix, lead = np.zeros(most_bent + 1), np.zeros((most_bent + 1, most_bent + 2)), np.zeros(1)
    least = np.zeros(watched)
    # Where a filament's inrush may move a relay.
    struck = np.zeros((cases, laws, len(start)), np.bool_)
    no_relays, no_fuses = coil[:0], fuse[:0]
    for s in still:
        shut, u = shut_in[s], u_in[s]
        code = solve(n, row, col, fill, a, b, slot, kind, p0, p1, p2, shut, u, amps, g, j, w, h, x, live, base,
                     coil, second, contact, rest, pull, drop, pace, flips, seen, fuse, melt)
        starts[0, s] = u
        if code == CHATTERS:
            # Goes on from the half with its relays closed, as a reading does; nothing linear holds here.
            _swing(shut, contact, rest, flips, 1)
            code = solve(n, row, col, fill, a, b, slot, kind, p0, p1, p2, shut, u, amps, g, j, w, h, x, live, base,
                         no_relays, second, no_relays, rest, pull, drop, pace, flips, seen, no_fuses, melt)
            in_full[s] = True
            struck[s] = True
        if code != SETTLED:
            codes[s] = code
            continue
        if in_full[s, 0, 0]:
            continue
        _columns(n, row, col, w, z, root)
        count = 0
        for i in range(branches):
            if kind[i] != LINEAR and shut[i] != 0:
                bent[count] = i
                count += 1
        _ports(z, a, b, bent, count, g, coil, second, fuse, sight, cross, watch)
        _quiet(bent, count, cross, kind, p0, p1, p2, u, g, j, unfelt, eased, quiet)
        _margins(amps, shut, coil, second, contact, pull, drop, fuse, melt, near, stirred, least)
        for k in range(len(start)):
            p, q = start[k], end[k]
            open_volts = x[p] - x[q]
            ohms = (z[p, p] - z[q, p]) + (z[q, q] - z[p, q])
            joined = root[p] == root[q]
            # The amps that ask for a closer look.
            most = np.inf
            for c in range(count):
                touch = abs(sight[p, c] - sight[q, c])
                if touch * most > _allowed(quiet[c], cross[c, c], touch):
                    most = _allowed(quiet[c], cross[c, c], touch) / touch
            most_struck = most
            for r in range(watched):
                touch = abs(watch[p, r] - watch[q, r])
                if touch * most > least[r]:
                    most = least[r] / touch
                if r < len(coil) and touch * most_struck > least[r]:
                    most_struck = least[r] / touch
            for m in range(laws):
                if felt < 0.0 or (law_kind[m] != LINEAR and law_kind[m] != LAMP):
                    in_full[s, m, k] = struck[s, m, k] = True
                    continue
                across = _across(law_kind[m], law_p0[m], law_p1[m], law_p2[m], open_volts, ohms, joined)
                volts[s, m, k] = across
                if not joined:
                    continue
                draws = (open_volts - across) / ohms if ohms > 1e-12 else law_p0[m] * across + law_p1[m]
                if abs(draws) > most:
                    if _seated(law_kind[m], law_p0[m], law_p1[m], law_p2[m], open_volts, ohms, across, p, q, a, b, kind,
                               p0, p1, p2, u, g, j, amps, bent, count, quiet, sight, cross, watch, z, shut, coil,
                               second, contact, pull, drop, fuse, melt, len(fuse), active, here, extra, slopes, matrix,
                               lead):
                        volts[s, m, k] = lead[0]
                    else:
                        in_full[s, m, k] = True
                if law_kind[m] == LAMP and len(coil) > 0:
                    # Whether its inrush could move a relay.
                    siemens = 1.0 / (law_p0[m] * math.pow(law_p2[m], 0.225))
                    across = open_volts / (1.0 + ohms * siemens)
                    if across * siemens > most_struck or across * siemens < -most_struck:
                        struck[s, m, k] = not _seated(
                            LINEAR, siemens, 0.0, 0.0, open_volts, ohms, across, p, q, a, b, kind,
                            p0, p1, p2, u, g, j, amps, bent, count, quiet, sight, cross, watch, z, shut, coil,
                            second, contact, pull, drop, fuse, melt, 0, active, here, extra, slopes, matrix, lead
                        )
                        in_full[s, m, k] = in_full[s, m, k] or struck[s, m, k]
    mark, lead_row, lead_col = np.zeros(n * n, np.int64), np.zeros(n + 1, np.int64), np.zeros(n * n, np.int64)
    for k in range(len(start)):
        if not in_full[:, :, k].any():
            continue
        wires, lead_fill, lead_slot = _lay_out(n, row, col, a, b, start[k], end[k], mark, lead_row, lead_col)
        for m in range(laws):
            for s in still:
                if in_full[s, m, k] and codes[s] == SETTLED:
                    codes[s] = _put_on(
                        n, lead_row, lead_col[:wires], lead_fill, a, b, lead_slot, kind, p0, p1, p2, shut_in[s],
                        u_in[s], coil, second, contact, rest, pull, drop, pace, fuse, melt, seen, start[k], end[k],
                        struck[s, m, k], law_kind[m], law_p0[m], law_p1[m], law_p2[m], volts[s, m], other[s, m], k)


def _put_on(n, row, col, fill, a, b, slot, kind, p0, p1, p2, shut, u, coil, second, contact, rest, pull, drop, pace,
            fuse, melt, seen, p, q, struck, law_kind, law_p0, law_p1, law_p2, volts, other, k):
    """One reading solved in full, step by step as ``kit.instruments.reading.put_on`` has it; gives how it ended."""
    branches, edges = len(a), len(col)
    ends_a, ends_b = np.append(a, p), np.append(b, q)
    kinds, q0 = np.append(kind, law_kind), np.append(p0, law_p0)
    q1, q2 = np.append(p1, law_p1), np.append(p2, law_p2)
    shuts, volts_now = np.append(shut, 1), np.append(u, 0.0)
    amps, g, j = np.zeros(branches + 1), np.zeros(branches + 1), np.zeros(branches + 1)
    w, h, x, flips = np.zeros(edges), np.zeros(edges), np.zeros(n), np.zeros(2 * len(coil), np.int64)
    live, base = np.zeros(max(n, branches + 1), np.int64), np.zeros((2, edges))
    no_relays, no_fuses = coil[:0], fuse[:0]
    if struck and law_kind == LAMP:
        # The inrush first: what the relays do while the filament is cold.
        kinds[branches], q0[branches] = LINEAR, 1.0 / (law_p0 * math.pow(law_p2, 0.225))
        q1[branches] = 0.0
        code = solve(n, row, col, fill, ends_a, ends_b, slot, kinds, q0, q1, q2, shuts, volts_now, amps, g, j, w, h,
                     x, live, base, coil, second, contact, rest, pull, drop, pace, flips, seen, no_fuses, melt)
        if code != SETTLED:
            shuts[:branches] = shut
        flips[:] = 0
        kinds[branches], q0[branches], q1[branches] = law_kind, law_p0, law_p1
    code = solve(n, row, col, fill, ends_a, ends_b, slot, kinds, q0, q1, q2, shuts, volts_now, amps, g, j, w, h,
                 x, live, base, coil, second, contact, rest, pull, drop, pace, flips, seen, fuse, melt)
    volts[k] = x[p] - x[q]
    if code != CHATTERS:
        return code
    for swing in range(2):
        _swing(shuts, contact, rest, flips, 1 - swing)
        held = solve(n, row, col, fill, ends_a, ends_b, slot, kinds, q0, q1, q2, shuts, volts_now, amps, g, j, w, h,
                     x, live, base, no_relays, second, no_relays, rest, pull, drop, pace, flips, seen, no_fuses, melt)
        if held != SETTLED:
            return held
        if swing == 0:
            volts[k] = x[p] - x[q]
        else:
            other[k] = x[p] - x[q]
    return SETTLED
