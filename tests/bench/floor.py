"""What the benchmarks share: the best of several fresh processes or calls, and the machine's own floor."""

from __future__ import annotations

import os
import subprocess
import sys
import time

IMPORTS = "import pandas, rapidfuzz, typer, rich"
TWO_COMMANDS = (
    "import typer\napp = typer.Typer()\n@app.command()\ndef one(x: int = 1):\n    'One.'\n"
    "@app.command()\ndef two(y: int = 2):\n    'Two.'\napp(['--help'])\n"
)


def process_seconds(arguments: list[str], times: int = 7) -> float:
    """Wall seconds of the fastest of several fresh Python processes, output thrown away."""
    best = float("inf")
    for _ in range(times):
        start = time.perf_counter()
        subprocess.run(
            [sys.executable, *arguments],
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
            env={**os.environ, "COLUMNS": "100"},
            check=False,
        )
        best = min(best, time.perf_counter() - start)
    return best


def call_seconds(work, times: int = 3) -> float:
    """Seconds of the fastest of several calls."""
    best = float("inf")
    for _ in range(times):
        start = time.perf_counter()
        work()
        best = min(best, time.perf_counter() - start)
    return best


def row(what: str, seconds: float, against: str, floor: float, aim: str) -> str:
    """A line of a Markdown table: the ratio is what counts."""
    return f"| {what} | {seconds * 1000:,.0f} ms | {against} | {floor * 1000:,.0f} ms | {seconds / floor:.2f} | {aim} |"


HEAD = "| what | time | against | floor | ratio | aim |\n|---|---|---|---|---|---|"
