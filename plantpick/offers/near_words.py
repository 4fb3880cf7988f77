"""Words one slip of the pen apart: a letter wrong, lost or added, or two swapped."""

from __future__ import annotations


def deletions(words) -> dict[str, tuple[str, ...]]:
    """Every word less any one letter, to the words that it may have been."""
    out: dict[str, tuple[str, ...]] = {}
    for word in words:
        for i in range(len(word)):
            short = word[:i] + word[i + 1 :]
            found = out.get(short)
            if found is None:
                out[short] = (word,)
            elif word not in found:
                out[short] = (*found, word)
    return out


def near(word: str, full: dict, less: dict[str, tuple[str, ...]]) -> list[str]:
    """The words of `full` one slip from a word; `less` is `deletions(full)`."""
    from rapidfuzz.distance import OSA

    found = set(less.get(word, ()))
    for i in range(len(word)):
        short = word[:i] + word[i + 1 :]
        if short in full:
            found.add(short)
        found.update(less.get(short, ()))
    return sorted(w for w in found if OSA.distance(word, w, score_cutoff=1) <= 1)
