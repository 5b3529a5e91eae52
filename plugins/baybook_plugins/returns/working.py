"""Volumes to estimates, verdicts, notes, steps and plot: what the declaration calls on."""

from __future__ import annotations

from collections.abc import Sequence
from math import hypot, sqrt

from baybook.api import (
    COVERAGE,
    Estimate,
    InputError,
    Plot,
    Problem,
    Reading,
    Series,
    SpecRange,
    Step,
    Verdict,
    judge,
    propagate,
)

from .findings import FEW, TWO
from .model import balance, medians_of_others, over_median_of_others
from .outliers import OutlierTest, dixon, grubbs, honest_words

# Fewer sigmas than this between a median and zero, and a ratio to it means nothing: collect for longer.
CLEAR_OF_ZERO = 4


def own_volumes(volumes: Sequence[Reading], division: Reading | None, calibration: Reading | None) -> list[Estimate]:
    """The volumes in mL with the errors that are each one's own.

    Half a division is a limit (rectangular, JCGM 100:2008, 4.3.7) and stands in for a reading typed without uncertainty.
    """
    half = division.number("mL") / 2 / sqrt(3) if division else 0.0
    relative = calibration.number("1") / COVERAGE if calibration else 0.0
    read = [volume.to("mL") for volume in volumes]
    return [
        Estimate.of(item.value, "mL", hypot(half if division and item.assumed else item.u, relative * item.value))
        for item in read
    ]


def check_volumes(own: Sequence[Estimate]) -> None:
    """Raise InputError when fewer than two injectors returned anything: there is nothing to compare."""
    if sum(volume.value > 0 for volume in own) < 2:
        why = "are zero for all injectors but one at most"
        raise InputError(
            [Problem("volumes", None, why, "collect for longer, or check that the returns run into the cylinders")]
        )


def compare(
    own: Sequence[Estimate], time: Reading, shared: Estimate, delivery: Reading | None, others: bool
) -> dict[str, Estimate]:
    """Every flow, percentage and ratio with its interval. The ratio to the median is left out where a median is near zero.

    others: whether the ratio to the mean of the others is wanted too.
    """
    units = {"total": "mL/min", "mean": "mL/min", "spread": "%"} | ({"share_of_delivery": "%"} if delivery else {})
    for i in range(1, len(own) + 1):
        units |= {f"flow_{i}": "mL/min", f"percent_of_mean_{i}": "%"} | ({f"percent_of_others_{i}": "%"} if others else {})
    given: Reading | float = delivery.to("mL/min") if delivery else 0.0
    found = propagate(balance, units, volumes=own, time=time.to("min"), calibration=shared, delivery=given)
    values, u = [item.value for item in own], [item.u for item in own]
    if min(medians_of_others(values)) > CLEAR_OF_ZERO * max(u):
        for i, (value, sigma) in enumerate(over_median_of_others(values, u), 1):
            found[f"percent_of_median_{i}"] = Estimate.of(100 * value, "%", 100 * sigma)
    return found


def judge_all(estimates: dict[str, Estimate], rules: dict[str, SpecRange | None], count: int) -> list[Verdict]:
    """Every injector against every limit that was typed in. Raises InputError for a ratio that cannot be formed."""
    if rules["percent_of_median"] and "percent_of_median_1" not in estimates:
        why = "cannot be judged: the median of the others is too near zero"
        raise InputError(
            [Problem("median_limit", str(rules["percent_of_median"]), why, "collect for longer, or judge by flow_limit")]
        )
    return [
        judge(f"{name}_{i}", estimates[f"{name}_{i}"], limit)
        for name, limit in rules.items()
        if limit is not None
        for i in range(1, count + 1)
    ]


def test_outputs(tests: Sequence[OutlierTest], own: Sequence[Estimate]) -> dict[str, Estimate]:
    """The outlier tests' statistics with the readings' errors carried through."""
    name = {"Grubbs": "grubbs_g", "Dixon": "dixon_q"}
    function = {"Grubbs": grubbs, "Dixon": dixon}

    def statistic(test: OutlierTest) -> Estimate:
        def again(volumes: Sequence[float]) -> dict[str, float]:
            found = function[test.name](volumes)
            return {"x": found.statistic if found else 0.0}

        return propagate(again, {"x": "1"}, volumes=own)["x"]

    return {name[test.name]: statistic(test) for test in tests}


def standing_out(estimates: dict[str, Estimate], worst: str, count: int) -> str:
    """The injector farthest from the others in words; "none" where its own reading does not tell it from them."""
    if estimates[worst].low <= 100 <= estimates[worst].high:
        return "none"
    return "one of the two" if count == 2 else f"injector {worst.rpartition('_')[2]}"


def in_order(estimates: dict[str, Estimate]) -> dict[str, Estimate]:
    """The families one after the other, the main number first, then what is said of all."""
    families = ("percent_of_median_", "flow_", "percent_of_mean_", "percent_of_others_", "")
    return {name: estimates[name] for family in families for name in estimates if name.startswith(family)}


def notes(
    estimates: dict[str, Estimate], tests: Sequence[OutlierTest], count: int, division: Reading | None
) -> tuple[str, ...]:
    """What a reader must know of the comparison's limits."""
    said = [TWO if count == 2 else FEW, *(honest_words(test, count) for test in tests)]
    if division:
        said.append(f"A volume typed without an uncertainty was taken as good to half a division of {division}.")
    if "percent_of_median_1" not in estimates:
        said.append("The others' median is too near zero for a ratio to it: collect for longer.")
    return tuple(said)


def steps(estimates: dict[str, Estimate], volumes: Sequence[Reading], time: Reading, i: int) -> tuple[Step, ...]:
    """The injector that stands out, worked through."""
    volume = volumes[i - 1].to("mL")
    total = sum(item.number("mL") for item in volumes)
    worked = [
        Step(f"flow of injector {i}", "q = V / t", {"V": volume, "t": time.to("min")}, estimates[f"flow_{i}"]),
        Step(
            f"injector {i} against the mean of all", "P = 100 · n · V / S",
            {"n": str(len(volumes)), "V": volume, "S": f"{total:g} mL"}, estimates[f"percent_of_mean_{i}"],
        ),
    ]  # fmt: skip
    if f"percent_of_median_{i}" in estimates:
        median = medians_of_others([item.number("mL") for item in volumes])[i - 1]
        worked.append(
            Step(
                f"injector {i} against the median of the others", "r = 100 · V / M", {"V": volume, "M": f"{median:g} mL"},
                estimates[f"percent_of_median_{i}"],
            )
        )  # fmt: skip
    return tuple(worked)


def plot(estimates: dict[str, Estimate], count: int, limit: SpecRange | None) -> Plot:
    """Each injector's flow with its interval, the mean, and an upper flow limit where one was given."""
    x = [float(i) for i in range(1, count + 1)]
    flows = [estimates[f"flow_{i}"] for i in range(1, count + 1)]
    series = [
        _boxes(x, flows, estimates["mean"].value),
        Series("flow", x, [f.value for f in flows], "points"),
        Series("mean of all", x, [estimates["mean"].value] * count),
    ]
    if limit is not None and limit.high is not None:
        series.append(Series("limit", x, [float(limit.to("mL/min").high or 0.0)] * count))
    return Plot("Return flow of each injector", "injector", "", "flow", "mL/min", tuple(series))


def _boxes(x: list[float], flows: list[Estimate], between: float) -> Series:
    """A box for each injector's interval, as one band that has no height between them: injectors have nothing in between."""
    edges: list[tuple[float, float, float]] = []
    for place, flow in zip(x, flows, strict=True):
        for side in (place - 0.12, place + 0.12):
            ends = [(side, flow.low, flow.high), (side, between, between)]
            edges += ends if side > place else ends[::-1]
    return Series("95 % interval", [e[0] for e in edges], [e[1] for e in edges], "band", [e[2] for e in edges])
