"""schemdraw with its SVG side alone.

Where matplotlib happens to be installed, schemdraw loads it: a second more before a lesson is ready, for nothing.
"""

import sys

_OTHER = "schemdraw.backends.mpl"
_loaded = sys.modules.get(_OTHER)
sys.modules[_OTHER] = _loaded  # None: not to be had, and schemdraw goes on without

import schemdraw  # noqa: E402
from schemdraw.elements import Element  # noqa: E402
from schemdraw.segments import Segment, SegmentCircle, SegmentPoly  # noqa: E402

if _loaded is None:
    del sys.modules[_OTHER]

__all__ = ["Element", "Segment", "SegmentCircle", "SegmentPoly", "schemdraw"]
