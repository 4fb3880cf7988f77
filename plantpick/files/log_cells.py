"""What the headings and cells of an owner's log say: which column, in which unit, and which number."""

from __future__ import annotations

import re

from plantpick import units
from plantpick.files.csv_table import heading_unit, plain_heading

# A column's own word, what people call it, its kind.
COLUMNS: dict[str, tuple[tuple[str, ...], str]] = {
    "date": (("day", "when", "measured on", "date measured"), "date"),
    "plant": (("species", "name", "plant name", "common name", "scientific name"), "text"),
    "stretch": (("shore", "where", "place", "location", "bank name"), "text"),
    "event": (("what", "what was done", "action", "kind"), "text"),
    "length": (("long", "patch length", "length along shore", "along shore"), "length"),
    "width": (("wide", "patch width", "breadth"), "length"),
    "area": (("patch area", "stand area", "size"), "area"),
    "out": (
        (
            "distance out",
            "outer edge",
            "bank to edge",
            "bank to outer edge",
            "distance to outer edge",
            "edge",
            "distance from bank",
            "distance from bank to outer edge",
        ),
        "length",
    ),
    "share": (("cover", "share of stretch", "share of the stretch", "percent of stretch"), "share"),
    "drop": (
        (
            "water level",
            "level",
            "gauge",
            "staff gauge",
            "drop from full pool",
            "below full pool",
            "drop below full pool",
        ),
        "drop",
    ),
    "secchi": (("clarity", "secchi reading", "secchi depth", "visibility"), "secchi"),
    "groups": (("group", "groups planted"), "count"),
    "number": (("count", "plants", "number planted", "number of plants", "how many"), "count"),
    "patches": (("patch", "number of patches", "colonies"), "count"),
    "note": (("notes", "remark", "remarks", "comment", "comments"), "note"),
}
UNITS: dict[str, dict[str, float]] = {
    "length": units.FEET,
    "area": units.SQUARE_FEET,
    "share": {"percent": 1.0, "%": 1.0, "per cent": 1.0, "pct": 1.0},
    "count": {},
    "text": {},
    "note": {},
    "date": {},
}
UNITS["drop"] = UNITS["length"]
UNITS["secchi"] = {
    unit: units.INCHES_A_FOOT * feet for unit, feet in UNITS["length"].items()
}  # kept in inches
BARE = {"length": "feet", "area": "square feet", "drop": "feet", "secchi": "inches", "share": "per cent"}


class Unreadable(ValueError):
    """A cell that is no number of its kind: what is wrong, and the remedy."""

    def __init__(self, what: str, remedy: str):
        super().__init__(what)
        self.what, self.remedy = what, remedy


def cell_number(cell: str, kind: str, factor: float | None) -> tuple[float, bool]:
    """A cell as a number in the log's unit, and whether that unit had to be assumed.

    14, 14 ft, 6'4", 12.5 %: the unit of the cell goes before that of the heading (`factor`, None without one).
    Raises Unreadable.
    """
    feet = re.fullmatch(r"(\d+(?:\.\d+)?)\s*(?:'|ft|feet)\s*(\d+(?:\.\d+)?)\s*(?:\"|''|in|inches)?", cell)
    if feet and kind in ("length", "drop", "secchi"):
        value = float(feet[1]) + float(feet[2]) / 12.0
        return (value * 12.0 if kind == "secchi" else value), False
    match = re.fullmatch(r"([+-]?(?:\d{1,3}(?:,\d{3})+|\d+)?(?:\.\d+)?)\s*(.*)", cell)
    if re.fullmatch(r"\d+,\d{1,2}(\D.*)?", cell):
        raise Unreadable(f'"{cell}" has a comma for its decimals.', "Write 6.5, or 1,250 for thousands.")
    if not match or not re.search(r"\d", match[1]):
        raise Unreadable(f'"{cell}" is not a number.', "Write a number, or leave the cell empty.")
    value, unit = float(match[1].replace(",", "")), " ".join(match[2].lower().rstrip(".").split())
    if unit and unit not in UNITS[kind]:
        known = ", ".join(dict.fromkeys(units.spelled(u) for u in UNITS[kind]))
        raise Unreadable(f'"{cell}": the unit "{unit}" is not known here.', f"Known: {known or 'none'}.")
    factor = UNITS[kind][unit] if unit else factor
    if factor is None and kind == "share" and 0.0 < value < 1.0:
        raise Unreadable(
            f'"{cell}" may be a fraction or under one per cent.',
            "Head the column share_percent, or write 0.4 %.",
        )
    if value < 0.0:
        raise Unreadable(f"{value:g} is negative.", "Sizes, counts and drops are 0 or more.")
    if value == 0.0 and kind not in ("drop", "count"):
        raise Unreadable("a size of 0.", 'If the stand is gone, write "taken out" in the event column.')
    return value * (1.0 if factor is None else factor), factor is None and kind in BARE


NAMES = {name: word for word, (others, _) in COLUMNS.items() for name in (word, *others)}


def column(title: str) -> tuple[str, float | None] | None:
    """A column's word and the factor of the unit in its title ("length_ft", "Length (ft)", "secchi in inches")."""
    found = heading_unit(title, NAMES)
    if found is None:  # "percent of cover"
        found = heading_unit(re.sub(r"^percent (of )?", "", plain_heading(title)), NAMES)
        if found is None or COLUMNS[found[0]][1] != "share":
            return None
    word, unit = found
    kind = COLUMNS[word][1]
    if kind == "share" and not unit and "percent" in plain_heading(title):
        unit = "percent"
    if not unit:
        return word, None
    return (word, UNITS[kind][unit]) if unit in UNITS[kind] else None
