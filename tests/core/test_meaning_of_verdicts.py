"""What a verdict is on, in which way it is beyond, and what the declaration says of it: by hand."""

from __future__ import annotations

import pytest
from tests.core.test_answers import feed, made

from baybook.api import Estimate, Finding, Meaning, Result, SpecRange, Verdict
from baybook.draws import AtLeast, Draws
from baybook.result import Given
from baybook.verdicts import _knowing, meaning_of, value_of, way_of


def bar(value: float) -> Estimate:
    return Estimate.of(value, "bar", 0.01)


def outside(low: float | None, high: float | None, unit: str = "bar", index: int | None = None, what: str = "feed") -> Verdict:
    return Verdict("x", "outside", 0.0, SpecRange(low, high, unit), output=what, index=index)


@pytest.mark.parametrize(("low", "high", "unit", "value", "way"), [
    (3.0, 5.0, "bar", 6.0, "above"), (3.0, 5.0, "bar", 2.0, "below"), (3.0, None, "bar", 2.0, "below"),
    (None, 5.0, "bar", 6.0, "above"), (300.0, 500.0, "kPa", 6.0, "above"), (300.0, 500.0, "kPa", 2.0, "below"),
    (-0.8, -0.2, "bar", -0.1, "above"), (-0.8, -0.2, "bar", -0.9, "below"), (-0.8, 0.0, "bar", 0.1, "above"),
])  # fmt: skip
def test_the_way_follows_from_the_value_in_the_ranges_own_unit(
    low: float | None, high: float | None, unit: str, value: float, way: str
) -> None:
    """1 bar is 100 kPa by definition."""
    assert way_of(outside(low, high, unit), {"feed": bar(value)}) == way


def test_a_way_that_is_told_stands_and_one_that_cannot_be_known_is_the_word() -> None:
    spec = SpecRange(3.0, 5.0, "bar")
    assert way_of(Verdict("x", "outside", 0.0, spec, output="feed", way="above"), {"feed": bar(2.0)}) == "above"
    assert way_of(outside(3.0, 5.0), {}) == "outside"
    for word in ("within", "undecided"):
        assert way_of(Verdict("x", word, 0.5, spec, output="feed"), {"feed": bar(9.0)}) == word


def test_a_verdict_is_on_the_number_of_a_vector_that_it_names() -> None:
    """Counted from 1; a gap, a word, a vector without a number and another output are no estimate."""
    flows: dict[str, Given] = {"flow": (bar(1.0), bar(2.0), None, bar(4.0)), "word": "some", "feed": bar(7.0)}
    found = [value_of(outside(None, 1.0, index=index, what="flow"), flows) for index in (1, 2, 3, 4, None)]
    assert [item and item.value for item in found] == [1.0, 2.0, None, 4.0, None]
    assert value_of(outside(None, 1.0, what="word"), flows) is None and value_of(outside(None, 1.0, what="none"), flows) is None
    assert value_of(outside(None, 1.0), flows) == bar(7.0)


def test_draws_and_bounds_know_more_than_what_is_told_of_them_and_estimates_less() -> None:
    """Of a vector that is told as none, each number stands as it was given."""
    drawn, least, plain, told = Draws([1.0, 2.0], "bar"), AtLeast(bar(3.0)), bar(4.0), bar(5.0)
    assert _knowing(plain, told) is told and _knowing(plain, None) is plain
    assert _knowing(drawn, told) is drawn and _knowing(least, told) is least
    assert _knowing((drawn, least, plain), (told, None, told)) == (drawn, least, told)
    assert _knowing((drawn, least), None) == (drawn, least)


def test_a_meaning_of_this_output_and_way_goes_before_any() -> None:
    """First this output, then any; of each first this way, then outside; a good or open verdict never means outside."""
    names = [(way, of) for way in ("outside", "above", "within") for of in ("", "feed")]
    meanings = {(way, of): Meaning(f"{way} {of}", "says", "next", verdict=way, output=of) for way, of in names}

    class Declared:
        meanings: tuple[Meaning, ...] = ()

    def said(way: str, *known: tuple[str, str]) -> str | None:
        declared = Declared()
        declared.meanings = tuple(meanings[name] for name in known)
        found = meaning_of(declared, outside(3.0, 5.0), way)  # type: ignore[arg-type]
        return found.seen if found else None

    assert said("above", *names) == "above feed"
    assert said("above", ("outside", ""), ("above", ""), ("outside", "feed")) == "outside feed"
    assert said("above", ("outside", ""), ("above", "")) == "above "
    assert said("above", ("outside", "")) == said("below", *names[:1], *names[2:]) == said("outside", *names[:1]) == "outside "
    assert said("within", *names) == "within feed" and said("within", ("within", ""), ("outside", "feed")) == "within "
    assert said("within", ("outside", ""), ("above", "feed")) is None is said("undecided", *names)


def test_a_limit_is_judged_once_by_the_calculators_own_verdict_or_by_the_core() -> None:
    """A verdict that the calculator made on the output by name stands; one on something else does not take its place."""
    spec = SpecRange(3.0, 5.0, "bar")
    own = Result(feed(2.0).outputs, verdicts=(Verdict("feed", "undecided", 0.5, spec),))
    [verdict] = made(None, own)(feed_limit="3 to 5 bar").verdicts
    assert (verdict.output, verdict.verdict) == ("feed", "undecided")
    other = Result(feed(2.0).outputs, verdicts=(Verdict("hose", "undecided", 0.5, spec),))
    assert [(v.output, v.verdict) for v in made(None, other)(feed_limit="3 to 5 bar").verdicts] == [
        ("", "undecided"), ("feed", "outside"),
    ]  # fmt: skip
    assert made(None, feed(2.0))(flow_limit="<= 5 mL/min").verdicts == ()


def test_the_worst_word_alone_is_the_finding_and_further_ones_follow_it() -> None:
    """Of 1, 9 and 6 mL/min with 6 the most: 9 is outside, 6 as likely as not; alone, the open one; then the good one."""
    spec = "<= 6 mL/min"

    def flows(*values: float) -> Result:
        further = (Finding("supply", "hydraulic", "by the way", "undecided"),)
        return Result({"flow": tuple(Estimate.of(value, "mL/min", 0.1) for value in values)}, further=further)

    for values, words, strength in (
        ((1.0, 9.0, 6.0), "flow of injector 2 is outside", "indicated"),
        ((1.0, 6.0, 6.0), "flow of injector 2 and 3 is too uncertain", "undecided"),
    ):
        first, last = made(None, flows(*values))(flow_limit=spec).findings
        assert words in str(first.statement).lower() and first.strength == strength and first.next_test == ""
        assert (first.stage, first.side, last.statement) == ("supply", "hydraulic", "by the way")
    assert [finding.statement for finding in made(None, flows(1.0))().findings] == ["by the way"]
    # of a calculator with several limits one that is kept says nothing of the stage without a meaning of its own
    assert [finding.statement for finding in made(None, flows(1.0, 2.0))(flow_limit=spec).findings] == ["by the way"]


def test_findings_of_the_calculators_own_leave_none_to_its_verdicts() -> None:
    own = Result(feed(2.0).outputs, findings=(Finding(statement="it leaks", strength="proven"),))
    [finding] = made(None, own)(feed_limit="3 to 5 bar").findings
    assert (finding.statement, finding.stage, finding.side) == ("it leaks", "supply", "hydraulic")
    kept = Result(feed(2.0).outputs, findings=(Finding("delivery", "control", "it sticks", "proven"),))
    [finding] = made(None, kept)(feed_limit="3 to 5 bar").findings
    assert (finding.stage, finding.side) == ("delivery", "control")
    half = Result(feed(2.0).outputs, findings=(Finding("delivery", "", "it sticks", "proven"),))
    [finding] = made(None, half)(feed_limit="3 to 5 bar").findings
    assert (finding.stage, finding.side) == ("delivery", "hydraulic")
