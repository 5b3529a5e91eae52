"""What was taken, weighed and concluded cannot be changed behind the back of what was drawn from it."""

from __future__ import annotations

import dataclasses
import importlib
import pkgutil
from typing import Any

import pytest
from tests.places.test_by_hand import look, small

import baybook.places
from baybook.places.archive import Bin, Tally, base_rates, bins
from baybook.places.choice import next_tests
from baybook.places.conclusion import conclude
from baybook.places.fitted import Fitted
from baybook.places.history import Repair
from baybook.places.need import Halt, Need
from baybook.places.place import Place
from baybook.places.pointed import pointed
from baybook.places.sense import Answer, Question, Sense, Senses, sense_inputs
from baybook.places.sentences import headline

MODULES = [importlib.import_module(f"baybook.places.{each.name}") for each in pkgutil.iter_modules(baybook.places.__path__)]
CLASSES = sorted(
    {
        thing
        for module in MODULES
        for thing in vars(module).values()
        if isinstance(thing, type) and thing.__module__ == module.__name__ and dataclasses.is_dataclass(thing)
    },
    key=lambda thing: thing.__name__,
)


def a_whole_job() -> list[Any]:
    """Everything that comes out of a job with a halt, a contradiction, a repair and its proof."""
    halted = Question({"filter": 0.9}, 0.01, ("filter",), halt=Halt("engine off", lifted="cool"))
    sense = Sense({"": halted}, 5.0, needs=(Need("warm", "warm?"), Need("cool", "cool?")))
    first = dataclasses.replace(look(1, 0.001, test="t"), sense=sense)
    steps = [first, look(2, 0.02, 0.8, "pump", test="u"), look(3, 0.98, 0.8, "pump", test="u")]
    before = conclude(steps, small())
    after = conclude([*steps, Repair(4, ("filter",)), dataclasses.replace(first, step=5)], small())
    tally = Tally()
    tally.add(0.5, True)
    base_rates({"filter": 1}, small())
    sense_inputs(sense)
    return [
        before, before.history, before.belief, before.history.hypotheses, *before.history.epochs, *before.standings,
        before.contradiction, *before.halts, *before.unsettled, before.why("filter"), *before.why("filter").factors, *steps,
        *next_tests(before, {"x": sense}), *headline(before), pointed(before),
        *after.proofs, Repair(3, ("filter",)), small(), Fitted(),
        *small().places, sense, halted, *sense.needs, halted.halt, Answer(), Senses("kind", {"a": sense}),
        *bins([(0.5, True)]), Bin(0.0, 1.0, 1, 0.5, 1.0), tally.table()[0],
    ]  # fmt: skip


def test_nothing_of_a_job_can_be_changed() -> None:
    """Every object of every class: its first field is refused a new value."""
    things = a_whole_job()
    assert None not in things and {type(thing) for thing in things} == set(CLASSES)
    for thing in things:
        name = dataclasses.fields(thing)[0].name
        with pytest.raises(dataclasses.FrozenInstanceError):
            setattr(thing, name, getattr(thing, name))


def test_places_of_one_name_are_one() -> None:
    """Equal by what was declared, so that a set of them holds each once."""
    one, other = (Place("injector 1 coil", "delivery", "control", "the coil", 1) for _ in range(2))
    assert one == other and len({one, other}) == 1 and one.kind == "injector * coil"
