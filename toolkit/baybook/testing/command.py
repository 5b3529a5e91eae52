"""`baybook plugins check`: find what is meant, check it in a process of its own, print a line for each promise."""

from __future__ import annotations

import contextlib
import json
import os
import queue
import subprocess
import sys
import threading
import tomllib
from collections.abc import Generator, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from ..columns import wrap
from ..errors import InputError
from ..plugins import overview
from ..plugins.index_builder import GROUP
from ..registry import registry
from .promise import NotChecked, answer

SECONDS = 120.0  # for one check, all examples together; BAYBOOK_CHECK_SECONDS changes it
LEAVES = 5.0  # s that a child which has told all may take to end
MARKS = {"kept": "[ok]", "broken": "[!!]", "not checked": "[?]"}


@dataclass(frozen=True)
class Target:
    """What is checked: entry points (name, module) and the folder that has to stand on the import path, "" when installed.

    project: the folder of the plugin's pyproject.toml, where its tests are; None where only a module or a name is known.
    """

    points: tuple[tuple[str, str], ...]
    folder: str = ""
    project: Path | None = None

    @property
    def path(self) -> str:
        """The import path of a process that checks it."""
        return os.pathsep.join(folder for folder in (self.folder, *sys.path) if folder)


def check_lines(what: str, *, as_json: bool = False) -> bool:
    """Check a folder or an installed plugin, print what was found, and say whether every promise is kept.

    Raises InputError where nothing of that name or no plugin in that folder is found.
    """
    found = []
    for told in answers(target(what)):
        found.append(told)
        if not as_json:
            print("\n".join(_lines(told)), flush=True)
    broken = sum(told["state"] == "broken" for told in found)
    if as_json:
        print(json.dumps(found, ensure_ascii=False, indent=2))
    else:
        skipped = sum(told["state"] == "not checked" for told in found)
        kept = len(found) - broken - skipped
        print(f"{kept} kept, {broken} broken" + (f", {skipped} not checked" if skipped else ""))
    return not broken


def _lines(told: dict[str, Any]) -> list[str]:
    first = f"{MARKS[told['state']]:<5}{told['of']}: {told['check']}"
    if not told["faults"]:
        return [first]
    return [line for fault in told["faults"] for line in wrap(f"{first}: {fault}", "        ", "")]


def target(what: str) -> Target:
    """The plugin that a person means by a path or a name. Raises InputError."""
    path = Path(what)
    if path.is_dir():
        return _in_folder(path)
    if path.suffix == ".py" and path.is_file():
        return _of_module(path.resolve())
    if os.sep in what or path.suffix == ".py":
        raise InputError.one("", what, "is not there", "give the folder that holds the plugin's pyproject.toml")
    return Target(tuple((plugin.name, plugin.module) for plugin in overview.named(registry().index, what)))


def _of_module(path: Path) -> Target:
    """A module by its file: its name within the packages that it stands in."""
    folder, name = path.parent, path.stem
    while (folder / "__init__.py").is_file():
        folder, name = folder.parent, f"{folder.name}.{name}"
    return Target(((name.partition(".")[0], name),), str(folder))


def _in_folder(path: Path) -> Target:
    """The entry points that the folder's pyproject.toml declares."""
    file = path / "pyproject.toml"
    try:
        project = tomllib.loads(file.read_text(encoding="utf-8"))
    except OSError as error:
        raise InputError.one("", str(file), f"cannot be read: {error.strerror}", "give the folder that holds it") from error
    except ValueError as error:
        raise InputError.one("", str(file), f"is not TOML: {error}") from error
    points = project.get("project", {}).get("entry-points", {}).get(GROUP, {})
    if not points or not all(isinstance(module, str) for module in points.values()):
        raise InputError.one(
            "", str(file), "declares no plugin", f'add [project.entry-points.{GROUP}] with NAME = "package.module"'
        )
    source = path / "src" if (path / "src").is_dir() else path
    return Target(tuple(points.items()), str(source.resolve()), path.resolve())


def answers(target: Target) -> Iterator[dict[str, Any]]:
    """An answer for every check: `of` (what is checked), `check`, `state` (kept, broken, not checked), `faults`."""
    for name, module in target.points:
        yield from _answers(name, module, target)
    if target.project:
        yield _of_own_tests(target, target.project)


def _of_own_tests(target: Target, project: Path) -> dict[str, Any]:
    from .own_tests import own_tests

    try:
        return answer(project.name, "own tests", own_tests(project, target.path, time_limit()))
    except NotChecked as reason:
        return answer(project.name, "own tests", [str(reason)], "not checked")


def _answers(name: str, module: str, target: Target) -> Iterator[dict[str, Any]]:
    how = "not installed" if target.folder else "installed"
    command = [sys.executable, "-P", "-m", "baybook.testing.child", name, module, how]
    with subprocess.Popen(
        command, stdin=subprocess.DEVNULL, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True, encoding="utf-8",
        env={**os.environ, "PYTHONPATH": target.path},
    ) as process:  # fmt: skip
        lines: queue.Queue[str] = queue.Queue()
        reader = threading.Thread(target=_pass_on, args=(process.stdout, lines), daemon=True)
        reader.start()
        try:
            if (yield from _told(name, lines)):
                with contextlib.suppress(subprocess.TimeoutExpired):
                    process.wait(LEAVES)  # in peace, with what is to be written at its end
        finally:
            process.kill()
            reader.join()


def _told(name: str, lines: queue.Queue[str]) -> Generator[dict[str, Any], None, bool]:
    """The child's answers; one of ours where it takes too long over a check, or ends in the middle of one. Returns whether it
    has told all."""
    running = "import"
    while True:
        try:
            line = lines.get(timeout=time_limit())
        except queue.Empty:
            yield answer(name, running, [f"did not end within {time_limit():g} s"])
            return False
        told = json.loads(line or '{"end": false}')
        if "begin" in told:
            running = told["begin"]
        elif "end" not in told:
            yield told
        else:
            if not told["end"]:
                yield answer(name, running, ["ended the process"])
            return bool(told["end"])


def time_limit() -> float:
    """Seconds that one check may take."""
    try:
        return float(os.environ.get("BAYBOOK_CHECK_SECONDS", SECONDS))
    except ValueError:
        return SECONDS


def _pass_on(stream: Any, lines: queue.Queue[str]) -> None:
    for line in stream:
        lines.put(line)
    lines.put("")
