"""How much of one element's delivery is missing: by rail volume and displacement, or by the strokes of an even number."""

from __future__ import annotations

from math import pi
from typing import TYPE_CHECKING, NamedTuple

from baybook.api import Estimate, Reading, find_fuel, propagate

if TYPE_CHECKING:
    from baybook_physics.strokes import Found

ATMOSPHERE = 0.101325
USUAL = 300.0  # bar: where no pressure was logged, the fuel's stiffness is taken there


class Known(NamedTuple):
    """What is known of pump, rail and fuel, as it was typed."""

    elements: int
    lobes: int
    volume: Reading | None
    pump: Reading | None
    fuel: str
    temperature: Reading
    modulus: Reading | None

    def stiffness(self, pressure: Estimate | None) -> Estimate:
        """MPa, isentropic: pulsation is too fast for heat; with the fuel's own uncertainty and the temperature's."""
        if self.modulus is not None:
            return Estimate.from_reading(self.modulus).to("MPa")
        model, at = find_fuel(self.fuel), self.temperature.to("°C")
        where = (pressure.to("bar").value if pressure else USUAL) / 10 + ATMOSPHERE
        value = model.isentropic_modulus(at.value, where)
        warmer = model.isentropic_modulus(at.value + at.u, where) - value
        own = model.relative_uncertainty("isentropic_modulus", at.value, where) * value
        return Estimate.of(value, "MPa", (own**2 + warmer**2) ** 0.5, kind="pressure difference")


def missing(known: Known, own: Found, strokes: Found, rate: float, pressure: Estimate | None) -> Estimate | None:
    """In % of one element; None where neither displacement and volume are known nor the number of elements is even."""
    from baybook_physics.strokes import missing_share, missing_share_by_strokes

    amplitude = Estimate.of(own.amplitude / 10, "MPa", own.u / 10, kind="pressure difference", at_least=0.0)
    if own.order > known.lobes:  # not the one that a single weak element makes in the first place
        return None
    if known.volume is not None and known.pump is not None:
        found = propagate(
            lambda p, volume, stiffness, swept: (
                100 * missing_share(p * volume / stiffness * 2 * pi * rate * own.order, swept * rate, known.elements)
            ),
            "%",
            p=amplitude,
            volume=known.volume.to("mL"),
            stiffness=known.stiffness(pressure),
            swept=known.pump.to("cm3/rev"),
        )
    elif known.elements % 2 == 0 and strokes.stands_out:
        even = Estimate.of(strokes.amplitude / 10, "MPa", strokes.u / 10, kind="pressure difference", at_least=0.0)
        found = propagate(
            lambda p, even: 100 * missing_share_by_strokes(p * own.order, even * strokes.order, known.elements),
            "%",
            p=amplitude,
            even=even,
        )
    else:
        return None
    return Estimate(found.value, "%", found.low, found.high, "ratio", 0.0)
