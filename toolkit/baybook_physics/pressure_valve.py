"""What a pressure-control valve does: which way it moves, which way pressure goes; what meters show of its switched wire.

common practice, no source. Two places to govern rail pressure:

* inlet: on the low side, it meters what the pump may take in. Open is more pressure.
* outlet: on the pump or the rail, it lets fuel escape. Closed is more pressure.

The usual kinds stand open without current and are driven in, so the same current acts in opposite
ways: it restricts the inlet (pressure falls), it closes the escape (pressure rises).
"""

from __future__ import annotations

from enum import StrEnum

from baybook.dataclass import dataclass

__all__ = ["Counts", "Place", "Rest", "Switched", "Valve", "drive_from_voltage", "mean_voltage", "on_share"]


class Place(StrEnum):
    """Where a valve sits."""

    INLET = "inlet"
    OUTLET = "outlet"


class Rest(StrEnum):
    """Where a valve stands without current."""

    OPEN = "open"
    CLOSED = "closed"


class Switched(StrEnum):
    """Which side of the coil the control unit switches; the other side is wired through."""

    GROUND = "ground"
    SUPPLY = "supply"


class Counts(StrEnum):
    """Which part of the period a duty meter shows as its percentage."""

    LOW = "low"
    HIGH = "high"
    UNKNOWN = "unknown"


@dataclass(frozen=True)
class Valve:
    """One pressure-control valve as it is fitted."""

    place: Place
    rest: Rest = Rest.OPEN

    @property
    def current_moves_it(self) -> str:
        """Return where more current moves it: `closed` or `open`."""
        return "closed" if self.rest is Rest.OPEN else "open"

    @property
    def current_raises_pressure(self) -> bool:
        """Tell whether more current means more rail pressure."""
        return (self.place is Place.INLET) == (self.rest is Rest.CLOSED)

    @property
    def full_pressure_position(self) -> str:
        """Return where it stands for full pressure: the inlet `open`, the outlet `closed`."""
        return "open" if self.place is Place.INLET else "closed"

    @property
    def full_pressure_current(self) -> str:
        """Return what full pressure asks of the coil: `full current` or `no current`."""
        return "full current" if self.current_raises_pressure else "no current"

    @property
    def loss_of_current(self) -> str:
        """Return which way pressure goes when the current is lost: `rises` or `falls`."""
        return "falls" if self.current_raises_pressure else "rises"


def mean_voltage(drive: float, supply: float, switched: Switched) -> float:
    """Return what a voltmeter averages on the switched wire against ground, in V.

    ``drive`` is the share of time the coil is switched on, 0 to 1. Ground-switched: the wire is
    low while on, so U (1 - D). Supply-switched: high while on, so U D. Ideal: the switch's and
    the diode's drop (some 0.1 to 1 V) are left out.
    """
    return supply * (1 - drive if switched is Switched.GROUND else drive)


def on_share(reading: float, counts: Counts, switched: Switched) -> float:
    """Return the share of time on from a duty reading (0 to 1) of a known polarity.

    A duty meter counts the high time or the low time of the wire it hangs on. Read the wrong way round, 30 % becomes 70 % and
    every conclusion is turned over.
    """
    on_level = Counts.LOW if switched is Switched.GROUND else Counts.HIGH
    return reading if counts is on_level else 1 - reading


def drive_from_voltage(mean: float, supply: float, switched: Switched) -> float:
    """Return the share of time switched on from the mean voltage of the switched wire."""
    share = mean / supply
    return 1 - share if switched is Switched.GROUND else share
