"""What shows only when the cells of a log's row, or its rows, stand side by side."""

from __future__ import annotations

from collections.abc import Iterator

from plantpick.monitoring.log import Entry
from plantpick.pond.model import Pond


def row_faults(entry: Entry, pond: Pond, named: bool) -> Iterator[tuple[str, str, str]]:
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
        if entry.measures or entry.width_ft is not None or entry.event != "measured":
            yield "plant", "the row names no plant.", "Write which plant was measured."
        elif entry.drop_ft is None and entry.clarity_in is None:
            yield "plant", "the row holds no plant and no reading.", "Fill it in, or take it out."
        return
    stretch = next(s for s in pond.shore if s.name == entry.stretch)
    if entry.width_ft is not None and entry.length_ft is None:
        yield "length", "there is a width but no length.", "Give both, or the area."
    elif entry.event == "measured" and not entry.measures:
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


def order_faults(entries: list[Entry]) -> Iterator[tuple[int, str, str]]:
    """(row, what, remedy) for duplicates, and for rows of one stand that are not in order of their dates."""
    last: dict[tuple, Entry] = {}
    seen: dict[tuple, Entry] = {}
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
