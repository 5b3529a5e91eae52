"""Every dialect of the corpus is read row by row as it was made; or with one option fewer, asked for and never wrong."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from baybook.captures import Capture, read_capture

from .corpus import cases
from .made import Case

CASES = {case.name: case for case in cases()}


def read(case: Case, data: bytes, tmp_path: Path) -> Capture:
    path = tmp_path / "recording.csv"
    path.write_bytes(data)
    return read_capture(path, case.columns, case.units, sample_rate_hz=case.rate, decimal=case.decimal)


def assert_true(capture: Capture, case: Case) -> None:
    """The rows are those of the case: as many, at its times, with its values."""
    assert capture.report.rows == len(case.time)
    np.testing.assert_allclose(
        capture.time, np.array(case.time) - case.time[0], rtol=1e-12, atol=2e-10 * (case.time[-1] > 1) + 2e-12
    )
    for name, values in case.values.items():
        np.testing.assert_array_equal(capture.channel(name).values, values)


@pytest.mark.parametrize("name", CASES)
def test_a_dialect_is_read_as_it_was_made(name: str, tmp_path: Path) -> None:
    assert_true(read(CASES[name], CASES[name].data, tmp_path), CASES[name])
