"""A common return with one injector shut off at a time: what each one's working returns, as differences of large readings."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property
from math import hypot
from random import Random
from typing import Any

from baybook.api import Draws, Estimate, Reading
from baybook.dataclass import dataclass

from .collection import Collection
from .cups import SEED, Cup, drawn, range_of_errors

SHARP = Estimate.of(1.0, "1")


def collected(number: int, volume: Reading, time: Reading, division: Reading | None) -> Cup:
    """One collection; each is timed by itself, so that the error of the time is its own, as a share of its volume."""
    return Cup.of(number, volume, division, None)._replace(relative=time.u / time.value)


@dataclass(frozen=True)
class Shares(Collection):
    """What each injector's working returned: the common return with all working, less that with this one shut off.

    totals: of all working, in their order; without: with one shut off, numbered by it. In between the return of all working
    lay somewhere between the least and the most of its totals. `cups` are the differences, never below zero.
    """

    totals: tuple[Cup, ...] = ()
    without: tuple[Cup, ...] = ()

    @classmethod
    def taken(cls, totals: tuple[Cup, ...], without: tuple[Cup, ...], count: int, time: Reading) -> Shares:
        """Of these collections; count: injectors, those not shut off included."""
        whole = sum(cup.value for cup in totals) / len(totals)
        spread = max(cup.spread for cup in totals)
        differences = [Cup(each.number, max(whole - each.value, 0.0), hypot(spread, each.spread)) for each in without]
        families = ("percent_of_median",)
        return cls(tuple(differences), count, time, SHARP, families=families, totals=totals, without=without)

    @cached_property
    def readings(self) -> list[list[float]]:
        """All collections as drawn together, in mL, those of all working first: no two share an error."""
        return drawn((*self.totals, *self.without))

    @cached_property
    def reference(self) -> list[float]:
        """The return of all working, in mL, as drawn."""
        share, count = Random(SEED + 1).random, len(self.totals)
        return [least + (max(row[:count]) - least) * share() for row in self.readings for least in (min(row[:count]),)]

    @cached_property
    def differences(self) -> list[list[float]]:
        """What each shut-off takes away, in mL, as drawn; below zero where the readings' errors make it so."""
        count = len(self.totals)
        return [[whole - one for one in row[count:]] for whole, row in zip(self.reference, self.readings, strict=True)]

    @cached_property
    def rows(self) -> list[list[float]]:
        """The differences as they can be: none returns less than nothing."""
        return [[max(one, 0.0) for one in row] for row in self.differences]

    @cached_property
    def noise(self) -> float | None:
        """As of a collection; the error of the total is common to all and makes no spread."""
        whole = sum(self.values)
        return 100 * range_of_errors(self.without) * len(self.without) / whole if whole and self.without else None

    @cached_property
    def tests(self) -> list[Any]:
        """None: differences of four large readings are no set for an outlier test."""
        return []

    @cached_property
    def outputs(self) -> dict[str, Any]:
        """Flows: all together, each one's share, and what stays whichever is shut off."""
        minutes = self.time.number("min")
        whole = sum(cup.value for cup in self.totals) / len(self.totals)
        found: dict[str, Any] = {"total": _flow(self.reference, whole, minutes)}
        if not self.without:
            return found
        exact = [whole - cup.value for cup in self.without]
        columns = zip(*self.differences, strict=True)
        found["share"] = self.vector(_flow(column, one, minutes) for column, one in zip(columns, exact, strict=True))
        found |= {name: self.vector(each) for name, each in self.percentages.items()}
        if len(self.without) == self.count > 1:
            left = [whole - sum(row) for whole, row in zip(self.reference, self.differences, strict=True)]
            found["rest"] = _flow(left, whole - sum(exact), minutes)
        return found

    def drowned(self) -> list[int]:
        """The numbers of those whose difference the readings do not tell from nothing."""
        shares = self.outputs.get("share", ())
        return [number for number, share in enumerate(shares, 1) if share is not None and share.estimate().low <= 0.0]


def _flow(volumes: Sequence[float], best: float, minutes: float) -> Draws:
    """Volumes in mL, drawn and best, in the time of one collection."""
    return Draws([volume / minutes for volume in volumes], "mL/min", value=best / minutes)
