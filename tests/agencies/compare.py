"""Agency advice held against the ranking of one invented pond a state.

The table is agency_advice.csv: a row is a plant that an agency recommends for ponds, shores or their waters, or warns against,
with its source; `place` is by the source's own words, or by the plant's habitat where it has none; `seen` says how much of the
page was read. The half "mending" was looked at when causes were mended, the half "measuring" was not.
"""

from __future__ import annotations

import csv
from collections.abc import Iterable
from dataclasses import dataclass, replace
from pathlib import Path

from plantpick.catalogue.plants import Catalogue
from plantpick.errors import PlantpickError
from plantpick.pond.model import Pond, Stretch
from plantpick.ranking.by_place import by_place
from plantpick.ranking.rank import rank
from plantpick.vocabulary import PURPOSES

TABLE = Path(__file__).parent / "agency_advice.csv"
# a middling hardiness zone of each state (from memory of the USDA map of 2023)
ZONES = {
    "AL": "8a",
    "AR": "7b",
    "FL": "9b",
    "GA": "8b",
    "ID": "6b",
    "IL": "6a",
    "KS": "6b",
    "LA": "9a",
    "MN": "4b",
    "MO": "6b",
    "MS": "8b",
    "NC": "8a",
    "ND": "4a",
    "OR": "8b",
    "TN": "7b",
    "TX": "8b",
    "VA": "7b",
    "WI": "5a",
}


@dataclass(frozen=True, kw_only=True)
class Advice:
    """One row of the table, and what the ranking says: `known` whether any name of ours is the plant's, `plant_id` the described
    plant (None: known by name only, or not at all), `share` is its place in the list of its own place, over the list's
    length (None where it is not ranked); `held` whether it is out, needs a measure, or has room for one group at most."""

    state: str
    plant: str
    advice: str
    half: str
    plant_id: str | None
    known: bool = True
    share: float | None = None
    held: bool = True
    introduced: bool = False
    growth_form: str = ""
    reason: str = ""


def pond_in(state: str) -> Pond:
    """The same invented pond in each state: an owner who wants everything that plants can do, agencies having all in mind."""
    return Pond(
        name=f"Pond in {state}",
        state=state,
        hardiness_zone=ZONES[state],
        area_acres=2.5,
        max_depth_ft=11.0,
        stretches=(
            Stretch("sunny bank", 500.0, 3.0),
            Stretch("cove", 300.0, 6.0),
            Stretch("woods side", 350.0, 4.0, sun="part"),
            Stretch("dam", 300.0, 3.0, dam=True),
        ),
        clarity_in=30.0,
        usual_drop_ft=1.0,
        ph=7.0,
        salinity_ppt=0.1,
        purposes=tuple(PURPOSES),
    )


def compare(catalogue: Catalogue, names: Catalogue) -> list[Advice]:
    """Every row of the table beside what the ranking of its state says; `names` has the plants known by name only as well."""
    with TABLE.open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    told = []
    for state in sorted({row["state"] for row in rows}):
        answer = rank(pond_in(state), catalogue, draws=64, places=False)
        place = {
            plant.plant_id: (at / len(listed.plants), plant)
            for listed in by_place(answer.plants)
            for at, plant in enumerate(listed.plants, 1)
        }
        out = {r.plant_id: r.reason for r in answer.ruled_out}
        for row in rows:
            if row["state"] == state:
                told.append(_judged(row, catalogue, names, place, out))
    return told


def _finds(catalogue: Catalogue, name: str) -> str | None:
    try:
        return catalogue.find(name)
    except PlantpickError:
        return None


def _judged(row, catalogue, names, place, out) -> Advice:
    one = Advice(
        state=row["state"], plant=row["plant"], advice=row["advice"], half=row["half"], plant_id=None
    )
    plant_id = _finds(catalogue, row["plant"])
    if plant_id is None:
        return replace(one, known=_finds(names, row["plant"]) is not None)
    plant = catalogue.plant(plant_id)
    one = replace(one, plant_id=plant_id, introduced=plant.introduced, growth_form=plant.growth_form)
    if plant_id not in place:
        return replace(one, reason=out.get(plant_id, ""))
    share, ranked = place[plant_id]
    held = bool(ranked.contained_by) or ranked.groups_max <= 1
    return replace(one, share=share, held=held)


@dataclass(frozen=True, kw_only=True)
class Figures:
    """Shares of the recommended plants, per cent, and the median of their places, of 100; of the warned, how many are held."""

    rows: int
    known: float
    described: float
    ranked: float
    upper_third: float
    median: float
    warned: int
    held: int


def figures(told: Iterable[Advice]) -> Figures:
    """The figures of some rows. A plant that is not ranked is in no third; the median is over those ranked."""
    told = list(told)
    good = [t for t in told if t.advice == "recommended"]
    warned = [t for t in told if t.advice == "warned"]
    shares = sorted(t.share for t in good if t.share is not None)
    return Figures(
        rows=len(good),
        known=100.0 * sum(t.known for t in good) / len(good),
        described=100.0 * sum(t.plant_id is not None for t in good) / len(good),
        ranked=100.0 * len(shares) / len(good),
        upper_third=100.0 * sum(s <= 1 / 3 for s in shares) / len(shares),
        median=100.0 * shares[len(shares) // 2],
        warned=len(warned),
        held=sum(t.held for t in warned),
    )
