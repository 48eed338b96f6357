"""What a meter keeps of a course in time: figure after figure, or the lowest and the highest of them."""

from collections.abc import Sequence

# A meter measures about ten times a second, each time the mean over its measuring time: a dip of some milliseconds is
# blunted, one of a tenth of a second is caught (common practice).
MEASURING_SECONDS = 0.1


def held(
    seconds: Sequence[float], values: Sequence[float], measuring: float = MEASURING_SECONDS
) -> tuple[float, float]:
    """The lowest and the highest of the means over one measuring time after another, as ``means`` has them.

    >>> held((0.1, 0.15, 0.2, 0.3), (12.0, 8.0, 12.0, 11.0))
    (10.0, 12.0)
    """
    kept = [value for _, value in means(seconds, values, measuring)]
    return round(min(kept), 9), round(max(kept), 9)


def means(
    seconds: Sequence[float], values: Sequence[float], measuring: float = MEASURING_SECONDS
) -> tuple[tuple[float, float], ...]:
    """The means over one measuring time after another, each with the moment it ends at.

    ``values[k]`` holds from ``seconds[k - 1]`` (or 0) to ``seconds[k]``. A last stretch shorter than a measuring time
    is left out unless it is all there is.

    >>> [(round(end, 6), round(mean, 6)) for end, mean in means((0.1, 0.15, 0.2, 0.3), (12.0, 8.0, 12.0, 11.0))]
    [(0.1, 12.0), (0.2, 10.0), (0.3, 11.0)]
    """
    kept, total, inside, start = [], 0.0, 0.0, 0.0
    for end, value in zip(seconds, values, strict=True):
        while end - start > 1e-12:
            part = min(end - start, measuring - inside)
            total += value * part
            inside += part
            start += part
            if measuring - inside <= 1e-9:
                kept.append((start, total / inside))
                total = inside = 0.0
    if not kept:
        kept.append((start, total / inside))
    return tuple(kept)
