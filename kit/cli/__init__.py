"""The command line: open the lessons, mark a class, operate a machine."""

from kit.cli.commands import main

__all__ = ["main"]
