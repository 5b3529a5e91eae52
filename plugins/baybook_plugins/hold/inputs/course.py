"""How the pressure went: two readings, many by hand, or a capture."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from typing import Annotated, Any, NamedTuple

from baybook import inputs
from baybook.api import COVERAGE, Problem, Reading, duration, gauge_pressure, readings

from ..two_point.readings import rises, sinks
from .rail import HIGHEST, HIGHEST_MPA, Rail, pair
from .wanted import Wanted


class Course(NamedTuple):
    """What was read of the pressure."""

    start: Annotated[
        Reading | None,
        gauge_pressure("rail pressure when the pump stopped", symbol="p1", above="0 bar", usual="1100 bar", unnamed=True),
    ]
    end: Annotated[
        Reading | None,
        gauge_pressure("rail pressure at the end", symbol="p2", at_least="0 bar", usual="600 bar", unnamed=True),
    ]
    time: Annotated[
        Reading | None,
        duration("between the two readings", symbol="t", above="0 s", usual="30 s", usual_range=("2 s", "48 h"), unnamed=True),
    ]
    capture: Annotated[Any | None, inputs.capture("the logged rail pressure, in place of two readings", "rail", also=("rpm",))]
    window_start: Annotated[
        Reading | None, inputs.WINDOW_START.but(help="start of the hold in the capture, from its first row", usual="5 s")
    ]
    window_end: Annotated[Reading | None, inputs.WINDOW_END.but(help="end of the hold in the capture")]
    pressures: Annotated[
        tuple[Reading, ...] | None,
        readings(
            "gauge pressure",
            "many readings by hand, in place of two",
            at_least_count=8,
            at_most_count=500,
            usual="1000; 983; 966; 950; 935; 921; 907; 894 bar",
        ),
    ]
    times: Annotated[
        tuple[Reading, ...] | None,
        readings(
            "time", "when each of many readings was taken", at_least_count=8, at_most_count=500, usual="0 5 10 15 20 25 30 35 s"
        ),
    ]

    @property
    def ways(self) -> list[str]:
        """The ways that were taken: start, pressures, capture."""
        taken = {"start": (self.start, self.end, self.time), "pressures": (self.pressures, self.times)}
        return [way for way, given in {**taken, "capture": (self.capture,)}.items() if any(given)]


def one_way(course: Course, until: Reading | None) -> Iterator[Problem]:
    """More than one way, and what belongs to another way than the one that was taken."""
    if len(course.ways) > 1:
        why = f"cannot be used together: {' and '.join(course.ways)} are both given"
        yield Problem(course.ways[-1], None, why, "give one of them")
        return
    extras = {"window_start": (course.window_start, ("capture",)), "window_end": (course.window_end, ("capture",))}
    for name, (given, ways) in {**extras, "until": (until, ("pressures", "capture"))}.items():
        if given and course.ways and course.ways[0] not in ways:
            yield Problem(name, None, f"goes with {' or '.join(ways)}, which is not given", "leave it out")
    begin, end = course.window_start, course.window_end
    if begin and end and end.number("s") <= begin.number("s"):
        why = f"is not after the start of the hold, {begin.text}"
        yield Problem("window_end", end.text, why, "give the later time, or the other one first")


def two_readings(course: Course, rail: Rail, wanted: Wanted) -> Iterator[Problem]:
    """What keeps two readings from being used."""
    start, end, time, _, *_ = course
    if course.ways not in ([], ["start"]):
        return
    for name, reading, example in (("start", start, "1100 bar"), ("end", end, "600 bar"), ("time", time, "30 s")):
        if reading is None:
            yield Problem(name, None, "is missing", f"give it, such as {example}, or a capture")
    if start and start.number("MPa") > HIGHEST_MPA:
        yield Problem("start", start.text, "is not possible here", f"give at most {HIGHEST}")
    if start and end and rises(pair(start, "MPa"), pair(end, "MPa")):
        why = f"is above the start, {start.text}, by more than their uncertainty"
        yield Problem("end", end.text, why, "give the later, lower reading")
    elif end and sinks(pair(end, "MPa"), pair(rail.back_pressure, "MPa"), rail.zero_uncertainty.number("MPa") / COVERAGE):
        why = f"is below the back pressure, {rail.back_pressure.text}, by more than their uncertainty"
        yield Problem("end", end.text, why, "check both; a rail that fell to zero has the back pressure left")
    if time and not (start and end and wanted.passed(start, end)):
        yield from wanted.too_far_ahead(time.number("s"))


def in_order(pressures: tuple[Reading, ...] | None, times: tuple[Reading, ...] | None) -> Iterator[Problem]:
    """Readings by hand need a time each, rising."""
    seconds = [reading.number("s") for reading in times or ()]
    if len(seconds) != len(pressures or ()):
        why = f"has {len(seconds)} readings for {len(pressures or ())} pressures"
        yield Problem("times", None, why, "give one time for each pressure")
    elif any(later <= sooner for sooner, later in pairwise(seconds)):
        yield Problem("times", None, "do not rise from reading to reading", "give them in order")
