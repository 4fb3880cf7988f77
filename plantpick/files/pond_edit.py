"""Opens a pond file to change it: sets values and keeps what its owner wrote round them, comments and order too."""

from __future__ import annotations

import os
import re
from pathlib import Path
from typing import Any

import tomlkit
from tomlkit.exceptions import TOMLKitError
from tomlkit.items import AoT, InlineTable, Table, Whitespace

from plantpick.errors import PlantpickError, Problem, did_you_mean
from plantpick.files.open_file import NotRead, read_bytes, read_text
from plantpick.files.pond_file import MOST_BYTES, look_over, toml, toml_remedy
from plantpick.files.save import cannot_write, check_place, save
from plantpick.interview.conversation import (
    ASSUMED,
    Asked,
    Edit,
    Refused,
    answer,
    applied,
    close_list,
    open_questions,
    place_words,
)
from plantpick.interview.questions import BY_WORD, LISTS, PARTS, Question

HEAD = """\
# A pond, described by answering `plantpick pond`. Change it by hand as you like: keys carry their units.
# not_known lists what nobody knew: a value beside it was assumed.
"""
OPEN_LINE = "# Still to answer: "
MOST_ANSWERS_BYTES = 1_000_000


class PondDocument:
    """A pond file being filled in. `told` is what it says, as nested dicts; nothing is written before `save`."""

    def __init__(self, text: str, path: Path, on_disk: bytes | None):
        self.path = path
        self._on_disk = on_disk  # what is there now, None for nothing
        self._document = tomlkit.parse(text)

    @classmethod
    def open(cls, name: str | Path) -> PondDocument:
        """The file of that name, or a new one. Raises PlantpickError `pond-file` for what cannot be read or is wrong."""
        path = Path(name)
        if os.path.isdir(path):
            raise cannot_write(path, "is a folder.", "Give the name of a file in it, as in pond.toml.")
        try:
            raw = _there(path)
            if raw is None:
                _check_new(path)
            text = (raw or b"").decode("utf-8-sig")
            toml(text)  # the reader's own words for a slip come from the same library
            document = cls(_without_open_line(text) if text.strip() else HEAD, path, raw)
        except UnicodeDecodeError:
            raise _refuse(path, "is not UTF-8 text.", "Save it again as plain text in UTF-8.") from None
        except (ValueError, TOMLKitError, RecursionError) as fault:
            raise _refuse(
                path,
                f"is not valid TOML: {fault}.",
                f"Put that line right first, or start with a new file. {toml_remedy(text)}",
            ) from None
        except NotRead as fault:
            raise PlantpickError(
                "pond-file", fault.problem(path, "", "Name the .toml file of a pond.")
            ) from None
        wrong = look_over(document.told)[1]
        if wrong:
            raise PlantpickError(
                "pond-file", [Problem(f"{path}: {p.where}", p.what, p.remedy) for p in wrong]
            )
        return document

    @property
    def told(self) -> dict:
        return self._document.unwrap()

    @property
    def text(self) -> str:
        """The file as it would be written, without the line that says what is open."""
        return tomlkit.dumps(self._document)

    @property
    def name(self) -> str:
        """What the pond is called if nobody says: the file's own name."""
        stem = " ".join(self.path.stem.replace("_", " ").replace("-", " ").split())
        return f"{stem[:1].upper()}{stem[1:]}"[:60] or "My pond"

    def restore(self, text: str) -> None:
        """Take back what was changed since `text` was the file."""
        self._document = tomlkit.parse(text)

    def apply(self, edits: list[Edit]) -> None:
        """Make the edits; comments and order stay."""
        for edit in edits:
            self._make(edit)
            self.restore(self.text)  # what was just made is then laid out as if it had been read

    def _make(self, edit: Edit) -> None:
        table = self._table(edit.section, edit.index)
        if edit.value is None:
            table.pop(edit.key, None)
            return
        value = edit.value
        item = tomlkit.item(int(value) if isinstance(value, float) and value.is_integer() else value)
        if edit.key in table:  # the owner's own comment beside it stays
            holder: Any = table if table is self._document else table.value
            old = holder.item(edit.key).trivia
            item.trivia.comment_ws, item.trivia.comment = old.comment_ws, old.comment
        if edit.comment and not _said_by_owner(item.trivia.comment, edit):
            item.comment(edit.comment)
        if edit.key in table:
            table[edit.key] = item
        elif table is self._document:
            _add_at_top(self._document, edit.key, item)
        else:
            _add_to_table(table, edit.key, item)

    def _table(self, section: str, index: int | None):
        if not section:
            return self._document
        if index is None:
            there = self._document.get(section)
            if not isinstance(there, (Table, InlineTable)) or _is_dotted(self._document, section):
                told = self.told.get(section, {})  # nothing, or keys such as water.ph: from here on a section
                self._document.pop(section, None)
                self._break()
                self._document[section] = tomlkit.item(told) if told else tomlkit.table()
            return self._document[section]
        entries = self._document.get(section)
        if not isinstance(entries, AoT):  # not there, or an empty list, or a list on one line: write sections
            old = entries.unwrap() if entries is not None else []
            self._document.pop(section, None)
            self._break()
            entries = tomlkit.aot()
            for row in old:
                entries.append(tomlkit.item(row))
            self._document[section] = entries
            entries = self._document[section]
        while len(entries) <= index:
            tail = _tail_of(entries[-1].value) if len(entries) else []
            if len(entries):
                entries[-1].value.add(tomlkit.nl())
            entries.append(tomlkit.table())
            for item in tail:  # a comment over the section that follows stays over it
                entries[-1].value.add(item)
        return entries[index]

    def _break(self) -> None:
        """An empty line before a new section."""
        if not self.text.endswith("\n\n"):
            last = list(self._document.body)[-1:] and self._document.body[-1][1]
            inner = last[-1] if isinstance(last, AoT) and len(last) else last
            (inner.value if hasattr(inner, "value") and hasattr(inner.value, "body") else self._document).add(
                tomlkit.nl()
            )

    def save(self, still_open: list[str]) -> None:
        """Write the file, with a first line that says what is open. Raises PlantpickError `cannot-write`."""
        try:
            now = _there(self.path)
        except NotRead as fault:
            raise cannot_write(self.path, fault.what, fault.remedy) from None
        if now != self._on_disk:
            raise cannot_write(
                self.path,
                "was changed by someone else meanwhile.",
                "Nothing was written over it; run the same command again.",
            )
        first = (
            f"{OPEN_LINE}{', '.join(still_open)}. Run plantpick pond on this file again.\n"
            if still_open
            else ""
        )
        data = (first + self.text.rstrip("\n") + "\n").encode("utf-8")
        if data != now:
            save(self.path, data, replace=now is not None)
            self._on_disk = data


def _there(path: Path) -> bytes | None:
    """What the file holds, None where there is none. Raises NotRead."""
    try:
        return read_bytes(path, MOST_BYTES, "a pond file")
    except NotRead as fault:
        if fault.missing:
            return None
        raise


def _check_new(path: Path) -> None:
    """Before the first question: whether a new file of that name can be written. Raises PlantpickError `cannot-write`."""
    if path.suffix.lower() != ".toml":
        raise cannot_write(
            path, "there is no such file.", f"Name a new pond file so that it ends in .toml: {path.stem}.toml"
        )
    check_place(path)


def _is_dotted(document, section: str) -> bool:
    return any(key is not None and key.is_dotted() and key.key == section for key, _ in document.body)


def _said_by_owner(comment: str, edit: Edit) -> bool:
    """Whether a comment is someone's own, rather than one that was written here with an earlier answer."""
    said = comment.lstrip("# ").removesuffix(ASSUMED).rstrip("; ")
    return bool(said) and said != edit.comment.removesuffix(ASSUMED).rstrip("; ")


def _refuse(path: Path, what: str, remedy: str = "") -> PlantpickError:
    return PlantpickError("pond-file", Problem(str(path), what, remedy))


def _without_open_line(text: str) -> str:
    return text.split("\n", 1)[1] if text.startswith(OPEN_LINE) and "\n" in text else text


def _tail_of(container) -> list:
    """Take off and return the empty lines and comments after the last key, from the first empty line on."""
    body = container.body
    end = max((i for i, (key, _) in enumerate(body) if key is not None), default=-1) + 1
    start = next((i for i in range(end, len(body)) if isinstance(body[i][1], Whitespace)), len(body))
    tail = [item for _, item in body[start:]]
    del body[start:]
    return tail


def _add_to_table(table, key: str, item) -> None:
    tail = _tail_of(table.value)
    table.add(key, item)
    if "not_known" in table and key != "not_known":  # it stays last
        listed = table["not_known"]
        table.remove("not_known")
        table.add("not_known", listed)
    for after in tail:
        table.value.add(after)


def _add_at_top(document, key: str, item) -> None:
    """A plain key goes after the last plain key, before comments that stand over the first section."""
    plain = [
        k for k, value in document.body if k is not None and not isinstance(value, (AoT, tomlkit.items.Table))
    ]
    if plain:
        document._insert_after(plain[-1], tomlkit.items.SingleKey(key), item)
    elif any(k is not None for k, _ in document.body):
        start = next(i for i, (k, _) in enumerate(document.body) if k is not None)
        document._insert_at(start, tomlkit.items.SingleKey(key), item)
    else:
        document.add(key, item)


def read_answers(path: Path) -> list[tuple[str, str, str]]:
    """An answers file: (where, word, answer), one from each line `word: answer`. Raises PlantpickError `answers`."""
    try:
        lines = read_text(path, MOST_ANSWERS_BYTES, "an answers file").splitlines()
    except NotRead as fault:
        remedy = "Name a text file with a line `word: answer` for each question."
        raise PlantpickError("answers", fault.problem(path, remedy, remedy)) from None
    found, wrong, without = [], [], 0
    for number, line in enumerate(lines, 1):
        if not line.strip() or line.lstrip().startswith("#"):
            continue
        word, colon, text = line.partition(":")
        word, where = "-".join(word.lower().split()), f"{path}:{number}"
        if not colon:
            without += 1
            wrong.append(
                Problem(where, f'"{line.strip()[:60]}" has no colon.', "Write word: answer, as in state: MS.")
            )
        elif word not in BY_WORD:
            wrong.append(
                Problem(
                    where,
                    f'no question is called "{word[:60]}".',
                    did_you_mean(word, BY_WORD) or f"There are: {', '.join(BY_WORD)}.",
                )
            )
        else:
            found.append((where, word, text.strip()))
    if not found and without > 1:
        what = "holds no answers."
        if any(re.match(r"\s*(?:\[+\w+\]+\s*$|\w+\s*=)", line) for line in lines):
            what = "looks like a pond file, not like a file of answers."
        raise PlantpickError(
            "answers",
            Problem(
                str(path),
                what,
                "Name a text file with a line `word: answer` for each question, as in state: MS.",
            ),
        )
    if wrong:
        raise PlantpickError("answers", wrong)
    return found


def fill_from(document: PondDocument, lines: list[tuple[str, str, str]]) -> None:
    """Give the answers of a file. Raises PlantpickError `answers` with every one that does not fit; changes nothing then.

    `stretch` and `keep-clear` begin an entry (or name one that is there), and the words after them belong to it.
    """
    told, wrong = document.told, []
    edits: list[Edit] = []
    given: set[tuple[str, int | None]] = set()
    at = {section: -1 for section in LISTS}
    for where, word, text in sorted(lines, key=lambda line: _turn(BY_WORD[line[1]])):
        question = BY_WORD[word]
        index = None
        if question.section in LISTS:
            entries = told.get(question.section, [])
            if question.ends_list:
                same = [
                    i for i, e in enumerate(entries) if question.section == "shore" and e.get("name") == text
                ]
                at[question.section] = index = same[0] if same else len(entries)
                if same and (word, index) not in given:
                    given.add((word, index))
                    continue
            elif at[question.section] < 0:
                wrong.append(Problem(where, f"{word} stands before any {LISTS[question.section]}."))
                continue
            else:
                index = at[question.section]
        if (word, index) in given:
            wrong.append(Problem(where, f"{word} is answered twice."))
            continue
        given.add((word, index))
        try:
            made = answer(told, Asked(question, index), text, lambda t: look_over(t)[1])
        except Refused as fault:
            wrong.append(Problem(where, f"{word}: {fault}"))
            continue
        made = close_list(question.section, told) if made is None else made
        told, edits = applied(told, made), edits + made
    lacking = {p.where for p in look_over(told)[0]}
    wrong += [
        Problem(
            str(document.path),
            f"{place_words(told, a)} is not answered.",
            f"Add a line, as in {a.question.word}: ...",
        )
        for a in open_questions(told)
        if _is_lacking(a, lacking) and (a.question.word, a.index) not in given
    ]
    if wrong:
        raise PlantpickError("answers", wrong)
    document.apply(edits)


def _turn(question: Question) -> int:
    """When a line of an answers file is taken: what belongs to an entry of a list with that entry, and before it the outline that
    stretches are counted along."""
    if question.late and question.section not in LISTS:
        return -1
    return PARTS.index(question.section if question.late else question.part)


def _is_lacking(asked: Asked, lacking: set[str]) -> bool:
    """Whether one of the keys that the reader misses is this question's."""
    section = asked.question.section + (f"[{asked.index + 1}]" if asked.index is not None else "")
    wanted = {f"{section}.{key}".lstrip(".") for key in asked.question.keys} | {asked.question.section}
    return bool(lacking & wanted)
