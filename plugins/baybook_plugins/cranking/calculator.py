"""Cranking: how fast, how high, how soon; from a capture also what the pump gives and what is lost."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated, Any

from baybook import inputs
from baybook.api import (
    FLAMMABLE,
    HIGH_PRESSURE,
    MAKERS_DATA,
    RUNNING_ENGINE,
    STARTING,
    ChannelOffer,
    Count,
    Example,
    Meaning,
    Output,
    Problem,
    Reading,
    Result,
    Rule,
    SpecRange,
    calculator,
    duration,
    flow,
    gauge_pressure,
    hookimpl,
    ratio,
    spec_range,
    speed,
    voltage,
    volume,
)

from .build_up import Known
from .method import PROCEDURE, SENSE
from .outcome import outcome

ALSO = ("set", "low", "battery", "d_mv", "i_mv", "d_pcv", "i_pcv")


def one_way(
    capture: Any, speed: Reading | None, pressure: Reading | None, time: Reading | None, supply: Reading | None
) -> Iterator[Problem]:
    """Readings or a capture, and something to judge."""
    typed = {"speed": speed, "pressure": pressure, "time": time, "supply": supply}
    if capture is not None:
        for name, reading in typed.items():
            if reading is not None:
                yield Problem(name, reading.text, "is given as well as a capture, which has its own", "leave one of them out")
    elif all(reading is None for reading in (speed, pressure, time)):
        yield Problem("pressure", None, "is missing", "give what was read while cranking, or a capture")


@calculator(
    title="Cranking",
    stage="storage",
    side="hydraulic",
    proves="Whether pressure is there while the starter turns, and how soon. Not why it is not: supply, pump, rail, injectors, "
    "sensor and a slow starter all look alike until pump and loss are told apart.",
    cautions=(HIGH_PRESSURE, RUNNING_ENGINE, STARTING, FLAMMABLE, MAKERS_DATA),
    sources=(
        "Balance of mass of a rail; series law of moduli: hydraulics handbooks after Merritt 1967; free air after Boyle.",
        "What the pump gives: least squares of the rail's content over its turns and the loss; JCGM 100:2008, 5.1.",
        "Speeds of starters and engines, 20 bar as risen, half a second as held: common practice, no source.",
        "Verdict: ISO 14253-1:2017, JCGM 106:2012.",
    ),
    outputs={
        "pressure": Output("gauge pressure", "highest pressure, held half a second where it was logged", "p", always=False),
        "time": Output("time", "from the first turn to the enabling pressure", "t", always=False, at_least=0.0),
        "speed": Output("speed", "while cranking", "n", always=False),
        "battery": Output("voltage", "lowest while cranking", always=False),
        "supply_pressure": Output("gauge pressure", "lowest while cranking", always=False),
        "standing_pressure": Output("gauge pressure", "what the sensor shows before the starter turns", always=False),
        "expected_time": Output("time", "that a pump of this size would take", "t_e", always=False, at_least=0.0),
        "delivery": Output("flow", "what the pump gives, as collected", "Q_p", always=False, at_least=0.0),
        "delivery_pressure": Output(
            "gauge pressure", "mean, for which that holds: a worn pump gives less at more", always=False
        ),
        "delivery_share": Output("ratio", "of what it sweeps", "λ", always=False, at_least=0.0),
        "lost": Output("flow", "what leaves the rail at the highest pressure, as collected", "Q_l", always=False, at_least=0.0),
        "filled_first": Output("volume", "pumped before pressure rose, beyond what the fuel takes", always=False, at_least=0.0),
        "returned_share": Output("ratio", "of what the pump gave, returned by the injectors", always=False, at_least=0.0),
    },
    formulas=("S = V · (ρ(p)/ρ0 · (1 + p/K_rail) - V_air/V · p0/p)", "dS/dt = Q_p - Q_l", "Q_p = λ · V_p · i · n"),
    examples=(
        Example(
            inputs={
                "speed": "250 ± 0 rpm",
                "battery": "10.4 ± 0 V",
                "pressure": "260 ± 0 bar",
                "time": "0.9 ± 0 s",
                "supply": "4 ± 0 bar",
                "enable": ">= 180 bar",
                "time_limit": "<= 3 s",
            },
            outputs={
                "pressure": (260.0, "bar", 1e-9),
                "time": (0.9, "s", 1e-9),
                "speed": (250.0, "rpm", 1e-9),
                "battery": (10.4, "V", 1e-9),
                "supply_pressure": (4.0, "bar", 1e-9),
            },
            source="Readings as they are; judged as ISO 14253-1:2017 says",
        ),
        Example(
            inputs={
                "speed": "250 ± 0 rpm",
                "pressure": "260 ± 0 bar",
                "volume": "30 ± 0 mL",
                "pump": "0.6 ± 0 cm3/rev",
                "pump_ratio": "0.5 1",
                "efficiency": "80 ± 0 %",
                "leak": "20 ± 0 mL/min",
                "fuel": "n-dodecane",
                "temperature": "40 ± 0 °C",
                "enable": ">= 250 bar",
                "rail_modulus": "100000000 MPa",
            },
            outputs={"expected_time": (0.92246, "s", 0.025)},
            source="30 mL · (ρ(25.101 MPa)/ρ(0.101 MPa) - 1)/(0.6667 mL/s), densities of n-dodecane along the isentrope from "
            "40 °C: Lemmon & Huber, Energy & Fuels 18 (2004) 960, by CoolProp 8.0.0",
            card=False,
        ),
    ),
    procedure=PROCEDURE,
    sense=SENSE,
    meanings=(
        Meaning(
            "pressure there in time",
            "pressure is not what keeps it from starting",
            "signals, immobiliser, injectors' drive, compression",
            verdict="within",
            output="pressure",
        ),
        Meaning(
            "pressure not reached",
            "supply, pump, rail, injectors, sensor or starter: open until told apart",
            "supply first; returns (calculator returns); shut rail (calculator hold); the pump last",
            verdict="below",
            output="pressure",
        ),
        Meaning(
            "reached, but late",
            "it comes too slowly: air, a weak pump, a loss",
            "bubbles in a clear hose; then the injectors' returns (calculator returns)",
            verdict="outside",
            output="time",
        ),
        Meaning(
            "too slow a starter", "nothing of the fuel system", "battery, starter, engine drag", verdict="below", output="speed"
        ),
        Meaning(
            "undecided",
            "limit and reading are too near each other",
            "prove the sensor's zero; log it, finer or longer",
            verdict="undecided",
        ),
    ),
    rules=(one_way, Rule("returned", ("capture", "volume"))),
)
def cranking(
    speed: Annotated[
        Reading | None, speed("while cranking", symbol="n", at_least="0 rpm", at_most="1000 rpm", usual="220 rpm")
    ],
    battery: Annotated[
        Reading | None, voltage("lowest battery voltage while cranking", at_least="0 V", at_most="60 V", usual="10.2 V")
    ],
    pressure: Annotated[
        Reading | None,
        gauge_pressure(
            "highest rail pressure while cranking",
            symbol="p",
            at_least="-5 bar",
            at_most="4000 bar",
            usual="260 bar",
            usual_range=("-5 bar", "1000 bar"),
        ),
    ],
    time: Annotated[
        Reading | None, duration("from the first turn to the enabling pressure", symbol="t", above="0 s", usual="1.2 s")
    ],
    supply: Annotated[Reading | None, inputs.SUPPLY_PRESSURE.but(help="lowest supply pressure while cranking", usual="4 bar")],
    capture: Annotated[Any | None, inputs.capture("a log of the crank, in place of readings", "rail", "rpm", also=ALSO)],
    enable: Annotated[
        SpecRange | None,
        spec_range(
            "gauge pressure", "pressure at which injection is released", judges="pressure", needs="low", usual="min 180 bar"
        ),
    ],
    time_limit: Annotated[
        SpecRange | None,
        spec_range("time", "until when it has to be there", judges="time", largest=True, above="0 s", usual="max 3 s"),
    ],
    speed_limit: Annotated[
        SpecRange | None, spec_range("speed", "speed wanted while cranking", judges="speed", needs="low", usual="min 180 rpm")
    ],
    battery_limit: Annotated[
        SpecRange | None, spec_range("voltage", "lowest voltage wanted", judges="battery", needs="low", usual="min 9.6 V")
    ],
    supply_limit: Annotated[SpecRange | None, inputs.SUPPLY_LIMIT],
    volume: Annotated[Reading | None, inputs.RAIL_VOLUME],
    pump: Annotated[Reading | None, inputs.PUMP_DISPLACEMENT.but(help="what the pump sweeps in one turn of its shaft")],
    pump_ratio: Annotated[Reading, inputs.PUMP_RATIO],
    elements: Annotated[int | None, Count("elements of the pump", at_least=1, at_most=12, of_vehicle=True)],
    efficiency: Annotated[
        Reading, ratio("share of it that a sound pump gives", symbol="λ", above="0 %", at_most="120 %", default="80 ± 15 %")
    ],
    leak: Annotated[Reading, flow("what the rail is known to lose", at_least="0 mL/min", default="0 ± 0 mL/min")],
    free_air: Annotated[
        Reading,
        volume("free air in rail and lines, at atmospheric pressure", symbol="V_air", at_least="0 mL", default="0 ± 0 mL"),
    ],
    returned: Annotated[
        Reading | None, volume("what all injectors together returned during the capture", at_least="0 mL", usual="15 mL")
    ],
    fuel: Annotated[str, inputs.RAIL_FUEL],
    temperature: Annotated[Reading, inputs.RAIL_TEMPERATURE.but(default="25 ± 15 °C")],
    rail_modulus: Annotated[Reading | None, inputs.RAIL_MODULUS],
    zero_uncertainty: Annotated[Reading, inputs.ZERO_UNCERTAINTY],
) -> Result:
    """Judge a crank: speed, battery, pressure reached and how soon.

    The pressure is what the sensor tells, within what its zero may be off (zero_uncertainty). A capture that goes on until the
    pressure has fallen tells what the pump gives from what is lost, with the volume; with the pump's displacement, whether it
    is the pump or the loss. Flows are volumes at atmospheric pressure, as a graduated cylinder would show them.
    """
    known = Known(volume, pump, pump_ratio, elements, efficiency, leak, free_air, fuel, temperature, rail_modulus)
    limits = {
        "pressure": enable, "time": time_limit, "speed": speed_limit, "battery": battery_limit, "supply_pressure": supply_limit,
    }  # fmt: skip
    typed = {"speed": speed, "pressure": pressure, "time": time, "battery": battery, "supply_pressure": supply}
    return outcome(capture, typed, returned, known, limits, zero_uncertainty)


@hookimpl
def baybook_channels() -> list[ChannelOffer]:
    """Offer the battery's voltage, which a crank's log may hold."""
    words = "batt|u bat|v bat|ubat|vbat|supply voltage|system voltage|module voltage|bordspannung|bordnetzspannung"
    others = "sensor|inject|coil|valve|ventil|current|strom|temp|limit|min|max|ladezustand|soc"
    return [ChannelOffer("battery", "battery voltage", "voltage", tuple(words.split("|")), tuple(others.split("|")))]
