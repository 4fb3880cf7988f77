"""Places you keep clear of plants: which kind your words name, and what that means for plants that drift."""

from __future__ import annotations

import re

DIFFUSER_DEPTH_FT = (
    6.0  # common practice, no source: shallower, a diffuser lifts little water and stirs up mud
)
# Feet round a marked place in which nothing is planted, where you don't say: room to work, for a boat or a line. Judgement.
USUAL_AROUND_FT = 10.0
AROUND_FT: dict[str, float] = {"air line": 3.0, "deep hole": 0.0}
OFF_DAM_FT = 25.0  # woody plants from a dam: common practice, no source; state rules differ
UNDER_WATER = ("diffuser", "deep hole")  # kinds that stand in the water, never on the bank
LOOSE_WAYS = ("fragments", "turions", "offsets")  # ways of jumping by which a piece of the plant drifts off
EXITS = ("riser", "spillway")  # ways out of the pond for what drifts

# Kind of place: the words that name it, whole, in the singular or with an s or es ("paddock" names no dock, "monkey
# grass" no monk). The first kind with a word in the text is taken.
KINDS: dict[str, tuple[str, ...]] = {
    "air line": ("air line", "airline", "air hose", "air tubing", "air pipe"),
    "diffuser": ("diffuser", "aerator", "aeration", "bubbler", "air stone", "airstone"),
    "riser": (
        "riser",
        "standpipe",
        "stand pipe",
        "drain",
        "drainpipe",
        "drainage pipe",
        "trickle tube",
        "principal spillway",
        "monk",
    ),
    "spillway": ("spillway", "overflow", "weir", "outlet", "outflow"),
    "dock": ("dock", "dockside", "pier", "jetty", "jetties", "boat ramp", "boat launch", "boathouse"),
    "swimming lane": ("swim", "swimming", "swimmer", "beach", "bathing"),
    "casting lane": ("casting", "cast", "fishing", "angling"),
    "inflow": (
        "inflow",
        "inlet",
        "feeder",
        "creek",
        "stream",
        "gully",
        "gullies",
        "ditch",
        "culvert",
        "spring",
    ),
    "livestock ramp": ("livestock", "cattle", "stock ramp", "watering ramp", "watering place", "ramp"),
    "waterfall": ("waterfall", "cascade"),
    "deep hole": ("deep hole", "deepest place", "deepest spot", "deep spot"),
}
_NAMED = {kind: re.compile(rf"\b(?:{'|'.join(words)})(?:e?s)?\b") for kind, words in KINDS.items()}
KIND_WORDS: dict[str, str] = {
    "air line": "keep it free of roots and anchors, and mark where it comes ashore",
    "diffuser": "leave the rising water open",
    "riser": "leave it open all round, so that nothing drifts in and clogs it",
    "spillway": "nothing but low grass on it, so that a flood can pass",
    "dock": "leave open water beside it",
    "swimming lane": "keep it open down to the bottom: plants tangle swimmers",
    "casting lane": "leave the bank low and the water open",
    "inflow": "leave it open: what is planted here is carried through the pond",
    "waterfall": "leave room to build it, and open water where it falls",
    "deep hole": "leave it open: fish go there in heat and cold",
    "livestock ramp": "fence the rest of the shore, and plant nothing poisonous to stock near it",
    "other": "kept clear as you asked",
}


def kind_of_place(what: str) -> str:
    """The kind of place that a free text names, a key of KIND_WORDS; "other" if no word is known."""
    text = " ".join(what.lower().replace("-", " ").split())
    return next((kind for kind, words in _NAMED.items() if words.search(text)), "other")


def breaks_loose(growth_form: str, jump_by) -> bool:
    """Whether a plant floats free or sheds pieces that drift and root elsewhere."""
    return growth_form == "free-floating" or any(way in LOOSE_WAYS for way in jump_by)


def exits_of(places, dammed: bool) -> tuple[str, ...]:
    """The ways out of the pond for what drifts: those named among `places` (KeepClear values); a dam has a spillway, named or
    not."""
    kinds = {place.kind for place in places}
    return tuple(kind for kind in EXITS if kind in kinds) or (("spillway",) if dammed else ())


def loose_plant_warning(places, growth_form: str, jump_by, *, dammed: bool = False) -> str:
    """What an owner should know of a plant that floats or breaks loose where there is a riser or spillway.

    Empty when the plant stays where it is rooted or there is no way out of the pond.
    """
    exits = exits_of(places, dammed)
    if not exits or not breaks_loose(growth_form, jump_by):
        return ""
    does = "floats free" if growth_form == "free-floating" else "breaks loose and drifts"
    return (
        f"{does}: it can clog the {' and the '.join(exits)} and leave the pond there; keep it off the water "
        "upstream and upwind of there, and look for what has drifted in after every storm"
    )


def diffuser_advice(places, max_depth_ft: float) -> str:
    """Where a diffuser belongs: six feet or deeper (common practice, no source). Empty when it is or none is named."""
    found = [place for place in places if place.kind == "diffuser"]
    if not found or all(
        place.depth_ft is not None and place.depth_ft >= DIFFUSER_DEPTH_FT for place in found
    ):
        return ""
    if max_depth_ft < DIFFUSER_DEPTH_FT:
        return (
            f"A diffuser belongs where it is {DIFFUSER_DEPTH_FT:g} ft or deeper (common practice); this pond is "
            f"{max_depth_ft:g} ft at most: ask whoever sells it for one made for shallow water."
        )
    told = [
        f"{place.depth_ft:g} ft"
        for place in found
        if place.depth_ft is not None and place.depth_ft < DIFFUSER_DEPTH_FT
    ]
    said = f"; yours is in {' and '.join(told)}" if told else ""
    return f"A diffuser belongs where it is {DIFFUSER_DEPTH_FT:g} ft or deeper (common practice){said}."
