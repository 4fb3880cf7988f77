"""What a line says beside a plant's name: a color, a gift, another plant that may be sent, a land, a form. None of it clears a
plant; some of it takes "sure" back."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import replace

from plantpick.offers.doubts import (
    color_form,
    joined_words,
    near_listed,
    other_form,
    other_habit,
    other_plants,
    unexplained,
)
from plantpick.offers.line_in_words import LineInWords, flat
from plantpick.offers.match import MentionKind, Reading, ReadingKind
from plantpick.offers.normalize import key_of
from plantpick.offers.words import (
    ABROAD,
    ANIMALS,
    COLORS,
    CONNECTIVES,
    HARDWARE,
    MIXED,
    MIXED_LOTS,
    explains_itself,
    stems_in,
)

# Genus and flower color that tell a refused plant from the natives of its genus: the yellow flag among the irises of wet
# ground, the sacred lotus by any color but the native's pale yellow (Flora of North America, Iris and Nelumbo).
COLOR_OF = {
    ("iris", "yellow"): "iris-pseudacorus",
    ("nelumbo", "pink"): "nelumbo-nucifera",
    ("nelumbo", "red"): "nelumbo-nucifera",
    ("nelumbo", "rose"): "nelumbo-nucifera",
    ("nelumbo", "white"): "nelumbo-nucifera",
}
COLORED = frozenset(genus for genus, _ in COLOR_OF)
# signs that join no second plant: "B&B" (balled and burlapped), "25+", "$95/C", "1/2"
_NO_JOINT = re.compile(r"\bB ?& ?B\b|\d[ )]?[+/]|/ ?(?:\d|each\b|ea\b|C\b|M\b)", re.I)
_GIFT = re.compile(
    r"(?:(?:\bwith|\bplus|\bincludes?|\bgets?|\+|&|\band) (?:an? |one |your )?(?:free|bonus|mystery|surprise|complimentary) |"
    r"\b(?:bonus|mystery|surprise|complimentary) |\bfree (?=(?:[a-z'-]+ ){1,3}?(?:with|w/|for|in|per|on) (?:an?y? |each |every |all |your )?"
    r"(?:order|purchase)))(?!of\b|from\b)(?P<what>(?:(?!with\b|w/|for\b|per\b|on\b|in\b)[a-z'-]+ ?){1,3})",
    re.I,
)
_MAY_GIVE = re.compile(r"free |bonus|mystery|surprise|complimentary")
_NO_GIFT = stems_in(
    "ship shipping shipped delivery freight postage catalog guide advice fertilizer tablet order orders purchase"
)
_OR_ANOTHER = re.compile(
    r"\bor (?:an? )?(?:approved )?(?:equals?|equiv(?:alents?|\.)?|similar|comparable|like (?:kind|plants?|species)|substitutes?|alternates?|"
    r"alternatives?)\b|\b(?:may|might|will|can|could) (?:be )?substituted?\b|\bsubs?(?:titut(?:es?|ions?))? (?:possible|allowed|ok(?:ay)?|"
    r"permitted|may|made)\b",
    re.I,
)
# who named plants of eastern North America: such a word stands behind a scientific name in lists (common practice, no source)
AUTHORS = frozenset(
    "linnaeus michaux walter nuttall torrey gray muhlenberg elliott engelmann britton small rafinesque pursh aiton miller fernald "
    "willdenow chapman rydberg wood lamarck marshall bigelow poiret persoon sprengel loudon wangenheim hooker greene mackenzie "
    "bailey moench bartram ehrhart salisbury lindley baldwin swartz kunth presl rostkovius schmidt vahl roth".split()
)
_UNSURE = stems_in(
    "hort auct complex type probably possibly perhaps maybe think unlabeled unlabelled unidentified unsure supposedly misc "
    "miscellaneous assorted etc friends others more mix ssp subsp improved plastic artificial fake faux hitchhikers"
)
_UNSURE_BEFORE = stems_in("assorted probably possibly perhaps maybe unidentified supposedly")
_QUESTIONED = re.compile(r"\?(?=\s|\)|$)|\s*\(\?\)")
_PESTS = stems_in("beetle beetles bee bees honeybees carp snail snails mite mites borer moth")
_STANDS_IN = stems_in("unlike alternative instead replace replaces replacement not than substitute")


def with_what_is_beside(line: LineInWords, reading: Reading) -> Reading:
    """The reading of the names, with the doubts that the rest of the line leaves and what it says of the plant."""
    if reading.kind != ReadingKind.PLANT:
        return reading
    common = {key_of(m.written) for m in line.mentions if m.kind in (MentionKind.COMMON, MentionKind.TRADE)}
    quoted = [q for q in line.clean.quoted if key_of(q) not in common]
    found = [m.cultivar or m.written for m in line.mentions if m.kind == MentionKind.CULTIVAR or m.cultivar]
    cultivar = (found or quoted or [""])[0].strip("'")
    reading = _with_doubts(
        line, reading, (_color_of_another(line, reading), _gift(line), _replaced(line), _unsure(line))
    )
    if reading.sure:
        return _look_beside(line, reading, cultivar)
    reading = replace(reading, cultivar=cultivar, hybrid=line.hybrid(), loose_ends=line.loose_ends())
    several = len(reading.candidates) > 1 and (MIXED_LOTS & set(line.stems))
    return replace(reading, shared=_shared(line, reading), together=bool(several))


def _look_beside(line: LineInWords, reading: Reading, cultivar: str) -> Reading:
    """Take back "sure" where the line says more than the plant's own names and words that explain
    themselves."""
    plant, on = reading.candidates[0], (line.tokens, line.words, line.mentions)
    doubts: list[str] = []
    extra: list[str] = []
    joined = joined_words(line.tokens, line.mentions, plant, line.clean)
    also = other_plants(*on, plant, line.book, line.clean, joined)
    for written, plants in also:
        if any(p in line.book.introduced for p in plants):
            doubts.append(f'"{written}" is named too ({line.names(plants)})')
            extra += plants
    if word := _beside_another(line, also):
        doubts.append(f'"{word}" stands beside a second plant, and we don\'t know what it is')
    if plant not in line.book.refused:
        written, plants = near_listed(*on, plant, line.book, line.clean)
        if plants:
            doubts.append(f'"{written}" is like a name of {line.names(plants)}')
            extra += plants
    form, plants = other_form(*on, plant, line.book, line.clean)
    if form:
        kin = f"it could be {line.names(plants)}" if plants else "no form of it by that name is known here"
        doubts.append(f'"{form}" stands behind the name: {kin}')
        extra += plants
    color = "" if form else color_form(line.tokens, line.mentions, plant, line.clean)
    color = color or _form_behind(line, plant)
    left = unexplained(*on, plant, line.book, line.clean, joined)
    if left:
        doubts.append(f'"{left}" is joined to it, and we don\'t know what it is')
    habit = other_habit(line.tokens, line.mentions, plant, line.book)
    if habit:
        doubts.append(f'"{habit}" stands behind the name, and this plant is none')
    land = _land_abroad(line, plant)
    if land:
        doubts.append(f'"{land}" stands on the line, and no name of this plant tells of it')
    if line.clean.foreign:
        doubts.append("part of the line is in letters we can't read")
    beside = line.run_of_loose(2)
    return replace(
        reading,
        also=tuple(also),
        cultivar=cultivar or color,
        hybrid=line.hybrid(),
        loose_ends=line.loose_ends(),
        phrase=beside,
        aside=bool(beside),
        sure=not doubts,
        doubts=(*reading.doubts, *doubts),
        candidates=flat((reading.candidates, extra)),
    )


def _form_behind(line: LineInWords, plant: str) -> str:
    """A word with a large letter right behind the name that nothing explains: a garden form without its quotes, as
    "Pontederia cordata Crown Point". A scientific name's author is none."""
    for m in line.mentions:
        i = m.end
        if m.slip or plant not in m.plants or i not in line.loose:
            continue
        token, before = line.tokens[i], line.tokens[i - 1]
        beside = line.clean.text[before.start + len(before.text) : token.start] == " "
        stopped = line.clean.text[token.start + len(token.text) :].startswith(".")
        known = token.stem in line.book.name_words or token.text.lower() in line.book.known_epithets
        if beside and token.text.istitle() and len(token.text) > 3 and not (stopped or known):
            if not explains_itself(token.stem) and token.text.lower() not in AUTHORS:
                return token.text
    return ""


def _beside_another(line: LineInWords, also: list[tuple[str, tuple[str, ...]]]) -> str:
    """A word that nothing explains right beside the name of a second plant, which may be another for it: "Royal Red maple; Viburnum
    dentatum"; empty if there is none."""
    for m in line.mentions:
        if (m.written, m.plants) in also:
            for i in (m.start - 1, m.end):
                inside = 0 <= i < len(line.tokens) and line.tokens[i].segment == line.tokens[m.start].segment
                if inside and i in line.loose and not explains_itself(line.stems[i]):
                    return line.tokens[i].text
    return ""


def _land_abroad(line: LineInWords, plant: str) -> str:
    """A land far from here on the line of a native: "Zizania aquatica (Manchurian wild rice)". Pests from there, and
    plants that it stands in for, are no doubt: "Japanese beetles", "unlike Asian kinds"."""
    own = line.book.words_of.get(plant, frozenset())
    for i in line.loose:
        after = line.stems[i + 1] if i + 1 < len(line.stems) else ""
        if (
            line.stems[i] in ABROAD - own
            and not line.tokens[i].quoted
            and after not in ANIMALS | _PESTS
            and _STANDS_IN.isdisjoint(line.stems[max(0, i - 4) : i])
        ):
            return line.tokens[i].text
    return ""


def _with_doubts(
    line: LineInWords, reading: Reading, found: Iterable[tuple[str, tuple[str, ...]]]
) -> Reading:
    """The reading with doubts and the plants that they bring in; a doubt without words is none."""
    told = [(words, plants) for words, plants in found if words]
    if not told:
        return reading
    return replace(
        reading,
        sure=False,
        doubts=(*reading.doubts, *(words for words, _ in told)),
        candidates=flat((reading.candidates, *(plants for _, plants in told))),
    )


def _color_of_another(line: LineInWords, reading: Reading) -> tuple[str, tuple[str, ...]]:
    """A flower color that the plant named never has and a refused one of its genus has: "Iris virginica (yellow)"."""
    genera = {line.book.genus_of(p) for p in reading.candidates}
    if genera.isdisjoint(COLORED):
        return "", ()
    named = {i for m in line.mentions for i in range(m.start, m.end)}
    colors = {w for i, w in enumerate(line.stems) if w in COLORS and i not in named}
    if len(colors) != 1:
        return "", ()  # "blue with a yellow signal" describes
    (color,) = colors
    other = COLOR_OF.get((next(iter(genera)), color)) if len(genera) == 1 else None
    if other is None or other in reading.candidates or other not in line.book.scientific:
        return "", ()
    return f'"{color}" is the color of {line.book.scientific[other]}', (other,)


def _gift(line: LineInWords) -> tuple[str, tuple[str, ...]]:
    """A plant that comes with the one named, for nothing: "free hyacinth with order", "a bonus floater"."""
    if not _MAY_GIVE.search(line.clean.text.lower()):
        return "", ()
    for match in _GIFT.finditer(line.clean.text):
        span = range(*match.span("what"))
        inside = [i for i, t in enumerate(line.tokens) if t.start in span]
        if not inside or all(line.stems[i] in HARDWARE | _NO_GIFT for i in inside):
            continue
        refused = flat(
            entry.plants
            for i in inside
            if (entry := line.book.keys.get("water" + line.stems[i]))
            and all(p in line.book.introduced for p in entry.plants)
        )
        said = " ".join(line.tokens[i].text for i in inside)
        return f'"{said}" comes with it, and we do not know which plant that is', refused
    return "", ()


def _unsure(line: LineInWords) -> tuple[str, tuple[str, ...]]:
    """What says right behind a name that the seller is not sure of it, or sells more than it: "Lythrum alatum?",
    "pickerelweed (probably)", "pickerelweed etc."."""
    asked = "?" in line.clean.text
    if not asked and _UNSURE.isdisjoint(line.stems):
        return "", ()
    for m in line.mentions:
        last = line.tokens[m.end - 1]
        rest = line.clean.text[last.start + len(last.text) :]
        if asked and m.plants and _QUESTIONED.match(rest):
            return "a question mark stands behind the name", ()
        for i in range(m.end, min(m.end + 2, len(line.tokens))) if m.plants else ():
            token = line.tokens[i]
            ended = i + 1 == len(line.tokens) or line.tokens[i + 1].segment != token.segment
            label = line.clean.text[token.start + len(token.text) :].startswith(":")
            if line.stems[i] in _UNSURE and ended and not label:
                return (
                    f'"{token.text}" behind the name: the seller is not sure of it, or sells more than it',
                    (),
                )
            if i not in line.loose and token.text.lower() not in CONNECTIVES and token.text != "I":
                break
        if m.plants and m.start > 0 and line.stems[m.start - 1] in _UNSURE_BEFORE:
            return f'"{line.tokens[m.start - 1].text}" stands before the name', ()
    return "", ()


def _replaced(line: LineInWords) -> tuple[str, tuple[str, ...]]:
    """Whether the seller may send another plant: "or equal", "may substitute"."""
    lowered = line.clean.text.lower()
    match = _OR_ANOTHER.search(line.clean.text) if "or " in lowered or "sub" in lowered else None
    return (f'"{match.group()}": the seller may send another plant', ()) if match else ("", ())


def _shared(line: LineInWords, reading: Reading) -> bool:
    """Whether one common name of several plants is all that stands there: exact, no refused plant among them, no
    further name, and nothing on the line that would leave a doubt of any of them."""
    found = [m for m in line.mentions if m.plants]
    if len(found) != 1 or reading.genus_only or reading.wide or len(reading.doubts) != 1:
        return False
    m = found[0]
    plain = m.kind == MentionKind.COMMON and not m.slip and not reading.cultivar and not reading.hybrid
    if not plain or len(reading.candidates) < 2 or set(reading.candidates) != set(m.plants):
        return False
    if any(p in line.book.refused for p in reading.candidates) or m.start - 1 in line.loose:
        return False
    joined = any(t.text.lower() in CONNECTIVES for t in line.tokens) or re.search(
        r"[&+/]", _NO_JOINT.sub(" ", line.clean.text)
    )
    if joined or not MIXED.isdisjoint(line.stems):
        return False
    each = (
        _look_beside(line, replace(reading, candidates=(p,), sure=True, doubts=()), "")
        for p in reading.candidates
    )
    return all(r.sure and not r.also for r in each)
