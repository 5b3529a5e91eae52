"""JSON Schemas (draft 2020-12): of every result, which has one shape, and of a calculator's inputs, from its fields."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, get_args

from .cautions import Signal
from .fields import Field, Quantity, Readings
from .result import FORMAT, SIDES, STAGES, STRENGTHS

if TYPE_CHECKING:
    from .declare import Calculator, Parameter

Schema = dict[str, Any]
DRAFT = "https://json-schema.org/draft/2020-12/schema"
_NUMBER: Schema = {"type": ["number", "null"]}
_TEXT: Schema = {"type": "string"}
_TEXTS: Schema = {"type": "object", "additionalProperties": {"type": "string"}}


def _record(description: str, **properties: Schema) -> Schema:
    """An object that has all of these and nothing else."""
    return {
        "type": "object", "description": description, "properties": properties, "required": list(properties),
        "additionalProperties": False,
    }  # fmt: skip


def _list(items: Schema) -> Schema:
    return {"type": "array", "items": items}


def result_schema() -> Schema:
    """The schema of what `--json` prints and `Result.to_dict()` gives, the same for every calculator."""
    whole = _record(
        "A worked-out calculator. Intervals (low, high) hold 95 %; null where there is none or the range is open.",
        format={"enum": [FORMAT]},
        calculator={"type": "string", "description": "its name"},
        computed_by=_computed_by(),
        inputs={"type": "object", "additionalProperties": _input(), "description": "by name, as they were read"},
        outputs={"type": "object", "additionalProperties": _output(), "description": "by name"},
        verdicts=_list(_verdict()),
        findings=_list(_finding()),
        cautions=_list(_caution()),
        warnings={**_list(_message()), "description": "said before the outputs: readings far from what is usual"},
        notes=_list(_message()),
        steps=_list(_step()),
        answers={**_list(_answer()), "description": "what it says to the questions of its test's declared sense"},
        met={
            "type": "object",
            "additionalProperties": {"type": "boolean"},
            "description": "by name, what the test needs in order to say anything, and whether it was so; left out where open",
        },
        sources=_list(_TEXT),
    )
    return {"$schema": DRAFT, "title": "Baybook result", **whole}


def _input() -> Schema:
    given = _record(
        "An input: what was typed, and as it was read; assumed: its uncertainty was not typed and taken from the last digit.",
        text=_TEXT, value={}, unit=_TEXT, low=_NUMBER, high=_NUMBER, assumed={"type": "boolean"},
    )  # fmt: skip
    given["properties"] = {**given["properties"], "source": {"type": "string", "description": "of a spec range"}}
    return given


def _message() -> Schema:
    return _record(
        "A sentence, and what it was made of: a template with named places, and an argument for each.",
        text=_TEXT, template=_TEXT, arguments={"type": "object"},
    )  # fmt: skip


def _computed_by() -> Schema:
    record: Schema = {"type": "object", "additionalProperties": _TEXTS}
    return _record(
        "What computed it: versions, by input the fuel model with a checksum of its data, and the SHA-256 of each capture.",
        baybook=_TEXT, plugin=_TEXT, fuels=record, captures=record,
    )  # fmt: skip


def _output() -> Schema:
    single = _record(
        "A quantity with its 95 % interval, or a word.",
        value={"type": ["number", "string"]},
        unit=_TEXT,
        low=_NUMBER,
        high=_NUMBER,
    )
    number = _record("One of them.", value={"type": "number"}, low={"type": "number"}, high={"type": "number"})
    vector = _record(
        "A quantity for each of what is numbered from 1, such as an injector; null for one that was not measured.",
        unit=_TEXT, values=_list({"anyOf": [number, {"type": "null"}]}), each=_TEXT,
    )  # fmt: skip
    return {"anyOf": [single, vector]}


def _verdict() -> Schema:
    return _record(
        "One quantity against one spec range (JCGM 106, ISO 14253-1); output and index: which, where it is an output.",
        what=_message(), output=_TEXT, index={"type": ["integer", "null"]},
        verdict={"enum": ["within", "outside", "undecided"]},
        probability={"type": ["number", "null"], "minimum": 0, "maximum": 1,
                     "description": "that the quantity conforms; null where the readings carry none"},
        range=_record("The limits that the user typed in.", low=_NUMBER, high=_NUMBER, unit=_TEXT, source=_TEXT, text=_TEXT),
    )  # fmt: skip


def _finding() -> Schema:
    return _record(
        "What the result says about one stage and one side; the text of next_test is empty where nothing follows.",
        stage={"enum": list(STAGES)}, side={"enum": list(SIDES)}, statement=_message(), strength={"enum": list(STRENGTHS)},
        next_test=_message(),
    )  # fmt: skip


def _answer() -> Schema:
    return _record(
        "An answer; factors, where the calculator states them itself: by pattern of place, in place of conforms.",
        question={"type": "string", "description": "a word of the sense, empty for its only question"},
        conforms={
            "type": ["number", "null"],
            "minimum": 0,
            "maximum": 1,
            "description": "chance that what was measured conforms",
        },
        object={"type": "string", "description": "what it was measured on, empty for the whole"},
        said=_TEXT,
        factors={"type": ["object", "null"], "additionalProperties": {"type": "number", "minimum": 0}},
    )


def _caution() -> Schema:
    return _record("Said before any number.", signal={"enum": list(get_args(Signal))}, text=_TEXT, symbols=_list(_TEXT))


def _step() -> Schema:
    return _record(
        "A worked step: the formula, the same with its numbers put in, what comes out.",
        what=_message(),
        formula=_TEXT,
        numbers=_TEXT,
        result=_TEXT,
    )


def inputs_schema(calculator: Calculator) -> Schema:
    """The schema of a calculator's inputs, as `--from` and `baybook.calculate` take them; from its fields alone."""
    return {
        "$schema": DRAFT, "title": f"Inputs of baybook {calculator.name}", "description": calculator.summary, "type": "object",
        "properties": {parameter.name: _parameter(parameter) for parameter in calculator.parameters},
        "required": [parameter.name for parameter in calculator.parameters if parameter.required],
        "additionalProperties": False,
    }  # fmt: skip


def _parameter(parameter: Parameter) -> Schema:
    """What may be given for one input: its plain form, null for "left out", or an earlier result's record of it."""
    plain = dict(parameter.field.schema())
    shared: Schema = {"description": plain.pop("description", parameter.field.help)}
    if parameter.field.example():
        shared["examples"] = [parameter.field.example()]
    if not parameter.required and isinstance(parameter.default, str | int | float):
        shared["default"] = parameter.default
    forms = [plain, *_records(parameter.field)]
    return {**shared, "anyOf": forms if parameter.required else [*forms, {"type": "null"}]}


def _records(field: Field) -> list[Schema]:
    record: Schema = {"type": "object", "required": ["text"], "properties": {"text": _TEXT}}
    if not isinstance(field, Quantity):
        return [record]
    number: Schema = {
        "type": "object", "required": ["value", "unit"],
        "properties": {"value": {"type": "number"}, "unit": _TEXT, "u95": {"type": "number", "minimum": 0}},
    }  # fmt: skip
    if not isinstance(field, Readings):
        return [record, number]
    several: Schema = {"type": "object", "required": ["value"], "properties": {"value": _list({"anyOf": [record, number]})}}
    return [_TEXT, _list({"anyOf": [_TEXT, record, number]}), several]
