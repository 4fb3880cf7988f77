"""The arithmetic that `--explain` shows: done again from the printed numbers, with nothing of the program's own."""

import json
import math
import re

import numpy as np
import pytest

from plantpick.ranking.explain import explain
from plantpick.show.explanation import explanation_text


def numbers(text):
    return [float(n.replace(",", "")) for n in re.findall(r"-?\d[\d,]*\.?\d*", text)]


def chord_area(radius, width, across, length, slices=200):
    """A disc's area within a strip, by slices."""
    u = (np.arange(slices) + 0.5) / slices * width
    half = np.sqrt(np.maximum(radius**2 - (u - across) ** 2, 0.0))
    return float(np.minimum(2.0 * half, length).sum() * width / slices)


def share_percent(strips, first, last, colonies, surface):
    """One group at random on each strip, and the colonies that start anywhere: per cent of the surface at ten years."""
    rate, whole, held = (last - first) / 9.0, sum(w * n for w, n in strips), 0.0
    for width, length in strips:
        area, bare = width * length, 0.0
        points = (np.arange(40) + 0.5) / 40 * width
        for y in points:
            left = 1.0 - min(1.0, chord_area(last, width, y, length) / area)
            for year in range(1, 11):
                born = len(strips) * (colonies**year - colonies ** (year - 1)) * area / whole
                left *= (1.0 - chord_area(rate * (10 - year), width, y, length) / area) ** born
            bare += left / len(points)
        held += (1.0 - bare) * area
    return 100.0 * held / surface


@pytest.mark.parametrize("plant_id", ["pontederia-cordata", "eleocharis-equisetoides", "justicia-americana"])
def test_the_takeover_shown_can_be_done_again_from_what_is_printed(plants, south, plant_id):
    """Plain loops over the printed radii, strips and colonies (the formula is DESIGN.md's; the numbers are the demo's)."""
    told = explain(south, plants, plant_id)
    group, jumps, *shores, surface = told.takeover_how
    first = float(re.search(r"disc ([\d.]+) ft", group)[1])
    last = numbers(re.search(r"it is (.*) ft from", group)[1].replace(" - ", " "))
    colonies = numbers(jumps.replace(" - ", " ")) if "becomes" in jumps else [1.0, 1.0, 1.0]
    assert len(shores) == len(south.shore) == told.groups_wanted
    for level, printed in enumerate(dict(told.takeover)[10]):
        strips = []
        for line in shores:
            length, strip = re.search(r", ([\d,]+) ft long: (.*)", line).groups()
            wet = numbers(strip.split(" ft wide")[0].replace(" - ", " "))
            bank = re.search(r"and ([\d.]+) ft of bank", strip)
            strips.append((wet[level] + (float(bank[1]) if bank else 0.0), numbers(length)[0]))
        mine = share_percent(strips, first, last[level], colonies[level], numbers(surface)[0])
        assert mine == pytest.approx(printed, rel=0.05), (plant_id, level)


@pytest.mark.parametrize("demo", ["south", "north", "hard"])
def test_site_use_and_score_can_be_done_again(plants, demo, request):
    """Geometric mean or the smallest, mean use, and the cube root, over thirty plants of each demo pond."""
    pond = request.getfixturevalue(demo)
    from plantpick.ranking import rank

    rows = {r.plant_id: r for r in rank.rank(pond, plants, draws=0).plants}
    for plant_id in list(rows)[:: max(1, len(rows) // 30)]:
        told, row = explain(pond, plants, plant_id), rows[plant_id]
        known = [index for _, index, _ in told.factors if not math.isnan(index)]
        site = min(known) if min(known) <= 0.4 else math.prod(known) ** (1.0 / len(known))
        use = sum(value / 3.0 for _, value in told.use) / len(told.use)
        of, wanted = map(int, re.search(r": (\d+) of (\d+) groups", told.stays_how).groups())
        weight = re.search(r"times ([\d.]+)", told.stays_how)
        assert weight is None or float(weight[1]) in (0.7, 0.49), (
            plant_id
        )  # DESIGN.md: 0.7, twice for two measures
        stays = min(1.0, of / wanted) * (float(weight[1]) if weight else 1.0)
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
