"""Writes a file so that there is always the old one or the new one, never half. Every command that writes does it here."""

from __future__ import annotations

import errno
import os
import re
import secrets
import stat
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import BinaryIO

from plantpick.errors import ExitStatus, PlantpickError, Problem
from plantpick.plain_text import one_line

try:
    import fcntl
except ImportError:  # Windows has other locks
    fcntl = None  # type: ignore[assignment]  # a module, or nothing

STALE_SECONDS = 3600.0  # age of a half-written file that nobody works on, where there are no locks to tell
PAGES = (".html", ".htm", ".xhtml")
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


def check_place(path: str | Path) -> None:
    """Whether the folder of a file to come is there and may be written to. Raises PlantpickError `cannot-write`."""
    folder = Path(path).absolute().parent
    try:
        os.lstat(path)
    except FileNotFoundError:
        pass
    except OSError as fault:
        raise _not_saved(path, fault) from None
    if not folder.is_dir():
        raise cannot_write(path, *_REASONS[errno.ENOTDIR if folder.exists() else errno.ENOENT])
    if not os.access(folder, os.W_OK):
        raise cannot_write(path, *_REASONS[errno.EACCES])


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
    check_place(path)  # "nowhere/../pond.toml" opens nothing, and yet its real path is a file
    try:
        with _part(Path(os.path.realpath(path)), True) as file:
            yield file
    except OSError as fault:
        raise _not_saved(path, fault) from None


def _not_saved(path, fault: OSError) -> PlantpickError:
    return cannot_write(
        path,
        *_REASONS.get(
            fault.errno or 0, (f"could not be written: {fault.strerror or fault}.", "Name another place.")
        ),
    )


def check_page(path: str | Path | None) -> None:
    """Raise PlantpickError `cannot-write` for a page whose name says that it is something else; a name without an ending and None
    pass."""
    kind = Path(path).suffix.lower() if path else ""
    if path and kind and kind not in PAGES and not _is_stream(Path(path)):
        raise cannot_write(
            path,
            f"the page is HTML, and {kind} says something else.",
            f"Name it {one_line(Path(path).stem)}.html; to get a PDF, open it in a browser and print it to one.",
        )


def check_outputs(outputs, inputs=(), *, replace: bool = False, folders_made: bool = False) -> None:
    """Raise PlantpickError `cannot-write` naming every output that must not be written, before any is.

    That is one that is also read (whatever `replace` says), one named twice, without `replace` one where something
    is already, and unless `folders_made` one in a folder that is not there or may not be written to. Names that are None do not
    count.
    """
    named = [path for path in outputs if path]
    problems = []
    for place, path in enumerate(named):
        if any(_same_file(path, other) for other in inputs if other):
            problems += cannot_write(
                path, "is read by this command.", "Give the output another name."
            ).problems
        elif any(_same_file(path, other) for other in named[:place]):
            problems += cannot_write(
                path, "is named for two outputs.", "Give each a name of its own."
            ).problems
        elif not replace and os.path.lexists(path) and not _is_stream(Path(path)):
            problems += _taken(path).problems
        elif not folders_made and not _is_stream(Path(path)):
            try:
                check_place(path)
            except PlantpickError as fault:
                problems += fault.problems
    if problems:
        raise PlantpickError("cannot-write", problems, ExitStatus.CANNOT_WRITE)


def _same_file(one, other) -> bool:
    """Whether two names lead to one file, there or yet to be made. A device such as /dev/null is no file."""
    try:
        if os.path.samefile(one, other):
            return not _is_stream(Path(one))
    except (OSError, ValueError):
        pass
    return os.path.normcase(os.path.realpath(one)) == os.path.normcase(
        os.path.realpath(other)
    ) and not _is_stream(Path(one))


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
                getattr(fault, "errno", None) or 0, (f"could not be made: {fault}.", "Name another place.")
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
    _sweep(target)
    part, file = _new_part(target)
    try:
        with file:
            yield file
            file.flush()
            os.fsync(file.fileno())
            if fcntl:  # while it is locked: unlocked, another run would take it for a stale one
                _put(part, target, replace)
        if not fcntl:
            _put(part, target, replace)
        _sync_folder(target.parent)
    finally:
        part.unlink(missing_ok=True)


def _part_name(target: Path, middle: str) -> str:
    short = os.fsdecode(os.fsencode(target.name)[:_LONGEST_NAME])
    return f".{short}.{middle}.part"


def _new_part(target: Path) -> tuple[Path, BinaryIO]:
    """A new file beside `target`, locked for as long as it is open: a lock ends with its process, however that ends."""
    while True:
        part = target.with_name(_part_name(target, secrets.token_hex(4)))
        file = os.fdopen(
            os.open(part, os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0), 0o666), "wb"
        )
        if _locked(file.fileno()) is not False and part.exists():
            return part, file
        file.close()  # another run swept it away in the instant before it was locked


def _locked(handle: int) -> bool | None:
    """Lock an open file for this process; False where another has it, None where this disk knows no locks."""
    if not fcntl:
        return None
    try:
        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        return True
    except BlockingIOError:
        return False
    except OSError:
        return None


def _sweep(target: Path) -> None:
    """Take away what a run that was killed left half written beside `target`. What another run is at work on stays."""
    pattern = re.compile(re.escape(_part_name(target, "\0")).replace("\0", "[0-9a-f]{8}"))
    for name in filter(pattern.fullmatch, os.listdir(target.parent)):
        part = target.with_name(name)
        try:
            handle = os.open(part, os.O_RDONLY | getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_NONBLOCK", 0))
            try:
                locked = _locked(handle)
                old = time.time() - os.fstat(handle).st_mtime > STALE_SECONDS
                if (
                    locked
                ):  # while it is ours: a run that has just made it looks for it again once it has the lock
                    part.unlink()
            finally:
                os.close(handle)
            if locked is None and old:
                part.unlink()
        except OSError:
            continue  # not ours to take away


def _put(part: Path, target: Path, replace: bool) -> None:
    """The finished file takes its place."""
    if replace:
        if target.exists():
            os.chmod(part, stat.S_IMODE(target.stat().st_mode))
        os.replace(part, target)
    else:
        _put_new(part, target)


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
