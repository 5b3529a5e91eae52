"""Which column is which channel, and where the time comes from: chosen before a row is read, with all problems at once."""

from __future__ import annotations

from collections.abc import Collection, Mapping

from ..errors import InputError, Problem
from .channels import Mapped, assign, listed
from .layout import Layout
from .time_source import TimeSource, time_source


def choose(
    layout: Layout,
    columns: Mapping[str, str],
    units: Mapping[str, str],
    wanted: Collection[str],
    rate: float | None,
    also: Collection[str] = (),
) -> tuple[Mapped, TimeSource]:
    """The column of each channel and the source of the time, with all problems and questions."""
    mapped = assign(layout.columns, columns, units, [name for name in wanted if name != "t"], also)
    source = time_source(mapped, layout, units.get("t"), rate)
    if not mapped.channels.get("t"):
        mapped.channels.pop("t", None)
    if not mapped.channels.keys() - {"t"}:
        mapped.questions.append(
            Problem(
                "column",
                None,
                "no channel is known by its label",
                'say which: --column rail="…" with one of ' + listed(layout.columns),
            )
        )
    return mapped, source


def settle(
    layout: Layout,
    columns: Mapping[str, str],
    units: Mapping[str, str],
    wanted: Collection[str],
    rate: float | None,
    also: Collection[str] = (),
) -> tuple[Mapped, TimeSource]:
    """The same, where all is settled. Raises InputError with all problems."""
    mapped, source = choose(layout, columns, units, wanted, rate, also)
    if mapped.problems:
        raise InputError(mapped.problems)
    if source.column is None and not mapped.channels:
        raise InputError(mapped.questions)
    mapped.notes += [f"{question}." for question in mapped.questions]
    return mapped, source
