"""Test instruments: how each loads the circuit, and what it shows. Attaching it is all the physics it has.

Each is a value with the places it is put on. ``read(operation)`` is what it shows; ``put_on(operation)`` is what the
machine does with it on, and ``shows(now)`` what it shows then. The clamp meter and the hydrometer load nothing.
"""

from kit.instruments.clamp import JAWS, ClampMeter
from kit.instruments.hydrometer import Hydrometer, corrected, gravity, serviceable
from kit.instruments.jumper import JUMPER_WORDS, FusedJumper
from kit.instruments.lamp import LAMP_WORDS, LOADING_WATTS, PROBE_WATTS, TestLamp, lamp_words
from kit.instruments.led import LED_WORDS, LedLamp
from kit.instruments.load_tester import VERDICTS, LoadTester, judge, lowest_volts
from kit.instruments.meter import RANGES, Multimeter
from kit.instruments.reading import Reading, attach, course_with, put_on

__all__ = [
    "JAWS", "JUMPER_WORDS", "LAMP_WORDS", "LED_WORDS", "LOADING_WATTS", "PROBE_WATTS", "RANGES", "VERDICTS",
    "ClampMeter", "FusedJumper", "Hydrometer", "LedLamp", "LoadTester", "Multimeter", "Reading", "TestLamp", "attach",
    "corrected", "course_with", "gravity", "judge", "lamp_words", "lowest_volts", "put_on", "serviceable",
]
