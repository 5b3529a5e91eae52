"""Cranking: readings, captures of a known truth, and captures made by a simulator of the tests' own."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from baybook import calculate
from baybook.api import InputError, Result
from baybook.testing import conformance
from baybook_plugins.cranking.calculator import cranking
from baybook_plugins.ripple.calculator import ripple

from .cranks import Crank

DATA = Path(__file__).parents[1] / "captures" / "data"
ENABLE, TIME, SUPPLY = ">= 180 bar", "<= 2 s", "3 to 7 bar"
RAIL = {"volume": "22 ± 1.1 mL", "temperature": "25 ± 4 °C", "enable": ENABLE, "time_limit": TIME, "supply_limit": SUPPLY}
TALLOW = {"capture": str(DATA / "tallow_crank.csv"), "pump": "0.87 ± 0 cm3/rev", "pump_ratio": "0.5 1", "elements": 3, **RAIL}
BRAMBLE = {
    "capture": str(DATA / "bramble_crank.csv"), "pump": "0.84 ± 0 cm3/rev", "pump_ratio": "0.6667 1", "elements": 2, **RAIL,
}  # fmt: skip

test_conformance = conformance(cranking)


def shown(result: Result) -> dict[tuple[str, str], str]:
    """Strength by stage and side."""
    return {(finding.stage, finding.side): finding.strength for finding in result.findings}


def made(folder: Path, *, enable: str = ENABLE, **how: Any) -> Result:
    """A simulated crank, judged with what a technician would know of it."""
    crank = Crank(**how)
    return cranking(
        capture=crank.write(folder), volume="22 ± 1.1 mL", pump="0.87 ± 0 cm3/rev", pump_ratio="0.5 1",
        elements=len(crank.strengths), temperature="25 ± 4 °C", enable=enable, time_limit=TIME, supply_limit=SUPPLY,
    )  # fmt: skip


def test_a_weak_element_leaves_the_pressure_there_and_shows_in_its_order() -> None:
    """Truth: element 3 of 3 gives nothing; 6.41 cm3 delivered over 11.8 turns of 0.87 cm3, 62 %; it is enough to start."""
    found = cranking(**TALLOW)
    assert {verdict.what: verdict.verdict for verdict in found.verdicts} == {
        "pressure": "within", "time": "within", "supply_pressure": "within"
    }  # fmt: skip
    assert found["delivery_share"].low < 62.3 < found["delivery_share"].high
    assert ("generation", "hydraulic") in shown(found) and shown(found)["generation", "hydraulic"] == "indicated"
    assert found["battery"].value == pytest.approx(12.4, abs=0.2)


def test_a_loss_is_told_from_a_weak_pump() -> None:
    """Truth: the pump is sound (15.67 of 15.87 cm3), one injector returns 13.5 cm3 too much; the target is never met."""
    found = cranking(**BRAMBLE)
    assert found["delivery_share"].low < 98.7 < found["delivery_share"].high
    assert shown(found) == {("storage", "hydraulic"): "indicated"}
    with_returns = shown(cranking(**BRAMBLE, returned="15.5 ± 0.8 mL"))
    assert with_returns == {("storage", "hydraulic"): "undecided", ("delivery", "hydraulic"): "indicated"}


def test_without_volume_or_displacement_nothing_is_said_of_pump_and_loss() -> None:
    found = cranking(capture=BRAMBLE["capture"], enable=">= 250 bar", time_limit=TIME)
    assert "delivery" not in found.outputs
    assert shown(found) == {("generation", "hydraulic"): "undecided"}


def test_a_sound_crank_clears(tmp_path: Path) -> None:
    found = made(tmp_path)
    assert shown(found) == {("storage", "hydraulic"): "cleared"}
    assert found["delivery_share"].low < 100.0 < found["delivery_share"].high
    assert found["speed"].value == pytest.approx(215.0, rel=0.03)


def test_a_worn_pump_is_the_pumps(tmp_path: Path) -> None:
    """Every element gives a fifth: the pump lacks four times what it gives, and no more can be lost than it gives."""
    found = made(tmp_path, strengths=(0.2, 0.2, 0.2))
    assert shown(found) == {("generation", "hydraulic"): "indicated"}
    assert found["delivery_share"].low < 20.0 < found["delivery_share"].high


def test_one_dead_element_is_the_pumps_though_more_is_lost_than_it_lacks(tmp_path: Path) -> None:
    """Two of three elements, and a loss that a sound pump would have met: the pump's order is what tells."""
    found = made(tmp_path, strengths=(1.0, 1.0, 0.0), loss=0.045, enable=">= 280 bar")
    assert shown(found)["generation", "hydraulic"] == "indicated"
    assert ("storage", "hydraulic") not in shown(found)


def test_a_great_loss_is_a_loss(tmp_path: Path) -> None:
    """Four times what a sound rail loses: the pump gives all that it sweeps, and the target is never met."""
    assert shown(made(tmp_path, loss=0.08)) == {("storage", "hydraulic"): "indicated"}


@pytest.mark.parametrize("opening", [4.0, 6.0, 9.0, 12.0])
@pytest.mark.parametrize("strengths", [(1.0, 1.0, 1.0), (0.9, 0.9)])
def test_an_open_outlet_valve_never_accuses_the_pump(tmp_path: Path, opening: float, strengths: tuple[float, ...]) -> None:
    """It lets everything go from some pressure on, which is there within part of a turn. Where its current is seen to flow the
    valve itself is at fault; where none was logged its drive may be, and the side stays open. What the pump gives, and lets go
    there, is in both intervals."""
    logged = made(tmp_path, opening=opening, strengths=strengths, duty=25.0, current=1.1)
    assert shown(logged) in ({("storage", "hydraulic"): "indicated"}, {("generation", "hydraulic"): "undecided"})
    unlogged = made(tmp_path, opening=opening, strengths=strengths)
    assert set(shown(unlogged).values()) == {"undecided"}
    gives = 0.87 * 0.5 * 215.0 * sum(strengths) / len(strengths)  # mL/min
    for found in (logged, unlogged):
        assert found["delivery"].low < gives < found["delivery"].high and found["lost"].low < gives < found["lost"].high
    if opening != 6.0:  # there the rail falls by as much as it loses, as under a pump that is worn
        assert shown(logged)["storage", "hydraulic"] == "indicated"


STAGES = {
    "none": (),
    "weak": ("generation",),
    "worn": ("generation",),
    "leak": ("storage",),
    "starved": ("supply",),
    "air": ("supply",),
}


@pytest.mark.parametrize("seed", range(12))
def test_nothing_is_accused_that_is_sound(tmp_path: Path, seed: int) -> None:
    """Drawn pumps, rails and faults: what is called a fault is where it was put, or nothing is called so."""
    rng = np.random.default_rng(seed)
    number, fault = int(rng.integers(2, 4)), str(rng.choice(list(STAGES)))
    ratio, swept, speed = float(rng.choice([0.5, 0.6667, 1.0])), float(rng.uniform(0.6, 1.0)), float(rng.uniform(150, 250))
    usual = 0.25 * swept * ratio * speed / 60 / 30.0
    how: dict[str, Any] = {"strengths": (float(rng.uniform(0.85, 1.0)),) * number, "loss": usual}
    if fault == "weak":
        how["strengths"] = (*how["strengths"][1:], float(rng.uniform(0.0, 0.3)))
    elif fault in ("worn", "starved"):
        how |= {"strengths": (float(rng.uniform(0.1, 0.3)),) * number, "supply": 0.3 if fault == "starved" else 5.7}
    elif fault == "leak":
        how["loss"] = usual * float(rng.uniform(6, 12))
    elif fault == "air":
        how["air"] = float(rng.uniform(1.5, 4.0))
    crank = Crank(**how, ratio=ratio, displacement=swept, speed=speed, volume=float(rng.uniform(15, 35)))
    found = cranking(
        capture=crank.write(tmp_path), volume=f"{crank.volume:.1f} ± {0.05 * crank.volume:.1f} mL", elements=number,
        pump=f"{swept:.4f} ± 0 cm3/rev", pump_ratio=f"{ratio} 1", temperature="25 ± 4 °C", enable=ENABLE, time_limit=TIME,
        supply_limit=SUPPLY,
    )  # fmt: skip
    assert {finding.stage for finding in found.findings if finding.strength == "indicated"} <= set(STAGES[fault])


def test_an_undriven_outlet_valve_is_the_controls_side(tmp_path: Path) -> None:
    """A duty of 20 % and no current: nothing of pump and loss is concluded."""
    found = shown(made(tmp_path, opening=6.0, duty=20.0, current=0.0))
    assert found["storage", "control"] == "indicated"
    assert found["generation", "hydraulic"] == "undecided"


def test_a_starved_pump_is_the_supplys(tmp_path: Path) -> None:
    found = shown(made(tmp_path, strengths=(0.3, 0.3, 0.3), supply=0.4))
    assert found["supply", "hydraulic"] == "indicated"
    assert found["generation", "hydraulic"] == "undecided"


def test_free_air_is_what_was_pumped_first(tmp_path: Path) -> None:
    """1.2 cm3 of free air at atmospheric pressure; a stroke is 0.29 cm3. Without air nothing is said of it."""
    found = made(tmp_path, air=1.2)
    assert found["filled_first"].to("mL").low < 1.2 < found["filled_first"].to("mL").high
    assert shown(found)["supply", "hydraulic"] == "indicated"
    assert made(tmp_path)["filled_first"].to("mL").low == 0.0


def test_a_sensor_that_stands_off_zero_is_said(tmp_path: Path) -> None:
    """40 bar before the starter turns, with a zero known to 10 bar."""
    assert shown(made(tmp_path, zero=4.0))["storage", "control"] == "undecided"


def test_too_slow_a_starter_proves_nothing() -> None:
    found = cranking(speed="90 ± 5 rpm", speed_limit=">= 180 rpm", pressure="120 ± 5 bar", enable=ENABLE)
    assert shown(found) == {("generation", "hydraulic"): "undecided"}
    assert "starter" in found.findings[0].next_test


def test_readings_with_another_unit_and_a_decimal_comma() -> None:
    one = cranking(pressure="26.50 MPa", time="1.20 s", enable=">= 18 MPa", time_limit="<= 2 s")
    other = cranking(pressure="265,0 bar", time="1200 ms", enable=">= 180 bar", time_limit="<= 2000 ms")
    assert one["pressure"].to("bar").value == pytest.approx(other["pressure"].value)
    assert [verdict.verdict for verdict in one.verdicts] == [verdict.verdict for verdict in other.verdicts] == ["within"] * 2


@pytest.mark.parametrize(
    ("inputs", "wrong"),
    [
        ({}, "pressure"),
        ({"capture": BRAMBLE["capture"], "pressure": "190 bar"}, "pressure"),
        ({"pressure": "190 bar", "returned": "15 mL"}, "capture"),
        ({"capture": str(DATA / "heron_hold.csv")}, "rpm"),
    ],
)
def test_what_does_not_go_together_is_said(inputs: dict[str, Any], wrong: str) -> None:
    with pytest.raises(InputError) as refused:
        cranking(**inputs)
    assert wrong in {problem.input for problem in refused.value.problems} | {
        word for problem in refused.value.problems for word in str(problem).split()
    }


def test_the_time_to_enable_is_told_only_where_the_pump_gives_more_than_is_lost() -> None:
    """By hand: 0.87 · 0.5 · 200 rpm is 87 mL/min at most: with 100 mL/min lost nothing ever builds up, with 10 it does."""
    read = {"pressure": "120 ± 5 bar", "speed": "200 ± 5 rpm", "enable": ENABLE, "volume": "22 ± 1 mL", "pump": "0.87 cm3/rev",
            "pump_ratio": "0.5 1", "elements": 3}  # fmt: skip
    assert "expected_time" not in cranking(**read, leak="100 ± 1 mL/min").outputs
    assert 0.1 < cranking(**read, leak="10 ± 1 mL/min")["expected_time"].to("s").value < 0.5


@pytest.mark.parametrize(("returned", "told"), [("40 ± 1 mL", "indicated"), ("4 ± 3.5 mL", None), ("1 ± 0.2 mL", "cleared")])
def test_what_the_injectors_returned_is_set_against_what_was_lost(tmp_path: Path, returned: str, told: str | None) -> None:
    """Four times what a sound rail loses, at some 20 MPa 1.6 cm3/s, in 6 s about 9 cm3: 1 mL of it is not where it goes."""
    found = cranking(
        capture=Crank(loss=0.08).write(tmp_path), volume="22 ± 1.1 mL", pump="0.87 ± 0 cm3/rev", pump_ratio="0.5 1", elements=3,
        temperature="25 ± 4 °C", enable=ENABLE, time_limit=TIME, supply_limit=SUPPLY, returned=returned,
    )  # fmt: skip
    assert shown(found).get(("delivery", "hydraulic")) == told


def test_an_outlet_valve_that_is_hardly_asked_for_accuses_no_coil(tmp_path: Path) -> None:
    assert ("storage", "control") not in shown(made(tmp_path, duty=2.0, current=0.0))


def test_a_supply_that_was_hardly_logged_is_not_judged(tmp_path: Path) -> None:
    """Its column holds five values while the starter turns."""
    file = Path(Crank().write(tmp_path))
    head, *rows = [line.split(",") for line in file.read_text().splitlines()]
    for at, row in enumerate(rows):
        row[3] = row[3] if at % 250 == 0 else ""
    file.write_text("\n".join(map(",".join, [head, *rows])))
    found = cranking(capture=str(file), enable=ENABLE, supply_limit=SUPPLY)
    assert "supply" not in {verdict.output for verdict in found.verdicts}


def test_a_log_of_a_few_rows_is_refused(tmp_path: Path) -> None:
    file = tmp_path / "short.csv"
    file.write_text("t [s],Rail pressure [bar],Engine speed [rpm]\n" + "".join(f"{n},{10 * n},200\n" for n in range(5)))
    with pytest.raises(InputError, match="has fewer than 8 rows with pressure or speed; log for longer"):
        cranking(capture=str(file))


def test_an_idling_engine_is_no_crank() -> None:
    with pytest.raises(InputError, match="no crank"):
        cranking(capture=str(DATA / "osprey_idle.csv.gz"))


def test_the_command_in_german(command: Callable[..., Any]) -> None:
    done = command("cranking", "--pressure", "120 bar", "--enable", ENABLE, "--language", "de")
    assert done.code == 0 and "Der Druck erreicht nur" in done.out


@pytest.mark.parametrize("ratio", [0.5, 0.6667, 1.0])
@pytest.mark.parametrize(("strengths", "pattern"), [((1.0, 1.0, 1.0), "even"), ((1.0, 1.0, 0.1), "uneven")])
def test_the_engines_compression_is_not_taken_for_an_element(
    tmp_path: Path, ratio: float, strengths: tuple[float, ...], pattern: str
) -> None:
    """The starter slows at each compression, twice in a turn of the crank: at a drive of 1 to 1 that is order 2 of the pump."""
    file = Crank(strengths=strengths, ratio=ratio).write(tmp_path)
    assert ripple(capture=file, elements=3, pump_ratio=f"{ratio} 1", injection="off").outputs["pattern"] == pattern


@pytest.mark.parametrize(("zero", "word"), [("10 bar", "undecided"), ("1 bar", "outside"), ("0 bar", "outside")])
def test_the_zero_of_the_sensor_is_in_the_verdict(zero: str, word: str) -> None:
    """JCGM 100:2008, 5.1.2: 195 ± 0.5 bar by a sensor whose zero may be 10 bar off is 195 ± 10.01 bar, k = 1.96 each; that is
    below 200 bar with 83.6 % (normal table), which decides nothing."""
    found = calculate("cranking", pressure="195 ± 0.5 bar", enable="min 200 bar", zero_uncertainty=zero)
    (verdict,) = found.verdicts
    assert verdict.verdict == word
    bar = found["pressure"].to("bar")
    assert (bar.high - bar.low) / 2 == pytest.approx((0.5**2 + float(zero.split()[0]) ** 2) ** 0.5, rel=1e-6)
    if word == "undecided":
        assert verdict.probability == pytest.approx(0.164, abs=0.002)
        assert "zero" in found.findings[0].next_test
