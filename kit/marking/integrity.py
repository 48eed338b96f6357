"""Questions an assessor may want to ask, never verdicts: equal sequences of answers, answers to another's variant.

What a record's own chain can show is told with what could not be marked: a line changed, lost or torn, by accident or
carelessness. Whoever writes a record with care of their own can make any chain; so assessed work is supervised, and a
learner is asked about it. Two who learnt together answer alike, and a class that was told one thing errs alike.
"""

import hashlib
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from kit.exercises.tray import TRAY
from kit.marking.feedback import lost, named_ideas
from kit.marking.marks import LearnerMarks, Row

# So many wrong answers alike, of so large a share of all either gave wrong on the same variant, are worth a question.
ALIKE, SHARE = 6, 0.8
LONGEST = 120  # letters of an answer said again in a question
# An answer that so large a share of the class gave is what the class thinks, and says nothing about two of them.
COMMON = 0.2
# Acts in a row that two learners did alike on one job, in the very same order.
SAME_ACTS = 12
# What of an act may differ between two who did the same.
UNLIKE = ("shown", "held")
ANOTHERS = "not this learner's"


@dataclass(frozen=True, slots=True, kw_only=True)
class Doubt:
    """A question for the assessor: whom it is about, what was seen, and what to ask."""

    learners: tuple[str, ...]
    seen: str
    ask: str


def doubts(kept: Sequence["Kept"]) -> tuple[Doubt, ...]:
    """All such questions about a class."""
    return (*_others_variants(kept), *_alike(kept), *_same_work(kept))


def oral_questions(one: LearnerMarks, number: int = 3) -> tuple[str, ...]:
    """Questions to ask a learner face to face, from the learner's own record; fewer where there is too little in it.

    One about an answer behind which an idea may stand (or any that went wrong), one about a job, one about what went
    well: who did the work can tell how.
    """
    answered = [row for row in one.rows if row.attempts and row.kind not in ("job", "explain")]
    behind = [name for each in named_ideas(one) for name in each.questions]
    wrong = sorted((row for row in answered if lost(row)), key=lambda row: (row.question not in behind, row.question))
    jobs = [row for row in one.rows if row.kind == "job" and row.attempts]
    # Longer answers say more about who gave them than a letter does.
    well = sorted((row for row in answered if not lost(row)), key=lambda row: (-_weight(row), row.question))
    asked = [_about_wrong(row) for row in wrong[:1]] + [_about_job(row) for row in jobs[:1]]
    asked += [_about_right(row) for row in well] + [_about_wrong(row) for row in wrong[1:]]
    return tuple(asked[:number])


def _weight(row: Row) -> int:
    return {"prediction": 3, "volts": 3, "standing": 2, "next test": 2, "mark up": 2, "number": 1}.get(row.kind, 0)


def _about_wrong(row: Row) -> str:
    return (f"In {row.question} ({row.title}) you answered “{_short(row.answer)}”. Tell me how you came to it, and "
            "what you would say now.")


def _about_right(row: Row) -> str:
    return (f"In {row.question} ({row.title}) you answered “{_short(row.answer)}”. How did you work it out, and "
            "how could you show it on the machine?")


def _short(answer: str) -> str:
    """An answer as far as it fits a line or two, ended between two words."""
    return answer if len(answer) <= LONGEST else f"{answer[:LONGEST].rpartition(' ')[0] or answer[:LONGEST]} …"


def _about_job(row: Row) -> str:
    acts = [act for act in row.raw if isinstance(act, Mapping)] if isinstance(row.raw, Sequence) else []
    probe = next((act for act in acts if act.get("act") == "probe" and act.get("leads")), None)
    if probe is None:
        return f"On job {row.card} you put no lead down. What made you sure?"
    leads = [str(lead)[:20] for lead in probe["leads"]] if isinstance(probe["leads"], Sequence) else []
    name = str(probe.get("instrument"))
    tool = TRAY[name].title if name in TRAY else "instrument"
    return (f"On job {row.card} you put the {tool} on {' and '.join(leads)}. What did you expect to see there, "
            "and what would the other result have told you?")


@dataclass(frozen=True, slots=True)
class Kept:
    """What is compared of a learner: wrong answers by question and variant, a job's acts (how many, and a digest of
    them in their order), and the questions of which an answer was refused.
    """

    learner: str
    wrong: Mapping[tuple[str, str], str]
    jobs: Mapping[str, tuple[int, str]]
    refused: tuple[str, ...]

    @classmethod
    def of(cls, one: LearnerMarks) -> "Kept":
        return cls(
            one.learner,
            {(row.question, row.variant): row.answer for row in one.rows if lost(row) and row.kind != "job"},
            {row.card: _acts(row) for row in one.rows if row.kind == "job" and row.attempts},
            tuple(each.question for each in one.troubles if ANOTHERS in each.text),
        )


def _acts(row: Row) -> tuple[int, str]:
    acts = [act for act in row.raw if isinstance(act, Mapping)] if isinstance(row.raw, Sequence) else []
    plain = [sorted((name, str(value)) for name, value in act.items() if name not in UNLIKE) for act in acts]
    return len(acts), hashlib.sha256(repr(plain).encode("utf-8", "backslashreplace")).hexdigest()


def _others_variants(kept: Sequence[Kept]) -> Iterator[Doubt]:
    for one in kept:
        for name, number in Counter(one.refused).items():
            yield Doubt(
                learners=(one.learner,),
                seen=f"Answers to {name} that were given to a variant not this learner's: {number}.",
                ask="Was the name changed between two sittings, or was this worked on another's screen?",
            )


def _alike(kept: Sequence[Kept]) -> Iterator[Doubt]:
    """Pairs with many wrong answers in common that few others gave."""
    given = Counter(item for one in kept for item in one.wrong.items())
    common = max(2, COMMON * len(kept))
    by_answer: dict[object, list[int]] = {}
    for place, one in enumerate(kept):
        for item in one.wrong.items():
            if 2 <= given[item] <= common:
                by_answer.setdefault(item, []).append(place)
    shared: Counter[tuple[int, int]] = Counter()
    for places in by_answer.values():
        # Where many share it, it is looked at no further: pairs grow with the square.
        shared.update((a, b) for n, a in enumerate(places[:50]) for b in places[n + 1 : 50])
    for (a, b), number in sorted(shared.items()):
        one, other = kept[a], kept[b]
        both = sum(name in other.wrong for name in one.wrong)
        if number >= ALIKE and number >= SHARE * both:
            yield Doubt(
                learners=(one.learner, other.learner),
                seen=f"Of {both} answers both gave wrong on the same variants, {number} are the same, and few others "
                     "gave them.",
                ask="Did they learn together? Ask each of them, apart, how they came to two of these answers.",
            )


def _same_work(kept: Sequence[Kept]) -> Iterator[Doubt]:
    done: dict[tuple[str, int, str], list[str]] = {}
    for one in kept:
        for name, (number, digest) in one.jobs.items():
            if number >= SAME_ACTS:
                done.setdefault((name, number, digest), []).append(one.learner)
    together: dict[tuple[str, ...], list[str]] = {}
    for (name, number, _digest), learners in done.items():
        if len(learners) > 1:
            together.setdefault(tuple(learners), []).append(f"{name} ({number} acts)")
    for learners, jobs in together.items():
        yield Doubt(
            learners=learners, seen=f"The very same acts in the same order on {', '.join(jobs)}.",
            ask="Was it worked through together, or shown at the front? Ask each for the reason of one test.",
        )
