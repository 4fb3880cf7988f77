"""Lines that name no plant of the book: goods, a fish, a letter's head, a label, a sentence, a lot of plants without names;
and what is left to look up."""

from __future__ import annotations

import re

from plantpick.offers.firm_names import firm_at_head
from plantpick.offers.line_in_words import LineInWords
from plantpick.offers.match import Mention, MentionKind, Reading, ReadingKind, covered_by
from plantpick.offers.words import (
    ANIMALS,
    CARRIED,
    COLORS,
    FIRMS,
    FUNCTION_WORDS,
    HARDWARE,
    LETTER_HEAD,
    MIXED,
    MIXED_LOTS,
    PLAIN,
    explains_itself,
    stems_in,
)
from plantpick.vocabulary import STATES

GROUP_WORDS = 8  # words to which a line may run that offers "rush" or "sedge" and no more
# a size or a price: what a heading or a note seldom has (common practice, no source)
_OFFERED = re.compile(
    r"[$¢]|\d\.\d\d\b|\b(?:plugs?|pots?|gal|gallons?|qt|quarts?|br|bare ?roots?|bunch|bundle|ea|each|flat|tray|lbs?|"
    r"pounds?|cells?|liners?|containers?)\b",
    re.I,
)
_PRICED = re.compile(r"[$¢]|\d\.\d\d\b")
_POSTAL = re.compile(r"\b[A-Z]{2},? +\d{5}(?:-\d{4})?\b")  # a state and its postal code: an address
_VERBS = frozenset("is are was has have will must".split())  # no plant's name holds one
# how machines and materials are measured, and plants are not
_MEASURED = re.compile(
    r"\d\s?(?:gph|gpm|hp|watts?|volts?|amps?|mil|psi|cfm|lf|sq\.? ?ft|cu\.? ?(?:ft|yd)|yds?|tons?|ml|lit(?:er|re)s?)\b",
    re.I,
)
# what makes goods or haste of the word before it: "lily pot", "rush order"
_NO_GROUP = stems_in(
    "order delivery shipping shipment fee service charge job processing pot tub planter basket pan bowl"
)
_NAMING = stems_in(
    "name names species plant plants botanical scientific latin common variety cultivar item product title"
)
_PLANTS_FIRST = stems_in("lilac lavender")  # colors that are called after the plants
_PLAIN_GROUPS = stems_in("rush sedge fern grass")
_GOODS = stems_in(
    "fertilizer fertiliser tablets pellets cutter rake remover herbicide algaecide decoy fountain spitter sculpture "
    "statue book skimmer nets poster"
)
# goods in which a plant is sold, or with which it is grown
_HOLDING = stems_in(
    "bucket buckets pail barrel barrels drum drums tank vase pallet bale bales roll rolls coir log logs mat mats matting blanket "
    "blankets fiber coconut fabric tabs straw island islands raft rafts"
)
_BETWEEN = stems_in("pond plant stem root lake food weed water aquatic")
_PLANTS = stems_in(
    "plant plants species natives wildflowers marginals emergents oxygenators grasses sedges rushes forbs bog wetland"
)
# a pack with no name but what it is for: "Marginal variety pack" ("variety" is read as the rank "var.")
_VARIETY_PACK = re.compile(
    r"\b(?:variety|var\.|starter|value|combo|combination|surprise|grab|sample) (?:pa?c?ks?|packages?|bundles?|sets?|lots?|bags?|box(?:es)?|"
    r"flats?|trays?)\b",
    re.I,
)
_MANY_PLANTS = re.compile(  # "12 plants", "assortment of 20"
    r"\b\d{1,4} (?:[a-z]+ ){0,2}(?:plants|plugs|pots|bunches|stems)\b|\b(?:assortment|collection|sampler|mix) of \d{1,4}\b",
    re.I,
)
_SETS = stems_in("sampler bundle")  # a set for sale: no price need stand beside it
# "$6.00/bundle", "50 trees / bundle": how a plant is sold, and no set of plants
_BUNDLED = stems_in(
    "bundle tree trees plant plants seedling seedlings shrub shrubs of per each a an the in number price cost for"
)
# how many kinds a mixture holds, so many for so much, or a number to be had: "(10 species)", "5/$20", "x10"
_KINDS = re.compile(r"\b\d+\s+(?:\w+\s+)?(?:species|kinds|varieties|types)\b", re.I)
_LOT = re.compile(r"\b\d+\s?(?:for|/)\s?\$|\bx\s?\d+\W*$", re.I)
_NUMBERED = re.compile(r"^\W*\d+\s?x?\s", re.I)
_NAMED_FORM = re.compile(r"\W*[A-Z][A-Za-z]{2,} (?:x )?[a-z]{4,} ['(][A-Z]")
_ROADS = frozenset(
    "road rd lane ln street st avenue ave drive dr creek lake blvd boulevard way highway hwy trail court".split()
)
# how a private seller hands over and is paid; a place or a person that such a line names is no plant
_HANDED_OVER = stems_in("pickup venmo zelle paypal cash cashapp checks")
_WHERE = re.compile(
    r"\b(?i:in|at|near|from|to|or|text|call|contact|message|email|see|ask for)\s+([A-Z][A-Za-z]+(?:\s+[A-Z][a-z]+)?)\b|"
    r"\b([A-Z][a-z]+),? +(?:" + "|".join(STATES) + r")\b|\$[A-Za-z]\w+"
)
_SEE_PAGE = re.compile(r"\bsee\b.*\bp(?:g|age)?\b\.? ?\d", re.I)  # "Also see ... p. 57"
_CONTENTS = re.compile(r"(?:\.\s?){3,}\d{1,4}\s*$")  # a line of a table of contents
_OFFICE = stems_in(
    "ship shipped shipping shipment freight order orders minimum box boxes discount delivery charge fee "
    "surcharge unless must price prices pricing total subtotal list available call"
)


def is_gear(line: LineInWords) -> bool:
    """Whether the line sells a thing, a fish or a snail that only bears a plant's name, or serves one."""
    sold = line.stems[: _given_from(line)]
    covered = covered_by(line.mentions, len(line.tokens))
    things = {
        i
        for i, s in enumerate(sold)
        if (s in HARDWARE or s in ANIMALS) and s not in CARRIED and not covered[i]
    }
    if not things or any(
        m.kind == MentionKind.SCIENTIFIC and (m.plants or m.taken.lower() in line.book.genera)
        for m in line.mentions
    ):
        return False
    if all(_names_a_thing(line, m) for m in line.mentions):
        return True
    if any(p in line.book.refused for m in line.mentions for p in m.plants):
        return False
    return all(line.is_wide(m) or _serves(line, m, things) for m in line.mentions)


def _given_from(line: LineInWords) -> int:
    """Where on the line begins what comes along with a plant: "Pickerelweed, comes with basket and fertilizer tablet"."""
    ends = [m.end for m in line.mentions if m.plants]
    given = (
        i
        for i, t in enumerate(line.tokens)
        if ends and i >= min(ends) and t.text.lower() in ("with", "includes", "including", "plus", "free")
    )
    return next(given, len(line.tokens))


def _names_a_thing(line: LineInWords, m: Mention) -> bool:
    """Whether goods stand right behind a name, with no word of planting between: "water lily fertilizer"; behind a native's
    name, too, goods that hold no plant, and fish."""
    native = not any(p in line.book.refused for p in m.plants)
    for i in range(m.end, min(m.end + 3, len(line.tokens))):
        word = line.stems[i]
        if line.tokens[i].segment != line.tokens[m.start].segment or word in CARRIED:
            return False
        if word in _GOODS or native and (word in HARDWARE or word in ANIMALS) and word not in _HOLDING:
            return True
        if word not in _BETWEEN:
            return False
    return False


def _serves(line: LineInWords, m: Mention, things: set[int]) -> bool:
    """Whether a thing before a name is for it: "rake for coontail", "book of wetland plants"."""
    before = [i for i in range(max(0, m.start - 3), m.start)]
    joined = any(line.tokens[i].text.lower() in ("for", "of", "from", "against") for i in before)
    return joined and any(i < m.start for i in things)


def is_headed(line: LineInWords) -> bool:
    """Whether the line is a letter's head or a firm's name."""
    if LETTER_HEAD.match(line.clean.text) or any(s in FIRMS for s in line.stems):
        return True
    firm = firm_at_head(line.clean.text, line.stems)
    if firm is None or not firm.large:
        return False
    priced = _PRICED.search(line.clean.text.replace("order $", ""))  # a price would make it an item
    if firm.capitals:
        return firm.ended and not priced
    return all(line.tokens[i].start < firm.end for i in line.loose)


def is_letterhead(line: LineInWords) -> bool:
    """Whether plants' names stand on the line in a firm's name or an address alone: "Cattail Creek Nursery, spring
    list"."""
    firm = firm_at_head(line.clean.text, line.stems)
    if firm is None or not (firm.by_itself and firm.ended) or _OFFERED.search(line.clean.text):
        return False
    return all(
        line.tokens[m.end - 1].start < firm.end
        or m.end < len(line.tokens)
        and line.tokens[m.end].text.lower().rstrip(".") in _ROADS
        for m in line.mentions
    )


def is_label(line: LineInWords) -> bool:
    """Whether the line opens with a label of a plant's page, which tells of the plant and does not name it:
    "Soil Conditions: moist", "Attracts: birds"."""
    label, colon, _ = line.clean.text.partition(":")
    if not colon or len(label) > 40:
        return False
    words = [t.stem for t in line.tokens if t.start < len(label)]
    return 0 < len(words) <= 5 and all(
        (explains_itself(word) or word in FUNCTION_WORDS) and word not in _NAMING for word in words
    )


def nothing(line: LineInWords) -> Reading:
    if _is_mixed_lot(line):
        return _sold_unnamed(line)
    loose = [
        i
        for i in line.loose
        if line.stems[i] not in HARDWARE and line.stems[i] not in ANIMALS and set(line.stems[i]) != {"x"}
    ]
    if loose and not _HANDED_OVER.isdisjoint(line.stems):
        where = {i for m in _WHERE.finditer(line.clean.text) for i in range(*m.span())}
        loose = [i for i in loose if line.tokens[i].start not in where]
    gear = any(s in HARDWARE or s in ANIMALS for s in line.stems) or is_headed(line)
    gear = gear or bool(_MEASURED.search(line.clean.text) or _POSTAL.search(line.clean.text))
    gear = gear or is_label(line)
    ends = tuple(line.tokens[i].text for i in loose)
    offered = _OFFERED.search(line.clean.text)
    if any(line.tokens[i].text.lower().endswith("aceae") for i in loose) and not offered:
        return Reading(kind=ReadingKind.NONE, loose_ends=ends)  # a family's name
    if not offered and (_CONTENTS.search(line.clean.text) or _SEE_PAGE.search(line.clean.text)):
        return Reading(kind=ReadingKind.NONE, loose_ends=ends)
    group = _group(line) if loose and len(line.tokens) <= 4 and not gear else None
    if group and not offered:
        return group
    if loose and not offered and all(explains_itself(line.stems[i]) for i in loose):
        return Reading(kind=ReadingKind.NONE, loose_ends=ends)  # "attractive foliage"
    if gear or loose and _is_said(line) and not _opens_with_form(line):
        run = "" if gear else line.run_of_loose(1)
        return Reading(kind=ReadingKind.NONE, loose_ends=ends, phrase=run, aside=bool(run))
    told = [i for i in loose if line.stems[i] not in COLORS]
    group = _group(line) if len(told) <= 1 else None
    if group:
        return group
    if loose:
        return Reading(kind=ReadingKind.UNKNOWN, phrase=line.phrase(loose), loose_ends=ends)
    return _unnamed(line) or Reading()


def _opens_with_form(line: LineInWords) -> bool:
    """Whether the line opens with two words and a cultivar in quotes or a name in brackets, as a catalog's entry does: "Mazus
    reptans 'Albus' | White flowering form of the species"."""
    named = _NAMED_FORM.match(line.clean.text)
    return named is not None and not any(explains_itself(t.stem) for t in line.tokens[:2])


def is_only_said(line: LineInWords) -> bool:
    """Whether the line is a sentence of eight words and more that has no price, size or form."""
    return len(line.tokens) >= 8 and _is_said(line) and not _OFFERED.search(line.clean.text)


def _is_said(line: LineInWords) -> bool:
    """Whether the line is a sentence and no item: two words of grammar among five, or a verb among four, no price."""
    if len(line.tokens) >= 5 and line.functions >= 2:
        item = (
            len(line.tokens) <= 6
            and len(line.loose) > 1
            and _PRICED.search(line.clean.text)
            and _OFFICE.isdisjoint(line.stems)
        )
        return not item or not _VERBS.isdisjoint(line.stems)  # "blue star of the Nile $5" is for sale
    return len(line.tokens) >= 4 and not _VERBS.isdisjoint(line.stems) and not _PRICED.search(line.clean.text)


def _group(line: LineInWords) -> Reading | None:
    """A line that offers plants by the word for a whole group alone: "rush, 2 in plug", "lily, white"."""
    if len(line.tokens) > GROUP_WORDS or line.functions >= 2:
        return None
    for i, (token, word) in enumerate(zip(line.tokens, line.stems)):
        beside = i + 1 < len(line.stems) and line.tokens[i + 1].segment == token.segment
        after = line.stems[i + 1] if beside else ""
        if after in _NO_GROUP:
            continue
        plants: tuple[str, ...] = ()
        if word in _PLAIN_GROUPS:
            compound = i > 1 and line.clean.text[token.start - len(line.tokens[i - 1].text) - 2] == "-"
            last = compound and i + 1 == len(line.tokens)  # "slender-foot sedge"
            if token.text.lower() == word and (last or _OFFERED.search(line.clean.text)):
                plants = (*line.book.groups.get(word, ()), *line.book.heads.get(word, ()))
        elif word not in PLAIN and i in line.loose and (word in _PLANTS_FIRST or not explains_itself(word)):
            plants = line.book.heads.get(word, ())
        elif word in line.book.groups and _PRICED.search(line.clean.text):
            plants = line.book.groups[word]
        if plants:
            doubt = f'"{token.text}" is a word for a whole group of plants'
            return Reading(
                kind=ReadingKind.PLANT,
                candidates=tuple(dict.fromkeys(plants)),
                doubts=(doubt,),
                wide=True,
            )
    return None


def _unnamed(line: LineInWords) -> Reading | None:
    """A line that sells a mixture of plants and names none."""
    kept = set(line.stems)
    text = line.clean.text
    offered = _OFFERED.search(text) or _KINDS.search(text) or _NUMBERED.search(text)
    mixture = kept & MIXED and kept & _PLANTS and offered
    if not (mixture or kept & _SETS and not kept <= _BUNDLED or kept & _PLANTS and _LOT.search(text)):
        return None
    if kept & _OFFICE or line.functions >= 2:
        return None
    return _sold_unnamed(line)


def _sold_unnamed(line: LineInWords) -> Reading:
    said = " ".join(t.text for t in line.tokens)[:60]
    return Reading(kind=ReadingKind.UNKNOWN, phrase=said, unnamed=True, together=True)


def _is_mixed_lot(line: LineInWords) -> bool:
    """Whether the line sells a lot of several plants together, whatever the lot is called: "Pond plant collection "Bass
    Bungalow" 12 plants". A number of plants, or the word for plants beside a price, tells it from a kit of goods."""
    kept, text = set(line.stems), line.clean.text
    mixed = kept & MIXED_LOTS or _VARIETY_PACK.search(text)
    if not mixed or kept & (_OFFICE | _GOODS) or line.functions >= 3:
        return False
    if _MANY_PLANTS.search(text) or _KINDS.search(text):
        return True
    return bool(kept & _PLANTS and _PRICED.search(text)) and kept.isdisjoint(HARDWARE - MIXED_LOTS)
