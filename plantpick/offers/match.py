"""What is found on a line: mentions of names, and the reading that they add up to."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum

from plantpick.offers.name_index import Entry, NameBook
from plantpick.offers.normalize import Token


class MentionKind(StrEnum):
    """What sort of name was met on a line."""

    SCIENTIFIC = "scientific"
    GENUS = "genus"
    COMMON = "common"
    TRADE = "trade"
    CULTIVAR = "cultivar"


class ReadingKind(StrEnum):
    """What a line came to."""

    PLANT = "plant"
    UNKNOWN = "unknown"  # a name that is in no table
    NONE = "none"  # no plant is named


@dataclass(slots=True)
class Mention:
    """A name found on a line: tokens `start` to `end` (not included), what it can mean, and how it was found.

    `slip` is 0 for exact, 1 for a sure slip, 2 for a
    loose one.
    """

    start: int
    end: int
    plants: tuple[str, ...]
    kind: MentionKind
    written: str
    taken: str = ""
    slip: int = 0
    called: tuple[str, ...] = ()
    said_sp: bool = False
    cultivar: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """What a line names.

    `candidates` are plant_ids, best first; `sure` only for one plant without conflict. `doubts` are
    sentences; `wide` tells that only a name for a whole group stands there.
    `phrase` is what to look up when nothing was found; `heading` the genus that the line could pass down;
    `beneath` tells that the heading above was needed; `unnamed` that plants are sold without being named,
    `aside` that `phrase` stands in a sentence or beside a plant's name. `sold_as` is a scientific name on the line
    that the plant no longer, or elsewhere, goes by. `also` are further names on the line
    with the plants that they may mean: whether they leave doubt depends on the pond. `shared` tells that the only doubt
    is which of the plants with one common name is meant, none of them refused anywhere. `together` tells that several plants
    are sold as one lot.
    """

    kind: ReadingKind = ReadingKind.NONE
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
    shared: bool = False
    together: bool = False

    def plants(self) -> Iterator[str]:
        """The plants whose verdicts the line may rest on."""
        yield from self.candidates
        for _, plants in self.also:
            yield from plants

    def weighed(self) -> tuple[object, ...]:
        """All that a verdict looks at: readings that agree in it get one answer."""
        return (
            self.kind,
            self.candidates,
            self.sure,
            self.doubts,
            self.cultivar,
            self.hybrid,
            self.slip,
            self.nearest,
            self.phrase if self.kind == ReadingKind.UNKNOWN else "",
            self.unnamed,
            self.heading,
            self.genus_only,
            self.sold_as,
            self.also,
            self.shared,
        )


def mention_of(
    book: NameBook, entry: Entry, tokens: list[Token], start: int, end: int, slip: int = 0
) -> Mention:
    """An entry met at tokens `start` to `end`; a cultivar named under its genus counts as scientific."""
    kinds = {kind for _, kind in entry.pairs}
    if entry.scientific:
        kind = MentionKind.SCIENTIFIC
    elif kinds == {"cultivar"}:
        kind = MentionKind.CULTIVAR
    else:
        kind = MentionKind.COMMON if kinds & {"common", "cultivar"} else MentionKind.TRADE
    written = " ".join(t.text for t in tokens[start:end])
    cultivar = ""
    if (
        kind == MentionKind.CULTIVAR
        and end - start > 1
        and book.genera.keys() & {tokens[start].text.lower(), entry.name.split()[0].lower()}
    ):
        kind, cultivar = (
            MentionKind.SCIENTIFIC,
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
