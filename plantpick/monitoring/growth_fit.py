"""How fast a stand's edge advances, from a few tape readings and the forecast: a stated Bayesian update.

Time runs in growing seasons, since edges stand still in winter. The edge's place is e + v x, with v in feet a season. Before any reading v is log-normal on
either side of the forecast's typical rate, its low and high being the 10 and 90 per cent points. A reading
errs by a quarter of a foot and a share of the stand's radius (SCATTER), and one in ten is quite wrong
(Cauchy's distribution, whose tails let a slip of any size count for next to nothing). All of it is added up
on a grid: no sampling, no seed. Widths, shares and the one in ten are judgement.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from plantpick.ranking.draws import TENTH

SETTLING_SEASONS = 1.0  # as takeover.SETTLING_YEARS: a planted group stands still for its first
TAPE_FT = 0.25  # error of the tape and of what counts as the edge, feet
SCATTER = (
    (0.03, 0.06, 0.10, 0.16, 0.25),
    (0.15, 0.30, 0.30, 0.18, 0.07),
)  # share of the radius, and its weight
DOUBLINGS_PER_SCATTER = 3.0  # the same for a free-floating mat, in doublings: 0.1 to 0.75
WRONG, WRONG_TIMES = (
    0.1,
    3.0,
)  # share of wrong readings; half their errors are larger than this many usual ones
INTERVAL = (0.1, 0.5, 0.9)  # an 80 per cent interval about the median
LEAST_RATE = 0.02  # feet a year: slower looks the same as standing still
_RATES, _PLACES = 121, 61


Three = tuple[float, float, float]  # low, middle, high


@dataclass(frozen=True)
class Prior:
    """The forecast rate: low, typical, high, in feet (or doublings) a season."""

    low: float
    typical: float
    high: float

    @classmethod
    def of(cls, low: float, typical: float, high: float, least: float = LEAST_RATE) -> Prior:
        """With rates that are 0 or equal held a little apart, as nothing is that sure."""
        typical = max(typical, least)
        return cls(max(min(low, typical / 1.3), least / 2.0), typical, max(high, typical * 1.3))

    def log_density(self, v: np.ndarray) -> np.ndarray:
        """Logarithm of the density of log v (up to a constant), half of the weight on either side of
        typical."""
        x = np.log(v / self.typical)
        below, above = (
            np.log(self.typical / self.low) / TENTH,
            np.log(self.high / self.typical) / TENTH,
        )
        spread = np.where(x < 0.0, below, above)
        return -0.5 * (x / spread) ** 2 - np.log(spread)


@dataclass(frozen=True)
class Series:
    """Readings that share a starting point: `x` seasons of growth, `y` feet (or doublings). Cutting starts a
    new one.

    `start` is where a planted group's edge stood at x = 0; None where it is not known.
    """

    x: np.ndarray
    y: np.ndarray
    start: float | None = None
    doublings: bool = False


@dataclass(frozen=True)
class Fit:
    """Rate and starting point after the readings, as weights on a grid.

    `rate` (low, median, high) is the 80 per cent interval; `measured` the median of the slopes between all
    pairs of readings (Theil and Sen), None with fewer than two; `odd[s]` marks the readings of series s that
    the fit takes for wrong.
    """

    v: np.ndarray  # (rates,)
    place: np.ndarray  # (rates, places): edge at x = 0 of the last series
    weight: np.ndarray  # (rates, places), sums to one
    measured: float | None
    odd: tuple[np.ndarray, ...]

    @property
    def rate(self) -> Three:
        return self.interval(np.broadcast_to(self.v[:, None], self.weight.shape))

    def edge(self, x: float) -> np.ndarray:
        """Where the edge of the last series stands after x seasons, on the grid."""
        return self.place + self.v[:, None] * max(0.0, x)

    def seasons_to(self, edge: float) -> np.ndarray:
        """The x at which the edge reaches a place, on the grid (0 where it is there already)."""
        return np.maximum(0.0, (edge - self.place) / self.v[:, None])

    def interval(self, values: np.ndarray) -> Three:
        """Low, median and high (INTERVAL) of values on the grid."""
        flat, weight = np.ravel(values), np.ravel(self.weight)
        order = np.argsort(flat, kind="stable")
        total = np.cumsum(weight[order]) - 0.5 * weight[order]
        low, middle, high = np.interp(INTERVAL, total, flat[order])
        return float(low), float(middle), float(high)


def pairwise_rate(series: list[Series]) -> float | None:
    """The median of all slopes between two readings of one series (Theil 1950, Sen 1968); None without a
    pair.

    Pairs less than a tenth of a season apart (a fiftieth for what doubles) say nothing about a rate and are
    left out.
    """
    slopes = []
    for s in series:
        i, j = np.triu_indices(len(s.x), 1)
        apart = s.x[j] - s.x[i]
        far = np.abs(apart) >= (0.02 if s.doublings else 0.1)
        slopes.append(((s.y[j] - s.y[i])[far]) / apart[far])
    every = np.concatenate(slopes) if slopes else np.array([])
    return float(np.median(every)) if len(every) else None


def fit(series: list[Series], prior: Prior) -> Fit:
    """Update the forecast rate with readings. The last series is the one that goes on growing.

    Every series has its own starting point (flat prior, or about `start` for a planted group); the rate is
    common. With no readings at all the rate keeps the forecast's spread.
    """
    measured = pairwise_rate(series)
    spread = 4.0 / TENTH
    low = prior.typical * (prior.low / prior.typical) ** spread
    top = max(prior.typical * (prior.high / prior.typical) ** spread, 3.0 * (measured or 0.0))
    for _ in range(2):  # a second, finer grid where the first found any weight
        v, place, weight = _weigh(series, prior, np.geomspace(low, top, _RATES))
        some = np.flatnonzero(weight.sum(axis=1) > 1e-7 * weight.sum(axis=1).max())
        low, top = v[max(0, some[0] - 1)], v[min(_RATES - 1, some[-1] + 1)]
    weight = weight / weight.sum()
    middle = float(np.interp(0.5, np.cumsum(weight.sum(axis=1)), v))
    return Fit(v, place, weight, measured, tuple(_odd(s, middle) for s in series))


def _weigh(series: list[Series], prior: Prior, v: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """The rates, the starting points of the last series and their joint weight."""
    sizes, size_weight = (np.array(c) for c in SCATTER)
    log_weight = prior.log_density(v)[:, None] + np.log(size_weight)[None, :]  # (rates, scatter)
    last: tuple[np.ndarray, np.ndarray] | None = None  # places and their log likelihood
    for s in series:
        places, log_like = _grid(s, v, sizes)
        top_like = log_like.max(axis=2, keepdims=True)
        step = np.log(np.maximum(places[:, 1] - places[:, 0], 1e-9))
        log_sum = np.log(np.exp(log_like - top_like).sum(axis=2)) + top_like[:, :, 0] + step[:, None]
        log_weight = log_weight + log_sum
        last = places, log_like + step[:, None, None] - log_sum[:, :, None]
    joint = np.exp(log_weight - log_weight.max())
    joint /= joint.sum()
    if last is None:
        return v, np.zeros((len(v), 1)), joint.sum(axis=1, keepdims=True)
    places, log_place = last
    return v, places, (joint[:, :, None] * np.exp(log_place)).sum(axis=1)


def _scale(sizes: np.ndarray, edge: np.ndarray, doublings: bool) -> np.ndarray:
    """The error of a reading where the edge stands at `edge`."""
    if doublings:
        return np.broadcast_to(DOUBLINGS_PER_SCATTER * sizes, np.broadcast_shapes(sizes.shape, edge.shape))
    return np.hypot(TAPE_FT, sizes * np.maximum(edge, 0.0))


def _log_reading(residual: np.ndarray, scale: np.ndarray) -> np.ndarray:
    right = (1.0 - WRONG) * np.exp(-0.5 * (residual / scale) ** 2) / scale
    wide = WRONG_TIMES * scale
    wrong = WRONG * np.sqrt(2.0 / np.pi) / (wide * (1.0 + (residual / wide) ** 2))
    return np.log(right + wrong + 1e-300)


def _grid(s: Series, v: np.ndarray, sizes: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Starting points (rates, places) and the log likelihood (rates, scatter, places) of one series."""
    residual = s.y[None, :] - v[:, None] * s.x[None, :]  # (rates, readings)
    if s.start is not None:
        residual = np.concatenate([residual, np.full((len(v), 1), s.start)], axis=1)
    if not residual.shape[1]:
        residual = np.zeros((len(v), 1))
    middle = np.median(residual, axis=1)
    reach = _scale(sizes[2:3], np.array([np.max(np.abs(s.y), initial=1.0)]), s.doublings)[0]
    low = np.maximum(residual.min(axis=1) - 4.0 * reach, middle - 15.0 * reach)
    high = np.minimum(residual.max(axis=1) + 4.0 * reach, middle + 15.0 * reach)
    places = np.linspace(low, high, _PLACES, axis=1)  # (rates, places)
    log_like = np.zeros((len(v), len(sizes), _PLACES))
    for x, y in zip(s.x, s.y):
        edge = places + v[:, None] * x
        scale = _scale(sizes[None, :, None], edge[:, None, :], s.doublings)
        log_like += _log_reading((y - edge)[:, None, :], scale)
    if s.start is not None:
        # the first size is known to a third, and settling takes a third of a season more or less (judgement)
        sure = np.hypot(TAPE_FT + s.start / 3.0, v / 3.0)[:, None, None]
        log_like += -0.5 * ((places - s.start)[:, None, :] / sure) ** 2 - np.log(sure)
    if not s.doublings:
        log_like += np.where(places < 0.0, -2.0 * (places / (2.0 * reach)) ** 2, 0.0)[:, None, :]
    return places, log_like


def _odd(s: Series, rate: float) -> np.ndarray:
    """Readings more than three and a half usual errors off the line of the others' median."""
    if len(s.x) + (s.start is not None) < 3:
        return np.zeros(len(s.x), dtype=bool)
    residual = s.y - rate * s.x
    start = np.median(np.append(residual, [] if s.start is None else s.start))
    scale = _scale(np.full(len(s.x), 0.10), start + rate * s.x, s.doublings)
    return np.abs(residual - start) > 3.5 * scale
