"""Checks of what a plugin offers beside calculators, and of its names."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from ..commands import COMMANDS
from ..offers import CardOffer, FuelOffer
from ..plugins.index import Index, UnitRecord, add_units
from ..plugins.query import unit_rows
from ..registry import registry
from .page import rendered

if TYPE_CHECKING:
    from ..plugins.loader import Offers


def units(offers: Offers, *, installed: bool) -> list[str]:
    """Make the units that the plugin adds known, for the other checks. Raises PluginError for one that cannot be used."""
    if installed:
        registry()
        return []
    add_units(Index([UnitRecord("", *unit, *others).row() for *unit, others in unit_rows(offers)]))
    return []


def names(offers: Offers) -> list[str]:
    """Names of the plugin that something else has: a command, or an offer of another plugin that is installed.

    A plugin of the same package (installed before, now edited) is not compared with itself.
    """
    own = {calculator.function.__module__.partition(".")[0] for calculator in offers.calculators}
    found = [f"the calculator {c.name} has the name of a command" for c in offers.calculators if c.name in COMMANDS]
    known = registry().index
    theirs = {plugin.name for plugin in known.plugins() if plugin.module.partition(".")[0] not in own}
    for taken, offered in (
        (known.calculators(), offers.calculators), (known.cards(), offers.cards), (known.fuels(), offers.fuels),
    ):  # fmt: skip
        names = {offer.name for offer in offered}
        found += [f"the {t.word} {t.name} is taken by {t.plugin}" for t in taken if t.plugin in theirs and t.name in names]
    return found


def imports(module: str) -> list[tuple[str, Callable[[], list[str]]]]:
    """The checks of importing, for a plugin without calculators."""
    from . import process_checks

    return [
        ("import", lambda: process_checks.import_faults(module)),
        ("no network", lambda: [f"{event} while being imported" for event in process_checks.probe(module).get("network", ())]),
    ]


def card(offer: CardOffer) -> list[str]:
    """The card is one, has its offer's name and title, and fits on every size. Raises NotChecked."""
    from ..cards.data import Card

    made = offer.made()
    if not isinstance(made, Card):
        return [f"make() gives {type(made).__name__}, not a Card"]
    found = [f"is offered as {offer.name} and calls itself {made.name}"] if made.name != offer.name else []
    return found + rendered(made)


def fuel(offer: FuelOffer) -> list[str]:
    """The model is one, and gives a density and a stiffness that a liquid can have at 15 °C and atmospheric pressure."""
    from baybook_physics.fuels import FuelModel

    made = offer.make()
    if not isinstance(made, FuelModel):
        return [f"make() gives {type(made).__name__}, not a FuelModel"]
    density, modulus = made.density(15.0, 0.101325), made.isothermal_modulus(15.0, 0.101325)
    found = [] if 500.0 < density < 1500.0 else [f"has a density of {density:g} kg/m3 at 15 °C"]
    return found if 200.0 < modulus < 5000.0 else [*found, f"has a bulk modulus of {modulus:g} MPa at 15 °C"]
