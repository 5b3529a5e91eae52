"""Unit and kind stay with a number: differences of temperature, gauge and absolute, and what is not decided."""

import pytest

from baybook import calculate, units
from baybook.errors import InputError, PluginError, Refused
from baybook.estimate import Estimate
from baybook.kinds import KINDS
from baybook.quantity import kind_of_family, new_kind
from baybook.reading import Reading, parse
from baybook.result import judge
from baybook.spec import SpecRange, parse_spec

RISE = KINDS["temperature difference"]


def test_a_difference_is_converted_without_the_zero_point() -> None:
    """NIST SP 811 (2008), B.8: a difference of 1 K is one of 1.8 °F; a temperature of 5 K is -450.67 °F."""
    assert Estimate.of(5.0, "K", 0.1, kind="temperature difference").to("°F").value == pytest.approx(9.0)
    assert Estimate.of(5.0, "K", 0.1, kind="temperature").to("°F").value == pytest.approx(-450.67)


@pytest.mark.parametrize("limit", ["<= 5 °C", "<= 5 K", "<= 9 °F"])
def test_a_rise_is_judged_against_a_limit_in_any_unit(limit: str) -> None:
    """5 K, 5 °C and 9 °F of difference are the same (NIST SP 811, B.8): 10 K is twice as much."""
    verdict = judge("rise", Estimate.of(10.0, "K", 0.1), parse_spec(limit, RISE))
    assert (verdict.verdict, round(verdict.probability, 6)) == ("outside", 0.0)


def test_an_open_symbol_takes_the_kind_of_whatever_has_one() -> None:
    assert Estimate.of(10.0, "K").kind is None
    assert Estimate.of(10.0, "K").of_kind(RISE).to("°F").value == pytest.approx(18.0)
    assert judge("x", Estimate.of(10.0, "K", kind=RISE), SpecRange(None, 9.0, "°F")).verdict == "outside"


def test_an_open_symbol_is_not_converted_by_a_guess() -> None:
    with pytest.raises(PluginError, match="K may be of more than one kind; make the estimate with kind="):
        Estimate.of(5.0, "K").to("°F")
    with pytest.raises(PluginError, match="rise cannot be judged: K may be of more than one kind"):
        judge("rise", Estimate.of(5.0, "K"), SpecRange(None, 5.0, "°C"))
    assert judge("rise", Estimate.of(5.0, "K"), SpecRange(None, 6.0, "K")).verdict == "within"


@pytest.mark.parametrize(
    ("found", "limit"),
    [("gauge pressure", "absolute pressure"), ("absolute pressure", "gauge pressure"),
     ("pressure difference", "gauge pressure"), ("flow", "gauge pressure")],
)  # fmt: skip
def test_kinds_that_do_not_fit_are_never_judged_against_each_other(found: str, limit: str) -> None:
    estimate = Estimate.of(3.0, KINDS[found].unit, 0.1, kind=found)
    with pytest.raises(PluginError, match="cannot be judged"):
        judge("x", estimate, parse_spec(f"<= {KINDS[limit].example}", KINDS[limit]))


def test_readings_and_estimates_are_made_of_numbers() -> None:
    reading = Reading.of(350, "bar", u95=5)
    assert (reading.value, reading.unit.symbol, reading.kind.name) == (350, "bar", "pressure")
    assert reading.half_width == pytest.approx(5)
    assert Reading.of(5, "K", kind="temperature difference").number("°F") == pytest.approx(9.0)
    with pytest.raises(PluginError, match="K is a unit of temperature and of temperature difference"):
        Reading.of(5, "K")
    with pytest.raises(PluginError, match="'kN2' is no unit that is known"):
        Estimate.of(1.0, "kN2")
    with pytest.raises(PluginError, match="bar is a unit of pressure, not of time"):
        Estimate.of(1.0, "bar", kind="time")
    with pytest.raises(PluginError, match="no kind of quantity"):
        Estimate.of(1.0, "bar", kind="push")


def test_a_range_keeps_the_kind_that_it_was_read_as() -> None:
    assert parse_spec("<= 5 °C", RISE).to("°F").high == pytest.approx(9.0)
    assert parse_spec("<= 5 °C", KINDS["temperature"]).to("°F").high == pytest.approx(41.0)
    assert parse_spec("1 to 3 bar(a)", KINDS["pressure"]).kind is KINDS["absolute pressure"]


def test_nothing_is_negative_where_nothing_can_be() -> None:
    flow = Estimate.of(0.3, "mL/min", 1.0, at_least=0.0)
    assert (flow.low, flow.value) == (0.0, 0.3)
    assert flow.to("L/h").low == 0.0
    assert flow.below(0.0) == 0.0
    assert Estimate(-0.1, "mL/min", -0.5, 0.4, at_least=0.0) == Estimate(0.0, "mL/min", 0.0, 0.4, at_least=0.0)


def test_a_range_that_is_one_already_is_checked_like_text() -> None:
    """As a step of a job, or a program, hands it over."""
    gauge, absolute = KINDS["gauge pressure"], KINDS["absolute pressure"]
    limit = SpecRange(1.0, 3.0, "bar", "sheet 2", kind=gauge)
    assert parse_spec(limit, gauge) == limit
    assert parse_spec(SpecRange(None, 5.0, "K"), RISE).to("°F").high == pytest.approx(9.0)
    with pytest.raises(Refused, match="is a gauge pressure; give a range of an absolute pressure"):
        parse_spec(limit, absolute)
    with pytest.raises(Refused, match="lower limit at or above"):
        parse_spec(SpecRange(3.0, 1.0, "bar"), gauge)


def test_a_kind_keeps_its_name_for_itself(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("baybook.quantity.KINDS", {**KINDS})
    lever = new_kind("lever", "pressure", "bar", "3 bar")
    assert new_kind("lever", "pressure", "bar", "4 bar") is lever
    with pytest.raises(PluginError, match="the kind 'lever' is another one already"):
        new_kind("lever", "time", "s", "3 s")


def test_a_family_that_a_plugin_brings_is_a_kind_of_its_own(monkeypatch: pytest.MonkeyPatch) -> None:
    known = {**KINDS}
    monkeypatch.setattr("baybook.quantity.KINDS", known)
    monkeypatch.setattr("baybook.units.in_family", lambda family: {"torque": [units.find("bar")]}[family])
    assert kind_of_family("torque") == "torque"
    assert (known["torque"].family, known["torque"].unit, known["torque"].example) == ("torque", "bar", "1 bar")


def test_a_range_is_narrowed_to_a_kind_that_fits_and_to_no_other() -> None:
    pressure, gauge = KINDS["pressure"], KINDS["gauge pressure"]
    assert (
        SpecRange(3.0, 7.0, "bar").of_kind(gauge).kind is SpecRange(3.0, 7.0, "bar", kind=gauge).of_kind(pressure).kind is gauge
    )
    assert SpecRange(None, 5.0, "K").of_kind(RISE).to("°F").high == pytest.approx(9.0)
    with pytest.raises(PluginError, match="the range at most 5 bar is of the kind gauge pressure, not time"):
        SpecRange(None, 5.0, "bar", kind=gauge).of_kind(KINDS["time"])


@pytest.mark.parametrize("given", [parse("3 bar"), {"value": 3.0, "unit": "bar"}, "3 bar"])
def test_a_reading_of_another_kind_is_refused_in_whatever_form_it_comes(given: object) -> None:
    with pytest.raises(InputError, match="is a pressure; give a resistance, such as "):
        calculate("coil", reading=given, temperature="20 °C")
