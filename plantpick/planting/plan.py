"""How many groups of which plant go where: candidates from the ranking, an integer programme, and what it found.

docs/method.md, "Planting", gives the model. *Cover* is fish cover: water at full pool under plants that have a value
for fish cover, trees and shrubs aside; brush in place is taken off the target.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from plantpick.catalogue.plants import Catalogue
from plantpick.errors import PlantpickError, Problem
from plantpick.planting.candidates import (
    ASSUMED_PLUG,
    ASSUMED_PRICE,
    BANK_GROUP_FT,
    GAP_FT,
    MEASURE_PRICE,
    PICKED,
    Stock,
    build,
    by_stretch,
    gather,
)
from plantpick.planting.coverage import CAUTIOUS, PESSIMISTIC, TYPICAL, covered, ground
from plantpick.planting.problem import Case
from plantpick.pond.model import Pond
from plantpick.ranking import containment
from plantpick.ranking import rank as ranking
from plantpick.ranking.takeover import YEARS, forecast

if TYPE_CHECKING:
    from plantpick.planting.wish_report import Settled

UPPER_PERCENT = 30.0  # vegetation best for bluegill: 15 to 30 % (FWS/OBS-82/10.8)
MOST_PLANTS = 500  # what a few people set in two or three weekends: judgement
SPECIES, SHARE_PERCENT, YEAR = 4, 40.0, 5
TIME_LIMIT = 10.0


@dataclass(frozen=True)
class Wishes:
    """What the planting has to do. None means: as the pond file says, or no limit.

    `year` is when the cover has to be there (1 to 10), `count` by which forecast (cautious or typical); `cover` is
    the target less brush, and `cap` and `upper` hold for ten untended years; all three in per cent of the surface.
    `trim` is the edge that the owner is ready to cut back in a year, square feet.
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
    trim: float = containment.TRIM_MOST_FT2

    def for_pond(self, pond: Pond) -> Wishes:
        """The same with the pond file's own numbers filled in. Cover stays None, as much as the limits allow, where the file
        has no target, and is 0 where fish cover is no purpose."""
        cover = self.cover
        if cover is None and "fish cover" not in pond.purposes:
            cover = 0.0
        elif cover is None and pond.cover_target_percent is not None:
            cover = max(0.0, pond.cover_target_percent - pond.brush_percent)
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
    bottom that still has water at low pool. `status` is "proved" (the least cost there is), "gap" (a cost within `gap`
    of the least there can be, where that is known) or "unsettled" (nobody knows whether all wishes can be met). Where
    the cover asked for was not reached, or none was asked for, `goal_cover` is the cover that was gone for and `most_cover`
    what no planting within the limits and the other wishes can pass, None where that is not known; per cent."""

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
    most_cover: float | None
    goal_cover: float
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


def plan(
    pond: Pond,
    catalogue: Catalogue,
    wishes: Wishes = Wishes(),
    *,
    prices: dict[str, float] | None = None,
    next_door: bool = False,
    picked: int = PICKED,
    time_limit: float = TIME_LIMIT,
    within: float = 0.0,
) -> Plan:
    """The cheapest planting that meets the wishes, or the nearest one and the wish that stands in the way. Never one that is
    worse than plain greed finds (greedy.py), however little time there is.

    `prices` maps plant_id to dollars a plant; given, only those plants are used. `time_limit` is about what the solver
    takes at the most, in seconds; it ends sooner once the cost is known to be within `within` per cent of the least.
    Raises PlantpickError `wishes` for numbers out of range and `no-candidates` when no plant is left.
    """
    _check(wishes)
    if wishes.cap is not None:  # what fits and what has to be held depends on the cap
        pond = pond.with_tolerance(wishes.cap)
    wishes = wishes.for_pond(pond)
    ranked = ranking.rank(pond, catalogue, next_door=next_door, draws=0)
    stock = gather(pond, catalogue, ranked, prices, picked)
    case = build(stock, wishes)
    from plantpick.planting.wish_report import settle  # the runs of the programme, and what they mean

    settled = settle(case, stock, wishes, time_limit, within / 100.0)
    return describe(stock, case, wishes, settled, ranked, catalogue)


def _check(wishes: Wishes) -> None:
    problems = []
    if not 1 <= wishes.year <= 10:
        problems.append(Problem("--by", f"found {wishes.year}; allowed: a year from 1 to 10."))
    for name, value in (("--cover", wishes.cover), ("--cap", wishes.cap), ("--upper", wishes.upper)):
        if value is not None and not 0 <= value <= 100:
            problems.append(Problem(name, f"found {value:g}; allowed: 0 to 100 per cent of the surface."))
    for name, value, unit in (("--budget", wishes.budget, "dollars"), ("--trim", wishes.trim, "square feet")):
        if value is not None and not 0 <= value < math.inf:
            problems.append(Problem(name, f"found {value:g}; allowed: 0 {unit} or more."))
    if not 0 < wishes.share <= 100:
        problems.append(Problem("--share", f"found {wishes.share:g}; allowed: over 0 up to 100 per cent."))
    if wishes.count not in ("cautious", "typical"):
        problems.append(Problem("--count", f'found "{wishes.count}"; allowed: cautious or typical.'))
    if problems:
        raise PlantpickError("wishes", problems)


def describe(
    stock: Stock,
    case: Case,
    wishes: Wishes,
    settled: Settled,
    ranked: ranking.Ranking,
    catalogue: Catalogue,
) -> Plan:
    """The plan in the owner's words and numbers."""
    from plantpick.planting.wish_report import advice, wish_list

    pond, plants, places = stock.pond, stock.traits, case.places
    answer, loosened, met = settled.answer, settled.loosened, settled.met
    numbers = answer.groups
    groups, wet = by_stretch(stock, places, numbers), by_stretch(stock, places, numbers, True)
    cover, water, low_pool = {}, {}, 0.0
    everything = np.ones(len(plants), dtype=bool)
    takeover = {}
    for year in sorted({*YEARS, wishes.year}):
        by_count = [stock.chances(year, level) for level in (CAUTIOUS, TYPICAL, PESSIMISTIC)]
        sets = (wet, wet, groups)
        cover[year], water[year] = (
            tuple(
                100 * covered(stock.cells, at, g, count, which)
                for count, (at, g) in enumerate(zip(by_count, sets))
            )
            for which in (stock.fish, everything)
        )
        if year == wishes.year:
            deep = np.append(stock.cells.edges[:-1] >= pond.usual_drop_in, True)
            lower = replace(stock.cells, least=stock.cells.least * deep)
            low_pool = 100 * covered(lower, by_count[TYPICAL], wet, TYPICAL, stock.fish)
        shares = forecast(plants, pond, year, hold=stock.hold, no_jump=stock.no_jump, levels=(0, 1)).takeover(
            groups
        )
        high = ground(plants, pond, year, stock.hold, stock.no_jump).held(groups)
        takeover[year] = np.maximum.accumulate(100 * np.column_stack([shares, high]), axis=1)
    rows, first = [], 1
    order = sorted(
        np.flatnonzero(numbers), key=lambda k: (places.stretch[k], places.depth_in[k], places.plant[k])
    )
    for k in order:
        i, s, n = places.plant[k], places.stretch[k], int(numbers[k])
        rows.append(
            Group(
                first,
                stock.ranked[i].plant_id,
                pond.stretches[s].name,
                str(places.band[k]),
                float(places.depth_in[k]),
                n,
                int(plants.group[i]),
                float(plants.number["spacing_in"][i]),
                float(places.site[k]),
                pond.stretches[s].plantable_ft / n,
            )
        )
        first += n
    chosen = []
    for i in np.flatnonzero(groups.sum(axis=1)):
        number = int(groups[i].sum())
        count = number * int(plants.group[i])
        extra = count * sum(MEASURE_PRICE.get(m, 0.0) for m in stock.measures[i])
        chore = containment.chore(plants, i, pond, stock.measures[i], number) if stock.measures[i] else ""
        chosen.append(
            Chosen(
                stock.ranked[i],
                number,
                count,
                float(stock.price[i]),
                bool(stock.known[i]),
                stock.measures[i],
                extra,
                chore,
                {y: tuple(float(v) for v in takeover[y][i]) for y in takeover},
                100 * float((wet[i] * case.each[i]).sum()) if stock.fish[i] else 0.0,
                bool(stock.fish[i]),
                str(catalogue.records[stock.ranked[i].plant_id]["life_span"]),
            )
        )
    chosen.sort(key=lambda c: (-c.cover, -c.groups, c.ranked.plant_id))
    outcome = wish_list(stock, case, wishes, numbers, cover, water, chosen, loosened)
    return Plan(
        pond,
        wishes,
        tuple(rows),
        tuple(chosen),
        cover,
        water,
        low_pool,
        outcome,
        met,
        answer.status,
        answer.gap,
        None if settled.most is None else 100 * settled.most,
        100 * settled.goal,
        len(stock.ranked),
        ranked,
        advice(outcome, wishes, pond, cover, settled),
        assumptions(stock, wishes),
    )


def assumptions(stock: Stock, wishes: Wishes) -> tuple[str, ...]:
    """What the plan takes for granted, in sentences."""
    known = bool(stock.known.any())
    said = [
        "Cover is fish cover: water at full pool under plants with a value for fish cover. Trees and shrubs, and groups "
        "set above the waterline, do not count towards it; brush in place is taken off the target.",
        f"The {wishes.count} count {'is to come near the most' if wishes.cover is None else 'must reach the cover'} by year "
        f"{wishes.year}. Cautious: low rates, groups at random, "
        "nothing jumps. The caps and the upper cover hold on the pessimistic count after ten untended years: high "
        "rates, groups that never overlap, and all that jumps.",
        f"Groups stand {GAP_FT:g} ft apart, each in its own band; one group of bank holders for every "
        f"{BANK_GROUP_FT:.0f} ft of shore, and one group for every other purpose on each stretch (judgement).",
        f"Candidates: {len(stock.ranked)} plants, "
        + (
            "offered, fitting, and the best of those if they are many."
            if known
            else "the best ranked for each purpose, graded good or better."
        )
        + " Plants to ask about first (unsure whether native here, or on an advisory list) are not planned on.",
    ]
    if not known:
        said.append(
            f"No prices were given: a plant is taken at ${ASSUMED_PLUG:g}, a shrub at ${ASSUMED_PRICE['shrub']:g}, "
            f"a tree at ${ASSUMED_PRICE['tree']:g}, so that the least cost is near the least number of plants. "
            "These are round figures for comparing plans, not for buying."
        )
    if any("tub" in m or "barrier" in m for m in stock.measures):
        said.append(
            f"A tub is taken at ${MEASURE_PRICE['tub']:g} and root barrier at ${MEASURE_PRICE['barrier']:g} a plant."
        )
    return tuple(said)
