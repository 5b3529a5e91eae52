"""What has to be given of a sensor, and what does not go together."""

from __future__ import annotations

from collections.abc import Iterator

from baybook.api import Problem, Reading


def something(standing: Reading | None, standing_signal: Reading | None, signal: Reading | None, shown: Reading | None,
              second: Reading | None, supply: Reading | None, ground_drop: Reading | None) -> Iterator[Problem]:  # fmt: skip
    """At least one thing to work out."""
    if all(each is None for each in (standing, standing_signal, signal, shown, supply, ground_drop)):
        yield Problem(
            "signal", None, "is missing", "give the signal's voltage, or what is shown with the key on after standing"
        )
    if second is not None and shown is None and signal is None:
        yield Problem(
            "second", second.text, "has nothing to be compared with", "give what is shown at the same moment, or signal"
        )


def line_rises(low_point: Reading, high_point: Reading) -> Iterator[Problem]:
    """Full scale lies above zero."""
    if low_point.number("1") >= high_point.number("1"):
        yield Problem("high_point", high_point.text, "is not above low_point", "give the share at full scale, such as 90 %")
