"""Offers as files: encodings, tables, spreadsheets, PDF, and what is refused. All made here, all invented."""

from __future__ import annotations

import io
import json
import zipfile

import pytest

from plantpick.cli.app import run
from plantpick.errors import ExitStatus, PlantpickError
from plantpick.files import catalogue, offers, pond_file
from plantpick.files.offer_lines import lines_of_table, lines_of_text
from plantpick.files.offer_mail import lines_of_page
from plantpick.files.offer_sheets import _computed
from plantpick.files.offers import decode, read_offer
from plantpick.offers.check import check_offer
from plantpick.offers.counter import at_the_counter

pytestmark = pytest.mark.usefixtures("ranked_once")


LINE = "Parrot’s feather – Myriophyllum aquaticum ½ gal"


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be", "cp1252"])
def test_encodings_lose_nothing(tmp_path, encoding):
    path = tmp_path / "list.txt"
    path.write_bytes(f"{LINE}\r\nJuncus effusus\r\n".encode(encoding))
    assert [line.text for line in read_offer(str(path))] == [LINE, "Juncus effusus"]


def test_every_line_of_a_text_is_counted_as_an_editor_counts(tmp_path):
    """Blank lines at the end are lines too; a form feed ends none."""
    path = tmp_path / "list.txt"
    path.write_bytes(b"Juncus effusus\r\n\nTypha\n\x0cCarex stricta\n\n\n")
    assert [line.number for line in read_offer(str(path))] == [1, 2, 3, 4, 5, 6]
    path.write_bytes(b"Juncus effusus")
    assert len(read_offer(str(path))) == 1


def test_a_pdf_or_sheet_on_standard_input_is_read_as_such(tmp_path, monkeypatch):
    for data in (_pdf(["Pontederia cordata   $2.00"]), _workbook(tmp_path).read_bytes()):

        class Pasted:
            buffer = io.BytesIO(data)

        monkeypatch.setattr("sys.stdin", Pasted)
        assert any("Pontederia" in line.text or "Carex" in line.text for line in read_offer("-"))


@pytest.mark.parametrize(
    "data", [b"\x89PNG\r\n\x1a\n" + bytes(range(32)) * 40, b"\x7fELF" + bytes(200), bytes([1, 2, 3, 4] * 200)]
)
def test_binary_junk_is_refused(tmp_path, data):
    path = tmp_path / "list.txt"
    path.write_bytes(data)
    with pytest.raises(PlantpickError) as fault:
        read_offer(str(path))
    assert fault.value.code == "offer-file" and fault.value.status == ExitStatus.BAD_INPUT


@pytest.mark.parametrize(
    "data, name",
    [(b"", "a.txt"), (b"\n\n  \r\n", "a.csv"), (b"", "a.xlsx"), (b"", "a.pdf"), (b"\x00\x00", "a.txt")],
)
def test_empty_files_are_refused(tmp_path, data, name):
    (tmp_path / name).write_bytes(data)
    with pytest.raises(PlantpickError, match="empty|no text"):
        read_offer(str(tmp_path / name))


def test_missing_file_folder_and_old_office_file(tmp_path):
    (tmp_path / "old.xls").write_bytes(b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + bytes(600))
    for name, word in (("none.txt", "no such file"), ("", "folder"), ("old.xls", "old Office file")):
        with pytest.raises(PlantpickError, match=word):
            read_offer(str(tmp_path / name))


def test_a_file_of_200_mb_is_refused_before_it_is_read(tmp_path):
    path = tmp_path / "big.txt"
    with path.open("wb") as file:
        file.truncate(200 * 1024 * 1024)
    with pytest.raises(PlantpickError, match=r"larger than an offer can be \(64 MB\)"):
        read_offer(str(path))


def test_too_many_lines_are_refused(tmp_path, monkeypatch):
    monkeypatch.setattr(offers, "LINE_LIMIT", 100)
    (tmp_path / "many.txt").write_text("a\n" * 101)
    with pytest.raises(PlantpickError, match="more than 100 lines"):
        read_offer(str(tmp_path / "many.txt"))


@pytest.mark.parametrize("sign", [",", ";", "\t", "|"])
def test_tables_with_columns_in_any_order(tmp_path, sign):
    path = tmp_path / ("list.tsv" if sign == "\t" else "list.csv")
    path.write_text(
        "\n".join(
            sign.join(row)
            for row in [
                ("Price each", "Common name", "Scientific name", "Qty"),
                ("2", "pickerelweed", "Pontederia cordata", "120"),
                ("", "", "", ""),
                ("1.15", "soft rush", "Juncus effusus", "40"),
            ]
        )
        + "\n"
    )
    lines = read_offer(str(path))
    assert [line.number for line in lines] == [1, 2, 3, 4] and lines[0].header
    assert (
        lines[1].price == "$2.00 each"
        and "Pontederia cordata" in lines[1].text
        and lines[3].price == "$1.15 each"
    )


def test_columns_of_price_breaks_and_cells_with_line_ends(tmp_path):
    path = tmp_path / "list.csv"
    path.write_text('Plant,1-9,10-49,50+\n"Juncus effusus\nsoft rush",2.50,2.25,1.95\nCarex stricta,3,2,1\n')
    lines = read_offer(str(path))
    assert lines[1].price == "1-9 $2.50, 10-49 $2.25, 50+ $1.95" and "soft rush" in lines[1].text
    assert [line.number for line in lines] == [1, 2, 4]


def test_a_quote_that_is_never_closed_swallows_no_row(tmp_path):
    """Every plant behind it is still read on its own line, and inches are no quotes."""
    path = tmp_path / "list.csv"
    path.write_text(
        'Plant,Size,Price\n"Juncus effusus,plug,1\nTypha latifolia,2" plug,1\nPistia,"cup",2\n' * 20
    )
    lines = read_offer(str(path))
    assert [line.number for line in lines] == list(range(1, 81))
    assert [line.text.split()[0] for line in lines[:4]] == ["Plant", "Juncus", "Typha", "Pistia"]


def test_a_line_too_long_to_read_is_refused_not_cut(tmp_path):
    path = tmp_path / "list.txt"
    path.write_text("Juncus effusus\n" + "plug " * 3000 + "Hydrilla verticillata\n")
    assert read_offer(str(path))[1].text.endswith("Hydrilla verticillata")
    path.write_text("Juncus effusus\n" + "plug " * 5000 + "Hydrilla verticillata\n")
    with pytest.raises(PlantpickError, match="line 2: .*letters"):
        read_offer(str(path))


def _workbook(tmp_path):
    from openpyxl import Workbook

    book = Workbook()
    sheet = book.active
    sheet.append(["Genus", "Species", "Price"])
    for row in (
        ["Carex", "stricta", 2.5],
        [None, "lurida", 2.75],
        ["Juncus", "effusus", "=1+1"],
        [None, None, None],
        ['=HYPERLINK("http://x","Typha latifolia")', None, 3],
    ):
        sheet.append(row)
    sheet.merge_cells("A2:A3")
    hidden = book.create_sheet("back room")
    hidden.append(["Pistia stratiotes", 1.5])
    hidden.sheet_state = "hidden"
    path = tmp_path / "list.xlsx"
    book.save(path)
    return path


def test_spreadsheet_merged_cells_formulas_and_hidden_sheets(tmp_path):
    lines = read_offer(str(_workbook(tmp_path)))
    texts = [line.text for line in lines]
    assert (
        lines[0].header and texts[1].startswith("Carex   stricta") and texts[2].startswith("Carex   lurida")
    )
    assert any("Typha latifolia" in t for t in texts) and any("formula without a value" in t for t in texts)
    assert "(hidden)" in next(line.where for line in lines if "Pistia" in line.text)
    assert [line.number for line in lines] == list(range(1, len(lines) + 1))


def test_packed_files_that_are_no_sheet_or_a_bomb(tmp_path):
    good = _workbook(tmp_path).read_bytes()
    bomb = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(good)) as old, zipfile.ZipFile(bomb, "w", zipfile.ZIP_DEFLATED) as new:
        for item in old.infolist():
            new.writestr(item.filename, old.read(item.filename))
        new.writestr("xl/media/blob.xml", bytes(40 * 1024 * 1024))
    plain = io.BytesIO()
    with zipfile.ZipFile(plain, "w") as archive:
        archive.writestr("readme.txt", "hello")
    for data, word in (
        (bomb.getvalue(), "unpacks to more"),
        (plain.getvalue(), "packed file"),
        (good[:300], "broken"),
        (b"PK\x03\x04" + bytes(100), "broken"),
    ):
        path = tmp_path / "bad.xlsx"
        path.write_bytes(data)
        with pytest.raises(PlantpickError, match=word):
            read_offer(str(path))


def _pdf(lines: list[str]) -> bytes:
    """A small PDF of one page with the lines as text (written by hand after ISO 32000-1, 7.5)."""
    content = "BT /F1 11 Tf 50 740 Td 16 TL " + " ".join(f"({line}) Tj T*" for line in lines) + " ET"
    objects = [
        "<< /Type /Catalog /Pages 2 0 R >>",
        "<< /Type /Pages /Kids [3 0 R] /Count 1 >>",
        "<< /Type /Page /Parent 2 0 R /MediaBox [0 0 612 792] /Contents 4 0 R "
        "/Resources << /Font << /F1 5 0 R >> >> >>",
        f"<< /Length {len(content)} >>\nstream\n{content}\nendstream",
        "<< /Type /Font /Subtype /Type1 /BaseFont /Helvetica >>",
    ]
    out, places = b"%PDF-1.4\n", []
    for i, text in enumerate(objects, 1):
        places.append(len(out))
        out += f"{i} 0 obj\n{text}\nendobj\n".encode()
    start = len(out)
    out += f"xref\n0 {len(objects) + 1}\n0000000000 65535 f \n".encode() + b"".join(
        f"{p:010d} 00000 n \n".encode() for p in places
    )
    return out + f"trailer\n<< /Size {len(objects) + 1} /Root 1 0 R >>\nstartxref\n{start}\n%%EOF".encode()


def test_pdf_with_text(tmp_path):
    (tmp_path / "list.pdf").write_bytes(_pdf(["Pontederia cordata   $2.00", "Pistia stratiotes   $1.50"]))
    lines = read_offer(str(tmp_path / "list.pdf"))
    assert [line.text.split()[0] for line in lines if line.text] == ["Pontederia", "Pistia"]
    assert lines[0].where == "page 1"


def test_pdf_scanned_locked_or_broken(tmp_path):
    from pypdf import PdfReader, PdfWriter

    writer = PdfWriter(PdfReader(io.BytesIO(_pdf(["Pontederia cordata"]))))
    writer.encrypt("secret", algorithm="RC4-128")
    locked = io.BytesIO()
    writer.write(locked)
    for data, word in (
        (_pdf([]), "scan"),
        (locked.getvalue(), "password"),
        (b"%PDF-1.4\nnothing", "broken"),
        (_pdf(["x"])[:120], "broken"),
    ):
        (tmp_path / "bad.pdf").write_bytes(data)
        with pytest.raises(PlantpickError, match=word):
            read_offer(str(tmp_path / "bad.pdf"))


def test_command_reads_a_file_and_tells_the_shell(tmp_path, capsys):
    path = tmp_path / "offer.txt"
    path.write_text("Pontederia cordata $2.00\n")
    assert run(["offer", "demo", str(path), "--format", "json"]) == ExitStatus.OK
    assert json.loads(capsys.readouterr().out)["lines"][0]["verdict"].startswith("buy")
    path.write_text("Pontederia cordata $2.00\nPistia stratiotes $1\n")
    assert run(["offer", "demo", str(path), "--format", "csv"]) == ExitStatus.LEAVE_SOMETHING
    assert capsys.readouterr().out.startswith("line,text,candidates,sure,verdict,code,reason,form,size,")
    assert run(["offer", "demo", str(tmp_path / "none.txt")]) == ExitStatus.BAD_INPUT


def test_command_reads_pasted_text(monkeypatch, capsys):
    class Pasted:
        buffer = io.BytesIO(b"Water lettuce 3 for $5\r\n")

    monkeypatch.setattr("sys.stdin", Pasted)
    assert run(["offer", "demo", "-"]) == ExitStatus.LEAVE_SOMETHING
    assert "Water lettuce" in capsys.readouterr().out


def test_demo_offer_shows_every_section(capsys):
    assert run(["offer", "demo", "demo"]) == ExitStatus.LEAVE_SOMETHING
    told = capsys.readouterr().out
    heads = (
        "We could not read: 1",
        "Leave it: 7",
        "Ask first: 4",
        "Buy: ",
        "Ask the seller: ",
    )
    places = [told.index(f"\n{head}") for head in heads]
    assert places == sorted(places) and "When it arrives" not in told
    assert told.rstrip().splitlines()[-2].startswith("Law: Mississippi's list ")
    assert run(["offer", "demo", "demo", "--why"]) == ExitStatus.LEAVE_SOMETHING
    told = capsys.readouterr().out
    for part in (*heads, "When it arrives", "Take care", "Law"):
        assert f"\n{part}" in told
    assert "Iris psuedacorus is read as Iris" in " ".join(told.split())


def test_decode_prefers_the_mark():
    assert decode("é".encode("utf-8-sig"), "x") == "é" and decode(b"caf\xe9", "x") == "café"


@pytest.mark.parametrize(
    "data, kind",
    [
        (b"\xff\xd8\xff\xe0" + bytes(200), "JPEG"),
        (b"\x89PNG\r\n\x1a\n" + bytes(200), "PNG"),
        (b"\x00\x00\x00\x18ftypheic" + bytes(200), "photograph"),
        (b"II*\x00" + bytes(200), "TIFF"),
        (b"RIFF\x10\x00\x00\x00WEBPVP8 " + bytes(200), "WebP"),
    ],
)
def test_a_photograph_is_refused_with_what_to_do(tmp_path, data, kind):
    (tmp_path / "list.jpg").write_bytes(data)
    with pytest.raises(PlantpickError, match=kind) as fault:
        read_offer(str(tmp_path / "list.jpg"))
    assert "paste" in str(fault.value) and "type the lines" in str(fault.value)


def test_a_forwarded_mail_is_read_without_its_marks(tmp_path):
    (tmp_path / "mail.txt").write_text(
        "> On Monday Rose Marsh wrote:\n> > Juncus effusus plug $1.20\n>\n> Thanks\n"
    )
    texts = [line.text for line in read_offer(str(tmp_path / "mail.txt"))]
    assert texts[1] == "Juncus effusus plug $1.20"


def test_a_stored_mail_gives_its_text_and_names_what_hangs_on_it(tmp_path):
    from email.message import EmailMessage

    mail = EmailMessage()
    mail["From"], mail["To"], mail["Subject"] = "rose@example.com", "owner@example.com", "Plants"
    mail["Message-ID"] = "<1@example.com>"
    mail.set_content(
        "Pontederia cordata, Pickerelweed – 2 in plugs at $1.40 each, as many as you want of them.\n"
    )
    mail.add_attachment(b"%PDF", maintype="application", subtype="pdf", filename="list.pdf")
    (tmp_path / "mail.eml").write_bytes(bytes(mail))
    lines = read_offer(str(tmp_path / "mail.eml"))
    texts = [line.text for line in lines]
    assert texts[0].startswith("Pontederia cordata, Pickerelweed – 2 in plugs") and "list.pdf" in texts[-1]
    answer = check_offer(lines, pond_file.read_pond("demo"), catalogue.load(by_name=True))
    assert answer.lines[-1].verdict == "ask first" and answer.lines[-1].code == "not opened"
    assert at_the_counter(answer).unread[0].first is answer.lines[-1], "what was not read stands first"


def test_encoded_letters_of_a_mail_are_put_right(tmp_path):
    (tmp_path / "mail.txt").write_text(
        "Saururus cernuus, Lizard=E2=80=99s Tail, bare ro=\not $2.00\nPontederia cor=\ndata =243\n"
    )
    texts = [line.text for line in read_offer(str(tmp_path / "mail.txt"))]
    assert texts == ["Saururus cernuus, Lizard’s Tail, bare root $2.00", "Pontederia cordata $3"]


def test_a_saved_web_page_is_read_by_its_blocks_and_tables(tmp_path):
    (tmp_path / "page.html").write_text(
        "<html><head><title>Plants</title><style>p {color: red}</style></head><body><div><h2>Pickerelweed</h2>"
        "<p>Pontederia <i>cordata</i></p><span>$9.00</span></div><script>var lily = 1</script>"
        "<table><tr><th>Plant</th><th>Each</th><th>25+</th></tr>"
        "<tr><td>Juncus effusus</td><td>2.00</td><td>1.80</td></tr></table></body></html>"
    )
    lines = read_offer(str(tmp_path / "page.html"))
    assert [line.text for line in lines[:3]] == ["Pickerelweed", "Pontederia cordata", "$9.00"]
    assert lines[3].header and lines[4].price == "$2.00 each, 25+ $1.80"
    assert not any("lily" in line.text or "color" in line.text for line in lines)


def test_a_sheet_whose_headings_are_merged_over_two_rows(tmp_path):
    from openpyxl import Workbook

    book = Workbook()
    sheet = book.active
    for row in (
        ["Invented Wetland Plants, price list"],
        ["Plant", None, "2 in plug", None, "Quart", None],
        ["Botanical name", "Common name", "Each", "50+", "Each", "50+"],
        ["SEDGES"],
        ["Carex stricta", "Tussock sedge", 1.2, 0.95, 5, 4.5],
        ["Iris virginica", "Southern blue flag", None, None, 6.25, 5.5],
    ):
        sheet.append(row)
    for span in ("A1:F1", "A2:B2", "C2:D2", "E2:F2", "A4:F4"):
        sheet.merge_cells(span)
    book.save(tmp_path / "list.xlsx")
    lines = read_offer(str(tmp_path / "list.xlsx"))
    assert [line.header for line in lines] == [False, True, True, False, False, False]
    assert [line.price for line in lines[4:]] == ["$1.20 each, 50+ $0.95", "$6.25 each, 50+ $5.50"]


@pytest.mark.parametrize(
    ("formula", "shows"),
    [
        ("=SUM(D2:D3)", None),
        ("=B2*1.1", None),
        ("=ROUND(C4,2)", None),
        ('=IF(A1>0,"Carex lurida","")', "Carex lurida"),
    ],
)
def test_a_sum_that_was_saved_without_its_value_is_no_line(formula, shows):
    """A formula that can name a plant still shows what it says."""
    assert _computed(None, formula) == shows
    assert "VLOOKUP" in _computed(None, "=VLOOKUP(A2,names!A:B,2)")


def test_copied_text_loses_the_marks_of_its_page(tmp_path):
    """ "br" is bare root; a mark in the middle of a line ends one on the page."""
    (tmp_path / "a.txt").write_text(
        "Brown-Eyed Susan <em>Rudbeckia</em> triloba<br />\nw<b>here</b> it grows<br/>\nJuncus effusus $2<br>Pistia stratiotes $1\n"
        "Depth <6 in, height >2 ft\n"
    )
    assert [line.text for line in read_offer(str(tmp_path / "a.txt"))] == [
        "Brown-Eyed Susan Rudbeckia triloba",
        "where it grows",
        "Juncus effusus $2",
        "Pistia stratiotes $1",
        "Depth <6 in, height >2 ft",
    ]
    (tmp_path / "a.csv").write_text("Name,Body,Price\nJuncus effusus,<p>Soft rush<br>native</p>,2.00\n")
    assert read_offer(str(tmp_path / "a.csv"))[1].text == "Juncus effusus   Soft rush native   2.00"


TYPED = (  # made up: a page typed in two columns with ragged edges
    ("CONIFERS, BARE ROOT", "___ RIVER BIRCH - potted, $25.00 each, a"),
    ("___ BALD CYPRESS - large tree of the swamp,", "tree of wet banks with bark that peels"),
    ("      sheds its needles in fall", "___ BLACK WILLOW - fast, brittle, its roots"),
    ("___ LOBLOLLY PINE - large tree of old fields", "hold a bank, and run to every pipe"),
    ("      and of wet woods in the South", "___ BUTTONBUSH - round white flowers all"),
    ("___ EASTERN RED CEDAR - evergreen, for", "summer, seeds for ducks, likes it wet"),
)


def test_a_page_typed_in_two_columns_is_read_column_by_column(tmp_path):
    text = "\n".join(f"{left:<50}{' ' * (i % 3)}{right}" for i, (left, right) in enumerate(TYPED))
    (tmp_path / "a.txt").write_text(text)
    lines = read_offer(str(tmp_path / "a.txt"))
    assert [line.text for line in lines] == [" ".join(part.split()) for side in zip(*TYPED) for part in side]
    assert [line.number for line in lines] == [1, 2, 3, 4, 5, 6] * 2


def test_a_typed_table_stays_a_table(tmp_path):
    rows = [
        ("Pontederia cordata", "Pickerelweed", "$2.00"),
        ("Juncus effusus", "Soft rush, in plugs of two inches", "$1.00"),
    ] * 4
    (tmp_path / "a.txt").write_text("\n".join(f"{a:<40}{b:<40}{c}" for a, b, c in rows))
    assert [line.text.split("   ")[0] for line in read_offer(str(tmp_path / "a.txt"))] == [
        a for a, _, _ in rows
    ]


def test_cells_of_a_page_that_run_over_columns_and_rows(tmp_path):
    """A heading over two columns, and a plant beside its three sizes: each size is an offer of the plant."""
    (tmp_path / "page.html").write_text(
        "<html><body><table><tr><th rowspan=2>Plant</th><th colspan=2>2 in plug</th><th colspan='2'>Quart</th></tr>"
        "<tr><th>Each</th><th>50+</th><th>Each</th><th>50+</th></tr>"
        "<tr><td>Pontederia cordata</td><td>1.20</td><td>0.95</td><td>5.00</td><td>4.50</td></tr>"
        "<tr><td colspan=5>GRASSES</td></tr><tr><td>Juncus effusus</td><td></td><td></td><td>5.25</td><td>4.75</td></tr></table>"
        "<table><tr><th>Plant</th><th>Size</th><th>Price</th></tr><tr><td rowspan=3>Iris virginica</td><td>1 gal</td><td>8.95</td></tr>"
        "<tr><td>3 gal</td><td>20.00</td></tr><tr><td>plug</td><td>1.50</td></tr><tr><td>Typha latifolia</td><td>plug</td><td>1.00</td></tr>"
        "</table><table><tr><td rowspan=99999999 colspan=99999999>Acorus</td><td>x</td></tr></table></body></html>"
    )
    lines = read_offer(str(tmp_path / "page.html"))
    assert [(line.text.split("   ")[0], line.price, line.stock) for line in lines if line.price] == [
        ("Pontederia cordata", "$1.20 each, 50+ $0.95", "2 in plug Each"),
        ("Juncus effusus", "$5.25 each, 50+ $4.75", "Quart Each"),
        ("Iris virginica", "$8.95", ""),
        ("Iris virginica", "$20.00", ""),
        ("Iris virginica", "$1.50", ""),
        ("Typha latifolia", "$1.00", ""),
    ]
    assert lines[-1].text == "Acorus   x"


@pytest.mark.parametrize(
    "row",
    [
        "Common reed,plug",
        "Obedient plant,plug,quart",
        "Common rush,plug,quart,call",
        "Pitcher plant,flat,",
        "plug,Common reed,flat",
    ],
)
def test_a_plant_without_a_price_is_no_row_of_headings(row):
    """ "common" and "plant" stand in headings, and in names; what a row of headings says is dropped."""
    *_, line = lines_of_table(f"Plant,Form,Size,Price\n{row}\n", ",")
    assert not line.header
    for text in (row.replace(",", "   "), row.replace(",", " ")):
        assert not any(line.header for line in lines_of_text(f"{text}\n"))


@pytest.mark.parametrize(
    "head",
    [
        "Botanical Name,Common Name,Size,Price",
        "Aquatic plants,Size,Each",
        "Latin (scientific) name,Price per tray",
        "Item #,Description,Unit,Price",
    ],
)
def test_a_row_of_headings_is_one(head):
    assert next(lines_of_table(f"{head}\n", ",")).header


@pytest.mark.parametrize(
    ("price", "shown"),
    [
        ("<span>$</span>5<sup>99</sup>", "$5.99"),
        ("$5<sup>1</sup>", "$5 1"),  # a note's mark
        ("<del>$12.00</del> <ins>$9.00</ins>", "$9.00"),
        ("<s>$12.00</s> $9.00", "$9.00"),
    ],
)
def test_a_page_s_raised_cents_and_struck_out_prices(price, shown):
    page = f"<html><body><div>Soft rush {price}</div><p>Thank you</p></body></html>"
    assert [line.text for line in lines_of_page(page)][0] == f"Soft rush {shown}"
