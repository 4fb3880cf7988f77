"""One plant's takeover as tables with a small chart, as JSON, CSV, or a figure."""

from __future__ import annotations

from rich.console import Console
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from plantpick.plain_text import plain
from plantpick.pond.model import Pond
from plantpick.ranking.takeover import YEARS
from plantpick.ranking.takeover_report import TakeoverReport
from plantpick.show.records import dumps, to_csv
from plantpick.show.terminal import bullets, heading, paragraph, percent


def show_takeover(out: Console, pond: Pond, told: list[TakeoverReport], charts: bool = True) -> None:
    """Everything for a terminal, from 60 columns up."""
    mark = " (an invented pond)" if pond.invented else ""
    out.print(Text(f"{pond.name}{mark}: takeover if nobody cuts anything", style="bold"))
    paragraph(
        out,
        f"Per cent of the surface, bank and water, low - typical - high. Cap for one plant: {pond.cap_percent:g} %.",
    )
    for one in told:
        heading(out, f"{one.common_name} ({one.scientific_name})")
        if one.verdict:
            paragraph(out, f"Ruled out here: {one.verdict}.", 2)
        paragraph(out, f"{one.groups} group{'s' if one.groups > 1 else ''} of {one.group}:", 2)
        table = _table(
            ("year", "right"), ("low", "right"), ("typical", "right"), ("high", "right"), ("", "left")
        )
        for year in YEARS:
            low, typical, high = one.shares[year]
            table.add_row(
                str(year),
                *(f"{percent(v)} %" for v in (low, typical, high)),
                "over the cap" if high > one.cap_percent else "",
            )
        out.print(Padding(table, (0, 0, 0, 2)))
        if charts:
            out.print(Padding(Text(chart(one, min(100, out.width - 4))), (0, 0, 0, 2)))
        if one.stops:
            table = _table(
                ("stretch", "left"),
                ("slope", "right"),
                ("stops out at", "right"),
                ("in water of", "right"),
                ("stopped by", "left"),
            )
            for s in one.stops:
                table.add_row(
                    Text(s.stretch),
                    f"{s.slope:.3g}:1",
                    f"{s.out_ft[0]:.0f} - {s.out_ft[1]:.0f} - {s.out_ft[2]:.0f} ft",
                    f"{s.depth_in[0]:.0f} to {s.depth_in[1]:.0f} in",
                    s.by,
                )
            out.print(Padding(table, (0, 0, 0, 2)))
        table = _table(
            ("after ten years", "left"),
            ("low", "right"),
            ("typical", "right"),
            ("high", "right"),
            ("", "left"),
        )
        for name, shares, note in (("left alone", one.shares[10], ""), *one.changed):
            table.add_row(name, *(f"{percent(v)} %" for v in shares), note)
        out.print(Padding(table, (1, 0, 0, 2)))
        bullets(out, one.remarks)


def _table(*columns: tuple[str, str]) -> Table:
    table = Table(box=None, padding=(0, 2, 0, 0), pad_edge=False, header_style="bold")
    for name, side in columns:
        table.add_column(name, justify=side)
    return table


def chart(one: TakeoverReport, width: int = 76, height: int = 13) -> str:
    """Low, typical and high over the years in characters, with the cap where it is near."""
    import plotext

    plotext.clear_figure()
    plotext.theme("clear")
    plotext.plotsize(max(40, width), height)
    years = sorted(one.shares)
    top = 1.1 * max(one.shares[years[-1]][2], 0.05)
    for level, mark in ((2, "."), (0, "."), (1, "o")):
        plotext.plot(years, [one.shares[y][level] for y in years], marker=mark)
    legend = ["o typical", ". low and high"]
    if one.cap_percent <= top * 1.6:
        top = max(top, one.cap_percent * 1.1)
        plotext.plot([years[0], years[-1]], [one.cap_percent] * 2, marker="=")
        legend.append("= cap")
    plotext.ylim(0.0, top)
    plotext.xticks(years, [str(y) for y in years])
    return (
        plotext.uncolorize(plotext.build()).rstrip()
        + f"\n{'   '.join(legend)}   (per cent of the surface by year)"
    )


def figure(pond: Pond, told: list[TakeoverReport]):
    """All the plants in one figure: typical lines in their ranges, each with its own stroke, and the cap."""
    from plantpick.show.figures.plan import INK, SMALL, WARN, draw

    strokes = ["-", "--", "-.", ":"]
    hatches = ["///", "\\\\\\", "---", "|||"]
    greys = ["#2f6b46", "#3d5a80", "#8a5a2b", "#5c4a72"]

    def paint(figure):
        axes = figure.add_subplot()
        ends = []
        for k, one in enumerate(told):
            years = sorted(one.shares)
            low, typical, high = zip(*(one.shares[y] for y in years))
            color = greys[k % 4]
            axes.fill_between(
                years, low, high, facecolor="none", hatch=hatches[k % 4], edgecolor=color, alpha=0.35, lw=0
            )
            axes.plot(years, typical, color=color, lw=2, ls=strokes[k % 4], label=one.common_name)
            ends.append(high[-1])
        axes.axhline(pond.cap_percent, color=WARN, lw=1.4, ls="--")
        axes.text(1, pond.cap_percent, f"cap {pond.cap_percent:g} %", fontsize=SMALL, va="bottom", color=WARN)
        axes.set(
            xlim=(1, 10),
            ylim=(0, max(*ends, pond.cap_percent) * 1.12),
            xlabel="years after planting, nobody cutting",
            ylabel="per cent of the surface",
        )
        axes.set_xticks(range(1, 11))
        axes.legend(loc="upper left", frameon=False, fontsize=SMALL, labelcolor=INK)

    words = "; ".join(
        f"{one.common_name} after ten years {one.shares[10][0]:.1f} - {one.shares[10][1]:.1f} - {one.shares[10][2]:.1f} %"
        for one in told
    )
    return draw("spread", 3.4, f"Takeover on {pond.name}", words, paint)


def svg_file(picture) -> str:
    """A picture as an SVG file of its own, with its title and description inside."""
    from html import escape

    head, rest = picture.svg.split(">", 1)
    return plain(
        f'<?xml version="1.0" encoding="utf-8"?>\n{head} role="img" width="720">\n<title>{escape(picture.caption)}</title>\n'
        f'<desc>{escape(picture.words)}</desc>\n<rect width="100%" height="100%" fill="white"/>{rest}\n'
    )


def takeover_text(pond: Pond, told: list[TakeoverReport], form: str) -> str:
    """JSON (one object) or CSV (a row a plant and year)."""
    if form == "csv":
        return to_csv(
            [
                {
                    "plant_id": one.plant_id,
                    "common_name": one.common_name,
                    "year": y,
                    "groups": one.groups,
                    **_levels(one.shares[y]),
                    "cap_percent": one.cap_percent,
                }
                for one in told
                for y in sorted(one.shares)
            ]
        )
    return dumps(
        {
            "pond": {"name": pond.name, "invented": pond.invented, "cap_percent": pond.cap_percent},
            "plants": [
                {
                    "plant_id": one.plant_id,
                    "scientific_name": one.scientific_name,
                    "common_name": one.common_name,
                    "groups": one.groups,
                    "plants_each": one.group,
                    "lives_here": one.lives,
                    "ruled_out": one.verdict or None,
                    "share_percent": {str(y): _levels(v) for y, v in one.shares.items()},
                    "stops": [
                        {
                            "stretch": s.stretch,
                            "slope": s.slope,
                            "out_ft": _levels(s.out_ft, ""),
                            "depth_in": [round(d, 1) for d in s.depth_in],
                            "stopped_by": s.by,
                        }
                        for s in one.stops
                    ],
                    "after_ten_years_if": [
                        {"what": name, **_levels(v), "note": note} for name, v, note in one.changed
                    ],
                    "remarks": list(one.remarks),
                }
                for one in told
            ],
        }
    )


def _levels(values, unit: str = "_percent") -> dict[str, float]:
    return {f"{name}{unit}": round(float(v), 4) for name, v in zip(("low", "typical", "high"), values)}
