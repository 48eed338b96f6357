"""Machines: text files read into values, operated by their controls."""

from kit.machines.library import machine, machine_ids
from kit.machines.loader import read_machine
from kit.machines.machine import Control, FaultNote, Machine, Point, Rule, Stage
from kit.machines.notices import Notice
from kit.machines.operation import Operation

__all__ = [
    "Control", "FaultNote", "Machine", "Notice", "Operation", "Point", "Rule", "Stage", "machine", "machine_ids",
    "read_machine",
]
