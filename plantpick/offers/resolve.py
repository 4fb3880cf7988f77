"""What the names found on one line add up to: one plant, several, a conflict, a name in no table."""

from __future__ import annotations

import re

from plantpick.offers.doubts import (
    in_small,
    likened,
    of_many_genera,
    own_epithet,
    own_word,
    painted_with,
    same_plant_said,
)
from plantpick.offers.line_in_words import NAME_WIDE, LineInWords, flat, groups_of
from plantpick.offers.match import Mention, MentionKind, Reading, ReadingKind
from plantpick.offers.name_index import NameBook
from plantpick.offers.no_plant import is_gear, is_headed, is_letterhead, is_only_said, nothing
from plantpick.offers.normalize import RANKS, Clean, Token, key_of, stem
from plantpick.offers.said_beside import with_what_is_beside
from plantpick.offers.words import COLORS, CONNECTIVES, GENERIC, PLAIN, explains_itself, stems_in

WELL_KNOWN = 3  # lists from which a plant's own name outweighs a trader's use of it for others (judgement)
# Words that tell plants apart by looks alone: shops' names made with them are seldom one plant's (judgement).
LOOKS = frozenset("dwarf mini miniature graceful jumbo".split())
_HEALTH = stems_in("compact bushy healthy")  # said of any plant, so it tells you nothing of which
QUOTE = "'"
DOUBT_WORDS = frozenset("cf aff".split())


def resolve(
    tokens: list[Token], mentions: list[Mention], loose: list[int], book: NameBook, clean: Clean
) -> Reading:
    """Weigh the mentions of a line. `loose` are the words that nothing explains."""
    line = LineInWords(tokens, mentions, loose, book, clean)
    if mentions and all(painted_with(m, tokens) for m in mentions):
        line.mentions = mentions = []
    if not mentions:
        elided(line)
    named = [m for m in line.mentions if m.kind == MentionKind.SCIENTIFIC and m.plants]
    if not line.mentions or is_gear(line):
        return nothing(line)
    if is_letterhead(line):
        return Reading()
    if named:
        line.mentions = [m for m in line.mentions if not painted(line, m)]
        reading = by_scientific(line, named)
    elif any(m.kind == MentionKind.GENUS for m in line.mentions):
        reading = by_genus(line)
    elif any(not m.plants for m in line.mentions):
        return unknown_species(line)
    else:
        reading = by_common(line)
    return with_what_is_beside(line, reading)


def elided(line: LineInWords) -> None:
    """ "Hyacinths, Lettuce" among floating plants: the word water left out before a listed plant's
    name."""
    for i, word in enumerate(line.stems):
        entry = line.book.keys.get("water" + word)
        if (
            word in GENERIC
            and word not in PLAIN
            and entry
            and all(p in line.book.introduced for p in entry.plants)
        ):
            line.mentions.append(
                Mention(i, i + 1, entry.plants, MentionKind.TRADE, line.tokens[i].text, entry.name, 2)
            )


def unknown_species(line: LineInWords) -> Reading:
    """A scientific name in no table: no common name beside it stands for it, but a refused plant's is
    repeated."""
    m = next(m for m in line.mentions if not m.plants)
    doubts = [
        f'"{o.written}" beside it is a name of {line.names(o.plants)}'
        for o in line.mentions
        if o.plants and not o.slip and line.alone(o) and all(p in line.book.refused for p in o.plants)
    ]
    genus = m.taken.lower() if m.taken.lower() in line.book.genera else ""
    kin = flat(
        [p for p in o.plants if line.book.genus_of(p) == genus]
        for o in line.mentions
        if o.plants and not o.slip and not line.is_wide(o)
    )
    if genus and kin:  # "Purple milkweed, Asclepias purpurea": perhaps the one so called
        doubts.insert(0, f"{m.written} is not in our catalogue")
        return Reading(
            kind=ReadingKind.PLANT,
            candidates=kin,
            doubts=tuple(doubts),
            phrase=m.written,
            heading=genus,
            loose_ends=(m.written,),
        )
    return Reading(
        kind=ReadingKind.UNKNOWN,
        doubts=tuple(doubts),
        phrase=m.written,
        heading=genus,
        loose_ends=(m.written,),
    )


def by_scientific(line: LineInWords, named: list[Mention]) -> Reading:
    firm = [m for m in named if m.slip < 2] or named
    groups = groups_of(firm)
    for m in named:
        if m not in firm and any(p in line.book.refused for p in m.plants):
            groups.append([p for p in m.plants if not any(p in g for g in groups)])
    groups = [g for g in groups if g]
    doubts = []
    if len(groups) > 1:
        doubts.append(
            "the names do not agree, or there are several plants: " + ", ".join(m.written for m in named)
        )
    kept = {p for g in groups for p in g}
    dropped = [
        m
        for m in firm
        if m.plants[0] not in kept
        and m.plants[0] in line.book.introduced
        and key_of(m.taken or m.written) == key_of(line.book.scientific[m.plants[0]])
    ]
    if dropped:  # an introduced plant's own name stands there, whatever else it may mean
        groups.append([m.plants[0] for m in dropped])
        doubts.append("the names do not agree: " + ", ".join(m.written for m in named))
    named_plants = {p for g in groups for p in g}
    extra: list[str] = []
    for m in line.mentions:
        if m.kind == MentionKind.SCIENTIFIC and not m.plants:
            if not same_plant_said(m, line.tokens, named_plants, line.book):
                doubts.append(f"{m.written} is named too and is not in our catalogue")
        elif m.kind == MentionKind.GENUS and m.written.lower() in line.book.wandering_genera:
            doubts.append(f"shops sell several plants as {m.written.lower()}, some of them forbidden")
        elif (
            m.kind == MentionKind.GENUS
            and not named_plants & set(m.plants)
            and not line.tokens[m.start].quoted
            and not likened(m, line.tokens, line.book)
            and not own_word(m, line.tokens, named_plants, line.book, line.clean)
        ):
            if line.mostly_introduced(m) or (
                m.slip == 0 and (m.written[0].isupper() or line.clean.text.islower())
            ):
                doubts.append(f"{m.written} is named too")
                extra += m.plants
        elif m.kind == MentionKind.CULTIVAR and not named_plants & set(m.plants):
            accuses = not (_own_genus(line, m, named_plants) or _only_color(line, m))
            accuses = accuses and not own_epithet(m, line.tokens, named_plants, line.book)
            if accuses and not of_many_genera(m.plants, line.book):
                doubts.append(f"'{m.written}' is known as a cultivar of another plant")
                extra += m.plants
        elif m.kind in (MentionKind.COMMON, MentionKind.TRADE):
            doubt = _against(line, m, named_plants)
            if doubt:
                doubts.append(doubt)
                extra += m.plants
    for m in firm:
        below = line.book.below.get(key_of(m.taken or m.written), ())
        after = m.end
        while after < len(line.stems) and (line.stems[after] in RANKS or len(line.stems[after]) < 3):
            after += 1
        if after in line.loose and line.tokens[after].segment == line.tokens[m.start].segment:
            if set(below) - named_plants:
                doubts.append(f"what stands behind {m.written} may name another of its kind")
                extra += below
    groups = _narrow(line, groups)
    candidates = flat((*groups, extra))
    slips = [m for m in firm if m.slip and m.taken]
    if any(m.slip > 1 for m in firm):
        doubts.append(f"{firm[0].written} is only like {firm[0].taken or 'it'}")
    wandering = [m.written for m in firm if m.written.split()[0].lower() in line.book.wandering_genera]
    if any(_own_common_name(line, m, named_plants) for m in line.mentions):
        wandering = []  # "Elodea canadensis, American waterweed": no shop's name for others
    if wandering:
        doubts.append(
            f"shops sell several plants as {wandering[0].split()[0].lower()}, some of them forbidden"
        )
    if DOUBT_WORDS & set(line.stems):
        doubts.append("the seller is not sure of the name")
    if len(groups) == 1 and len(groups[0]) > 1:
        doubts.append(f"{firm[0].written} is a name of several plants")
    return Reading(
        kind=ReadingKind.PLANT,
        candidates=candidates,
        sure=len(candidates) == 1 and not doubts,
        doubts=tuple(doubts),
        slip=f"{slips[0].written} is read as {slips[0].taken}" if slips else "",
        heading=line.book.genus_of(candidates[0]),
        sold_as=line.book.synonym_among([m.taken or m.written for m in firm], candidates[0]),
    )


def _own_common_name(line: LineInWords, m: Mention, named: set[str]) -> bool:
    """Whether a native named by its scientific name also stands there by its own common name."""
    return m.kind in (MentionKind.COMMON, MentionKind.TRADE) and any(
        key_of(m.written) == key_of(line.book.common[p]) and p not in line.book.introduced for p in named
    )


def _only_color(line: LineInWords, m: Mention) -> bool:
    """Whether a cultivar's name is no more than a color: it accuses no other plant ('Red')."""
    return all(line.stems[i] in COLORS for i in range(m.start, m.end))


def painted(line: LineInWords, m: Mention) -> bool:
    """Whether words in small letters beside a scientific name describe and name no cultivar: "royal purple"."""
    if m.kind != MentionKind.CULTIVAR:
        return False
    joined = {t.text.lower() for t in line.tokens[max(0, m.start - 3) : m.start]} & CONNECTIVES
    return not joined and in_small(line.tokens, list(range(m.start, m.end)), line.clean)


def _own_genus(line: LineInWords, m: Mention, named: set[str]) -> bool:
    genera = {line.book.genus_of(p) for p in named}
    return any(line.book.genus_of(p) in genera for p in m.plants)


def _narrow(line: LineInWords, groups: list[list[str]]) -> list[list[str]]:
    """An old name with two meanings is settled by a common name beside it, unless that would clear a
    refused plant; a native's name under which shops sell another, by the native's own common name."""
    if len(groups) != 1 or len(groups[0]) == 1:
        return groups
    own = {key_of(m.taken or m.written) for m in line.mentions if m.kind == MentionKind.SCIENTIFIC}
    for plant in groups[0]:
        if key_of(line.book.scientific[plant]) in own and any(
            _own_common_name(line, m, {plant}) for m in line.mentions
        ):
            return [[plant]]
    for m in line.mentions:
        if m.kind == MentionKind.COMMON and not m.slip:
            kept = [p for p in groups[0] if p in m.plants or p in line.book.refused]
            if any(p in m.plants for p in kept):
                groups = [kept]
    return groups


def _against(line: LineInWords, m: Mention, named: set[str]) -> str:
    """Why a common name beside a scientific one leaves doubt; empty if it does not."""
    others = [p for p in m.plants if p not in named]
    words = set(line.stems[m.start : m.end])
    if _own_common_name(line, m, named):
        return ""
    if named & set(m.plants):
        if len(m.called) == 1 and not named & set(m.called):  # a trader's use of another's own name
            return f'"{m.written}" is the name of {line.names(m.called)}'
        refused = [p for p in others if p in line.book.refused]
        foreign = any(p in line.book.introduced for p in refused)
        if foreign and words & LOOKS and len(m.plants) < NAME_WIDE:
            return f'"{m.written}" is sold for {line.names(m.plants)} alike'
        genera = {line.book.genus_of(p) for p in m.plants}
        if (
            len(genera) > 2
            and len(m.plants) < NAME_WIDE
            and any(p in line.book.bound for p in refused)
            and named & line.book.submersed
        ):
            return f"shops sell {line.names(m.plants)} as {m.written.lower()}"
        return ""
    if line.is_wide(m) or m.slip > 1 and not line.mostly_introduced(m):
        return ""
    if likened(m, line.tokens, line.book):
        return ""
    all_refused = all(p in line.book.refused for p in m.plants)
    same_genus = {line.book.genus_of(p) for p in m.plants} & {line.book.genus_of(p) for p in named}
    if not line.alone(m) and (same_genus or not all_refused):
        return ""
    if m.slip and not all_refused:
        return ""
    return f'"{m.written}" is another plant\'s name ({line.names(m.plants)})'


def by_genus(line: LineInWords) -> Reading:
    genera = [m for m in line.mentions if m.kind == MentionKind.GENUS]
    genera = [m for m in genera if not line.tokens[m.start].quoted] or genera  # Nymphaea 'Gloriosa'
    plants = flat(m.plants for m in genera)
    heading = "" if genera[0].slip else genera[0].taken.lower() or genera[0].written.lower()
    cultivars = [m for m in line.mentions if m.kind == MentionKind.CULTIVAR and set(m.plants) & set(plants)]
    if cultivars and len(genera) == 1:
        chosen = tuple(p for p in cultivars[0].plants if p in plants)
        several = (
            ()
            if len(chosen) == 1
            else (f"'{cultivars[0].written.strip(QUOTE)}' is a name of several plants",)
        )
        return Reading(
            kind=ReadingKind.PLANT,
            candidates=chosen,
            sure=not several and not genera[0].slip,
            doubts=several,
            heading=heading,
        )
    written = ", ".join(dict.fromkeys(m.written for m in genera))
    wandering = heading in line.book.wandering_genera
    doubts = [
        f"shops sell several plants as {heading}, some of them forbidden"
        if wandering
        else f"only the genus is named ({written})"
    ]
    if line.clean.quoted:
        plants = tuple(sorted(plants, key=lambda p: "hybrid" not in line.book.scientific[p]))
    common = [m for m in line.mentions if m.kind in (MentionKind.COMMON, MentionKind.TRADE)]
    first = [p for p in plants if any(p in m.plants for m in common)]
    extra = [
        p
        for m in common
        if not set(m.plants) & set(plants) and not line.is_wide(m) and line.alone(m)
        for p in m.plants
    ]
    if extra:
        doubts.append("the names on the line do not agree")
    unknown = [m.written for m in line.mentions if m.kind == MentionKind.SCIENTIFIC and not m.plants]
    if unknown:
        doubts.append(f"{unknown[0]} is not in our catalogue")
    called = [p for p in first if any(p in m.called for m in common)]
    return Reading(
        kind=ReadingKind.PLANT,
        candidates=flat((called, first, plants, extra)),
        doubts=tuple(doubts),
        genus_only=True,
        heading=heading,
    )


def by_common(line: LineInWords) -> Reading:
    found = [m for m in line.mentions if m.plants]
    narrow = [m for m in found if not line.is_wide(m)] or found
    if len(narrow) < len(found) and not any(
        set(w.plants) & set(m.plants) for w in found for m in narrow if w is not m
    ):
        narrow = found
    if (line.functions >= 2 or is_headed(line)) and all(
        line.is_wide(m) and not m.slip and line.stems[m.start] in GENERIC for m in found
    ):
        return Reading()
    if (
        all(m.slip for m in found)
        and is_only_said(line)
        and not any(p in line.book.bound for m in found for p in m.plants)
    ):
        return Reading()  # "the Garden Club and master gardeners will help with the giveaway"
    groups = groups_of(narrow)
    m = narrow[0]
    if len(groups) == 1 and (told := _told_in_brackets(line, m, groups[0])):
        groups = [told]
    candidates = flat(groups)
    doubts: list[str] = []
    owners = [p for p in m.called if p in line.book.refused and line.book.bound.get(p, 0) >= WELL_KNOWN]
    if len(groups) > 1:
        doubts.append("the line names several plants, or its names do not agree")
    elif len(candidates) > 1 and len(narrow) == 1 and len(m.called) == 1 and owners and not m.slip:
        candidates = tuple(owners)  # the listed plant whose own name this is
    elif len(candidates) > 1:
        doubts.append(f'"{m.written}" is a name of several plants')
    others = _also_called(line, narrow)
    if others:
        doubts.append(f'"native" says nothing here: {line.names(others)} are sold so too')
        candidates = flat((candidates, others))
    elif len(candidates) == 1 and (word := _plant_word_in(line, m)):
        doubts.append(f'"{word}" is a word for other plants, and we read "{m.written}" as {m.taken}')
    if word := _epithet_of_another(line, m, candidates):
        doubts.append(f'"{word}" behind the name is another plant\'s epithet')
        genera = dict.fromkeys(line.book.genus_of(p) for p in candidates)
        kin = (line.book.epithets.get(genus, {}).get(word.lower(), ()) for genus in genera)
        candidates = flat((candidates, *kin))
    if len(candidates) == 1:
        only = candidates[0]
        if all(n.kind == MentionKind.TRADE for n in narrow) and not owners:
            doubts.append(f'"{m.written}" is a trade name, not a plant\'s own')
        elif all(n.kind == MentionKind.CULTIVAR and not n.said_sp for n in narrow):
            doubts.append(f'"{m.written}" is a cultivar\'s name without its genus')
        elif (
            len(narrow) == 1
            and m.end - m.start == 1
            and key_of(m.written) != key_of(line.book.common[only])
            and not (owners or len(m.written) > 9)
        ):
            doubts.append(f'"{m.written}" alone may be another of its kind')
        beside = [m.start - 1] + ([m.end] if m.slip or m.end - m.start == 1 else [])
        for i in (
            i for i in beside if i in line.loose and line.tokens[i].segment == line.tokens[m.start].segment
        ):
            text = line.tokens[i].text
            if line.stems[i] in line.book.words_of.get(only, ()):
                continue  # "yellow American lotus", which is also called yellow lotus
            if only in line.book.cultivars.get(line.stems[i], ()) or line.stems[i] in _HEALTH:
                continue  # "Sparkleberry winterberry holly", "compact sweetspire"
            short = (
                len(text) == 3 and text.isalpha() and not explains_itself(line.stems[i])
            )  # "sea ox-eye daisy"
            if (len(text) > 3 or short) and not (text.isupper() and not m.written.isupper()):
                doubts.append(f'"{text}" stands beside the name, and we don\'t know what it is')
    for n in (
        narrow
    ):  # "Elephant's ear, arrow arum": the first is a refused plant's own name, whatever else it is sold as
        owned = n.called and not n.slip and all(p in line.book.refused for p in n.called)
        if owned and not set(n.called) & set(candidates) and len(narrow) > 1:
            doubts.append(f'"{n.written}" is another plant\'s own name ({line.names(n.called)})')
            candidates = flat((candidates, n.called))
    if any(n.slip > 1 for n in narrow):
        doubts.append(f'"{m.written}" is only like "{m.taken}"')
    slips = [n for n in narrow if n.slip and n.taken]
    return Reading(
        kind=ReadingKind.PLANT,
        candidates=candidates,
        sure=len(candidates) == 1 and not doubts,
        doubts=tuple(doubts),
        slip=f'"{slips[0].written}" is read as {slips[0].taken}' if slips else "",
        wide=all(line.is_wide(m) for m in found) or _plural(line, candidates),
        heading=_group_heading(line, found),
    )


def _told_in_brackets(line: LineInWords, m: Mention, plants: list[str]) -> list[str]:
    """The plants of a common name that have the epithet in brackets behind it: "arrowhead (latifolia)"."""
    if len(plants) < 2 or m.slip or m.end not in line.loose:
        return []
    word, last = line.tokens[m.end], line.tokens[m.end - 1]
    between = line.clean.text[last.start + len(last.text) : word.start]
    closed = line.clean.text[word.start + len(word.text) :].startswith(")")
    if between.strip() != "(" or not closed:
        return []
    return [p for p in plants if word.text.lower() in line.book.epithets_of.get(p, ())]


def _epithet_of_another(line: LineInWords, m: Mention, plants: tuple[str, ...]) -> str:
    """A known epithet right behind a common name that is none of its plants': "pickerelweed (crassipes)"; empty if there is
    none."""
    if m.slip or m.end not in line.loose:
        return ""
    text, word = line.tokens[m.end].text, line.tokens[m.end].text.lower()
    if word not in line.book.known_epithets or explains_itself(line.stems[m.end]):
        return ""
    epithets, words = line.book.epithets_of, line.book.words_of
    own = any(word in epithets.get(p, ()) or line.stems[m.end] in words.get(p, ()) for p in plants)
    return "" if own else text


def _also_called(line: LineInWords, narrow: list[Mention]) -> tuple[str, ...]:
    """Plants to refuse that go by the same common name without "native", which a seller says of anything."""
    found: list[str] = []
    for m in narrow:
        words = m.taken.lower().split()
        if m.kind != MentionKind.SCIENTIFIC and len(words) > 1 and words[0] == "native":
            entry = line.book.keys.get(key_of(" ".join(words[1:])))
            plants = entry.plants if entry else ()
            if len(words) == 2:
                plants = line.book.heads.get(stem(words[1]), ()) + plants
            found += [p for p in plants if p in line.book.refused and p not in m.plants]
    return tuple(dict.fromkeys(found))


def _plant_word_in(line: LineInWords, m: Mention) -> str:
    """A word of a name read with a slip that is no slip, as other plants are called so: "American alder", read as elder."""
    own = {stem(w) for w in re.findall(r"[A-Za-z']+", m.taken)}
    if not m.slip or m.kind == MentionKind.SCIENTIFIC:
        return ""
    for i in range(m.start, m.end):
        word = line.stems[i]
        if word not in own and (word in line.book.heads or word in line.book.groups or word in GENERIC):
            return line.tokens[i].text
    return ""


def _plural(line: LineInWords, candidates: tuple[str, ...]) -> bool:
    """Whether the line is like "Hardy Waterlilies": a few words, the last one plural, of many plants."""
    last = line.tokens[-1].text.lower()
    return len(candidates) > 2 and len(line.tokens) <= 4 and last.endswith("s") and stem(last) != last


def _group_heading(line: LineInWords, found: list[Mention]) -> str:
    """The genus that most plants of a wide common name share ("Hardy Waterlilies")."""
    genera = [line.book.genus_of(p) for m in found for p in m.plants]
    best = max(dict.fromkeys(genera), key=genera.count) if genera else ""
    return best if genera.count(best) * 2 >= len(genera) else ""
