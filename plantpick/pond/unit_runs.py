"""Rows of a survey in another unit than the rest, one after another: half a day's soundings in meters among feet.

A single row among many of the other unit stands out from its neighbors (`bathymetry.mixed_units`). A long run does not: only along
its seam do soundings lie beside some of the other unit. There they differ by 3.28 at the same distance from the shore, which no
bottom does all along a line, and the bank reads 3.28 times as flat or as steep as you gave it on one side only.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from plantpick.pond import bathymetry
from plantpick.pond.model import Outline

APART = (
    2.3,
    4.7,
)  # ratios of two depths side by side that feet beside meters may give; 3.28 is their middle: judgement
BESIDE = 8  # nearest soundings that a sounding is compared with
SAME_SHORE = 0.7  # least ratio of the distances from the shore of two that are compared: judgement
DEEP_IN = 36.0  # the deeper of them: in shallow water ratios say nothing (judgement)
FEWEST_PAIRS = 8  # along a seam: judgement
ALONG_SEAM = 0.7  # the least share of them that differ so, and the most elsewhere: judgement
ELSEWHERE = 0.15
BLOCKS = 64  # runs are looked for between so many places of the file, then to the row
ON_BANK = 0.6  # soundings up to this part of the way to the greatest depth lie on the bank
NEAR_SHORE_FT = 5.0  # closer in an error of position counts for too much
FEWEST_ON_BANK = 5
BANK_APART = (2.0, 5.4)  # how many times as flat one side's bank reads, by the slopes you gave: judgement
LEAST_APART = 1.5  # the least of it where nobody said which slope is where: judgement


@dataclass(frozen=True, kw_only=True)
class UnitRun:
    """Rows `first` to `last` (counted from 0), `shallow` where they look like meters among feet, else feet among meters. `apart` of
    the `pairs` of soundings side by side along its seam differ so. `reads` is the bank's slope over the slope you gave, in the run
    and in the rest: 1 where they agree."""

    first: int
    last: int
    shallow: bool
    pairs: int
    apart: int
    reads: tuple[float, float]


def unit_run(
    outline: Outline, soundings: np.ndarray, slope: np.ndarray, slopes_differ: float = 1.0
) -> UnitRun | None:
    """The run of rows in another unit than the rest; None where there is none. `soundings` (n, 3) as everywhere, in the order in which
    they were written down; `slope` (n,) is what you gave for the bank nearest to each, feet out for one foot down. Where nobody said
    which bank that is, it is their mean, and `slopes_differ` how many times as flat as the steepest the flattest is."""
    if len(soundings) < 4 * FEWEST_PAIRS:
        return None
    import shapely

    shore = shapely.distance(bathymetry.polygon(outline).boundary, shapely.points(soundings[:, :2]))
    pairs = _Pairs.beside(soundings, shore)
    found = max(
        (pairs.best_run(len(soundings), shallow=shallow) for shallow in (True, False)),
        key=lambda run: run[0],
    )
    gain, first, after, shallow = found
    if gain <= 0:
        return None
    crossing, right = pairs.seam(first, after, shallow)
    seam, apart = int(crossing.sum()), int(right.sum())
    rest = (pairs.apart & ~right).sum() / max(len(crossing) - seam, 1)
    if seam < FEWEST_PAIRS or apart < ALONG_SEAM * seam or rest > ELSEWHERE:
        return None
    usual = float(np.exp(np.median(np.abs(pairs.deeper[right]))))
    if not bathymetry.UNIT_RATIO[0] <= usual <= bathymetry.UNIT_RATIO[1]:
        return None
    inside = np.zeros(len(soundings), dtype=bool)
    inside[first:after] = True
    reads = _banks(soundings, shore, slope, inside)
    flatter = reads[0] / reads[1] if shallow else reads[1] / reads[0]
    if not max(LEAST_APART, BANK_APART[0] / slopes_differ) <= flatter <= BANK_APART[1] * slopes_differ:
        return None
    return UnitRun(first=first, last=after - 1, shallow=shallow, pairs=seam, apart=apart, reads=reads)


def _banks(
    soundings: np.ndarray, shore: np.ndarray, slope: np.ndarray, inside: np.ndarray
) -> tuple[float, float]:
    """How many times as flat as you gave it the bank reads in the run and in the rest; NaN where too few lie on it."""
    depth_ft = soundings[:, 2] / 12.0
    on_bank = (shore >= NEAR_SHORE_FT) & (shore <= ON_BANK * slope * depth_ft.max()) & (depth_ft > 0)
    reads = shore / np.maximum(depth_ft * slope, 1e-9)
    sides = [reads[on_bank & side] for side in (inside, ~inside)]
    one, other = (float(np.median(side)) if len(side) >= FEWEST_ON_BANK else float("nan") for side in sides)
    return one, other


@dataclass(frozen=True)
class _Pairs:
    """Soundings side by side, a pair each once: rows `a` before `b`, and the logarithm of how many times as deep `b` is."""

    a: np.ndarray
    b: np.ndarray
    deeper: np.ndarray

    @classmethod
    def beside(cls, soundings: np.ndarray, shore: np.ndarray) -> _Pairs:
        """Near neighbors at much the same distance from the shore, closer to each other than to it."""
        from scipy.spatial import cKDTree

        xy, depth = soundings[:, :2], soundings[:, 2]
        near = cKDTree(xy).query(xy, k=BESIDE + 1)[1]
        one, two = np.repeat(np.arange(len(xy)), BESIDE + 1), near.ravel()
        keys = np.unique(np.minimum(one, two) * len(xy) + np.maximum(one, two))
        a, b = keys // len(xy), keys % len(xy)
        least, most = np.minimum(shore[a], shore[b]), np.maximum(shore[a], shore[b])
        shallow, deep = np.minimum(depth[a], depth[b]), np.maximum(depth[a], depth[b])
        apart_ft = np.hypot(*(xy[a] - xy[b]).T)
        keep = (
            (a != b) & (least >= SAME_SHORE * most) & (apart_ft <= least) & (deep >= DEEP_IN) & (shallow > 0)
        )
        return cls(a[keep], b[keep], np.log(depth[b[keep]] / depth[a[keep]]))

    @property
    def apart(self) -> np.ndarray:
        """Which differ as feet and meters do."""
        ratio = np.abs(self.deeper)
        return (np.log(APART[0]) <= ratio) & (ratio <= np.log(APART[1]))

    def seam(self, first: int, after: int, shallow: bool) -> tuple[np.ndarray, np.ndarray]:
        """Which pairs have one row in the run [first, after) and one outside, and which of these differ the right way."""
        a_in, b_in = ((rows >= first) & (rows < after) for rows in (self.a, self.b))
        crossing = a_in != b_in
        b_shallower = self.deeper < 0
        right = self.apart & crossing & (b_shallower == (b_in == shallow))
        return crossing, right

    def best_run(self, count: int, *, shallow: bool) -> tuple[int, int, int, bool]:
        """The run whose seam has most pairs that differ the right way beyond those that don't: that surplus, first row, row after the
        last, and `shallow` again. First between BLOCKS places of the file, then either end to the row."""
        blocks = min(BLOCKS, count)
        starts = (np.arange(blocks + 1) * count + blocks - 1) // blocks
        block = np.searchsorted(starts, np.arange(count), side="right") - 1
        # a pair whose later row is in the run counts one way, whose earlier row is in it the other
        later, earlier = (
            np.where(self.apart & ((self.deeper < 0) == right), 1, -1) for right in (shallow, not shallow)
        )
        sums = []
        for weight in (later, earlier):
            table = np.zeros((blocks, blocks))
            np.add.at(table, (block[self.a], block[self.b]), weight)
            sums.append(np.pad(table, ((1, 0), (1, 0))).cumsum(0).cumsum(1))
        best = (0, 0, count, shallow)
        for p in range(blocks):
            for q in range(blocks, p, -1):
                if (p, q) == (0, blocks):
                    continue
                into = sums[0][p, q] - sums[0][p, p]  # earlier row before the run, later row in it
                out = (sums[1][q, blocks] - sums[1][p, blocks]) - (sums[1][q, q] - sums[1][p, q])
                if into + out > best[0]:
                    best = (int(into + out), int(starts[p]), int(starts[q]), shallow)
        gain, first, after, _ = best
        for _ in range(2 if gain > 0 else 0):
            first = self._best_first(count, after, later, earlier) if first > 0 else 0
            after = self._best_after(count, first, later, earlier) if after < count else count
        return gain, first, after, shallow

    def _best_first(self, count: int, after: int, later: np.ndarray, earlier: np.ndarray) -> int:
        """The best first row of a run that ends before row `after`: a pair inside of it is on the seam while the run begins between
        its rows, a pair that leaves it while the run has its earlier row."""
        gain = np.zeros(count + 1)
        within, leaves = self.b < after, (self.a < after) & (self.b >= after)
        np.add.at(gain, self.a[within] + 1, later[within])
        np.add.at(gain, self.b[within] + 1, -later[within])
        np.add.at(gain, np.zeros(leaves.sum(), dtype=int), earlier[leaves])
        np.add.at(gain, self.a[leaves] + 1, -earlier[leaves])
        return int(np.cumsum(gain)[:after].argmax())

    def _best_after(self, count: int, first: int, later: np.ndarray, earlier: np.ndarray) -> int:
        """The same for the row after the last of a run that begins at row `first`."""
        gain = np.zeros(count + 2)
        within, enters = self.a >= first, (self.a < first) & (self.b >= first)
        np.add.at(gain, self.a[within] + 1, earlier[within])
        np.add.at(gain, self.b[within] + 1, -earlier[within])
        np.add.at(gain, self.b[enters] + 1, later[enters])
        return first + 1 + int(np.cumsum(gain)[first + 1 : count + 1].argmax())
