"""What grows in the pond already: how much of it there is, what it comes to, and what to do about it before you plant.

The gate is asked about each kind as about any other plant. One that is listed or brought in comes out first, so the plan does
not count on it. One that would pass your limit if nobody cut it is counted as held at its present size. The rest counts as
left alone.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

import numpy as np

from plantpick.catalogue.plants import Catalogue
from plantpick.catalogue.traits import Traits, traits
from plantpick.pond.model import Pond
from plantpick.ranking import takeover
from plantpick.ranking.containment import limits_of
from plantpick.ranking.draws import draw, percent_points
from plantpick.ranking.eligibility import Eligibility, GateCode, eligibility
from plantpick.ranking.takeover import DRAW_NODES, Percents

BROUGHT_IN = (
    GateCode.LISTED,
    GateCode.INVADER,
    GateCode.INTRODUCED,
    GateCode.INTRODUCED_HERE,
)


class First(Enum):
    """What to do about a stand before you plant."""

    LEAVE = "leave"  # it stays within your limit by itself
    CUT_BACK = "cut back"  # it is over your limit today: cut it back to that first, then hold it
    HOLD = "hold"  # it would pass your limit: hold it at its present size
    TAKE_OUT = "take out"  # listed, or brought in
    OFF_DAM = "off the dam"  # woody and on a dam: its roots pipe it
    PROTECTED = "protected"  # a rare native: ask before you touch it
    KEEP_AWAY = "keep away"  # dangerous to people or stock
    UNKNOWN = "unknown"  # too little is known to say what it will do
    BY_NAME = (
        "by name only"  # nothing but its name is known here: not how it grows, nor whether it belongs here
    )


@dataclass(frozen=True, kw_only=True)
class GrowsThere:
    """One kind that grows there: `area_ft2` now, `shares` of the surface after ten years left alone (None: nobody knows) and the
    chance, 0 to 1, that it passes your limit then; `gate` is what law and nativity say of it here, None where only its name is known."""

    plant_id: str
    common_name: str
    scientific_name: str
    stretches: tuple[str, ...]
    area_ft2: float
    percent: float
    first: First
    gate: Eligibility | None
    fish_cover: bool
    shares: Percents | None = None
    chance_over_cap: float | None = None

    @property
    def counted(self) -> bool:
        """Whether a plan counts it."""
        return self.first not in (First.TAKE_OUT, First.OFF_DAM, First.UNKNOWN, First.BY_NAME)

    @property
    def held(self) -> bool:
        """Whether it is counted at the size that it has now."""
        return self.first in (First.CUT_BACK, First.HOLD, First.PROTECTED, First.KEEP_AWAY)


def grows_there(pond: Pond, catalogue: Catalogue) -> tuple[GrowsThere, ...]:
    """Each kind that the pond file says grows there, in its order; also those that we know by name only."""
    known = set(catalogue.plant_ids)
    return tuple(
        _kind(plant_id, pond, catalogue) if plant_id in known else _by_name(plant_id, pond)
        for plant_id in dict.fromkeys(g.plant_id for g in pond.growing)
    )


def _by_name(plant_id: str, pond: Pond) -> GrowsThere:
    """A kind of which only the name is known: where it stands, and how large it is where that was given in feet."""
    stands = [g for g in pond.growing if g.plant_id == plant_id]
    areas = [
        g.area_ft2
        if g.area_ft2 is not None
        else np.nan
        if g.length_ft is None or g.width_ft is None
        else g.length_ft * g.width_ft
        for g in stands
    ]
    area = float(np.sum(areas))
    return GrowsThere(
        plant_id=plant_id,
        common_name=stands[0].name,
        scientific_name="",
        stretches=tuple(dict.fromkeys(g.stretch for g in stands)),
        area_ft2=area,
        percent=100.0 * area / pond.area_ft2,
        first=First.BY_NAME,
        gate=None,
        fish_cover=False,
    )


def _kind(plant_id: str, pond: Pond, catalogue: Catalogue) -> GrowsThere:
    plant = catalogue.plant(plant_id)
    gate = eligibility(catalogue, plant_id, pond.state)
    one = traits([plant])
    stretches = tuple(dict.fromkeys(g.stretch for g in pond.growing if g.plant_id == plant_id))
    area = float(takeover.present_ft2(one, pond).sum())
    now = 100.0 * area / pond.area_ft2
    over_today = now > pond.cap_percent
    shares, over = None, None
    if plant.well_known:
        _, cap, risk = limits_of(pond)
        none = np.zeros((1, len(pond.shore)))
        coming = takeover.forecast(one, pond, draws=draw(one.plant_id), nodes=DRAW_NODES)
        told = takeover.percents(percent_points(coming.takeover(none)[0]))
        low, typical, high = (
            max(share, now) if now > 0 else share for share in told
        )  # none shrinks by itself
        shares = (low, typical, high)
        over = 1.0 if over_today else float(takeover.chance_over(coming, none, cap)[0])
    first = (
        First.TAKE_OUT
        if gate.code in BROUGHT_IN
        else First.PROTECTED
        if gate.code == GateCode.PROTECTED
        else First.KEEP_AWAY
        if gate.code == GateCode.DANGER
        else First.OFF_DAM
        if plant.woody and any(stretch.dam for stretch in pond.shore if stretch.name in stretches)
        else First.UNKNOWN
        if over is None or np.isnan(area)
        else First.CUT_BACK
        if over_today
        else First.HOLD
        if over > risk + 1e-12
        else First.LEAVE
    )
    return GrowsThere(
        plant_id=plant_id,
        common_name=plant.common_name,
        scientific_name=plant.scientific_name,
        stretches=stretches,
        area_ft2=area,
        percent=now,
        first=first,
        gate=gate,
        fish_cover=bool(np.nan_to_num(plant.fish_cover) > 0 and not plant.woody),
        shares=shares,
        chance_over_cap=over,
    )


@dataclass(frozen=True)
class Standing:
    """The kinds that a plan counts, as arrays: which give fish cover, and which keep the size that they have."""

    plants: Traits
    fish: np.ndarray
    still: np.ndarray


def standing(kinds: tuple[GrowsThere, ...], catalogue: Catalogue) -> Standing | None:
    """What a plan counts of what grows there; None where that is nothing."""
    counted = [k for k in kinds if k.counted and catalogue.plant(k.plant_id).well_known]
    if not counted:
        return None
    return Standing(
        plants=traits(catalogue.plant(k.plant_id) for k in counted),
        fish=np.array([k.fish_cover for k in counted]),
        still=np.array([k.held for k in counted]),
    )
