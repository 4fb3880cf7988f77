"""The owner's log as plain values: what was planted, measured, cut and read, row by row."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date

from plantpick.catalogue.plants import Catalogue

EVENTS = ("measured", "planted", "trimmed", "taken out")


@dataclass(frozen=True)
class Entry:
    """One row of the log. Feet, square feet and inches; a None was left empty.

    `length_ft` and `width_ft` are of one patch (`patches` says how many are alike); `area_ft2` is of the
    whole stand; `out_ft` runs from the bank's waterline to the outer edge; `share_percent` is of the strip of
    the stretch in which the plant can live. `drop_ft` is how far the water stands under full pool and
    `clarity_in` a Secchi reading: both may stand in a row without a plant.
    """

    row: int
    day: date
    event: str = "measured"
    plant_id: str | None = None
    stretch: str | None = None
    length_ft: float | None = None
    width_ft: float | None = None
    area_ft2: float | None = None
    out_ft: float | None = None
    share_percent: float | None = None
    drop_ft: float | None = None
    clarity_in: float | None = None
    groups: float | None = None
    number: float | None = None
    patches: float | None = None
    note: str = ""

    @property
    def measures(self) -> bool:
        """Whether the row says how large a stand is."""
        return any(v is not None for v in (self.length_ft, self.area_ft2, self.out_ft, self.share_percent))


@dataclass(frozen=True)
class Log:
    """All rows, oldest first, and what the reader had to assume."""

    entries: tuple[Entry, ...]
    assumed: tuple[str, ...] = field(default=())

    @property
    def planted(self) -> tuple[Entry, ...]:
        return tuple(e for e in self.entries if e.event == "planted")

    def stands(self) -> dict[tuple[str, str], list[Entry]]:
        """Rows by (plant_id, stretch), oldest first."""
        found: dict[tuple[str, str], list[Entry]] = {}
        for entry in self.entries:
            if entry.plant_id:
                found.setdefault((entry.plant_id, entry.stretch), []).append(entry)
        return found

    @property
    def light(self) -> tuple[tuple[date, float], ...]:
        """Secchi readings, inches."""
        return tuple((e.day, e.clarity_in) for e in self.entries if e.clarity_in is not None)

    @property
    def level(self) -> tuple[tuple[date, float], ...]:
        """Readings of the level: feet under full pool."""
        return tuple((e.day, e.drop_ft) for e in self.entries if e.drop_ft is not None)


def meanings(catalogue: Catalogue, name: str) -> list[str]:
    """Every plant_id that a name can stand for, letter case aside."""
    rows = catalogue.names["name"].str.lower() == name.strip().lower()
    return list(dict.fromkeys(catalogue.names["plant_id"][rows]))


def only_native(catalogue: Catalogue, name: str, state: str) -> str | None:
    """Of the plants that a name can stand for, the one native in a state; None if there are none or several.

    Good enough for a plant that the owner set and knows, never for one to buy or one that came by itself.
    """
    native = [p for p in meanings(catalogue, name) if catalogue.status_in(p, state) == "native"]
    return native[0] if len(native) == 1 else None
