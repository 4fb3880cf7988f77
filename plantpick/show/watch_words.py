"""The sentences about a stand, and about light and level, that the terminal and the page share."""

from __future__ import annotations

from datetime import date

from plantpick.monitoring.projection import When
from plantpick.monitoring.stand import Action, Stand, Verdict
from plantpick.monitoring.watch import Watch
from plantpick.pond.model import stretch_words
from plantpick.ranking.chances import chance_words
from plantpick.units import percent


def day_words(day: date | None) -> str:
    """A month and year."""
    return "not in 15 years" if day is None else f"{day:%b} {day.year}"


def when_words(when: When) -> str:
    """A date with its range, in months."""
    if when.never:
        return "never on this stretch"
    if when.now:
        return "already"
    if when.middle is None:
        return "not in 15 years" if when.early is None else f"not before {day_words(when.early)}"
    first, middle, last = (day_words(d) for d in (when.early, when.middle, when.late))
    return (
        middle
        if first == last
        else f"{middle} ({first} to {'beyond 15 years' if when.late is None else last})"
    )


def rate_words(stand: Stand) -> str:
    """The edge's rate with its range; the range alone where there is no more."""
    low, middle, high = stand.rate
    unit = "doublings" if stand.floating else "ft"
    if stand.verdict in (Verdict.NOT_MEASURED, Verdict.TOO_EARLY, Verdict.STRIP_FULL):
        return f"{low:.1f} to {high:.1f} {unit}"
    return f"{middle:.1f} {unit}\n({low:.1f} to {high:.1f})"


def share_words(stand: Stand) -> str:
    """What the stand holds of the pond's surface."""
    share = stand.share_percent[1]
    return f"{percent(share)} %" if share >= 0.05 else "under 0.1 %"


def jump_words(stand: Stand) -> str:
    """When the young colonies bring the plant to half the cap; empty where they do not, or no sooner than the edge."""
    early, middle, late = stand.jump_years
    edge = stand.half_cap.early
    if early is None or stand.half_cap.now or (edge is not None and edge.year <= early):
        return ""
    if middle is None:
        return f"with young colonies in {early} at the earliest"
    return f"with young colonies in {middle} ({early} to {late or 'beyond 15 years'})"


def cap_lines(stand: Stand) -> list[str]:
    """When the stand reaches half the cap and the cap, and what jumping adds."""
    jumps = jump_words(stand)
    lines = [
        f"by its own edge it reaches half your limit: {when_words(stand.half_cap)}; your limit: {when_words(stand.cap)}"
    ]
    if jumps:
        lines.append(
            f"it also jumps to new places: half your limit {jumps}. Pull young ones wherever you see them"
        )
    return lines


def chance_line(stand: Stand) -> str:
    """The chance that a stand left alone holds more than your limit after the ten years, before and after you measured; empty
    where nothing can be forecast."""
    if stand.chance_over_cap is None:
        return ""
    if stand.share_percent[1] > stand.figure.cap_percent:
        return "it is over your limit today"
    now, before = stand.chance_over_cap, stand.chance_over_cap_forecast
    told = f"chance that it is over your limit then: {chance_words(now)}"
    if not stand.count or before is None or chance_words(before) == chance_words(now):
        return told
    return f"{told}; before you measured, {chance_words(before)}"


def stand_lines(stand: Stand) -> list[str]:
    """All about one stand, a sentence a line; what to do first."""
    low, middle, high = stand.area_ft2
    since = f"planted {stand.planted}" if stand.planted else "not planted here"
    lines = [
        *filter(None, (stand.law_says,)),
        stand.what_to_do,
        f"{since}, {stand.count} reading{'' if stand.count == 1 else 's'}; {stand.why}",
        f"now about {middle:,.0f} sq ft ({low:,.0f} to {high:,.0f})",
        *cap_lines(stand),
        f"left alone for ten years, to {day_words(stand.ten_years_until)}: forecast {_span(stand.ten_years_percent)}, at the "
        f"fitted rate {_span(stand.ten_years_fitted_percent)} of the pond",
        *filter(None, (chance_line(stand),)),
        *stand.remarks,
    ]
    return [line[0].upper() + line[1:] for line in lines]


def _span(three) -> str:
    low, middle, high = (percent(v) for v in three)
    return f"{low} - {middle} - {high} %"


def light_lines(told: Watch) -> list[str]:
    """What the log's light and level readings change."""
    new = told.refreshed
    lines = []
    before, after = new.deepest_in
    if after is not None:
        was = f" (pond file: {before[0]:.0f} to {before[1]:.0f} in)" if before and before != after else ""
        lines.append(
            f"Secchi {new.clarity_in[1]:.0f} in: submersed plants usually end at {after[0]:.0f} in of water, seldom "
            f"deeper than {after[1]:.0f}{was}"
        )
        share, share_now = new.growable
        was = f" (it was {100 * share:.0f} %)" if share is not None and share != share_now else ""
        if share_now is not None:
            lines.append(f"they can reach {100 * share_now:.0f} % of the surface{was}")
    old, usual = new.usual_drop_ft
    if usual != old:
        lines.append(
            f"the log shows a usual summer drop of {usual:.1f} ft, the pond file {old:.1f}: correct the file"
        )
    return [line[0].upper() + line[1:] for line in lines]


def totals_lines(told: Watch) -> list[str]:
    """Plants that stand on several stretches, all together."""
    return [
        f"{name}: {percent(share)} % of the surface on all its stretches (your limit {told.pond.cap_percent:g} %)"
        for name, share in told.totals
    ]


def volunteer_lines(told: Watch) -> list[str]:
    """The verdict on each plant that came by itself."""
    return [
        f"{v.common_name} on {stretch_words(v.stretch)}: {v.verdict}. {v.why[0].upper()}{v.why[1:]}."
        for v in told.volunteers
    ]


def law_first_lines(told: Watch) -> list[str]:
    """Plants that you set and the law or a list has a word on, each once."""
    where: dict[tuple[str, str], list[str]] = {}
    for s in told.stands:
        if s.law_says:
            where.setdefault((s.common_name, s.law_says), []).append(s.stretch)
    return [
        f"{name[0].upper()}{name[1:]} on {stretch_words(*stretches)}: {says}."
        for (name, says), stretches in where.items()
    ]


def gone_lines(told: Watch) -> list[str]:
    """Stands that were taken out."""
    return [f"{name}, {stretch}: look for shoots from what was left" for name, stretch in told.gone]


def _if_left(stand: Stand) -> str:
    """What comes of a stand to trim that nobody trims; empty for one to take out, and for one that is over the limit today."""
    if stand.action is not Action.TRIM or stand.chance_over_cap in (None, 1.0):
        return ""
    chance = chance_words(stand.chance_over_cap or 0.0)
    return f". Left alone it is over your limit in {day_words(stand.ten_years_until)}: {chance}"


def in_short(told: Watch) -> list[str]:
    """What the owner has to do, most pressing first, and how many stands need nothing."""
    pressing = [s for s in told.stands if s.action is not Action.LEAVE]
    law = law_first_lines(told)
    lines = [*law, *(f"{s.common_name}, {s.stretch}: {s.what_to_do}{_if_left(s)}." for s in pressing)]
    rest = len(told.stands) - len(pressing)
    if not told.stands:
        return ["Your log names no plant that is still there."]
    if not pressing:
        return [*law, "Nothing needs cutting now. Measure again at the next walk."]
    return (
        [*lines, f"The other {rest} need no cutting." if rest > 1 else "The other needs no cutting."]
        if rest
        else lines
    )
