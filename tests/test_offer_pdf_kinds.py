"""PDFs as programs make them: tables with and without rules, two columns, pages on their side, locked ones and scans."""

from __future__ import annotations

import pytest

from plantpick.errors import PlantpickError
from plantpick.files.offers import read_offer

pytest.importorskip("reportlab")
from reportlab.lib import colors
from reportlab.lib.pagesizes import letter
from reportlab.lib.pdfencrypt import StandardEncryption
from reportlab.pdfgen import canvas
from reportlab.platypus import SimpleDocTemplate, Table, TableStyle

ROWS = (  # made up
    ("Pontederia cordata", "pickerelweed", "plug", "$1.45"),
    ("Sagittaria latifolia", "duck potato", "bare root", "$0.95"),
    ("Peltandra virginica", "arrow arum", "quart", "$6.50"),
    ("Saururus cernuus", "lizard's tail", "plug", "$1.60"),
)


@pytest.mark.parametrize("rules", [True, False])
def test_a_table_is_read_row_by_row(tmp_path, rules):
    path = str(tmp_path / "table.pdf")
    table = Table([("Botanical name", "Common name", "Size", "Price"), *ROWS])
    if rules:
        table.setStyle(TableStyle([("GRID", (0, 0), (-1, -1), 0.5, colors.black)]))
    SimpleDocTemplate(path, pagesize=letter).build([table])
    told = [line.text.split("   ") for line in read_offer(path) if not line.header]
    assert [tuple(cells) for cells in told] == list(ROWS)


def two_columns(path: str, encrypt=None) -> str:
    page = canvas.Canvas(path, pagesize=letter, encrypt=encrypt)
    for x, rows in ((50, ROWS[:2]), (320, ROWS[2:])):
        for i, (name, common, size, price) in enumerate(rows * 4):
            page.drawString(x, 740 - 40 * i, name)
            page.drawString(x, 728 - 40 * i, f"{common}, {size} {price}")
    page.save()
    return path


def test_columns_are_read_one_after_the_other(tmp_path):
    lines = [line.text for line in read_offer(two_columns(str(tmp_path / "two.pdf")))]
    names = [text for text in lines if "$" not in text]
    assert names == [name for name, *_ in (*ROWS[:2] * 4, *ROWS[2:] * 4)]


def test_a_page_on_its_side(tmp_path):
    page = canvas.Canvas(str(tmp_path / "side.pdf"), pagesize=(792, 612))
    page.translate(780, 20)
    page.rotate(90)
    for i, row in enumerate(ROWS):
        page.drawString(20, 740 - 20 * i, "   ".join(row))
    page.save()
    assert [line.text for line in read_offer(str(tmp_path / "side.pdf"))] == ["   ".join(row) for row in ROWS]


def test_what_is_locked_is_refused_and_what_only_forbids_copying_is_read(tmp_path):
    closed = two_columns(str(tmp_path / "closed.pdf"), StandardEncryption("secret", ownerPassword="owner"))
    with pytest.raises(PlantpickError, match="password"):
        read_offer(closed)
    opened = two_columns(str(tmp_path / "open.pdf"), StandardEncryption("", ownerPassword="owner"))
    assert any("Pontederia cordata" in line.text for line in read_offer(opened))


def test_a_scan_is_refused_with_what_to_do(tmp_path):
    image = pytest.importorskip("PIL.Image")
    image.new("RGB", (200, 200), "white").save(tmp_path / "scan.png")
    page = canvas.Canvas(str(tmp_path / "scan.pdf"), pagesize=letter)
    page.drawImage(str(tmp_path / "scan.png"), 0, 0, 600, 600)
    page.save()
    with pytest.raises(PlantpickError, match="text recognition"):
        read_offer(str(tmp_path / "scan.pdf"))
