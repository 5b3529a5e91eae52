"""One function for each kind of quantity, so that a declaration reads like a sentence."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from ..kinds import KINDS, Kind, article
from ..quantity import kind_named
from .quantities import Limits, Quantity
from .several import Readings

OPTIONS = (
    "symbol, default, above, at_least, below, at_most, usual, usual_range, exact, overload, positional, unnamed, aliases, "
    "group, of_vehicle"
)


def _quantity(kind: str) -> Callable[..., Quantity]:
    def make(help: str, **options: Any) -> Quantity:
        return Quantity(help, kind=KINDS[kind], **options)

    make.__doc__ = f"A field for {article(kind)}. Options: {OPTIONS}."
    return make


gauge_pressure = _quantity("gauge pressure")
absolute_pressure = _quantity("absolute pressure")
pressure_difference = _quantity("pressure difference")
duration = _quantity("time")
volume = _quantity("volume")
flow = _quantity("flow")
delivery_per_stroke = _quantity("delivery per stroke")
displacement = _quantity("displacement")
temperature = _quantity("temperature")
temperature_difference = _quantity("temperature difference")
kinematic_viscosity = _quantity("kinematic viscosity")
dynamic_viscosity = _quantity("dynamic viscosity")
density = _quantity("density")
speed = _quantity("speed")
frequency = _quantity("frequency")
resistance = _quantity("resistance")
voltage = _quantity("voltage")
current = _quantity("current")
inductance = _quantity("inductance")
ratio = _quantity("ratio")
length = _quantity("length")
area = _quantity("area")


def any_quantity(help: str, **options: Any) -> Quantity:
    """A field for a reading of any kind."""
    return Quantity(help, **options)


def quantity(kind: str | Kind, help: str, **options: Any) -> Quantity:
    """A field for a reading of the kind, or of that name, such as a plugin's own. Options as those of the other fields."""
    return Quantity(help, kind=kind_named(kind), **options)


def spec_range(kind: str | Kind, help: str, **options: Any) -> Limits:
    """A field for a spec range of the kind of that name ("flow"). Options also: judges, above, at_least, largest,
    needs, usual."""
    return Limits(help, kind=kind_named(kind), **options)


def any_spec_range(help: str, **options: Any) -> Limits:
    """A field for a spec range of any kind. Options: judges, usual."""
    return Limits(help, kind=None, **options)


def readings(kind: str | Kind, help: str, **options: Any) -> Readings:
    """A field for several readings of the kind of that name. Options also: at_least_count, at_most_count, gaps, bounds."""
    return Readings(help, kind=kind_named(kind), **options)
