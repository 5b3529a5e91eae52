"""For authors of plugins: the conformance kit as a test of your own, and fixtures.

In a test file of the plugin::

    from baybook.testing import conformance
    from baybook_lift_head.calculator import lift_head

    test_conformance = conformance(lift_head)

gives a test for each promise of the interface (`CHECKS`). `baybook plugins check` runs the same ones. Fixtures stand in
`baybook.testing.fixtures`. Nothing is imported from pytest until it is asked for.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from ..declare import Calculator
from .catalogues import catalogue_text
from .checks import CHECKS
from .promise import Check, NotChecked

__all__ = ["CHECKS", "Check", "NotChecked", "catalogue_text", "conformance"]


def conformance(calculator: Calculator) -> Callable[..., None]:
    """A pytest test, parametrised with every check, of the calculator."""
    import pytest

    def test_conformance(check: Check) -> None:
        try:
            found = check.faults(calculator)
        except NotChecked as reason:
            pytest.skip(str(reason))
        assert not found, "\n".join(found)

    mark: Any = pytest.mark.parametrize("check", CHECKS, ids=lambda check: check.name.replace(" ", "-"))
    test: Callable[..., None] = mark(test_conformance)
    return test
