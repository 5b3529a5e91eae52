"""Write `tests/plugins/surface.txt`, all that is promised to authors: every public name with its signature and members.

A test compares it. Within a version of the interface lines are added and none is taken away or changed; where one would be,
this refuses, unless the version has been raised or `--anew` says that the version is not out yet.
"""

from __future__ import annotations

import enum
import inspect
import sys
from collections.abc import Iterator
from dataclasses import fields, is_dataclass
from importlib import import_module
from pathlib import Path
from types import ModuleType
from typing import Any

from baybook import hooks

TARGET = Path(__file__).resolve().parent.parent / "tests" / "plugins" / "surface.txt"
PHYSICS = (
    "fuels", "fuels.equations", "compliance", "heat", "orifice", "leaks", "closed_rail", "mass_balance", "coil",
    "inference.segment", "inference.binning", "inference.problem", "inference.fit", "inference.sample", "inference.evidence",
    "inference.weights", "inference.intervals",
)  # fmt: skip
MODULES = (
    "baybook.api", "baybook.captures", "baybook.cards.data", "baybook.dataclass", "baybook.fields", "baybook.inputs",
    "baybook.testing",
    *(f"baybook_physics.{name}" for name in PHYSICS),
)  # fmt: skip


def main(arguments: list[str]) -> int:
    """0, or 1 where a promise would be broken."""
    version, promised = stored()
    now = surface()
    lost = [line for line in promised if line not in now]
    if lost and version == hooks.INTERFACE and "--anew" not in arguments:
        sys.stderr.write("promised by interface version {}, and gone:\n{}\n".format(version, "\n".join(lost)))
        return 1
    TARGET.write_text("\n".join([f"interface version {hooks.INTERFACE}", *now]) + "\n", encoding="utf-8")
    return 0


def stored() -> tuple[int, list[str]]:
    """The version and the lines of the file; (0, []) where there is none."""
    if not TARGET.exists():
        return 0, []
    first, *lines = TARGET.read_text(encoding="utf-8").splitlines()
    return int(first.rpartition(" ")[2]), lines


def surface() -> list[str]:
    """A line for every public name with what it needs, one for each option of it, field and method, and for every hook."""
    found: list[str] = []
    for name, spec in vars(hooks).items():
        if hasattr(spec, "baybook_spec"):
            found += _called(f"hook {name}", spec)
    for module in map(import_module, MODULES):
        for name in public(module):
            found += _lines(f"{module.__name__}.{name}", getattr(module, name))
        found += [
            f"{module.__name__}.{name} deprecated since {since}, use {use}"
            for name, (since, use) in getattr(module, "DEPRECATED", {}).items()
        ]
    return sorted(found)


def public(module: ModuleType) -> list[str]:
    """What the module promises: its `__all__`, else what it defines itself under a name without an underscore."""
    if hasattr(module, "__all__"):
        return list(module.__all__)
    own = [name for name, thing in vars(module).items() if getattr(thing, "__module__", "") == module.__name__]
    return [name for name in own if not name.startswith("_")]


def _lines(name: str, thing: Any) -> Iterator[str]:
    if not inspect.isclass(thing):
        yield from _called(name, thing) if callable(thing) else [f"{name}: {type(thing).__name__}"]
        return
    if issubclass(thing, enum.Enum | Exception):
        yield f"{name}: {thing.__mro__[1].__name__}"
    else:
        yield from _called(name, thing)
    if is_dataclass(thing):  # those that it is made with stand there already
        yield from (f"{name}.{field.name}: {_type(field.type)}" for field in fields(thing) if not field.init)
    for attribute in sorted(dir(thing)):
        owner = next((owner for owner in thing.__mro__ if attribute in vars(owner)), object)
        if not attribute.startswith("_") and owner.__module__.startswith("baybook"):
            yield from _member(f"{name}.{attribute}", vars(owner)[attribute])


def _member(name: str, member: Any) -> Iterator[str]:
    if isinstance(member, property):
        yield f"{name}: {_type(inspect.signature(member.fget).return_annotation) if member.fget else ''}"
    elif isinstance(member, classmethod | staticmethod) or inspect.isfunction(member):
        yield from _called(name, getattr(member, "__func__", member))


def _called(name: str, thing: Any) -> Iterator[str]:
    """What has to be given and what comes back; then a line for each option, so that one more takes no line away."""
    try:
        found = inspect.signature(thing)
    except (TypeError, ValueError):
        yield f"{name}(...)"
        return
    returns = "" if found.return_annotation is found.empty else f" -> {_type(found.return_annotation)}"
    options = [place for place in enumerate(found.parameters.values(), 1) if place[1].default is not inspect.Parameter.empty]
    needed = [parameter for parameter in found.parameters.values() if parameter.default is parameter.empty]
    yield f"{name}({', '.join(map(_parameter, needed))}){returns}"
    for place, option in options:
        how = "by name" if option.kind is option.KEYWORD_ONLY else f"place {place}"
        yield f"{name}(… {_parameter(option)}), {how}"


def _parameter(parameter: inspect.Parameter) -> str:
    mark = "*" * (1 if parameter.kind is parameter.VAR_POSITIONAL else 2 if parameter.kind is parameter.VAR_KEYWORD else 0)
    of_type = "" if parameter.annotation is parameter.empty else f": {_type(parameter.annotation)}"
    if parameter.default is parameter.empty:
        return f"{mark}{parameter.name}{of_type}"
    plain = parameter.default is None or isinstance(parameter.default, bool | int | float | str | tuple)
    return f"{mark}{parameter.name}{of_type} = {parameter.default!r}" if plain else f"{mark}{parameter.name}{of_type} = ..."


def _type(annotation: Any) -> str:
    if annotation is inspect.Parameter.empty:
        return "Any"
    return annotation if isinstance(annotation, str) else inspect.formatannotation(annotation)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
