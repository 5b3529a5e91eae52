"""Static leak-off: what each injector lets through while none is driven and the rail holds pressure."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Annotated

from baybook.api import (
    FLAMMABLE,
    HIGH_PRESSURE,
    HIGH_VOLTAGE,
    MAKERS_DATA,
    RUNNING_ENGINE,
    Estimate,
    Example,
    Meaning,
    Need,
    Problem,
    Question,
    Reading,
    Result,
    Sense,
    SpecRange,
    calculator,
    duration,
    gauge_pressure,
    readings,
    spec_range,
    volume,
)

from .balance import balanced
from .calculator import returns
from .collection import Collection
from .cups import Cup
from .exchange import EXCHANGED, STAYS, stays
from .findings import Circumstances, missing
from .notes import no_common_return, something_to_compare
from .states import AT_REST
from .ways_procedure import STATIC

SHARED = ("stands_out", "percent_of_median", "flow", "percent_of_mean", "total", "mean", "spread", "spread_of_reading_alone",
          "grubbs_g", "dixon_q")  # fmt: skip
"""The outputs of a return balance that this one has as well."""
SENSE = Sense(
    {"": Question({"{object}": 0.6}, 0.01, ("{object}",)), STAYS: stays("static-return")},
    35.0, hands="low side opened", objects=("injector *",), together=True, turning=True,
    needs=(Need("pressure", "at which rail pressure were the returns collected?", met=0.6, left=0.3, input="rail_pressure"),),
    fitted={"returns": (None, "separate")},
)  # fmt: skip
"""The reach is common practice, no source: less than that of a running engine, since half of the faults show while it works."""


def some_to_compare(volumes: Sequence[Reading | None], median_limit: SpecRange | None) -> Iterator[Problem]:
    """A ratio needs more than one measured injector."""
    yield from something_to_compare(volumes, median_limit, None, None)


@calculator(
    title="Static leak-off",
    stage="delivery",
    side="hydraulic",
    proves="Which injector leaks back while none is driven: seat of the control valve or guides. Not what returns while it "
    "works, and not a nozzle's seat, which leaks into the cylinder.",
    outputs={name: returns.outputs[name] for name in SHARED},
    cautions=(HIGH_PRESSURE, HIGH_VOLTAGE, FLAMMABLE, RUNNING_ENGINE, MAKERS_DATA),
    sources=(
        "What leaks at rest and what does not: common practice, no source.",
        "Uncertainty: JCGM 100:2008, 5.1; of the ratios: Monte Carlo, JCGM 101:2008.",
    ),
    examples=(
        Example(
            {"volumes": ["2.0 ± 0 mL", "2.5 ± 0 mL", "11.0 ± 0 mL", "1.5 ± 0 mL"], "time": "30 ± 0 s",
             "rail_pressure": "600 ± 0 bar", "flow_limit": "<= 10 mL/min"},
            {"flow": ((4.0, 5.0, 22.0, 3.0), "mL/min", 1e-9), "percent_of_median": ((80.0, 125.0, 550.0, 60.0), "%", 1e-9),
             "total": (34.0, "mL/min", 1e-9), "stands_out": "injector 3"},
            "Plain arithmetic: 2.0, 2.5, 11.0, 1.5 mL in half a minute; 11.0 over the middle one of 1.5, 2.0, 2.5",
        ),
    ),
    procedure=STATIC,
    formulas=("q_i = V_i / t", "r_i = 100 % · V_i / median of the other V"),
    meanings=(
        Meaning("one injector above its limit", "it leaks at rest: seat of its control valve, or guides",
                "exchange hose and cylinder first, and repeat; then have this injector tested on a bench"),
        Meaning("above only while it works (calculator returns)", "its seat and guides hold: valve's lift, wear or drive",
                "current against the others' (calculator drive); then the bench"),
        Meaning("all alike and above the limit", "wear of the set, thin or hot fuel, or a higher pressure than the limit's",
                "fuel temperature and rail pressure; then the set"),
        Meaning("all within the limit, at the limit's pressure", "at rest no pressure is lost through the returns",
                "returns at work (calculator returns); the shut rail (calculator hold)"),
    ),
    charts=None,
    sense=SENSE,
    rules=(no_common_return, some_to_compare),
)  # fmt: skip
def static_return(
    volumes: Annotated[tuple[Reading | None, ...], readings("volume", "what each injector returned at rest, in cylinder order; "
                       "- for not measured, > 10 mL for a cylinder that ran over", symbol="V", at_most_count=24,
                       at_least="0 mL", usual="2 3 2 2 mL", gaps=True, bounds=True, unnamed=True)],
    time: Annotated[Reading, duration("how long was collected, the same for all", symbol="t", above="0 s", usual="60 s",
                    unnamed=True)],
    rail_pressure: Annotated[Reading | None, gauge_pressure("rail pressure meanwhile; where it falls the middle, ± half of the "
                             "fall", at_least="0 bar", at_most="4000 bar", usual="600 ± 50 bar", group="usual")],
    exchanged: Annotated[str | None, EXCHANGED],
    division: Annotated[Reading | None, volume("the cylinders' smallest division; a reading is good to half of it", exact=True,
                        above="0 mL", usual="0.5 mL")],
    flow_limit: Annotated[SpecRange | None, spec_range("flow", "limit of each injector's leak at rest, at this rail pressure",
                          judges="flow", at_least="0 mL/min", usual="max 5 mL/min")],
    median_limit: Annotated[SpecRange | None, spec_range("ratio", "limit of each against the median of the others; 1.5 times "
                            "is max 150 %", judges="percent_of_median", needs="high", at_least="0 %", usual="max 150 %")],
) -> Result:  # fmt: skip
    """Compare what the injectors leak at rest, with each other and with a limit."""
    cups = tuple(Cup.of(i, volume, division, None) for i, volume in enumerate(volumes, 1) if volume is not None)
    families = ("percent_of_median", "percent_of_mean")
    taken = Collection(cups, len(volumes), time, Estimate.of(1.0, "1"), None, families, working=False)
    seen = Circumstances(AT_REST, rail_pressure, missing(volumes), exchanged)
    return balanced(taken, volumes, {"flow": flow_limit, "percent_of_median": median_limit}, seen, division)
