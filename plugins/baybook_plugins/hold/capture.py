"""The hold of a capture or of many readings: cut out, reduced, fitted. Numerical libraries load here."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from baybook.api import InputError, Problem, Reading, Result, SpecRange

from .answers import answer_capture
from .blocks import reduce
from .find import Stretch, find_hold
from .fit import problem
from .given import Given
from .posterior import NotAHoldError, understand
from .summary import Asked, summarise

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
else:
    Floats = Any

_LEAST = 8  # samples


def from_capture(request: Any, given: Given, begin: Reading | None, finish: Reading | None, limit: SpecRange | None) -> Result:
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
    return fitted(time, pressure, given, limit, stretch, "capture")


def from_readings(pressures: tuple[Reading, ...], times: tuple[Reading, ...], given: Given, limit: SpecRange | None) -> Result:
    """Fit readings taken by hand, in order of time. Raises InputError."""
    import numpy as np

    if len(pressures) != len(times):
        why = f"has {len(times)} readings for {len(pressures)} pressures"
        raise InputError.one("times", None, why, "give one time for each pressure")
    time = np.array([reading.number("s") for reading in times])
    pressure = np.array([reading.number("MPa") for reading in pressures])
    if not np.all(np.diff(time) > 0.0):
        raise InputError.one("times", None, "do not rise from reading to reading", "give them in order")
    return fitted(time, pressure, given, limit, None, "pressures", max(reading.to("MPa").u for reading in pressures))


def fitted(
    time: Floats, pressure: Floats, given: Given, limit: SpecRange | None, stretch: Stretch | None, source: str, u: float = 0.0
) -> Result:
    """Fit one hold. `u`: standard uncertainty of one reading (MPa) where it is known better than by its scatter."""
    _check(time, pressure, given, source)
    fuel = given.fuel_model()
    asked = Asked(
        reference=given.reference.number("MPa") if given.reference else None,
        until=given.until.number("MPa") if given.until else None,
    )
    task = problem(reduce(time, pressure, u), given.known(), fuel)
    try:
        found = summarise(understand(task), asked)
    except NotAHoldError as error:
        would_do = "check the volume, the units and the window"
        raise InputError.one(source, None, f"is not a hold: {error}", would_do) from error
    return answer_capture(found, given, fuel, limit, stretch, len(time))


def _found(request: Any, time: Floats, pressure: Floats) -> Stretch:
    try:
        return find_hold(time, pressure)
    except ValueError as error:
        would_do = "give a capture of a shut rail, or say where it is with begin and finish"
        raise InputError.one("capture", str(request), f"holds no hold: {error}", would_do) from error


def _check(time: Floats, pressure: Floats, given: Given, source: str) -> None:
    problems = given.problems()
    if len(time) < _LEAST:
        problems.append(Problem(source, None, f"has {len(time)} samples in the hold", f"at least {_LEAST} are needed"))
    elif not pressure[0] > pressure[-1]:
        problems.append(Problem(source, None, "does not fall from its first to its last sample", "a hold falls"))
    elif pressure.max() > 249.0 or pressure[-3:].mean() <= given.back_pressure.number("MPa") + 0.2:
        would_do = "give a window within 2 to 2490 bar, above the back pressure; see its units"
        problems.append(Problem(source, None, f"runs from {10 * pressure[0]:.5g} to {10 * pressure[-1]:.5g} bar", would_do))
    if problems:
        raise InputError(problems)
