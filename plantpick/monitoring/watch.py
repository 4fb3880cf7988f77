"""After planting: whether each stand is on track, when it reaches your limit, and what to do.

Pure: the log comes read, the day comes as an argument.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date

import numpy as np

from plantpick.catalogue.law import Coverage
from plantpick.catalogue.plants import Catalogue, Plant
from plantpick.catalogue.traits import traits
from plantpick.monitoring.cut_advice import Cut, cut
from plantpick.monitoring.growth_fit import Three, fit
from plantpick.monitoring.log import Event, Log, LogRow, since_taken_out
from plantpick.monitoring.measures import ranked_measures
from plantpick.monitoring.planted_law import Duty, law_of_planted
from plantpick.monitoring.projection import (
    HORIZON_YEARS,
    StandCase,
    at_fitted_rate,
    begun,
    figure,
    jump_years,
    ten_years,
)
from plantpick.monitoring.stand import VERDICTS, Action, Stand, Verdict
from plantpick.monitoring.strip import groups_planted, rate_prior, readings, strip_of
from plantpick.monitoring.volunteers import Volunteer, VolunteerVerdict, judge
from plantpick.monitoring.water_readings import Refreshed, refresh
from plantpick.monitoring.windows import HOT
from plantpick.pond.model import Pond
from plantpick.ranking import takeover
from plantpick.ranking.containment import TRIM_MOST_FT2
from plantpick.ranking.eligibility import GateCode

APART_SEASONS = (
    0.15,
    0.02,
)  # readings closer together than this count as one, the second if it floats: judgement


@dataclass(frozen=True, kw_only=True)
class Watch:
    """The answer for one pond and log."""

    pond: Pond  # with the log's light and level
    today: date
    stands: tuple[Stand, ...]
    volunteers: tuple[Volunteer, ...]
    gone: tuple[tuple[str, str], ...]  # common name and stretch of stands that were taken out
    totals: tuple[
        tuple[str, float], ...
    ]  # plants on several stretches: common name, per cent of the pond in all
    refreshed: Refreshed
    law: Coverage  # how far the state's list was read, its date, whom to ask
    assumed: tuple[str, ...]
    cautions: tuple[str, ...]


TAKE_OUT_LISTED = "take it out now, the way the agency tells you"
LEAVE_PROTECTED = "leave it: ask your state's wildlife agency before you cut it"
CAUTIONS = (
    "Haul cuttings out, well above the waterline. Kill no large stand in hot weather: plantpick oxygen says how much "
    "you may cut at once.",
    "Never work in deep water or from a boat alone. Wear a life jacket, gloves and long sleeves.",
    "Have a plant you didn't set identified before you pull it. Never move plants, water or mud to another water.",
    "Use weed killers only by the label and within state law, with a licensed applicator where your state asks for one.",
)


def watch(pond: Pond, catalogue: Catalogue, log: Log, today: date) -> Watch:
    """Judge every stand and volunteer of a log as of a day. Its rows must name stretches of the pond's shore."""
    renewed = refresh(pond, log)
    pond = renewed.pond
    stands: list[Stand] = []
    volunteers: list[Volunteer] = []
    gone: list[tuple[str, str]] = []
    held = ranked_measures(pond, catalogue, log)
    for (plant_id, stretch), rows in log.stands().items():
        name = catalogue.plant(plant_id).common_name
        alive = since_taken_out(rows)
        if not alive:
            gone.append((name, stretch))
            continue
        planted_here = any(e.event is Event.PLANTED for e in alive)
        volunteer, planted = None, None
        if planted_here:
            planted = law_of_planted(catalogue, plant_id, pond.state)
            refused, protected = planted.duty is Duty.TAKE_OUT, planted.duty is Duty.LEAVE_ALONE
        else:
            elsewhere = any(e.plant_id == plant_id for e in log.planted)
            volunteer = judge(pond, catalogue, plant_id, stretch, elsewhere)
            refused, protected = (
                volunteer.verdict is VolunteerVerdict.TAKE_OUT,
                volunteer.code == GateCode.PROTECTED,
            )
        stand = _stand(pond, catalogue, plant_id, stretch, alive, refused, today, held[plant_id])
        if planted:
            stand = replace(stand, law_says=planted.says)
        if protected:  # the law goes before any cap
            words = volunteer.why if volunteer else LEAVE_PROTECTED
            stand = replace(
                stand, action=Action.LEAVE, act_by=None, trim_ft=0.0, trim_ft2=0.0, what_to_do=words
            )
        if GateCode.LISTED in (planted and planted.code, volunteer and volunteer.code):
            stand = replace(stand, what_to_do=TAKE_OUT_LISTED)
        now = stand.act_by is not None and stand.act_by <= today
        if volunteer and stand.action is Action.TAKE_OUT and now:
            why = volunteer.why
            if volunteer.verdict is not VolunteerVerdict.TAKE_OUT:
                why = f"half your limit is near, and no trimming holds it; {why}"
            volunteer = replace(volunteer, verdict=VolunteerVerdict.TAKE_OUT, why=why)
        if volunteer:
            volunteers.append(volunteer)
        stands.append(stand)
    stands.sort(
        key=lambda s: (not s.law_says, VERDICTS.index(s.verdict), -s.share_percent[1], s.plant_id, s.stretch)
    )
    shares: dict[str, list[float]] = {}
    for s in stands:
        shares.setdefault(s.common_name, []).append(s.share_percent[1])
    totals = tuple((name, sum(each)) for name, each in shares.items() if len(each) > 1)
    order = tuple(VolunteerVerdict)
    volunteers.sort(key=lambda v: (order.index(v.verdict), v.plant_id))
    return Watch(
        pond=pond,
        today=today,
        stands=tuple(stands),
        volunteers=tuple(volunteers),
        gone=tuple(gone),
        totals=totals,
        refreshed=renewed,
        law=catalogue.coverage_of(pond.state),
        assumed=log.assumed,
        cautions=CAUTIONS,
    )


def _stand(
    pond: Pond,
    catalogue: Catalogue,
    plant_id: str,
    stretch: str,
    rows: list[LogRow],
    refused: bool,
    today: date,
    held: tuple[str, ...],
) -> Stand:
    plant = catalogue.plant(plant_id)
    plants = traits([plant])
    where = takeover.strips(plants, pond)
    groups = groups_planted(rows, float(plants.group[0]))
    spacing = plants.number["spacing_in"][0]
    shape = takeover.group_shape(plants.group[0], spacing if np.isfinite(spacing) else 24.0)
    planted_here = any(e.event is Event.PLANTED for e in since_taken_out(rows))
    strip = strip_of(
        plants, 0, pond, where, stretch, groups, row_ft=float(shape.row_ft) if planted_here else 0.0
    )
    clock = pond.growing_season
    prior, rated = rate_prior(plants, 0, pond)
    start = float(np.log2(takeover.FLOATING_START_FT2)) if strip.floating else float(shape.radius_ft)
    known = readings(rows, strip, clock, start)
    fitted = fit(known.series, prior)
    case = StandCase(
        pond=pond,
        plants=plants,
        strip=strip,
        clock=clock,
        prior=prior,
        known=known,
        fit=fitted,
        today=today,
        start=start,
    )
    count = len({day for days in known.days for day in days})
    area = case.area_now_ft2()
    low, middle, high = (a / pond.area_ft2 * 100.0 for a in area)
    share: Three = low, middle, high
    cap_ft2 = pond.cap_percent / 100.0 * pond.area_ft2
    half, full = case.when(cap_ft2 / 2.0), case.when(cap_ft2)
    verdict, why = _verdict(case, count)
    to_do = cut(case, plant, verdict is Verdict.FASTER, area, half, cap_ft2, refused)
    odd = tuple(day for days, mask in zip(known.days, fitted.odd) for day, flag in zip(days, mask) if flag)
    planted = next((e.day for e in rows if e.event is Event.PLANTED), None)
    renewed = plants if rated and not count else at_fitted_rate(pond, plants, fitted)
    first = begun(case, stretch, max(1.0, groups), planted, area[1])
    (forecast, chance), (again, chance_again) = (ten_years(t, first) for t in (plants, renewed))
    if share[1] > pond.cap_percent:
        chance_again = 1.0  # over the limit today
    jumps = jump_years(case, renewed, first, first.until.year - int(HORIZON_YEARS))
    return Stand(
        plant_id=plant_id,
        common_name=plant.common_name,
        stretch=stretch,
        planted=planted,
        count=count,
        verdict=verdict,
        why=why,
        action=to_do.action,
        act_by=to_do.act_by,
        trim_ft=to_do.feet,
        trim_ft2=to_do.square_ft,
        what_to_do=to_do.words,
        floating=strip.floating,
        forecast_rate=(prior.low, prior.typical, prior.high),
        rate=fitted.rate,
        measured_rate=fitted.measured,
        area_ft2=area,
        share_percent=share,
        half_cap=half,
        cap=full,
        jump_years=jumps,
        ten_years_percent=forecast,
        ten_years_fitted_percent=again,
        ten_years_until=first.until,
        chance_over_cap_forecast=chance if rated else None,
        chance_over_cap=chance_again,
        odd_days=odd,
        remarks=_remarks(case, plant, odd, rated, to_do, share, held),
        figure=figure(case, plant, stretch, full, odd),
    )


def _verdict(case: StandCase, count: int) -> tuple[Verdict, str]:
    """On track while the stand is, more likely than not, within the rates of the plan."""
    unit = "doublings a season" if case.strip.floating else "ft a season"
    low, middle, high = case.fit.rate
    band = f"forecast {_n(case.prior.low)} to {_n(case.prior.high)}"
    if case.full_ft2 is not None:
        return Verdict.STRIP_FULL, f"it has all the ground it can live on here; {band} {unit}"
    if count == 0:
        return Verdict.NOT_MEASURED, f"{band} {unit}"
    if (
        count < 2
        or max(max(s.x) - min(s.x) for s in case.known.series if len(s.x))
        < (APART_SEASONS[case.strip.floating])
    ):
        settling = all(x <= 0.0 for s in case.known.series for x in s.x)
        few = "readings so close together give"
        if count < 2:
            few = "one reading gives"
        elif settling:
            few = "readings of the first season, while it settles, give"
        return Verdict.TOO_EARLY, f"{few} a range only: {_n(low)} to {_n(high)} {unit} ({band})"
    found = f"{_n(middle)} {unit} (80 % sure of {_n(low)} to {_n(high)}); {band}"
    if middle > case.prior.high:
        return Verdict.FASTER, found
    if middle < case.prior.low:
        return Verdict.SLOWER, found
    return Verdict.ON_TRACK, found


def _remarks(
    case: StandCase,
    plant: Plant,
    odd: tuple[date, ...],
    rated: bool,
    to_do: Cut,
    share: Three,
    held: tuple[str, ...],
) -> tuple[str, ...]:
    said = []
    if odd:
        said.append("we hardly count a reading far off the others: " + ", ".join(d.isoformat() for d in odd))
        last = max(d for days in case.known.days for d in days)
        if last in odd:
            said.append(
                f"that is your latest ({last.isoformat()}): measure again now. If it is right, go by what you measured, "
                "not by the size and the dates here"
            )
    if case.known.out_only:
        said.append(
            "you measured only the distance from the bank, so its size is a guess. Measure length and width once"
        )
    if case.known.stopped:
        several = "s" if case.known.stopped > 1 else ""
        said.append(
            f"{case.known.stopped} reading{several} with the strip full or the edge at the depth that stops it: "
            "such a reading tells nothing more of the rate"
        )
    if case.known.cut:
        said.append(
            f"you cut it on {case.known.cut} and have not measured since: the size is from before the cut"
        )
    if not rated:
        said.append("nobody has put a figure to its spread, so we took a wide range")
    if to_do.square_ft > TRIM_MOST_FT2:
        tub = ", or set it again in a tub" if "tub" in plant.contained_by else ""
        said.append(
            f"{to_do.square_ft:,.0f} sq ft is more than one owner can do in a year ({TRIM_MOST_FT2:.0f}). Do it in "
            f"parts and get help{tub}"
        )
    if to_do.act_by:
        hot = case.pond.growing_season.frosts(to_do.act_by.year).window(HOT)
        if hot[0] <= to_do.act_by <= hot[1] and not case.strip.floating:
            said.append(
                "the water is hot then. Cut a small part at a time and haul it all out (plantpick oxygen says how much "
                "may rot), or cut early in spring"
            )
    if share[1] >= case.pond.cap_percent:
        said.append(f"it is over your limit of {case.pond.cap_percent:g} % already")
    if "deadhead" in held:
        said.append("cut its seed heads before they ripen")
    return tuple(said)


def _n(value: float) -> str:
    return f"{value:.1f}" if value < 9.95 else f"{value:.0f}"
