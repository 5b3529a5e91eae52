"""Which patterns of a sense are places that some vehicle has."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from functools import cache

from ..dataclass import fields
from .fitted import Fitted
from .place import Place, resolved
from .sense import Sense
from .system import SystemMap


@cache
def every_place() -> tuple[Place, ...]:
    """The places of all kinds of vehicle together."""
    maps = [SystemMap.of(), SystemMap.of(Fitted(outlet_valve="pump"))]
    return tuple({place.name: place for each in maps for place in each.places}.values())


def is_known(pattern: str, extra: Iterable[Place] = ()) -> bool:
    """Whether some vehicle has such a place; patterns with the object of the test in them are not asked."""
    return "{" in pattern or any(place.matches(pattern) for place in (*every_place(), *extra))


def unknown_patterns(sense: Sense, extra: Iterable[Place] = ()) -> Iterator[str]:
    """The patterns of its objects, reaches and direct looks that are no place, and what has to be fitted that is no key of
    `[system]`. extra: places that plugins add."""
    yield from (key for key in sense.fitted if key not in {each.name for each in fields(Fitted)})
    places = (*every_place(), *extra)
    objects = [p.name for p in places if not sense.objects or any(p.matches(pattern) for pattern in sense.objects)]
    yield from (p for p in sense.objects if not any(place.matches(p) for place in places))
    patterns = dict.fromkeys(pattern for question in sense.questions.values() for pattern in question.reach)
    for pattern in patterns:
        meant = [resolved(pattern, name) for name in objects] if "{" in pattern else [pattern]
        if not any(place.matches(one) for one in meant for place in places):
            yield pattern
