"""The lists of the law: who lists a plant, as what, and how far each state's list was read."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, fields

from plantpick.catalogue.taxa import Taxa, bare_taxon
from plantpick.vocabulary import BINDING_LAW, COVERAGE_READ, STATES, neighbors

FEDERAL = "US"
# source_ids of lists of lists and of copies that cite no rule: we cite a jurisdiction's own text before them
COMPILED = (
    "usda-composite-2015",
    "trade-list-2013",
    "trade-list-2016",
    "trade-list-2018",
    "regulated-plants-2025",
    "state-lists-2026",
    "ny-bare-list",
    "ny-pond-trade-2015",
    "va-insight-weeds",
)


@dataclass(frozen=True)
class Listing:
    """One plant on one list: `place` is US or a state, `taxon` the name that the list has for it."""

    place: str
    status: str
    taxon: str
    citation: str
    as_of: str
    compiled: bool = False  # on a list of lists, or in a copy that cites no rule

    @property
    def where(self) -> str:
        """The place as an owner calls it."""
        return "the United States" if self.place == FEDERAL else STATES[self.place][0]

    @property
    def binds(self) -> bool:
        """Whether the list has the force of law; an advisory list has not."""
        return self.status in BINDING_LAW

    def applies_in(self, state: str) -> bool:
        """Whether the list counts for a buyer in `state`: the state's own, or the federal one."""
        return self.place in (FEDERAL, state)

    def named(self, scientific_name: str) -> str:
        """ " as X" where the list names the plant otherwise than the catalogue: a whole genus, a hybrid, an old name."""
        return "" if bare_taxon(self.taxon) == bare_taxon(scientific_name) else f" as {self.taxon}"


@dataclass(frozen=True)
class PlantingRule:
    """A state's rule on what is done with plants that may be owned: it asks for leave or a permit, and forbids no stock."""

    act: str
    plants: str
    rule: str
    exceptions: str
    citation: str
    as_of: str


@dataclass(frozen=True, kw_only=True)
class Coverage:
    """How much of a state's list we read, when, and whom to ask; the federal list's name and days stand beside them."""

    jurisdiction: str
    list_name: str = ""
    agency: str = "state department of agriculture"
    read: str = "none"
    as_of: str = ""
    seen: str = ""
    source_id: str = ""
    remark: str = ""
    federal_list: str = ""
    federal_as_of: str = ""
    federal_seen: str = ""
    planting_rules: tuple[PlantingRule, ...] = ()


def listings_by_plant(law: Mapping[str, list[str]], taxa: Taxa) -> dict[str, list[Listing]]:
    """plant_id to its listings: lists of lists last, the newest text first; the order of the rows changes nothing."""
    found: dict[str, list[Listing]] = {}
    covered: dict[tuple[str, str], set[str]] = {}
    columns = ("taxon", "except", "jurisdiction", "status", "citation", "as_of", "source_id")
    rows = sorted(zip(*(law[c] for c in columns)))
    rows.sort(key=lambda row: row[5], reverse=True)
    rows.sort(key=lambda row: row[6] in COMPILED)
    for taxon, exceptions, place, status, citation, as_of, source in rows:
        key = (taxon, exceptions)
        if key not in covered:
            covered[key] = taxa.covered(taxon, exceptions)
        if covered[key]:
            listing = Listing(place, status, taxon, citation, as_of, source in COMPILED)
            for plant_id in covered[key]:
                found.setdefault(plant_id, []).append(listing)
    return found


def binding(listings: Sequence[Listing], state: str) -> Listing | None:
    """The listing that binds a buyer in `state`; None if none does.

    The federal one comes first, then the state's own text before a list of lists, then the strictest, then the newest.
    """
    here = [found for found in listings if found.applies_in(state) and found.binds]
    return min(
        here,
        key=lambda found: (found.place != FEDERAL, found.compiled, BINDING_LAW.index(found.status)),
        default=None,
    )


def bound_elsewhere(listings: Sequence[Listing], state: str) -> tuple[str, ...]:
    """The other states that bind a plant by law, the neighbors of `state` first."""
    places = {found.place for found in listings if found.binds and not found.applies_in(state)}
    near = [place for place in neighbors(state) if place in places]
    return (*near, *sorted(places - set(near)))


def advised_against(listings: Sequence[Listing], state: str) -> bool:
    """Whether the state's own advisory list names a plant."""
    return any(found.place == state and not found.binds for found in listings)


def places_by_reading(law_coverage: Mapping[str, list[str]]) -> dict[str, tuple[str, ...]]:
    """How far lists were read, a word of COVERAGE_READ, to the places: the federal list first, then the states."""
    pairs = sorted(zip(law_coverage["jurisdiction"], law_coverage["read"]))
    return {
        how: tuple(sorted((place for place, read in pairs if read == how), key=lambda p: (p != FEDERAL, p)))
        for how in COVERAGE_READ
    }


def coverage_by_state(
    law_coverage: Mapping[str, list[str]], planting_rules: Mapping[str, list[str]]
) -> dict[str, Coverage]:
    """How far each state's list was read, with its rules on plants that may be owned."""
    rows = [dict(zip(law_coverage, row)) for row in zip(*law_coverage.values())]
    federal = next((row for row in rows if row["jurisdiction"] == FEDERAL), {})
    beside = {f"federal_{key}": federal.get(column, "") for key, column in _BESIDE.items()}
    told = [field.name for field in fields(PlantingRule)]
    rules: dict[str, list[PlantingRule]] = {}
    for place, *cells in sorted(zip(*(planting_rules[c] for c in ("jurisdiction", *told)))):
        rules.setdefault(place, []).append(PlantingRule(*cells))
    by_state = {row["jurisdiction"]: row for row in rows}
    return {
        state: Coverage(
            **by_state.get(state, {"jurisdiction": state}),
            **beside,
            planting_rules=tuple(rules.get(state, ())),
        )
        for state in STATES
    }


_BESIDE = {"list": "list_name", "as_of": "as_of", "seen": "seen"}
