"""From a Secchi reading to the deepest water in which rooted submersed plants grow."""

from __future__ import annotations

INCH_M = 0.0254
# How often plants go past the greatest depth: the deepest edge of any submersed plant in 140 surveys of shallow Minnesota lakes
# (Muthukrishnan & Larkin 2020, doi 10.1111/geb.13053) lay at 0.72, 1.28 and 2.19 times the usual depth (10, 50 and 90 % points),
# and the greatest depth is 2.0 times the usual one at their middle Secchi reading, 24 in. Read off a log-normal line.
PASSED_GREATEST = 0.14
PASSED_WORDS = "one lake in seven"


def deepest_growth_m(secchi_m: float) -> tuple[float, float]:
    """The usual and the greatest depth of submersed growth, meters, for a Secchi reading in meters.

    Caffrey, Hoyer and Canfield 2007, Lake and Reservoir Management 23 (187 Florida lakes):
    log10(depth) = 0.66 log10(Secchi) + 0.31, and for the upper line 0.53 log10(Secchi) + 0.59.
    Not meant for readings under about 0.2 m or over 6 m.
    """
    return 10**0.31 * secchi_m**0.66, 10**0.59 * secchi_m**0.53


def deepest_growth_in(clarity_in: float) -> tuple[float, float]:
    """The same in inches."""
    usual, greatest = deepest_growth_m(clarity_in * INCH_M)
    return usual / INCH_M, greatest / INCH_M
