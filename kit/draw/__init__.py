"""Drawings of a machine's stages: symbols by schemdraw, states by colour, dash and letter."""

import sys
from types import ModuleType

from kit.draw.blocks import blocks
from kit.draw.labels import Words
from kit.draw.palette import PALETTE
from kit.draw.picture import Picture
from kit.draw.schematic import draw, schematic, sheet
from kit.draw.shown import Shown, plain, tell_all
from kit.draw.strip import strip

__all__ = [
    "PALETTE", "Picture", "Shown", "Words", "blocks", "draw", "plain", "schematic", "sheet", "strip", "tell_all",
]


class _Room(ModuleType):
    """A module that can be called, ``kit.draw(machine, stage=…)``: Python lets a module change its class for this."""

    def __call__(self, *args: object, **kwargs: object) -> Picture:
        return draw(*args, **kwargs)


sys.modules[__name__].__class__ = _Room
