"""The capture reader against published rules for the text it reads, and against general-purpose readers."""

from __future__ import annotations

import csv
from pathlib import Path

import numpy as np
import pytest

from baybook.captures import read_capture
from baybook.captures.cells import read_number
from baybook.captures.clock import Clock
from baybook.captures.dates import day_number
from baybook.captures.delimiters import split

DATA = Path(__file__).parent / "data"


@pytest.mark.parametrize(
    ("line", "cells"),
    [
        ("aaa,bbb,ccc", ["aaa", "bbb", "ccc"]),  # section 2, rule 1
        ('"aaa","bbb","ccc"', ["aaa", "bbb", "ccc"]),  # rule 5
        ('"aaa","b""bb","ccc"', ["aaa", 'b"bb', "ccc"]),  # rule 7
    ],
)
def test_cells_are_those_of_rfc_4180(line: str, cells: list[str]) -> None:
    """Y. Shafranovich, RFC 4180 (2005), section 2: the examples of rules 1, 5 and 7. From memory."""
    assert split(line, ",") == cells


@pytest.mark.parametrize(("ending", "header"), [("\r\n", ""), ("", ""), ("\r\n", "field_name,other_name\r\n")])
def test_the_last_line_end_and_the_header_are_optional(ending: str, header: str, tmp_path: Path) -> None:
    """RFC 4180, section 2, rules 1 to 3: lines end in CRLF, the last may lack it, a header may come first. From memory."""
    path = tmp_path / "rules.csv"
    path.write_bytes((header + "1.5,2.5\r\n3.5,4.5" + ending).encode())
    capture = read_capture(path, {"a": "column 1", "b": "column 2"}, sample_rate_hz=1)
    assert [capture.channel(name).values.tolist() for name in "ab"] == [[1.5, 3.5], [2.5, 4.5]]


def test_clock_times_are_those_of_rfc_3339() -> None:
    """G. Klyne, C. Newman, RFC 3339 (2002), section 5.8, first and last examples, in its words. From memory."""
    # "20 minutes and 50.52 seconds after the 23rd hour of April 12th, 1985 in UTC"
    assert Clock().one("1985-04-12T23:20:50.52Z") == pytest.approx(23 * 3600 + 20 * 60 + 50.52, abs=1e-9)
    # "1990-12-31T23:59:60Z represents the leap second inserted at the end of 1990"
    texts = ("1990-12-31T23:59:59Z", "1990-12-31T23:59:60Z", "1991-01-01T00:00:00Z")
    before, leap, after = (86400 * (day_number(text[:10], "year first") or 0) + Clock().one(text) for text in texts)
    assert (leap - before, after - leap) == (1.0, 0.0)  # a day of 86 400 s: the leap second shares its time with midnight
    # "noon, January 1, 1937, Netherlands time": 12:00:27.87 on the local clock
    assert Clock().one("1937-01-01T12:00:27.87+00:20") == pytest.approx(12 * 3600 + 27.87, abs=1e-9)


@pytest.mark.parametrize(
    ("text", "kind"), [("9.91E+37", "over range"), ("9.9E+37", "over range"), ("-9.9E+37", "over range"), ("9.8E+37", "number")]
)
def test_an_instruments_infinity_is_no_measurement(text: str, kind: str) -> None:
    """SCPI-99, volume 1, 7.2.1.4 and 7.2.1.5: infinity is sent as 9.9E37, not-a-number as 9.91E37. From memory."""
    assert read_number(text)[1] == kind


def _oracle(path: Path) -> dict[str, list[float]]:
    """Columns of plain numbers as the standard library reads them."""
    lines = [line for line in path.read_text(encoding="utf-8").splitlines() if line and not line.startswith("#")]
    table = list(csv.DictReader(lines))
    columns: dict[str, list[float]] = {}
    for label in table[0]:
        try:
            columns[label] = [float(row[label]) for row in table]
        except (TypeError, ValueError):
            continue  # a column with words in it is not compared
    return columns


@pytest.mark.parametrize(
    "name",
    ["ndodecane_coolprop.csv", "nist_norris.csv", "methyl_oleate_coolprop.csv", "petroleum_vcf.csv", "student_t_coverage.csv"],
)
def test_published_tables_read_as_the_standard_library_reads_them(name: str) -> None:
    """Tables of published values, remarks above: every column of numbers is the same to the last bit."""
    columns = _oracle(DATA / name)
    assert columns
    capture = read_capture(DATA / name, {f"x{place}": label for place, label in enumerate(columns)}, sample_rate_hz=1)
    for place, values in enumerate(columns.values()):
        np.testing.assert_array_equal(capture.channel(f"x{place}").values, values)


def test_numbers_read_as_numpy_reads_them(tmp_path: Path) -> None:
    """numpy.genfromtxt as a general-purpose reader: doubles written in full come back the same to the last bit."""
    random = np.random.default_rng(5)
    table = np.column_stack([np.arange(3000) / 1000, random.normal(0, 1, 3000) * 10.0 ** random.integers(-30, 30, 3000)])
    table[::17, 1] = np.nan
    path = tmp_path / "full.csv"
    path.write_text("Time [s],Rail [bar]\n" + "".join(f"{t!r},{value!r}\n" for t, value in table.tolist()))
    read = np.genfromtxt(path, delimiter=",", skip_header=1)
    capture = read_capture(path, {"rail": "Rail"})
    np.testing.assert_array_equal(capture.time, read[:, 0])
    np.testing.assert_array_equal(capture.channel("rail").values, read[:, 1])
    np.testing.assert_array_equal(capture.channel("rail").values, table[:, 1])


def test_a_published_data_set_gives_its_certified_line() -> None:
    """NIST Statistical Reference Datasets, Norris (linear regression, 36 points): the certified intercept and slope."""
    capture = read_capture(DATA / "nist_norris.csv", {"x": "x", "y": "y"}, sample_rate_hz=1)
    x, y = capture.channel("x").values, capture.channel("y").values
    slope = float(np.cov(x, y)[0, 1] / np.var(x, ddof=1))
    assert len(x) == 36
    assert slope == pytest.approx(1.00211681802045, rel=1e-12)
    assert float(y.mean() - slope * x.mean()) == pytest.approx(-0.262323073774029, rel=1e-9)
