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

from plantpick.batch import many_ponds
from plantpick.batch.out_table import OutTable
from plantpick.batch.processes import cores_here
from plantpick.files import catalogue
from plantpick.files.pond_table import read_pond_table
from plantpick.ranking import rank

TOP = ("--top", "15")
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
        [sys.executable, "-c", code, "rank", str(table), "--out", str(out), "--cores", str(cores), *TOP],
        capture_output=True,
        text=True,
        check=True,
    )
    return time.perf_counter() - start, float(done.stdout)


def around(folder: Path, count: int) -> str:
    """A row on what is not ranking, in seconds of this processor: a table of which every pond is in the output already."""
    table, out = write_ponds(folder / f"{count}.csv", count), folder / f"there-{count}.csv"
    start = time.process_time()
    asked = read_pond_table(table)
    read = time.process_time() - start
    start = time.process_time()
    work = many_ponds.ranking_work(top=15)
    marks = {one.pond: many_ponds._fingerprint(one, work) for one in asked}
    marking = time.process_time() - start
    blank = ["of the usual length"[:12]] * (len(work.header) - 2)
    with out.open("w", newline="", encoding="utf-8") as file:
        writer = csv.writer(file, lineterminator="\n")
        writer.writerow(work.header)
        writer.writerows([one.pond, *blank, marks[one.pond]] for one in asked for _ in range(15))
    start = time.process_time()
    done = many_ponds.run(asked, work, out, 1)
    assert done.kept == count and not done.answered
    there = time.process_time() - start
    with OutTable(out, work.header) as held:
        held.add([{"pond": "one more", "fingerprint": "-"}])
        start = time.process_time()
        held.save()
    saved = time.process_time() - start
    return f"| {count:,} | {read:.2f} s | {marking:.2f} s | {there:.2f} s | {out.stat().st_size / 1e6:.0f} MB | {saved:.2f} s |"


def main() -> None:
    print(
        "| ponds | cores | time | a pond | the ranking alone, one process | time x cores over it | memory | table |\n|---|---|---|---|---|---|---|---|"
    )
    plants = catalogue.load()
    with tempfile.TemporaryDirectory() as folder:
        out = Path(folder) / "out.csv"
        for count in (10, 50):
            table = write_ponds(Path(folder) / f"{count}.csv", count)
            ponds = [asked.read() for asked in read_pond_table(table)]
            start = time.perf_counter()
            for pond in ponds:
                rank.rank(pond, plants)
            floor = time.perf_counter() - start
            for cores in sorted({1, cores_here()}):
                seconds, memory = run(table, out, cores)
                print(
                    f"| {count} | {cores} | {seconds:.1f} s | {1000 * seconds / count:.0f} ms | {floor:.1f} s | {seconds * cores / floor:.2f} | "
                    f"{memory:.0f} MB | {out.stat().st_size / 1e6:.1f} MB |"
                )
        start = time.perf_counter()
        subprocess.run(
            [sys.executable, "-m", "plantpick", "rank", str(table), "--out", str(out), *TOP],
            capture_output=True,
            check=True,
        )
        print(f"\nThe same {count} ponds again, nothing changed: {time.perf_counter() - start:.1f} s.")
        print(
            "\nWhat is not ranking, in seconds of a processor, 15 plants a pond:\n\n"
            "| ponds | reading the table | fingerprints | finding all there | output | putting it in place once |\n|---|---|---|---|---|---|"
        )
        for count in (1_000, 10_000, 50_000):
            print(around(Path(folder), count), flush=True)


if __name__ == "__main__":
    main()
