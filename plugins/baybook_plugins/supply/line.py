"""What filter, line and lift take of the pressure, and what a drop that was read is at another flow and temperature."""

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
    Problem,
    Reading,
    Result,
    Rule,
    SpecRange,
    calculator,
    density,
    flow,
    kinematic_viscosity,
    length,
    pressure_difference,
    propagate,
    spec_range,
    temperature,
)
from baybook_physics.dissolved_air import BUNSEN, BUNSEN_U95

from .calculator import COLD
from .model import released_air
from .pipework import carried, enveloped, friction, in_units, laws, lift, number, pairs, slope
from .procedure import LINE_PROCEDURE
from .sense import LINE

ACROSS = {"filter": "a filter: the drop grows with flow and viscosity", "line": "a line: laminar or turbulent"}

NEARLY_ALL = 0.95
"""Of the ambient pressure: so near to vacuum no share of air is told."""
TOO_MUCH = Message("That is more than the ambient pressure can push: so much cannot be drawn through by suction alone.")
EITHER = (
    "Between Re 2000 and 4000 the line may flow either way: {laminar} laminar, {turbulent} turbulent; the interval covers both."
)


def _temperature(help: str, symbol: str) -> Any:
    return temperature(help, symbol=symbol, at_least="-40 °C", at_most="100 °C", usual="20 ± 5 °C")


def something_to_work_out(drop: Reading | None, length: Reading | None, height: Reading | None) -> list[Problem]:
    """A drop that was read, a line, or a lift."""
    if drop is length is height is None:
        return [Problem("drop", None, "is missing, and so are length and height",
                        "give a drop that was read, or the line's length and bore, or the height of the lift")]  # fmt: skip
    return []


def bore_of_a_line(drop: Reading | None, across: str, bore: Reading | None) -> list[Problem]:
    """A line's drop is carried over by its bore."""
    if drop is not None and across == "line" and bore is None:
        return [Problem("bore", None, "is needed to carry a line's drop over", "give the inner diameter, such as 8 mm")]
    return []


@calculator(
    title="Pressure that filter, line and lift take",
    stage="supply",
    side="hydraulic",
    proves="What a clean line and a lift take, and what a drop that was read is at another flow and temperature. Not what "
    "bends, unions and strainers take, and not where in the line a restriction is.",
    outputs={
        "drop_there": Output("pressure difference", "the drop that was read, at the other flow and temperature", "Δp_2",
                             unit="kPa", always=False, at_least=0.0),
        "regime": Output("word", "how the fuel flows in the line", always=False),
        "reynolds": Output("ratio", "Reynolds number in the line", "Re", unit="1", always=False, at_least=0.0),
        "friction": Output("pressure difference", "what the clean, straight line takes", "Δp_l", unit="kPa", always=False,
                           at_least=0.0),
        "lift": Output("pressure difference", "what the lift takes", "Δp_h", unit="kPa", always=False),
        "inlet_pressure": Output("gauge pressure", "left at the upper end by line, lift and filter, from a tank at ambient",
                                 "p", unit="kPa", always=False),
        "released_air": Output("ratio", "air that can come out of solution there, of the fuel's volume", "a", always=False,
                               at_least=0.0),
    },
    cautions=(HIGH_PRESSURE, FLAMMABLE, RUNNING_ENGINE, MAKERS_DATA),
    sources=(
        "Friction: 64/Re laminar; Colebrook 1939 turbulent, smooth; both given between Re 2000 and 4000.",
        "Filter: Darcy 1856, in proportion to flow and viscosity. Lift: rho g h.",
        "Viscosity over temperature: Walther's line (ASTM D341), slope 3.9 ± 0.35 where one value is known.",
        "Density over temperature: ASTM D1250-80 Table 54B.",
    ),
    examples=(
        Example({"flow": "120 ± 0 L/h", "temperature": "20 ± 0 °C", "viscosity": "4.0 ± 0 mm2/s",
                 "viscosity_temperature": "20 °C", "length": "3 ± 0 m", "bore": "8 ± 0 mm", "height": "0.6 ± 0 m",
                 "density": "835.56 ± 0 kg/m3"},
                {"reynolds": (1326.3, "1", 1e-4), "friction": (3.3104, "kPa", 2e-4), "regime": "laminar",
                 "lift": (4.8953, "kPa", 2e-4)},
                "Hagen and Poiseuille, 832 kg/m3 and 4.0 mm2/s at 20 °C: 128 mu L Q/(pi D^4); 0.6 m of it"),
        Example({"drop": "10 ± 0 kPa", "drop_flow": "100 ± 0 L/h", "drop_temperature": "40 ± 0 °C", "flow": "50 ± 0 L/h",
                 "temperature": "40 ± 0 °C", "limit": "<= 20 kPa"}, {"drop_there": (5.0, "kPa", 1e-9)},
                "Darcy: half the flow of the same fuel, half the drop", card=False),
    ),
    procedure=LINE_PROCEDURE,
    sense=LINE,
    formulas=("Δp_2 = Δp_1 · Q · mu_2 / (Q_1 · mu_1), of a filter", "Δp_l = f · L / D · rho · v^2 / 2", "Δp_h = rho · g · h"),
    meanings=(
        Meaning("above the limit", "filter or line holds the fuel back, or wax in cold fuel",
                "warm fuel; then a new filter, or the line in halves", "above", "drop_there"),
        Meaning("within the limit", "this part is not the restriction", "the next part upstream (calculator supply)", "within",
                "drop_there", strength="undecided"),
        Meaning("too uncertain", "flow, temperature or viscosity are known too coarsely",
                "read it near the limit's own flow and temperature", "undecided", "drop_there"),
        Meaning("read depression well beyond what line and lift take", "a restriction: strainer, kink, filter",
                "gauge at half the way (calculator supply)"),
    ),
    rules=(something_to_work_out, bore_of_a_line, Rule("drop", ("drop_flow", "drop_temperature")), Rule("length", ("bore",)),
           Rule("limit", ("drop",))),
)  # fmt: skip
def line(
    flow: Annotated[Reading, flow("flow at which it is wanted", symbol="Q", above="0 L/h", usual="120 L/h")],
    temperature: Annotated[Reading, _temperature("fuel temperature at which it is wanted", "t")],
    drop: Annotated[Reading | None, pressure_difference("drop read across filter or line", symbol="Δp_1", at_least="0 kPa",
                    usual="20 kPa")],
    drop_flow: Annotated[Reading | None, flow("flow at which it was read", symbol="Q_1", above="0 L/h", usual="60 L/h")],
    drop_temperature: Annotated[Reading | None, _temperature("fuel temperature at which it was read", "t_1")],
    across: Annotated[str, Choice("across what it was read", words=ACROSS, default="filter")],
    limit: Annotated[SpecRange | None, spec_range("pressure difference", "largest drop at the wanted flow and temperature",
                     judges="drop_there", needs="high", at_least="0 kPa", usual="max 30 kPa")],
    length: Annotated[Reading | None, length("length of the line", symbol="L", above="0 m", at_most="30 m", usual="3 m")],
    bore: Annotated[Reading | None, length("inner diameter of the line", symbol="D", above="1 mm", at_most="50 mm",
                    usual="8 mm")],
    height: Annotated[Reading | None, length("height of the upper end above the fuel's level", symbol="h", at_least="-5 m",
                      at_most="5 m", usual="0.6 m")],
    viscosity: Annotated[Reading, kinematic_viscosity("viscosity of the fuel", symbol="nu", at_least="0.8 mm2/s",
                         at_most="100 mm2/s", usual="3.0 mm2/s", default="3.0 ± 1.2 mm2/s")],
    viscosity_temperature: Annotated[Reading, temperature("temperature for which the viscosity is given", exact=True,
                                     at_least="-40 °C", at_most="100 °C", usual="40 °C", default="40 °C")],
    density: Annotated[Reading, density("density of the fuel at 15 °C", symbol="rho", at_least="760 kg/m3",
                       at_most="950 kg/m3", usual="835 kg/m3", default="832.5 ± 12.5 kg/m3")],
    ambient: Annotated[Reading, inputs.AMBIENT_PRESSURE],
) -> Result:  # fmt: skip
    """Work out the pressure that filter, line and lift take at another flow and temperature."""
    here = in_units(flow=flow, t=temperature)
    oil: dict[str, Any] = {**in_units(nu=viscosity, nu_t=viscosity_temperature), "slope": slope()}
    rho = in_units(rho15=density)
    found: dict[str, Estimate | str] = {}
    taken: dict[str, Estimate] = {}
    notes: list[Message] = []
    wide = in_units(bore=bore) if bore is not None else {}
    re = propagate(number, "1", **here, **wide, **oil) if wide else None
    if re is not None:
        found |= {"reynolds": re, "regime": laws(re)[0] if len(laws(re)) == 1 else "either"}
    if re is not None and length is not None:
        by_law = [friction(law) for law in laws(re)]
        taken["friction"], each = enveloped(by_law, "MPa", **here, **wide, **in_units(length=length), **oil, **rho)
        if len(each) > 1:
            notes.append(Message(EITHER, laminar=each[0].to("kPa"), turbulent=each[1].to("kPa")))
    if height is not None:
        taken["lift"] = propagate(lift, "MPa", **in_units(height=height, t=temperature), **rho)
    if drop is not None and drop_flow is not None and drop_temperature is not None:
        read = in_units(drop=drop, flow=drop_flow, t=drop_temperature)
        there = {"to_flow": here["flow"], "to_t": here["t"]}
        functions = [carried]
        if across == "line" and re is not None:
            at_reading = propagate(number, "1", flow=read["flow"], t=read["t"], **wide, **oil)
            functions, read = pairs(at_reading, re), {**read, **wide}
        drop_there, _ = enveloped(functions, "MPa", **read, **there, **oil, **rho)
        found["drop_there"] = drop_there
        if across == "filter":
            taken["filter"] = drop_there
    found |= {name: one for name, one in taken.items() if name != "filter"}
    if taken.keys() & {"friction", "lift"}:
        found |= upper_end(taken, temperature, ambient)
        if "inlet_pressure" not in found:
            notes.append(TOO_MUCH)
    if min(each.number("°C") for each in (temperature, drop_temperature or temperature)) < 0:
        notes.append(COLD)
    return Result(found, notes=tuple(notes))


def upper_end(taken: dict[str, Estimate], temperature: Reading, ambient: Reading) -> dict[str, Estimate]:
    """The gauge pressure left at the upper end, and the air that can come out there; nothing where it would be below vacuum."""
    parts = {name: each.to("bar") for name, each in taken.items()}
    inlet = propagate(lambda **each: -sum(each.values()), "gauge pressure", **parts)
    if inlet.value <= -ambient.number("bar"):
        return {}
    if inlet.value >= 0 or inlet.low < -NEARLY_ALL * ambient.number("bar"):
        return {"inlet_pressure": inlet}
    bunsen = Estimate.of(BUNSEN, "", BUNSEN_U95 / COVERAGE)
    at: dict[str, Any] = {"gauge": inlet, "ambient": ambient.to("bar"), "temperature": temperature.to("°C"), "bunsen": bunsen}
    released = propagate(released_air, "1", **at)
    return {"inlet_pressure": inlet, "released_air": released}
