"""What the customer complains of, as evidence. Common practice, no source."""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping, Sequence

from ..errors import InputError
from .evidence import COMPLAINT, Evidence
from .history import Repair
from .place import OFF_MAP
from .sense import Question, Sense
from .system import SystemMap

NO_REASON = 0.02  # how often there is such a complaint and nothing is at fault
MINUTES = 5.0  # to try it again
USUAL = 0.5  # how often a place at fault brings a complaint; those below bring this one more or less often
NO_START = "does not start"
AT_THE_START = (NO_START, "starts badly")
OF_STARTING = ("", *AT_THE_START)
"""Complaints that a look at the start of the engine may speak of."""
AGAIN = 0.95  # how often a fault that brought a complaint brings it when it is tried again
SELDOM = 0.6  # the same of a complaint that comes and goes by itself or on bumps: that it stays away for a while proves little

_SEEN_AT_ONCE = {"rail and joints": 0.3, "pump outlet": 0.3}
"""While an engine runs: fuel that gets out there at a rate which the pump cannot make good is smelt and seen before it is
missed."""

COMPRESSION = "compression"
"""A place that a calculator adds where it looks at it."""
# By complaint the places that bring it clearly more often, or hardly ever. What is not named brings it as often as any other.
_MORE: Mapping[str, Mapping[str, float]] = {
    "": {},
    NO_START: {
        "tank fuel": 0.8, "feed line": 0.7, "air leak": 0.7, "tank pump": 0.7, "pump drive": 0.9, "rail and joints": 0.7,
        "rail sensor wiring": 0.6,
        "speed and phase sensors": 0.9, "injector * coil": 0.2, "injector * wiring": 0.25, "return line": 0.1,
    },
    "starts badly": {
        "feed line": 0.6, "air leak": 0.9, "injector *": 0.7, "rail and joints": 0.6, "pump elements": 0.6,
        "injector * coil": 0.3, "pump drive": 0.1,
        "return line": 0.1,
    },
    "lacks power": {
        **_SEEN_AT_ONCE, "filter": 0.9, "tank pump": 0.8, "feed line": 0.8, "air leak": 0.4, "pump elements": 0.8,
        "return line": 0.5,
        "injector * coil": 0.3, "pump drive": 0.1,
        "speed and phase sensors": 0.1,
    },
    "cuts out": {
        **_SEEN_AT_ONCE, "tank fuel": 0.7, "feed line": 0.8, "air leak": 0.7, "filter": 0.7, "tank pump": 0.8,
        "rail sensor wiring": 0.7,
        "inlet valve wiring": 0.7,
        "speed and phase sensors": 0.8, "injector * coil": 0.1, "injector *": 0.2,
    },
    "runs unevenly": {
        "injector *": 0.9, "injector * coil": 0.9, "injector * wiring": 0.9, "injector driver": 0.8, COMPRESSION: 0.9,
        "filter": 0.2,
        "feed line": 0.3,
        "pump drive": 0.1, "rail and joints": 0.1, "return line": 0.1, "speed and phase sensors": 0.15,
    },
    "pressure too high": {
        "inlet valve": 0.8, "outlet valve": 0.7, "rail sensor": 0.8, "rail sensor wiring": 0.7, "return line": 0.6,
        "pump drive": 0.02,
        "filter": 0.02, "feed line": 0.02, "air leak": 0.02, "tank pump": 0.02, "tank fuel": 0.02, "pump elements": 0.03,
        "injector *": 0.02,
        "injector * coil": 0.02, "injector * wiring": 0.02, "rail and joints": 0.02,
    },
    "pressure too low": {
        **_SEEN_AT_ONCE, "filter": 0.8, "feed line": 0.8, "tank pump": 0.8, "pump elements": 0.8, "inlet valve": 0.7,
        "outlet valve": 0.7, "injector *": 0.6, "injector * coil": 0.02, "injector * wiring": 0.02,
        "pump drive": 0.1,
    },
}  # fmt: skip
COMPLAINTS = tuple(word for word in _MORE if word)
TOLD = "told rail pressure"
"""The quantity that the rail sensor tells, bar: what makes it tell too much or too little explains only a complaint of that."""
MOVEMENT = "what comes and goes with a movement"
AWAY = "what is away at times"
"""Of a complaint that comes and goes by itself: what is good while it is away contradicts nothing that is bad while it is
there."""
SHOWN = {"pressure too high": math.inf, "pressure too low": -math.inf}
OF_GOING = "cuts out"
"""The complaint that comes and goes."""
CONTACT, SWAYS = 5.0, 3.0
"""How much likelier a wire or plug, and the fuel in the tank, is at fault where the complaint shows on bumps."""
THIN: Mapping[str, float] = {
    "injector *": 2.5, "pump elements": 3.0, "outlet valve": 3.0, "relief valve": 3.0, "inlet valve": 1.5,
    "speed and phase sensors": 2.0, "injector * coil": 1.5, "inlet valve coil": 1.5, "outlet valve coil": 1.5,
}  # fmt: skip
"""How much likelier these are at fault where the complaint shows hot alone: thin fuel gets through a worn gap or seat, and a
winding opens warm."""
WORKED_ON = 8.0
"""How much likelier a part is at fault that was worked on just before the complaint began."""


def complaint(
    system: SystemMap,
    word: str = "",
    *,
    stands: bool = True,
    again: bool = False,
    beside: Collection[str] = (),
    seldom: bool = False,
    step: int = 0,
    said: str = "",
) -> Evidence:
    """The evidence that a complaint stands, or that it was tried and is gone.

    word: one of COMPLAINTS, "" for any other: then it only makes "no fault" unlikely.
    again: it was tried again after a repair; what brought it before brings it again, whatever the place. So does "it is gone".
    beside: places that were found bad beside the one that was repaired for it: that it is gone speaks against them only as far
    as they bring it themselves. seldom: whether it comes and goes, in no condition in which it can be tried at will.
    Raises InputError for an unknown word.
    """
    if word not in _MORE:
        from difflib import get_close_matches

        close = get_close_matches(word, COMPLAINTS, n=1)
        hint = f"did you mean {close[0]}?" if close else f"use {', '.join(COMPLAINTS)}, or leave it out"
        raise InputError.one("[complaint], kind", word, "is not one of the known complaints", hint)
    tried = again or not stands
    often = SELDOM if seldom and not stands else AGAIN
    usual = often if tried else USUAL
    own = set(beside) if not stands else {place.name for place in system.places if not tried}
    reach = {p.name: _MORE[word].get(p.kind, USUAL) if p.name in own else often for p in system.places}
    sense = Sense({"": Question(reach, NO_REASON, off_map=usual)}, MINUTES)
    shows = {TOLD: SHOWN[word]} if word in SHOWN else {AWAY: math.inf} if word == OF_GOING else {}
    return Evidence(step, COMPLAINT, 0.001 if stands else 0.999, sense, said=said or word, shows=shows)


def comes_and_goes(system: SystemMap) -> Evidence:
    """That the complaint shows on bumps: a contact, far rather than anything else; or fuel that sways in a tank."""
    shaken = {place.name: CONTACT for place in system.places if "wiring" in place.name or "sensors" in place.name}
    return Evidence(0, COMPLAINT, factors={**shaken, "tank fuel": SWAYS}, said="bumps", shows={MOVEMENT: math.inf})


def only_hot() -> Evidence:
    """That the complaint shows hot alone: what leaks inside, or a winding."""
    return Evidence(0, COMPLAINT, factors=THIN, said="hot")


def worked_on(system: SystemMap, parts: Sequence[str]) -> Evidence:
    """That these parts were worked on just before the complaint began. Raises InputError for one that is not on the map."""
    done = Repair(0, tuple(parts))
    names = [*(system.places[each].name for each in done.positions(system)), *([OFF_MAP] if done.outside else [])]
    return Evidence(0, COMPLAINT, factors=dict.fromkeys(names, WORKED_ON), said=", ".join(parts))
