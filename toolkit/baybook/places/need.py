"""What a test needs to mean anything, what it answers, and what has to be done first where that is dangerous."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from ..dataclass import dataclass, field
from ..errors import PluginError

if TYPE_CHECKING:
    from .system import SystemMap


@dataclass(frozen=True)
class Need:
    """Something without which a test says nothing, or less.

    question: as it is put to a person; none where the calculator itself always says it. met: how often it holds where nobody
    has said. bad: how often the test comes out bad, whatever is at fault, where it does not hold. left: in place of bad, the
    share of its reach that the test still has then. at_rest: whether it holds of itself where the rail keeps its pressure at
    rest. of: the questions of the test that it is for, all of them where none is named.
    input: of the calculator, which answers it, the one of the need's own name unless said; words: what of it means that it
    holds, or does not. condition: of the step, such as "load", in which it holds. cranked: the question where the engine does
    not start and is only cranked. A calculator that has to work it out says it in `Result.met`.
    """

    name: str
    question: str = ""
    met: float = 0.5
    bad: float = 0.5
    at_rest: bool = False
    input: str = ""
    words: Mapping[str, bool] = field(default_factory=lambda: {"yes": True, "no": False})
    left: float = 0.0
    of: tuple[str, ...] = ()
    condition: str = ""
    cranked: str = ""

    def __post_init__(self) -> None:
        between(f"need {self.name!r}", self.met, self.bad, *((self.left,) if self.left else ()))

    def answer(self, given: Mapping[str, Any]) -> bool | None:
        """What the inputs say of it; None where they do not."""
        return self.words.get(str(given.get(self.input or self.name)))

    def chance(self, answer: bool | None, system: SystemMap) -> float:
        """How likely it is that it holds, by what was said and what is fitted."""
        if answer is not None:
            return float(answer)
        if self.at_rest and system.empties_at_rest() is False:
            return 1.0
        # a valve that opens at rest was not driven shut unless somebody says so
        return 0.0 if self.at_rest and system.empties_at_rest() else self.met


@dataclass(frozen=True)
class Halt:
    """What comes before any further test where a question was answered with bad, because hands or engine are in danger.

    first: what has to be done, as it is said to a person. engine: whether only such tests wait for it as turn the engine, by
    the starter or by itself; else every test does. lifted: the need of the test that, once it holds, ends it. A repair of
    what the question looks at, and the same question answered with good, end it as well. spoils: whether what is measured with
    the engine turned before that is worth less, as with another fuel or a flat battery. reason: what is the matter, in a few
    words that whoever brought the vehicle understands. off: whether the ignition waits too, because it runs the pump of the
    low-pressure side. fire: whether what is feared is a fire, not a jet. suspected: whether it is called by what was only
    thought to be seen. beside: a regular expression; it is called only where the complaint, or something else that was found,
    matches it.
    Raises PluginError for a `beside` that is no regular expression.
    """

    first: str
    engine: bool = True
    lifted: str = ""
    spoils: bool = False
    reason: str = ""
    off: bool = False
    fire: bool = False
    suspected: bool = False
    beside: str = ""

    def __post_init__(self) -> None:
        try:
            re.compile(self.beside)
        except re.error as error:
            raise PluginError(f"{self.beside!r}, beside which a halt is called, is no regular expression: {error}") from None

    @property
    def never(self) -> str:
        """What is forbidden meanwhile, in a short sentence."""
        if self.off:
            return KEY_OUT if self.fire else NOT_ON
        return NO_START if self.engine else NOTHING_ELSE


KEY_OUT = "Key off and out, no flame: do not switch on, start or crank."
NOT_ON = "Do not start, crank or switch on."
NO_START = "Do not start or crank."
NOTHING_ELSE = "No other test before that is settled."
NEVERS = (KEY_OUT, NOT_ON, NO_START, NOTHING_ELSE)
"""The worst first: each of the first three says what the later of them say."""

RUNAWAY = Halt(
    "engine off, and do not start, crank or load it: the rail pressure is not under control, and injectors, pipes and relief "
    "valve are at risk; with the engine at rest look at the rail sensor first, then at the valves and their drive",
    reason="The rail pressure is not under control",
)
"""Of every test that sees a rail pressure far above what it should be, or nothing that holds it down."""


def between(what: str, *chances: float) -> None:
    """Raise PluginError for what is no chance; a test that is never wrong would leave nothing to learn from others."""
    for chance in chances:
        if isinstance(chance, bool) or not 0.0 < chance < 1.0:
            raise PluginError(f"{what} is {chance!r}; give a chance between 0 and 1, neither of them included")


@dataclass(frozen=True)
class Answer:
    """What a result says to one question of its test's sense.

    conforms: the chance that what was measured conforms, 0.5 where that is open. object: what it was measured on, "" where the
    inputs or the job's step say it, "*" for each that the test can be made on. said: what was found, in words. factors: in
    place of conforms, for a calculator that knows more: by pattern of place how much likelier what was found is with that
    place at fault than with none. brings, shows: by quantity as in `Question`, how much.
    """

    question: str = ""
    conforms: float = 0.5
    object: str = ""
    said: str = ""
    factors: Mapping[str, float] | None = None
    brings: Mapping[str, float] = field(default_factory=dict)
    shows: Mapping[str, float] = field(default_factory=dict)

    def to_dict(self) -> dict[str, Any]:
        """For JSON."""
        return {
            "question": self.question, "conforms": None if self.factors is not None else self.conforms, "object": self.object,
            "said": str(self.said), "factors": None if self.factors is None else dict(self.factors),
            "brings": dict(self.brings), "shows": dict(self.shows),
        }  # fmt: skip
