"""The sections of a machine file, each of which knows its line, so that every complaint can name file and line."""

from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import NoReturn

from kit.errors import MachineFileError
from kit.machines.tree import Items, Names, grow, planted

LARGEST = 400_000  # characters; the largest machine we know of needs a tenth of that
UTF_16 = (b"\xff\xfe", b"\xfe\xff")
TOO_LARGE = "is too large for a machine file; it should be plain text of some hundred lines."


class Section:
    """A mapping of the file that knows where it stands, so that every complaint can name file and line."""

    def __init__(self, file: str, name: str, node: Names, line: int) -> None:
        self.file, self.name, self._node, self.line = file, name, node, line

    @property
    def tree(self) -> Names:
        """All that stands in the section."""
        return self._node

    def fail(self, message: str, key: str | None = None) -> NoReturn:
        """Raise MachineFileError for this section, at the line of ``key`` where one is given."""
        raise MachineFileError(f"{self.file} line {self.line_of(key)}: {message}")

    def line_of(self, key: str | None) -> int:
        """The line a key stands on, counted from 1."""
        if key is not None and key in self._node:
            return self._node.lines[key]
        return self.line

    def keys(self) -> tuple[str, ...]:
        for key in self._node:
            if not isinstance(key, str):
                self.fail(f"{self.name}: '{key}' should be a name in letters.")
        return tuple(self._node)

    def __contains__(self, key: str) -> bool:
        return key in self._node

    def is_list(self, key: str) -> bool:
        """Whether a list stands under a key."""
        return isinstance(self._node.get(key), Items)

    def allow(self, *known: str) -> None:
        """Complain about the first key that is not one of these."""
        for key in self.keys():
            if key not in known:
                if self._node[key] is None:
                    self.fail(
                        f"{self.name}: nothing stands behind '{key}'. Is it the rest of a text with a comma in it, "
                        'then put all of the text between "quotation marks"; of a figure, then write a point (12.7 V); '
                        f"or is a colon or a bracket missing? Here can be {', '.join(known)}.", key,
                    )
                self.fail(f"{self.name} has no '{key}'; it can have {', '.join(known)}.", key)

    def text(self, key: str, default: str | None = None) -> str:
        """A piece of text (numbers are taken as they were written)."""
        if key not in self._node:
            if default is not None:
                return default
            self.fail(f"{self.name} needs '{key}'.")
        value = self._node[key]
        if value is None:
            self.fail(f"{self.name}: nothing stands behind '{key}:'; write a short text there.", key)
        if isinstance(value, (Names, Items)):
            self.fail(f"{self.name}: '{key}' should be a short text.", key)
        return str(value)

    def words(self, key: str) -> tuple[str, ...]:
        """A list of short texts."""
        value = self._node.get(key)
        if not isinstance(value, Items) or any(isinstance(item, (Names, Items)) for item in value):
            self.fail(f"{self.name}: '{key}' should be a list, like [a, b].", key)
        return tuple(str(item) for item in value)

    def section(self, key: str) -> "Section":
        """The mapping under a key."""
        if key not in self._node:
            self.fail(f"{self.name} needs a section '{key}'.")
        value = self._node[key]
        if not isinstance(value, Names):
            self.fail(f"{self.name}: '{key}' should hold names and values, like 'name: value'.", key)
        return Section(self.file, key if self.name == "the file" else f"{self.name} {key}", value, self.line_of(key))

    def sections(self, key: str) -> "Iterator[Section]":
        """The mappings of a list under a key."""
        value = self._node.get(key)
        if not isinstance(value, Items):
            self.fail(f"{self.name}: '{key}' should be a list of entries, each starting with '-'.", key)
        for number, item in enumerate(value, 1):
            line = value.lines[number - 1]
            if not isinstance(item, Names):
                raise MachineFileError(f"{self.file} line {line}: {key} {number} should hold names and values.")
            yield Section(self.file, f"{key} {number}", item, line)

    def at(self, line: int) -> str | None:
        """The key of this section whose entry a line belongs to: the last that begins on it or above."""
        return max((key for key in self._node if self.line_of(key) <= line), key=self.line_of, default=None)

    def entry_at(self, key: str, line: int) -> object:
        """The name, or the place in the list, of the entry under a key that a line belongs to; None where none does."""
        node = self._node[key]
        if not isinstance(node, (Names, Items)):
            return None
        places = node if isinstance(node, Names) else range(len(node))
        begins = {place: node.lines[place] for place in places}
        return max((place for place in places if begins[place] <= line), key=begins.get, default=None)

    def take_out(self, key: str, entry: object = None) -> None:
        """Take out what stands under a key, or one entry of it; the lines of the others stay what they are."""
        if entry is None:
            del self._node[key]
            return
        node = self._node[key]
        del node[entry]
        del node.lines[entry]

    def leave_out(self, key: str, entry: object, words: str, word: str) -> None:
        """Strike a word from a list inside an entry, where there is such a list."""
        inside = self._node[key][entry]
        found = inside.get(words) if isinstance(inside, Names) else None
        while isinstance(found, Items) and word in found:
            found.remove(word)

    def put(self, key: str, value: "str | Mapping[str, object]") -> None:
        """Put something under a key, as if it stood on this section's first line."""
        self._node[key], self._node.lines[key] = planted(value, self.line), self.line

    def raw(self) -> dict[str, object]:
        """The whole section as plain dicts, lists and scalars."""
        return {str(key): _plain(value) for key, value in self._node.items()}

    def pairs(self) -> Mapping[str, str]:
        """The whole section as names and short texts."""
        return {key: self.text(key) for key in self.keys()}


def text_of(path: Path) -> str:
    """A machine file's text; raises MachineFileError where it cannot be read, is no text, or far too long."""
    name = path.name
    try:
        if path.stat().st_size > LARGEST * 4:
            raise MachineFileError(f"{name} {TOO_LARGE}")
        data = path.read_bytes()
    except OSError as error:
        raise MachineFileError(f"{name} cannot be read: {error.strerror}.") from error
    try:
        # What a command prints, PowerShell on Windows keeps as UTF-16.
        text = data.decode("utf-16" if data.startswith(UTF_16) else "utf-8")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        raise MachineFileError(
            f"{name} line {line}: a letter here is not UTF-8; save the file as plain text with the encoding UTF-8."
        ) from error
    return text.replace("\r\n", "\n").replace("\r", "\n")


def read_text(text: str, name: str) -> Section:
    """The top section of a machine file's text."""
    if len(text) > LARGEST:
        raise MachineFileError(f"{name} {TOO_LARGE}")
    return top_section(grow(text, name), name)


def top_section(tree: object, name: str) -> Section:
    """The top section of a machine file's tree."""
    if not isinstance(tree, Names):
        raise MachineFileError(
            f"{name} line 1: a machine file holds names and values; it should start with 'machine: …'."
        )
    return Section(name, "the file", tree, 1)


def _plain(node: object) -> object:
    if isinstance(node, Names):
        return {str(key): _plain(value) for key, value in node.items()}
    return [_plain(item) for item in node] if isinstance(node, Items) else node
