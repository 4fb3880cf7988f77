"""Names that stand on a line as they stand in the catalogue: whole, turned around, cut short, beneath a heading, and
cultivars."""

from __future__ import annotations

import re
from collections.abc import Iterator

from plantpick.offers.fuzzy_match import binomial_mention, epithets_near
from plantpick.offers.match import Mention, MentionKind, covered_by, mention_of
from plantpick.offers.name_index import LONGEST, Entry, NameBook
from plantpick.offers.normalize import Clean, Token, epithet_stem, key_of
from plantpick.offers.words import COLORS, FUNCTION_WORDS, NEVER_LAST, PLAIN

_PARTED = re.compile(r"[,(:]|\s-|-\s")  # what stands between the word for a group and the one for its kind


def whole_cultivars(
    tokens: list[Token], words: list[int], book: NameBook, mentions: list[Mention]
) -> list[Mention]:
    """Cultivars' names of two words and more that stand as they stand in the catalogue, where no other name
    does."""
    covered = covered_by(mentions, len(tokens))
    out: list[Mention] = []
    for a in range(len(words) - 1):
        if covered[words[a]]:
            continue
        run = tokens[words[a]].stem
        for b in range(a + 1, min(a + 4, len(words))):
            i = words[b]
            if tokens[i].segment != tokens[words[a]].segment or tokens[i].quoted or covered[i]:
                break
            run += tokens[i].stem
            plants = book.cultivars.get(run, ())
            if plants:
                written = " ".join(tokens[w].text for w in words[a : b + 1])
                out.append(Mention(words[a], i + 1, plants, MentionKind.CULTIVAR, written))
                covered[words[a] : i + 1] = [True] * (i + 1 - words[a])
                break
    return out


def exact(tokens: list[Token], words: list[int], book: NameBook, clean: Clean) -> list[Mention]:
    """Names that stand on the line as they stand in the catalogue, the longest first, then genera."""
    keys, count = book.keys, len(words)
    found: list[tuple[int, int, int, Entry]] = []
    some = [(tokens[i].stem, tokens[i].segment) for i in words]
    for a, (first, segment) in enumerate(some):
        run = ""
        for b, (word, here) in enumerate(some[a : a + LONGEST], a):
            if here != segment:
                break
            run += word
            if run in keys and not (a == b and first in PLAIN):
                if (
                    b > a
                    and tokens[words[b]].text in NEVER_LAST
                    and book.bound.keys().isdisjoint(keys[run].plants)
                ):
                    continue  # "hosts a few beetles" is no hosta
                found.append((len(run), a, b + 1, keys[run]))
    if _PARTED.search(clean.text):
        found += _turned_round(tokens, words, book, clean)
    found += _swapped(some, book) or _in_pieces(some, book)
    firm = [(a, b) for _, a, b, entry in found if entry.scientific and b - a > 1]
    found = [  # "Northern Blue Flag Iris versicolor": the genus belongs to its epithet
        f
        for f in found
        if f[3].scientific or not any(f[1] < a < f[2] < b or a < f[1] < b < f[2] for a, b in firm)
    ]
    found.sort(key=lambda f: (-f[0], f[1]))
    taken = [False] * count
    out = []
    for _, a, b, entry in found:
        if not any(taken[a:b]):
            taken[a:b] = [True] * (b - a)
            out.append(mention_of(book, entry, tokens, words[a], words[b - 1] + 1))
    out = [m for m in out if not _with_unknown_epithet(m, tokens, book)]
    for m in out:  # a bare genus that is also a common name is both
        word = tokens[m.start].text.lower()
        if m.end - m.start == 1 and m.kind != MentionKind.SCIENTIFIC and word in book.genera:
            genus = book.genera[word]
            m.plants, m.kind = (*genus, *(p for p in m.plants if p not in genus)), MentionKind.GENUS
            m.said_sp = _says_sp(tokens, m.end)
    covered = covered_by(out, len(tokens))
    for a, i in enumerate(words):
        if covered[i]:
            continue
        word = tokens[i].text.lower()
        if word in book.genera and not (tokens[i].stem in PLAIN and not _says_sp(tokens, i + 1)):
            if tokens[i].quoted and tokens[i].stem in book.cultivars:
                continue  # 'Gloriosa', a water lily
            follows = a + 1 < count and not taken[a + 1] and words[a + 1] == i + 1
            if follows and _epithet_of(tokens[i], tokens[i + 1], word, book):
                continue  # left for the reading of slips
            out.append(
                Mention(
                    i,
                    i + 1,
                    book.genera[word],
                    MentionKind.GENUS,
                    tokens[i].text,
                    word.capitalize(),
                    said_sp=_says_sp(tokens, i + 1),
                )
            )
    return out


def _with_unknown_epithet(m: Mention, tokens: list[Token], book: NameBook) -> bool:
    """A genus that is also a common name, before a word written as its epithet: left for the reading of
    slips."""
    if m.end - m.start != 1 or m.end >= len(tokens) or m.kind == MentionKind.SCIENTIFIC:
        return False
    genus, after = tokens[m.start], tokens[m.end]
    return (
        genus.text.lower() in book.epithets
        and genus.text[0].isupper()
        and len(after.text) > 4
        and (after.text.islower() or _is_epithet_but_for_slips(after.text, genus.text.lower(), book))
        and after.segment == genus.segment
        and after.stem not in PLAIN
        and not after.quoted
        and after.stem not in book.keys
        and after.text not in FUNCTION_WORDS
    )


def _is_epithet_but_for_slips(word: str, genus: str, book: NameBook) -> bool:
    """Whether a word with a large letter is surely an epithet of the genus with slips: "Cabomba Carolinia"."""
    return word.istitle() and any(slip < 2 for slip, _ in epithets_near(word.lower(), genus, book))


def _says_sp(tokens: list[Token], after: int) -> bool:
    return after < len(tokens) and tokens[after].text.lower() in ("sp", "spp", "species", "ssp")


def _epithet_of(genus: Token, token: Token, word: str, book: NameBook) -> bool:
    """Whether the word after a genus is written like its epithet: same segment, small letters or all like the
    genus."""
    if genus.segment != token.segment or token.stem in PLAIN or len(token.text) < 4 or token.quoted:
        return False
    if word in book.genus_cultivars and token.stem in book.genus_cultivars[word]:
        return False
    return (
        token.text.islower()
        or epithet_stem(token.text) in book.epithet_stems.get(word, ())
        or bool(epithets_near(token.text.lower(), word, book))
    )


def _swapped(some: list[tuple[str, int]], book: NameBook) -> list[tuple[int, int, int, Entry]]:
    """Two words alone at the head of a line that are a refused plant's name the other way round: "bluestem yellow". `some` are
    the stems of the line's words with their segments."""
    run = [
        a
        for a, (word, segment) in enumerate(some[:6])
        if segment == some[0][1] and (word not in PLAIN or word in book.groups)
    ]
    if len(run) != 2 or run != [0, 1]:
        return []
    first, second = some[0][0], some[1][0]
    entry = book.keys.get(second + first)
    if not entry or entry.scientific or first + second in book.keys:
        return []
    if not any(p in book.refused for p in entry.plants):
        return []
    return [(len(first) + len(second), 0, 2, entry)]


def _in_pieces(some: list[tuple[str, int]], book: NameBook) -> list[tuple[int, int, int, Entry]]:
    """A line that is no more than a refused plant's name with a sign astray in it: "bee -bee tree"."""
    if not 1 < len(some) <= LONGEST or some[0][1] == some[-1][1]:
        return []
    entry = book.keys.get("".join(word for word, _ in some))
    if not entry or not any(p in book.refused for p in entry.plants):
        return []
    return [(sum(len(word) for word, _ in some), 0, len(some), entry)]


def _turned_round(
    tokens: list[Token], words: list[int], book: NameBook, clean: Clean
) -> Iterator[tuple[int, int, int, Entry]]:
    """Names written back to front round a comma, a dash, a colon, or a bracket: "BULRUSH, HARDSTEM", "Birch - River", "Flag
    (sweet)"."""
    for a in range(1, len(words)):
        left, right = tokens[words[a - 1]], tokens[words[a]]
        between = clean.text[left.start + len(left.text) : right.start]
        if right.segment != left.segment + 1 or not _PARTED.search(between):
            continue
        if "," not in between and right.text.lower() in book.genera and right.text[0].isupper():
            continue  # "Red Bog Lily (Crinum 'Menehune')": a name in two languages
        for back in range(1, 3):
            if a - back < 0 or tokens[words[a - back]].segment != left.segment:
                break
            for ahead in range(1, 4):
                if a + ahead > len(words) or tokens[words[a + ahead - 1]].segment != right.segment:
                    break
                ahead_run = "".join(tokens[w].stem for w in words[a : a + ahead])
                back_run = "".join(tokens[w].stem for w in words[a - back : a])
                run = ahead_run + back_run
                if ahead_run in book.keys and back_run in book.keys:
                    continue  # two names side by side, not one turned round
                if run in book.keys and not book.keys[run].scientific:
                    entry = book.keys[run]
                    if all(tokens[w].stem in COLORS for w in words[a : a + ahead]):
                        entry = _or_the_bare_name(entry, back_run, book)
                    yield len(run), a - back, a + ahead, entry


def _or_the_bare_name(entry: Entry, bare: str, book: NameBook) -> Entry:
    """ "Smartweed, pink": pink smartweed, or any smartweed that flowers pink."""
    known = book.keys[bare].plants if bare in book.keys else book.genera.get(bare, ())
    return Entry(entry.name, (*entry.pairs, *((p, "common") for p in known if p not in entry.plants)))


def more_epithets(
    tokens: list[Token], loose: list[int], book: NameBook, mentions: list[Mention]
) -> list[Mention]:
    """ "Typha minima or laxmannii": further epithets of a genus already named in full."""
    genera = {
        m.written.split()[0].lower()
        for m in mentions
        if m.kind == MentionKind.SCIENTIFIC and m.plants and m.end - m.start > 1
    }
    covered = covered_by(mentions, len(tokens))
    return [
        Mention(
            i,
            i + 1,
            book.binomial(g, tokens[i].text),
            MentionKind.SCIENTIFIC,
            f"{g.capitalize()} {tokens[i].text}",
        )
        for i in loose
        if not covered[i]
        for g in genera
        if tokens[i].text in book.epithets.get(g, ())
    ]


def beneath_heading(tokens, words, book: NameBook, mentions, heading: str) -> list[Mention]:
    """Epithets standing alone beneath a genus heading."""
    if any(m.kind in (MentionKind.SCIENTIFIC, MentionKind.GENUS) for m in mentions):
        return []
    covered = covered_by([m for m in mentions if m.kind != MentionKind.COMMON or m.slip], len(tokens))
    for i in words[:3]:
        word = tokens[i].text.lower()
        known = word in book.epithets.get(heading, ())
        if covered[i] and not known or len(word) < 4 or tokens[i].quoted:
            continue
        near = [(s, heading, e) for s, e in epithets_near(word, heading, book)]
        if near and (near[0][0] < 2 or i == words[0] and tokens[i].stem not in PLAIN):
            m = binomial_mention(tokens, i, i, near, False, book)
            m.written = f"{heading.capitalize()} {tokens[i].text}"
            return [m]
    return []


def cultivars_of_genera(tokens, words, book: NameBook, mentions, clean: Clean, heading: str) -> list[Mention]:
    """Cultivar names: in quotes, or after their genus without quotes, or beneath their genus's heading."""
    from rapidfuzz.distance import OSA

    out: list[Mention] = []
    genera = [
        (m.taken.lower(), m.end)
        for m in mentions
        if m.kind == MentionKind.GENUS and m.taken.lower() in book.genus_cultivars
    ]
    if heading in book.genus_cultivars and not mentions:
        genera.append((heading, words[0] if words else 0))
    for genus, start in genera:
        if (
            0 < start < len(tokens)
            and genus != heading
            and tokens[start].segment != tokens[start - 1].segment
            and not (tokens[start].quoted)
        ):
            continue
        table, run = book.genus_cultivars[genus], ""
        best = None
        for i in range(start, min(start + 4, len(tokens))):
            run += tokens[i].stem
            if run in table:
                best = (i + 1, run, 0)
        if (
            best is None
            and start < len(tokens)
            and len(tokens[start].stem) >= 6
            and tokens[start].stem not in PLAIN
        ):
            close = [k for k in table if OSA.distance(tokens[start].stem, k, score_cutoff=1) <= 1]
            best = (start + 1, close[0], 1) if len(close) == 1 else None
        if best:
            out.append(
                Mention(
                    start,
                    best[0],
                    table[best[1]],
                    MentionKind.CULTIVAR,
                    " ".join(t.text for t in tokens[start : best[0]]),
                    slip=best[2],
                    said_sp=genus == heading,
                )
            )
    for name in clean.quoted if not out else ():
        plants = book.cultivars.get(key_of(name), ())
        at = [i for i in words if tokens[i].quoted]
        if plants and at:
            out.append(Mention(at[0], at[-1] + 1, plants, MentionKind.CULTIVAR, name))
    if not mentions and not out:
        segment = [i for i in words if tokens[i].segment == tokens[words[0]].segment] if words else []
        plants = book.cultivars.get("".join(tokens[i].stem for i in segment), ()) if len(segment) > 1 else ()
        if plants:
            out.append(
                Mention(
                    segment[0],
                    segment[-1] + 1,
                    plants,
                    MentionKind.CULTIVAR,
                    " ".join(tokens[i].text for i in segment),
                )
            )
    return out


# ------------------------------------------------------------------ names cut short


def shortened(tokens: list[Token], words: list[int], book: NameBook, clean: Clean) -> list[Mention]:
    """ "Peltandra virg.", "Pont. cordata", "Sag. lat.": a genus or an epithet cut short by a full stop.

    Sure only if the other half stands in full; where both are cut the line is like the name, no more.
    """
    out = []
    for a in range(len(words) - 1):
        i, k = words[a], words[a + 1]
        first, second = tokens[i].text.lower(), tokens[k].text.lower()
        if tokens[i].segment != tokens[k].segment or len(first) < 3 or len(second) < 3:
            continue
        genera, whole = [first], first in book.epithets
        if not whole:
            if not _stopped(tokens[i], clean) or tokens[i].stem in PLAIN:
                continue
            genera = [g for g in book.epithets if g.startswith(first)]
        cut = _stopped(tokens[k], clean)
        begun = [
            (g, e)
            for g in genera
            for e in book.epithets[g]
            if (cut and e.startswith(second) or not whole and epithet_stem(e) == epithet_stem(second))
        ]
        if not begun or whole and second in book.epithets[first]:
            continue
        plants = tuple(dict.fromkeys(p for g, e in begun for p in book.binomial(g, e)))
        in_full = whole or any(epithet_stem(e) == epithet_stem(second) for _, e in begun)
        out.append(
            Mention(
                i,
                k + 1,
                plants,
                MentionKind.SCIENTIFIC,
                f"{tokens[i].text}{'' if whole else '.'} {tokens[k].text}{'.' if cut else ''}",
                f"{begun[0][0].capitalize()} {begun[0][1]}",
                slip=0 if in_full else 2,
            )
        )
    return out


def _stopped(token: Token, clean: Clean) -> bool:
    end = token.start + len(token.text)
    return clean.text[end : end + 1] == "."


def abbreviated(
    tokens, words, book: NameBook, mentions, heading: str, recent: dict[str, str], clean: Clean
) -> list[Mention]:
    """ "A. incarnata", and "A. c. 'Variegata'": the letter is settled by the heading or by a genus named
    before."""
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
                out.append(
                    Mention(
                        i,
                        k + 1,
                        found,
                        MentionKind.SCIENTIFIC,
                        f"{letter}. {word.text}.",
                        slip=0 if len(found) == 1 and settled else 2,
                    )
                )
            continue
        by_its_word = any(
            m.start == k and m.end == k + 1 and m.kind != MentionKind.SCIENTIFIC for m in mentions
        )
        if (
            covered[k]
            and not by_its_word
            or not clean.text[tokens[i].start + 1 :].lstrip().startswith((".", word.text))
        ):
            continue
        pairs = book.by_initial.get((letter.lower(), epithet_stem(word.text)), ())
        within = [p for genus, p in pairs if genus == settled]
        plants = tuple(dict.fromkeys(within or [p for _, p in pairs]))
        if plants:
            named = {
                p for m in mentions if m.kind in (MentionKind.COMMON, MentionKind.GENUS) for p in m.plants
            }
            agreed = [p for p in plants if p in named]
            if (
                agreed
            ):  # "butterfly weed (A. tuberosa)" is no garlic chives; a plant that a list binds stays a doubt
                plants = tuple(p for p in plants if p in named or p in book.bound)
                pairs = tuple((genus, p) for genus, p in pairs if p in plants)
            out.append(
                Mention(
                    i,
                    k + 1,
                    plants,
                    MentionKind.SCIENTIFIC,
                    f"{letter}. {word.text}",
                    f"{(settled if within else pairs[0][0]).capitalize()} {word.text}"
                    if within or len({g for g, _ in pairs}) == 1
                    else "",
                    slip=0 if within or agreed else 2,
                )
            )
    return out


def _initials(first: str, second: str, cultivar: str, settled: str, book: NameBook) -> tuple[str, ...]:
    of_name = book.cultivars.get(key_of(cultivar), ())
    fits = [
        p for p in of_name if book.genus_of(p)[0] == first and book.scientific[p].split()[1][:1] == second
    ]
    if not fits:
        fits = [p for p, n in book.scientific.items() if n[0].lower() == first and n.split()[1][:1] == second]
    return tuple([p for p in fits if book.genus_of(p) == settled] or fits)
