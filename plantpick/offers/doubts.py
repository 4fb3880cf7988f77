"""What a line says beside the plant that it seems to name: a scientific name in no table, a second plant, a word
that nothing explains, a name one slip from a listed one. Each of them forbids to be sure."""

from __future__ import annotations

import re
from functools import lru_cache

from plantpick.offers.match import Mention, MentionKind
from plantpick.offers.name_index import LONGEST, SHORTEST_NEAR, NameBook, squeezed
from plantpick.offers.normalize import Clean, Token, epithet_stem, stem
from plantpick.offers.words import (
    COLORS,
    CONNECTIVES,
    FIRMS,
    FORM_EPITHETS,
    FUNCTION_WORDS,
    GENERIC,
    PLAIN,
    PLAIN_EPITHETS,
    SAME_PLANT,
    SAYING,
    explains_itself,
)

# how genera and epithets end; English words that end so are told apart by the word lists
_LATIN_GENUS = re.compile(r"(?:a|us|um|is|on|os|as|es|[aeioy]x|ne|oe|le|ys|er|en|o|ops)$")
_LATIN_EPITHET = re.compile(r"(?:a|us|um|is|e|i|ae|ens|ans|or|[aeioy]x|on|os|er|ar|es|as|ops|o|ys|u)$")
_ENDS_NO_NAME = FUNCTION_WORDS | CONNECTIVES
_LATIN_FIRMLY = re.compile(r"(?:a|us|um|is|i|ae|ens|ans|ense)$")
# endings of words that say how or what for, and of words for plants
_SAYS_HOW = re.compile(r"(?:[^e]ed|ing|ably|ibly|ally|ily|tion|sion|ness|able|ible|ful|less|ity|ously|ish)$")
_PLANT_WORD = re.compile(
    r"(?:wort|weed|grass|flower|lily|fern|rush|root|berry|bush|leaf|cress|moss|reed|thorn|bane|tongue|foot|cup|"
    r"tail|lettuce|cabbage|feather|foil|mint|vine|tree|bean|pea|plant|bamboo|iris|lotus|milfoil|oid)$"
)

_LIKE = frozenset(
    stem(w) for w in "like type form shape shaped style family looking lookalike alternative".split()
)
_SMALL_LETTER, _LARGE_LETTER = re.compile(r"[a-z]"), re.compile(r"[A-Z]")
_STOPS = re.compile(r"[,;:|()\[\]\t\n]|\s-+\s|--")
_SIGN = re.compile(r"[+&]")
_AND_MORE = re.compile(r"^[^+&]*\d\+[^+&]*$")  # "25+ lbs"
_DIGIT = re.compile(r"\d")
MANY_AUTHORS = 8  # words behind a scientific name in which its authors stand (judgement)


# ------------------------------------------------------------------ scientific names in no table


def unknown_names(
    tokens: list[Token], words: list[int], mentions: list[Mention], book: NameBook, clean: Clean
) -> list[Mention]:
    """Pairs of words written like a genus with its epithet that no name of the tables explains."""
    explained: set[int] = set()
    named: set[int] = set()
    for m in mentions:
        if m.kind == MentionKind.SCIENTIFIC and m.plants and m.slip < 2:
            explained.update(range(m.start, m.end))
        if m.end - m.start > 1 or m.kind == MentionKind.SCIENTIFIC:
            named.update(range(m.start, m.end))
    case = _case(clean.text)
    out: list[Mention] = []
    for a in range(len(words)):
        i = words[a]
        genus = tokens[i]
        if i in named or genus.quoted:
            continue
        if i + 1 < len(tokens) and tokens[i + 1].text.lower() in ("sp", "spp", "species"):
            if _could_be_genus(genus, book) and genus.text.lower() not in book.genera:
                out.append(_unknown(tokens, i, i + 2))
            continue
        if a + 1 == len(words):
            continue
        k = words[a + 1]
        epithet = tokens[k]
        if k in named or epithet.quoted or genus.segment != epithet.segment:
            continue
        if any(tokens[j].stem in ("var", "ssp", "subsp", "f", "fo", "forma", "cv") for j in range(i + 1, k)):
            continue
        if _is_binomial(genus, epithet, i, case, book, clean, explained):
            out.append(_unknown(tokens, i, k + 1))
    return out


def _unknown(tokens: list[Token], start: int, end: int) -> Mention:
    genus = tokens[start].text
    words = [f"{genus}." if len(genus) == 1 else genus, *(t.text for t in tokens[start + 1 : end])]
    return Mention(start, end, (), MentionKind.SCIENTIFIC, " ".join(words), genus.capitalize())


@lru_cache(maxsize=1024)
def _case(text: str) -> str:
    """Whether a line is written in large letters alone, in small ones alone, or in both."""
    if not _SMALL_LETTER.search(text):
        return "upper"
    return "mixed" if _LARGE_LETTER.search(text) else "lower"


def _could_be_genus(token: Token, book: NameBook) -> bool:
    return (
        len(token.text) > 3
        and not explains_itself(token.stem)
        and token.stem not in book.name_words
        and bool(_LATIN_GENUS.search(token.text.lower()))
    )


def _is_binomial(
    genus: Token, epithet: Token, at: int, case: str, book: NameBook, clean: Clean, explained: set[int]
) -> bool:
    g, e = genus.text.lower(), epithet.text.lower()
    latin_e = bool(_LATIN_EPITHET.search(e))
    also_epithet = e in PLAIN_EPITHETS
    said = explains_itself(epithet.stem) and not also_epithet
    word_of_names = epithet.stem in book.name_words and e not in book.known_epithets
    in_small = epithet.text.islower() and case == "mixed"
    if len(genus.text) == 1:  # "C. barbinervis", but not the author in "Juncus effusus L. solutus"
        stopped = clean.text[genus.start + 1 : genus.start + 2] == "."
        author = at - 1 in explained or at - 2 in explained
        free = not said and not word_of_names and not also_epithet and len(e) > 3
        return genus.text.isupper() and stopped and not author and in_small and latin_e and free
    if len(g) < 3 or len(e) < 3 or said or word_of_names:
        return False
    strong = in_small and genus.text[0].isupper() and genus.text[1:].islower()
    if g in book.genera:
        return strong or (latin_e and not also_epithet and len(e) > 3 and _alike(genus, epithet))
    if explains_itself(genus.stem):
        return False
    latin_g = bool(_LATIN_GENUS.search(g))
    if also_epithet:  # "Tampa Florida" is a place, but a line may open with a name in whatever letters
        opens = at == 0 or clean.text[: genus.start].rstrip().endswith(("(", "["))
        return latin_g and genus.stem not in book.name_words and (strong or opens and _alike(genus, epithet))
    if strong:
        return bool(_LATIN_FIRMLY.search(e)) or latin_g and (latin_e or genus.stem not in book.name_words)
    if genus.stem in book.name_words and not (latin_g and _LATIN_FIRMLY.search(e)):
        return False
    return latin_g and latin_e and len(g) > 3 and len(e) > 3 and _alike(genus, epithet)


def _alike(genus: Token, epithet: Token) -> bool:
    """Whether both words are written alike: all small, all large, or each with a large letter."""
    return (
        genus.text.isupper() == epithet.text.isupper()
        and genus.text[0].isupper() == epithet.text[0].isupper()
    ) or (genus.text[0].isupper() and epithet.text.islower())


def same_plant_said(m: Mention, tokens: list[Token], plants: set[str], book: NameBook) -> bool:
    """Whether an unknown name is called a synonym on the line and is a known epithet in another genus:
    "Pontederia cordata (syn. Unisema cordata)"."""
    before = {tokens[i].stem for i in range(max(0, m.start - 3), m.start)}
    if not before & SAME_PLANT:
        return False
    own = {epithet_stem(e) for p in plants for e in book.epithets_of.get(p, ())}
    return epithet_stem(tokens[m.end - 1].text) in own


# ------------------------------------------------------------------ other plants on the line


def other_plants(
    tokens: list[Token],
    words: list[int],
    mentions: list[Mention],
    plant: str,
    book: NameBook,
    clean: Clean,
    joined: dict[int, bool],
) -> list[tuple[str, tuple[str, ...]]]:
    """Names on the line that are not the plant's own: as written, with the plants that they may mean. `joined` are the words
    of `joined_words`."""
    runs: dict[int, list[int]] = {}
    for i in words:
        runs.setdefault(tokens[i].segment, []).append(i)
    alone = {run[0] for run in runs.values() if len(run) == 1}
    own = book.words_of.get(plant, frozenset())
    ahead = {  # "rush  Helianthus angustifolius": two things with no sign between
        run[0]
        for m in mentions
        if m.kind == MentionKind.SCIENTIFIC and plant in m.plants
        for run in (runs.get(tokens[m.start].segment, [0]),)
        if run[0] == m.start - 1
    }
    out: list[tuple[str, tuple[str, ...]]] = []
    for m in mentions:
        if plant in m.plants and _joined_by_kin(m, tokens, mentions, plant, clean):
            out.append((m.written, tuple(p for p in m.plants if p != plant)))
        if not m.plants or plant in m.plants or m.kind == MentionKind.GENUS and tokens[m.start].quoted:
            continue
        if m.kind == MentionKind.CULTIVAR and (
            _of_one_genus(m.plants, plant, book)
            and not any(p in book.refused for p in m.plants)
            or of_many_genera(m.plants, book)
            or own_epithet(m, tokens, {plant}, book)
        ):
            continue
        if own_word(m, tokens, {plant}, book, clean):
            continue
        if m.slip and not any(p in book.refused for p in m.plants):
            continue
        if m.slip and all(explains_itself(tokens[i].stem) for i in range(m.start, m.end)):
            continue
        if likened(m, tokens, book) and not joined.get(m.start):
            continue
        if m.kind == MentionKind.CULTIVAR and all(tokens[i].stem in COLORS for i in range(m.start, m.end)):
            continue
        if m.end - m.start == 1 and not joined.get(m.start):
            after = tokens[m.end].stem if m.end < len(tokens) else ""
            word = tokens[m.start].stem
            if after in _LIKE or word in own and (word in GENERIC or word in book.groups):
                continue
            if m.start not in alone and m.start not in ahead and (word in COLORS or explains_itself(word)):
                continue
        out.append((m.written, m.plants))
    covered = {i for m in mentions for i in range(m.start, m.end)}
    uncovered = [i for i in words if i not in covered]
    for i in uncovered:
        word = tokens[i].stem
        if i in joined or i in alone:
            plants = book.groups.get(word) or book.short_names.get(word, ())
            if plants and plant not in plants and not (word in own and i not in joined):
                if i in joined or not {plant, *plants} <= book.submersed:
                    out.append((tokens[i].text, plants))
    for i in ahead - covered:
        word = tokens[i].stem
        plants = book.groups.get(word) or book.heads.get(word) or book.short_names.get(word, ())
        if plants and plant not in plants and word not in own and not tokens[i].quoted:
            out.append((tokens[i].text, plants))
    free: list[list[int]] = []
    if uncovered:
        parts = [[i for i in run if i not in covered] for run in runs.values()]
        together = [[i for i in run if i in joined] for run in parts] if joined else []
        free = [*parts, *together, *([i] for i in uncovered if not tokens[i].quoted)]
    for some in free:
        plants = book.cultivars.get("".join([tokens[i].stem for i in some]), ()) if some else ()
        if (
            not plants
            or plant in plants
            or _of_one_genus(plants, plant, book)
            and not any(p in book.refused for p in plants)
            or of_many_genera(plants, book)
            or all(explains_itself(tokens[i].stem) for i in some)
            or len(some) == 1
            and tokens[some[0]].text.lower() in book.epithets_of.get(plant, ())
        ):
            continue
        if some[0] not in joined and in_small(tokens, some, clean):
            continue
        if joined.get(some[0]) or some[0] in alone or len(some) > 1 or _could_be_cultivar(tokens[some[0]]):
            out.append((" ".join(tokens[i].text for i in some), plants))
    if _DIGIT.search(clean.text):
        run = squeezed(clean.text)
        for name, plants in book.numbered.items():
            if name in run and not _of_one_genus(plants, plant, book):
                out.append((name, plants))
    return list(dict.fromkeys(out))


def _joined_by_kin(
    m: Mention, tokens: list[Token], mentions: list[Mention], plant: str, clean: Clean
) -> bool:
    """Whether a word for many plants, the named one among them, is joined to it as a second thing: "Symphyotrichum
    lanceolatum and aster"."""
    named = any(other is not m and other.plants == (plant,) for other in mentions)
    joined = False
    if m.start > 0:
        before = tokens[m.start - 1]
        between = clean.text[before.start + len(before.text) : tokens[m.start].start]
        joined = before.text.lower() in CONNECTIVES or bool(_SIGN.search(between))
    ends = m.end == len(tokens) or tokens[m.end].segment != tokens[m.start].segment
    return named and joined and ends and len(m.plants) > 1


_PARTS_SHOWN = frozenset(
    stem(w) for w in "flower bloom blossom leaf foliage frond seedhead plume spike".split()
)


def _looks_like_a_group(m: Mention, tokens: list[Token]) -> bool:
    """Whether the word for a whole group of plants only paints: "foliage looks more like bamboo"."""
    before = [t.text.lower() for t in tokens[max(0, m.start - 3) : m.start]]
    looks = not {"look", "looks", "looking"}.isdisjoint(before)
    return looks and before[-1] == "like" and m.end - m.start == 1 and tokens[m.start].stem in GENERIC


def painted_with(m: Mention, tokens: list[Token]) -> bool:
    """Whether a name is half of a word for the look of a part: "iris-like leaves", "arrowhead-shaped foliage"."""
    if m.slip or m.end + 1 >= len(tokens) or tokens[m.end].stem not in ("like", "shaped"):
        return False
    last, like = tokens[m.end - 1], tokens[m.end]
    beside = last.start + len(last.text) + 1 == like.start
    return beside and any(t.stem in _PARTS_SHOWN for t in tokens[m.end + 1 : m.end + 3])


def likened(m: Mention, tokens: list[Token], book: NameBook) -> bool:
    """Whether a name only paints a picture: "like a shooting star", "buttercup flowers". A plant that some list binds
    is never taken so, nor before its flowers one from abroad that is named in two words and more."""
    if m.slip:
        return False
    if _looks_like_a_group(m, tokens) or painted_with(m, tokens):
        return True
    if any(p in book.bound for p in m.plants):
        return False
    if m.kind == MentionKind.GENUS and m.end < len(tokens) and tokens[m.end].text.lower() == "like":
        return True  # "camellia-like bloom"
    before = [t.text.lower() for t in tokens[max(0, m.start - 2) : m.start]]
    if before == ["similar", "to"]:
        return True
    if m.kind not in (MentionKind.COMMON, MentionKind.TRADE):
        return False
    if before[-1:] == ["like"] or before in (["like", "a"], ["like", "an"], ["like", "the"]):
        return True
    if any(p in book.refused for p in m.plants) and (m.end - m.start > 1 or m.kind != MentionKind.COMMON):
        return False  # "lavender flowers" describe; "Mexican petunia blooms purple" is for sale
    return m.end < len(tokens) and (
        tokens[m.end].stem in _PARTS_SHOWN and tokens[m.end].segment == tokens[m.start].segment
    )


def own_word(m: Mention, tokens: list[Token], named: set[str], book: NameBook, clean: Clean) -> bool:
    """Whether a genus that no list binds is a word of the named plants' own names, or one that describes: "smooth petunia,
    Ruellia humilis", which is a wild petunia; "leaves smell of citrus"."""
    if m.kind != MentionKind.GENUS or m.slip or any(p in book.bound for p in m.plants):
        return False
    word = tokens[m.start].stem
    described = m.written.islower() and _case(clean.text) == "mixed" and explains_itself(word)
    return described or any(word in book.words_of.get(p, ()) for p in named)


def own_epithet(m: Mention, tokens: list[Token], named: set[str], book: NameBook) -> bool:
    """Whether what is a cultivar of another plant is the named plant's own epithet: "Lutea (Nelumbo lutea)"."""
    if m.kind != MentionKind.CULTIVAR or m.end - m.start > 1:
        return False
    return any(tokens[m.start].text.lower() in book.epithets_of.get(p, ()) for p in named)


def of_many_genera(plants: tuple[str, ...], book: NameBook) -> bool:
    """Whether a cultivar's name is given in so many genera that it accuses none of them ('Variegata')."""
    return len({book.genus_of(p) for p in plants}) > 2


def in_small(tokens: list[Token], some: list[int], clean: Clean) -> bool:
    """Whether words stand in small letters and without quotes on a line with large ones: no cultivar is written so."""
    small = all(tokens[i].text.islower() and not tokens[i].quoted for i in some)
    return small and _case(clean.text) == "mixed"


def other_form(
    tokens: list[Token], words: list[int], mentions: list[Mention], plant: str, book: NameBook, clean: Clean
) -> tuple[str, tuple[str, ...]]:
    """A subspecies or variety beside a species' name: as written, with the plants that it may name (none where it is in
    no table). ("", ()) if there is none."""
    covered = {i for m in mentions for i in range(m.start, m.end)}
    shouted = _case(clean.text) == "upper"
    own: set[str] = set()
    for m in mentions:
        if m.kind != MentionKind.SCIENTIFIC or plant not in m.plants or len(m.taken.split()) < 2:
            continue
        forms = book.forms_below.get(" ".join(m.taken.lower().split()[:2]), {})
        for i in words if forms else ():
            third = epithet_stem(tokens[i].text)
            if not m.start <= i < m.end and third in forms and plant not in forms[third]:
                return tokens[i].text, forms[third]
        if lone := _lone_epithet(tokens, words, covered, plant, book):
            return lone, ()
        behind = next((i for i in words if i >= m.end), len(tokens))
        if behind == len(tokens) or behind in covered or tokens[behind].quoted:
            continue
        token, word = tokens[behind], tokens[behind].text.lower()
        ranked = any(t.stem in _BELOW_SPECIES for t in tokens[m.end : behind])
        own = own or _own_stems(plant, book)
        if len(word) < 4 or epithet_stem(word) in own or epithet_stem(word) in forms:
            continue
        if ranked and (token.text.islower() or shouted):
            return token.text, ()
        form = word in FORM_EPITHETS
        if not form and (
            explains_itself(token.stem) or token.stem in book.name_words and word not in book.known_epithets
        ):
            continue
        known = form or word in book.known_epithets or word in PLAIN_EPITHETS
        latin = _LATIN_FIRMLY.search(word) and not word.endswith("ous") and (token.text.islower() or shouted)
        beside = token.segment == tokens[m.start].segment
        ends = behind + 1 == len(tokens) or tokens[behind + 1].segment != token.segment
        if beside and (known or latin) or ends and known and token.text.islower():
            return token.text, ()
    return "", ()


def _lone_epithet(
    tokens: list[Token], words: list[int], covered: set[int], plant: str, book: NameBook
) -> str:
    """An epithet that is not the plant's, set apart from its name: "Equisetum hyemale - Japonicum"; empty if there is none."""
    inside: dict[int, int] = {}
    for i in words:
        inside[tokens[i].segment] = inside.get(tokens[i].segment, 0) + 1
    for i in words:
        word = tokens[i].text.lower().strip("'")
        if i in covered or len(word) < 4 or inside[tokens[i].segment] > 1:
            continue
        form = word in FORM_EPITHETS
        named = tokens[i].stem in book.name_words and not _LATIN_FIRMLY.search(word)
        strange = word in book.known_epithets and not (named or explains_itself(tokens[i].stem))
        if (form or strange) and epithet_stem(word) not in _own_stems(plant, book):
            return tokens[i].text
    return ""


def _own_stems(plant: str, book: NameBook) -> set[str]:
    """The words of a plant's scientific names, old ones too, without their endings."""
    return {epithet_stem(e) for e in (*book.epithets_of.get(plant, ()), *book.scientific[plant].split())}


_BELOW_SPECIES = frozenset("ssp subsp var fo forma f".split())


def color_form(tokens: list[Token], mentions: list[Mention], plant: str, clean: Clean) -> str:
    """A color written as a form's name right behind the scientific name and alone there: "Pontederia cordata White"."""
    for m in mentions:
        i = m.end
        if (
            m.kind != MentionKind.SCIENTIFIC
            or plant not in m.plants
            or i >= len(tokens)
            or m.end - m.start < 2
        ):
            continue
        token = tokens[i]
        ends = i + 1 == len(tokens) or tokens[i + 1].segment != token.segment
        named = token.text.istitle() and tokens[i - 1].text.islower()
        beside = token.segment == tokens[i - 1].segment
        if named and ends and beside and token.stem in COLORS and _case(clean.text) == "mixed":
            return token.text
    return ""


# words for a kind of plant that no other kind is sold under: a herb is no vine, whatever its name
_HABITS = frozenset(stem(w) for w in "vine palm bamboo cactus orchid conifer".split())


def other_habit(tokens: list[Token], mentions: list[Mention], plant: str, book: NameBook) -> str:
    """A word right behind the name that makes another kind of plant of it: "blue star vine"; empty if there is none."""
    own = book.words_of.get(plant, frozenset())
    for m in mentions:
        if plant in m.plants and m.end < len(tokens) and tokens[m.end].segment == tokens[m.start].segment:
            if tokens[m.end].stem in _HABITS - own:
                return tokens[m.end].text
    return ""


def _of_one_genus(plants: tuple[str, ...], plant: str, book: NameBook) -> bool:
    return any(book.genus_of(p) == book.genus_of(plant) for p in plants)


def _could_be_cultivar(token: Token) -> bool:
    return len(token.text) > 3 and token.text[0].isupper()


def joined_words(tokens: list[Token], mentions: list[Mention], plant: str, clean: Clean) -> dict[int, bool]:
    """The words that a connective ("and", "+") joins to the plant: behind it up to the next comma, bracket or
    dash, and before it where the plant stands behind. True for words joined to the plant itself, False in a
    phrase of its own or in a sentence: "attracts bees and wasps"."""
    if not _SIGN.search(clean.text) and CONNECTIVES.isdisjoint([t.text.lower() for t in tokens[1:]]):
        return {}
    phrases: list[list[list[int]]] = [[[]]]
    last = 0
    for i, token in enumerate(tokens):
        between = clean.text[last : token.start]
        last = token.start + len(token.text)
        if _STOPS.search(between) or i and _ends_sentence(tokens[i - 1], between, token):
            phrases.append([[]])
        if i and _SIGN.search(between) and not (token.stem in PLAIN and _AND_MORE.search(between)):
            phrases[-1].append([])
        if i and not token.quoted and _connects(token, clean):
            phrases[-1].append([])
        else:
            phrases[-1][-1].append(i)
    if all(len(parts) == 1 for parts in phrases):
        return {}
    own = {i for m in mentions if plant in m.plants for i in range(m.start, m.end)}
    out: dict[int, bool] = {}
    before = True  # whether the plant stands in the phrase before
    for parts in phrases:
        if len(parts) > 1:
            here = [not own.isdisjoint(part) for part in parts]
            here[0] = here[0] or not parts[0] and before  # "Iris virginica (blue flag) plus reed" goes on
            said = any(tokens[i].stem in SAYING for part in parts for i in part)
            first = parts[0] if not here[0] and any(here) else []
            for part in (first, *parts[1:]):
                if not any(tokens[i].stem in FIRMS for i in part):
                    out.update({i: any(here) and not said for i in part if i not in own})
        before = any(i in own for part in parts for i in part)
    return out


def _connects(token: Token, clean: Clean) -> bool:
    """Whether a word joins a second thing; a large W before a figure or a comma is a column's code, "W reed" is with reed."""
    if token.text == "W" and clean.text[token.start + 1 :].lstrip()[:1] in (*"0123456789,;", ""):
        return False
    return token.text.lower() in CONNECTIVES


def _ends_sentence(before: Token, between: str, after: Token) -> bool:
    """Whether a full stop ends a sentence: behind an author's or a genus's letters it does not."""
    return (
        between.strip() == "." and before.text.islower() and len(before.text) > 3 and after.text[0].isupper()
    )


def unexplained(
    tokens: list[Token],
    words: list[int],
    mentions: list[Mention],
    plant: str,
    book: NameBook,
    clean: Clean,
    joined: dict[int, bool],
) -> str:
    """The first words behind a connective that no list and no name explains; empty if there are none. `joined` are the words
    of `joined_words`."""
    if not joined:
        return ""
    covered = {i for m in mentions for i in range(m.start, m.end)}
    own = book.words_of.get(plant, frozenset())
    ends = [m.end for m in mentions if m.kind == MentionKind.SCIENTIFIC and m.plants]
    found = [
        i
        for i in words
        if i in joined
        and i not in covered
        and not explains_itself(tokens[i].stem)
        and tokens[i].stem not in own
        and not _describes(tokens[i], joined[i], book)
        and not tokens[i].quoted
        and not _author(i, tokens, ends, clean)
    ]
    return " ".join(tokens[i].text for i in found[:3])


def _describes(token: Token, strict: bool, book: NameBook) -> bool:
    """Whether a word in no list describes by its ending ("tested"), or, in a phrase of its own, is neither a
    word for plants nor shaped like one."""
    word = token.text.lower()
    if word in book.genera or word in book.known_epithets or strict and token.stem in book.name_words:
        return False
    if _SAYS_HOW.search(word) and token.stem not in book.name_words:
        return True
    shaped = _LATIN_FIRMLY.search(token.stem) or _PLANT_WORD.search(token.stem)
    return not (strict or shaped or token.stem in GENERIC or token.stem in book.heads)


def _author(i: int, tokens: list[Token], ends: list[int], clean: Clean) -> bool:
    """Whether a word is one of the authors behind a scientific name: "Torr. & A. Gray"."""
    if not tokens[i].text[0].isupper() or tokens[i].text.isupper() and len(tokens[i].text) > 2:
        return False
    for end in ends:
        if end < i < end + MANY_AUTHORS and all(
            tokens[j].text[0].isupper() or tokens[j].text in ("ex", "f", "et", "al", "in")
            for j in range(end, i)
        ):
            first = tokens[end]  # an author stands before the sign as well
            return first.text[0].isupper() and not (explains_itself(first.stem) and len(first.stem) > 2)
    return False


# ------------------------------------------------------------------ one slip from a listed name


def near_listed(
    tokens: list[Token], words: list[int], mentions: list[Mention], plant: str, book: NameBook, clean: Clean
) -> tuple[str, tuple[str, ...]]:
    """A run of words that is, exactly or but for one slip, the name of a plant to refuse: as written, with the
    plants; words parted by a loose hyphen count as one run. ("", ()) if there is none."""
    firm = {i for m in mentions if m.kind == MentionKind.SCIENTIFIC for i in range(m.start, m.end)}
    exact = {i for m in mentions if not m.slip for i in range(m.start, m.end)}
    if exact.issuperset(words):
        return "", ()
    own = book.own_keys.get(plant, frozenset())
    for a in range(len(words)):
        if words[a] in firm or tokens[words[a]].stem in _ENDS_NO_NAME:
            continue
        run, open_word, plain = "", False, True
        for b in range(a, min(a + LONGEST, len(words))):
            i = words[b]
            if i in firm or b > a and not _runs_on(tokens, words[b - 1], i, clean):
                break
            run += tokens[i].stem
            open_word = open_word or i not in exact
            plain = plain and explains_itself(tokens[i].stem)
            if (
                tokens[i].stem in _ENDS_NO_NAME
                or not open_word
                or plain
                or len(run) < SHORTEST_NEAR
                or run in own
            ):
                continue
            for key in book.near_to_listed(run):
                plants = tuple(p for p in book.keys[key].plants if p in book.refused)
                if plant not in book.keys[key].plants and plants:
                    return " ".join(tokens[w].text for w in words[a : b + 1]), plants
    return "", ()


def _runs_on(tokens: list[Token], left: int, right: int, clean: Clean) -> bool:
    if tokens[left].segment == tokens[right].segment:
        return True
    between = clean.text[tokens[left].start + len(tokens[left].text) : tokens[right].start]
    return bool(re.fullmatch(r"\s*-\s*", between)) and between.strip() != between[1:-1]
