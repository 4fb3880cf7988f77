"""One planting problem in numbers: places for groups, the forecasts that count, the limits, and an answer to it."""

from __future__ import annotations

from dataclasses import dataclass, field, fields, replace

import numpy as np

from plantpick.planting.coverage import Cells, Chances, Ground


@dataclass(frozen=True)
class Places:
    """Where groups may be set, one entry a place: `plant` and `stretch` are positions, `band` names the band.

    `wet` is True where the group stands in water at full pool; `most` groups fit there; each takes `shore_ft` of the
    stretch, `plants` plants and `cost` dollars; `site` is the site index, `trim_ft2` the yearly cutting.
    """

    plant: np.ndarray
    stretch: np.ndarray
    band: np.ndarray
    depth_in: np.ndarray
    wet: np.ndarray
    most: np.ndarray
    shore_ft: np.ndarray
    plants: np.ndarray
    cost: np.ndarray
    site: np.ndarray
    trim_ft2: np.ndarray

    def __len__(self) -> int:
        return len(self.plant)


@dataclass(frozen=True)
class Serve:
    """A wish that at least `number` groups stand at some of the places (`at`, a boolean mask)."""

    what: str
    at: np.ndarray
    number: int


@dataclass(frozen=True)
class Limits:
    """The numbers that the planting has to keep to. Shares run from 0 to 1; None is no limit."""

    cover: float
    cap: float
    upper: float
    species: int = 1
    share: float = 1.0
    budget: float | None = None
    plants: float | None = None
    trim_ft2: float | None = None


@dataclass(frozen=True)
class Case:
    """All that the programme needs, in arrays; shares are of the pond's surface.

    `counted` is the forecast that has to reach the cover, `jumps` whether its jumped colonies count; `feared` the
    high one over ten years, `ground` the same with the bank. `each` (plants, stretches) is the water that one group
    covers by the forecast that counts. `room_ft` (stretches,) is the shore that may be planted. `fish` marks the
    plants that count as cover. `group_most` (plants,) is the most groups of one plant.
    """

    places: Places
    cells: Cells
    counted: Chances
    feared: Chances
    ground: Ground
    each: np.ndarray
    room_ft: np.ndarray
    fish: np.ndarray
    group_most: np.ndarray
    serves: tuple[Serve, ...]
    limits: Limits
    jumps: bool = False

    def at(self, kept: np.ndarray) -> Case:
        """The same with the places of the mask `kept` alone."""
        places = Places(*(getattr(self.places, f.name)[kept] for f in fields(Places)))
        serves = tuple(replace(serve, at=serve.at[kept]) for serve in self.serves)
        return replace(self, places=places, serves=serves)


@dataclass(frozen=True)
class Answer:
    """Groups at each place; `gap` is how far the cost may be from the least (0: proved), None without an answer.

    `status` is "proved", "gap", "impossible" or "no time"; `slack` by how much each wish is missed; `bound` a value
    that no answer can go below. `ended` is False where the clock cut the search short.
    """

    status: str
    groups: np.ndarray | None = None
    value: float = np.nan
    gap: float | None = None
    slack: dict[str, np.ndarray] = field(default_factory=dict)
    bound: float = -np.inf
    ended: bool = True

    @property
    def found(self) -> bool:
        return self.groups is not None
