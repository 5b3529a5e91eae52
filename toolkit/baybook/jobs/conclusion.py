"""The engine's conclusion of a sheet: its steps in their order as evidence and repairs, on the map of its vehicle."""

from __future__ import annotations

import shlex
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from ..errors import BaybookError, InputError, Problem
from ..places.choice import NextTest, next_tests
from ..places.complaint import complaint
from ..places.conclusion import Conclusion, conclude
from ..places.evidence import Evidence
from ..places.history import Repair
from ..places.place import NO_FAULT
from ..places.system import SystemMap
from .evidence import evidence
from .sheet import Sheet
from .tests import senses, tests

if TYPE_CHECKING:
    from .worked import Worked

MOST = 5
"""Next tests that are named."""


def evidence_of(worked: Worked) -> tuple[Evidence, ...]:
    """What a step says of places; nothing where it was not worked out or its calculator declares no sense."""
    if worked.result is None or worked.calculator is None or worked.error:
        return ()
    return evidence(worked.step, worked.calculator, worked.result)


def off_the_map(worked: Worked, system: SystemMap) -> BaybookError | None:
    """The error of a step that was made on, or repaired, what this vehicle does not have."""
    problems: list[Problem] = []
    parts = {name for each in system.places for name in (each.name, each.part)}
    objects = {item.object for item in evidence_of(worked)} - {""}
    for key, names in (("object", sorted(objects)), ("repair", worked.step.repair)):
        for name in names:
            if name not in parts:
                try:
                    system.place(name)
                except InputError as error:
                    problems += [Problem(key, p.given, p.why, p.hint) for p in error.problems]
    return InputError(problems) if problems else None


def grown(sheet: Sheet, steps: Iterable[Worked]) -> SystemMap:
    """The sheet's map with as many injectors as were tested or repaired, where their number is not said."""
    objects = [name for w in steps for name in (*w.step.repair, *(item.object for item in evidence_of(w)))]
    return sheet.system.grown(objects)


def concluded(sheet: Sheet, steps: Sequence[Worked]) -> Conclusion:
    """The conclusion from all steps that were worked out."""
    system = grown(sheet, steps)
    taken: list[Evidence | Repair] = []
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
            taken.append(complaint(system, kind, stands=not gone, again=True, step=number, said=worked.step.note))
        taken += evidence_of(worked)
    return conclude(taken, system)


def open_tests(found: Conclusion, most: int = MOST) -> tuple[NextTest, ...]:
    """What to test next: first what settles a contradiction or proves a repair, then the most worthwhile.

    A test that looks at no place that is open comes only where none does. None where no fault is left to be found.
    """
    if found.open == (NO_FAULT,):
        return ()
    unproved = {proof.before.test for proof in found.proofs if proof.after is None}
    ranked = next_tests(found, senses())
    looking = [test for test in ranked if test.separates or _settles(test, unproved)] or ranked
    return tuple(sorted(looking, key=lambda test: not _settles(test, unproved))[:most])


def _settles(test: NextTest, unproved: set[str]) -> bool:
    return test.reason == "contradiction" or (test.reason == "after repair" and test.test in unproved)


def command(test: NextTest, sheet: Path) -> str:
    """The command line that adds the test to the sheet, asking for its readings; "" where no calculator takes it."""
    offered = tests().get(test.test)
    if offered is None:
        return ""
    inputs = {**offered.inputs, **offered.sense.inputs_for(test.object)}
    words = ["baybook", "job", "add", str(sheet), offered.calculator.name]
    words += [word for name, text in inputs.items() for word in (f"--{name.replace('_', '-')}", text)]
    if test.object and not offered.sense.inputs_for(test.object):
        words += ["--object", test.object]
    return shlex.join([*words, "--ask"])
