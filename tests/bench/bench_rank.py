"""Prints the speed of the main job as ratios: `python tests/bench/bench_rank.py`. Nothing here is a test."""

from __future__ import annotations

import numpy as np
from floor import HEAD, IMPORTS, TWO_COMMANDS, call_seconds, process_seconds, row

from plantpick.catalogue.schema import NEEDED
from plantpick.catalogue.traits import traits
from plantpick.files import catalogue, pond_file
from plantpick.ranking import takeover


def main() -> None:
    print(HEAD)
    imports = process_seconds(["-c", IMPORTS])
    print(
        row(
            "plantpick rank demo",
            process_seconds(["-m", "plantpick", "rank", "demo"]),
            "importing pandas, rapidfuzz, typer, rich",
            imports,
            "1.3",
        )
    )
    print(
        row(
            "plantpick --help",
            process_seconds(["-m", "plantpick", "--help"]),
            "help of a two-command typer program",
            process_seconds(["-c", TWO_COMMANDS]),
            "1.1",
        )
    )

    plants = catalogue.load()
    table = plants.plants
    known = table[
        (table["origin"] == "native")
        & table[list(NEEDED)].notna().all(axis=1)
        & table["drawdown"].ne("")
        & table["flooding"].ne("")
    ]
    known = traits(map(plants.plant, known.index))
    pond = pond_file.read_pond("demo")
    each = np.ones((len(known), len(pond.shore)))
    closed = call_seconds(lambda: takeover.forecast(known, pond).takeover(each))
    draws = 2000

    def throw() -> None:  # one plant, one strip, `draws` sets of seven discs
        generator = np.random.default_rng(2)
        for _ in range(draws):
            centres, points = generator.random((7, 2)) * (420, 12), generator.random((500, 2)) * (420, 12)
            (np.hypot(*(points[:, None] - centres).transpose(2, 0, 1)) <= 30).any(axis=1).mean()

    thrown = call_seconds(throw, 1)
    per_strip = closed / (len(known) * 3 * len(pond.shore))
    print(
        f"closed form: {per_strip * 1e6:.1f} microseconds a strip; {draws} throws of discs on one strip: {thrown * 1e6:,.0f} "
        f"microseconds, {thrown / per_strip:,.0f} times as long"
    )


if __name__ == "__main__":
    main()
