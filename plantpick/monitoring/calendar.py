"""Your year: what to do this month for your pond and for what stands in it.

The windows of windows.py follow the mean frosts. Planting from spring on is the advice of USDA NRCS Illinois (Native
Plant Guide, 1997, revised 2004). That emergents set in winter rarely live is common practice.
"""

from __future__ import annotations

from calendar import month_name, monthrange
from collections.abc import Container, Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date, timedelta
from enum import StrEnum

from plantpick.catalogue.plants import Catalogue
from plantpick.monitoring.log import Event, Log, LogRow
from plantpick.monitoring.stand import Action, Stand
from plantpick.monitoring.windows import (
    CAGE_SEASONS,
    DEADHEAD,
    HOT,
    MEASURE,
    ORDER_DAYS,
    READ,
    ROOTING_DAYS,
    TRIM,
    VOLUNTEERS,
    WARM_WATER_DAYS,
)
from plantpick.pond.growing_season import Frosts
from plantpick.pond.model import Pond, stretch_words


class TaskKind(StrEnum):
    """What a task is about, the most pressing first."""

    ACT = "act"
    FENCE = "fence"
    PLANT = "plant"
    STOP_PLANTING = "stop planting"
    CHECK_CAGES = "check cages"
    CAGES_OFF = "take the cages off"
    COUNT = "count"
    MEASURE = "measure"
    READ = "read light and level"
    TRIM = "trim"
    STOP_TRIMMING = "stop trimming"
    DEADHEAD = "deadhead"
    HOLD = "hold in place"
    VOLUNTEERS = "look for volunteers"
    OXYGEN = "oxygen"
    WALK_DAM = "walk the dam"
    ORDER = "order"


KINDS = tuple(TaskKind)

# Looking after what holds a plant and is no cut, from a year on. Common practice, no source.
LOOK_AFTER = {
    "tub": "look into the tubs. Cut off what roots over the rim and pull strays. Divide every third year. What you set loose: set it "
    "again in a tub",
    "barrier": "walk the barriers. Cut runners over the top and pull strays. Where none was dug in: cut the edge back",
}
UNCAGE_DAYS = 30  # after the frost that ends the last season in a cage: judgement


@dataclass(frozen=True, kw_only=True)
class Task:
    """One thing to do between two days. `plant_id` is empty for a task of the
    whole pond."""

    kind: TaskKind
    text: str
    start: date
    end: date
    plant_id: str = ""
    trims: bool = False  # an "act" that cuts an edge back
    reason: str = ""  # of "stop trimming": why


@dataclass(frozen=True, kw_only=True)
class Month:
    """The tasks that fall in a month, most pressing kind first."""

    year: int
    month: int
    tasks: tuple[Task, ...]

    @property
    def name(self) -> str:
        return f"{month_name[self.month]} {self.year}"


def year_ahead(
    pond: Pond,
    catalogue: Catalogue,
    today: date,
    log: Log | None = None,
    stands: tuple[Stand, ...] = (),
    held: Mapping[str, tuple[str, ...]] | None = None,
) -> tuple[Month, ...]:
    """The twelve months from today's on. `log` says what is there, `stands` (from watch) what to cut, `held` (from
    measures.py) what holds each plant; without it, any measure that could."""
    alive = log.standing(today) if log else {}
    doomed = {(s.plant_id, s.stretch) for s in stands if s.action is Action.TAKE_OUT}
    tasks: list[Task] = [_act(pond, s, today) for s in stands if s.action is not Action.LEAVE]
    for year in (today.year - 1, today.year, today.year + 1):
        season = pond.growing_season.frosts(year)
        tasks += _pond_tasks(pond, season)
        tasks += _plant_tasks(
            pond,
            catalogue,
            season,
            alive,
            doomed,
            held,
        )
    this_month, *others = by_month(tasks, today, 12)
    begin, wanted = today.replace(day=1), set(alive) - doomed
    waiting = tuple(t for t in this_month.tasks if not _done(t, log, begin, wanted))
    return replace(this_month, tasks=waiting), *others


def first_years(
    pond: Pond,
    catalogue: Catalogue,
    planted: Log,
    begin: date,
    months: int = 24,
    held: Mapping[str, tuple[str, ...]] | None = None,
    worded: Container[tuple[str, str]] = (),
) -> tuple[Month, ...]:
    """The months from `begin` on for what is about to be planted, by the days on which `planted` has it set. What is set after the
    early summer walk of a year has its tasks from the next year on. `held` are the measures that hold each plant, by plant_id, `worded` the
    stands (plant_id and stretch) whose first cut of the year the caller words."""
    tasks: list[Task] = []
    for year in range(begin.year - 1, begin.year + months // 12 + 2):
        season = pond.growing_season.frosts(year)
        there = planted.standing(season.window(MEASURE[0])[1])
        tasks += [
            *_pond_tasks(pond, season),
            *_plant_tasks(pond, catalogue, season, there, set(), held, worded),
        ]
    return by_month(tasks, begin, months)


def month_end(day: date) -> date:
    """The last day of a day's month."""
    return day.replace(day=monthrange(day.year, day.month)[1])


def by_month(tasks: list[Task], begin: date, number: int) -> tuple[Month, ...]:
    """The tasks that fall in each of so many months from the month of `begin` on, none that was over before that day."""
    months = []
    for ahead in range(number):
        year, month = begin.year + (begin.month - 1 + ahead) // 12, (begin.month - 1 + ahead) % 12 + 1
        first = date(year, month, 1)
        here = [t for t in tasks if t.start <= month_end(first) and t.end >= max(first, begin)]
        here = _one_word_on_trimming(here)
        months.append(
            Month(
                year=year,
                month=month,
                tasks=tuple(sorted(here, key=lambda t: (KINDS.index(t.kind), t.start, t.text))),
            )
        )
    return tuple(months)


def _act(pond: Pond, stand: Stand, today: date) -> Task:
    """A cut that watch asks for: from a month before its day. An overdue one is due today."""
    due = max(stand.act_by or today, today)
    hot = pond.growing_season.frosts(due.year).window(HOT)
    heat = (
        ". The water is hot then: cut a small part at a time and haul it all out"
        if hot[0] <= due <= hot[1]
        else ""
    )
    text = f"{stand.common_name} on {stretch_words(stand.stretch)}: {stand.what_to_do}{heat}"
    begin = due - timedelta(days=31) if due > today else today
    return Task(
        kind=TaskKind.ACT,
        text=text,
        start=begin,
        end=due,
        plant_id=stand.plant_id,
        trims=stand.action is Action.TRIM,
    )


def _one_word_on_trimming(here: list[Task]) -> list[Task]:
    """A month that asks for a cut does not also say to stop: the cut says what not to cut."""
    stops = [t for t in here if t.kind is TaskKind.STOP_TRIMMING]
    if not stops or not any(t.kind is TaskKind.TRIM or t.trims for t in here):
        return here
    why = " and ".join(dict.fromkeys(t.reason for t in stops))

    def told(task: Task) -> Task:
        if task.trims:
            return replace(task, text=f"{task.text}. Cut nothing else now: {why}")
        return replace(task, text=f"{task.text}. Not on the other days of the month: {why}")

    return [told(t) if t.kind is TaskKind.TRIM or t.trims else t for t in here if t not in stops]


def _done(task: Task, log: Log | None, begin: date, to_measure: set[tuple[str, str]]) -> bool:
    """Whether the log shows that you did this month's measuring or reading."""
    if log is None or task.kind not in (TaskKind.MEASURE, TaskKind.READ):
        return False
    wanted = [e for e in log.entries if e.day >= begin]
    if task.kind is TaskKind.MEASURE:
        return to_measure <= {(e.plant_id, e.stretch) for e in wanted if e.measures}
    return any(e.drop_ft is not None or e.clarity_in is not None for e in wanted)


def _pond_tasks(pond: Pond, season: Frosts) -> list[Task]:
    """Tasks for the whole pond."""
    early, late = (season.last_frost - timedelta(days=d) for d in ORDER_DAYS)
    stop = season.first_frost - timedelta(days=ROOTING_DAYS)
    warm = season.last_frost + timedelta(days=WARM_WATER_DAYS)
    tasks = [
        _task(
            TaskKind.ORDER,
            "order plants by scientific name before nurseries sell out. Have them delivered after the last "
            f"frost ({_day(season.last_frost)})",
            early,
            late,
        ),
        _task(
            TaskKind.PLANT,
            f"set bank and edge plants from the last frost ({_day(season.last_frost)}) on. Wait for warm water "
            f"({_day(warm)}) with submersed and floating-leaved ones. Have all in by {_day(stop)}",
            season.last_frost,
            stop,
        ),
        _task(
            TaskKind.STOP_PLANTING,
            "soft-stemmed plants set now will not root before frost. Keep them potted, or wait for spring. Trees and shrubs go in "
            f"while they are dormant, from {_day(season.first_frost)} on",
            stop + timedelta(days=1),
            season.first_frost + timedelta(days=30),
        ),
        _task(
            TaskKind.VOLUNTEERS,
            "walk the edge and look for plants you didn't set. Identify and log them",
            *season.window(VOLUNTEERS),
        ),
        _task(
            TaskKind.READ,
            "lower the Secchi disk at noon on a still day, and measure the drop from full pool",
            *season.window(READ[0]),
        ),
        _task(
            TaskKind.READ,
            "measure the drop from full pool: the water is near its lowest",
            *season.window(READ[1]),
        ),
        _task(
            TaskKind.OXYGEN,
            "these are the risky weeks. On still, hot or cloudy days read oxygen after sunset and again three hours "
            "later (plantpick oxygen). Look at the fish at first light, and have air ready",
            *season.window(HOT),
        ),
    ]
    if any(s.dam for s in pond.stretches):
        ice = ". Stay off thin ice" if pond.zone < 8 else ""
        text = f"cut woody seedlings and cattail on the dam while they are thin. Check the riser and the spillway{ice}"
        tasks.append(
            _task(TaskKind.WALK_DAM, text, season.first_frost, season.first_frost + timedelta(days=60))
        )
    return tasks


def _plant_tasks(
    pond: Pond,
    catalogue: Catalogue,
    season: Frosts,
    alive: dict[tuple[str, str], list[LogRow]],
    doomed: set[tuple[str, str]],
    held_by: Mapping[str, tuple[str, ...]] | None = None,
    worded: Container[tuple[str, str]] = (),
) -> list[Task]:
    """Tasks for the plants that are there. `held_by` are the measures that hold each; without it, any that could. The first cut of
    the stands in `worded` is worded elsewhere. What stands in a tub is not cut: its strays are pulled."""
    if not alive:
        return []
    tasks = []
    names = _stands(catalogue, [stand for stand in alive if stand not in doomed])
    for window, word in zip(MEASURE, ("early", "late")) if names else ():
        tasks.append(
            _task(
                TaskKind.MEASURE,
                f"take tape and log on the {word} summer walk. Measure: {names}",
                *season.window(window),
            )
        )
    trimmable: list[tuple[str, str]] = []
    uncaged: list[tuple[str, str]] = []
    looked_after: dict[str, list[tuple[str, str]]] = {}
    year = season.first_frost.year
    for (plant_id, stretch), rows in alive.items():
        plant = catalogue.plant(plant_id)
        held = plant.contained_by if held_by is None else held_by.get(plant_id, ())
        name = plant.common_name
        if (plant_id, stretch) in doomed:
            continue
        planted = next((e.day for e in rows if e.event is Event.PLANTED), None)
        seasons = year - first_season(pond, planted) if planted else None  # that it has grown before this one
        grown = seasons is None or seasons > 0
        if "trim" in held and grown and not (held_by is not None and "tub" in held):
            trimmable.append((plant_id, stretch))
        if held_by is not None and grown:
            for measure in held:
                looked_after.setdefault(measure, []).append((plant_id, stretch))
        if "deadhead" in held:
            tasks.append(
                _task(
                    TaskKind.DEADHEAD,
                    f"{name} ({stretch}): cut the seed heads before they ripen, and bag them",
                    *season.window(DEADHEAD),
                    plant_id,
                )
            )
        if planted and seasons is not None and 0 <= seasons < CAGE_SEASONS:
            hungry = [g for g in plant.eaten_by if g in pond.residents]
            if hungry or plant.growth_form in ("submersed", "floating-leaved"):
                if seasons == CAGE_SEASONS - 1:
                    uncaged.append((plant_id, stretch))
                by = f" ({' and '.join(hungry)} eat it)" if hungry else ""
                tasks.append(
                    _task(
                        TaskKind.CHECK_CAGES,
                        f"{name} ({stretch}){by}: mend the cage, see that nothing inside eats it, look for new growth",
                        max(planted, season.last_frost),
                        season.first_frost,
                        plant_id,
                    )
                )
    for measure, text in LOOK_AFTER.items():
        if found := looked_after.get(measure):
            tasks.append(
                _task(TaskKind.HOLD, f"{_stands(catalogue, found)}: {text}", *season.window(MEASURE[0]))
            )
    if uncaged:
        tasks.append(
            _task(
                TaskKind.CAGES_OFF,
                f"{_stands(catalogue, uncaged)}: two seasons are over. Take the cages out of the water, and look for animals inside "
                "first. What deer or beaver eat keeps its wire",
                season.first_frost,
                season.first_frost + timedelta(days=UNCAGE_DAYS),
            )
        )
    if trimmable:
        if plain := [stand for stand in trimmable if stand not in worded]:
            tasks.append(
                _task(
                    TaskKind.TRIM,
                    "cut back edges that run too far while the water is cool. Cut a part at a time and haul it out: "
                    + _stands(catalogue, plain),
                    *season.window(TRIM[0]),
                )
            )
        tasks.append(
            _task(
                TaskKind.TRIM,
                "make the second cut where watch asks for one. Haul it out",
                *season.window(TRIM[1]),
            )
        )
        tasks.append(
            _task(
                TaskKind.STOP_TRIMMING,
                "the water is hot. Make no large cut, and leave no cuttings in the pond",
                *season.window(HOT),
                reason="the water is hot",
            )
        )
        tasks.append(
            _task(
                TaskKind.STOP_TRIMMING,
                "leave the tops now. They feed the roots that hold the bank through winter",
                season.part(TRIM[1][1]) + timedelta(days=1),
                season.first_frost,
                reason="the tops feed the roots for winter",
            )
        )
    return tasks


def _task(kind: TaskKind, text: str, start: date, end: date, plant_id: str = "", reason: str = "") -> Task:
    return Task(kind=kind, text=text, start=start, end=end, plant_id=plant_id, reason=reason)


def first_season(pond: Pond, planted: date) -> int:
    """The year of the first season in which something set on a day grows: what is set after the first frost grows the next year."""
    return planted.year + (planted > pond.growing_season.frosts(planted.year).first_frost)


def _stands(catalogue: Catalogue, stands: Iterable[tuple[str, str]]) -> str:
    """Stands by their plants, each with its stretches: "soft rush (dam, cove), pickerelweed (cove)"."""
    where: dict[str, list[str]] = {}
    for plant_id, stretch in stands:
        where.setdefault(catalogue.plant(plant_id).common_name, []).append(stretch)
    return ", ".join(f"{name} ({', '.join(sorted(set(where[name])))})" for name in sorted(where))


def _day(day: date) -> str:
    return f"{month_name[day.month]} {day.day}"
