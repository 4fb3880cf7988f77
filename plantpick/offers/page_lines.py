"""What stands on several lines of a page: a plant's two names one beneath the other, a name broken at the line's end; and
lines of a page that offer nothing, though they name plants: what buyers say, a letter's head."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import replace

from plantpick.offers.match import Reading, ReadingKind
from plantpick.offers.name_index import NameBook
from plantpick.offers.normalize import epithet_stem, key_of
from plantpick.offers.read_names import read_names
from plantpick.offers.shipping_terms import size_of

FEW_PAIRS = 2  # pairs of names one beneath the other from which a page is written so (judgement)
_SAYS_WHO = re.compile(r"\b(?:I|I've|I'm|my|mine)\b")
_BOUGHT = re.compile(
    r"\b(?:bought|ordered|purchased|received|got (?:these|this|it|them|mine)|arrived|(?:and|absolutely) love[ds]?|thriv(?:ed|ing)|"
    r"doing (?:great|well)|very (?:happy|pleased|healthy)|will (?:buy|order) (?:again|more)|last (?:year|summer|spring|week))\b",
    re.I,
)
_REVIEW = re.compile(
    r"\b(?:highly recommend|would recommend|verified (?:buyer|purchase)|(?:five|four|\d(?:\.\d)?) (?:out of 5 )?stars?|"
    r"arrived (?:in|quickly|healthy|alive|fast|on time|well)|great (?:plants?|seller|service)|customer reviews?)\b",
    re.I,
)
_ASKS = re.compile(
    r"\W*(?:do|does|would|will|could|can) (?:you|they|it)\b|\W*(?:how much|how many|what does|what do|what is|is there|are there)\b",
    re.I,
)
_LABELS = re.compile(r"\W*(?:regular price|sale price|unit price)\W*(?:/ ?per)?\W*", re.I)
_FIRST_WORD = re.compile(r"\W{0,2}([a-z]{3,})")
_NAME_LABEL = re.compile(r"\W*(?:\(|(?:botanical|scientific|latin|common) name\b|a\.?k\.?a\b)", re.I)
_CUT = re.compile(r"[A-Za-z]{2,}-$")


def is_review(text: str) -> bool:
    """Whether a line is a buyer's word on what he bought, and no offer."""
    if len(text) < 12 or "$" in text:
        return False
    return bool(_REVIEW.search(text) or _SAYS_WHO.search(text) and _BOUGHT.search(text))


def is_question(text: str) -> bool:
    """Whether a line asks a seller for a plant: "Do you have pickerelweed?"."""
    return text.rstrip().endswith("?") and bool(_ASKS.match(text))


def is_label_of_shop(texts: Sequence[str]) -> bool:
    """Whether "Sold out" among these lines is one of the labels that a shop's page always holds: "Regular price",
    "Unit price"."""
    return any(_LABELS.fullmatch(text) for text in texts)


def joined_lines(
    texts: Sequence[str],
    numbers: Sequence[int],
    priced: Sequence[bool],
    known: Mapping[str, Reading],
    book: NameBook,
) -> dict[int, tuple[int, Reading]]:
    """Lines that go on with the plant of a line above: place to the place of that line and what both say together.

    Two lines are one plant only where they are read as one for sure, read together, and where the second is the
    plant's other name: with a label, in brackets, or on a page that is written so throughout.
    """
    out: dict[int, tuple[int, Reading]] = {}
    pairs: dict[int, tuple[int, Reading]] = {}
    open_pairs = 0
    last: int | None = None
    for at, text in enumerate(texts):
        if not text.strip():
            continue
        above, last = last, at
        if above is None or not 0 < numbers[at] - numbers[above] <= 2 or above in out or above in pairs:
            continue
        broken = _broken(texts[above], text, known, book)
        if broken:
            out[at] = (above, broken)
            continue
        pair = _two_names(texts[above], text, known, book)
        if not pair or priced[above] and priced[at] or size_of(texts[above]) and size_of(text):
            continue
        labeled = _NAME_LABEL.match(text) or _NAME_LABEL.match(texts[above])
        if not labeled and _could_be_another(texts[above], text, pair, known, book):
            continue
        first = known.get(texts[above], Reading())
        settled = not any(p in book.refused for p in first.candidates) or len(first.candidates) == 1
        if labeled or settled:
            out[at] = (above, pair)
        else:
            pairs[at] = (above, pair)
        open_pairs += 1
    if open_pairs >= FEW_PAIRS:
        out.update(pairs)
    return out


def _could_be_another(
    first: str, second: str, pair: Reading, known: Mapping[str, Reading], book: NameBook
) -> bool:
    """Whether the common name of two lines is one that a plant to refuse bears too, and not this plant's own: "Elephant ear"
    under Peltandra virginica may be the next plant of a list."""
    (plant,) = pair.candidates[:1]
    common = first if _is_scientific(second, book) else second
    if key_of(common.strip(" ()")) == key_of(book.common[plant]):
        return False
    return any(p in book.refused and p != plant for p in known.get(common, Reading()).candidates)


def _two_names(first: str, second: str, known: Mapping[str, Reading], book: NameBook) -> Reading | None:
    """What two lines say together, where each names the plant and both leave no doubt."""
    one, other = known.get(first), known.get(second)
    if one is None or other is None or one.kind != ReadingKind.PLANT or other.kind != ReadingKind.PLANT:
        return None
    if not (one.sure or other.sure) or first == second or one.cultivar or other.cultivar:
        return None
    if len(first) > 60 or len(second) > 60 or set(one.candidates).isdisjoint(other.candidates):
        return None
    if one.slip or other.slip or _is_scientific(first, book) == _is_scientific(second, book):
        return None
    both = read_names(f"{first.strip()} ({second.strip(' ()')})", book)
    plant = both.candidates[:1]
    if not both.sure or plant[0] not in one.candidates or plant[0] not in other.candidates:
        return None
    return replace(both, beneath=False)


def _is_scientific(text: str, book: NameBook) -> bool:
    """Whether a scientific name stands in a text, its words apart or run together."""
    words = [w.lower() for w in re.findall(r"[A-Za-z]+", text)]
    if any(b in book.epithets.get(a, ()) for a, b in zip(words, words[1:])):
        return True
    entry = book.keys.get(key_of(text))
    return entry is not None and entry.scientific


def _broken(first: str, second: str, known: Mapping[str, Reading], book: NameBook) -> Reading | None:
    """What a line says with the next, where a name is broken between them: "Pontederia / cordata 2 in"."""
    one, other = known.get(first), known.get(second)
    begin = _FIRST_WORD.match(second)
    if one is None or other is None or one.sure or other.sure or not begin:
        return None
    head = first.rstrip()
    cut = bool(_CUT.search(head))
    words = head.rstrip("-").split()
    if not cut and (len(words) < 2 or words[-1].lower().strip("(,") not in book.epithets):
        return None
    if not cut:
        genus = words[-1].lower().strip("(,")
        if epithet_stem(begin.group(1)) not in book.epithet_stems.get(genus, ()):
            return None
    both = read_names(head.rstrip("-") + ("" if cut else " ") + second.lstrip(), book)
    return both if both.kind == ReadingKind.PLANT and both.sure else None
