"""A cause has to explain what was seen, in sign and size.

A ground that makes the rail sensor tell too much is no cause of a sensor that tells too little, and a wire that takes a tenth
of the current is none of a current that is a third. Tests say of a quantity what was seen of it (`shows`), and what the fault
that they found makes of it (`brings`). What makes less than half of what was seen, or the contrary, counts that much less: its
verdict moves towards the open one, which says nothing. Common practice, no source.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from ..dataclass import replace
from .complaint import MOVEMENT
from .evidence import Evidence
from .together import fleeting, together

if TYPE_CHECKING:
    from .history import Repair

IN_FULL = 0.5
"""Of what was seen: a cause that makes as much of it explains it, since both are read roughly."""


def weighed(steps: Sequence[Evidence | Repair]) -> tuple[Evidence | Repair, ...]:
    """The steps, each bad outcome as far as it explains what was seen between the same two repairs; void what was read by
    that which is found dead there."""
    found: list[Evidence | Repair] = []
    if any(isinstance(item, Evidence) and (item.provoked or MOVEMENT in item.shows) for item in steps):
        steps = [fleeting(item) if isinstance(item, Evidence) else item for item in steps]
    for part in map(together, _parted(steps)):
        seen = [item for item in part if isinstance(item, Evidence) and item.shows]
        found += [_as_far(item, seen) if isinstance(item, Evidence) and item.brings else item for item in part]
    return tuple(found)


def share(brought: float, shown: float) -> float:
    """How much of what was seen a cause makes, from 0 (none of it, or the contrary) to 1.

    An infinite `shown` is a direction alone, which a cause of the same sign explains.
    """
    if not brought * shown > 0.0:  # of nothing and a direction alone it is no number
        return 0.0
    return 1.0 if math.isinf(shown) else min(1.0, brought / shown / IN_FULL)


def _as_far(item: Evidence, seen: Sequence[Evidence]) -> Evidence:
    if item.conforms >= 0.5:
        return item
    shares = [
        share(size, other.shows[quantity])
        for quantity, size in item.brings.items()
        for other in seen if quantity in other.shows and other.conforms < 0.5 and other is not item
    ]  # fmt: skip
    least = min(shares, default=1.0)
    return replace(item, explains=least, conforms=0.5 - (0.5 - item.conforms) * least)


def _parted(steps: Sequence[Evidence | Repair]) -> Iterator[list[Evidence | Repair]]:
    part: list[Evidence | Repair] = []
    for step in steps:
        if not isinstance(step, Evidence):
            yield part
            part = []
        part.append(step)
    yield part
