"""What you may do with an offer of a plant at one pond: buy, buy and contain, ask first, leave it; why, and what to ask
the seller."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field, replace
from enum import StrEnum

from plantpick.catalogue.plants import Catalogue
from plantpick.catalogue.taxa import bare_taxon
from plantpick.offers.match import Reading, ReadingKind
from plantpick.offers.name_index import LAW_ONLY, NameBook
from plantpick.offers.shipping_terms import StockForm
from plantpick.pond.model import Pond, stretch_words
from plantpick.ranking import rank
from plantpick.ranking.answer_codes import ASK_FIRST, AskFirst, FitCode, PlantCode, Reason
from plantpick.ranking.chances import chance_words
from plantpick.ranking.containment import in_words
from plantpick.ranking.eligibility import Eligibility, GateCode, eligibility
from plantpick.ranking.ruled_out import REASONS, RuledOut, why_barred
from plantpick.units import depth_words
from plantpick.vocabulary import BINDING_LAW, HERB_GROUP, STATES, group_size

RANKED_AT_ONCE = 60  # plants: a ranking of all at once holds 130 MB while it is made


class OfferVerdict(StrEnum):
    """What to do with an offer of a plant, from the mildest to the worst; `NO_PLANT` for a line that offers none.

    `NOT_NEEDED` is a plant that nothing stands against, and that does nothing the owner asked for."""

    NO_PLANT = "no plant"
    BUY = "buy"
    CONTAIN = "buy and contain"
    NOT_NEEDED = "not needed"
    ASK = "ask first"
    LEAVE = "leave it"

    def worse_than(self, other: OfferVerdict) -> bool:
        order = list(OfferVerdict)
        return order.index(self) > order.index(other)


NO_PLANT, BUY, CONTAIN, NOT_NEEDED, ASK, LEAVE = OfferVerdict


class ReasonCode(StrEnum):
    """Why a line got its verdict, where the plant's own code (`PlantCode`) does not say it: what the line leaves in doubt."""

    ANY_OF_THESE = "any of these"
    NOT_JUDGED = "not judged"
    LISTED_ELSEWHERE = "listed elsewhere"
    GENUS_LISTED = "genus listed"
    ALL_LEFT = "every plant so called"
    MAYBE_REFUSED = "could be refused"
    NAME = "name in doubt"
    SECOND_PLANT = "second plant"
    GARDEN_FORM = "garden form"
    UNKNOWN = "not in the catalogue"
    UNNAMED = "not named"
    UNOPENED = "not opened"
    NOT_SHIPPED = "not shipped here"
    IN_PLACE = "others in their place"
    WILD_DUG = "dug in the wild"


AnswerCode = PlantCode | ReasonCode


@dataclass(frozen=True, slots=True)
class Question:
    """What to ask the seller: in a few words beside the line, and in full."""

    short: str
    text: str


@dataclass(frozen=True, kw_only=True)
class Grade:
    """The verdict on one plant for certain, its code, the reason in a sentence without its full stop and in eight words at
    the most, and questions.

    `refused` is True for a plant that is listed here, or introduced: no doubt about a name may clear it. `groups` are
    the groups that the pond takes, 0 where that was not forecast, of `group` plants each. The chances (0 to 1) are those of
    passing the limit if it stands loose and if it is held, None where that was not forecast.
    `ranked` is the plant's line in the ranking, where it has one, `good_for` the purposes that the owner did not name, of a plant
    that is not needed.
    """

    verdict: OfferVerdict
    code: AnswerCode
    reason: str
    short: str
    refused: bool = False
    questions: tuple[Question, ...] = ()
    groups: int = 0
    group: int = HERB_GROUP
    contained_by: tuple[str, ...] = ()
    chance_over_cap: float | None = None
    chance_over_cap_contained: float | None = None
    ranked: rank.RankedPlant | None = field(default=None, compare=False, repr=False)
    good_for: tuple[str, ...] = ()

    @property
    def need(self) -> int:
        """Plants for the groups that the pond takes; for one group where that was not forecast; none of what is not needed."""
        return 0 if self.verdict is NOT_NEEDED else self.group * max(1, self.groups)


def _takes_over(found: Eligibility) -> str:
    bound = found.elsewhere
    law = (
        f"; listed by law in {', '.join(bound[:5])}{' and others' if len(bound) > 5 else ''}" if bound else ""
    )
    return f"{why_barred(found)}{law}"


PAPERS = Question(
    "which papers show it's grown?", "Is it nursery-grown, and what papers show that?"
)  # asked of a plant that may be protected in the wild

_Offered = tuple[OfferVerdict, Callable[[Eligibility], str], tuple[Callable[[Eligibility], Question], ...]]


def _asked(asks: AskFirst) -> _Offered:
    question = Question(asks.short_question, asks.question)
    return ASK, asks.why, (lambda e: question,)


# Code of the gate: the verdict on an offer of the plant, the reason, and what to ask.
OFFERED: dict[GateCode, _Offered] = {
    GateCode.LISTED: (LEAVE, lambda e: f"listed as {e.law_dated}", ()),
    GateCode.PERMIT: (
        ASK,
        lambda e: e.law_dated,
        (lambda e: Question("which permit?", "Which permit covers it, and who holds it?"),),
    ),
    GateCode.PROTECTED: (LEAVE, why_barred, ()),
    GateCode.DANGER: (LEAVE, why_barred, ()),
    GateCode.INVADER: (LEAVE, _takes_over, ()),
    GateCode.INTRODUCED: (LEAVE, why_barred, ()),
    GateCode.INTRODUCED_HERE: (LEAVE, why_barred, ()),
    GateCode.DRY_GROUND: (LEAVE, why_barred, ()),
    GateCode.NOT_RECORDED: (LEAVE, why_barred, ()),
    GateCode.LITTLE_KNOWN: (
        ASK,  # a native of this state: nothing stands against it but that nobody knows what it would do
        why_barred,
        (
            lambda e: Question(
                "how deep and how far?", "How deep does it stand, and how far does it spread?"
            ),
            lambda e: PAPERS,
        ),
    ),
    **{code: _asked(asks) for code, asks in ASK_FIRST.items()},
    GateCode.CLEAR: (BUY, lambda e: "native", ()),
}
_BY_POND = (*ASK_FIRST, GateCode.CLEAR)  # the pond's own forecast may be worse than the gate


# The same in at most eight words.
SHORT: dict[GateCode, Callable[[Eligibility], str]] = {
    GateCode.LISTED: lambda e: _short_listing(e),
    GateCode.PERMIT: lambda e: f"needs a permit in {e.state_name}",
    GateCode.PROTECTED: lambda e: "rare and protected: leave it growing wild",
    GateCode.DANGER: lambda e: "dangerous to people or stock",
    GateCode.INVADER: lambda e: "not native, and it takes over",
    GateCode.INTRODUCED: lambda e: "not native, or garden-bred",
    GateCode.INTRODUCED_HERE: lambda e: f"not native in {e.state_name}, brought there",
    GateCode.DRY_GROUND: lambda e: "a dry-ground plant",
    GateCode.NOT_RECORDED: lambda e: f"not recorded in {e.state_name}",
    GateCode.LITTLE_KNOWN: lambda e: "we know it by name only",
    **{code: asks.short for code, asks in ASK_FIRST.items()},
    GateCode.CLEAR: lambda e: "native",
}


def _short_listing(found: Eligibility) -> str:
    listing = found.listing
    if listing is None:
        return ""
    if listing.status == "permit":
        return f"allowed by permit only in {listing.where}"
    return _listed_short(listing.status, listing.place, listing.where)


def _listed_short(status: str, jurisdiction: str, where: str) -> str:
    return f"federally listed as {status}" if jurisdiction == "US" else f"listed as {status} in {where}"


def _with_papers(grade: Grade, found: Eligibility) -> Grade:
    """The grade with what lists of protected plants say, and the question for its papers, where it is on one."""
    if not found.protection or grade.verdict == LEAVE:
        return grade
    return replace(grade, reason=f"{grade.reason}; {found.protection}", questions=(*grade.questions, PAPERS))


class Judge:
    """Grades plants for one pond and the law of its state. Each plant is ranked once, when it is first met."""

    def __init__(self, pond: Pond, catalogue: Catalogue):
        self.pond, self.catalogue, self.state = pond, catalogue, pond.state
        self.fits: dict[str, rank.RankedPlant] = {}
        self.out: dict[str, RuledOut] = {}
        self._known: dict[str, Eligibility] = {}
        self._grades: dict[str, Grade] = {}
        law = catalogue.tables["law"]
        self.law_only: dict[str, list[tuple[str, str, str]]] = {}
        for taxon, place, status, citation in zip(
            law["taxon"], law["jurisdiction"], law["status"], law["citation"]
        ):
            self.law_only.setdefault(LAW_ONLY + bare_taxon(taxon), []).append((place, status, citation))

    def prepare(self, plant_ids: Iterable[str]) -> None:
        """Rank those of these plants that the gate lets pass and that are not ranked yet, many at a time."""
        fresh = [p for p in dict.fromkeys(plant_ids) if p not in self._known and not p.startswith(LAW_ONLY)]
        passed = [p for p in fresh if self._gate(p).code in _BY_POND]
        for start in range(0, len(passed), RANKED_AT_ONCE):
            some = passed[start : start + RANKED_AT_ONCE]
            answer = rank.rank(self.pond, self.catalogue, places=False, only=some)
            self.fits |= {p.plant_id: p for p in answer.plants}
            self.out |= {r.plant_id: r for r in answer.ruled_out}

    def _gate(self, plant_id: str) -> Eligibility:
        found = self._known.get(plant_id)
        if found is None:
            found = self._known[plant_id] = eligibility(self.catalogue, plant_id, self.state)
        return found

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
            where = self._place(place)
            return Grade(
                verdict=LEAVE,
                code=GateCode.LISTED,
                reason=f"listed as {status} in {where} ({citation})",
                short=_listed_short(status, place, where),
                refused=True,
            )
        where = ", ".join(sorted({r[0] for r in rows})[:6]) or "an advisory list"
        return Grade(
            verdict=ASK,
            code=ReasonCode.LISTED_ELSEWHERE,
            reason=f"our catalogue does not describe it, and it is listed in {where}",
            short="listed in other states",
            refused=True,
            questions=(Question("may I own it here?", "May it be owned here, and which law says so?"),),
        )

    def _grade(self, plant_id: str) -> Grade:
        self.prepare((plant_id,))
        found = self._gate(plant_id)
        verdict, reason, questions = OFFERED[found.code]
        graded = Grade(
            verdict=verdict,
            code=found.code,
            reason=reason(found),
            short=SHORT[found.code](found),
            refused=found.refused,
            questions=tuple(q(found) for q in questions),
        )
        if found.code not in _BY_POND:
            return graded
        forecast = _with_papers(self._by_pond(plant_id), found)
        graded = _with_papers(graded, found)
        if forecast.verdict.worse_than(verdict):
            return replace(forecast, refused=found.refused)
        if found.code == GateCode.CLEAR:
            return forecast
        if forecast.verdict is NOT_NEEDED:
            return replace(forecast, reason=f"{forecast.reason}; {graded.reason}", questions=graded.questions)
        return replace(
            graded,
            groups=forecast.groups,
            group=forecast.group,
            chance_over_cap=forecast.chance_over_cap,
            chance_over_cap_contained=forecast.chance_over_cap_contained,
            contained_by=forecast.contained_by,
            ranked=forecast.ranked,
        )

    def _by_pond(self, plant_id: str) -> Grade:
        """The grade of a plant that the gate lets pass: by its site and its forecast takeover."""
        if plant_id in self.fits:
            return self._fitting(plant_id)
        ruled = self.out.get(plant_id)
        if ruled is None:
            return Grade(
                verdict=ASK,
                code=ReasonCode.NOT_JUDGED,
                reason="we could not judge it for this pond",
                short="we could not judge it for this pond",
            )
        return Grade(
            verdict=NOT_NEEDED if ruled.code is Reason.USE else LEAVE,
            code=ruled.answer_code,
            reason=ruled.reason,
            short=REASONS[ruled.code]
            if ruled.chance is None
            else f"{chance_words(ruled.chance)} of passing your limit",
            chance_over_cap=ruled.chance,
            good_for=ruled.good_for,
        )

    def _fitting(self, plant_id: str) -> Grade:
        plant = self.fits[plant_id]
        if plant.poor:
            return Grade(
                verdict=LEAVE,
                code=plant.answer_code,
                reason=f"the best place you have is poor for it: {plant.against}",
                short="your best place is poor for it",
                chance_over_cap=plant.chance_over_cap,
                chance_over_cap_contained=plant.chance_over_cap_contained,
                ranked=plant,
            )
        low, _, high = plant.takeover_percent
        span = f"{low:.0f} to {high:.0f} %" if high >= 1 else "under 1 %"
        fair = f"; even its best place is only fair: {plant.against}" if plant.against else ""
        where = f"best on {stretch_words(plant.stretch)}, {depth_words(plant.depth_in)}"
        if plant.contained_by:
            return Grade(
                verdict=CONTAIN,
                code=FitCode.HELD,
                reason=f"it fits if held by {in_words(plant.contained_by)}; loose, it could take {span} of the pond "
                f"in ten years ({chance_words(plant.chance_over_cap)} of passing your limit){fair}",
                short="native; it fits if you hold it",
                chance_over_cap=plant.chance_over_cap,
                chance_over_cap_contained=plant.chance_over_cap_contained,
                ranked=plant,
                groups=plant.groups_planned,
                group=group_size(plant.growth_form),
                contained_by=plant.contained_by,
            )
        return Grade(
            verdict=BUY,
            code=FitCode.FITS,
            reason=f"native, {where}; it could take {span} of the pond in ten years "
            f"({chance_words(plant.chance_over_cap)} of passing your limit){fair}",
            short="native, and it fits",
            chance_over_cap=plant.chance_over_cap,
            ranked=plant,
            groups=plant.groups_planned,
            group=group_size(plant.growth_form),
        )


_FORM_QUESTIONS = {
    StockForm.SEED: (
        Question("how fresh is the seed?", "How fresh is the seed, and does it need cold before it sprouts?"),
    ),
    StockForm.TUBER: (
        Question("when are tubers dug?", "When are the tubers dug and sent? They go in before they sprout."),
    ),
    StockForm.BARE_ROOT: (
        Question(
            "when is it dug?",
            "When is it dug and sent? Bare roots go in while dormant or just sprouting, and never dry.",
        ),
    ),
    StockForm.BUNCH: (
        Question("rooted and rinsed?", "Are the stems rooted, and rinsed free of other plants?"),
    ),
}


@dataclass(frozen=True, kw_only=True)
class LineAnswer:
    """What a reading deserves at this pond: the verdict with its code, why in full and in at most eight words, what to
    ask, and how many plants the pond would take."""

    verdict: OfferVerdict
    code: AnswerCode
    why: str
    short: str
    questions: tuple[Question, ...] = ()
    need: int = 0
    groups: int = 0
    group: int = 0
    contained_by: tuple[str, ...] = ()
    chance_over_cap: float | None = None
    chance_over_cap_contained: float | None = None
    ranked: rank.RankedPlant | None = None
    good_for: tuple[str, ...] = ()
    candidates: tuple[str, ...] = ()
    common_name: str = ""
    sure: bool = False
    refused: tuple[str, ...] = ()


UNOPENED = LineAnswer(
    verdict=OfferVerdict.ASK,
    code=ReasonCode.UNOPENED,
    why="It came with the offer and was not read: what it offers is not judged here. Save it and check it by itself.",
    short="not read: save it, check it by itself",
    questions=(Question("save it, and check it", "Will you send the list in the message itself?"),),
)


class LineJudge:
    """Answers readings: the worst of the candidates decides."""

    def __init__(self, judge: Judge, book: NameBook, need: int | None):
        self.judge, self.book, self.need = judge, book, need

    def answer(self, reading: Reading, form: StockForm, banned: tuple[str, ...]) -> LineAnswer:
        """The answer to a reading of plants offered in one form, which the seller does not ship to `banned` states."""
        found = self._unknown(reading) if reading.kind == ReadingKind.UNKNOWN else self._known(reading, form)
        beside = self._beside(reading, found.verdict)
        if beside:
            found = replace(
                found,
                verdict=ASK,
                code=ReasonCode.SECOND_PLANT,
                why=f"{_upper(beside)}; {found.why}",
                short="a second plant is named beside it",
                questions=(
                    Question(
                        "which plant is it?",
                        "Which plant is it, and is it that one alone? Ask for the full scientific name in writing.",
                    ),
                ),
            )
        if banned:
            found = self._not_shipped(found, banned)
        return replace(
            found,
            need=found.need if found.verdict is NOT_NEEDED else self.need or found.need,
            candidates=tuple(self.book.scientific[p] for p in reading.candidates),
            common_name=self.book.common.get(reading.candidates[0], "") if reading.candidates else "",
            sure=reading.sure and not beside,
        )

    def _not_shipped(self, found: LineAnswer, banned: tuple[str, ...]) -> LineAnswer:
        """The answer with the states that the seller does not ship to; where the pond is in one, what to ask."""
        found = replace(found, why=f"{found.why} The seller does not ship it to {' '.join(banned)}.")
        if self.judge.state not in banned:
            return found
        state = STATES[self.judge.state][0]
        asked = (
            *found.questions,
            Question("why not shipped here?", f"You don't ship it to {state}. Which law stops you?"),
        )
        if found.verdict not in (BUY, CONTAIN):
            return replace(found, questions=asked)
        return replace(
            found,
            verdict=ASK,
            code=ReasonCode.NOT_SHIPPED,
            short="the seller does not ship it here",
            questions=asked[-1:] + asked[:-1],
        )

    def _beside(self, reading: Reading, verdict: OfferVerdict) -> str:
        """Which further name on the line stands for a plant that would not be bought here, or that stands worse than one that is
        not needed; empty if none."""
        if verdict not in (BUY, CONTAIN, NOT_NEEDED):
            return ""
        allowed = (BUY, CONTAIN, NOT_NEEDED) if verdict is NOT_NEEDED else (BUY,)
        for written, plants in reading.also:
            worse = [p for p in plants if self.judge.grade(p).verdict not in allowed]
            if worse:
                return f'"{written}" is named too, and could be {self._list(worse)}'
        return ""

    def _unknown(self, reading: Reading) -> LineAnswer:
        if reading.unnamed:
            return LineAnswer(
                verdict=ASK,
                code=ReasonCode.UNNAMED,
                why="This line sells plants without naming them.",
                short="plants sold without their names",
                questions=(
                    Question(
                        "which species are in it?",
                        "Which species are in it? Ask for the full list of scientific names in writing.",
                    ),
                ),
            )
        said = f" {_upper('; '.join(reading.doubts))}." if reading.doubts else ""
        near = f" Nearest names: {', '.join(reading.nearest)}." if reading.nearest else ""
        listed = self.judge.genus_listed(reading.heading) if reading.heading else ""
        if listed:
            why = f"{_upper(listed)}; {reading.phrase} is not in our catalogue.{near}{said}"
            return LineAnswer(
                verdict=LEAVE, code=ReasonCode.GENUS_LISTED, why=why, short="its whole genus is listed here"
            )
        return LineAnswer(
            verdict=ASK,
            code=ReasonCode.UNKNOWN,
            why=f'"{reading.phrase}" is not in our catalogue, so we know nothing about it.{near}{said}',
            short="not in our catalogue",
            questions=(Question("full scientific name?", "What is its full scientific name?"),),
        )

    def _known(self, reading: Reading, form: StockForm) -> LineAnswer:
        grades = [(self.judge.grade(p), p) for p in reading.candidates]
        first, plant = grades[0]
        told = [reading.slip] if reading.slip else []
        if reading.sold_as and reading.sure:
            told.append(f"sold as {reading.sold_as}, another name of it")
        slip = f" ({'; '.join(told)})" if told else ""
        if reading.sure:
            return self._certain(reading, first, plant, slip, form)
        unneeded = all(g.verdict is NOT_NEEDED for g, _ in grades)
        if reading.shared and (unneeded or all(g.verdict in (BUY, CONTAIN) for g, _ in grades)):
            return self._any_of(reading, grades, form)
        refused = [p for g, p in grades if g.refused]
        worst = all(g.verdict == LEAVE for g, _ in grades)
        listed = self.judge.genus_listed(reading.heading) if reading.genus_only else ""
        doubt = "; ".join(reading.doubts) or "the name leaves a doubt"
        if worst or listed:
            said = (
                listed
                or f"whichever it is, don't plant it in this pond ({self._name(plant)}: {first.reason})"
            )
            shorts = {g.short for g, _ in grades}
            return LineAnswer(
                verdict=LEAVE,
                code=ReasonCode.GENUS_LISTED
                if listed
                else ReasonCode.ALL_LEFT
                if len(grades) > 1
                else first.code,
                chance_over_cap=first.chance_over_cap if len(grades) == 1 else None,
                why=f"{_upper(doubt)}; {said}{slip}.",
                short=(
                    "its whole genus is listed here"
                    if listed
                    else shorts.pop()
                    if len(shorts) == 1
                    else "refused, whichever plant it is"
                ),
            )
        may = ""
        if refused:
            those = "that one is" if len(refused) == 1 else "those are"
            may = f", and it could be {self._list(refused)}: {those} forbidden, introduced or on a list"
        return LineAnswer(
            verdict=ASK,
            code=ReasonCode.MAYBE_REFUSED if refused else ReasonCode.NAME,
            why=f"{_upper(doubt)}{may}{slip}.",
            short=(
                "could be a plant we refuse"
                if refused
                else "one name, several plants"
                if len(grades) > 1
                else "the name leaves a doubt"
            ),
            questions=(
                Question(
                    "which species?", "Which species is it? Ask for the full scientific name in writing."
                ),
            ),
            need=first.need,
            refused=tuple(map(self._name, refused)),
        )

    def _any_of(self, reading: Reading, grades: list[tuple[Grade, str]], form: StockForm) -> LineAnswer:
        """A common name of several plants that are all fine here."""
        verdict = max((g.verdict for g, _ in grades), key=list(OfferVerdict).index)
        worst, plant = next((g, p) for g, p in grades if g.verdict == verdict)
        doubt = "; ".join(reading.doubts)
        alike = "none of these is needed" if verdict is NOT_NEEDED else "any of these is fine here"
        why = f"{_upper(doubt)}; {alike}: {self._list([p for _, p in grades])} ({self._name(plant)}: {worst.reason})."
        fewest = min((g for g, _ in grades), key=lambda g: g.need)
        return LineAnswer(
            verdict=verdict,
            code=Reason.USE if verdict is NOT_NEEDED else ReasonCode.ANY_OF_THESE,
            why=why,
            short=worst.short if verdict is NOT_NEEDED else "any plant of this name is fine",
            questions=_FORM_QUESTIONS.get(form, ()),
            need=fewest.need,
            groups=fewest.groups,
            group=fewest.group,
            contained_by=worst.contained_by,
            chance_over_cap=worst.chance_over_cap,
            chance_over_cap_contained=worst.chance_over_cap_contained,
            good_for=worst.good_for,
        )

    def _certain(self, reading: Reading, grade: Grade, plant: str, slip: str, form: StockForm) -> LineAnswer:
        name = self.book.scientific[plant]
        found = LineAnswer(
            verdict=grade.verdict,
            code=grade.code,
            why=f"{name}{slip}: {grade.reason}.",
            short=grade.short,
            questions=grade.questions,
            need=grade.need,
            groups=grade.groups,
            group=grade.group,
            contained_by=grade.contained_by,
            chance_over_cap=grade.chance_over_cap,
            chance_over_cap_contained=grade.chance_over_cap_contained,
            ranked=grade.ranked,
            good_for=grade.good_for,
        )
        if (reading.cultivar or reading.hybrid) and not grade.refused:
            found = self._garden_form(found, reading, f"{name}{slip}", grade)
        if found.verdict in (BUY, CONTAIN):
            return replace(found, questions=(*found.questions, *_FORM_QUESTIONS.get(form, ())))
        if found.verdict == ASK and not found.questions:
            return replace(
                found,
                questions=(
                    Question(
                        "where is it from?",
                        "What is its full scientific name, and where does the stock come from?",
                    ),
                ),
            )
        return found

    def _garden_form(self, found: LineAnswer, reading: Reading, name: str, grade: Grade) -> LineAnswer:
        """The answer for a cultivar or a hybrid of a native: ask first at best."""
        what = f"'{reading.cultivar}' is a cultivar" if reading.cultivar else "a hybrid is offered"
        found = replace(found, why=f"{name}: {what}, not the native itself; {grade.reason}.")
        question = Question(
            "wild plant or garden form?",
            "Is it the wild plant, grown from seed of this region, or a garden form?",
        )
        if found.verdict not in (BUY, CONTAIN):
            return replace(found, questions=(*found.questions, question))
        return replace(
            found,
            verdict=ASK,
            code=ReasonCode.GARDEN_FORM,
            short="a garden form, not the native itself",
            questions=(question, *found.questions),
        )

    def _name(self, plant: str) -> str:
        return self.book.scientific[plant]

    def _list(self, plants: list[str]) -> str:
        names = [self._name(p) for p in plants]
        if len(names) > 3:
            return f"{', '.join(names[:3])} or {len(names) - 3} more"
        return " or ".join([*filter(None, [", ".join(names[:-1])]), names[-1]])


def _upper(text: str) -> str:
    return text[:1].upper() + text[1:]
