"""What a layout says: the places of groups and plants along each stretch, what is kept clear, and what has no place."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from plantpick.pond.model import Stretch


@dataclass(frozen=True)
class Spot:
    """One plant: feet along the tape, feet out (negative: up the bank), and its point on the outline's plane where that is known."""

    tape_ft: float
    out_ft: float
    xy: tuple[float, float] | None = None


@dataclass(frozen=True, kw_only=True)
class PlacedGroup:
    """One group at its place. `number` is its name on the sheets, `entry` the plan's entry that it belongs to.

    `from_ft` and `to_ft` are the tape at its first and last plant, `out_ft` the mean of its row, in feet from the waterline at
    full pool (negative: up the bank); `depth_in` is the water over the row at full pool.
    """

    number: str
    entry: int
    plant_id: str
    stretch: str
    depth_in: float
    from_ft: float
    to_ft: float
    out_ft: float
    spots: tuple[Spot, ...]

    @property
    def middle_ft(self) -> float:
        return (self.from_ft + self.to_ft) / 2.0


class Why(Enum):
    """Why a group has no place."""

    NO_ROOM = "no room"  # the tape is full at its depth
    TOO_SHALLOW = "too shallow"  # the soundings show no such depth off this stretch


@dataclass(frozen=True, kw_only=True)
class Unplaced:
    """Groups of one entry for which the stretch has no place; `short_ft` is how much more tape they would take."""

    entry: int
    plant_id: str
    stretch: str
    numbers: tuple[str, ...]
    why: Why
    short_ft: float


@dataclass(frozen=True)
class ClearSpan:
    """Tape that is kept clear for `what`. `known` is False where nobody said where along the stretch: then the last feet stay free."""

    what: str
    from_ft: float
    to_ft: float
    known: bool


@dataclass(frozen=True, kw_only=True)
class StretchLayout:
    """One stretch, in walking order. `located` says that its place on an outline is known; `measured` that its depths were sounded."""

    stretch: Stretch
    stake: str
    groups: tuple[PlacedGroup, ...]
    unplaced: tuple[Unplaced, ...]
    clear: tuple[ClearSpan, ...]
    located: bool
    measured: bool

    @property
    def gap_ft(self) -> float | None:
        """The least tape from one row's last plant to the next row's first, of rows at one depth; None with fewer than two."""
        gaps = [
            b.from_ft - a.to_ft
            for rows in _by_depth(self.groups).values()
            for a, b in zip(rows, rows[1:], strict=False)
        ]
        return min(gaps, default=None)


def _by_depth(groups: tuple[PlacedGroup, ...]) -> dict[float, list[PlacedGroup]]:
    rows: dict[float, list[PlacedGroup]] = {}
    for group in groups:
        rows.setdefault(group.depth_in, []).append(group)
    return rows


@dataclass(frozen=True)
class Layout:
    """The stretches that have groups, in the pond file's order."""

    stretches: tuple[StretchLayout, ...]

    @property
    def groups(self) -> tuple[PlacedGroup, ...]:
        return tuple(g for s in self.stretches for g in s.groups)

    @property
    def unplaced(self) -> tuple[Unplaced, ...]:
        return tuple(u for s in self.stretches for u in s.unplaced)

    def numbers(self, entry: int) -> tuple[str, ...]:
        """The names of one entry's groups on the sheets, in walking order, those without a place last."""
        return (
            *(g.number for g in self.groups if g.entry == entry),
            *(n for u in self.unplaced if u.entry == entry for n in u.numbers),
        )

    def of_entry(self, entry: int) -> tuple[PlacedGroup, ...]:
        """The places of one entry of the plan."""
        return tuple(g for g in self.groups if g.entry == entry)
