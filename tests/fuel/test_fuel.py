"""The fuel calculator: published tables, and what density, viscosity, look and smell prove."""

from __future__ import annotations

import csv
from pathlib import Path
from typing import Any

import pytest
from CoolProp.CoolProp import PropsSI

from baybook import calculate
from baybook.errors import InputError
from baybook_physics.fuels import fuel_from_table
from baybook_physics.fuels.petroleum import density_at_15

DATA = Path(__file__).parents[1] / "published" / "data"
GOOD = {"density": "833 ± 0.5 kg/m3", "temperature": "15 ± 0.2 °C", "grade": "en590", "look": "clear", "smell": "usual"}


def rows(name: str) -> list[dict[str, str]]:
    with (DATA / name).open(encoding="utf-8") as file:
        return list(csv.DictReader(line for line in file if not line.startswith("#")))


def fuel(**inputs: Any) -> Any:
    return calculate("fuel", **inputs)


@pytest.mark.parametrize("row", rows("petroleum_vcf.csv"), ids=lambda row: f"{row['rho15']} at {row['t_C']}")
def test_density_goes_back_to_15_degrees(row: dict[str, str]) -> None:
    """ASTM D1250-80 Table 54B: every published row, inverted."""
    assert density_at_15(float(row["rho_t_kg_m3"]), float(row["t_C"])) == pytest.approx(float(row["rho15"]), abs=0.04)


def test_the_slope_of_diesels_density() -> None:
    """835 kg/m3 from 15 to 40 °C: -0.716 kg/(m3 K), worked out elsewhere from the same table's formula."""
    found = fuel(density="817.1 ± 0 kg/m3", temperature="40 ± 0 °C")["density_15"].value
    assert (817.1 - found) / 25 == pytest.approx(-0.716, rel=1e-2)


def test_ester_has_a_slope_of_its_own() -> None:
    """Methyl oleate between 15 and 30 °C by CoolProp: within 0.3 kg/m3."""
    at_30, at_15 = (PropsSI("D", "T", t + 273.15, "P", 101325, "MethylOleate") for t in (30, 15))
    found = fuel(density=f"{at_30:.1f} ± 0 kg/m3", temperature="30 ± 0 °C", ester="100 %")["density_15"]
    assert found.value == pytest.approx(at_15, abs=0.3) and found.low < at_15 < found.high


@pytest.mark.parametrize("row", rows("viscosity_temperature.csv"), ids=lambda row: f"{row['nu_at_40C']} at {row['t_C']}")
def test_viscosity_over_temperature(row: dict[str, str]) -> None:
    """Walther's line, computed elsewhere; rows that leave the low term out differ below 2 mm2/s."""
    if not -25 <= float(row["t_C"]) <= 90:
        return
    found = fuel(viscosity=f"{row['nu_at_40C']} ± 0 mm2/s", viscosity_temperature="40 ± 0 °C", there=f"{row['t_C']} ± 0 °C",
                 second_viscosity=f"{row['nu_at_20C']} ± 0 mm2/s", second_temperature="20 ± 0 °C")  # fmt: skip
    assert found["viscosity_there"].value == pytest.approx(float(row["nu_low"]), rel=5e-3)


def test_what_cold_does_to_other_tests() -> None:
    """4.5 at 20 and 2.8 at 40 °C: at -10 °C a filter's drop is 4.666 times that at 40 °C (Darcy, computed elsewhere)."""
    found = fuel(viscosity="2.8 ± 0 mm2/s", viscosity_temperature="40 ± 0 °C", second_viscosity="4.5 ± 0 mm2/s",
                 second_temperature="20 ± 0 °C", there="-10 ± 0 °C", density="836 ± 0 kg/m3",
                 temperature="15 ± 0 °C")  # fmt: skip
    assert found["drop_factor"].value == pytest.approx(4.666, rel=5e-3)
    assert found["leak_factor"].value == pytest.approx(1 / 4.666, rel=5e-3)
    assert any("as thick as at 40 °C" in note for note in found.notes) and any("cloud point" in note for note in found.notes)


def test_one_viscosity_alone_is_carried_with_a_wide_slope() -> None:
    """n-Dodecane by CoolProp from 40 to 0 °C lies in the interval."""
    nu = {t: PropsSI("V", "T", t + 273.15, "P", 101325, "n-Dodecane") / PropsSI("D", "T", t + 273.15, "P", 101325, "n-Dodecane")
          for t in (0, 40)}  # fmt: skip
    found = fuel(viscosity=f"{nu[40] * 1e6:.4f} ± 0 mm2/s", viscosity_temperature="40 ± 0 °C", there="0 ± 0 °C")[
        "viscosity_there"
    ]
    assert found.low < nu[0] * 1e6 < found.high and found.high > found.low * 1.05


def test_a_density_within_its_range_clears_nothing_by_itself() -> None:
    """5 % petrol moves 835 kg/m3 by 4.75 (volume mixing): inside a range of 25."""
    (one,) = fuel(density="830.3 ± 0.5 kg/m3", temperature="15 ± 0 °C", grade="en590").findings
    assert one.strength == "undecided" and "petrol, water and dirt do not show so" in one.statement
    (all_good,) = fuel(**GOOD).findings
    assert all_good.strength == "cleared" and fuel(**GOOD).outputs["state"] == "as it should be"


def test_petrol_that_is_smelt_stands_beside_a_good_density() -> None:
    found = fuel(**(GOOD | {"smell": "petrol"}))
    assert [f.strength for f in found.findings] == ["undecided", "indicated"]
    assert (
        "key off and out, no flame, do not switch on" in found.findings[1].next_test
        and found.outputs["state"] == "contaminated"
    )


def test_free_water_is_proven_by_the_eye() -> None:
    (one,) = fuel(look="water").findings
    assert (one.stage, one.side, one.strength) == ("supply", "hydraulic", "proven")


@pytest.mark.parametrize(
    ("read", "says"), [("805 ± 0.5 kg/m3", "winter grade, kerosine"), ("858 ± 0.5 kg/m3", "ester, heating oil")]
)
def test_a_density_beyond_the_range_says_which_way(read: str, says: str) -> None:
    (one,) = fuel(density=read, temperature="15 ± 0.2 °C", grade="en590").findings
    assert one.strength == "indicated" and says in one.statement


def test_a_warm_sample_is_not_called_too_light() -> None:
    """815 kg/m3 is below 820; read at 40 °C it is 833 at 15 °C."""
    found = fuel(density="815 ± 0.5 kg/m3", temperature="40 ± 0.5 °C", grade="en590")
    assert found.verdicts[0].verdict == "within"


def test_a_range_that_is_typed_in_comes_before_the_grades() -> None:
    found = fuel(density="812 ± 0.5 kg/m3", temperature="15 ± 0.2 °C", grade="en590", density_limit="800 to 830 kg/m3; note 7")
    assert [verdict.verdict for verdict in found.verdicts] == ["within"]


def test_a_decimal_comma_and_other_units_change_nothing() -> None:
    plain = fuel(density="815.4 ± 0.5 kg/m3", temperature="40 ± 1 °C")["density_15"]
    for other in (fuel(density="815,4 ± 0,5 kg/m3", temperature="40 ± 1 °C"),
                  fuel(density="0.8154 ± 0.0005 g/cm3", temperature="104 ± 1.8 °F")):  # fmt: skip
        found = other["density_15"]
        assert (found.value, found.low, found.high) == pytest.approx((plain.value, plain.low, plain.high))


@pytest.mark.parametrize(
    ("inputs", "named"),
    [
        ({}, "density"),
        ({"density": "830 kg/m3"}, "temperature"),
        ({"density": "660 kg/m3", "temperature": "-20 °C"}, "density"),
        (
            {
                "viscosity": "3 mm2/s",
                "viscosity_temperature": "40 °C",
                "second_viscosity": "3.1 mm2/s",
                "second_temperature": "38 °C",
            },
            "second_temperature",
        ),
        ({"look": "green"}, "look"),
    ],
)
def test_what_does_not_fit_is_said_in_a_line(inputs: dict[str, str], named: str) -> None:
    with pytest.raises(InputError) as caught:
        fuel(**inputs)
    assert named in [problem.input for problem in caught.value.problems]


def test_a_blend_of_any_share_is_a_fuel() -> None:
    """15 % of 880 in 832.5 kg/m3 by volume mixing: 839.6; what is known of the blend itself comes first."""
    table = {"name": "b15", "ester_pct": 15, "sources": ["delivery note"]}
    assert fuel_from_table(table).density(15.0, 0.101325) == pytest.approx(0.85 * 832.5 + 0.15 * 880.0, abs=0.05)
    assert fuel_from_table(table | {"density_15C": 842}).density(15.0, 0.101325) == pytest.approx(842, abs=0.05)
    with pytest.raises(InputError, match="density_15C is missing"):
        fuel_from_table({"name": "x", "sources": ["y"]})


def test_a_job_hears_what_was_seen() -> None:
    """As answers of the sense: water speaks against the tank's fuel, a clear sample for it, density alone as its verdict."""
    told = {word: [(a.question, a.conforms) for a in fuel(look=word).answers] for word in ("water", "clear")}
    assert told == {"water": [("water", pytest.approx(0.01))], "clear": [("seen and smelt", 0.95)]}
