"""Drawings of a machine: its stages and their states, and pictures that explain what is measured in it.

``draw``, ``schematic``, ``sheet`` and ``blocks`` draw the circuit, ``whereabouts`` says where its parts sit;
``staircase`` shows volts along a way, ``strip`` in time, ``fault_table`` what each fault would show.
"""

import sys
from types import ModuleType

from kit.draw.blocks import blocks
from kit.draw.fault_table import fault_table
from kit.draw.labels import Words
from kit.draw.palette import PALETTE
from kit.draw.picture import Picture
from kit.draw.schematic import draw, schematic, sheet
from kit.draw.shown import Shown, plain, tell_all
from kit.draw.staircase import staircase
from kit.draw.strip import strip
from kit.draw.whereabouts import whereabouts

__all__ = [
    "PALETTE", "Picture", "Shown", "Words", "blocks", "draw", "fault_table", "plain", "schematic", "sheet", "staircase",
    "strip", "tell_all", "whereabouts",
]


class _Room(ModuleType):
    """A module that can be called, ``kit.draw(machine, stage=…)``: Python lets a module change its class for this."""

    def __call__(self, *args: object, **kwargs: object) -> Picture:
        return draw(*args, **kwargs)


sys.modules[__name__].__class__ = _Room
