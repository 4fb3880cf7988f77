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


def test_a_cell_of_two_lines_is_one_plant_though_its_price_stands_between_them(tmp_path):
    """As a browser prints a table: names 13.5 points apart, the price halfway between them, rows 15.7 points apart."""
    items = [(x, 720.0, head) for x, head in zip((50.0, 200.0, 300.0), ("Plant", '4" pot', "1 gal"))]
    for i, (name, common, price) in enumerate((*LEFT, *RIGHT)):
        y = 700.0 - 29.2 * i
        small = "" if i == 2 else price.strip("$")
        items += [
            (50.0, y, name),
            (200.0, y - 6.75, small),
            (300.0, y - 6.75, "9.50"),
            (50.0, y - 13.5, common),
        ]
    lines = read(tmp_path, items)[1:]
    assert [line.text.split("   ")[0] for line in lines] == [
        f"{a} {b}".replace("'", "’") for a, b, _ in (*LEFT, *RIGHT)
    ]
    assert (lines[0].price, lines[0].stock) == ('4" pot $2.00', '4" pot')
    assert (lines[2].price, lines[2].stock) == ("1 gal $9.50", "1 gal")


def test_a_description_of_several_lines_stays_with_its_plant(tmp_path):
    items = [(x, 720.0, head) for x, head in zip((50.0, 200.0, 450.0), ("Plant", "Description", "Price"))]
    for i, (name, common, price) in enumerate(LEFT):
        y = 700.0 - 36 * i
        items += [(50.0, y, name), (200.0, y, f"{common} of the shore, sold in spring"), (450.0, y, price)]
        items += [(200.0, y - 11, "and in fall, strong roots, grown here from")]
        items += [(200.0, y - 22, "seed of this county")] if i % 2 else []
    lines = read(tmp_path, items)[1:]
    assert len(lines) == len(LEFT) and all(line.text.startswith(a) for line, (a, _, _) in zip(lines, LEFT))
    assert lines[1].price == "$1.40" and lines[1].text.endswith("seed of this county   $1.40")


def test_plants_beneath_a_heading_with_a_price_stay_plants_of_their_own(tmp_path):
    items = []
    for i, (name, _, price) in enumerate(LEFT):
        y = 700.0 - 60 * i
        items += [
            (50.0, y, f"SECTION {i}"),
            (300.0, y, f"{price} each"),
            (50.0, y - 12, name),
            (50.0, y - 24, RIGHT[i][0]),
        ]
    names = [line.text for line in read(tmp_path, items) if not line.text.startswith("SECTION")]
    assert names == [name for one, other in zip(LEFT, RIGHT) for name in (one[0], other[0])]


def test_headings_and_figures_that_run_together_are_parted_by_the_columns(tmp_path):
    """In the type of this page a blank is 2.5 points wide: the cells stand 3 to 4 points apart, as browsers print tables."""
    items = [
        (50.0, 720.0, "Plant"),
        (136.0, 720.0, '2" plug (50/tray)'),
        (207.0, 720.0, '4" pot'),
        (235.0, 720.0, "1 gal"),
    ]
    for i, (name, _, price) in enumerate(LEFT):
        y = 700.0 - 14 * i
        items += [(50.0, y, name), (207.0, y, "3.50"), (235.0, y, "8.00")]
        items += [(136.0, y, price.strip("$"))] if i != 1 else []
    lines = read(tmp_path, items)
    assert lines[0].header
    assert [line.price for line in lines[1:3]] == ["50/tray $2.00", '4" pot $3.50']
    assert lines[1].text == "Pontederia cordata   2.00   3.50   8.00"


def test_a_table_whose_cells_stand_at_the_bottom_of_their_rows(tmp_path):
    """As a typesetter does: lines 12 points apart, rows 18; one name is cut in its own column alone."""
    items = [
        (x, 740.0, head)
        for x, head in zip((50.0, 150.0, 260.0, 320.0), ("Latin name", "Common name", "Size", "Price"))
    ]
    for i, (name, common, price) in enumerate((*LEFT, *RIGHT)):
        y = 710.0 - 30 * i
        genus, _, epithet = name.partition(" ")
        first, _, last = common.rpartition(" ") if i != 3 else ("", "", common)
        items += [(50.0, y, genus), (150.0, y, first), (50.0, y - 12, epithet), (150.0, y - 12, last)]
        items += [(260.0, y - 12, "4 in"), (320.0, y - 12, price)]
    lines = read(tmp_path, [item for item in items if item[2]])[1:]
    assert [line.text for line in lines] == [
        f"{a}   {b}   4 in   {c}".replace("'", "’") for a, b, c in (*LEFT, *RIGHT)
    ]


def test_a_heading_above_a_priced_plant_stays_a_line_of_its_own(tmp_path):
    items = []
    for i, (name, _, price) in enumerate(LEFT):
        y = 700.0 - 60 * i
        items += [(50.0, y, f"SECTION {i}"), (50.0, y - 12, name), (300.0, y - 12, price)]
    lines = [line.text for line in read(tmp_path, items)]
    assert len(lines) == 2 * len(LEFT) and lines[1] == "Pontederia cordata   $2.00"
    items += [
        (50.0, 676.0 - 60 * i, other[0]) for i, other in enumerate(RIGHT)
    ]  # and one beneath, without a price
    lines = [line.text for line in read(tmp_path, items)]
    assert len(lines) == 3 * len(LEFT) and lines[1:3] == ["Pontederia cordata   $2.00", "Iris virginica"]
