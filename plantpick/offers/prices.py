"""What an offer's line costs: single prices, price breaks, lots, and what an amount buys.

An amount counts as a price only where its unit is understood. Any other amount is handed on as it stands on the line.
"""

from __future__ import annotations

import re
from dataclasses import replace

from plantpick.offers.amounts import (
    AMOUNT,
    FIGURE,
    NOT_MONEY,
    Amount,
    amounts_on,
    any_of,
    currency_of,
    number_of,
)
from plantpick.offers.order_terms import IN_TRAYS_OF, least_order
from plantpick.offers.purchase import DOLLARS, HOLDERS, Price, Unclear, Unit

_WAS = re.compile(
    r"\b(?:was|were|reg(?:ular)?(?:ly)?|msrp|rrp|retail|list|compare(?:d)? at|originally|normally)(?: price)?\W{0,3}$",
    re.I,
)
_FORMER_LINE = re.compile(
    r"\W*(?:was|were|reg(?:ular)?(?:ly)?|msrp|rrp|retail|originally|normally|compare(?:d)? at)\b", re.I
)
_SALE_LINE = re.compile(
    r"^\W*(?:now|sale|special|clearance|on sale)\b|\b(?:sale|on sale|special|clearance)\W*$", re.I
)
_TRADE_LINE = re.compile(r"^\W*(?:wholesale|members?|trade|contractors?|landscapers?|dealers?)\b", re.I)
_CENTS_LINE = re.compile(r"\s*\.\d\d\s*")
_NOW = re.compile(r"\b(?:now|sale|special|clearance|your|our)(?: price)?\W{0,3}$", re.I)
_NOT_YOURS = re.compile(
    r"(?<!non-)(?<!non )\b(?:wholesale|members?(?:hip)?|trade|contractors?|landscapers?|dealers?)(?: (?:price|cost|rate)s?)?[^\w)]{0,3}$",
    re.I,
)
_NOT_YOURS_BEHIND = re.compile(r" ?\((?:wholesale|members?|trade|contractors?|landscapers?|dealers?)\b", re.I)
_FROM_BEFORE = re.compile(
    r"\b(?:from|starting (?:at|from)|starts? at|as low as|prices? from|up to)\W{0,2}$", re.I
)
_AND_UP = re.compile(
    r"^ ?(?:\+(?! ?(?:[$£€\d]|tax|shipping|s&h|freight|postage|delivery))|(?:and|&|or) ?(?:up|higher)\b)",
    re.I,
)
_TO = re.compile(r"^ ?(?:-|–|—|to) ?$")

# an amount that goes on where no amount does: a letter, a gap, a second point ("$1O.00", "$ 8 . 95", "$8 95", "$1..20"),
# further amounts behind a slash ("$4.00/3.50"), or a lone "C" before it, which may be a hundred
_BROKEN = re.compile(
    r"(?:\$|£|€) ?(?:\d+(?:\.\d*)?[OolI][\d.]\S*|\d*[OolI]\d*\.\d+|\d+\.\d?[OolI]\d?\b|\d+ ?\. \d{2}\b|\d+ \. ?\d{2}\b|\d+\.\.\d+|"
    r"\d+ \d{2}\s*$|\d+\.\d{2} ?/ ?\d+\.\d{2}\b(?! ?(?:in\b|ft\b|\")).*|[lIB]\d*\.\d{2})"
    r"|(?<![A-Za-z])[CM] (?:\$|£|€) ?\d+(?:\.\d{2})?"
    r"|(?:\$|£|€) ?\d+(?:\.\d{1,2})?(?: ?[½¼¾⅓⅔⅛]|[·•'_:․٫]\d|¢|[$£€]\d|ish\b)|(?:\$|£|€)\d+ 0\.\d\d"
)
_LEADERS = re.compile(r"\.{4,}")  # a printed list's dots between name and price
_NUMBER_WORDS = {
    word: str(number)
    for number, word in enumerate("two three four five six seven eight nine ten eleven twelve".split(), 2)
} | {"fifteen": "15", "twenty": "20", "fifty": "50"}
_NUMBER_WORD = re.compile(
    rf"\b(?:(?<=of )({'|'.join(_NUMBER_WORDS)})\b|({'|'.join(_NUMBER_WORDS)})\b(?= (?:for|dozen|plants?|plugs?|pots?|stems?|bunches|bulbs?|tubers?|roots?|trees?|shrubs?)\b))",
    re.I,
)
_MISREAD_SIGN = re.compile(r"(?<![\w$])S(?=\d{1,3}\.\d{2}(?!\d))")  # text recognition's "S2.00"
_LOWERED = str.maketrans("⁰¹²³⁴⁵⁶⁷⁸⁹", "0123456789")
_RAISED = re.compile(r"(?<=\d) ?([⁰¹²³⁴⁵⁶⁷⁸⁹]{2})(?![⁰¹²³⁴⁵⁶⁷⁸⁹])")  # a copied page's cents
_FOUR_PLACES = re.compile(r"(\d\.\d\d)00(?!\d)")  # an invoice's "3.0000"
_DIGIT = re.compile(r"\d")
_MANY = {
    "hundred": 100,
    "c": 100,
    "thousand": 1000,
    "m": 1000,
    "dozen": 12,
    "doz": 12,
    "dz": 12,
    "pair": 2,
}
_LOTS: dict[str, Unit] = {unit.value: unit for unit in Unit if unit in HOLDERS} | {"bundle": Unit.BUNCH}
_LOT_NAMES = {
    "packet": "pack",
    "packets": "pack",
    "pkg": "pack",
    "pkgs": "pack",
    "pkt": "pack",
    "pkts": "pack",
    "pk": "pack",
    "pks": "pack",
    "package": "pack",
    "packages": "pack",
    "bdl": "bundle",
    "carton": "case",
    "crate": "case",
    "cs": "case",
}
_WEIGHTS = {
    "lb": Unit.POUND,
    "lbs": Unit.POUND,
    "pound": Unit.POUND,
    "pounds": Unit.POUND,
    "pls": Unit.POUND,
    "oz": Unit.OUNCE,
    "ounce": Unit.OUNCE,
    "ounces": Unit.OUNCE,
    "kg": Unit.KILOGRAM,
    "g": Unit.GRAM,
    "gm": Unit.GRAM,
    "gram": Unit.GRAM,
    "grams": Unit.GRAM,
}
_AREAS = {
    "acre": Unit.ACRE,
    "acres": Unit.ACRE,
    "ac": Unit.ACRE,
    "sq": Unit.SQUARE_FOOT,
    "square": Unit.SQUARE_FOOT,
    "sf": Unit.SQUARE_FOOT,
    "lf": Unit.RUNNING_FOOT,
    "linear": Unit.RUNNING_FOOT,
    "yd": Unit.YARD,
    "yard": Unit.YARD,
    "roll": Unit.ROLL,
    "mat": Unit.MAT,
    "log": Unit.LOG,
    "cu": Unit.CUBIC_YARD,
    "load": Unit.LOAD,
    "truckload": Unit.LOAD,
}
_TRAYS = (Unit.TRAY, Unit.FLAT)
_BY_MANY = {100: Unit.HUNDRED, 1000: Unit.THOUSAND, 12: Unit.DOZEN, 2: Unit.PACK}
_EACH = frozenset(
    "each ea apiece plant plants plug plugs pot pots piece pieces pc pcs stem stems division divisions tuber tubers bulb "
    "bulbs rhizome rhizomes root roots bareroot corm corms crown crowns clump clumps start starts liner liners cell "
    "seedling seedlings tree trees shrub shrubs cutting cuttings stake stakes whip whips sprig sprigs sprout gal "
    "gallon gallons qt quart quarts pint container containers unit units item one sapling transplant specimen "
    "rosette culm fan turion vine".split()
)
_SAID_EACH = frozenset("each ea apiece".split())
_PER = re.compile(
    r"^[\s.,*]*(?P<per>/|\(|per\b|for\b|@|a\b|an\b|by the\b|the\b|[-–—])?\W{0,2}"
    r"(?:(?P<count>\d{1,2},\d{3}|\d{1,4})(?![\d/–-]|[.,]\d|\s?(?:\"|'|in\b|inch|gal|qt|quart|cm\b|x\b|cu\b|ft\b|mm\b|l\b|lit|oz\b|lbs?\b))[\s-]*)?"
    r"(?P<word>[A-Za-z]+)?",
    re.I,
)
_NUMBER_BEFORE = re.compile(
    r"(?<![\d.$£€/#x-])(?P<count>\d{1,4})[\s-]*"
    r"(?P<thing>packs?|pk|pkt|pkg|pcs?|pieces?|count|ct|stakes?|whips?|cuttings?|seedlings?|sprigs?|plants?|plugs?|pots?|liners?|"
    r"stems?|roots?|tubers?|divisions?|bulbs?|rhizomes?|bare[- ]?roots?|br|bunch(?:es)?|bundles?)(?: ?(?:packs?|pk|bundles?|lots?|bunch))?\W{0,4}$",
    re.I,
)
_SEED_WEIGHT = re.compile(
    r"(?<![\w.])(?:\d+ ?/ ?\d+|[½¼⅛]|\d*\.?\d+)\s?(lbs?|pounds?|oz|ounces?|gm|grams?|kg)\b\.?(?: (?:bag|packet|pkt|box|sack))?\W{0,3}$",
    re.I,
)
# a seedling's height, and how many there are in a bundle, perhaps, before the price: "12-18 in 10 $25.00" (common practice,
# no source)
_BUNDLE = re.compile(
    r"\d ?[\"”″’']? ?(?:-|–|to) ?\d{1,3} ?(?:[\"”″’']|''|in\b\.?|inch(?:es)?|ft\b\.?) +(5|10|20|25|50|100) +$",
    re.I,
)
# a number of things in a row of a quote, and the word behind it: "90.00 pcs", "1,200", "12 trays"; no size
_QUANTITY = re.compile(
    r"(?<![\d.,$£€#/-])(?P<n>\d{1,3}(?:,\d{3})+|\d{1,5})(?:\.0{1,4})?(?![\d]|[.,/-]\d|\s?(?:[\"'”″]|in\b|inch|ft\b|feet|gal|qt|quart|pt\b|"
    r"pint|cm\b|mm\b))(?:\s*(?P<thing>[A-Za-z]+))?"
)
_TIMES = re.compile(r"(?<![\w.])(?:x ?(\d{1,3})|(\d{1,3}) ?x) +$", re.I)  # "x5 $12", "5x $12"
_ONE_PIECE = re.compile(
    r"\b(?:sod|coir|fib(?:er|re)|vegetated|coconut|wetland|pre-?(?:vegetated|planted)) (mats?|logs?|rolls?)\b",
    re.I,
)
_PORTION = re.compile(r"\b(?:cups?|handfuls?|scoops?|portions?|jars?)\b\W{0,4}$", re.I)
_FOR = re.compile(
    r"(?<![\d.$-])(\d{1,9}) ?(?:(?:plants?|plugs?|pots?|trees?|shrubs?|bulbs?|stems?|bunches|seedlings?|whips?|stakes?|cuttings?|tubers?|roots?|bare[- ]?roots?|liners?) )?(?:for|/|plants? ?[:=-]|plugs? ?[:=-]) ?$",
    re.I,
)
_LISTED = re.compile(  # "25 - $30, 50 - $50, 100 - $85", "per 25 $30 per 100 $95"
    r"(?:(?<![\d.$#-])|\bper )(?P<count>(?<=per )\d{1,4}(?= ?$)|\d{1,4}(?= ?[-–=:] ?$)) ?[-–=:]? ?$", re.I
)
_BREAK_BEFORE = re.compile(
    r"(?<![\d.$#-])(?P<low>\d{1,5})\s?(?:(?:-|–|to)\s?(?P<high>\d{1,6})|(?P<up>\+|\s?(?:or|and|&) (?:more|up|over)))\s?"
    r"(?P<things>ea(?:ch)?\.?|plants?|plugs?|pcs?|units?|pots?|flats?|trays?)?\s?[:=@-]?\s?(?:at |for |only )?$",
    re.I,
)
_BREAK_BEHIND = re.compile(
    r"^\s?(?:/ ?)?(?:ea(?:ch)?\.?)?\s?(?:(?:\(|for |@ ?)(?P<low>\d{1,5})\s?(?:(?:-|–|to)\s?(?P<high>\d{1,6})|"
    r"(?P<up>\+|\s?or more))|(?P<lone>\d{1,5})\+)",
    re.I,
)
_RANGE_BEHIND = re.compile(
    r"^ ?(?P<low>\d{1,5})\s?(?:(?:-|–|to)\s?(?P<high>\d{1,6})|(?P<up>\+|\s?(?:or|and|&) (?:more|up|over)))\s*(?:$|[,;|])",
    re.I,
)
_NO_NUMBERS = re.compile(r"(?:zones?|z|usda|height|ht|spread|depth|bloom\w*|size|tall)\W{0,3}$", re.I)

_PACK_OF = re.compile(
    r"\b(pack(?:age|et)?|pkgs?|pkts?|bundle|bunch|tray|flat|bag|box|case|carton|crate|set|lot)e?s?\s+of\s+(\d{1,4})",
    re.I,
)
_LOT_BEFORE = re.compile(
    _PACK_OF.pattern + r"(?: (?:stems?|plants?|plugs?|roots?|bulbs?|seedlings?))?\W{0,4}$", re.I
)
_LOT_RIGHT_BEFORE = re.compile(
    r"\b(tray|flat|pack|box|case|bundle|bunch)s? ?(?:of |\(|/) ?(\d{1,4})(?: (?:stems?|plants?|plugs?|roots?|bulbs?))?\)?\W{0,3}$",
    re.I,
)
_NUMBER_IN_BRACKETS = re.compile(
    r"(?:[(\[{] ?x? ?(\d{1,3}) ?[)\]}](?: (?:plugs|plants|pots|roots|bulbs|stems))?\W{0,4}|(?<![\d.,/#$-])(\d{1,3}) ?[=:] ?)$",
    re.I,
)
_COUNT = re.compile(
    r"(?<![\d.$£€#])(\d{1,4})[\s-]?(?:(?:plants?|plugs?|pcs|cells?)? ?(?:per|/|to (?:a|the)) ?(?:a )?"
    r"(tray|flat|bunch|bundle|bdl|pack|pkg|pk|bag|box|case)\b|-?\s?cells?\b|-?\s?count\b|-?\s?ct\b|-?\s?packs?\b|-?\s?pk\b)"
    r"[\s-]*(tray|flat|bunch|bundle|bdl|pack|pkg|bag|box|case)?",
    re.I,
)
_LOT_WORDS = r"tray|flat|bunch|bundle|bdl|pack|pkg|bag|box|case"
_HOLDS = re.compile(  # "a flat = 38 plants", "each pack has 10 plants", "32-plug tray", "32 in a tray"
    rf"\b({_LOT_WORDS})(?:e?s)? ?(?:=|w/|with|has|have|holds?|contains?) ?(\d{{1,4}})\b(?!\.\d| ?(?:[\"'”″]|in\b|inch|ft\b|gal|qt|cm\b|oz\b|lbs?\b))"
    rf"|(?<![\d.$£€#/-])(\d{{2,3}})[ -](?:plugs?|plants?|pots?|cells?|seedlings?|liners?)[ -]({_LOT_WORDS})(?:e?s)?\b"
    rf"|(?<![\d.$£€#/-])(\d{{1,4}}) (?:plants? |plugs? |pcs )?in (?:a|an|each|every) (?:plug )?({_LOT_WORDS})\b",
    re.I,
)
_IN_BRACKETS = re.compile(
    r"\b(tray|flat|bunch|pack|bag|box|case|cs)\s?\(\s?(\d{1,4})\s?(?:plugs?|plants?|cells?|ct|count)?\s?\)|"
    r"\b(tray|flat)\s?[-/]?\s?(\d{2,3})\b(?!\.)|\b(pack|pk|pkg|box|bag|bunch|bundle|case)\s?/\s?(\d{1,4})\b|\b(bundle|bunch|pkg|case) (\d{2,3})\b(?! ?(?:in\b|inch|ft\b|gal|qt|cm\b|oz|lb|[\"'.+–-]))|\b(LP) ?-?(\d{2,3})\b|(?<=\w )([LT])(\d{2,3})\b|\b(plug)s?/(\d{2,3})\b|(?<=\w )(\d{2,3})s\b|\b(bundle) ?\((\d{1,3})\)",
    re.I,
)
_SAYS_EACH = re.compile(r"\b(?:each|ea|apiece|per (?:plant|plug|pot))\b", re.I)
_DOZENS_BEFORE = re.compile(
    r"(?:(?<![\d./$£€#])(?P<count>\d{1,2}|half|1/2|½)(?: an?)?[ -]?)?\b(?:dozen|doz|dz)\b\W{0,3}$", re.I
)
_SO_MANY_A_LOT = re.compile(
    r",? \d{1,4} (?:roots|plants|plugs|bulbs|tubers|stems|seedlings|trees) (?:per|to a|in a) (tray|flat|bunch|bundle|pack|pkg|bag|box|case)\b",
    re.I,
)
_SO_MANY = re.compile(
    r",? \d{1,4} (?:roots|plants|plugs|bulbs|tubers|stems|seedlings|trees)\b(?! ?(?:avail|left|in stock|min|per\b|/))",
    re.I,
)
_PAIR_BEFORE = re.compile(r"\b(?:pair|pr)\W{0,3}$", re.I)
_CASE_BEHIND = re.compile(r"^ ?\((?:cs|cse|case)s? ?/ ?(\d{1,3})\)", re.I)
_HALF_DOZEN = re.compile(
    r"^[\s(]*(?:/|per\b|for\b|a\b)? ?(?:an? )?(?:half|1/2|½)[ -](?:an? )?(?:dozen|doz|dz)\b", re.I
)
_LOOSE_UNIT = re.compile(
    r"(?:/|\bper|\bby the|\bprice/?)\s?(100\b|1,?000\b|hundred|thousand|tray|flat|bunch|lb\b|pound|oz\b|ounce|dozen|"
    r"acre|sq)\b",
    re.I,
)
_SIZE_BEFORE = re.compile(
    r"(?:\b(?:plugs?|pots?|gal(?:lon)?s?|\d{1,2} ?g|quarts?|qt|pints?|liners?|bare ?roots?|br|seedlings?|containers?|flats?|trays?)|\"|#\d|"
    r"\bin|\binch|\b\d{1,2} ?-\s?\d{1,2} ?(?:ft|'|\")?)\W{0,4}$",
    re.I,
)

_SIZE_BEHIND = re.compile(
    r" ?(?:/|for )? ?(?:a )?(?:\d{1,2} ?(?:in\b|inch|\")|#\d|(?:qts?|quarts?|gal(?:lon)?s?|pints?)\b)", re.I
)
_STOCK = re.compile(  # behind a semicolon, comma or slash: what the next amount buys
    r"[;,/|]\s*(?:[^;,/|$]* )?(?:seedlings?|transplants?|bare ?-?roots?|b\.?r\.?|b ?& ?b|plugs?|liners?|pots?|potted|whips?|stakes?|"
    r"cuttings?|tubers?|rhizomes?|bulbs?|seeds?|#\d+|(?:gal(?:lon)?|qt|quart|pint)s?)\b[^;,|$]*$",
    re.I,
)

# Judgement, from the trade's usual prices: less than this buys no plant, more than that no single plug or cutting.
CHEAPEST_PLANT, DEAREST_PLUG = 0.20, 12.0
CHEAPEST_IN_LOT = 0.06  # a plant in a box, tray or pack sold whole (judgement)
# plants in the trays and flats of the trade (common practice, no source)
USUAL_TRAYS = frozenset(
    (
        6,
        8,
        10,
        12,
        15,
        18,
        20,
        21,
        24,
        25,
        28,
        30,
        32,
        36,
        38,
        40,
        48,
        50,
        55,
        60,
        64,
        72,
        78,
        84,
        98,
        100,
        105,
        128,
        144,
        162,
        200,
        288,
    )
)
MOST_IN_A_LOT = 10_000  # plants; a larger number before a price is no lot (judgement)


# "$1.10 in lots of 50": the price may be of one plant or of the lot, and no fewer are sold
_IN_LOTS_OF = re.compile(
    r"\b(?:lots|groups|bundles|bunches|packs|packets|packages|boxes|bags|sets) of (?P<count>\d{1,4})\b", re.I
)
_BY_FLAT = re.compile(
    r"(?<![\d.$])(?P<before>\d{2,3}) ?(?:plants?|plugs?)? ?(?:/|per|to (?:a|the)) ?(?:trays?|flats?)\b|"
    r"\b(?:trays?|flats?) ?(?:/|of) ?(?P<behind>\d{2,3})\b(?!\.)",
    re.I,
)
_STEPS = re.compile(
    r"\b(?:(?:multiples|increments) of|sold (?:only )?(?:in|by)) (?P<count>\d{1,4})(?:'?s)?\b", re.I
)
_SPAN = re.compile(  # "$4-6 each": no size, which has its unit behind it
    rf"^ ?(?:-|–|—|to) ?(?P<high>{FIGURE})(?! ?[+\"'”″]|\d|[.,]\d)" + NOT_MONEY
)
_HELD_IN = re.compile(
    r"\b(trays?|flats?|bundles?|bunch(?:es)?|packs?|pk|pkg|packages?|packets?|bags?|box(?:es)?|cases?|sets?|lots?)[ .:=@-]*$",
    re.I,
)
_TRAY_SAID = re.compile(r"\b(?:trays?|flats)\b|\bflat\b(?=\s*[,;(])", re.I)
_PER_SPAN = re.compile(
    r"^\s?(?:/|per\b)\s?\d+ ?(?:-|–|to) ?\d+(?! ?(?:[\"'”″]|in\b|inch|ft\b|gal|cm\b))", re.I
)
_LEAST_LOTS = re.compile(
    r"\bmin(?:imum|\.)?(?: (?:order|purchase|qty\.?|quantity|number|of|is))*\W{0,3}\d{1,5} (?:full |whole )?(?:trays?|flats?|bundles?|"
    r"bunch(?:es)?|packs?|bags?|box(?:es)?|cases?|lots?|dozens?)\b|\b\d{1,5}[- ](?:trays?|flats?|bundles?|bunch(?:es)?|packs?|bags?|box(?:es)?|"
    r"cases?|dozen) min(?:imum)?\b",
    re.I,
)
_LIST_UNIT = re.compile(
    r"\bprices?\b[^.$\d]{0,30}?\b(?:per|for|by the|in)\s+(?:a |an |the )?(?P<what>(?:flats?|trays?|bundles?|packs?|box|bunch(?:es)?) of \d{1,4}|"
    r"\d{2,4}\b(?! ?(?:in\b|inch|gal|qt|cm\b|\"|%))|hundred|thousand|dozen|pound|lb|linear|acre|bundle|tray|flat|pack)",
    re.I,
)
_LIST_MONEY = re.compile(
    r"\bprices?\b[^.$]{0,30}?\b(canadian|cad|cdn|australian|aud|sterling|gbp|euros?|eur)\b", re.I
)
_MONEY_WORDS = {"canadian": "cad", "australian": "aud", "sterling": "gbp"}


def with_more(price: Price, more: Price) -> Price | None:
    """A price with the breaks of the next line, or None where that is no further break of it."""
    alike = (price.per, price.unit, price.currency) == (more.per, more.unit, more.currency)
    if not alike or price.open or more.open or price.packs or more.packs:
        return None
    steps = (*price.breaks, *more.breaks)
    rising = all(a[0] < b[0] and a[1] >= b[1] for a, b in zip(steps, steps[1:]))
    return replace(price, breaks=steps, read=f"{price.read}, {more.read}") if rising else None


def is_former(text: str) -> bool:
    """Whether a line gives the price before a sale: "Was $10.00"."""
    return bool(_FORMER_LINE.match(text))


def is_todays(text: str) -> bool:
    """Whether a line gives the price of a sale: "Now $7.50", "$15.00 sale"."""
    return bool(_SALE_LINE.search(text))


def is_for_trade(text: str) -> bool:
    """Whether a line gives a price that an owner does not pay: "Wholesale: $4.10"."""
    return bool(_TRADE_LINE.match(text))


def with_cents(price: Price, text: str) -> Price | None:
    """A price in whole dollars with the cents that a page raises, on a line of their own: "$6" over ".99". None for any
    other line."""
    amount = price.breaks[0][1]
    if (
        len(price.breaks) > 1
        or price.packs
        or price.open
        or amount != int(amount)
        or not _CENTS_LINE.fullmatch(text)
    ):
        return None
    whole = amount + float(text)
    return replace(price, breaks=((1, whole),), read=f"{price.read}{text.strip()}")


def says_each(text: str) -> bool:
    """Whether the line says that its price is for each plant."""
    return bool(_SAYS_EACH.search(text))


def tray_count(text: str) -> int | None:
    """How many plants a tray, flat, bunch or pack holds, if the text says so."""
    return _counted(AMOUNT.sub(lambda m: " " * len(m.group()), text))[0]


_MAY_COUNT = re.compile(
    r"[lt]\d\d|\d\ds\b|plugs?/|\bcs\b|"
    + any_of("bdl carton crate tray flat bunch pack pk bag box case bundle set lot cell count ct lp").pattern
)


def _counted(text: str) -> tuple[int | None, str]:
    """How many plants a lot holds, and the word for the lot ("" where it is a cell tray or a plain count)."""
    if not _MAY_COUNT.search(text.lower()):
        return None, ""
    for pattern in (_PACK_OF, _HOLDS, _IN_BRACKETS, _COUNT):
        for match in pattern.finditer(text):
            groups = [g for g in match.groups() if g]
            number = int(next(g for g in groups if g.isdigit()))
            if 2 <= number <= 2000:
                word = next((g.lower() for g in groups if not g.isdigit()), "")
                if not word and re.search(r"pa?c?k", match.group(), re.I):
                    word = "pack"
                return number, "tray" if word in ("lp", "l", "t", "plug") else _LOT_NAMES.get(word, word)
    return None, ""


def lot_of(text: str) -> int | None:
    """How many plants a lone amount may be for, where the line does not say whether it buys one of them or all."""
    price = read_price(text)
    return price.lot if price else None


def list_unit(text: str) -> Price | None:
    """What every price of a list buys, if the text says so: "Prices are per 100", as the price of one unit of it."""
    match = _LIST_UNIT.search(text)
    return read_price(f"$100.00 per {match['what']}") if match else None


def list_currency(text: str) -> str:
    """The money of every price of a list, if the text names one that is not the dollar: "All prices in CAD"."""
    match = _LIST_MONEY.search(text)
    return currency_of(_MONEY_WORDS.get(match[1].lower(), match[1])) if match else ""


def of_the_list(price: Price, unit: Price | None, currency: str) -> Price:
    """A price under what the list says of all its prices; one that says itself what it buys keeps that."""
    if currency and price.currency == DOLLARS:
        price = replace(price, currency=currency)
    plain = price.unit is Unit.EACH and price.per == 1 and not price.open and not price.packs
    return replace(price, unit=unit.unit, per=unit.per) if unit and plain else price


def read_price(text: str, tray: int | None = None, alone: bool = False) -> Price | None:
    """The price on a line, or None. `tray` is what a tray holds, when the list said so elsewhere; `alone` that the line
    says nothing but prices, so that "10-49 $2.10" is a price break and no height."""
    if not _DIGIT.search(text):
        return None
    if not text.isascii():
        text = (
            text.replace("\u00a0", " ").replace("\u2009", " ").replace("\uff04", "$").replace("\ufe69", "$")
        )
        text = _RAISED.sub(lambda m: "." + m.group(1).translate(_LOWERED), text)
    if "S" in text:
        text = _MISREAD_SIGN.sub("$", text)
    if "...." in text:
        text = _LEADERS.sub(lambda m: " " * len(m.group()), text)
    if " for" in text or " p" in text or " of " in text:
        text = _NUMBER_WORD.sub(lambda m: _NUMBER_WORDS[m.group().lower()], text)
    if "000" in text:
        text = _FOUR_PLACES.sub(r"\1  ", text)
    found = amounts_on(text)
    broken = _BROKEN.search(text)
    if broken:
        value = found[0].value if found else 0.0
        read = " ".join(broken.group().split())
        return Price(((1, value),), None, Unit.NOT_UNDERSTOOD, DOLLARS, read, open=Unclear.SEVERAL)
    if any(not a.bare for a in found):  # beside signed amounts a bare figure is a size, a total, a code
        signed = [a for a in found if not a.bare]
        found = signed if len(signed) > 1 or not _tiers(text, found) else found
    if not found:
        return None
    lots = _IN_LOTS_OF.search(text) or IN_TRAYS_OF.search(text)
    plain = _IN_LOTS_OF.sub(
        lambda m: " " * len(m.group()), text
    )  # of the same length: the amounts stay where they are
    price = _not_too_cheap(_read(plain, _at_today(plain, found), tray, alone))
    if lots and price.per is None and price.unit in HOLDERS:  # "bundles of 25 only, $21.25 per bundle"
        price = replace(price, per=int(lots["count"]))
    if lots and not price.open and not price.packs and price.unit is Unit.EACH:
        return _sold_in_lots(price, int(lots["count"]), text)
    least = least_order(text)
    trays = _LEAST_LOTS.search(text)
    whole = (_counted(text)[0] or tray) if trays and not price.in_lots and price.unit is Unit.EACH else None
    if whole and not price.open:  # "$1.20 ea, min. 1 tray (50)"
        number = re.search(r"\d+", trays.group()) if trays else None
        return replace(price, least_order=whole * int(number.group() if number else 1), multiple=whole)
    lone = least is None and price.unit is Unit.EACH and len(found) == 1
    flat = _BY_FLAT.search(text) if lone else None
    if (
        flat and not price.open and not price.packs
    ):  # "50/flat $1.20": the price is of one, flats are sold whole
        count = int(flat["before"] or flat["behind"])
        return replace(price, least_order=count, multiple=count)
    if least is None:
        return price
    if price.in_lots:
        in_lots = _LEAST_LOTS.search(text)
        return replace(price, least_order=least * (price.per or 1) if in_lots else least)
    steps = _STEPS.search(text)
    return replace(price, least_order=least, multiple=int(steps["count"]) if steps else 1)


def _not_too_cheap(price: Price) -> Price:
    """A price for a whole lot that no lot costs, "$1.10 box of 100": it may be of one plant."""
    per = price.per or 1
    if not price.in_lots or price.packs or price.open or price.breaks[0][1] / per >= CHEAPEST_IN_LOT:
        return price
    return replace(price, per=1, unit=Unit.EACH, lot=per, open=Unclear.LOT)


def _sold_in_lots(price: Price, count: int, text: str) -> Price:
    """A price beside "in lots of 25": of one plant where the line says so or the lot would be too cheap, otherwise of one or
    of all (judgement by usual prices)."""
    least = max(least_order(text) or 1, count, price.least_order)
    highest = max(amount for _, amount in price.breaks)
    if count < 2 or _SAYS_EACH.search(text) or highest / count < CHEAPEST_PLANT:
        return replace(price, least_order=least, multiple=max(count, 1), lot=None)
    return replace(price, least_order=least, multiple=count, lot=count, open=Unclear.LOT)


def price_in_row(text: str, price: str, tray: int | None = None) -> Price | None:
    """The price in a column of a row; where its heading does not say what it buys, the rest of the row may: "tray (50)"."""
    read = read_price(price, tray)
    if read and read.per is None and read.unit in HOLDERS and not read.open:
        return replace(read, per=tray_count(text))  # "plug tray (50)", "$42.50 per tray"
    if read is None or read.unit is not Unit.EACH or read.open or read.packs or len(read.breaks) > 1:
        return read
    if _SAYS_EACH.search(price):
        return read
    whole = read_price(f"{AMOUNT.sub(' ', text)}   {price}", tray)
    return whole if whole is not None and whole.breaks == read.breaks else read


def _at_today(text: str, found: list[Amount]) -> list[Amount]:
    """The amounts without those that held before a sale."""
    if len(found) < 2:
        return found
    before = {a: text[max(0, a.start - 24) : a.start] for a in found}
    yours = [a for a in found if not (_NOT_YOURS.search(before[a]) or _NOT_YOURS_BEHIND.match(text, a.end))]
    if 0 < len(yours) < len(found):
        return yours  # an owner pays no trade price
    now = [a for a in found if _NOW.search(before[a])]
    was = [a for a in found if _WAS.search(before[a])]
    if now and len(now) < len(found) and len(now) + len(was) == len(found):
        return now[:1]
    if len(now) == 1 and now[0] is found[-1] and len(found) == 2:
        return now  # "$18.00 Sale $12.00"
    left = [a for a in found if a not in was]
    return left if left and was else found


def _tiers(text: str, found: list[Amount]) -> dict[Amount, tuple[int, int | None, bool]]:
    """The amounts that stand beside a number of plants: from so many, to so many, whether "and up"."""
    ahead = {a: _numbers_before(text, a) for a in found}
    behind = {a: _BREAK_BEHIND.match(text[a.end : a.end + 30]) for a in found}
    if len(found) > 1 and not ahead[found[0]] and all(ahead[a] for a in found[1:]):
        last = _RANGE_BEHIND.match(text[found[-1].end :])
        if last:  # "$1.20 1-49 $1.10 50-99 $1.00 100+": every amount stands before its numbers
            shifted = [*(ahead[a] for a in found[1:]), last]
            return {
                a: (int(m["low"]), int(m["high"]) if m["high"] else None, bool(m["up"]))
                for a, m in zip(found, shifted)
                if m
            }
    if found and not ahead[found[0]] and all(behind.values()):  # "$2.75 25+, $2.25 100+"
        ahead = dict.fromkeys(found)
    taken = {i for a, match in ahead.items() if match for i in range(a.start - len(match.group()), a.start)}
    out: dict[Amount, tuple[int, int | None, bool]] = {}
    for a in found:
        after = behind[a]
        if after and not taken.isdisjoint(range(a.end, a.end + after.end())):
            after = None  # "$3.25 / 25+ $2.75": the number belongs to the next amount
        if not ahead[a] and after and after["lone"]:
            out[a] = (int(after["lone"]), None, True)
            continue
        match = ahead[a] or after
        if match:
            high = int(match["high"]) if match["high"] else None
            out[a] = (int(match["low"]), high, bool(match["up"]))
    return out


def _numbers_before(text: str, a: Amount) -> re.Match[str] | None:
    """A number of plants right before an amount: "25+ $2.75"."""
    ahead = text[max(0, a.start - 40) : a.start]
    match = _BREAK_BEFORE.search(ahead) if _DIGIT.search(ahead) else None
    return None if match and _NO_NUMBERS.search(ahead[: match.start()][-16:]) else match


def _breaks(text: str, found: list[Amount], alone: bool) -> dict[Amount, int]:
    """Price breaks: amounts and the number from which they hold. A lone "18-24" before an amount is a height."""
    tiers = _tiers(text, found)
    if not tiers:
        return {}
    rows = sorted(((low, a) for a, (low, _, _) in tiers.items()), key=lambda row: (row[0], -row[1].value))
    falling = all(one[1].value >= two[1].value for one, two in zip(rows, rows[1:]))
    if not falling:
        return {}
    if len(tiers) == 1 and not alone and not next(iter(tiers.values()))[2]:
        low, high, _ = next(iter(tiers.values()))
        if low != 1 and (high or 0) <= 60 or high is not None and high <= low:
            return {}
    return {a: low for low, a in rows}


def _read(text: str, found: list[Amount], tray: int | None, alone: bool) -> Price:
    first = found[0]
    many = _FOR.search(text[max(0, first.start - 20) : first.start])
    if many and int(many.group(1)) > MOST_IN_A_LOT:
        read = " ".join(text[_for_start(text, first) : first.end].split())
        return Price(
            ((1, first.value),), None, Unit.NOT_UNDERSTOOD, first.currency, read, open=Unclear.SEVERAL
        )
    breaks = _breaks(text, found, alone)
    if breaks:
        rest = [a for a in found if a not in breaks]
        steps = {(low, a.value) for a, low in breaks.items()}
        least = min(low for low, _ in steps)
        if rest and least > 1 and rest[0].value >= max(v for _, v in steps):
            steps.add((1, rest[0].value))  # "$2.50 each, 25+ $2.00"
        last = max(breaks, key=lambda a: a.end)
        per, unit, lot, _ = _unit(text, last, tray)
        if lot:
            per, unit = 1, Unit.EACH
        if rest and (1, rest[0].value) in steps and rest[0].start < min(a.start for a in breaks):
            said = " ".join(text[rest[0].start : last.end].split())
            return Price(tuple(sorted(steps)), per, unit, first.currency, said)
        read = text[min(a.start for a in breaks) : last.end]
        start = _BREAK_BEFORE.search(text[: min(a.start for a in breaks)])
        read = f"{start.group().strip()} {read}" if start else read
        return Price(tuple(sorted(steps)), per, unit, first.currency, " ".join(read.split()))
    packs = _packs(text, found)
    if len(packs) > 1 and packs[0][0] == 1 and all(one[1] >= two[1] for one, two in zip(packs, packs[1:])):
        read = " ".join(text[_for_start(text, found[0]) : found[-1].end].split())
        return Price(
            packs, 1, Unit.EACH, first.currency, read
        )  # "1/$4.00 10/$3.50": more for less is a break
    if packs:
        read = " ".join(text[_for_start(text, found[0]) : found[-1].end].split())
        if len(packs) == 1:
            return Price(((1, packs[0][1]),), packs[0][0], Unit.PACK, first.currency, read)
        return Price(((1, packs[0][1]),), packs[0][0], Unit.PACK, first.currency, read, packs)
    if len(found) > 1:
        return _of_several(text, found, tray)
    return _single(text, first, tray)


def _for_start(text: str, amount: Amount) -> int:
    match = _FOR.search(text[: amount.start])
    return match.start() if match else amount.start


def _packs(text: str, found: list[Amount]) -> tuple[tuple[int, float], ...]:
    """Lots as "10 for $19, 50 for $69": (plants, amount); empty if any amount is not of that shape."""
    out = []
    listed = len(found) > 1 and all(_LISTED.search(text[max(0, a.start - 12) : a.start]) for a in found)
    for a in found:
        match = (_LISTED if listed else _FOR).search(text[max(0, a.start - 20) : a.start])
        if match and 1 <= int(match.group(1)) <= MOST_IN_A_LOT:
            out.append((int(match.group(1)), a.value))
        elif _SAYS_EACH.match(text[a.end :].lstrip(" /(.")):
            out.append((1, a.value))  # "$8 each or 3 for $21"
        else:
            return ()
    if listed and any(one[0] >= two[0] or one[1] >= two[1] for one, two in zip(out, out[1:])):
        return ()
    return tuple(sorted(out)) if max(n for n, _ in out) > 1 else ()


def _single(text: str, a: Amount, tray: int | None) -> Price:
    per, unit, lot, end = _unit(text, a, tray)
    start = a.start
    if unit.is_lot:
        lot_said = _NUMBER_BEFORE.search(text[:start]) or _LOT_BEFORE.search(text[:start])
        start = lot_said.start() if lot_said else start
    read = " ".join(text[start:end].split()).rstrip(" .,(")
    if read.count(")") > read.count("("):
        read = read.replace(")", "", 1)
    price = Price(((1, a.value),), per, unit, a.currency, read, lot=lot)
    ahead, behind = text[max(0, a.start - 24) : a.start], text[a.end : a.end + 12]
    if lot:
        return replace(price, open=Unclear.LOT)
    span = _SPAN.match(text[a.end : a.end + 24])
    if span and number_of(span["high"]) > a.value:
        said = text[a.start : a.end + span.end()]
        return replace(price, open=Unclear.FROM, read=" ".join(said.split()))
    least, up = _FROM_BEFORE.search(ahead), _AND_UP.match(behind)
    if least or up:
        said = (least.group() if least else "") + text[a.start : a.end + (up.end() if up else 0)]
        return replace(price, open=Unclear.FROM, read=" ".join(said.split()))
    return price


def _of_several(text: str, found: list[Amount], tray: int | None) -> Price:
    """Several amounts that are no breaks: a price and its sum, a span, prices of several sizes."""
    first, second = found[0], found[1]
    read = " ".join(text[first.start : found[-1].end].split())
    if len({a.currency for a in found}) > 1:
        home = [a for a in found if a.currency == DOLLARS]
        if len(home) == 1:
            return _single(text, home[0], tray)
    if len({a.value for a in found}) == 1:
        return _single(text, first, tray)
    if len(found) == 2 and _TO.match(text[first.end : second.start]):
        return Price(((1, first.value),), None, Unit.NOT_UNDERSTOOD, first.currency, read, open=Unclear.FROM)
    if len(found) == 2 and text[first.end : second.start].strip() not in ("+", "/"):  # "$18+$36": two sizes
        small, large = sorted(found, key=lambda a: a.value)
        count, word = _counted(text)
        if count and _is_product(count, small.value, large.value):
            unit = _LOTS.get(word, Unit.TRAY)  # each, and the whole tray: sold by the tray
            return Price(((1, large.value),), count, unit, first.currency, read)
        shared = _flat_and_each(text, small, large, tray)
        if shared:
            return shared
    multiplied = _multiplied(text, found, tray)
    if multiplied:
        return multiplied
    parts = [_unit(text, a, tray) for a in found]
    plain = [(a, p) for a, p in zip(found, parts) if p[1] == Unit.EACH and p[0] == 1 and not p[2]]
    weighed = [p for p in parts if p[1].is_weight]
    if weighed and len(weighed) == len(parts):
        return Price(((1, first.value),), None, parts[0][1], first.currency, read)
    rest = [(a, p) for a, p in zip(found, parts) if p[0] and p[0] > 1 and not p[2]]
    lots = sorted((p[0] or 1, a.value) for a, p in rest)
    if len(lots) == len(found) and all(
        one[0] < two[0] and one[1] < two[1] for one, two in zip(lots, lots[1:])
    ):
        ends = parts[-1][3]  # "$10 per 10, $80 per 100": lots of two sizes
        read = " ".join(text[first.start : ends].split())
        return Price(((1, lots[0][1]),), lots[0][0], Unit.PACK, first.currency, read, tuple(lots))
    if len(rest) + len(plain) == len(found) and rest and _other_stock(text, found):
        read = " ".join(text[first.start : _unit(text, found[-1], tray)[3]].split())
        return Price(
            ((1, first.value),), None, Unit.NOT_UNDERSTOOD, first.currency, read, open=Unclear.SEVERAL
        )
    if len(plain) == 1 and len(plain) + len(rest) == len(found):  # "$2.50 each, $45/tray of 50"
        packs = tuple(sorted([(1, plain[0][0].value), *((p[0] or 1, a.value) for a, p in rest)]))
        return Price(((1, plain[0][0].value),), 1, Unit.EACH, first.currency, read, packs)
    said_each = [a for a, _ in plain if _SAYS_EACH.match(text[a.end :].lstrip(" /(."))]
    if len(said_each) == 1 and len(plain) <= 1:
        return replace(_single(text, said_each[0], tray))
    if all(_SIZE_BEFORE.search(text[max(0, a.start - 16) : a.start]) for a in found) and not any(
        unit in HOLDERS for _, unit, _, _ in parts
    ):
        return replace(_single(text, first, tray), read=read, first_of=first.end)  # of each size: the first
    sizes = [_SIZE_BEHIND.match(text, a.end) for a in found]
    if all(sizes) and sizes[0]:  # "$5.50 qt / $11 gal"
        return replace(_single(text, first, tray), read=read, first_of=sizes[0].end())
    return Price(((1, first.value),), None, Unit.NOT_UNDERSTOOD, first.currency, read, open=Unclear.SEVERAL)


def _is_product(number: int, rate: float, amount: float) -> bool:
    """Whether so many at a rate are an amount, as far as cents were rounded."""
    return abs(rate * number - amount) < 0.006 * number + 0.005


def _flat_and_each(text: str, small: Amount, large: Amount, tray: int | None) -> Price | None:
    """The price of a flat and of one plant of it, where the line doesn't count them: "flat $65 each plant $1.71" is a
    flat of 38. Where no tray holds so many, the plant has a price of its own."""
    ahead = text[max(0, large.start - 40) : large.start]
    holder = _HELD_IN.search(ahead)
    word = holder[1].lower().rstrip("s") if holder else ""
    if word not in ("tray", "flat") or tray is not None:
        return None
    count = round(large.value / small.value)
    shared = abs(large.value - count * small.value) > 0.005 or re.search(
        r"\b(?:each|per) plant\b", text, re.I
    )
    if shared and count in USUAL_TRAYS and abs(large.value / count - small.value) <= 0.00501:
        said = " ".join(text[min(small.start, large.start) : max(small.end, large.end)].split())
        return Price(((1, large.value),), count, _LOTS[word], large.currency, said)
    return _single(text, small, tray) if _SIZE_BEFORE.search(text[: small.start]) else None


def _multiplied(text: str, found: list[Amount], tray: int | None) -> Price | None:
    """A quote's or an invoice's row, where number x rate = amount proves which is which: "90.00 pcs 8.85 796.50". The word
    behind the number says what the rate buys. None where nothing is proved."""
    if len(found) == 3 and found[0].value == int(found[0].value):
        number, rate, amount = found
    elif len(found) == 2:
        number, (rate, amount) = None, sorted(found, key=lambda a: a.value)
        if text[found[0].end : found[1].start].strip() in ("+", "/"):
            return None
    else:
        return None
    for quantity in _QUANTITY.finditer(text):
        many, start = int(quantity["n"].replace(",", "")), quantity.start()
        if (
            number is not None
            and start != number.start
            or any(a.start <= start < a.end for a in (rate, amount))
        ):
            continue
        if not (many > 1 or number is not None) or not _is_product(many, rate.value, amount.value):
            continue
        per, unit = _bought_by(quantity["thing"], text, tray)
        least = min(a.start for a in found) if number is None else number.start
        read = " ".join(text[least : max(a.end for a in found)].split())
        return Price(((1, rate.value),), per, unit, rate.currency, read)
    return None


def _bought_by(thing: str | None, text: str, tray: int | None) -> tuple[int | None, Unit]:
    """What one of the things that a quote counts is: a plant, a whole lot, a pound."""
    word = _LOT_NAMES.get((thing or "").lower(), (thing or "").lower())
    base = next((w for w in (word, word[:-1], word[:-2]) if w in _LOTS or w in _AREAS or w in _WEIGHTS), word)
    if base in _LOTS:
        per, unit, _, _ = _lot(text, base, tray, 0)
        return per, unit
    if base in _WEIGHTS or base in _AREAS:
        return None, (_WEIGHTS | _AREAS)[base]
    if word in ("dozen", "doz", "dz"):
        return 12, Unit.DOZEN
    return 1, Unit.EACH


def _other_stock(text: str, found: list[Amount]) -> bool:
    """Whether a word for stock stands before a further amount, behind the first: "B&B $22; seedlings $95/C" prices two
    things."""
    return any(_STOCK.search(text[one.end : two.start]) for one, two in zip(found, found[1:]))


def _unit(text: str, a: Amount, tray: int | None) -> tuple[int | None, Unit, int | None, int]:
    """(plants that the amount buys, unit, how many it may be for instead of one, where its words end)."""
    tail = text[a.end : a.end + 60]
    match = _PER.match(tail)
    assert match is not None, "every part may be missing"
    word, count = (match["word"] or "").lower(), match["count"]
    sign = (match["per"] or "").lower()
    if ";" in tail[: match.end()]:  # "$3.00; tray of 32 $64.00": what stands behind it is of another price
        word, count, sign = "", None, ""
    end = a.end + match.end() if word or count else a.end
    number = int(count.replace(",", "")) if count else 0
    word = _LOT_NAMES.get(word, word)
    base = word[:-1] if word.endswith("s") and word[:-1] in (*_LOTS, *_MANY) else word
    if word in ("trays", "flats", "boxes", "bunches"):
        base = word.removesuffix("es") if word in ("boxes", "bunches") else word[:-1]
    joined = sign in ("/", "per", "for", "by the", "a", "an", "the", "(", "@")
    if (
        base in _AREAS
        and (joined or not sign)
        and (base not in ("mat", "log", "load", "roll") or sign in ("/", "per"))
    ):
        return None, _AREAS[base], None, end
    if base in ("dozen", "doz", "dz") and number > 1 and joined:
        return *_dozens(str(number)), None, end
    if word == "half" or "½" in tail or "1/2" in tail:
        half = _HALF_DOZEN.match(tail)
        if half:
            return *_dozens("half"), None, a.end + half.end()
    if (
        number > 1
        and (sign in ("/", "per", "for") or base in (*_LOTS, "ct", "count") and sign in ("(", ""))
        and not (
            base == "bag" and not sign  # "62.00 5 bag": a size
        )
    ):
        return _of_number(number, sign, base, end)
    per_lot = _SO_MANY_A_LOT.match(tail) if number > 1 and not sign else None
    if per_lot:  # "$30, 25 roots per bag"
        return (
            number,
            _LOTS[_LOT_NAMES.get(per_lot[1].lower(), per_lot[1].lower())],
            None,
            a.end + per_lot.end(),
        )
    if number > 1 and not sign and _SO_MANY.match(tail):
        return 1, Unit.EACH, number, end  # "$15 10 roots"
    if sign == "(" and word in ("cs", "cse", "case"):
        case = _CASE_BEHIND.match(tail)
        if case:
            return 1, Unit.EACH, int(case[1]), a.end + case.end()  # "$8.95 (cs/6)": of one, or of the case
    if number > 1 and sign == "(" and re.match(r" ?min", text[end:], re.I):
        return 1, Unit.EACH, None, a.end  # "$3.00 (24 plant minimum)"
    if number > 1 and (
        sign == "(" and not word or sign in ("(", "-", "–", "—") and word in _EACH - _SAID_EACH
    ):
        return 1, Unit.EACH, number, end  # "$110 (100 plugs)", "$10 (3)": of one, or of all
    if word in _WEIGHTS and (joined or not sign) and not (word in ("g", "c", "m") and sign != "/"):
        return None, _WEIGHTS[word], None, end
    if base in _MANY and not (
        base in ("c", "m") and (sign not in ("/", "per") or not match["word"].isupper())
    ):
        many = _MANY[base]
        return many, _BY_MANY[many], None, end
    if base in _LOTS and not (base in ("set", "lot", "box", "bag", "flat") and not joined):
        return _lot(text, base, tray, end)
    if word in _EACH and sign not in ("-", "–", "—"):
        return 1, Unit.EACH, None, end
    if word.startswith(("bareroot", "bare")) and sign in ("/", "per"):
        return 1, Unit.EACH, None, end
    if sign in ("/", "per") and word and not count or _PER_SPAN.match(tail):
        return None, Unit.NOT_UNDERSTOOD, None, end
    return *_elsewhere(text, a, tray), a.end


def _of_number(number: int, sign: str, base: str, end: int) -> tuple[int, Unit, None, int]:
    if number in (100, 1000) and sign in ("/", "per") and base not in _LOTS:
        return number, _BY_MANY[number], None, end
    return number, _LOTS.get(base, Unit.PACK), None, end


def _dozens(count: str | None) -> tuple[int, Unit]:
    """So many dozen, "half" or none said: plants, and what they are sold as."""
    if not count or count == "1":
        return 12, Unit.DOZEN
    return (12 * int(count) if count.isdigit() else 6), Unit.PACK


def _lot(text: str, base: str, tray: int | None, end: int) -> tuple[int | None, Unit, None, int]:
    behind = re.match(r"\s*(?:of|\()\s*(\d{1,4})\b", text[end:])
    unit = _LOTS[base]
    count = int(behind.group(1)) if behind else tray_count(text)
    count = count or (tray if unit in _TRAYS else None)
    return (count or (1 if base == "bunch" else None)), unit, None, end + (behind.end() if behind else 0)


def _elsewhere(text: str, a: Amount, tray: int | None) -> tuple[int | None, Unit, int | None]:
    """The unit of an amount with no words right behind it, from the words before it or anywhere on the line."""
    ahead = text[max(0, a.start - 40) : a.start]
    if _PORTION.search(ahead):
        return None, Unit.PORTION, None
    figures = _DIGIT.search(ahead) is not None
    weight = _SEED_WEIGHT.search(ahead[-20:]) if figures or not ahead.isascii() else None
    if weight:
        return None, _WEIGHTS[weight.group(1).lower().rstrip(".")], None
    at = ahead.rstrip().endswith("@") or text[a.start] == "@"
    lot = _LOT_BEFORE.search(ahead) if at else None
    if lot and int(lot[2]) > 1:  # "flat of 18 @ $81"
        return _each_or_tray(a.value, int(lot[2]), _LOT_NAMES.get(lot[1].lower(), lot[1].lower()))
    if _SAYS_EACH.search(text) or at and not _HELD_IN.search(ahead):
        lot = _LOT_RIGHT_BEFORE.search(ahead) if figures else None
        if lot and a.value >= DEAREST_PLUG:  # "ea. 3.00, flat (32) 64.00"
            return int(lot[2]), _LOTS[lot[1].lower()], None
        return 1, Unit.EACH, None
    loose = _LOOSE_UNIT.search(text)
    if loose and not re.search(r"\d\s*$", text[: loose.start()]):
        word = loose.group(1).lower().replace(",", "")
        if word in _WEIGHTS:
            return None, _WEIGHTS[word], None
        if word in ("acre", "sq"):
            return None, _AREAS[word], None
        if word in ("tray", "flat", "bunch"):
            return _lot(text, word, tray, len(text))[:3]
        return {
            "100": (100, Unit.HUNDRED, None),
            "hundred": (100, Unit.HUNDRED, None),
            "dozen": (12, Unit.DOZEN, None),
        }.get(word, (1000, Unit.THOUSAND, None))
    dozens = _DOZENS_BEFORE.search(ahead) if "d" in ahead.lower() else None
    if dozens:
        return *_dozens(dozens["count"]), None
    if _PAIR_BEFORE.search(ahead):
        return 2, Unit.PACK, None
    number = _NUMBER_BEFORE.search(ahead) if figures else None
    if number and int(number["count"]) > 1:
        count, thing = int(number["count"]), number["thing"].lower()
        if thing.startswith(("pack", "pk", "count", "ct")) or "pack" in number.group().lower():
            return count, Unit.PACK, None
        lot = _LOT_BEFORE.search(ahead) or _LOT_RIGHT_BEFORE.search(ahead)
        if lot:  # "bunch of 6 stems 7.50"
            return count, _LOTS[_LOT_NAMES.get(lot[1].lower(), lot[1].lower())], None
        holds = _HOLDS.search(text[: a.start])
        if holds and number["count"] in holds.groups():
            return _each_or_tray(
                a.value, count, next(g.lower() for g in holds.groups() if g and not g.isdigit())
            )
        if thing.startswith(("stake", "whip", "cutting", "seedling", "sprig")) and (
            a.value > DEAREST_PLUG or a.value / count < CHEAPEST_PLANT
        ):
            return (count, Unit.PACK, None) if a.value > DEAREST_PLUG else (1, Unit.EACH, None)
        return 1, Unit.EACH, count
    several = _NUMBER_IN_BRACKETS.search(ahead) if figures else None
    of_lot = several and ahead[: several.start()].rstrip().endswith(" of")
    if (
        several
        and not of_lot
        and int(several[1] or several[2]) > 1
        and not _HELD_IN.search(ahead[: several.start()])
    ):
        return 1, Unit.EACH, int(several[1] or several[2])  # "soft rush (5) $9"
    times = _TIMES.search(ahead) if figures else None
    if times:
        return 1, Unit.EACH, int(times[1] or times[2])
    bundle = _BUNDLE.search(ahead) if figures else None
    if bundle and a.value / int(bundle[1]) >= CHEAPEST_PLANT:
        return 1, Unit.EACH, int(bundle[1])
    piece = _ONE_PIECE.search(text[: a.start])
    if piece:  # "coir mat 3x16 ft $150": one piece with many plants
        return None, _AREAS[piece[1].lower().rstrip("s")], None
    lot = _LOT_RIGHT_BEFORE.search(ahead) if figures else None
    if lot and int(lot[2]) > 1:  # "full tray (50) $57.50, half tray (25) $32.00"
        word = lot[1].lower()
        if word not in ("tray", "flat"):
            return int(lot[2]), _LOTS[word], None
        return _each_or_tray(a.value, int(lot[2]), word)
    held, word = _counted(text[: a.start] + " " * (a.end - a.start) + text[a.end :])
    if held:
        if word and word not in ("tray", "flat"):
            return held, _LOTS.get(word, Unit.PACK), None
        return _each_or_tray(a.value, held, word)
    if re.search(r"\b(?:trays?|flats?)\b", ahead, re.I) and tray:
        return _each_or_tray(a.value, tray, "tray")
    holder = _HELD_IN.search(ahead)
    if holder:  # "flats $38"
        word = holder[1].lower()
        word = _LOT_NAMES.get(word, word)
        base = next((w for w in (word, word[:-1], word[:-2]) if w in _LOTS), "lot")
        return _lot(text, base, tray, 0)[:3]
    if _TRAY_SAID.search(text[: a.start]):  # "trays, 32's, $1.40": of a plant or of a tray
        return None, Unit.NOT_UNDERSTOOD, None
    return 1, Unit.EACH, None


def _each_or_tray(value: float, count: int, word: str) -> tuple[int, Unit, int | None]:
    """An amount beside "50 cell tray": of one, of the whole tray, or not to be told (judgement by usual prices)."""
    if value / count < CHEAPEST_PLANT:
        return 1, Unit.EACH, None
    if value >= DEAREST_PLUG:
        return count, _LOTS.get(word, Unit.TRAY), None
    return 1, Unit.EACH, count
