"""A sheet that says two things at once is refused, or told, in one line. What belongs together: common practice, no source."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from tests.conftest import Ran

from baybook.jobs.evaluation import Outcome, work_out
from baybook.jobs.sheet import read_sheet

Command = Callable[..., Ran]
HOLD = (
    "hold",
    "--start",
    "1000 bar",
    "--end",
    "600 bar",
    "--time",
    "30 s",
    "--volume",
    "25 mL",
    "--limit",
    "max 0.5 mL/min",
)
LACKS = "correct one of them: the step, or [system]"
DROP = """
[[steps]]
calculator = "reading"
[steps.inputs]
what = "filter pressure drop"
value = "{} bar"
limit = "max 0.3 bar"
"""


def sheet(folder: Path, text: str) -> Path:
    path = folder / "job.toml"
    path.write_text("format = 1\n" + text, encoding="utf-8")
    return path


def outcome(folder: Path, text: str) -> Outcome:
    return work_out(read_sheet(sheet(folder, text)))


@pytest.mark.parametrize(
    ("system", "step", "said"),
    [
        ("filter = false", ("reading", "filter pressure drop", "0.8 bar", "--limit", "max 0.3 bar"),
         f'"filter pressure drop" looks at the filter, which [system] says is not fitted; {LACKS}'),
        ("filter = false", ("supply", "--load", "2 bar", "--before-filter", "3 bar", "--filter-limit", "max 0.3 bar"),
         f'"supply" looks at the filter, which [system] says is not fitted; {LACKS}'),
        ('outlet_valve = "none"', (*HOLD, "--outlet-valve", "driven-shut"),
         f'--outlet-valve: "driven-shut" speaks of the outlet valve, which [system] says is not fitted; {LACKS}'),
        ('outlet_valve = "none"', (*HOLD, "--outlet-valve", "shut-at-rest"),
         f'--outlet-valve: "shut-at-rest" speaks of the outlet valve, which [system] says is not fitted; {LACKS}'),
        ('outlet_valve = "rail"', (*HOLD, "--outlet-valve", "none"),
         f'--outlet-valve: "none" is said, and [system] says that the outlet valve is fitted; {LACKS}'),
        ('open_at_rest = ["outlet valve"]', (*HOLD, "--outlet-valve", "shut-at-rest"),
         '--outlet-valve: "shut-at-rest" is said, and [system] says open-at-rest of the outlet valve (open_at_rest); '
         f"{LACKS}"),
        ('low_pressure = ["suction pump"]', ("supply", "--idle", "1 bar", "--idle-limit", "3 to 4 bar", "--tank-pump", "runs"),
         f'--tank-pump: "runs" speaks of the tank pump, which [system] says is not fitted; {LACKS}'),
        ('low_pressure = ["tank pump"]',
         ("supply", "--idle", "1 bar", "--idle-limit", "3 to 4 bar", "--tank-pump", "not-fitted"),
         f'--tank-pump: "not-fitted" is said, and [system] says that the tank pump is fitted; {LACKS}'),
        ("inlet_valve = false",
         ("regulator", "--where", "inlet", "--meter-counts", "low", "--pressure", "900 bar", "--target", "1200 bar"),
         f'--where: "inlet" speaks of the inlet valve, which [system] says is not fitted; {LACKS}'),
    ],
)  # fmt: skip
def test_a_step_that_speaks_of_what_is_not_fitted_is_refused(
    tmp_path: Path, command: Command, system: str, step: tuple[str, ...], said: str
) -> None:
    path = sheet(tmp_path, f"[system]\n{system}\n")
    before = path.read_text(encoding="utf-8")
    ran = command("job", "add", path, *step)
    assert (ran.code, ran.err.strip()) == (2, said)
    assert path.read_text(encoding="utf-8") == before


@pytest.mark.parametrize(
    ("system", "step"),
    [
        ('outlet_valve = "none"', (*HOLD, "--outlet-valve", "none")),
        ('outlet_valve = "none"', HOLD),
        ('outlet_valve = "rail"\nopen_at_rest = ["outlet valve"]', (*HOLD, "--outlet-valve", "driven-shut")),
        ('outlet_valve = "none"', ("pump", "--highest", "500 bar", "--pressure-limit", "min 1000 bar", "--outlet-shut",
                                   "not-fitted")),
        ("filter = true", ("reading", "filter pressure drop", "0.8 bar", "--limit", "max 0.3 bar")),
        ("inlet_valve = false", ("reading", "feed pressure", "0.8 bar", "--limit", "min 3 bar")),
    ],
)  # fmt: skip
def test_what_agrees_with_the_system_is_taken(tmp_path: Path, command: Command, system: str, step: tuple[str, ...]) -> None:
    ran = command("job", "add", sheet(tmp_path, f"[system]\n{system}\n"), *step)
    assert ran.code == 0, ran.err


def test_an_object_and_inputs_that_name_two_parts_are_refused(tmp_path: Path, command: Command) -> None:
    coil = (
        "coil",
        "--part",
        "injector",
        "--number",
        3,
        "--reading",
        "1 ohm",
        "--temperature",
        "20 °C",
    )
    ran = command("job", "add", sheet(tmp_path, ""), *coil, "--object", "injector 1")
    said = '--object: "injector 1" is not what the inputs name, injector 3; leave object out, or correct one'
    assert (ran.code, ran.err.strip()) == (2, said)
    for own in ("injector 3", "injector 3 coil"):
        assert command("job", "add", sheet(tmp_path, ""), *coil, "--object", own).code == 0


COIL = """
[system]
inlet_valve = false
[[steps]]
calculator = "coil"
[steps.inputs]
part = "inlet-valve"
reading = "8 ohm"
temperature = "20 °C"
limit = "2 to 3 ohm"
"""


def test_a_step_that_could_not_be_worked_out_points_nowhere(tmp_path: Path) -> None:
    worked = outcome(tmp_path, COIL)
    assert worked.conclusion == "Could not be worked out: step 1."
    assert all(not cell.findings for cell in worked.cells) and worked.exit_code == 2


@pytest.mark.parametrize(
    ("place", "told"),
    [
        ("injector 3", True),
        ("no fault", True),
        ("not on the map", True),
        ("filter", False),
    ],
)
def test_an_outcome_beside_the_proved_repair_is_told(tmp_path: Path, command: Command, place: str, told: bool) -> None:
    steps = f'{DROP.format("0.8 ± 0.05")}\n[[steps]]\nrepair = "filter"\n{DROP.format("0.1 ± 0.05")}'
    said = f"[outcome] says {place}, and the repair that is proved is of filter: correct the one that is wrong."
    assert (said in outcome(tmp_path, f'[outcome]\nplace = "{place}"\n{steps}').lacking) is told
    ran = command("job", "mark", sheet(tmp_path, steps), "--outcome", place)
    assert (ran.code, said in ran.err) == (0, told)


def test_a_fault_memory_with_a_code_that_nobody_saw_is_refused(
    command: Command,
) -> None:
    ran = command("observation", "fault memory", "--seen", "no", "--code", "rail pressure low")
    assert ran.code == 2
    assert ran.err.strip() == (
        '--code: "rail pressure low" was found, and seen no says that none was; leave seen out, or give code none'
    )
    assert command("observation", "fault memory", "--seen", "no", "--code", "none").code == 0
