"""The ranking as plain records, for JSON and CSV."""

from __future__ import annotations

import csv
import io
import json
import math
from collections.abc import Sequence

from plantpick.catalogue.law import Coverage
from plantpick.plain_text import escaped, plain
from plantpick.ranking.explain import Explanation
from plantpick.ranking.rank import RankedPlant, Ranking
from plantpick.ranking.takeover import MANY_GROUPS


def ranking_json(ranking: Ranking, top: int | None = None) -> str:
    """One JSON object: pond, plants, ruled_out, and what stands beneath the table."""
    pond = ranking.pond
    return dumps(
        {
            "pond": {
                "name": pond.name,
                "state": pond.state,
                "hardiness_zone": pond.hardiness_zone,
                "area_acres": pond.area_acres,
                "purposes": list(pond.purposes),
                "cap_percent": pond.cap_percent,
                "invented": pond.invented,
            },
            "plants": [_record(plant) for plant in ranking.plants[:top]],
            "ruled_out": [{"plant_id": r.plant_id, "reason": r.reason} for r in ranking.ruled_out],
            "firm": ranking.firm,
            "assumptions": list(ranking.assumptions),
            "cautions": list(ranking.cautions),
            "law": law_record(ranking.law),
        }
    )


def dumps(value) -> str:
    """JSON with two-space indents, in Unicode, without NaN."""
    return escaped(json.dumps(value, indent=2, ensure_ascii=False, allow_nan=False))


def _record(plant: RankedPlant) -> dict:
    low, typical, high = (round(v, 3) for v in plant.takeover_percent)
    return {
        "plant_id": plant.plant_id,
        "scientific_name": plant.scientific_name,
        "common_name": plant.common_name,
        "score": round(plant.score, 1),
        "fit": plant.fit,
        "site": round(plant.site, 3),
        "stays_put": round(plant.stays_put, 3),
        "use": round(plant.use, 3),
        "stretch": plant.stretch,
        "band": plant.band,
        "depth_in": plant.depth_in,
        "takeover_percent": {"low": low, "typical": typical, "high": high},
        "cap_percent": plant.cap_percent,
        "groups_wanted": plant.groups_wanted,
        "groups_max": None if plant.unlimited else plant.groups_max,
        "contained_by": " + ".join(plant.contained_by) or None,
        "contained_groups": plant.contained_groups,
        "chore": plant.chore,
        "state_status": plant.state_status,
        "places": list(plant.places),
        "notes": list(plant.notes),
    }


RANKING_COLUMNS = (
    "place",
    "plant_id",
    "scientific_name",
    "common_name",
    "score",
    "fit",
    "site",
    "stays_put",
    "use",
    "stretch",
    "band",
    "depth_in",
    "cap_percent",
    "groups_wanted",
    "groups_max",
    "contained_by",
    "contained_groups",
    "chore",
    "state_status",
    "notes",
    "takeover_low_percent",
    "takeover_typical_percent",
    "takeover_high_percent",
    "place_best",
    "place_worst",
)


def ranking_rows(ranking: Ranking, top: int | None = None) -> list[dict]:
    """One flat record a plant, best first: the columns of the CSV (docs/example.md describes them)."""
    rows = []
    for place, plant in enumerate(ranking.plants[:top], 1):
        record = {"place": place, **_record(plant)}
        takeover = record.pop("takeover_percent")
        first, last = record.pop("places")
        record |= {f"takeover_{level}_percent": value for level, value in takeover.items()}
        record |= {"place_best": first, "place_worst": last, "notes": "; ".join(record["notes"])}
        rows.append(record)
    return rows


def ranking_csv(ranking: Ranking, top: int | None = None) -> str:
    """One row a plant, best first; lists are joined by semicolons."""
    return to_csv(ranking_rows(ranking, top), RANKING_COLUMNS)


def explanation_record(told: Explanation) -> dict:
    """The arithmetic of one plant as plain values; what was not judged is None."""
    return {
        "plant_id": told.plant_id,
        "ruled_out": told.ruled_out or None,
        "stretch": told.stretch or None,
        "band": told.band or None,
        "depth_in": _known(told.depth_in),
        "factors": [
            {"factor": name, "index": _known(index), "break_points": points}
            for name, index, points in told.factors
        ],
        "site": _known(told.combined),
        "site_how": told.combined_how or None,
        "takeover_percent": [
            {"years": years, **dict(zip(("low", "typical", "high"), shares))}
            for years, shares in told.takeover
        ],
        "takeover_how": list(told.takeover_how),
        "cap_percent": told.cap_percent,
        "groups_wanted": told.groups_wanted,
        "groups_max": None if told.groups_max >= MANY_GROUPS else told.groups_max,
        "contained": [
            {"by": words, "groups_max": None if groups >= MANY_GROUPS else groups}
            for words, groups in told.measures
        ],
        "use": dict(told.use),
        "stays_put_how": told.stays_how or None,
        "score_how": told.score_how or None,
        "law": law_record(told.law),
    }


def _known(value: float) -> float | None:
    return None if math.isnan(value) else round(value, 4)


def law_record(law: Coverage) -> dict[str, str]:
    """How far a state's list was read, of a row of law_coverage."""
    return {key: getattr(law, key) for key in ("jurisdiction", "list_name", "agency", "read", "as_of")}


def explanation_text(told: Explanation, form: str) -> str:
    """The arithmetic of one plant as JSON, or its site factors as CSV."""
    record = explanation_record(told)
    if form == "csv":
        return to_csv(record["factors"], ("factor", "index", "break_points"))
    return dumps(record)


def to_csv(rows: list[dict], columns: Sequence[str] = ()) -> str:
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
