"""The owner's log as plain values: what was planted, measured, cut and read, row by row, and what cannot be so."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from plantpick.catalogue.plants import Catalogue
from plantpick.pond.model import Pond


class Event(StrEnum):
    """What happened to a stand on a day."""

    MEASURED = "measured"
    PLANTED = "planted"
    TRIMMED = "trimmed"
    TAKEN_OUT = "taken out"


EVENTS = tuple(Event)


@dataclass(frozen=True, kw_only=True)
class LogRow:
    """One row of the log. Feet, square feet and inches; a None was left empty.

    `length_ft` and `width_ft` are of one patch (`patches` says how many are alike); `area_ft2` is of the
    whole stand; `out_ft` runs from the bank's waterline to the outer edge; `share_percent` is of the strip of
    the stretch in which the plant can live. `drop_ft` is how far the water stands under full pool and
    `clarity_in` a Secchi reading: both may stand in a row without a plant.
    """

    row: int
    day: date
    event: Event = Event.MEASURED
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

    entries: tuple[LogRow, ...]
    assumed: tuple[str, ...] = ()

    @property
    def planted(self) -> tuple[LogRow, ...]:
        return tuple(e for e in self.entries if e.event is Event.PLANTED)

    def stands(self) -> dict[tuple[str, str], list[LogRow]]:
        """Rows by (plant_id, stretch), oldest first."""
        found: dict[tuple[str, str], list[LogRow]] = {}
        for entry in self.entries:
            if entry.plant_id and entry.stretch:
                found.setdefault((entry.plant_id, entry.stretch), []).append(entry)
        return found

    def standing(self, day: date) -> dict[tuple[str, str], list[LogRow]]:
        """The stands that are there on a day, with their rows since they were last taken out."""
        found = {}
        for stand, rows in self.stands().items():
            if left := since_taken_out([row for row in rows if row.day <= day]):
                found[stand] = left
        return found

    @property
    def light(self) -> tuple[tuple[date, float], ...]:
        """Secchi readings, inches."""
        return tuple((e.day, e.clarity_in) for e in self.entries if e.clarity_in is not None)

    @property
    def level(self) -> tuple[tuple[date, float], ...]:
        """Readings of the level: feet under full pool."""
        return tuple((e.day, e.drop_ft) for e in self.entries if e.drop_ft is not None)


def since_taken_out(rows: list[LogRow]) -> list[LogRow]:
    """The rows of one stand after it was last taken out; none where it is gone."""
    last = max((i for i, row in enumerate(rows) if row.event is Event.TAKEN_OUT), default=-1)
    return rows[last + 1 :]


def meanings(catalogue: Catalogue, name: str) -> list[str]:
    """Every plant_id that a name can stand for, letter case aside."""
    rows = catalogue.names["name"].str.lower() == name.strip().lower()
    return list(dict.fromkeys(catalogue.names["plant_id"][rows]))


def only_native(catalogue: Catalogue, name: str, state: str) -> str | None:
    """Of the plants that a name can stand for, the one native in a state; None if there are none or several.

    Good enough for a plant that you set and know, never for one to buy or one that nobody set.
    """
    native = [p for p in meanings(catalogue, name) if catalogue.status_in(p, state) == "native"]
    return native[0] if len(native) == 1 else None


def row_faults(entry: LogRow, pond: Pond, named: bool) -> Iterator[tuple[str, str, str]]:
    """(column, what, remedy) of one row; `named` says that it names a plant."""
    if entry.clarity_in is not None and entry.clarity_in > pond.max_depth_in:
        yield (
            "secchi",
            f"{entry.clarity_in:g} in is deeper than the pond ({pond.max_depth_in:g} in).",
            "Check its unit.",
        )
    if entry.drop_ft is not None and entry.drop_ft >= pond.max_depth_ft:
        yield (
            "drop",
            f"{entry.drop_ft:g} ft would leave the pond dry.",
            "Give the drop from full pool; check its unit.",
        )
    if not named:
        if entry.measures or entry.width_ft is not None or entry.event is not Event.MEASURED:
            yield "plant", "the row names no plant.", "Write which plant you measured."
        elif entry.drop_ft is None and entry.clarity_in is None:
            yield "plant", "the row holds no plant and no reading.", "Fill it in, or take it out."
        return
    stretch = next(s for s in pond.shore if s.name == entry.stretch)
    if entry.width_ft is not None and entry.length_ft is None:
        yield "length", "there is a width but no length.", "Give both, or the area."
    elif entry.event is Event.MEASURED and not entry.measures:
        remedy = "Give length and width, area, distance out, or share of the stretch."
        yield "length", "nothing was measured.", remedy
    if entry.share_percent is not None and entry.share_percent > 100.0:
        yield "share", f"{entry.share_percent:g} per cent is more than all of it.", "Give 100 or less."
    if entry.area_ft2 is not None and entry.area_ft2 > pond.area_ft2:
        what = f"{entry.area_ft2:,.0f} sq ft is more than the pond ({pond.area_ft2:,.0f})."
        yield "area", what, "Check its unit."
    across = max(stretch.length_ft, 2.0 * pond.area_ft2**0.5)
    for word, value in (("length", entry.length_ft), ("width", entry.width_ft), ("out", entry.out_ft)):
        if value is not None and value > across:
            yield word, f"{value:,.0f} ft is longer than the stretch and the pond.", "Check its unit."


def order_faults(entries: list[LogRow]) -> Iterator[tuple[int, str, str]]:
    """(row, what, remedy) for duplicates, and for rows of one stand that are not in order of their dates."""
    last: dict[tuple, LogRow] = {}
    seen: dict[tuple, LogRow] = {}
    for entry in entries:
        stand = (entry.plant_id, entry.stretch)
        light = (("level", entry.drop_ft), ("light", entry.clarity_in))
        kinds = [entry.event] if entry.plant_id else [kind for kind, value in light if value is not None]
        for kind in kinds:
            key = (*stand, entry.day, kind)
            if key in seen:
                what = f"says the same as row {seen[key].row}: this stand, this day, {kind}."
                yield entry.row, what, "Keep one of the two."
            seen.setdefault(key, entry)
        before = last.get(stand)
        if before is not None and entry.day < before.day:
            whose = "stand" if entry.plant_id else "readings"
            what = f"{entry.day} comes after {before.day} in row {before.row} for the same {whose}."
            yield entry.row, what, "Correct the date, or put the rows in order."
        last[stand] = entry
