"""The JSON Schema of a worked-out job: its evidence, its conclusion, the next tests (draft 2020-12)."""

from __future__ import annotations

from ..places.choice import REASONS
from ..places.proof import REPEAT
from ..places.sense import HANDS
from ..result import SIDES, STAGES
from ..schema import DRAFT, TEXT, Schema, caution, finding, listing, message, record, result_schema
from .findings import PLACE_WORDS

CHANCE: Schema = {"type": "number", "minimum": 0, "maximum": 1}
NUMBERS: Schema = {"type": "array", "items": {"type": "integer"}}
TEXTS: Schema = {"type": "array", "items": TEXT}
STAGE: Schema = {"enum": list(STAGES)}
SIDE: Schema = {"enum": list(SIDES)}


def job_schema() -> Schema:
    """The schema of what `baybook job run SHEET --json` prints."""
    whole = record(
        "A job worked out. Every chance can be followed to its steps: `baybook job run SHEET --why PLACE --json`.",
        conclusion={"type": "string", "description": "the conclusion in sentences"},
        format={"type": "integer"},
        places=_conclusion(),
        next=listing(_next()),
        withheld={**TEXTS, "description": "tests that have to wait for what comes first of all, see halts"},
        lacking=TEXTS,
        job={"type": "object", "additionalProperties": TEXT},
        findings=listing(_cell()),
        untested=listing(record("A stage and side of which nothing is known.", stage=STAGE, side=SIDE)),
        next_tests={**TEXTS, "description": "what to do next in sentences"},
        specs=listing({"type": "object"}),
        instruments=listing({"type": "object"}),
        steps=listing(_step()),
    )
    return {"$schema": DRAFT, "title": "Baybook job", **whole}


def _conclusion() -> Schema:
    place = record(
        "A spot where a fault can lie; known: whether it is known to be fitted.",
        name=TEXT, stage=STAGE, side=SIDE, label=TEXT, number={"type": ["integer", "null"]}, known={"type": "boolean"},
    )  # fmt: skip
    standing = record(
        "Where a place stands; tried: the chance that the good tests together would have shown a fault there; steps: that "
        "looked at it.",
        place=place, chance=CHANCE, word={"enum": list(PLACE_WORDS)}, open={"type": "boolean"}, tried=CHANCE, steps=NUMBERS,
    )  # fmt: skip
    unsettled = record(
        "What is not known of a step that was taken; left: the share of its reach that is left without it.",
        step={"type": "integer"}, test=TEXT, need=TEXT, question=TEXT, left=CHANCE,
    )  # fmt: skip
    halt = record(
        "What comes before any further test; engine: whether only tests wait for it that turn the engine; off: whether the "
        "ignition waits too; suspected: whether it was only thought to be seen.",
        step={"type": "integer"}, test=TEXT, first=TEXT, engine={"type": "boolean"}, reason=TEXT, off={"type": "boolean"},
        suspected={"type": "boolean"},
    )  # fmt: skip
    unexplaining = record(
        "What was found at a place and does not explain, in sign and size, what was seen; explains: the share.",
        step={"type": "integer"}, test=TEXT, object=TEXT, explains=CHANCE,
    )  # fmt: skip
    return record(
        "The odds of all places. A pair of faults counts for both, so the chances of places sum to a little more than one.",
        no_fault=CHANCE,
        off_map=CHANCE,
        open={**TEXTS, "description": "the fewest places one of which is the case with 95 %"},
        places=listing(standing),
        cells=listing(record("The chance of a fault in a stage on a side.", stage=STAGE, side=SIDE, chance=CHANCE)),
        contradiction={"anyOf": [{"type": "object"}, {"type": "null"}]},
        repairs=listing(_proof()),
        unsettled=listing(unsettled),
        halts=listing(halt),
        unexplaining=listing(unexplaining),
        complaint_stands={"type": "boolean"},
        not_known_to_be_fitted=TEXTS,
    )


def _proof() -> Schema:
    return record(
        "A test before a repair and after it; after: null where it was not repeated.",
        repair=record("The repair.", step={"type": "integer"}, parts=TEXTS), test=TEXT, object=TEXT, before={"type": "integer"},
        after={"type": ["integer", "null"]}, word={"enum": ["proved", "still bad", "undecided", *REPEAT]},
    )  # fmt: skip


def _next() -> Schema:
    return record(
        "A test that is open. gain: expected fall of entropy, bits; command: the line that adds it.",
        test=TEXT, object=TEXT, reason={"enum": list(REASONS)}, gain={"type": "number", "minimum": 0},
        minutes={"type": "number", "exclusiveMinimum": 0}, hands={"enum": list(HANDS)}, settle_first=TEXTS, separates=TEXTS,
        also=TEXTS, command=TEXT, cautions=listing(caution()),
    )  # fmt: skip


def _cell() -> Schema:
    told = finding()
    told = {**told, "properties": {"step": {"type": "integer"}, **told["properties"]}, "required": ["step", *told["required"]]}
    return record(
        "A stage and side: the word of its places, the chance of a fault there, and what the steps' findings say.",
        stage=STAGE, side=SIDE, word=TEXT, chance=CHANCE, findings=listing(told),
    )  # fmt: skip


def evidence_schema() -> Schema:
    """The schema of one piece of evidence."""
    return record(
        "What one step says to one question of its test. conforms: how likely what was measured conforms, null where factors "
        "are stated; met: which needs of the test were met; shares: causes of error that it has in common with others; reach: "
        "by place the chance that it comes out bad with a fault there; left: the share of it that is left in the condition in "
        "which it was made; explains: how much of what was seen elsewhere what it found makes up. "
        "void: whether it was read by what another test found dead.",
        test=TEXT, question=TEXT, object=TEXT, conforms={"anyOf": [CHANCE, {"type": "null"}]}, said=TEXT,
        met={"type": "object", "additionalProperties": {"type": "boolean"}}, shares=TEXTS,
        factors={"type": ["object", "null"], "additionalProperties": {"type": "number", "minimum": 0}},
        reach={"type": "object", "additionalProperties": CHANCE}, false_alarm={"anyOf": [CHANCE, {"type": "null"}]},
        source=TEXT, left=CHANCE, explains=CHANCE, void={"type": "boolean"},
    )  # fmt: skip


def _step() -> Schema:
    result = {name: part for name, part in result_schema().items() if name not in ("$schema", "title")}
    return record(
        "A step: a test with its result and its evidence, or a repair, or the complaint tried again.",
        number={"type": "integer"}, title={"anyOf": [TEXT, message()]}, note=TEXT, taken={"type": "boolean"}, object=TEXT,
        repair=TEXTS, complaint={"enum": ["", "gone", "stands"]}, evidence=listing(evidence_schema()),
        result={"anyOf": [result, {"type": "null"}]}, error={},
    )  # fmt: skip
