"""What holds a plant, and the notes in the pond's own numbers."""

from dataclasses import replace

import numpy as np
import pytest

from plantpick import vocabulary as words
from plantpick.catalogue.traits import traits
from plantpick.ranking import containment, rank, takeover
from tests.conftest import a_pond


def one(plants, plant_id):
    return traits([plants.plant(plant_id)])


def groups(plants, plant_id, pond, words, hold):
    good = np.ones((1, len(pond.shore)), dtype=bool)
    return containment.groups_with(one(plants, plant_id), pond, good, words, hold).groups


def test_a_tub_lets_in_more_lilies(plants, south):
    loose = groups(plants, "nymphaea-odorata", south, (), np.inf)
    tubs = groups(plants, "nymphaea-odorata", south, ("tub", "trim"), 0.0)
    assert loose == 0 and tubs >= 1


def test_a_tub_does_not_stop_seed(plants, south):
    """Common practice, no source: a pot holds the rhizome, not the seed."""
    assert groups(plants, "typha-latifolia", south, ("tub",), 0.0) == 0


def test_trimming_counts_only_as_far_as_an_owner_keeps_up(plants, south):
    for plant_id in ("justicia-americana", "vallisneria-americana"):
        number = groups(plants, plant_id, south, ("trim",), containment.TRIM_YEARS)
        each = containment.trimmed_ft2(one(plants, plant_id), south)[2, 0]
        assert number * each <= containment.TRIM_MOST_FT2


def test_a_measure_never_lets_in_fewer_than_none(plants, south):
    """Holding a stand can only lower its forecast: at every level, for every plant that the measure is said to hold."""
    table = plants.plants[
        plants.plants["contained_by"].str.contains("tub")
        & plants.plants["depth_min_in"].notna()
        & plants.plants["spread_ft_yr"].notna()
        & plants.plants["spacing_in"].notna()
    ]
    held = traits(map(plants.plant, table.index))
    each = np.ones((len(held), len(south.shore)))
    free = takeover.forecast(held, south).takeover(each)
    tubs = takeover.forecast(held, south, hold=takeover.Hold(0.0)).takeover(each)
    assert len(held) > 20 and (tubs <= free + 1e-12).all() and (tubs < free).any()


def test_steepening_is_offered_only_where_a_bank_is_flatter(plants):
    steep = a_pond(stretches=tuple(replace(s, slope=2.0) for s in a_pond().stretches))
    rows = rank.rank(steep, plants, places=False).plants
    assert all(containment.STEEPENED not in r.contained_by for r in rows)


def test_a_steeper_bank_holds_only_what_stands_in_water(plants, south):
    """Judgement: no depth of water stops a vine, a willow or a plant of the bank."""
    flat = replace(south, stretches=tuple(replace(s, slope=8.0) for s in south.stretches))
    rows = rank.rank(flat, plants, places=False).plants
    steepened = {r.plant_id: r for r in rows if r.contained_by == (containment.STEEPENED,)}
    assert len(steepened) > 2
    for plant_id, row in steepened.items():
        assert row.growth_form not in (*words.WOODY, "vine", "bank forb"), plant_id
        assert plants.plant(plant_id).depth_best_max_in > 0, plant_id
    one_by_one = dict(zip(("salix-discolor", "sicyos-angulatus", "nuphar-advena"), (False, False, True)))
    for plant_id, helps in one_by_one.items():
        assert containment.stopped_by_water(one(plants, plant_id)).tolist() == [helps], plant_id


def test_stop_note_uses_the_ponds_own_numbers(plants):
    """A plant that reaches 30 in stops 10 ft out on a 4:1 bank: 30 / 12 x 4."""
    pond = a_pond(usual_drop_ft=0.0, stretches=(replace(a_pond().stretches[0], slope=4.0),))
    lily = one(plants, "pontederia-cordata").replaced(
        advance_depth_in=np.array([30.0]), advance_depth_high_in=np.array([30.0])
    )
    stop = containment.edge_stop(lily, 0, pond, takeover.strips(lily, pond), 0)
    assert stop.words == "needs 30 in of water to stop it: on the north that is 10 ft out"
    assert stop.in_short == "stops 10 ft out, 30 in deep"


def test_how_far_out_it_stops_is_for_every_stretch_that_the_row_names(plants):
    """Reaching 30 in: 7.5 ft out on a 3:1 bank, 15 ft on 6:1 (30 / 12 x slope); good on both."""
    pond = a_pond(usual_drop_ft=0.0)
    reed = one(plants, "pontederia-cordata").replaced(
        advance_depth_in=np.array([30.0]), advance_depth_high_in=np.array([30.0])
    )
    strips = takeover.strips(reed, pond)
    stop = containment.edge_stop(reed, 0, pond, strips, 0, set_in=12.0, good=(0, 1))
    assert stop.widest_ft == pytest.approx((7.5, 15.0)) and stop.in_short == "stops 8-15 ft out, 30 in deep"
    on_bank = containment.edge_stop(reed, 0, pond, strips, 0, set_in=-54.0, good=(0, 1))
    assert on_bank.in_short == "can creep 8-15 ft out into the water", (
        "what is set dry is not stopped in water"
    )
    low = replace(pond, usual_drop_ft=3.0)
    herb = reed.replaced(advance_depth_in=np.array([-20.0]), advance_depth_high_in=np.array([-10.0]))
    bared = containment.edge_stop(herb, 0, low, takeover.strips(herb, low), 0, set_in=-54.0)
    assert bared.in_short.endswith("while the pond is down") and "summer drop bares" in bared.words


def test_a_plant_that_seeds_does_not_stay_where_you_set_it(plants, south):
    tree = one(plants, "taxodium-distichum")
    for jump, says in (("none", "stays where you set it"), ("low", "hardly creeps, but sows itself")):
        made = replace(tree, word=tree.word | {"jump": np.array([jump])})
        stop = containment.edge_stop(made, 0, south, takeover.strips(made, south), 0)
        assert stop.in_short == says


def test_notes_name_grazers_law_and_doubt(plants, south):
    rows = {r.plant_id: r for r in rank.rank(south, plants, places=False).plants}
    eaten = [r for r in rows.values() if any("cage or fence" in n for n in r.notes)]
    assert eaten
    for row in rows.values():
        unsure = plants.status_in(row.plant_id, south.state) == "unsure"
        assert unsure == any("nobody is sure that it is native" in n for n in row.notes)


@pytest.mark.parametrize("measures", [m for m, _ in containment.OPTIONS])
def test_every_measure_has_words(measures):
    assert containment.in_words(measures)


@pytest.mark.parametrize("plant_id", ["equisetum-hyemale", "schoenoplectus-tabernaemontani"])
def test_what_is_never_to_stand_loose_comes_with_its_measure(plants, south, plant_id):
    """Clemson HGIC: horsetail in a pot without a hole (read); softstem bulrush: University of Tennessee, spreads aggressively
    (read)."""
    answer = rank.rank(south, plants, places=False, only=[plant_id])
    assert all(r.groups_max == 0 and r.contained_by for r in answer.plants)
    assert answer.plants or answer.ruled_out[0].code in ("takeover", "use", "site", "state")
    pond = a_pond(purposes=("bank hold", "fish cover", "show"), tolerance="free")
    (line,) = rank.rank(pond, plants, only=[plant_id]).plants
    assert line.groups_max == 0 and line.contained_groups >= 1 and line.contained_by
    assert any(note.lower().startswith("only with ") for note in line.notes)
