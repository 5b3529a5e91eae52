"""What is read at one valve: declared once, and an input of its own for each valve (`inlet_duty`, `outlet_duty`)."""

from __future__ import annotations

from typing import Annotated, NamedTuple

from baybook.api import Choice, Quantity, Reading, SpecRange, current, ratio, spec_range, voltage

REST_WORDS = {"open": "stands open without current, the usual kind", "closed": "stands closed without current"}


def _share(help: str) -> Quantity:
    return ratio(help, at_least="0 %", at_most="100 %", usual="30 %")


def _current(help: str) -> Quantity:
    return current(help, at_least="0 A", at_most="50 A", usual="1.20 A")


class Read(NamedTuple):
    """What was read at one valve, or is known of it; None where it was not. `{of}`: which valve it is."""

    at_rest: Annotated[str, Choice("the {of}'s state at rest", words=REST_WORDS, default="open")]
    duty: Annotated[Reading | None, _share("duty read on the {of}'s switched wire")]
    usual_duty: Annotated[
        SpecRange | None,
        spec_range("ratio", "share of time on that is usual for the {of} here", at_least="0 %", usual="20 to 40 %"),
    ]
    commanded_duty: Annotated[Reading | None, _share("share of time on that live data ask of the {of}")]
    current: Annotated[Reading | None, _current("mean current measured at the {of}")]
    expected_current: Annotated[Reading | None, _current("mean current that the present duty should give it")]
    wire_voltage: Annotated[
        Reading | None, voltage("mean voltage on the {of}'s switched wire", at_least="-2 V", at_most="60 V", usual="9.8 V")
    ]
