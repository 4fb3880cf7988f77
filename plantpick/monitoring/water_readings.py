"""What the log's light and level readings change: the deepest growth, and what stands at which depth."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date
from statistics import median

from plantpick.monitoring.log import Log
from plantpick.pond.basin import area_at_depth_ft2, area_shallower_ft2
from plantpick.pond.deepest_growth import growth_limit_in
from plantpick.pond.model import Pond
from plantpick.vocabulary import BANDS

SUMMER = (6, 7, 8)  # the Secchi reading that counts is of midsummer
LEVEL_YEARS = 3  # years of level readings that count: judgement
LEAST_CLARITY_IN, MOST_CLARITY_IN = 8.0, 236.0  # 0.2 to 6 m: what the depth of growth was worked out for


@dataclass(frozen=True, kw_only=True)
class Refreshed:
    """The pond with the log's readings, and what that changed. Depths in inches, areas in square feet.

    `deepest` pairs (usual, greatest) are None without a Secchi reading; `growable` is the share of the
    surface over bottom that submersed plants can reach, before and after. `bands_now` holds the square feet
    in each wet band at the level last read (`drop_now_ft`), empty without one.
    """

    pond: Pond
    clarity_in: tuple[float | None, float | None]
    deepest_in: tuple[tuple[float, float] | None, tuple[float, float] | None]
    growable: tuple[float | None, float | None]
    usual_drop_ft: tuple[float, float]
    drop_now_ft: float | None
    drop_day: date | None
    bands_now: tuple[tuple[str, float], ...]
    remarks: tuple[str, ...]


def refresh(pond: Pond, log: Log) -> Refreshed:
    """Take the log's latest light and level into the pond.

    Clarity: the median of the last year's midsummer readings (any month if there is none). Level: the larger
    of the pond file's usual drop and the median of the largest drops of the last three years, so that one dry
    year alone does not count.
    """
    remarks = []
    clarity = pond.clarity_in
    if log.light:
        year = log.light[-1][0].year
        latest = [(day, value) for day, value in log.light if day.year == year]
        summer = [value for day, value in latest if day.month in SUMMER]
        clarity = float(median(summer or [value for _, value in latest]))
        if not summer:
            remarks.append(
                "Your Secchi readings are not from midsummer, when plants meet their limit. Read once in July."
            )
        if not LEAST_CLARITY_IN <= clarity <= MOST_CLARITY_IN:
            remarks.append(
                "This Secchi reading lies outside the range that the depth of growth was worked out for."
            )
    usual = pond.usual_drop_ft
    if log.level:
        years = sorted({day.year for day, _ in log.level})[-LEVEL_YEARS:]
        lowest = [max(v for day, v in log.level if day.year == y) for y in years]
        usual = max(usual, float(median(lowest)))
    now_day, now = log.level[-1] if log.level else (None, None)
    new = replace(pond, clarity_in=clarity, usual_drop_ft=usual)
    return Refreshed(
        pond=new,
        clarity_in=(pond.clarity_in, clarity),
        deepest_in=(_deepest(pond), _deepest(new)),
        growable=(_growable(pond), _growable(new)),
        usual_drop_ft=(pond.usual_drop_ft, usual),
        drop_now_ft=now,
        drop_day=now_day,
        bands_now=_bands(pond, now) if now is not None else (),
        remarks=tuple(remarks),
    )


def _deepest(pond: Pond) -> tuple[float, float] | None:
    limit = growth_limit_in(pond)
    return limit and (min(limit[0], pond.max_depth_in), min(limit[1], pond.max_depth_in))


def _growable(pond: Pond) -> float | None:
    """Share of the surface over bottom down to the usual depth of growth."""
    deepest = _deepest(pond)
    if deepest is None:
        return None
    return float(area_shallower_ft2(pond, deepest[0])) / pond.area_ft2


def _bands(pond: Pond, drop_ft: float) -> tuple[tuple[str, float], ...]:
    """Square feet with each depth of standing water now."""
    found = []
    for band, (shallow, deep) in BANDS.items():
        if deep <= 0.0:
            continue
        upper = float(area_at_depth_ft2(pond, min(shallow + 12.0 * drop_ft, pond.max_depth_in)))
        last = band == list(BANDS)[-1]
        lower = 0.0 if last else float(area_at_depth_ft2(pond, min(deep + 12.0 * drop_ft, pond.max_depth_in)))
        found.append((band, max(0.0, upper - lower)))
    return tuple(found)
