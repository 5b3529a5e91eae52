"""Spec ranges from text."""

import pytest

from baybook.errors import PluginError, Refused
from baybook.kinds import KINDS
from baybook.spec import UNSTATED, SpecRange, parse_spec


@pytest.mark.parametrize(
    ("text", "kind", "limits"),
    [
        ("2.24 to 2.74 ohm", "resistance", (2.24, 2.74, "ohm")),
        ("2,24..2,74 ohm", "resistance", (2.24, 2.74, "ohm")),
        ("3 - 7 bar", "gauge pressure", (3.0, 7.0, "bar")),
        ("-0.3 to 0.1 bar", "gauge pressure", (-0.3, 0.1, "bar")),
        ("from 3 to 7 bar", "gauge pressure", (3.0, 7.0, "bar")),
        ("300 kPa to 7 bar", "gauge pressure", (3.0, 7.0, "bar")),
        ("<= 6 mL/min", "flow", (None, 6.0, "mL/min")),
        ("at most 6 mL/min", "flow", (None, 6.0, "mL/min")),
        ("max 6 mL/min", "flow", (None, 6.0, "mL/min")),
        (">= 200 bar", "gauge pressure", (200.0, None, "bar")),
        ("min. 200 bar", "gauge pressure", (200.0, None, "bar")),
        ("2.5 ± 0.25 ohm", "resistance", (2.25, 2.75, "ohm")),
        ("2.5 ohm ± 10 %", "resistance", (2.25, 2.75, "ohm")),
        ("from 3 bar to 7 bar", "gauge pressure", (3.0, 7.0, "bar")),
        ("von 3 bis 7 bar", "gauge pressure", (3.0, 7.0, "bar")),
        ("2.2-2.8 ohm", "resistance", (2.2, 2.8, "ohm")),
        ("2,9-3,5 ohm", "resistance", (2.9, 3.5, "ohm")),
        ("20-30 %", "ratio", (20.0, 30.0, "%")),
        ("20 %-30 %", "ratio", (20.0, 30.0, "%")),
        ("800-900 min-1", "speed", (800.0, 900.0, "rpm")),
        ("<= 900 min-1", "speed", (None, 900.0, "rpm")),
        ("höchstens 6 mL/min", "flow", (None, 6.0, "mL/min")),
        ("bis 6 mL/min", "flow", (None, 6.0, "mL/min")),
        ("mindestens 200 bar", "gauge pressure", (200.0, None, "bar")),
        ("mind. 200 bar", "gauge pressure", (200.0, None, "bar")),
        ("min 200 bar", "gauge pressure", (200.0, None, "bar")),
        ("not below 850 bar", "gauge pressure", (850.0, None, "bar")),
        ("Not less than 850 bar", "gauge pressure", (850.0, None, "bar")),
        ("nicht unter 850 bar", "gauge pressure", (850.0, None, "bar")),
        ("not above 100 bar", "gauge pressure", (None, 100.0, "bar")),
        ("not more than 6 mL/min", "flow", (None, 6.0, "mL/min")),
        ("nicht über 100 bar", "gauge pressure", (None, 100.0, "bar")),
        ("350 bar ± 50 psi", "gauge pressure", (350 - 50 * 0.06894757, 350 + 50 * 0.06894757, "bar")),
        ("6 mL/min ± 0.06 L/h", "flow", (5.0, 7.0, "mL/min")),
        ("20 °C ± 9 °F", "temperature", (15.0, 25.0, "°C")),
        ("0,350 to 0,500 mL/min", "flow", (0.35, 0.5, "mL/min")),
    ],
)
def test_a_range_is_read_as_people_write_it(text: str, kind: str, limits: tuple[float | None, float | None, str]) -> None:
    spec = parse_spec(text, KINDS[kind])
    assert (spec.low, spec.high, spec.unit.symbol) == pytest.approx(limits)
    assert spec.source == UNSTATED


def test_the_source_follows_a_semicolon_or_stands_in_a_table() -> None:
    assert parse_spec("<= 6 mL/min; sheet 12", KINDS["flow"]).source == "sheet 12"
    assert parse_spec({"range": "<= 6 mL/min", "source": "sheet 12"}, KINDS["flow"]).source == "sheet 12"


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("6 mL/min", 'is a single value; write "max 6 mL/min", "min 6 mL/min", or both limits, such as max 6 mL/min'),
        ("7 to 3 mL/min", "has its lower limit at or above its upper one; give the smaller number first"),
        ("<= 6 bar", "is a pressure; give a range of a flow, such as max 6 mL/min"),
        ("", "is not a range; give one, such as max 6 mL/min"),
        ("<= 1.500 mL/min", "could be read in two ways; write 1500 or 1.5"),
        ("6 mL/min ± 10 % garbage", 'has "garbage" behind its percentage; leave it out'),
        ("6 mL/min ± 1 s", "has an uncertainty that is a time; give it in mL/min or in %"),
        ("6-7", "has no unit; give one, such as max 6 mL/min"),
        ("<= mL/min", "has no number where a limit should stand; give a range, such as max 6 mL/min"),
    ],
)
def test_what_is_no_range_is_refused_with_what_would_do(text: str, message: str) -> None:
    with pytest.raises(Refused) as refusal:
        parse_spec(text, KINDS["flow"])
    assert str(refusal.value) == message


def test_a_range_moves_to_another_unit_whole() -> None:
    spec = parse_spec("3 to 7 bar; sheet 4", KINDS["gauge pressure"]).to("kPa")
    assert (spec.low, spec.high, spec.unit.symbol, spec.source) == (pytest.approx(300), pytest.approx(700), "kPa", "sheet 4")


@pytest.mark.parametrize(
    ("text", "kind", "message"),
    [
        ("3 bar(a) to 7 bar(g)", "gauge pressure",
         "is an absolute pressure; give a range of a gauge pressure, such as max 350 bar"),
        ("3 bar(g) to 7 bar(a)", "absolute pressure",
         "is a gauge pressure; give a range of an absolute pressure, such as max 1.01 bar"),
        ("3 bar(g) to 7 bar(a)", "pressure", "mixes gauge pressure and absolute pressure; give both ends alike"),
        ("20 °C ± 10 %", "temperature",
         "has a percentage of a temperature, which depends on where its zero is; give it in K, such as ± 2 K"),
    ],
)  # fmt: skip
def test_ends_that_are_not_alike_and_shares_of_a_temperature_are_refused(text: str, kind: str, message: str) -> None:
    with pytest.raises(Refused) as refusal:
        parse_spec(text, KINDS[kind])
    assert str(refusal.value) == message


def test_a_range_in_a_unit_of_several_kinds_is_converted_only_once_its_kind_is_known() -> None:
    """5 K of difference are 9 °F, a temperature of 5 K is -450.67 °F (NIST SP 811, 2008, B.8)."""
    with pytest.raises(PluginError, match="K may be of more than one kind; make the range with kind="):
        SpecRange(None, 5.0, "K").to("°F")
    assert SpecRange(None, 5.0, "K").to("K").high == 5.0
    assert SpecRange(None, 5.0, "K", kind="temperature difference").to("°F").high == pytest.approx(9.0)
