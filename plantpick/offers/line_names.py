"""A line with the names found on it: what stands beside them, and what it is when it names no plant that is
known: goods, a fish, a note, a letter's head, or a name in no table."""

from __future__ import annotations

import re

from plantpick.offers.match import Mention, Reading, covered_by
from plantpick.offers.name_index import NameBook
from plantpick.offers.normalize import RANKS, Clean, Token, stem
from plantpick.offers.words import (
    ANIMALS,
    CARRIED,
    COLOURS,
    DESCRIBING,
    FIRMS,
    FUNCTION_WORDS,
    GENERIC,
    HARDWARE,
    LETTER_HEAD,
    PLAIN,
)

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
_PLAIN_GROUPS = _stems("rush sedge fern grass")
_GOODS = _stems(
    "fertilizer fertiliser tablets pellets cutter rake remover herbicide algaecide decoy fountain spitter sculpture "
    "statue book skimmer nets poster"
)
_BETWEEN = _stems("pond plant stem root lake food weed water aquatic")
_MIXED = _stems("mix mixed mixture assorted assortment sampler collection selection package kit variety")
_PLANTS = _stems(
    "plant plants species wildflowers marginals emergents grasses sedges rushes forbs bog wetland"
)
_OFFICE = _stems(
    "ship shipped shipping shipment freight order orders minimum box boxes discount delivery charge fee "
    "surcharge unless must price prices pricing total subtotal list available call"
)


class NameLine:
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
                    Mention(i, i + 1, entry.plants, "trade", self.tokens[i].text, entry.name, 2)
                )

    def is_gear(self) -> bool:
        """Whether the line sells a thing, a fish or a snail that only bears a plant's name."""
        things = {s for s in self.stems if s in HARDWARE or s in ANIMALS} - CARRIED
        covered = covered_by(self.mentions, len(self.tokens))
        things -= {s for s, c in zip(self.stems, covered) if c}
        if not things or any(
            m.kind == "scientific" and (m.plants or m.taken.lower() in self.book.genera)
            for m in self.mentions
        ):
            return False
        if not any(p in self.book.refused for m in self.mentions for p in m.plants):
            return True
        return all(self._names_a_thing(m) for m in self.mentions)

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
        return bool(LETTER_HEAD.match(self.clean.text)) or any(s in FIRMS for s in self.stems)

    def nothing(self) -> Reading:
        loose = [i for i in self.loose if self.stems[i] not in HARDWARE and self.stems[i] not in ANIMALS]
        gear = any(s in HARDWARE or s in ANIMALS for s in self.stems) or self.is_headed()
        gear = gear or bool(_MEASURED.search(self.clean.text) or _POSTAL.search(self.clean.text))
        ends = tuple(self.tokens[i].text for i in loose)
        if gear or loose and self._is_said():
            run = "" if gear else self.run_of_loose(1)
            return Reading("none", loose_ends=ends, phrase=run, aside=bool(run))
        told = [i for i in loose if self.stems[i] not in COLOURS]
        group = self._group() if len(told) <= 1 else None
        if group:
            return group
        if loose:
            return Reading("unknown", phrase=self.phrase(loose), loose_ends=ends)
        return self._unnamed() or Reading()

    def _is_said(self) -> bool:
        """Whether the line is a sentence and no item: two words of grammar among five, or a verb among four, no price."""
        if len(self.tokens) >= 5 and self.functions >= 2:
            return True
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
                if token.text.lower() == word and _OFFERED.search(self.clean.text):
                    plants = (*self.book.groups.get(word, ()), *self.book.heads.get(word, ()))
            elif word not in PLAIN and i in self.loose:
                plants = self.book.heads.get(word, ())
            elif word in self.book.groups and _PRICED.search(self.clean.text):
                plants = self.book.groups[word]
            if plants:
                doubt = f'"{token.text}" is a word for a whole group of plants'
                return Reading("plant", tuple(dict.fromkeys(plants)), False, (doubt,), wide=True)
        return None

    def _unnamed(self) -> Reading | None:
        """A line that sells a mixture of plants and names none."""
        kept = set(self.stems)
        if not (kept & _MIXED and kept & _PLANTS and _OFFERED.search(self.clean.text)):
            return None
        if kept & _OFFICE or self.functions >= 2:
            return None
        return Reading("unknown", phrase=" ".join(t.text for t in self.tokens)[:60], unnamed=True)

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
        return Reading(
            "unknown", (), False, tuple(doubts), phrase=m.written, heading=genus, loose_ends=(m.written,)
        )

    def alone(self, m: Mention) -> bool:
        """Whether a common name stands by itself: no other word of a name right before or behind it."""
        for i in (m.start - 1, m.end):
            if 0 <= i < len(self.tokens) and self.tokens[i].segment == self.tokens[m.start].segment:
                inside = any(
                    o is not m and o.start <= i < o.end and o.kind in ("common", "trade")
                    for o in self.mentions
                )
                if i in self.loose or inside:
                    return False
        return True

    def mostly_introduced(self, m: Mention) -> bool:
        return 2 * sum(p in self.book.introduced for p in m.plants) >= len(m.plants) > 0

    def is_wide(self, m: Mention) -> bool:
        return len(m.plants) >= NAME_WIDE or m.end - m.start == 1 and self.stems[m.start] in GENERIC

    def names(self, plants) -> str:
        names = [self.book.scientific[p] for p in plants]
        return ", ".join(names[:3]) + (f" and {len(names) - 3} more" if len(names) > 3 else "")
