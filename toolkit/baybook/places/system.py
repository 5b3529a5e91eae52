"""The system map: which places this vehicle has. What is not said is drawn from the generic map, as not known to be fitted."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from ..dataclass import dataclass, fields, replace
from ..errors import InputError, PluginError, Problem
from .fitted import Fitted
from .layout import LOW_PRESSURE, VALVES, drawn
from .place import OFF_MAP, OUTSIDE, Place

INJECTORS = range(1, 25)
ELEMENTS = range(1, 7)
BLEED = "injector bleed"
USE = f'use the name of a part that is fitted; outside the fuel system {", ".join(OUTSIDE[:4])} …, or "{OFF_MAP}: own words"'
UNKNOWN_SHARE = 0.5  # of the weight of a place that is not known to be fitted: it is there in every other vehicle


@dataclass(frozen=True)
class SystemMap:
    """The places of one vehicle. Places of plugins come after the map's own.

    Raises PluginError where two places have one name.
    """

    fitted: Fitted
    places: tuple[Place, ...]

    def __post_init__(self) -> None:
        names = [place.name for place in self.places]
        twice = sorted({name for name in names if names.count(name) > 1})
        if twice:
            raise PluginError(f"two places have the name {', '.join(map(repr, twice))}")

    @classmethod
    def of(cls, fitted: Fitted | None = None, extra: Iterable[Place] = ()) -> SystemMap:
        """The map of a vehicle of which this is known; of nothing, the generic map."""
        fitted = fitted or Fitted()
        places = [p if p.known else replace(p, weight=p.weight * UNKNOWN_SHARE) for p in (*drawn(fitted), *extra)]
        return cls(fitted, tuple(places))

    @classmethod
    def from_table(cls, table: Mapping[str, Any], extra: Iterable[Place] = ()) -> SystemMap:
        """The map of a sheet's `[system]` table. Raises InputError with a line for every wrong entry."""
        problems = list(_problems(table))
        if problems:
            raise InputError(problems)
        values: dict[str, Any] = {key: tuple(value) if isinstance(value, list) else value for key, value in table.items()}
        if isinstance(values.get("outlet_valve"), bool):
            values["outlet_valve"] = "rail" if values["outlet_valve"] else "none"
        return cls.of(Fitted(**values), extra)

    def place(self, name: str) -> Place:
        """The place of that name. Raises InputError with the near ones."""
        for place in self.places:
            if place.name == name:
                return place
        from difflib import get_close_matches

        close = get_close_matches(name, [*(place.name for place in self.places), *OUTSIDE], n=3)
        hint = f"did you mean {' or '.join(close)}?" if close else USE
        raise InputError.one("place", name, "is not on this vehicle's map", hint)

    def grown(self, objects: Iterable[str]) -> SystemMap:
        """The map with as many injectors as tests were made on, where their number is not known."""
        from .place import number_in

        if self.fitted.injectors is not None:
            return self
        most = max([n for name in objects if name.startswith("injector ") and (n := number_in(name))], default=0)
        if most <= 4 or most not in INJECTORS:
            return self
        counted = SystemMap.of(replace(self.fitted, injectors=most))
        own = {place.name for place in counted.places}
        return SystemMap(self.fitted, (*counted.places, *(place for place in self.places if place.name not in own)))

    def with_places(self, extra: Iterable[Place]) -> SystemMap:
        """The map with further places, after its own."""
        more = tuple(extra)
        return SystemMap(self.fitted, (*self.places, *more)) if more else self

    def unknown(self) -> tuple[str, ...]:
        """What is not known to be fitted, by the keys of the `[system]` table."""
        return tuple(key for key, value in vars(self.fitted).items() if value is None)

    def empties_at_rest(self) -> bool | None:
        """Whether the rail loses its pressure through a valve or the injectors when the engine stops; None: not known."""
        fitted = self.fitted
        if fitted.open_at_rest is not None:
            return bool(fitted.open_at_rest)
        return False if fitted.outlet_valve == "none" and fitted.injector_bleed is False else None


_WORDS: Mapping[str, tuple[str, ...]] = {
    "low_pressure": LOW_PRESSURE,
    "outlet_valve": ("rail", "pump", "none"),
    "returns": ("separate", "common"),
    "open_at_rest": (*VALVES, BLEED),
}


def _problems(table: Mapping[str, Any]) -> Iterator[Problem]:
    known = tuple(each.name for each in fields(Fitted))
    for key, value in table.items():
        where = f"[system], {key}"
        if key not in known:
            from difflib import get_close_matches

            close = get_close_matches(key, known, n=1)
            yield Problem(
                "[system]", key, "is not known there", f"did you mean {close[0]}?" if close else f"use {', '.join(known)}"
            )
        elif key in ("low_pressure", "open_at_rest"):
            bad = value if not isinstance(value, list) else [word for word in value if word not in _WORDS[key]]
            if bad or not isinstance(value, list) or len(set(value)) < len(value):
                yield Problem(where, value, "is not a list of known parts, each once", f"use of {', '.join(_WORDS[key])}")
        elif key in _WORDS:
            if value not in _WORDS[key] and not (key == "outlet_valve" and isinstance(value, bool)):
                yield Problem(where, value, "is not one of the known words", f"use {', '.join(_WORDS[key])}")
        elif key in ("injectors", "pump_elements"):
            among = INJECTORS if key == "injectors" else ELEMENTS
            if isinstance(value, bool) or not isinstance(value, int) or value not in among:
                yield Problem(where, value, "is not a possible number", f"give {among[0]} to {among[-1]}")
        elif not isinstance(value, bool):
            yield Problem(where, value, "is neither true nor false", "write true or false")
    yield from _at_odds(table)


def _at_odds(table: Mapping[str, Any]) -> Iterator[Problem]:
    """Parts that stand open at rest and are said not to be fitted."""
    rest = table.get("open_at_rest")
    for part in rest if isinstance(rest, list) else []:
        key = str(part).replace(" ", "_")
        if table.get(key) in (False, "none"):
            yield Problem("[system], open_at_rest", part, "is said not to be fitted", f"leave it out, or change {key}")
