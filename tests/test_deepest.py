"""How deep plants can live: one answer, whichever command is asked. Ponds made up."""

import re
from dataclasses import replace
from statistics import NormalDist

import numpy as np
import pytest

from plantpick.catalogue.traits import traits
from plantpick.monitoring.log import Log
from plantpick.monitoring.strip import strip_of
from plantpick.monitoring.water_readings import refresh
from plantpick.planting import candidates
from plantpick.pond.deepest_growth import growth_limit_in, light_limit_in, reach_in
from plantpick.pond.depth_bands import describe
from plantpick.pond.light import PASSED_GREATEST, PASSED_WORDS, deepest_growth_in
from plantpick.pond.model import Stretch
from plantpick.ranking import rank, takeover
from plantpick.ranking.explain import explain
from plantpick.ranking.site_factors import DEPTHS, LIGHT_PAST, sites
from plantpick.ranking.takeover_report import takeover_report
from tests.conftest import a_pond

LAKE = (Stretch("north", 3000.0, 6.0), Stretch("south", 3000.0, 12.0, sun="part"))
PONDS = {
    "turbid lake, 5 ft drop": a_pond(
        clarity_in=14.0, usual_drop_ft=5.0, area_acres=40.0, max_depth_ft=22.0, stretches=LAKE
    ),
    "clear, steady": a_pond(clarity_in=90.0, usual_drop_ft=0.0, max_depth_ft=18.0),
    "murky, shallow": a_pond(clarity_in=9.0, usual_drop_ft=2.0, max_depth_ft=6.0),
    "usual": a_pond(),
    "drop not known": a_pond(usual_drop_ft=0.0, drop_known=False),
    "nothing read": a_pond(clarity_in=None, usual_drop_ft=0.0, drop_known=False, max_depth_ft=20.0),
}

pytestmark = pytest.mark.usefixtures("ranked_once")
QUICK = ("turbid lake, 5 ft drop", "murky, shallow", "nothing read")


@pytest.fixture(scope="module")
def rooted(plants):
    """The native submersed and floating-leaved plants that can be placed."""
    return [
        r
        for r in plants.every_plant()
        if r.growth_form in ("submersed", "floating-leaved") and r.origin == "native" and r.well_known
    ]


def _limits(pond):
    """Usual and greatest, inches: Caffrey, Hoyer and Canfield 2007, or without a reading the clear end."""
    return deepest_growth_in(pond.clarity_in or pond.clarity_range_in[2])


@pytest.mark.parametrize(
    "name",
    [name if name in QUICK else pytest.param(name, marks=pytest.mark.slow) for name in PONDS],
)
def test_no_command_has_a_submersed_plant_deeper_than_depths_says(plants, rooted, name):
    pond = PONDS[name]
    usual, greatest = _limits(pond)
    told = describe(pond).growth
    if pond.clarity_in is None:
        assert told is None and growth_limit_in(pond) is None
    else:
        assert (told.usual_ft * 12, told.greatest_ft * 12) == pytest.approx((usual, greatest))
        new = refresh(pond, Log(()))
        assert new.deepest_in[1] == pytest.approx([min(v, pond.max_depth_in) for v in (usual, greatest)])
        assert new.growable[1] == pytest.approx(told.usual_share)
    every = traits(rooted)
    ends = light_limit_in(every, pond.clarity_range_in[2])[:, 2]  # where light ends each, at the high end
    judged, where, reach = sites(every, pond), takeover.strips(every, pond), reach_in(every, pond)
    assert where.reach_in == pytest.approx(np.maximum(reach, every.number["depth_min_in"][:, None]))
    for i, record in enumerate(rooted):
        dark = record.growth_form == "submersed"
        if dark:
            assert ends[i] == pytest.approx(record.light_depth_high * usual)
            assert reach[i, 2] <= ends[i] + 1e-9, record.plant_id
            assert reach[i, 1] <= record.light_depth * usual + 1e-9, record.plant_id
            assert not (judged.index[i][:, DEPTHS > LIGHT_PAST * ends[i]] > 0).any(), record.plant_id
        stopped = takeover_report(pond, plants, record.plant_id)
        for stop in stopped.stops:
            least = max(0.0, record.depth_min_in)  # darker than its least depth: it lives nowhere there
            assert stop.depth_in == pytest.approx(np.maximum(least, reach[i, 1:])), record.plant_id
            if stop.by.startswith("too little light"):
                assert dark and stop.depth_in[1] == pytest.approx(ends[i])
        told = explain(pond, plants, record.plant_id)
        depths = [
            float(line.rsplit(" - ", 1)[1].split(" in deep")[0])
            for line in told.takeover_how
            if "in deep" in line
        ]
        assert len(depths) == len(pond.shore)
        assert depths == pytest.approx([max(reach[i, 2], record.depth_min_in)] * len(depths), abs=0.51)
        for s, shore in enumerate(pond.shore):
            strip = strip_of(every, i, pond, where, shore.name, 1.0)
            assert strip.width_ft == pytest.approx(float(where.width[i, 1, s])) or where.width[i, 1, s] <= 0


@pytest.mark.parametrize("name", ["turbid lake, 5 ft drop", "murky, shallow", "usual"])
def test_what_is_ranked_and_planned_under_water_has_light(plants, name):
    pond = replace(PONDS[name], tolerance="free")

    def deepest(plant_id: str) -> float:
        return float(light_limit_in(traits([plants.plant(plant_id)]), pond.clarity_in)[0, 2])

    ranked = rank.rank(pond, plants, places=False)
    for r in ranked.plants:
        if r.growth_form == "submersed":
            end = deepest(r.plant_id)
            assert r.depth_in <= LIGHT_PAST * end, r.plant_id
            for told in re.findall(r"creep into (\d+) in|needs (?:\d+ to )?(\d+) in of water", r.notes[0]):
                assert float(max(told, key=len)) <= LIGHT_PAST * end + 0.51, (r.plant_id, r.notes[0])
    stock = candidates.select_candidates(pond, plants, ranked)
    places = candidates._places(stock)
    for plant, depth in zip(places.plant, places.depth_in):
        if stock.ranked[plant].growth_form == "submersed":
            assert depth <= LIGHT_PAST * deepest(stock.ranked[plant].plant_id)


def test_star_grass_in_a_turbid_lake_with_a_wide_drop(plants):
    """14 in of Secchi are 0.3556 m: 10^0.31 x 0.3556^0.66 = 1.032 m, or 3.39 ft, and at the greatest 10^0.59 x 0.3556^0.53 = 2.25
    m, or 7.4 ft (Caffrey and others 2007). Five feet of drop lend no light to the years that stay full."""
    pond = PONDS["turbid lake, 5 ft drop"]
    assert describe(pond).growth.greatest_ft == pytest.approx(7.38, abs=0.02)
    for stop in takeover_report(pond, plants, "heteranthera-dubia").stops:
        times = plants.plant("heteranthera-dubia").light_depth_high
        assert stop.depth_in[1] == pytest.approx(3.386 * 12 * times, abs=0.3)
        assert stop.by.startswith("too little light")


def test_where_light_ends_a_plant_reaches_every_command(plants, monkeypatch):
    """The one place for it is the function that says where light ends a plant. Made up: a usual depth of 10 in. Large-leaf
    pondweed ends at 0.48, 0.66 and 0.99 times it (Minnesota's shallow lakes, doi 10.1111/geb.13053)."""
    monkeypatch.setattr("plantpick.pond.deepest_growth.deepest_growth_in", lambda clarity: (10.0, 20.0))
    pond, plant_id = a_pond(state="MN"), "potamogeton-amplifolius"
    one = traits([plants.plant(plant_id)])
    assert light_limit_in(one, 30.0)[0] == pytest.approx([4.8, 6.6, 9.9])
    assert reach_in(one, pond)[0] == pytest.approx([4.8, 6.6, 9.9])
    assert not (sites(one, pond).index[0][:, DEPTHS > 1.25 * 9.9] > 0).any()
    assert describe(pond).growth.greatest_ft * 12 == pytest.approx(20.0)
    for stop in takeover_report(pond, plants, "stuckenia-pectinata").stops:
        assert stop.depth_in == pytest.approx((13.6, 22.6))
    (text,) = (t for n, _, t in explain(pond, plants, "stuckenia-pectinata").factors if n == "light")
    assert "0.05 at 23 (one water in ten has it deeper)" in text


def test_plants_differ_in_the_light_they_need(plants):
    """Deep edge over the usual depth in surveys of Minnesota's shallow lakes (doi 10.1111/geb.13053; 59, 37, 45 and 7 surveys)."""
    for plant_id, low, middle, high in (
        ("ceratophyllum-demersum", 0.62, 1.09, 1.84),
        ("myriophyllum-sibiricum", 0.53, 0.99, 1.74),
        ("chara-spp", 0.45, 0.83, 1.50),
        ("potamogeton-amplifolius", 0.48, 0.66, 0.99),
    ):
        one = plants.plant(plant_id)
        assert (one.light_depth_low, one.light_depth, one.light_depth_high) == (low, middle, high)


def test_the_greatest_depth_is_no_ceiling():
    """The deepest submersed plant of 140 surveys lay at 1.28 and 2.19 times the usual depth (50 and 90 % points, same surveys); at
    24 in of Secchi the greatest depth is 2.03 times it. Log-normal: 14 in a hundred pass it."""
    usual, greatest = deepest_growth_in(24.0)
    spread = np.log(2.19 / 1.28) / NormalDist().inv_cdf(0.9)
    passed = 1.0 - NormalDist().cdf(np.log(greatest / usual / 1.28) / spread)
    assert passed == pytest.approx(PASSED_GREATEST, abs=0.01)
    assert PASSED_WORDS == "one lake in seven" and round(1 / PASSED_GREATEST) == 7
