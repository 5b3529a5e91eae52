"""What was seen of the currents in circuits, and what a test says nothing of there. Common practice, no source.

Along a wire without current there is no voltage drop, however it is broken; a joint that lets too little through still lets a
valve click, and a control unit seldom stores a code of it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from .evidence import Evidence
from .place import resolved
from .sense import Question

CURRENT_OF = "current of "
"""How the quantity is called (`Question.shows`), in % of what it should be, before the part."""
NONE = -95.0
"""%: from there on none flows."""


def currents(part: Iterable[Evidence]) -> dict[str, bool]:
    """Whether some current flows in each circuit whose current was seen to be wrong; not those where both was seen."""
    seen: dict[str, set[bool]] = {}
    for item in part:
        for quantity, size in item.shows.items() if item.conforms < 0.5 else ():
            if quantity.startswith(CURRENT_OF):
                seen.setdefault(quantity.removeprefix(CURRENT_OF), set()).add(size > NONE)
    return {circuit: states.pop() for circuit, states in seen.items() if len(states) == 1}


def hidden(question: Question, target: str, flows: Mapping[str, bool]) -> Iterator[str]:
    """The names of places of which the question says nothing, made on the target ("*" for all), by those currents."""
    for circuit, some in flows.items():
        if target in (circuit, "*"):
            yield from (resolved(pattern, circuit) for pattern in (question.if_flowing if some else question.if_dead))
