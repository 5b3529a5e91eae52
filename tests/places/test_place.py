"""Places and their names."""

from __future__ import annotations

from typing import Any

import pytest
from tests.places.test_by_hand import PLACES

from baybook.errors import PluginError
from baybook.places.place import Place, is_outside, kind_of, matching, number_in, resolved


def test_names_and_patterns() -> None:
    assert kind_of("injector 12 coil") == "injector * coil" and kind_of("b7 line") == "b7 line" and number_in("b7 line") is None
    assert resolved("{object} and {n}", "injector 2") == "injector 2 and 2" and resolved("filter", "injector 2") == "filter"
    assert resolved("injector {n} coil", "inlet valve") == "injector * coil"
    assert matching("injector *", PLACES) == [2, 3] and matching("pump", PLACES) == [1] and matching("turbine", PLACES) == []
    assert is_outside("battery") and is_outside("not on the map") and is_outside("not on the map: hose")
    assert not is_outside("not on the mapped") and not is_outside("filter")


@pytest.mark.parametrize(
    ("more", "why"),
    [
        ({"stage": "rail"}, "has the stage 'rail'; use one of supply, generation, storage, delivery"),
        ({"side": "left"}, "has the side 'left'; use one of hydraulic, control"), ({"name": " "}, "cannot be called"),
        ({"label": ""}, "cannot be called"), ({"name": "not on the map"}, "cannot be called"),
        ({"name": "no fault"}, "cannot be called"),
        ({"weight": 1e6}, "give a positive number"), ({"weight": 0.0}, "give a positive number"),
    ],
)  # fmt: skip
def test_a_place_that_is_none_is_refused(more: dict[str, Any], why: str) -> None:
    with pytest.raises(PluginError) as refused:
        Place(**{"name": "x", "stage": "supply", "side": "hydraulic", "label": "x", **more})
    assert why in str(refused.value)
    assert Place("x", "supply", "hydraulic", "x").known and Place("x", "supply", "hydraulic", "x", weight=999999.0).part == "x"
