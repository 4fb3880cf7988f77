"""Reads the owner's log (CSV). It is never written to. Every mistake is reported at once: file:row:column."""

from __future__ import annotations

import os
import re
from collections.abc import Callable
from datetime import date
from pathlib import Path

from plantpick.catalogue.plants import Catalogue
from plantpick.dates import read_dates
from plantpick.errors import PlantpickError, Problem, did_you_mean
from plantpick.files.csv_table import CsvTable, Format, NoTable, decoded, parse_csv
from plantpick.files.data_folder import data_folder
from plantpick.files.log_cells import BARE, COLUMNS, Unreadable, cell_number, column
from plantpick.files.open_file import NotRead, read_bytes
from plantpick.monitoring.log import EVENTS, Event, Log, LogRow, only_native, order_faults, row_faults
from plantpick.pond.model import Pond

DEMO_DAY = date(2027, 9, 15)  # the day for which the invented log was written
FORMAT = Format(
    kind="a log",
    heading="date,plant,stretch,length_ft,...",
    most_bytes=5_000_000,
    most_rows=500_000,
    most_columns=200,
    shorten="Name the CSV file of the log.",
)
EVENT_WORDS = {
    Event.MEASURED: ("measured", "measure", "measurement", "reading", "read", "seen", "found", ""),
    Event.PLANTED: ("planted", "plant", "planting", "set", "set out"),
    Event.TRIMMED: ("trimmed", "trim", "cut", "cut back", "thinned"),
    Event.TAKEN_OUT: ("taken out", "removed", "pulled", "gone", "dug out", "take out", "died"),
}


def log_path(name: str | Path) -> Path:
    """The file that a command line names: a path, or `demo` for the log that comes with the demo pond."""
    path = Path(name)
    return data_folder() / "demo" / "log.csv" if str(name) == "demo" and not os.path.exists(path) else path


def day_to_judge_by(name: str | Path | None, today: date) -> date:
    """Today; for the demo pond's log the day that it was written for."""
    return DEMO_DAY if name is not None and log_path(name) == log_path("demo") else today


def pond_log(name: str | Path, pond: Pond, catalogue: Catalogue, today: date) -> Log:
    """The log that a command line names for a pond, plants found by the catalogue's names. Raises as `read_log`."""
    settle = lambda name: only_native(catalogue, name, pond.state)
    return read_log(log_path(name), pond, catalogue.find, today, settle)


def read_log(
    name: str | Path,
    pond: Pond,
    find: Callable[[str], str],
    today: date | None = None,
    settle: Callable[[str], str | None] = lambda name: None,
) -> Log:
    """Read one log. `find` turns a plant's name into its plant_id or raises PlantpickError (Catalogue.find
    does).

    `settle` gives the plant that a name with several meanings stands for where the owner planted it, or None.

    Raises PlantpickError `log` with every mistake in it.
    """
    path = Path(name)
    try:
        text = decoded(read_bytes(path, FORMAT.most_bytes, FORMAT.kind), path.name)
    except NotRead as fault:
        there = [p.name for p in path.parent.glob("*.csv")] if os.path.isdir(path.parent) else []
        hint = did_you_mean(path.name, there) if fault.missing else ""
        raise PlantpickError("log", fault.problem(path, hint, "Name the CSV file.")) from None
    except NoTable as fault:
        raise PlantpickError("log", fault.problem) from None
    return parse_log(text, pond, find, today, path.name, settle)


def parse_log(
    text: str,
    pond: Pond,
    find: Callable[[str], str],
    today: date | None = None,
    where: str = "log",
    settle: Callable[[str], str | None] = lambda name: None,
) -> Log:
    """The log that a CSV text holds; `where` names it in error messages. Lines that start with # are
    remarks."""
    try:
        table = parse_csv(text, FORMAT, where)
    except NoTable as fault:
        raise PlantpickError("log", fault.problem) from None
    return _Reader(where, pond, find, settle).log(table, today)


class _Reader:
    """Goes through the rows once and keeps everything that is wrong."""

    def __init__(
        self, where: str, pond: Pond, find: Callable[[str], str], settle: Callable[[str], str | None]
    ):
        self.where, self.pond, self.find, self.settle = where, pond, find, settle
        self.problems: list[Problem] = []
        self.assumed: dict[str, None] = {}
        self.names: dict[str, str | None] = {}
        self.unread: dict[str, tuple[PlantpickError, list[int]]] = {}
        self.planted: set[str] = set()
        self.head_row = 1

    def wrong(self, row: int, column: str, what: str, remedy: str = "") -> None:
        self.problems.append(Problem(f"{self.where}:{row}:{column}", what, remedy))

    def log(self, table: CsvTable, today: date | None) -> Log:
        self.head_row = table.head_line
        heads = self._heads(table.headings)
        body = [(line, dict(zip(heads, row))) for line, row in zip(table.lines, table.rows)]
        if "date" not in {h[0] for h in heads.values() if h}:
            self.problems.append(
                Problem(f"{self.where}:{self.head_row}", "there is no date column.", "Add one headed date.")
            )
        self.problems += table.too_long()
        by_word = {h[0]: (title, h[1]) for title, h in heads.items() if h}
        title = by_word.get("date", ("date", None))[0]
        days, bad = read_dates([cells.get(title, "").strip() for _, cells in body], today)
        for place, *_ in bad:
            days[place] = None  # a date that is wrong says nothing of the order
        if "date" in by_word:
            for place, what, remedy in bad:
                self.wrong(body[place][0], title, what, remedy)
        self.planted = self._planted_names(body, by_word)
        every = [self._entry(number, cells, by_word, day) for (number, cells), day in zip(body, days)]
        entries = [entry for entry in every if entry is not None]
        for fault, numbers in self.unread.values():
            also = (
                f" (also in row{'s' if len(numbers) > 2 else ''} {', '.join(map(str, numbers[1:]))})"
                if numbers[1:]
                else ""
            )
            for problem in fault.problems:
                self.wrong(numbers[0], by_word["plant"][0], f"{problem.what}{also}", problem.remedy)
        for row, what, remedy in order_faults(entries):
            self.wrong(row, "date", what, remedy)
        if self.problems:
            raise PlantpickError("log", sorted(self.problems, key=self._line))
        return Log(tuple(sorted(entries, key=lambda e: (e.day, e.row))), tuple(self.assumed))

    @staticmethod
    def _planted_names(body, by_word: dict) -> set[str]:
        """Names that stand in a row of planting, lower case."""
        if "plant" not in by_word or "event" not in by_word:
            return set()
        plant, event = by_word["plant"][0], by_word["event"][0]
        return {
            " ".join((cells.get(plant) or "").lower().split())
            for _, cells in body
            if " ".join((cells.get(event) or "").lower().split()) in EVENT_WORDS[Event.PLANTED]
        }

    @staticmethod
    def _line(problem: Problem) -> int:
        parts = problem.where.split(":")
        return int(parts[-2]) if len(parts) > 2 and parts[-2].isdigit() else 1

    def _heads(self, row: list[str]) -> dict[str, tuple[str, float | None] | None]:
        """Every column's title to its word and the factor of the unit in the title; None for one not
        known."""
        heads: dict[str, tuple[str, float | None] | None] = {}
        known = f"Known: {', '.join(COLUMNS)}, with the unit after it, as in length_ft."
        for position, title in enumerate(row, 1):
            title = title.strip()
            found = column(title) if title else None
            if title in heads or (found and found[0] in {h[0] for h in heads.values() if h}):
                self.wrong(self.head_row, title, "this column is there twice.", "Keep one of them.")
            elif title and found is None:
                hint = did_you_mean(re.sub(r"[_(].*", "", title), COLUMNS)
                self.wrong(self.head_row, title, "no such column is known.", f"{hint} {known}".strip())
                known = ""  # once is enough
            heads[title or f"column {position}"] = found
        return heads

    def _entry(self, row: int, cells: dict, by_word: dict, day: date | None) -> LogRow | None:
        before = len(self.problems)
        values = {}
        for word, (title, factor) in by_word.items():
            kind = COLUMNS[word][1]
            cell = (cells.get(title) or "").strip()
            if cell and kind not in ("date", "text", "note"):
                values[word] = self._number(row, title, cell, kind, factor)
        text = {word: (cells.get(title) or "").strip() for word, (title, _) in by_word.items()}
        title = {word: title for word, (title, _) in by_word.items()}
        event = self._event(row, title.get("event", "event"), text.get("event", ""))
        name = text.get("plant", "")
        plant_id = self._plant(row, name) if name else None
        stretch = (
            self._stretch(row, title.get("stretch", "stretch"), text.get("stretch", "")) if name else None
        )
        entry = LogRow(
            row=row,
            day=day or date.min,
            event=event,
            plant_id=plant_id,
            stretch=stretch,
            length_ft=values.get("length"),
            width_ft=values.get("width"),
            area_ft2=values.get("area"),
            out_ft=values.get("out"),
            share_percent=values.get("share"),
            drop_ft=values.get("drop"),
            clarity_in=values.get("secchi"),
            groups=values.get("groups"),
            number=values.get("number"),
            patches=values.get("patches"),
            note=text.get("note", ""),
        )
        if len(self.problems) == before and (plant_id or not name):
            for word, what, remedy in row_faults(entry, self.pond, bool(name)):
                self.wrong(row, title.get(word, word), what, remedy)
        known = day is not None and (plant_id is not None and stretch is not None or not name)
        return entry if known else None  # one with another fault still shows whether the rows are in order

    def _number(self, row: int, title: str, cell: str, kind: str, factor: float | None) -> float | None:
        try:
            value, assumed = cell_number(cell, kind, factor)
        except Unreadable as fault:
            self.wrong(row, title, fault.what, fault.remedy)
            return None
        if assumed:
            self.assumed[f'"{title}" has no unit: {BARE[kind]} were assumed.'] = None
        return value

    def _event(self, row: int, title: str, cell: str) -> Event:
        for event, words in EVENT_WORDS.items():
            if " ".join(cell.lower().split()) in words:
                return event
        self.wrong(
            row,
            title,
            f'"{cell}" is no event that is known.',
            f"{did_you_mean(cell, EVENTS)} Allowed: {', '.join(EVENTS)}.".strip(),
        )
        return Event.MEASURED

    def _plant(self, row: int, name: str) -> str | None:
        """The plant that a name stands for; one that cannot be read is kept with its rows and told once."""
        key = " ".join(name.lower().split())
        if key not in self.names:
            try:
                self.names[key] = self.find(name)
            except PlantpickError as fault:
                self.names[key] = (
                    self.settle(name) if fault.code == "several-plants" and key in self.planted else None
                )
                if self.names[key] is None:
                    self.unread[key] = fault, []
                else:
                    self.assumed[
                        f'"{name}" has several meanings: {self.names[key]} was taken, which is native here.'
                    ] = None
        if self.names[key] is None:
            self.unread[key][1].append(row)
        return self.names[key]

    def _stretch(self, row: int, title: str, cell: str) -> str | None:
        names = [s.name for s in self.pond.shore]
        if not cell and len(self.pond.stretches) == 1:
            return names[0]
        for name in names:
            if " ".join(cell.lower().split()) == name.lower():
                return name
        self.wrong(
            row,
            title,
            f'the pond has no stretch called "{cell}".' if cell else "the row names no stretch.",
            f"{did_you_mean(cell, names) if cell else ''} Stretches: {', '.join(names)}.".strip(),
        )
        return None
