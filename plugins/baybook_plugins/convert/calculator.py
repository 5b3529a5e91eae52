"""convert: a reading in other units of its kind, between gauge and absolute, between delivery per stroke and flow."""

from __future__ import annotations

from typing import Annotated

from baybook.api import (
    Count,
    Estimate,
    Example,
    InputError,
    Message,
    Output,
    Problem,
    Reading,
    Refused,
    Result,
    Step,
    Text,
    absolute_pressure,
    any_quantity,
    calculator,
    propagate,
    speed,
)
from baybook.conversion import Unit, converted, families, find_unit, in_family, usual_units

from .chart import charts

SP811 = (
    "NIST Special Publication 811 (2008), appendix B: factors for units; exact constants of inch, pound and standard gravity"
)

STAYS = {
    "gauge": Message("gauge pressure stays gauge."),
    "absolute": Message("absolute pressure stays absolute."),
}
BECOMES = {
    "absolute": (
        "to absolute",
        "absolute pressure, with an ambient pressure of {ambient} (standard atmosphere).",
        "absolute pressure, with an ambient pressure of {ambient}.",
    ),
    "gauge": (
        "to gauge",
        "gauge pressure, with an ambient pressure of {ambient} (standard atmosphere).",
        "gauge pressure, with an ambient pressure of {ambient}.",
    ),
}
"""For each reference the step's title, and the note with the standard atmosphere and with the user's own."""


def _symbols(typed: str) -> list[tuple[str, str]]:
    return [(unit.symbol, unit.family) for family in families() for unit in in_family(family)]


@calculator(
    title="Unit conversion",
    stage="any",
    side="any",
    proves="nothing by itself: it puts readings and limits into the same unit",
    cautions=[],
    sources=[SP811],
    outputs={"{unit}": Output("any", "the reading in that unit")},
    formulas=["value in the new unit = value · factor of its unit / factor of the new unit"],
    examples=[
        Example({"reading": "1 ± 0 psi", "to": "kPa"}, {"kPa": (6.894757, "kPa", 1e-7)}, SP811),
        Example({"reading": "100 ± 0 °F", "to": "°C"}, {"°C": (37.77778, "°C", 1e-6)}, SP811),
    ],
    charts=charts,
)
def convert(
    reading: Annotated[Reading, any_quantity("the reading", positional=True)],
    to: Annotated[str | None, Text("the unit wanted; without it the usual ones", positional=True, suggests=_symbols)],
    ambient: Annotated[
        Reading,
        absolute_pressure("ambient pressure, to go between gauge and absolute", above="0 bar", default="1.01325 ± 0 bar"),
    ],
    engine_speed: Annotated[Reading | None, speed("engine speed, to go between delivery per stroke and flow", above="0 rpm")],
    cylinders: Annotated[int | None, Count("cylinders that inject", at_most=32)],
) -> Result:
    """Put a reading into other units.

    Pressures may be marked gauge or absolute: 3 bar(g), 14.7 psia. Between the two the ambient pressure is added, the standard
    atmosphere unless you give yours. Between delivery per stroke and flow a four-stroke engine is taken: each cylinder injects
    once in two turns of the crankshaft.
    """
    if to is None:
        return _plain(reading, usual_units(reading))
    try:
        unit, reference = find_unit(to, reading.unit.family)
    except Refused as error:
        raise InputError.one("to", to, error.why, error.hint) from error
    if {unit.family, reading.unit.family} == {"flow", "delivery per stroke"}:
        return _delivery(reading, unit, engine_speed, cylinders)
    if unit.family != reading.unit.family:
        fitting = ", ".join(known.symbol for known in in_family(reading.unit.family))
        raise InputError.one(
            "to", to, f"is a unit of {unit.family}, and {reading.text} is a {reading.unit.family}", f"use {fitting}"
        )
    if reference and reading.kind.reference and reference != reading.kind.reference:
        return _reference(reading, unit, reference, ambient)
    if reference and not reading.kind.reference:
        raise InputError.one(
            "reading", reading.text, "does not say whether it is gauge or absolute", f"write {reading.text}(g) or (a)"
        )
    return _plain(reading, [unit])


def _plain(reading: Reading, targets: list[Unit]) -> Result:
    outputs: dict[str, Estimate | str] = {
        found.unit.symbol: Estimate.from_reading(found) for found in converted(reading, targets)
    }
    steps = [_factor_step(reading, unit, outputs[unit.symbol]) for unit in targets if not (unit.offset or reading.unit.offset)]
    return Result(outputs, steps=tuple(steps), notes=(STAYS[reading.kind.reference],) if reading.kind.reference else ())


def _factor_step(reading: Reading, unit: Unit, result: Estimate | str) -> Step:
    base = in_family(unit.family)[0].symbol
    numbers = {"x": reading, "a": f"{reading.unit.factor:.9g} {base}", "b": f"{unit.factor:.9g} {base}"}
    return Step(Message("{old} → {new}", old=reading.unit.symbol, new=unit.symbol), "y = x · a / b", numbers, result)


def _reference(reading: Reading, unit: Unit, reference: str, ambient: Reading) -> Result:
    sign = 1.0 if reference == "absolute" else -1.0
    inputs = {"pressure": reading.to(unit.symbol), "ambient": ambient.to(unit.symbol)}
    found = propagate(lambda pressure, ambient: pressure + sign * ambient, unit.symbol, **inputs)
    formula = f"y = p {'+' if sign > 0 else '-'} p_ambient"
    title, exact, known = BECOMES[reference]
    step = Step(Message(title), formula, {"p": inputs["pressure"], "p_ambient": inputs["ambient"]}, found)
    return Result({unit.symbol: found}, steps=(step,), notes=(Message(known if ambient.u else exact, ambient=ambient),))


def _delivery(reading: Reading, unit: Unit, engine_speed: Reading | None, cylinders: int | None) -> Result:
    if engine_speed is None or cylinders is None:
        missing = {"engine_speed": engine_speed, "cylinders": cylinders}
        examples = {"engine_speed": "give it, such as 800 rpm", "cylinders": "give it, such as 4"}
        raise InputError([_needed(name, examples[name]) for name, value in missing.items() if value is None])
    to_flow = unit.family == "flow"
    base = reading.to("mm3/stroke" if to_flow else "mm3/s")
    function = _flow if to_flow else _per_stroke
    rpm, wanted = engine_speed.to("rpm"), "mm3/s" if to_flow else "mm3/stroke"
    raw = propagate(lambda amount, rpm: function(amount, rpm, cylinders), wanted, amount=base, rpm=rpm)
    found = raw.to(unit.symbol)
    formula = "Q = q · z · n / 2" if to_flow else "q = 2 · Q / (z · n)"
    step = Step(Message("four-stroke engine"), formula, {"q": base, "Q": base, "z": str(cylinders), "n": engine_speed}, found)
    note = Message("Four-stroke engine: each cylinder injects once in two turns.")
    return Result({unit.symbol: found}, steps=(step,), notes=(note,))


def _needed(name: str, hint: str) -> Problem:
    return Problem(name, None, "is needed between delivery per stroke and flow", hint)


def _flow(per_stroke: float, rpm: float, cylinders: int) -> float:
    """Flow in mm3/s of a delivery in mm3/stroke."""
    return per_stroke * cylinders * rpm / 2 / 60


def _per_stroke(flow: float, rpm: float, cylinders: int) -> float:
    """Delivery in mm3/stroke of a flow in mm3/s."""
    return flow * 2 * 60 / (cylinders * rpm)
