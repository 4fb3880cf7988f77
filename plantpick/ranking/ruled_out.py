"""Which plants are left out before they are scored, and the sentence that tells the owner why."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass

import numpy as np

from plantpick.catalogue.plants import Catalogue, Plant
from plantpick.catalogue.traits import Traits
from plantpick.pond.keep_clear import OFF_DAM_FT
from plantpick.pond.model import Pond
from plantpick.ranking import site_factors
from plantpick.ranking.answer_codes import Reason
from plantpick.ranking.eligibility import Eligibility, GateCode, eligibility
from plantpick.ranking.site_factors import DAM_TALLEST_IN, DEPTH, DEPTHS, ON_BANK, OnePlant, Sites, stands_low


@dataclass(frozen=True)
class RuledOut:
    """A plant that is not in the ranking: `reason` is the sentence for this plant, `code` what it is counted under."""

    plant_id: str
    common_name: str
    code: Reason
    reason: str
    chance: float | None = None  # that one group passes the limit, for a plant that nothing holds
    gate: GateCode | None = None  # the gate's code, where it was the gate that kept it out
    good_for: tuple[
        str, ...
    ] = ()  # purposes that you did not name, for a plant that does nothing you asked for

    @property
    def answer_code(self) -> GateCode | Reason:
        """The code that every answer about this plant on this pond gives."""
        return self.gate or self.code


NEXT_DOOR = Reason.NEXT_DOOR
REASONS: dict[Reason, str] = {  # code: heading under which the ruled-out plants are counted
    Reason.LAW: "listed by law here",
    Reason.INTRODUCED: "not native to the lower 48 states, or garden-bred",
    Reason.STATE: "not known as native to this state",
    Reason.NEXT_DOOR: "native in a neighboring state, not known as native to this one",
    Reason.DRY_GROUND: "dry-ground plant",
    Reason.DANGER: "not for planting: dangerous, or rare and protected",
    Reason.USE: "does nothing you asked for",
    Reason.UNKNOWN: "too little known to place it",
    Reason.DAM: "kept off dams; no other bank here",
    Reason.SITE: "cannot live here",
    Reason.TAKEOVER: "may pass your limit, and nothing holds it",
}


OUT: dict[
    GateCode, tuple[Reason, Callable[[Eligibility], str]] | None
] = {  # code of the gate: code and sentence here
    GateCode.LISTED: (Reason.LAW, lambda e: e.law),
    GateCode.PERMIT: (Reason.LAW, lambda e: f"{e.law}: ask the agency for one before you plan on it"),
    GateCode.PROTECTED: (Reason.DANGER, lambda e: f"{e.rarity}: leave it where it grows"),
    GateCode.DANGER: (Reason.DANGER, lambda e: "dangerous to people or stock: know it, and do not plant it"),
    GateCode.INVADER: (
        Reason.INTRODUCED,
        lambda e: "not native to the lower 48 states, and known to take over",
    ),
    GateCode.INTRODUCED: (Reason.INTRODUCED, lambda e: "not native to the lower 48 states, or garden-bred"),
    GateCode.INTRODUCED_HERE: (Reason.STATE, lambda e: f"introduced in {e.state_name}, not native there"),
    GateCode.DRY_GROUND: (Reason.DRY_GROUND, lambda e: "a dry-ground plant: not for a pond's edge"),
    GateCode.NOT_RECORDED: (Reason.STATE, lambda e: not_recorded(e)),
    GateCode.LITTLE_KNOWN: (
        Reason.UNKNOWN,
        lambda e: "we know it by name only: nobody has entered here how deep it stands or how far it spreads",
    ),
    GateCode.WATCHED: None,  # ranked, with a note to ask first
    GateCode.GENUS_ONLY: None,
    GateCode.UNSURE: None,
    GateCode.NEXT_DOOR: None,
    GateCode.CLEAR: None,
}


def not_recorded(found: Eligibility) -> str:
    """That a plant is not recorded in the state, and in which neighboring states it is native."""
    near = f"; native next door in {', '.join(found.near)}" if found.near else ""
    return f"not recorded in {found.state_name}{near}"


def why_barred(found: Eligibility) -> str:
    """The sentence for a plant that the gate keeps out, the same in every answer; empty for one that may be ranked."""
    out = OUT[found.code]
    return out[1](found) if out else ""


def barred(found: Eligibility) -> tuple[Reason, str] | None:
    """The code and the sentence of a plant that the gate keeps out of the ranking; None for one that may be ranked."""
    out = OUT[found.code]
    if out is None:
        return None
    next_door = found.code == GateCode.NOT_RECORDED and bool(found.near)
    return NEXT_DOOR if next_door else out[0], out[1](found)


def lawful_natives(
    catalogue: Catalogue,
    plants: Iterable[Plant],
    pond: Pond,
    next_door: bool,
    rule_out: Callable[[str, Reason, str, GateCode], None],
) -> tuple[list[Plant], dict[str, Eligibility]]:
    """The plants that law, nativity and what is known leave, in their order, and what the gate found of each.

    `rule_out` is handed the plant_id, the code, the sentence and the gate's code of every other one.
    """
    kept, passed = [], {}
    for plant in plants:
        found = eligibility(catalogue, plant.plant_id, pond.state, next_door)
        if out := barred(found):
            rule_out(plant.plant_id, *out, found.code)
        else:
            kept.append(plant)
            passed[plant.plant_id] = found
    return kept, passed


def no_shore(pond: Pond) -> str:
    """Why nothing at all is set along this shore; empty where something may be."""
    if any(s.plantable_ft > 0 for s in pond.stretches):
        return ""
    walls = any(s.wall for s in pond.stretches)
    return f"nothing is set on your shore: {site_factors.WALL if walls else 'all of it is kept clear'}"


def why_not(plants: Traits, judged: Sites, pond: Pond, row: int) -> tuple[Reason, str]:
    """The code and the sentence for a plant that has no place: the first factor that leaves it none."""
    if nowhere := no_shore(pond):
        return Reason.SITE, nowhere
    open_ = np.array([s.plantable_ft > 0 for s in pond.stretches])
    no_bank = all(s.dam or s.plantable_ft == 0 for s in pond.stretches)
    if plants.woody[row] and no_bank:
        return (
            Reason.DAM,
            f"woody plants are kept off dams and {OFF_DAM_FT:g} ft from them (state dam rules differ)",
        )
    lives = judged.factors["depth"][row, 0] > 0
    if no_bank and not lives[~ON_BANK].any():
        return (
            Reason.DAM,
            "it lives on the bank above the water's edge, and on a dam only low grass belongs there",
        )
    if no_bank and not (lives & stands_low(plants)[row]).any():
        return Reason.DAM, (
            f"it stands more than {DAM_TALLEST_IN / 12:.0f} ft over the water: on a dam that hides seeps and burrows "
            "(state dam rules differ)"
        )
    plant = OnePlant(plants, row)
    shape = judged.index.shape[1:]
    values = {name: np.broadcast_to(f[row], shape) for name, f in judged.factors.items()}
    reachable = (pond.max_depth_in >= DEPTHS) & open_[:, None]
    for factor in site_factors.FACTORS:
        index = values[factor.name]
        if factor.by_depth or np.isnan(index).all():
            continue
        if np.nanmax(np.where(reachable, index, 0.0)) <= 0.0:
            return Reason.SITE, factor.ruling_out(plant, pond)
    alive = reachable & (values[DEPTH.name] > 0)
    if not alive.any():
        return Reason.SITE, DEPTH.ruling_out(plant, pond)
    others = [f for f in site_factors.FACTORS if f.by_depth and f is not DEPTH]
    for factor in others:
        if not np.nan_to_num(np.where(alive, values[factor.name], 0.0), nan=1.0).any():
            return Reason.SITE, factor.ruling_out(plant, pond)
    at_fault = [f.name for f in others if (alive & (values[f.name] <= 0)).any()]
    return Reason.SITE, f"{' and '.join(at_fault)} together leave it no depth to live in"
