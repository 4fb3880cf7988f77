"""Where the groups go: a cut across each stretch, and the pond from above where there is an outline."""

from __future__ import annotations

import numpy as np

from plantpick.groups import Span
from plantpick.planting import Plan
from plantpick.pond import Stretch
from plantpick.show.figures import (
    BANK,
    DEEP,
    INK,
    LEAF,
    SMALL,
    WARN,
    WATER,
    WIDE,
    Picture,
    cover_forecast,
    depth_area,
    draw,
    short,
    takeover_bars,
    year_calendar,
)
from plantpick.words import BANDS

LETTERS = [chr(65 + k % 26) + ("" if k < 26 else str(k // 26)) for k in range(520)]


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
            words = f"{g.label} {short(_name(plan, g.plant_id), 28)}"
            left = min(x, out(deepest) - len(words) * 0.0155 * out(deepest - top))
            pad = 0.006 * out(deepest - top) if left == x else 0.0  # beside its line and not on it
            axes.plot([x, x], [y, up], color=LEAF, lw=1.0)
            axes.plot([x], [y], marker="o", ms=5, color=LEAF, mec=INK, mew=0.5)
            axes.text(
                left + pad,
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

    room, middle = ring.length / 45, water.centroid

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
        for letter, (at, _) in zip(LETTERS, ends):
            point = ring.interpolate(at)
            axes.plot(point.x, point.y, marker="D", ms=5, color=WARN, zorder=4)
            away = np.hypot(point.x - middle.x, point.y - middle.y) or 1.0
            axes.text(
                point.x + (point.x - middle.x) / away * room,
                point.y + (point.y - middle.y) / away * room,
                letter,
                fontsize=10,
                weight="bold",
                ha="center",
                va="center",
                color=WARN,
            )
        crowd = len(spots) > 24
        for number, (x, y), _ in spots:
            axes.plot(x, y, "o", ms=3 if crowd else 4, color=LEAF, mec=INK, mew=0.4, zorder=3)
        shown: list[tuple[float, float]] = []
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
    order = ", ".join(f"{letter} {name}" for letter, (_, name) in zip(LETTERS, ends))
    words = (
        f"The pond from above, with {len(spots)} groups along the shore. Stretches follow the outline clockwise from its "
        f"first point, in the order of the pond file, each from its diamond on: {order}."
    )
    return draw(
        "plan-view",
        height,
        "From above: bands and groups (lettered diamonds: where each stretch is taken to begin)",
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
