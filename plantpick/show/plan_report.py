"""The report to take outside: what to buy, where each group goes, when, and what comes of it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from plantpick.catalogue.plants import Catalogue
from plantpick.planting import instructions
from plantpick.planting.model import Plan
from plantpick.planting.problem import Status
from plantpick.planting.relax import MOST, NEAR
from plantpick.planting.wish_report import amount
from plantpick.show.figures.where import plan_pictures
from plantpick.show.page import render
from plantpick.show.terminal import law_lines, percent
from plantpick.vocabulary import STATES

# Traits behind the plan whose origin the report names, in an owner's words.
TRACED = {
    "depth_best_min_in": "depth it likes",
    "advance_depth_in": "depth that stops it",
    "spread_ft_yr": "how fast its edge moves",
    "jump": "how it jumps",
    "spacing_in": "spacing",
}
METHODS = (
    "Cover for fish: vegetation 15 to 30 % best for bluegill, FWS/OBS-82/10.8 (U.S. Fish and Wildlife Service 1982).",
    "Site index: Habitat Suitability Index models, ESM 103 (U.S. Fish and Wildlife Service 1981).",
    "Depth of submersed growth from the Secchi reading: Caffrey, Hoyer and Canfield 2007, Lake and Reservoir Management 23.",
    "Random cover: Johnson and Mehl 1939, Avrami 1939-41, Kolmogorov 1937, in the form for a finite number of groups.",
    "Exclosures: Doyle, Smart, Guest and Bickel 1997, Lake and Reservoir Management 13:259-269.",
    "A quarter to a third at a time when a stand is killed: SRAC-361 (Masser, Murphy and Shelton).",
    "Grass and nothing woody on dams: FEMA 534 (2005); state rules differ.",
)


@dataclass(frozen=True)
class Traced:
    """Where the numbers of one plant come from: (what, basis, source) a trait."""

    common_name: str
    rows: tuple[tuple[str, str, str], ...]


def traced(plan: Plan, catalogue: Catalogue) -> tuple[Traced, ...]:
    """The evidence behind the plan's plants, strongest first for each trait; empty without the evidence table."""
    if catalogue.evidence is None:
        return ()
    from plantpick.catalogue.evidence import best_basis

    wanted = {c.ranked.plant_id for c in plan.chosen}
    rows = catalogue.evidence[
        catalogue.evidence["plant_id"].isin(wanted) & catalogue.evidence["trait"].isin(TRACED)
    ]
    citation = dict(zip(catalogue.sources["source_id"], catalogue.sources["citation"]))
    best = {(p, t): b for p, t, b in best_basis(rows).itertuples(index=False)}
    first: dict[tuple[str, str], str] = {}
    for plant_id, trait, source, basis in rows[["plant_id", "trait", "source_id", "basis"]].itertuples(
        index=False
    ):
        if basis == best[plant_id, trait]:
            first.setdefault((plant_id, trait), citation.get(source, source))
    return tuple(
        Traced(
            c.ranked.common_name,
            tuple(
                (words, best[c.ranked.plant_id, trait], first[c.ranked.plant_id, trait])
                for trait, words in TRACED.items()
                if (c.ranked.plant_id, trait) in best
            ),
        )
        for c in plan.chosen
    )


def in_short(plan: Plan) -> tuple[str, ...]:
    """The plan in a few sentences."""
    groups = sum(g.number for g in plan.groups)
    known = all(c.price_known for c in plan.chosen)
    low, typical, high = plan.cover[plan.wishes.year]
    return (
        f"{plan.plants:,} plants of {len(plan.chosen)} kinds in {groups} groups, about ${plan.cost:,.0f} "
        f"{'by the offer' if known else 'at assumed prices'}.",
        f"Fish cover by year {plan.wishes.year}: {amount(low, '%', False)} (cautious), {amount(typical, '%', False)} (typical), "
        f"{amount(high, '%')} (pessimistic) of the surface, beside {plan.pond.brush_percent:g} % of brush."
        + (
            f" Of the typical cover, {percent(plan.cover_low_pool)} % of the surface still stands in water at low pool."
            if plan.pond.usual_drop_in
            else ""
        ),
        how_sure(plan),
    )


def how_sure(plan: Plan) -> str:
    """What is known of the plan: proved, bounded, or just the best found so far."""
    among = f"among {plan.candidates} candidates"
    bounded = plan.gap is not None and plan.gap < 1
    if plan.met and plan.wishes.cover is not None:
        if plan.status is Status.PROVED:
            return f"This is the cheapest planting {among} that meets all your wishes: proved."
        if bounded:
            return (
                f"This is the cheapest planting found so far {among} that meets all your wishes. "
                f"None can cost over {100 * plan.gap:.2g} % less."
            )
        return (
            f"This is the cheapest planting found so far {among} that meets all your wishes. A cheaper one may exist: "
            "nothing is known of the least cost yet (--seconds gives more time)."
        )
    got = plan.cover[plan.wishes.year][0 if plan.wishes.count == "cautious" else 1]
    most = ""
    if (
        plan.most_cover is not None
        and got <= plan.most_cover + 1e-6
        and (plan.wishes.cover is None or plan.most_cover < plan.wishes.cover)
    ):
        most = (
            f" No planting that keeps your limits and your other wishes can have more than {amount(plan.most_cover, '%')} of cover "
            f"by then; this one has {amount(got, '%', False)}."
        )
        if got >= plan.goal_cover - 1e-6:
            part = MOST if plan.wishes.cover is None else NEAR
            most += f" It stops at {1 - part:.0%} of the most, because the last of it costs most."
    if plan.met:
        return f"This is the best planting found so far {among}.{most}"
    whether = (
        "In the time given no planting was found that meets all your wishes. Whether there is one is not known "
        "(--seconds gives more time)."
        if plan.status is Status.UNSETTLED
        else "Not all your wishes can be met together."
    )
    return f"{whether} This is the nearest planting found so far {among}. It keeps your limits.{most}"


def report(plan: Plan, catalogue: Catalogue, made: date) -> str:
    """The whole page as text. `made` is the day on it; planting windows are for the next spring or what is left of this year."""
    year = planting_year(plan, made)
    spans = instructions.calendar(plan, catalogue, year)
    pictures = {p.name: p for p in plan_pictures(plan, spans, year)}
    sheets = instructions.sheets(plan, catalogue, year)
    ways: dict[str, list[str]] = {}
    for sheet in sheets:
        names = ways.setdefault(sheet.how, [])
        if sheet.common_name not in names:
            names.append(sheet.common_name)
    return render(
        "report.html",
        plan=plan,
        pond=plan.pond,
        state=STATES[plan.pond.state][0],
        made=made,
        year=year,
        short=in_short(plan),
        places=[p for n, p in pictures.items() if n.startswith(("section", "strip"))],
        pictures=pictures,
        sheets=sheets,
        ways=ways,
        order=instructions.order_of_work(plan, catalogue),
        watch=instructions.to_watch(plan, catalogue),
        questions=instructions.questions(plan, catalogue),
        forms={g.plant_id: s.form for g, s in zip(plan.groups, sheets)},
        years=sorted(plan.cover),
        law=law_lines(plan.ranking.law, plan.pond.state),
        traced=traced(plan, catalogue),
        methods=METHODS,
        notes={r.plant_id: r.notes for r in plan.ranking.plants},
    )


def planting_year(plan: Plan, made: date) -> int:
    """The year of the next planting season: this year while its window is open, the next one after that."""
    from plantpick.monitoring.calendar import ROOTING_DAYS

    left = (plan.pond.growing_season.frosts(made.year).first_frost - made).days - ROOTING_DAYS
    return made.year if left > 0 else made.year + 1
