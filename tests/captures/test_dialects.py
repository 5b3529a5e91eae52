"""Whatever the dialect, the same recording gives the same numbers."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from baybook.captures import Capture, read_capture
from baybook.captures import source as source_module

from .writer import COOLANT, RAIL, Dialect, Recording, write

MARKS = ("", "n/a", "NaN", "nan", "-", "--", "---", "#N/A", "null", "?")


def read(path: Path, dialect: Dialect) -> Capture:
    units = {"rail": "bar", "coolant": "°C"} if dialect.units == "option" else {}
    if dialect.units == "option" and dialect.time in ("s", "ms", "us"):
        units["t"] = dialect.time
    columns = {"rail": RAIL, "coolant": COOLANT}
    if dialect.time == "none":
        return read_capture(path, columns, units, sample_rate_hz=100.0)
    return read_capture(path, {"t": "Zeit", **columns}, units)


def assert_same(capture: Capture, recording: Recording, dialect: Dialect) -> None:
    ms = np.array(recording.ms)
    time = np.arange(len(ms)) / 100 if dialect.time == "none" else (ms - ms[0]) / 1000
    # a clock of 12 h has a last bit of 7e-12 s; numbers in the file are the same to the last bit
    np.testing.assert_allclose(capture.time, time, rtol=0, atol=2e-11)
    rail = [np.nan if each is None else float(f"{each / 100:.2f}") for each in recording.rail]
    np.testing.assert_array_equal(capture.channel("rail").values, rail)
    np.testing.assert_array_equal(capture.channel("coolant").values, [float(f"{each / 10:.1f}") for each in recording.coolant])
    assert (capture.channel("rail").symbol, capture.channel("coolant").symbol) == ("bar", "°C")
    assert capture.report.rows == len(ms)


@st.composite
def recordings(draw: st.DrawFn) -> Recording:
    steps = draw(st.lists(st.integers(1, 400), min_size=2, max_size=40))
    ms = (np.cumsum(steps) + draw(st.integers(0, 90_000_000))).tolist()
    rail = [draw(st.one_of(st.none(), st.integers(-500, 250_000))) for _ in ms]
    if all(each is None for each in rail):
        rail[0] = 35_000
    return Recording(ms, rail, [draw(st.integers(-400, 1500)) for _ in ms])


@st.composite
def dialects(draw: st.DrawFn) -> Dialect:
    delimiter, decimal = draw(
        st.sampled_from([(",", "."), (";", "."), (";", ","), ("\t", "."), ("\t", ","), ("|", "."), (",", ",")])
    )
    encoding = draw(st.sampled_from(["utf-8", "utf-16-le", "utf-16-be", "cp1252"]))
    trimmed = draw(st.booleans())  # then a last number may look broken off, unless a line end stands after it
    return Dialect(
        delimiter,
        decimal,
        encoding,
        bom=encoding != "cp1252" and draw(st.booleans()),
        newline=draw(st.sampled_from(["\n", "\r\n", "\r"])),
        time=draw(st.sampled_from(["s", "ms", "us", "clock", "dated", "none"])),
        units=draw(st.sampled_from(["[]", "()", "row", "option", "ending"])),
        comments=draw(st.sampled_from(["", "#", "//", "%"])),
        preamble=draw(st.booleans()),
        mark=draw(st.sampled_from(MARKS)),
        packed=draw(st.booleans()),
        last_newline=trimmed or draw(st.booleans()),
        blank_lines=draw(st.booleans()),
        trailing_delimiter=draw(st.booleans()),
        trimmed=trimmed,
    )


@settings(max_examples=300, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(recording=recordings(), dialect=dialects())
def test_any_dialect_gives_back_the_numbers(recording: Recording, dialect: Dialect, tmp_path: Path) -> None:
    path = write(tmp_path / "capture.csv", recording, dialect)
    assert_same(read(path, dialect), recording, dialect)


LONG = Recording(range(0, 40_000, 10), [35_000 - row if row % 7 else None for row in range(4000)], [480] * 4000)


@pytest.mark.parametrize(
    "dialect",
    [
        Dialect(),
        Dialect(delimiter=";", decimal=",", newline="\r\n", mark="n/a"),
        Dialect(encoding="utf-16-le", bom=True),
        Dialect(newline="\r", time="clock"),
        Dialect(packed=True, mark="NaN", blank_lines=True),
        Dialect(delimiter=",", decimal=","),
        Dialect(trimmed=True, mark="OL"),
        Dialect(delimiter=";", decimal=",", trimmed=True),
    ],
    ids=str,
)
@pytest.mark.parametrize("piece", [997, 4096])
def test_a_file_read_in_many_pieces_is_the_same(
    dialect: Dialect, piece: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(source_module, "PIECE", piece)
    monkeypatch.setattr(source_module, "HEAD", 6000)
    path = write(tmp_path / "capture.csv", LONG, dialect)
    assert_same(read(path, dialect), LONG, dialect)


def test_blanks_part_columns_and_wide_blanks_part_labels(tmp_path: Path) -> None:
    path = tmp_path / "blanks.txt"
    path.write_text("Time [s]   Rail pressure [bar]\n  0.00    350.0\n  0.01    349.5  \n  0.02      9.5\n")
    capture = read_capture(path, {"rail": "Rail pressure"})
    assert capture.channel("rail").values.tolist() == [350.0, 349.5, 9.5]


def test_an_oscilloscopes_preamble_is_passed_over(tmp_path: Path) -> None:
    path = tmp_path / "scope.csv"
    path.write_text(
        "Record Length,2500\nSample Interval,4.0e-3\nVertical Units,V\nSource,CH1\nNote,\n\n"
        "TIME,CH1\ns,V\n-4.0e-3,1.25e+00\n0.0,1.5e+00\n4.0e-3,9.9E+37\n"
    )
    capture = read_capture(path, {"sensor": "CH1"})
    assert capture.time.tolist() == [0.0, 0.004, 0.008]
    assert capture.start_offset_s == -0.004
    np.testing.assert_array_equal(capture.channel("sensor").values, [1.25, 1.5, np.nan])
    assert capture.report.dialect.preamble[0] == "Record Length,2500"


def test_labels_may_stand_in_a_comment(tmp_path: Path) -> None:
    path = tmp_path / "table.txt"
    path.write_text("# made on the bench\n# Time [s];Rail [bar]\n0,0;350,5\n0,1;349,5\n")
    capture = read_capture(path, {"rail": "Rail"})
    assert capture.channel("rail").values.tolist() == [350.5, 349.5]
    assert any("comment line (2)" in note for note in capture.report.notes)


def test_a_file_without_labels_goes_by_column_numbers(tmp_path: Path) -> None:
    path = tmp_path / "bare.csv"
    path.write_text("0.0,350.5\n0.1,349.5\n")
    capture = read_capture(path, {"t": "column 1", "rail": "column 2"}, {"t": "s", "rail": "bar"})
    assert capture.channel("rail").values.tolist() == [350.5, 349.5]


def test_text_columns_do_no_harm(tmp_path: Path) -> None:
    path = tmp_path / "marked.csv"
    path.write_text('Time [s],State,Rail [bar],Remark\n0.0,on,350.5,"start, cold"\n0.1,on,349.5,\n0.2,off,348.5,end\n')
    capture = read_capture(path, {"rail": "Rail"})
    assert capture.channel("rail").values.tolist() == [350.5, 349.5, 348.5]


@pytest.mark.parametrize("text", ["1.234,5", "-1.234,50", "1.234.567"])
def test_thousands_are_read_where_both_marks_show_which_is_which(text: str, tmp_path: Path) -> None:
    path = tmp_path / "thousands.csv"
    path.write_text(f"Time [s];Rail [bar]\n0,00;999,5\n0,01;{text}\n0,02;999,5\n")
    value = float(text.replace(".", "").replace(",", "."))
    assert read_capture(path, {"rail": "Rail"}).channel("rail").values[1] == value


# text, the rail's label, options, time in s, rail
FILES = {
    "a spreadsheet's hint": ("sep=;\nTime [s];Rail [bar]\n0,0;350,5\n0,1;349\n", "Rail", {}, [0, 0.1], [350.5, 349]),
    "units in brackets in a row, then a blank line": (
        "Time,Channel A\n(ms),(bar)\n\n0.0,1.2\n0.1,1.3\n",
        "Channel A",
        {},
        [0, 0.0001],
        [1.2, 1.3],
    ),
    "a title above the labels": (
        "Hold test;;\nTime;Rail;T\ns;bar;°C\n0,0;350,5;20,1\n0,1;349,5;20,1\n",
        "Rail",
        {},
        [0, 0.1],
        [350.5, 349.5],
    ),
    "units mostly unknown": (
        "Time;Rail;Q;M;V\ns;bar;mg/H;Nm;km/h\n0,0;350,5;20;1;1\n0,1;349,5;20;1;1\n",
        "Rail",
        {},
        [0, 0.1],
        [350.5, 349.5],
    ),
    "a row of dashes under the labels": (
        "Time [s];Rail [bar]\n---;---\n0,0;350,5\n0,1;349,5\n",
        "Rail",
        {},
        [0, 0.1],
        [350.5, 349.5],
    ),
    "missing values first": (
        "Rail [bar];T [°C]\nn/a;n/a\n350,5;1,5\n349,5;1,5\n",
        "Rail",
        {"sample_rate_hz": 10},
        [0, 0.1, 0.2],
        [np.nan, 350.5, 349.5],
    ),
    "date and time apart": (
        "Date,Time,Rail [bar]\n2024-03-05,10:00:00.0,2\n2024-03-05,10:00:00.1,1\n",
        "Rail",
        {},
        [0, 0.1],
        [2, 1],
    ),
    "units written otherwise": ("Time (mS),Rail (Bar)\n0,291.0\n10,290.0\n", "Rail", {}, [0, 0.01], [291, 290]),
    "every cell in quotes": ('"Time [s]","Rail [bar]"\n"0.0","291.0"\n"0.1","290.0"\n', "Rail", {}, [0, 0.1], [291, 290]),
    "commas for everything, in quotes": (
        '"Time [s]","Rail, actual [bar]"\n"0,0","1291,0"\n"0,1","290,0"\n',
        "Rail, actual",
        {},
        [0, 0.1],
        [1291, 290],
    ),
    "a footer": (
        "Time [s];Rail [bar]\n0,0;350,5\n0,1;349,5\nEnd of recording\nMax;350,5\n",
        "Rail",
        {},
        [0, 0.1],
        [350.5, 349.5],
    ),
    "one column of decimal commas": ("Rail [bar]\n350,5\n349,5\n", "Rail", {"sample_rate_hz": 10}, [0, 0.1], [350.5, 349.5]),
    "three decimals everywhere": (
        "Time [s];Rail [bar]\n1.000;110.200\n1.001;110.100\n",
        "Rail",
        {},
        [0, 0.001],
        [110.2, 110.1],
    ),
    "whole numbers": ("Time [ms],Rail [bar]\n0,350\n20,349\n", "Rail", {}, [0, 0.02], [350, 349]),
    "powers of ten and signs": (
        "Time [s],Rail [bar]\n+0.00E+00,+3.50E+02\n+1.0E-2,-3.49e-2\n",
        "Rail",
        {},
        [0, 0.01],
        [350, -0.0349],
    ),
    "blanks around cells": ("Time [s] ; Rail [bar]\n 0,0 ;  350,5 \n 0,1 ;  349,5 \n", "Rail", {}, [0, 0.1], [350.5, 349.5]),
    "keys and values above": (
        "Date;05.03.2024\nTime;10:00:00\nRate;100\n\nTime [s];Rail [bar]\n0,0;350,5\n0,1;349,5\n",
        "Rail",
        {},
        [0, 0.1],
        [350.5, 349.5],
    ),
    "an umlaut of two characters": (
        "Time [s];Ra\u0308il [bar]\n0,0;350,5\n0,1;349,5\n",
        "R\u00e4il",
        {},
        [0, 0.1],
        [350.5, 349.5],
    ),
    "the time last": ("Rail [bar];Time [s]\n350,5;0,0\n349,5;0,1\n", "Rail", {}, [0, 0.1], [350.5, 349.5]),
}


@pytest.mark.parametrize("name", FILES)
def test_files_as_they_are_met(name: str, tmp_path: Path) -> None:
    text, label, options, time, rail = FILES[name]
    path = tmp_path / "met.csv"
    path.write_text(text, encoding="utf-8")
    capture = read_capture(path, {"rail": label}, **options)  # type: ignore[arg-type]
    np.testing.assert_allclose(capture.time, time, rtol=0, atol=1e-11)
    np.testing.assert_array_equal(capture.channel("rail").values, rail)


def test_the_only_column_of_clock_times_is_the_time_and_noted(tmp_path: Path) -> None:
    path = tmp_path / "clock.csv"
    path.write_text("A,Rail [bar]\n10:00:00.0,350.5\n10:00:00.5,349.5\n")
    capture = read_capture(path, {"rail": "Rail"})
    assert (capture.time.tolist(), capture.report.notes) == (
        [0.0, 0.5],
        ('t is read from "A", the only column of clock times.',),
    )
