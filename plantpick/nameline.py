"""A line with the names found on it: what stands beside them, and what it is when it names no plant that is
known: goods, a fish, a note, a letter's head, or a name in no table."""

from __future__ import annotations

from plantpick.namebook import NameBook
from plantpick.namefound import Mention, Reading, covered_by
from plantpick.nametext import (
    ANIMALS,
    CARRIED,
    FIRMS,
    FUNCTION_WORDS,
    GENERIC,
    HARDWARE,
    LETTER_HEAD,
    PLAIN,
    Clean,
    Token,
)

NAME_WIDE = 8  # a common name of so many plants is a word for a whole group


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
        if not things or any(m.kind == "scientific" for m in self.mentions):
            return False
        return not any(p in self.book.refused for m in self.mentions for p in m.plants)

    def nothing(self) -> Reading:
        loose = [i for i in self.loose if self.stems[i] not in HARDWARE and self.stems[i] not in ANIMALS]
        gear = any(s in HARDWARE or s in ANIMALS or s in FIRMS for s in self.stems) or bool(
            LETTER_HEAD.match(self.clean.text)
        )
        if not loose or gear or self.functions >= 2 and len(self.tokens) >= 5:
            return Reading(
                "none", loose_ends=tuple(self.tokens[i].text for i in loose), phrase=self.phrase(loose)
            )
        return Reading(
            "unknown", phrase=self.phrase(loose), loose_ends=tuple(self.tokens[i].text for i in loose)
        )

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
        m = next(m for m in self.mentions if not m.plants)
        return Reading("unknown", phrase=m.written, heading=m.taken.lower(), loose_ends=(m.written,))

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
