"""How many planted plants live: the trials of establishment.csv, and the curves drawn through them.

A curve is the share of plants still alive over the months since planting, low, typical and high. It is kept as the
cumulative hazard `H = -ln(share)`, which adds up over time and never falls.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from plantpick.catalogue.schema import split_list
from plantpick.errors import PlantpickError, Problem, did_you_mean
from plantpick.vocabulary import PROPAGULES

# Every growth form has its share at these: 30 days, before the first winter, one year, three years.
CURVE_MONTHS = (1.0, 5.0, 12.0, 36.0)
YEAR = 12.0
FEWEST = 0.001  # no curve goes under 1 plant in 1,000: a trial in which all died held no more
USUAL_PROPAGULE = "rooted"
ALIVE = ("alive_low_percent", "alive_percent", "alive_high_percent")


@dataclass(frozen=True, kw_only=True)
class Trial:
    """One row: the share alive (low, typical, high, 0 to 1) so many months after planting.

    `plant_id` is empty where the row stands for every plant of the form. `grazers` are the animals that get at an open
    planting; a guarded one has none.
    """

    growth_form: str
    plant_id: str
    propagule: str
    guarded: bool
    grazers: frozenset[str]
    months: float
    alive: tuple[float, float, float]
    counted: str
    used_for: str
    source_id: str
    locator: str
    basis: str


@dataclass(frozen=True, repr=False)
class Establishment:
    """All trials, and the curves through those that are used for one."""

    trials: tuple[Trial, ...]

    @classmethod
    def from_table(cls, table: Mapping[str, list[str]]) -> Establishment:
        """The trials of the checked table, column to cells."""
        return cls(
            tuple(
                Trial(
                    growth_form=row["growth_form"],
                    plant_id=row["plant_id"],
                    propagule=row["propagule"],
                    guarded=row["guarded"] == "guarded",
                    grazers=frozenset(split_list(row["grazers"])),
                    months=float(row["months"]),
                    alive=(
                        float(row[ALIVE[0]]) / 100.0,
                        float(row[ALIVE[1]]) / 100.0,
                        float(row[ALIVE[2]]) / 100.0,
                    ),
                    counted=row["counted"],
                    used_for=row["used_for"],
                    source_id=row["source_id"],
                    locator=row["locator"],
                    basis=row["basis"],
                )
                for row in (dict(zip(table, cells)) for cells in zip(*table.values()))
            )
        )

    @cached_property
    def months(self) -> np.ndarray:
        """The months at which curves have a corner, rising from 0, (corners,)."""
        told = {t.months for t in self.trials if t.used_for == "curve"}
        return np.array(sorted({0.0, *CURVE_MONTHS, *told}))

    @cached_property
    def _points(self) -> dict[tuple[str, str, str, str], list[Trial]]:
        """The rows of each curve by rising months: (form or plant_id, propagule, "" or the animal that gets at it)."""
        found: dict[tuple[str, str, str, str], list[Trial]] = {}
        for trial in sorted(self.trials, key=lambda t: t.months):
            if trial.used_for == "curve":
                for animal in trial.grazers or ("",):
                    key = (trial.growth_form, trial.plant_id, trial.propagule, animal)
                    found.setdefault(key, []).append(trial)
        return found

    @cached_property
    def _curves(self) -> dict[tuple[str, str, str, str], np.ndarray | None]:
        """The curves that were asked for so far; None where there is none."""
        return {}

    def hazard(self, growth_form: str, plant_id: str = "", propagule: str = USUAL_PROPAGULE) -> np.ndarray:
        """The cumulative hazard of a plant that no animal gets at, (corners, 3): low, typical and high share alive.

        The plant's own rows where it has some, or else those of its form. Raises PlantpickError `propagule`.
        """
        key = (growth_form, plant_id, propagule, "")
        curve = self._curves.get(key)
        if curve is None:
            curve = self._through(key) if key in self._points else None
            if curve is None and plant_id:
                curve = self.hazard(growth_form, "", propagule)
            if curve is None:
                raise PlantpickError("propagule", self._no_curve(growth_form, propagule))
            self._curves[key] = curve
        return curve

    def open_hazard(self, growth_form: str, plant_id: str, propagule: str, animal: str) -> np.ndarray | None:
        """The same where an animal gets at the plant, never less; None where no row says what it does."""
        key = (growth_form, plant_id, propagule, animal)
        if key not in self._curves:
            own = next((k for k in (key, (growth_form, "", propagule, animal)) if k in self._points), None)
            guarded = self.hazard(growth_form, plant_id, propagule)
            self._curves[key] = None if own is None else np.maximum(self._through(own), guarded)
        return self._curves[key]

    def eaten_in_trials(self, animal: str) -> list[str]:
        """The plants of which a row of their own says that the animal got at them."""
        return self._eaten.get(animal, [])

    @cached_property
    def _eaten(self) -> dict[str, list[str]]:
        found: dict[str, list[str]] = {}
        for trial in self.trials:
            for animal in trial.grazers if trial.plant_id else ():
                found.setdefault(animal, []).append(trial.plant_id)
        return found

    def _through(self, key: tuple[str, str, str, str]) -> np.ndarray:
        """The curve through the points of one key, with the course of the curve that it stands on between them.

        A form's own curve is straight in H from point to point. The others take, between two points, the course of the
        form's curve (a planting's, that of the plant without animals), and follow it after the last.
        """
        growth_form, plant_id, propagule, animal = key
        months = np.array([0.0, *(t.months for t in self._points[key])])
        alive = np.clip([t.alive for t in self._points[key]], FEWEST, 1.0)
        hazard = np.vstack([np.zeros(3), -np.log(alive)])
        if not plant_id and not animal:
            curve = _straight(self.months, months, hazard)
        else:
            course = self.hazard(growth_form, plant_id if animal else "", propagule)
            curve = _with_course(self.months, months, hazard, course)
        # the tenth of plantings that do worst at one time are not those at another: the three never cross
        return -np.sort(-np.maximum.accumulate(curve, axis=0), axis=1)

    def _no_curve(self, growth_form: str, propagule: str) -> Problem:
        if propagule not in PROPAGULES:
            remedy = did_you_mean(propagule, PROPAGULES) or f"Allowed: {', '.join(PROPAGULES)}."
            return Problem("", f'no propagule is called "{propagule}".', remedy)
        known: Iterable[str] = (k[2] for k in self._points if k[0] == growth_form and not k[1] and not k[3])
        return Problem(
            "",
            f'nothing says how a {growth_form} plant set as "{propagule}" does.',
            f"Ask for one of: {', '.join(dict.fromkeys(known)) or 'none'}.",
        )


def _straight(corners: np.ndarray, months: np.ndarray, hazard: np.ndarray) -> np.ndarray:
    return np.stack([np.interp(corners, months, hazard[:, q]) for q in range(3)], axis=1)


def _with_course(
    corners: np.ndarray, months: np.ndarray, hazard: np.ndarray, course: np.ndarray
) -> np.ndarray:
    """The hazard at `corners` through the points, rising between them as `course` does (straight where that is flat)."""
    at = np.searchsorted(corners, months)  # every point is a corner
    curve = np.empty_like(course)
    for start, end, low, high in zip(at, at[1:], hazard, hazard[1:]):
        rise = course[start : end + 1] - course[start]
        flat = (corners[start : end + 1, None] - corners[start]) / (corners[end] - corners[start])
        share = np.where(rise[-1] > 0.0, rise / np.where(rise[-1] > 0.0, rise[-1], 1.0), flat)
        curve[start : end + 1] = low + (high - low) * share
    curve[at[-1] :] = hazard[-1] + course[at[-1] :] - course[at[-1]]
    return curve
