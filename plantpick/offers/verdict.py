"""What may be said of one plant on one pond: buy, buy and contain, ask first, leave it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from plantpick.catalogue.plants import Catalogue
from plantpick.catalogue.taxa import bare_taxon
from plantpick.offers.name_index import LAW_ONLY
from plantpick.pond.model import Pond
from plantpick.ranking import eligibility as gate
from plantpick.ranking import rank
from plantpick.ranking.containment import in_words
from plantpick.ranking.eligibility import Eligibility, eligibility
from plantpick.ranking.ruled_out import not_recorded
from plantpick.vocabulary import BINDING_LAW, HERB_GROUP, PURPOSES, STATES, group_size

BUY, CONTAIN, ASK, LEAVE = "buy", "buy and contain", "ask first", "leave it"
VERDICTS = (BUY, CONTAIN, ASK, LEAVE)  # from the mildest to the worst
NO_PLANT = "no plant"


@dataclass(frozen=True)
class Grade:
    """The verdict on one plant for certain, the reason in a sentence without its full stop, and questions.

    `refused` is True for a plant that is listed here, or introduced: no doubt about a name may clear it.
    """

    verdict: str
    reason: str
    refused: bool = False
    questions: tuple[str, ...] = ()
    need: int = HERB_GROUP  # plants that the pond would take of it


def _takes_over(found: Eligibility) -> str:
    bound = found.elsewhere
    law = (
        f"; listed by law in {', '.join(bound[:5])}{' and others' if len(bound) > 5 else ''}" if bound else ""
    )
    return f"not native to the United States and known to take over{law}"


# Code of the gate: the verdict on an offer of the plant, the reason, and what to ask.
OFFERED: dict[str, tuple[str, Callable[[Eligibility], str], tuple[Callable[[Eligibility], str], ...]]] = {
    gate.LISTED: (LEAVE, lambda e: f"listed as {e.law_dated}", ()),
    gate.PERMIT: (ASK, lambda e: e.law_dated, (lambda e: "Which permit covers it, and who has it?",)),
    gate.PROTECTED: (LEAVE, lambda e: "rare and protected: leave it where it grows", ()),
    gate.DANGER: (LEAVE, lambda e: "dangerous to people or stock: know it, and do not plant it", ()),
    gate.INVADER: (LEAVE, _takes_over, ()),
    gate.INTRODUCED: (
        ASK,
        lambda e: "not native to the United States, or garden-bred: it earns no place by a fishing pond",
        (lambda e: "Does it set seed, run or float off, and is there a native that does the same?",),
    ),
    gate.INTRODUCED_HERE: (
        ASK,
        lambda e: f"introduced in {e.state_name}, not native there",
        (lambda e: f"Does your agency mind it in {e.state_name}?",),
    ),
    gate.DRY_GROUND: (LEAVE, lambda e: "a dry-ground plant, not for a pond's edge", ()),
    gate.NOT_RECORDED: (ASK, not_recorded, (lambda e: f"Is it native to {e.state_name}?",)),
    gate.LITTLE_KNOWN: (
        ASK,
        lambda e: "too little is known of it to place it or to forecast its spread",
        (),
    ),
    gate.WATCHED: (
        ASK,
        lambda e: f"on an advisory list in {e.state_name}",
        (lambda e: "What does your agency say of it?",),
    ),
    gate.UNSURE: (
        ASK,
        lambda e: f"whether it is native in {e.state_name} is unsure",
        (lambda e: "Where was the seed or stock collected?",),
    ),
    gate.CLEAR: (BUY, lambda e: "native", ()),
}
_BY_POND = (gate.WATCHED, gate.UNSURE, gate.CLEAR)  # the pond's own forecast may be worse than the gate


class Judge:
    """Grades plants for one pond and the law of its state; the ranking is made once."""

    def __init__(self, pond: Pond, catalogue: Catalogue):
        self.pond, self.catalogue, self.state = pond, catalogue, pond.state
        # every purpose counts: a plant that does nothing the owner asked for may still be lawful and well
        # behaved
        answer = rank.rank(replace(pond, purposes=tuple(PURPOSES)), catalogue, draws=0)
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
        found = eligibility(self.catalogue, plant_id, self.state)
        verdict, reason, questions = OFFERED[found.code]
        graded = Grade(verdict, reason(found), found.refused, tuple(q(found) for q in questions))
        if found.code not in _BY_POND:
            return graded
        forecast = self._by_pond(plant_id)
        if VERDICTS.index(forecast.verdict) > VERDICTS.index(verdict):
            return replace(forecast, refused=found.refused)
        return forecast if found.code == gate.CLEAR else replace(graded, need=forecast.need)

    def _by_pond(self, plant_id: str) -> Grade:
        """The grade of a plant that the gate lets pass: by its site and its forecast takeover."""
        if plant_id in self.fits:
            return self._fitting(plant_id)
        ruled = self.out.get(plant_id)
        if ruled is None:
            return Grade(ASK, "it could not be judged for this pond")
        return Grade(ASK if ruled.code == "use" else LEAVE, ruled.reason)

    def _fitting(self, plant_id: str) -> Grade:
        plant = self.fits[plant_id]
        low, _, high = plant.takeover_percent
        group = group_size(plant.growth_form)
        groups = plant.contained_groups if plant.contained_by else min(plant.groups_wanted, plant.groups_max)
        span = f"{low:.0f} to {high:.0f} %" if high >= 1 else "under 1 %"
        asked = [w for w in self.pond.purposes if self.catalogue.plant(plant_id).worth(w) > 0]
        use = "" if asked else f", though it does nothing for {' or '.join(self.pond.purposes)}"
        where = f"best on the {plant.stretch}, {plant.band}"
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
