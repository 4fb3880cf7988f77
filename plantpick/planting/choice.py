"""Which plants may be planned on: what you want, what you don't, what you can get, and what anybody sells."""

from __future__ import annotations

from dataclasses import dataclass

from plantpick.catalogue.availability import NOT_SEEN, SOLD, can_be_had
from plantpick.errors import PlantpickError, Problem
from plantpick.planting.offered import Offered
from plantpick.pond.model import stretch_words
from plantpick.ranking import containment
from plantpick.ranking.answer_codes import Reason
from plantpick.ranking.eligibility import GateCode
from plantpick.ranking.rank import RankedPlant, Ranking
from plantpick.ranking.ruled_out import RuledOut
from plantpick.vocabulary import WOODY

PLANNED = (GateCode.CLEAR, GateCode.NEXT_DOOR)  # what the gate lets a plan spend money on
MOST_TOLD = 12  # plants of a list of which we say why none of them will do
UNSEEN = (NOT_SEEN, "")  # on no list that we saw, or nobody looked


@dataclass(frozen=True, kw_only=True)
class Choice:
    """The owner's own word on plants, as plant_ids: in any case one of each of `wanted`, none of `without`, and nothing but
    `only` where that is given."""

    wanted: tuple[str, ...] = ()
    without: tuple[str, ...] = ()
    only: tuple[str, ...] | None = None


ANY = Choice()


def fitting(ranked: Ranking, choice: Choice = ANY, offered: Offered | None = None) -> list[RankedPlant]:
    """The plants that a plan may use here, best first.

    They rank as good or better and have a place that is good or better, unless you want them, can get them, or are offered them.
    Left out are those whose best place is poor, the free-floating, which cannot be set in a place, those that only earthwork would
    hold, and those to ask about first: an offer of them would not be cleared either. Raises PlantpickError `not-to-be-planted` for every plant wanted that is not among them.
    """
    asked = offered is not None or choice.only is not None
    without, only = set(choice.without), set(choice.only or ())
    fit = [
        r
        for r in ranked.plants
        if r.plant_id not in without
        and r.eligible in PLANNED
        and not r.poor
        and r.growth_form != "free-floating"
        and containment.STEEPENED not in r.contained_by
        and (choice.only is None or r.plant_id in only)
        and (offered is None or r.plant_id in offered)
        and (r.fit in ("excellent", "good") or asked or r.plant_id in choice.wanted)
    ]
    found = {r.plant_id for r in fit}
    missing = [plant_id for plant_id in choice.wanted if plant_id not in found]
    if missing:
        raise PlantpickError("not-to-be-planted", [_why_not(p, ranked, choice, offered) for p in missing])
    return fit


def with_a_source(fit: list[RankedPlant], choice: Choice = ANY) -> list[RankedPlant]:
    """Those of the plants to plan on: sold by somebody, or to be had all the same (catalogue/availability.py) and with a sold one that
    does as well at one of its places; and any that you want."""
    sold = {place for r in fit if r.availability in SOLD for place in _jobs(r)}
    return [
        r
        for r in fit
        if r.availability in SOLD
        or r.plant_id in choice.wanted
        or (can_be_had(r.availability, r.rare_wild) and sold.intersection(_jobs(r)))
    ]


def _jobs(plant: RankedPlant) -> set[tuple[str, str, bool]]:
    """Stretch and band where a plant is good, and whether it is woody there."""
    woody = plant.growth_form in WOODY
    places = {(stretch, band) for stretch, band, _ in plant.good_places} or {(plant.stretch, plant.band)}
    return {(stretch, band, woody) for stretch, band in places}


def why_none(ranked: Ranking, choice: Choice) -> list[Problem]:
    """Why none of the plants that you can get may be planned on, plant by plant; of a long list the first."""
    listed = choice.only or ()
    told = [_why_not(plant_id, ranked, choice, None) for plant_id in listed[:MOST_TOLD]]
    more = len(listed) - MOST_TOLD
    if more > 0:
        told.append(Problem("", f"{more:,} more are out as well.", "Rank the pond's plants to see why."))
    return told


def _why_not(plant_id: str, ranked: Ranking, choice: Choice, offered: Offered | None) -> Problem:
    told: dict[str, RankedPlant | RuledOut] = {r.plant_id: r for r in ranked.ruled_out}
    told |= {r.plant_id: r for r in ranked.plants}
    plant = told.get(plant_id)
    name = plant.common_name if plant is not None else plant_id
    there = next((kind for kind in ranked.grows_there if kind.plant_id == plant_id), None)
    if plant_id in choice.without:
        why, remedy = "you both want it and want none of it.", "Take it out of one of the two."
    elif there is not None and _spreads(plant):
        size = (
            "" if there.area_ft2 != there.area_ft2 else f" ({there.area_ft2:,.0f} sq ft)"
        )  # NaN is unlike itself
        why = f"it stands on {stretch_words(*there.stretches)} already{size}, and more of it would pass your limit for one plant."
        remedy = "Leave it out: the plan counts the stand that is there."
    elif isinstance(plant, RuledOut):
        why, remedy = f"it cannot be planted here: {plant.reason}.", "Leave it out."
    elif choice.only is not None and plant_id not in choice.only:
        why, remedy = "it is not on your list of what you can get.", "Add it to the list, or leave it out."
    elif offered is not None and plant_id not in offered:
        why, remedy = (
            "the offer does not have it, or does not clear it.",
            "Check the offer line by line to see why.",
        )
    elif isinstance(plant, RankedPlant) and plant.poor:
        why, remedy = f"the best place you have is poor for it: {plant.against}.", "Leave it out."
    elif isinstance(plant, RankedPlant) and plant.growth_form == "free-floating":
        why, remedy = "it floats free, so it stays in no place.", "Leave it out."
    elif isinstance(plant, RankedPlant) and plant.eligible not in PLANNED:
        why, remedy = f"{plant.ask_first}.", "Leave it out until you know."
    elif isinstance(plant, RankedPlant):
        why, remedy = "nothing but earthwork would hold it here.", "Leave it out."
    else:
        why, remedy = "it does not rank here.", "Leave it out."
    return Problem(name, why, remedy)


def _spreads(plant: RankedPlant | RuledOut | None) -> bool:
    """Whether it is its spread that keeps a plant out: nothing, or nothing but earthwork, would hold it."""
    if isinstance(plant, RuledOut):
        return plant.code is Reason.TAKEOVER
    return plant is not None and containment.STEEPENED in plant.contained_by
