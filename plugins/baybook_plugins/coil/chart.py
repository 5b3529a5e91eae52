"""The chart of the coil card: the mean current over the duty."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from baybook.api import Plot, Series

from .model import mean_current

SUPPLY = 14.0
"""Supply in V with the engine running, where it is not known (common practice, no source)."""
DIODE = 0.7
"""Drop of the freewheel diode in V, as the calculator takes it where it is not known."""
DUTIES = tuple(range(0, 101, 2))


def charts(known: Mapping[str, Any]) -> tuple[Plot, ...]:
    """Mean current with a freewheel diode: in A where the coil is known, else in % of the current with the supply held on."""
    supply = known["supply"].number("V") if "supply" in known else SUPPLY
    diode = known["diode"].number("V") if "diode" in known else DIODE
    coil = sum(sign * known[name].number("ohm") for name, sign in (("reading", 1), ("leads", -1)) if name in known)
    circuit = known["circuit"].number("ohm") if "circuit" in known else 0.0
    ohm = coil + circuit if "reading" in known and coil > 0 else None
    currents = [mean_current(duty / 100, supply, ohm or supply / 100, diode).mean for duty in DUTIES]
    title = f"Mean current over the duty, supply {supply:g} V, freewheel diode {diode:g} V"
    what, unit = ("mean current", "A") if ohm else ("share of the full current", "%")
    return (Plot(title, "share of time the coil is on", "%", what, unit, (Series("", [float(d) for d in DUTIES], currents),)),)
