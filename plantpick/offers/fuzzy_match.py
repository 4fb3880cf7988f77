"""Names with slips of the pen: an epithet within its genus, a genus, any name one letter off, then the
nearest names."""

from __future__ import annotations

from dataclasses import replace

from plantpick.errors import NEAR_NAME
from plantpick.offers.match import Mention, MentionKind, Reading, ReadingKind, covered_by, mention_of
from plantpick.offers.name_index import SHORTEST_NEAR, NameBook
from plantpick.offers.normalize import Clean, Token, epithet_stem, key_of
from plantpick.offers.one_slip import slips
from plantpick.offers.words import (
    ANIMALS,
    COLORS,
    DESCRIBING,
    FUNCTION_WORDS,
    GENERIC,
    HARDWARE,
    NEVER_LAST,
    PLAIN,
    explains_itself,
)

SURE_EPITHET = 5  # letters from which one slip in an epithet is read as that epithet (judgement)
FAR = 4  # counts as so many slips: an epithet that is like a refused one in part
TWO_SLIPS = 9  # letters from which two are
SHORT_NAME = 9  # letters from which a common name with one slip is that name, not only like it the name: "red flar" (judgement)
MANY_SPECIES = 8  # epithets from which a genus has others that the catalogue lacks (judgement)
_MIXED = frozenset(map(frozenset, ("ck", "sc", "sz", "fv", "bp", "dt", "mn", "gj", "vw", "kq", "lr")))
LOOSE_REFUSED = 0.72  # similarity from which an epithet is kept as a possible refused plant (judgement)
# likeness of a whole phrase, of 100, from which a name is offered as a candidate; of a single word
# (judgement)
MATCH, MATCH_REFUSED, MATCH_WORD = 88.0, 80.0, 92.0


def epithets_near(epithet: str, genus: str, book: NameBook) -> list[tuple[int, str]]:
    """(slips, epithet) of a genus's epithets that the word may be, nearest first; (2, ...) are loose."""
    table = book.epithets.get(genus, {})
    if epithet in table:
        return [(0, epithet)]
    bare = epithet_stem(epithet)
    same = [e for e in table if epithet_stem(e) == bare]
    if same:
        return [(0, e) for e in same]
    from rapidfuzz.distance import Indel

    scored, count = [], slips()
    for e in table:
        distance = count(epithet, e, score_cutoff=3)
        if distance <= min(3, max(len(e), len(epithet)) // 4):
            scored.append((distance, e))
        elif (
            any(p in book.refused for p in table[e])
            and Indel.normalized_similarity(epithet, e) >= LOOSE_REFUSED
        ):
            scored.append((FAR, e))
    scored.sort()
    if scored and scored[0][0] == 1 and len(epithet) >= TWO_SLIPS:
        scored = [d for d in scored if d[0] < FAR]  # one slip in a long word: nothing far off was meant
    out = []
    for distance, e in scored:
        least = min(len(e), len(epithet))
        sure = (distance == 1 and least >= SURE_EPITHET) or (
            distance == 2 and least >= TWO_SLIPS and e[0] == epithet[0]
        )
        sure = sure or (distance <= 2 and least >= 8 and epithet[:-2] == e[:-2])  # another ending
        if sure and epithet[:-2] != e[:-2] and len(table) >= MANY_SPECIES and _other_consonant(epithet, e):
            sure = False
        if sure and epithet not in book.known_epithets and distance == scored[0][0]:
            out.append((1, e))
        else:
            out.append((2, e))
    return out


def _other_consonant(a: str, b: str) -> bool:
    """Whether words of one length differ in consonants that people do not mix up: then they are two words,
    not a slip."""
    if len(a) != len(b) or sorted(a) == sorted(b):
        return False
    return any(
        x != y and not (x in "aeiouy" and y in "aeiouy") and frozenset((x, y)) not in _MIXED
        for x, y in zip(a, b)
    )


def one_slip(tokens, words, book: NameBook, mentions, loose: list[int], clean: Clean) -> list[Mention]:
    """Names with slips: epithets within their genus, genera one slip away, then any name one slip away."""
    for m in mentions:
        if m.kind == MentionKind.SCIENTIFIC and m.plants and not m.slip:
            _take_in_subspecies(m, tokens, words, book)
    covered = covered_by(mentions, len(tokens))
    out: list[Mention] = []
    for a, i in enumerate(words[:-1]):
        k = words[a + 1]
        genus, epithet = tokens[i], tokens[k]
        hyphened = words[a + 2] if a + 2 < len(words) else None
        if hyphened is not None and not covered[k] and _by_hyphen(tokens[k], tokens[hyphened], clean):
            word, joined = genus.text.lower(), f"{epithet.text.lower()}-{tokens[hyphened].text.lower()}"
            near = [(s, word, e) for s, e in epithets_near(joined, word, book)] if word in book.genera else []
            if near and near[0][0] < 2:  # "Aster novi-angliae"
                m = binomial_mention(tokens, i, hyphened, near, False, book)
                mentions = [o for o in mentions if o.end <= m.start or o.start >= m.end]
                out.append(m)
                covered[m.start : m.end] = [True] * (m.end - m.start)
                continue
        if covered[i] or genus.segment != epithet.segment or len(genus.text) < 4 or len(epithet.text) < 3:
            continue
        exact = genus.text.lower() in book.genera
        if not exact and genus.stem in PLAIN:
            continue
        names = (
            [genus.text.lower()]
            if exact
            else book.near_genera(genus.text.lower())
            or _genera_two_slips(genus.text.lower(), epithet.text.lower(), book)
        )
        near = (
            [(s, g, e) for g in names for s, e in epithets_near(epithet.text.lower(), g, book)]
            if not covered[k]
            else []
        )
        if not exact and any(s < 2 for s, _, _ in near):
            near = [n for n in near if n[0] < 2]
        elif not exact:
            near = []
        if near:
            m = binomial_mention(tokens, i, k, near, not exact, book)
            _take_in_subspecies(m, tokens, words, book)
            out.append(m)
            covered[m.start : m.end] = [True] * (m.end - m.start)
        elif exact and not covered[k] and epithet.text.islower() and epithet.stem not in PLAIN:
            out.append(
                Mention(
                    i,
                    k + 1,
                    (),
                    MentionKind.SCIENTIFIC,
                    f"{genus.text} {epithet.text}",
                    genus.text.capitalize(),
                )
            )
            covered[i] = covered[k] = True
        elif exact:
            out.append(
                Mention(
                    i,
                    i + 1,
                    book.genera[genus.text.lower()],
                    MentionKind.GENUS,
                    genus.text,
                    genus.text.capitalize(),
                )
            )
            covered[i] = True
    rest = {i for i in loose if not covered[i]}
    if rest or not (mentions or out):
        fresh = _phrases(tokens, words, book, rest, mentions + out)
        spans = [(m.start, m.end) for m in fresh]
        mentions = [m for m in mentions if not any(a < m.end and m.start < b for a, b in spans)]
        out += fresh
    return mentions + out


def _by_hyphen(one: Token, two: Token, clean: Clean) -> bool:
    """Whether two words may be parts of one with a hyphen."""
    return clean.text[one.start + len(one.text) : two.start] in ("-", " ")


def _genera_two_slips(genus: str, epithet: str, book: NameBook) -> list[str]:
    """Genera that have this very epithet and are two slips from the word before it ("Saggitaria
    latifolia")."""
    if len(genus) < 7:
        return []
    count = slips()
    return [
        g for g in book.genera_with.get(epithet, ()) if len(g) >= 7 and count(genus, g, score_cutoff=2) <= 2
    ]


def binomial_mention(tokens, i: int, k: int, near, genus_slip: bool, book: NameBook) -> Mention:
    best = min(s for s, _, _ in near)
    plants: list[str] = []
    for s, g, e in near:
        if s == best or (best and any(p in book.refused for p in book.epithets[g][e])):
            plants += book.binomial(g, e)
    first = next((g, e) for s, g, e in near if s == best)
    slip = best + 1 if genus_slip else best  # a slip in each of the two words is no sure one
    return Mention(
        i,
        k + 1,
        tuple(dict.fromkeys(plants)),
        MentionKind.SCIENTIFIC,
        f"{tokens[i].text} {tokens[k].text}",
        f"{first[0].capitalize()} {first[1]}",
        slip,
    )


def _take_in_subspecies(m: Mention, tokens, words, book: NameBook) -> None:
    """Let a name put right take in the subspecies or variety behind it ("Nymphaea odorta subsp. tuberosa")."""
    ahead = [i for i in words if i >= m.end]
    if m.slip > 1 or not ahead or tokens[ahead[0]].segment != tokens[m.start].segment:
        return
    species = key_of(m.taken)
    run = species + tokens[ahead[0]].stem
    found = (
        [run]
        if run in book.keys
        else [k for k in book.near_keys(run) if k.startswith(species) and k != species]
    )
    if len(found) == 1 and book.keys[found[0]].scientific:
        entry = book.keys[found[0]]
        m.plants, m.taken, m.end = entry.plants, entry.name, ahead[0] + 1
        m.slip = m.slip or int(found[0] != run)
        m.written = " ".join(t.text for t in tokens[m.start : m.end])


def _phrases(tokens, words, book: NameBook, rest: set[int], mentions: list[Mention]) -> list[Mention]:
    """Names one slip away over any run of words that holds a word not yet explained."""
    firm = {i for m in mentions if m.kind == MentionKind.SCIENTIFIC for i in range(m.start, m.end)}
    wide = {i for m in mentions if m.end - m.start > 1 for i in range(m.start, m.end)} | firm
    found = []
    plain_words: set[tuple[int, int]] = set()
    for a in range(len(words)):
        run, first, holds = "", tokens[words[a]], not rest
        for b in range(a, min(a + 5, len(words))):
            i = words[b]
            token = tokens[i]
            if token.segment != first.segment or i in wide:
                break
            run += token.stem
            holds = holds or i in rest
            if len(run) > 40:
                break
            if (
                not holds
                or len(run) < SHORTEST_NEAR
                or (a == b and (_says_no_name(token.stem) or _is_code(token.text)))
            ):
                continue
            if all(tokens[w].stem in COLORS for w in words[a : b + 1]):
                continue  # "red pink white": no slip of red pine
            near = book.near_keys(run)
            if not near and token.text.lower() == token.stem + "s":  # "common tans" is near to "common tansy"
                near = book.near_keys(run + "s")
            if near and all(tokens[w].stem in book.name_words for w in words[a : b + 1]):
                # "narrow leaf" is no slip of "arrowleaf": both are words of names. A refused plant is kept.
                near = [k for k in near if any(p in book.refused for p in book.keys[k].plants)]
            spoken = b > a and (
                token.text in NEVER_LAST or first.text in NEVER_LAST
            )  # "turns white as it ages"
            if near and spoken:
                near = [k for k in near if any(p in book.bound for p in book.keys[k].plants)]
            if near and all(explains_itself(tokens[w].stem) for w in words[a : b + 1]):
                # plain words alone: only a whole line that is like a listed plant's name ("common need")
                whole = b + 1 - a == len(words)
                near = [k for k in near if whole and any(p in book.bound for p in book.keys[k].plants)]
                plain_words.add((a, b + 1))
            if near:
                found.append((len(run), a, b + 1, near))
    found.sort(key=lambda f: (-f[0], f[1]))
    taken: set[int] = set()
    out = []
    for size, a, b, near in found:
        span = range(a, b)
        if taken.isdisjoint(span):
            taken.update(span)
            entries = [book.keys[k] for k in near]
            m = mention_of(book, entries[0], tokens, words[a], words[b - 1] + 1, 1)
            for entry in entries[1:]:
                m.plants = tuple(dict.fromkeys((*m.plants, *entry.plants)))
                m.called = tuple(dict.fromkeys((*m.called, *entry.called)))
            if m.kind != MentionKind.SCIENTIFIC and size < SHORT_NAME or (a, b) in plain_words:
                m.slip = 2
            out.append(m)
    for i in sorted(rest):
        near = (
            book.near_genera(tokens[i].text.lower())
            if words.index(i) not in taken and len(tokens[i].text) >= 6
            else []
        )
        if near and not _is_code(tokens[i].text) and not _near_word(tokens[i].stem):
            plants = tuple(dict.fromkeys(p for g in near for p in book.genera[g]))
            out.append(Mention(i, i + 1, plants, MentionKind.GENUS, tokens[i].text, near[0].capitalize(), 1))
    return out


def _near_word(word: str) -> bool:
    return word in HARDWARE or word in ANIMALS or word in FUNCTION_WORDS or _says_no_name(word)


def _says_no_name(word: str) -> bool:
    """Whether a word of the trade or of description stands there, and no name with a slip: "glossy"."""
    return word in PLAIN or word in DESCRIBING and word not in GENERIC


def _is_code(text: str) -> bool:
    return text.isupper() and len(text) <= 6 and not any(v in text[1:] for v in "AEIOUY") or len(text) <= 3


def match_nearest(readings: list[Reading], book: NameBook, block: int = 100) -> list[Reading]:
    """The readings, with the nearest names for what no exact name or single slip explained. It is the costliest stage,
    so many phrases are compared in a block.

    A phrase much like a name becomes a candidate that is not sure; otherwise it stays unknown, with the
    names that are near, three at most. A sentence, or a line that names another plant, is only asked whether its other words are like the
    name of a plant to refuse.
    """
    from rapidfuzz import fuzz, process

    out = list(readings)
    waiting: dict[str, list[int]] = {}
    for at, r in enumerate(readings):
        if not r.phrase.isascii():
            continue  # in other letters: no name of ours is near
        if r.phrase and not r.nearest and not r.unnamed and (r.kind == ReadingKind.UNKNOWN or r.aside):
            waiting.setdefault(key_of(r.phrase), []).append(at)
    keys, names = book.nearest_names
    phrases = [p for p in waiting if len(p) >= 4]
    for start in range(0, len(phrases), block):
        some = phrases[start : start + block]
        scores = process.cdist(some, keys, scorer=fuzz.ratio, score_cutoff=NEAR_NAME, dtype="uint8")
        top = scores.argpartition(-4, axis=1)[:, -4:] if len(keys) > 4 else scores.argsort(axis=1)
        for phrase, row, best in zip(some, scores, top):
            order = sorted((int(i) for i in best if row[i] > 0), key=lambda i: (-int(row[i]), keys[i]))
            near = [(int(row[i]), keys[i], names[i]) for i in order]
            for at in waiting[phrase]:
                match = _match_beside if out[at].aside else _match_unknown
                out[at] = match(out[at], near, book)
    return out


def _match_beside(reading: Reading, near: list[tuple[int, str, str]], book: NameBook) -> Reading:
    """Words beside a name or in a sentence that are much like a refused plant's name leave that doubt."""
    least = MATCH_REFUSED if " " in reading.phrase else MATCH
    found = [
        key
        for score, key, _ in near
        if score >= least and any(p in book.refused for p in book.keys[key].plants)
    ]
    if not found:
        return reading
    plants = (p for key in found for p in book.keys[key].plants)
    return replace(
        reading,
        kind=ReadingKind.PLANT,
        sure=False,
        candidates=tuple(dict.fromkeys((*reading.candidates, *plants))),
        doubts=(*reading.doubts, f'"{reading.phrase}" is like "{book.keys[found[0]].name}"'),
    )


def _match_unknown(reading: Reading, near: list[tuple[int, str, str]], book: NameBook) -> Reading:
    """A name in no table becomes the names that it is much like; else it keeps the nearest, if any is near."""
    reading = replace(reading, nearest=tuple(dict.fromkeys(name for _, _, name in near))[:3])
    if reading.heading and reading.heading in book.genera:
        return reading  # a genus that we know with an epithet that we do not: another species, not a slip
    word = " " not in reading.phrase.strip()
    found = [
        (score, key)
        for score, key, _ in near
        if score
        >= (
            MATCH_WORD
            if word
            else MATCH_REFUSED
            if any(p in book.refused for p in book.keys[key].plants)
            else MATCH
        )
    ]
    if not found:
        return reading
    return replace(
        reading,
        kind=ReadingKind.PLANT,
        sure=False,
        candidates=tuple(dict.fromkeys(p for _, key in found for p in book.keys[key].plants)),
        doubts=(f'"{reading.phrase}" is only like "{book.keys[found[0][1]].name}"',),
    )
