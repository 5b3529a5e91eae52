"""Messages: a sentence as a template with its arguments, so that any language says it and numbers are formatted once.

Light: on the way of every scalar command. A plain text is a message without arguments; `Message.of` makes it one.
"""

from __future__ import annotations

from . import numbers
from .errors import PluginError
from .estimate import Estimate
from .language import ENGLISH
from .reading import Reading
from .spec import SpecRange

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from typing import Any

    from .language import Language

    Argument = Estimate | Reading | SpecRange | float | str | "Message" | "Word" | Sequence["Argument"]


class Word:
    """A word of the program in a message: a name of an input or output, or a word that one of them takes ("laminar" of `law`).

    Unlike a text, which stands as somebody typed it, a word is looked up; `context` tells apart what one English word means in
    two places.
    """

    __slots__ = ("context", "word")

    def __init__(self, word: str, context: str = "name") -> None:
        self.word, self.context = word, context

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Word) and (self.word, self.context) == (other.word, other.context)

    def __hash__(self) -> int:
        return hash((self.word, self.context))

    def __repr__(self) -> str:
        return f"Word({self.word!r}, {self.context!r})"


class Message:
    """A sentence: `template` with named places (`"{leak} is outside {limit}"`) and an argument for each.

    Arguments are estimates, readings, spec ranges, numbers, texts of the user's, words, messages, or sequences of these.
    Raises PluginError where places and arguments differ.
    """

    __slots__ = ("arguments", "template")

    def __init__(self, template: str, /, **arguments: Argument) -> None:
        self.template, self.arguments = template, arguments
        if set(places(template)) != set(arguments):
            raise PluginError(f"the message {template!r} has the places {places(template)} and the arguments {list(arguments)}")

    @classmethod
    def of(cls, text: str | Message) -> Message:
        """A text without places as a message; a message as it is."""
        if isinstance(text, Message):
            return text
        message = cls.__new__(cls)
        message.template, message.arguments = text.replace("{", "{{").replace("}", "}}"), {}
        return message

    def __str__(self) -> str:
        return self.text(ENGLISH)

    def __repr__(self) -> str:
        return f"Message({self.template!r}, {self.arguments!r})"

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Message) and (self.template, self.arguments) == (other.template, other.arguments)

    def __hash__(self) -> int:
        return hash((self.template, str(self)))

    def text(self, language: Language) -> str:
        """The sentence in that language."""
        told = language.text(self.template)
        if not self.arguments:
            return told.replace("{{", "{").replace("}}", "}")
        return told.format(**{name: shown(value, language) for name, value in self.arguments.items()})

    def to_dict(self, language: Language = ENGLISH) -> dict[str, Any]:
        """For JSON: the text, and what it was made of."""
        arguments = {name: _plain(value) for name, value in self.arguments.items()}
        return {"text": self.text(language), "template": self.template, "arguments": arguments}


def places(template: str) -> tuple[str, ...]:
    """The names of the places in a template, in order, each once. Raises PluginError for a template that is none."""
    names: dict[str, None] = {}
    rest = template.replace("{{", "").replace("}}", "")
    while "{" in rest:
        _, _, rest = rest.partition("{")
        name, closed, rest = rest.partition("}")
        if not closed or not name.isidentifier():
            raise PluginError(f"the message {template!r} has a place {name!r} that is no name")
        names[name] = None
    return tuple(names)


def shown(value: Argument, language: Language) -> str:
    """An argument as a person of that language reads it; a number is rounded here and nowhere else."""
    if isinstance(value, Message):
        return value.text(language)
    if isinstance(value, Word):
        return language.word(value.word, value.context)
    if isinstance(value, str):
        return value
    if isinstance(value, Estimate):
        return language.figures(value.show())
    if isinstance(value, Reading):
        return language.figures(f"{numbers.show(value.value, value.half_width)} {value.unit.symbol}")
    if isinstance(value, SpecRange):
        return range_message(value).text(language)
    if isinstance(value, int | float):
        return language.figures(numbers.plain(value, 5))
    return ", ".join(shown(item, language) for item in value)


def range_message(spec: SpecRange) -> Message:
    """A spec range as a message: `at most 6 mL/min`."""
    low, high = (None if limit is None else numbers.plain(limit) for limit in (spec.low, spec.high))
    return Message.of(spec.show()) if None not in (low, high) else Message.of(spec.show())


def _plain(value: Argument) -> Any:
    if isinstance(value, Message):
        return value.to_dict()
    if isinstance(value, Word):
        return {"word": value.word, "context": value.context}
    if isinstance(value, Estimate | SpecRange):
        return value.to_dict()
    if isinstance(value, Reading):
        return {"text": value.text, "value": value.value, "unit": value.unit.symbol}
    if isinstance(value, str | int | float):
        return value
    return [_plain(item) for item in value]
