"""Words one slip of the pen from another: a letter changed, left out, put in, or two turned round."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import cache


@cache
def slips() -> Callable[..., int]:
    """The function that counts slips between two words, fetched once: an import costs more than the count."""
    from rapidfuzz.distance import OSA

    return OSA.distance


REMEMBERED = 20_000  # words asked for


class OneSlip:
    """An index of words by their halves. One slip leaves the first or the last half of a word as it was, unless it turns
    round the two letters in the middle."""

    def __init__(self, words: Iterable[str]):
        self.words = frozenset(words)
        self._asked: dict[str, list[str]] = {}  # a list asks for the same words again and again
        self._first: dict[str, list[str]] = {}
        self._last: dict[str, list[str]] = {}
        for word in sorted(self.words):
            half = len(word) // 2
            self._first.setdefault(word[:half], []).append(word)
            self._last.setdefault(word[half:], []).append(word)

    def near(self, word: str) -> list[str]:
        """The words that are this one or one slip from it."""
        found = self._asked.get(word)
        if found is None:
            if len(self._asked) >= REMEMBERED:
                self._asked.clear()
            found = self._asked[word] = self._look_up(word)
        return found

    def _look_up(self, word: str) -> list[str]:
        count = slips()
        size = len(word)
        half = size // 2
        turned = word[: half - 1] + word[half : half + 1] + word[half - 1 : half] + word[half + 1 :]
        found = {turned} & self.words if half else set()
        # a word of one letter less, as many, or one more has its half here
        for first in {(size - 1) // 2, half, (size + 1) // 2}:
            found.update(self._first.get(word[:first], ()))
        for last in {half, (size + 1) // 2, (size + 2) // 2}:
            found.update(self._last.get(word[size - last :], ()))
        return sorted(w for w in found if abs(len(w) - size) < 2 and count(word, w, score_cutoff=1) <= 1)
