"""The places that stand before the others: the places of one part, a few, or those that are alike and so are named together."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import takewhile

from .conclusion import LIKELY, Conclusion, Standing, alike

FEW = 3  # places that are named one by one
MOST = 8  # places that are named where they are alike
FOREMOST, ALIKE = 0.15, 0.25  # of a single place that a test points at, and of all that are alike
WORTH_NAMING, MORE_THAN_NOT = 0.05, 0.6  # of one of several places, and of all that are named


def alike_ahead(conclusion: Conclusion) -> list[Standing]:
    """The places of one kind that are alike in chance and stand first, where a test points at them; none where one stands
    alone."""
    first = conclusion.standings[0]
    found = [standing for standing in conclusion.standings if alike(standing.chance, first.chance)]
    one_kind = {standing.place.kind for standing in found} == {first.place.kind}
    if not 1 < len(found) <= MOST or not one_kind or not all(_pointed_at(conclusion, standing) for standing in found):
        return []
    return found if conclusion.of_any(standing.place.name for standing in found) >= ALIKE else []


def _pointed_at(conclusion: Conclusion, standing: Standing) -> bool:
    at = conclusion.system.places.index(standing.place)
    items = conclusion.history.binding(at)
    return standing.word == "open" and any(item.bad and item.looked(at, conclusion.system) > 0.0 for item in items)


def hanging_on(conclusion: Conclusion, first: Standing) -> list[Standing]:
    """The open places that what was brought out at once points at beside the first one, where it points at that as well."""
    system = conclusion.system
    at_once = [item for item in conclusion.history.epochs[-1].evidence if item.at_once]

    def reached(standing: Standing) -> bool:
        return any(item.looked(system.places.index(standing.place), system) > 0.0 for item in at_once)

    return [s for s in conclusion.standings if s.word == "open" and s != first and reached(s)] if reached(first) else []


def part_ahead(conclusion: Conclusion) -> tuple[str, list[str], float] | None:
    """The part that has several open places, together likelier than not: its name, those places, how likely."""
    for first in conclusion.standings[:FEW]:
        name = " ".join(first.place.name.split(" ")[:2])
        places = [s.place.name for s in conclusion.standings if s.word == "open" and f"{s.place.name} ".startswith(f"{name} ")]
        chance = conclusion.of_any(places)
        if len(places) > 1 and round(chance, 2) >= LIKELY:
            return name, places[:FEW], chance
    return None


def several_ahead(conclusion: Conclusion) -> list[Standing]:
    """The first few places that tests point at, none of them likely, where together they are likelier than not; else none.
    Places that are alike are named all, or none of them."""
    able = [s for s in conclusion.standings if s.word == "open" and s.chance >= WORTH_NAMING]
    found = _uncut(able, FEW + 1)
    return found if len(found) > 1 and conclusion.of_any(s.place.name for s in found) >= MORE_THAN_NOT else []


def _uncut(able: Sequence[Standing], most: int) -> list[Standing]:
    kept = list(able[:most])
    if len(able) > most and alike(able[most].chance, kept[-1].chance):
        last = kept[-1].chance
        before = list(takewhile(lambda s: not alike(s.chance, last), kept))
        whole = [standing for standing in able if alike(standing.chance, last) or standing in before]
        return whole if len(whole) <= MOST else before
    return kept
