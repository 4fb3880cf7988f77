"""Oxygen in the water: what it can hold, whether it lasts to dawn, and how much of a stand may rot at once.

Screening rules for a warm-water fishing pond, not a model of it. Temperatures in degrees C inside, oxygen in
mg/L.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from plantpick.pond.basin import volume_ft3
from plantpick.pond.model import Pond
from plantpick.units import FOOT_M

FT3_LITERS = 28.316846592
FT2_M2 = 0.09290304
GRAM_LB = 1.0 / 453.59237

AERATE_BELOW = 4.0  # mg/L forecast before 7 in the morning: aerate (UF/IFAS FA-27)
LINES_APART_MG_L = 0.5  # the straight and the log-linear night line are both shown from here on: judgement
METER_MG_L = 0.1  # a reading may well be off by this: judgement
MOST_MG_L = 30.0  # more no meter reads in a pond
LEAVE_MG_L = (
    3.0,
    2.0,
)  # what is left for the fish at the cautious and the usual end: inside that range, judgement
AT_ONCE = (1.0 / 4.0, 1.0 / 3.0)  # share to treat at one time (SRAC-361, Masser, Murphy and Shelton)
WINDOW_DAYS = 14  # rotting that is held against one stock of oxygen: judgement, no credit for wind or algae
# Water under this depth is often without oxygen in an unaerated pond's summer, and is not counted: judgement.
LAYER_FT = 6.0
WARM_C = 20.0  # from here on the pond is taken as layered: judgement
DIFFUSER_FT = (
    6.0  # bottom diffusers from here on, surface aerators where it is shallower: common practice, no source
)

# Dry weight standing over a square meter, g: (low, usual, high). Low and high are published unless said
# otherwise; the usual value is judgement between them.
# - Cattail: 329 and 868 in Minnesota (J. Minnesota Acad. Sci. 52(3)), 2,895 ash-free in a Texas pond (Hill 1987,
#   Aquatic Botany 27:385-394). Sedges, rushes and grasses are taken as cattail: judgement.
# - Floating-leaved: leaf blades alone 25 (108 g a year over 4.4 crops; Kok et al. 1990, Biogeochemistry
#   11:235-250); high 440 from 349 g of carbon a year, twice the greatest weight (Chernova 2015, Inland Water
#   Biology 8:157-165; carbon as 40 per cent of dry weight from memory).
# - Submersed: coontail 24 ash-free (Best and Visser, Lake Vechten), hydrilla mats 240 and 890 in north and south
#   Florida (Bowes et al. 1979, J. Aquat. Plant Manage. 17).
# - Free-floating: water hyacinth 203 to 380 in South Carolina (Rotella and Luken 2012, Southeast. Nat.
#   11:361-374), water lettuce 321 in the Nile delta; the high value, for dense hyacinth, from memory.
DRY_WEIGHT_G_M2: dict[str, tuple[float, float, float]] = {
    "emergent": (330.0, 870.0, 2900.0),
    "sedge": (330.0, 870.0, 2900.0),
    "rush": (330.0, 870.0, 2900.0),
    "grass": (330.0, 870.0, 2900.0),
    "floating-leaved": (25.0, 200.0, 440.0),
    "submersed": (24.0, 240.0, 890.0),
    "free-floating": (200.0, 320.0, 1500.0),
}
# Oxygen that a gram of dry plant takes as it rots at 20 C, mg, and the rate by day: 18 aquatic plants 205 to
# 533 and 0.027 to 0.052 (Braz. J. Biol. 71(1):27-35, 2011); seven plants 165 to 700 and 0.014 to 0.045
# (Aquatic Botany, 2006). Here the first study's range, whose plants are nearer to ours; the usual values are
# judgement.
ROT_MG_G = (205.0, 350.0, 533.0)
ROT_PER_DAY = (0.027, 0.040, 0.052)
ROT_TEMPERATURE_C = 20.0
# Rotting speeds up by this for 10 C: 0.014 a day at 17 C and 0.045 at 27 (Carvalho, Thomaz and Bini 2005,
# Braz. J. Biol. 65:51-60). Below 20 C it is slowed, above hastened.
ROT_Q10 = 0.045 / 0.014


def celsius(fahrenheit):
    """Degrees F to degrees C."""
    return (np.asarray(fahrenheit, dtype=float) - 32.0) / 1.8


def pressure_atm(elevation_ft):
    """Mean air pressure at an elevation in feet, atmospheres: the standard atmosphere (ISO 2533), to 36,000
    ft."""
    meters = np.asarray(elevation_ft, dtype=float) * FOOT_M
    return (1.0 - 0.0065 * meters / 288.15) ** 5.25588


def vapour_pressure_atm(temperature_c, salinity_ppt=0.0):
    """Pressure of water vapour over water, atmospheres (Goff and Gratch, with Green and Carritt's 1967 salt
    term)."""
    kelvin = np.asarray(temperature_c, dtype=float) + 273.15
    hot = 373.16 / kelvin
    log = (
        18.1973 * (1.0 - hot)
        + 3.1813e-7 * (1.0 - np.exp(26.1205 * (1.0 - 1.0 / hot)))
        - 0.018726 * (1.0 - np.exp(8.03945 * (1.0 - hot)))
        + 5.02802 * np.log(hot)
    )
    return (1.0 - 0.000537 * np.asarray(salinity_ppt, dtype=float)) * np.exp(log)


def saturation_mg_l(temperature_c, elevation_ft=0.0, salinity_ppt=0.0):
    """Oxygen that water in balance with moist air holds, mg/L; arguments broadcast.

    Benson and Krause 1984, Limnology and Oceanography 29:620-632, with their pressure term; for 0 to 40 C, 0
    to 40 parts of salt per thousand and 0.5 to 1.1 atmospheres (18,000 ft). Raises ValueError outside these.
    """
    t, salt = np.asarray(temperature_c, dtype=float), np.asarray(salinity_ppt, dtype=float)
    p = pressure_atm(elevation_ft)
    if not (
        np.all((t >= 0.0) & (t <= 40.0))
        and np.all((salt >= 0.0) & (salt <= 40.0))
        and np.all((p >= 0.5) & (p <= 1.1))
    ):
        raise ValueError(
            "temperature must be 0 to 40 C (32 to 104 F), salinity 0 to 40 ppt, pressure 0.5 to 1.1 atm"
        )
    kelvin = t + 273.15
    at_one = np.exp(
        -139.34411
        + 157_570.1 / kelvin
        - 66_423_080.0 / kelvin**2
        + 1.2438e10 / kelvin**3
        - 8.621949e11 / kelvin**4
        - salt * (0.017674 - 10.754 / kelvin + 2140.7 / kelvin**2)
    )
    theta = 0.000975 - 1.426e-5 * t + 6.436e-8 * t**2
    vapour = vapour_pressure_atm(t, salt)
    return at_one * (p - vapour) * (1.0 - theta * p) / ((1.0 - vapour) * (1.0 - theta))


@dataclass(frozen=True)
class Reading:
    """Oxygen read with a meter: the hour of the day (21.5 is half past nine at night), and mg/L."""

    hour: float
    mg_l: float


class NightVerdict(StrEnum):
    """What the straight line says of dawn."""

    ENOUGH = "enough"
    AERATE = "aerate"
    OUT_BEFORE_DAWN = "out before dawn"


@dataclass(frozen=True, kw_only=True)
class Night:
    """The two-reading night line, straight and log-linear.

    `dawn_mg_l` is the straight line's, the lower of the two: the verdict and everything else go by it.
    `log_dawn_mg_l` is the log-linear line's. Neither is below 0 or above the second reading. `empty_hour` is when
    the straight line reaches 0, if before dawn. `off_mg_l` is how far the straight line at dawn moves when each
    reading is off by METER_MG_L, one too high and the other too low.
    """

    dawn_mg_l: float
    fall_per_hour: float
    verdict: NightVerdict
    empty_hour: float | None
    dawn_hour: float
    log_dawn_mg_l: float
    off_mg_l: float

    @property
    def lines_differ(self) -> bool:
        """Whether the two lines are far enough apart at dawn to show both."""
        return self.log_dawn_mg_l - self.dawn_mg_l > LINES_APART_MG_L

    @property
    def close(self) -> bool:
        """Whether it is enough only if both readings are right to better than METER_MG_L."""
        return self.verdict is NightVerdict.ENOUGH and self.dawn_mg_l - self.off_mg_l < AERATE_BELOW


def _of_the_night(hour: float) -> float:
    """Hours of one night in order: those under 12 are after midnight."""
    return hour + 24.0 if hour < 12.0 else hour


def clock_words(hour: float) -> str:
    """An hour of the day as 6 a.m. or 9:30 p.m."""
    minutes = round(hour * 60.0) % 1440
    if minutes % 720 == 0:
        return "noon" if minutes else "midnight"
    past = f":{minutes % 60:02d}" if minutes % 60 else ""
    return f"{(minutes // 60 - 1) % 12 + 1}{past} {'a.m.' if minutes < 720 else 'p.m.'}"


def night_faults(first: Reading, second: Reading, sunset_hour: float, dawn_hour: float = 6.0) -> list[str]:
    """Why you cannot draw a night line through two readings; empty where you can.

    By day the plants make oxygen. A line through a reading from before sunset falls too slowly, or rises, and says
    "enough" of a pond that is out of oxygen by morning.
    """
    (h1, o1), (h2, o2) = ((_of_the_night(r.hour), r.mg_l) for r in (first, second))
    faults = []
    if min(o1, o2) < 0.0:
        faults.append("a reading is below 0")
    if h1 < sunset_hour:
        faults.append(
            f"the first reading, at {clock_words(h1)}, is before sunset ({clock_words(sunset_hour)}): plants still make "
            "oxygen then, and the line would promise too much"
        )
    if h2 - h1 < 1.0:
        faults.append("the second reading must come an hour or more after the first")
    if h2 >= _of_the_night(dawn_hour):
        faults.append(
            f"the second reading, at {clock_words(h2)}, is not before dawn ({clock_words(dawn_hour)})"
        )
    if o2 > o1:
        faults.append(
            f"oxygen rose, from {o1:g} to {o2:g} mg/L. At night the water only loses it to fish, plants and mud, so a rise "
            "is daylight, wind, an aerator, another place or depth, or the meter, and says nothing of dawn"
        )
    return faults


def night_line(first: Reading, second: Reading, sunset_hour: float, dawn_hour: float = 6.0) -> Night:
    """Oxygen at dawn from two readings of one night, by a straight and by a log-linear line.

    `first` is from sunset or soon after, `second` from two to four hours later; hours under 12 count as after midnight. The straight line and the limit are UF/IFAS FA-27's: under 4 mg/L before
    7 in the morning means: aerate. FA-27 takes its first reading at 5 or 6 in the afternoon; here it must come after
    sunset, as in Madenjian, Rogers and Fast 1987 (Aquacultural Engineering 6:209-225: at dusk). The log-linear line
    falls by the same share every hour: it came much closer to dawn in prawn ponds in Hawaii (the same authors,
    Part I, 6:191-208). Straight stays the one to act by, since it is never the higher. Raises ValueError for what
    `night_faults` finds.
    """
    if faults := night_faults(first, second, sunset_hour, dawn_hour):
        raise ValueError("; ".join(faults))
    (h1, o1), (h2, o2) = ((_of_the_night(r.hour), r.mg_l) for r in (first, second))
    ahead = (_of_the_night(dawn_hour) - h2) / (h2 - h1)  # hours still to come, in lags
    fall = (o1 - o2) / (h2 - h1)
    line = o2 - (o1 - o2) * ahead
    empty = (h2 + o2 / fall) % 24.0 if fall > 0.0 and line < 0.0 else None
    at_dawn = max(0.0, line)
    log_dawn = o2 * (o2 / o1) ** ahead if o1 > 0.0 else 0.0
    if line <= 0.0:
        verdict = NightVerdict.OUT_BEFORE_DAWN
    else:
        verdict = NightVerdict.AERATE if at_dawn < AERATE_BELOW else NightVerdict.ENOUGH
    return Night(
        dawn_mg_l=at_dawn,
        fall_per_hour=fall,
        verdict=verdict,
        empty_hour=empty,
        dawn_hour=dawn_hour,
        log_dawn_mg_l=log_dawn,
        off_mg_l=METER_MG_L * (1.0 + 2.0 * ahead),
    )


@dataclass(frozen=True, kw_only=True)
class RotLimit:
    """How much of a stand may be cut and left, or killed, at once. Pairs are (cautious, usual)."""

    growth_form: str
    area_ft2: float
    dry_weight_lb: tuple[float, float, float]  # low, usual, high
    demand_lb: tuple[float, float, float]  # oxygen taken in WINDOW_DAYS, low, usual, high
    held_lb: tuple[float, float]  # oxygen above what the fish keep: cautious, usual
    oxygen_share: tuple[float, float]  # held over demand, not limited to 1: cautious, usual
    share: tuple[float, float]  # the smaller of that and a quarter, a third
    counted_ft: float  # depth of water that was counted
    pond_share: float  # the stand over the pond's surface

    @property
    def at_once_ft2(self) -> tuple[float, float]:
        """Square feet at once, cautious and usual."""
        return self.share[0] * self.area_ft2, self.share[1] * self.area_ft2

    @property
    def small(self) -> bool:
        """Whether the whole stand is under a quarter of the pond and under the cautious oxygen limit as
        well."""
        return self.pond_share <= AT_ONCE[0] and self.oxygen_share[0] >= 1.0

    @property
    def parts(self) -> int | None:
        """In how many parts, at the cautious share; None where there is no oxygen to spare at all."""
        return math.ceil(1.0 / self.share[0] - 1e-9) if self.share[0] > 0.0 else None


def rot_factor(temperature_c: float, days: float = WINDOW_DAYS) -> tuple[float, float, float]:
    """Share of all the oxygen that rotting will ever take which it takes within `days`, (low, usual, high).

    First order, k at 20 C times ROT_Q10 for each 10 C.
    """
    warm = ROT_Q10 ** ((temperature_c - ROT_TEMPERATURE_C) / 10.0)
    low, usual, high = (1.0 - math.exp(-k * warm * days) for k in ROT_PER_DAY)
    return low, usual, high


def counted_depth_ft(pond: Pond, temperature_c: float) -> float:
    """Depth of water whose oxygen is counted: all of it in cool water, the top six feet in warm."""
    return min(pond.max_depth_ft, LAYER_FT) if temperature_c >= WARM_C else pond.max_depth_ft


def held_lb(pond: Pond, temperature_c: float, mg_l: float, drop_ft: float = 0.0) -> float:
    """Pounds of oxygen at `mg_l` in the water that counts, with the pond `drop_ft` under full pool."""
    top = 12.0 * min(drop_ft, pond.max_depth_ft)
    bottom = min(top + 12.0 * counted_depth_ft(pond, temperature_c), pond.max_depth_in)
    below = volume_ft3(pond, bottom) if bottom < pond.max_depth_in else 0.0
    liters = max(0.0, volume_ft3(pond, top) - below) * FT3_LITERS
    return liters * max(0.0, mg_l) / 1000.0 * GRAM_LB


def rot_limit(
    pond: Pond,
    growth_form: str,
    area_ft2: float,
    temperature_c: float,
    *,
    measured_mg_l: float | None = None,
    elevation_ft: float = 0.0,
    drop_ft: float = 0.0,
) -> RotLimit:
    """How large a part of a stand may rot in the pond at once.

    `measured_mg_l` is a reading at dawn; without it the water is taken as saturated, which it seldom is. The
    share is the smaller of what the oxygen above 3 (cautious) or 2 mg/L would stand and a quarter (cautious)
    or a third of the stand. SRAC-361 says that of the pond's whole surface; holding it against the stand is
    stricter. Raises ValueError for a growth form that does not stand in the water and for an area that is not
    positive.
    """
    if growth_form not in DRY_WEIGHT_G_M2:
        raise ValueError(f"no dry weight is known for {growth_form}: only {', '.join(DRY_WEIGHT_G_M2)}")
    if not area_ft2 > 0.0:
        raise ValueError("the area must be more than 0 square feet")
    has = float(saturation_mg_l(temperature_c, elevation_ft, pond.salinity_ppt or 0.0))
    has = has if measured_mg_l is None else measured_mg_l
    cautious, usual = (held_lb(pond, temperature_c, has - left, drop_ft) for left in LEAVE_MG_L)
    weight_lb = _three(weight * area_ft2 * FT2_M2 * GRAM_LB for weight in DRY_WEIGHT_G_M2[growth_form])
    demand_lb = _three(
        weight * ratio / 1000.0 * part
        for weight, ratio, part in zip(weight_lb, ROT_MG_G, rot_factor(temperature_c))
    )
    by_oxygen = cautious / demand_lb[2], usual / demand_lb[1]
    return RotLimit(
        growth_form=growth_form,
        area_ft2=area_ft2,
        dry_weight_lb=weight_lb,
        demand_lb=demand_lb,
        held_lb=(cautious, usual),
        oxygen_share=by_oxygen,
        share=(min(by_oxygen[0], AT_ONCE[0]), min(by_oxygen[1], AT_ONCE[1])),
        counted_ft=counted_depth_ft(pond, temperature_c),
        pond_share=area_ft2 / pond.area_ft2,
    )


def _three(values: Iterable[float]) -> tuple[float, float, float]:
    """Low, usual and high."""
    low, usual, high = values
    return low, usual, high


CAUTIONS = (
    "This is a screening rule: a line through two readings is often a milligram or more off. Watch the fish at "
    "first light, and have air ready in still, hot or cloudy weather.",
    "Haul out what you cut, well above the waterline: there it cannot rot in the pond.",
    "Never kill or cut a large stand in hot weather. Wait two weeks between parts.",
    "Use weed killers only by the label and within state law, with a licensed applicator where your state asks for one.",
    "Have a licensed electrician wire aerators and pumps, with ground-fault protection. Never work from a boat alone.",
)


def aeration_advice(pond: Pond) -> str:
    """Where air belongs in this pond (common practice, no source)."""
    if pond.max_depth_ft >= DIFFUSER_FT:
        return (
            f"Set bottom diffusers where it is {DIFFUSER_FT:.0f} ft or deeper; your pond goes down to "
            f"{pond.max_depth_ft:g} ft. Use surface aerators in the shallows. In hot weather, start a diffuser in a layered "
            "pond over several days, never all at once."
        )
    return (
        f"Your pond is nowhere {DIFFUSER_FT:.0f} ft deep: use a surface aerator. A bottom diffuser does little in "
        f"{pond.max_depth_ft:g} ft."
    )
