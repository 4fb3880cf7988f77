"""Draws of what nobody knows for sure: rate, reach, jumping and survival, stratified, and tied by one factor of the pond.

Low, typical and high of a trait are its 10, 50 and 90 % points. A rate, or a doubling time, is log-normal on either side of
the typical; a depth, a share, a yearly number of colonies is normal on either side. One factor says whether a pond is good or
poor for growth: it is the same for every trait and every plant of a draw, so that the standard scores of any two correlate
by CORRELATION. Every trait of every plant is stratified: of N draws one falls into each of N slices of equal chance (Latin
hypercube; McKay, Beckman and Conover 1979, Technometrics 21:239-245, from memory). A plant's draws hang on its plant_id and
the seed alone: whichever plants stand beside it, they are the same.
"""

from __future__ import annotations

import zlib
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from statistics import NormalDist

import numpy as np

TENTH = 1.2815515655446004  # standard score of the 90 % point
CORRELATION = 0.5  # of the standard scores of any two traits or plants in one pond: judgement
DRAWN = ("rate", "reach", "jump", "survival")
MANY, FEW = 256, 64  # draws for a chance that you read, and for one that only says whether a plant still fits
SEED = 20_260_401


@dataclass(frozen=True, kw_only=True)
class Draws:
    """Standard scores by trait, (plants, draws), or (1, draws) where all plants share them: 0 is typical, TENTH the 90 %
    point. The higher, the more of the plant there is: faster, deeper, more colonies, fewer dead."""

    score: dict[str, np.ndarray]

    @property
    def number(self) -> int:
        """How many draws there are."""
        return self.score["rate"].shape[1]

    def column(self, draw: int) -> Draws:
        """One of the draws alone."""
        return Draws(score={trait: s[:, draw : draw + 1] for trait, s in self.score.items()})

    def subset(self, rows: np.ndarray) -> Draws:
        """The same for some of the plants: a boolean mask or an array of positions."""
        return Draws(score={t: s if len(s) == 1 else s[rows] for t, s in self.score.items()})


def _all_at(scores: Sequence[float]) -> Draws:
    return Draws(score=dict.fromkeys(DRAWN, np.array([scores], dtype=float)))


POINTS = _all_at((-TENTH, 0.0, TENTH))  # low, typical and high of every trait at once
# The same for a whole planting: of so many traits of several plants, each with the same weight, the sum is at its 10 and 90 %
# points where every one of them is that much nearer to the typical (the standard deviation of a mean of correlated scores).
TRAITS_TOGETHER = 16
TOGETHER = float(np.sqrt((1.0 + (TRAITS_TOGETHER - 1) * CORRELATION) / TRAITS_TOGETHER))
JOINT_POINTS = _all_at((-TOGETHER * TENTH, 0.0, TOGETHER * TENTH))


@lru_cache(maxsize=8)
def _slices(number: int) -> np.ndarray:
    """Standard scores at the middle of `number` slices of equal chance, low to high."""
    normal = NormalDist()
    return np.array([normal.inv_cdf((k + 0.5) / number) for k in range(number)])


def ends(number: int = MANY) -> Draws:
    """Two draws: every trait in its lowest slice, and every trait in its highest."""
    slices = _slices(number)
    return _all_at((slices[0], slices[-1]))


def draw(
    plant_ids: Iterable[str], number: int = MANY, *, seed: int = SEED, correlation: float = CORRELATION
) -> Draws:
    """`number` draws for each plant.

    The factor of the pond is stratified and the same for all; what a trait has of its own is stratified and shuffled. Their
    sum is stratified again by its order, so that each trait of each plant falls once into each slice.
    """
    slices = _slices(number)
    shared = np.sqrt(correlation) * np.random.default_rng(seed).permutation(slices)
    ids = [str(plant_id) for plant_id in plant_ids]
    own = np.empty((len(ids), len(DRAWN), number))
    for row, plant_id in enumerate(ids):
        dice = np.random.default_rng((seed, zlib.crc32(plant_id.encode())))
        own[row] = dice.permuted(np.broadcast_to(slices, (len(DRAWN), number)), axis=1)
    order = np.argsort(shared + np.sqrt(1.0 - correlation) * own, axis=2)
    scores = np.empty_like(own)
    np.put_along_axis(scores, order, np.broadcast_to(slices, own.shape), axis=2)
    return Draws(score={trait: scores[:, k] for k, trait in enumerate(DRAWN)})


def own_scores(plant_ids: Iterable[str], kinds: int, number: int = MANY, *, seed: int = SEED) -> np.ndarray:
    """Standard scores of what hangs on no other plant and on no factor of the pond, (kinds, plants, draws): stratified, and a
    plant's own whichever plants stand beside it."""
    slices = np.broadcast_to(_slices(number), (kinds, number))
    rows = [
        np.random.default_rng((seed, zlib.crc32(str(plant_id).encode()), kinds)).permuted(slices, axis=1)
        for plant_id in plant_ids
    ]
    return np.stack(rows, axis=1) if rows else np.empty((kinds, 0, number))


def normal_between(points: np.ndarray, score: np.ndarray) -> np.ndarray:
    """A depth, share or number whose 10, 50 and 90 % points are `points` (plants, 3), at standard scores (plants, draws)."""
    low, typical, high = (points[..., q, None] for q in range(3))
    return typical + score / TENTH * np.where(score >= 0, high - typical, typical - low)


def lognormal_between(points: np.ndarray, score: np.ndarray) -> np.ndarray:
    """A rate or time in the same way, log-normal on either side; a side that begins at 0 is normal, and never under 0."""
    low, typical, high = (points[..., q, None] for q in range(3))
    with np.errstate(divide="ignore", invalid="ignore"):
        side = np.where(score >= 0, high / typical, typical / low)
        logs = typical * side ** (score / TENTH)
    plain = np.maximum(normal_between(points, score), 0.0)
    return np.where((typical > 0) & (low > 0), logs, plain)


def percent_points(values: np.ndarray) -> np.ndarray:
    """The 10, 50 and 90 % points of draws along the last axis, (..., 3)."""
    return np.moveaxis(np.quantile(values, (0.1, 0.5, 0.9), axis=-1), 0, -1)
