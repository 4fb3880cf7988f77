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

COMMON, SELDOM, RARE, NOT_SEEN, UNSOLD = AVAILABILITY
COMMON_LISTS = 3  # lists that make a plant common whatever USDA says: judgement
USDA_FIELD = "Commercial Availability: "  # how a locator in evidence begins that gives USDA's word
ROUTINE = "Routinely Available"
TO_ORDER = ("Contracting Only", "Field Collections Only")
# The field is old, and lists have plants that it says nobody sells: "No Known Source" counts only where no list has the plant.
NO_SOURCE = "No Known Source"
USDA_WORDS = (ROUTINE, *TO_ORDER, NO_SOURCE)


def availability_word(lists: int, usda: str) -> str:
    """The word for a plant seen on so many lists of plants sold, and with this word in the USDA PLANTS characteristics.

    common: on three lists or more, or on one or more and routine by USDA. seldom: on one or two, or on none and
    routine. rare: on none, and grown only to order or collected. no source: on none, and USDA knew nobody who sells it. not seen:
    the rest. `usda` is "" where USDA has none.
    """
    if lists >= COMMON_LISTS or (lists and usda == ROUTINE):
        return COMMON
    if lists or usda == ROUTINE:
        return SELDOM
    if usda in TO_ORDER:
        return RARE
    return UNSOLD if usda == NO_SOURCE else NOT_SEEN


SOLD = (COMMON, SELDOM)  # somebody sells it
# The words that the ranking, the plan, its page and `plant` show you: how hard it will be to buy.
BOUGHT_WORDS = {
    COMMON: "easy",
    SELDOM: "seldom",
    NOT_SEEN: "ask",
    RARE: "to order",
    UNSOLD: "not sold",
}
BOUGHT_MEANS = {
    COMMON: "several lists of plants sold have it, or one and USDA calls it routine",
    SELDOM: "one or two lists have it, or none and USDA calls it routine",
    NOT_SEEN: "on no list that we read, and these were cut short: ask around",
    RARE: "grown to order only, by USDA",
    UNSOLD: "on no list that we read, and USDA knew nobody who sells it",
}


def bought(word: str) -> str:
    """How easily a plant is bought, in a word or two; what nobody looked for is to be asked for."""
    return BOUGHT_WORDS.get(word, BOUGHT_WORDS[NOT_SEEN])


def can_be_had(word: str, rare_wild: bool) -> bool:
    """Whether a plant can be hoped for: somebody sells it; or no list has it, which says little, and it is not rare in the wild, not
    grown to order only, and not without a source by USDA."""
    return word in SOLD or word in (NOT_SEEN, "") and not rare_wild


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


def usda_words(evidence: pd.DataFrame) -> dict[str, str]:
    """plant_id to USDA's word on how it is sold, where the evidence has one."""
    rows = evidence[(evidence["trait"] == "availability") & evidence["locator"].str.startswith(USDA_FIELD)]
    return {
        plant_id: locator.removeprefix(USDA_FIELD)
        for plant_id, locator in zip(rows["plant_id"], rows["locator"])
    }
