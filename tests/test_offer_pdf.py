"""PDF price lists: two columns, tables, titles across the page. All are made here and made up."""

from __future__ import annotations

import pytest

from plantpick.files.offers import read_offer
from plantpick.files.page_layout import Letter, rows_of_page

LEFT = [
    ("Pontederia cordata", "Pickerelweed", "$2.00"),
    ("Sagittaria latifolia", "Duck Potato", "$1.40"),
    ("Juncus effusus", "Soft Rush", "$1.00"),
    ("Saururus cernuus", "Lizard's Tail", "$1.80"),
    ("Peltandra virginica", "Arrow Arum", "$2.10"),
    ("Carex stricta", "Tussock Sedge", "$0.95"),
]
RIGHT = [
    ("Iris virginica", "Southern Blue Flag", "$2.50"),
    ("Nuphar advena", "Spatterdock", "$3.00"),
    ("Hibiscus moscheutos", "Rose Mallow", "$4.00"),
    ("Schoenoplectus tabernaemontani", "Softstem Bulrush", "$1.10"),
    ("Pistia stratiotes", "Water Lettuce", "$1.00"),
    ("Typha latifolia", "Common Cattail", "$0.80"),
]


def page(items: list[tuple[float, float, str]]) -> bytes:
    """A PDF of one page with each text at its place (written by hand after ISO 32000-1, 7.5 and 9.4)."""

    def escaped(text: str) -> str:
        return text.replace("\\", "\\\\").replace("(", "\\(").replace(")", "\\)")

    drawn = "BT\n" + "".join(f"/F1 9 Tf 1 0 0 1 {x} {y} Tm ({escaped(t)}) Tj\n" for x, y, t in items) + "ET"
    parts = [
        "<< /Type /Catalog /Pages 2 0 R >>",
        "<< /Type /Pages /Kids [5 0 R] /Count 1 >>",
        "<< /Type /Font /Subtype /Type1 /BaseFont /Helvetica >>",
        f"<< /Length {len(drawn)} >>\nstream\n{drawn}\nendstream",
        "<< /Type /Page /Parent 2 0 R /MediaBox [0 0 612 792] /Contents 4 0 R "
        "/Resources << /Font << /F1 3 0 R >> >> >>",
    ]
    out, places = b"%PDF-1.4\n", []
    for number, part in enumerate(parts, 1):
        places.append(len(out))
        out += f"{number} 0 obj\n{part}\nendobj\n".encode("latin-1")
    start = len(out)
    out += f"xref\n0 {len(parts) + 1}\n0000000000 65535 f \n".encode()
    out += "".join(f"{place:010d} 00000 n \n" for place in places).encode()
    return out + f"trailer\n<< /Size {len(parts) + 1} /Root 1 0 R >>\nstartxref\n{start}\n%%EOF".encode()


def read(tmp_path, items):
    (tmp_path / "list.pdf").write_bytes(page(items))
    return read_offer(str(tmp_path / "list.pdf"))


def rows(columns: list[list[str]], xs: list[float], top: float = 710.0):
    return [
        (x, top - 14 * i, cell)
        for i, row in enumerate(columns)
        for x, cell in zip(xs, row, strict=True)
        if cell
    ]


def test_two_columns_are_read_one_after_the_other_below_a_title(tmp_path):
    items = [
        (60, 740, "PLANTS OF AN INVENTED NURSERY, SPRING PRICE LIST, all prices each, ask for more of any")
    ]
    items += rows([[f"{a} - {b}  {c}"] for a, b, c in LEFT], [50.0])
    items += rows([[f"{a} - {b}  {c}"] for a, b, c in RIGHT], [320.0])
    lines = [line.text for line in read(tmp_path, items)]
    assert lines[1:] == [f"{a} - {b} {c}".replace("'", "’") for a, b, c in (*LEFT, *RIGHT)]


def test_a_page_that_was_turned_and_one_locked_without_a_password(tmp_path):
    import io

    from pypdf import PdfReader, PdfWriter

    items = rows([[f"{a} {c}"] for a, _, c in LEFT], [50.0]) + rows(
        [[f"{a} {c}"] for a, _, c in RIGHT], [320.0]
    )
    for change in (lambda w: w.pages[0].rotate(90), lambda w: w.encrypt("", "owner", algorithm="RC4-128")):
        writer = PdfWriter(PdfReader(io.BytesIO(page(items))))
        change(writer)
        writer.write(tmp_path / "list.pdf")
        lines = [line.text for line in read_offer(str(tmp_path / "list.pdf"))]
        assert lines == [f"{a} {c}" for a, _, c in (*LEFT, *RIGHT)]


def test_columns_whose_rows_do_not_stand_on_one_height(tmp_path):
    items = rows([[f"{a} {c}"] for a, _, c in LEFT], [50.0]) + rows(
        [[f"{a} {c}"] for a, _, c in RIGHT], [320.0], 704.0
    )
    lines = [line.text.split()[0] for line in read(tmp_path, items)]
    assert lines == [a.split()[0] for a, _, _ in (*LEFT, *RIGHT)]


def test_three_columns(tmp_path):
    thirds = [LEFT[:6], RIGHT[:6], [(f"Carex {e}", "", "$1.00") for e in "lurida comosa crinita intumescens lupulina vulpinoidea".split()]]  # fmt: skip
    items = [item for x, part in zip((40.0, 230.0, 420.0), thirds) for item in rows([[f"{a} {c}"] for a, _, c in part], [x])]  # fmt: skip
    lines = [line.text.rsplit(" ", 1)[0] for line in read(tmp_path, items)]
    assert lines == [a for part in thirds for a, _, _ in part]


def test_a_table_stays_a_table_and_its_headings_say_what_the_figures_are(tmp_path):
    head = ["Scientific name", "Common name", "Size", "Each", "25+"]
    body = [[a, b, "2 in plug", c.strip("$"), f"{float(c[1:]) * 0.9:.2f}"] for a, b, c in (*LEFT, *RIGHT)]
    lines = read(tmp_path, rows([head, *body], [50.0, 220.0, 340.0, 420.0, 480.0]))
    assert lines[0].header and len(lines) == 13
    assert lines[1].price == "$2.00 each, 25+ $1.80" and lines[1].text.startswith("Pontederia cordata")


def test_a_cell_that_is_missing_moves_no_figure_under_another_heading(tmp_path):
    head = ["Scientific name", "Common name", "Price each", "Stock number"]
    body = [
        [a, "" if i == 1 else b, "" if i == 2 else c.strip("$"), str(900 + i)]
        for i, (a, b, c) in enumerate(LEFT)
    ]
    lines = read(tmp_path, rows([head, *body], [50.0, 220.0, 340.0, 440.0]))
    assert [line.price for line in lines[1:4]] == ["$2.00 each", "$1.40 each", ""]


def test_a_table_of_two_names_is_not_taken_apart(tmp_path):
    lines = read(tmp_path, rows([[a, b] for a, b, _ in (*LEFT, *RIGHT)], [50.0, 300.0]))
    assert lines[0].text == "Pontederia cordata   Pickerelweed" and len(lines) == 12


def test_two_tables_side_by_side(tmp_path):
    head = [["Plant", "", "Price", "Plant", "", "Price"]]
    body = [[*one, *other] for one, other in zip(LEFT, RIGHT)]
    lines = read(tmp_path, rows([*head, *body], [50.0, 140.0, 250.0, 320.0, 460.0, 545.0]))
    names = [line.text.split("  ")[0] for line in lines if not line.header]
    assert [n.split()[0] for n in names] == [a.split()[0] for a, _, _ in (*LEFT, *RIGHT)]
    assert sum(line.header for line in lines) == 2


@pytest.mark.parametrize("text", ["", " "])
def test_a_page_without_letters_has_no_rows(text):
    assert rows_of_page([Letter(text, 0, 1, 0, 9)]) == []
