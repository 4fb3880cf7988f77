"""Which inputs of the pond file would change its lists most, if they were a little off: what to measure before you buy.

Each input is moved by what an owner may be off (judgement), one at a time, and the plants of the lists are ranked again with
those that stand next to them. What counts is how many of the plants in the short lists give way to others.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from plantpick.catalogue.plants import Catalogue
from plantpick.pond.model import UNKNOWN_CLARITY_IN, Pond, stretch_words
from plantpick.ranking.by_place import BEST, by_place
from plantpick.ranking.draws import FEW
from plantpick.ranking.rank import Ranking, rank

LOOKED_AT = 3 * BEST  # plants of each list that are ranked again: judgement
SLOPES_TRIED = 4  # of so many stretches, the longest: judgement
NAMED = 3  # inputs named, and plants named for each
# What an owner may be off by: judgement. Factors for slopes and the Secchi reading, plus and minus for the others.
PH_OFF, DROP_OFF_FT, SLOPE_OFF, CLARITY_OFF = 1.0, 1.0, 1.5, 1.5
USUAL_PH = (6.0, 8.0)  # tried where none was given


@dataclass(frozen=True, kw_only=True)
class Move:
    """One input, what it was moved to, and what that does to the short lists: how many of their plants change, of how many,
    and which leave and come (common names)."""

    what: str
    tried: str
    changed: int
    of: int
    leave: tuple[str, ...]
    come: tuple[str, ...]


def what_moves(ranking: Ranking, catalogue: Catalogue, *, next_door: bool = False) -> tuple[Move, ...]:
    """The NAMED inputs that change most of the lists of a ranking, the most first; fewer where fewer change anything."""
    near = [p.plant_id for listed in by_place(ranking.plants) for p in listed.best(LOOKED_AT)]

    def shown(of: Pond) -> dict[str, str]:
        again = rank(of, catalogue, job=ranking.job, next_door=next_door, draws=FEW, places=False, only=near)
        return {p.plant_id: p.common_name for listed in by_place(again.plants) for p in listed.best()}

    usual = shown(ranking.pond)
    worst: dict[str, Move] = {}
    for what, tried, other in _moved(ranking.pond):
        now = shown(other)
        leave = [name for plant_id, name in usual.items() if plant_id not in now]
        come = [name for plant_id, name in now.items() if plant_id not in usual]
        move = Move(
            what=what,
            tried=tried,
            changed=len(leave),
            of=len(usual),
            leave=tuple(leave[:NAMED]),
            come=tuple(come[:NAMED]),
        )
        if move.changed and (what not in worst or move.changed > worst[what].changed):
            worst[what] = move
    return tuple(sorted(worst.values(), key=lambda m: -m.changed)[:NAMED])


def _moved(pond: Pond) -> Iterator[tuple[str, str, Pond]]:
    """Each input moved: its name, what to, and the pond with it."""
    usual = pond.water_ph
    for ph in (usual - PH_OFF, usual + PH_OFF) if usual is not None else USUAL_PH:
        yield "the pH of the water", f"{ph:.1f}", replace(pond, ph=min(max(ph, 3.0), 11.0))
    most = max(pond.usual_drop_ft, pond.max_depth_ft / 2.0)
    drops = {max(0.0, pond.usual_drop_ft - DROP_OFF_FT), min(pond.usual_drop_ft + DROP_OFF_FT, most)}
    for drop in sorted(drops - {pond.usual_drop_ft}):
        yield (
            "how far the water drops",
            f"{drop:g} ft",
            replace(pond, usual_drop_ft=drop, drop_known=True),
        )
    read = pond.clarity_in
    low, _, high = UNKNOWN_CLARITY_IN
    for clarity in (read / CLARITY_OFF, read * CLARITY_OFF) if read is not None else (low, high):
        yield (
            "how clear the water is",
            f"a Secchi reading of {clarity:.0f} in",
            replace(pond, clarity_in=clarity),
        )
    longest = sorted(range(len(pond.stretches)), key=lambda at: -pond.stretches[at].length_ft)[:SLOPES_TRIED]
    for at in sorted(longest):
        stretch = pond.stretches[at]
        flatter = replace(stretch, slope=stretch.slope * SLOPE_OFF)
        stretches = (*pond.stretches[:at], flatter, *pond.stretches[at + 1 :])
        yield (
            f"the slope of {stretch_words(stretch.name)}",
            f"{flatter.slope:.1f}:1",
            replace(pond, stretches=stretches),
        )


def in_words(move: Move) -> str:
    """One sentence: the input, what would change, and the plants that would leave and come."""
    leave = f" Out go {', '.join(move.leave)}." if move.leave else ""
    come = f" In come {', '.join(move.come)}." if move.come else ""
    lead = f"{move.what[0].upper()}{move.what[1:]}"
    return f"{lead}: at {move.tried}, {move.changed} of the {move.of} plants in the lists would change.{leave}{come}"


def in_short(moves: Sequence[Move]) -> str:
    """All of them in one sentence: what to measure first, and how many plants hang on it."""
    each = [f"{m.what} (at {m.tried} {m.changed} of these {m.of} plants change)" for m in moves]
    return f"Measure first: {'; '.join(each)}."
