"""Actual against target pressure: the table by plain arithmetic, captures with a known truth, and captures made here."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from baybook.api import InputError
from baybook.registry import registry
from baybook.testing import conformance
from baybook_plugins.target.calculator import target

DATA = Path(__file__).parents[1] / "captures" / "data"
BAND = "-20 to 20 bar"

test_conformance = conformance(target)


def shown(**inputs: Any) -> dict[tuple[str, str], str]:
    """Strength by stage and side."""
    return {(finding.stage, finding.side): finding.strength for finding in target(**inputs).findings}


def test_a_table_is_judged_with_its_guard_band() -> None:
    """Plain arithmetic: 291 - 320 = -29; ISO 14253-1: -21 +- 2 of a limit at -20 is neither in nor out."""
    found = target(actual=["291 ± 1 bar", "299 ± 2 bar", "318 ± 1 bar"], target=["320 ± 0 bar"] * 3, band=BAND)
    assert [estimate.value for estimate in found.vector("deviation") if estimate] == pytest.approx([-29.0, -21.0, -2.0])
    assert [verdict.verdict for verdict in found.verdicts] == ["outside", "undecided", "within"]
    assert [finding.strength for finding in found.findings] == ["undecided"]  # one reading off names no stage


def test_another_unit_and_a_decimal_comma_change_nothing() -> None:
    plain = target(actual="262.9 bar", target="320.0 bar", band="-20 to 20 bar")
    other = target(actual="26,29 MPa", target="32,00 MPa", band="-2 to 2 MPa")
    assert other.vector("deviation")[0].to("bar").value == pytest.approx(plain.vector("deviation")[0].value)  # type: ignore[union-attr]
    assert [verdict.verdict for verdict in other.verdicts] == [verdict.verdict for verdict in plain.verdicts] == ["outside"]


@pytest.mark.parametrize(
    ("inputs", "wrong"),
    [
        ({"actual": "290 bar"}, "target"),
        ({"actual": ["290 bar", "291 bar"], "target": "300 bar"}, "target"),
        ({}, "actual"),
        ({"actual": "290 bar", "target": "300 bar", "capture": "drive.csv"}, "capture"),
        ({"capture": "nowhere.csv"}, "capture"),
        ({"capture": "drive.csv", "supply": "4 bar"}, "supply"),
    ],
)
def test_what_does_not_go_together_is_said(inputs: dict[str, Any], wrong: str) -> None:
    with pytest.raises(InputError) as refused:
        target(**inputs)
    assert wrong in {problem.input for problem in refused.value.problems}


def test_a_starved_pump_is_found_at_the_supply() -> None:
    """Truth: the supply starves (0.675 cm3/s at zero gauge), the pump is sound; both targets are met later."""
    found = target(capture=str(DATA / "osprey_idle.csv.gz"), band=BAND, supply_limit="3 to 7 bar")
    assert [verdict.verdict for verdict in found.verdicts[:3]] == ["outside", "within", "within"]
    assert found["parts_at"].to("s").low <= 0.5
    assert found.outputs["demand"] == "more"
    assert found.vector("parting")[0].to("bar/s").high < 0  # type: ignore[union-attr]
    [finding] = found.findings
    assert (finding.stage, finding.side, finding.strength) == ("supply", "hydraulic", "indicated")


def test_a_pump_that_is_fed_and_a_valve_at_its_end() -> None:
    """Truth: one injector returns too much; the inlet valve is driven fully open, and still 110 bar are lacking.

    The supply is sound.

    Which stage it is, target and actual cannot tell, and do not.
    """
    inputs = {"capture": str(DATA / "bramble_crank.csv"), "band": BAND, "supply_limit": "3 to 7 bar"}
    assert target(**inputs).outputs["demand"] == "all"
    assert shown(**inputs) == {("supply", "hydraulic"): "cleared", ("generation", "hydraulic"): "undecided"}


def test_a_target_met_in_the_mean_with_a_swing_points_at_the_ripple() -> None:
    """Truth: a weak pump element. The outlet valve makes up for it, so the mean is right; the swing is not."""
    found = target(capture=str(DATA / "tallow_crank.csv"), band=BAND)
    assert [verdict.verdict for verdict in found.verdicts] == ["within"]
    assert [(finding.strength, "ripple" in finding.next_test) for finding in found.findings] == [("undecided", True)]


def drive(tmp_path: Path, away: Callable[[np.ndarray], np.ndarray], **columns: np.ndarray) -> str:
    """A drive of a minute at 20 Hz: target 300 bar, at 30 s 800 bar, followed with a time constant of 0.4 s, plus `away`."""
    rng = np.random.default_rng(11)
    t = np.arange(0.0, 60.0, 0.05)
    wanted = np.where(t < 30.0, 300.0, 800.0)
    rail = wanted - np.where(t < 30.0, 0.0, 500.0 * np.exp(-(t - 30.0) / 0.4)) + away(t) + rng.normal(0.0, 2.0, len(t))
    table = {"t [s]": t, "Rail pressure [bar]": rail, "Rail pressure target [bar]": wanted, **columns}
    rows = [",".join(f"{values[i]:.3f}" for values in table.values()) for i in range(len(t))]
    file = tmp_path / "drive.csv"
    file.write_text("\n".join([",".join(table), *rows]))
    return str(file)


def test_a_change_of_target_is_not_a_fault(tmp_path: Path) -> None:
    """While the new target is being reached actual is 500 bar away; that is what settle is for."""
    found = target(capture=drive(tmp_path, lambda t: 0.0 * t), band=BAND)
    assert [verdict.verdict for verdict in found.verdicts] == ["within", "within"]
    assert {finding.strength for finding in found.findings} == {"cleared"}


def test_where_it_parts_and_how_fast(tmp_path: Path) -> None:
    """From 45 s on 6 bar/s are lost: 20 bar are away 3.3 s later; means over 1 s lie beyond it from about 48 s on."""
    found = target(capture=drive(tmp_path, lambda t: -6.0 * np.maximum(t - 45.0, 0.0)), band=BAND)
    assert [verdict.verdict for verdict in found.verdicts] == ["within", "outside"]
    assert found["parts_at"].value == pytest.approx(45.0 + 20.0 / 6.0 - 0.5, abs=0.5)


def test_pressure_too_low_while_less_is_asked_for_is_the_controls_side(tmp_path: Path) -> None:
    """Outlet valve: more current raises pressure. Its current falls while pressure stays 50 bar too low."""
    falling = np.linspace(1.2, 0.6, 1200)
    file = drive(tmp_path, lambda t: np.full(len(t), -50.0), **{"Pressure control valve current [A]": falling})
    assert shown(capture=file, band=BAND) == {("generation", "control"): "undecided"}


def test_pressure_too_high_while_more_is_asked_for_is_the_controls_side(tmp_path: Path) -> None:
    """The same valve: its current rises while pressure stands 50 bar too high."""
    rising = np.linspace(0.6, 1.2, 1200)
    file = drive(tmp_path, lambda t: np.full(len(t), 50.0), **{"Pressure control valve current [A]": rising})
    assert shown(capture=file, band=BAND)["generation", "control"] == "undecided"


def test_a_supply_within_its_uncertainty_of_the_limit_is_told_as_open() -> None:
    found = target(actual="291 ± 1 bar", target="320 ± 0 bar", band=BAND, supply="3.0 ± 0.3 bar", supply_limit=">= 3 bar")
    (supply,) = [finding for finding in found.findings if finding.stage == "supply"]
    assert supply.strength == "undecided" and str(supply.statement) == (
        "Whether the supply pressure of 3.00 bar is within at least 3 bar cannot be told."
    )


def test_a_duty_that_asks_for_no_current_accuses_no_coil(tmp_path: Path) -> None:
    """At a duty of 2 % hardly any current is due: below a twentieth nobody says that a coil is not driven."""
    file = logged(tmp_path, np.full(600, 2.0), np.full(600, 0.004), np.full(600, 75.0), "Druckregelventil")
    assert not any("not driven" in str(finding.statement) for finding in target(capture=file, band=BAND).findings)


def followed(folder: Path, wanted: np.ndarray) -> str:
    """At 10 Hz, actual 5 bar below its target."""
    rows = [f"{at / 10:.1f},{one - 5.0:.1f},{one:.1f}" for at, one in enumerate(wanted)]
    file = folder / "log.csv"
    file.write_text("\n".join(["t [s],Rail pressure [bar],Rail pressure target [bar]", *rows]))
    return str(file)


def test_a_log_that_tells_no_point_is_refused(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="has fewer than 8 rows with both pressures; log for longer"):
        target(capture=followed(tmp_path, np.full(5, 300.0)), band=BAND)
    with pytest.raises(InputError, match="has no stretch in which the target stands still for long enough"):
        target(capture=followed(tmp_path, np.linspace(300.0, 3000.0, 100)), band=BAND)


def test_of_many_points_the_worst_are_shown(tmp_path: Path) -> None:
    """Twenty targets of 4 s each, in turn 300 and 600 bar: twelve are shown, and that is said."""
    found = target(capture=followed(tmp_path, np.repeat([300.0, 600.0] * 10, 40)), band=BAND, settle="1 s", lasting="1 s")
    shown_ = [one for one in found.vector("deviation") if one]
    assert len(shown_) == 12 and [one.value for one in shown_] == pytest.approx([-5.0] * 12)
    assert any("12" in str(note) or "worst" in str(note) for note in found.notes)


def test_the_engines_stop_is_no_fault(tmp_path: Path) -> None:
    """Rows with the engine at rest do not count, nor the second before."""
    t = np.arange(0.0, 60.0, 0.05)
    speed = np.where(t < 50.0, 800.0, np.maximum(800.0 - 1600.0 * (t - 50.0), 0.0))
    file = drive(
        tmp_path, lambda t: np.where(t < 50.0, 0.0, -np.minimum(800.0, 200 * (t - 50.0))), **{"Engine speed [rpm]": speed}
    )
    found = target(capture=file, band=BAND)
    assert [verdict.verdict for verdict in found.verdicts] == ["within", "within"]


def test_the_usual_word_of_the_valve_can_be_turned_round(tmp_path: Path) -> None:
    """The other kind of inlet valve is shut without current: more current asks for more."""
    rising = np.linspace(0.6, 1.2, 1200)
    file = drive(tmp_path, lambda t: np.full(len(t), -50.0), **{"Inlet valve current [A]": rising})
    assert target(capture=file, band=BAND).outputs["demand"] == "less"
    assert target(capture=file, band=BAND, inlet_kind="shut").outputs["demand"] == "more"


def test_the_command_in_german(command: Callable[..., Any]) -> None:
    done = command("target", "--actual", "291 bar", "--target", "320 bar", "--band", BAND, "--language", "de")
    assert (
        done.code == 0 and "außerhalb" in done.out and "Ob die Steuerung eine Korrektur verlangt" in " ".join(done.out.split())
    )
    assert "target" in {listed.name for listed in registry().listed()}


ROWS = np.arange(600)


def logged(folder: Path, duty: np.ndarray, current: np.ndarray, actual: np.ndarray, label: str) -> str:
    """Twelve seconds, the target at 100, then at 300 bar; German labels, decimal comma."""
    rng = np.random.default_rng(5)
    rows = [f"Zeit [ms];Raildruck Ist [bar];Raildruck Soll [bar];{label} Tastverhältnis [%];{label} Strom [A]"]
    for at, (d, i, p) in enumerate(zip(duty, current, actual, strict=True)):
        wanted = 300.0 if at >= 200 else 100.0
        cells = (f"{at * 20:d}", f"{p + rng.normal(0, 0.5):.1f}", f"{wanted:.1f}", f"{d + rng.normal(0, 0.05):.2f}",
                 f"{i + rng.normal(0, 0.005):.3f}")  # fmt: skip
        rows.append(";".join(cells).replace(".", ","))
    file = folder / "fahrt.csv"
    file.write_text("\n".join(rows), encoding="utf-8")
    return str(file)


def test_a_valve_without_current_is_told_before_what_the_control_asks(tmp_path: Path) -> None:
    """Truth: the outlet valve's circuit is open; pressure stays low, whatever is asked."""
    file = logged(tmp_path, np.full(600, 40.0), np.full(600, 0.004), 75.0 + 0.0 * ROWS, "Druckregelventil")
    (one,) = target(capture=file, band=BAND).findings
    assert (one.stage, one.side, one.strength) == ("storage", "control", "indicated")
    assert "its coil is not driven" in one.statement


def test_a_duty_that_stands_at_its_own_end_asks_for_all(tmp_path: Path) -> None:
    """Truth: a leak; the control went up to an end of its own at 40 % and can do no more. It is not the control."""
    duty = np.where(ROWS < 200, 20.0, 40.0)
    file = logged(tmp_path, duty, 4.0 * duty / 100, np.where(ROWS < 200, 100.0, 75.0), "Druckregelventil")
    found = target(capture=file, band=BAND)
    assert found.outputs["demand"] == "most"
    (one,) = found.findings
    assert (one.side, one.strength) == ("hydraulic", "undecided") and "the most that it does in this log" in one.statement


def test_a_duty_that_never_moved_is_no_end(tmp_path: Path) -> None:
    file = logged(tmp_path, np.full(600, 25.0), np.full(600, 1.0), np.full(600, 75.0), "Druckregelventil")
    assert target(capture=file, band=BAND).outputs["demand"] == "same"


def test_an_inlet_valve_that_stands_at_its_end_and_does_not_get_pressure_off(tmp_path: Path) -> None:
    """Truth: it lets through at rest; more current of the usual kind restricts, so its highest duty asks for the least."""
    duty = np.where(ROWS < 200, 20.0, 50.0)
    file = logged(tmp_path, duty, 4.0 * duty / 100, np.where(ROWS < 200, 100.0, 420.0), "Zumesseinheit")
    found = target(capture=file, band=BAND)
    assert found.outputs["demand"] == "least" and found.findings[0].side == "hydraulic"


def test_one_signal_in_each_row_is_read(tmp_path: Path) -> None:
    """Live data come one after the other; each stands until its next."""
    rows = ["Time [s];Rail pressure [bar];Rail pressure target [bar];Engine speed [rpm]"]
    for n in range(300):
        values = (f"{302 + n % 3};;", ";300;", ";;805")
        rows += [f"{0.15 * n + 0.03 * place:.2f};{value}" for place, value in enumerate(values)]
    file = tmp_path / "in_turn.csv"
    file.write_text("\n".join(rows))
    found = target(capture=str(file), band=BAND)
    assert found.outputs["deviation"][0].value == pytest.approx(3.0, abs=0.2)
    assert found.verdicts[0].verdict == "within" and found.findings[0].strength == "cleared"


def test_a_pressure_that_is_missing_for_long_clears_nothing(tmp_path: Path) -> None:
    rows = ["Time [s];Rail pressure [bar];Rail pressure target [bar];Engine speed [rpm]"]
    rows += [f"{0.1 * n:.1f};{302 if n < 60 else ''};300;805" for n in range(300)]
    file = tmp_path / "drops_out.csv"
    file.write_text("\n".join(rows))
    (one,) = target(capture=str(file), band=BAND).findings
    assert (one.stage, one.side, one.strength) == ("storage", "control", "undecided")
    assert "23.9 s of the log there is no pressure" in str(one.statement) or "24" in str(one.statement)


def test_a_starved_pump_that_still_meets_its_target_is_found_at_the_supply() -> None:
    (one,) = target(actual=["302 bar"], target=["300 bar"], band=BAND, supply="1 ± 0.1 bar", supply_limit="3 to 7 bar").findings
    assert (one.stage, one.strength) == ("supply", "indicated") and "starved" in str(one.statement)


def test_a_supply_limit_that_judged_nothing_is_told(tmp_path: Path) -> None:
    """Neither a table without a supply pressure nor a capture without its column is silent about it."""
    table = target(actual="290 ± 2 bar", target="300 ± 0 bar", band="-25 to 25 bar", supply_limit="3 to 7 bar")
    assert any("No supply pressure was given: its limit judged nothing" in str(note) for note in table.notes)
    file = tmp_path / "log.csv"
    rows = (f"{n / 10},300,300,800,5.5" for n in range(100))
    file.write_text("\n".join(["Time [s],Rail pressure [bar],Rail pressure setpoint [bar],Engine speed [rpm],P7 [bar]", *rows]))
    unnamed = target(capture=str(file), band="-25 to 25 bar", supply_limit="3 to 7 bar")
    assert any('--column low="…"' in str(note) for note in unnamed.notes)
    named = target(capture={"file": str(file), "columns": {"low": "P7"}}, band="-25 to 25 bar", supply_limit="3 to 7 bar")
    assert not any("judged nothing" in str(note) for note in named.notes) and "supply_pressure" in named.outputs
