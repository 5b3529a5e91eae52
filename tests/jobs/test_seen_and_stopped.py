"""What is dangerous comes first, what was seen at a place decides, and what lies outside the fuel system is found there.

Whole sheets of an invented workshop, read as a master of the trade would. All facts: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from tests.jobs.test_proof import SHEETS, chance, first, job, offered, shown

from baybook.jobs.evaluation import Outcome
from baybook.jobs.offered import offered_tests

KEY_OUT = "key off and out, no flame, do not switch on, start or crank"
RUNAWAY = "engine off, and do not start, crank or load it"


def turning(outcome: Outcome) -> list[str]:
    return [name for name in offered(outcome) if offered_tests()[name].sense.turning]


@pytest.mark.parametrize("name", ["pressure_far_above_target", "second_gauge_far_above"])
def test_a_pressure_far_above_what_it_should_be_stops_the_engine(name: str) -> None:
    """2350 bar at a target of 1500, or 655 on a gauge of its own where 300 is shown."""
    outcome = job(name)
    assert outcome.conclusion.startswith(f"First of all (step 1): {RUNAWAY}")
    assert turning(outcome) == [] and "regulator" in [test.test for test in outcome.withheld]
    (first_of_all,) = outcome.at_once
    assert "look at the rail sensor first" in str(first_of_all)
    assert outcome.steps[0].result is not None
    assert any(str(text).startswith(RUNAWAY) for text in outcome.steps[0].result.warnings)


def test_a_second_gauge_a_little_above_stops_nothing() -> None:
    assert job("second_gauge_a_little_above").found.halts == ()


@pytest.mark.parametrize("name", ["fuel_runs_out_at_the_low_side", "wet_union_at_the_filter"])
def test_fuel_that_runs_out_at_the_low_side_stops_the_engine_until_it_is_mended(name: str) -> None:
    outcome = job(name)
    assert outcome.conclusion.startswith(f"First of all (step 1): {KEY_OUT}: fuel that runs out burns")
    assert turning(outcome) == [] and outcome.withheld


def test_a_crank_against_the_stop_is_told_and_lifts_nothing() -> None:
    outcome = job("cranked_with_petrol")
    assert outcome.found.halts and set(outcome.found.against) == {2}
    assert f"Step 2 turned the engine against what step 1 says comes first: {KEY_OUT}" in shown(outcome)
    assert first(outcome)[0] == "tank fuel" and chance(outcome, "tank fuel") > 0.9


def test_a_crank_against_the_stop_is_told_when_it_is_added(tmp_path: Path, command: Callable[..., Any]) -> None:
    sheet = tmp_path / "job.toml"
    sheet.write_bytes((SHEETS / "wet_joint.toml").read_bytes())
    ran = command("job", "add", sheet, "cranking", "--pressure", "250 bar", "--enable", "min 200 bar")
    assert ran.code == 0
    assert "Step 2 turned the engine against what step 1 says comes first" in ran.err


def test_an_empty_tank_is_filled_and_bled_first() -> None:
    outcome = job("empty_tank")
    assert outcome.conclusion.startswith("First of all (step 2): fill the tank with the right fuel, bleed the maker's way")
    assert "nothing that was measured of the supply before that is valid" in outcome.conclusion
    assert outcome.ranked == ()
    assert first(outcome)[0] == "tank fuel" and chance(outcome, "tank fuel") > 0.9


@pytest.mark.parametrize(
    ("name", "place"),
    [("relief_valve_seen_flowing", "relief valve"), ("wet_joint", "rail and joints"), ("torn_ring_seen", "outlet valve")],
)
def test_what_was_seen_for_certain_at_the_place_itself_is_mended_next(name: str, place: str) -> None:
    outcome = job(name)
    assert first(outcome)[0] == place and chance(outcome, place) > 0.9
    assert outcome.ranked == ()
    mend = [text for text in outcome.next_tests if str(text).startswith(f"mend {place}, mark it")]
    assert len(mend) == 1
    assert "seen at the place itself" in outcome.conclusion or "Proven" in outcome.conclusion


def test_wetness_at_one_joint_speaks_of_no_other() -> None:
    outcome = job("wet_joint")
    assert chance(outcome, "pump outlet") < 0.02
    assert outcome.conclusion.startswith("First of all (step 1): do not start or crank: fuel under pressure gets out")


def test_a_battery_that_falls_away_comes_before_all_else() -> None:
    outcome = job("weak_battery")
    assert outcome.conclusion.startswith("First of all (step 1): charge or test the battery, look at its leads and the starter")
    assert "foremost so far: what was found outside the fuel system" in outcome.conclusion
    assert str(outcome.next_tests[0]).startswith("charge or test the battery")
    assert turning(outcome) == []
    assert outcome.found.standings[0].chance < 0.05


def test_a_new_battery_is_a_repair_and_a_good_crank_proves_it() -> None:
    outcome = job("weak_battery_renewed")
    assert (
        "The repair of battery is proved: cranking was outside before it (step 1) and is within after it" in outcome.conclusion
    )
    assert chance(outcome, "no fault") > 0.95


def test_a_vehicle_that_does_not_start_has_its_faults_read_and_is_cranked_with_live_data_first() -> None:
    """Ten minutes, nothing opened: rail pressure, speed and battery on the screen while the starter turns."""
    outcome = job("does_not_start_untested")
    assert offered(outcome)[:2] == ["fault memory", "cranking"]
    assert not any(offered_tests()[name].sense.running for name in offered(outcome))
    assert "was it read while cranking, where the complaint is?" in shown(outcome)
    assert "under load" not in shown(outcome)


def test_a_silent_pump_has_its_plug_measured_before_it_is_taken_apart() -> None:
    outcome = job("silent_tank_pump")
    texts = [str(text) for text in outcome.next_tests]
    plug = next(at for at, text in enumerate(texts) if text.startswith("supply and ground at its plug"))
    assert not any("by itself" in text for text in texts[:plug])
    assert plug < next(at for at, text in enumerate(texts) if "min, " in text)
    apart = [name for name in offered(outcome) if offered_tests()[name].sense.apart]
    assert offered(outcome)[len(offered(outcome)) - len(apart) :] == apart


def test_a_healthy_fuel_side_sends_the_search_outside_it() -> None:
    """1396 of 1400 bar under load: drive, elements, outlet and joints are good at that."""
    outcome = job("fuel_side_healthy")
    for name in ("pump drive", "pump elements", "pump outlet", "rail and joints"):
        assert chance(outcome, name) < 0.02
    assert chance(outcome, "not on the map") > 0.25
    assert "look outside the fuel system" in outcome.conclusion
    assert str(outcome.next_tests[0]).startswith("look outside the fuel system: air filter, charge air and its hoses, boost")
    assert "battery" not in str(outcome.next_tests[0])  # which no engine lacks power of
    assert "pump" not in offered(outcome)[:3]


@pytest.mark.parametrize("name", ["charge_air_hose_split", "outside_by_the_house_phrase"])
def test_what_was_found_outside_is_decisive_and_mended_next(name: str) -> None:
    outcome = job(name)
    assert chance(outcome, "not on the map") > 0.9
    assert outcome.ranked == ()
    what = "charge air" if name == "charge_air_hose_split" else "what was found outside the fuel system"
    assert str(outcome.next_tests[0]).startswith(f"mend {what}")
    assert outcome.conclusion.startswith("The fault lies outside the fuel system (")


@pytest.mark.parametrize(
    ("words", "line"),
    [
        (("mark", "--repair", "battery"), ""),
        (("mark", "--repair", "not on the map"), ""),
        (("mark", "--repair", "not on the map: filler flap"), ""),
        (("mark", "--complaint", "gone"), ""),
        (("mark", "--repair", "boost"), '--repair: "boost" is not on this vehicle\'s map; '),
        (("mark", "--repair", "starterr"), "did you mean starter?"),
        (("add", "reading", "boost pressure", "0.3 bar", "--limit", "1.1 to 1.4 bar", "--place", "charge air"), ""),
        (("add", "reading", "boost pressure", "0.3 bar", "--limit", "1 to 1.4 bar", "--place", "boost pipe"), "is not on this"),
        (("add", "observation", "hose split", "--place", "not on the map"), ""),
        (("add", "observation", "hose split", "--place", "intercooler"), "is not on this vehicle's map"),
    ],
)  # fmt: skip
def test_a_part_is_taken_or_refused_at_once(words: tuple[str, ...], line: str, tmp_path: Path, command: Any) -> None:
    sheet = tmp_path / "job.toml"
    sheet.write_bytes((SHEETS / "does_not_start_untested.toml").read_bytes())
    before = sheet.read_bytes()
    ran = command("job", words[0], sheet, *words[1:])
    if line:
        assert ran.code == 2 and line in ran.err and len(ran.err.strip().splitlines()) == 1
        assert sheet.read_bytes() == before
    else:
        assert ran.code == 0
        assert command("job", "run", sheet).code == 0


def test_a_proof_names_the_test_that_made_it() -> None:
    """A pressure that the regulator shows at idle is not the one while cranking, which is still to be read again."""
    outcome = job("crank_again_by_the_regulator")
    told = "The repair of pump drive is not proved yet, not shown by a repeated test: repeat cranking, which was outside before"
    assert told in outcome.conclusion and "is proved:" not in outcome.conclusion
    mended = job("wire_mended_read_otherwise").conclusion
    assert mended.count("is proved") == 1
    assert "regulator (outlet valve) was outside before it (step 2) and is within after it (step 4)" in mended


def test_what_was_outside_and_never_read_again_keeps_the_job_open() -> None:
    outcome = job("petrol_drained_returns_not_read_again")
    assert "Before the job is closed repeat returns, outside before it (step 2)" in outcome.conclusion
    assert "that no fault is left has a chance of" not in outcome.conclusion


def test_after_a_good_feed_pressure_behind_the_filter_nobody_is_sent_before_it() -> None:
    outcome = job("weak_pump_with_good_feed")
    assert not {"feed pressure before the filter", "supply", "filter pressure drop"} & set(offered(outcome))
    assert outcome.found.sum("supply") < 0.2


@pytest.mark.parametrize(
    ("words", "name"),
    [
        (("observation", "bubbles"), "did you mean bubbles in the clear hose?"),
        (("observation", "tank"), "did you mean empty tank?"),
        (("observation", "wetness high"), "did you mean wetness at the high-pressure side?"),
        (("reading", "before filter", "4.1 bar"), "did you mean feed pressure before the filter?"),
        (("reading", "colour of the sky", "4.1 bar"), "--help lists them; else say of which place it speaks (place)"),
    ],
)
def test_a_part_of_a_usual_name_is_understood(words: tuple[str, ...], name: str, command: Any) -> None:
    ran = command(*words)
    assert ran.code == 2 and name in ran.err and len(ran.err.strip().splitlines()) == 1


@pytest.mark.parametrize(
    ("calculator", "names"),
    [("observation", ("bubbles in the clear hose", "empty tank")), ("reading", ("feed pressure", "outlet valve return"))],
)
def test_the_usual_names_stand_in_the_help_and_behind_the_question_mark(
    calculator: str, names: tuple[str, ...], command: Any
) -> None:
    from baybook.cli.dialogue import explanation
    from baybook.language import ENGLISH
    from baybook.registry import registry

    told = command(calculator, "--help").out.splitlines()
    explained = explanation(registry().calculator(calculator).parameter("what"), ENGLISH)
    for name in names:
        assert f"  {name}" in told and name in explained
