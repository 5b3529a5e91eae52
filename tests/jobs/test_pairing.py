"""What proves a repair, and that both pages of a report say the same. All facts of the trade: common practice, no source."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from baybook.jobs.evaluation import Outcome, work_out
from baybook.jobs.report import report_data
from baybook.jobs.sheet import read_sheet

Job = Callable[..., Outcome]
FITTED = """
[system]
low_pressure = ["{}"]
filter = true
inlet_valve = true
outlet_valve = "rail"
pump_elements = 3
injectors = 4
returns = "separate"
injector_bleed = false
open_at_rest = ["outlet valve"]
"""
SUCTION, ELECTRIC = FITTED.format("suction pump"), FITTED.format("tank pump")
CODE = '\n[[steps]]\ncalculator = "observation"\n[steps.inputs]\nwhat = "fault memory"\ncode = "{}"\n'
CRANKING = '\n[[steps]]\ncalculator = "cranking"\n[steps.inputs]\nspeed = "205 rpm"\npressure = "{} bar"\ntime = "{} s"\n'
CRANKING += 'enable = "min 200 bar"\ntime_limit = "max 3 s"\nspeed_limit = "min 180 rpm"\n'
RETURNS = '\n[[steps]]\ncalculator = "returns"\n[steps.inputs]\nvolumes = ["21 {} 22 20 mL"]\ntime = "60 s"\n'
RETURNS += 'rail_pressure = "280 bar"\ncondition = "idle"\nmedian_limit = "max 150 %"\n'
REGULATOR = '\n[[steps]]\ncalculator = "regulator"\n[steps.inputs]\nwhere = "inlet"\npressure = "{} bar"\ntarget = "300 bar"\n'
REGULATOR += 'inlet_usual_duty = "22-30 %"\ninlet_commanded_duty = "21 %"\n'
FEED = '\n[[steps]]\ncalculator = "reading"\n[steps.inputs]\nwhat = "feed pressure"\nvalue = "{} bar"\n'
FEED += 'limit = "3.5 to 5 bar"\nload = "{}"\n'
SUPPLY = '\n[[steps]]\ncalculator = "supply"\n[steps.inputs]\n{} = "{} bar"\n{}_limit = "3.5 to 5 bar"\n'
REPAIR, GONE = '\n[[steps]]\nrepair = ["{}"]\n', '\n[[steps]]\ncomplaint = "gone"\n'


@pytest.fixture
def job(tmp_path: Path) -> Job:
    """Works a sheet of these steps out."""

    def made(*steps: str, kind: str = "starts badly", system: str = SUCTION) -> Outcome:
        path = tmp_path / "job.toml"
        path.write_text(f'[job]\nnumber = "1"\n[complaint]\nkind = "{kind}"\n{system}{"".join(steps)}', encoding="utf-8")
        outcome = work_out(read_sheet(path))
        assert outcome.errors == ()
        return outcome

    return made


def rows(outcome: Outcome) -> list[tuple[str, str, str]]:
    """The report's table: test, what stands after the repair, and the word."""
    told: list[dict[str, Any]] = report_data(outcome)["proofs"]
    return [(str(row["test"]), str(row["after"] or ""), str(row["word"])) for row in told]


def page_1(outcome: Outcome) -> str:
    return " ".join(map(str, report_data(outcome)["plain"]["found"]))


def test_a_stored_code_is_history_and_no_other_test_repeats_it(job: Job) -> None:
    outcome = job(CODE.format("rail pressure low"), REPAIR.format("filter"), CRANKING.format(240, 1), GONE)
    assert rows(outcome) == [("fault memory", "", "not shown by a repeated test")]
    assert "is proved" not in outcome.conclusion and "not shown by a repeated test: repeat fault memory" in outcome.conclusion
    assert page_1(outcome).startswith("Repaired: the fuel filter. The complaint is gone; no test was repeated")
    read_again = job(CODE.format("rail pressure low"), REPAIR.format("filter"), CODE.format("none"), GONE)
    assert [row[2] for row in rows(read_again)] == ["proved"]


def test_each_reading_is_paired_with_itself_alone_and_named(job: Job) -> None:
    """An injector is exchanged, the start stays bad, and the filter's seal is what is left."""
    outcome = job(
        CODE.format("rail pressure low"), CRANKING.format(195, 6.5), RETURNS.format(64), REPAIR.format("injector 2"),
        RETURNS.format(23), CRANKING.format(240, 5), REPAIR.format("filter"), CRANKING.format(268, 1.4), GONE,
    )  # fmt: skip
    found = rows(outcome)
    assert [(test, word) for test, _, word in found] == [
        ("cranking: time", "still outside"), ("returns: injector 2, percent of median", "proved"), ("cranking: time", "proved"),
    ]  # fmt: skip
    assert "5 s" in found[0][1] and "1.4 s" in found[2][1]
    assert "fault memory" not in outcome.conclusion and "did not mend it" not in outcome.conclusion


def test_another_test_of_the_same_pressure_is_no_repetition(job: Job) -> None:
    outcome = job(REGULATOR.format(45), REPAIR.format("inlet valve"), CRANKING.format(310, 1.1), GONE)
    assert rows(outcome) == [("regulator", "", "not shown by a repeated test")]


def test_a_pressure_at_idle_does_not_repeat_one_under_load(job: Job) -> None:
    bad, there = SUPPLY.format("load", "2.1", "load"), SUPPLY.format("load", "4.1", "load")
    idle = SUPPLY.format("idle", "4.1", "idle")
    [(_, after, word)] = rows(job(bad, REPAIR.format("tank pump"), idle, GONE, kind="lacks power", system=ELECTRIC))
    assert (after, word) == ("", "not shown by a repeated test")
    [(_, after, word)] = rows(job(bad, REPAIR.format("tank pump"), there, GONE, kind="lacks power", system=ELECTRIC))
    assert after.startswith("4.1 bar") and word == "proved"
    [(_, _, word)] = rows(
        job(FEED.format(2.1, "yes"), REPAIR.format("tank pump"), FEED.format(4.1, "no"), kind="lacks power", system=ELECTRIC)
    )
    assert word == "not shown by a repeated test"


def test_a_repair_proved_by_one_of_two_tests_of_a_thing_stands_in_one_row(job: Job) -> None:
    outcome = job(
        CODE.format("rail pressure low"), FEED.format(2.1, "yes"), SUPPLY.format("load", "2.1", "load"),
        REPAIR.format("tank pump"), FEED.format(4.1, "yes"), GONE, kind="lacks power", system=ELECTRIC,
    )  # fmt: skip
    [(test, after, word)] = rows(outcome)
    assert (test, after[:7], word) == ("feed pressure: value", "4.1 bar", "proved")


def test_what_was_exchanged_and_nothing_shows_is_not_told_as_the_fault(job: Job) -> None:
    outcome = job(
        RETURNS.format(64), REPAIR.format("filter"), REPAIR.format("injector 2"), RETURNS.format(23), GONE,
    )  # fmt: skip
    told = page_1(outcome)
    assert "the fuel filter" not in told.partition("not shown by a repeated test")[0]


CHARGE = '\n[[steps]]\ncalculator = "reading"\n[steps.inputs]\nwhat = "charge pressure"\nvalue = "1.35 bar"\n'
CHARGE += 'limit = "2.0 to 2.4 bar"\nplace = "charge air"\n'
PETROL = '\n[[steps]]\ncalculator = "fuel"\n[steps.inputs]\ndensity = "797 ± 1 kg/m3"\ntemperature = "20 °C"\n'
PETROL += 'density_limit = "820 to 845 kg/m3"\nlook = "clear"\nsmell = "petrol"\n'
SEEN = '\n[[steps]]\ncalculator = "observation"\n[steps.inputs]\nwhat = "milky, dark or smelling fuel"\nsure = "likely"\n'


def test_page_one_says_what_page_two_says_of_a_fault_outside_the_fuel_system(job: Job) -> None:
    outcome = job(CODE.format("none"), FEED.format(4.3, "yes"), CHARGE, kind="lacks power", system=ELECTRIC)
    assert "The fault lies outside the fuel system (" in outcome.conclusion
    assert page_1(outcome).startswith("The fault lies outside the fuel system: charge air.")


def test_page_one_says_what_page_two_says_of_a_proven_fault_that_is_a_danger(job: Job) -> None:
    outcome = job(SEEN, PETROL, system=ELECTRIC)
    assert "Proven: the fault lies in the fuel in the tank" in outcome.conclusion
    assert page_1(outcome) == "The fault is found: the fuel in the tank. That is proven by measuring."
    assert str(report_data(outcome)["plain"]["means"]).startswith("It is not safe to run the engine")
