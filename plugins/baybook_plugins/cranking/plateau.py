"""A pressure that stands still short of what the control wants: whether a valve lets go there and shuts again below it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from baybook.api import Estimate

from .rows import LEAST, Rail, Rows, Seen, held, resting, settled, standing

if TYPE_CHECKING:
    from baybook_physics.following import Floats
    from baybook_physics.rail_balance import Balance

OVER = 0.9  # of the pressure that is held: there the rise is over
FLAT = 0.03  # of the pressure that is held: less is no rise or fall
MAY = 1.2
"""Of what is lost at rest, what the rise took at least: from there on a valve may let go, or a worn pump gives no more."""
ALIKE = 0.75, 1.25
"""Of what is lost meanwhile, what the rail loses of its content while the starter slows. Between these nothing fills it, as
where a worn pump gives no more; less is a pump that gives plenty, more is a valve that lets go (common practice, no source)."""
MOST = 1.1
"""Of what a pump sweeps: it gives no more, and is known that well."""


def let_go(seen: Seen, rows: Rows, rail: Rail, turns: Floats, content: Floats, found: Balance) -> Seen | None:
    """With pump and loss left open between their bounds where a valve may let go, or does; None where none does.

    Pressure then stands still although it rose with more than what the rail at rest loses there. What rose took some turns and
    at most another stroke, so the pump gives that at least. A starved pump and a leak do not stand still, or rise ever slower.
    """
    lost = seen.lost.to("mL/min") if seen.lost else None
    if not rail.known or lost is None or lost.high <= 0 or not _flat(seen, rows):
        return None
    swept = seen.speed.value * rail.ratio * rail.displacement
    share = _rose(rows, rail, turns, content, found) * (1.0 - 1.96 * rail.relative_u)
    if share * swept < MAY * lost.high or share >= MOST:
        return None
    does = not ALIKE[0] <= _slowing(rows, content, found) <= ALIKE[1]
    least = share if does else min(lost.low / swept, share)
    given = _between(least * swept, MOST * swept, "mL/min", "flow")
    lost = _between(lost.low, MOST * swept, "mL/min", "flow")
    between = _between(100 * least, 100 * MOST, "%", "ratio")
    return seen._replace(delivery=given, share=between, lost=lost, opens="does" if does else "may")


def _between(low: float, high: float, unit: str, kind: str) -> Estimate:
    return Estimate((low + high) / 2, unit, low, high, kind)


def _ends(rows: Rows) -> tuple[int, int, int]:
    """The rows where pressure begins to rise and where that is over, and the one behind the last before the starter slows."""
    import numpy as np

    crank = rows.rail[rows.first : rows.end]
    begin, over = (rows.first + int(np.argmax(crank >= level)) for level in (standing(rows) + LEAST, OVER * held(rows)))
    return begin, over, settled(rows).stop


def _flat(seen: Seen, rows: Rows) -> bool:
    """Whether the pressure stands still from the end of its rise on."""
    import numpy as np

    _, over, end = _ends(rows)
    middle, usual = (over + end) // 2, held(rows)
    if middle - over < 2 or end - middle < 2:
        return False
    drift = float(np.median(rows.rail[middle:end])) - float(np.median(rows.rail[over:middle]))
    return abs(drift) <= FLAT * usual and seen.pressure.value / 10 <= (1.0 + 2 * FLAT) * usual


def _rose(rows: Rows, rail: Rail, turns: Floats, content: Floats, found: Balance) -> float:
    """The least share of what it sweeps that the pump gave while pressure rose."""
    begin, over, _ = _ends(rows)
    rose = float(content[over] - content[begin]) + _lost(rows, found, begin, over)
    return rose / ((float(turns[over] - turns[begin]) + 1.0 / (rail.elements or 2)) * rail.displacement)


def _slowing(rows: Rows, content: Floats, found: Balance) -> float:
    """What the rail loses of its content while the starter slows, of what is lost of it."""
    end, rest = settled(rows).stop - 1, resting(rows)
    if rest is None:
        return 1.0
    return float(content[end] - content[rest[0]]) / max(_lost(rows, found, end, rest[0]), 1e-9)


def _lost(rows: Rows, found: Balance, first: int, last: int) -> float:
    from baybook_physics.rail import integral

    meanwhile = slice(first, last + 1)
    return float(integral(rows.time[meanwhile], found.loss(rows.rail[meanwhile]))[-1])
