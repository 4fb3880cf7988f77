"""What a plant's remark says, its columns must say too: the ranking reads columns, not remarks."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import pandas as pd


@dataclass(frozen=True, kw_only=True)
class RemarkRule:
    """A remark in which `pattern` is found asks for one of `words` in `column`.

    Rules on what a pond plant does leave plants of dry ground out, which nobody plants in a pond; `native` ones, the introduced.
    """

    pattern: str
    column: str
    words: tuple[str, ...]
    says: str
    dry_ground: bool = True
    native: bool = False


RULES = (
    RemarkRule(
        pattern=r"\b(?:only|nowhere but|nothing but) (?:ever )?in (?:a |an |sunk )?(?:pots?|tubs?|containers?)\b|never loose|not loose",
        column="cautions",
        words=("never loose", "never plant"),
        says="that it must be held, and nothing else does",
        native=True,
    ),
    RemarkRule(
        pattern=r"\b(?:never|do not) plant\b",
        column="cautions",
        words=("never loose", "never plant"),
        says="not to plant it, and nothing else does",
        dry_ground=False,
        native=True,
    ),
    RemarkRule(
        pattern=r"\b(?:never|do not) dig\b|wild[- ]dug",
        column="cautions",
        words=("wild harvest",),
        says="not to dig it from the wild",
    ),
    RemarkRule(
        pattern=r"\bpoison|\bdeadly|\btoxic",
        column="cautions",
        words=("poisonous", "livestock", "skin", "lookalike", "never plant"),
        says="that it, or what looks like it, is poisonous",
    ),
    RemarkRule(
        pattern=r"\blooks? alike|\blooks? (?:much |just )?like\b|\blook-?alikes?\b|\bmistaken\b|\bhard to tell\b|\btold from\b|"
        r"\bsold as it\b",
        column="cautions",
        words=("lookalike",),
        says="what it is taken for",
    ),
    RemarkRule(
        pattern=r"\brazor|\bcuts? (?:hands|skin)", column="cautions", words=("cuts",), says="that it cuts"
    ),
    RemarkRule(pattern=r"\bthorn|\bprickl", column="cautions", words=("thorns",), says="that it has thorns"),
    RemarkRule(
        pattern=r"\bsows? itself|\bseeds (?:itself|about|freely|everywhere)|\bseedlings",
        column="jump_by",
        words=("seed",),
        says="that it sows itself",
        dry_ground=False,
    ),
    RemarkRule(
        pattern=r"\bgeese (?:graze|dig|eat|finish)|\bgeese love",
        column="eaten_by",
        words=("geese",),
        says="that geese eat it",
    ),
    RemarkRule(
        pattern=r"\bdeer (?:eat|strip|take)", column="eaten_by", words=("deer",), says="that deer eat it"
    ),
)


LIME = r"\b(?:lime|limy|limestone|marly|alkaline)\b"
HATES_LIME = r"\b(?:yellows?|dies|hates)\b|\blimed ponds\b|-soil one is\b"
LIME_PH = 7.5  # soil with free lime reads 7.5 to 8.5 (common practice, no source)


def check_remarks(table: pd.DataFrame, numbers: pd.DataFrame, report: Callable) -> None:
    """Report the plants whose remark says what their columns (`numbers`: those that hold numbers) do not.

    A plant that nothing contains is ruled out where it spreads, and needs no caution against planting.
    """
    for rule in RULES:
        found = table["remark"].str.contains(rule.pattern, case=False, regex=True)
        silent = ~table[rule.column].str.split(";").map(lambda have, r=rule: bool(set(r.words) & set(have)))
        if not rule.dry_ground:
            silent &= table["growth_form"] != "upland"
        if rule.native:
            silent &= (table["origin"] == "native") & (table["contained_by"] != "nothing")
        report(
            found & silent,
            rule.column,
            f"the remark says {rule.says}.",
            f'Add "{rule.words[0]}", or say what the remark means.',
        )
    limy = table["remark"].str.contains(LIME, case=False, regex=True)
    limy &= ~table["remark"].str.contains(HATES_LIME, case=False, regex=True)
    report(
        limy & (numbers["ph_max"] < LIME_PH),
        "ph_max",
        lambda v: f"the remark says that it grows on lime, and the pH ends at {v}.",
        f"Lime is {LIME_PH:g} and more: raise it, or say what the remark means.",
    )
