"""The plants and the catalogue that holds them: look-ups of plants, names, states and law.

The tables come checked from `plantpick.files.catalogue`; nothing here opens a file.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

from plantpick.catalogue import law, protection
from plantpick.catalogue.costs import Costs
from plantpick.catalogue.establishment import Establishment
from plantpick.catalogue.law import Coverage, Listing
from plantpick.catalogue.protection import Protected
from plantpick.catalogue.schema import LISTS, NEEDED, NUMBERS, split_list
from plantpick.catalogue.taxa import Taxa, bare_taxon
from plantpick.errors import NEAR_NAME, PlantpickError, Problem, nearest
from plantpick.vocabulary import PURPOSES, WOODY

if TYPE_CHECKING:
    from collections.abc import Iterator

    import pandas as pd


@dataclass(frozen=True, kw_only=True)
class Plant:
    """One plant: a row of plants.csv with its numbers as numbers (NaN is not known) and its lists as tuples.

    docs/data.md says what each column means, and its unit.
    """

    plant_id: str
    scientific_name: str
    common_name: str
    family: str
    growth_form: str
    life_span: str
    origin: str
    height_min_in: float
    height_max_in: float
    depth_min_in: float
    depth_best_min_in: float
    depth_best_max_in: float
    depth_max_in: float
    advance_depth_low_in: float
    advance_depth_in: float
    advance_depth_high_in: float
    zone_min: float
    zone_max: float
    sun: str
    ph_min: float
    ph_max: float
    ph_basis: str
    salinity_min_ppt: float
    salinity_max_ppt: float
    clarity: str
    light_depth_low: float
    light_depth: float
    light_depth_high: float
    drawdown: str
    flooding: str
    spread_low_ft_yr: float
    spread_ft_yr: float
    spread_high_ft_yr: float
    doubling_low_days: float
    doubling_days: float
    doubling_high_days: float
    jump: str
    jump_by: tuple[str, ...]
    contained_by: tuple[str, ...]
    spacing_in: float
    fish_cover: float
    bank_hold: float
    waterfowl: float
    pollinator: float
    show: float
    eaten_by: tuple[str, ...]
    cautions: tuple[str, ...]
    availability: str
    forms_sold: tuple[str, ...]
    price_low_usd: float
    price_high_usd: float
    price_form: str
    price_year: str
    wetland_status_AGCP: str
    wetland_status_AW: str
    wetland_status_EMP: str
    wetland_status_GP: str
    wetland_status_MW: str
    wetland_status_NCNE: str
    wetland_status_WMVC: str
    remark: str

    @classmethod
    def from_cells(cls, cells: dict[str, str]) -> Plant:
        """The plant of one row of plants.csv, column to cell."""
        values: dict[str, str | float | tuple[str, ...]] = dict(cells)
        for column in NUMBERS:
            cell = cells[column]
            values[column] = float(cell) if cell else NOT_KNOWN
        for column in LISTS:
            values[column] = split_list(cells[column])
        # a ranking asks for a thousand plants: the constructor of a frozen class would take it eight times as long
        plant = object.__new__(cls)
        plant.__dict__.update(values)
        return plant

    @property
    def woody(self) -> bool:
        """Whether it makes wood: a shrub, a tree, or a vine or herb that the catalogue calls woody."""
        return self.growth_form in WOODY or "woody" in self.cautions

    @property
    def introduced(self) -> bool:
        """Whether it came to the lower 48 states from elsewhere, or from a garden."""
        return self.origin == "introduced"

    @property
    def jumps(self) -> bool:
        """Whether it starts colonies away from the parent."""
        return self.jump in ("low", "high")

    @property
    def well_known(self) -> bool:
        """Whether the catalogue holds all that placing it and forecasting its spread needs."""
        values = [getattr(self, column) for column in NEEDED]
        known = all(value == value and value != "" for value in values)  # NaN is unlike itself
        return known and (self.spread_ft_yr == self.spread_ft_yr or self.doubling_days == self.doubling_days)

    @property
    def whole_genus(self) -> bool:
        """Whether the name covers all the species of a genus ("Chara spp.")."""
        return self.scientific_name.endswith(" spp.")

    def worth(self, purpose: str) -> float:
        """What it is worth for one of the owner's purposes, 0 to 3; NaN is not known."""
        return getattr(self, PURPOSES[purpose])


NOT_KNOWN = float("nan")


@dataclass(frozen=True, repr=False)
class Catalogue:
    """The tables of `data/`: table name to column name to the column's cells, as text.

    `plants`, `names`, `range`, `law`, `coverage`, `evidence` and `sources` give them as pandas tables, made when they
    are first asked for; `plant` gives one plant. The numbers of a plant are floats, and NaN is not known. docs/data.md
    describes the columns.
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
    def protected(self) -> pd.DataFrame:
        """plant_id, jurisdiction, status, listed_as, citation, as_of, source_id, remark."""
        return self._frame("protected")

    @cached_property
    def sale_lists(self) -> pd.DataFrame:
        """list_id, kind, state, region, as_of, address, seen, remark; only when loaded with its evidence."""
        return self._frame("sale_lists")

    @cached_property
    def sold(self) -> pd.DataFrame:
        """plant_id, list_id; only when loaded with its evidence."""
        return self._frame("sold")

    @cached_property
    def most_used(self) -> pd.DataFrame:
        """plant_id, owners, documents, lists; only when loaded with its evidence."""
        counts = ["owners", "documents", "lists"]
        return self._frame("most_used").astype(dict.fromkeys(counts, int))

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
    def establishment(self) -> Establishment:
        """How many planted plants live, by plant and growth form."""
        return Establishment.from_table(self.tables["establishment"])

    @cached_property
    def costs(self) -> Costs:
        """Published prices and rates of work."""
        return Costs.from_table(self.tables["costs"])

    @cached_property
    def _rows(self) -> dict[str, int]:
        return {plant_id: row for row, plant_id in enumerate(self.tables["plants"]["plant_id"])}

    @cached_property
    def _plants(self) -> dict[str, Plant]:
        """The plants that were asked for so far."""
        return {}

    @property
    def plant_ids(self) -> tuple[str, ...]:
        """The plant_id of every plant, in the order of the table."""
        return tuple(self._rows)

    def plant(self, plant_id: str) -> Plant:
        """The plant of a plant_id; `find` takes any name."""
        plant = self._plants.get(plant_id)
        if plant is None:
            row = self._rows[plant_id]
            plant = Plant.from_cells({column: cells[row] for column, cells in self.tables["plants"].items()})
            self._plants[plant_id] = plant
        return plant

    def every_plant(self) -> Iterator[Plant]:
        """All plants, in the order of the table."""
        return map(self.plant, self._rows)

    @cached_property
    def state_status(self) -> dict[tuple[str, str], str]:
        """(plant_id, state) to native, introduced or unsure; a pair that is missing means: not recorded there."""
        table = self.tables["range"]
        return dict(zip(zip(table["plant_id"], table["state"]), table["status"]))

    def status_in(self, plant_id: str, state: str) -> str:
        """native, introduced, unsure, or "not recorded" for one plant in one state."""
        return self.state_status.get((plant_id, state), "not recorded")

    @cached_property
    def taxa(self) -> Taxa:
        """The accepted names and synonyms."""
        plants, names = self.tables["plants"], self.tables["names"]
        return Taxa(
            list(zip(plants["plant_id"], plants["scientific_name"])),
            [
                (plant_id, name)
                for plant_id, name, kind in zip(names["plant_id"], names["name"], names["kind"])
                if kind in ("accepted", "synonym")
            ],
        )

    @cached_property
    def _listings(self) -> dict[str, list[Listing]]:
        return law.listings_by_plant(self.tables["law"], self.taxa)

    def listings(self, plant_id: str) -> tuple[Listing, ...]:
        """Every list that names a plant, lists of lists last."""
        return tuple(self._listings.get(plant_id, ()))

    def listed(self, plant_id: str, state: str) -> Listing | None:
        """The listing that binds a buyer in `state` (federal first), or None."""
        return law.binding(self._listings.get(plant_id, ()), state)

    def listed_elsewhere(self, plant_id: str, state: str) -> tuple[str, ...]:
        """The other states that bind a plant by law, the neighbors of `state` first."""
        return law.bound_elsewhere(self._listings.get(plant_id, ()), state)

    def advised_against(self, plant_id: str, state: str) -> bool:
        """Whether the state's own advisory list names a plant."""
        return law.advised_against(self._listings.get(plant_id, ()), state)

    @cached_property
    def _protected(self) -> dict[str, list[Protected]]:
        names = dict(zip(self.tables["plants"]["plant_id"], self.tables["plants"]["scientific_name"]))
        return protection.protected_by_plant(self.tables["protected"], names)

    def protected_in(self, plant_id: str, state: str = "") -> tuple[Protected, ...]:
        """How a plant is protected in `state` and by federal law, federal first; everywhere, without a state."""
        rows = self._protected.get(plant_id, ())
        return tuple(row for row in rows if not state or row.applies_in(state))

    @cached_property
    def _coverage(self) -> dict[str, Coverage]:
        return law.coverage_by_state(self.tables["law_coverage"], self.tables["planting_rules"])

    def coverage_of(self, state: str) -> Coverage:
        """How much of a state's list we read, when, and whom to ask."""
        return self._coverage[state]

    def _called(self, name: str) -> tuple[list[str], list[str]]:
        """The plants that a name can mean, one's own before a shared one, and those of a genus of that name."""
        wanted = name.strip().lower()
        if wanted in self._rows:
            return [wanted], []
        table = self.tables["names"]
        hits = list(dict.fromkeys(p for p, n in zip(table["plant_id"], table["name"]) if n.lower() == wanted))
        for own_name in (
            lambda p: p.scientific_name,
            lambda p: p.common_name,
        ):  # one plant's own, before a shared one
            own = [p for p in hits if bare_taxon(own_name(self.plant(p))) == bare_taxon(wanted)]
            hits = own if len(own) == 1 else hits
        if len(hits) == 1:
            return hits, []
        return hits, [
            p.plant_id for p in self.every_plant() if p.scientific_name.lower().split()[0] == wanted
        ]

    def called(self, name: str) -> tuple[str, ...]:
        """The plant_id of every plant that an id, a name or a genus can mean, letter case aside.

        Raises PlantpickError `no-such-plant` with the nearest names.
        """
        hits, genus = self._called(name)
        return tuple(hits or genus) or (self.find(name),)

    def find(self, name: str) -> str:
        """The plant_id for an id or any name in the catalogue, letter case aside.

        Raises PlantpickError `no-such-plant` with the nearest names, or `several-plants` with all it can mean.
        """
        hits, genus = self._called(name)
        if len(hits) == 1:
            return hits[0]
        if hits or genus:
            named = sorted((self.plant(p) for p in hits or genus), key=lambda p: p.scientific_name)
            options = ", ".join(f"{p.scientific_name} ({p.common_name})" for p in named)
            says = "is the name of several plants:" if hits else "is a genus; the catalogue has"
            raise PlantpickError(
                "several-plants",
                Problem("", f'"{name}" {says} {options}.', "Ask for one of them by its scientific name."),
            )
        table = self.tables["names"]
        close = nearest(name, {n.lower(): n for n in table["name"]}.values(), limit=3, floor=NEAR_NAME)
        hint = f"Nearest names: {', '.join(close)}." if close else "Nothing in the catalogue looks like it."
        raise PlantpickError("no-such-plant", Problem("", f'no plant is called "{name}".', hint))
