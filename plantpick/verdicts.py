"""What may be said of one plant on one pond: buy, buy and contain, ask first, leave it."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace

from plantpick import ranking
from plantpick.containment import in_words
from plantpick.namebook import LAW_ONLY
from plantpick.plants import Catalogue, bare_taxon, listed_as
from plantpick.pond import Pond
from plantpick.words import BINDING_LAW, PURPOSES, STATES

BUY, CONTAIN, ASK, LEAVE = "buy", "buy and contain", "ask first", "leave it"
VERDICTS = (BUY, CONTAIN, ASK, LEAVE)  # from the mildest to the worst
NO_PLANT = "no plant"
FAST_FT_YR = 2.0  # an introduced plant whose edge moves this far in a year is known to take over (judgement)


@dataclass(frozen=True)
class Grade:
    """The verdict on one plant for certain, the reason in a sentence without its full stop, and questions.

    `refused` is True for a plant that is listed here, or introduced: no doubt about a name may clear it.
    """

    verdict: str
    reason: str
    refused: bool = False
    questions: tuple[str, ...] = ()
    need: int = 7  # plants that the pond would take of it


class Judge:
    """Grades plants for one pond and the law of its state; the ranking is made once."""

    def __init__(self, pond: Pond, catalogue: Catalogue):
        self.pond, self.catalogue, self.state = pond, catalogue, pond.state
        # every purpose counts: a plant that does nothing the owner asked for may still be lawful and well
        # behaved
        answer = ranking.rank(replace(pond, purposes=tuple(PURPOSES)), catalogue, draws=0)
        self.fits = {p.plant_id: p for p in answer.plants}
        self.out = {r.plant_id: r for r in answer.ruled_out}
        self._grades: dict[str, Grade] = {}
        law = catalogue.tables["law"]
        self.law_only: dict[str, list[tuple[str, str, str]]] = {}
        for taxon, place, status, citation in zip(
            law["taxon"], law["jurisdiction"], law["status"], law["citation"]
        ):
            self.law_only.setdefault(LAW_ONLY + bare_taxon(taxon), []).append((place, status, citation))

    def grade(self, plant_id: str) -> Grade:
        """The grade of a plant of the catalogue, or of a taxon that only a list names."""
        if plant_id not in self._grades:
            self._grades[plant_id] = (
                self._law_only(plant_id) if plant_id.startswith(LAW_ONLY) else self._grade(plant_id)
            )
        return self._grades[plant_id]

    def genus_listed(self, genus: str) -> str:
        """Why no plant of a genus may be cleared here: its listing as a whole, or an empty string."""
        for place, status, citation in self.law_only.get(f"{LAW_ONLY}{genus} spp", ()):
            if place in ("US", self.state) and status in BINDING_LAW:
                where = self._place(place)
                return f"the whole genus {genus.capitalize()} is listed as {status} in {where} ({citation})"
        return ""

    def _place(self, place: str) -> str:
        return "the United States" if place == "US" else STATES[place][0]

    def _law_only(self, plant_id: str) -> Grade:
        rows = [r for r in self.law_only.get(plant_id, ()) if r[1] in BINDING_LAW]
        here = [r for r in rows if r[0] in ("US", self.state)]
        if here:
            place, status, citation = min(here, key=lambda r: r[0] != "US")
            return Grade(LEAVE, f"listed as {status} in {self._place(place)} ({citation})", True)
        where = ", ".join(sorted({r[0] for r in rows})[:6]) or "an advisory list"
        return Grade(
            ASK,
            f"the catalogue does not describe it, and it is listed in {where}",
            True,
            ("Is it native here, and may it be owned here?",),
        )

    def _grade(self, plant_id: str) -> Grade:
        catalogue, record = self.catalogue, self.catalogue.records[plant_id]
        state = STATES[self.state][0]
        listing = catalogue.listed(plant_id, self.state)
        elsewhere = catalogue.listed_elsewhere(plant_id, self.state)
        introduced = record["origin"] == "introduced"
        if listing:
            place, status, taxon, citation, as_of = listing
            dated = f", {as_of}" if as_of and as_of[:4] not in citation else ""
            verdict = ASK if status == "permit" and not introduced else LEAVE
            return Grade(
                verdict,
                f"listed as {status} in {self._place(place)}{listed_as(taxon, record)} ({citation}{dated})",
                True,
                ("Which permit covers it?",) if status == "permit" else (),
            )
        if introduced:
            if self._takes_over(record, elsewhere):
                others = [s for s in elsewhere if s != "watch"]
                told = (
                    f"; listed by law in {', '.join(others[:5])}{' and others' if len(others) > 5 else ''}"
                    if others
                    else ""
                )
                return Grade(LEAVE, f"not native to the United States and known to take over{told}", True)
            return Grade(
                ASK,
                "not native to the United States, or garden-bred: it earns no place by a fishing pond",
                True,
                ("Does it set seed, run or float off, and is there a native that does the same?",),
            )
        if catalogue.status_in(plant_id, self.state) == "introduced":
            return Grade(
                ASK,
                f"introduced in {state}, not native there",
                True,
                (f"Does your agency mind it in {state}?",),
            )
        if plant_id in self.fits:
            return self._fitting(plant_id, elsewhere)
        ruled = self.out.get(plant_id)
        if ruled is None:
            return Grade(ASK, "it could not be judged for this pond")
        if ruled.code == "dry ground":
            return Grade(LEAVE, "a dry-ground plant, not for a pond's edge")
        if ruled.code in ("state", "unknown", "introduced", "use"):
            reason = re.sub(r" \(--[^)]*\)", "", ruled.reason)  # an option of another command
            return Grade(
                ASK, reason, questions=(f"Is it native to {state}?",) if ruled.code == "state" else ()
            )
        return Grade(LEAVE, ruled.reason)

    @staticmethod
    def _takes_over(record: dict, elsewhere: tuple[str, ...]) -> bool:
        fast = record["spread_high_ft_yr"] >= FAST_FT_YR or record["doubling_days"] > 0  # NaN compares false
        return bool(elsewhere) or record["jump"] == "high" or fast or "never plant" in record["cautions"]

    def _fitting(self, plant_id: str, elsewhere: tuple[str, ...]) -> Grade:
        plant = self.fits[plant_id]
        low, _, high = plant.takeover_percent
        group = 1 if plant.growth_form == "tree" else 3 if plant.growth_form == "shrub" else 7
        groups = plant.contained_groups if plant.contained_by else min(plant.groups_wanted, plant.groups_max)
        span = f"{low:.0f} to {high:.0f} %" if high >= 1 else "under 1 %"
        asked = [w for w in self.pond.purposes if self.catalogue.records[plant_id][PURPOSES[w]] > 0]
        use = "" if asked else f", though it does nothing for {' or '.join(self.pond.purposes)}"
        where = f"best on the {plant.stretch}, {plant.band}"
        if "watch" in elsewhere:
            return Grade(
                ASK,
                f"on an advisory list in {STATES[self.state][0]}",
                True,
                ("What does your agency say of it?",),
            )
        if plant.state_status == "unsure":
            return Grade(
                ASK,
                f"whether it is native in {STATES[self.state][0]} is unsure",
                questions=("Where was the seed or stock collected?",),
            )
        if plant.contained_by:
            return Grade(
                CONTAIN,
                f"it fits if held by {in_words(plant.contained_by)}; loose, it could take {span} of the pond "
                f"in ten years{use}",
                need=group * max(1, groups),
            )
        return Grade(
            BUY,
            f"native, {where}; it could take {span} of the pond in ten years{use}",
            need=group * max(1, groups),
        )
