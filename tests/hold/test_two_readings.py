"""Two readings: the interval they deserve, and what narrows it."""

from __future__ import annotations

import math
import statistics
import subprocess
import sys
from dataclasses import replace

import numpy as np
import pytest
from tests.hold.simulator import draw_case

from baybook_physics.fuels import FuelRangeError, diesel
from baybook_physics.inference.intervals import interval, normal_quantile, square_normals
from baybook_plugins.hold.two_point.estimate import estimate
from baybook_plugins.hold.two_point.readings import TwoReadings

HOLD = TwoReadings(
    start=(110.0, 0.1), end=(60.0, 0.1), time=(20.0, 0.1), volume=(25.0, 0.6), temperature=(43.0, 1.5), ambient=(18.0, 1.0),
    zero=0.5,
)  # fmt: skip


def test_the_truth_lies_inside_in_nineteen_of_twenty_simulated_holds() -> None:
    """An independent simulation of 80 rails; of 80 at most 10 lie outside by chance, but for 1 time in 300 (binomial)."""
    random = np.random.default_rng(5)
    outside = [0, 0]
    for _ in range(80):
        case = draw_case(random)
        rho, u_rho = case.density or (None, None)
        noise = 0.2
        readings = TwoReadings(
            start=(float(np.median(case.pressure[:3])), noise), end=(float(np.median(case.pressure[-3:])), noise),
            time=(float(case.time[-1]), 0.05), volume=case.volume, temperature=case.temperature,
            ambient=(case.truth.ambient, 1.0), zero=case.zero, back_pressure=(case.truth.back, 0.0), reference=case.reference,
        )  # fmt: skip
        if readings.end[0] >= readings.start[0]:  # pragma: no cover
            continue
        found = estimate(readings, diesel(rho, u_rho))
        outside[0] += not found.leak_at_line.low <= case.at_line <= found.leak_at_line.high
        outside[1] += not found.leak_collected.low <= case.collected <= found.leak_collected.high
    assert max(outside) <= 10


def test_a_constant_stiffness_would_be_far_off() -> None:
    """With 1.4 GPa the same readings would give about 1.5 times the leak (references: wrong by about half)."""
    found = estimate(HOLD, diesel(834.5))
    simple = 60.0 * 25.0 * 50.0 / (1400.0 * 20.0)
    assert simple > 1.3 * found.leak_at_line.high / 1.1


def test_a_temperature_at_the_end_narrows_the_interval() -> None:
    """A small leak over five minutes, where the rail's own drift matters."""
    slow = replace(HOLD, end=(85.0, 0.1), time=(300.0, 0.1), volume=(25.0, 0.1), temperature=(60.0, 0.5), ambient=None)
    with_end = replace(slow, end_temperature=(50.0, 0.5))
    vague, better = estimate(slow, diesel(834.5)).leak_at_line, estimate(with_end, diesel(834.5)).leak_at_line
    assert better.high - better.low < 0.8 * (vague.high - vague.low)


def test_a_fall_that_cooling_explains_is_no_proof_of_a_leak() -> None:
    """Five MPa in two minutes at 52 °C: low bound zero, and the fall by cooling covers the whole."""
    found = estimate(replace(HOLD, end=(104.0, 0.1), time=(120.0, 0.1), temperature=(52.0, 1.5)), diesel(834.5))
    assert found.leak_at_line.low == 0.0
    assert found.cooling_pressure_drop.low < 6.0 < found.cooling_pressure_drop.high
    assert found.tight_share > 0.025


def test_the_reference_pressure_moves_the_collected_flow_alone() -> None:
    at_mean, at_140 = estimate(HOLD, diesel(834.5)), estimate(replace(HOLD, reference=140.0), diesel(834.5))
    assert at_140.leak_at_line == at_mean.leak_at_line
    assert at_140.leak_collected.value > 1.2 * at_mean.leak_collected.value
    relative = [(i.high - i.low) / i.value for i in (at_140.leak_collected, at_mean.leak_collected)]
    assert relative[0] > relative[1]


def test_the_give_of_the_rail_adds_to_the_leak() -> None:
    """Steel that shrinks as pressure falls passes its volume to the leak: V dp/Kc over the time."""
    short = replace(HOLD, end=(106.0, 0.1), one_temperature=True)
    stiff = estimate(replace(short, rail_modulus=(1e9, 0.0)), diesel(834.5)).leak_at_line.value
    soft = estimate(replace(short, rail_modulus=(50e3, 0.0)), diesel(834.5)).leak_at_line.value
    assert soft - stiff == pytest.approx(60.0 * 25.0 * 4.0 / 50e3 / 20.0, rel=0.01)


def test_free_gas_takes_from_the_leak() -> None:
    """Gas swells into the place of fuel that left: V g p0 (1/p2 - 1/p1) of it, at low pressure where it matters."""
    low = replace(HOLD, start=(6.0, 0.0), end=(3.0, 0.0), time=(600.0, 0.0), zero=0.0, one_temperature=True)
    plain, foamy = (estimate(replace(low, free_gas=(g, 0.0)), diesel(834.5)).leak_at_line.value for g in (0.0, 0.001))
    swelling = 25.0 * 0.001 * 0.101325 * (1.0 / 3.101325 - 1.0 / 6.101325)
    # the fuel that left is what the fall of pressure let go, and the swelling of the gas on top of it
    assert foamy - plain == pytest.approx(60.0 * swelling / 600.0, rel=0.05)


@pytest.mark.parametrize(
    ("change", "why"),
    [
        ({"end": (120.0, 0.1)}, "above start"),
        ({"time": (0.0, 0.1)}, "above 0"),
        ({"volume": (-1.0, 0.1)}, "above 0"),
        ({"back_pressure": (70.0, 0.0)}, "is below the back pressure"),
    ],
)
def test_impossible_readings_are_refused(change: dict[str, object], why: str) -> None:
    with pytest.raises(ValueError, match=why):
        replace(HOLD, **change)  # type: ignore[arg-type]


def test_beyond_the_fuel_model_is_refused() -> None:
    with pytest.raises(FuelRangeError):
        estimate(replace(HOLD, start=(400.0, 0.1)), diesel())


def test_the_same_readings_give_the_same_answer() -> None:
    assert estimate(HOLD, diesel(834.5)) == estimate(HOLD, diesel(834.5))


def test_quantiles_are_those_of_the_normal() -> None:
    """Python's own statistics.NormalDist as oracle."""
    for share in (1e-6, 0.001, 0.025, 0.3, 0.5, 0.8, 0.975, 0.9999):
        assert normal_quantile(share) == pytest.approx(statistics.NormalDist().inv_cdf(share), abs=1e-8)


def test_draws_fill_every_dimension_evenly_and_no_two_move_together() -> None:
    """Mean 0, spread 1 and 95 % within 1.96 in each; correlations below 0.01, of squares below 0.05."""
    rows = np.array(square_normals(20))
    assert rows.mean(axis=0) == pytest.approx(0.0, abs=1e-9)
    assert rows.std(axis=0) == pytest.approx(1.0, abs=0.01)
    for values, most in ((rows, 0.01), (rows**2, 0.05)):
        assert np.abs(np.corrcoef(values.T) - np.eye(20)).max() < most
    found = interval(list(rows[:, 3]))
    assert (found.low, found.high) == (pytest.approx(-1.96, abs=0.03), pytest.approx(1.96, abs=0.03))


def test_more_dimensions_than_the_square_has_are_refused() -> None:
    with pytest.raises(ValueError, match="24 dimensions"):
        square_normals(24)


def test_too_few_draws_make_no_interval() -> None:
    with pytest.raises(ValueError, match="too few"):
        interval([1.0] * 39)


def test_two_readings_load_no_numerical_library() -> None:
    """The whole calculator on two readings, in a process of its own."""
    code = (
        "import sys; from baybook_plugins.hold.calculator import hold;"
        "r = hold(start='1100 bar', end='600 bar', time='20 s', volume='25 ± 1 mL', limit='<= 6 mL/min');"
        "assert r['leak_at_line'].low > 0;"
        "print([n for n in ('numpy', 'scipy', 'pint', 'jinja2') if n in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], check=True, capture_output=True, text=True)
    assert done.stdout.strip() == "[]"


def test_no_output_is_without_end() -> None:
    found = estimate(replace(HOLD, end=(109.9, 0.0)), diesel())
    for name in ("leak_at_line", "leak_collected", "bulk_modulus", "equivalent_orifice", "cooling_pressure_drop"):
        assert all(math.isfinite(part) for part in getattr(found, name))


@pytest.mark.parametrize(("start", "end"), [(3.0, 2.7), (1.2, 1.1), (10.0, 9.0)])
def test_a_hold_at_low_pressure_keeps_the_mass_balance(start: float, end: float) -> None:
    """Closed volume: Q = V (p1 - p2)/t (1/K + 1/K_steel), where p1 is near p2. With a doubtful zero no draw falls below
    the return."""
    from baybook import calculate

    readings = {"start": f"{start} ± 0 bar", "end": f"{end} ± 0 bar", "time": "300 ± 0 s", "volume": "25 ± 0 mL"}
    exact = {"temperature": "40 ± 0 °C", "heat": "none", "zero_uncertainty": "0 bar", "rail_modulus": "52000 ± 0 MPa"}
    found = calculate("hold", **readings, **exact)
    give = 1 / found["bulk_modulus"].to("bar").value + 1 / 520000
    assert found["leak_at_line"].to("mL/min").value == pytest.approx(25 * (start - end) / 5.0 * give, rel=0.02)
    wide = calculate("hold", **readings)
    assert 0.0 <= wide["leak_at_line"].low <= wide["leak_at_line"].high < 1.0
