"""The core's dataclasses do what the standard library's do, which is what they are held against, and cost less to make."""

from __future__ import annotations

import copy
import dataclasses
import inspect
import pickle
import statistics
import time
from collections.abc import Callable
from typing import Any

import pytest

from baybook import dataclass as own
from baybook.api import Result
from baybook.fields import Quantity
from baybook.parameters import REQUIRED, parameters_of

STANDARD = dataclasses


def base(of: Any) -> Any:
    """The same class, made by one or the other."""

    @of.dataclass(frozen=True)
    class Base:
        """A base."""

        name: str
        size: int = 3
        note: str = of.field(default="", kw_only=True)
        parts: list[int] = of.field(default_factory=list, kw_only=True, compare=False)

    return Base


def derived(of: Any) -> Any:
    @of.dataclass(frozen=True)
    class Derived(base(of)):  # type: ignore[misc]
        size: int = 4
        weight: float = 1.0
        total: float = of.field(init=False, repr=False, compare=False)

        def __post_init__(self) -> None:
            object.__setattr__(self, "total", self.size * self.weight)

    return Derived


def changeable(of: Any) -> Any:
    @of.dataclass
    class Changeable:
        count: int = 0

    return Changeable


Make = Callable[[Any], Any]
CALLS: list[tuple[Make, tuple[Any, ...], dict[str, Any]]] = [
    (base, ("a",), {}), (base, ("a", 5), {"note": "n"}), (base, (), {"size": 1, "name": "b"}), (base, ("a",), {"parts": [1]}),
    (derived, ("a",), {}), (derived, ("a", 2, 0.5), {"note": "x"}), (changeable, (), {}), (changeable, (7,), {}),
]  # fmt: skip
WRONG: list[tuple[Make, tuple[Any, ...], dict[str, Any]]] = [
    (base, (), {}), (base, ("a", 1, "note"), {}), (base, ("a",), {"colour": 1}), (base, ("a",), {"name": "b"}),
    (derived, ("a",), {"total": 1.0}),
]  # fmt: skip


@pytest.mark.parametrize(("make", "args", "given"), CALLS)
def test_objects_hold_and_show_the_same(make: Make, args: tuple[Any, ...], given: dict[str, Any]) -> None:
    here, there = make(own)(*args, **given), make(STANDARD)(*args, **given)
    assert repr(here) == repr(there)
    assert vars(here) == vars(there)
    assert STANDARD.asdict(here) == STANDARD.asdict(there)
    assert copy.copy(here) == here
    assert [each.name for each in own.fields(here)] == [each.name for each in STANDARD.fields(there)]
    assert here.__match_args__ == there.__match_args__


@pytest.mark.parametrize(("make", "args", "given"), WRONG)
def test_what_does_not_fit_is_refused_as_by_python(make: Make, args: tuple[Any, ...], given: dict[str, Any]) -> None:
    with pytest.raises(TypeError):
        make(STANDARD)(*args, **given)
    with pytest.raises(TypeError, match=r"__init__\(\)"):
        make(own)(*args, **given)


@pytest.mark.parametrize("make", [base, derived, changeable])
def test_the_signature_is_the_same(make: Make) -> None:
    here, there = inspect.signature(make(own)), inspect.signature(make(STANDARD))
    assert [str(p) for p in here.parameters.values()] == [str(p) for p in there.parameters.values()]


@pytest.mark.parametrize("of", [own, STANDARD])
def test_equality_and_hash_are_of_the_compared_fields(of: Any) -> None:
    kind, other = base(of), base(of)
    assert kind("a", parts=[1]) == kind("a", parts=[2])
    assert hash(kind("a", parts=[1])) == hash(kind("a", parts=[2]))
    assert kind("a") != kind("a", note="n")
    assert kind("a") != other("a")
    kind = changeable(of)
    with pytest.raises(TypeError, match="unhashable"):
        hash(kind())
    made = kind()
    made.count = 2
    assert made == kind(2)


@pytest.mark.parametrize("of", [own, STANDARD])
def test_what_is_frozen_stays(of: Any) -> None:
    thing = base(of)("a")
    with pytest.raises(STANDARD.FrozenInstanceError, match="'size'"):
        thing.size = 4
    with pytest.raises(STANDARD.FrozenInstanceError, match="'size'"):
        del thing.size
    assert thing.size == 3


@pytest.mark.parametrize("of", [own, STANDARD])
def test_a_copy_with_other_values(of: Any) -> None:
    thing = derived(of)("a", 2, 0.5)
    assert (of.replace(thing, size=4).total, thing.total) == (2.0, 1.0)
    with pytest.raises((ValueError, TypeError), match="total"):  # the standard library's kind of error changed with 3.13
        of.replace(thing, total=1.0)
    with pytest.raises(TypeError):
        of.replace(thing, colour=1)


def test_the_standard_library_takes_them() -> None:
    thing = base(own)("a")
    assert STANDARD.is_dataclass(thing)
    assert STANDARD.replace(thing, size=9) == own.replace(thing, size=9)

    @STANDARD.dataclass(frozen=True)
    class Torque(Quantity):
        """What an outside author writes."""

        extra: int = 0

    known = own.replace(Torque("torque", extra=3), help="of the shaft")
    assert (known.help, known.extra) == ("of the shaft", 3)


def test_a_result_can_be_kept_and_read_again() -> None:
    result = Result({"state": "good"})
    assert pickle.loads(pickle.dumps(result)) == result


def test_a_class_costs_a_third_of_a_standard_one_at_the_most() -> None:
    def seconds(of: Any) -> float:
        begin = time.process_time()
        for _ in range(50):
            derived(of)
        return time.process_time() - begin

    ratios = [seconds(own) / seconds(STANDARD) for _ in range(5)]
    assert statistics.median(ratios) < 1 / 3


def plain(a: int, b: int = 2, *, c: int, d: int = 4) -> None: ...


def starred(a: int, *args: int, **more: int) -> None: ...


class Callable_:  # noqa: N801  # an object that can be called
    def __call__(self, a: int, b: int = 1) -> None: ...


@pytest.mark.parametrize("function", [plain, starred, Callable_(), Callable_().__call__, lambda: None])
def test_parameters_are_those_that_inspect_sees(function: Callable[..., Any]) -> None:
    seen = inspect.signature(function).parameters.values()
    assert parameters_of(function) == {p.name: REQUIRED if p.default is p.empty else p.default for p in seen}


@pytest.mark.parametrize("of", [own, STANDARD])
def test_a_class_that_only_inherits_has_the_same_fields_and_what_has_none_is_refused(of: Any) -> None:
    class Plain(base(of)):  # type: ignore[misc]  # a class made at run time
        """Adds nothing."""

    assert [each.name for each in of.fields(Plain("a"))] == ["name", "size", "note", "parts"]
    with pytest.raises(TypeError, match="dataclass"):
        of.fields(7)


@pytest.mark.parametrize("of", [own, STANDARD])
def test_what_a_class_writes_itself_stays(of: Any) -> None:
    @of.dataclass
    class Called:
        size: int

        def __repr__(self) -> str:
            return f"size {self.size}"

        def __call__(self, pressure: int) -> int:
            return self.size * pressure

    thing = Called(3)
    assert (repr(thing), thing(2)) == ("size 3", 6)
    assert list(inspect.signature(thing).parameters) == ["pressure"], "of what can be called, not of its class"
