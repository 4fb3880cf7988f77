"""One question about oxygen: the options of a command line checked together, and the answer to all that was
asked."""

from __future__ import annotations

import re
from dataclasses import dataclass

from plantpick.catalogue.plants import Catalogue
from plantpick.errors import ExitStatus, PlantpickError, Problem
from plantpick.monitoring import oxygen
from plantpick.monitoring.log import meanings
from plantpick.monitoring.oxygen import Night, RotLimit
from plantpick.pond.model import Pond


@dataclass(frozen=True)
class OxygenAnswer:
    """Saturation always, the rest where it was asked for. mg/L, degrees F, feet."""

    temperature_f: float
    elevation_ft: float
    salinity_ppt: float
    saturation: float
    night: Night | None = None
    limit: RotLimit | None = None
    measured: float | None = None
    by_line: bool = False  # the limit counts with the night line's oxygen at dawn
    what: str = ""  # the stand's plant
    pond_name: str = ""
    air: str = ""  # where air belongs in the pond


def ask(
    pond: Pond | None,
    catalogue: Catalogue | None,
    *,
    temperature_f: float,
    elevation_ft: float = 0.0,
    readings: list[str] = (),
    sunset: str | None = None,
    dawn: str = "06:00",
    plant: str | None = None,
    area_ft2: float | None = None,
    measured_mg_l: float | None = None,
    drop_ft: float = 0.0,
) -> OxygenAnswer:
    """Answer one question. Readings are texts such as "20:00=8.6", `sunset` one such as "19:50": the first
    reading must come after it. Raises PlantpickError `oxygen` with every
    mistake."""
    wrong: list[Problem] = []
    if not 32.0 <= temperature_f <= 104.0:
        wrong.append(
            Problem(
                "--water-f",
                f"{temperature_f:g} F is no temperature of pond water.",
                "Give 32 to 104 degrees F.",
            )
        )
    if not -300.0 <= elevation_ft <= 15_000.0:
        wrong.append(
            Problem(
                "--elevation-ft", f"{elevation_ft:g} ft is outside the lower 48.", "Give -300 to 15,000 ft."
            )
        )
    if measured_mg_l is not None and not 0.0 <= measured_mg_l <= 30.0:
        wrong.append(Problem("--dawn-mg-l", f"{measured_mg_l:g} mg/L cannot be.", "Give 0 to 30."))
    pairs = [_reading(text, wrong) for text in readings]
    hour = _hour(dawn)
    if hour is None or not 3.0 <= hour <= 9.0:
        wrong.append(Problem("--dawn", f'"{dawn}" is no dawn.', "Give 03:00 to 09:00."))
    night = _night(pairs, sunset, hour, wrong)
    record = _stand(pond, catalogue, plant, area_ft2, drop_ft, wrong)
    if wrong:
        raise PlantpickError("oxygen", wrong, ExitStatus.USAGE)
    t = float(oxygen.celsius(temperature_f))
    salt = (pond.salinity_ppt or 0.0) if pond else 0.0
    by_line = measured_mg_l is None and night is not None  # tonight's own forecast, never more than was read
    limit = (
        oxygen.rot_limit(
            pond,
            record["growth_form"],
            area_ft2,
            t,
            measured_mg_l=night.dawn_mg_l if by_line else measured_mg_l,
            elevation_ft=elevation_ft,
            drop_ft=drop_ft,
        )
        if record
        else None
    )
    return OxygenAnswer(
        temperature_f,
        elevation_ft,
        salt,
        float(oxygen.saturation_mg_l(t, elevation_ft, salt)),
        night,
        limit,
        measured_mg_l,
        by_line,
        record["common_name"] if record else "",
        pond.name if pond else "",
        oxygen.aeration_advice(pond) if pond else "",
    )


SUNSETS = (15.5, 22.0)  # earlier and later the sun sets nowhere in the lower 48 (from memory)
NIGHT_EXAMPLE = "--sunset 19:50 --reading 20:00=8.6 --reading 23:00=7.1"


def _night(pairs, sunset: str | None, dawn_hour: float | None, wrong: list[Problem]) -> Night | None:
    """The night line where readings were given and nothing was wrong so far; its own mistakes are added."""
    if not pairs:
        if sunset is not None:
            wrong.append(
                Problem("--sunset", "is given without readings.", f"Add two, as in {NIGHT_EXAMPLE}.")
            )
        return None
    set_hour = _hour(sunset) if sunset is not None else None
    if sunset is None:
        wrong.append(
            Problem(
                "--sunset",
                "is missing: plants make oxygen until the sun is down, and a line through daylight readings promises "
                "too much.",
                f"Say when the sun set today, as in {NIGHT_EXAMPLE}.",
            )
        )
    elif set_hour is None or not SUNSETS[0] <= set_hour <= SUNSETS[1]:
        wrong.append(
            Problem("--sunset", f'"{sunset}" is no sunset.', "Give 15:30 to 22:00, on a 24-hour clock.")
        )
    if len(pairs) != 2:
        wrong.append(
            Problem(
                "--reading",
                f"{len(pairs)} given.",
                "Two are needed: one after sunset, and one 2 to 4 hours later.",
            )
        )
    if wrong:
        return None
    faults = oxygen.night_faults(pairs[0], pairs[1], set_hour, dawn_hour)
    wrong.extend(
        Problem(
            "--reading",
            f"{fault}.",
            "Read at one place and depth, with the air off: first after sunset, again 2 to 4 hours later.",
        )
        for fault in faults
    )
    return None if faults else oxygen.night_line(pairs[0], pairs[1], set_hour, dawn_hour)


def _hour(text: str) -> float | None:
    match = re.fullmatch(r"(\d{1,2}):(\d{2})", text.strip())
    if not match or int(match[1]) > 23 or int(match[2]) > 59:
        return None
    return int(match[1]) + int(match[2]) / 60.0


def _reading(text: str, wrong: list[Problem]) -> tuple[float, float]:
    clock, _, value = text.partition("=")
    hour = _hour(clock)
    if hour is None or not re.fullmatch(r"\s*\d+(\.\d+)?\s*", value) or float(value) > 30.0:
        wrong.append(
            Problem(
                "--reading", f'"{text}" is not a time and a reading.', "Write 20:00=8.6, mg/L from 0 to 30."
            )
        )
        return 0.0, 0.0
    return hour, float(value)


def _stand(pond, catalogue, plant, area_ft2, drop_ft, wrong: list[Problem]) -> dict | None:
    """The plant's record, with what is wrong about the stand."""
    if plant is None:
        if area_ft2 is not None:
            wrong.append(Problem("--area-sqft", "is given without a plant.", "Add --plant."))
        return None
    if pond is None:
        wrong.append(
            Problem("--plant", "needs the pond whose oxygen it would take.", "Name the pond file first.")
        )
    elif not 0.0 <= drop_ft < pond.max_depth_ft:
        wrong.append(
            Problem(
                "--drop-ft", f"{drop_ft:g} ft would leave the pond dry.", f"Give 0 to {pond.max_depth_ft:g}."
            )
        )
    if area_ft2 is None or not 0.0 < area_ft2 <= (pond.area_ft2 if pond else float("inf")):
        wrong.append(
            Problem(
                "--area-sqft",
                "is missing." if area_ft2 is None else f"{area_ft2:g} sq ft is not an area in this pond.",
                "Give the square feet of the stand.",
            )
        )
    try:
        record = catalogue.records[catalogue.find(plant)]
    except PlantpickError as fault:
        several = [catalogue.records[p] for p in meanings(catalogue, plant)]
        if fault.code == "several-plants" and len({r["growth_form"] for r in several}) == 1:
            return {**several[0], "common_name": plant}  # only its growth form counts here
        wrong.extend(Problem("--plant", p.what, p.remedy) for p in fault.problems)
        return None
    if record["growth_form"] not in oxygen.DRY_WEIGHT_G_M2:
        wrong.append(
            Problem(
                "--plant",
                f"{record['common_name']} does not stand in the water ({record['growth_form']}).",
                "Cut it and haul it off the bank: it takes no oxygen there.",
            )
        )
    return record
