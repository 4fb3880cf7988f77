"""How often the reading of offers is right: precision, recall and confusion by kind of line.

Run as `python tests/score_offers.py`. It scores the real lines of ../shared/reference/offer_lines.csv when
they are there, and our own made-up lines in tests/data. A line counts as
  right      one plant named, it is the one meant, and the reading says that it is sure
  flagged    the reading says that it is not sure, names several plants, or finds no name that it knows
  wrong      it says that it is sure, of another plant or on a line that settles none
Where `is_ambiguous` says "either", being sure of the plant meant and flagging are both right; such a line counts
for precision alone.
"""

from __future__ import annotations

import csv
import re
import sys
from collections import Counter, defaultdict
from pathlib import Path

HERE = Path(__file__).resolve().parent
OWN = HERE / "data" / "offer_lines_own.csv"
OUTCOMES = ("right", "flagged", "missed", "wrong", "quiet")
REAL = HERE.parent.parent / "shared" / "reference" / "offer_lines.csv"


def meant(cell: str) -> list[str]:
    """The plants a cell names; a hybrid or "Nymphaea sp." stands for its genus."""
    return [part.strip() for part in re.split(r"[;/|]", cell) if part.strip()]


def same(wanted: str, got: str) -> bool:
    """Whether a plant is the one meant; a named hybrid is met by the catalogue's hybrids of its genus."""
    if wanted == got or got.startswith(wanted + " "):
        return True
    return "hybrid" in wanted and "hybrid" in got and wanted.split()[0] == got.split()[0]


def outcome(row: dict, reading, book) -> str:
    """right, flagged, missed, wrong or quiet for one line (quiet: no plant, and none found)."""
    wanted = meant(row["meant"])
    got = [book.scientific[p] for p in reading.candidates]
    if row["kind"] == "no plant":
        return "quiet" if reading.kind == "none" else "wrong" if reading.sure else "flagged"
    if row["is_ambiguous"] == "yes":
        return (
            "flagged"
            if not reading.sure and reading.kind != "none"
            else "wrong"
            if reading.sure
            else "missed"
        )
    if reading.sure:
        return "right" if any(same(w, got[0]) for w in wanted) else "wrong"
    return "flagged" if got else "missed"


def rows_of(path: Path) -> list[dict]:
    with path.open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    if "meant" in rows[0]:
        return rows
    return [
        {
            "line_text": r["line_text"],
            "meant": r["intended_scientific_name"],
            "is_ambiguous": r["is_ambiguous"],
            "kind": "ambiguous" if r["is_ambiguous"] == "yes" else "clear",
        }
        for r in rows
    ]


def score(rows: list[dict], book) -> tuple[list[str], list[tuple]]:
    """The outcome of every row, and the lines that did not come out as they should."""
    from plantpick.offers.check import read_one_by_one

    outcomes, off = [], []
    for row, reading in zip(rows, read_one_by_one([r["line_text"] for r in rows], book)):
        said = outcome(row, reading, book)
        outcomes.append(said)
        if said not in wished(row):
            got = [book.scientific[p] for p in reading.candidates][:4]
            off.append((said, row["kind"], row["line_text"], row["meant"], got, reading.doubts))
    return outcomes, off


def wished(row: dict) -> str:
    """What should come of a row."""
    if row["kind"] == "no plant":
        return "quiet"
    if row["is_ambiguous"] == "either":
        return "right or flagged"
    return "flagged" if row["is_ambiguous"] == "yes" else "right"


def summary(rows: list[dict], outcomes: list[str]) -> dict[str, float]:
    """Recall over clear lines, precision of "sure", shares of open lines flagged and idle ones left quiet."""
    of = {w: [o for r, o in zip(rows, outcomes) if wished(r) == w] for w in ("right", "flagged", "quiet")}

    def share(want: str) -> float:
        return of[want].count(want) / len(of[want]) if of[want] else 1.0

    right, wrong = outcomes.count("right"), outcomes.count("wrong")
    return {
        "clear lines": len(of["right"]),
        "recall": share("right"),
        "precision": right / max(1, right + wrong),
        "wrong": wrong,
        "ambiguous lines": len(of["flagged"]),
        "flagged": share("flagged"),
        "idle lines": len(of["quiet"]),
        "quiet": share("quiet"),
    }


def main() -> None:
    from plantpick.files import catalogue
    from plantpick.offers.name_index import name_book

    book = name_book(catalogue.load(by_name=True))
    for path in (REAL, OWN):
        if not path.exists():
            print(f"{path.name}: not here, skipped")
            continue
        rows = rows_of(path)
        outcomes, off = score(rows, book)
        print(f"\n{path.name}: {len(rows)} lines")
        for name, value in summary(rows, outcomes).items():
            print(f"  {name:16} {value:.3f}" if isinstance(value, float) else f"  {name:16} {value}")
        table: dict[str, Counter] = defaultdict(Counter)
        for row, said in zip(rows, outcomes):
            table[row["kind"]][said] += 1
        print(f"  {'kind':18}" + "".join(f"{w:>9}" for w in OUTCOMES))
        for kind, counts in table.items():
            print(f"  {kind:18}" + "".join(f"{counts[w]:>9}" for w in OUTCOMES))
        for item in off if "-v" in sys.argv else ():
            print("   ", *item, sep=" | ")


if __name__ == "__main__":
    main()
