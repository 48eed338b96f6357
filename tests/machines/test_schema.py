"""The schema for editors: current, complete, takes every machine there is, and refuses the slips it can see."""

import json
import re
from dataclasses import fields

import pytest
from jsonschema import Draft202012Validator
from ruamel.yaml import YAML
from test_bad_files import GOOD

from kit.circuit import KINDS
from kit.errors import QuantityError
from kit.machines.library import EXAMPLE, FLEET
from kit.machines.loader import SECTIONS
from kit.machines.schema import FILE, NAMES, as_text, quantity, schema
from kit.quantities import UNITS, read_quantity

SCHEMA = schema()
VALIDATOR = Draft202012Validator(SCHEMA)


def complaints(text: str) -> list[str]:
    return [error.message for error in VALIDATOR.iter_errors(YAML(typ="safe", pure=True).load(text))]


def test_the_file_is_current():
    """After a change to a part class: python -m kit.machines.schema"""
    assert FILE.read_text(encoding="utf-8") == as_text()
    Draft202012Validator.check_schema(json.loads(as_text()))


def test_every_section_kind_and_field_is_there_and_described():
    assert tuple(sorted(SCHEMA["properties"])) == tuple(sorted(SECTIONS))
    for word, kind in KINDS.items():
        known = SCHEMA["$defs"][word.replace(" ", "-")]
        wanted = {NAMES.get(item.name, item.name) for item in fields(kind) if item.init} - {"id"} | {"kind"}
        assert set(known["properties"]) == wanted and len(known["description"]) > 10
        for item in fields(kind):
            if "unit" in item.metadata:
                assert "pattern" in known["properties"][item.name], (word, item.name)
    assert list(undescribed(SCHEMA, ())) == []


def undescribed(node, path):
    """Every named property, at whatever depth, that says nothing about itself."""
    for name, inside in node.items() if isinstance(node, dict) else enumerate(node) if isinstance(node, list) else ():
        if name == "properties" and isinstance(inside, dict):
            # What a list of alternatives names again ("kind") is described in each of them.
            bare = (key for key, one in inside.items() if not one.get("description") and "oneOf" not in node)
            yield from ((*path, key) for key in bare if key not in ("plugs", "from", "closes", "opens"))
        yield from undescribed(inside, (*path, name))


@pytest.mark.parametrize("path", [*sorted(FLEET.glob("*.yaml")), EXAMPLE], ids=lambda path: path.stem)
def test_every_machine_there_is_fits(path):
    assert complaints(path.read_text(encoding="utf-8")) == []


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("kind: fuse", "kind: fuze"), ("amps: 5 A", "amps: 5"), ("amps: 5 A", "amps: 5 V"), ("amps: 5 A, ", ""),
        ("amps: 5 A", "amps: [5 A]"), ("amps: 5 A", "amps: 5 A, size: big"), ("to: F1.1", "to: F1"),
        ("colour: BN", "colour: brown"), ("parts:\n", "partz:\n"), ("title: Test board\n", ""),
        ("[off, on]", "[off]"), ("  F1.1: {", "  F1: {"), ("minutes: 1 min", "minutes: 1"),
        ("  switch: {", "  light switch: {"), ("{about: All of it., parts", "{parts"), ("  F1: {", "  F1.a: {"),
        ("when: {switch: on}, then", "when: {switch: on}, than"), ("closes: {on: [S1]}", "closes: {on: S1}"),
    ],
)
def test_slips_of_form_are_refused(old, new):
    assert complaints(GOOD) == []
    assert complaints(GOOD.replace(old, new, 1))


@pytest.mark.parametrize("unit", UNITS)
def test_the_pattern_of_a_unit_takes_what_the_reader_takes(unit):
    """Two readers written apart, over every number, prefix and spelling of every unit: they agree on each."""
    pattern = re.compile(quantity(unit)["pattern"])
    numbers = ("12", "0.5", ",5", "-3", "1e-9", "", "x", "1.2.3", "−7")
    prefixes = ("", "m", "k", "K", "M", "u", "µ", "milli", "Kilo", "mega ", "q")
    spellings = {spelling for known in UNITS.values() for spelling in known} | {"", "VOLT", "Ohms", "MM2", "%%"}
    taken = 0
    for number in numbers:
        for text in {f"{number}{gap}{prefix}{spelling}" for gap in ("", " ") for prefix in prefixes
                     for spelling in spellings}:
            try:
                read_quantity(text, unit, unit_required=True)
                read = True
            except QuantityError:
                read = False
            assert bool(pattern.search(text)) == read, text
            taken += read
    assert taken >= 8
