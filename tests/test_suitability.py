"""Site factors, and how they combine."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from plantpick.catalogue.schema import NEEDED
from plantpick.catalogue.traits import traits
from plantpick.ranking import site_factors
from tests.conftest import a_pond


def test_combination():
    """ESM 103 (USFWS 1981) as ecorest's HSImin and HSIgeomean apply it: (0.1, .25, .25, .25) has the minimum 0.1;
    above the limit of 0.4 the geometric mean holds; a 0 gives 0."""
    assert site_factors.combine(0.1, 0.25, 0.25, 0.25) == pytest.approx(0.1)
    assert site_factors.combine(0.25, 0.25, 0.25, 0.25) == pytest.approx(0.25)
    assert site_factors.combine(1.0, 1.0, 1.0, 0.0) == 0.0
    assert site_factors.combine(0.6, 0.9) == pytest.approx((0.6 * 0.9) ** 0.5)
    assert site_factors.combine(0.4, 1.0) == pytest.approx(0.4)
    assert site_factors.combine(0.41, 1.0) == pytest.approx(0.41**0.5)


def test_what_is_not_known_is_left_out():
    assert site_factors.combine(np.nan, 0.64, 1.0) == pytest.approx(0.8)
    assert site_factors.combine(np.nan, np.nan) == pytest.approx(1.0)


@given(st.lists(st.floats(0, 1), min_size=2, max_size=9), st.integers(0, 8), st.floats(0, 1))
def test_a_better_factor_never_lowers_the_index(factors, which, better):
    which %= len(factors)
    raised = factors.copy()
    raised[which] = max(raised[which], better)
    assert site_factors.combine(*raised) >= site_factors.combine(*factors) - 1e-12


@pytest.fixture(scope="module")
def known(plants):
    table = plants.plants
    native = table[(table["origin"] == "native") & table[list(NEEDED)].notna().all(axis=1)]
    return traits(map(plants.plant, native.index[native["drawdown"].ne("") & native["flooding"].ne("")]))


def test_indices_stay_between_0_and_1(known, south, north, hard):
    for pond in (south, north, hard):
        judged = site_factors.sites(known, pond)
        assert judged.index.min() >= 0.0 and judged.index.max() <= 1.0
        assert (judged.best > 0.5).sum() > 20  # a pond where nothing could live would prove nothing


def test_woody_plants_stay_off_dams(known, south):
    """Virginia Code 10.1-609.2: no woody vegetation on embankments nor within 25 ft of the toe (read)."""
    judged = site_factors.sites(known, south)
    dam = [i for i, stretch in enumerate(south.stretches) if stretch.dam]
    assert dam and known.woody.any()
    assert judged.index[known.woody][:, dam].max() == 0.0
    assert judged.index[~known.woody][:, dam].max() > 0.5


def test_nothing_stands_on_a_dam_above_the_edge_of_its_water(known, south):
    """FEMA 534 (2005), Technical Manual: Impacts of Plants on Earthen Dams: grass only on an embankment (second hand)."""
    from plantpick.ranking.ruled_out import why_not

    judged = site_factors.sites(known, south)
    dams = np.array([stretch.dam for stretch in south.stretches])
    assert judged.index[:, dams][:, :, site_factors.ON_BANK].max() == 0.0
    assert judged.index[:, ~dams][:, :, site_factors.ON_BANK].max() > 0.5
    only_dam = a_pond(stretches=(replace(a_pond().stretches[0], dam=True),))
    ashore = a_plant(
        known.subset(~known.woody),
        depth_min_in=-36,
        depth_best_min_in=-30,
        depth_best_max_in=-12,
        depth_max_in=-7,
    )
    assert site_factors.sites(ashore, a_pond()).best[0] > 0.5
    judged = site_factors.sites(ashore, only_dam)
    code, reason = why_not(ashore, judged, only_dam, 0)
    assert judged.best[0] == 0.0 and code == "dam" and "low grass" in reason


def test_grass_carp_rule_out_what_they_like(known):
    """Texas Parks and Wildlife: grass carp prefer bushy pondweed, American pondweed and hydrilla (read); they leave
    cattail and water primrose."""
    from plantpick.ranking.site_factors import sites

    with_carp = sites(known, a_pond(residents=frozenset({"grass carp"})))
    without = sites(known, a_pond())
    at = {p: i for i, p in enumerate(known.plant_id)}
    for plant in ("najas-guadalupensis", "potamogeton-nodosus"):
        assert without.best[at[plant]] > 0.5 and with_carp.best[at[plant]] <= 0.5
    assert with_carp.best[at["najas-guadalupensis"]] == 0.0
    assert with_carp.best[at["typha-latifolia"]] == without.best[at["typha-latifolia"]]


def test_muddy_water_and_a_falling_level_limit_submersed_plants(known):
    """Wild celery lives to about the usual depth for the Secchi reading (Caffrey 2007) and not where it falls dry."""
    row = list(known.plant_id).index("vallisneria-americana")
    clear, muddy = (
        site_factors.sites(known, a_pond(clarity_in=c, usual_drop_ft=0.0)).index[row].max(axis=0)
        for c in (60.0, 8.0)
    )
    deepest = [
        max(d for d, v in zip(site_factors.DEPTHS, index) if v > site_factors.LIMITING)
        for index in (clear, muddy)
    ]
    assert deepest[1] < deepest[0]
    falling = site_factors.sites(known, a_pond(clarity_in=8.0, usual_drop_ft=4.0)).best[row]
    assert falling <= site_factors.LIMITING < muddy.max()


def a_plant(known, **traits_of_it):
    """The first plant of the catalogue with the traits that a case needs (made up)."""
    one = known.subset(np.array([0]))
    words_of_it = {k: np.array([v], dtype=object) for k, v in traits_of_it.items() if isinstance(v, str)}
    numbers = {k: np.array([float(v)]) for k, v in traits_of_it.items() if not isinstance(v, str)}
    return replace(one.replaced(**numbers), word={**one.word, **words_of_it})


def test_depth_index_by_hand(known):
    """Worked by hand from DESIGN.md (0 at the ends, 1 between the best depths, linear between): 0, 6 to 12, 24 in."""
    one = a_plant(known, depth_min_in=0, depth_best_min_in=6, depth_best_max_in=12, depth_max_in=24)
    depths = [-5, 0, 3, 6, 9, 12, 15, 18, 24, 30]
    assert site_factors.depth_index(one, depths)[0].tolist() == pytest.approx(
        [0, 0, 0.5, 1, 1, 1, 0.75, 0.5, 0, 0]
    )


def test_level_index_by_hand(known):
    """Made-up plant of 6 in and deeper on a pond that falls 12 in; break points are DRAWDOWN_INDEX (judgement)."""
    depths = [18, 12, 6, 0]  # at low pool 6, 0, -6, -12: short by 0, 6, 12, 18 in
    for word, index in (
        ("none", [1, 0.3, 0, 0]),
        ("weeks", [1, 0.7, 0.4, 0.275]),
        ("season", [1, 0.9625, 0.925, 0.8875]),
    ):
        one = a_plant(known, depth_min_in=6, drawdown=word, flooding="weeks")
        assert site_factors.level_index(one, depths, 12.0)[0].tolist() == pytest.approx(index), word
    dry_foot = a_plant(known, depth_min_in=-30, drawdown="season", flooding="none")
    assert site_factors.level_index(dry_foot, [-6, 6], 0.0)[0].tolist() == pytest.approx([0.6, 1.0])


@pytest.mark.parametrize(
    "form, drawdown, at_22_in",
    [
        ("submersed", "none", 0.0),
        ("submersed", "weeks", 0.0),
        ("floating-leaved", "weeks", 0.0),
        ("submersed", "season", 1 - 0.15 * 5 / 24),
        ("emergent", "weeks", 1 - 0.6 * 5 / 12),
    ],
)
def test_what_lives_in_water_is_not_set_where_low_pool_leaves_it_dry(known, form, drawdown, at_22_in):
    """Made-up plants of 3 in and deeper on a pond that falls 24 in. At 22 in they stand 2 in over the water, 5 in short of what they
    need. Muskgrass, naiads and thin-leaved pondweeds ("season") come back from spores and seed after a drawdown, milfoil, coontail
    and broad pondweeds do not (City of Whitewater, lake drawdown FAQ). At 26 in they stand in 2 in, 1 in short."""
    one = a_plant(known, growth_form=form, drawdown=drawdown, flooding="weeks", depth_min_in=3)
    level = site_factors.sites(one, a_pond(usual_drop_ft=2.0)).factors["level"][0, 0]
    at = {float(d): float(v) for d, v in zip(site_factors.DEPTHS, level)}
    assert at[22.0] == pytest.approx(at_22_in)
    assert at[26.0] == pytest.approx({"none": 0.85, "weeks": 0.95, "season": 1 - 0.15 / 24}[drawdown])
    words = next(f.explanation for f in site_factors.FACTORS if f.name == "level")
    said = words(
        site_factors.OnePlant(one, 0), a_pond(usual_drop_ft=2.0), a_pond(usual_drop_ft=2.0).stretches[0], 22.0
    )
    assert ("stands dry when the pond is 24 in down" in said) == (at_22_in == 0.0)


def test_cold_heat_and_salt_by_hand(known):
    """Half way between the break points each index is one half; a salt-marsh plant has 0.3 in fresh water."""
    one = a_plant(known, zone_min=5, zone_max=8, salinity_min_ppt=np.nan, salinity_max_ppt=1)
    assert [site_factors.winter_index(one, z)[0] for z in (4, 4.5, 5, 9)] == [0, 0.5, 1, 1]
    assert [site_factors.heat_index(one, z)[0] for z in (5, 8.5, 9.25, 10)] == pytest.approx([1, 1, 0.5, 0])
    assert [site_factors.salinity_index(one, v)[0] for v in (1, 1.75, 2.5)] == pytest.approx([1, 0.5, 0])
    marsh = a_plant(known, salinity_min_ppt=10, salinity_max_ppt=30)
    assert [site_factors.salinity_index(marsh, v)[0] for v in (0, 5, 10)] == pytest.approx([0, 1 / 3, 1])


def test_ph_index_by_hand(known):
    """A made-up plant of pH 5 to 7. The break points are PH_INDEX and SOIL_PH_INDEX (judgement); on the bank the pond's water
    says nothing of the soil."""
    waters = (2.5, 3.5, 4, 5, 6, 7, 7.5, 8, 8.5, 9, 9.5)
    in_water = [0, 0.25, 0.5, 1, 1, 1, 0.75, 0.5, 0.25, 0.125, 0]
    of_soil = [0.5, 0.625, 0.75, 1, 1, 1, 0.875, 0.75, 0.625, 0.5, 0.5]
    for word, expected in (("water", in_water), ("soil", of_soil)):
        one = a_plant(known, ph_min=5, ph_max=7, ph_basis=word)
        assert [site_factors.ph_index(one, [3.0], v)[0, 0] for v in waters] == pytest.approx(expected), word
        on_bank = site_factors.ph_index(one, [-12.0, 0.0, 3.0], 9.0)[0]
        assert np.isnan(on_bank).tolist() == [True, True, False], word
    assert np.isnan(site_factors.ph_index(one, [3.0], None)).all()
    unknown = a_plant(known, ph_min=np.nan, ph_max=np.nan, ph_basis="")
    assert np.isnan(site_factors.ph_index(unknown, [3.0], 7.0)).all()


@pytest.mark.parametrize("ph", [4.0, 8.3, 9.5])
def test_ph_rules_out_nothing_within_a_unit_and_a_half_and_nothing_on_the_bank(known, ph):
    """Judgement, over the whole catalogue; a pond of pH 9.5 is at the top of what ponds reach by day (common practice, no
    source)."""
    judged = site_factors.sites(known, a_pond(ph=ph)).factors["pH"][:, 0]
    low, high = known.number["ph_min"], known.number["ph_max"]
    outside = np.maximum(0.0, np.maximum(low - ph, ph - high))
    wet = site_factors.DEPTHS > 0
    assert np.isnan(judged[:, ~wet]).all()
    for mask in (outside <= 1.5, known.word["ph_basis"] == "soil"):
        assert mask.sum() > 100 and (judged[mask][:, wet] >= 0.25 - 1e-12).all()
    far = (outside >= 2.5) & (known.word["ph_basis"] == "water")
    assert (judged[far][:, wet] == 0.0).all()


HARD_WATER = {  # natives that live in hard water, and a state where each is native
    "caltha-palustris": "OH",  # 18 river sites to pH 8.23 (Kaijser et al. 2022)
    "thelypteris-palustris": "OH",  # cedar swamp on calcareous bedrock (VegBank, association CEGL006199)
    "thuja-occidentalis": "OH",  # the same
    "alisma-subcordatum": "OH",  # this and those below: common practice, no source
    "iris-virginica": "OH",
    "iris-versicolor": "MI",
    "hibiscus-laevis": "OH",
    "eleocharis-quadrangulata": "OH",
}


@pytest.mark.parametrize("plant_id, state", HARD_WATER.items())
def test_plants_of_hard_water_stay_in_at_a_ph_of_8_3(plants, plant_id, state):
    """pH 8.3 is that of a limy pond in balance with the air (general chemistry, from memory)."""
    from plantpick.ranking import rank

    pond = a_pond(
        state=state,
        hardiness_zone="6a",
        ph=8.3,
        purposes=("bank hold", "show", "pollinator", "waterfowl"),
        tolerance="free",
    )
    answer = rank.rank(pond, plants, places=False, only=[plant_id])
    assert not [r.reason for r in answer.ruled_out if r.code == "site"]
    neutral = rank.rank(replace(pond, ph=6.5), plants, places=False, only=[plant_id])
    assert [r.plant_id for r in answer.plants] == [r.plant_id for r in neutral.plants] == [plant_id]
    assert answer.plants[0].site >= 0.8 * neutral.plants[0].site


def test_light_index_by_hand(known):
    """Coontail in the surveys of Minnesota's shallow lakes (doi 10.1111/geb.13053): its edge at 0.62, 1.09 and 1.84 times the
    usual depth, which is 67.2 in for 30 in of Secchi (Caffrey 2007). The index is 1 to the first, 0.4 and 0.05 at the others,
    0 a quarter deeper."""
    from plantpick.pond.light import deepest_growth_in

    usual, _ = deepest_growth_in(30.0)
    assert usual == pytest.approx(67.18, abs=0.01)
    one = a_plant(
        known, growth_form="submersed", light_depth_low=0.62, light_depth=1.09, light_depth_high=1.84
    )
    depths = usual * np.array([0.1, 0.62, 1.09, (1.09 + 1.84) / 2, 1.84, 1.84 * 1.125, 1.84 * 1.25, 3.0])
    assert site_factors.light_index(one, depths, 30.0)[0].tolist() == pytest.approx(
        [1, 1, 0.4, 0.225, 0.05, 0.025, 0, 0]
    )
    assert np.isnan(site_factors.light_index(a_plant(known, growth_form="emergent"), [12.0], 30.0)).all()


def test_what_stands_on_a_dam_is_low_and_soft_stemmed(known, plants, south):
    """FEMA 534 (second hand): tall growth hides seeps and burrows. Three feet over the water is judgement."""
    judged = site_factors.sites(known, south)
    dams = np.array([stretch.dam for stretch in south.stretches])
    for i, plant_id in enumerate(known.plant_id):
        record = plants.plant(plant_id)
        depths = site_factors.DEPTHS[(judged.index[i][dams] > 0).any(axis=0)]
        for depth in depths:
            assert not record.woody and depth > -6, plant_id
            if record.growth_form not in ("submersed", "floating-leaved", "free-floating"):
                assert record.height_max_in - max(depth, 0.0) <= 36.0, (plant_id, depth)
    low, tall = (list(known.plant_id).index(p) for p in ("justicia-americana", "decodon-verticillatus"))
    assert judged.index[low][dams].max() > 0.5 and judged.index[tall][dams].max() == 0.0
    assert judged.index[tall][~dams].max() > 0.5
    nobody_measured = a_plant(known, growth_form="emergent", height_max_in=np.nan)
    assert not site_factors.stands_low(nobody_measured).any()


@pytest.mark.parametrize("tolerance", ["little", "free"])
def test_a_pond_that_is_all_dam_gets_nothing_woody_or_tall(plants, tolerance):
    """Vines that make wood are kept off like shrubs and trees; shrub-like herbs off the waterline. Common practice."""
    from plantpick.monitoring import volunteers
    from plantpick.ranking import rank

    pond = a_pond(
        stretches=tuple(replace(x, dam=True) for x in a_pond().stretches),
        purposes=("bank hold", "show", "pollinator", "fish cover"),
        tolerance=tolerance,
    )
    answer = rank.rank(pond, plants, places=False)
    assert len(answer.plants) > 10
    for r in answer.plants:
        record = plants.plant(r.plant_id)
        assert not record.woody, r.plant_id
        if r.growth_form not in ("submersed", "floating-leaved", "free-floating"):
            assert record.height_max_in - max(r.depth_in, 0.0) <= 36.0, r.plant_id
    out = {r.plant_id: r for r in answer.ruled_out}
    for vine in ("campsis-radicans", "bignonia-capreolata", "wisteria-frutescens"):
        assert out[vine].code == "dam" and "woody" in out[vine].reason, vine
        assert volunteers.judge(pond, plants, vine, "north").verdict == "take out now"
    for tall in ("hibiscus-moscheutos", "decodon-verticillatus"):
        assert out[tall].code == "dam" and "3 ft" in out[tall].reason, tall
        assert volunteers.judge(pond, plants, tall, "north").verdict != "keep"
    assert any("3 ft or less" in c for c in answer.cautions)


@pytest.mark.parametrize(
    "salt, told", [(0.1, "yours has 0.1"), (0.0, "yours has 0"), (None, "assume fresh water")]
)
def test_brackish_plants_are_out_in_fresh_water(plants, salt, told):
    """Fresh water has under 0.5 parts per thousand (Venice system, 1958, from memory)."""
    from plantpick.ranking import rank

    pond = a_pond(state="NC", salinity_ppt=salt, purposes=("fish cover", "bank hold", "waterfowl"))
    answer = rank.rank(pond, plants, places=False)
    for r in answer.plants:
        assert not plants.plant(r.plant_id).salinity_min_ppt >= 0.5, r.plant_id
    out = {r.plant_id: r for r in answer.ruled_out}
    reason = out["bolboschoenus-robustus"].reason
    assert (
        out["bolboschoenus-robustus"].code == "site" and "2 parts per thousand" in reason and told in reason
    )
    assert any("need some salt" in a for a in answer.assumptions) == (salt is None)
    brackish = rank.rank(
        replace(pond, salinity_ppt=6.0), plants, places=False, only=["bolboschoenus-robustus"]
    )
    assert not any(r.code == "site" for r in brackish.ruled_out)


def test_a_factor_reads_the_columns_it_names_and_no_others(known):
    """Its index comes out the same from its own columns alone."""
    from plantpick.catalogue.traits import Traits

    pond = a_pond(residents=frozenset({"grass carp", "deer"}))
    for factor in site_factors.FACTORS:
        number, word, has = (
            {column: cells for column, cells in table.items() if column in factor.columns}
            for table in (known.number, known.word, known.has)
        )
        assert {*number, *word, *has} == set(factor.columns), factor.name
        bare = Traits(known.plant_id, number, word, has)
        np.testing.assert_array_equal(factor.index(bare, pond), factor.index(known, pond), factor.name)


def test_a_factor_added_to_the_registry_is_judged_explained_and_rules_out(plants, monkeypatch):
    """A made-up factor: plants set further apart than 18 in dislike a pond of ten feet. The registry is all that changes."""
    from plantpick.ranking import rank
    from plantpick.ranking.explain import explain

    pond = a_pond()
    crowding = site_factors.Factor(
        name="elbow room",
        columns=("spacing_in",),
        index=lambda plants, pond: np.clip(24.0 - plants.number["spacing_in"], 0.0, 6.0)[:, None, None] / 6.0,
        explanation=lambda plant, pond, stretch, depth_in: (
            f"1 to 18 in, 0 at 24; this is {plant.number('spacing_in'):g} on the {stretch.name}"
        ),
        ruling_out=lambda plant, pond: (
            f"elbow room rules it out: it stands {plant.number('spacing_in'):g} in apart"
        ),
    )
    before = rank.rank(pond, plants, places=False)
    wide = [r.plant_id for r in before.plants if plants.plant(r.plant_id).spacing_in >= 24.0]
    some = next(r for r in before.plants if plants.plant(r.plant_id).spacing_in < 24.0)
    monkeypatch.setattr(site_factors, "FACTORS", (*site_factors.FACTORS, crowding))
    after = rank.rank(pond, plants, places=False)
    out = {r.plant_id: r for r in after.ruled_out}
    assert len(wide) > 5
    for plant_id in wide:
        spacing = plants.plant(plant_id).spacing_in
        assert out[plant_id].code == "site"
        assert out[plant_id].reason == f"elbow room rules it out: it stands {spacing:g} in apart"
    told = explain(pond, plants, some.plant_id)
    name, index, words = told.factors[-1]
    assert name == "elbow room" and words.startswith("1 to 18 in, 0 at 24; this is ")
    assert 0.0 <= index <= 1.0
    assert told.combined == pytest.approx(
        float(site_factors.combine(*(value for _, value, _ in told.factors)))
    )
