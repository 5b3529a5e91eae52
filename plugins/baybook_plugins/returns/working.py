"""A collection to verdicts, notes, steps and plot: what the declaration calls on."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from baybook.api import Draws, Estimate, Finding, InputError, Plot, Problem, Reading, Series, SpecRange, Step

from .collection import Collection
from .cups import Cup
from .findings import FEW, TWO, Circumstances, Judged, without_limit
from .model import medians_of_others
from .outliers import OutlierTest, dixon, grubbs, honest_words

OVER = "Injector {} ran its cylinder over: it counts as at least what the cylinder holds, and no total is told."
MISSING = "Not measured: {}. The numbers stay those of the cylinders."
COARSE = "The differences are no larger than the readings' own errors make them: no outlier test was taken."
NEAR_ZERO = "What the others returned is too near zero for a ratio in numbers: it is judged by the least that it is."
BOUNDS = "Beside a cylinder that ran over a ratio is judged by the least and the most that it can be."
HALF = "A volume typed without an uncertainty was taken as good to half a division of {}."
PRESSURE = "Collected at a rail pressure of {}."


def cups_of(volumes: Sequence[Reading | None], division: Reading | None, calibration: Reading | None) -> tuple[Cup, ...]:
    """The measured ones, each with its injector's number. Raises InputError for one return that all injectors share."""
    if len(volumes) == 1:
        would_do = (
            "collect every injector into a cylinder of its own; where the hoses cannot be parted, judge the common return "
            "against the maker's limit for the whole set, and do not split it evenly"
        )
        raise InputError([Problem("volumes", str(volumes[0]), "is one reading, and shows no injector by itself", would_do)])
    return tuple(Cup.of(i, volume, division, calibration) for i, volume in enumerate(volumes, 1) if volume is not None)


def comparisons(taken: Collection, *, with_others: bool) -> dict[str, Estimate]:
    """Every ratio that is told in numbers, the spread, and what the readings' errors alone would make of it."""
    if len(taken.cups) < 2:
        return {}
    wanted = ("percent_of_median", "percent_of_mean", *(("percent_of_others",) if with_others else ()))
    noise = {} if taken.noise is None else {"spread_of_reading_alone": Estimate.of(taken.noise, "%", 0.03 * taken.noise)}
    return taken.percentages(wanted) | noise


def unjudged(
    taken: Collection, estimates: Mapping[str, Estimate], place: int | None, seen: Circumstances
) -> tuple[Finding, ...]:
    """The findings where no limit was typed in; place: of the injector that stands out."""
    count = len(taken.cups)
    if place is None or count == 2:
        return without_limit(estimates.get("spread"), taken.noise, None, count, seen)
    number, said = taken.cups[place].number, ("all", "")
    if taken.over[place]:
        said = ("what the others returned", taken.at_least("percent_of_median", place).removeprefix("of "))
    for name, of in (("percent_of_mean", "the mean of all"), ("percent_of_median", "what the others returned")):
        if size := estimates.get(f"{name}_{number}"):
            said = (of, size.show())
    return without_limit(None, taken.noise, (number, *said), count, seen)


def judge_all(taken: Collection, flows: Mapping[str, Estimate], rules: Mapping[str, SpecRange | None]) -> list[Judged]:
    """Every measured injector against every limit that was typed in. Raises InputError for a ratio with nothing beside it."""
    alone = [f"{name.removeprefix('percent_of_')}_limit" for name, rule in rules.items() if rule and name != "flow"]
    if len(taken.cups) < 2 and alone:
        raise InputError([Problem(name, None, "has one measured injector only", "give more, or flow_limit") for name in alone])
    judged = []
    for name, limit in rules.items():
        for place, cup in enumerate(taken.cups if limit else ()):
            assert limit is not None
            verdict, size, high = (
                taken.judged_flow(cup, flows.get(f"flow_{cup.number}"), limit)
                if name == "flow"
                else taken.judged_ratio(name, place, limit)
            )
            judged.append(Judged(verdict, cup.number, name.replace("_", " "), size, high))
    return judged


def circumstances(
    condition: str | None,
    pressure: Reading | None,
    volumes: Sequence[Reading | None],
    taken: Collection,
    estimates: Mapping[str, Estimate],
) -> Circumstances:
    """What the findings need to know beside the verdicts."""
    dry = [taken.cups[place].number for place in taken.dry] if len(taken.cups) > 2 else []
    missing = [i for i, volume in enumerate(volumes, 1) if volume is None]
    return Circumstances(condition, pressure, missing, dry, any(taken.over), estimates.get("share_of_delivery"))


def outlier_tests(taken: Collection) -> list[OutlierTest]:
    """Both tests, where the set is whole and differs by more than its readings' errors: else they would accuse a scale."""
    if any(taken.over) or len(taken.cups) < 3 or not taken.differ:
        return []
    return [test for test in (grubbs(taken.values), dixon(taken.values)) if test]


def test_outputs(tests: Sequence[OutlierTest], taken: Collection) -> dict[str, Estimate]:
    """The outlier tests' statistics with the readings' errors carried through."""
    known = {"Grubbs": ("grubbs_g", grubbs), "Dixon": ("dixon_q", dixon)}
    found = {}
    for test in tests:
        name, function = known[test.name]
        again = [function(row) for row in taken.rows]
        found[name] = Draws([one.statistic if one else 0.0 for one in again], "1").estimate(test.statistic)
    return found


def standing_out(judged: Sequence[Judged], taken: Collection) -> tuple[str, int | None]:
    """The injectors that stand out, in words, and the place of the farthest; ("none", None) where nothing does.

    With limits they are those beyond one, and what a cylinder that ran over leaves undecided; without, the one that the
    readings tell from all others.
    """
    if judged:
        return _beyond_limits(judged, taken)
    if len(taken.cups) < 2 or not taken.differ:
        return "none", None
    place, alone = taken.farthest()
    if len(taken.cups) == 2 and not any(taken.over):
        return "one of the two", None
    return (f"injector {taken.cups[place].number}", place) if alone else ("none", None)


def _beyond_limits(judged: Sequence[Judged], taken: Collection) -> tuple[str, int | None]:
    outside = sorted({item.number for item in judged if item.outside})
    undecided = {item.number for item in judged if item.verdict.verdict == "undecided"}
    unknown = [cup.number for cup in taken.cups if cup.over and cup.number in undecided and cup.number not in outside]
    words = [f"injector {number} undecided" for number in unknown]
    if not outside:
        return "; ".join(words) or "none", None
    place, _ = taken.farthest([i for i, cup in enumerate(taken.cups) if cup.number in outside])
    if len(taken.cups) == 2 and not any(item.outside and item.what == "flow" for item in judged):
        return "one of the two", place
    if 1 < len(outside) == len(taken.cups):
        return "all injectors", place
    first = f"injector {outside[0]}" if len(outside) == 1 else f"injectors {', '.join(map(str, outside))}"
    return "; ".join([first, *words]), place


def notes(
    taken: Collection, tests: Sequence[OutlierTest], judged: Sequence[Judged], division: Reading | None, seen: Circumstances
) -> tuple[str, ...]:
    """What a reader must know of the comparison's limits."""
    count = len(taken.cups)
    said = [PRESSURE.format(seen.pressure)] if seen.pressure else []
    said += [OVER.format(cup.number) for cup in taken.cups if cup.over]
    if seen.missing:
        said.append(MISSING.format(", ".join(f"injector {number}" for number in seen.missing)))
    if count > 1:
        said.append(TWO if count == 2 else FEW)
    said += [honest_words(test, [cup.number for cup in taken.cups]) for test in tests]
    if count > 2 and not tests and not any(taken.over) and any(taken.values):
        said.append(COARSE)
    if division:
        said.append(HALF.format(division))
    if any(item.what != "flow" and not taken.told(item.what.replace(" ", "_")) for item in judged):
        said.append(BOUNDS if any(taken.over) else NEAR_ZERO)
    return tuple(said)


def steps(
    estimates: Mapping[str, Estimate], volumes: Sequence[Reading | None], taken: Collection, place: int
) -> tuple[Step, ...]:
    """The injector that stands out, worked through, as far as its numbers are told."""
    number = taken.cups[place].number
    reading = volumes[number - 1]
    if reading is None or f"flow_{number}" not in estimates:
        return ()
    volume = reading.to("mL")
    flow = Step(
        f"flow of injector {number}", "q = V / t", {"V": volume, "t": taken.time.to("min")}, estimates[f"flow_{number}"]
    )
    worked = [flow]
    if f"percent_of_mean_{number}" in estimates:
        numbers = {"n": str(len(taken.cups)), "V": volume, "S": f"{sum(taken.values):g} mL"}
        of_mean = estimates[f"percent_of_mean_{number}"]
        worked.append(Step(f"injector {number} against the mean of all", "P = 100 · n · V / S", numbers, of_mean))
    if f"percent_of_median_{number}" in estimates:
        against = {"V": volume, "M": f"{medians_of_others(taken.values)[place]:g} mL"}
        of_median = estimates[f"percent_of_median_{number}"]
        worked.append(Step(f"injector {number} against the median of the others", "r = 100 · V / M", against, of_median))
    return tuple(worked)


def plot(flows: Mapping[str, Estimate], taken: Collection, limit: SpecRange | None) -> Plot:
    """Each injector's flow with its interval, the mean, and an upper flow limit where one was given."""
    x = [float(cup.number) for cup in taken.cups if not cup.over]
    shown = [flows[f"flow_{cup.number}"] for cup in taken.cups if not cup.over]
    mean = sum(flow.value for flow in shown) / max(len(shown), 1)
    series = [_boxes(x, shown, mean), Series("flow", x, [f.value for f in shown], "points")]
    if "mean" in flows:
        series.append(Series("mean of all", x, [mean] * len(x)))
    if limit is not None and limit.high is not None:
        series.append(Series("limit", x, [float(limit.to("mL/min").high or 0.0)] * len(x)))
    return Plot("Return flow of each injector", "injector", "", "flow", "mL/min", tuple(series))


def _boxes(x: list[float], flows: list[Estimate], between: float) -> Series:
    """A box for each injector's interval, as one band that has no height between them: injectors have nothing in between."""
    edges: list[tuple[float, float, float]] = []
    for place, flow in zip(x, flows, strict=True):
        for side in (place - 0.12, place + 0.12):
            ends = [(side, flow.low, flow.high), (side, between, between)]
            edges += ends if side > place else ends[::-1]
    return Series("95 % interval", [e[0] for e in edges], [e[1] for e in edges], "band", [e[2] for e in edges])
