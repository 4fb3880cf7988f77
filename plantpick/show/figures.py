"""Figures as SVG text, drawn with matplotlib without a window: legible in black and white, and each with words for it.

Colours go with line styles, hatching or numbers, so that nothing rests on colour alone.
"""

from __future__ import annotations

import io
import re
import warnings
from dataclasses import dataclass
from datetime import date

import numpy as np

from plantpick.basin import area_at_depth_ft2
from plantpick.groups import Span
from plantpick.light import deepest_growth_in
from plantpick.planting import Plan
from plantpick.pond import ACRE_FT2, Pond, Stretch
from plantpick.words import BANDS

WIDE, SMALL = 5.0, 9.0  # inches, and points of the small print: one point is about one pixel on a phone
WATER, DEEP, BANK, INK, LEAF, WARN = "#d6e6ee", "#5b8aa3", "#cbb994", "#1d2b24", "#2f6b46", "#8c2f1b"
STYLE = {
    "font.size": 10.0,
    "font.family": "sans-serif",
    "font.sans-serif": ["Helvetica", "Arial", "DejaVu Sans"],
    "svg.fonttype": "none",
    "svg.hashsalt": "plantpick",
    "text.parse_math": False,
    "axes.edgecolor": INK,
    "axes.labelcolor": INK,
    "xtick.color": INK,
    "ytick.color": INK,
    "text.color": INK,
    "axes.spines.top": False,
    "axes.spines.right": False,
    "hatch.linewidth": 0.6,
    "axes.axisbelow": True,
}


@dataclass(frozen=True)
class Picture:
    """One figure: its SVG, a caption, and what it shows in words for those who cannot see it."""

    name: str
    svg: str
    caption: str
    words: str


def draw(name: str, height: float, caption: str, words: str, paint) -> Picture:
    """Run `paint(figure)` under the common style and take the SVG; ids are made the figure's own."""
    import logging

    import matplotlib
    from matplotlib.backends.backend_svg import FigureCanvasSVG
    from matplotlib.figure import Figure

    logging.getLogger("matplotlib").setLevel(logging.ERROR)
    with matplotlib.rc_context(STYLE), warnings.catch_warnings():
        warnings.simplefilter("ignore")
        figure = Figure(figsize=(WIDE, height), layout="constrained")
        FigureCanvasSVG(figure)
        paint(figure)
        text = io.StringIO()
        figure.savefig(text, format="svg", metadata={"Date": None, "Creator": None}, transparent=True)
    svg = text.getvalue()
    svg = svg[svg.index("<svg") :]
    svg = re.sub(r"<metadata>.*?</metadata>|<defs>\s*<style.*?</style>\s*</defs>", "", svg, flags=re.S)
    svg = re.sub(r'(\bid="|href="#|url\(#)', rf"\g<1>{name}-", svg)
    svg = re.sub(
        r'<svg ([^>]*?)width="[^"]*" height="[^"]*"|<svg height="[^"]*" width="[^"]*"',
        r"<svg \1",
        svg,
        count=1,
    )
    return Picture(name, svg, caption, words)


def depth_area(pond: Pond) -> Picture:
    """How much surface lies inside each depth, with bands, low pool and the deepest growth."""
    depth = np.linspace(0.0, pond.max_depth_in - 1e-6, 120)
    acres = np.asarray(area_at_depth_ft2(pond, depth)) / ACRE_FT2
    marks = []
    if pond.usual_drop_in > 0:
        marks.append((pond.usual_drop_in, "low pool"))
    if pond.clarity_in is not None:
        usual = deepest_growth_in(pond.clarity_in)[0]
        if usual < pond.max_depth_in:
            marks.append((usual, "usual deepest growth"))

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
                at / 12 + pond.max_depth_ft * 0.012,
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


def section(plan: Plan, stretch: Stretch, number: int) -> Picture:
    """A cut across one stretch: bank, bottom, full and low pool, bands, and the numbered groups where they stand."""
    groups = [g for g in plan.groups if g.stretch == stretch.name]
    pond, slope = plan.pond, stretch.slope
    deepest = min(pond.max_depth_in, max([36.0, *(g.depth_in + 14 for g in groups)]))
    top = -14.0 if all(g.depth_in > -12 for g in groups) else -40.0
    tall = deepest * 1.12 - top
    row = 0.11  # of the height of the ground, for one line of words

    def out(depth_in):
        return slope * depth_in / 12.0

    def paint(figure):
        axes = figure.add_subplot()
        span = np.array([top, deepest])
        axes.fill_between([out(0), out(deepest)], [0, 0], [0, -deepest], color=WATER)
        axes.fill_between(
            out(span), -span, [-deepest * 1.12] * 2, facecolor=BANK, hatch="//", edgecolor="#a8966f", lw=0
        )
        axes.plot(out(span), -span, color=INK, lw=1.6)
        axes.plot([out(0), out(deepest)], [0, 0], color=DEEP, lw=1.6)
        axes.text(out(deepest), tall * 0.01, "full pool", ha="right", va="bottom", fontsize=SMALL)
        drop = pond.usual_drop_in
        if 0 < drop < deepest:
            axes.plot([out(drop), out(deepest)], [-drop] * 2, color=DEEP, lw=1.2, ls="--")
            axes.text(out(deepest), -drop - tall * 0.02, "low pool", ha="right", va="top", fontsize=SMALL)
        for band, (shallow, deep) in BANDS.items():
            if 0 < deep < deepest:
                axes.plot([out(deep)] * 2, [0, -deep], color=DEEP, lw=0.7, ls=":")
        # one row a label, the outermost lowest, so that no line runs through another's words
        up = tall * 0.14
        for g in sorted(groups, key=lambda g: -g.depth_in):
            x, y = out(g.depth_in), -g.depth_in
            up = max(up, y + tall * 0.12)
            words = f"{g.label} {_short(_name(plan, g.plant_id), 28)}"
            left = min(x, out(deepest) - len(words) * 0.0155 * out(deepest - top))
            axes.plot([x, x], [y, up], color=LEAF, lw=1.0)
            axes.plot([x], [y], marker="o", ms=5, color=LEAF, mec=INK, mew=0.5)
            axes.text(
                left,
                up,
                words,
                ha="left",
                va="center",
                fontsize=SMALL,
                weight="bold",
                bbox={"boxstyle": "square,pad=0.15", "fc": "white", "ec": "none"},
            )
            up += tall * row
        axes.set(
            xlim=(out(top), out(deepest)),
            ylim=(-deepest * 1.12, max(-top, up)),
            xlabel="feet from the waterline at full pool",
            ylabel="inches",
        )
        axes.yaxis.set_major_formatter(lambda v, _: f"{abs(v):g}")
        axes.set_yticks([t for t in axes.get_yticks() if -deepest * 1.12 <= t <= -top])

    told = "; ".join(
        f"{g.label} {_name(plan, g.plant_id)} at {_depth(g.depth_in)}, {abs(out(g.depth_in)):.0f} ft "
        f"{'out' if g.depth_in > 0 else 'up the bank'}"
        for g in groups
    )
    words = f"{stretch.name}, {slope:g} ft out for 1 ft down. " + (
        f"Groups: {told}." if groups else "Nothing is planted here."
    )
    title = f"{stretch.name}: {slope:g}:1, {stretch.plantable_ft:,.0f} ft to plant (upright scale stretched)"
    return draw(f"section-{number}", 2.35 + 0.2 * max(0, len(groups) - 1), title, words, paint)


def _name(plan: Plan, plant_id: str) -> str:
    return next(c.ranked.common_name for c in plan.chosen if c.ranked.plant_id == plant_id)


def _depth(depth_in: float) -> str:
    return f"{depth_in:.0f} in deep" if depth_in > 0 else f"{-depth_in:.0f} in above the water"


def plan_view(plan: Plan) -> Picture:
    """The outline from above with the limits of the bands, where they were sounded, and the numbered groups.

    An outline does not say where a stretch begins: they are laid along it in the order of the pond file.
    """
    import shapely

    from plantpick import survey as surveys

    pond, outline = plan.pond, plan.pond.survey.outline
    water = surveys.polygon(outline)
    ring = shapely.LinearRing(outline.rings[0])
    if not ring.is_ccw:
        ring = ring.reverse()
    ring = shapely.LinearRing(list(ring.coords)[::-1])  # clockwise, as one walks with the water on the right
    scale = ring.length / sum(s.length_ft for s in pond.shore)
    spots, ends, begin = [], [], 0.0
    for stretch in pond.shore:
        ends.append((begin * scale, stretch.name))
        here = [(g, k) for g in plan.groups if g.stretch == stretch.name for k in range(g.number)]
        for place, (g, k) in enumerate(here):
            at = (begin + (place + 0.5) * stretch.length_ft / len(here)) * scale
            spots.append(
                (
                    g.first + k,
                    _inward(ring, water, at, max(2.0, stretch.slope * g.depth_in / 12.0)),
                    g.depth_in,
                )
            )
        begin += stretch.length_ft

    def paint(figure):
        axes = figure.add_subplot()
        for k, part in enumerate(outline.rings):
            x, y = np.array([*part, part[0]]).T
            axes.fill(x, y, color=WATER if k == 0 else "white", zorder=0)
            axes.plot(x, y, color=INK, lw=1.6)
        if pond.survey.soundings is not None:
            surface = surveys.triangulate(outline, np.asarray(pond.survey.soundings))
            levels = [deep for _, deep in BANDS.values() if 6 < deep < pond.max_depth_in]
            drawn = axes.tricontour(
                *surface.xy.T,
                surface.triangles,
                surface.depth_in,
                levels=levels,
                colors=DEEP,
                linewidths=0.8,
                linestyles=[":", "--", "-."][: len(levels)],
            )
            axes.clabel(drawn, fmt=lambda v: f"{v:g} in", fontsize=7)
        for at, name in ends:
            point = ring.interpolate(at)
            axes.plot(point.x, point.y, marker="D", ms=5, color=WARN, zorder=4)
        crowd = len(spots) > 24
        for number, (x, y), _ in spots:
            axes.plot(x, y, "o", ms=3 if crowd else 4, color=LEAF, mec=INK, mew=0.4, zorder=3)
        shown: list[tuple[float, float]] = []
        room = ring.length / 45
        middle = water.centroid
        for number, (x, y), _ in spots:
            away = np.hypot(middle.x - x, middle.y - y) or 1.0
            tx, ty = x + (middle.x - x) / away * room * 0.8, y + (middle.y - y) / away * room * 0.8
            if all(np.hypot(tx - a, ty - b) > room * 0.85 for a, b in shown):
                axes.text(
                    tx, ty, str(number), fontsize=7.5, ha="center", va="center", weight="bold", zorder=5
                )
                shown.append((tx, ty))
        left, low, right, high = water.bounds
        reach = 10 ** np.floor(np.log10((right - left) / 2))
        axes.plot([left, left + reach], [low - room] * 2, color=INK, lw=2)
        axes.text(left + reach / 2, low - room * 1.3, f"{reach:g} ft", ha="center", va="top", fontsize=SMALL)
        axes.set_aspect("equal")
        axes.set_axis_off()

    left, low, right, high = water.bounds
    height = float(np.clip(WIDE * (high - low) / (right - left) + 0.5, 2.2, 6.5))
    order = ", ".join(name for _, name in ends)
    words = (
        f"The pond from above, with {len(spots)} groups along the shore. Stretches follow the outline clockwise from its "
        f"first point, in the order of the pond file: {order}."
    )
    return draw(
        "plan-view",
        height,
        "From above: bands and groups (diamonds: where each stretch is taken to begin)",
        words,
        paint,
    )


def _inward(ring, water, at: float, out_ft: float) -> tuple[float, float]:
    """The point `out_ft` from the shore on the water's side, opposite the place `at` feet along the ring."""
    import shapely

    here, ahead = ring.interpolate(at % ring.length), ring.interpolate((at + 1.0) % ring.length)
    dx, dy = ahead.x - here.x, ahead.y - here.y
    size = float(np.hypot(dx, dy)) or 1.0
    for side in (1.0, -1.0):
        point = (here.x + side * dy / size * out_ft, here.y - side * dx / size * out_ft)
        if water.contains(shapely.Point(point)):
            return point
    return here.x, here.y


def cover_forecast(plan: Plan) -> Picture:
    """Fish cover by year with its range, against the target and the upper cover."""
    years = sorted(plan.cover)
    low, typical, high = np.array([plan.cover[y] for y in years]).T
    upper, target = plan.wishes.upper, plan.wishes.cover

    def paint(figure):
        axes = figure.add_subplot()
        axes.fill_between(years, low, high, facecolor="#cfe0d4", hatch="///", edgecolor="#8fb39c", lw=0)
        axes.plot(years, typical, color=LEAF, lw=2.2, marker="o", ms=4)
        axes.plot(years, high, color=INK, lw=1.2, ls="-.")
        axes.plot(years, low, color=INK, lw=1.2)
        for at, word, style in (
            (upper, f"upper cover {upper:g} %", "--"),
            (target, f"wanted {target:g} % (brush taken off)", ":"),
        ):
            if at > 0:
                axes.axhline(at, color=WARN, lw=1.5, ls=style)
                axes.text(1.05, at, word, fontsize=SMALL, va="bottom", color=WARN)
        for values, word in ((high, "pessimistic"), (typical, "typical"), (low, "cautious")):
            axes.annotate(
                word,
                (years[-1], values[-1]),
                xytext=(4, 0),
                textcoords="offset points",
                fontsize=SMALL,
                va="center",
            )
        _apart(axes, years[-1], (high[-1], typical[-1], low[-1]), max(upper, high.max()) * 1.12)
        axes.set(
            xlim=(1, years[-1]),
            ylim=(0, max(upper, float(high.max()), target) * 1.12),
            xlabel="years after planting, nobody cutting",
            ylabel="per cent of the surface",
        )
        axes.set_xticks(years)

    words = (
        "Fish cover, per cent of the surface, cautious, typical and pessimistic: "
        + "; ".join(f"year {y}: {a:.1f}, {b:.1f}, {c:.1f}" for y, a, b, c in zip(years, low, typical, high))
        + (f". Wanted: {target:g} by year {plan.wishes.year}. Upper cover: {upper:g}.")
    )
    return draw(
        "cover-forecast", 3.0, "Fish cover if nobody ever cuts anything, with its range", words, paint
    )


def _apart(axes, x, values, top: float) -> None:
    """Move the words at the lines' ends so far apart that none lies on another."""
    notes = [a for a in axes.texts if a.get_text() in ("pessimistic", "typical", "cautious")]
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
            f"cap {plan.wishes.cap:g} %  ",
            ha="right",
            va="bottom",
            fontsize=SMALL,
            color=WARN,
        )
        axes.set_yticks(range(len(chosen)), [_short(c.ranked.common_name) for c in chosen], fontsize=SMALL)
        axes.set(
            ylim=(-0.6, len(chosen) + 0.2),
            xlim=(0, max(plan.wishes.cap, *(c.takeover[10][2] for c in chosen)) * 1.06),
            xlabel="per cent of the surface, bank and water",
        )

    words = (
        "After ten untended years, low, typical and high: "
        + "; ".join(
            f"{c.ranked.common_name} {c.takeover[10][0]:.1f}, {c.takeover[10][1]:.1f}, {c.takeover[10][2]:.1f}"
            for c in chosen[::-1]
        )
        + (f". The cap for one plant is {plan.wishes.cap:g} %.")
    )
    return draw(
        "takeover",
        0.9 + 0.3 * len(chosen),
        "Each plant after ten untended years (bar: low to high, dot: typical)",
        words,
        paint,
    )


def _short(name: str, most: int = 24) -> str:
    return name if len(name) <= most else f"{name[: most - 1]}…"


def year_calendar(spans: tuple[Span, ...], year: int) -> Picture:
    """The planting year as bars over the months; what runs over the year's end comes back at its start."""
    first = date(year, 1, 1).toordinal()
    days = date(year + 1, 1, 1).toordinal() - first

    def paint(figure):
        axes = figure.add_subplot()
        hatches = ["", "///", "---", "xxx", "\\\\\\"]
        for row, span in enumerate(spans[::-1]):
            start, end = span.start.toordinal() - first, span.end.toordinal() - first + 1
            kind = span.what.split()[0].rstrip(",")
            look = {"order": 3, "plant": 0, "measure": 2, "trim": 1, "cut": 4}.get(kind, 0)
            for shift in (-days, 0, days):
                a, b = max(0, start + shift), min(days, end + shift)
                if b > a:
                    axes.barh(
                        row,
                        b - a,
                        left=a,
                        height=0.62,
                        color=LEAF if look == 0 else "white",
                        edgecolor=LEAF,
                        hatch=hatches[look],
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
    """All figures of the report, in its order."""
    pond = plan.pond
    outlined = pond.survey is not None and pond.survey.outline is not None
    planted = {g.stretch for g in plan.groups}
    sections = [section(plan, s, n) for n, s in enumerate(pond.stretches, 1) if s.name in planted]
    return [
        *([plan_view(plan)] if outlined else []),
        *sections,
        cover_forecast(plan),
        takeover_bars(plan),
        year_calendar(spans, year),
        depth_area(pond),
    ]
