"""The injector return balance: flows, how they compare, and which injector is beyond the user's limit."""

from __future__ import annotations

from dataclasses import replace
from typing import Annotated

from baybook.api import (
    COVERAGE,
    FLAMMABLE,
    HIGH_PRESSURE,
    HIGH_VOLTAGE,
    MAKERS_DATA,
    STARTING,
    Calculator,
    Choice,
    Estimate,
    Example,
    Meaning,
    Output,
    Reading,
    Result,
    SpecRange,
    calculator,
    duration,
    flow,
    hookimpl,
    ratio,
    readings,
    spec_range,
    volume,
)

from .cards import baybook_cards as baybook_cards
from .chart import charts
from .findings import farthest, findings, named
from .model import spread_of_equal_injectors
from .outliers import dixon, grubbs
from .working import check_volumes, compare, in_order, judge_all, notes, own_volumes, plot, standing_out, steps, test_outputs


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
        "stands_out": Output("word", "the injector farthest from the others, as far as the readings tell it from them"),
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
        "Engine stopped, rail proved at zero by a reading: take the low-pressure return hoses off the injectors and lead "
        "each into its own cylinder, the way the maker describes. Close the common return line where it was taken off.",
        "Make sure that hoses and cylinders are fixed, clear of belts, fans and hot parts, and that fuel is caught.",
        "Run in the condition the limit is given for (idle, raised speed, or cranking), fuel and engine warm, and stand clear.",
        "Stop after a stated time, the same for all, before a cylinder is three quarters full.",
        "Wait for froth to settle; read every cylinder at eye level. Half a division is what a reading is good for.",
        "If one stands out: engine stopped, exchange hoses and cylinders between it and another, and collect again.",
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
    charts=charts,
)
def returns(
    volumes: Annotated[
        tuple[Reading, ...],
        readings(
            "volume",
            "what each injector returned, in cylinder order",
            symbol="V",
            at_least_count=2,
            at_most_count=24,
            at_least="0 mL",
            usual="30 mL",
        ),
    ],
    time: Annotated[Reading, duration("how long was collected, the same for all", symbol="t", above="0 s", usual="120 s")],
    division: Annotated[
        Reading | None,
        volume(
            "the cylinders' smallest division; a reading is good to half of it",
            exact=True,
            above="0 mL",
            usual="2 mL",
        ),
    ] = None,
    calibration: Annotated[
        Reading | None,
        ratio(
            "how far a cylinder may be off, in % of the volume (95 %)",
            exact=True,
            at_least="0 %",
            below="50 %",
            usual="1 %",
        ),
    ] = None,
    cylinders: Annotated[
        str,
        Choice(
            "how many cylinders were used",
            words={
                "each": "one for each injector: their errors differ",
                "one": "one for all in turn: its error is the same for all",
            },
        ),
    ] = "each",
    delivery: Annotated[
        Reading | None, flow("what the pump delivers in this condition, where known", above="0 mL/min", usual="800 mL/min")
    ] = None,
    flow_limit: Annotated[
        SpecRange | None, spec_range("flow", "limit of each injector's return flow", at_least="0 mL/min")
    ] = None,
    median_limit: Annotated[
        SpecRange | None,
        spec_range("ratio", "limit of each against the median of the others; 1.5 times is <= 150 %", at_least="0 %"),
    ] = None,
    others_limit: Annotated[
        SpecRange | None, spec_range("ratio", "limit of each against the mean of the others", at_least="0 %")
    ] = None,
    mean_limit: Annotated[
        SpecRange | None, spec_range("ratio", "limit of each against the mean of all", at_least="0 %")
    ] = None,
) -> Result:
    """Compare the injectors' return flows with each other and with a limit.

    Errors that all injectors share (the time; the calibration where one cylinder served for all) cancel in every comparison of
    injectors and count in full against an absolute limit. Reading errors, and the calibration of separate cylinders, count in
    both.
    """
    own = own_volumes(volumes, division, calibration if cylinders == "each" else None)
    shared = Estimate.of(1.0, "1", calibration.number("1") / COVERAGE if calibration and cylinders == "one" else 0.0)
    check_volumes(own)
    estimates = compare(own, time, shared, delivery, others_limit is not None)
    values, u = [item.value for item in own], [item.u for item in own]
    tests = [test for test in (grubbs(values), dixon(values)) if test]
    rules = {
        "flow": flow_limit,
        "percent_of_median": median_limit,
        "percent_of_others": others_limit,
        "percent_of_mean": mean_limit,
    }
    verdicts = judge_all(estimates, rules, len(own))
    noise = spread_of_equal_injectors(values, u)
    worst = farthest(estimates, "percent_of_median_" if "percent_of_median_1" in estimates else "percent_of_mean_")
    return Result(
        outputs={
            **in_order(estimates),
            "spread_of_reading_alone": Estimate.of(noise, "%", 0.03 * noise),
            **test_outputs(tests, own),
            "stands_out": standing_out(estimates, worst, len(own)),
        },
        verdicts=tuple(replace(verdict, what=named(verdict.what)) for verdict in verdicts),
        findings=findings(verdicts, estimates, noise),
        notes=notes(estimates, tests, len(own), division),
        steps=steps(estimates, volumes, time, int(worst.rpartition("_")[2])),
        plots=(plot(estimates, len(own), flow_limit),),
    )


@hookimpl
def baybook_calculators() -> list[Calculator]:
    """Offer the calculator."""
    return [returns]
