"""Plants that a state or the federal government protects where they grow wild, and what that means for a buyer.

Such a listing seldom forbids nursery-grown stock: it forbids digging. So it rules no plant out, but for a whole species
on the federal list.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from plantpick.catalogue.law import FEDERAL
from plantpick.catalogue.taxa import bare_taxon
from plantpick.vocabulary import STATES

CLASSES = {"class not shown": "class not known", "conserved wildflower": "by statute"}  # where ours reads ill
FEDERAL_CLASSES = ("endangered", "threatened")


@dataclass(frozen=True)
class Protected:
    """One plant on one list of protected plants: `place` is US or a state; `named` is " as X" where X is not its name."""

    place: str
    status: str
    listed_as: str
    citation: str
    as_of: str
    remark: str
    named: str = ""

    @property
    def where(self) -> str:
        """The place as an owner calls it."""
        return "the United States" if self.place == FEDERAL else STATES[self.place][0]

    def applies_in(self, state: str) -> bool:
        """Whether the list counts in `state`: the state's own, or the federal one."""
        return self.place in (FEDERAL, state)

    @property
    def part(self) -> bool:
        """Whether only a subspecies or a variety is listed."""
        return bool(self.named) and any(rank in self.listed_as for rank in (" ssp. ", " subsp. ", " var. "))

    @property
    def federal_species(self) -> bool:
        """Whether the whole species is on the federal list."""
        return self.place == FEDERAL and self.status in FEDERAL_CLASSES and not self.part

    @property
    def words(self) -> str:
        """What the list says, without a full stop."""
        called = CLASSES.get(self.status, self.status)
        if self.status == "thought gone":
            return f"thought gone from the wild in {self.where}{self.named}"
        if self.place == FEDERAL:
            return f"on the federal list of {self.status} plants{self.named} ({self.citation})"
        return f"protected in {self.where}{self.named} ({called})"


def protected_words(rows: tuple[Protected, ...]) -> str:
    """What the lists say of a plant and what to do, in a sentence without its full stop; empty where no list has it."""
    if not rows:
        return ""
    says = "; ".join(dict.fromkeys(row.words for row in rows))
    if any(row.federal_species for row in rows):
        return f"{says}: never dig it, move it or buy it"
    if all(row.status == "thought gone" for row in rows):
        return f"{says}: report a wild find to your agency, and buy it nursery-grown with its papers"
    if all(row.place == FEDERAL for row in rows):
        return f"a wild form is {says}: buy the common form nursery-grown, with its origin on paper"
    return f"{says}: never dig it from the wild; buy it nursery-grown with its papers"


def protected_by_plant(
    table: Mapping[str, list[str]], names: Mapping[str, str]
) -> dict[str, list[Protected]]:
    """plant_id to its rows, federal first; `names` has each plant's scientific name."""
    found: dict[str, list[Protected]] = {}
    columns = ("plant_id", "jurisdiction", "status", "listed_as", "citation", "as_of", "remark")
    rows = sorted(zip(*(table[c] for c in columns)), key=lambda row: (row[1] != FEDERAL, row))
    for plant_id, place, status, listed_as, citation, as_of, remark in rows:
        own = bare_taxon(listed_as) == bare_taxon(names[plant_id])
        named = "" if own else f" as {listed_as}"
        found.setdefault(plant_id, []).append(
            Protected(place, status, listed_as, citation, as_of, remark, named)
        )
    return found
