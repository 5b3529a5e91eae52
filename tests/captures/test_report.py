"""The report in words and as JSON, the look at a file's head, progress, and what is not loaded."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

from baybook.captures import describe, describe_inspection, inspect, read_capture

DATA = Path(__file__).parent / "data"


def test_the_report_says_what_was_recognised_left_out_and_missing(tmp_path: Path) -> None:
    path = tmp_path / "hold.csv"
    path.write_bytes(
        "\ufeff# bench\nZeit;Raildruck;Status\nms;bar;\n0,0;350,5;on\n10,0;n/a;on\n20,0;349,5;on\n\n60,0;348\n"
        "70,0;348,5;on\n80,0;348,0;on\n".replace("\n", "\r\n").encode()
    )
    assert describe(read_capture(path, {"t": "Zeit", "rail": "Raildruck"}).report) == [
        "hold.csv: 5 rows",
        "",
        "Recognised",
        "  text: UTF-8 with byte-order mark, lines end in CRLF",
        "  columns parted by: semicolon; decimal mark: comma",
        "  labels: line 2; units: line 3; first row: line 4",
        "  above the rows: 1 comment line, 0 other lines",
        '  time: "Zeit" in ms, starts at 0,0; 0.08 s long',
        "  interval: 10 ms, irregular",
        "  columns:",
        "     1  Zeit       [ms]     -> t",
        "     2  Raildruck  [bar]    -> rail",
        "     3  Status              (not used)",
        "",
        "Left out",
        "  1 x blank line, first in line 7",
        '  1 x too few columns, first in line 8: "60,0;348"',
        "",
        "Missing values",
        '  rail: 1 missing, first in line 5 ("n/a")',
    ]


def test_the_marks_of_missing_values_are_those_of_the_file(tmp_path: Path) -> None:
    path = tmp_path / "hold.csv"
    path.write_text("Time [s],Rail [bar]\n0.0,350.5\n0.1,n/a\n0.2,\n0.3,\n0.4,OL\n0.5,349.5\n")
    lines = describe(read_capture(path, {"rail": "Rail"}).report)
    assert lines[lines.index("Missing values") :] == [
        "Missing values",
        '  rail: 1 over range, first in line 6 ("OL")',
        '  rail: 3 missing, first in line 3 (empty, "n/a")',
    ]


def test_a_single_row_has_no_interval_and_a_quick_recorder_one_in_seconds(tmp_path: Path) -> None:
    path = tmp_path / "hold.csv"
    path.write_text("Time [s],Rail [bar]\n0.5,350.5\n")
    lines = describe(read_capture(path, {"rail": "Rail"}).report)
    assert '  time: "Time" in s, starts at 0.5; 0 s long' in lines
    assert not any("interval" in line for line in lines)
    path.write_text("Time [s],Rail [bar]\n0,350.5\n1e-7,350\n2e-7,349.5\n")
    assert "  interval: 1e-07 s" in describe(read_capture(path, {"rail": "Rail"}).report)


def test_the_report_is_json(tmp_path: Path) -> None:
    capture = read_capture(DATA / "quarry_hold.csv", {"t": "Zeit", "rail": "Raildruck"})
    report = json.loads(json.dumps(capture.to_dict()))
    assert report["channels"]["rail"] == {
        "number": 2,
        "label": "Raildruck",
        "unit": "bar",
        "unit_from": "units row",
        "header": "Raildruck",
    }
    assert (report["rows"], report["time"]["rows_lost"], report["missing"][0]["count"]) == (1473, 27, 11)


def test_a_look_at_the_head_tells_what_is_in_a_file() -> None:
    found = inspect(DATA / "osprey_idle.csv.gz")
    assert (found.rows, found.exact) == (2376, True)
    assert found.first_row[:2] == ("10:00:00.000", "291.00")
    assert {name: column.label for name, column in found.channels.items()}["low"] == "P_supply"
    lines = describe_inspection(found)
    assert lines[0] == "osprey_idle.csv.gz: 2376 rows"
    assert "     2  P_rail               [bar]    -> rail" in lines
    json.dumps(found.to_dict())


def test_the_rows_of_a_long_file_are_reckoned_from_its_head(tmp_path: Path) -> None:
    path = tmp_path / "long.csv"
    path.write_text("Time [s],Rail [bar]\n" + "".join(f"{row / 100:08.2f},{350:.2f}\n" for row in range(100_000)))
    found = inspect(path)
    assert not found.exact
    assert found.rows == pytest.approx(100_000, rel=0.001)


def test_progress_rises_to_the_size_of_the_file(tmp_path: Path) -> None:
    path = tmp_path / "long.csv"
    path.write_text("Time [s],Rail [bar]\n" + "".join(f"{row / 100:08.2f},{350:.2f}\n" for row in range(200_000)))
    seen: list[tuple[int, int]] = []
    read_capture(path, {"rail": "Rail"}, on_progress=lambda done, total: seen.append((done, total)))
    size = path.stat().st_size
    assert [done for done, _ in seen] == sorted(done for done, _ in seen)
    assert (seen[-1], {total for _, total in seen}) == ((size, size), {size})
    assert len(seen) >= 3


def test_looking_at_a_file_loads_no_numerical_library() -> None:
    script = (
        "import sys; from baybook.captures import inspect, describe_inspection; "
        f"describe_inspection(inspect({str(DATA / 'heron_hold.csv')!r})); print('numpy' in sys.modules)"
    )
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "False"


def test_memory_does_not_grow_with_columns_that_are_not_read(tmp_path: Path) -> None:
    """The peak is that of the values read, twice at most, and a few pieces of the file."""
    import tracemalloc

    path = tmp_path / "wide.csv"
    row = ",".join(["123.456"] * 20)
    path.write_text(
        "Time [s],Rail [bar],"
        + ",".join(f"x{each}" for each in range(20))
        + "\n"
        + "".join(f"{each / 100:.2f},350.5,{row}\n" for each in range(60_000))
    )
    read_capture(path, {"rail": "Rail"})  # libraries loaded
    tracemalloc.start()
    capture = read_capture(path, {"rail": "Rail"})
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    kept = capture.time.nbytes + capture.channel("rail").values.nbytes
    assert path.stat().st_size > 10e6
    assert peak < 2 * kept + 8e6
