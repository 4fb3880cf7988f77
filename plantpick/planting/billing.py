"""What a plan costs to plant and to keep.

An offer's lines come to what `offers` makes of the same numbers: whole lots, least orders, price breaks.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import fields

from plantpick.catalogue.plants import Catalogue
from plantpick.offers.purchase import DOLLARS
from plantpick.planting.bill import Bill, GuardCost, Hours, Item, Line, Work
from plantpick.planting.guards import (
    IN_WATER,
    Enclosure,
    Guard,
    Guarded,
    GuardKind,
    enclosures,
)
from plantpick.planting.model import Chosen, Group, Plan
from plantpick.planting.prices import MEASURES, MESH_FT, POST, Basis, PriceRange, published
from plantpick.ranking.takeover import group_shape
from plantpick.vocabulary import WOODY

BARE_BANK_FT = 10.0  # of bank to seed where it is bare: judgement
# Hours: judgement where no published rate is named.
WADED_IN, REACHED_IN = (
    12.0,
    24.0,
)  # of water: beyond the one you set as under water, beyond the other you can't reach the bottom
WET_PER_HOUR = (8.0, 20.0)  # plants set under water or as pads, half as many as on the bank
DEEP_PER_HOUR = (4.0, 10.0)  # beyond arm's reach, half as many again
TUBS_PER_HOUR = (3.0, 8.0)  # filled, planted, carried out and sunk
BARRIER_HOURS = (2.0, 4.0)  # to dig one in round a group
MESH_FT_PER_HOUR = (20.0, 40.0)  # of cage or ring put up, posts and all
SLEEVES_PER_HOUR = (10.0, 20.0)
TRIM_FT2_PER_HOUR = (40.0, 80.0)
ROUNDS_HOURS = (4.0, 8.0)  # looking after cages, counting, measuring edges twice a year


def bill(plan: Plan, catalogue: Catalogue) -> Bill:
    """The bill of a plan."""
    guards = _guards(plan, catalogue)
    around = enclosures(_placed(plan, guards))
    rings = tuple(_rings(group, guard) for group, guard in guards if guard.kind is GuardKind.RING)
    mesh, posts = sum(e.mesh_ft for e in (*around, *rings)), sum(e.posts for e in (*around, *rings))
    stems = sum(group.plants for group, guard in guards if guard.kind is GuardKind.SLEEVE)
    lines = [_plants(c, plan) for c in plan.chosen]
    for item, measure, unit in ((Item.TUBS, "tub", "tubs"), (Item.BARRIER, "barrier", "plants")):
        number = sum(c.plants for c in plan.chosen if measure in c.measures)
        lines += _priced(item, number, unit, MEASURES[measure])
    lines += _priced(Item.MESH, mesh, "ft", MESH_FT)
    lines += _priced(Item.POSTS, posts, "posts", POST)
    lines += _priced(Item.SLEEVES, stems, "stems", published(catalogue.costs, "sleeve"))
    bought = [line for line in lines if line.item is Item.PLANTS]
    lines += _least(plan, sum(line.low or 0.0 for line in bought))
    lines += _priced(Item.FENCE, fence_ft(plan), "ft", published(catalogue.costs, "fence"))
    bank = BARE_BANK_FT * sum(s.length_ft for s in plan.pond.stretches)
    for item, feet, unit in (
        (Item.SEED, bank, "sq ft, if all of it is bare"),
        (Item.DELIVERY, 1.0, ""),
    ):
        if feet:
            lines.append(Line(item=item, number=feet, unit=unit, price=None, low=None, high=None))
    return Bill(
        lines=tuple(lines),
        hours=_hours(plan, catalogue, mesh, stems),
        enclosures=around,
        rings=rings,
        guards=_guard_costs(plan, guards, around, published(catalogue.costs, "sleeve")),
    )


def _rings(group: Group, guard: Guard) -> Enclosure:
    """The rings round the stems of one entry's groups."""
    each = {f.name: getattr(guard, f.name) for f in fields(Guard)}
    return Enclosure(
        **each | {"stems": guard.stems * group.number}, stretch=group.stretch, numbers=group.numbers
    )


def fence_ft(plan: Plan) -> float:
    """Feet of fence that keep the stock out of every stretch that is planted, whatever stock eats: it treads the rest to mud. 0 where
    there is none."""
    if "livestock" not in plan.pond.residents:
        return 0.0
    planted = {group.stretch for group in plan.groups}
    return sum(s.length_ft for s in plan.pond.stretches if s.name in planted)


def _guard_costs(
    plan: Plan, guards: list[tuple[Group, Guard]], around: Iterable[Enclosure], sleeve: PriceRange
) -> tuple[GuardCost, ...]:
    """What the guards of each plant cost, the most costly first; of one round several groups each group bears its part."""
    spent: dict[str, list[float]] = {}

    def add(plant_id: str, number: float, *prices: tuple[float, PriceRange]) -> None:
        cost = spent.setdefault(plant_id, [0.0, 0.0])
        cost[0] += number * sum(amount * price.low for amount, price in prices)
        cost[1] += number * sum(amount * price.high for amount, price in prices)

    plant_of = {placed.number: placed.plant_id for placed in plan.layout.groups}
    for one in around:
        for number in one.numbers:
            add(plant_of[number], 1.0 / len(one.numbers), (one.mesh_ft, MESH_FT), (one.posts, POST))
    for group, guard in guards:
        if guard.kind is GuardKind.RING:
            add(group.plant_id, group.number, (guard.mesh_ft, MESH_FT), (guard.posts, POST))
        elif guard.kind is GuardKind.SLEEVE:
            add(group.plant_id, group.plants, (1.0, sleeve))
    costs = (GuardCost(plant_id=plant_id, low=low, high=high) for plant_id, (low, high) in spent.items())
    return tuple(sorted(costs, key=lambda c: (-c.high, c.plant_id)))


def _plants(chosen: Chosen, plan: Plan) -> Line:
    """So many of one plant: as the offer sells them, or at the prices that are known."""
    bought = plan.offered.purchase(chosen.ranked.plant_id, chosen.plants) if plan.offered else None
    if bought is not None:
        return Line(
            item=Item.PLANTS,
            number=chosen.plants,
            unit="plants",
            price=PriceRange(low=bought.each, high=bought.each, basis=Basis.OFFER),
            low=bought.cost,
            high=bought.cost,
            plant_id=chosen.ranked.plant_id,
            bought=bought.plants,
            more=bought.more,
        )
    asked = chosen.asked
    return Line(
        item=Item.PLANTS,
        number=chosen.plants,
        unit="plants",
        price=asked,
        low=chosen.plants * asked.low,
        high=chosen.plants * asked.high,
        plant_id=chosen.ranked.plant_id,
        bought=chosen.plants,
    )


def _priced(item: Item, number: float, unit: str, price: PriceRange) -> list[Line]:
    if not number:
        return []
    return [
        Line(
            item=item,
            number=number,
            unit=unit,
            price=price,
            low=number * price.low,
            high=number * price.high,
        )
    ]


def _least(plan: Plan, spent: float) -> list[Line]:
    """What is missing to the smallest order in money that the seller takes."""
    least = plan.offered.least_spend if plan.offered else None
    if least is None or least.currency != DOLLARS or least.amount <= spent:
        return []
    price = PriceRange(low=least.amount - spent, high=least.amount - spent, basis=Basis.OFFER)
    return _priced(Item.LEAST, 1.0, "", price)


def _guards(plan: Plan, catalogue: Catalogue) -> list[tuple[Group, Guard]]:
    """The plan's entries that need a guard."""
    found = []
    for group in plan.groups:
        guard = group.guard(plan.pond, catalogue.plant(group.plant_id))
        if guard is not None:
            found.append((group, guard))
    return found


def _placed(plan: Plan, guards: list[tuple[Group, Guard]]) -> list[Guarded]:
    """The groups that need a cage or a ring, at their places on the tape."""
    around = {
        plan.groups.index(group): guard
        for group, guard in guards
        if guard.kind in (GuardKind.CAGE, GuardKind.WIRE)
    }
    return [
        Guarded(
            number=placed.number,
            stretch=placed.stretch,
            from_ft=placed.from_ft,
            to_ft=placed.to_ft,
            out_ft=placed.out_ft,
            depth_in=placed.depth_in,
            radius_ft=float(
                group_shape(plan.groups[placed.entry].each, plan.groups[placed.entry].spacing_in).radius_ft
            ),
            guard=around[placed.entry],
        )
        for placed in plan.layout.groups
        if placed.entry in around
    ]


def _hours(plan: Plan, catalogue: Catalogue, mesh: float, stems: int) -> tuple[Hours, ...]:
    """Person-hours; the rates on the bank are published, those in water and for guards are judgement."""
    forms = {c.ranked.plant_id: c.ranked.growth_form for c in plan.chosen}
    herbs = woody = wet = deep = 0
    for group in plan.groups:
        form = forms[group.plant_id]
        if form in WOODY:
            woody += group.plants
        elif group.depth_in > REACHED_IN:
            deep += group.plants
        elif form in IN_WATER or group.depth_in > WADED_IN:
            wet += group.plants
        else:
            herbs += group.plants
    tubs = sum(c.plants for c in plan.chosen if "tub" in c.measures)
    found = []
    for number, rate, item in (
        (herbs, catalogue.costs.span("set herbs"), "set herbs"),
        (woody, catalogue.costs.span("set woody"), "set woody"),
        (wet, WET_PER_HOUR, ""),
        (deep, DEEP_PER_HOUR, ""),
        (tubs, TUBS_PER_HOUR, ""),
    ):
        if number:
            found.append(Hours(work=Work.PLANTING, low=number / rate[1], high=number / rate[0], item=item))
    if barriers := sum(c.groups for c in plan.chosen if "barrier" in c.measures):
        low, high = BARRIER_HOURS
        found.append(Hours(work=Work.PLANTING, low=barriers * low, high=barriers * high))
    for amount, rate in ((mesh, MESH_FT_PER_HOUR), (stems, SLEEVES_PER_HOUR)):
        if amount:
            found.append(Hours(work=Work.GUARDING, low=amount / rate[1], high=amount / rate[0]))
    slow, quick = TRIM_FT2_PER_HOUR
    cut, (few, many) = plan.trim_ft2, ROUNDS_HOURS
    found.append(Hours(work=Work.YEARLY, low=few + cut / quick, high=many + cut / slow))
    return tuple(found)
