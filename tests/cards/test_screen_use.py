"""Pages in a real browser, as they are used: on a telephone, by keyboard, by ear; what is typed goes into a shell and back."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from baybook.jobs.evaluation import work_out
from baybook.jobs.report import report_data
from baybook.jobs.sheet import read_sheet
from baybook_cards.report import report_html
from baybook_cards.screen import render_html

from .browser import Tab, browser
from .conftest import CARDS
from .test_screen import LUMINANCE

pytestmark = pytest.mark.skipif(browser() is None, reason="no Chromium on this machine: apt-get install chromium")
DEMO = Path(__file__).parents[2] / "data_demo"
JOB = "wagtail_uneven_idle.toml"
BEYOND = """
[...document.querySelectorAll('body *')].filter(one => {
  if (one.closest('.skip, .unseen')) return false;
  if (one.getBoundingClientRect().right <= document.documentElement.clientWidth + 1) return false;
  for (let above = one.parentElement; above.tagName != 'BODY'; above = above.parentElement)
    if (getComputedStyle(above).overflowX != 'visible') return false;
  return true;
}).map(one => one.outerHTML.slice(0, 80))
"""
SMALLEST = "Math.min(...[...document.querySelectorAll('svg.plot text')].map(one => one.getBoundingClientRect().height))"


@pytest.fixture(scope="module")
def pages(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    """Every card, a report, three cards to type into."""
    folder = tmp_path_factory.mktemp("pages")
    data = report_data(work_out(read_sheet(DEMO / JOB)))
    made = {
        "cards": render_html([make() for make in CARDS.values()]), "report": report_html(data),
        "typed": render_html([CARDS[name]() for name in ("coil", "hold", "returns")]),
    }  # fmt: skip
    for name, page in made.items():
        (folder / f"{name}.html").write_text(page, encoding="utf-8")
    return {name: folder / f"{name}.html" for name in made}


@pytest.fixture(scope="module")
def tab(tmp_path_factory: pytest.TempPathFactory):
    opened = Tab(tmp_path_factory.mktemp("browser") / "profile")
    yield opened
    opened.close()


def wide(tab: Tab, width: int) -> None:
    """Make the window so wide, in CSS pixels."""
    tab("Emulation.setDeviceMetricsOverride", width=width, height=900, deviceScaleFactor=1, mobile=False)


@pytest.mark.parametrize("width", [380, 820, 1280])
@pytest.mark.parametrize("name", ["cards", "report"])
def test_no_page_is_wider_than_its_window(tab, pages, name, width):
    """WCAG 2.x 1.4.10, reflow; a table of many numbers may move within its own frame."""
    wide(tab, width)
    tab.open(pages[name])
    assert tab.value("document.documentElement.scrollWidth") <= width
    assert tab.value(BEYOND) == []


@pytest.mark.parametrize("name", ["cards", "report"])
def test_letters_of_graphs_are_large_enough_on_a_telephone(tab, pages, name):
    """At 380 px across no letter of a graph is lower than 11 px with its line: common practice, no source."""
    wide(tab, 380)
    tab.open(pages[name])
    assert tab.value(SMALLEST) >= 11


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("width", [380, 1280])
def test_every_text_of_a_report_keeps_seven_to_one(tab, pages, scheme, width):
    """WCAG 2.x 1.4.6, computed in the browser."""
    wide(tab, width)
    tab("Emulation.setEmulatedMedia", features=[{"name": "prefers-color-scheme", "value": scheme}])
    tab.open(pages["report"])
    ground = tab.value("getComputedStyle(document.body).backgroundColor")
    assert (ground == "rgb(255, 255, 255)") == (scheme == "light")
    assert tab.value(LUMINANCE) >= 7


def named(tab: Tab, *roles: str) -> list[str]:
    """The names of all nodes of these roles in the accessibility tree."""
    nodes = tab("Accessibility.getFullAXTree")["nodes"]
    told = [node for node in nodes if not node.get("ignored") and node["role"]["value"] in roles]
    return [node.get("name", {}).get("value", "").strip() for node in told]


@pytest.mark.parametrize("name", ["cards", "report"])
@pytest.mark.parametrize("width", [380, 1280])
def test_a_screen_reader_finds_names_and_no_empty_heading(tab, pages, name, width):
    wide(tab, width)
    tab.open(pages[name])
    assert named(tab, "heading") and all(named(tab, "heading"))
    assert len(named(tab, "main")) == 1
    everything = named(tab, "image", "img", "textbox", "checkbox", "button", "link")
    assert everything and all(everything)
    assert len(named(tab, "table")) >= 5
    if name == "report":
        assert {"delivery", "supply"} <= set(named(tab, "columnheader")) or width == 380
        assert {"hydraulic", "control"} <= set(named(tab, "rowheader"))


def test_on_a_telephone_each_injector_stands_with_its_verdict_and_limit(tab, pages):
    """The one that is out is not off the screen, and says against what."""
    wide(tab, 380)
    tab.open(pages["report"])
    row = " ".join(tab.value("document.querySelectorAll('.numbered tbody tr')[2].innerText").split())
    assert row.startswith("Injector 3") and "outside" in row and "(at most 150 %)" in row
    shown = tab.value("getComputedStyle(document.querySelector('.numbered td'), '::before').content")
    assert shown == '"percent of median: "'


def test_the_keyboard_goes_through_a_card_in_its_order_and_shows_where_it_is(tab, pages):
    wide(tab, 380)
    tab.open(pages["typed"])
    tab.value("document.querySelector('article input').focus(), true")
    order = tab.value("[...document.querySelectorAll('article input, article button')].map((one, at) => (one.at = at)).length")
    for at in range(1, order):
        tab.press("Tab")
        assert tab.value("document.activeElement.at") == at
        assert tab.value("getComputedStyle(document.activeElement).outlineStyle") != "none"


def typed_into(tab: Tab, page: Path, calculator: str, fields: dict[str, list[str]]) -> str:
    """What a card says to type, after texts were put into its blanks by name."""
    tab.open(page)
    tab.value("localStorage.clear(), true")
    tab.open(page)
    tab.value(f"""(() => {{
      const card = document.querySelector('article[data-calculator="{calculator}"]');
      for (const [name, texts] of Object.entries({json.dumps(fields)})) {{
        const blanks = [...card.querySelectorAll(`input[data-input="${{name}}"]`)];
        texts.forEach((text, at) => {{
          const blank = blanks[0].type == 'checkbox' ? blanks.find(one => one.value == text) : blanks[at];
          if (blank.type == 'checkbox') blank.checked = true; else blank.value = text;
          blank.dispatchEvent(new Event('input', {{bubbles: true}}));
        }});
      }}
    }})()""")
    return str(tab.value(f"document.querySelector('article[data-calculator=\"{calculator}\"] .typed').textContent"))


def pasted(line: str, folder: Path) -> subprocess.CompletedProcess[str]:
    """The line as a shell runs it, with this Python's Baybook first on the path."""
    assert line.startswith("baybook ")
    path = os.pathsep.join([str(Path(sys.executable).parent), os.environ["PATH"]])
    environment = {**os.environ, "PATH": path, "PYTHONIOENCODING": "utf-8"}
    return subprocess.run(
        ["/bin/sh", "-c", f"{line} --json"],
        capture_output=True,
        text=True,
        cwd=folder,
        env=environment,
        encoding="utf-8",
        check=False,
    )


GOOD = {
    "coil": {"reading": ["3,3 ± 0,1"], "leads": ["0.2"], "temperature": ["31 ± 5 °C"]},
    "hold": {"start": ["900 ± 5"], "end": ["200 ± 5 bar"], "time": ["30 s"], "volume": ["25 ± 1"]},
    "returns": {"volumes": ["41", "44", "92", "43 mL"], "time": ["2 min"]},
}


@pytest.mark.parametrize("calculator", sorted(GOOD))
def test_the_line_that_a_card_gives_is_taken_by_the_command_line(tab, pages, tmp_path, calculator):
    """Bare numbers get their blank's unit; the reading that the command read is the one that was typed."""
    line = typed_into(tab, pages["typed"], calculator, GOOD[calculator])
    ran = pasted(line, tmp_path)
    assert (ran.returncode, ran.stderr) == (0, ""), line
    inputs = json.loads(ran.stdout)["inputs"]
    assert all(name in inputs and not inputs[name].get("default") for name in GOOD[calculator])
    first = next(iter(GOOD[calculator]))
    assert GOOD[calculator][first][0].split()[0].replace(",", ".") in str(inputs[first]["text"]).replace(",", ".")


HOSTILE = [
    'Prüfstand "ü" 3', "'; touch pwned; '", '"; touch pwned; "', "$(touch pwned)", "`touch pwned`", "\\", "!!",
    "<script>document.title='run'</script>", "<img src=x onerror=\"document.title='run'\">", "--help\"", "3 ohm & touch pwned",
]  # fmt: skip


@pytest.mark.parametrize("text", HOSTILE)
@pytest.mark.parametrize("calculator", ["coil", "hold", "returns"])
def test_what_no_reading_is_gets_one_line_and_runs_nothing(tab, pages, tmp_path, calculator, text):
    """Neither the browser nor the shell runs what was typed; the command refuses it as what it is."""
    first = next(iter(GOOD[calculator]))
    line = typed_into(tab, pages["typed"], calculator, {**GOOD[calculator], first: [text]})
    assert tab.value("document.title") != "run" and tab.value("document.querySelectorAll('article img').length") == 0
    ran = pasted(line, tmp_path)
    assert ran.returncode == 2 and "Traceback" not in ran.stderr, (line, ran.stderr)
    assert list(tmp_path.iterdir()) == []
