"""Several plants' takeover in one figure."""

from __future__ import annotations

from collections.abc import Sequence

from plantpick.pond.model import Pond
from plantpick.ranking.takeover_report import TakeoverReport
from plantpick.show.figures.drawing import INK, SMALL, WARN, Picture, draw


def takeover_figure(pond: Pond, told: Sequence[TakeoverReport]) -> Picture:
    """All the plants in one figure: typical lines in their ranges, each with its own stroke, and the cap."""
    strokes = ["-", "--", "-.", ":"]
    hatches = ["///", "\\\\\\", "---", "|||"]
    colors = ["#2f6b46", "#3d5a80", "#8a5a2b", "#5c4a72"]

    def paint(figure):
        axes = figure.add_subplot()
        ends = []
        for k, one in enumerate(told):
            years = sorted(one.shares)
            low, typical, high = zip(*(one.shares[y] for y in years))
            color = colors[k % 4]
            axes.fill_between(
                years, low, high, facecolor="none", hatch=hatches[k % 4], edgecolor=color, alpha=0.35, lw=0
            )
            axes.plot(years, typical, color=color, lw=2, ls=strokes[k % 4], label=one.common_name)
            ends.append(high[-1])
        axes.axhline(pond.cap_percent, color=WARN, lw=1.4, ls="--")
        axes.text(
            1, pond.cap_percent, f"your limit {pond.cap_percent:g} %", fontsize=SMALL, va="bottom", color=WARN
        )
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
    return draw("spread", 3.4, f"Takeover on {pond.name} if nobody cuts anything", words, paint)
