"""The usual cautions, said before any number. Signal words as in ANSI Z535.4, symbols as in ISO 7010.

Facts: references beside each. They defer to maker's data, local rules and licensed practice.
"""

from __future__ import annotations

from typing import Literal, get_args

from .dataclass import dataclass

Signal = Literal["danger", "warning", "caution", "notice"]
"""ANSI Z535 signal words, from will-kill-or-maim down to no injury."""
SIGNALS: tuple[Signal, ...] = get_args(Signal)


class CardDataError(ValueError):
    """Cautions or card data that can't be printed: the message says which part of which card and why."""


def one_of(value: str, choices: tuple[str, ...], what: str) -> None:
    """Raise CardDataError where `value` is none of the choices."""
    if value not in choices:
        raise CardDataError(f"{what}: {value!r} is not one of {', '.join(choices)}")


def filled(value: str, what: str) -> None:
    """Raise CardDataError for a text without a letter."""
    if not value.strip():
        raise CardDataError(f"{what}: the text is empty")


@dataclass(frozen=True)
class Caution:
    """A caution: its signal word, its text, the ISO 7010 symbols that stand beside it ("W001"), and what a small card says.

    Raises CardDataError (a ValueError) for a signal word that there is not and for an empty text.
    """

    signal: Signal
    text: str
    symbols: tuple[str, ...] = ("W001",)
    short: str = ""

    def __post_init__(self) -> None:
        one_of(self.signal, SIGNALS, "signal word of a caution")
        filled(self.text, "caution")

    @property
    def brief(self) -> str:
        """What a small card has room for: `short`, or the text up to its first full stop."""
        head, stop, _ = self.text.partition(". ")
        return self.short or (head + "." if stop else self.text)

    def to_dict(self) -> dict[str, object]:
        """For JSON."""
        return {"signal": self.signal, "text": self.text, "symbols": list(self.symbols)}


# about 0.7 MPa can breach skin; injection injuries look small and need surgery at once (hand-surgery texts; Verhoeven and
# Hierner, Strat. Traum. Limb Recon. 3 (2008) 27-33; Hogan and Ruland, J. Orthop. Trauma 20 (2006) 503-511)
HIGH_PRESSURE = Caution(
    "danger",
    "Fuel at rail pressure goes through skin and gloves. Never search for a leak by hand and never open a line under pressure. "
    "Stop the engine, wait as long as the vehicle's data say, and prove by a reading that the rail is at zero. "
    "An injection injury is a surgical emergency, even when it looks small and does not hurt.",
    ("W-JET", "M002"),
    "Jets pierce skin: never feel for leaks.",
)
FLAMMABLE = Caution(
    "warning",
    "Fuel burns, and as a mist it burns below its flash point. No flame, no sparks, no hot surfaces; "
    "catch and wipe up what runs out.",
    ("W021", "P003"),
    "Fuel mist burns: no flame, no sparks.",
)
HIGH_VOLTAGE = Caution(
    "danger",
    "Injector drivers store dangerous voltage. Do not unplug or probe injectors on a running engine; key off and wait first.",
    ("W012",),
    "Running: unplug no injector.",
)
STARTING = Caution(
    "warning",
    "The engine may start or turn without notice. Keep hands, hair, sleeves and leads away from belts, fans and hot parts.",
    ("W001", "W017"),
    "The engine may start: keep clear.",
)
# common practice, no source; the symbols are ISO 7010's
RUNNING_ENGINE = Caution(
    "warning",
    "An engine that runs or cranks: extract the exhaust gas. Neutral or P, brake on, wheels chocked; on a lift "
    "the vehicle is secured and nobody stands below it. Exhaust and returning fuel are hot. The fan may start by itself, also "
    "with the key off. Keep a fire extinguisher in reach. Let the starter rest between cranks. Wear ear protection.",
    ("W001", "W017", "M003"),
    "Extract exhaust; P, brake, chocks; mind the fan.",
)
CONTROL_LOSS = Caution(
    "danger",
    "Do not unplug a pressure control on a running engine: rail pressure may rise without limit or the engine may stop.",
    ("W001",),
    "Unplug no pressure control on a running engine.",
)
INJECTOR_PLUGS = Caution("danger", "Injector plugs: up to 200 V; first rail zero, waiting time.", ("W012",))
SLIPPING_PIN = Caution(
    "danger",
    "A pin that slips to ground drives a valve fully on: with an outlet valve that is full pressure.",
    ("W-JET",),
    "Slipping pins: full pressure.",
)
RUNS_AWAY = Caution(
    "danger",
    "Pressure runs away: engine off from where you sit. On the road a helper reads, never the driver.",
    ("W-JET",),
    "Runs away: engine off.",
)
MAKERS_DATA = Caution(
    "notice",
    "The maker's data for this vehicle, local rules and licensed practice come before anything that is written here.",
    ("M002",),
    "Maker's data, local rules, licensed practice come first.",
)
ANYWHERE = (HIGH_PRESSURE, HIGH_VOLTAGE, RUNNING_ENGINE, FLAMMABLE, MAKERS_DATA)
"""Of a test that may be made at any part of the system."""
SEEN_TO_FALL = Caution(
    "danger",
    "Zero counts only if you saw this reading fall from pressure to zero. If it stood at zero all along, it proves nothing. "
    "Never seen to fall, or above zero: stop; take the rail as loaded, key off, wait as long as the data say, and empty it the "
    "maker's way. No data: stop here.",
    ("W-JET",),
    "Not seen: STOP; card Safety.",
)
STORED_VOLTAGE = Caution(
    "danger",
    "Injector wiring stores dangerous voltage, also when the rail is at zero: wait as the data say.",
    ("W012",),
    "Injectors store voltage.",
)
