"""A planting simulated whole: everything that is set grows together, draw by draw, on the same draws as the ranking's. For the
cover a part of it dies; for the limits all of it lives, since an owner replants.

The limits of the program are straight lines and points of single ranges; here the chances are counted that the cover is
reached, that a plant passes its limit, and that all together pass the upper cover.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from plantpick.planting.candidates import CAP_YEARS, Stock
from plantpick.planting.coverage import TYPICAL, chances, covered
from plantpick.ranking.draws import draw, normal_between, percent_points
from plantpick.ranking.takeover import DRAW_NODES, forecast, share_at_risk

COVER_DRAWS = 128  # enough for the chances of the whole: what they rest on is wider than their error


@dataclass(frozen=True, kw_only=True)
class Simulated:
    """`over_cap` (plants,) is the chance that each plant passes the limit after ten untended years, `at_risk` (plants,) the share
    of the surface that it passes with the owner's risk; `any_over_cap`, `over_upper` and `cover_reached` the chances that any
    plant passes it, that all together pass the upper cover, that the cover asked for is there in the wishes' year."""

    over_cap: np.ndarray
    at_risk: np.ndarray
    any_over_cap: float
    over_upper: float
    cover_reached: float


def shares(stock: Stock, groups: np.ndarray, year: float) -> np.ndarray:
    """Each plant's share of the surface after so many untended years, draw by draw, (plants, draws)."""
    plants = stock.traits
    drawn = draw(plants.plant_id)
    return forecast(plants, stock.pond, year, draws=drawn, hold=stock.hold, nodes=DRAW_NODES).takeover(groups)


def takeover_points(
    stock: Stock, groups: np.ndarray, years: Iterable[int], ten_years: np.ndarray | None = None
) -> dict[int, np.ndarray]:
    """The 10, 50 and 90 % points of each plant's share of the surface, (plants, 3), after each of the years; `ten_years` are its shares
    after ten years, where these were drawn before."""
    return {
        year: percent_points(
            ten_years if ten_years is not None and year == CAP_YEARS else shares(stock, groups, year)
        )
        for year in years
    }


def over_cap(
    stock: Stock, groups: np.ndarray, ten_years: np.ndarray | None = None
) -> tuple[np.ndarray, np.ndarray]:
    """Which draws pass the limit, (plants, draws), and each plant's share of the surface at the owner's risk, (plants,); `ten_years` as
    in `takeover_points`."""
    pond = stock.pond
    drawn = shares(stock, groups, CAP_YEARS) if ten_years is None else ten_years
    return drawn > pond.cap_percent / 100.0 + 1e-12, share_at_risk(drawn, pond.risk_percent / 100.0)


def simulate(
    stock: Stock,
    groups: np.ndarray,
    wet: np.ndarray,
    *,
    year: int,
    cover: float,
    upper: float,
    ten_years: np.ndarray | None = None,
) -> Simulated:
    """What becomes of `groups` (plants, stretches), those of them that stand in water being `wet`. `cover` and `upper` are shares
    of the surface; `ten_years` as in `takeover_points`."""
    passes, at_risk = over_cap(stock, groups, ten_years)
    used = np.flatnonzero(groups.sum(axis=1))
    plants, hold = stock.traits.subset(used), stock.hold.subset(used)
    drawn = draw(plants.plant_id, COVER_DRAWS)
    survival, living = drawn.score["survival"], stock.groups_living(year)[used]
    standing = draw(stock.there.plants.plant_id, COVER_DRAWS) if stock.there else None
    reached, passed = 0, 0
    for k in range(COVER_DRAWS):
        one = drawn.column(k)
        then = chances(plants, stock.pond, stock.cells, year, TYPICAL, hold, one, fish=True)
        last = chances(plants, stock.pond, stock.cells, CAP_YEARS, TYPICAL, hold, one)
        score = survival[:, k, None, None]
        then = then.thinned(np.clip(normal_between(living, score)[..., 0], 0.0, 1.0))
        now, later = (
            stock.bare_of_standing(when, TYPICAL, fish=fish, draw=standing.column(k) if standing else None)
            for when, fish in ((year, True), (CAP_YEARS, False))
        )
        reached += covered(stock.cells, then, wet[used], TYPICAL, stock.fish[used], now) >= cover - 1e-9
        passed += covered(stock.cells, last, groups[used], TYPICAL, there=later) > upper + 1e-9
    return Simulated(
        over_cap=passes.mean(axis=1),
        at_risk=at_risk,
        any_over_cap=float(passes.any(axis=0).mean()),
        over_upper=passed / COVER_DRAWS,
        cover_reached=reached / COVER_DRAWS,
    )
