"""Which question is open, what an answer changes in the pond file, and what is known so far.

Pure: `told` is an unfinished pond file as nested dicts, an answer is text, the outcome a list of edits.
"""

from __future__ import annotations

import copy
import re
from collections.abc import Callable
from dataclasses import dataclass

from plantpick.errors import Problem
from plantpick.interview import plain_words
from plantpick.interview.answers import described_ft, shore_ft
from plantpick.interview.questions import FILE_NAME, LISTS, PARTS, QUESTIONS, Question

MOST_ENTRIES = 60  # stretches, or places to keep clear
LONGEST_ANSWER = 300  # letters
ASSUMED = "not known, assumed"  # beside a value that stands in for what nobody knows
_UNITS = (
    ("_acres", " acres"),
    ("_ft", " ft"),
    ("_in", " in"),
    ("_ppt", " parts per thousand"),
    ("_f", " F"),
    ("slope", ":1"),
    ("tolerance", " %"),
)  # ends of keys


class Refused(ValueError):
    """An answer that does not fill its question; the message says what to write instead."""


@dataclass(frozen=True)
class Edit:
    """One key to set, or with None to take out. `index` counts stretches or places from 0; None elsewhere."""

    section: str
    index: int | None
    key: str
    value: object
    comment: str = ""


@dataclass(frozen=True)
class Asked:
    """A question at its place: `index` counts the entries of a list from 0 and is None elsewhere."""

    question: Question
    index: int | None = None


def _entry(told: dict, asked: Asked) -> dict:
    question, index = asked.question, asked.index
    if index is not None:
        entries = told.get(question.section, [])
        return entries[index] if index < len(entries) else {}
    return told.get(question.section, {}) if question.section else told


def is_open(told: dict, asked: Asked) -> bool:
    """Whether a question still waits for its answer ("don't know" is one)."""
    entry, keys = _entry(told, asked), asked.question.keys
    if not asked.question.applies(told, entry):
        return False
    if keys == ("length_ft",) and _ends_on_outline(told, entry):
        return False
    return not any(key in entry or key in entry.get("not_known", []) for key in keys)


def _ends_on_outline(told: dict, entry: dict) -> bool:
    """Whether a stretch's two ends on an outline say how long it is."""
    return ("outline" in told or "outline_ft" in told) and "from_ft" in entry and "to_ft" in entry


def _list_done(told: dict, section: str, closed) -> bool:
    """Whether a list is complete: said to be, or something is answered that is asked after it."""
    if section in closed:
        return bool(told.get(section)) or section != "shore"
    if section == "shore":
        return bool(told.get("shore")) and "keep_clear" in told
    if section == "keep_clear" and "growing" in told:
        return section in told
    return (section in told or section == "growing") and ("goals" in told or "residents" in told)


def open_questions(told: dict, closed=frozenset(), first_only: bool = False) -> list[Asked]:
    """The questions that wait for an answer, in their order; `closed` are lists that were said to be complete."""
    found = []
    for part in PARTS:
        inside = [q for q in QUESTIONS if q.part == part]
        if part in LISTS:
            entries = len(told.get(part, []))
            found += [Asked(q, i) for i in range(entries) for q in inside if is_open(told, Asked(q, i))]
            if not _list_done(told, part, closed):
                found.append(Asked(inside[0], entries))
        elif inside[0].late:
            found += [a for q in inside for a in _of_entries(told, q) if is_open(told, a)]
        else:
            found += [Asked(q) for q in inside if is_open(told, Asked(q))]
        if found and first_only:
            return found[:1]
    return found


def _of_entries(told: dict, question: Question) -> list[Asked]:
    """A question, of every entry that its list has."""
    if question.section not in LISTS:
        return [Asked(question)]
    return [Asked(question, index) for index in range(len(told.get(question.section, [])))]


def unknown_questions(told: dict) -> list[Asked]:
    """The questions that were answered with "don't know"."""
    found = []
    for question in QUESTIONS:
        places = range(len(told.get(question.section, []))) if question.section in LISTS else (None,)
        for index in places:
            entry = _entry(told, Asked(question, index))
            if any(key in entry.get("not_known", []) for key in question.keys):
                found.append(Asked(question, index))
    return found


def usual_answer(told: dict, asked: Asked, file_name: str = "My pond") -> str:
    """The answer that Enter stands for; empty when there is none. `file_name` is what the pond is called otherwise."""
    usual = asked.question.usual(told, _entry(told, asked))
    return file_name if usual == FILE_NAME else usual


_DOES_NOT_KNOW = re.compile(
    r"(?:(?:i|we) )?(?:really |honestly |just )?(?:dont|do not|didnt|couldnt|cant|cannot|wouldnt) "
    r"(?:really |even )?(?:know|remember|recall|say|tell(?: you)?|have (?:a clue|any idea|that))"
    r"|(?:(?:i|we) )?(?:(?:have|has|is|its|it was|was|ive) )?(?:never|not|havent|hasnt|wasnt|isnt)(?: ever| been| yet| had it| had)* "
    r"(?:tested|measured|checked|sounded|tried|known|sure|certain|looked)"
    r"|(?:(?:i|we) )?(?:have )?(?:no|not a|havent a|not any) (?:idea|clue|tests?|data|readings?|guess)"
    r"|im not sure|unknown|dk|idk|dunno|i dunno|unsure|beats me|who knows|nobody knows|no one knows|hard to say|god knows|"
    r"your guess is as good as mine|skip|skip it|skip this|skip that|pass|na|n/a|untested|unmeasured|not yet|no answer|"
    r"not applicable|no se|never did"
)
_KNOWS_NOTHING_MORE = frozenset(  # words that may come with it and add no answer
    "it that this the ph yet really honestly ever sorry of how deep is clear for sure exactly to be honest pond water what "
    "one i we know tested measured checked myself me off hand offhand at all right now cold big long where when zone".split()
)
_COMMANDS = {
    "later": ("later", "quit", "exit", "stop", "q", "bye", "save", "save and quit", "come back later"),
    "back": ("back", "undo", "go back", "previous", "oops"),
    "help": (
        "help",
        "why",
        "what",
        "huh",
        "what do you mean",
        "how",
        "how do i know",
        "explain",
        "why do you ask",
    ),
    "no more": (
        "no more|none|done|no|thats all|nothing|end|finished|nothing more|n|nope|nah|thats it|nothing else|no others|im done|"
        "all done|no thanks|that is all|that is it|no other|not any more|no further|none left|i am done|no thats all|"
        "no thats it|no mas|ya no|no more stretches|no more places|there are no more"
    ).split("|"),
}


def command(text: str, question: Question | None = None) -> str:
    """What an answer asks of the program and not of the pond: unknown, later, back, help, no more, or nothing.

    A question may count a plain "no" as "don't know" (`no_means_unknown`).
    """
    if text.strip() in ("?", "??", "???"):
        return "help"
    told = " ".join(plain_words.words_of(text)).replace("'", "") or plain_words.tidy(text)
    if plain_words.tidy(text) in ("n/a", "n.a", "n. a"):
        return "unknown"
    if question is not None and told in question.no_means_unknown:
        return "unknown"
    if (found := _DOES_NOT_KNOW.match(told)) and (
        set(re.sub(r"\b(?:never|not|havent)\b", "", told[found.end() :]).split()) <= _KNOWS_NOTHING_MORE
    ):
        if told[found.end() : found.end() + 1] in ("", " "):
            return "unknown"
    return next((name for name, phrases in _COMMANDS.items() if told in phrases), "")


def answer(
    told: dict, asked: Asked, text: str, wrong_in: Callable[[dict], list[Problem]]
) -> list[Edit] | None:
    """The edits that an answer makes; None for one that says that a list is complete.

    `wrong_in` is the check of the pond file, for an unfinished one. Raises Refused with what is wrong and what to write.
    """
    question, index, entry = asked.question, asked.index, _entry(told, asked)
    if len(text) > LONGEST_ANSWER:
        raise Refused(f"That is longer than {LONGEST_ANSWER} letters. Say it shorter.")
    said = command(text, question)
    unknown = said == "unknown"
    is_new = index is not None and index >= len(told.get(question.section, []))
    if question.ends_list and is_new and (unknown or said == "no more"):
        if question.section != "shore" or told.get(question.section):
            return None
        raise Refused("Name at least one stretch. If the shore is all alike, call it: all round.")
    if not text.strip() or (unknown and question.needed):
        raise Refused(f"We need this one. {question.find_out}".strip())
    if index is not None and index >= MOST_ENTRIES:
        raise Refused(f"{MOST_ENTRIES} of them is the most we take. Say: no more.")
    try:
        values = (
            (question.assume(told, entry) if question.assume else {})
            if unknown
            else question.read(text, told, entry)
        )
    except ValueError as fault:
        either = "" if question.needed or question.ends_list else " Or say: don't know."
        raise Refused(f"{fault}{either}") from None
    edits = _edits(asked, entry, values, unknown)
    before = {str(p) for p in wrong_in(told)}
    wrong = [p for p in wrong_in(applied(told, edits)) if str(p) not in before]
    if wrong:
        raise Refused(" ".join(_sentence(p) for p in wrong))
    return edits


def close_list(section: str, told: dict) -> list[Edit]:
    """The edits that say a list is complete: an empty one is written down as such."""
    return [] if told.get(section) else [Edit("", None, section, [], "none named")]


def _sentence(problem: Problem) -> str:
    text = f"{problem.what} {problem.remedy}".strip()
    return text[0].upper() + text[1:]


def _edits(asked: Asked, entry: dict, values: dict, unknown: bool) -> list[Edit]:
    keys, place = asked.question.keys, (asked.question.section, asked.index)
    comments = dict(zip(keys, asked.question.comments))
    edits = [Edit(*place, key, None) for key in keys if key in entry and key not in values]
    for key, value in values.items():
        comment = comments.get(key, "")
        edits.append(Edit(*place, key, value, f"{comment}; {ASSUMED}".lstrip("; ") if unknown else comment))
    already = list(entry.get("not_known", []))
    listed = [k for k in already if k not in keys and k not in values]
    if unknown:
        listed += list(values) or [k for k in keys if k not in asked.question.instead]
    if listed != already:
        edits.append(Edit(*place, "not_known", listed or None))
    return edits


def applied(told: dict, edits: list[Edit]) -> dict:
    """A copy of the pond so far with edits made."""
    new = copy.deepcopy(told)
    for edit in edits:
        if edit.index is not None:
            entries = new.setdefault(edit.section, [])
            while len(entries) <= edit.index:
                entries.append({})
            inner = entries[edit.index]
        else:
            inner = new.setdefault(edit.section, {}) if edit.section else new
        if edit.value is None:
            inner.pop(edit.key, None)
        else:
            inner[edit.key] = edit.value
    return new


def shown(told: dict, asked: Asked) -> str:
    """What is known for a question, in a few words; empty where it is open."""
    entry, keys = _entry(told, asked), asked.question.keys
    unknown = [k for k in keys if k in entry.get("not_known", [])]
    if asked.question.section == "residents" and not unknown:
        there = [k.replace("_", " ") for k in keys if entry.get(k)]
        return ", ".join(there) or ("none" if any(k in entry for k in keys) else "")
    if asked.question.word == "where" and not unknown:
        return entry.get("stretch") or ("in the water" if "length_ft" in entry else "")
    values = [_in_words(k, entry[k]) for k in keys if k in entry]
    if unknown:
        return f"not known, {' to '.join(values)} assumed" if values else "not known"
    return "never" if entry.get("frost_free") and "frost_free" in keys else " to ".join(values)


def _in_words(key: str, value) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, (list, tuple)):
        return ", ".join(str(v) for v in value)
    if key == "hardiness_zone":
        return f"zone {value}"
    if not isinstance(value, (int, float)):
        return str(value)
    return f"{value:,.10g}{next((words for end, words in _UNITS if key.endswith(end)), '')}"


def place_words(told: dict, asked: Asked) -> str:
    """A question with its place, as in "length of the dam"."""
    name = (
        _entry(told, asked).get("name") or _entry(told, asked).get("what") or _entry(told, asked).get("plant")
    )
    if asked.index is None or asked.question.ends_list:
        return asked.question.label
    return f"{asked.question.label} of {name}" if name else asked.question.label


def known(told: dict) -> list[str]:
    """What an unfinished pond file says, a line for each question that it answers; a stretch or place on one line."""
    lines = []
    for part in PARTS:
        inside = [q for q in QUESTIONS if q.part == part]
        if part in LISTS:
            for index in range(len(told.get(part, []))):
                words = [(q.label, shown(told, Asked(q, index))) for q in inside[1:]]
                name = shown(told, Asked(inside[0], index)) or "?"
                lines.append(
                    f"{inside[0].label}: {name}: " + ", ".join(f"{label} {w}" for label, w in words if w)
                )
            if told.get(part) == []:
                lines.append(f"{inside[0].label}: none")
        elif inside[0].late:
            lines += [
                f"{place_words(told, a)}: {said}"
                for q in inside
                for a in _of_entries(told, q)
                if (said := shown(told, a))
            ]
        else:
            lines += [f"{q.label}: {said}" for q in inside if (said := shown(told, Asked(q)))]
    return [line.rstrip(": ") for line in lines]


def lead(told: dict, asked: Asked) -> str:
    """The question as it is put: in a list, with the name of what it is about or with what was named so far."""
    question, entry = asked.question, _entry(told, asked)
    if asked.index is None:
        return question.ask
    if not question.ends_list:
        return f"{entry.get('name') or entry.get('what') or entry.get('plant', '')}: {question.ask[0].lower()}{question.ask[1:]}"
    names = [
        str(e.get("name") or e.get("what") or e.get("plant", "")) for e in told.get(question.section, [])
    ]
    if not names:
        return question.ask
    so_far = ""
    if question.section == "shore" and (whole := shore_ft(told)):
        so_far = f", {described_ft(told):,.0f} of about {whole:,.0f} ft"
    return f"So far: {', '.join(names)}{so_far}. The next {LISTS[question.section]}?"
