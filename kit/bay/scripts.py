"""A widget's script: what all widgets have in common in front, its own after it."""

from pathlib import Path

HERE = Path(__file__).parent


def script(*names: str) -> str:
    """The text of a widget's script, ``fittings.js`` first; ``names`` are files beside this one."""
    return "".join((HERE / name).read_text(encoding="utf-8") for name in ("fittings.js", *names))
