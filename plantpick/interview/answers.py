"""Reads the answers to the questions, and says what to assume where nobody knows.

A reader takes the answer, the pond so far (`told`, the pond file as nested dicts) and the stretch or place at hand
(`entry`). It returns keys and values of the pond file, or raises ValueError with a sentence for the owner.
"""

from __future__ import annotations

import math
import re

from plantpick import vocabulary
from plantpick.errors import did_you_mean
from plantpick.interview import plain_words
from plantpick.interview.state_names import ASK, outside, state_code
from plantpick.pond.keep_clear import kind_of_place
from plantpick.pond.model import ACRE_FT2, SHORE_OVER_CIRCLE
from plantpick.units import PACE_FT

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


def name(text: str, told: dict, entry: dict) -> dict:
    """What the pond is called."""
    if _is_mere_yes(text) or " ".join(plain_words.words_of(text)) in _NO_NAME:
        raise ValueError("What do you call it? Any name will do, as in Home Pond.")
    return {"name": text.strip()}


def stretch(text: str, told: dict, entry: dict) -> dict:
    """What a stretch of shore is called. "yes" to "the next stretch?" is no name, and neither is a length."""
    text = _without_yes(text)
    if _is_mere_yes(text) or _is_a_no(text):
        raise ValueError(
            "What do you call it? As in: dam, north bank, east side. When there are no more, say: no more."
        )
    if not any(c.isalpha() for c in text) or plain_words.is_length(text):
        raise ValueError(
            "That has no name in it. What do you call the stretch? As in: dam, north bank. Its length is asked next."
        )
    return {"name": text.strip()}


def place(text: str, told: dict, entry: dict) -> dict:
    """What has to stay clear: one thing at a time."""
    text = _without_yes(text)
    if _is_a_no(text):
        raise ValueError("Name what has to stay clear, as in dock; if that is all, say: no more.")
    if _is_mere_yes(text) or " ".join(plain_words.words_of(text)) in _ALL_OF_IT:
        raise ValueError(
            "Which one? As in: dock, drain pipe, spillway. When there are no more, say: no more."
        )
    if not any(c.isalpha() for c in text):
        raise ValueError("Name it, as in dock or drain pipe; or say: no more.")
    parts = [p.strip() for p in re.split(r"[,;&+/]|\band\b|\bplus\b", text) if p.strip()]
    kinds = {kind_of_place(p) for p in parts} - {"other"}
    if len(parts) > 1 and len(kinds) > 1:
        raise ValueError(f"One at a time, each has a place of its own. The first one: {parts[0]}")
    return {"what": text.strip()}


_MERE_YES = frozenset(
    "y yes yep yeah yup ya yea sure ok okay right correct true next another one more again please si go on continue "
    "there is are i do have yes,".split()
)
_NO_NAME = (
    "no",
    "none",
    "nope",
    "nothing",
    "no name",
    "unnamed",
    "it has no name",
    "doesn't have one",
    "not named",
)


_ALL_OF_IT = (
    "all",
    "all of them",
    "all of these",
    "everything",
    "several",
    "a few",
    "some",
    "many",
    "all of the above",
)


def _without_yes(text: str) -> str:
    """The name after "yes, "."""
    return re.sub(
        r"^(?:yes|yeah|yep|yup|sure|ok|okay)\s*[,:;.-]\s*(?=\w)", "", text.strip(), flags=re.IGNORECASE
    )


def _is_a_no(text: str) -> bool:
    """Whether an answer says that there is no more of it, in other words than those that end a list."""
    told = plain_words.words_of(text)
    if not told or told[0] not in ("no", "not"):
        return told[:1] in (["none"], ["nothing"], ["nope"], ["nah"])
    return len(told) > 1 and told[1] in _AFTER_NO


_AFTER_NO = (
    "there",
    "there's",
    "i",
    "we",
    "it",
    "not",
    "really",
    "right",
    "at",
    "any",
    "that",
    "thats",
    "sir",
    "more",
    "other",
)


def _is_mere_yes(text: str) -> bool:
    """Whether an answer says yes, and names nothing."""
    told = plain_words.words_of(text)
    return bool(told) and all(word in _MERE_YES for word in told)


def state(text: str) -> str:
    """A state's code; what is no state is left for the check of the pond file."""
    if outside(text):
        raise ValueError(f"The plants here are those of the lower 48 states and DC. {ASK}")
    code = state_code(text)
    if code is None and "," in text:
        raise ValueError(f"Which state is that in? {ASK}")
    return code or text.strip()


_WEST = frozenset("AZ CA CO ID MT NM NV OR TX UT WA".split())  # hills and coasts lie far apart in zone
_MOST_OFF = {True: 55.0, False: 35.0}  # degrees F off the usual of the state, west and east: judgement
_ZONES_48 = range(
    1, 12
)  # whole zones of the lower 48 (USDA 2023: 3a in Minnesota to 11b in the Florida Keys)


def winter(text: str, told: dict, entry: dict) -> dict:
    found = _winter(text)
    home = told.get("state")
    if home in USUAL_ZONE:
        usual = 10.0 * vocabulary.zone_number(USUAL_ZONE[home]) - 70.0 + 2.5
        zone = str(found.get("hardiness_zone", ""))
        said = found.get("coldest_night_f")
        if zone:
            said = 10.0 * vocabulary.zone_number(zone) - 70.0 + 2.5 if zone in vocabulary.ZONES else None
        if said is not None and abs(said - usual) > _MOST_OFF[home in _WEST]:
            where = vocabulary.STATES[home][0]
            raise ValueError(
                f"{'Zone ' + zone if zone else f'{said:g} F'} does not occur in {where}: zone {USUAL_ZONE[home]} is usual "
                "there. Look yours up by ZIP code. If the state is wrong, go back."
            )
    return found


def _winter(text: str) -> dict:
    said = plain_words.unhedged(text).replace("\u00b0", " ").replace("\u00ba", " ")
    said = re.sub(r"^(?:usda\s+)?(?:hardiness\s+)?zone\s*", "zone ", said)
    if said.startswith("zone ") and (figure := plain_words.figure_of(said.removeprefix("zone "))):
        said = f"zone {figure}"
    said = re.sub(r"^(\d{1,2}[ab]?)\s+(?:hardiness\s+)?zone$", r"zone \1", said)
    if spans := re.fullmatch(r"(?:zone )?(\d{1,2}[ab]?)\s*(?:-|to|or|/)\s*(?:zone )?(\d{1,2}[ab])", said):
        raise ValueError(f"Give one zone; the colder one is the safe one: {spans[1]}.")
    if re.fullmatch(r"\d{1,2}\s*/\s*\d{1,2}\D*", said):  # no part of a degree
        raise ValueError("Write one number of degrees, as in 12 F, or one zone, the colder, as in 8a.")
    if (
        said.startswith("zone ")
        or re.fullmatch(r"\d{1,2}\s*[ab]", said)
        or re.fullmatch(r"\d{1,2}[d-z]", said.replace("f", ""))
    ):
        zone = said.removeprefix("zone ").replace(" ", "")
        return {"hardiness_zone": f"{zone}a" if zone.isdigit() else zone}  # the colder half: the cautious one
    said = re.sub(r"^(?:a |the )?lows? (?:of|is|are) ", "", said)
    said = re.sub(r"^(?:(?:it|that|we) )?(?:gets?|goes|got|drops?|falls?)(?: down)? to ", "", said)
    bare = re.sub(r"\bdegrees?\b|\bdeg\b|\bat night\b|\bin winter\b|\bor lower\b", " ", said)
    bare = re.sub(r"\babove(?: zero)?\s*$", " above", bare)
    is_below = bool(re.search(r"\bbelow\b(?: zero| 0)?|^(?:minus|negative)\b", bare))
    if "below" in bare and "freezing" in bare:
        raise ValueError(
            "Below freezing is not below zero. Write the degrees on the thermometer, as in 12 F or -5 F."
        )
    bare = re.sub(r"\bbelow\b(?: zero| 0)?|^(?:minus|negative)\b", " ", bare)
    is_above = "above" in bare
    bare = " ".join(bare.replace("above", " ").split())
    if bare in ("zero", "freezing"):
        bare = "0 f" if bare == "zero" else "32 f"
    found = plain_words.signed(
        bare, ("f", "fahrenheit", "c", "celsius", "centigrade"), "12 (degrees F), or a zone, as in 8a"
    )
    value = -abs(found.value) if is_below else found.value
    has_degrees = bool(found.unit) or is_below or is_above or "degree" in said or bare != said or value <= 0
    if not has_degrees and value.is_integer() and int(value) in _ZONES_48:
        raise ValueError(f"Is {value:g} the zone or the degrees? Write: zone {value:g}, or {value:g} F.")
    if found.unit.startswith("c"):
        value = round(value * 1.8 + 32.0, 1)
    if value > 45.0 and value <= 75.0:
        raise ValueError(
            f"{value:g} F would be a winter without cold. What does the thermometer show on the coldest night of the year? "
            "Or give the zone, as in 9a."
        )
    return {"coldest_night_f": value}


def frosts(text: str, told: dict, entry: dict) -> dict:
    days = plain_words.frosts(text)
    return {"frost_free": True} if days is None else dict(zip(("last_frost", "first_frost"), days))


def _plainly(value: float) -> str:
    return f"{value:,.10g}"


def area(text: str, told: dict, entry: dict) -> dict:
    found = plain_words.area(text)
    if not found.unit and found.number > 100:
        acres = found.number / ACRE_FT2
        feet = (
            f"; as square feet it would be {acres:.2g} acres: {_plainly(found.number)} sq ft"
            if acres >= 0.02
            else ""
        )
        raise ValueError(
            f"{_plainly(found.number)} acres would be a lake. If you mean acres, write: "
            f"{_plainly(found.number)} acres{feet}."
        )
    if found.unit and found.value < 0.02:
        raise ValueError(
            f"That comes to {found.value * ACRE_FT2:,.0f} square feet, less than a pond (0.02 acres). In feet? Write the "
            "longest way by the widest, as in 400 x 250 ft, or acres."
        )
    return {"area_acres": round(found.value, 2)}


def deepest(text: str, told: dict, entry: dict) -> dict:
    if re.search(r"\b(?:averages?|avg|mean)\b", text.lower()):
        raise ValueError(
            "How deep is the deepest spot? The mean is less. Write the greatest depth, as in 9 ft."
        )
    found = plain_words.length(text)
    if not found.unit and found.number > 30:
        raise ValueError(
            f"{_plainly(found.number)} ft is deep for a pond. Write {_plainly(found.number)} ft if it is so; "
            f"{_plainly(found.number)} in would be {found.number / 12:.1f} ft."
        )
    acres = _value(told, "water", "area_acres")
    across = 2.0 * math.sqrt(acres * ACRE_FT2 / math.pi) if acres else math.inf
    if found.value > across / 2.0:
        raise ValueError(
            f"{found.value:,.0f} ft deep does not fit into water {across:,.0f} ft across (a circle of {acres:g} acres): its "
            "banks would be cliffs. Give the depth in feet, or go back to the area."
        )
    return {"max_depth_ft": round(found.value, 1)}


_LOOKS = frozenset(
    "muddy murky cloudy clear turbid green brown stained tea dark milky dirty clean crystal good bad fair poor ok".split()
)


def clarity(text: str, told: dict, entry: dict) -> dict:
    deepest = _value(told, "water", "max_depth_ft")
    said = plain_words.words_of(plain_words.unhedged(text))
    if " ".join(said) in _TO_THE_BOTTOM:
        if not deepest or "max_depth_ft" in told["water"].get("not_known", []):
            raise ValueError("How deep is the bottom where you can still see it? Give inches.")
        return {"clarity_in": round(deepest * 12.0)}
    if set(said) & _LOOKS and not any(c.isdigit() for c in text):
        raise ValueError(
            "How far down does the light go? Lower a white plate, or your hand, and give the inches where it goes out of "
            "sight, as in 12 in."
        )
    found = plain_words.length(text, "in", "28 (inches), or 2 ft")
    if not found.unit and 0 < found.number <= 8:
        many = _plainly(found.number)
        raise ValueError(f"{many} inches or {many} feet? Write {many} in or {many} ft.")
    return {"clarity_in": round(found.value * 12.0, 1)}


_TO_THE_BOTTOM = (
    "bottom",
    "to the bottom",
    "the bottom",
    "clear to the bottom",
    "can see bottom",
    "see the bottom",
    "i can see the bottom",
    "you can see the bottom",
    "can see the bottom",
    "all the way to the bottom",
    "all the way down",
    "clear all the way down",
    "clear to bottom",
)
_STAYS = (
    "stays|it stays|it doesn't|doesn't|does not|it does not|not at all|never|it doesn't drop|it doesn't fall|it never drops|"
    "stays full|it stays full|always full|not any|stays the same|it stays the same|doesn't drop|doesn't fall|zero|nope|"
    "spring fed stays full|doesn't change|it doesn't change|no drop"
).split("|")


def drop(text: str, told: dict, entry: dict) -> dict:
    said = " ".join(plain_words.words_of(plain_words.unhedged(text)))
    if said in _STAYS or re.fullmatch(
        r"(?:no )?(?:it )?(?:never|doesn't|does not)(?: ever)? (?:drops?|falls?|changes?|goes down|go down|moves?)",
        said,
    ):
        return {"usual_drop_ft": 0.0}
    found = plain_words.length(text)
    if found.is_part and not found.unit:
        raise ValueError("Half of what? Write feet or inches, as in 6 in.")
    if not found.unit and found.number > 0 and (found.number.is_integer() or found.number > 4):
        many = _plainly(found.number)
        raise ValueError(f"{many} feet or {many} inches? Write {many} ft or {many} in.")
    return {"usual_drop_ft": round(found.value, 2)}


_ALKALINITY_UNITS = {  # mg/L as calcium carbonate; a degree of carbonate hardness is 17.85, a milliequivalent 50.04
    "mg/l": 1.0,
    "ppm": 1.0,
    "parts per million": 1.0,
    "dkh": 17.85,
    "kh": 17.85,
    "meq/l": 50.04,
}
_ALKALINITY_WORDS = ("alkalinity", "total alkalinity", "alkalinity of", "total alkalinity of", "alk")


def _alkalinity(text: str) -> float | None:
    """The alkalinity that somebody gave in place of a pH; None where the answer speaks of none."""
    low = text.lower()
    if "hardness" in low and "alk" not in low:
        raise ValueError(
            "Hardness is not alkalinity: a pool strip shows both. Write it as in alkalinity 60 mg/L."
        )
    if not re.search(r"\balk|\bmg ?/ ?l\b|\bppm\b|parts per million|\bd?kh\b|\bmeq", low):
        return None
    text = re.sub(
        r"\b(?:as )?(?:caco ?3|calcium carbonate)\b", "", plain_words.unhedged(text), flags=re.IGNORECASE
    )
    found = plain_words.signed(text, tuple(_ALKALINITY_UNITS), "alkalinity 60 mg/L", _ALKALINITY_WORDS)
    return round(found.value * _ALKALINITY_UNITS.get(found.unit, 1.0), 1)


def ph(text: str, told: dict, entry: dict) -> dict:
    if (alkalinity := _alkalinity(text)) is not None:
        return {"alkalinity_mg_l": alkalinity}
    said = plain_words.words_of(plain_words.unhedged(text))
    if said == ["neutral"]:
        return {"ph": 7.0}
    try:
        found = plain_words.signed(text, ("ph",), "7.1").value
    except ValueError as fault:
        raise ValueError(f"{fault} A test strip shows it.") from None
    if 0 < found < 4 or 10.5 < found <= 11:
        raise ValueError(
            f"A pH of {found:g} kills fish: test again with a fresh strip. Ponds run from 6 to 9 or so."
        )
    if found > 14 and found <= 140:
        raise ValueError(f"Is the point missing? pH goes from 0 to 14: {found / 10:g}?")
    return {"ph": found}


def salt(text: str, told: dict, entry: dict) -> dict:
    said = " ".join(plain_words.words_of(plain_words.unhedged(text)))
    if said in _FRESH or re.fullmatch(
        r"(?:no|nope|nah|fresh|freshwater) (?:it's |its )?(?:all )?fresh ?(?:water)?", said
    ):
        return {"salinity_ppt": FRESH_PPT}
    if not any(c.isdigit() for c in text):
        if any(
            w in said.split()
            for w in ("brackish", "salt", "salty", "yes", "saline", "little", "bit", "slightly", "y")
        ):
            raise ValueError(
                "How salty? Give parts per thousand from a meter or test strip (the sea has 35)."
            )
    thousandth = ("ppm", "mg/l", "parts per million")
    whole = ("ppt", "parts per thousand", "part per thousand", "g/l", "psu", "\u2030")
    found = plain_words.signed(text, (*whole, *thousandth), "0.5, or fresh")
    if found.unit in thousandth:
        return {"salinity_ppt": round(found.value / 1000.0, 3)}
    if not found.unit and found.value > 5:
        many = _plainly(found.value)
        raise ValueError(
            f"{many} parts per thousand (the sea has 35)? Then write {many} ppt; parts per million are {many} ppm."
        )
    return {"salinity_ppt": found.value}


_FRESH = (
    "fresh|freshwater|fresh water|none|no|not salty|not|nope|nah|not at all|no salt|it's fresh|sweet|n|sweet water|no it isn't|"
    "no not at all|not that i know of|zero|fresh as can be|no salt at all|it's freshwater|it's fresh water|rainwater"
).split("|")


def feet_of_shore(text: str, told: dict, entry: dict) -> dict:
    """Feet of shore for a place to keep clear."""
    found = plain_words.length(text)
    long = next(
        (s.get("length_ft") for s in told.get("shore", []) if s.get("name") == entry.get("stretch", "")), None
    )
    if long and found.value > 1.05 * long + 1:
        raise ValueError(
            f"{found.value:,.0f} ft is more than the whole stretch ({long:,.0f} ft): give the part of it that stays clear."
        )
    return {"length_ft": round(found.value, 1)}


def outline_file(text: str, told: dict, entry: dict) -> dict:
    """The name of a file with the pond's outline."""
    name = text.strip().strip("\"'")
    if not re.fullmatch(r".+\.(geojson|json|kml)", name, re.IGNORECASE):
        raise ValueError("Name the file with its ending, as in outline.geojson or pond.kml; or say no.")
    return {"outline": name}


def _two_feet(text: str) -> tuple[float, float]:
    """Two places on a tape, from and to, in feet."""
    halves = re.split(r"\bto\b|\band\b|\buntil\b|[-\u2013]", text.lower())
    parts = [re.sub(r"\bfrom\b|\bbetween\b", "", half).strip() for half in halves if half]
    if len(parts) != 2:
        raise ValueError("Give two places, as in 150 to 190 ft.")
    begin, end = (plain_words.length(part, "ft", "150 to 190 ft").value for part in parts)
    return round(begin, 1), round(end, 1)


def along_outline(text: str, told: dict, entry: dict) -> dict:
    """Where a stretch begins and ends along the outline."""
    begin, end = _two_feet(text)
    return {"from_ft": begin, "to_ft": end}


def on_tape(text: str, told: dict, entry: dict) -> dict:
    """Where a place to keep clear begins and ends on its stretch's tape; its feet of shore follow."""
    begin, end = _two_feet(text)
    if end <= begin:
        raise ValueError("The second place lies farther along than the first, as in 150 to 190 ft.")
    return {"from_ft": begin, "to_ft": end, "length_ft": round(end - begin, 1)}


_AS_MUCH = frozenset(
    ("as much as possible", "as much as you can", "the most", "most", "max", "maximum", "lots", "a lot")
)
BRUSH_PILE_FT2 = 400.0  # 20 x 20 ft, for an answer in piles: judgement


def _share(text: str, example: str) -> float:
    """Per cent of the surface, 0 to 100."""
    try:
        share = plain_words.per_cent(text)
    except ValueError:
        raise ValueError(f"Give a share of the surface, as in {example}.") from None
    if 0 < share < 1 and "%" not in text and "percent" not in text:
        raise ValueError(f"{share:g} of a per cent? Write {share:g} %, or {share * 100:g} %.")
    if not 0 <= share <= 100:
        raise ValueError(f"{share:g} % is no share of the surface. Give 0 to 100 %, as in {example}.")
    return share


def cover_wanted(text: str, told: dict, entry: dict) -> dict:
    """The cover wanted in all, brush among it."""
    if " ".join(plain_words.words_of(text)) in _AS_MUCH:
        raise ValueError("Bluegill do best with 15 to 30 % (FWS/OBS-82/10.8). Name a share, as in 20 %.")
    return {"cover_target_percent": _share(text, "20 %")}


def brush(text: str, told: dict, entry: dict) -> dict:
    """The brush that lies there: a share of the surface, or a number of piles."""
    if _is_a_no(text) or " ".join(plain_words.words_of(text)) in ("none", "nothing"):
        return {"brush_percent": 0.0}
    piles = re.fullmatch(
        r"\D*?(\d+(?:\.\d+)?)\s+(?:brush\s+|tree\s+)?(?:piles?|heaps?|stacks?)\b.*", text.strip().lower()
    )
    if piles:
        acres = told.get("water", {}).get("area_acres")
        if not acres:
            raise ValueError("We need the water surface first. Or give a share of it, as in 4 %.")
        share = 100.0 * float(piles[1]) * BRUSH_PILE_FT2 / (acres * 43_560.0)
        if share > 100:
            raise ValueError("So many piles would fill the pond. Check their number.")
        return {"brush_percent": round(share, 1)}
    return {"brush_percent": _share(text, "4 %, or 6 piles")}


def grown_plant(text: str, told: dict, entry: dict) -> dict:
    """A plant that grows there: one at a time. Whether there is such a plant is for the pond file's reader."""
    text = _without_yes(text)
    if _is_mere_yes(text) or not any(c.isalpha() for c in text):
        raise ValueError(
            "Which one? As in: pickerelweed, or Typha latifolia. When there are no more, say: no more."
        )
    return {"plant": text.strip()}


def grown_where(text: str, told: dict, entry: dict) -> dict:
    """The stretch that it grows on."""
    found = where(text, told, entry)
    if "stretch" not in found:
        names = ", ".join(s.get("name", "") for s in told.get("shore", []))
        raise ValueError(f"On which stretch is it nearest? There are: {names}.")
    return found


def grown_size(text: str, told: dict, entry: dict) -> dict:
    """How large the stand is: length by width in feet, square feet, or a number of plants."""
    said = text.strip().lower().replace(",", "")
    number = r"(\d+(?:\.\d+)?)"
    feet = r"\s*(?:ft|feet|foot|')?\s*(?:long\s*)?"
    if found := re.fullmatch(rf"{number}{feet}(?:x|by|\*)\s*{number}{feet}(?:wide)?", said):
        return {"length_ft": float(found[1]), "width_ft": float(found[2])}
    if found := re.fullmatch(rf"(?:about\s+)?{number}\s*(?:sq\.?\s*(?:ft|feet)\.?|square\s+feet|ft2)", said):
        return {"area_ft2": float(found[1])}
    if found := re.fullmatch(rf"(?:about\s+)?{number}\s*(?:plants?|clumps?)?", said):
        return {"plants": float(found[1])}
    raise ValueError("Give feet along the shore by feet wide, as in 60 x 8 ft; or 400 sq ft; or 12 plants.")


def diffuser_depth(text: str, told: dict, entry: dict) -> dict:
    if " ".join(plain_words.words_of(plain_words.unhedged(text))) in _TO_THE_BOTTOM:
        raise ValueError("How deep is the water there? In feet, as in 8 ft.")
    found, most = plain_words.length(text), _value(told, "water", "max_depth_ft")
    is_guess = "max_depth_ft" in told.get("water", {}).get("not_known", [])
    if most and not is_guess and found.value > most + 0.05:
        raise ValueError(
            f"{found.value:,.3g} ft is deeper than the pond ({most:g} ft). In inches? Then write it, as in 90 in."
        )
    return {"depth_ft": round(found.value, 1)}


def ten_feet_out(text: str, told: dict, entry: dict) -> dict:
    """The slope, from the depth ten feet out or as it is."""
    if (said := plain_words.ratio(text)) is not None:
        return {"slope": round(said, 2)}
    try:
        found = plain_words.length(text, "ft", plain_words.TEN_FEET_OUT)
    except ValueError as fault:
        raise ValueError(_slope_hint(text) or str(fault)) from None
    many = _plainly(found.number)
    if not found.unit and (found.number > 4 or 0 < found.number < 0.5):
        raise ValueError(
            f"{many} feet deep ten feet out, or {many} inches? Write {many} ft or {many} in; a slope is {many}:1."
        )
    most = _value(told, "water", "max_depth_ft")
    if most and "max_depth_ft" not in told["water"].get("not_known", []) and found.value > most + 0.05:
        raise ValueError(
            f"{found.value:,.3g} ft is deeper than the deepest place ({most:g} ft). In inches? Then write them, as in 30 in."
        )
    return {"slope": plain_words.slope_from_depth(found.value)}


def _slope_hint(text: str) -> str:
    """What to write in place of a word for the depth or the slope; empty where none is known."""
    said = set(plain_words.words_of(text))
    if said & {"knee", "waist", "chest", "ankle", "neck", "head", "hip", "thigh", "knees"}:
        return "How many inches or feet is that on you? As in 20 in or 3 ft."
    if re.search(r"%|percent|degree|\u00b0", text):
        return "Give the depth ten feet out, as in 30 in, or the feet out for one foot down, as in 3:1."
    if said & _STEEPNESS:
        return (
            "How deep is it there? Hold a pole into the water ten feet out and give the depth, as in 30 in. Or the slope: "
            "3:1 is a usual dug bank, 2:1 is steep, 5:1 and flatter is gentle."
        )
    return ""


_STEEPNESS = frozenset(
    "steep flat gentle gradual shallow deep sloping drops drop shelf sheer straight vertical moderate medium slow fast "
    "quick quickly over".split()
)
_WHOLE_SHORE = (
    "all",
    "all of it",
    "whole",
    "the whole shore",
    "the whole thing",
    "the whole pond",
    "everything",
    "100 percent",
)
_REST = (
    "rest",
    "the rest",
    "the rest of it",
    "what's left",
    "whats left",
    "remainder",
    "the remainder",
    "all the rest",
)


def length(text: str, told: dict, entry: dict) -> dict:
    whole, said = shore_ft(told), " ".join(plain_words.words_of(plain_words.unhedged(text)))
    share = None
    if said in _WHOLE_SHORE:
        share = 100.0
    elif re.search(r"%|\bpercent\b|\bper cent\b|\bpct\b", plain_words.tidy(text)):
        share = plain_words.per_cent(text)
    elif said not in _REST and not re.search(
        rf"\b({'|'.join(u for u in plain_words.FEET if u.isalpha())})\b", said
    ):
        try:
            share = plain_words.part_of(text)
        except ValueError:
            share = None
    if share is not None or said in _REST:
        if not whole:
            raise ValueError("The pond's area is not known yet: give feet or paces.")
        left = max(0.0, whole - described_ft(told) + entry.get("length_ft", 0.0))
        if share is None and left < 5.0:
            raise ValueError("The stretches so far make up the whole shore already: give feet or paces.")
        if share is not None and not 0.0 < share <= 100.0:
            raise ValueError("A share of the shore is from 1 to 100 %.")
        return {"length_ft": float(round(left if share is None else share / 100.0 * whole))}
    found = plain_words.length(text, "ft", "420 ft, 170 paces, or 30 %")
    if not found.unit and whole and found.number <= 100 and found.number < 0.1 * whole:
        many = _plainly(found.number)
        raise ValueError(
            f"{many} ft of a shore of about {whole:,.0f} ft? Write {many} ft or {many} %; {many} paces are "
            f"{found.number * PACE_FT:g} ft."
        )
    if not found.unit and whole and found.number > 3.0 * whole:
        many = _plainly(found.number)
        raise ValueError(
            f"The whole shore is about {whole:,.0f} ft by the area. If it is so, write {many} ft."
        )
    return {"length_ft": round(found.value, 1)}


def usual_length(told: dict, entry: dict) -> str:
    whole = shore_ft(told)
    left = (whole or 0.0) - described_ft(told)
    return (
        f"{left:.0f} ft"
        if left > 5 and plain_words.tidy(entry.get("name", "")) in ("all round", "rest", "the rest")
        else DONT_KNOW
    )


def unknown_length(told: dict, entry: dict) -> dict:
    """What is left of the shore, at most a quarter of it where there are several stretches (judgement)."""
    whole = shore_ft(told) or 1200.0
    left = max(whole / 10.0, whole - described_ft(told))
    return {
        "length_ft": float(round(left if usual_length(told, entry) != DONT_KNOW else min(left, whole / 4.0)))
    }


_IN_THE_WATER = (
    "in the water|water|out in the water|none|middle|in the middle|the middle|center|the center|in the center|out in the middle|"
    "in the pond|middle of the pond|the middle of the pond|in the middle of the pond|not on the shore|open water|"
    "in the deep water|deep water|in deep water|offshore|no stretch"
).split("|")


_ANY_SHORE = frozenset(
    "on the at along by near in a an my our side bank shore end edge shoreline part of it is stretch".split()
)


def where(text: str, told: dict, entry: dict) -> dict:
    said = plain_words.unhedged(text)
    if " ".join(plain_words.words_of(said)) in _IN_THE_WATER:
        return {"length_ft": 0.0}
    names = [s.get("name", "") for s in told.get("shore", [])]
    if text.strip().isdigit() and 1 <= int(text) <= len(names):
        return {"stretch": names[int(text) - 1]}
    wanted = [w for w in plain_words.words_of(said) if w not in _ANY_SHORE]
    same = [n for n in names if plain_words.tidy(n) == plain_words.tidy(text)]
    same = same or [n for n in names if wanted and set(wanted) <= set(plain_words.words_of(n))]
    if len(same) > 1:
        raise ValueError(f"Which of them: {', '.join(same)}?")
    if not same and not wanted:
        raise ValueError(f"On which stretch? There are: {', '.join(names)}; or: in the water.")
    return {"stretch": same[0] if same else text.strip()}


_SUNNY = {
    "full": "full|full sun|sun|sunny|all day|all day long|full all day|sun all day|all sun|full sunlight|no shade|open|wide open|"
    "no trees|fully open|full day|full sun all day|in full sun|all day sun|total sun|100 percent|direct sun|full on|pleno sol|"
    "fully sunny|very sunny|it gets full sun|always sunny|full exposure",
    "part": "part|partial|part sun|part shade|partial shade|partial sun|partly shaded|partly sunny|partly|half|half day|half the "
    "day|half shade|half sun|morning sun|afternoon sun|morning|afternoon|mornings|afternoons|morning only|afternoon only|"
    "morning sun only|dappled|some shade|some sun|mixed|half and half|semi shade|semi-shade|medium|in part shade|"
    "shade in the afternoon|shade in the morning|shady in the afternoon|part of the day|sun in the morning|sun half the day|"
    "filtered|filtered sun|dappled shade|part time|50 50|mornings only|a few hours",
    "shade": "shade|shady|shaded|full shade|deep shade|no sun|none|heavy shade|all shade|in the shade|dark|dense shade|"
    "completely shaded|mostly shade|mostly shaded|very shady|hardly any|under trees|no direct sun|"
    "shade all day|fully shaded|total shade|under big trees",
}


def sun(text: str, told: dict, entry: dict) -> dict:
    """Full, part or shade, in those words, in others or in hours a day."""
    bare = " ".join(plain_words.words_of(text))
    said = " ".join(plain_words.words_of(plain_words.unhedged(text)))
    for words_ in (bare, said):
        for level, phrases in _SUNNY.items():
            if words_ in phrases.split("|"):
                return {"sun": level}
    ask = (
        "Say full (six hours and up), part, or shade (under three hours); or the hours of sun, as in 5 hours."
    )
    try:
        hours = plain_words.signed(
            text,
            ("hours", "hour", "hrs", "hr", "h"),
            fillers=(
                "of sun",
                "of full sun",
                "of direct sun",
                "sun",
                "a day",
                "per day",
                "each day",
                "of sunlight",
                "direct",
            ),
        )
    except ValueError:
        raise ValueError(f"{ask} {did_you_mean(said, vocabulary.SUN_LEVELS)}".strip()) from None
    if not hours.unit or not 0.0 <= hours.value <= 16.0:
        raise ValueError(ask)
    return {"sun": "full" if hours.value >= 6.0 else "part" if hours.value >= 3.0 else "shade"}


_EARTHY = {  # words an owner has for a bottom, longest first where one holds another
    "packed clay": "packed clay|hard clay|tight clay|stiff clay|compacted clay|packed down clay|hard packed clay|clay packed hard|"
    "hardpan|hard pan|clay liner|bentonite|hard as a brick|hard as a rock|packed",
    "clay": "clay|clayey|gumbo|clay loam|clay soil",
    "loam": "loam|loamy|sandy loam|silt loam|topsoil|top soil|good dirt|good soil|dirt|soil|earth|garden soil",
    "sand": "sand|sandy|beach sand|sandy soil",
    "muck": "muck|mucky|mud|muddy|soft mud|ooze|peat|peaty|soft silt|deep silt|soft muck|rotten leaves|leaf litter",
    "rock": "rock|rocks|rocky|gravel|gravelly|stone|stones|stony|riprap|rip rap|rubble|shale|ledge|bedrock|cobble",
}
_BARELY_SOIL = frozenset(  # words around it that change nothing
    "its it is the a an bottom bank ground shore there mostly mainly all just kind sort of plain very really deep red yellow "
    "gray grey white blue black brown dark old natural with under below water some i think we have got our and".split()
)


def soil(text: str, told: dict, entry: dict) -> dict:
    """One of the soils, in those words or in others."""
    words_ = plain_words.words_of(plain_words.unhedged(text))
    found, rest = [], " ".join(words_)
    phrases = sorted(
        ((p, s) for s, told_ in _EARTHY.items() for p in told_.split("|")), key=lambda x: -len(x[0])
    )
    for phrase, name in phrases:
        if f" {phrase} " in f" {rest} ":
            found.append(name)
            rest = f" {rest} ".replace(f" {phrase} ", " ").strip()
    if set(found) == {"packed clay", "clay"}:
        found = ["packed clay"]
    if len(set(found)) > 1:
        raise ValueError("Name the one that a plant would root in, a spade deep.")
    if not found or set(rest.split()) - _BARELY_SOIL:
        hint = did_you_mean(" ".join(words_), vocabulary.SOILS)
        raise ValueError(f"Say one of: {', '.join(vocabulary.SOILS)}. {hint}".strip())
    return {"soil": found[0]}


_ANIMALS = {
    "goose": "geese",
    "canada geese": "geese",
    "canada goose": "geese",
    "canadian geese": "geese",
    "canadian goose": "geese",
    "canadas": "geese",
    "snow geese": "geese",
    "cattle": "livestock",
    "cow": "livestock",
    "calves": "livestock",
    "horse": "livestock",
    "sheep": "livestock",
    "goat": "livestock",
    "donkey": "livestock",
    "hog": "livestock",
    "bulls": "livestock",
    "koi": "common carp",
    "koi carp": "common carp",
    "crawfish": "crayfish",
    "crawdad": "crayfish",
    "crawdads": "crayfish",
    "turtle": "turtles",
    "snapping turtle": "turtles",
    "snapper turtle": "turtles",
    "painted turtle": "turtles",
    "red eared slider": "turtles",
    "sliders": "turtles",
    "white amur": "grass carp",
    "grasscarp": "grass carp",
    "triploid grass carp": "grass carp",
    "sterile grass carp": "grass carp",
    "white tailed deer": "deer",
    "whitetail": "deer",
    "whitetail deer": "deer",
    "whitetailed deer": "deer",
    "muskrats": "muskrat",
    "beavers": "beaver",
    "nutria rat": "nutria",
    "coypu": "nutria",
}


def residents(text: str, told: dict, entry: dict) -> dict:
    allowed = tuple(vocabulary.GRAZERS)
    said = plain_words.tidy(text).replace("-", " ")
    found = plain_words.several(said, allowed, _ANIMALS)
    unknown = [word for word in found if word not in allowed]
    if unknown:
        known = ", ".join(word for word in found if word in allowed)
        first = unknown[0]
        if set(plain_words.words_of(said)) & {"no", "not", "but", "except", "without", "never", "used"}:
            raise ValueError(f"Name only those that do come: {', '.join(allowed)}; or none.")
        if "carp" in plain_words.words_of(first) and not set(plain_words.words_of(first)) & {
            "grass",
            "common",
        }:
            raise ValueError(
                "Which carp: grass carp (eat plants) or common carp (dig them up; koi too)? Name it in full."
            )
        hint = did_you_mean(first, allowed)
        raise ValueError(
            f'"{first}" is not in the list: {", ".join(allowed)}; or none. '
            f"{hint or ('Leave it out: ' + known if known else 'If none of these come, say: none.')}"
        )
    return {g.replace(" ", "_"): g in found for g in allowed}


_FOR = {
    "fish": "fish cover",
    "cover": "fish cover",
    "cover for fish": "fish cover",
    "cover for the fish": "fish cover",
    "fish habitat": "fish cover",
    "habitat for fish": "fish cover",
    "bank": "bank hold",
    "hold the bank": "bank hold",
    "holding the bank": "bank hold",
    "hold bank": "bank hold",
    "erosion": "bank hold",
    "erosion control": "bank hold",
    "stop erosion": "bank hold",
    "bank stabilization": "bank hold",
    "bank holding": "bank hold",
    "ducks": "waterfowl",
    "duck": "waterfowl",
    "wood ducks": "waterfowl",
    "water fowl": "waterfowl",
    "duck food": "waterfowl",
    "bees": "pollinator",
    "butterflies": "pollinator",
    "pollinators": "pollinator",
    "bees and butterflies": "pollinator",
    "looks": "show",
    "beauty": "show",
    "flowers": "show",
    "pretty flowers": "show",
    "for show": "show",
    "for looks": "show",
    "color": "show",
    "fishcover": "fish cover",
    "bass cover": "fish cover",
}


def purposes(text: str, told: dict, entry: dict) -> dict:
    if re.fullmatch(r"\s*\d\s*(?:-|to)\s*\d\s*", text):
        raise ValueError("Write each number, as in 1, 2, 3.")
    if "or" in plain_words.words_of(text):
        raise ValueError("Which of them? Name all that count, as in 1, 2.")
    found = plain_words.several(text, tuple(vocabulary.PURPOSES), _FOR)
    if not found:
        raise ValueError(f"Name one at least: {', '.join(vocabulary.PURPOSES)}.")
    return {"purposes": found}


_HOW_MUCH = {
    "a little": "little",
    "very little": "little",
    "little bit": "little",
    "a little bit": "little",
    "just a little": "little",
    "a bit": "little",
    "nothing": "none",
    "zero": "none",
    "none at all": "none",
    "some of it": "some",
    "freely": "free",
}


def tolerance(text: str, told: dict, entry: dict) -> dict:
    word = " ".join(plain_words.words_of(text))
    if word in vocabulary.TOLERANCES or word in _HOW_MUCH:
        return {"tolerance": _HOW_MUCH.get(word, word)}
    loose = " ".join(plain_words.words_of(plain_words.unhedged(text)))
    if loose in vocabulary.TOLERANCES or loose in _HOW_MUCH:
        return {"tolerance": _HOW_MUCH.get(loose, loose)}
    try:
        share = plain_words.per_cent(text)
    except ValueError:
        return {"tolerance": word or text.strip()}
    if 0 < share < 1 and "%" not in text and "percent" not in text:
        raise ValueError(f"{share:g} of a per cent? Write {share:g} %, or {share * 100:g} %.")
    if share > 50:
        raise ValueError(
            f"{share:g} % is more than half the pond under one kind of plant; a fishing pond has 30 % at most under all "
            "of them. Give what one kind may take, as in 15 %."
        )
    return {"tolerance": share}
