"""The command line without a new process: what `python -m plantpick` does, with streams that are kept."""

from __future__ import annotations

import contextlib
import io
import os
from dataclasses import dataclass
from unittest import mock

from plantpick.cli import app


@dataclass(frozen=True)
class Done:
    """What came of a command, under the names that `subprocess` gives them."""

    returncode: int
    stdout: str
    stderr: str


def command(
    *words, columns: int | str | None = 400, stdin: bytes = b"", cwd=None, **environment: str
) -> Done:
    """Run one command line; `columns` is the width of the terminal, None for a file in its place."""
    out, err = (io.TextIOWrapper(io.BytesIO(), encoding="utf-8", newline="") for _ in range(2))
    source = io.TextIOWrapper(io.BytesIO(stdin), encoding="utf-8")
    said = {**os.environ, **environment}
    said.pop("COLUMNS", None)
    if columns is not None:
        said["COLUMNS"] = str(columns)
    status = 0
    with (
        mock.patch.dict(os.environ, said, clear=True),
        mock.patch("sys.stdin", source),
        mock.patch("sys.stdout", out),
        mock.patch("sys.stderr", err),
        contextlib.chdir(cwd or os.getcwd()),
    ):
        try:
            app.main([str(word) for word in words])
        except SystemExit as leaving:
            status = int(leaving.code or 0)
        except Exception:  # as the interpreter does with --debug
            import traceback

            traceback.print_exc(file=err)
            status = 1
        out.flush()
        err.flush()
    return Done(status, *(stream.buffer.getvalue().decode("utf-8") for stream in (out, err)))
