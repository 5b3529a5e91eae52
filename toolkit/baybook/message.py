"""Messages: a sentence as a template with its arguments, so that any language says it and numbers are formatted once.

A `Message` is a text, its English sentence, that knows what it was made of; a plain text is a message without arguments, and
`Message.of` makes it one. Light: on the way of every scalar command.
"""

from __future__ import annotations

from . import numbers
from .errors import PluginError
from .estimate import Estimate
from .language import ENGLISH, NAME
from .reading import Reading
from .spec import SpecRange

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Callable, Sequence
    from typing import Any, Protocol, TypeAlias

    Argument: TypeAlias = "Estimate | Reading | SpecRange | float | str | Word | Sequence[Argument]"
    Said: TypeAlias = Callable[["Message"], Any]

    class Speaks(Protocol):
        """A language: what says messages, words and figures in it."""

        def text(self, message: str) -> str: ...  # noqa: D102
        def word(self, word: str, context: str = NAME) -> str: ...  # noqa: D102
        def figures(self, text: str) -> str: ...  # noqa: D102


class Word:
    """A word of the program in a message: the name of an input or output, or a word that one of them takes.

    Unlike a text, which stands as somebody typed it, a word is looked up; `context` tells apart what one English word means in
    two places: "name", or the input or output that takes it (`Word("laminar", "law")`). capital: at the start of a sentence.
    """

    __slots__ = ("capital", "context", "word")

    def __init__(self, word: str, context: str = NAME, *, capital: bool = False) -> None:
        self.word, self.context, self.capital = word, context, capital

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Word) and (self.word, self.context) == (other.word, other.context)

    def __hash__(self) -> int:
        return hash((self.word, self.context))

    def __repr__(self) -> str:
        return f"Word({self.word!r}, {self.context!r})"

    def text(self, language: Speaks) -> str:
        """The word in that language."""
        said = language.word(self.word, self.context)
        return said[:1].upper() + said[1:] if self.capital else said


class Message(str):
    """A sentence: `template` with named places ("{leak} is outside {limit}") and an argument for each.

    Arguments: estimates, readings, spec ranges, numbers, words (`Word`), other messages, somebody's own texts, which no
    language changes, and sequences of these. As a text it is the English sentence.
    Raises PluginError where places and arguments differ.
    """

    __slots__ = ("arguments", "template")
    template: str
    arguments: dict[str, Argument]

    def __new__(cls, template: str, /, **arguments: Argument) -> Message:
        """Fill the template in."""
        if set(places(template)) != set(arguments):
            raise PluginError(f"the message {template!r} has the places {places(template)} and the arguments {list(arguments)}")
        return _made(template, arguments)

    @classmethod
    def numbered(cls, text: str) -> Message:
        """A name with its number taken out of the template: "the coil of injector 3" has one translation for every 3."""
        import re

        found = re.search(r"\b\d+\b", text)
        if not found:
            return cls.of(text)
        before, after = (cls.of(part).template for part in (text[: found.start()], text[found.end() :]))
        return cls(f"{before}{{n}}{after}", n=int(found[0]))

    @classmethod
    def of(cls, text: str) -> Message:
        """A plain text as a message; a message as it is. Raises PluginError for what is no text."""
        if isinstance(text, Message):
            return text
        if not isinstance(text, str):
            raise PluginError(f"{text!r:.60} stands where a message is wanted")
        return _made(text.replace("{", "{{").replace("}", "}}"), {})

    def __repr__(self) -> str:
        return f"Message({self.template!r}, {self.arguments!r})"

    def __getnewargs_ex__(self) -> tuple[tuple[str], dict[str, Argument]]:
        return (self.template,), self.arguments

    def text(self, language: Speaks) -> str:
        """The sentence in that language."""
        return _filled(language.text(self.template), self.arguments, language)

    def to_dict(self) -> dict[str, Any]:
        """For JSON: the text, and what it was made of."""
        arguments = {name: _plain(value) for name, value in self.arguments.items()}
        return {"text": str(self), "template": self.template, "arguments": arguments}


def _made(template: str, arguments: dict[str, Argument]) -> Message:
    message = str.__new__(Message, _filled(template, arguments, ENGLISH))
    message.template, message.arguments = template, arguments
    return message


def _filled(template: str, arguments: dict[str, Argument], language: Speaks) -> str:
    if not arguments:
        return template.replace("{{", "{").replace("}}", "}")
    return template.format(**{name: shown(value, language) for name, value in arguments.items()})


def joined(parts: Sequence[str], between: str = "; ") -> Message:
    """All of them in one message, first to last; one alone as it is."""
    if len(parts) == 1:
        return Message.of(parts[0])
    named = {f"part_{number}": Message.of(part) for number, part in enumerate(parts, 1)}
    return Message(between.join(f"{{{name}}}" for name in named), **named)


def places(template: str) -> tuple[str, ...]:
    """The names of the places in a template, in order, each once. Raises PluginError for a place that has no name."""
    names: dict[str, None] = {}
    rest = template.replace("{{", "").replace("}}", "")
    while "{" in rest:
        _, _, rest = rest.partition("{")
        name, closed, rest = rest.partition("}")
        if not closed or not name.isidentifier():
            raise PluginError(f"the message {template!r} has the place {name!r}, which is no name")
        names[name] = None
    return tuple(names)


def shown(value: Argument, language: Speaks = ENGLISH) -> str:
    """An argument as a person of that language reads it; a number is rounded here and nowhere else."""
    if isinstance(value, Message | Word):
        return value.text(language)
    if isinstance(value, str):
        return value
    if isinstance(value, Estimate):
        return _assumed_in(language.figures(value.show()), language) if value.assumed else language.figures(value.show())
    if isinstance(value, Reading):
        return language.figures(value.show())
    if isinstance(value, SpecRange):
        return range_shown(value, language)
    if isinstance(value, bool):
        return language.text("yes" if value else "no")
    if isinstance(value, int):
        return str(value)
    if isinstance(value, float):
        return language.figures(numbers.plain(value, 5))
    *first, last = [shown(item, language) for item in value] or [""]
    return f"{', '.join(first)} {language.text('and')} {last}" if first else last


def _assumed_in(text: str, language: Speaks) -> str:
    return text.replace(" assumed)", f" {language.text('assumed')})")


def range_shown(spec: SpecRange, language: Speaks = ENGLISH) -> str:
    """A spec range in words, from its numbers: `at most 6 mL/min`."""
    ends = [None if end is None else numbers.unmistakable(numbers.plain(end)) for end in (spec.low, spec.high)]
    low, high = ("" if end is None else language.figures(end) for end in ends)
    unit = "" if spec.unit.symbol == "1" else f" {spec.unit.symbol}"
    template = "{low} to {high}" if low and high else "at least {low}" if low else "at most {high}"
    return language.text(template).format(low=low, high=high) + unit


def _plain(value: Argument) -> Any:
    if isinstance(value, Message):
        return value.to_dict()
    if isinstance(value, Word):
        return {"word": value.word, "context": value.context}
    if isinstance(value, Estimate):
        return {"value": value.value, "unit": value.unit.symbol, "low": value.low, "high": value.high}
    if isinstance(value, Reading):
        return {"text": value.text, "value": value.value, "unit": value.unit.symbol}
    if isinstance(value, SpecRange):
        return value.to_dict()
    if isinstance(value, str | int | float):
        return value
    return [_plain(item) for item in value]
