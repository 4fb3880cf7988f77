"""Firms' names: who sells, at the head of a line. "Cattail Creek Nursery, spring list" offers no cattail."""

from __future__ import annotations

import re
from dataclasses import dataclass

from plantpick.offers.words import stems_in

# What firms call themselves; what they are called after, too: only with a large letter; what they sell: only in capitals.
_BY_ITSELF = "nursery nurseries farm farms greenhouse greenhouses aquatics natives growers"
_WITH_LARGE_LETTER = "gardens wetlands supply ponds"
_IN_CAPITALS = "plants seeds"
_WORDS = f"{_BY_ITSELF} {_WITH_LARGE_LETTER} {_IN_CAPITALS}"
_STEMS = stems_in(_WORDS)
_NAME = re.compile(
    rf"\W*(?:(?:[A-Z][A-Za-z.'&-]*|&|and|of|the) ){{1,5}}(?P<word>(?i:{_WORDS.replace(' ', '|')}))\b"
)
_ENDED = re.compile(  # the line's end, a comma or dash, the year, or the word for the firm's list
    r"\s*$|\s*[-–|:,]|\s+20[2-9]\d\b|(?: [A-Za-z]+){0,2} (?i:list|catalogue?|prices?|inventory|availability|nursery|llc|inc)\b"
)


@dataclass(frozen=True, slots=True, kw_only=True)
class FirmName:
    """A firm's name at the head of a line: where it ends; whether the line ends there, too, or goes on as it does behind a
    firm's name; whether its word means a firm and nothing else; whether it has a large letter, and no small one."""

    end: int
    ended: bool
    by_itself: bool
    large: bool
    capitals: bool


def firm_at_head(text: str, stems: list[str]) -> FirmName | None:
    """The firm's name with which a line opens, of one to five words and one for a firm. `stems` are the line's words."""
    if _STEMS.isdisjoint(stems):
        return None
    found = _NAME.match(text)
    if found is None:
        return None
    word = found["word"]
    return FirmName(
        end=found.end(),
        ended=_ENDED.match(text, found.end()) is not None,
        by_itself=word.lower() in _BY_ITSELF.split(),
        large=word[0].isupper() and (word.lower() not in _IN_CAPITALS.split() or found.group().isupper()),
        capitals=found.group().isupper(),
    )
