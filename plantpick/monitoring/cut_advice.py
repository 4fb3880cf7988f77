"""Leave a stand, trim its edge or take it out: by which day, how many feet and square feet.

Pure: the day comes with the case.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np

from plantpick.catalogue.plants import Plant
from plantpick.monitoring.growth_fit import Three
from plantpick.monitoring.projection import StandCase, When
from plantpick.monitoring.stand import Action
from plantpick.ranking.containment import TRIM_MOST_FT2

SOON_SEASONS = 1.0  # half your limit within a season calls for the shears: judgement


@dataclass(frozen=True, kw_only=True)
class Cut:
    """What to do with one stand: leave, trim or take out, by which day, and how much of it, in a sentence."""

    action: Action
    act_by: date | None
    feet: float
    square_ft: float
    words: str


def cut(
    case: StandCase, plant: Plant, faster: bool, area: Three, half: When, cap_ft2: float, refused: bool
) -> Cut:
    """Decide. `area` is low, middle, high now; `refused` says that the plant may not stay at all.

    Cut a stand before the early end of its range reaches half the limit, and so far back that it takes a season at
    the high end of its rate to get there again. Cut one faster than forecast before a season's growth is more than an
    owner keeps up with (TRIM_MOST_FT2, as for containment). Take out what cannot be trimmed while it is small.
    """
    if refused:
        return _take_out(case, case.today, area[1], "")
    edge_half = case.strip.edge(cap_ft2 / 2.0)
    keep = _edge_kept_up(case) if faster else np.inf
    limit = min(edge_half, keep)
    due = half if limit == edge_half else case.when_edge(limit)
    season = timedelta(days=round(365.25 * SOON_SEASONS))
    soon = due.now or (due.early is not None and due.early <= case.today + season)
    act_by = case.today if due.now else due.early
    if due.never or act_by is None or not (faster or soon):
        return _leave(case, half)
    held = not case.strip.floating and "trim" in plant.contained_by
    near = half.now or (half.early is not None and half.early <= case.today + season)
    if not held or (near and keep < case.start):  # even one group would outgrow what an owner keeps up with
        floats = "skim it off while it is small"
        if area[1] > cap_ft2 / 2.0:
            floats = "skim off what you can, and ask your county extension office what feeds it"
        why = floats if case.strip.floating else "one owner cannot trim enough to hold it"
        return _take_out(case, act_by, area[1], f": {why}")
    middle = case.fit.interval(case.edge(case.x_now))[1]
    at_cut = middle if soon else limit
    target = max(keep, 0.5 * at_cut) if limit == keep else max(edge_half - case.fit.rate[2], 0.5 * edge_half)
    feet = max(0.0, at_cut - target)
    if feet < 0.25:  # the middle of the range is still well inside: a year's growth is what to take off
        feet = min(case.fit.rate[1], 0.5 * at_cut)
    return _trim(case, act_by, feet, float(case.strip.area_ft2(at_cut) - case.strip.area_ft2(at_cut - feet)))


def _edge_kept_up(case: StandCase) -> float:
    """The edge from which one season's growth is TRIM_MOST_FT2; infinity where it never is so much."""
    if case.strip.floating:
        return np.inf
    edges = np.linspace(0.0, max(case.strip.length_ft, 1.0), 800)
    ring = case.strip.area_ft2(edges + case.fit.rate[1]) - case.strip.area_ft2(edges)
    over = np.flatnonzero(ring > TRIM_MOST_FT2)
    return float(edges[over[0]]) if len(over) else np.inf


def _leave(case: StandCase, half: When) -> Cut:
    words = "leave it and measure again"
    if half.never:
        words = f"leave it: this stretch has room for {case.strip.most_ft2:,.0f} sq ft of it, less than half your limit"
    return Cut(action=Action.LEAVE, act_by=None, feet=0.0, square_ft=0.0, words=words)


def _take_out(case: StandCase, act_by: date, square_ft: float, why: str) -> Cut:
    words = f"take it out {_by(case, act_by)}{why}"
    return Cut(action=Action.TAKE_OUT, act_by=act_by, feet=0.0, square_ft=square_ft, words=words)


def _trim(case: StandCase, act_by: date, feet: float, square_ft: float) -> Cut:
    far = f"{feet:.0f} ft" if feet >= 1 else f"{12 * feet:.0f} in"
    every = " of every patch" if round(case.strip.groups) > 1 else ""
    words = (
        f"trim the outer edge{every} {_by(case, act_by)}: {far} back all round, about {square_ft:,.0f} sq ft"
    )
    return Cut(action=Action.TRIM, act_by=act_by, feet=feet, square_ft=square_ft, words=words)


def _by(case: StandCase, act_by: date) -> str:
    return "now" if act_by <= case.today else f"by {act_by:%B} {act_by.day}, {act_by.year}"
