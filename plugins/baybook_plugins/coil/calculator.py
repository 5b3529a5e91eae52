"""Solenoid coils: resistance at the spec's temperature, and the current that supply and duty should give."""

from __future__ import annotations

from typing import Annotated

from baybook.api import (
    CONTROL_LOSS,
    HIGH_VOLTAGE,
    MAKERS_DATA,
    STARTING,
    Calculator,
    Choice,
    Count,
    Estimate,
    Example,
    Flag,
    InputError,
    Meaning,
    Output,
    Problem,
    Reading,
    Result,
    SpecRange,
    Verdict,
    calculator,
    current,
    frequency,
    hookimpl,
    inductance,
    judge,
    propagate,
    ratio,
    resistance,
    spec_range,
    temperature,
    voltage,
)

from .cards import baybook_cards as baybook_cards
from .chart import charts
from .driven import Drive, add, current_part
from .findings import placed, resistance_finding, state_finding, trap
from .model import COPPER_ZERO, resistances, state
from .working import check_given, notes, resistance_steps, with_meter

RESISTANCES = {"resistance": "ohm", "resistance_at_spec_temperature": "ohm"}


@calculator(
    title="Coil resistance and current",
    stage="any",
    side="control",
    proves="Whether the winding has the resistance it should, and whether the current is what supply, coil and duty give. "
    "Not its insulation, not the moving part, and a good coil is no proof of a good drive.",
    outputs={
        "resistance_at_spec_temperature": Output(
            "resistance", "the coil alone, at the temperature of the spec", "R_s", always=False
        ),
        "resistance": Output("resistance", "the coil alone, as it is now", "R", always=False),
        "full_current": Output("current", "with the supply held on: U / R", "I_full", always=False),
        "mean_current": Output("current", "expected at the duty, with a freewheel diode", "I", always=False),
        "lowest_current": Output("current", "lowest of a period", "I_low", always=False),
        "highest_current": Output("current", "highest of a period", "I_high", always=False),
        "current_difference": Output("current", "measured less expected", "d", always=False),
        "state": Output("word", "open, short, unresolved or readable"),
    },
    cautions=(HIGH_VOLTAGE, CONTROL_LOSS, STARTING, MAKERS_DATA),
    sources=(
        f"Copper over temperature: R2/R1 = ({COPPER_ZERO} + t2)/({COPPER_ZERO} + t1), copper handbooks; the same "
        "as 0.00393 per K at 20 °C, IEC 60028:1925.",
        "A meter's accuracy as a rectangular distribution: JCGM 100:2008, 4.3.7.",
        "Mean current with a freewheel diode: the inductance takes up no net voltage over a steady period (circuit theory).",
        "Over-range as open and a tenth of the lower limit as short: common practice, no source.",
    ),
    examples=(
        Example(
            inputs={"reading": "0.480 ± 0 ohm", "leads": "0 ± 0 ohm", "temperature": "60 ± 0 °C"},
            outputs={"resistance_at_spec_temperature": (0.414804, "ohm", 2e-6)},
            source="Copper handbooks' rule, plain arithmetic: 0.480 × (234.5 + 20)/(234.5 + 60)",
        ),
        Example(
            inputs={
                "reading": "3 ± 0 ohm",
                "leads": "0 ± 0 ohm",
                "temperature": "20 ± 0 °C",
                "supply": "13.5 ± 0 V",
                "duty": "25 ± 0 %",
                "diode": "0.7 ± 0 V",
            },
            outputs={"mean_current": (0.950, "A", 1e-9), "full_current": (4.5, "A", 1e-9)},
            source="Circuit theory, plain arithmetic: (0.25 × 13.5 − 0.75 × 0.7)/3",
            card=False,
        ),
    ),
    needs=(
        "a multimeter and its accuracy from its data sheet",
        "a thermometer",
        "a current clamp for the current",
        "the range from the maker's data",
    ),
    procedure=(
        "Key off, and wait as long as the vehicle's data say before a plug is opened: "
        "an injector's driver stores dangerous voltage.",
        "Touch the lead tips together: note what the leads alone read, or zero the meter so.",
        "Measure at the coil's own pins, plug off, tips firm on clean metal; note over-range as it is.",
        "Note the coil's temperature: touch-free, or the fuel's or engine's after standing.",
        "Measure from each pin to the housing: it should show over-range.",
        "For the current: key off, plug connected, fit the clamp and zero it; then run the condition and read mean and peak.",
    ),
    formulas=(
        "R = reading − leads",
        "R_s = R · (234.5 + t_s) / (234.5 + t)",
        "I_full = U / R",
        "I = (D · U − (1 − D) · U_f) / R",
    ),
    meanings=(
        Meaning(
            "over-range",
            "open winding, pin or measuring lead",
            "prove the leads tip to tip, then measure at the coil's own pins",
        ),
        Meaning("near zero", "bridged winding or plug, or touching tips", "measure again at the pins, then pin to housing"),
        Meaning(
            "too high",
            "corroded contact, breaking strand, another part, or hotter than taken",
            "clean contacts, measure again cold",
        ),
        Meaning(
            "too low",
            "shorted turns, another part, or leads taken off twice",
            "compare with a like coil at the same temperature",
        ),
        Meaning(
            "resistance right, current low",
            "resistance in wiring or driver, or low supply",
            "voltage drop along both wires, loaded",
        ),
        Meaning(
            "resistance and current right",
            "the control side does its part at this coil",
            "the moving part and the hydraulic side",
        ),
    ),
    charts=charts,
)
def coil(
    reading: Annotated[
        Reading | None, resistance("what the meter shows across the coil", at_least="0 ohm", usual="3.1 ohm")
    ] = None,
    leads: Annotated[
        Reading | None, resistance("what the meter shows with the lead tips together", at_least="0 ohm", usual="0.2 ohm")
    ] = None,
    temperature: Annotated[
        Reading | None,
        temperature(
            "temperature of the coil when it was measured",
            symbol="t",
            at_least="-50 °C",
            at_most="200 °C",
            usual="40 ± 8 °C",
        ),
    ] = None,
    limit: Annotated[
        SpecRange | None, spec_range("resistance", "range of the coil's resistance", at_least="0 ohm")
    ] = None,
    spec_temperature: Annotated[
        Reading,
        temperature(
            "temperature that the range is given for",
            symbol="t_s",
            exact=True,
            at_least="-50 °C",
            at_most="200 °C",
            usual="20 °C",
        ),
    ] = "20 °C",  # type: ignore[assignment]  # defaults are texts, read like the user's
    over_range: Annotated[bool, Flag("the meter shows over-range")] = False,
    meter_accuracy: Annotated[
        Reading | None,
        ratio("the meter's accuracy, in % of the reading", exact=True, at_least="0 %", below="50 %", usual="1 %"),
    ] = None,
    meter_digits: Annotated[int, Count("digits that the meter's accuracy adds", at_least=0, at_most=100)] = 0,
    meter_resolution: Annotated[
        Reading | None,
        resistance("one digit of the meter in this range", exact=True, above="0 ohm", usual="0.1 ohm"),
    ] = None,
    supply: Annotated[
        Reading | None,
        voltage("supply voltage at the coil while it is driven", symbol="U", above="0 V", at_most="200 V", usual="13.8 V"),
    ] = None,
    circuit: Annotated[
        Reading,
        resistance("resistance of wiring, driver and shunt in series", exact=True, at_least="0 ohm", usual="0.1 ohm"),
    ] = "0 ohm",  # type: ignore[assignment]
    duty: Annotated[
        Reading,
        ratio(
            "share of the time the coil is switched on",
            symbol="D",
            exact=True,
            above="0 %",
            at_most="100 %",
            usual="25 %",
        ),
    ] = "100 %",  # type: ignore[assignment]
    diode: Annotated[
        Reading, voltage("drop of the freewheel diode", symbol="U_f", usual="0.7 V", at_least="0 V", at_most="5 V")
    ] = "0.7 ± 0.2 V",  # type: ignore[assignment]
    coil_inductance: Annotated[Reading | None, inductance("inductance of the coil", above="0 mH", usual="10 mH")] = None,
    frequency: Annotated[
        Reading | None,
        frequency("frequency of the pulses", exact=True, above="0 Hz", at_most="100 kHz", usual="200 Hz"),
    ] = None,
    measured_current: Annotated[
        Reading | None, current("mean current measured at that duty", at_least="0 A", usual="1.2 A")
    ] = None,
    current_limit: Annotated[SpecRange | None, spec_range("current", "range of the mean current", at_least="0 A")] = None,
    part: Annotated[
        str | None,
        Choice(
            "whose coil it is, to place the finding",
            words={
                "injector": "an injector's",
                "inlet-valve": "the inlet pressure-control valve's",
                "outlet-valve": "the outlet pressure-control valve's",
                "supply-valve": "a valve on the supply side",
            },
        ),
    ] = None,
) -> Result:
    """Work out a coil's resistance at the spec's temperature and the current it should carry.

    Copper's resistance rises by 0.393 % per kelvin from 20 °C, so a warm coil reads high; leads add to a coil of a few ohm.
    """
    check_given(reading, over_range, temperature, meter_digits, meter_resolution, supply, measured_current, current_limit)
    if reading is None or temperature is None:
        verdicts = (
            (Verdict("resistance_at_spec_temperature", "outside", 0.0, limit),) if limit and limit.high is not None else ()
        )
        return placed(Result(outputs={"state": "open"}, verdicts=verdicts, findings=(state_finding(part, "open"),)), part)
    meter = (meter_accuracy, meter_digits, meter_resolution)
    read, lead = with_meter(reading, *meter), with_meter(leads, *meter) if leads else Estimate.of(0.0, "ohm")
    found = propagate(
        resistances,
        RESISTANCES,
        reading=read,
        leads=lead,
        temperature=temperature.to("°C"),
        spec_temperature=spec_temperature.to("°C"),
    )
    ohm = limit.to("ohm") if limit else None
    looks = state(found["resistance"].value, found["resistance"].u, ohm.low if ohm else None, ohm.high if ohm else None)
    if looks == "impossible":
        why = f"is more than the coil and its leads together read ({reading})"
        raise InputError([Problem("leads", str(leads), why, "measure both again, tips together first")])
    verdict = judge("resistance_at_spec_temperature", found["resistance_at_spec_temperature"], limit) if limit else None
    finding = (
        resistance_finding(part, found["resistance_at_spec_temperature"], verdict)
        if looks == "readable"
        else state_finding(part, looks)
    )
    resistance_only = Result(
        outputs={**found, "state": looks},
        verdicts=(verdict,) if verdict else (),
        findings=(finding,),
        notes=notes(
            reading,
            leads,
            meter_accuracy or meter_resolution,
            trap(read.value, limit, verdict) if looks == "readable" else "",
        ),
        steps=resistance_steps(found, read, lead, temperature, spec_temperature),
    )
    if supply is None or looks != "readable":
        return placed(resistance_only, part)
    drive = Drive(read, lead, circuit, supply, duty, diode)
    current = current_part(drive, coil_inductance, frequency, measured_current, current_limit, part)
    return placed(add(resistance_only, current), part)


@hookimpl
def baybook_calculators() -> list[Calculator]:
    """Offer the calculator."""
    return [coil]
