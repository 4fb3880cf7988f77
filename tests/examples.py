"""One or more command lines for every command, for tests that run them all. `{tmp}` stands for a fresh folder."""

EXAMPLES: dict[str, list[list[str]]] = {
    "rank": [
        ["rank", "demo", "--ruled-out"],
        ["rank", "demo", "--explain", "pickerelweed"],
        ["rank", "demo-hard", "-f", "json"],
        ["rank", "demo", "-f", "csv"],
        ["rank", "demo", "demo-north", "--draws", "64", "--out", "{tmp}/ranked.csv"],
    ],
    "plant": [["plant", "wild celery", "demo"], ["plant", "pickerelweed", "-f", "json"]],
    "sources": [["sources"], ["sources", "pickerelweed"]],
    "depths": [["depths", "demo"], ["depths", "demo-surveyed"], ["depths", "demo-surveyed", "-f", "json"]],
    "check": [["check"]],
    "watch": [
        ["watch", "demo", "demo"],
        ["watch", "demo", "demo", "--today", "2027-09-15", "-f", "csv"],
        ["watch", "demo", "demo", "--out", "{tmp}/watch.html", "-f", "json"],
    ],
    "oxygen": [
        [
            "oxygen",
            "--water-f",
            "84",
            "--sunset",
            "19:50",
            "--reading",
            "20:00=8.6",
            "--reading",
            "23:00=7.1",
        ],
        ["oxygen", "demo", "--water-f", "84", "--plant", "white water lily", "--area-sqft", "4000"],
        [
            "oxygen",
            "demo",
            "--water-f",
            "84",
            "--sunset",
            "19:50",
            "--reading",
            "20:00=8.6",
            "--reading",
            "23:00=7.1",
            "--plant",
            "cattail",
        ]
        + ["--area-sqft", "900"],
    ],
    "calendar": [["calendar", "demo", "demo", "--today", "2027-09-15", "--months", "12"]],
    "offer": [["offer", "demo", "demo", "--every-line"], ["offer", "demo", "demo", "-f", "json"]],
    "pond": [["pond", "--words", "{tmp}/new.toml"]],
    "demo": [["demo", "{tmp}/try"]],
    "plan": [
        # near enough to the least cost the solver ends by itself, in a second or two: no answer hangs on the clock
        [
            "plan",
            "demo",
            "demo-surveyed",
            "--within",
            "60",
            "--seconds",
            "600",
            "--cores",
            "1",
            "--csv",
            "{tmp}/plans.csv",
        ],
        ["plan", "demo", "--within", "60", "--seconds", "600"],
        [
            "plan",
            "demo",
            "--within",
            "60",
            "--seconds",
            "600",
            "--out",
            "{tmp}/plan.html",
            "--csv",
            "{tmp}/plan.csv",
            "-f",
            "json",
        ],
    ],
    "spread": [
        ["spread", "demo", "white water lily", "pickerelweed"],
        ["spread", "demo", "white water lily", "-f", "csv"],
    ],
}


def lines(tmp) -> list[list[str]]:
    """Every example of the commands that there are."""
    from plantpick.cli.app import app

    names = [c.name for c in app.registered_commands]
    missing = [name for name in names if name not in EXAMPLES]
    assert not missing, f"tests/examples.py has no example for {missing}"
    return [[word.replace("{tmp}", str(tmp)) for word in line] for name in names for line in EXAMPLES[name]]
