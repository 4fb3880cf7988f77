"""What holds the plants of a log in their place on this pond, as the ranking has it."""

from __future__ import annotations

from plantpick.catalogue.plants import Catalogue
from plantpick.monitoring.log import Log
from plantpick.pond.model import Pond
from plantpick.ranking import rank


def ranked_measures(pond: Pond, catalogue: Catalogue, log: Log) -> dict[str, tuple[str, ...]]:
    """By plant_id what holds each plant of a log: nothing where it stays put. Of one that the ranking leaves out, any measure that
    could."""
    there = list(dict.fromkeys(plant_id for plant_id, _ in log.stands()))
    ranked = rank.rank(pond, catalogue, places=False, only=there).plants if there else ()
    return {p: catalogue.plant(p).contained_by for p in there} | {r.plant_id: r.contained_by for r in ranked}
