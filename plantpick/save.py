"""Writes a file so that there is always the old one or the new one, never half. Every command that writes does it here."""

from __future__ import annotations

import errno
import os
import secrets
import stat
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import BinaryIO

from plantpick.errors import ExitStatus, PlantpickError, Problem

_LONGEST_NAME = 200  # bytes of a file's name kept in the temporary one, which adds to it
_REASONS: dict[int, tuple[str, str]] = {  # errno: what is wrong, what to do
    errno.ENOENT: ("there is no such folder.", "Make the folder first, or name another."),
    errno.ENOTDIR: ("a part of the path is a file, not a folder.", "Name another place."),
    errno.EISDIR: ("is a folder.", "Give the name of a file in it."),
    errno.EACCES: ("this folder or file may not be written to.", "Name a place of your own."),
    errno.EPERM: ("this folder or file may not be written to.", "Name a place of your own."),
    errno.EROFS: ("this disk can only be read.", "Name a place on another disk."),
    errno.ENOSPC: ("the disk is full.", "Make room, or name a place on another disk."),
    errno.EDQUOT: ("your share of the disk is used up.", "Make room, or name a place on another disk."),
    errno.EFBIG: ("the file would be larger than is allowed here.", "Name a place on another disk."),
    errno.ENAMETOOLONG: ("the name is too long.", "Give a shorter one."),
    errno.ELOOP: ("the links lead in a circle.", "Name the file itself."),
}


def cannot_write(path, what: str, remedy: str = "") -> PlantpickError:
    """The one error of everything that could not be saved: code `cannot-write`, exit status 4."""
    return PlantpickError("cannot-write", Problem(str(path), what, remedy), ExitStatus.CANNOT_WRITE)


def save(path: str | Path, content: str | bytes, *, replace: bool = False) -> Path:
    """Write text (as UTF-8) or bytes to `path`; whoever looks sees all of it or what was there before.

    Written to a temporary file in the same folder, forced to the disk, and put in place in one step. A link is
    followed and what it names replaced. A device or a pipe (/dev/stdout) is written to as it is. Two that save at
    once leave one of the two whole. Raises PlantpickError `cannot-write` when the place is taken and `replace` is not
    set, is a folder, may not be written to, or the disk is full; nothing is left behind then.
    """
    data = content.encode("utf-8") if isinstance(content, str) else content
    target = Path(path)
    if not str(path) or "\0" in str(path):
        raise cannot_write(repr(str(path)), "is not the name of a file.", "Give it a name.")
    try:
        if _is_stream(target):
            target.write_bytes(data)
        else:
            target = Path(os.path.realpath(target))
            if not replace and target.exists():
                raise FileExistsError(errno.EEXIST, "exists")
            with _part(target, replace) as file:
                file.write(data)
    except FileExistsError:
        raise _taken(path) from None
    except BrokenPipeError:
        raise  # settled at the command line's one boundary
    except OSError as fault:
        raise _not_saved(path, fault) from None
    return Path(path)


@contextmanager
def replacing(path: str | Path) -> Iterator[BinaryIO]:
    """A file to write piece by piece, which takes the place of `path` when the block ends without a fault.

    For what is too long to be held in memory; otherwise as `save` with `replace`, but not for a device or a pipe.
    """
    try:
        with _part(Path(os.path.realpath(path)), True) as file:
            yield file
    except OSError as fault:
        raise _not_saved(path, fault) from None


def _not_saved(path, fault: OSError) -> PlantpickError:
    return cannot_write(
        path,
        *_REASONS.get(
            fault.errno, (f"could not be written: {fault.strerror or fault}.", "Name another place.")
        ),
    )


def refuse_taken(paths) -> None:
    """Raise PlantpickError `cannot-write` naming every path where something is already, before any is written."""
    taken = [p for path in paths if os.path.lexists(path) for p in _taken(path).problems]
    if taken:
        raise PlantpickError("cannot-write", taken, ExitStatus.CANNOT_WRITE)


def make_folder(path: str | Path) -> Path:
    """The folder, made if it is not there, with those above it. Raises PlantpickError `cannot-write`."""
    folder = Path(path)
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except FileExistsError:
        raise cannot_write(path, "is a file, not a folder.", "Name another folder.") from None
    except (OSError, ValueError) as fault:
        raise cannot_write(
            path,
            *_REASONS.get(
                getattr(fault, "errno", None), (f"could not be made: {fault}.", "Name another place.")
            ),
        ) from None
    return folder


def _taken(path) -> PlantpickError:
    if os.path.isdir(path):
        return cannot_write(path, *_REASONS[errno.EISDIR])
    return cannot_write(path, "is there already.", "Name another file, or add --force to replace it.")


def _is_stream(path: Path) -> bool:
    try:
        mode = path.stat().st_mode
    except OSError:
        return False
    return stat.S_ISCHR(mode) or stat.S_ISFIFO(mode) or stat.S_ISSOCK(mode)


@contextmanager
def _part(target: Path, replace: bool) -> Iterator[BinaryIO]:
    """The temporary file beside `target`, which takes its place when the block ends without a fault."""
    if target.is_dir():
        raise IsADirectoryError(errno.EISDIR, "is a folder")
    if replace and target.exists() and not os.access(target, os.W_OK):
        raise PermissionError(
            errno.EACCES, "may not be written to"
        )  # as if it were opened: read-only stays read-only
    short = os.fsdecode(os.fsencode(target.name)[:_LONGEST_NAME])
    part = target.with_name(f".{short}.{secrets.token_hex(4)}.part")
    try:
        handle = os.open(part, os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0), 0o666)
        with os.fdopen(handle, "wb") as file:
            yield file
            file.flush()
            os.fsync(file.fileno())
        if replace:
            if target.exists():
                os.chmod(part, stat.S_IMODE(target.stat().st_mode))
            os.replace(part, target)
        else:
            _put_new(part, target)
        _sync_folder(target.parent)
    finally:
        part.unlink(missing_ok=True)


def _put_new(part: Path, target: Path) -> None:
    """Give the finished file its name, unless someone else took it meanwhile."""
    try:
        os.link(part, target)
    except FileExistsError:
        raise
    except (OSError, NotImplementedError, AttributeError):  # a disk without links, as memory cards have
        if target.exists():
            raise FileExistsError(errno.EEXIST, "exists") from None
        os.replace(part, target)


def _sync_folder(folder: Path) -> None:
    """Force the new name to the disk where the system can."""
    try:
        handle = os.open(folder, os.O_RDONLY)
    except OSError:
        return
    try:
        os.fsync(handle)
    except OSError:
        pass
    finally:
        os.close(handle)
