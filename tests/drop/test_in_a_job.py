"""The drop in a job: each circuit's readings speak for its own wiring, driver and unit."""

from __future__ import annotations

from pathlib import Path

import pytest

from baybook.jobs.evaluation import work_out
from baybook.jobs.sheet import read_sheet

HEAD = """
[complaint]
kind = "lacks power"
[system]
low_pressure = ["tank pump"]
inlet_valve = true
outlet_valve = "none"
injectors = 4
[[steps]]
calculator = "drop"
[steps.inputs]
"""
BAD = 'drops = ["0.60 ± 0.01 V"]\nlimit = "<= 0.3 V"\ncurrent = "2 ± 0.1 A"\n'
STAGE = 'driver = "2.4 ± 0.05 V"\ndriver_limit = "<= 0.8 V"\ncurrent = "2 ± 0.1 A"\n'


@pytest.mark.parametrize(
    ("part", "read", "place"),
    [
        ('part = "inlet-valve"\n', BAD, "inlet valve wiring"),
        ('part = "tank-pump"\n', BAD, "tank pump wiring"),
        ('part = "rail-sensor"\n', BAD, "rail sensor wiring"),
        ('part = "injector"\nnumber = 3\n', BAD, "injector 3 wiring"),
        ('part = "control-unit"\n', BAD, "control unit"),
        ('part = "inlet-valve"\n', STAGE, "inlet valve driver"),
        ('part = "injector"\nnumber = 3\n', STAGE, "injector driver"),
    ],
)
def test_the_circuits_own_place_is_likeliest(tmp_path: Path, part: str, read: str, place: str) -> None:
    path = tmp_path / "job.toml"
    path.write_text(HEAD + part + read, encoding="utf-8")
    found = work_out(read_sheet(path)).found.chances
    assert max(found, key=found.__getitem__) == place


def test_a_circuit_is_asked_only_what_its_kind_can_answer() -> None:
    from baybook.jobs.offered import senses

    questions = senses()["drop"].questions
    asked = {word for word, question in questions.items() if question.asked_of("outlet valve")}
    assert {"current of a valve", "voltage at a valve"} <= asked
    assert not asked & {"current of an injector", "voltage at a pump", "open: a pump"}
    assert questions["current of an injector"].asked_of("injector 3")
