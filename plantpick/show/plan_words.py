"""The sentences about a plan that the terminal, the page and the table share."""

from __future__ import annotations

import math
from collections.abc import Sequence

from plantpick.catalogue.availability import BOUGHT_MEANS, BOUGHT_WORDS, NOT_SEEN, SELDOM, bought
from plantpick.planting.bill import Item
from plantpick.planting.giving_way import promised, strict
from plantpick.planting.guards import IN_WATER
from plantpick.planting.model import Chosen, Group, Plan, RunnerUp
from plantpick.planting.problem import Status
from plantpick.planting.wish_report import amount, asked_for, holding_words
from plantpick.pond.model import stretch_words
from plantpick.ranking.chances import chance_words
from plantpick.ranking.containment import in_words
from plantpick.ranking.draws import SEED
from plantpick.ranking.grows_there import First
from plantpick.show.bill_words import hours_in_short, total
from plantpick.units import depth_words, percent, percents_that_agree

BRUSH_PILE_FT2 = 400.0  # a pile of 20 x 20 ft
FEW_PILES = 10  # what two people sink in a weekend or two: judgement
LIMITS = ("cap", "upper", "plants", "budget", "trim", "mix", "share")  # wishes that hold the cover down
HOW_BOUGHT = (
    "How easily each is bought stands in brackets; "
    + "; ".join(f"{BOUGHT_WORDS[word]}: {BOUGHT_MEANS[word]}" for word in (SELDOM, NOT_SEEN))
    + "."
)
NOTHING = "Nothing can be planted within these limits: not one group fits. See below which limit stands in the way and how far it has to give."
ORDINALS = ("first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth")


def in_short(plan: Plan, more_time: str = "") -> tuple[str, ...]:
    """The plan in a few sentences, what matters most first. `more_time` says how to give the solver more time, where that may
    help."""
    if not plan.groups:
        return (NOTHING,)
    groups = sum(g.number for g in plan.groups)
    strict = how_strict(plan)
    return (
        *([strict] if strict else []),
        cover_words(plan),
        *([brush] if (brush := brush_words(plan)) else []),
        *([dry] if (dry := dry_words(plan)) else []),
        f"You set {_count(plan.plants, 'plant')} of {_count(len(plan.chosen), 'kind')} in {_count(groups, 'group')}, {money(plan)}.",
        hours_in_short(plan.bill),
        chances_words(plan),
        how_sure(plan, more_time),
        *([lacking] if (lacking := measure_first(plan)) else []),
    )


def measure_first(plan: Plan) -> str:
    """What was not given and may turn the plan: how far the water drops, and how clear it is. Empty where both were."""
    pond = plan.pond
    lacks = [
        words
        for words, missing in (
            ("how far the water drops in a dry summer", not pond.drop_known),
            ("how clear it is (a Secchi reading)", pond.clarity_in is None),
        )
        if missing
    ]
    return (
        f"Measure first, before you buy: {' and '.join(lacks)}. You gave none, and it can turn this plan."
        if lacks
        else ""
    )


def _count(number: int, word: str) -> str:
    return f"{number:,} {word}{'' if number == 1 else 's'}"


def cover_words(plan: Plan) -> str:
    """The fish cover of the wishes' year in square feet and per cent of the surface, beside brush."""
    pond, year = plan.pond, plan.wishes.year
    cover = plan.cover[year]
    if cover[2] <= 0:
        return "You want no fish cover of these plants."
    slow, typical, fast = (square_feet(share / 100.0 * pond.area_ft2) for share in cover)
    low, mid, high = (percent(share) for share in cover)
    said = (
        f"By the {ORDINALS[year - 1]} summer: about {slow} sq ft of fish cover if growth is slow, {typical} typically, {fast} if fast "
        f"({low}, {mid} and {high} % of the surface)."
    )
    if plan.there[year][2] > 0:
        already = square_feet(plan.there[year][0] / 100.0 * pond.area_ft2)
        added = plan.added(year)
        said += (
            f" {already} sq ft of it ({percent(plan.there[year][0])} %) grow there already, by the slow count; what you plant adds "
            f"{square_feet(added[0] / 100.0 * pond.area_ft2)} ({percent(added[0])} %)."
        )
    if pond.brush_percent:
        said += f" You have brush on {pond.brush_percent:g} % of the surface beside it."
    if pond.usual_drop_in:
        said += f" Of the typical cover, {percent(plan.cover_low_pool)} % of the surface still stands in water at low pool."
    return said


def brush_words(plan: Plan) -> str:
    """How many brush piles are as much cover; plainly what to do for the fish where a few are. Empty where no cover is planted."""
    cover = plan.added(plan.wishes.year)
    if cover[2] <= 0:
        return ""
    slow, fast = (
        max(1, math.ceil(cover[i] / 100.0 * plan.pond.area_ft2 / BRUSH_PILE_FT2 - 1e-9)) for i in (0, 2)
    )
    piles = f"{slow:,} pile{'' if slow == 1 else 's'} of 20 x 20 ft"
    if slow <= FEW_PILES:
        much = f", {fast:,} as much as if it is fast" if fast > slow else ""
        return (
            f"For fish, sink brush: {piles} {'is' if slow == 1 else 'are'} at once as much cover as these plants give if growth is slow"
            f"{much}."
        )
    return f"Brush would do the same at once: {piles} if growth is slow, {fast:,} if fast."


def dry_words(plan: Plan) -> str:
    """Plants that live under water or float, and are set where there is none at low pool. Empty where there are none."""
    left_dry = stands_dry(plan)
    if not left_dry:
        return ""
    forms = {c.ranked.plant_id: c.ranked for c in plan.chosen}
    names = ", ".join(dict.fromkeys(forms[g.plant_id].common_name for g in left_dry))
    number = sum(g.number for g in left_dry)
    return (
        f"{number} group{'' if number == 1 else 's'} of plants that live in water stand{'s' if number == 1 else ''} dry at low pool "
        f"({names}). Expect the tops to die back in a dry summer; our cover counts nothing there."
    )


def stands_dry(plan: Plan) -> list[Group]:
    """The entries of plants that live under water or float, set where the water is gone at low pool."""
    forms = {c.ranked.plant_id: c.ranked.growth_form for c in plan.chosen}
    drop = plan.pond.usual_drop_in
    return [g for g in plan.groups if forms[g.plant_id] in IN_WATER and drop > 0 and g.depth_in <= drop]


def how_strict(plan: Plan) -> str:
    """Where the limits leave next to no cover: what there can be, what holds it there, and what has to give. Empty elsewhere."""
    wished = plan.wishes.cover
    got = promised(plan)
    if not strict(plan) or wished == 0 or (wished is not None and plan.met):
        return ""
    holding = [holding_words(w) for w in plan.outcome if w.binds and w.met and w.key in LIMITS]
    gives = [
        w
        for w in plan.outcome
        if w.key in LIMITS and w.most and w.loosened is not None and w.got < w.loosened - 1e-6
    ]
    said = f"Your limits are strict: new plants can give you only {percent(got)} % of cover, so don't count on them for your fish."
    if gives:
        said += f" The least change that gives you all of it: {gives[0].name}: {amount(gives[0].loosened or 0.0, gives[0].unit)} instead of {asked_for(gives[0])}."
    elif holding:
        said += f" What holds it there: {'; '.join(holding)}."
    return said


def square_feet(area: float) -> str:
    """Square feet as an owner says them: to the nearest ten, fifty or five hundred."""
    step = 10 if area < 500 else 50 if area < 10_000 else 500
    return f"{max(step, round(area / step) * step):,}" if area > 0 else "0"


def money(plan: Plan) -> str:
    """What it all costs."""
    bill = plan.bill
    guards = " with their guards" if bill.guards else ""
    more = " and other lines to fill in" if len(bill.to_fill_in) > 1 else ""
    return f"{total(bill)}{guards}; delivery{more} come{'' if more else 's'} on top"


def another_run(plan: Plan) -> str:
    """How to tell this plan from another, and that another run may find another."""
    told = f"This is plan {plan.mark}, from draws with the seed {SEED}"
    if plan.status is Status.PROVED:
        return f"{told}. Its mark stands on every sheet."
    return (
        f"{told}. The search ends by the clock: another run, or a busier computer, may find another plan. Its mark stands on every sheet: "
        "keep them together, and plant by one plan."
    )


def fence_first(plan: Plan) -> str:
    """What to do before anything else where stock comes to the water; empty elsewhere."""
    feet = next((line.number for line in plan.bill.lines if line.item is Item.FENCE), 0.0)
    if not feet:
        return ""
    names = ", ".join(dict.fromkeys(group.stretch for group in plan.groups))
    return (
        f"Fence the stock out first: {feet:,.0f} ft, back from the bank of {names}. Stock treads every row to mud, whatever it eats. "
        "Close the fence at both ends, and give the stock its water elsewhere"
    )


def instead(plant: Chosen) -> str:
    """What to buy in place of a plant that you can't get."""
    name = plant.ranked.common_name
    if not plant.runners_up:
        return f"{name}: nothing else does its work there"
    others = " or ".join(_stand_in(r) for r in plant.runners_up)
    return f"{name} ({bought(plant.ranked.availability)}): {others}"


def protected_lines(plan: Plan) -> list[str]:
    """What lists of protected plants say of those to buy, and of those to buy instead."""
    ranked = [r for c in plan.chosen for r in (c.ranked, *(other.ranked for other in c.runners_up))]
    said = {r.plant_id: f"{r.common_name}: {r.protection}" for r in ranked if r.protection}
    return list(said.values())


def _stand_in(other: RunnerUp) -> str:
    lacks = [
        f"{100 * part:.0f} % of {what}"
        for part, what in ((other.part, "the places"), (other.cover, "the cover"))
        if part < 0.995
    ]
    held = [f"held by {in_words(other.measures)}"] if other.measures else []
    wild = ["protected where it grows wild: buy it nursery-grown"] if other.ranked.protection else []
    how = "; ".join((bought(other.ranked.availability), _set_at(other.depths_in), *held, *lacks, *wild))
    return f"{other.plants:,} {other.ranked.common_name} ({how})"


def _set_at(depths_in: Sequence[float]) -> str:
    """The depths to set a plant at, in one phrase."""
    if len(depths_in) > 1 and depths_in[0] > 0:
        return f"{depths_in[0]:.0f} to {depths_in[-1]:.0f} in deep, as the rows it stands in for"
    return " or ".join(depth_words(depth) for depth in depths_in)


def every_year(plan: Plan) -> list[str]:
    """The work that holds each plant, and what grows there already, a line each."""
    own = [f"{c.ranked.common_name}: {c.chore}" for c in plan.chosen if c.chore]
    there = [
        f"{kind.common_name}, which grows on {stretch_words(*kind.stretches)} already: cut its edge back to the size it has "
        f"{'now' if kind.first is First.HOLD else 'once it is back within your limit'}"
        for kind in plan.ranking.grows_there
        if kind.first in (First.CUT_BACK, First.HOLD)
    ]
    return own + there


def alive(plant: Chosen) -> str:
    """How many of one plant's number stand after a year, in a few letters."""
    low, typical, high = plant.living
    return f"{typical:.0f} ({low:.0f} to {high:.0f})"


def standing(plant: Chosen) -> str:
    """How many of one plant's number stand after a year."""
    low, typical, high = plant.living
    return (
        f"{plant.ranked.common_name}: of {plant.plants:,} set about {typical:.0f} ({low:.0f} to {high:.0f})"
    )


def chances_words(plan: Plan) -> str:
    """The chances that the whole planting carries, simulated with everything set together."""
    told, year = plan.chances, plan.wishes.year
    held = (
        "; what grows there already held as said below"
        if any(k.held for k in plan.ranking.grows_there)
        else ""
    )
    asked = plan.goal_cover if plan.wishes.cover is None else plan.wishes.cover
    cover = (
        f"The cover of {percent(asked)} % is there by year {year}: {chance_words(told.cover_reached)}. "
        if asked
        else ""
    )
    return (
        f"{cover}Some plant passes your {plan.wishes.cap:g} % of the surface within ten years: {chance_words(told.any_over_cap)} (the "
        f"{plan.wishes.risk:g} % that you accept is for each plant by itself{held}). All together pass {plan.wishes.upper:g} %: "
        f"{chance_words(told.over_upper)}."
    )


def how_sure(plan: Plan, more_time: str = "") -> str:
    """What is known of the plan: proved, bounded, or just the best found so far."""
    longer = f" ({more_time})" if more_time else ""
    among = f"among {plan.candidates} candidates"
    if plan.met and plan.wishes.cover is not None:
        if plan.status is Status.PROVED:
            return f"At these prices no planting {among} that meets all your wishes is cheaper."
        if plan.gap is not None and plan.gap < 1:
            return (
                f"This is the cheapest planting at these prices found so far {among} that meets all your wishes. "
                f"None can cost over {100 * plan.gap:.2g} % less."
            )
        return (
            f"This is the cheapest planting at these prices found so far {among} that meets all your wishes. A cheaper one may exist: "
            f"we do not know the least cost yet{longer}."
        )
    got = plan.cover[plan.wishes.year][0 if plan.wishes.count == "cautious" else 1]
    most = ""
    if (
        plan.most_cover is not None
        and got <= plan.most_cover + 1e-6
        and (plan.wishes.cover is None or plan.most_cover < plan.wishes.cover)
    ):
        this, top = percents_that_agree(got, plan.most_cover)
        most = (
            f" No planting that keeps your limits and your other wishes can have more than {top} % of cover by then; this one has "
            f"{this} %."
        )
        if got >= plan.goal_cover - 1e-6:
            most += f" It stops at {100 * float(this) / float(top):.0f} % of the most, because the last of it costs most."
    if plan.met:
        return f"This is the best planting found so far {among}.{most}"
    whether = (
        "In the time given no planting was found that meets all your wishes. We do not know whether there is one"
        f"{longer}."
        if plan.status is Status.UNSETTLED
        else "Not all your wishes can be met together."
    )
    near = (
        f" None that comes as near to every wish can cost over {100 * plan.gap:.2g} % less."
        if plan.gap is not None and plan.gap < 1
        else ""
    )
    return (
        f"{whether} This is the nearest planting found so far {among}. It keeps your limits on what plants may take, on numbers and on "
        f"money.{near}{most}"
    )
