"""What a machine file may hold, as a JSON Schema an editor understands; worked out from the part classes themselves.

Kept beside this file and held to be current by a test; after a change to a part or to the words here write it again::

    python -m kit.machines.schema

It tells slips of form as one types (a wrong name, a missing unit). Whether wires meet and the truth table is true only
``python -m kit check`` can tell.
"""

import json
import re
from dataclasses import MISSING, Field, fields
from inspect import getdoc
from pathlib import Path

from kit.circuit import KINDS, Part, Terminal
from kit.circuit.coils import Outputs
from kit.circuit.conductors import CLASS_5, COLOURS
from kit.machines.cases import ELSEWHERE, LEADS, PLACES
from kit.machines.schema_words import CASE, CONTROL, DRAWN, ENGINE, FAULT, FIELDS, OF_A_KIND, POINT, SECTIONS, TEST
from kit.quantities import PREFIXES, UNITS, UNPREFIXED, WORDS

FILE = Path(__file__).with_name("machine-file.schema.json")
DIALECT = "https://json-schema.org/draft/2020-12/schema"
NAMES = {"start": "from", "end": "to"}
PART_ID, TERMINAL = "[A-Za-z0-9]+", r"[A-Za-z0-9]+\.[^.\s]+"
# What an editor hands on as it is written: 12 and true are texts for the kit as well.
SHORT = {"type": ["string", "number", "boolean"]}


def schema() -> dict[str, object]:
    """The whole schema as plain values, the same from run to run."""
    return {
        "$schema": DIALECT, "title": "Machine file",
        "description": "One machine: its parts, what its controls move, what it does, where it can be tested.",
        "type": "object", "additionalProperties": False,
        "required": ["machine", "title", "volts", "reference", "parts", "stages", "controls", "truth", "points"],
        "properties": {name: {"description": text, **_section(name)} for name, text in SECTIONS.items()},
        "$defs": {
            **{_key(word): _kind(word, kind) for word, kind in KINDS.items()},
            "moves": _either(_map(SHORT), {"type": "array", "minItems": 1, "items": _map(SHORT)}),
        },
    }


def as_text() -> str:
    """The schema as it lies in its file."""
    return json.dumps(schema(), indent=1, ensure_ascii=False) + "\n"


def quantity(unit: str) -> dict[str, object]:
    """Text that is a number with this unit, as ``kit.quantities`` reads it."""
    # A capital M is mega: it cannot be short for metres.
    spelled = "|".join(spelling if spelling == "m" else _any_case(spelling) for spelling in UNITS[unit])
    prefixes = "" if unit in UNPREFIXED else _prefixes()
    return {
        "type": "string", "pattern": rf"^\s*[+\-−]?(\d+([.,]\d*)?|[.,]\d+)([eE][+\-]?\d+)?\s*{prefixes}({spelled})\s*$",
    }


def _prefixes() -> str:
    signs = "".join(sorted(prefix for prefix in PREFIXES if prefix))
    return rf"([{signs}]\s*|({'|'.join(_any_case(word) for word in WORDS)})\s*)?"


def _any_case(text: str) -> str:
    return "".join(
        f"[{letter.lower()}{letter.upper()}]" if letter.isascii() and letter.isalpha() else re.escape(letter)
        for letter in text
    )


def _section(name: str) -> dict[str, object]:
    match name:
        case "volts":
            return quantity("V")
        case "reference":
            return {"type": "string", "pattern": f"^{TERMINAL}$"}
        case "parts":
            kinds = [{"$ref": f"#/$defs/{_key(word)}"} for word in KINDS]
            known = {"kind": {"enum": list(KINDS)}}
            one = {"type": "object", "required": ["kind"], "properties": known, "oneOf": kinds}
            return {**_map(one, f"^{PART_ID}$"), "minProperties": 1}
        case "stages":
            about = {"description": "What this stage does, in one sentence.", **SHORT}
            parts = {"description": "Its parts. Every part has one stage.", **_list(SHORT)}
            return _map(_object({"about": about, "parts": parts}, ("about", "parts")))
        case "controls":
            known = {
                "title": SHORT, "positions": {**_list(SHORT), "minItems": 2, "uniqueItems": True},
                "closes": _map(_list(SHORT)), "springs_back": SHORT,
            }
            return _map(_object(_told(CONTROL, known), ("title", "positions", "closes")), r"^[A-Za-z_]\w*$")
        case "truth":
            rule = _object(
                {"when": {"description": "Controls and the positions it is true in.", **_map(SHORT)},
                 "then": {"description": "Parts and the word for what they do.", **_map(SHORT)}}, ("when", "then"))
            return {"type": "array", "items": rule}
        case "points":
            known = _told(POINT, {"minutes": quantity("min"), "where": SHORT})
            return _map(_object(known, ("minutes", "where")), f"^{TERMINAL}$")
        case "faults":
            change = {"type": "object", "additionalProperties": SHORT, "minProperties": 1}
            known = {"bridge": {**_list(SHORT), "minItems": 2, "maxItems": 2}, "change": change}
            return _map(_object(_told(FAULT, known), ()), rf"^{PART_ID} ")
        case "engine":
            known = {
                "needs": _map(SHORT), "start": {"$ref": "#/$defs/moves"},
                "warm_up": _object({"plugs": _list(SHORT), "from": quantity("A")}, ("plugs", "from")),
                "running": _object({"closes": _list(SHORT), "opens": _list(SHORT)}, ()),
            }
            return _object(_told(ENGINE, known), ("cranked_by",))
        case "cases":
            known = {
                **{key: _list(SHORT) for key in ("faults", "rivals", "wiggled", "warm")},
                "tried": {"$ref": "#/$defs/moves"}, "does": {**_map(SHORT), "minProperties": 1},
                "tests": {"type": "array", "minItems": 1, "items": {"oneOf": _tests()}},
            }
            optional = ("wiggled", "warm", "inspection")
            return _map(_object(_told(CASE, known), tuple(key for key in CASE if key not in optional)))
        case "places":
            return {"type": "object", "properties": {key: {"description": text} for key, text in DRAWN.items()}}
        case "cautions" | "data":
            return _map(SHORT)
    return SHORT


def _tests() -> list[dict[str, object]]:
    """One form for each way to place a tool."""
    forms: dict[tuple[str, ...], list[str]] = {}
    for tool, keys in {**LEADS, **{tool: (key,) for tool, key in PLACES.items()}}.items():
        forms.setdefault((*keys, "cca") if tool == "load tester" else keys, []).append(tool)
    moved = {
        "set": {"$ref": "#/$defs/moves"}, "running": SHORT,
        **{key: _list(SHORT) for key in ("off", "wiggled", "warm")},
    }
    found = []
    for keys, tools in forms.items():
        places = {key: quantity("A") if key == "cca" else SHORT for key in keys}
        known = {"with": {"enum": tools}, **places, **moved, "shows": SHORT}
        found.append(_object({key: {"description": TEST[key], **form} for key, form in known.items()},
                             ("with", *keys, "shows")))
    known = {"with": {"enum": [ELSEWHERE]}, "how": SHORT, "shows": SHORT}
    return [*found, _object({key: {"description": TEST[key], **form} for key, form in known.items()}, tuple(known))]


def _kind(word: str, kind: type[Part]) -> dict[str, object]:
    """One kind of part: its figures with their units; what it is, from the first line of its class."""
    wanted = [item for item in fields(kind) if item.init and item.name != "id"]
    known = {"kind": {"const": word, "description": f"A {word}."}}
    for item in wanted:
        text = OF_A_KIND.get((word, item.name)) or FIELDS[item.name]
        known[NAMES.get(item.name, item.name)] = {"description": text + _usual(item), **_form(item)}
    required = ("kind", *(NAMES.get(item.name, item.name) for item in wanted if item.default is MISSING))
    return {"description": " ".join((getdoc(kind) or "").split("\n\n")[0].split()), **_object(known, required)}


def _form(item: Field) -> dict[str, object]:
    if "choices" in item.metadata:
        return {"enum": list(item.metadata["choices"])}
    if "unit" in item.metadata:
        return quantity(item.metadata["unit"])
    if item.name == "colour":
        letters = "|".join(COLOURS)
        return {"type": "string", "pattern": f"^({letters})({letters})?$"}
    if item.type in (Terminal, "Terminal"):
        return {"type": "string", "pattern": f"^{TERMINAL}$"}
    if item.type == Outputs:
        return _map(_list(SHORT))
    return _list(SHORT) if item.type == tuple[str, ...] else SHORT


def _usual(item: Field) -> str:
    """What stands for a figure that is left out."""
    if "choices" in item.metadata:
        return f" {item.metadata['choices'][0]} unless said."
    if item.name == "mm2":
        return f" Standard sizes: {', '.join(f'{size:g}' for size in CLASS_5)}."
    if item.default is MISSING or item.default in ("", ()):
        return ""
    unit = item.metadata.get("unit", "")
    shown = f"{item.default * 100:g}" if unit == "share" else f"{item.default:g}"
    return f" {shown} {UNITS[unit][0] if unit else ''}".rstrip() + " unless said."


def _told(words: dict[str, str], forms: dict[str, dict]) -> dict[str, object]:
    return {key: {"description": text, **forms.get(key, SHORT)} for key, text in words.items()}


def _object(known: dict[str, object], required: tuple[str, ...]) -> dict[str, object]:
    found = {"type": "object", "additionalProperties": False, "properties": known}
    return {**found, "required": list(required)} if required else found


def _map(one: dict[str, object], names: str = "") -> dict[str, object]:
    found = {"type": "object", "additionalProperties": one}
    return {**found, "propertyNames": {"pattern": names}} if names else found


def _list(one: dict[str, object]) -> dict[str, object]:
    return {"type": "array", "items": one}


def _either(*forms: dict[str, object]) -> dict[str, object]:
    return {"anyOf": list(forms)}


def _key(word: str) -> str:
    return word.replace(" ", "-")


if __name__ == "__main__":
    FILE.write_text(as_text(), encoding="utf-8", newline="\n")
