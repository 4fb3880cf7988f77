"""What no table of planted plants may say: a survivor that was dead before, a guard with animals inside, a form left out."""

from __future__ import annotations

from typing import TYPE_CHECKING

from plantpick.catalogue.establishment import ALIVE, CURVE_MONTHS, USUAL_PROPAGULE
from plantpick.errors import Problem
from plantpick.vocabulary import GROWTH_FORMS

if TYPE_CHECKING:
    import pandas as pd

CURVE = ["growth_form", "plant_id", "propagule", "guarded", "grazers"]


def check_rows(table: pd.DataFrame, numbers: pd.DataFrame, report) -> None:
    """Check each row by itself, and the rows of one curve against each other."""
    report(
        (table["guarded"] == "open") & (table["grazers"] == ""),
        "grazers",
        "an open planting, and no animal that gets at it.",
        'Name the animals, or call it "guarded" where there are none.',
    )
    report(
        (table["guarded"] == "guarded") & (table["grazers"] != ""),
        "grazers",
        lambda v: f'"{v}" cannot get at a guarded planting.',
        'Take it out, or call the planting "open".',
    )
    curve = table["used_for"] == "curve"
    report(
        curve & (table["counted"] == "plots"),
        "counted",
        "a curve is a share of plants, and this row counts plots.",
        "Use it for comparison only: a plot lives as long as one of its plants.",
    )
    rows = table[curve].assign(_months=numbers["months"]).sort_values("_months", kind="stable")
    twice = table.index.isin(rows.index[rows.duplicated([*CURVE, "_months"])])
    report(twice, "months", "a curve has this month twice.", "Keep one row, with the range of both.")
    for column in ALIVE:
        before = numbers[column].loc[rows.index].groupby([rows[c] for c in CURVE]).shift()
        risen = rows.index[numbers[column].loc[rows.index] > before]
        report(
            table.index.isin(risen),
            column,
            lambda v: f"{v} is more than were alive earlier.",
            "Dead plants do not come back: a curve must not rise with its months.",
        )


def check_curves(table: pd.DataFrame, plants: pd.DataFrame, problems: list[Problem]) -> None:
    """Check that every form has a whole curve, and every plant's rows stand under its own form and on a whole curve."""
    import pandas as pd

    forms = dict(zip(plants["plant_id"], plants["growth_form"]))
    whole: dict[tuple[str, str], set[str]] = {}
    general = table[
        (table["plant_id"] == "") & (table["used_for"] == "curve") & (table["guarded"] == "guarded")
    ]
    told = pd.to_numeric(general["months"], errors="coerce")
    for form, propagule, months in zip(general["growth_form"], general["propagule"], told):
        whole.setdefault((form, propagule), set()).add(f"{months:g}")
    wanted = [f"{months:g}" for months in CURVE_MONTHS]
    for form, propagule in dict.fromkeys([*((f, USUAL_PROPAGULE) for f in GROWTH_FORMS), *whole]):
        if missing := [months for months in wanted if months not in whole.get((form, propagule), set())]:
            problems.append(
                Problem(
                    "establishment.csv",
                    f"{form}, {propagule}, guarded: no row at {', '.join(missing)} months.",
                    "Add it, wide and as judgement where nobody has counted.",
                )
            )
    for row, plant_id, form, propagule, used in zip(
        table.index,
        table["plant_id"],
        table["growth_form"],
        table["propagule"],
        table["used_for"],
    ):
        if plant_id and forms.get(plant_id, form) != form:
            problems.append(
                Problem(
                    f"establishment.csv:{row + 2}:growth_form",
                    f"{plant_id} is no {form} in plants.csv.",
                    f"Write {forms[plant_id]}.",
                )
            )
        if used == "curve" and (form, propagule) not in whole and form in GROWTH_FORMS:
            problems.append(
                Problem(
                    f"establishment.csv:{row + 2}:propagule",
                    f'no curve of its own for a {form} plant set as "{propagule}".',
                    "Add one for the form: its course is taken between and after the rows.",
                )
            )
