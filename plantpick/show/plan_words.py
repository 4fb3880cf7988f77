"""The sentences about a plan that the terminal, the page and the table share."""

from __future__ import annotations

from plantpick.planting.model import Chosen, Plan, RunnerUp
from plantpick.planting.problem import Status
from plantpick.planting.relax import MOST, NEAR
from plantpick.planting.wish_report import amount
from plantpick.ranking.chances import chance_words
from plantpick.show.terminal import percent


def in_short(plan: Plan, more_time: str = "") -> tuple[str, ...]:
    """The plan in a few sentences. `more_time` says how to give the solver more time, where that may help."""
    groups = sum(g.number for g in plan.groups)
    known = all(c.price_known for c in plan.chosen)
    low, typical, high = plan.cover[plan.wishes.year]
    return (
        f"{plan.plants:,} plants of {len(plan.chosen)} kinds in {groups} groups, about ${plan.cost:,.0f} "
        f"{'by the offer' if known else 'at prices we assumed'}.",
        f"Fish cover by year {plan.wishes.year}: {amount(low, '%', False)} of the surface if growth is slow, {amount(typical, '%', False)} "
        f"typically, {amount(high, '%')} if growth is fast, beside {plan.pond.brush_percent:g} % of brush."
        + (
            f" Of the typical cover, {percent(plan.cover_low_pool)} % of the surface still stands in water at low pool."
            if plan.pond.usual_drop_in
            else ""
        ),
        how_sure(plan, more_time),
    )


def instead(plant: Chosen) -> str:
    """What to buy in place of a plant that you can't get."""
    name = plant.ranked.common_name
    if not plant.runners_up:
        return f"{name}: nothing else does its work there"
    others = " or ".join(_stand_in(r) for r in plant.runners_up)
    return f"{name} ({plant.ranked.availability or 'not looked up'}): {others}"


def _stand_in(other: RunnerUp) -> str:
    lacks = [
        f"{100 * part:.0f} % of {what}"
        for part, what in ((other.part, "the places"), (other.cover, "the cover"))
        if part < 0.995
    ]
    how = "; ".join((other.ranked.availability or "not looked up", *lacks))
    return f"{other.plants:,} {other.ranked.common_name} ({how})"


def standing(plant: Chosen) -> str:
    """How many of one plant's number stand after a year."""
    low, typical, high = plant.living
    return (
        f"{plant.ranked.common_name}: of {plant.plants:,} set about {typical:.0f} ({low:.0f} to {high:.0f})"
    )


def chances_words(plan: Plan) -> str:
    """The chances of the whole planting, simulated with everything set together."""
    told, year = plan.chances, plan.wishes.year
    asked = plan.goal_cover if plan.wishes.cover is None else plan.wishes.cover
    cover = (
        f"Cover of {percent(asked)} % by year {year}: {chance_words(told.cover_reached)}. " if asked else ""
    )
    return (
        f"With everything set together: {cover}Some plant passes your {plan.wishes.cap:g} % in ten years: "
        f"{chance_words(told.any_over_cap)} (your {plan.wishes.risk:g} % is for each plant by itself). All together pass {plan.wishes.upper:g} % of the water: {chance_words(told.over_upper)}."
    )


def how_sure(plan: Plan, more_time: str = "") -> str:
    """What is known of the plan: proved, bounded, or just the best found so far."""
    longer = f" ({more_time})" if more_time else ""
    among = f"among {plan.candidates} candidates"
    if plan.met and plan.wishes.cover is not None:
        if plan.status is Status.PROVED:
            return f"This is the cheapest planting {among} that meets all your wishes: proved."
        if plan.gap is not None and plan.gap < 1:
            return (
                f"This is the cheapest planting found so far {among} that meets all your wishes. "
                f"None can cost over {100 * plan.gap:.2g} % less."
            )
        return (
            f"This is the cheapest planting found so far {among} that meets all your wishes. A cheaper one may exist: "
            f"we do not know the least cost yet{longer}."
        )
    got = plan.cover[plan.wishes.year][0 if plan.wishes.count == "cautious" else 1]
    most = ""
    if (
        plan.most_cover is not None
        and got <= plan.most_cover + 1e-6
        and (plan.wishes.cover is None or plan.most_cover < plan.wishes.cover)
    ):
        most = (
            f" No planting that keeps your limits and your other wishes can have more than {amount(plan.most_cover, '%')} of cover "
            f"by then; this one has {amount(got, '%', False)}."
        )
        if got >= plan.goal_cover - 1e-6:
            part = MOST if plan.wishes.cover is None else NEAR
            most += f" It stops at {1 - part:.0%} of the most, because the last of it costs most."
    if plan.met:
        return f"This is the best planting found so far {among}.{most}"
    whether = (
        "In the time given no planting was found that meets all your wishes. We do not know whether there is one"
        f"{longer.removeprefix(' ')}."
        if plan.status is Status.UNSETTLED
        else "Not all your wishes can be met together."
    )
    return f"{whether} This is the nearest planting found so far {among}. It keeps your limits.{most}"
