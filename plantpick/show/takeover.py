"""How much of a pond a plant takes, what stops it where, and what changes that."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from rich.console import Console
from rich.padding import Padding
from rich.text import Text

from plantpick.pond.model import Pond
from plantpick.ranking.chances import chance_words
from plantpick.ranking.takeover import YEARS
from plantpick.ranking.takeover_report import TakeoverReport
from plantpick.show.records import LEVELS, dumps, levels, to_csv
from plantpick.show.terminal import bullets, heading, paragraph, pond_name, right, show_table, title
from plantpick.units import percent


def show_takeover(out: Console, pond: Pond, told: list[TakeoverReport], charts: bool = True) -> None:
    """Everything for a terminal, from 60 columns up."""
    title(out, f"{pond_name(pond)}: takeover if nobody cuts anything")
    paragraph(
        out,
        f"Per cent of the surface, bank and water, low - typical - high: one case in ten is below low, one in ten above high. "
        f"Your limit for one plant: {pond.cap_percent:g} %, and the chance of passing it that you accept: "
        f"{pond.risk_percent:g} %.",
    )
    for one in told:
        heading(out, f"{one.common_name} ({one.scientific_name})")
        if one.verdict:
            paragraph(out, f"Ruled out here: {one.verdict}.", 2)
        paragraph(
            out,
            f"{one.groups} group{'s' if one.groups > 1 else ''} of {one.group}: {chance_words(one.chance_over_cap)} that it "
            "passes your limit in ten years.",
            2,
        )
        show_table(
            out,
            [right("year"), *map(right, LEVELS), ""],
            (
                [str(year), *_per_cent(one.shares[year]), _over(one.shares[year], one.cap_percent)]
                for year in YEARS
            ),
        )
        if charts:
            out.print(Padding(Text(chart(one, min(100, out.width - 4))), (0, 0, 0, 2)))
        if one.stops:
            show_table(
                out,
                ["stretch", right("slope"), right("stops out at"), right("in water of"), "stopped by"],
                (
                    [
                        s.stretch,
                        f"{s.slope:.3g}:1",
                        f"{s.out_ft[0]:.0f} - {s.out_ft[1]:.0f} - {s.out_ft[2]:.0f} ft",
                        f"{s.depth_in[0]:.0f} to {s.depth_in[1]:.0f} in",
                        s.by,
                    ]
                    for s in one.stops
                ),
            )
        show_table(
            out,
            ["after ten years", *map(right, LEVELS), ""],
            (
                [name, *_per_cent(shares), note]
                for name, shares, note in (("left alone", one.shares[10], ""), *one.changed)
            ),
            above=1,
        )
        bullets(out, one.remarks)


def _per_cent(shares: Iterable[float]) -> list[str]:
    return [f"{percent(v)} %" for v in shares]


def _over(shares: Sequence[float], cap: float) -> str:
    """Whether even the high forecast stays under the cap."""
    return "over your limit" if shares[2] > cap else ""


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
        legend.append("= your limit")
    plotext.ylim(0.0, top)
    plotext.xticks(years, [str(y) for y in years])
    return (
        plotext.uncolorize(plotext.build()).rstrip()
        + f"\n{'   '.join(legend)}   (per cent of the surface by year)"
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
                    **levels(one.shares[y], unit="_percent", digits=4),
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
                    "chance_over_cap": round(one.chance_over_cap, 3),
                    "lives_here": one.lives,
                    "code": one.code,
                    "ruled_out": one.verdict or None,
                    "share_percent": {
                        str(y): levels(v, unit="_percent", digits=4) for y, v in one.shares.items()
                    },
                    "stops": [
                        {
                            "stretch": s.stretch,
                            "slope": s.slope,
                            "out_ft": levels(s.out_ft, digits=4),
                            "depth_in": [round(d, 1) for d in s.depth_in],
                            "stopped_by": s.by,
                        }
                        for s in one.stops
                    ],
                    "after_ten_years_if": [
                        {"what": name, **levels(v, unit="_percent", digits=4), "note": note}
                        for name, v, note in one.changed
                    ],
                    "remarks": list(one.remarks),
                }
                for one in told
            ],
        }
    )
