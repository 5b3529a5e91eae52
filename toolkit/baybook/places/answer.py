"""What a result says to one question of its test's sense."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from ..dataclass import dataclass, field


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
