"""Which plants are left out before they are scored, and the sentence that tells the owner why."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass

import numpy as np

from plantpick.catalogue.plants import Catalogue, Plant
from plantpick.catalogue.traits import Traits
from plantpick.pond.model import Pond
from plantpick.ranking import eligibility as gate
from plantpick.ranking.eligibility import Eligibility, eligibility
from plantpick.ranking.site_factors import DAM_TALLEST_IN, DEPTHS, FRESH_PPT, ON_BANK, Sites, stands_low


@dataclass(frozen=True)
class RuledOut:
    """A plant that is not in the ranking: `code` groups the reasons, `reason` is the sentence for this plant."""

    plant_id: str
    common_name: str
    code: str
    reason: str


REASONS: dict[str, str] = {  # code: heading under which the ruled-out plants are counted
    "law": "listed by law here",
    "introduced": "not native to the lower 48 states, or garden-bred",
    "state": "not known as native to this state",
    "dry ground": "dry-ground plant",
    "danger": "not for planting: dangerous, or rare and protected",
    "use": "does nothing you asked for",
    "unknown": "too little known to place it",
    "dam": "kept off dams, and there is no other bank",
    "site": "cannot live here",
    "takeover": "would take the pond over and nothing holds it",
}


OUT: dict[
    str, tuple[str, Callable[[Eligibility], str]] | None
] = {  # code of the gate: code and sentence here
    gate.LISTED: ("law", lambda e: e.law),
    gate.PERMIT: ("law", lambda e: f"{e.law}: ask the agency for one before you plan on it"),
    gate.PROTECTED: ("danger", lambda e: "rare and protected: leave it where it grows"),
    gate.DANGER: ("danger", lambda e: "dangerous to people or stock: know it, and do not plant it"),
    gate.INVADER: ("introduced", lambda e: "not native to the lower 48 states, and known to take over"),
    gate.INTRODUCED: ("introduced", lambda e: "not native to the lower 48 states"),
    gate.INTRODUCED_HERE: ("state", lambda e: f"introduced in {e.state_name}, not native there"),
    gate.DRY_GROUND: ("dry ground", lambda e: "a dry-ground plant: not for a pond's edge"),
    gate.NOT_RECORDED: ("state", lambda e: not_recorded(e)),
    gate.LITTLE_KNOWN: (
        "unknown",
        lambda e: "too little is known of it to place it or to forecast its spread",
    ),
    gate.WATCHED: None,  # ranked, with a note to ask first
    gate.UNSURE: None,
    gate.NEXT_DOOR: None,
    gate.CLEAR: None,
}


def not_recorded(found: Eligibility) -> str:
    """That a plant is not recorded in the state, and in which neighbouring states it is native."""
    near = f"; native next door in {', '.join(found.near)}" if found.near else ""
    return f"not recorded in {found.state_name}{near}"


def barred(found: Eligibility) -> tuple[str, str] | None:
    """The code and the sentence of a plant that the gate keeps out of the ranking; None for one that may be ranked."""
    out = OUT[found.code]
    return (out[0], out[1](found)) if out else None


def lawful_natives(
    catalogue: Catalogue,
    plants: Iterable[Plant],
    pond: Pond,
    next_door: bool,
    rule_out: Callable[[str, str, str], None],
) -> tuple[list[Plant], dict[str, Eligibility]]:
    """The plants that law, nativity and what is known leave, in their order, and what the gate found of each.

    `rule_out` is handed the plant_id, the code and the sentence of every other one.
    """
    kept, passed = [], {}
    for plant in plants:
        found = eligibility(catalogue, plant.plant_id, pond.state, next_door)
        if out := barred(found):
            rule_out(plant.plant_id, *out)
        else:
            kept.append(plant)
            passed[plant.plant_id] = found
    return kept, passed


def why_not(plants: Traits, judged: Sites, pond: Pond, row: int) -> tuple[str, str]:
    """The code and the sentence for a plant that has no place: the first factor that leaves it none."""
    no_bank = all(s.dam or s.plantable_ft == 0 for s in pond.stretches)
    if plants.woody[row] and no_bank:
        return "dam", "woody plants are kept off dams and 25 ft from them (state dam rules differ)"
    lives = judged.factors["depth"][row, 0] > 0
    if no_bank and not lives[~ON_BANK].any():
        return "dam", "it lives on the bank above the water's edge, and on a dam only low grass belongs there"
    if no_bank and not (lives & stands_low(plants)[row]).any():
        return "dam", (
            f"it stands more than {DAM_TALLEST_IN / 12:.0f} ft over the water: on a dam that hides seeps and burrows "
            "(state dam rules differ)"
        )
    shape = judged.index.shape[1:]
    values = {name: np.broadcast_to(f[row], shape) for name, f in judged.factors.items()}
    reachable = np.broadcast_to(pond.max_depth_in >= DEPTHS, shape)
    for name in ("winter cold", "summer heat", "sun", "pH", "salinity", "grazers"):
        if not np.isnan(values[name]).all() and np.nanmax(np.where(reachable, values[name], 0.0)) <= 0.0:
            return "site", f"{name} rules it out{_because(name, plants, pond, row)}"
    alive = np.where(reachable & (values["depth"] > 0), 1.0, 0.0)
    if not alive.any():
        return "site", "depth rules it out: the pond has no water of the depth it needs"
    for name in ("level", "light"):
        if not np.nan_to_num(np.where(alive > 0, values[name], 0.0), nan=1.0).any():
            return "site", f"{name} rules it out{_because(name, plants, pond, row)}"
    return "site", "level and light together leave it no depth to live in"


def _because(factor: str, plants: Traits, pond: Pond, row: int) -> str:
    n = plants.number
    return {
        "winter cold": f": it needs zone {n['zone_min'][row]:.0f} or warmer, this is {pond.hardiness_zone}",
        "summer heat": f": it lasts to zone {n['zone_max'][row]:.0f}, this is {pond.hardiness_zone}",
        "sun": f": it wants {plants.word['sun'][row]} sun",
        "pH": f": it stands pH {n['ph_min'][row]:g} to {n['ph_max'][row]:g}, this is {pond.ph}",
        "salinity": _salt(n["salinity_min_ppt"][row], n["salinity_max_ppt"][row], pond.salinity_ppt),
        "grazers": ": grass carp eat it faster than it grows",
        "level": f": where it could root, a {pond.usual_drop_ft:g} ft drop leaves it dry too long",
        "light": f": a Secchi reading of {pond.clarity_range_in[1]:g} in is too little light at the depth it needs",
    }[factor]


def _salt(least: float, most: float, told: float | None) -> str:
    if least > (FRESH_PPT if told is None else told):
        this = f"this is {told:g}" if told is not None else "no salinity was given, and fresh water taken"
        return f": it needs {least:g} parts per thousand of salt to hold its own, {this}"
    return f": it stands {most:g} parts per thousand, this is {told}"
