"""Checks of where a plant is native against how hardy it is said to be, and of what a native cell rests on."""

from __future__ import annotations

from typing import TYPE_CHECKING

from plantpick.errors import Problem

if TYPE_CHECKING:
    import pandas as pd

# The coldest and the mildest half zone of each state (6.5 is 6b), after the USDA Plant Hardiness Zone Map of 2023 (USDA
# Agricultural Research Service and PRISM, Oregon State University). Recalled from the map, so a half zone give or take, and
# single mountain tops and islands do not count. Good for finding contradictions, not for telling an owner his zone.
ZONES_OF_STATE: dict[str, tuple[float, float]] = {
    "AL": (7.5, 9.5),
    "AR": (6.5, 8.5),
    "AZ": (4.5, 10.5),
    "CA": (4.5, 11.0),
    "CO": (3.0, 7.5),
    "CT": (5.5, 7.5),
    "DC": (7.5, 8.0),
    "DE": (7.0, 8.0),
    "FL": (8.0, 12.0),
    "GA": (6.5, 9.5),
    "IA": (4.5, 6.0),
    "ID": (3.0, 7.5),
    "IL": (5.0, 7.5),
    "IN": (5.5, 7.0),
    "KS": (5.0, 7.0),
    "KY": (6.0, 7.5),
    "LA": (8.0, 10.0),
    "MA": (5.0, 7.5),
    "MD": (5.5, 8.0),
    "ME": (3.0, 6.5),
    "MI": (4.0, 6.5),
    "MN": (3.0, 5.0),
    "MO": (5.5, 7.5),
    "MS": (7.5, 9.5),
    "MT": (3.0, 6.5),
    "NC": (5.5, 9.0),
    "ND": (3.0, 5.0),
    "NE": (4.5, 6.5),
    "NH": (3.5, 6.5),
    "NJ": (6.0, 8.0),
    "NM": (4.5, 9.0),
    "NV": (4.0, 10.0),
    "NY": (3.5, 8.0),
    "OH": (6.0, 7.0),
    "OK": (6.0, 8.5),
    "OR": (4.0, 9.5),
    "PA": (5.0, 7.5),
    "RI": (6.0, 7.5),
    "SC": (7.0, 9.5),
    "SD": (3.5, 6.0),
    "TN": (5.5, 8.5),
    "TX": (6.0, 10.5),
    "UT": (4.0, 9.0),
    "VA": (5.5, 8.5),
    "VT": (3.5, 6.0),
    "WA": (4.0, 9.5),
    "WI": (3.5, 6.0),
    "WV": (5.0, 7.5),
    "WY": (3.0, 6.5),
}
WARM_TOLERANCE = 1.0  # a zone: heat limits are softer than cold ones, and nobody measures them


def _number(cell: str) -> float | None:
    try:
        return float(cell)
    except ValueError:
        return None


def check_range(tables: dict[str, pd.DataFrame], problems: list[Problem]) -> None:
    """Check that no plant is native where every part of the state is too cold, or too warm, for its own zones.

    The mildest part of the state is taken for the cold and the coolest for the heat, so what is found is a contradiction: the
    plant is hardier than its cell says, or it is not native there. A native cell must also say what it rests on.
    """
    plants, cells = tables["plants"], tables["range"]
    native = cells[cells["status"] == "native"]
    for row in native.index[native["remark"].str.strip() == ""]:
        problems.append(
            Problem(
                f"range.csv:{row + 2}:remark",
                "native, and nothing says what that rests on.",
                "Name the two kinds of evidence (docs/data.md, States).",
            )
        )
    states = native.groupby("plant_id")["state"].apply(sorted)
    for row, plant_id in plants["plant_id"].items():
        places = [s for s in states.get(plant_id, ()) if s in ZONES_OF_STATE]
        coldest, warmest = _number(plants.at[row, "zone_min"]), _number(plants.at[row, "zone_max"])
        tender = [s for s in places if coldest is not None and coldest > ZONES_OF_STATE[s][1]]
        if tender:
            problems.append(
                Problem(
                    f"plants.csv:{row + 2}:zone_min",
                    f"hardy to zone {coldest:g} only, yet native in {' '.join(tender)}, colder in every part.",
                    "Lower the zone, or look again whether it is native there.",
                )
            )
        hot = [
            s
            for s in places
            if warmest is not None and warmest + WARM_TOLERANCE <= ZONES_OF_STATE[s][0]  # zone 6 ends at 7.0
        ]
        if hot:
            problems.append(
                Problem(
                    f"plants.csv:{row + 2}:zone_max",
                    f"no warmer than zone {warmest:g}, yet native in {' '.join(hot)}, warmer in every part.",
                    "Raise the zone, or look again whether it is native there.",
                )
            )
