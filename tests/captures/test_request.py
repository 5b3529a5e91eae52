"""A request for a capture says what the user said of the file, and reads it so."""

from __future__ import annotations

from pathlib import Path

import pytest

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
