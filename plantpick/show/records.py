"""Answers as JSON and CSV: what every record of an answer goes through on its way out."""

from __future__ import annotations

import csv
import io
import json
import math
from collections.abc import Iterable, Mapping, Sequence
from datetime import date

from plantpick.plain_text import escaped, plain

Record = dict[str, object]  # one row of an answer: column or key, and its value


def dumps(value: object) -> str:
    """JSON with two-space indents, in Unicode, without NaN; dates as YYYY-MM-DD."""
    return escaped(json.dumps(value, indent=2, ensure_ascii=False, allow_nan=False, default=_day))


def _day(value: object) -> str:
    """A date as JSON has it, YYYY-MM-DD."""
    if isinstance(value, date):
        return value.isoformat()
    raise TypeError(f"{type(value).__name__} has no place in an answer")


def to_csv(rows: Sequence[Mapping[str, object]], columns: Sequence[str] = ()) -> str:
    """Records as CSV text; cells that a spreadsheet would take for a formula are made harmless.

    `columns` heads a table even without rows; without them it is headed as the first record is.
    """
    text = io.StringIO()
    if rows or columns:
        writer = csv.DictWriter(text, columns or list(rows[0]), lineterminator="\n")
        writer.writeheader()
        writer.writerows({key: harmless(value) for key, value in row.items()} for row in rows)
    return text.getvalue()


def harmless(value):
    """A cell that begins like a formula (= + - @, tab, return) gets an apostrophe before it; numbers stay."""
    if not isinstance(value, str):
        return value
    value = plain(value)
    return f"'{value}" if value[:1] in ("=", "+", "-", "@", "\t") else value


def rounded(value: float | None, digits: int = 3) -> float | None:
    """A number with so many digits after the point; None for what is not known, not a number or without limit."""
    return None if value is None or not math.isfinite(value) else round(float(value), digits)


LEVELS = ("low", "typical", "high")


def levels(
    values: Iterable[float], *, names: Sequence[str] = LEVELS, unit: str = "", digits: int = 3
) -> Record:
    """The three figures of a range by their names, each with its unit behind it."""
    return {f"{name}{unit}": rounded(value, digits) for name, value in zip(names, values)}
