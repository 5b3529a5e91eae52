"""The page for a tablet: one file, readable offline, by keyboard, by a screen reader, in light and in dark."""

from __future__ import annotations

import base64
import hashlib
import re
import shutil
import subprocess
from html.parser import HTMLParser
from itertools import pairwise

import pytest

from baybook_cards.html import style
from baybook_cards.render import Paper, print_cards
from baybook_cards.screen import render_html

from .browser import Tab, browser
from .conftest import CARDS

NAMES = ("safety", "stages", "units", "coil", "leak-chart")


@pytest.fixture(scope="module")
def page():
    return render_html([CARDS[name]() for name in NAMES], title="Handbook", date="2026-11-25")


class Outline(HTMLParser):
    """Headings, landmarks, identifiers and links of a page."""

    def __init__(self, text):
        super().__init__()
        self.headings, self.tags, self.ids, self.links, self.addresses = [], [], [], [], []
        self.feed(text)

    def handle_starttag(self, tag, attrs):
        found = dict(attrs)
        self.tags.append(tag)
        if re.fullmatch("h[1-6]", tag):
            self.headings.append(int(tag[1]))
        if "id" in found:
            self.ids.append(found["id"])
        if tag == "a":
            self.links.append(found["href"])
        self.addresses += [found[key] for key in ("src", "href", "action", "data") if key in found]


def test_the_file_needs_nothing_but_itself(page):
    """No address but marks in the page and the fonts inside; the policy forbids a browser to load anything, and to run anything
    but the one script whose digest it holds."""
    outline = Outline(page)
    assert all(address.startswith("#") for address in outline.addresses)
    assert set(re.findall(r'url\("?([a-z]+:[a-z/]+)', page)) == {"data:font/otf"}
    assert "default-src 'none'" in page
    assert outline.tags.count("script") == 1 and "iframe" not in outline.tags
    script = re.search(r"<script>(.*)</script>", page, re.DOTALL)
    assert script
    digest = base64.b64encode(hashlib.sha256(script[1].encode()).digest()).decode()
    assert f"script-src 'sha256-{digest}'" in page
    assert not re.search(r"fetch|XMLHttp|WebSocket|sendBeacon|eval\(|https?:", script[1])
    assert "script" not in Outline(render_html([CARDS["safety"]()])).tags


@pytest.mark.parametrize("name", ["coil", "hold", "regulator", "returns"])
def test_every_blank_is_typed_in_and_every_line_ticked(name):
    """A field with a name for each input that a step reads, in order; a box for each line."""
    card = CARDS[name]()
    page = render_html([card])
    assert re.findall(r'data-input="(\w+)"', page) == [
        slot.name for line in card.lines for slot in line.slots for _ in (slot.words or ("",))
    ]
    assert page.count('<label class="tick"><input type="checkbox">') == sum(not line.bar for line in card.lines)
    assert all(
        f'aria-label="{name}' in page for name in {s.name.replace("_", " ") for x in card.lines for s in x.slots if not s.words}
    )


STUB = """
const field = (type, input, unit, value, checked) => ({type, value, checked, defaultValue: "", dataset: {input, unit},
  addEventListener() {}});
const fields = [field("checkbox", undefined, undefined, "on", true), field("text", "start", "bar", "", false),
  field("text", "end_temperature", "\u00b0C", "", false), field("text", "volumes", "mL", "", false),
  field("text", "volumes", "mL", "", false), field("checkbox", "where", undefined, "inlet", false)];
const kept = {1: "1100 \u00b1 10", 2: "45 degF\\"; rm `x` $y", 3: "30", 4: "31", 5: true};
const shown = {textContent: ""}, button = {addEventListener() {}};
const card = {id: "hold", dataset: {calculator: "hold"}, querySelectorAll: () => fields,
  querySelector: (name) => name === ".typed" ? shown : button};
globalThis.document = {querySelectorAll: () => [card]};
globalThis.localStorage = {getItem: () => JSON.stringify(kept), setItem() {}};
"""


@pytest.mark.skipif(shutil.which("node") is None, reason="no node on this machine")
def test_what_was_typed_becomes_a_command_line():
    """Bare numbers get the blank's unit, lists their marks, and nothing that a shell would run is left."""
    script = style("screen.js")
    ran = subprocess.run(
        ["node", "-e", f"{STUB}{script}\nconsole.log(shown.textContent)"], capture_output=True, text=True, check=True
    )
    assert ran.stdout.strip() == (
        'baybook hold --start "1100 ± 10 bar" --end-temperature "45 degF; rm x y" --volumes "30 mL; 31 mL" --where "inlet"'
    )


def test_headings_go_down_one_level_at_a_time(page):
    headings = Outline(page).headings
    assert headings[0] == 1 and headings.count(1) == 1
    assert headings.count(2) == len(NAMES)
    assert all(after - before <= 1 for before, after in pairwise(headings))


def test_no_heading_stands_without_content():
    """A list that only the smallest card shows leaves no heading behind on a screen."""
    page = render_html([make() for make in CARDS.values()])
    assert re.findall(r'<h\d class="heading">([^<]*)</h\d><div class="content">\s*</div>', page) == []


def test_a_single_card_has_its_title_as_the_first_heading():
    headings = Outline(render_html([CARDS["safety"]()])).headings
    assert headings[0] == 1 and headings.count(1) == 1
    assert set(headings) == {1, 2}


def test_every_link_leads_somewhere_and_no_name_is_used_twice(page):
    outline = Outline(page)
    assert outline.links[0] == "#main"
    assert {link[1:] for link in outline.links} <= set(outline.ids)
    assert len(outline.ids) == len(set(outline.ids))
    assert [link[1:] for link in outline.links[1:]] == list(NAMES)


def test_the_page_holds_all_of_a_card(page):
    """What a small card leaves out stands here."""
    from markupsafe import escape

    card = CARDS["coil"]()
    for text in (
        *(line.text for line in card.lines),
        *(c.text for c in card.cautions),
        *(m.next for m in card.meanings),
        *card.sources,
    ):
        assert str(escape(text)).rstrip(".") in page
    assert page.count('<article class="card"') == len(NAMES)


needs_browser = pytest.mark.skipif(browser() is None, reason="no Chromium on this machine: apt-get install chromium")


@pytest.fixture(scope="module")
def tab(tmp_path_factory, page):
    folder = tmp_path_factory.mktemp("browser")
    path = folder / "cards.html"
    path.write_text(page, encoding="utf-8")
    opened = Tab(folder / "profile")
    opened("Network.emulateNetworkConditions", offline=True, latency=0, downloadThroughput=-1, uploadThroughput=-1)
    opened.open(path)
    yield opened
    opened.close()


@needs_browser
def test_the_browser_asks_for_the_file_and_for_nothing_else(tab):
    """Offline, with the fonts from inside the file: both weights are there."""
    outside = [address for address in tab.asked if not address.startswith(("file:", "data:font/otf", "about:"))]
    assert outside == []
    assert sum(address.startswith("file:") for address in tab.asked) == 1
    assert tab.value("document.fonts.check('16px Baybook') && document.fonts.check('bold 16px Baybook')") is True
    assert tab.value("[...document.fonts].filter(f => f.status == 'loaded').length") == 2


@needs_browser
def test_a_screen_reader_finds_landmarks_headings_tables_and_drawings(tab):
    """From the browser's own accessibility tree: every picture has a name, every region is there."""
    nodes = [node for node in tab("Accessibility.getFullAXTree")["nodes"] if not node.get("ignored")]
    roles: dict[str, list[str]] = {}
    for node in nodes:
        roles.setdefault(node["role"]["value"], []).append(node.get("name", {}).get("value", ""))
    assert len(roles["main"]) == 1
    assert roles["navigation"] == ["Cards"]
    assert len(roles["article"]) == len(NAMES)
    assert "Safety: before touching high-pressure fuel" in roles["heading"]
    assert roles["table"] and roles["columnheader"] and roles["list"]
    pictures = roles.get("image", []) + roles.get("img", [])
    assert len(pictures) > 20
    assert all(name.strip() for name in pictures)
    assert "fluid jet can pierce the skin" in pictures


@needs_browser
def test_the_keyboard_reaches_everything_and_shows_where_it_is(tab):
    """The first stop is the way past the list of cards; then each card in turn; the stop is visible."""
    tab.value("document.activeElement.blur(), window.scrollTo(0, 0), true")
    stops = []
    for _ in range(len(NAMES) + 1):
        tab.press("Tab")
        stops.append(tab.value("document.activeElement.getAttribute('href')"))
        outline = tab.value("getComputedStyle(document.activeElement).outlineStyle")
        box = tab.value("document.activeElement.getBoundingClientRect().left")
        assert outline != "none" and box >= 0
    assert stops == ["#main", *(f"#{name}" for name in NAMES)]


@needs_browser
def test_the_skip_link_leads_to_the_cards(tab):
    tab.value("document.activeElement.blur(), window.scrollTo(0, 0), document.querySelector('.skip').focus(), true")
    tab.press("Enter")
    assert tab.value("document.activeElement.id") == "main"


LUMINANCE = """
(() => {
  const part = value => { value /= 255; return value <= 0.03928 ? value / 12.92 : ((value + 0.055) / 1.055) ** 2.4 };
  const light = colour => {
    const [r, g, b] = colour.match(/[\\d.]+/g).map(Number);
    return 0.2126 * part(r) + 0.7152 * part(g) + 0.0722 * part(b);
  };
  const ground = element => {
    for (; element; element = element.parentElement) {
      const colour = getComputedStyle(element).backgroundColor;
      if (!/^rgba.* 0\\)$/.test(colour)) return colour;
    }
    return 'rgb(255, 255, 255)';
  };
  let least = 99;
  for (const element of document.querySelectorAll('body *')) {
    const own = [...element.childNodes].some(node => node.nodeType == 3 && node.textContent.trim());
    if (!own || element.closest('svg, .skip')) continue;
    const [a, b] = [light(getComputedStyle(element).color), light(ground(element))].sort((x, y) => y - x);
    least = Math.min(least, (a + 0.05) / (b + 0.05));
  }
  return least;
})()
"""


@needs_browser
@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_every_text_keeps_seven_to_one_in_light_and_dark(tab, scheme):
    """WCAG 2.x 1.4.6, computed in the browser for every element that holds text."""
    tab("Emulation.setEmulatedMedia", features=[{"name": "prefers-color-scheme", "value": scheme}])
    ground = tab.value("getComputedStyle(document.body).backgroundColor")
    assert (ground == "rgb(255, 255, 255)") == (scheme == "light")
    assert tab.value(LUMINANCE) >= 7


@needs_browser
@pytest.mark.parametrize("width", [360, 768, 1280])
def test_the_page_never_needs_to_be_moved_sideways(tab, width):
    """WCAG 2.x 1.4.10: on a telephone, a tablet, a bench screen."""
    tab("Emulation.setDeviceMetricsOverride", width=width, height=800, deviceScaleFactor=1, mobile=False)
    assert tab.value("document.documentElement.scrollWidth") <= width


@needs_browser
def test_what_is_typed_is_never_run(tmp_path, tab):
    """A script in a text field stays text in a real browser too."""
    from dataclasses import replace

    card = replace(CARDS["safety"](), title="<img src=x onerror=\"document.title='run'\"><script>document.title='run'</script>")
    path = tmp_path / "card.html"
    path.write_text(render_html([card]), encoding="utf-8")
    before = len(tab.asked)
    tab.open(path)
    assert tab.value("document.querySelectorAll('img, script').length") == 0  # (a card without lines has no script)
    assert tab.value("document.title") != "run"
    assert "<script>" in tab.value("document.querySelector('h1').textContent")
    assert [address for address in tab.asked[before:] if address.startswith("http")] == []


def test_the_screen_page_and_the_paper_say_the_same(page):
    """The same cautions on both."""
    card = CARDS["safety"]()
    assert all(caution.text in page for caution in card.cautions)
    assert print_cards([card], Paper(size="A4")).log == ()
