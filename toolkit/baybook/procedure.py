"""How a test is done, as data: from it come the screen, the order of the questions, the card and the report.

A procedure has entry conditions (stop if one is not met), steps in order with hold points between them, and an end. A step is
one action, verb first, and says which inputs are read at it; so what is asked for, in which order, and which blanks a card
has follow from it and are listed nowhere else.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from .cautions import Caution
from .errors import PluginError


@dataclass(frozen=True)
class Action:
    """One action. reads: the inputs that are read at it, by name; tool: what it takes; caution: what threatens just here;
    drawing: name of the drawing beside it.
    """

    text: str
    reads: tuple[str, ...] = ()
    tool: str = ""
    caution: Caution | None = None
    drawing: str = ""


@dataclass(frozen=True)
class HoldPoint:
    """Nothing is done, and no hand goes where it says, until what it says is so. Printed as a bar across the steps."""

    text: str


@dataclass(frozen=True)
class Procedure:
    """How a test is done.

    entry: conditions, each a sentence that can be answered. steps: in order; a plain text is an action that reads nothing.
    end: how all is put back, looked at and cleared. tools: what is needed beside the tools of the steps.
    Raises PluginError for an empty sentence.
    """

    steps: Sequence[Action | HoldPoint | str] = ()
    entry: Sequence[str] = ()
    end: Sequence[str] = ()
    tools: Sequence[str] = ()

    def __post_init__(self) -> None:
        steps = tuple(Action(step) if isinstance(step, str) else step for step in self.steps)
        object.__setattr__(self, "steps", steps)
        for name in ("entry", "end", "tools"):
            object.__setattr__(self, name, tuple(getattr(self, name)))
        if not all(text.strip() for text in self):
            raise PluginError("a procedure has an empty sentence")

    @classmethod
    def of(cls, procedure: Procedure | Iterable[str]) -> Procedure:
        """A procedure as it is, plain texts as its steps."""
        return procedure if isinstance(procedure, Procedure) else cls(tuple(procedure))

    @property
    def actions(self) -> tuple[Action, ...]:
        """The steps without the hold points."""
        return tuple(step for step in self.steps if isinstance(step, Action))

    @property
    def reads(self) -> tuple[str, ...]:
        """The inputs in the order in which they are read, each once."""
        return tuple(dict.fromkeys(name for action in self.actions for name in action.reads))

    @property
    def needs(self) -> tuple[str, ...]:
        """What has to lie ready: the tools of the steps in their order, each once, then the others."""
        return tuple(dict.fromkeys([*(action.tool for action in self.actions if action.tool), *self.tools]))

    def __iter__(self) -> Iterator[str]:
        """Every sentence in the order in which it is done."""
        yield from self.entry
        yield from (step if isinstance(step, str) else step.text for step in self.steps)
        yield from self.end

    def __bool__(self) -> bool:
        return bool(self.steps)
