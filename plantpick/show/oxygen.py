"""Oxygen for a terminal, or as JSON or CSV."""

from __future__ import annotations

from rich.console import Console

from plantpick.monitoring import oxygen
from plantpick.monitoring.oxygen import Night, NightVerdict, RotLimit
from plantpick.monitoring.oxygen_question import OxygenAnswer
from plantpick.show.records import dumps, to_csv
from plantpick.show.terminal import bullets, heading, paragraph

WAIT = f"Wait with it until the pond has {oxygen.AERATE_BELOW:g} mg/L and more at dawn"


def night_lines(night: Night) -> list[str]:
    """The night line in sentences: what to expect at dawn, what to do, and where the two lines part."""
    dawn = oxygen.clock_words(night.dawn_hour)
    by = " by a straight line" if night.lines_differ else ""
    if night.verdict is NightVerdict.OUT_BEFORE_DAWN:
        empty = "" if night.empty_hour is None else f" at about {oxygen.clock_words(night.empty_hour)}"
        told = [
            f"A straight line reaches 0{empty}, before dawn ({dawn}): the pond may run out. Start the air now."
        ]
    elif night.verdict is NightVerdict.AERATE:
        told = [
            f"Expect {night.dawn_mg_l:.1f} mg/L at {dawn}{by}, under {oxygen.AERATE_BELOW:g}: start the air tonight."
        ]
    else:
        told = [f"Expect {night.dawn_mg_l:.1f} mg/L at {dawn}{by}: enough, if nothing changes overnight."]
    if night.lines_differ:
        told.append(
            f"A log-linear line, which falls by the same share every hour, gives {night.log_dawn_mg_l:.1f}. It came closer "
            "in prawn ponds in Hawaii (Madenjian, Rogers and Fast 1987); nobody has tried it in yours. Go by the lower one."
        )
    if night.close:
        told.append(
            f"But {oxygen.METER_MG_L:g} mg/L off in each reading moves dawn by {night.off_mg_l:.1f}, to under "
            f"{oxygen.AERATE_BELOW:g}. Read again in two hours, and keep the air ready."
        )
    return told


def counted_words(page: OxygenAnswer) -> str:
    """Which oxygen the water was given."""
    if page.measured is not None:
        return f"{page.measured:g} mg/L measured"
    if page.by_line and page.night is not None:
        return f"{page.night.dawn_mg_l:.1f} mg/L, as the straight line says for dawn"
    return "taken as saturated: measure at dawn, it is usually less"


def limit_lines(limit: RotLimit, what: str, counted: str) -> list[str]:
    """How much of the stand may rot at once, step by step; `counted` says what oxygen the water was given."""
    low, usual, high = limit.dry_weight_lb
    held, held_most = limit.held_lb
    least, most = limit.at_once_ft2
    lines = [
        f"{what}: {limit.area_ft2:,.0f} sq ft, {100 * limit.pond_share:.1f} % of the surface, {low:,.0f} - {usual:,.0f} - {high:,.0f} lb dry "
        f"({limit.growth_form}, published range)",
        "rotting in the pond it takes "
        + " - ".join(f"{d:,.0f}" for d in limit.demand_lb)
        + f" lb of oxygen in the first {oxygen.WINDOW_DAYS} days",
        f"the top {limit.counted_ft:g} ft hold {held:,.0f} to {held_most:,.0f} lb above {oxygen.LEAVE_MG_L[0]:g} and "
        f"{oxygen.LEAVE_MG_L[1]:g} mg/L" + f" ({counted})",
    ]
    if limit.share[0] <= 0.0:
        return [
            *lines,
            "There is no oxygen to spare: let nothing rot in the pond now. Add air and wait for cooler water.",
        ]
    lines.append(
        f"by oxygen alone {_shares(limit.oxygen_share)} of it could go at once; "
        "the published rule is one quarter to one third (SRAC-361)"
    )
    many = f", in {limit.parts} parts" if limit.parts and limit.parts <= 8 else ": haul it out instead"
    lines.append(
        f"so at once no more than {least:,.0f} sq ft ({100 * limit.share[0]:.0f} %){many}; never more than {most:,.0f} "
        f"({100 * limit.share[1]:.0f} %)"
    )
    if limit.small:
        lines.append(
            "SRAC-361 words its rule for the whole pond's surface; held against this stand alone it is stricter. The "
            "stand is small beside the pond and its oxygen: all of it at once would be inside both"
        )
    return [line[0].upper() + line[1:] for line in lines]


def _shares(pair: tuple[float, float]) -> str:
    low, high = ("all" if share >= 1.0 else f"{100 * share:.0f} %" for share in pair)
    return low if low == high else f"{low} to {high}"


def show_oxygen(out: Console, page: OxygenAnswer) -> None:
    """Print the page."""
    salt = f", {page.salinity_ppt:g} ppt salt" if page.salinity_ppt else ""
    paragraph(
        out,
        f"Water at {page.temperature_f:g} F and {page.elevation_ft:,.0f} ft above the sea{salt} holds {page.saturation:.2f} mg/L "
        "of oxygen when saturated (Benson and Krause 1984).",
    )
    if page.night:
        heading(out, "Tonight")
        for sentence in night_lines(page.night):
            paragraph(out, sentence, 2)
    if page.limit:
        heading(out, f"Cutting or killing a stand in {page.pond_name}")
        wait = page.night is not None and (page.night.verdict is not NightVerdict.ENOUGH or page.night.close)
        bullets(out, limit_lines(page.limit, page.what, counted_words(page)) + [WAIT] * wait)
    if page.air:
        heading(out, "Air")
        paragraph(out, page.air, 2)
    heading(out, "Take care")
    bullets(out, oxygen.CAUTIONS)


def oxygen_text(page: OxygenAnswer, form: str) -> str:
    """The page as JSON, or as one CSV row."""
    row: dict[str, float | str] = {
        "temperature_f": page.temperature_f,
        "elevation_ft": page.elevation_ft,
        "salinity_ppt": page.salinity_ppt,
        "saturation_mg_l": round(page.saturation, 3),
    }
    if page.night:
        row |= {
            "dawn_mg_l": round(page.night.dawn_mg_l, 2),
            "dawn_mg_l_log_linear": round(page.night.log_dawn_mg_l, 2),
            "night": page.night.verdict,
            "read_again": page.night.close,
        }
    if page.limit:
        lim = page.limit
        row |= {
            "plant": page.what,
            "area_ft2": lim.area_ft2,
            **{
                f"dry_weight_lb_{k}": round(v, 1) for k, v in zip(("low", "usual", "high"), lim.dry_weight_lb)
            },
            **{f"oxygen_taken_lb_{k}": round(v, 1) for k, v in zip(("low", "usual", "high"), lim.demand_lb)},
            "oxygen_counted_mg_l": _counted(page),
            "oxygen_held_lb": round(lim.held_lb[0], 1),
            "share_by_oxygen": round(lim.oxygen_share[0], 3),
            "share_at_once": round(lim.share[0], 3),
            "share_never_over": round(lim.share[1], 3),
            "at_once_ft2": round(lim.at_once_ft2[0]),
        }
    return to_csv([row]) if form == "csv" else dumps({**row, "cautions": list(oxygen.CAUTIONS)})


def _counted(page: OxygenAnswer) -> float:
    if page.measured is not None:
        return page.measured
    return round(page.night.dawn_mg_l if page.by_line and page.night else page.saturation, 2)
