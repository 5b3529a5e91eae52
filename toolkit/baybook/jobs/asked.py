"""What a job asks for beside the tests by the odds: what is to be mended, what the steps ask for, what is planned."""

from __future__ import annotations

from collections.abc import Container, Iterator
from typing import TYPE_CHECKING

from ..dataclass import replace
from ..message import Message
from ..places.complaint import NO_START
from ..places.conclusion import Conclusion
from ..places.evidence import Evidence
from ..places.hypotheses import WORN
from ..places.outlook import found_outside, looks_outside, outside_found, to_mend
from ..places.place import Place
from ..places.system import SystemMap
from ..placing import cautioned, mended_at
from ..result import SIDES, STAGES
from .findings import Cell, cell_of, next_tests, planned_steps
from .messages import test
from .sheet import Sheet
from .stops import is_barred, marked, only_seen
from .worked import Worked

if TYPE_CHECKING:
    from ..message import Argument


def asked_for(sheet: Sheet, found: Conclusion, steps: tuple[Worked, ...], told: tuple[Cell, ...]) -> tuple[Message, ...]:
    """What to look at or to mend, then the planned steps; what has to wait for what comes first of all is marked so.

    told: by stage and side the findings that are in no odds. What was asked for before the last repair no longer is.
    """
    repaired = max((at for at, w in enumerate(steps, 1) if w.step.repair and not w.error), default=0)
    halted = {item.step for item in found.halts}  # what these ask for is said first of all
    asking = tuple(w for w in steps[repaired:] if w.step.number not in halted)
    open_ = {w.step.number for w in asking if not any(_decides(item, found.system) for item in w.evidence)}
    bad = tuple(_asking(cell_of(a, b, asking), open_) for a in STAGES for b in SIDES)
    wanted: list[str] = [*_mend(found, {w.step.number for w in steps if only_seen(w)})]
    wanted = wanted or list(dict.fromkeys((*next_tests(bad, steps), *next_tests(told, steps))))
    barred = {w.step.number for w in steps if w.planned and is_barred(w.calculator, found.halts)}
    outside = [_outside(sheet)] if looks_outside(found) else []
    return (*outside, *(marked(each, found.halts) for each in wanted), *planned_steps(steps, barred))


def _decides(item: Evidence, system: SystemMap) -> bool:
    return (item.bad or item.good) and not item.says_nothing(system)


def _asking(cell: Cell, open_: set[int]) -> Cell:
    """The findings whose next test is asked for: of what is bad, and of steps that decided nothing."""
    found = tuple((n, f) for n, f in cell.findings if f.strength in ("proven", "indicated") or n in open_)
    return replace(cell, findings=found)


def _mend(found: Conclusion, seen: Container[int]) -> Iterator[Message]:
    """What is left to do where nothing but what is to be mended is open: mend it, and repeat the test that showed it.

    seen: the steps in which nothing was measured.
    """
    if found_outside(found) and not (found.complaint_tried_again and not found.complaint_stands):
        names = outside_found(found)
        parts = [Message.numbered(name) for name in names]
        yield Message(MEND_PART, parts=parts, typed=", ".join(names)) if parts else Message.of(MEND_OUTSIDE)
    mended = to_mend(found)
    worn = [place for place in found.system.places if place.kind == WORN]
    if len(worn) > 1 and set(worn) <= {standing.place for standing in mended}:
        yield Message.of(WHOLE_SET)
    for standing in mended:
        yield cautioned(_mend_at(standing.place, found, seen), mended_at(standing.place))


def _mend_at(place: Place, found: Conclusion, seen: Container[int]) -> Message:
    """To mend a place and to repeat what showed its fault: what moved it, else what was measured, at the place before all else;
    where nothing did but a look at it, to try the complaint again."""
    at = found.system.places.index(place)
    bad = [(reach, e) for e in found.history.binding(at) if e.bad and not e.is_look and (reach := e.looked(at, found.system))]
    told: dict[str, Argument] = {"place": Message.numbered(place.name), "part": Message.numbered(place.part)}
    if not bad:
        return Message(MEND_SEEN, **told)
    _, shown = max(bad, key=lambda each: (each[1].provokes, each[1].step not in seen, each[1].looks_directly(place), each[0]))
    return Message(MEND, **told, test=test(shown.test, shown.object))


MEND_OUTSIDE = (
    "mend what was found outside the fuel system, mark it (baybook job mark: repair battery, starter, charge air …), then try "
    "the complaint again"
)
MEND_PART = "mend {parts}, mark it (baybook job mark: repair {typed}), then try the complaint again"
LOOK_OUTSIDE = "look outside the fuel system: {parts}; note what is found (observation, its place the part)"
OUTSIDE = "battery and starter, air filter, charge air and its hoses, boost, exhaust, compression"
OF_STARTING = "battery and starter, immobiliser, glow plugs, compression, valve timing, exhaust"
OUTSIDE_OF = {
    NO_START: OF_STARTING,
    "starts badly": OF_STARTING,
    "lacks power": "air filter, charge air and its hoses, boost and its control, air mass sensor, exhaust and particulate "
    "filter, exhaust gas recirculation, compression",
    "runs unevenly": "compression, valve clearance and timing, exhaust gas recirculation, glow plugs, engine mounts",
    "cuts out": "supply and ground of the control unit, its relay, immobiliser, ignition switch",
}
"""By complaint what brings it outside the fuel system, in the order in which it is looked at. common practice, no source"""


def _outside(sheet: Sheet) -> Message:
    kind = sheet.complaint.kind if sheet.complaint else ""
    return Message(LOOK_OUTSIDE, parts=Message.of(OUTSIDE_OF.get(kind, OUTSIDE)))


WHOLE_SET = (
    "before a set is condemned make sure of what all injectors share: rail pressure, time, fuel and temperature of the limit's "
    "condition, and whether their return needs pressure; then have the set tested on a bench"
)
MEND = "mend {place}, mark it (baybook job mark: repair {part}), then repeat {test}: that proves the repair"
MEND_SEEN = "mend {place}, mark it (baybook job mark: repair {part}), then try the complaint again"
