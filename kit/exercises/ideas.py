"""Ideas about circuits that sound right and are not, each with the words that help to leave it.

The ideas are those that research with learners has described (sources: Engelhardt & Beichner, American Journal of
Physics 72, 2004; Shipstone 1984; McDermott & Shaffer, AJP 60, 1992; Cohen, Eylon & Ganiel, AJP 51, 1983; Timmermann &
Kautz), and three of our own from the workshop. A question computes what an idea would answer and compares.
"""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Idea:
    """One such idea: its id, its name, and what to say to someone who holds it."""

    id: str
    title: str
    help: str


IDEAS = {
    idea.id: idea
    for idea in (
        Idea(
            id="no-current-no-volts",
            title="no current, so no volts",
            help="Volts need no current. Where a circuit is broken nothing flows, and the whole battery's volts stand "
            "across the break, waiting.",
        ),
        Idea(
            id="current-used-up",
            title="current is used up along the way",
            help="Current is not used up: what goes in at one end of a wire comes out at the other. On a healthy feed "
            "the lamp is as bright at its end as at its start.",
        ),
        Idea(
            id="current-shared-out",
            title="the source gives a fixed current that is shared out",
            help="Each branch takes what its own resistance lets through; another branch does not take it away.",
        ),
        Idea(
            id="clashing-currents",
            title="currents from both posts meet",
            help="One current goes round the whole loop, out of one post and into the other.",
        ),
        Idea(
            id="one-wire-is-enough",
            title="one wire is enough",
            help="A load needs a way in and a way back. One wire alone carries nothing.",
        ),
        Idea(
            id="only-upstream-matters",
            title="only what comes before matters",
            help="A loop is one thing: a break or a resistance after a load stops it as well as one before it.",
        ),
        Idea(
            id="equal-share",
            title="every part gets an equal share of the volts",
            help="Volts divide by resistance, not by count. A break has all the resistance there is, so it takes all "
            "the volts and the other parts get none.",
        ),
        Idea(
            id="volts-follow-current",
            title="volts belong to the current",
            help="Volts are a difference between two points, there with or without a current.",
        ),
        Idea(
            id="constant-current-battery",
            title="the battery always gives the same current",
            help="A battery keeps its volts nearly the same; the load decides the current.",
        ),
        Idea(
            id="series-rule-in-parallel",
            title="more branches, more resistance",
            help="Another branch is another way through: the total resistance falls and the current rises.",
        ),
        Idea(
            id="short-not-seen",
            title="a short is not seen",
            help="A short is a way with next to no resistance. It takes a huge current, and the fuse is there for it.",
        ),
        Idea(
            id="wires-never-drop",
            title="wires never lose volts",
            help="A wire has resistance, so a current through it costs volts: the longer, the thinner and the more "
            "amps, the more.",
        ),
        Idea(
            id="drawing-never-wrong",
            title="the drawing must be right, so the meter is wrong",
            help="A drawing is what somebody once wrote down; the machine is what is so. When a proved instrument and "
            "a drawing disagree, measure once more, and then it is the drawing that is wrong.",
        ),
        Idea(
            id="colour-tells-all",
            title="a wire's colour says where it goes",
            help="A colour tells which wire it may be, never where its ends are, and no instrument shows it. Look at "
            "the wire, then measure.",
        ),
    )
}
