"""Dataclasses that cost next to nothing at import: `dataclass`, `field`, `fields`, `replace`, as in the standard library.

The standard ones write source text for each class, compile it, and load `inspect` for that: half a millisecond a class,
before a command has read a single reading. Here the methods are closures over the class's fields, written once, below. To a
type checker they are the standard ones; the standard library's own functions (`asdict`, `is_dataclass`, `replace`) take these
classes too, see `_Standard`. What no class of ours needs (`order`, `slots`, `InitVar`) is not there. A class may inherit from
others that are made here, not from a standard dataclass; a standard dataclass may inherit from one of these.
"""

from __future__ import annotations

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Mapping
    from typing import Any

__all__ = ["dataclass", "field", "fields", "replace"]

MISSING: Any = type("Missing", (), {"__repr__": lambda self: "MISSING"})()


class Field:
    """One field of a class: its name, its type as it is written, and what `field` was told."""

    __slots__ = ("compare", "default", "default_factory", "init", "kw_only", "name", "repr", "type")
    name: str
    type: str

    def __init__(self, default: Any, default_factory: Any, init: bool, repr: bool, compare: bool, kw_only: Any) -> None:
        self.default, self.default_factory, self.init = default, default_factory, init
        self.repr, self.compare, self.kw_only = repr, compare, kw_only

    @property
    def required(self) -> bool:
        """Whether a new object needs a value for it."""
        return self.init and self.default is MISSING and self.default_factory is MISSING


class _Standard:
    """A class attribute that the standard library looks for: made by the standard decorator, when it is asked for.

    It is made on a class of the same fields that is thrown away afterwards.
    """

    def __init__(self, name: str) -> None:
        self.name = name

    def __get__(self, thing: object, owner: Any) -> Any:
        if self.name == "__signature__":
            if thing is not None:  # an object that can be called has a signature of its own
                raise AttributeError(self.name)
            import inspect

            return inspect.signature(_standard_twin(owner))
        found = getattr(_standard_twin(owner), self.name)
        setattr(owner, self.name, found)
        return found


def _standard_twin(owner: Any) -> Any:
    import dataclasses

    made = []
    for each in owner.__own_fields__.values():
        told = {"init": each.init, "repr": each.repr, "compare": each.compare, "kw_only": each.kw_only}
        told |= {name: value for name in ("default", "default_factory") if (value := getattr(each, name)) is not MISSING}
        made.append((each.name, each.type, dataclasses.field(**told)))
    return dataclasses.make_dataclass(owner.__name__, made, frozen=owner.__setattr__ is _refuse_set)


if TYPE_CHECKING:
    from dataclasses import dataclass, field, fields, replace
else:

    def field(*, default=MISSING, default_factory=MISSING, init=True, repr=True, compare=True, kw_only=None):
        """What is said of a field beside its type, as `dataclasses.field` takes it."""
        return Field(default, default_factory, init, repr, compare, kw_only)

    def dataclass(cls=None, /, *, init=True, repr=True, eq=True, frozen=False, kw_only=False):
        """Give the class the methods of its fields, as `dataclasses.dataclass` does; to be used with or without arguments."""

        def made(cls):
            own = _with_inherited(cls, list(_own_fields(cls, kw_only)))
            cls.__own_fields__ = {each.name: each for each in own}
            cls.__match_args__ = tuple(each.name for each in own if each.init and not each.kw_only)
            methods = {"__init__": _init_of(cls, own)} if init else {}
            if repr:
                methods["__repr__"] = _repr_of(own)
            if eq:
                methods |= _comparisons_of(own, hashed=frozen)
            for name, method in methods.items():
                if vars(cls).get(name) is None:  # what the class has written itself stays
                    _named(method, name, cls)
                    setattr(cls, name, method)
            if frozen:
                cls.__setattr__, cls.__delattr__ = _refuse_set, _refuse_delete
            for name in ("__dataclass_fields__", "__dataclass_params__") + (("__signature__",) if init else ()):
                setattr(cls, name, _Standard(name))
            return cls

        return made if cls is None else made(cls)

    def fields(of):
        """The fields of a class or of an object of it, in their order."""
        for cls in (of if isinstance(of, type) else type(of)).__mro__:
            if "__own_fields__" in vars(cls):
                return tuple(cls.__own_fields__.values())
            if "__dataclass_fields__" in vars(cls):  # a standard dataclass, that inherits from one of these
                break
        import dataclasses

        return dataclasses.fields(of)

    def replace(thing, /, **changes):
        """A copy of the object with other values in the named fields."""
        for each in fields(thing):
            if each.init:
                changes.setdefault(each.name, getattr(thing, each.name))
            elif each.name in changes:
                raise ValueError(f"field {each.name} is declared with init=False, it cannot be specified with replace()")
        return type(thing)(**changes)


def _own_fields(cls: Any, kw_only: bool) -> Iterator[Field]:
    """The fields that the class itself declares; a class attribute keeps the default's value, as in the standard library."""
    for name, annotation in vars(cls).get("__annotations__", {}).items():
        given = vars(cls).get(name, MISSING)
        each = given if isinstance(given, Field) else Field(given, MISSING, True, True, True, None)
        each.name, each.type = name, annotation
        each.kw_only = kw_only if each.kw_only is None else each.kw_only
        if each is given and each.default is MISSING:
            delattr(cls, name)
        elif each is given:
            setattr(cls, name, each.default)
        yield each


def _with_inherited(cls: Any, own: list[Field]) -> list[Field]:
    """Those of the bases first; one that is declared again keeps its place."""
    found: dict[str, Field] = {}
    for base in reversed(cls.__mro__[1:]):
        found |= vars(base).get("__own_fields__", {})
    return list((found | {each.name: each for each in own}).values())


def _init_of(cls: Any, own: list[Field]) -> Callable[..., None]:
    """An `__init__` that takes the fields in their order or by name."""
    taken = [each for each in own if each.init]
    ordered = tuple(each.name for each in taken if not each.kw_only)
    names = frozenset(each.name for each in taken)
    defaults = {each.name: each.default for each in own if each.default is not MISSING}
    factories = [(each.name, each.default_factory) for each in own if each.default_factory is not MISSING]
    required = frozenset(each.name for each in taken if each.required)
    afterwards = hasattr(cls, "__post_init__")

    def init(self: Any, *args: Any, **given: Any) -> None:
        if len(args) > len(ordered) or not given.keys() <= names or not given.keys().isdisjoint(ordered[: len(args)]):
            raise TypeError(_misfit(type(self).__name__, ordered, names, args, given))
        values = {**defaults, **dict(zip(ordered, args, strict=False)), **given}
        for name, factory in factories:
            if name not in values:
                values[name] = factory()
        if not values.keys() >= required:
            lacking = [each.name for each in taken if each.name in required and each.name not in values]
            raise TypeError(f"{type(self).__name__}.__init__() has no value for {', '.join(map(repr, lacking))}")
        self.__dict__.update(values)
        if afterwards:
            self.__post_init__()

    return init


def _misfit(name: str, ordered: tuple[str, ...], names: frozenset[str], args: tuple[Any, ...], given: Mapping[str, Any]) -> str:
    """What Python says of such arguments."""
    begin = f"{name}.__init__() "
    if len(args) > len(ordered):
        return f"{begin}takes {len(ordered) + 1} positional arguments but {len(args) + 1} were given"
    unknown = next((each for each in given if each not in names), None)
    if unknown is not None:
        return f"{begin}got an unexpected keyword argument {unknown!r}"
    return f"{begin}got multiple values for argument {next(each for each in ordered[: len(args)] if each in given)!r}"


def _repr_of(own: list[Field]) -> Callable[[Any], str]:
    shown = [each.name for each in own if each.repr]

    def show(self: Any) -> str:
        return f"{type(self).__qualname__}({', '.join(f'{name}={getattr(self, name)!r}' for name in shown)})"

    return show


def _comparisons_of(own: list[Field], hashed: bool) -> dict[str, Any]:
    """`__eq__`, for objects of the very same class, and `__hash__`: of the same fields, and None where they may change."""
    compared = [each.name for each in own if each.compare]

    def values(thing: Any) -> tuple[Any, ...]:
        return tuple([getattr(thing, name) for name in compared])

    def equal(self: Any, other: object) -> bool:
        return values(self) == values(other) if other.__class__ is self.__class__ else NotImplemented

    def digest(self: Any) -> int:
        return hash(values(self))

    return {"__eq__": equal, "__hash__": digest if hashed else None}


def _named(method: Any, name: str, cls: Any) -> None:
    if method is not None:
        method.__name__ = name
        method.__qualname__ = f"{cls.__qualname__}.{name}"
        method.__module__ = cls.__module__


def _refuse_set(self: Any, name: str, value: object) -> None:
    from dataclasses import FrozenInstanceError

    raise FrozenInstanceError(f"cannot assign to field {name!r}")


def _refuse_delete(self: Any, name: str) -> None:
    from dataclasses import FrozenInstanceError

    raise FrozenInstanceError(f"cannot delete field {name!r}")
