"""Messages: templates with arguments, said in any language, with numbers rounded in one place."""

from __future__ import annotations

import json

import pytest

from baybook.api import KINDS, Estimate, Message, Reading, SpecRange, Word
from baybook.errors import PluginError
from baybook.language import Language, language
from baybook.message import places, shown

GERMAN = Language(
    "de", ",",
    {
        "{leak} is outside {limit}.": "{leak} liegt außerhalb von {limit}.", "at most {high}": "höchstens {high}",
        "name\4rail leak": "Raildruckverlust", "law\4laminar": "laminar (zäh)", "and": "und", "see {more}": "siehe {more}",
    },
)  # fmt: skip


def test_a_message_is_its_english_text_and_knows_its_parts() -> None:
    leak, limit = Estimate.of(7.123, "mL/min", 0.05), SpecRange(None, 6.5, "mL/min", kind="flow")
    message = Message("{leak} is outside {limit}.", leak=leak, limit=limit)
    assert message == "7.123 mL/min is outside at most 6.5 mL/min."
    assert message.text(GERMAN) == "7,123 mL/min liegt außerhalb von höchstens 6,5 mL/min."
    told = json.loads(json.dumps(message.to_dict()))
    assert (told["text"], told["template"]) == (str(message), "{leak} is outside {limit}.")
    assert told["arguments"]["leak"] == {"value": 7.123, "unit": "mL/min", "low": leak.low, "high": leak.high}
    assert told["arguments"]["limit"]["high"] == 6.5


def test_words_and_messages_are_looked_up_and_somebodys_own_texts_are_not() -> None:
    inner = Message("see {more}", more=Word("rail_leak"))
    law = Word("laminar", "law")
    message = Message("{name}: {law}, {own}, {inner}", name=Word("rail_leak"), law=law, own="and", inner=inner)
    assert message == "rail leak: laminar, and, see rail leak"
    assert message.text(GERMAN) == "Raildruckverlust: laminar (zäh), and, siehe Raildruckverlust"


def test_lists_numbers_and_capitals() -> None:
    assert shown([1, 3, 5]) == "1, 3 and 5" and shown([1, 3], GERMAN) == "1 und 3" and shown([]) == ""
    assert shown(1234.5678, GERMAN) == "1234,6" and shown(100000) == "100000"
    assert Message("{what} leaks", what=Word("rail_leak", capital=True)) == "Rail leak leaks"


def test_a_reading_shows_the_digits_that_it_was_typed_with() -> None:
    assert shown(Reading.of(350, "bar", u95=5)) == "350.0 bar"
    assert shown(SpecRange(2.0, 3.5, "ohm", kind=KINDS["resistance"]), GERMAN).endswith("3,5 ohm")


@pytest.mark.parametrize(
    ("template", "arguments"), [("{a} and {b}", {"a": 1}), ("none", {"a": 1}), ("{0}", {"a": 1}), ("{a", {"a": 1})]
)
def test_places_and_arguments_have_to_agree(template: str, arguments: dict[str, int]) -> None:
    with pytest.raises(PluginError):
        Message(template, **arguments)


def test_plain_texts_are_messages_whatever_stands_in_them() -> None:
    message = Message.of('give { range = "3 to 7 bar" }')
    assert message == 'give { range = "3 to 7 bar" }' and message.text(GERMAN) == message
    assert places(message.template) == () and Message.of(message) is message
    with pytest.raises(PluginError, match="7 stands where a message is wanted"):
        Message.of(7)  # type: ignore[arg-type]


def test_the_cores_german_has_the_places_of_every_message() -> None:
    messages = language("de").messages
    assert len(messages) > 40
    for said, told in messages.items():
        assert set(places(told)) == set(places(said.rpartition("\4")[2])), said


def test_yes_and_no_are_said_in_the_language() -> None:
    spoken = Language("de", ",", {"yes": "ja", "no": "nein"})
    message = Message("loaded: {loaded}", loaded=True)
    assert (message, message.text(spoken), shown(False, spoken)) == ("loaded: yes", "loaded: ja", "nein")


def test_a_language_that_is_not_there_is_refused() -> None:
    with pytest.raises(ValueError, match="'xx' is not a language that is there; use de, en"):
        language("xx")
