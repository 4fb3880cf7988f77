"""How the answers to the questions are read, and what is taken for what nobody knows.

A reader takes the answer, the pond so far (`told`, the pond file as nested dicts) and the stretch or place that is being
filled in (`entry`); it returns keys and values of the pond file, or raises ValueError in words for the owner.
"""

from __future__ import annotations

import math
import re

from plantpick import plainwords as plain
from plantpick import words
from plantpick.errors import did_you_mean
from plantpick.pond import ACRE_FT2, SHORE_OVER_CIRCLE

DONT_KNOW = "don't know"
UNKNOWN_SLOPE = (
    5.0  # flatter than the 3:1 that ponds are dug to, so that spread is not made too little: judgement
)
UNKNOWN_DEPTH_FT = 8.0  # judgement
UNKNOWN_CLEAR_FT = 30.0  # room round a riser or a dock: judgement
FRESH_PPT = 0.1  # fresh water, as the catalogue's plants are judged by: judgement

# The half zone of much of each state, from memory of the USDA map of 2023. Hills and coasts lie two zones either way.
USUAL_ZONE = dict(
    pair.split(":")
    for pair in (
        "AL:8a AR:7b AZ:8a CA:9a CO:5b CT:6b DC:7b DE:7b FL:9b GA:8b IA:5a ID:6a IL:6a IN:6a KS:6b KY:6b LA:9a MA:6a MD:7a "
        "ME:5a MI:5b MN:4b MO:6b MS:8b MT:4b NC:8a ND:4a NE:5b NH:5b NJ:7a NM:7a NV:7a NY:6a OH:6a OK:7a OR:8a PA:6b RI:7a "
        "SC:8b SD:5a TN:7b TX:8b UT:6b VA:7b VT:5a WA:8a WI:5a WV:6b WY:4b"
    ).split()
)


def shore_ft(told: dict) -> float | None:
    """Length of the whole shore as estimated from the area; None while that is not known."""
    acres = _value(told, "water", "area_acres")
    return SHORE_OVER_CIRCLE * 2.0 * math.sqrt(math.pi * acres * ACRE_FT2) if acres else None


def described_ft(told: dict) -> float:
    """Feet of shore that the stretches so far add up to."""
    return sum(s.get("length_ft", 0.0) for s in told.get("shore", []))


def _value(told: dict, section: str, key: str):
    inner = told.get(section, {}) if section else told
    return inner.get(key) if isinstance(inner, dict) else None


def state(text: str) -> str:
    said = plain.tidy(text)
    return next(
        (code for code, (name, _) in words.STATES.items() if said in (code.lower(), name.lower())),
        text.strip(),
    )


def winter(text: str, told: dict, entry: dict) -> dict:
    said = re.sub(r"^(?:usda\s+)?(?:hardiness\s+)?zone\s*", "zone ", plain.tidy(text))
    if said.startswith("zone ") or re.fullmatch(r"\d{1,2}[abd-eg-z]", said):
        return {"hardiness_zone": said.removeprefix("zone ")}
    said = re.sub(r"^(?:minus\s*|(?=\S+.*\bbelow\b))", "-", re.sub(r"\babove( zero)?$", "", said))
    said = re.sub(r"\s*\bbelow\b.*$", "", said.replace("°", " ").replace("degrees", " ")).strip()
    said = re.sub(r"\s+", " ", said)
    if said.endswith(("c", "celsius")):
        return {"coldest_night_f": round(plain.number(said, ("c", "celsius")) * 1.8 + 32.0, 1)}
    return {"coldest_night_f": plain.number(said, ("f", "fahrenheit"), "12 (degrees F), or a zone, as in 8a")}


def frosts(text: str, told: dict, entry: dict) -> dict:
    days = plain.frosts(text)
    return {"frost_free": True} if days is None else dict(zip(("last_frost", "first_frost"), days))


def clarity(text: str, told: dict, entry: dict) -> dict:
    deepest = _value(told, "water", "max_depth_ft")
    if plain.tidy(text) in ("bottom", "to the bottom", "the bottom", "clear to the bottom"):
        if not deepest or "max_depth_ft" in told["water"].get("not_known", []):
            raise ValueError("How deep is the bottom where you can still see it? Give inches.")
        return {"clarity_in": round(deepest * 12.0)}
    return {"clarity_in": round(plain.length_ft(text, "in", "28 (inches), or 2 ft") * 12.0, 1)}


def salt(text: str, told: dict, entry: dict) -> dict:
    told_text = plain.tidy(text)
    if told_text in ("fresh", "freshwater", "fresh water", "none", "no", "not salty", "not"):
        return {"salinity_ppt": FRESH_PPT}
    if told_text in ("brackish", "salt", "salty", "yes"):
        raise ValueError(
            "How salty? Give parts per thousand from a meter or test strip (the sea has 35), or: don't know."
        )
    return {"salinity_ppt": plain.number(text, ("ppt", "parts per thousand", "g/l"), "0.5")}


def length(text: str, told: dict, entry: dict) -> dict:
    whole = shore_ft(told)
    if plain.tidy(text).endswith(("%", "percent", "per cent")):
        if not whole:
            raise ValueError("The pond's area is not known yet: give feet or paces.")
        return {"length_ft": float(round(plain.per_cent(text) / 100.0 * whole))}
    return {"length_ft": round(plain.length_ft(text, "ft", "420 ft, 170 paces, or 30 %"), 1)}


def usual_length(told: dict, entry: dict) -> str:
    whole = shore_ft(told)
    left = (whole or 0.0) - described_ft(told)
    return (
        f"{left:.0f} ft"
        if left > 5 and plain.tidy(entry.get("name", "")) in ("all round", "rest", "the rest")
        else DONT_KNOW
    )


def unknown_length(told: dict, entry: dict) -> dict:
    """What is left of the shore, at most a quarter of it where there are several stretches (judgement)."""
    whole = shore_ft(told) or 1200.0
    left = max(whole / 10.0, whole - described_ft(told))
    return {
        "length_ft": float(round(left if usual_length(told, entry) != DONT_KNOW else min(left, whole / 4.0)))
    }


def where(text: str, told: dict, entry: dict) -> dict:
    if plain.tidy(text) in ("in the water", "water", "out in the water", "none", "middle", "in the middle"):
        return {"length_ft": 0.0}
    names = [s.get("name", "") for s in told.get("shore", [])]
    if text.strip().isdigit() and 1 <= int(text) <= len(names):
        return {"stretch": names[int(text) - 1]}
    said = text.strip().lower()
    alike = [n for n in names if n.lower() == said] or [n for n in names if said in n.lower()]
    return {"stretch": alike[0] if len(alike) == 1 else text.strip()}


_SYNONYMS = {
    "goose": "geese",
    "cattle": "livestock",
    "cows": "livestock",
    "cow": "livestock",
    "horses": "livestock",
    "sheep": "livestock",
    "koi": "common carp",
    "crawfish": "crayfish",
    "turtle": "turtles",
}


def residents(text: str, told: dict, entry: dict) -> dict:
    allowed = tuple(words.GRAZERS)
    found = [_SYNONYMS.get(word, word) for word in plain.several(text, allowed)]
    unknown = [word for word in found if word not in allowed]
    if unknown:
        raise ValueError(
            f'"{unknown[0]}" is not in the list: {", ".join(allowed)}; or none. '
            f"{did_you_mean(unknown[0], allowed)}".strip()
        )
    return {g.replace(" ", "_"): g in found for g in allowed}


def tolerance(text: str, told: dict, entry: dict) -> dict:
    word = plain.tidy(text)
    return {"tolerance": word if not any(c.isdigit() for c in word) else plain.per_cent(text)}
