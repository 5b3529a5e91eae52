"""The supply: whether enough clean fuel reaches the high-pressure pump, from whichever readings were taken."""

from __future__ import annotations

from typing import Annotated, Any

from baybook import inputs
from baybook.api import (
    COVERAGE,
    FLAMMABLE,
    HIGH_PRESSURE,
    MAKERS_DATA,
    RUNNING_ENGINE,
    Choice,
    Estimate,
    Example,
    Meaning,
    Message,
    Output,
    Reading,
    Result,
    Rule,
    SpecRange,
    calculator,
    current,
    duration,
    flow,
    gauge_pressure,
    judge,
    propagate,
    spec_range,
    temperature,
    voltage,
    volume,
)
from baybook_physics.dissolved_air import BUNSEN, BUNSEN_U95

from .findings import Seen, findings, state
from .model import FUNCTIONS
from .procedure import PROCEDURE
from .rules import downhill, flow_needs, something_read
from .sense import SUPPLY

COLLECTED = {
    "free": "behind the electric pump, into an open cylinder",
    "loaded": "behind the filter, against the working pressure",
    "return": "what comes back by the overflow line while the engine runs",
}
AIR = {"none": "no bubbles", "few": "single bubbles", "many": "froth or a stream"}
PUMP = {"runs": "fitted, and heard to run", "silent": "fitted, and not heard to run", "not-fitted": "not fitted"}
SUCTION = {"fitted": "fitted", "not-fitted": "not fitted"}
CONDITIONS = {"idle": "engine idling", "load": "under load, where the complaint is", "cranking": "starter turning the engine"}
COLD = Message("Below about 0 °C wax may have come out of the fuel: warm it and read again before a part is blamed.")
FREE = Message("A pump that delivers freely need not deliver against its working pressure.")
MEANINGS = (
    Meaning("feed pressure too low", "less reaches the gauge than is drawn off behind it",
            "what is not read yet: pump's voltage and current, filter drop, flow, a clear hose"),
    Meaning("depression too great", "restriction before the gauge, or a pump before it that does not push",
            "lift, line, strainer, filter (calculator line); the electric pump"),
    Meaning("good at idle, low under load", "a restriction, a weak pump, or too great a draw; the holding valve is not it",
            "filter drop under load; returns (calculator returns)"),
    Meaning("above the range", "filter blocked, or wax in cold fuel", "bring it to the limit's flow and temperature "
            "(calculator line), warm, and give its temperature; then a new filter, and read again", "above", "filter_drop"),
    Meaning("below the range", "little flows, or the element lets fuel by", "flow by timed volume", "below", "filter_drop"),
    Meaning("too little in the time", "tank, line, pump or its supply, and what lies before the cylinder",
            "the pump's voltage and current while it runs", "below", "flow"),
    Meaning("too much in the time", "the range is of another place or another time", "check place, time and range", "above",
            "flow"),
    Meaning("less flows than the engine takes", "the supply cannot keep up there, or the engine takes too much",
            "the returns (calculator returns); then flow against the pump's data", "below", "surplus"),
    Meaning("above the range", "resistance in fuse, relay, plug or wire of the pump, either side",
            "along each part, with current flowing (calculator drop)", "above", "voltage_drop", side="control"),
    Meaning("above the range", "the pump works against too much, or turns stiffly", "pressure behind the pump; filter drop",
            "above", "pump_current"),
    Meaning("below the range", "the pump turns too easily: no fuel, worn, or too low a voltage",
            "voltage at its pins; flow by timed volume", "below", "pump_current"),
    Meaning("bubbles, depression small", "air is drawn in: union, hose, filter's seal, level",
            "a clear hose nearer to the tank, again and again"),
    Meaning("all within, under load, no bubbles", "enough reaches the pump in that condition", "generation (calculator pump)"),
)  # fmt: skip


OUTPUTS = {
    "state": Output("word", "what the readings say of the supply"),
    **{f"{c}_pressure": Output("gauge pressure", f"pressure at the pump's inlet, {CONDITIONS[c]}", always=False)
       for c in CONDITIONS},
    "filter_drop": Output("pressure difference", "drop across the filter", "Δp", always=False),
    "flow": Output("flow", "flow by timed volume", "Q", unit="L/h", always=False, at_least=0.0),
    "engine_takes": Output("flow", "what flows into the high-pressure pump", "Q_e", unit="L/h", always=False, at_least=0.0),
    "surplus": Output("flow", "what flows and is not taken", "S", unit="L/h", always=False),
    "released_air": Output("ratio", "air that can come out of solution at the greatest depression, of the fuel's volume",
                           "a", always=False, at_least=0.0),
    "pump_current": Output("current", "current of the electric pump", always=False, at_least=0.0),
    "voltage_drop": Output("voltage", "drop from the battery to the electric pump, both wires", "ΔU", always=False),
}  # fmt: skip
COMES = {"pressure difference": "bar", "flow": "mL/min", "voltage": "V", "ratio": "1"}
"""The unit of an output, by its kind, of readings in these units."""
UNITS = {"pressure": "bar", "volume": "mL", "time": "min", "flow": "mL/min", "voltage": "V", "temperature": "°C"}


def at_pump(condition: str) -> Any:
    """The field of the pressure in a condition."""
    return gauge_pressure(
        f"pressure at the high-pressure pump's inlet, {CONDITIONS[condition]}; a depression is negative",
        symbol=f"p_{condition}", at_least="-1.05 bar", at_most="20 bar", usual="3.8 bar", usual_range=("-0.6 bar", "8 bar"),
    )  # fmt: skip


def range_of(condition: str) -> Any:
    """The field of its range."""
    return spec_range("gauge pressure", f"range of that pressure, {CONDITIONS[condition]}", judges=f"{condition}_pressure",
                      at_least="-1.05 bar", usual="3.5 to 5 bar")  # fmt: skip


def of_pump(help: str, symbol: str) -> Any:
    """The field of a flow that the high-pressure pump takes in."""
    return flow(f"{help}, which the engine takes", symbol=symbol, at_least="0 mL/min", usual="250 mL/min")


def worked_out(name: str, readings: tuple[Any, ...]) -> Estimate:
    """The output of that name, of readings in the order of its function."""
    inputs = {f"reading_{at}": each.to(UNITS[each.kind.family]) if isinstance(each, Reading) else each
              for at, each in enumerate(readings)}  # fmt: skip
    found = propagate(lambda **given: {name: FUNCTIONS[name](*given.values())}, {name: COMES[OUTPUTS[name].kind]}, **inputs)
    return found[name].to(OUTPUTS[name].shown_unit())


WAX = 11.0
"""°C: warmer fuel holds no wax that could block a filter. common practice, no source"""


@calculator(
    title="Low-pressure supply",
    stage="supply",
    side="hydraulic",
    proves="Whether enough fuel reaches the high-pressure pump in the conditions read. Not that it is enough where nothing was "
    "read, not which part lacks where several can, and not the fuel's quality (calculator fuel).",
    outputs=OUTPUTS,
    cautions=(HIGH_PRESSURE, FLAMMABLE, RUNNING_ENGINE, MAKERS_DATA),
    sources=(
        "What each reading takes off and points at, and what an engine takes: common practice, no source.",
        "Air out of solution: Henry's law at equilibrium; Bunsen coefficient 0.10 ± 0.03 after ASTM D2779, from memory.",
    ),
    examples=(
        Example({"load": "-50 ± 0 kPa", "ambient": "100 ± 0 kPa", "temperature": "0 ± 0 °C"},
                {"released_air": (10.0, "%", 1e-3), "state": "open"},
                "Henry's law, plain arithmetic: at half the pressure as much air as was dissolved, here 10 % at 0 °C"),
        Example({"idle": "4.0 ± 0.1 bar", "load": "2.1 ± 0.1 bar", "load_limit": ">= 3 bar", "before_filter": "4.6 ± 0.1 bar",
                 "filter_limit": "<= 0.5 bar", "volume": "1000 ± 0 mL", "time": "30 ± 0 s", "collected": "free",
                 "flow_limit": ">= 90 L/h", "injected": "20 ± 0 L/h", "returned": "10 ± 0 L/h", "pump_own": "40 ± 0 L/h",
                 "pump_current": "6 ± 0.1 A", "current_limit": "4 to 7 A", "battery_voltage": "13.8 ± 0.05 V",
                 "pump_voltage": "13.2 ± 0.05 V", "voltage_limit": "<= 1 V", "idle_limit": "3 to 5 bar",
                 "cranking": "4 ± 0.1 bar", "cranking_limit": ">= 3 bar"},
                {"filter_drop": (2.5, "bar", 1e-9), "flow": (120.0, "L/h", 1e-9), "engine_takes": (70.0, "L/h", 1e-9),
                 "surplus": (50.0, "L/h", 1e-9), "voltage_drop": (0.6, "V", 1e-9), "state": "too little"},
                "Plain arithmetic: 4.6 − 2.1 bar; 1 L in 30 s; 20 + 10 + 40 L/h; 13.8 − 13.2 V", card=False),
    ),
    procedure=PROCEDURE,
    sense=SUPPLY,
    formulas=("Δp = p_before − p_load", "Q = V / t", "Q_e = q_i + q_r + q_p", "S = Q − Q_e", "ΔU = U_b − U_p",
              "a = B · (p_0 − p) / p · T / 273.15 K, p and p_0 absolute"),
    meanings=tuple(meaning for meaning in MEANINGS if not meaning.output or meaning.output == "voltage_drop"),
    rules=(
        something_read, flow_needs, downhill, Rule("before_filter", ("load",), "is read together with it"),
        Rule("filter_limit", ("before_filter",)), Rule("time", ("volume",)), Rule("volume", ("time",)),
        Rule("battery_voltage", ("pump_voltage",)), Rule("pump_voltage", ("battery_voltage",)),
    ),
)  # fmt: skip
def supply(
    idle: Annotated[Reading | None, at_pump("idle")],
    load: Annotated[Reading | None, at_pump("load")],
    cranking: Annotated[Reading | None, at_pump("cranking")],
    idle_limit: Annotated[SpecRange | None, range_of("idle")],
    load_limit: Annotated[SpecRange | None, range_of("load")],
    cranking_limit: Annotated[SpecRange | None, range_of("cranking")],
    before_filter: Annotated[Reading | None, gauge_pressure("pressure before the filter, read together with that under load",
                             symbol="p_before", at_least="-1.05 bar", at_most="20 bar", usual="4.2 bar")],
    filter_limit: Annotated[SpecRange | None, spec_range("pressure difference", "largest drop of the filter", at_least="0 bar",
                            judges="filter_drop", needs="high", usual="max 0.3 bar")],
    volume: Annotated[Reading | None, volume("fuel collected", symbol="V", above="0 mL", usual="1000 mL")],
    time: Annotated[Reading | None, duration("time in which it was collected", symbol="t", above="0 s", usual="30 s")],
    collected: Annotated[str, Choice("where it was collected", words=COLLECTED, default="free")],
    flow_limit: Annotated[SpecRange | None, spec_range("flow", "range of that flow", judges="flow", needs="low",
                          at_least="0 L/h", usual="min 90 L/h")],
    injected: Annotated[Reading | None, of_pump("what is injected, all cylinders (calculator convert)", "q_i")],
    returned: Annotated[Reading | None, of_pump("what injectors and rail return", "q_r")],
    pump_own: Annotated[Reading | None, of_pump("what the pump returns itself", "q_p")],
    air: Annotated[str | None, Choice("bubbles in a clear hose before the pump", words=AIR)],
    pump_current: Annotated[Reading | None, current("mean current of the electric pump", at_least="0 A", usual="6.0 A")],
    current_limit: Annotated[SpecRange | None, spec_range("current", "range of that current", judges="pump_current",
                             at_least="0 A", usual="4 to 8 A")],
    battery_voltage: Annotated[Reading | None, voltage("voltage at the battery, pump running", symbol="U_b", above="0 V",
                               at_most="60 V", usual="13.8 V")],
    pump_voltage: Annotated[Reading | None, voltage("voltage across the pump's own two pins, pump running", symbol="U_p",
                            at_least="0 V", at_most="60 V", usual="13.3 V")],
    voltage_limit: Annotated[SpecRange | None, spec_range("voltage", "largest drop on the way to the pump", at_least="0 V",
                             judges="voltage_drop", needs="high", usual="max 0.7 V")],
    tank_pump: Annotated[str | None, Choice("the electric pump in the tank", words=PUMP)],
    intermediate_pump: Annotated[str | None, Choice("the electric pump in the line", words=PUMP)],
    suction_pump: Annotated[str | None, Choice("the suction pump on the high-pressure pump", words=SUCTION)],
    temperature: Annotated[Reading, temperature("temperature of the fuel", symbol="T", at_least="-40 °C", at_most="100 °C",
                           usual="20 ± 10 °C", default="20 ± 10 °C")],
    ambient: Annotated[Reading, inputs.AMBIENT_PRESSURE],
) -> Result:  # fmt: skip
    """Work out whether enough fuel reaches the high-pressure pump."""
    pressures = {"idle": idle, "load": load, "cranking": cranking}
    found = {f"{name}_pressure": Estimate.from_reading(p) for name, p in pressures.items() if p is not None}
    given: dict[str, tuple[Any, ...]] = {
        "filter_drop": (before_filter, load),
        "flow": (volume, time and time.to("min")),
        "voltage_drop": (battery_voltage, pump_voltage),
    }
    taken = tuple(each.to("mL/min") for each in (injected, returned, pump_own) if each is not None)
    if taken:
        given["engine_takes"] = taken
        if collected != "return":
            given["surplus"] = (*given["flow"], *taken)
    deepest = min((p for p in pressures.values() if p is not None), key=lambda p: p.number("bar"), default=None)
    if deepest is not None and deepest.value < 0:
        bunsen = Estimate.of(BUNSEN, "", BUNSEN_U95 / COVERAGE)
        given["released_air"] = (deepest, ambient, temperature.to("°C"), bunsen)
    if pump_current is not None:
        found["pump_current"] = Estimate.from_reading(pump_current)
    for name, readings in given.items():
        if None not in readings:
            found[name] = worked_out(name, readings)
    limits = {"idle_pressure": idle_limit, "load_pressure": load_limit, "cranking_pressure": cranking_limit,
              "filter_drop": filter_limit, "flow": flow_limit, "pump_current": current_limit, "voltage_drop": voltage_limit,
              "surplus": SpecRange(0.0, None, "L/h", "what the engine takes") if "surplus" in found else None}  # fmt: skip
    verdicts = tuple(judge(name, found[name], limit) for name, limit in limits.items() if limit and name in found)
    parts = {"tank pump": tank_pump, "intermediate pump": intermediate_pump, "suction pump": suction_pump}
    before = None if before_filter is None else Estimate.from_reading(before_filter)
    warm = temperature.interval[0] > WAX
    seen = Seen(found, verdicts, collected, air, {name: word for name, word in parts.items() if word}, before, warm).counting()
    notes = []
    if temperature.number("°C") < 0:
        notes.append(
            Message("Below about 0 °C wax may have come out of the fuel: warm it and read again before a part is blamed.")
        )
    if collected == "free" and "flow" in found:
        notes.append(FREE)
    said = findings(seen, MEANINGS)
    return Result({"state": state(seen), **found}, tuple(seen.verdicts), said, tuple(notes), answers=tuple(seen.answers()))
