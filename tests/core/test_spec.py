"""Spec ranges from text."""

import pytest

from baybook.errors import Refused
from baybook.kinds import KINDS
from baybook.spec import UNSTATED, parse_spec


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
        ("6 mL/min", "is a single value; give a range, such as <= 6 mL/min or 3 to 7 mL/min"),
        ("7 to 3 mL/min", "has its lower limit at or above its upper one; give the smaller number first"),
        ("<= 6 bar", "is a pressure; give a range of a flow, such as <= 6 mL/min"),
        ("", "is not a range; give one, such as <= 6 mL/min"),
        ("<= mL/min", "has no number where a limit should stand; give a range, such as <= 6 mL/min"),
    ],
)
def test_what_is_no_range_is_refused_with_what_would_do(text: str, message: str) -> None:
    with pytest.raises(Refused) as refusal:
        parse_spec(text, KINDS["flow"])
    assert str(refusal.value) == message


def test_a_range_moves_to_another_unit_whole() -> None:
    spec = parse_spec("3 to 7 bar; sheet 4", KINDS["gauge pressure"]).to("kPa")
    assert (spec.low, spec.high, spec.unit.symbol, spec.source) == (pytest.approx(300), pytest.approx(700), "kPa", "sheet 4")
