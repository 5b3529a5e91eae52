"""The pressure hold: how much a shut rail leaks, from two readings, many, or a capture."""

from __future__ import annotations

from typing import Annotated, Any

from baybook.api import (
    FLAMMABLE,
    HIGH_PRESSURE,
    KINDS,
    MAKERS_DATA,
    RUNNING_ENGINE,
    CaptureFile,
    Choice,
    Example,
    FuelName,
    Meaning,
    Need,
    Output,
    Reading,
    Result,
    Sense,
    SpecRange,
    calculator,
    density,
    duration,
    gauge_pressure,
    kinematic_viscosity,
    pressure_difference,
    ratio,
    readings,
    spec_range,
    temperature,
)

from .card.chart import charts
from .inputs.volume import VOLUME
from .procedure import PROCEDURE
from .result.verdicts import VALVES

HEAT_WORDS = {
    "unknown": "fuel and rail exchange heat, as after every pump stop",
    "none": "fuel and rail had one temperature before the test, and the rail keeps it, as on a settled bench",
}
SENSE = Sense.one(
    {"rail and joints": 0.9, "relief valve": 0.8, "outlet valve": 0.85, "pump outlet": 0.5, "injector *": 0.75}, 12.0,
    needs=(
        Need(
            "shut", "was the outlet valve driven shut the maker's way, and no bleeding by the injectors, during the hold?",
            met=0.5, bad=0.95, at_rest=True, input="outlet_valve",
            words={"driven-shut": True, "shut-at-rest": True, "none": True, "open-at-rest": False},
        ),
    ),
)  # fmt: skip
"""The reach is common practice, no source."""


@calculator(
    title="Pressure hold",
    stage="storage",
    side="hydraulic",
    proves="How much fuel the shut high-pressure side loses. Not where it goes: injectors, pressure control, pump and unions "
    "share it.",
    cautions=(HIGH_PRESSURE, RUNNING_ENGINE, FLAMMABLE, MAKERS_DATA),
    sources=(
        "Mass balance of a closed volume with a leak; series law of moduli: hydraulics handbooks after Merritt 1967.",
        "Orifice: Q = Cd A sqrt(2 dp/rho), Rabie, Fluid Power Engineering, eq. 2.36; clearance: eq. 2.19.",
        "Heat times, warm start and drift of the rail: reasoned ranges, common practice, no source.",
        "Verdict: ISO 14253-1:2017, JCGM 106:2012; intervals: posterior draws, JCGM 101:2008.",
    ),
    outputs={
        "leak_at_line": Output(
            "flow",
            "volume flow at rail pressure and fuel temperature, at the mean pressure",
            "Q",
            always=False,
            at_least=0.0,
            label="leak at the rail's pressure",
        ),
        "leak_collected": Output(
            "flow",
            "the same mass as volume at atmospheric pressure, at the reference pressure",
            "Q_c",
            label="leak, as collected",
            always=False,
            at_least=0.0,
        ),
        "bulk_modulus": Output(
            "pressure difference",
            "isothermal stiffness of the fuel at the mean pressure",
            "K_T",
            unit="MPa",
            label="stiffness of the fuel",
            textbook=True,
        ),
        "equivalent_orifice": Output(
            "length",
            "round hole that would pass the same flow",
            "d",
            always=False,
            at_least=0.0,
            label="a round hole that leaks as much",
            textbook=True,
        ),
        "cooling_fall": Output(
            "pressure difference",
            "fall that cooling alone would have made",
            "Δp_cool",
            unit="bar",
            label="fall by cooling alone",
        ),
        "pressure_after": Output(
            "gauge pressure", "pressure left at the time asked for", "p_after", unit="bar", always=False, at_least=0.0
        ),
        "fall_after": Output(
            "pressure difference", "fall of pressure from the start until then", "Δp_after", unit="bar", always=False
        ),
        "law": Output("word", "laminar, orifice, mixed, none or unknown", label="kind of leak"),
        "exponent": Output(
            "ratio",
            "how the leak grows with pressure: 0.5 an orifice, about 1 a clearance",
            "n",
            unit="1",
            always=False,
            textbook=True,
        ),
        "mean_pressure": Output(
            "gauge pressure",
            "mean of the first and last pressure, zero error taken out",
            "p",
            always=False,
            textbook=True,
        ),
        "smallest_leak": Output("flow", "the least leak that this test would most likely have shown", always=False),
        "time_until": Output("time", "time from the start of the hold to the lower pressure", always=False),
    },
    formulas=(
        "p = (p1 + p2) / 2",
        "Δp = p1 - p2 - Δp_cool",
        "Q = V · Δp · (1/K_T + 1/K_rail) / t",
        "Q_c = Q · ρ(p, T) / ρ(p_amb, T)",
        "Q = Cd · π/4 · d² · √(2 · Δp / ρ)",
    ),
    examples=(
        Example(
            inputs={
                "start": "99.898675 ± 0 MPa",
                "end": "89.898675 ± 0 MPa",
                "time": "3600 ± 0 s",
                "volume": "30 ± 0 mL",
                "fuel": "n-dodecane",
                "temperature": "40 ± 0 °C",
                "heat": "none",
                "rail_modulus": "1000000000 MPa",
                "zero_uncertainty": "0 bar",
            },
            outputs={"leak_at_line": (0.0026645, "mL/min", 0.009), "leak_collected": (0.0028665, "mL/min", 0.006)},
            source="n-dodecane at 40 °C, 100 to 90 MPa absolute, constant temperature: densities 790.343, 786.131 and "
            "734.642 kg/m3 of Lemmon & Huber, Energy & Fuels 18 (2004) 960, by CoolProp 8.0.0",
        ),
    ),
    procedure=PROCEDURE,
    meanings=(
        Meaning(
            "within the limit",
            "the shut side holds; where pressure is lost, it is lost elsewhere or only while running",
            "supply and generation",
        ),
        Meaning(
            "outside the limit",
            "the shut side leaks: rail and joints, outlet valve, pump's outlet or an injector",
            "injector returns (calculator returns), then the return of the pressure control, only the way the data give: "
            "fitted at zero, never closed",
        ),
        Meaning(
            "outside, and a rail valve may open without current",
            "nothing about the rail: such a valve empties it by design",
            "the maker's routine that drives it shut, then hold again",
        ),
        Meaning(
            "undecided", "the test is too short, or volume and temperature are known too badly", "repeat with a capture of 60 s"
        ),
        Meaning("law orifice", "the leak is a hole or a seat that does not close", "look among seats and valves"),
        Meaning("law laminar", "the leak is a clearance, such as a worn guide", "look among guides and pistons"),
    ),
    charts=charts,
    sense=SENSE,
)
def hold(
    volume: Annotated[Reading | None, VOLUME] = None,
    start: Annotated[
        Reading | None,
        gauge_pressure("rail pressure when the pump stopped", symbol="p1", above="0 bar", usual="1100 bar", unnamed=True),
    ] = None,
    end: Annotated[
        Reading | None, gauge_pressure("rail pressure at the end", symbol="p2", at_least="0 bar", usual="600 bar", unnamed=True)
    ] = None,
    time: Annotated[
        Reading | None,
        duration("between the two readings", symbol="t", above="0 s", usual="30 s", usual_range=("2 s", "48 h"), unnamed=True),
    ] = None,
    capture: Annotated[
        Any, CaptureFile("the logged rail pressure, in place of two readings", channels={"rail": KINDS["gauge pressure"]})
    ] = None,
    begin: Annotated[Reading | None, duration("begin of the hold in the capture, from its first row", at_least="0 s")] = None,
    finish: Annotated[Reading | None, duration("end of the hold in the capture", above="0 s")] = None,
    pressures: Annotated[
        tuple[Reading, ...],
        readings("gauge pressure", "many readings by hand, in place of two", at_least_count=8, at_most_count=500),
    ] = (),
    times: Annotated[
        tuple[Reading, ...], readings("time", "when each of many readings was taken", at_least_count=8, at_most_count=500)
    ] = (),
    bores: Annotated[
        tuple[Reading, ...],
        readings("length", "inner diameters of rail and pipes, in place of the volume", above="0 mm", usual="10 mm"),
    ] = (),
    lengths: Annotated[
        tuple[Reading, ...], readings("length", "length of each of these bores", above="0 mm", usual="400 mm")
    ] = (),
    outlet_valve: Annotated[
        str, Choice("a valve that lets fuel out of the rail, and what it did during the hold", words=VALVES, group="usual")
    ] = "unknown",
    fuel: Annotated[str, FuelName("what is in the rail")] = "diesel",
    temperature: Annotated[
        Reading, temperature("of the rail and its fuel when the pump stopped", symbol="T", usual="45 ± 3 °C")
    ] = "40 ± 15 °C",  # type: ignore[assignment]  # defaults are texts, read like the user's
    end_temperature: Annotated[Reading | None, temperature("temperature of the rail at the end", usual="43 ± 1 °C")] = None,
    ambient: Annotated[Reading | None, temperature("temperature of the air around the rail", usual="20 °C")] = None,
    density: Annotated[Reading | None, density("the fuel's density at 15 °C", above="600 kg/m3", below="1000 kg/m3")] = None,
    viscosity: Annotated[Reading | None, kinematic_viscosity("the fuel's viscosity at 40 °C", above="0.3 mm2/s")] = None,
    back_pressure: Annotated[
        Reading, gauge_pressure("where the leak ends: the return", at_least="-1 bar", below="100 bar", usual="0.5 bar")
    ] = "0 ± 0 bar",  # type: ignore[assignment]  # as above
    zero_uncertainty: Annotated[
        Reading,
        pressure_difference("how far the sensor may be off at zero (95 %)", exact=True, at_least="0 bar", usual="5 bar"),
    ] = "10 bar",  # type: ignore[assignment]  # as above
    reference: Annotated[
        Reading | None,
        gauge_pressure(
            "pressure at which leak_collected and the limit are stated", exact=True, above="0 bar", usual="1000 bar"
        ),
    ] = None,
    until: Annotated[
        Reading | None, gauge_pressure("a lower pressure, to say when it is reached", exact=True, above="0 bar")
    ] = None,
    limit: Annotated[
        SpecRange | None,
        spec_range("flow", "largest leak allowed, as collected, at the reference pressure", largest=True, above="0 mL/min"),
    ] = None,
    pressure_limit: Annotated[
        SpecRange | None,
        spec_range("gauge pressure", "least pressure that must be left", above="0 bar", usual="min 850 bar"),
    ] = None,
    fall_limit: Annotated[
        SpecRange | None,
        spec_range("pressure difference", "largest fall of pressure allowed", largest=True, above="0 bar", usual="max 100 bar"),
    ] = None,
    after: Annotated[
        Reading | None,
        duration("time from the start that pressure_limit or fall_limit is stated for", exact=True, above="0 s", usual="60 s"),
    ] = None,
    discharge: Annotated[
        Reading, ratio("discharge coefficient of the equivalent orifice", exact=True, above="0 1", at_most="1 1", usual="0.7 1")
    ] = "0.7 1",  # type: ignore[assignment]  # as above
    free_air: Annotated[
        Reading,
        ratio(
            "free air in the fuel, by volume at atmospheric pressure", exact=True, at_least="0 %", at_most="10 %", usual="1 %"
        ),
    ] = "0 %",  # type: ignore[assignment]  # as above
    rail_modulus: Annotated[
        Reading | None,
        pressure_difference(
            "stiffness of the steel around the fuel; without it that of thick pipes",
            exact=True,
            above="10000 bar",
            usual="52000 ± 10000 MPa",
        ),
    ] = None,
    heat: Annotated[str, Choice("how fuel and rail exchange heat", words=HEAT_WORDS)] = "unknown",
) -> Result:
    """Estimate the leak of a shut rail from its fall of pressure.

    Two readings give a mass balance whose heat is unknown, so the interval is wide. A capture, or many readings, is fitted:
    leak and its law, warm fuel cooling, the rail drifting to ambient, the sensor's zero and noise; what is known roughly
    enters as such. Limits may be a flow, or a pressure or a fall after a time; the latter need no volume.
    Where a capture holds more than the shut rail, the hold is found in it, or cut with begin and finish; where it has the
    engine's speed (rpm), only rows with the engine at rest are taken.
    """
    from .inputs.measured import Inputs, check_one_way, check_two, known_volume

    two = any(reading is not None for reading in (start, end, time))
    check_one_way(
        {"start": two, "pressures": bool(pressures or times), "capture": capture is not None},
        {
            "begin": (begin is not None, "capture"),
            "finish": (finish is not None, "capture"),
            "until": (until is not None, "pressures or capture"),
        },
    )
    inputs = Inputs(
        known_volume(volume, bores, lengths), fuel, temperature, end_temperature, ambient, back_pressure, zero_uncertainty,
        density, viscosity, reference, until, discharge, free_air, rail_modulus, heat == "none", limit, pressure_limit,
        fall_limit, after, outlet_valve,
    )  # fmt: skip
    if capture is not None:
        from .capture import from_capture

        return from_capture(capture, inputs, begin, finish)
    if pressures or times:
        from .capture import from_readings

        return from_readings(pressures, times, inputs)
    from .result.outcome import answer_two
    from .two_point.estimate import estimate

    check_two(inputs, start, end, time)
    assert start is not None and end is not None and time is not None
    model = inputs.fuel_model()
    found = estimate(inputs.two_readings(start, end, time), model)
    return answer_two(found, inputs, model, (start, end, time))
