"""What is asked of a hold: limits, a reference pressure, a lower pressure to be reached."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated, NamedTuple

from baybook.api import Problem, Reading, SpecRange, duration, gauge_pressure, spec_range

from .rail import HIGHEST, Rail

AHEAD = 10.0
"""Holds: beyond that nothing is foretold."""


class Wanted(NamedTuple):
    """Limits, and where and when they are stated."""

    reference: Annotated[
        Reading | None,
        gauge_pressure(
            "pressure at which leak_collected and the limit are stated",
            exact=True, above="0 bar", at_most=HIGHEST, usual="1000 bar", of_vehicle=True,
        ),
    ]  # fmt: skip
    until: Annotated[
        Reading | None,
        gauge_pressure("a lower pressure, to say when it is reached", exact=True, above="0 bar", at_most=HIGHEST),
    ]
    limit: Annotated[
        SpecRange | None,
        spec_range(
            "flow", "largest leak allowed, as collected, at the reference pressure",
            judges="leak_collected", largest=True, above="0 mL/min",
        ),
    ]  # fmt: skip
    pressure_limit: Annotated[
        SpecRange | None,
        spec_range(
            "gauge pressure", "least pressure that must be left", judges="pressure_after", above="0 bar", usual="min 850 bar"
        ),
    ]
    fall_limit: Annotated[
        SpecRange | None,
        spec_range(
            "pressure difference", "largest fall of pressure allowed",
            judges="fall_after", largest=True, above="0 bar", usual="max 100 bar",
        ),
    ]  # fmt: skip
    after: Annotated[
        Reading | None,
        duration(
            "time from the start that pressure_limit or fall_limit is stated for",
            exact=True,
            above="0 s",
            usual="60 s",
            of_vehicle=True,
        ),
    ]

    @property
    def flow(self) -> bool:
        """Whether the leak itself is asked for, not only a pressure or a fall after a time."""
        return self.limit is not None or not (self.pressure_limit or self.fall_limit)

    def in_units(self) -> tuple[float | None, float | None, float | None]:
        """Reference and lower pressure (MPa gauge), and the time of the limit (s)."""
        pressures = [None if reading is None else reading.number("MPa") for reading in (self.reference, self.until)]
        return pressures[0], pressures[1], None if self.after is None else self.after.number("s")

    def passed(self, start: Reading, end: Reading) -> bool:
        """Whether the limit of a pressure or a fall is passed at the end already: a shut rail does not rise again."""
        first, last = start.number("MPa"), end.number("MPa")
        least = self.pressure_limit.to("MPa").low if self.pressure_limit else None
        most = self.fall_limit.to("MPa").high if self.fall_limit else None
        return (least is not None and last < least) or (most is not None and first - last > most)

    def too_far_ahead(self, seconds: float) -> Iterator[Problem]:
        """What is foretold too far ahead of a hold of so many seconds."""
        if self.after is not None and self.after.number("s") > AHEAD * seconds:
            why = f"is more than {AHEAD:g} times the {seconds:.3g} s that were looked at"
            yield Problem("after", self.after.text, why, "hold for longer")


def limits_fit(wanted: Wanted, rail: Rail) -> Iterator[Problem]:
    """What a limit needs beside it, and where it is stated."""
    if wanted.limit and rail.known_volume is None and not (rail.bores or rail.lengths):
        hint = "give it, such as 25 ± 1 mL or 15 to 40 mL, or bores and lengths, or a limit in pressure"
        yield Problem("volume", None, "is missing, and without it no flow can be compared with a limit", hint)
    if (wanted.pressure_limit or wanted.fall_limit) and wanted.after is None:
        yield Problem("after", None, "is missing", "give the time that the limit is stated for, such as 60 s")
    if wanted.pressure_limit and wanted.pressure_limit.high is not None:
        hint = "give the least pressure alone, such as >= 850 bar"
        yield Problem("pressure_limit", str(wanted.pressure_limit), "has an upper end", hint)
    back = rail.back_pressure.number("MPa")
    for name, reading in (("reference", wanted.reference), ("until", wanted.until)):
        if reading is not None and reading.number("MPa") <= back:
            yield Problem(name, reading.text, "is not above the back pressure", "give a higher pressure")
