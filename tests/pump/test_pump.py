"""The high-pressure pump: geometry, compression by published values, and what its numbers prove."""

from __future__ import annotations

import csv
import math
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from baybook import calculate
from baybook.errors import InputError
from baybook.registry import registry
from baybook_physics import pump as physics

DATA = Path(__file__).parents[1] / "published" / "data"
SIZE = {"displacement": "0.60 ± 0.006 cm3/rev", "drive_ratio": "50 %", "engine_speed": "2000 ± 10 rpm"}
FLOWS = {"quantity": "30 ± 1 mm3/stroke", "cylinders": 4, "returns": "120 ± 5 mL/min", "control": "260 ± 5 mL/min"}


def pump(**inputs: Any) -> Any:
    return calculate("pump", **inputs)


def test_geometry_and_delivery() -> None:
    """3 x 6.5 x 6.0 mm: 597.295 mm3 (geometry); 5 in3 at 1000 1/min and 0.924: 20 US gal/min (textbook, ex. 5-8);
    61.359 cm3, 1000 1/min, 0.90: 55.22 L/min (ex. 5-2, displacement by its gear's own formula)."""
    assert physics.displacement(3, 6.5, 6.0) * 1e3 == pytest.approx(597.295, abs=1e-3)
    assert physics.delivery(5 * 2.54**3, 1000.0, 0.924) / 3785.411784 == pytest.approx(20.0, rel=1e-4)
    assert physics.delivery(61.359, 1000.0, 0.90) / 1000 == pytest.approx(55.22, abs=0.01)
    assert physics.displacement(np.array([1, 2, 3]), 6.5, 6.0).shape == (3,)


def test_compression_counted_at_either_state() -> None:
    """e 0.2, K 1.8 GPa, 100 MPa: 0.98857 by inlet, 0.93515 by outlet state (mass balance, computed elsewhere): never mixed."""
    squeezed = math.exp(100 / 1800)
    assert physics.by_inlet(0.2, squeezed) == pytest.approx(0.98857, abs=1e-5)
    assert physics.by_outlet(0.2, squeezed) == pytest.approx(0.93515, abs=1e-5)
    assert physics.by_inlet(0.2, squeezed) / squeezed == pytest.approx(physics.by_outlet(0.2, squeezed), rel=1e-12)


def test_the_pump_of_the_published_benchmark() -> None:
    """Student modelling contest 2019, problem A: dead 20, swept 94.758 mm3, 0.5 to 100 MPa of its fluid: 0.98808 by mass."""
    with (DATA / "rail_benchmark_modulus.csv").open(encoding="utf-8") as file:
        rows = list(csv.DictReader(line for line in file if line[0] != "#"))
    p, rho = ([float(row[name]) for row in rows] for name in ("p_MPa", "rho_mg_mm3"))
    squeezed = 0.850 / float(np.interp(0.5, p, rho))
    assert physics.by_inlet(20 / 94.758, squeezed) == pytest.approx(0.98808, abs=2e-5)


def test_rail_volume_is_smaller_by_compression() -> None:
    """n-Dodecane at 40 °C and 100 MPa over 0.101325: 790.343/734.642 (CoolProp)."""
    found = pump(**SIZE, rail_pressure="99.898675 ± 0 MPa", temperature="40 ± 0 °C", fuel="n-dodecane", dead_share="20 ± 0 %")
    assert found["compression"].value == pytest.approx(790.343 / 734.642, rel=1e-3)
    assert found["delivery"].value / found["delivery_at_rail"].value == pytest.approx(found["compression"].value)
    assert found["compression_efficiency"].to("1").value == pytest.approx(1 - 0.2 * (790.343 / 734.642 - 1), rel=1e-3)


def test_an_efficiency_in_rail_volume_is_brought_to_what_cylinders_measure() -> None:
    by_rail = pump(**SIZE, rail_pressure="1000 ± 0 bar", efficiency="80 ± 0 %", counted="outlet")
    by_cylinder = pump(**SIZE, rail_pressure="1000 ± 0 bar", efficiency="80 ± 0 %")
    assert by_rail["delivery_at_rail"].value == pytest.approx(by_cylinder["delivery"].value)
    assert by_rail["delivery"].value == pytest.approx(by_cylinder["delivery"].value * by_rail["compression"].value)


def test_the_fuel_adds_up() -> None:
    """By hand: 30 x 4 x 2000/2 mm3 = 120 mL/min; with 120 and 260 taken 500 of 600 mL/min swept: 83.3 %."""
    found = pump(**SIZE, **FLOWS, outlet_shut="driven-shut", efficiency_limit=">= 75 %")
    assert found["injected"].value == pytest.approx(120.0) and found["taken"].value == pytest.approx(500.0)
    assert found["efficiency_found"].value == pytest.approx(100 * 500 / 600)
    assert {(f.stage, f.side) for f in found.findings} == {("generation", "hydraulic")}
    assert next(v for v in found.verdicts if v.output == "efficiency_found").verdict == "within"


def test_one_element_off_gives_two_thirds() -> None:
    size = {"elements": 3, "bore": "6.5 ± 0 mm", "stroke": "6.0 ± 0 mm", "drive_ratio": "50 %", "engine_speed": "2000 ± 0 rpm"}
    assert pump(**size, off=1)["swept"].value == pytest.approx(2 / 3 * pump(**size)["swept"].value)
    assert pump(**SIZE, elements=3, off=1)["swept"].value == pytest.approx(0.4)


def test_too_much_taken_does_not_accuse_the_pump() -> None:
    """1200 mL/min of control return from 600 swept: what it feeds takes too much."""
    found = pump(**SIZE, **(FLOWS | {"control": "1200 ± 10 mL/min"}))
    (one,) = found.findings
    assert one.strength == "undecided" and "not the pump itself" in one.statement
    assert "calculator returns" in one.next_test


def test_what_a_limiting_valve_lets_go_is_taken_too() -> None:
    """Plain arithmetic: 150 mL/min more are taken, and as much less is left over."""
    without, leaking = pump(**SIZE, **FLOWS), pump(**SIZE, **FLOWS, limiter="150 ± 0 mL/min")
    for name, more in (("taken", 150.0), ("surplus", -150.0)):
        assert leaking[name].value - without[name].value == pytest.approx(more)
    assert "limiter" in registry().calculator("pump").how.reads


@pytest.mark.parametrize(
    ("shut", "verdict", "strength"), [("driven-shut", "outside", "indicated"), ("not-shut", "undecided", "undecided"),
                                      ("not-fitted", "outside", "indicated"), (None, "undecided", "undecided")],
)  # fmt: skip
def test_a_low_pressure_counts_only_with_the_valve_shut(shut: str | None, verdict: str, strength: str) -> None:
    given = {"outlet_shut": shut} if shut else {}
    found = pump(highest="600 ± 10 bar", pressure_limit=">= 1300 bar", **given)
    assert [v.verdict for v in found.verdicts] == [verdict]
    assert [f.strength for f in found.findings] == [strength]


def test_a_low_pressure_names_supply_and_leaks_before_the_pump() -> None:
    (one,) = pump(highest="600 ± 10 bar", pressure_limit=">= 1300 bar", outlet_shut="driven-shut").findings
    assert "pump, supply, or a leak behind it" in one.statement
    assert one.next_test.index("calculator supply") < one.next_test.index("the pump is the likeliest")


def test_a_pressure_read_with_the_outlet_valve_perhaps_open_asks_to_shut_it_first() -> None:
    """Common practice, no source: what the pump makes goes out of an open valve."""
    (one,) = pump(highest="600 ± 10 bar", pressure_limit=">= 1300 bar", outlet_shut="not-shut").findings
    assert one.next_test.startswith("drive the outlet valve shut the maker's way")
    assert "too uncertain" not in one.statement


def test_the_pressure_reached_clears_generation() -> None:
    (one,) = pump(highest="1500 ± 10 bar", pressure_limit="1300 to 1800 bar", outlet_shut="driven-shut").findings
    assert (one.stage, one.side, one.strength) == ("generation", "hydraulic", "cleared")


def test_a_flow_that_was_not_collected_accuses_nobody() -> None:
    """Injection alone is 120 of 600 mL/min: with returns and control unknown no verdict against the pump."""
    found = pump(**SIZE, quantity="30 ± 1 mm3/stroke", cylinders=4, efficiency_limit=">= 75 %", outlet_shut="driven-shut")
    assert next(v for v in found.verdicts if v.output == "efficiency_found").verdict == "undecided"
    assert any("at least this much" in note for note in found.notes)
    assert [(f.strength, "worn" in str(f.statement), "a flow not collected" in str(f.statement)) for f in found.findings] == [
        ("undecided", False, True)
    ]


def test_all_collected_and_too_little_is_found() -> None:
    flows = {"quantity": "10 ± 1 mm3/stroke", "cylinders": 4, "returns": "60 ± 5 mL/min"}
    found = pump(**SIZE, **flows, outlet_shut="driven-shut", efficiency_limit=">= 75 %")
    (one,) = [f for f in found.findings if f.strength == "indicated"]
    assert "starved pump" in one.statement and "supply first" in one.next_test


def test_a_decimal_comma_and_other_units_change_nothing() -> None:
    plain = pump(**SIZE, **FLOWS)
    comma = pump(**(SIZE | {"displacement": "0,60 ± 0,006 cm3/rev"}), **FLOWS)
    other = pump(**(SIZE | {"displacement": "600 ± 6 mm3/rev"}), **(FLOWS | {"returns": "7.2 ± 0.3 L/h"}))
    for found in (comma, other):
        for name in ("taken", "surplus", "efficiency_found"):
            one, same = found[name], plain[name]
            assert (one.value, one.low, one.high) == pytest.approx((same.value, same.low, same.high))


@pytest.mark.parametrize(
    ("inputs", "named"),
    [({}, "displacement"), ({"displacement": "0.6 cm3/rev"}, "engine_speed"), ({**SIZE, "off": 1}, "off"),
     ({**SIZE, "bore": "6 mm", "elements": 3, "stroke": "6 mm"}, "bore"), ({**SIZE, "counted": "outlet"}, "rail_pressure"),
     ({**SIZE, "elements": 3, "off": 3}, "off"), ({"highest": "9000 bar"}, "highest")],
)  # fmt: skip
def test_what_does_not_fit_is_said_in_a_line(inputs: dict[str, Any], named: str) -> None:
    with pytest.raises(InputError) as caught:
        pump(**inputs)
    assert named in [problem.input for problem in caught.value.problems]


def test_more_than_is_swept_is_a_slip() -> None:
    """0.06 for 0.6 cm3/rev: nearly five times what the pump sweeps would come out."""
    given = {"drive_ratio": "50 %", "engine_speed": "2000 rpm", "quantity": "30 mm3/stroke", "cylinders": 4,
             "returns": "120 mL/min", "outlet_shut": "driven-shut", "efficiency_limit": "min 70 %"}  # fmt: skip
    with pytest.raises(InputError, match="sweeps less than comes out"):
        calculate("pump", displacement="0.06 cm3/rev", **given)
    assert calculate("pump", displacement="0.6 cm3/rev", **given)["efficiency_found"].to("1").low < 1.0
