"""Hypothesis plays the same examples every time, keeps no database and never fails a slow computer.

Whatever runs here, notebooks included, keeps its records in a folder of its own: nobody's work is touched.
"""

import os
import sys
import tempfile

import pytest
from hypothesis import HealthCheck, settings

os.environ["KIT_RECORDS"] = tempfile.mkdtemp(prefix="kit-records-")
os.environ["KIT_CACHE"] = tempfile.mkdtemp(prefix="kit-cache-")
for name in ("KIT_LEARNER", "KIT_COURSE"):
    os.environ.pop(name, None)

settings.register_profile(
    "kit", derandomize=True, deadline=None, database=None, max_examples=100,
    suppress_health_check=[HealthCheck.too_slow],
)
settings.load_profile("kit")


@pytest.fixture(autouse=True)
def marks_are_waited_for(monkeypatch):
    """A test that hands a machine back reads the mark at once, however busy the computer is."""
    if "kit.bay.judging" in sys.modules:
        monkeypatch.setattr("kit.bay.judging.PATIENCE", 600.0)
