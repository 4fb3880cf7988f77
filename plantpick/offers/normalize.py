"""Words on paper made comparable: stray characters, glued words, spellings, and the words that are not
names."""

from __future__ import annotations

import html
import re
import unicodedata
from dataclasses import dataclass
from functools import lru_cache

_QUOTES = str.maketrans(
    {
        "’": "'",
        "‘": "'",
        "`": "'",
        "´": "'",
        "ʼ": "'",
        "′": "'",
        "‛": "'",
        "“": '"',
        "”": '"',
        "″": '"',
        "„": '"',
        "«": '"',
        "»": '"',
        "–": " - ",
        "—": " - ",
        "―": " - ",
        "−": "-",
        "‐": "-",
        "‑": "-",
        "×": " x ",
        "✕": " x ",
        "®": " ",
        "™": " ",
        "©": " ",
        "•": " | ",
        "·": " | ",
        "*": " ",
        "_": " ",
        "\u00ad": None,
        "\u200b": None,
        "\u200c": None,
        "\u200d": None,
        "\ufeff": None,
        "\u2060": None,
        "ø": "o",
        "ł": "l",
        "ß": "ss",
        "…": " | ",
    }
)
_MOJIBAKE = re.compile("[ÂÃâ][\u0080-\u00bf€‚ƒ„…†‡ˆ‰Š‹ŒŽ‘’“”•–—˜™š›œžŸ]")
_GLUED = re.compile(r"(?<=[a-z])(?=[A-Z][a-z])|(?<=[A-Za-z])(?=\d)|(?<=\d)(?=[A-Za-z])")
_ADDRESS = re.compile(
    r"\S+@\S+\.\w+|(?:https?|ftp|file)://\S+|www\.\S+|\b(?:[\w-]+\.)+(?:com|net|org|edu|gov)\b(?:/\S*)?"
)
_BED_STRAW = re.compile(r"\b([Bb]ed)[ -]straw", re.I)  # a plant, and no straw
_TOKEN = re.compile(r"[A-Za-z]+(?:'[A-Za-z]+)*'?|\d+|--+|\s-|-\s|[\t\n]|\s{3,}|[^\sA-Za-z\d]")
_ZERO = re.compile(r"(?<=[A-Za-z])0(?=[a-z])")  # text recognition's O
_GREETED = re.compile(
    r"(?i:hi|hello|hey|dear|good (?:morning|afternoon|evening))\s+(?i:(?:mr|mrs|ms|dr)\b\.?\s+)?"
    r"[A-Z][a-z]+(?: [A-Z][a-z]+)?\s*(?=[,:;!-]|$)"
)
_SIGNED = re.compile(
    r"(?i:sincerely|(?:best |kind |warm )?regards|cheers|yours(?: truly)?|thanks|thank you|respectfully)"
    r"\s*[,!-][\s,!-]*[A-Z][a-z]+(?: [A-Z][\w.]*){0,2}\W*$"
)
_CULTIVAR = re.compile(
    r"(?<![A-Za-z0-9])'([A-Z0-9][^'\"]{1,38}?(?:'s [^'\"]{1,30}?|s' [^'\"]{1,30}?)?)'(?![A-Za-z])"
    r"|(?<![\d\w½])\"([A-Z][A-Za-z .&-]{2,38})\"|\bcv\.?\s+([A-Z][a-z]+(?: [A-Z][a-z]+)?)"
)
# "subsp.a tuberosa", "ssp,tuberosa", "var: tuberosa", "v. tuberosa", "variety tuberosa" behind an epithet
_RANK_MANGLED = re.compile(
    r"(?<=[a-z])(\s*[,;:-]?\s+|\s*\()(?:(?:ssp|subsp|subssp|sbsp|sbp|subs|spp|var|vr|forma)\b[\s.,:;]*(?:[a-z]\b[\s.,:;]*)?"
    r"|v\.\s*|(?:variety|subspecies|subsp?ec)\s+(?!of\b|in\b|and\b|or\b|is\b|for\b|with\b))(?=[a-z]{4,})"
)
# text recognition's mistakes inside a word: "Hydri11a", "Sag1ttaria", "fIaccida", "latifo|ia", "Parrot5"
_MISREAD = re.compile(r"(?<=[a-z])(?:11|[1I|])(?=[a-z])|(?<=[a-z]{4})5(?![\w.])")
_ENDS_IN_ONE = re.compile(r"(?<=[a-z]{3})1(?= [A-Za-z]{3})")  # "Roya1 Red"
_MAY_BE_MISREAD = re.compile("[a-z][1I|5]")
_MEANT = {"11": "ll", "1": "i", "I": "l", "|": "l", "5": "s"}
# "H y d r i l l a": a heading with its letters set apart; two spaces part its words
_SPACED = re.compile(r"(?<![A-Za-z.'])(?:[A-Za-z] ){3,}[A-Za-z](?![A-Za-z.'])")
_RANK = re.compile(r"ssp|subs|sbs|sbp|spp|[ ,;:(-]v(?:ar|r\b|\.)|forma")
_OURS = frozenset("æœÆŒðþđħ")  # letters of European names; they part a word, no more
_TURNING = frozenset(
    "\u202a\u202b\u202d\u202e\u2066\u2067\u2068"
)  # signs that make letters stand in another order than they are read
_BREAKS = set(',;:|/()[]{}"\t\n<>=+!?&')
RANKS = frozenset("var ssp subsp spp sp f fo forma cv x cf aff hort auct syn".split())


@lru_cache(maxsize=200_000)
def stem(word: str) -> str:
    """A word for comparison: lower case, no apostrophe, singular, the spellings that lists mix made one."""
    w = word.lower().replace("'", "")
    if len(w) > 4:
        if w in _SPELLINGS:
            return _SPELLINGS[w]
        if w.endswith("lly") and w[:-3] in ("li", "waterli", "pondli"):
            return w[:-3] + "ly"
        if w.endswith("ies"):
            return stem(w[:-3] + "y")
        if w.endswith(("sses", "shes", "ches", "xes", "ises", "uses")):
            return w[:-2]
        if w.endswith("leaved") or w.endswith("leafed"):
            return w[:-6] + "leaf"
        if w.endswith("leaves"):
            return w[:-6] + "leaf"
        if w.endswith("flowered"):
            return w[:-2]
        if w.endswith("stemmed"):
            return w[:-3]
    return w[:-1] if len(w) > 3 and w[-1] == "s" and w[-2] not in "sui" else w


_SPELLINGS = {
    "grey": "gray",
    "greys": "gray",
    "woolly": "wooly",
    "woollygrass": "woolgrass",
    "colour": "color",
    "saint": "st",
    "fibre": "fiber",
}


@dataclass(slots=True)
class Token:
    """A word of the line: as written, its stem, where it stands, and the number of its segment."""

    text: str
    stem: str
    start: int
    segment: int
    quoted: bool = False


@dataclass(slots=True)
class Clean:
    """A line taken apart: the cleaned text, its words, what stands in cultivar quotes, and whether some of it
    stands in letters that are not ours and look like none of ours."""

    text: str
    tokens: list[Token]
    quoted: list[str]
    foreign: bool = False


@lru_cache(maxsize=20_000)
def _look_alike(character: str) -> str:
    """The letter of ours that a foreign character looks like (Unicode's table of confusables), else itself."""
    if not character.isalnum():
        return character
    from disarm import normalize_confusables

    plain = normalize_confusables(character)
    return plain if plain.isascii() and plain.isalnum() else character


def clean_text(text: str) -> str:
    """The line with its characters put right: quotes, dashes, broken encodings, accents, glued words."""
    if not text.isascii():
        if _MOJIBAKE.search(text):
            try:
                text = text.encode("cp1252").decode("utf-8")
            except UnicodeError:
                pass
        text = unicodedata.normalize("NFKC", text.translate(_QUOTES)).translate(_QUOTES)
        text = "".join(c for c in unicodedata.normalize("NFD", text) if not unicodedata.combining(c))
        if not text.isascii():
            text = "".join(c if c.isascii() else _look_alike(c) for c in text)
    elif "*" in text or "_" in text or "`" in text:
        text = text.translate(_QUOTES)
    if "&" in text and ";" in text:
        text = html.unescape(text)
    if text.count(" ") * 3 > len(text):
        text = _SPACED.sub(lambda m: m.group().replace(" ", ""), text)
    if "traw" in text:
        text = _BED_STRAW.sub(r"\1straw", text)
    if "@" in text or "://" in text or "www." in text or ".com" in text or ".net" in text or ".org" in text:
        text = _ADDRESS.sub(" ", text)
    if "0" in text:
        text = _ZERO.sub("o", text)
    if _MAY_BE_MISREAD.search(text):
        text = _MISREAD.sub(lambda m: _MEANT[m.group()], text)
        text = _ENDS_IN_ONE.sub("l", text)
    text = _GLUED.sub(" ", text)
    return _RANK_MANGLED.sub(_rank, text) if _RANK.search(text) else text


def _rank(match: re.Match[str]) -> str:
    """The sign of a rank as books write it, whatever slipped in beside it."""
    return " var. " if "v" in match.group().lower() else " ssp. "


def _without_people(text: str) -> str:
    """A letter's greeting and signature without the names of people: "Hi Iris,", "Regards, Rose Marsh"."""
    if _SIGNED.match(text):
        return ""
    match = _GREETED.match(text) if text[:1].isalpha() else None
    return " " * match.end() + text[match.end() :] if match else text


def take_apart(text: str) -> Clean:
    """Clean a line and split it into words; numbers and signs only part the words into segments."""
    turned = not text.isascii() and not _TURNING.isdisjoint(text)
    text = _without_people(clean_text(text))
    quoted, spans = [], []
    if "'" in text or '"' in text or "cv" in text:
        for match in _CULTIVAR.finditer(text):
            quoted.append(next(g for g in match.groups() if g))
            spans.append(match.span())
    tokens: list[Token] = []
    segment = 0
    for match in _TOKEN.finditer(text):
        piece = match.group()
        first = piece[0]
        if first.isalpha():
            start = match.start()
            inside = any(a <= start < b for a, b in spans) if spans else False
            if tokens and tokens[-1].quoted != inside:
                segment += 1
            tokens.append(Token(piece, stem(piece), start, segment, inside))
        elif (
            first.isspace()
            and first not in "\t\n"
            and len(piece) > 2
            and match.end() < len(text)
            and text[match.end()].islower()
        ):
            continue  # wide spacing inside a name: "Saururus   cernuus"
        elif first in _BREAKS or first.isspace() or first.isdigit() or (first in "-" and len(piece) > 1):
            segment += 1
    foreign = (
        turned or not text.isascii() and any(c.isalpha() and not c.isascii() and c not in _OURS for c in text)
    )
    return Clean(text, tokens, quoted, foreign)


# words parted by single blanks and hyphens, no large letter inside one: nothing in them wants cleaning
_PLAINLY_WRITTEN = re.compile(r"(?:[A-Z][a-z]+|[a-z]{2,})(?:[ -](?:[A-Z][a-z]+|[a-z]{2,}|x))*")
_OPENS_A_LETTER = frozenset(
    "hi hello hey dear good sincerely best kind warm regards cheers yours thanks thank respectfully".split()
)


@lru_cache(maxsize=100_000)
def key_of(name: str) -> str:
    """A name as one run of letters: stems without spaces, hyphens, rank words and hybrid signs."""
    if _PLAINLY_WRITTEN.fullmatch(name) and not _RANK.search(name):
        words = name.replace("-", " ").split()
        if words[0].lower() not in _OPENS_A_LETTER:
            return "".join([s for s in map(stem, words) if s not in RANKS])
    return "".join(t.stem for t in take_apart(name).tokens if t.stem not in RANKS)


_ENDING = re.compile(r"(?:iae|ii|ae|us|um|is|es|a|e|i|s|on|os)$")


@lru_cache(maxsize=100_000)
def epithet_stem(epithet: str) -> str:
    """An epithet without the ending that changes with the genus's gender (luteum and lutea are one)."""
    bare = _ENDING.sub("", epithet.lower())
    return bare if len(bare) >= 3 else epithet.lower()
