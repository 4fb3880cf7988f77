"""The pond as its owner describes it. Plain values, already checked by the reader; nothing here opens a file."""

from __future__ import annotations

import math
from dataclasses import dataclass, field, replace
from datetime import date

from plantpick.words import TOLERANCES, zone_number

ACRE_FT2 = 43_560.0
# A pond's shore is longer than a circle's round the same water. 1.2 is judgement (small dammed ponds).
SHORE_OVER_CIRCLE = 1.2
REFERENCE_SEASON_DAYS = 220.0  # frost-free days to which the catalogue's spread rates refer (judgement)


@dataclass(frozen=True)
class Stretch:
    """A length of shore with one slope, sun and soil.

    `slope` is feet out for one foot down; `sun` is full, part or shade. `described` is False for the rest of the
    shore, which the owner left out: plants can creep there, and nothing is planted there.
    """

    name: str
    length_ft: float
    slope: float
    sun: str = "full"
    soil: str | None = None
    dam: bool = False
    described: bool = True
    clear_ft: float = 0.0

    @property
    def plantable_ft(self) -> float:
        """Feet of shore left to plant once the places to keep clear are taken off."""
        return max(0.0, self.length_ft - self.clear_ft) if self.described else 0.0


@dataclass(frozen=True)
class KeepClear:
    """A place where nothing is planted: riser, spillway, dock, casting lane, inflow, diffuser, ramp."""

    what: str
    stretch: str | None = None
    length_ft: float = 0.0


@dataclass(frozen=True)
class Pond:
    """One pond. Depths are at full pool; a None means that the owner did not say."""

    name: str
    state: str
    hardiness_zone: str
    area_acres: float
    max_depth_ft: float
    stretches: tuple[Stretch, ...]
    last_frost: tuple[int, int] | None = None   # month, day; None with frost_free=True where it never freezes
    first_frost: tuple[int, int] | None = None
    frost_free: bool = False
    clarity_in: float | None = None
    usual_drop_ft: float = 0.0
    ph: float | None = None
    salinity_ppt: float | None = None
    purposes: tuple[str, ...] = ("fish cover", "bank hold")
    tolerance: str | float = "little"
    cover_target_percent: float = 20.0
    brush_percent: float = 0.0
    groups_wanted: int | None = None
    residents: frozenset[str] = frozenset()
    keep_clear: tuple[KeepClear, ...] = ()
    invented: bool = False
    notes: tuple[str, ...] = field(default=())  # what the reader had to assume

    @property
    def area_ft2(self) -> float:
        """Water surface at full pool, square feet."""
        return self.area_acres * ACRE_FT2

    @property
    def cap_percent(self) -> float:
        """The largest share of the surface that one species may hold after ten untended years."""
        return TOLERANCES[self.tolerance] if isinstance(self.tolerance, str) else float(self.tolerance)

    @property
    def zone(self) -> float:
        """The hardiness half zone as a number (8a is 8.0)."""
        return zone_number(self.hardiness_zone)

    @property
    def usual_drop_in(self) -> float:
        """How far the water falls in a dry summer, inches."""
        return self.usual_drop_ft * 12.0

    @property
    def max_depth_in(self) -> float:
        """Greatest depth at full pool, inches."""
        return self.max_depth_ft * 12.0

    @property
    def frost_free_days(self) -> float:
        """Days from the mean last to the mean first frost; 365 where it never freezes.

        Without dates the hardiness zone stands in: 120 days in zone 3 and 25 more for each zone (judgement).
        """
        if self.frost_free:
            return 365.0
        if self.last_frost and self.first_frost:
            start, end = date(2001, *self.last_frost), date(2001, *self.first_frost)
            return float((end - start).days)
        return min(365.0, max(60.0, 120.0 + 25.0 * (self.zone - 3.0)))

    @property
    def season_factor(self) -> float:
        """The pond's growing season over the reference season, held between 0.5 and 1.5 (judgement)."""
        return min(1.5, max(0.5, self.frost_free_days / REFERENCE_SEASON_DAYS))

    @property
    def shore(self) -> tuple[Stretch, ...]:
        """All of the shore: the stretches described, and the rest of it if they do not go round the pond.

        No shore is shorter than a circle's round the same area. If the stretches add up to less than that, the
        rest is taken as 1.2 times the circle less what was described, at their mean slope by length.
        """
        given = sum(s.length_ft for s in self.stretches)
        circle = 2.0 * math.sqrt(math.pi * self.area_ft2)
        if given >= 0.98 * circle:
            return self.stretches
        slope = sum(s.slope * s.length_ft for s in self.stretches) / given
        rest = Stretch("rest of the shore", SHORE_OVER_CIRCLE * circle - given, slope, described=False)
        return (*self.stretches, rest)

    def with_tolerance(self, tolerance: str | float) -> "Pond":
        """The same pond under another tolerance for spreading."""
        return replace(self, tolerance=tolerance)
