"""Which patterns some vehicle has."""

from __future__ import annotations

from baybook.places.fitted import Fitted
from baybook.places.known import every_place, is_known, unknown_patterns
from baybook.places.place import Place
from baybook.places.sense import Sense


def test_what_some_vehicle_has() -> None:
    """Both outlet valves; what is misspelt anywhere in a sense is told."""
    stages = {place.stage for place in every_place() if place.name == "outlet valve"}
    assert stages == {"generation"} or stages == {"storage"}
    cooler = Place("fuel cooler", "supply", "hydraulic", "the cooler")
    assert (
        not is_known("fuel cooler") and is_known("fuel cooler", [cooler]) and is_known("injector *") and is_known("{object} x")
    )
    sense = Sense.one({"{object} coil": 0.5, "fuel cooler": 0.5}, 5.0, objects=("injector *",), fitted={"filter": (True,)})
    assert list(unknown_patterns(sense)) == ["fuel cooler"] and list(unknown_patterns(sense, [cooler])) == []
    whole = Sense.one({"{object} coil": 0.5, "{object} thread": 0.5}, 5.0)
    assert list(unknown_patterns(whole)) == ["{object} thread"]
    assert Fitted().injectors is None
