"""PDFs read back: text, metadata, fonts, QR codes."""

import ctypes

import pypdfium2
import pypdfium2.raw as raw
import zxingcpp

QR_DPI = 200


def text(pdf):
    """The text of every page."""
    with pypdfium2.PdfDocument(pdf) as document:
        return [page.get_textpage().get_text_bounded() for page in document]


def sizes(pdf):
    """The sizes of the pages, in whole points."""
    with pypdfium2.PdfDocument(pdf) as document:
        return {tuple(round(side) for side in page.get_size()) for page in document}


def metadata(pdf):
    """The document's properties."""
    with pypdfium2.PdfDocument(pdf) as document:
        return document.get_metadata_dict()


def codes(pdf, page):
    """What the QR codes of one page say, in reading order."""
    with pypdfium2.PdfDocument(pdf) as document:
        image = document[page].render(scale=QR_DPI / 72).to_pil()
        found = zxingcpp.read_barcodes(image, formats=zxingcpp.BarcodeFormat.QRCode)
    return [code.text for code in sorted(found, key=lambda c: (c.position.top_left.y // 40, c.position.top_left.x))]


def fonts(pdf):
    """Whether each font that sets a text is embedded, by its name."""
    with pypdfium2.PdfDocument(pdf) as document:
        return {_name(font): bool(raw.FPDFFont_GetIsEmbedded(font))
                for page in document for font in _fonts(page)}


def _fonts(page):
    for item in page.get_objects(filter=[raw.FPDF_PAGEOBJ_TEXT], max_depth=5):
        yield raw.FPDFTextObj_GetFont(item.raw)


def _name(font):
    size = raw.FPDFFont_GetBaseFontName(font, None, 0)
    buffer = ctypes.create_string_buffer(size)
    raw.FPDFFont_GetBaseFontName(font, buffer, size)
    return buffer.value.decode()


def places(pdf, words, page=0):
    """Where some words stand on a page: left, bottom, right, top in points from the lower left."""
    with pypdfium2.PdfDocument(pdf) as document:
        textpage = document[page].get_textpage()
        found = textpage.search(words).get_next()
        assert found, words
        boxes = [textpage.get_charbox(found[0] + n) for n in range(found[1])]
    return min(b[0] for b in boxes), min(b[1] for b in boxes), max(b[2] for b in boxes), max(b[3] for b in boxes)
