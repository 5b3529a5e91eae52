"""The renderer: nothing is fetched, text stays text, the same bytes every time, and a clear word when it does not fit."""

from __future__ import annotations

import os
import subprocess
import sys
from dataclasses import replace

import pytest

from baybook.cards.data import Caution, Meaning, RecordRow, Section
from baybook_cards.fetch import FetchRefused
from baybook_cards.pdf import LayoutError, write
from baybook_cards.render import Paper, print_cards, render_pdf
from baybook_cards.report import print_report
from baybook_cards.screen import render_html

from .conftest import CARDS, Page, read_pages

HOSTILE = (
    "<script>alert(1)</script>",
    "<img src=http://bay.invalid/a.png>",
    "<link rel=attachment href=file:///etc/passwd>",
    "url(file:///etc/passwd)",
    "http://bay.invalid/track",
    "{{ 7 * 7 }}",
    "</style><style>@import 'http://bay.invalid/x.css'</style>",
)


def hostile_card():
    """A card with something nasty in every kind of text."""
    script, image, attachment, url, link, template, style = HOSTILE
    return replace(
        CARDS["safety"](),
        title=template,
        cautions=(Caution("danger", script, ("W001",)),),
        proves=attachment,
        needs=(url, style),
        steps=(image,),
        record=(RecordRow(link, "x"),),
        meanings=(Meaning(image, script, url),),
        front=(),
        back=(Section("t", link),),
        sources=(style,),
        limits_origin=script,
        command="baybook",
        job=link,
    )


def squeezed(pages: list[Page]) -> str:
    return "".join("".join(page.text.split()) for page in pages)


@pytest.mark.parametrize("text", HOSTILE)
def test_markup_and_addresses_print_as_text_and_nothing_is_fetched(no_network, text):
    """`<script>`, `file:` and `http:` in any field of a card stand on the page as they were typed."""
    done = print_cards([hostile_card()], Paper(size="A4"))
    assert "".join(text.split()) in squeezed(read_pages(done.content))
    assert b"/EmbeddedFile" not in done.content
    assert done.log == ()
    assert no_network == []


@pytest.mark.parametrize("text", HOSTILE)
def test_markup_in_a_job_prints_as_text(no_network, text):
    """The same in a report: the job's own words, a finding, a note, a spec's source."""
    result = {
        "calculator": text,
        "inputs": {"a": {"text": text, "value": text, "unit": ""}},
        "outputs": {},
        "findings": [],
        "notes": [text],
        "verdicts": [{"what": text, "verdict": "within", "probability": 0.99, "range": {"text": text, "source": text}}],
        "cautions": [{"signal": "danger", "text": text, "symbols": []}],
        "steps": [],
        "sources": [text],
    }
    report = {
        "job": {"number": text, "complaint": text, "vehicle": text},
        "conclusion": text,
        "next_tests": [text],
        "findings": [
            {"stage": "storage", "side": "control", "word": "proven", "findings": [{"statement": text, "strength": "proven"}]}
        ],
        "steps": [{"number": 1, "title": text, "note": text, "taken": True, "result": result}],
    }
    done = print_report(report)
    assert squeezed(read_pages(done.content)).count("".join(text.split())) >= 5
    assert done.log == ()
    assert no_network == []


@pytest.mark.parametrize("text", HOSTILE)
def test_markup_stays_text_on_the_screen_page(text):
    from markupsafe import escape

    page = render_html([hostile_card()])
    assert str(escape(text)) in page
    assert text not in page or "<" not in text


@pytest.mark.parametrize(
    "html",
    [
        '<img src="http://bay.invalid/a.png" alt="x">',
        '<img src="file:///etc/passwd" alt="x">',
        '<link rel="stylesheet" href="http://bay.invalid/x.css">',
        '<link rel="attachment" href="file:///etc/passwd">',
        '<style>@import url("file:///etc/passwd");</style>',
        '<div style="background: url(http://bay.invalid/b.png)">x</div>',
        '<svg xmlns="http://www.w3.org/2000/svg"><image href="file:///etc/passwd" width="9" height="9"/></svg>',
        '<img src="data:image/png;base64,AAAA" alt="x">',
        '<style>@font-face { font-family: x; src: url("baybook:fonts/../pdf.py") }</style><p style="font-family: x">x</p>',
    ],
)
def test_a_page_that_asks_for_anything_but_our_fonts_is_an_error(no_network, html):
    """Were a template ever to let an address through, the renderer stops instead of fetching."""
    with pytest.raises(FetchRefused):
        write(f'<html lang="en"><title>t</title><body>{html}</body></html>', [])
    assert no_network == []


SCRIPT = """
import sys, hashlib
from baybook_cards.offers import baybook_cards
from baybook_cards.render import Paper, render_pdf
from baybook_cards.screen import render_html
cards = [offer.made() for offer in baybook_cards() if offer.name in ("safety", "units", "stages")]
print(hashlib.sha256(render_pdf(cards, Paper(size="A6", binder=True, date="2026-11-25"))).hexdigest())
print(hashlib.sha256(render_html(cards, date="2026-11-25").encode()).hexdigest())
"""


def test_two_processes_write_the_same_bytes():
    """The binder and the screen page do not depend on the process, its hash seed, its time zone or its locale."""
    told = []
    for seed, zone in (("1", "UTC"), ("2", "Asia/Tokyo")):
        environment = os.environ | {"PYTHONHASHSEED": seed, "TZ": zone, "SOURCE_DATE_EPOCH": ""}
        done = subprocess.run(
            [sys.executable, "-W", "error", "-c", SCRIPT],
            env=environment,
            capture_output=True,
            text=True,
            check=True,
            timeout=120,
        )
        told.append(done.stdout)
    assert told[0] == told[1]
    assert len(told[0].split()) == 2


def test_rendering_twice_in_one_process_gives_the_same_bytes():
    assert render_pdf([CARDS["words"]()], Paper(size="A6")) == render_pdf([CARDS["words"]()], Paper(size="A6"))


def test_the_environment_is_left_as_it_was(monkeypatch):
    """The fixed date is the renderer's alone."""
    monkeypatch.delenv("SOURCE_DATE_EPOCH", raising=False)
    render_pdf([CARDS["safety"]()], Paper(size="ID-1"))
    assert "SOURCE_DATE_EPOCH" not in os.environ
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "5")
    render_pdf([CARDS["safety"]()], Paper(size="ID-1"))
    assert os.environ["SOURCE_DATE_EPOCH"] == "5"


def test_steps_too_many_for_the_front_are_refused_with_a_clear_word():
    """What is done is never left out nor set too small: a card whose steps have no room on its front is refused."""
    card = replace(CARDS["safety"](), steps=("Read this very long step to its end. " * 40,), front=())
    with pytest.raises(LayoutError, match=r"^safety front: .* take a larger size$"):
        render_pdf([card], Paper(size="A6"))


def test_what_has_no_room_is_named_on_the_card():
    """A block of low priority goes first, and the card says that it is left out."""
    items = ("A sentence that takes a whole line of the card and then some more of it.",) * 40
    card = replace(CARDS["safety"](), back=(*CARDS["safety"]().back, Section("Long tale", items=items, priority=3)))
    pages = read_pages(print_cards([card], Paper(size="A5")).content)
    assert len(pages) == 2
    assert "left out here:" in pages[1].text and "Long tale" in pages[1].text
    assert "A sentence that takes" not in pages[1].text
    assert "If fuel" in pages[1].text


def test_a_very_long_word_is_broken_and_stays_on_the_card():
    card = replace(CARDS["safety"](), steps=("x" * 400,), front=())
    page = read_pages(render_pdf([card], Paper(size="A6")))[0]
    assert page.text.count("x") >= 400
    assert max(letter["x1"] for letter in page.letters) < page.width


def test_text_that_leaves_its_face_is_found():
    """The check that every card passes: past the edge, into the footer, onto another page."""
    face = '<article class="face" data-face="x front" style="width: 90mm; height: 40mm; position: relative">{}{}</article>'
    footer = '<footer style="position: absolute; bottom: 0">foot</footer>'
    for body, word in (
        ('<div style="white-space: nowrap">' + "word " * 60 + "</div>", "word"),
        ("<div>" + "line<br>" * 8 + "</div>", "line"),
        ("<div>" + "line<br>" * 400 + "</div>", "line"),
    ):
        with pytest.raises(LayoutError, match=f"x front: does not fit, by [0-9.]+ mm at '{word}"):
            write('<html lang="en"><title>t</title>' + face.format(body, footer), ["@page { size: 100mm 60mm; margin: 0 }"])
    done = write('<html lang="en"><title>t</title>' + face.format("<div>one line</div>", footer), [])
    assert done.pages == 1


@pytest.mark.parametrize(
    ("paper", "message"),
    [
        (Paper(size="A7"), "'A7' is not a card size; there are A4, A5, A6, ID-1"),
        (Paper(sheet="B5"), "'B5' is not a sheet; there are A4, A3"),
        (Paper(language="xx"), "'xx' is not a language of the cards; there are de, en"),
        (Paper(size="A4", sheet="A4", marks=True), "a card of 210 × 297 mm with 3 mm of bleed does not fit on this sheet"),
    ],
)
def test_a_wrong_choice_is_refused_with_the_choices(paper, message):
    with pytest.raises(ValueError) as refused:
        render_pdf([CARDS["safety"]()], paper)
    assert str(refused.value) == message


def test_no_card_is_refused():
    with pytest.raises(ValueError, match="no card to print"):
        render_pdf([], Paper())


def test_importing_the_public_modules_loads_nothing_heavy():
    """What the command line imports costs nothing until a page is made."""
    code = (
        "import sys, baybook_cards.render, baybook_cards.report, baybook_cards.screen, baybook_cards.offers, "
        "baybook.cards.build, baybook.jobs.report; baybook_cards.offers.baybook_cards();"
        "print(sorted({'jinja2', 'markupsafe', 'weasyprint', 'segno', 'babel', 'numpy', 'pint'} & set(sys.modules)))"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


@pytest.mark.parametrize("columns", [2, 40])
def test_a_table_wider_than_its_face_is_found_by_its_rules(columns):
    """A row of empty cells holds no text and still draws its rules to the end."""
    cells = '<td style="min-width: 8mm; width: 8mm; padding: 0"></td>' * columns
    page = '<html lang="en"><title>t</title><div class="face" data-face="f" style="width: 90mm; height: 90mm"><div><p>a</p>'
    page += f'<table style="border-collapse: collapse"><tr style="border-top: 1px solid">{cells}</tr></table></div></div>'
    if columns == 2:
        assert write(page, ["@page { size: 400mm 100mm; margin: 0 }"]).pages == 1
        return
    with pytest.raises(LayoutError, match="a table"):
        write(page, ["@page { size: 400mm 100mm; margin: 0 }"])
