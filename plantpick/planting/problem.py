"""One planting problem in numbers: places for groups, the forecasts that count, the limits, and an answer to it."""

from __future__ import annotations

from dataclasses import dataclass, field, fields, replace
from enum import StrEnum

import numpy as np

from plantpick.planting.coverage import Cells, Chances, GroundTaken


@dataclass(frozen=True, kw_only=True)
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


@dataclass(frozen=True, kw_only=True)
class Limits:
    """The numbers that the planting has to keep to. Shares run from 0 to 1; None is no limit.

    `share` is of the cover planted, `mix` of all plants set, the most that one plant may have.
    """

    cover: float
    cap: float
    upper: float
    species: int = 1
    share: float = 1.0
    mix: float = 1.0
    budget: float | None = None
    plants: float | None = None
    trim_ft2: float | None = None


@dataclass(frozen=True, kw_only=True)
class PlantingProblem:
    """All that the program needs, in arrays; shares are of the pond's surface.

    `target` is the forecast that has to reach the cover, `jumps` whether its jumped colonies count; `pessimistic` the
    high one over ten years, `ground` the same with the bank. `each` (plants, stretches) is the water that one group
    covers by the forecast that counts. `room_ft` (stretches,) is the shore that may be planted. `fish` marks the
    plants that count as cover. `group_most` (plants,) is the most groups of one plant.
    """

    places: Places
    cells: Cells
    target: Chances
    pessimistic: Chances
    ground: GroundTaken
    each: np.ndarray
    room_ft: np.ndarray
    fish: np.ndarray
    group_most: np.ndarray
    serves: tuple[Serve, ...]
    limits: Limits
    jumps: bool = False

    def at(self, kept: np.ndarray) -> PlantingProblem:
        """The same with the places of the mask `kept` alone."""
        places = Places(**{f.name: getattr(self.places, f.name)[kept] for f in fields(Places)})
        serves = tuple(replace(serve, at=serve.at[kept]) for serve in self.serves)
        return replace(self, places=places, serves=serves)


class Status(StrEnum):
    """What is known of an answer. The words are those of the JSON output."""

    PROVED = "proved"  # no planting costs less
    GAP = "gap"  # a planting; one that costs less may exist
    UNSETTLED = "unsettled"  # a planting that misses a wish; nobody knows yet whether all can be met
    IMPOSSIBLE = "impossible"  # no planting does
    NO_TIME = "no time"  # the time ended before one was found


@dataclass(frozen=True, kw_only=True)
class Answer:
    """Groups at each place, none where no planting was found; `gap` is how far the cost may be from the least (0: proved).

    `slack` is by how much each wish is missed; `bound` a value that no answer can go below. `ended` is False where the
    clock cut the search short.
    """

    status: Status
    groups: np.ndarray = field(default_factory=lambda: np.zeros(0, dtype=int))
    value: float = np.nan
    gap: float | None = None
    slack: dict[str, np.ndarray] = field(default_factory=dict)
    bound: float = -np.inf
    ended: bool = True

    @property
    def found(self) -> bool:
        return self.status not in (Status.IMPOSSIBLE, Status.NO_TIME)


@dataclass(frozen=True, kw_only=True)
class Parts:
    """What parts of groups can do: what they can't, whole groups can't either, and nothing is cheaper.

    `bound` is a value that no answer can go below; `groups` are the parts at each place, `away` how far each place is
    from being used (0: it is; the more the aim would lose by a group there, the further). `status` is PROVED,
    IMPOSSIBLE or NO_TIME.
    """

    status: Status
    bound: float = -np.inf
    groups: np.ndarray = field(default_factory=lambda: np.zeros(0))
    away: np.ndarray = field(default_factory=lambda: np.zeros(0))

    @property
    def found(self) -> bool:
        return self.status is Status.PROVED
