"""First aid: a front of its own with a place for the number, on every size and inside the binder's cover."""

from __future__ import annotations

import pytest

from baybook_cards.language import language
from baybook_cards.symbols import drawing

from .conftest import CARDS, SIZES
from .test_pages import squeezed

GERMAN = language("de")


@pytest.mark.parametrize("tongue", ["en", "de"])
@pytest.mark.parametrize("size", SIZES)
def test_the_number_has_its_place_on_the_front_of_every_size(document, size, tongue):  # type: ignore[no-untyped-def]
    """A frame 9 mm high at least and most of the card wide, under its heading, on the first face."""
    import io

    import pdfplumber

    paper = {} if tongue == "en" else {"language": tongue}
    printed = document(size, **paper)
    say = GERMAN.text if tongue == "de" else str
    place = printed.faces.index("first-aid front")
    assert say("Emergency number") in printed.pages[place].text
    with pdfplumber.open(io.BytesIO(printed.pdf.content)) as opened:
        page = opened.pages[place]
        frames = [r for r in (*page.rects, *page.curves) if r["height"] > 9 / 25.4 * 72 and r["width"] > 0.8 * page.width]
    assert frames


@pytest.mark.parametrize("size", SIZES)
def test_what_to_say_and_what_not_to_wait_for_stand_on_the_front(document, size):  # type: ignore[no-untyped-def]
    """Surgical emergency whatever it looks like: Verhoeven and Hierner, Strat. Traum. Limb Recon. 3 (2008) 27-33."""
    printed = document(size)
    front = squeezed(printed.pages[printed.faces.index("first-aid front")].text).lower()
    for words in ("surgical emergency", "do not wait for pain", "high-pressure injection of diesel fuel"):
        assert squeezed(words) in front


@pytest.mark.parametrize("size", SIZES)
def test_the_card_says_what_to_do_and_what_to_leave(document, size):  # type: ignore[no-untyped-def]
    """While waiting, what not to do, and that a doctor has to approve the wording: on every size."""
    text = squeezed(" ".join(page.text for page in document(size).of("first-aid").pages)).lower()
    wanted = ["rings and watch off", "nothing to eat or drink", "squeeze", "cut", "suck", "tourniquet", "solvent"]
    for words in (*wanted, "drive yourself", "a doctor has to approve"):
        assert squeezed(words) in text, words
    if size != "ID-1":  # (a heading stands beside its text, in lines of its own)
        assert all(word in text for words in ("for the doctor", "splash in the eye") for word in words.split())


def test_what_is_worse_than_a_splash_and_what_stops_a_heart_go_to_the_emergency_at_once() -> None:
    """common practice of first aid, no source: a jet is not rinsed, and nobody under voltage is touched."""
    back = {block.title: " ".join(getattr(block, "items", ())) for block in CARDS["first-aid"]().back}
    jet, _, splash = back["Jet or splash in the eye"].partition("Only a splash")
    assert "emergency number at once" in jet and all(word in jet for word in ("eye", "face", "neck", "chest"))
    assert "rinse" in splash and "Do not rinse" in jet
    shock = back["Electric shock, not breathing"]
    assert shock.index("Ignition off") < shock.index("touch") < shock.index("Call") < shock.index("chest compressions")


@pytest.mark.parametrize("size", SIZES)
def test_the_lines_to_write_down_are_never_left_out(document, size):  # type: ignore[no-untyped-def]
    """Doctor's approval, hospital, address: filled in before the card hangs."""
    text = squeezed(" ".join(page.text for page in document(size).of("first-aid").pages))
    for words in ("fill in before it hangs", "Approved by a doctor", "Hospital with hand surgery", "We are at"):
        assert squeezed(words) in text


def test_the_signs_are_those_of_first_aid_and_emergency_telephone():
    """ISO 7010 E003 and E004: white on a green square."""
    for code in ("E003", "E004"):
        assert "#00663a" in drawing(code) and "<rect" in drawing(code)


def test_the_safety_card_says_when_zero_counts_and_keeps_its_cautions_whole(printed):  # type: ignore[no-untyped-def]
    for paper in ({}, {"language": "de"}):
        front = squeezed("".join(page.text for page in printed("safety", "A5", **paper).pages))
        say = GERMAN.text if paper else str
        for caution in CARDS["safety"]().cautions:
            assert all(squeezed(word) in front for word in say(caution.text).split())
    english = squeezed(printed("safety", "A6").pages[0].text)
    assert squeezed("Zero counts only if you saw this reading fall from pressure to zero.") in english
    assert squeezed("If it stood at zero all along, it proves nothing.") in english
    assert squeezed("No fall to see: the rail counts as loaded.") in english and "second way" not in english
    assert squeezed("The low-pressure pump may run when a door opens or the key is turned.") in english
    assert "keylessone" in english


@pytest.mark.parametrize("size", ["A4", "A5", "A6"])
def test_the_valves_card_tells_the_kind_first_and_has_the_dangerous_row(printed, size):  # type: ignore[no-untyped-def]
    """In larger type than the body, before the table. Facts: common practice, no source."""
    pages = printed("regulators", size).pages
    front = pages[0]
    kind = next(word for word in front.words if word["text"] == "OPEN")
    assert kind["size"] > 1.2 * next(word["size"] for word in front.words if word["text"] == "where")
    row = CARDS["regulators"]().meanings[0]
    assert row.observation == "pressure too high, less is asked for, current wrong" and "engine off" in row.next
    text = squeezed(" ".join(page.text for page in pages))
    told = (row.observation, row.says, row.next)
    assert all(squeezed(word) in text for part in told for word in part.split())


def test_the_leak_chart_says_that_it_is_an_upper_bound(printed):  # type: ignore[no-untyped-def]
    text = squeezed(printed("leak-chart", "A5").pages[0].text)
    assert squeezed("At most this leaks, as if nothing cooled.") in text


def test_what_is_left_alone_and_who_goes_to_a_doctor_all_the_same() -> None:
    """Common practice of first aid, no source; no ice and no heat on the limb: hand-surgery texts, from memory."""
    from baybook_cards.general import first_aid

    assert "use solvent, ice or heat" in first_aid.LEAVE.items
    assert all(place in first_aid.EYE.items[0] for place in ("eye", "face", "neck", "chest", "belly", "groin"))
    assert "Feels well after a shock: to a doctor all the same." in first_aid.SHOCK.items
    burn = next(item for item in first_aid.OTHERS.items if item.startswith("Burn"))
    assert burn.endswith("of face, hand, joint or groin always.") and "no ice" in burn
    small = " ".join(first_aid.CALL.short)
    assert "Stop the engine" in small and "Do not let them send you home" in small
