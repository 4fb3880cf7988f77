"""What becomes of the wishes: the runs of the programme, what binds, and which wish would have to give, by how much."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np

from plantpick import candidates, planting
from plantpick.case import Answer, Case
from plantpick.programme import Programme

MOST = 0.1  # so far short where no cover was asked for and the most is looked for (judgement)
NEAR = 0.3  # the nearest planting may stay this part short of the most cover there is: the last of it comes
# dear, plant by plant, and an owner who is far from the target anyway should not pay for it (judgement)
GAP = 0.02
FREE = 1e6
# What each run of the solver gets of the time at the most; most of those that loosen a wish end at once.
PARTS = {"all": 0.5, "nearest": 0.15, "unsettled": 0.3, "cheap": 0.1, "loosen": 0.6}
# How much a wish that cannot be met weighs against the cover (the whole target counts 1), so that the others come first.
WEIGHTS = {"serve": 10.0, "species": 10.0, "share": 100.0}


def settle(
    case: Case, stock, wishes, time_limit: float, within: float = 0.0
) -> tuple[Answer, dict[str, float | None], bool]:
    """The cheapest planting that meets every wish, or the nearest; what each wish alone would have to give; and which.

    Nearest: the caps, the upper cover, the room, the number of plants and the budget are kept; the purposes, the
    number of species and the shares come before the cover; then the cheapest within 30 % of the most cover. A cost
    no more than the part `within` over the least there can be ends the search for a cheaper one. Amounts to give are
    in shares, groups, plants or dollars; None where a wish alone is not enough, NaN where the time ended.
    """
    programme, asked, settled = Programme(case), wishes.cover is not None, True
    if asked:
        answer = programme.solve(time_limit=PARTS["all"] * time_limit, gap=max(1e-6, within))
        if answer.found:
            return answer, {}, True
        settled = answer.status == "impossible"
    opened = {"cover": case.limits.cover, "species": float(case.limits.species), "share": FREE, "serve": FREE}
    aim = {"cover": 1.0 / max(case.limits.cover, 1e-9), **WEIGHTS}
    part = PARTS["nearest" if settled and asked else "unsettled"]
    nearest = programme.solve(aim=aim, open=opened, time_limit=part * time_limit, gap=GAP)
    if not nearest.found:
        return nearest, {}, False
    # met: no cover was asked for, or the search for the cheapest was cut short
    met = all(float(nearest.slack[name].sum()) < 1e-9 for name in opened if asked or name != "cover")
    kept = {
        name: nearest.slack[name] * (1 + 1e-6) + (0.0 if met else 1e-9)
        for name in ("species", "share", "serve")
    }
    reached = case.limits.cover - nearest.slack["cover"]
    short = NEAR if asked else MOST
    kept["cover"] = 0.0 if met and asked else case.limits.cover - reached * (1 - short)
    cheap = programme.solve(open=kept, time_limit=PARTS["cheap"] * time_limit, gap=max(GAP, within))
    best = cheap if cheap.found else nearest
    if met:
        return replace(best, status="gap", gap=best.gap if cheap.found else None), {}, True
    left = PARTS["loosen"] * time_limit * (1.0 if settled else 0.4)
    given = _loosened(programme, case, stock, wishes, left)
    return (best if settled else replace(best, status="unsettled")), given, False


def _loosened(programme: Programme, case: Case, stock, wishes, time_limit: float) -> dict[str, float | None]:
    """For each wish on its own: the least it has to give for all the others to be met, or None."""
    limits = case.limits
    asked = wishes.cover is not None
    most = {
        "cover": limits.cover if asked else 0.0,
        "cap": 1.0 - limits.cap,
        "upper": 1.0 - limits.upper,
        "species": float(limits.species),
        "share": FREE,
        "serve": FREE,
    }
    if limits.budget is not None:
        most["budget"] = 1e9
    if limits.plants is not None:
        most["plants"] = 1e7
    if case.places.trim_ft2.any():
        most["trim"] = 1e9
    free = {} if asked else {"cover": limits.cover}
    doubtful = {
        name: free | {name: top}
        for name, top in most.items()
        if top > 0 and not (name == "share" and limits.share >= 1)
    }
    given: dict[str, float | None] = {name: None for name in doubtful}
    doubtful = {name: opened for name, opened in doubtful.items() if not programme.impossible(opened)}
    for name, opened in doubtful.items():  # those that parts of groups rule out took no time
        part = time_limit / max(2, len(doubtful))
        aim = {"cost" if name == "budget" else name: 1.0}  # the least cost is the least budget
        answer = programme.solve(aim=aim, open=opened, time_limit=part, gap=GAP)
        given[name] = (
            float(answer.slack[name].sum())
            if answer.found
            else None
            if answer.status == "impossible"
            else math.nan
        )
        if name == "budget" and answer.found:
            given[name] = max(0.0, float(answer.groups @ case.places.cost) - limits.budget)
        if name == "share" and answer.found:
            given[name] = _largest_share(case, answer.groups) - limits.share
    if limits.cover > 0 and asked:
        others = {
            "year": replace(wishes, year=10),
            "count": replace(wishes, count="typical"),
            "year and count": replace(wishes, year=10, count="typical"),
        }
        for name, other in others.items():
            if (
                other == wishes
                or name == "year and count"
                and (given.get("year") == 1.0 or given.get("count") == 1.0)
            ):
                continue
            answer = Programme(candidates.build(stock, other)).solve(time_limit=time_limit / 6, gap=FREE)
            given[name] = 1.0 if answer.found else None if answer.status == "impossible" else math.nan
    return given


def _water(case: Case, groups: np.ndarray) -> np.ndarray:
    """Water that each plant covers by the forecast that counts, every plant for itself, (plants,)."""
    p = case.places
    wet = groups * p.wet
    return np.bincount(p.plant, wet * case.each[p.plant, p.stretch], minlength=len(case.fish)) * case.fish


def _largest_share(case: Case, groups: np.ndarray) -> float:
    water = _water(case, groups)
    return float(water.max() / water.sum()) if water.sum() > 0 else 0.0


def wish_list(stock, case: Case, wishes, groups: np.ndarray, cover, water, chosen, loosened) -> tuple:
    """Every wish with what was asked, what the plan has, and whether it holds the plan where it is."""
    p, limits = case.places, case.limits
    used = groups > 0
    table = candidates.by_stretch(stock, p, groups)
    cost, count = float(groups @ p.cost), int(groups @ p.plants)
    feared = 100 * (case.feared.own[p.plant, p.stretch] * case.cells.most[p.stretch]).sum(axis=1)
    room, tight = 0.0, False
    for s, band in set(zip(p.stretch.tolist(), p.band.tolist())):
        at = (p.stretch == s) & (p.band == band)
        taken = float(groups[at] @ p.shore_ft[at])
        room = max(room, 100 * taken / float(case.room_ft[s]))
        tight |= float(case.room_ft[s]) - taken < p.shore_ft[at].min()
    held = 100 * case.ground.held(table)
    step = 100 * (case.ground.own.max(axis=1) + case.ground.jumped.sum(axis=1))
    grown = table.sum(axis=1) > 0
    reached = cover[wishes.year][0 if wishes.count == "cautious" else 1]
    served = [int(groups[serve.at].sum()) for serve in case.serves]
    lacking = [serve.what for serve, n in zip(case.serves, served) if n < serve.number]
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
        rows.append(planting.Wish(key, name, float(asked), float(got), unit, most, bool(binds), new))

    if limits.cover > 0 and wishes.cover is not None:
        one = 100 * float((case.each[p.plant, p.stretch] * p.wet * case.fish[p.plant])[used].max(initial=0.0))
        add(
            "cover",
            f"cover by year {wishes.year}, {wishes.count} count",
            wishes.cover,
            reached,
            "%",
            False,
            reached - wishes.cover < one,
        )
    add(
        "cap",
        "most that one plant takes in ten years, pessimistic count",
        wishes.cap,
        held[grown].max(initial=0.0),
        "%",
        True,
        (held + step > wishes.cap)[grown].any(),
    )
    add(
        "upper",
        "water under all plants in ten years, pessimistic count",
        wishes.upper,
        water[10][2],
        "%",
        True,
        water[10][2] + feared[used].min(initial=np.inf) > wishes.upper,
    )
    add("species", "different plants", wishes.species, len(chosen), "", False, len(chosen) <= wishes.species)
    if limits.cover > 0 and _water(case, groups).sum() > 0:
        share = 100 * _largest_share(case, groups)
        add(
            "share",
            "largest share of the cover planted that one plant has",
            wishes.share,
            share,
            "%",
            True,
            share > wishes.share - 2,
        )
    if case.serves:
        add(
            "serve",
            "groups for the other purposes" + (f" (short of: {_few(lacking)})" if lacking else ""),
            sum(s.number for s in case.serves),
            sum(min(n, s.number) for n, s in zip(served, case.serves)),
            "groups",
            False,
            any(n <= s.number for n, s in zip(served, case.serves)),
        )
    if wishes.plants is not None:
        add(
            "plants",
            "plants to set",
            wishes.plants,
            count,
            "plants",
            True,
            count + p.plants.min() > wishes.plants,
        )
    if wishes.budget is not None:
        add("budget", "budget", wishes.budget, cost, "$", True, cost + p.cost.min() > wishes.budget)
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


def amount(value: float, unit: str, up: bool = True) -> str:
    """A number with its unit, rounded to the side that keeps the promise."""
    if unit == "%":
        digits = 1 if value < 10 else 0
        scale = 10**digits
        value = (math.ceil(value * scale - 1e-6) if up else math.floor(value * scale + 1e-6)) / scale
        return f"{value:.{digits}f} %"
    whole = math.ceil(value - 1e-6) if up else math.floor(value + 1e-6)
    return f"${whole:,}" if unit == "$" else f"{whole:,} {unit}".strip()


LOOSEN_WORDS = {
    "cover": "ask for no more than {to} of cover by year {year} on the {count} count",
    "cap": "let one plant take up to {to} of the surface (cap now {asked})",
    "upper": "let all plants together cover up to {to} of the water (now {asked})",
    "species": "are content with {to} different plants",
    "share": "let one plant have {to} of the cover planted (now {asked})",
    "serve": "are content with {to} for the other purposes (now {asked})",
    "plants": "set up to {to} (now {asked})",
    "budget": "spend up to {to} (now {asked})",
    "trim": "cut back up to {to} of edge each year (now {asked})",
}
WISH_WORDS = {
    "cover": "the cover",
    "cap": "the cap for one plant",
    "upper": "the upper cover",
    "species": "the number of species",
    "share": "the share of one plant",
    "serve": "the other purposes",
    "plants": "the number of plants",
    "budget": "the budget",
    "trim": "the edge to cut back each year",
    "year": "more time (up to year 10)",
    "count": "going by the typical count",
    "year and count": "both of these together",
}


def most_cover(wishes, cover) -> str:
    """What to know where no cover was asked for."""
    low, typical, _ = cover[wishes.year]
    return (
        f"No cover was asked for (cover_target_percent in the pond file). On the {wishes.count} count your limits leave room for little "
        f"more than this by year {wishes.year}: {amount(low if wishes.count == 'cautious' else typical, '%', False)} of the "
        "surface. Bluegill do best with plants on 15 to 30 % of it (FWS/OBS-82/10.8): the rest is left to time, or to brush "
        "piles, which are cover at once."
    )


LATER_WORDS = {
    "year": "wait until year 10 for the cover",
    "count": "go by the typical count",
    "year and count": "wait until year 10 and go by the typical count",
}


def advice(outcome, wishes, pond, cover, loosened, met: bool) -> tuple[str, ...]:
    """Sentences: whether the wishes are met and what binds; or which cannot be, and what would have to give."""
    binding = [w.name for w in outcome if w.binds and w.met]
    if met:
        said = ["All wishes are met."] + ([most_cover(wishes, cover)] if wishes.cover is None else [])
        if binding:
            said.append("What holds the plan where it is: " + "; ".join(binding) + ".")
        return tuple(said)
    said = []
    for wish in outcome:
        if not wish.met:
            low, typical, high = cover[wishes.year]
            span = (
                f" (typical {amount(typical, '%', False)}, pessimistic {amount(high, '%')})"
                if wish.key == "cover"
                else ""
            )
            said.append(
                f"Cannot be met: {wish.name}: {amount(wish.asked, wish.unit)} asked, "
                f"{amount(wish.got, wish.unit, wish.most)} reached{span}."
            )
    if binding:
        said.append("In its way: " + "; ".join(binding) + ".")
    for wish in outcome:
        if wish.key in LOOSEN_WORDS and wish.loosened is not None:
            text = LOOSEN_WORDS[wish.key].format(
                to=amount(wish.loosened, wish.unit, wish.most),
                year=wishes.year,
                count=wishes.count,
                asked=amount(wish.asked, wish.unit),
            )
            said.append(f"All the others can be met if you {text}.")
    said += [
        f"All the others can be met if you {words}."
        for key, words in LATER_WORDS.items()
        if loosened.get(key) == 1.0
    ]
    lacking = next((w.asked - w.got for w in outcome if w.key == "cover" and not w.met), 0.0)
    if lacking > 0:
        said.append(
            f"Brush piles or other structure over {amount(lacking, '%')} more of the water would make up the rest "
            "at once: enter them as brush_percent."
        )
    never = [WISH_WORDS[key] for key, give in loosened.items() if give is None]
    if never:
        said.append(f"Loosening one of these alone is not enough: {', '.join(never)}.")
    open_ = [WISH_WORDS[key] for key, give in loosened.items() if give is not None and math.isnan(give)]
    if open_:
        said.append(
            f"In the time given it was not settled whether it is enough to loosen: {', '.join(open_)}."
        )
    return tuple(said)
