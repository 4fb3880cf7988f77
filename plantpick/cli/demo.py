"""plantpick demo: invented ponds to try things on."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

import typer

from plantpick.plain_text import one_line, shell_word

# What to try, in this order: what it shows, the command, and the words after it; {file} stands for that file in the folder.
TRIES = (
    ("what fits, place by place", "rank", ("{south.toml}",)),
    ("what to buy from an offer, and what to leave", "offer", ("{south.toml}", "{offer.txt}")),
    ("how many to set, and where", "plan", ("{south.toml}",)),
    (
        "whether what was planted creeps too fast",
        "watch",
        ("{south.toml}", "{log.csv}", "--today", "2027-09-15"),
    ),
    ("the basin from soundings", "depths", ("{surveyed.toml}",)),
    ("what to do this month", "calendar", ("{south.toml}", "{log.csv}", "--today", "2027-09-15")),
    ("a hard pond, and what it rules out", "rank", ("{hard.toml}", "--ruled-out")),
)
SHOWN = 5


def demo(
    context: typer.Context,
    folder: Path = typer.Argument(
        ..., metavar="FOLDER", show_default=False, help="Where to; it is made if it is not there."
    ),
    force: bool = typer.Option(False, "--force", help="Replace files of the same names."),
) -> None:
    """Write invented ponds, an offer, soundings and a log into a folder, and say what to try on them.

    Files that are there already, just as they should be, are kept; others stop it.

    Example: plantpick demo trial
    """
    from plantpick.files.catalogue import MOST_BYTES
    from plantpick.files.data_folder import data_folder
    from plantpick.files.open_file import read_bytes
    from plantpick.files.save import check_outputs, make_folder, save
    from plantpick.show.terminal import console, paragraph

    sources = sorted(
        p for p in (data_folder() / "demo").iterdir() if p.is_file() and not p.name.startswith(".")
    )
    targets = [folder / source.name for source in sources]
    content = {target: read_bytes(source, MOST_BYTES) for source, target in zip(sources, targets)}
    missing = [target for target in targets if not _holds(target, content[target])]
    check_outputs(missing, replace=force, folders_made=True)
    make_folder(folder)
    for target in missing:
        save(target, content[target], replace=force)
    typer.echo(f"{len(targets)} files in {one_line(folder)}, all of them invented:")
    paragraph(console(), ", ".join(t.name for t in targets), 2)
    typer.echo("Try next:")
    for what, line in tries(folder, {t.name for t in targets}, set(_commands(context))):
        typer.echo(f"  {what}:\n    {line}")


def _commands(context: typer.Context) -> Iterable[str]:
    """The names of the commands that there are."""
    return getattr(context.find_root().command, "commands", ())


def _holds(path: Path, content: bytes) -> bool:
    """Whether the file is there as it should be: a run that was stopped is gone on with."""
    from plantpick.files.open_file import NotRead, read_bytes

    try:
        return read_bytes(path, len(content)) == content
    except NotRead:
        return False


def tries(folder: Path, names: set[str], commands: set[str]) -> list[tuple[str, str]]:
    """What to try and its command line, of those whose command and files there are."""
    lines = []
    for what, command, arguments in TRIES:
        files = [a[1:-1] for a in arguments if a.startswith("{")]
        if command in commands and names.issuperset(files):
            words = (shell_word(folder / a[1:-1]) if a.startswith("{") else a for a in arguments)
            lines.append((what, f"plantpick {command} {' '.join(words)}"))
    return lines[:SHOWN]
