"""Text from files and command lines made fit to be shown: no escape sequence, no control character, no turned direction.

Everything that leaves for a terminal, a page or a table comes through here, whoever wrote it.
"""

from __future__ import annotations

import re
import shlex

_SEQUENCE = (  # ECMA-48: control sequences, strings with their end, and what else begins with an escape
    "(?:\x1b\\[|\x9b)[0-?]*[ -/]*[@-~]"
    "|(?:\x1b[\\]PX^_]|[\x9d\x90\x98\x9e\x9f])[^\x07\x1b\x9c\n]{0,4096}(?:\x07|\x1b\\\\|\x9c)"
    "|\x1b[ -/]*[0-~]"
)
_CONTROL = "[\x00-\x08\x0b-\x1f\x7f-\x9f]"  # all but tab and line feed
_TURNED = "[\u061c\u200e\u200f\u202a-\u202e\u2066-\u2069]"  # Unicode's bidirectional controls (UAX 9)
_STRANGE = re.compile(f"{_SEQUENCE}|{_CONTROL}|{_TURNED}")
_UNSEEN = re.compile(f"{_CONTROL}|{_TURNED}")


def plain(text: str) -> str:
    """The text without what a terminal obeys and a reader does not see; tabs and line feeds stay."""
    return text if text.isascii() and text.isprintable() else _STRANGE.sub("", text)


def one_line(text: object) -> str:
    """A file's name, or anything else that must not break its line: line feeds and tabs are written as \\n and \\t."""
    return plain(str(text)).replace("\n", "\\n").replace("\t", "\\t")


def shell_word(path: object) -> str:
    """A file's name as a shell takes it, on one line: quoted where it must be, $'...' where a control character is in it."""
    text = str(path)
    if text.isprintable():
        return shlex.quote(text)
    return "$'" + "".join(_in_dollar_quotes(c) for c in text) + "'"


def _in_dollar_quotes(letter: str) -> str:
    if letter in "\\'":
        return f"\\{letter}"
    if letter.isprintable():
        return letter
    return "".join(f"\\{byte:03o}" for byte in letter.encode("utf-8", "surrogateescape"))


def escaped(json_text: str) -> str:
    """JSON with the same characters written as \\u and four digits: what is read from it is what was put in."""
    return _UNSEEN.sub(lambda found: f"\\u{ord(found[0]):04x}", json_text)
