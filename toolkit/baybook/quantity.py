"""What unit and kind belong to a number: resolved once, and never mixed. Light: it is on the fastest path.

A unit's symbol may serve several families: K is a temperature or a difference of two. Such a symbol stays open until a
kind decides it; nothing is converted before.
"""

from __future__ import annotations

from . import units
from .errors import PluginError
from .kinds import KINDS, Kind
from .units import Unit


def kind_of_family(family: str) -> str:
    """The name of the widest kind of a family; units from a plugin may bring a family of their own."""
    if family not in KINDS:
        unit = units.in_family(family)[0].symbol
        KINDS[family] = Kind(family, family, unit, f"1 {unit}")
    return family


def new_kind(name: str, family: str, unit: str, example: str, shown: tuple[str, ...] = (), reference: str = "") -> Kind:
    """Declare a kind of quantity of a plugin's own, known from now on by its name; `baybook_kinds` offers it to all.

    family: of units, one that is there or one that `baybook_units` brings; unit: its own; shown: the usual workshop units.
    Raises PluginError where another kind has the name.
    """
    return kind_named(Kind(name, family, unit, example, shown, reference))


def kind_named(kind: Kind | str) -> Kind:
    """The kind of that name; a kind as it is, known from now on. Raises PluginError for a name that is not, or is another's."""
    if isinstance(kind, Kind):
        known = KINDS.setdefault(kind.name, kind)
        if (known.family, known.unit, known.reference) != (kind.family, kind.unit, kind.reference):
            raise PluginError(f"the kind {kind.name!r} is another one already")
        return known
    if kind not in KINDS:
        raise PluginError(f"{kind!r} is no kind of quantity that is known; use one of {', '.join(KINDS)}")
    return KINDS[kind]


def resolve(unit: Unit | str, kind: Kind | str | None = None) -> tuple[Unit, Kind | None]:
    """The unit, and the kind it is of; the kind is None where the symbol serves several families and no kind was given.

    "" is the unit of a pure number. Raises PluginError for a unit or a kind that is not known, and for two that do not fit.
    """
    known = None if kind is None else kind_named(kind)
    try:
        found = unit if isinstance(unit, Unit) else units.find(unit or "1", known.family if known else None)
    except units.UnknownUnit as error:
        near = f"; did you mean {' or '.join(error.near)}?" if error.near else ""
        raise PluginError(f"{unit!r} is no unit that is known{near}") from None
    if known is None:
        is_open = isinstance(unit, str) and len(units.families_of(unit or "1")) > 1
        return found, None if is_open else KINDS[kind_of_family(found.family)]
    if found.family != known.family:
        raise PluginError(f"{found.symbol} is a unit of {found.family}, not of {known.name}")
    return found, known


def fits(found: Kind, wanted: Kind) -> bool:
    """Whether a quantity of the kind `found` may stand for one of `wanted`: the same, or one is the family's widest."""
    return found is wanted or (found.family == wanted.family and found.family in (found.name, wanted.name))


def narrower(one: Kind, other: Kind) -> Kind:
    """Of two kinds that fit each other the one that says more."""
    return other if one.name == one.family else one
