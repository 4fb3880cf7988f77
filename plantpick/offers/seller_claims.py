"""What a seller says to put a buyer at ease, and why it changes nothing here."""

from __future__ import annotations

import re
from enum import StrEnum


class SellerClaim(StrEnum):
    """A word on the label that is no proof of how the plant behaves in a pond."""

    STERILE = "sterile"
    HYBRID = "hybrid"
    DWARF = "dwarf"
    NATIVE = "native"
    NOT_INVASIVE = "not invasive"

    @property
    def answer(self) -> str:
        """What to think of it, in a sentence."""
        return f'"{self.value.capitalize()}" changes nothing: {_ANSWERS[self]}.'


_ANSWERS = {
    SellerClaim.STERILE: "a plant without seed can still spread by its roots and by pieces",
    SellerClaim.HYBRID: "it can spread as its parents do",
    SellerClaim.DWARF: "it says how tall it grows, not how far it spreads",
    SellerClaim.NATIVE: "we go by your state's records and by how far it spreads",
    SellerClaim.NOT_INVASIVE: "we go by what it does in ponds and by the law",
}
_CLAIMS = {  # a word to look for first, since few lines claim anything
    SellerClaim.STERILE: ("ster", re.compile(r"\bsterile\b")),
    SellerClaim.HYBRID: ("hybrid", re.compile(r"\bhybrids?\b")),
    SellerClaim.DWARF: ("dwarf", re.compile(r"\bdwarf\b")),
    SellerClaim.NATIVE: ("native", re.compile(r"(?<!non-)(?<!non )(?<!not )\bnatives?\b")),
    SellerClaim.NOT_INVASIVE: (
        "invas",
        re.compile(r"\b(?:non|not|isn't|never|un)[ -]?(?:an? )?(?:\w+ )?invasive\b"),
    ),
}

_ANY_CLAIM = re.compile("|".join(word for word, _ in _CLAIMS.values()))


def claims_of(text: str) -> tuple[SellerClaim, ...]:
    """The claims on a line."""
    lowered = text.lower()
    if not _ANY_CLAIM.search(lowered):
        return ()
    return tuple(
        claim for claim, (word, pattern) in _CLAIMS.items() if word in lowered and pattern.search(lowered)
    )
