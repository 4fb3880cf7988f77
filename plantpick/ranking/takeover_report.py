"""One plant's takeover on one pond in full: by year, where each stretch stops it and what does, and what measures change."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from plantpick.catalogue.plants import Catalogue
from plantpick.catalogue.traits import Traits, traits
from plantpick.errors import PlantpickError, Problem
from plantpick.pond.deepest_growth import light_limit_in, water_limit_in
from plantpick.pond.model import Pond
from plantpick.ranking import containment, rank, takeover
from plantpick.ranking.answer_codes import PlantCode
from plantpick.ranking.ruled_out import RuledOut
from plantpick.ranking.site_factors import sites
from plantpick.ranking.takeover import Percents

CHART_YEARS = tuple(range(1, 11))


@dataclass(frozen=True, kw_only=True)
class Stop:
    """How far out under water the edge comes on one stretch, feet (low, typical, high), at which depth it stops
    (typical, high, inches at full pool), and what stops it."""

    stretch: str
    slope: float
    out_ft: tuple[float, float, float]
    depth_in: tuple[float, float]
    by: str


@dataclass(frozen=True, kw_only=True)
class TakeoverReport:
    """The forecast of one plant: `shares` by year and `changed` by measure (in ten years) are per cent of the surface, low,
    typical, high. A note says so where a measure is not known to work on it."""

    plant_id: str
    common_name: str
    scientific_name: str
    groups: int
    group: int
    lives: bool
    verdict: str
    code: PlantCode  # the one that ranking and offers give
    cap_percent: float
    chance_over_cap: float  # 0 to 1, that these groups pass the limit in ten years if nobody cuts them
    shares: dict[int, Percents]
    stops: tuple[Stop, ...]
    changed: tuple[tuple[str, Percents, str], ...]
    remarks: tuple[str, ...]


def takeover_report(
    pond: Pond, catalogue: Catalogue, plant_id: str, groups: int | None = None
) -> TakeoverReport:
    """The forecast for `groups` groups (None: as many as the ranking judges it by), ruled out or not.

    Raises PlantpickError `too-little-known` when the catalogue cannot place the plant or has no rate for it.
    """
    plant = catalogue.plant(plant_id)
    if not plant.well_known:
        raise PlantpickError(
            "too-little-known",
            Problem(
                plant.common_name,
                "too little is known of it to forecast its spread.",
                "plantpick plant NAME shows what is known.",
            ),
        )
    plants = traits([plant])
    judged = sites(plants, pond)
    lives = bool(judged.best[0] > 0)
    good = rank.good_stretches(judged, pond)
    if not lives:  # it would not live here by the site factors: say what it would do if it did
        good = np.array([[s.described for s in pond.shore]])
    # as many as the ranking judges it by, unless you say how many
    ranked = rank.rank(pond, catalogue, places=False, only=[plant_id])
    wanted = (
        np.array([groups])
        if groups
        else rank.judged_once(ranked, plants, pond, good, rank.groups_wanted(pond, good)).planned
    )
    lengths, _, _ = containment.limits_of(pond)
    allotted = takeover.allot(good, lengths, wanted)

    def after(years, basin=pond, hold=takeover.LEFT_ALONE) -> dict[int, Percents]:
        points = takeover.points_by_year(plants, basin, allotted, years, hold=hold)
        return {int(year): takeover.percents(shares) for year, shares in points}

    shares = after(CHART_YEARS)
    tub, trim = (containment.stops_jump(plants, (word,)) for word in ("tub", "trim"))
    flatter = any(s.slope > containment.STEEP for s in pond.shore)
    potted, cut = (containment.applicable(plants, (word,))[0] for word in ("tub", "trim"))
    unproven = "not known to work on it"
    changed = (
        (
            "bank steepened to 3:1",
            after([10], containment.steepened(pond))[10],
            "" if flatter else "no bank is flatter",
        ),
        (
            "set in pots or tubs",
            after([10], hold=takeover.Hold(0.0, tub))[10],
            "" if potted else unproven,
        ),
        (
            "cut back to its first size each spring",
            after([10], hold=takeover.Hold(containment.TRIM_YEARS, trim))[10],
            "" if cut else unproven,
        ),
    )
    told = ranked.plants[0] if ranked.plants else ranked.ruled_out[0]
    return TakeoverReport(
        plant_id=plant_id,
        common_name=plant.common_name,
        scientific_name=plant.scientific_name,
        groups=int(wanted[0]),
        group=int(plants.group[0]),
        lives=lives,
        verdict=told.reason if isinstance(told, RuledOut) else "",
        code=told.answer_code,
        cap_percent=pond.cap_percent,
        chance_over_cap=takeover.chance_of(plants, pond, allotted),
        shares=shares,
        stops=_stops(plants, pond, takeover.strips(plants, pond)),
        changed=changed,
        remarks=_remarks(plants, lives),
    )


def _stops(plants: Traits, pond: Pond, where: takeover.Strips) -> tuple[Stop, ...]:
    if plants.word["growth_form"][0] == "free-floating":
        return ()
    n = plants.number
    found = []
    typical, high = (float(where.reach_in[0, q]) for q in (1, 2))
    own = float(water_limit_in(plants, pond)[0, 2])
    light = float(light_limit_in(plants, pond.clarity_range_in[2])[0, 2])
    if high >= pond.max_depth_in - 1e-9:
        by = "nothing: no water here is deep enough"
    elif high <= 0:
        by = "the waterline"
    else:
        by = "too little light" if light < own - 1e-9 else "deep water"
    rate = float(np.nan_to_num(n["spread_high_ft_yr"][0])) * pond.growing_season.rate_factor
    for s, stretch in enumerate(pond.shore):
        near, usual, far = (max(0.0, float(where.width[0, q, s] - where.dry[0, q, s])) for q in range(3))
        slow = " (its own slowness first)" if rate * 9 < usual / 4 and high > 0 else ""
        found.append(
            Stop(
                stretch=stretch.name,
                slope=stretch.slope,
                out_ft=(near, usual, far),
                depth_in=(max(0.0, typical), max(0.0, high)),
                by=by + slow,
            )
        )
    return tuple(found)


def _remarks(plants: Traits, lives: bool) -> tuple[str, ...]:
    said = []
    if not lives:
        said.append("By the site factors it would not live here: the forecast is for the case that it does.")
    jump = plants.word["jump"][0]
    if jump in ("low", "high"):
        low, usual, most = takeover.JUMP_FACTOR[jump]
        said.append(f"It jumps: each colony makes {low:g} - {usual:g} - {most:g} a year (judgement).")
    return tuple(said)
