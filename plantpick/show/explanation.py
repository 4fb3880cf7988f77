"""The arithmetic behind one plant's score on one pond."""

from __future__ import annotations

import math
from collections.abc import Sequence

from rich.console import Console

from plantpick.ranking.chances import chance_words
from plantpick.ranking.containment import GroupsHeld, in_words
from plantpick.ranking.explain import Explanation
from plantpick.ranking.takeover import MANY_GROUPS
from plantpick.ranking.what_moves import Move
from plantpick.ranking.what_moves import in_words as move_in_words
from plantpick.show.law import law_record
from plantpick.show.records import LEVELS, dumps, rounded, to_csv
from plantpick.show.terminal import bullets, capfirst, heading, paragraph, right, show_table
from plantpick.units import depth_words, percent

FACTOR_COLUMNS = ("factor", "index", "break_points")


def show_explanation(out: Console, told: Explanation, title: str) -> None:
    """Print it, step by step."""
    heading(out, title)
    if told.ruled_out:
        paragraph(out, f"Ruled out: {told.ruled_out}.", 2)
    if told.ask_first:
        paragraph(out, f"{capfirst(told.ask_first)}.", 2)
    if not told.factors:
        return
    place = f"{told.stretch}, {told.band}, {depth_words(told.depth_in)} at full pool"
    if told.ruled_out:
        paragraph(out, f"Where it would do best: {place}.", 2)
    else:
        paragraph(out, f"Best place, by site times use: {place}.", 2)
    if told.poor:
        paragraph(out, f"{capfirst(told.poor)}. Plan on none.", 2)
    show_table(
        out,
        ("factor", "index", "break points"),
        (
            (name, "not judged" if math.isnan(index) else f"{index:.2f}", points)
            for name, index, points in told.factors
        ),
    )
    paragraph(out, f"site {told.combined:.2f}: {told.combined_how}.", 2)
    heading(out, "Takeover if nobody cuts it")
    bullets(out, told.takeover_how)
    show_table(
        out,
        [right(name) for name in ("years", *LEVELS)],
        ((str(years), *(f"{percent(s)} %" for s in shares)) for years, shares in told.takeover),
    )
    paragraph(
        out,
        f"That is from {told.groups_judged} group{'s' if told.groups_judged > 1 else ''}: in one case of ten it is less than "
        f"low, in one of ten more than high. Chance of passing your limit of {told.cap_percent:g} %: "
        f"{chance_words(told.chance_over_cap)}. Groups that keep that chance at {told.risk_percent:g} % or less: "
        f"{_most(told.groups_max)} left alone" + ("." if not told.measures else ";"),
        2,
    )
    bullets(out, map(_held, told.measures))
    heading(out, "Use and score" if told.score_how else "Use")
    lines = [_use_words(told, purpose, value) for purpose, value in told.use]
    bullets(out, lines + [line for line in (told.stays_how, told.score_how) if line])


def show_moves(out: Console, moves: Sequence[Move]) -> None:
    """The inputs that would change this pond's advice most, and what would change."""
    heading(out, "What to measure before you buy")
    if not moves:
        paragraph(out, "Nothing in the pond file changes the first places if it is a little off.", 2)
    bullets(out, map(move_in_words, moves))


def _most(groups: int) -> str:
    return "as many as you like" if groups >= MANY_GROUPS else str(groups)


def _use_words(told: Explanation, purpose: str, value: float) -> str:
    """What it is worth here for a purpose, and why less than the catalogue has where that is so."""
    full = told.use_full.get(purpose, value)
    if value >= full:
        return f"{purpose}: {value:g} of 3"
    why = (
        f"set {told.depth_in:g} in deep, it stands dry when the pond is down"
        if told.depth_in > 0
        else "it stands above the water"
    )
    return f"{purpose}: {value:g} of 3, not {full:g}: {why}"


def _held(held: GroupsHeld) -> str:
    """How many groups with one measure, and what sets that number where it is the work."""
    return f"{_most(held.groups)} with {in_words(held.measures)}{f': {held.work}' if held.work else ''}"


def factor_records(told: Explanation) -> list[dict]:
    """The site factors, a record each; the index is None where it was not judged."""
    return [
        {"factor": name, "index": rounded(index, 4), "break_points": points}
        for name, index, points in told.factors
    ]


def explanation_record(told: Explanation) -> dict:
    """The arithmetic as plain values; what was not judged is None."""
    return {
        "plant_id": told.plant_id,
        "code": told.code,
        "ruled_out": told.ruled_out or None,
        "ask_first": told.ask_first or None,
        "eligible": told.found.code,
        "listed": told.found.law_dated or None,
        "stretch": told.stretch or None,
        "band": told.band or None,
        "depth_in": rounded(told.depth_in, 4),
        "factors": factor_records(told),
        "site": rounded(told.combined, 4),
        "site_how": told.combined_how or None,
        "takeover_percent": [
            {"years": years, **dict(zip(LEVELS, shares))} for years, shares in told.takeover
        ],
        "takeover_how": list(told.takeover_how),
        "cap_percent": told.cap_percent,
        "groups_wanted": told.groups_wanted,
        "groups_max": _limit(told.groups_max),
        "groups_planned": told.groups_planned,
        "groups_judged": told.groups_judged,
        "risk_percent": told.risk_percent,
        "chance_over_cap": rounded(told.chance_over_cap, 3),
        "chance_over_cap_contained": rounded(told.chance_over_cap_contained, 3),
        "contained_by": " + ".join(told.contained_by) or None,
        "fit": told.fit or None,
        "contained": [
            {
                "by": in_words(held.measures),
                "groups_max": _limit(held.groups),
                "set_by_work": held.work or None,
            }
            for held in told.measures
        ],
        "use": dict(told.use),
        "stays_put_how": told.stays_how or None,
        "score_how": told.score_how or None,
        "poor": told.poor or None,
        "law": law_record(told.law),
    }


def _limit(groups: int) -> int | None:
    """A number of groups, None where there is as many as you like."""
    return None if groups >= MANY_GROUPS else groups


def explanation_text(told: Explanation, form: str) -> str:
    """JSON, or the site factors as CSV."""
    return to_csv(factor_records(told), FACTOR_COLUMNS) if form == "csv" else dumps(explanation_record(told))
