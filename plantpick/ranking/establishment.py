"""How many of the plants you set live: at 30 days, before the first winter, at a year and at three.

The curves of establishment.csv are for good conditions: a plant at its best depths, where no animal gets at it. Depth, a
falling level and soil each leave a part of that at a year, more of it before and less after, in step with the curve's own
course; an animal that gets at the plant has a curve of its own, or leaves a part as well. Low, typical and high are the
10, 50 and 90 % points. Parts without a source are judgement.
"""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from plantpick.catalogue.establishment import FEWEST, USUAL_PROPAGULE, YEAR, Establishment
from plantpick.catalogue.traits import Traits
from plantpick.errors import PlantpickError, Problem, did_you_mean
from plantpick.pond.deepest_growth import light_limit_in
from plantpick.pond.model import Pond
from plantpick.ranking.site_factors import level_index
from plantpick.vocabulary import GRAZERS, SOILS

# Parts left at a year, low, typical and high.
# At the shallow or deep end of where the plant lives: judgement. Beyond, and on the way there, by its power.
END_OF_DEPTHS = np.array([0.03, 0.1, 0.3])
LEAST_SLACK_IN = 2.0  # inches from the best depths to the end, at the least: no plant is set truer than that
LIT = 0.65  # to this part of the depth where light ends a submersed plant, light takes none: judgement
# A falling level: the site factor's index to this power. Judgement beside one trial, in which 38 % of sedge rhizomes had
# shoots under a falling level and 73 % under a rising one (Yetka and Galatowitsch 1999, summary read).
LEVEL_POWER = np.array([1.5, 1.0, 0.5])
LEAST_LEVEL = 0.02
# An animal that eats the plant and gets at it, where no row of the table says what it does: judgement. Seven of nine wild
# celery plants lived without a cage and 45 of 45 in one (Doyle et al. 1997, summary read), which is no clear difference.
OPEN_TO_GRAZERS = np.array([0.25, 0.8, 1.0])
# What the bottom leaves: judgement. That sand is worse than fine soil is published: wild celery from tubers (Aquatic
# Botany 24:233-240, 1986, abstract read), growth of freshwater marsh plants (Dredged Material Research Program 1977, abstract read).
# That tight clay, loose muck and rock lose plants is common practice, no source.
SOIL_LEAVES: dict[str, tuple[float, float, float]] = {
    "loam": (1.0, 1.0, 1.0),
    "clay": (0.85, 0.95, 1.0),
    "packed clay": (0.35, 0.65, 0.95),
    "sand": (0.65, 0.9, 1.0),
    "muck": (0.55, 0.85, 1.0),
    "rock": (0.2, 0.5, 0.85),
}
AT_HOME_IN_MUCK = (
    "floating-leaved",
    "free-floating",
)  # lilies hold in muck that other plants float out of: practice
# How far plants of one group die together, 0 (each by itself) to 1 (all or none): judgement. Groups of seven then count as
# two plants that die by themselves, groups of three as 1.7.
DIE_TOGETHER = 0.4

NO_GUARD: frozenset[str] = frozenset()
EVERY_GUARD = frozenset(GRAZERS)  # a guard that matches whatever eats the plant


def alive(
    plants: Traits,
    pond: Pond,
    months: float,
    *,
    establishment: Establishment,
    depth_in: np.ndarray | float,
    soil: Iterable[str | None] | str | None = None,
    guarded: frozenset[str] = NO_GUARD,
    propagule: str = USUAL_PROPAGULE,
) -> np.ndarray:
    """The share of the plants set that are alive so many months later, (plants, 3): 10, 50 and 90 % points, 0 to 1.

    `depth_in` is the water over each plant's crown at full pool, inches, (plants,) or one for all. `soil` is a word of
    `vocabulary.SOILS` or None, one for each plant or one for all. `guarded` are the animals that the guard keeps out: it
    helps against those and no others. `propagule` is a word of `vocabulary.PROPAGULES`. From the third year on the share
    stays. Raises PlantpickError `establishment` for a bad value and `propagule` where nothing is known of one.

    `S = exp(-H)`, `H = H_curve(months) - step(months) sum of ln part`; `step` is the form's typical course, 1 at a year.
    """
    if not months >= 0.0:
        raise PlantpickError(
            "establishment", Problem("months", f"{months} is no time since planting.", "Give 0 or more.")
        )
    _known("guarded", guarded, GRAZERS)
    count = len(plants)
    depth = np.broadcast_to(np.asarray(depth_in, dtype=float), (count,))
    if not np.isfinite(depth).all():
        raise PlantpickError(
            "establishment", Problem("depth_in", "a depth is no number.", "Give inches at full pool.")
        )
    soils = [soil] * count if soil is None or isinstance(soil, str) else list(soil)
    if len(soils) != count:
        raise PlantpickError(
            "establishment",
            Problem("soil", f"{len(soils)} words for {count} plants.", "Give one for each, or one for all."),
        )
    _known("soil", {word for word in soils if word is not None}, SOILS)
    if not count:
        return np.empty((0, 3))

    forms, ids = plants.word["growth_form"], plants.plant_id
    at = _Time(establishment.months, months)
    year = _Time(establishment.months, YEAR)
    course = {form: establishment.hazard(form, "", propagule)[None] for form in set(forms)}
    steps = {form: float(at(curve)[0, 1] / year(curve)[0, 1]) for form, curve in course.items()}
    step = np.array([steps[form] for form in forms])[:, None]
    hazard = at(np.stack([establishment.hazard(f, i, propagule) for f, i in zip(forms, ids)]))
    worst = hazard
    for animal in sorted(pond.residents - guarded):
        worst = np.maximum(worst, _with_animal(animal, plants, hazard, step, establishment, propagule, at))
    parts = _depth_part(plants, pond, depth) + _level_part(plants, pond, depth) + _soil_part(plants, soils)
    return np.exp(-np.minimum(worst - step * parts, -np.log(FEWEST)))


def groups_alive(plants: Traits, share: np.ndarray) -> np.ndarray:
    """The share of groups with a plant alive, (plants, 3), from `alive`'s share of plants.

    Plants of one group share their spot and die together, so a group counts as fewer plants than it has.

    `1 - (1 - S)^m`, `m = n / (1 + (n - 1) k)`: n plants in a group, k `DIE_TOGETHER`
    """
    by_themselves = plants.group / (1.0 + (plants.group - 1.0) * DIE_TOGETHER)
    return 1.0 - (1.0 - share) ** by_themselves[:, None]


def _known(what: str, words: Iterable[str], allowed: tuple[str, ...]) -> None:
    problems = [
        Problem(
            what,
            f'"{word}" is not one of the words allowed.',
            did_you_mean(word, allowed) or f"Allowed: {', '.join(allowed)}.",
        )
        for word in sorted(set(words) - set(allowed))
    ]
    if problems:
        raise PlantpickError("establishment", problems)


class _Time:
    """A time since planting: takes curves (plants, corners, 3) to their hazard then, (plants, 3)."""

    def __init__(self, corners: np.ndarray, months: float) -> None:
        self.corner = min(int(np.searchsorted(corners, months, side="right")) - 1, len(corners) - 2)
        start, end = corners[self.corner : self.corner + 2]
        self.part = min((months - start) / (end - start), 1.0)  # after the last corner its value stays

    def __call__(self, curves: np.ndarray) -> np.ndarray:
        before, after = curves[:, self.corner], curves[:, self.corner + 1]
        return before + self.part * (after - before)


def _with_animal(
    animal: str,
    plants: Traits,
    hazard: np.ndarray,
    step: np.ndarray,
    establishment: Establishment,
    propagule: str,
    at: _Time,
) -> np.ndarray:
    """The hazard, (plants, 3), where one animal gets at all that it eats; no more for the others."""
    eats = plants.has["eaten_by"].get(animal, np.zeros(len(plants), dtype=bool))
    found = np.where(eats[:, None], hazard - step * np.log(OPEN_TO_GRAZERS), hazard)
    rows, curves = [], []
    for row in np.flatnonzero(eats | np.isin(plants.plant_id, establishment.eaten_in_trials(animal))):
        curve = establishment.open_hazard(
            plants.word["growth_form"][row], plants.plant_id[row], propagule, animal
        )
        if curve is not None:
            rows.append(row)
            curves.append(curve)
    if rows:
        found[rows] = at(np.stack(curves))
    return found


def _depth_part(plants: Traits, pond: Pond, depth: np.ndarray) -> np.ndarray:
    """The logarithm of what the depth leaves at a year, (plants, 3): none off from end to end of the best depths.

    Light ends a submersed plant, if the water's depth does not: its own limit, low to high, for the Secchi reading, or for
    murky, usual and clear water without one.
    """
    n = {
        column: plants.number[f"depth_{column}_in"][:, None]
        for column in ("min", "best_min", "best_max", "max")
    }
    readings = enumerate(pond.clarity_range_in)
    light = np.stack([light_limit_in(plants, clarity)[:, q] for q, clarity in readings], axis=1)
    best_max = np.minimum(n["best_max"], LIT * light)
    deepest = np.minimum(n["max"], light)
    over = (depth[:, None] - best_max) / np.maximum(deepest - best_max, LEAST_SLACK_IN)
    under = (n["best_min"] - depth[:, None]) / np.maximum(n["best_min"] - n["min"], LEAST_SLACK_IN)
    return np.nan_to_num(np.maximum(np.maximum(over, under), 0.0)) * np.log(END_OF_DEPTHS)


def _level_part(plants: Traits, pond: Pond, depth: np.ndarray) -> np.ndarray:
    """The logarithm of what the pond's drop leaves at a year, (plants, 3); where you gave none, the low end expects one."""
    drop = pond.usual_drop_in + pond.unsure_drop_in * np.array([1.0, 0.0, 0.0])
    index = level_index(plants, depth[:, None], drop)
    index = np.where(np.isnan(index), 0.5, index)  # how it stands being left dry is not known
    return np.log(np.maximum(index, LEAST_LEVEL)) * LEVEL_POWER


def _soil_part(plants: Traits, soils: list[str | None]) -> np.ndarray:
    """The logarithm of what the soil leaves at a year, (plants, 3); none off where nobody said what it is."""
    leaves = np.log([SOIL_LEAVES[word] if word else (1.0, 1.0, 1.0) for word in soils])
    muck = np.array([word == "muck" for word in soils]) & np.isin(plants.word["growth_form"], AT_HOME_IN_MUCK)
    return np.where(muck[:, None], 0.0, leaves)
