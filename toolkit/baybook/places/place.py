"""Places: the spots where a fault can lie, each with its stage, its side and, where there are several, its number."""

from __future__ import annotations

from collections.abc import Iterable

from ..dataclass import dataclass, field
from ..errors import PluginError

STAGES = ("supply", "generation", "storage", "delivery")
SIDES = ("hydraulic", "control")
NO_FAULT = "no fault"
OFF_MAP = "not on the map"
OUTSIDE = (
    "battery", "starter", "alternator", "immobiliser", "glow plugs", "air filter", "charge air", "turbocharger",
    "boost control", "air mass sensor", "exhaust", "particulate filter", "exhaust gas recirculation", "valve timing", "engine",
)  # fmt: skip
"""Usual parts outside the fuel system. Any other has words of its own behind the name of what is not on the map."""


@dataclass(frozen=True)
class Place:
    """One spot where a fault can lie.

    name: "injector {n} coil" with the number put in for n where there are several. label: what a person reads, such as
    "the coil of injector 3".
    part: the part that it is replaced with ("injector 3" for its coil), its own name where that is all; also: further parts
    whose repair may have mended it. known: whether it is known to be fitted. weight: how often it is at fault beside the
    others, before any test.
    kind: the name with a star for its number, which all places of a kind share.
    Raises PluginError for a word that is not a stage or a side, a weight that is not positive, a name that is taken by the
    engine.
    """

    name: str
    stage: str
    side: str
    label: str
    number: int | None = None
    part: str = ""
    known: bool = True
    weight: float = 1.0
    also: tuple[str, ...] = ()
    kind: str = field(init=False, compare=False)

    def __post_init__(self) -> None:
        if self.stage not in STAGES:
            raise PluginError(f"place {self.name!r} has the stage {self.stage!r}; use one of {', '.join(STAGES)}")
        if self.side not in SIDES:
            raise PluginError(f"place {self.name!r} has the side {self.side!r}; use one of {', '.join(SIDES)}")
        if not self.name.strip() or not self.label.strip() or self.name in (NO_FAULT, OFF_MAP):
            raise PluginError(f"a place cannot be called {self.name!r} with the label {self.label!r}")
        if not 0.0 < self.weight < 1e6:
            raise PluginError(f"place {self.name!r} has the weight {self.weight!r}; give a positive number")
        if not self.part:
            object.__setattr__(self, "part", self.name)
        object.__setattr__(self, "kind", kind_of(self.name))

    def matches(self, pattern: str) -> bool:
        """Whether `pattern` is its name, or its kind ("injector *" is every injector and no injector's coil)."""
        return pattern in (self.name, self.kind)

    def mended_with(self, part: str) -> bool:
        """Whether work on a part is work on it."""
        return part in (self.name, self.part, *self.also)

    def to_dict(self) -> dict[str, object]:
        """For JSON."""
        return {"name": self.name, "stage": self.stage, "side": self.side, "label": self.label, "number": self.number,
                "known": self.known}  # fmt: skip


def kind_of(name: str) -> str:
    """The name of a place with a star for every number that stands alone."""
    return " ".join("*" if word.isdigit() else word for word in name.split(" "))


def number_in(name: str) -> int | None:
    """The first number that stands alone in a name; None where there is none."""
    return next((int(word) for word in name.split(" ") if word.isdigit()), None)


def resolved(pattern: str, target: str) -> str:
    """A pattern with the object of the test put in: {object} is its name, {n} its number, {all} its name without a number, as
    what all of its kind share is called ("injector driver")."""
    if "{" not in pattern:
        return pattern
    number = number_in(target)
    shared = " ".join(word for word in target.split(" ") if not word.isdigit() and word != "*")
    named = pattern.replace("{object}", target).replace("{all}", shared)
    return named.replace("{n}", "*" if number is None else str(number))


def matching(pattern: str, places: Iterable[Place]) -> list[int]:
    """The positions of the places that a pattern means; none where no such part is fitted."""
    return [at for at, place in enumerate(places) if place.matches(pattern)]


def is_outside(name: str) -> bool:
    """Whether a part is one outside the fuel system: one of `OUTSIDE`, or in own words "not on the map: fuel filler flap"."""
    return name in (*OUTSIDE, OFF_MAP) or name.startswith(f"{OFF_MAP}: ")


def at_places(*patterns: str, input: str = "place") -> dict[str, dict[str, str]]:
    """The objects of a test that one input names as they are called: `objects=at_places("injector *", "rail sensor")`."""
    return {pattern: {input: "{object}"} for pattern in patterns}


def at_parts(*patterns: str) -> dict[str, dict[str, str]]:
    """The objects of a test whose input `part` says whose part it is, in words with hyphens, and `number` which of several:
    `objects=at_parts("injector *", "inlet valve")` is {"injector *": {"part": "injector", "number": "{n}"}, …}."""
    each = {pattern: {"part": pattern.removesuffix(" *").replace(" ", "-")} for pattern in patterns}
    return {pattern: {**named, **({"number": "{n}"} if "*" in pattern else {})} for pattern, named in each.items()}
