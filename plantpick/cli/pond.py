"""plantpick pond: a pond file from answered questions."""

from __future__ import annotations

import os
import signal
import sys
import threading
from pathlib import Path

import typer

from plantpick.errors import ExitStatus, PlantpickError, Problem, did_you_mean
from plantpick.plain_text import one_line, shell_word

FILE = typer.Argument(
    ..., metavar="NEW.toml", show_default=False, help="The file to write, or one to go on with."
)
ANSWERS = typer.Option(
    None,
    "--answers",
    metavar="ANSWERS.txt",
    show_default=False,
    help="Take the answers from this text file, a line `word: answer` for each question.",
)
AGAIN = typer.Option(
    [],
    "--again",
    metavar="WORD",
    show_default=False,
    help="Ask this question again, by its word: clarity, drop, ten-feet-out and so on.",
)


def _list_words(wanted: bool) -> None:
    if not wanted:
        return
    from plantpick.interview.questions import QUESTIONS
    from plantpick.show.terminal import console, paragraph

    out = console()
    for question in QUESTIONS:
        paragraph(out, question.word)
        paragraph(out, question.ask, 4)
    raise typer.Exit()


WORDS = typer.Option(
    False,
    "--words",
    callback=_list_words,
    is_eager=True,
    help="List the questions with their words, for --answers and --again.",
)


def pond(
    file: Path = FILE, answers: Path = ANSWERS, again: list[str] = AGAIN, words: bool = WORDS
) -> int | None:
    """Describe your pond by answering questions, about five minutes; writes the pond file.

    Enter takes the answer in brackets. You may also say: don't know (it is left out, or a stated guess stands in), back,
    later (or Ctrl-C: what you said is kept, and the same command goes on from there), ? for more.

    An answers file has the same answers without the asking; a stretch begins a new stretch, and keep-clear a new place:
    state: MS / area: 400 x 250 ft / stretch: north bank / length: 420 ft / ten-feet-out: 30 in / stretch: dam ...

    Example: plantpick pond pond.toml
    """
    from plantpick.files.pond_edit import PondDocument, fill_from, read_answers

    document = PondDocument.open(file)
    if answers:
        if again:
            raise typer.BadParameter("--answers and --again do not go together")
        fill_from(document, read_answers(answers))
        document.save(_open_words(document.told))
        _tell_end(document, "")
        return None
    return _Talk(document, _again(document.told, again)).run()


def _again(told: dict, wanted: list[str]) -> list:
    from plantpick.interview.conversation import Asked
    from plantpick.interview.questions import BY_WORD, LISTS

    unknown = [word for word in wanted if word not in BY_WORD]
    if unknown:
        raise PlantpickError(
            "answers",
            [
                Problem(
                    "--again",
                    f'no question is called "{word}".',
                    did_you_mean(word, BY_WORD) or f"There are: {', '.join(BY_WORD)}.",
                )
                for word in unknown
            ],
        )
    return [
        Asked(BY_WORD[word], index)
        for word in wanted
        for index in (
            range(len(told.get(BY_WORD[word].section, []))) if BY_WORD[word].section in LISTS else [None]
        )
        if BY_WORD[word].applies(told, {} if index is None else told[BY_WORD[word].section][index])
    ]


def _open_words(told: dict, closed=frozenset()) -> list[str]:
    from plantpick.interview.conversation import open_questions, place_words

    return [place_words(told, asked) for asked in open_questions(told, closed)]


class _Talk:
    """One sitting: asks, checks, writes after every answer."""

    def __init__(self, document, again: list):
        from plantpick.show.terminal import console

        self.document, self.again, self.out = document, list(again), console()
        self.closed: frozenset[str] = frozenset()
        self.passed: list = []  # needed questions that nobody could answer now
        self.before: list = []  # what to go back to
        self.part = ""
        self.explained: set[str] = set()
        self.keyboard = _Keyboard()

    def run(self) -> int | None:
        from plantpick.show.terminal import paragraph

        self._greet()
        _open_input()
        try:
            with self.keyboard:
                while (asked := self._next()) is not None:
                    if not self._ask(asked):
                        break
        except (KeyboardInterrupt, EOFError) as end:
            self.out.print()
            _tell_end(self.document, "Left off.", self.closed)
            if isinstance(end, KeyboardInterrupt):
                return 130
            from plantpick.files.pond_file import look_over

            return int(ExitStatus.BAD_INPUT) if look_over(self.document.told)[0] else None
        if os.path.exists(self.document.path) or self.document.told:
            _tell_end(self.document, "", self.closed)
        else:
            paragraph(self.out, "Nothing was written.")
        return None

    def _greet(self) -> None:
        from plantpick.interview.conversation import known, open_questions
        from plantpick.show.terminal import bullets, heading, paragraph

        told = self.document.told
        lines = known(told)
        if lines:
            paragraph(self.out, f"{one_line(self.document.path)} says:")
            bullets(self.out, lines)
        if self.again or open_questions(told, first_only=True):
            heading(
                self.out,
                "Enter takes the answer in [brackets]. You may say: don't know, back, later, ? for more.",
            )

    def _next(self):
        from plantpick.interview.conversation import open_questions

        if self.again:
            return self.again[0]
        waiting = [
            a
            for a in open_questions(self.document.told, self.closed)
            if (a.question.word, a.index) not in self.passed
        ]
        return waiting[0] if waiting else None

    def _ask(self, asked) -> bool:
        """Put one question until it is answered; False when the owner leaves."""
        from plantpick.interview.conversation import Refused, command, usual_answer
        from plantpick.show.terminal import paragraph

        usual = usual_answer(self.document.told, asked, self.document.name)
        self._put(asked, usual)
        while True:
            text = self.keyboard.read_line() or usual
            said = command(text, asked.question)
            if said == "unknown" and usual and asked.question.needed and not asked.question.ends_list:
                text, said = usual, ""  # a name is at hand: the file's
            if said == "later":
                return False
            if said == "back":
                if self._back():
                    return True
                paragraph(self.out, "This is where we began.", 2)
            elif said == "help":
                paragraph(self.out, f"{asked.question.why} {asked.question.find_out}".strip(), 2)
            elif said == "unknown" and asked.question.needed and not asked.question.ends_list:
                paragraph(
                    self.out,
                    f"It stays open, and no answer can do without it. {asked.question.find_out}".strip(),
                    2,
                )
                self.passed.append((asked.question.word, asked.index))
                self.again = self.again[1:]
                return True
            else:
                try:
                    return self._take(asked, text)
                except Refused as fault:
                    paragraph(self.out, str(fault), 2)

    def _put(self, asked, usual: str) -> None:
        from plantpick.interview.conversation import lead
        from plantpick.interview.questions import PARTS
        from plantpick.show.terminal import heading, paragraph

        question = asked.question
        if question.part != self.part or asked.question.ends_list:
            self.part = question.part
            heading(self.out, f"{PARTS.index(question.part) + 1} of {len(PARTS)}")
        paragraph(self.out, lead(self.document.told, asked) + (f" [{usual}]" if usual else ""))
        if question.word not in self.explained:
            self.explained.add(question.word)
            paragraph(self.out, question.why, 2)

    def _take(self, asked, text: str) -> bool:
        from plantpick.files.pond_file import look_over
        from plantpick.interview.conversation import answer, close_list, shown
        from plantpick.show.terminal import paragraph

        edits = answer(self.document.told, asked, text, lambda told: look_over(told)[1])
        self.before.append((self.document.text, self.closed, self.again, list(self.passed)))
        if edits is None:
            self.closed |= {asked.question.section}
            edits = close_list(asked.question.section, self.document.told)
        self.document.apply(edits)
        self.again = self.again[1:]
        self.document.save(_open_words(self.document.told, self.closed))
        kept = shown(self.document.told, asked)
        if kept and kept.lower() != text.strip().lower():
            paragraph(self.out, f"{asked.question.label}: {kept}", 2)
        return True

    def _back(self) -> bool:
        if not self.before:
            return False
        text, self.closed, self.again, self.passed = self.before.pop()
        self.document.restore(text)
        if self.document.told:
            self.document.save(_open_words(self.document.told, self.closed))
        self.part = ""
        return True


def _open_input() -> None:
    """Make the keyboard, or what is piped in, ready to be read: no byte is too strange, and arrow keys work."""
    if sys.stdin is not None and hasattr(sys.stdin, "reconfigure"):
        sys.stdin.reconfigure(errors="replace")
    if sys.stdin is not None and sys.stdin.isatty():
        try:
            import readline  # noqa: F401  input() then has the arrow keys
        except ImportError:
            pass


class _Keyboard:
    """Reads answers. Between them the interrupt key waits until the answer at hand is in the file.

    Pressed twice it does not wait: whatever hangs can be left.
    """

    def __enter__(self) -> None:
        self.reads = self.pressed = False
        self.before = None
        if threading.current_thread() is threading.main_thread():
            self.before = signal.signal(signal.SIGINT, self._interrupt)

    def __exit__(self, kind, fault, trace) -> None:
        if self.before is not None:
            signal.signal(signal.SIGINT, self.before)
        if self.pressed and kind is None:
            raise KeyboardInterrupt

    def _interrupt(self, number, frame) -> None:
        if self.reads or self.pressed:
            raise KeyboardInterrupt
        self.pressed = True

    def read_line(self) -> str:
        """One line as typed, without what cannot be printed. Raises EOFError at the end of input."""
        if self.pressed:
            raise KeyboardInterrupt
        self.reads = True
        try:
            typed = input("> ")
        except (RuntimeError, ValueError, OSError):  # no keyboard, or one that was closed
            raise EOFError from None
        finally:
            self.reads = False
        text = "".join(c for c in typed.replace("\t", " ") if c.isprintable()).strip()
        if typed.strip() and not text:
            text = "?"  # keys that mean nothing are not the Enter that takes the usual answer
        if not sys.stdin.isatty():
            typer.echo(text)
        return text


def _tell_end(document, first: str, closed=frozenset()) -> None:
    """What is kept, what is open, what was not known, and the command to run next."""
    from plantpick.files.pond_file import look_over, read_pond
    from plantpick.interview.conversation import place_words, unknown_questions
    from plantpick.show.terminal import bullets, console, paragraph

    out, told, path = console(), document.told, shell_word(document.path)
    if not os.path.exists(document.path):
        return paragraph(out, f"{first} Nothing was written.".strip())
    paragraph(out, f"{first} Kept in {one_line(document.path)}.".strip())
    unknown = unknown_questions(told)
    if unknown:
        paragraph(out, "Not known, and left out of the answer or guessed, as it will say:")
        bullets(out, (f"{place_words(told, a)} (--again {a.question.word} asks once more)" for a in unknown))
    still = _open_words(told, closed)
    if still:
        paragraph(out, "Still to answer:")
        bullets(out, still)
        paragraph(out, f"Go on any time: plantpick pond {path}")
    if not look_over(told)[0]:
        read_pond(str(document.path))
        paragraph(out, f"Next: plantpick rank {path}")
