"""Circuits of valves and injectors: an open wire, a bad joint, a dead stage and a missing signal beside each other.

All facts: common practice, no source.
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from baybook.execution import run
from baybook.jobs.evaluation import Outcome, work_out
from baybook.jobs.sheet import read_sheet
from baybook.places.place import OFF_MAP
from baybook_plugins.observation.calculator import observation

SHEETS = Path(__file__).with_name("sheets")
SIGNAL = {"calculator": "reading", "what": "valve drive signal at the unit", "value": "0 %", "limit": "40 to 60 %",
          "place": "outlet valve"}  # fmt: skip
WIRES = {"calculator": "reading", "what": "wires end to end", "limit": "max 1 ohm", "place": "outlet valve"}
DROP = {"calculator": "drop", "part": "outlet-valve", "limit": "max 0.4 V", "section_limit": "max 0.15 V"}


def step(given: dict[str, str]) -> str:
    lines = [f'{name} = "{text}"' for name, text in given.items() if name not in ("calculator", "drops")]
    lines += [f'drops = ["{given["drops"]}"]'] if "drops" in given else []
    return f'\n[[steps]]\ncalculator = "{given["calculator"]}"\n[steps.inputs]\n' + "\n".join(lines) + "\n"


def job(tmp_path: Path, name: str, *more: dict[str, str], first: int | None = None) -> Outcome:
    """A sheet, its first steps only where it is said, with further steps."""
    head, *steps = re.split(r"(?=\[\[steps\]\])", (SHEETS / f"{name}.toml").read_text(encoding="utf-8"))
    sheet = tmp_path / "job.toml"
    sheet.write_text("".join((head, *steps[:first], *map(step, more))), encoding="utf-8")
    outcome = work_out(read_sheet(sheet))
    assert outcome.errors == ()
    return outcome


def chance(outcome: Outcome, name: str) -> float:
    return outcome.found.chances[name]


def first(outcome: Outcome) -> tuple[str, str]:
    standing = outcome.found.standings[0]
    return standing.place.name, standing.word


def factor(outcome: Outcome, place: str, test: str) -> float:
    [found] = [f.factor for f in outcome.found.why(place).factors if f.evidence[0].test == test]
    return found


DEAD = "missing_drive_signal_at_the_valve"


def test_a_signal_that_is_missing_at_the_valve_is_lost_on_an_open_wire_as_well(tmp_path: Path) -> None:
    outcome = job(tmp_path, DEAD)
    assert {s.place.name for s in outcome.found.standings[:2]} == {"outlet valve driver", "outlet valve wiring"}
    assert not [s for s in outcome.found.standings if s.word == "proven"]
    assert chance(outcome, "outlet valve wiring") > 0.3 and chance(outcome, "outlet valve driver") < 0.7
    asked = [test.test for test in outcome.ranked[:2]]
    assert asked == ["wires end to end", "valve drive signal at the unit"]


def test_the_stage_is_proven_by_the_signal_at_its_own_pin_and_wires_that_are_whole(tmp_path: Path) -> None:
    whole = {**WIRES, "value": "0.3 ohm"}
    assert first(job(tmp_path, DEAD, SIGNAL))[1] != "proven"
    assert first(job(tmp_path, DEAD, whole))[1] != "proven"
    assert first(job(tmp_path, DEAD, SIGNAL, whole)) == ("outlet valve driver", "proven")


@pytest.mark.parametrize("own", [{}, {"what": "switched wire end to end", "place": "outlet valve wiring"}])
def test_a_wire_that_is_open_end_to_end_leads_before_the_stage(tmp_path: Path, own: dict[str, str]) -> None:
    assert first(job(tmp_path, DEAD, {**WIRES, "value": "3.1 Mohm", **own})) == ("outlet valve wiring", "proven")


def test_a_signal_that_arrives_misshapen_has_come_along_the_wire(tmp_path: Path) -> None:
    weak = {**SIGNAL, "what": "valve drive signal", "value": "22 %"}
    outcome = job(tmp_path, DEAD, weak, first=1)
    assert first(outcome)[0] == "outlet valve driver" and chance(outcome, "outlet valve driver") > 0.9


def test_along_a_wire_without_current_no_voltage_is_lost_and_nothing_cleared(tmp_path: Path) -> None:
    none_lost = {"calculator": "reading", "what": "valve wiring voltage drop", "value": "0.0 V", "limit": "max 0.3 V",
                 "place": "outlet valve"}  # fmt: skip
    before, after = job(tmp_path, DEAD, first=4), job(tmp_path, DEAD, none_lost, first=4)
    assert chance(after, "outlet valve wiring") == pytest.approx(chance(before, "outlet valve wiring"))
    names = [test.test for test in before.ranked]
    assert "valve wiring voltage drop" not in names and "wires end to end" in names
    flowing = job(tmp_path, "resistance_in_the_valves_wire", none_lost)  # a current flows, and the drop says all it can
    assert factor(flowing, "outlet valve wiring", "valve wiring voltage drop") < 0.4


@pytest.mark.parametrize(
    "more",
    [{}, {"current": "1.62 ± 0.05 A"}, {"battery": "13.9 V", "at_part": "12.4 V"},
     {"battery": "13.9 V", "at_part": "12.4 V", "current": "1.62 ± 0.05 A"}],
)  # fmt: skip
def test_readings_that_agree_with_a_voltage_drop_never_weaken_it(tmp_path: Path, more: dict[str, str]) -> None:
    """1.3 V lost in a section that may lose 0.15 V: with battery and pins read as well, or read as one voltage drop."""
    alone = {**DROP, "drops": "0.08 V, 0.05 V, 1.30 ± 0.02 V"}
    outcome = job(tmp_path, "resistance_in_the_valves_wire", {**alone, **more})
    assert first(outcome) == ("outlet valve wiring", "proven")
    assert outcome.found.contradiction is None
    plain = job(tmp_path, "resistance_in_the_valves_wire",
                {"calculator": "reading", "what": "valve wiring voltage drop", "value": "1.30 V", "limit": "max 0.4 V",
                 "place": "outlet valve"})  # fmt: skip
    assert factor(outcome, "outlet valve wiring", "drop") == pytest.approx(
        factor(plain, "outlet valve wiring", "valve wiring voltage drop")
    )


def test_a_bad_joint_lets_the_valve_click_and_stores_no_code_of_an_open_circuit(tmp_path: Path) -> None:
    name = "resistance_in_the_valves_wire"
    clicks = {"calculator": "observation", "what": "valve that does not click when driven", "seen": "no",
              "place": "outlet valve"}  # fmt: skip
    code = {"calculator": "observation", "what": "fault memory", "code": "rail pressure low", "sure": "certain"}
    before, after = job(tmp_path, name), job(tmp_path, name, clicks, code)
    for part in ("coil", "wiring", "driver"):
        assert chance(after, f"outlet valve {part}") > 0.8 * chance(before, f"outlet valve {part}")
    dead = job(tmp_path, DEAD, clicks, first=1)  # without any current it cannot click, so it is not that
    assert factor(dead, "outlet valve wiring", "valve that does not click when driven") < 0.2


def test_a_speed_that_is_not_seen_explains_a_pressure_that_is_not_made(tmp_path: Path) -> None:
    outcome = job(tmp_path, "no_speed_seen_while_cranking", first=3)
    assert first(outcome)[0] == "speed and phase sensors"
    outcome = job(tmp_path, "no_speed_seen_while_cranking")
    assert first(outcome)[0] == "speed and phase sensors" and chance(outcome, "pump drive") < 0.15
    again = {"calculator": "reading", "what": "speed and phase signals", "value": "235 rpm", "limit": "180 to 300 rpm"}
    sheet = tmp_path / "job.toml"
    mended = '\n[[steps]]\nrepair = ["speed and phase sensors"]\n' + step(again) + '\n[[steps]]\ncomplaint = "gone"\n'
    sheet.write_text(sheet.read_text(encoding="utf-8") + mended, encoding="utf-8")
    closed = work_out(read_sheet(sheet))
    assert "The repair of speed and phase sensors is proved" in closed.conclusion and closed.ranked == ()
    assert chance(closed, "no fault") > 0.95 and "repeat" not in closed.conclusion


def test_a_crank_that_shows_no_speed_is_taken_and_speaks_of_its_sensors(tmp_path: Path) -> None:
    seen = {"calculator": "cranking", "speed": "0 rpm", "speed_limit": "min 180 rpm", "battery": "10.9 V",
            "battery_limit": "min 9.6 V", "pressure": "0 bar", "enable": "min 220 bar"}  # fmt: skip
    outcome = job(tmp_path, "no_speed_seen_while_cranking", seen, first=1)
    assert outcome.found.halts == ()  # a battery that stands is not to be charged
    assert first(outcome)[0] == "speed and phase sensors"
    told = outcome.steps[1].result
    assert told is not None and "does not turn the engine, or the control unit does not see it" in str(
        told.findings[0].statement
    )


def test_two_injectors_without_current_whose_coils_and_wires_are_good_are_their_stage(tmp_path: Path) -> None:
    name = "dead_bank_of_injectors"
    code, one, two = (chance(job(tmp_path, name, first=n), "injector driver") for n in (1, 2, 3))
    assert code < one < two
    before = job(tmp_path, name, first=5)
    assert chance(before, "injector driver") == pytest.approx(chance(before, "injector 2 wiring"), rel=0.2)
    outcome = job(tmp_path, name)
    assert first(outcome)[0] == "injector driver" and chance(outcome, "injector driver") > 0.6
    assert outcome.found.contradiction is None


def test_a_fault_memory_speaks_of_what_is_stored() -> None:
    [note, *_] = run(observation, {"what": "fault memory", "code": "rail sensor"}).notes
    assert "the surest first: rail sensor wiring and rail sensor." in str(note)


FEED = "feed_of_the_sensors_pulled_down"


def test_a_feed_that_is_low_at_both_ends_is_pulled_down_by_what_hangs_on_it(tmp_path: Path) -> None:
    """2.6 V at the sensor and at the unit: no wire between them loses it, and a share of it tells no zero."""
    outcome = job(tmp_path, FEED)
    assert chance(outcome, "rail sensor wiring") < 0.1 and chance(outcome, OFF_MAP) > 0.4
    assert outcome.found.contradiction is None
    assert "unplug the other sensors on that feed one by one" in outcome.next_tests[0]
    assert not [test for test in outcome.next_tests if "measure the supply at the control unit's plug" in test]
    comes_up = {"calculator": "observation", "what": "feed comes up when it is unplugged", "sure": "certain"}
    found = job(tmp_path, FEED, {**comes_up, "place": "charge air"})
    assert found.conclusion.startswith("The fault lies outside the fuel system")
    sheet = tmp_path / "job.toml"
    sheet.write_text((SHEETS / f"{FEED}.toml").read_text(encoding="utf-8") + step({**comes_up, "place": "charge air sensor"}))
    [error] = work_out(read_sheet(sheet)).errors
    assert "charge air" in str(error) and "air mass sensor" in str(error)


def test_what_a_single_fault_may_hide_from_several_tests_is_no_contradiction(tmp_path: Path) -> None:
    """A nozzle that sticks and returns what it should; an open wire of which no code was stored, its plug seen in order."""
    nozzle = job(tmp_path, "nozzle_that_sticks_and_returns_in_order")
    assert first(nozzle)[0] == "injector 3" and nozzle.found.contradiction is None
    none_stored = {"calculator": "observation", "what": "fault memory", "code": "none", "sure": "certain"}
    plug = {"calculator": "observation", "what": "damaged or loose plug", "seen": "no", "place": "outlet valve"}
    own = {**WIRES, "what": "switched wire end to end", "place": "outlet valve wiring", "value": "3.1 Mohm"}
    wire = job(tmp_path, DEAD, none_stored, plug, own, first=1)
    assert chance(wire, "outlet valve wiring") > 0.8 and wire.found.contradiction is None


def test_what_no_single_fault_explains_is_a_contradiction(tmp_path: Path) -> None:
    """A current as it should be, and 9 V across the stage that drives it."""
    right = {"calculator": "drive", "part": "outlet-valve", "duty": "33 %", "mean_current": "1.5 ± 0.02 A",
             "current_limit": "1.3 to 1.7 A"}  # fmt: skip
    lost = {"calculator": "drop", "part": "outlet-valve", "current": "1.5 A", "driver": "9.2 V", "driver_limit": "max 0.8 V"}
    outcome = job(tmp_path, DEAD, right, lost, first=0)
    assert outcome.found.contradiction is not None
    assert "contradict each other" in outcome.conclusion
