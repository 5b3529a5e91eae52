"""The system map, from nothing known to everything said."""

from __future__ import annotations

import subprocess
import sys

import pytest
from tests.places.conftest import VAN, coil

from baybook.errors import InputError, PluginError
from baybook.jobs.offered import senses
from baybook.places.archive import base_rates
from baybook.places.complaint import COMPLAINTS, complaint
from baybook.places.conclusion import conclude
from baybook.places.evidence import Evidence
from baybook.places.fitted import Fitted
from baybook.places.hypotheses import WORN
from baybook.places.known import unknown_patterns
from baybook.places.place import Place
from baybook.places.sense import Sense
from baybook.places.system import SystemMap


def names(system):
    return [place.name for place in system.places]


def test_the_generic_map_has_every_part_and_says_what_is_not_known_to_be_fitted():
    generic = SystemMap.of()
    assert {"tank pump", "intermediate pump", "suction pump", "inlet valve", "outlet valve", "injector 4"} <= set(
        names(generic)
    )
    assert not generic.place("outlet valve").known
    assert generic.place("rail and joints").known
    assert set(generic.unknown()) == set(Fitted.__dataclass_fields__)
    begin = conclude([], generic).chances
    assert begin["outlet valve"] == pytest.approx(begin["rail and joints"] / 2, rel=0.01)


def test_what_is_fitted_is_on_the_map_and_nothing_else(van):
    assert "suction pump" not in names(van) and "tank pump" in names(van)
    assert [n for n in names(van) if n.endswith("coil")] == [
        "inlet valve coil", "outlet valve coil", *(f"injector {n} coil" for n in range(1, 5)),
    ]  # fmt: skip
    assert van.unknown() == ()
    assert SystemMap.from_table({"outlet_valve": False, "inlet_valve": True}).fitted.outlet_valve == "none"
    without = SystemMap.from_table({"filter": False})
    assert "filter" not in names(without) and "overflow valve" in names(without)


def test_an_outlet_valve_belongs_to_the_stage_that_it_sits_on():
    assert SystemMap.from_table({"outlet_valve": "pump"}).place("outlet valve").stage == "generation"
    assert SystemMap.from_table({"outlet_valve": "rail"}).place("outlet valve").stage == "storage"


def test_places_of_one_stage_count_alike_beforehand(van):
    begin = conclude([], van).chances
    for stage in ("supply", "generation", "delivery"):
        alike = {round(begin[place.name], 12) for place in van.places if place.stage == stage and place.kind != WORN}
        assert len(alike) == 1
        wearing = [place.name for place in van.places if place.kind == WORN and place.stage == stage]
        if wearing:  # that any of them is at fault is as likely as for so many other places
            assert conclude([], van).of_any(wearing) == pytest.approx(len(wearing) * alike.pop(), rel=0.05)


@pytest.mark.parametrize(("table", "line"), [
    ({"injektors": 4}, '[system]: "injektors" is not known there; did you mean injectors?'),
    ({"injectors": 0}, '[system], injectors: "0" is not a possible number; give 1 to 24'),
    ({"injectors": True}, '[system], injectors: "True" is not a possible number; give 1 to 24'),
    ({"filter": "yes"}, '[system], filter: "yes" is neither true nor false; write true or false'),
    ({"returns": "both"}, '[system], returns: "both" is not one of the known words; use separate, common'),
    ({"low_pressure": ["tank"]}, '[system], low_pressure: "[\'tank\']" is not a list of known parts, each once; '
                                 "use of tank pump, intermediate pump, suction pump"),
    ({"open_at_rest": ["outlet valve"], "outlet_valve": "none"},
     '[system], open_at_rest: "outlet valve" is said not to be fitted; leave it out, or change outlet_valve'),
])  # fmt: skip
def test_a_wrong_entry_is_one_clear_line(table, line):
    with pytest.raises(InputError) as refused:
        SystemMap.from_table(table)
    assert str(refused.value) == line


def test_all_wrong_entries_are_told_at_once():
    with pytest.raises(InputError) as refused:
        SystemMap.from_table({"injectors": 99, "filter": 3, "colour": "red"})
    assert len(refused.value.problems) == 3


def test_a_generic_map_grows_to_the_injectors_that_were_tested():
    found = conclude([coil(1, "injector 6", 0.001)])
    assert found.standings[0].place.name == "injector 6 coil"
    assert "injector 5" in names(found.system)
    assert "injectors" in found.system.unknown()


def test_a_plugin_may_add_a_place_and_not_take_a_name():
    cooler = Place("fuel cooler", "supply", "hydraulic", "the fuel cooler")
    system = SystemMap.from_table(VAN, [cooler])
    found = conclude([Evidence(1, "acme-cooler", factors={"fuel cooler": 50.0})], system)
    assert found.standings[0].place is cooler
    with pytest.raises(PluginError, match="two places have the name 'filter'"):
        SystemMap.from_table(VAN, [Place("filter", "supply", "hydraulic", "another filter")])


def test_every_reach_of_the_usual_tests_is_on_a_place_that_can_be_drawn():
    """A misspelt place in a sense would silently reach nothing."""
    found = {name: list(unknown_patterns(sense, sense.places)) for name, sense in senses().items()}
    assert found == {name: [] for name in found}
    misspelt = Sense.one({"filtre": 0.5, "{object} coils": 0.5, "filter": 0.5}, 5.0, objects=("injektor *", "injector *"),
                         fitted={"return": ("common",), "returns": ("common",)})  # fmt: skip
    assert list(unknown_patterns(misspelt)) == ["return", "injektor *", "filtre", "{object} coils"]


def test_a_complaint_lowers_no_fault_and_points_where_it_belongs(van):
    before = conclude([], van).chances
    any_complaint = conclude([complaint(van)], van).chances
    assert any_complaint["no fault"] < 0.1 * before["no fault"]
    for word in COMPLAINTS:
        assert conclude([complaint(van, word)], van).chances["no fault"] < 0.03
    uneven = conclude([complaint(van, "runs unevenly")], van).chances
    assert uneven["injector 1 coil"] > 3 * uneven["filter"]
    with pytest.raises(InputError, match="did you mean lacks power"):
        complaint(van, "lack power")


def test_few_finished_jobs_change_little_and_many_change_much(van):
    even = base_rates({}, van)
    assert sum(even.values()) == pytest.approx(1.0)
    few, many = base_rates({"injector 3": 2}, van), base_rates({"injector *": 900, "a turbine": 5}, van)
    assert even["injector *"] < few["injector *"] < 1.5 * even["injector *"]
    assert many["injector *"] > 0.9
    begin = conclude([], van, many).chances
    assert begin["injector 1"] == pytest.approx(begin["injector 4"])
    assert begin["injector 1"] > 10 * begin["filter"]


def test_it_needs_no_numerical_library():
    code = (
        "import sys, baybook.places; print([m for m in ('numpy', 'scipy', 'typing_extensions', 'tomlkit') if m in sys.modules])"
    )
    assert subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout.strip() == "[]"
