"""What becomes of the wishes: the runs of the programme, what binds, and which wish would have to give, by how much."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from plantpick.planting import candidates, plan
from plantpick.planting.greedy import greedy
from plantpick.planting.milp_runs import Programme
from plantpick.planting.problem import Answer, Case
from plantpick.planting.tally import keeps, misses, value
from plantpick.planting.tally import water as own_water

MOST = 0.1  # so far short where no cover was asked for and the most is looked for (judgement)
NEAR = 0.3  # the nearest planting may stay this part short of the most cover that there can be: the last of it comes
# dear, plant by plant, and an owner who is far from the target anyway should not pay for it (judgement)
GAP = 0.02
FREE = 1e6
RELAXED = 20.0  # seconds at the most for the parts of groups
# The search goes in rounds, each with twice the seconds of the one before. They are the same whatever time is given, so
# that more of it only adds rounds, and each begins with the best that is there.
FIRST_ROUND = 0.25
# What the rounds get of the time: while wishes are unmet something is left for asking which of them stands in the way.
PARTS = {"met": 0.8, "unsettled": 0.6, "impossible": 0.4}
LOOSEN = {"unsettled": 0.4, "impossible": 0.6}
# Of a round in which no planting is known that meets all: for one that does, for one that comes nearer, for a cheaper one.
SPLIT = (0.4, 0.35, 0.25)
# How much a wish that cannot be met weighs against the cover (the whole target counts 1), so that the others come first.
WEIGHTS = {"serve": 10.0, "species": 10.0, "share": 100.0}


@dataclass(frozen=True)
class Settled:
    """What came of the search: the planting and what is known of it.

    `loosened` is what each wish alone would have to give, in shares, groups, plants or dollars: None where it alone is not
    enough, NaN where the time ended. `met` says that every wish is met; `goal` is the cover that was gone for and `most`
    the most cover that there can be within the limits and the other wishes, None where that is not known (both
    shares of the surface).
    """

    answer: Answer
    loosened: dict[str, float | None]
    met: bool
    goal: float
    most: float | None


def settle(case: Case, stock, wishes, time_limit: float, within: float = 0.0) -> Settled:
    """The cheapest planting that meets every wish, or the nearest one and what each wish alone would have to give.

    A planting by plain greed comes first, and nothing worse is ever answered. Worse is, in this order: further from the
    other purposes, the number of species and the shares; further from the cover gone for; dearer. The caps, the
    upper cover, the room, the number of plants and the budget are always kept. The cover gone for is what was asked for
    or, where that cannot be had, 70 % of the most that there can be. A cost no more than the part `within` over the
    least there can be ends the search.
    """
    asked = wishes.cover is not None
    programme = Programme(case)
    best = greedy(case)
    meets = asked and _meets(case, best)
    answer = programme.judged(best, {"cost": 1.0}, {}) if meets else None
    impossible = False
    search = None
    for seconds in _rounds(time_limit):
        if seconds[1] > PARTS["met" if meets else "impossible" if impossible else "unsettled"] * time_limit:
            break
        if asked and not impossible:
            part = seconds[0] * (1.0 if meets else SPLIT[0])
            found = programme.solve(time_limit=part, gap=max(1e-6, within), known=best)
            if found.found:
                answer = found
                done = meets and found.ended and np.array_equal(best, found.groups)
                best, meets = found.groups, True
                if found.status == "proved" or found.gap is not None and found.gap <= within or done:
                    break
                continue
            impossible = found.status == "impossible"
        if search is None:
            search = _Nearest(case, asked, best)
        alone = impossible or not asked
        over = search.round(seconds[0] * (1.0 if alone else 1.0 - SPLIT[0]), within)
        best = search.best
        if asked and _meets(case, best):
            meets, answer = True, programme.judged(best, {"cost": 1.0}, {})
        elif over and alone:
            break
    if meets:
        return Settled(answer, {}, True, case.limits.cover, None)
    search = search or _Nearest(case, asked, best)
    answer = search.answer()
    met = not asked and _meets(search.case, search.best, but="cover")
    if met:
        return Settled(answer, {}, True, search.goal, search.most)
    state = "impossible" if impossible or not asked else "unsettled"
    given = _loosened(programme, case, stock, wishes, LOOSEN[state] * time_limit, search.best)
    if state == "unsettled":
        answer = replace(answer, status="unsettled")
    return Settled(answer, given, False, search.goal, search.most)


def _rounds(time_limit: float):
    """Seconds of each round, and of all up to it."""
    seconds, spent = FIRST_ROUND, 0.0
    while spent < time_limit:
        spent += seconds
        yield seconds, spent
        seconds *= 2.0


def _meets(case: Case, groups: np.ndarray, but: str = "") -> bool:
    return keeps({name: v for name, v in misses(case, groups).items() if name != but}, {})


class _Nearest:
    """The search for the planting that comes nearest to wishes of which not all are known to be met."""

    def __init__(self, case: Case, asked: bool, known: np.ndarray):
        self.aim = {"cover": 1.0 / max(case.limits.cover, 1e-9), **WEIGHTS}
        self.opened = {
            "cover": case.limits.cover,
            "species": float(case.limits.species),
            "share": FREE,
            "serve": FREE,
        }
        # Parts of groups say what cover cannot be passed. They get the time that they take, so that the goal is always the same.
        least = self._least(case, self.aim)
        if (
            least is not None and least > 0
        ):  # not all the other wishes can be met: what the limits alone allow
            least = self._least(case, {"cover": self.aim["cover"]})
        self.most = None if least is None else min(1.0, max(0.0, -least)) * case.limits.cover
        self.goal = case.limits.cover
        if self.most is not None and not (asked and self.most >= self.goal):
            self.goal = self.most * (1.0 - (NEAR if asked else MOST))
        self.case = replace(case, limits=replace(case.limits, cover=self.goal))
        self.aim = {"cover": 1.0 / max(self.goal, 1e-9), **WEIGHTS}
        self.opened["cover"] = self.goal
        self.programme = Programme(self.case)
        self.best = min((known, greedy(self.case)), key=self._key)
        self.cheapest: Answer | None = None

    def _least(self, case: Case, aim: dict) -> float | None:
        state, least, *_ = Programme(case).relaxed(aim, self.opened, RELAXED)
        return least if state == "found" else None

    def _key(self, groups: np.ndarray) -> tuple[float, float]:
        missed = misses(self.case, groups)
        return round(value(self.case, groups, missed, self.aim), 9), float(groups @ self.case.places.cost)

    def round(self, seconds: float, within: float) -> bool:
        """One round; True where another would find no more."""
        before, ended = self.best, True
        first, second = (part / (SPLIT[1] + SPLIT[2]) * seconds for part in SPLIT[1:])
        short = not _meets(self.case, self.best)
        if short:
            nearer = self.programme.solve(
                aim=self.aim, open=self.opened, time_limit=first, gap=GAP, known=self.best
            )
            ended &= nearer.ended
            if nearer.found:
                self.best = min((self.best, nearer.groups), key=self._key)
        # amounts as they are now: nothing may be given up for a lower cost
        missed = misses(self.case, self.best)
        kept = {name: missed[name] for name in ("cover", "species", "share", "serve")}
        cheaper = self.programme.solve(
            open=kept, time_limit=second if short else first + second, gap=max(GAP, within), known=self.best
        )
        ended &= cheaper.ended
        if cheaper.found:
            self.best, self.cheapest = cheaper.groups, cheaper
        return ended and np.array_equal(before, self.best)

    def answer(self) -> Answer:
        """The best that was found; its gap is that of the cost, among plantings that miss no wish by more."""
        if self.cheapest is not None and np.array_equal(self.cheapest.groups, self.best):
            return replace(self.cheapest, status="gap")
        return replace(self.programme.judged(self.best, {"cost": 1.0}, self.opened), status="gap")


def _loosened(
    programme: Programme, case: Case, stock, wishes, time_limit: float, best: np.ndarray
) -> dict[str, float | None]:
    """For each wish on its own: the least it has to give for all the others to be met, or None. `best` is the nearest planting."""
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
        known = _known(programme, case, name, opened, best)
        answer = programme.solve(aim=aim, open=opened, time_limit=part, gap=GAP, known=known)
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
            later = candidates.build(stock, other)
            answer = Programme(later).solve(time_limit=time_limit / 6, gap=FREE, known=greedy(later))
            given[name] = 1.0 if answer.found else None if answer.status == "impossible" else math.nan
    return given


def _known(programme: Programme, case: Case, name: str, opened: dict, best: np.ndarray) -> np.ndarray | None:
    """A planting that does with one wish opened: the nearest one, or one by greed without that limit."""
    if programme.judged(best, {"cost": 1.0}, opened) is not None:
        return best
    without = {
        "cap": {"cap": 1.0},
        "upper": {"upper": 1.0},
        "species": {"species": 0},
        "share": {"share": 1.0},
        "budget": {"budget": None},
        "plants": {"plants": None},
        "trim": {"trim_ft2": None},
    }
    if name not in without:
        return None
    return greedy(replace(case, limits=replace(case.limits, **without[name])))


def _largest_share(case: Case, groups: np.ndarray) -> float:
    own = own_water(case, groups)
    return float(own.max() / own.sum()) if own.sum() > 0 else 0.0


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
        rows.append(plan.Wish(key, name, float(asked), float(got), unit, most, bool(binds), new))

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
    if limits.cover > 0 and own_water(case, groups).sum() > 0:
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


def most_cover(wishes, cover, settled: Settled) -> str:
    """What to know where no cover was asked for."""
    got = cover[wishes.year][0 if wishes.count == "cautious" else 1]
    known = (
        f" No planting within your limits can have more than {amount(100 * settled.most, '%')}."
        if settled.most is not None
        else ""
    )
    return (
        f"You asked for no cover (cover_target_percent in the pond file), so this goes for the most. It reaches {amount(got, '%', False)} of "
        f"the surface by year {wishes.year} on the {wishes.count} count.{known} Bluegill do best with plants on 15 to 30 % of it "
        "(FWS/OBS-82/10.8): leave the rest to time, or to brush piles, which are cover at once."
    )


LATER_WORDS = {
    "year": "wait until year 10 for the cover",
    "count": "go by the typical count",
    "year and count": "wait until year 10 and go by the typical count",
}


def advice(outcome, wishes, pond, cover, settled: Settled) -> tuple[str, ...]:
    """Sentences: whether the wishes are met and what binds; or which cannot be, and what would have to give."""
    loosened = settled.loosened
    binding = [w.name for w in outcome if w.binds and w.met]
    if settled.met:
        said = ["All wishes are met."] + (
            [most_cover(wishes, cover, settled)] if wishes.cover is None else []
        )
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
                f"{'Not reached' if settled.answer.status == 'unsettled' else 'Cannot be met'}: {wish.name}: {amount(wish.asked, wish.unit)} asked, "
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
