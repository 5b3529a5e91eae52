"""What works on plain floats loads no numerical library, so that a command with a few readings starts at once."""

from __future__ import annotations

import subprocess
import sys

import pytest

LIGHT = (
    "baybook_physics", "baybook_physics.fuels", "baybook_physics.compliance", "baybook_physics.coil", "baybook_physics.heat",
    "baybook_physics.orifice", "baybook_physics.pipe", "baybook_physics.pump", "baybook_physics.wire",
    "baybook_physics.filtration",
    "baybook_physics.viscosity", "baybook_physics.dissolved_air", "baybook_physics.mass_balance",
    "baybook_physics.inference.intervals",
    "baybook_plugins.hold.two_point.estimate",
)  # fmt: skip


@pytest.mark.parametrize("module", LIGHT)
def test_a_scalar_module_loads_no_numerical_library(module: str) -> None:
    code = f"import sys, {module}; print([n for n in ('numpy', 'scipy', 'pint') if n in sys.modules])"
    done = subprocess.run([sys.executable, "-c", code], check=True, capture_output=True, text=True)
    assert done.stdout.strip() == "[]"
