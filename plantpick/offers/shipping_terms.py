"""What a line of an offer says besides its names and prices: the form of the plants, where the seller does
not ship."""

from __future__ import annotations

import re
from enum import StrEnum

from plantpick.offers.normalize import stem
from plantpick.offers.words import PLAIN
from plantpick.vocabulary import STATES

SUMS = frozenset(
    map(
        stem,
        "total subtotal tax deposit shipping freight discount balance handling minimum surcharge".split(),
    )
)
DIGIT = re.compile(r"\d")
_FORMS = re.compile(
    r"\b(?=[bcfgpqrst])(?:(?P<seed>seeds?)|(?P<tuber>tubers?|rhizomes?|bulbs?)|(?P<bare>bare[\s-]?roots?|b\.?r)|"
    r"(?P<bunch>bunch(?:es)?|cuttings?|sprigs?)|(?P<plug>plugs?|cells?|trays?|flats?)|"
    r"(?P<pot>pots?|potted|gal(?:lon)?s?|quarts?|qt|containers?))\b"
)


_NUMBER = r"(?:\d{1,3}(?:\.\d+)?(?: ?[½¼¾]| \d/\d)?|[½¼¾]|\d/\d)"
_SIZE = re.compile(
    r"(?<![\w.$£€/-])(?:#\d{1,2}(?!\d)(?: (?:pots?|cont(?:ainer)?s?)\b)?"
    rf"|{_NUMBER}[ -]?(?:gal(?:lon)?s?|qts?|quarts?|pts?|pints?|lit(?:er|re)s?|l|ml|cu\.? ?in)\b\.?(?: (?:pots?|containers?)\b)?"
    r"|(?:half[ -])?(?:gallon|gal|quart|qt|pint)\b\.?(?: (?:pots?|containers?)\b)?"
    rf"|{_NUMBER}(?: ?x ?{_NUMBER}){{1,2}}(?: ?(?:\"|in\b\.?|inch(?:es)?|cm\b))?(?: ?(?:square |round |deep )?(?:plugs?|pots?|liners?|cells?)\b)?"
    rf"|{_NUMBER}(?: ?(?:-|to) ?{_NUMBER})? ?-?(?:\"|''|in\b\.?|inch(?:es)?|cm\b|mm\b|ft\b|'(?!s\b)|feet\b)"
    r"(?: ?(?:square |round |deep |dia\.? )?(?:plugs?|pots?|liners?|cells?|containers?|baskets?|bare ?roots?|seedlings?)\b)?"
    r"|\d{2,3}[ -]?(?:cells?|ct|count)\b(?: (?:trays?|flats?|plugs?)\b)?)",
    re.I,
)
_NOT_A_SIZE = re.compile(
    r"^\W{0,2}(?:tall|high|wide|deep|water|apart|height|spread|across|long|of (?:water|soil|mulch)|below|above|under|h\b|w\b|"
    r"flowers?|blooms?|leaves|spikes?|stems?|centers?|on center|o\.?c)",
    re.I,
)
_MEASURED_AS = re.compile(
    r"(?:height|ht|tall|spread|depth|deep|water|zones?|grows?(?: to)?|to|up to|reach\w*)\W{0,3}$", re.I
)
_AN_AMOUNT = re.compile(r"^\d+ ?x ?\d+\.\d\d$")
_POTTED = re.compile(
    r"(?:plug|pot|liner|cell|container|basket|root|seedling|gal|qt|quart|pint|pt|lit|#|count|ct|tray|flat)",
    re.I,
)


class StockForm(StrEnum):
    """In what form the plants come."""

    SEED = "seed"
    TUBER = "tuber"
    BARE_ROOT = "bare root"
    BUNCH = "bunch"
    PLUG = "plug"
    POT = "pot"
    NOT_SAID = ""


_FORM_WORDS = {  # the first that a line holds counts
    "seed": StockForm.SEED,
    "tuber": StockForm.TUBER,
    "bare": StockForm.BARE_ROOT,
    "bunch": StockForm.BUNCH,
    "plug": StockForm.PLUG,
    "pot": StockForm.POT,
}
_BAN = re.compile(
    r"(?:no|not|never|can'?t|cannot|won'?t|unable|don'?t|do not|prohibited|illegal|restricted|banned)\b"
    r"[^.;]{0,40}?"
    r"\b(?:ships?|shipped|sales?|sold|sell|to|in|for|available|into)\b(?P<where>.{2,200})",
    re.I,
)
_ONLY_TO = re.compile(
    r"\b(?:ships?|shipping|shipped|delivers?|delivery|sells?|sales?)\b[^.;]{0,20}\b(?:to|in|within)\b[^.;]{2,120}?\bonly\b|"
    r"\bonly (?:ships?|delivers?|sells?)\b[^.;]{2,120}|\b(?:ships?|delivers?|sells?|available) only (?:to|in|within)\b[^.;]{2,120}",
    re.I,
)
_CODES_AT_END = re.compile(r"(?<![A-Za-z])((?:[A-Z]{2}[,;/ ]+){1,}[A-Z]{2})\.?\s*\)?\s*$")
_BAN_WORDS = (
    "ship",
    "sale",
    "sell",
    "sold",
    "avail",
    "illegal",
    "prohib",
    "restrict",
    "banned",
    "not to",
    "not for",
)
_STATE_NAMES = {name.lower(): code for code, (name, _) in STATES.items()}
_NAMES_OF_STATES = re.compile(r"\b(" + "|".join(sorted(_STATE_NAMES, key=len, reverse=True)) + r")\b")


def only_price(text: str) -> bool:
    """Whether a line is no more than a price with its unit."""
    words = [stem(w) for w in re.findall(r"[A-Za-z]+", text)]
    return len(words) <= 6 and not SUMS.intersection(words) and all(w in PLAIN for w in words if len(w) > 2)


def form_of(lowered: str) -> StockForm:
    """In what form the plants of a line (in small letters) come."""
    found = {match.lastgroup for match in _FORMS.finditer(lowered)}
    if not found:
        return StockForm.NOT_SAID
    return next((word for form, word in _FORM_WORDS.items() if form in found), StockForm.NOT_SAID)


def size_of(text: str) -> str:
    """The size in which the plants of a line come, as it stands there: "2 in plug", "#1", "50 cell tray"; else ""."""
    best = ""
    for match in _SIZE.finditer(text):
        if _AN_AMOUNT.search(match.group()):
            continue  # "100 x 1.20": so many at a price
        if _POTTED.search(match.group()):
            return " ".join(match.group().split()).strip()
        if _NOT_A_SIZE.match(text[match.end() :]) or _MEASURED_AS.search(text[: match.start()]):
            continue
        best = best or " ".join(match.group().split()).strip()
    return best


def only_to(text: str) -> tuple[str, ...]:
    """The states to which alone the seller ships: "We ship to AL, GA and FL only"; none where the text does not say so."""
    match = _ONLY_TO.search(text)
    if not match:
        return ()
    codes = [c for c in re.findall(r"(?<![A-Za-z])[A-Z]{2}(?![A-Za-z])", match.group()) if c in STATES]
    codes += [_STATE_NAMES[name] for name in _NAMES_OF_STATES.findall(match.group().lower())]
    return tuple(dict.fromkeys(codes))


def says_several(text: str) -> bool:
    """Whether a line names several sizes or forms, as headings of columns do: "BR  2 in  4 in  GAL"."""
    sizes = {match.group().lower() for match in _SIZE.finditer(text)}
    forms = {match.lastgroup for match in _FORMS.finditer(text.lower())}
    return len(sizes) > 1 or len(forms - {"pot"}) > 1 or "bare" in forms and len(forms) > 1


def banned_states(text: str) -> tuple[str, ...]:
    """The states that the seller says it does not ship to."""
    lowered = text.lower()
    match = _BAN.search(text) if any(w in lowered for w in _BAN_WORDS) else None
    if match:
        where = match.group("where")
        codes = [c for c in re.findall(r"(?<![A-Za-z])[A-Z]{2}(?![A-Za-z])", where) if c in STATES]
        codes += [_STATE_NAMES[name] for name in _NAMES_OF_STATES.findall(where.lower())]
        if codes:
            return tuple(dict.fromkeys(codes))
    match = _CODES_AT_END.search(text) if text[-12:].rstrip(" .)\t")[-2:].isupper() else None
    if match:
        codes = [c for c in re.findall(r"[A-Z]{2}", match.group(1))]
        if len(codes) > 1 and all(c in STATES for c in codes):
            return tuple(dict.fromkeys(codes))
    return ()
