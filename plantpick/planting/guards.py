"""What keeps animals off a planting: one guard for each group, and one cage or ring of wire round groups that stand close together.

Guards are common practice without a source, unless one is named.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable
from dataclasses import dataclass
from enum import StrEnum

from plantpick.ranking.takeover import group_shape
from plantpick.vocabulary import WOODY

CAGE_FT, MESH_IN = (
    6.6,
    1.0,
)  # cages (exclosures) of 2 x 2 m with 2.5 cm mesh (Doyle, Smart, Guest and Bickel 1997, LRM 13:259-269)
ABOVE_FT = 4.0  # of it above the water: theirs stood 2 m high in 0.6 to 0.8 m
CAGE_SEASONS = 2
CAGED = ("turtles", "common carp", "grass carp", "crayfish", "muskrat", "nutria", "geese")
IN_WATER = ("submersed", "floating-leaved")
ROOM_FT = 2.0  # between a group's edge and its fence: judgement
POST_EVERY_FT = 6.0  # judgement
ROOFED_IN = 18.0  # water from which geese don't graze a cage from above: judgement
DEER_FT, LOW_FT, FENCE_FT = 5.0, 3.0, 4.0
RING_FT, RING_POSTS = 4.0, 2  # across, round one stem
STEPPED_IN = 12.0  # depths that one cage spans: judgement
TOUCH_FT = 1e-6  # sides that only touch don't cross


class GuardKind(StrEnum):
    """How a group is guarded. The words are those of the JSON output."""

    CAGE = "cage"  # mesh all round, in water
    WIRE = "wire"  # a ring of wire, on the bank
    RING = "ring"  # a ring of wire round each stem, on the bank
    SLEEVE = "sleeve"  # round each stem
    FENCE = "fence"  # along the whole stretch, against stock


@dataclass(frozen=True, kw_only=True)
class Guard:
    """The guard of one group: `against` are the animals here that eat it, none where a cage is a precaution. `along_ft` and
    `across_ft` are those of a cage or ring of its own, or of the ring round each of its `stems`; `roofed` has string or mesh over the
    top, `sunk` mesh in the mud; on a `dam` none, for nothing is dug into it."""

    kind: GuardKind
    against: tuple[str, ...] = ()
    height_ft: float = 0.0
    along_ft: float = 0.0
    across_ft: float = 0.0
    roofed: bool = False
    sunk: bool = False
    dam: bool = False
    stems: int = 0

    @property
    def mesh_ft(self) -> float:
        """Feet of mesh or wire, once round all of it or once round each stem."""
        if self.kind is GuardKind.RING:
            return self.stems * math.pi * self.across_ft
        return 2.0 * (self.along_ft + self.across_ft)

    @property
    def posts(self) -> int:
        """Posts or stakes that hold it up."""
        if self.kind is GuardKind.RING:
            return self.stems * RING_POSTS
        return posts_of(self.along_ft, self.across_ft)


def guard_of(
    residents: Collection[str],
    growth_form: str,
    eaten_by: Iterable[str],
    *,
    depth_in: float,
    each: int,
    spacing_in: float,
    dam: bool = False,
) -> Guard | None:
    """The one guard that a group needs where these animals live; None where nothing here eats it.

    What stands under water or floats is caged in any case. In water a cage keeps off everything; on the bank deer ask for high wire,
    beaver and nutria for sleeves round stems or low wire. Shrubs and trees have a ring each where that takes less wire than one
    round all of them. Stock is kept off by the fence along the stretch, whatever it eats.
    """
    eaten = tuple(g for g in eaten_by if g in residents)
    hungry = tuple(g for g in eaten if g != "livestock") or eaten
    shape = group_shape(each, spacing_in)
    across = max(CAGE_FT, 2.0 * (float(shape.radius_ft) + ROOM_FT))
    along = max(CAGE_FT, 2.0 * (float(shape.radius_ft) + ROOM_FT) + float(shape.row_ft))
    sunk = not dam and bool({"muskrat", "nutria"} & set(hungry))
    if growth_form in IN_WATER or depth_in > 0 and set(CAGED) & set(hungry):
        return Guard(
            kind=GuardKind.CAGE,
            against=hungry,
            height_ft=math.ceil(max(depth_in, 0.0) / 12.0 + ABOVE_FT),
            along_ft=along,
            across_ft=across,
            roofed="geese" in hungry and depth_in <= ROOFED_IN,
            sunk=sunk,
            dam=dam,
        )
    if not hungry:
        return None
    if "livestock" in hungry:
        return Guard(kind=GuardKind.FENCE, against=hungry, height_ft=FENCE_FT)
    if growth_form in WOODY and "deer" not in hungry and {"beaver", "nutria"} & set(hungry):
        return Guard(kind=GuardKind.SLEEVE, against=hungry, height_ft=LOW_FT)
    if not {"deer", "beaver", "muskrat", "nutria", "geese"} & set(hungry):
        return None
    ring = Guard(
        kind=GuardKind.RING,
        against=hungry,
        height_ft=DEER_FT if "deer" in hungry else LOW_FT,
        along_ft=RING_FT,
        across_ft=RING_FT,
        sunk=sunk,
        dam=dam,
        stems=each,
    )
    if growth_form in WOODY and (each == 1 or spacing_in >= 12.0 * RING_FT):
        if ring.mesh_ft < 2.0 * (along + across):
            return ring
    return Guard(
        kind=GuardKind.WIRE,
        against=hungry,
        height_ft=DEER_FT if "deer" in hungry else LOW_FT,
        along_ft=along,
        across_ft=across,
        roofed="geese" in hungry,
        sunk=sunk,
        dam=dam,
    )


@dataclass(frozen=True, kw_only=True)
class Guarded:
    """A group with a guard at its place: feet along the tape from its first to its last plant, and feet out of its row; `radius_ft`
    is the room round each plant, `number` its name on the plan."""

    number: str
    stretch: str
    from_ft: float
    to_ft: float
    out_ft: float
    depth_in: float
    radius_ft: float
    guard: Guard


@dataclass(frozen=True, kw_only=True)
class Enclosure(Guard):
    """One cage or ring of wire, round one group or several: mesh all round, posts at the corners and along the sides."""

    stretch: str
    numbers: tuple[str, ...]
    from_ft: float = 0.0  # the tape at its first side, and feet out at its upper one
    out_ft: float = 0.0


def posts_of(along_ft: float, across_ft: float) -> int:
    """Posts of a rectangle: four at the corners, and between them one every six feet."""
    return 4 + 2 * sum(max(0, math.ceil(side / POST_EVERY_FT) - 1) for side in (along_ft, across_ft))


def enclosures(groups: Iterable[Guarded]) -> tuple[Enclosure, ...]:
    """Cages and rings round groups: two neighbors on the tape share one where that takes less mesh than two would, and where their
    depths are within a foot of each other. Two that would cross, of whatever kind, become one: nobody can build them apart."""
    found: list[_Ring] = []
    groups = tuple(groups)
    for kind in (GuardKind.CAGE, GuardKind.WIRE):
        rows: dict[str, list[Guarded]] = {}
        for group in groups:
            if group.guard.kind is kind:
                rows.setdefault(group.stretch, []).append(group)
        for stretch, row in rows.items():
            row.sort(key=lambda g: (g.from_ft, g.to_ft, g.out_ft))
            left = row
            while left:
                inside, rest = [left[0]], []
                for group in left[1:]:
                    together = _Ring(kind, stretch, (*inside, group))
                    apart = (
                        _Ring(kind, stretch, tuple(inside)).mesh_ft + _Ring(kind, stretch, (group,)).mesh_ft
                    )
                    depths = [g.depth_in for g in (*inside, group)]
                    if together.mesh_ft < apart - 1e-9 and max(depths) - min(depths) <= STEPPED_IN:
                        inside.append(group)
                    else:
                        rest.append(group)
                found.append(_Ring(kind, stretch, tuple(inside)))
                left = rest
    return tuple(ring.built() for ring in _uncrossed(found))


@dataclass(frozen=True)
class _Ring:
    """A cage or ring before it is built: the groups in it, and where its four sides stand."""

    kind: GuardKind
    stretch: str
    inside: tuple[Guarded, ...]

    @property
    def along(self) -> tuple[float, float]:
        """From where, and how far, along the tape."""
        return self._side([g.from_ft for g in self.inside], [g.to_ft for g in self.inside])

    @property
    def across(self) -> tuple[float, float]:
        """From where, and how far, out from the waterline."""
        return self._side([g.out_ft for g in self.inside], [g.out_ft for g in self.inside])

    def _side(self, begins: list[float], ends: list[float]) -> tuple[float, float]:
        """A side with room at both ends, no shorter than a cage's: where it begins, and its length."""
        room = max(g.radius_ft for g in self.inside) + ROOM_FT
        begin, end = min(begins), max(ends)
        length = max(CAGE_FT, end - begin + 2.0 * room)
        return (begin + end - length) / 2.0, length

    @property
    def mesh_ft(self) -> float:
        return 2.0 * (self.along[1] + self.across[1])

    def crosses(self, other: _Ring) -> bool:
        return self.stretch == other.stretch and all(
            max(one[0], two[0]) < min(sum(one), sum(two)) - TOUCH_FT
            for one, two in ((self.along, other.along), (self.across, other.across))
        )

    def with_all_of(self, other: _Ring) -> _Ring:
        kind = GuardKind.CAGE if GuardKind.CAGE in (self.kind, other.kind) else GuardKind.WIRE
        inside = sorted((*self.inside, *other.inside), key=lambda g: (g.from_ft, g.to_ft, g.out_ft))
        return _Ring(kind, self.stretch, tuple(inside))

    def built(self) -> Enclosure:
        return Enclosure(
            kind=self.kind,
            stretch=self.stretch,
            numbers=tuple(g.number for g in self.inside),
            from_ft=self.along[0],
            out_ft=self.across[0],
            along_ft=self.along[1],
            across_ft=self.across[1],
            height_ft=max(g.guard.height_ft for g in self.inside),
            roofed=any(g.guard.roofed for g in self.inside),
            sunk=any(g.guard.sunk for g in self.inside),
            dam=any(g.guard.dam for g in self.inside),
            against=tuple(dict.fromkeys(animal for g in self.inside for animal in g.guard.against)),
        )


def _uncrossed(rings: list[_Ring]) -> list[_Ring]:
    """The rings, those that cross made one, until none do."""
    done: list[_Ring] = []
    for ring in rings:
        while (other := next((r for r in done if r.crosses(ring)), None)) is not None:
            done.remove(other)
            ring = other.with_all_of(ring)
        done.append(ring)
    return done
