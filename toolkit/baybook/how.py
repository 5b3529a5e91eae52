"""How a test is done, for a terminal: numbered, with a box to tick and a blank to write in at each step. Light to import."""

from __future__ import annotations

from textwrap import wrap

from .action import Action, Condition, HoldPoint
from .language import ENGLISH
from .places.sense import Senses
from .procedure import Procedure

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping
    from typing import Any

    from .cautions import Caution
    from .declare import Calculator
    from .language import Language

WIDTH = 80
"""Columns of the narrowest terminal that is usual."""
BLANK = "________"
NEAR = "Hands go near what is looked at only with the rail seen to fall to zero, the key off, and waited as the data say."
"""Said of one without steps that is read or seen at the vehicle all the same."""


def how_of(calculator: Calculator, given: Mapping[str, Any]) -> Procedure:
    """How the test is done that these inputs make it; of a calculator that takes many, the one of that word."""
    sense = calculator.sense
    return sense.how.get(str(given.get(sense.input)), calculator.how) if isinstance(sense, Senses) else calculator.how


def cautions_with(calculator: Calculator, how: Procedure) -> tuple[Caution, ...]:
    """The calculator's cautions, and before them that of a procedure which is not its own."""
    own = (how.caution,) if how.caution and how is not calculator.how else ()
    return tuple(dict.fromkeys((*own, *calculator.cautions)))


def how_lines(calculator: Calculator, language: Language = ENGLISH, given: Mapping[str, Any] | None = None) -> list[str]:
    """The whole procedure: cautions in full, what has to lie ready, entry conditions, steps, end. Of one without steps, so.

    given: the inputs, as far as they are known.
    """
    how, say = how_of(calculator, given or {}), language.text
    lines = _broken(say(calculator.title), "", "")
    cautions = cautions_with(calculator, how)
    lines += ["", *caution_lines(cautions, language)] if cautions else []
    if not how:
        near = any(caution.signal == "danger" for caution in calculator.cautions)
        return [*lines, "", *_broken(say(NEAR if near else "Nothing is done at the vehicle."), "", "")]
    return [*lines, "", *procedure_lines(calculator, language, how)]


def procedure_lines(calculator: Calculator, language: Language = ENGLISH, how: Procedure | None = None) -> list[str]:
    """What has to lie ready, entry conditions, steps and end, without the cautions. how: in place of the calculator's own."""
    how, say = calculator.how if how is None else how, language.text
    ready = [line for need in how.needs for line in _broken(say(need), "  - ", "    ")]
    first = 1 + sum(isinstance(step, Action) for step in how.steps)
    parts = (
        ("Ready", ready),
        ("All true, or hands off", _entry(calculator, how, language)),
        ("Steps", list(_steps(calculator, how.steps, 1, language))),
        ("End", list(_steps(calculator, how.end, first, language))),
    )
    return [line for head, part in parts if part for line in ("", say(head), *part)][1:]


def before_asking(calculator: Calculator, language: Language = ENGLISH) -> list[str]:
    """What is said before the first question: cautions in full, and the entry conditions."""
    lines = caution_lines(calculator.cautions, language)
    entry = _entry(calculator, calculator.how, language)
    return [*lines, *(["", language.text("All true, or hands off"), *entry] if entry else [])]


def caution_lines(cautions: Iterable[Caution], language: Language = ENGLISH) -> list[str]:
    """Each caution in full, the worst first, as the declaration has them."""
    return [
        line
        for caution in cautions
        for line in _broken(language.text(caution.text), f"{language.text(caution.signal).upper()}: ", "    ")
    ]


def _entry(calculator: Calculator, how: Procedure, language: Language) -> list[str]:
    lines = list[str]()
    for condition in how.conditions:
        lines += _broken(language.text(condition.text), "  [ ] ", "      ")
        if condition.otherwise:
            lines += _broken(language.text(condition.otherwise), f"      {language.text('if not')}: ", "        ")
        lines += _broken(f"{BLANK} {condition.blank}", "        ", "        ") if condition.blank else []
        lines += _blanks(calculator, condition, language)
    return lines


def _steps(calculator: Calculator, steps: Iterable[Action | HoldPoint | str], first: int, language: Language) -> Iterator[str]:
    number = first
    for step in steps:
        if isinstance(step, Action):
            yield from _broken(language.text(step.text), f"{number:>3} [ ] ", "        ")
            if step.caution:
                signal = language.text(step.caution.signal).upper()
                yield from _broken(language.text(step.caution.brief), f"        ! {signal}: ", "          ")
            yield from _blanks(calculator, step, language)
            number += 1
        else:
            yield from _broken(language.text(step if isinstance(step, str) else step.text), "=== ", "    ")


def _blanks(calculator: Calculator, item: Action | Condition, language: Language) -> list[str]:
    """A blank for each input that is read here, by the name that it is typed with."""
    blanks = [blank(calculator, name, language) for name in item.reads]
    return _broken("   ".join(blanks), "        ", "        ")


def blank(calculator: Calculator, name: str, language: Language = ENGLISH) -> str:
    """A place to write an input in: its name, the blank, the unit; no break between them."""
    from .fields import Flag

    field = calculator.parameter(name).field
    kind = getattr(field, "kind", None)
    called = name.replace("_", "-") if language.code == "en" else language.word(name)
    place = "[ ]" if isinstance(field, Flag) else f"{BLANK} {kind.unit}" if kind else BLANK
    return f"{called} {place}".replace(" ", "\u00a0")


def _broken(text: str, first: str, others: str) -> list[str]:
    return [
        line.replace("\u00a0", " ")
        for line in wrap(text, WIDTH, initial_indent=first, subsequent_indent=others, break_on_hyphens=False)
    ]
