"""What a planting can be made of: the candidates, the places for them, and the problem that the program solves."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from plantpick.catalogue.establishment import Establishment
from plantpick.catalogue.plants import Catalogue
from plantpick.catalogue.traits import Traits, traits
from plantpick.errors import PlantpickError, Problem
from plantpick.planting.choice import ANY, UNSEEN, Choice, fitting, why_none, with_a_source
from plantpick.planting.coverage import (
    CAUTIOUS,
    PESSIMISTIC,
    TYPICAL,
    Cells,
    Chances,
    GroundTaken,
    bare_of_standing,
    chances,
    cut,
    ground_taken,
)
from plantpick.planting.guards import GuardKind, guard_of
from plantpick.planting.offered import Offered
from plantpick.planting.prices import MEASURES, MESH_FT, POST, Basis, PriceRange, plant_price, published
from plantpick.planting.problem import Limits, Places, PlantingProblem, Serve
from plantpick.pond.model import Pond, stretch_words
from plantpick.ranking import containment, rank
from plantpick.ranking.draws import JOINT_POINTS, Draws, draw, normal_between
from plantpick.ranking.establishment import EVERY_GUARD, alive, groups_alive
from plantpick.ranking.grows_there import Standing, standing
from plantpick.ranking.ruled_out import no_shore
from plantpick.ranking.site_factors import BAND_NAMES, BAND_OF_DEPTH, DEPTHS, lives_in_water, sites
from plantpick.ranking.takeover import (
    DRAW_NODES,
    MANY_GROUPS,
    Hold,
    allot,
    forecast,
    group_shape,
    share_at_risk,
    stand_size,
)
from plantpick.vocabulary import PURPOSES

CAP_YEARS = 10.0  # caps and the upper cover are for ten untended years
GAP_FT = 4.5  # between groups: a yard or two (common practice, no source)
BANK_GROUP_FT = 100.0  # a group of bank holders for so many feet of shore: judgement
BANK_BANDS = ("dry bank", "bank", "edge", "0-6 in")  # where a plant holds the bank
SERVES = 2.0  # catalogue value (0-3) from which a plant serves a purpose
PICKED = 9  # candidates taken for each purpose, best ranked first
STEADY = 6  # those whose cautious forecast comes nearest to the pessimistic one
FILLING = 6  # and those that cover most on the cautious count with the groups that the cap allows
UNDER_WATER = 5  # and submersed ones beside them, where fish cover is wanted
MANY_OFFERED = 60  # an offer with so many that fit is narrowed down like the catalogue
FINEST_IN = 1.0  # thinnest cell of water in the count; three and six times that with many stretches
TOGETHER = 4  # groups of a plant for which an offer's price is asked before anybody knows how many it will be: judgement


@dataclass(frozen=True, kw_only=True)
class Stock:
    """The candidates, ready for counting: parallel to `ranked`. `good` (plants, stretches) is where the ranking sets out groups of
    each, and `most` the groups that the pond can take, by the ranking; a group of each plant of `wanted` has to stand in any case."""

    pond: Pond
    ranked: tuple[rank.RankedPlant, ...]
    traits: Traits
    index: np.ndarray
    measures: tuple[tuple[str, ...], ...]
    hold: Hold
    good: np.ndarray
    most: np.ndarray
    price: np.ndarray
    known: np.ndarray
    asked: tuple[PriceRange, ...]
    fish: np.ndarray
    cells: Cells
    establishment: Establishment
    eaten_by: tuple[tuple[str, ...], ...] = ()
    sleeve: float = 0.0
    wanted: tuple[str, ...] = ()
    there: Standing | None = None

    def bare_of_standing(
        self, years: float, count: int, *, fish: bool, draw: Draws | None = None
    ) -> np.ndarray:
        """What grows there already, cell by cell: see coverage.bare_of_standing."""
        return bare_of_standing(self.there, self.pond, self.cells, years, count, fish=fish, draw=draw)

    def standing_cover(self, years: float, count: int, *, fish: bool) -> float:
        """The share of the surface under what grows there already, by one of the three counts."""
        bare = self.bare_of_standing(years, count, fish=fish)
        return float(((1.0 - np.exp(-bare)) * self.cells.area_by(count)).sum())

    def plants_living(self, years: float) -> np.ndarray:
        """The share of the plants set that live so long, (plants, stretches, 3): 10, 50 and 90 % points, with the guards named."""
        each = [
            alive(
                self.traits,
                self.pond,
                12.0 * years,
                establishment=self.establishment,
                depth_in=np.array([r.depth_in for r in self.ranked]),
                soil=stretch.soil,
                guarded=EVERY_GUARD,
            )
            for stretch in self.pond.shore
        ]
        return np.stack(each, axis=1)

    def groups_living(self, years: float) -> np.ndarray:
        """The share of the groups set in which a plant lives so long, (plants, stretches, 3)."""
        share = self.plants_living(years)
        return np.stack([groups_alive(self.traits, share[:, s]) for s in range(share.shape[1])], axis=1)

    def chances(self, years: float, count: int, *, fish: bool = False) -> Chances:
        """The chances to lie under each plant, held by its measures, by one of the three counts; `fish` asks for the shelter that fish
        find there. By the first two a part of the groups dies; by the pessimistic one all live, since an owner
        replants."""
        at = chances(self.traits, self.pond, self.cells, years, count, self.hold, fish=fish)
        if count == PESSIMISTIC:
            return at
        score = JOINT_POINTS.score["survival"][:, count, None, None]
        living = normal_between(self.groups_living(years), score)[..., 0]
        return at.thinned(np.clip(living, 0.0, 1.0))


def select_candidates(
    pond: Pond,
    catalogue: Catalogue,
    ranked: rank.Ranking,
    offered: Offered | None = None,
    picked: int | None = PICKED,
    choice: Choice = ANY,
) -> Stock:
    """The candidates: of the plants that fit, those that somebody sells, the best of them for each purpose; or all that are offered
    or that you can get, and what you want in any case.

    Of a long offer or list (MANY_OFFERED and more that fit) twice as many as usual are picked, and the cheapest beside them. With
    `picked` None every plant that fits is a candidate.
    """
    asked = offered is not None or choice.only is not None
    fit = fitting(ranked, choice, offered)
    if not asked:
        fit = with_a_source(fit, choice)
    if picked is not None and (not asked or len(fit) >= MANY_OFFERED):
        fit = _picked(fit, pond, catalogue, 2 * picked if asked else picked, offered, choice)
    if not fit:
        why = no_shore(pond) or (
            "none of the plants offered fits this pond"
            if offered is not None
            else "none of the plants that you can get fits this pond"
            if choice.only is not None
            else "no plant fits this pond well enough"
        )
        none = why_none(ranked, choice) if choice.only is not None and offered is None else []
        raise PlantpickError(
            "no-candidates",
            [
                Problem(
                    "",
                    f"there is nothing to plan with: {why}.",
                    "Check the offer line by line to see why."
                    if offered is not None
                    else "Why each is out stands below."
                    if none
                    else "Rank the pond's plants to see what is ruled out here, and why.",
                ),
                *none,
            ],
        )
    plants = traits(catalogue.plant(r.plant_id) for r in fit)
    holds = {measures: hold for measures, hold in containment.OPTIONS}
    measures = tuple(r.contained_by for r in fit)
    hold = np.array([holds[m] if m else np.inf for m in measures])
    no_jump = np.zeros(len(fit), dtype=bool)
    for i, words in enumerate(measures):
        if words:
            no_jump[i] = containment.stops_jump(plants.subset(np.array([i])), words)[0]
    room = np.array([r.contained_groups if r.contained_by else r.groups_max for r in fit])
    judged = sites(plants, pond)
    useful = judged.where_useful(rank.use_index(plants, pond.purposes, pond.usual_drop_in))
    told = tuple(plant_price(catalogue.plant(r.plant_id), catalogue.costs) for r in fit)
    # what no list has takes looking for: it counts at the top of its range, so that sold plants come first
    assumed = np.array(
        [each.high if r.availability in UNSEEN and not asked else each.middle for r, each in zip(fit, told)]
    )
    price = assumed
    if offered is not None:
        need = TOGETHER * plants.group
        price = np.array([offered.each(r.plant_id, int(n)) for r, n in zip(fit, need)])
    known = np.isfinite(price) & (offered is not None)
    fish = (np.nan_to_num(plants.number["fish_cover"]) > 0) & ~plants.woody
    return Stock(
        pond=pond,
        ranked=tuple(fit),
        traits=plants,
        index=useful.index,
        establishment=catalogue.establishment,
        measures=measures,
        hold=Hold(hold, no_jump),
        good=rank.good_stretches(useful, pond),
        most=np.where(room >= MANY_GROUPS, 10 * MANY_GROUPS, room),
        price=np.where(np.isfinite(price), price, assumed),
        known=known,
        asked=tuple(
            PriceRange(low=float(p), high=float(p), basis=Basis.OFFER) if k else t
            for p, k, t in zip(price, known, told)
        ),
        fish=fish,
        there=standing(ranked.grows_there, catalogue),
        eaten_by=tuple(catalogue.plant(r.plant_id).eaten_by for r in fit),
        sleeve=published(catalogue.costs, "sleeve").middle,
        wanted=choice.wanted,
        cells=cut(
            pond,
            plants,
            FINEST_IN if len(pond.shore) <= 6 else 3 * FINEST_IN if len(pond.shore) <= 15 else 6 * FINEST_IN,
        ),
    )


def _picked(
    fit, pond: Pond, catalogue: Catalogue, number: int, offered: Offered | None, choice: Choice
) -> list[rank.RankedPlant]:
    """The best ranked for each purpose, those on no list only where too few are sold; for cover also those that cover most for what
    they may come to take."""
    taken: set[str] = set(choice.wanted)
    listed = offered is not None or choice.only is not None
    each = {
        r.plant_id: offered.each(r.plant_id, TOGETHER)
        for r in fit
        if offered is not None and r.plant_id in offered
    }

    def unseen(plant: rank.RankedPlant) -> bool:
        return not listed and plant.availability in UNSEEN

    for purpose in pond.purposes:
        able = [
            r
            for r in fit
            if catalogue.plant(r.plant_id).worth(purpose) >= SERVES
            and not (purpose == "fish cover" and r.growth_form in ("shrub", "tree"))
        ]
        able.sort(key=unseen)
        lists = [
            able[:number],
            sorted(
                (r for r in able if not math.isnan(each.get(r.plant_id, math.nan))),
                key=lambda r: each[r.plant_id],
            )[: number // 2],
        ]
        if purpose == "fish cover":
            lists.append([r for r in able if r.growth_form == "submersed"][:UNDER_WATER])
            lists.append(
                sorted(
                    able, key=lambda r: (unseen(r), -r.takeover_percent[0] / max(r.takeover_percent[2], 1e-9))
                )[:STEADY]
            )
            lists.append(
                sorted(
                    able,
                    key=lambda r: (
                        unseen(r),
                        -r.takeover_percent[0] * max(r.groups_max, r.contained_groups) / r.groups_planned,
                    ),
                )[:FILLING]
            )
        taken |= {r.plant_id for some in lists for r in some}
    return [r for r in fit if r.plant_id in taken]


def build_problem(stock: Stock, wishes) -> PlantingProblem:
    """The problem for the program: places, forecasts and limits. `wishes` is a planting.Wishes with the pond's numbers."""
    pond = stock.pond
    places = _places(stock)
    level = CAUTIOUS if wishes.count == "cautious" else TYPICAL
    target = stock.chances(wishes.year, level, fish=True)
    pessimistic = stock.chances(CAP_YEARS, PESSIMISTIC)
    limits = Limits(
        # no more than the upper cover is to be had; what grows there already has part of either
        cover=max(
            0.0,
            (wishes.upper if wishes.cover is None else wishes.cover) / 100
            - stock.standing_cover(wishes.year, level, fish=True),
        ),
        cap=wishes.cap / 100,
        upper=max(0.0, wishes.upper / 100 - stock.standing_cover(CAP_YEARS, PESSIMISTIC, fish=False)),
        species=wishes.species,
        share=wishes.share / 100,
        mix=wishes.mix / 100,
        budget=wishes.budget,
        plants=wishes.plants,
        trim_ft2=wishes.trim,
    )
    room = np.array([s.plantable_ft for s in pond.shore])
    # water under what grows there already is not covered twice
    left = np.exp(-stock.bare_of_standing(wishes.year, level, fish=True))
    cells = replace(stock.cells, least=stock.cells.area_by(level) * left, cautious=None)
    each = (target.own * cells.least).sum(axis=2)
    return PlantingProblem(
        places=places,
        cells=cells,
        target=target,
        pessimistic=pessimistic,
        ground=_ground(stock),
        each=each,
        room_ft=room,
        fish=stock.fish,
        group_most=stock.most,
        serves=(*_serves(stock, places), *_wanted(stock, places)),
        limits=limits,
        jumps=level == TYPICAL,
    )


def _ground(stock: Stock) -> GroundTaken:
    """What one group takes, scaled so that the groups that the ranking says the pond can take hold what they hold in its draws
    at the owner's risk: the limit itself where one more would pass it. Where something else ends them (tubs to set, edge to
    cut, ground) they may be far from it.
    """
    pond, plants = stock.pond, stock.traits
    most = np.minimum(stock.most, MANY_GROUPS)
    lengths, cap, risk = containment.limits_of(pond)
    set_out = allot(stock.good, lengths, most)
    told = forecast(plants, pond, draws=draw(plants.plant_id), hold=stock.hold, nodes=DRAW_NODES)
    at_risk = share_at_risk(told.takeover(set_out), risk)
    one_more = share_at_risk(told.takeover(allot(stock.good, lengths, most + 1)), risk)
    taken = ground_taken(plants, pond, CAP_YEARS, stock.hold)
    return taken.scaled_to(set_out, np.where(one_more > cap, cap, at_risk))


def _places(stock: Stock) -> Places:
    """For each plant on each stretch its best place for cover, and its best for the shore, where these are good."""
    pond, plants = stock.pond, stock.traits
    start = group_shape(plants.group, plants.number["spacing_in"])
    shore_ft = 2.0 * start.radius_ft + start.row_ft + GAP_FT
    cover = rank.use_index(plants, ("fish cover",), pond.usual_drop_in)
    use = rank.use_index(plants, pond.purposes, pond.usual_drop_in)
    on_bank = np.isin(np.array(BAND_NAMES)[BAND_OF_DEPTH], BANK_BANDS)
    # what lives in water has no place at the shore for its own sake, unless it holds the bank
    of_shore = ~lives_in_water(plants) | (np.nan_to_num(plants.number["bank_hold"]) >= SERVES)
    trimmed = containment.trimmed_ft2(plants, pond)[2]
    rows = []
    for i, ranked in enumerate(stock.ranked):
        good = {(stretch, band) for stretch, band, _ in ranked.good_places} or {(ranked.stretch, ranked.band)}
        for s, stretch in enumerate(pond.stretches):
            if stretch.plantable_ft < shore_ft[i]:
                continue
            ok = np.array([(stretch.name, BAND_NAMES[b]) in good for b in BAND_OF_DEPTH])
            index = np.where(ok, stock.index[i, s], 0.0)
            aims = [
                index * (cover[i] if stock.fish[i] and "fish cover" in pond.purposes else use[i]),
                index * on_bank * of_shore[i],
            ]
            free = stretch.plantable_ft - _stood_in_ft(stock, s)
            aims = [np.where(free >= shore_ft[i], aim, 0.0) for aim in aims]
            for d in dict.fromkeys(_middle_best(a) for a in aims if a.max() > 0):
                rows.append((i, s, BAND_NAMES[BAND_OF_DEPTH[d]], DEPTHS[d], DEPTHS[d] > 0, index[d]))
    seen, unique = set(), []
    for row in rows:
        if row[:3] not in seen:
            seen.add(row[:3])
            unique.append(row)
    plant, at, band, depth, wet, site = (
        (np.array(column) for column in zip(*unique)) if unique else (np.array([]),) * 6
    )
    plant, at, wet = plant.astype(int), at.astype(int), wet.astype(bool)
    room = np.array(
        [
            pond.stretches[s].plantable_ft - _stood_in_ft(stock, s)[int(np.abs(DEPTHS - d).argmin())]
            for s, d in zip(at, depth)
        ]
    )
    measure = np.array([sum(MEASURES[m].middle for m in words if m in MEASURES) for words in stock.measures])
    guards = np.array([_guard_cost(stock, i, d) for i, d in zip(plant, depth)])
    group = plants.group
    # what stands in tubs has no edge to cut: there "trim" is the pulling of strays
    trim = np.array(
        [trimmed[i] if "trim" in w and "tub" not in w else 0.0 for i, w in enumerate(stock.measures)]
    )
    return Places(
        plant=plant,
        stretch=at,
        band=band,
        depth_in=depth,
        wet=wet,
        most=np.floor(room / shore_ft[plant]),
        shore_ft=shore_ft[plant],
        plants=group[plant],
        cost=(group * (stock.price + measure))[plant] + guards,
        site=site,
        trim_ft2=trim[plant],
    )


def _stood_in_ft(stock: Stock, s: int) -> np.ndarray:
    """Feet of one stretch that what grows there already and stays takes up, at each of DEPTHS: from the bank to as deep as the stand
    is wide, or as its plant does best."""
    pond, taken = stock.pond, np.zeros(len(DEPTHS))
    if stock.there is None:
        return taken
    plants, stretch = stock.there.plants, pond.stretches[s]
    row = {plant_id: i for i, plant_id in enumerate(plants.plant_id)}
    for stand in pond.growing:
        i = row.get(stand.plant_id)
        if i is None or stand.stretch != stretch.name:
            continue
        size, wide = stand_size(stand, float(plants.number["spacing_in"][i]))
        if size > 0:
            deepest = max(float(plants.number["depth_best_max_in"][i]), 12.0 * wide / stretch.slope)
            inside = (DEPTHS >= plants.number["depth_min_in"][i]) & (DEPTHS <= deepest)
            taken += np.where(inside, size / max(wide, 1e-9), 0.0)
    return taken


def _guard_cost(stock: Stock, i: int, depth_in: float) -> float:
    """What the guard of one group costs, in a cage or ring of its own: no cheaper where groups share one."""
    plants = stock.traits
    guard = guard_of(
        stock.pond.residents,
        stock.ranked[i].growth_form,
        stock.eaten_by[i] if stock.eaten_by else (),
        depth_in=float(depth_in),
        each=int(plants.group[i]),
        spacing_in=float(plants.number["spacing_in"][i]),
    )
    if guard is None or guard.kind is GuardKind.FENCE:
        return 0.0
    if guard.kind is GuardKind.SLEEVE:
        return stock.sleeve * int(plants.group[i])
    return MESH_FT.middle * guard.mesh_ft + POST.middle * guard.posts


def _middle_best(values: np.ndarray) -> int:
    equals = np.flatnonzero(values >= values.max() - 1e-9)
    return int(equals[len(equals) // 2])


def _serves(stock: Stock, places: Places) -> tuple[Serve, ...]:
    """The purposes other than cover, stretch by stretch; and something under water where fish cover is wanted."""
    pond, plants = stock.pond, stock.traits
    serves = []
    for purpose in pond.purposes:
        if purpose == "fish cover":
            continue
        able = (np.nan_to_num(plants.number[PURPOSES[purpose]]) >= SERVES)[places.plant]
        if purpose == "bank hold":
            able &= np.isin(places.band, BANK_BANDS)
        for s, stretch in enumerate(pond.stretches):
            at = able & (places.stretch == s)
            if at.any():
                number = math.ceil(stretch.plantable_ft / BANK_GROUP_FT) if purpose == "bank hold" else 1
                serves.append(Serve(f"{purpose} on {stretch_words(stretch.name)}", at, number))
    submersed = (plants.word["growth_form"] == "submersed")[places.plant]
    if "fish cover" in pond.purposes and submersed.any():
        serves.append(Serve("a plant that grows under water", submersed, 1))
    return tuple(serves)


def _wanted(stock: Stock, places: Places) -> tuple[Serve, ...]:
    """A group of every plant that you want."""
    rows = {r.plant_id: (i, r.common_name) for i, r in enumerate(stock.ranked)}
    return tuple(
        Serve(f"{rows[plant_id][1]}, which you want", places.plant == rows[plant_id][0], 1)
        for plant_id in dict.fromkeys(stock.wanted)
    )


def by_stretch(stock: Stock, places: Places, numbers: np.ndarray, wet_only: bool = False) -> np.ndarray:
    """Groups at places as groups by plant and stretch of the whole shore, (plants, stretches)."""
    table = np.zeros((len(stock.ranked), len(stock.pond.shore)))
    keep = places.wet if wet_only else np.ones(len(places), dtype=bool)
    np.add.at(table, (places.plant[keep], places.stretch[keep]), numbers[keep])
    return table
