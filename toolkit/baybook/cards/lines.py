"""The lines of a card's front: what is asked, done and put back, each with a box to tick and places to write in."""

from __future__ import annotations

from dataclasses import dataclass

from baybook.cautions import Caution


@dataclass(frozen=True, slots=True)
class Slot:
    """A place in a line to write a value in.

    name: of the input; number: of several readings which, "" where the unit says enough; named: whether the name stands before
    it; lead: a word that stands before it and those that follow; words: what may be ticked instead; value, half_width: where
    known.
    """

    name: str
    unit: str = ""
    number: str = ""
    named: bool = False
    lead: str = ""
    words: tuple[str, ...] = ()
    value: str = ""
    half_width: str = ""


@dataclass(frozen=True, slots=True)
class Line:
    """A line to tick: an entry condition, a step, an action of the end; or, with `bar`, a hold point across them.

    otherwise: what to do where a condition is not met. drawing: name of the drawing that belongs to it. symbols, short: of a
    bar: the signs that paper draws, and its text beside them ("": `text`). danger: of a bar that keeps someone from harm.
    blank: the unit of a place to write in that belongs to no input.
    """

    text: str
    slots: tuple[Slot, ...] = ()
    caution: Caution | None = None
    otherwise: str = ""
    drawing: str = ""
    bar: bool = False
    symbols: tuple[str, ...] = ()
    short: str = ""
    danger: bool = False
    blank: str = ""


@dataclass(frozen=True, slots=True)
class Outcome:
    """What the tool worked out for a filled card: an output by name (`number`: of a vector), its value with the interval, and
    the verdict on it."""

    name: str
    value: str
    verdict: str = ""
    against: str = ""
    number: int = 0
