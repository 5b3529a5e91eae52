"""Whole jobs that a second master of the trade read over the shoulder. All facts: common practice, no source."""

from __future__ import annotations

from pathlib import Path

import pytest

from baybook.dataclass import replace
from baybook.jobs.evaluation import Outcome, work_out
from baybook.jobs.sheet import read_sheet

SHEETS = Path(__file__).with_name("sheets")
INJECTORS = [f"injector {n}" for n in range(1, 5)]


def job(name: str, steps: int | None = None) -> Outcome:
    """The sheet worked out as it stood after so many steps, all of them where none is said."""
    sheet = read_sheet(SHEETS / f"{name}.toml")
    outcome = work_out(replace(sheet, steps=sheet.steps[:steps]))
    assert outcome.errors == ()
    return outcome


def typed(path: Path, head: str, *steps: str) -> Outcome:
    path.write_text(head + "".join(f"\n[[steps]]\n{step}\n" for step in steps), encoding="utf-8")
    outcome = work_out(read_sheet(path))
    assert outcome.errors == ()
    return outcome


def chance(outcome: Outcome, name: str) -> float:
    return outcome.found.chances[name]


def words(outcome: Outcome) -> dict[str, str]:
    return {standing.place.name: standing.word for standing in outcome.found.standings}


def offered(outcome: Outcome) -> list[tuple[str, str]]:
    return [(test.test, name) for test in outcome.ranked for name in (test.object, *test.also)]


def factor(outcome: Outcome, place: str, test: str) -> float:
    return next(each.factor for each in outcome.found.why(place).factors if each.evidence[0].test == test)


HEAD = """
[complaint]
kind = "{kind}"
[system]
low_pressure = ["tank pump"]
filter = true
inlet_valve = true
outlet_valve = "rail"
injectors = 4
injector_bleed = false
open_at_rest = ["outlet valve"]
"""
NO_CODE = 'calculator = "observation"\n[steps.inputs]\nwhat = "fault memory"\ncode = "none"'
STAGE_CODE = NO_CODE.replace('"none"', '"injector output stage"')
SILENT = 'calculator = "reading"\n[steps.inputs]\nwhat = "injector current"\nvalue = "0 A"\nlimit = "17 to 21 A"\nplace = "{}"'
RIGHT = (
    'calculator = "coil"\n[steps.inputs]\nreading = "0.24 ohm"\nleads = "0.02 ± 0.01 ohm"\ntemperature = "20 °C"\n'
    'limit = "0.18 to 0.30 ohm"\npart = "injector"\nnumber = "{}"'
)
SHORTED = RIGHT.replace("0.24", "0.03")


def test_a_silent_bank_is_its_stage_or_what_hangs_on_it() -> None:
    """One short in an injector or its wire shuts the stage off that drives the others as well: two of them without current
    are one thing that was seen, and so is the code of the stage."""
    outcome = job("stage_code_and_two_silent_injectors")
    hanging = [f"{name} {part}" for name in INJECTORS for part in ("coil", "wiring")]
    assert chance(outcome, "injector driver") < 0.5 < outcome.found.of_any(hanging)
    assert words(outcome)["injector driver"] == "open"
    for name in ("injector 1 coil", "injector 2 coil", "injector 2 wiring", "injector 4 wiring"):
        assert chance(outcome, name) > 0.05
    assert "the output stage that drives the injectors" in outcome.conclusion and "what hangs on it" in outcome.conclusion
    assert "Proven" not in outcome.conclusion


def test_a_third_silent_injector_says_no_more_of_the_stage_than_two(tmp_path: Path) -> None:
    two, four = (
        typed(tmp_path / "job.toml", HEAD.format(kind="runs unevenly"), STAGE_CODE, *map(SILENT.format, INJECTORS[:n]))
        for n in (2, 4)
    )
    assert chance(four, "injector driver") == pytest.approx(chance(two, "injector driver"), abs=0.05)


def test_with_the_code_of_the_stage_alone_coil_and_insulation_of_each_are_among_the_first() -> None:
    named = offered(job("stage_code_and_two_silent_injectors", 1))
    for test in ("coil", "drop"):
        assert {(test, name) for name in INJECTORS} <= set(named)


def test_coils_that_are_right_leave_wires_and_stage_and_a_shorted_one_is_the_fault(tmp_path: Path) -> None:
    head, silent = HEAD.format(kind="runs unevenly"), map(SILENT.format, INJECTORS[:2])
    base = [STAGE_CODE, *silent]
    sound = typed(tmp_path / "job.toml", head, *base, *map(RIGHT.format, range(1, 5)))
    assert words(sound)["injector driver"] != "proven"
    assert sound.found.of_any(f"{name} wiring" for name in INJECTORS) > 0.4
    shorted = typed(tmp_path / "job.toml", head, *base, SHORTED.format(4))  # not even one of the two that were found silent
    assert words(shorted)["injector 4 coil"] == "proven"


def test_an_empty_fault_memory_speaks_strongly_against_an_open_or_shorted_circuit(tmp_path: Path) -> None:
    outcome = typed(tmp_path / "job.toml", HEAD.format(kind="runs unevenly"), NO_CODE)
    for name in ("injector 3 coil", "injector 3 wiring", "inlet valve wiring", "outlet valve driver", "injector driver"):
        assert 0.05 < factor(outcome, name, "fault memory") < 0.2, name
    for name in ("rail sensor", "injector 3", "filter"):  # a drift and a worn part store none, or late
        assert factor(outcome, name, "fault memory") > 0.4, name


def test_it_speaks_less_against_what_comes_and_goes(tmp_path: Path) -> None:
    head = HEAD.format(kind="cuts out")
    bumps = head.replace('"cuts out"', '"cuts out"\nshows = ["bumps"]')
    still, moved = (factor(typed(tmp_path / "job.toml", text, NO_CODE), "inlet valve wiring", "fault memory")
                    for text in (head, bumps))  # fmt: skip
    assert moved > 2.5 * still
    contact = typed(tmp_path / "job.toml", bumps, NO_CODE).found
    assert contact.chances["inlet valve wiring"] > contact.chances["inlet valve coil"] * 3


def test_an_uneven_idle_without_a_code_asks_for_the_compression_before_a_plug_is_pulled() -> None:
    corrected = job("weak_cylinder_found_step_by_step", 3)
    first = corrected.found.standings[0].place.name
    assert first == "injector 3"
    for name in ("injector 3 coil", "injector 3 wiring"):
        assert chance(corrected, name) < 0.6 * chance(corrected, "injector 3")
    test = corrected.ranked[0]
    assert (test.test, test.hands) == ("relative compression", "nothing opened")


def test_a_weak_cylinder_stands_as_firm_step_by_step_as_at_once(tmp_path: Path) -> None:
    text = (SHEETS / "weak_cylinder_found_at_once.toml").read_text(encoding="utf-8")
    before, behind = text.split("peaks = ")
    (tmp_path / "job.toml").write_text(f'{before}\n[[steps]]\ncalculator = "delivery"\n[steps.inputs]\npeaks = {behind}')
    at_once, split = job("weak_cylinder_found_at_once"), work_out(read_sheet(tmp_path / "job.toml"))
    assert chance(split, "compression") == pytest.approx(chance(at_once, "compression"), abs=0.01)
    assert chance(at_once, "compression") > 0.9
    assert chance(job("weak_cylinder_found_step_by_step"), "compression") > 0.9


def test_a_pump_that_makes_some_pressure_or_draws_is_driven() -> None:
    """45 bar while it is cranked, and a depression before it: a broken drive gives neither, and only one that slips would."""
    before, *after = (job("little_pressure_after_three_months", n) for n in range(2, 8))
    assert chance(before, "pump drive") > 0.05
    for outcome in after:
        assert chance(outcome, "pump drive") < 0.02
    assert "pump drive" not in job("little_pressure_after_three_months").found.open


def test_a_depression_on_the_suction_side_speaks_against_the_drive(tmp_path: Path) -> None:
    head = HEAD.format(kind="does not start").replace('"tank pump"', '"suction pump"')
    read = 'calculator = "reading"\n[steps.inputs]\nwhat = "suction depression"\nvalue = "{}"\nlimit = "{}"'
    none = chance(typed(tmp_path / "job.toml", head), "pump drive")
    for value, limit in (("-0.06 bar", "-0.25 to 0 bar"), ("0.06 bar", "0 to 0.25 bar")):
        outcome = typed(tmp_path / "job.toml", head, read.format(value, limit))
        assert chance(outcome, "pump drive") < 0.2 * none


def test_a_look_at_the_drive_is_offered_where_the_pump_may_stand_still() -> None:
    outcome = job("little_pressure_after_three_months", 1)
    [look] = [test for test in outcome.ranked if test.test == "broken or slipped drive of the pump"]
    assert (look.minutes, look.hands) == (3.0, "nothing opened")
    assert look.separates == ("pump drive",)


@pytest.mark.parametrize("steps", [4, 6, 7])
def test_an_inlet_valve_among_the_foremost_gets_its_own_test(steps: int) -> None:
    outcome = job("little_pressure_after_three_months", steps)
    assert "inlet valve" in [standing.place.name for standing in outcome.found.standings[:3]]
    assert ("valve that does not click when driven", "inlet valve") in offered(outcome)


@pytest.mark.parametrize("steps", [1, 2, 3])
@pytest.mark.parametrize("name", ["late_start_four_injectors_alike", "little_pressure_after_three_months"])
def test_what_is_alike_is_called_alike(name: str, steps: int) -> None:
    outcome = job(name, steps)
    said = words(outcome)
    assert len({round(chance(outcome, each), 6) for each in INJECTORS}) == 1
    assert len({said[each] for each in INJECTORS}) == 1
    open_, closed = ({round(s.chance, 9) for s in outcome.found.standings if s.open is way} for way in (True, False))
    assert not open_ & closed


def test_four_that_are_alike_are_named_together() -> None:
    outcome = job("late_start_four_injectors_alike", 2)
    together = round(100 * outcome.found.of_any(INJECTORS))
    assert f"foremost so far, {together} % together: injector 1, injector 2, injector 3 and injector 4." in outcome.conclusion


def test_a_list_is_not_cut_between_places_that_are_alike() -> None:
    for steps in range(1, 8):
        said = job("little_pressure_after_three_months", steps).conclusion
        named = [name in said for name in INJECTORS]
        assert all(named) or not any(named), said


@pytest.mark.parametrize("steps", [2, 3, 4, 5, 6])
def test_target_met_under_load_and_no_code_send_outside_the_fuel_system_first(steps: int) -> None:
    outcome = job("low_charge_pressure_fuel_side_good", steps)
    assert "look outside the fuel system" in outcome.conclusion
    assert outcome.next_tests[0].startswith("look outside the fuel system: air filter, charge air and its hoses")
    assert ("damaged or loose plug", "injector 1") not in offered(outcome)


def test_what_was_found_outside_is_to_be_mended_by_its_name() -> None:
    outcome = job("low_charge_pressure_fuel_side_good")
    assert "job mark: repair charge air)" in outcome.next_tests[0]
    assert "battery" not in outcome.next_tests[0]


def test_a_complaint_that_comes_once_a_day_is_not_gone_because_it_stays_away_for_a_while(tmp_path: Path) -> None:
    outcome = job("contact_once_a_day_mended")
    assert 0.9 < chance(outcome, "no fault") < 0.98
    assert chance(outcome, "rail sensor wiring") > 0.01
    text = (SHEETS / "contact_once_a_day_mended.toml").read_text(encoding="utf-8")
    moved = text.split("[[steps]]")[4].replace('moved = "yes"', 'moved = "yes"\nseen = "no"')
    (tmp_path / "job.toml").write_text(f"{text}\n[[steps]]{moved}")
    again = work_out(read_sheet(tmp_path / "job.toml"))
    assert chance(again, "no fault") > chance(outcome, "no fault") + 0.005
    assert "proved" in [proof.word for proof in again.found.proofs] and "proved" not in [p.word for p in outcome.found.proofs]


def test_a_stored_code_is_history_and_no_measurement_after_it_proves_a_repair() -> None:
    outcome = job("code_a_repair_and_one_good_crank", 3)
    assert "is proved:" not in outcome.conclusion
    assert [proof.word for proof in outcome.found.proofs] == ["not repeated"]


def test_the_memory_read_again_proves_what_its_code_pointed_at(tmp_path: Path) -> None:
    text = (SHEETS / "code_a_repair_and_one_good_crank.toml").read_text(encoding="utf-8")
    (tmp_path / "job.toml").write_text(f"{text}\n[[steps]]\n{NO_CODE}\n")
    outcome = work_out(read_sheet(tmp_path / "job.toml"))
    assert [proof.word for proof in outcome.found.proofs] == ["proved"]
