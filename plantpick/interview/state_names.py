"""The state that an answer names: by name, abbreviation, town and state, or ZIP code. Pure."""

from __future__ import annotations

import re

from plantpick import vocabulary

# First three figures of ZIP codes by state, as the U.S. Postal Service publishes them (labeling list L002 of the Domestic
# Mail Manual, "3-Digit ZIP Code Prefix Matrix"). Written from memory, then checked in November 2026 against the 42,789
# codes of the MIT-licensed Python package zipcodes 3.0.0. Neighboring prefixes of one state are joined, so that a few
# that are not in use lie inside.
ZIP_PREFIXES = (
    "005:NY 010-027:MA 028-029:RI 030-038:NH 039-049:ME 050-054:VT 055:MA 056-059:VT 060-069:CT 070-089:NJ 100-149:NY "
    "150-196:PA 197-199:DE 200:DC 201:VA 202-205:DC 206-219:MD 220-246:VA 247-268:WV 270-289:NC 290-299:SC 300-319:GA "
    "320-339:FL 341-349:FL 350-369:AL 370-385:TN 386-397:MS 398-399:GA 400-427:KY 430-459:OH 460-479:IN 480-499:MI "
    "500-528:IA 530-549:WI 550-567:MN 569:DC 570-577:SD 580-588:ND 590-599:MT 600-629:IL 630-658:MO 660-679:KS "
    "680-693:NE 700-714:LA 716-729:AR 730-731:OK 733:TX 734-749:OK 750-799:TX 800-816:CO 820-831:WY 832-838:ID "
    "840-847:UT 850-865:AZ 870-884:NM 885:TX 888:DC 889-898:NV 900-961:CA 970-979:OR 980-994:WA"
)
ZIP_ACROSS = {  # codes served from over the state line (same check)
    "06390": "NY",
    "73960": "TX",
    "83414": "WY",
}
_PREFIX = {
    f"{number:03}": code
    for span, _, code in (part.partition(":") for part in ZIP_PREFIXES.split())
    for first, _, last in (span.partition("-"),)
    for number in range(int(first), int(last or first) + 1)
}
# The abbreviations before the two letters, as in the Government Publishing Office's style manual, and how people shorten
# the compass points: from memory.
_SHORT = dict(
    pair.split(":")
    for pair in (
        "ala:AL ark:AR ariz:AZ calif:CA cal:CA colo:CO conn:CT del:DE fla:FL ill:IL ind:IN kans:KS kan:KS mass:MA mich:MI "
        "minn:MN miss:MS mont:MT nebr:NE neb:NE nev:NV okla:OK oreg:OR ore:OR penn:PA penna:PA tenn:TN tex:TX wash:WA "
        "wis:WI wisc:WI wyo:WY cali:CA missisipi:MS mississipi:MS tennesee:TN"
    ).split()
)
_SHORT |= {
    f"{compass} {short}": code
    for compass, shorts, code in (
        ("west", "va virg v", "WV"),
        ("north", "car caro c", "NC"),
        ("south", "car caro c", "SC"),
        ("north", "dak d", "ND"),
        ("south", "dak d", "SD"),
        ("new", "hamp", "NH"),
        ("new", "mex", "NM"),
    )
    for short in shorts.split()
}
_COMPASS = {"n": "north", "no": "north", "s": "south", "so": "south", "w": "west"}
_OUTSIDE = ("alaska", "hawaii", "puerto rico", "guam", "canada", "mexico", "ak", "hi", "pr", "ontario")
_LED_BY = (  # words that may stand before a state's name and leave it what it is
    "north south east west northern southern eastern western central upstate downstate coastal middle mid in near of the "
    "state southeast southwest northeast northwest southeastern southwestern northeastern northwestern panhandle part "
    "corner rural it's its it is we're i'm from outside by deep upper lower north-central south-central hills piedmont"
).split()
_TOWN_STARTS = (
    "port",
    "fort",
    "ft",
    "lake",
    "mount",
    "mt",
    "new",
    "old",
    "point",
    "camp",
    "little",
    "big",
    "west",
)
_SMALL_WORDS = ("in", "or", "me", "oh", "hi", "ok", "la", "pa", "ma", "de", "co", "id", "al", "mo")
ASK = "Give one of the lower 48 states or DC, as in MS or Mississippi."


def _named(said: str) -> str | None:
    """The code of a state whose name, abbreviation or code the whole text is."""
    if all(len(w) == 1 for w in said.split()):
        said = said.replace(" ", "")  # N. Y.
    spelled = " ".join(
        _COMPASS.get(w, w) if i == 0 and len(said.split()) > 1 else w for i, w in enumerate(said.split())
    )
    if spelled in ("washington dc", "d c", "dc", "washington d c"):
        return "DC"
    for code, (name, _) in vocabulary.STATES.items():
        if spelled in (code.lower(), name.lower()) or spelled.replace(" ", "") == name.lower().replace(
            " ", ""
        ):
            return code
    return _SHORT.get(spelled)


def _zip(figures: str) -> str:
    code = ZIP_ACROSS.get(figures) or _PREFIX.get(figures[:3])
    if not code:
        raise ValueError(f"The ZIP code {figures} is in none of the lower 48 states. {ASK}")
    return code


_BESIDE = re.compile(
    r"(?:just )?(?:near|by|close to|next to|outside|over|across)\b"
)  # "near Kansas" may be Missouri


def state_code(text: str) -> str | None:
    """The two-letter code that an answer names, None where it names none. Raises ValueError for what may be several.

    "MS", "Miss.", "Columbus, Ohio", "north Georgia", "Jackson MS 39201", "43215". A state's name inside a town's
    ("Kansas City", "Virginia Beach") is not taken for it.
    """
    said = " ".join(re.sub(r"[.!?]", " ", text.replace("\u2019", "'")).split())
    zips = re.findall(r"(?<!\d)(\d{5})(?:\s*-\s*\d{4})?(?!\d)", said)
    if len(zips) > 1:
        raise ValueError(f"That has two ZIP codes. {ASK}")
    if re.search(r"\d", said) and not zips:
        raise ValueError(f"A ZIP code has five figures. {ASK}")
    by_zip = _zip(zips[0]) if zips else None
    rest = re.sub(
        r"\b(?:zip|zip code|zipcode|code)\b", " ", re.sub(r"\d{5}(?:\s*-\s*\d{4})?", " ", said), flags=re.I
    )
    rest = re.sub(r"[,\s]*\b(?:usa|u s a|u s|us|united states)\s*$", "", rest, flags=re.I).strip(" ,:-")
    if not rest:
        return by_zip
    by_name = _by_name(rest, bool(zips))
    if by_zip and by_name and by_zip != by_name:
        raise ValueError(
            f"The ZIP code is in {vocabulary.STATES[by_zip][0]}, the name says {vocabulary.STATES[by_name][0]}. {ASK}"
        )
    return by_name or by_zip


def _by_name(rest: str, has_zip: bool) -> str | None:
    lower = re.sub(r"^(.+?)\s*\((.+)\)$", r"\2 \1", rest.lower())  # Georgia (north)
    if " ".join(re.sub(r"[,]", " ", lower).split()) in ("washington dc", "washington d c"):
        return "DC"
    if code := _named(lower.replace(",", " ").strip()):
        return code
    parts = [p.strip() for p in lower.split(",") if p.strip()]
    if len(parts) > 1:
        if code := _named(_without_lead(parts[-1])):
            return code
        named = {code for p in parts if (code := _named(_without_lead(p)))}
        return named.pop() if len(named) == 1 and _named(parts[0]) else None
    if re.search(r"\b(?:or|and|between|not|border|line)\b", " ".join(lower.split()[:-1])):
        raise ValueError(f"That may be more than one state. {ASK}")
    if (beside := _BESIDE.match(lower)) and (code := _named(lower[beside.end() :].strip())):
        raise ValueError(f"Is that in {vocabulary.STATES[code][0]}? Then write {code}. {ASK}")
    if code := _named(_without_lead(lower)):
        return code
    return _town_and_state(rest.split(), has_zip)


def _without_lead(text: str) -> str:
    left = text.split()
    while len(left) > 1 and left[0] in _LED_BY and not _named(" ".join(left)):
        left = left[1:]
    if len(left) > 1 and left[-1] == "state" and _named(" ".join(left[:-1])):
        left = left[:-1]
    return " ".join(left)


def _town_and_state(told: list[str], has_zip: bool) -> str | None:
    """Columbus Ohio, near Tupelo MS: the last words, if what stands before them can be a town."""
    for count in (3, 2, 1):
        tail, before = " ".join(told[-count:]), [w.lower() for w in told[:-count]]
        code = _named(tail.lower()) if before else None
        if not code:
            continue
        towns = [w for w in before if w not in _LED_BY]
        is_doubtful = (
            before[-1] in ("on", "at") or len(towns) == 1 and towns[0] in _TOWN_STARTS
        )  # Port Washington
        if count == 1 and tail.lower() in _SMALL_WORDS and not tail.isupper() and not has_zip:
            is_doubtful = True  # "ok", "in": words of their own
        if is_doubtful:
            raise ValueError(f"Is that in {vocabulary.STATES[code][0]}? Then write {code}. {ASK}")
        return code
    return None


def outside(text: str) -> bool:
    """Whether an answer names a place that the catalogue does not reach."""
    said = " ".join(re.sub(r"[^a-z ]", " ", text.lower()).split())
    last = said.removesuffix("new mexico").split(" ")[-1]
    return said in _OUTSIDE or last in ("alaska", "hawaii", "canada", "mexico")
