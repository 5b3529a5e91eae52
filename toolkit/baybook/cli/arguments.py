"""The words of a command line, put to the options of a command; and the one text for each way in which they do not fit."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from ..errors import InputError

Item = tuple[str, str | None]
HELP = ("--help", "-h")
USUAL, IF_KNOWN, CAPTURED, OF_STEP, OUTPUT = "usual", "if known", "capture", "the step in the sheet", "output"
"""The headings of a calculator's help."""


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
    """Raise InputError where more words stand without an option than there are places for."""
    words = [value for spelling, value in found if not spelling]
    if len(words) > most:
        extra = str(words[most])
        raise InputError.one("", extra, "is one word too many for this command", "put a text with spaces into quotes")
