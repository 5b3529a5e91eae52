"""The current of an injector or valve: how it rises, is held and dies away, or its pulses; and the circuit's resistance."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated, Any

from baybook import fields, inputs
from baybook.api import (
    CONTROL_LOSS,
    HIGH_PRESSURE,
    HIGH_VOLTAGE,
    MAKERS_DATA,
    NONE_FLOWS,
    RUNNING_ENGINE,
    Answer,
    AnyOf,
    Apart,
    Estimate,
    Example,
    Meaning,
    Message,
    Output,
    Placing,
    Problem,
    Reading,
    Result,
    Rule,
    SpecRange,
    Word,
    calculator,
    judge_all,
)

from .currents import EITHER_WAY, inductance_of, resistances
from .findings import DEAD, UNJUDGED, dead, findings, not_driven
from .method import NOT_DRIVEN, PROCEDURE, SENSE
from .polarity import other_way, settled

FORMS = {"pwm": "pulsed in quick succession, as valves are", "pulse": "single pulses with pauses, as injectors are"}


TYPED = ("duty", "mean_current", "frequency", "peak_current", "hold_current", "rise_time")
ONE_WAY: tuple[AnyOf | Apart, ...] = (
    AnyOf(("mean_current", *TYPED, "capture"), "give duty and mean current, a peak, or a capture", "is missing"),
    *(Apart(name, "capture", "is given as well as a capture, which has its own", "leave one of them out") for name in TYPED),
)
"""A capture, or what was read off a meter or an oscilloscope."""


def rises(supply: Reading | None, coil_resistance: Reading | None, rise_current: Reading | None) -> Iterator[Problem]:
    """What the supply can drive through the coil is more than the current that is reached."""
    if supply and coil_resistance and rise_current:
        most = supply.number("V") / coil_resistance.number("ohm")
        if rise_current.number("A") >= most:
            yield Problem("rise_current", rise_current.text, f"is not below the {most:.3g} A of supply and coil", "check them")


def limit_of(kind: str, output: str, usual: str, what: str) -> fields.Limits:
    """The field for the range of an output."""
    return fields.spec_range(kind, what, judges=output, needs="both", usual=usual)


@calculator(
    title="Current of a driven coil",
    stage="any",
    side="control",
    proves="Whether a coil gets the current that it should, and with which resistance in its circuit. Not whether valve or "
    "needle move as they should, and not where in the circuit a resistance lies.",
    cautions=(HIGH_PRESSURE, HIGH_VOLTAGE, CONTROL_LOSS, RUNNING_ENGINE, MAKERS_DATA),
    sources=(
        "Series circuit, U = R i + L di/dt; kink by the voltage of a moving armature: circuit theory.",
        "Mean current with a freewheel diode: no net voltage on the inductance over a steady period (circuit theory).",
        "Copper over temperature: R2/R1 = (234.5 + t2)/(234.5 + t1), copper handbooks, IEC 60028:1925.",
        "Twenty samples a rise or period, a kink at five times the noise: common practice, no source.",
    ),
    outputs={
        "mean_current": Output("current", "over whole periods", "I", always=False, at_least=0.0),
        "duty": Output("ratio", "share of the time it is switched on", "D", always=False, at_least=0.0),
        "frequency": Output("frequency", "of the pulses", "f", always=False, at_least=0.0),
        "lowest_current": Output("current", "of a period", always=False),
        "highest_current": Output("current", "of a period", always=False),
        "circuit_resistance": Output("resistance", "coil and circuit, as warm as they are", "R_c", always=False, at_least=0.0),
        "resistance_at_20": Output("resistance", "the same brought to 20 °C", "R_20", always=False, at_least=0.0),
        "peak_current": Output("current", "highest of a pulse", always=False),
        "hold_current": Output("current", "after the peak, before the end", always=False),
        "inductance": Output("inductance", "apparent, of the rise before the armature moves", "L", always=False, at_least=0.0),
        "resistance": Output("resistance", "apparent, of the same", "R", always=False, at_least=0.0),
        "time_constant": Output(
            "time", "of the same, where the supply is not known", "τ", unit="ms", always=False, at_least=0.0
        ),
        "armature_starts": Output("time", "from the first current", unit="ms", always=False, at_least=0.0),
        "armature_stops": Output("time", "from the first current", unit="ms", always=False, at_least=0.0),
        "pulse_length": Output("time", "until the current dies away", unit="ms", always=False, at_least=0.0),
        "decay_time": Output("time", "from there to a tenth", unit="ms", always=False, at_least=0.0),
    },
    formulas=(
        "R_c = (D · U - (1 - D) · U_f) / I",
        "R_20 = R_c · (234.5 + 20) / (234.5 + t)",
        "t = (L / U) · i + (R / U) · ∫ i dt + t_0",
        "L = R · t_r / ln(U / (U - R · i_r))",
    ),
    examples=(
        Example(
            inputs={
                "part": "inlet-valve",
                "duty": "25 ± 0 %",
                "mean_current": "0.950 ± 0 A",
                "supply": "13.5 ± 0 V",
                "diode": "0.7 ± 0 V",
                "temperature": "60 ± 0 °C",
            },
            outputs={
                "circuit_resistance": (3.0, "ohm", 1e-9),
                "resistance_at_20": (2.592530, "ohm", 1e-6),
                "mean_current": (0.950, "A", 1e-9),
                "duty": (25.0, "%", 1e-9),
            },
            source="Circuit theory, plain arithmetic: (0.25 · 13.5 - 0.75 · 0.7)/0.950 = 3; copper handbooks' rule: "
            "3 · (234.5 + 20)/(234.5 + 60)",
        ),
        Example(
            inputs={
                "part": "injector",
                "form": "pulse",
                "rise_time": "359.20 ± 0 µs",
                "rise_current": "18 ± 0 A",
                "supply": "13.5 ± 0 V",
                "coil_resistance": "0.35 ± 0 ohm",
                "peak_current": "18 ± 0 A",
                "hold_current": "11 ± 0 A",
                "frequency": "1000 ± 0 Hz",
            },
            outputs={
                "inductance": (0.2, "mH", 1e-4),
                "peak_current": (18.0, "A", 1e-9),
                "hold_current": (11.0, "A", 1e-9),
                "frequency": (1000.0, "Hz", 1e-9),
            },
            source="Time to a current, t = -(L/R) ln(1 - R I/U), 0.20 mH and 0.35 ohm to 18 A from 13.5 V: 359.20 µs, plain "
            "arithmetic",
            card=False,
        ),
    ),
    procedure=PROCEDURE,
    sense=SENSE,
    meanings=(
        Meaning("resistance too high", "contact, strand, driver or coil", "the coil at its own pins (calculator coil)"),
        Meaning(
            "resistance too low", "shorted turns, another part, or colder than typed", "a like coil at the same temperature"
        ),
        Meaning("peak or hold off", "driver, boost, or resistance in the circuit", "the same at a like part"),
        Meaning("no kink", "an armature that does not move, or a log that is too coarse", "a like part, logged finer"),
        Meaning("all within", "the circuit does its part; whether anything moves is open", "the hydraulic side of the part"),
    ),
    placing=Placing("part", number="number"),
    rules=(*ONE_WAY, rises, Rule("rise_time", ("rise_current", "supply", "coil_resistance"))),
)
def drive(
    part: Annotated[str, inputs.part("what is driven, to place the finding", *inputs.DRIVEN)],
    number: Annotated[int | None, inputs.INJECTOR_NUMBER.but(help="which injector it is")],
    form: Annotated[str, fields.Choice("how it is driven", words=FORMS, default="pwm")],
    capture: Annotated[
        Any | None,
        inputs.capture(
            "the logged current, or duty and current of live data", also=("i_coil", "d_mv", "i_mv", "d_pcv", "i_pcv")
        ),
    ],
    duty: Annotated[Reading | None, inputs.DUTY],
    duty_seen: Annotated[bool, fields.Flag("the duty was seen by oscilloscope or in live data, as the time it is switched on")],
    mean_current: Annotated[
        Reading | None, fields.current("mean current at that duty", symbol="I", at_least="0 A", at_most="100 A", usual="0.95 A")
    ],
    frequency: Annotated[Reading | None, inputs.PULSE_FREQUENCY.but(help="of the pulses, read off", symbol="f")],
    peak_current: Annotated[
        Reading | None, fields.current("highest of a pulse, read off", at_least="0 A", at_most="200 A", usual="18 A")
    ],
    hold_current: Annotated[
        Reading | None, fields.current("while held, read off", at_least="0 A", at_most="200 A", usual="11 A")
    ],
    rise_time: Annotated[
        Reading | None,
        fields.duration("from the first current to a current before the kink", symbol="t_r", above="0 s", usual="0.2 ms"),
    ],
    rise_current: Annotated[
        Reading | None, fields.current("that current", symbol="i_r", above="0 A", at_most="200 A", usual="9 A")
    ],
    coil_resistance: Annotated[
        Reading | None, fields.resistance("coil and circuit, for the inductance", symbol="R", above="0 ohm", usual="0.35 ohm")
    ],
    supply: Annotated[
        Reading | None,
        inputs.COIL_SUPPLY.but(help="supply at the coil; for an injector the voltage that lifts it", at_most="250 V"),
    ],
    diode: Annotated[
        Reading | None,
        inputs.FREEWHEEL_DROP.but(help="drop where the current flows on, if known: 0.7 V a diode, near 0 V a switch"),
    ],
    temperature: Annotated[Reading | None, inputs.COIL_TEMPERATURE.but(usual="60 ± 10 °C")],
    resistance_limit: Annotated[
        SpecRange | None, limit_of("resistance", "resistance_at_20", "2.9 to 3.5 ohm", "range of the resistance at 20 °C")
    ],
    current_limit: Annotated[
        SpecRange | None, limit_of("current", "mean_current", "0.8 to 1.2 A", "range of the mean current")
    ],
    frequency_limit: Annotated[
        SpecRange | None, limit_of("frequency", "frequency", "180 to 220 Hz", "range of the pulses' frequency")
    ],
    duty_limit: Annotated[SpecRange | None, limit_of("ratio", "duty", "20 to 30 %", "range of the duty")],
    peak_limit: Annotated[SpecRange | None, limit_of("current", "peak_current", "17 to 21 A", "range of the peak")],
    hold_limit: Annotated[SpecRange | None, limit_of("current", "hold_current", "9 to 13 A", "range while held")],
    inductance_limit: Annotated[
        SpecRange | None, limit_of("inductance", "inductance", "0.2 to 0.35 mH", "range of the inductance")
    ],
) -> Result:
    """Judge the current of an injector or valve by its log, or by duty and mean current.

    form pulse looks at single pulses: rise, the armature's kink, peak, hold, decay. form pwm looks at a pulsed current: its
    frequency, the share of a period in which it rises, its mean; live data with duty and current as means will do. The
    circuit's resistance follows from duty, supply and mean current while the current never falls to zero between pulses.
    """
    from .waveform import Drawn, current_of, logged_means, pulsed, single

    if capture is None:
        typed = {"duty": duty, "mean_current": mean_current, "frequency": frequency, "peak_current": peak_current,
                 "hold_current": hold_current}  # fmt: skip
        drawn = Drawn({name: Estimate.from_reading(reading) for name, reading in typed.items() if reading})
    else:
        recording, time, amperes = current_of(capture)
        if not len(time) and part != "injector":
            drawn = logged_means(recording, str(capture), part)
        else:
            recording.channel("i_coil")  # says which columns could be it
            drawn = single(capture, time, amperes, supply) if form == "pulse" else pulsed(capture, time, amperes)
    worked = resistances(drawn.found, supply, diode, temperature)
    found = {**drawn.found, **inductance_of(rise_time, rise_current, supply, coil_resistance), **worked}
    limits = {
        "resistance_at_20": resistance_limit, "mean_current": current_limit, "frequency": frequency_limit, "duty": duty_limit,
        "peak_current": peak_limit, "hold_current": hold_limit, "inductance": inductance_limit,
    }  # fmt: skip
    doubted = capture is None and duty is not None and not duty_seen
    other = other_way(drawn.found, supply, diode, temperature) if doubted else {}
    verdicts, unsettled = settled(judge_all(found, limits), other)
    notes = drawn.notes + ((EITHER_WAY,) if worked and diode is None else ())
    left = [name for name, limit in limits.items() if limit and name not in found]
    notes = (*notes, *(Message(UNJUDGED, what=Word(name, capital=True)) for name in left))
    if (what := dead(drawn.found, limits)) is not None:
        text = Message("no current at its duty" if "duty" in found else "no current")
        said = Answer(NOT_DRIVEN if part == "injector" else what, DEAD, said=text, shows=NONE_FLOWS)
        alone = (not_driven(drawn.found, what),)
        answers = (said, Answer(what)) if part == "injector" else (said,)
        return Result(found, verdicts, alone, notes, plots=drawn.plots, answers=answers)
    return Result(found, verdicts, (*unsettled, *findings(verdicts)), notes, plots=drawn.plots)
