"""From words on paper to a plant, or to several: every name on a line is found, exact first, then one slip away.

A line that leaves any doubt keeps all its candidates; nothing here decides what you may buy.
"""

from __future__ import annotations

import re
import unicodedata
from dataclasses import replace

from plantpick.offers.doubts import unknown_names
from plantpick.offers.exact_match import (
    abbreviated,
    beneath_heading,
    cultivars_of_genera,
    exact,
    more_epithets,
    shortened,
    whole_cultivars,
)
from plantpick.offers.fuzzy_match import one_slip
from plantpick.offers.match import Mention, MentionKind, Reading, ReadingKind, covered_by, without_overlap
from plantpick.offers.name_index import NameBook
from plantpick.offers.normalize import RANKS, epithet_stem, key_of, stem, take_apart
from plantpick.offers.resolve import resolve
from plantpick.offers.words import PLAIN, explains_itself


def read_names(text: str, book: NameBook, heading: str = "", recent: dict[str, str] | None = None) -> Reading:
    """Read one line. `heading` is the genus of the heading above it; `recent` the last genus by its first
    letter."""
    if not text.isascii() and text.lstrip().startswith("©"):
        return Reading()  # a page's last line
    if "," in text:
        text = _comma_in_name(text, book)
    clean = take_apart(_one_genus(text, book) if "(" in text else text)
    tokens = [t for t in clean.tokens if t.text not in ("s", "th")]
    if not tokens:
        return _in_other_letters(text) or Reading()
    words = [i for i, t in enumerate(tokens) if t.stem not in RANKS]
    mentions = exact(tokens, words, book, clean)
    mentions += whole_cultivars(tokens, words, book, mentions)
    short = shortened(tokens, words, book, clean) if "." in clean.text else []
    mentions = [m for m in mentions if not any(o.start <= m.start < o.end for o in short)] + short
    cut = abbreviated(tokens, words, book, mentions, heading, recent or {}, clean)
    if cut:  # "A. asperula": an epithet, though a genus is called so too
        mentions = [
            m for m in mentions if m.kind != MentionKind.GENUS or all(m.start != o.end - 1 for o in cut)
        ] + cut
    covered = covered_by(mentions, len(tokens))
    loose = [i for i in words if not covered[i] and len(tokens[i].stem) > 2 and tokens[i].stem not in PLAIN]
    if loose or not mentions:
        mentions = one_slip(tokens, words, book, mentions, loose, clean)
    below = beneath_heading(tokens, words, book, mentions, heading) if heading else []
    if below:
        own = range(below[0].start, below[0].end)
        mentions = [
            m
            for m in mentions
            if not ((m.slip or m.end - m.start == 1) and m.start < own.stop and own.start < m.end)
        ] + below
    cultivars = cultivars_of_genera(tokens, words, book, mentions, clean, heading)
    mentions += more_epithets(tokens, loose, book, mentions)
    if heading and clean.quoted and not mentions and not cultivars:
        at = [i for i in words if tokens[i].quoted] or words[:1]
        below = [
            Mention(
                at[0],
                at[-1] + 1,
                book.genera[heading],
                MentionKind.GENUS,
                heading.capitalize(),
                heading.capitalize(),
            )
        ]
        mentions += below
    mentions += cultivars
    unknown = unknown_names(tokens, words, mentions, book, clean)
    if any(m.plants or m.taken.lower() in book.genera for m in (*mentions, *unknown)):
        mentions = without_overlap(mentions, unknown)
    covered = covered_by(mentions, len(tokens))
    loose = [i for i in words if not covered[i] and len(tokens[i].stem) > 2 and tokens[i].stem not in PLAIN]
    reading = resolve(tokens, mentions, loose, book, clean)
    if reading.kind != ReadingKind.PLANT and not reading.unnamed:
        reading = _in_other_letters(text) or reading
    beneath = bool(below) or any(m.said_sp for m in cultivars)
    return replace(reading, beneath=True) if beneath else reading


def _in_other_letters(text: str) -> Reading | None:
    """What a line written mostly in letters that are not ours offers: something that we cannot read."""
    if text.isascii():
        return None
    letters = [c for c in text if c.isalpha()]
    other = [c for c in letters if not unicodedata.name(c, "LATIN").startswith("LATIN")]
    if len(other) < 2 or 2 * len(other) <= len(letters):
        return None
    return Reading(kind=ReadingKind.UNKNOWN, phrase=" ".join(text.split())[:60])


_OPENS_WITH_COMMA = re.compile(r"(\W*(?:\d+\W+)?)([A-Za-z]{4,}),\s*([A-Za-z-]{4,})\b")


def _comma_in_name(text: str, book: NameBook) -> str:
    """ "PHALARIS, ARUNDINACEA PICTA": the comma behind a genus with which the line opens, before an epithet of its own, is none."""
    match = _OPENS_WITH_COMMA.match(text)
    if match is None or match[3].lower() not in book.epithets.get(match[2].lower(), ()):
        return text
    return f"{match[1]}{match[2]} {match[3]}{text[match.end() :]}"


_IN_BRACKETS = re.compile(r"\b([A-Za-z]{3,}) *\( *([A-Z][a-z]{2,})\.? *\) *(?:x )?([a-z]{3,})\b")


def _one_genus(text: str, book: NameBook) -> str:
    """ "Osmundastrum (Osmunda) cinnamomeum": the old genus in brackets is put behind, with the epithet if it has
    it."""

    def turned(match: re.Match) -> str:
        before, inside, epithet = match.groups()
        has = epithet_stem(epithet) in book.epithet_stems.get(inside.lower(), ())
        if epithet_stem(epithet) in book.epithet_stems.get(before.lower(), ()):
            return f"{before} {epithet} ({inside} {epithet})" if has else f"{before} {epithet}"
        if has and key_of(before) in book.keys and before.lower() not in book.genera:
            return f"{before} ({inside} {epithet})"
        if before[0].isupper() and not (explains_itself(stem(epithet)) or explains_itself(stem(before))):
            return f"{before} {epithet} ({inside} {epithet})" if has else f"{before} {epithet} ({inside})"
        return match.group()

    return _IN_BRACKETS.sub(turned, text)
