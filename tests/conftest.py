"""What several tests need: the catalogue, demo ponds, and a pond to vary."""

from __future__ import annotations

import inspect
import os
import subprocess
from collections import OrderedDict
from contextlib import contextmanager
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings

from plantpick.catalogue.plants import Catalogue
from plantpick.files import catalogue, pond_file
from plantpick.offers import check, name_index, named_plants
from plantpick.pond.model import Pond, Stretch
from plantpick.ranking import rank

# How long an example takes says how busy the machine is. In CI the examples are the same each time, so that a run fails for
# what was changed; at a desk they are new each time, and --hypothesis-seed=N brings one of those runs back.
settings.register_profile("desk", deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.register_profile("ci", settings.get_profile("desk"), derandomize=True)
settings.load_profile("ci" if os.environ.get("CI", "").lower() == "true" else "desk")


def pytest_configure(config):
    """In parallel, tests that stand together run in one process, which makes what they share once."""
    if getattr(config.option, "dist", "no") == "load":
        config.option.dist = "worksteal"


def once_each(real, most: int):
    """A function that gives its newest answers again where the same is asked; a catalogue is known by being the very same."""
    kept: OrderedDict = OrderedDict()

    taken = inspect.signature(real)

    def once(*asked, **options):
        bound = taken.bind(*asked, **options)
        bound.apply_defaults()
        key = tuple(
            id(a) if isinstance(a, Catalogue) else tuple(a) if isinstance(a, list) else a
            for a in bound.arguments.values()
        )
        if key not in kept:
            kept[key] = bound, real(*asked, **options)  # with what was asked: no other catalogue gets its id
            if len(kept) > most:
                kept.popitem(last=False)
        return kept[key][1]

    return once


REFERENCE = Path(__file__).resolve().parent.parent.parent / "shared" / "reference"


@pytest.fixture(scope="session")
def plants():
    """The catalogue with its evidence."""
    return catalogue.load(evidence=True)


@pytest.fixture(scope="session")
def book(plants):
    """Every name of the catalogue, arranged to read offers by."""
    return name_book_once(plants)


@pytest.fixture(scope="session")
def whole():
    """The catalogue with the plants that are known by name only: all that an offer is read with."""
    return catalogue.load(evidence=True, by_name=True)


@pytest.fixture(scope="session")
def whole_book(whole):
    return name_book_once(whole)


name_book_once = once_each(name_index.name_book, 8)


@pytest.fixture(scope="session", autouse=True)
def books_once():
    """The names of a catalogue are arranged once a run, however many offers are read with it."""
    with pytest.MonkeyPatch.context() as patch:
        for module in (check, named_plants):
            patch.setattr(module, "name_book", name_book_once)
        yield


_rank_once = once_each(rank.rank, 60)


@pytest.fixture
def ranked_once():
    """For tests of what is said about single lines: each pond is ranked once a run, however many lines are asked about."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(rank, "rank", _rank_once)
        yield


@pytest.fixture(scope="session")
def south():
    return pond_file.read_pond("demo")


@pytest.fixture(scope="session")
def north():
    return pond_file.read_pond("demo-north")


@pytest.fixture(scope="session")
def hard():
    return pond_file.read_pond("demo-hard")


@pytest.fixture(scope="session")
def reference():
    """The folder of outside tables, where the project is built beside it."""
    if not REFERENCE.is_dir():
        pytest.skip("../shared/reference is not here: the comparison with the outside tables was not made")
    return REFERENCE


def a_pond(**changes) -> Pond:
    """An invented pond, with any value changed."""
    base = Pond(
        name="Test Pond",
        state="MS",
        hardiness_zone="8a",
        area_acres=2.0,
        max_depth_ft=12.0,
        stretches=(Stretch("north", 700.0, 3.0), Stretch("south", 500.0, 6.0, sun="part")),
        last_frost=(3, 28),
        first_frost=(11, 5),
        clarity_in=30.0,
        usual_drop_ft=1.0,
        ph=7.0,
        salinity_ppt=0.1,
    )
    return replace(base, **changes)


@contextmanager
def counted_by_nodes():
    """The solver ends by the number of nodes it has looked at and not by the clock, so that a busy machine finds the same:
    twenty nodes for each second of a limit, and at least one."""
    from plantpick.planting import milp

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(
            milp,
            "run_limits",
            lambda seconds: {"time_limit": 3600.0, "mip_max_nodes": max(1, int(20 * seconds))},
        )
        yield


@pytest.fixture(scope="module")
def fixed_work():
    with counted_by_nodes():
        yield


@pytest.fixture(scope="session")
def demo_plan(south, plants):
    """A planting of the demo pond that meets all its wishes, made once a run: change a copy of it."""
    from plantpick.planting import plan
    from plantpick.planting.model import Wishes

    with counted_by_nodes():
        return plan.plan(south, plants, Wishes(cover=0.4), time_limit=0.7)


@pytest.fixture(scope="session")
def demo_page(demo_plan, plants):
    """The report of that planting as the command writes it, on January 15, 2027."""
    from plantpick.cli.plan import MORE_TIME
    from plantpick.planting.giving_way import GivingWay
    from plantpick.show.plan_report import plan_report

    return plan_report(demo_plan, plants, date(2027, 1, 15), MORE_TIME, GivingWay(steps=()))


@pytest.fixture
def small_disk(tmp_path):
    """A disk of 64 kilobytes in memory."""
    place = tmp_path / "disk"
    place.mkdir()
    if os.name != "posix" or os.geteuid() != 0:
        pytest.skip("only the superuser may mount a small disk: a full disk was not tried")
    made = subprocess.run(
        ["mount", "-t", "tmpfs", "-o", "size=64k", "tmpfs", str(place)],
        capture_output=True,
        text=True,
        check=False,
    )
    if made.returncode:
        pytest.skip(
            f"no small disk can be mounted here ({made.stderr.strip()[:80]}): a full disk was not tried"
        )
    yield place
    subprocess.run(["umount", str(place)], check=False)
