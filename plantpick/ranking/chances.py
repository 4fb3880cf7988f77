"""The chance that a plant passes the owner's limit on this pond, left alone and held, and how many groups the pond can take.

One answer for the ranking, the plan, offers and whoever else asks. It is judged for the groups that the pond can take, up to
those wanted, and for one at least; a plant of which the pond cannot take one group has to be held, or is out.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from plantpick.catalogue.traits import Traits
from plantpick.pond.model import Pond
from plantpick.ranking import containment, takeover
from plantpick.ranking.containment import Contained
from plantpick.ranking.draws import MANY, SEED, draw, ends, percent_points


@dataclass(frozen=True, kw_only=True)
class Chances:
    """By plant: `groups_max` left alone within the owner's risk (MANY_GROUPS: no limit worth naming), the best measure where
    that is none, `planned` groups to judge by, `over` the chance that so many pass the limit when nobody cuts them,
    `shares` (plants, 3) their share of the surface after ten years (10, 50 and 90 % points), `passes` (plants, draws) the
    draws that pass the limit, and `where` they live (low, typical, high)."""

    groups_max: np.ndarray
    contained: Contained
    planned: np.ndarray
    over: np.ndarray
    shares: np.ndarray
    passes: np.ndarray
    where: takeover.Strips

    @property
    def fits(self) -> np.ndarray:
        """Whether the pond can take a group, left alone or held, (plants,)."""
        return (self.groups_max >= 1) | (self.contained.groups >= 1)

    def subset(self, rows: np.ndarray) -> Chances:
        """The same for some of the plants (a boolean mask)."""
        return Chances(
            groups_max=self.groups_max[rows],
            contained=self.contained.subset(rows),
            planned=self.planned[rows],
            over=self.over[rows],
            shares=self.shares[rows],
            passes=self.passes[rows],
            where=self.where.subset(rows),
        )


def chances(
    plants: Traits, pond: Pond, good: np.ndarray, wanted: np.ndarray, *, number: int = MANY, seed: int = SEED
) -> Chances:
    """What `wanted` groups (plants,) on the stretches where a plant does well (`good`) come to, in `number` draws.

    A plant that keeps the limit with many groups at the upper ends of all its ranges, or passes it with one at the lower
    ends, does so in every draw: how many groups it takes need not be looked for.
    """
    lengths, cap, risk = containment.limits_of(pond)
    loose = containment.loose_most(plants)
    edge = takeover.forecast(plants, pond, draws=ends(number), nodes=takeover.DRAW_NODES)
    always = edge.takeover(takeover.allot(good, lengths, 1))[:, 0] > cap
    most = np.maximum(wanted, takeover.MANY_GROUPS)
    never = edge.takeover(takeover.allot(good, lengths, most))[:, 1] <= cap
    unsure = np.flatnonzero(~always & ~never)

    drawn = draw(plants.plant_id, number, seed=seed)
    some = takeover.forecast(
        plants.subset(unsure), pond, draws=drawn.subset(unsure), nodes=takeover.DRAW_NODES
    )
    groups = np.where(never & good.any(axis=1), most, 0)
    groups[unsure] = takeover.groups_within(some, good[unsure], lengths, cap, risk, most[unsure])
    groups = np.where(loose > 0, groups, 0)
    held = containment.contain(plants, pond, good, np.where(groups < 1, wanted, 0), drawn)

    room = np.where(groups > 0, groups, held.groups)
    planned = np.maximum(np.minimum(wanted, room), 1)
    set_out = takeover.allot(good, lengths, planned)
    passes = np.repeat(always[:, None], number, axis=1)
    shares = np.zeros((len(plants), 3))
    drawn_shares = some.takeover(set_out[unsure])
    passes[unsure] = drawn_shares > cap + 1e-12
    shares[unsure] = percent_points(drawn_shares)
    clear = np.flatnonzero(always | never)
    rest = takeover.forecast(plants.subset(clear), pond, draws=drawn.subset(clear), nodes=takeover.DRAW_NODES)
    shares[clear] = percent_points(rest.takeover(set_out[clear]))
    return Chances(
        groups_max=groups,
        contained=held,
        planned=planned,
        over=passes.mean(axis=1),
        shares=shares,
        passes=passes,
        where=takeover.strips(plants, pond),
    )


def chance_words(chance: float) -> str:
    """A chance (0 to 1) as an owner says it: "1 chance in 12"; over a fifth "3 chances in 10"."""
    if chance < LEAST_CHANCE:
        return "under 1 chance in 200"
    if chance > NEARLY_CERTAIN:
        return "nearly certain"
    hits, of = _odds(chance)
    return f"{hits} chance{'s' if hits > 1 else ''} in {of}"


def chance_figures(chance: float) -> str:
    """The same for a column of figures: "1 in 12", "3 in 10", "<1 in 200"."""
    if chance < LEAST_CHANCE:
        return "<1 in 200"
    if chance > NEARLY_CERTAIN:
        return "certain"
    hits, of = _odds(chance)
    return f"{hits} in {of}"


LEAST_CHANCE, NEARLY_CERTAIN = 0.005, 0.945  # beyond these we name no figure: so few draws do not show it


def _odds(chance: float) -> tuple[int, int]:
    return (round(10 * chance), 10) if chance > 0.2 else (1, round(1.0 / chance))
