"""Unit ladders: scales of pressure and of flow side by side. The factors are those of the unit table."""

from __future__ import annotations

from baybook import units
from baybook.cards.data import Card, Cell, Ladder, Number, Rung, Section, Table
from baybook.estimate import Estimate
from baybook.message import Message
from baybook_cards.general.common import DATA_FIRST

PRESSURES = ("bar", "MPa", "psi", "kgf/cm2")
LOW_PRESSURES = ("bar", "kPa", "psi", "inHg")
FLOWS = ("mL/min", "L/h", "mm3/s", "US gal/h")
SP811 = "Factors: NIST Special Publication 811 (2008), appendix B"


def factor(source: str, target: str) -> float:
    """How many `target` make one `source`."""
    return units.convert(1.0, units.find(source), units.find(target))


def ladder(title: str, names: tuple[str, ...], low: float, high: float, note: str = "") -> Ladder:
    """Scales from `low` to `high` of the first unit."""
    rungs = tuple(Rung(name, factor(names[0], name)) for name in names)
    return Ladder(title, rungs, low, high, note=note)


def factors(title: str, names: tuple[str, ...]) -> Table:
    """A table of factors from each unit to each."""

    def row(name: str) -> tuple[Cell, ...]:
        return (f"1 {name} =", *(Number.plain(factor(name, column)) for column in names))

    return Table(title, ("", *names), tuple(row(name) for name in names), priority=3)


def pair(source: str, target: str) -> str:
    """A line such as `1 bar = 14.5038 psi`."""
    return Message("1 {source} = {found}", source=source, found=Estimate.of(factor(source, target), target))


PAIRS = Section(
    "In short",
    short=(pair("MPa", "bar"), pair("bar", "psi"), pair("L/h", "mL/min")),
    priority=1,
)


def card() -> Card:
    """The units card."""
    return Card(
        name="units",
        title="Units: pressure and flow, side by side",
        cautions=(DATA_FIRST,),
        front=(
            ladder("High pressure", PRESSURES, 10, 2000, "Read level across: equal heights are equal pressures."),
            ladder("Low pressure", LOW_PRESSURES, 0.1, 10),
        ),
        back=(
            PAIRS,
            ladder("Flow", FLOWS, 1, 1000),
            factors("Pressure, factors", ("bar", "MPa", "psi", "kgf/cm2", "inHg")),
            factors("Flow, factors", FLOWS),
        ),
        sources=(SP811, "A gauge reading leaves out the air's pressure; an absolute one holds it (definition)"),
        command='baybook convert "300 bar"',
    )
