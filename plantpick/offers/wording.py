"""The verdict on a reading, its reason in a sentence, and the questions to put to the seller."""

from __future__ import annotations

from plantpick.offers.match import Reading
from plantpick.offers.name_index import NameBook
from plantpick.offers.verdict import ASK, BUY, CONTAIN, LEAVE, Judge
from plantpick.vocabulary import STATES

_FORM_QUESTIONS = {
    "seed": ("How fresh is the seed, and does it need cold before it sprouts?",),
    "tuber": ("When are the tubers dug and sent? They go in before they sprout.",),
    "bare root": (
        "When is it dug and sent? Bare roots go in while dormant or just sprouting, and never dry.",
    ),
    "bunch": ("Are the stems rooted, and rinsed free of other plants?",),
}


class Wording:
    """Words what a line deserves: the worst of its candidates decides."""

    def __init__(self, judge: Judge, book: NameBook, need: int | None):
        self.judge, self.book, self.need = judge, book, need

    def verdict(self, reading: Reading, form: str, banned: tuple[str, ...]) -> tuple:
        if reading.kind == "unknown":
            verdict, reason, questions, need = self._unknown(reading)
        else:
            verdict, reason, questions, need = self._known(reading, form)
        beside = self._beside(reading) if verdict in (BUY, CONTAIN) else ""
        if beside:
            verdict, reason = ASK, f"{_upper(beside)}; {reason}"
            questions = (
                "Which plant is it, and is it that one alone? Ask for the full scientific name in writing.",
            )
        if banned:
            reason += f" The seller's word: not shipped to {' '.join(banned)}."
            if self.judge.state in banned:
                verdict = ASK if verdict in (BUY, CONTAIN) else verdict
                questions = (
                    *questions,
                    f"You do not ship it to {STATES[self.judge.state][0]}: by which law?",
                )
        return (
            verdict,
            reason,
            questions,
            self.need or need,
            tuple(self.book.scientific[p] for p in reading.candidates),
            reading.candidates,
            reading.sure and not beside,
        )

    def _beside(self, reading: Reading) -> str:
        """Which further name on the line stands for a plant that would not be bought here; empty if none."""
        for written, plants in reading.also:
            worse = [p for p in plants if self.judge.grade(p).verdict != BUY]
            if worse:
                return f'"{written}" is named too, and could be {self._list(worse)}'
        return ""

    def _unknown(self, reading: Reading):
        if reading.unnamed:
            return (
                ASK,
                "It sells plants without naming them.",
                ("Which species are in it? Ask for the full list of scientific names in writing.",),
                0,
            )
        said = f" {_upper('; '.join(reading.doubts))}." if reading.doubts else ""
        near = f" Nearest names: {', '.join(reading.nearest)}." if reading.nearest else ""
        listed = self.judge.genus_listed(reading.heading) if reading.heading else ""
        if listed:
            return LEAVE, f"{_upper(listed)}; {reading.phrase} is not in the catalogue.{near}{said}", (), 0
        return (
            ASK,
            f'"{reading.phrase}" is not in the catalogue, and nothing is known of it.{near}{said}',
            ("What is its full scientific name, and is it native here?",),
            0,
        )

    def _known(self, reading: Reading, form: str):
        grades = [(self.judge.grade(p), p) for p in reading.candidates]
        first, plant = grades[0]
        told = [reading.slip] if reading.slip else []
        if reading.sold_as and reading.sure:
            told.append(f"sold as {reading.sold_as}, another name of it")
        slip = f" ({'; '.join(told)})" if told else ""
        if reading.sure:
            return self._certain(reading, first, plant, slip, form)
        refused = [p for g, p in grades if g.refused]
        worst = all(g.verdict == LEAVE for g, _ in grades)
        listed = self.judge.genus_listed(reading.heading) if reading.genus_only else ""
        doubt = "; ".join(reading.doubts) or "the name leaves doubt"
        if worst or listed:
            said = (
                listed
                or f"whichever it is, it is no plant for this pond ({self._name(plant)}: {first.reason})"
            )
            return LEAVE, f"{_upper(doubt)}; {said}{slip}.", (), 0
        may = ""
        if refused:
            those = "that one is" if len(refused) == 1 else "those are"
            may = f", and it could be {self._list(refused)}: {those} forbidden, introduced or on a list"
        return (
            ASK,
            f"{_upper(doubt)}{may}{slip}.",
            ("Which species is it? Ask for the full scientific name in writing.",),
            first.need,
        )

    def _certain(self, reading: Reading, grade, plant: str, slip: str, form: str):
        name = self.book.scientific[plant]
        verdict, reason, questions = grade.verdict, f"{name}{slip}: {grade.reason}", list(grade.questions)
        if (reading.cultivar or reading.hybrid) and not grade.refused:
            what = f"'{reading.cultivar}' is a cultivar" if reading.cultivar else "a hybrid is offered"
            reason = f"{name}{slip}: {what}, not the native itself; {grade.reason}"
            verdict = ASK if verdict in (BUY, CONTAIN) else verdict
            questions.append("Is it the wild plant, grown from seed of this region, or a garden form?")
        if verdict in (BUY, CONTAIN):
            questions += _FORM_QUESTIONS.get(form, ())
        elif verdict == ASK and not questions:
            questions.append("What is its full scientific name, and where does the stock come from?")
        return verdict, f"{reason}.", tuple(questions), grade.need

    def _name(self, plant: str) -> str:
        return self.book.scientific[plant]

    def _list(self, plants: list[str]) -> str:
        names = [self._name(p) for p in plants]
        if len(names) > 3:
            return f"{', '.join(names[:3])} or {len(names) - 3} more"
        return " or ".join([*filter(None, [", ".join(names[:-1])]), names[-1]])


def _upper(text: str) -> str:
    return text[:1].upper() + text[1:]
