"""What is found on a line: mentions of names, and the reading that they add up to."""

from __future__ import annotations

from dataclasses import dataclass

from plantpick.offers.name_index import Entry, NameBook
from plantpick.offers.normalize import Token


@dataclass(slots=True)
class Mention:
    """A name found on a line: tokens `start` to `end` (not included), what it can mean, and how it was found.

    `kind` is scientific, genus, common, trade or cultivar; `slip` is 0 for exact, 1 for a sure slip, 2 for a
    loose one.
    """

    start: int
    end: int
    plants: tuple[str, ...]
    kind: str
    written: str
    taken: str = ""
    slip: int = 0
    called: tuple[str, ...] = ()
    said_sp: bool = False
    cultivar: str = ""


@dataclass(slots=True)
class Reading:
    """What a line names. `kind` is plant, unknown (a name that is in no table) or none (no plant is named).

    `candidates` are plant_ids, best first; `sure` only for one plant without conflict. `doubts` are
    sentences; `wide` tells that only a name for a whole group stands there.
    `phrase` is what to look up when nothing was found; `heading` the genus that the line could pass down;
    `beneath` tells that the heading above was needed; `unnamed` that plants are sold without being named,
    `aside` that `phrase` stands in a sentence or beside a plant's name. `sold_as` is a scientific name on the line
    that the plant no longer, or elsewhere, goes by. `also` are further names on the line
    with the plants that they may mean: whether they leave doubt depends on the pond.
    """

    kind: str = "none"
    candidates: tuple[str, ...] = ()
    sure: bool = False
    doubts: tuple[str, ...] = ()
    cultivar: str = ""
    hybrid: bool = False
    slip: str = ""
    genus_only: bool = False
    wide: bool = False
    phrase: str = ""
    nearest: tuple[str, ...] = ()
    heading: str = ""
    beneath: bool = False
    loose_ends: tuple[str, ...] = ()
    unnamed: bool = False
    aside: bool = False
    sold_as: str = ""
    also: tuple[tuple[str, tuple[str, ...]], ...] = ()


def mention_of(
    book: NameBook, entry: Entry, tokens: list[Token], start: int, end: int, slip: int = 0
) -> Mention:
    """An entry met at tokens `start` to `end`; a cultivar named under its genus counts as scientific."""
    kinds = {kind for _, kind in entry.pairs}
    if entry.scientific:
        kind = "scientific"
    elif kinds == {"cultivar"}:
        kind = "cultivar"
    else:
        kind = "common" if kinds & {"common", "cultivar"} else "trade"
    written = " ".join(t.text for t in tokens[start:end])
    cultivar = ""
    if (
        kind == "cultivar"
        and end - start > 1
        and book.genera.keys() & {tokens[start].text.lower(), entry.name.split()[0].lower()}
    ):
        kind, cultivar = (
            "scientific",
            " ".join(t.text for t in tokens[start + 1 : end] if t.text.lower() not in book.known_epithets),
        )
    return Mention(start, end, entry.plants, kind, written, entry.name, slip, entry.called, cultivar=cultivar)


def covered_by(mentions: list[Mention], count: int) -> list[bool]:
    """Which of the line's words some mention explains."""
    covered = [False] * count
    for m in mentions:
        for i in range(m.start, m.end):
            covered[i] = True
    return covered


def without_overlap(mentions: list[Mention], unknown: list[Mention]) -> list[Mention]:
    """The mentions with unknown scientific names added; what stood on a word of these gives way to them."""
    taken = {i for m in unknown for i in range(m.start, m.end)}
    return [m for m in mentions if taken.isdisjoint(range(m.start, m.end))] + unknown
