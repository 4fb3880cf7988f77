"""What the log says of a pond, for a terminal, with a chart for each stand."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from rich.console import Console
from rich.padding import Padding
from rich.text import Text

from plantpick.monitoring.projection import StandFigure
from plantpick.monitoring.stand import Stand
from plantpick.monitoring.watch import Watch
from plantpick.show.law import show_law
from plantpick.show.terminal import Column, bullets, heading, paragraph, pond_name, show_table, title
from plantpick.show.watch_words import (
    gone_lines,
    jump_words,
    law_first_lines,
    light_lines,
    rate_words,
    share_words,
    stand_lines,
    totals_lines,
    volunteer_lines,
    when_words,
)
from plantpick.vocabulary import STATES


def show_watch(out: Console, told: Watch, charts: bool = True) -> None:
    """The verdicts first, then each stand with its chart, volunteers, light and level, and the cautions."""
    pond = told.pond
    title(out, f"{pond_name(pond)}, {STATES[pond.state][0]}, as of {told.today}")
    paragraph(
        out,
        f"Your limit for one plant: {pond.cap_percent:g} % of the surface "
        f"({pond.cap_percent / 100 * pond.area_ft2:,.0f} sq ft). Ranges are 80 %.",
    )
    if law := law_first_lines(told):
        heading(out, "The law first")
        bullets(out, law)
        out.print()
    if not told.stands:
        paragraph(out, "Your log names no plant that is still there.")
    else:
        _show_stands(out, told.stands)
    for stand in told.stands:
        _show_stand(out, stand, charts)
    for words, lines in (
        ("In all", totals_lines(told)),
        ("Plants you didn't set", volunteer_lines(told)),
        ("Taken out", gone_lines(told)),
    ):
        if lines:
            heading(out, words)
            bullets(out, lines)
    _show_light(out, told)
    if told.assumed:
        heading(out, "What we assumed")
        bullets(out, told.assumed)
    heading(out, "Take care")
    bullets(out, told.cautions)
    show_law(out, told.law, told.pond.state)


def _show_stands(out: Console, stands: Iterable[Stand]) -> None:
    show_table(
        out,
        [
            Column("stand", ratio=4),
            Column("verdict", ratio=3),
            Column("edge a season", ratio=3),
            Column("holds now", ratio=2),
            Column("half your limit", ratio=4),
            Column("do", ratio=5),
        ],
        (
            [
                f"{s.common_name}\n{s.stretch}",
                s.verdict,
                rate_words(s),
                f"{s.area_ft2[1]:,.0f} sq ft\n{share_words(s)}",
                "\n".join(filter(None, (when_words(s.half_cap), jump_words(s).split(" (")[0]))),
                s.what_to_do,
            ]
            for s in stands
        ),
        indent=0,
    )


def _show_stand(out: Console, s: Stand, charts: bool) -> None:
    heading(out, f"{s.common_name}, {s.stretch}: {s.verdict}")
    bullets(out, stand_lines(s))
    if charts:
        out.print(Padding(Text(chart(s.figure, min(100, out.width - 4))), (0, 0, 0, 2)))


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
    seen = 1.1 * max(*(p[1] for p in figure.points), *(figure.fitted[2] or (figure.forecast[2][-1],)), 1e-3)
    top = min(1.1 * figure.cap_percent, max(seen, 1.1 * half if half < 2.5 * seen else 0.0))
    top = max(top, *(1.1 * p[1] for p in figure.points), 1e-3)
    legend = []
    for values in (figure.forecast[1], figure.forecast[3]):
        _line(plotext, years(figure.forecast[0]), values, top, ".")
    legend.append(". forecast, low and high")
    if figure.fitted[0]:
        _line(plotext, years(figure.fitted[0]), figure.fitted[2], top, "+")
        legend.append("+ fitted")
    for share, mark, name in ((half, "-", "half your limit"), (figure.cap_percent, "=", "your limit")):
        if share <= top:
            xs = years(figure.forecast[0])
            _line(plotext, [xs[0], xs[-1]], [share, share], top, mark)
            legend.append(f"{mark} {name}")
    odd = set(figure.odd_days)
    kinds = {"O": "measured", "?": "measured, looks wrong", "x": "measured, strip full"}
    for mark, name in kinds.items():
        shown = [(d, s) for d, s, u in figure.points if mark == ("?" if d in odd else "O" if u else "x")]
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
    above = f" (half your limit, {half:g}, is above)" if half > top else ""
    return f"Per cent of the pond's surface{above}\n{drawn}\n{'   '.join(legend)}"


def _line(plotext, xs, ys, top: float, mark: str) -> None:
    """The part of a line that is inside the chart."""
    kept = [(x, y) for x, y in zip(xs, ys) if y <= top]
    if kept:
        plotext.plot([x for x, _ in kept], [y for _, y in kept], marker=mark)


def _show_light(out: Console, told: Watch) -> None:
    new, lines = told.refreshed, light_lines(told)
    if new.drop_now_ft is not None:
        bands = ", ".join(f"{band} {area:,.0f} sq ft" for band, area in new.bands_now)
        lines.append(
            f"On {new.drop_day} the water stood {new.drop_now_ft:g} ft under full pool; water then: {bands}"
        )
    if lines or new.remarks:
        heading(out, "Light and level")
        bullets(out, [*lines, *new.remarks])
