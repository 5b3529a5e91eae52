"""The words of a command line, put to the options of a command; and the one text for each way in which they do not fit."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from itertools import pairwise
from typing import TYPE_CHECKING, Any

from .. import units
from ..errors import InputError

if TYPE_CHECKING:
    from .options import Option

Item = tuple[str, str | None]
HELP = ("--help", "-h")
QUOTES = "a reading with a space needs quotes"


def near(given: str, known: Iterable[str], otherwise: str) -> str:
    """What would do instead of a name that is not known: the nearest one."""
    from difflib import get_close_matches

    close = get_close_matches(given, list(known), n=1)
    return f"did you mean {close[0]}?" if close else otherwise


def asks_for_help(arguments: Sequence[str]) -> bool:
    """Whether help is asked for, wherever that stands."""
    return any(argument in HELP for argument in arguments)


def items(takes: Mapping[str, bool], arguments: Sequence[str], *, interspersed: bool = True) -> list[Item]:
    """(option, value) and ("", word) for each that is typed, in order.

    takes: whether each option takes a value, by its spelling. interspersed: whether options may follow the first word; without
    it, what does is a sub-command's. Raises InputError for an option that is not known or has no value.
    """
    found: list[Item] = []
    rest = iter(arguments)
    for argument in rest:
        if argument == "--" or (not interspersed and not is_option(argument)):
            return [*found, *(("", word) for word in ((argument, *rest) if argument != "--" else rest))]
        spelling, equals, value = argument.partition("=") if argument.startswith("--") else (argument, "", "")
        if not is_option(argument):
            found.append(("", argument))
        elif spelling not in takes:
            hint = near(spelling, takes, "--help lists them")
            raise InputError.one("", spelling, "is not an option of this command", hint)
        elif not takes[spelling]:
            if equals:
                raise InputError.one(spelling, value, "is not wanted: the option takes no value", f"give {spelling} alone")
            found.append((spelling, None))
        else:
            found.append((spelling, value if equals else _value(spelling, takes, next(rest, None))))
    return found


def is_option(argument: str) -> bool:
    """Whether it is meant as an option; a reading below zero is none."""
    return len(argument) > 1 and argument.startswith("-") and argument[1] not in "0123456789.,"


def _value(spelling: str, takes: Mapping[str, bool], value: str | None) -> str:
    if value is None or value.partition("=")[0] in takes:
        raise InputError.one(spelling, None, "is given without a value", f"give it behind {spelling}, or leave it out")
    return value


def check_words(found: Sequence[Item], most: int) -> None:
    """Raise InputError where a reading came in pieces, or more words stand without an option than there are places for."""
    words = [value for spelling, value in found if not spelling]
    for at, ((spelling, first), (other, second)) in enumerate(pairwise(found)):
        if not other and first and second and _are_pieces(first, second) and (not spelling or len(words) > most):
            _refuse_pieces(spelling, [first, *_words_behind(found[at + 1 :])])
    if len(words) > most:
        extra = str(words[most])
        raise InputError.one("", extra, "is one word too many for this command", "put a text with spaces into quotes")


def _are_pieces(first: str, second: str) -> bool:
    """Whether a shell made the two of one reading: a bare number, then a unit, a range's second half or an uncertainty."""
    is_number = first.strip("0123456789.,+-−") == "" and any(character.isdigit() for character in first)
    return is_number and (second in ("±", "+-", "+/-", "to", "…", "..", "-") or bool(units.families_of(second)))


def _words_behind(found: Sequence[Item]) -> list[str]:
    """The words up to the next option, and no further than the first unit."""
    pieces = list[str]()
    for spelling, word in found:
        if spelling or word is None:
            break
        pieces.append(word)
        if units.families_of(word):
            break
    return pieces


def _refuse_pieces(spelling: str, pieces: Sequence[str]) -> None:
    joined = "" if "to" in pieces else f", or write {''.join(pieces)}"
    raise InputError.one(spelling, " ".join(pieces), f"came as {len(pieces)} words", QUOTES + joined)


def typed_values(options: Sequence[Option], arguments: Sequence[str]) -> dict[str, Any]:
    """The values of the options and places that are typed, by name; those that take several as a list.

    Raises InputError for what fits none.
    """
    named = {option.spelling: option for option in options if not option.positional}
    places = [option for option in options if option.positional]
    found = items({spelling: not option.switch for spelling, option in named.items()}, arguments)
    check_words(found, len(arguments) if any(place.many for place in places) else len(places))
    given: dict[str, Any] = {}
    for spelling, value in found:
        option = named[spelling] if spelling else places[0] if places[0].many else places.pop(0)
        given[option.name] = [*given.get(option.name, ()), value] if option.many else option.switch or value
    return given
