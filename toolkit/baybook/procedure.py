"""How a test is done, as data: from it come the screen, the order of the questions, the card and the report.

A procedure has entry conditions (stop if one is not met), steps in order with hold points between them, and an end. A step is
one action, verb first, and says which inputs are read at it; so what is asked for, in which order, what has to lie ready, and
which blanks a card has follow from it and are listed nowhere else. It says, too, where the hand is and what is so afterwards,
so that `faults` can follow it with the question "what could the rail, the wire, the fan, the car do now?".
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from .action import MOVES, Action, Condition, HoldPoint
from .cautions import SEEN_TO_FALL, STORED_VOLTAGE, Caution
from .dataclass import dataclass, replace
from .errors import PluginError
from .message import Message

MOST_WORDS = 12
"""Words of a step that are still read with a tool in the other hand (common practice, no source: about ten)."""


@dataclass(frozen=True)
class Procedure:
    """How a test is done.

    entry: conditions; steps: actions in order with hold points between them; end: how all is put back, looked at and cleared,
    as steps are. A plain text is a condition or an action that reads nothing. tools: what is needed beside the tools of the
    steps. caution: the one that stands on top of the card, in few words; else it is the worst of the calculator's. Raises
    PluginError for an empty sentence.
    """

    steps: Sequence[Action | HoldPoint | str] = ()
    entry: Sequence[Condition | str] = ()
    end: Sequence[Action | HoldPoint | str] = ()
    tools: Sequence[str] = ()
    caution: Caution | None = None

    def __post_init__(self) -> None:
        for name in ("steps", "end"):
            found = tuple(Action(step) if isinstance(step, str) else step for step in getattr(self, name))
            object.__setattr__(self, name, found)
        entry = tuple(Condition(text) if isinstance(text, str) else text for text in self.entry)
        object.__setattr__(self, "entry", entry)
        object.__setattr__(self, "tools", tuple(self.tools))
        if not all(text.strip() for text in self):
            raise PluginError("a procedure has an empty sentence")

    @classmethod
    def of(cls, procedure: Procedure | Iterable[Action | HoldPoint | str]) -> Procedure:
        """A procedure as it is, plain texts as its steps."""
        return procedure if isinstance(procedure, Procedure) else cls(tuple(procedure))

    @property
    def conditions(self) -> tuple[Condition, ...]:
        """The entry conditions."""
        return tuple(item for item in self.entry if isinstance(item, Condition))

    @property
    def actions(self) -> tuple[Action, ...]:
        """Steps and end without the hold points."""
        return tuple(step for step in (*self.steps, *self.end) if isinstance(step, Action))

    @property
    def turns(self) -> bool:
        """Whether the engine runs or is cranked for it; a last run, which shows wet what was dry, is no part of the test."""
        return any(isinstance(step, Action) and step.state == "running" for step in self.steps)

    @property
    def reads(self) -> tuple[str, ...]:
        """The inputs in the order in which they are looked up and read, each once."""
        read = [*(item.reads for item in self.conditions), *(action.reads for action in self.actions)]
        return tuple(dict.fromkeys(name for names in read for name in names))

    @property
    def needs(self) -> tuple[str, ...]:
        """What has to lie ready: the tools of the steps in their order, each once, then the others."""
        return tuple(dict.fromkeys([*(action.tool for action in self.actions if action.tool), *self.tools]))

    @property
    def cautions(self) -> tuple[Caution, ...]:
        """The one of the whole and those of the steps, each once."""
        found = [self.caution, *(action.caution for action in self.actions)]
        return tuple(dict.fromkeys(caution for caution in found if caution))

    def __iter__(self) -> Iterator[str]:
        """Every sentence in the order in which it is done."""
        for item in (*self.entry, *self.steps, *self.end):
            yield item if isinstance(item, str) else item.text

    def __bool__(self) -> bool:
        return bool(self.steps)

    def faults(self) -> list[str]:
        """Where a hand would be in danger, each a sentence; none of a procedure that brings no hand anywhere and runs nothing.

        A hand goes to the high-pressure side only after the rail was seen to fall to zero, and again after each run; elsewhere
        not before the stop; anywhere only with the key off, since a fan, a pump, the starter may begin by itself; nowhere while
        the engine runs. A hold point stands before the first run, one that takes hands away before each run and ignition on
        after a hand; the engine stands still at the end; there are entry conditions and an end. common practice, no source.
        """
        found, at, held = list[str](), _Standing(), False
        for step in (*self.steps, *self.end):
            if not isinstance(step, Action):
                held, at = held or step != BEFORE_HANDS, at.behind(step)
                continue
            if at.near and step.state in MOVES:
                found.append(f"{step.text!r}: a hand was there before, and no bar takes it away; put HANDS_OFF there")
            at = at.after(step)
            found += [*_words(step), *at.reached(step)]
            if step.state == "running" and not held:
                found.append(f"{step.text!r}: no hold point stands before the engine runs; put BEFORE_RUNNING there")
        if ZERO_AGAIN in self.actions and TO_ZERO not in self.actions[: self.actions.index(ZERO_AGAIN)]:
            found.append(f"{ZERO_AGAIN.text!r} is not said how; put TO_ZERO before it")
        locked = [action.text for action in self.actions if action.text.lower().startswith("lock out")]
        if LOCK_OUT.text in locked and WAITING not in self.entry:
            found.append(f"{LOCK_OUT.text!r} is not said how long; put WAITING in the entry")
        if locked and locked[0] != LOCK_OUT.text:
            found.append(f"{locked[0]!r} is not said how; put KEY_OFF before it")
        if at.running:
            found.append("the engine still runs at the end")
        touched = any(action.hands or action.state == "running" for action in self.actions)
        lacks = [what for what in ("entry", "end") if touched and not getattr(self, what)]
        return [*found, *(f"no {what} is said; stop if …, and how all is put back" for what in lacks)]


@dataclass(frozen=True)
class _Standing:
    """How the vehicle stands: engine running, or not known to be stopped; rail seen at zero; key off; near: a hand was there,
    and no bar has taken it away since."""

    stopped: bool = False
    running: bool = False
    zero: bool = False
    off: bool = False
    near: bool = False

    def after(self, step: Action) -> _Standing:
        near = self.near or bool(step.hands)
        if not step.state:
            return replace(self, near=near)
        if step.state == "running":
            return _Standing(running=True, near=near)
        return _Standing(stopped=True, zero=self.zero or step.state == "zero", off=step.state == "key off", near=near)

    def behind(self, bar: HoldPoint | str) -> _Standing:
        return replace(self, near=self.near and bar not in (HANDS_OFF, HANDS_OFF_AGAIN))

    def reached(self, step: Action) -> list[str]:
        """What is wrong with the hand of a step, once it is done."""
        if not step.hands:
            return []
        if step.state == "running":
            return [f"{step.text!r} has a hand there while it runs"]
        if step.hands == "high pressure" and not self.zero:
            return [f"{step.text!r} brings a hand to the high-pressure side before the rail was seen to fall to zero"]
        if not self.stopped:
            return [f"{step.text!r} brings a hand there before the engine was stopped"]
        return [] if self.off else [f"{step.text!r} brings a hand there with the ignition on; put KEY_OFF before it"]


def _words(step: Action) -> list[str]:
    count = len(step.text.split())
    return [f"{step.text!r} has {count} words; say it in {MOST_WORDS}, or make it two steps"] if count > MOST_WORDS else []


# common practice, no source, all of them
WAITING = Condition(
    "Data allow ignition on, stopped; waiting time:",
    otherwise="without a waiting time no hand goes near: stop here; the ignition off: empty and prove the rail as the data say",
    blank="min",
)
"""Last of each entry: how long each later "wait" is, and that the reading may stay alive at the stop."""
NO_TESTER = Condition("No insulation tester.", otherwise="its high voltage destroys the control unit: use an ohmmeter")
"""In the entry of each procedure that measures from a pin to the housing, or a wire to ground."""
OHMMETER = Message("with an ohmmeter, never an insulation tester")
WIRES = Message("{with_ohmmeter}, the plugs off at both ends", with_ohmmeter=OHMMETER)
"""What a next test says of such a measurement: at a part whose plug is off, and along wires."""
TO_ZERO = Action(
    "Prove zero: stop, ignition on; see rail fall to 0.",
    tool="the rail pressure from live data",
    caution=SEEN_TO_FALL,
    state="zero",
)
"""First of each procedure that brings a hand to the high-pressure side; live data stay alive until zero was seen. It names what
later steps call "prove zero"."""
LOCK_OUT = Action("Lock out: off, take key; DO NOT START on wheel; wait.", state="key off")
"""Before the first hand, after `TO_ZERO`: nobody can start it. The wait is that of `WAITING`; all of it is what later steps
call "lock out"."""
KEY_OFF = Action(LOCK_OUT.text, caution=STORED_VOLTAGE, state="key off")
"""`LOCK_OUT` before a hand goes to what injectors are wired to."""
BEFORE_HANDS = HoldPoint(
    "Neutral/P, brake, chocks; fan may start; lift locked, nobody below; goggles, gloves.",
    ("M004", "M009"),
    "Neutral/P, brake, chocks; fan may start; lift locked, nobody below.",
)
"""First of each procedure: stands before a hand goes into the bay."""
BEFORE_RUNNING = HoldPoint("Exhaust extraction, extinguisher, ear protection.", ("F001", "M003"), "Exhaust extraction.")
"""Stands before the engine runs or cranks for the first time; `RUNNING_ENGINE` says it at length."""
HANDS_OFF = HoldPoint("Hands off until zero, locked out.", danger=True)
"""Stands before pressure is made, the engine runs or the ignition goes on, after what a hand has fitted."""
HANDS_OFF_AGAIN = HoldPoint("Hands off.", danger=True)
"""The same before a later run, where a hand was there in between."""
ON_ROAD = HoldPoint("Road: second person reads; extraction, chocks away, leads tied, bonnet shut.", danger=True)
"""Stands before a run that may be a drive; `BEFORE_RUNNING` before it."""
ZERO_AGAIN = Action("Stop; prove zero.", state="zero")
"""After each run, before the key goes off and a hand near: what `TO_ZERO` says."""
LOOK = Action("Run; look from afar; wet: stop.", state="running")
"""After all is put back, wiped and counted, no hand near; `ZERO_AGAIN` and `OFF_AT_LAST` follow."""
CLEAR = Action("Wipe; count tools.", hands="low side")
"""Key off and waited: the end, or before a last run, which then shows wet what was dry and throws no tool."""
OFF_AT_LAST = Action("Switch off.", state="key off")
"""The end with the ignition on; no hand goes near any more."""
STOP_AT_LAST = Action("Stop; switch off.", state="key off")
"""The end after a last run; no hand goes near any more."""


def guarded(
    steps: Sequence[Action | HoldPoint | str],
    *,
    entry: Sequence[Condition | str],
    end: Sequence[Action | HoldPoint | str] = (),
    tools: Sequence[str] = (),
    caution: Caution | None = None,
    lock: Action = KEY_OFF,
    opened: bool = False,
) -> Procedure:
    """A procedure of the author's own actions, with all that stands between a hand and danger put in where it belongs.

    First comes `BEFORE_HANDS`; before the first hand `TO_ZERO` and `lock`; after a run `ZERO_AGAIN`; before the first run
    `BEFORE_RUNNING` and `HANDS_OFF`; `HANDS_OFF` or `HANDS_OFF_AGAIN` wherever it runs, or the ignition goes on, after a hand
    was there; last of the entry `WAITING`; at the end `CLEAR`, and of what was `opened` a look from afar at a last run. What
    the author has put in stays where it is, and is not put in twice.

    lock: how the key goes off before a hand; `LOCK_OUT` where the caution on top speaks of stored voltage, or none is near.
    """
    made = _Guarded(lock)
    for step in steps:
        made.add(step)
    first = len(made.steps)
    for step in end:
        made.add(step)
    made.close(opened)
    asked = (*entry, WAITING) if made.touched else tuple(entry)
    return Procedure(tuple(made.steps[:first]), asked, tuple(made.steps[first:]), tools, caution)


class _Guarded:
    """Steps with their guards, one after another; how the vehicle stands after the last."""

    def __init__(self, lock: Action) -> None:
        self.lock, self.at, self.touched = lock, _Standing(), False
        self.steps: list[Action | HoldPoint] = [BEFORE_HANDS]

    def add(self, step: Action | HoldPoint | str) -> None:
        step = Action(step) if isinstance(step, str) else step
        if isinstance(step, Action):
            self._guard(step)
            self.at, self.touched = self.at.after(step), self.touched or bool(step.hands)
        else:
            self.at = self.at.behind(step)
        self.steps.append(step)

    def _guard(self, step: Action) -> None:
        """What has to be so before it."""
        if step.state == "running" and BEFORE_RUNNING not in self.steps:
            self.add(BEFORE_RUNNING)
        if (self.at.near and step.state in MOVES) or (step.state == "running" and HANDS_OFF not in self.steps):
            self.add(HANDS_OFF_AGAIN if HANDS_OFF in self.steps else HANDS_OFF)
        if (step.hands and not (self.at.zero and self.at.stopped)) or (self.at.running and step.state == "key off"):
            self._prove_zero()
        if step.hands and not self.at.off and step.state != "key off":
            self._do(self.lock)

    def _prove_zero(self) -> None:
        self._do(ZERO_AGAIN if TO_ZERO in self.steps else TO_ZERO)

    def _do(self, step: Action) -> None:
        self.at = self.at.after(step)
        self.steps.append(step)

    def close(self, opened: bool) -> None:
        """What is left to do: wiped, counted, looked at where something was opened, and switched off."""
        if self.touched and CLEAR not in self.steps:
            self.add(CLEAR)
        if opened:
            self.add(LOOK)
        if self.at.running:
            self._do(STOP_AT_LAST if TO_ZERO in self.steps else TO_ZERO)
        if self.at.stopped and not self.at.off:
            self._do(OFF_AT_LAST)
