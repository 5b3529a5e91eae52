"""What a pressure-control valve does: which way it moves, which way pressure goes.

common practice, no source. Two places to govern rail pressure:

* inlet: on the low side, it meters what the pump may take in. Open is more pressure.
* outlet: on the pump or the rail, it lets fuel escape. Closed is more pressure.

The usual kinds stand open without current and are driven in, so the same current acts in opposite
ways: it restricts the inlet (pressure falls), it closes the escape (pressure rises).
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


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


def drive_from_voltage(mean: float, supply: float, switched: Switched) -> float:
    """Return the share of time switched on from the mean voltage of the switched wire."""
    share = mean / supply
    return 1 - share if switched is Switched.GROUND else share


def loss_of_all_current(valves: list[Valve]) -> str:
    """Say what the loss of current at every valve together does, and what is dangerous in it."""
    falls = [valve for valve in valves if valve.loss_of_current == "falls"]
    if not falls:
        return RUNS_UP
    if len(falls) == len(valves):
        return RUNS_DOWN
    escapes = [valve for valve in falls if valve.place is Place.OUTLET]
    return ESCAPE_WINS if escapes else SUPPLY_WINS


RUNS_UP = (
    "Without current nothing holds the pressure back: the pump delivers all it can and pressure "
    "runs up until a relief valve opens, if one is fitted. That can burst or damage parts and "
    "injure: never take the current away on a running engine to see what happens."
)
RUNS_DOWN = (
    "Without current pressure collapses: the engine stops or does not start. A moving vehicle "
    "loses drive without warning: never take the current away on a running engine to see what "
    "happens."
)
ESCAPE_WINS = (
    "Without current at both, the outlet valve stands open and pressure collapses although the "
    "inlet lets the pump fill: the engine stops or does not start. If the inlet valve alone loses "
    "its current the pump delivers all it can and the outlet has to pass it: pressure may run up. "
    "Never take the current away on a running engine to see what happens."
)
SUPPLY_WINS = (
    "Without current at both, the inlet valve shuts the pump off and pressure runs out although "
    "the escape is closed: the engine stops or does not start. If the outlet valve alone loses "
    "its current nothing lets pressure down quickly and it may run up. "
    "Never take the current away on a running engine to see what happens."
)
