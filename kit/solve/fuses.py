"""When a fuse melts: one law for a course in time and for an operation held some seconds.

A fuse's wire warms fast and its blades slowly. Heat is measured in (amps/rating)²; each stage goes after it with its
own seconds, and the wire melts when the two together come to one. From cold: 110 % never, 135 % after 13 s, 160 %
3.6 s, 200 % 0.9 s, 350 % 0.14 s, 600 % 0.05 s, the middle of each band of ISO 8820-3 (from memory).
"""

import math

WIRE_SHARE, WIRE_SECONDS = 0.300, 0.48
BLADE_SHARE, BLADE_SECONDS = 0.456, 16.0
# An operation lasts the seconds a person holds it, and no longer, unless it says how long.
HELD_SECONDS = 5.0


def melts_at(seconds: float = HELD_SECONDS) -> float:
    """How many times its rating a cold fuse must carry to melt within so many seconds.

    >>> round(melts_at(), 2), round(melts_at(60), 2), round(melts_at(math.inf), 2)
    (1.54, 1.16, 1.15)
    """
    wire = WIRE_SHARE * -math.expm1(-seconds / WIRE_SECONDS)
    return 1 / math.sqrt(wire + BLADE_SHARE * -math.expm1(-seconds / BLADE_SECONDS))
