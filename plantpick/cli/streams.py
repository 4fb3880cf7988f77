"""Standard output and standard error made safe: code pages that lack our letters, closed streams, narrow terminals."""

from __future__ import annotations

import codecs
import os
import re
import shutil
import sys
import textwrap
from dataclasses import replace

from plantpick.errors import Problem
from plantpick.plain_text import one_line, plain

NARROWEST = 20  # columns

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
    for name in ("stdout", "stderr"):
        if getattr(sys, name) is None:  # closed by whoever started us
            setattr(sys, name, open(os.devnull, "w", encoding="utf-8"))
        elif hasattr(getattr(sys, name), "reconfigure"):
            getattr(sys, name).reconfigure(errors="plantpick")


def let_go() -> None:
    """Standard output leads nowhere from here on, so that the interpreter's own flush at the end says nothing."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), 1)


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
