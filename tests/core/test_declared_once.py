"""What the declaration says once: defaults, limits that judge, what a verdict means, vectors, steps, rules, records."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterator
from dataclasses import fields, replace
from pathlib import Path
from typing import Annotated

import pytest

from baybook.api import (
    MAKERS_DATA,
    Calculator,
    CaptureFile,
    Caution,
    Estimate,
    Example,
    Finding,
    Flag,
    FuelName,
    InputError,
    Meaning,
    Output,
    Problem,
    Reading,
    Result,
    Rule,
    SpecRange,
    Step,
    Verdict,
    calculator,
    duration,
    flow,
    judge,
    propagate,
    ratio,
    readings,
    spec_range,
    volume,
)
from baybook.cautions import CardDataError
from baybook.declaration import Declaration
from baybook.errors import PluginError
from baybook.language import Language
from baybook.text import result_lines

WARM = "as warm as the data say"


def no_more_than(amount: Reading, wanted: Reading | None, time: Reading) -> Iterator[Problem]:
    """A rule of two inputs."""
    if wanted and amount.number("mL") / time.number("min") > wanted.number("mL/min"):
        yield Problem("wanted", wanted.text, "is less than what was caught", "read both again")


def declared(**changes: object) -> Calculator:
    options: dict[str, object] = {
        "title": "Filling", "stage": "supply", "side": "hydraulic", "proves": "how fast the cylinder fills",
        "outputs": {"rate": Output("flow", "how fast it fills", symbol="Q"),
                    "share": Output("ratio", "of what is wanted", symbol="s", always=False)},
        "cautions": [MAKERS_DATA], "sources": ["common practice, no source"],
        "examples": [Example({"amount": "1 L", "time": "1 min"}, {"rate": (1000, "mL/min", 1e-9)}, "common practice")],
        "formulas": ("Q = k · V / t", "s = Q / Q_w"),
        "meanings": [Meaning("too little", "the filter holds fuel back", "measure before the filter", verdict="below"),
                     Meaning("enough", "the supply does its part", "look at the pump", verdict="within", output="rate")],
        "rules": [Rule("warm", ("wanted",)), no_more_than],
        **changes,
    }  # fmt: skip

    @calculator(**options)  # type: ignore[arg-type]
    def filling(
        amount: Annotated[Reading, volume("what was caught", above="0 mL", symbol="V")],
        time: Annotated[Reading, duration("how long", above="0 s", symbol="t", default="60 s", exact=True)],
        factor: Annotated[Reading, ratio("correction", symbol="k", default="100 %", exact=True)],
        wanted: Annotated[Reading | None, flow("what is wanted", symbol="Q_w")],
        limit: Annotated[SpecRange | None, spec_range("flow", "least flow", judges="rate")],
        warm: Annotated[bool, Flag(WARM)],
    ) -> Result:
        """Work out how fast the cylinder fills."""
        given = {"v": amount.to("mL"), "t": time.to("min"), "k": factor.to("1")}
        found = propagate(lambda v, t, k: {"rate": k * v / t}, {"rate": "mL/min"}, **given)
        if wanted:
            by = {"q": found["rate"], "w": wanted.to("mL/min")}
            found |= propagate(lambda q, w: {"share": 100 * q / w}, {"share": "%"}, **by)
        return Result(found)

    return filling


def test_defaults_lie_in_the_field_and_none_in_the_type() -> None:
    parameters = {p.name: p for p in declared().parameters}
    assert [name for name, p in parameters.items() if p.required] == ["amount"]
    assert parameters["time"].default == "60 s" and parameters["wanted"].default is None
    assert parameters["warm"].default is False
    assert declared()(amount="1 ± 0 L")["rate"].value == pytest.approx(1000)


def test_a_limit_judges_the_output_that_it_names_and_the_verdict_says_which() -> None:
    told = declared()(amount="1 ± 0.001 L", limit="at least 1200 mL/min; sheet").to_dict()
    assert [(v["output"], v["index"], v["verdict"]) for v in told["verdicts"]] == [("rate", None, "outside")]


def test_a_verdict_of_the_calculators_own_stands() -> None:
    own = declared()
    spec = SpecRange(1200.0, None, "mL/min", kind="flow")

    def knowing(**values: object) -> Result:
        return Result({"rate": Estimate.of(1000.0, "mL/min", 1.0)}, verdicts=(Verdict("rate", "undecided", 0.5, spec),))

    result = replace(own, function=knowing)(amount="1 L", limit="at least 1200 mL/min")
    assert [(v.output, v.verdict) for v in result.verdicts] == [("rate", "undecided")]


def test_what_a_verdict_means_is_the_finding_at_the_declared_stage_and_side() -> None:
    result = declared()(amount="1 ± 0.001 L", limit="at least 1200 mL/min")
    (finding,) = result.findings
    assert (finding.stage, finding.side, finding.strength) == ("supply", "hydraulic", "indicated")
    assert finding.statement == "Rate: 1000.0 mL/min is outside at least 1200 mL/min: the filter holds fuel back"
    assert finding.next_test == "measure before the filter"
    within = declared()(amount="2 ± 0.001 L", limit="at least 1200 mL/min").findings[0]
    assert within.statement.endswith("the supply does its part") and within.strength == "cleared"
    undecided = declared()(amount="1.2 ± 0.1 L", limit="at least 1200 mL/min").findings[0]
    assert undecided.strength == "undecided" and undecided.next_test == ""


def test_a_finding_by_hand_takes_stage_and_side_from_the_declaration() -> None:
    def said(**values: object) -> Result:
        return Result({"rate": Estimate.of(1.0, "mL/min", 0.1)}, findings=(Finding(statement="x", strength="proven"),))

    assert replace(declared(), function=said)(amount="1 L").findings[0].stage == "supply"
    with pytest.raises(PluginError, match="leaves stage or side open"):
        replace(declared(stage="any"), function=said)(amount="1 L")


def test_steps_follow_from_the_formulas_and_give_their_printed_result() -> None:
    result = declared()(amount="333.3333 ± 0 mL", time="20 s", wanted="1234 ± 0.5 mL/min")
    steps = result.steps
    assert [(str(step.what), step.formula) for step in steps] == [
        ("how fast it fills", "Q = k · V / t"), ("of what is wanted", "s = Q / Q_w"),
    ]  # fmt: skip
    assert steps[0].put_in() == "100 % · 333.333 mL / 20 s"
    rate = float(steps[1].put_in().split(" ")[0])
    assert f"{100 * rate / 1234:.3f} %" == steps[1].to_dict()["result"]  # arithmetic with the printed numbers alone
    assert len(declared()(amount="1 L").steps) == 1, "nothing is known of Q_w"


def test_a_step_by_name_needs_only_what_is_no_input_and_no_output() -> None:
    def by_name(**values: object) -> Result:
        return Result({"rate": Estimate.of(1.0, "mL/min", 0.1)}, steps=(Step("rate", numbers={"g": "9.81 m/s2"}),))

    changed = replace(declared(formulas=("Q = g · V / t",)), function=by_name)
    assert changed(amount="1 ± 0.01 L").steps[0].put_in() == "9.81 m/s2 · 1.000 L / 60 s"
    with pytest.raises(PluginError, match="lacks h"):
        replace(declared(formulas=("Q = g · h",)), function=by_name)(amount="1 L")


def test_rules_between_inputs_are_told_at_once() -> None:
    with pytest.raises(InputError) as error:
        declared()(amount="2 L", warm="yes")
    assert str(error.value) == "wanted: is needed with warm; give what is wanted, such as 6 mL/min"
    with pytest.raises(InputError, match="is less than what was caught; read both again"):
        declared()(amount="2 L", wanted="1 L/min")


@pytest.mark.parametrize(
    "changes",
    [
        {"meanings": [Meaning("a", "b", "c", output="rat")]},
        {"rules": [Rule("cold", ("wanted",))]},
        {"outputs": {"share": Output("ratio", "of what is wanted")}},
    ],
)
def test_a_name_that_is_not_declared_is_its_authors_error(changes: dict[str, object]) -> None:
    with pytest.raises(PluginError, match=r"no output|no input"):
        declared(**changes)


def several() -> Calculator:
    """A calculator with a value for each injector."""

    @calculator(
        title="Returns", stage="delivery", side="hydraulic", proves="what each returns", cautions=[MAKERS_DATA],
        sources=["common practice, no source"], formulas=["q = V / t"],
        outputs={"flow": Output("flow", "return flow", symbol="q", each="injector"), "count": Output("word", "how many")},
        meanings=[Meaning("one is high", "it lets fuel back", "exchange two", verdict="outside")],
        examples=[Example({"volumes": ["1 ± 0 mL", "2 ± 0 mL"]}, {"flow": ((1.0, 2.0), "mL/min", 1e-9)}, "arithmetic")],
    )  # fmt: skip
    def leaks(
        volumes: Annotated[tuple[Reading | None, ...], readings("volume", "caught of each", gaps=True)],
        limit: Annotated[SpecRange | None, spec_range("flow", "largest", judges="flow")],
    ) -> Result:
        """Work out what each injector returns."""
        flows = tuple(v and Estimate(v.number("mL"), "mL/min", v.number("mL") - 0.1, v.number("mL") + 0.1) for v in volumes)
        return Result({"count": "some", "flow": flows})

    return leaks


def test_a_vector_is_one_output_with_a_verdict_for_each_of_its_numbers() -> None:
    result = several()(volumes="1 mL; -; 9 mL; 8 mL", limit="<= 6 mL/min")
    told = result.to_dict()
    assert list(told["outputs"]) == ["flow", "count"]
    assert told["outputs"]["flow"]["unit"] == "mL/min" and told["outputs"]["flow"]["each"] == "injector"
    assert [item and item["value"] for item in told["outputs"]["flow"]["values"]] == [1.0, None, 9.0, 8.0]
    assert [(v["output"], v["index"], v["what"]["text"]) for v in told["verdicts"]] == [
        ("flow", 1, "injector 1, flow"), ("flow", 3, "injector 3, flow"), ("flow", 4, "injector 4, flow"),
    ]  # fmt: skip
    assert [f.statement for f in result.findings] == ["Flow of injector 3 and 4 is outside at most 6 mL/min: it lets fuel back"]
    assert result.vector("flow")[1] is None
    with pytest.raises(TypeError):
        result["flow"]


def test_vectors_stand_in_one_table() -> None:
    lines = result_lines(several()(volumes="1 mL; -"))
    at = next(number for number, line in enumerate(lines) if "injector" in line)
    assert [line.split() for line in lines[at : at + 3]] == [
        ["injector", "flow"], ["1", "1.00", "mL/min", "(0.90", "…", "1.10)"], ["2", "-"],
    ]  # fmt: skip


def test_the_terminal_speaks_the_language_that_it_is_given() -> None:
    german = Language("de", ",", {"name\4rate": "Füllrate", "Findings": "Befunde", "{what}: {value} is within {range}: {says}":
                                  "{what}: {value} in {range}: {says}", "at least {low}": "mindestens {low}"})  # fmt: skip
    text = "\n".join(result_lines(declared()(amount="2 ± 0.001 L", limit="at least 1.5 L/min"), language=german))
    text = " ".join(text.split())
    assert "Befunde" in text and "Füllrate: 2000,0 mL/min in mindestens 1,5 L/min: the supply does its part" in text


def test_results_say_what_computed_them(tmp_path: Path) -> None:
    path = tmp_path / "hold.csv"
    path.write_text("t,rail\n0,1\n")

    @calculator(
        title="Reading", stage="any", side="any", proves="nothing", cautions=[], sources=["common practice, no source"],
        outputs={"said": Output("word", "what")}, examples=[Example({}, {"said": "yes"}, "none")],
    )  # fmt: skip
    def reading(
        capture: Annotated[object | None, CaptureFile("a file")], fuel: Annotated[str, FuelName("which fuel", default="diesel")]
    ) -> Result:
        """Read it."""
        return Result({"said": "yes"})

    told = replace(reading, origin="plugin baybook-x 1.2 [x]")(capture=str(path)).to_dict()
    assert told["format"] == 2 and told["computed_by"]["plugin"] == "baybook-x 1.2 [x]"
    assert told["computed_by"]["captures"]["capture"] == {
        "file": "hold.csv", "sha256": hashlib.sha256(path.read_bytes()).hexdigest(),
    }  # fmt: skip
    assert told["computed_by"]["fuels"]["fuel"]["name"] == "diesel" and len(told["computed_by"]["fuels"]["fuel"]["data"]) == 8


def test_judge_takes_the_number_in_a_vector() -> None:
    spec = SpecRange(None, 6.0, "mL/min", kind="flow")
    assert judge("flow", Estimate.of(9.0, "mL/min", 0.1), spec, index=3).index == 3


def test_an_outside_verdict_of_the_calculators_own_means_the_way_in_which_it_is_beyond() -> None:
    meanings = [Meaning("little", "the filter holds fuel back", "look", verdict="below"),
                Meaning("much", "the valve lets too much through", "look", verdict="above")]  # fmt: skip
    spec = SpecRange(900.0, 1200.0, "mL/min", kind="flow")
    for rate, says in ((800.0, "the filter holds fuel back"), (1300.0, "the valve lets too much through")):

        def judging(rate: float = rate, **values: object) -> Result:
            return Result({"rate": Estimate.of(rate, "mL/min", 1.0)}, verdicts=(Verdict("rate", "outside", 0.0, spec),))

        (finding,) = replace(declared(meanings=meanings), function=judging)(amount="1 L").findings
        assert finding.statement.endswith(says)


def test_a_limit_that_judges_a_word_is_its_authors_error() -> None:
    with pytest.raises(PluginError, match="input limit judges 'rate', no output that is a quantity"):
        declared(outputs={"rate": Output("word", "whether it fills")}, meanings=())


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"side": "front"}, "a calculator's side is 'front'; use one of hydraulic, control, any"),
        ({"stage": "garage"}, "a calculator's stage is 'garage'; use one of supply, "),
    ],
)
def test_a_stage_and_a_side_are_known_words(changes: dict[str, object], said: str) -> None:
    with pytest.raises(PluginError) as refused:
        declared(**changes)
    assert str(refused.value).startswith(said)


@pytest.mark.parametrize(
    ("make", "said"),
    [
        (lambda: Output("push", "x"), "an output is of the unknown kind 'push'; known are "),
        (lambda: Meaning("a", "b", "c", side="front"), "a meaning has the side 'front'; use hydraulic, control"),
        (lambda: Meaning("a", "b", "c", verdict="bad"), "a meaning is tied to 'bad'; use outside, above, below, within or"),
        (lambda: Finding("garage", statement="x"), "a finding of 'garage', '', 'undecided' is not one of the known words"),
        (lambda: Finding("supply", "hydraulic"), "a finding says nothing; give it a statement"),
        (lambda: Caution("loud", "Mind your hands."), "signal word of a caution: 'loud' is not one of danger, "),
        (lambda: Caution("danger", " "), "caution: the text is empty"),
    ],
)
def test_a_word_that_is_not_known_is_told_when_it_is_declared(make: Callable[[], object], said: str) -> None:
    with pytest.raises((PluginError, CardDataError)) as refused:
        make()
    assert str(refused.value).startswith(said)


def test_a_function_needs_a_docstring_and_a_field_for_each_parameter() -> None:
    def silent(amount: Annotated[Reading, volume("what was caught")]) -> Result:
        return Result({})

    def bare(amount: Reading) -> Result:
        """Say nothing."""
        return Result({})

    declare = calculator(**{item.name: getattr(declared(), item.name) for item in fields(Declaration)})
    with pytest.raises(PluginError, match="calculator silent has no docstring; its first line is the command's summary"):
        declare(silent)
    with pytest.raises(PluginError, match=r"parameter amount of calculator bare is not Annotated with a field of baybook.api"):
        declare(bare)


@pytest.mark.parametrize(
    ("step", "said"),
    [
        ("speed", "calculator leaks has the step 'speed', which no declared formula is of"),
        ("flow", "calculator leaks: the step 'flow' is of a vector; say of which number: result="),
    ],
)
def test_a_step_by_name_is_of_one_declared_formula(step: str, said: str) -> None:
    found = {"count": "some", "flow": (Estimate.of(1.0, "mL/min", 0.1),)}

    def stepping(**values: object) -> Result:
        return Result(found, steps=(Step(step),))

    with pytest.raises(PluginError) as refused:
        replace(several(), function=stepping)(volumes="1 mL")
    assert str(refused.value) == said


def test_an_output_is_asked_for_as_what_it_is() -> None:
    result = several()(volumes="1 mL; -")
    with pytest.raises(TypeError, match="count is 'some', no vector"):
        result.vector("count")
