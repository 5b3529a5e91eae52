"""The pressure hold (pressure-decay test): how much a shut rail leaks, from two readings, many, or a capture."""

from __future__ import annotations

from baybook.api import (
    FLAMMABLE,
    HIGH_PRESSURE,
    LOST,
    MAKERS_DATA,
    RUNNING_ENGINE,
    Example,
    Meaning,
    Need,
    Output,
    Question,
    Result,
    Sense,
    calculator,
)

from .card.chart import charts
from .inputs.course import Course, in_order, one_way, two_readings
from .inputs.rail import Rail, one_volume, pair
from .inputs.wanted import Wanted, limits_fit
from .procedure import PROCEDURE

DODECANE = {
    "start": "99.898675 ± 0 MPa",
    "end": "89.898675 ± 0 MPa",
    "time": "3600 ± 0 s",
    "volume": "30 ± 0 mL",
    "fuel": "n-dodecane",
    "temperature": "40 ± 0 °C",
    "heat": "none",
    "rail_modulus": "1000000000 MPa",
    "zero_uncertainty": "0 bar",
}
SENSE = Sense(
    {"": Question({"rail and joints": 0.9, "relief valve": 0.8, "outlet valve": 0.85, "pump outlet": 0.5, "injector *": 0.75},
                  brings={LOST: "leak_collected"}),
     "stops": Question({"relief valve": 0.3, "outlet valve": 0.25, "pump outlet": 0.05}, 0.005, sought=False)},
    12.0,
    needs=(
        Need(
            "shut", "was the outlet valve driven shut the maker's way, and no bleeding by the injectors, during the hold?",
            met=0.5, bad=0.95, at_rest=True, input="outlet_valve",
            words={"driven-shut": True, "shut-at-rest": True, "none": True, "open-at-rest": False},
        ),
        Need("filled", met=0.999, left=0.3),
    ),
    turning=True, stopped=True,
)  # fmt: skip
"""The reach is common practice, no source."""


def flow_of(help: str, symbol: str = "", label: str = "") -> Output:
    """An output that a hold without a volume does not have."""
    return Output("flow", help, symbol, always=False, at_least=0.0, label=label)


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
        "leak_at_line": flow_of(
            "volume flow at rail pressure and fuel temperature, at the mean pressure", "Q", "leak at the rail's pressure"
        ),
        "leak_collected": flow_of(
            "the same mass as volume at atmospheric pressure, at the reference pressure", "Q_c", "leak, as collected"
        ),
        "bulk_modulus": Output(
            "pressure difference",
            "isothermal bulk modulus of the fuel at the mean pressure",
            "K_T",
            unit="MPa",
            textbook=True,
        ),
        "equivalent_orifice": Output(
            "length", "round hole that would pass the same flow", "d", always=False, at_least=0.0, textbook=True
        ),
        "cooling_drop": Output(
            "pressure difference",
            "pressure drop by cooling alone",
            "Δp_cool",
            unit="bar",
            label="pressure drop by cooling alone",
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
        "detection_limit": flow_of(
            "detection limit (90 % power): nine such tests in ten would have shown this leak",
            label="smallest leak that would have been shown",
        ),
        "time_until": Output("time", "time from the start of the hold to the lower pressure", always=False),
    },
    formulas=(
        "p = (p1 + p2) / 2",
        "K_T = (B + p) · (1 − C · ln((B + p) / B)) / C",
        "Δp = p1 - p2 - Δp_cool",
        "Q = V · Δp · (1/K_T + 1/K_rail) / t",
        "Q_c = Q · ρ / ρ_amb",
        "Q_ref = Q_c · ((p_ref - p_back) / (p - p_back))^n",
        "Q = Cd · π/4 · d² · √(2 · Δp / ρ)",
    ),
    examples=(
        Example(
            inputs=DODECANE,
            outputs={"leak_at_line": (0.0026645, "mL/min", 0.009), "leak_collected": (0.0028665, "mL/min", 0.006)},
            source="n-dodecane at 40 °C, 100 to 90 MPa absolute, constant temperature: densities 790.343, 786.131 and "
            "734.642 kg/m3 of Lemmon & Huber, Energy & Fuels 18 (2004) 960, by CoolProp 8.0.0",
        ),
        Example(
            inputs={name: text for name, text in DODECANE.items() if name != "volume"}
            | {"end": "199 ± 0 bar", "after": "3600 s"},
            outputs={"pressure_after": (199.0, "bar", 1e-9), "fall_after": (799.98675, "bar", 1e-9)},
            source="Plain arithmetic: what was read at the very time that is asked for",
            card=False,
        ),
    ),
    procedure=PROCEDURE,
    meanings=(
        Meaning(
            "within the limit",
            "the shut side holds; where pressure is lost, it is lost elsewhere or only while running",
            "supply and generation",
            verdict="within",
        ),
        Meaning(
            "outside the limit",
            "the shut side leaks: rail and joints, outlet valve, pump's outlet or an injector",
            "injector returns (calculator returns), then the return of the pressure control, only the way the data give: "
            "fitted at zero, never closed",
            verdict="outside",
        ),
        Meaning(
            "outside, and a rail valve may open without current",
            "nothing about the rail: such a valve empties it by design",
            "the maker's routine that drives it shut, then hold again",
        ),
        Meaning(
            "undecided",
            "the test is too short, or volume and temperature are known too badly",
            "repeat with a capture of 60 s",
            verdict="undecided",
        ),
        Meaning(
            "a fall that stops far above zero",
            "a relief or outlet valve opens early or shuts late",
            "their data, their returns",
        ),
        Meaning("law orifice", "the leak is a hole or a seat that does not close", "look among seats and valves"),
        Meaning("law laminar", "the leak is a clearance, such as a worn guide", "look among guides and pistons"),
    ),
    charts=charts,
    sense=SENSE,
    rules=(one_way, one_volume, two_readings, in_order, limits_fit),
)
def hold(course: Course, rail: Rail, wanted: Wanted) -> Result:
    """Estimate the leak of a shut rail from its fall of pressure (pressure-decay test).

    Two readings give a mass balance whose heat is unknown, so the interval is wide. A capture, or many readings, is fitted:
    leak and its law, warm fuel cooling, the rail drifting to ambient, the sensor's zero and noise; what is known roughly
    enters as such. Limits may be a flow, or a pressure or a fall after a time; the latter need no volume.
    Where a capture holds more than the shut rail, the hold is found in it, or cut with window_start and window_end; where it
    has the engine's speed (rpm), only rows with the engine at rest are taken.
    """
    if course.start and course.end and course.time:
        from .two_point.outcome import from_two

        return from_two(pair(course.start, "MPa"), pair(course.end, "MPa"), pair(course.time, "s"), rail, wanted)
    from .capture.fitted import from_course

    return from_course(course, rail, wanted)
