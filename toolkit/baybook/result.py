"""Results: what every calculator gives back, in one shape."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, Literal

from . import numbers
from .errors import PluginError
from .estimate import Draws, Estimate, as_estimate
from .reading import Reading
from .spec import SpecRange

Stage = Literal["supply", "generation", "storage", "delivery"]
Side = Literal["hydraulic", "control"]
Strength = Literal["proven", "indicated", "undecided", "cleared"]
STAGES: tuple[Stage, ...] = ("supply", "generation", "storage", "delivery")
SIDES: tuple[Side, ...] = ("hydraulic", "control")
STRENGTHS: tuple[Strength, ...] = ("proven", "indicated", "undecided", "cleared")


Word = Literal["within", "outside", "undecided"]
WORDS: tuple[Word, ...] = ("within", "outside", "undecided")
SURE = 0.95
"""The probability at which a verdict is spoken: ISO 14253-1:2017, default conformity probability."""


@dataclass(frozen=True)
class Verdict:
    """`within`, `outside` or `undecided` for one quantity against one spec range.

    what: the output's name, where it is one. probability: that the quantity conforms, given its uncertainty. measured: what
    was judged.
    Raises PluginError for an unknown word and for what is no probability.
    """

    what: str
    verdict: Word
    probability: float
    range: SpecRange
    measured: Estimate | None = None

    def __post_init__(self) -> None:
        if self.verdict not in WORDS:
            raise PluginError(f"a verdict on {self.what} is {self.verdict!r}; use one of {', '.join(WORDS)}")
        if not 0.0 <= self.probability <= 1.0:  # nan is neither
            raise PluginError(f"a verdict on {self.what} has the probability {self.probability}; it lies from 0 to 1")

    def to_dict(self) -> dict[str, object]:
        """For JSON."""
        return {"what": self.what, "verdict": self.verdict, "probability": self.probability, "range": self.range.to_dict()}


def judge(what: str, found: Estimate | Draws, spec: SpecRange) -> Verdict:
    """The verdict on an estimate, or on draws, against `spec`, by a guard band for 95 % probability of conformity.

    `within` when the quantity conforms with a probability of at least 0.95; `outside` when it lies beyond one and the same end
    of the range with at least 0.95; else `undecided` (ISO 14253-1:2017 with its default; JCGM 106:2012, 8.3).
    Raises PluginError when unit or kind do not fit the range, or are open and it does not decide them.
    """
    estimate = as_estimate(found)
    estimate, spec = _alike(what, estimate, spec)
    limits = spec.to(estimate.unit)
    of = found if isinstance(found, Draws) else estimate
    too_low = 0.0 if limits.low is None else of.below(limits.low)
    too_high = 0.0 if limits.high is None else of.above(limits.high)
    probability = min(max(1.0 - too_low - too_high, 0.0), 1.0)
    word: Word = "within" if probability >= SURE else "outside" if max(too_low, too_high) >= SURE else "undecided"
    return Verdict(what, word, probability, spec, estimate)


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
    """What a result says about one stage and one side.

    strength: `proven`: there is a fault here; `indicated`: the readings point here and something else could explain them;
    `undecided`: this test cannot tell; `cleared`: no fault here, as far as this test reaches.
    next_test: what to test next because of it; "" where nothing follows. A calculator that it takes is named so: "collect the
    returns (calculator returns)"; a job then says where that was taken already.
    """

    stage: Stage
    side: Side
    statement: str
    strength: Strength
    next_test: str = ""

    def __post_init__(self) -> None:
        if self.stage not in STAGES or self.side not in SIDES or self.strength not in STRENGTHS:
            raise PluginError(f"a finding of {self.stage!r}, {self.side!r}, {self.strength!r} is not one of the known words")

    def to_dict(self) -> dict[str, str]:
        """For JSON."""
        return {
            "stage": self.stage, "side": self.side, "statement": self.statement, "strength": self.strength,
            "next_test": self.next_test,
        }  # fmt: skip


Shown = Estimate | Reading | SpecRange | float | str


@dataclass(frozen=True)
class Step:
    """One worked step: a formula in its source's symbols, the same with the numbers put in, and what comes out.

    numbers: what stands for each symbol: readings, estimates, spec ranges, floats or text. A symbol is replaced where it
    stands alone, longest first.
    """

    what: str
    formula: str
    numbers: Mapping[str, Any]
    result: Shown

    def put_in(self) -> str:
        """The formula with its numbers."""
        left, equals, right = self.formula.partition("=")
        return _replace(right if equals else left, self.numbers).strip()

    def to_dict(self) -> dict[str, str]:
        """For JSON."""
        return {"what": self.what, "formula": self.formula, "numbers": self.put_in(), "result": show(self.result)}


def show(value: Shown) -> str:
    """A value as a person reads it."""
    if isinstance(value, Estimate):
        return value.show()
    if isinstance(value, Reading):
        return value.show()
    return numbers.plain(value, 5) if isinstance(value, float) else str(value)


def _replace(formula: str, shown: Mapping[str, Any]) -> str:
    out, at = [], 0
    symbols = sorted(shown, key=len, reverse=True)
    while at < len(formula):
        symbol = next((s for s in symbols if formula.startswith(s, at) and _alone(formula, at, len(s))), None)
        out.append(show(shown[symbol]) if symbol else formula[at])
        at += len(symbol) if symbol else 1
    return "".join(out)


def _alone(formula: str, at: int, length: int) -> bool:
    before, after = formula[at - 1 : at], formula[at + length : at + length + 1]
    return not (before.isalnum() or before == "_") and not (after.isalnum() or after == "_")


@dataclass(frozen=True)
class Series:
    """One line, band or set of points of a plot. `y2` is the upper edge of a band."""

    label: str
    x: Sequence[float]
    y: Sequence[float]
    style: Literal["line", "points", "band"] = "line"
    y2: Sequence[float] = ()


@dataclass(frozen=True)
class Plot:
    """Data for a plot; how it looks is for whoever renders it."""

    title: str
    x_label: str
    x_unit: str
    y_label: str
    y_unit: str
    series: tuple[Series, ...]


@dataclass(frozen=True)
class Result:
    """What a calculator gives back. The core fills in `calculator`, `inputs`, `cautions` and `sources`.

    outputs: by name, an Estimate, or a word ("laminar"). The core puts them into the declared units and order.
    warnings: what casts doubt on all of it, such as a reading far from what is usual; said before the outputs.
    """

    outputs: Mapping[str, Estimate | str]
    verdicts: tuple[Verdict, ...] = ()
    findings: tuple[Finding, ...] = ()
    notes: tuple[str, ...] = ()
    steps: tuple[Step, ...] = ()
    plots: tuple[Plot, ...] = ()
    calculator: str = ""
    inputs: Mapping[str, dict[str, Any]] = field(default_factory=dict)
    cautions: tuple[dict[str, Any], ...] = ()
    sources: tuple[str, ...] = ()
    warnings: tuple[str, ...] = ()

    def __getitem__(self, output: str) -> Estimate:
        """The estimate of that name. Raises KeyError, or TypeError where the output is a word."""
        found = self.outputs[output]
        if not isinstance(found, Estimate):
            raise TypeError(f"{output} is the word {found!r}")
        return found

    def to_dict(self) -> dict[str, Any]:
        """One shape for every calculator; `baybook schema` prints its JSON Schema."""
        return {
            "calculator": self.calculator,
            "inputs": {name: dict(value) for name, value in self.inputs.items()},
            "outputs": {name: _output(value) for name, value in self.outputs.items()},
            "verdicts": [verdict.to_dict() for verdict in self.verdicts],
            "findings": [finding.to_dict() for finding in self.findings],
            "cautions": [dict(caution) for caution in self.cautions],
            "warnings": list(self.warnings),
            "notes": list(self.notes),
            "steps": [step.to_dict() for step in self.steps],
            "sources": list(self.sources),
        }


def _output(value: Estimate | str) -> dict[str, Any]:
    if isinstance(value, str):
        return {"value": value, "unit": "", "low": None, "high": None}
    return {"value": value.value, "unit": value.unit.symbol, "low": value.low, "high": value.high}


def reading_record(reading: Reading) -> dict[str, Any]:
    """A reading as the record of an input; `assumed` where its uncertainty was not typed."""
    low, high = reading.interval
    value, end = (None, None) if reading.bound else (reading.value, high)
    return {
        "text": reading.text, "value": value, "unit": reading.unit.symbol, "low": low, "high": end, "assumed": reading.assumed,
    }  # fmt: skip
