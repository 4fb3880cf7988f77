"""PDF price lists as an offer's lines: the text layer, page by page."""

from __future__ import annotations

import io
from collections.abc import Iterator

from plantpick.errors import PlantpickError
from plantpick.files.offer_lines import refuse, split
from plantpick.offers.check import Line

PAGE_LIMIT = 100
PAGE_BYTES = 100_000  # of a page's drawing, unpacked; a page of prices has some ten to thirty thousand
ALL_BYTES = 600_000  # of all pages together


def lines_of_pdf(data: bytes, where: str) -> Iterator[Line]:
    """The text of every page, line by line; refuses what is locked, broken or only a picture."""
    import logging

    from pypdf import PdfReader
    from pypdf.errors import PyPdfError

    logging.getLogger("pypdf").setLevel(logging.CRITICAL)
    try:
        pages = PdfReader(io.BytesIO(data))
        if pages.is_encrypted and not pages.decrypt(""):
            raise refuse(
                where,
                "the PDF is locked with a password.",
                "Open it, and print or save it without the password.",
            )
        count = len(pages.pages)
        if count > PAGE_LIMIT:
            raise refuse(
                where,
                f"the PDF has {count} pages; {PAGE_LIMIT} are read at most.",
                "Save the pages that list plants.",
            )
        told = _texts(pages.pages, where)
    except PlantpickError:
        raise
    except (PyPdfError, Exception) as fault:  # a broken file raises almost anything
        needs = "cryptography" in str(fault).lower()
        raise refuse(
            where,
            "the PDF is locked."
            if needs
            else f"the PDF is broken or cannot be read ({type(fault).__name__}).",
            "Print or save it again without a password, or paste its text and give - as the file.",
        ) from None
    if sum(len(t.strip()) for t in told) < 3 * max(1, len(told)) // 2:
        raise refuse(
            where,
            "the PDF has no text: it is a scan or a picture.",
            "Run it through text recognition first, or type the lines and give - as the file.",
        )
    number = 0
    for page, text in enumerate(told, 1):
        for line in split(text.rstrip()):
            number += 1
            yield Line(number, line.strip("\x00").strip(), f"page {page}")


def _texts(pages, where: str) -> list[str]:
    """The text of each page; a drawing too large to be a list of plants is refused before it is read."""
    told, left = [], ALL_BYTES
    for number, page in enumerate(pages, 1):
        content = page.get_contents()
        size = len(content.get_data()) if content is not None else 0
        left -= size
        if size > PAGE_BYTES or left < 0:
            raise refuse(
                f"{where}, page {number}",
                "the drawing of the page is larger than is read.",
                "Save the pages that list plants, or paste their text and give - as the file.",
            )
        told.append(_page_text(page))
    return told


def _page_text(page) -> str:
    try:
        text = page.extract_text(extraction_mode="layout")
    except Exception:  # the layout reading fails on odd fonts; the plain one is sturdier
        text = ""
    return text if text.strip() else page.extract_text()
