"""What is decided, asked for or refused: one line that names the choice, never a quiet guess."""

from __future__ import annotations

import gzip
import os
import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path

import numpy as np
import pytest

from baybook.captures import Capture, bounds, read_capture
from baybook.captures.dates import day_number, decide
from baybook.errors import InputError

from .corpus import cases

CASES = {case.name: case for case in cases()}


def put(tmp_path: Path, text: str | bytes) -> Path:
    path = tmp_path / "log.csv"
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    return path


def refusal(path: Path, columns: dict[str, str] | None = None, units: dict[str, str] | None = None, **more: object) -> str:
    with pytest.raises(InputError) as caught:
        read_capture(path, columns, units, **more)  # type: ignore[arg-type]
    assert len(str(caught.value).splitlines()) == len(caught.value.problems)
    return str(caught.value)


def read(tmp_path: Path, text: str, columns: dict[str, str], **more: object) -> Capture:
    return read_capture(put(tmp_path, text), columns, **more)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("name", "line", "labels"),
    [
        ("a list of channels above the scans, all padded", 21, ["Scan", "Time", "101 <00>"]),
        ("dashes and words among the rows", 1, ["date", "time", "minutes"]),
        ("seven rows of it", 15, ["X_Value", "Dev0/Ai0", "Dev0/Ai2"]),
        ("bracketed units under the labels", 1, ["t", "c1", "c2"]),
        ("numbered labels over units in words", 1, ["x-axis", "1", "2"]),
        ("a source over units in words", 1, ["Source", "CH1"]),
        ("labels name start and increment, the second line holds them", 1, ["CH1", "CH2", ""]),
    ],
)
def test_labels_are_the_last_words_above_the_rows(name: str, line: int, labels: list[str], tmp_path: Path) -> None:
    case = CASES[name]
    report = read_capture(put(tmp_path, case.data), case.columns, case.units).report
    assert report.dialect.header_line == line
    assert [column.label for column in report.columns[:3]] == labels


def test_start_and_increment_are_no_units(tmp_path: Path) -> None:
    case = CASES["labels name start and increment, the second line holds them"]
    report = read_capture(put(tmp_path, case.data), case.columns).report
    assert [column.unit for column in report.columns] == ["Volt", "Volt", ""]
    assert (report.time.kind, report.time.start_offset_s) == ("interval", -0.00392)


def days(texts: Sequence[str]) -> list[str] | None:
    """What a column of dates is taken for: the dates in year, month, day; None where that stays open."""
    from datetime import date

    found = decide(texts, range(len(texts)), [1] * len(texts))
    return None if found.open else [date.fromordinal(day).isoformat() if day else "none" for day in found.days]


@pytest.mark.parametrize(
    ("texts", "meant"),
    [
        (["08.01.22", "08.02.22", "08.03.22"], ["2022-08-01", "2022-08-02", "2022-08-03"]),
        (["01.08.22", "02.08.22"], ["2022-08-01", "2022-08-02"]),
        (["09/30/21", "10/01/21"], ["2021-09-30", "2021-10-01"]),
        (["31/08/2024", "01/09/2024"], ["2024-08-31", "2024-09-01"]),
        (["09/12/2024", "09/13/2024"], ["2024-09-12", "2024-09-13"]),
        (["2024/02/28", "2024/02/29"], ["2024-02-28", "2024-02-29"]),
        (["03/02/2024", "02/02/2024", "01/02/2024"], ["2024-02-03", "2024-02-02", "2024-02-01"]),
        (["10/11/2024", "05/12/2024", "06/01/2025"], ["2024-11-10", "2024-12-05", "2025-01-06"]),  # rising one way alone
        (["01/02/2024", "08/02/2024"], None),  # a week or half a year
        (["01.02.2024", "08.02.2024"], ["2024-02-01", "2024-02-08"]),  # a point is a hint
        (["01.02.2024", "01.04.2024", "01.06.2024"], None),  # the point says four months, the shorter span four days
        (["13/14/2024", "32/01/2024"], None),
    ],
)
def test_the_order_of_day_and_month_is_decided_for_all_dates_together(texts: list[str], meant: list[str] | None) -> None:
    assert days(texts) == meant


def test_an_impossible_date_is_no_day(tmp_path: Path) -> None:
    assert day_number("2023-02-29", "year first") is None
    rows = [f"2024-03-{1 + n // 24:02d} {n % 24:02d}:00:00,{n}\n" for n in range(120)]
    rows[60] = "2024-02-31 12:00:00,60\n"
    capture = read(tmp_path, "Time,Q\n" + "".join(rows), {"a": "column 2"})
    assert capture.report.rows == 119
    assert [(each.why, each.first_line) for each in capture.report.dropped] == [("no readable time", 62)]
    assert capture.time[-1] == 119 * 3600


def test_dates_that_stay_open_are_asked_for(tmp_path: Path) -> None:
    rows = "".join(f"{day:02d}/02/2024 {hour:02d}:00:00,1\n" for day in (1, 8) for hour in range(10, 20))
    assert refusal(put(tmp_path, "Time,Q\n" + rows), {"a": "column 2"}) == (
        't: "Time" leaves open which figure of its dates is the day, "01/02/2024" to "08/02/2024"; write them as 2024-03-05, '
        "or give the sample rate: --rate"
    )


def test_a_date_column_keeps_a_pause_of_days(tmp_path: Path) -> None:
    rows = [f"10:00:{n:02d}\t{9 + 3 * (n > 9):02d}.09.2013\t{n}" for n in range(20)]
    capture = read(tmp_path, "Zeit\tDatum\tQ\n" + "\n".join(rows) + "\n", {"a": "Q"})
    assert capture.time[-1] == 3 * 86400 + 19
    assert any('"Datum"' in note for note in capture.report.notes)


def test_of_two_columns_of_dates_the_one_beside_the_clock_counts(tmp_path: Path) -> None:
    rows = "".join(f"2020-01-01;x;2024-03-{1 + n // 2:02d};{12 * (n % 2):02d}:00:00;{n}\n" for n in range(8))
    capture = read(tmp_path, "Calibrated;By;Date;Time;Q\n" + rows, {"a": "Q"})
    assert capture.time.tolist() == [n * 43200.0 for n in range(8)]


@pytest.mark.parametrize("row", ["2020-01-01;{t};2024-03-{d:02d};{d}", "2020-01-01;x;2024-03-{d:02d};x;{t};{d}"])
def test_of_two_columns_of_dates_that_both_or_neither_stand_beside_the_clock_none_counts(row: str, tmp_path: Path) -> None:
    rows = [row.format(t=f"12:00:{n:02d}", d=n + 1) for n in range(5)]
    labels = "Calibrated;Time;Date;Q" if row.count(";") == 3 else "Calibrated;By;Date;Of;Time;Q"
    capture = read(tmp_path, "\n".join([labels, *rows]) + "\n", {"a": "Q"})
    assert capture.time.tolist() == [0, 1, 2, 3, 4]
    assert 'No date is used: more than one column holds dates, "Calibrated", "Date".' in capture.report.notes


def test_a_rate_is_proposed_only_for_times_that_keep_one(tmp_path: Path) -> None:
    steady = "".join(f"10:00:{n // 4:02d},{n}\n" for n in range(40))
    assert "near --rate 4Hz" in refusal(put(tmp_path, "Time,Q\n" + steady), {"a": "column 2"})
    uneven = "".join(f"10:00:{n * n // 40:02d},{n}\n" for n in range(40))
    assert "near" not in refusal(put(tmp_path, "Time,Q\n" + uneven), {"a": "column 2"})


def test_thousands_that_show_late_are_not_passed_over(tmp_path: Path) -> None:
    rows = "".join(f"{100 + n}.000;{n}\n" for n in range(800)) + "1.003.000;801\n"
    assert refusal(put(tmp_path, "Time [ms];Q\n" + rows), {"a": "column 2"}) == (
        'decimal: is not what it seemed: "1.003.000" (line 802) has its thousands parted; say which: --decimal point or '
        "--decimal comma"
    )


@pytest.mark.parametrize("bad", ["x,1\n", "1\n", "9,9,9\n"])
def test_a_capture_of_which_most_is_lost_is_refused(bad: str, tmp_path: Path) -> None:
    rows = "".join(f"{n / 10},{n}\n" for n in range(400))
    message = refusal(put(tmp_path, "Time [s],Q\n" + rows + bad * 500), {"a": "column 2"})
    assert message.startswith('capture: "log.csv" leaves out 500 of 900 rows: ')


def test_a_column_mostly_of_words_is_refused(tmp_path: Path) -> None:
    rows = "".join(f"{n / 10},{n if n < 40 else 'open'}\n" for n in range(90))
    assert refusal(put(tmp_path, "Time [s],Q\n" + rows), {"a": "column 2"}) == (
        'a: "Q" holds no number in 50 of 90 rows (there is "open"); name another column'
    )


def test_labels_too_many_at_the_end_are_left_out_and_said(tmp_path: Path) -> None:
    capture = read(tmp_path, "Time [s],Q,Comment\n0.0,1\n0.1,2\n", {"a": "column 2"})
    assert capture.channel("a").values.tolist() == [1, 2]
    assert 'The last labels have no column under them and are left out: "Comment".' in capture.report.notes
    assert "names 3 columns" in refusal(put(tmp_path, "Time [s],Q,Rail\n0.0,1\n0.1,2\n"), {"a": "column 2"})


def test_narrower_rows_above_are_told(tmp_path: Path) -> None:
    case = CASES["narrower rows before wider ones"]
    report = read_capture(put(tmp_path, case.data), case.columns).report
    assert [(each.why, each.count, each.first_line) for each in report.dropped] == [
        ("line above the rows that is unlike them", 9, 2)
    ]


@pytest.mark.parametrize(
    ("label", "channel"),
    [
        ("Low [bar]", "low"),
        ("Low pressure", ""),
        ("Supply [psi]", "low"),
        ("Vordruck [bar]", "low"),
        ("Low [1]", None),
        ("Low", None),
        ("Alarm low", None),
        ("Supply [V]", None),
        ("Coil current [A]", "i_coil"),
        ("Spulenstrom [mA]", "i_coil"),
        ("Injector voltage [V]", "u_coil"),
        ("Coil voltage [A]", None),
    ],
)
def test_words_settle_a_channel_only_where_they_leave_no_doubt(label: str, channel: str | None, tmp_path: Path) -> None:
    path = put(tmp_path, f"Time [s],{label}\n0.0,1\n0.1,2\n")
    if channel is None:
        assert set(read_capture(path).channels) == set()
    elif channel:
        assert set(read_capture(path).channels) == {channel}
    else:
        assert "has no unit in the file" in refusal(path)


def test_the_valves_keep_their_currents(tmp_path: Path) -> None:
    text = "Time [s],Inlet valve coil current [A],Outlet valve current [A],Coil current [A]\n0.0,1,2,3\n0.1,1,2,3\n"
    report = read_capture(put(tmp_path, text)).report
    assert {name: column.number for name, column in report.channels.items() if name != "t"} == {
        "i_mv": 2,
        "i_pcv": 3,
        "i_coil": 4,
    }


def test_a_conductivity_is_no_time(tmp_path: Path) -> None:
    path = put(tmp_path, "Sample,Cond (µS),A\n1,10,5\n2,20,6\n3,30,7\n")
    assert "no column is plainly the time" in refusal(path, {"a": "column 2"})
    path = put(tmp_path, "Time (uS),Q\n10,5\n20,6\n30,7\n")
    assert read_capture(path, {"a": "column 2"}).time == pytest.approx([0.0, 1e-5, 2e-5], rel=1e-12)


def test_a_duration_is_no_time(tmp_path: Path) -> None:
    path = put(tmp_path, "Sample,Pulse (ms),A\n1,10,5\n2,9,6\n3,12,7\n")
    assert "no column is plainly the time" in refusal(path, {"a": "column 2"})


def test_two_numbers_alone_may_be_hours_or_minutes(tmp_path: Path) -> None:
    path = put(tmp_path, "Time,Q\n00:15,1\n00:30,2\n00:45,3\n")
    assert refusal(path, {"a": "column 2"}) == (
        't: "00:15" may be hours and minutes or minutes and seconds; say which: --channel-unit t=hh:mm or '
        "--channel-unit t=mm:ss"
    )
    assert read_capture(path, {"a": "column 2"}, {"t": "hh:mm"}).time.tolist() == [0, 900, 1800]
    assert read_capture(path, {"a": "column 2"}, {"t": "mm:ss"}).time.tolist() == [0, 15, 30]
    path = put(tmp_path, "Time,Q\n58:15,1\n58:30,2\n58:45,3\n")
    assert read_capture(path, {"a": "column 2"}).time.tolist() == [0, 15, 30]
    for head, times in {"Time (hh:mm)": [0, 900, 1800], "Clock [mm:ss]": [0, 15, 30]}.items():
        path = put(tmp_path, f"{head},Q\n00:15,1\n00:30,2\n00:45,3\n")
        assert read_capture(path, {"a": "column 2"}).time.tolist() == times


def test_a_clock_without_hours_names_the_other(tmp_path: Path) -> None:
    case = CASES["two times, one of them chosen"]
    assert refusal(put(tmp_path, case.data), {"a": "A", "t": "mm:ss.f"}) == (
        't: "mm:ss.f" begins again after each hour: it holds minutes and seconds alone; name another column, such as --column '
        't="Time"'
    )


def test_blocks_of_names_and_values_are_no_table(tmp_path: Path) -> None:
    block = "Time: 12:00:{n:02d}\nVel: {n} m/s\nAlt: 235 m\nBat 12.5 V 3\nLat: 48.1\n\n"
    message = refusal(put(tmp_path, "".join(block.format(n=n) for n in range(30))))
    assert "no table of rows" in message or "has no row of numbers" in message
    path = put(tmp_path, "Time [s];Rail [bar]\n0;350\n1;349\n" + "Bat;12;V\n" * 9 + "2;348\n")
    assert refusal(path) == (
        'capture: "log.csv" holds no table of rows: lines of like columns are fewer than the others; '
        "export the recording as CSV, one row a line"
    )


def test_dates_and_clock_times_that_never_stand_in_one_row_are_no_time(tmp_path: Path) -> None:
    dates = "".join(f"2024-02-0{n + 1};n/a;{n}\n" for n in range(5))
    path = put(tmp_path, "Date;Time;Q [V]\n" + dates + "".join(f";10:00:0{n};{n}\n" for n in range(5)))
    assert refusal(path, {"a": "Q", "t": "Time"}) == (
        't: "Time" holds no readable time; name another column, or give the sample rate: --rate'
    )


def test_a_question_shows_the_lines_above_that_matter(tmp_path: Path) -> None:
    text = "Model,Fennimore 4\nRecord Length,3\nSample Interval,0.02\n\nTime,CH1\n0.00,1.5\n0.02,1.6\n0.04,1.7\n"
    assert '(above the rows stands: "Sample Interval 0.02")' in refusal(put(tmp_path, text), {"a": "CH1"})


def test_intervals_that_differ_make_no_time(tmp_path: Path) -> None:
    text = "X_Dimension\tTime\tTime\nDelta_X\t0.02\t1.0\n\nP\tQ\n1.5\t2.5\n1.6\t2.7\n1.9\t2.6\n"
    assert "no column is plainly the time" in refusal(put(tmp_path, text), {"a": "P"})


def test_counted_rows_with_labels_between_are_two_recordings(tmp_path: Path) -> None:
    text = "A,B\n1,2\n2,3\n3,4\n"
    assert refusal(put(tmp_path, text + text), {"a": "column 2"}, sample_rate_hz=10) == (
        'capture: "log.csv" has its labels again among the rows; give one recording to a file'
    )


def test_a_unit_that_is_not_known_is_said(tmp_path: Path) -> None:
    capture = read(tmp_path, "Time [s],Mass (g)\n0.0,1\n0.1,2\n", {"m": "Mass (g)"})
    assert 'm ("Mass (g)") has no unit that is known: "g".' in capture.report.notes
    with pytest.raises(InputError, match="has no unit that is known"):
        capture.channel("m").to("bar")


@pytest.mark.parametrize(
    ("label", "kind", "to", "value"),
    [
        ("Temperature rise [°C]", "temperature difference", "°F", 18.0),
        ("ΔT [K]", "temperature difference", "°F", 18.0),
        ("Temperature [°C]", "temperature", "°F", 50.0),
        ("P [bar(g)]", "gauge pressure", "kPa", 1000.0),
        ("P [psia]", "absolute pressure", "psi", 10.0),
        ("Pressure drop [bar]", "pressure difference", "kPa", 1000.0),
    ],
)
def test_a_channel_has_a_unit_and_a_kind(label: str, kind: str, to: str, value: float, tmp_path: Path) -> None:
    """9/5 and 32: BIPM, SI brochure, with NIST SP 811, appendix B.8; from memory."""
    channel = read(tmp_path, f"Time [s],{label}\n0.0,10\n0.1,20\n", {"a": "column 2"}).channel("a")
    assert channel.kind is not None and channel.unit is not None
    assert (channel.kind.name, channel.unit.family) == (kind, channel.kind.family)
    assert channel.to(to)[0] == pytest.approx(value, rel=1e-12)


def test_gauge_and_absolute_are_not_converted_into_each_other(tmp_path: Path) -> None:
    channel = read(tmp_path, "Time [s],P [bar(g)]\n0.0,10\n0.1,20\n", {"a": "column 2"}).channel("a")
    with pytest.raises(InputError, match="is not said to be absolute"):
        channel.to("bar(a)")
    assert channel.to("bar(g)").tolist() == [10, 20]


def test_a_single_row_of_a_date_has_a_length(tmp_path: Path) -> None:
    report = read_capture(put(tmp_path, "0001-01-01 00:00:00")).report
    assert (report.time.duration_s, report.rows) == (0.0, 1)


def test_a_single_row_without_a_time_is_refused(tmp_path: Path) -> None:
    assert refusal(put(tmp_path, "Time [s];Q\n;348\n"), {"a": "column 2"}) == (
        't: "Time" holds no readable time; name another column, or give the sample rate: --rate'
    )


def test_a_packed_file_of_too_many_rows_is_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(bounds, "MOST_VALUES", 1_000_000)
    data = gzip.compress(b"Time [s],Q\n" + b"".join(b"%d,1\n" % n for n in range(600_000)))
    assert refusal(put(tmp_path, data), {"a": "column 2"}) == (
        'capture: "log.csv" holds more than 500 000 rows; cut the recording, log at a lower rate, or name fewer columns'
    )


@pytest.mark.parametrize("line", [b"x;\n", b"#\n", b"n/a,q\n", b"1,2,3\n", b"0.5,1.2.3\n", b"\n", b"   \n"])
def test_a_packed_file_of_rubbish_ends_soon(line: bytes, tmp_path: Path) -> None:
    """16 million lines of it took minutes."""
    data = gzip.compress(b"Time [s],Q\n" + b"".join(b"%d.5,1.5\n" % n for n in range(400)) + line * 600_000, 1)
    assert "gives nothing in" in refusal(put(tmp_path, data), {"a": "column 2"})


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no named pipes here")
def test_a_pipe_is_not_waited_for(tmp_path: Path) -> None:
    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)
    script = f"from baybook.captures import read_capture; read_capture({str(pipe)!r})"
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, timeout=20)
    assert "is not a file: it may have no end" in done.stderr


def test_infinite_and_missing_stay_missing(tmp_path: Path) -> None:
    capture = read(tmp_path, "Time [s],Q\n0.0,#-1\n0.1,2\n0.2,#-12\n", {"a": "column 2"})
    np.testing.assert_array_equal(capture.channel("a").values, [np.nan, 2, np.nan])


@pytest.mark.parametrize(
    "rows",
    [
        ["0;1.200", "1;1.190", "2;1.010", "3;990", "4;980", "5;970"],  # bar, thousands parted by a point
        ["0;900", "250;890", "500;880", "750;870", "1.000;860", "1.250;850"],  # ms
    ],
)
def test_a_point_that_may_part_thousands_beside_whole_numbers_is_asked_for(tmp_path: Path, rows: list[str]) -> None:
    path = put(tmp_path, "Time [ms];Rail pressure [bar]\n" + "\n".join(rows) + "\n")
    assert "it may be a thousand or a fraction; say which: --decimal point or --decimal comma" in refusal(path)


def test_three_decimals_throughout_or_a_zero_beside_them_are_decimals(tmp_path: Path) -> None:
    path = put(tmp_path, "Time [s];Rail pressure [MPa]\n0;1.900\n1.001;1.850\n2.002;1.800\n3.003;1.750\n4.004;1.700\n")
    assert read_capture(path).channel("rail").values.tolist() == [1.9, 1.85, 1.8, 1.75, 1.7]


@pytest.mark.parametrize(
    ("unit", "why"), [("bar", "is a unit of pressure, not of time"), ("qq", "is not a unit that is known")]
)
def test_a_time_in_what_is_no_unit_of_time_is_refused(unit: str, why: str, tmp_path: Path) -> None:
    path = put(tmp_path, "Time,Q\n0,1\n1,2\n2,3\n")
    assert refusal(path, {"a": "Q"}, {"t": unit}) == f'unit of t: "{unit}" {why}; use s or ms or µs'


def test_a_unit_for_a_clock_is_not_used_and_that_is_said(tmp_path: Path) -> None:
    path = put(tmp_path, "Clock,Q\n10:00:00,1\n10:00:01,2\n10:00:02,3\n")
    capture = read_capture(path, {"a": "Q"}, {"t": "min"})
    assert "t: the unit min is not used, the column holds clock times." in capture.report.notes
    assert capture.time.tolist() == [0, 1, 2]


def test_signals_with_a_time_each_are_read_by_the_one_beside_them(tmp_path: Path) -> None:
    path = put(tmp_path, "Time [s],Q,Time [s],P\n" + "".join(f"{n},1,{10 * n},2\n" for n in range(4)))
    assert read_capture(path, {"a": "Q"}).time.tolist() == [0, 1, 2, 3]
    assert read_capture(path, {"a": "P"}).time.tolist() == [0, 10, 20, 30]
    assert "more than one column could be the time" in refusal(path, {"a": "Q", "b": "P"})
    path = put(tmp_path, "Q,Time [s],P,Time [s]\n" + "".join(f"1,{n},2,{10 * n}\n" for n in range(4)))
    assert "more than one column could be the time" in refusal(path, {"a": "P"})  # no time stands before the first signal


@pytest.mark.parametrize(("name", "unit"), [("latin-1", "°C"), ("cp437", "°C"), ("UTF-16", "°C")])
def test_an_encoding_that_is_told_is_the_one_that_is_read(name: str, unit: str, tmp_path: Path) -> None:
    path = put(tmp_path, f"Time [s];T [{unit}]\n0;41\n1;42\n".encode(name))
    capture = read_capture(path, {"a": "T"}, encoding=name)
    assert (capture.channel("a").symbol, capture.channel("a").values.tolist()) == (unit, [41, 42])


@pytest.mark.parametrize("name", ["qq", "cp037"])  # one that is none, and one in which a figure is no figure
def test_an_encoding_that_cannot_be_of_numbers_is_refused(name: str, tmp_path: Path) -> None:
    path = put(tmp_path, "Time [s],Q\n0,1\n1,2\n")
    hint = "give utf-8, utf-16, cp1252 or leave it out"
    assert refusal(path, {"a": "Q"}, encoding=name) == f'encoding: "{name}" is not an encoding that is known; {hint}'
