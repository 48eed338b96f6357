"""The laws of what charges: alternator, magnet stator, regulator-rectifier, as branches of the kernel.

A turn is solved at twelve angles, two in each sixth of it where Gauss's two-point rule has its points: that gives the
mean of a three-phase bridge within 0.03 % and the effective value of a sine exactly. What no steady angle can have is
left out: inductance and its phase shift, load dump, the sound alternator's own small ripple (some tens of millivolts).
"""

import math

from kit.circuit import Alternator, FloatCharger, RegulatorRectifier, Stator, Terminal
from kit.solve.branch import THERMAL_VOLTS, Beats, Branch, Magnet
from kit.solve.kernel import DIODE, LIMITED, LINEAR

ANGLES = tuple(60.0 * sixth + side * 30.0 / math.sqrt(3) for sixth in range(6) for side in (-1, 1))  # degrees
EMISSION = 1.5
DIODE_DROP = 0.95  # volts a rectifier diode drops at the amps its part is rated for (common practice)
STIFF_SIEMENS = 1e3  # of the sources inside; their ohms sit in the windings beside them
# An alternator's volts sink by so much from no load to full, and past it by so many more amps down to a dead short.
DROOP_VOLTS, BEYOND = 0.15, 0.05
# Of the rotor's full amps: the lamp's that stir it awake, and what full output needs; less to let go. A lamp of 2 or
# 3 W gives 4 to 6 %, an LED with 15 mA nothing that matters (common practice: then it does not charge).
STIRS_AT, STIRS_TO, FEEDS_AT, FEEDS_TO = 0.02, 0.015, 0.15, 0.1
STIRRED_SHARE, STIRRED_OHMS = 0.5, 0.3  # of its volts, what the stirred rotor makes at idle, and the ohms behind it
FIELD_SECONDS, BUILDS_SECONDS = 0.1, 0.1
# With a main diode open its phase is unloaded for a third of the turn: nothing to B+, and so much more to D+. The
# regulator looks at D+ and takes the field back, so B+ loses the mean of it (common practice: the lamp glows, the
# battery goes flat over long days). With one shorted, half of each turn is a short between phases.
FREE_SHARE, OPEN_TURN, SHORTED_TURN = 0.3, 4, 6
SHORTED_OHMS = 0.01
SENSED_SHARE = 0.1  # of a plain diode's drop, what is left of it at the clips of a charger that looks at its own volts
SPARE = 1.5  # times the field's amps, what a lost stretch of the turn still has for it


def alternator(part: Alternator) -> tuple[Branch, ...]:
    """Source, limit and diodes to B+; exciter diode to D+; rotor and regulator from D+ to the body."""
    def at(name: str) -> Terminal:
        return Terminal(part.id, name)

    name, ohms = part.id, DROOP_VOLTS / part.amps
    saturation, slope = rectifier(part.amps)
    field = part.volts / part.rotor_ohms
    lost = OPEN_TURN if part.open_diodes else SHORTED_TURN if part.shorted_diodes else 0
    free = FREE_SHARE * part.volts if part.open_diodes else 0.0
    drop = 0.0 if part.shorted_diodes else slope * math.log(part.amps / 2 / saturation)
    emf = part.volts + drop + DROOP_VOLTS / 2 - free * lost / len(ANGLES)
    found = [
        Branch(f"{name}.brushes", at("D+"), at("(rotor)"), LINEAR, 1 / part.rotor_ohms),
        Branch(f"{name}.regulator", at("(rotor)"), at("body"), DIODE, saturation, slope),
        Branch(f"{name}.field", at("(spun)"), at("(stator)"), LINEAR, STIFF_SIEMENS, emf * STIFF_SIEMENS, switch=name),
        Branch(f"{name}.stirs", at("(spun)"), at("(stirred)"), LINEAR, 1 / STIRRED_OHMS,
               STIRRED_SHARE * part.volts / STIRRED_OHMS, switch=f"{name}.stirs"),
        Branch(f"{name}.stirred", at("(stirred)"), at("(stator)"), DIODE, saturation, slope),
        Branch(f"{name}.output", at("(stator)"), at("B+"), DIODE, saturation, slope),
        Branch(f"{name}.exciter", at("(free)"), at("D+"), DIODE, saturation, slope),
    ]
    for switch, amps in zip(part.speeds, (part.idle_amps, part.amps), strict=True):
        limit, beats = amps + field, ()
        if lost:
            # What is left of a lost stretch of the turn feeds the rotor alone.
            limit, beats = _turn(switch, limit, SPARE * field, lost)
        found.append(Branch(
            switch, at("body"), at("(spun)"), LIMITED, ohms, limit, BEYOND * amps / part.volts, switch=switch,
            beats=beats,
        ))
    mean, beats = 0.0, ()
    if free:
        turns = [_turn(switch, 0.0, free * STIFF_SIEMENS, lost) for switch in part.speeds]
        mean, beats = turns[0][0], tuple(beat for _, each in turns for beat in each)
    found.append(Branch(f"{name}.(free)", at("(stator)"), at("(free)"), LINEAR, STIFF_SIEMENS, mean, beats=beats))
    if part.leak_amps:
        found.append(Branch(f"{name}.leak", at("B+"), at("body"), LINEAR, part.leak_amps / part.volts))
    if part.shorted_diodes:
        found.append(Branch(f"{name}.shorted", at("B+"), at("(stator)"), LINEAR, 1 / SHORTED_OHMS))
    return tuple(found)


def field_magnets(part: Alternator) -> list[Magnet]:
    """The rotor wakes the alternator in two steps: stirred by the lamp, then fed by its own exciter diodes."""
    name, full, brushes = part.id, part.volts / part.rotor_ohms, f"{part.id}.brushes"
    times = {"coil_seconds": FIELD_SECONDS, "closes_seconds": BUILDS_SECONDS, "opens_seconds": BUILDS_SECONDS}
    return [
        Magnet(name, brushes, f"{name}.field", FEEDS_AT * full, FEEDS_TO * full, **times),
        Magnet(f"{name}.stirs", brushes, f"{name}.stirs", STIRS_AT * full, STIRS_TO * full, **times),
    ]


def stator(part: Stator) -> tuple[Branch, ...]:
    """Each phase a source and a winding that limits; three meet in a star, or one runs from 1 to 2."""
    def at(name: str) -> Terminal:
        return Terminal(part.id, name)

    three = part.phases == "three"
    found = []
    for number, phase in enumerate(part.inside):
        turns = part.turns if number == 0 else 1.0
        ohms = part.ohms / 2 * turns if three else part.ohms * turns
        # A single phase passes through nought between sixths, so that the bend of its rectified curve lies there too.
        behind = 120.0 * number if three else -30.0
        beats = []
        for switch, volts in zip(part.speeds, (part.idle_volts, part.fast_volts), strict=True):
            peak = math.sqrt(2 / 3 if three else 2) * volts * turns
            sine = tuple(peak * math.sin(math.radians(angle - behind)) * STIFF_SIEMENS for angle in ANGLES)
            beats.append((switch, sine))
        start, end = (at("(star)"), at(phase)) if three else (at("2"), at("1"))
        inner = at(f"({phase})")
        beyond = BEYOND * part.amps / part.fast_volts
        found.append(Branch(f"{part.id}.({phase})", start, inner, LINEAR, STIFF_SIEMENS, beats=tuple(beats)))
        found.append(Branch(f"{part.id}.{phase}", inner, end, LIMITED, ohms - 1 / STIFF_SIEMENS, part.amps, beyond))
    return tuple(found)


def regulator_rectifier(part: RegulatorRectifier) -> tuple[Branch, ...]:
    """A bridge, a diode out to +, and a shunt of the same drop that holds ``volts``."""
    def at(name: str) -> Terminal:
        return Terminal(part.id, name)

    saturation, slope = rectifier(part.amps)
    found = []
    for phase in (terminal.name for terminal in part.terminals[2:]):
        found.append(Branch(f"{part.id}.{phase}+", at(phase), at("(rectified)"), DIODE, saturation, slope))
        found.append(Branch(f"{part.id}.{phase}-", at("-"), at(phase), DIODE, saturation, slope))
    return (
        *found,
        Branch(f"{part.id}.output", at("(rectified)"), at("+"), DIODE, saturation, slope),
        Branch(f"{part.id}.regulator", at("(rectified)"), at("(held)"), DIODE, saturation, slope),
        Branch(f"{part.id}.(held)", at("(held)"), at("-"), LINEAR, STIFF_SIEMENS, -part.volts * STIFF_SIEMENS),
    )


def float_charger(part: FloatCharger) -> tuple[Branch, ...]:
    """A source with a limit, and a diode out to +."""
    def at(name: str) -> Terminal:
        return Terminal(part.id, name)

    name, plug = part.id, part.speeds[0]
    # It looks at its own clips, behind the diode, so that hanging free they show its volts too: a diode with next to
    # no drop. Its volts are those at a twentieth of its amps.
    saturation, slope = rectifier(part.amps)
    slope *= SENSED_SHARE
    emf = part.volts + slope * math.log(part.amps / 20 / saturation)
    return (
        Branch(plug, at("-"), at("(made)"), LIMITED, DROOP_VOLTS / part.amps, part.amps,
               BEYOND * part.amps / part.volts, switch=plug),
        Branch(f"{name}.(held)", at("(made)"), at("(held)"), LINEAR, STIFF_SIEMENS, emf * STIFF_SIEMENS),
        Branch(f"{name}.output", at("(held)"), at("+"), DIODE, saturation, slope),
    )


def rectifier(amps: float) -> tuple[float, float]:
    """Saturation amps and slope volts of a diode that drops ``DIODE_DROP`` at so many amps."""
    slope = EMISSION * THERMAL_VOLTS
    return amps / (math.exp(DIODE_DROP / slope) - 1), slope


def _turn(switch: str, most: float, lost: float, angles: int) -> tuple[float, Beats]:
    """The mean of a turn that has ``lost`` at so many of its angles and ``most`` at the rest, and the beat itself."""
    values = (lost,) * angles + (most,) * (len(ANGLES) - angles)
    return sum(values) / len(values), ((switch, values),)
