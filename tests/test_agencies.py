"""The ranking held against what state agencies and extension services recommend and warn against (tests/agencies).

The floors are what was measured when they were set, rounded down: they fall only if the advice gets further from the agencies'.
"""

import csv
from pathlib import Path

import pytest
from agencies.compare import TABLE, ZONES, compare, figures

from plantpick.files import catalogue
from plantpick.vocabulary import STATES

pytestmark = pytest.mark.slow


@pytest.fixture(scope="module")
def told(plants):
    return compare(plants, catalogue.load(by_name=True))


def test_the_table_names_its_sources():
    with TABLE.open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    assert len(rows) >= 150 and len({row["state"] for row in rows}) >= 10
    for row in rows:
        assert row["state"] in STATES and row["state"] in ZONES
        assert row["advice"] in ("recommended", "warned") and row["half"] in ("mending", "measuring")
        assert row["source_title"] and row["address"] and row["seen"] in ("whole", "part", "excerpt")
    assert len({(r["state"], r["plant"], r["advice"], r["address"]) for r in rows}) == len(rows)


@pytest.mark.parametrize(
    "half, known, described, ranked, third, median",
    [("mending", 97, 90, 77, 63, 19), ("measuring", 98, 96, 90, 66, 18), ("both", 98, 93, 84, 64, 18)],
)
def test_what_agencies_recommend_is_known_ranked_and_high(
    told, half, known, described, ranked, third, median
):
    found = figures(one for one in told if half in (one.half, "both"))
    assert found.known >= known and found.described >= described and found.ranked >= ranked
    assert found.upper_third >= third and found.median <= median


def test_what_agencies_warn_against_is_held_back(told):
    """Out, only with a measure, or one group at most; what was brought in from elsewhere is never ranked."""
    warned = [one for one in told if one.advice == "warned"]
    assert len(warned) > 20 and not [one.plant for one in warned if not one.held]
    assert not [one.plant for one in told if one.introduced and one.share is not None]
    assert any(one.introduced for one in told)


def test_where_we_side_against_an_agency_the_reason_is_written_down(told):
    """Every native that an agency recommends and that is not ranked in its state stands in docs/disagreements.md, by its name."""
    pages = (Path(__file__).parent.parent / "docs" / "disagreements.md").read_text(encoding="utf-8")
    section = pages[pages.index("## Where we side against agencies") :]
    against = {t.plant for t in told if t.advice == "recommended" and t.plant_id and t.share is None}
    assert len(against) > 5 and not sorted(name for name in against if name not in section)
    for plant in ("Paspalidium geminatum", "Sagittaria latifolia", "Lobelia cardinalis"):
        assert plant in section
