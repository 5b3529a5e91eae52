"""What a job asks for to prove a repair, and what it makes of a complaint that stands after it. common practice, no source"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from tests.jobs.test_practice import reading, seen, step

from baybook.jobs.conclusion import open_tests
from baybook.jobs.evaluation import Outcome, work_out
from baybook.jobs.report import report_data
from baybook.jobs.sheet import read_sheet
from baybook.jobs.text_report import outcome_lines
from baybook.language import language
from baybook.places.place import NO_FAULT, OFF_MAP

SYSTEM = (
    'format = 2\n[complaint]\nkind = "lacks power"\nshows = ["load"]\n[system]\nlow_pressure = ["tank pump"]\nfilter = true\n'
    'inlet_valve = true\noutlet_valve = "rail"\ninjectors = 4\ninjector_bleed = false\npump_elements = 3\n'
    'returns = "separate"\nopen_at_rest = ["outlet valve"]\n'
)
FEED = {"load_limit": "3.5 to 5 bar; sheet", "filter_limit": "max 0.5 bar; sheet", "temperature": "28 ± 3 °C", "air": "none"}
BLOCKED = step("supply", load="1.7 ± 0.1 bar", before_filter="4.9 ± 0.1 bar", **FEED)
CLEAR = step("supply", load="4.1 ± 0.1 bar", before_filter="4.4 ± 0.1 bar", **FEED)
CUT_OPEN = seen("fault in a low-side part by itself", place="filter")
RENEWED = '\n[[steps]]\nrepair = ["filter"]\n'


@pytest.fixture
def job(tmp_path: Path) -> Callable[..., Outcome]:
    def made(*parts: str) -> Outcome:
        path = tmp_path / "job.toml"
        path.write_text(SYSTEM + "".join(parts), encoding="utf-8")
        outcome = work_out(read_sheet(path))
        assert outcome.errors == ()
        return outcome

    return made


def mended(outcome: Outcome) -> str:
    return next(str(asked) for asked in outcome.asked if "mend " in str(asked))


def test_what_was_measured_is_repeated_and_no_look_at_the_part(job):
    """The filter is new: that it is no longer clogged proves nothing; the drop across it does."""
    assert "then repeat supply: that proves the repair" in mended(job(BLOCKED, CUT_OPEN))
    assert "then repeat filter pressure drop: that" in mended(
        job(reading("filter pressure drop", "1.9 ± 0.1 bar", "max 0.3 bar", load="yes"), CUT_OPEN)
    )


def test_where_only_a_look_showed_it_the_complaint_is_tried_again(job):
    for look in (CUT_OPEN, seen("burnt socket, nothing comes out", place="tank pump wiring")):
        told = mended(job(look))
        assert "then try the complaint again" in told and "proves" not in told


def test_a_look_at_the_new_part_is_no_proof_of_its_repair(job):
    again = seen("fault in a low-side part by itself", place="filter", seen="no")
    outcome = job(CUT_OPEN, RENEWED, again)
    assert outcome.found.proofs == () and report_data(outcome)["proofs"] == []
    assert {proof.word for proof in job(BLOCKED, CUT_OPEN, RENEWED, CLEAR).found.proofs} == {"proved"}


def test_with_the_complaint_still_there_no_fault_is_never_open(job):
    """It stands after a repair that the same reading proves: another place, or outside the fuel system."""
    outcome = job(BLOCKED, RENEWED, CLEAR, '\n[[steps]]\ncomplaint = "stands"\n')
    assert outcome.found.chances[NO_FAULT] == 0.0 and outcome.found.open[0] == OFF_MAP
    page = " ".join("\n".join(outcome_lines(outcome)).split())
    assert "Still open (95 % together) outside the fuel system " in page and "no fault" not in page
    german = " ".join("\n".join(outcome_lines(outcome, language=language("de"))).split())
    assert "außerhalb des Kraftstoffsystems " in german


def test_of_a_rail_that_was_proven_empty_nobody_asks_whether_it_was(job):
    """The same calculator is still to measure supply and ground: for that the question does not matter."""
    zero = step("sensor", standing="82 ± 1 bar", zero_limit="-10 to 10 bar; sheet", emptied="yes")
    duties = {"inlet_duty": "33 ± 1 %", "inlet_usual_duty": "30 to 36 %", "outlet_duty": "17 ± 1 %"}
    idle = {"where": "both", "pressure": "301 ± 3 bar", "target": "300 ± 3 bar", "meter_counts": "low"}
    outcome = job(step("regulator", **idle, **duties, outlet_usual_duty="20 to 24 %"), zero)
    [again] = [test for test in open_tests(outcome.sheet, outcome.found, 30) if test.test == "sensor"]
    assert again.needs == ()
    assert "second means, not by this sensor" not in " ".join(" ".join(outcome_lines(outcome)).split())


def test_chances_that_add_up_to_more_than_all_are_said_to_be_of_several(job):
    """Two signals are bad that no one place brings about together; of one fault alone nothing is said."""
    speed = reading("speed and phase signals", "0.1 ± 0.05 V", "min 1 V; sheet")
    returned = reading("relief valve return", "210 ± 5 mL/min", "max 5 mL/min; sheet")
    for parts, several in ((BLOCKED,), False), ((speed, returned), True):
        outcome = job(*parts)
        page = " ".join("\n".join(outcome_lines(outcome)).split())
        assert (sum(outcome.found.chances[name] for name in outcome.found.open) > 1.02) == several
        assert ("several of these may be at fault at the same time" in page) == several


def test_what_was_typed_reads_german_in_german(job):
    """Words that an input may be, tests and parts by their names; in English they stay as they were typed."""
    outcome = job(seen("fault memory", code="none"), seen("damaged or loose plug", place="outlet valve", seen="no"))
    german = " ".join("\n".join(outcome_lines(outcome, language=language("de", outcome.packages))).split())
    assert "eingegeben: was Fehlerspeicher; " in german and "gesehen nein" in german
    assert "Stelle Druckregelventil" in german and "certain" not in german and "compression" not in german
    assert "given: what fault memory; sure certain" in " ".join("\n".join(outcome_lines(outcome)).split())
