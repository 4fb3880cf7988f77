"""Units of length and area: every word for one that a heading, a file or an answer may use, and what it is worth.

Inside the program a name carries its unit (`depth_in`, `area_ft2`); words become numbers once, where they are read.
"""

from __future__ import annotations

import math
import re

FOOT_M = 0.3048  # exact, by the international yard and pound agreement of 1959
INCHES_A_FOOT = 12.0
ACRE_FT2 = 43_560.0
PACE_FT = 2.5  # an adult's step: common practice, no source

_LENGTHS: tuple[tuple[float, tuple[str, ...]], ...] = (  # feet, its words: the first is the one we show
    (1.0, ("ft", "foot", "feet", "'")),
    (1.0 / INCHES_A_FOOT, ("in", "inch", "inches", '"')),
    (3.0, ("yd", "yds", "yard", "yards")),
    (5280.0, ("mi", "mile", "miles")),
    (1.0 / FOOT_M, ("m", "meter", "meters", "metre", "metres")),
    (0.01 / FOOT_M, ("cm",)),
    (0.001 / FOOT_M, ("mm",)),
    (16.5, ("rod", "rods")),
)
_AREAS: tuple[tuple[float, tuple[str, ...]], ...] = (  # square feet, its words
    (ACRE_FT2, ("acres", "acre", "ac")),
    (1e4 / FOOT_M**2, ("ha", "hectare", "hectares")),
    (
        1.0,
        (
            "ft2",
            "sq ft",
            "sqft",
            "sq feet",
            "square ft",
            "square foot",
            "square feet",
            "feet square",
            "sf",
        ),
    ),
    (9.0, ("sq yd", "sq yards", "square yards")),
    (1.0 / FOOT_M**2, ("m2", "sq m", "square meters", "square metres")),
)

FEET: dict[str, float] = {word: feet for feet, words in _LENGTHS for word in words}
PACES: dict[str, float] = dict.fromkeys(
    ("pace", "paces", "step", "steps"), PACE_FT
)  # good enough for an answer only
SQUARE_FEET: dict[str, float] = {word: area for area, words in _AREAS for word in words}
ACRES: dict[str, float] = {word: area / ACRE_FT2 for word, area in SQUARE_FEET.items()}
_SHOWN: dict[str, str] = {word: words[0] for _, words in (*_LENGTHS, *_AREAS) for word in words}


def spelled(word: str) -> str:
    """The one spelling of a unit ("Feet" is ft, "square_metres" m2); a word that is none comes back tidied."""
    plain = " ".join(re.sub(r"[_\s]+", " ", word.lower().replace("²", "2")).rstrip(".").split())
    return _SHOWN.get(plain, plain)


def depth_words(depth_in: float) -> str:
    """Where a plant is set at full pool, in inches: so deep, or so high above the waterline."""
    if depth_in == 0:
        return "at the waterline"
    return f"{depth_in:.0f} in deep" if depth_in > 0 else f"{-depth_in:.0f} in above the waterline"


def percent(value: float) -> str:
    """Per cent of the surface as every sentence and table has it: a digit after the point only under ten."""
    return f"{value:.0f}" if value >= 9.95 else f"{value:.1f}"


def percents_that_agree(part: float, whole: float, most_digits: int = 3) -> tuple[str, str]:
    """Two shares of the surface, the second one no planting can pass, so rounded up: with the fewest digits whose own quotient is
    within two parts in a hundred of the true one. "0.3 of 0.4" would not be nine tenths; "0.34 of 0.38" is."""
    digits = 0 if part >= 9.95 else 1
    while True:
        scale = 10.0**digits
        up = math.ceil(whole * scale - 1e-6) / scale
        rounded = round(part, digits)
        if digits >= most_digits or up > 0 and whole > 0 and abs(rounded / up - part / whole) <= 0.02:
            return f"{rounded:.{digits}f}", f"{up:.{digits}f}"
        digits += 1
