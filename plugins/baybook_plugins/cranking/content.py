"""What a rail held over a crank: what the pump gave, what was lost, what had to be filled first."""

from __future__ import annotations

from typing import TYPE_CHECKING

from baybook.api import Estimate, Message

from .method import TURNS
from .plateau import MOST, let_go
from .rows import LEAST, Rail, Rows, Seen, held, resting, settled, standing

if TYPE_CHECKING:
    from baybook_physics.following import Floats
    from baybook_physics.rail_balance import Balance
ATMOSPHERE = 0.101325
RISES, SHARE = (
    5.0,
    0.3,
)  # MPa, or this share of the highest: above it free air has all but vanished, and the zero error is small
SEEN = 0.4  # of it: where a rail at rest begins with that or more, it shows what the crank lost
KNOWN_ENOUGH = 0.4  # relative standard uncertainty of what the pump gives; beyond it no number is told
NO_BALANCE = Message(
    "What the pump gives and what is lost cannot be told apart in this capture: log on until the pressure has fallen."
)
NO_DELIVERY = Message(
    "What the pump gives is not told by this capture, for pressure is there within too few of its strokes; what is lost is, by "
    "how pressure falls after the stop."
)
LET_GO = Message(
    "Pressure rose with more than the rail loses at rest and then stood still: what the pump gives and what is lost there are "
    "told as ranges, for no fall after the stop shows a valve that has shut again."
)
NO_TARGET = Message("The capture has no target: the build-up is taken to last until the highest pressure is nearly reached.")


def balanced(seen: Seen, rows: Rows, rail: Rail) -> Seen:
    """With what the pump gives and what is lost, where the capture tells them apart."""
    import numpy as np

    from baybook_physics.rail import integral
    from baybook_physics.rail_balance import balance

    parts, rest = _parts(rows), resting(rows) or (0, 0)
    turning = (rows.speed >= TURNS) & ~np.isin(np.arange(len(rows.time)), np.arange(*rest))
    turns = integral(rows.time, np.where(turning, rows.speed, 0.0) / 60 * rail.ratio)
    content = rail.store.at(rows.rail + ATMOSPHERE)
    found = balance(rows.time, content, rows.rail, turns * rail.displacement, parts)
    notes = list(seen.notes) + ([NO_TARGET] if rows.target is None else [])
    rate = seen.speed.value / 60 * rail.ratio
    seen = seen._replace(lacking=_lacking(rows, rail, turns, rate * rail.displacement) if rail.elements > 1 else None)
    if found is None or found.share <= 0:
        return seen._replace(notes=(*notes, NO_BALANCE))
    begin, end = parts[0]
    swept, mean = rate * rail.displacement, max(float(rows.rail[begin:end].mean()), 0.0)
    given, given_u = found.given(swept, mean)
    stroke = 1.0 / max(rail.elements, 2) / np.sqrt(12.0) / _turned(rows, turns, parts)
    relative = float(np.sqrt((given_u / given) ** 2 + rail.relative_u**2 + stroke**2)) if given > 0 else np.inf
    rested = len(parts) > 1  # a rail that nothing fills shows what is lost by itself, and has no strokes
    most = MOST * swept if rail.known else np.inf
    if rested or relative <= KNOWN_ENOUGH:
        seen = seen._replace(lost=_lost(seen, found, rail.relative_u**2 + (0.0 if rested else stroke**2), most))
    unmet = end == rows.end or (rows.target is None and seen.time is None)
    if rested and unmet and (opened := let_go(seen, rows, rail, turns, content, found)):
        return opened._replace(notes=(*notes, LET_GO))
    if relative > KNOWN_ENOUGH or given * (1.0 - 1.96 * relative) > most:
        return seen._replace(notes=(*notes, NO_DELIVERY if seen.lost else NO_BALANCE))
    return seen._replace(
        delivery=_flow(given, given * float(np.hypot(relative, seen.speed.u / seen.speed.value)), most),
        delivered_at=Estimate.of(float(f"{10 * mean:.2g}"), "bar", kind="gauge pressure"),
        share=_no_more(
            Estimate.of(100 * given / swept, "%", 100 * given / swept * relative, kind="ratio", at_least=0.0),
            100 * most / swept,
        ),
        filled_first=_filled_first(rows, rail, found, turns, content, relative),
        notes=tuple(notes),
    )


def _lost(seen: Seen, found: Balance, relative: float, most: float) -> Estimate | None:
    """What is lost at the highest pressure; None where too little is known of it. relative: variance of what moves it whole."""
    highest = seen.pressure.value / 10
    loss, u = float(found.loss(highest)), found.loss_u(highest)
    by_zero = abs(seen.standing.value) / 10 / max(highest, LEAST) / 1.96
    u = float((u**2 + (relative + by_zero**2) * loss**2) ** 0.5)
    return _flow(loss, u, most) if 0 < u <= KNOWN_ENOUGH * most else None


def _turned(rows: Rows, turns: Floats, parts: list[tuple[int, int]]) -> float:
    """Turns of the pump that tell how much it gives, which begin and end anywhere in a stroke: where what is lost is known from
    a rail that nothing fills, all of them, else those in which pressure rises."""
    if len(parts) > 1 and parts[0][1] > parts[0][0] + 1:
        return max(float(turns[parts[0][1] - 1] - turns[parts[0][0]]), 1e-3)
    return _build_up(rows, turns)


def _build_up(rows: Rows, turns: Floats) -> float:
    """Turns of the pump in which pressure rises: what they bring tells how much the pump gives, a plateau does not."""
    begin = _risen(rows) or rows.first
    end = min(_first_at(rows, 0.8), _parts(rows)[0][1] - 1)
    return max(float(turns[max(end, begin)] - turns[begin]), 1e-3)


def _lacking(rows: Rows, rail: Rail, turns: Floats, swept: float) -> Estimate | None:
    """How much of one element's delivery is missing at least, where its own order carries more flow than the strokes do.

    swept: cm3/s of the whole pump. A loss and a valve that lets go flatten the order, so the share is a least one. Flow goes
    with pressure times order; half-sine strokes of an odd number make their double order in the first place.
    """
    import numpy as np

    from baybook_physics.orders import measured_orders, share_by_speed
    from baybook_physics.strokes import missing_share

    last, number = slice(_first_at(rows, 0.8), settled(rows).stop), rail.elements
    if not rail.known or last.stop - last.start < 8:
        return None
    try:
        first, strokes, doubled = measured_orders(turns[last], rows.rail[last], [1.0, float(number), 2.0 * number])
    except ValueError:  # too few turns
        return None
    most = max(each.order * (each.amplitude + 1.96 * each.u) for each in (strokes, doubled))
    if not first.stands_out or first.amplitude - 1.96 * first.u <= most:
        return None
    p = float(rows.rail[last].mean()) + ATMOSPHERE
    soft = float(np.diff(rail.store.at(np.array([p - 0.5, p + 0.5])))[0])
    rate = float(turns[last][-1] - turns[last][0]) / float(rows.time[last][-1] - rows.time[last][0])
    share = missing_share(first.amplitude * soft * 2 * np.pi * rate, swept, number)
    share = max(share - share_by_speed(turns[last], rows.speed[last], number), 0.0)
    return Estimate.of(
        100 * share, "%", 100 * share * float(np.hypot(first.u / first.amplitude, rail.relative_u)), kind="ratio"
    )


def _flow(value: float, u: float, most: float) -> Estimate:
    """mL/min, from cm3/s; no more than the pump can give."""
    return _no_more(Estimate.of(60 * value, "mL/min", 60 * u, kind="flow", at_least=0.0), 60 * most)


def _no_more(found: Estimate, most: float) -> Estimate:
    """What lies above that is cut off, of the value what lies above all that is swept."""
    value, low, high = (
        min(number, end) for number, end in ((found.value, most / MOST), (found.low, most / MOST), (found.high, most))
    )
    return Estimate(value, found.unit, low, high, found.kind, found.at_least)


def _first_at(rows: Rows, share: float) -> int:
    """The first row of the crank at which this share of its highest pressure is reached."""
    import numpy as np

    p = rows.rail[rows.first : rows.end]
    return rows.first + int(np.argmax(p >= share * p.max()))


def _parts(rows: Rows) -> list[tuple[int, int]]:
    """The rows in which the control lets all of the pump's fuel into the rail: from where pressure has risen until nine tenths
    of the target, or nearly the highest where none was logged, and from the stop on.

    Where the target is never met, the whole crank; what came after it is a part of its own where pressure then begins at what
    the crank held, for then what is lost there is seen by itself. Where it fell at once, as from a valve that had let go or a
    great leak, it is not, and pump and loss are told apart by the stop alone.
    """
    import numpy as np

    begin = _risen(rows) or rows.first
    wanted = (
        rows.rail.max() * 0.95 if rows.target is None else 0.9 * np.nan_to_num(rows.target, nan=float(np.nanmax(rows.target)))
    )
    met = np.flatnonzero((rows.rail >= wanted)[rows.first : rows.end])
    rest = resting(rows)
    seen = rest is not None and float(rows.rail[rest[0]]) >= SEEN * held(rows)
    if len(met) and (rows.target is not None or rows.started or seen):
        rise = (begin, max(rows.first + int(met[0]), begin + 2))
        return [rise, rest] if rest else [rise]
    if rest and seen:
        return [(begin, rows.end), rest]
    return [(begin, rows.end if rows.started else len(rows.time))]


def _risen(rows: Rows) -> int | None:
    """The first row of the crank in which pressure has risen from where it stood."""
    import numpy as np

    low, crank = standing(rows), rows.rail[rows.first : rows.end]
    found = np.flatnonzero(crank >= low + max(min(RISES, SHARE * float(crank.max() - low)), LEAST))
    return rows.first + int(found[0]) if len(found) else None


def _filled_first(rows: Rows, rail: Rail, found: Balance, turns: Floats, content: Floats, relative: float) -> Estimate | None:
    """What was pumped before the pressure had risen, beyond what the fuel itself takes up and what was lost meanwhile."""
    import numpy as np

    from baybook_physics.rail import integral

    at = _risen(rows)
    if at is None:
        return None
    first = max(rows.first - 5, 0)
    lost = integral(rows.time[first : at + 1], found.loss(rows.rail[first : at + 1]))[-1]
    pumped = found.share * rail.displacement * float(turns[at] - turns[first])
    value = pumped - float(content[at] - content[first]) - float(lost)
    stroke = found.share * rail.displacement / max(rail.elements, 2)  # the pump begins anywhere in a stroke
    u = float(np.hypot(relative * pumped, stroke / np.sqrt(12.0)))
    return Estimate.of(value, "cm3", u, kind="volume", at_least=0.0)
