"""What a sheet says beside its tests: what is fitted, the complaint, a repair, the complaint tried again."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from ..dataclass import dataclass
from ..errors import InputError, Problem
from ..places.complaint import complaint, worked_on
from ..places.place import NO_FAULT, OFF_MAP, is_outside
from ..places.system import SystemMap
from .condition import conditions

TRIED = ("gone", "stands")
DONE = dict.fromkeys(("refuelling", "refueling", "filling up", "tank filled"), "tank fuel")
"""What was done beforehand, by the part that it was done to."""


@dataclass(frozen=True)
class Complaint:
    """What the customer complains of.

    kind: one of `baybook.places.COMPLAINTS`, "" where none was said; text: in words. shows: in which conditions alone it
    shows, of `condition.CONDITIONS`; none where it always does, or nobody said. after: parts that were worked on just before
    it began.
    """

    kind: str
    text: str
    shows: tuple[str, ...] = ()
    after: tuple[str, ...] = ()


@dataclass(frozen=True)
class Found:
    """What a finished job was: the place that was at fault, `no fault` or `not on the map`; confirmed: how that is known."""

    place: str
    confirmed: str


def outcome_of(table: Mapping[str, Any], system: SystemMap, problems: list[Problem]) -> Found | None:
    """The sheet's `[outcome]`; none where it has no place."""
    for key, value in table.items():
        if key not in ("place", "confirmed"):
            problems.append(Problem("[outcome]", key, "is not known there", "use place, confirmed"))
        elif not isinstance(value, str):
            problems.append(Problem(f"[outcome], {key}", value, "is not text", f'give {key} = "…"'))
    from .offered import added_places

    place = str(table.get("place", "")).strip()
    confirmed = str(table.get("confirmed", ""))
    if is_outside(place):
        return Found(OFF_MAP, confirmed or place)
    if place in ("", NO_FAULT):
        return Found(place, confirmed) if place else None
    try:
        system.grown([place]).with_places(added_places()).place(place)
    except InputError as error:
        problems += [Problem("[outcome], place", p.given, p.why, p.hint) for p in error.problems]
    return Found(place, confirmed)


def complaint_of(
    table: Mapping[str, Any] | None, job: Mapping[str, Any], system: SystemMap, problems: list[Problem]
) -> Complaint | None:
    """The complaint of a sheet: its `[complaint]`, else the text in `[job]`, which has no kind; none where both are empty."""
    text = str(job.get("complaint", ""))
    if table is None:
        return Complaint("", text) if text else None
    for key, value in table.items():
        if key not in ("kind", "text", "shows", "after"):
            problems.append(Problem("[complaint]", key, "is not known there", "use kind, text, shows, after"))
        elif not isinstance(value, str) and key in ("kind", "text"):
            problems.append(Problem(f"[complaint], {key}", value, "is not text", f'give {key} = "…"'))
    shows = conditions("[complaint], shows", table.get("shows"), problems, at_once=False)
    found = Complaint(str(table.get("kind", "")), str(table.get("text", "")) or text, shows, _parts(table, system, problems))
    try:
        complaint(SystemMap.of(), found.kind)
    except InputError as error:
        problems += error.problems
    return found


def _parts(table: Mapping[str, Any], system: SystemMap, problems: list[Problem]) -> tuple[str, ...]:
    """The parts that were worked on just before the complaint began."""
    given = table.get("after", [])
    parts = [given] if isinstance(given, str) else given
    if not isinstance(parts, list) or not all(isinstance(part, str) for part in parts):
        problems.append(Problem("[complaint], after", given, "names no part", 'give after = ["filter"]'))
        return ()
    parts = [DONE.get(part.strip().casefold(), part) for part in parts]
    try:
        worked_on(system.grown(parts), parts)
    except InputError as error:
        problems += [Problem("[complaint], after", p.given, p.why, p.hint) for p in error.problems]
        return ()
    return tuple(parts)


def system_of(table: Mapping[str, Any], problems: list[Problem]) -> SystemMap:
    """The map of a sheet's `[system]`; the generic one where something is wrong with it, which is added to the problems."""
    try:
        return SystemMap.from_table(table)
    except InputError as error:
        problems += error.problems
        return SystemMap.of()


def is_happening(raw: Mapping[str, Any]) -> bool:
    """Whether a step is no test, but a repair or the complaint tried again."""
    return "calculator" not in raw and ("repair" in raw or "complaint" in raw)


def happening(where: str, raw: Mapping[str, Any], problems: list[Problem]) -> tuple[tuple[str, ...], str]:
    """The parts that were repaired, and what became of the complaint when it was tried again."""
    if "repair" in raw and "complaint" in raw:
        hint = "write the complaint tried again as a step of its own, after the repair"
        problems.append(Problem(where, raw["complaint"], "stands in one step with a repair", hint))
    parts = raw.get("repair", [])
    parts = [parts] if isinstance(parts, str) else parts
    if "repair" in raw and not (isinstance(parts, list) and parts and all(isinstance(p, str) and p.strip() for p in parts)):
        problems.append(Problem(f"{where}, repair", raw["repair"], "names no part", 'give repair = ["injector 3"]'))
        parts = []
    tried = raw.get("complaint", "")
    if "complaint" in raw and tried not in TRIED:
        hint = f"use {' or '.join(TRIED)}"
        problems.append(Problem(f"{where}, complaint", tried, "does not say what became of it", hint))
        tried = ""
    return tuple(part.strip() for part in parts), str(tried)


def instruments_in(value: Any) -> Iterator[str]:
    """The labels of the instruments in a step's inputs as they stand in the sheet."""
    if isinstance(value, Mapping):
        if isinstance(value.get("instrument"), str):
            yield value["instrument"]
        for part in value.values():
            yield from instruments_in(part)
    elif isinstance(value, list):
        for part in value:
            yield from instruments_in(part)
