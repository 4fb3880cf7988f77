"""Rates of spread that were measured, against the 10 to 90 % ranges of the tables: docs/measured_spread.md.

The figures stand in tests/data/measured_spread.csv, each with its published source. Run again whenever the tables change.
"""

import csv
import math

import measured_spread as measured
import pytest

from plantpick.catalogue.schema import PLANT_COLUMNS

WOODY = ("tree", "shrub")


@pytest.fixture(scope="module")
def figures():
    return measured.figures()


@pytest.fixture(scope="module")
def rates(plants):
    return measured.compared(plants)


def test_the_file_says_of_each_figure_where_it_comes_from(plants):
    with open(measured.RATES, encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    assert len(rows) >= 28
    for row in rows:
        assert row["plant_id"] in plants.plants.index and row["source"] and row["seen"] and row["note"], row
        assert row["kind"] in (measured.RATE, measured.AT_MOST, measured.AT_LEAST)
        assert row["set_from"] in (measured.NEVER, measured.MENDED, measured.YES)
        assert 0 < float(row["seasons_low"]) <= float(row["seasons_high"])
        assert bool(row["advance_low_m"]) != bool(row["end_m2"]), "an advance or two areas, not both"
        parts = row["range_before"].split(";") if row["range_before"] else []
        assert len(parts) in (0, 3) and (len(parts) == 3 or row["set_from"] != measured.MENDED)


def test_areas_become_an_advance_of_the_edge(figures):
    """Lake Susan, Minnesota (American Fisheries Society 2012, paper 10233): 0.25 m2 grew to 80.5 m2 in one to two years, as
    circles 2.4 to 4.8 m a year; here over 155/220 of a season. Lotus at Old Woman Creek (Wetlands 17, 1997): 2.84 to 19.24 ha
    in 16 years, as one bed sqrt(192400 / pi) - sqrt(28400 / pi) = 152 m, 9.5 m a year."""
    star = next(f for f in figures if f.plant_id == "heteranthera-dubia")
    assert star.low * 0.3048 * 155 / 220 == pytest.approx(2.39, abs=0.01)
    assert star.high * 0.3048 * 155 / 220 == pytest.approx(4.78, abs=0.01)
    assert star.middle == pytest.approx(math.sqrt(star.low * star.high))
    lotus = next(f for f in figures if f.plant_id == "nelumbo-lutea")
    assert lotus.high * 0.3048 * 180 / 220 == pytest.approx(9.52, abs=0.02)
    assert lotus.low == pytest.approx(lotus.high / math.sqrt(10))  # ten beds for one


def test_a_patch_that_shrank_has_not_advanced(figures):
    """Prairie cordgrass in Kansas (Fraser & Kindscher 2005): one sod of 0.65 m2 a plot stood at 0.4 m2 after three seasons."""
    assert min(f.low for f in figures if f.plant_id == "spartina-pectinata") == 0.0


def test_a_season_counts_as_in_the_forecast():
    assert measured.season_factor(220) == 1.0 and measured.season_factor(155) == pytest.approx(155 / 220)
    assert measured.season_factor(60) == 0.5 and measured.season_factor(365) == 1.5


def test_the_share_inside_is_told_as_it_was(rates):
    """The trial: rates that no range was set from, against the ranges as they stood. No pass mark under twenty plants."""
    trial = [r for r in rates if r.set_from != measured.YES]
    inside = sum(r.inside_before for r in trial)
    assert f"**{inside} of {len(trial)}** were inside" in measured.PAGE.read_text(encoding="utf-8")
    assert len(trial) >= 9


def test_ranges_still_hold_the_rates_that_mended_or_set_them(rates):
    outside = [(r.plant_id, r.middle, r.now) for r in rates if r.set_from != measured.NEVER and not r.inside]
    assert outside == []


def test_no_range_lies_wholly_beyond_a_bound(plants):
    assert measured.contradicted(plants) == []


def test_the_pages_show_what_the_figures_give(plants):
    """Written by `python tests/measured_spread.py`."""
    for (page, name), table in measured.tables(plants).items():
        assert measured.marked(page.read_text(encoding="utf-8"), name)[1] == table, (page.name, name)


def test_low_typical_and_high_have_one_meaning():
    """docs/method.md: the 10, 50 and 90 % points, in the description of every column."""
    columns = {c.name: c.description for c in PLANT_COLUMNS}
    for stem, unit in (("spread", "ft_yr"), ("doubling", "days"), ("advance_depth", "in")):
        for level, point in (("_low", "10 %"), ("", "50 %"), ("_high", "90 %")):
            assert point in columns[f"{stem}{level}_{unit}"]


def test_a_count_of_seeds_makes_no_high_jumper(plants):
    """docs/data.md: a perennial herb that goes by seed alone jumps low. Soft rush: NC State University (read) says that a seedling
    needs bare wet soil in full sun; in Florida ranch wetlands it lost 1.1 % a year on balance (Sonnier and others 2022)."""
    table = plants.plants
    herbs = table[
        (table["origin"] == "native")
        & (table["life_span"] == "perennial")
        & ~table["growth_form"].isin((*WOODY, "upland"))
        & (table["jump_by"] == "seed")
    ]
    assert len(herbs) > 100
    assert sorted(herbs.index[herbs["jump"] == "high"]) == []
    assert table.at["juncus-effusus", "jump"] == "low"
    assert table.at["typha-latifolia", "jump"] == "high"
