"""Inputs that several calculators ask for are declared once."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from baybook import inputs
from baybook.captures.channels import KNOWN
from baybook.kinds import KINDS
from baybook.registry import registry

PLUGINS = Path(__file__).resolve().parents[2] / "plugins" / "baybook_plugins"


def test_one_that_means_something_narrower_changes_that_alone() -> None:
    narrower = inputs.ENGINE_SPEED.but(usual="800 rpm", at_most="1000 rpm")
    assert (narrower.help, narrower.symbol, narrower.above) == ("engine speed", "n", "0 rpm")
    assert (narrower.usual, narrower.at_most) == ("800 rpm", "1000 rpm")
    assert inputs.ENGINE_SPEED.at_most == "8000 rpm"


def test_a_captures_channels_have_the_kinds_that_the_reader_gives_them() -> None:
    """The family of a channel of the core's own is that of the kind; what is no channel is refused at once."""
    field = inputs.capture("a log", "rail", also=("rpm", "d_mv", "i_pcv"))
    for name, kind in {**field.channels, **field.also}.items():
        family = KNOWN[name].family
        assert kind is KINDS["gauge pressure" if family == "pressure" else family]
    with pytest.raises(KeyError):
        inputs.capture("a log", "rial")


def test_every_shared_input_is_taken_by_more_than_one_calculator() -> None:
    """Else it belongs to the one that takes it."""
    taken: dict[str, set[str]] = {name: set() for name in inputs.__all__}
    for file in PLUGINS.rglob("*.py"):
        for name in re.findall(r"\binputs\.(\w+)", file.read_text(encoding="utf-8")):
            if name in taken:
                taken[name].add(file.relative_to(PLUGINS).parts[0] + file.stem)
    assert {name for name, users in taken.items() if len(users) < 2} == set()


def test_the_same_limits_hold_wherever_one_is_taken() -> None:
    ratios = [
        parameter.field
        for calculator in ("ripple", "cranking")
        for parameter in registry().calculator(calculator).parameters
        if parameter.name == "pump_ratio"
    ]
    assert ratios == [inputs.PUMP_RATIO, inputs.PUMP_RATIO]
