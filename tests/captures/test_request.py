"""A request for a capture says what the user said of the file, and reads it so."""

from __future__ import annotations

from pathlib import Path

import pytest

from baybook.api import KINDS, CaptureFile
from baybook.captures.request import CaptureRequest
from baybook.errors import Refused


@pytest.mark.parametrize(("decimal", "values"), [("comma", [5.678, 5.679]), ("point", [5678901.0, 5679901.0])])
def test_the_decimal_mark_may_be_told(decimal: str, values: list[float], tmp_path: Path) -> None:
    path = tmp_path / "open.csv"
    cells = ("5,678", "5,679") if decimal == "comma" else ("5,678,901", "5,679,901")
    path.write_text("Rail [bar];T [°C]\n" + "".join(f"{cell};20\n" for cell in cells), encoding="utf-8")
    raw = {"file": str(path), "columns": {"rail": "Rail"}, "rate": "10 Hz", "decimal": decimal}
    request = CaptureRequest.parse(raw, {})
    assert request.to_dict() == raw
    assert request.read().channel("rail").values.tolist() == values


def test_another_decimal_mark_is_refused() -> None:
    with pytest.raises(Refused, match="decimal mark 'colon' that is not known; use point or comma"):
        CaptureRequest.parse({"file": "x.csv", "decimal": "colon"}, {})


def test_channels_that_are_read_where_they_are(tmp_path: Path) -> None:
    """`also`: a battery that nobody logged is done without; one without a unit is left out with a note."""
    file = tmp_path / "drive.csv"
    file.write_text(
        "t [s],Rail pressure [bar],Engine speed [rpm],Feed pressure\n" + "".join(f"{i},300,800,4\n" for i in range(9))
    )
    field = CaptureFile("a drive", channels={"rail": KINDS["gauge pressure"]}, also={
        "rpm": KINDS["speed"], "low": KINDS["gauge pressure"], "i_mv": KINDS["current"]})  # fmt: skip
    found = field.parse(str(file)).read()
    assert sorted(found.channels) == ["rail", "rpm"]
    assert any("low" in note and "no unit" in note for note in found.report.notes)


@pytest.mark.parametrize(
    ("raw", "why"),
    [
        (5, "is not a capture; give a file"),
        ({"file": ""}, "is not a capture; give a file"),
        ({"file": "x.csv", "rat": "5 Hz"}, "has a part 'rat' that is not known; use file, columns, units, rate, decimal"),
        ({"file": "x.csv", "columns": "Rail"}, "has columns that are not a table; give columns = "),
        ({"file": "x.csv", "rate": "0 Hz"}, 'has a sample rate "0 Hz" that is not above zero; give one, such as 1000 Hz'),
        ({"file": "x.csv", "rate": "5 bar"}, 'has a sample rate "5 bar" that is a pressure; give a frequency'),
    ],
)
def test_what_is_no_request_is_refused_before_anything_is_opened(raw: object, why: str) -> None:
    with pytest.raises(Refused) as refused:
        CaptureRequest.parse(raw, {})
    assert str(refused.value).startswith(why)


def test_the_record_of_an_earlier_result_is_the_same_request() -> None:
    request = CaptureRequest.parse({"file": "x.csv", "columns": {"rail": "Rail"}}, {})
    assert CaptureRequest.parse({"text": "x.csv", "value": request.to_dict()}, {}) == request
    assert CaptureRequest.parse(request, {}) is request
    assert str(request) == "x.csv"
