"""Oxygen for a terminal, or as JSON or CSV."""

from __future__ import annotations

from rich.console import Console

from plantpick import oxygen
from plantpick.oxygen import Night, RotLimit
from plantpick.oxygenask import OxygenAnswer
from plantpick.show.records import dumps, to_csv
from plantpick.show.terminal import bullets, heading, paragraph

WAIT = f"Wait with it until the pond has {oxygen.AERATE_BELOW:g} mg/L and more at dawn"


def clock_words(hour: float) -> str:
    """Hours as 21:30."""
    minutes = round(hour * 60.0) % 1440
    return f"{minutes // 60:02d}:{minutes % 60:02d}"


def night_words(night: Night) -> str:
    """The night line in a sentence."""
    dawn = clock_words(night.dawn_hour)
    if night.verdict == "out before dawn":
        empty = "" if night.empty_hour is None else f" at about {clock_words(night.empty_hour)}"
        return f"The line reaches 0{empty}, before dawn ({dawn}): the pond may run out. Start the air now."
    head = f"The line comes to {night.dawn_mg_l:.1f} mg/L at {dawn}"
    if night.verdict == "aerate":
        return f"{head}, under {oxygen.AERATE_BELOW:g}: start the air tonight."
    return f"{head}: enough, if nothing changes overnight."


def counted_words(page: OxygenAnswer) -> str:
    """Which oxygen the water was given."""
    if page.measured is not None:
        return f"{page.measured:g} mg/L measured"
    if page.by_line:
        return f"{page.night.dawn_mg_l:.1f} mg/L, as the line says for dawn"
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
        paragraph(out, night_words(page.night), 2)
    if page.limit:
        heading(out, f"Cutting or killing a stand in {page.pond_name}")
        wait = page.night is not None and page.night.verdict != "enough"
        bullets(out, limit_lines(page.limit, page.what, counted_words(page)) + [WAIT] * wait)
    if page.air:
        heading(out, "Air")
        paragraph(out, page.air, 2)
    heading(out, "Take care")
    bullets(out, oxygen.CAUTIONS)


def oxygen_text(page: OxygenAnswer, form: str) -> str:
    """The page as JSON, or as one CSV row."""
    row = {
        "temperature_f": page.temperature_f,
        "elevation_ft": page.elevation_ft,
        "salinity_ppt": page.salinity_ppt,
        "saturation_mg_l": round(page.saturation, 3),
    }
    if page.night:
        row |= {"dawn_mg_l": round(page.night.dawn_mg_l, 2), "night": page.night.verdict}
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
    return round(page.night.dawn_mg_l if page.by_line else page.saturation, 2)
