"""Standard output and standard error made safe: code pages that lack our letters, closed streams, narrow terminals."""

from __future__ import annotations

import codecs
import io
import os
import re
import shutil
import sys
import textwrap
from dataclasses import replace

from plantpick.errors import Problem
from plantpick.plain_text import one_line, plain

NARROWEST = 20  # columns
STDIN, STDOUT, STDERR = 0, 1, 2  # their numbers

# What figures are drawn with, for code pages that cannot show it (Windows' 1252, plain ASCII).
_LINES = {
    **dict.fromkeys("─━═╌╍┄┅┈┉╴╶╸╺", "-"),
    **dict.fromkeys("│┃║╎╏┆┇┊┋╵╷╹╻▏▎▍▌▕▐", "|"),
    **dict.fromkeys("█▉▊▋▇▆▅▓▒▟▙▛▜", "#"),
    **dict.fromkeys("▄▃▂▁", "_"),
    "▀": "'",
    **dict.fromkeys("░·•∙", "."),
    **dict.fromkeys("●◆■◉", "*"),
    "○": "o",
    "→": ">",
    "←": "<",
    "↑": "^",
    "↓": "v",
    "≤": "<=",
    "≥": ">=",
    "≈": "~",
    "−": "-",
    "…": "...",
    "–": "-",
    "—": "-",
    "‘": "'",
    "’": "'",
    "“": '"',
    "”": '"',
    "×": "x",
    "²": "2",
    "½": "1/2",
    "°": " deg",
    "✓": "+",
    "✗": "x",
}


def _stand_in(fault: UnicodeError):
    """For each letter that the code page lacks: a plain one that looks like it, or its number, as JSON writes it."""
    if not isinstance(fault, UnicodeEncodeError):
        raise fault
    out = []
    for letter in fault.object[fault.start : fault.end]:
        code = ord(letter)
        if letter in _LINES:
            out.append(_LINES[letter])
        elif 0x2500 <= code <= 0x257F:
            out.append("+")  # corners and crossings
        elif 0x2800 <= code <= 0x28FF:
            out.append(
                " " if code == 0x2800 else ":" if bin(code - 0x2800).count("1") > 3 else "."
            )  # dots of a chart
        elif 0x2580 <= code <= 0x259F:
            out.append("'")  # quarters of a block
        elif code > 0xFFFF:
            out.append(f"\\u{0xD7C0 + (code >> 10):04x}\\u{0xDC00 + (code & 0x3FF):04x}")
        else:
            out.append(f"\\u{code:04x}")
    return "".join(out), fault.end


def settle() -> None:
    """Make both streams such that nothing that is written can fail for its letters, or for want of a stream."""
    codecs.register_error("plantpick", _stand_in)
    told = os.environ.get("COLUMNS", "").strip()
    if not re.fullmatch(r"-?[0-9]{1,4}", told):
        os.environ.pop("COLUMNS", None)  # no number of columns that there could be
    elif int(told) < NARROWEST:
        os.environ["COLUMNS"] = str(NARROWEST)  # nothing can be drawn on fewer
    _fill_closed_numbers()
    for name in ("stdout", "stderr"):
        if getattr(sys, name) is None:  # closed by whoever started us
            setattr(sys, name, _Nowhere(open(os.devnull, "wb"), encoding="utf-8", write_through=True))
        elif hasattr(getattr(sys, name), "reconfigure"):
            getattr(sys, name).reconfigure(errors="plantpick")


class _Nowhere(io.TextIOWrapper):
    """Stands in for a closed stream and keeps in mind whether anything was meant for it."""

    used = False

    def write(self, text: str) -> int:
        self.used = self.used or bool(text)
        return super().write(text)


def _fill_closed_numbers() -> None:
    """Give the numbers 0 to 2 to the null device where they are free: a file of the owner's must not get one of them, since
    what libraries print by number would land in it."""
    for number in (STDIN, STDOUT, STDERR):
        try:
            os.fstat(number)
        except OSError:
            os.open(os.devnull, os.O_RDWR)  # takes the lowest number that is free


def answer_lost() -> bool:
    """Whether an answer was written to a standard output that had been closed before we started."""
    return isinstance(sys.stdout, _Nowhere) and sys.stdout.used


def let_go(number: int = STDOUT) -> None:
    """This stream leads nowhere from here on, so that the interpreter's own flush at the end says nothing."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), number)


def say(line: str) -> None:
    """One message on standard error. Where nothing can be written there, the exit status has to say it."""
    try:
        print(line, file=sys.stderr, flush=True)
    except OSError:
        let_go(STDERR)


def wrapped(line: str, indent: str = "") -> str:
    """A message for standard error, wrapped to a terminal; one line where it goes to a file, so that it can be searched.

    Words are never broken: a path can be copied.
    """
    line = " ".join(plain(line).split("\n"))
    if not (sys.stderr.isatty() or os.environ.get("COLUMNS", "").isdigit()):
        return indent + line
    width = max(NARROWEST, shutil.get_terminal_size().columns)
    return textwrap.fill(
        line,
        width,
        initial_indent=indent,
        subsequent_indent=indent + "  ",
        break_long_words=False,
        break_on_hyphens=False,
    )


def problem_line(problem: Problem, indent: str = "") -> str:
    """One mistake for standard error; a name of a file with a line feed in it does not break the line."""
    return wrapped(str(replace(problem, where=one_line(problem.where))), indent)
