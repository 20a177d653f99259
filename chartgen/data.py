"""Where the data folders are: `symbols/` and `specs/` beside the package or inside it."""

from __future__ import annotations

from importlib.resources import files
from pathlib import Path


def folder(name: str) -> Path:
    """The data folder `name`: packaged in a wheel, beside the package in a checkout."""
    packaged = Path(str(files("chartgen"))) / name
    return packaged if packaged.is_dir() else Path(__file__).resolve().parent.parent / name
