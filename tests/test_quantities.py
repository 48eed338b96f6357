"""Numbers with units, as instructors and learners write them."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kit.errors import QuantityError
from kit.quantities import UNITS, read_quantity, show_quantity


@pytest.mark.parametrize(
    ("text", "unit", "value"),
    [
        ("12.4 V", "V", 12.4), ("12,4 V", "V", 12.4), ("12v", "V", 12.0), ("12.4", "V", 12.4), ("12,4", "V", 12.4),
        ("12400 mV", "V", 12.4), (" 12.4  volts ", "V", 12.4), ("-0.02 V", "V", -0.02), ("−0,02 V", "V", -0.02),
        ("+3 V", "V", 3.0), (".5 A", "A", 0.5), ("5. A", "A", 5.0), ("250 mA", "A", 0.25), ("3 nA", "A", 3e-9),
        ("0.3 uA", "A", 3e-7), ("0.3 µA", "A", 3e-7), ("0.3 μA", "A", 3e-7), ("20 mohm", "ohm", 0.02),
        ("20 mΩ", "ohm", 0.02), ("20 m\u2126", "ohm", 0.02), ("4.7 kohm", "ohm", 4700.0), ("4.7 KOhm", "ohm", 4700.0),
        ("10 Mohm", "ohm", 10e6), ("10 MΩ", "ohm", 10e6), ("10 megohm", "ohm", None), ("20 milliohms", "ohm", 0.02),
        ("1e3 ohm", "ohm", 1000.0), ("2.5 mm2", "mm2", 2.5), ("2,5 mm²", "mm2", 2.5), ("0.9 m", "m", 0.9),
        ("3 min", "min", 3.0), ("0.07 A/V", "A/V", 0.07), ("21 W", "W", 21.0),
        ("", "V", None), ("volts", "V", None), ("12 A", "V", None), ("12 bananas", "V", None), ("1e999 V", "V", None),
        ("5 km", "m", None), ("5 M", "m", None), ("1,234,5 V", "V", None), ("12 V V", "V", None), ("nan V", "V", None),
    ],
)
def test_reading(text, unit, value):
    if value is None:
        with pytest.raises(QuantityError):
            read_quantity(text, unit)
    else:
        assert read_quantity(text, unit) == value


def test_a_comma_is_a_point_and_never_a_thousand():
    assert read_quantity("1,234 V", "V") == 1.234


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("twelve", "'twelve' is not a number with a unit; write it like '12 V'."),
        ("12 A", "'12 A' is not in volts; write it like '12 V'."),
        ("12", "'12' has no unit; write it like '12 volt'."),
        ("1e999 V", "'1e999 V' is too large to be real."),
    ],
)
def test_messages(text, message):
    with pytest.raises(QuantityError) as caught:
        read_quantity(text, "V", unit_required=True)
    assert str(caught.value) == message


@pytest.mark.parametrize(
    ("value", "unit", "text"),
    [
        (12.44, "V", "12.4 V"), (0.02, "ohm", "20 mΩ"), (0.0, "V", "0 V"), (-0.0035, "V", "-3.5 mV"),
        (4700, "ohm", "4.7 kΩ"), (10e6, "ohm", "10 MΩ"), (0.9999, "A", "1 A"), (999.6, "ohm", "1 kΩ"),
        (2.5, "mm2", "2.5 mm²"), (0.3, "m", "0.3 m"), (3e-7, "A", "0.3 µA"),
    ],
)
def test_showing(value, unit, text):
    assert show_quantity(value, unit) == text


@given(st.floats(-1e6, 1e6).filter(lambda value: value == 0 or abs(value) > 1e-6), st.sampled_from(["V", "A", "ohm"]))
def test_what_is_shown_can_be_read_back(value, unit):
    assert read_quantity(show_quantity(value, unit), unit) == pytest.approx(value, rel=6e-3, abs=1e-12)


@given(st.text(max_size=30), st.sampled_from(sorted(UNITS)))
def test_any_text_is_a_number_or_a_message(text, unit):
    try:
        assert isinstance(read_quantity(text, unit), float)
    except QuantityError as error:
        assert str(error).endswith(".")
