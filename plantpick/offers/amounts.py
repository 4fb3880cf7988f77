"""The amounts of money on a line of an offer, in whatever sign, and not those of charges, deposits, and savings."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache
from unicodedata import category

from plantpick.offers.purchase import DOLLARS


def any_of(words: str) -> re.Pattern[str]:
    """A quick look whether any of these letters stand in a text of small ones, before costlier patterns are tried."""
    return re.compile("|".join(map(re.escape, words.split())))


_SIGNS = {
    "$": DOLLARS,
    "us$": DOLLARS,
    "usd": DOLLARS,
    "usd$": DOLLARS,
    "dollar": DOLLARS,
    "dollars": DOLLARS,
    "c$": "C$",
    "ca$": "C$",
    "can$": "C$",
    "cad": "C$",
    "cad$": "C$",
    "cdn": "C$",
    "cdn$": "C$",
    "a$": "A$",
    "au$": "A$",
    "au": "A$",
    "aud": "A$",
    "aud$": "A$",
    "£": "£",
    "₤": "£",
    "gbp": "£",
    "€": "€",
    "eur": "€",
    "euro": "€",
    "euros": "€",
    "₹": "Rs",
    "rs": "Rs",
    "inr": "Rs",
    "rupees": "Rs",
    "nzd": "NZ$",
    "chf": "CHF",
    "sek": "SEK",
    "nok": "NOK",
    "dkk": "DKK",
    "mxn": "pesos",
    "peso": "pesos",
    "pesos": "pesos",
    "jpy": "yen",
    "yen": "yen",
}
SIGN = r"US ?\$|USD ?\$?|CAD ?\$?|CDN ?\$?|AUD ?\$?|C(?:A|AN)?\$|AU ?\$|A\$|\$|£|₤|€|₹|Rs\.?(?= ?\d)|INR|GBP|EUR|NZD|CHF|SEK|NOK|DKK|MXN|JPY"
_SIGN_BEHIND = (
    r"USD|CAD|CDN|AUD|EUR|GBP|INR|NZD|CHF|SEK|NOK|DKK|MXN|JPY|pesos?|yen|euros?|dollars?|rupees|€|£|US\$"
)
FIGURE = r"\d{1,3}(?:,\d{3})+(?:\.\d{1,2})?|\d+(?:[.,]\d{2}(?!\d)|\.\d)?|\.\d{2}(?!\d)"
NOT_MONEY = (  # what a figure with two decimals measures, if it is no price
    r"(?! ?(?:in\b|inch|ft\b|feet|foot|gal|qt|quart|pt\b|pint|cu\b|cubic|cm\b|mm\b|m\b|l\b|lit(?:er|re)|ml\b|oz\b|lbs?\b|"
    r"kg\b|g\b|\"|'|[″′”’]|%|x\b|x ?\d|pls\b|caliper|cal\b|dia|tall|high|wide|deep|acres?\b|ha\b|hp\b|mil\b|ppm\b))"
)
AMOUNT = re.compile(
    rf"(?<![A-Za-z\d])(?:(?P<sign>{SIGN}) ?(?P<signed>{FIGURE})(?!\d|e\d|\.\d)(?:/-)?(?: ?(?P<also>{_SIGN_BEHIND})\b)?"
    rf"|(?<![\d.,/$x#-])(?P<followed>{FIGURE}) ?(?P<behind>{_SIGN_BEHIND})(?![A-Za-z])"
    r"|(?<![\d.])(?P<cents>\d{1,2}) ?(?:¢|cents?\b|c\.? ?(?=each\b|ea\b|apiece\b))"
    rf"|@ ?(?P<at>{FIGURE})(?![\d.]){NOT_MONEY}"
    rf"|(?<![\d.,/$x#-])(?P<bare>\d{{1,4}}\.\d{{2}}|(?<![\w)])\.\d{{2}})(?![\d.]|[-–/]\d){NOT_MONEY})",
    re.I,
)
# what an amount is for, if it is no price of plants: the words right before it, or right behind it
_CHARGE = (
    r"shipping|s ?[&/] ?h|handling|freight|postage|delivery|deposit|tax|surcharge|box(?:es)? (?:charge|fee)|fee|coupon|"
    r"gift card|subtotal|sub-total|grand total|order total|balance|discount|phyto-?\s?sanitary|phyto|inspection|certificates?|permits?"
)
_CHARGE_BEFORE = re.compile(
    rf"(?:\b(?:{_CHARGE}|add|budget|save|you save|orders? (?:of|over|under|above|below)|over|under|more than|less than|spend|"
    r"credit|pH|ships?|shipped)(?: (?:is|are|of|for|at|from|by|charge|cost|costs|starts? at))?(?: (?:just|only))?"
    r"|(?<!\d )\b(?:min(?:imum)?\.?) ?(?:order|purchase|charge|invoice|sale|spend)?(?: (?:is|of|amount|value|total|price))*)"
    r"\W{0,3}$",
    re.I,
)
A_NUMBER = r"(?: (?:order|purchase|qty|quantity|of|is))*\W{0,2}\d| (?:qty|quantity)"  # of plants: "minimum order 120"
_CHARGE_BEHIND = re.compile(
    rf"^\W{{0,2}}(?:(?:in |for |flat |flat-rate |per order )?(?:{_CHARGE})\b|off\b|orders?\b|min(?:imum)?\b(?!{A_NUMBER})|"
    r"or more\b.{0,20}\border)",
    re.I,
)
# the charge's own amount follows: "$3 (shipping $9.95)"; not so where that has a charge behind it, too
_CHARGE_OF_NEXT = re.compile(
    rf"^\W{{0,3}}(?:{_CHARGE})(?: (?:is|of|cost|fee))?\W{{0,3}}[$£€] ?(?:{FIGURE})(?![\d.]|\W{{0,2}}(?:{_CHARGE})\b)",
    re.I,
)
_MAY_CHARGE = any_of(
    "ship s&h s/h handl freight post deliver deposit tax charge fee coupon gift total balance discount save order over under "
    "than spend credit ph min off budget inspect certif permit add "
)
_LEADER = re.compile(r"\.\s?$")


@dataclass(frozen=True)
class Amount:
    value: float
    currency: str
    start: int
    end: int
    bare: bool


def number_of(text: str) -> float:
    if "," in text:
        text = text.replace(",", "." if re.fullmatch(r"\d+,\d{2}", text) else "")
    return float(text)


@cache
def currency_of(sign: str) -> str:
    return _SIGNS.get(sign.lower().replace(" ", "").rstrip("."), DOLLARS)


def amounts_on(text: str) -> list[Amount]:
    """The amounts of money on a line that are not said to be something else than a price of plants."""
    out: list[Amount] = []
    lowered = text.lower()
    charged = "&" in text or _MAY_CHARGE.search(lowered)
    for match in AMOUNT.finditer(text):
        found = match.lastgroup
        assert found is not None
        if match["cents"]:
            value, sign = int(match["cents"]) / 100.0, ""
        else:
            figure = match["signed"] or match["followed"] or match["at"] or match["bare"]
            value = number_of(figure)
            sign = match["also"] or match["behind"] or match["sign"] or ""
            if match["sign"] and currency_of(match["sign"]) != DOLLARS:
                sign = match["sign"]
        ahead, behind = text[max(0, match.start() - 40) : match.start()], text[match.end() : match.end() + 40]
        if match["bare"] and match["bare"].startswith(".") and _LEADER.search(ahead):
            continue  # "Spikerush . . .19": a page
        if match["bare"] and ahead.endswith(("% ", "%")):
            continue  # "3.54% 2.33 3.5 PLS oz.": a mixture's seeds in a square foot
        charge = charged and (
            _CHARGE_BEFORE.search(ahead)
            or _CHARGE_BEHIND.search(behind)
            and (out or not _CHARGE_OF_NEXT.search(behind))
        )
        if charge or value <= 0:
            continue
        bare = match["bare"] is not None
        before = ahead.rstrip()[-1:]
        if bare and before and not before.isascii() and category(before) == "Sc":
            sign = before  # money that we do not know is no dollar
        known = currency_of(sign) if sign else DOLLARS
        money = sign if sign and known == DOLLARS and sign == before and not sign.isascii() else known
        out.append(Amount(value, money, match.start(), match.end(), bare))
    return out
