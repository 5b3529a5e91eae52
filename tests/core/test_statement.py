"""Rules, statements, judging and offering as data: the guide's own example, and what of it goes wrong in one clear line."""

from __future__ import annotations

import re
import sys
from collections.abc import Iterator
from importlib import import_module
from pathlib import Path
from types import ModuleType

import pytest

from baybook.api import (
    AnyOf,
    Apart,
    Calculator,
    Estimate,
    Finding,
    InputError,
    Reading,
    Sense,
    SpecRange,
    Statement,
    at_parts,
    at_places,
    judge,
    judge_all,
    propagate,
    propagate_each,
)
from baybook.dataclass import replace
from baybook.errors import PluginError
from baybook.plugins.loader import load_offers
from baybook.rules import involved
from baybook.testing import CHECKS
from baybook.testing.catalogues import templates_in_code

GUIDE = Path(__file__).resolve().parents[2] / "DEVELOPERS.md"


@pytest.fixture
def guide(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[ModuleType]:
    """The module that the guide's example is."""
    found = re.search(r"File `offers/battery_plugin.py`:\n\n```python\n(.*?)```", GUIDE.read_text("utf-8"), re.DOTALL)
    assert found
    (tmp_path / "battery_plugin_of_the_guide.py").write_text(found[1], encoding="utf-8")
    monkeypatch.syspath_prepend(str(tmp_path))
    yield import_module("battery_plugin_of_the_guide")
    del sys.modules["battery_plugin_of_the_guide"]


def said(calculator: Calculator, **inputs: object) -> list[tuple[str, str, str]]:
    return [(str(f.statement), f.strength, str(f.next_test)) for f in calculator(**inputs).findings]


def test_the_guides_example_keeps_every_promise_and_says_what_it_states(guide: ModuleType) -> None:
    calculator: Calculator = guide.battery_cells
    assert [fault for check in CHECKS for fault in check.faults(calculator)] == []
    given = {"cells": ["1.28 ± 0.005 g/cm3", "1.12 ± 0.005 g/cm3"], "limit": "min 1.24 g/cm3"}
    assert said(calculator, **given) == [
        ("cell 2 has 1.1200 g/cm3, outside at least 1.24 g/cm3, and its acid is clear", "indicated", "charge it; measure again")
    ]
    assert [strength for _, strength, _ in said(calculator, **given, dark="yes")] == ["proven"]
    assert said(calculator, cells=["1.28 ± 0.005 g/cm3", "1.27 ± 0.005 g/cm3"], limit="min 1.24 g/cm3") == [
        ("all 2 cells are within at least 1.24 g/cm3", "cleared", "the voltage while cranking")
    ]
    told = calculator(**given)
    assert told.vector("share")[1].value == pytest.approx(87.5)  # type: ignore[union-attr]
    assert (told["spread"].value, told["spread"].u) == pytest.approx((160.0, 5.0 / 1.96 * 2**0.5), rel=1e-3)


def test_what_a_module_declares_is_on_offer_without_a_hook(guide: ModuleType) -> None:
    assert load_offers(guide.__name__).calculators == (guide.battery_cells,)
    guide.convert = load_offers("baybook_plugins.convert.calculator").calculators[0]  # only imported there
    assert load_offers(guide.__name__).calculators == (guide.battery_cells,)


def test_one_of_several_inputs_is_given_and_two_apart_are_not_given_together(guide: ModuleType) -> None:
    with pytest.raises(InputError) as error:
        guide.battery_cells()
    assert str(error.value) == (
        "cells: is missing, and so is every other reading; give the density of each cell, or sealed where none can be opened"
    )
    assert guide.battery_cells(sealed="yes").notes
    apart = Apart("cells", "sealed", "is given beside sealed", "leave one of them out")
    strict = replace(guide.battery_cells, rules=(apart,))
    with pytest.raises(InputError, match="is given beside sealed; leave one of them out"):
        strict(cells=["1.28 g/cm3"], sealed="yes")
    assert involved(strict, apart) == {"cells", "sealed"}
    assert involved(strict, AnyOf(("cells", "dark"), "give one")) == {"cells", "dark"}


def test_a_rule_as_data_names_inputs_that_there_are(guide: ModuleType) -> None:
    options = {name: getattr(guide.battery_cells, name) for name in ("title", "stage", "side", "proves", "outputs", "cautions",
                                                                    "sources", "examples")}  # fmt: skip
    for rule in (AnyOf(("cells", "acid"), "give one"), Apart("cells", "acid", "is given twice")):
        with pytest.raises(PluginError, match="a rule is about 'acid', no input"):
            guide.calculator(**options, rules=[rule])(guide.battery_cells.function)


def test_a_statement_fills_in_what_its_sentence_asks_for_of_a_verdict() -> None:
    verdict = judge("flow", Estimate.of(60.0, "mL/min", 0.5), SpecRange(None, 50.0, "mL/min"), index=3)
    some = Statement("injector {number}: {value} is outside {range}, {share} of the others", "indicated", "its return")
    assert some.on(verdict, share="twice") == Finding(
        "", "", "injector 3: 60.00 mL/min is outside at most 50 mL/min, twice of the others", "indicated", "its return"
    )
    assert Statement("wet", "proven", stage="storage", side="hydraulic").finding().stage == "storage"
    with pytest.raises(PluginError, match="share"):
        some.on(verdict)


def test_every_output_with_a_limit_is_judged_in_the_order_of_the_limits() -> None:
    flows = (Reading.of(40.0, "mL/min", u95=1.0), None, Estimate.of(70.0, "mL/min", 0.5))
    found = {"state": "open", "flow": flows, "drop": Reading.of(0.4, "V", u95=0.01)}
    limits = {"drop": SpecRange(None, 0.5, "V"), "flow": SpecRange(None, 50.0, "mL/min"), "lost": SpecRange(0.0, None, "V"),
              "state": SpecRange(0.0, None, "V"), "other": None}  # fmt: skip
    told = [(verdict.what, verdict.index, verdict.verdict) for verdict in judge_all(found, limits)]
    assert told == [("drop", None, "within"), ("flow", 1, "within"), ("flow", 3, "outside")]


def test_a_function_of_one_number_gives_one_estimate_and_a_vector_keeps_its_places() -> None:
    """R = U / I: 1 % and 1 % make 1.414 % (JCGM 100:2008, 5.1.2)."""
    u, i = Reading.of(10.0, "V", u95=0.1), Reading.of(2.0, "A", u95=0.02)
    found = propagate(lambda u, i: u / i, "resistance", u=u, i=i)
    assert (found.value, found.high - found.value) == pytest.approx((5.0, 5.0 * 0.01 * 2**0.5), rel=1e-2)
    assert found.kind is not None
    both = propagate_each(lambda xs: [100 * x / sum(xs) for x in xs], "%", (u, None, u.to("mV")), "V")
    assert [one and one.value for one in both] == [pytest.approx(50.0), None, pytest.approx(50.0)]
    assert both[0] is not None and both[0].u == pytest.approx(0.0, abs=1e-9)  # the same reading twice moves as one


def test_a_part_and_a_place_are_named_by_inputs() -> None:
    assert at_places("injector *", "filter") == {"injector *": {"place": "{object}"}, "filter": {"place": "{object}"}}
    found = Sense.one({"{object} coil": 0.9}, 5.0, objects=at_parts("injector *", "inlet valve"))
    assert found.inputs_for("injector 3") == {"part": "injector", "number": "3"}
    assert found.object_of({"part": "inlet-valve"}) == "inlet valve"


def test_a_catalogue_is_asked_for_what_a_statement_says(tmp_path: Path) -> None:
    file = tmp_path / "findings.py"
    file.write_text(
        'WEAK = "cell {number} is weak"\nTHEN = Message("charge it")\nONE = Statement(WEAK, "indicated", THEN)\n'
        'OTHER = Statement("all is well", "cleared", next_test="the voltage")\n'
    )
    assert set(templates_in_code([file])) == {"cell {number} is weak", "charge it", "all is well", "the voltage"}
