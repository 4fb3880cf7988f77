"""Where each group of a plan stands: feet along the tape, feet out from the waterline, and the place of every plant in it.

The tape runs along the waterline at full pool from the stake at a stretch's left end, facing the water. Herbs stand in a row
along one depth line, three shrubs in a triangle just above theirs, a tree alone: the forecast counts on it. Groups of a stretch
are numbered in walking order, A1, A2 and so on after its stake.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from plantpick.planting.guards import STEPPED_IN
from plantpick.planting.model import Group
from plantpick.planting.places import ClearSpan, Layout, PlacedGroup, Spot, StretchLayout, Unplaced, Why
from plantpick.pond.keep_clear import OFF_DAM_FT
from plantpick.pond.model import KeepClear, Pond, Stretch
from plantpick.pond.shoreline import Bank, DepthLine, Shoreline
from plantpick.ranking.takeover import group_shape
from plantpick.vocabulary import HERB_GROUP

IN_ONE_CAGE = 3  # groups laid out side by side so that one cage or ring goes round them: judgement
CAGED_GAP_FT = 2.0  # between two in one cage: room to kneel; judgement
LEAST_GAP_FT = 1.0  # from the edge of a group to the next one: room for a boot; judgement
TOUCHING_FT = 1e-6  # ground that only touches is not shared; more than the rounding of any sum of feet here
HALVINGS = 24  # in the search for the widest gap that still lets every group in
TRIANGLE = 0.8660254  # height of a triangle of equal sides


def lay_out(pond: Pond, groups: tuple[Group, ...]) -> Layout:
    """A place for every group of a plan, or why it has none. `groups` are the plan's entries, at stretches of this pond."""
    found: list[StretchLayout] = []
    others: list[tuple[np.ndarray, float]] = []  # plants set already, and the room that each needs
    for stretch in pond.stretches:
        entries = {k: g for k, g in enumerate(groups) if g.stretch == stretch.name}
        if entries:
            layout = _Tape(pond, stretch, entries, others).layout()
            found.append(layout)
            for group in layout.groups:
                points = [spot.xy for spot in group.spots if spot.xy is not None]
                if points:
                    others.append((np.array(points), groups[group.entry].spacing_in / 24.0))
    return Layout(tuple(found))


def clear_spans(pond: Pond, stretch: Stretch) -> tuple[ClearSpan, ...]:
    """The parts of a stretch's tape that stay free. A place marked by a point takes its feet of shore round the nearest shore; one
    that nobody placed takes the last feet of the tape."""
    spans: list[ClearSpan] = []
    end = stretch.length_ft
    for place in pond.keep_clear:
        if place.stretch != stretch.name:
            continue
        if place.from_ft is not None and place.to_ft is not None:
            spans.append(ClearSpan(place.what, place.from_ft, min(place.to_ft, stretch.length_ft), True))
        elif place.length_ft > 0 and (at := _ashore(pond, stretch, place)) is not None:
            first = min(max(0.0, at - place.length_ft / 2.0), max(0.0, stretch.length_ft - place.length_ft))
            spans.append(ClearSpan(place.what, first, min(first + place.length_ft, stretch.length_ft), True))
        elif place.length_ft > 0:
            begin = max(0.0, end - place.length_ft)
            spans.append(ClearSpan(place.what, begin, end, False))
            end = begin
    return tuple(sorted(spans, key=lambda s: s.from_ft))


def _ashore(pond: Pond, stretch: Stretch, place: KeepClear) -> float | None:
    """The tape nearest to a marked place; None where it is marked nowhere or the stretch is not on an outline."""
    survey = pond.survey
    if not place.points or stretch.from_ft is None or survey is None or survey.outline is None:
        return None
    shore = Shoreline(survey.outline)
    feet = min((shore.nearest_ft(*point) for point in place.points), key=lambda near: near[1])[0]
    along = (feet - stretch.from_ft) % shore.length_ft
    beyond = along - stretch.length_ft
    if beyond > 0:  # off one end of the stretch: at the nearer one
        along = stretch.length_ft if beyond < shore.length_ft - along else 0.0
    return along


@dataclass(frozen=True)
class _Item:
    """A group that waits for its place: feet of row, the room round each plant, and how high its triangle reaches."""

    entry: int
    group: Group
    row_ft: float
    radius_ft: float
    up_ft: float
    wish: float  # share of the tape at which it would stand if all were spread evenly
    cage: int = -1  # groups of one number share a cage; -1: none


class _Tape:
    """One stretch while its groups are given their places."""

    def __init__(
        self,
        pond: Pond,
        stretch: Stretch,
        entries: dict[int, Group],
        others: list[tuple[np.ndarray, float]],
    ):
        self.pond, self.stretch, self.entries = pond, stretch, entries
        self.bank = Bank(pond, stretch, max(g.depth_in for g in entries.values()))
        self.clear = clear_spans(pond, stretch)
        self.others = others
        self.lines = {g.depth_in: self.bank.line(g.depth_in) for g in entries.values()}
        self.free = {g.depth_in: self._free(self.lines[g.depth_in], g) for g in entries.values()}

    def _free(self, line: DepthLine, group: Group) -> np.ndarray:
        """Which places of a depth line may be planted."""
        free = np.isfinite(line.out_ft)
        for span in self.clear:
            free &= (line.tape_ft < span.from_ft - 1e-9) | (line.tape_ft > span.to_ft + 1e-9)
        woody = group.each < HERB_GROUP
        if line.xy is None:
            if woody and self.pond.dammed:  # nobody said where the dam is: perhaps at either end
                free &= (line.tape_ft >= OFF_DAM_FT) & (line.tape_ft <= self.stretch.length_ft - OFF_DAM_FT)
            return free
        import shapely

        at = shapely.points(np.nan_to_num(line.xy))
        for edge in self._dam_edges if woody else ():
            off = OFF_DAM_FT + group.spacing_in / 12.0  # a triangle's third stem stands up the bank
            free &= shapely.distance(at, shapely.LineString(edge)) >= off
        for place in self.pond.keep_clear:
            if place.points and place.room_ft > 0:
                mark = (
                    shapely.LineString(place.points)
                    if len(place.points) > 1
                    else shapely.Point(place.points[0])
                )
                free &= shapely.distance(at, mark) > place.room_ft + group.spacing_in / 24.0
        for points, room in self.others:  # across a narrow arm the rows of two shores come close
            free &= shapely.distance(at, shapely.MultiPoint(points)) > room + group.spacing_in / 24.0
        return free

    @cached_property
    def _dam_edges(self) -> list[np.ndarray]:
        """The waterline of every dam whose place on the outline is known."""
        banks = [Bank(self.pond, dam, 0.0) for dam in self.pond.stretches if dam.dam]
        edges = (bank.points(bank.tape_ft, np.zeros(len(bank.tape_ft))) for bank in banks)
        return [edge for edge in edges if edge is not None]

    def layout(self) -> StretchLayout:
        placed: list[tuple[_Item, float]] = []
        left: list[_Item] = []
        for lane in self._lanes(self._items()):
            done, over = self._place(_caged_together(lane))
            placed += done
            left += over
        stake = self.pond.stakes[self.stretch.name]
        rows = [self._placed(item, at) for item, at in placed]
        rows.sort(key=lambda row: (row[1][0].tape_ft, row[1][0].out_ft))
        groups = tuple(
            PlacedGroup(
                number=f"{stake}{number}",
                entry=item.entry,
                plant_id=item.group.plant_id,
                stretch=self.stretch.name,
                depth_in=item.group.depth_in,
                from_ft=spots[0].tape_ft,
                to_ft=max(s.tape_ft for s in spots),
                out_ft=float(np.mean([s.out_ft for s in _on_line(spots)])),
                spots=spots,
            )
            for number, (item, spots) in enumerate(rows, 1)
        )
        return StretchLayout(
            stretch=self.stretch,
            stake=stake,
            groups=groups,
            unplaced=tuple(self._unplaced(left, stake, len(groups))),
            clear=self.clear,
            located=self.bank.located,
            measured=self.bank.measured,
        )

    def _items(self) -> list[_Item]:
        """The groups of every entry, mixed: those of one plant as far apart as they can be."""
        items = []
        for entry, group in self.entries.items():
            spacing = group.spacing_in / 12.0
            herbs = group.each >= HERB_GROUP
            row = float(group_shape(group.each, group.spacing_in).row_ft) if herbs else 0.0
            pair = spacing if not herbs and group.each > 1 else 0.0
            for k in range(group.number):
                items.append(
                    _Item(
                        entry=entry,
                        group=group,
                        row_ft=row + pair,
                        radius_ft=spacing / 2.0,
                        up_ft=TRIANGLE * pair,
                        wish=(k + 0.5) / group.number,
                    )
                )
        return sorted(items, key=lambda i: (i.wish, i.group.depth_in, i.entry))

    def _place(self, lane: list[_Item]) -> tuple[list[tuple[_Item, float]], list[_Item]]:
        """Places (tape at the first plant) for groups that may not pass one another, as far apart as there is room; else what fits
        close together, and the rest."""
        if (best := self._sweep(lane, LEAST_GAP_FT)) is None:
            return self._pack(lane)
        low, high = LEAST_GAP_FT, self.stretch.length_ft
        for _ in range(HALVINGS):
            middle = (low + high) / 2.0
            wider = self._sweep(lane, middle)
            if wider is None:
                high = middle
            else:
                best, low = wider, middle
        return best, []

    def _sweep(self, lane: list[_Item], gap_ft: float) -> list[tuple[_Item, float]] | None:
        """The groups from left to right, `gap_ft` between them; None where they do not all fit."""
        begin, found, before = (gap_ft - LEAST_GAP_FT) / 2.0, [], -1
        for item in lane:
            if item.cage >= 0 and item.cage == before:
                begin -= gap_ft - min(gap_ft, CAGED_GAP_FT)
            before = item.cage
            at = self._first(item, begin + item.radius_ft)
            if at is None:
                return None
            found.append((item, at))
            begin = self._end(item, at) + item.radius_ft + gap_ft
        return found if begin - gap_ft / 2.0 <= self.stretch.length_ft + LEAST_GAP_FT / 2.0 else None

    def _pack(self, lane: list[_Item]) -> tuple[list[tuple[_Item, float]], list[_Item]]:
        """As many of the groups as there is room for, close together; those that lie clear of one another up and down the slope may
        stand side by side on the tape. Of three orders the one that leaves the fewest over."""
        crowd = {id(i): sum(self._meet(i, other) for other in lane) for i in lane}
        orders = (
            lane,
            sorted(lane, key=lambda i: i.group.depth_in),
            sorted(lane, key=lambda i: (-crowd[id(i)], i.group.depth_in)),
        )
        return min((self._pack_in(order) for order in orders), key=lambda found: len(found[1]))

    def _pack_in(self, order: list[_Item]) -> tuple[list[tuple[_Item, float]], list[_Item]]:
        done: list[tuple[_Item, float]] = []
        left: list[_Item] = []
        for item in order:
            at = self._first(item, item.radius_ft)
            while at is not None:
                begin, end = at - item.radius_ft - LEAST_GAP_FT, self._end(item, at) + item.radius_ft
                in_the_way = [
                    until
                    for other, where in done
                    if where - other.radius_ft < end + LEAST_GAP_FT - TOUCHING_FT
                    and (until := self._end(other, where) + other.radius_ft) > begin + TOUCHING_FT
                    and self._meet(item, other, max(begin, where), min(end, until))
                ]
                if not in_the_way:
                    break
                at = self._first(item, max(in_the_way) + LEAST_GAP_FT + item.radius_ft)
            if at is None:
                left.append(item)
            else:
                done.append((item, at))
        return done, left

    def _lanes(self, items: list[_Item]) -> list[list[_Item]]:
        """The groups apart, so that those of one list lie clear, up and down the slope, of those of every other."""
        lanes: list[list[_Item]] = []
        for item in items:
            met = [lane for lane in lanes if any(self._meet(item, other) for other in lane)]
            lanes = [lane for lane in lanes if lane not in met] + [[i for lane in met for i in lane] + [item]]
        order = {id(item): place for place, item in enumerate(items)}
        return [sorted(lane, key=lambda i: order[id(i)]) for lane in lanes]

    def _meet(self, one: _Item, other: _Item, from_ft: float = -math.inf, to_ft: float = math.inf) -> bool:
        """Whether two groups side by side on this part of the tape would stand in one another's ground."""
        upper, lower = sorted((one, other), key=lambda i: i.group.depth_in)
        high, low = self.lines[upper.group.depth_in], self.lines[lower.group.depth_in]
        near = (high.tape_ft > from_ft - 1.0) & (high.tape_ft < to_ft + 1.0)
        apart = (low.out_ft - high.out_ft)[near]
        apart = apart[np.isfinite(apart)]
        room = upper.radius_ft + lower.radius_ft + lower.up_ft
        return not len(apart) or float(apart.min()) < room - 1e-9

    def _first(self, item: _Item, from_ft: float) -> float | None:
        """The first whole foot of the tape from `from_ft` on at which the group's row stands free, ends included."""
        free = self.free[item.group.depth_in]
        last = self.stretch.length_ft - item.radius_ft
        at = math.ceil(from_ft - 1e-9)
        while at + (0.0 if self.bank.located else item.row_ft) <= last + 1e-9 and at < len(free):
            end = self._end(item, at)
            if math.isnan(end) or end > last + 1e-9:
                return None
            beginning = max(0, math.floor(at - item.radius_ft))
            stop = min(len(free) - 1, math.ceil(end + item.radius_ft))
            taken = np.flatnonzero(~free[beginning : stop + 1])
            if not len(taken):
                return float(at)
            at = max(at + 1, beginning + int(taken[-1]) + 1)
        return None

    def _end(self, item: _Item, at: float) -> float:
        """The tape at the last plant of a row that begins at `at`; NaN beyond the line's end."""
        line = self.lines[item.group.depth_in]
        start = float(np.interp(at, line.tape_ft, line.row_ft))
        if start + item.row_ft > line.row_ft[-1] + 1e-9:
            return math.nan
        return float(np.interp(start + item.row_ft, line.row_ft, line.tape_ft))

    def _placed(self, item: _Item, at: float) -> tuple[_Item, tuple[Spot, ...]]:
        """The group with the place of each of its plants."""
        line, group = self.lines[item.group.depth_in], item.group
        start = float(np.interp(at, line.tape_ft, line.row_ft))
        in_row = group.each if group.each >= HERB_GROUP else min(2, group.each)
        along = start + np.linspace(0.0, item.row_ft, in_row)
        tape = np.interp(along, line.row_ft, line.tape_ft)
        out = self.bank.out_ft(tape, group.depth_in)
        for k in range(in_row, group.each):  # what stands above the line: the triangle's tip
            tape = np.append(tape, (tape[0] + tape[1]) / 2.0)
            out = np.append(out, out[0] - item.up_ft * (k - in_row + 1))
        xy = self.bank.points(tape, out)
        return item, tuple(
            Spot(float(t), float(o), None if xy is None else (float(xy[k, 0]), float(xy[k, 1])))
            for k, (t, o) in enumerate(zip(tape, out, strict=True))
        )

    def _unplaced(self, left: list[_Item], stake: str, placed: int) -> Iterator[Unplaced]:
        number = placed
        for entry in dict.fromkeys(item.entry for item in left):
            mine = [item for item in left if item.entry == entry]
            there = np.isfinite(self.lines[mine[0].group.depth_in].out_ft).any()
            yield Unplaced(
                entry=entry,
                plant_id=mine[0].group.plant_id,
                stretch=self.stretch.name,
                numbers=tuple(f"{stake}{number + k}" for k in range(1, len(mine) + 1)),
                why=Why.NO_ROOM if there else Why.TOO_SHALLOW,
                short_ft=sum(i.row_ft + 2.0 * i.radius_ft + LEAST_GAP_FT for i in mine),
            )
            number += len(mine)


def _caged_together(lane: list[_Item]) -> list[_Item]:
    """The groups of a lane in walking order, those that need a cage or a ring a few side by side where their depths let one go round
    them; each such few as far from the next as the rest are from one another."""
    fenced = sorted((i for i in lane if i.group.fenced), key=lambda i: (i.group.depth_in, i.wish, i.entry))
    cages: list[list[_Item]] = []
    for item in fenced:
        last = cages[-1] if cages else []
        if last and len(last) < IN_ONE_CAGE and item.group.depth_in - last[0].group.depth_in <= STEPPED_IN:
            last.append(item)
        else:
            cages.append([item])
    together = [
        replace(item, wish=(k + 0.5) / len(cages), cage=k) for k, cage in enumerate(cages) for item in cage
    ]
    free = [i for i in lane if not i.group.fenced]
    return sorted([*free, *together], key=lambda i: (i.wish, i.cage, i.group.depth_in, i.entry))


def _on_line(spots: tuple[Spot, ...]) -> tuple[Spot, ...]:
    """The plants on the depth line: all of a row, the lower two of a triangle."""
    return spots[:2] if len(spots) < HERB_GROUP else spots
