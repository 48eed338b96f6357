"""How a group of commands is listed: under headings, each with the whole of its first sentence."""

from collections.abc import Mapping, Sequence
from typing import ClassVar

import click


class Listed(click.Group):
    """A group that lists its commands under headings; what stands under none comes last."""

    headings: ClassVar[Mapping[str, Sequence[str]]] = {}

    def format_commands(self, context: click.Context, formatter: click.HelpFormatter) -> None:
        named = [name for names in self.headings.values() for name in names]
        others = [name for name in self.list_commands(context) if name not in named]
        for heading, names in {**self.headings, "More" if named else "Commands": others}.items():
            rows = [(name, _first(self.commands[name])) for name in names if name in self.commands]
            if rows:
                with formatter.section(heading):
                    formatter.write_dl(rows)


def _first(command: click.Command) -> str:
    """What a command is for: the first paragraph of its help."""
    return " ".join((command.help or "").split("\n\n")[0].split())
