"""What a calculator may state, as data: the sentence, how strong it is, what to test next. Findings are made of it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from .dataclass import dataclass
from .message import Message, Word, places
from .result import Finding, Side, Stage, Strength, Verdict

if TYPE_CHECKING:
    from .message import Argument


@dataclass(frozen=True)
class Statement:
    """A sentence with named places ("injector {number} gives {value}"), its strength and the next test, as in a `Finding`.

    stage, side: where they are not the calculator's own.
    """

    text: str
    strength: Strength
    next_test: str = ""
    stage: Stage | Literal[""] = ""
    side: Side | Literal[""] = ""
    at_desk: bool = False

    def finding(self, **told: Argument) -> Finding:
        """The finding, with an argument for each place of the sentence. Raises PluginError where one is missing or too many."""
        return Finding(
            self.stage, self.side, Message(self.text, **told), self.strength, Message.of(self.next_test), self.at_desk
        )

    def on(self, verdict: Verdict, **told: Argument) -> Finding:
        """The finding on a verdict, which fills in the places `what`, `value`, `range` and, of a vector, `number`, unless told.

        Raises PluginError as `finding` does.
        """
        value = verdict.measured or verdict.bound or Word(verdict.verdict, "verdict")
        own: dict[str, Argument] = {"what": Word(verdict.what), "value": value, "range": verdict.range}
        own["number"] = verdict.index or 0
        return self.finding(**{**{name: own[name] for name in places(self.text) if name in own}, **told})
