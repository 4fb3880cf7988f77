"""plantpick oxygen: what the water holds, whether it lasts to dawn, how much may rot at once."""

from __future__ import annotations

import re

import typer

from plantpick.cli.complete import plant_names, pond_files
from plantpick.cli.options import FORMAT, Format
from plantpick.errors import ExitStatus, PlantpickError, Problem

NIGHT_EXAMPLE = "--sunset 19:50 --reading 20:00=8.6 --reading 23:00=7.1"


def oxygen(
    pond: str = typer.Argument(
        None,
        metavar="[POND.toml]",
        autocompletion=pond_files,
        show_default=False,
        help="The pond, for --plant and for where air belongs.",
    ),
    temperature_f: float = typer.Option(
        ..., "--water-f", help="Water temperature, degrees F.", show_default=False
    ),
    elevation_ft: float = typer.Option(0.0, "--elevation-ft", help="Height above the sea, feet."),
    reading: list[str] = typer.Option(
        [],
        "--reading",
        metavar="HH:MM=MG/L",
        help="Oxygen read tonight: give two, one after sunset and one 2 to 4 hours later.",
    ),
    sunset: str = typer.Option(
        None,
        "--sunset",
        metavar="HH:MM",
        help="When the sun set, by an almanac or a weather page: readings need it.",
    ),
    dawn: str = typer.Option("06:00", "--dawn", metavar="HH:MM", help="When it gets light."),
    plant: str = typer.Option(
        None, "--plant", autocompletion=plant_names, help="A plant to be cut and left, or killed."
    ),
    area_ft2: float = typer.Option(None, "--area-sqft", help="Square feet of it."),
    measured: float = typer.Option(
        None, "--dawn-mg-l", help="Oxygen read at dawn, mg/L; without it, the night line's, or saturated."
    ),
    drop_ft: float = typer.Option(0.0, "--drop-ft", help="How far the water stands under full pool, feet."),
    format: Format = FORMAT,
) -> None:
    """Oxygen the water can hold; whether two readings after sunset last to dawn; how much of a stand may rot at
    once.

    Example: plantpick oxygen demo --water-f 84 --sunset 19:50 --reading 20:00=8.6 --reading 23:00=7.1

    Example: plantpick oxygen demo --water-f 84 --plant "white water lily" --area-sqft 4000
    """
    from plantpick.files import catalogue, pond_file
    from plantpick.show import oxygen as oxygenpage
    from plantpick.show import terminal

    described = pond_file.read_pond(pond) if pond else None
    plants = catalogue.load() if plant else None
    page = _asked(
        described,
        plants,
        *_evening(reading, sunset, dawn),
        temperature_f=temperature_f,
        elevation_ft=elevation_ft,
        plant=plant,
        area_ft2=area_ft2,
        measured_mg_l=measured,
        drop_ft=drop_ft,
    )
    if format is Format.table:
        oxygenpage.show_oxygen(terminal.console(), page)
    else:
        typer.echo(oxygenpage.oxygen_text(page, format.value), nl=format is Format.json)


def command_for(plant_id: str, area_ft2: float) -> str:
    """The command line that says how much of a stand may rot at once; the owner puts in the water's temperature."""
    return f'plantpick oxygen POND.toml --water-f DEGREES --plant "{plant_id}" --area-sqft {area_ft2:.0f}'


def _evening(readings: list[str], sunset: str | None, dawn: str) -> tuple[dict, list[Problem]]:
    """What the options say of the evening, and what is wrong with how they say it. Of a wrong one nothing is asked."""
    from plantpick.monitoring.oxygen import MOST_MG_L, Reading

    wrong, read = [], []
    for text in readings:
        at, _, value = text.partition("=")
        hour = _hour(at)
        if hour is None or not re.fullmatch(r"\s*\d+(\.\d+)?\s*", value) or float(value) > MOST_MG_L:
            what = f'"{text}" is not a time and a reading.'
            wrong.append(Problem("--reading", what, f"Write 20:00=8.6, mg/L from 0 to {MOST_MG_L:g}."))
        else:
            read.append(Reading(hour, float(value)))
    said = {"sunset_hour": None if sunset is None else _hour(sunset), "dawn_hour": _hour(dawn)}
    if sunset is not None and said["sunset_hour"] is None:
        wrong.append(Problem("--sunset", f'"{sunset}" is not a time.', "Write 19:50, on a 24-hour clock."))
    if said["dawn_hour"] is None:
        wrong.append(Problem("--dawn", f'"{dawn}" is not a time.', "Write 06:00, on a 24-hour clock."))
        del said["dawn_hour"]
    if any(p.where in ("--reading", "--sunset") for p in wrong):
        return {key: hour for key, hour in said.items() if key != "sunset_hour"}, wrong
    return {**said, "readings": tuple(read)}, wrong


def _hour(text: str) -> float | None:
    match = re.fullmatch(r"(\d{1,2}):(\d{2})", text.strip())
    if not match or int(match[1]) > 23 or int(match[2]) > 59:
        return None
    return int(match[1]) + int(match[2]) / 60.0


def _asked(pond, plants, evening: dict, wrong: list[Problem], **given):
    """The answer. Raises PlantpickError with every mistake, each at its option."""
    from plantpick.monitoring.oxygen_question import Given, ask

    options = {
        Given.TEMPERATURE: "--water-f",
        Given.ELEVATION: "--elevation-ft",
        Given.DAWN_READING: "--dawn-mg-l",
        Given.READINGS: "--reading",
        Given.SUNSET: "--sunset",
        Given.DAWN: "--dawn",
        Given.PLANT: "--plant",
        Given.AREA: "--area-sqft",
        Given.DROP: "--drop-ft",
    }
    try:
        answer = ask(pond, plants, **evening, **given)
    except PlantpickError as fault:
        if fault.code != "oxygen":
            raise
        for problem in fault.problems:
            part = Given(problem.where)
            example = f" As in {NIGHT_EXAMPLE}." if part is Given.SUNSET else ""
            wrong.append(Problem(options[part], problem.what, problem.remedy + example))
    if wrong:
        raise PlantpickError("oxygen", wrong, ExitStatus.USAGE)
    return answer
