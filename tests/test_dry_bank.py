"""The dry bank, more than three and up to ten feet above the waterline: what holds and adorns the slope."""

import numpy as np
import pytest
from conftest import a_pond

from plantpick.catalogue.traits import traits
from plantpick.planting.candidates import BANK_BANDS
from plantpick.pond import basin
from plantpick.pond.model import Stretch
from plantpick.ranking.site_factors import BAND_DEPTHS, BAND_NAMES, BAND_OF_DEPTH, DEPTHS, ON_BANK, sites
from plantpick.vocabulary import BANDS

HOLD_AND_ADORN = (  # natives of prairie slopes and bank thickets: common practice, no source
    "Liatris pycnostachya",
    "Monarda fistulosa",
    "Echinacea purpurea",
    "Vernonia baldwinii",
    "Cornus drummondii",
    "Prunella vulgaris",
    "Glycyrrhiza lepidota",
    "Helianthus giganteus",
    "Schizachyrium scoparium",
    "Bouteloua curtipendula",
)
UPPER = tuple(name for name in HOLD_AND_ADORN if name != "Helianthus giganteus")  # that one wants damp ground


def test_the_bands_join_from_the_upper_bank_to_the_deepest_water():
    limits = list(BANDS.values())
    assert limits[0] == (-120.0, -36.0)
    assert all(above[1] == below[0] for above, below in zip(limits, limits[1:]))
    for band, depths in BAND_DEPTHS.items():
        assert all(BANDS[band][0] < depth < BANDS[band][1] for depth in depths)


@pytest.mark.parametrize("name", HOLD_AND_ADORN)
def test_they_have_a_place_on_the_bank_and_none_in_the_water(plants, name):
    plant = plants.plant(plants.find(name))
    assert plant.well_known and plant.growth_form != "upland" and plant.depth_best_max_in < 0
    judged = sites(
        traits([plant]),
        a_pond(stretches=(Stretch("north", 700.0, 3.0), Stretch("dam", 200.0, 3.0, dam=True))),
    )
    best = judged.index[0, 0]
    assert best[ON_BANK].max() >= 0.5 and best[DEPTHS > 2].max() == 0.0
    assert judged.index[0, 1, ON_BANK].max() == 0.0  # a dam carries mown grass


@pytest.mark.parametrize("name", UPPER)
def test_these_stand_high_on_the_slope(plants, name):
    judged = sites(traits([plants.plant(plants.find(name))]), a_pond())
    dry = BAND_OF_DEPTH == BAND_NAMES.index("dry bank")
    assert judged.index[0, 0, dry].max() >= 0.5


def test_plants_of_the_water_do_not_climb_it(plants):
    wet = [
        plants.plant(plants.find(n)) for n in ("Pontederia cordata", "Nymphaea odorata", "Justicia americana")
    ]
    judged = sites(traits(wet), a_pond())
    assert judged.index[:, :, DEPTHS < -36].max() == 0.0


def test_a_full_spillway_reaches_no_further_than_the_bank(plants):
    """Coneflower stands no flooding: less than full on the bank for that, and full on the dry bank below its own limit."""
    plant = plants.plant("echinacea-purpurea")
    assert plant.flooding == "none"
    level = sites(traits([plant]), a_pond()).factors["level"][0, 0]
    assert np.allclose(level[(DEPTHS < -36) & (DEPTHS > -100)], 1.0)
    assert level[(DEPTHS > -36) & (DEPTHS < 0)].max() < 1.0


def test_its_ground_lies_outside_the_water_and_holds_the_bank():
    """Seven feet of rise on a slope of 3 to 1 are 21 ft of bank."""
    pond = a_pond(stretches=(Stretch("north", 1000.0, 3.0),))
    areas = basin.band_areas_ft2(pond)
    shore_ft = sum(s.length_ft for s in pond.shore)
    assert areas["dry bank"] == pytest.approx(21.0 * shore_ft)
    assert sum(v for band, v in areas.items() if BANDS[band][1] > 0) == pytest.approx(pond.area_ft2)
    assert "dry bank" in BANK_BANDS
