"""Names cut short: "Peltandra virg.", "Pont. cordata", "A. incarnata", "A. c. 'Variegata'"."""

from __future__ import annotations

from plantpick.offers.match import Mention, covered_by
from plantpick.offers.name_index import NameBook
from plantpick.offers.normalize import Clean, Token, epithet_stem, key_of
from plantpick.offers.words import PLAIN


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
                "scientific",
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
                        "scientific",
                        f"{letter}. {word.text}.",
                        slip=0 if len(found) == 1 and settled else 2,
                    )
                )
            continue
        by_its_word = any(m.start == k and m.end == k + 1 and m.kind != "scientific" for m in mentions)
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
            named = {p for m in mentions if m.kind in ("common", "genus") for p in m.plants}
            agreed = [p for p in plants if p in named]
            out.append(
                Mention(
                    i,
                    k + 1,
                    plants,
                    "scientific",
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
