"""A line of an offer in words: its tokens, the names found on it, and the words that nothing explains."""

from __future__ import annotations

import re
from collections.abc import Iterable

from plantpick.offers.match import Mention, MentionKind
from plantpick.offers.name_index import NameBook
from plantpick.offers.normalize import RANKS, Clean, Token
from plantpick.offers.words import DESCRIBING, FUNCTION_WORDS, GENERIC, PLAIN

NAME_WIDE = 8  # a common name of so many plants is a word for a whole group
ASIDE_LETTERS = (
    7  # letters from which words beside a name are compared with refused plants' names (judgement)
)
_CROSS = re.compile("×| x ", re.I)
_HYBRID_WORDS = frozenset("hybrid hybrids hyb".split())


class LineInWords:
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

    def run_of_loose(self, least: int) -> str:
        """The longest run of unexplained words side by side, `least` of them or more; empty if they only describe."""
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

    def hybrid(self) -> bool:
        """Whether the line says that a hybrid is offered, in a word or by a cross in a native's name that has none: "Hibiscus x
        moscheutos"."""
        if not _HYBRID_WORDS.isdisjoint([t.text.lower() for t in self.tokens]):
            return True
        return "x" in self.stems and any(
            m.kind == MentionKind.SCIENTIFIC
            and "x" in self.stems[m.start + 1 : m.end]
            and not self.book.introduced.issuperset(m.plants)
            and not any(_CROSS.search(self.book.scientific[p]) for p in m.plants)
            for m in self.mentions
        )

    def loose_ends(self) -> tuple[str, ...]:
        return tuple(self.tokens[i].text for i in self.loose)


def groups_of(mentions: list[Mention]) -> list[list[str]]:
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


def flat(lists: Iterable[Iterable[str]]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(p for some in lists for p in some))
