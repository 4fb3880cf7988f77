"""How many groups of which plant go where: candidates from the ranking, an integer programme, and what it found.

docs/method.md, "Planting", gives the model. *Cover* is fish cover: water at full pool under plants that have a value
for fish cover, trees and shrubs aside; brush in place is taken off the target.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from plantpick import containment, ranking
from plantpick.cover import CAUTIOUS, PESSIMISTIC, TYPICAL, Cells, Chances, chances, covered, cut, ground
from plantpick.errors import PlantpickError, Problem
from plantpick.plants import Catalogue, Traits, traits
from plantpick.pond import Pond
from plantpick.programme import Answer, Case, Limits, Places, Programme, Serve
from plantpick.spread import MANY_GROUPS, YEARS, forecast, group_radius_ft
from plantpick.suitability import BAND_NAMES, BAND_OF_DEPTH, DEPTHS, GOOD, sites
from plantpick.verdicts import BUY, CONTAIN
from plantpick.words import PURPOSES

UPPER_PERCENT = 30.0        # vegetation best for bluegill: 15 to 30 % (FWS/OBS-82/10.8)
CAP_YEARS = 10.0            # caps and the upper cover are for ten untended years
GAP_FT = 4.5                # between groups: a yard or two (common practice, no source)
BANK_GROUP_FT = 100.0       # a group of bank holders for so many feet of shore: judgement
BANK_BANDS = ("bank", "edge", "0-6 in")   # where a plant holds the bank
SERVES = 2.0                # catalogue value (0-3) from which a plant serves a purpose
PICKED = 9                  # candidates taken for each purpose, best ranked first
STEADY = 6                  # those whose cautious forecast comes nearest to the pessimistic one
FILLING = 6                 # and those that cover most on the cautious count with the groups that the cap allows
UNDER_WATER = 5             # and submersed ones beside them, where fish cover is wanted
MANY_OFFERED = 60           # an offer with so many that fit is narrowed down like the catalogue
MOST_PLANTS = 500           # what a few people set in two or three weekends: judgement
FINEST_IN = 1.0             # thinnest cell of water in the count; three and six times that with many stretches
SPECIES, SHARE_PERCENT, YEAR = 4, 40.0, 5
# Dollars a plant and a measure where no offer gives a price: judgement, for comparing plans and not for buying.
ASSUMED_PRICE = {"tree": 25.0, "shrub": 15.0}
ASSUMED_PLUG = 5.0
MEASURE_PRICE = {"tub": 12.0, "barrier": 8.0}   # for each plant
TIME_LIMIT = 10.0


@dataclass(frozen=True)
class Wishes:
    """What the planting has to do. None means: as the pond file says, or no limit.

    `year` is when the cover has to be there (1 to 10), `count` by which forecast (cautious or typical); `cover` is
    the target less brush, and `cap` and `upper` hold for ten untended years; all three in per cent of the surface.
    """

    year: int = YEAR
    count: str = "cautious"
    cover: float | None = None
    cap: float | None = None
    upper: float = UPPER_PERCENT
    species: int = SPECIES
    share: float = SHARE_PERCENT
    budget: float | None = None
    plants: int | None = MOST_PLANTS

    def for_pond(self, pond: Pond) -> "Wishes":
        """The same with the pond file's own numbers filled in; no cover is asked for where fish cover is no purpose."""
        target = pond.cover_target_percent if "fish cover" in pond.purposes else 0.0
        cover = max(0.0, target - pond.brush_percent) if self.cover is None else self.cover
        return replace(self, cover=cover, cap=pond.cap_percent if self.cap is None else self.cap)


@dataclass(frozen=True)
class Group:
    """Groups of one plant at one place: `number` groups of `each` plants, numbered from `first` on the plan."""

    first: int
    plant_id: str
    stretch: str
    band: str
    depth_in: float
    number: int
    each: int
    spacing_in: float
    site: float
    every_ft: float

    @property
    def plants(self) -> int:
        return self.number * self.each

    @property
    def label(self) -> str:
        """The numbers on the plan: "3" or "3-6"."""
        return str(self.first) if self.number == 1 else f"{self.first}-{self.first + self.number - 1}"


@dataclass(frozen=True)
class Chosen:
    """One plant of the plan. Forecast shares are per cent of the surface, bank and water, by year: low, typical, high."""

    ranked: ranking.RankedPlant
    groups: int
    plants: int
    price: float
    price_known: bool
    measures: tuple[str, ...]
    measure_cost: float
    chore: str
    takeover: dict[int, tuple[float, float, float]]
    cover: float
    counts_as_cover: bool
    life_form: str

    @property
    def cost(self) -> float:
        return self.plants * self.price + self.measure_cost


@dataclass(frozen=True)
class Wish:
    """One wish and what became of it. `asked` and `got` in `unit`; `most` says that it is a limit from above.

    `loosened` is what would have to be asked instead for all the others to be met, None where that alone is not
    enough (or nothing has to give).
    """

    key: str
    name: str
    asked: float
    got: float
    unit: str
    most: bool
    binds: bool = False
    loosened: float | None = None

    @property
    def met(self) -> bool:
        tolerance = 1e-6 + 1e-4 * abs(self.asked)
        return self.got <= self.asked + tolerance if self.most else self.got >= self.asked - tolerance


@dataclass(frozen=True)
class Plan:
    """The planting of one pond. `cover` and `water` by year: low, typical, high, per cent of the surface, under the
    plants that count as fish cover and under all; `cover_low_pool` is the typical cover, in the wishes' year, over
    bottom that still has water at low pool."""

    pond: Pond
    wishes: Wishes
    groups: tuple[Group, ...]
    chosen: tuple[Chosen, ...]
    cover: dict[int, tuple[float, float, float]]
    water: dict[int, tuple[float, float, float]]
    cover_low_pool: float
    outcome: tuple[Wish, ...]
    met: bool
    status: str
    gap: float | None
    candidates: int
    ranking: ranking.Ranking
    advice: tuple[str, ...]
    assumptions: tuple[str, ...]

    @property
    def cost(self) -> float:
        return sum(c.cost for c in self.chosen)

    @property
    def plants(self) -> int:
        return sum(c.plants for c in self.chosen)


@dataclass(frozen=True)
class Stock:
    """The candidates, ready for counting: parallel to `ranked`."""

    pond: Pond
    ranked: tuple[ranking.RankedPlant, ...]
    traits: Traits
    index: np.ndarray
    measures: tuple[tuple[str, ...], ...]
    hold: np.ndarray
    no_jump: np.ndarray
    most: np.ndarray
    price: np.ndarray
    known: np.ndarray
    fish: np.ndarray
    cells: Cells

    def chances(self, years: float, level: int) -> Chances:
        return chances(self.traits, self.pond, self.cells, years, level, self.hold, self.no_jump)


def plan(pond: Pond, catalogue: Catalogue, wishes: Wishes = Wishes(), *, prices: dict[str, float] | None = None,
         next_door: bool = False, picked: int = PICKED, time_limit: float = TIME_LIMIT) -> Plan:
    """The cheapest planting that meets the wishes, or the nearest one and the wish that stands in the way.

    `prices` maps plant_id to dollars a plant; given, only those plants are used. `time_limit` is about what the solver
    takes at the most, in seconds. Raises PlantpickError `wishes` for numbers out of range and `no-candidates` when no plant is left.
    """
    _check(wishes)
    wishes = wishes.for_pond(pond)
    ranked = ranking.rank(pond, catalogue, next_door=next_door, draws=0)
    stock = gather(pond, catalogue, ranked, prices, picked)
    case = build(stock, wishes)
    from plantpick.outcome import settle   # the runs of the programme, and what they mean

    answer, loosened, met = settle(case, stock, wishes, time_limit)
    if not answer.found:
        raise PlantpickError("no-plan", Problem("", "the solver found no planting in the time given.",
                                                "Allow more time, or describe the pond in fewer stretches."))
    return describe(stock, case, wishes, answer, loosened, met, ranked, catalogue)


def _check(wishes: Wishes) -> None:
    problems = []
    if not 1 <= wishes.year <= 10:
        problems.append(Problem("--by", f"found {wishes.year}; allowed: a year from 1 to 10."))
    for name, value in (("--cover", wishes.cover), ("--cap", wishes.cap), ("--upper", wishes.upper)):
        if value is not None and not 0 <= value <= 100:
            problems.append(Problem(name, f"found {value:g}; allowed: 0 to 100 per cent of the surface."))
    if not 0 < wishes.share <= 100:
        problems.append(Problem("--share", f"found {wishes.share:g}; allowed: over 0 up to 100 per cent."))
    if wishes.count not in ("cautious", "typical"):
        problems.append(Problem("--count", f'found "{wishes.count}"; allowed: cautious or typical.'))
    if problems:
        raise PlantpickError("wishes", problems)


def offered_prices(offer) -> dict[str, float]:
    """plant_id to dollars a plant for what a checked offer (offers.Offer) has and clears; NaN where it names no price.

    Lines to leave or to ask about, lines that could be several plants, and what is sold out are not counted on; of
    several lines for one plant the cheapest is.
    """
    prices: dict[str, float] = {}
    for line in offer.lines:
        if line.verdict in (BUY, CONTAIN) and len(line.plants) == 1 and not line.sold_out:
            plant_id, each = line.plants[0], math.nan if line.price_each is None else float(line.price_each)
            known = prices.get(plant_id, math.nan)
            prices[plant_id] = each if math.isnan(known) else known if math.isnan(each) else min(known, each)
    return prices


def gather(pond: Pond, catalogue: Catalogue, ranked: ranking.Ranking, prices: dict[str, float] | None = None,
           picked: int = PICKED) -> Stock:
    """The candidates: plants that rank as good or better, the best for each purpose, or all that are offered.

    Of a long offer (MANY_OFFERED and more that fit) twice as many as usual are picked, and the cheapest beside them.
    Left out are the free-floating, which cannot be set in a place, and those that only earthwork would hold.
    """
    fit = [r for r in ranked.plants if r.growth_form != "free-floating" and containment.STEEPENED not in r.contained_by
           and (r.score >= 100 * GOOD or prices is not None)]
    if prices is not None:
        fit = [r for r in fit if r.plant_id in prices]
    if prices is None or len(fit) >= MANY_OFFERED:
        fit = _picked(fit, pond, catalogue, picked if prices is None else 2 * picked, prices or {})
    if not fit:
        why = "none of the plants offered fits this pond" if prices is not None else "no plant fits this pond well enough"
        raise PlantpickError("no-candidates", Problem("", f"there is nothing to plan with: {why}.",
                                                      "plantpick rank POND.toml --ruled-out shows the reasons."))
    plants = traits([catalogue.records[r.plant_id] for r in fit])
    holds = {measures: hold for measures, hold in containment.OPTIONS}
    measures = tuple(r.contained_by for r in fit)
    hold = np.array([holds[m] if m else np.inf for m in measures])
    no_jump = np.zeros(len(fit), dtype=bool)
    most = np.full(len(fit), 10 * MANY_GROUPS)
    for i, words in enumerate(measures):
        if words:
            one = plants.take(np.array([i]))
            no_jump[i] = containment.stops_jump(one, words)[0]
            most[i] = fit[i].contained_groups
    form = plants.word["growth_form"]
    assumed = np.array([ASSUMED_PRICE.get(f, ASSUMED_PLUG) for f in form])
    price = np.array([prices[r.plant_id] for r in fit], dtype=float) if prices is not None else assumed
    known = np.isfinite(price) & (prices is not None)
    fish = (np.nan_to_num(plants.number["fish_cover"]) > 0) & ~plants.woody
    return Stock(pond, tuple(fit), plants, sites(plants, pond).index, measures, hold, no_jump, most,
                 np.where(np.isfinite(price), price, assumed), known, fish,
                 cut(pond, plants, FINEST_IN if len(pond.shore) <= 6 else 3 * FINEST_IN if len(pond.shore) <= 15 else 6 * FINEST_IN))


def _picked(fit, pond: Pond, catalogue: Catalogue, number: int, prices: dict[str, float]) -> list[ranking.RankedPlant]:
    """The best ranked for each purpose; for cover also those that cover most for what they may come to take."""
    taken: set[str] = set()
    for purpose in pond.purposes:
        able = [r for r in fit if catalogue.records[r.plant_id][PURPOSES[purpose]] >= SERVES
                and not (purpose == "fish cover" and r.growth_form in ("shrub", "tree"))]
        lists = [able[:number], sorted((r for r in able if r.plant_id in prices), key=lambda r: prices[r.plant_id])[:number // 2]]
        if purpose == "fish cover":
            lists.append([r for r in able if r.growth_form == "submersed"][:UNDER_WATER])
            lists.append(sorted(able, key=lambda r: -r.takeover_percent[0] / max(r.takeover_percent[2], 1e-9))[:STEADY])
            lists.append(sorted(able, key=lambda r: -r.takeover_percent[0] * max(r.groups_max, r.contained_groups)
                                / r.groups_wanted)[:FILLING])
        taken |= {r.plant_id for some in lists for r in some}
    return [r for r in fit if r.plant_id in taken]


def build(stock: Stock, wishes: Wishes) -> Case:
    """The case for the programme: places, forecasts and limits."""
    pond, plants = stock.pond, stock.traits
    places = _places(stock)
    level = CAUTIOUS if wishes.count == "cautious" else TYPICAL
    counted = stock.chances(wishes.year, level)
    feared = stock.chances(CAP_YEARS, PESSIMISTIC)
    limits = Limits(wishes.cover / 100, wishes.cap / 100, wishes.upper / 100, wishes.species, wishes.share / 100,
                    wishes.budget, wishes.plants, containment.TRIM_MOST_FT2)
    room = np.array([s.plantable_ft for s in pond.shore])
    each = (counted.own * stock.cells.least).sum(axis=2)
    return Case(places, stock.cells, counted, feared, ground(plants, pond, CAP_YEARS, stock.hold, stock.no_jump), each,
                room, stock.fish, stock.most, _serves(stock, places), limits, jumps=level == TYPICAL)


def _places(stock: Stock) -> Places:
    """For each plant on each stretch its best place for cover, and its best for the shore, where these are good."""
    pond, plants = stock.pond, stock.traits
    radius = group_radius_ft(plants.group, plants.number["spacing_in"])
    shore_ft = 2.0 * radius + GAP_FT
    cover = ranking.use_index(plants, ("fish cover",), pond.usual_drop_in)
    on_bank = np.isin(np.array(BAND_NAMES)[BAND_OF_DEPTH], BANK_BANDS)
    trimmed = containment.trimmed_ft2(plants, pond)[2]
    rows = []
    for i, ranked in enumerate(stock.ranked):
        good = {(stretch, band) for stretch, band, _ in ranked.good_places} or {(ranked.stretch, ranked.band)}
        for s, stretch in enumerate(pond.stretches):
            if stretch.plantable_ft < shore_ft[i]:
                continue
            # on a dam nothing goes above the waterline but grass kept low (FEMA 534)
            ok = np.array([(stretch.name, BAND_NAMES[b]) in good and not (stretch.dam and BAND_NAMES[b] == "bank")
                           for b in BAND_OF_DEPTH])
            index = np.where(ok, stock.index[i, s], 0.0)
            aims = [index * cover[i] if stock.fish[i] and "fish cover" in pond.purposes else index, index * on_bank]
            for d in dict.fromkeys(_middle_best(a) for a in aims if a.max() > 0):
                rows.append((i, s, BAND_NAMES[BAND_OF_DEPTH[d]], DEPTHS[d], DEPTHS[d] > 0, index[d]))
    seen, unique = set(), []
    for row in rows:
        if row[:3] not in seen:
            seen.add(row[:3])
            unique.append(row)
    plant, stretch, band, depth, wet, site = (np.array(column) for column in zip(*unique)) if unique else (np.array([]),) * 6
    plant, stretch = plant.astype(int), stretch.astype(int)
    room = np.array([pond.stretches[s].plantable_ft for s in stretch])
    measure = np.array([sum(MEASURE_PRICE.get(m, 0.0) for m in words) for words in stock.measures])
    group = plants.group
    trim = np.array([trimmed[i] if "trim" in words else 0.0 for i, words in enumerate(stock.measures)])
    return Places(plant, stretch, band, depth, wet.astype(bool), np.floor(room / shore_ft[plant]), shore_ft[plant],
                  group[plant], (group * (stock.price + measure))[plant], site, trim[plant])


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
                serves.append(Serve(f"{purpose} on the {stretch.name}", at, number))
    submersed = (plants.word["growth_form"] == "submersed")[places.plant]
    if "fish cover" in pond.purposes and submersed.any():
        serves.append(Serve("a plant that grows under water", submersed, 1))
    return tuple(serves)


def by_stretch(stock: Stock, places: Places, numbers: np.ndarray, wet_only: bool = False) -> np.ndarray:
    """Groups at places as groups by plant and stretch of the whole shore, (plants, stretches)."""
    table = np.zeros((len(stock.ranked), len(stock.pond.shore)))
    keep = places.wet if wet_only else np.ones(len(places), dtype=bool)
    np.add.at(table, (places.plant[keep], places.stretch[keep]), numbers[keep])
    return table


def describe(stock: Stock, case: Case, wishes: Wishes, answer: Answer, loosened: dict, met: bool,
             ranked: ranking.Ranking, catalogue: Catalogue) -> Plan:
    """The plan in the owner's words and numbers."""
    from plantpick.outcome import advice, wish_list

    pond, plants, places = stock.pond, stock.traits, case.places
    numbers = answer.groups
    groups, wet = by_stretch(stock, places, numbers), by_stretch(stock, places, numbers, True)
    cover, water, low_pool = {}, {}, 0.0
    everything = np.ones(len(plants), dtype=bool)
    takeover = {}
    for year in sorted({*YEARS, wishes.year}):
        by_count = [stock.chances(year, level) for level in (CAUTIOUS, TYPICAL, PESSIMISTIC)]
        sets = (wet, wet, groups)
        cover[year], water[year] = (tuple(100 * covered(stock.cells, at, g, count, which)
                                          for count, (at, g) in enumerate(zip(by_count, sets)))
                                    for which in (stock.fish, everything))
        if year == wishes.year:
            deep = np.append(stock.cells.edges[:-1] >= pond.usual_drop_in, True)
            lower = replace(stock.cells, least=stock.cells.least * deep)
            low_pool = 100 * covered(lower, by_count[TYPICAL], wet, TYPICAL, stock.fish)
        shares = forecast(plants, pond, year, hold=stock.hold, no_jump=stock.no_jump, levels=(0, 1)).takeover(groups)
        high = ground(plants, pond, year, stock.hold, stock.no_jump).held(groups)
        takeover[year] = np.maximum.accumulate(100 * np.column_stack([shares, high]), axis=1)
    rows, first = [], 1
    order = sorted(np.flatnonzero(numbers), key=lambda k: (places.stretch[k], places.depth_in[k], places.plant[k]))
    for k in order:
        i, s, n = places.plant[k], places.stretch[k], int(numbers[k])
        rows.append(Group(first, stock.ranked[i].plant_id, pond.stretches[s].name, str(places.band[k]),
                          float(places.depth_in[k]), n, int(plants.group[i]), float(plants.number["spacing_in"][i]),
                          float(places.site[k]), pond.stretches[s].plantable_ft / n))
        first += n
    chosen = []
    for i in np.flatnonzero(groups.sum(axis=1)):
        number = int(groups[i].sum())
        count = number * int(plants.group[i])
        extra = count * sum(MEASURE_PRICE.get(m, 0.0) for m in stock.measures[i])
        chore = containment.chore(plants, i, pond, stock.measures[i], number) if stock.measures[i] else ""
        chosen.append(Chosen(stock.ranked[i], number, count, float(stock.price[i]), bool(stock.known[i]),
                             stock.measures[i], extra, chore,
                             {y: tuple(float(v) for v in takeover[y][i]) for y in takeover},
                             100 * float((wet[i] * case.each[i]).sum()) if stock.fish[i] else 0.0, bool(stock.fish[i]),
                             str(catalogue.records[stock.ranked[i].plant_id]["life_span"])))
    chosen.sort(key=lambda c: (-c.cover, -c.groups, c.ranked.plant_id))
    outcome = wish_list(stock, case, wishes, numbers, cover, water, chosen, loosened)
    return Plan(pond, wishes, tuple(rows), tuple(chosen), cover, water, low_pool, outcome, met, answer.status,
                answer.gap, len(stock.ranked), ranked, advice(outcome, wishes, pond, cover, loosened, met),
                assumptions(stock, wishes))


def assumptions(stock: Stock, wishes: Wishes) -> tuple[str, ...]:
    """What the plan takes for granted, in sentences."""
    known = bool(stock.known.any())
    said = [
        "Cover is fish cover: water at full pool under plants with a value for fish cover. Trees and shrubs, and groups "
        "set above the waterline, do not count towards it; brush in place is taken off the target.",
        f"The {wishes.count} count must reach the cover by year {wishes.year}. Cautious: low rates, groups at random, "
        "nothing jumps. The caps and the upper cover hold on the pessimistic count after ten untended years: high "
        "rates, groups that never overlap, and all that jumps.",
        f"Groups stand {GAP_FT:g} ft apart, each in its own band; one group of bank holders for every "
        f"{BANK_GROUP_FT:.0f} ft of shore, and one group for every other purpose on each stretch (judgement).",
        f"Candidates: {len(stock.ranked)} plants, " + ("offered, fitting, and the best of those if they are many." if known else
                                                       "the best ranked for each purpose, graded good or better."),
    ]
    if not known:
        said.append(f"No prices were given: a plant is taken at ${ASSUMED_PLUG:g}, a shrub at ${ASSUMED_PRICE['shrub']:g}, "
                    f"a tree at ${ASSUMED_PRICE['tree']:g}, so that the least cost is near the least number of plants. "
                    "These are round figures for comparing plans, not for buying.")
    if any("tub" in m or "barrier" in m for m in stock.measures):
        said.append(f"A tub is taken at ${MEASURE_PRICE['tub']:g} and root barrier at ${MEASURE_PRICE['barrier']:g} a plant.")
    return tuple(said)
