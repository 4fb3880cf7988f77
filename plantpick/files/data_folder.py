"""Where the tables and the demo ponds are."""

from __future__ import annotations

from pathlib import Path


def data_folder() -> Path:
    """The folder `data`: beside the package in an installation, at the top of a checkout."""
    package = Path(__file__).resolve().parent.parent
    installed = package / "data"
    return installed if installed.is_dir() else package.parent / "data"
