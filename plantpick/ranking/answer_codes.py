"""The one code of a plant on a pond, which the ranking, an offer and the plant's own page all give, and what it has you ask first."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum

from plantpick.ranking.eligibility import Eligibility, GateCode


class FitCode(StrEnum):
    """How a plant that neither the gate nor the pond rules out does here."""

    FITS = "fits"
    HELD = "fits if held"
    POOR_PLACE = "poor place"


class Reason(StrEnum):
    """The codes by which ruled-out plants are grouped, in the order in which they are counted."""

    LAW = "law"
    INTRODUCED = "introduced"
    STATE = "state"
    NEXT_DOOR = "next door"  # the one that letting in plants native next door would lift
    DRY_GROUND = "dry ground"
    DANGER = "danger"
    USE = "use"
    UNKNOWN = "unknown"
    DAM = "dam"
    SITE = "site"
    TAKEOVER = "takeover"


PlantCode = GateCode | Reason | FitCode


@dataclass(frozen=True, slots=True)
class AskFirst:
    """Why you have to ask before you buy or set a plant that is ranked: in full, in a few words, and the question."""

    why: Callable[[Eligibility], str]
    short: Callable[[Eligibility], str]
    question: str
    short_question: str


# Codes of the gate that let a plant be ranked, and leave something to ask before you buy it.
ASK_FIRST: dict[GateCode, AskFirst] = {
    GateCode.WATCHED: AskFirst(
        why=lambda e: f"on an advisory list in {e.state_name}",
        short=lambda e: f"on an advisory list in {e.state_name}",
        question="What does your state agency say about it?",
        short_question="what does your agency say?",
    ),
    GateCode.GENUS_ONLY: AskFirst(
        why=lambda e: (
            "its name covers a whole genus, and a forbidden plant that looks like it may come under it"
        ),
        short=lambda e: "a forbidden plant looks like it",
        question="Which species is it? Ask for the full scientific name in writing.",
        short_question="which species?",
    ),
    GateCode.UNSURE: AskFirst(
        why=lambda e: f"nobody is sure that it is native in {e.state_name}",
        short=lambda e: f"may not be native in {e.state_name}",
        question="Where was the seed or stock collected?",
        short_question="where was it collected?",
    ),
}


def ask_first(found: Eligibility) -> str:
    """What to ask before you buy a plant that is ranked, and why; empty where nothing is open."""
    known = ASK_FIRST.get(found.code)
    return f"ask first: {known.why(found)} ({known.short_question})" if known else ""
