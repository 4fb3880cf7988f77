"""Pages to take outside: one HTML file with everything in it, for a phone, a screen and letter paper.

Every text goes through jinja2's escaping; only the figures, which matplotlib wrote and escaped, are put in as they are.
"""

from __future__ import annotations

from plantpick.plain_text import plain
from plantpick.planting.instructions import day
from plantpick.planting.wish_report import asked_for, got_words
from plantpick.ranking.containment import in_words
from plantpick.show.terminal import capfirst
from plantpick.units import percent


def render(template: str, **values) -> str:
    """One of the templates filled in; a value that it asks for and does not get is an error."""
    from jinja2 import Environment, PackageLoader, StrictUndefined

    environment = Environment(
        loader=PackageLoader("plantpick.show"),
        autoescape=True,
        finalize=_plain,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    environment.filters |= {
        "percent": percent,
        "measures": in_words,
        "day": day,
        "capfirst": capfirst,
        "standing": standing_words,
        "standing_short": standing_short,
        "short_form": short_form,
    }
    environment.globals |= {"asked_for": asked_for, "got": got_words}
    return environment.get_template(template).render(**values)


def _plain(value):
    """Every value that a page is filled with, without control characters; a figure stays a figure."""
    return type(value)(plain(value)) if isinstance(value, str) else value


def standing_short(depth_in: float | None) -> str:
    """The same for a narrow column; None: nobody knows."""
    if depth_in is None:
        return "not known"
    return standing_words(depth_in).removesuffix(" the water")


def short_form(form: str) -> str:
    """What to buy without what to look for in it: for a narrow column."""
    return form.partition(",")[0].removesuffix(" plants")


def standing_words(depth_in: float) -> str:
    """How a place stands to the water: so deep, or dry and so far above it."""
    if depth_in > 0:
        return f"{depth_in:.0f} in deep"
    return f"dry, {-depth_in:.0f} in above the water" if depth_in < 0 else "at the waterline"
