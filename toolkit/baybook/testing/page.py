"""The check of a calculator's card: it is laid out in every size, and nothing overflows."""

from __future__ import annotations

import warnings
from typing import TYPE_CHECKING

from ..declare import Calculator
from ..errors import InputError, MissingLibrary
from .promise import NotChecked

if TYPE_CHECKING:
    from ..cards.data import Card

SIZES = ("A4", "A5", "A6")


def card(calculator: Calculator) -> list[str]:
    """A line for every size on which the calculator's card does not fit. Raises NotChecked where nothing can be laid out."""
    from ..cards.build import card_of

    return rendered(card_of(calculator)) if calculator.how else []


def rendered(made: Card) -> list[str]:
    """A line for every size on which the card does not fit. Raises NotChecked."""
    from ..cli.pages import rendered_cards

    found = []
    for size in SIZES:
        try:
            # the renderer leaves its colour profile's file to the garbage collector; that is no fault of the plugin
            with warnings.catch_warnings(action="ignore", category=ResourceWarning):
                rendered_cards([made], {"size": size, "date": "2000-01-01"}, "pdf")
        except MissingLibrary as error:
            raise NotChecked(str(error)) from error
        except InputError as error:
            found.append(f"{size}: {error}")
    return found
