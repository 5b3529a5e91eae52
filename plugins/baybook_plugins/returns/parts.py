"""Returns by part: injectors together, outlet valve, pump; their total; what is left of what the pump gives."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated, Any

from baybook.api import (
    FLAMMABLE,
    HIGH_PRESSURE,
    MAKERS_DATA,
    RUNNING_ENGINE,
    STARVED,
    VALVE_RETURN,
    Choice,
    Example,
    Meaning,
    Message,
    Need,
    Output,
    Problem,
    Question,
    Reading,
    Result,
    Rule,
    Sense,
    SpecRange,
    calculator,
    duration,
    flow,
    gauge_pressure,
    judge,
    propagate,
    spec_range,
    volume,
)
from baybook.dataclass import replace

from .parts_findings import Seen, findings
from .states import AT_REST, CONDITIONS, of_state
from .ways_procedure import PARTS

SHUT = {
    "driven-shut": "driven shut by the maker's routine",
    "controlling": "it controls the pressure, or is not known to be shut",
    "not-fitted": "there is none",
}
SENSE = Sense(
    {
        "injectors high": Question({"injector *": 0.75}),
        "valve high": VALVE_RETURN,
        "pump_own high": Question({"overflow valve": 0.5, "pump elements": 0.45}),
        "pump_own low": Question({**dict.fromkeys(STARVED, 0.6), "overflow valve": 0.4}, sought=False),
    },
    35.0, hands="low side opened", turning=True,
    needs=(
        Need("shut", "was the outlet valve driven shut the maker's way?", met=0.3, bad=0.9, of=("valve high",)),
        Need("pressure", "at which rail pressure were the returns collected?", met=0.6, left=0.3, input="rail_pressure",
             of=("injectors high", "valve high")),
    ),
)  # fmt: skip
"""The reach is common practice, no source."""
NOT_OF_PUMP = Message(
    "What the pump returns itself never reaches the rail: it is no part of what the pump gives, and is fed by the supply."
)
STARTS = Message("While cranking a pump gives little: a return that an idling engine bears can keep it from starting.")


def flows(time: float, delivery: float, **volumes: float) -> dict[str, float]:
    """Flows of volumes (mL) in a time (min), in mL/min; their total; what of the delivery (mL/min) is left, and gone, in %."""
    found = {name: given / time for name, given in volumes.items()}
    taken = found.get("injectors", 0.0) + found.get("valve", 0.0)
    return {**found, "total": sum(found.values()), "left": delivery - taken, "share_of_delivery": 100.0 * taken / delivery}


def something_collected(
    injectors: Reading | None, valve: Reading | None, pump_own: Reading | None, condition: str | None, outlet_valve: str | None,
    delivery: Reading | None,
) -> Iterator[Problem]:  # fmt: skip
    """One part at least, and none that cannot return."""
    if injectors is valve is pump_own is None:
        yield Problem("valve", None, "is missing, and so is every other return", "give what was collected, such as valve 20 mL")
    if pump_own is not None and condition == AT_REST:
        yield Problem("pump_own", pump_own.text, "is read at rest, where the pump does not turn", "leave it out")
    if valve is not None and outlet_valve == "not-fitted":
        yield Problem("valve", valve.text, "belongs to a valve that is not fitted", "leave it out, or change outlet_valve")
    if delivery is not None and injectors is valve is None:
        yield Problem("delivery", delivery.text, "is what feeds injectors and valve", "give what one of them returned")


def collected(help: str, symbol: str, usual: str) -> Any:
    """The field of what one part returned."""
    return volume(f"what {help} returned", symbol=symbol, at_least="0 mL", usual=usual)


def limit(help: str, judges: str, usual: str) -> Any:
    """The field of its limit."""
    return spec_range("flow", f"limit of what {help}", judges=judges, at_least="0 mL/min", usual=usual)


@calculator(
    title="Returns by part",
    stage="generation",
    side="hydraulic",
    proves="Through which part fuel comes back, and whether it is more than that part may return. Not which injector it is.",
    outputs={
        "largest": Output("word", "the part through which most of the high-pressure fuel comes back"),
        "injectors": Output("flow", "all injectors together", "Q_i", always=False, at_least=0.0),
        "valve": Output("flow", "the outlet valve", "Q_v", always=False, at_least=0.0),
        "pump_own": Output("flow", "the pump itself", "Q_p", always=False, at_least=0.0),
        "total": Output("flow", "all that was collected", "Q", at_least=0.0),
        "share_of_delivery": Output("ratio", "injectors and outlet valve, of what the pump gives", "s", always=False,
                                    at_least=0.0),
        "left": Output("flow", "what the pump gives, less injectors and outlet valve", "S", always=False),
    },
    cautions=(HIGH_PRESSURE, FLAMMABLE, RUNNING_ENGINE, MAKERS_DATA),
    sources=(
        "Returns of valve and pump, and what they point at: common practice, no source.",
        "Uncertainty: JCGM 100:2008, 5.1.",
    ),
    examples=(
        Example(
            {"injectors": "120 ± 0 mL", "valve": "300 ± 0 mL", "pump_own": "900 ± 0 mL", "time": "60 ± 0 s",
             "delivery": "600 ± 0 mL/min", "rail_pressure": "300 ± 0 bar", "outlet_valve": "driven-shut",
             "valve_limit": "<= 30 mL/min"},
            {"injectors": (120.0, "mL/min", 1e-9), "valve": (300.0, "mL/min", 1e-9), "pump_own": (900.0, "mL/min", 1e-9),
             "total": (1320.0, "mL/min", 1e-9), "left": (180.0, "mL/min", 1e-9), "share_of_delivery": (70.0, "%", 1e-9),
             "largest": "the outlet valve"},
            "Plain arithmetic: 120 + 300 + 900 mL in a minute; 420 of 600",
        ),
    ),
    procedure=PARTS,
    formulas=("Q = Q_i + Q_v + Q_p", "s = 100 % · (Q_i + Q_v) / pump delivery", "S = pump delivery − Q_i − Q_v"),
    meanings=(
        Meaning("outlet valve above its limit, driven shut", "it does not close: dirt, wear of its seat, or its drive",
                "its current (calculator regulator) and coil (calculator coil); then the valve"),
        Meaning("outlet valve above, not driven shut", "it may do what is asked of it", "drive it shut the maker's way; again"),
        Meaning("pump's own return above its range", "overflow valve stands open, or elements leak inside",
                "feed pressure (calculator supply); then pressure reached (calculator pump)"),
        Meaning("pump's own return below its range", "the pump is starved, or its overflow does not open",
                "feed pressure and flow (calculator supply)"),
        Meaning("injectors together above their limit", "one or several return too much",
                "each by itself (calculator returns), or one off at a time (calculator common-return)"),
        Meaning("all that the pump gives comes back", "nothing is left for pressure: the part with the largest return first",
                "that part against its own limit"),
        Meaning("all within, at the limit's pressure", "fuel is not lost through these parts in that condition",
                "the shut rail (calculator hold), supply, pump"),
    ),
    sense=SENSE,
    rules=(something_collected, Rule("valve_limit", ("valve", "outlet_valve")), Rule("pump_limit", ("pump_own",)),
           Rule("injectors_limit", ("injectors",))),
)  # fmt: skip
def return_parts(
    injectors: Annotated[Reading | None, collected("all injectors together", "V_i", "120 mL")],
    valve: Annotated[Reading | None, collected("the outlet valve", "V_v", "20 mL")],
    pump_own: Annotated[Reading | None, collected("the pump itself", "V_p", "900 mL")],
    time: Annotated[Reading, duration("how long was collected, the same for all", symbol="t", above="0 s", usual="60 s")],
    outlet_valve: Annotated[str | None, Choice("outlet valve meanwhile", words=SHUT)],
    rail_pressure: Annotated[Reading | None, gauge_pressure("rail pressure meanwhile", at_least="0 bar", at_most="4000 bar",
                             usual="280 bar")],
    condition: Annotated[str | None, Choice("in which condition it was collected", words=CONDITIONS | {
        AT_REST: "engine at rest, rail under pressure, none driven"})],
    delivery: Annotated[Reading | None, flow("what the pump gives in this condition, where known", above="0 mL/min",
                        usual="800 mL/min")],
    injectors_limit: Annotated[SpecRange | None, limit("all injectors together may return", "injectors", "max 180 mL/min")],
    valve_limit: Annotated[SpecRange | None, limit("the outlet valve, driven shut, may return", "valve", "max 30 mL/min")],
    pump_limit: Annotated[SpecRange | None, limit("the pump itself has to return", "pump_own", "500 to 1500 mL/min")],
    total_limit: Annotated[SpecRange | None, limit("all that was collected may be together", "total", "max 1500 mL/min")],
) -> Result:  # fmt: skip
    """Tell through which part fuel comes back, and how much of what the pump gives is left."""
    given = {"injectors": injectors, "valve": valve, "pump_own": pump_own}
    volumes = {name: one.to("mL") for name, one in given.items() if one is not None}
    units = dict.fromkeys((*volumes, "total", *(("left",) if delivery else ())), "mL/min")
    units |= {"share_of_delivery": "%"} if delivery else {}
    found = propagate(flows, units, time=time.to("min"), delivery=delivery.to("mL/min") if delivery else 1.0, **volumes)
    shut = outlet_valve != "controlling"
    limits = {"injectors": injectors_limit, "valve": valve_limit, "pump_own": pump_limit, "total": total_limit}
    verdicts = [judge(name, found[name], spec) for name, spec in limits.items() if spec is not None]
    kept = [v if shut or v.what != "valve" or v.way != "above" else replace(v, verdict="undecided", probability=None, way="")
            for v in verdicts]  # fmt: skip
    seen = Seen({name: found[name] for name in found}, rail_pressure, condition, shut)
    met = {"shut": shut} if outlet_valve else {}
    return Result(
        {"largest": seen.largest, **found},
        tuple(kept),
        tuple(findings(seen, kept)),
        tuple(notes(condition, time, judged=bool(verdicts), own=pump_own is not None and delivery is not None)),
        met=met if rail_pressure is None else met | {"pressure": not seen.low},
    )


def notes(condition: str | None, time: Reading, *, judged: bool, own: bool) -> Iterator[Message]:
    """What a reader must know; own: whether the pump's own return stands beside what it gives."""
    yield from of_state(condition, time, judged=judged)
    if condition == "cranking":
        yield STARTS
    if own:
        yield NOT_OF_PUMP
