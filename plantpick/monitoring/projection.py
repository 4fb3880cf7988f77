"""What lies ahead of one stand: when it reaches a size, what ten years bring, and the curves of its figure.

Pure: the day comes as an argument.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, timedelta

import numpy as np

from plantpick.catalogue.plants import Plant
from plantpick.catalogue.traits import Traits
from plantpick.monitoring.growth_fit import Fit, Prior, Three
from plantpick.monitoring.strip import FULL, Readings, Strip
from plantpick.pond.growing_season import GrowingSeason
from plantpick.pond.model import Growing, Pond
from plantpick.ranking import takeover
from plantpick.ranking.draws import draw, percent_points

HORIZON_YEARS = 10.0  # untended years of the forecast, as in the ranking
AHEAD_SEASONS = 15.0  # no date further ahead is named: judgement


@dataclass(frozen=True, kw_only=True)
class When:
    """When a stand reaches a size: the early, middle and late day of an 80 per cent range.

    None stands for a day more than 15 seasons ahead; `never` says that the stretch cannot hold so much, `now`
    that it holds it already (at the middle of the range).
    """

    early: date | None
    middle: date | None
    late: date | None
    never: bool = False
    now: bool = False


Curves = tuple[
    tuple[date, ...], tuple[float, ...], tuple[float, ...], tuple[float, ...]
]  # days; low, middle, high


@dataclass(frozen=True, kw_only=True)
class StandFigure:
    """What a figure of one stand shows; shares are per cent of the pond's surface.

    `points` are (day, share, entered the fit), `odd_days` those that the fit takes for wrong. `fitted` is empty where
    nothing was measured.
    """

    title: str
    points: tuple[tuple[date, float, bool], ...]
    odd_days: tuple[date, ...]
    forecast: Curves
    fitted: Curves
    cap_percent: float
    today: date


@dataclass(frozen=True, kw_only=True)
class StandCase:
    """All that is known of one stand before it is judged: the steps below hand it to each other."""

    pond: Pond
    plants: Traits
    strip: Strip
    clock: GrowingSeason
    prior: Prior
    known: Readings
    fit: Fit
    today: date
    start: float

    @property
    def full_ft2(self) -> float | None:
        """Square feet at the last reading, where that said that the strip is full; None otherwise.

        A reading that the others do not bear out may be a slip of the tape, and does not count.
        """
        last = self.known.points[-1] if self.known.points else None
        if not last or last[2] or last[1] < FULL * self.strip.most_ft2:
            return None
        others = any(usable for _, _, usable in self.known.points)
        reached = self.strip.area_ft2(self.fit.interval(self.edge(self.x_now))[2])
        return last[1] if not others or reached >= FULL * self.strip.most_ft2 else None

    @property
    def x_now(self) -> float:
        return self.known.x(self.clock.seasons(self.today))

    def edge(self, x: float) -> np.ndarray:
        """The stand's edge on the fit's grid after x seasons of growth."""
        if (
            self.known.out_only
        ):  # only distances from the bank: the stand is taken as half as wide, as it was read
            return self.fit.place / 2.0 + self.fit.v[:, None] * max(0.0, x)
        return self.fit.edge(x)

    def seasons_to(self, edge: float) -> np.ndarray:
        place = self.fit.place / 2.0 if self.known.out_only else self.fit.place
        return np.maximum(0.0, (edge - place) / self.fit.v[:, None])

    def area_now_ft2(self) -> Three:
        """Square feet now, low, middle, high: of a full strip what was read, otherwise as the fit says."""
        if self.full_ft2 is not None:
            return FULL * self.full_ft2, self.full_ft2, self.strip.most_ft2
        low, middle, high = (float(self.strip.area_ft2(e)) for e in self.fit.interval(self.edge(self.x_now)))
        return low, middle, high

    def when(self, area_ft2: float) -> When:
        if self.full_ft2 is not None and area_ft2 <= self.full_ft2:
            return When(early=self.today, middle=self.today, late=self.today, now=True)
        return self.when_edge(self.strip.edge(area_ft2))

    def when_edge(self, target: float) -> When:
        if not np.isfinite(target):
            return When(early=None, middle=None, late=None, never=True)
        now = self.x_now
        at = np.maximum(self.seasons_to(target) - now, 0.0)
        ahead = self.fit.interval(at)
        early, middle, late = (self._day_after(seasons) for seasons in ahead)
        return When(early=early, middle=middle, late=late, now=ahead[1] <= 0.0)

    def _day_after(self, seasons: float) -> date | None:
        """The day after so many seasons of growth from today; None further ahead than we say."""
        if seasons > AHEAD_SEASONS:
            return None
        return max(self.today, self.clock.day(self.clock.seasons(self.today) + self._waiting() + seasons))

    def _waiting(self) -> float:
        """Seasons of settling that are still to come."""
        return max(0.0, self.known.origin - self.clock.seasons(self.today))


def at_fitted_rate(pond: Pond, plants: Traits, fitted: Fit) -> Traits:
    """One plant's traits with the rate that the readings say in place of the catalogue's."""
    if plants.word["growth_form"][0] == "free-floating":
        days = [np.array([pond.growing_season.frost_free_days / r]) for r in reversed(fitted.rate)]
        return plants.replaced(doubling_low_days=days[0], doubling_days=days[1], doubling_high_days=days[2])
    low, middle, high = (np.array([r / pond.growing_season.rate_factor]) for r in fitted.rate)
    return plants.replaced(spread_low_ft_yr=low, spread_ft_yr=middle, spread_high_ft_yr=high)


@dataclass(frozen=True, kw_only=True)
class Begun:
    """From what a stand is forecast, ten untended years to the day `until`: `groups` (1, stretches) set in the pond, or what
    stands there, which the pond then holds as growing."""

    pond: Pond
    groups: np.ndarray
    until: date


def begun(case: StandCase, stretch: str, groups: float, planted: date | None, area_ft2: float) -> Begun:
    """What you set goes on from its groups, what came by itself from the size first read, both for ten years from then. A stand
    older than that goes on from `area_ft2`, which it holds today. What the pond file says of this stand gives way to the log."""
    plant_id = str(case.plants.plant_id[0])
    others = tuple(g for g in case.pond.growing if not (g.plant_id == plant_id and g.stretch == stretch))
    read = [(day, area) for day, area, _ in case.known.points if area > 0]
    day = planted or (read[0][0] if read else case.today)
    size = None if planted or not read else read[0][1]
    if ten_years_after(day) <= case.today:
        day, size = case.today, area_ft2
    if size is not None:
        there = Growing(plant_id=plant_id, name=plant_id, stretch=stretch, area_ft2=size)
        others, groups = (*others, there), 0.0
    return Begun(
        pond=replace(case.pond, growing=others),
        groups=np.array([[groups if s.name == stretch else 0.0 for s in case.pond.shore]]),
        until=ten_years_after(day),
    )


def ten_years_after(day: date) -> date:
    """The same day ten years later; February 28 for the 29th."""
    later = day.year + int(HORIZON_YEARS)
    return day.replace(year=later) if (day.month, day.day) != (2, 29) else date(later, 2, 28)


def ten_years(plants: Traits, start: Begun) -> tuple[Three, float | None]:
    """Per cent of the pond (10, 50 and 90 % points) after ten untended years, colonies that jumped included, and the chance (0 to
    1) that it is more than the owner's limit; None for a plant that cannot be forecast.

    The draws are those of the ranking and of `spread`.
    """
    coming = takeover.forecast(
        plants, start.pond, HORIZON_YEARS, draws=draw(plants.plant_id), nodes=takeover.DRAW_NODES
    )
    shares = coming.takeover(start.groups)[0]
    chance = takeover.chance_over(coming, start.groups, start.pond.cap_percent / 100.0)[0]
    return takeover.percents(np.nan_to_num(percent_points(shares))), None if np.isnan(
        shares
    ).any() else float(chance)


def jump_years(
    case: StandCase, fitted: Traits, start: Begun, first_year: int
) -> tuple[int | None, int | None, int | None]:
    """Calendar years, early to late, in which the stand and the colonies that jump from it hold half your limit.

    Counted from the year it was planted or first read, at the fitted rates and the table of jumps. None where
    it takes more than AHEAD_SEASONS, does not jump, or floats (its doubling says it all).
    """
    if case.strip.floating or case.plants.word["jump"][0] not in ("low", "high"):
        return None, None, None
    years = range(1, int(AHEAD_SEASONS) + 1)
    points = takeover.points_by_year(fitted, start.pond, start.groups, years)
    shares = np.array([takeover.percents(np.nan_to_num(each)) for _, each in points])
    reached = shares >= case.pond.cap_percent / 2.0
    first = [first_year + years[int(np.argmax(r))] if r.any() else None for r in reached.T]
    return first[2], first[1], first[0]


def figure(
    case: StandCase, plant: Plant, stretch: str, full: When, odd_days: tuple[date, ...]
) -> StandFigure:
    """Monthly points from the start to three seasons ahead, or to your limit if that comes sooner than six."""
    pond, clock = case.pond, case.clock
    scale = 100.0 / pond.area_ft2
    points = tuple((day, area * scale, usable) for day, area, usable in case.known.points)
    planted = bool(case.known.series) and case.known.series[0].start is not None or not points
    begin = min(
        [clock.day(max(case.known.origin - 1.0, 1980.0))] if planted else [day for day, _, _ in points]
    )
    ahead = case.today + timedelta(days=3 * 365)
    if full.late and full.late > ahead:
        ahead = min(full.late, case.today + timedelta(days=6 * 365))
    days = tuple(begin + timedelta(days=int(d)) for d in np.linspace(0, (ahead - begin).days, 60))
    grown = [max(0.0, clock.seasons(d) - case.known.origin) for d in days]
    base = case.start
    if not planted:  # the forecast goes on from where the stand was first seen
        base = min(case.strip.edge(min(case.known.points[0][1], case.strip.most_ft2 * 0.99)), 1e6)
    rates = (case.prior.low, case.prior.typical, case.prior.high)
    low, middle, high = (
        tuple(float(case.strip.area_ft2(base + r * x)) * scale for x in grown) for r in rates
    )
    forecast: Curves = days, low, middle, high
    fitted: Curves = (), (), (), ()
    if any(usable for _, _, usable in points):
        last = case.known.series[-1] if case.known.series else None
        begun = case.known.origin - 1.0 if last is None or last.start is not None else None
        since = (
            case.known.origin + case.known.shift if begun is None else begun
        )  # after a cut, from the next reading
        kept = [d for d in days if clock.seasons(d) >= min(since, clock.seasons(case.today))]
        bands = [case.fit.interval(case.edge(case.known.x(clock.seasons(d)))) for d in kept]
        low, middle, high = (tuple(float(case.strip.area_ft2(b[i])) * scale for b in bands) for i in range(3))
        fitted = tuple(kept), low, middle, high
    return StandFigure(
        title=f"{plant.common_name}, {stretch}",
        points=points,
        odd_days=odd_days,
        forecast=forecast,
        fitted=fitted,
        cap_percent=pond.cap_percent,
        today=case.today,
    )
