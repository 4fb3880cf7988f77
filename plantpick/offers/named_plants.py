"""Plants named by their owner: in a few words on a command line, or a list of what can be had, one name a line."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import replace

from plantpick.catalogue.plants import Catalogue
from plantpick.errors import PlantpickError, Problem
from plantpick.offers.check import Line
from plantpick.offers.match import ReadingKind
from plantpick.offers.name_index import name_book
from plantpick.offers.read_names import read_names

_COMMENT = re.compile(r"(?:^|\s)#.*")


def plants_called(
    names: Iterable[str], catalogue: Catalogue, where: str, every: bool = False
) -> tuple[str, ...]:
    """The plant_ids for names; with `every` all plants that share a name or a genus. Raises PlantpickError `no-such-plant` with
    every name that is no plant's, or not one plant's; `where` says where they stood."""
    found: list[str] = []
    problems: list[Problem] = []
    for name in names:
        try:
            found += catalogue.called(name) if every else (catalogue.find(name),)
        except PlantpickError as fault:
            problems += [replace(problem, where=where) for problem in fault.problems]
    if problems:
        raise PlantpickError("no-such-plant", problems)
    return tuple(dict.fromkeys(found))


def plants_listed(lines: Iterable[Line], catalogue: Catalogue, where: str) -> tuple[str, ...]:
    """The plant_ids of a list with one plant a line, by any name, with or without what else a nursery puts there.

    Lines without a letter, headings of columns and what stands behind a # are passed over. A name with a slip in it is not taken for
    the one that it is near. Raises PlantpickError `plant-list` with every line that does not
    name one plant, and for a list that names none.
    """
    book, found, problems = name_book(catalogue), set(), []
    for line in lines:
        text = _COMMENT.sub("", line.text).strip()
        if line.header or not any(c.isalpha() for c in text):
            continue
        try:
            found.add(catalogue.find(text))
        except PlantpickError as fault:
            reading = read_names(text, book)
            if (
                reading.kind is ReadingKind.PLANT
                and reading.sure
                and len(reading.candidates) == 1
                and not reading.slip
            ):
                found.add(reading.candidates[0])
                continue
            problems += [replace(p, where=f"{where}, line {line.number}") for p in fault.problems]
    if problems:
        raise PlantpickError("plant-list", problems)
    if not found:
        raise PlantpickError(
            "plant-list", Problem(where, "it names no plant.", "Write one plant a line, by any of its names.")
        )
    return tuple(sorted(found))
