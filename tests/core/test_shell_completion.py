"""What a shell offers behind the words typed so far, by the protocols of bash, zsh and fish, in a process of its own."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from pathlib import Path

import pytest

OFFERS = {
    "calculators and commands": (["ca"], {"card", "capture"}),
    "calculator": (["reg"], {"regulator"}),
    "option": (["coil", "--re"], {"--reading"}),
    "words of a choice": (["regulator", "--where", ""], {"inlet", "outlet", "both"}),
    "begun word": (["regulator", "--where", "o"], {"outlet"}),
    "fuels": (["hold", "--fuel", "d"], {"diesel"}),
    "units of the kind": (["hold", "--start", "350b"], {"350bar"}),
    "units of a temperature": (["coil", "--temperature", "20°"], {"20°C", "20°F"}),
    "unit behind a reading": (["convert", "30bar", "ps"], {"psi", "psi/s"}),
    "verdict": (["coil", "--fail-on", ""], {"outside", "undecided"}),
    "cards": (["card", "print", "co"], {"coil", "common-return", "convert", "coil-table"}),
    "sizes": (["card", "print", "--size", ""], {"A4", "A5", "A6", "ID-1"}),
    "sheets": (["card", "print", "--sheet", ""], {"A4", "A3"}),
    "orientation": (["card", "print", "--orientation", "l"], {"landscape"}),
    "languages": (["card", "print", "--language", ""], {"en", "de"}),
    "languages of a report": (["job", "report", "a.toml", "--language", ""], {"en", "de"}),
    "sub-command": (["job", "rep"], {"report"}),
    "calculators of a step": (["job", "add", "a.toml", "h"], {"hold"}),
    "options of a step": (["job", "add", "a.toml", "coil", "--lim"], {"--limit"}),
    "values of a step": (["job", "add", "a.toml", "regulator", "--switched", ""], {"ground", "supply"}),
    "calculators of a schema": (["schema", "co"], {"coil", "common-return", "convert"}),
    "plugins": (["plugins", "off", "han"], {"handbook"}),
    "nothing behind a mistake": (["job", "add", "a.toml", "nothing", "--x"], set()),
}


def shell(**settings: str) -> str:
    """What the program answers to a shell that asks with these settings."""
    program = [str(Path(sys.executable).with_name("baybook"))]
    done = subprocess.run(program, env={**os.environ, **settings}, capture_output=True, text=True, timeout=60)
    assert done.stderr == ""
    return done.stdout


@pytest.mark.parametrize(("words", "offered"), OFFERS.values(), ids=list(OFFERS))
def test_bash_is_offered(words: list[str], offered: set[str]) -> None:
    answer = shell(_BAYBOOK_COMPLETE="complete_bash", COMP_WORDS=" ".join(["baybook", *words]), COMP_CWORD=str(len(words)))
    assert set(answer.split("\n")) - {""} == offered


@pytest.mark.parametrize("name", ["words of a choice", "cards", "values of a step", "option"])
def test_zsh_and_fish_are_offered_the_same_with_what_each_is(name: str) -> None:
    words, offered = OFFERS[name]
    line = " ".join(["baybook", *words])
    zsh = shell(_BAYBOOK_COMPLETE="complete_zsh", _TYPER_COMPLETE_ARGS=line)
    assert set(re.findall(r'^(?:.*\(\()?"([^"]+)":"[^"]', zsh, re.M)) == offered
    fish = shell(_BAYBOOK_COMPLETE="complete_fish", _TYPER_COMPLETE_FISH_ACTION="get-args", _TYPER_COMPLETE_ARGS=line)
    assert dict.fromkeys(offered) == dict.fromkeys(line.split("\t")[0] for line in fish.splitlines() if "\t" in line)


def test_bash_completes_a_line_with_the_script_that_is_shown(tmp_path: Path) -> None:
    """The script that --show-completion prints, sourced by bash, which then completes a line by itself."""
    script = tmp_path / "script.sh"
    env = {**os.environ, "_TYPER_COMPLETE_TEST_DISABLE_SHELL_DETECTION": "1"}
    baybook = Path(sys.executable).with_name("baybook")
    shown = subprocess.run([str(baybook), "--show-completion", "bash"], env=env, capture_output=True, text=True, check=True)
    script.write_text(shown.stdout, encoding="utf-8")
    asks = f"""
    PATH={baybook.parent}:$PATH; source {script}
    COMP_WORDS=(baybook regulator --where ""); COMP_CWORD=3
    $(complete -p baybook | sed 's/.*-F \\([^ ]*\\) .*/\\1/') baybook; printf '%s\\n' "${{COMPREPLY[@]}}"
    """
    # the function is called in this shell, not in a substitution, so that COMPREPLY is kept
    done = subprocess.run(["bash", "--norc", "-c", asks], capture_output=True, text=True, check=False, timeout=60)
    assert (set(done.stdout.split()), done.stderr) == ({"inlet", "outlet", "both"}, "")
