"""Unit factors against NIST SP 811, scipy.constants and pint."""

from __future__ import annotations

import csv
import subprocess
import sys
from pathlib import Path

import pytest
import scipy.constants

from baybook import calculate, units
from baybook.errors import InputError
from baybook.units.sources import rows_from_definitions

ROOT = Path(__file__).parents[2]
DATA = Path(__file__).parent / "data" / "conversion_factors.csv"
# the table's long names, as Baybook writes them
SPELLED = {
    "at (technical atmosphere)": "at", "mmHg conventional": "mmHg", "inHg conventional": "inHg", "mmH2O conventional": "mmH2O",
    "inH2O conventional": "inH2O", "litre": "L", "inch": "in", "US gallon": "US gal", "imperial gallon": "imp gal",
    "ft3/min": "ft3/min", "US gal/min": "US gal/min",
}  # fmt: skip
# not units that a workshop reads a diesel system in
LEFT_OUT = {"ksi", "lbf", "lb", "gn", "ft3", "in3", "cmH2O 4 C"}


def factors() -> list[tuple[str, str, float]]:
    """(from, to, factor) of every row of the published table that is a unit of ours."""
    with DATA.open(encoding="utf-8") as file:
        rows = list(csv.DictReader(line for line in file if not line.startswith("#")))
    found = []
    for row in rows:
        source = SPELLED.get(row["from"], row["from"])
        try:
            target = units.find(row["to"])
            units.find(source, target.family)
        except units.UnknownUnit:
            continue
        if row["from"] not in LEFT_OUT:
            found.append((source, row["to"], float(row["value"])))
    return found


def test_most_of_the_published_table_is_covered() -> None:
    assert len(factors()) >= 20


@pytest.mark.parametrize(("source", "target", "factor"), factors())
def test_factors_are_those_of_the_published_table(source: str, target: str, factor: float) -> None:
    """Source: NIST SP 811 (2008) appendix B, from exact constants (tests/published/data/conversion_factors.csv)."""
    to = units.find(target)
    assert units.convert(1.0, units.find(source, to.family), to) == pytest.approx(factor, rel=1e-12)


@pytest.mark.parametrize(
    ("symbol", "factor"),
    [("psi", scipy.constants.psi), ("atm", scipy.constants.atm), ("torr", scipy.constants.torr), ("bar", scipy.constants.bar),
     ("US gal", scipy.constants.gallon), ("imp gal", scipy.constants.gallon_imp), ("in", scipy.constants.inch)],
)  # fmt: skip
def test_factors_are_those_of_scipy_constants(symbol: str, factor: float) -> None:
    """Source: scipy.constants (CODATA and exact definitions)."""
    assert units.find(symbol).factor == pytest.approx(factor, rel=1e-14)


@pytest.mark.parametrize(
    ("value", "source", "target", "expected"),
    [(-40, "°C", "°F", -40), (100, "°F", "°C", 37.777778), (0, "°C", "K", 273.15), (212, "°F", "°C", 100)],
)
def test_temperatures_go_by_their_zero_points(value: float, source: str, target: str, expected: float) -> None:
    """Source: NIST SP 811, T = t + 273.15 and t_C = (t_F - 32) / 1.8."""
    assert units.convert(value, units.find(source), units.find(target)) == pytest.approx(expected, abs=1e-6)


def test_units_of_two_families_do_not_convert_and_a_spelling_is_taken_once():
    with pytest.raises(ValueError, match="bar is a pressure and mL a volume"):
        units.convert(1.0, units.find("bar"), units.find("mL"))
    with pytest.raises(ValueError, match="'bar' is already bar"):
        units.add((("pressure", "bar", 1e5, 0.0, ()),))


def test_a_delivery_per_stroke_becomes_a_flow_by_speed_and_cylinders_and_asks_for_them():
    """30 mm3 each second turn of 800 rpm in four cylinders: 30 · 4 · 400 mm3/min, 48 mL/min (four-stroke, plain arithmetic)."""
    read = {"reading": "30 ± 0 mm3/stroke", "to": "mL/min"}
    assert calculate("convert", **read, engine_speed="800 ± 0 rpm", cylinders="4")["mL/min"].value == pytest.approx(48.0)
    with pytest.raises(InputError) as refused:
        calculate("convert", **read)
    assert str(refused.value).splitlines() == [
        "engine_speed: is needed between delivery per stroke and flow; give it, such as 800 rpm",
        "cylinders: is needed between delivery per stroke and flow; give it, such as 4",
    ]


def test_torr_and_conventional_millimetre_of_mercury_are_not_the_same() -> None:
    """Source: NIST SP 811: they differ by 1.4e-7."""
    assert units.find("mmHg").factor / units.find("torr").factor - 1 == pytest.approx(1.4e-7, rel=0.05)


def test_every_pair_of_the_generated_table_is_what_pint_makes_of_the_definitions() -> None:
    """Source: pint, reading definitions.txt afresh."""
    fresh = {(family, symbol): (factor, offset) for family, symbol, factor, offset, _ in rows_from_definitions()}
    for family in units.families():
        for one in units.in_family(family):
            for other in units.in_family(family):
                (a, a0), (b, b0) = fresh[family, one.symbol], fresh[family, other.symbol]
                assert units.convert(7.0, one, other) == pytest.approx((7.0 * a + a0 - b0) / b, rel=1e-12, abs=1e-9)


def test_the_generated_table_is_up_to_date() -> None:
    done = subprocess.run([sys.executable, str(ROOT / "tools" / "make_unit_table.py"), "--check"], check=False)
    assert done.returncode == 0
