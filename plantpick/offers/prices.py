"""What an offer's line costs: price breaks, per hundred, tray, bunch, dozen or pound, and what each plant
comes to."""

from __future__ import annotations

import re
from dataclasses import dataclass

_MONEY = r"(?:(?:US\s?)?[$£€]|USD)\s?(\d{1,3}(?:,\d{3})+(?:\.\d{1,2})?|\d+(?:\.\d{1,2})?|\.\d{2})"
_DOLLARS = re.compile(_MONEY)
_BARE = re.compile(
    r"(?<![\d.$#x/-])(\d{1,4}\.\d{2})(?![\d.])(?!\s?(?:in\b|inch|ft|feet|gal|qt|cu|cm|mm|oz|lb|\"|'|%|x\b))"
)
_CENTS = re.compile(r"(?<![\d.])(\d{1,2})\s?(?:¢|cents?\b)")
_AMOUNT = r"(?:(?:US\s?)?[$£€]|USD)?\s?(\d{1,4}(?:,\d{3})*\.\d{1,2}|\d+(?:\.\d{1,2})?|\.\d{2})"
_SIGNED = r"(?:(?:US\s?)?[$£€]|USD)\s?(\d{1,4}(?:,\d{3})*(?:\.\d{1,2})?|\.\d{2})"
_BREAK = re.compile(
    r"(?<![\d.$])(\d{1,5})\s?(?:(?:-|–|to)\s?\d{1,6}|\+|\s?(?:or|and) (?:more|up|over))\s?"
    r"(?:ea(?:ch)?\.?|plants?|plugs?|pcs?|units?)?\s?"
    r"[:=@]?\s?(?:at |for )?(?:" + _SIGNED + r"|(\d{1,4}\.\d{2}))",
    re.I,
)
_BREAK_AFTER = re.compile(
    _SIGNED + r"\s?(?:ea(?:ch)?\.?\s?)?(?:\(|for |@ ?)(\d{1,5})\s?(?:(?:-|–|to)\s?\d{1,6}|\+|\s?or more)\)?",
    re.I,
)
_MANY_HINT = re.compile(r"\d\s?(?:[-+]|to\b|or\b|and\b|–)", re.I)
_FOR = re.compile(r"(?<![\d.$])(\d{1,5})\s?(?:for|/)\s?" + _SIGNED, re.I)
_PACK = re.compile(
    r"(?:pack|pkg?|packs|bundle|bunch|tray|flat|bag|box|case|set|lot)s?\s+of\s+(\d{1,4})", re.I
)
_COUNT = re.compile(
    r"(\d{1,4})[\s-]?(?:per|/|to (?:a|the)|-?\s?cells?|-?\s?count|-?\s?ct\b|"
    r"plants? (?:per|to)|plugs? (?:per|to|/)|cell)\s?(?:a\s)?-?\s?"
    r"(tray|flat|bunch|pack|pkg|bag|box|case)?",
    re.I,
)
_IN_BRACKETS = re.compile(
    r"(?:tray|flat|bunch|pack|bag|box)\s?\(\s?(\d{1,4})\s?(?:plugs?|plants?|cells?|ct|count)?\s?\)|(?:tray|flat)\s?-?\s?(\d{2,3})\b",
    re.I,
)
_PER = re.compile(
    r"^[\s.]*(?:/|per|a|an|by the|the)?\s*(100\b|1,?000\b|hundred|thousand|[CM]\b|tray|flat|bunch|bundle|"
    r"lb\b|lbs\b|pound|oz\b|ounce|"
    r"pls\b|kg\b|dozen|doz\b|dz\b|pack|packet|pkg|pkt|bag|box|case|each|ea\b|plant|plug|pot|piece|pc\b|stem|division)",
    re.I,
)
_SOLD_OUT = re.compile(
    r"sold[\s-]?out|out[\s-]?of[\s-]?stock|un-?available|not available|crop failure|no stock|"
    r"discontinued|\bOOS\b|back[\s-]?order",
    re.I,
)
_SOLD_WORDS = ("out", "avail", "fail", "stock", "discont", "oos", "order")
_WEIGHT = ("lb", "lbs", "pound", "oz", "ounce", "pls", "kg")
_MANY = {
    "100": 100,
    "hundred": 100,
    "c": 100,
    "1000": 1000,
    "1,000": 1000,
    "thousand": 1000,
    "m": 1000,
    "dozen": 12,
    "doz": 12,
    "dz": 12,
}
_LOTS = ("tray", "flat", "bunch", "bundle", "pack", "packet", "pkg", "pkt", "bag", "box", "case")


@dataclass(frozen=True)
class Price:
    """What a line asks for its plants.

    `breaks` are (from so many, amount); `per` is the number of plants that the amount buys, None where it is
    not said; `unit` is each, hundred, thousand, dozen, tray, bunch, pack ... or pound. Amounts as written, no
    currency.
    """

    breaks: tuple[tuple[int, float], ...]
    per: int | None = 1
    unit: str = "each"

    def each(self, need: int) -> float | None:
        """The price of one plant when `need` are bought; None for seed by weight or a tray of unknown
        size."""
        if self.per is None:
            return None
        lots = max(1, -(-need // self.per)) if self.per > 1 and self.unit in _LOTS else need
        fitting = [amount for least, amount in self.breaks if least <= max(lots, 1)]
        amount = fitting[-1] if fitting else self.breaks[0][1]
        return round(amount / self.per, 4)

    def cost(self, need: int) -> float | None:
        """What `need` plants cost: whole trays, packs and bunches, and no fewer than are sold; None where not
        known."""
        each = self.each(need)
        if each is None or self.per is None:
            return None
        if self.unit in _LOTS and self.per > 1:
            return round(-(-need // self.per) * self.per * each, 2)
        return round(max(need, self.least()) * each, 2)

    def least(self) -> int:
        """The smallest number that the breaks name."""
        return self.breaks[0][0]


def sold_out(text: str) -> bool:
    """Whether the line says that there are none."""
    lowered = text.lower()
    return any(w in lowered for w in _SOLD_WORDS) and bool(_SOLD_OUT.search(text))


def tray_count(text: str) -> int | None:
    """How many plants a tray, flat, bunch or pack holds, if the text says so."""
    text = _DOLLARS.sub(" ", _BARE.sub(" ", text))
    for pattern in (_PACK, _IN_BRACKETS, _COUNT):
        match = pattern.search(text)
        if match:
            number = int(next(g for g in match.groups() if g and g.isdigit()))
            if 2 <= number <= 2000:
                return number
    return None


# "12 plugs $48": the number of plants stands right before the amount, and nothing says "each"
_LOT = re.compile(
    r"(?<![\d.$/x-])([2-9]|[1-9]\d{1,2})\s+(?:bare[- ]?root\s+)?(?:plugs?|plants?|pots?|liners?|pieces|stems|roots|tubers|"
    r"divisions)\s*(?:[:,=-]\s*)?(?:(?:US\s?)?\$\s?\d|\d+\.\d\d)(?!\S*\s*(?:ea|each|per|apiece|/))",
    re.I,
)


def lot_of(text: str) -> int | None:
    """How many plants a lone amount may be for, where the line does not say whether it buys one of them or all."""
    if re.search(r"\b(?:each|ea|apiece|per)\b|@|/", text, re.I):
        return None
    match = _LOT.search(text)
    return int(match.group(1)) if match else None


def _number(text: str) -> float:
    return float(text.replace(",", ""))


def read_price(text: str, tray: int | None = None) -> Price | None:
    """The price on a line, or None. `tray` is what a tray holds, when the list said so elsewhere."""
    spans = _BREAK.search(text) or _BREAK_AFTER.search(text) if _MANY_HINT.search(text) else None
    breaks = (
        []
        if spans is None
        else sorted(
            {(int(m.group(1)), _number(m.group(2) or m.group(3))) for m in _BREAK.finditer(text)}
            | {(int(m.group(2)), _number(m.group(1))) for m in _BREAK_AFTER.finditer(text)}
        )
    )
    if breaks:
        last = max((m.end() for p in (_BREAK, _BREAK_AFTER) for m in p.finditer(text)), default=0)
        per, unit = _unit(text, last, tray)
        return Price(tuple(breaks), per, unit)
    match = _FOR.search(text)
    if match and int(match.group(1)) > 1:
        return Price(((1, _number(match.group(2))),), int(match.group(1)), "pack")
    match = _DOLLARS.search(text) or _BARE.search(text)
    if match:
        per, unit = _unit(text, match.end(), tray)
        return Price(((1, _number(match.group(1))),), per, unit)
    match = _CENTS.search(text)
    if match:
        per, unit = _unit(text, match.end(), tray)
        return Price(((1, int(match.group(1)) / 100.0),), per, unit)
    return None


def _unit(text: str, after: int, tray: int | None) -> tuple[int | None, str]:
    """How many plants the amount buys, and the unit, from the words behind the amount or else anywhere."""
    match = _PER.match(text[after:])
    word = match.group(1).lower() if match else ""
    if not word:
        loose = re.search(
            r"(?:/|\bper|\ba|\bby the|price)\s?(100\b|1,?000\b|hundred|thousand|tray|flat|bunch|"
            r"lb\b|pound|oz\b|ounce|dozen)\b",
            text,
            re.I,
        )
        word = loose.group(1).lower() if loose and not re.search(r"\d\s*$", text[: loose.start()]) else ""
    if not word and not re.search(r"\b(?:each|ea|per (?:plant|plug|pot))\b", text, re.I):
        before = _PACK.search(text) or re.search(r"\b(?:dozen|doz)\b", text[:after], re.I)
        lot = re.match(r"[a-z]+?(?=s?\b)", before.group().lower()) if before else None
        word = lot.group() if lot else ""
    if word in _WEIGHT:
        return None, "pound" if word in ("lb", "lbs", "pound", "pls") else word
    if word in _MANY:
        number = _MANY[word]
        return number, {100: "hundred", 1000: "thousand", 12: "dozen"}[number]
    if word in _LOTS:
        unit = {"bundle": "bunch", "packet": "pack", "pkg": "pack", "pkt": "pack"}.get(word, word)
        count = tray_count(text) or (tray if unit in ("tray", "flat") else None)
        return (count or (1 if unit == "bunch" else None)), unit
    return 1, "each"
