"""One question about oxygen: checks all that was given together, and answers all that was asked."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from plantpick.catalogue.plants import Catalogue
from plantpick.errors import ExitStatus, PlantpickError, Problem
from plantpick.monitoring import oxygen
from plantpick.monitoring.log import meanings
from plantpick.monitoring.oxygen import Night, Reading, RotLimit
from plantpick.pond.model import Pond

SUNSETS = (15.5, 22.0)  # earlier and later the sun sets nowhere in the lower 48 (from memory)
DAWNS = (3.0, 9.0)


class Given(StrEnum):
    """What a question gives: a mistake names its part."""

    TEMPERATURE = "temperature"
    ELEVATION = "elevation"
    DAWN_READING = "reading at dawn"
    READINGS = "readings"
    SUNSET = "sunset"
    DAWN = "dawn"
    PLANT = "plant"
    AREA = "area"
    DROP = "drop"


@dataclass(frozen=True, kw_only=True)
class OxygenAnswer:
    """Saturation always, the rest where you asked for it. mg/L, degrees F, feet."""

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
    readings: tuple[Reading, ...] = (),
    sunset_hour: float | None = None,
    dawn_hour: float = 6.0,
    plant: str | None = None,
    area_ft2: float | None = None,
    measured_mg_l: float | None = None,
    drop_ft: float = 0.0,
) -> OxygenAnswer:
    """Answer one question. Readings are two of one evening, both after sunset.

    Raises PlantpickError `oxygen` with every mistake, each with the part of the question (Given) as its place.
    """
    wrong: list[Problem] = []
    if not 32.0 <= temperature_f <= 104.0:
        _add(
            wrong,
            Given.TEMPERATURE,
            f"{temperature_f:g} F is no temperature of pond water.",
            "Give 32 to 104 degrees F.",
        )
    if not -300.0 <= elevation_ft <= 15_000.0:
        _add(
            wrong,
            Given.ELEVATION,
            f"{elevation_ft:g} ft is outside the lower 48.",
            "Give -300 to 15,000 ft.",
        )
    if measured_mg_l is not None and not 0.0 <= measured_mg_l <= oxygen.MOST_MG_L:
        _add(
            wrong,
            Given.DAWN_READING,
            f"{measured_mg_l:g} mg/L cannot be.",
            f"Give 0 to {oxygen.MOST_MG_L:g}.",
        )
    night = _night(readings, sunset_hour, dawn_hour, wrong)
    stand = _stand(pond, catalogue, plant, area_ft2, drop_ft, wrong)
    if wrong:
        raise PlantpickError("oxygen", wrong, ExitStatus.USAGE)
    temperature_c = float(oxygen.celsius(temperature_f))
    salt = (pond.salinity_ppt or 0.0) if pond else 0.0
    by_line = measured_mg_l is None and night is not None  # tonight's own forecast, never more than was read
    limit = None
    if pond and stand:
        limit = oxygen.rot_limit(
            pond,
            stand.growth_form,
            stand.area_ft2,
            temperature_c,
            measured_mg_l=night.dawn_mg_l if night and by_line else measured_mg_l,
            elevation_ft=elevation_ft,
            drop_ft=drop_ft,
        )
    return OxygenAnswer(
        temperature_f=temperature_f,
        elevation_ft=elevation_ft,
        salinity_ppt=salt,
        saturation=float(oxygen.saturation_mg_l(temperature_c, elevation_ft, salt)),
        night=night,
        limit=limit,
        measured=measured_mg_l,
        by_line=by_line,
        what=stand.name if stand else "",
        pond_name=pond.name if pond else "",
        air=oxygen.aeration_advice(pond) if pond else "",
    )


def _add(wrong: list[Problem], part: Given, what: str, remedy: str) -> None:
    wrong.append(Problem(part, what, remedy))


def _night(
    readings: tuple[Reading, ...], sunset_hour: float | None, dawn_hour: float, wrong: list[Problem]
) -> Night | None:
    """The night line where there are readings and nothing is wrong so far; adds its own mistakes."""
    if not DAWNS[0] <= dawn_hour <= DAWNS[1]:
        first, last = (oxygen.clock_words(h) for h in DAWNS)
        _add(wrong, Given.DAWN, f"{oxygen.clock_words(dawn_hour)} is no dawn.", f"Give {first} to {last}.")
    if not readings:
        if sunset_hour is not None:
            _add(wrong, Given.SUNSET, "it needs two readings of the evening.", "Add them.")
        return None
    if sunset_hour is None:
        _add(
            wrong,
            Given.SUNSET,
            "is missing: plants make oxygen until the sun is down, and a line through daylight readings promises "
            "too much.",
            "Say when the sun set today.",
        )
    elif not SUNSETS[0] <= sunset_hour <= SUNSETS[1]:
        first, last = (oxygen.clock_words(h) for h in SUNSETS)
        _add(
            wrong,
            Given.SUNSET,
            f"the sun does not set at {oxygen.clock_words(sunset_hour)}.",
            f"Give {first} to {last}.",
        )
    if len(readings) != 2:
        _add(
            wrong,
            Given.READINGS,
            f"{len(readings)} given.",
            "Give two: one after sunset, and one 2 to 4 hours later.",
        )
    if wrong or sunset_hour is None:
        return None
    first_reading, second_reading = readings
    faults = oxygen.night_faults(first_reading, second_reading, sunset_hour, dawn_hour)
    for fault in faults:
        _add(
            wrong,
            Given.READINGS,
            f"{fault}.",
            "Read at one place and depth, with the air off: first after sunset, again 2 to 4 hours later.",
        )
    if faults:
        return None
    return oxygen.night_line(first_reading, second_reading, sunset_hour, dawn_hour)


@dataclass(frozen=True, kw_only=True)
class _Stand:
    """The stand that may rot."""

    name: str
    growth_form: str
    area_ft2: float


def _stand(
    pond: Pond | None,
    catalogue: Catalogue | None,
    plant: str | None,
    area_ft2: float | None,
    drop_ft: float,
    wrong: list[Problem],
) -> _Stand | None:
    """The stand that the question is about; adds what is wrong about it."""
    if plant is None:
        if area_ft2 is not None:
            _add(wrong, Given.AREA, "no plant goes with it.", "Name the plant.")
        return None
    if pond is None:
        _add(wrong, Given.PLANT, "it needs the pond whose oxygen it would take.", "Name the pond file first.")
    elif not 0.0 <= drop_ft < pond.max_depth_ft:
        _add(
            wrong,
            Given.DROP,
            f"{drop_ft:g} ft would leave the pond dry.",
            f"Give less than {pond.max_depth_ft:g}, or 0.",
        )
    if area_ft2 is None or not 0.0 < area_ft2 <= (pond.area_ft2 if pond else float("inf")):
        _add(
            wrong,
            Given.AREA,
            "is missing." if area_ft2 is None else f"{area_ft2:g} sq ft is not an area in this pond.",
            "Give the square feet of the stand.",
        )
    found = _growth_form(catalogue, plant, wrong) if catalogue else None
    if found is None:
        return None
    name, form = found
    if form not in oxygen.DRY_WEIGHT_G_M2:
        _add(
            wrong,
            Given.PLANT,
            f"{name} does not stand in the water ({form}).",
            "Cut it and haul it off the bank: it takes no oxygen there.",
        )
    return _Stand(name=name, growth_form=form, area_ft2=area_ft2 or 0.0)


def _growth_form(catalogue: Catalogue, plant: str, wrong: list[Problem]) -> tuple[str, str] | None:
    """A plant's name and growth form. A name with several meanings will do where their growth forms are one."""
    try:
        found = catalogue.plant(catalogue.find(plant))
        return found.common_name, found.growth_form
    except PlantpickError as fault:
        forms = {catalogue.plant(p).growth_form for p in meanings(catalogue, plant)}
        if fault.code == "several-plants" and len(forms) == 1:
            return plant, forms.pop()
        for problem in fault.problems:
            _add(wrong, Given.PLANT, problem.what, problem.remedy)
        return None
