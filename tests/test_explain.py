"""The arithmetic that `--explain` shows: done again from the printed numbers, with nothing of the program's own."""

import json
import math
import re
from dataclasses import replace

import numpy as np
import pytest

from plantpick.cli.app import run
from plantpick.errors import ExitStatus, PlantpickError
from plantpick.ranking.explain import explain
from plantpick.ranking.rank import rank
from plantpick.show.explanation import explanation_text


def numbers(text):
    return [float(n.replace(",", "")) for n in re.findall(r"-?\d[\d,]*\.?\d*", text)]


def chord_area(radius, width, across, length, row=0.0, slices=200):
    """A stadium's area within a strip, by slices."""
    u = (np.arange(slices) + 0.5) / slices * width - across
    half = np.sqrt(np.maximum(radius**2 - u**2, 0.0))
    return float(
        np.where(np.abs(u) < radius, np.minimum(2.0 * half + row, length), 0.0).sum() * width / slices
    )


def share_percent(strips, row, first, last, colonies, surface):
    """One group at random on each strip, and the colonies that start anywhere: per cent of the surface at ten years."""
    rate, whole, held = (last - first) / 9.0, sum(w * n for w, n in strips), 0.0
    for width, length in strips:
        area, bare = width * length, 0.0
        points = (np.arange(40) + 0.5) / 40 * width
        jumped = 0.0  # what one colony born in a year has taken, wherever across the strip it began
        for year in range(1, 11):
            born = len(strips) * (colonies**year - colonies ** (year - 1)) * area / whole
            disc = np.mean([chord_area(rate * (10 - year), width, y, length) for y in points])
            jumped += born * np.log1p(-min(disc / area, 1.0 - 1e-12))
        for y in points:
            own = 1.0 - min(1.0, chord_area(last, width, y, length, row) / area)
            bare += own * np.exp(jumped) / len(points)
        held += (1.0 - bare) * area
    return 100.0 * held / surface


@pytest.mark.parametrize(
    "plant_id", ["pontederia-cordata", "eleocharis-equisetoides", "sparganium-americanum"]
)
def test_the_takeover_shown_can_be_done_again_from_what_is_printed(plants, south, plant_id):
    """Plain loops over the printed radii, strips and colonies (the formula is DESIGN.md's; the numbers are the demo's)."""
    told = explain(replace(south, tolerance="free"), plants, plant_id)
    group, jumps, *shores, surface, plain = told.takeover_how
    row, first = numbers(re.search(r"a row ([\d.]+) ft long with its edge ([\d.]+) ft", group)[0])
    last = numbers(re.search(r"it is (.*) ft from", group)[1].replace(" - ", " "))
    colonies = numbers(jumps.replace(" - ", " ")) if "becomes" in jumps else [1.0, 1.0, 1.0]
    assert len(shores) == len(south.shore) == told.groups_planned
    printed_shares = numbers(re.search(r"it holds (.*) % in year", plain)[1].replace(" - ", " "))
    for level, printed in enumerate(printed_shares):
        strips = []
        for line in shores:
            length, strip = re.search(r", ([\d,]+) ft long: (.*)", line).groups()
            wet = numbers(strip.split(" ft wide")[0].replace(" - ", " "))
            bank = re.search(r"and ([\d.]+) ft of bank", strip)
            strips.append((wet[level] + (float(bank[1]) if bank else 0.0), numbers(length)[0]))
        mine = share_percent(strips, row, first, last[level], colonies[level], numbers(surface)[0])
        assert mine == pytest.approx(printed, rel=0.05, abs=0.01), (plant_id, level)
    low, typical, high = dict(told.takeover)[10]
    assert printed_shares[0] <= typical <= printed_shares[2] and low <= typical <= high


@pytest.mark.parametrize("demo", ["south", "north", "hard"])
def test_site_use_and_score_can_be_done_again(plants, demo, request):
    """Geometric mean or the smallest, mean use, and the cube root, over thirty plants of each demo pond."""
    pond = request.getfixturevalue(demo)
    from plantpick.ranking import rank

    rows = {r.plant_id: r for r in rank.rank(pond, plants, places=False).plants}
    for plant_id in list(rows)[:: max(1, len(rows) // 30)]:
        told, row = explain(pond, plants, plant_id), rows[plant_id]
        known = [index for _, index, _ in told.factors if not math.isnan(index)]
        site = min(known) if min(known) <= 0.4 else math.prod(known) ** (1.0 / len(known))
        use = sum(value / 3.0 for _, value in told.use) / len(told.use)
        weight = re.search(r"limit; ([\d.]+) since", told.stays_how)
        stays = float(weight[1]) if weight else 1.0  # DESIGN.md: 0.7, twice for two measures
        assert stays in (1.0, 0.7, 0.49), plant_id
        assert told.combined == pytest.approx(site) and row.use == pytest.approx(use), plant_id
        assert row.stays_put == pytest.approx(stays), plant_id
        assert row.score == pytest.approx(100.0 * (site * stays * use) ** (1.0 / 3.0), rel=1e-6), plant_id


@pytest.mark.parametrize("demo", ["south", "north", "hard"])
@pytest.mark.parametrize("every", [pytest.param(3, marks=pytest.mark.slow), 12])
def test_no_plant_has_a_hole_in_its_working(plants, demo, every, request):
    """Every third plant of the catalogue (every twelfth, others for each pond, among the quick tests), ruled out or not: no
    NaN, no None in the words; JSON without NaN."""
    pond = request.getfixturevalue(demo)
    first = 0 if every == 3 else ("south", "north", "hard").index(demo)
    for plant_id in plants.plant_ids[first::every]:
        told = explain(pond, plants, plant_id)
        said = " ".join([*(points for *_, points in told.factors), *told.takeover_how, told.stays_how])
        assert not re.search(r"\bnan\b|None", said), (plant_id, said)
        assert json.loads(explanation_text(told, "json"))["plant_id"] == plant_id


def test_where_your_work_sets_the_number_of_groups_the_explanation_says_so(south, plants):
    """The demo pond under a limit that nothing passes. A group is 7 plants and we assume 14 tubs a year at the most (judgement): two groups in tubs. The edge of a
    lily, 1 to 6 ft a year all round a row of 24 ft, is over 300 sq ft already for one group."""
    pond = replace(south, tolerance=90.0)
    told = explain(pond, plants, "pontederia-cordata")
    by = {held.measures: held for held in told.measures}
    assert by[("tub",)].groups == 2 and by[("tub",)].work == "more is over 14 tubs to lift and divide"
    lily = {held.measures: held for held in explain(pond, plants, "nymphaea-odorata").measures}[("trim",)]
    assert lily.groups == 0 and lily.work == "more is over 300 sq ft of edge to cut back a year"
    assert not any(held.work for held in told.measures if not {"tub", "trim"} & set(held.measures))


def test_fish_cover_below_its_full_worth_is_explained(south, plants):
    """Stems that stand dry at low pool count half (judgement); soft rush is set 3 in deep where the pond falls a foot."""
    from plantpick.show.explanation import _use_words

    told = explain(south, plants, "juncus-effusus")
    value, full = dict(told.use)["fish cover"], plants.plant("juncus-effusus").fish_cover
    assert 0 < value < full
    assert "stands dry when the pond is down" in _use_words(told, "fish cover", value)


def test_names_are_offered_only_where_they_are_near(plants):
    with pytest.raises(PlantpickError, match="Nothing in the catalogue looks like it"):
        plants.find("lake serpent")
    with pytest.raises(PlantpickError, match="pickerelweed"):
        plants.find("pickerelwed")
    with pytest.raises(PlantpickError, match="broadleaf cattail"):
        plants.find("cattail")


def test_a_shared_name_says_which_plants_are_in_the_ponds_lists(whole, south, capsys):
    """The same as `rank` says of each: those in its lists first, the others with the reason."""
    assert run(["plant", "blue flag", "demo"]) == ExitStatus.BAD_INPUT
    inside, _, outside = " ".join(capsys.readouterr().err.split()).partition("Left out:")
    ids = whole.called("blue flag")
    ranked = rank(south, whole, places=False, only=list(ids))
    assert len(ids) > 1 and ranked.plants and ranked.ruled_out
    assert "In the lists of" in inside
    for plant in ranked.plants:
        assert plant.scientific_name in (outside if plant.poor else inside)
    for out in ranked.ruled_out:
        assert whole.plant(out.plant_id).scientific_name in outside
