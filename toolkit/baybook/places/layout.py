"""The places of a common-rail system as drawn from the tank to the cylinder. Common practice, no source."""

from __future__ import annotations

from collections.abc import Iterator

from ..errors import PluginError
from .fitted import Fitted
from .place import STAGES, Place

LOW_PRESSURE = ("tank pump", "intermediate pump", "suction pump")
VALVES = ("inlet valve", "outlet valve")
USUAL_INJECTORS = 4  # of the generic map, where their number is not known


def stage_of(part: str, fitted: Fitted | None = None) -> str:
    """The stage of a part, in the words of the map or with hyphens, in a vehicle of which this is known; of one that is on no
    map the stage that its word begins with ("supply-valve"). Raises PluginError where it has none."""
    name = part.replace("-", " ")
    for place in (*drawn(fitted or Fitted()), *drawn(Fitted())):  # (what is not fitted stands where it usually does)
        if name in (place.name, place.kind.removesuffix(" *")):
            return place.stage
    if name.partition(" ")[0] not in STAGES:
        raise PluginError(f"{part!r} is no part of the map, and its word begins with no stage")
    return name.partition(" ")[0]


def drawn(fitted: Fitted) -> Iterator[Place]:
    """Every place of a system of which this is known, along the fuel's way."""
    yield from _supply(fitted)
    yield from _generation(fitted)
    yield from _storage(fitted)
    yield from _delivery(fitted)


def _supply(fitted: Fitted) -> Iterator[Place]:
    yield Place("tank fuel", "supply", "hydraulic", "the fuel in the tank: its quantity and quality, water or wax in it")
    yield Place("feed line", "supply", "hydraulic", "the feed line from the tank to the pump, with its strainer")
    label = "air that is drawn in on the suction side: the filter's seal, unions, hoses"
    yield Place("air leak", "supply", "hydraulic", label, also=("feed line", "filter"))
    parts = fitted.low_pressure
    for part in LOW_PRESSURE if parts is None else parts:
        where = "the suction pump on the high-pressure pump" if part == "suction pump" else f"the {part}"
        yield Place(part, "supply", "hydraulic", where, known=parts is not None)
        if part != "suction pump":
            label = f"the wiring, fuse and relay of the {part}"
            yield Place(f"{part} wiring", "supply", "control", label, known=parts is not None)
    if fitted.filter is not False:
        yield Place("filter", "supply", "hydraulic", "the fuel filter", known=fitted.filter is not None)
    yield Place("overflow valve", "supply", "hydraulic", "the valve that holds the feed pressure")
    yield Place("return line", "supply", "hydraulic", "the return line to the tank")


def _generation(fitted: Fitted) -> Iterator[Place]:
    yield Place("pump drive", "generation", "hydraulic", "the drive of the high-pressure pump")
    count = f" ({fitted.pump_elements})" if fitted.pump_elements else ""
    yield Place("pump elements", "generation", "hydraulic", f"the elements{count} of the high-pressure pump with their valves")
    yield Place("pump outlet", "generation", "hydraulic", "the outlet of the high-pressure pump and the pipe to the rail")
    if fitted.inlet_valve is not False:
        yield from _valve("inlet valve", "generation", known=fitted.inlet_valve is not None)
    if fitted.outlet_valve == "pump":
        yield from _valve("outlet valve", "generation", known=True)
    yield Place(
        "control unit", "generation", "control", "the control unit: its target, its supply and the signals it works from"
    )


def _valve(name: str, stage: str, *, known: bool) -> Iterator[Place]:
    yield Place(name, stage, "hydraulic", f"the {name} itself: stuck, worn or dirty", known=known)
    yield Place(f"{name} coil", stage, "control", f"the coil of the {name}", part=name, known=known)
    yield Place(f"{name} wiring", stage, "control", f"the wiring and plug of the {name}", known=known)
    yield Place(f"{name} driver", stage, "control", f"the output stage that drives the {name}", known=known)


def _storage(fitted: Fitted) -> Iterator[Place]:
    yield Place("rail and joints", "storage", "hydraulic", "the rail with its pipes and joints")
    yield Place("relief valve", "storage", "hydraulic", "the relief valve of the rail", known=False)
    if fitted.outlet_valve in (None, "rail"):
        yield from _valve("outlet valve", "storage", known=fitted.outlet_valve is not None)
    yield Place("rail sensor", "storage", "control", "the rail pressure sensor")
    yield Place("rail sensor wiring", "storage", "control", "the wiring of the rail sensor: its supply, ground and signal")


def _delivery(fitted: Fitted) -> Iterator[Place]:
    for n in range(1, (fitted.injectors or USUAL_INJECTORS) + 1):
        name = f"injector {n}"
        yield Place(name, "delivery", "hydraulic", name, n)
        yield Place(f"{name} coil", "delivery", "control", f"the coil of {name}", n, part=name)
        yield Place(f"{name} wiring", "delivery", "control", f"the wiring and plug of {name}", n)
    yield Place("injector driver", "delivery", "control", "the output stage that drives the injectors")
    yield Place("speed and phase sensors", "delivery", "control", "the sensors of engine speed and phase, with their wiring")
