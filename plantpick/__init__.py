"""Native plants for a fishing pond: which suit it, which would take it over, and what holds them.

The functions below give pandas tables (docs/example.md). They are loaded when first asked for, so that
`import plantpick` stays quick. Mistakes in what is handed in raise PlantpickError.
"""

__version__ = "0.2.0"

_TABLES = (
    "read_pond",
    "read_catalogue",
    "rank",
    "ruled_out",
    "explain_score",
    "depth_bands",
    "watch_log",
    "check_offer",
)
__all__ = [*_TABLES, "PlantpickError"]


def __getattr__(name: str):
    if name in _TABLES:
        from plantpick import api

        return getattr(api, name)
    if name == "PlantpickError":
        from plantpick.errors import PlantpickError

        return PlantpickError
    raise AttributeError(f"module 'plantpick' has no attribute {name!r}")


def __dir__() -> list[str]:
    return sorted([*globals(), *__all__])
