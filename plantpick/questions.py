"""The questions that describe a pond: what is asked, why, how an answer is read and which keys it fills.

`told` is the pond file so far as nested dicts, `entry` the stretch or place that is being filled in. What nobody knows is
listed under `not_known` in its section; beside it stands an assumed value, or nothing.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from dataclasses import dataclass

from plantpick import plainwords as plain
from plantpick import words
from plantpick.errors import did_you_mean
from plantpick.keepclear import kind_of_place
from plantpick.pond import ACRE_FT2, SHORE_OVER_CIRCLE

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


@dataclass(frozen=True)
class Question:
    """One question. `word` names it in an answers file; `keys` are what it fills in its section of the pond file.

    `read` takes the answer, the pond so far and the entry of a list that is being filled, and returns keys and
    values, or raises ValueError. `usual` gives the answer that Enter stands for (empty: none). `assume` gives what is
    taken when nobody knows; without it the keys are left out. `needed` questions have no "don't know".
    """

    word: str
    label: str
    section: str
    keys: tuple[str, ...]
    ask: str
    why: str
    read: Callable[[str, dict, dict], dict]
    usual: Callable[[dict, dict], str] = lambda told, entry: ""
    assume: Callable[[dict, dict], dict] | None = None
    needed: bool = False
    find_out: str = ""
    comments: tuple[str, ...] = ()
    applies: Callable[[dict, dict], bool] = lambda told, entry: True
    ends_list: bool = False  # the first question of a list's entry: "no more" ends the list

    @property
    def part(self) -> str:
        """The question's place in the order: stretches and places to keep clear count as one each."""
        return self.section if self.section in LISTS else self.word


LISTS = {"shore": "stretch", "keep_clear": "place"}
DONT_KNOW = "don't know"
FILE_NAME = "the file's name"  # stands for it as the usual answer


def _always(text: str) -> Callable[[dict, dict], str]:
    return lambda told, entry: text


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


def _state(text: str) -> str:
    said = plain.tidy(text)
    return next(
        (code for code, (name, _) in words.STATES.items() if said in (code.lower(), name.lower())),
        text.strip(),
    )


def _winter(text: str, told: dict, entry: dict) -> dict:
    said = re.sub(r"^(?:usda\s+)?(?:hardiness\s+)?zone\s*", "zone ", plain.tidy(text))
    if said.startswith("zone ") or re.fullmatch(r"\d{1,2}[abd-eg-z]", said):
        return {"hardiness_zone": said.removeprefix("zone ")}
    said = re.sub(r"^(?:minus\s*|(?=\S+.*\bbelow\b))", "-", re.sub(r"\babove( zero)?$", "", said))
    said = re.sub(r"\s*\bbelow\b.*$", "", said.replace("°", " ").replace("degrees", " ")).strip()
    said = re.sub(r"\s+", " ", said)
    if said.endswith(("c", "celsius")):
        return {"coldest_night_f": round(plain.number(said, ("c", "celsius")) * 1.8 + 32.0, 1)}
    return {"coldest_night_f": plain.number(said, ("f", "fahrenheit"), "12 (degrees F), or a zone, as in 8a")}


def _frosts(text: str, told: dict, entry: dict) -> dict:
    days = plain.frosts(text)
    return {"frost_free": True} if days is None else dict(zip(("last_frost", "first_frost"), days))


def _clarity(text: str, told: dict, entry: dict) -> dict:
    deepest = _value(told, "water", "max_depth_ft")
    if plain.tidy(text) in ("bottom", "to the bottom", "the bottom", "clear to the bottom"):
        if not deepest or "max_depth_ft" in told["water"].get("not_known", []):
            raise ValueError("How deep is the bottom where you can still see it? Give inches.")
        return {"clarity_in": round(deepest * 12.0)}
    return {"clarity_in": round(plain.length_ft(text, "in", "28 (inches), or 2 ft") * 12.0, 1)}


def _salt(text: str, told: dict, entry: dict) -> dict:
    told_text = plain.tidy(text)
    if told_text in ("fresh", "freshwater", "fresh water", "none", "no", "not salty", "not"):
        return {"salinity_ppt": FRESH_PPT}
    if told_text in ("brackish", "salt", "salty", "yes"):
        raise ValueError(
            "How salty? Give parts per thousand from a meter or test strip (the sea has 35), or: don't know."
        )
    return {"salinity_ppt": plain.number(text, ("ppt", "parts per thousand", "g/l"), "0.5")}


def _length(text: str, told: dict, entry: dict) -> dict:
    whole = shore_ft(told)
    if plain.tidy(text).endswith(("%", "percent", "per cent")):
        if not whole:
            raise ValueError("The pond's area is not known yet: give feet or paces.")
        return {"length_ft": float(round(plain.per_cent(text) / 100.0 * whole))}
    return {"length_ft": round(plain.length_ft(text, "ft", "420 ft, 170 paces, or 30 %"), 1)}


def _usual_length(told: dict, entry: dict) -> str:
    whole = shore_ft(told)
    left = (whole or 0.0) - described_ft(told)
    return (
        f"{left:.0f} ft"
        if left > 5 and plain.tidy(entry.get("name", "")) in ("all round", "rest", "the rest")
        else DONT_KNOW
    )


def _unknown_length(told: dict, entry: dict) -> dict:
    """What is left of the shore, at most a quarter of it where there are several stretches (judgement)."""
    whole = shore_ft(told) or 1200.0
    left = max(whole / 10.0, whole - described_ft(told))
    return {
        "length_ft": float(round(left if _usual_length(told, entry) != DONT_KNOW else min(left, whole / 4.0)))
    }


def _where(text: str, told: dict, entry: dict) -> dict:
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


def _residents(text: str, told: dict, entry: dict) -> dict:
    allowed = tuple(words.GRAZERS)
    found = [_SYNONYMS.get(word, word) for word in plain.several(text, allowed)]
    unknown = [word for word in found if word not in allowed]
    if unknown:
        raise ValueError(
            f'"{unknown[0]}" is not in the list: {", ".join(allowed)}; or none. '
            f"{did_you_mean(unknown[0], allowed)}".strip()
        )
    return {g.replace(" ", "_"): g in found for g in allowed}


def _tolerance(text: str, told: dict, entry: dict) -> dict:
    word = plain.tidy(text)
    return {"tolerance": word if not any(c.isdigit() for c in word) else plain.per_cent(text)}


def _one(key: str, read: Callable[[str], object]) -> Callable[[str, dict, dict], dict]:
    return lambda text, told, entry: {key: read(text)}


QUESTIONS: tuple[Question, ...] = (
    Question(
        "name",
        "name",
        "",
        ("name",),
        "What do you call the pond?",
        "It heads every answer, so that two ponds are not mixed up.",
        _one("name", str.strip),
        usual=_always(FILE_NAME),
        needed=True,
    ),
    Question(
        "state",
        "state",
        "",
        ("state",),
        "Which state is it in?",
        "Which plants are native, and which may not be owned, goes by state.",
        _one("state", _state),
        needed=True,
        find_out="One of the lower 48 states or DC, as in MS or Mississippi.",
    ),
    Question(
        "winter",
        "coldest winter night",
        "",
        ("coldest_night_f", "hardiness_zone"),
        "How cold is the coldest night of a usual winter, in degrees F? Or the hardiness zone, as in 8a.",
        "It tells which plants live through the winter.",
        _winter,
        usual=_always(DONT_KNOW),
        assume=lambda told, entry: {"hardiness_zone": USUAL_ZONE.get(told.get("state"), "7a")},
        find_out="The U.S. Department of Agriculture's hardiness map gives the zone by ZIP code.",
        comments=("coldest night of a usual winter, degrees F", "USDA hardiness zone"),
    ),
    Question(
        "frosts",
        "frosts",
        "",
        ("last_frost", "first_frost", "frost_free"),
        "When are the last frost of spring and the first of autumn? As in: March 28 to November 5; or late March to "
        "early November; or never.",
        "The longer the season, the further a plant spreads in a year; planting days hang on it too.",
        _frosts,
        usual=_always(DONT_KNOW),
        comments=("month-day, in spring", "month-day, in autumn", "it never freezes"),
    ),
    Question(
        "area",
        "water surface",
        "water",
        ("area_acres",),
        "How large is the water when the pond is full? In acres, or the longest way by the widest: 400 x 250 ft.",
        "What a plant would take is reckoned as a share of it.",
        _one("area_acres", lambda t: round(plain.area_acres(t), 2)),
        needed=True,
        comments=("acres of water at full pool",),
        find_out="Pace the longest way and the widest (a pace is 2.5 ft) and write, say, 160 x 100 paces; or measure it "
        "on an online map.",
    ),
    Question(
        "deepest",
        "greatest depth",
        "water",
        ("max_depth_ft",),
        "How deep is the deepest place, in feet, when it is full?",
        "Deep water is what stops a creeping plant. (Sounding from a boat: life jacket on, and not alone.)",
        _one("max_depth_ft", lambda t: round(plain.length_ft(t), 1)),
        usual=_always(DONT_KNOW),
        assume=lambda told, entry: {"max_depth_ft": UNKNOWN_DEPTH_FT},
        comments=("feet, greatest depth at full pool",),
    ),
    Question(
        "clarity",
        "how clear",
        "water",
        ("clarity_in",),
        "How clear is it in midsummer? How many inches down does a white plate on a string go out of sight?",
        "Plants under water grow only as deep as light reaches.",
        _clarity,
        usual=_always(DONT_KNOW),
        find_out="Lower a white plate at noon from the shady side; note where it goes and where it comes back.",
        comments=("inches, Secchi reading in midsummer",),
    ),
    Question(
        "drop",
        "drop in a dry summer",
        "water",
        ("usual_drop_ft",),
        "How far does the water fall in a dry summer? In feet or inches; 0 if it stays.",
        "A plant must stand full pool and low pool both.",
        _one("usual_drop_ft", lambda t: round(plain.length_ft(t), 2)),
        usual=_always(DONT_KNOW),
        comments=("feet it falls in a dry summer",),
    ),
    Question(
        "ph",
        "pH",
        "water",
        ("ph",),
        "What is the water's pH, if it was ever tested?",
        "A few plants want acid or limy water.",
        _one("ph", lambda t: plain.number(t, ("ph",), "7.1")),
        usual=_always(DONT_KNOW),
        find_out="A pool or garden test strip is near enough.",
    ),
    Question(
        "salt",
        "salt",
        "water",
        ("salinity_ppt",),
        "Is the water salty? Answer fresh, or how many parts per thousand.",
        "Near a coast or in dry country salt rules many plants out.",
        _salt,
        usual=_always(DONT_KNOW),
        comments=("parts per thousand",),
    ),
    Question(
        "stretch",
        "stretch",
        "shore",
        ("name",),
        "Walk round the shore in your mind, and name its stretches one by one: one slope and one sun each.",
        "Each stretch gets its own plants. What you leave out is still counted as ground to creep along.",
        _one("name", str.strip),
        needed=True,
        ends_list=True,
        usual=lambda told, entry: "no more" if told.get("shore") else "all round",
    ),
    Question(
        "length",
        "length",
        "shore",
        ("length_ft",),
        "How long is it? In feet or paces, or as a share of the whole shore: 30 %.",
        "How many plants it takes, and how much ground they can run along.",
        _length,
        usual=_usual_length,
        assume=_unknown_length,
        comments=("feet along the water's edge",),
    ),
    Question(
        "ten-feet-out",
        "slope",
        "shore",
        ("slope",),
        "How deep is it ten feet out from the water's edge? In feet or inches; or the slope, as in 3:1.",
        "On a steep bank deep water stops a plant; on a flat one nothing does. (Use a pole from the bank; do not wade alone.)",
        _one("slope", plain.slope),
        usual=_always(DONT_KNOW),
        assume=lambda told, entry: {"slope": UNKNOWN_SLOPE},
        comments=("feet out for one foot down",),
    ),
    Question(
        "sun",
        "sun",
        "shore",
        ("sun",),
        "How much sun does it get in summer: full, part or shade?",
        "Full is six hours and up, shade under three (common practice).",
        _one("sun", plain.tidy),
        usual=_always("full"),
        assume=lambda told, entry: {"sun": "full"},
        comments=("full, part or shade",),
    ),
    Question(
        "dam",
        "dam",
        "shore",
        ("dam",),
        "Is it a dam?",
        "No trees or shrubs on a dam or within 25 ft of it: their roots can open it (state rules differ).",
        _one("dam", plain.yes_no),
        usual=lambda told, entry: "yes" if "dam" in entry.get("name", "").lower().split() else "no",
        assume=lambda told, entry: {"dam": True},
    ),
    Question(
        "keep-clear",
        "keep clear",
        "keep_clear",
        ("what",),
        "What has to stay clear of plants? Drain pipe, spillway, dock, swimming or casting place, inflow, diffuser, "
        "livestock ramp: one at a time, or none.",
        "A clogged drain or spillway can cost you the dam.",
        _one("what", str.strip),
        usual=_always("no more"),
        ends_list=True,
    ),
    Question(
        "where",
        "where",
        "keep_clear",
        ("stretch", "length_ft"),
        "On which stretch? Or: in the water.",
        "Nothing is planted there.",
        _where,
        usual=lambda told, entry: (
            (told.get("shore") or [{}])[0].get("name", "") if len(told.get("shore", [])) == 1 else ""
        ),
    ),
    Question(
        "feet",
        "feet",
        "keep_clear",
        ("length_ft",),
        "How many feet of shore does it need?",
        "They are taken off what can be planted.",
        _one("length_ft", lambda t: round(plain.length_ft(t), 1)),
        usual=_always(f"{UNKNOWN_CLEAR_FT:g} ft"),
        assume=lambda told, entry: {"length_ft": UNKNOWN_CLEAR_FT},
        comments=("feet of shore to leave clear",),
    ),
    Question(
        "diffuser-depth",
        "depth",
        "keep_clear",
        ("depth_ft",),
        "How deep does the diffuser lie, in feet?",
        "In shallow water it stirs up mud and lifts little.",
        _one("depth_ft", lambda t: round(plain.length_ft(t), 1)),
        usual=_always(DONT_KNOW),
        applies=lambda told, entry: kind_of_place(str(entry.get("what", ""))) == "diffuser",
        comments=("feet of water over it",),
    ),
    Question(
        "purposes",
        "purposes",
        "goals",
        ("purposes",),
        "What are the plants for? " + ", ".join(f"{i} {p}" for i, p in enumerate(words.PURPOSES, 1)) + ".",
        "Plants that do none of it are not shown.",
        _one("purposes", lambda t: plain.several(t, tuple(words.PURPOSES))),
        usual=_always("fish cover, bank hold"),
    ),
    Question(
        "spreading",
        "spreading",
        "goals",
        ("tolerance",),
        "How much of the water may one kind of plant take in ten years if nobody cuts it? "
        + ", ".join(f"{w} {p:g} %" for w, p in words.TOLERANCES.items())
        + "; or a number.",
        "Plants that would take more need holding back, or are left out.",
        _tolerance,
        usual=_always("little"),
        comments=("most that one kind may hold after ten untended years",),
    ),
    Question(
        "residents",
        "residents",
        "residents",
        tuple(g.replace(" ", "_") for g in words.GRAZERS),
        "Which of these live in it or come to it? " + ", ".join(words.GRAZERS) + "; or none.",
        "They eat young plants or dig them up; grass carp eat most plants under water.",
        _residents,
        usual=_always(DONT_KNOW),
    ),
)
BY_WORD = {q.word: q for q in QUESTIONS}
PARTS = tuple(dict.fromkeys(q.part for q in QUESTIONS))
