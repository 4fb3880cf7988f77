"""The year card: what to do in each month of the first two years of one planting, from the calendar that watch uses.

A task stands in the month in which it begins, with its last day; in the months after it stands as going on. The rest is this
planting's own: when to count what lives and how many to expect, the first measurement, and when the cages come off.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, timedelta

from plantpick.catalogue.plants import Catalogue
from plantpick.monitoring.calendar import KINDS, Month, Task, TaskKind, first_years
from plantpick.monitoring.log import Event, Log, LogRow
from plantpick.monitoring.windows import MEASURE, TRIM
from plantpick.planting.billing import fence_ft
from plantpick.planting.guards import IN_WATER
from plantpick.planting.instructions import Sheet
from plantpick.planting.model import Plan
from plantpick.pond.model import stretch_words
from plantpick.ranking.containment import MEASURE_WORDS
from plantpick.ranking.grows_there import First, GrowsThere
from plantpick.vocabulary import WOODY

MONTHS = 24
ONCE = (TaskKind.ORDER, TaskKind.PLANT, TaskKind.STOP_PLANTING)  # of the year of planting alone
TOGETHER = (TaskKind.CHECK_CAGES, TaskKind.DEADHEAD)  # one task for all plants with the same days

# What holds a plant and is no cut: what to do when you set it. Common practice, no source.
SET_WITH = {
    "tub": f"set every plant in {MEASURE_WORDS['tub']}, none in the open bottom",
    "barrier": "dig the barrier in before you plant, its rim above the ground",
}


@dataclass(frozen=True, kw_only=True)
class CardMonth:
    """One month of the card: the tasks that begin in it (in its first month those that run already), and the kinds that go on."""

    month: Month
    begins: tuple[Task, ...]
    goes_on: tuple[TaskKind, ...]


def planted_log(plan: Plan, sheets: tuple[Sheet, ...], begin: date) -> Log:
    """The log as it will be once everything is set: a row a plant and stretch, on the first day of its window from `begin` on."""
    first: dict[tuple[str, str], date] = {}
    for sheet in sheets:
        stand, day = (sheet.group.plant_id, sheet.group.stretch), max(sheet.window[0], begin)
        first[stand] = min(first.get(stand, day), day)
    rows = [
        LogRow(row=n, day=day, event=Event.PLANTED, plant_id=plant_id, stretch=stretch)
        for n, ((plant_id, stretch), day) in enumerate(sorted(first.items(), key=lambda s: s[1]), 1)
    ]
    rows += [
        LogRow(row=len(rows) + 1 + n, day=begin, plant_id=kind.plant_id, stretch=stretch)
        for n, (kind, stretch) in enumerate((kind, s) for kind in _trimmed(plan) for s in kind.stretches)
    ]
    return Log(tuple(rows))


def _trimmed(plan: Plan) -> list[GrowsThere]:
    """What grows there already and is cut back every year."""
    return [k for k in plan.ranking.grows_there if k.first in (First.CUT_BACK, First.HOLD)]


def year_card(
    plan: Plan, catalogue: Catalogue, sheets: tuple[Sheet, ...], year: int, made: date
) -> tuple[CardMonth, ...]:
    """The months of two years, from January of the year of planting, or from the month of `made` in that year; sooner where trees and
    shrubs are set before it."""
    begin = made if made.year == year else min([date(year, 1, 1), *(s.window[0] for s in sheets)])
    before = max(0, 12 * (year - begin.year) + 1 - begin.month)
    log = planted_log(plan, sheets, begin)
    standing = {(kind.plant_id, stretch) for kind in _trimmed(plan) for stretch in kind.stretches}
    months = first_years(plan.pond, catalogue, log, begin, MONTHS + before, _measures(plan), standing)
    tasks = [
        *_fencing(plan, sheets, begin),
        *_planting(plan, catalogue, sheets),
        *_own(plan, sheets, year, begin),
        *_set_with(plan, sheets, begin),
        *_there_already(plan, year, begin),
    ]
    new_year, season_ends = date(year, 1, 1), plan.pond.growing_season.frosts(year).first_frost
    card: list[CardMonth] = []
    told: set[tuple[TaskKind, date]] = set()
    for month in months:
        at = (month.year, month.month)
        own = [t for t in tasks if (t.start.year, t.start.month) == at]
        here = [
            t
            for t in month.tasks
            if t.kind is not TaskKind.PLANT
            and (t.kind not in ONCE or t.start <= season_ends and t.end >= new_year)
        ]
        begins = [t for t in here if (t.kind, t.start) not in told]
        told |= {(t.kind, t.start) for t in begins}
        now = {t.kind for t in begins}
        setting = [
            t.kind
            for t in tasks
            if t.kind is TaskKind.PLANT and (t.start.year, t.start.month) < at <= (t.end.year, t.end.month)
        ]
        goes_on: list[TaskKind] = [*setting, *(t.kind for t in here if t.kind not in now)]
        card.append(
            CardMonth(
                month=month,
                begins=_in_order([*_together(_measured(begins, own), catalogue), *own]),
                goes_on=tuple(dict.fromkeys(goes_on)),
            )
        )
    return tuple(card)


def _fencing(plan: Plan, sheets: tuple[Sheet, ...], begin: date) -> list[Task]:
    """The fence, before the first plant goes in; none where no stock comes to the water."""
    if not fence_ft(plan):
        return []
    text = "fence the stock out before you set a plant, and give it its water elsewhere"
    end = min((s.window[0] for s in sheets if s.window[0] > begin), default=begin + timedelta(days=30))
    return [Task(kind=TaskKind.FENCE, text=text, start=begin, end=end)]


def _planting(plan: Plan, catalogue: Catalogue, sheets: tuple[Sheet, ...]) -> list[Task]:
    """Setting the groups, each kind in its own days: trees and shrubs by name and number, the others by how many they are."""
    found: dict[tuple[date, date], list[Sheet]] = {}
    for sheet in sheets:
        found.setdefault(sheet.window, []).append(sheet)
    tasks = []
    for window, same in found.items():
        forms = {catalogue.plant(s.group.plant_id).growth_form for s in same}
        number = sum(s.group.number for s in same)
        groups = f"{number} group{'' if number == 1 else 's'}"
        if forms <= set(WOODY):
            named = ", ".join(f"{s.common_name} {s.group.label}" for s in same)
            text = f"trees and shrubs while they are dormant. Order them first: {named}"
        elif forms <= set(IN_WATER):
            text = f"what lives under water or floats, once the water is warm: {groups}"
        else:
            text = f"bank and edge plants, after the last frost: {groups}"
        tasks.append(Task(kind=TaskKind.PLANT, text=text, start=window[0], end=window[1]))
    return tasks


def _measures(plan: Plan) -> dict[str, tuple[str, ...]]:
    """By plant_id the measures that hold each plant."""
    chosen = {c.ranked.plant_id: c.measures for c in plan.chosen}
    return chosen | {kind.plant_id: ("trim",) for kind in _trimmed(plan)}


def _set_with(plan: Plan, sheets: tuple[Sheet, ...], begin: date) -> list[Task]:
    """What goes into tubs or behind a barrier when it is set."""
    tasks = []
    for measure, text in SET_WITH.items():
        names: dict[tuple[date, date], list[str]] = {}
        for c in plan.chosen:
            windows = [s.window for s in sheets if s.group.plant_id == c.ranked.plant_id]
            if measure in c.measures and windows:
                names.setdefault(windows[0], []).append(c.ranked.common_name)
        for window, held in names.items():
            tasks.append(
                Task(
                    kind=TaskKind.HOLD,
                    text=f"{', '.join(held)}: {text}",
                    start=max(window[0], begin),
                    end=max(window[1], begin),
                )
            )
    return tasks


def _there_already(plan: Plan, year: int, begin: date) -> list[Task]:
    """Cutting back, in both years, what grows there already and would pass your limit."""
    tasks = []
    for kind in plan.ranking.grows_there:
        if kind.first not in (First.HOLD, First.CUT_BACK):
            continue
        to = "the size it has now" if kind.first is First.HOLD else "your limit, then hold it there"
        for season in (plan.pond.growing_season.frosts(year), plan.pond.growing_season.frosts(year + 1)):
            start, end = season.window(TRIM[0])
            if end >= begin:
                tasks.append(
                    Task(
                        kind=TaskKind.TRIM,
                        text=f"{kind.common_name} on {stretch_words(*kind.stretches)}, which grows there already: cut its edge back to {to}",
                        start=max(start, begin),
                        end=end,
                    )
                )
    return tasks


def _own(plan: Plan, sheets: tuple[Sheet, ...], year: int, begin: date) -> list[Task]:
    """Counting what lives a year on, and the first measurement."""
    season = plan.pond.growing_season
    low, typical, high = (sum(c.living[i] for c in plan.chosen) for i in range(3))
    count = season.frosts(year + 1).window(MEASURE[0])
    tasks = [
        Task(
            kind=TaskKind.COUNT,
            text=f"count the living plants, group by group. Of {plan.plants:,} set expect about {typical:,.0f} ({low:,.0f} to {high:,.0f}). "
            "Replace a group in which none lives",
            start=count[0],
            end=count[1],
        )
    ]
    first = season.frosts(year).window(MEASURE[0])
    when = first if first[1] >= begin else count
    tasks.append(
        Task(
            kind=TaskKind.MEASURE,
            text="the first measurement: length along the shore and width of each group, and how far its outer edge is from the bank. "
            "Later ones are held against it",
            start=max(when[0], begin),
            end=when[1],
        )
    )
    return tasks


def _measured(tasks: list[Task], own: list[Task]) -> list[Task]:
    """The same with the walks that measure said once, for all groups: the sheets name them."""
    said = {t.start for t in own if t.kind is TaskKind.MEASURE}
    return [
        replace(t, text="take tape, sheets and log, and measure every group")
        if t.kind is TaskKind.MEASURE
        else t
        for t in tasks
        if t.kind is not TaskKind.MEASURE or t.start not in said
    ]


def _together(tasks: list[Task], catalogue: Catalogue) -> list[Task]:
    """Tasks of one kind and the same days for several plants, as one."""
    found: dict[tuple, list[Task]] = {}
    for task in tasks:
        key = (task.kind, task.start, task.end) if task.kind in TOGETHER and task.plant_id else (id(task),)
        found.setdefault(key, []).append(task)
    joined = []
    for same in found.values():
        if len(same) == 1:
            joined += same
            continue
        names = sorted({catalogue.plant(t.plant_id).common_name for t in same})
        what = (
            "mend the cages, see that nothing inside eats the plants, look for new growth"
            if same[0].kind is TaskKind.CHECK_CAGES
            else "cut the seed heads before they ripen, and bag them"
        )
        joined.append(replace(same[0], text=f"{', '.join(names)}: {what}", plant_id=""))
    return joined


def _in_order(tasks: list[Task]) -> tuple[Task, ...]:
    return tuple(sorted(tasks, key=lambda t: (t.start, KINDS.index(t.kind), t.text)))
