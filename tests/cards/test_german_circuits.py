"""What circuits, the rail sensor and sightings say is told in German, finding, note and answer."""

from __future__ import annotations

from itertools import product
from typing import Any

import pytest
from tests.cards.test_german_results import said

from baybook import calculate
from baybook_cards.language import language

GERMAN = language("de", tuple(f"baybook_plugins.{name}" for name in ("drop", "sensor", "observation", "reading")))
PUMP = {"part": "tank-pump", "battery": "12.4 V"}
SENSOR = {"full_scale": "1800 bar", "zero_limit": "-10 to 10 bar", "ground_limit": "-20 to 20 mV",
          "supply_limit": "4.75 to 5.25 V"}  # fmt: skip
CASES: dict[str, list[dict[str, Any]]] = {
    "drop": [
        *(PUMP | {"at_part": volts} | current | limit
          for volts, current, limit in product(("12.2 V", "6 V", "0.1 V"), ({}, {"current": "0.0 A"}, {"current": "5 A"}),
                                               ({}, {"limit": "max 0.5 V"}))),
        {"part": "control-unit", "current": "0.0 A", "battery": "12.4 V", "at_part": "12.2 V"},
        {"part": "inlet-valve", "current": "0.0 A", "drops": ["0.0 V"]}, {"part": "rail-sensor", "insulation": "OL"},
    ],
    "sensor": [
        SENSOR | {"standing": "62 ± 2 bar", "emptied": "yes", "ground_drop": "135 ± 2 mV", "supply": "4.88 V",
                  "reference": "5.01 V"},
        SENSOR | {"standing": "62 bar", "standing_signal": "0.50 V"}, SENSOR | {"standing": "0 bar", "supply": "0.02 V"},
    ],
    "observation": [
        {"what": "signal jumps when the plug is moved", "place": "rail sensor", "sure": "certain"},
        {"what": "jump when plug or loom is moved", "place": "rail sensor wiring"},
        {"what": "jump when a driven loom is moved", "place": "injector 3 wiring"},
        {"what": "fault memory", "code": "injector output stage", "place": "injector 2"},
    ],
    "reading": [{"what": "injector current", "value": "0 ± 0.1 A", "limit": "17 to 21 A", "place": "injector 1"}],
}  # fmt: skip


@pytest.mark.parametrize("name", sorted(CASES))
def test_it_is_told_in_german(name: str) -> None:
    found = [calculate(name, **inputs) for inputs in CASES[name]]
    texts = [text for result in found for text in said(result)]
    texts += [answer.said for result in found for answer in result.answers if hasattr(answer.said, "template")]
    assert texts
    assert {str(text) for text in texts if GERMAN.told(text) is None} == set()
