"""Line, lift and filter: published rows, and drops carried to another flow and temperature."""

from __future__ import annotations

from typing import Any

import fluids
import pytest

from baybook import calculate
from baybook.errors import InputError

COLD = {"flow": "120 ± 0 L/h", "temperature": "-10 ± 0 °C", "viscosity": "12.5 ± 0 mm2/s", "viscosity_temperature": "-10 °C"}


def line(**inputs: Any) -> Any:
    return calculate("line", **inputs)


def test_the_line_of_the_published_table_in_the_cold() -> None:
    """3 m of 8 mm, 120 L/h, 12.5 mm2/s, 852 kg/m3 at -10 °C (834.30 at 15 °C): 10 594 Pa, computed with fluids 1.3.1."""
    found = line(**COLD, length="3 ± 0 m", bore="8 ± 0 mm", density="834.3040 ± 0 kg/m3")
    assert found["reynolds"].value == pytest.approx(424.4, abs=0.1)
    assert found["friction"].to("Pa").value == pytest.approx(10594, rel=3e-4)
    assert found.outputs["regime"] == "laminar"


def test_between_the_regimes_both_values_are_given() -> None:
    """6 mm, 200 L/h, 4.0 mm2/s, 832 kg/m3: Re 2947; 17.4 kPa laminar and 35.1 kPa by Colebrook (fluids 1.3.1)."""
    found = line(flow="200 ± 0 L/h", temperature="20 ± 0 °C", viscosity="4 ± 0 mm2/s", viscosity_temperature="20 °C",
                 length="3 ± 0 m", bore="6 ± 0 mm", density="835.56 ± 0 kg/m3")  # fmt: skip
    assert found["reynolds"].value == pytest.approx(2947.3, abs=0.1) and found.outputs["regime"] == "either"
    assert found["friction"].low == pytest.approx(17.4, abs=0.05) and found["friction"].high == pytest.approx(35.14, abs=0.05)
    assert any("17.4" in note and "35.1" in note for note in found.notes)


def test_the_turbulent_line_against_the_library() -> None:
    """Re 7368 in 4 mm: fluids' friction factor over 3 m."""
    found = line(flow="200 ± 0 L/h", temperature="20 ± 0 °C", viscosity="2.4 ± 0 mm2/s", viscosity_temperature="20 °C",
                 length="3 ± 0 m", bore="4 ± 0 mm", density="835.56 ± 0 kg/m3")  # fmt: skip
    speed = 200e-3 / 3600 / (3.141592653589793 / 4 * 0.004**2)
    number = speed * 0.004 / 2.4e-6
    wanted = fluids.friction_factor(number, 0.0) * 3 / 0.004 * 832 * speed**2 / 2
    assert found.outputs["regime"] == "turbulent"
    assert found["friction"].to("Pa").value == pytest.approx(wanted, rel=3e-4)


def test_a_filters_drop_in_the_cold() -> None:
    """Darcy by hand: 10 kPa at 2.8 mm2/s at 40 °C; at -10 °C by Walther with the slope of 4.5 at 20 °C 4.666 times as much.

    The calculator's own slope is not known so well: the published factor lies in its interval.
    """
    found = line(drop="10 ± 0 kPa", drop_flow="60 ± 0 L/h", drop_temperature="40 ± 0 °C", flow="60 ± 0 L/h",
                 temperature="-10 ± 0 °C", viscosity="2.8 ± 0 mm2/s")["drop_there"]  # fmt: skip
    assert found.low < 46.66 < found.high and found.high - found.low > 5
    assert found.value == pytest.approx(42, abs=3)


def test_a_lines_drop_is_carried_by_the_law_that_holds_there() -> None:
    """Laminar at both ends: in proportion to flow. Into turbulence: more than that, by fluids' friction factors."""
    oil = {"viscosity": "4 ± 0 mm2/s", "viscosity_temperature": "20 °C", "across": "line", "drop": "1 ± 0 kPa",
           "drop_temperature": "20 ± 0 °C", "temperature": "20 ± 0 °C", "drop_flow": "50 ± 0 L/h"}  # fmt: skip
    calm = line(**oil, flow="100 ± 0 L/h", bore="8 ± 0 mm")["drop_there"]
    assert (calm.value, calm.low, calm.high) == pytest.approx((2.0,) * 3)
    fast = line(**oil, flow="400 ± 0 L/h", bore="6 ± 0 mm")["drop_there"]
    numbers = [q / 3.6e6 / (3.141592653589793 / 4 * 0.006**2) * 0.006 / 4e-6 for q in (50, 400)]
    factors = [fluids.friction_factor(number, 0.0) for number in numbers]
    assert fast.value == pytest.approx(factors[1] / factors[0] * 64, rel=1e-6)


def test_a_lift_is_rho_g_h_and_is_left_at_the_upper_end() -> None:
    """1 m of 832 kg/m3: 8.159 kPa (computed, 9.80665 m/s2)."""
    found = line(flow="60 L/h", temperature="15 ± 0 °C", height="1 ± 0 m", density="832 ± 0 kg/m3")
    assert found["lift"].value == pytest.approx(8.159, abs=6e-4)
    assert found["inlet_pressure"].value == pytest.approx(-8.159, abs=6e-4)
    down = line(flow="60 L/h", temperature="15 ± 0 °C", height="-1 ± 0 m", density="832 ± 0 kg/m3")
    assert down["inlet_pressure"].value == pytest.approx(8.159, abs=6e-4)
    assert "released_air" not in down.outputs  # no air comes out of fuel that is not under suction


@pytest.mark.parametrize(
    ("inputs", "told"),
    [
        ({}, "drop: is missing, and so are length and height; give a drop that was read, or the line's length and bore"),
        (
            {"drop": "10 kPa", "drop_flow": "60 L/h", "drop_temperature": "20 °C", "across": "line"},
            "bore: is needed to carry a line's drop over; give the inner diameter, such as 8 mm",
        ),
    ],
)
def test_what_a_line_cannot_be_worked_out_without_is_asked_for(inputs: dict[str, str], told: str) -> None:
    with pytest.raises(InputError) as caught:
        line(flow="120 L/h", temperature="20 °C", **inputs)
    assert str(caught.value).startswith(told)


def test_no_pressure_below_vacuum_is_told() -> None:
    """A filter that would take 1.5 bar in suction: not -1.5 bar, but that so much cannot flow."""
    found = line(flow="120 ± 0 L/h", temperature="20 ± 0 °C", drop="50 ± 1 kPa", drop_flow="40 ± 0 L/h",
                 drop_temperature="20 ± 0 °C", height="0.6 ± 0 m")  # fmt: skip
    assert found["drop_there"].value == pytest.approx(150.0)
    assert "inlet_pressure" not in found.outputs and "released_air" not in found.outputs
    assert any("more than the ambient pressure can push" in note for note in found.notes)


def test_a_filter_that_is_good_does_not_clear_the_supply() -> None:
    """It is this part that is not the restriction; the finding stays undecided for the stage."""
    read = {"drop": "10 ± 0.5 kPa", "drop_flow": "60 ± 1 L/h", "drop_temperature": "20 ± 1 °C", "flow": "60 ± 0 L/h",
            "temperature": "20 ± 0 °C"}  # fmt: skip
    (good,) = line(**read, limit="<= 30 kPa").findings
    assert (good.stage, good.side, good.strength) == ("supply", "hydraulic", "undecided")
    assert "this part is not the restriction" in good.statement
    (bad,) = line(**read, limit="<= 5 kPa").findings
    assert bad.strength == "indicated"


def test_a_decimal_comma_and_another_unit_change_nothing() -> None:
    plain = line(**COLD, length="3 ± 0 m", bore="8.0 ± 0.2 mm")["friction"]
    comma = line(**COLD, length="3 ± 0 m", bore="8,0 ± 0,2 mm")["friction"]
    other = line(**(COLD | {"flow": "2000 ± 0 mL/min"}), length="3000 ± 0 mm", bore="0.8 ± 0.02 cm")["friction"]
    for found in (comma, other):
        assert (found.value, found.low, found.high) == pytest.approx((plain.value, plain.low, plain.high))
