"""What the names found on one line add up to: one plant, several, a conflict, a name in no table; or goods, a fish, a
note, a letter's head."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import replace

from plantpick.offers.doubts import (
    color_form,
    in_small,
    likened,
    near_listed,
    other_form,
    other_habit,
    other_plants,
    same_plant_said,
    unexplained,
)
from plantpick.offers.match import Mention, MentionKind, Reading, ReadingKind, covered_by
from plantpick.offers.name_index import NameBook
from plantpick.offers.normalize import RANKS, Clean, Token, key_of, stem
from plantpick.offers.words import (
    ABROAD,
    ANIMALS,
    CARRIED,
    COLORS,
    CONNECTIVES,
    DESCRIBING,
    FIRMS,
    FUNCTION_WORDS,
    GENERIC,
    HARDWARE,
    LETTER_HEAD,
    PLAIN,
    explains_itself,
)

# Genus and flower color that tell a refused plant from the natives of its genus: the yellow flag among the irises of wet
# ground, the sacred lotus by any color but the native's pale yellow (Flora of North America, Iris and Nelumbo).
COLOR_OF = {
    ("iris", "yellow"): "iris-pseudacorus",
    ("nelumbo", "pink"): "nelumbo-nucifera",
    ("nelumbo", "red"): "nelumbo-nucifera",
    ("nelumbo", "rose"): "nelumbo-nucifera",
    ("nelumbo", "white"): "nelumbo-nucifera",
}
COLORED = frozenset(genus for genus, _ in COLOR_OF)
WELL_KNOWN = 3  # lists from which a plant's own name outweighs a trader's use of it for others (judgement)
# Words that tell plants apart by looks alone: shops' names made with them are seldom one plant's (judgement).
LOOKS = frozenset("dwarf mini miniature graceful jumbo".split())
HYBRID_WORDS = frozenset("hybrid hybrids hyb".split())
QUOTE = "'"
DOUBT_WORDS = frozenset("cf aff".split())
NAME_WIDE = 8  # a common name of so many plants is a word for a whole group
ASIDE_LETTERS = (
    7  # letters from which words beside a name are compared with refused plants' names (judgement)
)
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


def _stems(words: str) -> frozenset[str]:
    return frozenset(map(stem, words.split()))


# what makes goods or haste of the word before it: "lily pot", "rush order"
_NO_GROUP = _stems(
    "order delivery shipping shipment fee service charge job processing pot tub planter basket pan bowl"
)
_NAMING = _stems(
    "name names species plant plants botanical scientific latin common variety cultivar item product title"
)
_PLAIN_GROUPS = _stems("rush sedge fern grass")
_GOODS = _stems(
    "fertilizer fertiliser tablets pellets cutter rake remover herbicide algaecide decoy fountain spitter sculpture "
    "statue book skimmer nets poster"
)
_BETWEEN = _stems("pond plant stem root lake food weed water aquatic")
_MIXED = _stems("mix mixed mixture assorted assortment sampler collection selection package kit variety")
_PLANTS = _stems(
    "plant plants species natives wildflowers marginals emergents oxygenators grasses sedges rushes forbs bog wetland"
)
_MIXED_LOTS = _stems("mix mixed mixture assorted assortment sampler collection package kit variety")
_FIRM_IN_CAPITALS = (
    re.compile(  # "BAYOU BEND AQUATICS - SPRING LIST": a firm's name; a price beside it would make it an item
        r"\W*(?:[A-Z][A-Z&'.-]+ ){1,4}(?:AQUATICS|NATIVES|PLANTS|GARDENS|GROWERS|PONDS|WETLANDS|SUPPLY|SEEDS)"
        r"(?=\s*$|\s*[-–|:,]|\s+\d{4}\b|\s+[A-Z ]*LIST\b)(?!.*(?:\$|\d\.\d\d)(?<!order \$))"
    )
)
# the same as a title: a firm where the whole line is no more, "Bayou Bend Aquatics, spring price list"
_FIRM_IN_TITLE = re.compile(
    r"\W*(?:(?:[A-Z][A-Za-z.'’]*|&|and|of|the) ){1,4}(?:Aquatics|Natives|Gardens|Growers|Wetlands|Supply|Ponds)\b"
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
_SETS = _stems("sampler bundle")  # a set for sale: no price need stand beside it
# how many kinds a mixture holds, so many for so much, or a number to be had: "(10 species)", "5/$20", "x10"
_KINDS = re.compile(r"\b\d+\s+(?:\w+\s+)?(?:species|kinds|varieties|types)\b", re.I)
_LOT = re.compile(r"\b\d+\s?(?:for|/)\s?\$|\bx\s?\d+\W*$", re.I)
_NUMBERED = re.compile(r"^\W*\d+\s?x?\s", re.I)
# signs that join no second plant: "B&B" (balled and burlapped), "25+", "$95/C", "1/2"
_NO_JOINT = re.compile(r"\bB ?& ?B\b|\d[ )]?[+/]|/ ?(?:\d|each\b|ea\b|C\b|M\b)", re.I)
_GIFT = re.compile(
    r"(?:(?:\bwith|\bplus|\bincludes?|\bgets?|\+|&|\band) (?:an? |one |your )?(?:free|bonus|mystery|surprise|complimentary) |"
    r"\b(?:bonus|mystery|surprise|complimentary) |\bfree (?=(?:[a-z'-]+ ){1,3}?(?:with|w/|for|in|per|on) (?:an?y? |each |every |all |your )?"
    r"(?:order|purchase)))(?!of\b|from\b)(?P<what>(?:(?!with\b|w/|for\b|per\b|on\b|in\b)[a-z'-]+ ?){1,3})",
    re.I,
)
_MAY_GIVE = re.compile(r"free |bonus|mystery|surprise|complimentary")
_NO_GIFT = _stems(
    "ship shipping shipped delivery freight postage catalog guide advice fertilizer tablet order orders purchase"
)
_OR_ANOTHER = re.compile(
    r"\bor (?:an? )?(?:approved )?(?:equals?|equiv(?:alents?|\.)?|similar|comparable|like (?:kind|plants?|species)|substitutes?|alternates?|"
    r"alternatives?)\b|\b(?:may|might|will|can|could) (?:be )?substituted?\b|\bsubs?(?:titut(?:es?|ions?))? (?:possible|allowed|ok(?:ay)?|"
    r"permitted|may|made)\b",
    re.I,
)
_NAMED_FORM = re.compile(r"\W*[A-Z][a-z]{2,} (?:x )?[a-z]{4,} '[A-Z]")
_LETTERHEAD = re.compile(  # a firm's name to the end of the line, to a comma or dash, or to the word for its list
    r"\W*(?:(?:[A-Z][A-Za-z.'-]*|&|and|of|the) ){1,5}(?i:nursery|nurseries|farms?|greenhouses?|aquatics|natives|growers)\b"
    r"(?=\s*$|\s*[-–|:,]|(?: [A-Za-z]+)? (?i:list|catalogue?|prices?|inventory|availability|nursery|llc|inc)\b)"
)
_ROADS = frozenset(
    "road rd lane ln street st avenue ave drive dr creek lake blvd boulevard way highway hwy trail court".split()
)
_SEE_PAGE = re.compile(r"\bsee\b.*\bp(?:g|age)?\b\.? ?\d", re.I)  # "Also see ... p. 57"
_CONTENTS = re.compile(r"(?:\.\s?){3,}\d{1,4}\s*$")  # a line of a table of contents
_PESTS = _stems("beetle beetles bee bees honeybees carp snail snails mite mites borer moth")
_STANDS_IN = _stems("unlike alternative instead replace replaces replacement not than substitute")
_OFFICE = _stems(
    "ship shipped shipping shipment freight order orders minimum box boxes discount delivery charge fee "
    "surcharge unless must price prices pricing total subtotal list available call"
)


def resolve(
    tokens: list[Token], mentions: list[Mention], loose: list[int], book: NameBook, clean: Clean
) -> Reading:
    """Weigh the mentions of a line. `loose` are the words that nothing explains."""
    line = _Weighed(tokens, mentions, loose, book, clean)
    if not mentions:
        line.elided()
    named = [m for m in line.mentions if m.kind == MentionKind.SCIENTIFIC and m.plants]
    if not line.mentions or line.is_gear():
        return line.nothing()
    if line.is_letterhead():
        return Reading()
    if named:
        line.mentions = [m for m in line.mentions if not line.painted(m)]
        reading = line.by_scientific(named)
    elif any(m.kind == MentionKind.GENUS for m in line.mentions):
        reading = line.by_genus()
    elif any(not m.plants for m in line.mentions):
        return line.unknown_species()
    else:
        reading = line.by_common()
    return line.finish(reading)


class _Line:
    """The words of a line, the names on it, and the words that nothing explains."""

    def __init__(
        self,
        tokens: list[Token],
        mentions: list[Mention],
        loose: list[int],
        book: NameBook,
        clean: Clean,
    ):
        self.tokens, self.mentions, self.loose, self.book, self.clean = tokens, mentions, loose, book, clean
        self.stems = [t.stem for t in tokens]
        self.words = [i for i, s in enumerate(self.stems) if s not in RANKS]
        self.functions = sum(s in FUNCTION_WORDS for s in self.stems)

    def elided(self) -> None:
        """ "Hyacinths, Lettuce" among floating plants: the word water left out before a listed plant's
        name."""
        for i, word in enumerate(self.stems):
            entry = self.book.keys.get("water" + word)
            if (
                word in GENERIC
                and word not in PLAIN
                and entry
                and all(p in self.book.introduced for p in entry.plants)
            ):
                self.mentions.append(
                    Mention(i, i + 1, entry.plants, MentionKind.TRADE, self.tokens[i].text, entry.name, 2)
                )

    def is_gear(self) -> bool:
        """Whether the line sells a thing, a fish or a snail that only bears a plant's name."""
        sold = self.stems[: self._given_from()]
        things = {s for s in sold if s in HARDWARE or s in ANIMALS} - CARRIED
        covered = covered_by(self.mentions, len(self.tokens))
        things -= {s for s, c in zip(self.stems, covered) if c}
        if not things or any(
            m.kind == MentionKind.SCIENTIFIC and (m.plants or m.taken.lower() in self.book.genera)
            for m in self.mentions
        ):
            return False
        if not any(p in self.book.refused for m in self.mentions for p in m.plants):
            return True
        return all(self._names_a_thing(m) for m in self.mentions)

    def _given_from(self) -> int:
        """Where on the line begins what comes along with a plant: "Pickerelweed, comes with basket and fertilizer tablet"."""
        ends = [m.end for m in self.mentions if m.plants]
        given = (
            i
            for i, t in enumerate(self.tokens)
            if ends and i >= min(ends) and t.text.lower() in ("with", "includes", "including", "plus", "free")
        )
        return next(given, len(self.tokens))

    def _names_a_thing(self, m: Mention) -> bool:
        """Whether goods stand right behind a name, with no word of planting between: "water lily fertilizer"."""
        for i in range(m.end, min(m.end + 3, len(self.tokens))):
            if self.tokens[i].segment != self.tokens[m.start].segment or self.stems[i] in CARRIED:
                return False
            if self.stems[i] in _GOODS:
                return True
            if self.stems[i] not in _BETWEEN:
                return False
        return False

    def is_headed(self) -> bool:
        """Whether the line is a letter's head or a firm's name."""
        if LETTER_HEAD.match(self.clean.text) or any(s in FIRMS for s in self.stems):
            return True
        if _FIRM_IN_CAPITALS.match(self.clean.text):
            return True
        firm = _FIRM_IN_TITLE.match(self.clean.text)
        return firm is not None and all(self.tokens[i].start < firm.end() for i in self.loose)

    def is_label(self) -> bool:
        """Whether the line opens with a label of a plant's page, which tells of the plant and does not name it:
        "Soil Conditions: moist", "Attracts: birds"."""
        label, colon, _ = self.clean.text.partition(":")
        if not colon or len(label) > 40:
            return False
        words = [t.stem for t in self.tokens if t.start < len(label)]
        return 0 < len(words) <= 5 and all(
            (explains_itself(word) or word in FUNCTION_WORDS) and word not in _NAMING for word in words
        )

    def nothing(self) -> Reading:
        if self._is_mixed_lot():
            return self._sold_unnamed()
        loose = [i for i in self.loose if self.stems[i] not in HARDWARE and self.stems[i] not in ANIMALS]
        gear = any(s in HARDWARE or s in ANIMALS for s in self.stems) or self.is_headed()
        gear = gear or bool(_MEASURED.search(self.clean.text) or _POSTAL.search(self.clean.text))
        gear = gear or self.is_label()
        ends = tuple(self.tokens[i].text for i in loose)
        offered = _OFFERED.search(self.clean.text)
        if any(self.tokens[i].text.lower().endswith("aceae") for i in loose) and not offered:
            return Reading(kind=ReadingKind.NONE, loose_ends=ends)  # a family's name
        if not offered and (_CONTENTS.search(self.clean.text) or _SEE_PAGE.search(self.clean.text)):
            return Reading(kind=ReadingKind.NONE, loose_ends=ends)
        group = self._group() if loose and len(self.tokens) <= 4 and not gear else None
        if group and not offered:
            return group
        if loose and not offered and all(explains_itself(self.stems[i]) for i in loose):
            return Reading(kind=ReadingKind.NONE, loose_ends=ends)  # "attractive foliage"
        if gear or loose and self._is_said() and not self._opens_with_form():
            run = "" if gear else self.run_of_loose(1)
            return Reading(kind=ReadingKind.NONE, loose_ends=ends, phrase=run, aside=bool(run))
        told = [i for i in loose if self.stems[i] not in COLORS]
        group = self._group() if len(told) <= 1 else None
        if group:
            return group
        if loose:
            return Reading(kind=ReadingKind.UNKNOWN, phrase=self.phrase(loose), loose_ends=ends)
        return self._unnamed() or Reading()

    def _opens_with_form(self) -> bool:
        """Whether the line opens with two words and a cultivar in quotes, as a catalog's entry does: "Mazus reptans 'Albus' |
        White flowering form of the species"."""
        named = _NAMED_FORM.match(self.clean.text)
        return named is not None and not any(explains_itself(t.stem) for t in self.tokens[:2])

    def is_letterhead(self) -> bool:
        """Whether plants' names stand on the line in a firm's name or an address alone: "Cattail Creek Nursery, spring
        list"."""
        firm = _LETTERHEAD.match(self.clean.text)
        if firm is None or _OFFERED.search(self.clean.text):
            return False
        return all(
            self.tokens[m.end - 1].start < firm.end()
            or m.end < len(self.tokens)
            and self.tokens[m.end].text.lower().rstrip(".") in _ROADS
            for m in self.mentions
        )

    def _is_said(self) -> bool:
        """Whether the line is a sentence and no item: two words of grammar among five, or a verb among four, no price."""
        if len(self.tokens) >= 5 and self.functions >= 2:
            item = (
                len(self.tokens) <= 6
                and len(self.loose) > 1
                and _PRICED.search(self.clean.text)
                and _OFFICE.isdisjoint(self.stems)
            )
            return not item or not _VERBS.isdisjoint(self.stems)  # "blue star of the Nile $5" is for sale
        return (
            len(self.tokens) >= 4
            and not _VERBS.isdisjoint(self.stems)
            and not _PRICED.search(self.clean.text)
        )

    def _group(self) -> Reading | None:
        """A line that offers plants by the word for a whole group alone: "rush, 2 in plug", "lily, white"."""
        if len(self.tokens) > GROUP_WORDS or self.functions >= 2:
            return None
        for i, (token, word) in enumerate(zip(self.tokens, self.stems)):
            beside = i + 1 < len(self.stems) and self.tokens[i + 1].segment == token.segment
            after = self.stems[i + 1] if beside else ""
            if after in _NO_GROUP:
                continue
            plants: tuple[str, ...] = ()
            if word in _PLAIN_GROUPS:
                compound = i > 1 and self.clean.text[token.start - len(self.tokens[i - 1].text) - 2] == "-"
                last = compound and i + 1 == len(self.tokens)  # "slender-foot sedge"
                if token.text.lower() == word and (last or _OFFERED.search(self.clean.text)):
                    plants = (*self.book.groups.get(word, ()), *self.book.heads.get(word, ()))
            elif word not in PLAIN and i in self.loose:
                plants = self.book.heads.get(word, ())
            elif word in self.book.groups and _PRICED.search(self.clean.text):
                plants = self.book.groups[word]
            if plants:
                doubt = f'"{token.text}" is a word for a whole group of plants'
                return Reading(
                    kind=ReadingKind.PLANT,
                    candidates=tuple(dict.fromkeys(plants)),
                    doubts=(doubt,),
                    wide=True,
                )
        return None

    def _unnamed(self) -> Reading | None:
        """A line that sells a mixture of plants and names none."""
        kept = set(self.stems)
        text = self.clean.text
        offered = _OFFERED.search(text) or _KINDS.search(text) or _NUMBERED.search(text)
        mixture = kept & _MIXED and kept & _PLANTS and offered
        if not (mixture or kept & _SETS or kept & _PLANTS and _LOT.search(text)):
            return None
        if kept & _OFFICE or self.functions >= 2:
            return None
        return self._sold_unnamed()

    def _sold_unnamed(self) -> Reading:
        said = " ".join(t.text for t in self.tokens)[:60]
        return Reading(kind=ReadingKind.UNKNOWN, phrase=said, unnamed=True, together=True)

    def _is_mixed_lot(self) -> bool:
        """Whether the line sells a lot of several plants together, whatever the lot is called: "Pond plant collection "Bass
        Bungalow" 12 plants". A number of plants, or the word for plants beside a price, tells it from a kit of goods."""
        kept, text = set(self.stems), self.clean.text
        mixed = kept & _MIXED_LOTS or _VARIETY_PACK.search(text)
        if not mixed or kept & (_OFFICE | _GOODS) or self.functions >= 3:
            return False
        if _MANY_PLANTS.search(text) or _KINDS.search(text):
            return True
        return bool(kept & _PLANTS and _PRICED.search(text)) and kept.isdisjoint(HARDWARE - _MIXED_LOTS)

    def run_of_loose(self, least: int) -> str:
        """The longest run of at least so many words side by side that nothing explains, but for words of office."""
        best: list[int] = []
        run: list[int] = []
        for i in self.loose:
            joined = run and i == run[-1] + 1 and self.tokens[i].segment == self.tokens[run[-1]].segment
            run = [*run, i] if joined else [i]
            best = max(best, run, key=lambda r: sum(len(self.stems[w]) for w in r))
        if all(self.stems[i] in DESCRIBING for i in best):
            return ""  # "salt spray" describes
        said = " ".join(self.tokens[i].text for i in best)
        return said if len(best) >= least and len(said) >= ASIDE_LETTERS else ""

    def phrase(self, loose: list[int]) -> str:
        """The words of the first segment with an unexplained word, sizes and stock words left out."""
        if not loose:
            return ""
        segment = self.tokens[loose[0]].segment
        return " ".join(
            t.text
            for i, t in enumerate(self.tokens)
            if t.segment == segment and (i in loose or t.stem not in PLAIN)
        )[:60]

    def unknown_species(self) -> Reading:
        """A scientific name in no table: no common name beside it stands for it, but a refused plant's is
        repeated."""
        m = next(m for m in self.mentions if not m.plants)
        doubts = [
            f'"{o.written}" beside it is a name of {self.names(o.plants)}'
            for o in self.mentions
            if o.plants and not o.slip and self.alone(o) and all(p in self.book.refused for p in o.plants)
        ]
        genus = m.taken.lower() if m.taken.lower() in self.book.genera else ""
        kin = _flat(
            [p for p in o.plants if self.book.genus_of(p) == genus]
            for o in self.mentions
            if o.plants and not o.slip and not self.is_wide(o)
        )
        if genus and kin:  # "Purple milkweed, Asclepias purpurea": perhaps the one so called
            doubts.insert(0, f"{m.written} is not in our catalogue")
            return Reading(
                kind=ReadingKind.PLANT,
                candidates=kin,
                doubts=tuple(doubts),
                phrase=m.written,
                heading=genus,
                loose_ends=(m.written,),
            )
        return Reading(
            kind=ReadingKind.UNKNOWN,
            doubts=tuple(doubts),
            phrase=m.written,
            heading=genus,
            loose_ends=(m.written,),
        )

    def alone(self, m: Mention) -> bool:
        """Whether a common name stands by itself: no other word of a name right before or behind it."""
        for i in (m.start - 1, m.end):
            if 0 <= i < len(self.tokens) and self.tokens[i].segment == self.tokens[m.start].segment:
                inside = any(
                    o is not m and o.start <= i < o.end and o.kind in (MentionKind.COMMON, MentionKind.TRADE)
                    for o in self.mentions
                )
                if i in self.loose or inside:
                    return False
        return True

    def mostly_introduced(self, m: Mention) -> bool:
        return 2 * sum(p in self.book.introduced for p in m.plants) >= len(m.plants) > 0

    def is_wide(self, m: Mention) -> bool:
        return len(m.plants) >= NAME_WIDE or m.end - m.start == 1 and self.stems[m.start] in GENERIC

    def names(self, plants: Iterable[str]) -> str:
        names = [self.book.scientific[p] for p in plants]
        return ", ".join(names[:3]) + (f" and {len(names) - 3} more" if len(names) > 3 else "")


class _Weighed(_Line):
    """Weighs the names of a line against each other."""

    def by_scientific(self, named: list[Mention]) -> Reading:
        firm = [m for m in named if m.slip < 2] or named
        groups = _groups(firm)
        for m in named:
            if m not in firm and any(p in self.book.refused for p in m.plants):
                groups.append([p for p in m.plants if not any(p in g for g in groups)])
        groups = [g for g in groups if g]
        doubts = []
        if len(groups) > 1:
            doubts.append(
                "the names do not agree, or there are several plants: " + ", ".join(m.written for m in named)
            )
        kept = {p for g in groups for p in g}
        dropped = [
            m
            for m in firm
            if m.plants[0] not in kept
            and m.plants[0] in self.book.introduced
            and key_of(m.taken or m.written) == key_of(self.book.scientific[m.plants[0]])
        ]
        if dropped:  # an introduced plant's own name stands there, whatever else it may mean
            groups.append([m.plants[0] for m in dropped])
            doubts.append("the names do not agree: " + ", ".join(m.written for m in named))
        named_plants = {p for g in groups for p in g}
        extra: list[str] = []
        for m in self.mentions:
            if m.kind == MentionKind.SCIENTIFIC and not m.plants:
                if not same_plant_said(m, self.tokens, named_plants, self.book):
                    doubts.append(f"{m.written} is named too and is not in our catalogue")
            elif m.kind == MentionKind.GENUS and m.written.lower() in self.book.wandering_genera:
                doubts.append(f"shops sell several plants as {m.written.lower()}, some of them forbidden")
            elif (
                m.kind == MentionKind.GENUS
                and not named_plants & set(m.plants)
                and not self.tokens[m.start].quoted
                and not likened(m, self.tokens, self.book)
            ):
                if self.mostly_introduced(m) or (
                    m.slip == 0 and (m.written[0].isupper() or self.clean.text.islower())
                ):
                    doubts.append(f"{m.written} is named too")
                    extra += m.plants
            elif m.kind == MentionKind.CULTIVAR and not named_plants & set(m.plants):
                if not (self._own_genus(m, named_plants) or self._only_color(m)):
                    doubts.append(f"'{m.written}' is known as a cultivar of another plant")
                    extra += m.plants
            elif m.kind in (MentionKind.COMMON, MentionKind.TRADE):
                doubt = self._against(m, named_plants)
                if doubt:
                    doubts.append(doubt)
                    extra += m.plants
        for m in firm:
            below = self.book.below.get(key_of(m.taken or m.written), ())
            after = m.end
            while after < len(self.stems) and (self.stems[after] in RANKS or len(self.stems[after]) < 3):
                after += 1
            if after in self.loose and self.tokens[after].segment == self.tokens[m.start].segment:
                if set(below) - named_plants:
                    doubts.append(f"what stands behind {m.written} may name another of its kind")
                    extra += below
        groups = self._narrow(groups)
        candidates = _flat((*groups, extra))
        slips = [m for m in firm if m.slip and m.taken]
        if any(m.slip > 1 for m in firm):
            doubts.append(f"{firm[0].written} is only like {firm[0].taken or 'it'}")
        wandering = [m.written for m in firm if m.written.split()[0].lower() in self.book.wandering_genera]
        if any(self._own_common_name(m, named_plants) for m in self.mentions):
            wandering = []  # "Elodea canadensis, American waterweed": no shop's name for others
        if wandering:
            doubts.append(
                f"shops sell several plants as {wandering[0].split()[0].lower()}, some of them forbidden"
            )
        if DOUBT_WORDS & set(self.stems):
            doubts.append("the seller is not sure of the name")
        if len(groups) == 1 and len(groups[0]) > 1:
            doubts.append(f"{firm[0].written} is a name of several plants")
        return Reading(
            kind=ReadingKind.PLANT,
            candidates=candidates,
            sure=len(candidates) == 1 and not doubts,
            doubts=tuple(doubts),
            slip=f"{slips[0].written} is read as {slips[0].taken}" if slips else "",
            heading=self.book.genus_of(candidates[0]),
            sold_as=self.book.synonym_among([m.taken or m.written for m in firm], candidates[0]),
        )

    def _own_common_name(self, m: Mention, named: set[str]) -> bool:
        """Whether a native named by its scientific name also stands there by its own common name."""
        return m.kind in (MentionKind.COMMON, MentionKind.TRADE) and any(
            key_of(m.written) == key_of(self.book.common[p]) and p not in self.book.introduced for p in named
        )

    def _only_color(self, m: Mention) -> bool:
        """Whether a cultivar's name is no more than a color: it accuses no other plant ('Red')."""
        return all(self.stems[i] in COLORS for i in range(m.start, m.end))

    def painted(self, m: Mention) -> bool:
        """Whether words in small letters beside a scientific name describe and name no cultivar: "royal purple"."""
        if m.kind != MentionKind.CULTIVAR:
            return False
        joined = {t.text.lower() for t in self.tokens[max(0, m.start - 3) : m.start]} & CONNECTIVES
        return not joined and in_small(self.tokens, list(range(m.start, m.end)), self.clean)

    def _own_genus(self, m: Mention, named: set[str]) -> bool:
        genera = {self.book.genus_of(p) for p in named}
        return any(self.book.genus_of(p) in genera for p in m.plants)

    def _narrow(self, groups: list[list[str]]) -> list[list[str]]:
        """An old name with two meanings is settled by a common name beside it, unless that would clear a
        refused plant."""
        if len(groups) != 1 or len(groups[0]) == 1:
            return groups
        for m in self.mentions:
            if m.kind == MentionKind.COMMON and not m.slip:
                kept = [p for p in groups[0] if p in m.plants or p in self.book.refused]
                if any(p in m.plants for p in kept):
                    groups = [kept]
        return groups

    def _against(self, m: Mention, named: set[str]) -> str:
        """Why a common name beside a scientific one leaves doubt; empty if it does not."""
        others = [p for p in m.plants if p not in named]
        words = set(self.stems[m.start : m.end])
        if self._own_common_name(m, named):
            return ""
        if named & set(m.plants):
            if len(m.called) == 1 and not named & set(m.called):  # a trader's use of another's own name
                return f'"{m.written}" is the name of {self.names(m.called)}'
            refused = [p for p in others if p in self.book.refused]
            foreign = any(p in self.book.introduced for p in refused)
            if foreign and words & LOOKS and len(m.plants) < NAME_WIDE:
                return f'"{m.written}" is sold for {self.names(m.plants)} alike'
            genera = {self.book.genus_of(p) for p in m.plants}
            if (
                len(genera) > 2
                and len(m.plants) < NAME_WIDE
                and any(p in self.book.bound for p in refused)
                and named & self.book.submersed
            ):
                return f"shops sell {self.names(m.plants)} as {m.written.lower()}"
            return ""
        if self.is_wide(m) or m.slip > 1 and not self.mostly_introduced(m):
            return ""
        if likened(m, self.tokens, self.book):
            return ""
        all_refused = all(p in self.book.refused for p in m.plants)
        same_genus = {self.book.genus_of(p) for p in m.plants} & {self.book.genus_of(p) for p in named}
        if not self.alone(m) and (same_genus or not all_refused):
            return ""
        if m.slip and not all_refused:
            return ""
        return f'"{m.written}" is another plant\'s name ({self.names(m.plants)})'

    def by_genus(self) -> Reading:
        genera = [m for m in self.mentions if m.kind == MentionKind.GENUS]
        plants = _flat(m.plants for m in genera)
        heading = "" if genera[0].slip else genera[0].taken.lower() or genera[0].written.lower()
        cultivars = [
            m for m in self.mentions if m.kind == MentionKind.CULTIVAR and set(m.plants) & set(plants)
        ]
        if cultivars and len(genera) == 1:
            chosen = tuple(p for p in cultivars[0].plants if p in plants)
            several = (
                ()
                if len(chosen) == 1
                else (f"'{cultivars[0].written.strip(QUOTE)}' is a name of several plants",)
            )
            return Reading(
                kind=ReadingKind.PLANT,
                candidates=chosen,
                sure=not several and not genera[0].slip,
                doubts=several,
                heading=heading,
            )
        written = ", ".join(dict.fromkeys(m.written for m in genera))
        wandering = heading in self.book.wandering_genera
        doubts = [
            f"shops sell several plants as {heading}, some of them forbidden"
            if wandering
            else f"only the genus is named ({written})"
        ]
        if self.clean.quoted:
            plants = tuple(sorted(plants, key=lambda p: "hybrid" not in self.book.scientific[p]))
        common = [m for m in self.mentions if m.kind in (MentionKind.COMMON, MentionKind.TRADE)]
        first = [p for p in plants if any(p in m.plants for m in common)]
        extra = [
            p
            for m in common
            if not set(m.plants) & set(plants) and not self.is_wide(m) and self.alone(m)
            for p in m.plants
        ]
        if extra:
            doubts.append("the names on the line do not agree")
        unknown = [m.written for m in self.mentions if m.kind == MentionKind.SCIENTIFIC and not m.plants]
        if unknown:
            doubts.append(f"{unknown[0]} is not in our catalogue")
        called = [p for p in first if any(p in m.called for m in common)]
        return Reading(
            kind=ReadingKind.PLANT,
            candidates=_flat((called, first, plants, extra)),
            doubts=tuple(doubts),
            genus_only=True,
            heading=heading,
        )

    def by_common(self) -> Reading:
        found = [m for m in self.mentions if m.plants]
        narrow = [m for m in found if not self.is_wide(m)] or found
        if len(narrow) < len(found) and not any(
            set(w.plants) & set(m.plants) for w in found for m in narrow if w is not m
        ):
            narrow = found
        if (self.functions >= 2 or self.is_headed()) and all(
            self.is_wide(m) and not m.slip and self.stems[m.start] in GENERIC for m in found
        ):
            return Reading()
        groups = _groups(narrow)
        candidates = _flat(groups)
        doubts: list[str] = []
        m = narrow[0]
        owners = [p for p in m.called if p in self.book.refused and self.book.bound.get(p, 0) >= WELL_KNOWN]
        if len(groups) > 1:
            doubts.append("the line names several plants, or its names do not agree")
        elif len(candidates) > 1 and len(narrow) == 1 and len(m.called) == 1 and owners and not m.slip:
            candidates = tuple(owners)  # the listed plant whose own name this is
        elif len(candidates) > 1:
            doubts.append(f'"{m.written}" is a name of several plants')
        others = self._also_called(narrow)
        if others:
            doubts.append(f'"native" says nothing here: {self.names(others)} are sold so too')
            candidates = _flat((candidates, others))
        elif len(candidates) == 1 and (word := self._plant_word_in(m)):
            doubts.append(f'"{word}" is a word for other plants, and we read "{m.written}" as {m.taken}')
        if len(candidates) == 1:
            only = candidates[0]
            if all(n.kind == MentionKind.TRADE for n in narrow) and not owners:
                doubts.append(f'"{m.written}" is a trade name, not a plant\'s own')
            elif all(n.kind == MentionKind.CULTIVAR and not n.said_sp for n in narrow):
                doubts.append(f'"{m.written}" is a cultivar\'s name without its genus')
            elif (
                len(narrow) == 1
                and m.end - m.start == 1
                and key_of(m.written) != key_of(self.book.common[only])
                and not (owners or len(m.written) > 9)
            ):
                doubts.append(f'"{m.written}" alone may be another of its kind')
            beside = [m.start - 1] + ([m.end] if m.slip or m.end - m.start == 1 else [])
            for i in (
                i
                for i in beside
                if i in self.loose and self.tokens[i].segment == self.tokens[m.start].segment
            ):
                text = self.tokens[i].text
                if self.stems[i] in self.book.words_of.get(only, ()):
                    continue  # "yellow American lotus", which is also called yellow lotus
                short = (
                    len(text) == 3 and text.isalpha() and not explains_itself(self.stems[i])
                )  # "sea ox-eye daisy"
                if (len(text) > 3 or short) and not (text.isupper() and not m.written.isupper()):
                    doubts.append(f'"{text}" stands beside the name, and we do not know what it is')
        for n in narrow:  # "Elephant's ear, arrow arum": the first is a refused plant's own name, whatever else it is sold as
            owned = n.called and not n.slip and all(p in self.book.refused for p in n.called)
            if owned and not set(n.called) & set(candidates) and len(narrow) > 1:
                doubts.append(f'"{n.written}" is another plant\'s own name ({self.names(n.called)})')
                candidates = _flat((candidates, n.called))
        if any(n.slip > 1 for n in narrow):
            doubts.append(f'"{m.written}" is only like "{m.taken}"')
        slips = [n for n in narrow if n.slip and n.taken]
        return Reading(
            kind=ReadingKind.PLANT,
            candidates=candidates,
            sure=len(candidates) == 1 and not doubts,
            doubts=tuple(doubts),
            slip=f'"{slips[0].written}" is read as {slips[0].taken}' if slips else "",
            wide=all(self.is_wide(m) for m in found) or self._plural(candidates),
            heading=self._group_heading(found),
        )

    def _also_called(self, narrow: list[Mention]) -> tuple[str, ...]:
        """Plants to refuse that go by the same common name without "native", which a seller says of anything."""
        found: list[str] = []
        for m in narrow:
            words = m.taken.lower().split()
            if m.kind != MentionKind.SCIENTIFIC and len(words) == 2 and words[0] == "native":
                entry = self.book.keys.get(key_of(words[1]))
                plants = self.book.heads.get(stem(words[1]), ()) + (entry.plants if entry else ())
                found += [p for p in plants if p in self.book.refused and p not in m.plants]
        return tuple(dict.fromkeys(found))

    def _plant_word_in(self, m: Mention) -> str:
        """A word of a name read with a slip that is no slip, as other plants are called so: "American alder", read as elder."""
        own = {stem(w) for w in re.findall(r"[A-Za-z']+", m.taken)}
        if not m.slip or m.kind == MentionKind.SCIENTIFIC:
            return ""
        for i in range(m.start, m.end):
            word = self.stems[i]
            if word not in own and (word in self.book.heads or word in self.book.groups or word in GENERIC):
                return self.tokens[i].text
        return ""

    def _plural(self, candidates: tuple[str, ...]) -> bool:
        """Whether the line is like "Hardy Waterlilies": a few words, the last one plural, of many plants."""
        last = self.tokens[-1].text.lower()
        return len(candidates) > 2 and len(self.tokens) <= 4 and last.endswith("s") and stem(last) != last

    def _group_heading(self, found: list[Mention]) -> str:
        """The genus that most plants of a wide common name share ("Hardy Waterlilies")."""
        genera = [self.book.genus_of(p) for m in found for p in m.plants]
        best = max(dict.fromkeys(genera), key=genera.count) if genera else ""
        return best if genera.count(best) * 2 >= len(genera) else ""

    def _look_beside(self, reading: Reading, cultivar: str) -> Reading:
        """Take back "sure" where the line says more than the plant's own names and words that explain
        themselves."""
        plant, on = reading.candidates[0], (self.tokens, self.words, self.mentions)
        doubts: list[str] = []
        extra: list[str] = []
        also = other_plants(*on, plant, self.book, self.clean)
        for written, plants in also:
            if any(p in self.book.introduced for p in plants):
                doubts.append(f'"{written}" is named too ({self.names(plants)})')
                extra += plants
        if plant not in self.book.refused:
            written, plants = near_listed(*on, plant, self.book, self.clean)
            if plants:
                doubts.append(f'"{written}" is like a name of {self.names(plants)}')
                extra += plants
        form, plants = other_form(*on, plant, self.book, self.clean)
        if form:
            kin = (
                f"it could be {self.names(plants)}" if plants else "no form of it by that name is known here"
            )
            doubts.append(f'"{form}" stands behind the name: {kin}')
            extra += plants
        color = "" if form else color_form(self.tokens, self.mentions, plant, self.clean)
        left = unexplained(*on, plant, self.book, self.clean)
        if left:
            doubts.append(f'"{left}" is joined to it, and we do not know what it is')
        habit = other_habit(self.tokens, self.mentions, plant, self.book)
        if habit:
            doubts.append(f'"{habit}" stands behind the name, and this plant is none')
        land = self._land_abroad(plant)
        if land:
            doubts.append(f'"{land}" stands on the line, and no name of this plant tells of it')
        if self.clean.foreign:
            doubts.append("part of the line is in letters we can't read")
        beside = self.run_of_loose(2)
        return replace(
            reading,
            also=tuple(also),
            cultivar=cultivar or color,
            hybrid=self._hybrid(),
            loose_ends=self._loose_ends(),
            phrase=beside,
            aside=bool(beside),
            sure=not doubts,
            doubts=(*reading.doubts, *doubts),
            candidates=_flat((reading.candidates, extra)),
        )

    def _land_abroad(self, plant: str) -> str:
        """A land far from here on the line of a native: "Zizania aquatica (Manchurian wild rice)". Pests from there, and
        plants that it stands in for, are no doubt: "Japanese beetles", "unlike Asian kinds"."""
        own = self.book.words_of.get(plant, frozenset())
        for i in self.loose:
            after = self.stems[i + 1] if i + 1 < len(self.stems) else ""
            if (
                self.stems[i] in ABROAD - own
                and not self.tokens[i].quoted
                and after not in ANIMALS | _PESTS
                and _STANDS_IN.isdisjoint(self.stems[max(0, i - 4) : i])
            ):
                return self.tokens[i].text
        return ""

    def finish(self, reading: Reading) -> Reading:
        if reading.kind != ReadingKind.PLANT:
            return reading
        common = {
            key_of(m.written) for m in self.mentions if m.kind in (MentionKind.COMMON, MentionKind.TRADE)
        }
        quoted = [q for q in self.clean.quoted if key_of(q) not in common]
        found = [
            m.cultivar or m.written for m in self.mentions if m.kind == MentionKind.CULTIVAR or m.cultivar
        ]
        cultivar = (found or quoted or [""])[0].strip("'")
        reading = self._with_doubts(
            reading, (self._color_of_another(reading), self._gift(), self._replaced())
        )
        if reading.sure:
            return self._look_beside(reading, cultivar)
        reading = replace(reading, cultivar=cultivar, hybrid=self._hybrid(), loose_ends=self._loose_ends())
        several = len(reading.candidates) > 1 and (_MIXED_LOTS & set(self.stems))
        return replace(reading, shared=self._shared(reading), together=bool(several))

    def _with_doubts(self, reading: Reading, found: Iterable[tuple[str, tuple[str, ...]]]) -> Reading:
        """The reading with doubts and the plants that they bring in; a doubt without words is none."""
        told = [(words, plants) for words, plants in found if words]
        if not told:
            return reading
        return replace(
            reading,
            sure=False,
            doubts=(*reading.doubts, *(words for words, _ in told)),
            candidates=_flat((reading.candidates, *(plants for _, plants in told))),
        )

    def _color_of_another(self, reading: Reading) -> tuple[str, tuple[str, ...]]:
        """A flower color that the plant named never has and a refused one of its genus has: "Iris virginica (yellow)"."""
        genera = {self.book.genus_of(p) for p in reading.candidates}
        if genera.isdisjoint(COLORED):
            return "", ()
        named = {i for m in self.mentions for i in range(m.start, m.end)}
        colors = {w for i, w in enumerate(self.stems) if w in COLORS and i not in named}
        if len(colors) != 1:
            return "", ()  # "blue with a yellow signal" describes
        (color,) = colors
        other = COLOR_OF.get((next(iter(genera)), color)) if len(genera) == 1 else None
        if other is None or other in reading.candidates or other not in self.book.scientific:
            return "", ()
        return f'"{color}" is the color of {self.book.scientific[other]}', (other,)

    def _gift(self) -> tuple[str, tuple[str, ...]]:
        """A plant that comes with the one named, for nothing: "free hyacinth with order", "a bonus floater"."""
        if not _MAY_GIVE.search(self.clean.text.lower()):
            return "", ()
        for match in _GIFT.finditer(self.clean.text):
            span = range(*match.span("what"))
            inside = [i for i, t in enumerate(self.tokens) if t.start in span]
            if not inside or all(self.stems[i] in HARDWARE | _NO_GIFT for i in inside):
                continue
            refused = _flat(
                entry.plants
                for i in inside
                if (entry := self.book.keys.get("water" + self.stems[i]))
                and all(p in self.book.introduced for p in entry.plants)
            )
            said = " ".join(self.tokens[i].text for i in inside)
            return f'"{said}" comes with it, and we do not know which plant that is', refused
        return "", ()

    def _replaced(self) -> tuple[str, tuple[str, ...]]:
        """Whether the seller may send another plant: "or equal", "may substitute"."""
        lowered = self.clean.text.lower()
        match = _OR_ANOTHER.search(self.clean.text) if "or " in lowered or "sub" in lowered else None
        return (f'"{match.group()}": the seller may send another plant', ()) if match else ("", ())

    def _shared(self, reading: Reading) -> bool:
        """Whether one common name of several plants is all that stands there: exact, no refused plant among them, no
        further name, and nothing on the line that would leave a doubt of any of them."""
        found = [m for m in self.mentions if m.plants]
        if len(found) != 1 or reading.genus_only or reading.wide or len(reading.doubts) != 1:
            return False
        m = found[0]
        plain = m.kind == MentionKind.COMMON and not m.slip and not reading.cultivar and not reading.hybrid
        if not plain or len(reading.candidates) < 2 or set(reading.candidates) != set(m.plants):
            return False
        if any(p in self.book.refused for p in reading.candidates) or m.start - 1 in self.loose:
            return False
        joined = any(t.text.lower() in CONNECTIVES for t in self.tokens) or re.search(
            r"[&+/]", _NO_JOINT.sub(" ", self.clean.text)
        )
        if joined or not _MIXED.isdisjoint(self.stems):
            return False
        each = (
            self._look_beside(replace(reading, candidates=(p,), sure=True, doubts=()), "")
            for p in reading.candidates
        )
        return all(r.sure and not r.also for r in each)

    def _hybrid(self) -> bool:
        return any(t.text.lower() in HYBRID_WORDS for t in self.tokens)

    def _loose_ends(self) -> tuple[str, ...]:
        return tuple(self.tokens[i].text for i in self.loose)


def _groups(mentions: list[Mention]) -> list[list[str]]:
    """Mentions that can mean the same plant are narrowed to what they share; the others stand apart."""
    groups: list[list[str]] = []
    for m in sorted(mentions, key=lambda m: (len(m.plants), m.start)):
        for group in groups:
            if set(group) & set(m.plants):
                group[:] = [p for p in group if p in m.plants]
                break
        else:
            groups.append(list(m.plants))
    return groups


def _flat(lists: Iterable[Iterable[str]]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(p for some in lists for p in some))
