"""Small spreadsheets and PDFs made to cost a great deal: each is read or refused in a few seconds and little memory."""

import io
import subprocess
import sys
import zipfile

import pytest
from test_hard_use import POSIX, readers

NS = '<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData>'
END = "</sheetData></worksheet>"


def workbook(sheet: str, tail: str = END) -> bytes:
    """A workbook of one sheet whose rows are written out by hand."""
    made = io.BytesIO()
    with (
        zipfile.ZipFile(io.BytesIO(readers._workbook()[0])) as old,
        zipfile.ZipFile(made, "w", zipfile.ZIP_DEFLATED) as new,
    ):
        for name in old.namelist():
            new.writestr(name, NS + sheet + tail if "sheet1" in name else old.read(name))
    return made.getvalue()


def pdf(content: bytes, pages: int = 1) -> bytes:
    """A PDF of `pages` pages that all show the same drawing."""
    import zlib

    packed = zlib.compress(content)
    kids = b" ".join(b"%d 0 R" % (5 + n) for n in range(pages))
    parts = [
        b"<< /Type /Catalog /Pages 2 0 R >>",
        b"<< /Type /Pages /Kids [%s] /Count %d >>" % (kids, pages),
        b"<< /Length %d /Filter /FlateDecode >>\nstream\n%s\nendstream" % (len(packed), packed),
        b"<< /Type /Font /Subtype /Type1 /BaseFont /Helvetica >>",
        *(
            b"<< /Type /Page /Parent 2 0 R /MediaBox [0 0 612 792] /Contents 3 0 R "
            b"/Resources << /Font << /F1 4 0 R >> >> >>",
        )
        * pages,
    ]
    text, places = b"%PDF-1.4\n", []
    for number, part in enumerate(parts, 1):
        places.append(len(text))
        text += b"%d 0 obj\n%s\nendobj\n" % (number, part)
    start = len(text)
    text += b"xref\n0 %d\n0000000000 65535 f \n" % (len(parts) + 1) + b"".join(
        b"%010d 00000 n \n" % p for p in places
    )
    return text + b"trailer << /Size %d /Root 1 0 R >>\nstartxref\n%d\n%%%%EOF\n" % (len(parts) + 1, start)


def nested(deep: int = 12, wide: int = 20) -> bytes:
    """A PDF of one page whose drawing draws another twenty times, which draws another, and so on."""
    parts = [
        b"<< /Type /Catalog /Pages 2 0 R >>",
        b"<< /Type /Pages /Kids [3 0 R] /Count 1 >>",
        b"<< /Type /Page /Parent 2 0 R /MediaBox [0 0 612 792] /Contents 4 0 R "
        b"/Resources << /XObject << /X 6 0 R >> /Font << /F1 5 0 R >> >> >>",
        b"<< /Length 43 >>\nstream\nBT /F1 12 Tf 72 720 Td (Hydrilla) Tj ET /X Do\nendstream",
        b"<< /Type /Font /Subtype /Type1 /BaseFont /Helvetica >>",
    ]
    for n in range(deep):
        drawn = b"/X Do " * wide
        inner = b"/Resources << /XObject << /X %d 0 R >> >>" % (7 + n) if n + 1 < deep else b""
        parts.append(
            b"<< /Type /XObject /Subtype /Form /BBox [0 0 9 9] %s /Length %d >>\nstream\n%s\nendstream"
            % (inner, len(drawn), drawn)
        )
    text, places = b"%PDF-1.4\n", []
    for number, part in enumerate(parts, 1):
        places.append(len(text))
        text += b"%d 0 obj\n%s\nendobj\n" % (number, part)
    start = len(text)
    text += b"xref\n0 %d\n0000000000 65535 f \n" % (len(parts) + 1)
    text += b"".join(b"%010d 00000 n \n" % p for p in places)
    return text + b"trailer\n<< /Size %d /Root 1 0 R >>\nstartxref\n%d\n%%%%EOF\n" % (len(parts) + 1, start)


CELL = '<row r="1"><c r="A1" t="str"><v>Hydrilla verticillata</v></c></row>'
LINE = b"BT /F1 12 Tf 72 720 Td (Hydrilla) Tj ET\n"
HOSTILE = {
    "a cell at the far corner": (
        "xlsx",
        workbook(CELL + '<row r="1048576"><c r="XFD1048576"><v>7</v></c></row>'),
        True,
    ),
    "a merge of the whole sheet": (
        "xlsx",
        workbook(CELL, '</sheetData><mergeCells><mergeCell ref="A1:XFD1048576"/></mergeCells></worksheet>'),
        True,
    ),
    "a far cell in every row": (
        "xlsx",
        workbook("".join(f'<row r="{n}"><c r="XFD{n}"><v>1</v></c></row>' for n in range(1, 9000))),
        False,
    ),
    "a row of bare cells": ("xlsx", workbook(CELL + "<row>" + "<c/>" * 290_000 + "</row>"), None),
    "bare rows": ("xlsx", workbook(CELL + "<row/>" * 290_000), None),
    "formulas": (
        "xlsx",
        workbook(("<row>" + "<c><f>1</f><v>7</v></c>" * 10 + "</row>") * 4_800),
        True,
    ),
    "more cells than are read": ("xlsx", workbook("<row><c><v>7</v></c></row>" * 200_000), False),
    "a drawing without end": ("pdf", pdf(LINE * 400_000), False),
    "many pages of much": ("pdf", pdf(LINE * 2_400, 90), False),
    "drawings within drawings": ("pdf", nested(), None),
    "a few pages of much": ("pdf", pdf(LINE * 2_400, 6), None),
}
CODE = """
import re, resource, sys, pathlib
sys.path[:0] = sys.argv[3:]
import readers, pandas
resource.setrlimit(resource.RLIMIT_CPU, (60, 60))
before = resource.getrusage(resource.RUSAGE_SELF)
taken = readers.feed(sys.argv[1], pathlib.Path(sys.argv[2]).read_bytes())
after = resource.getrusage(resource.RUSAGE_SELF)
status = pathlib.Path("/proc/self/status")  # maxrss also counts the process that started this one, as it was then
most = re.search(r"VmHWM:\\s+(\\d+)", status.read_text())[1] if status.exists() else after.ru_maxrss
print(taken, after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime, int(most) // 1024)
"""


@POSIX
@pytest.mark.parametrize("what", HOSTILE)
def test_the_work_is_bounded(what, tmp_path):
    """Three seconds of a processor are meant, and six allowed: machines differ. 400 MB in all."""
    kind, data, taken = HOSTILE[what]
    (tmp_path / "f").write_bytes(data)
    words = [
        sys.executable,
        "-c",
        CODE,
        f"offer-{kind}",
        str(tmp_path / "f"),
        readers.__file__.rpartition("/")[0],
    ]
    done = subprocess.run(words, capture_output=True, text=True, timeout=300)
    assert done.returncode == 0, done.stderr[-500:]
    got, seconds, megabytes = done.stdout.split()
    assert taken is None or got == str(taken)
    assert float(seconds) < 6 and int(megabytes) < 400, done.stdout


def test_a_far_cell_and_a_tall_merge_lose_nothing(tmp_path):
    from plantpick.files.offers import read_offer

    for what in ("a cell at the far corner", "a merge of the whole sheet"):
        (tmp_path / "o.xlsx").write_bytes(HOSTILE[what][1])
        assert "Hydrilla" in read_offer(str(tmp_path / "o.xlsx"))[0].text


@pytest.mark.parametrize("which", ["geojson", "kml"])
def test_nested_and_long_outlines_take_time_as_they_are_long(which):
    """Two hundred thousand features in a queue; a polygon in a polygon, twenty thousand deep or long."""
    import json
    import time

    if which == "geojson":
        data = json.dumps({"type": "FeatureCollection", "features": [{"type": "Feature"}] * 200_000}).encode()
    else:
        data = (
            b"<kml>"
            + b"<Polygon><outerBoundaryIs>" * 9_000
            + b"</outerBoundaryIs></Polygon>" * 9_000
            + b"</kml>"
        )
    start = time.process_time()
    assert readers.feed(f"outline-{which}", data) is False
    assert time.process_time() - start < 10
