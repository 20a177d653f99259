"""A house style: the order of sections, and how brackets and counts are set. Data in `styles/`.

Switching the style changes the wording's dress, never what is to be worked.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from pathlib import Path

import yaml

FOLDER = Path(__file__).with_name("styles")
Pair = tuple[str, str]


@dataclass(frozen=True, slots=True)
class Style:
    """How a house sets its patterns.

    Attributes:
        sections: keys of the sections after the heading, in order.
        counts: what stands before and after a row's counts; strong: they are in bold.
        sizes: brackets around the further sizes of a number.
        between: parts the further sizes of a number.
        repeats: brackets around a counted repeat of at most `longest` things.
    """

    name: str
    sections: tuple[str, ...]
    counts: Pair
    strong: bool
    sizes: Pair
    repeats: Pair
    longest: int
    between: str = ", "


@cache
def style(name: str = "leaflet") -> Style:
    """The house style of this name. KeyError, naming those there are, for an unknown one."""
    if name not in styles():
        raise KeyError(f"no style {name!r}; there are {', '.join(styles())}")
    raw = yaml.safe_load((FOLDER / f"{name}.yaml").read_text("utf-8"))
    pair = {key: (raw[key]["open"], raw[key]["close"]) for key in ("counts", "sizes", "repeats")}
    return Style(
        raw["name"], tuple(raw["sections"]), pair["counts"], raw["counts"]["strong"],
        pair["sizes"], pair["repeats"], raw["repeats"]["longest"],
    )  # fmt: skip


@cache
def styles() -> tuple[str, ...]:
    return tuple(sorted(p.stem for p in FOLDER.glob("*.yaml")))
