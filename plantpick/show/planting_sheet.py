"""The planting sheet of each stretch: its groups in walking order, with what to set, where on the tape, how deep and what guards it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from plantpick.planting.instructions import Sheet, guard_words
from plantpick.planting.model import Plan, runs
from plantpick.planting.places import PlacedGroup, StretchLayout, Unplaced, Why
from plantpick.pond.keep_clear import OFF_DAM_FT
from plantpick.pond.model import Growing, stake_letters
from plantpick.ranking.grows_there import First
from plantpick.show.figures.sheet import feet_out, on_tape
from plantpick.show.terminal import capfirst
from plantpick.units import depth_words
from plantpick.vocabulary import HERB_GROUP

TAPE_FT = 100.0  # of a common tape
LAST_ROWS = 4  # kept on one page
FIRST_WORDS = {
    First.LEAVE: "It may stay.",
    First.CUT_BACK: "Cut it back to your limit first, then its edge every year.",
    First.HOLD: "Cut its edge back to that size first, and every year.",
    First.TAKE_OUT: "Take it out first.",
    First.OFF_DAM: "Take it off the dam first; ask your dam safety office where it is thicker than your thumb.",
    First.PROTECTED: "It is protected: leave it as it is.",
    First.KEEP_AWAY: "It is dangerous: keep away, and ask your extension office how to take it out.",
    First.BY_NAME: "We know little but its name: have it identified, and measure it every summer.",
    First.UNKNOWN: "Too little is known of it: measure it every summer.",
}


@dataclass(frozen=True, kw_only=True)
class Row:
    """One group on the sheet. `guard` is the letter of its guard and the word for what holds it, empty where it needs none."""

    placed: PlacedGroup
    sheet: Sheet
    tape: str
    out: str
    guard: str


@dataclass(frozen=True, kw_only=True)
class SheetPage:
    """One stretch: its rows in walking order, its guards by letter, and what to know before the tape is laid out."""

    number: int
    layout: StretchLayout
    rows: tuple[Row, ...]
    guards: tuple[tuple[str, str], ...]
    notes: tuple[str, ...]
    pictures: tuple[str, ...]

    @property
    def parts(self) -> tuple[tuple[Row, ...], ...]:
        """The rows, the last few apart: they are kept together, so that no page begins with one row alone."""
        return tuple(part for part in (self.rows[:-LAST_ROWS], self.rows[-LAST_ROWS:]) if part)


def sheet_pages(plan: Plan, sheets: tuple[Sheet, ...]) -> tuple[SheetPage, ...]:
    """A page for each stretch that is planted, in the pond file's order."""
    pages = []
    for number, layout in enumerate(plan.layout.stretches, 1):
        told = guards_of(plan, layout, sheets)
        letters = {words: letter for letter, words in zip(_letters(), dict.fromkeys(told.values()))}
        holds: dict[tuple[str, str], list[str]] = {}
        for g in layout.groups:
            for hold in sheets[g.entry].holds:
                holds.setdefault(hold, []).append(g.number)
        pages.append(
            SheetPage(
                number=number,
                layout=layout,
                rows=tuple(
                    Row(
                        placed=g,
                        sheet=sheets[g.entry],
                        tape=on_tape(g).removeprefix("at ").removesuffix(" ft"),
                        out=feet_out(g.out_ft),
                        guard=", ".join(
                            ([letters[told[g.number]]] if g.number in told else [])
                            + [word for word, _ in sheets[g.entry].holds]
                        ),
                    )
                    for g in layout.groups
                ),
                guards=(
                    *((letter, capfirst(guard)) for guard, letter in letters.items()),
                    *(
                        (word, f"{', '.join(runs(tuple(names)))}: {line}")
                        for (word, line), names in holds.items()
                    ),
                ),
                notes=tuple(_notes(plan, layout, sheets)),
                pictures=tuple(
                    f"{kind}-{number}"
                    for kind in ("tape", "section", "above")
                    if kind != "above" or layout.located
                ),
            )
        )
    return tuple(pages)


def guards_of(plan: Plan, layout: StretchLayout, sheets: tuple[Sheet, ...]) -> dict[str, str]:
    """What guards each group that needs a guard, in words, by the group's name: the cage or ring that it shares, a fence, or a
    sleeve round each stem. No group gets two; cages alike share a sentence."""
    alike: dict[str, list[tuple[str, ...]]] = {}
    for around in plan.bill.enclosures:
        if around.stretch == layout.stretch.name:
            alike.setdefault(guard_words(around), []).append(around.numbers)
    shared: dict[str, str] = {}
    for words, rings in alike.items():
        names = [" with ".join(runs(numbers)) for numbers in rings]
        told = f"{'round each of' if len(names) > 1 else 'round'} {_and(names)}: {words}"
        shared |= {number: told for numbers in rings for number in numbers}
    return {
        g.number: shared.get(g.number, sheets[g.entry].guard) for g in layout.groups if sheets[g.entry].guard
    }


def _and(words: list[str]) -> str:
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"


def _letters() -> Iterator[str]:
    """a, b, c, and after z: aa, ab."""
    return map(str.lower, stake_letters())


def _notes(plan: Plan, layout: StretchLayout, sheets: tuple[Sheet, ...]) -> list[str]:
    """How to lay the tape, what stays free, what grows there already, what stands dry at low pool, and what has no place."""
    told = [
        f"Drive stake {layout.stake} at the left end of {layout.stretch.name} as you face the water. Run the tape from it along the "
        f"waterline at full pool, {layout.stretch.length_ft:,.0f} ft."
    ]
    if layout.stretch.length_ft > TAPE_FT:
        told.append(
            f"Drive a small stake every {TAPE_FT:g} ft as you go, and write its feet on it. Measure each group from the stake before it, so "
            "that errors don't add up."
        )
    if not layout.measured:
        told.append(
            f"Feet out are figured from the slope you gave ({layout.stretch.slope:g}:1). Your bank will differ: go by the depth."
        )
    woody = any(plan.groups[g.entry].each < HERB_GROUP for g in layout.groups)
    if woody and plan.pond.dammed and not layout.located:
        told.append(
            f"No shrub or tree stands in the first and last {OFF_DAM_FT:g} ft of this tape: the dam may begin there. Set none within "
            f"{OFF_DAM_FT:g} ft of it."
        )
    unknown = [span for span in layout.clear if not span.known]
    for span in unknown:
        told.append(
            f"Keep {span.to_ft - span.from_ft:.0f} ft clear for the {span.what}. You didn't say where it is, so {span.from_ft:.0f} to "
            f"{span.to_ft:.0f} ft stay empty here. A group that falls where it really is goes into those feet instead."
        )
    told += [stands_there(stand, plan) for stand in plan.pond.growing if stand.stretch == layout.stretch.name]
    dry = [
        g.number
        for g in layout.groups
        if plan.pond.usual_drop_in > 0
        and g.depth_in <= plan.pond.usual_drop_in
        and sheets[g.entry].lives_in_water
    ]
    if dry:
        told.append(
            f"{', '.join(runs(tuple(dry)))}: plants that live in water, at a depth that is dry at low pool. They die back in a dry summer."
        )
    told += [no_place(unplaced, sheets) for unplaced in layout.unplaced]
    return told


def stands_there(stand: Growing, plan: Plan) -> str:
    """A stand that grows on the stretch already: how large it is, what to do first, and that nothing is set into it."""
    size = (
        f"{stand.length_ft:g} x {stand.width_ft:g} ft"
        if stand.length_ft is not None and stand.width_ft is not None
        else f"{stand.area_ft2:,.0f} sq ft"
        if stand.area_ft2 is not None
        else f"{stand.plants:,} plants"
        if stand.plants is not None
        else "its size is not known"
    )
    first = next((k.first for k in plan.ranking.grows_there if k.plant_id == stand.plant_id), First.UNKNOWN)
    return (
        f"{capfirst(stand.name)} grows on this stretch already ({size}). {FIRST_WORDS[first]} Set nothing into it: where a group would fall "
        "there, move it along the tape past the edge."
    )


def no_place(left: Unplaced, sheets: tuple[Sheet, ...]) -> str:
    """Groups for which a stretch has no place, why, and what to do."""
    sheet = sheets[left.entry]
    names, one = ", ".join(runs(left.numbers)), len(left.numbers) == 1
    if left.why is Why.TOO_SHALLOW:
        why = f"the soundings show no water {sheet.group.depth_in:.0f} in deep near this shore."
    else:
        why = f"the tape is full at {depth_words(sheet.group.depth_in)}; {'it takes' if one else 'they take'} {left.short_ft:.0f} ft more."
    return (
        f"No place for {names} ({sheet.common_name}): {why} Set {'it' if one else 'them'} at this depth on another stretch, or buy "
        f"{len(left.numbers) * sheet.group.each} fewer."
    )


def layout_problems(plan: Plan, sheets: tuple[Sheet, ...]) -> list[str]:
    """What the layout could not place, in sentences."""
    return [f"{left.stretch}: {no_place(left, sheets)}" for left in plan.layout.unplaced]
