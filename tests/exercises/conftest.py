"""What the tests of the exercises share."""

import pytest

from kit.exercises import questions, variant

CLASS = [f"learner-{number}" for number in range(1000)]


@pytest.fixture(scope="session")
def editions():
    """Every different variant of every question that a class of a thousand draws, as (question, variant) pairs."""
    found = {}
    for question in questions().values():
        for learner in CLASS:
            drawn = variant(question, "autumn", learner)
            # A job's faults are drawn by its own card, so its variants are alike here.
            found.setdefault((question.id, drawn.key), (question, drawn))
    return list(found.values())
