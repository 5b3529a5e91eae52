"""A fall that stops far above zero is a valve's; one to nothing at once is a leak that nobody could time; and neither is a rail
that cools. No leak law ends above the pressure that it leaks to, and no fuel is warmer than its compression made it (adiabatic
heating: Lemmon & Huber 2004 for n-dodecane gives 0.13 K/MPa, so 125 MPa warm by 16 K at most)."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np
import pytest
from tests.hold.simulator import Fluid, Truth, measured

from baybook import calculate
from baybook.api import InputError, Result
from baybook.jobs.evaluation import work_out
from baybook.jobs.sheet import read_sheet
from baybook_physics.fuels import diesel
from baybook_physics.inference.binning import bin_signal
from baybook_plugins.hold.estimate.posterior import explain
from baybook_plugins.hold.simulator.known import Known
from baybook_plugins.hold.simulator.parameters import NAMES
from baybook_plugins.hold.simulator.problem import rail_problem

KNOWN: dict[str, Any] = {"volume": "20 ± 1 mL", "temperature": "65 ± 5 °C", "outlet_valve": "none"}
QUICK = {"pressures": "1250 1100 1000 960 950 948 947 946 bar", "times": "0 2.0 4.0 6.0 8.0 10.0 12.0 14.0 s"}
SLOW = {"pressures": "1250 1180 1130 1105 1101 1100 1099 1098 bar", "times": "0 5.0 10 15 20 30 40 60 s"}
VALVES = {"relief valve", "outlet valve"}


def capture(path: Path, t: np.ndarray, bar: np.ndarray, rpm: np.ndarray | None = None) -> str:
    """A file of time, rail pressure and, where given, the engine's speed."""
    head, more = "t [s],rail [bar]" + ("" if rpm is None else ",engine speed [rpm]"), () if rpm is None else (rpm,)
    rows = (",".join(f"{value:.3f}" for value in row) for row in zip(t, bar, *more, strict=True))
    path.write_text("\n".join([head, *rows]) + "\n", encoding="utf-8")
    return str(path)


def stop(result: Result) -> tuple[str, str, str]:
    """Strength, statement and next test of the only finding."""
    (found,) = result.findings
    return found.strength, str(found.statement), str(found.next_test)


@pytest.mark.parametrize(("readings", "limit", "verdict", "rest"), [
    (QUICK, "max 1 mL/min", "outside", "950 bar"), (SLOW, "max 0.2 mL/min", "undecided", "1100 bar"),
    (SLOW, "max 9 mL/min", "undecided", "1100 bar"),
])  # fmt: skip
def test_typed_readings_that_fall_and_stop_are_a_valves_and_clear_nothing(
    readings: dict[str, str], limit: str, verdict: str, rest: str
) -> None:
    found = calculate("hold", **readings, **KNOWN, limit=limit)
    strength, said, then = stop(found)
    assert strength == "indicated"
    assert f"to about {rest}" in said and "stays there" in said
    assert "relief valve" in said and "outlet valve" in said and "relief valve" in then
    assert [one.verdict for one in found.verdicts] == [verdict]
    assert found.outputs["law"] == "unknown"
    (answer,) = [one for one in found.answers if one.question == "stops"]
    assert answer.conforms < 0.1
    assert all(one.conforms <= 0.5 for one in found.answers)


@pytest.mark.parametrize("readings", [QUICK, SLOW])
def test_the_leak_of_a_fall_that_stops_is_that_of_the_fall_alone(readings: dict[str, str]) -> None:
    """Two readings, the first and the one at which it stopped, say the same; and no number stands without its interval."""
    found = calculate("hold", **readings, **KNOWN)
    pressures, times = (readings[name].replace(" bar", "").replace(" s", "").split() for name in ("pressures", "times"))
    two = calculate("hold", start=f"{pressures[0]} bar", end=f"{pressures[3]} bar", time=f"{times[3]} s", **KNOWN)
    assert found["leak_at_line"].value == pytest.approx(two["leak_at_line"].value, rel=0.05)
    for name in ("leak_at_line", "leak_collected", "cooling_drop", "bulk_modulus"):
        assert found[name].low < found[name].high
    assert found["cooling_drop"].to("bar").high < 0.13 * 125.0 * 14.0  # 1.4 MPa for a kelvin: as below


def test_a_valve_that_nobody_has_looked_for_keeps_the_fall_open() -> None:
    strength, said, then = stop(calculate("hold", **QUICK, **{**KNOWN, "outlet_valve": "unknown"}))
    assert strength == "undecided" and "stays there" in said and "opens without current" in then


def test_a_limit_below_the_pressure_where_it_stopped_is_not_judged() -> None:
    """The fall was above 946 bar: what leaks at 800 bar it does not say."""
    found = calculate("hold", **QUICK, **KNOWN, limit="max 1 mL/min", reference="800 bar")
    assert [(one.verdict, one.probability) for one in found.verdicts] == [("undecided", None)]


@pytest.mark.parametrize(("after", "left"), [("8 s", 950.0), ("2 s", 1100.0), ("14 s", 946.0)])
def test_what_is_left_is_what_was_read_there(after: str, left: float) -> None:
    found = calculate("hold", **QUICK, **KNOWN, pressure_limit="min 850 bar", after=after)
    assert found["pressure_after"].to("bar").value == pytest.approx(left, abs=3.0)
    assert found.verdicts[0].verdict == "within"
    assert stop(found)[0] == "indicated"


@pytest.mark.parametrize(("limit", "verdict"), [("min 850 bar", "undecided"), ("min 1000 bar", "outside")])
def test_what_is_left_later_than_was_read_is_at_most_what_was_read_last(limit: str, verdict: str) -> None:
    found = calculate("hold", **QUICK, **KNOWN, pressure_limit=limit, after="60 s")
    assert found.verdicts[0].verdict == verdict
    assert "pressure_after" not in found.outputs
    if verdict == "outside":
        assert str(found.verdicts[0].bound).startswith("at most 9")


def falling(t: np.ndarray, quick: float) -> np.ndarray:
    """1250 bar to 950 with a time constant, then 2 bar of cooling in a minute."""
    return np.where(t < 0.0, 1250.0, 950.0 + 300.0 * np.exp(-np.maximum(t, 0.0) / quick) - 0.03 * np.maximum(t, 0.0))


@pytest.mark.parametrize("quick", [0.01, 0.3, 2.0])
@pytest.mark.parametrize("lead", [0.0, 5.0])
@pytest.mark.parametrize("speed", [False, True])
def test_a_capture_that_falls_and_stops_clears_nothing(tmp_path: Path, quick: float, lead: float, speed: bool) -> None:
    """With and without what came before the stop. That a fall at once was the stop's, only the engine's speed shows."""
    t = np.arange(0.0, lead + 60.0, 0.05)
    bar = falling(t - lead, quick) + 0.5 * np.random.default_rng(3).standard_normal(len(t))
    rpm = np.where(t < lead - 0.01, 800.0, 0.0) if speed else None
    found = calculate("hold", capture=capture(tmp_path / "c.csv", t, bar, rpm), **KNOWN, limit="max 1 mL/min")
    strength, said, _ = stop(found)
    assert strength != "cleared"
    assert [one.verdict for one in found.verdicts] != ["within"]
    if speed or quick > 1.0 or not lead:
        assert strength == "indicated" and "to about 950 bar" in said


@pytest.mark.parametrize("noise", [0.3, 3.0])
def test_a_tight_rail_that_cools_is_no_valve(tmp_path: Path, noise: float) -> None:
    """Warm fuel cools within seconds, then little follows: the same shape, and it is cleared."""
    truth = Truth(
        fluid=Fluid(density=832.0 / 777.2, stiff=1.085, warm=0.93, heat=0.9, viscosity=2.2, thickening=0.01),
        volume=20.0, start=125.0, back=0.1, fuel_start=75.0, wall_start=65.0, ambient=60.0, heat_time=6.0, wall_time=1500.0,
        rail_modulus=55e3, laminar=0.0, orifice=0.0, opening=0.0005, duration=60.0,
    )  # fmt: skip
    case = measured(
        truth, np.random.default_rng(2), "none", volume=(20.0, 0.5), temperature=(65.0, 2.5), density=(832.0, 1.0), rate=20.0,
        noise=0.1 * noise, step=0.02,
    )  # fmt: skip
    found = calculate("hold", capture=capture(tmp_path / "c.csv", case.time, 10.0 * case.pressure), **KNOWN,
                      limit="max 1 mL/min")  # fmt: skip
    assert stop(found)[0] == "cleared"
    few = [int(np.argmin(abs(case.time - at))) for at in (0, 3, 6, 10, 15, 20, 30, 40, 55)]
    typed = {"pressures": " ".join(f"{10 * case.pressure[at]:.0f}" for at in few) + " bar",
             "times": " ".join(f"{case.time[at]:.1f}" for at in few) + " s"}  # fmt: skip
    assert "stays there" not in stop(calculate("hold", **typed, **KNOWN, limit="max 1 mL/min"))[1]


def test_fuel_is_never_warmer_than_its_compression_made_it() -> None:
    """125 MPa: 16 K, at some 1.4 MPa each (alpha K_T of diesel there: 7e-4/K by 2 GPa)."""
    t = np.arange(0.0, 60.0, 0.5)
    p = 90.0 + 35.0 * np.exp(-t / 6.0)
    known = Known(volume=(20.0, 0.5), temperature=(65.0, 2.5), zero=0.3)
    task = rail_problem(bin_signal(t, p + 0.05 * np.random.default_rng(1).standard_normal(len(t))), known, diesel())
    found = explain(task)
    assert not found.good
    assert float(task.under("none").members(found.fits["none"].row[None]).warm[0]) < 22.0  # the fit's edge is soft
    rows = np.repeat(found.fits["none"].row[None], 2, axis=0)
    rows[:, NAMES.index("cooling")] = 5.0, 35.0
    assert list(np.isfinite(task.under("none").log_prior(rows))) == [True, False]


def test_eight_readings_are_enough_to_say_that_no_shut_rail_did_this() -> None:
    """No fall that stops, and no shut rail's: it quickens."""
    found = calculate(
        "hold", pressures="1000 990 975 950 910 850 770 660 bar", times="0.0 5.0 10.0 15.0 20.0 25.0 30.0 35.0 s", **KNOWN,
        limit="max 90 mL/min",
    )  # fmt: skip
    strength, said, then = stop(found)
    assert strength == "undecided" and "no shut rail" in said
    assert "window_start" not in then and "1000 ± 5 bar" in then


def test_readings_that_wander_within_what_was_typed_of_them_are_fitted() -> None:
    """A time read to half a second moves a steep fall by half of what it falls in a second."""
    bar, t = [1000.0, 861.0, 733.0, 633.0, 542.0, 466.0, 402.0, 345.0], [0.0, 2.6, 4.9, 7.4, 10.2, 12.6, 14.8, 17.7]
    vague = calculate("hold", pressures=" ".join(f"{one:.0f}" for one in bar) + " bar",
                      times="; ".join(f"{round(one):g} ± 0.6 s" for one in t), **KNOWN, limit="max 1 mL/min")  # fmt: skip
    assert vague.verdicts[0].verdict == "outside"
    assert "no shut rail" not in stop(vague)[1]


@pytest.mark.parametrize("rate", [10.0, 100.0])
@pytest.mark.parametrize("rows", [1, 2])
@pytest.mark.parametrize(("lead", "speed"), [(0.2, False), (3.0, True)])
def test_a_capture_of_a_rail_that_collapses_is_answered(
    tmp_path: Path, rate: float, rows: int, lead: float, speed: bool
) -> None:
    """From 1000 bar to nothing within a row or two: 20 mL lose 100 MPa of some 1.7 GPa, 1.2 mL as collected. At the mean
    pressure it leaks more than on average, by 1.4 through a hole and by 4 through a clearance (by hand, down to 0.5 bar)."""
    t = np.arange(0.0, lead + 10.0, 1.0 / rate)
    since = np.round((t - lead) * rate)
    bar = np.where(since <= 0, 1000.0, np.maximum(1000.0 * (1.0 - since / rows), 1.0))
    bar = bar + 0.4 * np.random.default_rng(5).standard_normal(len(t))
    rpm = np.where(since < 0, 800.0, 0.0) if speed else None
    found = calculate("hold", capture=capture(tmp_path / "c.csv", t, bar, rpm), **KNOWN, limit="max 4 mL/min")
    assert [one.verdict for one in found.verdicts] == ["outside"]
    assert stop(found)[0] == "indicated"
    assert found.outputs["law"] == "unknown"
    assert "leak_at_line" not in found.outputs
    (note,) = [str(one) for one in found.notes if "fell to nothing" in str(one)]
    assert "nothing of its law" in note
    least = float(str(found.verdicts[0].bound).removeprefix("at least ").split()[0])
    assert 60.0 < least * rows / rate < 4.0 * 72.0


def test_a_collapse_without_limit_or_volume_is_no_tight_rail(tmp_path: Path) -> None:
    t = np.arange(0.0, 5.0, 0.05)
    path = capture(tmp_path / "c.csv", t, np.where(t < 0.12, 600.0, 0.5))
    found = calculate("hold", capture=path, outlet_valve="none")
    assert "leaks" in stop(found)[1] and "cannot say whether too much" in stop(found)[1]


def test_readings_that_empty_within_a_few_rows_are_answered_as_two() -> None:
    found = calculate("hold", pressures="100; 50; 20; 5; 1; 0.5; 0.3; 0.2 bar", times="1; 2; 3; 4; 5; 6; 7; 8 s",
                      **KNOWN, limit="max 0.1 mL/min")  # fmt: skip
    assert found.verdicts[0].verdict == "outside" and str(found.verdicts[0].bound).startswith("at least")


def test_a_collapse_in_the_wrong_unit_is_refused_in_a_line(tmp_path: Path) -> None:
    t = np.arange(0.0, 5.0, 0.05)
    path = capture(tmp_path / "c.csv", t, np.where(t < 0.12, 60000.0, 0.5))
    with pytest.raises(InputError, match=r"runs from 60000 to 0\.5 bar; give a window within 1 to 2490 bar"):
        calculate("hold", capture=path, outlet_valve="none")


def test_a_plateau_that_collapses_within_a_cut_is_no_tight_rail(tmp_path: Path) -> None:
    t = np.arange(0.0, 20.0, 0.05)
    bar = np.where(t < 6.0, 800.0, 0.3) + 0.1 * np.random.default_rng(5).standard_normal(len(t))
    path = capture(tmp_path / "c.csv", t, bar)
    found = calculate("hold", capture=path, window_start="1 s", **KNOWN, limit="max 4 mL/min")
    assert found.verdicts[0].verdict == "outside"


SHEET = """format = 2
[job]
vehicle = "Hazel van"
complaint = "low power"
[system]
outlet_valve = "rail"
injectors = 4
[[steps]]
calculator = "hold"
[steps.inputs]
pressures = "{pressures}"
times = "{times}"
volume = "20 ± 1 mL"
temperature = "65 ± 5 °C"
outlet_valve = "driven-shut"
limit = "max {limit} mL/min"
"""


@pytest.mark.parametrize("limit", [1, 9])
def test_a_job_seeks_what_let_the_fall_stop_among_the_valves(tmp_path: Path, limit: int) -> None:
    """Whatever the limit: the two valves lead, each has gained, no place of storage is cleared. Common practice, no source."""
    sheet, none = tmp_path / "job.toml", tmp_path / "none.toml"
    text = SHEET.format(**QUICK, limit=limit)
    sheet.write_text(text, encoding="utf-8")
    none.write_text(text[: text.index("[[steps]]")], encoding="utf-8")
    found, before = work_out(read_sheet(sheet)).found, work_out(read_sheet(none)).found
    first = sorted(found.chances, key=lambda name: -found.chances[name])[:2]
    assert set(first) == VALVES
    assert all(found.chances[name] > 2.0 * before.chances[name] for name in VALVES)
    assert all(one.word != "not seen here" for one in found.standings if one.place.stage == "storage")
