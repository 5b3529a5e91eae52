"""What has no room on a card's front and back stands on further leaves: all of it, once, and in order."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as some

from baybook.cards.data import Card, Caution, Formula, Meaning, RecordRow, Section, Term, WorkedStep
from baybook_cards.estimate import Estimate
from baybook_cards.faces import Face, faces_of
from baybook_cards.leaves import MAX_LEAVES, pairs, spread
from baybook_cards.render import Paper, print_cards
from baybook_cards.sizes import SIZES

from .conftest import CARDS, read_pages
from .test_pages import squeezed

A5 = Estimate(SIZES["A5"], 148, 210)
A4 = Estimate(SIZES["A4"], 210, 297)
CARD = Card(
    "bench",
    "At the bench",
    (Caution("danger", "Fuel under pressure goes through skin.", ("W001",), short="Mind the fuel."),),
    proves="Whether the bench stands level.",
    needs=("a level",),
    steps=("Lay the level down.",),
    formula=Formula(("a = b / c",), terms=(Term("a", "slope", ""),), example=(WorkedStep("a", "1 / 2", "0.5"),)),
    command="baybook bench --ask",
)


def rows(count: int, value: str = "") -> tuple[RecordRow, ...]:
    return tuple(RecordRow(f"reading {n}", unit="mm", value=value) for n in range(count))


def lines(faces: tuple[Face, ...], part: str) -> list[object]:
    """The lines of the record, the example or the meanings that stand on these faces, in order."""
    held = {"record": lambda card: card.record, "meanings": lambda card: card.meanings}[part]
    return [line for face in faces if part in face.parts for line in held(face.card)[: face.lines_of(part)]]


def test_a_card_with_room_has_one_leaf():
    whole = faces_of(CARD, SIZES["A5"])
    assert spread(whole, A5, {}) == whole


def test_a_long_record_goes_on_overleaf_row_by_row():
    """Forty filled rows at 1.35 lines or more are longer than any face of an A5: none is lost, none is there twice."""
    card = replace(CARD, record=rows(40, "3"))
    faces = spread(faces_of(card, SIZES["A5"]), A5, {})
    assert lines(faces, "record") == list(card.record)
    assert len(pairs(faces)) == 2 and {face.leaves for face in faces} == {2}
    assert [face.name for face in faces] == ["bench front", "bench back", "bench front 2", "bench back 2"]
    assert not faces[-1].left_out


def test_meanings_go_on_overleaf_with_the_same_columns():
    meanings = tuple(Meaning(f"sign {n}", "it says so " * 6, "test the next thing " * 6) for n in range(24))
    faces = spread(faces_of(replace(CARD, meanings=meanings), SIZES["A5"]), A5, {})
    assert lines(faces, "meanings") == list(meanings)
    told = [face for face in faces if "meanings" in face.parts]
    assert len(told) > 1 and len({face.slim for face in told}) == 1


def test_a_few_empty_rows_make_no_further_leaf_but_values_do():
    """An A4 card prints the rows it has room for, if those are most; a row with its value goes where it has room."""
    long = tuple(replace(row, what=row.what + " of the bench" * 5) for row in rows(14))
    card = replace(CARD, record=long, steps=("Lay the level down and read it. " * 3,) * 6)
    blank = spread(faces_of(card, SIZES["A4"]), A4, {})
    assert len(blank) == 2 and 0 < len(lines(blank, "record")) < len(long)
    filled = replace(card, record=tuple(replace(row, value="3") for row in long))
    scanty = replace(card, steps=("Lay the level down and read it. " * 3,) * 14)
    assert lines(spread(faces_of(scanty, SIZES["A4"]), A4, {}), "record") == list(scanty.record)
    assert lines(spread(faces_of(filled, SIZES["A4"]), A4, {}), "record") == list(filled.record)


def test_letters_and_example_stand_beside_their_formula():
    card = replace(CARD, steps=("Lay the level down and read it. " * 3,) * 6)
    card = replace(card, formula=replace(card.formula, terms=tuple(Term("a", "slope of the bench " * 5, "") for _ in range(9))))
    card = replace(card, meanings=tuple(Meaning(f"sign {n}", "it says so", "test the next thing " * 4) for n in range(8)))
    for size, room in (("A5", A5), ("A6", Estimate(SIZES["A6"], 105, 148))):
        faces = spread(faces_of(card, SIZES[size]), room, {})
        assert len(faces) > 2
        assert all("formula" in face.parts for face in faces if face.parts & {"terms", "example"})
        assert sum("terms" in face.parts for face in faces) == 1


def test_the_record_makes_room_for_whole_cautions_where_there_is_another_leaf():
    card = replace(CARD, record=rows(6), steps=("Lay the level down and read it. " * 3,) * 8)
    card = replace(card, cautions=(replace(card.cautions[0], text="Fuel under pressure goes through skin. " * 12),))
    front, *_ = spread(faces_of(card, SIZES["A5"]), A5, {})
    assert front.brief and "record" in front.parts
    card = replace(card, back=tuple(Section(f"tale {n}", items=("A line and more of it. " * 4,) * 6) for n in range(3)))
    faces = spread(faces_of(card, SIZES["A5"]), A5, {})
    assert len(pairs(faces)) == 2 and not faces[0].brief
    assert lines(faces, "record") == list(card.record)


def test_with_one_leaf_the_rest_is_left_out_and_named():
    card = replace(CARD, back=tuple(Section(f"tale {n}", items=("A line and more of it. " * 4,) * 9) for n in range(5)))
    faces = spread(faces_of(card, SIZES["A5"]), A5, {}, leaves=1)
    assert len(faces) == 2 and any(face.left_out for face in faces)


def test_what_no_face_can_hold_is_named_and_the_rest_is_printed():
    """A block longer than a face is left out; a small one behind it is not."""
    endless = Section("endless", items=("A line and more of it. " * 4,) * 99, priority=2)
    card = replace(CARD, back=(endless, Section("small", items=("a line",), priority=2)))
    faces = spread(faces_of(card, SIZES["A5"]), A5, {})
    assert faces[-1].left_out == ("endless",)
    assert [block.title for face in faces for block in face.blocks] == ["small"]


section = some.builds(
    lambda items, words, priority: (("word " * words,) * items, priority),
    some.integers(1, 12),
    some.integers(1, 30),
    some.integers(1, 3),
)


@settings(max_examples=60, deadline=None)
@given(some.lists(section, max_size=5), some.integers(0, 14), some.integers(0, 8), some.sampled_from(["A4", "A5"]))
def test_everything_stands_on_a_card_once_or_is_named(blocks, readings, signs, size):
    """Whatever a card holds: each block and part is on exactly one face, or is said to be left out (formulas may repeat)."""
    sections = tuple(Section(f"tale {n}", items=items, priority=priority) for n, (items, priority) in enumerate(blocks))
    meanings = tuple(Meaning(f"sign {n}", "it says so " * 4, "test the next thing " * 4) for n in range(signs))
    card = replace(CARD, back=sections, record=rows(readings, "3"), meanings=meanings)
    whole = faces_of(card, SIZES[size])
    faces = spread(whole, {"A4": A4, "A5": A5}[size], {})
    shown = [block.title for face in faces for block in face.blocks]
    shown += [name for face in faces for name in face.parts - {"formula", "record", "meanings"}]
    left_out = faces[-1].left_out if len(pairs(faces)) > 1 else tuple(name for face in faces for name in face.left_out)
    wanted = [block.title for face in whole for block in face.blocks]
    wanted += [name for face in whole for name in face.parts - {"formula", "record", "meanings"}]
    assert sorted([*shown, *(name for name in left_out if name not in ("record", "meanings"))]) == sorted(wanted)
    assert "record" in left_out or lines(faces, "record") == list(card.record)
    assert "meanings" in left_out or lines(faces, "meanings") == list(card.meanings)
    assert len(pairs(faces)) <= MAX_LEAVES
    assert len({face.name for face in faces}) == len(faces)


def test_the_pages_say_which_leaf_they_are_and_repeat_the_worst_caution(document):
    pages = document("A5").of("returns").pages
    for page, leaf in zip(pages, ("front, leaf 1/2", "back, leaf 1/2", "front, leaf 2/2", "back, leaf 2/2"), strict=True):
        assert leaf in page.text
        assert "DANGER" in page.text and "Neverfeelforaleak" in squeezed(page.text)
    assert "Write down" in pages[3].text


@pytest.mark.parametrize("language", ["en", "de"])
def test_leaves_fall_on_their_own_paper(language):
    """In a binder each leaf begins on a right-hand page; on a sheet each is a card of its own with its back behind it."""
    meanings = tuple(Meaning(f"sign {n}", "it says so " * 6, "test the next thing " * 6) for n in range(16))
    names = ("one", "words", "two")
    cards = [CARDS["words"]() if name == "words" else replace(CARD, name=name, meanings=meanings) for name in names]
    told = {"en": ("front", "leaf"), "de": ("Vorderseite", "Blatt")}[language]
    bound = read_pages(print_cards(cards, Paper(size="A6", binder=True, language=language)).content)
    fronts = [number for number, page in enumerate(bound[2:], 3) if f"{told[0]}" in page.text]  # (behind the cover)
    assert len(fronts) > len(names) and all(number % 2 for number in fronts)
    two_up = read_pages(print_cards(cards, Paper(size="A6", sheet="A4", language=language)).content)
    leaves = sum(page.text.count(f"{told[1]} 2/") for page in two_up[::2])
    assert leaves == sum(f"{told[0]}, {told[1]} 2/" in page.text for page in bound) >= 2
