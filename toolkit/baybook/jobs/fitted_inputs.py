"""What a sheet's `[system]` says to the calculators of its steps: which parts are not fitted, or what stands open at rest."""

from __future__ import annotations

from collections.abc import Iterator

from ..declare import Calculator
from ..fields import Choice
from ..places.layout import LOW_PRESSURE, VALVES
from ..places.system import SystemMap

WORDS = ("not-fitted", "none")
"""What a calculator's input says where a part is not fitted; the input has the part's name, such as intermediate_pump."""


REST = {True: "open-at-rest", False: "shut-at-rest"}
"""What it says of a valve that is open, or shut, without current, where nobody says that it was driven."""


def of_vehicle(calculator: Calculator, system: SystemMap) -> dict[str, str]:
    """By the calculator's inputs that have the name of a part: the word for one that is not fitted, or for how a valve stands
    at rest."""
    absent = {part.replace(" ", "_") for part in missing(system)}
    stands = {valve.replace(" ", "_"): word for valve, word in at_rest(system)}
    found: dict[str, str] = {}
    for parameter in calculator.parameters:
        if parameter.name in absent and isinstance(parameter.field, Choice):
            word = next((word for word in WORDS if word in parameter.field.words), "")
            found |= {parameter.name: word} if word else {}
        elif isinstance(parameter.field, Choice) and (word := stands.get(parameter.name, "")) in parameter.field.words:
            found[parameter.name] = word
    return found


def at_rest(system: SystemMap) -> Iterator[tuple[str, str]]:
    """The valves of which it is known how they stand without current, each with the word for it."""
    fitted = system.fitted
    if fitted.open_at_rest is not None:
        yield from ((valve, REST[valve in fitted.open_at_rest]) for valve in VALVES)


def missing(system: SystemMap) -> Iterator[str]:
    """The parts that are said not to be fitted."""
    fitted = system.fitted
    if fitted.low_pressure is not None:
        yield from (part for part in LOW_PRESSURE if part not in fitted.low_pressure)
    if fitted.filter is False:
        yield "filter"
    for valve, said in zip(VALVES, (fitted.inlet_valve, fitted.outlet_valve), strict=True):
        if said in (False, "none"):
            yield valve
