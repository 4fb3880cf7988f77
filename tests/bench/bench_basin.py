"""Prints the speed of the basin from soundings: `python tests/bench/bench_basin.py`. Nothing here is a test."""

from __future__ import annotations

import math
import tempfile
from pathlib import Path

import numpy as np
from floor import call_seconds, process_seconds

from plantpick.files import survey_tables
from plantpick.pond import bathymetry
from plantpick.pond.model import Outline

RADIUS_FT, DEEPEST_FT = 900.0, 18.0  # an invented round pond of 58 acres


def soundings(count: int) -> np.ndarray:
    rng = np.random.default_rng(count)
    r, turn = RADIUS_FT * np.sqrt(rng.random(count)) * 0.999, rng.uniform(0, 2 * math.pi, count)
    depth = DEEPEST_FT * 12 * (1 - (r / RADIUS_FT) ** 2)
    return np.column_stack([r * np.cos(turn), r * np.sin(turn), depth])


def main() -> None:
    turn = np.linspace(0, 2 * math.pi, 720, endpoint=False)
    outline = Outline((tuple(zip((RADIUS_FT * np.cos(turn)).tolist(), (RADIUS_FT * np.sin(turn)).tolist())),))
    exact = math.pi * RADIUS_FT**2 * DEEPEST_FT / 2
    print(
        f"{'soundings':>10} {'read s':>8} {'checks s':>9} {'basin s':>8} "
        f"{'bare Delaunay s':>16} {'ratio':>6} {'volume off':>11}"
    )
    from scipy.spatial import Delaunay

    def line(count: int) -> None:
        points = soundings(count)
        with tempfile.TemporaryDirectory() as folder:
            path = Path(folder) / "s.csv"
            np.savetxt(path, points / [1, 1, 12], fmt="%.2f", delimiter=",", header="x,y,depth", comments="")
            read = call_seconds(lambda: survey_tables.read_soundings(path, []), 3)
        checks = call_seconds(lambda: (bathymetry.mixed_units(points), bathymetry.lost_bottom(points)), 3)
        whole = call_seconds(lambda: bathymetry.from_soundings(outline, points), 3)
        bare = call_seconds(lambda: Delaunay(points[:, :2]), 3)
        volume = bathymetry.from_soundings(outline, points)[0].volumes_ft3[0]
        print(
            f"{count:>10,} {read:>8.2f} {checks:>9.2f} {whole:>8.2f} {bare:>16.2f} {whole / bare:>6.1f} "
            f"{100 * (volume / exact - 1):>10.3f}%"
        )

    for count in (1_000, 10_000, 100_000, 400_000):
        line(count)
    print(
        f"\nplantpick depths demo-surveyed, a fresh process: "
        f"{process_seconds(['-m', 'plantpick', 'depths', 'demo-surveyed']):.2f} s; "
        "importing scipy.spatial, shapely, pyproj, "
        f"rich, typer: {process_seconds(['-c', 'import scipy.spatial, shapely, pyproj, rich.console, typer']):.2f} s"
    )


if __name__ == "__main__":
    main()
