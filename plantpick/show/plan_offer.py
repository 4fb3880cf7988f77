"""What an offer means for a plan, in words: the plants on it that must not be bought, those to ask about, and what whole lots
leave over."""

from __future__ import annotations

from collections.abc import Sequence

from plantpick.offers.counter import Row
from plantpick.planting.bill import Line
from plantpick.planting.model import Chosen, Plan
from plantpick.planting.offered import Offered
from plantpick.ranking.answer_codes import Reason
from plantpick.ranking.ruled_out import REASONS
from plantpick.show import offer_words
from plantpick.show.bill_words import plant_lines
from plantpick.show.records import Record

NAMED = 12  # plants of the offer that are named one by one


def refused_lines(plan: Plan) -> list[str]:
    """The plants of the offer that must not be bought, the worst first, each with its lines and why; empty without an offer."""
    rows = plan.offered.refused if plan.offered else ()
    said = [f"{_named(row)}: {row.first.short}" for row in rows[:NAMED]]
    if len(rows) > NAMED:
        more = sum(len(row.lines) for row in rows[NAMED:])
        said.append(f"{more:,} more line{'s' if more > 1 else ''}: check the offer by itself for all of them")
    return said


def doubted_words(plan: Plan) -> str:
    """The plants of the offer that you have to ask about before anybody can plan on them; empty where there is none."""
    rows = plan.offered.doubted if plan.offered else ()
    if not rows:
        return ""
    return f"Ask the seller before you buy these. The plan uses none of them: {_listed(rows)}."


def not_needed_words(plan: Plan) -> str:
    """The plants of the offer that do nothing you asked for; empty where there is none."""
    rows = plan.offered.not_needed if plan.offered else ()
    if not rows:
        return ""
    return (
        f"On the offer, and not needed: {REASONS[Reason.USE]}. The plan uses none of them: {_listed(rows)}."
    )


def _listed(rows: Sequence[Row]) -> str:
    """The first rows by name, and how many more there are."""
    more = f"; and {len(rows) - NAMED:,} more" if len(rows) > NAMED else ""
    return "; ".join(_named(row) for row in rows[:NAMED]) + more


def _named(row: Row) -> str:
    """What a row of the offer sells and on which lines."""
    places = [offer_words.place(line) for line in row.lines]
    return f"{offer_words.plant_name(row.first, both=True)} (line{'s' if len(places) > 1 else ''} {', '.join(places)})"


def left_over_lines(plan: Plan) -> list[str]:
    """What to do with the plants that whole lots and least orders leave over, plant by plant."""
    lines = plant_lines(plan.bill)
    return [
        _left_over(c, lines[c.ranked.plant_id], plan)
        for c in plan.chosen
        if lines[c.ranked.plant_id].left_over
    ]


def _left_over(chosen: Chosen, line: Line, plan: Plan) -> str:
    """What to do with the plants left over of one kind: not into the pond. Some replace those that die."""
    dying = min(line.left_over, max(0, chosen.plants - round(chosen.living[1])))
    rest = line.left_over - dying
    ranked = chosen.ranked
    room = ranked.contained_groups if chosen.measures else ranked.groups_max
    why = (
        f"more than {room} group{'' if room == 1 else 's'} may pass your {plan.wishes.cap:g} % of the surface"
        if room <= chosen.groups
        else "the limits and the chances here are figured without them"
    )
    told = f"{ranked.common_name}: you buy {line.bought:,} and set {chosen.plants:,}. Don't set the other {line.left_over:,}: {why}."
    if dying:
        told += f" Keep {dying:,} potted, off the pond, to replace those that die."
    if rest:
        told += f" Compost {'the rest' if dying else 'them'} on dry ground, and put none in any other water."
    return told


def offer_record(offered: Offered | None) -> Record | None:
    """The plants of the offer that the plan leaves, for JSON; None without an offer."""
    if offered is None:
        return None
    return {
        "must_not_be_bought": _rows(offered.refused),
        "ask_first": _rows(offered.doubted),
        "not_needed": _rows(offered.not_needed),
    }


def _rows(rows: tuple[Row, ...]) -> list[Record]:
    return [
        {
            "line": line.line,
            "text": line.text.strip(),
            "plant_ids": list(line.plants),
            "scientific_names": list(line.candidates),
            "why": line.short,
        }
        for row in rows
        for line in row.lines
    ]
