"""How easily a native is bought: the word for it, from published lists of plants sold and from USDA's word.

The words grade what we saw, never what exists: most lists were seen in part, so "not seen" is unknown, not unobtainable.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from plantpick.errors import Problem
from plantpick.vocabulary import AVAILABILITY

if TYPE_CHECKING:
    import pandas as pd

COMMON, SELDOM, RARE, NOT_SEEN = AVAILABILITY
COMMON_LISTS = 3  # lists that make a plant common whatever USDA says: judgement
USDA_FIELD = "Commercial Availability: "  # how a locator in evidence begins that gives USDA's word
ROUTINE = "Routinely Available"
TO_ORDER = ("Contracting Only", "Field Collections Only")
# "No Known Source" counts for nothing: the field is old, and lists have plants that it says nobody sells.
NO_SOURCE = "No Known Source"
USDA_WORDS = (ROUTINE, *TO_ORDER, NO_SOURCE)


def availability_word(lists: int, usda: str) -> str:
    """The word for a plant seen on so many lists of plants sold, and with this word in the USDA PLANTS characteristics.

    common: on three lists or more, or on one or more and routine by USDA. seldom: on one or two, or on none and
    routine. rare: on none, and grown only to order or collected. not seen: the rest. `usda` is "" where USDA has none.
    """
    if lists >= COMMON_LISTS or (lists and usda == ROUTINE):
        return COMMON
    if lists or usda == ROUTINE:
        return SELDOM
    return RARE if usda in TO_ORDER else NOT_SEEN


@dataclass(frozen=True, kw_only=True)
class SaleList:
    """One published list of plants sold: the kind of seller, and where and when. Empty is not known."""

    list_id: str
    kind: str
    state: str
    region: str
    as_of: str
    address: str
    seen: str
    remark: str


def check_availability(tables: dict[str, pd.DataFrame], problems: list[Problem]) -> None:
    """Tell every word that does not follow from the lists and from USDA's word, and every broken reference."""
    plants, sold, evidence = tables["plants"], tables["sold"], tables["evidence"]
    known = set(tables["sale_lists"]["list_id"])
    for row in sold.index[~sold["list_id"].isin(known)]:
        problems.append(
            Problem(
                f"sold.csv:{row + 2}:list_id",
                f'no list "{sold.at[row, "list_id"]}".',
                "Add it to sale_lists.csv.",
            )
        )
    usda = usda_words(evidence)
    lists = sold["plant_id"].value_counts()
    for row, plant_id, word in zip(plants.index, plants["plant_id"], plants["availability"]):
        if not word and plant_id not in lists.index and plant_id not in usda:
            continue
        due = availability_word(int(lists.get(plant_id, 0)), usda.get(plant_id, ""))
        if word != due:
            problems.append(
                Problem(
                    f"plants.csv:{row + 2}:availability",
                    f'"{word}" does not follow from the lists that have {plant_id} and USDA\'s word.',
                    f'By the rule it is "{due}": see docs/data.md.',
                )
            )


def without_source(evidence: pd.DataFrame) -> frozenset[str]:
    """The plants of which USDA knew nobody who sells them; where a list has one all the same, the list counts."""
    return frozenset(plant_id for plant_id, word in usda_words(evidence).items() if word == NO_SOURCE)


def usda_words(evidence: pd.DataFrame) -> dict[str, str]:
    """plant_id to USDA's word on how it is sold, where the evidence has one."""
    rows = evidence[(evidence["trait"] == "availability") & evidence["locator"].str.startswith(USDA_FIELD)]
    return {
        plant_id: locator.removeprefix(USDA_FIELD)
        for plant_id, locator in zip(rows["plant_id"], rows["locator"])
    }
