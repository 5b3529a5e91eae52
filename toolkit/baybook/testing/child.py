"""`python -m baybook.testing.child NAME MODULE HOW`: check one plugin and tell each answer as a JSON line.

HOW: `installed`, or `not installed`, when its names have to be compared with what is installed. The network is closed
throughout.
"""

from __future__ import annotations

import json
import os
import sys
from collections.abc import Callable, Iterator
from typing import IO, Any

from ..errors import BaybookError, PluginError
from ..plugins.loader import Offers, load_offers
from . import nets
from .checks import CHECKS
from .promise import NotChecked, answer


def main(name: str, module: str, how: str) -> int:
    """Tell the answers on what was standard output; the plugin itself prints to nowhere."""
    out = os.fdopen(os.dup(1), "w", encoding="utf-8")
    os.dup2(os.open(os.devnull, os.O_WRONLY), 1)
    _tell(out, {"begin": "import"})
    with nets.closed():
        try:
            offers = load_offers(module)
        except PluginError as error:
            _tell(out, answer(name, "loads", [str(error)]))
        except KeyboardInterrupt:
            _tell(out, answer(name, "loads", ["cannot be imported: KeyboardInterrupt"]))
        else:
            seen: set[str] = set()
            for of, check, look in _to_do(name, module, offers, installed=how == "installed"):
                _tell(out, {"begin": f"{of}: {check}"})
                _tell(out, _once(_looked(of, check, look), seen))
    _tell(out, {"end": True})
    return 0


def _tell(out: IO[str], told: dict[str, Any]) -> None:
    out.write(json.dumps(told) + "\n")
    out.flush()


def _once(told: dict[str, Any], seen: set[str]) -> dict[str, Any]:
    """The answer; where another check has told the same fault already, as one that could not be looked at because of it."""
    if told["state"] == "broken" and seen.issuperset(told["faults"]):
        return {**told, "state": "not checked", "faults": ["because of the fault above"]}
    seen.update(told["faults"])
    return told


def _looked(of: str, check: str, look: Callable[[], list[str]]) -> dict[str, Any]:
    try:
        return answer(of, check, look())
    except NotChecked as reason:
        return answer(of, check, [str(reason)], "not checked")
    except BaybookError as error:
        return answer(of, check, str(error).splitlines())
    except (Exception, SystemExit) as error:
        return answer(of, check, [f"{type(error).__name__}: {error}"])


Task = tuple[str, str, Callable[[], list[str]]]


def _to_do(name: str, module: str, offers: Offers, *, installed: bool) -> Iterator[Task]:
    """Every check of everything that the plugin offers: (of what, which check, the function that looks)."""
    from . import offered

    yield name, "loads", lambda: offered.units(offers, installed=installed)
    if not installed:
        yield name, "names free", lambda: offered.names(offers)
    if not offers.calculators:
        yield from ((name, check, look) for check, look in offered.imports(module))
    for calculator in offers.calculators:
        for check in CHECKS:
            yield calculator.name, check.name, lambda calculator=calculator, check=check: check.faults(calculator)  # type: ignore[misc]
    for card in offers.cards:
        yield card.name, "card", lambda card=card: offered.card(card)  # type: ignore[misc]
    for fuel in offers.fuels:
        yield fuel.name, "fuel", lambda fuel=fuel: offered.fuel(fuel)  # type: ignore[misc]


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:4]))
