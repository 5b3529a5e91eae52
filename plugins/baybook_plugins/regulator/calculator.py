"""Pressure control by inlet valve, outlet valve or both: what the readings say, and which side they point at."""

from __future__ import annotations

from dataclasses import replace
from typing import Annotated

from baybook.api import (
    BEFORE_RUNNING,
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
    Output,
    Quantity,
    Reading,
    Result,
    SpecRange,
    calculator,
    current,
    gauge_pressure,
    ratio,
    spec_range,
    voltage,
)

from .chart import charts
from .duty import Counts
from .fitted import Fitted, Read
from .fitted import findings as own_findings
from .model import Place, Rest, Switched, Valve, loss_of_all_current
from .pointing import point
from .wording import (
    BLEED,
    TOLERANCE,
    USUAL_KIND,
    wire_at_rest,
)
from .working import check_given, picture, pointed, valve_outputs, voltage_steps

REST_WORDS = {"open": "stands open without current, the usual kind", "closed": "stands closed without current"}


def _duty(help: str) -> Quantity:
    return ratio(help, at_least="0 %", at_most="100 %", usual="30 %")


def _current(help: str) -> Quantity:
    return current(help, at_least="0 A", at_most="50 A", usual="1.20 A")


def _each(name: str, output: Output) -> dict[str, Output]:
    return {f"{place}_{name}": output for place in Place}


@calculator(
    title="Pressure control: inlet, outlet or both",
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
        **_each("effect", Output("word", "what more current does", always=False)),
        **_each("full_pressure", Output("word", "what full pressure needs of the valve", always=False)),
        **_each("wire_at_full_pressure", Output("word", "what the switched wire shows then", always=False)),
        **_each("loss_of_current", Output("word", "what the loss of its current alone does", always=False)),
        "wire_at_rest": Output("word", "what the switched wire shows with the coil not driven"),
        "loss_of_all_current": Output("word", "what the loss of current at every valve does"),
    },
    cautions=(HIGH_PRESSURE, CONTROL_LOSS, HIGH_VOLTAGE, RUNNING_ENGINE, MAKERS_DATA),
    sources=(
        "Inlet and outlet control, their usual kinds and what to test next: common practice, no source.",
        "Mean voltage of a switched wire, U (1 - D) switched to ground, U D switched to supply: circuit theory.",
    ),
    examples=(
        Example(
            inputs={
                "where": "both",
                "switched": "ground",
                "meter_counts": "low",
                "supply": "14 ± 0 V",
                "inlet_duty": "25 ± 0 %",
                "outlet_duty": "40 ± 0 %",
            },
            outputs={
                "inlet_mean_voltage": (10.5, "V", 1e-12),
                "outlet_mean_voltage": (8.4, "V", 1e-12),
                "inlet_effect": "more current drives it closed: pressure falls",
                "outlet_effect": "more current drives it closed: pressure rises",
                "inlet_full_pressure": "fully open: no current, 0 % on",
                "outlet_full_pressure": "fully closed: full current, 100 % on",
            },
            source="common practice, no source; voltages by arithmetic, 14 × (1 − 0.25) and 14 × (1 − 0.40)",
        ),
    ),
    needs=(
        "the maker's data: which valves, their state at rest, which side is switched, the usual duty and current",
        "pressure and target from live data, and the rail sensor's own voltage",
        "a multimeter with duty, or better an oscilloscope, with insulated pins for back-probing",
        "a current clamp",
    ),
    procedure=(
        "Never unplug a pressure control on a running or cranking engine.",
        "From the maker's data, before any lead: inlet, outlet or both; open or closed without current; which side is "
        "switched; whether injectors bleed.",
        "Stop, rail seen to fall to zero, key off: back-probe with insulated pins, clamp round one wire, leads clear of belts "
        "and fan. A pin that slips to ground drives the valve fully on.",
        BEFORE_RUNNING,
        "Run steadily, stand clear. Read pressure, target, duty and current together; note which part of the period the "
        "meter counts.",
        "Pressure runs away: engine off from where you sit.",
        "Compare the duty with the usual one, the current with what the duty should give (calculator coil).",
        "Read again where the complaint shows; on the road a second person reads.",
        "Stop, rail seen at zero again, key off: take the leads off, look at the plug's seals.",
    ),
    formulas=(
        "U_w = U · (1 − D), switched to ground: on is low",
        "U_w = U · D, switched to supply: on is high",
        "usual kind: inlet current up, pressure down; outlet current up, pressure up",
        "full pressure: inlet fully open, outlet fully closed",
    ),
    meanings=(
        Meaning(
            "pressure low, more is asked for, current as expected",
            "the control does its part: hydraulic side, stage open",
            "rail sensor; feed pressure and flow; returns, outlet valve's own return, hold",
        ),
        Meaning(
            "pressure low, more is asked for, current wrong",
            "the command does not arrive: control side",
            "coil, voltage drop along the wiring, drive by oscilloscope",
        ),
        Meaning(
            "pressure low, more is not asked for",
            "the control does not see it: sensor or target",
            "rail sensor, its supply, its ground or reference; target and mode",
        ),
        Meaning(
            "pressure high, less is asked for, current wrong",
            "the command does not arrive: control side",
            "stop the engine, do not run it again before the drive is right; coil, plugs, driver",
        ),
        Meaning(
            "pressure high, less is not asked for",
            "the control does not see it: sensor or target",
            "rail sensor, its supply, its ground or reference; target and mode",
        ),
        Meaning(
            "pressure high, less is asked for, current as expected",
            "if it is really there: inlet valve does not close, outlet valve does not open, or return blocked",
            "rail sensor, its ground or reference, first; then valve and return",
        ),
        Meaning(
            "on target, but more is asked for than usual",
            "something is being made up for: less in reserve",
            "supply, returns, hold, before it fails",
        ),
        Meaning(
            "duty fits 100 % minus the command", "the meter counts the other part of the period", "confirm by oscilloscope"
        ),
    ),
    charts=charts,
)
def regulator(
    where: Annotated[
        str,
        Choice(
            "where pressure is controlled",
            words={
                "inlet": "what the pump takes in",
                "outlet": "what escapes from pump or rail",
                "both": "both are fitted",
            },
        ),
    ],
    inlet_at_rest: Annotated[str, Choice("the inlet valve's state at rest", words=REST_WORDS)] = "open",
    outlet_at_rest: Annotated[str, Choice("the outlet valve's state at rest", words=REST_WORDS)] = "open",
    switched: Annotated[
        str,
        Choice(
            "which side of the coil is switched",
            words={"ground": "to ground: on is low", "supply": "to supply: on is high"},
        ),
    ] = "ground",
    meter_counts: Annotated[
        str,
        Choice(
            "which part of the period the duty meter shows",
            words={"low": "the low time", "high": "the high time", "unknown": "not known: it is worked out if possible"},
        ),
    ] = "unknown",
    pressure: Annotated[
        Reading | None, gauge_pressure("rail pressure", at_least="-1 bar", at_most="4000 bar", usual="298 bar")
    ] = None,
    target: Annotated[
        Reading | None, gauge_pressure("target of the rail pressure", at_least="0 bar", at_most="4000 bar", usual="300 bar")
    ] = None,
    inlet_duty: Annotated[Reading | None, _duty("duty read on the inlet valve's switched wire")] = None,
    inlet_usual_duty: Annotated[
        SpecRange | None,
        spec_range("ratio", "share of time on that is usual for the inlet valve here", at_least="0 %", usual="20 to 40 %"),
    ] = None,
    inlet_commanded_duty: Annotated[Reading | None, _duty("share of time on that live data ask of the inlet valve")] = None,
    inlet_current: Annotated[Reading | None, _current("mean current measured at the inlet valve")] = None,
    inlet_expected_current: Annotated[Reading | None, _current("mean current that the present duty should give it")] = None,
    inlet_wire_voltage: Annotated[
        Reading | None,
        voltage("mean voltage on the inlet valve's switched wire", at_least="-2 V", at_most="60 V", usual="9.8 V"),
    ] = None,
    outlet_duty: Annotated[Reading | None, _duty("duty read on the outlet valve's switched wire")] = None,
    outlet_usual_duty: Annotated[
        SpecRange | None,
        spec_range("ratio", "share of time on that is usual for the outlet valve here", at_least="0 %", usual="20 to 40 %"),
    ] = None,
    outlet_commanded_duty: Annotated[Reading | None, _duty("share of time on that live data ask of the outlet valve")] = None,
    outlet_current: Annotated[Reading | None, _current("mean current measured at the outlet valve")] = None,
    outlet_expected_current: Annotated[Reading | None, _current("mean current that the present duty should give it")] = None,
    outlet_wire_voltage: Annotated[
        Reading | None,
        voltage("mean voltage on the outlet valve's switched wire", at_least="-2 V", at_most="60 V", usual="9.8 V"),
    ] = None,
    supply: Annotated[
        Reading | None, voltage("supply voltage at the coils", symbol="U", above="0 V", at_most="60 V", usual="14 V")
    ] = None,
    pressure_tolerance: Annotated[
        Reading,
        ratio("how far from target counts as on target, in % of it", exact=True, at_least="0 %", at_most="50 %", usual="5 %"),
    ] = "5 %",  # type: ignore[assignment]  # defaults are texts, read like the user's
    current_tolerance: Annotated[
        Reading,
        ratio("how far from expected counts as expected, in % of it", exact=True, at_least="0 %", at_most="50 %", usual="10 %"),
    ] = "10 %",  # type: ignore[assignment]
    sensor_checked: Annotated[
        bool, Flag("the rail sensor, its supply, ground or reference and its signal were looked at and are right")
    ] = False,
    bleed: Annotated[bool, Flag("the control also lowers pressure by bleeding through the injectors")] = False,
) -> Result:
    """Tell from duty, current and pressure which way the control pulls, and which side the readings point at.

    The usual valves are driven in by current. That restricts an inlet, so pressure falls, and closes an escape, so pressure
    rises.
    """
    reads = {
        Place.INLET: Read(
            inlet_duty, inlet_usual_duty, inlet_commanded_duty, inlet_current, inlet_expected_current, inlet_wire_voltage
        ),
        Place.OUTLET: Read(
            outlet_duty, outlet_usual_duty, outlet_commanded_duty, outlet_current, outlet_expected_current, outlet_wire_voltage
        ),
    }
    places = [place for place in Place if where in (place, "both")]
    check_given(reads, places, pressure, target, supply)
    rests = {Place.INLET: Rest(inlet_at_rest), Place.OUTLET: Rest(outlet_at_rest)}
    side = Switched(switched)
    fitted = [
        Fitted.of(Valve(place, rests[place]), side, Counts(meter_counts), reads[place], supply, current_tolerance)
        for place in places
    ]
    outputs: dict[str, Estimate | str] = {}
    said = [each.words() for each in fitted if each.drive and not each.puzzling]
    said += [USUAL_KIND, *([BLEED] if bleed else [])]
    findings = [finding for each in fitted for finding in own_findings(each)]
    if pressure and target:
        seen = picture(fitted, pressure, target, pressure_tolerance, bleed, sensor_checked)
        pointer = point(seen)
        outputs |= {"pressure_state": seen.pressure.value, "points_at": pointer.points_at}
        if not seen.under_control:  # nothing before the stop, and nothing else that is to be run
            findings = [*pointed(pointer, seen), *(replace(finding, next_test="") for finding in findings)]
        else:
            findings += pointed(pointer, seen)
        said.append(TOLERANCE.format(pressure=pressure_tolerance, current=current_tolerance))
    for each in fitted:
        outputs |= valve_outputs(each, side, supply)
    outputs |= {"wire_at_rest": wire_at_rest(side), "loss_of_all_current": loss_of_all_current([each.valve for each in fitted])}
    return Result(outputs, findings=tuple(findings), notes=tuple(said), steps=voltage_steps(fitted, outputs, side, supply))
