"""The chart of the coil card: the mean current over the duty."""

from __future__ import annotations

from baybook.api import Known, Message, Plot, Series
from baybook_physics.coil import mean_current

TITLE = "Mean current over the duty, supply {supply} V, freewheel diode {diode} V"
DUTIES = tuple(range(0, 101, 2))


def charts(known: Known) -> tuple[Plot, ...]:
    """Mean current with a freewheel diode: in A where the coil is known, else in % of the current with the supply held on."""
    supply, diode = (known.taken(name).number("V") for name in ("supply", "diode"))
    alone = sum(sign * known[name].number("ohm") for name, sign in (("reading", 1), ("leads", -1)) if name in known)
    ohm = alone + known.taken("circuit").number("ohm") if "reading" in known and alone > 0 else None
    currents = [mean_current(duty / 100, supply, ohm or supply / 100, diode).mean for duty in DUTIES]
    title = Message(TITLE, supply=float(supply), diode=float(diode))
    what, unit = ("mean current", "A") if ohm else ("share of the full current", "%")
    return (Plot(title, "share of time the coil is on", "%", what, unit, (Series("", [float(d) for d in DUTIES], currents),)),)
