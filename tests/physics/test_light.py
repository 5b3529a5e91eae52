"""What works on plain floats loads no numerical library, so that a command with a few readings starts at once."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import numpy as np
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


def test_a_capture_loads_no_part_of_numpy_that_it_does_without(tmp_path: Path) -> None:
    """Masked arrays and numpy's generators take as long to load as a hundred fits of a rail."""
    time = np.arange(0.0, 30.0, 0.05)
    file = tmp_path / "hold.csv"
    rows = "".join(f"{t:.2f},{100.0 * np.exp(-t / 300.0):.2f}\n" for t in time)
    file.write_text("t [s],rail [MPa]\n" + rows, encoding="utf-8")
    code = (
        "import sys; from baybook import calculate; "
        f"calculate('hold', capture={str(file)!r}, volume='25 mL'); "
        "print([n for n in ('numpy', 'numpy.ma', 'numpy.random', 'scipy', 'pint') if n in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], check=True, capture_output=True, text=True)
    assert done.stdout.strip() == "['numpy']"
