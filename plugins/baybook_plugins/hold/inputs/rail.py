"""What is known of the rail, its fuel and its surroundings, and in the units of the physics."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Annotated, Any, NamedTuple

from baybook import inputs
from baybook.api import (
    COVERAGE,
    Choice,
    Problem,
    Reading,
    density,
    find_fuel,
    gauge_pressure,
    kinematic_viscosity,
    ratio,
    readings,
    temperature,
)
from baybook_physics.compliance import rail_modulus_default

from .volume import UNKNOWN, VOLUME, of_bores

if TYPE_CHECKING:
    from baybook_physics.fuels import FuelModel

Pair = tuple[float, float]
HIGHEST_MPA = 249.0
HIGHEST = f"{10.0 * HIGHEST_MPA:g} bar"
"""Gauge; beyond it no fuel is known."""
VALVES = {
    "unknown": "nobody has looked yet: a rail that loses too much stays undecided",
    "none": "no valve lets fuel out of the rail but the injectors",
    "shut-at-rest": "fitted, and shut without current",
    "driven-shut": "opens without current, and the maker's routine held it shut",
    "open-at-rest": "opens without current, and was not held shut: it empties the rail by design",
}
HEAT = {
    "unknown": "fuel and rail exchange heat, as after every pump stop",
    "none": "fuel and rail had one temperature before the test, and the rail keeps it, as on a settled bench",
}
_POSSIBLE = {"at_least": "-40 °C", "at_most": "150 °C"}


class Rail(NamedTuple):
    """Rail, pipes and sensor, the fuel in them, heat and sensor errors."""

    volume: Annotated[Reading | None, VOLUME]
    bores: Annotated[
        tuple[Reading, ...] | None,
        readings(
            "length", "inner diameters of rail and pipes, in place of the volume", above="0 mm", usual="10 mm", of_vehicle=True
        ),
    ]
    lengths: Annotated[
        tuple[Reading, ...] | None,
        readings("length", "length of each of these bores", above="0 mm", usual="400 mm", of_vehicle=True),
    ]
    outlet_valve: Annotated[
        str,
        Choice(
            "a valve that lets fuel out of the rail, and what it did during the hold",
            words=VALVES,
            default="unknown",
            group="usual",
        ),
    ]
    fuel: Annotated[str, inputs.RAIL_FUEL]
    temperature: Annotated[
        Reading,
        temperature(
            "of the rail and its fuel when the pump stopped", symbol="T", usual="45 ± 3 °C", default="40 ± 15 °C", **_POSSIBLE
        ),
    ]
    end_temperature: Annotated[
        Reading | None, temperature("temperature of the rail at the end", usual="43 ± 1 °C", **_POSSIBLE)
    ]
    ambient: Annotated[Reading | None, temperature("temperature of the air around the rail", usual="20 °C", **_POSSIBLE)]
    density: Annotated[Reading | None, density("the fuel's density at 15 °C", above="600 kg/m3", below="1000 kg/m3")]
    viscosity: Annotated[Reading | None, kinematic_viscosity("the fuel's viscosity at 40 °C", above="0.3 mm2/s")]
    back_pressure: Annotated[
        Reading,
        gauge_pressure(
            "where the leak ends: the return", at_least="-1 bar", below="100 bar", usual="0.5 bar", default="0 ± 0 bar"
        ),
    ]
    zero_uncertainty: Annotated[Reading, inputs.ZERO_UNCERTAINTY.but(usual="5 bar")]
    discharge: Annotated[
        Reading,
        ratio(
            "discharge coefficient of the equivalent orifice",
            exact=True, above="0 1", at_most="1 1", usual="0.7 1", default="0.7 1",
        ),
    ]  # fmt: skip
    free_air: Annotated[
        Reading,
        ratio(
            "free air in the fuel, by volume at atmospheric pressure",
            exact=True, at_least="0 %", at_most="10 %", usual="1 %", default="0 %",
        ),
    ]  # fmt: skip
    rail_modulus: Annotated[
        Reading | None,
        inputs.RAIL_MODULUS.but(
            help="bulk modulus that stands for the compliance of the steel walls; without it that of thick pipes",
            symbol="K_rail",
        ),
    ]
    heat: Annotated[str, Choice("how fuel and rail exchange heat", words=HEAT, default="unknown")]

    @property
    def one_temperature(self) -> bool:
        """Whether fuel and rail had one temperature, and the rail kept it."""
        return self.heat == "none"

    @property
    def known_volume(self) -> Reading | None:
        """Typed, or from bores; None where nobody knows it: then pressure alone is judged."""
        return of_bores(self.bores, self.lengths) if self.bores and self.lengths else self.volume

    def fuel_model(self) -> FuelModel:
        """The fuel with what is known of it. Raises InputError."""
        known = {"density": self.density, "viscosity": self.viscosity}
        model: FuelModel = find_fuel(self.fuel, **{name: value for name, value in known.items() if value is not None})
        return model

    def in_units(self) -> dict[str, Any]:
        """The fields that `TwoReadings` and `Known` have in common."""
        common: dict[str, Any] = {
            "volume": self.millilitres(),
            "temperature": pair(self.temperature, "°C"),
            "end_temperature": self.end_temperature and pair(self.end_temperature, "°C"),
            "ambient": self.ambient and pair(self.ambient, "°C"),
            "zero": self.zero_uncertainty.number("MPa") / COVERAGE,
            "back_pressure": pair(self.back_pressure, "MPa"),
            "free_gas": pair(self.free_air, "1"),
            "discharge": pair(self.discharge, "1"),
            "one_temperature": self.one_temperature,
        }
        if self.rail_modulus is not None:
            value, u = pair(self.rail_modulus, "MPa")
            common["rail_modulus"] = (value, u / value)
        return common

    def millilitres(self) -> Pair:
        """The volume and its standard uncertainty."""
        known = self.known_volume
        return (UNKNOWN[0], UNKNOWN[0] * UNKNOWN[1]) if known is None else pair(known, "mL")

    def steel(self) -> float:
        """Modulus of the steel around the fuel, MPa."""
        return self.rail_modulus.number("MPa") if self.rail_modulus is not None else rail_modulus_default()[0]


def pair(reading: Reading, unit: str) -> Pair:
    """Value and standard uncertainty in `unit`."""
    inside = reading.to(unit)
    return inside.value, inside.u


def one_volume(rail: Rail) -> Iterator[Problem]:
    """A volume given twice, bores without lengths, and a volume that is hardly known."""
    bores, lengths = rail.bores or (), rail.lengths or ()
    if rail.volume is not None and (bores or lengths):
        yield Problem("bores", None, "are given beside the volume", "give one of them")
    elif len(bores) != len(lengths):
        why = f"has {len(lengths)} lengths for {len(bores)} bores"
        yield Problem("lengths", None, why, "give one length for each bore; several pipes alike: their lengths together")
    elif rail.known_volume is not None and rail.known_volume.u * COVERAGE > rail.known_volume.value:
        hint = "leave it out: then pressure alone is judged"
        yield Problem("volume", rail.known_volume.text, "is hardly known at all", hint)
