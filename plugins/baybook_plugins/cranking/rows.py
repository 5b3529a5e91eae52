"""The rows of a recorded crank, what is known of its rail, and what is seen in it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, NamedTuple

from baybook.api import Estimate, InputError, Message, Plot

from .method import TURNS

if TYPE_CHECKING:
    from baybook_physics.following import Floats
    from baybook_physics.rail import Store

TURNS_BY_ITSELF = 500.0
"""rpm: no starter turns an engine so fast: from here on it runs (common practice, no source)."""
SHORTEST = 0.5  # s of cranking
LAST = 0.5  # s before the starter is let go
FEW = 8  # rows that tell how pressure falls
LEAST = 1.0  # MPa
COMPRESSION = 0.5  # s: between two compressions of four cylinders at 60 rpm


class Rail(NamedTuple):
    """What is known of the rail and its pump.

    store; relative standard uncertainty of its content; displacement per turn of the pump (cm3; 1 where not known); turns of
    the pump for one of the crank; elements (0: not known); known: whether the displacement is.
    """

    store: Store
    relative_u: float
    displacement: float
    ratio: float
    elements: int
    known: bool


class Seen(NamedTuple):
    """What a crank shows; None for what it does not."""

    speed: Estimate
    pressure: Estimate
    standing: Estimate
    lasted: Estimate
    started: bool
    time: Estimate | None = None
    battery: Estimate | None = None
    supply: Estimate | None = None
    delivery: Estimate | None = None
    delivered_at: Estimate | None = None
    """The mean pressure for which that holds."""
    share: Estimate | None = None
    lost: Estimate | None = None
    opens: str = ""
    """Whether something lets go at the pressure that is held and shuts again below it: it "may", or "does"."""
    filled_first: Estimate | None = None
    lacking: Estimate | None = None
    """How much of one element's delivery is missing at least, where that shows."""
    wanted: Estimate | None = None
    currents: tuple[tuple[str, Estimate, Estimate, bool], ...] = ()
    """A valve that a duty asks of: "inlet" or "outlet", duty, current, and whether that is none."""
    notes: tuple[Message, ...] = ()
    plots: tuple[Plot, ...] = ()


class Rows(NamedTuple):
    """Every row with a pressure: time (s), rail pressure (MPa gauge), speed (rpm), target; rows of the crank from `first` to
    before `end`."""

    time: Floats
    rail: Floats
    speed: Floats
    target: Floats | None
    first: int
    end: int
    started: bool


def rows_of(recording: Any, name: str) -> Rows:
    """Those of a recording, and its first crank. Raises InputError naming the file where it holds none."""
    import numpy as np

    rail, speed = recording.channel("rail").gauge("MPa"), recording.channel("rpm").to("rpm")
    good = np.isfinite(rail)
    known = np.isfinite(speed)
    if good.sum() < 8 or known.sum() < 8:
        raise InputError.one("capture", name, "has fewer than 8 rows with pressure or speed", "log for longer")
    time = recording.time
    speed = np.interp(time, time[known], speed[known])[good]
    target = recording.channels["set"].gauge("MPa")[good] if "set" in recording.channels else None
    time, rail = time[good], rail[good]
    runs = _cranks(time, speed)
    if not runs:
        hint = "log from before the starter turns until the pressure has fallen again"
        raise InputError.one("capture", name, f"has no crank of at least {SHORTEST:g} s", hint)
    first, end = runs[0]
    fires = np.flatnonzero(speed[first:end] > TURNS_BY_ITSELF)
    started = len(fires) > 0
    return Rows(time, rail, speed, target, first, first + int(fires[0]) if started else end, started)


def _cranks(time: Floats, speed: Floats) -> list[tuple[int, int]]:
    """Runs of rows in which the starter turns the engine, from its first motion on; one that begins with the engine running is
    none. A tired starter all but stands still at each compression: that is one crank, not many."""
    import numpy as np

    from baybook_physics.following import TURNING, joined, runs

    found = []
    for a, b in joined(time, runs(speed >= TURNS), COMPRESSION):
        fast = np.flatnonzero(speed[a:b] >= TURNING)
        if len(fast) and time[a + fast[-1]] - time[a] >= SHORTEST and speed[a] < TURNS_BY_ITSELF:
            found.append((a, a + int(fast[-1]) + 1))
    return found


def settled(rows: Rows) -> slice:
    """The crank without its first 0.3 s, and without its coasting to rest, of which the speed tells."""
    import numpy as np

    speed, time = rows.speed[rows.first : rows.end], rows.time[rows.first : rows.end]
    usual = float(np.median(speed))
    begin = int(np.searchsorted(time, time[0] + 0.3))
    turning = np.flatnonzero(speed >= 0.8 * usual)
    last = int(turning[-1]) + 1 if len(turning) else len(speed)
    return slice(rows.first + min(begin, last - 2), rows.first + last)


def resting(rows: Rows) -> tuple[int, int] | None:
    """The rows after the crank in which the engine stands, until it is turned again."""
    import numpy as np

    from baybook_physics.following import TURNING

    if rows.started:
        return None
    turned = rows.speed[rows.end :] >= TURNS
    first = rows.end + int(np.argmin(turned)) if len(turned) and not turned.all() else len(rows.time)
    again = np.flatnonzero(rows.speed[first:] >= TURNING)
    end = first + int(again[0]) if len(again) else len(rows.time)
    return (first, end) if end - first >= FEW else None


def standing(rows: Rows) -> float:
    """MPa before the starter turns."""
    import numpy as np

    return float(np.median(rows.rail[: max(rows.first, 2)]))


def held(rows: Rows) -> float:
    """MPa, before the starter was let go."""
    import numpy as np

    end = settled(rows).stop
    return float(np.median(rows.rail[np.searchsorted(rows.time, rows.time[end - 1] - LAST) : end]))
