"""A whole collection: every number with its interval, and every verdict, from one set of draws."""

from __future__ import annotations

from collections.abc import Collection as Some
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Literal

from baybook.api import Draws, Estimate, Reading, SpecRange, Verdict, judge, propagate

from .cups import DRAWS, Cup, drawn, spread_of_equal_injectors
from .model import ENDLESS, balance, distances, means_of_others, medians_of_others, ratios, spread

# Fewer standard uncertainties than this between zero and what a ratio is taken to, and it is not told as a number.
CLEAR_OF_ZERO = 4
SURE = 0.95
FAR_BELOW = 50.0
"""In % of the others' median: a return below it wants an explanation of its own. common practice, no source."""
RATIOS = ("percent_of_median", "percent_of_mean", "percent_of_others")


@dataclass(frozen=True)
class Collection:
    """What was collected in a common time. shared: true volume over volume read, the factor that all have in common."""

    cups: tuple[Cup, ...]
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

    def told(self, name: str) -> bool:
        """Whether a family of ratios is told in numbers: no cylinder ran over, and what it is taken to is clear of zero."""
        others = {"percent_of_median": medians_of_others, "percent_of_others": means_of_others}.get(name)
        least = min(others(self.values)) if others else sum(self.values) / len(self.values)
        return not any(self.over) and least > CLEAR_OF_ZERO * max(cup.spread for cup in self.cups)

    def flows(self) -> dict[str, Estimate]:
        """The flow of every injector that did not run over; with none that did, their total and mean, and share."""
        cups = [cup for cup in self.cups if not cup.over]
        whole = len(cups) == len(self.cups)
        units = {f"flow_{i}": "mL/min" for i in range(1, len(cups) + 1)}
        if whole:
            units |= {"total": "mL/min", "mean": "mL/min"} | ({"share_of_delivery": "%"} if self.delivery else {})
        given: Reading | float = self.delivery.to("mL/min") if self.delivery else 0.0
        found = propagate(
            balance, units, volumes=[cup.estimate() for cup in cups], time=self.time.to("min"), calibration=self.shared,
            delivery=given,
        ) if cups else {}  # fmt: skip
        numbers = {f"flow_{i}": f"flow_{cup.number}" for i, cup in enumerate(cups, 1)}
        return {numbers.get(name, name): estimate for name, estimate in found.items()}

    def percentages(self, wanted: Sequence[str]) -> dict[str, Estimate]:
        """Those families of ratios that are wanted and told in numbers, and the spread."""
        found: dict[str, Estimate] = {}
        for name in wanted:
            if self.told(name):
                centre = ratios(self.values, self.over)[name]
                for cup, (lows, _), (value, _) in zip(self.cups, self.drawn_ratios[name], centre, strict=True):
                    found[f"{name}_{cup.number}"] = _about(Draws(lows, "%"), value)
        if self.told("percent_of_mean"):
            found["spread"] = _about(Draws([spread(row) for row in self.rows], "%"), spread(self.values))
        return found

    def judged_flow(self, cup: Cup, flow: Estimate | None, limit: SpecRange) -> tuple[Verdict, str, bool]:
        """An injector's flow against its limit, the flow in words, and whether it is rather too high than too low."""
        name, ends = f"flow_{cup.number}", limit.to("mL/min")
        if flow is not None:
            return judge(name, flow, limit), flow.show(), ends.high is not None and flow.value > ends.high
        least = propagate(
            lambda volume, time, c: {"q": c * volume / time}, {"q": "mL/min"}, volume=cup.estimate(), time=self.time.to("min"),
            c=self.shared,
        )["q"]  # fmt: skip
        beyond = least.above(ends.high) if ends.high is not None else 0.0
        conform = least.above(ends.low) if ends.high is None and ends.low is not None else 0.0
        return (
            _verdict(name, beyond, 0.0, conform, limit),
            f"of at least {_rounded(least.value, beyond=ends.high)} mL/min",
            True,
        )

    def judged_ratio(self, name: str, i: int, limit: SpecRange) -> tuple[Verdict, str, bool]:
        """An injector's percentage against its limit, in words (a bound where no number is told), and whether too high."""
        lows, highs = self.drawn_ratios[name][i]
        ends, what = limit.to("%"), f"{name}_{self.cups[i].number}"
        least, most = Draws(lows, "%"), Draws(highs, "%")
        beyond = least.above(ends.high) if ends.high is not None else 0.0
        short = most.below(ends.low) if ends.low is not None else 0.0
        low, high = (-1.0 if ends.low is None else ends.low), (2 * ENDLESS if ends.high is None else ends.high)
        conform = sum(low <= a and b <= high for a, b in zip(lows, highs, strict=True)) / DRAWS
        found = _about(least, ratios(self.values, self.over)[name][i][0]) if self.told(name) else None
        verdict = _verdict(what, beyond, short, conform, limit, found)
        if found:
            size = found.show()
        elif short > beyond:
            size = f"of at most {_rounded(most.quantile(0.975), up=True)} %"
        else:
            size = self.at_least(name, i, ends.high)
        return verdict, size, beyond >= short

    def at_least(self, name: str, i: int, limit: float | None = None) -> str:
        """In words the least that an injector's percentage is with 95 %, told beyond a limit that it is beyond."""
        bound = Draws(self.drawn_ratios[name][i][0], "%").quantile(1 - SURE)
        return "beyond any number" if bound >= ENDLESS else f"of at least {_rounded(bound, beyond=limit)} %"

    def farthest(self, among: Some[int] | None = None) -> tuple[int, bool]:
        """The place farthest from the median of all, in mL, and whether the draws single it out with at least 95 %.

        In mL and not as a ratio: beside nearly nothing every ratio is large. among: the places that are asked about.
        """
        centre = [least for least, _ in distances(self.values, self.over)]
        place = max(among or range(len(centre)), key=centre.__getitem__)
        drawn_distances = [distances(row, self.over) for row in self.rows]
        alone = sum(
            row[place][0] > max((most for i, (_, most) in enumerate(row) if i != place), default=0.0) for row in drawn_distances
        )
        return place, alone / DRAWS >= SURE

    @property
    def dry(self) -> list[int]:
        """The places that returned for certain less than half of the others' median, where those are the fewer."""
        found = [
            i
            for i, (_, highs) in enumerate(self.drawn_ratios["percent_of_median"])
            if Draws(highs, "%").below(FAR_BELOW) >= SURE
        ]
        return found if 2 * len(found) < len(self.cups) else []


def _about(draws: Draws, value: float) -> Estimate:
    """The estimate of draws that lie to one side of the value as well: the interval is moved out to it."""
    low, high = draws.quantile(0.025), draws.quantile(0.975)
    return Estimate(value, draws.unit, min(low, value), max(high, value))


def _verdict(
    what: str, beyond: float, short: float, conform: float, limit: SpecRange, measured: Estimate | None = None
) -> Verdict:
    """The rule of `judge` for what is known as a least and a most alone; between them a half is as good as any chance."""
    word: Literal["within", "outside", "undecided"] = (
        "within" if conform >= SURE else "outside" if max(beyond, short) >= SURE else "undecided"
    )
    known = 1 - beyond - short - conform < 0.005 or word == "within"
    chance = conform if known else min(0.5, max(1 - beyond - short, 0.0))
    return Verdict(what, word, min(max(chance, 0.0), 1.0), limit, measured)


def _rounded(value: float, *, up: bool = False, beyond: float | None = None) -> str:
    """Two significant digits, never more than is known: rounded down, or up; more digits to stay beyond a limit."""
    if value <= 0:
        return "0"
    digits = len(f"{value:.0f}") - 2 if value >= 1 else -2
    while True:
        step = 10.0**digits
        found = float(f"{step * (-(-value // step) if up else value // step):.6g}")
        if beyond is None or not found <= beyond < value or digits < -2:
            return f"{found:g}"
        digits -= 1
