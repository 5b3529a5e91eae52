"""Checks of what is declared: complete, readable, cautious, and in texts that a catalogue can hold."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from .. import units
from ..completion import declared_output
from ..declare import Calculator, Parameter
from ..errors import InputError, Refused
from ..execution import read_inputs
from ..fields import Limits, Quantity
from ..places.sense import Senses
from ..reading import parse

if TYPE_CHECKING:
    from ..cards.data import Card

LONGEST = 600
UNFINISHED = ("todo", "fixme", "xxx", "lorem ipsum", "{}", "{0}", "%s")


def complete(calculator: Calculator) -> list[str]:
    """Everything that help, card and reports show is there."""
    found = [f"has no {what}" for what in ("title", "summary", "proves") if not getattr(calculator, what).strip()]
    found += [f"input {p.name} says nothing about itself" for p in calculator.parameters if not p.field.help.strip()]
    found += [
        f"output {name} says nothing about itself" for name, output in calculator.outputs.items() if not output.help.strip()
    ]
    if not calculator.outputs:
        found.append("declares no outputs")
    if not calculator.formulas and any(output.kind != "word" for output in calculator.outputs.values()):
        found.append("has no formulas; the card and the help show one")
    if calculator.stage != "any":
        found += [f"has no {what}; the card needs them" for what in ("procedure", "meanings") if not getattr(calculator, what)]
    for number, example in enumerate(calculator.examples, 1):
        if not example.source.strip():
            found.append(f"example {number} has no source")
        if not example.outputs:
            found.append(f"example {number} expects no output")
        found += [
            f"example {number} expects {name}, which is not declared"
            for name in example.outputs
            if not declared_output(calculator, name)
        ]
    return [*found, *(f"source {number} is empty" for number, source in enumerate(calculator.sources, 1) if not source.strip())]


def units_parse(calculator: Calculator) -> list[str]:
    """Units of outputs, limits and usual readings of inputs, defaults, and the inputs of every example."""
    found = []
    for name, output in calculator.outputs.items():
        if output.shown_unit():
            found += _unit_faults(f"output {name}", output.shown_unit(), output.kind)
    for parameter in calculator.parameters:
        found += [f"input {parameter.name}: {fault}" for fault in _reading_faults(parameter)]
    for number, example in enumerate(calculator.examples, 1):
        try:
            read_inputs(calculator, example.inputs)
        except InputError as error:
            found += [f"example {number}: {problem}" for problem in error.problems]
    return found


def _reading_faults(parameter: Parameter) -> Iterator[str]:
    """Its limits, the reading that help and messages show, and its default, each read as a person's would be."""
    field, default = parameter.field, parameter.default
    try:
        if isinstance(field, Quantity | Limits):
            field.limits()
        for end in getattr(field, "usual_range", None) or ():
            parse(end, getattr(field, "kind", None))
    except Refused as error:
        yield f"a limit {error}"
        return  # with it nothing else can be read
    shown = field.example()
    try:
        if isinstance(field, Quantity | Limits) and shown:
            field.parse(shown)
    except Refused as error:
        yield f'the reading shown as an example, "{shown}", {error}; declare one with usual='
    try:
        if not parameter.required and default not in (None, ()):
            field.parse(default)
    except Refused as error:
        yield f'the default "{default}" {error}'


def _unit_faults(what: str, symbol: str, kind: str) -> list[str]:
    from ..kinds import KINDS

    families = units.families_of(symbol)
    if not families:
        return [f"{what} is in {symbol}, which is no unit"]
    fitting = kind == "any" or KINDS[kind].family in families
    return [] if fitting else [f"{what} is declared as {kind} and in {symbol}, a {families[0]}"]


def cautions(calculator: Calculator) -> list[str]:
    """At least one, each with known symbols (its signal word it has checked itself); one of them defers to the maker's data."""
    if calculator.stage == "any" and not calculator.cautions:
        return []
    found = []
    for caution in calculator.cautions:
        found += [
            f"a caution has the symbol {symbol!r}; use a code such as W001" for symbol in caution.symbols if not _symbol(symbol)
        ]
    if not any("maker" in caution.text.lower() for caution in calculator.cautions):
        found.append("no caution says that the maker's data, local rules and licensed practice come first; add MAKERS_DATA")
    return found


def procedure(calculator: Calculator) -> list[str]:
    """What `Procedure.faults` finds, and what has to be given and is read at no step of a procedure that says what is read."""
    read = calculator.how.reads
    unread = [
        parameter.name for parameter in calculator.parameters if read and parameter.required and parameter.name not in read
    ]
    faults = [f"procedure: {fault}" for fault in calculator.how.faults()]
    return [*faults, *(f"procedure: input {name} has to be given, and no step reads it" for name in unread)]


def sense(calculator: Calculator) -> list[str]:
    """Each pattern of its sense is a place that a vehicle can have, each question one that something answers: a misspelt one
    would silently reach nothing."""
    from ..places.known import unknown_patterns

    of = calculator.sense
    each = {"": of} if not isinstance(of, Senses) else {**of.of, **({} if of.other is None else {"any other": of.other})}
    told = [(f" of {word}" if word else "", one) for word, one in each.items() if one is not None]
    return [
        *(f"its sense{of} speaks of {pattern!r}, a place that no vehicle has" for of, one in told
          for pattern in unknown_patterns(one, one.places)),
        *(f"its sense{of} asks {question!r}: no output of that name, and no Answer is made" for of, one in told
          for question in one.questions
          if not {"", *calculator.outputs}.intersection(_asked(question)) and not _answers(calculator.package)),
    ]  # fmt: skip


def _asked(question: str) -> tuple[str, str]:
    """The outputs that a question may be of: without the end of a range that it is for."""
    return question, question.removesuffix("low").removesuffix("high").rstrip()


def _answers(package: str) -> bool:
    """Whether some module of the package makes answers of its own."""
    from importlib.resources import as_file, files

    with as_file(files(package)) as folder:
        return any("Answer(" in path.read_text("utf-8") for path in folder.rglob("*.py"))


def _symbol(code: str) -> bool:
    """A code of ISO 7010, or for what it has no symbol of the handbook's own drawings ("W-JET")."""
    letter, rest = code[:1], code[1:]
    return letter in tuple("WPMEF") and ((len(rest) == 3 and rest.isdigit()) or (rest[:1] == "-" and rest[1:].isalpha()))


def texts(calculator: Calculator) -> list[str]:
    """Every text is one finished line; the card's texts are the same each time, and its own catalogues hold all of them."""
    from ..cards.build import card_of
    from ..cards.translate import texts_of

    found = [f"{where}: {fault}" for where, text in _declared(calculator) for fault in _text_faults(text)]
    card = card_of(calculator)
    if texts_of(card) != texts_of(card_of(calculator)):
        found.append("the card has other texts each time it is made, so no catalogue can hold them")
    return [*found, *_untranslated(card)]


def _declared(calculator: Calculator) -> Iterator[tuple[str, str]]:
    for what in ("title", "summary", "proves"):
        yield what, getattr(calculator, what)
    for what in ("needs", "procedure", "formulas", "sources"):
        yield from ((f"{what} {number}", text) for number, text in enumerate(getattr(calculator, what), 1))
    for parameter in calculator.parameters:
        yield f"input {parameter.name}", parameter.field.help
    for name, output in calculator.outputs.items():
        yield f"output {name}", output.help
    for number, meaning in enumerate(calculator.meanings, 1):
        yield from ((f"meaning {number}", text) for text in (meaning.seen, meaning.says, meaning.next_test))
    for caution in calculator.cautions:
        yield f"{caution.signal}", caution.text


def _text_faults(text: str) -> Iterator[str]:
    if text != text.strip() or any(char in text for char in "\n\t\r"):
        yield f"{text!r:.60} has space around it or a line break in it"
    if len(text) > LONGEST:
        yield f"{text!r:.60} is longer than {LONGEST} characters"
    if any(mark in text.lower() for mark in UNFINISHED):
        yield f"{text!r:.60} is not finished"


def _untranslated(card: Card) -> Iterator[str]:
    """Texts that the plugin's own catalogues lack; a plugin without catalogues has English alone."""
    from importlib.resources import files

    from ..cards.translate import texts_of
    from ..cli.pages import untranslated

    try:
        catalogues = [path for path in files(card.catalogue).joinpath("locale").iterdir() if path.is_dir()]
    except (OSError, ModuleNotFoundError, NotImplementedError, TypeError):
        return
    for folder in catalogues:
        try:
            missing = untranslated(texts_of(card), folder.name, card.catalogue)
        except ValueError:  # a language that the cards do not speak yet
            continue
        if missing:
            yield f"the catalogue {folder.name} lacks {len(missing)} texts of the card, such as {missing[0]!r:.60}"
