"""The tests that are on offer: every calculator that declares its sense, by the name that a test has in the odds."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import cache

from ..dataclass import dataclass
from ..declare import Calculator
from ..errors import BaybookError
from ..places.place import Place
from ..places.sense import Sense, Senses
from ..registry import registry


@dataclass(frozen=True)
class OfferedTest:
    """A test on offer: its calculator, its sense, and the inputs that make it this one of the calculator's tests."""

    calculator: Calculator
    sense: Sense
    inputs: Mapping[str, str]


@cache
def offered_tests() -> Mapping[str, OfferedTest]:
    """Every test by its name. A plugin that cannot be loaded offers none; `baybook plugins` says why."""
    return {name: test for listed in registry().listed() for name, test in _of(listed.name)}


def _of(name: str) -> Iterator[tuple[str, OfferedTest]]:
    try:
        calculator = registry().calculator(name)
    except BaybookError:
        return
    sense = calculator.sense
    if isinstance(sense, Senses):
        yield from ((word, OfferedTest(calculator, each, {sense.input: word})) for word, each in sense.of.items())
    elif sense is not None:
        yield name, OfferedTest(calculator, sense, {})


def senses() -> dict[str, Sense]:
    """The sense of every test, by its name."""
    return {name: test.sense for name, test in offered_tests().items()}


def added_places() -> tuple[Place, ...]:
    """The places that tests add to every map, each once."""
    return tuple({place.name: place for test in offered_tests().values() for place in test.sense.places}.values())
