"""What keeps a plant in its place on this pond: the measures, what each leaves of the forecast, and the notes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from plantpick.catalogue.traits import Traits
from plantpick.pond import basin as basins
from plantpick.pond.model import Pond, stretch_words
from plantpick.ranking import takeover
from plantpick.ranking.draws import Draws, draw

STEEP = 3.0  # 3 ft out for 1 ft down, the edge that stops most weeds (NC State Extension)
CONTAINED_WEIGHT = (
    0.7  # what a plant held by one measure counts beside one that stays put by itself: judgement
)
TRIM_MOST_FT2 = 300.0  # edge that an owner keeps up with in a year, at the high rate: judgement
TUBS_MOST = 14.0  # tubs of one plant that an owner lifts and divides: judgement
TRIM_YEARS = 1.0  # growth that a stand makes between two yearly cuts
STILL_FT_YR = 0.35  # a plant whose edge moves no faster, at the high end, is said to stay where it is set
STEEPENED = "bank steepened to 3:1"
HOLDS_ROOTS = {"tub", "barrier", "trim"}  # one of these at least for a plant that is never to stand loose

# Measures, least trouble first (two words mean both), with the years of growth that they leave a planted stand.
OPTIONS: tuple[tuple[tuple[str, ...], float], ...] = (
    (("sterile form",), np.inf),
    (("tub",), 0.0),
    (("barrier",), 0.0),
    (("deadhead",), np.inf),
    (("trim",), TRIM_YEARS),
    (("tub", "trim"), 0.0),
    (("tub", "sterile form"), 0.0),
    (("tub", "deadhead"), 0.0),
    (("barrier", "deadhead"), 0.0),
    (("trim", "deadhead"), TRIM_YEARS),
)
MEASURE_WORDS = {
    "tub": "pots or tubs without holes",
    "barrier": "a buried root barrier",
    "trim": "its edge cut back and strays pulled every year",
    "deadhead": "its seed heads cut before they ripen",
    "sterile form": "a form that sets no seed",
    STEEPENED: "the bank steepened to 3:1",
}
JUMP_STOPPED_BY: dict[str, set[str]] = {  # way of jumping: measures that stop it
    "seed": {"deadhead", "sterile form"},
    "tubers": {"tub", "barrier"},
    "offsets": {"tub", "barrier"},
    "fragments": set(),
    "turions": set(),
    "spores": set(),
}


@dataclass(frozen=True, kw_only=True)
class Contained:
    """The best measure for each plant: `measures[i]` is a tuple of words (empty: none helps), `groups[i]` the
    number of groups that the pond can take with it (MANY_GROUPS: no limit worth naming), `chance[i]` that those wanted, or as many
    as it can take, pass the limit all the same (NaN where there is no measure), `worth[i]` what it counts beside staying put
    by itself."""

    measures: tuple[tuple[str, ...], ...]
    groups: np.ndarray
    chance: np.ndarray
    worth: np.ndarray

    def subset(self, rows: np.ndarray) -> Contained:
        """The same for some of the plants (a boolean mask)."""
        kept = tuple(m for m, keep in zip(self.measures, rows) if keep)
        return Contained(
            measures=kept, groups=self.groups[rows], chance=self.chance[rows], worth=self.worth[rows]
        )


def stops_jump(plants: Traits, measures: tuple[str, ...]) -> np.ndarray:
    """Where the measures stop the plant from jumping.

    Cutting seed heads or a sterile form does if it jumps by seed alone; a tub or barrier if by tubers or offsets.
    Whoever cuts the edge back every year pulls strays as well: that stops a plant that makes few of them (jump
    "low"), not one that makes them by the hundred (judgement).
    """
    by = plants.has["jump_by"]
    left = np.zeros(len(plants), dtype=bool)
    for way, stopped_by in JUMP_STOPPED_BY.items():
        if way in by and not stopped_by & set(measures):
            left |= by[way]
    few = plants.word["jump"] == "low" if "trim" in measures else False
    return ~left | few


def applicable(plants: Traits, measures: tuple[str, ...]) -> np.ndarray:
    """The plants whose catalogue row says that every one of the measures works on them."""
    held = plants.has["contained_by"]
    mask = np.ones(len(plants), dtype=bool)
    for word in measures:
        mask &= held.get(word, np.zeros(len(plants), dtype=bool))
    return mask


def loose_most(plants: Traits) -> np.ndarray:
    """The most groups that may stand without a measure, (plants,): none of a plant that its row says is never to stand loose."""
    held = plants.has["cautions"].get("never loose", np.zeros(len(plants), dtype=bool))
    return np.where(held, 0, takeover.MANY_GROUPS)


def tended_most(plants: Traits, pond: Pond, measures: tuple[str, ...]) -> np.ndarray:
    """The most groups, (plants,), that an owner keeps up with: tubs to lift, edge to cut back at the high rate."""
    most = np.full(len(plants), takeover.MANY_GROUPS)
    if "tub" in measures:
        most = np.minimum(most, np.floor(TUBS_MOST / plants.group).astype(int))
    elif "trim" in measures:
        ring = np.maximum(trimmed_ft2(plants, pond)[2], 1e-9)
        most = np.minimum(most, np.floor(TRIM_MOST_FT2 / ring)).astype(int)
    return most


def with_measures(
    plants: Traits, pond: Pond, measures: tuple[str, ...], years: float, draws: Draws, nodes: int
) -> takeover.Forecast:
    """The forecast with the measures in force: `years` of growth are left to a planted stand."""
    hold = takeover.Hold(years, stops_jump(plants, measures))
    return takeover.forecast(plants, pond, draws=draws, hold=hold, nodes=nodes)


@dataclass(frozen=True, kw_only=True)
class GroupsHeld:
    """How many groups of one plant the pond can take with some measures; `work` says what sets that number where it is not the
    spread but what you keep up with in a year."""

    measures: tuple[str, ...]
    groups: int
    work: str = ""


def groups_with(
    plants: Traits, pond: Pond, good: np.ndarray, measures: tuple[str, ...], years: float
) -> GroupsHeld:
    """Groups of one plant that the pond can take with the measures in force."""
    held = with_measures(plants, pond, measures, years, draw(plants.plant_id), takeover.DRAW_NODES)
    lengths, cap, risk = limits_of(pond)
    most = tended_most(plants, pond, measures)
    groups = int(takeover.groups_within(held, good, lengths, cap, risk, most)[0])
    by_work = groups == int(most[0]) < takeover.MANY_GROUPS
    return GroupsHeld(measures=measures, groups=groups, work=work_words(measures) if by_work else "")


def work_words(measures: tuple[str, ...]) -> str:
    """What ends the number of groups where it is your work: the most of it that we assume in a year."""
    if "tub" in measures:
        return f"more is over {TUBS_MOST:g} tubs to lift and divide"
    return f"more is over {TRIM_MOST_FT2:g} sq ft of edge to cut back a year" if "trim" in measures else ""


def limits_of(pond: Pond) -> tuple[np.ndarray, float, float]:
    """The lengths of the stretches in feet, and the owner's limit and risk, from 0 to 1."""
    return np.array([s.length_ft for s in pond.shore]), pond.cap_percent / 100.0, pond.risk_percent / 100.0


def trimmed_ft2(plants: Traits, pond: Pond) -> np.ndarray:
    """Square feet of edge to cut back a year for one group, (3, plants), low to high: a ring one year's advance wide."""
    first, row = takeover.group_shape(plants.group, plants.number["spacing_in"])
    rate = takeover.edge_rates_ft_yr(plants, pond).T
    return np.pi * ((first + rate) ** 2 - first**2) + 2.0 * row * rate


def steepened(pond: Pond) -> Pond:
    """The same pond with every bank at 3:1 or steeper."""
    return basins.steepened(pond, STEEP)


def stopped_by_water(plants: Traits) -> np.ndarray:
    """Where a steeper bank helps: herbs that stand in water, by the middle of their best depths (judgement).

    What lives on the bank is stopped by no depth of water, however close it comes.
    """
    n = plants.number
    in_water = n["depth_best_min_in"] + n["depth_best_max_in"] > 0
    return in_water & ~plants.woody & ~plants.has["contained_by"].get("nothing", np.zeros(len(plants), bool))


def containment_options(plants: Traits, pond: Pond) -> list[tuple[tuple[str, ...], float, np.ndarray, Pond]]:
    """Every way to hold a plant here: measures, years of growth left, where it applies (plants,), and the basin."""
    ways = [(measures, hold, applicable(plants, measures), pond) for measures, hold in OPTIONS]
    if any(s.slope > STEEP for s in pond.shore):
        ways.append(((STEEPENED,), np.inf, stopped_by_water(plants), steepened(pond)))
    return ways


def contain(plants: Traits, pond: Pond, good: np.ndarray, wanted: np.ndarray, draws: Draws) -> Contained:
    """For each plant the measure that is worth most, (plants,) `wanted` groups (0: it needs none); of equals the one that
    leaves room for more groups, then the least trouble.

    Two measures together count the weight twice: each depends on the owner doing it.
    """
    count = len(plants)
    best, worth, chance = np.zeros(count, dtype=int), np.zeros(count), np.full(count, np.nan)
    chosen: list[tuple[str, ...]] = [()] * count
    lengths, cap, risk = limits_of(pond)
    loose = loose_most(plants) > 0
    for measures, years, mask, basin in containment_options(plants, pond):
        mask = mask & (loose | bool(HOLDS_ROOTS & set(measures)))
        weight = CONTAINED_WEIGHT ** len(measures)
        rows = np.flatnonzero(mask & (best < wanted) & (worth <= weight + 1e-12))
        if not len(rows):
            continue
        some = plants.subset(rows)
        held = with_measures(some, basin, measures, years, draws.subset(rows), takeover.DRAW_NODES)
        most = tended_most(some, basin, measures)
        groups = takeover.groups_within(held, good[rows], lengths, cap, risk, most)
        set_out = takeover.allot(good[rows], lengths, np.clip(groups, 1, wanted[rows]))
        passing = takeover.chance_over(held, set_out, cap)
        for row, number, over in zip(rows, groups, passing):
            enough = (weight, min(number, wanted[row])) > (worth[row], min(best[row], wanted[row]))
            if number and enough:
                best[row], worth[row], chance[row], chosen[row] = number, weight, over, measures
    return Contained(measures=tuple(chosen), groups=best, chance=chance, worth=worth)


def in_words(measures: tuple[str, ...]) -> str:
    """The measures as an owner would say them."""
    if "tub" in measures and "trim" in measures:
        return f"{MEASURE_WORDS['tub']}, and what roots outside them pulled every year"
    return " and ".join(MEASURE_WORDS[m] for m in measures)


def chore(plants: Traits, row: int, pond: Pond, measures: tuple[str, ...], groups: int) -> str:
    """How much work a year the measures mean for `groups` groups of one plant."""
    one = plants.subset(np.array([row]))
    each = int(one.group[0])
    parts = []
    if "trim" in measures and "tub" in measures:
        parts.append("pull strays")
    elif "trim" in measures:
        _, usual, most = trimmed_ft2(one, pond)[:, 0] * groups
        parts.append(f"cut back {_round(usual)} to {_round(most)} sq ft of edge a year, and pull strays")
    if "deadhead" in measures:
        parts.append(f"cut the seed heads of {_count(groups, 'group')} every summer")
    if "tub" in measures:
        parts.append(f"{_count(each * groups, 'tub')}, divided every third year")
    if "barrier" in measures:
        parts.append(
            f"{_count(groups, 'barrier')} to dig in once and walk every year for runners over the top"
        )
    if STEEPENED in measures:
        parts.append("earthwork once, before planting")
    if "sterile form" in measures:
        parts.append("ask the seller in writing that the form is sterile")
    return "; ".join(parts)


class Stops(StrEnum):
    """What ends the advance of a plant's edge here."""

    FLOATS = "floats free"
    STILL = "stays where it is set"
    WATERLINE = "the waterline"
    NOTHING = "nothing"  # no water of the pond is deep enough
    DEPTH = "depth"


@dataclass(frozen=True, kw_only=True)
class EdgeStop:
    """What ends the advance of a plant's edge: `depth_in` is the water that stops it, `out_ft` how far out that is on the
    stretch of its best place (typical, high), and `round_ft` on each stretch with a place as deep that is good (name, typical,
    high); `ten_years_ft` is the farthest it moves in ten years."""

    kind: Stops
    stretch: str
    depth_in: tuple[float, float]
    out_ft: tuple[float, float]
    round_ft: tuple[tuple[str, float, float], ...] = ()
    ten_years_ft: float
    jumps: str = ""  # how it leaves the place it was set in, where it does
    set_in: float = 0.0  # how deep it is set at full pool, inches; negative above the water
    bared: bool = False  # whether the usual drop leaves all the ground dry that it can come to

    @property
    def words(self) -> str:
        """A sentence without its full stop, in the pond's own numbers."""
        if self.kind is Stops.FLOATS:
            return "floats free: no depth stops it"
        if self.kind is Stops.STILL:
            moves = f"its edge moves {self.ten_years_ft:.0f} ft or less in ten years"
            return f"{moves}, but it {self.jumps}" if self.jumps else f"stays where it is set: {moves}"
        if self.kind is Stops.WATERLINE:
            return f"stays above the waterline on {stretch_words(self.stretch)}"
        if self.kind is Stops.NOTHING:
            return (
                f"no part of the pond is deep enough to stop it (it can creep into {self.depth_in[1]:.0f} in)"
            )
        if self.set_in < 0:
            ground = "onto ground that the summer drop bares" if self.bared else "into the water"
            return f"can creep down the bank and {ground}: on {stretch_words(self.stretch)} {_span(*self.out_ft)} ft out from full pool"
        return f"needs {_span(*self.depth_in)} in of water to stop it: on {stretch_words(self.stretch)} that is {_span(*self.out_ft)} ft out"

    @property
    def in_short(self) -> str:
        """The same in a few words, for a list."""
        if self.kind is Stops.FLOATS:
            return "floats free"
        if self.kind is Stops.STILL:
            return f"hardly creeps, but {self.jumps}" if self.jumps else "stays where you set it"
        if self.kind is Stops.WATERLINE:
            return "stays above the water"
        if self.kind is Stops.NOTHING:
            return "no depth here stops it"
        out, deep = (_span(*ends).replace(" to ", "-") for ends in (self.widest_ft, self.depth_in))
        if self.set_in < 0:
            return f"can creep {out} ft out {'while the pond is down' if self.bared else 'into the water'}"
        return f"stops {out} ft out, {deep} in deep"

    @property
    def widest_ft(self) -> tuple[float, float]:
        """How far out it comes, typical where that is least to high where that is most, over the stretches where it is good."""
        ends = self.round_ft or (("", *self.out_ft),)
        return min(near for _, near, _ in ends), max(far for _, _, far in ends)


def edge_stop(
    plants: Traits,
    row: int,
    pond: Pond,
    where: takeover.Strips,
    stretch: int,
    *,
    set_in: float = 0.0,
    good: Sequence[int] = (),
) -> EdgeStop:
    """How far out one plant's edge comes on one stretch of the shore and on the `good` ones (positions), and what stops it;
    `set_in` is how deep it is set at full pool."""
    typical, high = float(where.reach_in[row, 1]), float(where.reach_in[row, 2])
    rate = float(plants.number["spread_high_ft_yr"][row]) * pond.growing_season.rate_factor

    def out(at: int) -> tuple[float, float]:
        near, far = (max(0.0, float(where.width[row, q, at] - where.dry[row, q, at])) for q in (1, 2))
        return near, far

    if plants.word["growth_form"][row] == "free-floating":
        kind = Stops.FLOATS
    elif rate <= STILL_FT_YR and high > 0:
        kind = Stops.STILL
    elif high <= 0:
        kind = Stops.WATERLINE
    elif high >= pond.max_depth_in:
        kind = Stops.NOTHING
    else:
        kind = Stops.DEPTH
    return EdgeStop(
        kind=kind,
        stretch=pond.shore[stretch].name,
        depth_in=(max(typical, 0.0), high),
        out_ft=out(stretch),
        round_ft=tuple((pond.shore[s].name, *out(s)) for s in good),
        ten_years_ft=rate * 10.0,
        jumps=_jumps(plants, row),
        set_in=set_in,
        bared=0 < high <= pond.usual_drop_in,
    )


def _jumps(plants: Traits, row: int) -> str:
    """How a plant leaves its place; empty for one that does not."""
    if plants.word["jump"][row] not in ("low", "high"):
        return ""
    seeds = plants.has["jump_by"].get("seed")
    return "sows itself" if seeds is not None and seeds[row] else "starts new colonies"


def _span(low: float, high: float) -> str:
    first, last = f"{low:.0f}", f"{high:.0f}"
    return first if first == last else f"{first} to {last}"


def _round(value: float) -> str:
    return f"{value:,.0f}" if value < 100 else f"{round(value, -1):,.0f}"


def _count(number: int, word: str) -> str:
    return f"{number} {word}" if number == 1 else f"{number} {word}s"
