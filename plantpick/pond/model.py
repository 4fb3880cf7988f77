"""The pond as its owner describes it. Plain values, already checked by the reader; nothing here opens a file."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from functools import cached_property
from itertools import count, product
from string import ascii_uppercase
from typing import TYPE_CHECKING

from plantpick.errors import PlantpickError, Problem, did_you_mean
from plantpick.pond.growing_season import GrowingSeason
from plantpick.pond.keep_clear import AROUND_FT, USUAL_AROUND_FT, kind_of_place
from plantpick.pond.water_chemistry import ph_at_rest_with_air
from plantpick.units import ACRE_FT2
from plantpick.vocabulary import MIX_PERCENT, RISK_PERCENT, TOLERANCES, zone_number

if TYPE_CHECKING:
    import numpy as np

# A pond's shore is longer than a circle's round the same water. 1.2 is judgement (small dammed ponds).
SHORE_OVER_CIRCLE = 1.2
UNKNOWN_CLARITY_IN = (12.0, 24.0, 48.0)  # farm ponds without a Secchi reading: judgement
LEAST_SLOPE = 1.0  # ft out for one ft down: a steeper bank is a wall, and nothing set on it roots (judgement)
UNKNOWN_DROP_IN = 24.0  # how far the water may fall in a dry summer where you gave no drop: judgement


@dataclass(frozen=True)
class Stretch:
    """A length of shore with one slope, sun and soil.

    `slope` is feet out for one foot down; `sun` is full, part or shade; `soil` is what plants root in, a word of
    `vocabulary.SOILS` or None: it counts in how many of them live. `described` is False for the rest of the shore, which
    the owner left out: plants can creep there, and nothing is planted there. `stake` is what the owner calls the stake at its
    left end, facing the water (see `Pond.stakes`); `from_ft` is where on the outline that stake stands, feet from the
    outline's first point, the way you walk with the water on your left. None: nobody said.
    """

    name: str
    length_ft: float
    slope: float
    sun: str = "full"
    soil: str | None = None
    dam: bool = False
    described: bool = True
    clear_ft: float = 0.0
    stake: str = field(default="", kw_only=True)
    from_ft: float | None = field(default=None, kw_only=True)

    @property
    def wall(self) -> bool:
        """Whether it is too steep for anything set on it to root."""
        return self.slope < LEAST_SLOPE

    @property
    def plantable_ft(self) -> float:
        """Feet of shore left to plant once the places to keep clear are taken off; none of a wall."""
        return max(0.0, self.length_ft - self.clear_ft) if self.described and not self.wall else 0.0


# names that begin so take no article: "on everything else", "on my side"
NO_ARTICLE = ("the ", "everything", "everywhere", "all ", "my ", "our ", "your ", "a ", "an ")


def stretch_words(*names: str) -> str:
    """Stretches within a sentence: "the dam and the west bank", "everything else"."""
    return " and ".join(name if name.casefold().startswith(NO_ARTICLE) else f"the {name}" for name in names)


def stake_letters() -> Iterator[str]:
    """A, B, C, and after Z: AA, AB."""
    for length in count(1):
        yield from map("".join, product(ascii_uppercase, repeat=length))


@dataclass(frozen=True)
class KeepClear:
    """A place where nothing is planted: riser, spillway, dock, lanes, inflow, diffuser, air line, livestock ramp.

    `what` is the owner's own words; `depth_ft` the water over it, where that was given. `from_ft` and `to_ft` are feet along
    the stretch's tape; `points` lie on the outline's plane, one for a place and several for a line, and nothing is planted
    within `around_ft` of them.
    """

    what: str
    stretch: str | None = None
    length_ft: float = 0.0
    depth_ft: float | None = None
    from_ft: float | None = field(default=None, kw_only=True)
    to_ft: float | None = field(default=None, kw_only=True)
    points: tuple[tuple[float, float], ...] = field(default=(), kw_only=True)
    around_ft: float | None = field(default=None, kw_only=True)

    @property
    def room_ft(self) -> float:
        """Feet round its points that stay free: what you said, or else the usual for its kind."""
        return AROUND_FT.get(self.kind, USUAL_AROUND_FT) if self.around_ft is None else self.around_ft

    @property
    def kind(self) -> str:
        """The kind of place that the words name, a key of keepclear.KIND_WORDS."""
        return kind_of_place(self.what)


@dataclass(frozen=True, kw_only=True)
class Growing:
    """A stand that grows there already. `name` is the owner's own word for the plant; the size is given in one of three ways:
    feet along the shore by feet wide, square feet (bank and water), or the number of plants."""

    plant_id: str
    name: str
    stretch: str
    length_ft: float | None = None
    width_ft: float | None = None
    area_ft2: float | None = None
    plants: int | None = None


@dataclass(frozen=True)
class Outline:
    """The waterline at full pool on a plane, in feet: rings of (x, y), the outer one first, then the islands.

    A ring's last point is not its first again. `origin` is the longitude and latitude of the plane's zero, and None
    for an outline that was measured in feet.
    """

    rings: tuple[tuple[tuple[float, float], ...], ...]
    origin: tuple[float, float] | None = None


@dataclass(frozen=True)
class Doubt:
    """How far soundings may be off: plain shapes over the same outline, sounded at the same places.

    `missed` is the share of each shape's water that the soundings miss (negative where they find too much). The others
    are the true figure over the one that the soundings give, least and most over the shapes and somewhat wider, with 1
    (as measured) among them: `volume`, and the area shallower than each of `depths_in` (from 0 to the deepest sounding).
    """

    missed: tuple[float, ...]
    volume: tuple[float, float]
    depths_in: tuple[float, ...]
    shallower_least: tuple[float, ...]
    shallower_most: tuple[float, ...]


@dataclass(frozen=True)
class Survey:
    """The basin as it was measured.

    `how` is "contours", "soundings", or "outline" when only the waterline was. `depths_in` rise from 0 to the
    greatest depth; beside each stand the area of its contour (`areas_ft2`) and the water below it (`volumes_ft3`).
    `soundings` is an array (n, 3) of x, y in feet on the outline's plane and depth in inches. `others` are surveys
    that were given as well and are only compared. `doubt` says how far soundings may be off.
    """

    how: str
    depths_in: tuple[float, ...] = ()
    areas_ft2: tuple[float, ...] = ()
    volumes_ft3: tuple[float, ...] = ()
    shore_ft: float | None = None
    outline: Outline | None = None
    soundings: np.ndarray | None = field(default=None, compare=False, repr=False)
    others: tuple[Survey, ...] = ()
    doubt: Doubt | None = None


@dataclass(frozen=True)
class Pond:
    """One pond. Depths are at full pool; a None means that you did not say."""

    name: str
    state: str
    hardiness_zone: str
    area_acres: float
    max_depth_ft: float
    stretches: tuple[Stretch, ...]
    last_frost: tuple[int, int] | None = None  # month, day; None with frost_free=True where it never freezes
    first_frost: tuple[int, int] | None = None
    frost_free: bool = False
    clarity_in: float | None = None
    usual_drop_ft: float = 0.0
    drop_known: bool = True
    ph: float | None = None  # measured
    alkalinity_mg_l: float | None = None  # as calcium carbonate; stands in for a pH nobody measured
    salinity_ppt: float | None = None
    purposes: tuple[str, ...] = ("fish cover", "bank hold")
    tolerance: str | float = "little"
    cover_target_percent: float | None = None  # None: no target of the owner's
    brush_percent: float = 0.0
    groups_wanted: int | None = None
    mix_percent: float = MIX_PERCENT  # the most of all plants set that may be one kind
    risk_percent: float = RISK_PERCENT  # chance of passing the limit that the owner accepts
    residents: frozenset[str] = frozenset()
    keep_clear: tuple[KeepClear, ...] = ()
    growing: tuple[Growing, ...] = ()
    survey: Survey | None = None
    invented: bool = False
    notes: tuple[str, ...] = field(default=())  # what the reader had to assume
    not_given: frozenset[str] = (
        frozenset()
    )  # of purposes, tolerance and residents those that the pond file leaves open

    @property
    def dammed(self) -> bool:
        """Whether a dam holds the pond."""
        return any(s.dam for s in self.stretches)

    @property
    def water_ph(self) -> float | None:
        """The pH that plants are judged by: as measured, else what the alkalinity makes in water at rest with the air."""
        if self.ph is not None or self.alkalinity_mg_l is None:
            return self.ph
        return round(ph_at_rest_with_air(self.alkalinity_mg_l), 1)

    @property
    def area_ft2(self) -> float:
        """Water surface at full pool, square feet."""
        return self.area_acres * ACRE_FT2

    @property
    def cap_percent(self) -> float:
        """The largest share of the surface that one species may hold after ten untended years."""
        return TOLERANCES[self.tolerance] if isinstance(self.tolerance, str) else float(self.tolerance)

    @property
    def zone(self) -> float:
        """The hardiness half zone as a number (8a is 8.0)."""
        return zone_number(self.hardiness_zone)

    @property
    def usual_drop_in(self) -> float:
        """How far the water falls in a dry summer, inches."""
        return self.usual_drop_ft * 12.0

    @property
    def clarity_range_in(self) -> tuple[float, float, float]:
        """Secchi reading, low, typical and high, inches: the reading itself, or a wide range where you took none."""
        return (self.clarity_in,) * 3 if self.clarity_in is not None else UNKNOWN_CLARITY_IN

    @property
    def unsure_drop_in(self) -> float:
        """How much more than the usual drop the water may fall, inches: nothing when you gave the drop."""
        return 0.0 if self.drop_known else UNKNOWN_DROP_IN

    @property
    def max_depth_in(self) -> float:
        """Greatest depth at full pool, inches."""
        return self.max_depth_ft * 12.0

    @property
    def measured(self) -> Survey | None:
        """The survey where it measured depths; None where there is none, or only an outline."""
        return self.survey if self.survey is not None and self.survey.depths_in else None

    @cached_property
    def growing_season(self) -> GrowingSeason:
        """The frost-free part of the year, by the frost dates or the hardiness zone."""
        return GrowingSeason(
            last_frost=self.last_frost,
            first_frost=self.first_frost,
            frost_free=self.frost_free,
            zone=self.zone,
        )

    @property
    def shore(self) -> tuple[Stretch, ...]:
        """All of the shore: the stretches described, and the rest of it if they do not go round the pond.

        The whole is the outline's length where it was measured. Otherwise no shore is shorter than a circle's round
        the same area: if the stretches add up to less than that, the whole is taken as 1.2 times the circle. The
        rest has the mean slope, by length, of what was described.
        """
        given = sum(s.length_ft for s in self.stretches)
        circle = 2.0 * math.sqrt(math.pi * self.area_ft2)
        measured = self.survey.shore_ft if self.survey else None
        if given >= 0.98 * (measured or circle):
            return self.stretches
        slope = sum(s.slope * s.length_ft for s in self.stretches) / given
        rest = Stretch(
            "rest of the shore", (measured or SHORE_OVER_CIRCLE * circle) - given, slope, described=False
        )
        return (*self.stretches, rest)

    @property
    def stakes(self) -> dict[str, str]:
        """The stake at the left end of each stretch, facing the water: the owner's name for it, or a letter in the file's order."""
        taken = {s.stake.casefold() for s in self.stretches}
        letters = (letter for letter in stake_letters() if letter.casefold() not in taken)
        return {s.name: s.stake or next(letters) for s in self.stretches}

    @property
    def mean_slope(self) -> float:
        """Feet out for one foot down, the mean of the shore by length."""
        shore = self.shore
        return sum(s.slope * s.length_ft for s in shore) / sum(s.length_ft for s in shore)

    @property
    def shore_ft(self) -> float:
        """Length of the waterline at full pool, islands included: the outline's, or else that of the stretches."""
        measured = self.survey.shore_ft if self.survey else None
        return measured or sum(s.length_ft for s in self.shore)

    def with_tolerance(self, tolerance: str | float) -> Pond:
        """The same pond under another tolerance for spreading."""
        return replace(self, tolerance=tolerance)

    def with_risk(self, percent: float | None) -> Pond:
        """The same pond for an owner who accepts another chance of passing the limit; None: as the pond file has it."""
        return self if percent is None else replace(self, risk_percent=percent)

    def only_at(self, names: tuple[str, ...]) -> Pond:
        """The same pond with nothing planted but on these stretches; plants may still creep along the others.

        Raises PlantpickError `no-such-stretch` with the nearest name.
        """
        known = [s.name for s in self.stretches]
        wrong = [
            Problem(
                "",
                f'no stretch of {self.name} is called "{name}".',
                did_you_mean(name, known) or f"There are: {', '.join(known)}.",
            )
            for name in names
            if name not in known
        ]
        if wrong:
            raise PlantpickError("no-such-stretch", wrong)
        return replace(
            self,
            stretches=tuple(
                s if s.name in names else replace(s, clear_ft=s.length_ft) for s in self.stretches
            ),
        )
