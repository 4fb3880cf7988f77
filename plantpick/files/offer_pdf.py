"""PDF price lists as an offer's lines: the text layer, page by page, column by column, tables row by row.

pypdf opens the file and unpacks its parts, each no further than a bound. pdfminer.six sets the letters of a page where
they stand; it is given the unpacked parts alone, so that nothing unbounded is left for it to unpack.
"""

from __future__ import annotations

import io
from collections.abc import Iterator
from dataclasses import replace
from types import SimpleNamespace

from plantpick.errors import PlantpickError
from plantpick.files.offer_lines import GAP, Columns, refuse
from plantpick.files.page_layout import Cell, Letter, Row, beneath, parted_headings, rows_of_page
from plantpick.offers.check import Line

PAGE_LIMIT = 100
PAGE_BYTES = 100_000  # of a page's drawing, unpacked; a page of prices has some ten to thirty thousand
ALL_BYTES = 600_000  # of all pages together
LETTERS = 300_000  # letters and drawings within drawings that are set, of all pages together
PART_BYTES = 400_000  # of a part of a font or a drawing within a drawing, unpacked
DEEP = 12  # parts within parts
ROWS_BENEATH = 30  # rows beneath headings whose figures show where the columns stand


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
        told = _pages(pages.pages, where)
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
    if sum(len(c.text) for rows in told for row in rows for c in row) < 3 * max(1, len(told)) // 2:
        raise refuse(
            where,
            "the PDF has no text: it is a scan or a picture.",
            "Run it through text recognition first, or type the lines and give - as the file.",
        )
    yield from _lines(told)


def _lines(pages: list[list[Row]]) -> Iterator[Line]:
    """The rows as lines. A row of column headings says in which column the cells beneath it stand."""
    columns, number = Columns(), 0
    heads: Row = ()
    for page, rows in enumerate(pages, 1):
        for at, row in enumerate(rows):
            number += 1
            where = f"page {page}"
            if not row:
                yield Line(number, "", where)
                continue
            parted = parted_headings(row, rows[at + 1 : at + 1 + ROWS_BENEATH])
            if len(parted) > len(row) and columns.heads_all([cell.text for cell in parted]):
                row = parted
            if heads and row[-1].x0 < heads[-1].x1 + 36 and row[0].x0 > heads[0].x0 - 36:
                line = columns.line(number, beneath(heads, row), where)
            else:
                line = columns.line(number, [cell.text for cell in row], where)
            if line.header:
                line, heads = columns.line(number, [cell.text for cell in row], where), row
            yield replace(line, text=GAP.join(c.text for c in row))


def _pages(pages, where: str) -> list[list[Row]]:
    """The rows of each page; a drawing too large to be a list of plants is refused before it is read."""
    left, sizes = ALL_BYTES, []
    for number, page in enumerate(pages, 1):
        content = page.get_contents()
        sizes.append(content.get_data() if content is not None else b"")
        left -= len(sizes[-1])
        if len(sizes[-1]) > PAGE_BYTES or left < 0:
            raise _too_large(f"{where}, page {number}")
    setter = _Setter(where)
    return [setter.rows(page, content) for page, content in zip(pages, sizes)]


def _too_large(where: str) -> PlantpickError:
    return refuse(
        where,
        "the drawing of the page is larger than is read.",
        "Save the pages that list plants, or paste their text and give - as the file.",
    )


class _Setter:
    """Sets the letters of pages where they stand, no more than a number of them in all."""

    def __init__(self, where: str):
        from pdfminer.converter import PDFLayoutAnalyzer
        from pdfminer.pdfinterp import PDFPageInterpreter, PDFResourceManager

        self.left = LETTERS
        self.letters: list[Letter] = []
        self.parts = _Parts()
        setter = self

        class Device(PDFLayoutAnalyzer):
            def render_char(self, matrix, font, fontsize, scaling, rise, cid, ncs, graphicstate, *more):
                setter.spend(where)
                from pdfminer.layout import LTChar
                from pdfminer.pdffont import PDFUnicodeNotDefined

                try:
                    text = font.to_unichr(cid)
                except PDFUnicodeNotDefined:
                    text = "?"
                one = LTChar(
                    matrix,
                    font,
                    fontsize,
                    scaling,
                    rise,
                    text,
                    font.char_width(cid),
                    font.char_disp(cid),
                    ncs,
                    graphicstate,
                )
                if one.upright:
                    setter.letters.append(Letter(text, one.x0, one.x1, one.y0, max(one.size, 1.0)))
                return one.adv

            def receive_layout(self, page):
                pass

        class Interpreter(PDFPageInterpreter):
            def do_Do(self, name):
                setter.spend(where)
                super().do_Do(name)

        manager = PDFResourceManager()
        self.interpreter = Interpreter(manager, Device(manager, laparams=None))

    def spend(self, where: str) -> None:
        self.left -= 1
        if self.left < 0:
            raise _too_large(where)

    def rows(self, page, content: bytes) -> list[Row]:
        """The rows of one page."""
        self.letters = []
        resources = self.parts.plain(page.get("/Resources"))
        box = [float(x) for x in page.mediabox]
        drawing = SimpleNamespace(
            mediabox=box,
            cropbox=box,
            rotate=int(page.rotation or 0) % 360,
            resources=resources if isinstance(resources, dict) else {},
            contents=[self.parts.stream({}, content)],
            attrs={},
            pageid=1,
        )
        self.interpreter.process_page(drawing)  # type: ignore[arg-type]  # it has all that is read of a page
        if (
            not self.letters and drawing.rotate
        ):  # turned on its side when it was saved: read it as it was written
            drawing.rotate = 0
            self.interpreter.process_page(drawing)  # type: ignore[arg-type]
        rows = rows_of_page(self.letters)
        if rows:
            return rows
        text = page.extract_text() or ""  # letters that stand nowhere: the words at least
        return [(Cell(line.strip(), 0.0, 1.0),) if line.strip() else () for line in text.splitlines()]


# parts that no letter needs
_UNREAD = frozenset(
    "/FontFile /FontFile2 /FontFile3 /Parent /P /StructParents /Metadata /ColorSpace /Pattern /Shading /ExtGState /CharProcs "
    "/SMask /Group /PieceInfo /OC".split()
)


class _Parts:
    """Parts of the file, unpacked, in the types that pdfminer reads; each is made once."""

    def __init__(self) -> None:
        self.made: dict[tuple[int, int], object] = {}
        self.streams = 0

    def stream(self, entries: dict, data: bytes):
        from pdfminer.pdftypes import PDFStream

        made = PDFStream(entries, data)
        self.streams += 1
        made.set_objid(self.streams, 0)  # a drawing within itself is known by its number
        return made

    def plain(self, part, depth: int = 0):
        """One part; None beyond a depth or a size, and for one that holds itself."""
        from pypdf.generic import IndirectObject

        if not isinstance(part, IndirectObject):
            return self._plain(part, depth)
        key = (part.idnum, part.generation)
        if key not in self.made:
            self.made[key] = None
            self.made[key] = self._plain(part.get_object(), depth)
        return self.made[key]

    def _plain(self, part, depth: int):
        from pdfminer.psparser import LIT
        from pypdf.generic import (
            ArrayObject,
            BooleanObject,
            DictionaryObject,
            FloatObject,
            NameObject,
            NumberObject,
            StreamObject,
        )

        if part is None or depth > DEEP:
            return None
        if isinstance(part, DictionaryObject):
            unread = _UNREAD
            if isinstance(part, StreamObject):
                if part.get("/Subtype") == "/Image":
                    return None
                unread = _UNREAD | {"/Filter", "/DecodeParms", "/Length"}
            found = {k[1:]: self.plain(part.raw_get(k), depth + 1) for k in part if k not in unread}
            entries = {k: v for k, v in found.items() if v is not None}
            if not isinstance(part, StreamObject):
                return self._fonts(entries) if part.get("/Type") == "/Font" else entries
            data = part.get_data()
            return self.stream(entries, data) if len(data) <= PART_BYTES else None
        if isinstance(part, ArrayObject):
            return [self.plain(one, depth + 1) for one in list.__iter__(part)]
        if isinstance(part, NameObject):
            return LIT(str(part)[1:])
        if isinstance(part, BooleanObject):
            return bool(part)
        if isinstance(part, NumberObject):
            return int(part)
        if isinstance(part, FloatObject):
            return float(part)
        return getattr(part, "original_bytes", None) or str(part).encode("latin-1", "replace")

    def _fonts(self, font: dict):
        """A font as something that pdfminer makes once and knows again."""
        from pdfminer.pdftypes import PDFObjRef

        class Font(PDFObjRef):
            def __init__(self, number: int):
                self.objid, self.doc = number, None

            def resolve(self, default=None):
                return font

        self.streams += 1
        return Font(self.streams)
