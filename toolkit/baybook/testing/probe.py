"""`python -m baybook.testing.probe MODULE`: import it with the network closed, and tell what that brought, as JSON."""

from __future__ import annotations

import io
import json
import sys
from contextlib import redirect_stdout

from . import nets
from .process_checks import HEAVY


def main(module: str) -> int:
    """Print the answer after a mark of its own, whatever the module prints."""
    import baybook.api  # noqa: F401  # what any plugin has anyway

    told = _told(module)
    print("\nprobe: " + json.dumps(told))
    return 0


def _told(module: str) -> dict[str, object]:
    before, printed = set(sys.modules), io.StringIO()
    with nets.closed() as attempts, redirect_stdout(printed):
        try:
            __import__(module)
        except BaseException as error:
            return {"fault": f"cannot be imported: {type(error).__name__}: {error}"}
    top = module.partition(".")[0]
    new = sorted(name for name in set(sys.modules) - before if name.partition(".")[0] != top)
    heavy = sorted({name.partition(".")[0] for name in new} & set(HEAVY))
    return {"heavy": heavy, "others": new, "printed": printed.getvalue(), "network": attempts}


if __name__ == "__main__":
    sys.exit(main(sys.argv[1]))
