"""The words of a calculator's command line, put to its options: readings without quotes, readings without their option.

The one place that reads them, for the quick way and for the command line's library.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING, Any

from .. import units
from ..errors import InputError
from ..list_text import NOT_MEASURED, with_unit
from ..words import continues, grouped, is_number, unit_of
from .arguments import Item, is_option, near

if TYPE_CHECKING:
    from .options import Option

YES_OR_NO = ("yes", "no", "true", "false", "ja", "nein")
FILLERS = ("to", "in", "into", "as", "nach", "->", "=")


def typed_values(options: Sequence[Option], arguments: Sequence[str]) -> dict[str, Any]:
    """The values of the options and places that are typed, by name; those that take several as a list.

    Raises InputError for what fits none.
    """
    given: dict[str, Any] = {}
    named = {option.name: option for option in options}
    for name, value in arranged(options, arguments):
        option = named[name]
        given[name] = [*given.get(name, ()), value] if option.many else option.switch or value
    return given


def arranged(options: Sequence[Option], arguments: Sequence[str]) -> list[Item]:
    """(name, value) for each option and place that is typed, in order. Raises InputError."""
    by_spelling = {spelling: option for option in options for spelling in option.spellings if not option.positional}
    has_places = any(option.positional or option.unnamed for option in options)
    found: list[Item] = []
    loose: list[str] = []
    rest = list(arguments)
    while rest:
        word = rest.pop(0)
        if word == "--":
            loose += rest
            break
        if not is_option(word):
            loose.append(word)
            continue
        spelling, equals, value = word.partition("=")
        option = by_spelling.get(spelling)
        if option is None:
            raise InputError.one(
                "", spelling, "is not an option of this command", near(spelling, by_spelling, "--help lists them")
            )
        if not (option.many or option.switch) and any(name == option.name for name, _ in found):
            raise InputError.one(spelling, None, "is given twice", "leave one of them out")
        found.append((option.name, _value(option, spelling, value if equals else None, rest, by_spelling, has_places)))
    return [*found, *_placed(options, loose, {name for name, _ in found})]


def _value(
    option: Option, spelling: str, equal: str | None, rest: list[str], known: Iterable[str], has_places: bool
) -> str | None:
    """The option's value, with those of the words behind it that belong to it; they are taken off `rest`."""
    if option.switch:
        if equal is not None:
            raise InputError.one(spelling, equal, "is not wanted: the option takes no value", f"give {spelling} alone")
        return None
    if option.flag and equal is None:
        return rest.pop(0) if rest and rest[0].lower() in YES_OR_NO else "yes"
    if equal is None:
        if not rest or rest[0].partition("=")[0] in known:
            hint = f"give it behind {spelling}{option.such_as}, or leave it out"
            raise InputError.one(spelling, None, "is given without a value", hint)
        equal = rest.pop(0)
    if option.joins:
        while rest and not is_option(rest[0]) and (option.many or not has_places or _goes_on(option, equal, rest[0])):
            equal += f" {rest.pop(0)}"
    return equal


def _goes_on(option: Option, before: str, word: str) -> bool:
    """Whether the word still belongs to the option's value, where words without an option may follow."""
    last = before
    for between in RANGE_WORDS:
        last = f" {last}".rpartition(f" {between} ")[2].strip()
    if continues(last, word) or word in RANGE_WORDS or before.rpartition(" ")[2] in RANGE_WORDS:
        return True
    if is_number(word):
        return False
    starts = option.joins == "range" and not any(character.isdigit() for character in before)
    return starts or (not unit_of(last) and bool(units.near(word)))  # a misspelt unit, for the reading to say so


RANGE_WORDS = (
    "to", "bis", "-", "–", "…", "...", "..", "max", "max.", "min", "min.", "mind.", "mindestens", "höchstens", "at", "most",
    "least", "from", "von", "above", "below", "up", "not", "nicht", "über", "unter",
)  # fmt: skip


def _placed(options: Sequence[Option], loose: Sequence[str], taken: set[str]) -> list[Item]:
    """The words without an option: for the places in their order, or for the options that know them by their unit."""
    if not loose:
        return []
    places = [option for option in options if option.positional]
    if not places:
        return _by_unit([option for option in options if option.unnamed and option.name not in taken], grouped(loose))
    pieces = grouped(loose)
    if len(pieces) > 2 and pieces[1].lower() in FILLERS:
        del pieces[1]
    if len(pieces) > len(places):
        raise _too_many(pieces[len(places)])
    return [(place.name, piece) for place, piece in zip(places, pieces, strict=False)]


def _by_unit(free: list[Option], pieces: Sequence[str]) -> list[Item]:
    """Each piece to the first free option of its unit's family; bare numbers go with the next piece that has a unit."""
    found: list[Item] = []
    waiting: list[str] = []
    for piece in pieces:
        if not (is_number(piece) or piece in NOT_MEASURED):
            raise _no_place(f"{waiting[-1]} {piece}", piece) if waiting and free else _too_many(piece)
        waiting.append(piece)
        unit = unit_of(piece)
        if piece in NOT_MEASURED or not unit:
            continue
        found += [(option.name, text) for option, text in _shared(free, waiting, unit)]
        waiting = []
    if waiting:
        fitting = next((option for option in free if option.many), free[0] if len(waiting) == len(free) == 1 else None)
        if not free:
            raise _too_many(waiting[0])
        if fitting is None:
            raise InputError.one("", " ".join(waiting), "has no unit", "write it behind, or put the option before it")
        found += [(fitting.name, text) for text in waiting]
    return found


def _shared(free: list[Option], waiting: Sequence[str], unit: str) -> list[tuple[Option, str]]:
    """The pieces, whose last has the unit, each with its option; a list takes them all. Filled ones leave `free`."""
    families = units.families_of(unit) or units.families_of(unit.partition("(")[0].rstrip("ag").strip())
    fitting = [option for option in free if option.family in families]
    if not fitting:
        raise _no_place(waiting[-1], unit, families)
    if fitting[0].many:
        return [(fitting[0], text) for text in with_unit(list(waiting))]
    if len(waiting) > len(fitting):
        if any(option.many for option in free):
            raise InputError.one("", " ".join(waiting[:-1]), "has no unit", "write it behind the last of them")
        raise _no_place(waiting[len(fitting)], unit, families)
    for option in fitting[: len(waiting)]:
        free.remove(option)
    return [(option, piece if unit_of(piece) else f"{piece} {unit}") for option, piece in zip(fitting, waiting, strict=False)]


def _no_place(piece: str, unit: str, families: Sequence[str] = ()) -> InputError:
    if not families:
        close = units.near(unit)
        hint = f"did you mean {' or '.join(close)}?" if close else "baybook units lists them"
        return InputError.one("", piece, f'has a unit that is not known, "{unit}"', hint)
    return InputError.one("", piece, "is one reading too many for this command", "put its option before it")


def _too_many(word: str) -> InputError:
    return InputError.one("", word, "is one word too many for this command", "put a text with spaces into quotes")
