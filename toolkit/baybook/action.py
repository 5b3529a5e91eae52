"""What a procedure is made of: conditions, actions, hold points. An action says where the hand is and what is so after it."""

from __future__ import annotations

from typing import Literal, get_args

from .cautions import Caution
from .dataclass import dataclass
from .errors import PluginError

Hands = Literal["", "high pressure", "wiring", "low side"]
"""Where a hand goes: nowhere near; rail, line, injector, valve or what sits on them; wires elsewhere; the low-pressure side."""
State = Literal["", "running", "stopped", "zero", "key off", "key on"]
"""What is so after an action: as before; the engine runs or cranks, or pressure is made; it stands still; the rail was seen to
fall to zero, engine stopped and ignition on; the key is off, and it was waited; the ignition is on again, engine stopped."""

MOVES: tuple[State, ...] = ("running", "key on")
"""States in which an engine, a pump or a fan moves."""


@dataclass(frozen=True)
class Condition:
    """An entry condition: a sentence that is so or not. reads: inputs looked up for it; otherwise: what to do if not; blank:
    the unit of a place to write in for what no input asks for ("min")."""

    text: str
    reads: tuple[str, ...] = ()
    otherwise: str = ""
    blank: str = ""


@dataclass(frozen=True)
class Action:
    """One action, verb first, at most about ten words.

    reads: the inputs that are read at it, by name; tool: what it takes; caution: what threatens just here; drawing: name of the
    drawing beside it; hands: where a hand goes for it; state: what is so once it is done. Raises PluginError for others.
    """

    text: str
    reads: tuple[str, ...] = ()
    tool: str = ""
    caution: Caution | None = None
    drawing: str = ""
    hands: Hands = ""
    state: State = ""

    def __post_init__(self) -> None:
        for what, value, known in (("hands", self.hands, get_args(Hands)), ("state", self.state, get_args(State))):
            if value not in known:
                raise PluginError(f"step {self.text!r} has {what} {value!r}; use {', '.join(filter(None, known))}, or none")


@dataclass(frozen=True)
class HoldPoint:
    """Nothing is done, and no hand goes where it says, until what it says is so. Printed as a bar across the steps.

    symbols: ISO 7010 signs ("M004") that a printed bar draws; short: what is printed beside them, where they stand for words of
    the text; a screen, a prompt and a report say the text. danger: someone is hurt where it is passed over; a warning sign and
    a dark ground tell it from a bar of what has to be there. Raises PluginError for a short text without a sign.
    """

    text: str
    symbols: tuple[str, ...] = ()
    short: str = ""
    danger: bool = False

    def __post_init__(self) -> None:
        if self.short and not self.symbols:
            raise PluginError(f"hold point {self.text!r} is shortened to {self.short!r} without a sign; say symbols=")
