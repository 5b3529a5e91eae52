"""What was true of a run, as a test may ask for it."""

from __future__ import annotations

from typing import Any

import numpy as np

from .engine import Run


def crank_truth(run: Run, enable: float) -> dict[str, Any]:
    """Speeds in rpm, pressures in MPa (as the sensor shows them), times in s, flows in mL/min at atmospheric pressure.

    The starter's stretch begins 0.3 s after it was engaged, and ends when it is let go or the engine fires.
    """
    engine, seen = run.engine, run.seen
    turning = (run.time >= engine.turned) & (run.time < engine.released)
    reached = np.flatnonzero(turning & (seen["rail"] >= enable))
    if run.started:
        usual = np.median(seen["rpm"][turning & (seen["rpm"] > 25) & (seen["rpm"] < 400)])
        turning &= run.time < run.time[np.flatnonzero(seen["rpm"] > 1.6 * usual)[0]]
    steady = turning & (run.time > engine.turned + 0.3)
    return {
        "speed": float(seen["rpm"][steady].mean()),
        "battery": float(seen["battery"][turning].min()),
        "pressure": float(seen["rail"][turning].max()),
        "time": float(run.time[reached[0]] - engine.turned) if len(reached) else None,
        "supply": float(seen["low"][turning].min()),
        "started": run.started,
        "steady": steady,
    }


def mean_flow(run: Run, name: str, rows: Any) -> float:
    """Of one way in or out, mL/min at atmospheric pressure."""
    return float(run.flows[name][rows].mean() * 60)


def delivered(run: Run, steady: Any) -> float | None:
    """What the pump gave at the crank's mean speed while the control let all of it into the rail, mL/min."""
    engine, seen = run.engine, run.seen
    rows = (run.time >= engine.turned) & (run.time < engine.released) & (seen["set"] - seen["rail"] > 3) & (seen["true"] > 1)
    if rows.sum() < 100 or run.started:
        return None
    return mean_flow(run, "pumped", rows) * float(seen["rpm"][steady].mean() / seen["rpm"][rows].mean())


def lost(run: Run, pressure: float) -> float:
    """What left the rail within 1 MPa of a pressure that is shown, mL/min; what a control lets off is no loss."""
    engine = run.engine
    rows = (run.time >= engine.turned) & (np.abs(run.seen["rail"] - pressure) < 1.0)
    names = ["static", "excess", "external", "injected"]
    if engine.outlet_orifice or engine.outlet_broken or engine.outlet_lift < 100:
        names.append("outlet")
    return sum(mean_flow(run, name, rows) for name in names)


def share_missing(run: Run, rows: Any) -> float:
    """What the last element lacks, per cent of what the others give on average."""
    last = run.flows["element_last"][rows].mean()
    others = (run.flows["pumped"][rows].mean() - last) / (run.engine.elements - 1)
    return float(100 * (1 - last / others)) if others > 0 else float("nan")


def deviation(run: Run, second: float) -> float:
    """Mean of what is shown less the target, over one second from there on, MPa."""
    rows = (run.time >= second) & (run.time < second + 1)
    return float((run.seen["rail"][rows] - run.seen["set"][rows]).mean())
