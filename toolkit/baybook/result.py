"""Results: what every calculator gives back, in one shape."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import isfinite
from typing import TYPE_CHECKING, Any, Literal

from .dataclass import dataclass, field, replace
from .draws import SURE as SURE
from .draws import Known, as_estimate, chances
from .errors import PluginError
from .estimate import Estimate
from .message import Message
from .places.need import Answer
from .reading import Reading
from .spec import SpecRange
from .step import Step as Step

if TYPE_CHECKING:
    from .message import Said

FORMAT = 2
"""The format of results as JSON, and of job sheets."""
Stage = Literal["supply", "generation", "storage", "delivery"]
Side = Literal["hydraulic", "control"]
Strength = Literal["proven", "indicated", "undecided", "cleared"]
STAGES: tuple[Stage, ...] = ("supply", "generation", "storage", "delivery")
SIDES: tuple[Side, ...] = ("hydraulic", "control")
STRENGTHS: tuple[Strength, ...] = ("proven", "indicated", "undecided", "cleared")


STYLES = ("line", "points", "band")
Word = Literal["within", "outside", "undecided"]
WORDS: tuple[Word, ...] = ("within", "outside", "undecided")


@dataclass(frozen=True)
class Verdict:
    """`within`, `outside` or `undecided` for one quantity against one spec range.

    what: the output's name, else a message. probability: that the quantity conforms, given its uncertainty; None for an
    `undecided` where the readings carry no probability. measured: what was judged; bound: what is said of it where it is known
    as a bound alone. way: `above` or `below` where it is outside, `outside` where the way means nothing. output, index: the
    declared output and the number in it where it is a vector; the core fills them in. doubt: that its unit may be a slip.
    Raises PluginError for an unknown word and for what is no probability.
    """

    what: str
    verdict: Word
    probability: float | None
    range: SpecRange
    measured: Estimate | None = None
    output: str = ""
    index: int | None = None
    bound: Message | None = None
    way: Literal["", "above", "below", "outside"] = ""
    doubt: Message | None = None

    @property
    def slipped(self) -> bool:
        """Whether its doubt is such that it decides nothing."""
        return self.doubt is not None and self.verdict == "undecided"

    def __post_init__(self) -> None:
        if self.verdict not in WORDS:
            raise PluginError(f"a verdict on {self.what} is {self.verdict!r}; use one of {', '.join(WORDS)}")
        chance = 0.5 if self.probability is None and self.verdict == "undecided" else self.probability
        if chance is None or not 0.0 <= chance <= 1.0:  # nan is neither
            raise PluginError(f"a verdict on {self.what} has the probability {self.probability}; it lies from 0 to 1")

    def to_dict(self, said: Said = Message.to_dict) -> dict[str, Any]:
        """For JSON; said: what stands there for a message."""
        return {
            "what": said(Message.of(self.what)), "output": self.output, "index": self.index, "verdict": self.verdict,
            "probability": self.probability, "range": self.range.to_dict(),
        }  # fmt: skip


def judge(what: str, found: Known | Reading, spec: SpecRange, *, index: int | None = None) -> Verdict:
    """The verdict on an estimate, a reading, draws or a bound against `spec`: a guard band for 95 % probability of conformity.

    what: the output's name; index: which of a vector's, from 1.

    `within` when the quantity conforms with a probability of at least 0.95; `outside` when it lies beyond one and the same end
    of the range with at least 0.95; else `undecided` (ISO 14253-1:2017 with its default; JCGM 106:2012, 8.3). Of what is known
    as a bound, what may lie on either side is told as likely as not.
    Raises PluginError when unit or kind do not fit the range, or are open and it does not decide them.
    """
    found = as_estimate(found) if isinstance(found, Reading) else found
    bound = None if isinstance(found, Estimate) or found.told else found
    estimate, spec = _alike(what, as_estimate(found) if bound is None else bound.like, spec)
    limits = spec.to(estimate.unit)
    too_low, conform, too_high = chances(estimate if isinstance(found, Estimate) else found, limits.low, limits.high)
    word: Word = "within" if conform >= SURE else "outside" if max(too_low, too_high) >= SURE else "undecided"
    unknown = 1.0 - too_low - conform - too_high
    chance = conform if word == "within" or unknown < 0.005 else min(0.5, conform + unknown)
    low = too_low > too_high
    way: Literal["", "above", "below", "outside"] = "" if word != "outside" else "below" if low else "above"
    own = Verdict(what, word, chance, spec, estimate, index=index, way=way)
    if bound is None and limits.low is not None:
        from .slips import slip_seen

        return slip_seen(own, limits)
    return own if bound is None else replace(own, measured=None, bound=bound.bound(limits.high, low=low))


def judge_each(what: str, found: Sequence[Known | Reading | None], spec: SpecRange) -> tuple[Verdict, ...]:
    """The verdicts on all of a vector that is known."""
    return tuple(judge(what, item, spec, index=index) for index, item in enumerate(found, 1) if item is not None)


def judge_all(found: Mapping[str, Given], limits: Mapping[str, SpecRange | None]) -> tuple[Verdict, ...]:
    """The verdicts on every output that was found and has a limit, in the order of the limits; of a vector on each."""
    verdicts: list[Verdict] = []
    for name, limit in limits.items():
        value = found.get(name)
        if limit is not None and value is not None and not isinstance(value, str):
            verdicts += judge_each(name, value, limit) if isinstance(value, tuple) else (judge(name, value, limit),)
    return tuple(verdicts)


def _alike(what: str, estimate: Estimate, spec: SpecRange) -> tuple[Estimate, SpecRange]:
    """Both as of the same kind: whichever is open takes the other's."""
    try:
        if spec.kind is not None:
            return estimate.of_kind(spec.kind), spec
        if estimate.kind is not None:
            return estimate, spec.of_kind(estimate.kind)
    except PluginError as error:
        raise PluginError(f"{what} cannot be judged: {error}") from error
    if estimate.unit is not spec.unit:
        raise PluginError(f"{what} cannot be judged: {estimate.unit.symbol} may be of more than one kind; say which: kind=")
    return estimate, spec


@dataclass(frozen=True)
class Finding:
    """What a result says about one stage and one side; both may be left to the calculator's declaration.

    strength: `proven`: there is a fault here; `indicated`: the readings point here and something else could explain them;
    `undecided`: this test cannot tell; `cleared`: no fault here, as far as this test reaches.
    next_test: what to test next because of it; "" where nothing follows. A calculator that it takes is named so: "collect the
    returns (calculator returns)"; a job then says where that was taken already. Where a hand goes to the high-pressure side,
    the low side or live wiring for it, the core adds a short caution, unless it is done at a desk (`at_desk`).
    part: the part of the map that it is about ("outlet valve"); in a job the stage is that of the vehicle's own map.
    """

    stage: Stage | Literal[""] = ""
    side: Side | Literal[""] = ""
    statement: str = ""
    strength: Strength = "undecided"
    next_test: str = ""
    at_desk: bool = False
    part: str = ""

    def __post_init__(self) -> None:
        if self.stage not in ("", *STAGES) or self.side not in ("", *SIDES) or self.strength not in STRENGTHS:
            raise PluginError(f"a finding of {self.stage!r}, {self.side!r}, {self.strength!r} is not one of the known words")
        if not self.statement:
            raise PluginError("a finding says nothing; give it a statement")

    def to_dict(self, said: Said = Message.to_dict) -> dict[str, Any]:
        """For JSON; said: what stands there for a message."""
        return {
            "stage": self.stage, "side": self.side, "statement": said(Message.of(self.statement)), "strength": self.strength,
            "next_test": said(Message.of(self.next_test)),
        }  # fmt: skip


@dataclass(frozen=True)
class Series:
    """One line, band or set of points of a plot. `y2` is the upper edge of a band."""

    label: str
    x: Sequence[float]
    y: Sequence[float]
    style: Literal["line", "points", "band"] = "line"
    y2: Sequence[float] = ()

    def __post_init__(self) -> None:
        if self.style not in STYLES:
            raise PluginError(f"a series {self.label} of a plot has the style {self.style!r}; use one of {', '.join(STYLES)}")
        if len(self.x) != len(self.y) or (self.style == "band" and len(self.y2) != len(self.x)):
            raise PluginError(f"a series {self.label} of a plot has {len(self.x)} x, {len(self.y)} y and {len(self.y2)} y2")
        if not all(isfinite(number) for numbers in (self.x, self.y, self.y2) for number in numbers):
            raise PluginError(f"a series {self.label} of a plot has a number that is not finite")


@dataclass(frozen=True)
class Plot:
    """Data for a plot; how it looks is for whoever renders it."""

    title: str
    x_label: str
    x_unit: str
    y_label: str
    y_unit: str
    series: tuple[Series, ...]


Value = Estimate | str | tuple[Estimate | None, ...]
"""An output: a quantity, a word, or for one with `each` a quantity for each number, None where it was not measured."""
Given = Value | Known | Reading | tuple[Known | Reading | None, ...]
"""An output as a calculator gives it."""


@dataclass(frozen=True)
class Result:
    """What a calculator gives back. The core fills in what stands below `further`, and completes the rest.

    outputs: by name, an Estimate, Draws or AtLeast, a Reading as it was read, a word ("laminar"), or a tuple for an output with
    `each`. The core makes estimates of them, leaves out what cannot be told as a number, puts them into the declared units and
    order, judges the limits that say what they judge, adds the steps that follow from the declared formulas, and a finding
    where verdicts have none. Notes, warnings, statements are messages or plain texts.
    findings: in the place of those that follow from the verdicts; further: beside them.
    background: notes that only a class needs; a terminal shows them where an explanation is asked for, JSON among the others.
    warnings: what casts doubt on all of it, such as a reading far from what is usual; said before the outputs.
    answers: to the questions of the declared sense, beside those that its verdicts give; met: which of its needs were met.
    judged: False where nothing of it can be judged at all; then the core adds neither verdict nor finding.
    """

    outputs: Mapping[str, Given]
    verdicts: tuple[Verdict, ...] = ()
    findings: tuple[Finding, ...] = ()
    notes: tuple[str, ...] = ()
    steps: tuple[Step, ...] = ()
    plots: tuple[Plot, ...] = ()
    further: tuple[Finding, ...] = ()
    calculator: str = ""
    inputs: Mapping[str, dict[str, Any]] = field(default_factory=dict)
    cautions: tuple[dict[str, Any], ...] = ()
    sources: tuple[str, ...] = ()
    warnings: tuple[str, ...] = ()
    computed_by: Mapping[str, Any] = field(default_factory=dict)
    each: Mapping[str, str] = field(default_factory=dict)
    background: tuple[str, ...] = ()
    labels: Mapping[str, str] = field(default_factory=dict)
    textbook: frozenset[str] = frozenset()
    answers: tuple[Answer, ...] = ()
    met: Mapping[str, bool] = field(default_factory=dict)
    judged: bool = True

    def __getitem__(self, output: str) -> Estimate:
        """The estimate of that name. Raises KeyError, or TypeError where the output is a word or a vector."""
        found = self.outputs[output]
        if not isinstance(found, Estimate):
            raise TypeError(f"{output} is {found!r:.60}, no single quantity")
        return found

    def vector(self, output: str) -> tuple[Estimate | None, ...]:
        """The estimates of an output with `each`. Raises KeyError, or TypeError where it is none."""
        found = self.outputs[output]
        if not isinstance(found, tuple):
            raise TypeError(f"{output} is {found!r:.60}, no vector")
        return tuple(None if item is None else as_estimate(item) for item in found)

    def with_(self, other: Result) -> Result:
        """Both in one, the other's after ours."""
        names = ("verdicts", "findings", "notes", "steps", "plots", "further", "sources", "warnings", "answers")
        after: dict[str, Any] = {name: getattr(self, name) + getattr(other, name) for name in names}
        return replace(self, outputs={**self.outputs, **other.outputs}, met={**self.met, **other.met}, **after)

    def to_dict(self, said: Said = Message.to_dict) -> dict[str, Any]:
        """One shape for every calculator; `baybook schema` prints its JSON Schema. said: what stands there for a message."""
        return {
            "format": FORMAT,
            "calculator": self.calculator,
            "computed_by": dict(self.computed_by),
            "inputs": {name: dict(value) for name, value in self.inputs.items()},
            "outputs": {name: _output(value, self.each.get(name, "")) for name, value in self.outputs.items()},
            "verdicts": [verdict.to_dict(said) for verdict in self.verdicts],
            "findings": [finding.to_dict(said) for finding in self.findings],
            "cautions": [dict(caution) for caution in self.cautions],
            "warnings": [said(Message.of(warning)) for warning in self.warnings],
            "notes": [said(Message.of(note)) for note in (*self.notes, *self.background)],
            "steps": [step.to_dict(said) for step in self.steps],
            "answers": [answer.to_dict() for answer in self.answers],
            "met": dict(self.met),
            "sources": list(self.sources),
        }


def _output(value: Given, each: str) -> dict[str, Any]:
    if isinstance(value, str):
        return {"value": value, "unit": "", "low": None, "high": None}
    if not isinstance(value, tuple):
        found = as_estimate(value)
        return {"value": found.value, "unit": found.unit.symbol, "low": found.low, "high": found.high}
    items = [None if item is None else as_estimate(item) for item in value]
    unit = next((item.unit.symbol for item in items if item is not None), "")
    numbers = [None if item is None else {"value": item.value, "low": item.low, "high": item.high} for item in items]
    return {"unit": unit, "values": numbers, "each": each}


def reading_record(reading: Reading) -> dict[str, Any]:
    """A reading as the record of an input; `assumed` where its uncertainty was not typed."""
    low, high = reading.interval
    value, end = (None, None) if reading.bound else (reading.value, high)
    return {
        "text": reading.text, "value": value, "unit": reading.unit.symbol, "low": low, "high": end, "assumed": reading.assumed,
    }  # fmt: skip
