"""Site factors, and how they combine."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from plantpick import suitability as s
from plantpick.plants import NEEDED, traits
from plantpick.words import SUN_LEVELS, ZONES, zone_number
from tests.conftest import a_pond


@pytest.mark.parametrize(
    "percent, index", [(5, 0.333), (10, 0.667), (20, 1.0), (36, 0.914), (50, 0.714), (65, 0.5)]
)
def test_bluegill_vegetation(percent, index):
    """Bluegill, lacustrine, V3 (FWS/OBS-82/10.8; break points as digitised in USACE's ecorest 2.0.1, seen second hand)."""
    assert s.interpolate(percent, *s.BLUEGILL_VEGETATION) == pytest.approx(index, abs=0.002)


@pytest.mark.parametrize("percent, index", [(10, 0.40), (20, 0.60), (30, 0.80), (50, 1.0), (80, 0.70)])
def test_bass_bottom_cover(percent, index):
    """Largemouth bass, adult and juvenile, V3 (FWS/OBS-82/10.16; digitised in ecorest 2.0.1): all bottom cover."""
    assert s.interpolate(percent, *s.BASS_BOTTOM_COVER) == pytest.approx(index, abs=0.002)


def test_combination():
    """ESM 103 (USFWS 1981) as ecorest's HSImin and HSIgeomean apply it: (0.1, .25, .25, .25) has the minimum 0.1;
    above the limit of 0.4 the geometric mean holds; a 0 gives 0."""
    assert s.combine(0.1, 0.25, 0.25, 0.25) == pytest.approx(0.1)
    assert s.combine(0.25, 0.25, 0.25, 0.25) == pytest.approx(0.25)
    assert s.combine(1.0, 1.0, 1.0, 0.0) == 0.0
    assert s.combine(0.6, 0.9) == pytest.approx((0.6 * 0.9) ** 0.5)
    assert s.combine(0.4, 1.0) == pytest.approx(0.4)
    assert s.combine(0.41, 1.0) == pytest.approx(0.41**0.5)


def test_what_is_not_known_is_left_out():
    assert s.combine(np.nan, 0.64, 1.0) == pytest.approx(0.8)
    assert s.combine(np.nan, np.nan) == pytest.approx(1.0)


@given(st.lists(st.floats(0, 1), min_size=2, max_size=9), st.integers(0, 8), st.floats(0, 1))
def test_a_better_factor_never_lowers_the_index(factors, which, better):
    which %= len(factors)
    raised = factors.copy()
    raised[which] = max(raised[which], better)
    assert s.combine(*raised) >= s.combine(*factors) - 1e-12


@pytest.fixture(scope="module")
def known(plants):
    table = plants.plants
    native = table[(table["origin"] == "native") & table[list(NEEDED)].notna().all(axis=1)]
    return traits(native[native["drawdown"].ne("") & native["flooding"].ne("")])


@settings(max_examples=25, deadline=None)
@given(
    st.sampled_from(ZONES),
    st.floats(0, 5),
    st.floats(6, 80),
    st.floats(5, 9.5),
    st.floats(0, 4),
    st.floats(7, 25),
    st.sampled_from(SUN_LEVELS),
)
def test_many_ponds_at_once_agree_with_one(known, zone, drop, clarity, ph, salt, depth, sun):
    """The vectorised call over ponds is the same computation as the one that ranks a single pond."""
    from dataclasses import replace

    base = a_pond()
    stretch = replace(base.stretches[0], sun=sun)
    pond = replace(
        base,
        hardiness_zone=zone,
        usual_drop_ft=drop,
        clarity_in=clarity,
        ph=ph,
        salinity_ppt=salt,
        max_depth_ft=depth,
        stretches=(stretch,),
    )
    many = s.best_sites(
        known,
        zone=[zone_number(zone)],
        drop_in=[drop * 12],
        clarity_in=[clarity],
        ph=[ph],
        salinity_ppt=[salt],
        max_depth_in=[depth * 12],
        sun=[sun],
    )
    np.testing.assert_allclose(many[0], s.sites(known, pond).best, atol=1e-9)


def test_indices_stay_between_0_and_1(known, south, north, hard):
    for pond in (south, north, hard):
        judged = s.sites(known, pond)
        assert judged.index.min() >= 0.0 and judged.index.max() <= 1.0
        assert (judged.best > 0.5).sum() > 20  # a pond where nothing could live would prove nothing


def test_woody_plants_stay_off_dams(known, south):
    """Virginia Code 10.1-609.2: no woody vegetation on embankments nor within 25 ft of the toe (read)."""
    judged = s.sites(known, south)
    dam = [i for i, stretch in enumerate(south.stretches) if stretch.dam]
    assert dam and known.woody.any()
    assert judged.index[known.woody][:, dam].max() == 0.0
    assert judged.index[~known.woody][:, dam].max() > 0.5


def test_grass_carp_rule_out_what_they_like(known):
    """Texas Parks and Wildlife: grass carp prefer bushy pondweed, American pondweed and hydrilla (read); they leave
    cattail and water primrose."""
    from plantpick.suitability import sites

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
        s.sites(known, a_pond(clarity_in=c, usual_drop_ft=0.0)).index[row].max(axis=0) for c in (60.0, 8.0)
    )
    deepest = [max(d for d, v in zip(s.DEPTHS, index) if v > s.LIMITING) for index in (clear, muddy)]
    assert deepest[1] < deepest[0]
    falling = s.sites(known, a_pond(clarity_in=8.0, usual_drop_ft=4.0)).best[row]
    assert falling <= s.LIMITING < muddy.max()
