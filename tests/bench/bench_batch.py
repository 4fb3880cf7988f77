"""Prints how many ponds in one run cost: `python tests/bench/bench_batch.py`. Nothing here is a test.

The floor is the ranking of the same ponds and nothing else, one after the other in this process: no reading, no writing.
"""

from __future__ import annotations

import csv
import random
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from plantpick import ranking
from plantpick.batch import cores_here
from plantpick.read import catalogue
from plantpick.read.pondtable import read_pond_table

STATES = ("MS", "GA", "TX", "AL", "LA", "FL", "SC", "NC", "TN", "AR", "OK", "MO", "VA", "KY", "KS")


def write_ponds(path: Path, count: int) -> Path:
    """A table of invented ponds of four stretches each, the same for the same count."""
    chance = random.Random(5)
    rows = []
    for number in range(count):
        acres = round(chance.uniform(1, 10), 1)
        shore = 2.0 * (acres * 43_560 * 3.14159) ** 0.5
        row = {
            "name": f"Invented pond {number + 1}",
            "state": chance.choice(STATES),
            "hardiness_zone": chance.choice(("6b", "7a", "7b", "8a", "8b")),
            "area_acres": acres,
            "max_depth_ft": chance.randint(7, 16),
            "clarity_in": chance.randint(10, 60),
            "usual_drop_ft": chance.choice((0, 0.5, 1, 2)),
            "ph": 7,
            "tolerance": chance.choice(("little", "some")),
        }
        for k in range(1, 5):
            row |= {
                f"shore_{k}_name": f"side {k}",
                f"shore_{k}_length_ft": round(shore / 4),
                f"shore_{k}_slope": chance.choice((3, 4, 5, 8)),
                f"shore_{k}_sun": chance.choice(("full", "part")),
                f"shore_{k}_dam": "yes" if k == 4 else "",
            }
        rows.append(row)
    with path.open("w", newline="", encoding="utf-8") as file:
        writer = csv.DictWriter(file, list(rows[0]))
        writer.writeheader()
        writer.writerows(rows)
    return path


def run(table: Path, out: Path, cores: int) -> tuple[float, float]:
    """Seconds and the first process's greatest memory in MB of one run from nothing."""
    code = (
        "import resource, sys; from plantpick.cli.app import run; status = run(sys.argv[1:]); "
        "print(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024); sys.exit(status)"
    )
    out.unlink(missing_ok=True)
    start = time.perf_counter()
    done = subprocess.run(
        [sys.executable, "-c", code, "rank", str(table), "--out", str(out), "--cores", str(cores)],
        capture_output=True,
        text=True,
        check=True,
    )
    return time.perf_counter() - start, float(done.stdout)


def main() -> None:
    print(
        "| ponds | cores | time | a pond | the ranking alone, one process | time x cores over it | memory | table |\n|---|---|---|---|---|---|---|---|"
    )
    plants = catalogue.load()
    with tempfile.TemporaryDirectory() as folder:
        out = Path(folder) / "out.csv"
        for count in (10, 100, 400):
            table = write_ponds(Path(folder) / f"{count}.csv", count)
            ponds = [asked.read() for asked in read_pond_table(table)]
            start = time.perf_counter()
            for pond in ponds:
                ranking.rank(pond, plants)
            floor = time.perf_counter() - start
            for cores in sorted({1, cores_here()}):
                seconds, memory = run(table, out, cores)
                print(
                    f"| {count} | {cores} | {seconds:.1f} s | {1000 * seconds / count:.0f} ms | {floor:.1f} s | {seconds * cores / floor:.2f} | "
                    f"{memory:.0f} MB | {out.stat().st_size / 1e6:.1f} MB |"
                )
        start = time.perf_counter()
        subprocess.run(
            [sys.executable, "-m", "plantpick", "rank", str(table), "--out", str(out)],
            capture_output=True,
            check=True,
        )
        print(f"\nThe same {count} ponds again, nothing changed: {time.perf_counter() - start:.1f} s.")


if __name__ == "__main__":
    main()
