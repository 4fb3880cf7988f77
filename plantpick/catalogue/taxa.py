"""Scientific names: how two spellings compare, and which plants a name on a list covers."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence


def bare_taxon(name: str) -> str:
    """A scientific name for comparison: lower case, no qualifier in brackets, ranks and hybrid signs alike."""
    text = name.lower().split("(")[0].replace("×", "x ").replace("ssp.", "subsp.").replace(".", "")
    return " ".join(text.split())


@dataclass(frozen=True, repr=False)
class Taxa:
    """The scientific names of the catalogue: `accepted` pairs a plant_id with its name, `synonyms` likewise."""

    accepted: Sequence[tuple[str, str]]
    synonyms: Sequence[tuple[str, str]]

    @cached_property
    def by_name(self) -> dict[str, set[str]]:
        """Every accepted name and synonym, bare, to the plants that bear it."""
        found: dict[str, set[str]] = {}
        for plant_id, name in (*self.synonyms, *self.accepted):
            found.setdefault(bare_taxon(name), set()).add(plant_id)
        return found

    @cached_property
    def by_genus(self) -> dict[str, set[str]]:
        """Plants by the genus of their accepted name; a genus that only synonyms have, by those."""
        found: dict[str, set[str]] = {}
        for name, plant_ids in self.by_name.items():
            found.setdefault(name.split()[0], set()).update(plant_ids)
        accepted: dict[str, set[str]] = {}
        for plant_id, name in self.accepted:
            accepted.setdefault(name.lower().split()[0], set()).add(plant_id)
        return found | accepted

    @cached_property
    def below(self) -> dict[str, set[str]]:
        """A species to the plants that are a subspecies or variety of it."""
        found: dict[str, set[str]] = {}
        for plant_id, name in self.accepted:
            parts = bare_taxon(name).split()
            if len(parts) > 2:
                found.setdefault(" ".join(parts[:2]), set()).add(plant_id)
        return found

    def covered(self, taxon: str, exceptions: str = "") -> set[str]:
        """The plants that a list's taxon covers: a species with all below it, or a whole genus less its exceptions."""
        wanted = bare_taxon(taxon)
        if wanted.endswith(" spp"):
            found = set(self.by_genus.get(wanted[:-4], ()))
        else:
            found = self.by_name.get(wanted, set()) | self.below.get(wanted, set())
        for exception in filter(None, (part.strip() for part in exceptions.split(";"))):
            found = found - self.by_name.get(bare_taxon(exception), set())
        return found
