"""The output table of a run over many ponds: a CSV that grows by whole ponds and is replaced in one step."""

from __future__ import annotations

import csv
import io
import os
import shutil
import time
from pathlib import Path

from plantpick.errors import ExitStatus, PlantpickError
from plantpick.files.open_file import NotRead, open_regular
from plantpick.files.save import cannot_write, replacing
from plantpick.show.records import harmless, to_csv

SPARING = 20.0  # seconds of work for one second of writing: writing takes a twentieth of the time at most
LEAST_SECONDS = 1.0


class OutTable:
    """Use as a context: on leaving it, however that comes about, the rows added are in the file.

    The last column is a pond's fingerprint, the first its name. Raises PlantpickError `cannot-write` when the file is not such
    a table, or cannot be written.
    """

    def __init__(self, path: Path, header: tuple[str, ...]):
        self.path, self.header = path, header
        self.there: dict[str, str] = {}  # pond as its cell has it, fingerprint
        self.waiting: list[str] = []
        self.leave_out: set[str] = set()
        self.cost = 0.0
        self.stamp = self._read()
        self.coming: tuple | None = None  # the stamp of the file that is about to be put in place
        self.last = time.monotonic()

    def __enter__(self) -> OutTable:
        # say what cannot be written before an hour's work
        if not os.path.exists(self.path):
            self._replace()
        elif not os.access(self.path.parent, os.W_OK):
            raise cannot_write(self.path, "its folder may not be written to.", "Name a place of your own.")
        self.last = time.monotonic()
        return self

    def __exit__(self, kind, fault, trace) -> None:
        if self.waiting and not (
            isinstance(fault, PlantpickError) and fault.status is ExitStatus.CANNOT_WRITE
        ):
            self.save()

    def fingerprint_of(self, pond: str) -> str | None:
        """The fingerprint of a pond's rows in the file, None where there are none."""
        return self.there.get(harmless(pond))

    def without(self, ponds: set[str]) -> None:
        """Leave the rows of these ponds out when their new ones are written."""
        self.leave_out = {cell for cell in map(harmless, ponds) if cell in self.there}

    def add(self, rows: list[dict]) -> None:
        """The rows of one pond. They are in the file when writing is due."""
        empty = dict.fromkeys(self.header, "")
        self.waiting.append(to_csv([{**empty, **row} for row in rows]).partition("\n")[2])
        if time.monotonic() - self.last >= max(LEAST_SECONDS, SPARING * self.cost):
            self.save()

    def save(self) -> None:
        """Put the file with the rows that were added in the place of the old one."""
        there = self._stamp()
        if there is not None and there == self.coming:  # an interrupt came just when it had been put in place
            return self._settled()
        if self.stamp != there:
            raise cannot_write(
                self.path,
                "another run has written this file meanwhile; it is left as that run wrote it.",
                "Give each run a table of its own, or run the same command again: it goes on from what is there.",
            )
        start = time.monotonic()
        self._replace()
        self.last = time.monotonic()
        self.cost = self.last - start

    def _replace(self) -> None:
        with replacing(self.path) as raw:
            file = io.TextIOWrapper(raw, encoding="utf-8", newline="")
            self._copy(file)
            file.writelines(self.waiting)
            file.detach().flush()  # the file itself is closed where it was opened
            os.fsync(raw.fileno())
            self.coming = _stamp(os.fstat(raw.fileno()))
        self._settled()

    def _settled(self) -> None:
        """What was added is in the file, which is ours. An interrupt between the steps does no harm: they are taken again."""
        self.stamp = self.coming
        self.leave_out = set()
        self.waiting.clear()
        self.coming = None

    def _copy(self, file) -> None:
        """The heading row and the rows that are in the old file, less those to be left out."""
        if self.stamp is None:
            file.write(",".join(self.header) + "\n")
            return
        with _text(self.path) as old:
            if self.leave_out:
                csv.writer(file, lineterminator="\n").writerows(
                    row for row in csv.reader(old) if row[0] not in self.leave_out
                )
            else:
                shutil.copyfileobj(old, file, 1 << 20)

    def _read(self) -> tuple | None:
        """Check the file, note what it holds, and give its stamp; None where there is none."""
        try:
            stamp = self._stamp()
            with _text(self.path) as file:
                rows = csv.reader(file, strict=True)
                if tuple(next(rows, ())) != self.header:
                    raise ValueError("its columns are others")
                for row in rows:
                    if len(row) != len(self.header):
                        raise ValueError(f"row {rows.line_num} is not whole")
                    self.there[row[0]] = row[-1]
            return stamp
        except NotRead as fault:
            if fault.missing:
                return None
            raise cannot_write(self.path, fault.what, "Name another file.") from None
        except (ValueError, csv.Error) as fault:  # UnicodeDecodeError is a ValueError
            said = "it is not UTF-8 text" if isinstance(fault, UnicodeDecodeError) else str(fault)
            raise cannot_write(
                self.path,
                f"is not a table that this command wrote: {said}. It was left alone.",
                "Name another file, or take this one away.",
            ) from None
        except OSError as fault:
            raise cannot_write(
                self.path, f"cannot be read ({fault.strerror}).", "Name another file."
            ) from None

    def _stamp(self) -> tuple | None:
        try:
            return _stamp(os.stat(self.path))
        except FileNotFoundError:
            return None


def _text(path: Path) -> io.TextIOWrapper:
    return io.TextIOWrapper(open_regular(path), encoding="utf-8", newline="")


def _stamp(told: os.stat_result) -> tuple:
    return told.st_ino, told.st_size, told.st_mtime_ns
