"""A whole collection: every number with its interval, and every verdict, from one set of draws."""

from __future__ import annotations

from collections.abc import Container, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple, TypeVar

from baybook.api import Draws, Estimate, Message, Reading, SpecRange, Verdict, judge, propagate

from .cups import DRAWS, Cup, drawn, spread_of_equal_injectors
from .model import ENDLESS, balance, distances, means_of_others, medians_of_others, ratios, spread
from .outliers import OutlierTest, dixon, grubbs

# Fewer standard uncertainties than this between zero and what a ratio is taken to, and it is not told as a number.
CLEAR_OF_ZERO = 4
SURE = 0.95
FAR_BELOW = 50.0
"""In % of the others' median: a return below it wants an explanation of its own. common practice, no source."""
RATIOS = ("percent_of_median", "percent_of_mean", "percent_of_others")
Item = TypeVar("Item")


class Judged(NamedTuple):
    """A verdict, what was judged as it is told, and whether it lies rather above the range than below."""

    verdict: Verdict
    size: Estimate | Message
    high: bool

    @property
    def number(self) -> int:
        """The injector's."""
        return self.verdict.index or 0

    @property
    def outside(self) -> bool:
        """Whether it is beyond its limit."""
        return self.verdict.verdict == "outside"


@dataclass(frozen=True)
class Collection:
    """What `count` injectors returned in a common time. shared: true volume over volume read, the factor that all have."""

    cups: tuple[Cup, ...]
    count: int
    time: Reading
    shared: Estimate
    delivery: Reading | None

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
    def drawn_ratios(self) -> dict[str, list[tuple[list[float], list[float]]]]:
        """By family and injector, the least and the most that its percentage can be, in each draw."""
        found = [ratios(row, self.over) for row in self.rows]
        return {
            name: [([one[name][i][0] for one in found], [one[name][i][1] for one in found]) for i in range(len(self.cups))]
            for name in RATIOS
        }

    @cached_property
    def noise(self) -> float | None:
        """The spread, in %, that equal injectors would show in 1 of 20 collections; None without a whole, flowing set."""
        return None if any(self.over) or not any(self.values) else spread_of_equal_injectors(self.cups)

    @cached_property
    def differ(self) -> bool:
        """Whether they differ by more than the readings' own errors would show."""
        return any(self.over) or (self.noise is not None and spread(self.values) > self.noise)

    @cached_property
    def tests(self) -> list[OutlierTest]:
        """Both tests, where the set is whole and differs by more than its readings' errors: else they would accuse a scale."""
        if any(self.over) or len(self.cups) < 3 or not self.differ:
            return []
        return [test for test in (grubbs(self.values), dixon(self.values)) if test]

    def told(self, name: str) -> bool:
        """Whether a family of ratios is told in numbers: no cylinder ran over, and what it is taken to is clear of zero."""
        others = {"percent_of_median": medians_of_others, "percent_of_others": means_of_others}.get(name)
        least = min(others(self.values)) if others else sum(self.values) / len(self.values)
        return not any(self.over) and least > CLEAR_OF_ZERO * max(cup.spread for cup in self.cups)

    def vector(self, items: Iterable[Item], cups: Iterable[Cup] = ()) -> tuple[Item | None, ...]:
        """The items by their injectors' numbers, with None where nothing was measured. cups: theirs, else all."""
        by_number = {cup.number: item for cup, item in zip(cups or self.cups, items, strict=True)}
        return tuple(by_number.get(number) for number in range(1, self.count + 1))

    @cached_property
    def flows(self) -> dict[str, Estimate | tuple[Estimate | None, ...]]:
        """The flow of every injector that did not run over; with none that did, their total and mean, and share."""
        cups = [cup for cup in self.cups if not cup.over]
        if not cups:
            return {}
        names = [f"flow_{i}" for i in range(1, len(cups) + 1)]
        whole = ["total", "mean"] if len(cups) == len(self.cups) else []
        units = dict.fromkeys([*names, *whole], "mL/min") | ({"share_of_delivery": "%"} if whole and self.delivery else {})
        found = propagate(
            balance, units, volumes=[cup.estimate() for cup in cups], time=self.time.to("min"), calibration=self.shared,
            delivery=self.delivery.to("mL/min") if self.delivery else 0.0,
        )  # fmt: skip
        return {"flow": self.vector([found.pop(name) for name in names], cups), **found}

    @cached_property
    def estimates(self) -> dict[str, Estimate | tuple[Estimate | None, ...]]:
        """Flows; of several injectors every ratio that is told in numbers, the spread, and the outlier tests' statistics."""
        found = dict(self.flows)
        for name in RATIOS if len(self.cups) > 1 else ():
            if self.told(name):
                centre = [value for value, _ in ratios(self.values, self.over)[name]]
                columns = [Draws(lows, "%") for lows, _ in self.drawn_ratios[name]]
                found[name] = self.vector(map(_about, columns, centre))
        if "percent_of_mean" in found:
            found["spread"] = _about(Draws([spread(row) for row in self.rows], "%"), spread(self.values))
        if len(self.cups) > 1 and self.noise is not None:
            found["spread_of_reading_alone"] = Estimate.of(self.noise, "%", 0.03 * self.noise)
        for test in self.tests:
            found[test.output] = Draws([test.again(row) for row in self.rows], "1").estimate(test.statistic)
        return found

    def of(self, output: str, number: int) -> Estimate | None:
        """An injector's number in a vector; None where none is told."""
        vector = self.estimates.get(output)
        return vector[number - 1] if isinstance(vector, tuple) else None

    def judged(self, limits: Mapping[str, SpecRange | None]) -> Iterator[Judged]:
        """Every measured injector against every limit."""
        for output, limit in limits.items():
            for place, cup in enumerate(self.cups if limit else ()):
                assert limit is not None
                yield self._flow(cup, limit) if output == "flow" else self._ratio(output, place, limit)

    def _flow(self, cup: Cup, limit: SpecRange) -> Judged:
        flow, ends = self.of("flow", cup.number), limit.to("mL/min")
        if flow is not None:
            high = ends.high is not None and flow.value > ends.high
            return Judged(judge("flow", flow, limit, index=cup.number), flow, high)
        least = propagate(
            lambda volume, time, c: {"q": c * volume / time}, {"q": "mL/min"}, volume=cup.estimate(), time=self.time.to("min"),
            c=self.shared,
        )["q"]  # fmt: skip
        beyond = least.above(ends.high) if ends.high is not None else 0.0
        conform = least.above(ends.low) if ends.high is None and ends.low is not None else 0.0
        size = Message(AT_LEAST, bound=_rounded(least.value, beyond=ends.high), unit="mL/min")
        return Judged(_verdict("flow", cup.number, beyond, 0.0, conform, limit), size, True)

    def _ratio(self, output: str, place: int, limit: SpecRange) -> Judged:
        """A percentage is told as a bound where no number is."""
        lows, highs = self.drawn_ratios[output][place]
        ends, number = limit.to("%"), self.cups[place].number
        least, most = Draws(lows, "%"), Draws(highs, "%")
        beyond = least.above(ends.high) if ends.high is not None else 0.0
        short = most.below(ends.low) if ends.low is not None else 0.0
        low, high = (-1.0 if ends.low is None else ends.low), (2 * ENDLESS if ends.high is None else ends.high)
        conform = sum(low <= a and b <= high for a, b in zip(lows, highs, strict=True)) / DRAWS
        told = self.of(output, number)
        verdict = _verdict(output, number, beyond, short, conform, limit, told)
        if told is None and short > beyond:
            size = Message(AT_MOST, bound=_rounded(most.quantile(0.975), up=True), unit="%")
            return Judged(verdict, size, False)
        return Judged(verdict, told or self.at_least(output, place, ends.high), beyond >= short)

    def at_least(self, output: str, place: int, limit: float | None = None) -> Message:
        """The least that an injector's percentage is with 95 %, told beyond a limit that it is beyond."""
        bound = Draws(self.drawn_ratios[output][place][0], "%").quantile(1 - SURE)
        return Message(BEYOND) if bound >= ENDLESS else Message(AT_LEAST, bound=_rounded(bound, beyond=limit), unit="%")

    def farthest(self, among: Sequence[int] = ()) -> tuple[int, bool]:
        """The place farthest from the median of all, in mL, and whether the draws single it out with at least 95 %.

        In mL and not as a ratio: beside nearly nothing every ratio is large. among: the places that are asked about, else all.
        """
        centre = [least for least, _ in distances(self.values, self.over)]
        place = max(among or range(len(centre)), key=centre.__getitem__)
        alone = sum(
            row[place][0] > max((most for i, (_, most) in enumerate(row) if i != place), default=0.0)
            for row in (distances(drawn_values, self.over) for drawn_values in self.rows)
        )
        return place, alone / DRAWS >= SURE

    def dry(self, apart: Container[int] = ()) -> list[int]:
        """Numbers of those that returned for certain less than half of the others' median, where they are the fewer.

        apart: numbers of those that are left out of it; beside such as return far too much any other returns little.
        """
        places = [place for place, cup in enumerate(self.cups) if cup.number not in apart]
        if len(places) < 3:
            return []
        over = [self.over[place] for place in places]
        drawn_rows = [ratios([row[place] for place in places], over)["percent_of_median"] for row in self.rows]
        short = [sum(row[at][1] < FAR_BELOW for row in drawn_rows) for at in range(len(places))]
        found = [self.cups[place].number for place, count in zip(places, short, strict=True) if count >= SURE * DRAWS]
        return found if 2 * len(found) < len(places) else []


AT_LEAST = "at least {bound} {unit}"
AT_MOST = "at most {bound} {unit}"
BEYOND = "beyond any number"


def _about(draws: Draws, value: float) -> Estimate:
    """The estimate of draws that lie to one side of the value as well: the interval is moved out to it."""
    low, high = draws.quantile(0.025), draws.quantile(0.975)
    return Estimate(value, draws.unit, min(low, value), max(high, value))


def _verdict(
    output: str,
    number: int,
    beyond: float,
    short: float,
    conform: float,
    limit: SpecRange,
    measured: Estimate | None = None,
) -> Verdict:
    """The rule of `judge` for what is known as a least and a most alone; between them a half is as good as any chance."""
    known = 1 - beyond - short - conform < 0.005 or conform >= SURE
    chance = conform if known else min(0.5, max(1 - beyond - short, 0.0))
    chance = min(max(chance, 0.0), 1.0)
    if conform >= SURE:
        return Verdict(output, "within", chance, limit, measured, index=number)
    sure = max(beyond, short) >= SURE
    return Verdict(output, "outside" if sure else "undecided", chance, limit, measured, index=number)


def _rounded(value: float, *, up: bool = False, beyond: float | None = None) -> float:
    """Two significant digits, never more than is known: rounded down, or up; more digits to stay beyond a limit."""
    if value <= 0:
        return 0.0
    digits = len(f"{value:.0f}") - 2 if value >= 1 else -2
    while True:
        step = 10.0**digits
        found = float(f"{step * (-(-value // step) if up else value // step):.6g}")
        if beyond is None or not found <= beyond < value or digits < -2:
            return found
        digits -= 1
