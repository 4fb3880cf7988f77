"""The ranked plants place by place, from deep water to dry ground, and the short list of each place."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from plantpick.catalogue.availability import NOT_SEEN, can_be_had
from plantpick.ranking.eligibility import GateCode
from plantpick.ranking.rank import RankedPlant
from plantpick.vocabulary import BANDS, WOODY

BEST = 4  # plants in the short list of a place, unless asked: judgement
OF_A_GENUS = 2  # of one genus among them: judgement
SHALLOW_IN = BANDS["0-6 in"][1]  # what is set deeper stands in water, what is set above it lives at the edge
BANK_IN, DRY_BANK_IN = BANDS["bank"][1], BANDS["dry bank"][1]
# how easily bought, best first: not seen is unknown, so it stands before what is known to be grown to order only
EASIEST_FIRST = ("common", "seldom", "not seen", "rare")


class Place(StrEnum):
    """Where a plant is set, from deep to dry."""

    UNDER_WATER = "under water"
    FLOATING = "floating leaves"
    STANDING = "standing in water"
    EDGE = "water's edge"
    BANK = "bank"
    DRY_BANK = "dry bank"
    WOODY = "shrubs and trees"


@dataclass(frozen=True, kw_only=True)
class PlaceList:
    """All ranked plants of one place in the order to look at them, and one sentence on that order."""

    place: Place
    order: str
    plants: tuple[RankedPlant, ...]

    def best(self, top: int | None = None) -> tuple[RankedPlant, ...]:
        """The first `top` (four, unless asked), at most two of a genus; all of them where at least so many were asked for."""
        if top is not None and top >= len(self.plants):
            return self.plants
        shown: list[RankedPlant] = []
        genera: Counter[str] = Counter()
        for plant in self.plants:
            genus = plant.scientific_name.split()[0]
            if genera[genus] < OF_A_GENUS:
                genera[genus] += 1
                shown.append(plant)
            if len(shown) == (top or BEST):
                break
        return tuple(shown)

    def ties(self, top: int | None = None) -> tuple[tuple[RankedPlant, ...], ...]:
        """Those of the best that nothing we know sets one before the other, two and more together.

        Plants on one rung of the order tie with the first of them that is not surely ahead.
        """
        runs: list[list[RankedPlant]] = []
        for plant in self.best(top):
            lead = runs[-1][0] if runs else None
            if lead is not None and _rung(lead) == _rung(plant) and not surely_ahead(lead, plant):
                runs[-1].append(plant)
            else:
                runs.append([plant])
        return tuple(tuple(run) for run in runs if len(run) > 1)


def place_of(growth_form: str, depth_in: float) -> Place:
    """The place of a growth form whose best place is `depth_in` inches deep at full pool (negative: above the water).

    Submersed, floating and woody plants go by their growth form. All others go by depth: deeper than 6 in they stand in
    water, from there to 6 in above it they are plants of the edge, to 3 ft of the bank, higher up of the dry bank.
    """
    if growth_form == "submersed":
        return Place.UNDER_WATER
    if growth_form in ("floating-leaved", "free-floating"):
        return Place.FLOATING
    if growth_form in WOODY:
        return Place.WOODY
    if depth_in > SHALLOW_IN:
        return Place.STANDING
    if depth_in >= BANK_IN:
        return Place.EDGE
    return Place.BANK if depth_in >= DRY_BANK_IN else Place.DRY_BANK


def surely_ahead(one: RankedPlant, other: RankedPlant) -> bool:
    """Whether the first plant has the better score with a chance of nine in ten or more, over the draws of both."""
    short, over = one.score - one.score_range[0], other.score_range[1] - other.score
    return one.score - other.score > math.hypot(max(short, 0.0), max(over, 0.0))


def unsure(plant: RankedPlant) -> bool:
    """Whether it may not be native in this state, or may be another plant than it is called."""
    return plant.eligible in (GateCode.UNSURE, GateCode.GENUS_ONLY, GateCode.NEXT_DOOR)


def by_place(plants: Sequence[RankedPlant]) -> tuple[PlaceList, ...]:
    """Every ranked plant in the list of its place; places without a plant are left out.

    What has only a poor place here comes last. Of the others, sure natives come first; in each those with a good place, then
    those with one that is only fair; of these what is at home here; in each what stays within the limit by itself, then what
    a measure holds; in each of these the easiest to buy, and of those alike what is not rare in the wild; then the higher score.
    """
    lists = []
    for place in Place:
        here = sorted(
            (p for p in plants if place_of(p.growth_form, p.depth_in) is place),
            key=lambda p: (*_rung(p), -p.score),
        )
        if here:
            lists.append(PlaceList(place=place, order=order_words(here), plants=tuple(here)))
    return tuple(lists)


def obtainable(plants: Sequence[RankedPlant]) -> tuple[RankedPlant, ...]:
    """The plants that can be had (catalogue/availability.py has the rule), as the plan counts them."""
    return tuple(p for p in plants if can_be_had(p.availability, p.rare_wild))


def order_words(plants: Sequence[RankedPlant]) -> str:
    """One sentence on the order of a list."""
    held = sum(bool(p.contained_by) for p in plants)
    if not held:
        first = "All stay within your limit by themselves"
    elif held == len(plants):
        first = "Each needs a measure to hold it"
    else:
        first = "First what needs no work from you, then what a measure holds"
    return f"{first}; easiest to buy first."


def _rung(plant: RankedPlant) -> tuple[bool, bool, bool, bool, bool, int, bool]:
    """What comes before the score in a list."""
    ease = _ease(plant.availability)
    held = bool(plant.contained_by)
    return plant.poor, unsure(plant), plant.only_fair, bool(plant.home), held, ease, plant.rare_wild


def _ease(word: str) -> int:
    """The place of a word of availability; what nobody looked for, and what USDA knew no source of, counts as not seen."""
    return EASIEST_FIRST.index(word if word in EASIEST_FIRST else NOT_SEEN)
