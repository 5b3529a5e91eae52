"""Checks that need a fresh process: what importing a plugin costs, and whether it reaches for the network."""

from __future__ import annotations

import functools
import json
import os
import subprocess
import sys
from typing import Any

from ..declare import Calculator
from ..plugins.child import time_limit

HEAVY = (
    "numpy", "scipy", "pint", "pandas", "polars", "jinja2", "weasyprint", "rich", "babel", "segno", "tomlkit", "matplotlib",
    "uncertainties", "requests", "httpx", "pydantic", "asyncio", "multiprocessing", "unittest", "pytest",
)  # fmt: skip
MOST_MODULES = 60  # of others than the plugin itself; a bare `import csv, datetime, decimal` brings about ten


def imports(calculator: Calculator) -> list[str]:
    """Heavy modules, many modules, output and warnings that importing the calculator's module brings."""
    return import_faults(calculator.function.__module__)


def network(calculator: Calculator) -> list[str]:
    """Attempts to reach the network while importing in a process of its own, and while working out the examples in ours."""
    from ..execution import run
    from . import nets

    with nets.closed() as attempts:
        for example in calculator.examples:
            run(calculator, example.inputs)
    told = probe(calculator.function.__module__)
    return [f"{event} while computing" for event in attempts] + [
        f"{event} while being imported" for event in told.get("network", ())
    ]


def import_faults(module: str) -> list[str]:
    """The same for a module by name."""
    told = probe(module)
    if "fault" in told:
        return [str(told["fault"])]
    found = [f"imports {name}; import it inside the function that needs it" for name in told["heavy"]]
    if len(told["others"]) > MOST_MODULES:
        found.append(
            f"imports {len(told['others'])} other modules (at most {MOST_MODULES}), such as {', '.join(told['others'][:5])}"
        )
    if told["printed"]:
        found.append(f"prints {told['printed']!r:.60} while being imported")
    return found


@functools.cache
def probe(module: str) -> dict[str, Any]:
    """What importing the module did: `heavy`, `others`, `printed`, `network`; or a `fault`."""
    path = os.pathsep.join(folder for folder in sys.path if folder)
    try:
        done = subprocess.run(
            [sys.executable, "-P", "-W", "error", "-m", "baybook.testing.probe", module], check=False,
            env={**os.environ, "PYTHONPATH": path}, stdin=subprocess.DEVNULL,
            capture_output=True, text=True, timeout=time_limit() + 10,
        )  # fmt: skip
    except subprocess.TimeoutExpired:
        return {"fault": f"is not imported within {time_limit() + 10:g} s"}
    line = done.stdout.rpartition("\nprobe: ")[2]
    try:
        told: dict[str, Any] = json.loads(line)
    except ValueError:
        return {"fault": f"ended the process that imported it (exit code {done.returncode})"}
    return told
