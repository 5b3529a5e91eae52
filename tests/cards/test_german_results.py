"""What a calculator says is German in a German report: run over many inputs, and over whole jobs as they are printed."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from functools import cache
from html import unescape
from importlib.resources import files
from itertools import product
from pathlib import Path
from typing import Any

import pytest

from baybook import calculate
from baybook.cards.translate import has_words
from baybook.errors import InputError
from baybook.jobs.evaluation import work_out
from baybook.jobs.report import report_data
from baybook.jobs.sheet import read_sheet
from baybook.message import Message
from baybook.registry import registry
from baybook.result import Result
from baybook_cards.language import PLACES, language, read_catalogue
from baybook_cards.report import report_html

OWN = tuple(f"baybook_plugins.{name}" for name in ("convert", "returns", "coil", "regulator", "hold"))
GERMAN = language("de", OWN)
ROOT = Path(__file__).parents[2]
WORD = re.compile(r"[^\W\d_]{4,}")
UNITS = re.compile(r"\S+ → \S+")
SAME = {"exponent", "to", ("law", "laminar"), ("fuel", "diesel")}
"""Names and words that are alike in both languages."""


def regulators() -> Iterator[dict[str, Any]]:
    """Every place and rest, pressures low, right and high, drives and currents of every kind, wires that do not pulse."""
    for where, rest, switched in product(("inlet", "outlet", "both"), ("open", "closed"), ("ground", "supply")):
        yield {"where": where, "inlet_at_rest": rest, "outlet_at_rest": rest, "switched": switched, "supply": "14 V"}
    for pressure, duty, current in product((200, 300, 400), (5, 30, 90), (None, "0.2 A", "1.0 A", "2 A", "0.01 A")):
        given = {"where": "inlet", "meter_counts": "low", "pressure": f"{pressure} ± 2 bar", "target": "300 ± 2 bar"}
        given |= {"inlet_duty": f"{duty} %", "inlet_usual_duty": "20 to 40 %"}
        yield given | ({"inlet_current": current, "inlet_expected_current": "1.0 A"} if current else {})
    yield {"where": "both", "pressure": "200 bar", "target": "300 bar", "inlet_duty": "90 %", "inlet_usual_duty": "20 to 40 %",
           "outlet_duty": "90 %", "outlet_usual_duty": "20 to 40 %", "meter_counts": "low", "bleed": True}  # fmt: skip
    yield {"where": "both", "pressure": "400 bar", "target": "300 bar", "meter_counts": "low", "bleed": True,
           "outlet_duty": "10 %", "outlet_usual_duty": "20 to 40 %", "outlet_current": "1 A",
           "outlet_expected_current": "1 A"}  # fmt: skip
    yield {"where": "outlet", "pressure": "200 bar", "target": "300 bar"}
    edge = {"where": "both", "meter_counts": "low", "outlet_duty": "20 ± 1 %", "outlet_usual_duty": "10 to 20 %"}
    for pressure, current in product(("200 bar", "285 ± 20 bar", "400 bar"), ("0.9 ± 0.1 A", "2 A", "0.2 A")):
        yield edge | {"pressure": pressure, "target": "300 bar", "outlet_current": current, "outlet_expected_current": "1 A"}
    for where, checked in product(("inlet", "outlet", "both"), (False, True)):
        given = {"where": where, "meter_counts": "low", "pressure": "900 bar", "target": "300 bar", "sensor_checked": checked}
        for place, duty in (("inlet", "90 %"), ("outlet", "10 %")):
            if where in (place, "both"):
                given |= {f"{place}_duty": duty, f"{place}_usual_duty": "20 to 40 %", f"{place}_current": "1.00 A",
                          f"{place}_expected_current": "1.00 A"}  # fmt: skip
        yield given
    yield {"where": "both", "pressure": "200 bar", "target": "300 bar", "inlet_current": "2 A", "inlet_expected_current": "1 A",
           "outlet_current": "0.2 A", "outlet_expected_current": "1 A"}  # fmt: skip
    for counts, commanded, wire in product(("low", "high", "unknown"), (None, "30 %", "70 %", "50 %"), (None, "4 V", "10 V")):
        given = {"where": "outlet", "meter_counts": counts, "outlet_duty": "30 %", "supply": "14 V"}
        given |= {"outlet_commanded_duty": commanded} if commanded else {}
        yield given | ({"outlet_wire_voltage": wire} if wire else {})
    for switched, wire in product(("ground", "supply"), ("0.1 V", "13.9 V")):
        yield {"where": "outlet", "switched": switched, "supply": "14 V", "outlet_duty": "40 %", "meter_counts": "low",
               "outlet_wire_voltage": wire, "outlet_commanded_duty": "40 %"}  # fmt: skip


def coils() -> Iterator[dict[str, Any]]:
    """Readings open, short, unresolved, low, right, on the edge and high; with and without limit, part and current."""
    readings = ("0.05 ± 0.02 ohm", "0.2 ± 0.5 ohm", "2 ± 0.05 ohm", "2.5 ± 0.05 ohm", "2.9 ± 0.2 ohm", "4 ohm", "90 kohm")
    for reading, limit, part in product(readings, (None, "2.2 to 2.9 ohm", ">= 2.2 ohm"), (None, "injector", "supply-valve")):
        given = {"reading": reading, "temperature": "30 °C", "leads": "0 ± 0 ohm"} | ({"part": part} if part else {})
        yield given | ({"limit": limit} if limit else {})
    drive = {"reading": "3 ohm", "temperature": "20 °C", "supply": "13.5 V", "duty": "25 %", "part": "inlet-valve"}
    yield {"reading": "180 kohm", "temperature": "20 °C", "part": "injector"}
    yield {"reading": "3.2 ± 0.05 ohm", "temperature": "20 °C", "part": "inlet-valve", "limit": "2.6 to 2.7 ohm"}
    yield {"reading": "3.20 ohm", "temperature": "20 °C", "part": "inlet-valve", "limit": "2.6 to 3.15 ohm"}
    for measured in ("0.00 A", "0.5 A", "0.95 A", "2 A"):
        yield drive | {"measured_current": measured, "current_limit": "0.9 to 1.1 A"}
    yield drive | {"duty": "1 %"}
    yield drive | {"coil_inductance": "10 mH", "frequency": "200 Hz", "part": "outlet-valve", "leads": "0.1 ohm"}
    yield drive | {"coil_inductance": "1 mH", "frequency": "50 Hz", "current_limit": "0.9 to 1.1 A"}
    yield {"over_range": True, "part": "injector"}
    parts = ("injector", "inlet-valve", "outlet-valve", "supply-valve")
    for part, reading in product(parts, ("0.5 ± 0.01 ohm", "3 ± 0.01 ohm")):
        yield drive | {"part": part, "number": 3, "reading": reading, "limit": "2.9 to 3.1 ohm", "leads": "0 ± 0 ohm"}
    for measured, limit in product(("0.5 A", "0.95 A", "0.9 ± 0.1 A"), (None, "0.9 to 1.1 A")):
        given = {"supply": "13.5 V", "duty": "25 %", "measured_current": measured, "part": "inlet-valve"}
        yield given | ({"current_limit": limit} if limit else {})
    yield drive | {"measured_current": "0.95 A", "limit": "2.2 to 3.5 ohm", "leads": "0 ± 0 ohm"}
    yield {"reading": "3.1 ohm", "leads": "0.2 ohm", "temperature": "20 °C", "meter_accuracy": "1 %", "meter_digits": 2,
           "meter_resolution": "0.1 ohm"}  # fmt: skip


def collections() -> Iterator[dict[str, Any]]:
    """Two to ten injectors, equal and not, against every limit and none."""
    sets = (["30 mL", "40 mL"], ["30 mL"] * 4, ["30 mL", "31 mL", "29 mL", "62 mL"], ["30 mL", "31 mL", "29 mL", "3 mL"],
            [f"{v} ± 0 mL" for v in (30, 31, 29, 30, 31, 29, 30, 90)])  # fmt: skip
    limits = ({}, {"flow_limit": "<= 45 mL/min"}, {"median_limit": "70 to 150 %"}, {"others_limit": "<= 150 %"},
              {"mean_limit": "<= 150 %"}, {"flow_limit": "20 to 30.5 mL/min", "median_limit": "<= 150 %"},
              {"flow_limit": "<= 30 mL/min"})  # fmt: skip
    for volumes, limit in product(sets, limits):
        yield {"volumes": volumes, "time": "60 s"} | limit
    yield {"volumes": ["0 mL", "0 mL", "1 mL", "2 mL"], "time": "60 s"}
    odd = (["0 mL", "0 mL", "14 mL", "0 mL"], ["30 mL", "31 mL", "-", "29 mL"], ["30 mL", "31 mL", "> 100 mL", "29 mL"],
           ["0 ± 0 mL"] * 3 + ["9 mL"], ["0 mL"] * 4, ["22 mL", "21 mL", "23 mL", "22 mL"], ["14 mL", "14 mL", "0 mL", "14 mL"],
           ["30 mL", "92 mL", "95 mL", "31 mL"], ["> 40 mL", "60 mL", "30 mL", "31 mL"], ["> 100 mL"] * 4)  # fmt: skip
    for volumes, limit in product(odd, ({}, {"flow_limit": "10 to 90 mL/min"}, {"median_limit": "70 to 150 %"})):
        yield {"volumes": volumes, "time": "60 s"} | limit
    for condition, pressure in product(("idle", "raised", "load", "cranking"), ("60 bar", "300 bar")):
        given = {"volumes": odd[1], "time": "60 s", "flow_limit": "<= 90 mL/min", "condition": condition}
        yield given | {"rail_pressure": pressure}
        yield given | {"rail_pressure": pressure, "volumes": ["30 mL"] * 4}
    yield {"volumes": sets[1], "time": "60 s", "delivery": "121 mL/min"}
    yield {"volumes": odd[-1], "time": "60 s", "flow_limit": "<= 45 mL/min"}
    yield {"volumes": sets[1], "time": "60 s", "division": "1 mL", "calibration": "1 %", "cylinders": "one",
           "delivery": "1 L/min"}  # fmt: skip


def holds() -> Iterator[dict[str, Any]]:
    """Two readings with every fuel, tight, leaking and neither, with a limit and without; the captures are in the jobs."""
    ends, limits = ("345 bar", "250 bar", "20 bar"), (None, "<= 1 mL/min", "<= 50 mL/min")
    for fuel, end, limit in product(("diesel", "paraffinic", "n-dodecane", "ester"), ends, limits):
        given = {"volume": "30 mL", "start": "350 bar", "end": end, "time": "60 s", "temperature": "40 ± 1 °C", "fuel": fuel}
        yield given | ({"limit": limit} if limit else {})
    yield {"volume": "30 ± 1 mL", "start": "350 bar", "end": "100 bar", "time": "60 s", "heat": "none", "reference": "300 bar",
           "temperature": "-15 °C"}  # fmt: skip
    read = {"start": "1000 bar", "time": "30 s", "temperature": "40 ± 2 °C", "outlet_valve": "none"}
    known = ({}, {"volume": "30 ± 1 mL"}, {"volume": "30 ± 1 mL", "limit": "<= 0.15 mL/min"})
    for end, more, known_end in product(("1000 bar", "880 bar"), known, ({}, {"end_temperature": "40 ± 1 °C"})):
        yield read | {"end": end} | more | known_end
    for end, most in product(("0 bar", "880 bar"), ("<= 100 bar", "<= 120 bar")):
        yield read | {"end": end, "fall_limit": most, "after": "30 s"}
    yield read | {"start": "30 bar", "end": "20 bar", "volume": "30 mL", "limit": "<= 1 mL/min"}


def conversions() -> Iterator[dict[str, Any]]:
    """Between references, between delivery and flow."""
    yield {"reading": "300 bar(g)", "to": "bar(a)"}
    yield {"reading": "300 bar(a)", "to": "bar(g)", "ambient": "0.98 ± 0.01 bar"}
    yield {"reading": "300 bar(g)", "to": "psi"}
    yield {"reading": "30 mm3/stroke", "to": "mL/min", "engine_speed": "800 rpm", "cylinders": 4}


CASES = {"regulator": regulators, "coil": coils, "returns": collections, "hold": holds, "convert": conversions}


def results(name: str) -> list[Result]:
    """The results of all cases that are no mistakes, and of the calculator's own examples."""
    found = []
    for inputs in (*CASES[name](), *(example.inputs for example in registry().calculator(name).examples)):
        try:
            found.append(calculate(name, **inputs))
        except InputError as error:
            raise AssertionError(f"{inputs}: {error}") from error
    return found


def said(found: Result) -> Iterator[str]:
    """Every text of a result that a report prints, formulas without words left out."""
    for finding in found.findings:
        yield from filter(None, (finding.statement, finding.next_test))
    yield from (*found.notes, *found.sources, *(caution["text"] for caution in found.cautions))
    for step in found.steps:
        yield from (step.what, *filter(has_words, [step.formula]))
    for plot in found.plots:
        yield from filter(None, (plot.title, plot.x_label, plot.y_label, *(series.label for series in plot.series)))


def names(found: Result) -> Iterator[str]:
    """Every name and word of a result's tables, as the report looks them up, in German."""
    units = set(found.outputs) if found.calculator == "convert" else set()
    for name in {*found.inputs, *found.outputs, *(verdict.what for verdict in found.verdicts)} - units:
        if isinstance(name, Message):
            told = GERMAN.told(name) not in (None, name)
        else:
            told = GERMAN.named(name.replace("_", " ")) != name.replace("_", " ")
        if not told and name not in SAME:
            yield name
    words = [(name, value) for name, value in found.outputs.items() if isinstance(value, str)]
    words += [(name, record["value"]) for name, record in found.inputs.items() if isinstance(record.get("value"), str)]
    for name, word in words:
        if name != "to" and (name, word) not in SAME and GERMAN.named(name, word) == word:
            yield f"{name}: {word}"


@pytest.mark.parametrize("name", sorted(CASES))
def test_everything_that_a_calculator_says_is_told_in_german(name: str) -> None:
    found = results(name)
    lacking = {text for result in found for text in said(result) if GERMAN.told(text) is None and not UNITS.fullmatch(text)}
    lacking |= {text for result in found for text in names(result)}
    assert len(found) >= 4
    assert lacking == set()


def test_numbers_survive_the_translation() -> None:
    """Every number of a sentence stands in its German, with a comma."""
    told = [(text, GERMAN.text(text)) for name in CASES for result in results(name) for text in said(result)]
    wrong = [pair for pair in told if sorted(re.findall(r"\d+", pair[0])) != sorted(re.findall(r"\d+", pair[1]))]
    assert len(told) > 500
    assert wrong == []


@cache
def words_of_the_code() -> set[str]:
    """Every longer word of a text, of a parameter's name or of an input's in a group."""
    found = set()
    for folder in ("plugins/baybook_plugins", "toolkit/baybook", "toolkit/baybook_physics", "cards/baybook_cards"):
        for path in (ROOT / folder).rglob("*.py"):
            for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
                if isinstance(node, ast.Constant) and isinstance(node.value, str):
                    found |= set(WORD.findall(node.value.lower()))
                elif isinstance(node, ast.arg):
                    found |= set(node.arg.lower().split("_"))
                elif isinstance(node, ast.AnnAssign) and isinstance(node.target, ast.Name):
                    found |= set(node.target.id.lower().split("_"))
    return found


@pytest.mark.parametrize("package", [*OWN, "baybook_cards"])
def test_no_sentence_of_a_catalogue_is_left_of_one_that_is_gone(package: str) -> None:
    """Every longer word of a message still stands in the code or in a template; tests of the cards compare whole texts."""
    own = read_catalogue(files(package).joinpath("locale", "de", "LC_MESSAGES", f"{package.rpartition('.')[2]}.po"))
    known = words_of_the_code()
    for template in (ROOT / "cards/baybook_cards/templates").iterdir():
        known |= set(WORD.findall(template.read_text(encoding="utf-8").lower()))
    words = {(word, message) for message in own for word in WORD.findall(PLACES.sub("", message).lower())}
    assert len(words) > 40
    assert sorted(pair for pair in words if pair[0] not in known) == []


ENGLISH = re.compile(r"\b(the|of|and|is|are|with|from|not|to|by|at|without|which|that|no)\b", re.IGNORECASE)


@pytest.mark.parametrize("sheet", sorted(path.name for path in (ROOT / "data_demo").glob("*.toml")))
def test_a_german_report_holds_no_english_but_what_was_typed(sheet: str) -> None:
    """Whole demo jobs as they are printed, the user's own texts taken out."""
    data = report_data(work_out(read_sheet(ROOT / "data_demo" / sheet)))
    page = report_html(data, language="de")
    body = re.sub(r"<style>.*?</style>", "", page[page.index("<body") :], flags=re.DOTALL)
    text = unescape(re.sub(r"<[^>]+>", "\n", body))
    typed = [str(value) for value in data["job"].values()]
    typed += [tool[key] for tool in data["instruments"] for key in ("name", "what", "uncertainty")]
    typed += [spec[key] for spec in data["specs"] for key in ("name", "range", "source")]
    for step in data["steps"]:
        typed += [step["title"], step["note"]]
        typed += [record.get("source") or "" for record in (step["result"] or {}).get("inputs", {}).values()]
    for own in sorted(filter(None, typed), key=len, reverse=True):
        text = text.replace(own, "").replace(own[:1].upper() + own[1:], "")
    assert len(text) > 2000
    assert [line for line in text.splitlines() if ENGLISH.search(line)] == []
    lines = [line for line in text.splitlines() if not line.startswith("Quellen:")]  # (chapters of standards keep their points)
    assert [line for line in lines if re.search(r"\d\.\d", line)] == []
