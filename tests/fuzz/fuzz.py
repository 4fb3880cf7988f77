"""The coverage-guided fuzzer (atheris): `python tests/fuzz/fuzz.py log --minutes 2`; without a reader, all in turn.

Install it with: pip install "plantpick[fuzz]". What breaks a reader is written beside this file as crash-READER-N and
belongs into BROKE_ONCE in tests/test_hard_use.py once it is put right.
"""

from __future__ import annotations

import argparse
import re
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

HERE = Path(__file__).resolve().parent


def one(which: str, folder: str, seconds: int) -> None:
    """Run the fuzzer on one reader in this process."""
    import atheris

    with atheris.instrument_imports(include=["plantpick"]):
        sys.path.insert(0, str(HERE))
        import readers

        readers.feed(
            which, readers.READERS[which].seeds()[0]
        )  # so that what is loaded late is instrumented too
    for number, seed in enumerate(readers.READERS[which].seeds()):
        (Path(folder) / f"seed{number}").write_bytes(seed)
    atheris.Setup(
        [
            sys.argv[0],
            folder,
            f"-max_total_time={seconds}",
            "-timeout=20",
            "-rss_limit_mb=3000",
            "-max_len=20000",
            "-print_final_stats=1",
            f"-artifact_prefix={folder}/broke-",
        ],
        lambda data: readers.feed(which, data),
    )
    atheris.Fuzz()


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("reader", nargs="*")
    parser.add_argument("--minutes", type=float, default=1.0)
    parser.add_argument("--inside", help=argparse.SUPPRESS)
    asked = parser.parse_args()
    if asked.inside:
        one(asked.reader[0], asked.inside, max(1, int(asked.minutes * 60)))
        return 0
    sys.path.insert(0, str(HERE))
    from readers import READERS

    broke = 0
    print("| reader | executions | minutes | broke |\n|---|---|---|---|")
    for which in asked.reader or READERS:
        with tempfile.TemporaryDirectory() as folder:
            done = subprocess.run(
                [sys.executable, __file__, which, "--minutes", str(asked.minutes), "--inside", folder],
                capture_output=True,
                text=True,
                errors="replace",
                check=False,
            )
            told = done.stdout + done.stderr
            count = (
                re.findall(r"stat::number_of_executed_units:\s+(\d+)", told)
                or re.findall(r"#(\d+)\s", told)
                or ["0"]
            )
            found = sorted(Path(folder).glob("broke-*"))
            for number, path in enumerate(found):
                shutil.copy(path, HERE / f"crash-{which}-{number}")
            broke += len(found) or (done.returncode != 0)
            print(
                f"| {which} | {int(count[-1]):,} | {asked.minutes:g} | {len(found) or ('yes' if done.returncode else 'no')} |",
                flush=True,
            )
            if found or done.returncode:
                print(told[-3000:], file=sys.stderr)
    return 1 if broke else 0


if __name__ == "__main__":
    sys.exit(main())
