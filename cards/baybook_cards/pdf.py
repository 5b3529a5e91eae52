"""HTML to PDF: fonts of this package alone, the same bytes every time, tagged and archivable, nothing logged."""

from __future__ import annotations

import gc
import logging
import os
import sys
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager, redirect_stdout
from dataclasses import dataclass
from io import StringIO
from pathlib import Path
from typing import Any, Literal

from baybook.files import clear_litter
from baybook_cards.check import Overflow, overflows
from baybook_cards.fetch import FetchRefused, fetcher

EPOCH = "1700000000"
"""SOURCE_DATE_EPOCH while a page is written, so that no clock reaches the file."""
VARIANT = "pdf/a-2a"
"""PDF/A-2a: archivable, and level A asks for the full tag tree; the PDF/UA-1 mark is added beside it."""

_UA_MARK = b"""<rdf:Description rdf:about="" \
xmlns:pdfuaid="http://www.aiim.org/pdfua/ns/id/" pdfuaid:part="1"/><rdf:Description rdf:about="" \
xmlns:pdfaExtension="http://www.aiim.org/pdfa/ns/extension/" xmlns:pdfaSchema="http://www.aiim.org/pdfa/ns/schema#" \
xmlns:pdfaProperty="http://www.aiim.org/pdfa/ns/property#"><pdfaExtension:schemas><rdf:Bag><rdf:li \
rdf:parseType="Resource"><pdfaSchema:schema>PDF/UA identification</pdfaSchema:schema>\
<pdfaSchema:namespaceURI>http://www.aiim.org/pdfua/ns/id/</pdfaSchema:namespaceURI>\
<pdfaSchema:prefix>pdfuaid</pdfaSchema:prefix><pdfaSchema:property><rdf:Seq><rdf:li rdf:parseType="Resource">\
<pdfaProperty:name>part</pdfaProperty:name><pdfaProperty:valueType>Integer</pdfaProperty:valueType>\
<pdfaProperty:category>internal</pdfaProperty:category><pdfaProperty:description>part of ISO 14289 that is followed\
</pdfaProperty:description></rdf:li></rdf:Seq></pdfaSchema:property></rdf:li></rdf:Bag></pdfaExtension:schemas>\
</rdf:Description>"""
_RDF_END = b"</rdf:RDF>"
_ROOM = "baybook-fonts-"
Duplex = Literal["Simplex", "DuplexFlipShortEdge", "DuplexFlipLongEdge"]


class RendererMissing(RuntimeError):
    """The system libraries of the PDF renderer are not there; the message is the line to type."""


class LayoutError(ValueError):
    """Content that does not fit its page at a legible size: `found` lists where."""

    def __init__(self, found: list[Overflow]) -> None:
        first = found[0]
        more = f" and in {len(found) - 1} more places" if len(found) > 1 else ""
        super().__init__(
            f"{first.face}: does not fit, by {first.millimetres:.1f} mm at {first.text[:40]!r}{more}; take a larger size"
        )
        self.found = found


@dataclass(frozen=True, slots=True)
class Pdf:
    """A finished document: its bytes, its pages, what the renderer logged (nothing, if all is well), and how to print it."""

    content: bytes
    pages: int
    log: tuple[str, ...]
    advice: str = ""


def renderer() -> Any:
    """The rendering library; raises `RendererMissing` with the line that installs what it lacks."""
    try:
        with _no_library_search(), redirect_stdout(StringIO()):  # it prints a page of advice where Pango is missing
            import weasyprint
    except OSError as error:
        raise RendererMissing(
            "PDF needs Pango: sudo apt-get install libpango-1.0-0 libpangoft2-1.0-0 libharfbuzz-subset0 "
            "(macOS: brew install pango); HTML works without it"
        ) from error
    return weasyprint


@contextmanager
def _no_library_search() -> Iterator[None]:
    """Spare the import a dozen failed searches for libraries, each of which starts `ldconfig` or a compiler.

    The renderer tries several spellings of every library; on Linux the right one (`libpango-1.0.so.0`) loads by its name,
    and the search before it only fails. Measured: 0.19 of 0.43 s of import.
    """
    import ctypes.util

    search = ctypes.util.find_library
    if sys.platform == "linux" and "weasyprint" not in sys.modules:
        ctypes.util.find_library = lambda name: None
    try:
        yield
    finally:
        ctypes.util.find_library = search


@contextmanager
def _collected_log() -> Iterator[list[str]]:
    """What the renderer logs at warning or above, kept from standard error."""
    said: list[str] = []

    class Collect(logging.Handler):
        def emit(self, record: logging.LogRecord) -> None:
            said.append(record.getMessage())

    logger, handler = logging.getLogger("weasyprint"), Collect(logging.WARNING)
    propagate, logger.propagate = logger.propagate, False
    logger.addHandler(handler)
    try:
        yield said
    finally:
        logger.removeHandler(handler)
        logger.propagate = propagate


@contextmanager
def _fixed_epoch() -> Iterator[None]:
    before = os.environ.get("SOURCE_DATE_EPOCH")
    os.environ["SOURCE_DATE_EPOCH"] = EPOCH
    try:
        yield
    finally:
        if before is None:
            del os.environ["SOURCE_DATE_EPOCH"]
        else:
            os.environ["SOURCE_DATE_EPOCH"] = before


@contextmanager
def _rare_collections() -> Iterator[None]:
    """Python's search for rings of garbage made rare: a layout is a million objects that stay, and they are looked through over
    and over (measured: a fifth of the time of a layout)."""
    before = gc.get_threshold()
    gc.set_threshold(50_000, 20, 50)
    try:
        yield
    finally:
        gc.set_threshold(*before)


class Press:
    """Lays pages out with one set of stylesheets and fonts, so that their pages can stand in one document.

    asked: every address but those of our fonts that a page asked for; room: an empty folder for copies of fonts, else the
    renderer makes one.
    """

    def __init__(self, css: list[str], room: Path | None = None) -> None:
        weasyprint = renderer()
        from weasyprint.text.fonts import FontConfiguration

        self.asked: list[str] = []
        self._fetch, self._fonts = fetcher(self.asked), FontConfiguration()
        self._fonts._folder = room  # its own name for it; the renderer's version is held
        self._sheets = [weasyprint.CSS(string=text, url_fetcher=self._fetch, font_config=self._fonts) for text in css]

    def lay_out(self, html: str) -> Any:
        """The laid-out document of a page."""
        return lay_out(html, self._sheets, self._fetch, self._fonts)


@contextmanager
def _room() -> Iterator[Path]:
    """A folder for the renderer's copies of our fonts, gone when the page is made; those that killed runs left are cleared.

    The renderer's own would stay when the process ends, under a name that nobody can tell from another program's.
    """
    clear_litter(Path(tempfile.gettempdir()), _ROOM)
    with tempfile.TemporaryDirectory(prefix=_ROOM) as room:
        yield Path(room)


def lay_out(html: str, sheets: list[Any], fetch: Any, fonts: Any) -> Any:
    """The laid-out document; the one place where the renderer lays anything out."""
    page = renderer().HTML(string=html, url_fetcher=fetch)
    return page.render(stylesheets=sheets, font_config=fonts, pdf_variant=VARIANT)


def write(html: str, css: list[str], check: Callable[[Any], list[Overflow]] = overflows) -> Pdf:
    """The PDF of a page, once `check` finds nothing out of place. Raises `LayoutError`, `FetchRefused` or `RendererMissing`."""

    def laid(press: Press) -> Any:
        document = press.lay_out(html)
        if found := check(document):
            raise LayoutError(found)
        return document

    return written(css, laid)


def written(css: list[str], lay: Callable[[Press], Any], duplex: Duplex = "DuplexFlipLongEdge") -> Pdf:
    """The PDF of the document that `lay` makes on a press. Raises what it raises, `FetchRefused` or `RendererMissing`.

    duplex: how a reader's print dialogue is to be set at first; it is set to print at full size, too (ISO 32000-1, table 150).
    """
    with _rare_collections(), _collected_log() as said, _fixed_epoch(), _room() as room:
        press = Press(css, room)
        with _refusing(press.asked):
            document = lay(press)
            _mark_accessible(document.metadata)
            content = document.write_pdf(pdf_variant=VARIANT, finisher=lambda _, pdf: _set_printing(pdf.catalog, duplex))
    return Pdf(content, len(document.pages), tuple(said))


def _mark_accessible(metadata: Any) -> None:
    """The PDF/UA mark within the one `rdf:RDF` that a packet may hold (ISO 16684-1)."""
    plain = metadata.generate_rdf_metadata
    metadata.generate_rdf_metadata = lambda *how: plain(*how).replace(_RDF_END, _UA_MARK + _RDF_END)


def _set_printing(catalog: Any, duplex: Duplex) -> None:
    wishes = {"PrintScaling": "/None", "Duplex": f"/{duplex}"}
    catalog["ViewerPreferences"] = type(catalog)({**catalog.get("ViewerPreferences", {}), **wishes})


@contextmanager
def _refusing(asked: list[str]) -> Iterator[None]:
    """Any address that was asked for ends in `FetchRefused`, also one that the renderer would have passed over."""
    renderer()
    from weasyprint.urls import FatalURLFetchingError

    try:
        yield
    except FatalURLFetchingError as error:
        raise FetchRefused(asked[-1] if asked else "?") from error
    if asked:
        raise FetchRefused(asked[0])
