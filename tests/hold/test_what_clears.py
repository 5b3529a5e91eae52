"""What a hold may clear and what it may not: a running engine, a hardly filled rail, a reading that stands still."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from baybook import calculate
from baybook.api import InputError, Result
from baybook.language import language
from baybook_plugins.hold.capture import seen
from baybook_plugins.hold.capture import window as bounds
from baybook_plugins.hold.capture.recording import Held
from baybook_plugins.hold.capture.window import Window

KNOWN = {"volume": "25 ± 1 mL", "temperature": "45 ± 3 °C", "outlet_valve": "none"}
FALL = {"start": "1000 bar", "end": "880 bar", "time": "30 s", "fall_limit": "at most 100 bar", "after": "30 s"}


def capture(path: Path, t: np.ndarray, bar: np.ndarray, rpm: np.ndarray | None = None) -> str:
    """A file of time, rail pressure and, where given, the engine's speed."""
    columns: list[Sequence[float]] = [t.tolist(), bar.tolist(), *([] if rpm is None else [rpm.tolist()])]
    head = "t [s],rail [bar]" + ("" if rpm is None else ",engine speed [rpm]")
    rows = (",".join(f"{value:.2f}" for value in row) for row in zip(*columns, strict=True))
    path.write_text("\n".join([head, *rows]) + "\n", encoding="utf-8")
    return str(path)


def idle(seed: int = 3) -> tuple[np.ndarray, np.ndarray]:
    """60 s at 300 bar, kept up by the pump with its ripple."""
    t = np.arange(0.0, 60.0, 0.05)
    return t, 300.0 + 3.0 * np.random.default_rng(seed).standard_normal(len(t))


def test_what_a_capture_alone_brings_up_is_told_in_german() -> None:
    window = Window(0, 9, bounds.ENGINE_STOPPED, bounds.ENGINE_TURNED, 1.0, 9.0, others=1)
    told = list(seen.cut_notes(Held(np.arange(9.0), np.arange(9.0), window, turning=True, unseen=True)))
    assert len(told) == 4
    told += [window.begins, window.ends, seen.KEPT_UP, seen.NEXT_STOP, seen.NEXT_CUT]
    german = language("de", ("baybook_plugins.hold",))
    assert [text for text in told if text.text(german) == text] == []
    assert told[0].text(german).endswith("von 1 s (der Motor kam zum Stillstand) bis 9 s (danach drehte der Motor).")


def finding(result: Result) -> tuple[str, str]:
    """Strength and statement of the only finding."""
    (found,) = result.findings
    return found.strength, str(found.statement)


@pytest.mark.parametrize("cut", [{}, {"begin": "5 s", "finish": "55 s"}])
def test_a_running_engine_is_no_hold(cut: dict[str, str], tmp_path: Path) -> None:
    t, bar = idle()
    file = capture(tmp_path / "idle.csv", t, bar, np.full(len(t), 800.0))
    with pytest.raises(InputError, match="the engine turns in every row"):
        calculate("hold", capture=file, **KNOWN, **cut)


@pytest.mark.parametrize("limit", [{}, {"limit": "<= 1 mL/min"}])
def test_a_pressure_that_may_be_kept_up_clears_nothing(limit: dict[str, str], tmp_path: Path) -> None:
    """The same without the engine's speed: no verdict, no chance, and the next test is a capture that shows the stop."""
    t, bar = idle()
    found = calculate("hold", capture=capture(tmp_path / "idle.csv", t, bar), **KNOWN, **limit)
    strength, said = finding(found)
    assert strength == "undecided"
    assert "it may have been kept up" in said
    assert "begins before the stop" in found.findings[0].next_test
    assert [(v.verdict, v.probability) for v in found.verdicts] == [("undecided", None)] * len(limit)


def test_only_rows_with_the_engine_at_rest_are_taken(tmp_path: Path) -> None:
    """20 s of a running engine whose pressure is lowered as a leak would, then a hold of 40 s that loses 100 bar."""
    t = np.arange(0.0, 60.0, 0.05)
    bar = np.where(t < 20.0, 1600.0 - 30.0 * t, 1000.0 * np.exp(-(t - 20.0) / 380.0))
    bar = bar + 0.5 * np.random.default_rng(4).standard_normal(len(t))
    file = capture(tmp_path / "both.csv", t, bar, np.where(t < 20.0, 1500.0, 0.0))
    found = calculate("hold", capture=file, **KNOWN)
    assert found["mean_pressure"].to("bar").value == pytest.approx(950.0, abs=5.0)
    assert any("Rows in which the engine turned were left out" in note for note in found.notes)
    assert any("from 20 s (the engine came to rest)" in note for note in found.notes)


def test_of_two_holds_it_is_said_that_there_were_two(tmp_path: Path) -> None:
    """25 s and 30 s, with the engine between them; once with its speed, once without."""
    t = np.arange(0.0, 65.0, 0.05)
    first, second = 900.0 - 4.0 * t, 1000.0 * np.exp(-(t - 35.0) / 200.0)
    bar = np.where(t < 25.0, first, np.where(t < 35.0, 800.0 + 20.0 * (t - 25.0), second))
    bar = bar + 0.5 * np.random.default_rng(4).standard_normal(len(t))
    rpm = np.where((t >= 25.0) & (t < 35.0), 800.0, 0.0)
    for number, speed in enumerate((rpm, None)):
        found = calculate("hold", capture=capture(tmp_path / f"{number}.csv", t, bar, speed), **KNOWN)
        assert any("only falls in 2 stretches of this capture; the longest was taken" in note for note in found.notes)
        assert found["mean_pressure"].to("bar").value == pytest.approx(930.0, abs=10.0)


@pytest.mark.parametrize(
    ("start", "end", "reference"),
    [
        ("30 bar", "20 bar", None), ("30 bar", "20 bar", "1000 bar"), ("30 bar", "20 bar", "30 bar"),
        ("300 bar", "295 bar", "1600 bar"),
    ],
)  # fmt: skip
def test_a_hold_far_below_the_pressure_of_the_limit_clears_nothing(start: str, end: str, reference: str | None) -> None:
    at = {} if reference is None else {"reference": reference}
    found = calculate("hold", start=start, end=end, time="60 s", limit="<= 6 mL/min", **KNOWN, **at)
    strength, said = finding(found)
    assert strength == "undecided"
    assert "a leak that pressure opens does not show" in said
    assert any("At which pressure the limit is stated was not said" in note for note in found.notes) == (reference is None)


def test_a_hold_near_the_pressure_of_the_limit_still_clears() -> None:
    found = calculate("hold", start="1000 bar", end="950 bar", time="60 s", limit="<= 2 mL/min", reference="1600 bar", **KNOWN)
    assert finding(found)[0] == "cleared"


def test_chance_and_interval_of_cooling_come_from_the_same_draws() -> None:
    """A fall above the 97.5 % point of what cooling does is explained by cooling with less than 2.5 %; and the fall being
    outside, so is the finding."""
    found = calculate("hold", **FALL, outlet_valve="none")
    assert found["cooling_drop"].to("bar").high < 120.0
    (note,) = [note for note in found.notes if "this rail is tight and cooling made the whole fall" in note]
    assert float(note.split("chance of ")[1].split(" %")[0]) <= 2.5
    assert found.verdicts[0].verdict == "outside"
    strength, said = finding(found)
    assert strength == "indicated"
    assert "by more than the limit allows" in said


@pytest.mark.parametrize(
    ("more", "asked"),
    [
        ({"fall_limit": "at most 120 bar", "after": "30 s"}, ("pressure more finely",)),
        ({"limit": "<= 0.15 mL/min", "volume": "25 ± 1 mL"}, ("temperature", "volume", "longer")),
        ({"limit": "<= 0.15 mL/min", "volume": "25 ± 1 mL", "end_temperature": "40 ± 1 °C"}, ("volume", "longer")),
        ({"end_temperature": "40 ± 1 °C"}, ("longer",)),
    ],
)
def test_the_next_test_asks_for_nothing_that_was_given_or_is_not_needed(more: dict[str, str], asked: tuple[str, ...]) -> None:
    given = {"start": "1000 bar", "end": "880 bar", "time": "30 s", "temperature": "40 ± 2 °C", "outlet_valve": "none"}
    found = calculate("hold", **given, **more)
    assert finding(found)[0] == "undecided"
    words = ("pressure more finely", "temperature", "volume", "longer")
    assert tuple(word for word in words if word in found.findings[0].next_test) == asked


def test_where_nothing_fell_that_is_said_and_that_the_reading_may_be_stuck() -> None:
    found = calculate("hold", start="800 bar", end="800 bar", time="30 s", **KNOWN)
    assert finding(found) == ("undecided", "nothing fell: no leak shows, or the reading is stuck")
    assert not any("cooling made the whole fall" in note or "explains the fall" in note for note in found.notes)
    limited = calculate("hold", start="800 bar", end="800 bar", time="30 s", **KNOWN, limit="<= 1 mL/min")
    assert "if the reading is not stuck" in finding(limited)[1]


def test_a_pressure_that_moves_like_no_shut_rail_is_to_be_cut(tmp_path: Path) -> None:
    """A straight fall to nothing: no chance is told, and the next test is a cut."""
    t = np.arange(0.0, 29.0, 0.05)
    bar = 1000.0 * (1.0 - t / 30.0) + np.random.default_rng(1).standard_normal(len(t))
    cut = {"window_start": "0 s", "window_end": "28 s"}
    found = calculate("hold", capture=capture(tmp_path / "odd.csv", t, bar), **KNOWN, **cut, limit="<= 1 mL/min")
    assert [(v.verdict, v.probability) for v in found.verdicts] == [("undecided", None)]
    strength, said = finding(found)
    assert strength == "undecided"
    assert "no shut rail" in said
    assert "window_start and window_end" in found.findings[0].next_test


def test_an_empty_rail_fails_a_limit_in_pressure() -> None:
    """The clearest failure; but a flow is not said, since nobody saw when it was empty. What was left sooner is at most what a
    rail that became empty only then had left."""
    given: dict[str, Any] = {"start": "1000 bar", "end": "0 bar", "time": "60 s", **KNOWN}
    found = calculate("hold", **given, pressure_limit=">= 850 bar", after="60 s")
    assert found.verdicts[0].verdict == "outside"
    assert finding(found)[0] == "indicated"
    assert found.warnings == ()
    assert "leak_at_line" not in found.outputs
    sooner = calculate("hold", **given, pressure_limit=">= 850 bar", after="30 s")
    assert sooner.verdicts[0].verdict == "outside"
    assert "at most" in str(sooner.verdicts[0].bound)
    open_below = calculate("hold", **given, pressure_limit=">= 10 bar", after="5 s")
    assert open_below.verdicts[0].verdict == "undecided"


COLLAPSE = {"start": "130 bar", "time": "1 s", "volume": "35 ± 4 mL", "reference": "100 bar", "temperature": "60 ± 10 °C"}


@pytest.mark.parametrize("end", ["2 bar", "0 bar"])
def test_a_rail_that_collapses_is_outside_by_the_least_that_it_lost(end: str) -> None:
    """Q >= V dp/(K t): 35 mL, 13 MPa, K of 1.0 to 1.9 GPa (diesel, 60 °C), 0.5 to 1.5 s: no less than 9 mL/min at the mean."""
    found = calculate("hold", **COLLAPSE, end=end, limit="max 4 mL/min; sheet", outlet_valve="none")
    (verdict,) = found.verdicts
    assert verdict.verdict == "outside"
    assert verdict.probability is not None and verdict.probability < 0.01
    least = float(str(verdict.bound).removeprefix("at least ").split()[0])
    assert 9.0 < least < 100.0
    assert finding(found)[0] == "indicated"
    assert "for longer" not in found.findings[0].next_test
    (answer,) = found.answers
    assert answer.conforms < 0.01
    assert answer.brings["flow that the high-pressure side loses"] == pytest.approx(least, rel=0.1)


def test_a_least_that_the_limit_allows_stays_open_and_asks_for_a_sooner_reading() -> None:
    """Emptied within an hour: how quickly, nobody saw."""
    found = calculate("hold", **{**COLLAPSE, "time": "1 h"}, end="0 bar", limit="max 4 mL/min", outlet_valve="none")
    assert found.verdicts[0].verdict == "undecided"
    assert "read sooner" in found.findings[0].next_test
    assert "for longer" not in found.findings[0].next_test


def test_without_a_limit_the_least_is_said() -> None:
    found = calculate("hold", **COLLAPSE, end="0 bar", outlet_valve="none")
    assert any("leak, as collected: at least" in str(line) for line in found.warnings)


def test_a_fall_that_was_read_is_told_as_read() -> None:
    found = calculate("hold", start="1000 bar", end="900 bar", time="60 s", fall_limit="<= 120 bar", after="60 s")
    assert found["fall_after"].to("bar").value == pytest.approx(100.0, abs=1e-9)
    assert found["pressure_after"].to("bar").value == pytest.approx(900.0, abs=1e-9)
