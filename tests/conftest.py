"""Hypothesis plays the same examples every time, keeps no database and never fails a slow computer."""

from hypothesis import settings

settings.register_profile("kit", derandomize=True, deadline=None, database=None, max_examples=100)
settings.load_profile("kit")
