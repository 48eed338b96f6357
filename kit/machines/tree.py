"""A machine file's text as a tree of names, lists and short texts, each with the line it stands on.

One pass over the YAML reader's events, with care: one document, no anchors, no tags, no bottomless nesting. The tree
is plain data, so that it can be kept and taken up again without the text.
"""

from collections.abc import Iterator, Mapping
from typing import NoReturn

from ruamel.yaml import YAML
from ruamel.yaml.error import MarkedYAMLError, YAMLError
from ruamel.yaml.events import (
    AliasEvent,
    CollectionEndEvent,
    CollectionStartEvent,
    DocumentStartEvent,
    Event,
    MappingEndEvent,
    MappingStartEvent,
    ScalarEvent,
    SequenceEndEvent,
)
from ruamel.yaml.nodes import ScalarNode
from ruamel.yaml.reader import ReaderError

from kit.errors import KitError, MachineFileError

DEEPEST = 28
NODES = (ScalarEvent, CollectionStartEvent)
OPENS, CLOSES = CollectionStartEvent, CollectionEndEvent
# What is no text to YAML; anything else, such as a date, stays as it was written.
TEXT = "tag:yaml.org,2002:str"
NO_TEXT = frozenset(f"tag:yaml.org,2002:{kind}" for kind in ("null", "bool", "int", "float"))


class Names(dict):
    """A mapping; ``lines`` tells where each of its keys stands, counted from 1."""

    __slots__ = ("lines",)

    def __init__(self) -> None:
        self.lines: dict[object, int] = {}


class Items(list):
    """A list; ``lines`` tells where each of its entries begins, counted from 1."""

    __slots__ = ("lines",)

    def __init__(self) -> None:
        self.lines: list[int] = []


Node = Names | Items


def grow(text: str, name: str) -> object:
    """What stands in a machine file's text: Names, Items or a single value; raises MachineFileError."""
    try:
        return _Grower(text, name).tree()
    except KitError:
        raise
    except MarkedYAMLError as error:
        line = error.problem_mark.line + 1 if error.problem_mark else 1
        problem = (error.problem or error.context or "it does not read").splitlines()[0]
        raise MachineFileError(f"{name} line {line}: {_in_words(problem)}") from error
    except ReaderError as error:
        line = text.count("\n", 0, error.position) + 1
        raise MachineFileError(f"{name} line {line}: there is a character here that is no text.") from error
    except (YAMLError, ValueError, RecursionError, AttributeError, TypeError) as error:
        raise MachineFileError(f"{name}: this cannot be read as YAML.") from error


def pressed(node: object) -> object:
    """A tree as lists and values that JSON can hold."""
    if isinstance(node, Names):
        lines = [node.lines[name] for name in node]
        return {"names": list(node), "lines": lines, "hold": [pressed(one) for one in node.values()]}
    return {"lines": node.lines, "hold": [pressed(one) for one in node]} if isinstance(node, Items) else node


def unpressed(made: object) -> object:
    """The tree that was pressed; a KeyError, TypeError or ValueError where it is none."""
    if not isinstance(made, dict):
        return made
    found = map(unpressed, made["hold"])
    if "names" in made:
        node = Names()
        node.update(zip(made["names"], found, strict=True))
        node.lines.update(zip(made["names"], made["lines"], strict=True))
    else:
        node = Items()
        node += found
        node.lines += made["lines"]
    return node


def planted(value: object, line: int) -> object:
    """Plain values as a tree that stands all on one line."""
    if isinstance(value, Mapping):
        node = Names()
        for key, inside in value.items():
            node[key], node.lines[key] = planted(inside, line), line
        return node
    if isinstance(value, list):
        node = Items()
        node += (planted(one, line) for one in value)
        node.lines += [line] * len(node)
        return node
    return value


class _Grower:
    """A tree growing from the YAML reader's events; what may not be in a machine file ends it."""

    def __init__(self, text: str, name: str) -> None:
        self._name, self._reader = name, YAML(typ="safe", pure=True)
        self._events = self._allowed(text)
        # Told only when all was read: what cannot be read at all comes first, wherever it stands.
        self._wrong: list[tuple[Event, str]] = []

    def tree(self) -> object:
        tree, documents = None, []
        for event in self._events:
            if isinstance(event, DocumentStartEvent):
                documents.append(event)
            elif isinstance(event, NODES):
                tree = self._node(event)
        for event in documents[1:]:
            self._refuse(event, "'---' begins a second document here; a machine file is a single one.")
        for event, wrong in self._wrong:
            self._refuse(event, wrong)
        return tree

    def _node(self, event: Event) -> object:
        if isinstance(event, MappingStartEvent):
            return self._names()
        if isinstance(event, ScalarEvent):
            return self._value(event)
        node = Items()
        while not isinstance(inner := next(self._events), SequenceEndEvent):
            node.lines.append(_line(inner))
            node.append(self._node(inner))
        return node

    def _names(self) -> Names:
        node = Names()
        while not isinstance(event := next(self._events), MappingEndEvent):
            key = self._node(event)
            value = self._node(next(self._events))
            if isinstance(key, (Names, Items)):
                self._wrong.append((event, "a name should be a word in letters, and a list or a bracket begins here."))
            elif key in node:
                self._wrong.append((event, f"'{key}' stands here a second time; ids must differ."))
            else:
                node[key], node.lines[key] = value, _line(event)
        return node

    def _value(self, event: ScalarEvent) -> object:
        """A text as it was written; what YAML takes for a number, a truth or nothing as that."""
        text, plain = event.value, event.implicit[0]
        tag = self._reader.resolver.resolve(ScalarNode, text, event.implicit) if plain else TEXT
        if str(tag) not in NO_TEXT:
            return text
        return self._reader.constructor.construct_object(ScalarNode(tag, text, event.start_mark))

    def _allowed(self, text: str) -> Iterator[Event]:
        """The events; aliases (a few can stand for billions of entries), tags and bottomless nesting are refused."""
        depth = 0
        for event in self._reader.parse(text):
            if isinstance(event, AliasEvent) or getattr(event, "anchor", None):
                self._refuse(event, "'&' and '*' short cuts are not allowed; write the values out.")
            if getattr(event, "tag", None):
                self._refuse(event, "'!' tags are not allowed; write plain values.")
            depth += isinstance(event, OPENS) - isinstance(event, CLOSES)
            if depth > DEEPEST:
                self._refuse(event, "entries are nested too deeply for a machine file.")
            yield event

    def _refuse(self, event: Event, why: str) -> NoReturn:
        raise MachineFileError(f"{self._name} line {_line(event)}: {why}")


def _line(event: Event) -> int:
    return event.start_mark.line + 1


def _in_words(problem: str) -> str:
    """What the YAML reader complains of, in words for someone who has never heard of YAML."""
    if "\\t" in problem:
        return "there is a tab here; use spaces."
    return f"this cannot be read ({problem}); is a bracket, a quote or a colon missing here or just above?"
