"""Labels of the low side and of the battery, as loggers write them (common practice, no source), and their likes."""

from __future__ import annotations

from pathlib import Path

import pytest

from baybook.captures.reader import read_capture


def taken(folder: Path, label: str, unit: str) -> set[str]:
    """Which of both channels a column of that label is read as."""
    path = folder / "one.csv"
    path.write_text(f"Time [s];Rail pressure [bar];{label} [{unit}]\n0.0;1;2\n0.1;1;2\n", encoding="utf-8")
    return set(read_capture(path, wanted=("rail",), also=("low", "battery")).report.channels) - {"rail", "t"}


@pytest.mark.parametrize(
    "label",
    [
        "Vorförderdruck", "Vorfoerderdruck", "Kraftstoffförderdruck", "Förderdruck Niederdruckseite", "Kraftstoffzulaufdruck",
        "Vorlaufdruck", "Lift pump pressure", "Fuel feed pressure", "Fuel supply pressure",
    ],
)  # fmt: skip
def test_a_pressure_of_the_low_side(tmp_path: Path, label: str) -> None:
    assert taken(tmp_path, label, "bar") == {"low"}


@pytest.mark.parametrize(
    "label",
    [
        "Vorförderdruck Sollwert", "Förderdruck Hochdruckpumpe", "Oil feed pressure", "Low boost pressure", "Öldruck Vorlauf",
        "Supply pressure setpoint", "Ladedruck", "Fuel supply pressure deviation",
    ],
)  # fmt: skip
def test_no_pressure_of_the_low_side(tmp_path: Path, label: str) -> None:
    assert taken(tmp_path, label, "bar") == set()


@pytest.mark.parametrize(
    "label",
    ["U_batt", "UBat", "U_bat", "VBAT", "V_Batt", "Batteriespannung", "Battery voltage", "Bordnetzspannung", "System voltage"],
)
def test_a_batterys_voltage(tmp_path: Path, label: str) -> None:
    assert taken(tmp_path, label, "V") == {"battery"}


@pytest.mark.parametrize("label", ["Sensor supply voltage", "Injector voltage", "Coil voltage", "Battery voltage limit"])
def test_no_batterys_voltage(tmp_path: Path, label: str) -> None:
    assert taken(tmp_path, label, "V") == set()
