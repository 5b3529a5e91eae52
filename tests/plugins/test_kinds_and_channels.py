"""A plugin brings a kind of quantity, its units, and the words of a capture's channel; nothing in the core is edited."""

from __future__ import annotations

import json

from .conftest import Site

TORQUE = '''
from typing import Annotated
from baybook.api import (ChannelOffer, Example, MAKERS_DATA, Meaning, Output, Reading, Result, SpecRange, UnitOffer, calculator,
                         hookimpl, length, new_kind, propagate, quantity, spec_range)

KIND = new_kind("torque", "torque", "N m", "120 N m")


@calculator(title="Lever", stage="generation", side="hydraulic", proves="What the lever takes.", cautions=[MAKERS_DATA],
            sources=["p = rho g h"], procedure=["Pull."], formulas=["M = F0 · l"],
            meanings=[Meaning("more than allowed", "it binds", "look at the bearing", verdict="above")],
            outputs={"moment": Output("torque", "at the shaft", symbol="M")},
            examples=[Example({"arm": "200 ± 0 mm"}, {"moment": (20.0, "N m", 1e-9)}, "arithmetic")])
def lever(
    arm: Annotated[Reading, length("arm", symbol="l", above="0 mm")],
    preload: Annotated[Reading, quantity("torque", "preload", symbol="M_0", default="0 ± 0 N m")],
    limit: Annotated[SpecRange | None, spec_range("torque", "largest allowed", judges="moment")],
) -> Result:
    """Work out the torque of 100 newton at an arm."""
    given = {"arm": arm.to("m"), "preload": preload.to("N m")}
    return Result(propagate(lambda arm, preload: {"moment": 100 * arm + preload}, {"moment": "torque"}, **given))


@hookimpl
def baybook_calculators():
    return [lever]


@hookimpl
def baybook_kinds():
    return [KIND]


@hookimpl
def baybook_units():
    return [UnitOffer("torque", "N m", "newton * meter"), UnitOffer("torque", "lbf ft", "pound_force * foot")]


@hookimpl
def baybook_channels():
    return [ChannelOffer("torque", "crankshaft torque", "torque", ("torque", "drehmoment"))]
'''


def test_a_plugins_own_kind_works_from_the_command_to_the_verdict(site: Site) -> None:
    site.add("lever", TORQUE)
    told = json.loads(site.run("lever", "--arm", "200 ± 1 mm", "--limit", "<= 10 lbf ft; sheet", "--json").stdout)
    assert told["outputs"]["moment"]["value"] == 20.0
    # 10 lbf ft = 13.558 N m: NIST SP 811 (2008), appendix B.8, pound-force foot = 1.355818 N m
    assert told["verdicts"][0]["verdict"] == "outside" and told["findings"][0]["statement"]["text"].endswith("it binds")
    assert "N m" in site.run("units").stdout


def test_a_plugins_channel_is_found_by_its_words(site: Site) -> None:
    site.add("lever", TORQUE)
    rows = "\n".join(f"{0.1 * n:.1f},{20 + n}" for n in range(20))
    (site.root / "pull.csv").write_text(f"time [s],Drehmoment [N m]\n{rows}\n")
    assert "torque is read from" in site.run("capture", "pull.csv").stdout.replace("\n", " ")


def test_a_kind_or_channel_of_baybooks_own_is_not_taken(site: Site) -> None:
    offer = "    return [ChannelOffer('rail', 'x', 'flow', ('y',))]\n"
    site.add("taker", f"from baybook.api import *\n\n\n@hookimpl\ndef baybook_channels():\n{offer}")
    assert "the channel rail is one of Baybook's own" in " ".join(site.run("plugins", "list").stdout.split())
