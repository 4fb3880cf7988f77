"""The figure of one stand: what was measured, the fit, the forecast's band, half the owner's limit and the limit.

Upright, square feet are spaced by their square root: an edge that advances evenly is a straight line there, and
a young stand can be seen beside the cap. Free-floating mats, which double, are drawn by powers of two.
"""

from __future__ import annotations

from datetime import date

import numpy as np

from plantpick.monitoring.stand import Stand
from plantpick.monitoring.watch import Watch
from plantpick.show.figures.drawing import DEEP, INK, LEAF, SMALL, WARN, Picture, draw
from plantpick.show.watch_words import when_words

MOST_TIMES = 3.0  # a cap that would press the readings into less than a third of the height is left above
LEAST_FT2 = 1.0
HALF, LIMIT = "half your limit", "your limit"


def stand_picture(stand: Stand, told: Watch, number: int) -> Picture:
    """Draw one stand of a watched pond."""
    f, pond = stand.figure, told.pond
    feet2 = pond.area_ft2 / 100.0  # square feet in one per cent of the surface
    caps = {HALF: f.cap_percent / 2.0 * feet2, LIMIT: f.cap_percent * feet2}
    reach = [share for _, share, _ in f.points] + list(f.fitted[2] or f.forecast[2])
    seen = max(LEAST_FT2, 1.15 * max(reach) * feet2)
    shown = [word for word, at in caps.items() if at <= MOST_TIMES**2 * seen]
    above = [word for word in caps if word not in shown]
    top = max(seen, *(1.2 * caps[word] for word in shown), LEAST_FT2)
    least = LEAST_FT2 if stand.floating else 0.0

    def paint(figure):
        axes = figure.add_subplot()
        if stand.floating:
            axes.set_yscale("log", base=2)
        else:
            axes.set_yscale("function", functions=(lambda v: np.sqrt(np.maximum(v, 0.0)), np.square))
        low, middle, high = (np.clip(np.array(c) * feet2, least, 2.0 * top) for c in f.forecast[1:])
        axes.fill_between(
            f.forecast[0],
            low,
            high,
            facecolor="#eceff0",
            hatch="////",
            edgecolor="#8b9499",
            lw=0,
            label="forecast",
        )
        axes.plot(f.forecast[0], middle, color=DEEP, lw=1.2, ls=":", label="forecast, typical")
        if f.fitted[0]:
            first, fit, last = (np.clip(np.array(c) * feet2, least, 2.0 * top) for c in f.fitted[1:])
            axes.plot(f.fitted[0], fit, color=LEAF, lw=2.2, label="fit")
            axes.plot(f.fitted[0], first, color=LEAF, lw=0.9)
            axes.plot(f.fitted[0], last, color=LEAF, lw=0.9, label="fit, 80 % range")
        odd = set(f.odd_days)
        for mark, face, word, wanted in (
            ("o", INK, "measured", lambda d, used: used and d not in odd),
            ("X", "white", "measured, looks wrong", lambda d, used: d in odd),
            ("s", "white", "measured, strip full", lambda d, used: not used and d not in odd),
        ):
            points = [(d, max(least, share * feet2)) for d, share, used in f.points if wanted(d, used)]
            if points:
                axes.plot(
                    *zip(*points),
                    mark,
                    ms=7,
                    mfc=face,
                    mec=INK,
                    mew=1.2,
                    ls="none",
                    label=word,
                    zorder=5,
                    clip_on=False,
                )
        for word in shown:
            axes.axhline(caps[word], color=WARN, lw=1.5, ls="--" if word == LIMIT else "-.")
            axes.annotate(
                f"{word}: {caps[word]:,.0f} sq ft",
                (f.forecast[0][0], caps[word]),
                xytext=(4, 3),
                textcoords="offset points",
                fontsize=SMALL,
                va="bottom",
                color=WARN,
            )
        axes.axvline(f.today, color=INK, lw=0.8, ls=(0, (1, 2)))
        axes.annotate(
            f"{f.today:%b} {f.today.day}",
            (f.today, 0.0),
            xycoords=("data", "axes fraction"),
            xytext=(3, 3),
            textcoords="offset points",
            fontsize=SMALL,
        )
        axes.set(ylim=(least, top), ylabel="square feet", xlim=(f.forecast[0][0], f.forecast[0][-1]))
        years = range(f.forecast[0][0].year, f.forecast[0][-1].year + 1)
        starts = [d for d in (date(y, 1, 1) for y in years) if f.forecast[0][0] <= d <= f.forecast[0][-1]]
        axes.set_xticks(starts, [str(d.year) for d in starts])
        axes.set_yticks(_ticks(least, top, stand.floating))
        axes.yaxis.set_major_formatter(lambda v, _: f"{v:,.0f}" if v >= 10 else f"{v:g}")
        axes.minorticks_off()
        figure.legend(
            *axes.get_legend_handles_labels(),
            loc="outside lower center",
            ncols=2,
            fontsize=SMALL,
            frameon=False,
        )

    return draw(f"stand-{number}", 3.5, _caption(stand, above, caps), _words(stand, told, caps), paint)


def _ticks(least: float, top: float, doubling: bool) -> list[float]:
    """Round numbers of square feet, evenly spaced on the figure's scale."""
    if doubling:
        return [2.0**k for k in range(0, int(np.log2(top)) + 1, max(1, int(np.log2(top) / 5)))]
    ticks = [0.0]
    for part in (0.25, 0.5, 0.75, 0.97):
        at = top * part**2
        size = 10.0 ** np.floor(np.log10(at)) * (0.5 if at / 10.0 ** np.floor(np.log10(at)) < 2.5 else 1.0)
        ticks.append(float(np.floor(at / size) * size))
    return sorted(set(ticks))


def _caption(stand: Stand, above: list[str], caps: dict[str, float]) -> str:
    higher = ", ".join(f"{word} ({caps[word]:,.0f} sq ft)" for word in above)
    return f"{stand.common_name}, {stand.stretch}: what it holds" + (
        f"; above the figure: {higher}" if higher else ""
    )


def _words(stand: Stand, told: Watch, caps: dict[str, float]) -> str:
    """What the figure shows, for those who cannot see it."""
    f, feet2 = stand.figure, told.pond.area_ft2 / 100.0
    odd = set(f.odd_days)
    read = "; ".join(
        f"{d}: {share * feet2:,.0f}{', looks wrong' if d in odd else '' if used else ', strip full'}"
        for d, share, used in f.points
    )
    now = min(range(len(f.forecast[0])), key=lambda i: abs((f.forecast[0][i] - f.today).days))
    low, middle, high = (c[now] * feet2 for c in f.forecast[1:])
    a, b, c = stand.area_ft2
    return (
        (f"Measured, square feet: {read}. " if read else "Nothing was measured yet. ")
        + f"Forecast for {f.today}: {low:,.0f} to {high:,.0f}, typically {middle:,.0f}. "
        + f"By the fit it holds {b:,.0f} now ({a:,.0f} to {c:,.0f}). "
        + f"Half your limit, {caps[HALF]:,.0f}: {when_words(stand.half_cap)}. "
        + f"Your limit, {caps[LIMIT]:,.0f}: {when_words(stand.cap)}."
    )
