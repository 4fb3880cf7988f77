"""What giving way buys: five plans from a handful of plants to the most, and what one looser limit would add.

Each plan goes for the most cover that its number of plants allows, under the owner's limits. More plants never give less cover
on the count that is promised: a search that ran out of time and found less takes the plan before it, which its number allows too.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from plantpick.catalogue.plants import Catalogue
from plantpick.planting import plan as planting
from plantpick.planting.bill import Work
from plantpick.planting.model import Plan, Wishes
from plantpick.pond.model import Pond
from plantpick.units import percent
from plantpick.vocabulary import RISKS_PERCENT, TOLERANCES

STEPS = 5
HANDFUL = 21  # plants: three groups of seven
STRICT_PERCENT = 1.5  # less cover than that and the owner has to know it first: judgement


@dataclass(frozen=True, kw_only=True)
class Step:
    """One of the plans: `most` plants were allowed."""

    most: int
    plan: Plan

    @property
    def yearly_hours(self) -> tuple[float, float]:
        """Hours of one person that trimming, tubs and seed heads take every year, least and most."""
        return self.plan.bill.time(Work.YEARLY)


@dataclass(frozen=True, kw_only=True)
class Change:
    """One limit widened, by the name of its wish, from what to what, and the plan that comes of it."""

    key: str
    before: float
    after: float
    plan: Plan


@dataclass(frozen=True, kw_only=True)
class GivingWay:
    """The five plans, from the fewest plants on, and, where the limits leave next to no cover, what one wider limit gives: the one
    that gives most first."""

    steps: tuple[Step, ...]
    changes: tuple[Change, ...] = ()


def promised(plan: Plan) -> float:
    """The cover that the planting adds by the wishes' year, per cent of the surface, by the count that is promised."""
    return plan.added(plan.wishes.year)[0 if plan.wishes.count == "cautious" else 1]


def strict(plan: Plan) -> bool:
    """Whether so little cover can be had that the owner has to know it first."""
    return promised(plan) < STRICT_PERCENT


def plant_numbers(most: int) -> tuple[int, ...]:
    """Five numbers of plants from a handful to the most, each about as many times the one before; fewer where that is few."""
    if most <= HANDFUL:
        return (most,)
    factor = (most / HANDFUL) ** (1.0 / (STEPS - 1))
    between = (7 * round(HANDFUL * factor**k / 7) for k in range(1, STEPS - 1))
    return tuple(sorted({HANDFUL, *(n for n in between if HANDFUL < n < most), most}))


def giving_way(
    pond: Pond,
    catalogue: Catalogue,
    wishes: Wishes = Wishes(),
    *,
    tell: Callable[[int, int], None] = lambda done, of: None,
    **options,
) -> GivingWay:
    """The five plans. `options` are those of `planting.plan`: `time_limit` holds for each of the plans, `stop` ends them all early.
    `tell` is called with how many are done, of how many. A pond that wants no fish cover has nothing to compare: no steps."""
    if "fish cover" not in pond.purposes or wishes.cover == 0:
        return GivingWay(steps=())
    stop = options.get("stop", lambda: False)
    free = replace(pond, cover_target_percent=None)  # as much as the limits allow
    asked = replace(wishes, cover=None)
    tell(0, STEPS)
    top = planting.plan(free, catalogue, asked, **options)
    numbers = plant_numbers(min(top.plants, wishes.plants or top.plants))
    changes = _wider(free, asked, top) if strict(top) else ()
    done, total = 1, len(numbers) + len(changes)
    tell(done, total)
    steps: list[Step] = []
    for most in numbers[:-1]:
        if stop():
            break
        made = planting.plan(free, catalogue, replace(asked, plants=most), **options)
        done += 1
        tell(done, total)
        if steps and promised(made) < promised(steps[-1].plan):
            made = steps[-1].plan
        steps.append(Step(most=most, plan=made))
    best = max((top, *(s.plan for s in steps)), key=promised)
    steps.append(Step(most=numbers[-1], plan=top if promised(top) >= promised(best) else best))
    found = []
    for key, before, after, wider in changes:
        if stop():
            break
        made = planting.plan(free, catalogue, wider, **options)
        done += 1
        tell(done, total)
        if promised(made) > promised(top) + 0.05:
            found.append(Change(key=key, before=before, after=after, plan=made))
    found.sort(key=lambda c: -promised(c.plan))
    return GivingWay(steps=tuple(steps), changes=tuple(found))


def _wider(pond: Pond, wishes: Wishes, top: Plan) -> tuple[tuple[str, float, float, Wishes], ...]:
    """Each limit one step wider: the next tolerance, twice the risk, twice the plants, twice the edge to cut."""
    cap, risk = top.wishes.cap or pond.cap_percent, top.wishes.risk or pond.risk_percent
    larger = [p for p in sorted(TOLERANCES.values()) if p > cap]
    ways: list[tuple[str, float, float, Wishes]] = []
    if larger:
        ways.append(("cap", cap, larger[0], replace(wishes, cap=larger[0])))
    twice = min(2.0 * risk, RISKS_PERCENT[1])
    if twice > risk:
        ways.append(("risk", risk, twice, replace(wishes, risk=twice)))
    if wishes.plants is not None and top.plants > 0.9 * wishes.plants:
        ways.append(("plants", wishes.plants, 2 * wishes.plants, replace(wishes, plants=2 * wishes.plants)))
    if any(w.key == "trim" and w.binds for w in top.outcome):
        ways.append(("trim", wishes.trim, 2 * wishes.trim, replace(wishes, trim=2 * wishes.trim)))
    return tuple(ways)


CHANGED = {
    "cap": "let one plant take {after:g} % of the surface instead of {before:g} %",
    "risk": "accept a chance of {after:g} % instead of {before:g} % that a plant passes your limit",
    "plants": "set up to {after:,.0f} plants instead of {before:,.0f}",
    "trim": "cut back up to {after:,.0f} sq ft of edge a year instead of {before:,.0f}",
}


def change_words(change: Change) -> str:
    """One wider limit and what it gives, in a sentence that follows "If you"."""
    what = CHANGED[change.key].format(before=change.before, after=change.after)
    year = change.plan.wishes.year
    return f"{what}, plants can give {percent(promised(change.plan))} % of cover by year {year} ({change.plan.plants:,} plants)"
