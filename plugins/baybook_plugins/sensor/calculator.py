"""A rail pressure sensor: volts to pressure, its zero, its supply and ground, and whether a second reading agrees."""

from __future__ import annotations

from typing import Annotated

from baybook import inputs
from baybook.api import (
    HIGH_PRESSURE,
    MAKERS_DATA,
    RUNNING_ENGINE,
    Choice,
    Estimate,
    Example,
    Meaning,
    Output,
    Quantity,
    Reading,
    Result,
    Rule,
    Shared,
    SpecRange,
    calculator,
    gauge_pressure,
    propagate,
    ratio,
    spec_range,
    voltage,
)

from .findings import beyond, weighed
from .method import PROCEDURE, SENSE
from .model import Line
from .points import along_ground, at_pressure, at_zero, between
from .rules import line_rises, something
from .signal import Signal

KINDS_OF = {
    "ratiometric": "its signal is a share of its supply",
    "absolute": "its signal is a voltage, whatever its supply",
}
EMPTIED = {
    "yes": "proven empty by a gauge of its own, or let down the maker's way and seen to move",
    "no": "it held pressure",
}
SUPPLY, ZERO, SIGNAL = "supply", "standing_signal", "signal"


def _share(help: str, symbol: str, default: str, **limits: str) -> Quantity:
    """A point of its line, as a share of its supply."""
    return ratio(help, symbol=symbol, default=default, exact=True, of_vehicle=True, **limits)


@calculator(
    title="Rail pressure sensor",
    stage="storage",
    side="control",
    proves="Whether the sensor is right at zero, has its supply and ground, and agrees with a second reading. One point proves "
    "nothing of the others.",
    cautions=(HIGH_PRESSURE, RUNNING_ENGINE, MAKERS_DATA),
    sources=(
        "Straight line between two shares of the supply, p = FS · (U/U_s - low)/(high - low): data sheets of such sensors.",
        "Errors of one meter in signal and supply: JCGM 100:2008, 5.2. Verdict: ISO 14253-1:2017.",
        "Signals half way from the line to ground or supply as broken: common practice, no source.",
    ),
    outputs={
        "pressure": Output("gauge pressure", "what the signal means at the sensor's own supply", "p", always=False),
        "seen_pressure": Output("gauge pressure", "what the control unit makes of it", "p_s", always=False),
        "zero_error": Output("pressure difference", "what is told where no pressure is", "e_0", always=False),
        "supply_error": Output("pressure difference", "made by the drop along the supply wire", "e_s", always=False),
        "ground_error": Output(
            "pressure difference", "made at no pressure by the drop along the ground wire", "e_g", always=False
        ),
        "difference": Output("pressure difference", "to the second reading", "d", always=False),
        "plug_difference": Output("pressure difference", "shown, less what the signal at the plug means", "b", always=False),
        "supply_voltage": Output("voltage", "between the sensor's supply and ground pins", "U_s", always=False),
        "ground_voltage": Output("voltage", "along the ground wire", "U_g", always=False),
        "state": Output("word", "in range, near ground, near supply, above supply or not measured"),
    },
    formulas=(
        "p = p_FS · (U / U_s - low) / (high - low)",
        "e_g = p_FS · U_g / (U_r · (high - low))",
    ),
    examples=(
        Example(
            inputs={
                "signal": "4.60 ± 0 V",
                "supply": "5 ± 0 V",
                "full_scale": "200 MPa",
                "standing_signal": "0.55 ± 0 V",
                "second": "203 ± 0 MPa",
            },
            outputs={
                "pressure": (205.0, "MPa", 1e-9),
                "zero_error": (2.5, "MPa", 1e-9),
                "difference": (2.0, "MPa", 1e-9),
                "supply_voltage": (5.0, "V", 1e-9),
                "state": "in range",
            },
            source="p = FS · (U/U_s - 0.1)/0.8 with 200 MPa: 0.55 V of 5 V is 2.5 MPa, 4.60 V is 205.0 MPa; plain arithmetic",
        ),
        Example(
            inputs={"supply": "4.96 ± 0 V", "reference": "5 ± 0 V", "ground_drop": "0.04 ± 0 V", "full_scale": "200 MPa"},
            outputs={"ground_error": (2.0, "MPa", 1e-9), "ground_voltage": (0.04, "V", 1e-9)},
            source="Plain arithmetic: 200 MPa · 0.04/(5 · 0.8)",
            card=False,
        ),
    ),
    procedure=PROCEDURE,
    sense=SENSE,
    meanings=(
        Meaning(
            "too much shown after standing",
            "the rail still holds pressure, or sensor, ground, reference off",
            "rail as loaded unless proven empty; supply, ground; sensor last",
            verdict="above",
            output="zero_error",
        ),
        Meaning(
            "less than nothing shown",
            "sensor, supply or reference off: no rail does that",
            "this sensor cannot prove zero: key off, full waiting time, empty it the maker's way, a second means shows zero; "
            "only then exchange it",
            verdict="below",
            output="zero_error",
        ),
        Meaning(
            "off, rail proven empty",
            "sensor, ground or reference off",
            "key off, rail proven empty again: supply, ground at its plug; sensor last",
            verdict="outside",
            output="zero_error",
        ),
        Meaning(
            "supply off",
            "wire, plug or control unit supply it wrongly",
            "measure the supply at the control unit's plug, sensor connected",
            verdict="outside",
            output="supply_voltage",
        ),
        Meaning(
            "drop along the ground",
            "a bad ground tells too much",
            "plug and splice of the ground wire",
            verdict="outside",
            output="ground_voltage",
        ),
        Meaning(
            "two readings differ",
            "one is wrong: which, the difference does not tell",
            "zero, supply, ground of the sensor; zero of the second",
            verdict="outside",
            output="difference",
        ),
        Meaning(
            "shown differs from the plug",
            "the signal changes on its way: ground, wire, reference",
            "along both wires; supply at both ends",
            verdict="outside",
            output="plug_difference",
        ),
        Meaning(
            "right at zero",
            "higher up it is not proven",
            "a second reading at pressure",
            verdict="within",
            output="zero_error",
        ),
        Meaning(
            "agree at pressure",
            "at this pressure the two agree",
            "repeat where the complaint is",
            verdict="within",
            output="difference",
        ),
        Meaning(
            "undecided", "the limit ends within the error of the readings", "a finer meter, a longer stand", verdict="undecided"
        ),
    ),
    rules=(
        Rule("reference", ("supply",)),
        Rule("signal", ("full_scale",)),
        Rule("standing_signal", ("full_scale",)),
        something,
        line_rises,
    ),
)
def sensor(
    standing: Annotated[
        Reading | None,
        inputs.RAIL_PRESSURE.but(help="shown with the key on after standing, rail empty", at_least="-200 bar", usual="4 bar"),
    ],
    standing_signal: Annotated[
        Reading | None, voltage("of the signal against its ground pin then", at_least="0 V", at_most="30 V", usual="0.51 V")
    ],
    signal: Annotated[
        Reading | None,
        voltage(
            "of the signal against its ground pin, at pressure", symbol="U", at_least="0 V", at_most="30 V", usual="1.32 V"
        ),
    ],
    shown: Annotated[
        Reading | None,
        inputs.RAIL_PRESSURE.but(help="what the control unit shows at the same moment", at_least="-200 bar", usual="410 bar"),
    ],
    second: Annotated[
        Reading | None,
        inputs.RAIL_PRESSURE.but(help="a second reading of the same pressure", at_least="-200 bar", usual="400 bar"),
    ],
    emptied: Annotated[str | None, Choice("whether a second means proved the rail empty then", words=EMPTIED)],
    supply: Annotated[
        Reading | None,
        voltage("between the sensor's supply and ground pins", symbol="U_s", above="0 V", at_most="30 V", usual="5.00 V"),
    ],
    reference: Annotated[
        Reading | None, voltage("the same at the control unit", symbol="U_r", above="0 V", at_most="30 V", usual="5.01 V")
    ],
    ground_drop: Annotated[
        Reading | None,
        voltage("from sensor ground to control-unit ground", symbol="U_g", at_least="-5 V", at_most="5 V", usual="0.02 V"),
    ],
    kind: Annotated[str, Choice("how its signal goes with its supply", words=KINDS_OF, default="ratiometric")],
    nominal: Annotated[
        Reading,
        voltage("supply that its line is stated for", exact=True, above="0 V", at_most="30 V", default="5 V", of_vehicle=True),
    ],
    full_scale: Annotated[
        Reading | None,
        gauge_pressure(
            "pressure at the upper point of its line",
            symbol="p_FS",
            exact=True,
            above="0 bar",
            at_most="4000 bar",
            usual="1800 bar",
            of_vehicle=True,
        ),
    ],
    low_point: Annotated[Reading, _share("share of the supply at no pressure", "low", "10 %", at_least="0 %", below="100 %")],
    high_point: Annotated[Reading, _share("share of the supply at full scale", "high", "90 %", above="0 %", at_most="100 %")],
    meter_accuracy: Annotated[
        Reading, inputs.METER_ACCURACY.but(help="the meter's error in % of a reading (95 %)", default="0 %")
    ],
    zero_limit: Annotated[
        SpecRange | None,
        spec_range(
            "pressure difference", "how far it may be off at zero", judges="zero_error", needs="both", usual="-10 to 10 bar"
        ),
    ],
    supply_limit: Annotated[
        SpecRange | None,
        spec_range("voltage", "range of its supply", judges="supply_voltage", needs="both", usual="4.75 to 5.25 V"),
    ],
    ground_limit: Annotated[
        SpecRange | None,
        spec_range("voltage", "drop allowed along the ground", judges="ground_voltage", needs="both", usual="-50 to 50 mV"),
    ],
    agreement: Annotated[
        SpecRange | None,
        spec_range(
            "pressure difference", "how far two readings may differ", judges="difference", needs="both", usual="-20 to 20 bar"
        ),
    ],
) -> Result:
    """Work out what a rail pressure sensor tells, and how far zero, supply, ground or a second reading put it in doubt.

    A ratiometric sensor gives a share of its own supply, and the control unit takes it as a share of its reference: a drop
    along the supply makes it tell too little, a drop along the ground too much. Both readings on one meter share its error.
    """
    ratiometric = kind == "ratiometric"
    own = (supply or nominal) if ratiometric else nominal
    seen_by = (reference or own) if ratiometric else nominal
    line = Line(low_point.number("1"), high_point.number("1"), full_scale.number("bar") if full_scale else 1.0)
    read = Signal.of(line, (signal, standing_signal), seen_by)
    if read.findings:  # (what no pressure gives is no pressure, and no error at zero)
        signal = standing_signal = standing = None
    given = {"own": own.to("V"), "seen_by": seen_by.to("V")}
    shared = (Shared((SIGNAL, ZERO, "own", "seen_by"), meter_accuracy.number("1"), relative=True),) if supply else ()
    found: dict[str, Estimate] = {}
    drop = ground_drop.to("V") if ground_drop else 0.0
    if signal:
        found |= at_pressure(line, signal, {**given, "drop": drop}, shared, apart=reference is not None and ratiometric)
    found |= at_zero(line, standing, standing_signal, {**given, "drop": drop}, shared)
    if ground_drop:
        found |= along_ground(line, ground_drop, seen_by, full_scale)
    if supply:
        found["supply_voltage"] = Estimate.from_reading(supply)
    told = Estimate.from_reading(shown) if shown else found.get("seen_pressure")
    if second and told:
        found |= propagate(
            lambda told, second: {"difference": told - second}, {"difference": "pressure difference"},
            told=told.to("bar"), second=second.to("bar"),
        )  # fmt: skip
    pair = (shown, signal) if shown and signal else (standing, standing_signal)
    found |= between(line, *pair, own, full_scale)
    apart = agreement or (zero_limit if pair[0] is standing else None)
    empty = zero_limit if emptied == "yes" else None
    stood = (standing or standing_signal) is not None
    result = weighed(read, found, apart, supply, nominal, ground_limit, reference, empty, stood=stood)
    return result if not (second and told) else beyond(result, found["difference"], told.to("bar").value)
