"""What an author meets: the fixtures, and faults told with their place."""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path

import pytest

import baybook
from baybook.api import CardOffer, ChannelOffer, FuelOffer, UnitOffer
from baybook.errors import PluginError
from baybook.plugins import child, index
from baybook.plugins.loader import load_offers
from baybook.testing.fixtures import MakeRegistry, fresh_registry, temporary_cache

from .conftest import Site, good

__all__ = ["fresh_registry", "temporary_cache"]  # pytest finds fixtures by name


def test_a_temporary_cache_keeps_the_users_own_untouched(temporary_cache: Path) -> None:
    baybook.calculate("convert", reading="1 bar", to="kPa")
    assert index.index_file().startswith(str(temporary_cache / "cache"))
    assert Path(index.index_file()).exists()
    assert index.switch_file() == str(temporary_cache / "config" / "switched-off")


def test_a_fresh_registry_holds_the_shipped_plugins_and_the_one_under_test(
    fresh_registry: MakeRegistry, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "third_fresh.py").write_text(good("fresh"))
    monkeypatch.syspath_prepend(str(tmp_path))
    known = fresh_registry("third_fresh")
    assert {"convert", "fresh"} <= {listed.name for listed in known.listed()}
    assert known.calculator("fresh")(pressure="2 ± 0 bar")["double"].value == 4.0
    assert known.left_out() == []


def test_a_fresh_registry_tells_why_a_module_is_left_out(
    fresh_registry: MakeRegistry, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "third_unfit.py").write_text("\n\nraise ValueError('not today')")
    monkeypatch.syspath_prepend(str(tmp_path))
    assert fresh_registry("third_unfit").left_out() == [
        "plugin under test 0 [third_unfit] is left out: cannot be imported: ValueError: not today (third_unfit.py, line 3)"
    ]


@pytest.mark.parametrize(
    ("before", "after", "said"),
    [
        ('at_least="0 bar"', 'atleast="0 bar"', "unexpected keyword argument 'atleast'"),
        (
            "return [wrong]",
            "return [wrogn]",
            "baybook_calculators failed: NameError: name 'wrogn' is not defined",
        ),
        ('pressure.to("bar")', 'pressure.to("bra")', "calculator wrong failed: UnknownUnit: bra"),
    ],
)
def test_a_fault_is_told_once_and_with_its_line(site: Site, before: str, after: str, said: str) -> None:
    code = good("wrong")
    assert before in code
    code = code.replace(before, after)
    (site.root / "wrong.py").write_text(code)
    line = next(number for number, text in enumerate(code.splitlines(), 1) if after in text)
    lines = " ".join(site.run("plugins", "check", "wrong.py", code=1).stdout.split())
    lines = lines.replace(". Did you mean 'at_least'?", "")  # which Python 3.12 and newer say themselves
    assert lines.count("[!!]") == 1 and f"{said} (wrong.py, line {line})" in lines, lines
    assert "0 broken" not in lines


def test_an_asking_process_that_does_not_start_leaves_plugins_out_and_nothing_else(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "executable", "/bin/false")
    reasons = [answer["reason"] for answer in child.ask(["one", "two"])]
    assert reasons == ["the process that asks plugins did not start: exit code 1"] * 2
    monkeypatch.setattr(sys, "executable", "/no/such/python")
    assert "No such file or directory" in child.ask(["one"])[0]["reason"]


def test_a_person_at_a_terminal_is_told_what_is_waited_for(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "third_slow.py").write_text("import time; time.sleep(30)")
    monkeypatch.syspath_prepend(str(tmp_path))
    monkeypatch.setenv("BAYBOOK_PLUGIN_SECONDS", "0.5")
    monkeypatch.setattr(child, "PATIENCE", 0.2)
    monkeypatch.setattr(sys.stderr, "isatty", lambda: True, raising=False)
    assert child.ask(["third_slow"])[0]["reason"].startswith("did not answer within 0.5 s")
    assert capsys.readouterr().err == "waiting up to 0.5 s for the plugin third_slow …\n"


@pytest.mark.parametrize(
    ("offers", "said"),
    [
        ("return 'hold'", "baybook_calculators returned str, not a list"),
        ("return 7", "baybook_calculators returned int, not a list"),
        ("import itertools; return itertools.repeat(1)", "baybook_calculators offers more than 500"),
        ("import dataclasses; return [dataclasses.replace(odd, title=17)]",
         "baybook_calculators offers a Calculator whose title is not a short text: 17"),
        ("import dataclasses; return [dataclasses.replace(odd, name='--x')]",
         "baybook_calculators offers a Calculator with the name '--x'; use letters, digits and hyphens"),
        ("raise PluginError('not today')", "not today"),
    ],
)  # fmt: skip
def test_what_a_hook_may_not_give_is_told(offers: str, said: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    name = f"third_hook_{abs(hash(offers))}"
    code = good("odd").replace("return [odd]", f"from baybook.errors import PluginError; {offers}")
    (tmp_path / f"{name}.py").write_text(code)
    monkeypatch.syspath_prepend(str(tmp_path))
    with pytest.raises(PluginError) as refused:
        load_offers(name)
    assert str(refused.value).startswith(said)


def test_a_declaration_that_is_none_is_told_with_its_place(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "third_bare.py").write_text(good("bare").replace("cautions=[MAKERS_DATA]", "cautions=[]"))
    monkeypatch.syspath_prepend(str(tmp_path))
    with pytest.raises(PluginError, match=r"is not declared rightly: .*without cautions.* \(third_bare\.py, line \d+\)"):
        load_offers("third_bare")


@pytest.mark.parametrize(
    ("make", "said"),
    [
        (lambda: CardOffer("bench card", "Bench", lambda: None), "a card has the name 'bench card'; use letters, digits and"),
        (lambda: FuelOffer("", "Oil", lambda: None), "a fuel has the name ''; use letters, digits and hyphens"),
        (lambda: CardOffer("bench", "Bench", "no module:card"), "the card bench is made by 'no module:card'; name it as"),
        (
            lambda: UnitOffer("flow", " ", "1 mL"),
            "a unit needs short texts for family, symbol and expression, not ('flow', ' ',",
        ),
        (lambda: ChannelOffer("torque", "torque", "torque", ()), "the channel torque needs short texts for what it is, its"),
    ],
)
def test_an_offer_checks_itself(make: Callable[[], object], said: str) -> None:
    with pytest.raises(PluginError) as refused:
        make()
    assert str(refused.value).startswith(said)
