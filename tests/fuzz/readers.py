"""Every reader with seeds to start from: what the property tests (test_hard_use.py) and the fuzzer (fuzz.py) feed.

A reader may take what it is given, or refuse it with a PlantpickError that names at least one problem in words.
"""

from __future__ import annotations

import atexit
import io
import shutil
import tempfile
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from functools import lru_cache
from pathlib import Path

from plantpick.errors import PlantpickError, Problem
from plantpick.files import catalogue, pond_file
from plantpick.files.catalogue import data_folder

SHM = Path("/dev/shm")
FOLDER = Path(tempfile.mkdtemp(prefix="plantpick-fuzz-", dir=SHM if SHM.is_dir() else None))
atexit.register(shutil.rmtree, FOLDER, ignore_errors=True)


@dataclass(frozen=True)
class Reader:
    """`read(path)` reads a file named `name`; `seeds()` are sound files to change."""

    name: str
    read: Callable[[Path], object]
    seeds: Callable[[], list[bytes]]


def demo(*names: str) -> Callable[[], list[bytes]]:
    return lambda: [(data_folder() / "demo" / name).read_bytes() for name in names]


def _pond(path: Path) -> object:
    return pond_file.read_pond(str(path))


def _pond_table(path: Path) -> object:
    from plantpick.files.pond_table import read_pond_table

    asked = read_pond_table(path)
    for one in asked[:3]:
        try:
            one.read()
        except PlantpickError as fault:
            sound(fault)
    return asked


def _catalogue(path: Path) -> object:
    """One table of the catalogue; the others are as they should be, but small."""
    problems: list[Problem] = []
    catalogue.read_table(path.parent, path.stem, problems)
    if problems:
        raise PlantpickError("catalogue", problems)
    return None


def _survey(which: str) -> Callable[[Path], object]:
    def read(path: Path) -> object:
        from plantpick.files import outlines, survey_tables

        problems: list[Problem] = []
        made = {
            "outline": outlines.read_outline,
            "contours": survey_tables.read_contours,
            "soundings": survey_tables.read_soundings,
        }[which](path, problems)
        if problems:
            raise PlantpickError("pond-file", problems)
        assert made is not None, "nothing came of it and nothing was said"
        return made

    return read


def _surveyed(path: Path) -> object:
    """Soundings with the demo pond's outline: the whole way to a survey."""
    from plantpick.files import outlines
    from plantpick.files.surveys import read_survey

    problems: list[Problem] = []
    outline = path.parent / "outline.geojson"
    if not outline.exists():
        outline.write_bytes((data_folder() / "demo" / "outline.geojson").read_bytes())
    outlined = outlines.read_outline(outline, problems)
    made = read_survey(
        path.parent,
        {"soundings": path.name},
        3.1,
        9.0,
        [{"length_ft": 1550.0, "slope": 6.0}],
        problems,
        outlined,
        outline.name,
    )
    if problems:
        raise PlantpickError("pond-file", problems)
    assert made is not None, "nothing came of it and nothing was said"
    return made


@lru_cache(maxsize=1)
def _plants():
    return catalogue.load()


@lru_cache(maxsize=1)
def _finder() -> Callable[[str], str]:
    """The catalogue's look-up for exact names; the nearest of nine thousand names for each slip would only be slow here."""
    plants = _plants()
    table = plants.tables["names"]
    known = {name.lower(): plant for plant, name in zip(table["plant_id"], table["name"])}

    def find(name: str) -> str:
        if name.strip().lower() not in known:
            raise PlantpickError("no-such-plant", Problem("", f'no plant is called "{name}".'))
        return known[name.strip().lower()]

    return find


def _log(path: Path) -> object:
    from plantpick.files.log import read_log

    return read_log(path, pond_file.read_pond("demo"), _finder(), date(2027, 9, 15))


def _offer(path: Path) -> object:
    from plantpick.files.offers import read_offer

    return read_offer(str(path))


def _answers(path: Path) -> object:
    from plantpick.files.pond_edit import PondDocument, fill_from, read_answers

    document = PondDocument.open(path.with_name("answered.toml"))
    fill_from(document, read_answers(path))
    return document


def _workbook() -> list[bytes]:
    from openpyxl import Workbook

    book = Workbook()
    for row in (
        ("Plant", "Size", "Price", "Qty"),
        ("Pickerelweed", "plug", 2.75, 50),
        ("Nuphar advena", "bare root", 6, None),
        ("eelgrass", "bunch of 10", "$18.00", date(2026, 5, 1)),
    ):
        book.active.append(row)
    made = io.BytesIO()
    book.save(made)
    return [made.getvalue()]


def _pdf() -> list[bytes]:
    """A page of three lines of text, written out by hand."""
    stream = (
        b"BT /F1 12 Tf 72 720 Td (Pickerelweed plug $2.75) Tj 0 -16 Td (Nuphar advena bare root $6) Tj ET"
    )
    parts = [
        b"<< /Type /Catalog /Pages 2 0 R >>",
        b"<< /Type /Pages /Kids [3 0 R] /Count 1 >>",
        b"<< /Type /Page /Parent 2 0 R /MediaBox [0 0 612 792] /Contents 4 0 R /Resources << /Font << /F1 5 0 R >> >> >>",
        b"<< /Length %d >>\nstream\n%s\nendstream" % (len(stream), stream),
        b"<< /Type /Font /Subtype /Type1 /BaseFont /Helvetica >>",
    ]
    text, places = b"%PDF-1.4\n", []
    for number, part in enumerate(parts, 1):
        places.append(len(text))
        text += b"%d 0 obj\n%s\nendobj\n" % (number, part)
    start = len(text)
    text += b"xref\n0 6\n0000000000 65535 f \n" + b"".join(b"%010d 00000 n \n" % p for p in places)
    return [text + b"trailer << /Size 6 /Root 1 0 R >>\nstartxref\n%d\n%%%%EOF\n" % start]


def _ponds_csv() -> list[bytes]:
    return [
        b"name,state,hardiness_zone,last_frost,first_frost,area_acres,max_depth_ft,clarity_in,purposes,residents,shore_1_name,"
        b"shore_1_length_ft,shore_1_slope,shore_1_dam,keep_clear_1_what\nHeron Tank,OK,7a,03-28,5-Nov,2.5,11,24,fish cover; show,"
        b"deer; grass carp,all round,1300,4,yes,riser\nLower Pond,Georgia,8,,,1.2,9,,,,all round,900,3,no,\n"
    ]


def _ponds_parquet() -> list[bytes]:
    import pyarrow
    from pyarrow import parquet

    made = io.BytesIO()
    parquet.write_table(
        pyarrow.Table.from_pylist(
            [
                {
                    "name": "Heron Tank",
                    "state": "OK",
                    "hardiness_zone": "7a",
                    "area_acres": 2.5,
                    "max_depth_ft": 11,
                    "shore_1_name": "all round",
                    "shore_1_length_ft": 1300.0,
                    "shore_1_slope": 4,
                }
            ]
        ),
        made,
    )
    return [made.getvalue()]


def _kml() -> list[bytes]:
    return [
        b'<?xml version="1.0"?><kml xmlns="http://www.opengis.net/kml/2.2"><Placemark><Polygon><outerBoundaryIs><LinearRing>'
        b"<coordinates>-89.5,33.1,0 -89.499,33.1,0 -89.499,33.101,0 -89.5,33.101,0 -89.5,33.1,0</coordinates></LinearRing>"
        b"</outerBoundaryIs></Polygon></Placemark></kml>"
    ]


def _head(table: str, rows: int = 4) -> Callable[[], list[bytes]]:
    return lambda: [b"".join((data_folder() / f"{table}.csv").read_bytes().splitlines(keepends=True)[:rows])]


def _answer_lines() -> list[bytes]:
    return [
        b"name: Mill Pond\nwinter: 12\ndeepest: 14 ft\nstate: MS\narea: 400 x 250 ft\nstretch: north bank\nlength: 420 ft\nten-feet-out: 30 in\nclarity: don't know\n"
    ]


READERS: dict[str, Reader] = {
    "pond": Reader("pond.toml", _pond, demo("south.toml", "north.toml", "hard.toml")),
    "pond-table": Reader("ponds.csv", _pond_table, _ponds_csv),
    "pond-parquet": Reader("ponds.parquet", _pond_table, _ponds_parquet),
    "plants": Reader("plants.csv", _catalogue, _head("plants")),
    "law": Reader("law.csv", _catalogue, _head("law")),
    "names": Reader("names.csv", _catalogue, _head("names")),
    "offer-text": Reader("offer.txt", _offer, demo("offer.txt")),
    "offer-csv": Reader(
        "offer.csv",
        _offer,
        lambda: [b"Item,Size,Price,Qty\nPickerelweed,plug,$2.75,50\nNuphar advena,bare root,6,10\n"],
    ),
    "offer-xlsx": Reader("offer.xlsx", _offer, _workbook),
    "offer-pdf": Reader("offer.pdf", _offer, _pdf),
    "soundings": Reader(
        "soundings.csv",
        _surveyed,
        lambda: [b"".join(demo("soundings.csv")()[0].splitlines(keepends=True)[:40])],
    ),
    "contours": Reader("contours.csv", _survey("contours"), demo("contours.csv")),
    "outline-geojson": Reader("outline.geojson", _survey("outline"), demo("outline.geojson")),
    "outline-kml": Reader("outline.kml", _survey("outline"), _kml),
    "log": Reader("log.csv", _log, demo("log.csv")),
    "answers": Reader("answers.txt", _answers, _answer_lines),
}


def sound(fault: PlantpickError) -> None:
    """A refusal that helps: a code, and problems that each say something."""
    assert fault.code and fault.problems
    for problem in fault.problems:
        assert problem.what.strip() and str(problem) and "Traceback" not in str(problem)
        str(problem).encode("utf-8", "surrogatepass")


def feed(which: str, data: bytes) -> bool:
    """Give bytes to a reader: True if it took them. Anything but a sound refusal is an error of the reader's."""
    reader = READERS[which]
    path = FOLDER / reader.name
    path.write_bytes(data)
    try:
        reader.read(path)
        return True
    except PlantpickError as fault:
        sound(fault)
        return False
