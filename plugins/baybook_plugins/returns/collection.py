"""A whole collection: every number with its interval, or known as a bound, from one set of draws."""

from __future__ import annotations

from collections.abc import Callable, Container, Iterable, Mapping, Sequence
from functools import cached_property
from typing import Any, TypeVar

from baybook.api import AtLeast, Draws, Estimate, Message, Reading, propagate
from baybook.dataclass import dataclass
from baybook_physics import comparison
from baybook_physics.comparison import Ends
from baybook_physics.outliers import OutlierTest, dixon, grubbs

from .cups import DRAWS, Cup, drawn, spread_of_equal_injectors

CLEAR_OF_ZERO = 4
"""Fewer standard uncertainties between zero and what a ratio is taken to, and it is not told as a number."""
SURE = 0.95
EVERY = 4
"""Of the draws every fourth is enough for the interval of an outlier test's statistic, which nothing is judged by."""
FAR_BELOW = 50.0
"""In % of the others' median: a return below it wants an explanation of its own. common practice, no source."""
RATIOS: dict[str, Callable[[Sequence[float], Sequence[bool]], Ends]] = {
    "percent_of_median": comparison.percent_of_median,
    "percent_of_mean": comparison.percent_of_mean,
    "percent_of_others": comparison.percent_of_others,
}
OTHERS = {"percent_of_median": comparison.medians_of_others, "percent_of_others": comparison.means_of_others}
STATISTICS = {"Grubbs": "grubbs_g", "Dixon": "dixon_q"}
Item = TypeVar("Item")


def flow(volume: float, time: float, calibration: float) -> dict[str, float]:
    """Volume in mL, time in min; calibration: true volume over volume read."""
    return {"q": calibration * volume / time}


def totals(volumes: Sequence[float], time: float, calibration: float, delivery: float) -> dict[str, float]:
    """All flows together, their mean, and in % of the pump's delivery (mL/min; anything where that is 0)."""
    total = calibration * sum(volumes) / time
    return {"total": total, "mean": total / len(volumes), "share_of_delivery": 100 * total / (delivery or 1.0)}


@dataclass(frozen=True)
class Collection:
    """What `count` injectors returned in a common time.

    shared: true volume over volume read, the factor that all have. families: the ratios that are wanted. working: whether the
    injectors were driven: of one that was not, next to nothing is as it should be.
    """

    cups: tuple[Cup, ...]
    count: int
    time: Reading
    shared: Estimate
    delivery: Reading | None = None
    families: Sequence[str] = tuple(RATIOS)
    working: bool = True

    @cached_property
    def values(self) -> list[float]:
        """The volumes, in mL."""
        return [cup.value for cup in self.cups]

    @cached_property
    def over(self) -> list[bool]:
        """Which cylinders ran over."""
        return [cup.over for cup in self.cups]

    @cached_property
    def rows(self) -> list[list[float]]:
        """The volumes as drawn."""
        return drawn(self.cups)

    @cached_property
    def noise(self) -> float | None:
        """The spread, in %, that equal injectors would show in 1 of 20 collections; None without a whole, flowing set."""
        return None if any(self.over) or not any(self.values) else spread_of_equal_injectors(self.cups)

    @cached_property
    def differ(self) -> bool:
        """Whether they differ by more than the readings' own errors would show."""
        return any(self.over) or (self.noise is not None and comparison.spread(self.values) > self.noise)

    @cached_property
    def tests(self) -> list[OutlierTest]:
        """Both tests, where the set is whole and differs by more than its readings' errors: else they would accuse a scale."""
        if any(self.over) or len(self.cups) < 3 or not self.differ:
            return []
        return [test for test in (grubbs(self.values), dixon(self.values)) if test]

    def vector(self, items: Iterable[Item]) -> tuple[Item | None, ...]:
        """The items by their injectors' numbers, with None where nothing was measured."""
        by_number = {cup.number: item for cup, item in zip(self.cups, items, strict=True)}
        return tuple(by_number.get(number) for number in range(1, self.count + 1))

    @cached_property
    def percentages(self) -> dict[str, list[Draws]]:
        """By family every injector's percentage; told as a number where what it is taken to is clear of zero."""
        found, over = {}, self.over if any(self.over) else ()
        for name in self.families if len(self.cups) > 1 else ():
            ends = [RATIOS[name](row, over) for row in self.rows]
            least = list(zip(*(low for low, _ in ends), strict=True))
            exact = all(low is high for low, high in ends)
            most = least if exact else list(zip(*(high for _, high in ends), strict=True))
            to = OTHERS[name](self.values) if name in OTHERS else [sum(self.values) / len(self.values)]
            told = not any(self.over) and min(to) > CLEAR_OF_ZERO * max(cup.spread for cup in self.cups)
            centre: Sequence[float | None] = RATIOS[name](self.values, self.over)[0] if told else [None] * len(self.cups)
            found[name] = [
                Draws(low, "%", value=value, most=None if exact else high, told=told)
                for low, high, value in zip(least, most, centre, strict=True)
            ]
        return found

    @cached_property
    def outputs(self) -> dict[str, Any]:
        """Flows; of several injectors their ratios and spread, and the outlier tests' statistics."""
        found: dict[str, Any] = {"flow": self.vector(map(self._flow, self.cups)), **self._totals()}
        found |= {name: self.vector(each) for name, each in self.percentages.items()}
        if self.tells("percent_of_mean"):
            drawn_spread = [comparison.spread(row) for row in self.rows]
            found["spread"] = Draws(drawn_spread, "%", value=comparison.spread(self.values))
        if len(self.cups) > 1 and self.noise is not None:
            found["spread_of_reading_alone"] = Estimate.of(self.noise, "%", 0.03 * self.noise)
        for test in self.tests:
            found[STATISTICS[test.name]] = Draws([test.of(row) for row in self.rows[::EVERY]], "1").estimate(test.statistic)
        return found

    def tells(self, name: str) -> bool:
        """Whether a family of ratios is told in numbers."""
        return name in self.percentages and self.percentages[name][0].told

    def of(self, output: str, number: int) -> Estimate | None:
        """An injector's number in a vector; None where none is told."""
        known: Estimate | Draws | AtLeast | None = self.outputs.get(output, (None,) * self.count)[number - 1]
        return known if known is None or isinstance(known, Estimate) else known.estimate() if known.told else None

    def of_others(self, number: int) -> Estimate | Message | None:
        """What an injector returned of the others' median: as a number, as the least that it is, or not at all."""
        told = self.of("percent_of_median", number)
        place = [cup.number for cup in self.cups].index(number)
        return self.percentages["percent_of_median"][place].bound() if self.over[place] else told

    def _flow(self, cup: Cup) -> Estimate | AtLeast:
        volume, time = cup.estimate(), self.time.to("min")
        found = propagate(flow, {"q": "mL/min"}, volume=volume, time=time, calibration=self.shared)["q"]
        return AtLeast(found) if cup.over else found

    def _totals(self) -> Mapping[str, Estimate]:
        """Of all injectors, where no cylinder ran over."""
        if any(self.over):
            return {}
        units = {"total": "mL/min", "mean": "mL/min", **({"share_of_delivery": "%"} if self.delivery else {})}
        return propagate(
            totals, units, volumes=[cup.estimate() for cup in self.cups], time=self.time.to("min"), calibration=self.shared,
            delivery=self.delivery.to("mL/min") if self.delivery else 0.0,
        )  # fmt: skip

    def farthest(self, among: Sequence[int] = ()) -> tuple[int, bool]:
        """The place farthest from the median of all, in mL, and whether the draws single it out with at least 95 %.

        In mL and not as a ratio: beside nearly nothing every ratio is large. among: the places that are asked about, else all.
        """
        centre, _ = comparison.distances(self.values, self.over)
        place = max(among or range(len(centre)), key=centre.__getitem__)
        over = self.over if any(self.over) else ()
        ends = (comparison.distances(row, over) for row in self.rows)
        alone = sum(least[place] > max([*most[:place], *most[place + 1 :]], default=0.0) for least, most in ends)
        return place, alone / DRAWS >= SURE

    def _lower_median(self, places: Sequence[int], place: int) -> float:
        """Of the others among these places, the smaller one of two in the middle; mL."""
        others = sorted(self.values[other] for other in places if other != place)
        return others[(len(others) - 1) // 2]

    def dry(self, apart: Container[int | None] = ()) -> list[int]:
        """Numbers of those that returned for certain less than half of the others' median, where they are the fewer, and less
        than half of most of the others: beside one that returns a lot, the smaller of the other two is not little.

        apart: numbers of those that are left out of it; beside such as return far too much any other returns little.
        """
        places = [place for place, cup in enumerate(self.cups) if cup.number not in apart]
        if len(places) < 3 or not self.working:
            return []
        if len(places) == len(self.cups):
            short = [draws.below(FAR_BELOW) for draws in self.percentages["percent_of_median"]]
        else:
            over = [self.over[place] for place in places]
            most = (comparison.percent_of_median([row[at] for at in places], over)[1] for row in self.rows)
            short = [sum(percent < FAR_BELOW for percent in column) / DRAWS for column in zip(*most, strict=True)]
        found = [
            self.cups[place].number
            for place, chance in zip(places, short, strict=True)
            if chance >= SURE and self.values[place] < FAR_BELOW / 100.0 * self._lower_median(places, place)
        ]
        return found if 2 * len(found) < len(places) else []
