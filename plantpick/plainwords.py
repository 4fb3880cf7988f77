"""Numbers, dates and choices as people say them ("30 in", "400 x 250 ft", "late March"), turned into plain values.

Each reader takes the text of one answer and raises ValueError with a sentence that says how to write it.
"""

from __future__ import annotations

import math
import re
import unicodedata

from plantpick.dates import MONTHS, read_dates

PACE_FT = 2.5  # an adult's step: common practice, no source
FEET = {  # words for a length: feet
    "ft": 1.0,
    "foot": 1.0,
    "feet": 1.0,
    "'": 1.0,
    "in": 1 / 12,
    "inch": 1 / 12,
    "inches": 1 / 12,
    '"': 1 / 12,
    "yd": 3.0,
    "yds": 3.0,
    "yard": 3.0,
    "yards": 3.0,
    "pace": PACE_FT,
    "paces": PACE_FT,
    "step": PACE_FT,
    "steps": PACE_FT,
    "mile": 5280.0,
    "miles": 5280.0,
    "m": 1 / 0.3048,
    "meter": 1 / 0.3048,
    "meters": 1 / 0.3048,
    "metre": 1 / 0.3048,
    "metres": 1 / 0.3048,
    "cm": 1 / 30.48,
    "mm": 1 / 304.8,
}
_ACRES = {  # words for an area: acres
    "acre": 1.0,
    "acres": 1.0,
    "ac": 1.0,
    "ha": 1 / 0.40468564224,
    "hectare": 1 / 0.40468564224,
    "hectares": 1 / 0.40468564224,
    "sq ft": 1 / 43_560,
    "sqft": 1 / 43_560,
    "square feet": 1 / 43_560,
    "ft2": 1 / 43_560,
    "sq yd": 9 / 43_560,
    "square yards": 9 / 43_560,
    "sq m": 1 / 4046.8564224,
    "m2": 1 / 4046.8564224,
    "square meters": 1 / 4046.8564224,
    "square metres": 1 / 4046.8564224,
}
_PART_OF_MONTH = {"early": 5, "mid": 15, "middle": 15, "late": 25, "beginning": 5, "end": 28}
_NUMBER = r"(?:\d[\d,]*(?:\.\d+)?|\.\d+)(?:\s+\d+/\d+|/\d+)?"
_SIGNS = str.maketrans(
    {
        "\u2044": "/",
        "\u2018": "'",
        "\u2019": "'",
        "\u2032": "'",
        "\u201c": '"',
        "\u201d": '"',
        "\u2033": '"',
        "\u2212": "-",
        "\u2010": "-",
        "\u2011": "-",
        "\u2013": "-",
        "\u2014": "-",
        "\u00d7": "x",
    }
)
_LOOSE = re.compile(
    r"^(?:about|around|roughly|maybe|approx(?:imately)?\.?|some|~|ca\.?|it'?s|nearly|almost)\s*"
)


def tidy(text: str) -> str:
    """The answer in lower case, with plain quotes, spaces and fractions, and without "about"."""
    text = re.sub(
        r"(\d)([\u00bc-\u00be\u2150-\u215e])", r"\1 \2", text
    )  # 2 and a half as one sign: a space before it
    text = unicodedata.normalize("NFKC", text).lower().translate(_SIGNS)
    text = text.replace("''", '"')
    return _LOOSE.sub("", " ".join(text.split())).rstrip(" .")


def _value(text: str) -> float:
    whole, _, fraction = text.strip().partition(" ") if " " in text.strip() else ("", "", text.strip())
    if "/" in fraction:
        above, below = fraction.split("/")
        if not float(below):
            raise ValueError(f'"{text}" has nothing below the line.')
        part = float(above.replace(",", "")) / float(below)
    else:
        part = _plain(fraction)
    return part + (_plain(whole) if whole else 0.0)


def _plain(text: str) -> float:
    if "," in text and not re.fullmatch(r"\d{1,3}(,\d{3})+(\.\d+)?", text):
        raise ValueError(f'"{text}": use a point for parts (2.5), a comma only for thousands (1,200).')
    return float(text.replace(",", ""))


def number(text: str, units=(), example: str = "7.1") -> float:
    """One number, with or without one of `units` after it; "2 to 3" is the middle of the two."""
    told = tidy(text)
    tail = "|".join(re.escape(u) for u in sorted(units, key=len, reverse=True))
    end = rf"\s*(?:{tail})?" if tail else ""
    if one := re.fullmatch(rf"(-?\s*{_NUMBER}){end}", told):
        sign = -1.0 if one[1].startswith("-") else 1.0
        return sign * _value(one[1].lstrip("- "))
    if two := re.fullmatch(rf"({_NUMBER}){end}\s*(?:to|-|or)\s*({_NUMBER}){end}", told):
        return (_value(two[1]) + _value(two[2])) / 2.0
    raise ValueError(f"Write a number, as in {example}.")


def length_ft(text: str, plain_unit: str = "ft", example: str = "3 ft, or 30 in") -> float:
    """A length in feet: "3 ft", "30 in", "2 ft 6 in", "140 paces", "2 to 3 feet"; a bare number is in `plain_unit`."""
    told = tidy(text)
    names = "|".join(re.escape(u) for u in sorted(FEET, key=len, reverse=True))
    one = rf"({_NUMBER})\s*({names})?\.?"
    if told in ("none", "nothing", "zero", "no"):
        return 0.0
    if single := re.fullmatch(one, told):
        return _value(single[1]) * FEET[single[2] or plain_unit]
    if pair := re.fullmatch(
        rf"({_NUMBER})\s*(ft|foot|feet|'|m|meters?|yds?|yards?)\.?,?\s*(?:and\s*)?({_NUMBER})\s*({names})?\.?",
        told,
    ):
        smaller = {"m": "cm", "meter": "cm", "meters": "cm"}.get(pair[2], "in")
        return _value(pair[1]) * FEET[pair[2]] + _value(pair[3]) * FEET[pair[4] or smaller]
    if span := re.fullmatch(rf"{one}\s*(?:to|-|or)\s*{one}", told):
        unit = span[4] or span[2] or plain_unit
        return (_value(span[1]) * FEET[span[2] or unit] + _value(span[3]) * FEET[unit]) / 2.0
    raise ValueError(f"Write a length, as in {example}.")


def area_acres(text: str) -> float:
    """An area in acres: "2.8", "90,000 sq ft", "1.1 ha", or length by width of an oval, "400 x 250 ft"."""
    told = tidy(text).replace("feet square", "square feet")
    names = "|".join(re.escape(u) for u in sorted(_ACRES, key=len, reverse=True))
    if one := re.fullmatch(rf"({_NUMBER})\s*({names})?\.?", told):
        return _value(one[1]) * _ACRES[one[2] or "acres"]
    if span := re.fullmatch(rf"({_NUMBER})\s*(?:to|-|or)\s*({_NUMBER})\s*({names})?\.?", told):
        return (_value(span[1]) + _value(span[2])) / 2.0 * _ACRES[span[3] or "acres"]
    sides = re.split(r"\s*(?:\bby\b|x)\s*", told)
    if len(sides) == 2:
        unit = next((u for u in sorted(FEET, key=len, reverse=True) if sides[1].endswith(u)), "ft")
        return math.pi / 4.0 * length_ft(sides[0], unit) * length_ft(sides[1], unit) * _ACRES["sq ft"]
    raise ValueError("Write acres, as in 2.8, or the longest way by the widest, as in 400 x 250 ft.")


def slope(text: str) -> float:
    """Feet out for one foot down: "3:1", or from how deep it is ten feet out, "2 ft", as 10 over that depth."""
    told = tidy(text)
    if ratio := re.fullmatch(rf"({_NUMBER})\s*(?::|to|in)\s*1", told):
        return round(_value(ratio[1]), 2)
    if ratio := re.fullmatch(rf"1\s*(?::|in)\s*({_NUMBER})", told):
        raise ValueError(f"Write the feet out first: {ratio[1]}:1 if it falls one foot in {ratio[1]}.")
    depth = length_ft(text, "ft", "3 ft, or 30 in; or a slope, as in 3:1")
    if not depth > 0.0:
        raise ValueError("Ten feet out there is some water at full pool: give its depth, if only 4 in.")
    return round(10.0 / depth, 1)


def per_cent(text: str) -> float:
    """A share in per cent: "10", "10 %"."""
    return number(text, ("%", "percent", "per cent"), "10 %")


def yes_no(text: str) -> bool:
    """Yes or no."""
    told = tidy(text)
    if told in ("y", "yes", "yep", "yeah", "true", "it is", "sure"):
        return True
    if told in ("n", "no", "nope", "false", "none", "it isn't", "not"):
        return False
    raise ValueError("Answer yes or no.")


def several(text: str, allowed) -> list[str]:
    """The words of a list, in the order said: commas, "and" or their numbers; "all", and "none" as an empty list.

    Words not in `allowed` are kept as they are, for the check of the key they fill.
    """
    told = tidy(text)
    if told in ("none", "no", "nothing", "neither", "n"):
        return []
    if told in ("all", "everything", "all of them"):
        return list(allowed)
    parts = [p for p in re.split(r"\s*[,;/&+]\s*|\s+and\s+|\s+or\s+", told) if p]
    if len(parts) == 1 and re.fullmatch(r"[\d ]+", told):
        parts = told.split()
    picked = []
    for part in parts:
        if part.isdigit():
            if not 1 <= int(part) <= len(allowed):
                raise ValueError(f"The list has numbers 1 to {len(allowed)}.")
            part = allowed[int(part) - 1]
        picked.append(next((a for a in allowed if a == part or a.rstrip("s") == part.rstrip("s")), part))
    return list(dict.fromkeys(picked))


def frosts(text: str) -> tuple[str, str] | None:
    """Last frost of spring and first of autumn as month-day; None where it never freezes.

    "March 28 to November 5", "3/28 - 11/5", "late March, early November" (5th, 15th or 25th of the month).
    """
    told = tidy(text)
    if told in ("never", "no frost", "none", "never freezes", "frost free", "frost-free", "it never freezes"):
        return None
    halves = re.split(
        r"\s*(?:\bto\b|\band\b|\buntil\b|\btill?\b|\bthrough\b|[,;]|\s-+\s|(?<=\d)-(?=\d+/))\s*", told
    )
    if len(halves) != 2 or not all(halves):
        raise ValueError("Write both days, as in March 28 to November 5.")
    found, wrong = read_dates([_with_year(h) for h in halves])
    if wrong:
        raise ValueError(f'"{halves[wrong[0][0]]}" is not clear as a day: write it as March 28.')
    return tuple(f"{day:%m-%d}" for day in found)


def _with_year(text: str) -> str:
    text = re.sub(r"\b(the|of|in)\b", " ", text)
    rough = re.fullmatch(r"\s*([a-z]+)[ -]+([a-z]{3,9})\s*", text)
    if rough and rough[1] in _PART_OF_MONTH and rough[2][:3] in MONTHS:
        text = f"{rough[2]} {_PART_OF_MONTH[rough[1]]}"
    if re.fullmatch(r"\s*\d{1,2}[/.\-]\d{1,2}\s*", text):
        return f"2001-{'-'.join(f'{int(n):02}' for n in re.findall(r'[0-9]+', text))}"  # month first, as the trade writes it
    return f"{text} 2001"
