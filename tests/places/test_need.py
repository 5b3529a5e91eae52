"""Needs: what is a chance, and what the inputs say of them."""

from __future__ import annotations

import math

import pytest

from baybook.errors import PluginError
from baybook.places.need import Need
from baybook.places.sense import Question


@pytest.mark.parametrize("chance", [0.0, 1.0, -0.1, 1.1, math.nan, True])
def test_a_chance_lies_between_never_and_always(chance: float) -> None:
    declarations = (
        lambda: Question({"filter": chance}),
        lambda: Question({}, chance),
        lambda: Need("warm", met=chance),
        lambda: Need("warm", bad=chance),
    )
    for declare in declarations:
        with pytest.raises(PluginError, match="give a chance between 0 and 1, neither of them included"):
            declare()
    if chance:
        for declare in (lambda: Question({}, off_map=chance), lambda: Need("warm", left=chance)):
            with pytest.raises(PluginError, match="give a chance between 0 and 1"):
                declare()
    assert Question({"filter": 1e-6}, 1e-6).false_alarm == 1e-6 and Need("warm", met=0.999999).met == 0.999999


def test_what_the_inputs_say_of_a_need() -> None:
    """By its own name or another input, in its words."""
    assert [Need("warm").answer({"warm": word}) for word in ("yes", "no", "perhaps")] == [True, False, None]
    assert (
        Need("warm").answer({}) is None and Need("warm", input="engine", words={"hot": True}).answer({"engine": "hot"}) is True
    )
    assert Need("n", words={"3": False}).answer({"n": 3}) is False
