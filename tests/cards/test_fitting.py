"""Faces are laid out few times, never with letters that are smaller than they must be, and leave the process as it was."""

from __future__ import annotations

import gc
from typing import Any

import pytest

from baybook_cards import fit, pdf
from baybook_cards.check import filled
from baybook_cards.faces import Face
from baybook_cards.render import Paper, print_cards

from .conftest import CARDS

STEPS = ("coil", "cranking", "hold", "pump", "returns", "sensor")


@pytest.fixture
def laid(monkeypatch: pytest.MonkeyPatch) -> list[int]:
    """How many faces each layout holds."""
    counts, lay_out = list[int](), pdf.Press.lay_out

    def listen(press: pdf.Press, html: str) -> Any:
        counts.append(html.count("<article"))
        return lay_out(press, html)

    monkeypatch.setattr(pdf.Press, "lay_out", listen)
    return counts


@pytest.mark.parametrize("language", ["en", "de"])
def test_most_faces_are_laid_out_once_or_twice(laid: list[int], language: str) -> None:
    """Of six of the fullest cards, whose backs all have parts to leave out and so are laid out twice."""
    print_cards([CARDS[name]() for name in STEPS], Paper(size="A5", language=language))
    assert sum(laid) <= 2.1 * 2 * len(STEPS)


def test_a_face_that_is_nearly_empty_has_the_preferred_letters(monkeypatch: pytest.MonkeyPatch) -> None:
    """Long sources in the foot make no small letters above it."""
    kept, fitted = list[tuple[Face, Any]](), fit.fitted
    monkeypatch.setattr(fit, "fitted", lambda *how: kept.extend(fitted(*how)) or kept)  # type: ignore[func-returns-value]
    print_cards([CARDS["safety"](), CARDS["stages"]()], Paper(size="ID-1"))
    assert {face.scale for face, page in kept if face.side == "back" and filled(page) < fit.LOOSE} <= {1.0}


def test_the_collector_is_as_it_was() -> None:
    before = gc.get_threshold()
    print_cards([CARDS["safety"]()], Paper(size="ID-1"))
    assert gc.get_threshold() == before and gc.isenabled()


def test_every_card_fits_a_binder_with_its_leaves() -> None:
    """German sentences are the longest, and a binder's margin takes a fourteenth of the width: none is refused there."""
    done = print_cards([made() for made in CARDS.values()], Paper(size="A5", language="de", binder=True, all_leaves=True))
    assert done.pages >= 2 * len(CARDS) and done.log == ()
