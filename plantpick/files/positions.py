"""Checks where things are in a pond file, as far as that needs no outline: stakes, and feet along the shore and the tape.

The shore is counted in feet from the outline's first point, the way you walk with the water on your left; a stretch's tape runs
the same way, from the stake at its left end as you face the water.
"""

from __future__ import annotations

import math

from plantpick.errors import Problem
from plantpick.pond.model import stake_letters

MISSING = "is missing."
AGREE = 0.10  # how far a length may lie from what two ends say it is: judgement


def stakes_of(shore: list[dict]) -> dict[str, str]:
    """Each stake's name, in small letters, and the stretch that begins there, as in `Pond.stakes`."""
    taken = {s["stake"].casefold() for s in shore if "stake" in s}
    letters = (letter for letter in stake_letters() if letter.casefold() not in taken)
    found: dict[str, str] = {}
    for stretch in shore:
        stake = stretch.get("stake") or next(letters)
        found.setdefault(stake.casefold(), stretch.get("name", ""))
    return found


def stretch_of(place: dict, shore: list[dict]) -> str | None:
    """The stretch that a place to keep clear is on: by its name, or by its stake."""
    if "stretch" in place or "stake" not in place:
        return place.get("stretch")
    return stakes_of(shore).get(place["stake"].casefold())


def check_positions(clean: dict, problems: list[Problem]) -> None:
    """What can be seen without the outline; keys may be missing."""
    shore, places = clean.get("shore", []), clean.get("keep_clear", [])
    outlined = "outline" in clean or "outline_ft" in clean
    if "outline" in clean and "outline_ft" in clean:
        problems.append(
            Problem(
                "outline_ft", "the outline is given twice.", "Keep outline (a file) or outline_ft (points)."
            )
        )
    _check_stakes(shore, problems)
    located = [s for s in shore if "from_ft" in s or "to_ft" in s]
    for number, stretch in enumerate(shore, 1):
        _check_pair(f"shore[{number}]", stretch, problems)
        if located and stretch not in located and "from_ft" not in stretch.get("not_known", ()):
            problems.append(
                Problem(
                    f"shore[{number}].from_ft",
                    MISSING,
                    "Other stretches have their place along the outline: give from_ft and to_ft for every stretch, or for none.",
                )
            )
    if located and not outlined:
        problems.append(
            Problem(
                "shore.from_ft",
                "from_ft and to_ft of a stretch count along an outline, and there is none.",
                'Add outline = "outline.geojson" (or .kml), or outline_ft = [[x, y], ...]; or take from_ft and to_ft out.',
            )
        )
    for number, place in enumerate(places, 1):
        _check_place(f"keep_clear[{number}]", place, shore, outlined, problems)


def _check_stakes(shore: list[dict], problems: list[Problem]) -> None:
    seen: dict[str, str] = {}
    for number, stretch in enumerate(shore, 1):
        if "stake" not in stretch:
            continue
        stake = stretch["stake"].casefold()
        if stake in seen:
            problems.append(
                Problem(
                    f"shore[{number}].stake",
                    f'stake "{stretch["stake"]}" stands at "{seen[stake]}" too.',
                    "Give each stretch a stake of its own, or leave stake out: then they are A, B, C in this order.",
                )
            )
        seen.setdefault(stake, stretch.get("name", "another stretch"))


def _check_pair(where: str, told: dict, problems: list[Problem]) -> None:
    if ("from_ft" in told) != ("to_ft" in told):
        have, lack = ("from_ft", "to_ft") if "from_ft" in told else ("to_ft", "from_ft")
        problems.append(Problem(f"{where}.{lack}", f"{have} needs {lack} with it.", "Give both, or neither."))


def _check_place(where: str, place: dict, shore: list[dict], outlined: bool, problems: list[Problem]) -> None:
    stakes = stakes_of(shore)
    if "stake" in place and place["stake"].casefold() not in stakes:
        names = [stretch.get("stake") or key.upper() for key, stretch in zip(stakes, shore)]
        problems.append(
            Problem(
                f"{where}.stake",
                f'no stretch begins at a stake called "{place["stake"]}".',
                f"There are: {', '.join(names)}.",
            )
        )
    elif "stake" in place and "stretch" in place and stakes[place["stake"].casefold()] != place["stretch"]:
        problems.append(
            Problem(
                f"{where}.stake",
                f'stake "{place["stake"]}" stands at "{stakes[place["stake"].casefold()]}", not at "{place["stretch"]}".',
                "Keep stretch or stake, and take the other out.",
            )
        )
    _check_pair(where, place, problems)
    if "from_ft" in place and "to_ft" in place:
        _check_span(where, place, shore, problems)
    if "at_ft" in place and "at_lon_lat" in place:
        problems.append(Problem(f"{where}.at_ft", "the place is marked twice.", "Keep at_ft or at_lon_lat."))
    for key in ("at_ft", "at_lon_lat"):
        if key in place and not outlined:
            problems.append(
                Problem(
                    f"{where}.{key}",
                    "a point needs the outline that it lies on.",
                    "Add outline or outline_ft; or say where along the stretch with from_ft and to_ft.",
                )
            )
    if "around_ft" in place and "at_ft" not in place and "at_lon_lat" not in place:
        problems.append(
            Problem(
                f"{where}.around_ft",
                "around_ft goes round a point, and there is none.",
                "Add at_ft = [x, y], or say how much shore with length_ft.",
            )
        )


def _check_span(where: str, place: dict, shore: list[dict], problems: list[Problem]) -> None:
    begin, end = place["from_ft"], place["to_ft"]
    on = next((s for s in shore if s.get("name") == stretch_of(place, shore)), None)
    if "stretch" not in place and "stake" not in place:
        problems.append(
            Problem(
                f"{where}.from_ft",
                "from_ft and to_ft count along a stretch, and none is named.",
                'Add stretch = "..." or stake = "A".',
            )
        )
    if begin >= end:
        problems.append(
            Problem(
                f"{where}.from_ft",
                f"from_ft ({begin:g}) is not before to_ft ({end:g}).",
                "Both count from the stake at the stretch's left end, facing the water: the smaller one is from_ft.",
            )
        )
    elif "length_ft" in place and abs(end - begin - place["length_ft"]) > max(
        1.0, AGREE * place["length_ft"]
    ):
        problems.append(
            Problem(
                f"{where}.length_ft",
                f"from_ft {begin:g} to to_ft {end:g} is {end - begin:g} ft, but length_ft says {place['length_ft']:g}.",
                "Correct one, or leave length_ft out.",
            )
        )
    if on is not None and "from_ft" not in on and end > on.get("length_ft", math.inf):
        tell_beyond(where, end, on["name"], on["length_ft"], problems)


def tell_beyond(where: str, end: float, name: str, length_ft: float, problems: list[Problem]) -> None:
    problems.append(
        Problem(
            f"{where}.to_ft",
            f'to_ft ({end:g}) lies beyond the end of "{name}", which is {length_ft:,.0f} ft long.',
            "Count feet along this stretch, from the stake at its left end as you face the water.",
        )
    )
