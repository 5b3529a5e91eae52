"""reading: any reading against any range, with the place that it speaks of."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated

from baybook import fields
from baybook.api import (
    ANYWHERE,
    NONE_FLOWS,
    Answer,
    AtLeast,
    Estimate,
    Example,
    Message,
    Output,
    Problem,
    Reading,
    Refused,
    Result,
    Senses,
    SpecRange,
    calculator,
    drawn,
    judge,
    next_in_job,
    place_problems,
)

from .known import (
    AT_UNIT,
    DEPRESSION,
    ENDS,
    FAMILIES,
    HELD_BACK,
    INJECTOR_CURRENT,
    MISSHAPEN,
    NOT_DRIVEN,
    OTHER,
    READINGS,
    SIGNAL,
    SLACK,
)
from .procedures import PROCEDURES

NO_LIMIT = Message("Without a range it has no verdict and says nothing: find the range in the maker's data, and type it in.")
OVER = "OL was taken as more than {end}: the range that the meter stood at has to reach beyond that."
LOADS = {"yes": "under load, where the complaint is", "no": "not so"}


def place_fits(what: str, place: str | None) -> Iterator[Problem]:
    """A reading that is not one of the usual has to say its place; one that is made on parts, on which of them."""
    return place_problems(what, place, READINGS, usual="usual readings", where="of which place it speaks", done="read")


def value_or_over_range(value: Reading | None, over_range: bool, limit: SpecRange | None) -> Iterator[Problem]:
    """A number, or that there is none because the meter is beyond its range; then it takes a limit to say anything."""
    if value is None and not over_range:
        yield Problem("value", None, "is missing", "give what it showed, such as 4.1 bar, or OL for a meter beyond its range")
    elif over_range and limit is None:
        yield Problem("limit", None, "is missing, and OL has no number", "give the range, such as max 1 ohm")


def of_its_kind(what: str, value: Reading | None) -> Iterator[Problem]:
    """A usual reading is a quantity of its own kind."""
    wanted = FAMILIES.get(what)
    if value is not None and wanted and value.unit.family not in wanted:
        hint = f"give a {' or a '.join(wanted)}, or name what was read"
        yield Problem("value", value.text, f"is a {value.unit.family}, and {what} is none", hint)


def range_ends(what: str, value: Reading | None, limit: SpecRange | None) -> Iterator[Problem]:
    """A range has the end beyond which such a reading is wrong; a depression and its range are below zero alike, or neither."""
    if limit is None:
        return
    try:
        limit.check_ends(ENDS.get(what, ""))
    except Refused as refused:
        yield Problem("limit", str(limit), refused.why, refused.hint)
    ends = [end for end in (limit.low, limit.high) if end]
    if what == DEPRESSION and value is not None and ends and value.value and (value.value < 0) != (min(ends) < 0):
        yield Problem("value", value.text, "is on the other side of zero than its range", "type both as the gauge shows them")


def range_fits(value: Reading | None, limit: SpecRange | None) -> Iterator[Problem]:
    """Reading and range are of one kind."""
    if value is None:
        return
    if limit is not None and limit.unit.family != value.unit.family:
        why = f"is a range of {limit.unit.family}, and {value.text} is a {value.unit.family}"
        yield Problem("limit", str(limit), why, "give both alike")
    elif limit and limit.kind and {value.kind.reference, limit.kind.reference} == {"gauge", "absolute"}:
        why = f"is {limit.kind.reference}, and {value.text} is {value.kind.reference}"
        yield Problem("limit", str(limit), why, "give both alike")
    elif limit and limit.kind and "absolute" in (ends := (value.kind.reference, limit.kind.reference)) and len(set(ends)) > 1:
        marked, open_one = (value.text, str(limit)) if ends[0] == "absolute" else (str(limit), value.text)
        why = f"may be gauge or absolute, and {marked} is absolute: one bar lies between them"
        yield Problem("limit" if marked == value.text else "value", open_one, why, "write abs or gauge behind both units")


@calculator(
    title="Reading",
    stage="any",
    side="any",
    proves="Whether a reading lies within the range that the data give. Which places that speaks of, the kind of reading says.",
    outputs={"value": Output("any", "the reading", always=False)},
    cautions=ANYWHERE,
    sources=(
        "Which places a reading speaks of, and how surely: common practice, no source.",
        "Verdict: ISO 14253-1:2017, JCGM 106:2012.",
    ),
    examples=(
        Example(
            {"what": "feed pressure", "value": "0.40 ± 0.05 bar", "limit": "3.5 to 5 bar"},
            {"value": (0.4, "bar", 1e-12)},
            "The reading as it is",
        ),
    ),
    formulas=("low ≤ value ≤ high",),
    sense=Senses("what", READINGS, OTHER, PROCEDURES),
    rules=(place_fits, value_or_over_range, of_its_kind, range_ends, range_fits),
)
def reading(
    what: Annotated[
        str, fields.Text("what was read", positional=True, known=dict.fromkeys(READINGS, "a usual reading"))
    ],
    value: Annotated[
        Reading | None, fields.any_quantity("what it showed", positional=True, usual="4.1 bar", overload="over_range")
    ],
    limit: Annotated[
        SpecRange | None, fields.any_spec_range("the range from the data", judges="value", usual="3.5 to 5 bar; sheet 3")
    ],
    place: Annotated[str | None, fields.Text("which part it was read on, or speaks of: injector 3, tank pump")],
    load: Annotated[str | None, fields.Choice("whether it was read under load, where the complaint is", words=LOADS)],
    condition: Annotated[str | None, fields.Text("in which condition it was read, in words")],
    over_range: Annotated[bool, fields.Flag("the meter is beyond its range, OL")],
) -> Result:  # fmt: skip
    """Judge any reading against any range.

    A usual reading is known by its name and says of itself of which places it speaks; any other says its place.
    """
    told = next_in_job(READINGS.get(what, OTHER), place) if limit else NO_LIMIT
    if value is None:
        assert limit is not None  # a rule sees to it
        bound, end = beyond(limit)
        return Result({"value": bound}, notes=(Message(OVER, end=end), told))
    own = {DEPRESSION: _depression, INJECTOR_CURRENT: _driven, SIGNAL: _signal, AT_UNIT: _signal}.get(what)
    answers = tuple(own(value, limit)) if own and limit else ()
    return Result({"value": Estimate.from_reading(value)}, notes=(told,), answers=answers)


def beyond(limit: SpecRange) -> tuple[AtLeast, Estimate]:
    """What is known of a reading beyond the meter's range: that it is more than the range's last end; with that end."""
    end = next(each for each in (limit.high, limit.low) if each is not None)
    least = end + 1e-9 * max(1.0, abs(end))
    exact = [Estimate(each, limit.unit, each, each, kind=limit.kind) for each in (least, end)]
    return AtLeast(exact[0]), exact[1]


def _depression(value: Reading, limit: SpecRange) -> Iterator[Answer]:
    """Whether it is too great or too small; typed as a gauge pressure, below zero, the greater is the lower."""
    ends, read = limit.to(value.unit), Estimate.from_reading(value)
    below = read.below(ends.low) if ends.low else None  # (of none at all it tells not how well is drawn)
    above = read.above(ends.high) if ends.high else None
    typed_as_pressure = min(end for end in (value.value, ends.low, ends.high) if end is not None) < 0.0
    great, small = (below, above) if typed_as_pressure else (above, below)
    if great is not None:
        yield Answer(HELD_BACK, 1.0 - great)
    if small is not None:
        yield Answer(SLACK, 1.0 - small)
    yield from drawn(depression=read.high < 0.0 if typed_as_pressure else read.low > 0.0)


NONE = 0.05
"""Below this share of the least that it should have a coil has no current at all. Common practice, no source."""


def _driven(value: Reading, limit: SpecRange) -> Iterator[Answer]:
    """Whether it has no current at all, which comes about as well where no injector is driven."""
    least = limit.to(value.unit).low
    if least is not None and Estimate.from_reading(value).above(NONE * least) < 0.05:
        yield Answer(NOT_DRIVEN, 0.01, shows=NONE_FLOWS)
        yield Answer("")


STUCK = 0.02
"""Share of the time: nearer than that to never or always a signal does not switch. Common practice, no source."""


def _signal(value: Reading, limit: SpecRange) -> Iterator[Answer]:
    """Whether a signal that is outside its range switches at all."""
    verdict, share = judge("value", Estimate.from_reading(value), limit), value.to("1").value
    if verdict.verdict == "outside" and STUCK < share < 1.0 - STUCK:
        yield Answer(MISSHAPEN, verdict.probability or 0.0)
        yield Answer("")
