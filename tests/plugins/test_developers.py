"""The author's guide is true: its tutorial runs beside the built wheel in a clean environment, its reference is generated."""

from __future__ import annotations

import inspect
import json
import os
import re
import subprocess
import sys
import zipfile
from dataclasses import dataclass
from pathlib import Path

import pytest

from baybook import api, hooks
from baybook.commands import COMMANDS
from baybook.testing import CHECKS

ROOT = Path(__file__).resolve().parents[2]
GUIDE = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
TYPING = 250  # characters a minute: 50 words, an ordinary typist


@dataclass(frozen=True)
class Block:
    """A fenced block of the guide: its language, its text, and the file that it is."""

    language: str
    text: str
    file: str = ""


def blocks(text: str) -> list[Block]:
    pattern = r"(?:File `(?P<file>\S+)`:\n\n)?```(?P<language>sh|python|output|po)\n(?P<text>.*?)```\n"
    return [Block(found["language"], found["text"], found["file"] or "") for found in re.finditer(pattern, text, re.DOTALL)]


def tutorial() -> str:
    return GUIDE.partition("## From an idea to an installed")[2].partition("## The style of")[0]


@dataclass
class Clean:
    """A virtual environment that holds the built wheel, and sees of ours the libraries alone."""

    folder: Path

    @property
    def bin(self) -> Path:
        return self.folder / "env" / "bin"

    def run(self, command: str) -> subprocess.CompletedProcess[str]:
        """A line of the guide, in a shell that stops at the first failure; both outputs in one."""
        kept = {name: value for name, value in os.environ.items() if not name.startswith(("BAYBOOK", "PYTHON", "PIP_"))}
        settings = {
            "PATH": f"{self.bin}{os.pathsep}{os.environ['PATH']}", "BAYBOOK_CACHE": str(self.folder / "cache"),
            "BAYBOOK_CONFIG": str(self.folder / "config"), "PIP_NO_INDEX": "1", "PIP_NO_BUILD_ISOLATION": "0",
            "PIP_DISABLE_PIP_VERSION_CHECK": "1",
        }  # fmt: skip
        return subprocess.run(
            ["sh", "-ec", command], cwd=self.folder, env={**kept, **settings}, check=False, text=True, timeout=300,
            stdout=subprocess.PIPE, stderr=subprocess.STDOUT, stdin=subprocess.DEVNULL,
        )  # fmt: skip


@pytest.fixture(scope="module")
def clean(tmp_path_factory: pytest.TempPathFactory) -> Clean:
    made = Clean(tmp_path_factory.mktemp("clean"))
    build = [sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", str(made.folder / "wheel")]
    subprocess.run(build, cwd=ROOT, check=True, capture_output=True)
    subprocess.run([sys.executable, "-m", "venv", "--without-pip", str(made.folder / "env")], check=True)
    site = next((made.folder / "env").glob("lib/python3*/site-packages"))
    with zipfile.ZipFile(next((made.folder / "wheel").glob("*.whl"))) as wheel:
        wheel.extractall(site)
    ours = Path(str(pytest.__file__)).parents[1]
    (site / "libraries.pth").write_text(f"{ours}\n")  # its own .pth files are not followed, so our baybook is not seen
    for name, module in (("baybook", "baybook"), ("pip", "pip"), ("pytest", "pytest")):
        script = made.bin / name
        script.write_text(f'#!/bin/sh\nexec "{made.bin}/python" -P -m {module} "$@"\n')
        script.chmod(0o755)
    return made


@pytest.mark.slow
def test_the_tutorial_works_as_written_beside_the_built_wheel(clean: Clean) -> None:
    """Every file is written, every command run, every output compared, in the order of the guide."""
    pytest.importorskip("weasyprint", exc_type=OSError, reason="the tutorial prints a card, which needs Pango")
    said, count = "", 0
    for block in blocks(GUIDE):
        if block.language == "sh":
            done = clean.run(block.text)
            assert done.returncode == 0, f"{block.text}\n{done.stdout}"
            said = done.stdout
        elif block.language == "output":
            assert said.endswith(block.text), f"{said}\ninstead of\n{block.text}"
        else:
            (clean.folder / block.file).parent.mkdir(parents=True, exist_ok=True)
            (clean.folder / block.file).write_text(block.text, encoding="utf-8")
        count += 1
    assert count >= 15
    where = clean.run("python -c 'import baybook, baybook_sensor_temperature as p; print(baybook.__file__, p.__file__)'").stdout
    assert all(path.startswith(str(clean.folder)) for path in where.split()), where
    listed = json.loads(clean.run("baybook plugins list --json").stdout)
    assert {plugin["state"] for plugin in listed} == {"accepted"}
    assert [p["name"] for p in listed if p["distribution"] != "baybook"] == ["sensor-temperature"]
    _card_of_the_tutorial(clean)


def _card_of_the_tutorial(clean: Clean) -> None:
    import pypdf

    pages = pypdf.PdfReader(clean.folder / "card.pdf").pages
    text = " ".join(" ".join(page.extract_text() for page in pages).split())
    assert "Platinum sensor" in text and "across its two pins" in text


def test_the_tutorial_is_typed_in_under_ten_minutes() -> None:
    """From nothing to a passing `plugins check`: the characters of its commands and files, at an ordinary typist's pace."""
    typed = [block for block in blocks(tutorial().partition("**5. Say it")[0]) if block.language != "output"]
    characters = sum(len("".join(line.strip() for line in block.text.splitlines())) for block in typed)
    assert 1500 < characters < 10 * TYPING


def test_a_calculator_made_by_the_guide_costs_its_author_few_lines() -> None:
    """Two inputs, a limit, a finding, a card, German text: everything in the files that the author writes or rewrites."""
    own = [block for block in blocks(tutorial()) if block.file]
    assert {block.file.rpartition(".")[2] for block in own} == {"py", "po"}
    assert sum(len(block.text.splitlines()) for block in own) <= 120


def test_the_reference_is_what_the_hooks_and_declarations_say() -> None:
    done = subprocess.run([sys.executable, str(ROOT / "tools" / "make_reference.py"), "--check"], check=False)
    assert done.returncode == 0, "run tools/make_reference.py"


def test_every_public_name_hook_check_and_command_is_in_the_guide() -> None:
    names = [*api.__all__, *(name for name in vars(hooks) if name.startswith("baybook_")), *COMMANDS]
    assert [name for name in names if f"`{name}" not in GUIDE and f"`baybook {name}" not in GUIDE] == []
    assert [check.name for check in CHECKS if f"**{check.name}**" not in GUIDE] == []


def test_every_hook_says_what_to_return_when_it_is_called_and_since_when() -> None:
    """A plugin can be written from the specification alone: it has an example, and the version it came with."""
    specs = {name: function for name, function in vars(hooks).items() if hasattr(function, "baybook_spec")}
    offered = ("calculators", "cards", "channels", "fuels", "kinds", "units")
    assert set(specs) == {f"baybook_{word}" for word in offered}
    for name, function in specs.items():
        doc = function.__doc__ or ""
        for words in ("Return ", "Called once when", "Example", f"def {name}():", "Since interface version"):
            assert words in doc, (name, words)


def test_every_setting_of_the_environment_is_in_the_guide() -> None:
    sources = "".join(path.read_text(encoding="utf-8") for path in (ROOT / "toolkit").rglob("*.py"))
    settings = set(re.findall(r"BAYBOOK_[A-Z]+", sources)) - {"BAYBOOK_INTERFACE"}
    assert [name for name in sorted(settings) if name not in GUIDE] == []


def test_the_folders_that_the_guide_describes_are_there() -> None:
    told = re.findall(r"`([a-z_]+(?:/|\.py))`", GUIDE.partition("## How the core")[2].partition("**How plugins")[0])
    assert len(told) > 15
    assert [name for name in told if not (ROOT / "toolkit" / "baybook" / name).exists()] == []


def test_every_file_of_the_guide_is_named_to_its_reader_and_no_python_stands_without_one() -> None:
    named = [block.file for block in blocks(GUIDE) if block.language in ("python", "po")]
    assert len(named) > 6 and all(named) and "<!-- file" not in GUIDE


def test_the_layout_names_every_module_and_none_that_is_not_there() -> None:
    layout = GUIDE.partition("## How the core is laid out")[2].partition("## Working on")[0]
    core = ROOT / "toolkit" / "baybook"
    named = set(re.findall(r"`([a-z_/]+\.py)`", layout))
    assert {path.name for path in core.glob("[a-z]*.py")} <= named
    assert [name for name in named if not any(core.rglob(name))] == []


def test_the_reference_says_what_each_thing_is() -> None:
    """No text of a Python type, no bullet without a name, a line for each part of a sense."""
    reference = GUIDE.partition("### Declaring: `baybook.api`")[2].partition("### Kinds of quantity")[0]
    for empty in ("str(object", "dict() ->", "Built-in", "- : ", "-  `", ": \n"):
        assert empty not in reference
    for thing in (api.Sense, api.Question, api.Halt):
        said = reference.partition(f"- `{thing.__name__}(")[2].partition("\n- ")[0]
        parts = re.findall(r"^  - `([^`]+)`: \S", said, re.MULTILINE)
        assert {*inspect.signature(thing).parameters} == {part for line in parts for part in line.split(", ")}
    assert "`injector * coil`" in reference and "`weight`: how often" in reference
