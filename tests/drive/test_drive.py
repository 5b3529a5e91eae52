"""The current of a driven coil: readings with published answers, waveforms of a solved circuit, live data of known coils."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from baybook.api import InputError
from baybook.language import language
from baybook.testing import conformance
from baybook_plugins.drive.calculator import drive
from baybook_plugins.drive.findings import SAYS

DATA = Path(__file__).parents[1] / "captures" / "data"
VALVE = {"part": "inlet-valve", "supply": "13.5 ± 0 V", "diode": "0.7 ± 0 V"}

test_conformance = conformance(drive)


def test_resistance_from_duty_supply_and_mean_current() -> None:
    """(0.25 · 13.5 - 0.75 · 0.7)/0.950 = 3 ohm; at 60 °C that is 2.5925 ohm at 20 °C (copper handbooks). Plain arithmetic."""
    found = drive(duty="25 ± 0 %", mean_current="0.950 ± 0 A", temperature="60 ± 0 °C", **VALVE)
    assert found["circuit_resistance"].value == pytest.approx(3.0)
    assert found["resistance_at_20"].value == pytest.approx(3.0 * 254.5 / 294.5)


def test_another_unit_and_a_decimal_comma_change_nothing() -> None:
    one = drive(duty="25 %", mean_current="0.950 A", **VALVE)["circuit_resistance"]
    other = drive(duty="0,25 1", mean_current="950 mA", **VALVE)["circuit_resistance"]
    assert other.value == pytest.approx(one.value) and other.low == pytest.approx(one.low)


def test_where_the_way_of_the_current_is_not_known_both_ways_count() -> None:
    """A switch: 10 % of 13.8 V over 0.46 A is 3.0 ohm; a diode of 0.7 V: 1.63 ohm. Of 2.7 to 3.3 ohm nothing is said."""
    given = {"part": "outlet-valve", "duty": "10 ± 0.1 %", "mean_current": "0.46 ± 0.005 A", "supply": "13.8 ± 0.1 V",
             "temperature": "20 ± 2 °C", "resistance_limit": "2.7 to 3.3 ohm"}  # fmt: skip
    assert [verdict.verdict for verdict in drive(**given).verdicts] == ["undecided"]
    assert [verdict.verdict for verdict in drive(diode="0 ± 0.02 V", **given).verdicts] == ["within"]
    assert [verdict.verdict for verdict in drive(diode="0.7 ± 0.1 V", **given).verdicts] == ["outside"]


@pytest.mark.parametrize(
    ("file", "part", "limit"),
    [
        ("bramble_crank.csv", "inlet-valve", "2.9 to 3.5 ohm"),
        ("tallow_crank.csv", "outlet-valve", "2.7 to 3.3 ohm"),
        ("osprey_idle.csv.gz", "outlet-valve", "2.7 to 3.3 ohm"),
        ("osprey_idle.csv.gz", "inlet-valve", "2.9 to 3.5 ohm"),
    ],
)
def test_live_data_of_sound_coils_accuse_none(file: str, part: str, limit: str) -> None:
    """Truth: the coils of these captures are sound; their faults lie elsewhere."""
    found = drive(part=part, capture=str(DATA / file), supply="12.6 ± 0.8 V", temperature="30 ± 15 °C", resistance_limit=limit)
    assert "outside" not in [verdict.verdict for verdict in found.verdicts]
    assert {finding.side for finding in found.findings} == {"control"}


def written(folder: Path, time: np.ndarray, current: np.ndarray, noise: float = 0.01) -> str:
    """A log of a current clamp."""
    shown = current + np.random.default_rng(9).normal(0.0, noise, len(current))
    rows = [f"{t * 1e3:.5f},{i:.4f}" for t, i in zip(time, shown, strict=True)]
    file = folder / "clamp.csv"
    file.write_text("\n".join(["t [ms],Coil current [A]", *rows]))
    return str(file)


def valve(frequency: float = 200.0, step: float = 2e-5) -> tuple[np.ndarray, np.ndarray]:
    """13.5 V, 3 ohm, 15 mH, 25 %, diode 0.7 V, in exact steps from its periodic state."""
    time = np.arange(0.0, 0.1, step)
    current = np.empty(len(time))
    now = 0.54907
    for at, t in enumerate(time):
        current[at] = now
        target = (13.5 if (t * frequency + 1e-9) % 1 < 0.25 else -0.7) / 3.0
        now = target + (now - target) * np.exp(-step * 3.0 / 15e-3)
    return time, current


def injector(step: float = 1e-6) -> tuple[np.ndarray, np.ndarray]:
    """Two pulses: to 18 A from 50 V in 76.96 µs with 0.35 ohm and 0.20 mH, down to 11 A, held, clamped to zero at 65 V."""
    rising = np.arange(0.0, 76.96e-6, step)
    up = 50.0 / 0.35 * (1 - np.exp(-rising * 0.35 / 0.2e-3))
    settle = 18.0 + (11.0 - 18.0) * np.minimum(np.arange(200) / 100, 1.0)
    dying = np.arange(0.0, 60e-6, step)
    down = np.maximum((11.0 + 65.0 / 0.35) * np.exp(-dying * 0.35 / 0.2e-3) - 65.0 / 0.35, 0.0)
    one = np.concatenate([np.zeros(300), up, settle, np.full(400, 11.0), down, np.zeros(300)])
    current = np.concatenate([one, one])
    return np.arange(len(current)) * step, current


def test_a_pulsed_current_by_clamp(tmp_path: Path) -> None:
    """0.549 to 1.423 A, mean 0.950 A, 25 %, 200 Hz: published, exact periodic solution."""
    found = drive(capture=written(tmp_path, *valve(), noise=0.003), **VALVE, temperature="20 ± 1 °C")
    assert found["frequency"].value == pytest.approx(200.0, rel=2e-3)
    for name, value in (("duty", 25.0), ("lowest_current", 0.549), ("highest_current", 1.423), ("mean_current", 0.950)):
        assert found[name].value == pytest.approx(value, rel=0.02), name
    assert found["circuit_resistance"].low < 3.0 < found["circuit_resistance"].high


def test_single_pulses_by_clamp(tmp_path: Path) -> None:
    found = drive(part="injector", number=3, form="pulse", capture=written(tmp_path, *injector()), supply="50 ± 0.1 V",
                  peak_limit="17 to 19 A", hold_limit="1 to 9 A")  # fmt: skip
    assert found["peak_current"].value == pytest.approx(18.0, rel=0.01)
    assert found["hold_current"].value == pytest.approx(11.0, rel=0.01)
    assert found["inductance"].low < 0.2 < found["inductance"].high
    assert found["inductance"].value == pytest.approx(0.2, rel=0.05)
    assert {verdict.what: verdict.verdict for verdict in found.verdicts} == {
        "peak_current": "within",
        "hold_current": "outside",
    }
    assert [(finding.stage, finding.strength) for finding in found.findings] == [
        ("delivery", "cleared"),
        ("delivery", "indicated"),
    ]
    assert "Injector 3" in found.findings[1].statement
    assert any("No kink" in note for note in found.notes)


def test_too_coarse_a_log_is_refused_with_the_rate_that_would_do(tmp_path: Path) -> None:
    """A rise of 77 µs logged every 10 µs: 8 samples; 20 in 80 µs are 250 kHz."""
    time, current = injector()
    with pytest.raises(InputError) as refused:
        drive(part="injector", form="pulse", capture=written(tmp_path, time[::10], current[::10], noise=0.0))
    assert "too few for its shape" in refused.value.problems[0].why and "Hz or more" in refused.value.problems[0].hint
    time, current = valve()
    with pytest.raises(InputError, match="in a period, too few"):
        drive(part="inlet-valve", capture=written(tmp_path, time[::20], current[::20], noise=0.0))


@pytest.mark.parametrize(
    ("inputs", "wrong"),
    [
        ({"part": "inlet-valve"}, "mean_current"),
        ({"part": "inlet-valve", "capture": str(DATA / "bramble_crank.csv"), "duty": "20 %"}, "duty"),
        ({"part": "outlet-valve", "capture": str(DATA / "bramble_crank.csv")}, "capture"),
        ({"part": "injector", "capture": str(DATA / "bramble_crank.csv")}, "i_coil"),
        ({"part": "injector", "rise_time": "0.3 ms", "rise_current": "50 A", "supply": "13 V", "coil_resistance": "0.4 ohm"},
         "rise_current"),
    ],
)  # fmt: skip
def test_what_does_not_go_together_is_said(inputs: dict[str, Any], wrong: str) -> None:
    with pytest.raises(InputError) as refused:
        drive(**inputs)
    assert wrong in {problem.input for problem in refused.value.problems}


def test_every_reason_is_said_in_german() -> None:
    german = language("de", ("baybook_plugins.drive",))
    assert [says for says, _ in SAYS.values() if german.text(says) == says] == []


def test_the_command_in_german(command: Callable[..., Any]) -> None:
    read = ("--duty", "25 %", "--mean-current", "0.5 A", "--current-limit", "0.8 to 1.2 A")
    done = command("drive", "--part", "inlet-valve", *read, "--language", "de")
    assert done.code == 0 and "Zumessventil: mittlerer Strom" in done.out


def test_no_current_at_a_duty_is_told_without_any_limit() -> None:
    """An open circuit needs neither a range nor a temperature: 4 mA at 40 % is none (common practice, no source)."""
    (one,) = drive(part="outlet-valve", duty="40 %", mean_current="0.004 ± 0.001 A").findings
    assert (one.stage, one.side, one.strength) == ("storage", "control", "indicated")
    assert "no current flows where some is due" in one.statement
    assert drive(part="outlet-valve", duty="2 %", mean_current="0.004 ± 0.001 A").findings == ()


def test_a_limit_that_judges_nothing_says_so() -> None:
    """A limit of the resistance without supply and temperature was passed over in silence."""
    found = drive(part="inlet-valve", duty="40 %", mean_current="1.2 ± 0.1 A", resistance_limit="2.9 to 3.5 ohm")
    assert found.verdicts == () and any("judged nothing" in note for note in found.notes)


@pytest.mark.parametrize(
    ("given", "word"),
    [
        ({"form": "pulse", "peak_current": "0 A", "peak_limit": "17-21 A"}, "peak current of 0 A"),
        ({"form": "pulse", "peak_current": "0 A"}, "peak current of 0 A"),
        ({"form": "pulse", "peak_current": "0.2 A", "peak_limit": "17-21 A"}, "peak current of 0.2 A"),  # the clamp's zero
        ({"mean_current": "0A", "current_limit": "0.8 to 1.2 A"}, "mean current of 0 A"),
        ({"mean_current": "0A", "duty": "25 %", "supply": "13.5 V", "temperature": "60 °C"}, "0 A (± 0.5 assumed) at a duty"),
    ],
)
def test_a_dead_injector_is_found_and_not_refused(given: dict[str, str], word: str) -> None:
    """No current where some is due: open circuit or not driven (common practice, no source); no weak boost, no resistance."""
    result = drive(part="injector", number="3", **given)
    (one,) = result.findings
    assert (one.stage, one.side, one.strength) == ("delivery", "control", "indicated")
    assert (
        "Injector 3: " in one.statement and word in one.statement and "open coil, wire or plug, or not driven" in one.statement
    )
    assert one.next_test.startswith("engine stopped, rail seen to fall to zero, key off: ")
    assert {"circuit_resistance", "resistance_at_20"}.isdisjoint(result.outputs)
    assert result.answers and min(answer.conforms for answer in result.answers) <= 0.05


def test_a_weak_current_is_not_none_and_none_below_zero_is_typed() -> None:
    (one,) = drive(part="injector", form="pulse", peak_current="9 ± 0.2 A", peak_limit="17-21 A").findings
    assert "weak boost" in one.statement
    assert drive(part="injector", mean_current="0 A").findings == ()  # nothing says that some is due
    with pytest.raises(InputError, match="give a value of at least 0 A"):
        drive(part="injector", form="pulse", peak_current="-1 A")


TURNED = {"part": "outlet-valve", "duty": "70 %", "mean_current": "1.0 A", "supply": "13.9 V", "temperature": "60 °C"}


def test_a_duty_counted_the_other_way_round_indicates_nothing_until_it_is_settled() -> None:
    """70 % of high time on a wire switched to ground is 30 % on: (0.3 · 13.9 - 0.7 · 0.35)/1 = 3.9 ohm, at 60 °C, is 3.4 ohm at
    20 °C (circuit theory and the copper handbooks' rule, plain arithmetic, half of a diode's drop taken)."""
    limit = "2.9 to 3.5 ohm"
    asked = drive(**TURNED, resistance_limit=limit)
    (found,) = asked.findings
    assert found.strength == "undecided" and asked.verdicts[0].verdict == "undecided" and not asked.answers
    assert "on for 30 % and it is 3.40 ohm, which fits" in found.statement and "oscilloscope" in found.next_test
    assert drive(**TURNED, resistance_limit=limit, duty_seen="yes").findings[0].strength == "indicated"
    (far,) = drive(**TURNED, resistance_limit="0.9 to 1.2 ohm").findings
    assert far.strength == "indicated" and "the other part" not in far.statement


def test_a_duty_beyond_its_range_may_be_the_other_part_of_the_period() -> None:
    (found,) = drive(part="inlet-valve", duty="75 %", duty_limit="20 to 30 %").findings
    assert found.strength == "undecided" and "on for 25 %" in found.statement


def test_frequency_and_duty_within_clear_no_circuit() -> None:
    """The control unit makes them whatever the circuit does: common practice, no source."""
    given = {"frequency": "200 Hz", "frequency_limit": "180 to 220 Hz", "duty": "25 %", "duty_limit": "20 to 30 %"}
    found = drive(part="outlet-valve", **given).findings
    assert [finding.strength for finding in found] == ["undecided", "undecided"]
    assert all("clears no circuit by itself" in finding.statement for finding in found)


def test_a_peak_far_too_high_may_be_shorted_turns() -> None:
    """Less inductance lets the current rise past the switching-off point: common practice, no source."""
    (found,) = drive(part="injector", number=3, form="pulse", peak_current="27 ± 0.5 A", peak_limit="17 to 21 A").findings
    assert "shorted turns" in found.statement and "driver" in found.statement
