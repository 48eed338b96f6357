"""The engine a machine starts: what it needs to fire and to keep running, and what becomes of it.

An operation with the starter held shows the figures of cranking: what is measured there is measured before the engine
fires, as with the fuel off or the ignition disabled. Whether it fires is told in a word, and from the next operation
that lets go of the starter it runs by itself: the switches a running engine moves are moved, and a starter that is
held on it overruns. Limits are common practice.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from types import MappingProxyType

from kit.circuit import Change, Fault
from kit.machines.notices import Notice
from kit.solve import Solution, State

ENGINE = "engine"  # the id it is noticed by, and named by in a truth table
WORDS = ("stopped", "will not fire", "fires and dies", "runs", "runs rough", "stops")
CRANKED = ("cranks", "cranks slowly")  # the words of a starter that turns its engine
FIRES_FROM = 0.3
# A starter the engine turns has only its own friction left: 18 to 35 % of its cranking amps by the fleet's data sheets.
OVERRUN_SHARE = 0.25


@dataclass(frozen=True, slots=True, kw_only=True)
class Engine:
    """What an engine asks for. ``needs``: part to the word that must hold, or several joined by " or ".

    It can fire from ``fires_from`` of the full speed of its starter ``cranked_by``. A cold diesel's ``plugs`` must have
    had ``plug_amps`` each: with all it fires well, with some it runs rough, with none it will not fire. Running it
    ``closes`` and ``opens`` switches. ``start`` are the moves that start the sound machine, one after another.
    """

    cranked_by: str
    fires_from: float = FIRES_FROM
    needs: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))
    plugs: tuple[str, ...] = ()
    plug_amps: float = 0.0
    closes: tuple[str, ...] = ()
    opens: tuple[str, ...] = ()
    start: tuple[Mapping[str, str], ...] = ()

    def overrun(self, load_amps: float) -> Fault:
        """What a running engine does to its starter, as a change of the circuit: it takes the load off it."""
        edit = Change(field="load_amps", value=OVERRUN_SHARE * load_amps)
        return Fault(id=f"{self.cranked_by} turned by the engine", part=self.cranked_by, edit=edit)

    def met(self, noticed: tuple[Notice, ...]) -> bool:
        """Whether everything it needs is as it must be."""
        words: dict[str, str] = {}
        for seen in noticed:
            words.setdefault(seen.part, seen.word)
        return all(words.get(part, "") in word.split(" or ") for part, word in self.needs.items())

    def turned(self, solution: Solution, noticed: tuple[Notice, ...]) -> bool:
        """Whether its starter turns it fast enough to fire; one that only twitches does not."""
        word = next((seen.word for seen in noticed if seen.part == self.cranked_by), "")
        swings = (solution,) if solution.other_swing is None else (solution, solution.other_swing)
        return word in CRANKED and min(swing.speeds[self.cranked_by] for swing in swings) >= self.fires_from

    def started(self, warm: frozenset[str]) -> "EngineState":
        """How it stands when it has just fired, its starter still held, with these glow plugs hot."""
        return _running(self, warm, cranked=True)

    def warmed(self, solution: Solution) -> frozenset[str]:
        """The glow plugs that are glowing."""
        return frozenset(plug for plug in self.plugs if abs(solution.amps[plug]) >= self.plug_amps)


@dataclass(frozen=True, slots=True, kw_only=True)
class EngineState:
    """How the engine stands after an operation: one of ``WORDS``, and what it carries to the next.

    ``running``: it goes on by itself. ``cranked``: the starter that has just started it is still held, so that the
    figures are those of cranking; ``held``: by a hand on a control that springs back. ``warm``: the glow plugs that
    have glowed.
    """

    word: str = "stopped"
    running: bool = False
    cranked: bool = False
    held: bool = False
    warm: frozenset[str] = frozenset()

    @property
    def free(self) -> bool:
        """Whether it runs by itself, its starter let go or overrun."""
        return self.running and not self.cranked


STILL = EngineState()
# A machine solved with the engine running (True) or not: its circuit and what is noticed. It goes on from where it
# stood, or from the state it has come to since.
Tried = tuple[Solution, tuple[Notice, ...]]
Trial = Callable[[bool, State | None], Tried]


def turn(
    engine: Engine, was: EngineState, trial: Trial, *, held: bool = True
) -> tuple[EngineState, Solution, tuple[Notice, ...]]:
    """One operation of a machine with an engine: how the engine stands, the circuit, and all that is noticed.

    ``held``: a hand holds a control that would spring back. Once that hand has let go, an engine that has fired runs
    free, and a starter that hangs on (a welded contact) is overrun.
    """
    found = trial(was.free, None)
    let_go = was.running and was.held and not held
    cranks = not was.free and not let_go and engine.turned(*found)
    warm = was.warm | engine.warmed(found[0])
    if was.running and not cranks:
        # It ran, or its starter has just let go of it: it goes on by itself as long as it has what it needs.
        going = found if was.free else trial(True, None)
        if engine.met(going[1]):
            now, found = _running(engine, warm, cranked=False), going
        else:
            now = EngineState(word="stops" if was.free else "fires and dies", warm=warm)
            found = trial(False, None)
    elif cranks:
        now = replace(_fired(engine, warm, found, trial), held=held)
    else:
        now = EngineState(warm=warm)
    return now, found[0], (*found[1], told(now))


def touched(
    engine: Engine, was: EngineState, solution: Solution, noticed: tuple[Notice, ...]
) -> tuple[EngineState, Notice]:
    """The engine with an instrument put on the machine, which has been solved as the engine stood.

    A big lamp may crank it, or take away what it needs.
    """
    if was.free:
        now = was if engine.met(noticed) else EngineState(word="stops", warm=was.warm)
    elif engine.turned(solution, noticed):
        now = was if was.cranked else _fired(engine, was.warm, (solution, noticed), None)
    else:
        now = replace(was, word="stopped", running=False, cranked=False)
    return now, told(now)


def told(now: EngineState) -> Notice:
    """What a person notices of the engine."""
    fires = "The engine fires and runs" if now.cranked else "The engine runs"
    text = {
        "stopped": "", "will not fire": "The engine does not fire.",
        "fires and dies": "The engine fires and dies.", "stops": "The engine stops.",
        "runs": f"{fires}.", "runs rough": f"{fires} rough, with white smoke.",
    }[now.word]
    return Notice(ENGINE, now.word, text)


def _fired(
    engine: Engine, warm: frozenset[str], cranked: Tried, trial: Trial | None
) -> EngineState:
    """What comes of cranking it fast enough; with ``trial`` also once the running engine has moved its switches.

    It fires with the relays as cranking has them.
    """
    if not engine.met(cranked[1]) or (engine.plugs and not warm):
        return EngineState(word="will not fire", warm=warm)
    if trial is not None and not engine.met(trial(True, cranked[0].state)[1]):
        return EngineState(word="fires and dies", warm=warm)
    return engine.started(warm)


def _running(engine: Engine, warm: frozenset[str], *, cranked: bool) -> EngineState:
    word = "runs" if len(warm) == len(engine.plugs) else "runs rough"
    return EngineState(word=word, running=True, cranked=cranked, warm=warm)
