"""Which column is which channel, and in which unit: told, plain from the label, or asked for; never guessed quietly."""

from __future__ import annotations

from pathlib import Path

import pytest

from baybook.captures import read_capture
from baybook.captures.labels import columns_of, is_units_row
from baybook.errors import InputError


@pytest.fixture
def capture_file(tmp_path: Path) -> Path:
    path = tmp_path / "idle.csv"
    path.write_text(
        "Time [s],P_rail [bar],P_rail_set [bar],Low (actual),T [°C],T [°C],U_sensor [V]\n"
        "0.0,350.5,320,4.5,20,21,1.5\n0.1,349.5,320,4.5,20,21,1.5\n",
        encoding="utf-8",
    )
    return path


def refusal(path: Path, columns: dict[str, str], units: dict[str, str] | None = None, **options: object) -> str:
    with pytest.raises(InputError) as caught:
        read_capture(path, columns, units, **options)  # type: ignore[arg-type]
    return str(caught.value)


@pytest.mark.parametrize("label", ["P_rail", "p_RAIL", "P_rail [bar]", " p_rail ", "column 2", "Column 2"])
def test_a_column_is_found_by_its_label_whole(label: str, capture_file: Path) -> None:
    """Exactly before anything else: P_rail is not P_rail_set."""
    assert read_capture(capture_file, {"rail": label}).channel("rail").values.tolist() == [350.5, 349.5]


def test_a_part_of_a_label_will_do_if_it_fits_one_and_is_noted(capture_file: Path) -> None:
    capture = read_capture(capture_file, {"set": "set"})
    assert capture.channel("set").label == "P_rail_set"
    assert 'set is read from "P_rail_set", the only column with "set" in its label.' in capture.report.notes


def test_every_wrong_column_and_unit_is_told_at_once(capture_file: Path) -> None:
    assert refusal(
        capture_file, {"rail": "Raildruck", "low": "low (actual)", "coolant": "T", "set": "U_sensor"}, {"d_mv": "%"}
    ).splitlines() == [
        'rail: "Raildruck" is no column of the file; use one of "Time", "P_rail", "P_rail_set", "Low (actual)", '
        '"column 5" (T), "column 6" (T), "U_sensor"',
        'coolant: "T" is the label of 2 columns; say which: "column 5" or "column 6"',
        'low: "Low (actual)" has no unit in the file; give it: --channel-unit low=bar or low=MPa or low=psi',
        'set from "U_sensor": "V" is a unit of voltage, not of pressure; use bar or MPa or psi',
        'unit of d_mv: "%" is for a channel that is not read; name its column: --column d_mv="…"',
    ]


def test_one_column_is_not_two_channels(capture_file: Path) -> None:
    assert refusal(capture_file, {"rail": "P_rail", "set": "P_rail"}) == (
        'set: "P_rail" is already read as rail; name another column'
    )


def test_a_unit_by_option_counts_before_the_files(capture_file: Path) -> None:
    capture = read_capture(capture_file, {"rail": "P_rail", "low": "Low (actual)"}, {"rail": "MPa", "low": "bar"})
    assert (capture.channel("rail").symbol, capture.channel("low").symbol) == ("MPa", "bar")
    assert "rail: MPa is used as told, not the file's bar." in capture.report.notes


def test_an_unknown_unit_is_refused_with_the_near_one(capture_file: Path) -> None:
    assert refusal(capture_file, {"rail": "P_rail"}, {"rail": "barr"}) == (
        'unit of rail: "barr" is not a unit that is known; use bar or mbar'
    )


def test_a_wanted_channel_is_settled_by_its_label_or_asked_for(capture_file: Path, tmp_path: Path) -> None:
    capture = read_capture(capture_file, wanted=("rail",))
    assert capture.channel("rail").label == "P_rail"
    assert 'rail is read from "P_rail", by its label.' in capture.report.notes
    path = tmp_path / "two.csv"
    path.write_text("Time [s],Rail front [bar],Rail rear [bar],Temp [°C]\n0.0,1,2,3\n0.1,1,2,3\n", encoding="utf-8")
    assert refusal(path, {}, wanted=("rail",)) == (
        'rail: more than one column could be the rail pressure; say which: --column rail="…" with one of "Rail front", '
        '"Rail rear"'
    )
    assert refusal(capture_file, {}, wanted=("rpm",)) == (
        'rpm: no column is plainly the crank speed; say which: --column rpm="…" with one of "Time", "P_rail", "P_rail_set", '
        '"Low (actual)", "column 5" (T), "column 6" (T), "U_sensor"'
    )
    assert refusal(capture_file, {}, wanted=("boost",)).startswith("boost: no column is plainly the boost; say which: ")


@pytest.mark.parametrize(
    "label",
    [
        "Rail pressure deviation", "Rail pressure error", "Rail pressure threshold", "Rail pressure limit",
        "Rail pressure model", "Rail pressure calculated", "Delta rail pressure", "Rail pressure max",
        "Rail pressure drop", "Rail pressure offset", "Rail pressure requested", "Rail pressure cmd",
        "Raildruck Abweichung",
    ],
)  # fmt: skip
def test_what_is_no_reading_of_the_rail_is_not_taken_for_it(tmp_path: Path, label: str) -> None:
    """A command, or a difference, is no pressure that a sensor read."""
    path = tmp_path / "one.csv"
    path.write_text(f"Time [s];{label} [bar];Actual pressure [bar]\n0.0;1;2\n0.1;1;2\n", encoding="utf-8")
    assert refusal(path, {}, wanted=("rail",)).startswith("rail: no column is plainly the rail pressure; say which")


def test_a_request_is_a_target_and_an_offset_none(tmp_path: Path) -> None:
    path = tmp_path / "two.csv"
    path.write_text("Time [s];Rail pressure [bar];Rail pressure requested [bar];Rail offset [bar]\n0;1;2;3\n1;1;2;3\n")
    channels = read_capture(path, wanted=("rail", "set")).report.channels
    assert (channels["rail"].label, channels["set"].label) == ("Rail pressure", "Rail pressure requested")


def test_a_label_and_a_row_of_units_that_contradict_each_other_are_refused(tmp_path: Path) -> None:
    path = tmp_path / "both.csv"
    path.write_text("Time (ms);Rail pressure (psi)\ns;bar\n0.0;500\n0.1;499\n")
    told = refusal(path, {}, wanted=("rail",))
    assert 'rail: "Rail pressure (psi)" and the row of units, bar, contradict each other; give the right one:' in told
    assert 't: "Time (ms)" and the row of units, s, contradict each other' in told
    capture = read_capture(path, wanted=("rail",), units={"rail": "psi", "t": "ms"})
    assert capture.channel("rail").symbol == "psi" and capture.time.tolist() == [0.0, 0.0001]
    path.write_text("Time (s);Rail pressure (bar)\nsec;bar(g)\n0.0;500\n0.1;499\n")
    assert read_capture(path, wanted=("rail",)).channel("rail").reference == "gauge"


@pytest.mark.parametrize("label", ["Supply pressure (abs) [bar]", "Supply pressure absolute [bar]", "Supply pressure [bar(a)]"])
def test_an_absolute_pressure_is_an_atmosphere_less_as_gauge(tmp_path: Path, label: str) -> None:
    """1 atm is 1.01325 bar (NIST SP 811)."""
    path = tmp_path / "abs.csv"
    path.write_text(f"Time [s];{label}\n0.0;3.4\n0.1;3.4\n")
    low = read_capture(path, wanted=("low",)).channel("low")
    assert low.reference == "absolute" and low.gauge("bar").tolist() == pytest.approx([2.38675] * 2, abs=1e-9)
    assert low.gauge("kPa").tolist() == pytest.approx([238.675] * 2, abs=1e-9)


def test_a_speed_without_a_unit_is_in_revolutions_a_minute_and_that_is_said(tmp_path: Path) -> None:
    path = tmp_path / "idle.csv"
    path.write_text("Time [s];Speed\n0;800\n1;820\n")
    capture = read_capture(path, {"rpm": "Speed"})
    assert (capture.channel("rpm").symbol, capture.channel("rpm").values.tolist()) == ("rpm", [800, 820])
    assert capture.report.notes == ("rpm has no unit in the file; it is taken as rpm.",)


def test_with_a_rate_alone_a_file_of_no_known_labels_is_asked_about(tmp_path: Path) -> None:
    path = tmp_path / "two.csv"
    path.write_text("A;B\n1;2\n3;4\n")
    assert refusal(path, {}, sample_rate_hz=10.0) == (
        'column: no channel is known by its label; say which: --column rail="…" with one of "A", "B"'
    )


def test_what_stays_open_is_a_note_where_nothing_was_asked_for(tmp_path: Path) -> None:
    path = tmp_path / "two.csv"
    path.write_text("Time [s],Rail front [bar],Rail rear [bar]\n0.0,1,2\n0.1,1,2\n")
    report = read_capture(path).report
    assert set(report.channels) == {"t"}
    assert any(note.startswith("rail: more than one column could be the rail pressure") for note in report.notes)


def test_asking_a_capture_for_a_channel_it_lacks_names_the_columns(capture_file: Path) -> None:
    with pytest.raises(InputError) as caught:
        read_capture(capture_file, {"rail": "P_rail"}).channel("rpm")
    assert str(caught.value).startswith(
        'rpm: no column of idle.csv is known to be it; say which: --column rpm="…" with one of "Time", "P_rail"'
    )


def test_time_without_a_unit_or_a_plain_column_is_asked_for(tmp_path: Path) -> None:
    path = tmp_path / "bare.csv"
    path.write_text("Time,Rail [bar]\n0.0,350.5\n0.1,349.5\n")
    assert refusal(path, {"rail": "Rail"}) == 't: "Time" has no unit in the file; give it: --channel-unit t=s, or t=ms, or t=us'
    assert read_capture(path, {"rail": "Rail"}, {"t": "ms"}).time.tolist() == [0.0, 0.0001]
    path.write_text("Sample,Rail [bar]\n0,350.5\n1,349.5\n")
    assert refusal(path, {"rail": "Rail"}) == (
        't: no column is plainly the time; say which: --column t="…" with one of "Sample", "Rail"; or give the sample rate: '
        "--rate 1000Hz"
    )
    assert read_capture(path, {"rail": "Rail"}, sample_rate_hz=50).time.tolist() == [0.0, 0.02]


@pytest.mark.parametrize(
    ("cell", "label", "unit"),
    [
        ("Rail pressure [MPa]", "Rail pressure", "MPa"),
        ("Rail pressure (psi)", "Rail pressure", "psi"),
        ("Rail (actual) [bar]", "Rail (actual)", "bar"),
        ("Rail pressure (actual)", "Rail pressure (actual)", ""),
        ("p_rail [bar(g)]", "p_rail", "bar(g)"),
        ("p_rail (barg)", "p_rail", "barg"),
        ("p / bar", "p", "bar"),
        ("Time, s", "Time", "s"),
        ("Druck in bar", "Druck", "bar"),
        ("t_ms", "t", "ms"),
        ("Rail MPa", "Rail", "MPa"),
        ("Channel A", "Channel A", ""),
        ("P_supply", "P_supply", ""),
        ("n_eng [1/min]", "n_eng", "1/min"),
        ("Speed in", "Speed in", ""),
        ("T [°C]", "T", "°C"),
        ("T [degC]", "T", "degC"),
        ("Duty [%]", "Duty", "%"),
        ("t (µs)", "t", "µs"),
        ("t [us]", "t", "us"),
        ("Bank [1]", "Bank [1]", ""),
        ("[bar]", "bar", "bar"),
        ("", "", ""),
    ],
)
def test_a_header_cell_gives_a_label_and_a_unit(cell: str, label: str, unit: str) -> None:
    (column,) = columns_of([cell], None)
    assert (column.label, column.unit) == (label, unit)


@pytest.mark.parametrize(
    ("row", "is_one"),
    [
        (["s", "MPa", "%", "A", "rpm"], True),
        (["ms", "bar", "°C", ""], True),
        (["(ms)", "(V)"], True),
        (["[s]", "-", "bar"], True),
        (["Time", "Rail"], False),
        (["", ""], False),
        (["s", "rail pressure actual", "coolant temperature"], False),
    ],
)
def test_a_row_of_units_is_known_by_its_units(row: list[str], is_one: bool) -> None:
    assert is_units_row(row) is is_one


def test_gauge_and_absolute_are_kept_apart_from_the_unit(tmp_path: Path) -> None:
    path = tmp_path / "marked.csv"
    path.write_text("Time [s],Rail [bar(g)],Low [psia]\n0.0,350.5,20\n0.1,349.5,20\n")
    capture = read_capture(path, {"rail": "Rail", "low": "Low"})
    assert [(each.symbol, each.reference) for each in capture.channels.values()] == [("bar", "gauge"), ("psi", "absolute")]


def test_a_channel_converts_to_another_unit_of_its_family(capture_file: Path) -> None:
    channel = read_capture(capture_file, {"rail": "P_rail"}).channel("rail")
    assert channel.to("MPa") == pytest.approx([35.05, 34.95], rel=1e-15)
    with pytest.raises(InputError) as caught:
        channel.to("s")
    assert str(caught.value).startswith('rail: "bar" is a unit of pressure, not of time')


def test_a_unit_taken_from_the_end_of_a_label_is_noted(tmp_path: Path) -> None:
    path = tmp_path / "endings.csv"
    path.write_text("t_ms,p_rail_bar\n0,350.5\n100,349.5\n")
    capture = read_capture(path, {"t": "t", "rail": "p_rail"})
    assert capture.time.tolist() == [0.0, 0.1]
    assert capture.report.notes == (
        'rail: the unit bar is taken from the end of the label "p_rail_bar".',
        't: the unit ms is taken from the end of the label "t_ms".',
    )


def test_a_target_pressure_beside_a_rail_pressure_is_the_rails_and_that_of_a_boost_is_not(tmp_path: Path) -> None:
    """Loggers seldom repeat "rail": common practice, no source."""
    file = tmp_path / "log.csv"
    rows = "".join(f"{n / 50};{n};300;1.2\n" for n in range(20))
    file.write_text("Time [s];Rail pressure [bar];Target pressure [bar];Target boost pressure [bar]\n" + rows, "utf-8")
    found = read_capture(file)
    assert (found.channel("set").label, found.channel("rail").label) == ("Target pressure", "Rail pressure")
