"""The checks of the catalogue's tables: keys, filled cells, words, numbers, ranges, and that every reference holds.

What each column must hold stands in `plantpick.catalogue.schema`.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from plantpick.catalogue.establishment_rules import check_curves, check_rows
from plantpick.catalogue.name_rules import check_names
from plantpick.catalogue.remark_rules import check_remarks
from plantpick.catalogue.schema import (
    NAMING_PLANTS,
    PLACES,
    SOURCED,
    TABLES,
    TRAITS,
    USES,
    Kind,
    columns,
    ranges,
)
from plantpick.errors import Problem, did_you_mean
from plantpick.vocabulary import PH_OF

if TYPE_CHECKING:
    import pandas as pd


# The most fish cover that a plant can give, by the water at the deep end of its best depths: less than so many inches. Small fish
# need water to hide in; the inches are judgement. Floating leaves have few stems under them: 250 a square meter is where
# refuge begins (Savino and Stein 1982, abstract).
FISH_COVER_BELOW_IN = ((3.0, 0), (6.0, 1), (12.0, 2))
FLOATING_LEAVES_COVER = 2


def check_table(file: str, name: str, table: pd.DataFrame, problems: list[Problem]) -> None:
    """Check keys, filled cells, words, numbers and the order of ranges in one table of text cells."""

    def report(mask, column: str, what, remedy="") -> None:
        for row in table.index[mask]:
            value = table.at[row, column]
            said = remedy(value) if callable(remedy) else remedy
            problems.append(
                Problem(f"{file}:{row + 2}:{column}", what(value) if callable(what) else what, said)
            )

    for column in (c.name for c in columns(name) if c.required):
        report(table[column].str.strip() == "", column, "the cell is empty.", "It must be filled.")
    if key := list(TABLES[name].key):
        report(
            table.duplicated(key),
            key[0],
            lambda v: f'"{v}" stands twice.',
            "Keep one of the rows.",
        )
    for column, allowed in ((c.name, c.words) for c in columns(name) if c.words and c.kind is Kind.TEXT):
        report(
            ~table[column].isin(("", *allowed)),
            column,
            lambda v: f'"{v}" is not one of the words allowed.',
            lambda v, a=allowed: f"{did_you_mean(v, a)} Allowed: {', '.join(a)}.".strip(),
        )
    _check_lists(name, table, report)
    numbers = _numbers(name, table, report)
    _check_ranges(name, numbers, report)
    if name == "plants":
        _check_plants(table, numbers, report)
    elif name == "establishment":
        check_rows(table, numbers, report)


def _check_lists(name: str, table: pd.DataFrame, report) -> None:
    """Check that every cell that holds several words holds only those allowed."""
    for column, allowed in ((c.name, c.words) for c in columns(name) if c.kind is Kind.LIST):
        wrong = {
            cell for cell in table[column].unique() if any(w not in allowed for w in cell.split(";") if cell)
        }
        report(
            table[column].isin(wrong),
            column,
            lambda v: f'"{v}" holds a word that is not allowed.',
            f"Separate words by semicolons; allowed: {', '.join(allowed)}.",
        )


def _numbers(name: str, table: pd.DataFrame, report) -> pd.DataFrame:
    """The number columns as numbers (NaN for an empty cell), once each cell was found to be one within its limits."""
    import pandas as pd

    those = [c for c in columns(name) if c.is_number]
    if not those:
        return table[[]]
    numbers = table[[c.name for c in those]].apply(pd.to_numeric, errors="coerce")
    numbers = numbers.where(numbers.abs() < float("inf"))
    for c in those:
        report(
            numbers[c.name].isna() & (table[c.name] != ""),
            c.name,
            lambda v: f'"{v}" is not a number.',
            "Write a plain number, or leave the cell empty." if not c.required else "Write a plain number.",
        )
        if c.kind is Kind.NUMBER and c.minimum is not None and c.maximum is not None:
            report(
                (numbers[c.name] < c.minimum) | (numbers[c.name] > c.maximum),
                c.name,
                lambda v: f"{v} is out of bounds.",
                f"Allowed: {c.minimum:g} to {c.maximum:g} {c.unit}.",
            )
    return numbers


def _check_ranges(name: str, numbers: pd.DataFrame, report) -> None:
    """Check that ranges rise, and are filled whole or not at all."""
    for group in ranges(name).values():
        for left, right in zip(group, group[1:]):
            report(
                numbers[left] > numbers[right],
                right,
                lambda v, a=left: f"{v} is less than {a}.",
                f"A range must rise: {' <= '.join(group)}.",
            )
        filled = numbers[list(group)].notna()
        report(
            filled.any(axis=1) & ~filled.all(axis=1),
            group[0],
            "the range is filled only in part.",
            f"Fill all of {', '.join(group)}, or none.",
        )


def _check_plants(table: pd.DataFrame, numbers: pd.DataFrame, report) -> None:
    report(
        ~table["plant_id"].map(lambda v: bool(re.fullmatch(r"[a-z0-9]+(-[a-z0-9]+)*", v))),
        "plant_id",
        lambda v: f'"{v}" is not a plant_id.',
        "Use small letters, digits and single hyphens.",
    )
    for column in USES:
        report(
            numbers[column].notna() & ~numbers[column].isin((0, 1, 2, 3)),
            column,
            lambda v: f"{v} is not 0 to 3.",
            "Uses are whole numbers from 0 to 3.",
        )
    report(
        (table["ph_basis"] == "") != (table["ph_min"] == ""),
        "ph_basis",
        "a range of pH and what it is of belong together.",
        f"Fill it where there is a range ({' or '.join(PH_OF)}), and only there.",
    )
    for inches, most in FISH_COVER_BELOW_IN:
        report(
            (numbers["depth_best_max_in"] < inches) & (numbers["fish_cover"] > most),
            "fish_cover",
            lambda v, i=inches: (
                f"{v} is too much for a plant that stands in less than {i:g} in of water at its best."
            ),
            f"At most {most}: it counts what a plant offers under water.",
        )
    report(
        (table["growth_form"] == "floating-leaved") & (numbers["fish_cover"] > FLOATING_LEAVES_COVER),
        "fish_cover",
        lambda v: f"{v} is too much for leaves on top with few stems under them.",
        f"At most {FLOATING_LEAVES_COVER}.",
    )
    submersed = table["growth_form"] == "submersed"
    report(
        (submersed & (table["advance_depth_in"] != "") & (table["light_depth"] == ""))
        | (~submersed & (table["light_depth"] != "")),
        "light_depth",
        "where light ends it belongs to every submersed plant of known depth, and to no other.",
        f"Fill {', '.join(ranges('plants')['light depth'])} for a submersed plant, and leave them empty elsewhere.",
    )
    check_remarks(table, numbers, report)
    report(
        table["cautions"].str.contains("never loose")
        & ~table["contained_by"]
        .str.split(";")
        .map(lambda words: bool({"tub", "barrier", "trim"} & set(words))),
        "contained_by",
        "a plant never to stand loose, and nothing that holds it.",
        "Name the measure, or let it be refused.",
    )


def _pointing_nowhere(tables: dict, name: str, column: str, known: set, what: str, remedy) -> list[Problem]:
    """The rows of a table, if it is there, whose `column` names what no table holds."""
    if name not in tables:
        return []
    cells = tables[name][column]
    return [
        Problem(f"{name}.csv:{row + 2}:{column}", f'no {what} "{found}".', remedy(found))
        for row, found in cells[~cells.isin(known)].items()
    ]


def check_references(tables: dict[str, pd.DataFrame], problems: list[Problem]) -> None:
    """Check that every plant_id and source_id that a table names exists, and that every filled cell has evidence."""
    known = set(tables["plants"]["plant_id"])
    for name in NAMING_PLANTS:
        required = any(c.name == "plant_id" and c.required for c in columns(name))
        allowed = known if required else known | {""}
        problems += _pointing_nowhere(
            tables, name, "plant_id", allowed, "plant", lambda found: did_you_mean(found, known)
        )
    check_curves(tables["establishment"], tables["plants"], problems)
    if "sources" in tables:
        sources = {"", *tables["sources"]["source_id"]}
        for name in SOURCED:
            problems += _pointing_nowhere(
                tables, name, "source_id", sources, "source", lambda found: "Add it to sources.csv."
            )
    for place in sorted(set(PLACES) - set(tables["law_coverage"]["jurisdiction"])):
        problems.append(
            Problem("law_coverage.csv", f"no row for {place}.", 'Add one; "none" says that no list was read.')
        )
    if "synonyms_reviewed" in tables:
        check_names(tables, problems)
    if "evidence" in tables:
        _check_evidence(tables["plants"], tables["evidence"], problems)
        used = {i for name in SOURCED for i in tables[name]["source_id"]}
        table = tables["sources"]
        for row in table.index[~table["source_id"].isin(used)]:
            problems.append(
                Problem(
                    f"sources.csv:{row + 2}:source_id",
                    f'no row rests on "{table.at[row, "source_id"]}".',
                    "Cite it where it is used, or take it out.",
                )
            )


def _check_evidence(plants: pd.DataFrame, evidence: pd.DataFrame, problems: list[Problem]) -> None:
    for row in evidence.index[~evidence["trait"].isin(TRAITS)]:
        problems.append(
            Problem(
                f"evidence.csv:{row + 2}:trait",
                f'no trait "{evidence.at[row, "trait"]}".',
                did_you_mean(evidence.at[row, "trait"], TRAITS),
            )
        )
    cells = plants.set_index("plant_id")[list(TRAITS)].ne("").stack()
    filled = set(cells.index[cells])
    told = set(zip(evidence["plant_id"], evidence["trait"]))
    line = {plant_id: row + 2 for row, plant_id in enumerate(plants["plant_id"])}
    for plant_id, trait in sorted(filled - told):
        problems.append(
            Problem(
                f"plants.csv:{line[plant_id]}:{trait}",
                f"{plant_id} has a value without evidence.",
                "Add a row to evidence.csv that says where it comes from.",
            )
        )
    for row, pair in enumerate(zip(evidence["plant_id"], evidence["trait"])):
        if pair not in filled and pair[0] in line:
            problems.append(
                Problem(
                    f"evidence.csv:{row + 2}:trait",
                    f"{pair[0]} has no value for {pair[1]}.",
                    "Fill the cell or take the row out.",
                )
            )
