"""The one place where files are opened to be read: regular files only, and no more of them than the reader can use.

What a file says of its size counts for nothing (those under /proc say 0): reading stops at the limit. A folder, a
device, a socket, and a pipe, with or without a writer, are refused before anything waits on them.
"""

from __future__ import annotations

import errno
import io
import os
import stat
import sys
from pathlib import Path
from typing import BinaryIO, cast

from plantpick.errors import Problem

_PIECE = 1 << 20
_CHECK = "Check the path and its permissions."


class NotRead(Exception):
    """A file that was not read: `what` is wrong with it, a `remedy`, and whether it is `missing` or `too_large`."""

    def __init__(
        self, what: str, remedy: str = "", *, missing: bool = False, too_large: bool = False
    ) -> None:
        super().__init__(what)
        self.what, self.remedy, self.missing, self.too_large = what, remedy, missing, too_large

    def problem(self, where, missing: str = "", too_large: str = "") -> Problem:
        """The same as a problem of `where`, with the reader's own remedies."""
        remedy = missing if self.missing else too_large if self.too_large else self.remedy
        return Problem(str(where), self.what, remedy or self.remedy)


def open_regular(path: str | Path) -> BinaryIO:
    """The file, opened to be read piece by piece. Raises NotRead."""
    try:
        _only_regular(os.stat(path).st_mode)  # before it is opened: to open a device can move it
        # without waiting for a pipe's writer, should one have been put there meanwhile
        handle = os.open(path, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0))
        try:
            _only_regular(os.fstat(handle).st_mode)
        except NotRead:
            os.close(handle)
            raise
        return os.fdopen(handle, "rb")
    except FileNotFoundError:
        raise NotRead("there is no such file.", missing=True) from None
    except NotADirectoryError:
        raise NotRead("a part of the path is a file, not a folder.", _CHECK) from None
    except OSError as fault:
        if fault.errno == errno.ENAMETOOLONG:
            raise NotRead("the name is too long.", "Give a shorter one.") from None
        raise NotRead(f"cannot be opened ({fault.strerror or fault}).", _CHECK) from None
    except ValueError:  # a zero byte
        raise NotRead("is not the name of a file.", _CHECK) from None


def read_bytes(path: str | Path, most: int, kind: str = "such a file") -> bytes:
    """All of a file that has `most` bytes or fewer; `kind` names it in the refusal. Raises NotRead."""
    with open_regular(path) as file:
        try:
            return _bounded(
                cast(io.BufferedReader, file).raw.read, most, kind, os.fstat(file.fileno()).st_size
            )
        except OSError as fault:
            raise NotRead(f"cannot be read ({fault.strerror or fault}).", _CHECK) from None


def read_text(path: str | Path, most: int, kind: str = "such a file") -> str:
    """The same as UTF-8 text, with or without a mark at the beginning."""
    try:
        return read_bytes(path, most, kind).decode("utf-8-sig")
    except UnicodeDecodeError:
        raise NotRead("is not UTF-8 text.", "Save it again as plain text in UTF-8.") from None


def read_pasted(most: int) -> bytes:
    """Standard input to its end, no more than `most` bytes. Raises NotRead, also where there is no standard input."""
    if sys.stdin is None or sys.stdin.buffer.closed:
        raise NotRead("nothing can be pasted: standard input is closed.", "Name a file.")
    try:
        return _bounded(cast(io.BufferedReader, sys.stdin.buffer).read1, most, "pasted text")
    except OSError as fault:
        raise NotRead(f"standard input cannot be read ({fault.strerror or fault}).", "Name a file.") from None


def _bounded(read, most: int, kind: str, said: int = 0) -> bytes:
    """Whatever `read` gives, up to the limit; what says itself that it is larger is not begun."""
    pieces: list[bytes] = []
    left = most + 1 if said <= most else 0
    while left > 0:
        piece = read(min(_PIECE, left))
        if piece is None:
            raise BlockingIOError(errno.EAGAIN, "it holds nothing yet")
        if not piece:
            return b"".join(pieces)
        pieces.append(piece)
        left -= len(piece)
    raise NotRead(
        f"is larger than {kind} can be ({most / 1_000_000:g} MB).",
        "Cut it down to what is needed.",
        too_large=True,
    )


def _only_regular(mode: int) -> None:
    if stat.S_ISDIR(mode):
        raise NotRead("is a folder, not a file.", "Give the name of a file in it.")
    if not stat.S_ISREG(mode):
        raise NotRead(
            "is a device, a pipe or a socket, not a file.", "Save what it gives to a file, and name that."
        )
