"""The page about the years after planting: verdicts, a figure for each stand, what to cut and when."""

from __future__ import annotations

from collections.abc import Callable

from plantpick.monitoring import oxygen
from plantpick.monitoring.calendar import Month, Task
from plantpick.monitoring.stand import Action
from plantpick.monitoring.watch import Watch
from plantpick.show.calendar import frost_words, task_words
from plantpick.show.figures.stand import stand_picture
from plantpick.show.law import law_lines
from plantpick.show.page import render
from plantpick.show.watch_words import (
    gone_lines,
    in_short,
    jump_words,
    light_lines,
    rate_words,
    share_words,
    stand_lines,
    totals_lines,
    volunteer_lines,
    when_words,
)
from plantpick.vocabulary import STATES

AskOxygen = Callable[[str, float], str]
METHODS = (
    "Rate of the edge: the forecast and the readings put together by Bayes' rule on a grid; one reading in ten may be "
    "quite wrong. Ranges are 80 %.",
    "Chance of being over your limit after ten years: the draws of the ranking, with the rate that your readings give.",
    "The clock stands still in winter: seasons run from the mean last to the mean first frost.",
    "Depth of submersed growth from the Secchi reading: Caffrey, Hoyer and Canfield 2007, Lake and Reservoir Management 23.",
    "A quarter to a third at a time when plants are killed: SRAC-361 (Masser, Murphy and Shelton).",
    "Windows of the year hang on the mean frosts: common practice or judgement.",
)


def watch_report(told: Watch, months: tuple[Month, ...], ask_oxygen: AskOxygen | None = None) -> str:
    """The whole page as text; `months` are the year ahead.

    `ask_oxygen(plant_id, area_ft2)` is the command that says how much of a stand may rot at once.
    """
    return render(
        "watch.html",
        told=told,
        pond=told.pond,
        state=STATES[told.pond.state][0],
        cap_ft2=told.pond.cap_percent / 100.0 * told.pond.area_ft2,
        short=in_short(told),
        pressing=any(s.action is not Action.LEAVE for s in told.stands),
        pictures=[stand_picture(s, told, n) for n, s in enumerate(told.stands, 1)],
        lines=stand_lines,
        rate=rate_words,
        share=share_words,
        when=when_words,
        jumps=jump_words,
        totals=totals_lines(told),
        volunteers=volunteer_lines(told),
        gone=gone_lines(told),
        light=light_lines(told),
        months=months,
        tasks=_tasks(months),
        task=task_words,
        frosts=frost_words(told.pond, told.pond.growing_season.frosts(told.today.year)),
        rotting=_rotting(told, ask_oxygen),
        law=law_lines(told.law, told.pond.state),
        methods=METHODS,
    )


def _tasks(months: tuple[Month, ...]) -> list[Task]:
    """Every task of the year once, in the order in which they begin; those running already first."""
    every = {(t.kind, t.text, t.start): t for m in months for t in m.tasks}
    return sorted(every.values(), key=lambda t: (t.start, t.end, t.text))


def _rotting(told: Watch, ask_oxygen: AskOxygen | None) -> list[str]:
    """What to mind for the fish before anything is cut or killed."""
    cuts = [s for s in told.stands if s.action is not Action.LEAVE]
    asks = [
        f"{s.common_name}, {s.stretch}: {ask_oxygen(s.plant_id, max(1.0, s.trim_ft2 or s.area_ft2[1]))}"
        for s in cuts
        if ask_oxygen
    ]
    head = [
        "Cuttings left in the water rot and take the fish's oxygen. Haul them out, well above the waterline; what is "
        "killed or left in the pond, a quarter to a third at one time at most (SRAC-361), two weeks apart.",
    ]
    if asks:
        head.append("To see how much may rot at once on your pond, put in the water's temperature:")
    return [*head, *asks, *oxygen.CAUTIONS, oxygen.aeration_advice(told.pond)]
