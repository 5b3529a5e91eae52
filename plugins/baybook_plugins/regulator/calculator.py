"""Pressure control by inlet valve, outlet valve or both: what the readings say, and which side they point at."""

from __future__ import annotations

from typing import Annotated, Any

from baybook import inputs
from baybook.api import (
    CONTROL_LOSS,
    HIGH_PRESSURE,
    HIGH_VOLTAGE,
    MAKERS_DATA,
    RUNNING_ENGINE,
    Choice,
    Estimate,
    Example,
    Flag,
    Meaning,
    Message,
    Of,
    Output,
    Problem,
    Quantity,
    Reading,
    Result,
    Rule,
    Step,
    calculator,
    propagate,
    ratio,
)
from baybook.dataclass import replace
from baybook_physics.pressure_valve import Counts, Place, Rest, Switched, Valve, mean_voltage

from .chart import charts
from .fitted import Fitted
from .pointers import Picture, point, pointed
from .procedure import PROCEDURE
from .sense import SENSE, answers
from .states import Asks, Current
from .texts import BLEED, TOLERANCE, USUAL_KIND, WIRE_AT_REST, loss_of_all_current, of_valve
from .valves import Read

FORMULA = {Switched.GROUND: "U_w = U · (1 - D)", Switched.SUPPLY: "U_w = U · D"}
EXAMPLE = Example(
    {"where": "both", "switched": "ground", "meter_counts": "low", "supply": "14 ± 0 V", "inlet_duty": "25 ± 0 %",
     "outlet_duty": "40 ± 0 %"},
    {"inlet_mean_voltage": (10.5, "V", 1e-12), "outlet_mean_voltage": (8.4, "V", 1e-12),
     "inlet_effect": "more current drives it closed: pressure falls",
     "outlet_effect": "more current drives it closed: pressure rises",
     "inlet_full_pressure": "fully open: no current, 0 % on",
     "outlet_full_pressure": "fully closed: full current, 100 % on"},
    "common practice, no source; voltages by arithmetic, 14 × (1 − 0.25) and 14 × (1 − 0.40)",
)  # fmt: skip
AGAINST_USUAL = Example(
    {**EXAMPLE.inputs, "pressure": "290 ± 0 bar", "target": "300 ± 0 bar", "inlet_usual_duty": "30 to 36 %",
     "outlet_usual_duty": "20 to 24 %"},
    {"inlet_mean_voltage": (10.5, "V", 1e-12)}, "14 × (1 − 0.25)", card=False,
)  # fmt: skip
MEANINGS = (
    Meaning("pressure low, more asked for, current right", "hydraulic side, stage open",
            "rail sensor; feed; returns, outlet valve's return, hold"),
    Meaning("pressure low, more asked for, current wrong", "the command does not arrive: control side",
            "coil, voltage drop, drive by oscilloscope"),
    Meaning("pressure low, more is not asked for", "the control does not see it: sensor or target",
            "rail sensor, its supply, ground; target"),
    Meaning("pressure high, less is asked for, current wrong", "the command does not arrive: control side",
            "engine off, do not restart: coil, plugs, driver"),
    Meaning("pressure high, less is not asked for", "the control does not see it: sensor or target",
            "engine off, do not restart: rail sensor, its supply, ground; target"),
    Meaning("pressure high, less is asked for, current as expected",
            "if real: inlet valve does not close, outlet valve does not open, return blocked",
            "engine off, do not restart: rail sensor, ground; then valve, return"),
    Meaning("on target, more asked for than usual", "made up for: less in reserve",
            "supply, returns, hold"),
    Meaning("duty fits 100 % minus the command", "the meter counts the other part", "confirm by oscilloscope"),
)  # fmt: skip


def _each(name: str, output: Output) -> dict[str, Output]:
    return {f"{place}_{name}": output for place in Place}


def _tolerance(help: str, default: str) -> Quantity:
    return ratio(help, exact=True, at_least="0 %", at_most="50 %", default=default)


def fitted_alone(where: str, inlet: Read, outlet: Read) -> list[Problem]:
    """What was read at a valve that is not fitted is refused."""
    read = {Place.INLET: inlet, Place.OUTLET: outlet}
    return [
        Problem(f"{place}_{name}", str(value), "belongs to a valve that is not fitted", "leave it out, or give where as both")
        for place in Place
        if where not in (place, "both")
        for name, value in read[place]._asdict().items()
        if value is not None and name != "at_rest"
    ]


@calculator(
    title="Pressure control: inlet, outlet",
    stage="generation",
    side="any",
    proves="Whether the control asks for the right correction and whether its coil gets the current for it: with both, a wrong "
    "pressure is hydraulic, if the sensor is right; without, it is control. Not which hydraulic part or stage it is.",
    outputs={
        "pressure_state": Output("word", "pressure against its target", always=False),
        "points_at": Output("word", "the side that the readings point at", always=False),
        **_each("asks", Output("word", "what its drive asks for", always=False)),
        **_each("current_state", Output("word", "its current against the expected one", always=False)),
        **_each("drive", Output("ratio", "share of time the coil is switched on", "D", always=False, at_least=0.0)),
        **_each(
            "mean_voltage", Output("voltage", "mean on the switched wire at that drive", "U_w", always=False, at_least=0.0)
        ),
        **_each("effect", Output("word", "what more current does", always=False, textbook=True)),
        **_each("full_pressure", Output("word", "what full pressure needs of the valve", always=False, textbook=True)),
        **_each("wire_at_full_pressure", Output("word", "what the switched wire shows then", always=False, textbook=True)),
        **_each("loss_of_current", Output("word", "what the loss of its current alone does", always=False, textbook=True)),
        "wire_at_rest": Output("word", "what the switched wire shows with the coil not driven", textbook=True),
        "loss_of_all_current": Output("word", "what the loss of current at every valve does", textbook=True),
    },
    cautions=(HIGH_PRESSURE, CONTROL_LOSS, HIGH_VOLTAGE, RUNNING_ENGINE, MAKERS_DATA),
    sources=(
        "Inlet and outlet control, their usual kinds and what to test next: common practice, no source.",
        "Mean voltage of a switched wire, U (1 - D) switched to ground, U D switched to supply: circuit theory.",
    ),
    examples=(EXAMPLE, AGAINST_USUAL),
    procedure=PROCEDURE,
    formulas=(
        "U_w = U · (1 − D), switched to ground: on is low",
        "U_w = U · D, switched to supply: on is high",
        "usual kind: inlet current up, pressure down; outlet current up, pressure up",
        "full pressure: inlet fully open, outlet fully closed",
    ),
    meanings=MEANINGS,
    charts=charts,
    sense=SENSE,
    rules=(
        fitted_alone,
        Rule("pressure", ("target",), "is missing: pressure says something only against it"),
        Rule("target", ("pressure",), "is missing: a target says something only against it"),
        *(Rule(f"{place}_wire_voltage", ("supply",)) for place in Place),
    ),
)
def regulator(
    where: Annotated[str, Choice("where pressure is controlled", words={
        "inlet": "what the pump takes in", "outlet": "what escapes from pump or rail", "both": "both are fitted",
    })],
    switched: Annotated[str, Choice("which side of the coil is switched", default="ground", words={
        "ground": "to ground: on is low", "supply": "to supply: on is high",
    })],
    meter_counts: Annotated[str, Choice("which part of the period the duty meter shows", default="unknown", words={
        "low": "the low time", "high": "the high time", "unknown": "not known: it is worked out if possible",
    })],
    pressure: Annotated[Reading | None, inputs.RAIL_PRESSURE.but(at_least="-1 bar", usual="298 bar")],
    target: Annotated[Reading | None, inputs.RAIL_PRESSURE.but(help="target of the rail pressure", usual="300 bar")],
    inlet: Annotated[Read, Of("inlet", "inlet valve")],
    outlet: Annotated[Read, Of("outlet", "outlet valve")],
    supply: Annotated[Reading | None, inputs.COIL_SUPPLY.but(help="supply voltage at the coils", at_most="60 V", usual="14 V")],
    pressure_tolerance: Annotated[Reading, _tolerance("how far from target counts as on target, in % of it", "5 %")],
    current_tolerance: Annotated[Reading, _tolerance("how far from expected counts as expected, in % of it", "10 %")],
    sensor_checked: Annotated[
        bool, Flag("the rail sensor, its supply, ground or reference and its signal were looked at and are right")
    ],
    bleed: Annotated[bool, Flag("the control also lowers pressure by bleeding through the injectors")],
) -> Result:  # fmt: skip
    """Tell from duty, current and pressure which way the control pulls, and which side the readings point at.

    The usual valves are driven in by current. That restricts an inlet, so pressure falls, and closes an escape, so pressure
    rises.
    """
    side, read = Switched(switched), {Place.INLET: inlet, Place.OUTLET: outlet}
    fitted = [
        Fitted(Valve(place, Rest(read[place].at_rest)), read[place], side, Counts(meter_counts), supply, current_tolerance)
        for place in Place
        if where in (place, "both")
    ]
    valves = [each.valve for each in fitted]
    outputs: dict[str, Any] = {"wire_at_rest": WIRE_AT_REST[side], "loss_of_all_current": loss_of_all_current(valves)}
    for each in fitted:
        outputs |= {f"{each.valve.place}_{name}": value for name, value in _of(each).items()}
    notes = [each.said(each.drive.words) for each in fitted if each.drive and not each.puzzling]
    notes += [USUAL_KIND, *([BLEED] if bleed else [])]
    findings = [finding for each in fitted for finding in each.findings()]
    state = None
    if pressure and target:
        seen = Picture.of(fitted, pressure, target, pressure_tolerance)._replace(bleed=bleed, sensor_checked=sensor_checked)
        pointer, state = point(seen), seen.pressure
        outputs |= {"pressure_state": seen.pressure.value, "points_at": pointer.points_at}
        if not seen.under_control:  # the stop first, and nothing else that is to be run
            findings = [*pointed(pointer, seen), *(replace(finding, next_test="") for finding in findings)]
        else:
            accused = any(finding.strength == "indicated" for finding in findings)
            findings += pointed(pointer, seen, accused=accused)
        notes.append(Message(TOLERANCE, pressure=pressure_tolerance, current=current_tolerance))
    steps = [
        Step(
            Message("switched wire, {valve}", valve=each.name()), FORMULA[side], {"U": supply, "D": each.share.value},
            outputs[f"{each.valve.place}_mean_voltage"],
        )
        for each in fitted if each.share and supply
    ]  # fmt: skip
    told = tuple(answers(fitted, pressure, target, pressure_tolerance, state, sensor_checked=sensor_checked))
    return Result(outputs, findings=tuple(findings), notes=tuple(notes), steps=tuple(steps), answers=told)


def _of(fitted: Fitted) -> dict[str, Any]:
    """What one valve does and what its readings are."""
    found: dict[str, Any] = dict(of_valve(fitted.valve, fitted.switched, fitted.supply))
    if fitted.asks is not Asks.UNKNOWN:
        found["asks"] = fitted.asks.value
    if fitted.current is not Current.UNKNOWN:
        found["current_state"] = fitted.current.value
    if fitted.share:
        found["drive"] = Estimate.of(100 * fitted.share.value, "%", 100 * fitted.share.u)
    if fitted.share and fitted.supply:
        found |= propagate(
            lambda drive, volts: {"mean_voltage": mean_voltage(drive, volts, fitted.switched)}, {"mean_voltage": "V"},
            drive=fitted.share, volts=fitted.supply.to("V"),
        )  # fmt: skip
    return found
