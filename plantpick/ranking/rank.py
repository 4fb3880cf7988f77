"""Rules out, scores and orders the plants of the catalogue for one pond."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np

from plantpick.catalogue.establishment import YEAR
from plantpick.catalogue.law import Coverage
from plantpick.catalogue.plants import Catalogue
from plantpick.catalogue.traits import Traits, traits
from plantpick.pond.model import Pond
from plantpick.ranking import containment, takeover
from plantpick.ranking.answer_codes import FitCode, PlantCode, Reason, ask_first
from plantpick.ranking.cautions import (
    eaten_here,
    loose_warning,
    plant_notes,
    pond_assumptions,
    pond_cautions,
    short_notes,
)
from plantpick.ranking.chances import Chances, chance_words, chances
from plantpick.ranking.draws import MANY, SEED, TENTH, own_scores
from plantpick.ranking.eligibility import Eligibility, GateCode
from plantpick.ranking.establishment import EVERY_GUARD, alive
from plantpick.ranking.grows_there import GrowsThere, grows_there
from plantpick.ranking.ruled_out import REASONS, RuledOut, lawful_natives, why_not
from plantpick.ranking.site_factors import (
    BAND_NAMES,
    BAND_OF_DEPTH,
    DEPTH,
    DEPTHS,
    GOOD,
    Home,
    Sites,
    at_home,
    combine,
    depth_index,
    lives_in_water,
    sites,
)
from plantpick.vocabulary import BANDS, JOBS, PURPOSES, fit_word

DRY_COVER = 0.5  # what stems that stand dry at low pool count as fish cover: judgement
COVER_IN = 6.0  # water that stems must stand in at low pool to shelter fish: judgement
SHORELINE_IN = BANDS["6-18 in"][
    1
]  # deepest water at full pool of what is still a plant of the shore: judgement


JOB_LACKS = {  # why a plant that lives here does not do the job
    "fish cover": f"shelters no fish when the pond is down: dry then, or stems in less than {COVER_IN:g} in of water",
    "shoreline": f"lives here only in more than {SHORELINE_IN:g} in of water",
}


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
    groups_planned: int  # the groups wanted, or as many as the pond can take, that the chances and shares are for; 0 in a poor place
    chance_over_cap: float  # 0 to 1, that they pass the limit when nobody cuts them
    chance_over_cap_contained: float | None  # the same with the measures; None where it needs none
    establish_percent: tuple[
        float, float, float
    ]  # of the plants set that live a year, with the guards we name
    contained_by: tuple[str, ...]
    contained_groups: int
    chore: str
    good_places: tuple[tuple[str, str, float], ...]
    state_status: str
    notes: tuple[str, ...]
    places: tuple[int, int] = (0, 0)  # best and worst place over the seeded draws
    availability: str = (
        ""  # how easily it is bought, in a word of vocabulary.AVAILABILITY; empty: nobody looked
    )
    score_range: tuple[float, float] = (0.0, 0.0)  # 10 and 90 % points of the score over these draws
    stops: containment.EdgeStop | None = None  # what ends the advance of its edge on the stretch named
    home: Home = Home.NEAR  # whether the pond lies where it is at home
    cautions: tuple[str, ...] = ()  # words of vocabulary.CAUTIONS
    eaten_by: tuple[str, ...] = ()  # the animals of this pond that eat it
    short_notes: tuple[
        str, ...
    ] = ()  # what to know of it in a list, a few words each; none where there is nothing
    loose_warning: str = (
        ""  # what to do about the pieces that break off and drift, where it does and that matters here
    )
    eligible: GateCode = GateCode.CLEAR  # what law and nativity say of it
    protection: str = ""  # what lists of protected plants say of it here, and what to do
    against: str = ""  # what stands against it even at its best place, where that is fair or poor
    ask_first: str = ""  # what to ask before you buy it, and why; empty where nothing is open

    @property
    def poor(self) -> bool:
        """Whether its best place here is poor: it is ranked last, and nothing of it is planned on or to be bought."""
        return fit_word(self.site) == "poor"

    @property
    def answer_code(self) -> PlantCode:
        """The code that every answer about this plant on this pond gives: the worst that holds."""
        if self.poor:
            return FitCode.POOR_PLACE
        if self.eligible is not GateCode.CLEAR:
            return self.eligible
        return FitCode.HELD if self.contained_by else FitCode.FITS

    @property
    def against_words(self) -> str:
        """That its best place is poor or only fair, and what stands against it; empty where it is better."""
        word = "poor" if self.poor else "only fair" if self.only_fair else ""
        return f"{word} here: {self.against}" if word else ""

    @property
    def fit(self) -> str:
        """The score in words: excellent, good, fair or poor; no better than the word for its best place, where it has to live."""
        return fit_word(min(self.score / 100.0, self.site))

    @property
    def only_fair(self) -> bool:
        """Whether its best place is fair and no better: few live there. It comes after what has a good one."""
        return fit_word(self.site) == "fair"

    @property
    def rare_wild(self) -> bool:
        """Whether it is rare in the wild: nobody may dig it, and few sell it."""
        return "wild harvest" in self.cautions

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
    grows_there: tuple[GrowsThere, ...] = ()
    firm: str = ""
    sites: Sites | None = field(default=None, repr=False)
    verdict: Chances | None = field(
        default=None, repr=False
    )  # of every plant that lives here and does the job


def use_index(plants: Traits, purposes: tuple[str, ...], drop_in: float) -> np.ndarray:
    """Mean over the purposes named of the plant's value over 3, at every depth: (plants, depths).

    A value that is not known counts as 0. Fish cover counts by `cover_left`.
    """
    wet = cover_left(plants, DEPTHS, drop_in)
    total = np.zeros((len(plants), len(DEPTHS)))
    for purpose in purposes:
        value = np.nan_to_num(plants.number[PURPOSES[purpose]])[:, None]
        total += value * wet if purpose == "fish cover" else value
    return total / (3.0 * len(purposes))


def cover_left(plants: Traits, depth_in, drop_in: float) -> np.ndarray:
    """What is left of a plant's fish cover through the year, (plants, depths): all of it where it still stands in water at low
    pool, and none on the bank.

    Where only full pool reaches it, stems stand on and count by half (judgement); what lives under water or floats lies dead
    on the mud and counts for nothing.
    """
    depth = np.asarray(depth_in, dtype=float)
    when_dry = np.where(lives_in_water(plants), 0.0, DRY_COVER)[:, None]
    return np.where(depth > 0, np.where(depth > drop_in, 1.0, when_dry), 0.0)


def job_depths(plants: Traits, job: str, drop_in: float) -> np.ndarray:
    """Where a plant does the job, (plants, depths): the shore ends in shallow water; fish cover has to stand in water at
    low pool, stems in six inches of it at least."""
    if job == "fish cover":
        in_water = lives_in_water(plants)[:, None]
        low_pool = DEPTHS - drop_in
        return np.where(in_water, low_pool > 0, low_pool >= COVER_IN)
    deepest = SHORELINE_IN if job == "shoreline" else np.inf
    return np.broadcast_to(deepest >= DEPTHS, (len(plants), len(DEPTHS)))


def score(site, stays_put, use):
    """100 times the cube root of site x stays put x use, each an index from 0 to 1."""
    return 100.0 * np.cbrt(np.asarray(site) * stays_put * use)


def stays_put_index(groups_max, contained_worth):
    """1 where the pond can take a group left alone, within the owner's risk; otherwise what the best measure is worth."""
    return np.where(np.asarray(groups_max) >= 1, 1.0, contained_worth)


def rank(
    pond: Pond,
    catalogue: Catalogue,
    *,
    job: str = "all",
    next_door: bool = False,
    draws: int = MANY,
    seed: int = SEED,
    places: bool = True,
    only: list[str] | None = None,
) -> Ranking:
    """Rank the catalogue for a pond.

    `job` narrows it to shoreline, fish cover or shade plants; `next_door` lets in plants native only to
    neighboring states; `draws` is the number of seeded draws inside the traits' ranges; `places` asks for the range of places
    of each plant over these; `only` looks at some plants alone.
    """
    asked = catalogue.every_plant() if only is None else map(catalogue.plant, only)
    wanted_forms = [plant for plant in asked if plant.growth_form in JOBS[job]]
    out: dict[str, RuledOut] = {}

    def rule_out(
        plant_id: str,
        code: Reason,
        reason: str,
        gate: GateCode | None = None,
        chance: float | None = None,
        good_for: tuple[str, ...] = (),
    ) -> None:
        name = catalogue.plant(plant_id).common_name
        out.setdefault(plant_id, RuledOut(plant_id, name, code, reason, chance, gate, good_for))

    lawful, passed = lawful_natives(catalogue, wanted_forms, pond, next_door, rule_out)
    plants = traits(lawful)
    if job == "fish cover":
        plants = plants.subset(plants.number["fish_cover"] > 0)
    judged = sites(plants, pond)
    use = use_index(plants, pond.purposes, pond.usual_drop_in)
    for row in np.flatnonzero(judged.best <= 0.0):
        rule_out(plants.plant_id[row], *why_not(plants, judged, pond, int(row)))
    doing = judged.where_useful(use)
    idle = (judged.best > 0.0) & (doing.best <= 0.0)
    judged_by = None
    if idle.any():
        judged_by = _rule_out_idle(plants.subset(idle), judged.subset(idle), pond, draws, seed, rule_out)
    suits = job_depths(plants, job, pond.usual_drop_in)
    judged = doing.where_useful(suits)
    for row in np.flatnonzero((doing.best > 0.0) & (judged.best <= 0.0)):
        rule_out(plants.plant_id[row], Reason.USE, JOB_LACKS[job])
    use = np.where(suits, use, 0.0)
    living = judged.best > 0.0
    plants, judged, use = plants.subset(living), judged.subset(living), use[living]

    good = good_stretches(judged, pond)
    wanted = groups_wanted(pond, good)
    verdict = chances(plants, pond, good, wanted, number=draws, seed=seed)
    judged_by = verdict if len(plants) else judged_by
    fits = verdict.fits
    _rule_out_takeover(plants, verdict, pond, rule_out)
    plants, judged, use, good, wanted, verdict = (
        plants.subset(fits),
        judged.subset(fits),
        use[fits],
        good[fits],
        wanted[fits],
        verdict.subset(fits),
    )

    best = [judged.best_place(i, use[i], pond) for i in range(len(plants))]
    site = np.array([judged.index[i, s, d] for i, (s, d) in enumerate(best)])
    use = np.array([use[i, d] for i, (_, d) in enumerate(best)])
    stays = stays_put_index(verdict.groups_max, verdict.contained.worth)
    scores = score(site, stays, use)
    # among equals the one that takes less comes first
    ties = np.lexsort((plants.plant_id.astype(str), verdict.shares[:, 2].round(6)))
    order = ties[np.argsort(-np.round(scores[ties], 6), kind="stable")]
    spread = _Spread.of(plants, judged, best, site, use, verdict, pond, seed) if places else None
    spans = _place_spans(spread.scores, scores, ties) if spread else [(0, 0)] * len(plants)
    ranges = spread.ranges if spread else np.stack([scores, scores], axis=1)
    living = alive(
        plants,
        pond,
        YEAR,
        establishment=catalogue.establishment,
        depth_in=DEPTHS[[d for _, d in best]],
        soil=[pond.stretches[s].soil for s, _ in best],
        guarded=EVERY_GUARD,
    )
    scored = _Scored(
        living=living,
        plants=plants,
        judged=judged,
        wanted=wanted,
        verdict=verdict,
        passed=passed,
        stays=stays,
        use=use,
        score=scores,
        best=best,
        spans=spans,
        ranges=ranges,
        home=at_home(plants, pond),
    )
    ranked = tuple(_row(i, scored, catalogue, pond) for i in order)
    ruled = tuple(sorted(out.values(), key=lambda r: (list(REASONS).index(r.code), r.plant_id)))
    return Ranking(
        pond=pond,
        job=job,
        plants=ranked,
        ruled_out=ruled,
        assumptions=pond_assumptions(pond),
        cautions=pond_cautions(pond, [catalogue.plant(r.plant_id) for r in ranked]),
        law=catalogue.coverage_of(pond.state),
        grows_there=grows_there(pond, catalogue),
        firm=firmness(ranked),
        sites=judged,
        verdict=judged_by,
    )


def _rule_out_takeover(plants: Traits, verdict: Chances, pond: Pond, rule_out: Callable[..., None]) -> None:
    """Rule out what may pass the owner's limit with a single group, and nothing holds."""
    for row in np.flatnonzero(~verdict.fits):
        rule_out(
            plants.plant_id[row],
            Reason.TAKEOVER,
            f"{chance_words(verdict.over[row])} that one group passes your {pond.cap_percent:g} % in ten years, and nothing "
            "holds it",
            chance=float(verdict.over[row]),
        )


def _rule_out_idle(
    plants: Traits, judged: Sites, pond: Pond, draws: int, seed: int, rule_out: Callable[..., None]
) -> Chances:
    """Rule out plants that live here and do nothing that was asked: those that would take over for that, the others for their
    use. An offer may hold them all the same, and so may the shore."""
    good = good_stretches(judged, pond)
    verdict = chances(plants, pond, good, groups_wanted(pond, good), number=draws, seed=seed)
    _rule_out_takeover(plants, verdict, pond, rule_out)
    other = [p for p in PURPOSES if p not in pond.purposes]
    worth = {p: use_index(plants, (p,), pond.usual_drop_in) for p in other}
    for row in np.flatnonzero(verdict.fits):
        said = [f"does nothing for {' or '.join(pond.purposes)} where it can live here"]
        alive_at = judged.index[row].max(axis=0) > 0
        good_for = tuple(p for p in other if (worth[p][row] * alive_at).any())
        if good_for:
            said.append(f"it is good for {' and '.join(good_for)}")
        place = judged.best_place(int(row), 1.0, pond)
        if fit_word(float(judged.index[row][place])) == "poor":
            said.append(f"its best place here is poor: {judged.against(int(row), place)}")
        if measures := verdict.contained.measures[row]:
            said.append(f"only {containment.in_words(measures)} would hold it")
        rule_out(plants.plant_id[row], Reason.USE, "; ".join(said), good_for=good_for)
    return verdict


def judged_once(ranked: Ranking, plants: Traits, pond: Pond, good: np.ndarray, wanted: np.ndarray) -> Chances:
    """The chances of the one plant that a ranking was asked about; worked out here only where the ranking did not come so far."""
    found = ranked.verdict
    return found if found is not None and len(found.over) == 1 else chances(plants, pond, good, wanted)


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


@dataclass(frozen=True, kw_only=True)
class _Scored:
    """All plants that fit, judged and scored, an entry a plant: what the lines of the ranking are made of."""

    plants: Traits
    judged: Sites
    wanted: np.ndarray
    verdict: Chances
    passed: dict[str, Eligibility]
    living: np.ndarray  # (plants, 3) share of the plants set that live a year
    stays: np.ndarray
    use: np.ndarray
    score: np.ndarray
    best: list[tuple[int, int]]  # position of the stretch and of the depth
    spans: list[tuple[int, int]]
    ranges: np.ndarray  # (plants, 2) 10 and 90 % points of the score
    home: list[Home]


def _row(i: int, case: _Scored, catalogue: Catalogue, pond: Pond) -> RankedPlant:
    plant_id = str(case.plants.plant_id[i])
    plant, found, verdict = catalogue.plant(plant_id), case.passed[plant_id], case.verdict
    stretch, depth = case.best[i]
    site = float(case.judged.index[i, stretch, depth])
    by_band = case.judged.bands(i)
    places = tuple(
        (pond.stretches[s].name, BAND_NAMES[b], float(by_band[s, b]))
        for s in range(by_band.shape[0])
        for b in range(by_band.shape[1])
        if by_band[s, b] >= GOOD
    )
    measures, number = verdict.contained.measures[i], int(verdict.contained.groups[i])
    chore = containment.chore(case.plants, i, pond, measures, number) if measures else ""
    stops = containment.edge_stop(
        case.plants,
        i,
        pond,
        verdict.where,
        stretch,
        set_in=float(DEPTHS[depth]),
        good=np.flatnonzero(by_band[:, BAND_OF_DEPTH[depth]] >= GOOD).tolist(),
    )
    notes = plant_notes(
        found,
        plant,
        pond,
        stops=stops,
        depth_in=DEPTHS[depth],
        measures=measures,
        chore=chore,
        home=case.home[i],
    )
    return RankedPlant(
        plant_id=plant_id,
        scientific_name=plant.scientific_name,
        common_name=plant.common_name,
        growth_form=plant.growth_form,
        score=float(case.score[i]),
        site=site,
        stays_put=float(case.stays[i]),
        use=float(case.use[i]),
        stretch=pond.stretches[stretch].name,
        band=BAND_NAMES[BAND_OF_DEPTH[depth]],
        depth_in=float(DEPTHS[depth]),
        takeover_percent=takeover.percents(verdict.shares[i]),
        establish_percent=takeover.percents(case.living[i]),
        cap_percent=pond.cap_percent,
        groups_wanted=int(case.wanted[i]),
        groups_max=int(verdict.groups_max[i]),
        groups_planned=0 if fit_word(site) == "poor" else int(verdict.planned[i]),
        chance_over_cap=float(verdict.over[i]),
        chance_over_cap_contained=float(verdict.contained.chance[i]) if measures else None,
        contained_by=measures,
        contained_groups=number,
        chore=chore,
        good_places=places,
        state_status="next door" if found.native == "not recorded" else found.native,
        notes=notes,
        places=case.spans[i],
        availability=plant.availability,
        score_range=(float(case.ranges[i, 0]), float(case.ranges[i, 1])),
        stops=stops,
        home=case.home[i],
        cautions=plant.cautions,
        eaten_by=eaten_here(plant, pond),
        short_notes=short_notes(found, plant, pond, measures=measures, chore=chore, home=case.home[i]),
        loose_warning=loose_warning(plant, pond),
        eligible=found.code,
        protection=found.protection,
        against=case.judged.against(i, (stretch, depth)),
        ask_first=ask_first(found),
    )


# What a value of use (0 to 3) and the ends of a range of depths may be off, as 10 and 90 % points: judgement.
USE_OFF, DEPTH_OFF_IN = 1.0, 2.0


@dataclass(frozen=True, kw_only=True)
class _Spread:
    """The scores (plants, draws) when what nobody knows for sure is drawn: whether a plant passes the limit, what it is worth
    for each purpose, and how deep it lives."""

    scores: np.ndarray

    @property
    def ranges(self) -> np.ndarray:
        """The 10 and 90 % points, (plants, 2)."""
        return np.quantile(self.scores, (0.1, 0.9), axis=1).T

    @classmethod
    def of(
        cls,
        plants: Traits,
        judged: Sites,
        best: list[tuple[int, int]],
        site: np.ndarray,
        use: np.ndarray,
        verdict: Chances,
        pond: Pond,
        seed: int,
    ) -> _Spread:
        """In a draw that passes the limit a plant counts what a measure is worth, in one that does not it stays put by itself.
        Values of use are off each by itself, all depths of a plant together."""
        number = verdict.passes.shape[1]
        held = np.where(verdict.groups_max >= 1, containment.CONTAINED_WEIGHT, verdict.contained.worth)
        stays = np.where(verdict.passes, held[:, None], 1.0)
        off = own_scores(plants.plant_id, 2, number, seed=seed) / TENTH
        left = cover_left(plants, DEPTHS, pond.usual_drop_in)[np.arange(len(plants)), [d for _, d in best]]
        worth = sum(left**2 if purpose == "fish cover" else np.ones(len(plants)) for purpose in pond.purposes)
        each = USE_OFF * np.sqrt(worth) / (3.0 * len(pond.purposes))
        uses = np.clip(use[:, None] + off[0] * each[:, None], 0.0, 1.0)
        shallower, deeper = (
            _site_when_off(plants, judged, best, inches) for inches in (-DEPTH_OFF_IN, DEPTH_OFF_IN)
        )
        ends = np.where(off[1] < 0, shallower[:, None], deeper[:, None])
        sited = np.clip(site[:, None] + np.abs(off[1]) * (ends - site[:, None]), 0.0, 1.0)
        return cls(scores=score(sited, stays, uses))


def _site_when_off(plants: Traits, judged: Sites, best: list[tuple[int, int]], inches: float) -> np.ndarray:
    """The site index of each plant's best place, (plants,), if it stood so many inches deeper in the plant's range."""
    depths = DEPTHS[[d for _, d in best]] + inches
    moved = np.array([depth_index(plants.subset(np.array([i])), [d])[0, 0] for i, d in enumerate(depths)])
    shape = judged.index.shape
    at = np.arange(len(plants)), [s for s, _ in best], [d for _, d in best]
    factors = [np.broadcast_to(f, shape)[at] for name, f in judged.factors.items() if name != DEPTH.name]
    return combine(moved, *factors)


def _place_spans(drawn: np.ndarray, scores: np.ndarray, ties: np.ndarray) -> list[tuple[int, int]]:
    """The range of places of each plant over the draws, 5th to 95th percentile; its own place is always in it."""
    table = np.vstack([scores, drawn.T])
    # equals keep the order that they have in the ranking itself
    ordered = np.lexsort((np.broadcast_to(np.argsort(ties), table.shape), -np.round(table, 6)), axis=1)
    places = np.empty_like(ordered)
    np.put_along_axis(places, ordered, np.broadcast_to(np.arange(1, len(scores) + 1), ordered.shape), axis=1)
    low = np.minimum(np.percentile(places, 5, axis=0), places[0])
    top = np.maximum(np.percentile(places, 95, axis=0), places[0])
    return [(int(np.floor(a)), int(np.ceil(b))) for a, b in zip(low, top)]


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
        f"{head} order depends on spread rates, reach, seeding, use and depths that few people have "
        "measured: read the range of places, not the place."
    )
