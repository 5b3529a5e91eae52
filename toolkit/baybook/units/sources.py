"""The unit files read with pint: for the generated table, for its test, and for units that a plugin adds."""

from __future__ import annotations

import os
from collections.abc import Iterable
from typing import Any

FOLDER = os.path.dirname(__file__)
Row = tuple[str, str, float, float, tuple[str, ...]]


def registry() -> Any:
    """A pint registry that knows definitions.txt and nothing else. Text typed by a user never reaches it."""
    import pint

    return pint.UnitRegistry(os.path.join(FOLDER, "definitions.txt"), autoconvert_offset_to_baseunit=True)


def workshop_lines() -> list[tuple[str, str, str, tuple[str, ...]]]:
    """(family, symbol, pint expression, other spellings) of every line of workshop.txt."""
    with open(os.path.join(FOLDER, "workshop.txt"), encoding="utf-8") as file:
        lines = [line.strip() for line in file]
    return [_split(line) for line in lines if line and not line.startswith("#")]


def _split(line: str) -> tuple[str, str, str, tuple[str, ...]]:
    family, symbol, expression, others = (part.strip() for part in line.split("|"))
    return family, symbol, expression, tuple(part.strip() for part in others.split(",") if part.strip())


def rows_from_definitions() -> list[Row]:
    """The rows of the generated table, worked out afresh by pint."""
    return rows(registry(), workshop_lines())


def rows(ureg: Any, lines: Iterable[tuple[str, str, str, tuple[str, ...]]]) -> list[Row]:
    """A table row for each line; the factor is taken to the coherent SI unit of the expression, rpm and ratio apart.

    Speed keeps rpm as its base so that no 2 pi can slip in; a revolution and a stroke count as dimensionless.
    """
    found = []
    for family, symbol, expression, others in lines:
        if expression.startswith("degree_"):
            zero = ureg.Quantity(0.0, expression).to("kelvin").magnitude
            factor = ureg.Quantity(1.0, "delta_" + expression).to("kelvin").magnitude
            found.append((family, symbol, _clean(factor), _clean(zero), others))
            continue
        factor = _clean(ureg.parse_expression("1.0 * (" + expression + ")").to_root_units().magnitude)
        found.append((family, symbol, _clean(factor * 60) if family == "speed" else factor, 0.0, others))
    return found


def _clean(number: float) -> float:
    """The same number without the last-bit noise of a product of several factors (16 significant digits)."""
    return float(f"{number:.16g}")
