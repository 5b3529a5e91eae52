"""The high-pressure pump: delivery possible against what is taken, whether the fuel adds up, highest pressure."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated, Any

from baybook import fields, inputs
from baybook.api import (
    ANY_PRESSURE,
    CONTROL_LOSS,
    FLAMMABLE,
    HIGH_PRESSURE,
    HIGHEST,
    MAKERS_DATA,
    NO_PRESSURE,
    RUNNING_ENGINE,
    STARVED,
    Answer,
    Apart,
    Estimate,
    Example,
    Finding,
    InputError,
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
    Statement,
    Verdict,
    calculator,
    judge_all,
    made,
    propagate,
)
from baybook.dataclass import replace
from baybook_physics import pump as physics

from .balance import balanced, compressed, per_turn
from .procedure import PROCEDURE

COUNTED = {
    "inlet": "at low pressure, as a graduated cylinder measures",
    "outlet": "in rail volume, at rail pressure",
}
SHUT = {
    "driven-shut": "driven shut by the maker's routine, inlet fully open",
    "not-shut": "not known to be shut",
    "not-fitted": "there is none, inlet fully open",
}
LEAKS = {"rail and joints": 0.6, "relief valve": 0.6, "outlet valve": 0.7, "injector *": 0.6}
SENSE = Sense(
    {
        "highest_pressure low": HIGHEST,
        "efficiency_found low": Question({**STARVED, "pump elements": 0.85, "pump drive": 0.4, "inlet valve": 0.6},
                                         sought=False),
        "surplus low": Question(LEAKS, sought=False),
        NO_PRESSURE: ANY_PRESSURE,
    },
    20.0, hands="low side opened", turning=True, made_in="raised",
    needs=(Need("full", "was the inlet valve fully open and the outlet valve driven shut the maker's way?", met=0.5, bad=0.9),),
)  # fmt: skip
OUTPUTS = {
    "swept": Output("displacement", "swept by the elements at work, in a turn of the pump", "V", always=False, at_least=0.0),
    "delivery": Output(
        "flow", "what a sound pump gives, as a cylinder at low pressure measures", "Q", always=False, at_least=0.0
    ),
    "delivery_at_rail": Output("flow", "the same in rail volume", "Q_r", always=False, at_least=0.0),
    "compression": Output("ratio", "density in the rail over that at the inlet", "c", unit="1", always=False, at_least=0.0),
    "injected": Output("flow", "what is injected, all cylinders", "Q_i", always=False, at_least=0.0),
    "taken": Output(
        "flow", "what is taken at high pressure: injection, returns, control, leak", "Q_t", always=False, at_least=0.0
    ),
    "surplus": Output("flow", "what a sound pump gives less what is taken", "S", always=False),
    "efficiency_found": Output(
        "ratio", "what is taken over what is swept, counted at low pressure", "η_f", always=False, at_least=0.0
    ),
    "efficiency_at_rail": Output("ratio", "the same counted in rail volume", "η_r", always=False, at_least=0.0),
    "compression_efficiency": Output(
        "ratio", "what compression in the dead volume alone leaves, counted at low pressure", "η_c", always=False
    ),
    "compression_at_rail": Output("ratio", "the same counted in rail volume", "η_cr", always=False),
    "highest_pressure": Output("gauge pressure", "highest pressure reached", "p_m", always=False),
}
MEANINGS = (
    Meaning("more is taken than a sound pump gives", "what it feeds takes too much, or an element is off; not the pump itself",
            "returns (calculator returns); outlet valve's own return", "below",
            "surplus", strength="undecided"),
    Meaning("a sound pump gives more than is taken", "size and speed are enough; whether this pump is sound is open",
            "highest pressure by the maker's routine", "within", "surplus", strength="undecided"),
    Meaning("less comes out than should, all fully open", "worn or switched-off element, inlet valve shut, or a starved pump",
            "supply first (calculator supply); then the pump on a bench", "below", "efficiency_found"),
    Meaning("as much comes out as should", "the pump gives its share in that condition",
            "where it goes: returns, control, leak", "within", "efficiency_found"),
    Meaning("more comes out than was swept", "a flow counted twice, or another size", "check ratio and size; collect again",
            "above", "efficiency_found", strength="undecided"),
    Meaning("highest pressure too low, valve driven shut", "pump, supply, or a leak behind it: it does not tell which",
            "supply (calculator supply), returns (calculator returns), hold (calculator hold); with these good the pump is the "
            "likeliest", "below", "highest_pressure"),
    Meaning("highest pressure reached", "pump, supply and tightness are enough at that speed", "control: target and drive "
            "(calculator regulator)", "within", "highest_pressure"),
    Meaning("too little, but not all was shut or collected",
            "an open valve, a flow not collected or another size explains it too",
            "drive the valve shut the maker's way; collect every return", "undecided"),
)  # fmt: skip


def something_to_work_out(
    displacement: Reading | None, elements: int | None, engine_speed: Reading | None, highest: Reading | None
) -> Iterator[Problem]:
    """The pump's size at a speed, or the highest pressure."""
    if highest is None and ((displacement is None and elements is None) or engine_speed is None):
        yield Problem("displacement", None, "is missing, and so is the highest pressure",
                      "give displacement, drive ratio and engine speed, or highest 1450 bar")  # fmt: skip


def some_at_work(elements: int | None, off: int) -> Iterator[Problem]:
    """Fewer elements are off than there are."""
    if off and (elements is None or off >= elements):
        yield Problem("off", str(off), "needs the number of elements, and that it is less", "give elements, such as 3")


def in_rail_volume(counted: str, rail_pressure: Reading | None) -> Iterator[Problem]:
    """An efficiency in rail volume needs the compression to be brought to what cylinders measure."""
    if counted == "outlet" and rail_pressure is None:
        yield Problem("rail_pressure", None, "is needed with an efficiency in rail volume", "give it, such as 800 bar")


def taken_flow(help: str, symbol: str, usual: str) -> Any:
    """A flow at low pressure."""
    return fields.flow(f"{help}, collected at low pressure", symbol=symbol, at_least="0 mL/min", usual=usual)


@calculator(
    title="High-pressure pump",
    stage="generation",
    side="hydraulic",
    proves="Whether a sound pump of this size could feed what is taken, what comes out of it, and how high a pressure is made. "
    "A low pressure or output is not yet a worn pump: supply and leaks come first.",
    outputs=OUTPUTS,
    cautions=(HIGH_PRESSURE, CONTROL_LOSS, FLAMMABLE, RUNNING_ENGINE, MAKERS_DATA),
    sources=(
        "Displacement and delivery: geometry. Compression in the dead volume: mass balance.",
        "Density over pressure: the fuel model's own sources.",
        "85 ± 15 % of a sound pump, counted at low pressure: common practice, no source.",
    ),
    examples=(
        Example({"displacement": "81.9350 ± 0 cm3/rev", "drive_ratio": "100 %", "engine_speed": "1000 ± 0 rpm",
                 "returns": "75708.24 ± 0 mL/min", "efficiency": "100 %", "efficiency_limit": ">= 80 %",
                 "outlet_shut": "driven-shut", "highest": "1500 ± 5 bar", "pressure_limit": ">= 1400 bar"},
                {"efficiency_found": (92.4, "%", 1e-4), "delivery": (81935.0, "mL/min", 1e-9)},
                "Fluid-power textbook, example 5-8: 20 US gal/min of 5 in3/rev at 1000 1/min: 0.924"),
        Example({"elements": 3, "bore": "6.5 ± 0 mm", "stroke": "6.0 ± 0 mm", "drive_ratio": "50 %",
                 "engine_speed": "2000 ± 0 rpm", "quantity": "30 ± 0 mm3/stroke", "cylinders": 4, "efficiency": "80 %"},
                {"swept": (0.597295, "cm3/rev", 1e-6), "injected": (120.0, "mL/min", 1e-9),
                 "delivery": (477.836, "mL/min", 1e-5), "surplus": (357.836, "mL/min", 1e-5)},
                "Geometry: 3 · π/4 · 6.5^2 · 6.0 mm3; 30 mm3 four times in two turns", card=False),
    ),
    procedure=PROCEDURE,
    formulas=("V = z · π / 4 · d^2 · h", "Q = V · n · i · η", "Q_r = Q / c", "Q_i = q · k · n / 2", "S = Q − Q_t",
              "η_f = Q_t / (V · n · i)", "η_r = η_f / c", "η_c = 1 − e · (c − 1)", "η_cr = (1 + e) / c − e"),
    meanings=MEANINGS,
    rules=(something_to_work_out, Apart("bore", "displacement", "is given beside the displacement"), some_at_work, Rule("bore",
           ("elements", "stroke")), Rule("stroke", ("elements", "bore")),
           Rule("quantity", ("cylinders",)), Rule("displacement", ("drive_ratio", "engine_speed")),
           Rule("bore", ("drive_ratio", "engine_speed")),
           Rule("pressure_limit", ("highest",)), Rule("dead_share", ("rail_pressure",)), in_rail_volume,
           Rule("efficiency_limit", ("engine_speed", "outlet_shut"))),
    sense=SENSE,
)  # fmt: skip
def pump(
    displacement: Annotated[Reading | None, fields.displacement("displacement of the whole pump in a turn", symbol="V_0",
                            above="0 cm3/rev", at_most="100 cm3/rev", usual="0.6 cm3/rev", of_vehicle=True)],
    elements: Annotated[int | None, fields.Count("elements", symbol="z", at_least=1, at_most=6, of_vehicle=True)],
    bore: Annotated[Reading | None, fields.length("bore of an element", symbol="d", above="0 mm", at_most="50 mm",
    usual="6.5 mm", of_vehicle=True)],
    stroke: Annotated[Reading | None, fields.length("stroke of an element", symbol="h", above="0 mm", at_most="50 mm",
                      usual="6.0 mm", of_vehicle=True)],
    lifts: Annotated[int, fields.Count("lifts of each element in a turn of the pump", at_most=6, default=1, of_vehicle=True)],
    off: Annotated[int, fields.Count("elements that are switched off", at_least=0, at_most=5, default=0)],
    drive_ratio: Annotated[Reading | None, fields.ratio("turns of the pump for one of the engine", symbol="i", exact=True,
                           above="0 %", at_most="400 %", usual="50 %", of_vehicle=True)],
    engine_speed: Annotated[Reading | None, inputs.ENGINE_SPEED.but(usual="2000 rpm")],
    efficiency: Annotated[Reading, fields.ratio("volumetric efficiency of a sound pump", symbol="η", above="0 %",
                          at_most="100 %", usual="85 ± 15 %", default="85 ± 15 %")],
    counted: Annotated[str, fields.Choice("at which state that efficiency is counted", words=COUNTED, default="inlet")],
    rail_pressure: Annotated[Reading | None, inputs.RAIL_PRESSURE.but(help="rail pressure meanwhile", symbol="p",
                             usual="800 bar")],
    dead_share: Annotated[Reading | None, fields.ratio("dead volume over swept volume", symbol="e", at_least="0 %",
                          at_most="300 %", usual="20 %")],
    temperature: Annotated[Reading, fields.temperature("temperature of the fuel", at_least="-20 °C", at_most="120 °C",
                           usual="50 ± 15 °C", default="50 ± 15 °C")],
    quantity: Annotated[Reading | None, fields.delivery_per_stroke("injected quantity per stroke and cylinder", symbol="q",
                        at_least="0 mm3/stroke", usual="30 mm3/stroke")],
    cylinders: Annotated[int | None, fields.Count("cylinders that inject", symbol="k", at_most=24)],
    returns: Annotated[Reading | None, taken_flow("returns of all injectors", "Q_b", "120 mL/min")],
    control: Annotated[Reading | None, taken_flow("return of the outlet valve", "Q_v", "250 mL/min")],
    limiter: Annotated[Reading | None, taken_flow("return of the rail's pressure-limiting valve", "Q_p", "2 mL/min")],
    leak: Annotated[Reading | None, taken_flow("other leak of the rail (calculator hold)", "Q_l", "5 mL/min")],
    efficiency_limit: Annotated[SpecRange | None, fields.spec_range("ratio", "range of what comes out over what is swept",
                                judges="efficiency_found", needs="low", at_least="0 %", usual="min 70 %")],
    outlet_shut: Annotated[str | None, fields.Choice("outlet valve while it was read", words=SHUT)],
    highest: Annotated[Reading | None, fields.gauge_pressure("highest pressure reached, valve driven shut the maker's way",
                       at_least="0 bar", at_most="4000 bar", usual="1450 bar")],
    pressure_limit: Annotated[SpecRange | None, fields.spec_range("gauge pressure", "range of that pressure at this speed",
                              judges="highest_pressure", needs="low", at_least="0 bar", usual="min 1300 bar")],
    fuel: Annotated[str, fields.FuelName("fuel in the system", default="diesel")],
) -> Result:  # fmt: skip
    """Work out whether the high-pressure pump gives what is taken, and how high a pressure it makes."""
    found: dict[str, Any] = {}
    if rail_pressure is not None:
        found |= compressed(fuel, rail_pressure, temperature, dead_share)
    swept = per_turn(displacement, elements, bore, stroke, lifts, off)
    if engine_speed is not None and swept is not None and drive_ratio is not None:
        found["swept"], speed = swept, engine_speed.to("rpm")
        flows: tuple[Any, ...] = tuple(one.to("mL/min") for one in (returns, control, limiter, leak) if one is not None)
        if quantity is not None and cylinders is not None:
            each = quantity.to("mm3/stroke")
            found["injected"] = propagate(lambda q, n: physics.injected(q, cylinders, n), "mL/min", q=each, n=speed)
            flows += (found["injected"],)
        turns = {"swept": swept, "speed": speed, "ratio": drive_ratio.to("1")}
        found |= balanced(turns, efficiency, counted, found.get("compression"), flows)
        _refuse_more_than_swept(found.get("efficiency_found"), displacement)
    if highest is not None:
        found["highest_pressure"] = Estimate.from_reading(highest)
    full = outlet_shut in ("driven-shut", "not-fitted")
    whole = quantity is not None and returns is not None and (control is not None or full)
    limits = {"surplus": SpecRange(0.0, None, "mL/min"), "efficiency_found": efficiency_limit,
              "highest_pressure": pressure_limit}  # fmt: skip
    kept = tuple(_counting(verdict, full=full, whole=whole) for verdict in judge_all(found, limits))
    notes = (*(() if whole or "taken" not in found else (UNCOLLECTED,)), *((STATES,) if "compression" in found else ()))
    open_ = () if full else tuple(_not_full(kept))
    alone, beside = (open_, ()) if len(kept) == 1 else ((), open_)
    answers = (*(Answer("highest_pressure low", 0.02) for _ in open_), *made(found.get("highest_pressure")))
    met = {} if outlet_shut is None else {"full": full}
    return Result(found, kept, alone, notes, met=met, further=beside, answers=answers)


def _refuse_more_than_swept(efficiency: Estimate | None, displacement: Reading | None) -> None:
    """Raise InputError where far more comes out than is swept: a number or a unit is wrong."""
    if efficiency is not None and efficiency.low > MOST:
        name, given = ("displacement", displacement.text) if displacement else ("bore", None)
        why = f"sweeps less than comes out, which would be {100 * efficiency.value:.0f} % of it"
        raise InputError.one(name, given, why, "check number and unit of displacement, ratio, speed and flows")


MOST = 3.0
"""Of what is swept: less than a slip by a factor of ten makes of it, more than readings are off. Common practice, no source."""
UNCOLLECTED = Message("Not every flow was given: what is taken, and what comes out, is at least this much.")
STATES = Message(
    "Flows from cylinders are counted at low pressure; those in rail volume are smaller by compression. Never mix them."
)
NOT_SHUT = Statement(
    "Highest pressure of {pressure}: an outlet valve that is not driven shut lets out what the pump makes", "undecided",
    "drive the outlet valve shut the maker's way, inlet fully open, and read the highest pressure again",
)  # fmt: skip


def _not_full(verdicts: tuple[Verdict, ...]) -> Iterator[Finding]:
    """A highest pressure that was read with a valve perhaps open: to be read again, and of no weight until then."""
    for verdict in verdicts:
        if verdict.what == "highest_pressure" and verdict.probability is None:
            yield NOT_SHUT.finding(pressure=verdict.measured or "")


def _counting(verdict: Verdict, *, full: bool, whole: bool) -> Verdict:
    """A verdict as it counts: too little says nothing of the pump while a valve may stand open or a flow was not collected."""
    excused = {"efficiency_found": not (full and whole), "highest_pressure": not full}
    if verdict.way == "below" and excused.get(verdict.what, False):
        return replace(verdict, verdict="undecided", way="", probability=None)
    return verdict
