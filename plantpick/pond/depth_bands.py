"""What the basin means for planting: bands, volume, the deepest growth, what falls dry, and how estimates compare."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from plantpick.pond import basin, bathymetry, plain_shapes
from plantpick.pond.deepest_growth import growth_limit_in
from plantpick.pond.keep_clear import KIND_WORDS, diffuser_advice
from plantpick.pond.light import INCH_M
from plantpick.pond.model import ACRE_FT2, Pond
from plantpick.vocabulary import BANDS

SHALLOW_IN = 36.0  # a shelf under three feet is where most emergent plants creep
SECCHI_RANGE_M = (0.2, 6.0)  # outside it the relation is not meant to be used (see light.py)
FAR_APART = 0.25  # estimates further apart than this are remarked on: judgement
WAY_WORDS = {
    "soundings": "soundings, joined to the outline by a triangulated surface",
    "contours": "contours, joined by conical frusta",
    "stretches": "stretches of shore, the outline moved inward by slope x depth",
    "rule of thumb": "0.4 x greatest depth x surface, a rule of thumb",
}


@dataclass(frozen=True)
class Band:
    """One depth band: its limits in inches, its area, and its share of the surface (None above the waterline).

    `acres_range` is what it may have between the soundings: see `Unsure`.
    """

    name: str
    shallow_in: float
    deep_in: float
    acres: float
    share: float | None
    acres_range: tuple[float, float]


@dataclass(frozen=True)
class Unsure:
    """How far the soundings may be off: plain shapes over this outline, sounded at the same places.

    `missed` is the least and the greatest share of a shape's water that the soundings miss. `shallows`, the share of the
    surface that may be under three feet, and `acre_ft`, what the pond may hold, reach further by a quarter. `more` soundings in the widest
    gaps would bring the worst under `wanted`: 0 where these do, None where not even a great many would.
    """

    soundings: int
    missed: tuple[float, float]
    shallows: tuple[float, float]
    acre_ft: tuple[float, float]
    more: int | None
    wanted: float


@dataclass(frozen=True)
class Estimate:
    """One way to the volume; `shallow_share` is the share of the surface under three feet (None if it says nothing)."""

    way: str
    acre_ft: float
    mean_depth_ft: float
    shallow_share: float | None
    used: bool


@dataclass(frozen=True)
class Level:
    """A line of the depth-area curve: what lies inside the contour, and the water below it."""

    depth_ft: float
    acres: float
    acre_ft_below: float


@dataclass(frozen=True)
class Dry:
    """What falls dry at the usual drop; `bank_ft` gives the feet of bare bank on each stretch."""

    drop_ft: float
    acres: float
    share: float
    acre_ft_left: float
    bank_ft: tuple[tuple[str, float], ...]


@dataclass(frozen=True)
class Growth:
    """How deep rooted submersed plants grow for the Secchi reading, and the share of the surface so shallow."""

    clarity_in: float
    usual_ft: float
    greatest_ft: float
    usual_share: float
    greatest_share: float


@dataclass(frozen=True)
class Depths:
    """The basin of one pond. Acres, feet, acre-feet."""

    pond: Pond
    way: str
    bands: tuple[Band, ...]
    acre_ft: float
    mean_depth_ft: float
    shore_ft: float
    shore_from: str
    growth: Growth | None
    dry: Dry | None
    curve: tuple[Level, ...]
    estimates: tuple[Estimate, ...]
    keep_clear: tuple[tuple[str, str], ...]
    remarks: tuple[str, ...]
    cautions: tuple[str, ...]
    unsure: Unsure | None = None  # for soundings only


def describe(pond: Pond) -> Depths:
    """All that the basin says, from its survey where there is one and from its stretches otherwise."""
    acre_ft = basin.volume_ft3(pond) / ACRE_FT2
    used = pond.measured.how if pond.measured else "stretches"
    outlined = pond.survey is not None and pond.survey.shore_ft is not None
    estimates = _estimates(pond, used)
    unsure = _unsure(pond, acre_ft) if used == "soundings" else None
    return Depths(
        pond=pond,
        way=used,
        bands=_bands(pond),
        acre_ft=acre_ft,
        mean_depth_ft=acre_ft / pond.area_acres,
        shore_ft=pond.shore_ft,
        shore_from="outline" if outlined else "stretches",
        growth=_growth(pond),
        dry=_dry(pond),
        curve=_curve(pond),
        estimates=estimates,
        keep_clear=tuple((k.what, KIND_WORDS[k.kind]) for k in pond.keep_clear),
        remarks=_remarks(pond, used, estimates, unsure),
        cautions=_cautions(pond),
        unsure=unsure,
    )


def _unsure(pond: Pond, acre_ft: float) -> Unsure | None:
    survey = pond.survey
    if survey is None or survey.doubt is None or survey.soundings is None or survey.outline is None:
        return None
    doubt, soundings = survey.doubt, np.asarray(survey.soundings)
    few = max(doubt.missed) >= plain_shapes.WANTED
    least, most = (
        float(basin.area_shallower_ft2(pond, SHALLOW_IN, level)) / pond.area_ft2
        for level in (basin.LEAST, basin.MOST)
    )
    low, high = doubt.volume
    return Unsure(
        soundings=len(soundings),
        missed=(min(doubt.missed), max(doubt.missed)),
        shallows=(least, most),
        acre_ft=(acre_ft * low, acre_ft * high),
        more=plain_shapes.more_soundings(survey.outline, soundings, pond.mean_slope) if few else 0,
        wanted=plain_shapes.WANTED,
    )


def _unsure_words(unsure: Unsure | None) -> list[str]:
    """What few soundings mean, after the reader's own note of them; nothing where they are many enough."""
    if unsure is None or unsure.more == 0:
        return []
    more = (
        f"Even {plain_shapes.MOST_ADDED} more would not bring that under"
        if unsure.more is None
        else f"About {unsure.more} more, each in the middle of the widest gap, would bring the water missed under"
    )
    return [
        f"With a quarter more for a rougher bottom, the pond may hold up to {unsure.acre_ft[1]:.1f} acre-feet, and as "
        f"little as {100 * unsure.shallows[0]:.0f} % of the surface may be under {SHALLOW_IN / 12:g} ft. {more} {100 * unsure.wanted:.0f} %.",
        "The bands above give the range. The share that plants can root in, what falls dry and the curve are as "
        "measured, and likely too large by as much.",
    ]


def _bands(pond: Pond) -> tuple[Band, ...]:
    levels = [basin.band_areas_ft2(pond, level) for level in (basin.MEASURED, basin.LEAST, basin.MOST)]
    areas = levels[0]
    found = []
    for name, (shallow, deep) in BANDS.items():
        if shallow >= pond.max_depth_in:
            continue
        deep = pond.max_depth_in if name == basin.DEEPEST else min(deep, pond.max_depth_in)
        found.append(
            Band(
                name,
                shallow,
                deep,
                areas[name] / ACRE_FT2,
                areas[name] / pond.area_ft2 if shallow >= 0 else None,
                (min(a[name] for a in levels) / ACRE_FT2, max(a[name] for a in levels) / ACRE_FT2),
            )
        )
    return tuple(found)


def _growth(pond: Pond) -> Growth | None:
    limit = growth_limit_in(pond)
    if limit is None or pond.clarity_in is None:
        return None
    usual, greatest = limit
    shares = basin.area_shallower_ft2(pond, np.array([usual, greatest])) / pond.area_ft2
    return Growth(pond.clarity_in, usual / 12.0, greatest / 12.0, float(shares[0]), float(shares[1]))


def _dry(pond: Pond) -> Dry | None:
    drop = pond.usual_drop_in
    if drop <= 0:
        return None
    bare = float(basin.area_shallower_ft2(pond, drop))
    return Dry(
        pond.usual_drop_ft,
        bare / ACRE_FT2,
        bare / pond.area_ft2,
        basin.volume_ft3(pond, drop) / ACRE_FT2,
        tuple((s.name, basin.strip_width_ft(s.slope, 0.0, drop)) for s in pond.shore),
    )


def _curve(pond: Pond) -> tuple[Level, ...]:
    """The curve at about a dozen even depths, the bottom included."""
    step = next((s for s in (0.5, 1.0, 2.0, 5.0, 10.0, 20.0) if pond.max_depth_ft / s <= 16), 20.0)
    depths = [step * n for n in range(math.ceil(pond.max_depth_ft / step))] + [pond.max_depth_ft]
    areas = basin.area_at_depth_ft2(pond, np.array(depths) * 12.0) / ACRE_FT2
    return tuple(
        Level(d, float(a), max(0.0, basin.volume_ft3(pond, d * 12.0)) / ACRE_FT2)
        for d, a in zip(depths, areas)
    )


def _estimates(pond: Pond, used: str) -> tuple[Estimate, ...]:
    found = []
    measured = [pond.measured, *pond.measured.others] if pond.measured else []
    for one in measured:
        surface = one.areas_ft2[0]
        found.append(
            _estimate(
                one.how,
                one.volumes_ft3[0],
                surface,
                1.0 - float(bathymetry.area_at_ft2(one, SHALLOW_IN)) / surface,
                one.how == used,
            )
        )
    found.append(
        _estimate(
            "stretches",
            basin.offset_volume_ft3(pond),
            pond.area_ft2,
            1.0 - float(basin.offset_area_ft2(pond, SHALLOW_IN)) / pond.area_ft2,
            used == "stretches",
        )
    )
    found.append(_estimate("rule of thumb", basin.rule_of_thumb_ft3(pond), pond.area_ft2, None, False))
    return tuple(found)


def _estimate(way: str, volume_ft3: float, surface_ft2: float, shallow: float | None, used: bool) -> Estimate:
    return Estimate(way, volume_ft3 / ACRE_FT2, volume_ft3 / surface_ft2, shallow, used)


def _remarks(
    pond: Pond, used: str, estimates: tuple[Estimate, ...], unsure: Unsure | None
) -> tuple[str, ...]:
    said = [*pond.notes, *_unsure_words(unsure)]
    best = next(e for e in estimates if e.used)
    for other in estimates:
        gap = other.acre_ft / best.acre_ft - 1.0
        if other.used or other.way == "rule of thumb" or abs(gap) <= FAR_APART:
            continue
        why = (
            ": slopes hold near the shore only, and the floor is not flat"
            if other.way == "stretches" and gap > 0
            else (": check the one against the other")
        )
        said.append(
            f"The {other.way} say {100 * abs(gap):.0f} % {'more' if gap > 0 else 'less'} water than the {used}{why}."
        )
    if used == "stretches":
        said.append(
            "Slopes at the shore say little about the middle. Take soundings along lines across the pond, or get "
            "contours: they say more."
        )
    if pond.clarity_in is None:
        said.append("You gave no Secchi reading: we cannot say how deep submersed plants grow.")
    elif not SECCHI_RANGE_M[0] <= pond.clarity_in * INCH_M <= SECCHI_RANGE_M[1]:
        said.append(
            f"Your Secchi reading of {pond.clarity_in:g} in lies outside the range the rule was made for (8 in to 20 ft): "
            "take the depth of growth as a guess."
        )
    if advice := diffuser_advice(pond.keep_clear, pond.max_depth_ft):
        said.append(advice)
    return tuple(said)


def _cautions(pond: Pond) -> tuple[str, ...]:
    said = [
        "Sound it in company and in a life jacket; keep off thin ice.",
        "Volume here is for planting. For a dose of anything, a dam, a riser or a spillway, ask a licensed engineer or "
        "applicator, and keep to the label and the local code.",
    ]
    if any(k.kind in ("riser", "spillway") for k in pond.keep_clear):
        said.append(
            "Keep away from an open riser or a running spillway: the pull is stronger than a swimmer."
        )
    return tuple(said)
