"""The asking process: imports plugins one by one and tells its parent what each offers, a JSON line each.

`python -m baybook.plugins.query SECONDS MODULE ...` says `ready`, then answers for each module. One that ends the process
takes only this process down, and one that hangs is ended by a watch in it, which outlives the parent: the parent, if it is
still there, starts another for the rest.
"""

from __future__ import annotations

import faulthandler
import json
import os
import sys
from collections.abc import Iterator
from typing import Any

from .. import units
from ..errors import PluginError
from ..placing import touched_by
from ..units import sources
from .alike import fault_of_spelling
from .loader import Offers, load_offers

MOST_FILES = 500


def main(seconds: float, modules: list[str]) -> None:
    """Answer for each module, within so many seconds. A plugin prints to nowhere and reads from nothing."""
    answers = os.fdopen(os.dup(1), "w", encoding="utf-8")
    nothing = os.open(os.devnull, os.O_RDWR)
    os.dup2(nothing, 0)
    os.dup2(nothing, 1)
    print("ready", file=answers, flush=True)
    for module in modules:
        faulthandler.dump_traceback_later(seconds, file=answers, exit=True)  # a thread of its own, without Python's lock
        print(json.dumps(_answer(module)), file=answers, flush=True)
    os._exit(0)  # whatever threads a plugin has started


def _answer(module_name: str) -> dict[str, Any]:
    before = set(sys.modules)
    try:
        offers = load_offers(module_name)
        rows = unit_rows(offers)
    except PluginError as error:
        return {"reason": str(error), "files": _all_files(module_name)}
    except BaseException as error:  # whatever it throws (KeyboardInterrupt too): the process goes on with the next plugin
        return {"reason": f"cannot be imported: {type(error).__name__}", "files": _all_files(module_name)}
    return {
        "calculators": [
            [c.name, c.stage, c.side, c.title, c.summary, ",".join(sorted(touched_by(c)))] for c in offers.calculators
        ],
        "cards": [[card.name, card.title] for card in offers.cards],
        "fuels": [[fuel.name, fuel.title] for fuel in offers.fuels],
        "units": rows,
        "kinds": [[k.name, k.family, k.unit, k.example, k.reference, *k.shown] for k in offers.kinds],
        "channels": [[c.name, c.what, c.kind, "|".join(c.words), "|".join(c.but_not)] for c in offers.channels],
        "files": _files(module_name, before),
    }


def unit_rows(offers: Offers) -> list[Any]:
    """Table rows of the units that a plugin adds; pint reads their expressions here, once."""
    if not offers.units:
        return []
    lines = [(unit.family, unit.symbol, unit.expression, unit.others) for unit in offers.units]
    try:
        rows = sources.rows(sources.registry(), lines)
    except Exception as error:
        raise PluginError(f"has a unit that cannot be used: {type(error).__name__}: {error}") from error
    for family, symbol, factor, offset, others in rows:
        if not (0 < factor < float("inf") and abs(offset) < float("inf")):
            raise PluginError(f"has the unit {symbol} ({family}), whose size is not a positive number")
        taken = {text for unit in units.in_family(family) for text in (unit.symbol, *unit.others)}
        if clash := taken.intersection((symbol, *others)):
            raise PluginError(f"has the unit {min(clash)} ({family}), which Baybook knows already")
        for text in (symbol, *others):
            if fault := fault_of_spelling(text):
                raise PluginError(f"has the unit {text!r} ({family}), which {fault}")
    return [list(row) for row in rows]


def _files(module_name: str, before: set[str]) -> list[str]:
    """What would change an accepted plugin's offers when it changes: the source files of its own package that it imported.

    Its packages' folders count too, so that a module that is missing today is noticed when it appears.
    """
    top = module_name.partition(".")[0]
    parts = module_name.split(".")
    packages = {".".join(parts[:depth]) for depth in range(1, len(parts) + 1)}
    imported = {name for name in sys.modules if name.startswith(top + ".")} - before
    files = {getattr(sys.modules.get(name), "__file__", None) for name in imported | packages}
    folders = {os.path.dirname(file) for name in packages if (file := getattr(sys.modules.get(name), "__file__", None))}
    return sorted(os.path.abspath(path) for path in {*files, *folders} if path)


def _all_files(module_name: str) -> list[str]:
    """Every source file that may hold the fault of a plugin that is left out, so that its mending is noticed."""
    places = _places(module_name.partition(".")[0])
    return sorted(path for place in places for path in _sources(place))[:MOST_FILES]


def _places(top: str) -> list[str]:
    """The folder or file of a top-level module, found without importing it."""
    from importlib.machinery import PathFinder

    try:
        spec = PathFinder.find_spec(top)
    except Exception:  # a finder of someone else's
        return []
    if spec is None:
        return []
    return [*(spec.submodule_search_locations or ())] or [spec.origin or ""]


def _sources(place: str) -> Iterator[str]:
    if place.endswith(".py"):
        yield place
    for folder, _, files in os.walk(place):
        if not folder.endswith("__pycache__"):
            yield folder
            yield from (os.path.join(folder, file) for file in files if file.endswith(".py"))


if __name__ == "__main__":
    main(float(sys.argv[1]), sys.argv[2:])
