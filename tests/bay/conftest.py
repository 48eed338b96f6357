"""A record of a test's own, and the machine with its hidden fault."""

import pytest
from jobs_at_hand import a_job

from kit.records import Record


@pytest.fixture
def record(tmp_path):
    """A new record in a folder of its own."""
    return Record.open(folder=tmp_path, course="autumn", learner="wren")


@pytest.fixture
def job(record):
    """Job card J1 with a blown main fuse, and why it blew, in the machine."""
    return a_job(record)
