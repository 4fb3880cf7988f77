"""Where the groups go: a cut across each stretch, a strip along it, and the pond from above where there is an outline."""

from __future__ import annotations

import numpy as np

from plantpick.planting.instructions import Span
from plantpick.planting.model import Group, Plan
from plantpick.pond.model import Outline, Pond, Stretch
from plantpick.ranking.takeover import group_shape
from plantpick.show.figures.drawing import BANK, DEEP, INK, LEAF, SMALL, WATER, WIDE, Picture, draw, shortened
from plantpick.show.figures.plan import cover_forecast, depth_area, takeover_bars, year_calendar
from plantpick.vocabulary import BANDS


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
            words = f"{g.label} {shortened(_name(plan, g.plant_id), 28)}"
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
    title = f"{stretch.name}: {slope:g}:1, {stretch.plantable_ft:,.0f} ft to plant (height exaggerated)"
    return draw(f"section-{number}", 2.35 + 0.2 * max(0, len(groups) - 1), title, words, paint)


def _name(plan: Plan, plant_id: str) -> str:
    return next(c.ranked.common_name for c in plan.chosen if c.ranked.plant_id == plant_id)


def _depth(depth_in: float) -> str:
    return f"{depth_in:.0f} in deep" if depth_in > 0 else f"{-depth_in:.0f} in above the water"


def set_out(groups: tuple[Group, ...], length_ft: float) -> dict[int, tuple[float, ...]]:
    """Feet along a stretch to the middle of each group, by the first number of its entry.

    The groups of one band share its shore: they are mixed, and stand as far apart as their widths leave room for. This
    is a way to spread them, not a place on the ground.
    """
    at: dict[int, list[float]] = {g.first: [] for g in groups}
    for band in {g.band for g in groups}:
        here = [g for g in groups if g.band == band]
        mixed = sorted(((k + 0.5) / g.number, g.first, g) for g in here for k in range(g.number))
        wide = [_width_ft(g) for _, _, g in mixed]
        between, begin = (length_ft - sum(wide)) / len(mixed), 0.0
        for (_, first, _), width in zip(mixed, wide):
            at[first].append(begin + (between + width) / 2.0)
            begin += between + width
    return {first: tuple(feet) for first, feet in at.items()}


def _width_ft(group: Group) -> float:
    shape = group_shape(group.each, group.spacing_in)
    return float(2.0 * shape.radius_ft + shape.row_ft)


def strip(plan: Plan, stretch: Stretch, number: int) -> Picture:
    """One stretch laid out straight, as it lies before somebody on the bank who faces the water: a row an entry of the plan,
    the bank below, and the groups spread along it."""
    groups = tuple(sorted((g for g in plan.groups if g.stretch == stretch.name), key=lambda g: g.depth_in))
    length = stretch.plantable_ft
    at = set_out(groups, length)
    dry = sum(g.depth_in <= 0 for g in groups)

    def paint(figure):
        axes = figure.add_subplot()
        axes.axhspan(dry - 0.5, len(groups) - 0.5, color=WATER, lw=0)
        axes.axhspan(
            -0.5 - 0.25 * (dry == 0), dry - 0.5, facecolor=BANK, hatch="//", edgecolor="#a8966f", lw=0
        )
        axes.axhline(dry - 0.5, color=DEEP, lw=1.6)
        for row, g in enumerate(groups):
            for feet in at[g.first]:
                half = _width_ft(g) / 2.0
                axes.plot([feet - half, feet + half], [row - 0.22] * 2, color=LEAF, lw=4.0)
                axes.plot([feet], [row - 0.22], marker="o", ms=4.5, color=LEAF, mec=INK, mew=0.5)
            axes.text(
                0.01 * length,
                row + 0.2,
                f"{g.label} {shortened(_name(plan, g.plant_id), 34)}",
                va="center",
                fontsize=SMALL,
                weight="bold",
                bbox={"boxstyle": "square,pad=0.1", "fc": "white", "ec": "none"} if row < dry else None,
            )
        axes.set_yticks(range(len(groups)), [_short_depth(g.depth_in) for g in groups])
        axes.tick_params(axis="y", length=0)
        axes.set(
            xlim=(0, length),
            ylim=(-0.5 - 0.25 * (dry == 0), len(groups) - 0.5),
            xlabel="feet of shore, from your left as you face the water",
        )

    told = "; ".join(
        f"{g.label} {_name(plan, g.plant_id)}, {_depth(g.depth_in)}, at {', '.join(f'{feet:.0f}' for feet in at[g.first])} ft"
        for g in groups
    )
    words = (
        f"{stretch.name} laid out straight, bank below and deep water above, {length:,.0f} ft that may be planted, counted from your "
        f"left as you face the water. {told}. The groups are spread evenly; move one along its depth if the ground calls for it."
    )
    return draw(
        f"strip-{number}",
        0.75 + 0.36 * max(2, len(groups)),  # one row alone would be too low to read on a phone
        f"{stretch.name}: the groups along the shore, seen from the bank",
        words,
        paint,
    )


def _short_depth(depth_in: float) -> str:
    return (
        f"{depth_in:.0f} in deep"
        if depth_in > 0
        else f"{-depth_in:.0f} in up"
        if depth_in < 0
        else "waterline"
    )


def plan_view(pond: Pond, outline: Outline, soundings: object) -> Picture:
    """The outline from above with the limits of the bands, where there are soundings (n, 3: x, y, depth).

    No group is on it and no stretch: nothing says where on the outline a stretch begins.
    """
    from plantpick.pond import bathymetry

    water = bathymetry.polygon(outline)
    room = water.exterior.length / 45
    levels = [deep for _, deep in BANDS.values() if 6 < deep < pond.max_depth_in]
    sounded = soundings is not None and bool(levels)

    def paint(figure):
        axes = figure.add_subplot()
        for k, part in enumerate(outline.rings):
            x, y = np.array([*part, part[0]]).T
            axes.fill(x, y, color=WATER if k == 0 else "white", zorder=0)
            axes.plot(x, y, color=INK, lw=1.6, clip_on=False)
        if sounded:
            surface = bathymetry.triangulate(outline, np.asarray(soundings))
            styles = [":", "--", "-."][: len(levels)]
            axes.tricontour(
                *surface.xy.T,
                surface.triangles,
                surface.depth_in,
                levels=levels,
                colors=DEEP,
                linewidths=1.0,
                linestyles=styles,
            )
            for level, style in zip(levels, styles):
                axes.plot([], [], color=DEEP, lw=1.2, ls=style, label=f"{level:g} in deep")
            axes.legend(loc="upper right", frameon=False, fontsize=SMALL)
        left, low, right, high = water.bounds
        reach = 10 ** np.floor(np.log10((right - left) / 2))
        axes.plot([left, left + reach], [low - room] * 2, color=INK, lw=2)
        axes.text(left + reach / 2, low - room * 1.3, f"{reach:g} ft", ha="center", va="top", fontsize=SMALL)
        axes.set_aspect("equal")
        axes.set_axis_off()

    left, low, right, high = water.bounds
    height = float(np.clip(WIDE * (high - low) / (right - left) + 0.5, 2.2, 6.5))
    words = (
        "The pond from above"
        + (f", with lines where the water is {_listed(levels)} in deep at full pool" if sounded else "")
        + ". No group is drawn on it, because the pond file does not say where on this outline a stretch begins. The strips show the groups of "
        "each stretch; go by the depth, which you can measure."
    )
    return draw("plan-view", height, "From above" + (": how deep" if sounded else ""), words, paint)


def _listed(values: list[float]) -> str:
    words = [f"{v:g}" for v in values]
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"


def plan_pictures(plan: Plan, spans: tuple[Span, ...], year: int) -> list[Picture]:
    """All figures of the report, in its order."""
    pond = plan.pond
    survey = pond.survey
    outlined = [plan_view(pond, survey.outline, survey.soundings)] if survey and survey.outline else []
    planted = {g.stretch for g in plan.groups}
    places = [
        picture(plan, s, n)
        for n, s in enumerate(pond.stretches, 1)
        if s.name in planted
        for picture in (section, strip)
    ]
    return [
        *outlined,
        *places,
        cover_forecast(plan),
        takeover_bars(plan),
        year_calendar(spans, year),
        depth_area(pond),
    ]
