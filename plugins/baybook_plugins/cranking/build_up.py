"""The rail as it is known, and how long a pump of this size would take to fill it."""

from __future__ import annotations

from math import isinf
from typing import TYPE_CHECKING, NamedTuple

from baybook.api import Estimate, Reading, find_fuel, propagate
from baybook_physics.compliance import rail_modulus_default

if TYPE_CHECKING:
    from .rows import Rail

ATMOSPHERE = 0.101325
TYPICAL = 10.0  # MPa: half of what a crank reaches; the fuel's own uncertainty is taken there
HIGHEST = 249.0  # MPa: where the fuel models end


class Known(NamedTuple):
    """What is known of rail, pump and fuel, as it was typed."""

    volume: Reading | None
    pump: Reading | None
    pump_ratio: Reading
    elements: int | None
    efficiency: Reading
    leak: Reading
    free_air: Reading
    fuel: str
    temperature: Reading
    rail_modulus: Reading | None

    def steel(self) -> float:
        """Compliance of the steel, 1/MPa."""
        return 1.0 / (self.rail_modulus.number("MPa") if self.rail_modulus else rail_modulus_default()[0])

    def rail(self) -> Rail | None:
        """The rail for a balance; None where its volume is not known."""
        if self.volume is None:
            return None
        from baybook_physics.rail import isentropic_store

        from .rows import Rail

        model, at, volume = find_fuel(self.fuel), self.temperature.to("°C"), self.volume.to("mL")
        store = isentropic_store(model, at.value, volume.value, self.steel(), HIGHEST)
        shares = [
            volume.u / volume.value,
            model.relative_uncertainty("isentropic_modulus", at.value, TYPICAL),
            model.isentropic_modulus(at.value + at.u, TYPICAL) / model.isentropic_modulus(at.value, TYPICAL) - 1.0,
        ]
        swept = self.pump.to("cm3/rev") if self.pump else None
        if swept:
            shares.append(swept.u / swept.value)
        relative = sum(share**2 for share in shares) ** 0.5
        return Rail(
            store, relative, swept.value if swept else 1.0, self.pump_ratio.number("1"), self.elements or 0, swept is not None
        )


def expected(known: Known, speed: Estimate, wanted: float) -> dict[str, Estimate]:
    """The time to `wanted` (bar gauge) from atmospheric pressure, at this speed; nothing where rail or pump is not known, or
    the pump gives no more than is lost."""
    if known.volume is None or known.pump is None:
        return {}
    model, end = find_fuel(known.fuel), wanted / 10 + ATMOSPHERE
    stiff = model.relative_uncertainty("isentropic_modulus", known.temperature.number("°C"), TYPICAL)

    def time(
        volume: float, pump: float, speed: float, efficiency: float, leak: float, air: float, celsius: float, stiffer: float
    ) -> dict[str, float]:
        from baybook_physics.rail import build_up_time, isentropic_store

        store = isentropic_store(model, celsius, volume, known.steel(), end + 1.0, air, stiffer)
        net = pump * known.pump_ratio.number("1") * speed / 60 * efficiency - leak / 60
        return {"expected_time": build_up_time(store, ATMOSPHERE, end, net)}

    inputs: dict[str, Reading | Estimate] = {
        "volume": known.volume.to("mL"), "pump": known.pump.to("cm3/rev"), "speed": speed.to("rpm"),
        "efficiency": known.efficiency.to("1"), "leak": known.leak.to("mL/min"), "air": known.free_air.to("mL"),
        "celsius": known.temperature.to("°C"), "stiffer": Estimate.of(1.0, "1", stiff, kind="ratio"),
    }  # fmt: skip
    if isinf(time(**{name: item.value for name, item in inputs.items()})["expected_time"]):
        return {}
    return propagate(time, {"expected_time": "time"}, **inputs)
