"""Opens an offer, whatever the nursery sent: text, pasted mail, CSV, TSV, spreadsheet, PDF. All become plain
lines.

Sizes are bounded: a file over its limit is refused before it is read, and so is one that unpacks to far more.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

from plantpick.errors import PlantpickError
from plantpick.files.data_folder import data_folder
from plantpick.files.offer_lines import (
    KINDS,
    MEGABYTE,
    ROW_LETTERS,
    TEXT_LIMIT,
    decode,
    lines_of_table,
    refuse,
)
from plantpick.files.offer_mail import is_mail, lines_of_mail, lines_of_page, pasted
from plantpick.files.offer_pdf import lines_of_pdf
from plantpick.files.offer_sheets import lines_of_workbook
from plantpick.files.open_file import NotRead, read_bytes, read_pasted
from plantpick.offers.check import Line

_PICTURES = (
    (rb"\xff\xd8\xff", "JPEG"),
    (rb"\x89PNG", "PNG"),
    (rb"GIF8", "GIF"),
    (rb"BM.{4}\x00\x00\x00\x00", "BMP"),
    (rb"II\*\x00|MM\x00\*", "TIFF"),
    (rb"RIFF.{4}WEBP", "WebP"),
    (rb".{4}ftyp(?:hei[cfsmx]|mif1|msf1|avif)", "a phone's photograph"),
)
SHEET_LIMIT, PDF_LIMIT = 16 * MEGABYTE, 32 * MEGABYTE
_LOG_HEAD = {"date", "plant", "stretch"}  # columns of a pond's log that no nursery's list has together
LINE_LIMIT = 400_000


def demo_offer() -> str:
    """The path of the invented offer that comes with plantpick."""
    return str(data_folder() / "demo" / "offer.txt")


def refuse_pond_file(source: str) -> None:
    """Raise PlantpickError `offer-file` where a pond's description stands in the place of the offer."""
    if Path(source).suffix.lower() == ".toml":
        raise refuse(
            source,
            "it describes a pond and is no offer.",
            "Name the pond first and the offer behind it: plantpick offer pond.toml list.txt",
        )


def read_offer(source: str) -> list[Line]:
    """The lines of an offer; `source` is a path, or "-" for text on standard input.

    Raises PlantpickError `offer-file` for a file that is missing, empty, too large, of another kind, broken,
    locked with a password, or a PDF without text.
    """
    refuse_pond_file(source)
    pasted = source == "-"
    where = "standard input" if pasted else source
    suffix = "" if pasted else Path(source).suffix.lower()
    limit = {".xlsx": SHEET_LIMIT, ".xlsm": SHEET_LIMIT, ".pdf": PDF_LIMIT}.get(suffix, TEXT_LIMIT)
    try:
        data = read_pasted(limit) if pasted else read_bytes(source, limit, "an offer")
    except NotRead as fault:
        raise PlantpickError(
            "offer-file",
            fault.problem(
                where,
                "Name one file: " + ", ".join(KINDS) + "; or give - and paste the text.",
                "Split it, or keep only the pages or columns that list plants.",
            ),
        ) from None
    if not data.strip(b"\x00 \t\r\n"):
        raise refuse(
            where,
            "nothing is in it." if pasted else "the file is empty.",
            "Save the offer again, or paste its text and give - as the file.",
        )
    return _bounded(_by_kind(data, suffix, where), where)


def _bounded(lines: Iterator[Line], where: str) -> list[Line]:
    out: list[Line] = []
    for line in lines:
        out.append(line)
        if len(line.text) > ROW_LETTERS:
            raise refuse(
                f"{where}, line {line.number}",
                f"it has {len(line.text):,} letters; {ROW_LETTERS:,} are the most that are read in a line.",
                "Put every plant on a line of its own.",
            )
        if len(out) > LINE_LIMIT:
            raise refuse(
                where, f"it has more than {LINE_LIMIT:,} lines, the most that are read.", "Split it."
            )
    if not any(line.text.strip() for line in out):
        raise refuse(
            where,
            "no text was found in it.",
            "Save the offer again, or paste its text and give - as the file.",
        )
    return out


def _by_kind(data: bytes, suffix: str, where: str) -> Iterator[Line]:
    if data[:5] == b"%PDF-" or suffix == ".pdf":
        return lines_of_pdf(data, where)
    if data[:4] == b"PK\x03\x04" or suffix == ".xlsx":
        return lines_of_workbook(data, where)
    if data[:8] == b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1":
        raise refuse(
            where,
            "it is an old Office file, or one locked with a password.",
            "Open it, take the password off, and save it as .xlsx or .csv.",
        )
    for mark, kind in _PICTURES:
        if re.match(mark, data[:16], re.S):
            raise refuse(
                where,
                f"it is a picture ({kind}).",
                "Let your phone or computer read the words in it (hold a finger on the words, then Copy), and paste them with "
                "- as the file; or type the lines. Check every name: such readings hold mistakes.",
            )
    text = decode(data, where)
    head = next((row for row in text.split("\n", 40)[:40] if row.strip() and not row.startswith("#")), "")
    if _LOG_HEAD <= {cell.strip().strip('"').lower() for cell in re.split(r"[,;\t]", head)}:
        raise refuse(
            where,
            "it is a pond's log: what you saw in the pond, with dates.",
            "Give it to plantpick watch; here, give the nursery's list.",
        )
    if suffix in (".csv", ".tsv", ".tab"):
        return lines_of_table(text, "\t" if suffix != ".csv" else None)
    if suffix in (".html", ".htm"):
        return lines_of_page(text)
    if is_mail(text):
        return lines_of_mail(data)
    return pasted(text)
