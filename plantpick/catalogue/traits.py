"""The traits of some plants as arrays, for the computation."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from plantpick.catalogue.plants import Plant
from plantpick.catalogue.schema import LISTS, NUMBERS, TRAIT_WORDS
from plantpick.vocabulary import WOODY, group_size


@dataclass(frozen=True, repr=False)
class Traits:
    """The traits that the computation needs, one array entry per plant (NaN is not known).

    `number[column]` is a float array; `word[column]` an object array; `has[column][item]` a boolean array for a
    column that holds a list. `group` is the number of plants set together as one.
    """

    plant_id: np.ndarray
    number: dict[str, np.ndarray]
    word: dict[str, np.ndarray]
    has: dict[str, dict[str, np.ndarray]]

    def __len__(self) -> int:
        return len(self.plant_id)

    def __repr__(self) -> str:
        return f"Traits of {len(self)} plants"

    @property
    def group(self) -> np.ndarray:
        """Plants set together as one group, (plants,): see `vocabulary.group_size`."""
        return np.array([group_size(form) for form in self.word["growth_form"]], dtype=float)

    @property
    def woody(self) -> np.ndarray:
        """As `Plant.woody`: shrubs, trees, and vines and herbs that the catalogue calls woody."""
        called = self.has["cautions"].get("woody", np.zeros(len(self), dtype=bool))
        return np.isin(self.word["growth_form"], WOODY) | called

    def subset(self, index) -> Traits:
        """The same traits for some of the plants: a boolean mask or an array of positions."""
        return Traits(
            self.plant_id[index],
            {k: v[index] for k, v in self.number.items()},
            {k: v[index] for k, v in self.word.items()},
            {k: {i: m[index] for i, m in v.items()} for k, v in self.has.items()},
        )

    def replaced(self, **numbers: np.ndarray) -> Traits:
        """The same plants with some number columns changed."""
        return Traits(self.plant_id, {**self.number, **numbers}, self.word, self.has)


def traits(plants: Iterable[Plant]) -> Traits:
    """The arrays for some plants, in their order."""
    rows = list(plants)
    number = {column: np.array([getattr(p, column) for p in rows], dtype=float) for column in NUMBERS}
    word = {column: np.array([getattr(p, column) for p in rows], dtype=object) for column in TRAIT_WORDS}
    has: dict[str, dict[str, np.ndarray]] = {}
    for column in LISTS:
        cells = [getattr(p, column) for p in rows]
        items = sorted({item for cell in cells for item in cell})
        has[column] = {item: np.array([item in cell for cell in cells], dtype=bool) for item in items}
    return Traits(np.array([p.plant_id for p in rows], dtype=object), number, word, has)
