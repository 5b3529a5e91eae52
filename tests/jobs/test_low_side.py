"""Jobs of the low-pressure side, read as a master of the trade would. All facts: common practice, no source."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from tests.jobs.test_practice import job as job
from tests.jobs.test_practice import reading, step
from tests.jobs.test_proof import SHEETS, chance, first, offered, shown
from tests.jobs.test_proof import job as sheet

from baybook.jobs.evaluation import Outcome, work_out
from baybook.jobs.plain import plain
from baybook.jobs.sheet import read_sheet

LOADED = {"load": "4.1 ± 0.1 bar", "load_limit": "3.5 to 5 bar"}
IDLING = {"idle": "4.4 ± 0.1 bar", "idle_limit": "3.5 to 5 bar"}
BELOW = step("target", actual="930 bar", target="1450 bar", band="-50 to 50 bar", asked="all")


def factor(outcome: Outcome, place: str, test: str) -> float:
    """What all that a test found makes of the odds of a place."""
    found = 1.0
    for each in outcome.found.why(place).factors:
        if any(item.test == test for item in each.evidence):
            found *= each.factor
    return found


def test_a_worn_pump_that_idles_well_is_the_pump() -> None:
    outcome = sheet("worn_pump_that_idles_well")
    assert first(outcome) == ("pump elements", "likely")
    assert chance(outcome, "filter") < 0.05 and chance(outcome, "feed line") < 0.05


def test_a_good_feed_pressure_at_idle_takes_nothing_from_the_good_one_under_load(job: Callable[..., Outcome]) -> None:
    """The same measurement says the same, in which of the tests it is typed."""
    alone = job(BELOW, step("supply", **LOADED), kind="lacks power")
    both = job(BELOW, step("supply", **LOADED, **IDLING), kind="lacks power")
    read = job(BELOW, reading("feed pressure", "4.1 ± 0.1 bar", "3.5 to 5 bar", load="yes"), kind="lacks power")
    assert factor(both, "filter", "supply") == pytest.approx(factor(alone, "filter", "supply"), rel=1e-6)
    assert factor(alone, "filter", "supply") == pytest.approx(factor(read, "filter", "feed pressure"), rel=1e-6)
    assert factor(alone, "filter", "supply") < 0.05


def test_even_orders_hardly_speak_for_a_pump_whose_elements_may_all_be_weak() -> None:
    outcome = sheet("worn_pump_that_idles_well")
    assert 0.5 < factor(outcome, "pump elements", "ripple") < 0.8
    [even] = [finding for worked in outcome.steps if worked.step.calculator == "ripple" and worked.result
              for finding in worked.result.findings]  # fmt: skip
    assert even.strength == "undecided" and "all of them little" in str(even.statement)


@pytest.mark.parametrize("name", ["wax_in_the_frost", "wax_in_the_frost_filter_read_hot"])
def test_a_filter_that_is_good_warm_leaves_the_fuel(name: str) -> None:
    """It is read warm on purpose: that the complaint shows cold takes nothing from it, nor is it to be read again."""
    outcome = sheet(name)
    assert first(outcome) == ("tank fuel", "likely") and chance(outcome, "filter") < 0.1
    assert factor(outcome, "filter", "filter pressure drop, warm") < 0.05
    assert "step 4" not in shown(outcome).partition("Settle first")[2].partition("Test next")[0]
    assert "filter pressure drop, warm" not in offered(outcome)


def test_a_small_depression_says_nothing_of_the_suction_pump_behind_the_gauge() -> None:
    outcome = sheet("small_depression_before_a_suction_pump")
    assert factor(outcome, "suction pump", "supply") > 0.7
    assert factor(outcome, "filter", "supply") < 0.3  # what lies before the gauge holds nothing back
    assert [finding.strength for finding in outcome.steps[0].result.findings] == ["undecided"]
    assert "a worn one draws less" in shown(outcome)


@pytest.mark.parametrize(("value", "limit"), [("-0.02 ± 0.01 bar", "-0.30 to 0 bar"), ("0.02 ± 0.01 bar", "0 to 0.30 bar")])
def test_a_depression_read_by_itself_says_the_same(value: str, limit: str, job: Callable[..., Outcome]) -> None:
    system = '[system]\nlow_pressure = ["suction pump"]\nfilter = true\ninjectors = 4\n'
    outcome = job(reading("suction depression", value, limit), kind="lacks power", system=system)
    assert factor(outcome, "suction pump", "suction depression") > 0.8
    assert factor(outcome, "air leak", "suction depression") > 0.9
    assert factor(outcome, "filter", "suction depression") < 0.3


def test_a_start_that_is_slow_hot_alone_asks_for_what_leaks_at_high_pressure() -> None:
    outcome = sheet("slow_hot_start_pressurised_line")
    assert chance(outcome, "air leak") < 0.06 < chance(outcome, "outlet valve")
    assert chance(outcome, "outlet valve") > 2 * chance(outcome, "air leak")
    assert {"outlet valve return", "return-parts"} & set(offered(outcome))


@pytest.mark.parametrize("said", ['condition = "cold"\n', ""])
def test_a_filter_within_at_twenty_degrees_proves_no_repair_of_what_was_blocked_in_the_frost(said: str, tmp_path: Path) -> None:
    """Whether the condition was typed, or the fuel's temperature alone says it."""
    text = (SHEETS / "wax_in_the_frost_filter_renewed.toml").read_text(encoding="utf-8")
    (tmp_path / "job.toml").write_text(text.replace('condition = "cold"\n', said), encoding="utf-8")
    outcome = work_out(read_sheet(tmp_path / "job.toml"))
    assert "proved" not in {proof.word for proof in outcome.found.proofs}
    assert "The repair of filter is not proved yet: supply is within after it (step 7)" in outcome.conclusion
    assert "was in order" not in " ".join(str(line) for line in plain(outcome).found)
    assert first(outcome)[0] == "tank fuel"


@pytest.mark.parametrize(
    ("before", "shows", "after", "proves"),
    [
        ("cold", "cold", "cold", True), ("cold", "cold", "hot", False), ("cold", "cold", "", False), ("", "cold", "hot", False),
        ("hot", "hot", "hot", True), ("load", "load", "idle", False), ("", "", "", True),
    ],
)  # fmt: skip
def test_a_repair_is_proved_in_the_condition_of_before(
    before: str, shows: str, after: str, proves: bool, tmp_path: Path
) -> None:
    def taken(condition: str, drop: str) -> str:
        said = f'condition = "{condition}"\n' if condition else ""
        read: str = reading("filter pressure drop", drop, "max 0.5 bar")
        return read.replace('calculator = "reading"\n', f'calculator = "reading"\n{said}')

    showing = f'shows = ["{shows}"]\n' if shows else ""
    text = f'[complaint]\nkind = "cuts out"\n{showing}[system]\nlow_pressure = ["tank pump"]\nfilter = true\ninjectors = 4\n'
    text += taken(before, "4.2 ± 0.1 bar") + '\n[[steps]]\nrepair = ["filter"]\n' + taken(after, "0.2 ± 0.05 bar")
    (tmp_path / "job.toml").write_text(text, encoding="utf-8")
    [proof] = work_out(read_sheet(tmp_path / "job.toml")).found.proofs
    assert proof.word == ("proved" if proves else "not repeated")
    assert (proof.otherwise is None) == proves


@pytest.mark.parametrize("place", ["feed line", "filter"])
def test_no_bubbles_at_a_hose_nearer_to_the_tank_takes_no_air_away_that_was_seen_at_the_pump(
    place: str, tmp_path: Path
) -> None:
    text = (SHEETS / "clear_hose_moved_to_the_filter.toml").read_text(encoding="utf-8")
    (tmp_path / "job.toml").write_text(text.replace('place = "feed line"', f'place = "{place}"'), encoding="utf-8")
    outcome = work_out(read_sheet(tmp_path / "job.toml"))
    assert first(outcome) == ("air leak", "likely")
    assert factor(outcome, "air leak", "bubbles in the clear hose") == pytest.approx(1.0, rel=1e-6)
    assert "comes in behind this hose" in shown(outcome)
    assert outcome.next_tests[0].startswith("bleed it the maker's way")  # where it comes in is still to be found


def test_bubbles_nearer_to_the_tank_are_bubbles_and_no_hose_is_on_an_injector(tmp_path: Path) -> None:
    text = (SHEETS / "clear_hose_moved_to_the_filter.toml").read_text(encoding="utf-8")
    (tmp_path / "job.toml").write_text(text.replace('seen = "no"', 'seen = "yes"'), encoding="utf-8")
    assert first(work_out(read_sheet(tmp_path / "job.toml")))[0] == "air leak"
    (tmp_path / "job.toml").write_text(text.replace('place = "feed line"', 'place = "injector 3"'), encoding="utf-8")
    outcome = work_out(read_sheet(tmp_path / "job.toml"))
    assert 'place: "injector 3" has no clear hose; give tank fuel or' in " ".join(map(str, outcome.errors))


def test_a_seal_that_is_seen_pinched_is_the_air_and_contradicts_nothing() -> None:
    """Named as the air that is drawn in, or as what was seen at the filter, which draws little: the depression is small."""
    named, at_filter = sheet("seal_seen_pinched"), sheet("seal_seen_pinched_at_the_filter")
    assert first(named) == ("air leak", "proven")
    assert first(at_filter) == ("air leak", "likely") and chance(at_filter, "air leak") > 3 * chance(at_filter, "filter")
    assert named.found.contradiction is None and at_filter.found.contradiction is None


@pytest.mark.parametrize("part", ["filter", "air leak"])
def test_bubbles_gone_after_the_seal_was_mended_prove_it(part: str, tmp_path: Path) -> None:
    text = (SHEETS / "seal_seen_pinched_at_the_filter.toml").read_text(encoding="utf-8")
    text += f'\n[[steps]]\nrepair = ["{part}"]\n'
    text += step("supply", cranking="-0.06 ± 0.02 bar", cranking_limit="-0.30 to 0 bar", air="none")
    text += '\n[[steps]]\ncomplaint = "gone"\n'
    (tmp_path / "job.toml").write_text(text, encoding="utf-8")
    outcome = work_out(read_sheet(tmp_path / "job.toml"))
    assert f"The repair of {part} is proved: supply was outside before it" in outcome.conclusion
    assert "The complaint is gone after the repair" in outcome.conclusion


def test_an_open_way_to_the_intermediate_pump_is_not_asked_for_its_drop_again(tmp_path: Path) -> None:
    text = (SHEETS / "intermediate_pump_without_voltage.toml").read_text(encoding="utf-8")
    until_drop = "[[steps]]".join(text.split("[[steps]]")[:4])
    (tmp_path / "job.toml").write_text(until_drop, encoding="utf-8")
    outcome = work_out(read_sheet(tmp_path / "job.toml"))
    assert outcome.steps[-1].step.calculator == "drop"
    assert "undecided" not in [test.reason for test in outcome.ranked]  # (its insulation was not read, and may be)
    assert "it was undecided" not in shown(outcome)


def test_a_pump_in_the_line_is_looked_at_by_itself_and_its_plug_as_that_of_any_part() -> None:
    by_itself, plug = sheet("intermediate_pump_runs_by_itself"), sheet("intermediate_pump_without_voltage")
    for outcome in (by_itself, plug):
        assert outcome.errors == ()
        assert first(outcome) == ("intermediate pump wiring", "proven")
