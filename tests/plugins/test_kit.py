"""The conformance kit: a calculator that keeps every promise passes every check, and each promise broken fails its own.

Each fault below is one that an author makes; the check that has to notice it is named, and the words it says.
"""

from __future__ import annotations

import dataclasses
import importlib
import os
import random
import socket
from collections.abc import Callable
from pathlib import Path
from typing import Annotated, Any

import pytest

from baybook.api import (
    KINDS,
    MAKERS_DATA,
    Action,
    Calculator,
    CardOffer,
    Caution,
    Estimate,
    Example,
    Finding,
    FuelOffer,
    Halt,
    Limits,
    Meaning,
    Output,
    Plot,
    Procedure,
    Quantity,
    Question,
    Reading,
    Result,
    Sense,
    Senses,
    Series,
    SpecRange,
    Verdict,
    calculator,
    guarded,
    judge,
    pressure_difference,
    propagate,
    readings,
    spec_range,
)
from baybook.errors import BaybookError, Refused
from baybook.places.halt import Halted
from baybook.testing import CHECKS, NotChecked, catalogue_text, conformance, declaration, nets, offered, process_checks

Compute = Callable[[Reading, SpecRange | None], Result]


def honest(pressure: Reading, limit: SpecRange | None) -> Result:
    found = propagate(lambda pressure: {"double": 2 * pressure}, {"double": "bar"}, pressure=pressure.to("bar"))
    verdicts = (judge("twice", found["double"], limit),) if limit else ()
    return Result(found, verdicts=verdicts, findings=(Finding("storage", "hydraulic", "it is so", "indicated"),))


def declared(compute: Compute = honest, **changes: Any) -> Calculator:
    """A calculator that keeps every promise, but for what is changed."""
    field = changes.pop("field", pressure_difference("the pressure", symbol="p", at_least="0 bar", below="20 bar"))
    allowed = changes.pop("allowed", spec_range("pressure difference", "the most allowed"))

    def twice(
        pressure: Annotated[Reading, field],
        limit: Annotated[SpecRange | None, allowed] = None,
    ) -> Result:
        """Double a pressure."""
        return compute(pressure, limit)

    twice.__module__ = "json"  # a module that a fresh process can import, light and without catalogues
    twice.__annotations__ = {
        "pressure": Annotated[Reading, field],
        "limit": Annotated[SpecRange | None, allowed],
    }
    made = calculator(
        title="Twice", stage="storage", side="hydraulic", proves="nothing; it is made for a test",
        cautions=[MAKERS_DATA], sources=["arithmetic"], formulas=["d = 2 · p"], procedure=["Read the gauge."],
        meanings=[Meaning("any", "nothing", "nothing")],
        outputs={"double": Output("pressure difference", "twice the pressure", symbol="d")},
        examples=[Example({"pressure": "1 ± 0.1 bar", "limit": "<= 3 bar"}, {"double": (2.0, "bar", 1e-9)}, "arithmetic")],
    )(twice)  # fmt: skip
    return dataclasses.replace(made, **changes)


def faults_of(calculator: Calculator, name: str) -> list[str]:
    return next(check for check in CHECKS if check.name == name).faults(calculator)


test_a_calculator_that_keeps_every_promise_passes = conformance(declared())


def narrowing(pressure: Reading, limit: SpecRange | None) -> Result:
    bar = pressure.to("bar")
    return Result({"double": Estimate.of(2 * bar.value, "bar", 1 / (1 + bar.u))})


def certain(pressure: Reading, limit: SpecRange | None) -> Result:
    return Result({"double": Estimate.of(2 * pressure.to("bar").value, "bar")})


def in_the_unit_typed(pressure: Reading, limit: SpecRange | None) -> Result:
    """The classic: the number is taken, whatever its unit."""
    return Result({"double": Estimate.of(2 * pressure.value, "bar", 2 * pressure.u)})


def limit_in_the_unit_typed(pressure: Reading, limit: SpecRange | None) -> Result:
    result = honest(pressure, limit)
    assert limit is not None
    return dataclasses.replace(result, verdicts=(judge("twice", result["double"], SpecRange(0.0, limit.high, "bar")),))


def at_random(pressure: Reading, limit: SpecRange | None) -> Result:
    return Result({"double": Estimate.of(2 * pressure.to("bar").value + random.random() * 1e-12, "bar", pressure.to("bar").u)})


def chatty(pressure: Reading, limit: SpecRange | None) -> Result:
    print("debugging")
    return honest(pressure, limit)


def whitewashing(pressure: Reading, limit: SpecRange | None) -> Result:
    result = honest(pressure, None)
    return dataclasses.replace(result, findings=(Finding(statement="all is well", strength="cleared"),))


def failing(pressure: Reading, limit: SpecRange | None) -> Result:
    raise ZeroDivisionError("division by zero")


def other_finding(pressure: Reading, limit: SpecRange | None) -> Result:
    strength = "proven" if pressure.unit.symbol == "bar" else "cleared"
    return dataclasses.replace(honest(pressure, limit), findings=(Finding("storage", "hydraulic", "so", strength),))


def not_text(pressure: Reading, limit: SpecRange | None) -> Result:
    return dataclasses.replace(honest(pressure, limit), notes=(7,))  # type: ignore[arg-type]  # an author's mistake


WORDED = {**declared().outputs, "word": Output("word", "in a word", always=False)}
PARTS = {"parts": Output("pressure difference", "of each", symbol="x", each="injector")}


def in_words(word: str = "low", only: str = "") -> Compute:
    """Say it in a word too, where the pressure is in that unit."""

    def compute(pressure: Reading, limit: SpecRange | None) -> Result:
        said = {"word": word} if only in ("", pressure.unit.symbol) else {}
        return dataclasses.replace(honest(pressure, limit), outputs={**honest(pressure, limit).outputs, **said})

    return compute


def of_two(measured: str = "") -> Compute:
    """One of two injectors, both where the pressure is in that unit."""

    def compute(pressure: Reading, limit: SpecRange | None) -> Result:
        one = Estimate.of(pressure.to("bar").value, "bar", pressure.to("bar").u)
        return Result({"parts": (one, one if pressure.unit.symbol == measured else None)})

    return compute


def expecting(outputs: dict[str, Any]) -> tuple[Example, ...]:
    return (dataclasses.replace(EXAMPLE, outputs=outputs),)


def undecided(pressure: Reading, limit: SpecRange | None) -> Result:
    result = honest(pressure, None)
    verdicts = (Verdict("double", "undecided", 0.5, limit, result["double"]),) if limit else ()
    return dataclasses.replace(result, verdicts=verdicts)


def at_random_on_the_card(values: Any) -> tuple[Plot, ...]:
    line = Series(f"line {random.random()}", (0.0, 1.0), (0.0, 1.0))
    return (Plot("Fall", "time", "s", "pressure", "bar", (line,)),)


class Credulous(Quantity):
    """Takes whatever it is given."""

    def parse(self, raw: Any) -> Reading:
        try:
            return super().parse(raw)
        except Refused:
            return super().parse("1 bar")


EXAMPLE = Example({"pressure": "1 ± 0.1 bar"}, {"double": (2.0, "bar", 1e-9)}, "arithmetic")


class CredulousLimits(Limits):
    """Takes whatever range it is given."""

    def parse(self, raw: Any) -> SpecRange:
        return spec_range("pressure difference", self.help).parse(raw)


class Crashing(Quantity):
    """Fails on text that it does not understand."""

    def parse(self, raw: Any) -> Reading:
        return super().parse(raw) if "abc" not in str(raw) else super().parse(str(int(raw)))


def pressure_field(make: type[Quantity], **options: Any) -> Quantity:
    plain = pressure_difference("the pressure")
    return make(plain.help, kind=plain.kind, **options)


def range_field(**options: Any) -> Limits:
    return CredulousLimits("the most allowed", kind=KINDS["pressure difference"], **options)


LIMITED = {"at_least": "0 bar", "below": "10 bar"}
FAULTS: dict[str, tuple[str, Calculator, str]] = {
    "no formula": ("declaration complete", declared(formulas=()), "has no formulas; the card and the help show one"),
    "no help": ("declaration complete", declared(field=pressure_difference(" ")), "input pressure says nothing about itself"),
    "no procedure": ("declaration complete", declared(procedure=()), "has no procedure; the card needs them"),
    "no source": ("declaration complete", declared(examples=(dataclasses.replace(EXAMPLE, source=""),)),
        "example 1 has no source"),
    "unknown expected": (
        "declaration complete", declared(examples=(dataclasses.replace(EXAMPLE, outputs={"treble": (3.0, "bar", 1.0)}),)),
        "example 1 expects treble, which is not declared",
    ),
    "no outputs": ("declaration complete", declared(outputs={}), "declares no outputs"),
    "nothing expected": ("declaration complete", declared(examples=expecting({})), "example 1 expects no output"),
    "no such unit": (
        "units parse", declared(outputs={"double": Output("pressure difference", "twice", unit="bor")}),
        "output double is in bor, which is no unit",
    ),
    "no such unit of any kind": (
        "units parse", declared(outputs={"double": Output("any", "twice", unit="kN2")}),
        "output double is in kN2, which is no unit",
    ),
    "limit in another kind": (
        "units parse", declared(field=pressure_difference("the pressure", above="0 s")),
        "input pressure: a limit is a time; give a pressure difference, such as 12 bar",
    ),
    "usual range in another kind": (
        "units parse", declared(field=pressure_difference("the pressure", usual_range=("1 s", "2 s"))),
        "input pressure: a limit is a time; give a pressure difference, such as 12 bar",
    ),
    "usual beyond limit": (
        "units parse", declared(field=pressure_difference("the pressure", below="10 bar", usual="12 bar")),
        'input pressure: the reading shown as an example, "12 bar", is not possible here; give a value below 10 bar',
    ),
    "misspelt place": (
        "sense of places", declared(sense=Sense.one({"filtre": 0.8, "filter": 0.8}, 10.0)),
        "its sense speaks of 'filtre', a place that no vehicle has",
    ),
    "symbol": (
        "cautions present", declared(cautions=(dataclasses.replace(MAKERS_DATA, symbols=("hand",)),)),
        "a caution has the symbol 'hand'; use a code such as W001",
    ),
    "no deference": (
        "cautions present", declared(cautions=(Caution("danger", "Mind your hands."),)),
        "no caution says that the maker's data, local rules and licensed practice come first; add MAKERS_DATA",
    ),
    "unfinished": ("texts translatable", declared(proves="TODO"), "proves: 'TODO' is not finished"),
    "too long": ("texts translatable", declared(proves="It is so. " * 61 + "So."), "proves: 'It is so. "),
    "another card each time": (
        "texts translatable", declared(charts=at_random_on_the_card),
        "the card has other texts each time it is made, so no catalogue can hold them",
    ),
    "broken line": ("texts translatable", declared(needs=("a gauge\n",)), "needs 1: 'a gauge\\n' has space around it"),
    "not as the source says": (
        "worked example", declared(lambda pressure, limit: Result({"double": Estimate.of(2.1, "bar", 0.1)})),
        "example 1: double is 2.1 bar where the source says 2 bar within 1e-09 of it",
    ),
    "another word than the source says": (
        "worked example", declared(in_words(), outputs=WORDED, examples=expecting({"word": "high"})),
        "example 1: word is 'low' where the source says 'high'",
    ),
    "expected output missing": (
        "worked example", declared(outputs=WORDED, examples=expecting({"word": "high"})),
        "example 1: word is not among the outputs",
    ),
    "a vector of another length": (
        "worked example", declared(of_two(), outputs=PARTS, examples=expecting({"parts": ((1.0,), "bar", 1e-9)})),
        "example 1: parts has 2 values where the source has 1",
    ),
    "a gap where the source has a number": (
        "worked example", declared(of_two(), outputs=PARTS, examples=expecting({"parts": ((1.0, 2.0), "bar", 1e-9)})),
        "example 1: parts 2 is None where the source says 2.0",
    ),
    "other outputs by unit": (
        "unit change", declared(in_words(only="bar"), outputs=WORDED),
        "pressure in MPa: gives the outputs double instead of double, word",
    ),
    "other gaps by unit": (
        "unit change", declared(of_two("bar"), outputs=PARTS), "pressure in MPa: other numbers of a vector are measured",
    ),
    "no example of what is judged": (
        "verdicts",
        declared(lambda pressure, limit: Result({"word": "low"}), outputs=WORDED,
                 allowed=spec_range("pressure difference", "the most allowed", judges="double")),
        "no example has the output double, which limit judges",
    ),
    "a limit that changes no verdict": (
        "verdicts", declared(undecided, allowed=spec_range("pressure difference", "the most allowed", judges="double")),
        "limit at at most -8 bar: double of 2.00 bar is not called outside",
    ),
    "output missing": (
        "worked example", declared(outputs={**declared().outputs, "more": Output("word", "more")}),
        "example 1 lacks the output more, which is declared for every result",
    ),
    "computation fails": ("worked example", declared(failing), "calculator twice failed: ZeroDivisionError: division by zero"),
    "limit not held": ("limits", declared(field=pressure_field(Credulous, **LIMITED)),
        "input pressure: -1e-06 ± 0 bar is taken"),
    "range's limit not held": (
        "limits", declared(allowed=range_field(at_least="0 bar")), "input limit: <= -1e-06 bar is taken",
    ),
    "lower end taken": ("limits", declared(allowed=range_field(largest=True)), "input limit: >= 12 bar is taken"),
    "range's limit in another kind": (
        "units parse", declared(allowed=range_field(above="0 s")),
        "input limit: a limit is a time; give a pressure difference, such as 12 bar",
    ),
    "takes anything": (
        "bad input", declared(field=pressure_field(Credulous)), "input pressure: 1 ± 0 A is taken for pressure difference",
    ),
    "crashes on text": (
        "bad input", declared(field=pressure_field(Crashing)),
        "input pressure: 'abc' raises ValueError: invalid literal for int() with base 10: 'abc'",
    ),
    "random": ("same each time", declared(at_random), "example 1 gives another result the second time"),
    "prints": ("same each time", declared(chatty),
        "example 1 prints 'debugging\\ndebugging\\n'; put it into the result's notes"),
    "unit ignored": ("unit change", declared(in_the_unit_typed), "pressure in MPa: double becomes 0.2 bar"),
    "limit's unit ignored": ("unit change", declared(limit_in_the_unit_typed), "limit in MPa: the verdicts become"),
    "finding by unit": ("unit change", declared(other_finding), "pressure in MPa: the findings become"),
    "narrowing": ("uncertainty", declared(narrowing), "pressure three times as wide narrows double to"),
    "certain": (
        "uncertainty", declared(certain),
        "no input's uncertainty reaches any output; use propagate(), or build Estimates with an interval",
    ),
    "a fault is called cleared": (
        "verdicts", declared(whitewashing, allowed=spec_range("pressure difference", "the most allowed", judges="double")),
        "a verdict is outside, and no finding says so; leave the findings to the core, or add one",
    ),
    "note that is no text": ("JSON", declared(not_text), "calculator twice: 7 stands where a message is wanted"),
    "a hand in danger": (
        "procedure",
        declared(procedure=Procedure((Action("Fix the gauge.", hands="high pressure"),), ("Engine cold.",), ("Clear.",))),
        "procedure: 'Fix the gauge.' brings a hand to the high-pressure side before the rail was seen to fall to zero",
    ),
    "card too full": ("card", declared(title="W" * 3000), "A4: twice front: does not fit, by "),
}  # fmt: skip


@pytest.mark.parametrize("fault", FAULTS)
def test_a_broken_promise_is_noticed_by_its_check(fault: str) -> None:
    check, calculator, words = FAULTS[fault]
    try:
        found = faults_of(calculator, check)
    except NotChecked as reason:
        pytest.skip(str(reason))
    assert any(line.startswith(words) for line in found), found


def test_a_range_with_limits_keeps_every_promise() -> None:
    kept = declared(allowed=spec_range("pressure difference", "the most allowed", largest=True, above="0 bar"))
    assert [faults_of(kept, check) for check in ("units parse", "limits", "bad input", "unit change")] == [[], [], [], []]


def test_a_gap_where_the_source_has_one_is_as_the_source_says() -> None:
    kept = declared(of_two(), outputs=PARTS, examples=expecting({"parts": ((1.0, None), "bar", 1e-9)}))
    assert [faults_of(kept, check) for check in ("worked example", "unit change")] == [[], []]


def test_a_list_with_a_gap_is_not_put_into_another_unit() -> None:
    def summed(pressure: Any, limit: SpecRange | None) -> Result:
        assert [each and each.unit.symbol for each in pressure] == ["bar", None]
        return honest(pressure[0], limit)

    field = readings("pressure difference", "of each", symbol="p", gaps=True)
    kept = declared(summed, field=field, examples=(dataclasses.replace(EXAMPLE, inputs={"pressure": ["1 ± 0.1 bar", "-"]}),))
    assert faults_of(kept, "unit change") == []


def test_an_interval_that_shrinks_by_chance_and_then_grows_is_no_fault() -> None:
    """As one that is sampled does: a little narrower at three times the input's width, wider at nine times."""

    def sampled(pressure: Reading, limit: SpecRange | None) -> Result:
        u = pressure.to("bar").u
        width = 0.2 if u < 0.1 else 0.198 if u < 0.3 else 0.5
        return Result({"double": Estimate.of(2 * pressure.to("bar").value, "bar", width)})

    found = faults_of(declared(sampled), "uncertainty")
    assert not [line for line in found if "narrows" in line]


CATALOGUED = '''
from typing import Annotated
from baybook.api import MAKERS_DATA, Example, Message, Output, Reading, Result, calculator, pressure_difference, propagate

@calculator(title="Twice", stage="any", side="any", proves="nothing", cautions=[MAKERS_DATA], sources=["arithmetic"],
            formulas=["d = 2 · p"], outputs={"double": Output("pressure difference", "twice the pressure", symbol="d")},
            examples=[Example({"pressure": "1 ± 0.1 bar"}, {"double": (2.0, "bar", 1e-9)}, "arithmetic")])
def twice(pressure: Annotated[Reading, pressure_difference("the pressure", symbol="p")]) -> Result:
    """Double a pressure."""
    found = propagate(lambda pressure: {"double": 2 * pressure}, {"double": "bar"}, pressure=pressure.to("bar"))
    return Result(found, notes=(Message("Twice {p}.", p=pressure),))
'''
GERMAN = {"Twice": "Doppelt", "Twice {p}.": "Zweimal {p}.", "twice the pressure": "Doppeltes des Drucks", "nothing": "nichts",
          "arithmetic": "Rechnung", "the pressure": "der Druck", "pressure": "Druck", "double": "Doppeltes"}  # fmt: skip


@pytest.fixture
def catalogued(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Callable[[dict[str, str]], Calculator]:
    """The calculator above, in a package of its own with that catalogue."""

    def make(told: dict[str, str]) -> Calculator:
        name = f"catalogued_{len(told)}_{abs(hash(str(told)))}"
        folder = tmp_path / name / "locale" / "de" / "LC_MESSAGES"
        folder.mkdir(parents=True)
        (tmp_path / name / "__init__.py").write_text("")
        (tmp_path / name / "calculator.py").write_text(CATALOGUED)
        entries = [f'msgid "{said}"\nmsgstr "{text}"\n' for said, text in told.items()]
        head = 'msgid ""\nmsgstr "Content-Type: text/plain; charset=UTF-8\\n"\n'
        (folder / f"{name}.po").write_text("\n".join([head, *entries]))
        monkeypatch.syspath_prepend(str(tmp_path))
        made: Calculator = importlib.import_module(f"{name}.calculator").twice
        return made

    return make


@pytest.mark.parametrize(
    ("told", "words"),
    [
        (GERMAN, []),
        ({**GERMAN, "Twice {p}.": ""}, ["the catalogue de lacks 1 messages, such as 'Twice {p}.'"]),
        ({**GERMAN, "Twice {p}.": "Zweimal {q}."}, ["the catalogue de says 'Twice {p}.' with other places"]),
        ({**GERMAN, "double": ""}, ["the catalogue de lacks 1 messages, such as 'double'"]),
    ],
)
def test_a_catalogue_has_every_message_with_its_places(
    told: dict[str, str], words: list[str], catalogued: Callable[[dict[str, str]], Calculator]
) -> None:
    twice = catalogued(told)
    assert faults_of(twice, "catalogues") == words
    assert catalogue_text(twice, "de").count('msgstr ""\n') == 1 + ("" in told.values())


def test_a_catalogue_has_every_text_of_the_card(catalogued: Callable[[dict[str, str]], Calculator]) -> None:
    assert faults_of(catalogued(GERMAN), "texts translatable") == []
    found = faults_of(catalogued({**GERMAN, "twice the pressure": ""}), "texts translatable")
    assert found == ["the catalogue de lacks 1 texts of the card, such as 'twice the pressure'"]


def test_every_check_is_broken_once_here_or_below() -> None:
    """A check that cannot fail would be worth nothing."""
    elsewhere = {"import", "no network", "catalogues"}
    assert {check.name for check in CHECKS} == {check for check, _, _ in FAULTS.values()} | elsewhere


@pytest.mark.parametrize(
    ("code", "words"),
    [
        ("import numpy", "imports numpy; import it inside the function that needs it"),
        ("import asyncio, sqlite3, xml.sax, email, http.client, concurrent.futures", "imports asyncio"),
        ("print('hello')", "prints 'hello\\n' while being imported"),
        ("import warnings; warnings.warn('old')", "cannot be imported: UserWarning: old"),
        ("import os; os._exit(4)", "ended the process that imported it (exit code 4)"),
        ("print('probe: {}')\nimport numpy", "imports numpy"),
    ],
)
def test_an_import_that_costs_or_talks_is_noticed(
    code: str, words: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "third_import.py").write_text(code)
    monkeypatch.syspath_prepend(str(tmp_path))
    process_checks.probe.cache_clear()
    found = process_checks.import_faults("third_import")
    process_checks.probe.cache_clear()
    assert any(line.startswith(words) for line in found), found


def test_a_module_that_only_uses_the_interface_imports_cheaply(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "third_cheap.py").write_text("import csv, datetime, decimal, fractions, statistics\nfrom baybook.api import *")
    monkeypatch.syspath_prepend(str(tmp_path))
    assert process_checks.import_faults("third_cheap") == []


def test_reaching_for_the_network_while_importing_is_noticed(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    code = "import socket\ntry:\n    socket.create_connection(('127.0.0.1', 9))\nexcept OSError:\n    pass"
    (tmp_path / "third_net.py").write_text(code)
    monkeypatch.syspath_prepend(str(tmp_path))
    assert process_checks.probe("third_net")["network"] == ["calls socket.getaddrinfo('0', '0')"] or "socket" in str(
        process_checks.probe("third_net")["network"]
    )


def test_reaching_for_the_network_while_computing_is_refused_and_noticed() -> None:
    def phoning(pressure: Reading, limit: SpecRange | None) -> Result:
        try:
            with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as line:
                line.connect(("127.0.0.1", 9))
        except PermissionError:
            pass
        return honest(pressure, limit)

    found = faults_of(declared(phoning), "no network")
    assert [line for line in found if line.endswith("while computing")]
    with nets.closed() as attempts, pytest.raises(PermissionError):
        socket.getaddrinfo("localhost", 80)
    assert len(attempts) == 1
    socket.getaddrinfo("127.0.0.1", 80)  # open again


def test_offers_of_another_type_are_noticed() -> None:
    assert offered.card(CardOffer("bench", "Bench", lambda: "a card")) == ["make() gives str, not a Card"]  # type: ignore[arg-type,return-value]  # an author's mistake
    assert offered.fuel(FuelOffer("oil", "Oil", lambda: 0.8)) == ["make() gives float, not a FuelModel"]  # type: ignore[arg-type,return-value]  # an author's mistake


def test_a_check_never_lets_an_error_escape() -> None:
    for check in CHECKS:
        try:
            assert isinstance(check.faults(declared(failing)), list)
        except NotChecked:
            pass
        except BaybookError as error:  # pragma: no cover
            raise AssertionError(check.name) from error


def test_the_time_limit_is_read_from_the_environment(monkeypatch: pytest.MonkeyPatch) -> None:
    from baybook.testing import command

    monkeypatch.setitem(os.environ, "BAYBOOK_CHECK_SECONDS", "7")
    assert command.time_limit() == 7.0
    monkeypatch.setitem(os.environ, "BAYBOOK_CHECK_SECONDS", "soon")
    assert command.time_limit() == command.SECONDS


LEAKS_OUT = Halt("do not start or crank: fuel under pressure gets out", reason="Fuel under pressure escapes")


def test_a_test_whose_procedure_cranks_waits_for_a_halt_though_its_author_forgot_to_say_so() -> None:
    """A sense that says nothing of it is taken as its steps are: the last run, with all put back, is no part of the test. One
    that says that it can be made at rest is believed."""
    at_rest = Sense.one({"filter": 0.5}, 5.0)
    cranked = guarded(entry=("limits",), steps=(Action("Crank; read.", state="running"),), end=())
    opened = guarded(entry=("limits",), steps=(Action("Take a sample.", hands="low side"),), end=(), opened=True)
    assert not opened.turns and any(action.state == "running" for action in opened.actions)
    halted = Halted(1, "wetness", LEAKS_OUT)
    for how, sense, waits in (
        (cranked, at_rest, True), (opened, at_rest, False), (cranked, dataclasses.replace(at_rest, turning=False), False),
    ):  # fmt: skip
        made = declared(procedure=how, sense=sense).sense
        assert isinstance(made, Sense) and halted.withholds(made) == waits
    each = declared(procedure=opened, sense=Senses("limit", {"a": at_rest, "b": at_rest}, how={"a": cranked})).sense
    assert isinstance(each, Senses) and [halted.withholds(each.of[word]) for word in "ab"] == [True, False]


def test_a_question_that_no_output_and_no_answer_is_named_after() -> None:
    """A misspelt one would be asked in every job and answered in none; "double high" is of the output `double`."""
    for word, fault in (("double", False), ("double high", False), ("", False), ("low", False), ("duble", True)):
        made = declared(sense=Sense({word: Question({"filter": 0.5})}, 5.0))
        assert [f"asks {word!r}" in line for line in faults_of(made, "sense of places")] == [True] * fault
    answering = declared(sense=Sense({"seen": Question({"filter": 0.5})}, 5.0))
    answering.function.__module__ = "baybook_plugins.observation.calculator"  # (where answers are made)
    assert faults_of(answering, "sense of places") == []


def test_a_limit_that_judges_nothing_is_noticed() -> None:
    """Declared without judges=, and forgotten in the function."""
    made = declared(lambda pressure, limit: Result(honest(pressure, None).outputs))
    assert any("limit changes nothing in any example; say judges=" in fault for fault in faults_of(made, "verdicts"))
    unshown = declared(examples=(Example({"pressure": "1 ± 0.1 bar"}, {"double": (2.0, "bar", 1e-9)}, "arithmetic"),))
    assert any("limit changes nothing" in fault for fault in faults_of(unshown, "verdicts"))


def test_a_required_input_that_no_step_reads_is_noticed() -> None:
    """Where the procedure says what is read; one in plain sentences says nothing of that."""
    name = next(check.name for check in CHECKS if check.look is declaration.procedure)
    steps = {"entry": ("Limits.",), "end": ("Put back.",)}
    read = declared(procedure=Procedure(steps=(Action("Read.", reads=("pressure",)),), **steps))
    unread = declared(procedure=Procedure(steps=(Action("Read.", reads=("limit",)),), **steps))
    assert faults_of(read, name) == []
    assert faults_of(unread, name) == ["procedure: input pressure has to be given, and no step reads it"]
