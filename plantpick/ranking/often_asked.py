"""The plants that owners ask for most and that this pond's lists leave out: why here, and what to set instead."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from plantpick.catalogue.plants import Catalogue, Plant
from plantpick.ranking.answer_codes import Reason
from plantpick.ranking.by_place import BEST, Place, PlaceList, place_of
from plantpick.ranking.eligibility import GateCode, eligibility
from plantpick.ranking.rank import RankedPlant, Ranking
from plantpick.ranking.ruled_out import RuledOut

# Most asked for first: common practice, no source. Names sold for several plants stand for the plant that is sold.
OFTEN_ASKED = (
    "typha-latifolia",
    "nelumbo-lutea",
    "nymphaea-odorata",
    "pontederia-crassipes",
    "ceratophyllum-demersum",
    "salix-babylonica",
    "nuphar-advena",
    "nymphaea-hardy-hybrids",
    "colocasia-esculenta",
    "vallisneria-spiralis",
    "myriophyllum-aquaticum",
    "salix-nigra",
    "iris-pseudacorus",
    "nelumbo-nucifera",
    "pistia-stratiotes",
    "nymphaea-tropical-hybrids",
    "canna-x-generalis",
    "cyperus-papyrus",
    "egeria-densa",
    "cabomba-caroliniana",
    "lemna-minor",
    "phragmites-australis",
    "typha-domingensis",
    "nymphaea-mexicana",
    "arundo-donax",
    "acorus-calamus",
    "lythrum-salicaria",
    "populus-deltoides",
)
SHOWN = 7  # of these in an answer, unless all are asked for


@dataclass(frozen=True, kw_only=True)
class NotHere:
    """A plant often asked for that is ruled out on this pond: the reason in a few words and in full, the chance that one group
    passes the limit where that is the reason, and the best stand-in of the same place (none where nothing fits there)."""

    plant_id: str
    common_name: str
    in_short: str
    reason: str
    chance: float | None
    instead: RankedPlant | None


def often_asked(ranking: Ranking, catalogue: Catalogue, lists: Sequence[PlaceList]) -> tuple[NotHere, ...]:
    """Those of OFTEN_ASKED that were ruled out here, most asked for first.

    A stand-in is the first plant in the list of the same place that needs no measure, and is neither rare, protected nor like a
    forbidden plant, if there is one; a plant named once gives way to the next until all are named.
    """
    out = {r.plant_id: r for r in ranking.ruled_out}
    named: dict[str, int] = {}
    found = []
    for plant_id in OFTEN_ASKED:
        if plant_id not in out:
            continue
        plant = catalogue.plant(plant_id)
        instead = _instead(_place(plant), lists, named)
        if instead is not None:
            named[instead.plant_id] = named.get(instead.plant_id, 0) + 1
        found.append(
            NotHere(
                plant_id=plant_id,
                common_name=plant.common_name,
                in_short=_in_short(out[plant_id], catalogue, ranking),
                reason=out[plant_id].reason,
                chance=out[plant_id].chance,
                instead=instead,
            )
        )
    return tuple(found)


def _place(plant: Plant) -> Place:
    """Where owners see it stand: by the deepest of its best depths, at the water's edge where these are not known."""
    deepest = plant.depth_best_max_in
    return place_of(plant.growth_form, deepest if deepest == deepest else 0.0)


def _instead(place: Place, lists: Sequence[PlaceList], named: dict[str, int]) -> RankedPlant | None:
    """Of the plants of that place with the least against them the one that was named least, the first in the list of those."""
    for listed in lists:
        if listed.place is place:
            fit = [p for p in listed.plants if not p.poor]
            least = min(map(_against, fit), default=0)
            first = [p for p in fit if _against(p) == least][:BEST]
            return min(first, key=lambda p: named.get(p.plant_id, 0), default=None)
    return None


def _against(plant: RankedPlant) -> int:
    """How many things stand against naming it to anybody: it needs a measure, is rare, protected, in doubt, or like a forbidden
    plant."""
    return sum(
        (
            bool(plant.contained_by),
            plant.rare_wild,
            bool(plant.protection),
            plant.eligible != GateCode.CLEAR,
            "lookalike" in plant.cautions,
        )
    )


def _in_short(out: RuledOut, catalogue: Catalogue, ranking: Ranking) -> str:
    """The reason in a few words; the law's without its citation."""
    found = eligibility(catalogue, out.plant_id, ranking.pond.state)
    if out.code == Reason.LAW and found.listing is not None:
        return f"{found.listing.status} in {found.listing.where}"
    if found.code == GateCode.INVADER:
        return "not native to the lower 48, and known to take over"
    if found.code == GateCode.INTRODUCED:
        return "not native to the lower 48, or garden-bred"
    if out.code == Reason.TAKEOVER:
        return f"would pass your {ranking.pond.cap_percent:g} %, and nothing holds it"
    return out.reason
