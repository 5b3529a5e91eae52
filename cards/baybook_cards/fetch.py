"""The only things a page may load: the fonts of this package, by the made-up scheme `baybook:`. All else is an error."""

from __future__ import annotations

from importlib.resources import files
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from weasyprint.urls import URLFetcher

FONTS: dict[str, str] = {
    "baybook:fonts/Inter-Regular.otf": "Inter-Regular.otf",
    "baybook:fonts/Inter-Bold.otf": "Inter-Bold.otf",
}


class FetchRefused(ValueError):
    """A page asked for something outside the package: its address is in `url`."""

    def __init__(self, url: str) -> None:
        super().__init__(f"a page asked for {url!r}; pages load nothing but the fonts of this package")
        self.url = url


def font_bytes(name: str) -> bytes:
    """The shipped font file `name`."""
    return files("baybook_cards").joinpath("fonts", name).read_bytes()


def fetcher(asked: list[str]) -> URLFetcher:
    """A fetcher that serves `FONTS` alone and stops the rendering otherwise; every refused address is added to `asked`."""
    from weasyprint.urls import URLFetcher, URLFetcherResponse

    class FontsOnly(URLFetcher):  # type: ignore[misc]  # weasyprint ships no types
        def fetch(self, url: str, headers: dict[str, str] | None = None) -> URLFetcherResponse:
            if url not in FONTS:
                asked.append(url)
                raise FetchRefused(url)
            return URLFetcherResponse(url, body=font_bytes(FONTS[url]), headers={"Content-Type": "font/otf"})

    return FontsOnly(fail_on_errors=True, allowed_protocols=())
