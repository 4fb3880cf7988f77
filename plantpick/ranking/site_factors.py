"""Will it live here: the site factors and how they combine.

Each factor is an index from 0 (cannot live) to 1 (best), linear between break points, as in the Habitat Suitability
Index models of the U.S. Fish and Wildlife Service (ESM 103, 1981). They combine as those models do: the geometric
mean, but the smallest factor alone when any falls to 0.4 or below. The break points are judgement unless a source
stands beside them. A factor that cannot be judged (trait or reading not known) is NaN and left out of the mean.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from plantpick.catalogue.traits import Traits
from plantpick.pond.deepest_growth import LIGHT_DEPTHS, light_limit_in
from plantpick.pond.model import LEAST_SLOPE, Pond, Stretch, stretch_words
from plantpick.vocabulary import BANDS, FAIR, SUN_LEVELS, fit_word

LIMITING = 0.4  # at or below it the smallest factor decides (ESM 103)
FRESH_PPT = 0.1  # salt we assume in a pond that was never tested, for plants that need some: judgement
FADES_AT = (
    0.25  # share of its least salinity at which a salt-marsh plant no longer lasts among others: judgement
)
WOODY_DEEPEST_IN = 6.0  # young trees and shrubs drown in deeper water: common practice, no source
# What stands on a dam hides seeps, slides and burrows when it is tall, and roots pipe water through when it is woody (FEMA
# 534, second hand). How tall is too tall is judgement; state dam rules differ.
DAM_TALLEST_IN = 36.0
UNDER_OR_ON_WATER = ("submersed", "floating-leaved", "free-floating")  # these stand no higher than the water
GOOD = 0.5  # a place from here on counts as good (USFWS grade)

# Depths, inches at full pool, at which a plant may be set in each band.
BAND_DEPTHS: dict[str, tuple[float, ...]] = {
    "dry bank": (-108.0, -84.0, -66.0, -54.0, -42.0),
    "bank": (-30.0, -24.0, -18.0, -12.0, -9.0),
    "edge": (-5.0, -3.0, -1.0),
    "0-6 in": (1.0, 3.0, 5.0),
    "6-18 in": (7.0, 9.0, 12.0, 15.0, 17.0),
    "18-36 in": (19.0, 22.0, 26.0, 30.0, 34.0),
    "3-6 ft": (38.0, 42.0, 48.0, 54.0, 60.0, 68.0),
    "over 6 ft": (76.0, 84.0, 96.0, 120.0, 144.0),
}
DEPTHS = np.array([d for depths in BAND_DEPTHS.values() for d in depths])
BAND_OF_DEPTH = np.array([i for i, depths in enumerate(BAND_DEPTHS.values()) for _ in depths])
BAND_NAMES = tuple(BANDS)
ON_BANK = np.isin(BAND_OF_DEPTH, [BAND_NAMES.index(band) for band in ("dry bank", "bank")])
OVER_SPILLWAY_IN = BANDS["dry bank"][1]  # no full spillway stands over what grows higher
_BAND_STARTS = np.flatnonzero(np.diff(BAND_OF_DEPTH, prepend=-1))

SUN_INDEX: dict[str, tuple[float, float, float]] = {  # in full sun, part sun, shade
    "full": (1.0, 0.6, 0.15),
    "full to part": (1.0, 1.0, 0.35),
    "full to shade": (1.0, 1.0, 0.8),
    "part": (0.6, 1.0, 0.6),
    "part to shade": (0.45, 1.0, 1.0),
    "shade": (0.2, 0.7, 1.0),
}
# Inches that the water falls short of the plant's shallowest depth at low pool, and the index left.
DRAWDOWN_INDEX: dict[str, tuple[tuple[float, ...], tuple[float, ...]]] = {
    "none": ((0.0, 4.0, 12.0), (1.0, 0.4, 0.0)),
    "weeks": ((0.0, 12.0, 24.0, 48.0), (1.0, 0.4, 0.15, 0.0)),
    "season": ((0.0, 24.0, 72.0), (1.0, 0.85, 0.5)),
}
# On the bank and the edge, where a full spillway stands over a plant for days each year.
FLOODING_INDEX = {"none": 0.6, "weeks": 1.0, "season": 1.0}
# What is left of the index that many units of pH outside a plant's range. A range tells where a plant was met, seldom what
# kills it, so nothing is ruled out within 1.5 units. A range of soil says less of water: it falls half as fast, and to one
# half at the least. Judgement.
PH_INDEX: tuple[tuple[float, ...], tuple[float, ...]] = ((0.0, 1.0, 1.5, 2.5), (1.0, 0.5, 0.25, 0.0))
SOIL_PH_INDEX: tuple[tuple[float, ...], tuple[float, ...]] = ((0.0, 2.0), (1.0, 0.5))
# Light for submersed plants, at the depths where it ends them in one water of ten, in five and in nine, and past those: where
# half of the waters have none left the index is limiting; past the last it falls to nothing over a quarter of that depth more,
# since one water in ten has the plant there. Judgement.
LIGHT_INDEX = (1.0, 0.4, 0.05, 0.0)
LIGHT_PAST = 1.25
# What a grazer present leaves of the index; a cage while young is then advised.
GRAZER_INDEX = {
    "grass carp": 0.5,
    "common carp": 0.4,
    "nutria": 0.5,
    "muskrat": 0.65,
    "beaver": 0.75,
    "deer": 0.8,
    "geese": 0.7,
    "turtles": 0.7,
    "crayfish": 0.8,
    "livestock": 0.6,
}


def interpolate(x, xs, ys):
    """The index at x, linear between break points (xs rising) and flat beyond them; NaN stays NaN."""
    return np.interp(x, xs, ys)


def combine(*factors):
    """Combine site factors (arrays that broadcast): their geometric mean, or the smallest when one is 0.4 or less.

    NaN factors are left out. ESM 103 (USFWS 1981), as the habitat models of the 1980s apply it.
    """
    stack = np.stack(np.broadcast_arrays(*(np.asarray(f, dtype=float) for f in factors)))
    known = ~np.isnan(stack)
    product = np.where(known, stack, 1.0).prod(axis=0)
    smallest = np.where(known, stack, 1.0).min(axis=0)
    mean = product ** (1.0 / np.maximum(known.sum(axis=0), 1))
    return np.where(smallest <= LIMITING, smallest, mean)


def _ramp(x, zero_below, one_from, one_to, zero_above):
    """A trapezoid, elementwise over arrays; a side without width is a step."""
    with np.errstate(divide="ignore", invalid="ignore"):
        up = np.where(
            one_from > zero_below, (x - zero_below) / (one_from - zero_below), np.where(x >= one_from, 1, 0)
        )
        down = np.where(
            zero_above > one_to, (zero_above - x) / (zero_above - one_to), np.where(x <= one_to, 1, 0)
        )
    return np.clip(np.minimum(up, down), 0.0, 1.0)


def depth_index(plants: Traits, depth_in):
    """Depth at full pool against the plant's range: 0 at its ends, 1 between its best depths.

    (plants, depths) for an array of depths in inches.
    """
    n = plants.number
    ends = [n[c][:, None] for c in ("depth_min_in", "depth_best_min_in", "depth_best_max_in", "depth_max_in")]
    return _ramp(np.asarray(depth_in, dtype=float)[None, :], *ends)


def level_index(plants: Traits, depth_in, drop_in):
    """How the plant stands the pond's movement, (plants, depths): left short of water at low pool, or flooded.

    `depth_in` is an array of depths, or a column of one depth a plant. `drop_in` is how far the water falls in a dry summer, inches. A plant set at `depth_in` then stands in
    `depth_in - drop_in`; what that falls short of its shallowest depth counts by its `drawdown`.
    """
    depth = np.atleast_2d(np.asarray(depth_in, dtype=float))
    short = np.maximum(0.0, plants.number["depth_min_in"][:, None] - (depth - drop_in))
    dry = np.full(short.shape, np.nan)
    for word, (inches, index) in DRAWDOWN_INDEX.items():
        rows = plants.word["drawdown"] == word
        dry[rows] = interpolate(short[rows], inches, index)
    dry = np.where(short == 0.0, 1.0, dry)
    flood = np.array([FLOODING_INDEX.get(word, np.nan) for word in plants.word["flooding"]])[:, None]
    floods = (depth <= 0.0) & (depth > OVER_SPILLWAY_IN)
    return np.where(floods, np.fmin(dry, flood), dry)


def lives_in_water(plants: Traits) -> np.ndarray:
    """Which plants live under water or float, (plants,)."""
    return np.isin(plants.word["growth_form"], UNDER_OR_ON_WATER)


def left_dry(plants: Traits, depth_in, drop_in: float) -> np.ndarray:
    """Where a plant that lives under water or floats is no longer set, (plants, depths): no water stands there at low pool.

    What stands a dry season comes back when the water does, from spores, seed or rootstock: muskgrass, naiads and thin-leaved
    pondweeds do best of all after a drawdown (City of Whitewater, lake drawdown FAQ). It may be set there.
    """
    stranded = lives_in_water(plants) & (plants.word["drawdown"] != "season")
    return stranded[:, None] & (np.asarray(depth_in, dtype=float) <= drop_in)


def level_here(plants: Traits, pond: Pond) -> np.ndarray:
    """The site factor: `level_index` at every depth of the pond, 0 where the plant is `left_dry`."""
    drop = pond.usual_drop_in
    return np.where(left_dry(plants, DEPTHS, drop), 0.0, level_index(plants, DEPTHS, drop))[:, np.newaxis, :]


def light_index(plants: Traits, depth_in, clarity_in):
    """Light at the bottom for submersed plants, (plants, depths at full pool); NaN for the others and without a reading.

    Where light ends a plant is `light_limit_in`'s to say; how the index falls on the way there is judgement (LIGHT_INDEX).
    """
    depth = np.asarray(depth_in, dtype=float)
    index = np.full((len(plants), depth.size), np.nan)
    if clarity_in is None:
        return index
    ends = light_limit_in(plants, clarity_in)
    for row in np.flatnonzero(np.isfinite(ends).all(axis=1)):
        index[row] = interpolate(depth, (*ends[row], LIGHT_PAST * ends[row, 2]), LIGHT_INDEX)
    return index


def winter_index(plants: Traits, zone):
    """Winter cold: 1 from the plant's coldest zone up, 0 a whole zone below it."""
    return np.clip(zone - plants.number["zone_min"] + 1.0, 0.0, 1.0)


def heat_index(plants: Traits, zone):
    """Summer heat, with the hardiness zone standing in for it: 1 to the plant's hottest zone, 0 two zones beyond."""
    return np.clip(1.0 - (zone - (plants.number["zone_max"] + 0.5)) / 1.5, 0.0, 1.0)


def ph_index(plants: Traits, depth_in, ph):
    """pH of the water, (plants, depths): 1 within the plant's range, falling outside by PH_INDEX.

    A range of soil falls by SOIL_PH_INDEX instead. At and above the waterline the roots stand in the bank, whose pH is not
    the pond's: NaN there, and where the range or the pH is not known.
    """
    depth = np.asarray(depth_in, dtype=float)[None, :]
    ph = np.nan if ph is None else ph
    low, high = plants.number["ph_min"], plants.number["ph_max"]
    outside = np.maximum(0.0, np.maximum(low - ph, ph - high))
    of_water = interpolate(outside, *PH_INDEX)
    of_soil = interpolate(outside, *SOIL_PH_INDEX)
    index = np.where(np.isnan(low), np.nan, np.where(plants.word["ph_basis"] == "water", of_water, of_soil))
    return np.where(depth > 0.0, index[:, None], np.nan)


def salinity_index(plants: Traits, salinity_ppt):
    """Salinity in parts per thousand: 1 up to what the plant stands for long, 0 at twice that plus half a part.

    A salt-marsh plant fades in fresh water, where others crowd it out: 1 from its own least salinity up, 0 at a quarter of
    that (FADES_AT). A pond never tested for salt counts as fresh for these; for the others salt is left out.
    """
    untested = salinity_ppt is None
    salinity_ppt = np.nan if untested else salinity_ppt
    least, most = plants.number["salinity_min_ppt"], plants.number["salinity_max_ppt"]
    salty = np.clip(1.0 - (salinity_ppt - most) / (most + 0.5), 0.0, 1.0)
    with np.errstate(divide="ignore", invalid="ignore"):
        share = (FRESH_PPT if untested else salinity_ppt) / least
        fresh = np.clip((share - FADES_AT) / (1.0 - FADES_AT), 0.0, 1.0)
    return np.where(np.isnan(least), salty, np.fmin(salty, fresh))


def sun_index(plants: Traits, sun: str):
    """Sun on a stretch: full, part or shade."""
    level = SUN_LEVELS.index(sun)
    return np.array([SUN_INDEX[word][level] if word in SUN_INDEX else np.nan for word in plants.word["sun"]])


def grazer_index(plants: Traits, residents) -> np.ndarray:
    """Grazers present that eat the plant: the worst of them decides. Grass carp rule a submersed one out."""
    index = np.ones(len(plants))
    for grazer in sorted(residents):
        eaten = plants.has["eaten_by"].get(grazer)
        if eaten is not None:
            index = np.where(eaten, np.minimum(index, GRAZER_INDEX[grazer]), index)
    if "grass carp" in residents and "grass carp" in plants.has["eaten_by"]:
        submersed = np.isin(plants.word["growth_form"], ("submersed", "free-floating"))
        index = np.where(plants.has["eaten_by"]["grass carp"] & submersed, 0.0, index)
    return index


@dataclass(frozen=True)
class OnePlant:
    """One plant's cells, for the sentences: `row` of `plants`."""

    plants: Traits
    row: int

    def number(self, column: str) -> float:
        """The cell of a number column; NaN is not known."""
        return float(self.plants.number[column][self.row])

    def word(self, column: str) -> str:
        """The cell of a word column; empty is not known."""
        return self.plants.word[column][self.row]

    def eaten_by(self, grazer: str) -> bool:
        """Whether a grazer eats it."""
        eaten = self.plants.has["eaten_by"].get(grazer)
        return eaten is not None and bool(eaten[self.row])


@dataclass(frozen=True, kw_only=True)
class Factor:
    """One site factor, whole: all that ranking, explaining and ruling out know of it.

    `columns` are the catalogue columns it reads. `index` gives 0 to 1, an array that broadcasts to (plants, stretches,
    depths); NaN where it cannot be judged. `explanation` is the arithmetic for one plant at one stretch and depth;
    `ruling_out` says why it leaves a plant no place. `by_depth` is True where the index depends on the depth.
    """

    name: str
    columns: tuple[str, ...]
    index: Callable[[Traits, Pond], np.ndarray]
    explanation: Callable[[OnePlant, Pond, Stretch, float], str]
    ruling_out: Callable[[OnePlant, Pond], str]
    by_depth: bool = False


def _given(reading: float | None) -> str:
    return "not given" if reading is None else f"{reading:g}"


def _whole_pond(index: np.ndarray) -> np.ndarray:
    return index[:, np.newaxis, np.newaxis]


def _explain_depth(plant: OnePlant, pond: Pond, stretch: Stretch, depth_in: float) -> str:
    return (
        f"0 at {plant.number('depth_min_in'):g} in, 1 from {plant.number('depth_best_min_in'):g} to "
        f"{plant.number('depth_best_max_in'):g}, 0 at {plant.number('depth_max_in'):g}; this is {depth_in:g}"
    )


def _explain_level(plant: OnePlant, pond: Pond, stretch: Stretch, depth_in: float) -> str:
    drawdown, flooding = plant.word("drawdown"), plant.word("flooding")
    if left_dry(plant.plants, [depth_in], pond.usual_drop_in)[plant.row, 0]:
        return f"0: it lives in water, and at {depth_in:g} in it stands dry when the pond is {pond.usual_drop_in:g} in down"
    points = DRAWDOWN_INDEX.get(drawdown)
    if not points:
        return "drawdown not known"
    told = ", ".join(f"{index:g} at {inches:g} in" for inches, index in zip(*points))
    short = max(0.0, plant.number("depth_min_in") - (depth_in - pond.usual_drop_in))
    flooded = (
        f"; on the bank no more than {FLOODING_INDEX[flooding]:g}, as it stands flooding {flooding}"
        if OVER_SPILLWAY_IN < depth_in <= 0 and FLOODING_INDEX.get(flooding, 1.0) < 1
        else ""
    )
    return (
        f'stands dry "{drawdown}", by how far low pool is short of its shallowest depth: {told}; '
        f"this is {short:g}{flooded}"
    )


def _explain_light(plant: OnePlant, pond: Pond, stretch: Stretch, depth_in: float) -> str:
    if plant.word("growth_form") != "submersed":
        return "does not apply"
    clarity = pond.clarity_range_in[1]
    low, usual, high = light_limit_in(plant.plants, clarity)[plant.row]
    full, at_usual, at_high, _ = LIGHT_INDEX
    return (
        f"{full:g} to {low:.0f} in, {at_usual:g} at {usual:.0f} (where it usually ends with {clarity:g} in of Secchi), "
        f"{at_high:g} at {high:.0f} (one water in ten has it deeper), 0 from {LIGHT_PAST * high:.0f}; this is {depth_in:g}"
    )


def _explain_sun(plant: OnePlant, pond: Pond, stretch: Stretch, depth_in: float) -> str:
    likes = plant.word("sun")
    if likes not in SUN_INDEX:
        return "sun not known"
    full, part, shade = SUN_INDEX[likes]
    return f"likes {likes}: full {full:g}, part {part:g}, shade {shade:g}; this is {stretch.sun}"


def _explain_ph(plant: OnePlant, pond: Pond, stretch: Stretch, depth_in: float) -> str:
    low, high, of = plant.number("ph_min"), plant.number("ph_max"), plant.word("ph_basis")
    if np.isnan(low):
        return "pH not known"
    if depth_in <= 0.0:
        return "not judged: its roots stand in the bank, and the pond's pH is not the soil's"
    points = PH_INDEX if of == "water" else SOIL_PH_INDEX
    told = ", ".join(f"{index:g} at {units:g}" for units, index in zip(*points) if units)
    by = ", by its alkalinity" if pond.ph is None and pond.water_ph is not None else ""
    return (
        f"1 from {low:g} to {high:g} (of {of}), by units outside {told}; this is {_given(pond.water_ph)}{by}"
    )


def _explain_salinity(plant: OnePlant, pond: Pond, stretch: Stretch, depth_in: float) -> str:
    least, most = plant.number("salinity_min_ppt"), plant.number("salinity_max_ppt")
    if np.isnan(most):
        return "salinity not known"
    fresh = "" if np.isnan(least) else f"0 to {FADES_AT * least:g} ppt, 1 from {least:g}; "
    return f"{fresh}1 to {most:g} ppt, 0 at {2 * most + 0.5:g}; this is {_given(pond.salinity_ppt)}"


def _explain_grazers(plant: OnePlant, pond: Pond, stretch: Stretch, depth_in: float) -> str:
    eaten = [f"{g} {GRAZER_INDEX[g]:g}" for g in sorted(pond.residents) if plant.eaten_by(g)]
    return ", ".join(eaten) or "no grazer here that eats it"


def _too_salty_or_fresh(plant: OnePlant, pond: Pond) -> str:
    least, most, told = (
        plant.number("salinity_min_ppt"),
        plant.number("salinity_max_ppt"),
        pond.salinity_ppt,
    )
    if least > (FRESH_PPT if told is None else told):
        this = f"yours has {told:g}" if told is not None else "you gave no salinity, so we assume fresh water"
        return f"salinity rules it out: it needs {least:g} parts per thousand of salt to hold its own, {this}"
    return f"salinity rules it out: it takes up to {most:g} parts per thousand, yours has {_given(told)}"


DEPTH = Factor(
    name="depth",
    columns=("depth_min_in", "depth_best_min_in", "depth_best_max_in", "depth_max_in"),
    index=lambda plants, pond: depth_index(plants, DEPTHS)[:, np.newaxis, :],
    explanation=_explain_depth,
    ruling_out=lambda plant, pond: "depth rules it out: your pond has no water of the depth it needs",
    by_depth=True,
)
# Every site factor, in the order in which an explanation lists them. One more is one more entry here.
FACTORS: tuple[Factor, ...] = (
    DEPTH,
    Factor(
        name="level",
        columns=("growth_form", "depth_min_in", "drawdown", "flooding"),
        index=level_here,
        explanation=_explain_level,
        ruling_out=lambda plant, pond: (
            f"level rules it out: where it could root, a {pond.usual_drop_ft:g} ft drop leaves it dry too long"
        ),
        by_depth=True,
    ),
    Factor(
        name="light",
        columns=("growth_form", *LIGHT_DEPTHS),
        index=lambda plants, pond: light_index(plants, DEPTHS, pond.clarity_range_in[1])[:, np.newaxis, :],
        explanation=_explain_light,
        ruling_out=lambda plant, pond: (
            f"light rules it out: with a Secchi reading of {pond.clarity_range_in[1]:g} in, too little light reaches the "
            "depth it needs"
        ),
        by_depth=True,
    ),
    Factor(
        name="winter cold",
        columns=("zone_min",),
        index=lambda plants, pond: _whole_pond(winter_index(plants, pond.zone)),
        explanation=lambda plant, pond, stretch, depth_in: (
            f"1 from zone {plant.number('zone_min'):g} up, 0 a zone colder; this is {pond.hardiness_zone}"
        ),
        ruling_out=lambda plant, pond: (
            f"winter cold rules it out: it needs zone {plant.number('zone_min'):.0f} or warmer, yours is "
            f"{pond.hardiness_zone}"
        ),
    ),
    Factor(
        name="summer heat",
        columns=("zone_max",),
        index=lambda plants, pond: _whole_pond(heat_index(plants, pond.zone)),
        explanation=lambda plant, pond, stretch, depth_in: (
            f"1 to zone {plant.number('zone_max'):g}, 0 two zones hotter; this is {pond.hardiness_zone}"
        ),
        ruling_out=lambda plant, pond: (
            f"summer heat rules it out: it lasts to zone {plant.number('zone_max'):.0f}, yours is "
            f"{pond.hardiness_zone}"
        ),
    ),
    Factor(
        name="sun",
        columns=("sun",),
        index=lambda plants, pond: np.stack([sun_index(plants, s.sun) for s in pond.stretches], axis=1)[
            :, :, np.newaxis
        ],
        explanation=_explain_sun,
        ruling_out=lambda plant, pond: f"sun rules it out: it needs {plant.word('sun')} sun",
    ),
    Factor(
        name="pH",
        columns=("ph_min", "ph_max", "ph_basis"),
        index=lambda plants, pond: ph_index(plants, DEPTHS, pond.water_ph)[:, np.newaxis, :],
        explanation=_explain_ph,
        ruling_out=lambda plant, pond: (
            f"pH rules it out: it takes pH {plant.number('ph_min'):g} to {plant.number('ph_max'):g}, yours is {pond.water_ph:g}"
        ),
        by_depth=True,
    ),
    Factor(
        name="salinity",
        columns=("salinity_min_ppt", "salinity_max_ppt"),
        index=lambda plants, pond: _whole_pond(salinity_index(plants, pond.salinity_ppt)),
        explanation=_explain_salinity,
        ruling_out=_too_salty_or_fresh,
    ),
    Factor(
        name="grazers",
        columns=("eaten_by", "growth_form"),
        index=lambda plants, pond: _whole_pond(grazer_index(plants, pond.residents)),
        explanation=_explain_grazers,
        ruling_out=lambda plant, pond: "grazers rule it out: grass carp eat it faster than it grows",
    ),
)


FACTOR_WORDS = {"level": "the summer drop"}  # site factors whose name alone says little


@dataclass(frozen=True)
class Sites:
    """Every plant judged at every stretch and depth of one pond.

    `factors[name]` broadcasts to (plants, stretches, depths); `index` is the combined site index of that shape, 0
    where the pond is not that deep or nothing may be planted.
    """

    factors: dict[str, np.ndarray]
    index: np.ndarray

    @property
    def best(self) -> np.ndarray:
        """The site index of each plant's best place, (plants,)."""
        return self.index.max(axis=(1, 2))

    def limiting(self, plant: int, place: tuple[int, int]) -> list[str]:
        """The factors that limit one plant at a place (stretch and depth positions), the worst first: those at or under
        `LIMITING`."""
        here = {
            name: float(np.broadcast_to(f[plant], self.index.shape[1:])[place])
            for name, f in self.factors.items()
        }
        return sorted((name for name, v in here.items() if v <= LIMITING), key=here.__getitem__)

    def best_place(self, plant: int, worth: np.ndarray | float, pond: Pond) -> tuple[int, int]:
        """Stretch and depth positions of one plant's best place: where site index times `worth` (by depth) is greatest.

        A poor place is none while there is a fair one where the plant is of use. Of equal stretches it is one off the dam,
        and the steepest, where the plant can spread least; of equal depths the middle one.
        """
        value = self.index[plant] * worth
        fair = np.where(self.index[plant] >= FAIR, value, 0.0)
        value = fair if fair.any() else value
        best = value.max(axis=1)
        order = sorted(
            range(len(best)),
            key=lambda s: (-round(float(best[s]), 9), pond.stretches[s].dam, pond.stretches[s].slope),
        )
        stretch = order[0]
        equals = np.flatnonzero(value[stretch] >= value[stretch].max() - 1e-9)
        return stretch, int(equals[len(equals) // 2])

    def against(self, plant: int, place: tuple[int, int]) -> str:
        """What stands against one plant at a place that is fair or poor ("the summer drop is against it"); else empty."""
        if fit_word(float(self.index[plant][place])) not in ("fair", "poor"):
            return ""
        low = [FACTOR_WORDS.get(name, name) for name in self.limiting(plant, place)]
        named = " and ".join([*filter(None, [", ".join(low[:-1])]), *low[-1:]])
        return f"{named} {'is' if len(low) == 1 and low[0] != 'grazers' else 'are'} against it" if low else ""

    def subset(self, rows: np.ndarray) -> Sites:
        """The same for some of the plants (a boolean mask)."""
        return Sites({name: f[rows] for name, f in self.factors.items()}, self.index[rows])

    def where_useful(self, use: np.ndarray) -> Sites:
        """The same with a site index of 0 at the depths where a plant does nothing that was asked: use (plants, depths)."""
        return Sites(self.factors, np.where(use[:, None, :] > 0, self.index, 0.0))

    def bands(self, plant: int) -> np.ndarray:
        """The best index of one plant in each band, (stretches, bands)."""
        return np.maximum.reduceat(self.index[plant], _BAND_STARTS, axis=1)


class Home(StrEnum):
    """Whether a pond lies where a plant is at home; one that is far from it lives, and does worse than the index says."""

    NEAR = ""
    HOT_END = "hot end"  # in the hottest half zone that it lives in, or beyond
    NEEDS_SALT = "needs salt"  # a salt-marsh plant in water fresher than it asks for


def at_home(plants: Traits, pond: Pond) -> list[Home]:
    """Where the pond lies in each plant's range of heat and salt. A pond never tested for salt counts as fresh."""
    salt = FRESH_PPT if pond.salinity_ppt is None else pond.salinity_ppt
    fresh = salt < plants.number["salinity_min_ppt"]  # NaN compares false
    hot = pond.zone >= plants.number["zone_max"] + 0.5
    return [Home.NEEDS_SALT if f else Home.HOT_END if h else Home.NEAR for f, h in zip(fresh, hot)]


def stands_low(plants: Traits) -> np.ndarray:
    """Where a plant may stand on a dam, (plants, depths): soft-stemmed, off the bank, and low over the water at full pool.

    A plant whose height is not known is not taken for low.
    """
    afloat = lives_in_water(plants)[:, None]
    over_water = plants.number["height_max_in"][:, None] - np.maximum(DEPTHS, 0.0)
    return ~plants.woody[:, None] & ~ON_BANK & (afloat | (over_water <= DAM_TALLEST_IN))


WALL = f"a bank steeper than {LEAST_SLOPE:g}:1 is a wall, where nothing roots (judgement)"


def wall_words(pond: Pond) -> str:
    """That nothing is set on a bank too steep to root on, in one sentence; empty where there is none."""
    walls = [s.name for s in pond.stretches if s.wall]
    return f"Nothing is set on {stretch_words(*walls)}: {WALL}." if walls else ""


def sites(plants: Traits, pond: Pond) -> Sites:
    """Judge every plant at every described stretch and depth of a pond. Nothing is set where the shore is kept clear, nor on a wall.

    A dam carries nothing on its bank but grass kept low, nothing woody at all, and at its waterline only what `stands_low`
    (FEMA 534, second hand).
    """
    described = pond.stretches
    one = np.newaxis
    factors = {factor.name: factor.index(plants, pond) for factor in FACTORS}
    open_to = np.array([s.plantable_ft > 0 for s in described])[one, :]
    dams = np.array([s.dam for s in described])
    off_dam = ~dams[one, :, one] | stands_low(plants)[:, one, :]
    reachable = (pond.max_depth_in >= DEPTHS) & ~(plants.woody[:, one] & (DEPTHS > WOODY_DEEPEST_IN))
    usable = open_to[:, :, one] & off_dam & reachable[:, one, :]
    return Sites(factors, np.where(usable, combine(*factors.values()), 0.0))
