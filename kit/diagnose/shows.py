"""From volts to what a person can tell apart: the outcomes of one test over all suspects, as numbers and words."""

from collections.abc import Sequence

import numpy as np

from kit.instruments.display import COUNTS
from kit.instruments.lamp import EDGES, EITHER_WITHIN, GLARES, GLARES_FROM, LAMP_WORDS

# A tenth of a volt or three parts in a hundred is about what a careful reader would call different (common practice).
VOLTS_APART, SHARE_APART = 0.1, 0.03
FLICKERS, JUMPS = "flickers", "the digits jump"
COUNT_VOLTS = 0.01


def lamp(volts: np.ndarray, other: np.ndarray, alternating: np.ndarray) -> tuple[np.ndarray, tuple[str, ...]]:
    """Words of a 12 V lamp (scale a 24 V lamp's volts first) for each suspect: [suspect, 2] numbers, and the words.

    Both numbers of a row are the same unless it lies near an edge. ``other`` is nan but where a relay chatters.
    """
    words = (*LAMP_WORDS, FLICKERS, GLARES)
    size = np.hypot(volts, alternating)
    first = np.digitize(size, EDGES)
    second = first.copy()
    for number, edge in enumerate(EDGES):
        near = np.abs(size - edge) <= EITHER_WITHIN
        second = np.where(near, np.where(first == number, number + 1, number), second)
    chatters = ~np.isnan(other)
    flickers = chatters & (first != np.digitize(np.hypot(np.nan_to_num(other), alternating), EDGES))
    glares = (np.abs(volts) >= GLARES_FROM) & ~(chatters & (np.abs(np.nan_to_num(other)) < GLARES_FROM))
    for where, number in ((flickers, len(LAMP_WORDS)), (glares, len(LAMP_WORDS) + 1)):
        first, second = np.where(where, number, first), np.where(where, number, second)
    return np.stack([first, second], axis=1), words


def meter(volts: np.ndarray, other: np.ndarray) -> tuple[np.ndarray, tuple[str, ...]]:
    """A meter's volts for each suspect, grouped so that values of two groups differ more than a reader could miss.

    Values close to one another are one outcome, and so are those a chain of close values joins: careful, never clever.
    """
    shown = np.round(volts / COUNT_VOLTS) * COUNT_VOLTS + 0.0
    far = np.abs(shown) >= COUNTS * COUNT_VOLTS
    shown = np.where(far, np.round(volts, 1), shown)
    jumps = ~np.isnan(other) & (np.abs(other - volts) > VOLTS_APART)
    return figures(
        [JUMPS if jumping else float(value) for value, jumping in zip(shown, jumps, strict=True)],
        (VOLTS_APART, SHARE_APART), "V",
    )


def figures(told: Sequence[float | str], apart: tuple[float, float], unit: str) -> tuple[np.ndarray, tuple[str, ...]]:
    """What a display shows for each suspect, figures or words: a number for each outcome, and the outcomes in words.

    Figures within ``apart`` (so much, or this share) of their neighbour are one outcome, each word is one by itself.
    """
    worded = np.array([isinstance(one, str) for one in told])
    every = np.array([0.0 if isinstance(one, str) else one for one in told], float)
    order = np.argsort(every, kind="stable")
    steady = order[~worded[order]]
    values = every[steady]
    least = np.maximum(apart[0], apart[1] * np.maximum(np.abs(values[1:]), np.abs(values[:-1])))
    # A display steps by whole counts, so "more than" must not hang on the last bit of a float.
    group = np.concatenate([[0], np.cumsum(np.diff(values) > least + 1e-9)]) if len(values) else np.zeros(0, np.int64)
    found = np.zeros(len(every), np.int64)
    found[steady] = group
    words = [_span(values[group == number], unit) for number in range(int(group.max()) + 1)] if len(values) else []
    others = list(dict.fromkeys(one for one in told if isinstance(one, str)))
    found[worded] = [len(words) + others.index(one) for one in told if isinstance(one, str)]
    return found, (*words, *others)


def things(told: Sequence[object]) -> tuple[np.ndarray, tuple[object, ...]]:
    """What is alike or not, such as what is noticed: a number for each suspect, and what each number stands for."""
    known: dict[object, int] = {}
    return np.array([known.setdefault(one, len(known)) for one in told], np.int64), tuple(known)


def _span(values: np.ndarray, unit: str) -> str:
    low, high = float(values.min()), float(values.max())
    if unit == "Ω" and low >= 1000.0:
        low, high, unit = low / 1000.0, high / 1000.0, "kΩ"
    if f"{low:.1f}" == f"{high:.1f}":
        return f"about {low + 0.0:.1f} {unit}"
    return f"{low + 0.0:.1f} to {high + 0.0:.1f} {unit}"
