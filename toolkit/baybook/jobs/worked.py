"""A step of a job with its result."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, cast

from ..answers import NEXT, NEXT_OUTSIDE
from ..dataclass import dataclass, replace
from ..declare import Calculator
from ..errors import BaybookError, InputError, Problem
from ..execution import run
from ..message import Message
from ..places.complaint import AT_THE_START
from ..places.evidence import Evidence
from ..places.layout import stage_of
from ..places.sense import Senses
from ..places.system import SystemMap
from ..registry import registry
from ..result import Result, Stage
from .evidence import evidence
from .fitted_inputs import of_vehicle
from .sheet import Sheet, SheetStep

if TYPE_CHECKING:
    from ..message import Said


@dataclass(frozen=True)
class Worked:
    """A step with its result, or with the error that kept it from having one; neither where it is planned and not taken yet.

    calculator: None where it is not on offer. evidence: what it says of places.
    """

    step: SheetStep
    calculator: Calculator | None
    result: Result | None = None
    error: BaybookError | None = None
    evidence: tuple[Evidence, ...] = ()

    @property
    def unplaced(self) -> bool:
        """Whether it judged something and does not say on which part, so that it cannot count."""
        return self.result is not None and bool(self.result.answers) and not self.evidence and not self.error

    @property
    def title(self) -> str:
        """The step's own title, or the calculator's, with what was read or looked for; what happened where it is no test."""
        if self.step.title:
            return self.step.title
        if self.step.repair:
            return Message("Repair: {parts}", parts=[Message.numbered(part) for part in self.step.repair])
        if self.step.complaint:
            return Message.of(f"Complaint tried again: {self.step.complaint}")
        if self.calculator is None:
            return self.step.calculator
        sense = self.calculator.sense
        what = self.step.inputs.get(sense.input) if isinstance(sense, Senses) else None
        if not isinstance(what, str) or not what:
            return self.calculator.title
        return Message("{title}: {what}", title=Message.of(self.calculator.title), what=Message.numbered(what))

    @property
    def planned(self) -> bool:
        """Whether it is a test that is not taken yet."""
        return bool(self.step.calculator) and self.result is None and self.error is None

    def to_dict(self, said: Said = Message.to_dict) -> dict[str, Any]:
        """For JSON; said: what stands there for a message."""
        return {
            "number": self.step.number, "title": self.title, "note": self.step.note, "taken": self.result is not None,
            "object": self.step.object, "repair": list(self.step.repair), "complaint": self.step.complaint,
            "evidence": [item.to_dict() for item in self.evidence],
            "result": self.result.to_dict(said) if self.result else None,
            "error": self.error.to_dict()["error"] if self.error else None,
        }  # fmt: skip


def worked_out(step: SheetStep, sheet: Sheet) -> Worked:
    """The step of a sheet run, where it has inputs; with the error where it cannot be."""
    calculator = None
    try:
        if not step.calculator:
            return Worked(step, None)
        calculator = registry().calculator(step.calculator)
        if not step.inputs:
            return Worked(step, calculator)
        result = _in_a_job(run(calculator, {**of_vehicle(calculator, sheet.system), **step.inputs}), sheet.system)
        shows = sheet.complaint.shows if sheet.complaint else ()
        starts = sheet.complaint is None or sheet.complaint.kind not in AT_THE_START
        found = evidence(step, calculator, result, sheet.reach, shows, starts=starts)
        return Worked(step, calculator, result, evidence=found)
    except BaybookError as error:
        return Worked(step, calculator, error=error)


def _in_a_job(result: Result, system: SystemMap) -> Result:
    """The result without the advice to take it into a job, and with each finding about a part at its stage in this vehicle."""
    kept = tuple(note for note in result.notes if not (isinstance(note, Message) and note.template in (NEXT, NEXT_OUTSIDE)))
    stages = [cast(Stage, stage_of(each.part, system.fitted)) if each.part else each.stage for each in result.findings]
    findings = (replace(each, stage=stage) for each, stage in zip(result.findings, stages, strict=True))
    return replace(result, notes=kept, findings=tuple(findings))


def of_step(step: SheetStep, error: BaybookError) -> BaybookError:
    """The error with its step named."""
    where = f"step {step.number} ({step.calculator})" if step.calculator else f"step {step.number}"
    if not isinstance(error, InputError):
        return BaybookError(f"{where}: {error}")
    return InputError(Problem(f"{where}, {p.input}" if p.input else where, p.given, p.why, p.hint) for p in error.problems)
