"""The time axis rises, starts at zero, and says what was done to make it so."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from baybook.captures import Capture, read_capture
from baybook.captures.clock import Clock
from baybook.errors import InputError


def put(tmp_path: Path, times: Sequence[object], rail: Sequence[object] | None = None, head: str = "Time [s]") -> Path:
    path = tmp_path / "hold.csv"
    pressures = rail if rail is not None else [350.5 - place for place in range(len(times))]
    rows = "".join(f"{time};{value}\n" for time, value in zip(times, pressures, strict=True))
    path.write_text(f"{head};Rail [bar]\n{rows}")
    return path


def read(tmp_path: Path, times: Sequence[object], rail: Sequence[object] | None = None, head: str = "Time [s]") -> Capture:
    return read_capture(put(tmp_path, times, rail, head), {"rail": "Rail"})


def refusal(path: Path) -> str:
    with pytest.raises(InputError) as caught:
        read_capture(path, {"rail": "Rail"})
    return str(caught.value)


def dropped(capture: Capture) -> list[tuple[str, int, int]]:
    return [(each.why, each.count, each.first_line) for each in capture.report.dropped]


def test_late_rows_are_put_in_order(tmp_path: Path) -> None:
    capture = read(tmp_path, [0.0, 0.1, 0.3, 0.2, 0.4, 0.5], [10, 11, 13, 12, 14, 15])
    assert capture.time == pytest.approx([0.0, 0.1, 0.2, 0.3, 0.4, 0.5])
    assert capture.channel("rail").values.tolist() == [10, 11, 12, 13, 14, 15]
    assert capture.report.notes == ("1 row stood out of the order of time, the first at line 5; now in order.",)


def test_rows_given_newest_first_are_turned_round(tmp_path: Path) -> None:
    capture = read(tmp_path, [0.3, 0.2, 0.1, 0.0], [13, 12, 11, 10])
    assert capture.channel("rail").values.tolist() == [10, 11, 12, 13]
    assert capture.report.notes == ("The rows stand newest first; they were turned round.",)


def test_a_time_given_twice_counts_once(tmp_path: Path) -> None:
    times = [0.0, 0.1, 0.1, *(each / 10 for each in range(2, 20)), 1.9, 2.0]
    rail: list[object] = [10.0, 11.0, 11.0, *range(12, 30), 99.0, 30.0]
    capture = read(tmp_path, times, rail)
    assert capture.channel("rail").values.tolist() == [float(each) for each in range(10, 31)]
    assert dropped(capture) == [("row given twice", 1, 4), ("time given twice with other values, the first kept", 1, 23)]


def test_a_clock_too_coarse_for_the_rows_asks_for_the_rate(tmp_path: Path) -> None:
    path = put(tmp_path, [f"10:00:{row // 20:02d}" for row in range(200)], head="Clock")
    assert refusal(path) == (
        't: "Clock" is too coarse: about 20 rows share each of its times; give the sample rate, near --rate 20Hz'
    )
    assert refusal(put(tmp_path, [1.0] * 8)) == (
        't: "Time" stands still; name another column, or give the sample rate: --rate 100Hz'
    )


def test_two_recordings_in_one_file_are_refused(tmp_path: Path) -> None:
    times = [row / 100 for row in range(300)] * 2
    assert refusal(put(tmp_path, times)) == (
        't: "Time" starts again at line 302: it goes back from 2.99 s to 0 s; give one recording to a file'
    )


@pytest.mark.parametrize("wrong", [0.0, 9999.0])
def test_a_time_far_astray_loses_its_row(wrong: float, tmp_path: Path) -> None:
    times = [50 + row / 100 for row in range(300)]
    times[150] = wrong
    capture = read(tmp_path, times)
    assert (capture.time[0], capture.time[-1], len(capture.time)) == (0.0, pytest.approx(2.99), 299)
    assert dropped(capture) == [("time far outside the recording", 1, 152)]


def test_rows_without_a_time_are_left_out(tmp_path: Path) -> None:
    capture = read(tmp_path, ["0.0", "n/a", "", "x", "0.4", "0.5", "0.6"])
    assert capture.time.tolist() == [0.0, 0.4, 0.5, 0.6]
    assert dropped(capture) == [("no readable time", 3, 3)]
    assert refusal(put(tmp_path, ["n/a", "n/a"])) == (
        't: "Time" holds no readable time; name another column, or give the sample rate: --rate'
    )


def test_the_clock_goes_on_past_midnight(tmp_path: Path) -> None:
    capture = read(tmp_path, ["23:59:59.8", "23:59:59.9", "00:00:00.0", "00:00:00.1"], head="Time")
    assert capture.time == pytest.approx([0.0, 0.1, 0.2, 0.3], abs=1e-10)
    assert capture.report.notes == ("The clock passes midnight; the time goes on from there.",)


@pytest.mark.parametrize(
    "texts",
    [
        ["2024-02-28 23:59:59.5", "2024-02-29 00:00:00.5"],
        ["28.02.2024 23:59:59,5", "29.02.2024 00:00:00,5"],
        ["2024/02/28 23:59:59.500", "2024/02/29 00:00:00.500"],
        ["28/02/2024 23:59:59.5", "29/02/2024 00:00:00.5"],
        ["02/28/2024 23:59:59.5", "02/29/2024 00:00:00.5"],
        ["2024-02-28T23:59:59.5Z", "2024-02-29T00:00:00.5Z"],
        ["03/04/2024 23:59:59.5", "04/04/2024 00:00:00.5"],
        ["11:59:59.5 PM", "12:00:00.5 AM"],
        ["59:59.5", "60:00.5"],
        ["9:59:59.5", "10:00:00.5"],
        ["10:00:00:500", "10:00:01:500"],
        ["125:00:00.5", "125:00:01.5"],
    ],
)
def test_clock_times_of_many_kinds(texts: list[str], tmp_path: Path) -> None:
    assert read(tmp_path, texts, head="Clock").time.tolist() == [0.0, 1.0]


def test_dates_that_could_be_read_two_ways_are_said_not_to_be_used(tmp_path: Path) -> None:
    capture = read(tmp_path, ["03/04/2024 10:00:00.0", "03/04/2024 10:00:00.1"], head="Time")
    assert capture.report.notes == ("The dates leave open which figure is the day; only the time of day is used.",)


def test_a_date_costs_no_precision(tmp_path: Path) -> None:
    capture = read(tmp_path, ["2024-02-28 10:00:00.000001", "2024-02-28 10:00:00.000003"], head="Clock")
    assert capture.time[1] == pytest.approx(2e-6, abs=2e-11)


def test_a_thirteenth_hour_with_pm_is_no_time(tmp_path: Path) -> None:
    capture = read(tmp_path, ["12:00:00 PM", "13:00:01 PM", "12:00:02 PM"], head="Clock")
    assert capture.time.tolist() == [0.0, 2.0]
    assert dropped(capture) == [("no readable time", 1, 3)]


def test_two_numbers_alone_are_no_time_where_it_is_not_told_of_what(tmp_path: Path) -> None:
    texts = np.array([b"10:15", b"10:16", b"10:15:00", b"10:16:00"])
    assert Clock().many(texts) == pytest.approx([np.nan, np.nan, 36900.0, 36960.0], nan_ok=True)
    assert Clock("hh:mm").many(texts) == pytest.approx([36900.0, 36960.0, 36900.0, 36960.0])


def test_a_column_of_very_many_layouts_reads_as_each_alone() -> None:
    """Junk in all its places, and times among it: more layouts than are looked at together."""
    texts = [f"{chr(97 + n // 26)}{chr(97 + n % 26)}:00:00" for n in range(90)] + ["10:00:01", "10:00:02"]
    assert Clock().many(np.array([text.encode() for text in texts]))[-2:].tolist() == [36001.0, 36002.0]


def test_a_clock_that_is_set_back_over_midnight_among_the_rows_starts_no_new_day(tmp_path: Path) -> None:
    """Neither going on nor, newest first, going back throughout: the rows that do not fit are lost, and that is said."""
    capture = read(tmp_path, ["00:00:01", "23:59:59", "23:59:58", "00:00:02", "00:00:03"], head="Clock")
    assert capture.time.tolist() == [0.0, 1.0, 2.0]
    assert dropped(capture) == [("time far outside the recording", 2, 3)]


@given(st.lists(st.tuples(st.integers(0, 23), st.integers(0, 59), st.integers(0, 59), st.integers(0, 999)), min_size=1))
def test_a_column_of_clock_times_reads_as_each_alone(parts: list[tuple[int, int, int, int]]) -> None:
    texts = [f"{h}:{m:02d}:{s:02d}.{f}" for h, m, s, f in parts] + ["", "junk", "10:61:00", "10:00:99"]
    clock = Clock()
    together = clock.many(np.array([text.encode() for text in texts]))
    np.testing.assert_array_equal(together, [clock.one(text) for text in texts])
    h, m, s, f = parts[0]
    assert together[0] == pytest.approx(3600 * h + 60 * m + s + float(f"0.{f}"), abs=1e-10)


def test_gaps_are_measured_in_rows(tmp_path: Path) -> None:
    times = [row / 100 for row in range(100) if row not in (40, 41, 42, 70)]
    axis = read(tmp_path, times).report.time
    assert (axis.interval_s, axis.regular, axis.gap_count, axis.rows_lost) == (pytest.approx(0.01), True, 2, 4)
    assert [(gap.rows, gap.line) for gap in axis.gaps] == [(3, 41), (1, 68)]
    assert axis.gaps[0].start_s == pytest.approx(0.39)
    assert axis.gaps[0].length_s == pytest.approx(0.04)


def test_an_irregular_rhythm_is_said_to_be_irregular(tmp_path: Path) -> None:
    times = np.cumsum(np.random.default_rng(4).uniform(0.005, 0.02, 200)).round(5)
    axis = read(tmp_path, times.tolist()).report.time
    assert (axis.regular, axis.gap_count) == (False, 0)


def test_seconds_since_an_epoch_keep_their_fractions(tmp_path: Path) -> None:
    capture = read(tmp_path, ["1709114400.001", "1709114400.002"])
    assert capture.time[1] == pytest.approx(1e-3, abs=3e-7)  # half a bit of 1.7e9
    assert capture.start_offset_s == 1709114400.001
