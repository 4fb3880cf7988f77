"""Dates as people write them. One column is read together, as one row may settle how the others are meant."""

from __future__ import annotations

import re
from datetime import date, datetime

_WRITTEN = ("%B %d %Y", "%b %d %Y", "%d %B %Y", "%d %b %Y", "%B %d %y", "%b %d %y", "%d %B %y", "%d %b %y")
_NUMBERS = re.compile(r"(\d{1,2})\s*[/.\-]\s*(\d{1,2})\s*[/.\-]\s*(\d{2}|\d{4})")
_ISO = re.compile(r"(\d{4})\s*[/.\-]\s*(\d{1,2})\s*[/.\-]\s*(\d{1,2})(?:[T ]\d{2}:\d{2}(?::\d{2})?)?")
EARLIEST = date(1980, 1, 1)
LATEST = date(2199, 12, 31)
MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")


def read_dates(
    cells: list[str], today: date | None = None
) -> tuple[list[date | None], list[tuple[int, str, str]]]:
    """The dates of a column, and what is wrong: (position, what, remedy), with None in place of a date.

    ISO (2027-06-07), month names (June 7, 2027) and numbers with the year last. Numbers are read as month/day
    or day/month if every one that can be only one of the two says the same; otherwise those that could be
    either are refused. Dates after `today` are refused.
    """
    found: list[date | None] = [None] * len(cells)
    wrong: list[tuple[int, str, str]] = []
    pairs: dict[int, tuple[int, int, int]] = {}
    for place, cell in enumerate(cells):
        text = " ".join(cell.replace(",", " ").split())
        if not text:
            wrong.append((place, "is empty.", "Every row needs its date, as in 2027-06-30."))
        elif numbers := _NUMBERS.fullmatch(text):
            first, second, year = (int(g) for g in numbers.groups())
            pairs[place] = first, second, year + 2000 if year < 100 else year
        else:
            found[place] = _plain(text)
            if found[place] is None:
                wrong.append((place, f'"{cell}" is not a date.', "Write it as 2027-06-30 or June 30, 2027."))
    _settle(cells, pairs, found, wrong)
    for place, day in enumerate(found):
        if day is not None and today is not None and day > today:
            wrong.append((place, f"{day} is after today ({today}).", "Correct the date."))
        elif day is not None and day < EARLIEST:
            wrong.append((place, f"{day} is too long ago.", "Correct the year."))
    return found, sorted(wrong)


def _plain(text: str) -> date | None:
    if iso := _ISO.fullmatch(text):
        try:
            return date(*(int(g) for g in iso.groups()))
        except ValueError:
            return None
    words = re.sub(
        r"(\d)(st|nd|rd|th)\b", r"\1", text.replace(".", " ").replace("-", " "), flags=re.IGNORECASE
    )
    words = re.sub(r"\bsept\b", "Sep", " ".join(words.split()), flags=re.IGNORECASE)
    for form in _WRITTEN:
        try:
            return datetime.strptime(words, form).date()
        except ValueError:
            continue
    return None


def _settle(cells, pairs, found, wrong) -> None:
    month_first = [p for p, (a, b, _) in pairs.items() if b > 12 >= a]
    day_first = [p for p, (a, b, _) in pairs.items() if a > 12 >= b]
    for place, (first, second, year) in pairs.items():
        either = first <= 12 and second <= 12 and first != second
        if either and not (bool(month_first) ^ bool(day_first)):
            wrong.append(
                (
                    place,
                    f'"{cells[place]}" may be month/day or day/month, and '
                    + ("the other rows disagree." if month_first else "no other row settles it."),
                    "Write dates as 2027-06-30.",
                )
            )
            continue
        month, day = (second, first) if place in day_first or (either and day_first) else (first, second)
        try:
            found[place] = date(year, month, day)
        except ValueError:
            wrong.append(
                (place, f'"{cells[place]}" is not a day of the calendar.', "Write it as 2027-06-30.")
            )
