"""What is given twice, and what cannot be: refused in a line, where the last of them won in silence."""

from __future__ import annotations

from pathlib import Path

import pytest

from baybook.cli.inputs import inputs_from, pairs
from baybook.errors import InputError, Refused
from baybook.reading import parse


def test_an_input_that_stands_twice_in_a_file_is_refused(tmp_path: Path) -> None:
    (tmp_path / "twice.json").write_text('{"start": "350 bar", "end": "300 bar", "start": "400 bar"}', "utf-8")
    with pytest.raises(InputError, match='"start" is given twice'):
        inputs_from(str(tmp_path / "twice.json"))


def test_a_channel_that_is_named_twice_is_refused() -> None:
    with pytest.raises(InputError, match="rail a second time"):
        pairs("--column", ["rail=A", "rail=B"])
    assert pairs("--column", ["rail=A", "set=B"]) == {"rail": "A", "set": "B"}


@pytest.mark.parametrize("text", ["-5 K", "-300 °C", "-460 °F"])
def test_colder_than_absolute_zero_is_refused(text: str) -> None:
    """0 K is -273.15 °C and -459.67 °F (SI brochure, 9th ed.)."""
    with pytest.raises(Refused, match="is below"):
        parse(text)


@pytest.mark.parametrize("text", ["0 K", "-273.1 °C", "-459 °F", "-1 bar gauge", "-40 bar gauge"])
def test_what_there_may_be_is_taken(text: str) -> None:
    """A sensor that is off shows less than a vacuum."""
    assert parse(text).text == text
