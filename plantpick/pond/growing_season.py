"""The growing season of a pond: how long it is, when it runs, and how it speeds or slows a plant's spread.

One clock for all: forecasts take the rate factor, readings of a stand are counted in seasons, the calendar hangs on
the frosts.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import date, timedelta
from functools import cached_property

REFERENCE_SEASON_DAYS = 220.0  # frost-free days to which the catalogue's spread rates refer (judgement)
SLOWEST, FASTEST = 0.5, 1.5  # bounds of the rate factor: judgement
MID_SEASON_DAY = 197  # day of the year: without frost dates the season is centered on mid-July
# Where it never freezes the owner's year follows the cool season instead: March 1 to December 15.
FROST_FREE_WORK_DAYS = (60.0, 349.0)
_PLAIN_YEAR = 2001  # any year of 365 days

MonthDay = tuple[int, int]


def on_year(year: int, day: MonthDay) -> date:
    """A month and day in one year; February 29 is taken as the 28th."""
    return date(year, *(day if day != (2, 29) else (2, 28)))


@dataclass(frozen=True)
class Frosts:
    """The last frost of spring and the first of fall in one year, and days between them."""

    last_frost: date
    first_frost: date

    def part(self, share: float) -> date:
        """The day when this share of the season has passed: 0 at the last frost, 1 at the first."""
        return self.last_frost + timedelta(days=round(share * (self.first_frost - self.last_frost).days))

    def window(self, shares: tuple[float, float]) -> tuple[date, date]:
        """The days at two shares of the season."""
        return self.part(shares[0]), self.part(shares[1])


@dataclass(frozen=True, kw_only=True)
class GrowingSeason:
    """The frost-free part of the year on one pond.

    `last_frost` and `first_frost` are the mean dates as (month, day), None where the owner gave none; `frost_free`
    says that it never freezes; `zone` is the hardiness zone as a number (8a is 8.0).
    """

    last_frost: MonthDay | None
    first_frost: MonthDay | None
    frost_free: bool
    zone: float

    @property
    def estimated(self) -> bool:
        """Whether the season is our estimate from the hardiness zone, for want of frost dates."""
        return not (self.frost_free or (self.last_frost and self.first_frost))

    @cached_property
    def frost_free_days(self) -> float:
        """Days from the mean last to the mean first frost; 365 where it never freezes.

        Without dates the hardiness zone stands in: 120 days in zone 3 and 25 more for each zone (judgement).
        """
        if self.frost_free:
            return 365.0
        if self.last_frost and self.first_frost:
            return float(
                (on_year(_PLAIN_YEAR, self.first_frost) - on_year(_PLAIN_YEAR, self.last_frost)).days
            )
        return min(365.0, max(60.0, 120.0 + 25.0 * (self.zone - 3.0)))

    @cached_property
    def rate_factor(self) -> float:
        """What a catalogue rate is multiplied by here: this season over the reference season, 0.5 to 1.5 (judgement)."""
        return min(FASTEST, max(SLOWEST, self.frost_free_days / REFERENCE_SEASON_DAYS))

    @cached_property
    def days_of_year(self) -> tuple[float, float]:
        """The first and last day of the year on which plants grow; the whole year where it never freezes."""
        if self.frost_free:
            return 1.0, 366.0
        if self.last_frost and self.first_frost:
            first, last = (
                on_year(_PLAIN_YEAR, day).timetuple().tm_yday for day in (self.last_frost, self.first_frost)
            )
            return float(first), float(last)
        half = self.frost_free_days / 2.0
        return max(1.0, MID_SEASON_DAY - half), min(366.0, MID_SEASON_DAY + half)

    def seasons(self, day: date) -> float:
        """Growing seasons from the start of year 0 to a day; the count stands still in winter."""
        first, last = self.days_of_year
        part = (day.timetuple().tm_yday - first) / (last - first)
        return day.year + min(1.0, max(0.0, part))

    def day(self, seasons: float) -> date:
        """The day on which that many seasons have passed (the end of a season counts as its last day)."""
        first, last = self.days_of_year
        year = math.floor(seasons)
        return date(year, 1, 1) + timedelta(days=round(first - 1.0 + (seasons - year) * (last - first)))

    def frosts(self, year: int) -> Frosts:
        """The mean frosts in one year: the owner's dates, or stand-ins from the zone or where it never freezes."""
        if self.last_frost and self.first_frost and not self.frost_free:
            return Frosts(on_year(year, self.last_frost), on_year(year, self.first_frost))
        first, last = FROST_FREE_WORK_DAYS if self.frost_free else self.days_of_year
        new_year = date(year, 1, 1)
        return Frosts(new_year + timedelta(days=round(first) - 1), new_year + timedelta(days=round(last) - 1))
