"""A test's sense where the test is made elsewhere, or on an engine that does not start."""

from __future__ import annotations

from ..dataclass import replace
from .sense import Sense

CRANKING = "cranking"
"""The condition of a step in which an engine that does not start shows its complaint."""


def where_it_does_not_start(sense: Sense) -> Sense:
    """The same test, its needs asked for as they are where the engine is only cranked."""
    return replace(
        sense, needs=tuple(replace(n, question=n.cranked, condition=CRANKING) if n.cranked else n for n in sense.needs)
    )


def made_outside(sense: Sense) -> Sense:
    """The same test made on a part that is not on the map: it speaks of that alone."""
    moved = {
        word: replace(each, reach={}, direct=(), off_map=max([each.off_map, *each.reach.values()]))
        for word, each in sense.questions.items()
    }
    return replace(sense, questions=moved, objects=())
