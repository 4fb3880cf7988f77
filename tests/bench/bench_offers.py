"""Speed of reading an offer, as ratios: 100,000 made-up lines against the catalogue's names.

Run as `python tests/bench/bench_offers.py [lines]`. The plain method is a loop of rapidfuzz's WRatio over the
same names, timed on a sample and scaled up. Lines a second depend on the machine; the ratio much less.
"""

from __future__ import annotations

import random
import resource
import subprocess
import sys
import tempfile
import time
from pathlib import Path

SAMPLE = 150  # lines for the slow method
WHOLE = 20_000  # different lines for the whole command


def made_up_lines(catalogue, count: int, seed: int = 11) -> list[tuple[str, str]]:
    """(line, plant_id meant, empty for none): clean, misspelt, joined, with prices and codes, notes, unknown
    names."""
    rng = random.Random(seed)
    plants = catalogue.tables["plants"]
    taxa = list(zip(plants["plant_id"], plants["scientific_name"], plants["common_name"]))
    notes = [
        "Minimum order {n} plants",
        "Shipping {n}.00 per box",
        "Page {n}",
        "Pond pump {n} gph ${n}.00",
        "",
        "Prices good through June {n}",
        "Trapdoor snails {n} for $10",
        "BARE ROOT PLANTS",
    ]
    sounds = ["bra", "lo", "mi", "tur", "nes", "qua", "vel", "do", "shi", "gan"]
    out = []
    for i in range(count):
        plant_id, name, common = rng.choice(taxa)
        price = rng.choice(
            [
                f"${rng.randint(1, 30)}.{rng.randint(0, 99):02d}",
                f"{rng.randint(60, 150)}.00/100",
                "sold out",
                f"1-9 $2.{rng.randint(10, 99)}, 10+ $1.95",
            ]
        )
        size = rng.choice(['2" plug', "4 in pot", "gallon", "bare root", "qt", "tray of 50", ""])
        dice = rng.random()
        if dice < 0.30:
            line = rng.choice(
                [
                    f"{name} - {common}   {size}   {price}",
                    f"{common} ({name})  {price}",
                    f"{name},{size},{price}",
                ]
            )
        elif dice < 0.45:
            line = f"{common}   {size}   {price}"
        elif dice < 0.60:
            line = f"{name.upper()}   {price}"
        elif dice < 0.80:
            k = rng.randrange(1, len(name))
            slip = rng.choice(
                [
                    name[:k] + name[k + 1 :],
                    name[:k] + rng.choice("aeiou") + name[k + 1 :],
                    name[:k] + name[k : k + 1] + name[k:],
                ]
            )
            line = f"{slip}   {size} {price}"
        elif dice < 0.95:
            plant_id, line = "", rng.choice(notes).format(n=rng.randint(2, 99))
        else:
            plant_id, line = (
                "",
                "".join(rng.choices(sounds, k=3)).capitalize()
                + " "
                + "".join(rng.choices(sounds, k=3))
                + f"  {price}",
            )
        out.append((line, plant_id))
    return out


def whole_command(lines: list[str]) -> tuple[float, float]:
    """Seconds of processor, children included, and the greatest memory in MB of any process, of `plantpick offer demo` from
    nothing to the counter view."""
    code = (
        "import resource, sys; from plantpick.cli.app import run; run(['offer', 'demo', sys.argv[1]])\n"
        "used = [resource.getrusage(w) for w in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN)]\n"
        "print(sum(u.ru_utime + u.ru_stime for u in used), max(u.ru_maxrss for u in used) / 1024, file=sys.stderr)"
    )
    with tempfile.TemporaryDirectory() as folder:
        offer = Path(folder) / "offer.txt"
        offer.write_text("\n".join(lines) + "\n", encoding="utf-8")
        done = subprocess.run(
            [sys.executable, "-c", code, str(offer)], capture_output=True, text=True, check=True
        )
    seconds, memory = done.stderr.splitlines()[-1].split()
    return float(seconds), float(memory)


def main() -> None:
    from rapidfuzz import fuzz, process, utils

    from plantpick.batch import parallel
    from plantpick.files import catalogue as tables
    from plantpick.files import pond_file
    from plantpick.offers import check
    from plantpick.offers.name_index import name_book

    different = list(dict.fromkeys(text for text, _ in made_up_lines(tables.load(), 25_000)))[:WHOLE]
    seconds, memory = whole_command(different)
    start, _ = whole_command(different[:1])
    print(
        f"plantpick offer demo, {len(different):,} different lines to the counter view: {seconds:.1f} s of a processor (asked: 4 s), "
        f"{memory:.0f} MB (asked: 250 MB); with one line {start:.1f} s, ratio {seconds / start:.1f}"
    )
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 100_000
    catalogue, pond = tables.load(), pond_file.read_pond("demo")
    lines = made_up_lines(catalogue, count)
    start = time.perf_counter()
    book = name_book(catalogue)
    built = time.perf_counter() - start
    start = time.perf_counter()
    answer = check.check_offer(
        (check.Line(i, text) for i, (text, _) in enumerate(lines, 1)),
        pond,
        catalogue,
        book=book,
        read_all=parallel.reader(),
    )
    took = time.perf_counter() - start
    memory = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    named = [(line, plant) for line, (_, plant) in zip(answer.lines, lines) if plant]
    right = sum(line.plants[:1] == (plant,) for line, plant in named)
    wrong = sum(line.sure and line.plants[:1] != (plant,) for line, plant in named)

    names = catalogue.tables["names"]
    owner = dict(zip(map(utils.default_process, names["name"]), names["plant_id"]))
    known = list(owner)
    some = [item for item in lines if item[1]][:SAMPLE]
    start = time.perf_counter()
    hits = sum(
        owner[process.extractOne(text, known, scorer=fuzz.WRatio, processor=utils.default_process)[0]]
        == plant
        for text, plant in some
    )
    plain = (time.perf_counter() - start) / len(some) * count
    print(f"{count:,} lines, {len(known):,} names; names arranged in {built:.2f} s")
    print(
        f"ours: {took:.1f} s, {count / took:,.0f} lines a second, {right / len(named):.1%} right first, "
        f"{wrong / len(named):.2%} sure and wrong"
    )
    print(f"plain WRatio loop: {plain:.0f} s by {len(some)} lines, {hits / len(some):.1%} right")
    print(
        f"ours takes 1/{plain / took:.0f} of its time (asked: 1/5 at most); "
        f"peak memory {memory:.0f} MB, results included"
    )


if __name__ == "__main__":
    main()
