"""Numbers, dates and choices as people say them ("30 in", "half an acre", "late March"), turned into plain values.

Each reader takes the text of one answer, or raises ValueError with a sentence that says how to write it. It reads word by
word: it drops words that mean nothing here ("about", "or so") whole, and leaves the answer unread at a word it does not
know.
"""

from __future__ import annotations

import math
import re
import unicodedata
from dataclasses import dataclass

from plantpick import units
from plantpick.dates import MONTHS, read_dates

FEET = {**units.FEET, **units.PACES}  # words for a length: feet
_ACRES = units.ACRES
_PART_OF_MONTH = {"early": 5, "mid": 15, "middle": 15, "late": 25, "beginning": 5, "end": 28}
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
        "\u2248": "~",
    }
)
# Words that say that a figure is not exact, or that come along with one. Each is dropped whole, never inside a word.
_HEDGES = tuple(
    sorted(
        (
            tuple(phrase.split())
            for phrase in (
                "about|around|roughly|maybe|approx|approximately|appx|aprox|some|ca|circa|nearly|almost|probably|perhaps|"
                "possibly|bout|abt|say|like|~|i'd say|i would say|i'd guess|i think|i guess|guess|guessing|my guess|"
                "best guess|it's|its|it is|it was|it's about|would be|should be|is|or so|or thereabouts|more or less|"
                "give or take|ish|close to|just under|just over|just about|just|a little under|a little over|a bit under|"
                "a bit over|a hair over|a hair under|a little less than|a little more than|a touch over|a touch under|"
                "usually|normally|on average|average|avg|est|estimated|pretty much|somewhere around|somewhere near|"
                "in the neighborhood of|in the ballpark of|well|um|uh|hmm|yeah|yes|ok|okay|so|honestly|at a guess|"
                "exactly|right at|right around|right about|only|we have|we've got|i have|i've got|there's|there is"
            ).split("|")
        ),
        key=len,
        reverse=True,
    )
)
_ONES = (
    "zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen seventeen "
    "eighteen nineteen"
).split()
_TENS = dict(zip("twenty thirty forty fifty sixty seventy eighty ninety".split(), range(20, 100, 10)))
_BIG = {"hundred": 100.0, "thousand": 1000.0, "k": 1000.0, "grand": 1000.0, "dozen": 12.0}
_PARTS = {
    "half": 1 / 2,
    "quarter": 1 / 4,
    "third": 1 / 3,
    "fourth": 1 / 4,
    "fifth": 1 / 5,
    "eighth": 1 / 8,
    "tenth": 1 / 10,
}
_PARTS |= {f"{part}s": value for part, value in _PARTS.items()} | {"halves": 1 / 2}
_TOKEN = re.compile(r"\d+(?:,\d+)*(?:\.\d+)?(?:\s*/\s*\d+)?|\.\d+|[^\W\d_]+(?:'[^\W\d_]+)*|\S")


def tidy(text: str) -> str:
    """The answer in lower case, with plain quotes, spaces and fractions."""
    text = re.sub(
        r"(\d)([\u00bc-\u00be\u2150-\u215e])", r"\1 \2", text
    )  # 2 and a half as one sign: a space before it
    text = unicodedata.normalize("NFKC", text).lower().translate(_SIGNS)
    text = text.replace("''", '"')
    return " ".join(text.split()).rstrip(" .!")


def words_of(text: str) -> list[str]:
    """The words and numbers of an answer, without points and commas; apostrophes stay inside words."""
    return re.findall(r"[^\W_]+(?:['.][^\W_]+)*", tidy(text))


def unhedged(text: str) -> str:
    """The answer without "about", "I think", "or so" and the like; whole as it is where nothing else would be left."""
    told = tidy(text).split()
    kept: list[str] = []
    at = 0
    while at < len(told):
        step = _hedge_at([w.strip(",") for w in told], at)
        if told[at] == "some" and not (at + 1 < len(told) and _number_at(_TOKEN.findall(told[at + 1]), 0)[1]):
            step = 0  # "some shade" is less than shade
        if not step:
            kept.append(told[at])
        at += step or 1
    return " ".join(kept).strip(" ,") or " ".join(told)


def _hedge_at(told: list[str], at: int) -> int:
    """How many words from here on are loose ones; 0 where the word counts."""
    return next((len(h) for h in _HEDGES if tuple(told[at : at + len(h)]) == h), 0)


@dataclass(frozen=True)
class _Piece:
    """A part of an answer: kind n a number, f a part of one ("half"), u a unit, x by, t to, - a dash, & and, b between."""

    kind: str
    text: str
    value: float = 0.0


@dataclass(frozen=True)
class Amount:
    """What was read: `value` in the reader's unit, `number` as said, `unit` as said ("" where none was)."""

    value: float
    number: float
    unit: str = ""
    is_part: bool = False  # "half", "1/3": a part of something


def _value(text: str) -> float:
    above, _, below = text.partition("/")
    if not below:
        return _plain(text)
    if not float(below):
        raise ValueError(f'"{text}" has nothing below the line.')
    return _plain(above) / float(below)


def _plain(text: str) -> float:
    text = text.strip()
    if "," in text and not re.fullmatch(r"\d{1,3}(,\d{3})+(\.\d+)?", text):
        raise ValueError(f'"{text}": use a point for parts (2.5), a comma only for thousands (1,200).')
    return float(text.replace(",", ""))


def _is_figure(token: str) -> bool:
    return token[0].isdigit() or (token[0] == "." and len(token) > 1)


def _small(told: list[str], at: int) -> tuple[float, int]:
    """A number word under a hundred: its value and how many words it takes (0: there is none)."""
    word = told[at] if at < len(told) else ""
    if word in _ONES:
        return float(_ONES.index(word)), 1
    if word in _TENS:
        dash = 1 if at + 1 < len(told) and told[at + 1] == "-" else 0
        last = told[at + 1 + dash] if at + 1 + dash < len(told) else ""
        if last in _ONES[1:10]:
            return float(_TENS[word] + _ONES.index(last)), 2 + dash
        return float(_TENS[word]), 1
    if word == "couple" or (word == "a" and told[at + 1 : at + 2] == ["couple"]):
        step = 1 if word == "couple" else 2
        return 2.0, step + (told[at + step : at + step + 1] == ["of"])
    return 0.0, 0


def figure_of(text: str) -> str:
    """A number word as a figure ("eight" as 8), empty for anything else."""
    told = _TOKEN.findall(tidy(text))
    value, step = _small(told, 0)
    return f"{value:g}" if step and step == len(told) else ""


def _part(told: list[str], at: int) -> tuple[float, int]:
    """ "half an", "three quarters of an", "a third of the": the part and how many words it takes; 0 for none."""
    count, step = 1.0, 0
    word = told[at] if at < len(told) else ""
    if word in ("a", "an"):
        step = 1
    elif word in _ONES[1:10]:
        count, step = float(_ONES.index(word)), 1
    elif word in ("1", "2", "3"):
        count, step = float(word), 1
    if step and told[at + step : at + step + 1] == ["-"]:
        step += 1
    if at + step >= len(told) or told[at + step] not in _PARTS:
        return 0.0, 0
    value = count * _PARTS[told[at + step]]
    step += 1
    while told[at + step : at + step + 1] in (["of"], ["a"], ["an"], ["-"]):
        step += 1
    return value, step


def _number_at(told: list[str], at: int) -> tuple[_Piece | None, int]:
    """The number that begins at a word, in figures or in words, and how many words it takes."""
    start = at
    part, step = _part(told, at)
    if step:
        return _Piece("f", " ".join(told[at : at + step]), part), step
    if _is_figure(told[at]):
        value, is_part = _value(told[at]), "/" in told[at]
        at += 1
        if is_part:
            while told[at : at + 1] in (["of"], ["a"], ["an"]):
                at += 1
            return _Piece("f", told[start], value), at - start
        dash = 1 if told[at : at + 1] == ["-"] else 0
        if float(value).is_integer() and at + dash < len(told) and re.match(r"\d+\s*/\s*\d", told[at + dash]):
            fraction = _value(told[at + dash])
            if fraction < 1.0:
                value, at = value + fraction, at + dash + 1
    else:
        value, step = _small(told, at)
        at += step
        if (
            not step
            and told[at] in ("a", "an")
            and told[at + 1 : at + 2] in (["hundred"], ["thousand"], ["dozen"])
        ):
            value, at = 1.0, at + 1
        elif not step and told[at] in ("hundred", "dozen"):
            value = 1.0
        elif not step:
            return None, 0
    while at < len(told) and told[at] in _BIG:
        value *= _BIG[told[at]]
        at += 1
        skip = 1 if told[at : at + 1] == ["and"] else 0
        more, step = _small(told, at + skip)
        if step and told[at - 1] != "dozen" and told[at + skip] not in ("couple", "a"):
            value, at = value + more, at + skip + step
    if at == start:
        return None, 0
    joined = told[at : at + 2]
    skip = 2 if joined == ["-", "and"] else 1 if joined[:1] == ["and"] else 0
    if skip:
        after = at + skip + (1 if told[at + skip : at + skip + 1] == ["-"] else 0)
        part, step = _part(told, after)
        if not step and after < len(told) and re.match(r"\d+\s*/", told[after]):
            part, step = _value(told[after]), 1
        if step and part < 1.0:
            return _Piece("n", " ".join(told[start : after + step]), value + part), after + step - start
    return _Piece("n", " ".join(told[start:at]), value), at - start


def _pieces(text: str, units, fillers=()) -> list[_Piece]:
    """An answer as numbers, units and the words between; kind o for a word that is not known."""
    told = [t for t in _TOKEN.findall(tidy(text)) if t not in (".", "!", "?", ";", "(", ")")]
    names = sorted(((tuple(_TOKEN.findall(u)), u) for u in units), key=lambda pair: -len(pair[0]))
    found: list[_Piece] = []
    at = 0
    while at < len(told):
        token = told[at]
        filler = next((len(f) for f in fillers if tuple(told[at : at + len(f)]) == f), 0)
        if filler > 1:  # "in the middle" is no inch
            at += filler
            continue
        unit = next(((parts, u) for parts, u in names if tuple(told[at : at + len(parts)]) == parts), None)
        if unit:
            found.append(_Piece("u", unit[1]))
            at += len(unit[0])
            continue
        piece, step = _number_at(told, at)
        if piece:
            found.append(piece)
            at += step
            continue
        if step := _hedge_at(told, at) or filler:
            if not filler and found and found[-1].kind in "nfu" and any(p.kind in "nf" for p in found):
                found.append(_Piece("h", token))
            at += step
            continue
        if token in ("a", "an", "one") and at + 1 < len(told):
            if any(tuple(told[at + 1 : at + 1 + len(parts)]) == parts for parts, _ in names):
                found.append(_Piece("n", token, 1.0))
                at += 1
                continue
        if token == "-" and at + 1 < len(told) and (_number_at(told, at + 1)[0]):
            found.append(_Piece("-" if found and found[-1].kind in "nfu" else "s", token))
        elif token == "-":
            pass
        elif token in ("to", "or", "x", "by", "times", "*", "and", "&", ",", "between", "from"):
            kinds = {"to": "t", "or": "t", "and": "&", "&": "&", ",": ",", "between": "b", "from": "b"}
            found.append(_Piece(kinds.get(token, "x"), token))
        else:
            found.append(_Piece("o", token))
        at += 1
    after = [p.kind for p in found[1:]] + [""]
    # "6 feet maybe 7" is two figures, "6 or so feet" one
    found = [p for p, behind in zip(found, after) if p.kind != "h" or behind in ("n", "f")]
    while found and found[-1].kind == ",":
        found.pop()
    return found


def _amount(
    pieces: list[_Piece], units: dict[str, float], plain_unit: str, small: dict[str, str]
) -> Amount | None:
    """The amount that pieces say: "3 ft", "2 ft 6 in", "2 to 3 ft", "a foot and a half"; None where they say none."""
    kinds = "".join(p.kind for p in pieces)

    def scale(name: str) -> float:
        return units[name or plain_unit]

    if re.fullmatch(r"[nf]u?", kinds):
        unit = pieces[1].text if len(pieces) == 2 else ""
        return Amount(pieces[0].value * scale(unit), pieces[0].value, unit, kinds == "f")
    if re.fullmatch(r"n?u&f", kinds):
        first = pieces[0].value if kinds[0] == "n" else 1.0
        number, unit = first + pieces[-1].value, pieces[-3].text
        return Amount(number * scale(unit), number, unit)
    if re.fullmatch(r"[nf]u&?[nf]u?|[nf]u,[nf]u", kinds) and pieces[1].text in small:
        lower = pieces[-1].text if kinds.endswith("u") else small[pieces[1].text]
        if scale(lower) < scale(pieces[1].text):
            last = pieces[-2] if kinds.endswith("u") else pieces[-1]
            value = pieces[0].value * scale(pieces[1].text) + last.value * scale(lower)
            return Amount(value, value / scale(pieces[1].text), pieces[1].text)
    if re.fullmatch(r"b?[nf]u?[t-][nf]u?|b[nf]u?&[nf]u?", kinds):
        numbers = [(i, p) for i, p in enumerate(pieces) if p.kind in "nf"]
        named = [pieces[i + 1].text if kinds[i + 1 : i + 2] == "u" else "" for i, _ in numbers]
        larger = named[1] or named[0]
        low, high = numbers[0][1].value * scale(named[0] or larger), numbers[1][1].value * scale(larger)
        if low < high:
            middle = (low + high) / 2.0
            return Amount(middle, middle / scale(larger), larger)
    return None


_FOR_LENGTH = tuple(
    tuple(f.split())
    for f in (
        "deep",
        "down",
        "long",
        "wide",
        "across",
        "of water",
        "of shore",
        "of shoreline",
        "of bank",
        "at the deepest",
        "at most",
        "in all",
        "total",
        "in total",
        "in depth",
        "in length",
        "the water",
        "deepest",
        "depth",
        "at the dam",
        "by the dam",
        "near the dam",
        "off the dam",
        "in the middle",
        "at full pool",
        "when full",
        "when it's full",
        "when it is full",
        "it falls",
        "it drops",
        "falls",
        "drops",
    )
)
_SMALLER = {
    name: ("cm" if name.startswith("m") else "ft" if name.startswith("y") else "in")
    for name in ("ft", "foot", "feet", "'", "m", "meter", "meters", "yd", "yds", "yard", "yards")
}


def signed(text: str, units=(), example: str = "7.1", fillers=()) -> Amount:
    """One number, with or without one of `units`, below zero too; "2 to 3" is the middle of the two."""
    pieces = _pieces(text, units, [tuple(f.split()) for f in fillers])
    sign = 1.0
    if pieces and pieces[0].kind == "s":
        sign, pieces = -1.0, pieces[1:]
        if any(p.kind in "t-&" for p in pieces):
            raise ValueError(f"Write one number, as in {example}.")
    if pieces and pieces[0].kind == "u" and len(pieces) > 1 and pieces[1].kind in "nf":
        pieces = [*pieces[1:], pieces[0]] if len(pieces) == 2 else pieces[1:]  # "pH 7.1"
    scale = dict.fromkeys(units, 1.0) | {"": 1.0}
    found = _amount(pieces, scale, "", {})
    if found is None:
        raise ValueError(f"Write a number, as in {example}.")
    return Amount(sign * found.value, sign * found.number, found.unit, found.is_part)


def length(text: str, plain_unit: str = "ft", example: str = "3 ft, or 30 in") -> Amount:
    """A length in feet: "3 ft", "30 in", "2 ft 6 in", "140 paces", "2 to 3 feet"; a bare number is in `plain_unit`."""
    if " ".join(words_of(unhedged(text))) in ("none", "nothing", "zero", "no", "zilch"):
        return Amount(0.0, 0.0)
    found = _amount(_pieces(text, FEET, _FOR_LENGTH), FEET, plain_unit, _SMALLER)
    if found is None:
        raise ValueError(f"Write a length, as in {example}.")
    return found


_FOR_AREA = tuple(
    tuple(f.split())
    for f in (
        "pond",
        "ponds",
        "lake",
        "of water",
        "water",
        "in size",
        "in area",
        "in all",
        "total",
        "in total",
        "when full",
        "at full pool",
        "when it's full",
        "surface",
        "long",
        "wide",
        "in length",
        "in width",
        "oval",
    )
)


def area(text: str) -> Amount:
    """An area in acres: "2.8", "90,000 sq ft", "half an acre", or length by width of an oval, "400 x 250 ft"."""
    pieces = _pieces(text, {**FEET, **_ACRES}, _FOR_AREA)
    kinds = "".join(p.kind for p in pieces)
    if kinds == "u" and pieces[0].text == "acre":
        return Amount(1.0, 1.0, "acre")
    if re.fullmatch(r"[^x]+x[^x]+", kinds) or re.fullmatch(r"nu[&,]nu?", kinds):
        cut = kinds.index("x") if "x" in kinds else 2
        halves = pieces[:cut], pieces[cut + 1 :]
        said = [next((p.text for p in half if p.kind == "u"), "") for half in halves]
        if not set(said) & set(_ACRES):
            long, wide = (
                _amount(half, FEET, own or other or "ft", _SMALLER)
                for half, own, other in zip(halves, said, reversed(said))
            )
            if long and wide:
                acres = math.pi / 4.0 * long.value * wide.value * _ACRES["sq ft"]
                return Amount(acres, acres, "x")
    if set(p.text for p in pieces if p.kind == "u") <= set(_ACRES):
        if found := _amount(pieces, _ACRES, "acres", {}):
            return found
    if kinds in ("nu", "n&", "fu") and pieces[1].text in FEET:
        raise ValueError(
            "That is one length. Give the longest way by the widest, as in 400 x 250 ft, or acres."
        )
    raise ValueError("Write acres, as in 2.8, or the longest way by the widest, as in 400 x 250 ft.")


_RATIO_NUMBER = r"(\d+(?:\.\d+)?|\.\d+)"


def ratio(text: str) -> float | None:
    """Feet out for one foot down from "3:1" or "3 to 1"; None for anything else.

    A spreadsheet makes a time of it ("3:01", "03:01:00"): that is 3:1 too. Raises ValueError for "1:3".
    """
    told = unhedged(text)
    told = re.sub(r"\s*(?:slope|bank|side slope|grade)s?$", "", told)
    if found := re.fullmatch(rf"{_RATIO_NUMBER}\s*(?::|to|in|/|h\s*:)\s*1\s*v?", told):
        return float(found[1])
    if found := re.fullmatch(r"(\d{1,2}):01(?::00(?:\.0+)?)?", told):
        return float(found[1])
    if found := re.fullmatch(rf"1\s*(?::|to|in|/)\s*{_RATIO_NUMBER}", told):
        raise ValueError(f"Write the feet out first: {found[1]}:1 if it falls one foot in {found[1]}.")
    if found := re.fullmatch(rf"{_RATIO_NUMBER}\s*:\s*{_RATIO_NUMBER}", told):
        raise ValueError("Write the feet out for one foot down, as in 3:1.")
    return None


TEN_FEET_OUT = "3 ft, or 30 in; or a slope, as in 3:1"  # how the depth ten feet out is written


def slope_from_depth(depth_ft: float) -> float:
    """Feet out for one foot down where it is that deep ten feet out."""
    if not depth_ft > 0.0:
        raise ValueError("Ten feet out there is some water at full pool: give its depth, if only 4 in.")
    return round(10.0 / depth_ft, 1)


_OF_WHAT = (
    "of it",
    "of the pond",
    "of the water",
    "of the shore",
    "of the shoreline",
    "of the bank",
    "of the whole",
    "of the surface",
    "of the whole thing",
    "the pond",
    "the water",
    "the shore",
    "the shoreline",
    "it",
    "the whole",
    "total",
    "way round",
    "the way round",
    "the way around",
)


def per_cent(text: str) -> float:
    """A share in per cent: "10", "10 %", "half", "a third of it"."""
    found = signed(text, ("%", "percent", "per cent", "pct"), "10 %", _OF_WHAT)
    return found.value * 100.0 if found.is_part and not found.unit else found.value


def part_of(text: str) -> float | None:
    """A share in per cent where it is said as a part ("half", "a third of the shore"), otherwise None."""
    found = signed(text, (), "half", _OF_WHAT)
    return found.value * 100.0 if found.is_part else None


def is_length(text: str) -> bool:
    """Whether a text is a length and nothing else."""
    return _amount(_pieces(text, FEET, _FOR_LENGTH), FEET, "ft", _SMALLER) is not None


_YES = (
    "y",
    "yes",
    "yep",
    "yeah",
    "yup",
    "true",
    "sure",
    "si",
    "sí",
    "correct",
    "right",
    "ya",
    "yea",
    "absolutely",
)
_NO = ("n", "no", "nope", "nah", "false", "none", "not", "isn't", "never")


_SAID_WITH_YES = frozenset(  # words after a yes or no that take nothing back
    "it it's its is isn't the a an that that's thats this dam of just natural bank sir ma'am maam here there's there no not "
    "yes absolutely indeed certainly definitely old earthen earth low plain normal regular ordinary none shore".split()
)


def yes_no(text: str) -> bool:
    """Yes or no."""
    told = words_of(text)
    yes = bool(told) and (told[0] in _YES or told[:2] in (["it", "is"],))
    no = bool(told) and (told[0] in _NO or told[:2] in (["it", "isn't"], ["it's", "not"], ["its", "not"]))
    others = told[1:]
    if set(others) - _SAID_WITH_YES:
        raise ValueError("Answer yes or no.")
    if yes and not any(w in (*_NO, "or", "maybe", "but", "partly", "part") for w in others):
        return True
    if no and not any(
        w
        in (
            *_YES,
            "or",
            "maybe",
            "but",
            "sure",
            "idea",
            "really",
            "quite",
            "exactly",
            "partly",
            "certain",
            "clue",
        )
        for w in others
    ):
        return False
    raise ValueError("Answer yes or no.")


_SAID_WITH = frozenset(  # words that come with a thing in a list and change nothing
    "a an the some few many lots lot of plenty several couple pair pairs occasional occasionally our my we have wild local "
    "sometimes always every in winter summer spring fall there are is i've i've got got see seen lots mostly mainly just "
    "definitely also too come comes visit visits here now and then bunch tons ton big little small good nice".split()
)
_ALL = ("all", "everything", "all of them", "all of these", "all of the above", "the lot", "every one")
_NOTHING = ("none", "no", "nothing", "neither", "n", "nope", "none of these", "none of them", "none of those")


def several(text: str, allowed, aliases: dict[str, str] | None = None) -> list[str]:
    """The words of a list, in the order said: commas, "and" or their numbers; "all", and "none" as an empty list.

    A word of the list is found among the words of an answer ("a few Canada geese"), never inside a word. `aliases` are
    other words for them. What is not in the list is kept as it is, for the check of the key that it fills.
    """
    told = tidy(text)
    bare = " ".join(words_of(text))
    if bare in _NOTHING or re.fullmatch(r"(none|nothing)( that)? (i|we) know( of)?", bare):
        return []
    if bare in _ALL:
        return list(allowed)
    known = {tuple(a.split()): a for a in allowed} | {
        tuple(name.split()): word for name, word in (aliases or {}).items()
    }
    parts = [p for p in re.split(r"\s*[,;/&+]\s*|\s+(?:and|or|plus|y)\s+|\s+as well as\s+", told) if p]
    if len(parts) == 1 and re.fullmatch(r"[\d ]+", told):
        parts = told.split()
    picked: list[str] = []
    for part in parts:
        part = re.sub(r"^(?:and|or|plus)\s+", "", part)
        if part.isdigit():
            if not 1 <= int(part) <= len(allowed):
                raise ValueError(f"The list has numbers 1 to {len(allowed)}.")
            picked.append(allowed[int(part) - 1])
        else:
            picked += _listed(part, known)
    return list(dict.fromkeys(picked))


def _listed(part: str, known: dict[tuple[str, ...], str]) -> list[str]:
    """The known things that the words of one part of a list name; the part itself where a word is left over."""
    told = words_of(part)
    found, at, left = [], 0, []
    while at < len(told):
        hit = next(
            (
                (word, size)
                for size in range(min(4, len(told) - at), 0, -1)
                for name, word in known.items()
                if len(name) == size and _same_words(tuple(told[at : at + size]), name)
            ),
            None,
        )
        if hit:
            found.append(hit[0])
        elif step := _hedge_at(told, at):
            at += step
            continue
        elif told[at] not in _SAID_WITH and not (at == 0 and _number_at(told, 0)[1] == 1):  # "2 grass carp"
            left.append(told[at])
        at += hit[1] if hit else 1
    if left or not found:
        return [part]
    return found


def _same_words(said: tuple[str, ...], name: tuple[str, ...]) -> bool:
    return all(a == b or (len(a) > 3 and a.rstrip("s") == b.rstrip("s")) for a, b in zip(said, name))


def frosts(text: str) -> tuple[str, str] | None:
    """Last frost of spring and first of autumn as month-day; None where it never freezes.

    "March 28 to November 5", "3/28 - 11/5", "late March, early November" (5th, 15th or 25th of the month).
    """
    told = unhedged(text)
    if told in (
        "never",
        "no frost",
        "no frosts",
        "none",
        "never freezes",
        "frost free",
        "frost-free",
        "it never freezes",
        "doesn't freeze",
        "it doesn't freeze",
        "we don't get frost",
        "we never get frost",
    ):
        return None
    if re.fullmatch(
        r"(?:(?:we|it) )?(?:never|no|don't|doesn't)(?: get| have)?(?: any)?(?: frosts?| freezes?| freeze)(?: here)?",
        told,
    ):
        return None
    told = re.sub(r"^(?:from|between)\s+", "", told)
    halves = re.split(
        r"\s*(?:\bto\b|\band\b|\buntil\b|\btill?\b|\bthrough\b|\bthru\b|[,;]|\s[-/]+\s|(?<=\d)-(?=\d+/)|(?<=\d)-(?=[a-z]))\s*",
        told,
    )
    halves = [h for h in halves if h]
    if len(halves) != 2:
        raise ValueError("Write both days, as in March 28 to November 5.")
    labels = [re.search(r"\b(last|first)\b(?!\s+(?:week|half|of))", h) for h in halves]
    if labels[0] and labels[0][1] == "first" and labels[1] and labels[1][1] == "last":
        halves.reverse()
    halves = [_day_words(h) for h in halves]
    (last, first), wrong = read_dates([_with_year(h) for h in halves])
    if wrong or last is None or first is None:
        raise ValueError(f'"{halves[wrong[0][0]]}" is not clear as a day: write it as March 28.')
    return f"{last:%m-%d}", f"{first:%m-%d}"


def _day_words(half: str) -> str:
    """One of the two days without the words that say which it is ("last frost is about April 10")."""
    half = re.sub(
        r"\b(?:last|first)(?:\s+(?:frost|freeze))?(?!\s+(?:week|half))\b|\b(?:frost|freeze|spring|fall|autumn)\b",
        " ",
        half,
    )
    half = " ".join(unhedged(" ".join(half.split()).strip(" :-=")).split())
    return re.sub(r"^(?:in|on|at)\s+|\s+(?:in|on|at)$", "", half).strip(" :-=")


def _with_year(text: str) -> str:
    text = re.sub(r"\b(the|of|in)\b", " ", text)
    rough = re.fullmatch(r"\s*([a-z]+)[ -]+([a-z]{3,9})\s*", text)
    if rough and rough[1] in _PART_OF_MONTH and rough[2][:3] in MONTHS:
        text = f"{rough[2]} {_PART_OF_MONTH[rough[1]]}"
    if re.fullmatch(r"\s*\d{1,2}[/.\-]\d{1,2}\s*", text):
        return f"2001-{'-'.join(f'{int(n):02}' for n in re.findall(r'[0-9]+', text))}"  # month first, as the trade writes it
    return f"{text} 2001"
