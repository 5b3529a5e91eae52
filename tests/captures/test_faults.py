"""Whatever is wrong with a file is said in one clear line; what was left out is counted, with its first line."""

from __future__ import annotations

import gzip
from pathlib import Path

import numpy as np
import pytest

from baybook.captures import Capture, Report, inspect, read_capture
from baybook.captures import blocks as blocks_module
from baybook.errors import InputError

HEADER = "Time [s],Rail [bar]\n"
RAIL = {"rail": "Rail"}


def put(tmp_path: Path, content: str | bytes, name: str = "hold.csv") -> Path:
    path = tmp_path / name
    path.write_bytes(content if isinstance(content, bytes) else content.encode())
    return path


def refusal(path: Path, **options: object) -> str:
    with pytest.raises(InputError) as caught:
        read_capture(path, **({"columns": RAIL} | options))  # type: ignore[arg-type]
    assert len(str(caught.value).splitlines()) == len(caught.value.problems)
    assert caught.value.exit_code == 2
    return str(caught.value)


def dropped(report: Report) -> list[tuple[str, int, int]]:
    return [(each.why, each.count, each.first_line) for each in report.dropped]


def rail(capture: Capture) -> list[float]:
    return capture.channel("rail").values.tolist()


@pytest.mark.parametrize(
    ("content", "message"),
    [
        (b"", 'capture: "hold.csv" is empty; give a file with a header and at least one row'),
        (b" \r\n\r\n\0\0", 'capture: "hold.csv" is empty; give a file with a header and at least one row'),
        (HEADER.encode(), 'capture: "hold.csv" has no row of numbers; give a file with a header and at least one row'),
        (bytes(range(256)) * 40, 'capture: "hold.csv" is not text; export the recording as CSV'),
        (
            b"PK\x03\x04" + b"\1" * 90,
            'capture: "hold.csv" is a zip archive or a spreadsheet workbook; unpack it, or save the sheet as CSV',
        ),
        (b"%PDF-1.7\n", 'capture: "hold.csv" is a PDF; export the recording as CSV'),
        (b"\x1f\x8b\x08\0broken", 'capture: "hold.csv" is damaged: it cannot be unpacked; copy it again'),
        (
            b"dear reader\nnothing here is a number\n",
            'capture: "hold.csv" has no row of numbers; give a file with a header and at least one row',
        ),
    ],
)
def test_a_file_that_is_no_capture_is_refused(content: bytes, message: str, tmp_path: Path) -> None:
    assert refusal(put(tmp_path, content)) == message


def test_a_file_that_is_not_there_is_refused(tmp_path: Path) -> None:
    path = tmp_path / f"{'n' * 60}.csv"
    assert refusal(path) == f'capture: "{path}" does not exist; check the name and the folder'
    assert "is a folder" in refusal(tmp_path)


def test_a_single_row_is_a_capture(tmp_path: Path) -> None:
    capture = read_capture(put(tmp_path, HEADER + "5.0,350.5\n"), RAIL)
    assert (capture.time.tolist(), rail(capture), capture.start_offset_s) == ([0.0], [350.5], 5.0)
    assert (capture.report.time.interval_s, capture.report.time.duration_s) == (None, 0.0)
    assert rail(read_capture(put(tmp_path, HEADER + "5.0,350.5"), RAIL)) == [350.5]  # the line end may lack


@pytest.mark.parametrize("last", ["0.5", "0.5,", "0.5,34", "0.5,348."])
def test_a_broken_last_line_is_left_out(last: str, tmp_path: Path) -> None:
    whole = "".join(f"0.{row},{350 - row}.5\n" for row in range(5))
    capture = read_capture(put(tmp_path, HEADER + whole + last), RAIL)
    assert rail(capture) == [350.5, 349.5, 348.5, 347.5, 346.5]
    assert dropped(capture.report) == [("cut off at the end of the file", 1, 7)]
    assert capture.report.dropped[0].example == last


def test_a_whole_last_line_without_a_line_end_is_kept(tmp_path: Path) -> None:
    capture = read_capture(put(tmp_path, HEADER + "0.0,350.5\n0.1,349.5\n0.2,348.5"), RAIL)
    assert (rail(capture), capture.report.dropped) == ([350.5, 349.5, 348.5], ())


def test_lines_of_another_shape_are_left_out_and_counted(tmp_path: Path) -> None:
    text = HEADER + "0.0,350.5\n\n0.1\n0.2,1,2\n# pause\n0.3,347.5\nTime [s],Rail [bar]\n0.4,346.5\n0.5,345.5,,\n"
    capture = read_capture(put(tmp_path, text), RAIL)
    assert rail(capture) == [350.5, 347.5, 346.5, 345.5]
    assert dropped(capture.report) == [
        ("blank line", 1, 3),
        ("too few columns", 1, 4),
        ("too many columns", 1, 5),
        ("comment line", 1, 6),
        ("no readable time", 1, 8),
    ]


def test_zeros_after_a_power_cut_are_left_out(tmp_path: Path) -> None:
    capture = read_capture(put(tmp_path, (HEADER + "0.0,350.5\n0.1,349.5\n").encode() + b"\0" * 5000), RAIL)
    assert rail(capture) == [350.5, 349.5]


def test_a_packed_file_cut_short_gives_what_is_there(tmp_path: Path) -> None:
    random = np.random.default_rng(3)
    rows = "".join(f"{row / 100:.2f},{value:.3f}\n" for row, value in enumerate(random.uniform(300, 350, 200_000)))
    packed = gzip.compress((HEADER + rows).encode())
    capture = read_capture(put(tmp_path, packed[: len(packed) // 2]), RAIL)
    assert 60_000 < capture.report.rows < 140_000
    assert "The packed file is cut short; what came before is read." in capture.report.notes
    np.testing.assert_array_equal(capture.channel("rail").values[:3], [float(line.split(",")[1]) for line in rows.split()[:3]])


@pytest.mark.parametrize("mark", ["OL", "-OL", "O.L", "overflow", "OVER", "inf", "-inf", "9.9E+37", "####", ">2000"])
def test_over_range_is_missing_and_said_so(mark: str, tmp_path: Path) -> None:
    capture = read_capture(put(tmp_path, HEADER + f"0.0,350.5\n0.1,{mark}\n0.2,348.5\n"), RAIL)
    np.testing.assert_array_equal(capture.channel("rail").values, [350.5, np.nan, 348.5])
    assert [(each.why, each.count, each.first_line) for each in capture.report.missing] == [("over range", 1, 3)]


@pytest.mark.parametrize("mark", ["", " ", "n/a", "NaN", "-", "---", "#N/A", "NULL", "no data", "?"])
def test_marks_for_no_value_are_missing(mark: str, tmp_path: Path) -> None:
    capture = read_capture(put(tmp_path, HEADER + f"0.0,350.5\n0.1,{mark}\n0.2,348.5\n"), RAIL)
    np.testing.assert_array_equal(capture.channel("rail").values, [350.5, np.nan, 348.5])
    assert [(each.why, each.count, each.first_line) for each in capture.report.missing] == [("missing", 1, 3)]


@pytest.mark.parametrize("cell", ["1.2.3", "12e", "3 4", "abc", "12-5", "0x10", "1_000", "350.5 bar", "1e", "+", "--5", "١٢"])
def test_what_is_no_number_is_never_read_as_one(cell: str, tmp_path: Path) -> None:
    capture = read_capture(put(tmp_path, HEADER + f"0.0,350.5\n0.1,{cell}\n0.2,348.5\n"), RAIL)
    np.testing.assert_array_equal(capture.channel("rail").values, [350.5, np.nan, 348.5])
    (missing,) = capture.report.missing
    assert (missing.why, missing.count, missing.first_line, missing.marks) == ("unreadable", 1, 3, (cell,))


def test_the_other_decimal_mark_is_not_read_as_a_number(tmp_path: Path) -> None:
    """In a file of decimal commas 12.5 is doubtful, and 1.234 may be a thousand."""
    rows = "".join(f"{row},00;350,5\n" for row in range(200))
    capture = read_capture(put(tmp_path, "Time [s];Rail [bar]\n" + rows + "200,00;12.5\n201,00;1.234\n"), RAIL)
    (missing,) = capture.report.missing
    assert (missing.why, missing.count, missing.first_line) == ("unreadable", 2, 202)


def test_a_column_without_a_number_is_refused(tmp_path: Path) -> None:
    text = "Time [s],Rail [bar],Low [bar]\n0.0,n/a,1\n0.1,n/a,2\n"
    assert refusal(put(tmp_path, text)) == 'rail: "Rail" holds no number at all; name another column'
    text = text.replace("n/a", "good")
    assert refusal(put(tmp_path, text)) == 'rail: "Rail" holds no number at all (there is "good"); name another column'


def test_faults_deep_in_a_long_file_are_found_by_line(tmp_path: Path) -> None:
    """Beyond the part that is looked at first, in later pieces of the file, and of every kind at once."""
    lines = [f"{row / 1000:.3f},{350 + row % 50}.5" for row in range(150_000)]
    lines[70_000] = "70.000,n/a"
    lines[90_000] = "90.000,1.2.3"
    lines[100_000] = "100.000"
    lines[110_000] = "# pause"
    lines[120_000] = "120.000,"
    lines[130_000] = "130.000,1 2"
    lines[140_000] = "140.000,OL"
    capture = read_capture(put(tmp_path, HEADER + "\n".join(lines) + "\n"), RAIL)
    values = {round(time, 3): value for time, value in zip(capture.time, capture.channel("rail").values, strict=True)}
    good = {round(row / 1000, 3): 350 + row % 50 + 0.5 for row in range(150_000) if row not in (100_000, 110_000)}
    for bad in (70.0, 90.0, 120.0, 130.0, 140.0):
        good[bad] = np.nan
    assert list(values) == list(good)
    np.testing.assert_array_equal(list(values.values()), list(good.values()))
    assert dropped(capture.report) == [("too few columns", 1, 100_002), ("comment line", 1, 110_002)]
    assert [(each.why, each.count, each.first_line) for each in capture.report.missing] == [
        ("over range", 1, 140_002),
        ("unreadable", 2, 90_002),
        ("missing", 2, 70_002),
    ]


def test_a_bad_cell_in_a_row_without_a_time_hides_no_other(tmp_path: Path) -> None:
    capture = read_capture(put(tmp_path, HEADER + "0.0,350.5\nn/a,abc\n0.2,OL\n0.3,\n0.4,348.5\n"), RAIL)
    assert [(each.why, each.count, each.first_line) for each in capture.report.missing] == [
        ("over range", 1, 4),
        ("unreadable", 1, 3),
        ("missing", 1, 5),
    ]


def test_with_a_sample_rate_a_bad_line_keeps_its_place_in_time(tmp_path: Path) -> None:
    capture = read_capture(put(tmp_path, "Rail [bar],T [°C]\n350,20\n349\n\n348,20\n"), RAIL, sample_rate_hz=10)
    np.testing.assert_array_equal(capture.channel("rail").values, [350, np.nan, 348])
    assert capture.time.tolist() == [0.0, 0.1, 0.2]


def test_a_comment_mark_may_begin_a_missing_cell(tmp_path: Path) -> None:
    capture = read_capture(put(tmp_path, "Rail [bar],T [°C]\n350,20\n#N/A,20\n348,20\n"), RAIL, sample_rate_hz=10)
    np.testing.assert_array_equal(capture.channel("rail").values, [350, np.nan, 348])


@pytest.mark.parametrize(
    ("content", "message"),
    [
        (
            "Time [s];Rail [bar]\n1,234;5,678\n1,235;5,679\n",
            'decimal: cannot be told from "1,234" (line 2): it may be a thousand or a fraction; say which: --decimal point or '
            "--decimal comma",
        ),
        (
            "Rail, bar\n1,5\n2,5\n3,5\n",
            'decimal: "1,5" has a comma that may part two columns or be the decimal mark; say which: --decimal point or '
            "--decimal comma",
        ),
        (
            "1,5\n2,5\n3,5\n",
            'decimal: "1,5" has a comma that may part two columns or be the decimal mark; say which: --decimal point or '
            "--decimal comma",
        ),
        (
            "Time [s];Rail [bar]\n0,5;350.5\n0,6;349.5\n",
            'decimal: is written with both marks: "0,5" (line 2), "350.5" (line 2); say which: '
            "--decimal point or --decimal comma",
        ),
    ],
)
def test_a_decimal_mark_that_cannot_be_told_is_asked_for(content: str, message: str, tmp_path: Path) -> None:
    path = put(tmp_path, content)
    assert refusal(path) == message
    with pytest.raises(InputError):
        inspect(path)


def test_the_decimal_mark_may_be_settled_further_down_or_by_option(tmp_path: Path) -> None:
    rows = "".join(f"{1 + row / 1000:.3f};5.678\n" for row in range(1, 900)).replace(".", ",")
    path = put(tmp_path, "Time [s];Rail [bar]\n" + rows + "1,900;56,78\n")
    assert rail(read_capture(path, RAIL))[-1] == 56.78
    path = put(tmp_path, "Time [s];Rail [bar]\n1,234;5,678\n1,235;5,679\n")
    assert rail(read_capture(path, RAIL, decimal=",")) == [5.678, 5.679]
    assert rail(read_capture(path, RAIL, decimal=".")) == [5678.0, 5679.0]


@pytest.mark.parametrize(
    ("options", "message"),
    [
        ({"decimal": "x"}, 'decimal: "x" is not a decimal mark; give point or comma'),
        ({"delimiter": "ab"}, 'delimiter: "ab" cannot part columns; give one of , ; | a tab or a blank'),
        (
            {"encoding": "utf-99"},
            'encoding: "utf-99" is not an encoding that is known; give utf-8, utf-16, cp1252 or leave it out',
        ),
        ({"sample_rate_hz": 0.0}, 'rate: "0.0" is not a sample rate; give one above zero, such as 1000Hz'),
        ({"sample_rate_hz": float("nan")}, 'rate: "nan" is not a sample rate; give one above zero, such as 1000Hz'),
        (
            {"sample_rate_hz": 5.0, "columns": {"t": "Time", "rail": "Rail"}},
            'rate: "5.0" is given as well as the time column "Time"; give one of the two',
        ),
    ],
)
def test_an_option_that_cannot_be_is_refused(options: dict[str, object], message: str, tmp_path: Path) -> None:
    assert refusal(put(tmp_path, HEADER + "0.0,350.5\n0.1,349.5\n"), **options) == message


def test_a_blank_line_after_every_row_is_no_row(tmp_path: Path) -> None:
    """As written by programs that end a line twice."""
    rows = "".join(f"{row / 1000:.3f},{350 - row / 1000:.3f}\r\r\n" for row in range(30_000))
    capture = read_capture(put(tmp_path, "Time [s],Rail [bar]\r\r\n" + rows), RAIL)
    assert capture.report.rows == 30_000
    assert dropped(capture.report) == [("blank line", 30_000, 4)]


def test_a_line_beyond_all_bounds_is_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(blocks_module, "LONGEST_LINE", 1 << 20)
    text = HEADER + "0.0,350.5\n0.1,349.5\n" + "9" * 4_000_000
    assert refusal(put(tmp_path, text)) == (
        'capture: "hold.csv" has a line of more than 1 MB; export the recording as CSV, one row a line'
    )


def test_a_header_that_does_not_fit_its_rows_is_refused(tmp_path: Path) -> None:
    assert refusal(put(tmp_path, "Time [s],Rail [bar],Low [bar]\n0.0,350.5\n0.1,349.5\n")) == (
        'capture: "hold.csv" names 3 columns (line 1) but its rows hold 2; make the header fit the rows'
    )
    assert refusal(put(tmp_path, "Time [s],Rail [bar]\n0.0,350.5,1\n0.1,349.5,2\n")) == (
        'capture: "hold.csv" names 2 columns (line 1) but its rows hold 3; make the header fit the rows'
    )


@pytest.mark.parametrize("rows", ["350.5\n\n349.5\n", "350.5\n\n349.5\n\n348.5\n"])
def test_in_a_single_column_a_blank_line_is_a_row_that_is_missing(rows: str, tmp_path: Path) -> None:
    """The sample rate counts lines: what follows a blank one keeps its time."""
    capture = read_capture(put(tmp_path, "Rail [bar]\n" + rows), RAIL, sample_rate_hz=10.0)
    assert dropped(capture.report) == [("blank line", rows.count("\n\n"), 3)]
    assert capture.channel("rail").values[:3] == pytest.approx([350.5, np.nan, 349.5], nan_ok=True)
    assert capture.time[2] == pytest.approx(0.2)
