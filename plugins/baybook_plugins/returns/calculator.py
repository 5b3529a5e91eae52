"""The injector return balance: flows, how they compare, and which injector is beyond the user's limit."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import hypot, sqrt
from typing import Annotated, Any

from baybook.api import (
    COVERAGE,
    FLAMMABLE,
    HIGH_PRESSURE,
    HIGH_VOLTAGE,
    KINDS,
    MAKERS_DATA,
    STARTING,
    Choice,
    Estimate,
    Example,
    InputError,
    Meaning,
    Output,
    Plot,
    Problem,
    Quantity,
    Reading,
    Result,
    Series,
    SpecRange,
    Step,
    Verdict,
    calculator,
    duration,
    flow,
    judge,
    propagate,
    readings,
    spec_range,
)

from .findings import FEW, TWO, farthest, findings, named
from .model import balance, medians_of_others, over_median_of_others, spread_of_equal_injectors
from .outliers import OutlierTest, dixon, grubbs, honest_words

# Fewer sigmas than this between a median and zero, and a ratio to it means nothing: collect for longer.
CLEAR_OF_ZERO = 4


@dataclass(frozen=True)
class Exact(Quantity):
    """A quantity that states an error or a setting: typed without ± it is exact, not good to half its last digit."""

    def parse(self, raw: Any) -> Reading:
        """The reading. Raises Refused."""
        reading = super().parse(raw)
        return Reading(reading.value, reading.unit, reading.kind, 0.0 if reading.assumed else reading.u, text=reading.text)


@calculator(
    title="Injector return balance",
    stage="delivery",
    side="hydraulic",
    proves="Which injector lets more fuel back into the return than the others, or than a limit. "
    "Not how much it injects, nor where inside it the fuel passes.",
    outputs={
        "flow_{n}": Output("flow", "return flow of each injector", "q_i"),
        "percent_of_median_{n}": Output("ratio", "each against the median of the others: the main number", "r_i", always=False),
        "percent_of_mean_{n}": Output("ratio", "each against the mean of all", "P_i"),
        "percent_of_others_{n}": Output("ratio", "each against the mean of the others", "m_i", always=False),
        "total": Output("flow", "all injectors together", "Q"),
        "mean": Output("flow", "mean of all", "q"),
        "spread": Output("ratio", "largest less smallest, of the mean", "S"),
        "spread_of_reading_alone": Output("ratio", "spread that equal injectors would show in 1 of 20 collections"),
        "share_of_delivery": Output("ratio", "total of a stated pump delivery", "s", always=False),
        "grubbs_g": Output("ratio", "distance from the mean over the standard deviation", "G", unit="1", always=False),
        "dixon_q": Output("ratio", "gap over range", "D", unit="1", always=False),
        "stands_out": Output("word", "the injector farthest from the others"),
    },
    cautions=(HIGH_PRESSURE, HIGH_VOLTAGE, FLAMMABLE, STARTING, MAKERS_DATA),
    sources=(
        "Comparison by return volume: common practice, no source.",
        "Uncertainty: JCGM 100:2008, 5.1; of the ratio to a median: Monte Carlo, JCGM 101:2008.",
        "Grubbs, Technometrics 11 (1969) 1-21, two-sided 5 %; Dixon r10: Rorabacher, Anal. Chem. 63 (1991) 139-146.",
    ),
    examples=(
        Example(
            inputs={
                "volumes": [f"{v} ± 0 mL" for v in (189, 167, 187, 183, 186, 182, 181, 184, 181, 177)],
                "time": "1 ± 0 min",
            },
            outputs={"dixon_q": (0.455, "1", 2e-3), "stands_out": "injector 2"},
            source="The ten values of the worked example in en.wikipedia.org, Dixon's Q test, taken as mL",
        ),
    ),
    needs=("one graduated cylinder and hose for each injector, all alike", "a watch", "the limit from the maker's data"),
    procedure=(
        "Engine stopped, rail proved at zero by a reading: take the low-pressure return hoses off the injectors and lead each into its "
        "own cylinder, the way the maker describes. Close the common return line where it was taken off.",
        "Make sure that hoses and cylinders are fixed, clear of belts, fans and hot parts, and that fuel is caught.",
        "Run in the condition the limit is given for (idle, raised speed, or cranking), fuel and engine warm, and stand clear.",
        "Stop after a stated time, the same for all, before a cylinder is three quarters full.",
        "Wait for froth to settle; read every cylinder at eye level. Half a division is what a reading is good for.",
        "If one stands out: exchange hoses and cylinders between it and another, and collect again.",
    ),
    formulas=(
        "q_i = V_i / t",
        "P_i = 100 % · n · V_i / (V_1 + … + V_n)",
        "r_i = 100 % · V_i / median of the other V",
        "s = 100 % · (q_1 + … + q_n) / pump delivery",
    ),
    meanings=(
        Meaning(
            "one injector far above the others",
            "it leaks inside: seat, control valve or guide. A lower rail pressure or a long crank can follow",
            "exchange hoses and cylinders and repeat; then have this injector tested on a bench",
        ),
        Meaning(
            "all alike and above the limit",
            "wear of the whole set, hot or thin fuel, or a control that bleeds pressure through the injectors",
            "measure fuel temperature; see whether the control bleeds (calculator regulator); then test the set",
        ),
        Meaning(
            "one injector far below the others",
            "its return is blocked or leaks elsewhere, or it is not driven",
            "check the hose; then the injector's drive by oscilloscope, on insulated leads fitted with the key off",
        ),
        Meaning(
            "all alike and within the limit",
            "the returns are not where the pressure is lost",
            "supply, generation, and whether the closed rail holds (calculator hold)",
        ),
    ),
)
def returns(
    volumes: Annotated[
        tuple[Reading, ...],
        readings(
            "volume", "what each injector returned, in cylinder order", symbol="V", at_least_count=2, at_most_count=24,
            at_least="0 mL", usual="30 mL",
        ),
    ],
    time: Annotated[Reading, duration("how long was collected, the same for all", symbol="t", above="0 s", usual="2 min")],
    division: Annotated[
        Reading | None,
        Exact("the cylinders' smallest division; a reading is good to half of it", kind=KINDS["volume"], above="0 mL", usual="2 mL"),
    ] = None,
    calibration: Annotated[
        Reading | None,
        Exact(
            "how far a cylinder may be off, in % of the volume (95 %)", kind=KINDS["ratio"], at_least="0 %", below="50 %", usual="1 %"
        ),
    ] = None,
    cylinders: Annotated[
        str,
        Choice(
            "how many cylinders were used",
            words={"each": "one for each injector: their errors differ", "one": "one for all in turn: its error is the same for all"},
        ),
    ] = "each",
    delivery: Annotated[
        Reading | None, flow("what the pump delivers in this condition, where known", above="0 mL/min", usual="800 mL/min")
    ] = None,
    flow_limit: Annotated[SpecRange | None, spec_range("flow", "limit of each injector's return flow")] = None,
    median_limit: Annotated[
        SpecRange | None, spec_range("ratio", "limit of each against the median of the others; 1.5 times is <= 150 %")
    ] = None,
    others_limit: Annotated[SpecRange | None, spec_range("ratio", "limit of each against the mean of the others")] = None,
    mean_limit: Annotated[SpecRange | None, spec_range("ratio", "limit of each against the mean of all")] = None,
) -> Result:
    """Compare the injectors' return flows with each other and with a limit.

    Errors that all injectors share (the time; the calibration where one cylinder served for all) cancel in every comparison of
    injectors and count in full against an absolute limit; reading errors, and the calibration of separate cylinders, count in both.
    """
    own = own_volumes(volumes, division, calibration if cylinders == "each" else None)
    shared = Estimate.of(1.0, "1", calibration.number("1") / COVERAGE if calibration and cylinders == "one" else 0.0)
    check_volumes(own)
    estimates = compare(own, time, shared, delivery)
    values, u = [item.value for item in own], [item.u for item in own]
    tests = [test for test in (grubbs(values), dixon(values)) if test]
    rules = {"flow": flow_limit, "percent_of_median": median_limit, "percent_of_others": others_limit, "percent_of_mean": mean_limit}
    verdicts = judge_all(estimates, rules, len(own))
    noise = spread_of_equal_injectors(values, u)
    worst = farthest(estimates, "percent_of_median_" if "percent_of_median_1" in estimates else "percent_of_mean_")
    return Result(
        outputs={
            **in_order(estimates),
            "spread_of_reading_alone": Estimate.of(noise, "%", 0.03 * noise),
            **test_outputs(tests, own),
            "stands_out": named(worst).split(",")[0],
        },
        verdicts=tuple(replace(verdict, what=named(verdict.what)) for verdict in verdicts),
        findings=findings(verdicts, estimates, noise),
        notes=notes(estimates, tests, len(own), division),
        steps=steps(estimates, volumes, time, int(worst.rpartition("_")[2])),
        plots=(plot(estimates, len(own), flow_limit),),
    )


def own_volumes(volumes: Sequence[Reading], division: Reading | None, calibration: Reading | None) -> list[Estimate]:
    """The volumes in mL with the errors that are each one's own.

    Half a division is a limit (rectangular, JCGM 100:2008, 4.3.7) and stands in for a reading typed without uncertainty.
    """
    half = division.number("mL") / 2 / sqrt(3) if division else 0.0
    relative = calibration.number("1") / COVERAGE if calibration else 0.0
    read = [volume.to("mL") for volume in volumes]
    return [
        Estimate.of(item.value, "mL", hypot(half if division and item.assumed else item.u, relative * item.value)) for item in read
    ]


def check_volumes(own: Sequence[Estimate]) -> None:
    """Raise InputError when fewer than two injectors returned anything: there is nothing to compare."""
    if sum(volume.value > 0 for volume in own) < 2:
        why = "are zero for all injectors but one at most"
        raise InputError([Problem("volumes", None, why, "collect for longer, or check that the returns run into the cylinders")])


def compare(own: Sequence[Estimate], time: Reading, shared: Estimate, delivery: Reading | None) -> dict[str, Estimate]:
    """Every flow, percentage and ratio with its interval. The ratio to the median is left out where a median is near zero."""
    units = {"total": "mL/min", "mean": "mL/min", "spread": "%"} | ({"share_of_delivery": "%"} if delivery else {})
    for i in range(1, len(own) + 1):
        units |= {f"flow_{i}": "mL/min", f"percent_of_mean_{i}": "%", f"percent_of_others_{i}": "%"}
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
        raise InputError([Problem("median_limit", str(rules["percent_of_median"]), why, "collect for longer, or judge by flow_limit")])
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
        Series("95 % interval", x, [f.low for f in flows], "band", [f.high for f in flows]),
        Series("flow", x, [f.value for f in flows], "points"),
        Series("mean of all", x, [estimates["mean"].value] * count),
    ]
    if limit is not None and limit.high is not None:
        series.append(Series("limit", x, [float(limit.to("mL/min").high or 0.0)] * count))
    return Plot("Return flow of each injector", "injector", "", "flow", "mL/min", tuple(series))
