"""A fuel that the user describes in TOML, and the fuels on offer."""

from __future__ import annotations

from pathlib import Path

import pytest

from baybook.api import InputError, find_fuel
from baybook_physics.fuels import diesel, fuel_from_file, fuel_from_table
from baybook_plugins.fuels.offers import baybook_fuels

GOOD = """
name = "bench-oil"
title = "The oil of our bench"
density_15C = 826.0
density_u95 = 1.0
viscosity_40C = 2.6
modulus_15C = 1350.0
modulus_u95_pct = 4.0
tait_c = 0.088
sources = ["its data sheet"]
"""


def test_a_described_fuel_has_what_was_written(tmp_path: Path) -> None:
    path = tmp_path / "oil.toml"
    path.write_text(GOOD, encoding="utf-8")
    fuel = find_fuel(str(path))
    assert (fuel.name, fuel.title) == ("bench-oil", "The oil of our bench")
    assert fuel.density(15.0, 0.101325) == pytest.approx(826.0)
    assert fuel.isothermal_modulus(15.0, 0.101325) == pytest.approx(1350.0)
    assert fuel.relative_uncertainty("isothermal_modulus", 15.0, 0.101325) == pytest.approx(0.04 / 1.96, rel=1e-3)
    assert "its data sheet" in fuel.sources


def test_what_is_left_out_follows_from_the_density() -> None:
    """Expansion, modulus and heat capacity are those of a diesel of that density."""
    table = {"name": "x", "density_15C": 835.0, "viscosity_40C": 2.7, "sources": ["sheet"]}
    fuel, plain = fuel_from_table(table), diesel(835.0, None, 2.7)
    assert fuel.isentropic_modulus(40.0, 80.0) == pytest.approx(plain.isentropic_modulus(40.0, 80.0))
    assert fuel.viscosity(40.0, 80.0) == pytest.approx(plain.viscosity(40.0, 80.0))


def test_everything_wrong_is_said_at_once() -> None:
    table = {"title": 7, "density_15C": 8350.0, "viscosity_40C": "thin", "modulus": 1.4, "tait_c": True, "sources": []}
    with pytest.raises(InputError) as caught:
        fuel_from_table(table, "oil.toml")
    lines = str(caught.value).splitlines()
    assert [line.split('"oil.toml" ')[1].split(":")[0].split(" is ")[0] for line in lines] == [
        "name", "modulus", "density_15C", "viscosity_40C", "tait_c", "sources", "title",
    ]  # fmt: skip
    assert "give 760 to 900 kg/m3" in str(caught.value)


@pytest.mark.parametrize("text", ["name = ", "\x00", 'name = "x"'])
def test_a_file_that_is_no_fuel_is_refused_in_one_line_each(tmp_path: Path, text: str) -> None:
    path = tmp_path / "bad.toml"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(InputError) as caught:
        fuel_from_file(str(path))
    assert all(str(path) in line for line in str(caught.value).splitlines())


def test_a_missing_file_is_named() -> None:
    with pytest.raises(InputError, match=r"nowhere\.toml"):
        find_fuel("nowhere.toml")


def test_every_fuel_on_offer_is_made_and_says_its_sources() -> None:
    names = []
    for offer in baybook_fuels():
        fuel = offer.make()
        names.append(offer.name)
        assert fuel.sources
        assert fuel.name == offer.name
        assert 600.0 < fuel.density(40.0, 80.0) < 1000.0
    assert names == ["diesel", "iso4113", "paraffinic", "ester", "b7", "b10", "b20", "b30", "n-dodecane"]


def test_a_pure_substance_takes_no_density() -> None:
    from baybook.reading import parse

    with pytest.raises(InputError, match="n-dodecane, a pure substance"):
        find_fuel("n-dodecane", density=parse("835 kg/m3"))


def test_a_density_that_cannot_be_is_refused_by_name() -> None:
    from baybook.reading import parse

    with pytest.raises(InputError, match="density: "):
        find_fuel("diesel", density=parse("835 g/cm3"))
