"""What the law and the lists say of a plant that the owner set: the gate's word, in words for a plant that is there.

A plant may stand in a pond for years before it is listed, or be set by someone who never asked. Whatever the readings
say, this comes first.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from enum import Enum

from plantpick.catalogue.plants import Catalogue
from plantpick.ranking.eligibility import Eligibility, GateCode, eligibility
from plantpick.ranking.ruled_out import not_recorded


class Duty(Enum):
    """What the owner of a planted stand has to do, whatever its size."""

    TAKE_OUT = "take out"
    LEAVE_ALONE = "leave alone"
    KNOW = "know"  # size and rate still say what to do


PLANTED: dict[GateCode, tuple[Duty, Callable[[Eligibility], str]] | None] = {  # code of the gate
    GateCode.LISTED: (
        Duty.TAKE_OUT,
        lambda e: (
            f"{e.law}. Have it identified, ask the agency how to get rid of it, and move no piece of it off your land"
        ),
    ),
    GateCode.PERMIT: (
        Duty.KNOW,
        lambda e: (
            f"{e.law}. If you have no permit, ask the agency for one or how to get rid of it; move no piece of it off "
            "your land"
        ),
    ),
    GateCode.PROTECTED: (
        Duty.LEAVE_ALONE,
        lambda e: (
            "rare and protected. Leave it where it grows, and ask your state's wildlife agency before you cut it"
        ),
    ),
    GateCode.DANGER: (
        Duty.TAKE_OUT,
        lambda e: "dangerous to people or stock. Have it identified, and touch it only with gloves",
    ),
    GateCode.INVADER: (
        Duty.TAKE_OUT,
        lambda e: (
            "not native to the lower 48 states, and known to take over. Take it out, and set a native instead"
        ),
    ),
    GateCode.INTRODUCED: (
        Duty.KNOW,
        lambda e: "not native to the lower 48 states. Set no more of it",
    ),
    GateCode.INTRODUCED_HERE: (
        Duty.KNOW,
        lambda e: f"native elsewhere, brought into {e.state_name}. Set no more of it",
    ),
    GateCode.NOT_RECORDED: (
        Duty.KNOW,
        lambda e: "" if e.near else f"{not_recorded(e)}. Have it identified: it may be another plant",
    ),
    GateCode.WATCHED: (
        Duty.KNOW,
        lambda e: f"on an advisory list in {e.state_name}. Ask the agency before you set more of it",
    ),
    GateCode.DRY_GROUND: None,
    GateCode.LITTLE_KNOWN: None,
    GateCode.GENUS_ONLY: None,
    GateCode.UNSURE: None,
    GateCode.NEXT_DOOR: None,
    GateCode.CLEAR: None,
}


@dataclass(frozen=True, kw_only=True)
class PlantedLaw:
    """The gate's word on a plant that the owner set: its `code`, and what it `says`, empty where nothing is."""

    code: GateCode
    duty: Duty
    says: str


def law_of_planted(catalogue: Catalogue, plant_id: str, state: str) -> PlantedLaw:
    """Ask the gate about a plant that the owner set in a state (two-letter code)."""
    found = eligibility(catalogue, plant_id, state)
    known = PLANTED[found.code]
    if known is None:
        return PlantedLaw(code=found.code, duty=Duty.KNOW, says="")
    duty, words = known
    return PlantedLaw(code=found.code, duty=duty, says=words(found))
