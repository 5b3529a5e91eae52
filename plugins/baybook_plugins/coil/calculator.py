"""Solenoid coils: resistance at the spec's temperature, and the current that supply and duty should give."""

from __future__ import annotations

from typing import Annotated

from baybook import inputs
from baybook.api import (
    CONTROL_LOSS,
    HIGH_PRESSURE,
    HIGH_VOLTAGE,
    MAKERS_DATA,
    RUNNING_ENGINE,
    Answer,
    Count,
    Example,
    Flag,
    Meaning,
    Output,
    Placing,
    Question,
    Reading,
    Result,
    Rule,
    Sense,
    SpecRange,
    Verdict,
    at_parts,
    calculator,
    current,
    inductance,
    judge,
    resistance,
    spec_range,
)
from baybook_physics.coil import COPPER_ZERO

from .chart import charts
from .driven import Drive, by_current
from .findings import not_cleared, resistance_finding, state_finding
from .meter import Meter, Winding, of_coil
from .notes import LOOSELY, notes, one_reading, resistance_steps
from .procedure import PROCEDURE

AT_SPEC, FIRST_LOOK = "resistance_at_spec_temperature", "with two wires below 1 ohm"
SENSE = Sense(
    {
        AT_SPEC: Question({"{object} coil": 0.92}, false_alarm=0.002, direct=("{object} coil",)),
        FIRST_LOOK: Question({"{object} coil": 0.92}, false_alarm=0.1, sought=False),
    },
    10.0,
    objects=at_parts("injector *", "inlet valve", "outlet valve"), turning=False,
)  # fmt: skip
"""The reach is common practice, no source. On a coil below 1 ohm two wires are a first look: their contacts vary as much."""


@calculator(
    title="Coil resistance and current",
    stage="any",
    side="control",
    proves="Whether the winding has the resistance it should, and whether the current is what supply, coil and duty give. "
    "Not its insulation, not the moving part, and a good coil is no proof of good wiring or a good driver.",
    outputs={
        AT_SPEC: Output(
            "resistance",
            "the coil alone, at the temperature of the spec",
            "R_s",
            always=False,
            at_least=0.0,
            label="resistance at the spec's temperature",
        ),
        "resistance": Output(
            "resistance", "the coil alone, as it is now", "R", always=False, at_least=0.0, label="resistance as it is now"
        ),
        "full_current": Output("current", "with the supply held on: U / R", "I_full", always=False, at_least=0.0),
        "mean_current": Output("current", "expected at the duty, with a freewheel diode", "I", always=False, at_least=0.0),
        "lowest_current": Output("current", "lowest of a period", "I_low", always=False, at_least=0.0),
        "highest_current": Output("current", "highest of a period", "I_high", always=False, at_least=0.0),
        "current_difference": Output("current", "measured less expected", "d", always=False),
        "circuit_resistance": Output(
            "resistance", "coil and circuit together, from the mean current alone", "R_c", always=False, at_least=0.0
        ),
        "state": Output("word", "open, short, unresolved, readable or not measured"),
    },
    cautions=(HIGH_PRESSURE, HIGH_VOLTAGE, CONTROL_LOSS, RUNNING_ENGINE, MAKERS_DATA),
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
                "current_limit": "<= 5 A",
            },
            outputs={"mean_current": (0.950, "A", 1e-9), "full_current": (4.5, "A", 1e-9)},
            source="Circuit theory, plain arithmetic: (0.25 × 13.5 − 0.75 × 0.7)/3",
            card=False,
        ),
    ),
    procedure=PROCEDURE,
    formulas=(
        "R = reading − leads",
        "R_s = R · (234.5 + t_s) / (234.5 + t)",
        "I_full = U / R_c",
        "I = (D · U − (1 − D) · U_f) / R_c",
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
            "resistance right, current not measured",
            "this coil is right; wiring and driver are untested",
            "pin to housing; then the current with a clamp round one wire",
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
    placing=Placing("part", what="coil", number="number"),
    rules=(
        one_reading,
        Rule("reading", ("temperature",)),
        Rule("meter_digits", ("meter_resolution",)),
        Rule("measured_current", ("supply",)),
        Rule("current_limit", ("supply",)),
        Rule("number", ("part",)),
    ),
    sense=SENSE,
)
def coil(
    reading: Annotated[
        Reading | None,
        resistance(
            "what the meter shows across the coil",
            at_least="0 ohm",
            usual="3.1 ohm",
            usual_range=("0.05 ohm", "200 ohm"),
            overload="over_range",
            unnamed=True,
        ),
    ],
    leads: Annotated[
        Reading | None,
        resistance(
            "what the meter shows with the lead tips together",
            at_least="0 ohm",
            usual="0.2 ohm",
            usual_range=("0 ohm", "5 ohm"),
            group="usual",
        ),
    ],
    temperature: Annotated[
        Reading | None,
        inputs.COIL_TEMPERATURE.but(help="temperature of the coil when it was measured", usual="40 ± 8 °C", unnamed=True),
    ],
    limit: Annotated[
        SpecRange | None,
        spec_range("resistance", "range of the coil's resistance", judges=AT_SPEC, at_least="0 ohm", usual="2.2 to 3.2 ohm"),
    ],
    spec_temperature: Annotated[
        Reading,
        inputs.COIL_TEMPERATURE.but(
            help="temperature that the range is given for",
            symbol="t_s",
            exact=True,
            usual="20 °C",
            default="20 °C",
            of_vehicle=True,
        ),
    ],
    over_range: Annotated[bool, Flag("the meter shows over-range")],
    meter_accuracy: Annotated[Reading | None, inputs.METER_ACCURACY.but(usual="1 %")],
    meter_digits: Annotated[int, Count("digits that the meter's accuracy adds", at_least=0, at_most=100, default=0)],
    meter_resolution: Annotated[
        Reading | None, resistance("one digit of the meter in this range", exact=True, above="0 ohm", usual="0.1 ohm")
    ],
    supply: Annotated[Reading | None, inputs.COIL_SUPPLY],
    circuit: Annotated[
        Reading,
        resistance(
            "resistance of wiring, driver and shunt in series", exact=True, at_least="0 ohm", usual="0.1 ohm", default="0 ohm"
        ),
    ],
    duty: Annotated[Reading, inputs.DUTY.but(help="share of the time the coil is switched on", default="100 %")],
    diode: Annotated[Reading, inputs.FREEWHEEL_DROP.but(default="0.7 ± 0.2 V")],
    coil_inductance: Annotated[Reading | None, inductance("inductance of the coil", above="0 mH", usual="10 mH")],
    frequency: Annotated[Reading | None, inputs.PULSE_FREQUENCY.but(exact=True)],
    measured_current: Annotated[Reading | None, current("mean current measured at that duty", at_least="0 A", usual="0.98 A")],
    current_limit: Annotated[
        SpecRange | None, spec_range("current", "range of the mean current", at_least="0 A", usual="0.8 to 1.2 A")
    ],
    part: Annotated[
        str | None, inputs.part("whose coil it is, to place the finding", *inputs.DRIVEN, "supply-valve").but(group="usual")
    ],
    number: Annotated[
        int | None, inputs.INJECTOR_NUMBER.but(help="which one it is, where there are several: 3 for injector 3")
    ],
) -> Result:
    """Work out a coil's resistance at the spec's temperature and the current it should carry.

    Copper's resistance rises by 0.393 % per kelvin from 20 °C, so a warm coil reads high; leads add to a coil of a few ohm.
    """
    if reading is None and not over_range and supply and measured_current:
        return by_current(supply, duty, diode, measured_current, current_limit)
    if reading is None or temperature is None:
        verdicts = (Verdict(AT_SPEC, "outside", 0.0, limit),) if limit and limit.high is not None else ()
        return Result({"state": "open"}, verdicts, (state_finding(part, "open", limit),))
    meter = Meter(meter_accuracy, meter_digits, meter_resolution)
    at = of_coil(temperature)
    winding = Winding.of(meter, reading, leads, at, spec_temperature, limit)
    at_spec, driven = winding.found[AT_SPEC], Result({})
    verdict = judge(AT_SPEC, at_spec, limit) if limit else None
    first_look = winding.is_first_look(verdict.way if verdict else "")
    if winding.state != "readable":
        finding = state_finding(part, winding.state, limit)
    else:
        if supply is not None:
            drive = Drive(winding, circuit, supply, duty, diode, coil_inductance, frequency, measured_current)
            driven = drive.result(current_limit)
        right = bool(driven.findings) and all(finding.strength == "cleared" for finding in driven.findings)
        finding = resistance_finding(at_spec, verdict, driven=right, leads=leads, first_look=first_look)
        if finding.strength == "indicated":
            driven = not_cleared(driven)
    alone = Result(
        outputs={**winding.found, "state": winding.state},
        verdicts=(verdict,) if verdict else (),
        answers=(Answer(AT_SPEC), Answer(FIRST_LOOK, 0.0)) if first_look and verdict and verdict.way else (),
        findings=(finding,),
        notes=(*notes(reading, leads, meter, winding, part, verdict), *([] if at is temperature else [LOOSELY])),
        steps=resistance_steps(winding, at, spec_temperature),
    )
    return alone.with_(driven)
