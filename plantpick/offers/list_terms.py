"""What a seller says of a whole list in a sentence that names no plant: that others may come in their place, that they were dug
in the wild, that they go to some states only. Each is asked about, whatever the plants are."""

from __future__ import annotations

import re

from plantpick.offers.shipping_terms import only_to
from plantpick.offers.verdict import LineAnswer, OfferVerdict, Question, ReasonCode
from plantpick.vocabulary import STATES

_MAY_SAY = re.compile(r"substitut|subs\b|vary|equal|equiv|similar|dug|collect|harvest|gather|only", re.I)
_IN_PLACE = re.compile(
    r"\b(?:may|might|will|can|could|right to)(?: be)? substitut\w*|\bsubstitut\w+ (?:may|might|will|can|are|possible|allowed|made)\b|"
    r"\b(?:species|plants?|varieties) (?:may|might|will|can) vary\b|\bor (?:an? )?(?:equals?\b|equivalents?\b|similar (?:species|plants?))",
    re.I,
)
_NOT_IN_PLACE = re.compile(
    r"\b(?:not?|never|don'?t|doesn'?t|won'?t|without (?:asking|your))\b(?:\W+\w+){0,2}?\W+substitut|\bsubstitut\w+ (?:will|are|is) (?:not|never)",
    re.I,
)
_WILD = re.compile(
    r"\bwild[- ](?:dug|collected|harvested|gathered)\b|"
    r"\b(?:dug|collected|harvested|gathered)\b[^.;]{0,25}\b(?:wild|marsh(?:es)?|swamps?|ponds?|lakes?|ditch(?:es)?|bogs?|our (?:own )?land)\b",
    re.I,
)
_NOT_WILD = re.compile(
    r"\b(?:not?|never|none|nothing|isn'?t|aren'?t|without)\b[^.;]{0,30}\b(?:dug|collect\w*|harvest\w*|gather\w*|wild)|\bseeds?\b",
    re.I,
)


def is_promise(text: str) -> bool:
    """Whether a line says that nothing comes in a plant's place, or that none was dug in the wild."""
    return bool(_MAY_SAY.search(text)) and bool(
        _NOT_IN_PLACE.search(text) or _NOT_WILD.search(text) and _WILD.search(text)
    )


_NOTE = re.compile(r"\s*(?P<sign>[†‡§*#^]{1,3})\s*\w")
_SIGNS = re.compile(r"(?<=[\w)\]'])\s?(?P<sign>[†‡§*#^]{1,3})(?!\s?\d)(?=\s|$|[,;.])")


def notes_of(texts: list[str]) -> dict[int, int]:
    """Places of lines with the sign of a note, to the place of the note beneath them."""
    notes = {}
    for at, text in enumerate(texts):
        opens = _NOTE.match(text)
        if opens:
            notes[opens["sign"]] = at
    if not notes:
        return {}
    return {
        at: notes[sign["sign"]]
        for at, text in enumerate(texts)
        for sign in _SIGNS.finditer(text)
        if notes.get(sign["sign"], -1) > at
    }


def term_of_list(text: str, state: str) -> LineAnswer | None:
    """The answer to a line that names no plant and says something of all of them; None where it says nothing of that kind.
    `state` is the pond's."""
    if not _MAY_SAY.search(text):
        return None
    if _IN_PLACE.search(text) and not _NOT_IN_PLACE.search(text):
        return _asked(
            ReasonCode.IN_PLACE,
            "The seller may send other plants than the list names, and what comes is what you have in the pond.",
            "other plants may come in their place",
            "nothing in their place?",
            "Will you send nothing in the place of what I order without asking me first?",
        )
    if _WILD.search(text) and not _NOT_WILD.search(text):
        return _asked(
            ReasonCode.WILD_DUG,
            "Plants dug in the wild bring strays with them, and digging them may need a permit.",
            "dug in the wild",
            "nursery-grown instead?",
            "Which of them are grown at a nursery? With what permit were the others dug?",
        )
    states = only_to(text)
    if states and state not in states:
        return _asked(
            ReasonCode.NOT_SHIPPED,
            f"The seller ships to {' '.join(states)} only.",
            "the seller does not ship here",
            "why not shipped here?",
            f"You don't ship to {STATES[state][0]}. Which law stops you, and for which plants?",
        )
    return None


def _asked(code: ReasonCode, why: str, short: str, question: str, in_full: str) -> LineAnswer:
    """A line to ask about: the reason in full and in a few words, and the question the same two ways."""
    return LineAnswer(
        verdict=OfferVerdict.ASK,
        code=code,
        why=why,
        short=short,
        questions=(Question(question, in_full),),
    )
