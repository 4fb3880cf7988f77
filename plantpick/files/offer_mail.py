"""Mails and saved web pages as an offer's lines: quoted and encoded text, parts of a message, tables of a page."""

from __future__ import annotations

import re
from collections.abc import Iterator
from html.parser import HTMLParser

from plantpick.files.offer_lines import MARK, Columns, lines_of_text
from plantpick.offers.check import Line

_HEADS = re.compile(
    r"^(?:received|mime-version|return-path|message-id|content-type|delivered-to|subject|from):", re.I | re.M
)
_STORED = re.compile(r"^(?:received|mime-version|return-path|message-id):", re.I | re.M)
_HTML = re.compile(r"<(?:!doctype html|html|table|body|div|td)\b", re.I)
_ENCODED = re.compile(r"=(?:\r?\n|[0-9A-F]{2})")
_QUOTED = re.compile(r"^(?:\s?>)+ ?", re.M)
ENCODED_SIGNS = 3  # signs of quoted-printable text from which it is taken apart (judgement)
# what ends a line on a page, in the middle of one of its source: it parts two offers
_ENDS_LINE = re.compile(r"(?<=\S)[ \t]*</?(?:br|p|li|hr|h[1-6])(?:\s[^<>]{0,300})?/?>[ \t]*(?=[^\s<])", re.I)
MOST_COLUMNS, MOST_ROWS = 50, 1_000  # that a cell is taken to run over
_BLOCKS = frozenset(
    "p div br li ul ol h1 h2 h3 h4 h5 h6 section article header footer nav table tbody thead form option select dt dd dl "
    "blockquote pre hr button label figure figcaption main aside".split()
)
_UNSEEN = frozenset(
    "script style head noscript template svg del s strike".split()
)  # what is struck out holds no more


def is_mail(text: str) -> bool:
    """Whether a text opens with the head of a stored message."""
    head = text[:20_000].replace("\r\n", "\n").partition("\n\n")[0]
    return len(_HEADS.findall(head)) >= 2 and bool(_STORED.search(head))


def is_web_page(text: str) -> bool:
    """Whether a text is the source of a web page."""
    return bool(_HTML.search(text[:4000])) and text.count("<") > 10


def lines_of_mail(data: bytes) -> Iterator[Line]:
    """The text of a stored message; what hangs on it is named and not read."""
    from email import message_from_bytes, policy

    message = message_from_bytes(data, policy=policy.default)
    body = message.get_body(("plain", "html"))
    text = str(body.get_content()) if body is not None else ""
    lines = lines_of_page(text) if is_web_page(text) else lines_of_text(_without_marks(without_quotes(text)))
    number = 0
    for line in lines:
        number = line.number
        yield line
    for part in message.iter_attachments():
        number += 1
        name = part.get_filename() or part.get_content_type()
        drawn = part.get_content_maintype() == "image" and part.get_content_disposition() != "attachment"
        yield Line(
            number, f"attached: {name}", unopened=not drawn
        )  # a picture in the text is mostly the firm's sign


def without_quotes(text: str) -> str:
    """A pasted or forwarded message without the signs of quoting, and its encoded letters put right."""
    if len(_ENCODED.findall(text)) >= ENCODED_SIGNS and "=\n" in text.replace("\r\n", "\n"):
        import quopri

        raw = quopri.decodestring(text.encode("utf-8"))
        text = raw.decode("utf-8", errors="replace")
    return _QUOTED.sub("", text) if ">" in text else text


def lines_of_page(text: str) -> Iterator[Line]:
    """The words of a web page: a line for each block, a row of a table as a row."""
    reader = _Page()
    reader.feed(text)
    reader.close()
    reader.end_row()
    columns = Columns()
    for number, cells in enumerate(reader.rows, 1):
        if len(cells) > 1:
            yield columns.line(number, list(cells), "")
        else:
            yield Line(number, cells[0] if cells else "")


_CENTS = re.compile(r"\s*\d\d\s*")
_DOLLARS_AT_END = re.compile(r"[$£€]\s?\d{1,4}\s*$")


class _Page(HTMLParser):
    """Gathers what a page shows, row by row."""

    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.rows: list[list[str]] = []
        self.row: list[str] = [""]
        self.spans: list[tuple[int, int]] = []  # columns and rows that each cell of the row takes
        self.standing: dict[
            int, tuple[int, str]
        ] = {}  # column to rows left and text of a cell that runs on downward
        self.cells = 0
        self.in_row = 0
        self.unseen = 0
        self.raised = False  # within raised figures

    def end_row(self) -> None:
        """Close the row that is being gathered."""
        cells = [" ".join(cell.split()) for cell in self.row]
        if self.in_row:
            cells = self._in_their_columns(cells)
        if any(cells):
            self.rows.append(cells if self.in_row else [" ".join(filter(None, cells))])
        self.row, self.spans, self.cells = [""], [], 0

    def _in_their_columns(self, cells: list[str]) -> list[str]:
        """The cells of a row where they stand: a cell over several columns in the first of them, one over several rows again
        in each."""
        if not self.standing and all(span == (1, 1) for span in self.spans):
            return cells
        out: list[str] = []
        here, self.standing = self.standing, {c: (n - 1, t) for c, (n, t) in self.standing.items() if n > 1}
        for i, text in enumerate(cells):
            while len(out) in here:
                out.append(here[len(out)][1])
            wide, high = self.spans[i] if i < len(self.spans) else (1, 1)
            if high > 1 and len(out) < MOST_COLUMNS:
                self.standing[len(out)] = (high - 1, text)
            out += [text, *[""] * (min(wide, max(1, MOST_COLUMNS - len(out))) - 1)]
        while len(out) in here:
            out.append(here[len(out)][1])
        return out

    def handle_starttag(self, tag: str, attrs) -> None:
        if tag in _UNSEEN:
            self.unseen += 1
        elif tag == "sup":
            self.raised = True
        elif tag == "tr":
            self.end_row()
            self.in_row = 1
        elif tag in ("td", "th"):
            if self.cells:
                self.row.append("")
            self.cells += 1
            given = dict(attrs)
            self.spans.append(
                (_span(given.get("colspan"), MOST_COLUMNS), _span(given.get("rowspan"), MOST_ROWS))
            )
        elif tag == "table":
            self.end_row()
            self.standing.clear()
        elif tag in _BLOCKS and not self.in_row:
            self.end_row()
        elif tag in _BLOCKS:
            self.row[-1] += " "

    def handle_endtag(self, tag: str) -> None:
        if tag in _UNSEEN:
            self.unseen = max(0, self.unseen - 1)
        elif tag == "sup":
            self.raised = False
        elif tag == "tr":
            self.end_row()
            self.in_row = 0
        elif tag in _BLOCKS and not self.in_row:
            self.end_row()

    def handle_data(self, data: str) -> None:
        if self.unseen:
            return
        if self.raised:  # cents behind dollars, or the mark of a note
            cents = _CENTS.fullmatch(data) and _DOLLARS_AT_END.search(self.row[-1])
            self.row[-1] = self.row[-1].rstrip() + "." if cents else self.row[-1] + " "
            data = data.strip()
        self.row[-1] += data


def _span(said: str | None, most: int) -> int:
    """How many columns or rows a cell takes, in bounds."""
    return min(max(int(said), 1), most) if said and said.strip().isdecimal() and len(said) < 10 else 1


def pasted(text: str) -> Iterator[Line]:
    """Text as it was pasted or saved: a web page's source, or lines, quoted or not."""
    if is_web_page(text):
        return lines_of_page(text)
    return lines_of_text(_without_marks(without_quotes(text)))


def _without_marks(text: str) -> str:
    """Copied text without the marks of a page's source, "Pickerelweed<br />"."""
    if "<" not in text or not MARK.search(text):
        return text
    return MARK.sub("", _ENDS_LINE.sub("\n", text))
