"""Six recordings of six dialects are read with nothing given but their columns' names."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from baybook.captures import Capture, read_capture
from baybook.captures.channels import add_offered
from baybook.registry import registry

DATA = Path(__file__).parent / "data"
CRANK = {
    "t": "t",
    "rail": "Fuel rail pressure actual",
    "set": "Fuel rail pressure target",
    "d_pcv": "Pressure control valve duty cycle",
    "i_pcv": "Pressure control valve current",
    "rpm": "Crankshaft speed",
    "low": "Supply pressure",
    "battery": "Battery voltage",
}
IDLE = {
    "t": "Elapsed time",
    "rail": "P_rail",
    "set": "P_rail_set",
    "d_mv": "DC_inlet",
    "i_mv": "I_inlet",
    "d_pcv": "DC_outlet",
    "i_pcv": "I_outlet",
    "rpm": "n_eng",
    "low": "P_supply",
}
INLET = {
    "t": "timestamp",
    "rail": "Rail pressure measured",
    "set": "Rail pressure desired",
    "d_mv": "Suction control duty",
    "i_mv": "Suction control current",
    "rpm": "RPM",
    "low": "Feed pressure",
}


@pytest.fixture(autouse=True)
def offered() -> None:
    """The channels that plugins offer are known, as they are in every command."""
    registry()
    add_offered()


# file, columns, rows, time of the last row in s, offset of the first, rail at both ends and its unit: read off the files by eye
SAMPLES = [
    ("heron_hold.csv", {"t": "Time", "rail": "Rail pressure"}, 2000, 19.99, 0.0, 110.2, 59.7, "MPa"),
    ("quarry_hold.csv", {"t": "Zeit", "rail": "Raildruck"}, 1473, 29.98, 12.48, 1442.0, 208.0, "bar"),
    ("lantern_hold.csv", {"t": "t", "rail": "Fuel rail pressure actual"}, 1200, 59.95, 0.0, 13807.6, 12299.2, "psi"),
    ("tallow_crank.csv", CRANK, 1980, 9.995, 0.0, 2.0, 19.0, "bar"),
    ("bramble_crank.csv", INLET, 2200, 10.995, 0.0, 0.2, 0.2, "MPa"),
    ("osprey_idle.csv.gz", IDLE, 2376, 11.995, 36000.0, 291.0, 307.0, "bar"),
]


@pytest.mark.parametrize(("file", "columns", "rows", "end", "offset", "first", "last", "unit"), SAMPLES)
def test_a_sample_is_read_whole(
    file: str, columns: dict[str, str], rows: int, end: float, offset: float, first: float, last: float, unit: str
) -> None:
    capture = read_capture(DATA / file, columns)
    rail = capture.channel("rail")
    assert (capture.report.rows, len(capture.time), len(rail.values)) == (rows, rows, rows)
    assert (capture.time[0], capture.start_offset_s) == (0.0, offset)
    assert capture.time[-1] == pytest.approx(end, abs=1e-9)
    assert (rail.values[0], rail.values[-1], rail.symbol) == (first, last, unit)
    assert set(capture.channels) == set(columns) - {"t"}
    assert capture.report.dropped == ()


@pytest.mark.parametrize("file", [sample[0] for sample in SAMPLES])
def test_a_sample_needs_no_names_where_its_labels_are_plain(file: str) -> None:
    named = next(sample[1] for sample in SAMPLES if sample[0] == file)
    found = read_capture(DATA / file).report
    assert {name: column.label for name, column in found.channels.items()} == named
    for name in set(named) - {"t"}:
        assert any(note.startswith(f"{name} is read from ") for note in found.notes)


def _count(capture: Capture, channel: str) -> tuple[int, int]:
    return next((each.count, each.first_line) for each in capture.report.missing if each.channel == channel)


def test_what_is_missing_is_counted_with_its_first_line() -> None:
    quarry = read_capture(DATA / "quarry_hold.csv", SAMPLES[1][1])
    assert _count(quarry, "rail") == (11, 199)  # counted with grep
    lantern = read_capture(DATA / "lantern_hold.csv", SAMPLES[2][1])
    assert _count(lantern, "rail") == (13, 35)
    assert lantern.report.missing[0].marks == ("n/a",)
    assert int(np.isnan(lantern.channel("rail").values).sum()) == 13


def test_missing_rows_are_found_as_gaps() -> None:
    time = read_capture(DATA / "quarry_hold.csv", SAMPLES[1][1]).report.time
    assert (time.interval_s, time.regular) == (pytest.approx(0.02), True)
    assert time.rows_lost == 1500 - 1473  # 30 s at 50 Hz
    longest = max(time.gaps, key=lambda gap: gap.length_s)
    assert (longest.rows, longest.line) == (2, 1002)


def test_the_dialects_are_recognised() -> None:
    found = {file: read_capture(DATA / file, columns).report.dialect for file, columns, *_ in SAMPLES}
    assert {file: (each.delimiter, each.decimal, each.encoding, each.line_end) for file, each in found.items()} == {
        "heron_hold.csv": (",", ".", "UTF-8", "LF"),
        "quarry_hold.csv": (";", ",", "UTF-8 with byte-order mark", "CRLF"),
        "lantern_hold.csv": ("\t", ".", "UTF-8", "LF"),
        "tallow_crank.csv": (";", ",", "UTF-8", "LF"),
        "bramble_crank.csv": (",", ".", "UTF-8 with byte-order mark", "LF"),
        "osprey_idle.csv.gz": (",", ".", "cp1252", "LF"),
    }
    assert found["osprey_idle.csv.gz"].compressed
    assert (found["quarry_hold.csv"].units_line, found["lantern_hold.csv"].header_line) == (2, 2)
