"""A crank whose pressure stands still, is throttled, or is told by a sensor off zero: what is told of pump and loss."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from baybook.api import Result
from baybook_plugins.cranking.calculator import cranking

from .cranks import Crank
from .test_cranking import ENABLE, made, shown

SWEPT = 0.87 * 0.5 * 215.0  # mL/min


@pytest.mark.parametrize("opening", [6.5, 13.0, 16.0])
@pytest.mark.parametrize("number", [2, 3])
def test_a_stiff_valve_that_opens_too_soon_is_the_valves(tmp_path: Path, opening: float, number: int) -> None:
    """It is shut again before the starter stands, so that the fall after the stop shows the rail's own loss alone: a tenth of
    what goes while cranking."""
    found = made(tmp_path, opening=opening, stiff=4.0, strengths=(1.0,) * number, duty=60.0, current=1.2)
    assert shown(found) == {("storage", "hydraulic"): "indicated"}
    assert 1.2 * 60 * 0.02 * opening < found["delivery"].low < SWEPT < found["delivery"].high
    assert found["lost"].low < SWEPT < found["lost"].high


def test_where_no_current_was_logged_its_drive_may_be_at_fault(tmp_path: Path) -> None:
    found = made(tmp_path, opening=13.0, stiff=4.0)
    assert shown(found) == {("storage", "hydraulic"): "undecided"}
    assert "what drives it" in str(found.findings[0].statement) and "current" in str(found.findings[0].next_test)


def untold(folder: Path, **how: Any) -> Result:
    """A log without a target."""
    file = Path(Crank(**how).write(folder))
    file.write_text(file.read_text().replace("Rail pressure target [bar]", "P9"))
    rail = {"volume": "22 ± 1.1 mL", "pump": "0.87 ± 0 cm3/rev", "pump_ratio": "0.5 1", "elements": 3}
    return cranking(capture=str(file), temperature="25 ± 4 °C", enable=ENABLE, **rail)


def test_without_a_target_a_valve_lets_go_only_where_pressure_is_short(tmp_path: Path) -> None:
    """A plateau above the pressure that releases injection is the control's; what it lets go there is no loss."""
    short = untold(tmp_path, opening=13.0, stiff=4.0)
    assert shown(short) == {("storage", "hydraulic"): "undecided"} and short["lost"].high > SWEPT
    regulated = untold(tmp_path, opening=26.0, stiff=4.0)
    assert shown(regulated) == {("storage", "hydraulic"): "cleared"}
    lost = 60 * 0.02 * regulated["pressure"].to("MPa").value
    assert regulated["lost"].low < lost < regulated["lost"].high < SWEPT / 2


@pytest.mark.parametrize("slip", [0.08, 0.12, 0.3])
def test_a_pump_that_gives_no_more_is_no_valve(tmp_path: Path, slip: float) -> None:
    """What its pistons let past grows with pressure until nothing more comes: it rises fast and stands still as under a valve,
    but nothing fills the rail once the starter slows."""
    found = made(tmp_path, slip=slip)
    assert ("storage", "hydraulic") not in shown(found)
    pressure = found["pressure"].to("MPa").value
    lost = 60 * 0.02 * pressure  # mL/min, and so much is given
    assert found["lost"].low < lost < found["lost"].high
    assert found["delivery"].low < lost * 1.02 and found["delivery"].high > 0.98 * lost


def test_what_the_pump_gives_is_told_with_its_pressure(tmp_path: Path) -> None:
    """A slip of 0.02 cm3/s for each MPa, and a target that is met: at the mean of the rise it gives so much less."""
    found = made(tmp_path, slip=0.02, target=25.0)
    at = found["delivery_pressure"].to("MPa").value
    assert 5.0 < at < 25.0
    assert found["delivery"].low < SWEPT - 60 * 0.02 * at < found["delivery"].high


@pytest.mark.parametrize("throttled", [0.05, 0.3, 0.8])
@pytest.mark.parametrize("loss", [0.01, 0.02, 0.03])
def test_under_an_inlet_valve_that_throttles_the_loss_is_seen_at_rest(tmp_path: Path, throttled: float, loss: float) -> None:
    """Once the target is there the pump gets a share of what it could give: what is lost is what the rail at rest loses, and
    never more than the pump can give."""
    found = made(tmp_path, throttled=throttled, loss=loss, opening=60.0)
    assert found["lost"].low < 60 * loss * found["pressure"].to("MPa").value < found["lost"].high
    assert found["lost"].high <= 1.1 * 1.03 * SWEPT
    if "delivery" in found.outputs:
        assert found["delivery"].value <= 1.03 * SWEPT and found["delivery_share"].high <= 110.5


def relabelled(folder: Path, label: str, **inputs: Any) -> Result:
    """A sound crank whose supply's column has another label."""
    file = Path(Crank().write(folder))
    file.write_text(file.read_text().replace("Supply pressure [bar]", label))
    return cranking(capture=str(file), enable=ENABLE, **inputs)


def test_a_limit_whose_column_is_not_found_is_told(tmp_path: Path) -> None:
    found = relabelled(tmp_path, "P7 [bar]", supply_limit="3 to 7 bar", battery_limit=">= 9 V", speed_limit=">= 150 rpm")
    notes = " ".join(map(str, found.notes))
    assert "No column of this capture is plainly the supply pressure" in notes and '--column low="…"' in notes
    assert "plainly the battery's voltage" in notes and '--column battery="…"' in notes
    assert "supply" not in {finding.stage for finding in found.findings}
    known = relabelled(tmp_path, "Vorförderdruck [bar]", supply_limit="3 to 7 bar")
    assert known["supply_pressure"].value == pytest.approx(5.7, abs=0.2)
    assert "judged nothing" not in " ".join(map(str, known.notes))


def test_a_limit_without_its_reading_is_told() -> None:
    found = cranking(pressure="260 ± 5 bar", enable=ENABLE, supply_limit="3 to 7 bar", speed_limit=">= 180 rpm")
    told = [str(note) for note in found.notes if "judged nothing" in str(note)]
    assert len(told) == 2 and "supply pressure" in " ".join(told) and "speed" in " ".join(told)


def test_a_sensor_off_zero_clears_nothing(tmp_path: Path) -> None:
    """It shows 110 bar too much, before the starter turns too: the true pressure is in the interval, and nothing is cleared."""
    found = made(tmp_path, zero=11.0)
    true = 10 * (found["pressure"].to("MPa").value - 11.0)
    assert found["pressure"].to("bar").low <= true and set(shown(found).values()) == {"undecided"}
    short = made(tmp_path, zero=11.0, opening=10.0, enable=">= 180 bar")
    assert short.verdicts[0].verdict != "within"
    low = made(tmp_path, zero=-6.0)
    assert low["pressure"].to("bar").high >= low["pressure"].to("bar").value + 60.0
