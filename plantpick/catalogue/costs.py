"""Published prices and rates of work: the rows of costs.csv, and the range that those on one item span."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True)
class Published:
    """One row: from `low` to `high` in `unit`, in this year, at this place, under these conditions."""

    cost_id: str
    item: str
    low: float
    high: float
    unit: str
    year: str
    place: str
    conditions: str
    source_id: str
    locator: str


@dataclass(frozen=True, repr=False)
class Costs:
    """All rows. An item is a word of vocabulary.COST_ITEMS."""

    rows: tuple[Published, ...]

    @classmethod
    def from_table(cls, table: Mapping[str, list[str]]) -> Costs:
        """The rows of the checked table, column to cells."""
        return cls(
            tuple(
                Published(**{**row, "low": float(row["low"]), "high": float(row["high"])})
                for row in (dict(zip(table, cells)) for cells in zip(*table.values()))
            )
        )

    def on(self, item: str) -> tuple[Published, ...]:
        """The rows on one item."""
        return tuple(row for row in self.rows if row.item == item)

    def span(self, item: str) -> tuple[float, float]:
        """The lowest and the highest figure on one item."""
        rows = self.on(item)
        return min(row.low for row in rows), max(row.high for row in rows)

    def years(self, item: str) -> str:
        """The years of an item's figures, each once."""
        years = (year for row in self.on(item) for year in row.year.split(" and "))
        return ", ".join(sorted(dict.fromkeys(years)))
