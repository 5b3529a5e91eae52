"""The calculator of coil currents over circuits that were made with known faults: what it accuses, and its numbers."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from tests.captures_made.coil import Coil, Log, injectors, simulate, valves, write

from baybook.errors import InputError
from baybook_plugins.drive.calculator import drive

SEED = 21
INJECTOR = {"peak_limit": "16 to 20 A", "hold_limit": "9 to 13 A"}
BEGINS = 0.8e-3  # s, of a pulse


@pytest.fixture(scope="module")
def judged(tmp_path_factory: pytest.TempPathFactory) -> list[tuple[Log, Any]]:
    """Each log with what the calculator says, or its refusal."""
    folder = tmp_path_factory.mktemp("coils")
    made = [log for coils in (injectors(SEED), valves(SEED)) for log in simulate(coils, SEED)]
    return [(log, told(log, folder / f"{number}.csv", bool(number % 2))) for number, log in enumerate(made)]


def told(log: Log, file: Path, german: bool) -> Any:
    coil = log.coil
    write(log, file, german)
    try:
        if coil.form == "pulse":
            return drive(part="injector", form="pulse", capture=str(file), supply=f"{coil.boost:.2f} ± 0.5 V", **INJECTOR)
        return drive(
            part="inlet-valve", capture=str(file), supply=f"{coil.battery:.2f} ± 0.1 V", diode=f"{coil.diode} ± 0.1 V",
            temperature=f"{coil.celsius:.1f} ± 5 °C", resistance_limit="2.9 to 3.5 ohm",
        )  # fmt: skip
    except InputError as refused:
        return refused


def of(judged: list[tuple[Log, Any]], form: str, *faults: str) -> list[tuple[Log, Any]]:
    return [(log, result) for log, result in judged if log.coil.form == form and log.coil.fault in faults]


def accused(result: Any) -> set[str]:
    return {str(finding.statement) for finding in result.findings if finding.strength in ("indicated", "proven")}


def test_no_sound_circuit_is_accused(judged: list[tuple[Log, Any]]) -> None:
    """Nor one whose armature is stuck: its current is right."""
    sound = [(log.coil, result) for log, result in judged if log.coil.fault.startswith(("none", "stuck"))]
    assert len(sound) >= 15
    assert [coil.name for coil, result in sound if isinstance(result, InputError) or accused(result)] == []


@pytest.mark.parametrize(
    ("form", "fault", "says"),
    [
        ("pulse", "contact", "peak current"),
        ("pulse", "low hold", "hold current"),
        ("pwm", "contact", "a contact, a breaking strand"),
        ("pwm", "shorted turns", "shorted turns"),
    ],
)
def test_faults_are_found(judged: list[tuple[Log, Any]], form: str, fault: str, says: str) -> None:
    for _, result in of(judged, form, fault):
        assert any(says in statement for statement in accused(result))


def test_what_cannot_be_told_is_refused(judged: list[tuple[Log, Any]]) -> None:
    """A rise of a third of the time logged as coarsely; a circuit through which nothing flows."""
    ((_, fast),) = of(judged, "pulse", "shorted turns")
    ((_, none),) = of(judged, "pwm", "open")
    assert "too few for its shape" in str(fast.problems[0]) and "no current beyond the noise" in str(none.problems[0])


def numbers(log: Log, result: Any) -> Iterator[tuple[str, bool]]:
    """Whether the intervals hold what was put in, or what flowed."""
    coil = log.coil
    warm = coil.ohm * (234.5 + coil.celsius) / 254.5 + coil.contact
    true = {"frequency": coil.frequency, "duty": 100 * coil.duty, "circuit_resistance": warm} if coil.form == "pwm" else {}
    if coil.form == "pwm" and not coil.contact:
        true["resistance_at_20"] = coil.ohm
    if coil.form == "pulse":
        held = (log.time > BEGINS + 0.7 * coil.open_for) & (log.time < BEGINS + coil.open_for)
        true = {"peak_current": float(log.current.max()), "pulse_length": coil.open_for}
        if "hold_current" in result.outputs:
            true["hold_current"] = float(log.current[held].mean())
    for name, value in true.items():
        found = result[name].to("s") if name == "pulse_length" else result[name]
        slack = 5e-6 if name == "pulse_length" else 0.0  # the clamp lags by one sample, and a pulse begins within one
        yield f"{name} of {coil.form} {coil.name}", bool(found.low - slack <= value <= found.high + slack)


def test_the_intervals_hold_the_truth(judged: list[tuple[Log, Any]]) -> None:
    """But for a clamp that was not zeroed: its error is in no reading."""
    read = [(log, result) for log, result in judged if not isinstance(result, InputError) and not log.coil.offset]
    held = [number for log, result in read for number in numbers(log, result)]
    missed = [name for name, inside in held if not inside]
    assert len(held) >= 60 and len(missed) <= 0.08 * len(held), missed


def test_the_armature_is_seen_where_it_moves_and_not_where_it_is_stuck(judged: list[tuple[Log, Any]]) -> None:
    ((log, moving),) = of(judged, "pulse", "none, slow")
    moves = log.time[np.flatnonzero(log.position > 1e-3 * log.coil.travel)[0]] - BEGINS
    stops = log.time[np.flatnonzero(log.position >= 0.999 * log.coil.travel)[0]] - BEGINS
    for name, true in (("armature_starts", moves), ("armature_stops", stops)):
        found = moving[name].to("s")
        assert found.low - 5e-6 <= true <= found.high + 5e-6, name
    for _, stuck in of(judged, "pulse", "stuck armature", "stuck, slow"):
        assert "armature_stops" not in stuck.outputs


@pytest.mark.parametrize("coils", [injectors(SEED)[:1], valves(SEED)[:1]])
def test_the_current_is_drawn_in_a_terminal(coils: list[Coil], tmp_path: Path, command: Any) -> None:
    """--plot: the peak stands at the top of the axis, and the line goes from left to right."""
    (log,) = simulate(coils, SEED)
    write(log, tmp_path / "clamp.csv")
    part = ("injector", "--form", "pulse") if coils[0].form == "pulse" else ("inlet-valve",)
    ran = command("drive", "--part", *part, "--capture", tmp_path / "clamp.csv", "--plot")
    drawn = [line for line in ran.out.splitlines() if "|" in line]
    assert ran.code == 0 and "Current of the coil" in ran.out and len(drawn) >= 8
    marks = [{at for at, letter in enumerate(line.partition("|")[2]) if letter.strip()} for line in drawn]
    assert max(set.union(*marks)) - min(set.union(*marks)) > 30
    assert marks[0] and f"{log.shown.max():.0f}" in drawn[0].partition("|")[0]
