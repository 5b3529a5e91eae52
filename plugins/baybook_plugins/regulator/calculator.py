"""Pressure control by inlet valve, outlet valve or both: what the readings say, and which side they point at."""

from __future__ import annotations

from typing import Annotated

from baybook.api import (
    CONTROL_LOSS,
    HIGH_PRESSURE,
    HIGH_VOLTAGE,
    MAKERS_DATA,
    STARTING,
    Calculator,
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
    hookimpl,
    ratio,
    spec_range,
    voltage,
)

from .cards import baybook_cards as baybook_cards
from .chart import charts
from .duty import Counts
from .fitted import Fitted
from .fitted import findings as own_findings
from .model import Place, Rest, Switched, Valve, loss_of_all_current
from .pointing import point, pressure_state, together_asks, together_current
from .wording import (
    BLEED,
    TOLERANCE,
    USUAL_KIND,
    wire_at_rest,
)
from .working import check_given, pointed, valve_outputs, voltage_steps

REST_WORDS = {"open": "stands open without current, the usual kind", "closed": "stands closed without current"}


def _duty(help: str) -> Quantity:
    return ratio(help, at_least="0 %", at_most="100 %", usual="30 %")


def _current(help: str) -> Quantity:
    return current(help, at_least="0 A", at_most="50 A", usual="1.2 A")


def _each(name: str, output: Output) -> dict[str, Output]:
    return {f"{place}_{name}": output for place in Place}


@calculator(
    title="Pressure control: inlet, outlet or both",
    stage="generation",
    side="any",
    proves="Whether the control asks for the right correction and whether its coil gets the current for it: with both, a wrong "
    "pressure is hydraulic; without, it is control. Not which hydraulic part it is.",
    outputs={
        **_each("effect", Output("word", "what more current does", always=False)),
        **_each("full_pressure", Output("word", "what full pressure needs of the valve", always=False)),
        **_each("wire_at_full_pressure", Output("word", "what the switched wire shows then", always=False)),
        **_each("loss_of_current", Output("word", "what the loss of its current alone does", always=False)),
        **_each("drive", Output("ratio", "share of time the coil is switched on", "D", always=False)),
        **_each("mean_voltage", Output("voltage", "mean on the switched wire at that drive", "U_w", always=False)),
        **_each("asks", Output("word", "what its drive asks for", always=False)),
        **_each("current_state", Output("word", "its current against the expected one", always=False)),
        "wire_at_rest": Output("word", "what the switched wire shows with the coil not driven"),
        "loss_of_all_current": Output("word", "what the loss of current at every valve does"),
        "pressure_state": Output("word", "pressure against its target", always=False),
        "points_at": Output("word", "the side that the readings point at", always=False),
    },
    cautions=(HIGH_PRESSURE, CONTROL_LOSS, HIGH_VOLTAGE, STARTING, MAKERS_DATA),
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
        "pressure and target from live data, and an independent gauge or sensor voltage",
        "a multimeter with duty, or better an oscilloscope, on leads fitted with the key off",
        "a current clamp; the usual duty and current for this running condition, from the maker's data",
    ),
    procedure=(
        "Key off: fit clamp and leads where it is meant to be done, clear of belts, fans and hot parts. Plugs stay connected.",
        "Find out from the maker's data: inlet, outlet or both; the state at rest; which side is switched; "
        "whether injectors bleed pressure.",
        "Run in a steady condition. Read pressure, target, duty and current at the same moment; note which part of the "
        "period the duty meter counts.",
        "Compare the duty with what is usual in this condition, the current with what the duty should give (calculator coil).",
        "Read again in the condition in which the complaint shows. "
        "Never take a pressure control's plug off while the engine runs.",
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
            "the control does its part: hydraulic side",
            "supply pressure under load, returns, outlet valve's own return, hold",
        ),
        Meaning(
            "pressure low, more is asked for, current wrong",
            "the command does not arrive: control side",
            "coil, voltage drop along the wiring, drive by oscilloscope",
        ),
        Meaning(
            "pressure low, more is not asked for",
            "the control does not see it: control side",
            "rail sensor against a gauge, sensor supply and ground, target and mode",
        ),
        Meaning(
            "pressure high, less is asked for, current as expected",
            "a valve stuck or leaking, or a return that is not free",
            "inlet valve's tightness, back pressure in the return",
        ),
        Meaning(
            "on target, but more is asked for than usual",
            "something is being made up for: less in reserve",
            "supply, returns, hold, before it fails",
        ),
        Meaning("duty fits 100 % less the command", "the meter counts the other part of the period", "confirm by oscilloscope"),
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
        Reading | None, gauge_pressure("rail pressure", at_least="-1 bar", at_most="4000 bar", usual="280 bar")
    ] = None,
    target: Annotated[
        Reading | None, gauge_pressure("target of the rail pressure", at_least="0 bar", at_most="4000 bar", usual="350 bar")
    ] = None,
    inlet_duty: Annotated[Reading | None, _duty("duty read on the inlet valve's switched wire")] = None,
    inlet_usual_duty: Annotated[
        SpecRange | None, spec_range("ratio", "share of time on that is usual for the inlet valve here", at_least="0 %")
    ] = None,
    inlet_commanded_duty: Annotated[Reading | None, _duty("share of time on that live data ask of the inlet valve")] = None,
    inlet_current: Annotated[Reading | None, _current("mean current measured at the inlet valve")] = None,
    inlet_expected_current: Annotated[Reading | None, _current("mean current that the present duty should give it")] = None,
    inlet_wire_voltage: Annotated[
        Reading | None, voltage("mean voltage on the inlet valve's switched wire", at_least="-2 V", at_most="60 V")
    ] = None,
    outlet_duty: Annotated[Reading | None, _duty("duty read on the outlet valve's switched wire")] = None,
    outlet_usual_duty: Annotated[
        SpecRange | None, spec_range("ratio", "share of time on that is usual for the outlet valve here", at_least="0 %")
    ] = None,
    outlet_commanded_duty: Annotated[Reading | None, _duty("share of time on that live data ask of the outlet valve")] = None,
    outlet_current: Annotated[Reading | None, _current("mean current measured at the outlet valve")] = None,
    outlet_expected_current: Annotated[Reading | None, _current("mean current that the present duty should give it")] = None,
    outlet_wire_voltage: Annotated[
        Reading | None, voltage("mean voltage on the outlet valve's switched wire", at_least="-2 V", at_most="60 V")
    ] = None,
    supply: Annotated[
        Reading | None, voltage("supply voltage at the coils", symbol="U", above="0 V", at_most="60 V", usual="14 V")
    ] = None,
    pressure_tolerance: Annotated[
        Reading,
        ratio("how far from target counts as on target, in % of it", exact=True, at_least="0 %", at_most="50 %"),
    ] = "5 %",  # type: ignore[assignment]  # defaults are texts, read like the user's
    current_tolerance: Annotated[
        Reading,
        ratio("how far from expected counts as expected, in % of it", exact=True, at_least="0 %", at_most="50 %"),
    ] = "10 %",  # type: ignore[assignment]
    bleed: Annotated[bool, Flag("the control also lowers pressure by bleeding through the injectors")] = False,
) -> Result:
    """Tell from duty, current and pressure which way the control pulls, and which side the readings point at.

    The usual valves are driven in by current. That restricts an inlet, so pressure falls, and closes an escape, so pressure
    rises.
    """
    given = {
        name: value for name, value in locals().items() if name.startswith(("inlet_", "outlet_")) and "at_rest" not in name
    }
    places = [place for place in Place if where in (place, "both")]
    check_given(given, places, pressure, target, supply)
    rests = {Place.INLET: Rest(inlet_at_rest), Place.OUTLET: Rest(outlet_at_rest)}
    side = Switched(switched)
    fitted = [
        Fitted.of(Valve(place, rests[place]), side, Counts(meter_counts), given, supply, current_tolerance.number("1"))
        for place in places
    ]
    valves = [each.valve for each in fitted]
    outputs: dict[str, Estimate | str] = {}
    for each in fitted:
        outputs |= valve_outputs(each, side, supply)
    outputs |= {"wire_at_rest": wire_at_rest(side), "loss_of_all_current": loss_of_all_current(valves)}
    said = [each.words() for each in fitted if each.drive and not each.puzzling]
    said += [USUAL_KIND, *([BLEED] if bleed else [])]
    findings = [finding for each in fitted for finding in own_findings(each)]
    if pressure and target:
        state = pressure_state(
            pressure.number("bar"),
            pressure.to("bar").u,
            target.number("bar"),
            pressure_tolerance.number("1") * target.number("bar"),
        )
        asked = together_asks([each.asks for each in fitted])
        pointer = point(valves, state, asked, together_current([each.current for each in fitted], state), bleed)
        outputs |= {"pressure_state": state.value, "points_at": pointer.side or "neither yet"}
        findings += pointed(pointer, state, asked)
        said.append(TOLERANCE.format(pressure=pressure_tolerance, current=current_tolerance))
    return Result(outputs, findings=tuple(findings), notes=tuple(said), steps=voltage_steps(fitted, outputs, side, supply))


@hookimpl
def baybook_calculators() -> list[Calculator]:
    """Offer the calculator."""
    return [regulator]
