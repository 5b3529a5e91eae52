"""What a worked-out step says about the places of the vehicle: the answers of its result as evidence."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from ..answers import test_of
from ..dataclass import replace
from ..declare import Calculator
from ..fields import CaptureFile
from ..places.adapted import made_outside, where_it_does_not_start
from ..places.evidence import Evidence
from ..places.place import is_outside, resolved
from ..places.sense import Sense
from ..result import Result
from .condition import answered, by_kind, elsewhere, left, of_inputs, that_can_be, with_usual
from .reach import Reach, changed
from .sheet import SheetStep


def evidence(
    step: SheetStep, calculator: Calculator, result: Result, reach: Reach, shows: tuple[str, ...] = (), *, starts: bool = True
) -> tuple[Evidence, ...]:
    """The evidence of a step that was worked out; none where its calculator has no sense, or nothing was judged.

    reach: what the sheet changes of the senses. shows: in which conditions the complaint shows. starts: whether
    the engine does.
    """
    test = test_of(calculator, result.inputs)
    if test is None:
        return ()
    name, sense = test[0], changed(test[1], test[0], reach)
    sense = sense if starts else where_it_does_not_start(sense)
    shares = frozenset(_shared(step, calculator, sense, result))
    taken = with_usual((*step.condition, *of_inputs(result.inputs)), sense)
    met = {**answered(sense, that_can_be(shows, sense), taken), **result.met}
    found = []
    for answer in result.answers:
        on = object_of(step, answer.object)
        if answer.factors is not None:
            found.append(Evidence(step.number, name, object=on, shares=shares, factors=answer.factors, said=answer.said))
        elif on or not (sense.objects and sense.questions[answer.question].aimed):
            made = made_outside(sense) if is_outside(on) else sense
            of = Evidence(step.number, name, answer.conforms, made, answer.question, on, met)
            brings, shown = _of(answer.brings, on), _of(answer.shows, on)
            question = sense.questions[answer.question]
            can = () if of.provokes or sense.lasting or question.lasting else that_can_be(shows, sense, warm=question.warm)
            of = replace(of, left=left(can, taken), elsewhere=elsewhere(can, taken))
            of = replace(of, shares=shares, said=answer.said, brings=brings, shows=shown, made_in=by_kind(taken))
            found.append(of)
    return tuple(found)


def _of(sizes: Mapping[str, float], target: str) -> dict[str, float]:
    return {resolved(quantity, target): size for quantity, size in sizes.items()}


def object_of(step: SheetStep, answered: str) -> str:
    """On what it was made: as the answer or the inputs say it, else as the step does."""
    return answered or step.object.removesuffix(" coil")


def _shared(step: SheetStep, calculator: Calculator, sense: Sense, result: Result) -> Iterator[str]:
    """Causes of error that the step's answers share with each other, or with other steps."""
    yield from step.instruments
    if sense.together and len(result.answers) > 1:  # what stands alone shares nothing
        yield f"step {step.number}"
    for parameter in calculator.parameters:
        if isinstance(parameter.field, CaptureFile) and parameter.name in result.inputs:
            yield f"capture {result.inputs[parameter.name]['value']['file']}"
