"""The engine's conclusion of a sheet: its steps in their order as evidence and repairs, on the map of its vehicle."""

from __future__ import annotations

import re
import shlex
from collections.abc import Iterable, Iterator, Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from ..dataclass import replace
from ..places.adapted import where_it_does_not_start
from ..places.archive import base_rates
from ..places.choice import NextTest, next_tests
from ..places.complaint import AT_THE_START, NO_START, OF_GOING, OF_STARTING, comes_and_goes, complaint, only_hot, worked_on
from ..places.conclusion import Conclusion, conclude
from ..places.evidence import Evidence
from ..places.history import Repair
from ..places.outlook import found_outside, to_mend
from ..places.place import NO_FAULT, SIDES, STAGES
from ..places.pointed import MOSTLY
from ..places.proof import REPEAT
from ..places.sense import Sense
from ..places.system import SystemMap
from .condition import BUMPS, DIFFERS, HOT
from .offered import added_places, offered_tests, senses
from .reach import changed
from .sheet import Sheet

if TYPE_CHECKING:
    from .worked import Worked

EACH = "*"
MOST = 5
"""Next tests that are named."""
RIVAL, CONFIRMING = 0.05, 0.03
"""Beside a place that is likely, or a stage and side that holds most, only such tests are named as look at a place of that
chance, and tell so many bits."""
WORTH_A_DELAY = 0.15
"""Bits that a test has to tell, where something else comes first of all."""


def grown(sheet: Sheet, steps: Iterable[Worked]) -> SystemMap:
    """The sheet's map with as many injectors as were tested or repaired, where their number is not said."""
    objects = [name for w in steps for name in (*w.step.repair, *(item.object for item in w.evidence)) if name != EACH]
    return sheet.system.grown(objects).with_places(added_places())


def concluded(sheet: Sheet, steps: Sequence[Worked], outcomes: Mapping[str, int] | None = None) -> Conclusion:
    """The conclusion from all steps that were worked out. outcomes: of finished jobs by place; none where they do not count."""
    system = grown(sheet, steps)
    taken: list[Evidence | Repair] = []
    if sheet.complaint and sheet.complaint.after:
        taken.append(worked_on(system, sheet.complaint.after))
    if sheet.complaint and BUMPS in sheet.complaint.shows:
        taken.append(comes_and_goes(system))
    if sheet.complaint and HOT in sheet.complaint.shows:
        taken.append(only_hot())
    if sheet.complaint:
        taken.append(complaint(system, sheet.complaint.kind, said=sheet.complaint.text))
    for worked in steps:
        number = worked.step.number
        if worked.error:
            continue
        if worked.step.repair:
            taken.append(Repair(number, worked.step.repair, worked.step.note))
        elif worked.step.complaint:
            kind = sheet.complaint.kind if sheet.complaint else ""
            gone = worked.step.complaint == "gone"
            again = complaint(
                system, kind, stands=not gone, again=True, beside=_found_beside(taken, system),
                seldom=_comes_seldom(sheet), step=number, said=worked.step.note,
            )  # fmt: skip
            taken = [*_not_said_again(taken), again]
        taken += [one for item in worked.evidence for one in _each(item, system)]
    rates = base_rates(outcomes, system) if outcomes is not None else None
    found = conclude(taken, system, rates)
    spoilt = {step for step, halted in found.against.items() if halted.halt.spoils}
    if not spoilt:
        return found
    less = [
        replace(e, left=e.left * DIFFERS, elsewhere="") if isinstance(e, Evidence) and e.step in spoilt else e for e in taken
    ]
    return conclude(less, system, rates)


def _not_said_again(taken: Sequence[Evidence | Repair]) -> list[Evidence | Repair]:
    """The evidence without what was said since the last repair of the complaint tried again: the last word counts."""
    since = max((at for at, item in enumerate(taken) if isinstance(item, Repair)), default=0)
    return [e for at, e in enumerate(taken) if at < since or isinstance(e, Repair) or e.is_test or not e.step]


def _comes_seldom(sheet: Sheet) -> bool:
    """Whether the complaint comes and goes, by itself or on bumps, and shows in no condition in which it can be tried at
    will."""
    told = sheet.complaint
    return told is not None and (told.kind == OF_GOING or BUMPS in told.shows) and set(told.shows) <= {BUMPS}


def _found_beside(taken: Sequence[Evidence | Repair], system: SystemMap) -> set[str]:
    """The places that a test looked at, found bad, and nobody repaired, where another was found bad and repaired."""
    bad = [item for item in taken if isinstance(item, Evidence) and item.bad and item.is_test]
    repairs = [item for item in taken if isinstance(item, Repair)]
    if not any(repair.mends(item, system) for repair in repairs for item in bad):
        return set()
    mended = {system.places[at].name for repair in repairs for at in repair.positions(system)}
    return {place.name for place in system.places for item in bad if item.looks_directly(place)} - mended


def _each(item: Evidence, system: SystemMap) -> Iterator[Evidence]:
    """The evidence; of what was found on each object that the test can be made on, one for each that this vehicle has."""
    if item.object != EACH or item.sense is None:
        yield item
    else:
        question = item.sense.question(item.question, item.test)
        yield from (replace(item, object=name) for name in item.sense.on(system) if question.asked_of(name))


def open_tests(sheet: Sheet, found: Conclusion, most: int = MOST) -> tuple[NextTest, ...]:
    """What to test next: first what settles a contradiction or proves a repair, then the most worthwhile.

    A test that looks at no place that is open comes only where none does. None where no fault is left to be found.
    """
    able = _possible(sheet, found)
    if not found.halts:
        return _ranked(found, able, most)
    able = {name: sense for name, sense in able.items() if not any(halted.withholds(sense) for halted in found.halts)}
    return tuple(test for test in _ranked(found, able, most) if test.gain >= WORTH_A_DELAY)


def withheld_tests(sheet: Sheet, found: Conclusion, most: int = MOST) -> tuple[NextTest, ...]:
    """What would be to test next and has to wait for what comes first."""
    able = _possible(sheet, found) if found.halts else {}
    ranked = _ranked(found, able, most, to_be_mended=False)
    return tuple(test for test in ranked if any(h.withholds(able[test.test]) for h in found.halts))


def _ranked(found: Conclusion, able: Mapping[str, Sense], most: int, *, to_be_mended: bool = True) -> tuple[NextTest, ...]:
    if found.open == (NO_FAULT,) or not able:
        return ()
    unproved = {name for proof in found.proofs if proof.word in REPEAT for name in (proof.before.test, proof.before.looked_for)}
    ranked = next_tests(found, able)
    if to_be_mended and (to_mend(found) or found_outside(found)):
        return tuple(test for test in ranked if _settles(test, unproved))[:most]
    looking = [test for test in ranked if test.separates or _settles(test, unproved)] or ranked
    if found.standings[0].word == "likely" or any(found.sum(a, b) >= MOSTLY for a in STAGES for b in SIDES):
        rivals = {standing.place.name for standing in found.standings if standing.chance >= RIVAL}
        looking = [t for t in looking if _settles(t, unproved) or (t.gain >= CONFIRMING and not rivals.isdisjoint(t.separates))]
    return tuple(sorted(looking, key=lambda test: not _settles(test, unproved))[:most])


def _possible(sheet: Sheet, found: Conclusion) -> dict[str, Sense]:
    """The tests that can be made now: an engine that does not start runs for none, and of one that starts well the start is
    not looked at but to repeat it."""
    taken = {item.test for epoch in found.history.epochs for item in epoch.taken}
    kind = sheet.complaint.kind if sheet.complaint else ""
    able = {name: changed(sense, name, sheet.reach) for name, sense in senses().items()}
    if kind == NO_START:
        return {name: where_it_does_not_start(sense) for name, sense in able.items() if not sense.running}
    if kind in AT_THE_START:  # (what is asked of a reading is whether it was read while cranking)
        return {name: where_it_does_not_start(sense) for name, sense in able.items()}
    return {name: sense for name, sense in able.items() if not sense.starting or name in taken or kind in OF_STARTING}


def _settles(test: NextTest, unproved: set[str | tuple[str, str]]) -> bool:
    """Whether it comes before what merely tells most: it decides what stands, or can be made to say something at all."""
    unmet = test.reason == "unmet" and test.gain >= WORTH_A_DELAY
    return (
        unmet
        or test.reason in ("contradiction", "another repaired")
        or (test.reason == "after repair" and not unproved.isdisjoint({test.test, *test.things}))
    )


def command(test: NextTest, sheet: Path) -> str:
    """The command line that adds the test to the sheet, asking for its readings; "" where no calculator takes it."""
    offered = offered_tests().get(test.test)
    if offered is None:
        return ""
    named = offered.sense.inputs_for(test.object)
    places = {parameter.name for parameter in offered.calculator.parameters if parameter.field.positional}
    words = ["baybook", "job", "add", str(sheet), offered.calculator.name]
    for name, text in sorted({**offered.inputs, **named}.items(), key=lambda item: item[0] not in places):
        words += [text] if name in places else [f"--{name.replace('_', '-')}", text]
    if test.object and not named:
        words += ["--object", test.object]
    return " ".join(map(_typed, [*words, "--ask"]))


def _typed(word: str) -> str:
    """The word as any shell takes it: in double quotes where it holds spaces, and no other shell would read more into it."""
    return f'"{word}"' if re.fullmatch(r"[\w .,:/\\-]+", word) and " " in word else shlex.quote(word)
