"""The hold of a capture or of many readings: cut out, reduced, fitted. Numerical libraries load here."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from baybook.api import InputError, Problem, Reading, Result

from .answers import answer_capture
from .blocks import reduce
from .find import Stretch, find_hold
from .fit import problem
from .given import Given
from .posterior import Explained, NotAHoldError, believe, explain
from .summary import TOO_MUCH, Asked, summarise

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from baybook.fuels import FuelModel

    from .prior import Known

    Floats = NDArray[np.float64]
else:
    Floats = Any

_LEAST = 8  # samples
_LATER = (0.1, 0.2, 0.35)  # of the hold, that may be no hold yet


def _least_step(pressure: Floats) -> float:
    import numpy as np

    levels = np.diff(np.unique(np.round(pressure, 9)))
    return float(levels.min()) if len(levels) else 0.0


def from_capture(request: Any, given: Given, begin: Reading | None, finish: Reading | None) -> Result:
    """Read the capture, find its hold or cut it where the user says. Raises InputError."""
    import numpy as np

    recording = request.read()
    channel = recording.channel("rail")
    pressure = channel.to("MPa")
    if channel.reference == "absolute":
        pressure = pressure - 0.101325
    good = np.isfinite(pressure)
    time, pressure = recording.time[good], pressure[good]
    stretch: Stretch | None = None
    if begin is None and finish is None:
        stretch = _found(request, time, pressure)
        time, pressure = time[stretch.first : stretch.end], pressure[stretch.first : stretch.end]
    else:
        low = begin.number("s") if begin else -np.inf
        high = finish.number("s") if finish else np.inf
        inside = (time >= low) & (time <= high)
        time, pressure = time[inside], pressure[inside]
    return fitted(time, pressure, given, stretch, "capture")


def from_readings(pressures: tuple[Reading, ...], times: tuple[Reading, ...], given: Given) -> Result:
    """Fit readings taken by hand, in order of time. Raises InputError."""
    import numpy as np

    if len(pressures) != len(times):
        why = f"has {len(times)} readings for {len(pressures)} pressures"
        raise InputError.one("times", None, why, "give one time for each pressure")
    time = np.array([reading.number("s") for reading in times])
    pressure = np.array([reading.number("MPa") for reading in pressures])
    if not np.all(np.diff(time) > 0.0):
        raise InputError.one("times", None, "do not rise from reading to reading", "give them in order")
    return fitted(time, pressure, given, None, "pressures", max(reading.to("MPa").u for reading in pressures))


def fitted(time: Floats, pressure: Floats, given: Given, stretch: Stretch | None, source: str, u: float = 0.0) -> Result:
    """Fit one hold. `u`: standard uncertainty of one reading (MPa) where it is known better than by its scatter."""
    _check(time, pressure, given, source, u)
    fuel = given.fuel_model()
    asked = Asked(
        reference=given.reference.number("MPa") if given.reference else None,
        until=given.until.number("MPa") if given.until else None,
        after=given.after.number("s") if given.after else None,
    )

    try:
        best, first = begun(time, pressure, given.known(), fuel, stretch, u)
        stretch = stretch.moved(first, float(time[first])) if stretch is not None and first else stretch
        found = summarise(believe(best), asked)
    except NotAHoldError as error:
        would_do = "check the volume, the units and the window"
        raise InputError.one(source, None, f"is not a hold: {error}", would_do) from error
    return answer_capture(found, given, fuel, stretch, len(time) - first)


def begun(
    time: Floats, pressure: Floats, known: Known, fuel: FuelModel, stretch: Stretch | None, u: float = 0.0
) -> tuple[Explained, int]:
    """The best that each law can do, and the sample with which the hold begins: a later one where a `stretch` that was found
    does not fit from its first."""

    def explained(first: int) -> Explained:
        return explain(problem(reduce(time[first:], pressure[first:], u), known, fuel))

    first, best = 0, explained(0)
    if best.growth >= TOO_MUCH and stretch is not None:
        first, best = _later(time, explained, best)
    return best, first


def _later(time: Floats, explained: Callable[[int], Explained], best: Explained) -> tuple[int, Explained]:
    """Where the fit leaves more than noise the hold may have begun later: the first begin that fits, else the very first."""
    import numpy as np

    for share in _LATER:
        first = int(np.searchsorted(time, time[0] + share * (time[-1] - time[0])))
        if len(time) - first < 4 * _LEAST:
            break
        later = explained(first)
        if later.growth < TOO_MUCH:
            return first, later
    return 0, best


def _found(request: Any, time: Floats, pressure: Floats) -> Stretch:
    try:
        return find_hold(time, pressure)
    except ValueError as error:
        would_do = "give a capture of a shut rail, or say where it is with begin and finish"
        raise InputError.one("capture", str(request), f"holds no hold: {error}", would_do) from error


def _check(time: Floats, pressure: Floats, given: Given, source: str, u: float) -> None:
    import numpy as np

    problems = given.problems()
    if len(time) >= _LEAST:
        problems += given.after_problems(float(time[-1] - time[0]))
        tenth = max(len(time) // 10, 1)
        first, last = pressure[:tenth], pressure[-tenth:]
        noise = max(float(np.std(np.diff(pressure))) / np.sqrt(2.0), u)
        rise = float(last.mean() - first.mean())
        if rise > 1.96 * noise * np.sqrt(2.0 / tenth) + _least_step(pressure):
            problems.append(Problem(source, None, "rises from its begin to its end", "a hold falls, or stays"))
    if len(time) < _LEAST:
        problems.append(Problem(source, None, f"has {len(time)} samples in the hold", f"at least {_LEAST} are needed"))
    elif pressure.max() > 249.0 or pressure[-3:].mean() <= given.back_pressure.number("MPa") + 0.05:
        would_do = "give a window within 1 to 2490 bar, above the back pressure; see its units"
        problems.append(Problem(source, None, f"runs from {10 * pressure[0]:.5g} to {10 * pressure[-1]:.5g} bar", would_do))
    if problems:
        raise InputError(problems)
