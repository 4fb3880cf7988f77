"""Figures as SVG text, drawn with matplotlib without a window: legible in black and white, and each with words for it.

Colors go with line styles, hatching or numbers, so that nothing rests on color alone.
"""

from __future__ import annotations

import io
import logging
import re
import warnings
from collections.abc import Callable
from dataclasses import dataclass
from html import escape
from typing import TYPE_CHECKING, Any

from plantpick.plain_text import plain

if TYPE_CHECKING:
    from matplotlib.figure import Figure

WIDE, SMALL = 5.0, 9.0  # inches, and points of the small print: one point is about one pixel on a phone
WATER, DEEP, BANK, INK, LEAF, WARN = "#d6e6ee", "#5b8aa3", "#cbb994", "#1d2b24", "#2f6b46", "#8c2f1b"
STYLE: dict[Any, Any] = {  # matplotlib's own keys
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


def draw(name: str, height: float, caption: str, words: str, paint: Callable[[Figure], None]) -> Picture:
    """Run `paint(figure)` under the common style and take the SVG; ids are made the figure's own."""
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
    svg = plain(text.getvalue())
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


def svg_file(picture: Picture) -> str:
    """A picture as an SVG file of its own, with its title and description inside."""
    head, rest = picture.svg.split(">", 1)
    return plain(
        f'<?xml version="1.0" encoding="utf-8"?>\n{head} role="img" width="720">\n<title>{escape(picture.caption)}</title>\n'
        f'<desc>{escape(picture.words)}</desc>\n<rect width="100%" height="100%" fill="white"/>{rest}\n'
    )


def shortened(name: str, most: int = 24) -> str:
    """A name that fits beside a figure's axis."""
    return name if len(name) <= most else f"{name[: most - 1]}…"
