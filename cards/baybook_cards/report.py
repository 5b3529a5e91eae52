"""The job report on paper: what was found, on what readings, and what is still open.

A report is plain data, as JSON has it (`REPORT` below says which keys). Nothing is worked out here: numbers are
rounded and words are set.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

from baybook.cards.data import SIDES, SIGNALS, STAGES, Axis, Caution, Chart, Series
from baybook.cards.translate import translated
from baybook.message import Message
from baybook.numbers import percent_shown
from baybook.spec import UNSTATED
from baybook_cards.sizes import SIZES

if TYPE_CHECKING:
    from baybook_cards.html import Look
    from baybook_cards.language import Language
    from baybook_cards.pdf import Pdf

REPORT = {
    "job": "mapping; `number`, `date`, `workshop`, `complaint` go to the head, every other text is printed as a line",
    "conclusion": "text",
    "plain": "mapping {found: list of texts, means: text, then: text}: the result for whoever brought the vehicle",
    "tested": "list of {title, own_title, word}: what was tested, and what it showed",
    "conclusions": "list of texts: its sentences, which are put into the page's language one by one",
    "open": "list of texts: the places that together hold 95 %, each with its chance",
    "lacking": "list of texts: what the sheet does not say",
    "proofs": "list of {repair, test, before, after, word}: before and after each repair, none where not repeated",
    "odds": "list of {place, stage, side, word, chance, steps}: the likeliest places",
    "findings": "list of {stage, side, word, chance, findings: [{step, statement, strength, next_test}]}",
    "untested": "list of {stage, side}",
    "next_tests": "list of texts",
    "specs": "list of {name, range, source}",
    "instruments": "list of {name, what, uncertainty}",
    "steps": "list of {number, title, own_title, of, typed, note, taken, result, error}: `of` what, (name, word) each; the "
    "names of the inputs that were `typed`; the result as `Result.to_dict()` or none, with the `labels` of its outputs, those "
    "that are of the `textbook` alone, and in a verdict what it `measured`; an error with its `message`",
    "plots": "list of {title, x_label, x_unit, y_label, y_unit, series: [{label, x, y, style, y2}]}",
    "catalogues": "list of packages whose catalogues may hold the report's texts in other languages",
}
"""The keys of a report and what stands under them. All but `job` may be missing."""
HEAD = ("number", "date", "workshop", "complaint")
VERDICT_SIGNS = {"within": "✓", "outside": "✗", "undecided": "?"}
CELL_SIGNS = {
    "proven": "✗", "likely": "▲", "open": "?", "unlikely": "–", "not seen here": "–", "untested": "□",
    "partly tested": "□", "repaired": "✓",
    "indicated": "▲", "contradictory": "≠", "undecided": "?", "cleared": "✓",
}  # fmt: skip
"""A sign beside every word, so that neither colour nor grey has to be told apart."""
LETTER = 3.1
"""Body font size of a report in mm: 20 minutes of arc at about 375 mm, a page in the hand."""

MOST = 6
"""Places that are named with their chances."""
BETWEEN = 6
"""Space in mm between two graphs side by side."""
TALL = 46
"""Height of a graph in mm."""
MARGIN = 15
"""Left and right margin in mm, as in styles/report.css."""
STYLES = ("palette.css", "parts.css", "report.css")
ON_SCREEN = ("drawing.css", "report-screen.css", "dark.css")


class ReportError(ValueError):
    """Report data that can't be printed; the message names every key that is wrong."""


def render_report_pdf(report: Mapping[str, Any], language: str = "en", mono: bool = False) -> bytes:
    """A report as PDF, A4 upright. Raises `ReportError` for data of the wrong shape."""
    return print_report(report, language, mono).content


def print_report(report: Mapping[str, Any], language: str = "en", mono: bool = False) -> Pdf:
    """A report as PDF with its page count and the renderer's log."""
    from baybook_cards import html
    from baybook_cards.check import beyond_pages
    from baybook_cards.pdf import write

    page = _page(report, language, mono)
    return write(page, [html.style(name) for name in STYLES], check=beyond_pages)


def report_html(report: Mapping[str, Any], language: str = "en", mono: bool = False) -> str:
    """A report as one HTML file that needs nothing else: fonts and styles are inside."""
    from baybook_cards import html, screen

    page = _page(report, language, mono, screen=True)
    return screen.self_contained(page, [html.style(name) for name in (*STYLES, *ON_SCREEN)])


def _page(report: Mapping[str, Any], language: str, mono: bool, screen: bool = False) -> str:
    from baybook_cards import html, quantities
    from baybook_cards import report_tables as tables
    from baybook_cards.language import language as speak

    checked(report)
    spoken = speak(language, tuple(report.get("catalogues", ())))
    look = html.Look(spoken, mono, LETTER, screen)
    width = (SIZES["A4"].width - 2 * MARGIN - BETWEEN) / 2
    charts, left_out = _charts(report.get("plots", ()), look, width)
    judged = tables.judged_of(report)
    return html.render(
        "report.html.j2", look, report=report, job=report["job"], head=HEAD, width=width, tall=TALL,
        plain=report.get("plain") or {"found": (), "means": "", "then": ""},
        cautions=translated(tuple(cautions_of(report)), spoken.text), grid=grid(report), cell_signs=CELL_SIGNS,
        charts=translated(charts, spoken.text), left_out=left_out, evidence=evidence_of(report), likely=likely_of(report),
        judged=judged, judged_singly=[step for step in judged if tables.single_verdicts(step["result"])],
        sources=list(tables.sources_of(results_of(report))),
        single_verdicts=tables.single_verdicts, numbered_tables=tables.numbered_tables, typed_inputs=tables.typed_inputs,
        unused=tables.unused_specs(report), taken_inputs=tables.taken_inputs, further_outputs=tables.further_outputs,
        of=lambda pairs: tables.of_what(pairs, spoken.named),
        signs=VERDICT_SIGNS, words=words, named=lambda name: named(name, spoken),
        labelled=lambda name, result: named(result.get("labels", {}).get(name, name) if language == "en" else name, spoken),
        shown=lambda value, name="": quantities.shown(value, spoken, name),
        input_shown=lambda record, name: quantities.input_shown(record, spoken, name),
        origin=lambda source: spoken.text(UNSTATED) if source == UNSTATED else source,
        spec=lambda value: quantities.range_shown(value, spoken), percent=lambda value: percent(value, spoken),
    )  # fmt: skip


def _charts(plots: Sequence[Mapping[str, Any]], look: Look, width: float) -> tuple[tuple[Chart, ...], tuple[str, ...]]:
    """The plots that can be drawn, and the titles of those that cannot, such as one without numbers."""
    from baybook_cards import html

    made, failed = list[Chart](), list[str]()
    for plot in plots:
        try:
            chart = chart_of(plot)
            html.plot_svg(chart, width, look, TALL)
        except Exception:  # (a plugin's numbers; whatever is wrong with them, the rest of the report stands)
            failed.append(_text(plot.get("title", "")))
        else:
            made.append(chart)
    return tuple(made), tuple(failed)


def checked(report: Mapping[str, Any]) -> None:
    """Refuse a report whose parts have the wrong shape, naming all of them at once."""
    wrong = [] if isinstance(report.get("job"), Mapping) else ["job: not a mapping"]
    for key in REPORT.keys() - {"job", "conclusion", "plain"}:
        value = report.get(key, ())
        if isinstance(value, str | Mapping) or not isinstance(value, Sequence):
            wrong.append(f"{key}: not a list")
    if wrong:
        raise ReportError("; ".join(sorted(wrong)))


def words(name: object) -> str:
    """`rail_pressure` as a person reads it."""
    return str(name).replace("_", " ")


def named(name: object, language: Language) -> str:
    """An input, an output, or what a verdict is about, which may be a message."""
    message = isinstance(name, Message) and bool(name.arguments)
    return language.text(name) if message else language.named(words(name))  # type: ignore[arg-type]  # a message is a text


def percent(share: object, language: Language) -> str:
    """A probability as per cent, as the terminal tells it: never rounded to certainty."""
    if not isinstance(share, int | float):
        return ""
    told = percent_shown(float(share))
    head, space, number = told.rpartition(" %")[0].rpartition(" ")
    return f"{language.text(head)}{space}{language.figures(number)} %" if head else f"{language.figures(number)} %"


def grid(report: Mapping[str, Any]) -> dict[tuple[str, str], str]:
    """The word for each stage and side; `untested` where nothing was found."""
    words = {(str(cell["stage"]), str(cell["side"])): str(cell["word"]) for cell in report.get("findings", ())}
    return {(stage, side): words.get((stage, side), "untested") for stage in STAGES for side in SIDES}


def likely_of(report: Mapping[str, Any]) -> list[Mapping[str, Any]]:
    """The places that the tests point to, the likeliest first."""
    return [row for row in report.get("odds", ()) if row["word"] in ("proven", "likely", "open")][:MOST]


def evidence_of(report: Mapping[str, Any]) -> list[tuple[Mapping[str, Any], Mapping[str, Any]]]:
    """Every finding with its stage and side."""
    return [(cell, finding) for cell in report.get("findings", ()) for finding in cell["findings"]]


def results_of(report: Mapping[str, Any]) -> list[Mapping[str, Any]]:
    """The results of the steps that were taken."""
    return [step["result"] for step in report.get("steps", ()) if step.get("result")]


def cautions_of(report: Mapping[str, Any]) -> list[Caution]:
    """Every caution of the steps once, most serious first."""
    found = {_caution(caution): None for result in results_of(report) for caution in result.get("cautions", ())}
    return sorted(found, key=lambda caution: SIGNALS.index(caution.signal))


def _caution(caution: Mapping[str, Any]) -> Caution:
    return Caution(caution.get("signal", "warning"), str(caution["text"]), tuple(caution.get("symbols", ())))


def _text(value: object) -> str:
    """A text as it is, a message with its arguments among them."""
    return value if isinstance(value, str) else str(value)


def chart_of(plot: Mapping[str, Any]) -> Chart:
    """A plot of a report as a chart."""
    series = tuple(
        Series(_text(s["label"]), tuple(s["x"]), tuple(s["y"]), s.get("style", "line"), tuple(s.get("y2", ())))
        for s in plot["series"]
    )
    x, y = (Axis(_text(plot[f"{way}_label"]), str(plot.get(f"{way}_unit", ""))) for way in "xy")
    return Chart(_text(plot["title"]), x, y, series)
