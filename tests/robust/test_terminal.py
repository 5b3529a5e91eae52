"""No text of a file, a plugin or a person reaches a terminal with characters that do more than show themselves."""

from __future__ import annotations

import os
import pty
import re
import subprocess
import sys
import threading
from pathlib import Path

import pytest

from .processes import baybook

HARM = "\x1b[2J\x1b]52;c;aGFybQ==\x07\x9b31m\u202ereversed\u202c\x00\x08"
CONTROLS = re.compile("[\x00-\x08\x0b-\x0c\x0e-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069]")
PLUGIN = """
from typing import Annotated
from baybook.api import *
HARM = {harm!r}

@calculator(
    title="Harm" + HARM, stage="storage", side="hydraulic", proves="nothing" + HARM, cautions=[MAKERS_DATA],
    sources=["arithmetic" + HARM], outputs={{"double": Output("pressure difference", "twice" + HARM, symbol="d")}},
    formulas=["d = 2 · p"], procedure=["Read" + HARM], meanings=[Meaning("any" + HARM, "nothing", "nothing")],
    examples=[Example({{"pressure": "1 ± 0.1 bar"}}, {{"double": (2.0, "bar", 1e-9)}}, "arithmetic")],
)
def harm(pressure: Annotated[Reading, pressure_difference("the pressure" + HARM, symbol="p")]) -> Result:
    "Double a pressure."
    print("printed" + HARM)
    return Result(propagate(lambda pressure: {{"double": 2 * pressure}}, {{"double": "bar"}}, pressure=pressure.to("bar")),
                  notes=("a note" + HARM,))

harm_again = CardOffer("harm-card", "A card" + HARM, lambda: None)

@hookimpl
def baybook_calculators():
    return [harm]

@hookimpl
def baybook_cards():
    return [harm_again]
"""


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with a plugin whose every text has control characters, and a configuration of its own."""
    folder = tmp_path_factory.mktemp("site")
    (folder / "harmful.py").write_text(PLUGIN.format(harm=HARM), encoding="utf-8")
    info = folder / "harmful-1.0.dist-info"
    info.mkdir()
    (info / "METADATA").write_text("Metadata-Version: 2.1\nName: harmful\nVersion: 1.0\n")
    (info / "entry_points.txt").write_text("[baybook]\nharmful = harmful\n")
    return folder


@pytest.mark.parametrize(
    "arguments",
    [["--help"], ["harm", "--help"], ["harm", "--how"], ["card", "list"], ["plugins", "show", "harmful"],
     ["harm", "--pressure", "1 bar"], ["harm", "--pressure", "1 bar", "--explain"], ["harm", "--pressure", "1 bar", "--json"],
     ["explain", "harm"], ["coil", "--reading", HARM], ["job", "run", HARM], [HARM]],
    ids=lambda words: words[0].replace(HARM, "harm"),
)  # fmt: skip
def test_a_plugins_and_a_persons_texts_are_shown_and_do_nothing(site: Path, arguments: list[str]) -> None:
    kept = {"BAYBOOK_CONFIG": str(site / "config"), "BAYBOOK_CACHE": str(site / "cache"), "PYTHONPATH": str(site)}
    paths = os.pathsep.join(filter(None, [str(site), os.environ.get("PYTHONPATH", "")]))
    arguments = [word.replace("\x00", "") for word in arguments]  # no argument of a process can hold one
    ran = baybook(*arguments, cwd=site, **{**kept, "PYTHONPATH": paths})
    said = ran.stdout + ran.stderr
    assert len(said) > 40
    assert not CONTROLS.search(said), CONTROLS.findall(said)


SLOW = """
import sys, time, baybook.execution, baybook.cli.progress as p
p.PATIENCE = p.AGAIN = 0.2
from baybook.cli.progress import progress
with progress(sys.argv[1]) as tell:
    time.sleep(0.5)
    tell("2/9 coil")
    time.sleep(0.5)
print("done")
"""


def on_a_terminal(*command: str, cwd: Path) -> tuple[int, str]:
    """Exit code of the process, and all that it wrote to a terminal as its standard error."""
    ours, theirs = pty.openpty()
    running = subprocess.Popen(command, cwd=cwd, stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL, stderr=theirs)
    os.close(theirs)
    parts: list[bytes] = []

    def listen() -> None:
        while True:
            try:
                part = os.read(ours, 4096)
            except OSError:
                return
            if not part:
                return
            parts.append(part)

    listener = threading.Thread(target=listen)
    listener.start()
    code = running.wait(120)
    listener.join(10)
    os.close(ours)
    return code, b"".join(parts).decode("utf-8", "replace")


def test_progress_names_what_is_done_without_its_control_characters_and_goes_at_the_end(tmp_path: Path) -> None:
    code, told = on_a_terminal(sys.executable, "-c", SLOW, HARM.replace("\x00", "") + "[bold].csv", cwd=tmp_path)
    assert code == 0
    assert "[bold].csv … 0 s" in told
    assert "2/9 coil … 1 s" in told
    assert told.endswith("\r\x1b[K")
    assert not CONTROLS.search(told.replace("\r\x1b[K", ""))


def test_nothing_of_progress_is_told_where_nobody_looks_or_it_takes_no_time(tmp_path: Path) -> None:
    ran = subprocess.run(
        [sys.executable, "-c", SLOW, "x"], cwd=tmp_path, capture_output=True, text=True, timeout=60, check=True
    )
    assert (ran.stdout, ran.stderr) == ("done\n", "")
    brief = "from baybook.cli.progress import progress\nwith progress('x') as tell: tell('y')"
    assert on_a_terminal(sys.executable, "-c", brief, cwd=tmp_path) == (0, "")


@pytest.mark.parametrize("command", ["run", "report"])
def test_a_job_that_takes_longer_than_a_second_shows_its_steps(tmp_path: Path, command: str) -> None:
    """A step made slow, in the command as it is."""
    step = '[[steps]]\ncalculator = "coil"\n[steps.inputs]\nreading = "5.2 ± 0.1 ohm"\ntemperature = "20 °C"\n'
    (tmp_path / "s.toml").write_text('format = 2\n[job]\nnumber = "1"\n' + 2 * step, encoding="utf-8")
    slow = (
        "import sys, time, baybook.jobs.worked as w, baybook.cli.progress as p\np.PATIENCE = 0.2\nreal = w.run\n"
        "def run(*given, **named): time.sleep(0.6); return real(*given, **named)\n"
        "w.run = run\nfrom baybook.start import program; sys.exit(program())"
    )
    more = ["--html", "r.html"] if command == "report" else []
    code, told = on_a_terminal(sys.executable, "-c", slow, "job", command, "s.toml", *more, cwd=tmp_path)
    assert code == 0
    assert "1/2 coil … 0 s" in told
    assert "2/2 coil … 1 s" in told or "2/2 coil … 0 s" in told


def test_no_control_character_of_a_sheet_reaches_a_page(tmp_path: Path) -> None:
    """A browser turns the direction of writing as it is told; NUL and ESC stand in no valid page."""
    harm = "\\u0000\\u001b[2J\\u202ereversed\\u202c\\u009b"
    (tmp_path / "s.toml").write_text(
        f'format = 2\n[job]\nnumber = "n{harm}"\nvehicle = "v{harm}"\ncomplaint = "c{harm}"\nnote = "o{harm}"\n'
        f'[[steps]]\ntitle = "t{harm}"\ncalculator = "coil"\nnote = "s{harm}"\n'
        '[steps.inputs]\nreading = "5.2 ± 0.1 ohm"\ntemperature = "20 °C"\n',
        encoding="utf-8",
    )
    report = baybook("job", "report", "s.toml", "--html", "r.html", cwd=tmp_path)
    card = baybook("card", "print", "coil", "--job", "s.toml", "--out", "c.html", cwd=tmp_path)
    assert (report.returncode, card.returncode) == (0, 0), report.stderr + card.stderr
    for name in ("r.html", "c.html"):
        text = (tmp_path / name).read_text(encoding="utf-8")
        assert "reversed" in text
        assert not CONTROLS.search(text), CONTROLS.findall(text)
