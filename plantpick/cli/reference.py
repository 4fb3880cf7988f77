"""Writes docs/commands.md from the commands' own help: `python -m plantpick.cli.reference`."""

from __future__ import annotations

import os
from pathlib import Path

WIDTH = "100"
HEAD = """# Commands

Written from `--help` by `python -m plantpick.cli.reference`; a test compares the two.
"""


def text() -> str:
    """Every command's help, in the order in which the program lists them."""
    from typer.testing import CliRunner

    from plantpick.cli.app import app

    environment = {"COLUMNS": WIDTH, "TERMINAL_WIDTH": WIDTH, "NO_COLOR": "1", "TERM": "dumb"}
    os.environ.update(environment)  # rich reads the width when it is first asked
    parts = [HEAD]
    names = [c.name for c in app.registered_commands if c.name]
    for words in ([], *([name] for name in names)):
        shown = CliRunner().invoke(app, [*words, "--help"], env=environment, prog_name="plantpick").output
        lines = "\n".join(line.rstrip() for line in shown.strip("\n").splitlines())
        parts.append(f"## plantpick {' '.join(words)}".rstrip() + f"\n\n```text\n{lines}\n```\n")
    return "\n".join(parts)


if __name__ == "__main__":
    (Path(__file__).resolve().parents[2] / "docs" / "commands.md").write_text(text(), encoding="utf-8")
