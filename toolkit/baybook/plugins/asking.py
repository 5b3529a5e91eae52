"""The asking process: imports plugins one by one and tells its parent what each offers, a JSON line each.

`python -m baybook.plugins.asking` reads module names from standard input, a line each. A plugin that hangs or ends the
process takes only this process down: the parent notes it and starts another for the rest.
"""

from __future__ import annotations

import json
import os
import sys
from typing import IO, Any

from .. import units
from ..errors import PluginError
from ..units import sources
from .loading import Offers, load_offers


def main() -> int:
    """Answer each line of standard input until it ends. A plugin's own printing goes nowhere."""
    answers = os.fdopen(os.dup(1), "w", encoding="utf-8")
    os.dup2(os.open(os.devnull, os.O_WRONLY), 1)
    for line in sys.stdin:
        _tell(answers, _answer(line.strip()))
    return 0


def _tell(answers: IO[str], answer: dict[str, Any]) -> None:
    answers.write(json.dumps(answer) + "\n")
    answers.flush()


def _answer(module_name: str) -> dict[str, Any]:
    before = set(sys.modules)
    try:
        offers = load_offers(module_name)
        rows = _unit_rows(offers)
    except PluginError as error:
        return {"reason": str(error), "files": _files(module_name, before)}
    return {
        "calculators": [[c.name, c.stage, c.side, c.quick, c.title, c.summary] for c in offers.calculators],
        "cards": [[card.name, card.title] for card in offers.cards],
        "fuels": [[fuel.name, fuel.title] for fuel in offers.fuels],
        "units": rows,
        "files": _files(module_name, before),
    }


def _unit_rows(offers: Offers) -> list[Any]:
    """Table rows of the units that a plugin adds; pint reads their expressions here, once."""
    if not offers.units:
        return []
    lines = [(unit.family, unit.symbol, unit.expression, unit.others) for unit in offers.units]
    try:
        rows = sources.rows(sources.registry(), lines)
        units.add(tuple(rows))
    except Exception as error:
        raise PluginError(f"has a unit that cannot be used: {error}") from error
    return [list(row) for row in rows]


def _files(module_name: str, before: set[str]) -> list[str]:
    """What would change the plugin's offers when it changes: the source files of its own package that it imported.

    Its packages' folders count too, so that a module that is missing today is noticed when it appears.
    """
    top = module_name.partition(".")[0]
    parts = module_name.split(".")
    packages = {".".join(parts[:depth]) for depth in range(1, len(parts) + 1)}
    imported = {name for name in sys.modules if name.startswith(top + ".")} - before
    files = {getattr(sys.modules.get(name), "__file__", None) for name in imported | packages}
    folders = {os.path.dirname(file) for name in packages if (file := getattr(sys.modules.get(name), "__file__", None))}
    return sorted(os.path.abspath(path) for path in {*files, *folders} if path)


if __name__ == "__main__":
    sys.exit(main())
