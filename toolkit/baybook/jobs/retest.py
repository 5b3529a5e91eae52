"""A test that is made again after a repair is judged as the one before it was, or it says nothing.

A repair is proved by a reading that moved. Where the same reading came out within because it has another range, or another
size of the vehicle was worked with, nothing moved; which of the two is right nobody said.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from ..dataclass import replace
from ..execution import named_now
from ..places.evidence import Evidence
from .sheet import Sheet
from .worked import Worked, worked_out

Thing = tuple[str, str]


def judged_alike(steps: tuple[Worked, ...], sheet: Sheet) -> tuple[Worked, ...]:
    """The steps; one that comes out otherwise by the ranges and sizes of the same test before a repair says nothing there."""
    return tuple(_compared(worked, _outside_before_repair(worked, steps[:at]), sheet) for at, worked in enumerate(steps))


def _outside_before_repair(later: Worked, earlier: tuple[Worked, ...]) -> Iterator[Worked]:
    """The steps before the last repair that the calculator of `later` took, and that found something bad."""
    repaired = max((at for at, worked in enumerate(earlier) if worked.step.repair and not worked.error), default=0)
    return (w for w in earlier[:repaired] if w.calculator is later.calculator and any(item.bad for item in w.evidence))


def _compared(later: Worked, before: Iterable[Worked], sheet: Sheet) -> Worked:
    for first in before if later.evidence else ():
        bad = {item.looked_for for item in first.evidence if item.bad}
        if bad.isdisjoint(item.looked_for for item in later.evidence) or not (other := _differing(first, later)):
            continue
        again = worked_out(replace(later.step, inputs={**later.step.inputs, **other}), sheet)
        unlike = {thing for thing in bad if again.error or _differs(_of(later, thing), _of(again, thing))}
        told = (_saying_nothing(e, tuple(other)) if e.looked_for in unlike else e for e in later.evidence)
        later = replace(later, evidence=tuple(told))
    return later


def _differing(first: Worked, later: Worked) -> dict[str, Any]:
    """The ranges and sizes of the vehicle, as they were given for the first, that differ from those of the other."""
    if first.calculator is None or first.result is None or later.result is None:
        return {}
    given = named_now(first.calculator, first.step.inputs)[0]
    had, has = ({name: _size(record) for name, record in w.result.inputs.items()} for w in (first, later) if w.result)
    names = [p.name for p in first.calculator.parameters if p.field.of_vehicle and p.name in given]
    return {name: given[name] for name in names if had.get(name) != has.get(name)}


def _size(record: Mapping[str, Any]) -> dict[str, Any]:
    return {key: part for key, part in record.items() if key not in ("text", "source")}


def _of(worked: Worked, thing: Thing) -> list[Evidence]:
    return [item for item in worked.evidence if item.looked_for == thing]


def _differs(own: list[Evidence], again: list[Evidence]) -> bool:
    if any(item.bad for item in own):
        return bool(again) and all(item.good for item in again)
    return any(item.good for item in own) and not all(item.good for item in again)


def _saying_nothing(item: Evidence, unlike: tuple[str, ...]) -> Evidence:
    return replace(item, conforms=0.5, brings={}, shows={}, unlike=unlike) if item.factors is None else item
