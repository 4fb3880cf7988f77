"""The owner's year for a terminal, as JSON or as CSV."""

from __future__ import annotations

from datetime import date

from rich.console import Console

from plantpick.monitoring.calendar import Month, Task, TaskKind
from plantpick.pond.growing_season import Frosts
from plantpick.pond.model import Pond
from plantpick.show.records import dumps, to_csv
from plantpick.show.terminal import bullets, heading, paragraph, pond_name, title


def show_calendar(out: Console, pond: Pond, months: tuple[Month, ...], today: date, logged: bool) -> None:
    """One section a month."""
    title(out, f"{pond_name(pond)}, as of {today}")
    paragraph(out, frost_words(pond, pond.growing_season.frosts(today.year)))
    if not logged:
        paragraph(out, "Name your log to see the tasks for what you planted.")
    for month in months:
        heading(out, month.name)
        bullets(
            out,
            [task_words(month, task) for task in month.tasks] or ["nothing urgent"],
        )
    heading(out, "Take care")
    paragraph(
        out,
        "Cold or deep water, and steep banks: not alone, and with a life jacket. Weed killers only by the label "
        "and within state law. Never move plants, water or mud to another water.",
        2,
    )


def frost_words(pond: Pond, season: Frosts) -> str:
    """Between which days the year hangs."""
    if pond.frost_free:
        return "It never freezes here: we count the year from March 1 to December 15."
    told = ", estimated from the hardiness zone" if pond.growing_season.estimated else ""
    first, last = season.last_frost, season.first_frost
    return f"Mean frosts: {first:%B} {first.day} and {last:%B} {last.day}{told}."


def task_words(month: Month, task: Task) -> str:
    """One task in its month, with the days where it begins or ends there."""
    return f"{task.kind}{_days(month, task)}: {task.text}"


def _days(month: Month, task: Task) -> str:
    """From or until which day, where the task begins or ends within the month."""
    begins, ends = ((d.year, d.month) == (month.year, month.month) for d in (task.start, task.end))
    if task.kind is TaskKind.ACT:
        return ""
    words = [f"from the {_nth(task.start.day)}"] if begins and task.start.day > 1 else []
    return (
        " (" + " ".join([*words, f"until the {_nth(task.end.day)}"] if ends else words) + ")"
        if words or ends
        else ""
    )


def _nth(day: int) -> str:
    return f"{day}{'th' if 10 < day < 14 else {1: 'st', 2: 'nd', 3: 'rd'}.get(day % 10, 'th')}"


def calendar_text(months: tuple[Month, ...], form: str) -> str:
    """All tasks as JSON or CSV, one row for each month that a task falls in."""
    rows = [
        {
            "month": f"{m.year}-{m.month:02d}",
            "kind": t.kind,
            "text": t.text,
            "from": t.start,
            "to": t.end,
            "plant_id": t.plant_id or None,
        }
        for m in months
        for t in m.tasks
    ]
    return to_csv(rows) if form == "csv" else dumps({"tasks": rows})
