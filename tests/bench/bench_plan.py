"""Prints the speed of planning as ratios and a table: `python tests/bench/bench_plan.py`. Nothing here is a test.

Cold start: `plantpick plan demo` and with the report, against the bare import of scipy.optimize and matplotlib. Growth:
a plan without its page for more stretches and more plants on offer, with how it ended (proved, or the gap that was left).
"""

from __future__ import annotations

import tempfile
import time
from dataclasses import replace
from pathlib import Path

from floor import process_seconds

from plantpick.files import catalogue
from plantpick.planting import candidates
from plantpick.planting.model import Wishes
from plantpick.planting.offered import Offered
from plantpick.planting.relax import solve_or_relax
from plantpick.pond.model import Pond, Stretch
from plantpick.ranking import rank

SECONDS = 10.0


def pond_of(stretches: int) -> Pond:
    """An invented pond of 40 acres (so that 50 stretches have room), its shore cut into equal stretches."""
    slopes, suns = (3.0, 4.0, 6.0, 3.5, 5.0), ("full", "full", "part")
    shore = tuple(
        Stretch(f"stretch {k + 1}", 6000.0 / stretches, slopes[k % 5], sun=suns[k % 3])
        for k in range(stretches)
    )
    return Pond(
        name="Bench",
        state="MS",
        hardiness_zone="8b",
        area_acres=40.0,
        max_depth_ft=14.0,
        stretches=shore,
        last_frost=(3, 20),
        first_frost=(11, 12),
        clarity_in=30.0,
        usual_drop_ft=1.0,
        ph=7.0,
        salinity_ppt=0.1,
    )


def main() -> None:
    floor = process_seconds(["-c", "import scipy.optimize, matplotlib.figure"])
    print(f"import of scipy.optimize and matplotlib: {floor:.2f} s")
    with tempfile.TemporaryDirectory() as folder:
        page = str(Path(folder) / "plan.html")
        for words, more in (("plan demo", []), ("plan demo --out", ["--out", page, "--force"])):
            spent = process_seconds(["-m", "plantpick", "plan", "demo", *more])
            print(f"{words:<18} {spent:5.2f} s   {spent / floor:4.1f} times the import")
    plants = catalogue.load()
    print(
        f"\n{'stretches':>9} {'offered':>8} {'candidates':>10} {'places':>7} {'rank s':>7} {'build s':>8} {'solve s':>8}  ended"
    )
    for stretches in (4, 10, 25, 50):
        for wanted in (15, 60, 150, 300):
            pond = replace(pond_of(stretches))
            wishes = Wishes(cover=0.5, plants=4000).for_pond(pond)
            start = time.perf_counter()
            ranked = rank.rank(pond, plants, places=False)
            fit = {r.plant_id: 5.0 for r in ranked.plants[:wanted]}
            stock = candidates.select_candidates(pond, plants, ranked, offered=Offered.at(fit))
            middle = time.perf_counter()
            problem = candidates.build_problem(stock, wishes)
            built = time.perf_counter()
            solution = solve_or_relax(problem, stock, wishes, SECONDS)
            answer, met = solution.answer, solution.met
            solved = time.perf_counter()
            ended = ("met, " if met else "not met, ") + (
                "proved"
                if answer.status == "proved"
                else f"gap {100 * (answer.gap or 0):.1f} %"
                if answer.found
                else answer.status
            )
            print(
                f"{stretches:>9} {len(fit):>8} {len(stock.ranked):>10} {len(problem.places):>7} {middle - start:>7.2f} {built - middle:>8.2f} "
                f"{solved - built:>8.2f}  {ended}",
                flush=True,
            )


if __name__ == "__main__":
    main()
