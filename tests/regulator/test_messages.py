"""What the regulator says is data: templates with arguments, each in German; inputs are declared once for both valves."""

from __future__ import annotations

from dataclasses import replace

import pytest

from baybook import calculate
from baybook.errors import InputError
from baybook.language import catalogue, language
from baybook.message import Message, places
from baybook.registry import registry
from baybook.text import result_lines
from baybook_plugins.regulator import next_tests, statements, texts

GERMAN = {**catalogue("baybook", "de"), **catalogue("baybook_plugins.regulator", "de")}
MISSED = {
    "where": "inlet", "pressure": "700 bar", "target": "1300 bar", "inlet_duty": "12 %", "meter_counts": "low",
    "inlet_usual_duty": "18 to 30 %", "inlet_current": "0.6 A", "inlet_expected_current": "0.6 A", "supply": "13.9 V",
}  # fmt: skip


def templates() -> list[str]:
    """Every sentence that a module of the regulator has at its top."""
    found = [item.template for item in vars(statements).values() if isinstance(item, statements.Says)]
    for module in (statements, next_tests, texts):
        found += [item.template for item in vars(module).values() if isinstance(item, Message)]
    return [*found, *(fault.template for fault in texts.WIRE_FAULTS.values()), *(test.template for test in next_tests.WIRE)]


GERMAN_SCREEN = language("de", ("baybook_plugins.regulator",))


def test_every_sentence_is_in_german_with_the_same_places() -> None:
    assert len(templates()) > 40
    assert [text for text in templates() if set(places(GERMAN.get(text, ""))) != set(places(text)) or text not in GERMAN] == []


def test_a_sentence_is_told_with_what_it_was_made_of() -> None:
    (finding,) = calculate("regulator", **MISSED).to_dict()["findings"]
    assert finding["statement"]["template"].startswith("The drive asks for {asked} and pressure stays {pressure}.")
    assert finding["statement"]["arguments"]["asked"]["word"] == "more pressure"
    assert finding["statement"]["text"].startswith("The drive asks for more pressure and pressure stays low.")


def test_a_screen_in_german_holds_no_english_and_no_point() -> None:
    """Numbers of a message are formatted in the language: 13,9 V and 0,6 A."""
    result = replace(calculate("regulator", **MISSED), cautions=(), sources=())
    text = " ".join(" ".join(result_lines(result, explain=True, language=GERMAN_SCREEN)).split())
    assert "im Mittel etwa 13,9 V" in text
    assert "0,6 A (± 0,05 A)" in text and "0.60 A statt 0.6 A" in text  # what was typed stays
    assert not [word for word in (" the ", " of ", " and ", " is ", " current", "13.9") if word in text]


def test_both_valves_have_the_same_inputs_each_named_by_its_valve() -> None:
    parameters = {p.name: p.field for p in registry().calculator("regulator").parameters}
    inlet = [name.removeprefix("inlet_") for name in parameters if name.startswith("inlet_")]
    assert len(inlet) == 7
    assert inlet == [name.removeprefix("outlet_") for name in parameters if name.startswith("outlet_")]
    assert "inlet valve" in parameters["inlet_duty"].help and "outlet valve" in parameters["outlet_duty"].help
    assert not any("{" in field.help for field in parameters.values())


@pytest.mark.parametrize(("given", "lacks"), [({"target": "300 bar"}, "pressure"), ({"outlet_wire_voltage": "4 V"}, "supply")])
def test_what_is_needed_with_an_input_is_asked_for(given: dict[str, str], lacks: str) -> None:
    with pytest.raises(InputError) as refused:
        calculate("regulator", where="outlet", **given)
    assert [problem.input for problem in refused.value.problems] == [lacks]
