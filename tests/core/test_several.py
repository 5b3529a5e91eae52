"""Lists of readings: the number of a reading is its place, whatever was not measured or ran over."""

from typing import Any

import pytest

from baybook import calculate
from baybook.errors import InputError, Refused
from baybook.fields import readings
from baybook.list_text import parts
from baybook.reading import Reading

FREE = readings("volume", "what was collected", at_least="0 mL", gaps=True, bounds=True)
STRICT = readings("volume", "what was collected", at_least="0 mL")


def test_what_was_not_measured_keeps_its_place() -> None:
    one, two, three = FREE.parse("30 mL; -; 31 mL")
    assert (one and one.value, two, three and three.value) == (30.0, None, 31.0)
    assert [item["text"] for item in FREE.record((one, two, three))["value"]] == ["30 mL", "-", "31 mL"]
    assert FREE.parse(FREE.record((one, two, three)))[1] is None
    assert FREE.parse(["30 mL", None, "-"])[1:] == (None, None)


def test_a_cylinder_that_ran_over_is_a_bound() -> None:
    _, over = FREE.parse("30 mL; > 100 mL")
    assert isinstance(over, Reading)
    assert (over.bound, over.value, over.text) == ("above", 100.0, "> 100 mL")
    record = FREE.record((over,))["value"][0]
    assert (record["value"], record["low"] > 99, record["high"]) == (None, True, None)
    again = FREE.parse({"value": [record]})[0]
    assert again and again.bound == "above"
    assert over.to("L").bound == "above"


@pytest.mark.parametrize(
    ("field", "raw", "message"),
    [
        (FREE, "30 mL; ; 31 mL", "has nothing at place 2; write - for one that was not measured"),
        (FREE, "30 mL; 31 mL;", "has nothing at place 3; write - for one that was not measured"),
        (FREE, ["30 mL", ""], "has nothing at place 2; write - for one that was not measured"),
        (STRICT, "30 mL;; 31 mL", "has nothing at place 2; every one is needed here"),
        (STRICT, "30 mL; -", "has no reading 2; every one is needed here, such as 25 mL"),
        (STRICT, "30 mL; > 100 mL", "has a reading 2 that is only a bound; give what was read, such as 25 mL"),
        (FREE, "-; -", "has no reading at all; give those that were measured, such as 25 mL; -"),
        (FREE, "> 100 s", "has a reading 1 that is a time; give a volume, such as 25 mL"),
    ],
)
def test_an_empty_place_is_never_dropped(field: object, raw: object, message: str) -> None:
    with pytest.raises(Refused) as refusal:
        field.parse(raw)  # type: ignore[attr-defined]  # either field
    assert str(refusal.value) == message


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("30 31 29 33 ± 5 mL", "has a ± at the last alone; write it behind each, or behind the unit for all"),
        ("1 200 1 300 1 250 1 280 mL", "could be 4 readings or 8; part them by ;, or write 1200"),
    ],
)
def test_a_list_that_may_mean_two_things_is_refused(text: str, said: str) -> None:
    with pytest.raises(InputError, match=said):
        calculate("returns", volumes=text, time="60 s")


def test_a_list_of_three_digits_is_no_list_of_thousands() -> None:
    assert parts("310 308 312 309 A") == ["310 A", "308 A", "312 A", "309 A"]
    assert parts("30 31 mL ± 1 mL") == ["30 mL ± 1 mL", "31 mL ± 1 mL"]
    assert parts("30 ± 1 31 ± 2 mL") == ["30 ± 1 mL", "31 ± 2 mL"]


@pytest.mark.parametrize(
    ("name", "given", "said"),
    [
        ("delivery", {"volumes": "22 0 22 22 mL", "strokes": 1000, "quantity_limit": "max 26 mm3/stroke"}, "has one end alone"),
        ("drive", {"part": "injector", "form": "pulse", "peak_current": "1 A", "peak_limit": "max 21 A"}, "has one end alone"),
        ("reading", {"what": "feed pressure", "value": "0.05 bar", "limit": "max 5 bar"}, "has no lower end"),
        ("reading", {"what": "relief valve return", "value": "500 mL/min", "limit": "min 10 mL/min"}, "has no upper end"),
        ("reading", {"what": "rail sensor against gauge or zero", "value": "-300 bar", "limit": "max 30 bar"}, "has one end"),
        ("reading", {"what": "injector quantity correction", "place": "injector 1", "value": "-4.5 mm3/stroke",
                     "limit": "max 3 mm3/stroke"}, "has one end alone"),
        ("reading", {"what": "suction depression", "value": "-0.4 bar", "limit": "max 0.3 bar"}, "on the other side of zero"),
        ("returns", {"volumes": "30 31 29 60 mL", "time": "60 s", "median_limit": "max 50 %"}, "write max 150 % where 50 %"),
        ("returns", {"volumes": "30 31 29 60 mL", "time": "60 s", "median_limit": "min 150 %"}, "has no upper end"),
        ("hold", {"start": "1000 bar", "end": "100 bar", "time": "10 s", "volume": "25 mm3"}, "at least 1 mL"),
        ("hold", {"start": "1000 bar", "end": "100 bar", "time": "10 s", "volume": "25 L"}, "at most 1 L"),
    ],
)  # fmt: skip
def test_a_limit_that_would_clear_what_is_dead_is_refused(name: str, given: dict[str, Any], said: str) -> None:
    """A range without the end beyond which the fault lies, or a rail of a drop or of a barrel, clears everything."""
    with pytest.raises(InputError, match=said):
        calculate(name, **given)
