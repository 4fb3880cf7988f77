"""What the log says of a pond as JSON, or its stands as CSV."""

from __future__ import annotations

from datetime import date

from plantpick.monitoring.projection import StandFigure, When
from plantpick.monitoring.watch import Stand, Watch
from plantpick.show.records import dumps, law_record, to_csv


def watch_text(told: Watch, form: str) -> str:
    """The answer as JSON, or its stands as CSV."""
    rows = [_record(s) for s in told.stands]
    if form == "csv":
        flat = []
        for row in rows:
            one = {}
            for key, value in row.items():
                if key == "figure":
                    continue
                if isinstance(value, dict):
                    one |= {f"{key}_{k}": v for k, v in value.items()}
                else:
                    one[key] = "; ".join(value) if isinstance(value, list) else value
            flat.append(one)
        return to_csv(flat)
    new = told.refreshed
    return dumps(
        {
            "pond": {
                "name": told.pond.name,
                "cap_percent": told.pond.cap_percent,
                "invented": told.pond.invented,
            },
            "today": told.today.isoformat(),
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


def _three(values) -> dict[str, float]:
    return {k: round(v, 3) for k, v in zip(("low", "middle", "high"), values)}


def _when(when: When) -> dict:
    return {
        "early": _iso(when.early),
        "middle": _iso(when.middle),
        "late": _iso(when.late),
        "never": when.never,
        "now": when.now,
    }


def _iso(day: date | None) -> str | None:
    return day.isoformat() if day else None


def _record(s: Stand) -> dict:
    return {
        "plant_id": s.plant_id,
        "common_name": s.common_name,
        "stretch": s.stretch,
        "planted": _iso(s.planted),
        "readings": s.count,
        "verdict": s.verdict,
        "why": s.why,
        "law_says": s.law_says or None,
        "action": s.action,
        "act_by": _iso(s.act_by),
        "what_to_do": s.what_to_do,
        "trim_ft": round(s.trim_ft, 2),
        "trim_ft2": round(s.trim_ft2, 1),
        "rate_unit": "doublings a season" if s.floating else "ft a season",
        "forecast_rate": {
            "low": round(s.forecast_rate[0], 3),
            "typical": round(s.forecast_rate[1], 3),
            "high": round(s.forecast_rate[2], 3),
        },
        "rate": _three(s.rate),
        "measured_rate": None if s.measured_rate is None else round(s.measured_rate, 3),
        "area_ft2": _three(s.area_ft2),
        "share_percent": _three(s.share_percent),
        "half_cap": _when(s.half_cap),
        "cap": _when(s.cap),
        "half_cap_with_jumps": dict(zip(("early", "middle", "late"), s.jump_years)),
        "ten_years_percent": _three(s.ten_years_percent),
        "ten_years_fitted_percent": _three(s.ten_years_fitted_percent),
        "odd_readings": [d.isoformat() for d in s.odd_days],
        "remarks": list(s.remarks),
        "figure": _figure(s.figure),
    }


def _figure(f: StandFigure) -> dict:
    def band(told):
        days, low, middle, high = told
        return {
            "days": [d.isoformat() for d in days],
            "low": [round(v, 4) for v in low],
            "middle": [round(v, 4) for v in middle],
            "high": [round(v, 4) for v in high],
        }

    return {
        "title": f.title,
        "cap_percent": f.cap_percent,
        "today": f.today.isoformat(),
        "points": [
            {"day": d.isoformat(), "percent": round(s, 4), "used": used, "odd": d in f.odd_days}
            for d, s, used in f.points
        ],
        "forecast": band(f.forecast),
        "fitted": band(f.fitted),
    }
