"""What the cards cost against the renderer alone, and against a headless browser printing the same page.

Run: python tests/benchmarks/bench_cards.py [turns]

1. Binder: `print_cards` of every card against weasyprint on the very HTML and styles that it ends up with (same fonts, same
   PDF variant), in one process, taken in turn; the ratio is of the least processor times. Bar: 1.3. A part of what is gained is
   that we let Python look for rings of garbage seldom (`pdf.written`), which the renderer by itself does not.
2. A card: wall time of one more card in a process that prints cards, against a whole run of
   `chromium --headless --print-to-pdf` on the very same page; ratio of the least. Bar: 1.0. Beside it, without a bar, our own
   whole process for a single card, most of which is starting Python and importing the renderer. Left out, with a line, where
   no Chromium is installed.
"""

from __future__ import annotations

import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from importlib.metadata import entry_points
from pathlib import Path
from typing import Any

from baybook.cards.build import card_of
from baybook.cards.data import Card
from baybook.plugins.loader import load_offers
from baybook_cards import fit, pdf
from baybook_cards.render import Paper, Setting, print_cards, spoken_cards
from baybook_cards.screen import self_contained
from baybook_cards.sizes import size_named

TURNS = 5
BINDER_BAR, CARD_BAR = 1.3, 1.0


def every_card() -> list[Card]:
    """All general cards and those of every calculator."""
    cards = list[Card]()
    for entry in sorted(entry_points(group="baybook"), key=lambda found: found.name):
        cards += [offer.made() for offer in getattr(entry.load(), "baybook_cards", list)()]
        cards += [card_of(calculator) for calculator in load_offers(entry.value).calculators if calculator.how]
    return cards


def pages_written(cards: list[Card], paper: Paper) -> tuple[str, list[str]]:
    """The HTML and styles of the faces as they end up, all in one page; says how many faces were laid out for them."""
    kept, laid = list[Any](), list[int]()
    fitted, lay_out = fit.fitted, pdf.Press.lay_out

    def listen(press: pdf.Press, html: str) -> Any:
        laid.append(html.count("<article"))
        return lay_out(press, html)

    fit.fitted = lambda *how: kept.append(fitted(*how)) or kept[-1]  # type: ignore[func-returns-value]
    pdf.Press.lay_out = listen  # type: ignore[method-assign, assignment]
    try:
        print_cards(cards, paper)
    finally:
        fit.fitted, pdf.Press.lay_out = fitted, lay_out  # type: ignore[method-assign]
    told, spoken = spoken_cards(cards, paper)
    setting = Setting(paper, size_named(paper.size), spoken, tuple(told))
    faces = [face for face, _ in kept[-1]]
    print(f"  {len(faces)} faces took {sum(laid)} layouts of a face: {' + '.join(map(str, filter(None, laid)))}")
    return setting.page("".join(map(setting.face, faces))), setting.css


def renderer_alone(html: str, css: list[str]) -> bytes:
    """weasyprint on that page, nothing checked, nothing collected."""
    content: bytes = pdf.Press(css).lay_out(html).write_pdf(pdf_variant=pdf.VARIANT)
    return content


def least(clock: Callable[[], float], *jobs: Callable[[], object], turns: int) -> list[float]:
    """The least time of each job, the jobs taken in turn."""
    best = [float("inf")] * len(jobs)
    for _ in range(turns):
        for place, job in enumerate(jobs):
            start = clock()
            job()
            best[place] = min(best[place], clock() - start)
    return best


def binder(turns: int, size: str, language: str) -> float:
    """Ratio of our whole way to the renderer's own time."""
    cards, paper = every_card(), Paper(size=size, language=language, binder=True, date="2026-11-25")
    html, css = pages_written(cards, paper)
    ours, alone = least(time.process_time, lambda: print_cards(cards, paper), lambda: renderer_alone(html, css), turns=turns)
    print(f"  {len(cards)} cards, {size} {language}: ours {ours:.2f} s, renderer alone {alone:.2f} s: {ours / alone:.2f} times")
    return ours / alone


PRINT = """
import sys
from pathlib import Path
from baybook_cards.offers import baybook_cards
from baybook_cards.render import Paper, render_pdf
card = next(offer.made() for offer in baybook_cards() if offer.name == "safety")
Path(sys.argv[1]).write_bytes(render_pdf([card], Paper(size="A4")))
"""


def one_card(turns: int) -> float | None:
    """Ratio of one more card of ours to the browser's print of it; none without a browser."""
    browser = next((path for name in ("chromium", "chromium-browser", "google-chrome") if (path := shutil.which(name))), None)
    if browser is None:
        print("  no Chromium on this machine: the comparison is left out (apt-get install chromium)")
        return None
    card, paper = next(card for card in every_card() if card.name == "safety"), Paper(size="A4")
    with tempfile.TemporaryDirectory() as folder:
        page = Path(folder) / "card.html"
        page.write_text(self_contained(*pages_written([card], paper)), encoding="utf-8")
        options = ["--headless", "--no-sandbox", "--disable-gpu", f"--user-data-dir={folder}/profile", "--no-pdf-header-footer"]
        theirs = [browser, *options, f"--print-to-pdf={folder}/theirs.pdf", page.as_uri()]
        ours = [sys.executable, "-c", PRINT, f"{folder}/ours.pdf"]

        def run(command: list[str]) -> None:
            subprocess.run(command, check=True, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)

        jobs = (lambda: print_cards([card], paper), lambda: run(theirs), lambda: run(ours))
        more, other, whole = least(time.perf_counter, *jobs, turns=turns)
        assert Path(folder, "ours.pdf").stat().st_size > 5_000 and Path(folder, "theirs.pdf").stat().st_size > 5_000
    print(f"  one more card: ours {more:.2f} s, browser {other:.2f} s: {more / other:.2f} times")
    print(f"  (a single card, our whole process: {whole:.2f} s: {whole / other:.2f} times)")
    return more / other


def main() -> int:
    """Report both ratios; exit code 1 when one is over its bar."""
    turns = int(sys.argv[1]) if len(sys.argv) > 1 else TURNS
    print("binder, against the renderer's own time on the same page")
    ratios = [binder(turns, size, language) / BINDER_BAR for size in ("A4", "A5", "A6") for language in ("en", "de")]
    print("one card, against a headless browser's print of the same page")
    card = one_card(turns)
    ratios += [card / CARD_BAR] if card is not None else []
    print("within the bars" if max(ratios) <= 1 else "OVER A BAR")
    return int(max(ratios) > 1)


if __name__ == "__main__":
    sys.exit(main())
