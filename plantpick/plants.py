"""The catalogue as tables, and look-ups on it: traits as arrays, states, names, law.

The tables come checked from `plantpick.read.catalogue`; nothing here opens a file.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
import pandas as pd

from plantpick.errors import PlantpickError, Problem, nearest
from plantpick.words import BINDING_LAW, PURPOSES, WOODY, neighbours

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
NUMBERS = (*(column for group in RANGES for column in group), "salinity_max_ppt", "spacing_in", *USES)
LISTS = ("jump_by", "contained_by", "eaten_by", "cautions")
# without these a plant cannot be placed or forecast, whatever else is known of it
NEEDED = ("depth_min_in", "depth_best_min_in", "depth_best_max_in", "depth_max_in", "advance_depth_low_in",
          "advance_depth_in", "advance_depth_high_in", "zone_min", "zone_max", "jump", "spacing_in")


def split_list(cell: str) -> tuple[str, ...]:
    """The words of a cell that holds several, separated by semicolons."""
    return tuple(word for word in cell.split(";") if word)


@dataclass(frozen=True)
class Catalogue:
    """The tables of `data/`, one row per plant in `plants`, which is indexed by plant_id.

    `plants` holds text and floats (NaN is not known); `names`, `range`, `law`, `coverage`, `evidence` and
    `sources` are as in docs/data.md. Tables that a command does not need may be None.
    """

    plants: pd.DataFrame
    range: pd.DataFrame
    law: pd.DataFrame
    coverage: pd.DataFrame
    names: pd.DataFrame
    evidence: pd.DataFrame | None = None
    sources: pd.DataFrame | None = None

    @cached_property
    def state_status(self) -> dict[tuple[str, str], str]:
        """(plant_id, state) to native, introduced or unsure; a pair that is missing means: not recorded there."""
        return dict(zip(zip(self.range["plant_id"], self.range["state"]), self.range["status"]))

    def status_in(self, plant_id: str, state: str) -> str:
        """native, introduced, unsure, or "not recorded" for one plant in one state."""
        return self.state_status.get((plant_id, state), "not recorded")

    @cached_property
    def records(self) -> dict[str, dict]:
        """plant_id to the plant's row as a plain dict (floats, NaN is not known, and text)."""
        return self.plants.to_dict("index")

    @cached_property
    def _taxa(self) -> dict[str, set[str]]:
        """Every accepted name and synonym, lower case, to the plants that bear it."""
        taxa: dict[str, set[str]] = {}
        botanical = self.names[self.names["kind"].isin(("accepted", "synonym"))]
        for plant_id, name in zip(botanical["plant_id"], botanical["name"]):
            taxa.setdefault(bare_taxon(name), set()).add(plant_id)
        for plant_id, name in self.plants["scientific_name"].items():
            taxa.setdefault(bare_taxon(name), set()).add(plant_id)
        return taxa

    @cached_property
    def _genera(self) -> tuple[dict[str, set[str]], dict[str, set[str]]]:
        """Plants by the genus of their accepted name, and by every genus that any of their names ever had."""
        accepted: dict[str, set[str]] = {}
        ever: dict[str, set[str]] = {}
        for plant_id, name in self.plants["scientific_name"].items():
            accepted.setdefault(name.lower().split()[0], set()).add(plant_id)
        for name, plant_ids in self._taxa.items():
            ever.setdefault(name.split()[0], set()).update(plant_ids)
        return accepted, ever

    @cached_property
    def _subordinate(self) -> dict[str, set[str]]:
        """A species to the plants that are a subspecies or variety of it."""
        below: dict[str, set[str]] = {}
        for plant_id, name in self.plants["scientific_name"].items():
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
        """plant_id to its listings: (jurisdiction, status, taxon as listed, citation, as_of)."""
        rows: dict[str, list[tuple[str, str, str, str, str]]] = {}
        meant: dict[tuple[str, str], set[str]] = {}
        columns = ("taxon", "except", "jurisdiction", "status", "citation", "as_of")
        for taxon, exceptions, place, status, citation, as_of in zip(*(self.law[c] for c in columns)):
            key = (taxon, exceptions)
            if key not in meant:
                meant[key] = self.plants_meant(taxon, exceptions)
            for plant_id in meant[key]:
                rows.setdefault(plant_id, []).append((place, status, taxon, citation, as_of))
        return rows

    def listed(self, plant_id: str, state: str) -> tuple[str, str, str, str, str] | None:
        """The binding listing of a plant for a buyer in `state` (federal first), or None."""
        binding = [row for row in self.law_rows.get(plant_id, ()) if row[0] in ("US", state) and row[1] in BINDING_LAW]
        return min(binding, key=lambda row: (row[0] != "US", BINDING_LAW.index(row[1]))) if binding else None

    def listed_elsewhere(self, plant_id: str, state: str) -> tuple[str, ...]:
        """Other states that bind this plant, the neighbours of `state` first, and its own advisory list as "watch"."""
        rows = self.law_rows.get(plant_id, ())
        places = {row[0] for row in rows if row[1] in BINDING_LAW and row[0] not in ("US", state)}
        near = [s for s in neighbours(state) if s in places]
        advisory = ["watch"] if any(row[0] == state and row[1] == "watch" for row in rows) else []
        return (*advisory, *near, *sorted(places - set(near)))

    def coverage_of(self, state: str) -> dict[str, str]:
        """How completely a state's list was read: list_name, agency, read, as_of, remark."""
        rows = self.coverage[self.coverage["jurisdiction"] == state]
        return rows.iloc[0].to_dict() if len(rows) else {
            "jurisdiction": state, "list_name": "", "agency": "state department of agriculture", "read": "none",
            "as_of": "", "remark": ""}

    def find(self, name: str) -> str:
        """The plant_id for an id or any name in the catalogue, letter case aside.

        Raises PlantpickError `no-such-plant` with the nearest names, or `several-plants` with all it can mean.
        """
        wanted = name.strip().lower()
        if wanted in self.plants.index:
            return wanted
        lowered = self.names["name"].str.lower()
        hits = list(dict.fromkeys(self.names["plant_id"][lowered == wanted]))
        accepted = [p for p in hits if bare_taxon(self.plants.at[p, "scientific_name"]) == bare_taxon(wanted)]
        hits = accepted if len(accepted) == 1 else hits
        if len(hits) == 1:
            return hits[0]
        if hits:
            options = ", ".join(self.plants.loc[hits, "scientific_name"])
            raise PlantpickError("several-plants", Problem(
                "", f'"{name}" is the name of several plants: {options}.', "Ask for one of them by its scientific name."))
        close = list(dict.fromkeys(nearest(name, self.names["name"].unique(), limit=5)))[:3]
        hint = f"Nearest names: {', '.join(close)}." if close else "Nothing in the catalogue looks like it."
        raise PlantpickError("no-such-plant", Problem("", f'no plant is called "{name}".', hint))


def bare_taxon(name: str) -> str:
    """A scientific name for comparison: lower case, no qualifier in brackets, ranks and hybrid signs alike."""
    text = name.lower().split("(")[0].replace("×", "x ").replace("ssp.", "subsp.").replace(".", "")
    return " ".join(text.split())


@dataclass(frozen=True, repr=False)
class Traits:
    """The traits that the computation needs, one array entry per plant (NaN is not known).

    `number[column]` is a float array; `word[column]` an object array; `has[column][item]` a boolean array for a
    column that holds a list. `group` is the number of plants set together: seven herbs, three shrubs, one tree.
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
        form = self.word["growth_form"]
        return np.where(form == "tree", 1.0, np.where(form == "shrub", 3.0, 7.0))

    @property
    def woody(self) -> np.ndarray:
        return np.isin(self.word["growth_form"], WOODY)

    def take(self, index) -> "Traits":
        """The same traits for some of the plants: a boolean mask or an array of positions."""
        return Traits(self.plant_id[index], {k: v[index] for k, v in self.number.items()},
                      {k: v[index] for k, v in self.word.items()},
                      {k: {i: m[index] for i, m in v.items()} for k, v in self.has.items()})

    def replaced(self, **numbers: np.ndarray) -> "Traits":
        """The same plants with some number columns changed."""
        return Traits(self.plant_id, {**self.number, **numbers}, self.word, self.has)


def traits(plants: pd.DataFrame) -> Traits:
    """The arrays for a table of plants indexed by plant_id."""
    number = {column: plants[column].to_numpy(dtype=float) for column in NUMBERS}
    words = ("growth_form", "sun", "clarity", "drawdown", "flooding", "jump", "origin")
    word = {column: plants[column].to_numpy(dtype=object) for column in words}
    has: dict[str, dict[str, np.ndarray]] = {}
    for column in LISTS:
        cells = [split_list(cell) for cell in plants[column]]
        items = sorted({item for cell in cells for item in cell})
        has[column] = {item: np.array([item in cell for cell in cells], dtype=bool) for item in items}
    return Traits(plants.index.to_numpy(dtype=object), number, word, has)
