"""Injector quantity and balance: arithmetic by textbooks and by hand, and whom a correction accuses."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from baybook import calculate
from baybook.errors import InputError
from baybook_physics import quantity
from baybook_physics.pump import injected

CORRECTED = {"corrections": ["0.3 mm3/stroke", "-0.2 mm3/stroke", "3.1 mm3/stroke", "-0.6 mm3/stroke"],
             "correction_limit": "-2 to 2 mm3/stroke; sheet"}  # fmt: skip
LOW = {"peaks": ["300 ± 2 A", "302 ± 2 A", "238 ± 2 A", "298 ± 2 A"], "compression_limit": ">= 85 %; sheet"}
EVEN = LOW | {"peaks": ["300 ± 2 A", "302 ± 2 A", "297 ± 2 A", "298 ± 2 A"]}


def delivery(**inputs: Any) -> Any:
    return calculate("delivery", **inputs)


def said(**inputs: Any) -> list[tuple[str, str]]:
    return [(f.strength, str(f.statement)) for f in delivery(**inputs).findings]


@pytest.mark.parametrize(
    ("power", "specific", "density", "cylinders", "speed", "wanted"),
    [(180, 0.2, 875.0, 4, 1500, 228.57), (25, 0.3, 876.16, 1, 2500, 114.13)],
)
def test_textbook_quantities(
    power: float, specific: float, density: float, cylinders: int, speed: float, wanted: float
) -> None:
    """Textbook of combustion engines, ex. 9.3 and 9.2 (answers as printed there): power in kW, kg/kWh, kg/m3."""
    flow = power * specific / 60 / density * 1e6  # mL/min
    assert quantity.of_flow(flow, cylinders, speed) == pytest.approx(wanted, rel=1e-4)
    found = delivery(consumption=f"{flow:.5f} ± 0 mL/min", engine_speed=f"{speed} ± 0 rpm", cylinders=cylinders)
    assert found["mean_quantity"].value == pytest.approx(wanted, rel=1e-4)


def test_quantity_and_flow_are_each_others_inverse() -> None:
    assert quantity.of_flow(injected(17.3, 6, 1234.0), 6, 1234.0) == pytest.approx(17.3, rel=1e-12)
    assert quantity.of_volume(np.array([22.0, 33.0]), 1000) == pytest.approx([22.0, 33.0])


def test_relative_compression_by_hand() -> None:
    """240 over the mean of 300, 300, 300 is 80 %, 300 over that of 300, 300, 240 is 107.14 %; of the highest 80 and 100 %."""
    read = {"peaks": ["300 ± 0 A", "300 ± 0 A", "240 ± 0 A", "300 ± 0 A"]}
    others = [each.value for each in delivery(**read).vector("compression")]
    highest = [each.value for each in delivery(**read, against="highest").vector("compression")]
    assert others == pytest.approx([107.142857, 107.142857, 80.0, 107.142857], rel=1e-7)
    assert highest == pytest.approx([100, 100, 80, 100])


def test_the_interval_of_a_share_has_every_reading_in_it() -> None:
    """k = 100 I / m: u(k)/k squared = u(I)/I squared + u(m)/m squared, m the mean of three (JCGM 100:2008, 5.1.6)."""
    third = delivery(peaks=["300 ± 3 A", "300 ± 3 A", "240 ± 3 A", "300 ± 3 A"]).vector("compression")[2]
    wanted = 80 * ((3 / 240) ** 2 + (3 / 300) ** 2 / 3) ** 0.5
    assert (third.high - third.low) / 2 == pytest.approx(wanted, rel=0.01)


def test_a_bench_record() -> None:
    """By hand: 22 mL in 1000 strokes is 22 mm3 each; 33 over the mean of 22 and 22 is 150 %."""
    found = delivery(volumes=["22.0 mL", "-", "33.0 mL", "22.0 mL"], strokes=1000, quantity_limit="20 to 26 mm3/stroke; bench")
    values = [each and each.value for each in found.vector("quantity")]
    assert values == [pytest.approx(22.0), None, pytest.approx(33.0), pytest.approx(22.0)]
    assert found.vector("share")[2].value == pytest.approx(150.0)
    (one,) = found.findings
    assert one.strength == "indicated" and "Injector 3 gives 33.000 mm3/stroke" in one.statement


def test_low_compression_clears_the_injector() -> None:
    """A master looks at the cylinder before the injector is exchanged (common practice, no source)."""
    (one,) = delivery(**CORRECTED, **LOW).findings
    assert one.strength == "indicated" and "the cylinder is at fault, not its injector" in one.statement
    assert "no injector yet" in one.next_test


def test_with_good_compression_it_is_the_injector() -> None:
    (one,) = delivery(**CORRECTED, **EVEN).findings
    assert one.statement.startswith("Injector 3: correction of 3.1") and "compresses as the others do" in one.statement
    assert one.next_test.index("return") < one.next_test.index("coil") < one.next_test.index("bench")


@pytest.mark.parametrize("peaks", [None, ["300 ± 2 A", "302 ± 2 A", "-", "298 ± 2 A"]])
def test_without_the_cylinders_compression_both_stay_open(peaks: list[str] | None) -> None:
    more = {} if peaks is None else LOW | {"peaks": peaks}
    (one,) = delivery(**CORRECTED, **more).findings
    assert "which of them is not shown" in one.statement and "relative compression by starter current" in one.next_test


def test_all_within_says_nothing_of_the_level() -> None:
    even = CORRECTED | {"corrections": ["0.3 mm3/stroke", "-0.2 mm3/stroke", "0.4 mm3/stroke", "-0.6 mm3/stroke"]}
    assert [strength for strength, _ in said(**even)] == ["cleared"]
    assert "nothing of the level" in said(**even)[0][1]
    gap = even | {"corrections": ["0.3 mm3/stroke", "-", "0.4 mm3/stroke", "-0.6 mm3/stroke"]}
    assert [strength for strength, _ in said(**gap)] == ["undecided"]


def test_a_low_cylinder_that_no_correction_shows_is_told() -> None:
    (one,) = said(**LOW)
    assert one[0] == "indicated" and one[1].startswith("Cylinder 3 compresses")


def test_undecided_is_not_cleared() -> None:
    near = CORRECTED | {"corrections": ["0.3 mm3/stroke", "1.98 ± 0.1 mm3/stroke", "0.4 mm3/stroke", "0.1 mm3/stroke"]}
    assert [strength for strength, _ in said(**near)] == ["undecided"]


def test_a_decimal_comma_and_other_units_change_nothing() -> None:
    plain = delivery(**CORRECTED, **LOW)
    comma = delivery(corrections=["0,3 mm3/Hub", "-0,2 mm3/Hub", "3,1 mm3/Hub", "-0,6 mm3/Hub"],
                     correction_limit="-2,0 to 2,0 mm3/Hub",
                     peaks=["300,0 ± 2 A", "302,0 ± 2 A", "238,0 ± 2 A", "298,0 ± 2 A"],
                     compression_limit=">= 85 %")  # fmt: skip
    other = delivery(corrections=[f"{c} mL/1000 strokes" for c in ("0.3", "-0.2", "3.1", "-0.6")],
                     correction_limit="-2 to 2 mL/1000 strokes", compression_limit=">= 0.85 x",
                     peaks=["300000 ± 2000 mA", "302000 ± 2000 mA", "238000 ± 2000 mA", "298000 ± 2000 mA"])  # fmt: skip
    for found in (comma, other):
        for name in ("correction", "compression"):
            ends = [(each.to("%" if name == "compression" else "mm3/stroke").value, each.high) for each in found.vector(name)]
            want = [(each.value, each.high) for each in plain.vector(name)]
            assert [v for v, _ in ends] == pytest.approx([v for v, _ in want])
        assert [v.verdict for v in found.verdicts] == [v.verdict for v in plain.verdicts]
        assert [v.probability for v in found.verdicts] == pytest.approx([v.probability for v in plain.verdicts])


@pytest.mark.parametrize(
    ("inputs", "named"),
    [({}, "corrections"), ({"volumes": ["20 mL"]}, "strokes"), ({"strokes": 100, "peaks": ["300 A", "310 A"]}, "volumes"),
     ({"consumption": "70 mL/min"}, "engine_speed"), ({"peaks": ["300 A", "-"]}, "peaks"),
     ({"corrections": ["1 mm3/stroke", "1 mm3/stroke"], "peaks": ["300 A"] * 3}, "corrections"),
     ({"corrections": ["1 mm3/stroke"] * 4, "cylinders": 6}, "corrections"),
     ({"correction_limit": "-2 to 2 mm3/stroke", "peaks": ["300 A", "310 A"]}, "corrections"),
     ({"consumption": "70 mL/min", "mean": "8 mm3/stroke", "engine_speed": "800 rpm", "cylinders": 4}, "mean"),
     ({"corrections": ["1 mL"]}, "corrections")],
)  # fmt: skip
def test_what_does_not_fit_is_said_in_a_line(inputs: dict[str, Any], named: str) -> None:
    with pytest.raises(InputError) as caught:
        delivery(**inputs)
    assert named in [problem.input for problem in caught.value.problems]
