"""The planting sheet of each stretch: its groups in walking order, with what to set, where on the tape, how deep and what guards it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from plantpick.planting.instructions import Sheet, guard_words
from plantpick.planting.model import Plan, runs
from plantpick.planting.places import PlacedGroup, StretchLayout, Unplaced, Why
from plantpick.pond.model import stake_letters
from plantpick.show.figures.sheet import feet_out, on_tape
from plantpick.show.terminal import capfirst
from plantpick.units import depth_words


@dataclass(frozen=True, kw_only=True)
class Row:
    """One group on the sheet. `guard` is the letter of its guard, empty where it needs none."""

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


def sheet_pages(plan: Plan, sheets: tuple[Sheet, ...]) -> tuple[SheetPage, ...]:
    """A page for each stretch that is planted, in the pond file's order."""
    pages = []
    for number, layout in enumerate(plan.layout.stretches, 1):
        told = guards_of(plan, layout, sheets)
        letters = {words: letter for letter, words in zip(_letters(), dict.fromkeys(told.values()))}
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
                        guard=letters[told[g.number]] if g.number in told else "",
                    )
                    for g in layout.groups
                ),
                guards=tuple((letter, capfirst(guard)) for guard, letter in letters.items()),
                notes=tuple(_notes(layout, sheets)),
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


def _notes(layout: StretchLayout, sheets: tuple[Sheet, ...]) -> list[str]:
    """How to lay the tape, what stays free, and what has no place."""
    told = [
        f"Drive stake {layout.stake} at the left end of {layout.stretch.name} as you face the water. Run the tape from it along the "
        f"waterline at full pool, {layout.stretch.length_ft:,.0f} ft."
    ]
    if not layout.measured:
        told.append(
            f"Feet out are figured from the slope you gave ({layout.stretch.slope:g}:1). Your bank will differ: go by the depth."
        )
    unknown = [span for span in layout.clear if not span.known]
    for span in unknown:
        told.append(
            f"Keep {span.to_ft - span.from_ft:.0f} ft clear for the {span.what}. You didn't say where it is, so {span.from_ft:.0f} to "
            f"{span.to_ft:.0f} ft stay empty here. A group that falls where it really is goes into those feet instead."
        )
    told += [no_place(unplaced, sheets) for unplaced in layout.unplaced]
    return told


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
