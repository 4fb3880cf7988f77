"""What the log says of a pond as JSON, or its stands as CSV."""

from __future__ import annotations

from plantpick.monitoring.projection import StandFigure, When
from plantpick.monitoring.stand import Stand
from plantpick.monitoring.watch import Watch
from plantpick.show.law import law_record
from plantpick.show.records import LEVELS, dumps, levels, rounded, to_csv

FITTED = ("low", "middle", "high")
WHEN = ("early", "middle", "late")
TEXT, DAY, NUMBER, YEAR = "str", "datetime64[s]", "float64", "Int64"
_COLUMNS = {
    **dict.fromkeys(("plant_id", "common_name", "stretch"), TEXT),
    "planted": DAY,
    "readings": "int64",
    **dict.fromkeys(("verdict", "why", "law_says", "action"), TEXT),
    "act_by": DAY,
    "what_to_do": TEXT,
    **dict.fromkeys(("trim_ft", "trim_ft2"), NUMBER),
    "rate_unit": TEXT,
    **{f"forecast_rate_{level}": NUMBER for level in LEVELS},
    **{f"rate_{level}": NUMBER for level in FITTED},
    "measured_rate": NUMBER,
    **{f"{what}_{level}": NUMBER for what in ("area_ft2", "share_percent") for level in FITTED},
    **{
        f"{limit}_{when}": kind
        for limit in ("half_cap", "cap")
        for when, kind in (*((when, DAY) for when in WHEN), ("never", "bool"), ("now", "bool"))
    },
    **{f"half_cap_with_jumps_{when}": YEAR for when in WHEN},
    **{
        f"{what}_{level}": NUMBER
        for what in ("ten_years_percent", "ten_years_fitted_percent")
        for level in FITTED
    },
    "ten_years_until": DAY,
    **dict.fromkeys(("chance_over_cap_forecast", "chance_over_cap"), NUMBER),
    **dict.fromkeys(("odd_readings", "remarks"), TEXT),
}
STAND_COLUMNS = tuple(_COLUMNS)
STAND_TYPES = {name: kind for name, kind in _COLUMNS.items() if kind != TEXT}


def stand_rows(told: Watch) -> list[dict]:
    """One flat record a stand: the columns of the CSV. Days are dates, lists are joined by semicolons."""
    flat = []
    for stand in told.stands:
        row: dict = {}
        for key, value in _record(stand).items():
            if isinstance(value, dict):
                row |= {f"{key}_{k}": v for k, v in value.items()}
            else:
                row[key] = "; ".join(map(str, value)) if isinstance(value, list) else value
        flat.append(row)
    return flat


def watch_text(told: Watch, form: str) -> str:
    """The answer as JSON, or its stands as CSV."""
    if form == "csv":
        return to_csv(stand_rows(told), STAND_COLUMNS)
    rows = [_record(s) | {"figure": _figure(s.figure)} for s in told.stands]
    new = told.refreshed
    return dumps(
        {
            "pond": {
                "name": told.pond.name,
                "cap_percent": told.pond.cap_percent,
                "invented": told.pond.invented,
            },
            "today": told.today,
            "stands": rows,
            "volunteers": [
                {"plant_id": v.plant_id, "stretch": v.stretch, "verdict": v.verdict, "why": v.why}
                for v in told.volunteers
            ],
            "taken_out": [{"common_name": n, "stretch": s} for n, s in told.gone],
            "totals_percent": {name: round(share, 3) for name, share in told.totals},
            "light_and_level": {
                "clarity_in": new.clarity_in[1],
                "deepest_growth_in": _pair(new.deepest_in[1]),
                "usual_drop_ft": new.usual_drop_ft[1],
                "drop_now_ft": new.drop_now_ft,
                "bands_now_ft2": {band: round(area) for band, area in new.bands_now},
                "remarks": list(new.remarks),
            },
            "assumptions": list(told.assumed),
            "law": law_record(told.law),
            "cautions": list(told.cautions),
        }
    )


def _pair(values) -> list[float] | None:
    return None if values is None else [round(v, 1) for v in values]


def _when(when: When) -> dict:
    return {
        "early": when.early,
        "middle": when.middle,
        "late": when.late,
        "never": when.never,
        "now": when.now,
    }


def _record(s: Stand) -> dict:
    return {
        "plant_id": s.plant_id,
        "common_name": s.common_name,
        "stretch": s.stretch,
        "planted": s.planted,
        "readings": s.count,
        "verdict": s.verdict,
        "why": s.why,
        "law_says": s.law_says or None,
        "action": s.action,
        "act_by": s.act_by,
        "what_to_do": s.what_to_do,
        "trim_ft": round(s.trim_ft, 2),
        "trim_ft2": round(s.trim_ft2, 1),
        "rate_unit": "doublings a season" if s.floating else "ft a season",
        "forecast_rate": levels(s.forecast_rate),
        "rate": levels(s.rate, names=FITTED),
        "measured_rate": None if s.measured_rate is None else round(s.measured_rate, 3),
        "area_ft2": levels(s.area_ft2, names=FITTED),
        "share_percent": levels(s.share_percent, names=FITTED),
        "half_cap": _when(s.half_cap),
        "cap": _when(s.cap),
        "half_cap_with_jumps": dict(zip(WHEN, s.jump_years)),
        "ten_years_percent": levels(s.ten_years_percent, names=FITTED),
        "ten_years_fitted_percent": levels(s.ten_years_fitted_percent, names=FITTED),
        "ten_years_until": s.ten_years_until,
        "chance_over_cap_forecast": rounded(s.chance_over_cap_forecast),
        "chance_over_cap": rounded(s.chance_over_cap),
        "odd_readings": list(s.odd_days),
        "remarks": list(s.remarks),
    }


def _figure(f: StandFigure) -> dict:
    def band(told):
        days, low, middle, high = told
        return {
            "days": list(days),
            "low": [round(v, 4) for v in low],
            "middle": [round(v, 4) for v in middle],
            "high": [round(v, 4) for v in high],
        }

    return {
        "title": f.title,
        "cap_percent": f.cap_percent,
        "today": f.today,
        "points": [
            {"day": d, "percent": round(s, 4), "used": used, "odd": d in f.odd_days}
            for d, s, used in f.points
        ],
        "forecast": band(f.forecast),
        "fitted": band(f.fitted),
    }
