"""The basin as a table with a small picture of its depth-area curve, as JSON, or as CSV."""

from __future__ import annotations

from rich.console import Console
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from plantpick.pond.depth_bands import WAY_WORDS, Depths, Level
from plantpick.pond.model import ACRE_FT2
from plantpick.show.records import dumps, to_csv
from plantpick.show.terminal import bullets, heading, paragraph, percent

LIGHT_SOURCE = "Caffrey, Hoyer and Canfield 2007"


def show_depths(out: Console, told: Depths) -> None:
    """Everything for a terminal, from 60 columns up."""
    pond = told.pond
    mark = " (an invented pond)" if pond.invented else ""
    out.print(
        Text(
            f"{pond.name}{mark}: {pond.area_acres:.2f} acres, {pond.max_depth_ft:.4g} ft at the deepest",
            style="bold",
        )
    )
    paragraph(out, f"Described by {WAY_WORDS[told.way]}.")
    out.print(_band_table(told))
    heading(out, "The water")
    bullets(out, _water_lines(told))
    heading(out, "Surface inside each depth")
    picture(out, told)
    heading(out, "How the estimates compare")
    out.print(Padding(_estimate_table(told), (0, 0, 0, 2)))
    if told.keep_clear:
        heading(out, "Kept clear: nothing is planted there")
        bullets(out, (f"{what}: {words}" for what, words in told.keep_clear))
    if told.remarks:
        heading(out, "To know")
        bullets(out, told.remarks)
    heading(out, "Take care")
    bullets(out, told.cautions)


def _plain_table(*columns: tuple[str, str]) -> Table:
    table = Table(box=None, padding=(0, 2, 0, 0), pad_edge=False, header_style="bold")
    for name, side in columns:
        table.add_column(name, justify=side)
    return table


def _band_table(told: Depths) -> Table:
    ranged = told.unsure is not None and told.unsure.more != 0
    table = _plain_table(
        ("band", "left"),
        ("acres", "right"),
        *[("may be", "right")] * ranged,
        ("square feet", "right"),
        ("share of the surface", "right"),
    )
    for band in told.bands:
        share = "above the water" if band.share is None else f"{percent(100 * band.share)} %"
        low, high = (f"{acres:.2f}" for acres in band.acres_range)
        may_be = [low if low == high else f"{low} - {high}"] * ranged
        table.add_row(band.name, f"{band.acres:.2f}", *may_be, f"{band.acres * ACRE_FT2:,.0f}", share)
    return table


def _water_lines(told: Depths) -> list[str]:
    deepest = told.pond.max_depth_ft
    lines = [
        f"{told.acre_ft:.1f} acre-feet at full pool, {told.mean_depth_ft:.1f} ft deep on the average",
        f"{told.shore_ft:,.0f} ft of shore, by the {told.shore_from}",
    ]
    if told.unsure:
        low, high = (f"{feet:.1f}" for feet in told.unsure.acre_ft)
        lines[0] += f"; {low} to {high} by what the soundings may miss" if low != high else ""
    if told.growth:
        g = told.growth

        def reach(depth_ft, share):
            if depth_ft >= deepest:
                return f"to {depth_ft:.1f} ft: the whole bottom"
            return f"to {depth_ft:.1f} ft, {percent(100 * share)} % of the surface"

        lines.append(
            f"with a Secchi reading of {g.clarity_in:g} in, submersed plants usually root "
            f"{reach(g.usual_ft, g.usual_share)}; at the most {reach(g.greatest_ft, g.greatest_share)} "
            f"({LIGHT_SOURCE})"
        )
    if told.dry:
        d = told.dry
        lines.append(
            f"{d.drop_ft:g} ft down, {d.acres:.2f} acres fall dry ({percent(100 * d.share)} % of the surface) and "
            f"{d.acre_ft_left:.1f} acre-feet are left"
        )
        bare = "bare bank then, by its slope: " + ", ".join(
            f"{name} {feet:.1f} ft" for name, feet in d.bank_ft
        )
        if told.way != "stretches":
            bare += f"; as measured {d.acres * ACRE_FT2 / told.shore_ft:.1f} ft on the average"
        lines.append(bare)
    return lines


def picture(out: Console, told: Depths) -> None:
    """Bars of the area inside each depth, with the low pool and the deepest growth marked."""
    fine = "utf" in (out.encoding or "").lower()
    marks = _marks(told)
    note = max((len(words) for words in marks.values()), default=0)
    room = max(12, min(60, out.width - 22 - note))
    out.print(Text("  depth  acres"))
    for number, level in enumerate(told.curve):
        filled = room * level.acres / told.pond.area_acres
        bar = _bar(filled) if fine else "#" * round(filled)
        words = f" {marks[number]}" if number in marks else ""
        out.print(
            Text(f"{level.depth_ft:>4.4g} ft {level.acres:>6.2f}  {bar}{words}"),
            overflow="crop",
            no_wrap=True,
        )


def _bar(filled: float) -> str:
    eighths = round(filled * 8)
    return "█" * (eighths // 8) + ("", *"▏▎▍▌▋▊▉")[eighths % 8]


def _marks(told: Depths) -> dict[int, str]:
    """Which line of the curve lies nearest to a depth worth naming."""
    named = []
    if told.dry:
        named.append((told.dry.drop_ft, "low pool"))
    if told.growth:
        named += [(told.growth.usual_ft, "usual deepest growth"), (told.growth.greatest_ft, "greatest")]
    found: dict[int, list[str]] = {}
    for depth, words in named:
        if depth <= told.pond.max_depth_ft:
            nearest = min(range(len(told.curve)), key=lambda n: abs(told.curve[n].depth_ft - depth))
            exact = abs(told.curve[nearest].depth_ft - depth) < 0.05
            found.setdefault(nearest, []).append(words if exact else f"{words} ({depth:.1f} ft)")
    return {number: "< " + ", ".join(words) for number, words in found.items()}


def _estimate_table(told: Depths) -> Table:
    table = _plain_table(
        ("by", "left"), ("acre-feet", "right"), ("mean depth", "right"), ("under 3 ft", "right"), ("", "left")
    )
    for one in told.estimates:
        shallow = "-" if one.shallow_share is None else f"{percent(100 * one.shallow_share)} %"
        way = "0.4 x depth x area" if one.way == "rule of thumb" else one.way
        note = "used" if one.used else "a rule of thumb" if one.way == "rule of thumb" else ""
        table.add_row(way, f"{one.acre_ft:.1f}", f"{one.mean_depth_ft:.1f} ft", shallow, note)
    return table


def depths_json(told: Depths) -> str:
    """One JSON object with everything that the table shows, unrounded but for the last digits."""
    pond, growth, dry = told.pond, told.growth, told.dry
    return dumps(
        {
            "pond": {
                "name": pond.name,
                "invented": pond.invented,
                "area_acres": _n(pond.area_acres),
                "max_depth_ft": _n(pond.max_depth_ft),
            },
            "described_by": told.way,
            "volume_acre_ft": _n(told.acre_ft),
            "mean_depth_ft": _n(told.mean_depth_ft),
            "soundings_may_miss": None
            if told.unsure is None
            else {
                "soundings": told.unsure.soundings,
                "missed_percent": [_n(100 * share, 1) for share in told.unsure.missed],
                "under_3_ft_percent": [_n(100 * share, 1) for share in told.unsure.shallows],
                "volume_acre_ft": [_n(feet) for feet in told.unsure.acre_ft],
                "more_soundings": told.unsure.more,
                "more_bring_it_under_percent": _n(100 * told.unsure.wanted),
            },
            "shore_ft": _n(told.shore_ft),
            "shore_from": told.shore_from,
            "bands": _band_records(told),
            "deepest_growth": None
            if growth is None
            else {
                "clarity_in": growth.clarity_in,
                "usual_ft": _n(growth.usual_ft),
                "greatest_ft": _n(growth.greatest_ft),
                "usual_share_percent": _n(100 * growth.usual_share),
                "greatest_share_percent": _n(100 * growth.greatest_share),
                "source": LIGHT_SOURCE,
            },
            "falls_dry": None
            if dry is None
            else {
                "drop_ft": dry.drop_ft,
                "acres": _n(dry.acres),
                "share_percent": _n(100 * dry.share),
                "left_acre_ft": _n(dry.acre_ft_left),
                "bare_bank_ft": [{"stretch": name, "feet": _n(feet)} for name, feet in dry.bank_ft],
            },
            "curve": [_level_record(level) for level in told.curve],
            "estimates": [
                {
                    "by": e.way,
                    "volume_acre_ft": _n(e.acre_ft),
                    "mean_depth_ft": _n(e.mean_depth_ft),
                    "under_3_ft_percent": None if e.shallow_share is None else _n(100 * e.shallow_share),
                    "used": e.used,
                    "rule_of_thumb": e.way == "rule of thumb",
                }
                for e in told.estimates
            ],
            "keep_clear": [
                {
                    "what": k.what,
                    "kind": k.kind,
                    "stretch": k.stretch,
                    "length_ft": k.length_ft,
                    "depth_ft": k.depth_ft,
                }
                for k in pond.keep_clear
            ],
            "remarks": list(told.remarks),
            "cautions": list(told.cautions),
        }
    )


def depths_csv(told: Depths) -> str:
    """One row a depth band."""
    return to_csv(_band_records(told))


def _band_records(told: Depths) -> list[dict]:
    return [
        {
            "band": b.name,
            "shallow_in": _n(b.shallow_in),
            "deep_in": _n(b.deep_in),
            "acres": _n(b.acres, 4),
            "share_percent": None if b.share is None else _n(100 * b.share, 2),
            "acres_low": _n(b.acres_range[0], 4),
            "acres_high": _n(b.acres_range[1], 4),
        }
        for b in told.bands
    ]


def _level_record(level: Level) -> dict:
    return {
        "depth_ft": _n(level.depth_ft),
        "acres": _n(level.acres, 4),
        "volume_below_acre_ft": _n(level.acre_ft_below, 4),
    }


def _n(value: float, digits: int = 3) -> float:
    return round(float(value), digits)
