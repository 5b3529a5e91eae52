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
NUMBER: Schema = {"type": ["number", "null"]}
TEXT: Schema = {"type": "string"}
_TEXTS: Schema = {"type": "object", "additionalProperties": {"type": "string"}}


def record(description: str, **properties: Schema) -> Schema:
    """An object that has all of these and nothing else."""
    return {
        "type": "object", "description": description, "properties": properties, "required": list(properties),
        "additionalProperties": False,
    }  # fmt: skip


def listing(items: Schema) -> Schema:
    """An array of these."""
    return {"type": "array", "items": items}


def result_schema() -> Schema:
    """The schema of what `--json` prints and `Result.to_dict()` gives, the same for every calculator."""
    whole = record(
        "A worked-out calculator. Intervals (low, high) hold 95 %; null where there is none or the range is open.",
        format={"enum": [FORMAT]},
        calculator={"type": "string", "description": "its name"},
        computed_by=_computed_by(),
        inputs={"type": "object", "additionalProperties": _input(), "description": "by name, as they were read"},
        outputs={"type": "object", "additionalProperties": _output(), "description": "by name"},
        verdicts=listing(_verdict()),
        findings=listing(finding()),
        cautions=listing(caution()),
        warnings={**listing(message()), "description": "said before the outputs: readings far from what is usual"},
        notes=listing(message()),
        steps=listing(_step()),
        answers={**listing(_answer()), "description": "what it says to the questions of its test's declared sense"},
        met={
            "type": "object",
            "additionalProperties": {"type": "boolean"},
            "description": "by name, what the test needs in order to say anything, and whether it was so; left out where open",
        },
        sources=listing(TEXT),
    )
    return {"$schema": DRAFT, "title": "Baybook result", **whole}


def _input() -> Schema:
    given = record(
        "An input: what was typed, and as it was read; assumed: its uncertainty was not typed and taken from the last digit.",
        text=TEXT, value={}, unit=TEXT, low=NUMBER, high=NUMBER, assumed={"type": "boolean"},
    )  # fmt: skip
    given["properties"] = {**given["properties"], "source": {"type": "string", "description": "of a spec range"}}
    return given


def message() -> Schema:
    """A sentence."""
    return record(
        "A sentence, and what it was made of: a template with named places, and an argument for each.",
        text=TEXT, template=TEXT, arguments={"type": "object"},
    )  # fmt: skip


def _computed_by() -> Schema:
    by_input: Schema = {"type": "object", "additionalProperties": _TEXTS}
    return record(
        "What computed it: versions, by input the fuel model with a checksum of its data, and the SHA-256 of each capture.",
        baybook=TEXT, plugin=TEXT, fuels=by_input, captures=by_input,
    )  # fmt: skip


def _output() -> Schema:
    single = record(
        "A quantity with its 95 % interval, or a word.",
        value={"type": ["number", "string"]},
        unit=TEXT,
        low=NUMBER,
        high=NUMBER,
    )
    number = record("One of them.", value={"type": "number"}, low={"type": "number"}, high={"type": "number"})
    vector = record(
        "A quantity for each of what is numbered from 1, such as an injector; null for one that was not measured.",
        unit=TEXT, values=listing({"anyOf": [number, {"type": "null"}]}), each=TEXT,
    )  # fmt: skip
    return {"anyOf": [single, vector]}


def _verdict() -> Schema:
    return record(
        "One quantity against one spec range (JCGM 106, ISO 14253-1); output and index: which, where it is an output.",
        what=message(), output=TEXT, index={"type": ["integer", "null"]},
        verdict={"enum": ["within", "outside", "undecided"]},
        probability={"type": ["number", "null"], "minimum": 0, "maximum": 1,
                     "description": "that the quantity conforms; null where the readings carry none"},
        range=record("The limits that the user typed in.", low=NUMBER, high=NUMBER, unit=TEXT, source=TEXT, text=TEXT),
    )  # fmt: skip


def finding() -> Schema:
    """A finding of a result."""
    return record(
        "What the result says about one stage and one side; the text of next_test is empty where nothing follows.",
        stage={"enum": list(STAGES)}, side={"enum": list(SIDES)}, statement=message(), strength={"enum": list(STRENGTHS)},
        next_test=message(),
    )  # fmt: skip


def _answer() -> Schema:
    sizes: Schema = {"type": "object", "additionalProperties": {"type": "number"}}
    return record(
        "An answer; factors, where the calculator states them itself: by pattern of place, in place of conforms.",
        question={"type": "string", "description": "a word of the sense, empty for its only question"},
        conforms={
            "type": ["number", "null"],
            "minimum": 0,
            "maximum": 1,
            "description": "chance that what was measured conforms",
        },
        object={"type": "string", "description": "what it was measured on, empty for the whole"},
        said=TEXT,
        factors={"type": ["object", "null"], "additionalProperties": {"type": "number", "minimum": 0}},
        brings={**sizes, "description": "by quantity, what the fault that was found makes of it"},
        shows={**sizes, "description": "by quantity, what was seen of it and has to be explained"},
    )


def caution() -> Schema:
    """A caution."""
    return record("Said before any number.", signal={"enum": list(get_args(Signal))}, text=TEXT, symbols=listing(TEXT))


def _step() -> Schema:
    return record(
        "A worked step: the formula, the same with its numbers put in, what comes out.",
        what=message(),
        formula=TEXT,
        numbers=TEXT,
        result=TEXT,
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
    record: Schema = {"type": "object", "required": ["text"], "properties": {"text": TEXT}}
    if not isinstance(field, Quantity):
        return [record]
    number: Schema = {
        "type": "object", "required": ["value", "unit"],
        "properties": {"value": {"type": "number"}, "unit": TEXT, "u95": {"type": "number", "minimum": 0}},
    }  # fmt: skip
    if not isinstance(field, Readings):
        return [record, number]
    several: Schema = {"type": "object", "required": ["value"], "properties": {"value": listing({"anyOf": [record, number]})}}
    return [TEXT, listing({"anyOf": [TEXT, record, number]}), several]
