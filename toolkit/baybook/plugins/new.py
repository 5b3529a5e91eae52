"""`baybook plugins new`: write the plugin of `template/`, named as wanted. All of its files, or none."""

from __future__ import annotations

import keyword
import os
import shutil
import tempfile
from importlib.resources import files
from importlib.resources.abc import Traversable
from pathlib import Path
from string import Template

from ..errors import InputError
from ..registry import registry
from ..version import __version__

PREFIX = "baybook-"
SUFFIX = ".txt"  # so that neither pytest nor a type checker takes the templates for code of ours


def make(name: str, into: str = ".", *, force: bool = False) -> Path:
    """Write the plugin folder `into`/baybook-NAME and return it.

    Raises InputError for a name that cannot be a calculator's, a folder that is not there, and files that are there already
    unless `force` is set.
    """
    plain = name.strip().removeprefix(PREFIX)
    _check_name(plain)
    target = Path(into) / f"{PREFIX}{plain}"
    if not Path(into).is_dir():
        raise InputError.one("--into", into, "is not a folder", "make it first, or give another")
    texts = _texts(plain)
    there = [str(target / path) for path in texts if (target / path).exists()]
    if there and not force:
        raise InputError.one("", str(target), f"has {there[0]} already", "give another name, or --force to overwrite")
    try:
        _write(target, texts)
    except OSError as error:
        raise InputError.one("--into", str(error.filename or target), f"cannot be written: {error.strerror}") from error
    return target


def _check_name(name: str) -> None:
    words = name.split("-")
    if (
        not all(word.isascii() and word.isalnum() and word == word.lower() for word in words)
        or not name[0].isalpha()
        or len(name) > 40
    ):
        raise InputError.one(
            "NAME", name, "cannot be a calculator's name", "use small letters, digits and hyphens, such as lift-head"
        )
    if keyword.iskeyword(name):
        raise InputError.one("NAME", name, "is a word of Python's", f"use my-{name}, say")
    from ..commands import COMMANDS

    taken = {listed.name: f"is taken by the plugin {listed.plugin}" for listed in registry().listed()}
    taken.update(dict.fromkeys(COMMANDS, "is a command of Baybook's"))
    if name in taken:
        raise InputError.one("NAME", name, taken[name], f"use my-{name}, say")


def _texts(name: str) -> dict[str, str]:
    """The text of every file, by its path in the plugin folder."""
    function = name.replace("-", "_")
    words = {
        "name": name, "project": PREFIX + name, "package": f"baybook_{function}", "function": function,
        "title": name.replace("-", " ").capitalize(), "baybook": __version__,
    }  # fmt: skip
    found = _walk(files("baybook.plugins").joinpath("template"), "")
    return {
        path.removesuffix(SUFFIX).replace("/package", f"/{words['package']}"): Template(text).substitute(words)
        for path, text in found.items()
    }


def _walk(folder: Traversable, path: str) -> dict[str, str]:
    texts: dict[str, str] = {}
    for item in sorted(folder.iterdir(), key=lambda item: item.name):
        if item.is_dir():
            texts.update(_walk(item, f"{path}{item.name}/"))
        else:
            texts[path + item.name] = item.read_text(encoding="utf-8")
    return texts


def _write(target: Path, texts: dict[str, str]) -> None:
    """Write beside the target first, then move: a full disk leaves nothing half written."""
    scratch = Path(tempfile.mkdtemp(prefix=f".{target.name}-", dir=target.parent))
    try:
        for path, text in texts.items():
            (scratch / path).parent.mkdir(parents=True, exist_ok=True)
            (scratch / path).write_text(text, encoding="utf-8")
        for path in texts:
            (target / path).parent.mkdir(parents=True, exist_ok=True)
            os.replace(scratch / path, target / path)
    finally:
        shutil.rmtree(scratch, ignore_errors=True)
