"""The catalogue as tables, and look-ups on it: traits as arrays, states, names, law.

The tables come checked from `plantpick.files.catalogue`; nothing here opens a file.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np

from plantpick.errors import PlantpickError, Problem, nearest
from plantpick.vocabulary import BINDING_LAW, PURPOSES, WOODY, group_size, neighbours

if TYPE_CHECKING:
    import pandas as pd

RANGES: tuple[tuple[str, ...], ...] = (
    ("height_min_in", "height_max_in"),
    ("depth_min_in", "depth_best_min_in", "depth_best_max_in", "depth_max_in"),
    ("advance_depth_low_in", "advance_depth_in", "advance_depth_high_in"),
    ("zone_min", "zone_max"),
    ("ph_min", "ph_max"),
    ("spread_low_ft_yr", "spread_ft_yr", "spread_high_ft_yr"),
    ("doubling_low_days", "doubling_days", "doubling_high_days"),
)
USES = tuple(PURPOSES.values())
NUMBERS = (
    *(column for group in RANGES for column in group),
    "salinity_min_ppt",
    "salinity_max_ppt",
    "spacing_in",
    *USES,
)
TRAIT_WORDS = ("growth_form", "sun", "clarity", "drawdown", "flooding", "jump", "origin")
LISTS = ("jump_by", "contained_by", "eaten_by", "cautions")
# without these a plant cannot be placed or forecast, whatever else is known of it
NEEDED = (
    "depth_min_in",
    "depth_best_min_in",
    "depth_best_max_in",
    "depth_max_in",
    "advance_depth_low_in",
    "advance_depth_in",
    "advance_depth_high_in",
    "zone_min",
    "zone_max",
    "jump",
    "spacing_in",
)
# source_ids of lists of lists: a jurisdiction's own text is cited before them
COMPILED = ("usda-composite-2015", "trade-list-2013", "trade-list-2016", "trade-list-2018")


def split_list(cell: str) -> tuple[str, ...]:
    """The words of a cell that holds several, separated by semicolons."""
    return tuple(word for word in cell.split(";") if word)


def well_known(row: dict) -> bool:
    """Whether a plant's row holds all that placing it and forecasting its spread needs."""
    known = all(row[c] != "" and row[c] == row[c] for c in NEEDED)  # NaN is unlike itself
    return known and (
        row["spread_ft_yr"] == row["spread_ft_yr"] or row["doubling_days"] == row["doubling_days"]
    )


def is_woody(row: dict) -> bool:
    """Whether a plant makes wood: a shrub, a tree, or a vine or herb that the catalogue calls woody."""
    return row["growth_form"] in WOODY or "woody" in split_list(row["cautions"])


@dataclass(frozen=True, repr=False)
class Catalogue:
    """The tables of `data/`: table name to column name to the column's cells, as text.

    `plants`, `names`, `range`, `law`, `coverage`, `evidence` and `sources` give them as pandas tables, made when they
    are first asked for; `records` gives the plants as plain rows. In both, the numbers of a plant are floats and NaN
    is not known. Columns are described in docs/data.md.
    """

    tables: dict[str, dict[str, list[str]]]

    def _frame(self, table: str) -> pd.DataFrame:
        import pandas as pd

        return pd.DataFrame(self.tables[table], dtype="object")

    @cached_property
    def plants(self) -> pd.DataFrame:
        """One row a plant, indexed by plant_id."""
        import pandas as pd

        table = self._frame("plants").set_index("plant_id")
        table[list(NUMBERS)] = table[list(NUMBERS)].apply(pd.to_numeric)
        return table

    @cached_property
    def names(self) -> pd.DataFrame:
        """plant_id, name, kind."""
        return self._frame("names")

    @cached_property
    def range(self) -> pd.DataFrame:
        """plant_id, state, status, source_id, remark."""
        return self._frame("range")

    @cached_property
    def law(self) -> pd.DataFrame:
        """taxon, except, jurisdiction, status, citation, as_of, source_id, remark."""
        return self._frame("law")

    @cached_property
    def coverage(self) -> pd.DataFrame:
        """How far each jurisdiction's list was read."""
        return self._frame("law_coverage")

    @cached_property
    def evidence(self) -> pd.DataFrame:
        """plant_id, trait, source_id, locator, basis; only when the catalogue was loaded with its evidence."""
        return self._frame("evidence")

    @cached_property
    def sources(self) -> pd.DataFrame:
        """The sources; only when the catalogue was loaded with its evidence."""
        return self._frame("sources")

    @cached_property
    def records(self) -> dict[str, dict]:
        """plant_id to the plant's row as a plain dict."""
        columns = dict(self.tables["plants"])
        for column in NUMBERS:
            columns[column] = [float(cell) if cell else np.nan for cell in columns[column]]
        names = list(columns)
        return {
            plant_id: dict(zip(names, row))
            for plant_id, row in zip(columns["plant_id"], zip(*columns.values()))
        }

    @cached_property
    def state_status(self) -> dict[tuple[str, str], str]:
        """(plant_id, state) to native, introduced or unsure; a pair that is missing means: not recorded there."""
        table = self.tables["range"]
        return dict(zip(zip(table["plant_id"], table["state"]), table["status"]))

    def status_in(self, plant_id: str, state: str) -> str:
        """native, introduced, unsure, or "not recorded" for one plant in one state."""
        return self.state_status.get((plant_id, state), "not recorded")

    @property
    def _accepted(self) -> list[tuple[str, str]]:
        return list(zip(self.tables["plants"]["plant_id"], self.tables["plants"]["scientific_name"]))

    @cached_property
    def _taxa(self) -> dict[str, set[str]]:
        """Every accepted name and synonym, lower case, to the plants that bear it."""
        taxa: dict[str, set[str]] = {}
        table = self.tables["names"]
        for plant_id, name, kind in zip(table["plant_id"], table["name"], table["kind"]):
            if kind in ("accepted", "synonym"):
                taxa.setdefault(bare_taxon(name), set()).add(plant_id)
        for plant_id, name in self._accepted:
            taxa.setdefault(bare_taxon(name), set()).add(plant_id)
        return taxa

    @cached_property
    def _genera(self) -> tuple[dict[str, set[str]], dict[str, set[str]]]:
        """Plants by the genus of their accepted name, and by every genus that any of their names ever had."""
        accepted: dict[str, set[str]] = {}
        ever: dict[str, set[str]] = {}
        for plant_id, name in self._accepted:
            accepted.setdefault(name.lower().split()[0], set()).add(plant_id)
        for name, plant_ids in self._taxa.items():
            ever.setdefault(name.split()[0], set()).update(plant_ids)
        return accepted, ever

    @cached_property
    def _subordinate(self) -> dict[str, set[str]]:
        """A species to the plants that are a subspecies or variety of it."""
        below: dict[str, set[str]] = {}
        for plant_id, name in self._accepted:
            parts = bare_taxon(name).split()
            if len(parts) > 2:
                below.setdefault(" ".join(parts[:2]), set()).add(plant_id)
        return below

    def plants_meant(self, taxon: str, exceptions: str = "") -> set[str]:
        """The plants that a law's taxon covers: a species with all below it, or a whole genus less its exceptions."""
        wanted = bare_taxon(taxon)
        if wanted.endswith(" spp"):
            accepted, ever = self._genera
            genus = wanted[:-4]
            found = set(accepted.get(genus) or ever.get(genus, ()))
        else:
            found = self._taxa.get(wanted, set()) | self._subordinate.get(wanted, set())
        for exception in filter(None, (part.strip() for part in exceptions.split(";"))):
            found = found - self._taxa.get(bare_taxon(exception), set())
        return found

    @cached_property
    def law_rows(self) -> dict[str, list[tuple[str, str, str, str, str]]]:
        """plant_id to its listings, lists of lists last: (jurisdiction, status, taxon as listed, citation, as_of)."""
        rows: dict[str, list[tuple[str, str, str, str, str]]] = {}
        meant: dict[tuple[str, str], set[str]] = {}
        columns = ("taxon", "except", "jurisdiction", "status", "citation", "as_of", "source_id")
        table = sorted(zip(*(self.tables["law"][c] for c in columns)), key=lambda row: row[6] in COMPILED)
        for taxon, exceptions, place, status, citation, as_of, _ in table:
            key = (taxon, exceptions)
            if key not in meant:
                meant[key] = self.plants_meant(taxon, exceptions)
            for plant_id in meant[key]:
                rows.setdefault(plant_id, []).append((place, status, taxon, citation, as_of))
        return rows

    def listed(self, plant_id: str, state: str) -> tuple[str, str, str, str, str] | None:
        """The binding listing of a plant for a buyer in `state` (federal first), or None."""
        binding = [
            row
            for row in self.law_rows.get(plant_id, ())
            if row[0] in ("US", state) and row[1] in BINDING_LAW
        ]
        return min(binding, key=lambda row: (row[0] != "US", BINDING_LAW.index(row[1]))) if binding else None

    def listed_elsewhere(self, plant_id: str, state: str) -> tuple[str, ...]:
        """Other states that bind this plant, the neighbours of `state` first, and its own advisory list as "watch"."""
        rows = self.law_rows.get(plant_id, ())
        places = {row[0] for row in rows if row[1] in BINDING_LAW and row[0] not in ("US", state)}
        near = [s for s in neighbours(state) if s in places]
        advisory = ["watch"] if any(row[0] == state and row[1] == "watch" for row in rows) else []
        return (*advisory, *near, *sorted(places - set(near)))

    def coverage_of(self, state: str) -> dict[str, str]:
        """How completely a state's list was read: list_name, agency, read, as_of, seen, source_id, remark.

        The federal list's name, date and day of reading stand beside them as federal_list, federal_as_of, federal_seen.
        """
        table = self.tables["law_coverage"]
        rows = dict(zip(table["jurisdiction"], (dict(zip(table, row)) for row in zip(*table.values()))))
        nothing = dict.fromkeys(table, "") | {
            "jurisdiction": state,
            "agency": "state department of agriculture",
            "read": "none",
        }
        federal = rows.get("US", nothing)
        return rows.get(state, nothing) | {
            "federal_list": federal["list_name"],
            "federal_as_of": federal["as_of"],
            "federal_seen": federal["seen"],
        }

    def find(self, name: str) -> str:
        """The plant_id for an id or any name in the catalogue, letter case aside.

        Raises PlantpickError `no-such-plant` with the nearest names, or `several-plants` with all it can mean.
        """
        wanted = name.strip().lower()
        if wanted in self.records:
            return wanted
        table = self.tables["names"]
        hits = list(dict.fromkeys(p for p, n in zip(table["plant_id"], table["name"]) if n.lower() == wanted))
        for column in (
            "scientific_name",
            "common_name",
        ):  # a name that is one plant's own goes before a shared one
            own = [p for p in hits if bare_taxon(self.records[p][column]) == bare_taxon(wanted)]
            hits = own if len(own) == 1 else hits
        if len(hits) == 1:
            return hits[0]
        genus = [p for p, row in self.records.items() if row["scientific_name"].lower().split()[0] == wanted]
        if hits or genus:
            options = ", ".join(sorted(self.records[p]["scientific_name"] for p in hits or genus))
            says = "is the name of several plants:" if hits else "is a genus; the catalogue has"
            raise PlantpickError(
                "several-plants",
                Problem("", f'"{name}" {says} {options}.', "Ask for one of them by its scientific name."),
            )
        close = list(dict.fromkeys(nearest(name, dict.fromkeys(table["name"]), limit=5)))[:3]
        hint = f"Nearest names: {', '.join(close)}." if close else "Nothing in the catalogue looks like it."
        raise PlantpickError("no-such-plant", Problem("", f'no plant is called "{name}".', hint))


def listed_as(taxon: str, record: dict) -> str:
    """ " as X" where a list names a plant otherwise than the catalogue: a whole genus, a hybrid, an old name."""
    return "" if bare_taxon(taxon) == bare_taxon(record["scientific_name"]) else f" as {taxon}"


def bare_taxon(name: str) -> str:
    """A scientific name for comparison: lower case, no qualifier in brackets, ranks and hybrid signs alike."""
    text = name.lower().split("(")[0].replace("×", "x ").replace("ssp.", "subsp.").replace(".", "")
    return " ".join(text.split())


@dataclass(frozen=True, repr=False)
class Traits:
    """The traits that the computation needs, one array entry per plant (NaN is not known).

    `number[column]` is a float array; `word[column]` an object array; `has[column][item]` a boolean array for a
    column that holds a list. `group` is the number of plants set together as one.
    """

    plant_id: np.ndarray
    number: dict[str, np.ndarray]
    word: dict[str, np.ndarray]
    has: dict[str, dict[str, np.ndarray]]

    def __len__(self) -> int:
        return len(self.plant_id)

    def __repr__(self) -> str:
        return f"Traits of {len(self)} plants"

    @property
    def group(self) -> np.ndarray:
        """Plants set together as one group, (plants,): see `vocabulary.group_size`."""
        return np.array([group_size(form) for form in self.word["growth_form"]], dtype=float)

    @property
    def woody(self) -> np.ndarray:
        """As `is_woody`: shrubs, trees, and vines and herbs that the catalogue calls woody."""
        called = self.has["cautions"].get("woody", np.zeros(len(self), dtype=bool))
        return np.isin(self.word["growth_form"], WOODY) | called

    def subset(self, index) -> Traits:
        """The same traits for some of the plants: a boolean mask or an array of positions."""
        return Traits(
            self.plant_id[index],
            {k: v[index] for k, v in self.number.items()},
            {k: v[index] for k, v in self.word.items()},
            {k: {i: m[index] for i, m in v.items()} for k, v in self.has.items()},
        )

    def replaced(self, **numbers: np.ndarray) -> Traits:
        """The same plants with some number columns changed."""
        return Traits(self.plant_id, {**self.number, **numbers}, self.word, self.has)


def traits(plants: pd.DataFrame | list[dict]) -> Traits:
    """The arrays for some plants: a table indexed by plant_id, or rows of `Catalogue.records`."""
    if isinstance(plants, list):
        plant_id = [row["plant_id"] for row in plants]
        columns = {c: [row[c] for row in plants] for c in (*NUMBERS, *TRAIT_WORDS, *LISTS)}
    else:
        plant_id, columns = (
            list(plants.index),
            {c: plants[c].tolist() for c in (*NUMBERS, *TRAIT_WORDS, *LISTS)},
        )
    number = {column: np.array(columns[column], dtype=float) for column in NUMBERS}
    word = {column: np.array(columns[column], dtype=object) for column in TRAIT_WORDS}
    has: dict[str, dict[str, np.ndarray]] = {}
    for column in LISTS:
        cells = [split_list(cell) for cell in columns[column]]
        items = sorted({item for cell in cells for item in cell})
        has[column] = {item: np.array([item in cell for cell in cells], dtype=bool) for item in items}
    return Traits(np.array(plant_id, dtype=object), number, word, has)
