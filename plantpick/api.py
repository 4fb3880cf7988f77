"""The answers as pandas tables, for scripts and notebooks. docs/example.md shows them at work and lists their columns.

A pond is a Pond, or whatever the command line takes for one: the name of a pond file, or "demo". Tables are made from the
answer itself and keep its types: numbers are numbers, whole numbers that may be missing are Int64, days are datetime64
(NaT where there is none), yes and no are bool, and text is as the file had it. What stands beneath an answer on the
command line (assumptions, cautions, law) is in the table's `attrs`.

The names, parameters and columns here stay as they are until the next major version; docs/example.md says what is promised.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import asdict
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from plantpick.catalogue.plants import Catalogue
from plantpick.errors import PlantpickError, Problem, did_you_mean
from plantpick.pond.model import Pond

if TYPE_CHECKING:
    import pandas as pd

_TEXT: Mapping[str, str] = {}


def read_pond(path: str | Path) -> Pond:
    """The pond that a file describes.

    `path` is a pond file (TOML), or "demo", "demo-north", "demo-hard", "demo-surveyed" for an invented one. Areas are
    acres, depths feet, lengths feet, clarity inches, as the names of its fields say. Raises PlantpickError `pond-file`
    with every mistake in the file.
    """
    from plantpick.files import pond_file

    return pond_file.read_pond(str(path))


def read_catalogue() -> Catalogue:
    """The plants with their names, states, law and evidence; each is a pandas table (docs/data.md has columns and units).

    Raises PlantpickError `catalogue` when the tables are damaged.
    """
    from plantpick.files import catalogue as tables

    return tables.load(evidence=True)


def rank(
    pond: Pond | str | Path,
    *,
    job: str = "all",
    neighbors: bool = False,
    top: int | None = None,
    draws: int = 256,
) -> pd.DataFrame:
    """The plants that fit a pond, best first: a row a plant.

    `job` is all, shoreline, fish cover or shade; `neighbors` lets in plants native only to neighboring states; `top`
    keeps so many rows; `draws` (64 to 4096) are what the chances rest on.

    Columns: place (1 is best), plant_id, scientific_name, common_name; place_kind (under water, bank
    and so on), place_in_list (1 is first there) and availability (a word); score (0 to 100), fit (a word), site, stays_put and use (0 to 1); stretch, band, depth_in (inches of water over the crown at full pool, negative above it);
    cap_percent and takeover_low_, takeover_typical_, takeover_high_percent (per cent of the pond's surface, after ten
    untended years: 10, 50 and 90 % points); chance_over_cap and chance_over_cap_contained (0 to 1, that it passes the
    limit left alone, and with its measure; missing where it needs none); groups_wanted, groups_max (missing: no limit worth
    naming), groups_planned (what shares and chances are for), contained_by, contained_groups, chore; state_status, notes,
    establish_low_, establish_typical_, establish_high_percent (of the plants set that live a year); place_best and
    place_worst (over the draws). `attrs`: pond, firm, assumptions,
    cautions, law.

    Raises PlantpickError `pond-file` for a bad pond file, `job` for another job.
    """
    from plantpick.ranking.rank import rank as ranked
    from plantpick.show.ranking import RANKING_COLUMNS, RANKING_TYPES, ranking_rows

    _check_job(job)
    answer = ranked(_pond(pond), _plants(), job=job, next_door=neighbors, draws=draws)
    table = _table(ranking_rows(answer, top), RANKING_COLUMNS, RANKING_TYPES)
    table.attrs |= {
        "pond": answer.pond.name,
        "firm": answer.firm,
        "assumptions": list(answer.assumptions),
        "cautions": list(answer.cautions),
        "law": asdict(answer.law),
    }
    return table


def ruled_out(pond: Pond | str | Path, *, job: str = "all", neighbors: bool = False) -> pd.DataFrame:
    """The plants that are not in the ranking: plant_id, common_name, code (as in an offer) and reason.

    `job` and `neighbors` as for `rank`. Raises PlantpickError `pond-file`, `job`.
    """
    from plantpick.ranking.rank import rank as ranked

    _check_job(job)
    answer = ranked(_pond(pond), _plants(), job=job, next_door=neighbors, places=False)
    columns = ("plant_id", "common_name", "code", "reason")
    rows = [(r.plant_id, r.common_name, str(r.answer_code), r.reason) for r in answer.ruled_out]
    return _table([dict(zip(columns, row)) for row in rows], columns)


def explain_score(pond: Pond | str | Path, plant: str) -> pd.DataFrame:
    """The site factors of one plant at its best place on a pond: a row a factor.

    `plant` is any name of the plant. Columns: factor, index (0 to 1, missing where it was not judged), break_points.
    `attrs` holds the rest of the arithmetic: ruled_out, stretch, band, depth_in (inches), site and how it was combined,
    the forecast of takeover by years (low, typical, high, per cent of the surface), groups wanted and possible, measures,
    use and score.

    Raises PlantpickError `pond-file`, `no-such-plant` or `several-plants`.
    """
    from plantpick.ranking.explain import explain
    from plantpick.show.explanation import FACTOR_COLUMNS, factor_records

    plants = _plants()
    told = explain(_pond(pond), plants, plants.find(plant))
    table = _table(factor_records(told), FACTOR_COLUMNS, {"index": "float64"})
    table.attrs |= {key: value for key, value in asdict(told).items() if key != "factors"}
    return table


def depth_bands(pond: Pond | str | Path) -> pd.DataFrame:
    """How much of a pond is how deep: a row a depth band.

    Columns: band; shallow_in and deep_in, its limits in inches of water at full pool (negative above the waterline);
    acres, acres_low and acres_high; share_percent of the surface (missing above the waterline).

    Raises PlantpickError `pond-file`, or the code of a survey file that cannot be read.
    """
    from plantpick.pond.depth_bands import describe
    from plantpick.show.depths import BAND_COLUMNS, band_records

    return _table(band_records(describe(_pond(pond))), BAND_COLUMNS, {"share_percent": "float64"})


def watch_log(pond: Pond | str | Path, log: str | Path, today: date | None = None) -> pd.DataFrame:
    """What was measured against the forecast: a row a stand. `today` is the day to judge by; without it, today.

    `log` is a file, or "demo", which is judged as of the day it was written for. Columns: plant_id, common_name, stretch, planted (a day), readings (how many), verdict,
    why, action, act_by (a day), what_to_do; trim_ft and trim_ft2; rates in the unit that rate_unit names (forecast_rate_
    and rate_ with their ranges, measured_rate); area_ft2_, share_percent_, ten_years_percent_ and
    ten_years_fitted_percent_ (low, middle, high; square feet and per cent of the surface); half_cap_ and cap_ (early,
    middle, late: days; never, now: yes or no); half_cap_with_jumps_ (years); odd_readings and remarks, separated by
    semicolons. `attrs`: assumptions, cautions.

    Raises PlantpickError `log` with every mistake in it, `pond-file`.
    """
    from plantpick.files.log import day_to_judge_by, pond_log
    from plantpick.monitoring import watch
    from plantpick.show.watch_records import STAND_COLUMNS, STAND_TYPES, stand_rows

    described, plants, day = _pond(pond), _plants(by_name=True), today or day_to_judge_by(log, date.today())
    told = watch.watch(described, plants, pond_log(log, described, plants, day), day)
    table = _table(stand_rows(told), STAND_COLUMNS, STAND_TYPES)
    table.attrs |= {"assumptions": list(told.assumed), "cautions": list(told.cautions)}
    return table


def check_offer(pond: Pond | str | Path, offer: str | Path, need: int | None = None) -> pd.DataFrame:
    """A nursery's offer, a row a line: what it is and whether to buy it. `offer` is a file, or "demo".

    `need` is how many of each plant you want; without it, as many as the pond would take. Columns: line (its number),
    text, candidates (separated by semicolons), sure (yes or no), verdict, code (of its reason), reason, form, size,
    price_read, currency, unit, count (plants that the price is for), sold_out, price_each (missing where the line has
    none that we understood), least_order, groups and group_size (what the pond takes; missing without a forecast), need,
    buy (plants in whole lots), cost, chance_over_cap and chance_over_cap_contained (as in `rank`), contained_by, questions.
    `attrs`: questions, on_arrival, total (dollars).

    Raises PlantpickError `offer-file` when the file cannot be read, `pond-file`.
    """
    from plantpick.files.offers import demo_offer, read_offer
    from plantpick.offers import check
    from plantpick.offers.counter import seller_questions
    from plantpick.show.offer import OFFER_COLUMNS, OFFER_TYPES, offer_rows
    from plantpick.show.offer_words import question

    lines = read_offer(demo_offer() if str(offer) == "demo" else str(offer))
    told = check.check_offer(lines, _pond(pond), _plants(by_name=True), need=need)
    table = _table(offer_rows(told), OFFER_COLUMNS, OFFER_TYPES)
    questions = [question(asked) for asked in seller_questions(told)]
    table.attrs |= {"questions": questions, "on_arrival": list(told.arrival), "total": told.total}
    return table


def _check_job(job: str) -> None:
    from plantpick.ranking.rank import JOBS

    if job not in JOBS:
        raise PlantpickError(
            "job",
            Problem("job", f'found "{job}".', did_you_mean(job, JOBS) or f"Allowed: {', '.join(JOBS)}."),
        )


def _pond(pond: Pond | str | Path) -> Pond:
    return pond if isinstance(pond, Pond) else read_pond(pond)


def _plants(by_name: bool = False) -> Catalogue:
    from plantpick.files import catalogue as tables

    return tables.load(by_name=by_name)


def _table(rows: Sequence[dict], columns: Sequence[str], types: Mapping[str, str] = _TEXT) -> pd.DataFrame:
    """Records as a table; columns that are not named in `types` are text. A column's type never hangs on the answer."""
    import pandas as pd

    return pd.DataFrame(rows, columns=list(columns)).astype(dict(types))
