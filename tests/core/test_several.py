"""Lists of readings: the number of a reading is its place, whatever was not measured or ran over."""

import pytest

from baybook.errors import Refused
from baybook.fields import readings
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
