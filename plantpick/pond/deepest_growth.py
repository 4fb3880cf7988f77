"""How deep a plant can live in one pond: the one answer, by light, level and what the catalogue says of it.

Depths are inches at full pool. Light counts from full pool: a bed that follows the falling water down in a dry summer
stands in the dark again in the first year that stays full, and no bed outlasts that. So the drop adds nothing to what
light allows; it does to how far an edge can creep that deep water alone stops.
"""

from __future__ import annotations

import numpy as np

from plantpick.catalogue.traits import Traits
from plantpick.pond.light import deepest_growth_in
from plantpick.pond.model import Pond

LIGHT_DEPTHS = ("light_depth_low", "light_depth", "light_depth_high")


def growth_limit_in(pond: Pond) -> tuple[float, float] | None:
    """Where rooted submersed plants end here, usually and at most; None without a Secchi reading."""
    return None if pond.clarity_in is None else deepest_growth_in(pond.clarity_in)


def light_limit_in(plants: Traits, clarity_in: float) -> np.ndarray:
    """Where light ends each plant for a Secchi reading, inches, (plants, 3), low to high; infinity for all but the submersed.

    The usual depth for the reading, times what each plant makes of it: 10, 50 and 90 % points over the waters that hold it.
    """
    usual, _ = deepest_growth_in(clarity_in)
    submersed = plants.word["growth_form"] == "submersed"
    times = np.stack([plants.number[column] for column in LIGHT_DEPTHS], axis=1)
    return np.where(submersed[:, None], times * usual, np.inf)


def water_limit_in(plants: Traits, pond: Pond) -> np.ndarray:
    """Where deep water alone would end a plant's edge, (plants, 3), low to high: the catalogue's depths and the level.

    While the pond is down the edge creeps further: half the usual drop is added to the typical depth and all of it to the
    high one, and what the drop may be beyond what you gave.
    """
    n = plants.number
    own = np.stack([n[f"advance_depth_{q}in"] for q in ("low_", "", "high_")], axis=1)
    return own + pond.usual_drop_in * np.array([0.0, 0.5, 1.0]) + [0.0, 0.0, pond.unsure_drop_in]


def reach_in(plants: Traits, pond: Pond) -> np.ndarray:
    """Depth where a stand's edge stops, (plants, 3), low to high: at deep water, in the dark, or at the pond's bottom.

    Without a Secchi reading, the low end is for murky water and the high end for clear.
    """
    light = np.stack([light_limit_in(plants, c)[:, q] for q, c in enumerate(pond.clarity_range_in)], axis=1)
    return np.minimum(np.minimum(water_limit_in(plants, pond), light), pond.max_depth_in)
