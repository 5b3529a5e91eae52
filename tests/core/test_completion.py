"""What the core adds to a result: declared units and order, a finding for a verdict, doubts about what was typed."""

from collections.abc import Mapping
from typing import Annotated

import pytest

from baybook.api import (
    MAKERS_DATA,
    Calculator,
    Estimate,
    Example,
    Output,
    Reading,
    Result,
    SpecRange,
    calculator,
    gauge_pressure,
    judge,
    spec_range,
    temperature_difference,
)
from baybook.errors import PluginError
from baybook.text import result_lines
from baybook_cards.language import language


def declared(
    found: Mapping[str, Estimate | str], outputs: Mapping[str, Output], stage: str = "supply", side: str = "hydraulic"
) -> Calculator:
    """A calculator that returns what it is told to."""

    @calculator(
        title="Drop", stage=stage, side=side, proves="nothing", outputs=outputs, cautions=[MAKERS_DATA], sources=["none"],
        examples=[Example({"pressure": "3 bar"}, {}, "none")],
    )  # fmt: skip
    def drop(
        pressure: Annotated[Reading, gauge_pressure("a pressure", usual_range=("1 bar", "10 bar"))],
        rise: Annotated[Reading | None, temperature_difference("a rise")] = None,
        limit: Annotated[SpecRange | None, spec_range("temperature difference", "largest")] = None,
    ) -> Result:
        """Return what it is told to."""
        outputs = {**found, **({"rise": Estimate.from_reading(rise)} if rise else {})}
        verdicts = (judge("rise", Estimate.from_reading(rise), limit),) if rise and limit else ()
        return Result(outputs, verdicts)

    return drop


RISE = {"rise": Output("temperature difference", "rise", always=False)}


def test_outputs_come_in_the_declared_unit_and_order() -> None:
    outputs = {
        "time": Output("time", "t", unit="min"), "rise": Output("temperature difference", "r", unit="°F"),
        "word": Output("word", "w"), "{unit}": Output("flow", "p"),
    }  # fmt: skip
    found = {
        "L/h": Estimate.of(2.0, "cm3/s"), "word": "so", "rise": Estimate.of(5.0, "K"),
        "time": Estimate.of(90.0, "s"),
    }  # fmt: skip
    result = declared(found, outputs)(pressure="3 bar")
    assert list(result.outputs) == ["time", "rise", "word", "L/h"]
    assert [(result[name].value, result[name].unit.symbol) for name in ("time", "rise", "L/h")] == [
        (1.5, "min"), (pytest.approx(9.0), "°F"), (pytest.approx(120.0), "mL/min"),
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("output", "estimate", "message"),
    [
        (Output("time", "t"), Estimate.of(3.0, "A"), "calculator drop, output 'x': 3 A is of the kind current, not time"),
        (Output("gauge pressure", "p"), Estimate.of(3.0, "bar", kind="absolute pressure"),
         "calculator drop, output 'x': 3 bar is of the kind absolute pressure, not gauge pressure"),
        (Output("any", "p"), Estimate.of(3.0, "K"),
         "calculator drop, output 'x': K may be of more than one kind; make the estimate with kind="),
        (Output("any", "p", unit="bar"), Estimate.of(3.0, "s"),
         "calculator drop, output 'x': bar is a unit of pressure, not of time"),
        (Output("any", "p", unit="kN2"), Estimate.of(3.0, "s"), "calculator drop, output 'x': 'kN2' is no unit that is known"),
    ],
)  # fmt: skip
def test_an_output_that_is_not_as_declared_is_the_authors_error(output: Output, estimate: Estimate, message: str) -> None:
    with pytest.raises(PluginError) as error:
        declared({"x": estimate}, {"x": output})(pressure="3 bar")
    assert str(error.value).startswith(message)


@pytest.mark.parametrize(("kind", "unit"), [("time", "A"), ("temperature", "bar"), ("word", "s")])
def test_a_declaration_in_a_unit_of_another_kind_is_refused(kind: str, unit: str) -> None:
    with pytest.raises(PluginError, match=f"declared as {kind} and in {unit}"):
        Output(kind, "x", unit=unit)


@pytest.mark.parametrize("flows", [((1, 2), (1,)), ((1, 2), (None, None))])
def test_vectors_of_the_same_things_have_a_number_or_a_gap_for_each(flows: tuple[tuple[int | None, ...], ...]) -> None:
    each = Output("flow", "of each", each="injector", always=False)
    given = {
        name: tuple(size and Estimate.of(float(size), "mL/min", 0.1) for size in sizes)
        for name, sizes in zip("ab", flows, strict=True)
    }
    with pytest.raises(PluginError) as error:
        declared(given, {"a": each, "b": each})(pressure="3 bar")  # type: ignore[arg-type]  # vectors
    assert str(error.value) == "calculator drop, output 'b': one for each injector is wanted, None for a gap"


def test_a_floor_that_is_declared_is_kept() -> None:
    outputs = {"x": Output("flow", "x", at_least=0.0)}
    assert declared({"x": Estimate.of(0.1, "mL/min", 1.0)}, outputs)(pressure="3 bar")["x"].low == 0.0


@pytest.mark.parametrize(
    ("rise", "strength", "statement"),
    [
        ("10 ± 1 K", "indicated", "Rise: 10.0 K is outside at most 5 °C"),
        ("5 ± 1 K", "undecided", "Rise: 5.0 K is too uncertain to be judged against at most 5 °C"),
        ("1 ± 1 K", "cleared", "Rise: 1.0 K is within at most 5 °C"),
    ],
)
def test_a_verdict_without_a_finding_becomes_one(rise: str, strength: str, statement: str) -> None:
    (finding,) = declared({}, RISE)(pressure="3 bar", rise=rise, limit="<= 5 °C").findings
    assert (finding.stage, finding.side, finding.strength, finding.statement) == ("supply", "hydraulic", strength, statement)


def test_no_stage_is_guessed() -> None:
    assert declared({}, RISE, side="any")(pressure="3 bar", rise="10 ± 1 K", limit="<= 5 °C").findings == ()
    assert declared({}, RISE)(pressure="3 bar", rise="10 ± 1 K").findings == ()


def test_what_is_far_from_usual_is_said_before_any_output() -> None:
    result = declared({}, RISE)(pressure="300 bar", rise="10 ± 1 K")
    warning = "pressure: 300 bar is far from what is usual here (1 bar to 10 bar); check number and unit."
    assert (result.warnings, result.to_dict()["warnings"][0]["text"]) == ((warning,), warning)
    text = "\n".join(result_lines(result))
    assert text.index("300 bar is far from") < text.index("rise")
    assert declared({}, RISE)(pressure="300 kPa").warnings == ()


def test_a_coarse_reading_is_said_with_its_size() -> None:
    notes = declared({}, RISE)(pressure="3 bar").notes
    assert notes[-2:] == (
        "Typed without an uncertainty, so half a unit of the last digit was taken: pressure.",
        "3 bar was taken as ± 0.5 bar, 17 % of it; type 3.0 bar if it is known so well, or give its ±.",
    )
    assert len(declared({}, RISE)(pressure="3.0 bar").notes) == 1


@pytest.mark.parametrize(
    ("typed", "part", "german"),
    [
        ({"rise": "10 ± 1 K", "limit": "<= 5 °C"}, "findings", "Rise: 10,0 K, außerhalb der Grenze (höchstens 5 °C)"),
        ({"rise": "5 ± 1 K", "limit": "<= 5 °C"}, "findings",
         "Rise: 5,0 K ist zu unsicher für ein Urteil gegen höchstens 5 °C"),
        ({"rise": "1 ± 1 K", "limit": "<= 5 °C"}, "findings", "Rise: 1,0 K, innerhalb der Grenze (höchstens 5 °C)"),
        ({}, "notes", "3 bar gilt als ± 0,5 bar, 17 % davon; 3.0 bar eingeben, wenn so genau bekannt, oder das ± dazu."),
        ({"pressure": "300 bar"}, "warnings",
         "pressure: 300 bar liegt weit vom hier Üblichen entfernt (1 bar bis 10 bar); Zahl und Einheit prüfen."),
    ],
)  # fmt: skip
def test_what_the_core_adds_is_german_in_a_german_report(typed: dict[str, str], part: str, german: str) -> None:
    result = declared({}, RISE)(**{"pressure": "3 bar", **typed})
    last = getattr(result, part)[-1]
    said = last.statement if part == "findings" else last
    assert language("de").text(said) == german
