"""The hold of a capture or of many readings: cut out, reduced, fitted. Numerical libraries load here."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from baybook.api import InputError, Problem, Reading, Result
from baybook_physics.inference.binning import bin_signal

from .estimate.posterior import Explained, NotAHoldError, conclude, explain
from .estimate.summary import TOO_MUCH, Asked, summarise
from .inputs.measured import Inputs
from .inputs.recording import Held, held
from .inputs.window import Window
from .result.outcome import answer_capture
from .simulator.problem import rail_problem

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from baybook_physics.fuels import FuelModel

    from .simulator.parameters import Known

    Floats = NDArray[np.float64]
else:
    Floats = Any

_LEAST = 8  # samples
_LATER_BEGINS = (0.1, 0.2, 0.35)  # of the hold, that may be no hold yet


def _least_step(pressure: Floats) -> float:
    import numpy as np

    levels = np.diff(np.unique(np.round(pressure, 9)))
    return float(levels.min()) if len(levels) else 0.0


def from_capture(request: Any, inputs: Inputs, begin: Reading | None, finish: Reading | None) -> Result:
    """Read the capture, find its hold or cut it where the user says. Raises InputError."""
    return fitted(held(request, begin, finish), inputs, "capture")


def from_readings(pressures: tuple[Reading, ...], times: tuple[Reading, ...], inputs: Inputs) -> Result:
    """Fit readings taken by hand, in order of time. Raises InputError."""
    import numpy as np

    if len(pressures) != len(times):
        why = f"has {len(times)} readings for {len(pressures)} pressures"
        raise InputError.one("times", None, why, "give one time for each pressure")
    time = np.array([reading.number("s") for reading in times])
    pressure = np.array([reading.number("MPa") for reading in pressures])
    if not np.all(np.diff(time) > 0.0):
        raise InputError.one("times", None, "do not rise from reading to reading", "give them in order")
    return fitted(Held(time, pressure), inputs, "pressures", max(reading.to("MPa").u for reading in pressures))


def fitted(hold: Held, inputs: Inputs, source: str, u: float = 0.0) -> Result:
    """Fit one hold. `u`: standard uncertainty of one reading (MPa) where it is known better than by its scatter."""
    time, pressure, window = hold.time, hold.pressure, hold.window
    _check(time, pressure, inputs, source, u)
    fuel = inputs.fuel_model()
    asked = Asked(
        reference=inputs.reference.number("MPa") if inputs.reference else None,
        until=inputs.until.number("MPa") if inputs.until else None,
        after=inputs.after.number("s") if inputs.after else None,
    )

    try:
        best, first = explained_from(time, pressure, inputs.known(), fuel, window, u)
        window = window.moved(first, float(time[first])) if window is not None and first else window
        found = summarise(conclude(best), asked)
    except NotAHoldError as error:
        hint = "check the volume, the units and the window"
        raise InputError.one(source, None, f"is not a hold: {error}", hint) from error
    return answer_capture(found, inputs, fuel, hold._replace(time=time[first:], pressure=pressure[first:], window=window))


def explained_from(
    time: Floats, pressure: Floats, known: Known, fuel: FuelModel, window: Window | None, u: float = 0.0
) -> tuple[Explained, int]:
    """The best that each law can do, and the sample with which the hold begins: a later one where a `window` that was found
    does not fit from its first."""

    def explained(first: int) -> Explained:
        return explain(rail_problem(bin_signal(time[first:], pressure[first:], u), known, fuel))

    first, best = 0, explained(0)
    if best.inflation >= TOO_MUCH and window is not None:
        first, best = _later_begin(time, explained, best)
    return best, first


def _later_begin(time: Floats, explained: Callable[[int], Explained], best: Explained) -> tuple[int, Explained]:
    """Where the fit leaves more than noise the hold may have begun later: the first begin that fits, else the very first."""
    import numpy as np

    for share in _LATER_BEGINS:
        first = int(np.searchsorted(time, time[0] + share * (time[-1] - time[0])))
        if len(time) - first < 4 * _LEAST:
            break
        later = explained(first)
        if later.inflation < TOO_MUCH:
            return first, later
    return 0, best


def _check(time: Floats, pressure: Floats, inputs: Inputs, source: str, u: float) -> None:
    import numpy as np

    problems = inputs.problems()
    if len(time) >= _LEAST:
        problems += inputs.after_problems(float(time[-1] - time[0]))
        tenth = max(len(time) // 10, 1)
        first, last = pressure[:tenth], pressure[-tenth:]
        noise = max(float(np.std(np.diff(pressure))) / np.sqrt(2.0), u)
        rise = float(last.mean() - first.mean())
        if rise > 1.96 * noise * np.sqrt(2.0 / tenth) + _least_step(pressure):
            problems.append(Problem(source, None, "rises from its begin to its end", "a hold falls, or stays"))
    if len(time) < _LEAST:
        problems.append(Problem(source, None, f"has {len(time)} samples in the hold", f"at least {_LEAST} are needed"))
    elif pressure.max() > 249.0 or pressure[-3:].mean() <= inputs.back_pressure.number("MPa") + 0.05:
        hint = "give a window within 1 to 2490 bar, above the back pressure; see its units"
        problems.append(Problem(source, None, f"runs from {10 * pressure[0]:.5g} to {10 * pressure[-1]:.5g} bar", hint))
    if problems:
        raise InputError(problems)
