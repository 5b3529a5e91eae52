"""The places of a system as they are drawn, from the tank to the cylinder (common practice, no source)."""

from __future__ import annotations

import pytest

from baybook.places.fitted import Fitted
from baybook.places.layout import drawn
from baybook.places.place import Place

VALVE = ("", " coil", " wiring", " driver")
WAY = {
    (
        "supply",
        "hydraulic",
    ): "tank fuel; feed line; air leak; tank pump; intermediate pump; suction pump; filter; overflow valve; return line",
    ("supply", "control"): "tank pump wiring; intermediate pump wiring",
    ("generation", "hydraulic"): "pump drive; pump elements; pump outlet; inlet valve",
    ("generation", "control"): "inlet valve coil; inlet valve wiring; inlet valve driver; control unit",
    ("storage", "hydraulic"): "rail and joints; relief valve; outlet valve",
    ("storage", "control"): "outlet valve coil; outlet valve wiring; outlet valve driver; rail sensor; rail sensor wiring",
    ("delivery", "hydraulic"): "injector 1; injector 2; injector 3; injector 4",
    ("delivery", "control"): "injector 1 coil; injector 1 wiring; injector 2 coil; injector 2 wiring; injector 3 coil; "
    "injector 3 wiring; injector 4 coil; injector 4 wiring; injector driver; speed and phase sensors",
}
SURE = {
    "tank fuel", "feed line", "air leak", "overflow valve", "return line", "pump drive", "pump elements", "pump outlet",
    "control unit", "rail and joints", "rail sensor", "rail sensor wiring", "injector driver", "speed and phase sensors",
}  # fmt: skip
"""Fitted to every vehicle; injectors are too, whatever their number."""


TANK, BETWEEN = (("tank pump", "tank pump wiring"), ("intermediate pump", "intermediate pump wiring"))


def by_name(fitted: Fitted) -> dict[str, Place]:
    return {place.name: place for place in drawn(fitted)}


def test_the_generic_map_along_the_fuels_way() -> None:
    found = list(drawn(Fitted()))
    for cell, names in WAY.items():
        assert "; ".join(place.name for place in found if (place.stage, place.side) == cell) == names
    assert {place.name for place in found if place.known and place.number is None} == SURE
    assert all(place.known for place in found if place.number is not None) and {place.weight for place in found} == {1.0}
    assert [place.stage for place in found] == sorted(
        (place.stage for place in found), key=["supply", "generation", "storage", "delivery"].index
    )


@pytest.mark.parametrize(
    ("fitted", "gone", "known"),
    [
        (Fitted(low_pressure=()), (*TANK, *BETWEEN, "suction pump"), ()),
        (Fitted(low_pressure=("suction pump",)), (*TANK, *BETWEEN), ("suction pump",)),
        (Fitted(low_pressure=("tank pump",)), (*BETWEEN, "suction pump"), TANK),
        (Fitted(filter=False), ("filter",), ()), (Fitted(filter=True), (), ("filter",)),
        (Fitted(inlet_valve=False), tuple(f"inlet valve{part}" for part in VALVE), ()),
        (Fitted(inlet_valve=True), (), tuple(f"inlet valve{part}" for part in VALVE)),
        (Fitted(outlet_valve="none"), tuple(f"outlet valve{part}" for part in VALVE), ()),
        (Fitted(outlet_valve="rail"), (), tuple(f"outlet valve{part}" for part in VALVE)),
        (Fitted(outlet_valve="pump"), (), tuple(f"outlet valve{part}" for part in VALVE)),
        (Fitted(injectors=3), ("injector 4", "injector 4 coil", "injector 4 wiring"), ()),
    ],
)  # fmt: skip
def test_what_is_said_is_drawn_and_known(fitted: Fitted, gone: tuple[str, ...], known: tuple[str, ...]) -> None:
    """Nothing but that changes; the relief valve is nowhere asked for, and never known."""
    generic, found = by_name(Fitted()), by_name(fitted)
    assert set(generic) - set(found) == set(gone) and set(found) <= set(generic)
    assert {name for name, place in found.items() if place.known and not generic[name].known} == set(known)


def test_where_a_valve_sits_and_what_it_consists_of() -> None:
    """Its coil is replaced with it, its wiring and driver are not."""
    for where, stage in (("pump", "generation"), ("rail", "storage"), (None, "storage")):
        valve = [place for place in drawn(Fitted(outlet_valve=where)) if place.name.startswith("outlet valve")]
        assert [place.name for place in valve] == [f"outlet valve{part}" for part in VALVE] and {
            place.stage for place in valve
        } == {stage}
        assert [place.part for place in valve] == ["outlet valve", "outlet valve", "outlet valve wiring", "outlet valve driver"]
    found = by_name(Fitted(injectors=1))
    assert (
        found["injector 1"].number == 1
        and found["injector 1 coil"].part == "injector 1"
        and found["injector 1 wiring"].part == "injector 1 wiring"
    )
    assert found["air leak"].also == ("feed line", "filter")


def test_what_a_person_reads() -> None:
    labels = {name: place.label for name, place in by_name(Fitted(pump_elements=3)).items()}
    assert labels["pump elements"] == "the elements (3) of the high-pressure pump with their valves"
    assert by_name(Fitted())["pump elements"].label == "the elements of the high-pressure pump with their valves"
    assert (labels["suction pump"], labels["tank pump"]) == ("the suction pump on the high-pressure pump", "the tank pump")
    assert labels["tank pump wiring"] == "the wiring, fuse and relay of the tank pump" and "suction pump wiring" not in labels
    assert (
        labels["injector 2 coil"] == "the coil of injector 2"
        and labels["outlet valve"] == "the outlet valve itself: stuck, worn or dirty"
    )
