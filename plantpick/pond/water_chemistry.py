"""pH that an alkalinity makes in water at rest with the air. Pure.

Water that gives and takes carbon dioxide until it holds as much as the air lets it keep has one pH for each alkalinity. With the
ion balance alkalinity = HCO3 + 2 CO3 + OH - H, and with the four equilibria below, that pH is the root of a cubic.

Sources: Stumm and Morgan 1996, Aquatic Chemistry, chapter 4 (the balance). Constants at 25 C as the program PHREEQC keeps them
(phreeqc.dat, after Plummer and Busenberg 1982). Activities by Davies 1962, the ions taken as calcium bicarbonate, as in most ponds.
A pond seldom is at rest: at dawn it holds several times the carbon dioxide of the air and reads up to one unit lower, and on a
sunny afternoon plants take it up and the pH climbs by one or more (common practice, no source).
"""

from __future__ import annotations

import math

CO2_ATM = 4.2e-4  # carbon dioxide of the air, 2023 (NOAA Global Monitoring Laboratory), atmospheres
HENRY, FIRST, SECOND, WATER = 10**-1.468, 10**-6.352, 10**-10.329, 10**-14.0  # at 25 C
MG_PER_EQUIVALENT = 50_043.0  # of calcium carbonate
IONIC_STRENGTH = 1.5  # mol a liter for each equivalent of calcium bicarbonate
DAVIES = 0.509  # at 25 C
MOST_MG_L = 1000.0  # Davies holds to an ionic strength of 0.03 and more; few ponds pass a third of this


def ph_at_rest_with_air(alkalinity_mg_l: float, co2_atm: float = CO2_ATM) -> float:
    """pH of water of this alkalinity (mg/L as calcium carbonate) that is at rest with the air, at 25 C."""
    import numpy as np

    alkalinity = alkalinity_mg_l / MG_PER_EQUIVALENT
    root = math.sqrt(IONIC_STRENGTH * alkalinity)
    davies = DAVIES * (root / (1.0 + root) - 0.3 * root * root)
    once, twice = 10.0**-davies, 10.0 ** (-4.0 * davies)  # activity of an ion of one charge and of two
    bicarbonate = HENRY * FIRST * co2_atm / once  # times 1/H
    carbonate = 2.0 * HENRY * FIRST * SECOND * co2_atm / twice  # times 1/H squared
    roots = np.roots([1.0 / once, alkalinity, -(bicarbonate + WATER / once), -carbonate])
    hydrogen = max(float(r.real) for r in roots if abs(r.imag) < 1e-12 * abs(r.real))
    return -math.log10(hydrogen)
