"""The hold test as a technician types it."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from baybook import calculate
from baybook.api import InputError

CAPTURES = Path(__file__).parent.parent / "captures" / "data"
TWO = {"start": "1100 bar", "end": "600 bar", "time": "20 s", "volume": "25 ± 1 mL", "temperature": "43 ± 3 °C"}
LANTERN = (
    "hold", "--capture", CAPTURES / "lantern_hold.csv", "--column", "rail=Fuel rail pressure actual", "--volume", "19 ± 5 % mL",
    "--temperature", "52 ± 3 °C", "--ambient", "12 °C", "--density", "840 ± 2 kg/m3", "--zero-uncertainty", "1 MPa",
    "--reference", "80 MPa", "--limit", "<= 1 mL/min; the invented workshop",
)  # fmt: skip


def test_two_readings_give_all_the_named_outputs() -> None:
    found = calculate("hold", **TWO)
    assert set(found.outputs) == {"leak_at_line", "leak_collected", "bulk_modulus", "equivalent_orifice", "cooling_drop", "law"}
    assert found.outputs["law"] == "unknown"
    assert found["leak_at_line"].low < found["leak_at_line"].value < found["leak_at_line"].high
    assert found["leak_collected"].value > found["leak_at_line"].value


def test_units_of_the_inputs_do_not_matter() -> None:
    """The same hold in MPa, psi, minutes and Fahrenheit."""
    here = calculate("hold", **TWO)
    there = calculate(
        "hold", start="110 ± 0.05 MPa", end="8702.264 ± 7.2518869 psi", time="0.33333333 ± 0.0083333333 min",
        volume="25000 ± 1000 mm3", temperature="109.4 ± 5.4 °F",
    )  # fmt: skip
    same = calculate("hold", **{**TWO, "start": "1100 ± 0.5 bar", "end": "600 ± 0.5 bar", "time": "20 ± 0.5 s"})
    assert there["leak_at_line"].value == pytest.approx(same["leak_at_line"].value, rel=1e-6)
    assert here["leak_at_line"].value == pytest.approx(same["leak_at_line"].value, rel=1e-3)


@pytest.mark.parametrize(
    ("limit", "verdict", "strength"),
    [
        ("<= 6 mL/min", "within", "cleared"),
        ("<= 0.5 mL/min", "outside", "indicated"),
        ("<= 1.85 mL/min", "undecided", "undecided"),
    ],
)
def test_a_limit_gives_a_verdict_and_a_finding(limit: str, verdict: str, strength: str) -> None:
    found = calculate("hold", **TWO, limit=limit, outlet_valve="none")
    assert [v.verdict for v in found.verdicts] == [verdict]
    assert [(f.stage, f.side, f.strength) for f in found.findings] == [("storage", "hydraulic", strength)]
    assert found.findings[0].next_test


@pytest.mark.parametrize(
    ("limit", "line"),
    [
        (">= 6 mL/min", "has a lower end; give the largest value alone, such as max 6 mL/min"),
        ("2 to 6 mL/min", "has a lower end; give the largest value alone, such as max 6 mL/min"),
        ("<= -5 mL/min", "is not possible here; give limits above 0 mL/min, such as max 6 mL/min"),
        ("<= 0 L/h", "is not possible here; give limits above 0 mL/min, such as max 6 mL/min"),
    ],
)
def test_a_limit_that_is_no_largest_leak_is_refused(limit: str, line: str) -> None:
    with pytest.raises(InputError) as refusal:
        calculate("hold", **TWO, limit=limit)
    assert str(refusal.value) == f'limit: "{limit}" {line}'


def test_a_tight_capture_is_within_and_called_none(command: Callable[..., Any]) -> None:
    ran = command(*LANTERN, "--json")
    told = json.loads(ran.out)
    assert ran.code == 0
    assert told["outputs"]["law"]["value"] == "none"
    assert told["outputs"]["leak_collected"]["low"] == 0.0
    assert told["outputs"]["leak_collected"]["high"] < 0.2
    assert told["verdicts"][0]["verdict"] == "within"
    assert told["verdicts"][0]["probability"] > 0.99
    assert "exponent" not in told["outputs"]
    assert any("does not resolve a leak" in note["text"] for note in told["notes"])


def test_the_worst_caution_is_the_last_line(command: Callable[..., Any]) -> None:
    """Beside an answer one line is read, all of them every time are not; in full they stand before the measuring."""
    assert command(*LANTERN).out.splitlines()[-2].startswith("DANGER: Fuel at rail pressure goes through skin")


def test_a_capture_carries_plots_of_data_fit_and_what_is_left() -> None:
    found = calculate(
        "hold", capture={"file": str(CAPTURES / "lantern_hold.csv"), "columns": {"rail": "Fuel rail pressure actual"}},
        volume="19 ± 1 mL", temperature="52 ± 3 °C",
    )  # fmt: skip
    held, left = found.plots
    assert [series.label for series in held.series] == ["read", "fitted", "the same rail without its leak"]
    assert [series.style for series in left.series] == ["band", "points"]
    assert len({len(series.x) for plot in found.plots for series in plot.series}) == 1


def test_a_window_is_cut_where_the_user_says(tmp_path: Path) -> None:
    """Ten seconds of plateau before: with begin the same answer as with the hold alone."""
    t = np.arange(0.0, 40.0, 0.05)
    p = np.where(t < 10.0, 100.0, 100.0 * np.exp(-(t - 10.0) / 45.0))
    p = np.round(p + 0.05 * np.random.default_rng(1).standard_normal(len(t)), 2)
    whole, alone = tmp_path / "whole.csv", tmp_path / "alone.csv"
    for path, keep in ((whole, t >= 0.0), (alone, t >= 10.0)):
        rows = "".join(f"{a:.2f},{b:.2f}\n" for a, b in zip(t[keep], p[keep], strict=True))
        path.write_text("t [s],rail [MPa]\n" + rows, encoding="utf-8")
    known = {"volume": "25 ± 1 mL", "temperature": "45 ± 2 °C"}
    cut = calculate("hold", capture=str(whole), begin="10 s", **known)
    expected = calculate("hold", capture=str(alone), **known)
    assert cut["leak_at_line"].value == pytest.approx(expected["leak_at_line"].value, rel=1e-6)
    found = calculate("hold", capture=str(whole), **known)
    assert found["leak_at_line"].value == pytest.approx(expected["leak_at_line"].value, rel=0.02)
    assert any("until then pressure rose or was kept up" in note for note in found.notes)


def test_many_readings_by_hand_are_fitted() -> None:
    """Nine readings of a fall like TWO's: the same leak, with a narrower interval than two readings give."""
    times = [0, 2.5, 5, 7.5, 10, 12.5, 15, 17.5, 20]
    bar = [1100.0 - 500.0 * (1.0 - np.exp(-t / 25.0)) / (1.0 - np.exp(-20.0 / 25.0)) for t in times]
    many = calculate(
        "hold", pressures="; ".join(f"{b:.0f} ± 1 bar" for b in bar), times="; ".join(f"{t} s" for t in times),
        volume="25 ± 1 mL", temperature="43 ± 3 °C",
    )  # fmt: skip
    two = calculate("hold", **TWO)
    assert many["leak_at_line"].low < two["leak_at_line"].value < many["leak_at_line"].high
    assert many["leak_at_line"].u < 1.1 * two["leak_at_line"].u


def test_what_is_known_of_the_fuel_narrows_the_answer() -> None:
    """A measured density makes the stiffness better known."""
    vague, known = calculate("hold", **TWO), calculate("hold", **TWO, density="834 ± 1 kg/m3")
    assert known["bulk_modulus"].u < vague["bulk_modulus"].u
    assert calculate("hold", **TWO, fuel="paraffinic")["leak_at_line"].value > vague["leak_at_line"].value


@pytest.mark.parametrize(
    ("change", "lines"),
    [
        ({"end": "1200 bar"}, [
            'end: "1200 bar" is above the start, 1100 bar, by more than their uncertainty; give the later, lower reading',
        ]),
        ({"end": None, "time": None}, [
            "end: is missing; give it, such as 600 bar, or a capture",
            "time: is missing; give it, such as 30 s, or a capture",
        ]),
        ({"end": "0.2 bar", "back_pressure": "30 bar"}, [
            'end: "0.2 bar" is below the back pressure, 30 bar, by more than their uncertainty; check both; a rail that fell '
            "to zero has the back pressure left",
        ]),
        ({"temperature": "400 °C", "reference": "9000 bar"}, [
            'temperature: "400 °C" is not possible here; give a value of at most 150 °C',
            'reference: "9000 bar" is not possible here; give a value of at most 2490 bar',
        ]),
        ({"start": "350 s", "volume": "-1 mL"}, None),
        ({"fuel": "lamp oil"}, None),
    ],
)  # fmt: skip
def test_wrong_inputs_are_said_all_at_once_one_line_each(change: dict[str, str | None], lines: list[str] | None) -> None:
    given = {name: text for name, text in {**TWO, **change}.items() if text is not None}
    with pytest.raises(InputError) as caught:
        calculate("hold", **given)
    if lines is None:
        assert len(str(caught.value).splitlines()) == len(change)
    else:
        assert str(caught.value).splitlines() == lines


def test_readings_and_a_capture_do_not_go_together() -> None:
    with pytest.raises(InputError, match="start and capture are both given"):
        calculate("hold", **TWO, capture="x.csv")


FALLING = "100 bar; 90 bar; 80 bar; 70 bar; 60 bar; 50 bar; 45 bar; 40 bar"
RISING = "40 bar; 50 bar; 60 bar; 70 bar; 80 bar; 90 bar; 95 bar; 99 bar"
EIGHT = "1 s; 2 s; 3 s; 4 s; 5 s; 6 s; 7 s; 8 s"


@pytest.mark.parametrize(
    ("extra", "why"),
    [
        ({"begin": "2 s"}, "window_start: goes with capture, which is not given"),
        ({"until": "100 bar"}, "until: goes with pressures or capture"),
    ],
)
def test_what_belongs_to_another_way_is_not_passed_over(extra: dict[str, str], why: str) -> None:
    with pytest.raises(InputError, match=why):
        calculate("hold", **TWO, **extra)


@pytest.mark.parametrize(
    ("pressures", "times", "why"),
    [
        (FALLING, EIGHT + "; 9 s", "9 readings for 8 pressures"),
        (FALLING, EIGHT.replace("7 s; 8 s", "8 s; 7 s"), "do not rise"),
        (RISING, EIGHT, "rises from its begin to its end"),
        (
            "3000 bar; 2900 bar; 2800 bar; 2700 bar; 2650 bar; 2600 bar; 2580 bar; 2570 bar",
            EIGHT,
            "runs from 3000 to 2570 bar; give a window within 1 to",
        ),
        (
            "90 bar; 70 bar; 55 bar; 40 bar; 30 bar; 20 bar; 12 bar; 2 bar; 0.4 bar; 0.3 bar; 0.2 bar",
            EIGHT + "; 9 s; 10 s; 11 s",
            "runs from 90 to 0.2 bar; give a window within 1 to",
        ),
    ],
)
def test_readings_by_hand_that_cannot_be_are_refused(pressures: str, times: str, why: str) -> None:
    with pytest.raises(InputError, match=why):
        calculate("hold", pressures=pressures, times=times, volume="25 mL")


def falling_log(folder: Path, label: str, above: float = 0.0) -> str:
    """30 s at 10 Hz, 800 bar gauge that fall with a time constant of 60 s."""
    t = np.arange(0.0, 30.0, 0.1)
    p = 800.0 * np.exp(-t / 60.0) + above + np.random.default_rng(4).normal(0.0, 0.5, len(t))
    path = folder / "log.csv"
    path.write_text(f"t [s],{label}\n" + "".join(f"{a:.1f},{b:.3f}\n" for a, b in zip(t, p, strict=True)), encoding="utf-8")
    return str(path)


def test_an_absolute_sensor_reads_an_atmosphere_more_and_gives_the_same(tmp_path: Path) -> None:
    """1.01325 bar: the standard atmosphere (ISO 2533)."""
    read = {"volume": "25 ± 1 mL", "until": "200 bar"}
    gauge = calculate("hold", capture=falling_log(tmp_path, "Rail [bar]"), **read)
    absolute = calculate("hold", capture=falling_log(tmp_path, "Rail [bar abs]", 1.01325), **read)
    assert absolute["mean_pressure"].value == pytest.approx(gauge["mean_pressure"].value, abs=0.01)
    assert absolute["leak_at_line"].value == pytest.approx(gauge["leak_at_line"].value, rel=0.02)
    until = gauge["time_until"].to("s")
    assert (
        until.low < 60.0 * np.log(800.0 / 200.0) < until.high + 10.0
    )  # 83.2 s were the fall the same time constant throughout


def test_a_window_of_few_samples_is_too_few(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="has 6 samples in the hold; at least 8 are needed"):
        calculate("hold", capture=falling_log(tmp_path, "Rail [bar]"), window_start="10 s", window_end="10.5 s", volume="25 mL")


def test_a_capture_that_holds_nothing_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "rise.csv"
    path.write_text("t [s],rail [MPa]\n" + "".join(f"{i / 10},{10 + i / 10}\n" for i in range(200)), encoding="utf-8")
    with pytest.raises(InputError, match="has no pressure-decay segment"):
        calculate("hold", capture=str(path), volume="25 mL")


def test_every_sentence_keeps_hands_away() -> None:
    """No text tells anyone to open a line, feel for a leak or unplug a control."""
    from baybook_plugins.hold.calculator import hold
    from baybook_plugins.hold.result import findings

    next_tests = [text for name, text in vars(findings).items() if name.startswith("NEXT_")]
    assert len(next_tests) > 9
    text = (
        " ".join(
            [*hold.procedure, *hold.needs, *next_tests]
            + [part for m in hold.meanings for part in (m.seen, m.says, m.next_test)]
        )
        .lower()
        .replace("never loosen", "never")
    )  # a warning is no order
    for word in ("loosen", "feel", "unplug", "crack", "open the", "bleed"):
        assert word not in text
    assert "never by hand" in text
