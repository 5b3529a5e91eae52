"""What a step says that the sheet says otherwise: a part that is not fitted, how a valve stands, two objects at once."""

from __future__ import annotations

from collections.abc import Iterator

from ..answers import plain, test_of
from ..errors import BaybookError, InputError, Problem
from ..places.known import is_known
from ..places.layout import VALVES
from ..places.place import is_outside, resolved
from ..places.system import SystemMap
from .conclusion import EACH
from .fitted_inputs import REST, WORDS, at_rest, missing
from .worked import Worked

CHANGE = "correct one of them: the step, or [system]"
BOTH = "both"


def at_odds(worked: Worked, system: SystemMap) -> BaybookError | None:
    """The error of a step that was made on, or repaired, what this vehicle does not have, or that the sheet contradicts."""
    problems = [*_not_on_the_map(worked, system), *_two_objects(worked)]
    problems = problems or [*_said_otherwise(worked, system), *_not_fitted(worked, system)]
    return InputError(problems) if problems else None


def _not_on_the_map(worked: Worked, system: SystemMap) -> Iterator[Problem]:
    parts = {name for each in system.places for name in (each.name, each.part, *each.also)}
    objects = {item.object for item in worked.evidence} - {"", EACH}
    for key, names in (("object", sorted(objects)), ("repair", worked.step.repair)):
        for name in names:
            if name not in parts and not is_outside(name):
                try:
                    system.place(name)
                except InputError as error:
                    yield from (Problem(key, p.given, p.why, p.hint) for p in error.problems)


def _two_objects(worked: Worked) -> Iterator[Problem]:
    """The step names one part as its object, and its inputs another."""
    test = test_of(worked.calculator, worked.result.inputs) if worked.calculator and worked.result else None
    made_on = test[1].object_of(plain(worked.result.inputs)) if test and worked.result else ""
    if made_on and worked.step.object and worked.step.object.removesuffix(" coil") != made_on:
        yield Problem(
            "object", worked.step.object, f"is not what the inputs name, {made_on}", "leave object out, or correct one"
        )


def _said_otherwise(worked: Worked, system: SystemMap) -> Iterator[Problem]:
    """Inputs that have the name of a part, or of a valve's side, and say what `[system]` says otherwise."""
    absent, stands = set(missing(system)), dict(at_rest(system))
    fitted = {*(system.fitted.low_pressure or ()), *_valves(system)}
    for name, value in worked.step.inputs.items():
        of = next((valve for valve in VALVES if _is_of(valve, name, value)), "")
        part = of or name.replace("_", " ")
        if part in absent and value not in (*WORDS, "unknown"):
            yield Problem(name, value, f"speaks of the {part}, which [system] says is not fitted", CHANGE)
        elif part in fitted and value in WORDS:
            yield Problem(name, value, f"is said, and [system] says that the {part} is fitted", CHANGE)
        elif part in stands and not of and value in REST.values() and value != stands[part]:
            yield Problem(name, value, f"is said, and [system] says {stands[part]} of the {part} (open_at_rest)", CHANGE)


def _is_of(valve: str, name: str, value: object) -> bool:
    """Whether an input is of the side of that valve: where = "inlet" or "both", inlet_duty."""
    side = valve.partition(" ")[0]
    return (name == "where" and value in (side, BOTH)) or (name.startswith(f"{side}_") and name != valve.replace(" ", "_"))


def _valves(system: SystemMap) -> Iterator[str]:
    known = zip(VALVES, (system.fitted.inlet_valve, system.fitted.outlet_valve), strict=True)
    yield from (valve for valve, said in known if said not in (None, False, "none"))


def _not_fitted(worked: Worked, system: SystemMap) -> Iterator[Problem]:
    """What was found at a part itself that the vehicle does not have."""
    names = {place.name for place in system.places} | {place.kind for place in system.places}
    seen = set()
    for item in worked.evidence:
        question = item.sense.question(item.question, item.test) if item.sense else None
        looked = [resolved(pattern, item.object) for pattern in question.direct] if question else []
        looked = [name for name in looked if is_known(name)]  # (the wiring of a control unit is no place of its own)
        if looked and (item.object or not question or not question.aimed) and names.isdisjoint(looked) and item.object != EACH:
            seen.add((item.test, looked[0]))
    for test, part in sorted(seen):
        yield Problem("", test, f"looks at the {part}, which [system] says is not fitted", CHANGE)
