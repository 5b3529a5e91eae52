"""A card as plain data: frozen, checked when made, free of any layout.

The way of a card is declaration, card data, HTML, PDF. This module is the second stage. It holds text and
numbers only; text is written in English and translated when the card is rendered (`baybook.cards.translate`).

Formulas are written in a small plain notation: `p_m` puts `m` below the line, `d^2` above it, and braces
group more than one sign: `V_{rail}`, `10^{-6}`. Nothing else is markup, and HTML in a text prints as text.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal, get_args

from baybook.cards.graphs import Axis as Axis
from baybook.cards.graphs import Chart as Chart
from baybook.cards.graphs import Ladder as Ladder
from baybook.cards.graphs import Priority as Priority
from baybook.cards.graphs import Rung as Rung
from baybook.cards.graphs import Scale as Scale
from baybook.cards.graphs import Series as Series
from baybook.cards.graphs import SeriesStyle as SeriesStyle
from baybook.cards.lines import Line as Line
from baybook.cards.lines import Outcome as Outcome
from baybook.cards.lines import Slot as Slot
from baybook.cautions import SIGNALS as SIGNALS
from baybook.cautions import CardDataError as CardDataError
from baybook.cautions import Caution as Caution
from baybook.cautions import Signal as Signal
from baybook.cautions import filled, one_of

if TYPE_CHECKING:
    pass

Stage = Literal["supply", "generation", "storage", "delivery"]
Side = Literal["hydraulic", "control"]
STAGES: tuple[Stage, ...] = get_args(Stage)
SIDES: tuple[Side, ...] = get_args(Side)


@dataclass(frozen=True, slots=True)
class Number:
    """A number for print: rounded to `decimals`, with the decimal sign of the card's language."""

    value: float
    decimals: int = 0
    unit: str = ""

    @classmethod
    def plain(cls, value: float, unit: str = "") -> Number:
        """`value` to `DIGITS` significant digits, trailing zeros left off."""
        text = f"{value:.{DIGITS}g}"
        if "e" in text:
            text = f"{value:.10f}".rstrip("0")
        return cls(value, min(len(text.partition(".")[2]), 10), unit)


DIGITS = 6
"""Significant digits of a factor, and of a value that was typed."""
Cell = str | Number | None
"""What stands in a table: text, a number, or nothing (a blank to write in)."""


@dataclass(frozen=True, slots=True)
class Term:
    """A letter of a formula, its meaning and its unit."""

    letter: str
    meaning: str
    unit: str = ""


@dataclass(frozen=True, slots=True)
class WorkedStep:
    """One line of an example: what is worked out (the left side of the formula), the numbers put in, the result."""

    expression: str
    numbers: str
    result: str


@dataclass(frozen=True, slots=True)
class Formula:
    """The formula of a card (one, or the few that belong together) with its letters and a worked example."""

    expressions: tuple[str, ...]
    terms: tuple[Term, ...] = ()
    example: tuple[WorkedStep, ...] = ()
    note: str = ""
    source: str = ""


@dataclass(frozen=True, slots=True)
class Table:
    """A table whose rows were computed. Every row has one cell for each column."""

    title: str
    columns: tuple[Cell, ...]
    rows: tuple[tuple[Cell, ...], ...]
    note: str = ""
    priority: Priority = 3

    def __post_init__(self) -> None:
        for row in self.rows:
            if len(row) != len(self.columns):
                raise CardDataError(f"table {self.title!r}: a row of {len(row)} cells under {len(self.columns)} columns")

    @property
    def of_numbers(self) -> bool:
        """Whether more than one column holds numbers, so that no cell should break."""
        return any(sum(isinstance(cell, Number) for cell in row) > 1 for row in self.rows)


@dataclass(frozen=True, slots=True)
class RecordRow:
    """A line of the record table. `value` is printed when known, with its 95 % half-width where that was typed; else the
    space stays blank for a grease pencil."""

    what: str
    symbol: str = ""
    unit: str = ""
    value: str = ""
    half_width: str = ""


@dataclass(frozen=True, slots=True)
class Meaning:
    """What an observation says, and what to test next."""

    observation: str
    says: str
    next: str = ""


@dataclass(frozen=True, slots=True)
class Section:
    """Free text of a general card: a heading, sentences, and a list that is numbered or not.

    `short` is the list that a key-ring card shows instead of `items`; with nothing else the section is for that size alone.
    With a `signal` the section is framed like a caution; `symbols` stand beside its heading, `large` sets it in large type.
    """

    title: str
    text: str = ""
    items: tuple[str, ...] = ()
    numbered: bool = False
    priority: Priority = 2
    signal: Signal | None = None
    short: tuple[str, ...] = ()
    symbols: tuple[str, ...] = ()
    large: bool = False

    @property
    def on_small_alone(self) -> bool:
        """Whether there is nothing in it but its short list."""
        return bool(self.short) and not (self.text or self.items)


@dataclass(frozen=True, slots=True)
class Figure:
    """A drawing of the cards package, called by name (`stages`, `inlet-valve`, ...), with its text alternative."""

    name: str
    title: str
    alternative: str
    priority: Priority = 2


@dataclass(frozen=True, slots=True)
class Blank:
    """A framed place to write in, `height` em of the card's letter high, with a sign beside its heading; `note` stands behind
    that as long as nothing is written in it."""

    title: str
    height: float = 4.5
    symbols: tuple[str, ...] = ()
    priority: Priority = 1
    note: str = ""


@dataclass(frozen=True, slots=True)
class Stop:
    """What has to be done before anything else in the job that fills a card. `told`: what is the matter and which step found
    out, in a sentence; `first`: what is to be done, at length; `never`: what is forbidden meanwhile, a short sentence, "" where
    another says it. `catalogue` names the package that translates it."""

    told: str
    first: str
    never: str = ""
    catalogue: str = "baybook"


Block = Section | Table | Chart | Ladder | Figure | Blank


@dataclass(frozen=True, slots=True)
class Card:
    """One card of the handbook: a sheet with a front, for what is done, and a back, for what it means.

    The front says `strong`, else the worst of its `cautions` (a card without any is refused), then `entry`, `steps` (a plain
    text is a line) and `end`, then the blocks of `front`; the back what the test means, then the blocks of `back`. `small`:
    whether it works as a key-ring card. `catalogue` names the package whose `locale` folder translates this card's own text.
    `job`, `step`, `step_title` and `chosen` (inputs that are words, by name) say whose readings it is filled with and stand on
    every face; 0 is no step. `outcomes`: what they come to. `stops`: what that job says comes first of all; a bar at the
    head of both faces says it.
    """

    name: str
    title: str
    cautions: tuple[Caution, ...]
    stage: Stage | None = None
    side: Side | None = None
    proves: str = ""
    proves_not: str = ""
    needs: tuple[str, ...] = ()
    entry: tuple[Line | str, ...] = ()
    steps: tuple[Line | str, ...] = ()
    end: tuple[Line | str, ...] = ()
    outcomes: tuple[Outcome, ...] = ()
    strong: Caution | None = None
    formula: Formula | None = None
    record: tuple[RecordRow, ...] = ()
    meanings: tuple[Meaning, ...] = ()
    front: tuple[Block, ...] = ()
    back: tuple[Block, ...] = ()
    sources: tuple[str, ...] = ()
    limits_origin: str = ""
    command: str = ""
    job: str = ""
    step: int = 0
    step_title: str = ""
    chosen: tuple[tuple[str, str], ...] = ()
    small: bool = False
    revision: str = "1"
    date: str = ""
    catalogue: str = "baybook_cards"
    stops: tuple[Stop, ...] = ()

    def __post_init__(self) -> None:
        filled(self.name, "card name")
        filled(self.title, f"title of card {self.name!r}")
        for part in ("entry", "steps", "end"):
            lines = tuple(Line(line) if isinstance(line, str) else line for line in getattr(self, part))
            object.__setattr__(self, part, lines)
        if not self.cautions:
            raise CardDataError(f"card {self.name!r} has no caution; the cautions come first on every card")
        if self.stage is not None:
            one_of(self.stage, STAGES, f"stage of card {self.name!r}")
        if self.side is not None:
            one_of(self.side, SIDES, f"side of card {self.name!r}")

    @property
    def key(self) -> str:
        """What tells it from every other card of a job: its name, and the step that fills it."""
        return f"{self.name} step {self.step}" if self.step else self.name

    @property
    def lines(self) -> tuple[Line, ...]:
        """Every line to tick, in order."""
        return tuple(line for line in (*self.entry, *self.steps, *self.end) if isinstance(line, Line))

    @property
    def drawings(self) -> tuple[str, ...]:
        """The drawings of its lines, each once."""
        return tuple(dict.fromkeys(line.drawing for line in self.lines if line.drawing))

    @property
    def ordered_cautions(self) -> tuple[Caution, ...]:
        """The cautions, most serious signal word first."""
        return tuple(sorted(self.cautions, key=lambda caution: SIGNALS.index(caution.signal)))
