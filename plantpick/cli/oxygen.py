"""plantpick oxygen: what the water holds, whether it lasts to dawn, how much may rot at once."""

from __future__ import annotations

import typer

from plantpick.cli.complete import plant_names, pond_files
from plantpick.cli.options import FORMAT, Format


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
    from plantpick.monitoring.oxygen_question import ask
    from plantpick.show import oxygen as oxygenpage
    from plantpick.show import terminal

    described = pond_file.read_pond(pond) if pond else None
    plants = catalogue.load() if plant else None
    page = ask(
        described,
        plants,
        temperature_f=temperature_f,
        elevation_ft=elevation_ft,
        readings=reading,
        sunset=sunset,
        dawn=dawn,
        plant=plant,
        area_ft2=area_ft2,
        measured_mg_l=measured,
        drop_ft=drop_ft,
    )
    if format is Format.table:
        oxygenpage.show_oxygen(terminal.console(), page)
    else:
        typer.echo(oxygenpage.oxygen_text(page, format.value), nl=format is Format.json)
