"""Rules out, scores and orders the plants of the catalogue for one pond."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from plantpick.catalogue.law import Coverage
from plantpick.catalogue.plants import Catalogue
from plantpick.catalogue.traits import Traits, traits
from plantpick.pond.model import Pond
from plantpick.ranking import containment, eligibility, takeover
from plantpick.ranking.cautions import plant_notes, pond_assumptions, pond_cautions
from plantpick.ranking.ruled_out import REASONS, RuledOut, lawful_natives, why_not
from plantpick.ranking.site_factors import BAND_NAMES, BAND_OF_DEPTH, DEPTHS, GOOD, Sites, sites
from plantpick.vocabulary import JOBS, PURPOSES, fit_word

DRAWS = 30
SEED = 20_260_401
DRAW_NODES = 5  # points across a strip in a draw: the order needs no more
DRY_COVER = 0.5  # what stems that stand dry at low pool count as fish cover: judgement


@dataclass(frozen=True, kw_only=True)
class RankedPlant:
    """One line of the ranking. Shares are per cent of the pond's surface; depths inches."""

    plant_id: str
    scientific_name: str
    common_name: str
    growth_form: str
    score: float
    site: float
    stays_put: float
    use: float
    stretch: str
    band: str
    depth_in: float
    takeover_percent: tuple[float, float, float]
    cap_percent: float
    groups_wanted: int
    groups_max: int
    contained_by: tuple[str, ...]
    contained_groups: int
    chore: str
    good_places: tuple[tuple[str, str, float], ...]
    state_status: str
    notes: tuple[str, ...]
    places: tuple[int, int] = (0, 0)  # best and worst place over the seeded draws
    eligible: str = eligibility.CLEAR  # what law and nativity say of it, one of eligibility.CODES

    @property
    def fit(self) -> str:
        """The score in words: excellent, good, fair or poor; poor in any case where its best place is."""
        return "poor" if fit_word(self.site) == "poor" else fit_word(self.score / 100.0)

    @property
    def unlimited(self) -> bool:
        """True where the number of groups is no limit worth naming."""
        return self.groups_max >= takeover.MANY_GROUPS


@dataclass(frozen=True, kw_only=True)
class Ranking:
    """The answer for one pond: plants best first, those ruled out, and what to say beneath them."""

    pond: Pond
    job: str
    plants: tuple[RankedPlant, ...]
    ruled_out: tuple[RuledOut, ...]
    assumptions: tuple[str, ...]
    cautions: tuple[str, ...]
    law: Coverage
    firm: str = ""
    sites: Sites | None = field(default=None, repr=False)


def use_index(plants: Traits, purposes: tuple[str, ...], drop_in: float) -> np.ndarray:
    """Mean over the purposes named of the plant's value over 3, at every depth: (plants, depths).

    A value that is not known counts as 0. Fish cover counts in full where the plant still stands in water at low
    pool, by half where only full pool reaches it, and not at all on the bank (judgement).
    """
    wet = np.where(DEPTHS - drop_in > 0, 1.0, np.where(DEPTHS > 0, DRY_COVER, 0.0))
    total = np.zeros((len(plants), len(DEPTHS)))
    for purpose in purposes:
        value = np.nan_to_num(plants.number[PURPOSES[purpose]])[:, None]
        total += value * wet if purpose == "fish cover" else value
    return total / (3.0 * len(purposes))


def score(site, stays_put, use):
    """100 times the cube root of site x stays put x use, each an index from 0 to 1."""
    return 100.0 * np.cbrt(np.asarray(site) * stays_put * use)


def stays_put_index(groups_max, contained_worth, wanted):
    """Groups the pond can take over groups wanted, at most 1; or, if larger, what containment is worth."""
    return np.maximum(np.minimum(1.0, groups_max / np.maximum(wanted, 1)), contained_worth)


def rank(
    pond: Pond,
    catalogue: Catalogue,
    *,
    job: str = "all",
    next_door: bool = False,
    draws: int = DRAWS,
    seed: int = SEED,
    only: list[str] | None = None,
) -> Ranking:
    """Rank the catalogue for a pond.

    `job` narrows it to shoreline, fish cover or shade plants; `next_door` lets in plants native only to
    neighbouring states; `draws` seeded draws inside the traits' ranges show how firm the order is (0: skip them). `only` looks at some plants alone.
    """
    asked = catalogue.every_plant() if only is None else map(catalogue.plant, only)
    wanted_forms = [plant for plant in asked if plant.growth_form in JOBS[job]]
    out: dict[str, RuledOut] = {}

    def rule_out(plant_id: str, code: str, reason: str) -> None:
        out.setdefault(plant_id, RuledOut(plant_id, catalogue.plant(plant_id).common_name, code, reason))

    lawful, passed = lawful_natives(catalogue, wanted_forms, pond, next_door, rule_out)
    plants = traits(lawful)
    if job == "fish cover":
        plants = plants.subset(plants.number["fish_cover"] > 0)
    judged = sites(plants, pond)
    use = use_index(plants, pond.purposes, pond.usual_drop_in)
    for row in np.flatnonzero((judged.best <= 0.0) & (use.max(axis=1) > 0)):
        rule_out(plants.plant_id[row], *why_not(plants, judged, pond, int(row)))
    judged = judged.where_useful(use)
    for row in np.flatnonzero(judged.best <= 0.0):
        rule_out(
            plants.plant_id[row],
            "use",
            f"does nothing for {' or '.join(pond.purposes)} where it can live here",
        )
    living = judged.best > 0.0
    plants, judged, use = plants.subset(living), judged.subset(living), use[living]

    good = good_stretches(judged, pond)
    wanted = groups_wanted(pond, good)
    verdict = _takeover(plants, pond, good, wanted)
    fits = (verdict.groups >= 1) | (verdict.contained.groups >= 1)
    for row in np.flatnonzero(~fits):
        rule_out(
            plants.plant_id[row],
            "takeover",
            f"{wanted[row]} group{'s' if wanted[row] > 1 else ''} could hold {_percent(verdict.shares[row, 2] * 100)} "
            f"of the pond in ten years (cap {pond.cap_percent:g} %), and nothing holds it",
        )
    plants, judged, use, good, wanted, verdict = (
        plants.subset(fits),
        judged.subset(fits),
        use[fits],
        good[fits],
        wanted[fits],
        verdict.subset(fits),
    )

    places = [judged.best_place(i, use[i], pond) for i in range(len(plants))]
    site = np.array([judged.index[i, s, d] for i, (s, d) in enumerate(places)])
    use = np.array([use[i, d] for i, (_, d) in enumerate(places)])
    stays = stays_put_index(verdict.groups, verdict.contained.worth, wanted)
    scores = score(site, stays, use)
    # among equals the one that takes less comes first
    ties = np.lexsort((plants.plant_id.astype(str), verdict.shares[:, 2].round(6)))
    order = ties[np.argsort(-np.round(scores[ties], 6), kind="stable")]
    spans = _stability(plants, pond, good, wanted, site, use, verdict, scores, ties, draws, seed)
    ranked = tuple(
        _row(
            i,
            plants,
            catalogue,
            pond,
            judged,
            places[i],
            wanted,
            verdict,
            scores,
            stays,
            use,
            spans[i],
            passed,
        )
        for i in order
    )
    ruled = tuple(sorted(out.values(), key=lambda r: (list(REASONS).index(r.code), r.plant_id)))
    return Ranking(
        pond=pond,
        job=job,
        plants=ranked,
        ruled_out=ruled,
        assumptions=pond_assumptions(pond),
        cautions=pond_cautions(pond, [catalogue.plant(r.plant_id) for r in ranked]),
        law=catalogue.coverage_of(pond.state),
        firm=firmness(ranked),
        sites=judged,
    )


def good_stretches(judged: Sites, pond: Pond) -> np.ndarray:
    """Where each plant has a good place, (plants, stretches of the whole shore).

    A plant with no good place keeps the stretch of its best one. Nothing is planted on shore that was not described.
    """
    by_stretch = judged.index.max(axis=2)
    good = by_stretch >= GOOD
    lacking = ~good.any(axis=1)
    good[lacking] = by_stretch[lacking] == by_stretch[lacking].max(axis=1, keepdims=True)
    missing = len(pond.shore) - good.shape[1]
    return np.pad(good, ((0, 0), (0, missing)))


def groups_wanted(pond: Pond, good: np.ndarray) -> np.ndarray:
    """One group on each stretch with a good place, unless the pond file says how many."""
    return np.full(len(good), pond.groups_wanted) if pond.groups_wanted else good.sum(axis=1)


@dataclass(frozen=True)
class _Verdict:
    groups: np.ndarray
    contained: containment.Contained
    shares: np.ndarray
    where: takeover.Strips

    def subset(self, mask: np.ndarray) -> _Verdict:
        held = containment.Contained(
            tuple(m for m, keep in zip(self.contained.measures, mask) if keep),
            self.contained.groups[mask],
            self.contained.worth[mask],
        )
        return _Verdict(self.groups[mask], held, self.shares[mask], self.where.subset(mask))


def _takeover(plants: Traits, pond: Pond, good: np.ndarray, wanted: np.ndarray) -> _Verdict:
    lengths = np.array([s.length_ft for s in pond.shore])
    where = takeover.strips(plants, pond)
    coming = takeover.forecast(plants, pond, where=where)
    shares = coming.takeover(takeover.allot(good, lengths, wanted))
    groups = takeover.groups_within(
        coming.at_level(2), good, lengths, pond.cap_percent / 100.0, most=containment.loose_most(plants)
    )
    held = containment.contain(plants, pond, good, np.where(groups < wanted, wanted, 0))
    return _Verdict(groups, held, shares, where)


def _row(
    i, plants, catalogue, pond, judged, place, wanted, verdict, scores, stays, use, span, passed
) -> RankedPlant:
    plant_id = plants.plant_id[i]
    plant = catalogue.plant(plant_id)
    stretch, depth = place
    by_band = judged.bands(i)
    places = tuple(
        (pond.stretches[s].name, BAND_NAMES[b], float(by_band[s, b]))
        for s in range(by_band.shape[0])
        for b in range(by_band.shape[1])
        if by_band[s, b] >= GOOD
    )
    free, held = int(verdict.groups[i]), int(verdict.contained.groups[i])
    better = verdict.contained.worth[i] > min(1.0, free / wanted[i])
    measures = verdict.contained.measures[i] if better else ()
    number = min(held, int(wanted[i])) if better else 0
    found = passed[plant_id]
    chore = containment.chore(plants, i, pond, measures, number) if measures else ""
    notes = plant_notes(found, plants, i, plant, pond, verdict.where, stretch, DEPTHS[depth], measures, chore)
    return RankedPlant(
        plant_id=plant_id,
        scientific_name=plant.scientific_name,
        common_name=plant.common_name,
        growth_form=plant.growth_form,
        score=float(scores[i]),
        site=float(judged.index[i, stretch, depth]),
        stays_put=float(stays[i]),
        use=float(use[i]),
        stretch=pond.stretches[stretch].name,
        band=BAND_NAMES[BAND_OF_DEPTH[depth]],
        depth_in=float(DEPTHS[depth]),
        takeover_percent=takeover.percents(verdict.shares[i]),
        cap_percent=pond.cap_percent,
        groups_wanted=int(wanted[i]),
        groups_max=free,
        contained_by=measures,
        contained_groups=number,
        chore=chore,
        good_places=places,
        state_status=eligibility.NEXT_DOOR if found.native == "not recorded" else found.native,
        notes=notes,
        places=span,
        eligible=found.code,
    )


def _stability(
    plants, pond, good, wanted, site, use, verdict, scores, ties, draws, seed
) -> list[tuple[int, int]]:
    """The range of places of each plant over seeded draws: rates, jumping and reach drawn inside their ranges.

    A plant that stays put at the high end of its ranges does so in every draw; only the others are drawn.
    """
    count = len(plants)
    if not draws or not count:
        return [(0, 0)] * count
    rng = np.random.default_rng(seed)
    # the dice belong to the plant, whatever its row: cast them in the order of plant_id
    alphabetical = np.argsort(plants.plant_id.astype(str))
    dice = np.empty((3, draws, count))
    dice[:, :, alphabetical] = rng.random((3, draws, count))
    unsure = np.flatnonzero(verdict.groups < wanted)
    index = np.tile(unsure, draws)
    many = plants.subset(index)
    rate, jump, reach = dice[:, :, unsure].reshape(3, -1)
    n = many.number
    drawn = triangular(rate, n["spread_low_ft_yr"], n["spread_ft_yr"], n["spread_high_ft_yr"])
    deep = triangular(reach, n["advance_depth_low_in"], n["advance_depth_in"], n["advance_depth_high_in"])
    double = triangular(rate, n["doubling_low_days"], n["doubling_days"], n["doubling_high_days"])
    many = many.replaced(spread_high_ft_yr=drawn, advance_depth_high_in=deep, doubling_low_days=double)
    factor = triangular(jump, *takeover.jump_factors(many).T)
    high = takeover.forecast(
        many, pond, levels=(2,), factors=np.repeat(factor[:, None], 3, axis=1), nodes=DRAW_NODES
    )
    lengths = np.array([s.length_ft for s in pond.shore])
    most = np.minimum(wanted, containment.loose_most(plants))[index]
    groups = takeover.groups_within(high, good[index], lengths, pond.cap_percent / 100.0, most=most)
    stays = stays_put_index(groups, verdict.contained.worth[index], wanted[index])
    table = np.tile(scores, (draws + 1, 1))
    table[1:, unsure] = score(site[index], stays, use[index]).reshape(draws, -1)
    # equals keep the order that they have in the ranking itself
    ordered = np.lexsort((np.broadcast_to(np.argsort(ties), table.shape), -np.round(table, 6)), axis=1)
    places = np.empty_like(ordered)
    np.put_along_axis(places, ordered, np.broadcast_to(np.arange(1, count + 1), ordered.shape), axis=1)
    low = np.minimum(np.percentile(places, 5, axis=0), places[0])
    top = np.maximum(np.percentile(places, 95, axis=0), places[0])
    return [(int(np.floor(a)), int(np.ceil(b))) for a, b in zip(low, top)]


def triangular(u, low, typical, high):
    """The value of a triangular distribution at probability u (NaN limits give NaN)."""
    low, typical, high = (np.asarray(v, dtype=float) for v in (low, typical, high))
    with np.errstate(divide="ignore", invalid="ignore"):
        span = high - low
        at = np.where(span > 0, (typical - low) / span, 0.0)
        up = low + np.sqrt(u * span * (typical - low))
        down = high - np.sqrt((1.0 - u) * span * (high - typical))
    return np.where(span > 0, np.where(u < at, up, down), typical)


def firmness(rows: tuple[RankedPlant, ...]) -> str:
    """One sentence on how far the order may be trusted."""
    if not rows or rows[0].places == (0, 0):
        return ""
    firm = 0
    while firm < len(rows) and rows[firm].places[1] <= firm + 3:
        firm += 1
    if firm == len(rows):
        return "The order holds over all draws inside the traits' ranges, give or take two places."
    head = f"The first {firm} places are firm; from place {firm + 1} on, the" if firm > 1 else "The whole"
    return (
        f"{head} order depends on spread rates, reach and seeding that few people have "
        "measured: read the range of places, not the place."
    )


def _percent(value: float) -> str:
    return f"{value:.0f} %" if value >= 1 else f"{value:.1f} %"
