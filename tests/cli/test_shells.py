"""Completion in the shells themselves: the script that is shown, sourced, and a line completed by the shell's own machinery."""

from __future__ import annotations

import os
import pty
import re
import select
import shutil
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from baybook.registry import registry

BAYBOOK = Path(sys.executable).with_name("baybook")
SHEET = """[job]
vehicle = "van"
[specs.leak]
range = "max 6 mL/min"
source = "sheet 2"
[instruments.cylinders]
uncertainty = "1 mL"
"""
ASKED = {
    "words of a choice": (["regulator", "--where", ""], {"inlet", "outlet", "both"}),
    "fuels": (["hold", "--fuel", "d"], {"diesel"}),
    "units": (["hold", "--start", "350b"], {"350bar"}),
    "cards": (["card", "print", "co"], {"coil", "common-return", "convert", "coil-table"}),
    "calculators behind the sheet": (["job", "add", "van.toml", "ho"], {"hold"}),
    "ranges of the sheet": (["job", "add", "van.toml", "hold", "--limit", "le"], {"leak"}),
    "instruments of the sheet": (["job", "add", "van.toml", "returns", "--volumes", "30mL@cy"], {"30mL@cylinders"}),
    "measurements": (["compare", "--calculator", "ho"], {"hold"}),
    "options": (["hold", "--pl"], {"--plot"}),
}


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A folder with a sheet, and the index of plugins made."""
    registry().listed()
    (tmp_path / "van.toml").write_text(SHEET, "utf-8")
    return tmp_path


def script(shell: str) -> str:
    env = {**os.environ, "_TYPER_COMPLETE_TEST_DISABLE_SHELL_DETECTION": "1"}
    done = subprocess.run([BAYBOOK, "--show-completion", shell], env=env, capture_output=True, text=True, check=True)
    return done.stdout


def ran(shell: list[str], lines: str, folder: Path) -> str:
    env = {**os.environ, "PATH": f"{BAYBOOK.parent}:{os.environ['PATH']}", "HOME": str(folder)}
    done = subprocess.run([*shell, lines], env=env, cwd=folder, capture_output=True, text=True, check=False, timeout=60)
    assert done.stderr == ""
    return done.stdout


@pytest.mark.parametrize(("words", "offered"), ASKED.values(), ids=list(ASKED))
def test_bash_completes(words: list[str], offered: set[str], folder: Path) -> None:
    (folder / "script").write_text(script("bash"), "utf-8")
    typed = " ".join(f'"{word}"' for word in ["baybook", *words])
    lines = f"""source ./script; COMP_WORDS=({typed}); COMP_CWORD={len(words)}
    $(complete -p baybook | sed 's/.*-F \\([^ ]*\\) .*/\\1/') baybook; printf '%s\\n' "${{COMPREPLY[@]}}" """
    assert set(ran(["bash", "--norc", "-c"], lines, folder).split()) == offered


@pytest.mark.parametrize("typed", ["30mL@cy", "30mL@", '"30 31 mL@cyl'])
def test_an_instrument_is_completed_at_a_prompt_of_bash(typed: str, folder: Path) -> None:
    """Bash splits the line at @ and replaces from there on, which only its own prompt shows."""
    (folder / "script").write_text(script("bash"), "utf-8")
    child, terminal = pty.fork()
    if child == 0:
        os.chdir(folder)
        env = {**os.environ, "PATH": f"{BAYBOOK.parent}:{os.environ['PATH']}", "PS1": "", "TERM": "dumb"}
        os.execvpe("bash", ["bash", "--norc"], env)
    try:
        os.write(terminal, b"stty cols 200; source ./script; echo rea''dy\n")
        until(terminal, "ready")
        os.write(terminal, f"baybook job add van.toml returns --volumes {typed}\t".encode())
        assert until(terminal, "ylinders").rpartition("@")[2] == "cylinders"
    finally:
        os.kill(child, signal.SIGKILL)
        os.waitpid(child, 0)
        os.close(terminal)


def until(terminal: int, text: str) -> str:
    """What the terminal shows until the text has come."""
    seen = ""
    while text not in seen:
        assert select.select([terminal], [], [], 60)[0], seen
        seen += os.read(terminal, 4096).decode()
    return seen.strip().rstrip('" ')


@pytest.mark.skipif(not shutil.which("fish"), reason="fish is not installed here")
@pytest.mark.parametrize(("words", "offered"), ASKED.values(), ids=list(ASKED))
def test_fish_completes(words: list[str], offered: set[str], folder: Path) -> None:
    (folder / "script").write_text(script("fish"), "utf-8")
    line = " ".join(["baybook", *words])
    out = ran(["fish", "--no-config", "-c"], f"source ./script; complete -C '{line}'", folder)
    assert {text.partition("\t")[0] for text in out.splitlines()} == offered


@pytest.mark.skipif(not shutil.which("zsh"), reason="zsh is not installed here")
@pytest.mark.parametrize(("words", "offered"), ASKED.values(), ids=list(ASKED))
def test_zsh_completes(words: list[str], offered: set[str], folder: Path) -> None:
    """The script's own function in zsh, with what would be shown written down instead."""
    (folder / "script").write_text(script("zsh"), "utf-8")
    typed = " ".join(f'"{word}"' for word in ["baybook", *words])
    lines = f"""compdef() {{ :; }}; _arguments() {{ print -r -- "$@"; }}; _describe() {{ print -rl -- "$@"; }}; source ./script
    words=({typed}); CURRENT={len(words) + 1}; _baybook_completion"""
    out = ran(["zsh", "-f", "-c"], lines, folder)
    told = set(re.findall(r'"([^"]+)":"', out)) or set(re.findall(r'"([^"]+)"', out))
    assert told == offered, out


def test_powershell_is_given_a_script_that_asks_the_same_program(folder: Path) -> None:
    """No PowerShell here: the script by its text, and what the program answers to it."""
    text = script("powershell")
    assert "Register-ArgumentCompleter -Native -CommandName baybook" in text and "_BAYBOOK_COMPLETE" in text
    env = {
        **os.environ, "_BAYBOOK_COMPLETE": "complete_powershell", "_TYPER_COMPLETE_ARGS": "baybook regulator --where ",
        "_TYPER_COMPLETE_WORD_TO_COMPLETE": "",
    }  # fmt: skip
    done = subprocess.run([BAYBOOK], env=env, capture_output=True, text=True, check=False, cwd=folder)
    assert {line.partition(":::")[0] for line in done.stdout.splitlines()} == {"inlet", "outlet", "both"}
