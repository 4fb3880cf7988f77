"""Where each group stands: rows along a depth line, triangles, trees; the tape, what is kept clear, and what has no place."""

from __future__ import annotations

import itertools
import math
import re
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from plantpick.files import pond_file
from plantpick.planting import plan as planting
from plantpick.planting.layout import LEAST_GAP_FT, lay_out
from plantpick.planting.model import Group, Wishes, runs
from plantpick.planting.places import Why
from plantpick.pond.model import KeepClear, Outline, Pond, Stretch, Survey
from plantpick.vocabulary import BANDS

# Made up: 400 ft of shore, 4 ft out for 1 ft down.
POND = Pond(
    name="p",
    state="MS",
    hardiness_zone="8a",
    area_acres=3.67,
    max_depth_ft=14,
    stretches=(Stretch("south", 400.0, 4.0),),
)


def group(number=1, depth_in=6.0, spacing_in=24.0, each=7, stretch="south", plant="p"):
    return Group(
        plant_id=plant,
        stretch=stretch,
        band="0-6 in",
        depth_in=depth_in,
        number=number,
        each=each,
        spacing_in=spacing_in,
        site=1.0,
    )


def test_seven_stand_in_a_row_along_one_depth_line():
    """Seven at 24 in are 12 ft from first to last; 6 in deep at 4:1 is 2 ft out, all along the row."""
    (placed,) = lay_out(POND, (group(),)).groups
    assert placed.number == "A1" and placed.to_ft - placed.from_ft == 12.0
    assert [s.tape_ft - placed.from_ft for s in placed.spots] == [0, 2, 4, 6, 8, 10, 12]
    assert {s.out_ft for s in placed.spots} == {2.0} and placed.out_ft == 2.0
    assert placed.from_ft == int(placed.from_ft), "a tape is read in whole feet"


def test_three_shrubs_stand_in_a_triangle_above_their_line():
    """6 in above the waterline at 4:1 is 2 ft up the bank; at 4 ft apart the third stands 2 x sqrt(3) = 3.46 ft farther up."""
    (placed,) = lay_out(POND, (group(each=3, depth_in=-6.0, spacing_in=48.0),)).groups
    first, second, third = placed.spots
    assert first.out_ft == second.out_ft == placed.out_ft == -2.0 and second.tape_ft - first.tape_ft == 4.0
    assert third.out_ft == pytest.approx(-2.0 - 3.464, abs=1e-3) and third.tape_ft == first.tape_ft + 2.0
    sides = [
        math.hypot(a.tape_ft - b.tape_ft, a.out_ft - b.out_ft)
        for a, b in itertools.combinations(placed.spots, 2)
    ]
    assert sides == pytest.approx([4.0, 4.0, 4.0], abs=1e-3)


def test_a_tree_stands_alone():
    (placed,) = lay_out(POND, (group(each=1, depth_in=0.0, spacing_in=240.0),)).groups
    assert len(placed.spots) == 1 and placed.from_ft == placed.to_ft and placed.out_ft == 0.0


def test_groups_are_numbered_in_walking_order_and_spread_over_the_tape():
    """Four rows of 14 ft (12 and half a spacing at each end) on 400 ft leave 344 ft: 86 between, half of that at the ends."""
    layout = lay_out(POND, (group(2, plant="a"), group(2, plant="b")))
    placed = layout.groups
    assert [g.number for g in placed] == ["A1", "A2", "A3", "A4"]
    assert [g.from_ft for g in placed] == sorted(g.from_ft for g in placed)
    assert [g.plant_id for g in placed] == ["a", "b", "a", "b"], "one plant's groups stand apart"
    gaps = [b.from_ft - a.to_ft for a, b in zip(placed, placed[1:])]
    assert all(85 <= gap <= 89 for gap in gaps) and 40 <= placed[0].from_ft <= 46
    assert layout.numbers(0) == ("A1", "A3") and layout.numbers(1) == ("A2", "A4")


def test_rows_keep_off_what_is_kept_clear():
    pond = replace(
        POND,
        keep_clear=(
            KeepClear("dock", "south", 60.0, from_ft=100.0, to_ft=160.0),
            KeepClear("spillway", "south", 40.0),  # nobody said where
        ),
    )
    (layout,) = lay_out(pond, (group(15),)).stretches
    assert len(layout.groups) == 15 and not layout.unplaced
    for g in layout.groups:
        assert g.to_ft + 1 <= 100 or g.from_ft - 1 >= 160, g
        assert g.to_ft + 1 <= 360, "the last 40 ft stay free for the spillway"


def test_rows_that_lie_clear_up_and_down_the_slope_may_share_the_tape():
    """24 rows of 14 ft and a foot between are 360 ft: 26 fit on 400 ft. 6 in and 30 in deep are 2 and 10 ft out: each has the tape to
    itself. 6 in and 9 in are a foot apart on the ground, less than the spacing of 2 ft: they must share it."""
    apart = lay_out(POND, (group(24, 6.0), group(24, 30.0)))
    assert len(apart.groups) == 48 and not apart.unplaced
    close = lay_out(POND, (group(24, 6.0), group(24, 9.0)))
    assert len(close.groups) == 26
    assert sum(len(left.numbers) for left in close.unplaced) == 22


def test_groups_that_need_a_cage_stand_side_by_side_so_that_one_goes_round_three():
    """Six of 14 ft on 400 ft, two feet between those of one cage: 3 x 14 + 2 x 2 = 46 ft a cage. Without a cage they spread out."""
    placed = lay_out(POND, (replace(group(6, 24.0), fenced=True),)).groups
    gaps = [b.from_ft - a.to_ft for a, b in zip(placed, placed[1:])]
    assert [4 <= gap <= 5 for gap in gaps] == [True, True, False, True, True], (
        gaps
    )  # a foot at each end and two between
    assert gaps[2] > 100
    spread = lay_out(POND, (group(6, 24.0),)).groups
    assert min(b.from_ft - a.to_ft for a, b in zip(spread, spread[1:])) > 40
    mixed = lay_out(POND, (replace(group(3, 24.0, plant="a"), fenced=True), group(3, 24.0, plant="b"))).groups
    order = "".join(g.plant_id for g in mixed)
    assert "aaa" in order and len(mixed) == 6


def test_a_full_tape_still_holds_what_it_did_when_groups_need_cages():
    plain, fenced = (lay_out(POND, (replace(group(24, 24.0), fenced=caged),)) for caged in (False, True))
    assert len(plain.groups) == len(fenced.groups) == 24


def test_shrubs_and_trees_keep_25_ft_off_the_dam():
    """FEMA 534 (2005): nothing woody on a dam or within 25 ft of it. The square's south side is the dam, its corners are at (0, 0) and
    (400, 0): on the east and west sides a stem stands 25 ft north of it or more. Herbs may stand there."""
    ring = ((0.0, 0.0), (400.0, 0.0), (400.0, 400.0), (0.0, 400.0))
    sides = (
        Stretch("dam", 400.0, 3.0, dam=True, from_ft=0.0),
        Stretch("east", 400.0, 3.0, from_ft=400.0),
        Stretch("north", 400.0, 3.0, from_ft=800.0),
        Stretch("west", 400.0, 3.0, from_ft=1200.0),
    )
    pond = replace(POND, stretches=sides, survey=Survey(outline=Outline((ring,)), how="outline"))
    shrubs = tuple(group(16, -6.0, 48.0, 3, side) for side in ("east", "west"))
    stems = [s.xy for g in lay_out(pond, shrubs).groups for s in g.spots]
    assert len(stems) > 60 and min(y for _, y in stems) >= 25.0
    herbs = [s.xy for g in lay_out(pond, (group(24, 6.0, stretch="east"),)).groups for s in g.spots]
    assert min(y for _, y in herbs) < 15.0
    tape = replace(POND, stretches=(Stretch("dam", 400.0, 3.0, dam=True), Stretch("east", 400.0, 3.0)))
    spots = [s.tape_ft for g in lay_out(tape, (group(16, -6.0, 48.0, 3, "east"),)).groups for s in g.spots]
    assert 25.0 <= min(spots) < 40.0 and 360.0 < max(spots) <= 375.0


def test_no_plant_stands_in_another_groups_ground():
    layout = lay_out(POND, (group(9, 5.0), group(8, 7.0, 18.0), group(5, 9.0, 36.0), group(3, -4.0, 48.0, 3)))
    assert_apart(layout, {0: 24.0, 1: 18.0, 2: 36.0, 3: 48.0})


def assert_apart(layout, spacing_in, share=1.0):
    """Plants of two groups stand at least half the one spacing and half the other apart."""
    for a, b in itertools.combinations(layout.groups, 2):
        if a.stretch != b.stretch:
            continue
        least = share * (spacing_in[a.entry] + spacing_in[b.entry]) / 24.0
        for one, other in itertools.product(a.spots, b.spots):
            points = (
                (one.xy, other.xy) if one.xy else ((one.tape_ft, one.out_ft), (other.tape_ft, other.out_ft))
            )
            assert math.dist(*points) >= least - 1e-6, (a.number, b.number)


def test_what_has_no_room_is_said_with_how_much_it_lacks():
    """A row of seven at 24 in takes 14 ft and a foot to the next: 15 ft. On 40 ft of shore two fit; three more lack 45 ft."""
    short = replace(POND, stretches=(Stretch("south", 40.0, 4.0),))
    layout = lay_out(short, (group(5),))
    (left,) = layout.unplaced
    assert len(layout.groups) == 2 and left.numbers == ("A3", "A4", "A5")
    assert left.why is Why.NO_ROOM and left.short_ft == 3 * (12 + 2 + LEAST_GAP_FT)
    assert layout.numbers(0) == ("A1", "A2", "A3", "A4", "A5")


def test_numbers_that_follow_one_another_are_drawn_together():
    assert runs(("A1", "A2", "A3", "A7", "B8", "B9", "Q1")) == ["A1-A3", "A7", "B8-B9", "Q1"]


# Made up: a square pond, 400 ft a side, on a plane in feet; the south side is the stretch, told from its southwest corner.
SQUARE = Outline((((0.0, 0.0), (400.0, 0.0), (400.0, 400.0), (0.0, 400.0)),))


def sounded(slope):
    """Soundings of a bottom that falls evenly from the four sides to 60 ft from them, then is flat."""
    x, y = np.meshgrid(np.arange(5.0, 400.0, 10.0), np.arange(5.0, 400.0, 10.0))
    off = np.minimum(np.minimum(x, 400 - x), np.minimum(y, 400 - y))
    return np.column_stack([x.ravel(), y.ravel(), 12.0 / slope * np.minimum(off, 60.0).ravel()])


def located(soundings=None, **more):
    return replace(
        POND,
        stretches=(Stretch("south", 400.0, 4.0, from_ft=0.0),),
        survey=Survey(
            "soundings" if soundings is not None else "outline", outline=SQUARE, soundings=soundings
        ),
        **more,
    )


def test_feet_out_are_measured_where_the_bottom_was_sounded():
    """The owner says 4:1, the soundings say 10:1: 6 in deep is 5 ft out, not 2."""
    (placed,) = lay_out(located(sounded(10.0)), (group(),)).groups
    assert placed.out_ft == pytest.approx(5.0, abs=0.05)
    for spot in placed.spots:
        assert spot.xy == pytest.approx((spot.tape_ft, 5.0), abs=0.05)


def test_points_on_the_outline_without_soundings_go_by_the_slope():
    (placed,) = lay_out(located(), (group(),)).groups
    for spot in placed.spots:
        assert spot.xy == pytest.approx((spot.tape_ft, 2.0), abs=1e-6)


def test_nothing_is_set_within_reach_of_a_marked_place():
    """20 ft round a mark that stands 12 ft out at 200 ft: a row 2 ft out, with half its spacing, stays sqrt(21^2 - 10^2) = 18.5 ft of
    tape away from it."""
    mark = KeepClear("inflow", points=((200.0, 12.0),), around_ft=20.0)
    layout = lay_out(located(keep_clear=(mark,)), (group(20),))
    assert len(layout.groups) == 20
    for g in layout.groups:
        assert g.to_ft <= 200 - 18.46 or g.from_ft >= 200 + 18.46
        assert all(math.dist(s.xy, (200.0, 12.0)) >= 20.0 for s in g.spots)


@pytest.mark.parametrize("seed", range(6))
def test_a_full_tape_along_a_bent_shore_is_packed_to_an_end(seed):
    """Rows on a bent shore end at feet that are sums of roots: where one group's ground ends at the very foot at which the next
    begins, rounding must not send the search round and round. Each has its own ground, as far as it may be on one line."""
    corners = "0,0 340,0 430,200 440,410 290,470 140,460 -20,330 -60,150"  # made up
    outline = Outline((tuple((float(x), float(y)) for x, y in (c.split(",") for c in corners.split())),))
    pond = replace(
        POND,
        stretches=(Stretch("south", 312.0, 8.0, from_ft=770.0),),
        survey=Survey("outline", outline=outline),
    )
    rng = np.random.default_rng(seed)
    spacings = [float(s) for s in rng.choice([8, 10, 12, 14, 16, 20, 24, 36], 4, replace=False)]
    depths = [float(d) for d in rng.choice([3, 5, 7], 4)]
    groups = tuple(
        group(14, depth_in=d, spacing_in=s, plant=f"p{k}") for k, (d, s) in enumerate(zip(depths, spacings))
    )
    layout = lay_out(pond, groups)
    assert layout.groups
    for depth in set(depths):
        ground = sorted(
            (g.from_ft - groups[g.entry].spacing_in / 24.0, g.to_ft + groups[g.entry].spacing_in / 24.0)
            for g in layout.groups
            if g.depth_in == depth
        )
        assert all(
            later[0] - earlier[1] >= LEAST_GAP_FT - 1e-5 for earlier, later in itertools.pairwise(ground)
        )


def test_shrubs_stand_25_ft_off_a_dam_and_herbs_may_come_close():
    """The dam is the square's east side, x = 400 (25 ft: common practice, no source). Four triangles of shrubs at the waterline of the
    south side stand west of x = 375, so do trees; a row of herbs may stand beyond."""
    pond = located()
    dam = Stretch("dam", 400.0, 3.0, from_ft=400.0, dam=True)
    pond = replace(pond, stretches=(*pond.stretches, dam))
    shrubs, trees = (
        group(8, each=3, depth_in=0.0, spacing_in=48.0),
        group(4, each=1, depth_in=-12.0, spacing_in=240.0),
    )
    layout = lay_out(pond, (shrubs, trees))
    stems = [spot.xy for g in layout.groups for spot in g.spots]
    assert len(stems) == 28 and 350 < max(x for x, _ in stems) <= 375
    herbs = lay_out(pond, (group(16, depth_in=3.0),))
    assert max(s.xy[0] for g in herbs.groups for s in g.spots) > 380


def test_where_the_dam_is_not_known_wood_keeps_off_both_ends_of_the_tape():
    """Another stretch is a dam, and nobody said which end of this one meets it."""
    pond = replace(POND, stretches=(Stretch("south", 100.0, 4.0), Stretch("dam", 80.0, 3.0, dam=True)))
    placed = lay_out(pond, (group(2, each=3, depth_in=0.0, spacing_in=48.0),)).groups
    assert len(placed) == 2
    assert all(25 <= s.tape_ft <= 75 for g in placed for s in g.spots)
    alone = lay_out(
        replace(POND, stretches=pond.stretches[:1]), (group(4, each=3, depth_in=0.0, spacing_in=48.0),)
    ).groups
    assert min(s.tape_ft for g in alone for s in g.spots) < 20, "no dam: the whole tape"


def test_an_air_line_is_crossed_by_no_row():
    line = KeepClear("air line", points=((150.0, -5.0), (150.0, 100.0)))
    layout = lay_out(located(keep_clear=(line,)), (group(12), group(6, 30.0)))
    for g in layout.groups:
        assert g.to_ft <= 147 or g.from_ft >= 153


def test_no_such_depth_off_the_shore_is_said():
    """The bottom ends at 60 ft out, 72 in deep at 10:1: nothing can stand in 100 in."""
    layout = lay_out(located(sounded(10.0)), (group(1, 100.0),))
    assert not layout.groups and layout.unplaced[0].why is Why.TOO_SHALLOW


@pytest.fixture(scope="module")
def surveyed(plants):
    pond = pond_file.read_pond("demo-surveyed")
    return planting.plan(pond, plants, Wishes(cover=0.3), time_limit=60.0, within=5.0)


@pytest.mark.slow
def test_every_plant_of_the_surveyed_pond_stands_at_its_depth(surveyed):
    """The survey is read again by hand, each point weighed between the corners of the triangle that it lies in: every plant under
    water stands within its band, and within an inch of its line."""
    from plantpick.pond import bathymetry

    survey = surveyed.pond.survey
    surface = bathymetry.triangulate(survey.outline, survey.soundings)
    a, b, c = (surface.xy[surface.triangles[:, k]] for k in range(3))
    depth = surface.depth_in[surface.triangles]

    def read(x, y):
        def twice(p, q):  # twice the area of the triangle with the point
            return (p[:, 0] - x) * (q[:, 1] - y) - (q[:, 0] - x) * (p[:, 1] - y)

        parts = np.stack([twice(b, c), twice(c, a), twice(a, b)], axis=1)
        whole = parts.sum(axis=1, keepdims=True)
        weights = np.where(whole == 0, -1.0, parts / np.where(whole == 0, 1.0, whole))
        inside = int(weights.min(axis=1).argmax())
        assert weights[inside].min() > -1e-6, "off the water"
        return float(weights[inside] @ depth[inside])

    wet = [g for g in surveyed.layout.groups if g.depth_in > 0]
    assert len(wet) >= 10
    for g in wet:
        shallow, deep = BANDS[surveyed.groups[g.entry].band]
        depths = np.array([read(*s.xy) for s in g.spots])
        assert ((shallow - 0.05 <= depths) & (depths <= deep + 0.05)).all(), (g.number, depths)
        assert np.abs(depths - g.depth_in).max() < 1.0, (g.number, g.depth_in, depths)


@pytest.mark.slow
def test_the_surveyed_ponds_groups_stand_apart_and_off_what_is_kept_clear(surveyed):
    import shapely

    layout = surveyed.layout
    assert sum(g.number for g in surveyed.groups) == len(layout.groups) and not layout.unplaced
    assert_apart(layout, {k: g.spacing_in for k, g in enumerate(surveyed.groups)}, share=0.8)
    for place in surveyed.pond.keep_clear:
        if place.points and place.room_ft:
            mark = (
                shapely.LineString(place.points) if len(place.points) > 1 else shapely.Point(place.points[0])
            )
            for g in layout.groups:
                assert all(shapely.Point(s.xy).distance(mark) > place.room_ft - 0.5 for s in g.spots), (
                    g.number
                )
        if place.from_ft is not None:
            for g in layout.groups:
                if g.stretch == place.stretch:
                    assert g.to_ft <= place.from_ft or g.from_ft >= place.to_ft, (g.number, place.what)


@pytest.mark.slow
def test_plan_table_and_sheets_say_the_same_places(surveyed, plants):
    """Names, tape and depth of every group in the JSON, the CSV and the page are the layout's."""
    import csv
    import io
    import json
    import re
    from datetime import date

    from plantpick.planting import instructions
    from plantpick.show import plan as planpage
    from plantpick.show.plan_report import plan_report

    sheets = instructions.sheets(surveyed, plants, date(2027, 1, 10))
    told = json.loads(planpage.plan_json(surveyed, sheets, instructions.order_of_work(surveyed, plants)))
    assert [p["number"] for p in told["places"]] == [g.number for g in surveyed.layout.groups]
    rows = list(csv.DictReader(io.StringIO(planpage.plan_csv(surveyed, sheets))))
    cells = "; ".join(r["tape"] for r in rows)
    page = plan_report(surveyed, plants, date(2027, 1, 15))
    for g in surveyed.layout.groups:
        words = f"{g.from_ft:.0f} to {g.to_ft:.0f}" if g.to_ft > g.from_ft else f"{g.from_ft:.0f}"
        assert re.search(rf"\b{g.number} (at )?{words} ft", cells)
        row = page[page.index(f'<th scope="row" class="row">{g.number}</th>') :]
        row = row[: row.index("</tr>")]
        assert f">{words}</td>" in row and f">{surveyed.groups[g.entry].each}</td>" in row


def test_how_far_wood_stands_off_a_dam_is_written_once():
    """25 ft, common practice, no source: the layout keeps it, and every sentence takes its figure from the same constant."""
    import plantpick

    files = Path(plantpick.__file__).parent.rglob("*.py")
    in_words = {file.name for file in files if re.search(r"\b25 ft\b", file.read_text(encoding="utf-8"))}
    assert in_words == set()
