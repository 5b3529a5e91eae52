"""Verdicts by the normal distribution's own shares, spec ranges as they are typed, and what a result refuses to hold."""

from __future__ import annotations

from statistics import NormalDist

import pytest

from baybook.draws import AtLeast, Draws
from baybook.errors import PluginError, Refused
from baybook.estimate import Estimate
from baybook.kinds import KINDS
from baybook.reading import Reading, parse
from baybook.result import Finding, Result, Series, Verdict, judge, reading_record
from baybook.spec import SpecRange, check_range, parse_any_range, parse_spec

Z95 = NormalDist().inv_cdf(0.95)


@pytest.mark.parametrize(("low", "high"), [(None, 10.0), (5.0, None), (5.0, 10.0)])
@pytest.mark.parametrize("value", [3.0, 4.9, 5.0, 5.3, 7.0, 9.6, 10.0, 10.2, 12.0])
def test_verdicts_and_their_chances(value: float, low: float | None, high: float | None) -> None:
    """ISO 14253-1:2017 with its default of 95 %, a standard deviation of 0.25: shares of statistics.NormalDist."""
    normal = NormalDist(value, 0.25)
    below, above = 0.0 if low is None else normal.cdf(low), 0.0 if high is None else 1 - normal.cdf(high)
    found = judge("p", Estimate.of(value, "bar", 0.25), SpecRange(low, high, "bar"))
    word = "within" if 1 - below - above >= 0.95 else "outside" if max(below, above) >= 0.95 else "undecided"
    assert (found.verdict, found.probability) == (word, pytest.approx(1 - below - above, abs=1e-9))
    assert found.way == ("" if word != "outside" else "below" if below > above else "above")


@pytest.mark.parametrize(("off", "word"), [(-0.001, "outside"), (0.001, "undecided")])
def test_the_guard_band_is_1_645_standard_deviations(off: float, word: str) -> None:
    """One-sided 95 % (tables of the normal distribution), on both sides of a limit."""
    assert judge("p", Estimate.of(10.0 + Z95 * 0.25 - off, "bar", 0.25), SpecRange(None, 10.0, "bar")).verdict == word
    within = "within" if off < 0 else "undecided"
    assert judge("p", Estimate.of(10.0 - Z95 * 0.25 + off, "bar", 0.25), SpecRange(None, 10.0, "bar")).verdict == within


def test_what_is_known_as_a_least_and_a_most_is_told_as_likely_as_not() -> None:
    """Of draws from 4 to 12 with a limit of 10: certainly neither. Where one in ten is certainly beyond, as far as the rest."""
    wide = Draws([4.0] * 100, "bar", most=[12.0] * 100, told=False)
    assert judge("p", wide, SpecRange(None, 10.0, "bar")).probability == 0.5
    some = Draws([4.0] * 60 + [11.0] * 40, "bar", most=[12.0] * 100, told=False)
    assert judge("p", some, SpecRange(None, 10.0, "bar")).probability == 0.5
    most = Draws([4.0] * 20 + [11.0] * 80, "bar", most=[12.0] * 100, told=False)
    assert judge("p", most, SpecRange(None, 10.0, "bar")).probability == pytest.approx(0.2)
    found = judge("p", most, SpecRange(20.0, 30.0, "bar"))
    assert (found.verdict, found.way, str(found.bound)) == ("outside", "below", "at most 12 bar")
    assert judge("p", AtLeast(Estimate.of(50.0, "bar", 0.5)), SpecRange(None, 10.0, "bar"), index=3).index == 3


@pytest.mark.parametrize(("text", "low", "high"), [
    ("3 to 7 bar", 3, 7), ("3..7 bar", 3, 7), ("3 - 7 bar", 3, 7), ("3-7 bar", 3, 7),
    ("3 bar - 7 bar", 3, 7), ("3/7 bar", 3, 7),
    ("from 3 to 7 bar", 3, 7), ("von 3 bis 7 bar", 3, 7), ("from 3 bar", 3, None),
    ("ab 3 bar", 3, None), ("min 3 bar", 3, None),
    ("min. 3 bar", 3, None), ("≥3 bar", 3, None), ("> 3 bar", 3, None), ("max 7 bar", None, 7), ("max. 7 bar", None, 7),
    ("bis 7 bar", None, 7), ("<7 bar", None, 7), ("<= 7 bar", None, 7), ("up to 7 bar", None, 7), ("5 ± 2 bar", 3, 7),
    ("±2 bar", -2, 2), ("5 bar ± 40 %", 3, 7), ("300 kPa to 7 bar", 3, 7), ("-1 to 2 bar", -1, 2), ("MAX 7 BAR", None, 7),
])  # fmt: skip
def test_a_range_as_it_is_typed(text: str, low: float | None, high: float | None) -> None:
    """By hand."""
    found = parse_spec(text, KINDS["pressure"])
    assert (found.low, found.high, found.unit.symbol) == (
        None if low is None else pytest.approx(low), None if high is None else pytest.approx(high), "bar"
    )  # fmt: skip


@pytest.mark.parametrize(("text", "why"), [
    ("5 bar", "single value"), ("7 to 3 bar", "lower limit"), ("5 to 5 bar", "lower limit"), ("", "not a range"),
    ("3 to 7", "no unit"),
    ("3 to 7 ohm", "resistance"), ("max bar", "no number"), ("5", "no unit"), ("3 bar(g) to 7 bar(a)", "mixes"),
    ("1" * 81, "not a range"), ("maximal 7 bar", "no number"),
])  # fmt: skip
def test_what_is_no_range_is_refused(text: str, why: str) -> None:
    with pytest.raises(Refused, match=why):
        parse_spec(text, KINDS["pressure"])


def test_a_single_value_may_be_the_largest_and_a_source_may_follow() -> None:
    found = parse_spec("7 bar; sheet 12", KINDS["pressure"], upper=True)
    assert (found.low, found.high, found.source, str(found)) == (None, 7.0, "sheet 12", "max 7 bar")
    assert str(parse_spec("5 ± 2 bar", KINDS["pressure"], upper=True)) == "5 ± 2 bar"
    assert str(parse_spec("max 7 bar", KINDS["pressure"], upper=True)) == "max 7 bar"
    table = parse_spec({"range": "3 to 7 bar", "source": "sheet"}, KINDS["pressure"])
    assert (table.low, table.source) == (3.0, "sheet")
    for wrong in ({"source": "sheet"}, 5.0, None):
        with pytest.raises(Refused):
            parse_spec(wrong, KINDS["pressure"])
    edge = "3 to 7" + " " * 72 + "bar"
    assert len(edge) == 81 and parse_spec(edge[:6] + edge[7:], KINDS["pressure"]).high == 7.0
    with pytest.raises(Refused, match="not a range"):
        parse_spec(edge, KINDS["pressure"])


def test_a_range_of_any_kind_and_one_of_none() -> None:
    assert parse_any_range({"range": "3 to 7 bar"}).kind is not None and parse_any_range("max 5 K").kind is None
    with pytest.raises(Refused, match="single value"):
        check_range("5 bar")
    with pytest.raises(Refused, match="lower limit"):
        check_range("7 to 3 bar")
    assert check_range("3 to 7 bar") is None


def test_a_range_is_shown_and_converted() -> None:
    found = SpecRange(3.0, 7.0, "bar").to("MPa")
    assert (found.low, found.high, found.show()) == (pytest.approx(0.3), pytest.approx(0.7), "0.3 to 0.7 MPa")
    assert SpecRange(None, 7.0, "bar").show() == "at most 7 bar" and SpecRange(3.0, None, "bar").show() == "at least 3 bar"
    assert SpecRange(0.1, 0.5, "").show() == "0.1 to 0.5" and SpecRange(3.0, None, "bar").to("MPa").high is None


@pytest.mark.parametrize("chance", [-0.01, 1.01, float("nan"), None])
def test_a_verdict_without_a_probability_is_undecided(chance: float | None) -> None:
    spec = SpecRange(None, 7.0, "bar")
    with pytest.raises(PluginError, match="lies from 0 to 1"):
        Verdict("p", "within", chance, spec)
    assert Verdict("p", "undecided", None, spec).probability is None
    assert [Verdict("p", "within", edge, spec).probability for edge in (0.0, 1.0)] == [0.0, 1.0]
    with pytest.raises(PluginError, match="use one of"):
        Verdict("p", "good", 0.5, spec)  # type: ignore[arg-type]


def test_a_plots_series_has_as_many_of_each() -> None:
    assert (
        Series("a", (1.0, 2.0), (1.0, 2.0), "band", (3.0, 4.0)).y2 == (3.0, 4.0) and Series("a", (1.0,), (1.0,)).style == "line"
    )
    for wrong in (((1.0,), (1.0, 2.0)), ((1.0,), (float("inf"),)), ((1.0,), (1.0,), "band"), ((1.0,), (1.0,), "dots")):
        with pytest.raises(PluginError, match="a series"):
            Series("a", *wrong)


def test_a_finding_has_known_words_and_says_something() -> None:
    for wrong in ({"stage": "engine"}, {"side": "left"}, {"strength": "sure"}, {"statement": ""}):
        with pytest.raises(PluginError, match="a finding"):
            Finding(**{"statement": "x", **wrong})
    assert Finding("supply", "control", "x", "proven").next_test == ""


def test_outputs_of_a_result_as_json() -> None:
    """A word, a quantity, and a vector with a gap."""
    value = Estimate(2.0, "bar", 1.0, 3.0)
    told = Result({"word": "laminar", "p": value, "each": (None, value)}, each={"each": "injector"}).to_dict()
    assert told["outputs"] == {
        "word": {"value": "laminar", "unit": "", "low": None, "high": None},
        "p": {"value": 2.0, "unit": "bar", "low": 1.0, "high": 3.0},
        "each": {"unit": "bar", "values": [None, {"value": 2.0, "low": 1.0, "high": 3.0}], "each": "injector"},
    }
    assert Result({"each": (None,)}).to_dict()["outputs"]["each"]["unit"] == ""


def test_a_bound_is_recorded_without_a_value_and_an_upper_end() -> None:
    record = reading_record(Reading.of(100, "mL", u95=1.0, bound="above"))
    assert (record["value"], record["low"], record["high"]) == (None, pytest.approx(99.0), None)
    plain = reading_record(parse("100 mL"))
    assert (plain["value"], plain["low"], plain["high"], plain["assumed"]) == (
        100.0, pytest.approx(99.525), pytest.approx(100.475), True
    )  # fmt: skip
