"""What is read at one valve: declared once, and an input of its own for each valve (`inlet_duty`, `outlet_duty`)."""

from __future__ import annotations

import functools
import inspect
from collections.abc import Callable
from dataclasses import replace
from typing import Annotated, Any, NamedTuple, get_args, get_type_hints

from baybook.api import Choice, Quantity, Reading, SpecRange, current, ratio, spec_range, voltage
from baybook_physics.pressure_valve import Place

REST_WORDS = {"open": "stands open without current, the usual kind", "closed": "stands closed without current"}


def _share(help: str) -> Quantity:
    return ratio(help, at_least="0 %", at_most="100 %", usual="30 %")


def _current(help: str) -> Quantity:
    return current(help, at_least="0 A", at_most="50 A", usual="1.20 A")


class Read(NamedTuple):
    """What was read at one valve, or is known of it; None where it was not. `{valve}` stands for its name."""

    at_rest: Annotated[str, Choice("the {valve}'s state at rest", words=REST_WORDS, default="open")]
    duty: Annotated[Reading | None, _share("duty read on the {valve}'s switched wire")]
    usual_duty: Annotated[
        SpecRange | None,
        spec_range("ratio", "share of time on that is usual for the {valve} here", at_least="0 %", usual="20 to 40 %"),
    ]
    commanded_duty: Annotated[Reading | None, _share("share of time on that live data ask of the {valve}")]
    current: Annotated[Reading | None, _current("mean current measured at the {valve}")]
    expected_current: Annotated[Reading | None, _current("mean current that the present duty should give it")]
    wire_voltage: Annotated[
        Reading | None, voltage("mean voltage on the {valve}'s switched wire", at_least="-2 V", at_most="60 V", usual="9.8 V")
    ]


def for_each_valve(function: Callable[..., Any]) -> Callable[..., Any]:
    """The function with an input for each thing that is read at a valve, in place of its `inlet` and `outlet` (`Read`)."""
    hints: dict[str, Any] = {}
    for name, hint in get_type_hints(function, include_extras=True).items():
        hints |= _inputs(name) if hint is Read else {name: hint}
    hints.pop("return", None)

    @functools.wraps(function)
    def flat(**values: Any) -> Any:
        read = {place.value: Read(*[values.pop(f"{place}_{item}") for item in Read._fields]) for place in Place}
        return function(**values, **read)

    made: Any = flat
    made.__annotations__ = hints
    made.__signature__ = inspect.Signature([inspect.Parameter(name, inspect.Parameter.KEYWORD_ONLY) for name in hints])
    return flat


def _inputs(place: str) -> dict[str, Any]:
    annotated: Any = Annotated
    found = {}
    for name, hint in get_type_hints(Read, include_extras=True).items():
        type_, field = get_args(hint)
        found[f"{place}_{name}"] = annotated[type_, replace(field, help=field.help.format(valve=f"{place} valve"))]
    return found
