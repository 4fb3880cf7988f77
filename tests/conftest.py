"""What several tests need: the catalogue, demo ponds, and a pond to vary."""

from __future__ import annotations

import os
import subprocess
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings

from plantpick.files import catalogue, pond_file
from plantpick.pond.model import Pond, Stretch

# How long an example takes says how busy the machine is. In CI the examples are the same each time, so that a run fails for
# what was changed; at a desk they are new each time, and --hypothesis-seed=N brings one of those runs back.
settings.register_profile("desk", deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.register_profile("ci", settings.get_profile("desk"), derandomize=True)
settings.load_profile("ci" if os.environ.get("CI", "").lower() == "true" else "desk")

REFERENCE = Path(__file__).resolve().parent.parent.parent / "shared" / "reference"


@pytest.fixture(scope="session")
def plants():
    """The catalogue with its evidence."""
    return catalogue.load(evidence=True)


@pytest.fixture(scope="session")
def book(plants):
    """Every name of the catalogue, arranged to read offers by."""
    from plantpick.offers.name_index import name_book

    return name_book(plants)


@pytest.fixture(scope="module")
def ranked_once():
    """For tests of what is said about single lines: each pond is ranked once, however many lines are asked about."""
    from plantpick.ranking import rank

    real, kept = rank.rank, {}

    def once(pond, catalogue, **options):
        key = pond, id(catalogue), repr(sorted(options.items()))
        if key not in kept:
            kept[key] = real(pond, catalogue, **options)
        return kept[key]

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(rank, "rank", once)
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


@pytest.fixture(scope="module")
def fixed_work():
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
