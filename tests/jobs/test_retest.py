"""A repair is proved by a reading that moved, judged by the same limit, on the same part. Common practice, no source."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from baybook.jobs.evaluation import Outcome, work_out
from baybook.jobs.plain import plain
from baybook.jobs.sheet import read_sheet

Working = Callable[..., Outcome]
FEED = 'what = "feed pressure"\nload = "yes"\nvalue = "{}"\nlimit = "{}"'
DROP = 'what = "filter pressure drop"\nvalue = "{}"\nlimit = "{}"'
RETURNS = 'volumes = ["30 mL", "{} mL", "{} mL", "30 mL"]\ntime = "60 s"\nflow_limit = "{}"'
HOLD = (
    'start = "1000 bar"\nend = "{} bar"\ntime = "30 s"\nvolume = "{}"\noutlet_valve = "driven-shut"\nlimit = "max 0.5 mL/min"'
)
PEAK = 'part = "injector"\nnumber = 3\npeak_current = "15 A"\npeak_limit = "{}"'
GONE, STANDS = '[[steps]]\ncomplaint = "gone"\n', '[[steps]]\ncomplaint = "stands"\n'


def test_of(calculator: str, inputs: str, *values: object) -> str:
    return f'[[steps]]\ncalculator = "{calculator}"\n[steps.inputs]\n{inputs.format(*values)}\n'


test_of.__test__ = False  # type: ignore[attr-defined]  # (a step of a sheet)


def repair(*parts: str) -> str:
    return f"[[steps]]\nrepair = {list(parts)}\n"


@pytest.fixture
def working(tmp_path: Path) -> Working:
    def work(*steps: str) -> Outcome:
        path = tmp_path / "job.toml"
        path.write_text("format = 1\n" + "".join(steps), encoding="utf-8")
        outcome = work_out(read_sheet(path))
        assert outcome.errors == ()
        return outcome

    return work


@pytest.mark.parametrize(
    ("part", "before", "after", "named"),
    [
        ("filter", test_of("reading", FEED, "0.4 bar", "3.5 to 5 bar"), test_of("reading", FEED, "0.4 bar", "0.3 to 5 bar"),
         "limit"),
        ("filter", test_of("reading", DROP, "0.8 bar", "max 0.3 bar"), test_of("reading", DROP, "0.8 bar", "max 3 bar"),
         "limit"),
        ("injector 3", test_of("returns", RETURNS, 31, 90, "max 45 mL/min"),
         test_of("returns", RETURNS, 31, 90, "max 450 mL/min"), "flow limit"),
        ("rail and joints", test_of("hold", HOLD, 600, "25 mL"), test_of("hold", HOLD, 600, "4 mL"), "volume"),
        ("injector 3", test_of("drive", PEAK, "17 to 21 A"), test_of("drive", PEAK, "14 to 21 A"), "peak limit"),
    ],
)  # fmt: skip
def test_the_same_reading_within_another_limit_proves_nothing(
    working: Working, part: str, before: str, after: str, named: str
) -> None:
    outcome = working(before, repair(part), after, GONE)
    assert [(p.word, p.after.conforms) for p in outcome.found.proofs if p.after] == [("judged otherwise", 0.5)]
    assert f"step 3 was judged by another {named} than step 1; judge both by the same." in outcome.conclusion
    assert "no fault is left has a chance" not in outcome.conclusion
    assert "Before the job is closed repeat" in outcome.conclusion
    told = " ".join(plain(outcome).found)
    assert "does not prove it" in told and "Found and repaired" not in told


@pytest.mark.parametrize("limit", ["3.5 to 5 bar; sheet 3", "0.35 to 0.5 MPa", "3 to 5.5 bar", "4 to 5 bar"])
def test_a_reading_within_both_limits_proves_the_repair(working: Working, limit: str) -> None:
    """However the second is written, and whether it is wider or narrower."""
    outcome = working(test_of("reading", FEED, "0.4 bar", "3.5 to 5 bar; sheet 3"), repair("filter"),
                      test_of("reading", FEED, "4.4 bar", limit))  # fmt: skip
    assert [proof.word for proof in outcome.found.proofs] == ["proved"]


def test_a_tighter_limit_alone_makes_no_repair_vain(working: Working) -> None:
    first = test_of("returns", RETURNS, 31, 90, "max 45 mL/min")
    outcome = working(first, repair("injector 3"), test_of("returns", RETURNS, 31, 33, "max 20 mL/min"))
    assert {proof.word for proof in outcome.found.proofs} == {"judged otherwise"}


def test_a_retest_by_the_first_limit_settles_it(working: Working) -> None:
    feed = test_of("reading", FEED, "0.4 bar", "3.5 to 5 bar")
    outcome = working(feed, repair("filter"), test_of("reading", FEED, "0.4 bar", "0.3 to 5 bar"),
                      test_of("reading", FEED, "4.2 bar", "3.5 to 5 bar"))  # fmt: skip
    assert [(proof.word, proof.after.step) for proof in outcome.found.proofs if proof.after] == [("proved", 4)]


def test_the_last_word_of_the_complaint_counts(working: Working) -> None:
    steps = (test_of("reading", DROP, "0.8 bar", "max 0.3 bar"), repair("filter"),
             test_of("reading", DROP, "0.1 bar", "max 0.3 bar"))  # fmt: skip
    back = working(*steps, GONE, STANDS)
    assert back.found.complaint_stands and back.found.complaint_tried_again
    assert "gone" not in back.conclusion and "The complaint stands." in back.conclusion
    assert "The complaint is still there." in plain(back).found
    assert back.found.chances == working(*steps, STANDS).found.chances
    gone = working(*steps, STANDS, GONE)
    assert not gone.found.complaint_stands and "The complaint is gone after the repair" in gone.conclusion


def test_what_is_found_at_another_part_after_the_repair_is_said(working: Working) -> None:
    limit = "max 45 mL/min"
    steps = test_of("returns", RETURNS, 31, 90, limit), repair("injector 3"), test_of("returns", RETURNS, 90, 30, limit)
    outcome = working(*steps, GONE)
    (proof,) = outcome.found.proofs
    assert (proof.word, proof.elsewhere) == ("moved", ("injector 2",))
    assert "within after it (step 3), and outside on injector 2, where it was within before (step 1)" in outcome.conclusion
    assert "Were hoses, plugs or parts exchanged?" in outcome.conclusion
    assert "that no fault is left is not shown" in outcome.conclusion and "has a chance" not in outcome.conclusion
    assert "taken again before the vehicle is handed over" in plain(outcome).means
    settled = working(*steps, repair("injector 2"), test_of("returns", RETURNS, 30, 30, limit), GONE)
    assert {proof.word for proof in settled.found.proofs} == {"proved"}


def test_another_part_that_was_outside_before_as_well_takes_no_proof_away(working: Working) -> None:
    limit = "max 45 mL/min"
    outcome = working(test_of("returns", RETURNS, 90, 90, limit), repair("injector 3"),
                      test_of("returns", RETURNS, 90, 30, limit), GONE)  # fmt: skip
    assert "The repair of injector 3 is proved" in outcome.conclusion
    assert "the fault lies in injector 2" in outcome.conclusion


def test_the_same_repair_noted_twice_is_one(working: Working) -> None:
    before, after = (test_of("reading", DROP, value, "max 0.3 bar") for value in ("0.8 bar", "0.1 bar"))
    outcome = working(before, repair("filter"), repair("filter"), after)
    assert outcome.conclusion.count("The repair of filter") == 1 and "is proved" in outcome.conclusion
    assert working(before, repair("filter"), repair("filter")).conclusion.count("is not proved yet") == 1


def test_two_repairs_with_nothing_between_them_have_one_retest(working: Working) -> None:
    before, after = (test_of("reading", FEED, value, "3.5 to 5 bar") for value in ("0.4 bar", "4.2 bar"))
    outcome = working(before, repair("filter"), repair("tank pump"), after)
    assert [(proof.repair.parts, proof.word) for proof in outcome.found.proofs] == [
        (("filter",), "proved"), (("tank pump",), "proved"),
    ]  # fmt: skip
    tried = working(before, repair("filter"), STANDS, repair("tank pump"), after)
    assert [proof.word for proof in tried.found.proofs] == ["not repeated", "proved"]
