"""The calculators and fuels that ship keep every promise that is asked of a stranger's; tests/cards looks at every card."""

from __future__ import annotations

import pytest

from baybook.registry import registry
from baybook.testing import CHECKS, Check, NotChecked, offered

NAMES = [listed.name for listed in registry().listed()]


@pytest.mark.parametrize("check", CHECKS, ids=lambda check: check.name)
@pytest.mark.parametrize("name", NAMES)
def test_a_shipped_calculator_keeps_it(name: str, check: Check) -> None:
    try:
        found = check.faults(registry().calculator(name))
    except NotChecked as reason:
        pytest.skip(str(reason))
    assert not found, "\n".join(found)


@pytest.mark.parametrize("name", registry().fuel_names())
def test_a_shipped_fuel_is_a_liquid(name: str) -> None:
    assert offered.fuel(registry().fuel(name)) == []
