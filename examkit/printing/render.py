"""A document and its template become a PDF; the only place that knows WeasyPrint.

Nothing is fetched: the stylesheet and the fonts come from the tree, anything else that a document asks for is
refused and counted. The metadata say what kind of sheet it is and nothing more.
"""

from dataclasses import dataclass
from functools import cache
from io import BytesIO
from pathlib import Path

import segno
from django.conf import settings
from django.template.loader import render_to_string
from django.utils.safestring import mark_safe
from django.utils.translation import get_language

from examkit.printing.stamp import even, underlay
from examkit.printing.units import together

STATIC = Path(settings.BASE_DIR) / "examkit" / "static" / "examkit"
TEMPLATES = Path(settings.BASE_DIR) / "templates" / "print"
FONT_SCHEME, PICTOGRAM_SCHEME = "font:", "ghs:"
QUIET_ZONE_MODULES = 2


@dataclass(frozen=True)
class Rendered:
    """A PDF, its number of pages, and what it tried to fetch."""

    pdf: bytes
    pages: int
    refused: tuple[str, ...]


def render(document, template, *, title):
    """The PDF of `document`, set with `templates/print/<template>`; `title` goes into the metadata."""
    press = _Press()
    pages = press.set(template, document=document, title=title)
    return Rendered(pages.write_pdf(), len(pages.pages), press.refused)


def render_stamped(document, template, stamp_template, *, title):
    """Sheets that are alike but for their stamp: the sheet is set once, and laid under every stamp."""
    press = _Press()
    sheet = press.set(template, document=document, title=title)
    size = len(sheet.pages)
    stamps = press.set(stamp_template, document=document, title=title, more=range(even(size) - 1))
    pages = stamps.copy([*sheet.pages, *stamps.pages])
    return Rendered(pages.write_pdf(finisher=underlay(size)), len(stamps.pages), press.refused)


class _Press:
    """What the documents of one print run share: the fonts, the stylesheet, the count of what was refused."""

    def __init__(self):
        from weasyprint import CSS, HTML  # half a second to import, and only printing needs it
        from weasyprint.text.fonts import FontConfiguration

        self._html, self._fetcher, self._fonts = HTML, _fetcher(), FontConfiguration()
        self._css = CSS(string=stylesheet(), font_config=self._fonts, url_fetcher=self._fetcher)

    def set(self, template, **context):
        """The laid-out pages of a template."""
        text = render_to_string(f"print/{template}", {"language": get_language() or "en", **context})
        html = self._html(string=together(text), url_fetcher=self._fetcher)
        pages = html.render(font_config=self._fonts, stylesheets=[self._css])
        pages.metadata.generator = "examkit"
        return pages

    @property
    def refused(self):
        """The addresses that were asked for and not fetched."""
        return tuple(self._fetcher.refused)


@cache
def stylesheet():
    """The print stylesheet, with the fonts of the tree."""
    return (STATIC / "print.css").read_text()


@cache
def look():
    """All that decides how sheets look, as one text: a print run of an older look is set anew."""
    files = sorted(path for path in TEMPLATES.rglob("*") if path.is_file())
    return stylesheet() + "".join(path.read_text() for path in files)


def _fetcher():
    """A fetcher that gives the fonts and pictograms of the tree, and refuses and counts all else."""
    from weasyprint.urls import URLFetcher, URLFetcherResponse

    class NothingFetched(URLFetcher):
        """Knows the fonts and pictograms of the tree by name."""

        def __init__(self):
            super().__init__(allowed_protocols=())
            self.refused = []

        def fetch(self, url, headers=None):
            if url in pictograms():
                return URLFetcherResponse(url, pictograms()[url], {"Content-Type": "image/svg+xml"})
            font = fonts().get(url)
            if font is None:
                self.refused.append(url)
                raise ValueError(f"Printing fetches nothing, and this neither: {url}")
            return URLFetcherResponse(url, font)

    return NothingFetched()


@cache
def fonts():
    """The fonts of the tree by the address that the stylesheet uses for them."""
    files = [path for path in sorted((STATIC / "fonts").iterdir()) if path.suffix in (".ttf", ".woff2")]
    return {FONT_SCHEME + path.name: _plain_font(path) for path in files}


@cache
def pictograms():
    """The GHS pictograms of the tree by the address that labels use for them."""
    return {PICTOGRAM_SCHEME + path.stem: path.read_bytes()
            for path in sorted((TEMPLATES / "pictograms").glob("*.svg"))}


def _plain_font(path):
    """The font's bytes, unpacked once and not at each print run."""
    if path.suffix == ".ttf":
        return path.read_bytes()
    from fontTools.ttLib import woff2

    plain = BytesIO()
    woff2.decompress(path, plain)
    return plain.getvalue()


@cache
def qr(code):
    """The QR code of a sample code as inline SVG; it holds the code and nothing else."""
    made = segno.make(code, error="m", micro=False, boost_error=False)
    return mark_safe(made.svg_inline(border=QUIET_ZONE_MODULES, svgclass="qr", lineclass=None, omitsize=True))
