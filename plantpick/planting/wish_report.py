"""What became of the wishes: what was asked, what the plan has, what limited it, and what would have to give."""

from __future__ import annotations

import math

import numpy as np

from plantpick.planting import candidates
from plantpick.planting.model import Wish
from plantpick.planting.problem import PlantingProblem, Status
from plantpick.planting.relax import Solution, largest_mix, largest_share
from plantpick.planting.simulation import Simulated
from plantpick.planting.tally import water as own_water
from plantpick.units import percent, percents_that_agree


def wish_list(
    stock,
    problem: PlantingProblem,
    wishes,
    groups: np.ndarray,
    cover,
    water,
    chosen,
    loosened,
    told: Simulated,
) -> tuple:
    """Every wish with what was asked, what the plan has, and whether it holds the plan where it is."""
    p, limits = problem.places, problem.limits
    used = groups > 0
    table = candidates.by_stretch(stock, p, groups)
    cost, count = float(groups @ p.cost), int(groups @ p.plants)
    pessimistic = 100 * (problem.pessimistic.own[p.plant, p.stretch] * problem.cells.most[p.stretch]).sum(
        axis=1
    )
    room, tight = 0.0, False
    for s, band in set(zip(p.stretch.tolist(), p.band.tolist())):
        at = (p.stretch == s) & (p.band == band)
        taken = float(groups[at] @ p.shore_ft[at])
        room = max(room, 100 * taken / float(problem.room_ft[s]))
        tight |= float(problem.room_ft[s]) - taken < p.shore_ft[at].min()
    held = 100 * problem.ground.held(table)
    step = 100 * (problem.ground.own.max(axis=1) + problem.ground.jumped.sum(axis=1))
    grown = table.sum(axis=1) > 0
    reached = cover[wishes.year][0 if wishes.count == "cautious" else 1]
    served = [int(groups[serve.at].sum()) for serve in problem.serves]
    lacking = [serve.what for serve, n in zip(problem.serves, served) if n < serve.number]
    rows = []

    def add(key, name, asked, got, unit, most, binds):
        give = loosened.get(key)
        give = None if give is not None and math.isnan(give) else give
        factor = 1.0 if key in ("budget", "plants", "species", "serve", "trim") else 100.0
        if key == "cover" and give is not None:
            give = min(give, max(0.0, asked - got) / 100)  # what the plan itself reaches is to be had as well
        new = (
            None if give is None else asked + (factor * give if most else -factor * give)
        )  # what would have to be asked
        rows.append(
            Wish(
                key=key,
                name=name,
                asked=float(asked),
                got=float(got),
                unit=unit,
                most=most,
                binds=bool(binds),
                loosened=new,
            )
        )

    if wishes.cover:
        one = 100 * float(
            (problem.each[p.plant, p.stretch] * p.wet * problem.fish[p.plant])[used].max(initial=0.0)
        )
        add(
            "cover",
            f"cover by year {wishes.year}, {COUNT_WORDS[wishes.count]}",
            wishes.cover,
            reached,
            "%",
            False,
            reached - wishes.cover < one,
        )
    add(
        "cap",
        f"most that one plant takes in ten years, but for a chance of {wishes.risk:g} %",
        wishes.cap,
        100 * told.at_risk[grown].max(initial=0.0),
        "%",
        True,
        (held + step > wishes.cap)[grown].any(),
    )
    add(
        "upper",
        "water under all plants in ten years if growth is fast",
        wishes.upper,
        water[10][2],
        "%",
        True,
        water[10][2] + pessimistic[used].min(initial=np.inf) > wishes.upper,
    )
    add("species", "different plants", wishes.species, len(chosen), "", False, len(chosen) <= wishes.species)
    if limits.cover > 0 and own_water(problem, groups).sum() > 0:
        share = 100 * largest_share(problem, groups)
        add(
            "share",
            "largest share of the cover planted that one plant has",
            wishes.share,
            share,
            "%",
            True,
            share > wishes.share - 2,
        )
    if limits.mix < 1 and count:
        mix = 100 * largest_mix(problem, groups)
        add(
            "mix",
            "largest share of all plants set that one plant has",
            wishes.mix,
            mix,
            "%",
            True,
            mix > wishes.mix - 2,
        )
    if problem.serves:
        add(
            "serve",
            "groups for the other purposes" + (f" (short of: {_few(lacking)})" if lacking else ""),
            sum(s.number for s in problem.serves),
            sum(min(n, s.number) for n, s in zip(served, problem.serves)),
            "groups",
            False,
            any(n <= s.number for n, s in zip(served, problem.serves)),
        )
    if wishes.plants is not None:
        add(
            "plants",
            "plants to set",
            wishes.plants,
            count,
            "plants",
            True,
            count + p.plants.min(initial=np.inf) > wishes.plants,
        )
    if wishes.budget is not None:
        add(
            "budget",
            "budget",
            wishes.budget,
            cost,
            "$",
            True,
            cost + p.cost.min(initial=np.inf) > wishes.budget,
        )
    if (p.trim_ft2 > 0).any():
        trimmed = float(groups @ p.trim_ft2)
        add(
            "trim",
            "edge to cut back each year",
            wishes.trim,
            trimmed,
            "sq ft",
            True,
            trimmed + p.trim_ft2[p.trim_ft2 > 0].min() > wishes.trim,
        )
    add("room", "fullest band of a stretch, of the shore that may be planted", 100.0, room, "%", True, tight)
    return tuple(rows)


def _few(names: list[str], most: int = 3) -> str:
    return ", ".join(names[:most]) + (f" and {len(names) - most} more" if len(names) > most else "")


def asked_for(wish: Wish) -> str:
    """What was asked, as it was asked."""
    return f"{wish.asked:.3g} %" if wish.unit == "%" else amount(wish.asked, wish.unit)


def amount(value: float, unit: str, up: bool = True) -> str:
    """A number with its unit, rounded to the side that keeps the promise; per cent with one digit more the smaller they are."""
    if unit == "%":
        digits = 2 if value < 1 else 1 if value < 10 else 0
        scale = 10**digits
        value = (math.ceil(value * scale - 1e-6) if up else math.floor(value * scale + 1e-6)) / scale
        told = f"{value:.{digits}f}"
        return f"{told.removesuffix('0') if digits == 2 else told} %"
    whole = math.ceil(value - 1e-6) if up else math.floor(value + 1e-6)
    if unit == "$":
        return f"${whole:,}"
    return f"{whole:,} {unit.removesuffix('s') if whole == 1 else unit}".strip()


def got_words(wish: Wish) -> str:
    """What a plan has of a wish, rounded as the tables have it; where that would look like the wish met, with one digit more."""
    if wish.unit != "%":
        return amount(wish.got, wish.unit, wish.most)
    told = percent(wish.got)
    return f"{wish.got:.2f} %" if not wish.met and float(told) == round(wish.asked, 1) else f"{told} %"


COUNT_WORDS = {"cautious": "if growth is slow", "typical": "if growth is typical"}
LOOSEN_WORDS = {
    "cover": "ask for no more than {to} of cover by year {year}, {count}",
    "cap": "let one plant take up to {to} of the surface (your limit now: {asked})",
    "upper": "let all plants together cover up to {to} of the surface (your limit now: {asked})",
    "species": "settle for {to} different plants",
    "share": "let one plant have {to} of the cover planted (now {asked})",
    "mix": "let one plant be {to} of all plants set (now {asked})",
    "serve": "settle for {to} for the other purposes (now {asked})",
    "plants": "set up to {to} (now {asked})",
    "budget": "spend up to {to} (now {asked})",
    "trim": "cut back up to {to} of edge each year (now {asked})",
}
WISH_WORDS = {
    "cover": "the cover",
    "cap": "your limit for one plant",
    "upper": "your limit for all plants together",
    "species": "the number of species",
    "share": "the share of the cover that one plant has",
    "mix": "the share of the plants that are one kind",
    "serve": "the other purposes",
    "plants": "the number of plants",
    "budget": "the budget",
    "trim": "the edge to cut back each year",
    "year": "more time (up to year 10)",
    "count": "going by typical growth",
    "year and count": "more time and typical growth together",
}


HOLDING_WORDS = {
    "cover": "the cover of {asked} that you asked for",
    "cap": "your {asked} for one plant in ten years",
    "upper": "your {asked} for all plants together in ten years",
    "species": "{asked} different plants at least",
    "share": "no plant more than {asked} of the cover planted",
    "mix": "no plant more than {asked} of all you set",
    "serve": "what the other purposes need",
    "plants": "no more than {asked}",
    "budget": "your {asked}",
    "trim": "no more than {asked} of edge to cut back a year",
    "room": "a bank that is full at one depth",
}


def holding_words(wish: Wish) -> str:
    """A wish as what holds a plan where it is."""
    return HOLDING_WORDS[wish.key].format(asked=asked_for(wish))


def most_cover(wishes, cover, solution: Solution) -> str:
    """What to know where no cover was asked for."""
    got = cover[wishes.year][0 if wishes.count == "cautious" else 1]
    reached, known = percent(got), ""
    if solution.most is not None:
        reached, top = percents_that_agree(got, 100 * solution.most)
        known = f" No planting within your limits can have more than {top} %."
    return (
        f"You did not say how much cover you want (cover_target_percent in the pond file), so this plan goes for the most. It reaches {reached} % of "
        f"the surface by year {wishes.year}, {COUNT_WORDS[wishes.count]}.{known} Bluegill do best with plants on 15 to 30 % of it "
        "(FWS/OBS-82/10.8): leave the rest to time, or to brush piles, which are cover at once."
    )


LATER_WORDS = {
    "year": "wait until year 10 for the cover",
    "count": "go by typical growth",
    "year and count": "wait until year 10 and go by typical growth",
}


def advice(outcome, wishes, pond, cover, solution: Solution) -> tuple[str, ...]:
    """Sentences: whether the wishes are met and what binds; or which cannot be, and what would have to give."""
    loosened = solution.loosened
    binding = [holding_words(w) for w in outcome if w.binds and w.met]
    if solution.met:
        said = ["All wishes are met."] + (
            [most_cover(wishes, cover, solution)] if wishes.cover is None else []
        )
        if binding:
            said.append("What limited this plan: " + "; ".join(binding) + ".")
        return tuple(said)
    said = []
    for wish in outcome:
        if not wish.met:
            low, typical, high = cover[wishes.year]
            span = (
                f" (typical {percent(typical)} %, if growth is fast {percent(high)} %)"
                if wish.key == "cover"
                else ""
            )
            said.append(
                f"{'Not reached' if solution.answer.status is Status.UNSETTLED else 'Cannot be met'}: {wish.name}: {asked_for(wish)} asked, "
                f"{got_words(wish)} reached{span}."
            )
    if binding:
        said.append("What got in the way: " + "; ".join(binding) + ".")
    for wish in outcome:
        if wish.key in LOOSEN_WORDS and wish.loosened is not None:
            to = amount(wish.loosened, wish.unit, wish.most)
            if to == amount(wish.asked, wish.unit, wish.most):
                continue  # less than a figure shows: no advice
            text = LOOSEN_WORDS[wish.key].format(
                to=to,
                year=wishes.year,
                count=COUNT_WORDS[wishes.count],
                asked=asked_for(wish),
            )
            said.append(f"You can have all the others if you {text}.")
    said += [
        f"You can have all the others if you {words}."
        for key, words in LATER_WORDS.items()
        if loosened.get(key) == 1.0
    ]
    lacking = next((w.asked - w.got for w in outcome if w.key == "cover" and not w.met), 0.0)
    if lacking > 0:
        said.append(
            f"Brush piles or other structure over {amount(lacking, '%')} more of the surface would make up the rest "
            "at once: enter them as brush_percent."
        )
    never = [WISH_WORDS[key] for key, give in loosened.items() if give is None]
    open_ = [WISH_WORDS[key] for key, give in loosened.items() if give is not None and math.isnan(give)]
    if never:
        more = f" For the others the time ran out before we knew: {', '.join(open_)}." if open_ else ""
        said.append(f"Loosening one of these alone is not enough: {', '.join(never)}.{more}")
    elif open_:
        said.append(
            f"The time ran out before we knew whether loosening one of these is enough: {', '.join(open_)}."
        )
    return tuple(said)
