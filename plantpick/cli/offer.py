"""plantpick offer: a nursery's offer, line by line."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

import typer

from plantpick.cli.complete import offer_files
from plantpick.cli.options import FORMAT, POND, RISK, Format
from plantpick.cli.streams import say, wrapped
from plantpick.plain_text import one_line


def offer(
    pond: str = POND,
    file: str = typer.Argument(
        ...,
        metavar="FILE",
        autocompletion=offer_files,
        help='The offer: .txt, .csv, .tsv, .xlsx, .pdf, .eml or .html; - for pasted text; "demo" for an invented one.',
        show_default=False,
    ),
    format: Format = FORMAT,
    need: int = typer.Option(
        None,
        "--need",
        min=1,
        metavar="NUMBER",
        help="How many of each plant you want; without it, as many as this pond would take.",
        show_default=False,
    ),
    risk: float = RISK,
    why: bool = typer.Option(False, "--why", help="Add the long reasons, line by line, and the law in full."),
    every: bool = typer.Option(False, "--every-line", help="Show the lines that name no plant as well."),
    out: Path = typer.Option(
        None, "--out", "-o", metavar="PAGE.html", help="Write a page to carry, for a phone or paper, as well."
    ),
    force: bool = typer.Option(False, "--force", help="Replace a page that is there already."),
) -> int:
    """Check a nursery's offer before you buy: what each line really is, whether it may be owned and will
    behave here.

    Every line gets a verdict: buy, buy and contain, not needed, ask first, or leave it. The most doubtful come
    first, what to ask the seller comes last. A plant that does nothing you asked for is in no sum. A name that could be a forbidden plant is never cleared. The exit status is 1
    when anything must be left or asked about, 0 when not.

    Example: plantpick offer demo price-list.pdf --need 25 --out offer.html
    """
    from plantpick.batch import parallel
    from plantpick.errors import ExitStatus
    from plantpick.files import catalogue, pond_file
    from plantpick.files import offers as files
    from plantpick.files.save import check_outputs, check_page, save
    from plantpick.offers import check
    from plantpick.show import offer as offerpage
    from plantpick.show import progress, terminal

    files.refuse_pond_file(file)
    check_outputs([out], [*pond_file.files_of(pond), file], replace=force)
    check_page(out)
    described = pond_file.read_pond(pond)
    described = described.with_risk(risk)
    lines = files.read_offer(files.demo_offer() if file == "demo" else file)
    with progress.offer_lines(len(lines)) as tick, parallel.collector_at_rest():
        answer = check.check_offer(
            lines,
            described,
            catalogue.load(by_name=True),
            need=need,
            read_all=parallel.reader(),
            progress=tick,
        )
    options = offerpage.OfferOptions(why=why, every_line=every, need=need, ask_why="--why")
    if out:
        from plantpick.show.offer_page import offer_page  # what a page is made with costs a start of its own

        save(out, offer_page(answer, datetime.now().date(), options), replace=force)
        say(wrapped(f"Written: {one_line(out)}"))
    if format is Format.table:
        offerpage.show_offer(terminal.console(), answer, options)
    else:
        typer.echo(
            offerpage.offer_json(answer) if format is Format.json else offerpage.offer_csv(answer),
            nl=format is Format.json,
        )
    return ExitStatus.LEAVE_SOMETHING if answer.leaves_something else ExitStatus.OK
