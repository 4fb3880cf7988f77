"""The figures of a plan: cover and takeover by year, the planting year, and how deep the pond is."""

from __future__ import annotations

from datetime import date

import numpy as np

from plantpick.planting.instructions import Chore, Span
from plantpick.planting.model import Plan
from plantpick.pond.basin import area_at_depth_ft2
from plantpick.pond.deepest_growth import growth_limit_in
from plantpick.pond.model import ACRE_FT2, Pond
from plantpick.show.figures.drawing import DEEP, INK, LEAF, SMALL, WARN, WATER, Picture, draw, shortened
from plantpick.vocabulary import BANDS

HATCHES = {Chore.ORDER: "xxx", Chore.PLANT: "", Chore.MEASURE: "---", Chore.TRIM: "///", Chore.CUT: "\\\\\\"}
SLOW, TYPICAL, FAST = "slow", "typical", "fast"  # growth


def depth_area(pond: Pond) -> Picture:
    """How much surface lies inside each depth, with bands, low pool and the deepest growth."""
    depth = np.linspace(0.0, pond.max_depth_in - 1e-6, 120)
    acres = np.asarray(area_at_depth_ft2(pond, depth)) / ACRE_FT2
    marks = []
    if pond.usual_drop_in > 0:
        marks.append((pond.usual_drop_in, "low pool"))
    limit = growth_limit_in(pond)
    if limit and limit[0] < pond.max_depth_in:
        marks.append((limit[0], "usual deepest growth"))

    def paint(figure):
        axes = figure.add_subplot()
        axes.fill_betweenx(depth / 12, 0, acres, color=WATER)
        axes.plot(acres, depth / 12, color=INK, lw=1.6)
        for _, deep in BANDS.values():
            if 0 < deep < pond.max_depth_in:
                axes.plot(
                    [0, float(area_at_depth_ft2(pond, deep)) / ACRE_FT2],
                    [deep / 12] * 2,
                    color=DEEP,
                    lw=0.7,
                    ls=":",
                )
        for at, word in marks:
            axes.plot(
                [0, float(area_at_depth_ft2(pond, at)) / ACRE_FT2], [at / 12] * 2, color=WARN, lw=1.4, ls="--"
            )
            axes.text(
                pond.area_acres * 0.02,
                at / 12 + pond.max_depth_ft * 0.025,
                word,
                fontsize=SMALL,
                va="top",
                color=WARN,
            )
        axes.set(
            xlim=(0, pond.area_acres * 1.02),
            ylim=(pond.max_depth_ft, 0),
            xlabel="acres inside that depth",
            ylabel="depth at full pool, ft",
        )

    half = float(area_at_depth_ft2(pond, pond.max_depth_in / 2)) / ACRE_FT2
    shallow = 1 - float(area_at_depth_ft2(pond, min(36.0, pond.max_depth_in))) / pond.area_ft2
    words = (
        f"Surface {pond.area_acres:.1f} acres at full pool, {half:.1f} acres at half the greatest depth of "
        f"{pond.max_depth_ft:g} ft; {100 * shallow:.0f} % of the surface is under 3 ft deep."
        + "".join(f" {word.capitalize()} at {at / 12:.1f} ft." for at, word in marks)
    )
    return draw(
        "depth-area",
        2.9,
        "How much of the pond lies inside each depth (dotted: limits of the depth bands)",
        words,
        paint,
    )


def cover_forecast(plan: Plan) -> Picture:
    """Fish cover by year with its range, against the target and the upper cover."""
    years = sorted(plan.cover)
    low, typical, high = np.array([plan.cover[y] for y in years]).T
    upper, target = plan.wishes.upper, plan.wishes.cover or 0.0

    def paint(figure):
        axes = figure.add_subplot()
        axes.fill_between(years, low, high, facecolor="#cfe0d4", hatch="///", edgecolor="#8fb39c", lw=0)
        axes.plot(years, typical, color=LEAF, lw=2.2, marker="o", ms=4)
        axes.plot(years, high, color=INK, lw=1.2, ls="-.")
        axes.plot(years, low, color=INK, lw=1.2)
        top = 1.15 * max(float(high.max()), target)
        if upper <= 2 * top:
            top = max(top, 1.12 * upper)
            axes.axhline(upper, color=WARN, lw=1.5, ls="--")
            axes.text(
                1.05, upper, f"limit for all plants {upper:g} %", fontsize=SMALL, va="bottom", color=WARN
            )
        else:
            axes.text(
                1.05,
                top,
                f"limit for all plants {upper:g} %: far above",
                fontsize=SMALL,
                va="top",
                color=WARN,
            )
        if target > 0:
            axes.plot([plan.wishes.year], [target], marker="D", ms=6, color=WARN, mec=INK, mew=0.5, zorder=5)
            axes.annotate(
                f"you want {target:g} % by year {plan.wishes.year}, besides brush",
                (plan.wishes.year, target),
                xytext=(1.15, max(0.62 * top, min(1.12 * target, 0.9 * top))),
                fontsize=SMALL,
                va="center",
                color=WARN,
                arrowprops={"arrowstyle": "-", "color": WARN, "lw": 0.9},
            )
        for values, word in ((high, FAST), (typical, TYPICAL), (low, SLOW)):
            axes.annotate(
                word,
                (years[-1], values[-1]),
                xytext=(4, 0),
                textcoords="offset points",
                fontsize=SMALL,
                va="center",
            )
        _apart(axes, years[-1], (high[-1], typical[-1], low[-1]), top)
        axes.set(
            xlim=(1, years[-1]),
            ylim=(0, top),
            xlabel="years after planting, nothing else cut",
            ylabel="per cent of the surface",
        )
        axes.set_xticks(years)

    words = (
        "Fish cover, per cent of the surface, if growth is slow, typical and fast: "
        + "; ".join(f"year {y}: {a:.1f}, {b:.1f}, {c:.1f}" for y, a, b, c in zip(years, low, typical, high))
        + (f". You want {target:g} by year {plan.wishes.year}" if target else "")
        + f". Limit for all plants: {upper:g}."
    )
    return draw(
        "cover-forecast",
        3.0,
        "Fish cover if nobody ever cuts anything: if growth is slow, typical, fast",
        words,
        paint,
    )


def _apart(axes, x, values, top: float) -> None:
    """Move the words at the lines' ends so far apart that none lies on another."""
    notes = [a for a in axes.texts if a.get_text() in (FAST, TYPICAL, SLOW)]
    least, floor = top * 0.06, -1.0
    for note, value in sorted(zip(notes, values), key=lambda p: p[1]):
        at = max(value, floor + least)
        note.xy, floor = (x, at), at


def takeover_bars(plan: Plan) -> Picture:
    """Each plant after ten untended years, low to high, against the cap for one plant."""
    chosen = sorted(plan.chosen, key=lambda c: c.takeover[10][2])

    def paint(figure):
        axes = figure.add_subplot()
        for row, c in enumerate(chosen):
            low, typical, high = c.takeover[10]
            axes.plot([low, high], [row, row], color=LEAF, lw=5, solid_capstyle="butt", alpha=0.45)
            axes.plot([low, high], [row, row], color=INK, lw=0.8, marker="|", ms=8)
            axes.plot([typical], [row], "o", ms=5.5, color=LEAF, mec=INK, mew=0.6)
        axes.axvline(plan.wishes.cap, color=WARN, lw=1.5, ls="--")
        axes.text(
            plan.wishes.cap,
            len(chosen) - 0.35,
            f"your limit {plan.wishes.cap:g} %  ",
            ha="right",
            va="bottom",
            fontsize=SMALL,
            color=WARN,
        )
        axes.set_yticks(range(len(chosen)), [shortened(c.ranked.common_name) for c in chosen], fontsize=SMALL)
        axes.set(
            ylim=(-0.6, len(chosen) + 0.2),
            xlim=(0, max(plan.wishes.cap, *(c.takeover[10][2] for c in chosen)) * 1.06),
            xlabel="per cent of the surface, bank and water",
        )

    words = (
        "After ten years, with what holds each plant kept up and nothing else cut, low, typical and high: "
        + "; ".join(
            f"{c.ranked.common_name} {c.takeover[10][0]:.1f}, {c.takeover[10][1]:.1f}, {c.takeover[10][2]:.1f}"
            for c in chosen[::-1]
        )
        + (f". Your limit for one plant is {plan.wishes.cap:g} %.")
    )
    return draw(
        "takeover",
        0.9 + 0.3 * len(chosen),
        "Each plant after ten years, held as said (bar: low to high, dot: typical)",
        words,
        paint,
    )


def year_calendar(spans: tuple[Span, ...], year: int) -> Picture:
    """The planting year as bars over the months; what runs over the year's end comes back at its start."""
    first = date(year, 1, 1).toordinal()
    days = date(year + 1, 1, 1).toordinal() - first

    def paint(figure):
        axes = figure.add_subplot()
        for row, span in enumerate(spans[::-1]):
            start, end = span.start.toordinal() - first, span.end.toordinal() - first + 1
            hatch = HATCHES[span.chore]
            for shift in (-days, 0, days):
                a, b = max(0, start + shift), min(days, end + shift)
                if b > a:
                    axes.barh(
                        row,
                        b - a,
                        left=a,
                        height=0.62,
                        color=LEAF if not hatch else "white",
                        edgecolor=LEAF,
                        hatch=hatch,
                    )
        axes.set_yticks(range(len(spans)), [s.what for s in spans[::-1]], fontsize=SMALL)
        starts = [date(year, m, 1).toordinal() - first for m in range(1, 13)]
        axes.set_xticks(starts, list("JFMAMJJASOND"), fontsize=SMALL, ha="left")
        axes.set(xlim=(0, days), ylim=(-0.6, len(spans) - 0.4))
        axes.grid(axis="x", color="#c9c9c9", lw=0.5)
        axes.tick_params(length=0)

    words = "; ".join(f"{s.what}: {s.start:%B} {s.start.day} to {s.end:%B} {s.end.day}" for s in spans) + "."
    return draw("calendar", 0.7 + 0.3 * len(spans), "The planting year, from the mean frosts", words, paint)


def plan_pictures(plan: Plan, spans: tuple[Span, ...], year: int) -> list[Picture]:
    """The figures of a plan that are no planting sheet's."""
    return [cover_forecast(plan), takeover_bars(plan), year_calendar(spans, year), depth_area(plan.pond)]
