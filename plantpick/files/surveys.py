"""Reads what was measured of a basin, and checks it against the pond file: outline, soundings, contours together."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np

from plantpick.errors import Problem
from plantpick.files.outlines import Plane, tell_rows
from plantpick.files.survey_tables import FEWEST_SOUNDINGS, Soundings, Table, read_contours, read_soundings
from plantpick.pond import bathymetry
from plantpick.pond.model import Outline, Survey
from plantpick.pond.shoreline import Shoreline
from plantpick.pond.unit_runs import unit_run
from plantpick.units import ACRE_FT2, FOOT_M

AGREE = 0.10  # how far a survey may lie from what the pond file says: judgement
MOST_COMPARED = 20_000  # soundings among which a run in another unit is looked for; of more, evenly many
SHORE_AGREE = 0.25  # the same for the stretches' lengths, which are often paced
ONE_UNIT = "Bring all to one unit. If the bottom is like that, say so with a column headed unit, ft or m in each row."
POSITION_FT = {True: 16.0, False: 1.0}  # error of a position: a phone's, under open sky (4.9 m, GPS.gov, from
#                                          memory); of a measured plane: judgement


def read_survey(
    folder: Path,
    files: dict[str, str],
    area_acres: float,
    max_depth_ft: float,
    shore: list[dict],
    problems: list[Problem],
    outlined: tuple[Outline, Plane] | None = None,
    outline_name: str | None = None,
) -> tuple[Survey, float, float, tuple[str, ...]] | None:
    """The survey in the files that a pond file names under contours and soundings, on an outline that was read before.
    `shore` are the stretches as the pond file has them, `outline_name` says where the outline stands, `outlined` is None where it
    stands nowhere or could not be read.

    Gives the survey, the surface in acres and the greatest depth in feet that go with it, and remarks for the owner.
    Soundings come before contours where both are given. None when `problems` were found.
    """
    before = len(problems)
    remarks: list[str] = []
    contours = read_contours(folder / files["contours"], problems) if "contours" in files else None
    sounded = read_soundings(folder / files["soundings"], problems) if "soundings" in files else None
    if "soundings" in files and outline_name is None:
        problems.append(
            Problem(
                "outline",
                "soundings need the waterline that closes them.",
                'Add outline = "outline.geojson" (or .kml), or outline_ft = [[x, y], ...].',
            )
        )
    found: list[Survey] = []
    if sounded and outlined:
        found += _sounded(sounded, *outlined, max_depth_ft, shore, problems, remarks)
    if contours:
        found += _contoured(contours, max_depth_ft, Path(files["contours"]).name, problems)
    area_ft2 = {}
    if outlined:
        water = bathymetry.polygon(outlined[0])
        area_ft2[outline_name or "outline"] = water.area
        given_shore_ft = sum(s.get("length_ft", 0.0) for s in shore)
        if given_shore_ft > (1.0 + SHORE_AGREE) * water.length:
            problems.append(
                Problem(
                    "shore.length_ft",
                    f"the stretches add up to {given_shore_ft:,.0f} ft, but the outline "
                    f"measures {water.length:,.0f} ft.",
                    "Measure the stretches along the outline.",
                )
            )
    if contours:
        area_ft2[Path(files["contours"]).name] = contours[1][0]
    for name, measured in area_ft2.items():
        if abs(measured / (area_acres * ACRE_FT2) - 1.0) > AGREE:
            problems.append(
                Problem(
                    name,
                    f"the water measures {measured / ACRE_FT2:.2f} acres, but area_acres says "
                    f"{area_acres:g}.",
                    "They must agree within 10 %: correct one of them, and look for feet taken for meters.",
                )
            )
    if len(problems) > before or (outline_name is not None and outlined is None):
        return None
    if not found:
        found = [Survey("outline")]
        remarks.append(
            "The outline gives the surface and the length of the shore; depths are from the stretches' slopes."
        )
    best = replace(found[0], others=tuple(found[1:]))
    if outlined:
        best = replace(best, outline=outlined[0], shore_ft=float(water.length))
    acres = (best.areas_ft2[0] if best.depths_in else float(water.area)) / ACRE_FT2
    deepest = best.depths_in[-1] / 12.0 if best.depths_in else max_depth_ft
    if abs(acres / area_acres - 1.0) > 0.005:
        remarks.append(
            f"The surface was taken as measured, {acres:.2f} acres, not {area_acres:g} as the pond file says."
        )
    if abs(deepest / max_depth_ft - 1.0) > 0.005:
        remarks.append(
            f"The greatest depth was taken as measured, {deepest:.1f} ft, not {max_depth_ft:g} as the pond "
            "file says."
        )
    return best, acres, deepest, tuple(remarks)


def _contoured(contours, max_depth_ft: float, name: str, problems: list[Problem]) -> list[Survey]:
    depth, area = contours
    deepest = depth[-1] / 12.0
    # a last contour that still encloses water may stand one step above the bottom
    step = 0.0 if area[-1] == 0 else 1.05 * np.diff(depth).max() / 12.0
    if deepest > (1.0 + AGREE) * max_depth_ft or deepest < min(
        (1.0 - AGREE) * max_depth_ft, max_depth_ft - step
    ):
        problems.append(
            _depths_differ(name, f"the deepest contour is at {deepest:.1f} ft", deepest, max_depth_ft)
        )
    return [bathymetry.from_contours(depth, area, max_depth_ft * 12.0)]


def _depths_differ(name: str, said: str, deepest_ft: float, max_depth_ft: float) -> Problem:
    hint = "correct one of them, or measure the deepest place."
    for factor, other in ((FOOT_M, "meters"), (1 / FOOT_M, "feet")):
        if abs(deepest_ft / (max_depth_ft * factor) - 1.0) <= AGREE:
            hint = f"the depths look like {other}: check the unit in the heading."
    return Problem(
        name, f"{said}, but max_depth_ft says {max_depth_ft:g}.", f"They must agree within 10 %: {hint}"
    )


def _sounded(
    sounded: Soundings,
    outline: Outline,
    plane: Plane,
    max_depth_ft: float,
    shore: list[dict],
    problems: list[Problem],
    remarks: list[str],
) -> list[Survey]:
    table, xyd = sounded.table, sounded.xyd
    if sounded.on_earth != (plane.origin is not None):
        have, need = (
            ("longitude and latitude", "feet") if sounded.on_earth else ("x and y", "longitude and latitude")
        )
        problems.append(
            Problem(
                table.name,
                f"has {have}, but the outline is in {need}.",
                "Both must be in longitude and latitude, or both measured on one plane (an outline in "
                'feet says "units": "feet" at the top of its GeoJSON).',
            )
        )
        return []
    if sounded.on_earth:
        xyd = np.column_stack([plane.to_feet(xyd[:, :2]), xyd[:, 2]])
    inside = _inside(table, outline, xyd, POSITION_FT[sounded.on_earth], problems, remarks)
    if inside is None:
        return []
    before = len(problems)
    if not any(table.units):
        _tell_odd(table, outline, shore, xyd, inside, problems)
    deepest = float(xyd[inside, 2].max()) / 12.0
    if abs(deepest / max_depth_ft - 1.0) > AGREE:
        problems.append(
            _depths_differ(table.name, f"the deepest sounding is {deepest:.1f} ft", deepest, max_depth_ft)
        )
    if len(problems) > before:
        return []
    found, surface = bathymetry.from_soundings(outline, xyd[inside])
    if surface.unsounded_share > 0.02:
        remarks.append(
            f"{100 * surface.unsounded_share:.0f} % of the water lies between points of the waterline with no sounding "
            "among them, and was counted as shallowest: sound the coves and corners."
        )
    return [found]


def _inside(
    table: Table, outline: Outline, xyd: np.ndarray, slack_ft: float, problems, remarks
) -> np.ndarray | None:
    """Which soundings lie on the water; those outside by no more than an error of position are left out."""
    import shapely

    water = bathymetry.polygon(outline)
    points = shapely.points(xyd[:, :2])
    shapely.prepare(water)
    inside = shapely.contains(water, points)
    off = np.zeros(len(xyd))
    off[~inside] = shapely.distance(water, points[~inside])
    far = np.flatnonzero(off > slack_ft)
    column = "longitude" if "longitude" in table.columns else "x"
    if len(far) > len(xyd) / 2:
        problems.append(
            Problem(
                table.name,
                f"{len(far):,} of {len(xyd):,} soundings lie outside the outline.",
                "Check that both are of this pond, on one plane, and in the same units.",
            )
        )
        return None
    tell_rows(
        far,
        len(xyd),
        table.where(column),
        table.name,
        problems,
        lambda row: f"the sounding lies {off[row]:,.0f} ft outside the outline or on an island.",
        "Correct the position or the outline, or take the row out.",
    )
    near = int((~inside & (off <= slack_ft)).sum())
    if near:
        remarks.append(
            f"{near:,} sounding{'s' if near > 1 else ''} on the outline or up to {slack_ft:g} ft outside it, within "
            "the error of a position, left out."
        )
    if not len(far) and inside.sum() < FEWEST_SOUNDINGS:
        problems.append(
            Problem(
                table.name,
                f"has too few soundings on the water ({inside.sum()}).",
                f"Take {FEWEST_SOUNDINGS} at least.",
            )
        )
        return None
    return inside if not len(far) else None


def _tell_odd(
    table: Table,
    outline: Outline,
    shore: list[dict],
    xyd: np.ndarray,
    inside: np.ndarray,
    problems: list[Problem],
) -> None:
    rows = np.flatnonzero(inside)
    depth = table.numbers["depth"]
    where = table.where("depth")
    tell_rows(
        rows[bathymetry.lost_bottom(xyd[inside])],
        len(xyd),
        where,
        table.name,
        problems,
        lambda row: "the depth is 0 amid deep water.",
        "The sounder lost the bottom: take the row out.",
    )
    some = rows[:: 1 + len(rows) // MOST_COMPARED]
    run = unit_run(outline, xyd[some], *_slopes(outline, shore, xyd[some]))
    if run is not None:
        first, last = some[run.first], some[run.last]
        problems.append(
            Problem(
                where(first),
                f"rows {table.lines[first]} to {table.lines[last]} (give or take a few) look like {'meters among feet' if run.shallow else 'feet among meters'}: "
                f"where they meet the others, {run.apart} of {run.pairs} are about 3.3 times as {'shallow' if run.shallow else 'deep'} as the "
                f"sounding beside them, and the bank reads {run.reads[0]:.1f} times as flat as you gave it ({run.reads[1]:.1f} times in the other rows).",
                ONE_UNIT,
            )
        )
        return
    tell_rows(
        rows[bathymetry.mixed_units(xyd[inside])],
        len(xyd),
        where,
        table.name,
        problems,
        lambda row: f"the depth {depth[row]:g} and those round it look like feet and meters mixed.",
        ONE_UNIT,
    )


def _slopes(outline: Outline, shore: list[dict], xyd: np.ndarray) -> tuple[np.ndarray, float]:
    """The slope that you gave for the bank nearest to each sounding, and how many times as flat as the steepest the flattest is
    where a stretch has no place on the outline: then all count with the mean."""
    given = np.array([s["slope"] for s in shore], dtype=float)
    if len(given) > 1 and all("from_ft" in s for s in shore):
        line = Shoreline(outline)
        at = line.feet_of(xyd[:, :2])
        slope = np.full(len(at), given.mean())
        for stretch in shore:
            past = np.mod(at - stretch["from_ft"], line.length_ft)
            slope[past <= stretch["length_ft"]] = stretch["slope"]
        return slope, 1.0
    mean = float(np.average(given, weights=[max(s.get("length_ft", 1.0), 1e-9) for s in shore]))
    return np.full(len(xyd), mean), float(given.max() / given.min())
