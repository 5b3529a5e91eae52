"""Unit ladders: scales of pressure and of flow side by side. The factors are those of the unit table."""

from __future__ import annotations

from baybook import units
from baybook.cards.data import Card, Ladder, Number, Rung, Section, Table
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
    rungs = tuple(Rung(spelled(name), factor(names[0], name)) for name in names)
    return Ladder(title, rungs, low, high, note=note)


WORKSHOP = (
    ("MPa", "bar"), ("psi", "bar"), ("kgf/cm2", "bar"), ("inHg", "mbar"), ("L/h", "mL/min"), ("mm3/s", "mL/min"),
    ("US gal/h", "mL/min"),
)  # fmt: skip
"""What is met on gauges and in data, and what it is wanted in."""
RAISED = str.maketrans({"2": "\u00b2", "3": "\u00b3"})


def spelled(unit: str) -> str:
    """A unit with raised figures."""
    return unit.translate(RAISED)


def multiplied() -> Table:
    """One factor for each: from the unit on the gauge to the one that is wanted."""
    rows = [(spelled(a), Number.plain(float(f"{factor(a, b):.4g}")), spelled(b)) for a, b in WORKSHOP]
    return Table("Multiply", ("from", "by", "gives"), tuple(rows), priority=2)


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
        title="Units of pressure and flow",
        cautions=(DATA_FIRST,),
        front=(
            PAIRS,
            ladder("High pressure", PRESSURES, 10, 3000, "Read level across: equal heights are equal pressures."),
            multiplied(),
        ),
        back=(ladder("Low pressure", LOW_PRESSURES, 0.1, 10), ladder("Flow", FLOWS, 1, 1000)),
        sources=(SP811,),
    )
