"""Runs every benchmark beside it and writes docs/speed.md: `python tests/bench/write_speed_table.py`. Takes some minutes."""

from __future__ import annotations

import os
import platform
import subprocess
import sys
from importlib.metadata import version
from pathlib import Path

HERE = Path(__file__).resolve().parent
PAGE = HERE.parent.parent / "docs" / "speed.md"
TITLES = {
    "bench_rank": "Starting and ranking",
    "bench_batch": "Many ponds",
    "bench_basin": "The basin",
    "bench_plan": "Planning",
    "bench_offers": "Offers",
}
HEAD = """# Speed

Written by `python tests/bench/write_speed_table.py`. Times are of one machine; what counts is the figure beside each: the
machine's own floor for the same work (bare imports, the computation alone), measured in the same minute. No test is timed.

"""


def machine() -> str:
    """What it was measured on."""
    model = platform.processor() or platform.machine()
    try:
        model = next(
            line.split(":", 1)[1].strip()
            for line in Path("/proc/cpuinfo").read_text().splitlines()
            if line.startswith("model name")
        )
    except (OSError, StopIteration):
        pass
    parts = ", ".join(f"{name} {version(name)}" for name in ("numpy", "pandas", "scipy", "typer"))
    return f"Measured on {os.cpu_count()} cores ({model}), {platform.system()}, Python {platform.python_version()}, {parts}.\n"


def main() -> int:
    parts, failed = [HEAD, machine()], []
    known = list(TITLES)
    for script in sorted(
        HERE.glob("bench_*.py"), key=lambda p: known.index(p.stem) if p.stem in known else len(known)
    ):
        done = subprocess.run(
            [sys.executable, str(script)], capture_output=True, text=True, encoding="utf-8", cwd=HERE
        )
        if done.returncode:
            failed.append(script.name)
            print(f"{script.name} failed:\n{done.stderr[-2000:]}", file=sys.stderr)
            continue
        told = done.stdout.strip()
        told = told if told.startswith("|") else f"```text\n{told}\n```"
        parts.append(f"\n## {TITLES.get(script.stem, script.stem)}\n\n{told}\n")
        print(f"{script.name} done", file=sys.stderr, flush=True)
    if failed:
        return 1
    PAGE.write_text("".join(parts), encoding="utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main())
