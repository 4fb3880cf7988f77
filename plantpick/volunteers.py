"""A plant that came by itself: keep it, watch it, or take it out now."""

from __future__ import annotations

from dataclasses import dataclass

from plantpick import ranking
from plantpick.outlook import takeover_percent
from plantpick.plants import Catalogue, split_list, traits
from plantpick.pond import Pond
from plantpick.words import STATES, WOODY

VERDICTS = ("keep", "watch", "take out now")


@dataclass(frozen=True)
class Volunteer:
    """The verdict on one volunteer: keep, watch or take out now, and why."""

    plant_id: str
    common_name: str
    stretch: str
    verdict: str
    why: str


def judge(
    pond: Pond, catalogue: Catalogue, plant_id: str, stretch: str, planted_elsewhere: bool = False
) -> Volunteer:
    """Judge a plant that nobody set on this stretch, by the same law, nativity and takeover as a plant to be
    bought."""
    record = catalogue.records[plant_id]
    verdict, why = _judge(pond, catalogue, plant_id, record, stretch)
    if planted_elsewhere and verdict == "keep":
        verdict, why = "watch", f"it came over from where it was planted; {why}"
    return Volunteer(plant_id, record["common_name"], stretch, verdict, why)


def _judge(pond: Pond, catalogue: Catalogue, plant_id: str, record: dict, stretch: str) -> tuple[str, str]:
    state = STATES[pond.state][0]
    listing = catalogue.listed(plant_id, pond.state)
    cautions = split_list(record["cautions"])
    care = "; poisonous: gloves, and keep stock away" if {"poisonous", "skin"} & set(cautions) else ""
    if listing:
        place, word, _, citation, _ = listing
        where = "the United States" if place == "US" else STATES[place][0]
        return "take out now", (
            f"{word} in {where} ({citation}); have it identified, ask the agency how to get rid of it, and "
            f"move no piece of it off the place{care}"
        )
    if "never plant" in cautions:
        return (
            "take out now",
            f"dangerous to people or stock: have it identified, and touch it only with gloves{care}",
        )
    status = catalogue.status_in(plant_id, pond.state)
    if record["origin"] == "introduced":
        return "take out now", f"not native to the lower 48 states: pull it while it is little{care}"
    if status == "introduced":
        return "take out now", f"native elsewhere, brought into {state}: pull it while it is little{care}"
    dam = next(s.dam for s in pond.shore if s.name == stretch)
    if record["growth_form"] in WOODY and dam:
        return "take out now", (
            "woody, and on the dam: cut it while its stem is thin; an engineer before anything thicker is "
            "grubbed out (state dam rules differ)"
        )
    ranked = ranking.rank(pond, catalogue, draws=0, only=[plant_id])
    reason = {r.plant_id: (r.code, r.reason) for r in ranked.ruled_out}.get(plant_id)
    if reason and reason[0] == "takeover":
        one = takeover_percent(pond, traits(catalogue.plants.loc[[plant_id]]), stretch, 1.0, 10.0)[2]
        if one > pond.cap_percent:
            return "take out now", (
                f"from here alone it could hold {one:.0f} % of the pond in ten years (cap {pond.cap_percent:g} %), "
                f"and nothing holds it{care}"
            )
        return "take out now", f"{reason[1]}{care}"
    if reason and reason[0] == "state":
        return "watch", f"{reason[1]}: have it identified, as it may be another plant{care}"
    if reason and reason[0] == "site":
        return "watch", f"{reason[1]}: it may fade by itself{care}"
    if reason:
        return "watch", f"{reason[1]}{care}"
    plant = ranked.plants[0]
    if plant.contained_by:
        most = "; and the dam is no place for it" if dam else ""
        return (
            "watch",
            f"native, but it spreads: {plant.groups_max} as it is, more only with {plant.chore or 'care'}{most}{care}",
        )
    if status == "unsure":
        return "watch", f"whether it is native in {state} is unsure{care}"
    return "keep", f"native, and its high forecast stays under the cap{care}"
