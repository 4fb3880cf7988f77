"""What grows in the pond already: read, counted by hand in the cover and under the limits, and said."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from plantpick.catalogue.traits import traits
from plantpick.errors import PlantpickError
from plantpick.files.pond_file import parse_pond
from plantpick.planting import plan as planting
from plantpick.planting.candidates import build_problem, select_candidates
from plantpick.planting.coverage import CAUTIOUS, PESSIMISTIC, bare_of_standing, cut
from plantpick.planting.model import Wishes
from plantpick.pond.model import Growing
from plantpick.ranking import rank as ranking
from plantpick.ranking import takeover
from plantpick.ranking.draws import JOINT_POINTS, POINTS
from plantpick.ranking.grows_there import First, grows_there, standing
from plantpick.show import plan_words
from plantpick.show.grows_there import there_words
from tests.conftest import a_pond

POND = """
name = "Try"
state = "MS"
hardiness_zone = "8a"
last_frost = "03-28"
first_frost = "11-05"
[water]
area_acres = 2.0
max_depth_ft = 12
clarity_in = 30
usual_drop_ft = 1
[[shore]]
name = "north"
length_ft = 700
slope = 3
[[shore]]
name = "south"
length_ft = 500
slope = 6
[[growing]]
"""


def stand(plant_id: str, stretch: str = "south", **size) -> Growing:
    return Growing(plant_id=plant_id, name=plant_id, stretch=stretch, **size)


def lily(plants, **size):
    return stand(plants.find("pickerelweed"), **size)


def test_the_file_takes_three_ways_to_give_a_size():
    read = {
        words: parse_pond(POND + f'plant = "pickerelweed"\nstretch = "south"\n{words}\n').growing[0]
        for words in ("length_ft = 60\nwidth_ft = 8", "area_ft2 = 480", "plants = 40")
    }
    sizes = {words: takeover.stand_size(g, 24.0) for words, g in read.items()}
    assert sizes["length_ft = 60\nwidth_ft = 8"] == (480.0, 8.0)
    assert sizes["area_ft2 = 480"] == (480.0, pytest.approx(math.sqrt(480)))
    # forty in a row two feet apart: 78 ft of row by 2 ft, and half a disc of one foot at each end
    assert sizes["plants = 40"] == (pytest.approx(78 * 2 + math.pi), 2.0)


@pytest.mark.parametrize(
    "lines, where, words",
    [
        ('plant = "pickerelwed"\nstretch = "south"\narea_ft2 = 9', "growing[1].plant", "pickerelweed"),
        (
            'plant = "pickerelweed"\nstretch = "soth"\narea_ft2 = 9',
            "growing[1].stretch",
            'Did you mean "south"?',
        ),
        ('plant = "pickerelweed"\narea_ft2 = 9', "growing[1].stretch", "north, south"),
        ('plant = "pickerelweed"\nstretch = "south"', "growing[1]", "area_ft2"),
        ('plant = "pickerelweed"\nstretch = "south"\nlength_ft = 9', "growing[1]", "width_ft"),
        ('plant = "pickerelweed"\nstretch = "south"\nplants = 9\narea_ft2 = 9', "growing[1]", "two ways"),
        ('plant = "pickerelweed"\nstretch = "south"\narea_ft2 = 90000', "growing[1]", "larger than the pond"),
        ('plant = "pickerelweed"\nstretch = "south"\narea = 9', "growing[1].area", "area_ft2"),
        ('plant = "sedge"\nstretch = "south"\nplants = 9', "growing[1].plant", "scientific name"),
    ],
)
def test_a_wrong_entry_says_what_is_wrong_and_what_to_write(lines, where, words):
    with pytest.raises(PlantpickError) as caught:
        parse_pond(POND + lines + "\n")
    told = [str(p) for p in caught.value.problems if f": {where}" in p.where]
    assert told and any(words in t for t in told), caught.value.problems


def test_two_wrong_entries_are_both_told():
    text = (
        POND
        + 'plant = "pickerelwed"\nstretch = "soth"\narea_ft2 = 9\n[[growing]]\nplant = "zorpwort"\nstretch = "south"\nplants = 2\n'
    )
    with pytest.raises(PlantpickError) as caught:
        parse_pond(text)
    assert len(caught.value.problems) == 3


def test_a_stand_now_takes_what_you_measured(plants):
    """60 by 4 ft on 2 acres (87,120 sq ft) is 240 / 87,120 of the surface, whatever the draw."""
    pond = a_pond(growing=(lily(plants, length_ft=60.0, width_ft=4.0),))
    one = traits([plants.plant(plants.find("pickerelweed"))])
    none = np.zeros((1, len(pond.shore)))
    where = takeover.strips(one, pond)
    now = takeover.already(one, pond, 0.0, where=where)
    share = ((1 - np.exp(now)) * where.area / pond.area_ft2).sum(axis=2)[0]
    assert share == pytest.approx([240 / 87_120] * 3, rel=1e-6)
    later = takeover.forecast(one, pond, 10.0).takeover(none)[0]
    assert (np.diff(later) > 0).all() and later[0] > 240 / 87_120


def test_a_stand_grows_at_its_edges_by_hand(plants):
    """A plant that never strays, on a strip wide enough: after y years a stand of 60 x 4 ft, a stadium of radius 2 around a row
    of (240 - 4 pi) / 4 ft, has radius 2 + v y: its area is pi r^2 + 2 r times the row."""
    plant_id = next(
        p.plant_id
        for p in plants.every_plant()
        if p.well_known and p.jump == "none" and p.growth_form == "floating-leaved" and p.spread_ft_yr > 0
    )
    one = traits([plants.plant(plant_id)])
    pond = a_pond(growing=(stand(plant_id, length_ft=60.0, width_ft=4.0),))
    where = takeover.strips(one, pond)
    rate = takeover.edge_rates_ft_yr(one, pond)[0]
    years = float(min(3.0, (where.width[0, 1, 1] / 2 - 2.0) / rate[1]))
    radius = 2.0 + rate[1] * years
    row = (240 - 4 * math.pi) / 4
    by_hand = math.pi * radius**2 + 2 * radius * row
    bare = takeover.already(one, pond, years, where=where)[0, 1]
    assert (1 - np.exp(bare)) @ where.area[0, 1] == pytest.approx(by_hand, rel=1e-6)


def test_fewer_groups_fit_where_the_plant_grows_already(plants):
    """Rank's room for a plant can only shrink by what grows there, and a stand over the limit leaves none."""
    pond = a_pond()
    plant_id = plants.find("pickerelweed")

    def room(**size):
        with_it = replace(pond, growing=(stand(plant_id, **size),) if size else ())
        found = [r for r in ranking.rank(with_it, plants, only=[plant_id], places=False).plants]
        return max(found[0].groups_max, found[0].contained_groups) if found else 0

    free, some, much = room(), room(length_ft=200.0, width_ft=6.0), room(area_ft2=0.06 * pond.area_ft2)
    assert free >= some >= much == 0
    assert free > much


def test_the_plan_counts_it_in_cover_and_under_the_limits(plants):
    """What is asked of new plants is what was asked less what grows there, and the same for the limit for all together."""
    bare, wishes = a_pond(), Wishes(cover=3.0).for_pond(a_pond())
    pond = replace(bare, growing=(lily(plants, length_ft=100.0, width_ft=6.0),))
    ranked = ranking.rank(pond, plants, places=False)
    stock = select_candidates(pond, plants, ranked)
    problem = build_problem(stock, wishes)
    kinds = grows_there(pond, plants)
    there = standing(kinds, plants)
    cells = stock.cells
    by_count = {
        (count, years): float(
            (
                (1 - np.exp(-bare_of_standing(there, pond, cells, years, count, fish=True)))
                * cells.area_by(count)
            ).sum()
        )
        for count, years in ((CAUTIOUS, 5), (PESSIMISTIC, 10))
    }
    assert 0 < by_count[CAUTIOUS, 5] < 0.03
    assert problem.limits.cover == pytest.approx(0.03 - by_count[CAUTIOUS, 5])
    assert problem.limits.upper == pytest.approx(0.30 - by_count[PESSIMISTIC, 10])


def test_cover_of_a_held_stand_is_its_wet_part_by_hand(plants):
    """A stand held at its size, 600 sq ft, spread evenly over its strip: the part of the strip that is under water, cell by
    cell, times 600 sq ft over the pond's 87,120."""
    plant_id = plants.find("pickerelweed")
    pond = a_pond(growing=(stand(plant_id, area_ft2=600.0),))
    there = replace(standing(grows_there(pond, plants), plants), still=np.array([True]))
    cells = cut(pond, there.plants)
    draw = JOINT_POINTS.column(PESSIMISTIC)
    where = takeover.strips(there.plants, pond, draw)
    bare = bare_of_standing(there, pond, cells, 10.0, PESSIMISTIC, fish=False)
    share = float(((1 - np.exp(-bare)) * cells.most).sum())
    wet = 1 - where.dry[0, 0, 1] / where.width[0, 0, 1]
    assert share == pytest.approx(
        600 / 87_120 * wet, rel=0.02
    )  # cells begin and end within half an inch of the strip


def test_with_it_a_plan_needs_fewer_plants_for_the_same_cover(plants):
    pond = a_pond(purposes=("fish cover",), usual_drop_ft=0.0)
    wishes = Wishes(cover=1.0, species=1, share=100.0, mix=100.0)
    without = planting.plan(pond, plants, wishes, time_limit=30.0, within=5.0)
    grown = replace(pond, growing=(lily(plants, length_ft=150.0, width_ft=5.0),))
    with_it = planting.plan(grown, plants, wishes, time_limit=30.0, within=5.0)
    assert with_it.met and with_it.search_cost <= 1.05 * without.search_cost, (
        "for no more money, to the 5 % searched to"
    )
    assert with_it.cover[5][0] >= 1.0 - 1e-6 and with_it.cover[5][0] > 0
    assert set(without.there.values()) == {(0.0, 0.0, 0.0)}
    already, added = with_it.there[5], with_it.added(5)
    assert 0 < already[0] < with_it.cover[5][0] and added[0] == pytest.approx(
        with_it.cover[5][0] - already[0]
    )
    said = plan_words.cover_words(with_it)
    assert "grow there already" in said and "what you plant adds" in said
    assert "there already" not in plan_words.cover_words(without)
    (kind,) = with_it.ranking.grows_there
    assert kind.area_ft2 == 750.0 and kind.percent == pytest.approx(100 * 750 / 87_120)


def test_no_row_is_planned_into_a_stand(plants):
    """The south shore of 500 ft is full of lizard's tail 40 ft wide, from the bank to 6 ft at 6:1 and deeper: nothing has a place
    there. Along 100 ft of it, the rest has room for four fifths as many groups."""
    pond = a_pond(purposes=("fish cover",))
    ranked = ranking.rank(pond, plants, places=False)
    some = plants.find("lizard's tail")

    def places(**size):
        with_it = replace(pond, growing=(stand(some, **size),) if size else ())
        again = replace(ranked, grows_there=grows_there(with_it, plants))
        return build_problem(select_candidates(with_it, plants, again), Wishes().for_pond(with_it)).places

    free, full = places(), places(length_ft=500.0, width_ft=40.0)
    south = 1
    top = plants.plant(some).depth_min_in
    assert ((free.stretch == south) & (free.depth_in >= top)).sum() > 3
    left = full.depth_in[full.stretch == south]
    assert ((left < top) | (left > 80)).all(), "only above it, or beyond its 40 ft: 80 in deep at 6:1"
    assert (full.stretch == 0).sum() == (free.stretch == 0).sum()
    part = places(length_ft=100.0, width_ft=40.0)
    wet = (part.stretch == south) & (part.depth_in >= top)
    assert wet.any()
    assert part.most[wet] == pytest.approx(np.floor(400.0 / part.shore_ft[wet]))


def test_a_refused_plant_is_allowed_and_comes_out_first(plants):
    """Alligatorweed is no native and Mississippi lists it as a noxious weed: the file may name it, since it grows; the plan counts
    none of it."""
    pond = a_pond(growing=(stand(plants.find("alligatorweed"), area_ft2=400.0),))
    (kind,) = grows_there(pond, plants)
    assert kind.first is First.TAKE_OUT and standing((kind,), plants) is None
    words = there_words(kind, pond.cap_percent)
    assert "Take it out before you plant" in words and "state agency" in words


def test_a_stand_that_is_over_the_limit_today_is_cut_back_first(plants):
    """Made up: 20,000 of 87,120 sq ft is 23 %, over any limit of the demo kind. Nothing shrinks by itself, so it stays over."""
    pond = a_pond(growing=(stand(plants.find("pickerelweed"), area_ft2=20_000.0),))
    (kind,) = grows_there(pond, plants)
    assert kind.percent > pond.cap_percent
    assert kind.first is First.CUT_BACK and kind.held and kind.chance_over_cap == 1.0
    assert min(kind.shares) == pytest.approx(kind.percent)
    assert f"over your {pond.cap_percent:g} % today" in there_words(kind, pond.cap_percent)


def test_a_plant_known_by_name_only_is_listed_with_what_is_not_known(plants):
    """Balsam fir is in by_name.csv alone: its size is told where it was given in feet, and none of it is counted."""
    pond = a_pond(
        growing=(
            Growing(
                plant_id="abies-balsamea", name="balsam fir", stretch="north", length_ft=30.0, width_ft=10.0
            ),
            Growing(plant_id="abelia-x-grandiflora", name="abelia", stretch="south", plants=4),
        )
    )
    fir, abelia = grows_there(pond, plants)
    assert fir.first is First.BY_NAME and not fir.counted and fir.area_ft2 == 300.0
    assert standing((fir, abelia), plants) is None
    words = there_words(fir, pond.cap_percent)
    assert words.startswith("balsam fir: about 300 sq ft on the north") and "not how it spreads" in words
    assert there_words(abelia, pond.cap_percent).startswith("abelia: on the south. We know its name")


def test_a_willow_on_the_dam_comes_off_it(plants):
    """Nothing woody on a dam (FEMA 534, 2005): the file may name it, since it grows; elsewhere it is held or stays."""
    willow = plants.find("black willow")
    dam, shore = a_pond().stretches
    pond = a_pond(stretches=(replace(dam, dam=True), shore))
    (on_it,) = grows_there(replace(pond, growing=(stand(willow, stretch=dam.name, plants=3),)), plants)
    assert on_it.first is First.OFF_DAM and standing((on_it,), plants) is None
    words = there_words(on_it, pond.cap_percent)
    assert (
        "Nothing woody stays on a dam" in words and "dam safety office" in words and "may stay" not in words
    )
    (beside,) = grows_there(replace(pond, growing=(stand(willow, stretch=shore.name, plants=3),)), plants)
    assert beside.first is not First.OFF_DAM


def test_a_native_over_the_limit_is_held_at_its_size(plants):
    pond = a_pond(growing=(stand(plants.find("broadleaf cattail"), area_ft2=3000.0),))
    (kind,) = grows_there(pond, plants)
    assert kind.first is First.HOLD and "Cut its edge back first" in there_words(kind, pond.cap_percent)
    there = standing((kind,), plants)
    one = there.plants
    first, last = (
        takeover.already(one, pond, years, draws=POINTS, still=there.still) for years in (0.0, 10.0)
    )
    assert np.array_equal(first, last)
