"""How far a state's lists were read, and whom to ask: the section on law that ends every answer for a state."""

from __future__ import annotations

from dataclasses import asdict

from rich.console import Console

from plantpick.catalogue.law import Coverage, PlantingRule
from plantpick.show.terminal import bullets, heading
from plantpick.vocabulary import STATES


def law_lines(law: Coverage, state: str) -> list[str]:
    """How far the state's list was read, its date, and whom to ask."""
    name = STATES[state][0]
    dated = _dated(law.as_of, law.seen)
    if law.read == "whole":
        first = f"{name}, read whole: {law.list_name} ({dated})."
    elif law.read == "copy":
        first = (
            f"{name}, read whole but only as others copy it: {law.list_name} ({dated}). Check a plant with the "
            "agency."
        )
    elif law.read == "part":
        first = (
            f"{name}, read only in part: {law.list_name} ({dated}). A plant that is not named here may still "
            "be listed."
        )
    else:
        first = f"{name}: no list could be read. Nothing here clears a plant."
    return [
        first,
        *([f"What we read of it: {law.remark.rstrip('.')}."] if law.remark else []),
        f"{law.federal_list}, 7 CFR 360.200(a), read whole ({_dated(law.federal_as_of, law.federal_seen)}).",
        *map(_rule_line, law.planting_rules),
        f"Ask your state agency before you buy: {law.agency}. It has the last word.",
    ]


def law_in_short(law: Coverage, state: str) -> str:
    """The same in two or three lines, for the end of a list."""
    name = STATES[state][0]
    read = {
        "whole": "list read whole",
        "copy": "list read whole, in a copy by others",
        "part": "list read only in part",
    }.get(law.read, "list not read")
    dated = "" if law.read == "none" else f" ({_dated(law.as_of, law.seen)})"
    rules = "".join(
        f" {rule.act.capitalize()} {rule.plants} is ruled here: {rule.citation}."
        for rule in law.planting_rules
    )
    return (
        f"Law changes. {name}: {read}{dated}, the federal list too; no list clears a plant.{rules} Ask before you buy: "
        f"{law.agency} has the last word."
    )


def _rule_line(rule: PlantingRule) -> str:
    """A rule on plants that may be owned: what it asks, what is free of it, and where it stands."""
    free = f" {rule.exceptions}" if rule.exceptions else ""
    stands = f"{rule.citation}; {_dated(rule.as_of, '')}"
    return f"{rule.act.capitalize()} {rule.plants}: {rule.rule}{free} ({stands})."


def _dated(as_of: str, seen: str) -> str:
    own = f"dated {as_of}" if as_of else "a copy without a date"
    return f"{own}, seen {seen}" if seen else own


def show_law(out: Console, law: Coverage, state: str) -> None:
    """Print the section."""
    heading(out, "Law")
    bullets(out, law_lines(law, state))


def law_record(law: Coverage) -> dict[str, object]:
    """How far a state's list was read, of a row of law_coverage, and its rules on plants that may be owned."""
    record = {
        key: getattr(law, key) for key in ("jurisdiction", "list_name", "agency", "read", "as_of", "remark")
    }
    return record | {"planting_rules": [asdict(rule) for rule in law.planting_rules]}
