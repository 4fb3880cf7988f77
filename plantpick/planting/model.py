"""What goes into a plan and what comes out of it: the wishes, the groups, the plants chosen, and the plan itself."""

from __future__ import annotations

import math
import zlib
from dataclasses import dataclass, replace

from plantpick.catalogue.availability import SOLD
from plantpick.catalogue.plants import Plant
from plantpick.errors import PlantpickError, Problem
from plantpick.planting.bill import Bill
from plantpick.planting.guards import Guard, guard_of
from plantpick.planting.offered import Offered
from plantpick.planting.places import Layout
from plantpick.planting.prices import PriceRange
from plantpick.planting.problem import Status
from plantpick.pond.model import Pond
from plantpick.ranking import containment
from plantpick.ranking import rank as ranking
from plantpick.vocabulary import RISKS_PERCENT

UPPER_PERCENT = 30.0  # vegetation best for bluegill: 15 to 30 % (FWS/OBS-82/10.8)
MOST_PLANTS = 500  # what a few people set in two or three weekends: judgement
MARKS = "ACDEFGHJKLMNPQRTUVWXY34679"  # none that looks like another
SPECIES, SHARE_PERCENT, YEAR = 4, 40.0, 5


Levels = tuple[float, float, float]  # low, typical, high


@dataclass(frozen=True, kw_only=True)
class Wishes:
    """What the planting has to do. None means: as the pond file says, or no limit.

    `year` is when the cover has to be there (1 to 10), `count` by which forecast (cautious or typical); `cover` is
    the target less brush, and `cap` and `upper` hold for ten untended years; all three in per cent of the surface. `risk` is
    the chance, in per cent, of passing `cap` that the owner accepts.
    `share` is the most of the planted cover, and `mix` the most of all plants set, that may be one plant, per cent.
    `trim` is the edge that the owner is ready to cut back in a year, square feet.
    """

    year: int = YEAR
    count: str = "cautious"
    cover: float | None = None
    cap: float | None = None
    risk: float | None = None
    upper: float = UPPER_PERCENT
    species: int = SPECIES
    share: float = SHARE_PERCENT
    mix: float | None = None
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
        return replace(
            self,
            cover=cover,
            cap=pond.cap_percent if self.cap is None else self.cap,
            risk=pond.risk_percent if self.risk is None else self.risk,
            mix=pond.mix_percent if self.mix is None else self.mix,
        )


def check_wishes(wishes: Wishes) -> None:
    """Raises PlantpickError `wishes` with every number that is out of range; `where` is the wish's name here."""
    problems = []
    if not 1 <= wishes.year <= 10:
        problems.append(Problem("year", f"found {wishes.year}; allowed: a year from 1 to 10."))
    for name in ("cover", "cap", "upper"):
        value = getattr(wishes, name)
        if value is not None and not 0 <= value <= 100:
            problems.append(Problem(name, f"found {value:g}; allowed: 0 to 100 per cent of the surface."))
    for name, unit in (("budget", "dollars"), ("trim", "square feet")):
        value = getattr(wishes, name)
        if value is not None and not 0 <= value < math.inf:
            problems.append(Problem(name, f"found {value:g}; allowed: 0 {unit} or more."))
    least, most = RISKS_PERCENT
    if wishes.risk is not None and not least <= wishes.risk <= most:
        problems.append(Problem("risk", f"found {wishes.risk:g}; allowed: {least:g} to {most:g} per cent."))
    if not 0 < wishes.share <= 100:
        problems.append(Problem("share", f"found {wishes.share:g}; allowed: over 0 up to 100 per cent."))
    if wishes.mix is not None and not 0 < wishes.mix <= 100:
        problems.append(Problem("mix", f"found {wishes.mix:g}; allowed: over 0 up to 100 per cent."))
    if wishes.count not in ("cautious", "typical"):
        problems.append(Problem("count", f'found "{wishes.count}"; allowed: cautious or typical.'))
    if problems:
        raise PlantpickError("wishes", problems)


def runs(numbers: tuple[str, ...]) -> list[str]:
    """Names of groups, those that follow one another drawn together: A3, A4, A5, A9 as A3-A5 and A9."""
    found: list[list[str]] = []
    for name in numbers:
        stake, number = _stake_and_number(name)
        if found and _stake_and_number(found[-1][-1]) == (stake, number - 1):
            found[-1].append(name)
        else:
            found.append([name])
    return [run[0] if len(run) == 1 else f"{run[0]}-{run[-1]}" for run in found]


def _stake_and_number(name: str) -> tuple[str, int]:
    digits = len(name) - len(name.rstrip("0123456789"))
    return name[: len(name) - digits], int(name[len(name) - digits :] or 0)


@dataclass(frozen=True, kw_only=True)
class Group:
    """Groups of one plant at one depth of a stretch: `number` groups of `each` plants. `numbers` are their names on the planting
    sheets, in walking order (A3, A7): where each stands is in the plan's layout."""

    plant_id: str
    stretch: str
    band: str
    depth_in: float
    number: int
    each: int
    spacing_in: float
    site: float
    numbers: tuple[str, ...] = ()
    fenced: bool = False  # a cage or a ring of wire goes round it

    def guard(self, pond: Pond, plant: Plant) -> Guard | None:
        """What keeps the pond's animals off one of the groups; `plant` is the one that it is of. None where nothing here eats it."""
        return guard_of(
            pond.residents,
            plant.growth_form,
            plant.eaten_by,
            depth_in=self.depth_in,
            each=self.each,
            spacing_in=self.spacing_in,
            dam=any(s.dam for s in pond.stretches if s.name == self.stretch),
        )

    @property
    def plants(self) -> int:
        return self.number * self.each

    @property
    def label(self) -> str:
        """The names on the sheets, runs drawn together: "A3" or "A3-A6, A9"."""
        return ", ".join(runs(self.numbers))


@dataclass(frozen=True, kw_only=True)
class RunnerUp:
    """A plant that can stand in for a chosen one. `part` is the share of the chosen one's places where it is good, and `cover` the
    share of its cover, up to 1, that so many groups make good; 1 where it gives none. `measures` hold it, `places` are those where
    it stands in (stretch, depth in inches), and `by_stretch` its groups on each (stretch, groups)."""

    ranked: ranking.RankedPlant
    groups: int
    plants: int
    price: float
    part: float
    cover: float
    measures: tuple[str, ...] = ()
    places: tuple[tuple[str, float], ...] = ()
    by_stretch: tuple[tuple[str, int], ...] = ()

    @property
    def depths_in(self) -> tuple[float, ...]:
        """Depths at full pool to set it at, the shallowest first."""
        return tuple(sorted({depth for _, depth in self.places}))

    @property
    def sold(self) -> bool:
        """Whether a list of plants sold has it."""
        return self.ranked.availability in SOLD


@dataclass(frozen=True, kw_only=True)
class Chosen:
    """One plant of the plan. Forecast shares are per cent of the surface, bank and water, by year: 10, 50 and 90 % points;
    `price` is what the search counted with, dollars a plant: the offer's, or the middle of what is `asked`.
    `chance_over_cap` (0 to 1) that they pass the limit after ten untended years, with the measures in force."""

    ranked: ranking.RankedPlant
    groups: int
    plants: int
    price: float
    price_known: bool
    asked: PriceRange
    measures: tuple[str, ...]
    measure_cost: float
    chore: str
    takeover: dict[int, Levels]
    chance_over_cap: float
    living: Levels  # of the plants set, how many live a year: 10, 50 and 90 % points
    cover: float
    runners_up: tuple[RunnerUp, ...] = ()

    @property
    def cost(self) -> float:
        return self.plants * self.price + self.measure_cost


@dataclass(frozen=True, kw_only=True)
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


@dataclass(frozen=True, kw_only=True)
class PlanChances:
    """Chances, 0 to 1, of the whole planting: that the cover gone for is there in the wishes' year, that any plant passes your
    limit within ten untended years, that all together pass the upper cover."""

    cover_reached: float
    any_over_cap: float
    over_upper: float


@dataclass(frozen=True, kw_only=True)
class Plan:
    """The planting of one pond. `cover` and `water` by year: low, typical, high, per cent of the surface, under the
    plants that count as fish cover and under all, `there` the part of the cover that grows there already; `cover_low_pool` is the typical cover, in the wishes' year, over
    bottom that still has water at low pool. `status` is PROVED (the least cost there is), GAP (a cost within `gap`
    of the least there can be, where that is known) or UNSETTLED (nobody knows whether all wishes can be met). Where
    the cover asked for was not reached, or none was asked for, `goal_cover` is the cover that was gone for and `most_cover`
    what no planting within the limits and the other wishes can pass, None where that is not known; per cent.
    `search_cost` is what the search made least: dollars, every guard by itself. `cautions` are those for this pond and these plants."""

    pond: Pond
    wishes: Wishes
    groups: tuple[Group, ...]
    layout: Layout
    chosen: tuple[Chosen, ...]
    cover: dict[int, Levels]
    there: dict[int, Levels]
    water: dict[int, Levels]
    cover_low_pool: float
    chances: PlanChances
    outcome: tuple[Wish, ...]
    met: bool
    status: Status
    gap: float | None
    most_cover: float | None
    goal_cover: float
    candidates: int
    search_cost: float
    trim_ft2: float
    offered: Offered | None
    ranking: ranking.Ranking
    advice: tuple[str, ...]
    assumptions: tuple[str, ...]
    cautions: tuple[str, ...] = ()
    bill: Bill = Bill()

    def added(self, year: int) -> Levels:
        """The fish cover that the planting adds by a year to what grows there already: low, typical, high, per cent."""
        low, typical, high = (
            max(0.0, cover - there)
            for cover, there in zip(self.cover[year], self.there.get(year, (0.0, 0.0, 0.0)))
        )
        return low, typical, high

    @property
    def mark(self) -> str:
        """Four letters that tell this planting from another, group by group and place by place: for sheets that get mixed up."""
        groups = [(g.plant_id, g.stretch, g.depth_in, g.number, g.each, g.numbers) for g in self.groups]
        places = [(g.number, round(g.from_ft, 1), round(g.out_ft, 1)) for g in self.layout.groups]
        number = zlib.crc32(repr((groups, places)).encode())
        return "".join(MARKS[number // len(MARKS) ** k % len(MARKS)] for k in range(4))

    @property
    def cost(self) -> float:
        """Dollars for plants, tubs and barriers at the prices that the search counted with; `bill` has all of it."""
        return sum(c.cost for c in self.chosen)

    @property
    def plants(self) -> int:
        return sum(c.plants for c in self.chosen)
