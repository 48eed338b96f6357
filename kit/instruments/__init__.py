"""Test instruments: how each loads the circuit, and what it shows. Attaching it is all the physics it has."""

from kit.instruments.lamp import LAMP_WORDS, TestLamp, lamp_words
from kit.instruments.meter import Multimeter
from kit.instruments.reading import Reading

__all__ = ["LAMP_WORDS", "Multimeter", "Reading", "TestLamp", "lamp_words"]
