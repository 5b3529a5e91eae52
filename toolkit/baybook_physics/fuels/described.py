"""A fuel that the user describes in a TOML table."""

from __future__ import annotations

from collections.abc import Mapping

from baybook.dataclass import replace
from baybook.errors import InputError, Problem

from .blends import blend
from .families import distillate, known_better
from .model import FuelModel

# key -> (lowest, highest, unit, what it is)
_NUMBERS: dict[str, tuple[float, float, str]] = {
    "density_15C": (760.0, 900.0, "kg/m3"),
    "density_u95": (0.0, 50.0, "kg/m3"),
    "viscosity_40C": (0.5, 20.0, "mm2/s"),
    "viscosity_u95_pct": (0.0, 80.0, "%"),
    "expansion_15C": (3e-4, 2e-3, "1/K"),
    "expansion_u95_pct": (0.0, 50.0, "%"),
    "modulus_15C": (500.0, 3000.0, "MPa"),
    "modulus_u95_pct": (0.0, 50.0, "%"),
    "modulus_fall": (0.001, 0.02, "1/K"),
    "tait_c": (0.05, 0.15, ""),
    "tait_c_u95_pct": (0.0, 50.0, "%"),
    "heat_capacity_15C": (1200.0, 3000.0, "J/(kg K)"),
    "ester_pct": (0.0, 100.0, "%"),
}
_REQUIRED = ("name", "sources")
_OF_DISTILLATE = ("density_15C", "viscosity_40C")


def fuel_from_file(path: str) -> FuelModel:
    """A fuel from a TOML file. Raises `InputError` for a file that cannot be read or a table that is no fuel."""
    from pathlib import Path

    from baybook.toml_file import load_toml

    where = Path(path)
    table = load_toml(where, input="fuel", hint="give a file that describes a fuel")
    return fuel_from_table(table, where)


def fuel_from_table(table: Mapping[str, object], where: object = "fuel") -> FuelModel:
    """A fuel from a parsed table; `where` is what it is called in errors.

    Required: `name`, `density_15C` (kg/m3), `viscosity_40C` (mm2/s), `sources` (a list of texts). Optional: `title`, the
    `..._u95` and `..._u95_pct` half-widths, `expansion_15C` (1/K), `modulus_15C` (isothermal, MPa at atmospheric pressure),
    `modulus_fall` (its relative fall per kelvin), `tait_c`, `heat_capacity_15C` (J/(kg K)). What is left out follows from the
    density by the petroleum tables. With `ester_pct`, the share of ester by volume, it is a blend with diesel, whose
    density and viscosity may be left out. Raises `InputError` naming every wrong entry.
    """
    required = _REQUIRED if "ester_pct" in table else _REQUIRED + _OF_DISTILLATE
    problems = [f"{key} is missing" for key in required if key not in table]
    problems += [f"{key} is not known; known: {', '.join(_known())}" for key in table if key not in _known()]
    numbers = {key: value for key in _NUMBERS if (value := _number(table, key, problems)) is not None}
    sources = table.get("sources")
    if sources is not None and not _texts(sources):
        problems.append('sources: give a list of texts, such as ["data sheet of 2024"]')
    for key in ("name", "title"):
        if key in table and not (isinstance(table[key], str) and table[key]):
            problems.append(f"{key}: {table[key]!r} is not a text")
    if problems:
        raise InputError([Problem("fuel", where, problem) for problem in problems])
    assert isinstance(sources, list)
    name = str(table["name"])
    return _build(name, str(table.get("title", name)), numbers, tuple(sources))


def _build(name: str, title: str, numbers: Mapping[str, float], sources: tuple[str, ...]) -> FuelModel:
    base = (
        _blended(name, title, numbers, sources)
        if "ester_pct" in numbers
        else distillate(
            name,
            title,
            numbers["density_15C"],
            numbers.get("density_u95", 2.0) / 1.96,
            numbers["viscosity_40C"],
            numbers.get("viscosity_u95_pct", 6.0) / 196.0,
            sources,
        )
    )
    stated = {
        "expansion": numbers.get("expansion_15C"),
        "modulus": numbers.get("modulus_15C"),
        "modulus_slope": numbers.get("modulus_fall"),
        "tait_c": numbers.get("tait_c"),
        "heat_capacity": numbers.get("heat_capacity_15C"),
    }
    widths = {
        "expansion": numbers.get("expansion_u95_pct"),
        "modulus": numbers.get("modulus_u95_pct"),
        "tait_c": numbers.get("tait_c_u95_pct"),
    }
    return replace(
        base,
        coefficients=base.coefficients._replace(**{k: v for k, v in stated.items() if v is not None}),
        widths=replace(base.widths, **{k: v / 196.0 for k, v in widths.items() if v is not None}),
        # a stated modulus no longer follows from the density
        modulus_with_density=base.modulus_with_density if stated["modulus"] is None else 0.0,
    )


def _blended(name: str, title: str, numbers: Mapping[str, float], sources: tuple[str, ...]) -> FuelModel:
    """Diesel with ester, with what is known of the blend itself."""
    mixed = blend(numbers["ester_pct"] / 100.0)
    rho, nu = numbers.get("density_15C"), numbers.get("viscosity_40C")
    u_nu = None if nu is None else nu * numbers.get("viscosity_u95_pct", 6.0) / 196.0
    try:
        known = known_better(mixed, rho, numbers.get("density_u95", 2.0) / 1.96, nu, u_nu)
    except ValueError as error:
        raise InputError([Problem("fuel", name, str(error))]) from error
    return replace(known, name=name, title=title, sources=(*mixed.sources, *sources))


def _known() -> tuple[str, ...]:
    return ("name", "title", "sources", *_NUMBERS)


def _number(table: Mapping[str, object], key: str, problems: list[str]) -> float | None:
    if key not in table:
        return None
    value = table[key]
    low, high, unit = _NUMBERS[key]
    if isinstance(value, bool) or not isinstance(value, (int, float)) or value != value:
        problems.append(f"{key}: {value!r:.60} is not a number")
        return None
    if not low <= value <= high:
        value = max(-1e300, min(1e300, value))  # a whole number may have more digits than a float
        problems.append(f"{key}: {value:g} is not possible; give {low:g} to {high:g} {unit}".rstrip())
        return None
    return float(value)


def _texts(value: object) -> bool:
    return isinstance(value, list) and bool(value) and all(isinstance(item, str) and item for item in value)
