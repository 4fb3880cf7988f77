"""Which inputs of the pond file would change its advice most, if they were a little off: what to measure before you buy.

Each input is moved by what an owner may be off (judgement), one at a time, and the pond ranked again. What counts is how many
of the first plants leave their places to others.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from plantpick.catalogue.plants import Catalogue
from plantpick.pond.model import UNKNOWN_CLARITY_IN, Pond
from plantpick.ranking.draws import FEW
from plantpick.ranking.rank import rank

FIRST = 20  # places that an owner reads
NAMED = 3  # inputs named, and plants named for each
# What an owner may be off by: judgement. Factors for slopes and the Secchi reading, plus and minus for the others.
PH_OFF, DROP_OFF_FT, SLOPE_OFF, CLARITY_OFF = 1.0, 1.0, 1.5, 1.5
USUAL_PH = (6.0, 8.0)  # tried where none was given


@dataclass(frozen=True, kw_only=True)
class Move:
    """One input, what it was moved to, and what that does to the first places: how many change, and which plants leave
    and come first (common names)."""

    what: str
    tried: str
    changed: int
    leave: tuple[str, ...]
    come: tuple[str, ...]


def what_moves(pond: Pond, catalogue: Catalogue, *, next_door: bool = False) -> tuple[Move, ...]:
    """The NAMED inputs that change most, the most first; fewer where fewer change anything."""

    def first(of: Pond) -> dict[str, str]:
        ranked = rank(of, catalogue, next_door=next_door, draws=FEW, places=False).plants[:FIRST]
        return {plant.plant_id: plant.common_name for plant in ranked}

    usual = first(pond)
    worst: dict[str, Move] = {}
    for what, tried, other in _moved(pond):
        now = first(other)
        leave = [name for plant_id, name in usual.items() if plant_id not in now]
        come = [name for plant_id, name in now.items() if plant_id not in usual]
        move = Move(
            what=what, tried=tried, changed=len(leave), leave=tuple(leave[:NAMED]), come=tuple(come[:NAMED])
        )
        if move.changed and (what not in worst or move.changed > worst[what].changed):
            worst[what] = move
    return tuple(sorted(worst.values(), key=lambda m: -m.changed)[:NAMED])


def _moved(pond: Pond) -> Iterator[tuple[str, str, Pond]]:
    """Each input moved: its name, what to, and the pond with it."""
    for ph in (pond.ph - PH_OFF, pond.ph + PH_OFF) if pond.ph is not None else USUAL_PH:
        yield "pH of the water", f"{ph:.1f}", replace(pond, ph=min(max(ph, 3.0), 11.0))
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
    for at, stretch in enumerate(pond.stretches):
        flatter = replace(stretch, slope=stretch.slope * SLOPE_OFF)
        stretches = (*pond.stretches[:at], flatter, *pond.stretches[at + 1 :])
        yield f"the slope of the {stretch.name}", f"{flatter.slope:.1f}:1", replace(pond, stretches=stretches)


def in_words(move: Move) -> str:
    """One sentence: the input, and what would change."""
    leave = f"; out go {', '.join(move.leave)}" if move.leave else ""
    come = f"; in come {', '.join(move.come)}" if move.come else ""
    lead = move.what if move.what.startswith("pH") else f"{move.what[0].upper()}{move.what[1:]}"
    return f"{lead}: at {move.tried}, {move.changed} of the first {FIRST} plants would change{leave}{come}"
