"""How many groups of which plant go where: candidates from the ranking, an integer program, and what it found.

docs/method.md, "Planting", gives the model. *Cover* is fish cover: water at full pool under plants that have a value
for fish cover, trees and shrubs aside; brush in place is taken off the target.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

import numpy as np

from plantpick.catalogue.plants import Catalogue
from plantpick.planting.billing import bill
from plantpick.planting.candidates import (
    BANK_GROUP_FT,
    CAP_YEARS,
    GAP_FT,
    PICKED,
    Stock,
    build_problem,
    by_stretch,
    select_candidates,
)
from plantpick.planting.choice import ANY, Choice
from plantpick.planting.coverage import CAUTIOUS, PESSIMISTIC, TYPICAL, covered
from plantpick.planting.guards import GuardKind, guard_of
from plantpick.planting.layout import lay_out
from plantpick.planting.model import Chosen, Group, Levels, Plan, PlanChances, RunnerUp, Wishes, check_wishes
from plantpick.planting.offered import Offered
from plantpick.planting.places import Layout
from plantpick.planting.prices import MEASURES
from plantpick.planting.problem import Places, PlantingProblem
from plantpick.planting.relax import Solution, solve_or_relax
from plantpick.planting.runners_up import hard_to_find, never_replaced, stand_ins
from plantpick.planting.simulation import over_cap, shares, simulate, takeover_points
from plantpick.planting.solver import Stop, never
from plantpick.planting.wish_report import advice, wish_list
from plantpick.pond.model import Pond
from plantpick.ranking import containment
from plantpick.ranking import rank as ranking
from plantpick.ranking.cautions import pond_cautions
from plantpick.ranking.takeover import YEARS, percents

TIME_LIMIT = 10.0
LEAST_SEARCH = 5.0  # seconds by the clock that the search has in any case
LEAST_HALF = 2.0  # seconds of search that are not halved where it may have to begin again
COMPARED = (3, 5, 8)  # years in which plans are laid side by side
REFUSED = 3  # times that plants nobody could stand in for are left out and the plan made again
TIGHTENED = 4  # times that the limits are tightened where the planting passes one in the draws, or the tape has no room for it
TIGHTER = 1.01  # of the limit that a planting refused by the draws is said to take: a hair more than the limit itself


def plan(
    pond: Pond,
    catalogue: Catalogue,
    wishes: Wishes = Wishes(),
    *,
    offered: Offered | None = None,
    next_door: bool = False,
    picked: int = PICKED,
    time_limit: float = TIME_LIMIT,
    within: float = 0.0,
    choice: Choice = ANY,
    stop: Stop = never,
    clock: Callable[[], float] | None = None,
) -> Plan:
    """The cheapest planting that meets the wishes, or the nearest one and the wish that stands in the way. Never one that is
    worse than plain greed finds (greedy.py), however little time there is.

    With `offered` only its plants are used, at its prices. `time_limit` is about what the solver
    may take, in seconds; it ends sooner once the cost is known to be within `within` per cent of the least, or once `stop` says
    so: the plan is then the best so far. With a `clock`, which tells seconds, all of it ends about then, whatever else
    took time, though the search has its LEAST_SEARCH. `choice` names plants that you want, don't want, or can get. A plant on
    no list of plants sold is planned on only where one that is sold could stand in for it.
    Raises PlantpickError `wishes` for numbers out of range, `not-to-be-planted` for plants wanted that cannot be had here, and
    `no-candidates` when no plant is left.
    """
    check_wishes(wishes)
    pond = pond.with_risk(wishes.risk)
    if wishes.cap is not None:  # what fits and what has to be held depends on the cap
        pond = pond.with_tolerance(wishes.cap)
    wishes = wishes.for_pond(pond)
    begun = clock() if clock is not None else 0.0
    ranked = ranking.rank(pond, catalogue, next_door=next_door, places=False)
    known = offered is not None or choice.only is not None  # where to get them: no list of sellers is asked
    seconds = time_limit
    enough = stop
    for _ in range(REFUSED):
        stock = select_candidates(pond, catalogue, ranked, offered, picked, choice)
        reserve = select_candidates(pond, catalogue, ranked, offered, None, choice)
        problem, wider = build_problem(stock, wishes), build_problem(reserve, wishes)
        alone = set() if known else never_replaced(stock, problem, reserve, wider)
        if alone:
            choice = replace(choice, without=(*choice.without, *sorted(alone)))
            stock = select_candidates(pond, catalogue, ranked, offered, picked, choice)
            problem = build_problem(stock, wishes)
        if not known and any(hard_to_find(stock, r.plant_id) for r in stock.ranked):
            # what is found may have to be found again, without them
            seconds = min(seconds, max(time_limit / 2.0, LEAST_HALF))
        if clock is not None:
            enough = ended_by(stop, clock, max(begun + time_limit, clock() + LEAST_SEARCH))
        set_out = solve_and_set_out(problem, stock, wishes, seconds, within / 100.0, enough)
        problem, solution = set_out.problem, set_out.solution
        reserves = [(reserve, wider)]
        if offered is not None:  # what the nursery does not have others may
            rest = select_candidates(pond, catalogue, ranked, None, None, replace(choice, only=None))
            reserves.append((rest, build_problem(rest, wishes)))
        instead = stand_ins(stock, problem, reserves, solution.answer.groups)
        alone = {
            plant_id
            for plant_id, others in instead.items()
            if hard_to_find(stock, plant_id) and not any(r.sold for r in others)
        }
        if known or not alone:
            break
        choice = replace(choice, without=(*choice.without, *sorted(alone)))
        seconds = time_limit / REFUSED
    made = describe(stock, problem, wishes, solution, ranked, instead, offered, set_out)
    planted = [catalogue.plant(c.ranked.plant_id) for c in made.chosen]
    return replace(made, bill=bill(made, catalogue), cautions=pond_cautions(pond, planted, named=True))


def ended_by(stop: Stop, clock: Callable[[], float], end: float) -> Stop:
    """Says so when `stop` does, or when it is that late."""
    return lambda: stop() or clock() >= end


@dataclass(frozen=True, kw_only=True)
class SetOut:
    """A planting found, the problem with the limits that it took, where its groups stand on the tape, and each plant's share of the
    surface after ten untended years, draw by draw."""

    problem: PlantingProblem
    solution: Solution
    layout: Layout
    ten_years: np.ndarray


def solve_and_set_out(
    problem: PlantingProblem, stock: Stock, wishes: Wishes, seconds: float, within: float, stop: Stop
) -> SetOut:
    """The best planting that keeps the limits in the draws and has room on the tape, and the problem with the limits that this took.

    A planting that the draws or the tape refuse is refused in the problem, too, and the search goes on from there."""
    solution, left = solve_or_relax(problem, stock, wishes, seconds, within, stop), TIGHTENED
    while True:
        groups = solution.answer.groups
        ten_years = shares(stock, by_stretch(stock, problem.places, groups), CAP_YEARS)
        tighter = tightened(stock, problem, groups, ten_years) if left else None
        if tighter is None:
            layout = lay_out(stock.pond, group_rows(stock, problem, groups)[1])
            tighter = what_fits(stock, problem, groups, layout) if left else None
            if tighter is None:
                return SetOut(problem=problem, solution=solution, layout=layout, ten_years=ten_years)
        problem, left = tighter, left - 1
        again = solve_or_relax(problem, stock, wishes, seconds / TIGHTENED, within, stop, begun=groups)
        solution = at_least(again, solution)


def at_least(solution: Solution, wider: Solution) -> Solution:
    """A solution of a problem with more limits, with what is known of the least cost under fewer: it is no cheaper."""
    answer, bound = solution.answer, wider.answer.bound
    if not (solution.met and wider.met and answer.gap is None and np.isfinite(bound)):
        return solution
    gap = max(0.0, answer.value - bound) / max(abs(answer.value), 1e-9)
    return replace(solution, answer=replace(answer, gap=gap, bound=bound))


def tightened(
    stock: Stock, problem: PlantingProblem, numbers: np.ndarray, ten_years: np.ndarray | None = None
) -> PlantingProblem | None:
    """The problem with the straight lines of the plants that pass the limit in more draws than the owner's risk brought so close
    that this planting is refused; None where none does. `ten_years` are the plants' shares after ten years, where these were drawn."""
    groups = by_stretch(stock, problem.places, numbers)
    passes, _ = over_cap(stock, groups, ten_years)
    over = passes.mean(axis=1) > stock.pond.risk_percent / 100.0 + 1e-9
    if not over.any():
        return None
    held = problem.ground.held(groups)
    share = np.where(over, np.maximum(held, problem.limits.cap) * TIGHTER, held)
    return replace(problem, ground=problem.ground.scaled_to(groups, share, only=over))


def what_fits(
    stock: Stock, problem: PlantingProblem, numbers: np.ndarray, layout: Layout
) -> PlantingProblem | None:
    """The problem with no more groups at a place than the tape has room for, where these are laid out; None where all have their
    place."""
    used, _ = group_rows(stock, problem, numbers)
    if not layout.unplaced:
        return None
    places = problem.places
    stood = numbers.astype(float)
    for left in layout.unplaced:
        stood[used[left.entry]] -= len(left.numbers)
    slope = np.array([s.slope for s in stock.pond.stretches])[places.stretch]
    out, spacing = places.depth_in / 12.0 * slope, stock.traits.number["spacing_in"][places.plant]
    most = places.most.copy()
    for left in layout.unplaced:  # what would stand in the same ground has no room either
        full = used[left.entry]
        near = np.abs(out - out[full]) < (spacing + spacing[full]) / 24.0
        shares = near & (places.stretch == places.stretch[full])
        most = np.where(shares, np.minimum(most, stood), most)
    return replace(problem, places=replace(places, most=most))


def _fenced(stock: Stock, problem: PlantingProblem, k: int) -> bool:
    """Whether a group at place `k` has a cage or a ring of wire round it."""
    i = problem.places.plant[k]
    guard = guard_of(
        stock.pond.residents,
        stock.ranked[i].growth_form,
        stock.eaten_by[i],
        depth_in=float(problem.places.depth_in[k]),
        each=int(stock.traits.group[i]),
        spacing_in=float(stock.traits.number["spacing_in"][i]),
    )
    return guard is not None and guard.kind in (GuardKind.CAGE, GuardKind.WIRE)


def group_rows(
    stock: Stock, problem: PlantingProblem, numbers: np.ndarray
) -> tuple[list[int], tuple[Group, ...]]:
    """The places used, by stretch and depth, and the groups there; they have no names yet."""
    places, plants = problem.places, stock.traits
    used = sorted(
        np.flatnonzero(numbers).tolist(),
        key=lambda k: (places.stretch[k], places.depth_in[k], places.plant[k]),
    )
    return used, tuple(
        Group(
            plant_id=stock.ranked[places.plant[k]].plant_id,
            stretch=stock.pond.stretches[places.stretch[k]].name,
            band=str(places.band[k]),
            depth_in=float(places.depth_in[k]),
            number=int(numbers[k]),
            each=int(plants.group[places.plant[k]]),
            spacing_in=float(plants.number["spacing_in"][places.plant[k]]),
            site=float(places.site[k]),
            fenced=_fenced(stock, problem, k),
        )
        for k in used
    )


def describe(
    stock: Stock,
    problem: PlantingProblem,
    wishes: Wishes,
    solution: Solution,
    ranked: ranking.Ranking,
    instead: Mapping[str, tuple[RunnerUp, ...]] | None = None,
    offered: Offered | None = None,
    set_out: SetOut | None = None,
) -> Plan:
    """The plan in the owner's words and numbers. `instead` are those that can stand in for each plant chosen; `set_out` is what was
    worked out of this planting before."""
    pond, plants, places = stock.pond, stock.traits, problem.places
    answer, loosened, met = solution.answer, solution.loosened, solution.met
    numbers = answer.groups
    groups, wet = by_stretch(stock, places, numbers), by_stretch(stock, places, numbers, True)
    cover: dict[int, Levels] = {}
    stands: dict[int, Levels] = {}
    water: dict[int, Levels] = {}
    ten_years = set_out.ten_years if set_out is not None else shares(stock, groups, CAP_YEARS)
    takeover = takeover_points(stock, groups, sorted({*YEARS, *COMPARED, wishes.year}), ten_years)
    level = CAUTIOUS if wishes.count == "cautious" else TYPICAL
    there = stock.standing_cover(wishes.year, level, fish=True)
    # the search counts what is to be planted; the owner what stands there in all
    solution = replace(
        solution,
        goal=there + solution.goal,
        most=None if solution.most is None else there + solution.most,
    )
    told = simulate(
        stock,
        groups,
        wet,
        year=wishes.year,
        cover=there + problem.limits.cover if wishes.cover is not None else solution.goal,
        upper=wishes.upper / 100.0,
        ten_years=ten_years,
    )
    low_pool = 0.0
    everything = np.ones(len(plants), dtype=bool)
    for year in sorted({*YEARS, *COMPARED, wishes.year}):
        low, typical, high = (
            100 * stock.standing_cover(year, count, fish=True) for count in (CAUTIOUS, TYPICAL, PESSIMISTIC)
        )
        stands[year] = low, typical, high
        for span, which in ((cover, stock.fish), (water, everything)):
            sheltering = which is stock.fish
            by_count = [
                stock.chances(year, level, fish=sheltering) for level in (CAUTIOUS, TYPICAL, PESSIMISTIC)
            ]
            low, typical, high = (
                100
                * covered(
                    stock.cells,
                    at,
                    g,
                    count,
                    which,
                    stock.bare_of_standing(year, count, fish=sheltering),
                )
                for count, (at, g) in enumerate(zip(by_count, (wet, wet, groups)))
            )
            span[year] = low, typical, high
        if year == wishes.year:
            deep = np.append(stock.cells.edges[:-1] >= pond.usual_drop_in, True)
            lower = replace(stock.cells, least=stock.cells.least * deep)
            bare = stock.bare_of_standing(year, TYPICAL, fish=True)
            shelter = stock.chances(year, TYPICAL, fish=True)
            low_pool = 100 * covered(lower, shelter, wet, TYPICAL, stock.fish, bare)
    living = stock.plants_living(1.0)
    _, unnamed = group_rows(stock, problem, numbers)
    layout = lay_out(pond, unnamed) if set_out is None else set_out.layout
    rows = tuple(replace(group, numbers=layout.numbers(entry)) for entry, group in enumerate(unnamed))
    chosen = []
    for i in np.flatnonzero(groups.sum(axis=1)).tolist():
        number = int(groups[i].sum())
        count = number * int(plants.group[i])
        extra = count * sum(MEASURES[m].middle for m in stock.measures[i] if m in MEASURES)
        chore = containment.chore(plants, i, pond, stock.measures[i], number) if stock.measures[i] else ""
        chosen.append(
            Chosen(
                ranked=stock.ranked[i],
                groups=number,
                plants=count,
                price=float(stock.price[i]),
                price_known=bool(stock.known[i]),
                asked=stock.asked[i],
                measures=stock.measures[i],
                measure_cost=extra,
                chore=chore,
                takeover={year: percents(points[i]) for year, points in takeover.items()},
                chance_over_cap=float(told.over_cap[i]),
                living=_levels(plants.group[i] * (groups[i] @ living[i])),
                cover=100 * float((wet[i] * problem.each[i]).sum()) if stock.fish[i] else 0.0,
                runners_up=(instead or {}).get(stock.ranked[i].plant_id, ()),
            )
        )
    chosen.sort(key=lambda c: (-c.cover, -c.groups, c.ranked.plant_id))
    outcome = wish_list(stock, problem, wishes, numbers, cover, water, chosen, loosened, told)
    return Plan(
        pond=pond,
        wishes=wishes,
        groups=rows,
        layout=layout,
        chosen=tuple(chosen),
        cover=cover,
        there=stands,
        water=water,
        cover_low_pool=low_pool,
        chances=PlanChances(
            cover_reached=told.cover_reached if rows else 0.0,
            any_over_cap=told.any_over_cap,
            over_upper=told.over_upper,
        ),
        outcome=outcome,
        met=met and bool((told.over_cap <= pond.risk_percent / 100.0 + 1e-9).all()),
        status=answer.status,
        gap=answer.gap,
        most_cover=None if solution.most is None else 100 * solution.most,
        goal_cover=100 * solution.goal,
        candidates=len(stock.ranked),
        search_cost=float(numbers @ places.cost),
        trim_ft2=float(numbers @ places.trim_ft2),
        offered=offered,
        ranking=ranked,
        advice=advice(outcome, wishes, pond, cover, solution),
        assumptions=assumptions(stock, wishes, problem.places),
    )


def _levels(values: np.ndarray) -> Levels:
    low, typical, high = (float(v) for v in values)
    return low, typical, high


def assumptions(stock: Stock, wishes: Wishes, places: Places) -> tuple[str, ...]:
    """What the plan assumes, in sentences; `places` are all that it could choose from."""
    known, pond_risk = bool(stock.known.any()), stock.pond.risk_percent
    said = [
        "Cover is fish cover: water at full pool under plants that shelter fish. Trees and shrubs, and groups set above "
        "the waterline, don't count; brush in place comes off the target.",
        f"The {wishes.count} count {'should come near the most' if wishes.cover is None else 'must reach your cover'} by year "
        f"{wishes.year}. Cautious: low rates, groups at random, "
        f"nothing jumps. Your limit for one plant holds after ten untended years but for a chance of {pond_risk:g} %; the limit "
        "for all together holds if growth is fast, as it is in one case of ten: high rates, groups that never overlap, and all that jumps.",
        f"Groups stand {GAP_FT:g} ft apart, each in its own band; one group of bank holders for every "
        f"{BANK_GROUP_FT:.0f} ft of shore, and one group for every other purpose on each stretch (judgement).",
        f"Candidates: {len(stock.ranked)} plants, "
        + (
            "offered, fitting, and the best of those if they are many."
            if known
            else "the best ranked for each purpose, graded good or better."
        )
        + " Plants to ask about first (unsure whether native here, or on an advisory list) are left out.",
    ]
    drop = stock.pond.usual_drop_in
    if drop > 0:
        said.append(
            f"What lives under water or floats shelters fish where water stands at low pool, {drop:g} in down, and nowhere else: we "
            "count none of it above that. Stems of other plants count as far as full pool reaches."
        )
    forms = {stock.ranked[i].growth_form for i in places.plant.tolist()}
    if "fish cover" in stock.pond.purposes and "submersed" not in forms:
        said.append(
            "No plant that lives under water is planned: none has a good place here"
            + (" that keeps its water at low pool." if drop > 0 else ".")
        )
    said.append(
        "Prices: "
        + ("the offer's; where it names none, and without one, " if known else "")
        + "what published lists ask for the plant, with their years, where any was seen; else what such plants were sold for "
        "elsewhere; else our judgement. The search counts with the middle of each range, with the top of it for a plant that no list "
        "has, and with a cage or ring of its own for every group that needs one. These are figures for comparing plans: ask for prices before you buy."
    )
    return tuple(said)
