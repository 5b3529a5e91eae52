"""The dialogue of `--ask`: one question after the other, each answer looked at at once, only wrong ones asked again."""

from __future__ import annotations

import os
import shlex
import sys
from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import TYPE_CHECKING, Any

from ..declaration import Rule
from ..errors import InputError, Refused
from ..execution import read_inputs, run
from ..fields import CaptureFile, Choice, Flag, Limits, Quantity, Readings, Text
from ..language import ENGLISH
from ..rules import broken, involved
from ..words import is_overload, unit_of
from .options import CAPTURE, default_words, quoted
from .output import complain

if TYPE_CHECKING:
    from ..declare import Calculator, Parameter
    from ..fields import Field
    from ..language import Language

ENOUGH, BACK, HELP = ".", "<", "?"
INTRODUCTION = (
    "Enter leaves out what is optional, {enough} all the rest of it; {back} goes back, {help} explains; "
    "bare numbers have the unit shown. Ctrl-C stops."
)


def questions(calculator: Calculator) -> list[str]:
    """The inputs in the order in which they are asked for: as the procedure reads them, then as they are declared."""
    return [parameter.name for parameter in calculator.in_order]


def asked(
    calculator: Calculator, raw: Mapping[str, Any], before: str, names: Sequence[str] = (), language: Language = ENGLISH
) -> dict[str, Any]:
    """Ask on the terminal for what is not given; the finished command line is told at the end, and what was typed at Ctrl-C.

    before: the command's beginning, such as "baybook hold"; names: the inputs to ask for, in order. Raises InputError where the
    answers end before the questions, or where what is wrong is nothing that can be asked for.
    """
    dialogue = Dialogue(calculator, dict(raw), list(names) or questions(calculator), language)
    complain(f"{language.text(calculator.title)}. " + language.text(INTRODUCTION).format(enough=ENOUGH, back=BACK, help=HELP))
    places = [parameter.name for parameter in calculator.parameters if parameter.field.positional]
    try:
        dialogue.hold()
    except KeyboardInterrupt:
        complain("")
        if dialogue.answers:
            line = command_line(before, dialogue.answers, places)
            complain(language.text("To go on with what was typed:") + f" {line} --ask")
        raise
    complain(language.text("The same in one line:") + f" {command_line(before, dialogue.answers, places)}")
    return dialogue.answers


def command_line(before: str, answers: Mapping[str, Any], places: Sequence[str] = ()) -> str:
    """The command that gives the same inputs. places: those that stand without an option, in their order."""
    parts = [before, *(_quoted(str(answers[name])) for name in places if name in answers)]
    for name, value in answers.items():
        if name in places:
            continue
        option = "--" + name.replace("_", "-")
        if isinstance(value, Mapping) and "file" in value:  # a capture, with what says how to read it
            parts += [option, _quoted(str(value["file"]))]
            parts += [f"{one.spelling} {_quoted(text)}" for one in CAPTURE for text in _texts(value, one.name)]
        else:
            parts += [option, _quoted("; ".join(map(str, value)) if isinstance(value, list | tuple) else str(value))]
    return " ".join(parts)


def _texts(capture: Mapping[str, Any], name: str) -> Iterable[str]:
    told = capture.get({"column": "columns", "channel_unit": "units"}.get(name, name)) or {}
    return [f"{key}={label}" for key, label in told.items()] if isinstance(told, Mapping) else [str(told)]


def _quoted(text: str) -> str:
    return shlex.quote(text) if any(character in text for character in '"$`\\!') else quoted(text)


class Dialogue:
    """The answers so far, the inputs that were left out, and the order in which they were asked for."""

    def __init__(self, calculator: Calculator, answers: dict[str, Any], names: list[str], language: Language) -> None:
        self.calculator, self.answers, self.names, self.language = calculator, answers, names, language
        self.asked: list[str] = []
        self.left_out: set[str] = set()
        self.wanted: set[str] = set()
        self.enough = False

    def hold(self) -> None:
        """Ask until nothing is open and the calculator has no objection."""
        while True:
            while (name := self._next()) is not None:
                self._ask(name)
            try:
                run(self.calculator, self.answers)
                return
            except InputError as error:
                if not self._ask_again(error):
                    raise

    def _next(self) -> str | None:
        for name in self.names:
            if name in self.answers or name in self.left_out:
                continue
            needed = self.calculator.parameter(name).required or name in self.wanted
            if needed or not (self.enough or self._is_idle(name)):
                return name
        return None

    def _ask(self, name: str) -> None:
        parameter = self.calculator.parameter(name)
        optional = not parameter.required and name not in self.wanted
        answer = self._answer(parameter, optional)
        if answer == BACK:
            if self.asked:
                before = self.asked.pop()
                self.answers.pop(before, None)
                self.left_out.discard(before)
            return
        self.asked.append(name)
        self.enough = self.enough or answer == ENOUGH
        if answer in ("", ENOUGH):
            self.left_out.add(name)
            return
        self.answers[name] = answer
        self._check(name)

    def _answer(self, parameter: Parameter, optional: bool) -> str:
        """The next answer that can be read: text, BACK, ENOUGH or "" for none."""
        while True:
            complain(self._question(parameter, optional), end="")
            text = self._line()
            if text == HELP:
                complain("\n".join(f"  {line}" for line in explanation(parameter, self.language)))
            elif text == BACK or (optional and text in ("", ENOUGH)):
                return text
            else:
                text = with_unit(parameter.field, text)
                try:
                    if not _means_another(parameter.field, text):
                        self._read(parameter, text)
                    return text
                except Refused as error:
                    complain(f'  "{text}" {error}')

    def _read(self, parameter: Parameter, text: str) -> None:
        """Raise Refused for what cannot be read."""
        parameter.field.parse(text)
        if isinstance(parameter.field, CaptureFile) and not os.path.isfile(text):
            raise Refused("is not a file that is there", "give its path, as seen from this folder")

    def _question(self, parameter: Parameter, optional: bool) -> str:
        field, language = parameter.field, self.language
        lines = [language.text(field.help)]
        if isinstance(field, Choice):
            width = max(map(len, field.words))
            lines[0] += f"{_default(parameter, optional, language)}:"
            lines += [f"  {word.ljust(width)}  {language.text(meaning)}" for word, meaning in field.words.items()]
            return "\n".join([*lines, f"{language.text('which')}: "])
        shown = field.example()
        unit = shown_unit(field)
        hint = f"{unit}, {language.text('such as')} {shown.removesuffix(unit).strip()}" if unit else shown
        return f"{lines[0]} ({hint}){_default(parameter, optional, language)}: "

    def _line(self) -> str:
        """The next line of standard input. Raises InputError at its end."""
        try:
            line = sys.stdin.readline()
        except (OSError, UnicodeDecodeError):
            line = ""
        if not line:
            complain("")  # the question stands alone on its line
            hint = f"answer each, or {ENOUGH} to leave out what is optional"
            raise InputError.one("--ask", None, "the input ended before every question was answered", hint)
        return line.strip()

    def _check(self, name: str) -> None:
        """Look at every rule that the answer completes; what is wrong is told, and asked for again."""
        settled = {*self.answers, *self.left_out}
        problems = []
        values = _values(self.calculator, self.answers)
        if values is None:
            return
        for rule in self.calculator.rules:
            names = involved(self.calculator, rule)
            if name in names and names <= settled:
                problems += broken(self.calculator, values, (rule,))
        if problems:
            self._ask_again(InputError(problems))

    def _ask_again(self, error: InputError) -> bool:
        """Tell what is wrong and open those questions again; whether there are any."""
        for line in str(error).splitlines():
            complain(f"  {line}")
        names = {problem.input for problem in error.problems} & set(self.names)
        for name in names:
            self.answers.pop(name, None)
            self.left_out.discard(name)
            self.wanted |= {problem.input for problem in error.problems if problem.input == name and problem.given is None}
        return bool(names)

    def _is_idle(self, name: str) -> bool:
        """Whether every answer would be refused beside those that are given, so that there is nothing to ask."""
        parameter = self.calculator.parameter(name)
        open_ones = {p.name for p in self.calculator.parameters if p.required and p.name not in self.answers}
        about = [rule for rule in self.calculator.rules if not isinstance(rule, Rule)]
        names = {rule: involved(self.calculator, rule) for rule in about}
        rules = tuple(rule for rule in about if name in names[rule] and not names[rule] & open_ones)
        trials = _trials(parameter.field)
        return bool(rules and trials) and all(self._is_refused(name, trial, rules) for trial in trials)

    def _is_refused(self, name: str, trial: str, rules: tuple[Any, ...]) -> bool:
        values = _values(self.calculator, {**self.answers, name: trial})
        return values is not None and any(problem.input == name for problem in broken(self.calculator, values, rules))


def _trials(field: Field) -> list[str]:
    """Answers of different sizes, to see whether any would do."""
    example = field.example()
    if type(field) is not Quantity:
        return list(field.words) if isinstance(field, Choice) else [example]
    value = field.parse(example)
    return [example, *(f"{value.value * factor:.4f} ± 0 {value.unit}" for factor in (0.5, 2.0))]


def _values(calculator: Calculator, answers: Mapping[str, Any]) -> dict[str, Any] | None:
    """Every input's value, with those that are still open as not given; None where one cannot be read."""
    open_ones = [p.name for p in calculator.parameters if p.required and p.name not in answers]
    stand_in = {name: calculator.parameter(name).field.example() for name in open_ones}
    try:
        values = read_inputs(calculator, {**stand_in, **answers})
    except InputError:
        return None
    return {**values, **dict.fromkeys(open_ones)}


def _means_another(field: Field, text: str) -> bool:
    return isinstance(field, Quantity) and bool(field.overload) and is_overload(text)


def _default(parameter: Parameter, optional: bool, language: Language) -> str:
    return (default_words(parameter) or f" [{language.text('optional')}]") if optional else ""


def shown_unit(field: Field) -> str:
    """The unit that a bare number has in an answer: that of the example; "" for what has none."""
    if isinstance(field, Quantity) and field.kind:
        return unit_of(field.example().rpartition(";")[2]) or field.kind.unit
    return unit_of(field.example().rpartition(" ")[2]) if isinstance(field, Limits) else ""


def with_unit(field: Field, text: str, unit: str = "") -> str:
    """The answer, with the unit shown (or the one given) behind bare numbers."""
    unit = unit or shown_unit(field)
    head, mark, source = text.partition(";") if isinstance(field, Limits) else (text, "", "")
    is_bare = head.strip()[-1:].isdigit() and unit_of(head.strip().rpartition(" ")[2]) == ""
    if isinstance(field, Readings):
        is_bare = any(character.isdigit() for character in text) and not unit_of(text.replace(";", " ").replace("-", " "))
    return f"{head.strip()} {unit}{mark}{source}" if unit and is_bare else text


def explanation(parameter: Parameter, language: Language) -> list[str]:
    """What `?` tells: what is given, in which forms, within which limits."""
    field = parameter.field
    lines = [language.text(field.help) + "."]
    if isinstance(field, Choice):
        return [*lines, *(f"{word}: {language.text(meaning)}" for word, meaning in field.words.items())]
    if isinstance(field, Text) and field.known:
        return [*lines, *(n if (told := language.text(n)) == n else f"{n}: {told}" for n in field.known)]
    if isinstance(field, Limits):
        lines.append("max 6, min 6, 3 to 7, 5 +- 1; " + language.text("behind a semicolon whose limits they are."))
    elif isinstance(field, Readings):
        lines.append("30 31 29 60; " + language.text("one behind the other, with a unit at the end if it is another."))
    elif isinstance(field, Quantity):
        lines.append("25, 25 +- 1, 25 +- 2 %; " + language.text("with a unit if it is another."))
    elif isinstance(field, Flag):
        lines.append(language.text("yes or no") + ".")
    limits: Callable[[], list[Any]] = getattr(field, "limits", list)
    lines += [f"{words} {limit.text}" for limit, _, words in limits()]
    return lines
