"""Lays what a pond file says of places on its outline: stretches along the shore, points to keep clear; and checks that they can be there."""

from __future__ import annotations

import numpy as np

from plantpick.errors import Problem
from plantpick.files.outlines import Plane
from plantpick.files.pond_schema import SHORTEST_FT
from plantpick.files.positions import AGREE, stretch_of, tell_beyond
from plantpick.pond.bathymetry import polygon
from plantpick.pond.keep_clear import UNDER_WATER, kind_of_place
from plantpick.pond.model import Outline
from plantpick.pond.shoreline import Shoreline

SEAM_FT = 2.0  # stretches that miss one another by no more meet there: a tape's error, judgement
BANK_FT = 30.0  # a place to keep clear may stand so far up the bank: judgement
WAY = "feet from the outline's first point, the way you walk with the water on your left"


def locate(clean: dict, outline: Outline, problems: list[Problem]) -> dict:
    """The pond file's keys with every position on the outline's plane: stretches with `from_ft` and the `length_ft` measured there,
    places to keep clear with `points`. What can't be placed goes into `problems`."""
    shore = Shoreline(outline)
    stretches = [_with_length(dict(s), shore.length_ft) for s in clean["shore"]]
    if all("from_ft" in s and "to_ft" in s for s in stretches):
        _locate_stretches(stretches, shore, bool(clean.get("shore_left_out")), problems)
    else:  # the place of one is not known: a map of the others would mislead
        stretches = [{k: v for k, v in s.items() if k not in ("from_ft", "to_ft")} for s in stretches]
    places = []
    for number, told in enumerate(clean.get("keep_clear", []), 1):
        where, place = f"keep_clear[{number}]", dict(told)
        key = next((k for k in ("at_ft", "at_lon_lat") if k in place), None)
        if key is not None:
            place["points"] = _points(where, place, key, outline, problems)
        on = next((s for s in stretches if s["name"] == stretch_of(place, stretches)), None)
        if on is not None and "from_ft" in on and place.get("to_ft", 0.0) > on["length_ft"] + SEAM_FT:
            tell_beyond(where, place["to_ft"], on["name"], on["length_ft"], problems)
        places.append(place)
    return {**clean, "shore": stretches, "keep_clear": places}


def _with_length(stretch: dict, whole_ft: float) -> dict:
    """A stretch whose length nobody gave has that between its ends along the outline."""
    if "length_ft" not in stretch:
        stretch["length_ft"] = _between(stretch["from_ft"], stretch["to_ft"], whole_ft)
    return stretch


def _between(begin: float, end: float, whole_ft: float) -> float:
    """Feet along the outline from one place to another; all round where they are its beginning and its end."""
    if begin == 0 and abs(end - whole_ft) <= SEAM_FT:
        return whole_ft
    return (end - begin) % whole_ft if end != begin else 0.0


def _locate_stretches(
    stretches: list[dict], shore: Shoreline, left_out: bool, problems: list[Problem]
) -> None:
    whole, before = shore.length_ft, len(problems)
    for number, stretch in enumerate(stretches, 1):
        where, begin, end = f"shore[{number}]", stretch["from_ft"], stretch["to_ft"]
        for key in ("from_ft", "to_ft"):
            if stretch[key] > whole + SEAM_FT:
                problems.append(
                    Problem(
                        f"{where}.{key}",
                        f"{stretch[key]:,g} ft lies beyond the outline, which is {whole:,.0f} ft round.",
                        f"Count {WAY}.",
                    )
                )
        if max(begin, end) > whole + SEAM_FT:
            continue
        length, given = _between(begin, end, whole), stretch["length_ft"]
        if length < SHORTEST_FT:
            problems.append(
                Problem(
                    f"{where}.to_ft",
                    f"from {begin:,g} to {end:,g} ft along the outline is {length:,.0f} ft: too short for a stretch.",
                    f"A stretch has {SHORTEST_FT:g} ft or more. Count {WAY}.",
                )
            )
        elif abs(length - given) > max(SEAM_FT, AGREE * given):
            turned = abs(whole - length - given) <= max(SEAM_FT, AGREE * given)
            problems.append(
                Problem(
                    f"{where}.from_ft",
                    f"from {begin:,g} to {end:,g} ft along the outline is {length:,.0f} ft, but length_ft says {given:,g}.",
                    "It looks counted the wrong way round: swap from_ft and to_ft."
                    if turned
                    else f"Correct one. Count {WAY}.",
                )
            )
        else:
            stretch["length_ft"] = length
    if len(problems) > before:
        return
    order = sorted(stretches, key=lambda s: s["from_ft"])
    for one, after in zip(order, [*order[1:], order[0]]):
        end = one["from_ft"] + one["length_ft"]
        gap = after["from_ft"] + (whole if after is order[0] else 0.0) - end
        number = 1 + stretches.index(after)
        if len(order) == 1 and abs(gap) <= SEAM_FT:
            continue
        if gap < -SEAM_FT:
            problems.append(
                Problem(
                    f"shore[{number}].from_ft",
                    f'"{after["name"]}" begins {-gap:,.0f} ft before "{one["name"]}" ends (at {end % whole:,.0f} ft).',
                    "Stretches may not overlap: let one begin where the other ends.",
                )
            )
        elif gap > SEAM_FT and not left_out:
            problems.append(
                Problem(
                    f"shore[{number}].from_ft",
                    f'{gap:,.0f} ft of the outline lie between the end of "{one["name"]}" (at {end % whole:,.0f} ft) and "{after["name"]}".',
                    "Let one begin where the other ends, or describe that shore as a stretch of its own. If you leave it out on "
                    "purpose, write shore_left_out = true at the top.",
                )
            )


def _points(
    where: str, place: dict, key: str, outline: Outline, problems: list[Problem]
) -> tuple[tuple[float, float], ...]:
    """A place's points on the outline's plane."""
    from shapely import LineString, Point

    told = np.array(place[key])
    if key == "at_lon_lat":
        if outline.origin is None:
            problems.append(
                Problem(
                    f"{where}.{key}",
                    "the outline is in feet, so longitude and latitude have no place on it.",
                    "Give at_ft = [x, y], measured like the outline.",
                )
            )
            return ()
        xy = Plane(outline.origin).to_feet(told)
    elif outline.origin is not None:  # feet east and north of the outline's first point
        xy = told + np.array(outline.rings[0][0])
    else:
        xy = told
    if not np.isfinite(xy).all():
        xy = np.full_like(xy, 1e9)
    water = polygon(outline)
    mark = LineString(xy) if len(xy) > 1 else Point(xy[0])
    off = mark.distance(water)
    far = max(Point(p).distance(water) for p in xy)
    within = SEAM_FT if kind_of_place(place["what"]) in UNDER_WATER else BANK_FT
    if (off if len(xy) > 1 else far) > within or far > 20 * BANK_FT:
        told_as = (
            "longitude, then latitude"
            if key == "at_lon_lat"
            else (
                "feet on the outline's own plane"
                if outline.origin is None
                else "feet east and north of the outline's first point"
            )
        )
        problems.append(
            Problem(
                f"{where}.{key}",
                f"{place['what']}: this lies {far:,.0f} ft outside the outline."
                if far < 1e6
                else f"{place['what']}: this lies far outside the outline.",
                f"{'It stands in the water' if within == SEAM_FT else f'It may stand up to {BANK_FT:g} ft up the bank'}. "
                f"Give it as {told_as}.",
            )
        )
    return tuple((float(x), float(y)) for x, y in xy)
