"""A named fuel: its coefficients, how well each is known, where it holds and where it comes from."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from typing import Any, NamedTuple

from baybook.dataclass import dataclass, field

from . import equations
from .equations import Coefficients

MODEL_PRESSURES = (0.0, 250.0)
"""MPa absolute; outside it every model refuses."""
MODEL_TEMPERATURES = (-40.0, 150.0)
"""°C; outside it every model refuses."""


class FuelRangeError(ValueError):
    """A state at which no fuel model of Baybook gives a number."""

    def __init__(self, quantity: str, value: float, low: float, high: float, unit: str) -> None:
        self.quantity, self.value, self.low, self.high, self.unit = quantity, value, low, high, unit
        super().__init__(f"{quantity} {value:g} {unit} is outside {low:g} to {high:g} {unit}, where the fuel models end")


@dataclass(frozen=True, kw_only=True)
class Widths:
    """Standard uncertainties of a fuel's nuisances (one standard deviation; relative except `density`)."""

    density: float
    """kg/m3 at 15 °C."""
    modulus: float
    """Of the modulus at the anchor pressure."""
    tait_c: float
    """Of the rise of the modulus with pressure."""
    expansion: float
    heat_capacity: float
    viscosity: float
    viscosity_pressure: float

    def __post_init__(self) -> None:
        for name in NUISANCES:
            value = getattr(self, name)
            if not (math.isfinite(value) and value >= 0.0):
                raise ValueError(f"width {name}: {value!r} is not a finite number of at least 0")


NUISANCES = ("density", "modulus", "tait_c", "expansion", "heat_capacity", "viscosity", "viscosity_pressure")
"""Names of what a fuel model does not know exactly. They are independent, each standard normal."""


class Beyond(NamedTuple):
    """A state outside a model's range: its temperature or absolute pressure, and from where to where it is meant for."""

    value: float
    unit: str
    low: float
    high: float


@dataclass(frozen=True, kw_only=True)
class FuelModel:
    """A liquid fuel over pressure and temperature.

    Temperatures are °C, pressures MPa **absolute**. Densities are kg/m3, moduli MPa, expansion 1/K, heat capacity J/(kg K),
    viscosity mPa s. Floats in, floats out, without numpy; for arrays use `baybook_physics.fuels.equations` with `coefficients`.
    Every property raises `FuelRangeError` outside `MODEL_PRESSURES` and `MODEL_TEMPERATURES`; between those limits and the
    model's own `temperatures` and `pressures`, `beyond` says so.
    """

    name: str
    title: str
    coefficients: Coefficients
    widths: Widths
    sources: tuple[str, ...]
    temperatures: tuple[float, float] = (-20.0, 120.0)
    pressures: tuple[float, float] = (0.1, 200.0)
    notes: tuple[str, ...] = ()
    modulus_with_density: float = 0.0
    """d ln K15/d rho15, m3/kg: a denser fuel of the same family is stiffer."""
    expansion_with_density: float = 0.0
    """d ln a/d rho15, m3/kg."""
    identity: Mapping[str, str] = field(default_factory=dict, compare=False)
    """What the caller asked for, in words, for the record."""

    def __post_init__(self) -> None:
        if not self.name or not self.sources:
            raise ValueError(f"fuel {self.name!r}: give a name and at least one source")
        for label, value in self.coefficients._asdict().items():
            if not isinstance(value, (int, float)) or not math.isfinite(value):
                raise ValueError(f"fuel {self.name}: {label} {value!r} is not a finite number")
        for label in ("density", "expansion", "modulus", "tait_c", "heat_capacity", "viscosity"):
            if getattr(self.coefficients, label) <= 0.0:
                raise ValueError(f"fuel {self.name}: {label} must be positive")
        for label, (low, high) in (("temperatures", self.temperatures), ("pressures", self.pressures)):
            if not low < high:
                raise ValueError(f"fuel {self.name}: {label} must run from low to high")

    def density(self, temperature: float, pressure: float) -> float:
        """Density, kg/m3."""
        _check(temperature, pressure)
        return float(equations.density(self.coefficients, temperature, pressure))

    def isothermal_modulus(self, temperature: float, pressure: float) -> float:
        """Isothermal tangent bulk modulus, MPa."""
        _check(temperature, pressure)
        return float(equations.isothermal_modulus(self.coefficients, temperature, pressure))

    def isentropic_modulus(self, temperature: float, pressure: float) -> float:
        """Isentropic tangent bulk modulus, MPa: what a fast change meets, and what carries sound."""
        _check(temperature, pressure)
        return float(equations.isentropic_modulus(self.coefficients, temperature, pressure))

    def expansion(self, temperature: float, pressure: float) -> float:
        """Isobaric thermal expansion, 1/K."""
        _check(temperature, pressure)
        return float(equations.expansion(self.coefficients, temperature, pressure))

    def heat_capacity(self, temperature: float, pressure: float) -> float:
        """Isobaric heat capacity, J/(kg K)."""
        _check(temperature, pressure)
        return float(equations.heat_capacity(self.coefficients, temperature))

    def viscosity(self, temperature: float, pressure: float) -> float:
        """Dynamic viscosity, mPa s."""
        _check(temperature, pressure)
        return float(equations.viscosity(self.coefficients, temperature, pressure))

    def isentropic_heating(self, temperature: float, pressure: float) -> float:
        """Warming on compression without heat exchange, K/MPa."""
        _check(temperature, pressure)
        return float(equations.isentropic_heating(self.coefficients, temperature, pressure))

    def beyond(self, temperature: float, pressure: float) -> Beyond | None:
        """By what the state lies outside the range this model is meant for; None within it."""
        _check(temperature, pressure)
        if not self.temperatures[0] <= temperature <= self.temperatures[1]:
            return Beyond(temperature, "°C", *self.temperatures)
        if not self.pressures[0] <= pressure <= self.pressures[1]:
            return Beyond(pressure, "MPa(a)", *self.pressures)
        return None

    def shifted(self, shifts: Mapping[str, Any]) -> Coefficients:
        """Coefficients with nuisances moved by so many of their standard widths (a float or an array each).

        Raises `KeyError` for a name that is not in `NUISANCES`.
        """
        return shift(self, shifts)

    def relative_uncertainty(self, what: str, temperature: float, pressure: float) -> float:
        """Relative standard uncertainty of the property `what` (a method's name) at one state, all nuisances together."""
        _check(temperature, pressure)
        property_ = _PROPERTIES[what]
        centre = property_(self.coefficients, temperature, pressure)
        total = 0.0
        for name in NUISANCES:
            moved = property_(shift(self, {name: 1.0}), temperature, pressure)
            total += (moved / centre - 1.0) ** 2
        return math.sqrt(total)


def shift(fuel: FuelModel, shifts: Mapping[str, Any]) -> Coefficients:
    """See `FuelModel.shifted`; factors are 1 + width x shift."""
    unknown = set(shifts) - set(NUISANCES)
    if unknown:
        raise KeyError(f"no such nuisance: {', '.join(sorted(unknown))}")
    c, w = fuel.coefficients, fuel.widths
    d_rho = w.density * shifts.get("density", 0.0)
    modulus = 1.0 + w.modulus * shifts.get("modulus", 0.0) + fuel.modulus_with_density * d_rho
    expansion = 1.0 + w.expansion * shifts.get("expansion", 0.0) + fuel.expansion_with_density * d_rho
    return c._replace(
        density=c.density + d_rho,
        modulus=c.modulus * modulus,
        expansion=c.expansion * expansion,
        expansion_slope=c.expansion_slope * expansion,
        tait_c=c.tait_c * (1.0 + w.tait_c * shifts.get("tait_c", 0.0)),
        heat_capacity=c.heat_capacity * (1.0 + w.heat_capacity * shifts.get("heat_capacity", 0.0)),
        viscosity=c.viscosity * (1.0 + w.viscosity * shifts.get("viscosity", 0.0)),
        viscosity_pressure=c.viscosity_pressure * (1.0 + w.viscosity_pressure * shifts.get("viscosity_pressure", 0.0)),
    )


def _check(temperature: float, pressure: float) -> None:
    low, high = MODEL_TEMPERATURES
    if not low <= temperature <= high:
        raise FuelRangeError("fuel temperature", temperature, low, high, "°C")
    low, high = MODEL_PRESSURES
    if not low <= pressure <= high:
        raise FuelRangeError("absolute pressure", pressure, low, high, "MPa")


def _heat_capacity(c: Coefficients, t: float, p: float) -> Any:
    return equations.heat_capacity(c, t)


_PROPERTIES: dict[str, Callable[..., Any]] = {
    "density": equations.density,
    "isothermal_modulus": equations.isothermal_modulus,
    "isentropic_modulus": equations.isentropic_modulus,
    "expansion": equations.expansion,
    "heat_capacity": _heat_capacity,
    "viscosity": equations.viscosity,
}
