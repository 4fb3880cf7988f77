"""The drawings of a planting sheet: the tape with every group on it, a cut across the bank, and the place from above."""

from __future__ import annotations

import math

import numpy as np

from plantpick.planting.model import Plan
from plantpick.planting.places import ClearSpan, PlacedGroup, StretchLayout
from plantpick.pond import bathymetry
from plantpick.pond.keep_clear import UNDER_WATER
from plantpick.pond.model import KeepClear, Outline, Pond
from plantpick.pond.shoreline import Bank, Shoreline
from plantpick.show.figures.drawing import (
    BANK,
    DEEP,
    INK,
    LEAF,
    SMALL,
    WARN,
    WATER,
    WIDE,
    Picture,
    draw,
    shortened,
)
from plantpick.vocabulary import BANDS

TAPE_IN = 4.0  # of the drawing's width that the tape takes
LABEL_IN = 0.34  # room for a group's name
LANE_IN = 0.28  # height of one depth on the tape
LOW_IN = 0.8  # a cut lower than this is drawn stretched
FOOT_IN = 0.36  # below a map, for its scale and key
TEXT_IN = 0.17  # height of a line of print
BOXED = {"boxstyle": "square,pad=0.12", "fc": "white", "ec": "none"}


def names_of(plan: Plan) -> dict[str, str]:
    """Common names by plant_id."""
    return {c.ranked.plant_id: c.ranked.common_name for c in plan.chosen}


def feet_out(out_ft: float) -> str:
    """How far from the waterline, in words: feet out, or up the bank."""
    feet = f"{abs(out_ft):.0f} ft" if abs(out_ft) >= 9.95 else f"{abs(out_ft):.1f} ft"
    return f"{feet} out" if out_ft > 0.05 else f"{feet} up the bank" if out_ft < -0.05 else "at the waterline"


def _depth(depth_in: float) -> str:
    return (
        f"{depth_in:.0f} in deep"
        if depth_in > 0
        else f"{-depth_in:.0f} in up"
        if depth_in < 0
        else "waterline"
    )


def _lanes(groups: tuple[PlacedGroup, ...]) -> list[float]:
    return sorted({g.depth_in for g in groups})


def panel_ft(layout: StretchLayout) -> float:
    """Feet of tape in one strip of the drawing, so that no two names in a row lie on one another: the whole stretch, or a part."""
    length = layout.stretch.length_ft
    nearest = length
    for depth in _lanes(layout.groups):
        middles = sorted(g.middle_ft for g in layout.groups if g.depth_in == depth)
        nearest = min([nearest, *np.diff(middles)])
    parts = math.ceil(length / max(60.0, nearest * TAPE_IN / LABEL_IN))
    if parts == 1:
        return length
    part = 10.0 * math.ceil(length / parts / 10.0)
    for longer in (
        part,
        part + 10.0,
        part + 20.0,
        part - 10.0,
    ):  # no name on the break between two strips, where there is a choice
        edge = longer * LABEL_IN / TAPE_IN / 2.0
        if longer >= 60.0 and not any(edge > abs(_to_break(g.middle_ft, longer)) for g in layout.groups):
            return longer
    return part


def _to_break(at_ft: float, part_ft: float) -> float:
    """Feet to the nearest break between two strips; one at the stake is none."""
    nearest = max(1, round(at_ft / part_ft))
    return at_ft - nearest * part_ft


def tape(plan: Plan, layout: StretchLayout, name: str) -> Picture:
    """A stretch laid out straight, to scale along the tape: the bank below, a line for each depth, every group with its name."""
    length, part = layout.stretch.length_ft, panel_ft(layout)
    lanes = _lanes(layout.groups)
    parts = max(1, math.ceil(length / part - 1e-6))
    dry = sum(depth <= 0 for depth in lanes)
    cages = [e for e in plan.bill.enclosures if e.stretch == layout.stretch.name]
    depth_of = {g.number: g.depth_in for g in layout.groups}
    step = next(s for s in (5, 10, 20, 50, 100, 200, 500, 1000, 5000, 50_000) if part / s <= 9)
    tall = max(
        1.35, parts * (LANE_IN * len(lanes) + 0.34) + 0.2
    )  # one lane alone is too low to read on a phone

    def paint(figure):
        from matplotlib.patches import Rectangle

        panels = figure.subplots(parts, 1, squeeze=False)[:, 0]
        for k, axes in enumerate(panels):
            begin, end = k * part, min((k + 1) * part, length)
            axes.axhspan(dry - 0.5, len(lanes) - 0.5, color=WATER, lw=0)
            axes.axhspan(-0.75, dry - 0.5, facecolor=BANK, lw=0)
            axes.axhline(dry - 0.5, color=DEEP, lw=1.6)
            for span in layout.clear:
                if span.to_ft > begin and span.from_ft < end:
                    at = max(begin, span.from_ft), min(end, span.to_ft)
                    axes.axvspan(*at, facecolor="white", hatch="xx", edgecolor="#b9b0a0", lw=0)
                    room = int((at[1] - at[0]) / part * TAPE_IN / 0.07)
                    if room >= 4 and _outermost(layout, span):
                        axes.text(
                            sum(at) / 2,
                            len(lanes) - 0.55,
                            shortened(span.what, room),
                            ha="center",
                            va="top",
                            fontsize=SMALL - 1,
                            color=WARN,
                            bbox=BOXED,
                        )
            for around in cages:
                here = [lanes.index(depth_of[number]) for number in around.numbers]
                axes.add_patch(
                    Rectangle(
                        (around.from_ft, min(here) - 0.42),
                        around.along_ft,
                        max(here) - min(here) + 0.42,
                        fill=False,
                        ls=(0, (3, 2)),
                        lw=0.9,
                        color=INK,
                    )
                )
            for g in layout.groups:
                if g.to_ft < begin or g.from_ft > end:
                    continue
                y = lanes.index(g.depth_in) - 0.2
                axes.plot([g.from_ft, g.to_ft], [y, y], color=LEAF, lw=3.4, solid_capstyle="butt")
                axes.plot([g.from_ft], [y], marker="o", ms=4.5, color=LEAF, mec=INK, mew=0.5)
                if begin <= g.middle_ft <= end:
                    axes.text(
                        min(max(g.middle_ft, begin + 0.04 * part), begin + 0.96 * part),
                        y + 0.38,
                        g.number,
                        ha="center",
                        va="center",
                        fontsize=SMALL,
                        weight="bold",
                    )
            axes.set_yticks(range(len(lanes)), [_depth(d) for d in lanes], fontsize=SMALL)
            axes.set_xticks(
                [t for t in np.arange(0, length + 1, step) if begin - 1e-9 <= t <= end + 1e-9],
            )
            axes.tick_params(axis="x", labelsize=SMALL, pad=1.5)
            axes.tick_params(axis="y", length=0)
            axes.set(xlim=(begin, begin + part), ylim=(-0.75, len(lanes) - 0.5))
            axes.spines["bottom"].set_bounds(begin, end)
            if end < begin + part - 1e-6:
                axes.axvspan(end, begin + part, color="white", lw=0, zorder=3)
            for at in (0.0, length):
                if begin <= at <= end:
                    axes.axvline(at, color=INK, lw=2.2, zorder=4)
        panels[-1].set_xlabel(f"feet on the tape from stake {layout.stake}, facing the water", fontsize=SMALL)

    names = names_of(plan)
    told = "; ".join(
        f"{g.number} {names[g.plant_id]} {on_tape(g)}, {_depth(g.depth_in)}, {feet_out(g.out_ft)}"
        for g in layout.groups
    )
    clear = "".join(
        f" Keep clear: {span.what}, {span.from_ft:.0f} to {span.to_ft:.0f} ft{'' if span.known else ' (left free at the end)'}."
        for span in layout.clear
    )
    caged = "".join(
        f" Guarded together: {', '.join(e.numbers)}, {e.along_ft:.0f} ft along the tape."
        for e in cages
        if len(e.numbers) > 1
    )
    words = (
        f"{layout.stretch.name} laid out straight, {length:,.0f} ft from stake {layout.stake} at its left end as you face the water, "
        f"to scale along the tape, the bank below and deeper water above. {told}.{clear}{caged}"
    )
    title = (
        f"{layout.stretch.name}, from stake {layout.stake}: to scale along the tape, a line for each depth"
        + (" (crossed out: keep clear)" if layout.clear else "")
        + (" (dashed: a cage or a ring of wire)" if cages else "")
    )
    return draw(name, tall, title, words, paint)


def _outermost(layout: StretchLayout, span: ClearSpan) -> bool:
    """Whether a place to keep clear has its name written: one that lies inside another has not."""
    return not any(
        other is not span
        and other.from_ft <= span.from_ft
        and other.to_ft >= span.to_ft
        and other.to_ft - other.from_ft > span.to_ft - span.from_ft
        for other in layout.clear
    )


def on_tape(group: PlacedGroup) -> str:
    """From where to where on the tape, whole feet."""
    begin, end = f"{group.from_ft:.0f}", f"{group.to_ft:.0f}"
    return f"at {begin} ft" if begin == end else f"{begin} to {end} ft"


def section(plan: Plan, layout: StretchLayout, name: str) -> Picture:
    """A cut across the stretch with every row in it: bank, bottom, full and low pool. Heights are true, or the caption says how
    much they are stretched."""
    pond, stretch = plan.pond, layout.stretch
    names = names_of(plan)
    depths = _lanes(layout.groups)[::-1]
    rows = {
        d: ", ".join(dict.fromkeys(names[g.plant_id] for g in layout.groups if g.depth_in == d))
        for d in depths
    }
    deepest = min(
        pond.max_depth_in,
        max(
            [
                24.0,
                *(d + 10.0 for d in depths),
                *([pond.usual_drop_in + 8.0] if pond.usual_drop_in <= 60 else []),
            ]
        ),
    )
    top = min([-12.0, *(d - 12.0 for d in depths)])
    bank = Bank(pond, stretch, deepest)
    grid = np.linspace(top, deepest, 60)
    out = np.array([bank.usual_out_ft(d) for d in grid])
    keep = np.isfinite(out)
    grid, out = grid[keep], np.maximum.accumulate(out[keep])
    deepest = float(grid[-1])
    wide = max(float(out[-1] - out[0]), 6.0)
    inch = 4.2 / wide  # of paper for a foot across
    times = max(1, math.ceil(LOW_IN / (inch * (deepest - top) / 12.0) - 1e-9))
    foot = inch * times  # of paper for a foot of height
    label = TEXT_IN / foot
    ground = (deepest - top) / 12.0

    def at(depth: float) -> float:
        return float(np.interp(depth, grid, out))

    def paint(figure):
        axes = figure.add_subplot()
        floor = -deepest / 12.0 - 0.1 * ground
        axes.fill_between([0, out[-1]], [0, 0], [floor] * 2, color=WATER)
        axes.fill_between(out, -grid / 12.0, floor, facecolor=BANK, hatch="//", edgecolor="#a8966f", lw=0)
        axes.plot(out, -grid / 12.0, color=INK, lw=1.6)
        axes.plot([0, out[-1]], [0, 0], color=DEEP, lw=1.6)
        axes.text(out[-1], 0.02 * ground, "full pool", ha="right", va="bottom", fontsize=SMALL)
        drop = pond.usual_drop_in
        if 0 < drop < deepest:
            axes.plot([at(drop), out[-1]], [-drop / 12.0] * 2, color=DEEP, lw=1.2, ls="--")
            axes.text(out[-1], -drop / 12.0 - 0.02 * ground, "low pool", ha="right", va="top", fontsize=SMALL)
        up = max(-top / 12.0, 1.2 * label)
        for depth in depths:  # one line a label, the outermost lowest
            x, y = at(depth), -depth / 12.0
            words = f"{_depth(depth)}: {shortened(rows[depth], 44)}"
            left = max(out[0], min(x, out[-1] - len(words) * 0.07 / inch))
            axes.plot([x, x], [y, up], color=LEAF, lw=1.0)
            axes.plot([x], [y], marker="o", ms=5, color=LEAF, mec=INK, mew=0.5)
            axes.text(
                left + (0.04 / inch if left == x else 0.0),
                up,
                words,
                ha="left",
                va="center",
                fontsize=SMALL,
                weight="bold",
                bbox=BOXED,
            )
            up += label
        axes.set(
            xlim=(out[0], out[0] + wide),
            ylim=(floor, up),
            xlabel="feet from the waterline at full pool",
            ylabel="inches",
        )
        ticks = [t for t in np.arange(-120, 241, 12) if top <= t <= deepest]
        axes.set_yticks([-t / 12.0 for t in ticks], [f"{abs(t):g}" for t in ticks])
        axes.tick_params(labelsize=SMALL)
        axes.set_aspect(times)

    told = "; ".join(f"{rows[d]} {_depth(d)}, {feet_out(at(d))}" for d in reversed(depths))
    scale = "heights true" if times == 1 else f"heights stretched {times} times"
    how = "as sounded" if layout.measured else f"{stretch.slope:g} ft out for 1 ft down"
    words = f"A cut across {stretch.name}, {how}, {scale}. Rows: {told}."
    high = foot * (1.1 * ground + max(0.0, 1.2 * label + top / 12.0) + label * len(rows)) + 0.75
    return draw(name, high, f"{stretch.name}, a cut across: {how}, {scale}", words, paint)


def overview(plan: Plan, outline: Outline) -> Picture:
    """The whole pond from above, true to scale: stakes, stretches, rows, things to keep clear, depth lines and north."""
    groups = plan.layout.groups
    stretches = [s for s in plan.pond.stretches if s.from_ft is not None]
    return _from_above(
        plan,
        outline,
        "plan-view",
        "The pond from above, true to scale: stakes, rows, what to keep clear"
        if stretches
        else "The pond from above, true to scale",
        groups if stretches else (),
        None,
    )


def from_above(plan: Plan, layout: StretchLayout, outline: Outline, name: str) -> Picture:
    """One stretch from above, true to scale, every group with its name."""
    return _from_above(
        plan, outline, name, f"{layout.stretch.name} from above, true to scale", layout.groups, layout
    )


def _from_above(
    plan: Plan,
    outline: Outline,
    name: str,
    title: str,
    groups: tuple[PlacedGroup, ...],
    layout: StretchLayout | None,
) -> Picture:
    pond = plan.pond
    shore = Shoreline(outline)
    water = bathymetry.polygon(outline)
    left, low, right, high = water.bounds
    if layout is not None:
        ends = np.linspace(0.0, layout.stretch.length_ft, 60) + (layout.stretch.from_ft or 0.0)
        spots = [s.xy for g in groups for s in g.spots if s.xy is not None]
        seen = np.vstack([shore.points(ends), *([np.array(spots)] if spots else [])])
        (left, low), (right, high) = seen.min(axis=0), seen.max(axis=0)
    span = max(right - left, high - low)
    scale = min(WIDE / (1.18 * (right - left) + 0.25 * span), 4.6 / (1.12 * (high - low) + 0.2 * span))
    per_in = 1.0 / scale  # feet to an inch of paper
    margin = 0.62 * per_in if layout is not None else 0.45 * per_in
    left, right, low, high = left - margin, right + margin, low - margin, high + margin
    tall = (high - low) / (right - left) * WIDE
    most = 5.4 if layout is None else 4.6  # leaves the page's foot to the table
    if tall > most:  # a tall pond: more room at its sides
        more = (high - low) / most * WIDE - (right - left)
        left, right, tall = left - more / 2, right + more / 2, most
    per_in = (right - left) / WIDE
    low, tall = low - FOOT_IN * per_in, tall + FOOT_IN  # the scale and the key stand below
    survey = pond.survey
    sounded = survey is not None and survey.soundings is not None
    levels = [deep for _, deep in BANDS.values() if 6 < deep < pond.max_depth_in] if sounded else []
    stakes = pond.stakes

    def paint(figure):
        axes = figure.add_subplot()
        for k, ring in enumerate(outline.rings):
            x, y = np.array([*ring, ring[0]]).T
            axes.fill(x, y, color=WATER if k == 0 else "white", zorder=0)
            axes.plot(x, y, color=INK, lw=1.4)
        if levels and survey is not None:
            surface = bathymetry.triangulate(outline, np.asarray(survey.soundings))
            styles = [":", "--", "-."][: len(levels)]
            axes.tricontour(
                *surface.xy.T,
                surface.triangles,
                surface.depth_in,
                levels=levels,
                colors=DEEP,
                linewidths=0.9,
                linestyles=styles,
            )
            for level, style in zip(levels, styles):
                axes.plot([], [], color=DEEP, lw=1.2, ls=style, label=f"{level:g} in deep")
            axes.legend(
                loc="lower right",
                ncol=len(levels),
                frameon=False,
                fontsize=SMALL - 0.5,
                handlelength=1.8,
                columnspacing=1.0,
                borderaxespad=0.0,
            )
        words_at = _Words(axes, per_in, (left, right, low + FOOT_IN * per_in, high))
        for stretch in pond.stretches:
            if stretch.from_ft is None:
                continue
            at = np.array([stretch.from_ft])
            x, y = shore.points(at)[0]
            dx, dy = -shore.inward(at)[0]
            axes.plot([x, x + 0.09 * per_in * dx], [y, y + 0.09 * per_in * dy], color=INK, lw=2.2)
            words_at.put(stakes[stretch.name], (x, y), (dx, dy), [0.2], stake=True)
        for g in groups:
            xy = np.array([s.xy for s in g.spots if s.xy is not None])
            if not len(xy):
                continue
            axes.plot(*xy.T, color=LEAF, lw=2.4, solid_capstyle="round", zorder=3)
            if len(xy) == 1:  # a tree
                axes.plot(*xy.T, ls="none", marker="o", ms=5.0, color=LEAF, zorder=3)
            if layout is None:
                continue
            axes.plot(*xy.T, ls="none", marker=".", ms=3.0, color=INK, zorder=4)
            middle = np.array([(layout.stretch.from_ft or 0.0) + g.middle_ft])
            foot, way = shore.points(middle)[0], -shore.inward(middle)[0]
            words_at.put(g.number, foot, way, [0.17, 0.33, 0.49, 0.65, 0.81], row=xy.mean(axis=0))
        for place in pond.keep_clear:
            _mark(axes, pond, place, shore, per_in, words_at)
        reach = next(r for r in (1000, 500, 200, 100, 50, 20, 10, 5) if r * 2.6 < right - left or r == 5)
        x0, y0 = left + 0.08 * per_in, low + 0.24 * per_in
        axes.plot([x0, x0 + reach], [y0] * 2, color=INK, lw=2)
        axes.text(x0 + reach / 2, y0 - 0.03 * per_in, f"{reach} ft", ha="center", va="top", fontsize=SMALL)
        x1, y1 = right - 0.2 * per_in, high - 0.5 * per_in
        axes.annotate(
            "",
            (x1, y1 + 0.34 * per_in),
            xytext=(x1, y1),
            arrowprops={"arrowstyle": "-|>", "color": INK, "lw": 1.4},
        )
        axes.text(x1, y1 - 0.02 * per_in, "north", ha="center", va="top", fontsize=SMALL)
        axes.set(xlim=(left, right), ylim=(low, high))
        axes.set_aspect("equal")
        axes.set_axis_off()

    where = [s for s in pond.stretches if s.from_ft is not None]
    told = (
        ""
        if not where
        else f" Stakes: {'; '.join(f'{stakes[s.name]} at the left end of {s.name}' for s in where)}."
    )
    marked = [p.what for p in pond.keep_clear if p.points or p.from_ft is not None]
    words = (
        f"{title}, north up."
        + (f" Lines show where the water is {_listed(levels)} in deep at full pool." if levels else "")
        + told
        + (f" Keep clear: {', '.join(marked)}." if marked and where else "")
        + (f" Groups: {', '.join(g.number for g in groups)}." if groups else "")
        + (
            ""
            if where
            else " No group is drawn on it, because the pond file does not say where on this outline a stretch begins. "
            "The strips show the groups of each stretch; go by the depth, which you can measure."
        )
    )
    return draw(name, tall, title, words, paint)


class _Words:
    """Words on a map, each at the first of its places where it lies on no other."""

    def __init__(self, axes, per_in: float, frame: tuple[float, float, float, float]):
        self._axes, self._per_in, self._frame = axes, per_in, frame
        self._taken: list[tuple[float, float, float]] = []  # middle, and half the width

    def put(self, words: str, foot, way, steps_in: list[float], *, row=None, stake=False, color=INK) -> None:
        """`words` at so many inches from `foot` along `way`; with a thin line to `row`."""
        left, right, low, high = self._frame
        if not (left <= foot[0] <= right and low <= foot[1] <= high):
            return
        inch = self._per_in
        half = (0.037 * len(words) + (0.06 if stake else 0.02)) * inch
        for step in steps_in:
            reach = step * inch + half * abs(way[0]) * (len(words) > 4)
            x = float(np.clip(foot[0] + way[0] * reach, left + half, right - half))
            y = float(foot[1] + way[1] * reach)
            if all(abs(x - a) > half + h or abs(y - b) > 0.135 * inch for a, b, h in self._taken):
                break
        self._taken.append((x, y, half))
        if row is not None:
            self._axes.plot([row[0], x], [row[1], y], color=LEAF, lw=0.5, zorder=2)
        box = {"boxstyle": "circle,pad=0.15", "fc": "white", "ec": INK, "lw": 0.8} if stake else BOXED
        self._axes.text(
            x,
            y,
            words,
            ha="center",
            va="center",
            fontsize=SMALL + 1 if stake else SMALL - 0.5,
            weight="bold" if color == INK else "normal",
            color=color,
            bbox=None if color == WARN else box,
            zorder=5,
        )


def _mark(axes, pond: Pond, place: KeepClear, shore: Shoreline, per_in: float, words_at: _Words) -> None:
    """One thing to keep clear, where its place is known: its shore as a thick line, its points with the room round them."""
    foot, way = None, np.array([0.0, 1.0])
    stretch = next((s for s in pond.stretches if s.name == place.stretch), None)
    if (
        place.from_ft is not None
        and place.to_ft is not None
        and stretch is not None
        and stretch.from_ft is not None
    ):
        feet = stretch.from_ft + np.linspace(place.from_ft, place.to_ft, 21)
        xy = shore.points(feet)
        axes.plot(*xy.T, color=WARN, lw=4.0, alpha=0.75, solid_capstyle="butt", zorder=2)
        foot, way = xy[10], -shore.inward(feet)[10]
    if place.points:
        xy = np.array(place.points)
        if len(xy) > 1:
            axes.plot(*xy.T, color=WARN, lw=1.4, ls=(0, (4, 2)), zorder=2)
        else:
            from matplotlib.patches import Circle

            if place.room_ft > 0:
                axes.add_patch(Circle(xy[0], place.room_ft, fill=False, color=WARN, lw=1.0, ls=":", zorder=2))
            axes.plot(*xy.T, marker="x", ms=5.5, mew=1.6, color=WARN, ls="none", zorder=3)
        foot = xy.mean(axis=0) if foot is None else foot
    if foot is not None:
        up = place.points and (
            place.kind in UNDER_WATER or len(place.points) > 1 or place.stretch is not None
        )
        steps = [0.14, -0.14, 0.28, -0.28, 0.42] if up else [0.14, 0.3, 0.46, 0.62]
        words_at.put(shortened(place.what, 20), foot, way, steps, color=WARN)


def _listed(values: list[float]) -> str:
    words = [f"{v:g}" for v in values]
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"


def sheet_pictures(plan: Plan) -> list[Picture]:
    """The drawings of every planting sheet, and the pond from above where there is an outline; named tape-1, section-1, above-1."""
    survey = plan.pond.survey
    outline = survey.outline if survey else None
    found = [overview(plan, outline)] if outline else []
    for number, layout in enumerate(plan.layout.stretches, 1):
        found += [
            tape(plan, layout, f"tape-{number}"),
            section(plan, layout, f"section-{number}"),
        ]
        if outline and layout.located:
            found.append(from_above(plan, layout, outline, f"above-{number}"))
    return found
