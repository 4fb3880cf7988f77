"""What a seller asks beside the price: least orders in plants and in money, whole trays; and whether there are any left."""

from __future__ import annotations

import re
from dataclasses import dataclass

from plantpick.offers.amounts import A_NUMBER, FIGURE, SIGN, any_of, currency_of, number_of
from plantpick.vocabulary import STATES

_SOLD_OUT = re.compile(
    r"(?<!never )(?<!not )(?<!until )(?<!before )(?<!often )(?<!usually )sold[\s-]?out|out[\s-]?of[\s-]?stock|crop failure|"
    r"no stock|discontinued|\bOOS\b|back[\s-]?order|(?P<not>un-?available|not (?:currently )?available)",
    re.I,
)
_SOME_STATES = re.compile(
    r"^\W{0,3}(?i:to ship |for (?:sale|shipment|shipping) |to be shipped )?(?i:in|into|to|for) (?i:the )?(?i:states? of )?"
    r"(?:(?:" + "|".join(STATES) + r")\b|(?i:" + "|".join(name for name, _ in STATES.values()) + r")\b"
    r"|(?i:(?:some|certain|many|these|those|all|other|most|your|several)\b))"
)
_SOLD_WORDS = any_of("out avail fail stock discont oos order")
_LEAST = re.compile(
    r"\bmin(?:imum|\.)?\s?(?:order(?:ed)?|purchase|qty\.?|quantity|quantities|number|of|is|per (?:species|variety|item|kind)|[:=-])?"
    r"\W{0,3}(?:order|qty\.?|quantity|of|is|per (?:species|variety|item|kind))?\W{0,3}(?P<count>\d{1,7})\b(?![.,/]\d|\s?[%\"'-])"
    r"|(?<![\d.$£€,])(?P<before>\d{1,5}) ?(?:plants? |plugs? |pcs? |each |ct |count |trays? |flats? |bundles? |packs? |cases? |dozen )?(?:min(?:imum|\.)?)(?: order| qty| quantity|\b)(?! ?\d)"
    r"|\bsold (?:only )?(?:in|by) (?:multiples|increments|lots|bundles|bunches|packs|groups) of (?P<lots>\d{1,4})\b"
    r"|\b(?:in )?(?:multiples|increments) of (?P<multiples>\d{1,4})\b|\bsold (?:only )?(?:in|by) (?P<sixes>\d{1,3})'?s\b"
    r"|(?<!\w )\bleast(?: order)?\W{1,3}(?P<least>\d{1,5})\b(?=\s*(?:$|[,;.)](?!\d)|plants?\b|plugs?\b|pcs?\b|pieces?\b|each\b|ea\b))"
    r"|\b(?:at least|no fewer than|not (?:fewer|less) than) (?P<fewest>\d{1,5})\b"
    r"(?=\s*(?:$|[,;.)](?!\d)|plants?\b|plugs?\b|pcs?\b|pieces?\b|each\b|ea\b))"
    r"|\blots of (?P<plainlots>\d{1,4})\b",
    re.I,
)
# the same of trays, where they are said to be sold whole: "sold in trays of 50"; "50/flat $1.20" prices one plant of a flat
IN_TRAYS_OF = re.compile(
    r"\b(?:sold|sell|ship(?:ped)?|come|available|priced)\b(?: only)?(?: in| by)(?: the)?(?: full| whole| complete)? (?:trays?|flats?)"
    r"(?: of)? \(?(?P<count>\d{2,4})\b",
    re.I,
)
_SOLD_BY = re.compile(
    r"\b(?:sold|sell|ship(?:ped)?|come|available)\b(?: only)?(?: in| by)(?: the)?(?: full| whole)? (?:multiples|increments|lots|bundles|"
    r"bunches|packs|groups|boxes|cases) of \(?(?P<count>\d{1,4})\b",
    re.I,
)
_BY_TRAY = re.compile(  # "Sold by the tray (50 per tray) only", "Tray of 50 minimum"
    r"\bsold (?:only )?by the (?:tray|flat) \(?(\d{2,3})\b|^\W*(?:trays?|flats?) of (\d{2,3}) min(?:imum)?\W*$",
    re.I,
)
_ALL_KINDS = re.compile(r"\b(?:all|every|everything|plugs|plants|seedlings|bare ?roots?|liners|we)\b", re.I)
_EACH_KIND = re.compile(
    r"(?:per|each|every|any|of a|of each|of any) (?:single |one )?(?:species|variety|varieties|kind|item|cultivar|plant|size)|\beach\W*$",
    re.I,
)
_LEAST_SPEND = re.compile(
    r"(?<!\d )\bmin(?:imum|\.)?(?: (?:order|purchase|invoice|charge|sale|spend)(?:s|ing)?)*(?: (?:is|of|amount|value|total|"
    rf"required|for shipping))*\W{{0,3}}(?P<sign>{SIGN}) ?(?P<n>{FIGURE})"
    rf"|(?P<sign2>{SIGN}) ?(?P<n2>{FIGURE}) (?:[a-z]+ )?min(?:imum)?\b(?!{A_NUMBER})",
    re.I,
)


@dataclass(frozen=True)
class LeastSpend:
    """The smallest order in money that a seller takes."""

    amount: float
    currency: str
    read: str


def sold_out(text: str) -> bool:
    """Whether the line says that there are none. "Not available in CA" says where it is not sold."""
    lowered = text.lower()
    if not _SOLD_WORDS.search(lowered):
        return False
    return any(
        not (match["not"] and _SOME_STATES.match(text[match.end() :])) for match in _SOLD_OUT.finditer(text)
    )


def least_order(text: str) -> int | None:
    """The fewest plants of a kind that the seller sends, if the text says so: "minimum quantity 6", "25 min"."""
    lowered = text.lower()
    if (
        "min" not in lowered
        and "multiple" not in lowered
        and "increment" not in lowered
        and "sold" not in lowered
        and "lots" not in lowered
        and "least" not in lowered
        and " than " not in lowered
    ):
        return None
    match = _LEAST.search(text)
    if not match or _LEAST_SPEND.search(text):
        return None
    count = int(next(g for g in match.groups() if g))
    return count if 1 < count <= 1_000_000 else None


def for_each_kind(text: str) -> bool:
    """Whether a least order is asked of every kind: "minimum 25 per species"."""
    return bool(_EACH_KIND.search(text))


def least_spend(text: str) -> LeastSpend | None:
    """The least order in money, if the text names one: "Minimum Order $200"."""
    if "min" not in text.lower():
        return None
    match = _LEAST_SPEND.search(text)
    if not match:
        return None
    sign, figure = match.group("sign") or match.group("sign2"), match.group("n") or match.group("n2")
    return LeastSpend(number_of(figure), currency_of(sign), match.group().strip())


def sold_by(text: str) -> int | None:
    """In what whole lots a seller sells everything on the list: "All plugs sold in trays of 50"."""
    tray = _BY_TRAY.search(text)
    if tray:
        return int(tray[1] or tray[2])
    if not _ALL_KINDS.search(text):
        return None
    match = IN_TRAYS_OF.search(text) or _SOLD_BY.search(text)
    count = int(match["count"]) if match else 0
    return count if count > 1 else None
