"""The full working of one plant's score on one pond, factor by factor, ruled out or not."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np

from plantpick.catalogue.law import Coverage
from plantpick.catalogue.plants import Catalogue
from plantpick.catalogue.traits import traits
from plantpick.pond.model import Pond
from plantpick.ranking import containment, rank, site_factors
from plantpick.ranking import takeover as spread
from plantpick.ranking.answer_codes import PlantCode
from plantpick.ranking.chances import chance_words
from plantpick.ranking.eligibility import Eligibility, eligibility
from plantpick.ranking.ruled_out import REASONS
from plantpick.ranking.site_factors import BAND_NAMES, BAND_OF_DEPTH, DEPTHS, LIMITING, OnePlant, sites
from plantpick.vocabulary import fit_word


@dataclass(frozen=True, kw_only=True)
class Explanation:
    """The arithmetic for one plant: `factors` are (name, index, break points in words), none where too little is known.

    `found` is what the gate of law and nativity says of it here.
    """

    plant_id: str
    found: Eligibility
    code: PlantCode  # the one that ranking and offers give
    ruled_out: str
    ask_first: str = ""  # what to ask before you buy it
    stretch: str = ""
    band: str = ""
    depth_in: float = np.nan
    factors: tuple[tuple[str, float, str], ...] = ()
    combined: float = np.nan
    combined_how: str = ""
    takeover: tuple[tuple[int, tuple[float, float, float]], ...] = ()  # years, per cent low-typical-high
    takeover_how: tuple[str, ...] = ()
    cap_percent: float
    groups_wanted: int = 0
    groups_max: int = 0
    groups_planned: int = 0  # what the ranking plans on: none in a poor place
    groups_judged: int = 0  # what the shares and the chance are for
    risk_percent: float = 0.0
    chance_over_cap: float = np.nan
    contained_by: tuple[str, ...] = ()  # the measures that the ranking names
    chance_over_cap_contained: float | None = None  # with them; None where it needs none
    fit: str = ""  # the grade in the ranking; empty when the plant is ruled out
    measures: tuple[containment.GroupsHeld, ...] = ()  # groups that the pond can take with each measure
    use: tuple[tuple[str, float], ...] = ()  # purpose, value 0-3 at the best place
    use_full: Mapping[str, float] = field(default_factory=dict)  # purpose, the same where all of it counts
    stays_how: str = ""  # what the stays-put index is made of; empty when the plant is ruled out
    score_how: str = ""
    poor: str = ""  # what stands against it, where its best place is poor and nothing of it is planned on
    law: Coverage  # how far the state's list was read


@dataclass(frozen=True, kw_only=True)
class OneOfSeveral:
    """One of the plants that share a name: whether a pond's lists have it, and if not, why in a few words."""

    plant_id: str
    scientific_name: str
    common_name: str
    listed: bool
    why_not: str = ""


def which_fit(
    pond: Pond, catalogue: Catalogue, plant_ids: Sequence[str], *, next_door: bool = False
) -> tuple[OneOfSeveral, ...]:
    """Plants that share a name, those in the pond's lists first, then by scientific name."""
    ranked = rank.rank(pond, catalogue, next_door=next_door, places=False, only=list(plant_ids))
    poor = {p.plant_id: p.poor for p in ranked.plants}
    out = {r.plant_id: REASONS[r.code] for r in ranked.ruled_out}
    found = []
    for plant_id in plant_ids:
        plant = catalogue.plant(plant_id)
        why = out.get(plant_id, "its best place there is poor" if poor.get(plant_id) else "")
        found.append(
            OneOfSeveral(
                plant_id=plant_id,
                scientific_name=plant.scientific_name,
                common_name=plant.common_name,
                listed=plant_id in poor and not why,
                why_not=why,
            )
        )
    return tuple(sorted(found, key=lambda one: (not one.listed, one.scientific_name)))


def explain(
    pond: Pond, catalogue: Catalogue, plant_id: str, *, job: str = "all", next_door: bool = False
) -> Explanation:
    """Everything that goes into one plant's line in the ranking for a job, or that keeps it out."""
    ranked = rank.rank(pond, catalogue, job=job, next_door=next_door, places=False, only=[plant_id])
    out = next((r for r in ranked.ruled_out if r.plant_id == plant_id), None)
    line = next((r for r in ranked.plants if r.plant_id == plant_id), None)
    reason = out.reason if out else ""
    found = eligibility(catalogue, plant_id, pond.state, next_door)
    if not catalogue.plant(plant_id).well_known:
        return Explanation(
            plant_id=plant_id,
            found=found,
            code=out.answer_code if out else found.code,
            ruled_out=reason or "too little is known of it",
            cap_percent=pond.cap_percent,
            law=ranked.law,
        )
    plants = traits([catalogue.plant(plant_id)])
    every = sites(plants, pond)
    useful = rank.use_index(plants, pond.purposes, pond.usual_drop_in)
    doing = useful * rank.job_depths(plants, job, pond.usual_drop_in)
    useful = doing if every.where_useful(doing).best[0] > 0 else useful
    judged = every.where_useful(useful) if every.where_useful(useful).best[0] > 0 else every
    stretch, depth = _telling_place(judged, pond, useful[0])
    plant = OnePlant(plants, 0)
    factors = tuple(
        (
            factor.name,
            float(np.broadcast_to(judged.factors[factor.name][0], judged.index.shape[1:])[stretch, depth]),
            factor.explanation(plant, pond, pond.stretches[stretch], float(DEPTHS[depth])),
        )
        for factor in site_factors.FACTORS
    )
    known = [v for _, v, _ in factors if not np.isnan(v)]
    combined = float(judged.index[0, stretch, depth])
    how = (
        f"smallest factor, as it is {LIMITING} or less"
        if min(known) <= LIMITING
        else f"geometric mean of {len(known)} factors"
    )
    good = rank.good_stretches(judged, pond)
    wanted = rank.groups_wanted(pond, good)
    lengths, _, _ = containment.limits_of(pond)
    judged_by = rank.judged_once(ranked, plants, pond, good, wanted)
    allotted = spread.allot(good, lengths, judged_by.planned)
    over = tuple(
        (int(y), spread.percents(p)) for y, p in spread.points_by_year(plants, pond, allotted, spread.YEARS)
    )
    measures = tuple(
        containment.groups_with(plants, basin, good, words, hold)
        for words, hold, works, basin in containment.containment_options(plants, pond)
        if works[0]
    )
    use = tuple(
        (p, 3.0 * float(rank.use_index(plants, (p,), pond.usual_drop_in)[0, depth])) for p in pond.purposes
    )
    score_how = (
        (
            f"100 x cube root of site {line.site:.2f} x stays put {line.stays_put:.2f} x use {line.use:.2f} "
            f"= {line.score:.0f} ({line.fit}{', as its best place is' if line.fit != fit_word(line.score / 100.0) else ''})"
        )
        if line
        else ""
    )
    return Explanation(
        plant_id=plant_id,
        found=found,
        code=line.answer_code if line else out.answer_code if out else found.code,
        ruled_out=reason,
        ask_first=line.ask_first if line else "",
        stretch=pond.stretches[stretch].name,
        band=BAND_NAMES[BAND_OF_DEPTH[depth]],
        depth_in=float(DEPTHS[depth]),
        factors=factors,
        combined=combined,
        combined_how=how,
        takeover=over,
        takeover_how=_takeover_how(plants, pond, judged_by.where, allotted),
        cap_percent=pond.cap_percent,
        groups_wanted=int(wanted[0]),
        groups_max=int(judged_by.groups_max[0]),
        groups_planned=line.groups_planned if line else 0,
        groups_judged=int(judged_by.planned[0]),
        risk_percent=pond.risk_percent,
        chance_over_cap=float(judged_by.over[0]),
        contained_by=line.contained_by if line else (),
        chance_over_cap_contained=line.chance_over_cap_contained if line else None,
        fit=line.fit if line else "",
        measures=measures,
        use=use,
        use_full={p: catalogue.plant(plant_id).worth(p) for p in pond.purposes},
        stays_how=_stays_how(line) if line else "",
        score_how=score_how,
        poor=line.against_words if line and line.poor else "",
        law=ranked.law,
    )


def _stays_how(line: rank.RankedPlant) -> str:
    if not line.contained_by:
        return f"stays put {line.stays_put:.2f}: {chance_words(line.chance_over_cap)} of passing your limit, with no help from you"
    weight = containment.CONTAINED_WEIGHT ** len(line.contained_by)
    return (
        f"stays put {line.stays_put:.2f}: with {containment.in_words(line.contained_by)} "
        f"{chance_words(line.chance_over_cap_contained or 0.0)} of passing your limit; {weight:.2g} since that depends on you"
    )


def _telling_place(judged, pond: Pond, worth) -> tuple[int, int]:
    """The best place; for a plant with none, the place where the fewest factors are 0."""
    if judged.best[0] > 0:
        return judged.best_place(0, worth if (judged.index[0] * worth).any() else 1.0, pond)
    shape = judged.index.shape[1:]
    values = np.stack([np.broadcast_to(f[0], shape) for f in judged.factors.values()])
    liking = np.nan_to_num(values, nan=1.0).sum(axis=0) - 10.0 * (np.nan_to_num(values, nan=1.0) == 0).sum(
        axis=0
    )
    liking = np.where(pond.max_depth_in >= DEPTHS, liking, -1e9)
    best = np.unravel_index(np.argmax(liking), shape)
    return int(best[0]), int(best[1])


def _takeover_how(plants, pond: Pond, where: spread.Strips, groups: np.ndarray) -> tuple[str, ...]:
    n = {k: v[0] for k, v in plants.number.items()}
    if plants.word["growth_form"][0] == "free-floating":
        return (
            f"doubles in {n['doubling_low_days']:g} to {n['doubling_high_days']:g} days through "
            f"{pond.growing_season.frost_free_days:.0f} frost-free days a year, until the water it can hold is full "
            f"({', '.join(f'{100 * s:.0f} %' for s in spread.FLOATING_SHARE)} of the surface)",
        )
    rates = [
        n[c] * pond.growing_season.rate_factor
        for c in ("spread_low_ft_yr", "spread_ft_yr", "spread_high_ft_yr")
    ]
    start = spread.group_shape(plants.group, plants.number["spacing_in"])
    first, row = float(start.radius_ft[0]), float(start.row_ft[0])
    years = spread.YEARS[-1]
    last = [first + rate * (years - spread.SETTLING_YEARS) for rate in rates]
    jumps = spread.JUMP_FACTOR[plants.word["jump"][0]]
    lines = [
        (
            f"a group of {plants.group[0]:g} at {n['spacing_in']:g} in starts as a row {row:.1f} ft long with its edge "
            f"{first:.1f} ft around it; "
            if row
            else f"a group of {plants.group[0]:g} at {n['spacing_in']:g} in starts as a disc {first:.1f} ft from middle to edge; "
        )
        + f"after a settling year its edge moves {_three(rates, '.2g')} ft a year (catalogue rate x "
        f"{pond.growing_season.rate_factor:.2f} for the season), and in year {years} it is {_three(last, '.3g')} ft from the {'row' if row else 'middle'}",
        f"one colony becomes {_three(jumps, 'g')} a year"
        if jumps[2] > 1
        else "it starts no colonies away from the first",
    ]
    for i, stretch in enumerate(pond.shore):
        wet = [where.width[0, q, i] - where.dry[0, q, i] for q in range(3)]
        dry = where.dry[0, 1, i]
        bank = f" and {dry:.1f} ft of bank" if dry > 0.05 else ""
        lines.append(
            f"{stretch.name}, {stretch.length_ft:,.0f} ft long: a strip {_three(wet, '.1f')} ft wide under water{bank}, "
            f"to {_three(where.reach_in[0], '.0f')} in deep"
        )
    plain = 100.0 * spread.forecast(plants, pond, years, where=where).takeover(groups)[0]
    lines.append(f"shares are of the pond's surface, {pond.area_ft2:,.0f} sq ft")
    lines.append(
        f"with every one of these low, typical or high at once it holds {_three(plain, '.3g')} % in year {years}; in the draws below "
        "some are high where others are low"
    )
    return tuple(lines)


def _three(values, form: str) -> str:
    """Low, typical and high with hyphens between."""
    return " - ".join(format(float(v), form) for v in values)
