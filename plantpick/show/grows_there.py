"""What grows in the pond already, in an owner's words: how much, what the answer counts, and what to do first."""

from __future__ import annotations

from collections.abc import Sequence

from rich.console import Console

from plantpick.pond.keep_clear import OFF_DAM_FT
from plantpick.pond.model import stretch_words
from plantpick.ranking.chances import chance_words
from plantpick.ranking.grows_there import First, GrowsThere
from plantpick.show.records import rounded
from plantpick.show.terminal import bullets, heading
from plantpick.units import percent

HEAD = "What grows there already"


def show_grows_there(out: Console, kinds: Sequence[GrowsThere], cap: float) -> None:
    """A line a kind; nothing where the pond file names none."""
    if kinds:
        heading(out, HEAD)
        bullets(out, (there_words(kind, cap) for kind in kinds))


def growing_records(kinds: Sequence[GrowsThere]) -> list[dict]:
    """The same for JSON."""
    return [
        {
            "plant_id": kind.plant_id,
            "common_name": kind.common_name,
            "scientific_name": kind.scientific_name or None,
            "stretches": list(kind.stretches),
            "area_ft2": rounded(kind.area_ft2, 0) if kind.area_ft2 == kind.area_ft2 else None,
            "percent": rounded(kind.percent) if kind.percent == kind.percent else None,
            "first": kind.first.value,
            "counted": kind.counted,
            "takeover_percent": None if kind.shares is None else [rounded(s) for s in kind.shares],
            "chance_over_cap": None if kind.chance_over_cap is None else round(kind.chance_over_cap, 3),
        }
        for kind in kinds
    ]


def there_words(kind: GrowsThere, cap: float) -> str:
    """One kind in a few sentences. `cap` is the owner's limit for one plant, per cent of the surface."""
    where = stretch_words(*kind.stretches)
    size = (
        f"about {kind.area_ft2:,.0f} sq ft on {where}, {percent(kind.percent)} % of the surface"
        if kind.area_ft2 == kind.area_ft2  # NaN is unlike itself
        else f"on {where}"
    )
    name = f"{kind.common_name} ({kind.scientific_name})" if kind.scientific_name else kind.common_name
    return f"{name}: {size}. {_first(kind, cap)}"


def _first(kind: GrowsThere, cap: float) -> str:
    gate = kind.gate
    if kind.first is First.BY_NAME:
        return (
            "We know its name and its states, not how it spreads or what holds it, so we count none of it. Have it identified, ask "
            "whether it belongs here, and measure it every summer."
        )
    if kind.first is First.TAKE_OUT and gate is not None:
        why = gate.law if gate.listing else f"it is not native to {gate.state_name}"
        return (
            f"Take it out before you plant: {why}. Ask your state agency how, and where to put what you haul out. "
            "The plan counts on it being gone."
        )
    if kind.first is First.PROTECTED:
        return "It is rare and protected: leave it where it grows, and ask your state agency before you work near it. We count it at its present size."
    if kind.first is First.KEEP_AWAY:
        return "It is dangerous to people or stock: keep both away from it, and ask your extension office how to take it out. We count it at its present size."
    if kind.first is First.OFF_DAM:
        return (
            f"Nothing woody stays on a dam or within {OFF_DAM_FT:g} ft of it: its roots leave pipes for the water. Cut it while it is thin. Where a "
            "trunk is thicker than your thumb, ask your dam safety office or whoever built the dam before you cut: its roots rot in the "
            "bank. The plan counts on it being gone from there."
        )
    if kind.first is First.UNKNOWN or kind.shares is None or kind.chance_over_cap is None:
        return "Too little is known of it to forecast: we count none of it. Measure it every summer."
    if kind.first is First.CUT_BACK:
        return (
            f"That is over your {cap:g} % today. Cut it back to that before you plant, a part at a time, and haul out what you cut: what "
            "rots in the water uses up its oxygen. Then cut its edge every year. If it cannot be so large, measure it again. The plan "
            "sets none of it."
        )
    if kind.first is First.HOLD:
        return (
            f"Left alone it passes your {cap:g} % in ten years: {chance_words(kind.chance_over_cap)}. Cut its edge back first, and "
            "every year, to the size it has now. The plan counts it at that size, and sets none of it."
        )
    low, _, high = kind.shares
    return (
        f"It may stay: left alone it takes {percent(low)} to {percent(high)} % in ten years. We count it in your limits"
        + (" and in the fish cover." if kind.fish_cover else ".")
    )
