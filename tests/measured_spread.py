"""Rates of spread that were measured, against the catalogue's 10 to 90 % range.

Run as `python tests/measured_spread.py`: it writes the tables of docs/measured_spread.md and the table of docs/method.md.
The rates stand in tests/data/measured_spread.csv, a row a figure with its published source.
"""

from __future__ import annotations

import csv
import math
import sys
from dataclasses import dataclass
from pathlib import Path
from statistics import median

from plantpick.catalogue.plants import Catalogue
from plantpick.pond.growing_season import FASTEST, REFERENCE_SEASON_DAYS, SLOWEST

HERE = Path(__file__).resolve().parent
RATES = HERE / "data" / "measured_spread.csv"
PAGE, METHOD = HERE.parent / "docs" / "measured_spread.md", HERE.parent / "docs" / "method.md"
FT_PER_M = 1 / 0.3048
RATE, AT_MOST, AT_LEAST = "rate", "at most", "at least"
NEVER, MENDED, YES = "never", "mended", "yes"  # whether the catalogue's range was set from the figure

Range = tuple[float, float, float]


def radius_m(area_m2: float, patches: float) -> float:
    """Radius of one of so many equal round patches that hold an area together, meters."""
    return math.sqrt(area_m2 / (patches * math.pi))


def season_factor(frost_free_days: float) -> float:
    """What a rate of the catalogue is multiplied by where the season is so long."""
    return min(FASTEST, max(SLOWEST, frost_free_days / REFERENCE_SEASON_DAYS))


@dataclass(frozen=True, kw_only=True)
class Figure:
    """One published figure: least and greatest advance that it allows, feet in a season of 220 frost-free days."""

    plant_id: str
    place: str
    kind: str
    low: float
    high: float
    set_from: str
    range_before: Range | None
    source: str
    seen: str
    note: str

    @property
    def middle(self) -> float:
        """The geometric middle; the plain one where the least is nothing."""
        return math.sqrt(self.low * self.high) if self.low > 0 else (self.low + self.high) / 2.0


def advance_m(row: dict[str, str], end: str) -> float:
    """How far the edge moved in all, meters, at the low or high end: as stated, or from the areas of round patches.

    More patches make a smaller advance, so the low end takes the most patches. A patch that shrank has not advanced.
    """
    if row[f"advance_{end}_m"]:
        return float(row[f"advance_{end}_m"])
    patches = float(row["patches_high" if end == "low" else "patches_low"])
    return max(0.0, radius_m(float(row["end_m2"]), patches) - radius_m(float(row["start_m2"]), patches))


def figure(row: dict[str, str]) -> Figure:
    factor = season_factor(float(row["frost_free_days"]))
    low = advance_m(row, "low") / float(row["seasons_high"]) * FT_PER_M / factor
    high = advance_m(row, "high") / float(row["seasons_low"]) * FT_PER_M / factor
    before = tuple(float(part) for part in row["range_before"].split(";")) if row["range_before"] else None
    return Figure(
        plant_id=row["plant_id"],
        place=row["place"],
        kind=row["kind"],
        low=low,
        high=high,
        set_from=row["set_from"],
        range_before=before,  # type: ignore[arg-type]  # three parts, as the test of the file holds
        source=row["source"],
        seen=row["seen"],
        note=row["note"],
    )


def figures() -> list[Figure]:
    with open(RATES, encoding="utf-8", newline="") as file:
        return [figure(row) for row in csv.DictReader(file)]


def range_of(plants: Catalogue, plant_id: str) -> Range:
    row = plants.plants.loc[plant_id]
    return float(row["spread_low_ft_yr"]), float(row["spread_ft_yr"]), float(row["spread_high_ft_yr"])


@dataclass(frozen=True, kw_only=True)
class Compared:
    """One plant's measured rates against its range, from the figures of one standing (never used, mended, used)."""

    plant_id: str
    name: str
    growth_form: str
    places: str
    low: float
    middle: float
    high: float
    now: Range
    before: Range
    set_from: str

    @property
    def inside(self) -> bool:
        return self.now[0] <= self.middle <= self.now[2]

    @property
    def inside_before(self) -> bool:
        return self.before[0] <= self.middle <= self.before[2]


def compared(plants: Catalogue) -> list[Compared]:
    """Plant by plant, the median of its figures; figures that set the range apart from those that did not."""
    groups: dict[tuple[str, str], list[Figure]] = {}
    for one in figures():
        if one.kind == RATE:
            groups.setdefault((one.plant_id, one.set_from), []).append(one)
    found = []
    for (plant_id, standing), rates in groups.items():
        now = range_of(plants, plant_id)
        plant = plants.plant(plant_id)
        found.append(
            Compared(
                plant_id=plant_id,
                name=plant.scientific_name,
                growth_form=plant.growth_form,
                places="; ".join(dict.fromkeys(r.place for r in rates)),
                low=min(r.low for r in rates),
                middle=median(r.middle for r in rates),
                high=max(r.high for r in rates),
                now=now,
                before=rates[0].range_before or now,
                set_from=standing,
            )
        )
    return found


def contradicted(plants: Catalogue) -> list[Figure]:
    """Bounds that a range lies beyond as a whole: its low over an "at most", its high under an "at least"."""
    wrong = []
    for one in figures():
        low, _, high = range_of(plants, one.plant_id)
        if one.kind == AT_MOST and low > one.high * 1.01 or one.kind == AT_LEAST and high < one.low * 0.99:
            wrong.append(one)
    return wrong


def ft(value: float) -> str:
    return f"{value:.2g}" if value < 10 else f"{value:.0f}"


def span(values: tuple[float, ...]) -> str:
    return " - ".join(ft(v) for v in values)


def rate_table(rows: list[Compared]) -> str:
    lines = [
        "| plant | where | measured, low - middle - high | range when first compared | range now | then | now |",
        "|---|---|---|---|---|---|---|",
    ]
    for r in rows:
        then, now = (
            ("inside" if r.inside_before else "**outside**"),
            ("inside" if r.inside else "**outside**"),
        )
        lines.append(
            f"| {r.name} | {r.places} | {span((r.low, r.middle, r.high))} | {span(r.before)} | {span(r.now)} | {then} | {now} |"
        )
    return "\n".join(lines)


def bound_table(plants: Catalogue) -> str:
    lines = ["| plant | bound, ft a season | range now | set from it | source |", "|---|---|---|---|---|"]
    for one in figures():
        if one.kind != RATE:
            value = one.high if one.kind == AT_MOST else one.low
            used = "yes" if one.set_from == YES else "no"
            lines.append(
                f"| {plants.plant(one.plant_id).scientific_name} | {one.kind} {ft(value)} | "
                f"{span(range_of(plants, one.plant_id))} | {used} | {one.source} ({one.seen}); {one.note} |"
            )
    return "\n".join(lines)


def source_table(plants: Catalogue) -> str:
    lines = ["| plant | source | seen | remark |", "|---|---|---|---|"]
    for one in figures():
        if one.kind == RATE:
            name = plants.plant(one.plant_id).scientific_name
            lines.append(f"| {name} | {one.source} | {one.seen} | {one.note} |")
    return "\n".join(lines)


def calibration_table(plants: Catalogue) -> str:
    """By growth form: plants compared, inside when first compared, inside now, measured over typical."""
    rows = compared(plants)
    independent = [r for r in rows if r.set_from != YES]
    lines = [
        "| growth form | plants with a rate | of these not used at first | inside then | inside now | measured / typical now, median |",
        "|---|---|---|---|---|---|",
    ]

    def line(name: str, every: list[Compared], first: list[Compared]) -> str:
        plants_ = {r.plant_id for r in every}
        return (
            f"| {name} | {len(plants_)} | {len(first)} | {sum(r.inside_before for r in first)} | "
            f"{sum(r.inside for r in first)} | {median(r.middle / r.now[1] for r in every):.1f} |"
        )

    for form in sorted({r.growth_form for r in rows}):
        lines.append(
            line(
                form,
                [r for r in rows if r.growth_form == form],
                [r for r in independent if r.growth_form == form],
            )
        )
    lines.append(line("all", rows, independent))
    return "\n".join(lines)


def tables(plants: Catalogue) -> dict[tuple[Path, str], str]:
    """What stands between the markers of each page."""
    rows = compared(plants)
    return {
        (PAGE, "not used"): rate_table([r for r in rows if r.set_from != YES]),
        (PAGE, "used"): rate_table([r for r in rows if r.set_from == YES]),
        (PAGE, "bounds"): bound_table(plants),
        (PAGE, "sources"): source_table(plants),
        (METHOD, "calibration"): calibration_table(plants),
    }


def marked(text: str, name: str) -> tuple[str, str, str]:
    """A page before, between and after the markers of a table."""
    begin, end = f"<!-- {name}: begin -->\n", f"\n<!-- {name}: end -->"
    before, _, rest = text.partition(begin)
    between, _, after = rest.partition(end)
    return before + begin, between, end + after


def write(plants: Catalogue) -> None:
    for (page, name), table in tables(plants).items():
        before, _, after = marked(page.read_text(encoding="utf-8"), name)
        page.write_text(before + table + after, encoding="utf-8")


if __name__ == "__main__":
    sys.path.insert(0, str(HERE.parent))
    from plantpick.files import catalogue

    write(catalogue.load())
