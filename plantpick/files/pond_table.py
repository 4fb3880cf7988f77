"""Reads many ponds at once: pond files, folders of them, and tables with a row a pond (CSV, or Parquet with pyarrow).

A table's columns are the pond file's keys. Those of a section stand alone (area_acres, tolerance); a stretch of shore
and a place to keep clear are numbered (shore_1_length_ft, keep_clear_2_what); residents and purposes are lists with
semicolons, and so are points, x and y with a space between them (10 25; 60 40); a column headed pond, or else name, says what a pond is called in the answer. Empty means not said.
"""

from __future__ import annotations

import hashlib
import json
import math
import os
import re
import tomllib
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path

from plantpick import vocabulary
from plantpick.dates import MONTHS
from plantpick.errors import PlantpickError, Problem, did_you_mean
from plantpick.files import pond_file
from plantpick.files.open_file import NotRead, read_bytes
from plantpick.files.pond_file import pond_from, pond_path, read_pond
from plantpick.files.pond_rows import MOST_COLUMNS, csv_rows, parquet_rows, refusal
from plantpick.files.survey_tables import MOST_BYTES as MOST_SURVEY_BYTES
from plantpick.pond.model import Pond

MOST_NUMBER = 99  # stretches or places to keep clear in a row
TABLES = (".csv", ".parquet")
NUMBERED = ("shore", "keep_clear", "growing")
YES_NO = ("frost_free", "invented", "dam", "shore_left_out")
POINTS = ("outline_ft", "at_ft", "at_lon_lat")
LISTS = ("purposes", "residents")
TEXT = (
    "name",
    "state",
    "hardiness_zone",
    "last_frost",
    "first_frost",
    "contours",
    "soundings",
    "outline",
    "sun",
    "soil",
    "what",
    "stretch",
    "plant",
    "stake",
)
YES, NO = ("yes", "true", "y", "1", "1.0"), ("no", "false", "n", "0", "0.0")


@dataclass(frozen=True)
class Asked:
    """One pond that was asked for.

    `pond` is what it is called in the answer; `where` its file, or file:row; `told` the keys of a row, nested as in a
    pond file (None: `where` is a pond file). `problems` are those that were found before the pond was read.
    """

    pond: str
    where: str
    told: dict | None = None
    folder: Path = Path()
    problems: tuple[Problem, ...] = ()

    def read(self) -> Pond:
        """The pond. Raises PlantpickError `pond-file` with every mistake in it."""
        if self.problems:
            raise PlantpickError("pond-file", list(self.problems))
        if self.told is None:
            return read_pond(self.where)
        try:
            return pond_from(self.told, self.where, self.folder)
        except PlantpickError as fault:
            raise PlantpickError(fault.code, [_in_table(p, self.where) for p in fault.problems]) from None

    def fingerprint(self) -> str:
        """A digest of all that was said of the pond, its survey files included: it changes when they do."""
        digest = hashlib.sha256()
        told, folder = self.told, self.folder
        if told is None:
            path = pond_path(self.where)
            folder = path.parent
            try:
                raw = read_bytes(path, pond_file.MOST_BYTES)
                told = tomllib.loads(raw.decode("utf-8-sig"))
            except (NotRead, ValueError, RecursionError):
                return ""
            digest.update(raw)
        else:
            digest.update(json.dumps(told, sort_keys=True, default=str).encode())
        for key in ("contours", "soundings", "outline"):
            try:
                digest.update(read_bytes(folder / told[key], MOST_SURVEY_BYTES))
            except (KeyError, TypeError, NotRead, ValueError):
                digest.update(b"-")
        return digest.hexdigest()


def sections() -> dict[str, tuple[str, ...]]:
    """The keys of a pond file by section, less those that say what is not known: in a table that is an empty cell."""
    return {
        section: tuple(k for k in keys if k != "not_known") for section, keys in pond_file.sections().items()
    }


def is_table(name: str) -> bool:
    """Whether a name on the command line stands for a table of ponds, by its ending."""
    return Path(name).suffix.lower() in TABLES


def gather(names: list[str]) -> tuple[list[Asked], list[str]]:
    """Every pond that the names stand for (files, folders, patterns, tables), in order, and remarks for the owner.

    Raises PlantpickError `pond-table` where a table as a whole cannot be read. A second pond of the same name is kept
    with its problem, so that the others go on.
    """
    found: list[Asked] = []
    remarks: list[str] = []
    for name in names:
        path = Path(name)
        if is_table(name):
            found += read_pond_table(path, remarks)
        elif os.path.isdir(path):
            inside = sorted(path.glob("*.toml"))
            if not inside:
                raise PlantpickError(
                    "pond-table",
                    Problem(name, "the folder holds no pond file.", "A pond file's name ends in .toml."),
                )
            found += [Asked(str(p), str(p)) for p in inside]
        elif "*" in name and not os.path.exists(
            path
        ):  # a command line that does not spell patterns out (Windows)
            inside = sorted(path.parent.glob(path.name)) if "*" not in str(path.parent) else []
            found += [Asked(str(p), str(p)) for p in inside] or [Asked(name, name)]
        else:
            found.append(Asked(name, name))
    seen: dict[str, str] = {}
    for place, asked in enumerate(found):
        if asked.pond in seen and not asked.problems:
            found[place] = replace(
                asked,
                problems=(
                    Problem(
                        asked.where,
                        f'"{asked.pond}" stands for a pond already ({seen[asked.pond]}).',
                        "Give each pond a name of its own in a column headed pond."
                        if asked.told is not None
                        else "Name each file once.",
                    ),
                ),
            )
        seen.setdefault(asked.pond, asked.where)
    return found, remarks


def columns() -> list[str]:
    """Every column that a table of ponds may have, with 1 for the number of a stretch or a place."""
    known = ["pond"]
    for section, keys in sections().items():
        if section == "residents":
            known.append("residents")
        else:
            known += [f"{section}_1_{key}" if section in NUMBERED else key for key in keys]
    return known


def read_pond_table(path: Path, remarks: list[str] | None = None) -> list[Asked]:
    """A row a pond. Raises PlantpickError `pond-table` with everything that is wrong with the heading row."""
    remarks = [] if remarks is None else remarks
    try:
        rows = list(parquet_rows(path) if path.suffix.lower() == ".parquet" else csv_rows(path))
    except NotRead as fault:
        there = [p.name for p in path.parent.glob("*") if is_table(p.name)] if fault.missing else []
        hint = did_you_mean(path.name, there) if there else ""
        raise PlantpickError("pond-table", fault.problem(path, hint, "Cut it into several.")) from None
    if not rows:
        raise refusal(
            path, "is empty.", "It needs a heading row: name, state, hardiness_zone, area_acres, ..."
        )
    (line, headings), body = rows[0], rows[1:]
    places = _places(path, line, headings, remarks)
    if not body:
        raise refusal(path, "holds no pond.", "Write one in each row under the heading row.")
    return [_asked(path, number, cells, headings, places) for number, cells in body]


def _places(path: Path, line: int, headings: list[str], remarks: list[str]) -> list[tuple | None]:
    """For each column where its value belongs: ("water", "ph"), ("shore", 1, "slope"), ("pond",); None for a column we do not know."""
    where = {
        key: (section, key) if section else (key,)
        for section, keys in sections().items()
        if section not in (*NUMBERED, "residents")
        for key in keys
    }
    where |= {"pond": ("pond",), "residents": ("residents",)}
    problems, places, passed_over = [], [], []
    if len(headings) > MOST_COLUMNS:
        raise refusal(
            path, f"has {len(headings):,} columns.", f"A table of ponds has {MOST_COLUMNS:,} at most."
        )
    for heading in headings:
        word = heading.strip().lower()
        place: tuple | None = where.get(word)
        if match := re.fullmatch(rf"({'|'.join(NUMBERED)})_(\d\d?)_(\w+)", word):
            if match[3] in sections()[match[1]] and 1 <= int(match[2]) <= MOST_NUMBER:
                place = (match[1], int(match[2]), match[3])
        if place is not None and place in places:
            problems.append(
                Problem(f"{path.name}:{line}:{heading}", "this column is there twice.", "Keep one of them.")
            )
        if place is None and word:
            number = re.search(r"_(\d\d?)_", word)
            allowed = [c.replace("_1_", number[0]) if number else c for c in columns()]
            close = did_you_mean(word, [c for c in allowed if _slip(word, c)])
            if close or word.startswith(NUMBERED):
                problems.append(
                    Problem(
                        f"{path.name}:{line}:{heading[:60]}",
                        "no such column is known.",
                        close or "A stretch is shore_1_name, shore_1_length_ft, shore_1_slope, and so on.",
                    )
                )
            else:
                passed_over.append(heading.strip()[:60])
        places.append(place)
    if not any(p in (("name",), ("pond",)) for p in places if p):
        problems.append(
            Problem(f"{path.name}:{line}:name", "the column is missing.", "Each pond needs a name.")
        )
    if problems:
        raise PlantpickError("pond-table", problems)
    if passed_over:
        remarks.append(f"{path.name}: columns passed over: {', '.join(passed_over)}.")
    return places


def _slip(word: str, column: str) -> bool:
    """Whether a heading is a slip for a column (clarity for clarity_in), and not a column of yours that looks like it (county)."""
    from rapidfuzz import fuzz

    return column.startswith(f"{word}_") or column.endswith(f"_{word}") or fuzz.ratio(word, column) >= 80.0


def _asked(path: Path, line: int, cells: list, headings: list[str], places: list[tuple | None]) -> Asked:
    where = f"{path}:{line}"
    told: dict = {}
    numbered: dict[str, dict[int, dict]] = {}
    pond = ""
    problems = []
    if len(cells) > len(headings):
        problems.append(
            Problem(
                f"{where}:{len(headings) + 1}",
                "the row has more cells than the heading row.",
                "Put text that holds the separator in quotes.",
            )
        )
    for place, cell in zip(places, cells):
        if place is None or (value := _value(place[-1], cell)) is None:
            continue
        if place == ("pond",):
            pond = str(value)
        elif place == ("residents",):
            told["residents"] = {word.lower().replace(" ", "_"): True for word in value}
        elif len(place) == 1:
            told[place[0]] = value
        elif len(place) == 2:
            told.setdefault(place[0], {})[place[1]] = value
        else:
            numbered.setdefault(place[0], {}).setdefault(place[1], {})[place[2]] = value
    told.setdefault("water", {})
    for section, entries in numbered.items():
        count = max(entries)
        missing = [n for n in range(1, count) if n not in entries]
        if missing:
            problems.append(
                Problem(
                    f"{where}:{section}_{missing[0]}_{sections()[section][0]}",
                    f"{section}_{count} is filled and {section}_{missing[0]} is not.",
                    "Number them from 1 without a gap.",
                )
            )
        told[section] = [entries[n] for n in sorted(entries)]
    told.setdefault("shore", [])
    name = pond or str(told.get("name", ""))
    told.setdefault("name", name) if name else None
    return Asked(name or f"row {line}", where, told, path.parent, tuple(problems))


def _value(key: str, cell):
    """A cell as the pond file would hold it; None for an empty one. What cannot be understood is left for the check."""
    if cell is None or (isinstance(cell, float) and math.isnan(cell)):
        return None
    if isinstance(cell, date) and key in ("last_frost", "first_frost"):  # a datetime is a date too
        return f"{cell.month:02}-{cell.day:02}"
    if isinstance(cell, list) and key in LISTS:
        return [str(v).strip() for v in cell] or None
    text = str(cell).strip()
    if not text:
        return None
    if key in LISTS:
        return [word.strip() for word in re.split(r"[;,|]", text) if word.strip()] or None
    if key in POINTS:
        return _points(text)
    if key in YES_NO:
        return True if text.lower() in YES else False if text.lower() in NO else text
    if key in ("last_frost", "first_frost"):
        return _month_day(text)
    if key == "hardiness_zone" and re.fullmatch(r"\d\d?\.0+", text):
        return text.split(".")[0]
    if key in TEXT or key == "pond":
        return text
    return float(text) if re.fullmatch(r"[+-]?(\d+\.?\d*|\.\d+)(e[+-]?\d\d?)?", text.lower()) else text


def _points(text: str) -> list[list[float]] | str:
    """Points as the pond file has them; anything else is left as it is."""
    try:
        return [[float(number) for number in pair.split()] for pair in text.split(";")]
    except ValueError:
        return text


def _month_day(text: str) -> str:
    """03-28, also where a spreadsheet made 28-Mar or 2001-03-28 of it; anything else is left as it is."""
    if match := re.fullmatch(r"\d{4}-(\d\d)-(\d\d)([ T][\d:.]+)?", text):
        return f"{match[1]}-{match[2]}"
    for pattern, month, day in (
        (r"(\d\d?)[-\s.]*([a-z]{3,9})\.?([-\s]\d\d|[-\s]\d{4})?", 2, 1),
        (r"([a-z]{3,9})\.?[-\s]*(\d\d?)", 1, 2),
    ):
        match = re.fullmatch(pattern, text.lower())
        if match and match[month][:3] in MONTHS:
            return f"{MONTHS.index(match[month][:3]) + 1:02}-{int(match[day]):02}"
    return text


def _in_table(problem: Problem, where: str) -> Problem:
    """A problem of a pond file's key as one of a table's cell: `file:row: shore[1].slope` is `file:row:shore_1_slope`."""
    key = problem.where.removeprefix(f"{where}: ")
    if key == problem.where:
        return problem  # of a survey file
    column = re.sub(r"\[(\d+)\]\.?", r"_\1_", key).strip("_")
    column = "residents" if column.startswith("residents") else column.split(".")[-1]
    column = {"shore": "shore_1_name", "water": "area_acres"}.get(column, column)
    what = (
        problem.what.replace(", without quotes", "")
        .replace(" in quotes", "")
        .replace(" Take the quotes off.", "")
    )
    remedy = "Fill the cell." if problem.remedy.startswith("Add it: see") else problem.remedy
    if key.startswith("residents."):
        word = key.removeprefix("residents.").replace("_", " ")
        what = f'"{word}" is no animal that is known here.'
        remedy = f"{did_you_mean(word, vocabulary.GRAZERS)} Allowed: {', '.join(vocabulary.GRAZERS)}.".strip()
    if key == "shore":
        what, remedy = (
            "at least one stretch of shore is needed.",
            "Fill shore_1_name, shore_1_length_ft, shore_1_slope.",
        )
    return Problem(f"{where}:{column}", what, remedy)
