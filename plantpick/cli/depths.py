"""plantpick depths: the basin, band by band."""

from __future__ import annotations

import typer

from plantpick.cli.options import FORMAT, POND, Format


def depths(pond: str = POND, format: Format = FORMAT) -> None:
    """Show how much water a pond holds and how much of it is how deep.

    From soundings or contours if the pond file names them, otherwise from the slopes of the shore. Says how deep
    plants can root for the Secchi reading, what falls dry at the usual drop, and how the estimates compare.

    Example: plantpick depths demo-surveyed
    """
    from plantpick.files import pond_file
    from plantpick.pond.depth_bands import describe
    from plantpick.show import depths as depthpage
    from plantpick.show import terminal

    told = describe(pond_file.read_pond(pond))
    if format is Format.json:
        typer.echo(depthpage.depths_json(told))
    elif format is Format.csv:
        typer.echo(depthpage.depths_csv(told), nl=False)
    else:
        depthpage.show_depths(terminal.console(), told)
