"""The sheet for each group: what to buy, when and how to set it, what guards it and what holds it; and the order of work.

Forms, ways of setting and guards are common practice without a source, unless one is named.
"""

from __future__ import annotations

from calendar import month_abbr
from dataclasses import dataclass
from datetime import date, timedelta
from enum import Enum

from plantpick.catalogue.plants import Catalogue, Plant
from plantpick.monitoring.windows import (
    DEADHEAD,
    MEASURE,
    ORDER_DAYS,
    ROOTING_DAYS,
    TRIM,
    WARM_WATER_DAYS,
)
from plantpick.planting.guards import CAGE_SEASONS, IN_WATER, MESH_IN, RING_POSTS, Guard, GuardKind
from plantpick.planting.model import Chosen, Group, Plan, runs
from plantpick.planting.offered import Offered
from plantpick.planting.prices import Basis
from plantpick.pond.keep_clear import loose_plant_warning
from plantpick.pond.model import Pond
from plantpick.ranking.cautions import CAUTION_WORDS
from plantpick.ranking.containment import in_words
from plantpick.units import percent
from plantpick.vocabulary import STATES, WOODY

# The forecast's own rule: what a group grows into hangs on how it was set.
LAYOUT = (
    "Set the seven plants of a group in a row along one depth line, never up and down the slope; three shrubs in a triangle "
    "just above their line; a tree alone."
)

_HERB = ("emergent", "sedge", "rush", "grass")
FORM_TO_BUY = {
    **dict.fromkeys(
        _HERB, "plugs or bare-root plants, tall enough that a third of the leaf stands above the water"
    ),
    **dict.fromkeys(("bank forb", "fern", "vine"), "plugs or four-inch pots"),
    "floating-leaved": "pieces of rhizome with a growing tip, or potted plants",
    "submersed": "rooted plants in peat or burlap pots, or winter buds or tubers",
    "shrub": "one-gallon pots, or bare-root plants while dormant",
    "tree": "pots of two to five gallons",
}
# The same where lists ask a price for one form: what they ask it for. Pots of trees and shrubs cost several times as much.
PRICED_FORM = {
    "bare root": "bare-root plants, rooted and unbroken",
    "plug": "plugs",
    "pot": "potted plants",
    "tuber": "tubers",
    "cutting": "rooted cuttings",
    "seed": "seed",
}
ON_DAM = (
    ", its mesh laid 2 ft out flat on the face and weighed down with stones (dig nothing into the dam, and drive posts only where its "
    "builder or your dam safety office says so)"
)
HOW_TO_SET = {
    **dict.fromkeys(
        _HERB,
        "push the roots into the mud with the crown level with it; pin with a staple of wire where waves reach",
    ),
    **dict.fromkeys(
        ("bank forb", "fern", "vine"), "dig a hole as deep as the root ball, firm it, and water it in"
    ),
    "floating-leaved": "lay the rhizome flat, tip up and barely covered, and weigh it down with a stone",
    "submersed": "set the pot into the bottom whole, or weigh a bunch down by its roots; never throw loose pieces in",
    "shrub": "dig a hole twice as wide as the root ball and no deeper; root flare at the surface",
    "tree": "dig a hole twice as wide as the root ball and no deeper; root flare at the surface, stake it for a year",
}
# What holds a group in place, as a word on its row and a line beneath: common practice, no source.
RIM = "its rim, not its bottom, at the row's depth; where the water is shallower than the tub, dug in with the rim an inch above the mud"
TUB_SIZES = {"floating-leaved": "about 10 gallons, 16 in wide or more"}
USUAL_TUB = "about 5 gallons, 12 in wide"
HOLD_WORDS = {
    "tub": "tub",
    "barrier": "barrier",
    "trim": "cut",
    "deadhead": "seed heads",
    "sterile form": "sterile",
}
HOLD_LINES = {
    "barrier": "behind a root barrier: dig it in round the group before you plant, its rim above the mud",
    "trim": "cut its edge back and pull strays every year",
    "deadhead": "cut its seed heads every summer before they ripen",
    "sterile form": "only a form that sets no seed: ask the seller in writing",
}


def tub_line(growth_form: str) -> str:
    """How a plant goes into its tub."""
    size = TUB_SIZES.get(growth_form, USUAL_TUB)
    return f"one plant to a tub without holes ({size}), in heavy garden soil (no potting mix) under an inch of gravel; {RIM}"


# Water over a place when it is planted while the pond fills, inches: least and most.
FILLING = {**dict.fromkeys(_HERB, (0.0, 4.0)), "floating-leaved": (6.0, 18.0), "submersed": (12.0, 24.0)}


@dataclass(frozen=True, kw_only=True)
class Sheet:
    """What to know on the spot for one group entry of the plan; `window` are the first and last days to plant."""

    group: Group
    common_name: str
    scientific_name: str
    growth_form: str
    depth_low_pool_in: float | None  # None: how far the pond falls is not known
    form: str
    how: str
    guard: str
    held_by: str
    holds: tuple[tuple[str, str], ...]  # its word and the line, each measure that holds it
    window: tuple[date, date]
    mind: tuple[str, ...]

    @property
    def lives_in_water(self) -> bool:
        """Whether it is a plant that lives under water or floats."""
        return self.growth_form in IN_WATER

    @property
    def when(self) -> str:
        """The window in words."""
        return f"{day(self.window[0])} to {day(self.window[1])}"


class Chore(Enum):
    """What kind of work a line of the planting calendar is."""

    ORDER = "order"
    PLANT = "plant"
    MEASURE = "measure"
    TRIM = "trim"
    CUT = "cut"


@dataclass(frozen=True)
class Span:
    """A line of the planting calendar: days of a year that may run over its end."""

    chore: Chore
    what: str
    start: date
    end: date


def day(when: date) -> str:
    """Month and day in words, as in "Mar 20"."""
    return f"{month_abbr[when.month]} {when.day}"


def window(pond: Pond, growth_form: str, today: date) -> tuple[date, date]:
    """The first and last day to plant, from the pond's mean frosts and the plant's form: in the window that is open today, from today
    on, or in the next to open.

    Emergent and bank plants from the last frost on, those that live under water or float when it is warm, all of them
    in time to root before frost; the woody while dormant. Emergents set in winter rarely live (common
    practice; USDA NRCS Illinois, Native Plant Guide, plants rushes and bulrushes in spring).
    """
    frosts = pond.growing_season.frosts
    if growth_form in WOODY:
        winter = today.year - 1 if frosts(today.year).last_frost > today else today.year
        return max(today, frosts(winter).first_frost), frosts(winter + 1).last_frost
    season = frosts(planting_year(pond, today))
    stop = season.first_frost - timedelta(days=ROOTING_DAYS)
    start = season.last_frost + timedelta(days=WARM_WATER_DAYS if growth_form in IN_WATER else 0)
    start = max(today, start)
    return start, max(start, stop)


def planting_year(pond: Pond, today: date) -> int:
    """The year of the next planting season: this year while its window is open, the next one after that."""
    left = (pond.growing_season.frosts(today.year).first_frost - today).days - ROOTING_DAYS
    return today.year if left > 0 else today.year + 1


def sheets(plan: Plan, catalogue: Catalogue, today: date) -> tuple[Sheet, ...]:
    """A sheet for each entry of the plan, in its order, with the days to plant from `today` on."""
    held = {c.ranked.plant_id: c for c in plan.chosen}
    found = []
    for group in plan.groups:
        plant = catalogue.plant(group.plant_id)
        chosen = held[group.plant_id]
        form = plant.growth_form
        mind = [CAUTION_WORDS[w] for w in plant.cautions if w in CAUTION_WORDS and w != "woody"]
        loose = loose_plant_warning(plan.pond.keep_clear, form, plant.jump_by, dammed=plan.pond.dammed)
        mind += [loose] if loose else []
        found.append(
            Sheet(
                group=group,
                common_name=plant.common_name,
                scientific_name=plant.scientific_name,
                growth_form=form,
                depth_low_pool_in=group.depth_in - plan.pond.usual_drop_in if plan.pond.drop_known else None,
                form=form_to_buy(plant, chosen, plan.offered),
                how=tub_line(form)
                if "tub" in chosen.measures
                else HOW_TO_SET.get(form, "plant as the nursery says"),
                guard=guard(plan, group, plant),
                held_by=in_words(chosen.measures) if chosen.measures else "",
                holds=_holds(chosen.measures, form),
                window=window(plan.pond, form, today),
                mind=tuple(mind),
            )
        )
    return tuple(found)


def _holds(measures: tuple[str, ...], growth_form: str) -> tuple[tuple[str, str], ...]:
    """The word and the line of each measure. What stands in a tub is not cut: what roots outside is pulled."""
    if "tub" in measures:
        pull = "; pull what roots outside every year" if "trim" in measures else ""
        measures = ("tub", *(m for m in measures if m not in ("tub", "trim")))
        lines = HOLD_LINES | {"tub": tub_line(growth_form) + pull}
    else:
        lines = HOLD_LINES
    return tuple((HOLD_WORDS[m], lines[m]) for m in measures if m in HOLD_WORDS)


def form_to_buy(plant: Plant, chosen: Chosen, offered: Offered | None) -> str:
    """What to buy: the form that the price is for, so that what you order costs what the bill says."""
    usual = FORM_TO_BUY.get(plant.growth_form, "nursery-grown plants")
    if chosen.asked.basis is Basis.OFFER and offered is not None:
        return " or ".join(offered.forms.get(plant.plant_id, ())) or "as the offer has it"
    if chosen.asked.basis is not Basis.LISTED or not plant.price_form:
        return usual
    if plant.growth_form in WOODY and plant.price_form == "bare root":
        saplings = "bare-root saplings" if plant.growth_form == "tree" else "bare-root plants"
        return f"{saplings}, while dormant; pots cost several times as much"
    look_for = usual.partition(",")[2] if plant.price_form == "plug" else ""
    return f"{PRICED_FORM[plant.price_form]}{',' if look_for else ''}{look_for}"


def guard(plan: Plan, group: Group, plant: Plant) -> str:
    """The fence, ring or cage for one group, how large, and against what; empty where nothing here eats it."""
    found = group.guard(plan.pond, plant)
    return guard_words(found) if found else ""


def guard_words(found: Guard) -> str:
    """A guard in words."""
    against = " and ".join(found.against) or "turtles, carp and whatever else has come in"
    if found.kind is GuardKind.FENCE:
        return f"a fence {found.height_ft:g} ft high that keeps out {against}"
    if found.kind is GuardKind.SLEEVE:
        return f"a sleeve {found.height_ft:g} ft high round each stem, against {against}"
    if found.kind is GuardKind.RING:
        sunk = ", sunk 6 in into the ground" if found.sunk else ""
        return (
            f"a ring of wire round each stem, {found.across_ft:g} ft across and {found.height_ft:g} ft high{sunk}, on {RING_POSTS} "
            f"stakes, against {against}"
        )
    size = f"{found.along_ft:.1f} x {found.across_ft:.1f} ft, {found.height_ft:g} ft high"
    more = ON_DAM if found.dam else ", sunk 6 in into the ground" if found.sunk else ""
    more += ", with string or mesh over the top" if found.roofed else ""
    if found.kind is GuardKind.CAGE:
        return (
            f"cage {size}, {MESH_IN:g} in mesh{more}, against {against}, for the first {CAGE_SEASONS} seasons"
        )
    return f"wire {size}{more}, against {against}"


def calendar(plan: Plan, catalogue: Catalogue, today: date) -> tuple[Span, ...]:
    """What to do when, from `today` on: order, plant by form, measure, trim, cut seed heads."""
    season = plan.pond.growing_season.frosts(planting_year(plan.pond, today))
    early, late = (season.last_frost - timedelta(days=d) for d in ORDER_DAYS)
    spans = [Span(Chore.ORDER, "order", early, late)]
    names: dict[tuple[date, date], set[str]] = {}
    for group in plan.groups:
        form = catalogue.plant(group.plant_id).growth_form
        names.setdefault(window(plan.pond, form, today), set()).add(form)
    for (start, end), forms in sorted(names.items()):
        word = (
            "plant shrubs and trees"
            if forms <= set(WOODY)
            else "plant submersed and floating-leaved"
            if forms <= set(IN_WATER)
            else "plant emergent and bank plants"
        )
        spans.append(Span(Chore.PLANT, word, start, end))
    measures = {m for c in plan.chosen for m in c.measures}
    spans += [
        Span(Chore.MEASURE, "measure early", *season.window(MEASURE[0])),
        Span(Chore.MEASURE, "measure late", *season.window(MEASURE[1])),
    ]
    if "trim" in measures:
        spans += [
            Span(Chore.TRIM, "trim, first cut, from year 2", *season.window(TRIM[0])),
            Span(Chore.TRIM, "trim, second cut, from year 2", *season.window(TRIM[1])),
        ]
    if "deadhead" in measures:
        spans.append(Span(Chore.CUT, "cut seed heads", *season.window(DEADHEAD)))
    return tuple(spans)


def order_of_work(plan: Plan, catalogue: Catalogue) -> tuple[str, ...]:
    """The order in which to plant a pond that is still filling: deepest first, as the water comes up."""
    steps: dict[tuple[float, float], list[str]] = {}
    dry: list[str] = []
    walked = [g.number for g in plan.layout.groups] + [n for u in plan.layout.unplaced for n in u.numbers]
    for group in plan.groups:
        form = catalogue.plant(group.plant_id).growth_form
        if form in FILLING and group.depth_in > 0:
            least, most = FILLING[form]
            key = (max(0.0, group.depth_in - most), max(0.0, group.depth_in - least))
            steps.setdefault(key, []).extend(group.numbers)
        else:
            dry.extend(group.numbers)
    said = []
    for (least, most), labels in sorted(steps.items(), reverse=True):  # what the water passes first
        level = "at full pool" if most == 0 else f"{least:.0f} to {most:.0f} in below full pool"
        said.append(f"When the water stands {level}: {_labels(sorted(labels, key=walked.index))}.")
    if dry:
        said.append(
            "In their planting window whatever the level, watered until the pond is full: "
            f"{_labels(sorted(dry, key=walked.index))}."
        )
    said.append(
        "Mark every place with a stake at its depth below full pool before the water comes; a plant set for "
        "today's level stands too deep or too dry when the pond is full."
    )
    said.append(
        "Seed bare banks with a quick cover of grass first: mud in the water keeps light from what is under it."
    )
    return tuple(said)


def _labels(names: list[str]) -> str:
    return f"group{'s' if len(names) > 1 else ''} {', '.join(runs(tuple(names)))}"


def to_watch(plan: Plan, catalogue: Catalogue) -> tuple[str, ...]:
    """What to look out for after planting, from what was chosen and from the pond."""
    said = []
    fast = sorted(
        (c for c in plan.chosen if c.takeover[10][2] >= 0.5 * plan.pond.cap_percent),
        key=lambda c: -c.takeover[10][2],
    )
    if fast:
        names = ", ".join(f"{c.ranked.common_name} {percent(c.takeover[10][2])} %" for c in fast)
        said.append(
            f"In a bad case, after ten untended years, of the surface (your limit: {plan.pond.cap_percent:g} %): {names}. Measure their "
            "edges every summer (plantpick watch)."
        )
    jumpers = [
        c.ranked.common_name
        for c in plan.chosen
        if catalogue.plant(c.ranked.plant_id).jumps and "deadhead" not in c.measures
    ]
    if jumpers:
        said.append(f"Strays away from the parent: {', '.join(jumpers)}. Pull them while they are small.")
    if any(c.chore for c in plan.chosen):
        said.append(
            "The yearly chores under containment: what is not cut back one year is a harder cut the next."
        )
    said.append("Cages: whole, no animal inside, weed wiped off the mesh; take them away after two seasons.")
    said.append("Cattail, willow and other plants you didn't set: identify them first, then pull them young.")
    said.append(
        f"If plants ever cover more than {plan.wishes.upper:g} % of the surface, take out a quarter to a third at a time: "
        "a large stand that rots at once uses up the fishes' oxygen (SRAC-361)."
    )
    return tuple(said)


def questions(plan: Plan, catalogue: Catalogue) -> tuple[str, ...]:
    """What to ask the state agency, the biologist and the nursery, with the plan in hand."""
    pond, law = plan.pond, plan.ranking.law
    said = [
        f"{law.agency}, with this list in hand: may all of these plants be bought, moved and planted in {STATES[pond.state][0]}?",
        "Does planting or work on the shore need a permit here, and does any of the water leave the land?",
    ]
    unsure = [c.ranked.common_name for c in plan.chosen if c.ranked.state_status != "native"]
    if unsure:
        said.append(f"Are these native in this part of the state: {', '.join(unsure)}?")
    said.append(
        "The fisheries biologist: "
        + (
            "how much cover is right for the fish that are to be stocked"
            if plan.wishes.cover is None
            else f"is {plan.wishes.cover + pond.brush_percent:.3g} % of cover right for the fish that are to be stocked"
        )
        + ", and how much of it should be brush?"
    )
    if any(s.dam for s in pond.stretches):
        said.append(
            "The state dam safety office or whoever built the dam: what may grow at the waterline of the dam, and may posts for "
            "cages be driven there?"
        )
    if "grass carp" in pond.residents:
        said.append(
            "The biologist: what should you do about the grass carp, which eat most of what you plant under water?"
        )
    said.append(
        "The nursery: are the plants nursery-grown, labeled with their scientific names, free of hitch-hikers, and what "
        "does it do when one is sold out? Take no substitutes."
    )
    return tuple(said)
