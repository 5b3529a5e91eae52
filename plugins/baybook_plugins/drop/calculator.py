"""Voltage drop along wires and plugs under current, insulation to the housing, an output stage while it is on."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated, Any

from baybook import fields, inputs
from baybook.api import (
    CONTROL_LOSS,
    HIGH_PRESSURE,
    HIGH_VOLTAGE,
    MAKERS_DATA,
    RUNNING_ENGINE,
    AnyOf,
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
    calculator,
    judge,
    judge_all,
    propagate,
)

from .circuits import PARTS, SENSE, Circuit, answers
from .findings import findings
from .model import at_work, clean
from .procedure import PROCEDURE
from .pulse import may_be_mean

MEANINGS = (
    Meaning("drop above the range", "resistance on the way: pin, plug, splice, fuse, relay or strand",
            "in sections, leads fitted at zero and key off; then clean or replace that one", "above", "drop_at_work"),
    Meaning("one section above its range", "the resistance is there",
            "rail seen to fall to zero, key off, waited: look at its pins and crimps; measure again", "above", "section_drop"),
    Meaning("drop within the range, current flowing", "supply and ground arrive at this part", "its coil, then the part itself "
            "(calculator coil)"),
    Meaning("no current", "along a dead wire there is no drop", "the voltage at its pins: there, the part itself is open; not "
            "there, the way to it"),
    Meaning("insulation below the range", "a pin or its wire leads to the housing",
            "rail seen to fall to zero, key off, waited, plug off: the part alone, then the wire alone", "below", "insulation"),
    Meaning("on-state drop above the range", "the output stage or its ground drops too much",
            "ground of the control unit; the drive by oscilloscope, leads fitted with the key off", "above", "driver_drop"),
)  # fmt: skip
OUTPUTS = {
    "section_drop": Output("voltage", "drop of each section", "U_i", always=False, each="section"),
    "section_resistance": Output("resistance", "resistance of each section", "R_i", unit="mohm", always=False, each="section"),
    "total_drop": Output("voltage", "drop of all sections together, as read", "U", always=False),
    "drop_at_work": Output("voltage", "drop of all sections together, at the circuit's own current", "U_w", always=False),
    "lost": Output("voltage", "loss from the battery to the part", "U_l", always=False),
    "unexplained": Output("voltage", "lost where nothing was read", "U_x", always=False),
    "copper_drop": Output("voltage", "what the copper alone drops at that current", "U_c", unit="mV", always=False),
    "insulation": Output("resistance", "lowest from a pin to the housing", "R_h", unit="kohm", always=False, at_least=0.0),
    "current_change": Output("ratio", "what that drop does to the circuit's current, at most", "c", always=False),
    "driver_drop": Output("voltage", "across the output stage while it is on", "U_d", always=False),
}


def not_more_than_the_battery(battery: Reading | None, at_part: Reading | None) -> Iterator[Problem]:
    """The part has no more than the battery; a loss below zero would clear what was not read."""
    if battery is not None and at_part is not None and at_part.interval[0] > battery.to(at_part.unit.symbol).interval[1]:
        would_do = "read both at the same moment, under current"
        yield Problem("at_part", at_part.text, "is more than the battery has", would_do)


def limit_judges_a_drop(
    limit: SpecRange | None, drops: tuple[Reading | None, ...] | None, battery: Reading | None
) -> Iterator[Problem]:
    """There is a drop to judge: of the sections, or what is lost from the battery to the part."""
    if limit is not None and not drops and battery is None:
        would_do = "give them, or the voltage at the battery and at_part"
        yield Problem("drops", None, "is needed with limit", would_do)


def which_injector(part: str, number: int | None) -> Iterator[Problem]:
    """An injector has a number."""
    if part == "injector" and number is None:
        yield Problem("number", None, "is needed with an injector", "give which one, such as 3")


@calculator(
    title="Voltage drop and insulation",
    stage="any",
    side="control",
    proves="Whether supply and ground arrive where current flows, and whether a pin leads to the housing. Not the part itself, "
    "not its drive, and nothing where no current flows.",
    outputs=OUTPUTS,
    cautions=(HIGH_PRESSURE, HIGH_VOLTAGE, CONTROL_LOSS, RUNNING_ENGINE, MAKERS_DATA),
    sources=(
        "Ohm's law; drops in series add up (Kirchhoff).",
        "Copper: 58 m/(ohm mm2) at 20 °C, IEC 60028:1925; (234.5 + t)/254.5 over temperature, copper handbooks.",
        "What a drop says only under current: common practice, no source.",
    ),
    examples=(
        Example({"part": "tank-pump", "current": "10 ± 0 A", "wire_length": "5.8 ± 0 m", "wire_section": "1 ± 0 mm2",
                 "wire_temperature": "20 ± 0 °C", "drops": ["0.3 ± 0 V", "0.2 ± 0 V"], "limit": "<= 0.6 V",
                 "section_limit": "<= 0.35 V", "battery": "13.5 ± 0 V", "at_part": "12.9 ± 0 V"},
                {"copper_drop": (1000.0, "mV", 1e-9), "total_drop": (0.5, "V", 1e-9), "lost": (0.6, "V", 1e-9),
                 "unexplained": (0.1, "V", 1e-9), "section_resistance": ((30.0, 20.0), "mohm", 1e-9)},
                "IEC 60028: 5.8 m of 1 mm2 is 0.1 ohm at 20 °C; Ohm's law with 10 A"),
        Example({"part": "inlet-valve", "insulation": "2.0 ± 0.1 Mohm", "insulation_limit": ">= 1 Mohm",
                 "driver": "0.4 ± 0.02 V", "driver_limit": "<= 0.8 V", "drops": ["0.10 ± 0.01 V"],
                 "current": "1 ± 0.01 A", "work_current": "2 ± 0 A",
                 "limit": "<= 0.5 V"},
                {"insulation": (2000.0, "kohm", 1e-9), "drop_at_work": (0.2, "V", 1e-9)}, "Ohm's law: twice the current",
                card=False),
    ),
    procedure=PROCEDURE,
    formulas=("U = U_1 + … + U_n", "R_i = U_i / I", "U_w = U · I_w / I", "U_l = U_b − U_p", "U_x = U_l − U",
              "U_c = I · L / (58 · A) · (234.5 + t) / 254.5", "c = −U_w / (D · U_0)"),
    meanings=MEANINGS,
    placing=Placing("part", number="number"),
    rules=(AnyOf(("drops", "battery", "insulation", "over_range", "driver"),
                 "give the drops along the way, such as 0.04 V; 0.35 V; 0.05 V"), which_injector, not_more_than_the_battery,
           Rule("work_current", ("current",)), Rule("battery", ("at_part",)),
           Rule("at_part", ("battery",)), Rule("wire_length", ("wire_section", "current")),
           Rule("wire_section", ("wire_length",)), limit_judges_a_drop,
           Rule("section_limit", ("drops",)), Rule("driver_limit", ("driver",)), Rule("duty", ("driver",))),
    sense=SENSE,
)  # fmt: skip
def drop(
    part: Annotated[str, inputs.part("whose circuit it is", *PARTS)],
    number: Annotated[int | None, inputs.INJECTOR_NUMBER],
    current: Annotated[Reading | None, fields.current("current that flows meanwhile, by clamp", symbol="I", at_least="0 A",
                       usual="5.0 A")],
    drops: Annotated[tuple[Reading | None, ...] | None, fields.readings("voltage",
                     "drop of each section, from battery plus to the "
                     "part and back to battery minus; - for one not read", gaps=True, at_most_count=12,
                     at_least="0 V", usual="0.05 0.04 V")],
    limit: Annotated[SpecRange | None, fields.spec_range("voltage", "largest drop of all sections together",
                     judges="drop_at_work", needs="high", at_least="0 V", usual="max 0.5 V")],
    section_limit: Annotated[SpecRange | None, fields.spec_range("voltage", "largest drop of each section",
                             judges="section_drop", needs="high", at_least="0 V", usual="max 0.1 V")],
    work_current: Annotated[Reading | None, fields.current("current of the circuit at work, where it was loaded with less",
                            symbol="I_w", above="0 A", usual="10 A")],
    battery: Annotated[Reading | None, fields.voltage("voltage at the battery meanwhile", symbol="U_b", above="0 V",
                       at_most="60 V", usual="13.8 V")],
    at_part: Annotated[Reading | None, fields.voltage("voltage across the part's own pins meanwhile", symbol="U_p",
                       at_least="0 V", at_most="60 V", usual="13.4 V")],
    wire_length: Annotated[Reading | None, fields.length("length of the wire, there and back", symbol="L", above="0 m",
                           at_most="50 m", usual="6.0 m")],
    wire_section: Annotated[Reading | None, fields.area("cross-section of the wire", symbol="A", above="0.05 mm2",
                            at_most="100 mm2", usual="1.5 mm2")],
    wire_temperature: Annotated[Reading, fields.temperature("temperature of the wire", symbol="t", at_least="-40 °C",
                                at_most="150 °C", usual="25 ± 15 °C", default="25 ± 15 °C")],
    insulation: Annotated[Reading | None, fields.resistance("lowest resistance from a pin to the housing, plug off",
                          at_least="0 ohm", usual="20 Mohm", overload="over_range")],
    over_range: Annotated[bool, fields.Flag("every pin shows over-range to the housing")],
    insulation_limit: Annotated[SpecRange | None, fields.spec_range("resistance", "range of that resistance",
                                judges="insulation", needs="low", at_least="0 ohm", usual="min 1 Mohm")],
    driver: Annotated[Reading | None, fields.voltage("voltage between switched wire and its ground or supply, "
                      "while on; of a pulse its low level",
                      at_least="0 V", at_most="60 V", usual="0.4 V")],
    duty: Annotated[Reading | None, inputs.DUTY.but(help="share of the time it is switched on meanwhile, if pulsed")],
    driver_limit: Annotated[SpecRange | None, fields.spec_range("voltage", "largest drop of the output stage while on",
                            judges="driver_drop", needs="high", at_least="0 V", usual="max 0.8 V")],
) -> Result:  # fmt: skip
    """Work out voltage drops under current, and what insulation and output stage say."""
    found: dict[str, Any] = {}
    by_ends = False
    through = current.to("A") if current is not None and current.interval[0] > 0 else None
    along: tuple[Reading | Estimate, ...] = tuple(one.to("V") for one in drops or () if one is not None)
    if drops:
        found |= {"section_drop": drops, "total_drop": propagate(lambda us: sum(us), "V", us=along)}
        if through is not None:
            found["section_resistance"] = tuple(None if one is None else _ohm(one, through) for one in drops)
    if battery is not None and at_part is not None:
        ends: dict[str, Any] = {"b": battery.to("V"), "p": at_part.to("V")}
        found["lost"] = propagate(lambda b, p: b - p, "V", **ends)
        if drops and None not in drops:
            found["unexplained"] = propagate(lambda b, p, us: b - p - sum(us), "V", **ends, us=along)
        all_of_it = limit is not None and judge("lost", found["lost"], limit).verdict == "outside"
        by_ends = not drops or None in drops or all_of_it  # what the sections do not hold
        if by_ends:
            along = (found["lost"],)
    if wire_length is not None and wire_section is not None and current is not None:
        wire = {"length": wire_length.to("m"), "section": wire_section.to("mm2"), "temperature": wire_temperature.to("°C")}
        found["copper_drop"] = propagate(clean, "V", current=current.to("A"), **wire)
    found |= {name: one for name, one in (("insulation", insulation), ("driver_drop", driver)) if one is not None}
    if along:
        found["drop_at_work"] = found["lost"] if by_ends else found["total_drop"]
        if through is not None and work_current is not None:
            currents = {"i": through, "w": work_current.to("A")}
            found["drop_at_work"] = propagate(lambda us, i, w: at_work(sum(us), i, w), "V", us=along, **currents)
        u = LEAST * (ON_AT_LEAST if part in VALVES else 1.0)
        found["current_change"] = propagate(lambda drop: -100 * min(drop / u, 1.0), "%", drop=found["drop_at_work"])
    circuit = Circuit(
        part, number, current, work_current, battery, at_part, over_range, None in (drops or ()) and not by_ends, not drops,
        driver if may_be_mean(part, driver, duty, battery) else None,
    )  # fmt: skip
    limits = {"drop_at_work": limit, "insulation": insulation_limit, "driver_drop": driver_limit, "section_drop": section_limit}
    kept = tuple(circuit.counting(verdict) for verdict in judge_all(found, limits))
    told = (SMALL,) if work_current is not None else ()
    return Result(found, kept, findings(circuit, found, kept, MEANINGS), told, answers=tuple(answers(circuit, kept)))


LEAST = 12.0
"""V of the circuit: of more, the boosted voltage of an injector among it, the drop takes a smaller share."""
VALVES, ON_AT_LEAST = ("inlet-valve", "outlet-valve"), 0.2
"""Share of the time that a valve at work is on: a meter reads the mean drop, of which the mean voltage is so much smaller.
Common practice, no source."""
SMALL = Message("It was loaded with less than the circuit carries: the drop is told for its own current.")


def _ohm(drop: Reading, current: Reading) -> Estimate:
    return propagate(lambda u, i: u / i, "ohm", u=drop.to("V"), i=current)
