"""The check that a calculator's catalogues hold every message of its code, its results and its declaration, place for place."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from importlib.resources import files
from importlib.resources.abc import Traversable

from ..declare import Calculator
from ..errors import PluginError
from ..language import CORE, catalogue
from ..message import Message, Word, places
from ..places.sense import Senses
from ..result import Result
from .examples import worked

HANDBOOK = "baybook_cards"
"""The catalogue of what every card has in common."""


def complete(calculator: Calculator) -> list[str]:
    """For each language that the calculator's package speaks, the messages that are missing or have other places."""
    found: list[str] = []
    for code in languages(calculator.package):
        messages = {**catalogue(HANDBOOK, code), **catalogue(CORE, code), **catalogue(calculator.package, code)}
        missing = [text for text in (*templates(calculator), *sense_texts(calculator)) if text not in messages]
        missing += [name for name in names(calculator) if f"name\4{name}" not in messages and name not in messages]
        if missing:
            found.append(f"the catalogue {code} lacks {len(missing)} messages, such as {missing[0]!r:.70}")
        others = [said for said, told in messages.items() if odd(said, told)]
        found += [f"the catalogue {code} says {said!r:.60} with other places" for said in others]
    return found


def languages(package: str) -> list[str]:
    """The codes of the package's own catalogues; a package without catalogues speaks English alone."""
    try:
        return sorted(path.name for path in files(package).joinpath("locale").iterdir() if path.is_dir())
    except (OSError, ModuleNotFoundError, NotImplementedError, TypeError):
        return []


def odd(said: str, told: str) -> bool:
    """Whether a translation has other places than its message, or one that has no name."""
    try:
        return set(places(said.rpartition("\4")[2])) != set(places(told))
    except PluginError:
        return True


def templates(calculator: Calculator) -> tuple[str, ...]:
    """Every template in the package's code and every message of the examples' results, each once."""
    found = {text: None for text in templates_in_code(files_of(calculator.package)) if has_words(text)}
    for number in range(len(calculator.examples)):
        found |= dict.fromkeys(_in_result(worked(calculator, number)))
    return tuple(found)


def files_of(package: str) -> list[Traversable]:
    """The package's Python files, those of the folders in it too."""
    try:
        return sorted(_python_files(files(package)), key=str)
    except (ModuleNotFoundError, TypeError):
        return []


def _python_files(folder: Traversable) -> Iterator[Traversable]:
    for path in folder.iterdir():
        if path.is_dir():
            yield from _python_files(path)
        elif path.name.endswith(".py"):
            yield path


def templates_in_code(paths: list[Traversable]) -> Iterator[str]:
    """Texts of `Message(…)` and `Statement(…)`, as they are or by the name that a module of the package has at its top."""
    trees = [ast.parse(path.read_text(encoding="utf-8")) for path in paths]
    constants: dict[str, list[str]] = {}
    for tree in trees:
        for node in tree.body:
            if isinstance(node, ast.Assign) and isinstance(node.targets[0], ast.Name):
                constants[node.targets[0].id] = _texts(node.value)
    for tree in trees:
        for call in ast.walk(tree):
            for said in _said(call):
                yield from _texts(said)
                named = [part.id for part in ast.walk(said) if isinstance(part, ast.Name)]
                yield from (text for name in named for text in constants.get(name, ()))


def _said(call: ast.AST) -> list[ast.expr]:
    """What a call that makes a message says: of a message its template, of a statement its sentence and its next test."""
    if not isinstance(call, ast.Call) or not isinstance(call.func, ast.Name):
        return []
    named = [keyword.value for keyword in call.keywords if keyword.arg in ("text", "next_test")]
    return {"Message": call.args[:1], "Statement": [*call.args[:1], *call.args[2:3], *named]}.get(call.func.id, [])


def _texts(node: ast.AST) -> list[str]:
    """The texts that an expression can be; what picks one of them (a key, a condition) is none."""
    if isinstance(node, ast.Constant):
        return [node.value] if isinstance(node.value, str) else []
    parts: list[ast.expr] | None = None
    if isinstance(node, ast.Dict):
        parts = node.values
    elif isinstance(node, ast.IfExp):
        parts = [node.body, node.orelse]
    elif isinstance(node, ast.Subscript):
        parts = [node.value]
    return [text for part in parts or ast.iter_child_nodes(node) for text in _texts(part)]


def _in_result(result: Result) -> Iterator[str]:
    said = [*result.warnings, *result.notes, *(step.what for step in result.steps)]
    said += [text for finding in result.findings for text in (finding.statement, finding.next_test)]
    for text in said:
        yield from _parts(Message.of(text))


def sense_texts(calculator: Calculator) -> Iterator[str]:
    """What a job says of the calculator's tests: their names, where it is many, what they need, and what comes first of all."""
    sense = calculator.sense
    if isinstance(sense, Senses):
        yield from sense.of
    each = (
        () if sense is None else (*sense.of.values(), *filter(None, [sense.other])) if isinstance(sense, Senses) else (sense,)
    )
    yield from dict.fromkeys(need.question for one in each for need in one.needs if need.question)
    halts = [q.halt for one in each for q in one.questions.values() if q.halt]
    yield from dict.fromkeys(text for halt in halts for text in (halt.first, halt.reason) if text)


def has_words(template: str) -> bool:
    """Whether a template says something beside its places; one that does not is the same in every language."""
    return any(map(str.isalpha, re.sub(r"\{\w+\}", "", template)))


def _parts(message: Message) -> Iterator[str]:
    """The templates of a message and of those in it."""
    if has_words(message.template):
        yield message.template
    for value in message.arguments.values():
        for part in value if isinstance(value, list | tuple) else [value]:
            if isinstance(part, Message):
                yield from _parts(part)


def names(calculator: Calculator) -> Iterator[str]:
    """Names of inputs and outputs, and of what vectors are numbered by, as a person reads them; a unit's symbol is none."""
    words = [*(p.name for p in calculator.parameters), *(name for name in calculator.outputs if "{" not in name)]
    words += [output.each for output in calculator.outputs.values() if output.each]
    yield from dict.fromkeys(Word(word).word.replace("_", " ") for word in words)


def catalogue_text(calculator: Calculator, code: str) -> str:
    """A gettext catalogue of all that the calculator's card, help and results say, for its folder's `locale/`.

    What its catalogue, the handbook's or the core's has already is filled in or left out; the rest has an empty `msgstr`.
    """
    own, known = catalogue(calculator.package, code), {**catalogue(HANDBOOK, code), **catalogue(CORE, code)}
    head = f'msgid ""\nmsgstr ""\n"Language: {code}\\n"\n"Content-Type: text/plain; charset=UTF-8\\n"\n'
    said = dict.fromkeys((*_declared_texts(calculator), *templates(calculator), *sense_texts(calculator)))
    texts = [text for text in said if text not in known]
    parts = [_entry(text, own.get(text, "")) for text in texts]
    called = [_entry(name, own.get(f"name\4{name}", own.get(name, "")), "name") for name in names(calculator)]
    return "\n".join([head, *parts, *called])


def _declared_texts(calculator: Calculator) -> Iterator[str]:
    """The card's texts, as they are declared where the card only begins them with a capital."""
    from ..cards.build import card_of
    from ..cards.translate import texts_of

    helps = [*(p.field.help for p in calculator.parameters), *(output.help for output in calculator.outputs.values())]
    declared = {text[:1].upper() + text[1:]: text for text in (*helps, calculator.proves)}
    for text in texts_of(card_of(calculator)):
        if any(map(str.isalpha, text)):
            yield text.template if isinstance(text, Message) else declared.get(text, text)


def _entry(said: str, told: str, context: str = "") -> str:
    lines = [f'msgctxt "{context}"'] if context else []
    return "\n".join([*lines, f'msgid "{_quoted(said)}"', f'msgstr "{_quoted(told)}"', ""])


def _quoted(text: str) -> str:
    return text.replace("\\", "\\\\").replace('"', '\\"')
