"""The entries of a sheet's `[system]`, and the map that they draw."""

from __future__ import annotations

from typing import Any

import pytest

from baybook.errors import InputError, PluginError
from baybook.places.fitted import Fitted
from baybook.places.place import Place
from baybook.places.system import SystemMap


def test_what_is_not_known_to_be_fitted_counts_half() -> None:
    """It is there in every other vehicle (common practice, no source); so does what a plugin adds."""
    cooler = Place("fuel cooler", "supply", "hydraulic", "the cooler", known=False, weight=0.6)
    weights = {place.name: place.weight for place in SystemMap.of(None, [cooler]).places}
    assert (weights["filter"], weights["suction pump"], weights["relief valve"], weights["feed line"]) == (0.5, 0.5, 0.5, 1.0)
    assert weights["fuel cooler"] == 0.3 and list(weights)[-1] == "fuel cooler"
    assert SystemMap.from_table({"filter": True}).place("filter").weight == 1.0


@pytest.mark.parametrize(
    ("names", "injectors", "count"),
    [
        ((), None, 4), (("injector 4",), None, 4), (("injector 5",), None, 5), (("injector 6 coil", "injector 5"), None, 6),
        (("injector 24",), None, 24), (("injector 25",), None, 4), (("injector 6",), 4, 4),
        (("pump 9", "injector driver"), None, 4),
    ],
)  # fmt: skip
def test_a_map_grows_to_the_injectors_that_were_tested(names: tuple[str, ...], injectors: int | None, count: int) -> None:
    """Where their number is not known, and up to 24; what else is on it stays, and they are not known the more."""
    cooler = Place("fuel cooler", "supply", "hydraulic", "the cooler")
    system = SystemMap.of(Fitted(injectors=injectors), [cooler]).grown(names)
    assert sum(place.kind == "injector *" for place in system.places) == count and system.places[-1] is cooler
    assert system.fitted.injectors == injectors and sum(place.name == "filter" for place in system.places) == 1


LOW = "is not a list of known parts, each once; use of tank pump, intermediate pump, suction pump"


@pytest.mark.parametrize(
    ("table", "line"),
    [
        ({"injectors": 25}, '[system], injectors: "25" is not a possible number; give 1 to 24'),
        ({"pump_elements": 7}, '[system], pump_elements: "7" is not a possible number; give 1 to 6'),
        ({"pump_elements": 0}, '[system], pump_elements: "0" is not a possible number; give 1 to 6'),
        ({"pump_elements": 2.0}, '[system], pump_elements: "2.0" is not a possible number; give 1 to 6'),
        ({"inlet_valve": "none"}, '[system], inlet_valve: "none" is neither true nor false; write true or false'),
        ({"outlet_valve": "tank"}, '[system], outlet_valve: "tank" is not one of the known words; use rail, pump, none'),
        ({"returns": True}, '[system], returns: "True" is not one of the known words; use separate, common'),
        ({"low_pressure": "tank pump"}, f'[system], low_pressure: "tank pump" {LOW}'),
        ({"low_pressure": ["tank pump", "tank pump"]}, f"[system], low_pressure: \"['tank pump', 'tank pump']\" {LOW}"),
        ({"open_at_rest": ["filter"]}, "[system], open_at_rest: \"['filter']\" is not a list of known parts, each once; "
                                       "use of inlet valve, outlet valve, injector bleed"),
        ({"open_at_rest": ["injector bleed"], "injector_bleed": False},
         '[system], open_at_rest: "injector bleed" is said not to be fitted; leave it out, or change injector_bleed'),
        ({"open_at_rest": ["inlet valve"], "inlet_valve": False},
         '[system], open_at_rest: "inlet valve" is said not to be fitted; leave it out, or change inlet_valve'),
        ({"xyz": 1}, '[system]: "xyz" is not known there; use low_pressure, filter, inlet_valve, outlet_valve, injector_bleed, '
                     "pump_elements, injectors, returns, open_at_rest"),
    ],
)  # fmt: skip
def test_a_wrong_entry_of_a_sheet(table: dict[str, Any], line: str) -> None:
    with pytest.raises(InputError) as refused:
        SystemMap.from_table(table)
    assert str(refused.value) == line


def test_what_may_be_entered() -> None:
    ends = SystemMap.from_table({"injectors": 24, "pump_elements": 6, "low_pressure": [], "open_at_rest": ["inlet valve"]})
    assert ends.fitted == Fitted(injectors=24, pump_elements=6, low_pressure=(), open_at_rest=("inlet valve",))
    assert SystemMap.from_table({"injectors": 1, "pump_elements": 1}).fitted == Fitted(injectors=1, pump_elements=1)
    said = {"outlet_valve": True, "open_at_rest": ["outlet valve", "injector bleed"], "injector_bleed": True}
    assert SystemMap.from_table(said).fitted.outlet_valve == "rail" and SystemMap.from_table(said).empties_at_rest() is True
    assert SystemMap.from_table({"outlet_valve": False}).fitted.outlet_valve == "none"
    assert SystemMap.from_table({"outlet_valve": "pump"}).fitted.outlet_valve == "pump"
    assert SystemMap.from_table({"returns": "separate"}).unknown() == (
        "low_pressure", "filter", "inlet_valve", "outlet_valve", "injector_bleed", "pump_elements", "injectors", "open_at_rest",
    )  # fmt: skip


def test_a_place_that_is_not_there_names_the_near_ones() -> None:
    system = SystemMap.of()
    assert system.place("filter").name == "filter"
    with pytest.raises(InputError, match=r'^place: "fliter" is not on this vehicle\'s map; did you mean filter'):
        system.place("fliter")
    with pytest.raises(InputError, match=r'use the name of a part that is fitted; outside the fuel system battery, starter, '
                                         r'alternator, immobiliser …, or "not on the map: own words"$'):  # fmt: skip
        system.place("zzzz")
    with pytest.raises(InputError) as refused:
        system.place("injector 9")
    assert str(refused.value).count(" or ") == 2, "three near ones"


def test_places_of_plugins() -> None:
    cooler, other = (Place(name, "supply", "hydraulic", name) for name in ("fuel cooler", "fuel heater"))
    system = SystemMap.of()
    assert system.with_places([]) is system and system.with_places([cooler, other]).places[-2:] == (cooler, other)
    with pytest.raises(PluginError, match="two places have the name 'filter', 'fuel cooler'"):
        SystemMap.of(None, [cooler, cooler, Place("filter", "supply", "hydraulic", "x")])
