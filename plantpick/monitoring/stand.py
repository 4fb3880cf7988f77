"""What is known and advised of one stand: a plant on a stretch, as read on a day."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from plantpick.monitoring.growth_fit import Three
from plantpick.monitoring.projection import StandFigure, When


class Verdict(StrEnum):
    """How a stand's edge goes, the most pressing first."""

    FASTER = "faster than forecast"
    STRIP_FULL = "strip full"
    ON_TRACK = "on track"
    SLOWER = "slower than forecast"
    TOO_EARLY = "too early to say"
    NOT_MEASURED = "not measured yet"


VERDICTS = tuple(Verdict)


class Action(StrEnum):
    """What to do with a stand."""

    LEAVE = "leave"
    TRIM = "trim"
    TAKE_OUT = "take out"


@dataclass(frozen=True, kw_only=True)
class Stand:
    """One plant on one stretch. Triples are low, middle, high of an 80 per cent range.

    Rates are feet a season at the edge, or doublings a season where `floating`. `measured_rate` is what the
    readings say by themselves. `trim_ft` and `trim_ft2` go with the action "trim".
    """

    plant_id: str
    common_name: str
    stretch: str
    planted: date | None
    count: int
    verdict: Verdict
    why: str
    action: Action
    act_by: date | None
    trim_ft: float
    trim_ft2: float
    what_to_do: str
    floating: bool
    forecast_rate: Three
    rate: Three
    measured_rate: float | None
    area_ft2: Three
    share_percent: Three
    half_cap: When
    cap: When
    jump_years: tuple[int | None, int | None, int | None]  # early to late, see projection.jump_years
    ten_years_percent: Three  # as forecast
    ten_years_fitted_percent: Three  # with the fitted rate
    ten_years_until: date  # the day on which the ten years end
    chance_over_cap_forecast: float | None  # 0 to 1, that it holds more than your limit then, as forecast
    chance_over_cap: float | None  # the same with the fitted rate; None where nothing can be forecast
    odd_days: tuple[date, ...]
    remarks: tuple[str, ...]
    figure: StandFigure
    law_says: str = ""  # of a plant that you set and the law or a list has a word on
