"""A machine file's text, read with care: one document, small, no anchors, and a line number for everything."""

from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import NoReturn

from ruamel.yaml import YAML
from ruamel.yaml.comments import CommentedMap, CommentedSeq
from ruamel.yaml.error import MarkedYAMLError, YAMLError
from ruamel.yaml.events import AliasEvent
from ruamel.yaml.reader import ReaderError

from kit.errors import KitError, MachineFileError

LARGEST = 400_000  # characters; the largest machine we know of needs a tenth of that
DEEPEST = 30
UTF_16 = (b"\xff\xfe", b"\xfe\xff")
TOO_LARGE = "is too large for a machine file; it should be plain text of some hundred lines."


class Section:
    """A mapping of the file that knows where it stands, so that every complaint can name file and line."""

    def __init__(self, file: str, name: str, node: CommentedMap, line: int) -> None:
        self.file, self.name, self._node, self.line = file, name, node, line

    def fail(self, message: str, key: str | None = None) -> NoReturn:
        """Raise MachineFileError for this section, at the line of ``key`` where one is given."""
        raise MachineFileError(f"{self.file} line {self.line_of(key)}: {message}")

    def line_of(self, key: str | None) -> int:
        """The line a key stands on, counted from 1."""
        if key is not None and key in self._node:
            return self._node.lc.key(key)[0] + 1
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
        return isinstance(self._node.get(key), CommentedSeq)

    def allow(self, *known: str) -> None:
        """Complain about the first key that is not one of these."""
        for key in self.keys():
            if key not in known:
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
        if isinstance(value, (CommentedMap, CommentedSeq)):
            self.fail(f"{self.name}: '{key}' should be a short text.", key)
        return str(value)

    def words(self, key: str) -> tuple[str, ...]:
        """A list of short texts."""
        value = self._node.get(key)
        if not isinstance(value, CommentedSeq) or any(isinstance(item, (CommentedMap, CommentedSeq)) for item in value):
            self.fail(f"{self.name}: '{key}' should be a list, like [a, b].", key)
        return tuple(str(item) for item in value)

    def section(self, key: str) -> "Section":
        """The mapping under a key."""
        if key not in self._node:
            self.fail(f"{self.name} needs a section '{key}'.")
        value = self._node[key]
        if not isinstance(value, CommentedMap):
            self.fail(f"{self.name}: '{key}' should hold names and values, like 'name: value'.", key)
        return Section(self.file, key if self.name == "the file" else f"{self.name} {key}", value, self.line_of(key))

    def sections(self, key: str) -> "Iterator[Section]":
        """The mappings of a list under a key."""
        value = self._node.get(key)
        if not isinstance(value, CommentedSeq):
            self.fail(f"{self.name}: '{key}' should be a list of entries, each starting with '-'.", key)
        for number, item in enumerate(value, 1):
            line = value.lc.item(number - 1)[0] + 1
            if not isinstance(item, CommentedMap):
                raise MachineFileError(f"{self.file} line {line}: {key} {number} should hold names and values.")
            yield Section(self.file, f"{key} {number}", item, line)

    def at(self, line: int) -> str | None:
        """The key of this section whose entry a line belongs to: the last that begins on it or above."""
        return max((key for key in self._node if self.line_of(key) <= line), key=self.line_of, default=None)

    def entry_at(self, key: str, line: int) -> object:
        """The name, or the place in the list, of the entry under a key that a line belongs to; None where none does."""
        node = self._node[key]
        if not isinstance(node, (CommentedMap, CommentedSeq)):
            return None
        places = node if isinstance(node, CommentedMap) else range(len(node))
        begins = {place: node.lc.data[place][0] + 1 for place in places}
        return max((place for place in places if begins[place] <= line), key=begins.get, default=None)

    def take_out(self, key: str, entry: object = None) -> None:
        """Take out what stands under a key, or one entry of it; the lines of the others stay what they are."""
        if entry is None:
            del self._node[key]
            return
        node = self._node[key]
        if isinstance(node, CommentedSeq):
            lines = [node.lc.data[place] for place in range(len(node)) if place != entry]
            del node[entry]
            node.lc.data = dict(enumerate(lines))
        else:
            del node[entry]

    def leave_out(self, key: str, entry: object, words: str, word: str) -> None:
        """Strike a word from a list inside an entry, where there is such a list."""
        inside = self._node[key][entry]
        found = inside.get(words) if isinstance(inside, CommentedMap) else None
        while isinstance(found, CommentedSeq) and word in found:
            found.remove(word)

    def put(self, key: str, value: "str | Mapping[str, object]") -> None:
        """Put something under a key, as if it stood on this section's first line."""
        self._node[key] = _noded(value, self.line - 1)
        self._node.lc.add_kv_line_col(key, [self.line - 1, 0, self.line - 1, 0])

    def raw(self) -> dict[str, object]:
        """The whole section as plain dicts, lists and scalars."""
        return {str(key): _plain(value) for key, value in self._node.items()}

    def pairs(self) -> Mapping[str, str]:
        """The whole section as names and short texts."""
        return {key: self.text(key) for key in self.keys()}


def read_file(path: Path) -> tuple[Section, str]:
    """A machine file's top section and its text; raises MachineFileError where it is not such a file."""
    text = text_of(path)
    return read_text(text, path.name), text


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
        raise MachineFileError(f"{name} is not plain UTF-8 text; save it as a text file.") from error
    return text.replace("\r\n", "\n").replace("\r", "\n")


def read_text(text: str, name: str) -> Section:
    """The top section of a machine file's text."""
    if len(text) > LARGEST:
        raise MachineFileError(f"{name} {TOO_LARGE}")
    try:
        _check_events(text, name)
        reader = YAML(typ="rt", pure=True)
        reader.allow_duplicate_keys = False
        tree = reader.load(text)
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
    if not isinstance(tree, CommentedMap):
        raise MachineFileError(
            f"{name} line 1: a machine file holds names and values; it should start with 'machine: …'."
        )
    return Section(name, "the file", tree, 1)


def _in_words(problem: str) -> str:
    """What the YAML reader complains of, in words for someone who has never heard of YAML."""
    if "duplicate key" in problem:
        key = problem.split('"')[1] if '"' in problem else ""
        return f"'{key}' stands here a second time; ids must differ."
    if "\\t" in problem:
        return "there is a tab here; use spaces."
    if "another document" in problem:
        return "'---' begins a second document here; a machine file is a single one."
    return f"this cannot be read ({problem}); is a bracket, a quote or a colon missing here or just above?"


def _check_events(text: str, name: str) -> None:
    """Refuse aliases (a few of them can stand for billions of entries), tags and bottomless nesting before loading."""
    depth = 0
    for event in YAML(typ="safe", pure=True).parse(text):
        line = event.start_mark.line + 1
        if isinstance(event, AliasEvent) or getattr(event, "anchor", None):
            raise MachineFileError(f"{name} line {line}: '&' and '*' short cuts are not allowed; write the values out.")
        if getattr(event, "tag", None):
            raise MachineFileError(f"{name} line {line}: '!' tags are not allowed; write plain values.")
        kind = type(event).__name__
        depth += kind.endswith("StartEvent") - kind.endswith("EndEvent")
        if depth > DEEPEST:
            raise MachineFileError(f"{name} line {line}: entries are nested too deeply for a machine file.")


def _plain(node: object) -> object:
    if isinstance(node, CommentedMap):
        return {str(key): _plain(value) for key, value in node.items()}
    if isinstance(node, CommentedSeq):
        return [_plain(item) for item in node]
    for kind in (bool, int, float, str):
        if isinstance(node, kind):
            return kind(node)
    return node


def _noded(value: object, line: int) -> object:
    """Plain values as the YAML reader would give them, all from one line."""
    if isinstance(value, Mapping):
        node = CommentedMap()
        for key, inside in value.items():
            node[key] = _noded(inside, line)
            node.lc.add_kv_line_col(key, [line, 0, line, 0])
        return node
    return CommentedSeq(value) if isinstance(value, list) else value
