"""Answers drawn for a terminal, from 60 columns up."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable

from rich.console import Console
from rich.markup import escape
from rich.padding import Padding
from rich.segment import Segment
from rich.table import Table
from rich.text import Text

from plantpick.catalogue.law import Coverage
from plantpick.plain_text import plain
from plantpick.ranking.explain import Explanation
from plantpick.ranking.rank import RankedPlant, Ranking
from plantpick.ranking.ruled_out import REASONS
from plantpick.ranking.takeover import MANY_GROUPS
from plantpick.vocabulary import STATES

NARROW = 76  # columns under which the ranking's fit and place stand one over the other


class _Output(Console):
    def render(self, renderable, options=None) -> Iterable[Segment]:
        for segment in super().render(renderable, options):
            yield segment if segment.control else Segment(plain(segment.text), segment.style)

    def on_broken_pipe(self) -> None:
        raise BrokenPipeError  # settled at the command line's one boundary


def console(stderr: bool = False) -> Console:
    """Standard output, or standard error; nothing that was read can steer it. Colour and width as the terminal (or NO_COLOR, COLUMNS) says."""
    return _Output(stderr=stderr, highlight=False, emoji=False)


def paragraph(out: Console, text: str, indent: int = 0) -> None:
    """A plain sentence, wrapped; text that came from a file is never read as markup."""
    out.print(Padding(Text(text), (0, 0, 0, indent)))


def heading(out: Console, text: str) -> None:
    """A line over a section."""
    out.print()
    out.print(Text(text, style="bold"))


def bullets(out: Console, lines: Iterable[str]) -> None:
    """Sentences one under the other, each with a hyphen and a hanging indent."""
    grid = Table.grid(padding=(0, 1))
    grid.add_column(width=1)
    grid.add_column()
    for line in lines:
        grid.add_row("-", Text(line))
    out.print(Padding(grid, (0, 0, 0, 2)))


def percent(value: float) -> str:
    """Per cent of the surface, with a digit after the point only under ten."""
    return f"{value:.0f}" if value >= 9.95 else f"{value:.1f}"


def takeover_words(plant: RankedPlant) -> str:
    low, _, high = plant.takeover_percent
    if high < 0.05:
        return "under 0.1 %"
    return f"{percent(low)} to {percent(high)} %"


def groups_words(plant: RankedPlant) -> str:
    """How many groups the pond can take, and whether as it is or only if contained."""
    if plant.contained_by:
        free = f"{plant.groups_max} as it is, " if plant.groups_max else ""
        return f"{free}{plant.contained_groups} if contained ({' + '.join(plant.contained_by)})"
    return "no limit, as it is" if plant.unlimited else f"{plant.groups_max}, as it is"


def show_ranking(out: Console, ranking: Ranking, top: int, names_of_ruled_out: bool = False) -> None:
    """The ranked table, what holds each plant, what was ruled out, assumptions, cautions and law."""
    pond = ranking.pond
    mark = " (an invented pond)" if pond.invented else ""
    out.print(
        Text(
            f"{pond.name}{mark}: {pond.area_acres:.4g} acres in {STATES[pond.state][0]}, zone "
            f"{pond.hardiness_zone}",
            style="bold",
        )
    )
    paragraph(
        out,
        f"Wanted: {', '.join(pond.purposes)}. No one plant may hold more than {pond.cap_percent:g} % of the "
        "water after ten untended years.",
    )
    shown = ranking.plants[:top]
    if not shown:
        heading(out, "No plant in the catalogue fits.")
    else:
        out.print(_ranking_table(shown, out.width))
        heading(out, "What holds each plant, and what to mind")
        for place, plant in enumerate(shown, 1):
            paragraph(out, f"{place:>2}  {plant.common_name}. {'. '.join(plant.notes)}.")
    if len(ranking.plants) > len(shown):
        paragraph(out, f"{len(ranking.plants) - len(shown)} more fit: --top {len(ranking.plants)} shows all.")
    if ranking.firm:
        heading(out, "How firm the order is")
        paragraph(out, ranking.firm, 2)
    _show_ruled_out(out, ranking, names_of_ruled_out)
    heading(out, "Taken for granted")
    bullets(out, ranking.assumptions)
    heading(out, "Take care")
    bullets(out, ranking.cautions)
    show_law(out, ranking.law, pond.state)


def _ranking_table(plants: Iterable[RankedPlant], width: int) -> Table:
    """One row a plant; where the terminal is narrow, fit and place share a column."""
    table = Table(box=None, padding=(0, 2, 0, 0), pad_edge=False, header_style="bold")
    narrow, least = width < NARROW, 12 if width >= 60 else None
    table.add_column("", justify="right", no_wrap=True)
    table.add_column("plant", ratio=6 if narrow else 5, overflow="fold")
    if narrow:
        table.add_column("fit and place", ratio=3, min_width=least, overflow="fold")
    else:
        table.add_column("fit", min_width=least)
        table.add_column("where", ratio=4, overflow="fold")
    table.add_column("takes in ten years", ratio=3, min_width=least)
    table.add_column("groups it can take", ratio=4)
    for place, plant in enumerate(plants, 1):
        name = Text(plant.common_name)
        name.append(f"\n{plant.scientific_name}", style="italic dim")
        fit = f"{plant.fit} {plant.score:.0f}"
        fit += f"\nplaces {plant.places[0]}-{plant.places[1]}" if plant.places[1] > plant.places[0] else ""
        where = f"{plant.stretch}\n{plant.band}"
        table.add_row(
            str(place),
            name,
            *([Text(f"{fit}\n{where}")] if narrow else [Text(fit), Text(where)]),
            Text(f"{takeover_words(plant)}\ncap {plant.cap_percent:g} %"),
            Text(f"{groups_words(plant)}\n{plant.groups_wanted} wanted"),
        )
    return table


def _show_ruled_out(out: Console, ranking: Ranking, names: bool) -> None:
    if not ranking.ruled_out:
        return
    heading(out, f"Ruled out: {len(ranking.ruled_out)}" + ("" if names else " (--ruled-out names them)"))
    count = Counter(r.code for r in ranking.ruled_out)
    for code, title in REASONS.items():
        if not count[code]:
            continue
        near = any("native next door" in r.reason for r in ranking.ruled_out if r.code == code)
        paragraph(
            out,
            f"{count[code]:>4}  {title}{' (--neighbours lets in those native next door)' if near else ''}",
        )
        if names:
            bullets(
                out,
                (f"{r.common_name} ({r.plant_id}): {r.reason}" for r in ranking.ruled_out if r.code == code),
            )


def law_lines(law: Coverage, state: str) -> list[str]:
    """How far the state's list was read, its date, and whom to ask."""
    name = STATES[state][0]
    dated = _dated(law.as_of, law.seen)
    if law.read == "whole":
        first = f"{name}, read whole: {law.list_name} ({dated})."
    elif law.read == "part":
        first = (
            f"{name}, read only in part: {law.list_name} ({dated}). A plant that is not named here may still "
            "be listed."
        )
    else:
        first = f"{name}: no list could be read. Nothing here clears a plant."
    return [
        first,
        f"{law.federal_list}, 7 CFR 360.200(a), read whole ({_dated(law.federal_as_of, law.federal_seen)}).",
        f"Ask your state agency before you buy: {law.agency}. It has the last word.",
    ]


def _dated(as_of: str, seen: str) -> str:
    own = f"dated {as_of}" if as_of else "a copy without a date"
    return f"{own}, seen {seen}" if seen else own


def show_law(out: Console, law: Coverage, state: str) -> None:
    """The section on law that ends every answer for a state."""
    heading(out, "Law")
    bullets(out, law_lines(law, state))


def show_explanation(out: Console, told: Explanation, title: str) -> None:
    """The arithmetic of one plant on one pond."""
    heading(out, title)
    if told.ruled_out:
        paragraph(out, f"Ruled out: {told.ruled_out}.", 2)
    if not told.factors:
        return
    depth = (
        f"{told.depth_in:g} in deep" if told.depth_in > 0 else f"{-told.depth_in:g} in above the waterline"
    )
    place = f"{told.stretch}, {told.band}, {depth} at full pool"
    if told.ruled_out:
        paragraph(out, f"Where it would do best: {place}.", 2)
    else:
        paragraph(out, f"Best place, by site times use: {place}.", 2)
    table = Table(box=None, padding=(0, 2, 0, 0), pad_edge=False, header_style="bold")
    for name in ("factor", "index", "break points"):
        table.add_column(name)
    for name, index, points in told.factors:
        table.add_row(name, "not judged" if math.isnan(index) else f"{index:.2f}", escape(points))
    out.print(Padding(table, (0, 0, 0, 2)))
    paragraph(out, f"site {told.combined:.2f}: {told.combined_how}.", 2)
    heading(out, "Takeover, nobody cutting it back")
    bullets(out, told.takeover_how)
    table = Table(box=None, padding=(0, 2, 0, 0), pad_edge=False, header_style="bold")
    for name in ("years", "low", "typical", "high"):
        table.add_column(name, justify="right")
    for years, shares in told.takeover:
        table.add_row(str(years), *(f"{percent(s)} %" for s in shares))
    out.print(Padding(table, (0, 0, 0, 2)))
    paragraph(
        out,
        f"That is from {told.groups_wanted} group{'s' if told.groups_wanted > 1 else ''}. Groups that keep the high "
        f"forecast within the cap of {told.cap_percent:g} %: {_most(told.groups_max)} as it is"
        + ("." if not told.measures else ";"),
        2,
    )
    bullets(out, (f"{_most(groups)} with {words}" for words, groups in told.measures))
    heading(out, "Use and score" if told.score_how else "Use")
    lines = [f"{purpose}: {value:g} of 3" for purpose, value in told.use]
    bullets(out, lines + [line for line in (told.stays_how, told.score_how) if line])


def _most(groups: int) -> str:
    return "no limit worth naming" if groups >= MANY_GROUPS else str(groups)
