"""What an author says about a calculator, as data: outputs, examples, meanings, rules, and the declaration that holds them."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import TYPE_CHECKING, Any, Literal

from . import units
from .cautions import SIGNALS, Caution
from .dataclass import dataclass, field
from .errors import PluginError, Problem
from .kinds import KINDS
from .parameters import parameters_of
from .procedure import Procedure
from .result import SIDES, STAGES, STRENGTHS, Plot, Side, Stage, Strength

if TYPE_CHECKING:
    from .places.sense import Sense, Senses


@dataclass(frozen=True)
class Output:
    """One output. kind: of quantity, "any", or "word"; unit: where it is not the kind's own; symbol: as in the formulas.

    each: the output is a vector, with a value for each of these ("injector"), numbered from 1. The name `{unit}` stands for the
    symbol of any unit. always: whether every result has it. at_least: what it cannot be below, in its unit.
    label: as the workshop says it ("leak at the rail's pressure"), where its name is a programmer's. textbook: shown only
    where an explanation is asked for.
    Raises PluginError for an unknown kind, and for a unit that is known as one of another kind.
    """

    kind: str
    help: str
    symbol: str = ""
    unit: str = ""
    always: bool = True
    at_least: float | None = None
    each: str = ""
    label: str = ""
    textbook: bool = False

    def __post_init__(self) -> None:
        if self.kind not in ("any", "word") and self.kind not in KINDS:
            raise PluginError(f"an output is of the unknown kind {self.kind!r}; known are {', '.join(KINDS)}, any and word")
        families = units.families_of(self.unit)  # none for a unit that a plugin may still bring
        if self.unit and families and self.kind != "any" and (self.kind == "word" or KINDS[self.kind].family not in families):
            raise PluginError(f"an output is declared as {self.kind} and in {self.unit}, a unit of {families[0]}")

    def shown_unit(self) -> str:
        """The unit it comes in."""
        return self.unit or ("" if self.kind in ("any", "word") else KINDS[self.kind].unit)


Expected = tuple[float | Sequence[float | None], str, float] | str


@dataclass(frozen=True)
class Example:
    """A worked example, from outside the project: inputs, and for each output (value, unit, relative tolerance) or a word.

    The value of a vector is a sequence, with None for what was not measured.

    source: where it stands, for a reader to find it. card: whether the card shows it.
    """

    inputs: Mapping[str, Any]
    outputs: Mapping[str, Expected]
    source: str
    card: bool = True


@dataclass(frozen=True)
class Meaning:
    """A line of "what the result means": what is seen, what it says, and what to test next.

    verdict: outside, above (beyond the upper limit), below, within or undecided, where it is what such a verdict means: of
    `output`, or of any. It is then the finding, too, of a result whose calculator gave none: at the declared stage and side and
    with the verdict's strength, or with these where one says less (a good part that clears no stage: strength "undecided").
    """

    seen: str
    says: str
    next_test: str
    verdict: str = ""
    output: str = ""
    side: Side | Literal[""] = ""
    strength: Strength | Literal[""] = ""
    stage: Stage | Literal[""] = ""

    def __post_init__(self) -> None:
        for what, value, known in (
            ("side", self.side, SIDES),
            ("strength", self.strength, STRENGTHS),
            ("stage", self.stage, STAGES),
        ):
            if value not in ("", *known):
                raise PluginError(f"a meaning has the {what} {value!r}; use {', '.join(known)}")
        if self.verdict not in ("", "outside", "above", "below", "within", "undecided"):
            raise PluginError(f"a meaning is tied to {self.verdict!r}; use outside, above, below, within or undecided")


@dataclass(frozen=True)
class Rule:
    """Inputs that go together: where `given` is given, each of `needs` has to be. why: said of one that is missing.

    A rule that takes more to say is a function instead: its parameters are names of inputs, it gets their values (None for
    one that was left out) and yields a `Problem` for all that is wrong.
    """

    given: str
    needs: tuple[str, ...]
    why: str = ""


@dataclass(frozen=True)
class AnyOf:
    """Inputs of which at least one is given. Where none is, the first is said to be missing: why so, and what would do."""

    inputs: tuple[str, ...]
    hint: str
    why: str = "is missing, and so is every other reading"


@dataclass(frozen=True)
class Apart:
    """Two inputs that are not given together: `given` is refused beside `other`. why: said of it; hint: what would do."""

    given: str
    other: str
    why: str
    hint: str = "give one of them"


@dataclass(frozen=True)
class Placing:
    """Where findings belong that depend on whose part was tested, at a calculator of stage "any".

    part: the input that says whose, a choice that may be left out; stages: the stage by its words, none where they are parts of
    the map, which has their stage. what: the thing that was tested, which every finding begins with ("coil": "Injector 3 coil:
    …"), "" for the part itself ("Injector 3: …"). number: the input that says which one of several.
    Where the part was not said no stage is guessed: what would be a finding is a note.
    """

    part: str
    stages: Mapping[str, str] = field(default_factory=dict)
    what: str = ""
    number: str = ""

    def __post_init__(self) -> None:
        unknown = [stage for stage in self.stages.values() if stage not in STAGES]
        if unknown:
            raise PluginError(f"findings are placed at the stage {unknown[0]!r}; use one of {', '.join(STAGES)}")


Rules = AnyOf | Apart | Rule | Callable[..., Iterable[Problem]]
"""What may hold between inputs: as data, or a function of inputs by name."""


def named(rule: Rules) -> tuple[str, ...]:
    """The inputs and groups that the rule names."""
    if isinstance(rule, Rule):
        return (rule.given, *rule.needs)
    if isinstance(rule, AnyOf):
        return rule.inputs
    return (rule.given, rule.other) if isinstance(rule, Apart) else tuple(parameters_of(rule))


@dataclass(frozen=True, kw_only=True, eq=False)
class Declaration:
    """What is said about a calculator, beside its function.

    title: for cards and reports. stage: supply, generation, storage, delivery, or "any". side: hydraulic, control, or "any".
    proves: what the test proves, in a sentence. outputs: by name. cautions, sources, examples: at least one of each
    (a calculator of stage "any", which has nobody touch anything, may go without cautions, which stand the worst first).
    procedure: how the test is done; needs: what it takes, where the procedure's steps do not say so. formulas, meanings: for
    the card. charts: data for the card's charts, from the inputs that are `Known`. revision: of the card. rules: what holds
    between inputs, see `Rule`, `AnyOf`, `Apart`. placing: where findings belong, see `Placing`. sense: what its outcome
    says about which places; without one it has no part in the odds.
    Raises PluginError for a declaration that is not complete or does not fit together.
    """

    title: str
    stage: str
    side: str
    proves: str
    outputs: Mapping[str, Output]
    cautions: Sequence[Caution]
    sources: Sequence[str]
    examples: Sequence[Example]
    needs: Sequence[str] = ()
    procedure: Procedure | Sequence[str] = ()
    formulas: Sequence[str] = ()
    meanings: Sequence[Meaning] = ()
    charts: Callable[[Any], tuple[Plot, ...]] | None = None
    revision: str = "1"
    rules: Sequence[Rules] = ()
    placing: Placing | None = None
    sense: Sense | Senses | None = None

    def __post_init__(self) -> None:
        if self.stage not in (*STAGES, "any"):
            raise PluginError(f"a calculator's stage is {self.stage!r}; use one of {', '.join((*STAGES, 'any'))}")
        if self.side not in (*SIDES, "any"):
            raise PluginError(f"a calculator's side is {self.side!r}; use one of {', '.join((*SIDES, 'any'))}")
        needed = ("sources", "examples") if self.stage == "any" else ("sources", "cautions", "examples")
        for name in needed:
            if not getattr(self, name):
                raise PluginError(f"a calculator is declared without {name}")
        object.__setattr__(self, "procedure", Procedure.of(self.procedure))
        object.__setattr__(self, "needs", tuple(dict.fromkeys([*self.how.needs, *self.needs])))
        object.__setattr__(self, "sense", self.sense and self.sense.done_by(self.how))
        object.__setattr__(self, "outputs", dict(self.outputs))
        for name in ("cautions", "sources", "examples", "formulas", "meanings", "rules"):
            object.__setattr__(self, name, tuple(getattr(self, name)))
        object.__setattr__(self, "cautions", tuple(sorted(self.cautions, key=lambda caution: SIGNALS.index(caution.signal))))

    @property
    def how(self) -> Procedure:
        """How the test is done."""
        return Procedure.of(self.procedure)
