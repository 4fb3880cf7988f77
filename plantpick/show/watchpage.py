"""What the log says of a pond: for a terminal with a chart per stand, as JSON or as CSV."""

from __future__ import annotations

from datetime import date

from rich.console import Console
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from plantpick.show.records import dumps, to_csv
from plantpick.show.terminal import bullets, heading, paragraph, percent
from plantpick.watch import Stand, StandFigure, Watch, When
from plantpick.words import STATES


def day_words(day: date | None) -> str:
    return "not in 15 years" if day is None else f"{day:%b} {day.year}"


def when_words(when: When) -> str:
    """A date with its range, in months."""
    if when.never:
        return "never on this stretch"
    if when.now:
        return "already"
    if when.middle is None:
        return "not in 15 years" if when.early is None else f"not before {day_words(when.early)}"
    first, middle, last = (day_words(d) for d in (when.early, when.middle, when.late))
    return (
        middle
        if first == last
        else f"{middle} ({first} to {'beyond 15 years' if when.late is None else last})"
    )


def rate_words(stand: Stand) -> str:
    low, middle, high = stand.rate
    unit = "doublings" if stand.floating else "ft"
    if stand.verdict in ("not measured yet", "too early to say"):
        return f"{low:.1f} to {high:.1f} {unit}"
    return f"{middle:.1f} {unit}\n({low:.1f} to {high:.1f})"


def show_watch(out: Console, told: Watch, charts: bool = True) -> None:
    """The verdicts first, then each stand with its chart, volunteers, light and level, and the cautions."""
    pond = told.pond
    mark = " (an invented pond)" if pond.invented else ""
    out.print(Text(f"{pond.name}{mark}, {STATES[pond.state][0]}, as of {told.today}", style="bold"))
    paragraph(
        out,
        f"No one plant may hold more than {pond.cap_percent:g} % of the water "
        f"({pond.cap_percent / 100 * pond.area_ft2:,.0f} sq ft). Ranges are 80 %.",
    )
    if not told.stands:
        paragraph(out, "The log names no plant that is still there.")
    else:
        out.print(_table(told.stands))
    for stand in told.stands:
        _show_stand(out, stand, charts)
    if told.totals:
        heading(out, "In all")
        bullets(
            out,
            (
                f"{name}: {percent(share)} % of the surface on all its stretches (cap {pond.cap_percent:g} %)"
                for name, share in told.totals
            ),
        )
    if told.volunteers:
        heading(out, "Came by themselves")
        bullets(
            out,
            (
                f"{v.common_name} on the {v.stretch}: {v.verdict}. {v.why[0].upper()}{v.why[1:]}."
                for v in told.volunteers
            ),
        )
    if told.gone:
        heading(out, "Taken out")
        bullets(
            out, (f"{name}, {stretch}: look for shoots from what was left" for name, stretch in told.gone)
        )
    _show_light(out, told)
    if told.assumed:
        heading(out, "Taken for granted")
        bullets(out, told.assumed)
    heading(out, "Take care")
    bullets(out, told.cautions)


def _table(stands) -> Table:
    table = Table(box=None, padding=(0, 2, 0, 0), pad_edge=False, header_style="bold")
    for name, ratio in (
        ("stand", 4),
        ("verdict", 3),
        ("edge a season", 3),
        ("holds now", 2),
        ("half the cap", 4),
        ("do", 5),
    ):
        table.add_column(name, ratio=ratio)
    for s in stands:
        table.add_row(
            Text(f"{s.common_name}\n{s.stretch}"),
            Text(s.verdict),
            Text(rate_words(s)),
            Text(f"{s.area_ft2[1]:,.0f} sq ft\n{percent(s.share_percent[1])} %"),
            Text(when_words(s.half_cap)),
            Text(s.what_to_do),
        )
    return table


def _show_stand(out: Console, s: Stand, charts: bool) -> None:
    heading(out, f"{s.common_name}, {s.stretch}: {s.verdict}")
    low, middle, high = s.area_ft2
    since = f"planted {s.planted}" if s.planted else "not planted here"
    lines = [
        f"{since}, {s.count} reading{'' if s.count == 1 else 's'}; {s.why}",
        f"now about {middle:,.0f} sq ft ({low:,.0f} to {high:,.0f})",
        f"half the cap: {when_words(s.half_cap)}; the cap: {when_words(s.cap)}",
        "left alone ten years: forecast "
        + _span(s.ten_years_percent)
        + ", at the fitted rate "
        + _span(s.ten_years_fitted_percent)
        + " of the pond",
        s.what_to_do[0].upper() + s.what_to_do[1:],
    ]
    bullets(out, [*lines, *(r[0].upper() + r[1:] for r in s.remarks)])
    if charts and s.count > 1:
        out.print(Padding(Text(chart(s.figure, min(100, out.width - 4))), (0, 0, 0, 2)))


def _span(three) -> str:
    low, middle, high = (percent(v) for v in three)
    return f"{low} - {middle} - {high} %"


def chart(figure: StandFigure, width: int = 76, height: int = 16) -> str:
    """A stand's points, its fit with range, the forecast band and the cap, drawn in characters."""
    import plotext

    plotext.clear_figure()
    plotext.theme("clear")
    plotext.plotsize(max(40, width), height)
    start = figure.forecast[0][0]

    def years(days) -> list[float]:
        return [start.year + (d - date(start.year, 1, 1)).days / 365.25 for d in days]

    half = figure.cap_percent / 2.0
    seen = 1.1 * max(*(p[1] for p in figure.points), max(figure.fitted[2] or (0.0,)), 1e-3)
    top = min(1.1 * figure.cap_percent, max(seen, 1.1 * half if half < 2.5 * seen else 0.0))
    top = max(top, 1.1 * max(p[1] for p in figure.points))
    legend = []
    for values in (figure.forecast[1], figure.forecast[3]):
        _line(plotext, years(figure.forecast[0]), values, top, ".")
    legend.append(". forecast, low and high")
    if figure.fitted[0]:
        _line(plotext, years(figure.fitted[0]), figure.fitted[2], top, "+")
        legend.append("+ fitted")
    for share, mark, name in ((half, "-", "half the cap"), (figure.cap_percent, "=", "cap")):
        if share <= top:
            xs = years(figure.forecast[0])
            _line(plotext, [xs[0], xs[-1]], [share, share], top, mark)
            legend.append(f"{mark} {name}")
    for used, mark, name in ((True, "O", "measured"), (False, "x", "measured, strip full")):
        shown = [(d, s) for d, s, u in figure.points if u is used]
        if shown:
            plotext.scatter(years([d for d, _ in shown]), [s for _, s in shown], marker=mark)
            legend.append(f"{mark} {name}")
    plotext.ylim(0.0, top)
    first, last = start.year, figure.forecast[0][-1].year + 1
    step = max(1, (last - first) // 6)
    plotext.xticks(
        [float(y) for y in range(first, last + 1, step)], [str(y) for y in range(first, last + 1, step)]
    )
    drawn = plotext.uncolorize(plotext.build()).rstrip()
    above = f" (half the cap, {half:g}, is above)" if half > top else ""
    return f"Per cent of the pond's surface{above}\n{drawn}\n{'   '.join(legend)}"


def _line(plotext, xs, ys, top: float, mark: str) -> None:
    """The part of a line that is inside the chart."""
    kept = [(x, y) for x, y in zip(xs, ys) if y <= top]
    if kept:
        plotext.plot([x for x, _ in kept], [y for _, y in kept], marker=mark)


def _show_light(out: Console, told: Watch) -> None:
    new = told.refreshed
    lines = []
    before, after = new.deepest_in
    if after is not None:
        was = f" (pond file: {before[0]:.0f} to {before[1]:.0f} in)" if before and before != after else ""
        lines.append(
            f"Secchi {new.clarity_in[1]:.0f} in: submersed plants usually end at {after[0]:.0f} in of water, at "
            f"most at {after[1]:.0f}{was}"
        )
        was = f" (it was {new.growable[0]:.0%})" if new.growable[0] not in (None, new.growable[1]) else ""
        lines.append(f"they can reach {new.growable[1]:.0%} of the surface{was}")
    old, usual = new.usual_drop_ft
    if usual != old:
        lines.append(
            f"the log shows a usual summer drop of {usual:g} ft, the pond file {old:g}: correct the file"
        )
    if new.drop_now_ft is not None:
        bands = ", ".join(f"{band} {area:,.0f} sq ft" for band, area in new.bands_now)
        lines.append(
            f"on {new.drop_day} the water stood {new.drop_now_ft:g} ft under full pool; water then: {bands}"
        )
    if lines or new.remarks:
        heading(out, "Light and level")
        bullets(out, [*(line[0].upper() + line[1:] for line in lines), *new.remarks])


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
        "points": [{"day": d.isoformat(), "percent": round(s, 4), "used": used} for d, s, used in f.points],
        "forecast": band(f.forecast),
        "fitted": band(f.fitted),
    }
