"""From words on paper to a plant, or to several: every name on a line is found, exact first, then one slip away.

A line that leaves any doubt keeps all its candidates; nothing here decides what may be bought.
"""

from __future__ import annotations

from plantpick.namebook import LONGEST, SHORTEST_KEY, SHORTEST_NEAR, Entry, NameBook
from plantpick.namemeaning import Mention, Reading, combine, covered_by
from plantpick.nametext import ANIMALS, FUNCTION_WORDS, HARDWARE, PLAIN, RANKS, Clean, Token, epithet_stem, key_of, take_apart

SURE_EPITHET = 5       # letters from which one slip in an epithet is read as that epithet (judgement)
TWO_SLIPS = 9          # letters from which two are
MANY_SPECIES = 8       # epithets from which a genus has others that the catalogue lacks (judgement)
_MIXED = frozenset(map(frozenset, ("ck", "sc", "sz", "fv", "bp", "dt", "mn", "gj", "vw", "kq", "lr")))
LOOSE_REFUSED = 0.72   # similarity from which an epithet is kept as a possible refused plant (judgement)
# likeness of a whole phrase, of 100, from which a name is offered as a candidate; of a single word (judgement)
MATCH, MATCH_REFUSED, MATCH_WORD = 88.0, 80.0, 92.0
NEAREST_FLOOR = 45.0


def read_names(text: str, book: NameBook, heading: str = "", recent: dict[str, str] | None = None) -> Reading:
    """Read one line. `heading` is the genus of the heading above it; `recent` the last genus by its first letter."""
    clean = take_apart(text)
    tokens = [t for t in clean.tokens if t.text not in ("s", "th")]
    if not tokens:
        return Reading()
    words = [i for i, t in enumerate(tokens) if t.stem not in RANKS]
    mentions = _exact(tokens, words, book, "," in clean.text)
    mentions += _abbreviated(tokens, words, book, mentions, heading, recent or {}, clean)
    covered = covered_by(mentions, len(tokens))
    loose = [i for i in words if not covered[i] and len(tokens[i].stem) > 2 and tokens[i].stem not in PLAIN]
    if loose or not mentions:
        mentions = _one_slip(tokens, words, book, mentions, loose, clean)
    below = _beneath(tokens, words, book, mentions, heading) if heading else []
    if below:
        mentions = [m for m in mentions if not (m.slip and m.start < below[0].end and below[0].start < m.end)] + below
    cultivars = _cultivars(tokens, words, book, mentions, clean, heading)
    mentions += _more_epithets(tokens, loose, book, mentions)
    if heading and clean.quoted and not mentions and not cultivars:
        at = [i for i in words if tokens[i].quoted] or words[:1]
        below = [Mention(at[0], at[-1] + 1, book.genera[heading], "genus", heading.capitalize(), heading.capitalize())]
        mentions += below
    mentions += cultivars
    covered = covered_by(mentions, len(tokens))
    loose = [i for i in words if not covered[i] and len(tokens[i].stem) > 2 and tokens[i].stem not in PLAIN]
    reading = combine(tokens, mentions, loose, book, clean)
    reading.beneath = bool(below) or any(m.kind == "cultivar" and m.said_sp for m in cultivars)
    return reading


def _mention(book: NameBook, entry: Entry, tokens: list[Token], start: int, end: int, slip: int = 0) -> Mention:
    kinds = {kind for _, kind in entry.pairs}
    kind = ("scientific" if entry.scientific else "cultivar" if kinds == {"cultivar"}
            else "common" if "common" in kinds or "cultivar" in kinds else "trade")
    written = " ".join(t.text for t in tokens[start:end])
    cultivar = ""
    if kind == "cultivar" and end - start > 1 and book.genera.keys() & {tokens[start].text.lower(), entry.name.split()[0].lower()}:
        kind, cultivar = "scientific", " ".join(t.text for t in tokens[start + 1:end] if t.text.lower() not in book.known_epithets)
    return Mention(start, end, entry.plants, kind, written, entry.name, slip, entry.called, cultivar=cultivar)


def _exact(tokens: list[Token], words: list[int], book: NameBook, commas: bool) -> list[Mention]:
    """Names that stand on the line as they stand in the catalogue, the longest first, then genera."""
    keys, count = book.keys, len(words)
    found: list[tuple[int, int, int, Entry]] = []
    for a in range(count):
        run, first = "", tokens[words[a]]
        for b in range(a, min(a + LONGEST, count)):
            token = tokens[words[b]]
            if token.segment != first.segment:
                break
            run += token.stem
            if len(run) >= SHORTEST_KEY and run in keys and not (a == b and first.stem in PLAIN):
                found.append((len(run), a, b + 1, keys[run]))
    if commas:
        found += _turned_round(tokens, words, book)
    found.sort(key=lambda f: (-f[0], f[1]))
    taken = [False] * count
    out = []
    for _, a, b, entry in found:
        if not any(taken[a:b]):
            taken[a:b] = [True] * (b - a)
            out.append(_mention(book, entry, tokens, words[a], words[b - 1] + 1))
    out = [m for m in out if not _with_unknown_epithet(m, tokens, book)]
    for m in out:                                     # a bare genus that is also a common name is both
        word = tokens[m.start].text.lower()
        if m.end - m.start == 1 and m.kind != "scientific" and word in book.genera:
            genus = book.genera[word]
            m.plants, m.kind = (*genus, *(p for p in m.plants if p not in genus)), "genus"
            m.said_sp = _says_sp(tokens, m.end)
    for a, i in enumerate(words):
        word = tokens[i].text.lower()
        if not any(m.start <= i < m.end for m in out) and word in book.genera and not (tokens[i].stem in PLAIN and not _says_sp(tokens, i + 1)):
            follows = a + 1 < count and not taken[a + 1] and words[a + 1] == i + 1
            if follows and _epithet_of(tokens[i], tokens[i + 1], word, book):
                continue                                # left for the reading of slips
            out.append(Mention(i, i + 1, book.genera[word], "genus", tokens[i].text, word.capitalize(),
                               said_sp=_says_sp(tokens, i + 1)))
    return out


def _with_unknown_epithet(m: Mention, tokens: list[Token], book: NameBook) -> bool:
    """A genus that is also a common name, before a word written as its epithet: left for the reading of slips."""
    if m.end - m.start != 1 or m.end >= len(tokens) or m.kind == "scientific":
        return False
    genus, after = tokens[m.start], tokens[m.end]
    return (genus.text.lower() in book.epithets and genus.text[0].isupper() and after.text.islower() and len(after.text) > 4
            and after.segment == genus.segment and after.stem not in PLAIN and not after.quoted
            and after.stem not in book.keys and after.text not in FUNCTION_WORDS)


def _says_sp(tokens: list[Token], after: int) -> bool:
    return after < len(tokens) and tokens[after].text.lower() in ("sp", "spp", "species", "ssp")


def _epithet_of(genus: Token, token: Token, word: str, book: NameBook) -> bool:
    """Whether the word after a genus is written like its epithet: same segment, small letters or all like the genus."""
    if genus.segment != token.segment or token.stem in PLAIN or len(token.text) < 4 or token.quoted:
        return False
    if word in book.genus_cultivars and token.stem in book.genus_cultivars[word]:
        return False
    return token.text.islower() or epithet_stem(token.text) in book.epithet_stems.get(word, ()) or bool(
        _epithets_near(token.text.lower(), word, book))


def _turned_round(tokens: list[Token], words: list[int], book: NameBook):
    """Names written back to front round a comma: "BULRUSH, HARDSTEM"."""
    for a in range(1, len(words)):
        left, right = tokens[words[a - 1]], tokens[words[a]]
        if right.segment != left.segment + 1:
            continue
        for back in range(1, 3):
            if a - back < 0 or tokens[words[a - back]].segment != left.segment:
                break
            for ahead in range(1, 4):
                if a + ahead > len(words) or tokens[words[a + ahead - 1]].segment != right.segment:
                    break
                ahead_run = "".join(tokens[w].stem for w in words[a:a + ahead])
                back_run = "".join(tokens[w].stem for w in words[a - back:a])
                run = ahead_run + back_run
                if ahead_run in book.keys and back_run in book.keys:
                    continue                            # two names side by side, not one turned round
                if run in book.keys and not book.keys[run].scientific:
                    yield len(run), a - back, a + ahead, book.keys[run]


def _more_epithets(tokens: list[Token], loose: list[int], book: NameBook, mentions: list[Mention]) -> list[Mention]:
    """"Typha minima or laxmannii": further epithets of a genus already named in full."""
    genera = {m.written.split()[0].lower() for m in mentions if m.kind == "scientific" and m.plants and m.end - m.start > 1}
    covered = covered_by(mentions, len(tokens))
    return [Mention(i, i + 1, book.binomial(g, tokens[i].text), "scientific", f"{g.capitalize()} {tokens[i].text}")
            for i in loose if not covered[i] for g in genera if tokens[i].text in book.epithets.get(g, ())]


def _abbreviated(tokens, words, book: NameBook, mentions, heading: str, recent: dict[str, str], clean: Clean) -> list[Mention]:
    """"A. incarnata", and "A. c. 'Variegata'": the letter is settled by the heading or by a genus named before."""
    covered, out = covered_by(mentions, len(tokens)), []
    for a in range(len(words) - 1):
        i, k = words[a], words[a + 1]
        letter, word = tokens[i].text, tokens[k]
        if len(letter) != 1 or not letter.isupper() or covered[i]:
            continue
        settled = heading if heading[:1] == letter.lower() else recent.get(letter.lower(), "")
        if len(word.text) == 1 and clean.quoted:
            found = _initials(letter.lower(), word.text.lower(), clean.quoted[0], settled, book)
            if found:
                out.append(Mention(i, k + 1, found, "scientific", f"{letter}. {word.text}.", slip=0 if len(found) == 1 and settled else 2))
            continue
        if covered[k] or not clean.text[tokens[i].start + 1:].lstrip().startswith((".", word.text)):
            continue
        pairs = book.by_initial.get((letter.lower(), epithet_stem(word.text)), ())
        within = [p for genus, p in pairs if genus == settled]
        plants = tuple(dict.fromkeys(within or [p for _, p in pairs]))
        if plants:
            named = {p for m in mentions if m.kind in ("common", "genus") for p in m.plants}
            agreed = [p for p in plants if p in named]
            out.append(Mention(i, k + 1, plants, "scientific", f"{letter}. {word.text}",
                               slip=0 if within or agreed else 2))
    return out


def _initials(first: str, second: str, cultivar: str, settled: str, book: NameBook) -> tuple[str, ...]:
    of_name = book.cultivars.get(key_of(cultivar), ())
    fits = [p for p in of_name if book.genus_of(p)[0] == first and book.scientific[p].split()[1][:1] == second]
    if not fits:
        fits = [p for p, n in book.scientific.items() if n[0].lower() == first and n.split()[1][:1] == second]
    return tuple([p for p in fits if book.genus_of(p) == settled] or fits)


def _epithets_near(epithet: str, genus: str, book: NameBook) -> list[tuple[int, str]]:
    """(slips, epithet) of a genus's epithets that the word may be, nearest first; (2, ...) are loose."""
    from rapidfuzz.distance import OSA, Indel

    table = book.epithets.get(genus, {})
    if epithet in table:
        return [(0, epithet)]
    same = [e for e in table if epithet_stem(e) == epithet_stem(epithet)]
    if same:
        return [(0, e) for e in same]
    scored = []
    for e in table:
        distance = OSA.distance(epithet, e, score_cutoff=3)
        if distance <= min(3, max(len(e), len(epithet)) // 4):
            scored.append((distance, e))
        elif any(p in book.refused for p in table[e]) and Indel.normalized_similarity(epithet, e) >= LOOSE_REFUSED:
            scored.append((4, e))
    scored.sort()
    out = []
    for distance, e in scored:
        least = min(len(e), len(epithet))
        sure = (distance == 1 and least >= SURE_EPITHET) or (distance == 2 and least >= TWO_SLIPS and e[0] == epithet[0])
        sure = sure or (distance <= 2 and least >= 8 and epithet[:-2] == e[:-2])       # another ending
        if sure and epithet[:-2] != e[:-2] and len(table) >= MANY_SPECIES and _other_consonant(epithet, e):
            sure = False
        if sure and epithet not in book.known_epithets and distance == scored[0][0]:
            out.append((1, e))
        else:
            out.append((2, e))
    return out


def _other_consonant(a: str, b: str) -> bool:
    """Whether words of one length differ in consonants that people do not mix up: then they are two words, not a slip."""
    if len(a) != len(b) or sorted(a) == sorted(b):
        return False
    return any(x != y and not (x in "aeiouy" and y in "aeiouy") and frozenset((x, y)) not in _MIXED for x, y in zip(a, b))


def _one_slip(tokens, words, book: NameBook, mentions, loose: list[int], clean: Clean) -> list[Mention]:
    """Names with slips: epithets within their genus, genera one slip away, then any name one slip away."""
    covered = covered_by(mentions, len(tokens))
    out: list[Mention] = []
    for a, i in enumerate(words[:-1]):
        k = words[a + 1]
        genus, epithet = tokens[i], tokens[k]
        if covered[i] or genus.segment != epithet.segment or len(genus.text) < 4 or len(epithet.text) < 3:
            continue
        exact = genus.text.lower() in book.genera
        if not exact and genus.stem in PLAIN:
            continue
        names = [genus.text.lower()] if exact else book.near_genera(genus.text.lower()) or _genera_two_slips(
            genus.text.lower(), epithet.text.lower(), book)
        near = [(s, g, e) for g in names for s, e in _epithets_near(epithet.text.lower(), g, book)] if not covered[k] else []
        if not exact and any(s < 2 for s, _, _ in near):
            near = [n for n in near if n[0] < 2]
        elif not exact:
            near = []
        if near:
            out.append(_binomial(tokens, i, k, near, not exact, book))
            covered[i] = covered[k] = True
        elif exact and not covered[k] and epithet.text.islower() and epithet.stem not in PLAIN:
            out.append(Mention(i, k + 1, (), "scientific", f"{genus.text} {epithet.text}", genus.text.capitalize()))
            covered[i] = covered[k] = True
        elif exact:
            out.append(Mention(i, i + 1, book.genera[genus.text.lower()], "genus", genus.text, genus.text.capitalize()))
            covered[i] = True
    rest = {i for i in loose if not covered[i]}
    if rest or not (mentions or out):
        fresh = _phrases(tokens, words, book, rest, mentions + out)
        spans = [(m.start, m.end) for m in fresh]
        mentions = [m for m in mentions if not any(a < m.end and m.start < b for a, b in spans)]
        out += fresh
    return mentions + out


def _genera_two_slips(genus: str, epithet: str, book: NameBook) -> list[str]:
    """Genera that have this very epithet and are two slips from the word before it ("Saggitaria latifolia")."""
    from rapidfuzz.distance import OSA

    if len(genus) < 7:
        return []
    return [g for g in book.genera_with.get(epithet, ()) if len(g) >= 7 and OSA.distance(genus, g, score_cutoff=2) <= 2]


def _binomial(tokens, i: int, k: int, near, genus_slip: bool, book: NameBook) -> Mention:
    best = min(s for s, _, _ in near)
    plants: list[str] = []
    for s, g, e in near:
        if s == best or (best and any(p in book.refused for p in book.epithets[g][e])):
            plants += book.binomial(g, e)
    first = next((g, e) for s, g, e in near if s == best)
    slip = max(best, 1 if genus_slip else 0)
    return Mention(i, k + 1, tuple(dict.fromkeys(plants)), "scientific", f"{tokens[i].text} {tokens[k].text}",
                   f"{first[0].capitalize()} {first[1]}", slip)


def _phrases(tokens, words, book: NameBook, rest: set[int], mentions: list[Mention]) -> list[Mention]:
    """Names one slip away over any run of words that holds a word not yet explained."""
    firm = {i for m in mentions if m.kind == "scientific" for i in range(m.start, m.end)}
    wide = {i for m in mentions if m.end - m.start > 1 for i in range(m.start, m.end)} | firm
    found = []
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
            if not holds or len(run) < SHORTEST_NEAR or (a == b and (token.stem in PLAIN or _is_code(token.text))):
                continue
            near = book.near_keys(run)
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
            m = _mention(book, entries[0], tokens, words[a], words[b - 1] + 1, 1)
            for entry in entries[1:]:
                m.plants = tuple(dict.fromkeys((*m.plants, *entry.plants)))
                m.called = tuple(dict.fromkeys((*m.called, *entry.called)))
            if b - a == 1 and m.kind != "scientific" and size < 8:
                m.slip = 2
            out.append(m)
    for i in sorted(rest):
        near = book.near_genera(tokens[i].text.lower()) if words.index(i) not in taken and len(tokens[i].text) >= 6 else ()
        if near and not _is_code(tokens[i].text) and not _near_word(tokens[i].stem):
            plants = tuple(dict.fromkeys(p for g in near for p in book.genera[g]))
            out.append(Mention(i, i + 1, plants, "genus", tokens[i].text, near[0].capitalize(), 1))
    return out


def _near_word(word: str) -> bool:
    return word in HARDWARE or word in ANIMALS or word in FUNCTION_WORDS


def _is_code(text: str) -> bool:
    return text.isupper() and len(text) <= 6 and not any(v in text[1:] for v in "AEIOUY") or len(text) <= 3


def _beneath(tokens, words, book: NameBook, mentions, heading: str) -> list[Mention]:
    """Epithets standing alone beneath a genus heading."""
    if any(m.kind in ("scientific", "genus") for m in mentions):
        return []
    covered = covered_by([m for m in mentions if m.kind != "common" or m.slip], len(tokens))
    for i in words[:3]:
        word = tokens[i].text.lower()
        if covered[i] or len(word) < 4 or tokens[i].quoted:
            continue
        near = [(s, heading, e) for s, e in _epithets_near(word, heading, book)]
        if near and (near[0][0] < 2 or i == words[0] and tokens[i].stem not in PLAIN):
            m = _binomial(tokens, i, i, near, False, book)
            m.written = f"{heading.capitalize()} {tokens[i].text}"
            return [m]
    return []


def _cultivars(tokens, words, book: NameBook, mentions, clean: Clean, heading: str) -> list[Mention]:
    """Cultivar names: in quotes, or after their genus without quotes, or beneath their genus's heading."""
    from rapidfuzz.distance import OSA

    out: list[Mention] = []
    genera = [(m.taken.lower(), m.end) for m in mentions if m.kind == "genus" and m.taken.lower() in book.genus_cultivars]
    if heading in book.genus_cultivars and not mentions:
        genera.append((heading, words[0] if words else 0))
    for genus, start in genera:
        if 0 < start < len(tokens) and genus != heading and tokens[start].segment != tokens[start - 1].segment and not (
                tokens[start].quoted):
            continue
        table, run = book.genus_cultivars[genus], ""
        best = None
        for i in range(start, min(start + 4, len(tokens))):
            run += tokens[i].stem
            if run in table:
                best = (i + 1, run, 0)
        if best is None and start < len(tokens) and len(tokens[start].stem) >= 6 and tokens[start].stem not in PLAIN:
            close = [k for k in table if OSA.distance(tokens[start].stem, k, score_cutoff=1) <= 1]
            best = (start + 1, close[0], 1) if len(close) == 1 else None
        if best:
            out.append(Mention(start, best[0], table[best[1]], "cultivar", " ".join(t.text for t in tokens[start:best[0]]),
                               slip=best[2], said_sp=genus == heading))
    for name in clean.quoted if not out else ():
        plants = book.cultivars.get(key_of(name), ())
        at = [i for i in words if tokens[i].quoted]
        if plants and at:
            out.append(Mention(at[0], at[-1] + 1, plants, "cultivar", name))
    if not mentions and not out:
        segment = [i for i in words if tokens[i].segment == tokens[words[0]].segment] if words else []
        plants = book.cultivars.get("".join(tokens[i].stem for i in segment), ()) if len(segment) > 1 else ()
        if plants:
            out.append(Mention(segment[0], segment[-1] + 1, plants, "cultivar", " ".join(tokens[i].text for i in segment)))
    return out


def settle(readings: list[Reading], book: NameBook, block: int = 400) -> None:
    """The last and dearest stage, for what no exact name or single slip explained: the nearest names, in blocks.

    A phrase much like a name becomes a candidate that is not sure; otherwise it stays unknown, with three names.
    """
    from rapidfuzz import fuzz, process

    waiting: dict[str, list[Reading]] = {}
    for r in readings:
        if r.kind == "unknown" and not r.nearest and r.phrase:
            waiting.setdefault(key_of(r.phrase), []).append(r)
    keys, names = book.nearest_names
    phrases = [p for p in waiting if len(p) >= 4]
    for start in range(0, len(phrases), block):
        some = phrases[start:start + block]
        scores = process.cdist(some, keys, scorer=fuzz.ratio, score_cutoff=NEAREST_FLOOR, dtype="uint8")
        top = scores.argpartition(-4, axis=1)[:, -4:] if len(keys) > 4 else scores.argsort(axis=1)
        for phrase, row, best in zip(some, scores, top):
            order = sorted((int(i) for i in best if row[i] > 0), key=lambda i: (-int(row[i]), keys[i]))
            for reading in waiting[phrase]:
                _settle_one(reading, [(int(row[i]), keys[i], names[i]) for i in order], book)


def _settle_one(reading: Reading, near: list[tuple[int, str, str]], book: NameBook) -> None:
    reading.nearest = tuple(dict.fromkeys(name for _, _, name in near))[:3]
    if reading.heading and reading.heading in book.genera:
        return          # a genus that we know with an epithet that we do not: another species, not a slip
    word = " " not in reading.phrase.strip()
    found = [(score, key) for score, key, _ in near
             if score >= (MATCH_WORD if word else MATCH_REFUSED if any(p in book.refused for p in book.keys[key].plants) else MATCH)]
    if found:
        plants = tuple(dict.fromkeys(p for _, key in found for p in book.keys[key].plants))
        reading.kind, reading.candidates, reading.sure = "plant", plants, False
        reading.doubts = (f'"{reading.phrase}" is only like "{book.keys[found[0][1]].name}"',)
