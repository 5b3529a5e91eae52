"""A declared function, run: inputs read, all wrong ones told at once, the result completed and checked."""

from __future__ import annotations

from typing import Annotated

import pytest

from baybook.api import (
    HIGH_PRESSURE,
    Calculator,
    Choice,
    Count,
    Estimate,
    Example,
    Flag,
    InputError,
    Output,
    Reading,
    Result,
    SpecRange,
    Step,
    calculator,
    duration,
    flow,
    judge,
    propagate,
    readings,
    spec_range,
    volume,
)
from baybook.declare import Parameter
from baybook.errors import PluginError
from baybook.execution import run
from baybook.result import Value


def declared(**changes: object) -> Calculator:
    """A small calculator of every sort of input."""
    options: dict[str, object] = {
        "title": "Filling", "stage": "supply", "side": "hydraulic", "proves": "how fast the cylinder fills",
        "outputs": {"rate": Output("flow", "how fast"), "part": Output("volume", "each part", always=False, each="part"),
                    "word": Output("word", "a word")},
        "cautions": [HIGH_PRESSURE], "sources": ["common practice, no source"],
        "examples": [Example({"amount": "1 L", "time": "1 min"}, {"rate": (1000, "mL/min", 1e-9)}, "common practice")],
        **changes,
    }  # fmt: skip

    @calculator(**options)  # type: ignore[arg-type]
    def filling_rate(
        amount: Annotated[Reading, volume("what was caught", above="0 mL", symbol="V")],
        time: Annotated[Reading, duration("how long", above="0 s", symbol="t")],
        parts: Annotated[tuple[Reading, ...], readings("volume", "parts", at_least_count=2)] = (),
        limit: Annotated[SpecRange | None, spec_range("flow", "least flow")] = None,
        way: Annotated[str, Choice("which way", words={"forward": "as driven", "backward": "against"})] = "forward",
        elements: Annotated[int, Count("pump elements", at_most=3)] = 2,
        warm: Annotated[bool, Flag("whether it is warm")] = False,
        wanted: Annotated[Reading | None, flow("what is wanted", at_most="10 L/min")] = None,
    ) -> Result:
        """Work out how fast the cylinder fills."""
        found = propagate(lambda v, t: {"rate": v / t}, {"rate": "mL/min"}, v=amount.to("mL"), t=time.to("min"))
        outputs: dict[str, Value] = {**found, "word": f"{way} {elements} {warm}"}
        if parts:
            outputs["part"] = tuple(map(Estimate.from_reading, parts))
        step = Step("rate", "Q = V / t", {"V": amount, "t": time}, found["rate"])
        verdicts = (judge("rate", found["rate"], limit),) if limit else ()
        return Result(outputs, verdicts=verdicts, steps=(step,))

    return filling_rate


def lines(**inputs: object) -> list[str]:
    """What the calculator is refused with, as the command line spells it."""
    with pytest.raises(InputError) as error:
        run(declared(), inputs, spell="--")
    return str(error.value).splitlines()


def test_texts_become_readings_and_defaults_are_filled_in() -> None:
    result = declared()(amount="1 ± 0.01 L", time="60 ± 0 s", parts=["1 mL", "2 mL"], warm="yes", way="back")
    assert result["rate"].value == pytest.approx(1000)
    assert result["rate"].high - result["rate"].value == pytest.approx(10)
    assert (result.outputs["word"], result.vector("part")[1].value) == ("backward 2 True", 2.0)
    assert result.calculator == "filling-rate"


def test_a_result_has_its_one_shape() -> None:
    told = declared()(amount="1 L", time="1 min", limit="at least 900 mL/min; sheet 2").to_dict()
    keys = ["format", "calculator", "computed_by", "inputs", "outputs", "verdicts", "findings", "cautions", "warnings", "notes"]
    assert list(told) == [*keys, "steps", "answers", "met", "sources"]
    assert told["outputs"]["rate"].keys() == {"value", "unit", "low", "high"}
    assert told["verdicts"][0]["range"]["source"] == "sheet 2"
    what = {"text": "rate", "template": "rate", "arguments": {}}
    assert told["steps"] == [{"what": what, "formula": "Q = V / t", "numbers": "1 L / 1 min", "result": "1000 mL/min"}]
    assert told["cautions"][0]["signal"] == "danger"
    assert "half a unit of the last digit was taken: amount and time" in told["notes"][0]["text"]


def test_a_results_inputs_can_be_given_again() -> None:
    first = declared()(amount="1 ± 0.01 L", time="60 s", parts="1 mL; 2 mL", limit="at least 900 mL/min; sheet 2", warm=True)
    again = declared()(**first.to_dict()["inputs"])
    assert again.to_dict() == first.to_dict()


def test_json_values_are_read_like_texts() -> None:
    result = declared()(amount={"value": 1, "unit": "L", "u95": 0.01}, time={"value": 60, "unit": "s", "u95": 0}, elements=3)
    assert result["rate"].high == pytest.approx(1010)


def test_all_wrong_inputs_are_told_at_once() -> None:
    assert lines(
        amount="350 bar", time="-3 s", way="up", elements=4, warm="perhaps", wanted="20 L/min", limit="5 mL/min", tme="1 s"
    ) == [
        "--tme: is not an input of filling-rate; did you mean time?",
        '--amount: "350 bar" is a pressure; give a volume, such as 25 mL',
        '--time: "-3 s" is not possible here; give a value above 0 s',
        '--limit: "5 mL/min" is a single value; write "max 5 mL/min", "min 5 mL/min", or both limits, such as max 6 mL/min',
        '--way: "up" is not one of the choices; use forward, backward',
        '--elements: "4" is not possible here; give a whole number from 1 to 3',
        '--warm: "perhaps" is neither yes nor no; give yes or no',
        '--wanted: "20 L/min" is not possible here; give a value of at most 10 L/min',
    ]


def test_missing_inputs_say_what_would_do() -> None:
    assert lines() == [
        "--amount: is missing; give what was caught, such as 25 mL",
        "--time: is missing; give how long, such as 30 s",
    ]


@pytest.mark.parametrize(
    ("changes", "message"),
    [
        ({"stage": "engine"}, "stage is 'engine'"),
        ({"cautions": []}, "without cautions"),
        ({"sources": []}, "without sources"),
        ({"examples": []}, "without examples"),
    ],
)
def test_an_incomplete_declaration_is_its_authors_error(changes: dict[str, object], message: str) -> None:
    with pytest.raises(PluginError, match=message):
        declared(**changes)


def test_an_output_that_is_not_declared_is_its_authors_error() -> None:
    with pytest.raises(PluginError, match="returned the output 'rate', which it does not declare"):
        declared(outputs={"word": Output("word", "a word")})(amount="1 L", time="1 min")


def test_a_failing_calculator_is_named_and_not_blamed_on_the_user() -> None:
    broken = declared()
    failing = type(broken)(**{**vars(broken), "function": lambda **inputs: 1 / 0})
    with pytest.raises(PluginError, match="calculator filling-rate failed: ZeroDivisionError"):
        failing(amount="1 L", time="1 min")


def test_parameters_are_read_off_the_signature_in_order() -> None:
    parameters = declared().parameters
    assert [parameter.name for parameter in parameters] == [
        "amount",
        "time",
        "parts",
        "limit",
        "way",
        "elements",
        "warm",
        "wanted",
    ]
    assert all(isinstance(parameter, Parameter) for parameter in parameters)
    assert [parameter.required for parameter in parameters[:3]] == [True, True, False]
