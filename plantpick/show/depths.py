"""The basin as a table with a small picture of its depth-area curve, as JSON, or as CSV."""

from __future__ import annotations

from rich.console import Console
from rich.text import Text

from plantpick.pond.depth_bands import WAY_WORDS, Depths, Level
from plantpick.pond.light import PASSED_GREATEST, PASSED_WORDS
from plantpick.pond.model import ACRE_FT2
from plantpick.show.records import dumps, rounded, to_csv
from plantpick.show.terminal import Column, bullets, heading, paragraph, pond_name, right, show_table, title
from plantpick.units import percent

LIGHT_SOURCE = "Caffrey, Hoyer and Canfield 2007"


def show_depths(out: Console, told: Depths) -> None:
    """Everything for a terminal, from 60 columns up."""
    pond = told.pond
    title(out, f"{pond_name(pond)}: {pond.area_acres:.2f} acres, {pond.max_depth_ft:.4g} ft at the deepest")
    paragraph(out, f"Described by {WAY_WORDS[told.way]}.")
    _show_bands(out, told)
    heading(out, "The water")
    bullets(out, _water_lines(told))
    heading(out, "Surface inside each depth")
    picture(out, told)
    heading(out, "How our estimates compare")
    _show_estimates(out, told)
    if told.keep_clear:
        heading(out, "Kept clear: plant nothing there")
        bullets(out, (f"{what}: {words}" for what, words in told.keep_clear))
    if told.remarks:
        heading(out, "Worth knowing")
        bullets(out, told.remarks)
    heading(out, "Take care")
    bullets(out, told.cautions)


def _show_bands(out: Console, told: Depths) -> None:
    ranged = told.unsure is not None and told.unsure.more != 0
    rows = []
    for band in told.bands:
        share = "above the water" if band.share is None else f"{percent(100 * band.share)} %"
        low, high = (f"{acres:.2f}" for acres in band.acres_range)
        within = [low if low == high else f"{low} - {high}"] * ranged
        rows.append([band.name, f"{band.acres:.2f}", *within, f"{band.acres * ACRE_FT2:,.0f}", share])
    may_be = [right("may be")] * ranged
    columns: list[str | Column] = [
        "band",
        right("acres"),
        *may_be,
        right("square feet"),
        right("share of the surface"),
    ]
    show_table(out, columns, rows, indent=0)


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

        def reach(depth_ft: float, share: float) -> str:
            if depth_ft >= deepest:
                return f"to {depth_ft:.1f} ft: the whole bottom"
            return f"to {depth_ft:.1f} ft, {percent(100 * share)} % of the surface"

        lines.append(
            f"with a Secchi reading of {g.clarity_in:g} in, submersed plants usually root "
            f"{reach(g.usual_ft, g.usual_share)}; now and then {reach(g.greatest_ft, g.greatest_share)} "
            f"({LIGHT_SOURCE}). That is no ceiling: in {PASSED_WORDS} some plant goes deeper"
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


def _show_estimates(out: Console, told: Depths) -> None:
    rows = []
    for one in told.estimates:
        shallow = "-" if one.shallow_share is None else f"{percent(100 * one.shallow_share)} %"
        way = "0.4 x depth x area" if one.way == "rule of thumb" else one.way
        note = "used" if one.used else "a rule of thumb" if one.way == "rule of thumb" else ""
        rows.append([way, f"{one.acre_ft:.1f}", f"{one.mean_depth_ft:.1f} ft", shallow, note])
    show_table(out, ["by", right("acre-feet"), right("mean depth"), right("under 3 ft"), ""], rows)


def depths_json(told: Depths) -> str:
    """One JSON object with everything that the table shows, unrounded but for the last digits."""
    pond, growth, dry = told.pond, told.growth, told.dry
    return dumps(
        {
            "pond": {
                "name": pond.name,
                "invented": pond.invented,
                "area_acres": rounded(pond.area_acres),
                "max_depth_ft": rounded(pond.max_depth_ft),
            },
            "described_by": told.way,
            "volume_acre_ft": rounded(told.acre_ft),
            "mean_depth_ft": rounded(told.mean_depth_ft),
            "soundings_may_miss": None
            if told.unsure is None
            else {
                "soundings": told.unsure.soundings,
                "missed_percent": [rounded(100 * share, 1) for share in told.unsure.missed],
                "under_3_ft_percent": [rounded(100 * share, 1) for share in told.unsure.shallows],
                "volume_acre_ft": [rounded(feet) for feet in told.unsure.acre_ft],
                "more_soundings": told.unsure.more,
                "more_bring_it_under_percent": rounded(100 * told.unsure.wanted),
            },
            "shore_ft": rounded(told.shore_ft),
            "shore_from": told.shore_from,
            "bands": band_records(told),
            "deepest_growth": None
            if growth is None
            else {
                "clarity_in": growth.clarity_in,
                "usual_ft": rounded(growth.usual_ft),
                "greatest_ft": rounded(growth.greatest_ft),
                "usual_share_percent": rounded(100 * growth.usual_share),
                "greatest_share_percent": rounded(100 * growth.greatest_share),
                "greatest_passed_percent": rounded(100 * PASSED_GREATEST),
                "source": LIGHT_SOURCE,
            },
            "falls_dry": None
            if dry is None
            else {
                "drop_ft": dry.drop_ft,
                "acres": rounded(dry.acres),
                "share_percent": rounded(100 * dry.share),
                "left_acre_ft": rounded(dry.acre_ft_left),
                "bare_bank_ft": [{"stretch": name, "feet": rounded(feet)} for name, feet in dry.bank_ft],
            },
            "curve": [_level_record(level) for level in told.curve],
            "estimates": [
                {
                    "by": e.way,
                    "volume_acre_ft": rounded(e.acre_ft),
                    "mean_depth_ft": rounded(e.mean_depth_ft),
                    "under_3_ft_percent": None if e.shallow_share is None else rounded(100 * e.shallow_share),
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


BAND_COLUMNS = ("band", "shallow_in", "deep_in", "acres", "share_percent", "acres_low", "acres_high")


def depths_csv(told: Depths) -> str:
    """One row a depth band."""
    return to_csv(band_records(told), BAND_COLUMNS)


def band_records(told: Depths) -> list[dict]:
    """One record a depth band, in acres and per cent of the surface."""
    return [
        {
            "band": b.name,
            "shallow_in": rounded(b.shallow_in),
            "deep_in": rounded(b.deep_in),
            "acres": rounded(b.acres, 4),
            "share_percent": None if b.share is None else rounded(100 * b.share, 2),
            "acres_low": rounded(b.acres_range[0], 4),
            "acres_high": rounded(b.acres_range[1], 4),
        }
        for b in told.bands
    ]


def _level_record(level: Level) -> dict:
    return {
        "depth_ft": rounded(level.depth_ft),
        "acres": rounded(level.acres, 4),
        "volume_below_acre_ft": rounded(level.acre_ft_below, 4),
    }
