"""Limits without the end beyond which the fault lies, a range parted by a semicolon, and verdicts that clear no stage."""

from __future__ import annotations

from typing import Any

import pytest

from baybook import calculate
from baybook.errors import InputError, Refused
from baybook.kinds import KINDS
from baybook.numbers import assumed_shown
from baybook.shop import add_to_book
from baybook.spec import parse_spec

PRESSURE, DIFFERENCE = KINDS["gauge pressure"], KINDS["pressure difference"]


@pytest.mark.parametrize(
    "text", ["min 3.5 bar; max 5 bar", ">= 3.5 bar; <= 5 bar; sheet", "3.5 bar; 5 bar", "max 5 bar; 3 to 4 bar"]
)
def test_a_range_parted_by_a_semicolon_is_refused(text: str) -> None:
    """Its second half was taken for where the limit comes from, and did not count."""
    with pytest.raises(Refused, match="second range"):
        parse_spec(text, PRESSURE)


@pytest.mark.parametrize(
    "source", ["sheet 3", "2026-11-28", "28.11.2026", "from 2019 on", "page 12/3", "Maximilian's list", "5 a day"]
)
def test_a_source_with_a_number_or_a_date_is_a_source(source: str) -> None:
    assert parse_spec(f"3.5 to 5 bar; {source}", PRESSURE).source == source


@pytest.mark.parametrize(
    ("calculator", "typed", "name"),
    [
        ("target", {"actual": "302; 700 bar", "target": "300; 800 bar", "band": "max 25 bar"}, "band"),
        ("target", {"actual": "302; 700 bar", "target": "300; 800 bar", "band": "25 bar"}, "band"),
        ("sensor", {"standing": "-60 ± 1 bar", "zero_limit": "max 10 bar"}, "zero_limit"),
        ("delivery", {"corrections": "0.4 -3.0 0.2 mm3/stroke", "correction_limit": "max 2 mm3/stroke"}, "correction_limit"),
        ("delivery", {"peaks": "310 305 308 240 A", "compression_limit": "max 85 %"}, "compression_limit"),
        ("drop", {"part": "tank-pump", "drops": "1.3 V", "current": "5 A", "limit": "min 0.5 V"}, "limit"),
        ("drop", {"part": "tank-pump", "insulation": "20 ohm", "insulation_limit": "max 1 Mohm"}, "insulation_limit"),
        ("cranking", {"battery": "9.0 V", "battery_limit": "max 9.6 V"}, "battery_limit"),
        ("cranking", {"enable": "max 200 bar", "pressure": "250 bar"}, "enable"),
        ("pump", {"highest": "800 bar", "pressure_limit": "max 1450 bar", "outlet_shut": "driven-shut"}, "pressure_limit"),
    ],
)  # fmt: skip
def test_a_limit_without_the_end_that_tells_is_refused(calculator: str, typed: dict[str, Any], name: str) -> None:
    """What was 100 bar below its target, or cranked far too slowly, was within such a limit. Common practice."""
    with pytest.raises(InputError) as refused:
        calculate(calculator, **typed)
    (problem,) = refused.value.problems
    assert problem.input == name and problem.hint


def test_what_is_proposed_for_a_deviation_is_taken() -> None:
    with pytest.raises(Refused) as refused:
        parse_spec("25 bar", DIFFERENCE, "-25 to 25 bar", needs="both")
    assert '"± 25 bar"' in refused.value.hint
    band = parse_spec("± 25 bar", DIFFERENCE, needs="both")
    assert (band.low, band.high) == (-25.0, 25.0)


@pytest.mark.parametrize(
    ("calculator", "typed"),
    [
        ("cranking", {"battery": "11.0 V", "battery_limit": "min 9.6 V", "speed": "220 rpm", "speed_limit": "min 180 rpm"}),
        ("supply", {"pump_current": "6 ± 0.1 A", "current_limit": "4 to 8 A"}),
        ("supply", {"load": "1 ± 0.02 bar", "load_limit": "max 3.5 bar"}),
        ("supply", {"load": "-0.5 ± 0.02 bar", "load_limit": "max -0.2 bar"}),
        ("sensor", {"supply": "5.00 ± 0.01 V", "supply_limit": "4.75 to 5.25 V"}),
    ],
)  # fmt: skip
def test_a_circumstance_that_is_right_clears_no_stage(calculator: str, typed: dict[str, Any]) -> None:
    """A good battery says nothing of the rail, nor a pump's current of the filter. Common practice."""
    found = calculate(calculator, **typed)
    assert {verdict.verdict for verdict in found.verdicts} == {"within"}
    assert [finding for finding in found.findings if finding.strength == "cleared"] == []


def test_what_the_sections_do_not_hold_is_judged_with_them() -> None:
    """0.09 V in two sections, and 3.8 V less at the pump than at the battery: Kirchhoff's voltage law."""
    found = calculate("drop", part="tank-pump", drops="0.05 ± 0.005 V; 0.04 ± 0.005 V", current="5 ± 0.05 A",
                      battery="13.8 ± 0.02 V", at_part="10 ± 0.02 V", limit="max 0.5 V")  # fmt: skip
    (verdict,) = found.verdicts
    assert verdict.verdict == "outside" and found["drop_at_work"].value == pytest.approx(3.8)
    assert any("in no section that was read" in str(finding.statement) for finding in found.findings)


def test_a_conversion_shows_as_many_digits_as_it_knows() -> None:
    """1 bar is 14.503773773 psi (NIST SP 811, B.8): six digits of a million bar were 26 psi off, within a stated ± 7."""
    shown = assumed_shown(14503773.773, 7.25, "psi").partition(" psi")[0]
    assert abs(float(shown) - 14503773.773) < 0.1 * 7.25
    assert assumed_shown(12345678.0, 0.5, "Pa").startswith("12345678 Pa")


def test_a_name_in_the_book_that_reads_as_a_range_is_refused() -> None:
    with pytest.raises(InputError, match="is a range itself"):
        add_to_book("max 5 bar", {"range": "max 4 bar", "source": "sheet"})


def test_too_little_at_rest_is_a_result_and_no_fault_of_the_program() -> None:
    found = calculate("static-return", volumes="3 3 0.5 3 mL", time="60 s", flow_limit="1 to 5 mL/min")
    assert any(verdict.way == "below" for verdict in found.verdicts)


@pytest.mark.parametrize(
    ("what", "value", "limit", "says"),
    [
        ("feed pressure", "40 ± 1 °C", "100 to 150 °C", "is a temperature"),
        ("supply pump current", "4 bar", "4 to 8 bar", "is a pressure"),
        ("feed pressure", "4.2 ± 0.1 bar abs", "3.5 to 5 bar", "may be gauge or absolute"),
        ("feed pressure", "3 ± 0.1 bar", "3.5 to 5 bar abs", "may be gauge or absolute"),
    ],
)  # fmt: skip
def test_a_usual_reading_is_of_its_kind_and_of_one_zero(what: str, value: str, limit: str, says: str) -> None:
    """40 °C accused the supply; 4.2 bar absolute are 3.2 bar gauge: one standard atmosphere is 1.01325 bar (ISO 2533)."""
    with pytest.raises(InputError, match=says):
        calculate("reading", what=what, value=value, limit=limit)
