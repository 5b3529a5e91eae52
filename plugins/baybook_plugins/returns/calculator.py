"""The injector return balance: flows, how they compare, and which injector is beyond the user's limit."""

from __future__ import annotations

from typing import Annotated

from baybook.api import (
    COVERAGE,
    FLAMMABLE,
    HIGH_PRESSURE,
    HIGH_VOLTAGE,
    MAKERS_DATA,
    RUNNING_ENGINE,
    Choice,
    Estimate,
    Example,
    Limits,
    Meaning,
    Need,
    Output,
    Question,
    Reading,
    Result,
    Sense,
    SpecRange,
    calculator,
    duration,
    flow,
    gauge_pressure,
    ratio,
    readings,
    spec_range,
    volume,
)

from .answers import DRY
from .balance import balanced
from .chart import charts
from .collection import Collection
from .cups import Cup
from .exchange import EXCHANGED, STAYS, stays
from .findings import Circumstances, missing
from .notes import no_common_return, something_to_compare
from .procedure import PROCEDURE
from .states import CONDITIONS

JUDGED = ("flow", "percent_of_median", "percent_of_others", "percent_of_mean")
CYLINDERS = {
    "each": "one for each injector: their errors differ",
    "one": "one for all in turn: its error is the same for all",
}
SENSE = Sense(
    {
        "": Question({"{object}": 0.85}, 0.01, ("{object}",)),
        STAYS: stays("returns"),
        "dry": DRY,
    },
    25.0, hands="low side opened", objects=("injector *",), together=True, turning=True,
    needs=(
        Need("pressure", "at which rail pressure were the returns collected?", met=0.6, left=0.3, input="rail_pressure",
             of=("", STAYS)),
    ),
    fitted={"returns": (None, "separate")},
)  # fmt: skip
"""The reach is common practice, no source."""


def against(of: str, symbol: str) -> Output:
    """The output of a ratio of each injector."""
    return Output("ratio", f"each against {of}", symbol, always=False, at_least=0.0, each="injector")


def of_each(of: str, judges: str, usual: str = "max 150 %") -> Limits:
    """The field for the limit of such a ratio."""
    return spec_range("ratio", f"limit of each against {of}", judges=judges, needs="high", at_least="0 %", usual=usual)


@calculator(
    title="Injector return balance",
    stage="delivery",
    side="hydraulic",
    proves="Which injector returns more fuel than the others, or than a limit. Not how much it injects.",
    outputs={
        "stands_out": Output("word", "the injectors beyond a limit, or the one told from all others by the readings"),
        "percent_of_median": against("the median of the others: the main number", "r_i"),
        "flow": Output("flow", "return flow of each injector", "q_i", always=False, at_least=0.0, each="injector"),
        "percent_of_mean": against("the mean of all", "P_i"),
        "percent_of_others": against("the mean of the others", "m_i"),
        "total": Output("flow", "all injectors together", "Q", always=False, at_least=0.0),
        "mean": Output("flow", "mean of all", "q", always=False, at_least=0.0),
        "share_of_delivery": Output("ratio", "total of a stated pump delivery", "s", always=False, at_least=0.0),
        "spread": Output("ratio", "largest less smallest, of the mean", "S", always=False, at_least=0.0),
        "spread_of_reading_alone": Output(
            "ratio",
            "spread that the readings' errors alone make of equal injectors",
            always=False,
            at_least=0.0,
            label="spread by the readings' errors alone",
            textbook=True,
        ),
        "grubbs_g": Output(
            "ratio", "distance from the mean over the standard deviation", "G", unit="1", always=False, textbook=True
        ),
        "dixon_q": Output("ratio", "gap over range", "D", unit="1", always=False, textbook=True),
    },
    cautions=(HIGH_PRESSURE, HIGH_VOLTAGE, FLAMMABLE, RUNNING_ENGINE, MAKERS_DATA),
    sources=(
        "Comparison by return volume: common practice, no source.",
        "Uncertainty: JCGM 100:2008, 5.1; of the ratios: Monte Carlo, JCGM 101:2008.",
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
        Example(
            inputs={"volumes": ["30 ± 0 mL", "30 ± 0 mL", "60 ± 0 mL"], "time": "1 ± 0 min", "others_limit": "<= 150 %"},
            outputs={"percent_of_others": ((66.66667, 66.66667, 200.0), "%", 1e-6), "stands_out": "injector 3"},
            source="Plain arithmetic: 30 over the mean of 30 and 60, 60 over that of 30 and 30",
            card=False,
        ),
    ),
    procedure=PROCEDURE,
    formulas=(
        "q_i = V_i / t",
        "P_i = 100 % · n · V_i / (V_1 + … + V_n)",
        "r_i = 100 % · V_i / median of the other V",
        "s = 100 % · (q_1 + … + q_n) / pump delivery",
    ),
    meanings=(
        Meaning(
            "one injector far above the others",
            "it may leak inside: seat, control valve or guide. A lower rail pressure or a long crank can follow",
            "exchange hose and cylinder first, and repeat; then have this injector tested on a bench",
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
            "all alike and within the limit, at a rail pressure that is not low",
            "in this condition no pressure is lost through the returns",
            "supply, generation, and whether the closed rail holds (calculator hold)",
        ),
    ),
    charts=charts,
    sense=SENSE,
    rules=(no_common_return, something_to_compare),
)
def returns(
    volumes: Annotated[
        tuple[Reading | None, ...],
        readings(
            "volume",
            "what each injector returned, in cylinder order; - for not measured, > 100 mL for a cylinder that ran over",
            symbol="V",
            at_most_count=24,
            at_least="0 mL",
            usual="30 31 29 33 mL",
            gaps=True,
            bounds=True,
            unnamed=True,
        ),
    ],
    time: Annotated[
        Reading, duration("how long was collected, the same for all", symbol="t", above="0 s", usual="120 s", unnamed=True)
    ],
    rail_pressure: Annotated[
        Reading | None,
        gauge_pressure(
            "rail pressure while it was collected", at_least="0 bar", at_most="4000 bar", usual="280 bar", group="usual"
        ),
    ],
    condition: Annotated[str | None, Choice("in which condition it was collected", words=CONDITIONS, group="usual")],
    division: Annotated[
        Reading | None,
        volume("the cylinders' smallest division; a reading is good to half of it", exact=True, above="0 mL", usual="2 mL"),
    ],
    calibration: Annotated[
        Reading | None,
        ratio(
            "how far a cylinder may be off, in % of the volume (95 %)", exact=True, at_least="0 %", below="50 %", usual="1 %"
        ),
    ],
    measuring_cylinders: Annotated[
        str, Choice("how many measuring cylinders were used", words=CYLINDERS, default="each", aliases=("cylinders",))
    ],
    exchanged: Annotated[str | None, EXCHANGED],
    delivery: Annotated[
        Reading | None, flow("what the pump delivers in this condition, where known", above="0 mL/min", usual="800 mL/min")
    ],
    flow_limit: Annotated[
        SpecRange | None,
        spec_range("flow", "limit of each injector's return flow", judges="flow", at_least="0 mL/min", usual="max 45 mL/min"),
    ],
    median_limit: Annotated[SpecRange | None, of_each("the median of the others; 1.5 times is max 150 %", "percent_of_median")],
    others_limit: Annotated[SpecRange | None, of_each("the mean of the others", "percent_of_others")],
    mean_limit: Annotated[SpecRange | None, of_each("the mean of all", "percent_of_mean", "max 130 %")],
) -> Result:
    """Compare the injectors' return flows with each other and with a limit.

    Errors that all injectors share (the time; the calibration where one cylinder served for all) cancel in every comparison of
    injectors and count in full against an absolute limit. Reading errors, and the calibration of separate cylinders, count in
    both.
    """
    own = calibration if measuring_cylinders == "each" else None
    cups = tuple(Cup.of(i, volume, division, own) for i, volume in enumerate(volumes, 1) if volume is not None)
    shared = Estimate.of(1.0, "1", calibration.number("1") / COVERAGE if calibration and measuring_cylinders == "one" else 0.0)
    families = ("percent_of_median", "percent_of_mean", *(("percent_of_others",) if others_limit else ()))
    taken = Collection(cups, len(volumes), time, shared, delivery, families)
    limits = zip(JUDGED, (flow_limit, median_limit, others_limit, mean_limit), strict=True)
    seen = Circumstances(condition, rail_pressure, missing(volumes), exchanged)
    return balanced(taken, volumes, dict(limits), seen, division)
