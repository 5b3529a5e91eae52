"""The chart of the regulator card: what a voltmeter averages on the switched wire."""

from __future__ import annotations

from baybook.api import Known, Message, Plot, Series
from baybook_physics.pressure_valve import Switched, mean_voltage

LABELS = {Switched.GROUND: "switched to ground", Switched.SUPPLY: "switched to supply"}


def charts(known: Known) -> tuple[Plot, ...]:
    """Mean voltage over the share of time that the coil is on; both ways of switching where it is not known which."""
    supply = known.taken("supply").number("V")
    ways = [Switched(known["switched"])] if "switched" in known else list(Switched)
    lines = [Series(LABELS[way], (0.0, 100.0), [mean_voltage(share, supply, way) for share in (0, 1)]) for way in ways]
    title = Message("Mean voltage on the switched wire, supply {volts} V", volts=supply)
    return (Plot(title, "share of time the coil is on", "%", "mean voltage", "V", tuple(lines)),)
