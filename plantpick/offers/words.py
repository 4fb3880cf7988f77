"""The room's word lists: what on a line names no plant, describes one, or joins a second thing to it.

The lists are text files in words/ beside this file. They belong to the program as its code does: they are read when
this module is imported, and nothing else is opened.
"""

from __future__ import annotations

import re
from importlib import resources

from plantpick.offers.normalize import stem


def _as_written(name: str) -> frozenset[str]:
    """The words of one list; lines that open with # are remarks."""
    text = resources.files("plantpick.offers").joinpath("words", f"{name}.txt").read_text(encoding="utf-8")
    return frozenset(word for line in text.splitlines() if not line.startswith("#") for word in line.split())


def _stems(*names: str) -> frozenset[str]:
    return frozenset(stem(word) for name in names for word in _as_written(name))


def stems_in(words: str) -> frozenset[str]:
    """The stems of some words, for a list that one file alone needs."""
    return frozenset(map(stem, words.split()))


PLAIN = _stems("trade", "places", "page")  # of the trade: a line of nothing else sells no plant
HARDWARE = _stems("hardware")
ANIMALS = _stems("animals")
CARRIED = _stems("carried")  # goods that come with a plant
FUNCTION_WORDS = _as_written("function")
DESCRIBING = _stems("describing")
CONNECTIVES = _as_written("connectives")  # "and", "with", "plus"
SAME_PLANT = _stems("same_plant")  # "syn.", "formerly"
SAYING = _stems("saying")  # verbs: what follows is said of the plant
PLAIN_EPITHETS = _as_written("plain_epithets")
FORM_EPITHETS = _as_written("form_epithets")
FIRMS = _stems("firms")
ABROAD = _stems("abroad")  # "Chinese": lands that no native's name tells of
COLORS = _as_written("colors")
NEVER_LAST = frozenset(
    "a an as and at by for from in is it of on or than that the to with which".split()
)  # in no name
GENERIC = _stems("groups")  # names of whole groups of plants
# several plants sold as one lot, and what may also stand beside one
MIXED_LOTS = stems_in("mix mixed mixture assorted assortment sampler collection package kit variety")
MIXED = MIXED_LOTS | stems_in("selection")
# What opens a line of an e-mail's head, and what firms call themselves.
LETTER_HEAD = re.compile(
    r"\W*(?:from|to|subject|date|sent|cc|bcc|re|fw|fwd|reply-to|tel|phone|e-?mail|web|website|"
    r"fax|attn|address|customer|client|bill to|ship to|sold to|name|order|invoice|quote|example|sample)"
    r"\s*(?:no\.?|#)?\s*:",
    re.I,
)


def explains_itself(word: str) -> bool:
    """Whether the stem of a word is one of grammar, trade, color, size, light, season, place or use."""
    return word in _SELF_EXPLAINED or len(word) < 3


_SELF_EXPLAINED = PLAIN | DESCRIBING | FUNCTION_WORDS | HARDWARE | ANIMALS | FIRMS | COLORS | CONNECTIVES
