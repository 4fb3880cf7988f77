"""What is no source for a figure: pages that sell plants or help gardeners and fishkeepers to choose them.

The words below are general ones of the trade, never the name of anybody. Public bodies, extension services,
universities and herbaria are let through, whatever they call their pages, unless the name of the producer
itself holds a word of the trade.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING
from urllib.parse import unquote, urlsplit

from plantpick.errors import Problem

if TYPE_CHECKING:
    import pandas as pd

REMEDY = (
    "Rest the figure on an agency, an extension service, a flora or a paper; where none has it, call it "
    "judgement or memory."
)
# a service for choosing plants, wherever the words stand
CHOOSING = re.compile(
    r"\w*finder\b"
    r"|\bplants? ?(?:selector|picker|chooser|matcher)s?\b|\bselectors?\b"
    r"|plants? ?(?:data ?base|db|files)\b"
    r"|\bplants? encyclopa?edia\b|\bencyclopa?edia of (?:\w+ ){0,3}plants\b"
    r"|\b(?:plants?|seeds?|plugs) for sale\b"
    r"|\b(?:nursery|shop|store|vendor|seller)s? (?:catalogs?|catalogues?|pages?|lists?)\b"
    r"|\b(?:product|catalogue?) page\b"
)
# a seller, where an address, a name or a source_id says so; a paper may have these words in its title
SELLING = re.compile(
    r"nurser(?:y|ies)(?:\b|co\b|inc\b)|\w*growers\b|\baquari(?:um|a|ums)\b|\w*aquarium\w*|\baquascap\w*"
    r"|(?<!work)(?<!bi)shops?\b|(?<!re)stores?\b|\bwholesale\w*|\bvendors?\b|\bsellers?\b"
    r"|\bgarden ?(?:cent(?:er|re)s?|suppl(?:y|ies))\b|\bwater ?gardens?\b"
    r"|\bseed (?:company|co)\b|\w+seeds\b"
)
SELLING_HOST = re.compile(
    r"(?<!botanical)(?<!botanic)garden(?!s?\.(?:edu|gov))|fish ?keep|water ?lil(?:y|ies)"
)
SELLING_PATH = re.compile(r"/(?:products?|collections|cart|shop|store)/")
SELLING_PLACE = re.compile(
    r"\b(?:nursery|vendor|shop|store|seller|product|grower)(?:'s)? (?:page|sheet|list|figure|says|gives)\b"
    r"|\((?:a |the )?(?:nursery|vendor|shop|seller)\)|\bquoted from a (?:seller|nursery|shop)\b"
)
PUBLIC = re.compile(
    r"\b(?:usda|nrcs|usgs|usfws|usace|noaa|epa|aphis|dnr|army corps|forest service|geological survey"
    r"|fish (?:and|&) wildlife|parks (?:and|&) wildlife|game commission|natural resources|department of|dept"
    r"|ministry of|government|state of|county|city of|city council|conservation district|soil and water"
    r"|extension|agrilife|ifas|university|herbarium|herbaria)\b"
)


def _words(text: str) -> str:
    """Small letters, with a space wherever a capital, a hyphen or a stop begins a word."""
    parted = re.sub(r"(?<=[a-z0-9])(?=[A-Z])", " ", text)
    return re.sub(r"[^a-z0-9]+", " ", parted.lower()).strip()


def is_public(producer: str) -> bool:
    """Whether a public body, an extension service, a university or a herbarium made the page."""
    return bool(PUBLIC.search(producer.lower())) and not SELLING.search(_words(producer))


def trade_word(source_id: str, title: str, producer: str, url: str) -> tuple[str, str] | None:
    """The column and the words that name a seller or a service for choosing plants, if any do."""
    if is_public(producer):
        return None
    address = urlsplit(url)
    cells = {"source_id": source_id, "title": title, "producer": producer, "url": unquote(url)}
    for column, text in cells.items():
        if found := CHOOSING.search(_words(text)):
            return column, found[0]
    for column, text in {**cells, "title": "", "url": address.netloc}.items():
        if found := SELLING.search(_words(text)):
            return column, found[0]
    host, path = address.netloc.lower(), address.path.lower() + "/"
    if found := SELLING_HOST.search(host) or SELLING_PATH.search(path):
        return "url", found[0]
    return None


def check_sources(tables: dict[str, pd.DataFrame], problems: list[Problem]) -> None:
    """Tell every source, and every place in one, that is a seller's page or a service for choosing plants."""
    sources = tables["sources"]
    for row, *cells in zip(
        sources.index, *(sources[c] for c in ("source_id", "title", "producer", "url")), strict=True
    ):
        if found := trade_word(*cells):
            column, words = found
            problems.append(
                Problem(
                    f"sources.csv:{row + 2}:{column}",
                    f'"{words}" reads like a shop or a service for choosing plants, which is no source.',
                    REMEDY,
                )
            )
    evidence = tables["evidence"]
    told = evidence["locator"].str.lower().str.contains(SELLING_PLACE)
    for row in evidence.index[told]:
        problems.append(
            Problem(
                f"evidence.csv:{row + 2}:locator",
                f'"{evidence.at[row, "locator"]}" names a seller, who is no source.',
                REMEDY,
            )
        )
