"""Variants with picks of a test's choosing."""

from kit.exercises import question, variant


def edition(question_id, **picks):
    """The first variant, over invented learners, that has these picks."""
    item = question(question_id)
    drawn = (variant(item, "autumn", f"learner-{number}") for number in range(1000))
    return item, next(one for one in drawn if picks.items() <= one.picks.items())
