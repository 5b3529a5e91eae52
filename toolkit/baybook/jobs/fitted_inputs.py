"""What a sheet's `[system]` says to the calculators of its steps: which parts are not fitted, so that none is named."""

from __future__ import annotations

from collections.abc import Iterator

from ..declare import Calculator
from ..fields import Choice
from ..places.layout import LOW_PRESSURE, VALVES
from ..places.system import SystemMap

WORDS = ("not-fitted", "none")
"""What a calculator's input says where a part is not fitted; the input has the part's name, such as intermediate_pump."""


def not_fitted(calculator: Calculator, system: SystemMap) -> dict[str, str]:
    """By the calculator's inputs that have the name of a part which is said not to be fitted, the word for that."""
    missing = {part.replace(" ", "_") for part in _missing(system)}
    found: dict[str, str] = {}
    for parameter in calculator.parameters:
        if parameter.name in missing and isinstance(parameter.field, Choice):
            word = next((word for word in WORDS if word in parameter.field.words), "")
            found |= {parameter.name: word} if word else {}
    return found


def _missing(system: SystemMap) -> Iterator[str]:
    fitted = system.fitted
    if fitted.low_pressure is not None:
        yield from (part for part in LOW_PRESSURE if part not in fitted.low_pressure)
    for valve, said in zip(VALVES, (fitted.inlet_valve, fitted.outlet_valve), strict=True):
        if said in (False, "none"):
            yield valve
