"""Build the index: find the entry points, ask each plugin, and decide which are accepted and which are left out.

Stages: found (distribution, version, entry point), asked, accepted or left out with the reason. Sorted, so that the order is
the same everywhere; Baybook's own come first, so that a stranger cannot take a name of theirs.

Rows: plugin: name, distribution, version, module, state, reason. calculator: plugin, name, stage, side, quick, title, summary.
card: plugin, name, title. fuel: plugin, name, title. unit: plugin, family, symbol, factor, offset, other spellings.
"""

from __future__ import annotations

import json
import os
import queue
import subprocess
import sys
import threading
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from importlib import metadata
from typing import Any

from . import index
from .index import Index, Row

GROUP = "baybook"
OWN = "baybook"
SECONDS = 5.0  # for a plugin to be imported and to answer; BAYBOOK_PLUGIN_SECONDS changes it


@dataclass(frozen=True)
class Found:
    """A plugin as its distribution declares it."""

    name: str
    distribution: str
    version: str
    module: str

    def words(self) -> str:
        """How it is named to a person, so that they know what to update."""
        return f"{self.distribution} {self.version} [{self.name}]"


def find(folders: Iterable[str] | None = None) -> list[Found]:
    """Every entry point of the group in the folders, own first, then by distribution and name."""
    found: dict[tuple[str, str], Found] = {}
    for distribution in metadata.distributions(path=list(index.import_folders() if folders is None else folders)):
        for point in distribution.entry_points:
            if point.group == GROUP:
                name = distribution.metadata["Name"] or "unknown"
                plugin = Found(point.name, name, distribution.version, point.value)
                found.setdefault((name, point.name), plugin)  # the first on the path is the one that is imported
    return sorted(found.values(), key=lambda plugin: (plugin.distribution != OWN, plugin.distribution, plugin.name))


def build() -> Index:
    """Build the index afresh and keep it."""
    found, off = find(), index.switched_off()
    asked = [plugin for plugin in found if plugin.name not in off]
    answers = dict(zip(asked, ask([plugin.module for plugin in asked]), strict=True))
    rows = [index.stamp(), *(index.watch(folder) for folder in index.import_folders())]
    rows += decide(found, answers)
    files = sorted({file for answer in answers.values() for file in answer.get("files", ())})
    rows += [index.watch(file) for file in files]
    index.write(rows)
    return Index(rows)


def decide(found: Iterable[Found], answers: dict[Found, dict[str, Any]]) -> Iterator[Row]:
    """The rows of every plugin: accepted with its offers, left out because, or switched off (not asked)."""
    taken: dict[tuple[str, str], Found] = {}
    for plugin in found:
        start: Row = ("plugin", plugin.name, plugin.distribution, plugin.version, plugin.module)
        if plugin not in answers:
            yield (*start, "switched off", "")
            continue
        offers = _offer_rows(plugin, answers[plugin])
        reason = answers[plugin].get("reason") or _conflict(plugin, offers, taken)
        if reason:
            yield (*start, "left out", reason)
            continue
        taken.update({_claim(row): plugin for row in offers})
        taken["plugin", plugin.name] = plugin
        yield (*start, "accepted", "")
        yield from offers


def _offer_rows(plugin: Found, answer: dict[str, Any]) -> list[Row]:
    rows: list[Row] = []
    for word in ("calculator", "card", "fuel"):
        rows += [(word, plugin.name, *offer) for offer in answer.get(f"{word}s", ())]
    for family, symbol, factor, offset, others in answer.get("units", ()):
        rows.append(("unit", plugin.name, family, symbol, repr(factor), repr(offset), *others))
    return rows


def _claim(row: Row) -> tuple[str, str]:
    """The name that an offer claims; calculators share the command line with the core's own commands."""
    return (row[0], f"{row[2]}: {row[3]}" if row[0] == "unit" else row[2])


def _conflict(plugin: Found, offers: list[Row], taken: dict[tuple[str, str], Found]) -> str:
    from ..cli.names import COMMANDS

    if ("plugin", plugin.name) in taken:
        return f"the name {plugin.name} is taken by {taken['plugin', plugin.name].words()}"
    claims = [_claim(row) for row in offers]
    for claim in claims:
        if claim[0] == "calculator" and claim[1] in COMMANDS:
            return f"the calculator {claim[1]} has the name of a command"
        if claim in taken:
            return f"the {claim[0]} {claim[1]} is taken by {taken[claim].words()}"
        if claims.count(claim) > 1:
            return f"it offers the {claim[0]} {claim[1]} twice"
    return ""


def ask(modules: list[str]) -> list[dict[str, Any]]:
    """What each module offers, asked in a process of its own that is replaced when one hangs or ends it."""
    answers: list[dict[str, Any]] = []
    seconds = float(os.environ.get("BAYBOOK_PLUGIN_SECONDS", SECONDS))
    while len(answers) < len(modules):
        answers += _ask_in_one_process(modules[len(answers) :], seconds)
    return answers


def _ask_in_one_process(modules: list[str], seconds: float) -> list[dict[str, Any]]:
    """Answers up to and including the first module that hangs or ends the process."""
    process = subprocess.Popen(
        [sys.executable, "-m", "baybook.plugins.asking"],
        stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True, encoding="utf-8",
        env={**os.environ, "PYTHONPATH": os.pathsep.join(folder for folder in sys.path if folder)},
    )  # fmt: skip
    assert process.stdin and process.stdout
    lines: queue.Queue[str] = queue.Queue()
    reader = threading.Thread(target=_pass_on, args=(process.stdout, lines), daemon=True)
    reader.start()
    answers: list[dict[str, Any]] = []
    try:
        for module in modules:
            answers.append(_one(process.stdin, lines, module, seconds))
            if answers[-1].get("gone"):
                break
    finally:
        process.kill()
        process.wait()
        reader.join()
        process.stdin = None
        process.stdout.close()
    return answers


def _pass_on(stream: Any, lines: queue.Queue[str]) -> None:
    for line in stream:
        lines.put(line)
    lines.put("")


def _one(stdin: Any, lines: queue.Queue[str], module: str, seconds: float) -> dict[str, Any]:
    try:
        stdin.write(module + "\n")
        stdin.flush()
        line = lines.get(timeout=seconds)
    except queue.Empty:
        return {"reason": f"did not answer within {seconds:g} s", "gone": True}
    except OSError:
        line = ""
    if not line:
        return {"reason": "ended the process that imported it", "gone": True}
    answer: dict[str, Any] = json.loads(line)
    return answer
