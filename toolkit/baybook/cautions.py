"""The usual cautions, said before any number. Signal words as in ANSI Z535.4, symbols as in ISO 7010.

Facts: references beside each. They defer to maker's data, local rules and licensed practice.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Signal = Literal["danger", "warning", "caution", "notice"]


@dataclass(frozen=True)
class Caution:
    """A caution: its signal word, its text, and the ISO 7010 symbols that stand beside it ("W001")."""

    signal: Signal
    text: str
    symbols: tuple[str, ...] = ("W001",)

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
    ("W001", "M004", "M009"),
)
FLAMMABLE = Caution(
    "warning",
    "Fuel burns, and as a mist it burns below its flash point. No flame, no sparks, no hot surfaces; "
    "catch and wipe up what runs out.",
    ("W021", "P003"),
)
HIGH_VOLTAGE = Caution(
    "danger",
    "Injector drivers store dangerous voltage. Do not unplug or probe injectors on a running engine; key off and wait first.",
    ("W012",),
)
STARTING = Caution(
    "warning",
    "The engine may start or turn without notice. Keep hands, hair, sleeves and leads away from belts, fans and hot parts.",
    ("W001", "W017"),
)
CONTROL_LOSS = Caution(
    "warning",
    "Do not unplug a pressure control on a running engine: rail pressure may rise without limit or the engine may stop.",
    ("W001",),
)
MAKERS_DATA = Caution(
    "notice",
    "The maker's data for this vehicle, local rules and licensed practice come before anything that is written here.",
    ("M002",),
)
