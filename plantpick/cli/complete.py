"""What the shell offers when Tab is pressed: plant names, pond files, logs, stretches. No heavy import: it must be quick."""

from __future__ import annotations

import csv
import io
import os
from pathlib import Path

from plantpick.files.data_folder import data_folder
from plantpick.files.open_file import NotRead, open_regular, read_text

DEMOS = (
    "demo",
    "demo-south",
    "demo-north",
    "demo-hard",
    "demo-surveyed",
)  # a test compares with pondfile.DEMOS
MOST_BYTES = 1_000_000  # of a pond file
MOST = 60  # more than a screen of them helps nobody


class _Chosen(str):
    """A word that was chosen already. typer keeps only what starts with the typed text, letter case and all."""

    def startswith(self, *_) -> bool:
        return True


def _word(text: str) -> _Chosen:
    """The text as the shell wants it: bash puts it on the line as it is, so that its spaces need a backslash."""
    bash = os.environ.get("_PLANTPICK_COMPLETE") == "complete_bash"
    return _Chosen("".join(f"\\{c}" if c in " '\"()&;`$<>|*?[]#~!\\" else c for c in text) if bash else text)


def _text(path: Path) -> io.TextIOWrapper:
    return io.TextIOWrapper(open_regular(path), encoding="utf-8", newline="")


def plant_names(incomplete: str) -> list[tuple[str, str]]:
    """Names that begin with what was typed, letter case aside, each with the accepted name beside it."""
    typed = incomplete.lower()
    try:
        with _text(data_folder() / "plants.csv") as file:
            rows = csv.reader(file)
            head = next(rows)
            places = [head.index(c) for c in ("plant_id", "scientific_name", "common_name")]
            accepted = {row[places[0]]: (row[places[1]], row[places[2]]) for row in rows}
        found = {
            name: other
            for plant in accepted.values()
            for name, other in (plant, plant[::-1])
            if name.lower().startswith(typed)
        }
        if typed and len(found) < MOST:
            with _text(data_folder() / "names.csv") as file:
                for plant_id, name, *_ in csv.reader(file):
                    if name.lower().startswith(typed) and plant_id in accepted:
                        found.setdefault(name, accepted[plant_id][0])
    except (NotRead, ValueError, StopIteration, IndexError):
        return []
    return [
        (_word(name), other) for name, other in sorted(found.items(), key=lambda pair: pair[0].lower())[:MOST]
    ]


def _files(incomplete: str, endings: tuple[str, ...]) -> list[str]:
    """Files with these endings, and folders, that begin with what was typed."""
    folder, slash, start = incomplete.rpartition("/")
    where = Path(folder + slash) if slash else Path()
    found = []
    try:
        for path in where.iterdir():
            if path.name.startswith(start) and (start.startswith(".") or not path.name.startswith(".")):
                if path.is_dir():
                    found.append(f"{folder}{slash}{path.name}/")
                elif path.suffix.lower() in endings:
                    found.append(f"{folder}{slash}{path.name}")
    except OSError:
        return []
    return [_word(name) for name in sorted(found)]


def pond_files(incomplete: str) -> list[str]:
    """Pond files and the demo ponds."""
    return [*(d for d in DEMOS if d.startswith(incomplete)), *_files(incomplete, (".toml",))]


def ponds_and_tables(incomplete: str) -> list[str]:
    """Pond files, the demo ponds, and tables of ponds."""
    return [
        *(d for d in DEMOS if d.startswith(incomplete)),
        *_files(incomplete, (".toml", ".csv", ".parquet")),
    ]


def log_files(incomplete: str) -> list[str]:
    """Logs, and the demo's."""
    return [*(d for d in ("demo",) if d.startswith(incomplete)), *_files(incomplete, (".csv",))]


def offer_files(incomplete: str) -> list[str]:
    """Offers, and the demo's."""
    return [
        *(d for d in ("demo",) if d.startswith(incomplete)),
        *_files(incomplete, (".txt", ".csv", ".tsv", ".xlsx", ".pdf")),
    ]


def stretches(ctx, incomplete: str) -> list[str]:
    """The stretches of the pond that the command line names already."""
    import tomllib

    given = ctx.params.get("pond") or ctx.params.get("ponds")
    names = [given] if isinstance(given, str) else list(given or ())
    found = []
    for name in names:
        path = Path(name)
        if name in DEMOS and not os.path.exists(path):
            path = data_folder() / "demo" / f"{name.removeprefix('demo').lstrip('-') or 'south'}.toml"
        try:
            shore = tomllib.loads(read_text(path, MOST_BYTES)).get("shore", [])
            found += [
                s["name"]
                for s in shore
                if isinstance(s.get("name"), str) and s["name"].startswith(incomplete)
            ]
        except (NotRead, ValueError, AttributeError, TypeError, RecursionError):
            continue
    return [_word(name) for name in found]
