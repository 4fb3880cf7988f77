"""The gate of law and nativity: what stands against one plant in one state, before any pond is looked at.

Ranking, plan, offers and volunteers all ask here and word the one code for their own question, so that they cannot
disagree on the facts. Nothing here knows a pond.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from plantpick.catalogue.law import Listing
from plantpick.catalogue.plants import Catalogue, Plant
from plantpick.catalogue.protection import Protected, protected_words
from plantpick.vocabulary import STATES, neighbors

FAST_FT_YR = 2.0  # an introduced plant whose edge moves this far in a year is known to take over (judgement)


class GateCode(StrEnum):
    """What stands against a plant, in the order of asking: the first that holds is the plant's code."""

    LISTED = "listed"  # a binding list forbids or restricts it here
    PERMIT = "permit"  # a native that a binding list lets you own with a permit
    PROTECTED = "protected"  # a rare native: it stays where it grows
    DANGER = "danger"  # dangerous to people or stock: do not plant it
    INVADER = "invader"  # not native to the lower 48 states, and known to take over
    INTRODUCED = "introduced"  # not native to the lower 48 states, or garden-bred
    INTRODUCED_HERE = "introduced here"  # native elsewhere, brought into this state
    DRY_GROUND = "dry ground"  # no plant for a pond's edge
    NOT_RECORDED = "not recorded"  # no record of it in this state
    LITTLE_KNOWN = "too little known"  # cannot be placed, or its spread cannot be forecast
    WATCHED = "watch"  # on an advisory list here
    GENUS_ONLY = "genus only"  # its name covers a whole genus, and a forbidden plant looks like it
    UNSURE = "unsure"  # it may or may not be native here
    NEXT_DOOR = "next door"  # native in a neighboring state only, which the owner has allowed
    CLEAR = "clear"


@dataclass(frozen=True, kw_only=True)
class Eligibility:
    """What stands against one plant in one state: `code` is the gate's, the rest are the facts behind it.

    `native` is native, introduced, unsure or not recorded. `near` are the neighboring states where it is native, given
    only for a plant that is not recorded here; `elsewhere` the other states that bind it by law, the neighbors first.
    """

    plant_id: str
    state: str
    code: GateCode
    native: str
    foreign: bool  # not native to the lower 48 states
    listing: Listing | None = None
    named: str = ""  # " as X" where the list names it otherwise
    near: tuple[str, ...] = ()
    elsewhere: tuple[str, ...] = ()
    advisory: bool = False
    protected: tuple[Protected, ...] = ()  # on lists of protected plants, here and federal

    @property
    def state_name(self) -> str:
        return STATES[self.state][0]

    @property
    def refused(self) -> bool:
        """Listed here, advised against here, or brought in: no doubt about a name may clear it."""
        return bool(self.listing or self.foreign or self.advisory or self.native == "introduced")

    @property
    def protection(self) -> str:
        """What lists of protected plants say of it here, and what to do; empty where none has it."""
        return protected_words(self.protected)

    @property
    def rarity(self) -> str:
        """How a plant that stays where it grows is protected."""
        lists = [row.words for row in self.protected if row.federal_species]
        return ", ".join(("rare and protected", *lists))

    @property
    def law(self) -> str:
        """What the list says, where, and its citation; empty for a plant on no binding list."""
        if self.listing is None:
            return ""
        says = self.listing.status
        if says == "permit":
            says = "needs a permit" if self.code == GateCode.PERMIT else "allowed by permit only"
        return f"{says} in {self.listing.where}{self.named} ({self.listing.citation})"

    @property
    def law_dated(self) -> str:
        """The same with the list's date, where the citation does not hold it."""
        listing = self.listing
        if listing is None or not listing.as_of or listing.as_of[:4] in listing.citation:
            return self.law
        return f"{self.law[:-1]}, {listing.as_of})"


def eligibility(catalogue: Catalogue, plant_id: str, state: str, next_door: bool = False) -> Eligibility:
    """Ask the gate for one plant of the catalogue in one state (two-letter code).

    `next_door` lets in plants that are native in a neighboring state only.
    """
    plant = catalogue.plant(plant_id)
    native = catalogue.status_in(plant_id, state)
    protected = catalogue.protected_in(plant_id, state)
    foreign = plant.introduced
    listing = catalogue.listed(plant_id, state)
    elsewhere = catalogue.listed_elsewhere(plant_id, state)
    advised_against = catalogue.advised_against(plant_id, state)
    near: tuple[str, ...] = ()
    if native == "not recorded" and not foreign:
        near = tuple(s for s in neighbors(state) if catalogue.status_in(plant_id, s) == "native")

    brought = foreign or native == "introduced"
    never, rare = "never plant" in plant.cautions, "wild harvest" in plant.cautions
    stands = {
        GateCode.LISTED: listing is not None and (listing.status != "permit" or brought),
        GateCode.PERMIT: listing is not None,
        GateCode.PROTECTED: any(row.federal_species for row in protected) or (never and rare and not brought),
        GateCode.DANGER: never,
        GateCode.INVADER: foreign and (bool(elsewhere) or advised_against or _takes_over(plant)),
        GateCode.INTRODUCED: foreign,
        GateCode.INTRODUCED_HERE: native == "introduced",
        GateCode.DRY_GROUND: plant.growth_form == "upland",
        GateCode.NOT_RECORDED: native == "not recorded" and not (next_door and near),
        GateCode.LITTLE_KNOWN: not plant.well_known,
        GateCode.WATCHED: advised_against,
        GateCode.GENUS_ONLY: plant.whole_genus and "lookalike" in plant.cautions,
        GateCode.UNSURE: native == "unsure",
        GateCode.NEXT_DOOR: native == "not recorded",
        GateCode.CLEAR: True,
    }
    return Eligibility(
        plant_id=plant_id,
        state=state,
        code=next(code for code in GateCode if stands[code]),
        native=native,
        foreign=foreign,
        listing=listing,
        named=listing.named(plant.scientific_name) if listing else "",
        near=near,
        elsewhere=elsewhere,
        advisory=advised_against,
        protected=protected,
    )


def _takes_over(plant: Plant) -> bool:
    fast = plant.spread_high_ft_yr >= FAST_FT_YR or plant.doubling_days > 0  # NaN compares false
    return plant.jump == "high" or fast or "never plant" in plant.cautions
