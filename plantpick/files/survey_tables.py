"""Reads contours and soundings, the tables of a survey. It shows every mistake, with file:row:column."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np

from plantpick.errors import Problem, did_you_mean
from plantpick.files.csv_table import Format, NoTable, decoded, heading_unit, parse_csv, plain_heading
from plantpick.files.outlines import read_survey_file, tell_misplaced, tell_rows
from plantpick.units import FEET, INCHES_A_FOOT, SQUARE_FEET, spelled

MOST_BYTES = 60_000_000
FEWEST_SOUNDINGS = 12  # judgement: fewer say less of a basin than its stretches do
DEEPEST_FT = 200.0
NAMES = {"lon": "longitude", "long": "longitude", "lng": "longitude", "lat": "latitude", "units": "unit"}
MEASURED = {  # headings that may name a unit
    "depth": "depth",
    "water depth": "depth",
    "area": "area",
    "x": "x",
    "easting": "x",
    "y": "y",
    "northing": "y",
}
FORMAT = Format(
    kind="a survey",
    heading="",
    most_bytes=MOST_BYTES,
    most_rows=500_000,
    most_columns=10_000,
    shorten="Thin them out.",
)


@dataclass(frozen=True)
class Column:
    """A column that the header names: its place, its heading, and the unit in the heading ("" for none)."""

    place: int
    heading: str
    unit: str


@dataclass(frozen=True)
class Table:
    """A small numeric table: `columns` by name, `numbers` (rows, columns) in their order, `lines` in the file."""

    name: str
    columns: dict[str, Column]
    numbers: dict[str, np.ndarray]
    units: list[str]  # of the `unit` column, "" without one
    lines: np.ndarray

    def where(self, column: str):
        """A function from a row's index to file:row:column."""
        return lambda row: f"{self.name}:{self.lines[row]}:{self.columns[column].heading}"


def _column(heading: str) -> tuple[str, str]:
    """A heading as column name and unit: "Depth (ft)" is depth, ft."""
    plain = plain_heading(heading)
    return heading_unit(heading, MEASURED) or (NAMES.get(plain, plain), "")


def read_table(path: Path, wanted: tuple[tuple[str, ...], ...], problems: list[Problem]) -> Table | None:
    """The wanted columns of a separated text file with one heading row; extra columns are passed over.

    `wanted` lists the sets of columns that will do, the first that is there being taken. Lines that begin with # are
    remarks. None when `problems` were found.
    """
    raw = read_survey_file(path, FORMAT.most_bytes, problems)
    if raw is None:
        return None
    before = len(problems)
    form = replace(FORMAT, heading=", ".join(wanted[0]))
    try:
        read = parse_csv(decoded(raw, path.name), form, path.name)
    except NoTable as fault:
        problems.append(fault.problem)
        return None
    columns: dict[str, Column] = {}
    for place, word in enumerate(read.headings):
        name, unit = _column(word)
        if name in columns and any(name in group for group in wanted):
            problems.append(
                Problem(
                    f"{path.name}:{read.head_line}:{word.strip()}",
                    f"two columns give the {name}.",
                    "Keep one.",
                )
            )
        columns.setdefault(name, Column(place, word.strip()[:40], unit))
    group = next((g for g in wanted if all(name in columns for name in g)), None)
    if group is None:
        nearest_group = max(wanted, key=lambda g: sum(name in columns for name in g))
        for name in (n for n in nearest_group if n not in columns):
            problems.append(
                Problem(
                    f"{path.name}:{read.head_line}:{name}",
                    "the column is missing.",
                    f"The heading row names {' or '.join(', '.join(g) for g in wanted)}. "
                    f"{_unread(name, read.headings)}".strip(),
                )
            )
        return None
    table = _numbers(
        path.name,
        {name: columns[name] for name in group},
        columns.get("unit"),
        read.rows,
        read.lines,
        problems,
    )
    return table if len(problems) == before else None


def _unread(name: str, headings: list[str]) -> str:
    close = did_you_mean(name, [h for h in headings if h.strip()])
    return close.replace("Did you mean", "Is it the one headed")


def _numbers(name, columns, unit, rows, lines, problems) -> Table:
    last = max(c.place for c in (*columns.values(), *([unit] if unit else [])))
    wrong: dict[str, list[int]] = {}
    numbers = {}
    rows = [row if len(row) > last else row + [""] * (last + 1 - len(row)) for row in rows]
    for key, column in columns.items():
        values = np.full(len(rows), np.nan)
        for number, row in enumerate(rows):
            cell = row[column.place]
            try:
                values[number] = float(cell)
            except ValueError:
                pass
            if not math.isfinite(values[number]) or "_" in cell:
                wrong.setdefault(key, []).append(number)
        numbers[key] = values
    units = [row[unit.place].strip().lower() for row in rows] if unit else [""] * len(rows)
    table = Table(name, columns, numbers, [spelled(u) for u in units], np.array(lines, dtype=int))
    for key, found in wrong.items():
        _tell_not_numbers(
            table, key, [rows[n][columns[key].place].strip() for n in found], found, len(rows), problems
        )
    return table


def _tell_not_numbers(
    table: Table, key: str, cells: list[str], found: list[int], count: int, problems
) -> None:
    told = dict(zip(found, cells))
    endings = [m[1] for m in (re.fullmatch(r"-?[\d.,]+\s*([a-zA-Z'\"]+)", cell) for cell in cells) if m]
    kinds = {spelled(ending) for ending in endings}
    if len(kinds & set(FEET)) > 1:
        problems.append(
            Problem(
                f"{table.name}:{table.lines[found[0]]}:{table.columns[key].heading}",
                f"units are mixed in one column ({' and '.join(sorted(kinds))}).",
                "Write numbers only, and say the unit of each row in a column headed unit.",
            )
        )
    remedy = (
        "Write numbers only, and the unit in the heading, as in depth_ft."
        if endings
        else "Write a plain number with a decimal point, or take the row out."
    )
    tell_rows(
        found,
        count,
        table.where(key),
        table.name,
        problems,
        lambda row: f'"{told[row][:40]}" is not a number.' if told[row] else "the cell is empty.",
        remedy,
    )


def _depths_in(table: Table, plain_unit: str, problems: list[Problem]) -> np.ndarray:
    """The depth column in inches, with whatever is wrong with its unit or sign told."""
    column = table.columns["depth"]
    depth = table.numbers["depth"]
    unit = column.unit or plain_unit
    if any(table.units):
        wrong = [row for row, word in enumerate(table.units) if word not in FEET]
        tell_rows(
            wrong,
            len(depth),
            lambda row: f"{table.name}:{table.lines[row]}:unit",
            table.name,
            problems,
            lambda row: f'"{table.units[row][:40]}" is not a unit of depth.',
            "Allowed: ft, m, in.",
        )
        scale = np.array([INCHES_A_FOOT * FEET.get(word, 1.0) for word in table.units])
    elif unit not in FEET:
        said = f'"{unit[:40]}" is not a unit of depth' if unit else "the unit of depth is not named"
        problems.append(
            Problem(f"{table.name}:1:{column.heading}", f"{said}.", "Head the column depth_ft or depth_m.")
        )
        return depth
    else:
        scale = np.full(len(depth), INCHES_A_FOOT * FEET[unit])
    inches = depth * scale
    tell_rows(
        np.flatnonzero(depth < 0),
        len(depth),
        table.where("depth"),
        table.name,
        problems,
        lambda row: f"the depth {depth[row]:g} is negative.",
        "Depths count downward from full pool: no minus sign.",
    )
    tell_rows(
        np.flatnonzero(inches > DEEPEST_FT * 12),
        len(depth),
        table.where("depth"),
        table.name,
        problems,
        lambda row: f"the depth {depth[row]:g} is over {DEEPEST_FT:g} ft.",
        "Check the unit in the heading.",
    )
    return inches


def read_contours(path: Path, problems: list[Problem]) -> tuple[np.ndarray, np.ndarray] | None:
    """Depths in inches, rising from 0, and the areas of their contours in square feet."""
    before = len(problems)
    table = read_table(path, (("depth", "area"),), problems)
    if table is None:
        return None
    depth, area, unit = _depths_in(table, "ft", problems), table.numbers["area"], table.columns["area"].unit
    if unit not in SQUARE_FEET:
        problems.append(
            Problem(
                f"{table.name}:1:{table.columns['area'].heading}",
                "the unit of area is not named.",
                "Head the column area_acres, area_ft2, area_m2 or area_ha.",
            )
        )
    if len(depth) < 2:
        problems.append(
            Problem(
                table.name,
                f"has too few contours ({len(depth)}).",
                "Give the waterline (depth 0) and one contour below it at least.",
            )
        )
    if len(problems) > before:
        return None
    order = np.argsort(depth, kind="stable")
    depth, area, lines = depth[order], area[order] * SQUARE_FEET[unit], table.lines[order]
    at, told = table.columns, table.numbers["area"][order]
    if depth[0] != 0.0:
        problems.append(
            Problem(
                f"{table.name}:{lines[0]}:{at['depth'].heading}",
                "no contour stands at depth 0.",
                "Add a row for the waterline: depth 0 and the surface at full pool.",
            )
        )
    for row in np.flatnonzero(area < 0):
        problems.append(
            Problem(
                f"{table.name}:{lines[row]}:{at['area'].heading}",
                f"the area {told[row]:g} is negative.",
                "An area is 0 or more.",
            )
        )
    for row in np.flatnonzero(np.diff(depth) == 0) + 1:
        problems.append(
            Problem(
                f"{table.name}:{lines[row]}:{at['depth'].heading}",
                f"the same depth stands in row {lines[row - 1]}.",
                "Keep one of the rows.",
            )
        )
    for row in np.flatnonzero(np.diff(area) > 0) + 1:
        problems.append(
            Problem(
                f"{table.name}:{lines[row]}:{at['area'].heading}",
                f"the area {told[row]:g} is larger than {told[row - 1]:g} at a lesser depth.",
                "A deeper contour lies inside a shallower one: check the row, and that depths are not "
                "elevations.",
            )
        )
    return (depth, area) if len(problems) == before else None


@dataclass(frozen=True)
class Soundings:
    """`xyd` (n, 3): x, y as read (longitude and latitude, or feet) and depth in inches; `table` to name rows."""

    xyd: np.ndarray
    on_earth: bool
    table: Table


def read_soundings(path: Path, problems: list[Problem]) -> Soundings | None:
    """Soundings: longitude, latitude and depth_ft or depth_m; or x and y in feet (or x_m, y_m) and depth in feet."""
    before = len(problems)
    table = read_table(path, (("longitude", "latitude", "depth"), ("x", "y", "depth")), problems)
    if table is None:
        return None
    on_earth = "longitude" in table.columns
    depth = _depths_in(table, "" if on_earth else "ft", problems)
    first, second = ("longitude", "latitude") if on_earth else ("x", "y")
    xy = np.column_stack([table.numbers[first], table.numbers[second]])
    if on_earth:
        tell_misplaced(xy, table.where("longitude"), table.name, problems)
    else:
        units = {table.columns[c].unit or "ft" for c in ("x", "y")}
        if len(units) > 1 or not units <= {"ft", "m"}:
            problems.append(
                Problem(
                    f"{table.name}:1:{table.columns['x'].heading}",
                    "x and y must have the same unit, feet or meters.",
                    "Head them x_ft, y_ft or x_m, y_m.",
                )
            )
        elif units == {"m"}:
            xy = xy * FEET["m"]
    if len(depth) < FEWEST_SOUNDINGS:
        problems.append(
            Problem(
                table.name,
                f"has too few soundings ({len(depth)}).",
                f"Take {FEWEST_SOUNDINGS} at least, and better twenty an acre, along lines across the pond.",
            )
        )
    return Soundings(np.column_stack([xy, depth]), on_earth, table) if len(problems) == before else None
