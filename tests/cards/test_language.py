"""Languages: the German catalogue is complete, numbers and pages follow, a plugin brings its own."""

from __future__ import annotations

import re
from importlib.resources import files

import pytest

from baybook import cautions
from baybook.cards import build
from baybook.cards.data import Card, Caution, Number
from baybook.cards.translate import texts_of
from baybook.message import Message
from baybook.result import SIDES, STAGES, STRENGTHS
from baybook_cards import figures, html, symbols
from baybook_cards.language import LANGUAGES, Language, language, read_catalogue
from baybook_cards.offers import baybook_cards
from baybook_cards.render import Paper, print_cards
from baybook_cards.report import CELL_SIGNS, VERDICT_SIGNS, print_report
from baybook_cards.screen import render_html

from .conftest import CARDS, calculators, offered, read_pages

ROOT = files("baybook_cards")
UNITS = re.compile(r"(1 )?(m?bar|MPa|kPa|psi|kgf/cm²|inHg|mL/min|L/h|mm³/s|US gal/h)( =)?|\d+")


def fixed_messages() -> set[str]:
    """Every message of the templates and of this package's Python code."""
    found: set[str] = set()
    for template in (ROOT / "templates").iterdir():
        found |= set(re.findall(r'_\("([^"]+)"\)', template.read_text(encoding="utf-8")))
    for module in ROOT.iterdir():
        if module.name.endswith(".py"):
            said = re.finditer(r"""(?:\.text|\bsay)\(\s*(["'])(.+?)\1""", module.read_text(encoding="utf-8"))
            found |= {message[2] for message in said}
    found |= {
        *STAGES,
        *SIDES,
        *STRENGTHS,
        *VERDICT_SIGNS,
        *CELL_SIGNS,
        "front",
        "back",
        "yes",
        "no",
        "to",
        "at least",
        "at most",
    }
    found |= {*html.PART_NAMES.values(), *figures.HYDRAULIC, *figures.CONTROL, "DANGER", "WARNING", "CAUTION", "NOTICE"}
    found |= {"inlet", "pump", "elements", "rail", "injectors", "low side", build.LIMITS_BLANK}
    return found | {symbol.meaning for symbol in symbols.SYMBOLS.values()}


def card_messages() -> set[str]:
    """Every text of the general cards and of the core's cautions, long and short."""
    found = {text for offer in baybook_cards() for text in texts_of(CARDS[offer.name]())}
    for caution in vars(cautions).values():
        if isinstance(caution, cautions.Caution):
            found |= {caution.text, caution.brief}
    return {text for text in found if not UNITS.fullmatch(text)}


@pytest.mark.parametrize("code", sorted(set(LANGUAGES) - {"en"}))
def test_the_catalogue_is_complete(code):
    """No fixed text and no general card stays English."""
    spoken = language(code)
    assert len(fixed_messages()) > 100
    assert [message for message in sorted(fixed_messages() | card_messages()) if spoken.told(message) is None] == []


@pytest.mark.parametrize("name", [offer.name for offer in offered("cards")])
def test_a_general_card_is_translated_whole_by_its_own_package(name):
    card = CARDS[name]()
    spoken = language("de", (card.catalogue,))
    texts = (text for text in texts_of(card) if any(map(str.isalpha, text)) and not UNITS.fullmatch(text))
    assert [text for text in texts if spoken.told(text) is None] == []


@pytest.mark.parametrize("code", sorted(set(LANGUAGES) - {"en"}))
def test_translations_keep_numbers_and_commands(code):
    """Every number of the English stands in the translation, with that language's decimal sign."""
    for english, told in language(code).messages.items():
        wanted = sorted(re.findall(r"\d+", english))
        assert sorted(re.findall(r"\d+", told)) == wanted, english


@pytest.mark.parametrize(
    ("value", "decimals", "english", "german"),
    [
        (1.5, 1, "1.5", "1,5"),
        (-0.3, 1, "\u22120.3", "\u22120,3"),
        (-0.0001, 1, "0.0", "0,0"),
        (20000, 0, "20\u202f000", "20\u202f000"),
        (2000, 0, "2000", "2000"),
    ],
)
def test_numbers_follow_the_language(value, decimals, english, german):
    """ISO 80000-1: comma or point, a narrow space in long numbers, a true minus sign, no minus before zero."""
    assert language("en").number(value, decimals) == english
    assert language("de").number(value, decimals) == german


def test_a_message_takes_its_arguments_in_the_language_and_a_sentence_its_capital():
    """A catalogue is asked for the template alone: no sentence is taken apart again."""
    known = {
        "from {start} bar, in {time} s": "in {time} s ab {start} bar",
        "leak": "Leck",
        "{what}: {share} %": "{what} zu {share} %",
    }
    known |= {"name\4supply": "Versorgung", "supply": "Zufuhr"}
    spoken = Language("de", ",", known)
    assert spoken.told(Message("from {start} bar, in {time} s", start=350.5, time=30)) == "in 30 s ab 350,5 bar"
    assert spoken.told(Message("{what}: {share} %", what=Message("leak"), share=2.5)) == "Leck zu 2,5 %"
    assert spoken.told(Message("in {time} min", time=3)) is None
    assert spoken.told("from 350.5 bar, in 30 s") is None
    assert spoken.told("Leak") == "Leck"
    assert (spoken.named("supply"), spoken.text("supply")) == ("Versorgung", "Zufuhr")


@pytest.mark.parametrize("name", [offer.name for offer in offered("cards")])
def test_general_cards_print_in_german_without_overflow(printed, name):
    """On A6, where German words are most in the way."""
    done = printed(name, "A6", language="de")
    text = "".join(page.text for page in done.pages)
    assert done.pdf.log == ()
    assert "Herstellerdaten" in text
    assert not re.search(r"\b(WARNING|DANGER|Steps|Sources|the)\b", text)


def test_the_language_of_the_file_is_stated():
    import io

    import pikepdf

    content = print_cards([CARDS["safety"]()], Paper(size="A6", language="de")).content
    with pikepdf.open(io.BytesIO(content)) as document:
        assert str(document.Root.Lang) == "de"
    assert '<html lang="de">' in render_html([CARDS["safety"]()], language="de")


def test_reports_follow_the_language():
    verdict = {
        "what": "x",
        "verdict": "outside",
        "probability": 0.001,
        "range": {"low": 2.5, "high": None, "unit": "V", "source": "s"},
    }
    result = {"inputs": {}, "outputs": {}, "notes": [], "sources": [], "steps": [], "verdicts": [verdict]}
    done = print_report({"job": {"number": "1"}, "steps": [{"number": 1, "title": "t", "result": result}]}, language="de")
    text = " ".join(page.text for page in read_pages(done.content))
    assert "außerhalb" in text and "mindestens 2,5 V" in text and "0,1 %" in text


def test_a_plugin_brings_its_own_catalogue(tmp_path, monkeypatch):
    """A package with `locale/de/LC_MESSAGES/<package>.po` has its cards translated; its words win over ours."""
    package = tmp_path / "strange_cards"
    folder = package / "locale" / "de" / "LC_MESSAGES"
    folder.mkdir(parents=True)
    (package / "__init__.py").write_text("")
    head = 'msgid ""\nmsgstr "Content-Type: text/plain; charset=utf-8\\n"\n\n'
    body = 'msgid "Hand pump"\nmsgstr "Handpumpe"\n\nmsgid "Vehicle"\nmsgstr "Gefährt"\n\n'
    body += '#, fuzzy\nmsgid "Unsure"\nmsgstr "Unsicher"\n'
    (folder / "strange_cards.po").write_text(head + body, encoding="utf-8")
    monkeypatch.syspath_prepend(str(tmp_path))
    card = Card("hand", "Hand pump", (Caution("notice", "Unsure"),), steps=("Pump",), catalogue="strange_cards")
    text = read_pages(print_cards([card], Paper(size="A6", language="de")).content)[0].text
    assert "Handpumpe" in text and "Gefährt" in text and "HINWEIS" in text
    assert "Unsure" in text
    assert read_catalogue(folder / "strange_cards.po") == {"Hand pump": "Handpumpe", "Vehicle": "Gefährt"}


def test_a_plugin_without_a_catalogue_stays_english():
    card = Card("hand", "Hand pump", (Caution("notice", "Mind"),), catalogue="no_such_package_anywhere")
    assert "Hand pump" in read_pages(print_cards([card], Paper(size="A6", language="de")).content)[0].text


def test_cells_and_numbers_in_tables_follow_the_language():
    from baybook_cards.markup import cell

    assert cell(Number(0.3, 1, "ohm"), language("de")) == "0,3 ohm"


def test_calculators_state_their_catalogue():
    """Each shipped card looks its texts up in its own package."""
    for calculator in calculators():
        assert build.card_of(calculator).catalogue == calculator.function.__module__.rpartition(".")[0]


def test_a_card_beside_others_keeps_its_own_words() -> None:
    """The name pump is a return on one and a displacement on another: each is told as its own plugin tells it."""
    names = ("drive", "pump", "regulator", "return-parts")
    together = render_html([CARDS[name]() for name in names], "de")
    for name in names:
        alone = render_html([CARDS[name]()], "de")
        labels = re.findall(r'aria-label="([^"]+)"', alone[alone.index("<main") :])
        assert len(labels) > 5 and [label for label in labels if f'aria-label="{label}"' not in together] == []
    assert 'aria-label="hold' not in together
