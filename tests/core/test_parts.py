"""One vocabulary of parts: each has the stage that the map gives it, in every calculator and in a job's own vehicle."""

from __future__ import annotations

from pathlib import Path

import pytest

from baybook import inputs
from baybook.errors import PluginError
from baybook.jobs.evaluation import work_out
from baybook.jobs.sheet import read_sheet
from baybook.places.fitted import Fitted
from baybook.places.layout import drawn, stage_of

TESTS = {
    "coil": 'part = "outlet-valve"\nreading = "9.0 ± 0.1 ohm"\ntemperature = "20 ± 1 °C"\nlimit = "2.9 to 3.5 ohm"',
    "drop": 'part = "outlet-valve"\ncurrent = "1.5 ± 0.1 A"\ndrops = ["0.60 ± 0.01 V"]\nlimit = "<= 0.3 V"',
    "drive": 'part = "outlet-valve"\nmean_current = "0.60 ± 0.01 A"\ncurrent_limit = "0.8 to 1.2 A"',
    "regulator": 'where = "outlet"\noutlet_current = "0.00 A"\noutlet_expected_current = "1.5 ± 0.1 A"',
}
JOB = '[complaint]\nkind = "lacks power"\n[system]\noutlet_valve = "{at}"\n'


@pytest.mark.parametrize(("at", "stage"), [("rail", "storage"), ("pump", "generation")])
def test_one_part_has_one_stage_whatever_test_is_made_on_it(tmp_path: Path, at: str, stage: str) -> None:
    """The map's own: an outlet valve on the rail belongs to the storage, one on the pump to the generation."""
    path = tmp_path / "job.toml"
    steps = "".join(f'[[steps]]\ncalculator = "{name}"\n[steps.inputs]\n{given}\n' for name, given in TESTS.items())
    path.write_text(JOB.format(at=at) + steps, encoding="utf-8")
    outcome = work_out(read_sheet(path))
    told = {worked.step.calculator: worked.result.findings[0] for worked in outcome.steps if worked.result}
    assert {name: (found.stage, found.side, found.strength) for name, found in told.items()} == dict.fromkeys(
        TESTS, (stage, "control", "indicated")
    )
    places = {place.name: place.stage for place in outcome.found.system.places}
    assert places["outlet valve coil"] == stage


def test_every_part_has_its_stage_from_the_map() -> None:
    places = {place.kind.removesuffix(" *"): place.stage for place in drawn(Fitted())}
    for part in inputs.PARTS:
        assert stage_of(part) == places.get(part.replace("-", " "), "supply")  # (a valve of the supply is on no map)
    with pytest.raises(PluginError, match="no part of the map"):
        stage_of("gearbox")
