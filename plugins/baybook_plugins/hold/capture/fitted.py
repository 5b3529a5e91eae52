"""The hold of a capture or of many readings: cut out, reduced, fitted. Numerical libraries load here."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import numpy as np
from numpy.typing import NDArray

from baybook.api import InputError, Problem, Result
from baybook_physics.fuels import FuelModel
from baybook_physics.inference.binning import bin_signal
from baybook_physics.inference.weights import distances

from ..estimate.posterior import Explained, NotAHoldError, conclude, explain
from ..estimate.summary import Asked, summarise
from ..inputs.course import Course
from ..inputs.rail import HIGHEST, HIGHEST_MPA, Rail
from ..inputs.wanted import Wanted
from ..result.outcome import outcome
from ..simulator.known import Known
from ..simulator.problem import rail_problem
from .falls import collapse, stopping
from .over import emptied, stopped
from .recording import Held, held
from .seen import seen
from .window import Window

Floats = NDArray[np.float64]

_LEAST = 8  # samples
_LATER_BEGINS = (0.1, 0.2, 0.35)  # of the hold, that may be no hold yet


def from_course(course: Course, rail: Rail, wanted: Wanted) -> Result:
    """Fit a capture, whose hold is found or cut where the user says, or readings taken by hand. Raises InputError."""
    if course.capture is not None:
        return fitted(held(course.capture, course.window_start, course.window_end), rail, wanted, "capture")
    pressures, times = course.pressures or (), course.times or ()
    time, clock = np.array([(reading.number("s"), reading.to("s").u) for reading in times]).T
    hold = Held(time, np.array([reading.number("MPa") for reading in pressures]), clock=clock)
    return fitted(hold, rail, wanted, "pressures", max(reading.to("MPa").u for reading in pressures))


def fitted(hold: Held, rail: Rail, wanted: Wanted, source: str, u: float = 0.0) -> Result:
    """Fit one hold, or tell of a fall that was over before. `u`: standard uncertainty of one reading (MPa) where it is known
    better than by its scatter."""
    back = rail.back_pressure.number("MPa")
    if (rows := _emptying(hold, back)) is not None:
        return emptied(hold, *rows, rail, wanted, u)
    time, pressure, window, clock = hold.time, hold.pressure, hold.window, hold.clock
    if problems := list(_problems(time, pressure, rail, wanted, source, u)):
        raise InputError(problems)
    fuel = rail.fuel_model()
    try:
        best, first = explained_from(time, pressure, Known(**rail.in_units()), fuel, window, u, clock)
        fall = stopping(*hold.whole, back) if hold.before or first or not best.good else None
        if fall is not None and (found := stopped(hold, fall, rail, wanted, u)) is not None:
            return found
        estimate = summarise(conclude(best), Asked(*wanted.in_units()))
    except NotAHoldError as error:
        hint = "check the volume, the units and the window"
        raise InputError.one(source, None, f"is not a hold: {error}", hint) from error
    window = window.moved(first, float(time[first])) if window is not None and first else window
    hold = hold._replace(time=time[first:], pressure=pressure[first:], window=window)
    return outcome(estimate, rail, wanted, fuel, seen(estimate, rail, hold))


def _emptying(hold: Held, back: float) -> tuple[int, int] | None:
    """The rows between which a rail emptied before its course could be followed."""
    if not len(hold.time) or hold.pressure.max() > HIGHEST_MPA:
        return None
    if (rows := collapse(hold.time, hold.pressure, back)) is not None:
        return rows
    few = int(np.argmax(np.append(hold.pressure <= back + 0.05, True)))
    return (0, few) if 0 < few < min(_LEAST, len(hold.time)) else None


def explained_from(
    time: Floats, pressure: Floats, known: Known, fuel: FuelModel, window: Window | None, u: float = 0.0,
    clock: Floats | None = None,
) -> tuple[Explained, int]:  # fmt: skip
    """The best that each law can do, and the sample with which the hold begins: a later one where a `window` that was found
    does not fit from its first. clock: standard uncertainty of each time (s)."""

    def explained(first: int) -> Explained:
        bins = bin_signal(time[first:], pressure[first:], u)
        late = 0.0 if clock is None else np.interp(bins.time, time[first:] - time[first], clock[first:])
        return explain(rail_problem(bins, known, fuel, late))

    first, best = 0, explained(0)
    if not best.good and window is not None:
        first, best = _later_begin(time, explained, best)
    return best, first


def _later_begin(time: Floats, explained: Callable[[int], Explained], best: Explained) -> tuple[int, Explained]:
    """Where the fit leaves more than noise the hold may have begun later: the first begin that fits, else the very first."""
    for share in _LATER_BEGINS:
        first = int(np.searchsorted(time, time[0] + share * (time[-1] - time[0])))
        if len(time) - first < 4 * _LEAST:
            break
        later = explained(first)
        if later.good:
            return first, later
    return 0, best


def _problems(time: Floats, pressure: Floats, rail: Rail, wanted: Wanted, source: str, u: float) -> Iterator[Problem]:
    if len(time) < _LEAST:
        yield Problem(source, None, f"has {len(time)} samples in the hold", f"at least {_LEAST} are needed")
        return
    yield from wanted.too_far_ahead(float(time[-1] - time[0]))
    tenth = max(len(time) // 10, 1)
    noise = max(float(np.std(np.diff(pressure))) / np.sqrt(2.0), u)
    levels = distances(pressure)
    least_step = float(levels.min()) if len(levels) else 0.0
    if float(pressure[-tenth:].mean() - pressure[:tenth].mean()) > 1.96 * noise * np.sqrt(2.0 / tenth) + least_step:
        yield Problem(source, None, "rises from its begin to its end", "a hold falls, or stays")
    if pressure.max() > HIGHEST_MPA or pressure[-3:].mean() <= rail.back_pressure.number("MPa") + 0.05:
        hint = f"give a window within 1 to {HIGHEST}, above the back pressure, and see its units"
        yield Problem(source, None, f"runs from {10 * pressure[0]:.5g} to {10 * pressure[-1]:.5g} bar", hint)
