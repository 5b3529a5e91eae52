"""The pressure hold: how much a shut rail leaks, from two readings, many, or a capture."""

from __future__ import annotations

from typing import Annotated, Any

from baybook.api import (
    FLAMMABLE,
    HIGH_PRESSURE,
    KINDS,
    MAKERS_DATA,
    Calculator,
    CaptureFile,
    Choice,
    Example,
    FuelName,
    Meaning,
    Output,
    Reading,
    Result,
    SpecRange,
    calculator,
    density,
    duration,
    gauge_pressure,
    hookimpl,
    kinematic_viscosity,
    pressure_difference,
    ratio,
    readings,
    spec_range,
    temperature,
    volume,
)

from .cards import baybook_cards as baybook_cards
from .chart import charts

HEAT_WORDS = {
    "unknown": "fuel and rail exchange heat, as after every pump stop",
    "none": "fuel and rail kept one temperature throughout (two readings alone)",
}


@calculator(
    title="Pressure hold",
    stage="storage",
    side="hydraulic",
    proves="How much fuel the shut high-pressure side loses. Not where it goes: injectors, pressure control, pump and unions "
    "share it.",
    cautions=(HIGH_PRESSURE, FLAMMABLE, MAKERS_DATA),
    sources=(
        "Mass balance of a closed volume with a leak; series law of moduli: hydraulics handbooks after Merritt 1967.",
        "Orifice: Q = Cd A sqrt(2 dp/rho), Rabie, Fluid Power Engineering, eq. 2.36; clearance: eq. 2.19.",
        "Heat times, warm start and drift of the rail: reasoned ranges, common practice, no source.",
        "Verdict: ISO 14253-1:2017, JCGM 106:2012; intervals: posterior draws, JCGM 101:2008.",
    ),
    outputs={
        "leak_at_line": Output("flow", "volume flow at rail pressure and fuel temperature, at the mean pressure", "Q"),
        "leak_collected": Output("flow", "the same mass as volume at atmospheric pressure, at the reference pressure", "Q_c"),
        "bulk_modulus": Output(
            "pressure difference", "isothermal stiffness of the fuel at the mean pressure", "K_T", unit="MPa"
        ),
        "equivalent_orifice": Output("length", "round hole that would pass the same flow", "d"),
        "cooling_fall": Output("pressure difference", "fall that cooling alone would have made", "Δp_cool", unit="bar"),
        "law": Output("word", "laminar, orifice, mixed, none or unknown"),
        "exponent": Output(
            "ratio", "how the leak grows with pressure: 0.5 an orifice, about 1 a clearance", "n", unit="1", always=False
        ),
        "mean_pressure": Output(
            "gauge pressure", "mean of the first and last pressure, zero error taken out", "p", always=False
        ),
        "smallest_leak": Output("flow", "the least leak that this test would most likely have shown", always=False),
        "time_until": Output("time", "time from the start of the hold to the lower pressure", always=False),
    },
    formulas=(
        "p = (p1 + p2) / 2",
        "Q = V · (p1 - p2) / (K · t)",
        "Q_c = Q · ρ(p, T) / ρ(p_amb, T)",
        "Q = Cd · π/4 · d² · √(2 · Δp / ρ)",
    ),
    examples=(
        Example(
            inputs={
                "start": "99.898675 ± 0 MPa",
                "end": "89.898675 ± 0 MPa",
                "time": "60 ± 0 s",
                "volume": "30 ± 0 mL",
                "fuel": "n-dodecane",
                "temperature": "40 ± 0 °C",
                "heat": "none",
                "rail_modulus": "1000000000 MPa",
                "zero_uncertainty": "0 bar",
            },
            outputs={"leak_at_line": (0.15987, "mL/min", 0.012), "leak_collected": (0.17199, "mL/min", 0.012)},
            source="n-dodecane at 40 °C, 100 to 90 MPa absolute, constant temperature: densities 790.343, 786.131 and "
            "734.642 kg/m3 of Lemmon & Huber, Energy & Fuels 18 (2004) 960, by CoolProp 8.0.0",
        ),
    ),
    needs=(
        "rail pressure reading: gauge, or the logged signal",
        "the volume of rail, pipes and sensor together, and how well it is known",
        "a thermometer on the rail",
        "the limit from the maker's data",
    ),
    procedure=(
        "Leave every line closed. The pressure is made and shut in by the system itself, the way the maker describes.",
        "Read the rail's temperature from outside, before and after.",
        "Stop the pump; record pressure from then on, or write down pressure at once and after a stated time.",
        "Let half a minute pass at least, a minute is better; most of the first fall is warm fuel cooling.",
        "Touch nothing that holds pressure. Wait and prove by a reading that the rail is at zero before any other work.",
    ),
    meanings=(
        Meaning(
            "within the limit", "the shut side holds; pressure is lost elsewhere or only while running", "supply and generation"
        ),
        Meaning(
            "outside the limit",
            "the shut side leaks: an injector, the pressure control, the pump's outlet valve or a union",
            "injector returns (calculator returns), then the return of the pressure control",
        ),
        Meaning(
            "undecided", "the test is too short, or volume and temperature are known too badly", "repeat with a capture of 60 s"
        ),
        Meaning("law orifice", "the leak is a hole or a seat that does not close", "look among seats and valves"),
        Meaning("law laminar", "the leak is a clearance, such as a worn guide", "look among guides and pistons"),
    ),
    charts=charts,
)
def hold(
    volume: Annotated[Reading, volume("rail, pipes and sensor together", symbol="V", above="0 mL", usual="25 ± 1 mL")],
    start: Annotated[
        Reading | None, gauge_pressure("rail pressure when the pump stopped", symbol="p1", above="0 bar", usual="1100 bar")
    ] = None,
    end: Annotated[
        Reading | None, gauge_pressure("rail pressure at the end", symbol="p2", at_least="0 bar", usual="600 bar")
    ] = None,
    time: Annotated[Reading | None, duration("between the two readings", symbol="t", above="0 s", usual="30 s")] = None,
    capture: Annotated[
        Any, CaptureFile("the logged rail pressure, in place of two readings", channels={"rail": KINDS["gauge pressure"]})
    ] = None,
    begin: Annotated[
        Reading | None, duration("begin of the hold in the capture, from its first row", at_least="0 s")
    ] = None,
    finish: Annotated[Reading | None, duration("end of the hold in the capture", above="0 s")] = None,
    pressures: Annotated[
        tuple[Reading, ...],
        readings("gauge pressure", "many readings by hand, in place of two", at_least_count=8, at_most_count=500),
    ] = (),
    times: Annotated[
        tuple[Reading, ...], readings("time", "when each of many readings was taken", at_least_count=8, at_most_count=500)
    ] = (),
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
    enters as such. Where a capture holds more than the shut rail, the hold is found in it, or cut with begin and finish.
    """
    from .given import Given, check_one_way, check_two

    given = Given(
        volume, fuel, temperature, end_temperature, ambient, back_pressure, zero_uncertainty, density, viscosity, reference,
        until, discharge, free_air, rail_modulus, heat == "none",
    )  # fmt: skip
    two = any(reading is not None for reading in (start, end, time))
    check_one_way(
        {"start": two, "pressures": bool(pressures or times), "capture": capture is not None},
        {
            "begin": (begin is not None, "capture"),
            "finish": (finish is not None, "capture"),
            "until": (until is not None, "pressures or capture"),
            "heat": (heat == "none", "start"),
        },
    )
    if capture is not None:
        from .capture import from_capture

        return from_capture(capture, given, begin, finish, limit)
    if pressures or times:
        from .capture import from_readings

        return from_readings(pressures, times, given, limit)
    from .answers import answer_two
    from .two_readings import estimate

    check_two(given, start, end, time)
    assert start is not None and end is not None and time is not None
    model = given.fuel_model()
    found = estimate(given.two_readings(start, end, time), model)
    return answer_two(found, given, model, limit, (start, end, time))


@hookimpl
def baybook_calculators() -> list[Calculator]:
    """Offer the calculator."""
    return [hold]
