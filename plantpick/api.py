"""The answers as pandas tables, for scripts and notebooks. docs/example.md shows them at work and lists their columns.

A pond is a Pond, or whatever the command line takes for one: the name of a pond file, or "demo". What stands beneath
an answer on the command line (assumptions, cautions, law) is in the table's `attrs`.
"""

from __future__ import annotations

import io
from dataclasses import asdict
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from plantpick.catalogue.plants import Catalogue
from plantpick.pond.model import Pond

if TYPE_CHECKING:
    import pandas as pd


def read_pond(path: str | Path) -> Pond:
    """The pond that a file describes, or "demo". Raises PlantpickError `pond-file` with every mistake in it."""
    from plantpick.files import pond_file

    return pond_file.read_pond(str(path))


def read_catalogue() -> Catalogue:
    """The plants with their names, states, law and evidence; each is a pandas table (docs/data.md has the columns)."""
    from plantpick.files import catalogue as tables

    return tables.load(evidence=True)


def _pond(pond: Pond | str | Path) -> Pond:
    return pond if isinstance(pond, Pond) else read_pond(pond)


def _plants() -> Catalogue:
    from plantpick.files import catalogue as tables

    return tables.load()


def rank(
    pond: Pond | str | Path,
    *,
    job: str = "all",
    neighbours: bool = False,
    top: int | None = None,
    draws: int = 30,
) -> pd.DataFrame:
    """The plants that fit a pond, best first: a row a plant.

    `job` is all, shoreline, fish cover or shade; `neighbours` lets in plants native only to neighbouring states; `top`
    keeps so many rows; `draws` (0 to 2000) test how firm the order is. Raises PlantpickError.
    """
    import pandas as pd

    from plantpick.ranking.rank import rank as ranked
    from plantpick.show.records import RANKING_COLUMNS, ranking_rows

    answer = ranked(_pond(pond), _plants(), job=job, next_door=neighbours, draws=draws)
    table = pd.DataFrame(ranking_rows(answer, top), columns=list(RANKING_COLUMNS))
    table.attrs |= {
        "pond": answer.pond.name,
        "firm": answer.firm,
        "assumptions": list(answer.assumptions),
        "cautions": list(answer.cautions),
        "law": asdict(answer.law),
    }
    return table


def ruled_out(pond: Pond | str | Path, *, job: str = "all", neighbours: bool = False) -> pd.DataFrame:
    """The plants that are not in the ranking: plant_id, common_name, code (a short word for the kind) and reason."""
    import pandas as pd

    from plantpick.ranking.rank import rank as ranked

    answer = ranked(_pond(pond), _plants(), job=job, next_door=neighbours, draws=0)
    return pd.DataFrame(
        [(r.plant_id, r.common_name, r.code, r.reason) for r in answer.ruled_out],
        columns=["plant_id", "common_name", "code", "reason"],
    )


def explain_score(pond: Pond | str | Path, plant: str) -> pd.DataFrame:
    """The site factors of one plant at its best place on a pond: factor, index (0 to 1, NaN not judged), break_points.

    `attrs` holds the rest of the arithmetic: ruled_out, stretch, band, depth_in, site and how it was combined, the
    forecast of takeover by years (low, typical, high, per cent), groups wanted and possible, measures, use and score.
    Raises PlantpickError `no-such-plant` or `several-plants`.
    """
    import pandas as pd

    from plantpick.ranking.explain import explain

    plants = _plants()
    told = asdict(explain(_pond(pond), plants, plants.find(plant)))
    table = pd.DataFrame(told.pop("factors"), columns=["factor", "index", "break_points"])
    table.attrs |= told
    return table


def depth_bands(pond: Pond | str | Path) -> pd.DataFrame:
    """How much of a pond is how deep: a row a depth band, with its limits in inches, its acres and its share."""
    import pandas as pd

    from plantpick.pond.depth_bands import describe
    from plantpick.show.depths import depths_csv

    return pd.read_csv(io.StringIO(depths_csv(describe(_pond(pond)))))


def watch_log(pond: Pond | str | Path, log: str | Path, today: date | None = None) -> pd.DataFrame:
    """What was measured against the forecast: a row a stand. `today` is the day to judge by.

    `log` is a file, or "demo". Raises PlantpickError `log` with every mistake in it.
    """
    import pandas as pd

    from plantpick.files.log import pond_log
    from plantpick.monitoring import watch
    from plantpick.show.watch_records import watch_text

    described, plants, day = _pond(pond), _plants(), today or date.today()
    told = watch.watch(described, plants, pond_log(log, described, plants, day), day)
    text = watch_text(told, "csv")
    table = pd.read_csv(io.StringIO(text)) if text else pd.DataFrame()
    table.attrs |= {"assumptions": list(told.assumed), "cautions": list(told.cautions)}
    return table


def check_offer(pond: Pond | str | Path, offer: str | Path, need: int | None = None) -> pd.DataFrame:
    """A nursery's offer, a row a line: what it is and whether to buy it. `offer` is a file, or "demo".

    `need` is how many of each plant are wanted. Raises PlantpickError when the file cannot be read.
    """
    import pandas as pd

    from plantpick.files.offers import demo_offer, read_offer
    from plantpick.offers import check
    from plantpick.show.offer import offer_csv

    lines = read_offer(demo_offer() if str(offer) == "demo" else str(offer))
    told = check.check_offer(lines, _pond(pond), _plants(), need=need)
    table = pd.read_csv(io.StringIO(offer_csv(told)))
    table.attrs |= {"questions": list(told.questions), "on_arrival": list(told.arrival), "total": told.total}
    return table
