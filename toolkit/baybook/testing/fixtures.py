"""Fixtures for a plugin's tests. In its conftest.py: `pytest_plugins = ["baybook.testing.fixtures"]`."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from ..plugins.child import ask
from ..plugins.index import Index
from ..plugins.index_builder import Found, decide, find
from ..registry import Registry, registry

MakeRegistry = Callable[..., Registry]


@pytest.fixture
def temporary_cache(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    """A folder that holds Baybook's cache and configuration during the test; nothing of the user's is read or written."""
    for name in [name for name in os.environ if name.startswith("BAYBOOK_")]:
        monkeypatch.delenv(name)
    monkeypatch.setenv("BAYBOOK_CACHE", str(tmp_path / "cache"))
    monkeypatch.setenv("BAYBOOK_CONFIG", str(tmp_path / "config"))
    registry.cache_clear()
    yield tmp_path
    registry.cache_clear()


@pytest.fixture
def fresh_registry(temporary_cache: Path) -> MakeRegistry:
    """fresh_registry("baybook_lift_head.calculator", …): a Registry of the shipped plugins and of these modules alone.

    They need not be installed, only importable; each is asked in a process of its own, as when it is installed.
    """

    def make(*modules: str) -> Registry:
        shipped = [plugin for plugin in find() if plugin.distribution == "baybook"]
        found = [*shipped, *(Found(module.partition(".")[0], "under test", "0", module) for module in modules)]
        answers = dict(zip(found, ask([plugin.module for plugin in found]), strict=True))
        return Registry(Index([record.row() for record in decide(found, answers)]))

    return make
