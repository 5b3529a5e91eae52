"""The chart that each calculator makes for its card: blank, and for this vehicle."""

from __future__ import annotations

from dataclasses import replace

import pytest

from baybook.api import Known
from baybook.cards.build import card_of
from baybook.cards.data import Chart
from baybook.errors import InputError, PluginError
from baybook.registry import registry
from baybook.result import Plot

NAMES = ("coil", "convert", "hold", "regulator", "returns")


def chart(name: str, **known: object) -> Plot:
    calculator = registry().calculator(name)
    assert calculator.charts is not None
    parsed = {key: calculator.parameter(key).field.parse(value) for key, value in known.items()}
    (plot,) = calculator.charts(Known(calculator, parsed))
    return plot


def at(plot: Plot, x: float, line: int = 0) -> float:
    series = plot.series[line]
    return dict(zip(series.x, series.y, strict=True))[x]


@pytest.mark.parametrize("name", NAMES)
def test_every_shipped_calculator_puts_a_chart_on_its_card(name: str) -> None:
    charts = [block for block in card_of(registry().calculator(name)).back if isinstance(block, Chart)]
    assert charts
    assert all(len(series.x) == len(series.y) > 1 for found in charts for series in found.series)


def test_psi_over_bar() -> None:
    """1 psi = 6894.757 Pa: NIST Special Publication 811 (2008), appendix B."""
    assert at(chart("convert"), 2000.0) == pytest.approx(2000e5 / 6894.757, rel=1e-6)


def test_mean_voltage_on_the_switched_wire() -> None:
    """On is low when switched to ground, high when switched to supply: common practice, no source."""
    blank = chart("regulator")
    assert [(series.label, at(blank, 0.0, n), at(blank, 100.0, n)) for n, series in enumerate(blank.series)] == [
        ("switched to ground", 14.0, 0.0), ("switched to supply", 0.0, 14.0),
    ]  # fmt: skip
    known = chart("regulator", supply="13.5 V", switched="supply")
    assert [series.label for series in known.series] == ["switched to supply"]
    assert at(known, 100.0) == 13.5


def test_mean_current_over_the_duty() -> None:
    """Circuit theory by plain arithmetic: (0.3 · 13.5 − 0.7 · 0.7)/3 A, none while the diode eats it up, U/R at 100 %."""
    known = chart("coil", reading="3.2 ± 0 ohm", leads="0.2 ± 0 ohm", supply="13.5 V", diode="0.7 V")
    assert (known.y_unit, at(known, 0.0)) == ("A", 0.0)
    assert at(known, 30.0) == pytest.approx((0.3 * 13.5 - 0.7 * 0.7) / 3)
    assert at(known, 100.0) == pytest.approx(13.5 / 3)
    blank = chart("coil")
    assert (blank.y_unit, at(blank, 100.0)) == ("%", pytest.approx(100.0))
    assert chart("coil", reading="0.1 ohm", leads="0.2 ohm").y_unit == "%"


def test_each_injector_against_the_median_of_the_others() -> None:
    """Medians by hand: of 31, 29, 62 it is 31; of 30, 29, 62 it is 30; of 30, 31, 62 it is 31; of 30, 31, 29 it is 30."""
    known = chart("returns", volumes=["30 mL", "31 mL", "29 mL", "62 mL"], median_limit="<= 150 %")
    line, points = known.series
    assert (line.label, line.y[1] / line.x[1]) == ("150 %", pytest.approx(1.5))
    assert list(zip(points.x, points.y, strict=True)) == [(31, 30), (30, 31), (31, 29), (30, 62)]
    assert [series.label for series in chart("returns").series] == ["100 %", "150 %", "200 %"]
    assert len(chart("returns", volumes=["30 mL", "31 mL"]).series) == 3


def test_leak_over_the_fall_of_pressure() -> None:
    """Twice the volume, twice the leak; twice the time, half: the mass balance of a closed volume."""
    blank = chart("hold")
    assert [series.label for series in blank.series] == ["15 mL", "25 mL", "40 mL"]
    one = chart("hold", volume="20 mL", start="800 bar", time="30 s")
    assert at(chart("hold", volume="40 mL", start="800 bar", time="30 s"), 100.0) == pytest.approx(2 * at(one, 100.0), rel=1e-3)
    assert at(chart("hold", volume="20 mL", start="800 bar", time="60 s"), 100.0) == pytest.approx(at(one, 100.0) / 2, rel=1e-3)


def test_a_start_beyond_the_fuel_model_has_a_card_without_the_chart() -> None:
    calculator = registry().calculator("hold")
    known = {"volume": "20 mL", "start": "2700 bar", "fuel": "n-dodecane"}
    assert card_of(calculator, known).back == ()
    inputs = {name: calculator.parameter(name).field.parse(value) for name, value in known.items()}
    filled = registry().card("leak-chart").make(**inputs)
    assert filled.front[1].title == "Leaks at most, as collected, from 350 bar, in 30 s"
    with pytest.raises(InputError, match="fuel"):
        card_of(calculator, {"fuel": "none_such.toml"})


def test_a_chart_that_fails_is_told_as_its_plugins_fault() -> None:
    broken = replace(registry().calculator("coil"), charts=lambda known: 1 / 0)
    with pytest.raises(PluginError, match=r"calculator coil: its charts failed: ZeroDivisionError"):
        card_of(broken)


def test_what_is_not_known_is_taken_as_declared() -> None:
    """What was typed, else the default, else the usual value."""
    coil = registry().calculator("coil")
    assert coil.taken("diode", {}).text == coil.parameter("diode").default
    assert coil.taken("supply", {}).text == coil.parameter("supply").field.usual
    assert coil.taken("supply", {"supply": "typed"}) == "typed"


def test_a_hold_from_a_low_pressure_has_its_chart_too() -> None:
    plot = chart("hold", volume="20 mL", start="3 bar")
    assert len(plot.series[0].x) > 2 and max(plot.series[0].x) < 3
    assert all(leak > 0 for leak in plot.series[0].y[1:])
