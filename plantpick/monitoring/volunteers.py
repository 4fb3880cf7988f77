"""A plant that nobody set: keep it, watch it, or take it out now."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum

from plantpick.catalogue.plants import Catalogue, Plant
from plantpick.catalogue.traits import traits
from plantpick.pond.model import Pond
from plantpick.ranking import rank
from plantpick.ranking.answer_codes import ASK_FIRST, Reason
from plantpick.ranking.eligibility import Eligibility, GateCode, eligibility
from plantpick.ranking.ruled_out import not_recorded
from plantpick.ranking.site_factors import stands_low


class VolunteerVerdict(StrEnum):
    """What to do with a plant that nobody set, the most pressing first."""

    TAKE_OUT = "take out now"
    WATCH = "watch"
    KEEP = "keep"


KEEP, WATCH, TAKE_OUT = VolunteerVerdict.KEEP, VolunteerVerdict.WATCH, VolunteerVerdict.TAKE_OUT

# Code of the gate: the mildest verdict on a plant that nobody set, and why.
FOUND: dict[GateCode, tuple[VolunteerVerdict, Callable[[Eligibility], str]]] = {
    GateCode.LISTED: (
        TAKE_OUT,
        lambda e: (
            f"{e.law}. Have it identified, ask the agency how to get rid of it, and move no piece of it off your land"
        ),
    ),
    GateCode.PERMIT: (
        WATCH,
        lambda e: (
            f"{e.law}. Have it identified, and ask the agency for the permit or how to get rid of it. Move no "
            "piece of it off your land"
        ),
    ),
    GateCode.PROTECTED: (
        KEEP,
        lambda e: f"{e.rarity}. Leave it where it grows, and tell your state's wildlife agency",
    ),
    GateCode.DANGER: (
        TAKE_OUT,
        lambda e: "dangerous to people or stock. Have it identified, and touch it only with gloves",
    ),
    GateCode.INVADER: (TAKE_OUT, lambda e: "not native to the lower 48 states. Pull it while it is small"),
    GateCode.INTRODUCED: (TAKE_OUT, lambda e: "not native to the lower 48 states. Pull it while it is small"),
    GateCode.INTRODUCED_HERE: (
        TAKE_OUT,
        lambda e: f"native elsewhere, brought into {e.state_name}. Pull it while it is small",
    ),
    GateCode.DRY_GROUND: (WATCH, lambda e: "a dry-ground plant, not for a pond's edge"),
    GateCode.NOT_RECORDED: (
        WATCH,
        lambda e: f"{not_recorded(e)}. Have it identified: it may be another plant",
    ),
    GateCode.LITTLE_KNOWN: (
        WATCH,
        lambda e: "we know it by name only, and can't say how far it spreads",
    ),
    GateCode.WATCHED: (WATCH, lambda e: f"on an advisory list in {e.state_name}. Ask the agency"),
    GateCode.GENUS_ONLY: (
        WATCH,
        lambda e: "its kind is native, and a forbidden plant looks like it. Have it identified",
    ),
    GateCode.UNSURE: (WATCH, ASK_FIRST[GateCode.UNSURE].why),
    GateCode.CLEAR: (KEEP, lambda e: "native, and it stays under your limit even if growth is fast"),
}
_SETTLED = (GateCode.PERMIT, GateCode.PROTECTED)  # where the law has the word, wherever the plant stands
_BEFORE_THE_POND = (
    GateCode.DRY_GROUND,
    GateCode.NOT_RECORDED,
    GateCode.LITTLE_KNOWN,
)  # no forecast is made of these


@dataclass(frozen=True, kw_only=True)
class Volunteer:
    """The verdict on one volunteer: keep, watch or take out now, and why."""

    plant_id: str
    common_name: str
    stretch: str
    verdict: VolunteerVerdict
    why: str
    code: GateCode = GateCode.CLEAR  # what the gate found


def judge(
    pond: Pond, catalogue: Catalogue, plant_id: str, stretch: str, planted_elsewhere: bool = False
) -> Volunteer:
    """Judge a plant that nobody set on this stretch, by the same law, nativity and takeover as a plant to be
    bought."""
    plant = catalogue.plant(plant_id)
    found = eligibility(catalogue, plant_id, pond.state)
    verdict, why = _judge(pond, catalogue, plant, stretch, found)
    if planted_elsewhere and verdict == KEEP:
        verdict, why = WATCH, f"it came over from where you planted it; {why}"
    return Volunteer(
        plant_id=plant_id,
        common_name=plant.common_name,
        stretch=stretch,
        verdict=verdict,
        why=why,
        code=found.code,
    )


def _judge(
    pond: Pond, catalogue: Catalogue, plant: Plant, stretch: str, found: Eligibility
) -> tuple[VolunteerVerdict, str]:
    plant_id = found.plant_id
    least, words = FOUND[found.code]
    care = (
        ". It is poisonous: wear gloves, and keep stock away"
        if {"poisonous", "skin"} & set(plant.cautions)
        else ""
    )
    if least == TAKE_OUT or found.code in _SETTLED:
        return least, f"{words(found)}{care}"
    dam = next(s.dam for s in pond.shore if s.name == stretch)
    if plant.woody and dam:
        return TAKE_OUT, (
            "woody, and on the dam. Cut it while its stem is thin. Ask an engineer before you grub out anything thicker "
            "(state dam rules differ)"
        )
    ranked = rank.rank(pond, catalogue, places=False, only=[plant_id])
    reason = {r.plant_id: (r.code, r.reason) for r in ranked.ruled_out}.get(plant_id)
    if reason and reason[0] == Reason.TAKEOVER:
        return TAKE_OUT, f"{reason[1]}{care}"
    if found.code in _BEFORE_THE_POND:
        return least, f"{words(found)}{care}"
    if reason and reason[0] == Reason.SITE:
        return WATCH, f"{reason[1]}. It may fade on its own{care}"
    if reason:
        return WATCH, f"{reason[1]}{care}"
    ranked_plant = ranked.plants[0]
    if dam and not ranked_plant.contained_by and not stands_low(traits([plant])).any():
        return WATCH, (
            "native, but too tall for a dam. Cut it low, so that seeps and burrows show (state dam rules "
            f"differ){care}"
        )
    if ranked_plant.contained_by:
        most = ". The dam is no place for it" if dam else ""
        return (
            WATCH,
            f"native, but it spreads. You have room for {ranked_plant.groups_max}; keep more only with "
            f"{ranked_plant.chore or 'care'}{most}{care}",
        )
    return least, f"{words(found)}{care}"
