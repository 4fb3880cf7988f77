"""The tables of the catalogue cut down to some plants: sound, and read and checked in no time."""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path

import pandas as pd

from plantpick.catalogue.checks import NAMING_PLANTS, SOURCED
from plantpick.catalogue.schema import TABLES
from plantpick.files.data_folder import data_folder

EVERY = 60  # of the plants, and those that tests name:
NAMED = (
    "acer-rubrum",
    "chara-spp",
    "iris-versicolor",
    "iris-virginica",
    "juncus-effusus",
    "juncus-torreyi",
    "nymphaea-odorata",
    "pontederia-cordata",
    "typha-latifolia",
)


@lru_cache(maxsize=1)
def _cut() -> dict[str, str]:
    whole = {
        name: pd.read_csv(data_folder() / f"{name}.csv", dtype="object", keep_default_na=False)
        for name in TABLES
    }
    ids = whole["plants"]["plant_id"]
    # "": a row on a growth form, of no one plant; the counts of planted plants stay whole
    kept = {*ids[::EVERY], *NAMED, "", *whole["establishment"]["plant_id"]}
    few = {
        name: table[table["plant_id"].isin(kept)] if name == "plants" or name in NAMING_PLANTS else table
        for name, table in whole.items()
    }
    reviewed = few["synonyms_reviewed"]  # of the names that several plants bear, some bearers are gone
    few["synonyms_reviewed"] = reviewed[reviewed["decision"] != "several plants"]
    used = {source for name in SOURCED for source in few[name]["source_id"]}
    few["sources"] = few["sources"][few["sources"]["source_id"].isin(used)]
    return {name: table.to_csv(index=False) for name, table in few.items()}


def few_tables(folder: Path) -> Path:
    """Write the tables into this folder, which is made; not as they were checked, so that they are checked again."""
    folder.mkdir()
    for name, text in _cut().items():
        (folder / f"{name}.csv").write_text(text, encoding="utf-8")
    return folder
